"""Lists of pieces that leave the program: for an insurer, for a tax file. Anonymous unless asked otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from statistics import median

from watchlist.core.fees.working import NOUGHT, Hammered
from watchlist.core.held.piece import Piece
from watchlist.core.parcels.costs import lot_costs
from watchlist.desk.desk import Desk
from watchlist.desk.held.bench import kept
from watchlist.desk.held.held import cost_lines, held
from watchlist.desk.in_hand.hands import sent_by
from watchlist.page.export import Row
from watchlist.page.wording import grades

COSTS: Mapping[str, tuple[str, ...]] = {
    "hammer": ("hammer",),
    "premium": ("premium", "internet_surcharge"),
    "vat": ("vat_on_fees", "vat_on_hammer", "vat_on_imported"),
    "sales_tax": ("sales_tax",),
    "duty": ("duty",),
    "import_vat": ("import_vat",),
    "postage": ("shipping",),
    "insurance": ("insurance",),
    "handling": ("handling_fixed",),
    "payment_fees": ("card_fee", "payment_fee"),
    "other": ("other",),
}
"""Columns of a cost and the lines they hold; `other`: what was paid more or less than calculated."""
INSURANCE = (
    "stock_no", "coin", "grade", "service", "cert_number", "acquired", "replacement_value", "market_value", "currency",
    "valued_on", "basis", "pictures", "note",
)  # fmt: skip
PURCHASES = (
    "stock_no", "bought_on", "invoiced_on", "paid_on", "arrived_on", "venue", "sale", "lot_no", "invoice_no", "coin",
    "grade", "cert_number", "currency", *COSTS, "cost", "rate", "cost_basis", "state", "spent_since",
    "returned_on", "return_postage", "refund", "loss_on_return", "sold_on", "proceeds", "selling_fees", "gain",
)  # fmt: skip


def insurance(
    desk: Desk, pieces: Iterable[Piece], *, with_cost: bool = False, with_place: bool = False
) -> tuple[tuple[str, ...], list[Row]]:
    """Columns and rows for an insurer: what it takes to buy each piece again, apart from what it would sell for.

    Replacement is the high of its value and what sending one usually costs; without a value it is the piece's cost."""
    columns = (*INSURANCE, *("cost",) * with_cost, *("place",) * with_place)
    sending, pictures = _sending(desk), _pictures(desk)
    here = [each for each in pieces if not each.course.gone]
    return columns, [_insured(desk, each, sending, _all_pictures(each, pictures.get(each.key, ""))) for each in here]


def _insured(desk: Desk, each: Piece, sending: Decimal, pictures: str) -> Row:
    worth = each.value
    again = worth.high + sending if worth else each.cost
    return {
        **_coin(each),
        "service": each.reading.service or "",
        "acquired": each.bought,
        "replacement_value": _sum(again),
        "market_value": _sum(worth.mid if worth else each.cost),
        "currency": desk.home,
        "valued_on": desk.local_today(),
        "basis": f"{worth.sales} past sales" if worth else "no value known: what it cost",
        "pictures": pictures,
        "note": each.course.note,
        "cost": _sum(each.cost),
        "place": each.course.place,
    }


def purchases(desk: Desk, pieces: Iterable[Piece]) -> tuple[tuple[str, ...], list[Row]]:
    """Columns and rows for a tax file: every purchase with its cost, what went back, what was sold."""
    lines = cost_lines(desk, held(desk))
    return PURCHASES, [_purchase(desk, each, lines.get(each.key, {})) for each in pieces]


def _purchase(desk: Desk, each: Piece, lines: Mapping[str, Decimal]) -> Row:
    won, parcel, price = each.won, each.parcel, each.hammer
    rate = desk.rates.to_home_factor(price.currency, won.day) if price else None
    return {
        **_coin(each),
        "bought_on": each.bought,
        "invoiced_on": parcel.invoiced_on if parcel else None,
        "paid_on": parcel.paid_on if parcel else None,
        "arrived_on": parcel.arrived if parcel else None,
        "venue": won.lot.venue,
        "sale": won.lot.sale,
        "lot_no": "" if each.own else won.lot.id,
        "invoice_no": parcel.number if parcel else "",
        "currency": desk.home,
        **_lines(lines),
        "cost": _sum(None if each.cost is None else each.share),
        "rate": f"{rate:.6f}" if rate is not None else "",
        "cost_basis": each.cost_basis,
        "state": each.state,
        **_leaving(each),
    }


def _lines(lines: Mapping[str, Decimal]) -> dict[str, str]:
    """The lines of its cost, some of them together; empty where no line is known."""
    if not lines:
        return dict.fromkeys(COSTS, "")
    return {name: _sum(sum((lines.get(line, NOUGHT) for line in of), NOUGHT)) for name, of in COSTS.items()}


def _leaving(each: Piece) -> Row:
    """What was spent on a piece since, and of one that went back or was sold."""
    course = each.course
    return {
        "spent_since": f"{course.spent:.2f}" if course.spent else "",
        "returned_on": course.returned,
        "return_postage": f"{course.postage:.2f}" if course.postage else "",
        "refund": f"{course.refunded:.2f}" if course.refunded else "",
        "loss_on_return": f"{each.lost:.2f}" if course.returned else "",
        "sold_on": course.sold_on,
        "proceeds": _sum(course.sold.amount if course.sold else None),
        "selling_fees": f"{course.fees:.2f}" if course.sold else "",
        "gain": _sum(each.gain) if course.sold else "",
    }


def _coin(each: Piece) -> dict[str, str]:
    grade = grades(each.reading.grade_low, each.reading.grade_high, details=each.reading.details)
    return {
        "stock_no": each.stock_no,
        "coin": each.coin.removesuffix(f", {grade}"),
        "grade": grade,
        "cert_number": each.reading.cert_number or "",
    }


def _sending(desk: Desk) -> Decimal:
    """What a parcel of one piece usually costs beside the piece: the median of one's venues."""
    found = []
    for venue, terms in desk.terms.items():
        sent = sent_by(desk, venue, terms.currency)
        costs = lot_costs(sent.terms, Hammered(Decimal(0)), sent.money) if sent else None
        if costs is not None:
            found.append(costs.alone - costs.before)
    return median(found) if found else Decimal(0)


def _pictures(desk: Desk) -> dict[str, str]:
    """By lot: the pictures named at its checks."""
    return {each.lot: each.typed["picture"] for each in kept(desk) if each.lot and each.typed.get("picture")}


def _all_pictures(each: Piece, checked: str) -> str:
    return "; ".join(dict.fromkeys(filter(None, (*each.course.pictures, checked))))


def _sum(amount: Decimal | None) -> str:
    return f"{amount:.2f}" if amount is not None else ""
