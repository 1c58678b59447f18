"""How one's own calls came out: values against later prices, and what lots marked Bargain were sold for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import timedelta
from statistics import median

from watchlist.core.coins.scale import grade_word
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.judging.judging import CALLED
from watchlist.shelf.store.rows import LotRow


@dataclass(frozen=True, slots=True)
class Calls:
    """How values and Bargains came out."""

    sold: int
    held: int
    """Hammer prices, all in, inside the value's low and high."""
    by: Mapping[str, tuple[int, int]]
    """The same by grade, then by series: held, of how many."""
    called: int
    """Lots marked Bargain that were sold since."""
    shares: tuple[float, ...]
    """What each of them cost at its hammer price, all in, over the median of its value when it was marked."""

    @property
    def line(self) -> str:
        """One sentence or two."""
        if not self.sold:
            return "No lot with a value has been sold yet, so no mark can be checked."
        text = f"{self.held} of {self.sold} lots sold inside their value's low and high (single sales swing more)."
        if self.shares:
            typical = median(self.shares)
            below = sum(share < 1 for share in self.shares)
            text += (
                f" {self.called} marked Bargain were sold: typically at {typical:.0%} of the median, {below} below it."
            )
        return text


def calls(desk: Desk, days: int = 90) -> Calls:
    """How often a value held the later price, and what lots marked Bargain were sold for. A sold lot keeps the value of
    its last mark, which no sale of its own had moved."""
    by: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    told = list(_called(desk, days))
    for each in told:
        for name in each.names:
            by[name][0] += each.inside
            by[name][1] += 1
    marked = {each.lot: float(each.data["mid"]) for each in desk.shelf.store.findings.of(CALLED)}
    shares = tuple(each.cost / marked[each.lot] for each in told if marked.get(each.lot, 0.0) > 0)
    held = sum(each.inside for each in told)
    return Calls(len(told), held, {name: (a, b) for name, (a, b) in sorted(by.items())}, len(shares), shares)


@dataclass(frozen=True, slots=True)
class _Call:
    """How one value came out."""

    lot: str
    cost: float
    """Hammer price, all in; home currency."""
    inside: bool
    names: tuple[str, ...]
    """Its grade, and its series where its issue is known."""


def _called(desk: Desk, days: int) -> Iterator[_Call]:
    """Lots with a value that were sold in the last days."""
    closed = Filter(closes_after=desk.now - timedelta(days=days), closes_before=desk.now)
    for line in desk.shelf.store.listing.each(closed):
        row = desk.shelf.store.lots.get(line.key) if line.kind == "ended" else None
        call = _call(desk, row) if row is not None and row.lot.price_kind == "ended" else None
        if call is not None:
            yield call


def _call(desk: Desk, row: LotRow) -> _Call | None:
    judged = row.judgement
    if judged is None or judged.all_in is None or judged.value is None:
        return None
    cost = judged.all_in.amount
    issue = desk.catalogue.by_key.get(judged.issue or "")
    grade = grade_word(judged.grade_low) if judged.grade_low is not None else "no grade"
    names = (grade.partition("-")[0], f"{issue.country} {issue.denomination}" if issue else "")
    inside = judged.value.low <= cost <= judged.value.high
    return _Call(row.lot.key, float(cost), inside, tuple(filter(None, names)))
