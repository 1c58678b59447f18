"""One open shelf, with all that lots are judged against. What is costly is made when it is first needed."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import datetime
from functools import cached_property
from typing import Any

from watchlist import words
from watchlist.core.coins.catalogue import Catalogue, Found
from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import Terms
from watchlist.core.lots.source import Source
from watchlist.core.marks.record import Want
from watchlist.core.marks.valuation import Market, NoMarket, SavedMarket
from watchlist.core.marks.wants import WantIndex
from watchlist.core.money.amount import Rates
from watchlist.core.prices.bands import VERSION, MarketState
from watchlist.core.reading.reader import Reader
from watchlist.core.reading.vocabulary.vocabulary import Vocabulary
from watchlist.desk.errors import DeskError
from watchlist.shelf.settings import Settings
from watchlist.shelf.shelf import Shelf


class Desk:
    """The working day on one shelf. `now` is the clock that everything is judged by."""

    def __init__(self, shelf: Shelf, now: datetime) -> None:
        self.shelf = shelf
        self.now = now
        self.going: Callable[[str, float], bool] = _always
        """Asked between the steps of long work, with words and the share done; False stops the work."""

    @property
    def settings(self) -> Settings:
        """The person's settings."""
        return self.shelf.settings

    @property
    def home(self) -> str:
        """The home currency."""
        return self.settings.home.currency

    @cached_property
    def currencies(self) -> frozenset[str]:
        """Codes of the currencies that a person may type."""
        table = self.words["money"]
        return frozenset(f"{table['codes']} {table['old_codes']}".split())

    @cached_property
    def words(self) -> Mapping[str, Any]:
        """All word tables."""
        return words.load()

    @cached_property
    def catalogue(self) -> Catalogue:
        """All issues of the shelf, implied ones too."""
        return Catalogue(self.shelf.store.issues())

    @cached_property
    def terms(self) -> Mapping[str, Terms]:
        """The venues' terms by name."""
        return {terms.venue: terms for terms in self.shelf.notebook.venues.list()}

    @cached_property
    def sources(self) -> Mapping[str, Source]:
        """The sources by name."""
        return {source.name: source for source in self.shelf.notebook.sources.list()}

    @cached_property
    def wants(self) -> WantIndex:
        """The want-list."""
        return WantIndex(self.shelf.notebook.wants.list())

    @cached_property
    def rates(self) -> Rates:
        """Exchange rates into the home currency."""
        return Rates(self.home, self.shelf.store.rates())

    @cached_property
    def corrections(self) -> Sequence[Mapping[str, Any]]:
        """The person's corrections of the reader, oldest first."""
        return self.shelf.notebook.corrections.list()

    @cached_property
    def reader(self) -> Reader:
        """The title reader, taught with the catalogue's own words and the person's corrections."""
        from watchlist.desk.correcting import taught

        services = self.settings.reading.services
        return Reader(Vocabulary(self.words, services, taught(self), self.catalogue.catalogued))

    @cached_property
    def market(self) -> Market:
        """Bands from the saved market state; no market before the first fit, or after a change of its meaning."""
        store = self.shelf.store
        header = store.market_header()
        if header is None or header.get("version") != VERSION:
            return NoMarket()
        if header["currency"] != self.home or header["kind"] != self.settings.prices.kind:
            return NoMarket()
        kept: dict[str, Any] = {}

        def lookup(key: str) -> Any:
            if key not in kept:
                kept[key] = store.market_row(key)
            return kept[key]

        return SavedMarket(MarketState(header, lookup))

    def forget(self) -> None:
        """Drop what was made of the shelf: it has changed."""
        for name in ("catalogue", "terms", "sources", "wants", "rates", "corrections", "reader", "market"):
            self.__dict__.pop(name, None)

    def local_today(self) -> Any:
        """The day on the person's own calendar."""
        return self.now.astimezone(self.settings.home.zone).date()

    def issue_name(self, key: str) -> str:
        """An issue in words, or its key where it is unknown."""
        from watchlist.page.wording import coin_name

        issue = self.catalogue.by_key.get(key)
        return coin_name(issue) if issue else key

    def lot_key(self, end: str) -> str:
        """The key of the one lot whose key ends so. Raises DeskError for none or several."""
        found = self.shelf.store.find_lot(end)
        if len(found) == 1 or end in found:
            return end if end in found else found[0]
        if found:
            raise DeskError(f"`{end}` is the end of several lots: {', '.join(found[:5])}; write more of the key.")
        raise DeskError(f"There is no lot `{end}`; `watchlist lots` lists them with their keys.")

    def short_key(self, key: str) -> str:
        """The shortest end of a key, from a mark on, that means this lot alone."""
        places = [place + 1 for place, letter in enumerate(key) if letter in ":,"]
        for place in reversed(places):
            if self.shelf.store.find_lot(key[place:], 2) == [key]:
                return key[place:]
        return key

    def find_coin(self, text: str) -> Found:
        """The issue that a typed coin means, in the catalogue's own words or in those of titles."""
        return self.catalogue.find_coin(text, self.reader.canonical_denomination)

    def coin(self, text: str) -> Issue:
        """The issue that a person's words mean. Raises DeskError with the nearest ones."""
        found = self.find_coin(text)
        if found.issue is not None:
            return found.issue
        raise DeskError(found.note)  # it names the nearest, or all that are meant

    def known_venue(self, name: str) -> str:
        """A venue's name as it is kept, whatever its case. Raises DeskError with the nearest one."""
        return known(name, self.terms, "venue", "watchlist venue list")

    def known_source(self, name: str) -> Source:
        """The source of this name. Raises DeskError with the nearest one."""
        return self.sources[known(name, self.sources, "source", "watchlist source list")]

    def known_want(self, id: str) -> Want:
        """The want of this id. Raises DeskError with the nearest one."""
        return self.wants.by_id[known(id, self.wants.by_id, "want", "watchlist want list")]


def _always(_words: str, _share: float) -> bool:
    return True


def known(name: str, names: Iterable[str], what: str, where: str) -> str:
    """The one of the names that is meant, whatever its case. Raises DeskError with the nearest one."""
    folded = {each.casefold(): each for each in names}
    if name.casefold() in folded:
        return folded[name.casefold()]
    near = difflib.get_close_matches(name.casefold(), folded, 1, 0.5)
    hint = f"the nearest is `{folded[near[0]]}`" if near else f"`{where}` lists them"
    raise DeskError(f"There is no {what} `{name}`; {hint}.")
