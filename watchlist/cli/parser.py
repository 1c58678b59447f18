"""The verbs and their options; a wrong word is answered with the nearest right one."""

from __future__ import annotations

import argparse
import difflib
import re
from collections.abc import Sequence
from typing import NoReturn

from watchlist import __version__

VERBS: dict[str, str] = {
    "try": "the sample shelf in a temporary folder; without a terminal it prints the morning",
    "import": "read a file of your own: catalogue, prices, wants, guide, terms or rates",
    "venue": "venues and their terms: add, list, edit, drop",
    "source": "where lots come from: add, test, list, drop",
    "want": "the want-list: add, list, edit, drop",
    "gather": "fetch, read, value and mark the lots of all sources, or of those named",
    "lots": "list lots; the words that follow sift them",
    "lot": "one lot with its reasons; or `lot add` for a lot by hand",
    "read": "how titles are read, one a line",
    "price": "the band of a coin, its curve and the sales behind it",
    "decide": "follow, skip, bid, buy or offer",
    "undo": "turn back the last decision",
    "redo": "restore what undo turned back",
    "bids": "the bid list with its limits, and the total if all win",
    "result": "write down what a lot fetched, and whether it was won",
    "check": "settings, sources, column maps, stores, age of prices and rates",
    "backup": "pack the shelf into one file",
    "restore": "unpack a backup into an empty shelf",
}
KINDS = ("catalogue", "prices", "wants", "guide", "terms", "rates")
ACTS = ("follow", "skip", "bid", "buy", "offer", "placed", "outbid", "clear")


class WrongUse(Exception):
    """The words of the command are off; the text says which and what is near."""


class Parser(argparse.ArgumentParser):
    """An argument parser that raises instead of leaving, and names the nearest right word."""

    def error(self, message: str) -> NoReturn:
        """Turn argparse's message into one sentence with a suggestion."""
        raise WrongUse(f"{_nearest(message, self)}; `{self.prog} --help` lists what it takes")

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """As argparse has it, but a verb answers for its own unknown options, with its own nearest ones."""
        made, rest = super().parse_known_args(args, namespace)
        if rest:
            self.error(f"unrecognized arguments: {' '.join(rest)}")
        return made, rest


def _nearest(message: str, parser: argparse.ArgumentParser) -> str:
    choice = re.search(r"invalid choice: '(.*?)' \(choose from (.*)\)", message)
    if choice:
        known = [word.strip(" '") for word in choice[2].split(",")]
        return f"`{choice[1]}` is not known here; {_suggest(choice[1], known)}"
    unknown = re.search(r"unrecognized arguments: (\S+)", message)
    if unknown:
        options = [text for action in parser._actions for text in action.option_strings]
        return f"`{unknown[1]}` is not known here; {_suggest(unknown[1].split('=')[0], options)}"
    return message[:1].lower() + message[1:]


def _suggest(word: str, known: list[str]) -> str:
    near = difflib.get_close_matches(word, known, 1, 0.5)
    return f"the nearest is `{near[0]}`" if near else "known are " + ", ".join(known)


def build() -> Parser:
    """The whole command line."""
    shared = _shared()
    about = "A want-list and auction watch for coin collectors. Without a verb it opens the screens."
    parser = Parser(prog="watchlist", parents=[shared], description=about)
    parser.add_argument("--version", action="version", version=f"watchlist {__version__}")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", parser_class=Parser)
    for name, words in VERBS.items():
        sub = verbs.add_parser(name, parents=[shared], help=words, description=words[:1].upper() + words[1:] + ".")
        FILL.get(name, lambda _sub, _shared: None)(sub, shared)
    return parser


def _shared() -> Parser:
    none = argparse.SUPPRESS
    shared = Parser(add_help=False)
    shared.add_argument("--shelf", metavar="DIR", default=none, help="the folder where everything is kept")
    shared.add_argument("--settings", metavar="FILE", default=none, help="another settings.toml")
    shared.add_argument("--now", metavar="TIME", default=none, help="work as if it were this time (ISO 8601)")
    shared.add_argument("--no-color", action="store_true", default=none, help="no colour; NO_COLOR does the same")
    shared.add_argument("--no-mouse", action="store_true", default=none, help="leave the mouse to the terminal")
    shared.add_argument("--json", action="store_true", default=none, help="one JSON object a line on stdout")
    return shared


def _acts(sub: Parser, shared: Parser, **acts: str) -> dict[str, Parser]:
    made = sub.add_subparsers(dest="act", metavar="ACT", required=True, parser_class=Parser)
    return {name: made.add_parser(name, parents=[shared], help=words) for name, words in acts.items()}


def _try(sub: Parser, _: Parser) -> None:
    sub.add_argument("--plain", action="store_true", help="print the morning even on a terminal")


def _import(sub: Parser, _: Parser) -> None:
    sub.add_argument("kind", choices=KINDS, metavar="KIND", help=", ".join(KINDS))
    sub.add_argument("file", metavar="FILE", help="a CSV file, or - for standard input")
    sub.add_argument("--dry-run", action="store_true", help="say what would be read and change nothing")
    sub.add_argument("--encoding", default="", help="when it is not UTF-8, UTF-16 or cp1252")


TERM_OPTIONS: dict[str, str] = {
    "kind": "auction, marketplace, dealer or club",
    "currency": "ISO 4217",
    "premium": "tiers as JSON, in the shape docs/formats.md shows",
    "premium_pct": "buyer's premium, per cent",
    "min_premium": "least premium a lot",
    "internet_fee_pct": "per cent of the hammer",
    "vat_on_premium_pct": "VAT on fees, per cent",
    "vat_on_hammer_pct": "VAT on the hammer, per cent",
    "shipping": "post for one lot",
    "insurance_pct": "per cent of hammer and premium",
    "sales_tax_pct": "per cent of hammer and premium",
    "tax_on_shipping": "yes: sales tax on the post too",
    "duty_pct": "per cent of hammer and premium",
    "import_vat_pct": "per cent of the value as imported",
    "duty_in_import_vat": "yes: import VAT on the duty too",
    "handling": "fixed sum",
    "payment_fee_pct": "card fee, per cent of the sum",
    "bid_steps": "from:step pairs, 0:5;100:10;500:25",
    "checked": "the day on which you compared these terms with the venue's own",
    "time_zone": "IANA name",
}


def _venue(sub: Parser, shared: Parser) -> None:
    acts = _acts(
        sub,
        shared,
        add="a new venue",
        list="all venues with their terms",
        edit="change some of a venue's terms",
        drop="forget a venue",
    )
    for name in ("add", "edit", "drop"):
        acts[name].add_argument("name", metavar="NAME")
    for name in ("add", "edit"):
        for option, words in TERM_OPTIONS.items():
            acts[name].add_argument("--" + option.replace("_", "-"), dest=option, metavar="X", default=None, help=words)


def _source(sub: Parser, shared: Parser) -> None:
    acts = _acts(
        sub,
        shared,
        add="a new source",
        test="read it once, store nothing",
        list="all sources",
        drop="forget a source; its lots stay",
    )
    acts["add"].add_argument("name", metavar="NAME")
    acts["add"].add_argument("address", metavar="ADDRESS-OR-FILE")
    acts["add"].add_argument("--replace", action="store_true", help="change what is named of a source that is there")
    acts["test"].add_argument("name", metavar="NAME-OR-ADDRESS-OR-FILE")
    acts["drop"].add_argument("name", metavar="NAME")
    for act in ("add", "test"):
        add = acts[act].add_argument
        add("--venue", default="", metavar="V", help="the venue whose terms and zone count")
        add("--kind", default="", choices=["", "rss", "json", "csv"], help="when the content does not tell")
        add("--encoding", default="", help="when it is not UTF-8, UTF-16 or cp1252")
        add("--decimal-mark", default="", choices=["", ".", ","], help="of its prices")
        add("--date-order", default="", choices=["", "dmy", "mdy"], help="of its dates")
        add("--time-zone", default="", metavar="ZONE", help="of its times, when not the venue's")
        add("--currency", default="", help="of prices that name none")
        add("--price-kind", default="", choices=["", "fixed", "so far", "estimate", "ended"], help="of plain prices")
        add("--column", action="append", default=[], metavar="FIELD=HEADING", help="map a column of its own")


def _want(sub: Parser, shared: Parser) -> None:
    acts = _acts(sub, shared, add="a new want", list="the want-list", edit="change a want", drop="forget a want")
    for name in ("edit", "drop"):
        acts[name].add_argument("id", metavar="ID")
    for name in ("add", "edit"):
        add = acts[name].add_argument
        add("--coin", required=name == "add", metavar="COIN", help='"COUNTRY DENOMINATION YEAR-MINT", or an issue key')
        add("--grade", metavar="40-55", help="numbers or words, one or a range")
        add("--ceiling", metavar="300EUR", help="the most to pay, all-in")
        add("--certified", choices=["any", "yes"], nargs="?", const="yes", help="only pieces a service holds")
        add("--low", metavar="N", help="your own band, where sales are few")
        add("--high", metavar="N")
        add("--quantity", type=int, metavar="N")
        add("--filled", type=int, metavar="N", help="how many you have already")
        add("--upgrade", choices=["yes", "no"], nargs="?", const="yes", help="keep asking although filled")
        add("--priority", type=int, metavar="N")
        add("--note", metavar="TEXT")


def _gather(sub: Parser, _: Parser) -> None:
    sub.add_argument("names", metavar="NAME", nargs="*", help="only these sources")
    sub.add_argument("--offline", action="store_true", help="only sources that are files")


def _lots(sub: Parser, _: Parser) -> None:
    sub.add_argument("sift", metavar="SIFT", nargs="*", help="`mark:b gap<-10 closes<2d venue:north not toned`")
    form = sub.add_mutually_exclusive_group()
    form.add_argument("--csv", action="store_true", help="a table for a spreadsheet")
    form.add_argument("--plain", action="store_true", help="a sentence or two a lot, no columns")
    sub.add_argument("--any", action="store_true", help="exit 5 when nothing matches")


def _lot(sub: Parser, _: Parser) -> None:
    sub.add_argument("key", metavar="KEY", help="a lot's key or any unique end of it; or `add`")
    add = sub.add_argument
    add("--title", metavar="TEXT", help="with add: what the catalogue or table says")
    add("--venue", default="", metavar="V")
    add("--id", default="", help="the lot number, when there is one")
    add("--price", default="", metavar="120EUR")
    add("--price-kind", default="", choices=["", "fixed", "so far", "estimate", "ended"])
    add("--closes", default="", metavar="TIME", help="closing time, in the venue's zone")
    add("--seller", default="")
    add("--feedback", default="", help="the seller's feedback count")
    add("--link", default="")
    add("--description", default="", metavar="TEXT")
    add(
        "--dismiss",
        type=int,
        default=None,
        metavar="N",
        help="set the sign of reason N aside, or restore it; the lot is marked anew",
    )
    add("--note", default="", metavar="TEXT", help="with --dismiss: why")


def _read(sub: Parser, _: Parser) -> None:
    sub.add_argument("file", metavar="FILE", nargs="?", default="-", help="one title a line; - is standard input")
    sub.add_argument(
        "--correct",
        nargs="+",
        metavar="WORDS",
        default=None,
        help="KEY FIELD=VALUE mends a lot; WORDS FIELD=VALUE [source:NAME] teaches a word; list; drop ID",
    )


def _price(sub: Parser, _: Parser) -> None:
    sub.add_argument("coin", metavar="COIN", nargs="*", help='"COUNTRY DENOMINATION YEAR-MINT", or an issue key')
    sub.add_argument("--grade", default="", metavar="G", help="number or word; without it the whole curve")
    sub.add_argument("--raw", action="store_true", help="as a piece no service holds")
    sub.add_argument("--refit", action="store_true", help="fit the market again first")
    sub.add_argument(
        "--weight",
        nargs=2,
        metavar=("SALE", "W"),
        default=None,
        help="count a sale less, 0 sets it aside; `watchlist undo` turns it back",
    )
    sub.add_argument("--note", default="", help="with --weight: why")


def _decide(sub: Parser, _: Parser) -> None:
    sub.add_argument("key", metavar="KEY")
    sub.add_argument("what", metavar="WHAT", choices=ACTS, help=", ".join(ACTS))
    sub.add_argument("amount", metavar="AMOUNT", nargs="?", default="", help="for bid and offer; the venue's currency")
    sub.add_argument("--anyway", action="store_true", help="although it is over the ceiling or the budget")


def _bids(sub: Parser, _: Parser) -> None:
    sub.add_argument("--budget", metavar="N", default="", help="home currency; else the setting")


def _result(sub: Parser, _: Parser) -> None:
    sub.add_argument("key", metavar="KEY")
    sub.add_argument("price", metavar="PRICE", help="the hammer price, the venue's currency unless it says another")
    sub.add_argument("--won", action="store_true")


def _backup(sub: Parser, _: Parser) -> None:
    sub.add_argument("file", metavar="FILE", nargs="?", default="", help="where to; else into the shelf's `backups`")
    sub.add_argument("--replace", action="store_true", help="although there is such a file")


def _restore(sub: Parser, _: Parser) -> None:
    sub.add_argument("file", metavar="FILE")
    sub.add_argument("--replace", action="store_true", help="although this shelf holds something; that is kept beside")


FILL = {
    "try": _try,
    "import": _import,
    "venue": _venue,
    "source": _source,
    "want": _want,
    "gather": _gather,
    "lots": _lots,
    "lot": _lot,
    "read": _read,
    "price": _price,
    "decide": _decide,
    "bids": _bids,
    "result": _result,
    "backup": _backup,
    "restore": _restore,
}
