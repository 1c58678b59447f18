"""Which bids to leave, inside the budget: planned, shown, and taken."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Literal

from watchlist.core.decisions import review
from watchlist.core.decisions.review import Decision
from watchlist.core.money.amount import Money, cents
from watchlist.core.plan.budgets import Held
from watchlist.core.plan.offers import Option, options_of
from watchlist.desk.changes import batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.in_hand.bidding import doubtful_terms
from watchlist.desk.in_hand.committed import season
from watchlist.desk.in_hand.hands import sale_of
from watchlist.desk.in_hand.others import bids_of_others
from watchlist.desk.naming import piece_of, short_key
from watchlist.desk.plan.planning import Bid, Made, attended_bids, exact_worst, of_budget, standing_bids
from watchlist.desk.plan.prospects import Field, Prospect, field, rungs
from watchlist.desk.recording import Decided, record
from watchlist.page.plan import PlannedBid
from watchlist.page.wording import all_of, count
from watchlist.shelf.store.rows import LotRow

Mode = Literal["standing", "attended"]
STEPS = (Decimal("0.9"), Decimal(1), Decimal("1.1"))


@dataclass(frozen=True, slots=True)
class WhatIf:
    """The plan with another budget or other ceilings."""

    label: str
    bids: int
    worst: Money
    pieces: float
    spending: Money
    saving: Money


@dataclass(frozen=True, slots=True)
class PlanShown:
    """A plan, ready to be shown. Money is in home currency unless it says otherwise."""

    mode: Mode
    until: date | None
    budget: str
    """Names of the budgets that it keeps inside."""
    amount: Money
    """What is left of them before the plan."""
    left: Money
    """Of the budget when every bid of the plan wins at its worst; attended, when it costs what is expected."""
    bids: tuple[PlannedBid, ...]
    """Closing soonest first."""
    waiting: tuple[PlannedBid, ...]
    """Lots of groups that have their bids: they wait for a loss."""
    passed: tuple[tuple[str, str, str], ...]
    """Key, coin, why no bid is left."""
    worst: Money
    """What all bids of the plan cost when all win, parcels included."""
    pieces: float
    """Expected to be won."""
    spending: Money
    saving: Money
    fixed: tuple[tuple[str, Money], ...]
    """What each parcel of the plan costs once, above its bids."""
    what_if: tuple[WhatIf, ...] = ()
    notes: tuple[str, ...] = ()
    drops: tuple[str, ...] = ()
    """Lots with a planned bid that is not in the plan."""


def what_if_rows(shown: PlanShown) -> list[tuple[str, ...]]:
    """The plan with other budgets and ceilings as a table, home currency all in."""
    rows: list[tuple[str, ...]] = [
        (f"what if, in {shown.amount.currency}", "bids", "up to", "pieces", "spending", "saving")
    ]
    for each in shown.what_if:
        sums = (each.worst.amount, each.spending.amount, each.saving.amount)
        worst, spending, saving = (f"{amount:,.2f}" for amount in sums)
        rows.append((each.label, str(each.bids), worst, f"{each.pieces:.1f}", spending, saving))
    return rows


def plan(
    desk: Desk, mode: Mode = "standing", until: date | None = None, *, what_if: bool = False, shared: bool = False
) -> PlanShown:
    """The best set of bids found. Raises DeskError where there is nothing to plan."""
    choice = field(desk, until, shared=shared)
    budgets = season(desk, without=frozenset(each.key for each in choice.prospects))
    make = standing_bids if mode == "standing" else attended_bids
    made = make(desk, choice, budgets)
    shown = _shown(desk, mode, until, choice, made, budgets)
    if not what_if:
        return shown
    return replace(shown, what_if=tuple(_what_if(desk, until, budgets, make, shared=shared)))


def take(desk: Desk, shown: PlanShown, *, anyway: bool = False) -> Decided:
    """Write the bids of a plan, planned and not sent, undone together; bids that were planned and are not in it are
    followed only. Raises DeskError without a bid, TooMuch where terms are old or assumed and it is not `anyway`."""
    if not shown.bids:
        raise DeskError("The plan has no bid. Nothing was written.")
    old = tuple(_asked_twice(desk, shown))
    if old and not anyway:
        raise TooMuch(f"{'; '.join(old)}. Nothing was written; --anyway writes it even so.")
    batch = batch_name()
    made: list[Decision] = [*review.decide("follow", shown.drops, batch=batch, at=desk.now)]
    either = [bid for bid in shown.waiting if bid.on_sheet]
    for bid in (*shown.bids, *either):
        made += review.decide("bid", [bid.key], batch=batch, at=desk.now, amount=bid.bid)
    keys = tuple(each.lot for each in made)
    record(desk, made)
    dropped = f"; {len(shown.drops)} planned before and left out: followed" if shown.drops else ""
    sheet = f", {len(either)} more either-or with them on their sheet" if either else ""
    planned = f"{count(len(shown.bids), 'bid')} planned, not sent{sheet}: up to {shown.worst} all in if all win"
    shared = [note for bid in shown.bids for note in bid.notes]
    return Decided(keys, f"{planned}{dropped}", (*old, *shared))


def _asked_twice(desk: Desk, shown: PlanShown) -> Iterator[str]:
    """What speaks against writing the plan: terms that are old or assumed, the budget, bids of the other buyer."""
    for venue in dict.fromkeys(bid.venue for bid in shown.bids):
        if why := doubtful_terms(desk, venue):
            yield why
    if shown.worst > shown.amount:
        yield f"if all win they cost up to {shown.worst}, and {shown.amount} is left of the budget"
    yield from bids_of_others(desk, list(desk.shelf.store.lots.by_key(bid.key for bid in shown.bids).values()))


# --- shown ----------------------------------------------------------------------------------------------------------


def _shown(desk: Desk, mode: Mode, until: date | None, choice: Field, made: Made, budgets: Sequence[Held]) -> PlanShown:
    bids = sorted(made.bids, key=lambda pair: (pair[0].closes, pair[0].key))
    waiting = tuple(_waiting(desk, choice, bids)) if mode == "standing" else ()
    chosen = {*(each.key for each, _ in bids), *(each.key for each in waiting if each.on_sheet)}
    worst = exact_worst(desk, choice, bids)
    drops = tuple(
        key for key, each in choice.hands.lots.items()
        if each.stands == "planned" and key not in chosen and any(p.key == key for p in choice.prospects)
    )  # fmt: skip
    home = desk.home
    return PlanShown(
        mode,
        until,
        ", ".join(made.names) or "running",
        Money(made.left, home),
        Money(made.left - (worst if mode == "standing" else _money(made.spending, home).amount), home),
        tuple(_listed(desk, choice, bids, budgets, mode)),
        waiting,
        tuple((each.row.lot.key, piece_of(desk.catalogue, each.row), each.why) for each in choice.passed),
        Money(worst, home),
        made.pieces,
        _money(made.spending, home),
        _money(made.saving, home),
        tuple((name, Money(cost, home)) for name, cost in _fixed(desk, choice, bids)),
        notes=tuple(_notes(desk, choice, made)),
        drops=drops,
    )


def _listed(
    desk: Desk, choice: Field, bids: Sequence[Bid], budgets: Sequence[Held], mode: Mode
) -> Iterator[PlannedBid]:
    """Each bid with what it leaves: a standing one beside all before it, an attended one alone, for whoever attends
    plans again after each result."""
    for n, (each, option) in enumerate(bids):
        so_far = bids[: n + 1] if mode == "standing" else bids[n : n + 1]
        lefts = [h.left - exact_worst(desk, choice, of_budget(h, so_far)) for h in budgets if h.covers(each.day)]
        beside = each.open or (mode == "standing" and not each.alone_in)
        yield _bid(desk, each, option, min(lefts), _over_ceiling(desk, each, option), beside=beside)


def _bid(
    desk: Desk, each: Prospect, option: Option, left: Decimal, notes: tuple[str, ...], *, beside: bool
) -> PlannedBid:
    lot, own, home = each.row.lot, each.limit.currency, desk.home
    return PlannedBid(
        lot.key,
        lot.id,
        piece_of(desk.catalogue, each.row),
        lot.venue,
        lot.closes,
        each.group,
        each.parcel if not each.parcel.startswith("new ") else "",
        Money(option.bid, own),
        each.limit,
        Money(Decimal(option.worst) / 100, home),
        Money(Decimal(option.alone) / 100, home),
        option.chance,
        _money(option.saving, home),
        _money(each.likely.median, own),
        Money(left, home),
        notes,
        beside,
    )


def _over_ceiling(desk: Desk, each: Prospect, option: Option) -> tuple[str, ...]:
    """What a bid that counts on shared postage costs when no other piece of its parcel is won."""
    alone = Decimal(option.alone) / 100
    if each.open or alone <= each.ceiling:
        return ()
    short = short_key(desk.shelf.store, each.key)
    over = Money(alone - each.ceiling, desk.home)
    return (
        f"If no other lot of its parcel is won, {short} costs {Money(alone, desk.home)}, {over} above your ceiling",
    )


def _waiting(desk: Desk, choice: Field, bids: Sequence[Bid]) -> Iterator[PlannedBid]:
    """Lots of groups that have all the bids they need. Where the venue takes either-or bids, one of the same sale goes
    on the sheet with them, at no more than the dearest of them costs."""
    chosen: dict[str, list[Bid]] = defaultdict(list)
    for bid in bids:
        chosen[bid[0].group].append(bid)
    taken, groups = {each.key for each, _ in bids}, {group.id for group in desk.shelf.notebook.groups.list()}
    for each in sorted(choice.prospects, key=lambda each: (each.closes, each.key)):
        others = chosen[each.group]
        if each.group and others and each.key not in taken:
            yield from _beside(desk, each, others, sheet=each.group in groups and _one_sheet(desk, each, others))


def _one_sheet(desk: Desk, each: Prospect, others: Sequence[Bid]) -> bool:
    """Its venue takes either-or bids, and all of them are of one sale."""
    sale = sale_of(desk, each.row.lot)
    return each.sent.terms.or_bids and all(sale_of(desk, other.row.lot) == sale for other, _ in others)


def _beside(desk: Desk, each: Prospect, others: Sequence[Bid], *, sheet: bool) -> Iterator[PlannedBid]:
    names = all_of([short_key(desk.shelf.store, other.key) for other, _ in others])
    most = max(option.worst for _, option in others)
    offers = [e for e in options_of(rungs(desk, each), float(each.ceiling)) if not sheet or e.worst <= most]
    if offers:
        note = f"either-or with {names} on one sheet" if sheet else f"waits until {names} is lost"
        bid = _bid(desk, each, offers[-1], Decimal(0), (note,), beside=not each.alone_in)
        yield replace(bid, on_sheet=sheet)


def _fixed(desk: Desk, choice: Field, bids: Sequence[Bid]) -> Iterator[tuple[str, Decimal]]:
    """What each parcel costs above its bids as they are listed."""
    parcels: dict[str, list[Bid]] = defaultdict(list)
    for bid in bids:
        parcels[bid[0].parcel].append(bid)
    labels = _labels(desk, {name: lots[0][0].row for name, lots in parcels.items()})
    for name, lots in parcels.items():
        once = exact_worst(desk, choice, lots) - sum(Decimal(option.worst) / 100 for _, option in lots)
        if choice.once[name].budget and once > 0:
            yield labels[name], once


def _labels(desk: Desk, parcels: Mapping[str, LotRow]) -> dict[str, str]:
    """A parcel by its number; one that has none yet by its venue, where there are several with the sale too, and where
    that does not do with a lot of it."""
    venues = Counter(row.lot.venue for row in parcels.values())
    sales = Counter(sale_of(desk, row.lot) for row in parcels.values())
    labels = {}
    for name, row in parcels.items():
        venue, sale = sale_of(desk, row.lot)
        told = sale if sales[venue, sale] == 1 else f"with {short_key(desk.shelf.store, row.lot.key)}"
        known = name if not name.startswith("new ") else ""
        labels[name] = known or (venue if venues[venue] == 1 else f"{venue}, {told or 'no day'}")
    return labels


def _notes(desk: Desk, choice: Field, made: Made) -> Iterator[str]:
    if not choice.prospects:
        yield "No lot that matches a want is left to bid for"
    elif not made.bids:
        yield _nothing_fits(desk, choice, made)
    for name, share in made.lowered:
        lots = f" of lots in {name}" if name else ""
        yield f"Ceilings{lots} are lowered by {share:.0%}, so that the budget is expected to last"
    if any(each.sent.terms.ladder.assumed for each, _ in made.bids):
        yield "Increments assumed: limits may move a step"
    for venue in dict.fromkeys(each.row.lot.venue for each, _ in made.bids):
        if why := doubtful_terms(desk, venue):
            yield why


def _nothing_fits(desk: Desk, choice: Field, made: Made) -> str:
    """The least that a bid costs with its parcel, where none fits."""
    costs = [
        Decimal(options[0].alone) / 100
        for each in choice.prospects
        if (options := options_of(rungs(desk, each), float(each.ceiling)))
    ]
    left = Money(max(made.left, Decimal(0)), desk.home)
    if not costs:
        return "No bid has a chance of 2% or more inside its ceiling"
    return f"No bid fits {left}: the least costs {Money(min(costs), desk.home)} with its parcel"


def _what_if(
    desk: Desk,
    until: date | None,
    budgets: Sequence[Held],
    make: Callable[[Desk, Field, Sequence[Held]], Made],
    *,
    shared: bool,
) -> Iterator[WhatIf]:
    """First the budget, then the ceilings, at -10, 0 and +10 per cent."""
    choice = field(desk, until, shared=shared)
    for step in STEPS:
        less = [replace(each, amount=each.amount - each.left * (1 - step)) for each in budgets]
        yield _line(desk, f"budget {_percent(step)}", choice, make(desk, choice, less))
    for step in STEPS:
        other = field(desk, until, shared=shared, squeeze=step)
        yield _line(desk, f"ceilings {_percent(step)}", other, make(desk, other, budgets))


def _line(desk: Desk, label: str, choice: Field, made: Made) -> WhatIf:
    worst = Money(exact_worst(desk, choice, made.bids), desk.home)
    spending, saving = _money(made.spending, desk.home), _money(made.saving, desk.home)
    return WhatIf(label, len(made.bids), worst, made.pieces, spending, saving)


def _percent(step: Decimal) -> str:
    return "as now" if step == 1 else f"{(step - 1) * 100:+.0f}%"


def _money(amount: float, currency: str) -> Money:
    return Money(cents(Decimal(str(round(amount, 6)))), currency)
