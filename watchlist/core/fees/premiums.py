"""The buyer's premium: flat, by slices of the price, or one rate on the whole price by its size."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any, Literal, get_args

from watchlist.core.fees.ladders import TermsError
from watchlist.core.money.amount import cents

PremiumKind = Literal["flat", "tiers_marginal", "tiers_whole"]
NOUGHT = Decimal(0)


def no_negative(where: str, values: Iterable[Decimal]) -> None:
    """Raise TermsError when a fee is below nought or no number: the bid limit rests on costs that rise."""
    if not all(value.is_finite() and value >= 0 for value in values):
        raise TermsError(f"{where}: a fee, tax or price below 0 cannot be worked with.")


@dataclass(frozen=True, slots=True)
class Premium:
    """The buyer's premium: one rate, rates on each slice of the price, or one rate on the whole price by its size."""

    kind: PremiumKind = "flat"
    pct: Decimal = NOUGHT
    """Per cent, when flat."""
    minimum: Decimal = NOUGHT
    tiers: tuple[tuple[Decimal | None, Decimal], ...] = ()
    """(upto, per cent), rising; the edge belongs to its tier; None has no end."""

    def __post_init__(self) -> None:
        edges = [upto for upto, _ in self.tiers if upto is not None]
        no_negative("The premium", (self.pct, self.minimum, *edges, *(pct for _, pct in self.tiers)))
        if self.kind != "flat" and not self.tiers:
            raise TermsError("A premium in tiers needs its tiers, like [[5000, 25], [null, 20]].")
        endless = [upto is None for upto, _ in self.tiers[:-1]]
        if any(endless) or any(low >= high for low, high in pairwise(edges)):
            raise TermsError("The tiers of the premium must rise, and only the last may be without end.")

    @property
    def edges(self) -> tuple[Decimal, ...]:
        """Prices after which the premium may fall, low to high."""
        return tuple(upto for upto, _ in self.tiers if upto is not None) if self.kind == "tiers_whole" else ()

    def of(self, hammer: Decimal) -> Decimal:
        """The premium on a hammer price, rounded half up to the cent."""
        raw = self._sliced(hammer) if self.kind == "tiers_marginal" else hammer * self._rate(hammer)
        return max(cents(raw / 100), cents(self.minimum))

    def _rate(self, hammer: Decimal) -> Decimal:
        if self.kind == "flat":
            return self.pct
        return next((pct for upto, pct in self.tiers if upto is None or hammer <= upto), self.tiers[-1][1])

    def _sliced(self, hammer: Decimal) -> Decimal:
        raw = below = NOUGHT
        last = len(self.tiers) - 1
        for number, (upto, pct) in enumerate(self.tiers):
            # Above its last edge a table without an open end goes on at its last rate.
            top = hammer if upto is None or number == last else min(hammer, upto)
            raw += max(top - below, NOUGHT) * pct
            below = top
        return raw

    def json(self) -> dict[str, Any]:
        """`{"kind": "flat", "pct": "20", "min": "29"}`, or with `tiers` as [upto or null, per cent]."""
        data: dict[str, Any] = {"kind": self.kind}
        if self.kind == "flat":
            data["pct"] = f"{self.pct:f}"
        else:
            data["tiers"] = [[None if upto is None else f"{upto:f}", f"{pct:f}"] for upto, pct in self.tiers]
        if self.minimum:
            data["min"] = f"{self.minimum:f}"
        return data

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Premium:
        """The premium that `json` wrote or a person typed in that shape; raises TermsError."""
        try:
            kind, rows = data["kind"], data.get("tiers", ())
            tiers = tuple((None if upto is None else _number(upto), _number(pct)) for upto, pct in rows)
            pct, minimum = _number(data.get("pct", 0)), _number(data.get("min", 0))
        except (KeyError, TypeError, ValueError, ArithmeticError, AttributeError):
            raise TermsError(_SHAPE) from None
        if kind not in get_args(PremiumKind):
            raise TermsError(f"A premium of kind {kind!r} is not known: write {', '.join(get_args(PremiumKind))}.")
        return cls(kind, pct, minimum, tiers)

    def text(self) -> str:
        """As a person types it: `20`, or the rate from each price on, `0:25; 5000:20`, with `whole` before rates on
        the whole price."""
        if self.kind == "flat":
            return f"{self.pct.normalize():f}" if self.pct else ""
        froms = (NOUGHT, *(upto or NOUGHT for upto, _ in self.tiers[:-1]))
        rates = (f"{low.normalize():f}:{pct.normalize():f}" for low, (_, pct) in zip(froms, self.tiers, strict=True))
        return ("whole " if self.kind == "tiers_whole" else "") + "; ".join(rates)

    @classmethod
    def from_text(cls, text: str) -> Premium:
        """The tiers that `text` wrote or a person typed; raises TermsError."""
        whole = text.strip().casefold().startswith("whole")
        pairs = [part.partition(":") for part in text.strip()[5 if whole else 0 :].split(";") if part.strip()]
        try:
            rates = [
                (_number(low.strip().replace(",", ".")), _number(pct.strip(" %").replace(",", ".")))
                for low, _, pct in pairs
            ]
        except (ValueError, ArithmeticError):
            rates = []
        rising = all(low < high for (low, _), (high, _) in pairwise(rates))
        if not rates or rates[0][0] != 0 or not rising or any(pct > 100 for _, pct in rates):
            raise TermsError(
                f"The premium {text.strip()[:40]!r} cannot be read: write 20, or the rate from each price "
                "on, like 0:25; 5000:20."
            )
        ends = [*(low for low, _ in rates[1:]), None]
        tiers = tuple((upto, pct) for upto, (_, pct) in zip(ends, rates, strict=True))
        return cls("tiers_whole" if whole else "tiers_marginal", tiers=tiers)

    @classmethod
    def parse(cls, cell: str) -> Premium:
        """A JSON cell of a terms file; raises TermsError."""
        try:
            data = json.loads(cell)
        except (ValueError, RecursionError):
            raise TermsError(_SHAPE) from None
        return cls.from_json(data)


NONE = Premium()

_SHAPE = (
    "The premium cannot be read: write a percentage, "
    'or JSON like {"kind": "tiers_marginal", "tiers": [["5000", "25"], [null, "20"]]}.'
)


def _number(value: Any) -> Decimal:
    return Decimal(str(value).strip().replace(",", "."))
