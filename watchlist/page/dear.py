"""Why a bid is too dear: the ceiling or the budget that it goes beyond."""

from __future__ import annotations

from collections.abc import Sequence

from watchlist.core.money.amount import Money
from watchlist.core.plan.budgets import Held
from watchlist.page.wording import all_of


def if_lost(others: Sequence[str], alone: Money, over: Money) -> str:
    """It is inside the ceiling only as long as another lot of its parcel is won too."""
    verb = "is" if len(others) == 1 else "are"
    return f"if {all_of(others)} {verb} lost this could cost up to {alone}, {over} above your ceiling"


def above_ceiling(lot: str, alone: Money, ceiling: Money) -> str:
    """Alone it may cost more than the ceiling."""
    return f"{lot} could cost up to {alone} all in, above your ceiling of {ceiling}"


def above_budget(held: Held, home: str) -> str:
    """All bids together may cost more than a budget, with what of it is paid or owed."""
    gone = "".join(f", {Money(sum, home)} of it {what}" for sum, what in held.gone if sum)
    name = f"the budget {held.name} of" if held.first else "the budget of"
    total, most = Money(held.committed, home), Money(held.amount, home)
    return f"all bids together could cost up to {total}{gone}, above {name} {most}"
