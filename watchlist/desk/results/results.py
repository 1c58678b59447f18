"""Results and purchases: always what the decisions in force say, so that undo leaves no trace of them.

Whoever records a decision follows it inside the same transaction: decision, result, price and purchase stand or fall
together, and what fills a want is counted from the purchases."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date

from watchlist.core.decisions import results, review
from watchlist.core.decisions.review import Decision, Verb
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.marks.valuation import Priced, price_at
from watchlist.core.money.amount import Money
from watchlist.core.prices.traits import traits_from
from watchlist.desk.amounts import above_zero, day_of
from watchlist.desk.changes import batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.due import NOTHING, Due
from watchlist.desk.errors import DeskError, TooMuch
from watchlist.desk.in_hand import bidding, courses, losses
from watchlist.desk.judging.judging import Judge
from watchlist.desk.prices import rebanding
from watchlist.desk.recording import Decided, lot_of, record
from watchlist.desk.titles.rereading import read_lot
from watchlist.page.wording import local
from watchlist.shelf.store.purchases import Purchase
from watchlist.shelf.store.rows import LotRow

CONTESTED = "disputed, or returned as not as described"
"""Why a price of one's own weighs nothing; a weight given by hand later counts instead."""
RESULTS: frozenset[Verb] = frozenset({"won", "lost", "unsold", "withdrawn", "clear"})
"""Verbs that say whether a lot has a result; any other leaves it the one it had."""
SETTLES: frozenset[Verb] = RESULTS | {"returned", "refunded", "disputed", "settled"}
"""Verbs after which results and purchases are to be followed."""


@dataclass(frozen=True, slots=True)
class Followed:
    """What became of results."""

    bought: Mapping[str, results.Purchase | None] = field(default_factory=dict)
    """The lots that have a result now, with the purchase where they were won."""
    due: Due = NOTHING
    """Bands and marks of issues that gained or lost a result have to follow."""


def result(
    desk: Desk,
    key: str,
    price: str,
    *,
    won: bool,
    provisional: bool = False,
    on: str = "",
    anyway: bool = False,
) -> Decided:
    """Write down what a lot fetched: a price realised from now on, and a purchase when it was won.

    Without a price the source's own hammer price counts, where it tells one, and a lot may be lost at a price that is
    not known. A provisional win, which the seller may still refuse, is neither a price nor a purchase yet; the budget
    holds its cost. A second result of the same lot takes the place of the first; undo brings the first one back.
    Raises DeskError, and TooMuch for a win above one's own bid unless `anyway`."""
    row = lot_of(desk, key)
    lot, verb = row.lot.key, _verb(won=won)
    if provisional and not won:
        raise DeskError("Only a lot that was won can be won provisionally: say --won. Nothing was written.")
    paid = above_zero(desk, price, bidding.sale_currency(desk, row), "price") if price else hammer_of(row)
    before = desk.shelf.store.decisions.review().lots.get(lot)
    day = day_of(desk, on) or _after_sale(desk, before)
    if not won:
        courses.refuse_invoiced(desk, [lot])
    if paid is None:
        if won:
            raise DeskError(f"The source of {lot} tells no hammer price: say what it was won at. Nothing was written.")
        record(desk, review.decide(verb, [lot], batch=batch_name(), at=desk.now, day=day))
        return Decided((lot,), f"{lot}: lost, at a price not known")
    if won and not anyway:
        _refuse_above_own(lot, before, paid)
    warnings = tuple(_odd(desk, row, before, paid, won=won))
    target = review.PROVISIONAL if provisional else ""
    made = review.decide(verb, [lot], batch=batch_name(), at=desk.now, amount=paid, target=target, day=day)
    with desk.shelf.store.together():
        record(desk, made)
        followed = follow(desk, [lot])
    if provisional:
        said = f"{lot}: won at {paid}, if the seller agrees; no price realised until then"
        return Decided((lot,), said, warnings, followed.due)
    if won:
        return Decided((lot,), _told(desk, lot, paid, followed, won=True), warnings, followed.due)
    by = losses.beaten_by(before.placed if before else None, paid)
    said = _told(desk, lot, paid, followed, won=False, by=by)
    return Decided((lot,), said, (*warnings, *_hint(desk, by)), followed.due)


def _after_sale(desk: Desk, standing: review.Standing | None) -> date | None:
    """Today, where a lot that had gone unsold was offered for or bought since: its sale was not that of the lot."""
    return desk.local_today() if standing is not None and standing.after_sale else None


def _hint(desk: Desk, by: str) -> Iterator[str]:
    """After a bid that was beaten: that one's bids are always too low, where they are."""
    if by and (hint := losses.hint(desk)):
        yield hint


def _told(desk: Desk, lot: str, paid: Money, followed: Followed, *, won: bool, by: str = "") -> str:
    """What became of a lot. `by`: how much a bid of one's own was beaten by."""
    bought, kept = followed.bought.get(lot), desk.shelf.store.results.of(lot)
    counts = "" if kept and kept.price.issue else "; issue not identified, used in no band"
    cost = f", {bought.all_in} all in" if bought and bought.all_in else f", {by}" if by else ""
    return f"{lot}: {'won at' if won else 'not won: sold for'} {paid} hammer{cost}{counts}"


def hammer_of(row: LotRow) -> Money | None:
    """What the source says that the lot fell for: an ended price, never an estimate or a bid so far."""
    return row.lot.price if row.lot.price_kind == "ended" else None


def _verb(*, won: bool) -> Verb:
    return "won" if won else "lost"


def _odd(desk: Desk, row: LotRow, standing: review.Standing | None, paid: Money, *, won: bool) -> Iterator[str]:
    """What speaks against a result: the sale is still to come, the bidding stood higher, or one's own bid did."""
    lot, so_far = row.lot, row.lot.price_kind == "so far"
    if so_far and bidding.below(paid, lot.price):
        yield f"{lot.key} stood at {lot.price} already"
    if lot.price_kind == "ended" and (bidding.below(paid, lot.price) or bidding.below(lot.price, paid)):
        yield f"{lot.key} sold for {lot.price} by its source; your own entry is used"
    if so_far and lot.closes is not None and lot.closes > desk.now:
        yield f"{lot.key} has not closed yet: closes {local(lot.closes, desk.settings.home.time_zone)}"
    if not won and bidding.below(paid, own := _own_bid(standing)):
        yield f"your own bid on {lot.key} was {own}, above the price that you say won"
    if won and (above := _above_own(lot.key, standing, paid)):
        yield above


def _refuse_above_own(lot: str, standing: review.Standing | None, paid: Money) -> None:
    if why := _above_own(lot, standing, paid):
        raise TooMuch(f"{why}. Nothing was written; --anyway writes it even so.")


def _above_own(lot: str, standing: review.Standing | None, paid: Money) -> str:
    """Why a win is asked about twice: one pays no more than one bid. Empty where no bid is known, or it reached."""
    own, heard = _own_bid(standing), standing.acknowledged if standing else None
    if not bidding.below(own, paid) or (heard is not None and not bidding.below(heard, paid)):
        return ""
    return f"your own bid on {lot} was {own}, below the price it is said to be won at, {paid}"


def _own_bid(standing: review.Standing | None) -> Money | None:
    """The bid that was placed, also one that was outbid or let go since; None where none was said to be."""
    if standing is None:
        return None
    return standing.placed or (standing.amount if standing.stage in ("outbid", "cancelled") else None)


def follow(desk: Desk, lots: Iterable[str]) -> Followed:
    """Make results and purchases of these lots what the decisions in force say."""
    keys = list(dict.fromkeys(lots))
    issues = {issue for key in keys if (issue := _take_back(desk, key)) is not None}
    found: dict[str, results.Purchase | None] = {}
    for key in keys:
        if decision := _in_force(desk, key):
            issue, found[key] = _record(desk, decision)
            issues.add(issue)
    if not issues:
        return Followed(found)
    due = rebanding.after(desk, issues)
    desk.forget()
    return Followed(found, due)


def won_cost(desk: Desk, row: LotRow) -> tuple[Money, Priced] | None:
    """The price at which a lot was won, and what it cost at that, with the working; None for any other lot."""
    said = [each for each in desk.shelf.store.decisions.of(row.lot.key) if each.verb in RESULTS]
    standing = desk.shelf.store.decisions.review().lots.get(row.lot.key) if said else None
    if standing is None or standing.state != "won" or standing.amount is None or standing.stage == review.OWN:
        return None
    day = standing.day or courses.day_of(desk, row.lot, said[-1])
    return standing.amount, price_at(standing.amount, row.lot.venue, desk.terms.get(row.lot.venue), desk.rates, day)


def mismatches(desk: Desk) -> dict[str, str]:
    """Lots whose result, price or purchase is not what the decisions in force say, each with what is wrong."""
    store = desk.shelf.store
    won = {each.lot for each in store.purchases.all()}
    told = {line.lot for line in store.decisions.all() if line.verb in RESULTS}
    found = {lot: _mismatch(desk, lot, bought=lot in won) for lot in sorted(told | won | store.results.lots())}
    return {lot: why for lot, why in found.items() if why}


def _mismatch(desk: Desk, lot: str, *, bought: bool) -> str:
    said, kept = _in_force(desk, lot), desk.shelf.store.results.of(lot)
    if said is None:
        return "a result is kept that no decision in force gives" if kept else "bought by no decision" * bought
    if kept is None:
        return f"{said.verb} by the list, and no result is kept"
    if (kept.price.price, kept.won) != (said.amount, said.verb == "won"):
        return f"{said.verb} at {said.amount} by the list, and {kept.price.price} is kept"
    return "" if bought <= kept.won else "lost by the list, and a purchase is kept"


def heal(desk: Desk) -> Due:
    """Make the results of lots what the list says, where they are not; what has to follow."""
    wrong = mismatches(desk)
    if not wrong:
        return NOTHING
    with desk.shelf.store.together():
        for lot in wrong:
            desk.shelf.store.purchases.drop(lot)
        return follow(desk, wrong).due


def _in_force(desk: Desk, lot: str) -> Decision | None:
    """The decision that gives the lot its result; None when none does."""
    said = [each for each in desk.shelf.store.decisions.of(lot) if each.verb in RESULTS]
    if all(each.verb == "clear" for each in said):
        return None
    done = frozenset(desk.shelf.store.decisions.batches().done)
    said = [each for each in said if each.batch in done]
    last = said[-1] if said else None
    none = last is None or last.verb == "clear" or last.amount is None or last.target in review.WON_AS
    return None if none else last


def _take_back(desk: Desk, lot: str) -> str | None:
    """Forget the lot's result and purchase; the issue it counted for, None when there was nothing."""
    store = desk.shelf.store
    kept = store.results.of(lot)
    if not kept:
        return None
    store.results.drop(lot)
    store.purchases.drop(lot)
    return kept.price.issue


def _record(desk: Desk, decision: Decision) -> tuple[str, results.Purchase | None]:
    """Keep the result that a decision says, by the lot as it was then: its issue, and the purchase if it was won.
    A lot that went unsold is kept with the bid at which it stood; that counts for no band."""
    lot, row = _then(desk, decision)
    judgement = row.judgement or Judge(desk).judge(row).judgement
    assert judgement is not None
    assert decision.amount is not None
    if judgement.issue:  # its key may be another one since
        judgement = replace(judgement, issue=desk.current(judgement.issue))
    won, day, price = decision.verb == "won", courses.day_of(desk, lot, decision), decision.amount
    after = courses.told(desk).piece(lot.key)
    traits = traits_from(desk.words["traits"]).of(row.reading)
    made = results.to_price(lot, row.reading, judgement.issue, price, day, traits)
    made = replace(made, weight=0.0, note=CONTESTED) if after.weighs_nothing else made
    made = replace(made, status="unsold") if decision.verb == "unsold" else made
    desk.shelf.store.results.put(lot.key, made, won=won, at=decision.at)
    if not won:
        return judgement.issue or "", None
    terms = desk.terms.get(lot.venue)
    bought = results.to_purchase(lot, row.reading, judgement, price, day, terms, desk.rates)
    if bought.all_in is not None and after.returned is None:
        issue, grade = bought.issue or "", (bought.grade_low, bought.grade_high)
        kept = Purchase(lot.key, issue, bought.all_in, decision.at, *grade, bought.want, bought.note)
        desk.shelf.store.purchases.put(kept)
    return judgement.issue or "", bought


def _then(desk: Desk, decision: Decision) -> tuple[Lot, LotRow]:
    """The lot and what was known of it at the decision; a lot that was dropped since is read from its snapshot."""
    store = desk.shelf.store
    row, snapshot = store.lots.get(decision.lot), store.decisions.snapshot(decision.seq)
    lot = snapshot.lot or (row.lot if row else None)
    assert lot is not None, "a decision holds its lot"
    judgement: Judgement | None = snapshot.judgement or (row.judgement if row else None)
    return lot, LotRow(lot, row.reading if row else read_lot(desk, lot), judgement)
