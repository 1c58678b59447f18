"""The kinds of a person's own files: to add one is a file beside this one and its line here."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from watchlist.core.imports.catalogue import CATALOGUE
from watchlist.core.imports.guide import GUIDE
from watchlist.core.imports.kind import Kind
from watchlist.core.imports.pieces import PIECES
from watchlist.core.imports.population import POPULATION
from watchlist.core.imports.prices import SALES
from watchlist.core.imports.rates import RATES
from watchlist.core.imports.results import RESULTS
from watchlist.core.imports.terms import TERMS
from watchlist.core.imports.wants import WANTS

KINDS: Mapping[str, Kind[Any]] = {
    "catalogue": CATALOGUE,
    "prices": SALES,
    "wants": WANTS,
    "guide": GUIDE,
    "population": POPULATION,
    "terms": TERMS,
    "rates": RATES,
    "results": RESULTS,
    "pieces": PIECES,
}
