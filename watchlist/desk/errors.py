"""Failures that a person can do something about, each one sentence.

DeskError           words that name nothing on the shelf: no such lot, venue, source, want or coin
├── TooMuch         a bid over its ceiling or the budget; the person may write it all the same
└── Stopped         the person stopped long work; what was kept stays, the rest is due
PLAIN               DeskError and the families of the other rooms that reach a person as they are
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from watchlist.core.fees.ladders import TermsError
from watchlist.core.imports.record import ImportRefused
from watchlist.core.money.amount import MoneyError
from watchlist.core.sift.line import SiftError
from watchlist.core.typed.words import TypedError
from watchlist.shelf.errors import ShelfError


class DeskError(Exception):
    """What was asked for cannot be done as it was said; the message says why and what to do."""


class TooMuch(DeskError):
    """A bid costs more than the ceiling or the budget allow. Nothing was written."""


class Stopped(DeskError):
    """The person stopped long work; the message says what stays and what is due."""


PLAIN = (DeskError, ImportRefused, TermsError, MoneyError, SiftError, ShelfError)


@contextmanager
def refusing(after: str = "Nothing was changed.") -> Iterator[None]:
    """What a person typed is checked inside: a word that cannot be taken is a DeskError, which says what stays true."""
    try:
        yield
    except TypedError as error:
        raise DeskError(f"{error}. {after}") from None
