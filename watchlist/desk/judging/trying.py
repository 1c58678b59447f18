"""Marks tried out: another chance for bargains, another table of signs."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from decimal import Decimal

from watchlist.core.marks.mark import judge
from watchlist.core.marks.signs import Signs, signs_from
from watchlist.core.marks.signtable import TableError, changed
from watchlist.core.sift.filter import Filter
from watchlist.desk.changes import entry
from watchlist.desk.desk import SIGNS_KEPT, Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import DeskError
from watchlist.desk.judging.judging import Judge
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
