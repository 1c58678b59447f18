"""One band as it is kept."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

Basis = Literal["sales", "similar", "guide", "own", "parent"]


@dataclass(frozen=True, slots=True)
class Band:
    """Low, middle and high price (10, 50, 90 per cent) of an issue in a grade today, in home currency."""

    low: Decimal
    mid: Decimal
    high: Decimal
    currency: str
    kind: str
    """`all-in` or `hammer`: what the prices behind it were."""
    sales: int
    """Past sales of this very issue that count, in any grade, certified or raw."""
    newest_sale: date | None
    """The newest of them."""
    basis: Basis = "sales"
    """`sales`: its own; `guide`: a price guide and similar issues; `similar`: these alone; `own`: the person's band;
    `parent`: of a variety without sales those of the regular issue of its date and mint, and wide."""

    @property
    def ratio(self) -> float:
        """High over low: how wide the band is."""
        return float(self.high / self.low) if self.low > 0 else float("inf")

    def json(self) -> dict[str, object]:
        """As the command line prints it: plain amounts, the currency once beside them."""
        return {
            "low": f"{self.low:.2f}",
            "mid": f"{self.mid:.2f}",
            "high": f"{self.high:.2f}",
            "currency": self.currency,
            "kind": self.kind,
            "sales": self.sales,
            "newest_sale": self.newest_sale.isoformat() if self.newest_sale else None,
            "basis": self.basis,
        }
