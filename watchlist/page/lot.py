"""One lot in full, as text: the sentence, the reasons, the words read, the cost lines, the band."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from itertools import count

from watchlist.core.clean import clean
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement, Reason
from watchlist.core.marks.valuation import Priced
from watchlist.core.money.amount import Money
from watchlist.core.reading.record import TITLE, Reading, Span
from watchlist.page import wording
from watchlist.page.columns import pad, wrap

COST_WORDS = {
    "premium": "buyer's premium",
    "internet_surcharge": "internet fee",
    "vat_on_fees": "VAT on fees",
    "vat_on_hammer": "VAT on the hammer",
    "shipping": "postage",
    "import_vat": "import VAT",
    "handling_fixed": "handling",
    "vat_on_imported": "VAT on imported lots",
    "card_fee": "card fee",
    "payment_fee": "fee for the payment",
    "total_sale_currency": "subtotal",
    "converted": "subtotal at home",
}
"""Lines of a cost that are not called as they are written."""


def cost_word(line: str) -> str:
    """What a line of a cost is called."""
    return COST_WORDS.get(line, line.replace("_", " "))


def offered(lot: Lot, zone: str) -> str:
    """A lot as it comes, on one line: its number, title, price and closing time, or why these are not known."""
    price = f"{lot.price_kind or ''} {wording.money(lot.price)}".strip() if lot.price else lot.price_note or "no price"
    closes = f"closes {wording.local(lot.closes, zone)}" if lot.closes else lot.closes_note or "no closing time"
    return f"{lot.id}: {lot.title}; {price}; {closes}"


def head(lot: Lot, now: datetime, zone: str, width: int) -> list[str]:
    """Title, venue, number, closing."""
    where = ", ".join(filter(None, (lot.venue or lot.source, f"lot {lot.id}" if lot.id else "", lot.seller)))
    closing = wording.sentence(wording.closing_words(lot, now, zone))
    return [*wrap(lot.title, width), *wrap(f"{where}. {closing}", width)]


def numbered(found: Sequence[Reason]) -> list[tuple[str, Reason]]:
    """The signs numbered, as they are dismissed by their numbers; other reasons behind a dash."""
    numbers = count(1)
    return [(str(next(numbers)) if reason.strength else "-", reason) for reason in found]


def reasons(found: Sequence[Reason], width: int, names: Mapping[str, str]) -> list[str]:
    """Each with its strength and what else it could be. `names`: what a sign is dismissed by, by its text."""
    text: list[str] = []
    for reason in found:
        named = ", ".join(filter(None, (reason.strength, names.get(reason.text))))
        tail = f" [{named}]" if named else ""
        if reason.dismissed is not None:
            tail += f" Dismissed{': ' + reason.dismissed if reason.dismissed else ''}, so it is not counted."
        elif reason.could_be:
            tail += f" Could be: {reason.could_be}."
        text += wrap(f"  - {reason.text}{tail}", width, indent="    ")
    return text


def _rests(span: Span) -> str:
    """`grade "VF"`, `mint "S" (column)`; of a field that the person set: `grade VF-30 (yours)`."""
    name = span.field.replace("_", " ")
    if span.end <= span.start:
        return f"{name} {span.text or 'none'} (yours)"
    where = "" if span.place == TITLE else f" ({span.place})"
    return f'{name} "{clean(span.text, 60)}"{where}'


def reading(read: Reading, width: int) -> list[str]:
    """The words each field rests on, and what is unsure."""
    parts = dict.fromkeys(_rests(span) for span in read.spans)  # two rules may rest on the same words
    text = wrap(f"Read as: {', '.join(parts) or 'nothing'}.", width, indent="  ")
    if read.unsure:
        text += wrap(f"Not sure: {', '.join(read.unsure)}.", width, indent="  ")
    if read.alternatives:
        other = ", ".join(f"{field} {value}" for field, value in read.alternatives)
        text += wrap(f"Could also read: {other}.", width, indent="  ")
    return text


def won_words(price: Money, cost: Priced) -> str:
    """What a lot that was won cost in the end: `Won at 250 GBP, 312 EUR all in.`"""
    all_in = f"{wording.money(cost.all_in)} all in" if cost.all_in else f"at a cost not known ({cost.note})"
    return f"Won at {wording.money(price)}, {all_in}."


def cost(lines: Iterable[tuple[str, str]]) -> list[str]:
    """The working of the all-in cost, amounts in one column."""
    rows = [(COST_WORDS.get(name, name.replace("_", " ")), amount) for name, amount in lines]
    if len(rows) < 2:
        return []
    wide = max(len(amount) for _, amount in rows)
    return ["Cost:", *(f"  {pad(name, 18)} {pad(amount, wide, right=True)}" for name, amount in rows)]


def wants(judged: Judgement, width: int) -> list[str]:
    """Which wants it answers and which nearly."""
    text: list[str] = []
    if judged.wants:
        text += wrap(f"Matches {', '.join(judged.wants)}.", width)
    for near in judged.near_wants[:4]:
        text += wrap(f"Near miss for {near.want}: {near.why}.", width, indent="  ")
    return text


def history(prices: Sequence[tuple[datetime, Money | None]], zone: str) -> list[str]:
    """The lot's own prices, when there was more than one."""
    if len(prices) < 2:
        return []
    steps = [f"{wording.local(at, zone)} {wording.money(amount) if amount else 'no price'}" for at, amount in prices]
    return [f"Price history: {'; '.join(steps)}."]


def plain_line(lot: Lot, judged: Judgement, now: datetime, zone: str, today: date, *, raw: bool) -> str:
    """One lot as plain sentences on one line, for ears and for `--plain`."""
    closing = wording.sentence(wording.closing_words(lot, now, zone))
    title = clean(lot.title)
    title = title if title.endswith((".", "!", "?")) else f"{title}."
    return f"{title} {wording.verdict(lot, judged, today, raw=raw)} {closing} Key {lot.key}."
