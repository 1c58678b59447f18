"""What is said of a parcel after the hammer: its invoice, payments, its way, refunds, how its cost is shared."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from watchlist.core.clean import clean
from watchlist.core.decisions.review import Decision, ParcelVerb
from watchlist.core.held.course import ParcelCourse
from watchlist.core.held.deadlines import pay_by
from watchlist.core.held.parcel import ParcelShown
from watchlist.core.money.amount import Money
from watchlist.core.typed.day import day_typed
from watchlist.desk.amounts import above_zero, day_of, in_currency
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch, refusing
from watchlist.desk.held.parcels import parcel
from watchlist.desk.in_hand import courses
from watchlist.desk.recording import Decided

ACTS: Mapping[str, ParcelVerb] = {
    "invoiced": "invoiced", "paid": "paid", "dispatched": "dispatched", "arrived": "arrived",
    "refunded": "parcel refunded", "split": "split",
}  # fmt: skip
"""The words of the command line."""
SUMS = frozenset({"invoiced", "paid", "refunded"})
STATED = ("post", "insurance", "premium", "vat")
"""Lines of an invoice that may be told beside its sum; sale currency."""
AT_THE_BORDER = ("duty", "import_vat")
"""Lines that a venue abroad need not have on its invoice."""
STATED_WORDS = {"post": "postage", "vat": "VAT"}
"""Parts of an invoice that are not called as their options."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a person says of a parcel, as typed."""

    act: str
    value: str = ""
    """The sum, or for split `by-price` or `by-piece`."""
    on: str = ""
    stated: Mapping[str, str] = field(default_factory=dict)
    number: str = ""
    due: str = ""
    settles: str = ""


def say(desk: Desk, name: str, said: Said, *, anyway: bool = False, batch: str = "") -> Decided:
    """Write one event of a parcel; `batch`: the stroke that it is a part of. Raises DeskError, and TooMuch for what is
    asked twice unless `anyway`."""
    shown, course = _meant(desk, name)
    won = [lot.key for lot in shown.lots if lot.stage == "won"]
    if not won:
        raise DeskError(f"{shown.id} has nothing won: no {_noun(said.act)}. Nothing was written.")
    if (said.act in SUMS) != bool(said.value) and said.act != "split":
        raise DeskError(f"`{said.act}` takes {'a sum' if said.act in SUMS else 'no sum'}. Nothing was written.")
    day = day_of(desk, said.on, said.act)
    _not_before_the_sale(desk, won, day, said.act)
    amount = _amount(desk, shown, course, said)
    facts = {"lots": "\n".join(_lots(course, won, said.act)), **_facts(desk, shown, said)}
    asked = tuple(_asked_twice(shown, course, said, amount))
    if asked and not anyway:
        raise TooMuch(f"{'; '.join(asked)}. Nothing was written; --anyway writes it even so.")
    verb, note = ACTS[said.act], said.value if said.act == "split" else ""
    stroke = batch or batch_name()
    append(desk, [Decision(0, stroke, desk.now, verb, "", amount, shown.id, note, day=day, facts=facts)])
    after = courses.told(desk).parcels[shown.id]
    return Decided(tuple(after.lots), _told(desk, shown, after, said), asked)


def _meant(desk: Desk, name: str) -> tuple[ParcelShown, ParcelCourse]:
    shown = parcel(desk, name)
    return shown, courses.told(desk).parcels.get(shown.id) or ParcelCourse(shown.id)


def _lots(course: ParcelCourse, won: Sequence[str], act: str) -> Iterable[str]:
    """The lots that an event is told of: those it was told of before, and of an invoice what joined since, too."""
    return dict.fromkeys((*course.lots, *won)) if act == "invoiced" else course.lots or won


def _noun(act: str) -> str:
    return {"invoiced": "invoice", "paid": "payment", "refunded": "refund"}.get(act, "such event")


def _not_before_the_sale(desk: Desk, won: list[str], day: date | None, act: str) -> None:
    """Raises DeskError for a day before the last sale of the parcel."""
    sales = [each.day for each in courses.wins(desk, won)]
    if day is not None and sales and day < max(sales):
        text = f"{act.capitalize()} {day:%-d %b} is before the sale, {max(sales):%-d %b}"
        raise DeskError(f"{text}. Nothing was written.")


def _amount(desk: Desk, shown: ParcelShown, course: ParcelCourse, said: Said) -> Money | None:
    """The sum: of an invoice in the sale's currency, of payments and refunds in one's own."""
    if said.act == "split":
        if said.value not in ("by-price", "by-piece"):
            raise DeskError(f"A cost is split by-price or by-piece, not `{said.value}`. Nothing was written.")
        return None
    if said.act not in SUMS:
        return None
    if said.act == "invoiced":
        amount = in_currency(desk, said.value, shown.currency, "invoice")
        hammers = sum((lot.price.amount for lot in shown.lots if lot.stage == "won"), Decimal(0))
        if amount.amount < hammers:
            text = f"Invoice {amount} is below its hammer prices, {Money(hammers, shown.currency)}"
            raise DeskError(f"{text}. Nothing was written.")
        return amount
    amount = above_zero(desk, said.value, desk.home, _noun(said.act))
    if amount.currency != desk.home:
        raise DeskError(f"Payments are in {desk.home}; --settles says what one settles. Nothing was written.")
    return amount


def _facts(desk: Desk, shown: ParcelShown, said: Said) -> dict[str, str]:
    facts = {
        name: f"{in_currency(desk, text, shown.currency, STATED_WORDS.get(name, name), nothing=True).amount}"
        for name, text in said.stated.items()
    }
    if said.number:
        facts["number"] = clean(said.number, 60)
    if said.due:
        with refusing("Nothing was written."):
            facts["due"] = day_typed(said.due, desk.words, desk.now, desk.settings.home.time_zone).day.isoformat()
    if said.act == "paid" and (said.settles or shown.currency == desk.home):
        settles = above_zero(desk, said.settles or said.value, shown.currency, "part of an invoice")
        if settles.currency != shown.currency:
            raise DeskError(f"--settles is in {shown.currency}, as the invoice is. Nothing was written.")
        facts["settles"] = f"{settles.amount} {settles.currency}"
    return facts


def _asked_twice(shown: ParcelShown, course: ParcelCourse, said: Said, amount: Money | None) -> Iterator[str]:
    if said.act == "paid" and amount is not None and course.invoiced is not None:
        owed = course.owed
        if owed is None:
            yield f"{shown.id} is paid already"
        elif owed.currency == amount.currency and amount.amount > owed.amount:
            over = Money(amount.amount - owed.amount, owed.currency)
            yield f"paid {amount}, owed {owed}: {over} would be kept as cost"


def _told(desk: Desk, shown: ParcelShown, after: ParcelCourse, said: Said) -> str:
    """What it came to: an invoice against what was calculated, a payment against what is owed."""
    if said.act == "invoiced" and after.invoiced is not None:
        return f"{shown.id}: {_against(desk, shown, after)}"
    if said.act == "paid":
        due = pay_by(after, desk.terms.get(shown.venue))
        by = f" by {due:%-d %b}" if due else ""
        left = f": {after.owed} owed{by}" if after.owed else ": nothing owed" if after.invoiced else ""
        return f"{shown.id}: paid {after.payments[-1].amount}{left}"
    return f"{shown.id}: {said.act}{f' {said.value}' if said.value else ''}"


def _against(desk: Desk, shown: ParcelShown, after: ParcelCourse) -> str:
    """`invoice 612.40 EUR, calculated 604.10: 8.30 more; post 22.30 for 14.00`."""
    assert after.invoiced is not None
    lines = dict(shown.lines)
    due = lines.get("total_sale_currency")
    text = f"invoice {after.invoiced}"
    if due is None or due.currency != after.invoiced.currency:
        return text
    more = after.invoiced.amount - due.amount
    text += f", calculated {due}"
    text += f": {abs(more)} {'more' if more > 0 else 'less'}" if more else ", the same"
    border = [amount for name in AT_THE_BORDER if (amount := lines.get(name)) is not None and amount.amount]
    if more < 0 and border:
        apart = Money(sum((each.amount for each in border), Decimal(0)), due.currency)
        text += f"; {apart} of the calculated sum is duty and import VAT, which customs may ask for apart"
    names = {"post": "shipping", "insurance": "insurance", "premium": "premium", "vat": "vat_on_fees"}
    for name, stated in after.stated.items():
        calculated = lines.get(names[name])
        if calculated is not None and calculated.amount != stated:
            text += f"; {STATED_WORDS.get(name, name)} {stated} for {calculated.amount}"
    return text
