"""How one's own calls came out: values against later prices, and what lots marked Bargain were sold for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from statistics import median

from watchlist.core.coins.scale import grade_word
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.judging import CALLED


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
    sold = held = 0
    marked = {each.lot: float(each.data["mid"]) for each in desk.shelf.store.findings.of(CALLED)}
    shares = []
    closed = Filter(closes_after=desk.now - timedelta(days=days), closes_before=desk.now)
    for line in desk.shelf.store.listing.each(closed):
        row = desk.shelf.store.lots.get(line.key) if line.kind == "ended" else None
        if row is None:
            continue
        judged = row.judgement
        if judged is None or row.lot.price_kind != "ended" or judged.all_in is None or judged.value is None:
            continue
        inside = judged.value.low <= judged.all_in.amount <= judged.value.high
        sold, held = sold + 1, held + inside
        issue = desk.catalogue.by_key.get(judged.issue or "")
        grade = grade_word(judged.grade_low) if judged.grade_low is not None else "no grade"
        for name in (grade.partition("-")[0], f"{issue.country} {issue.denomination}" if issue else ""):
            if name:
                by[name][0] += inside
                by[name][1] += 1
        if row.lot.key in marked and marked[row.lot.key] > 0:
            shares.append(float(judged.all_in.amount) / marked[row.lot.key])
    return Calls(sold, held, {name: (a, b) for name, (a, b) in sorted(by.items())}, len(shares), tuple(shares))
