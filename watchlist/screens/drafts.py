"""What was typed into forms that were left: it comes back when the same form is opened again, in this run only."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

if TYPE_CHECKING:
    from watchlist.screens.app import Screens

Drafts = dict[tuple[str, str], Mapping[str, str]]
"""By the form and what it is about: the fields that were changed."""
_OF: WeakKeyDictionary[Screens, Drafts] = WeakKeyDictionary()


def drafts_of(app: Screens) -> Drafts:
    """The drafts of this run of the screens."""
    return _OF.setdefault(app, {})
