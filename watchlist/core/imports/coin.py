"""Which issue a row means: its key, its country, denomination, year and mint, or the words of its title."""

from __future__ import annotations

from dataclasses import dataclass, field

from watchlist.core.coins.catalogue import Catalogue, implied_issue
from watchlist.core.coins.issue import Issue, bare_words
from watchlist.core.imports.cells import means, named, overdate, quoted, year
from watchlist.core.imports.context import Context
from watchlist.core.imports.record import CellError, Row, Table
from watchlist.core.imports.spelling import Likeness, joined, like_country, like_denomination, like_mint
from watchlist.core.marks.strikes import set_apart
from watchlist.core.reading.record import Reading

CELLS = ("country", "denomination", "year", "mint", "variety", "type")
"""The columns that name a coin."""
UNKNOWN_UNIT = (
    "a denomination that Watchlist does not know is learnt from a catalogue: `watchlist import catalogue FILE` first, "
    "then this file again"
)
SHOWN = 4
"""Candidates named in a sentence."""


@dataclass(frozen=True, slots=True)
class Coin:
    """Country to variety as the cells of a row give them."""

    country: str
    denomination: str
    year: int
    mint: str | None
    """None: any mint, or no column of mints."""
    variety: str | None
    type: str = ""

    @property
    def name(self) -> str:
        """In words."""
        return implied_issue(self.country, self.denomination, self.year, self.mint, self.variety).name


@dataclass(slots=True)
class Finder:
    """Finds the issue of each row; an issue of a series that no catalogue lists is implied, once."""

    table: Table
    context: Context
    implied: dict[str, Issue] = field(default_factory=dict)
    found: dict[tuple[str, ...], tuple[Issue, Coin]] = field(default_factory=dict)
    """What the cells of a coin meant when they were met before."""

    def all_implied(self) -> tuple[Issue, ...]:
        """The implied issues, with a note beside a catalogue: a slip of a country or a denomination shows there."""
        made = tuple(self.implied.values())
        if made and any(not issue.implied for issue in self.context.catalogue.by_key.values()):
            names = ", ".join(issue.name for issue in made[:SHOWN]) + (" and others" if len(made) > SHOWN else "")
            self.context.note(f"not in any series of the catalogue, and kept as the file names it: {names}")
        return made

    def of_row(self, row: Row) -> tuple[Issue, Coin | None, Reading | None]:
        """Issue, the coin its cells name, and the reading of its title where the cells do not say; raises CellError."""
        key = self.context.keys.get(row.get("issue"), row.get("issue"))
        if key and (issue := self.context.catalogue.by_key.get(key)):
            return issue, None, None
        if row.get("denomination") and row.get("year"):
            return *self.of_cells(row), None
        if title := row.get("title"):
            issue, reading = self.of_title(title, row)
            return issue, None, reading
        if key:
            raise CellError(f"the issue {quoted(key)} is not in the catalogue")
        missing = "denomination" if not row.get("denomination") else "year"
        raise CellError(f"the {missing} is missing, and no title says it")

    def of_cells(self, row: Row) -> tuple[Issue, Coin]:
        """The one issue that the cells name, and what they name; raises CellError. Most coins stand in many rows."""
        cells = tuple(map(row.get, CELLS))
        if cells not in self.found:
            coin = read_coin(row, self.context, mint_given="mint" in self.table.columns)
            self.found[cells] = self.of_coin(coin), coin
        return self.found[cells]

    def of_coin(self, coin: Coin) -> Issue:
        """The one issue that the cells name; raises CellError."""
        catalogue = self.context.catalogue
        found = self._resolve(coin)
        if isinstance(found, Issue):
            return found
        if found:
            names = ", ".join(issue.name for issue in found[:SHOWN])
            raise CellError(f"{coin.name} can mean several issues of the catalogue: {names}")
        self._ask(coin)
        if series_known(catalogue, coin):
            raise CellError(f"the catalogue has this series but not {coin.name}")
        issue = implied_issue(coin.country, coin.denomination, coin.year, coin.mint, coin.variety)
        return self.implied.setdefault(issue.key, issue)

    def _ask(self, coin: Coin) -> None:
        """Raises CellError where country, denomination or mint may be one of the catalogue's, otherwise spelt."""
        catalogue, context = self.context.catalogue, self.context
        if coin.country and catalogue.country(coin.country) is None:
            ask_country(coin.country, context)
        elif series_known(catalogue, coin):
            context.ask(like_mint(catalogue, coin.country, coin.denomination, coin.mint or ""))
        else:
            ask_denomination(coin, context)

    def of_title(self, title: str, row: Row) -> tuple[Issue, Reading]:
        """The issue that a title names, with the help of the cells; raises CellError."""
        if issue := self.context.catalogue.find_coin(title, self.context.reader.canonical_denomination).issue:
            return issue, Reading(title)
        reading = self.context.reader.read(title, "", row.values)
        match = set_apart(reading, self.context.catalogue.match(reading), self.context.catalogue)
        if match.issue is not None:
            return match.issue, reading
        if match.known_series or match.candidates:
            raise CellError(f"the title {quoted(title)} names no single issue of the catalogue. {match.why}".strip())
        if reading.denomination is None and reading.year is not None:
            self.context.note(UNKNOWN_UNIT)
            raise CellError(f"the title {quoted(title)} names no denomination that is known")
        if reading.denomination is None or reading.year is None:
            raise CellError(f"the title {quoted(title)} names no denomination and year")
        country = reading.country or row.get("country")
        coin = Coin(country, reading.denomination, reading.year, reading.mint, reading.variety)
        return self.of_coin(coin), reading

    def _resolve(self, coin: Coin) -> Issue | tuple[Issue, ...] | None:
        return self.context.once("coin", repr(coin), lambda _: resolve(self.context.catalogue, coin))


def ask_country(name: str, context: Context) -> None:
    """Raises CellError where an unlisted country may be one of the catalogue's, otherwise spelt; one that the readers
    know by itself is its own."""

    def like(_: str) -> Likeness | None:
        found = like_country(context.catalogue, name)
        if found is None:
            return None
        other = context.reader.read(name).country
        return None if other and bare_words(other) not in (bare_words(name), bare_words(found.meant)) else found

    context.ask(context.once("like", name, like))


def ask_denomination(coin: Coin, context: Context) -> None:
    """Raises CellError where an unlisted denomination of a listed country may be a listed one, otherwise spelt."""
    catalogue, both = context.catalogue, f"{coin.country}\n{coin.denomination}"
    context.ask(context.once("like", both, lambda _: like_denomination(catalogue, coin.country, coin.denomination)))


def resolve(catalogue: Catalogue, coin: Coin) -> Issue | tuple[Issue, ...] | None:
    """The catalogue's issue, several, or None. Without a mint column the unmarked issue is meant where there is one."""
    mint = coin.mint
    if mint and len(mint) > 3 and len(named := catalogue.mints_named(mint)) == 1:
        mint = next(iter(named))
    found = catalogue.resolve(coin.country or None, coin.denomination, coin.year, mint, coin.variety)
    if not isinstance(found, tuple):
        return found
    left = [issue for issue in found if not coin.type or bare_words(issue.type) == bare_words(coin.type)] or list(found)
    plain = [issue for issue in left if not issue.mint] if coin.mint is None else []
    left = plain or left
    return left[0] if len(left) == 1 else tuple(left)


def series_known(catalogue: Catalogue, coin: Coin) -> bool:
    """Whether the catalogue itself lists the country and denomination, so that a missing year says something."""
    named = catalogue.country(coin.country)
    if coin.country and named is None:
        return False
    series = catalogue.series(coin.denomination, named)
    return series is not None and series.listed > 0


def read_coin(row: Row, context: Context, *, mint_given: bool) -> Coin:
    """Country, denomination, year, mint and variety of a row; raises CellError.

    `mint_given`: the file has a column of mints, so that an empty cell is the main mint.
    """
    country = joined(context.joins, "country", row.get("country"))
    denomination = read_denomination(row.get("denomination"), country, context)
    denomination = joined(context.joins, "denomination", denomination)
    number, glued = read_year(row.get("year"), context)
    mint = read_mint(row.get("mint"), context)
    if not row.get("mint"):
        mint = glued or ("" if mint_given else None)
    variety = row.get("variety") or overdate(row.get("year")) or None
    return Coin(country, denomination, number, mint, variety, row.get("type"))


def read_denomination(text: str, country: str, context: Context) -> str:
    """A denomination in canonical words; raises CellError for an empty one."""
    if not text:
        raise CellError("the denomination is missing")
    read = context.reader.canonical_denomination
    return context.once("denomination", f"{country}\n{text}", lambda _: read(text, country)) or text.casefold()


def read_year(text: str, context: Context) -> tuple[int, str]:
    """Year and glued mint mark; a cell in another era is read as a title is. Raises CellError."""
    return named("year", lambda _: context.once("year", text, lambda _: _year(text, context)), text)


def _year(text: str, context: Context) -> tuple[int, str]:
    try:
        return year(text, context.words)
    except CellError:
        worded = len(text) < 40 and (text[:1].isalpha() or not text.isascii())
        read = context.reader.read(text) if worded else None
        if read is None or read.year is None:
            raise
        return read.year, ""


def read_mint(text: str, context: Context) -> str | None:
    """A mint mark as on the piece; empty for the main mint, None for any."""
    if means(text, "any", context.words):
        return None
    return "" if means(text, "no_mint", context.words) else joined(context.joins, "mint", text)
