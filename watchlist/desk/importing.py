"""A person's own files: what was read, what was set aside and why; nothing changes on a dry run."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path
from typing import Any

from watchlist.core.coins.issue import Issue
from watchlist.core.fees.terms import Terms
from watchlist.core.imports import ImportRefused, SetAside, Table
from watchlist.core.imports.context import Context
from watchlist.core.imports.driver import Taking
from watchlist.core.imports.kinds import KINDS
from watchlist.core.imports.rates import RateRow
from watchlist.core.marks.record import Want
from watchlist.core.prices.realised import GuideRow, PriceRealised
from watchlist.core.prices.repeats import Pair, count_once, name
from watchlist.desk import fitting
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError
from watchlist.desk.wants import as_kept
from watchlist.feeds.bodies import decode, kind_of

MOST_ROWS = 1_000_000
MOST_BYTES = 200_000_000
TITLE_LINES = 100
"""Lines above the headings and below the last row."""
PACKED: Mapping[bytes, str] = {
    b"\x1f\x8b": "a packed file (gzip)",
    b"PK\x03\x04": "a packed file or a spreadsheet's own (zip)",
    b"BZh": "a packed file (bzip2)",
    b"\xfd7zXZ": "a packed file (xz)",
    b"7z\xbc\xaf": "a packed file (7z)",
    b"Rar!": "a packed file (rar)",
    b"%PDF": "a PDF",
    b"\xd0\xcf\x11\xe0": "a spreadsheet's own file",
    b"SQLite format 3": "a database",
    b"\x89PNG": "a picture",
    b"\xff\xd8\xff": "a picture",
    b"GIF8": "a picture",
}
"""First bytes of files that are no text."""
HEAD = 4_000
TAG = re.compile(r"(?i)<(?:table|tr|td|div|script|meta|title)\b")


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What one import did."""

    kind: str
    file: str
    rows: int
    taken: int
    repeated: int
    set_aside: tuple[SetAside, ...]
    notes: tuple[str, ...]
    dry_run: bool
    due: Due = NOTHING
    """What has to follow."""
    columns: Mapping[str, str] = field(default_factory=dict)


def import_file(
    desk: Desk,
    kind: str,
    body: bytes,
    name: str,
    *,
    encoding: str = "",
    dry_run: bool = False,
) -> ImportReport:
    """Import one file of a person's own. Raises ImportRefused when the whole file cannot be used."""
    from watchlist.feeds.table import read_table  # only those who import load it

    _within_bounds(body, name)
    _is_text(body, name)
    table = read_table(body, encoding=encoding, synonyms=desk.words["columns"], kind=kind)
    if not table.rows and not table.columns:
        raise ImportRefused(
            f"{name} has no line of headings that are known, and no rows; nothing was taken; name another file."
        )
    taking, due = Taking(KINDS[kind], table, _context(desk, name)), NOTHING
    records = taking.records()
    repeated, told = 0, list[str]()
    if dry_run:
        deque(records, maxlen=0)
    elif (first := next(records, None)) is not None:
        due = _due(desk, kind)
        with desk.shelf.store.together(), desk.changing(due):  # all of it, or nothing when it is stopped half-way
            repeated, told = _keep(desk, kind, chain((first,), records), taking)
    made = taking.imported()
    return ImportReport(
        kind,
        name,
        len(table.rows) + len(table.set_aside),
        taking.taken - repeated,
        repeated,
        made.set_aside,
        (*map(str, table.troubles), *made.notes, *_unknown(table), *(each.removeprefix(f"{name} ") for each in told)),
        dry_run,
        due,
        table.columns,
    )


def _due(desk: Desk, kind: str) -> Due:
    """What has to follow an import: all marks, a fit but for wants, all titles where the catalogue has grown."""
    fit = kind != "wants" or fitting.is_due(desk)
    return Due(market=fit, scales=fit, titles=kind == "catalogue", marks=True)


def bytes_of(path: Path) -> bytes:
    """The bytes of a file; of one that is too large just enough to tell. Raises DeskError with one sentence."""
    try:
        with path.open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except OSError as error:
        raise DeskError(f"{path} cannot be read ({error.strerror}). Nothing was changed.") from error


def _within_bounds(body: bytes, name: str) -> None:
    """A file beyond all collecting would take minutes and gigabytes: it is refused before it is read."""
    if len(body) > MOST_BYTES:
        raise ImportRefused(f"{name} is larger than {MOST_BYTES // 1_000_000} MB; nothing of it was taken; split it.")
    if max(body.count(b"\n"), body.count(b"\r")) > MOST_ROWS + TITLE_LINES:
        raise ImportRefused(f"{name} has more than {MOST_ROWS:,} rows; nothing of it was taken; split it.")


def _is_text(body: bytes, name: str) -> None:
    """A file that is plainly no table of text: nothing, a web page, a packed file, a spreadsheet's own format."""
    packed = next((what for mark, what in PACKED.items() if body.startswith(mark)), "")
    if packed:
        raise ImportRefused(f"{name} is {packed}, no text; nothing was taken; save the table as CSV and import that.")
    start = decode(body[:HEAD])
    found = kind_of(start)
    if found == "empty":
        raise ImportRefused(f"{name} holds nothing; nothing was taken; name another file.")
    if found == "page" or (found == "xml" and TAG.search(start)):
        raise ImportRefused(f"{name} is a web page, no table; nothing was taken; save its table as CSV.")


def _context(desk: Desk, name: str) -> Context:
    return Context(
        reader=desk.reader,
        words=desk.words,
        home=desk.home,
        today=desk.local_today(),
        catalogue=desk.catalogue,
        rates=desk.rates,
        file=name,
        wants=desk.wants.by_id,
        venues={venue: terms.currency for venue, terms in desk.terms.items()},
        taken_ids=desk.shelf.notebook.wants.ids(),
        step=desk.go_on,
    )


Kept = tuple[int, list[str]]
"""How many records were there already, and what is to be said of them."""


def _keep(desk: Desk, kind: str, records: Iterable[Any], taking: Taking[Any]) -> Kept:
    """Store the records as they come, and the issues that they imply."""
    kept = KEEPING[kind](desk, records) or (0, [])
    known = desk.catalogue.by_key
    if new := [issue for issue in taking.imported().issues if issue.key not in known]:
        desk.shelf.store.catalogue.merge(new)  # named by a want or a price only: they push out none of the catalogue
    return kept


def _keep_catalogue(desk: Desk, records: Iterable[Issue]) -> None:
    """Sales kept under an implied issue move to the catalogue's own, and the implied one goes."""
    issues = list(records)
    by_parts = {_parts(issue): issue.key for issue in issues}
    moves = {
        issue.key: by_parts[_parts(issue)]
        for issue in desk.catalogue.by_key.values()
        if issue.implied and _parts(issue) in by_parts and by_parts[_parts(issue)] != issue.key
    }
    if moves:
        desk.shelf.store.catalogue.supersede(moves)
    desk.shelf.store.catalogue.merge(issues)


def _parts(issue: Issue) -> tuple[str, str, int, str, str]:
    return (issue.country.casefold(), issue.denomination, issue.year, issue.mint, issue.variety.casefold())


def _keep_sales(desk: Desk, prices: Iterable[PriceRealised]) -> Kept:
    """A price that stands there word for word is no second one; nor is a sale that another file told of."""
    store = desk.shelf.store
    newest = store.prices.newest()
    _, repeated = store.prices.add(prices)
    own, told, same = store.results.prices(), list[str](), 0
    for issue in store.prices.may_repeat(newest) if newest else ():
        once = count_once(store.prices.of(issue), own)
        new = [each for each in once.same if _meets(each, newest)]
        same += len(new)
        told += [_other_price(each) for each in new if each.price.price != each.other.price]
        told += [_perhaps(each) for each in once.doubtful if _meets(each, newest)]
    more = [f"and {len(told) - TOLD_SALES} more such sales"] if len(told) > TOLD_SALES else []
    return repeated + same, [*told[:TOLD_SALES], *more]


def _keep_wants(desk: Desk, wants: Iterable[Want]) -> None:
    desk.shelf.notebook.wants.put(*(as_kept(desk, want) for want in wants))


def _keep_guide(desk: Desk, rows: Iterable[GuideRow]) -> None:
    desk.shelf.store.catalogue.put_guides(list(rows))


def _keep_terms(desk: Desk, terms: Iterable[Terms]) -> None:
    desk.shelf.notebook.venues.put(*terms)


def _keep_rates(desk: Desk, rates: Iterable[RateRow]) -> None:
    desk.shelf.store.catalogue.put_rates({(rate.currency, rate.month): rate.units for rate in rates})


KEEPING: Mapping[str, Callable[[Desk, Any], Kept | None]] = {
    "catalogue": _keep_catalogue,
    "prices": _keep_sales,
    "wants": _keep_wants,
    "guide": _keep_guide,
    "terms": _keep_terms,
    "rates": _keep_rates,
}
"""How the records of each kind are stored."""
TOLD_SALES = 20
"""Sales that were known before and are named one by one."""


def _meets(pair: Pair, newest: int) -> bool:
    """One of the two is new, the other was there."""
    return min(pair.price.id, pair.other.id) <= newest < max(pair.price.id, pair.other.id)


def _other_price(pair: Pair) -> str:
    return (
        f"{name(pair.price)} at {pair.price.price} is the same sale as {name(pair.other)} at {pair.other.price} "
        f"({pair.why}), which counts"
    )


def _perhaps(pair: Pair) -> str:
    return (
        f"{name(pair.price)} at {pair.price.price} may be the same sale as {name(pair.other)} ({pair.why}); both "
        f"count; `watchlist price --weight {pair.price.id} 0` sets it aside"
    )


def _unknown(table: Table) -> tuple[str, ...]:
    if not table.unknown:
        return ()
    return (f"columns not known and left alone: {', '.join(table.unknown)}",)
