"""One open shelf, with all that lots are judged against. What is costly is made when it is first needed."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from functools import cached_property
from typing import Any, Final

from watchlist import words
from watchlist.core.coins.catalogue import Catalogue
from watchlist.core.coins.issue import Issue
from watchlist.core.coins.varietywords import VarietyWords, variety_words
from watchlist.core.decisions.results import fill
from watchlist.core.fees.terms import Terms
from watchlist.core.imports.spelling import Joins
from watchlist.core.lots.source import Source
from watchlist.core.marks.signs import Signs, signs_from
from watchlist.core.marks.signtable import changed
from watchlist.core.marks.strikes import strikes_in
from watchlist.core.marks.valuation import Market, NoMarket, SavedMarket
from watchlist.core.marks.wants import WantIndex
from watchlist.core.money.amount import Rates
from watchlist.core.money.codes import known_codes
from watchlist.core.prices.bands import VERSION, MarketState
from watchlist.core.prices.traits import traits_from
from watchlist.core.reading.reader import Reader
from watchlist.desk.due import Owed
from watchlist.desk.errors import DeskError
from watchlist.desk.reader import build_reader, joined_words
from watchlist.page.drawing import ASCII, Alphabet, alphabet_for
from watchlist.shelf.settings import Settings
from watchlist.shelf.shelf import Shelf

SIGNS_KEPT = "signs kept"
"""Name of the fact that holds the person's own table of signs, as TOML."""
MOVED, JOINED = "moved", "joined"
"""Facts of the shelf: keys that issues had before with those of today, and spellings joined to the catalogue's."""
DELETED_SALES, DELETED_LOTS = "deleted_sales", "deleted_lots"
"""Facts of the shelf: digests of sales and keys of lots that the person deleted, so that they do not come again."""
FIRST_KIND: Final = "before postage"
"""What bands are compared by, unless the settings or an older shelf say otherwise."""
OF_SHELF = ("spellings", "moved", "deleted_lots", "terms", "sources", "bought", "wants", "rates", "corrections")
MADE = ("signs", *OF_SHELF, "catalogue", "reader", "market", "kind")
"""What a desk makes of its shelf."""


class Desk:
    """The working day on one shelf. `now` is the clock that everything is judged by."""

    def __init__(self, shelf: Shelf, now: datetime, encoding: str = "ascii") -> None:
        self.shelf = shelf
        self.now = now
        self._encoding = encoding
        self.owed = Owed(shelf.store.facts)
        """What is due on this shelf."""
        self.go_on: Callable[[str, float], bool] = _always
        """Asked between the steps of long work, with words and the share done; False stops the work."""

    @property
    def settings(self) -> Settings:
        """The person's settings."""
        return self.shelf.settings

    @property
    def drawing(self) -> Alphabet | None:
        """What charts are drawn with, as settings and the terminal's encoding allow; None where words are wanted."""
        wish = self.settings.plots
        return None if wish == "words" else ASCII if wish == "ascii" else alphabet_for(self._encoding)

    @property
    def home(self) -> str:
        """The home currency."""
        return self.settings.home.currency

    @cached_property
    def kind(self) -> str:
        """What the prices behind the bands hold: as the settings say; else as they were calculated, at first as
        `FIRST_KIND` says."""
        header = self.shelf.store.market.header() or {}
        return self.settings.prices.kind or str(header.get("kind") or FIRST_KIND)

    def use_kind(self, kind: str) -> None:
        """Bands are to mean this from the next fit on. Raises DeskError where the settings say something else."""
        stated = self.settings.prices.kind
        if stated and stated != kind:
            raise DeskError(
                f'settings.toml says kind = "{stated}" under [prices]: change it there. Bands are unchanged.'
            )
        self.__dict__["kind"] = kind

    @cached_property
    def currencies(self) -> frozenset[str]:
        """Codes of the currencies that a person may type."""
        return known_codes(self.words["money"])

    @cached_property
    def words(self) -> Mapping[str, Any]:
        """All word tables."""
        return words.load()

    @cached_property
    def signs(self) -> Signs:
        """Signs of doubt with their weights: the person's own table where one was kept, else the program's."""
        kept = self.shelf.store.facts.get(SIGNS_KEPT)
        return signs_from(changed(self.words["signs"], tomllib.loads(kept)) if kept else self.words["signs"])

    @cached_property
    def tongues(self) -> VarietyWords:
        """What varieties and strikes are called in any language."""
        return variety_words(words.load("varieties"))

    @cached_property
    def catalogue(self) -> Catalogue:
        """All issues of the shelf, implied ones too."""
        return Catalogue(self.shelf.store.catalogue.issues(), self.tongues)

    @cached_property
    def spellings(self) -> Joins:
        """Spellings that the person joined to the catalogue's names."""
        return self.shelf.store.facts.get(JOINED) or {}

    @cached_property
    def moved(self) -> Mapping[str, str]:
        """Keys that issues had before, each with the one of today."""
        return self.shelf.store.facts.get(MOVED) or {}

    @cached_property
    def deleted_lots(self) -> frozenset[str]:
        """Keys of lots that the person deleted."""
        return frozenset(self.shelf.store.facts.get(DELETED_LOTS) or ())

    def current(self, issue: str) -> str:
        """Today's key of an issue, by any that it had."""
        return issue if issue in self.catalogue.by_key else self.moved.get(issue, issue)

    @cached_property
    def terms(self) -> Mapping[str, Terms]:
        """The venues' terms by name."""
        return {terms.venue: terms for terms in self.shelf.notebook.venues.list()}

    @cached_property
    def sources(self) -> Mapping[str, Source]:
        """The sources by name."""
        return {source.name: source for source in self.shelf.notebook.sources.list()}

    @cached_property
    def bought(self) -> Mapping[str, int]:
        """How many pieces were bought for each want, by the decisions in force."""
        return self.shelf.store.purchases.by_want()

    @cached_property
    def wants(self) -> WantIndex:
        """The want-list; what fills a want is the person's own number and what was bought for it."""
        wants, bought = self.shelf.notebook.wants.list(), self.bought
        known, too = traits_from(self.words["traits"]), self.words["wants"]["problems_too"]
        return WantIndex((fill(want, bought.get(want.id, 0)) for want in wants), self.tongues, known, too)

    @cached_property
    def rates(self) -> Rates:
        """Exchange rates into the home currency."""
        return Rates(self.home, self.shelf.store.catalogue.rates())

    @cached_property
    def corrections(self) -> Sequence[Mapping[str, Any]]:
        """The person's corrections of the reader, oldest first."""
        return self.shelf.notebook.corrections.list()

    @cached_property
    def reader(self) -> Reader:
        """The title reader, taught with the catalogue's own words, the person's corrections and joined spellings."""
        taught = [*self.corrections, *joined_words(self.spellings)]
        return build_reader(self.words, self.settings.reading.services, self.catalogue, taught)

    @cached_property
    def market(self) -> Market:
        """Bands from the saved market state; no market before the first fit, or after a change of its meaning."""
        store = self.shelf.store
        header = store.market.header()
        if header is None or header.get("version") != VERSION:
            return NoMarket()
        if header["currency"] != self.home or header["kind"] != self.kind:
            return NoMarket()
        kept: dict[str, Any] = {}

        def lookup(key: str) -> Any:
            if key not in kept:
                kept[key] = store.market.row(key)
            return kept[key]

        return SavedMarket(MarketState(header, lookup, self._parent))

    def _parent(self, issue: Issue) -> str:
        """The plain issue that a variety is valued from; a pattern or a mint's error is priced apart."""
        return "" if strikes_in(issue.variety, self.tongues) else self.catalogue.parent(issue)

    def forget(self, *names: str) -> None:
        """Drop what was made of the shelf, or only what is named: it has changed."""
        for name in names or MADE:
            self.__dict__.pop(name, None)

    def local_today(self) -> date:
        """The day on the person's own calendar."""
        return self.now.astimezone(self.settings.home.zone).date()


def _always(_words: str, _share: float) -> bool:
    return True
