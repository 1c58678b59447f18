"""The option of verbs that write a file, and how they write it."""

from __future__ import annotations

from watchlist.cli.parser import Parser
from watchlist.desk.files import check_free as check_free
from watchlist.desk.files import write_file as write_file


def replace_option(parser: Parser) -> None:
    """`--replace`, for verbs that write a file."""
    parser.add_argument("--replace", action="store_true", help="write over a file that is there")
