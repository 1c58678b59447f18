"""Prices realised moved to another issue, corrected, or deleted, one or many: each time one entry of the list."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from watchlist.core.clean import clean
from watchlist.core.prices.realised import GRAVEST, PriceRealised
from watchlist.core.sift.sales import parse_sales
from watchlist.core.typed.words import is_yes
from watchlist.desk import naming
from watchlist.desk.amounts import above_zero
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.prices import known_sales
from watchlist.desk.titles.mending import grades
from watchlist.page.wording import count

DUE = MARKET
"""What follows any of these."""
TEXTS = ("venue", "service", "cert_number", "title", "note")
KINDS = ("hammer", "all-in")
STATUSES = ("sold", "unsold")


@dataclass(frozen=True, slots=True)
class Amended:
    """The sales that were changed, and a sentence on it."""

    sales: tuple[int, ...]
    said: str


def chosen(desk: Desk, which: str) -> list[PriceRealised]:
    """The sales that are meant. Raises SiftError, and DeskError where none is, or one is a result of the person's."""
    store, sift = desk.shelf.store, parse_sales(which)
    found = [sale for sale in store.prices.each() if sift.test(sale)]
    if not found:
        raise DeskError(f"No sale is `{which}`; `watchlist price COIN` lists the sales. Nothing was changed.")
    own = store.results.prices()
    if typed := next((sale for sale in found if sale.id in own), None):
        raise DeskError(
            f"Sale {typed.id} is the result that you recorded of {typed.origin}: `watchlist read --correct "
            f"{typed.origin}` corrects that lot, `watchlist decide {typed.origin} clear` takes the result back. "
            "Nothing was changed."
        )
    return found


def move(desk: Desk, which: str, issue: str) -> Amended:
    """Put sales under another issue. DUE is due. Raises DeskError."""
    target = _coin(desk, issue)
    return _put(desk, chosen(desk, which), f"moved to {target.name}", lambda sale: replace(sale, issue=target.key))


def correct(desk: Desk, which: str, pairs: Iterable[str]) -> Amended:
    """Correct fields of sales, `grade=VF-30`, by their names here or in a file. DUE is due. Raises DeskError."""
    said = list(pairs)
    if not said:
        raise DeskError("Say what is corrected, such as grade=VF-30. Nothing was changed.")
    sales = chosen(desk, which)

    def corrected(sale: PriceRealised) -> PriceRealised:
        for pair in said:
            field, mark, value = (part.strip() for part in pair.partition("="))
            if not mark:
                raise DeskError(f"Write FIELD=VALUE, such as grade=VF-30, not `{pair}`. Nothing was changed.")
            sale = _with(desk, sale, AS_IN_FILES.get(field.casefold(), field.casefold()), clean(value))
        return sale

    return _put(desk, sales, f"corrected: {', '.join(said)}", corrected)


def delete(desk: Desk, which: str) -> Amended:
    """Delete sales; they stay deleted when their file is imported again. DUE is due. Raises DeskError."""
    sales = chosen(desk, which)
    said = _said(sales, "deleted")
    with entry(desk, said, due=DUE) as change:
        known_sales.drop(desk, change, sales)
    return Amended(tuple(sale.id for sale in sales), said)


def _put(desk: Desk, sales: Sequence[PriceRealised], what: str, change_of: Callable[[PriceRealised], Any]) -> Amended:
    """Keep the changed sales, all or none."""
    made, said = [change_of(sale) for sale in sales], _said(sales, what)
    with entry(desk, said, due=DUE) as change:
        known_sales.put(desk, change, made)
    return Amended(tuple(sale.id for sale in made), said)


def _said(sales: Sequence[PriceRealised], what: str) -> str:
    if len(sales) > 1:
        return f"{count(len(sales), 'sale')} {what}"
    return f"sale {sales[0].id} ({sales[0].sale_date}, {sales[0].price}) {what}"


def _coin(desk: Desk, text: str) -> Any:
    try:
        return naming.coin(desk, text)
    except DeskError as error:
        raise DeskError(f"{str(error).rstrip('.')}. Nothing was changed.") from None


def _with(desk: Desk, sale: PriceRealised, field: str, value: str) -> PriceRealised:
    """The sale with one field changed. Raises DeskError."""
    if field not in FIELDS:
        raise DeskError(f"`{field}` is not a field of a sale: {', '.join(FIELDS)}. Nothing was changed.")
    with refusing():
        return FIELDS[field](desk, sale, value)


def _grade(desk: Desk, sale: PriceRealised, value: str) -> PriceRealised:
    low, high = grades(value, desk.words)
    return replace(sale, grade_low=low, grade_high=high, grade_text=value)


def _price(desk: Desk, sale: PriceRealised, value: str) -> PriceRealised:
    return replace(sale, price=above_zero(desk, value, sale.price.currency, "price"))


def _date(desk: Desk, sale: PriceRealised, value: str) -> PriceRealised:
    try:
        day = date.fromisoformat(value)
    except ValueError:
        raise DeskError(f"`{value}` is not a valid day: write 2024-06-30. Nothing was changed.") from None
    if day > desk.local_today():
        raise DeskError(f"{day} is still to come. Nothing was changed.")
    return replace(sale, sale_date=day)


def _text(name: str) -> Callable[[Desk, PriceRealised, str], PriceRealised]:
    return lambda _desk, sale, value: replace(sale, **{name: value})  # type: ignore[arg-type]


def _yes(name: str) -> Callable[[Desk, PriceRealised, str], PriceRealised]:
    return lambda _desk, sale, value: replace(sale, **{name: is_yes(name, value)})  # type: ignore[arg-type]


def _word(name: str, known: Sequence[str]) -> Callable[[Desk, PriceRealised, str], PriceRealised]:
    def put(_: Desk, sale: PriceRealised, value: str) -> PriceRealised:
        if value.casefold() not in known:
            raise DeskError(f"`{name}` is {' or '.join(known)}, not `{value}`. Nothing was changed.")
        return replace(sale, **{name: value.casefold()})  # type: ignore[arg-type]

    return put


def _problems(_: Desk, sale: PriceRealised, value: str) -> PriceRealised:
    named = tuple(filter(None, (each.strip().casefold().replace(" ", "_") for each in value.split(","))))
    if unknown := next((each for each in named if each not in GRAVEST), ""):
        raise DeskError(f"`{unknown}` is not a problem: {', '.join(sorted(GRAVEST))}. Nothing was changed.")
    return replace(sale, problems=named)


def _quantity(_: Desk, sale: PriceRealised, value: str) -> PriceRealised:
    if not value.isascii() or not value.isdecimal() or not 1 <= int(value[:9]) <= 1_000_000:
        raise DeskError(f"`quantity` is a whole number from 1, not `{value}`. Nothing was changed.")
    return replace(sale, quantity=int(value[:9]))


FIELDS: dict[str, Callable[[Desk, PriceRealised, str], PriceRealised]] = {
    "issue": lambda desk, sale, value: replace(sale, issue=_coin(desk, value).key),
    "grade": _grade,
    "price": _price,
    "sale_date": _date,
    "kind": _word("kind", KINDS),
    "status": _word("status", STATUSES),
    "certified": _yes("certified"),
    "replica": _yes("replica"),
    "problems": _problems,
    "quantity": _quantity,
    **{name: _text(name) for name in TEXTS},
}
"""What of a sale can be corrected."""
AS_IN_FILES = {"source": "venue", "problem": "problems"}
"""Fields that a file of prices calls otherwise."""
