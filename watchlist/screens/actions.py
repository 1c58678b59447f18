"""Every action of the screens: id, keys, name, what it does, what it needs. Footer, palette, help and docs read it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

LISTS = ("tray", "wants", "bids", "prices", "sources", "plan", "parcels", "held", "calendar", "guide")
"""Screens with a list, in the order of their numbers."""
LOTS = ("tray", "ticket", "bids", "plan")
"""Screens that stand on a lot."""
ONE = ("tray", "ticket")
"""Those on which the lot itself is looked at."""
COINS = ("prices", "sales")
"""Screens that stand on a coin's market."""
ALL = (*LISTS, "sales", "ticket", "detail", "help", "messages")
ALWAYS = ("redraw", "suspend")
"""Actions that also work while one types, unless their keys are letters."""
Need = Literal["", "lot", "bid", "coin", "sale", "source", "row", "more", "something open"]
LACKING: Mapping[Need, str] = {
    "lot": "There is no lot here.",
    "bid": "There is no bid here.",
    "coin": "There is no coin here.",
    "sale": "There is no sale here.",
    "source": "There is no source here.",
    "row": "There is nothing here.",
    "more": "There is nothing here.",
    "something open": "",  # Esc that has nothing to stop, clear or close is no mistake
}
"""What is said where that is missing which an action needs."""


@dataclass(frozen=True, slots=True)
class Action:
    """One thing a person can do. `id` is what `[keys]` in settings.toml names."""

    id: str
    keys: tuple[str, ...]
    name: str
    """One or two words for the footer and the palette."""
    words: str
    """What it does, for help and docs."""
    screens: tuple[str, ...]
    footer: int = 0
    """Rank in the footer, 1 first; 0 is not shown there."""
    needs: Need = ""
    """What has to be under the highlight. Where it is missing the footer leaves the action out."""


ACTIONS: tuple[Action, ...] = (
    Action("down", ("j", "down"), "Down", "next row", ALL),
    Action("up", ("k", "up"), "Up", "row before", ALL),
    Action("page-down", ("pagedown",), "Page down", "one page on", ALL),
    Action("page-up", ("pageup",), "Page up", "one page back", ALL),
    Action("first", ("g", "home"), "First", "first row", ALL),
    Action("last", ("G", "end"), "Last", "last row", ALL),
    Action("tray", ("1",), "Tray", "lots to look at", ALL),
    Action("wants", ("2",), "Wants", "the want-list", ALL),
    Action("bids", ("3",), "Bids", "bids by sale day, with the budget", ALL),
    Action("prices", ("4",), "Prices", "bands and prices realised by coin", ALL),
    Action("sources", ("5",), "Sources", "where lots come from", ALL),
    Action("plan", ("6",), "Plan", "the best set of bids inside the budget", ALL),
    Action("parcels", ("7",), "Parcels", "which lots travel together, what is owed, what comes next", ALL),
    Action("held", ("8",), "Held", "the pieces held: cost, value today", ALL),
    Action("calendar", ("9",), "Calendar", "dates to come: closings, bids to place, your own", ALL),
    Action("guide", ("0",), "Guide", "a series: what each issue brings, how scarce it is, how it moved", ALL),
    Action(
        "open",
        ("enter",),
        "Open",
        "open the row: Ticket, lots of a want, sales of a coin, the plots, problems of a source",
        (*LISTS, "sales"),
        needs="more",
    ),
    Action("back", ("escape",), "Back", "stop what goes on; clear the filter; back", ALL, 1, needs="something open"),
    Action("part", ("tab",), "Part", "next part of the screen", ALL),
    Action("part-back", ("shift+tab",), "Part back", "part before", ALL),
    Action("sift", ("/",), "Filter", "show only rows that match, as you type", LISTS, 2),
    Action("next-match", ("n",), "Next match", "next row with the words last filtered for", ("tray",)),
    Action("last-match", ("N",), "Last match", "the row before with these words", ("tray",)),
    Action("next-lot", ("n",), "Next lot", "the next lot of the Tray", ("ticket",), 7),
    Action("last-lot", ("N",), "Last lot", "the lot before", ("ticket",)),
    Action("sort", ("s",), "Sort", "order by the next column; in the Guide by the next order", ("tray", "guide"), 3),
    Action("next-series", ("n",), "Next series", "the guide to the next series", ("guide",), 4),
    Action("last-series", ("N",), "Last series", "the guide to the series before", ("guide",)),
    Action("write", ("w",), "Write", "write the guide to a file: .html, .md, .csv or .txt", ("guide",), 5),
    Action("turn", ("S",), "Reverse", "reverse the order", ("tray",)),
    Action("follow", ("f",), "Follow", "follow the lot; again: no longer", ONE, 3, needs="lot"),
    Action("skip", ("x",), "Skip", "skip the lot; again: take it back", ONE, 4, needs="lot"),
    Action("bid", ("b",), "Bid", "put the lot on the bid list; again: take it off", ONE, 5, needs="lot"),
    Action(
        "tick", ("space",), "Tick", "tick the row; f, x and b then act on all that are ticked", ("tray",), needs="lot"
    ),
    Action("tick-all", ("*",), "Tick all", "tick every lot of the list, 1,000 at most; again: none", ("tray",)),
    Action(
        "delete-lots", ("D",), "Delete", "delete the lot, or all ticked; undo brings them back", ("tray",), needs="lot"
    ),
    Action("won", ("w",), "Won", "the lot was won: asks the price", LOTS, 9, needs="lot"),
    Action("lost", ("l",), "Lost", "sold to another bidder: asks the price", LOTS, 10, needs="lot"),
    Action("wanted", ("W",), "Wanted", "only open lots that match a want; again: all", ("tray",), 17),
    Action("changed", ("C",), "Changed", "only lots that changed overnight; again: all", ("tray",), 18),
    Action("morning", ("m",), "Morning", "the morning in print: today, overnight, wanted", ("tray",), 19),
    Action("attended", ("m",), "Attended", "plan for one who attends the sales; again: bids left", ("plan",), 4),
    Action("what-if", ("v",), "What if", "budget and ceilings at -10 and +10 per cent", ("plan",), 5),
    Action("take", ("T",), "Take", "write the bids of the plan: planned, not sent; one undo", ("plan",), 3),
    Action("invoiced", ("I",), "Invoice", "the invoice came: asks its sum", ("parcels",), 3, needs="row"),
    Action("paid", ("P",), "Paid", "the parcel is paid, or a part of it: asks the sum", ("parcels",), 4, needs="row"),
    Action("dispatched", ("D",), "Dispatched", "the parcel is on its way", ("parcels",), 5, needs="row"),
    Action("arrived", ("A",), "Arrived", "the parcel is there", ("parcels",), 7, needs="row"),
    Action("refunded", ("F",), "Refund", "money came back: asks the sum", ("parcels", "held"), needs="row"),
    Action("split", ("S",), "Split", "how its cost is shared: by price, or by piece", ("parcels",), needs="row"),
    Action("join-lot", ("J",), "Join", "put a lot into the parcel: asks which", ("parcels",), needs="row"),
    Action("part-lot", ("X",), "Take out", "a lot of the parcel travels alone: asks which", ("parcels",), needs="row"),
    Action("checked", ("C",), "Checked", "the piece was looked at and is as described", ("held",), 3, needs="row"),
    Action("kept", ("K",), "Kept", "the piece is kept", ("held",), 4, needs="row"),
    Action("returned", ("R",), "Returned", "the piece went back: asks why, and the postage", ("held",), 5, needs="row"),
    Action("disputed", ("D",), "Disputed", "the piece is disputed: asks why", ("held",), needs="row"),
    Action("settled", ("T",), "Settled", "the dispute about the piece is settled", ("held",), needs="row"),
    Action("to-service", ("t",), "To service", "sent to a grading service: asks the fee", ("held",), needs="row"),
    Action("from-service", ("b",), "Back", "back from its service: asks grade and number", ("held",), needs="row"),
    Action("consigned", ("c",), "Consign", "handed in for a sale: asks the reserve", ("held",), needs="row"),
    Action("not-sold", ("B",), "Not sold", "back from a sale unsold: asks the fee", ("held",), needs="row"),
    Action("sold", ("X",), "Sold", "the piece was sold: asks for how much, and the fees", ("held",), 7, needs="row"),
    Action("noted", ("e",), "Note", "a note on the piece", ("held",), needs="row"),
    Action("pictured", ("p",), "Picture", "the path of a picture of it; it is never opened", ("held",), needs="row"),
    Action("came-from", ("f",), "From", "a sale, a collection or a catalogue it was in", ("held",), needs="row"),
    Action("stored-in", ("S",), "Place", "where the piece is stored", ("held",), needs="row"),
    Action("series", ("s",), "Series", "how complete its series is, and what would fill it", ("held",), 8, needs="row"),
    Action("raise", ("+",), "Raise", "one increment more", ("bids",), 3, needs="bid"),
    Action("lower", ("-",), "Lower", "one increment less", ("bids",), 4, needs="bid"),
    Action(
        "amount", ("e",), "Amount", "type the amount of the bid, or of the offer", ("bids", "ticket"), 8, needs="lot"
    ),
    Action("placed", ("p",), "Placed", "the bid is placed; again: planned", ("bids",), 5, needs="bid"),
    Action(
        "outbid", ("O",), "Outbid", "someone bid more: it no longer counts against the budget", ("bids",), needs="bid"
    ),
    Action("acknowledged", ("K",), "Acknowledged", "the venue has confirmed the bid", ("bids",), 17, needs="bid"),
    Action(
        "cancelled",
        ("X",),
        "Cancelled",
        "the venue lets your bid go: it no longer counts against the budget",
        ("bids",),
        needs="bid",
    ),
    Action("unsold", (), "Unsold", "the lot was not sold", ("bids",), needs="bid"),
    Action("withdrawn", (), "Withdrawn", "the venue has withdrawn the lot", ("bids",), needs="bid"),
    Action("take-off", ("x",), "Take off", "take the lot off the bid list", ("bids",), 6, needs="bid"),
    Action("set-aside", ("x",), "Exclude", "exclude the sale; again: full weight", ("sales",), 3, needs="sale"),
    Action("weigh", ("w",), "Weigh", "the weight of the sale, 0 to 1, with a note", ("sales",), 4, needs="sale"),
    Action("move-sale", ("m",), "Move", "put the sale under another coin", ("sales",), needs="sale"),
    Action(
        "correct-sale", ("e",), "Correct", "correct the sale: grade=VF-30 or price=120", ("sales",), 6, needs="sale"
    ),
    Action("delete-sale", ("D",), "Delete", "delete the sale; undo brings it back", ("sales",), needs="sale"),
    Action("grade-up", ("+",), "Grade up", "look one grade up", COINS, 7, needs="coin"),
    Action("grade-down", ("-",), "Grade down", "look one grade down", COINS, 8, needs="coin"),
    Action("class", ("c",), "Raw/certified", "uncertified (raw) coins, or certified ones", COINS, 9, needs="coin"),
    Action("undo", ("u",), "Undo", "undo the last decision, also one of another day", ALL, 6),
    Action("redo", ("ctrl+r",), "Redo", "redo what was undone", ALL),
    Action(
        "dismiss",
        ("d",),
        "Dismiss doubt",
        "dismiss one sign of a doubt with a note, or restore it",
        ONE,
        8,
        needs="lot",
    ),
    Action("correct", ("c",), "Correct", "correct the reading, and teach the words that misled", ONE, 11, needs="lot"),
    Action(
        "bench",
        ("H",),
        "Bench",
        "the piece in the hand, or one of this coin: what to check, and what its measurements tell",
        (*ONE, "prices", "held"),
        needs="row",
    ),
    Action("outcome", ("O",), "Outcome", "what the piece proved to be; its seller learns", ("held",), 8, needs="row"),
    Action("address", ("o",), "Link", "open the lot's page; over SSH show its link", LOTS, 12, needs="lot"),
    Action("copy", ("y",), "Copy", "copy the row as one plain line", (*LISTS, "sales", "ticket"), 13, needs="row"),
    Action("copy-address", ("Y",), "Copy link", "copy the link of the lot", LOTS, needs="lot"),
    Action("copy-questions", ("A",), "Ask", "copy the questions to the seller as plain text", ONE, 9, needs="lot"),
    Action("seller", ("v",), "Seller", "the lot's seller: lots seen, bought, outcomes, doubts", ONE, needs="lot"),
    Action("asked", ("a",), "Asked", "note what you asked the seller, with its day", ("ticket",), 17, needs="lot"),
    Action("replied", ("R",), "Replied", "note the seller's answer", ("ticket",), needs="lot"),
    Action("gather", ("r", "f5"), "Gather", "read all sources now", LISTS, 14),
    Action(
        "add",
        ("a",),
        "Add",
        "add a row; in the Tray a lot by hand, in the Calendar a date",
        ("tray", "wants", "sources", "calendar"),
        7,
    ),
    Action("edit", ("e",), "Edit", "change the row", ("wants", "sources"), 8, needs="row"),
    Action("drop", ("x",), "Remove", "remove the row", ("wants", "sources"), 9, needs="row"),
    Action("try", ("t",), "Test", "read this source once, save nothing", ("sources",), 10, needs="source"),
    Action("map", ("m",), "Columns", "say which heading holds which column", ("sources",), 11, needs="source"),
    Action("venue", ("v",), "Venue", "the terms of the source's venue", ("sources",), 12),
    Action("add-venue", ("V",), "Add venue", "add a venue with its terms, from a blank form", ("sources",)),
    Action("import", ("i",), "Import", "read a file of your own, first without saving it", LISTS),
    Action("messages", ("L",), "Messages", "the last 200 messages", ALL),
    Action("help", ("?", "f1"), "Help", "keys of this screen, marks and states", ALL, 15),
    Action("palette", ("ctrl+p", ":"), "Palette", "every action by name", ALL),
    Action("look", (), "Look", "dark or light", ALL),
    Action("redraw", ("ctrl+l",), "Draw again", "draw the whole screen again", ALL),
    Action("suspend", ("ctrl+z",), "Suspend", "back to the shell; fg returns", ALL),
    Action("stop", ("ctrl+c",), "Copy or stop", "copy marked text; else stop what goes on; else say how to quit", ALL),
    Action("quit", ("q", "ctrl+q"), "Quit", "leave; everything decided is saved", ALL, 16),
)
"""The order is that of help."""


@cache
def on(screen: str) -> tuple[Action, ...]:
    """The actions of one screen, in the order of help."""
    return tuple(action for action in ACTIONS if screen in action.screens)


@cache
def footer(screen: str) -> tuple[Action, ...]:
    """The actions that the footer shows, in its order."""
    return tuple(sorted((action for action in on(screen) if action.footer), key=lambda action: action.footer))


def by_id(id: str) -> Action:
    """The action of this id."""
    return next(action for action in ACTIONS if action.id == id)
