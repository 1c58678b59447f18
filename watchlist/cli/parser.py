"""The command line: what all verbs share, and how a wrong word is answered with the nearest right one."""

from __future__ import annotations

import argparse
import difflib
import importlib
import keyword
import re
from argparse import Namespace
from collections.abc import Callable, Mapping, Sequence
from functools import cache, partial
from typing import NoReturn, Protocol, cast

from watchlist import __version__
from watchlist.cli.verbs import VERBS


class WrongUse(Exception):
    """The words of the command are off; the text says which and what is near."""


class Parser(argparse.ArgumentParser):
    """An argument parser that raises instead of leaving, and names the nearest right word."""

    fill: Callable[[Parser], None] | None = None
    """Adds its options when they are first needed."""

    def error(self, message: str) -> NoReturn:
        """Turn argparse's message into one sentence with a suggestion."""
        raise WrongUse(f"{_nearest(message, self)}. `{self.prog} --help` lists what it takes")

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Namespace | None = None
    ) -> tuple[Namespace, list[str]]:
        """As argparse has it, but a verb answers for its own unknown options, with its own nearest ones."""
        self.filled()
        made, rest = super().parse_known_args(args, namespace)
        if rest:
            self.error(f"unrecognized arguments: {' '.join(rest)}")
        return made, rest

    def filled(self) -> Parser:
        """Itself, with its options."""
        fill, self.fill = self.fill, None
        if fill:
            fill(self)
        return self


class Verb(Protocol):
    """What each module of verbs offers."""

    def options(self, parser: Parser) -> None:
        """Add what the verb takes."""

    def run(self, args: Namespace) -> int:
        """Do it; the exit code."""


def verb(name: str) -> Verb:
    """The module of a verb, loaded now."""
    file = f"{name}_" if keyword.iskeyword(name) else name
    return cast(Verb, importlib.import_module(f"watchlist.cli.verbs.{file}"))


def _nearest(message: str, parser: argparse.ArgumentParser) -> str:
    choice = re.search(r"invalid choice: '(.*?)' \(choose from (.*)\)", message)
    if choice:
        known = [word.strip(" '") for word in choice[2].split(",")]
        return f"`{choice[1]}` is not valid{_suggest(choice[1], known)}"
    unknown = re.search(r"unrecognized arguments: (\S+)", message)
    if unknown:
        options = [text for action in parser._actions for text in action.option_strings]
        return f"`{unknown[1]}` is not valid{_suggest(unknown[1].split('=')[0], options)}"
    return message[:1].lower() + message[1:]


def _suggest(word: str, known: list[str]) -> str:
    near = difflib.get_close_matches(word, known, 1, 0.5)
    return f" (did you mean `{near[0]}`?)" if near else "; known are " + ", ".join(known)


@cache
def build() -> Parser:
    """The whole command line; the options of a verb are added when it is met."""
    about = "A want-list and auction watch for coin collectors. Without a verb it opens the screens."
    parser = Parser(prog="watchlist", parents=[shared()], description=about)
    parser.add_argument("--version", action="version", version=f"watchlist {__version__}")
    verbs = parser.add_subparsers(dest="verb", metavar="VERB", parser_class=Parser)
    for name, words in VERBS.items():
        made = verbs.add_parser(name, parents=[shared()], help=words, description=words[:1].upper() + words[1:] + ".")
        made.fill = partial(_fill, name)
    return parser


def _fill(name: str, parser: Parser) -> None:
    verb(name).options(parser)


@cache
def shared() -> Parser:
    """The options that every verb takes."""
    none = argparse.SUPPRESS
    made = Parser(add_help=False)
    made.add_argument("--shelf", metavar="DIR", default=none, help="the folder where everything is stored")
    made.add_argument("--settings", metavar="FILE", default=none, help="another settings.toml")
    made.add_argument("--now", metavar="TIME", default=none, help="work as if it were this time (ISO 8601)")
    made.add_argument("--no-color", action="store_true", default=none, help="no colour; NO_COLOR does the same")
    made.add_argument("--no-mouse", action="store_true", default=none, help="leave the mouse to the terminal")
    made.add_argument("--json", action="store_true", default=none, help="one JSON object per line on stdout")
    return made


def acts(parser: Parser, words: Mapping[str, str]) -> dict[str, Parser]:
    """The acts of a verb, each with its line of help."""
    made = parser.add_subparsers(dest="act", metavar="ACT", required=True, parser_class=Parser)
    found = {}
    for name, each in words.items():
        also = ["remove"] if name == "drop" else []
        found[name] = made.add_parser(name, aliases=also, parents=[shared()], help=each)
        found[name].set_defaults(act=name)
    return found


def replace_option(parser: Parser) -> None:
    """`--replace`, for verbs that write a file."""
    parser.add_argument("--replace", action="store_true", help="write over a file that exists")
