"""One sale told twice: by a lot of the person's own, by the person, and by a list of prices. It counts once.

What is surely the same sale is set aside with the reason; what may be another one is named and counts. Nothing is taken
off the shelf, so that undo of a result brings back what it had replaced.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import timedelta
from typing import Any

from watchlist.core.prices.realised import PriceRealised, SetAside

SOON = timedelta(days=7)
"""Within this time one house sells a piece with a certificate number, or a lot number, only once."""
ONE_SALE = timedelta(days=30)
"""Within this time all prices of one lot are of one sale; a lot that is sold again later is another."""
Key = tuple[object, ...]
FROM_FILE = re.compile(r"(?:^|.* )line \d+$", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Pair:
    """A price and an earlier known one, and what speaks for one sale."""

    price: PriceRealised
    other: PriceRealised
    why: str


@dataclass(slots=True)
class Once:
    """Prices with each sale counted once."""

    kept: list[PriceRealised] = field(default_factory=list)
    same: list[Pair] = field(default_factory=list)
    """Surely one sale: `price` is set aside for `other`."""
    doubtful: list[Pair] = field(default_factory=list)
    """Perhaps one sale: both count."""

    @property
    def aside(self) -> list[SetAside]:
        """The prices set aside, each with its reason."""
        return [SetAside(each.price, f"the same sale as {name(each.other)}: {each.why}") for each in self.same]


def name(price: PriceRealised) -> str:
    """A price in few words, by where it came from."""
    return price.origin or f"sale {price.id}"


def of_lot(price: PriceRealised) -> bool:
    """It came from a lot of the person's own, not from a file."""
    return bool(price.origin) and not FROM_FILE.match(price.origin)


def count_once(prices: Iterable[PriceRealised], own: Collection[int] = ()) -> Once:
    """Each sale once. `own`: numbers of the prices that the person typed as results; they win over any other."""
    found = Once()
    issues: dict[str, list[PriceRealised]] = defaultdict(list)
    for price in prices:
        issues[price.issue].append(price)
    for issue, alike in issues.items():
        if issue and len(alike) > 1 and _may_repeat(alike):
            _Issue(found, own).sort(alike)
        else:
            found.kept += alike
    return found


def _may_repeat(alike: Sequence[PriceRealised]) -> bool:
    """Rows of files meet their like only by certificate number: most issues need no look at every pair."""
    certs = [_plain(price.cert_number) for price in alike if price.cert_number]
    return len(set(certs)) < len(certs) or any(map(of_lot, alike))


class _Issue:
    """The prices of one issue, taken one after the other: results, lots, then files."""

    def __init__(self, found: Once, own: Collection[int]) -> None:
        self._found, self._own = found, own
        self._at: dict[Key, list[int]] = defaultdict(list)
        self._paired: set[tuple[int, bool]] = set()
        """Numbers of lots' prices that have met their like: of two equal rows of a file the second is another piece."""
        self._kept: dict[int, PriceRealised] = {}
        self._stands_for: dict[int, list[PriceRealised]] = defaultdict(list)

    def sort(self, prices: Iterable[PriceRealised]) -> None:
        """Keep each or set it aside."""
        for price in sorted(prices, key=self._turn):
            if price.weight <= 0 or price.status.casefold() not in ("sold", ""):  # it stands for no sale
                self._kept[price.id] = price
            else:
                self._place(price)
        self._found.kept += self._kept.values()

    def _turn(self, price: PriceRealised) -> tuple[bool, bool, int]:
        """The newest word of a feed is its last."""
        lot = of_lot(price)
        return price.id not in self._own, not lot, -price.id if lot else price.id

    def _place(self, price: PriceRealised) -> None:
        doubts: list[Pair] = []
        for other in self._near(price):
            sure, why = self._compare(other, price)
            if sure and not (why == EQUAL and (other.id, of_lot(price)) in self._paired):
                self._join(other, price, why)
                return
            if why and not sure:
                doubts.append(Pair(price, other, why))
        self._found.doubtful += doubts[:1]
        self._keep(price)

    def _compare(self, other: PriceRealised, price: PriceRealised) -> tuple[bool, str]:
        """With the price itself, else with those that it stands for: a feed's, where the person said another."""
        found = [compare(each, price) for each in (other, *self._stands_for[other.id])]
        return max(found, key=lambda each: (each[0], bool(each[1])))

    def _near(self, price: PriceRealised) -> list[PriceRealised]:
        """Kept prices that share something with this one."""
        numbers = dict.fromkeys(number for key in _keys(price, days=(0, -1, 1)) for number in self._at.get(key, ()))
        return [self._kept[number] for number in numbers]

    def _keep(self, price: PriceRealised) -> None:
        self._kept[price.id] = price
        self._note(price, price.id)

    def _note(self, price: PriceRealised, number: int) -> None:
        """Find the kept price of this number by what this one says."""
        for key in _keys(price):
            self._at[key].append(number)

    def _join(self, other: PriceRealised, price: PriceRealised, why: str) -> None:
        """The one that came first in turn counts, with what it leaves open taken from the other."""
        self._kept[other.id] = filled(other, price)
        self._note(price, other.id)
        self._paired.add((other.id, of_lot(price)))
        self._stands_for[other.id].append(price)
        self._found.same.append(Pair(price, self._kept[other.id], why))


def _keys(price: PriceRealised, days: Sequence[int] = (0,)) -> list[Key]:
    """What two prices of one sale share: the lot, the certificate number, the lot's number, or price and day."""
    found: list[Key] = []
    if of_lot(price):
        found.append(("lot", price.origin))
    if price.cert_number:
        found.append(("certificate", _plain(price.cert_number)))
    if price.lot:
        found.append(("number", _plain(price.venue), _plain(price.lot)))
    return [*found, *((price.price, price.sale_date + timedelta(days=day)) for day in days)]


EQUAL = "same venue, day, grade and price"
NO_WORD = (False, "")
LOT, NUMBER, CERT = "one lot gives one price", "same venue and lot number", "same certificate number and sale"


def compare(one: PriceRealised, other: PriceRealised) -> tuple[bool, str]:
    """Whether two prices of one issue are surely one sale, and what speaks for it; no words when nothing does."""
    apart = abs(one.sale_date - other.sale_date)
    if one.quantity != other.quantity or one.replica != other.replica:
        return NO_WORD
    if one.origin == other.origin and of_lot(one):
        return (True, LOT) if apart <= ONE_SALE else NO_WORD
    if apart > SOON:
        return NO_WORD
    if one.cert_number and other.cert_number:
        return _by_cert(one, other)
    if of_lot(one) == of_lot(other):  # two lots, or two rows of files: two pieces may bring the same
        return NO_WORD
    return _by_number(one, other) or _by_price(one, other, apart)


def _by_number(one: PriceRealised, other: PriceRealised) -> tuple[bool, str] | None:
    """None where the lots' numbers say nothing: a feed may number its lots otherwise than the list of prices."""
    if not (_same_venue(one, other) and one.lot and other.lot):
        return None
    if _plain(one.lot) == _plain(other.lot):
        return True, NUMBER
    return NO_WORD if _shape(one.lot) == _shape(other.lot) else None


def _by_cert(one: PriceRealised, other: PriceRealised) -> tuple[bool, str]:
    services = {_plain(one.service), _plain(other.service)} - {""}
    if _plain(one.cert_number) != _plain(other.cert_number) or len(services) > 1:
        return False, ""
    if _same_venue(one, other) or (not (one.venue and other.venue) and one.price == other.price):
        return True, CERT
    return False, "the same certificate number, at another venue or another price"


def _by_price(one: PriceRealised, other: PriceRealised, apart: timedelta) -> tuple[bool, str]:
    if (one.price, one.kind) != (other.price, other.kind) or apart > timedelta(days=1):
        return False, ""
    if one.venue and other.venue and not _same_venue(one, other):
        return False, ""
    same_grade = (one.grade_low, one.grade_high) == (other.grade_low, other.grade_high)
    if same_grade and one.grade_low is not None and not apart and _same_venue(one, other):
        return True, EQUAL
    return False, "the same price about the same day" if same_grade or _overlap(one, other) else ""


def _overlap(one: PriceRealised, other: PriceRealised) -> bool:
    if one.grade_low is None or one.grade_high is None or other.grade_low is None or other.grade_high is None:
        return True
    return one.grade_low <= other.grade_high and other.grade_low <= one.grade_high


def _same_venue(one: PriceRealised, other: PriceRealised) -> bool:
    return bool(one.venue) and _plain(one.venue) == _plain(other.venue)


def _shape(number: str) -> str:
    """`H9` and `H10` are numbers of one kind, `H9` and `9` are not."""
    return re.sub(r"\d+", "0", _plain(number))


def _plain(text: str) -> str:
    return " ".join(text.split()).casefold()


OPEN = ("certified", "service", "cert_number", "problems", "venue", "title", "lot")
"""What a record may leave open, beside its grade."""


def filled(price: PriceRealised, other: PriceRealised) -> PriceRealised:
    """The record with what it leaves open taken from the other of the same sale, and the closer grade of the two."""
    taken: dict[str, Any] = {each: getattr(other, each) for each in OPEN if not getattr(price, each)}
    if _span(other) < _span(price):
        taken |= {each: getattr(other, each) for each in ("grade_low", "grade_high", "grade_text")}
    return replace(price, **taken)


def _span(price: PriceRealised) -> int:
    """Numbers of the scale between which the grade lies; 70 without a grade."""
    return 70 if price.grade_low is None or price.grade_high is None else price.grade_high - price.grade_low
