"""The verbs: a file each, named as the verb is (with an underscore behind a word of Python's own), and a line here.

A file offers `options(parser)` and `run(args) -> exit code`; it is loaded only when its verb is used.
"""

VERBS: dict[str, str] = {
    "try": "the sample shelf in a temporary folder; without a terminal it prints the morning",
    "import": "read a file of your own: catalogue, prices, wants, terms, results and more; or a whole shelf",
    "catalogue": "join other spellings of a country, denomination or mint to the catalogue's",
    "venue": "venues and their terms: add, list, edit, remove",
    "source": "the sources of lots: add, edit, test, list, remove",
    "want": "the want-list: add, list, edit, remove",
    "gather": "fetch, read, value and mark the lots of all sources, or of those named",
    "digest": "the morning as text, a page, an Atom feed or a mail file; nothing is sent",
    "lots": "list lots; the words that follow filter them",
    "lot": "one lot with its reasons; or `lot add` for a lot by hand",
    "read": "how titles are read, one per line",
    "price": "the band of a coin, its curve and the sales behind it",
    "decide": "record a decision; nothing is sent to a venue",
    "undo": "undo the last decision or change",
    "redo": "redo what was undone",
    "bids": "the bid list with its limits, and the total if all win",
    "plan": "which bids to place inside the budget; either-or groups, budgets with dates, sums set aside",
    "parcel": "which lots travel together, and what each parcel costs line by line",
    "piece": "what became of a piece that was won: checked, kept, returned, refunded, disputed, sold",
    "held": "the pieces you hold, with cost and value today; lists for an insurer and a tax file",
    "result": "record a hammer price, and whether you won",
    "calendar": "the dates to come, as a list or as a file for your calendar; or `calendar add` for one of your own",
    "bench": "a piece in the hand: what its weight, size and density rule out, and what to check",
    "guide": "what every issue of a series brings, how scarce it is, how it moved; as text, Markdown, CSV or a page",
    "outcome": "what a piece you bought proved to be: genuine, not-genuine, problem, lower, or its true grade",
    "seller": "a seller: lots seen, pieces bought, outcomes, doubts",
    "marks": "try another chance for bargains, or another table of signs",
    "export": "lots, wants, prices, decisions or pieces as CSV or JSON lines; or the whole shelf in an open form",
    "check": "settings, sources, column maps, stores, age of prices and rates",
    "backup": "pack the shelf into one file",
    "completion": "a script by which bash, zsh or fish completes verbs and options",
    "restore": "unpack a backup into an empty shelf",
}
"""The verbs in the order of the help, each with its line there."""
