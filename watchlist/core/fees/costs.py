"""What a bid costs in the end, and the largest bid that can never cost more than a ceiling."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from watchlist.core.fees.ladders import Ladder, Stretch, TermsError
from watchlist.core.fees.terms import Terms
from watchlist.core.fees.working import HOME_LINES, Hammered, worked
from watchlist.core.money.amount import CENT, Money, cents

_CENT_STEPS = Ladder(((Decimal(0), CENT),))


@dataclass(frozen=True, slots=True)
class Cost:
    """What one hammer price costs, line by line in the order of working, each rounded half up to the cent."""

    lines: tuple[tuple[str, Money], ...]
    """hammer, premium, internet_surcharge, vat_on_fees, vat_on_hammer, shipping, insurance, sales_tax, duty,
    import_vat, handling_fixed, total_sale_currency, converted, card_fee, all_in; fees of nought are left out."""
    all_in: Money
    """The sum in home currency."""


@dataclass(frozen=True, slots=True)
class BidLimit:
    """The largest rung such that it and every rung below cost no more than the ceiling.

    All None without such a rung: there is no bid.
    """

    limit: Money | None
    """In the venue's currency."""
    all_in: Money | None
    """Cost of winning at the limit, home currency."""
    next_step: Money | None
    """The first rung that costs too much."""
    next_all_in: Money | None
    worst_all_in: Money | None
    """The largest cost over the rungs up to the limit: whole-price tiers can make a lower rung dearer."""


def all_in_cost(terms: Terms, hammer: Decimal, *, home: str | None = None, fx: Decimal | None = None) -> Cost:
    """What winning at `hammer` (venue's currency) costs; `fx` is home units for one of the venue's.

    Raises TermsError when the currencies differ and no rate is given, or when the hammer is below nought.
    """
    factor = exchange_factor(terms, home, fx)
    mine = home or terms.currency
    lines = tuple(
        (name, Money(amount, mine if name in HOME_LINES else terms.currency))
        for name, amount in _worked(terms, hammer, factor)
    )
    return Cost(lines, lines[-1][1])


def all_in_amount(terms: Terms, hammer: Decimal, *, home: str | None = None, fx: Decimal | None = None) -> Decimal:
    """The same without its lines, home currency: for a hundred thousand prices at once."""
    return _worked(terms, hammer, exchange_factor(terms, home, fx))[-1][1]


def bid_limit(terms: Terms, ceiling: Decimal, *, home: str | None = None, fx: Decimal | None = None) -> BidLimit:
    """The bid limit on the venue's increments for an all-in ceiling in home currency.

    The same as walking every rung from 0 to the first one over the ceiling. Inside one stretch of even steps and one
    tier of the premium the cost never falls, for each line is a rounded rising function of the hammer; so a stretch
    whose last rung passes has passed whole, and in the first other one the rung is found by halving. Across a tier's
    edge the cost may fall, so no search crosses one.
    """
    factor = exchange_factor(terms, home, fx)

    def cost(rung: Decimal) -> Decimal:
        return _worked(terms, rung, factor)[-1][1]

    stretches = _rising(terms, _reach(ceiling, factor))
    limit, worst = None, Decimal(0)
    passing = count = 0
    while passing == count:  # it ends: the last rung of the last stretch costs more than any ceiling
        first, step, count = next(stretches)
        passing = _passing(cost, first, step, count, ceiling)
        if passing:
            limit = first + (passing - 1) * step
            worst = max(worst, cost(limit))
    if limit is None:
        return BidLimit(None, None, None, None, None)
    failing = first + passing * step
    own, mine = terms.currency, home or terms.currency
    return BidLimit(
        Money(cents(limit), own),
        Money(cost(limit), mine),
        Money(cents(failing), own),
        Money(cost(failing), mine),
        Money(worst, mine),
    )


def hammer_within(
    terms: Terms, all_in: Decimal, *, home: str | None = None, fx: Decimal | None = None
) -> Decimal | None:
    """An all-in sum taken back to a hammer price at this venue, to the cent, whatever its increments.

    None when even one cent would cost more.
    """
    found = bid_limit(replace(terms, ladder=_CENT_STEPS), all_in, home=home, fx=fx)
    return None if found.limit is None else found.limit.amount


def exchange_factor(terms: Terms, home: str | None, fx: Decimal | None) -> Decimal:
    """Home units for one of the venue's currency. Raises TermsError where the rate is missing."""
    if home is None or home == terms.currency:
        return Decimal(1)
    if fx is None or not fx > 0:
        raise TermsError(f"There is no exchange rate from {terms.currency} to {home}: import rates first.")
    return fx


def _worked(terms: Terms, hammer: Decimal, factor: Decimal) -> list[tuple[str, Decimal]]:
    return worked(terms, (Hammered(hammer),), factor)


def _reach(ceiling: Decimal, factor: Decimal) -> Decimal:
    """A price that surely costs more than the ceiling, fees or not."""
    return (max(ceiling, Decimal(0)) + 1) / factor + 1


def _rising(terms: Terms, reach: Decimal) -> Iterator[tuple[Decimal, Decimal, int]]:
    """Stretches of rungs along which the cost never falls: the ladder's, cut after each edge of whole-price tiers."""
    edges = terms.premium.edges
    for stretch in terms.ladder.stretches():
        first, step, count = stretch
        total = count if count is not None else max(int((reach - first) // step), 0) + 2
        done = 0
        for last in (*(_rungs_to(edge, stretch) for edge in edges), total):
            upto = min(max(last, done), total)
            if upto > done:
                yield first + done * step, step, upto - done
            done = upto


def _rungs_to(edge: Decimal, stretch: Stretch) -> int:
    """Rungs of a stretch at or below an edge, which belongs to the lower tier."""
    return int((edge - stretch.first) // stretch.step) + 1 if edge >= stretch.first else 0


def _passing(cost: Callable[[Decimal], Decimal], first: Decimal, step: Decimal, count: int, ceiling: Decimal) -> int:
    """How many rungs of a rising stretch cost no more than the ceiling."""
    if cost(first + (count - 1) * step) <= ceiling:
        return count
    return bisect_right(range(count - 1), ceiling, key=lambda rung: cost(first + rung * step))
