"""Marks tried out: another chance for bargains, another table of signs, and how one's own calls came out."""

from __future__ import annotations

import tomllib
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal
from statistics import median

from watchlist.core.coins.scale import grade_word
from watchlist.core.marks.mark import judge
from watchlist.core.marks.signs import Signs, signs_from
from watchlist.core.marks.signtable import TableError, changed
from watchlist.core.sift.filter import Filter
from watchlist.desk.changes import entry
from watchlist.desk.desk import SIGNS_KEPT, Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import DeskError
from watchlist.desk.judging import CALLED, Judge
from watchlist.shelf.store.rows import LotRow

CURVE = ("0.30", "0.36", "0.40", "0.50", "0.60", "0.70")
CURVE_DAYS, EFFECT_DAYS = 90, 30


@dataclass(frozen=True, slots=True)
class Step:
    """What one setting of `bargain_chance` would have marked."""

    chance: Decimal
    bargains: int
    sold: int
    """Of these, lots whose hammer price is known."""
    under: int
    """Of these, sold below their value's median, all in."""


def recent(desk: Desk, days: int) -> Iterator[LotRow]:
    """Lots that their source listed in the last days, with their marks."""
    since = desk.now - timedelta(days=days)
    for line in desk.shelf.store.listing.each(Filter()):
        row = desk.shelf.store.lots.get(line.key)
        if row is not None and row.judgement is not None and row.lot.last_seen and row.lot.last_seen >= since:
            yield row


def curve(desk: Desk) -> list[Step]:
    """What each of several chances would have marked Bargain in the last 90 days, by the marks that are kept."""
    found = [row for row in recent(desk, CURVE_DAYS) if _may_be(row)]
    steps = []
    for text in CURVE:
        mine = [row for row in found if row.judgement and (row.judgement.chance_worth_it or 0) >= float(text)]
        sold = [row for row in mine if row.lot.price_kind == "ended"]
        under = sum(
            row.judgement is not None and row.judgement.gap is not None and row.judgement.gap < 0 for row in sold
        )
        steps.append(Step(Decimal(text), len(mine), len(sold), under))
    return steps


def _may_be(row: LotRow) -> bool:
    """All of the bargain rule but the chance holds."""
    judged = row.judgement
    if judged is None or judged.chance_worth_it is None or judged.gap is None or judged.gap > 0:
        return False
    return judged.mark in ("bargain", "low", "in range", "above ceiling") and not {"signs", "unsure"} & set(judged.also)


@dataclass(frozen=True, slots=True)
class Effect:
    """What another table of signs would do."""

    lots: int
    turned: tuple[tuple[str, str, str, str], ...]
    """Key, title, mark now, mark then."""

    @property
    def by_kind(self) -> Counter[tuple[str, str]]:
        """How many turn from which mark to which."""
        return Counter((now, then) for _, _, now, then in self.turned)


def read_table(desk: Desk, text: str) -> Signs:
    """The signs with the person's table put over the program's. Raises DeskError with one sentence."""
    try:
        return signs_from(changed(desk.words["signs"], tomllib.loads(text)))
    except tomllib.TOMLDecodeError as error:
        raise DeskError(f"The table of signs is not TOML: {error}. The old table stays in use.") from error
    except (TableError, KeyError, TypeError, ValueError) as error:
        raise DeskError(f"The table of signs cannot be used: {error}. The old table stays in use.") from error


def effect(desk: Desk, signs: Signs) -> Effect:
    """What these signs would change among the lots of the last 30 days."""
    context = Judge(desk).context
    other = replace(context, signs=signs)
    count, turned = 0, []
    for row in recent(desk, EFFECT_DAYS):
        count += 1
        now, then = (judge(row.lot, row.reading, each).mark for each in (context, other))
        if now != then:
            turned.append((row.lot.key, row.lot.title, now, then))
    return Effect(count, tuple(turned))


def keep_table(desk: Desk, text: str) -> None:
    """Use this table from now on; lots are marked again. Undo brings the old one back."""
    read_table(desk, text)
    with entry(desk, "table of signs changed", due=MARKS) as change:
        change.touch("fact", [SIGNS_KEPT])
        desk.shelf.store.facts.put(SIGNS_KEPT, text)
    desk.forget()


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
    for row in recent(desk, days):
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
