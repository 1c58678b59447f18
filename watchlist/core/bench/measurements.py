"""What was measured of one piece, as typed: text in, a record or one sentence out. The one way in for verb and form."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from watchlist.core.bench.units import Measured, NotMeasured, degrees, length, weight
from watchlist.core.bench.water import COLDEST, WARMEST

Pull = Literal["none", "weak", "strong"]
PULLS: Mapping[str, Pull] = {
    "no": "none", "none": "none", "n": "none", "weak": "weak", "slight": "weak",
    "yes": "strong", "y": "strong", "strong": "strong", "sticks": "strong",
}  # fmt: skip
USUAL_WATER = 20.0
"""Degrees Celsius, where none are given; five degrees off move a density by a thousandth."""
USUAL_STEP = 0.01
"""Grams: the step of a pocket balance."""
FIELDS = (
    "weight", "dry", "wet", "water", "readability", "diameter", "thickness", "magnet", "edge", "axis", "sound",
    "note", "picture",
)  # fmt: skip
"""What can be noted of a piece, in the order of a check."""


class BenchError(ValueError):
    """Words that are no measurement of this piece; the message says what is wrong. Nothing was stored."""


@dataclass(frozen=True, slots=True)
class Measurements:
    """One piece on the bench; what was not measured is None or empty."""

    weight: Measured | None = None
    """Grams."""
    wet: float | None = None
    """Grams, hung in water."""
    dry: float | None = None
    """Grams in air beside it, where weighed apart."""
    water: float = USUAL_WATER
    """Degrees Celsius."""
    readability: float = USUAL_STEP
    """Smallest step of the scale, grams."""
    diameter: Measured | None = None
    """Millimetres."""
    thickness: Measured | None = None
    """Millimetres, at the rim."""
    magnet: Pull | None = None
    edge: str = ""
    axis: int | None = None
    """Degrees by which the reverse is turned: 0 is medal turn, 180 coin turn."""
    sound: str = ""
    note: str = ""
    pictures: tuple[str, ...] = ()
    """Paths; the files stay where they are."""

    @property
    def dry_weight(self) -> float | None:
        """Grams in air: the weighing beside the wet one, else the plain one."""
        return self.dry if self.dry is not None else self.weight.value if self.weight else None

    @property
    def notes(self) -> tuple[str, ...]:
        """What was converted or averaged."""
        return tuple(each.note for each in (self.weight, self.diameter, self.thickness) if each and each.note)

    def numbers(self) -> dict[str, float]:
        """The figures that can be set beside those of other pieces."""
        found = {"weight": self.weight, "diameter": self.diameter, "thickness": self.thickness}
        return {name: each.value for name, each in found.items() if each}


def measurements_from(typed: Mapping[str, str]) -> Measurements:
    """A record of what was typed, field by field; an empty field was not measured. Raises BenchError."""
    said = {name: text.strip() for name, text in typed.items() if text.strip()}
    try:
        made = Measurements(
            weight=weight(said["weight"]) if "weight" in said else None,
            wet=weight(said["wet"], "wet").value if "wet" in said else None,
            dry=weight(said["dry"], "dry").value if "dry" in said else None,
            water=degrees(said["water"]) if "water" in said else USUAL_WATER,
            readability=weight(said["readability"], "readability").value if "readability" in said else USUAL_STEP,
            diameter=length(said["diameter"], "diameter") if "diameter" in said else None,
            thickness=length(said["thickness"], "thickness") if "thickness" in said else None,
            magnet=_pull(said["magnet"]) if "magnet" in said else None,
            edge=said.get("edge", ""),
            axis=_axis(said["axis"]) if "axis" in said else None,
            sound=said.get("sound", ""),
            note=said.get("note", ""),
            pictures=tuple(filter(None, map(str.strip, said.get("picture", "").split(";")))),
        )
    except NotMeasured as error:
        raise BenchError(_sentence(str(error))) from error
    _agree(made)
    return made


def _agree(made: Measurements) -> None:
    """Two weighings of one piece must be of one piece."""
    dry = made.dry_weight
    if not COLDEST <= made.water <= WARMEST:
        raise BenchError(_sentence(f"water of {made.water:g} C is not between {COLDEST:g} and {WARMEST:g} C"))
    if made.wet is not None and dry is None:
        raise BenchError(_sentence("a weight in water needs the weight in air beside it: give `weight` or `dry`"))
    if made.wet is not None and dry is not None and made.wet >= dry:
        text = f"{made.wet:g} g in water is not less than {dry:g} g in air; were the two exchanged?"
        raise BenchError(f"{text} Nothing was stored.")
    both = made.weight is not None and made.dry is not None
    if both and made.weight and made.dry and abs(made.weight.value - made.dry) > made.readability * 1.001:
        step = f"{made.readability:g}"
        text = f"weight {made.weight.value:g} g and dry {made.dry:g} g differ by more than the scale's {step} g"
        raise BenchError(_sentence(f"{text}; give the one that is right"))


def _pull(text: str) -> Pull:
    if text.casefold() not in PULLS:
        raise NotMeasured(f"magnet is {', '.join(get_args(Pull))}, not `{text}`")
    return PULLS[text.casefold()]


def _axis(text: str) -> int:
    """`180`, `180°`, `6h` (as on a clock), `coin` or `medal`."""
    word = text.casefold().rstrip("°").removesuffix("degrees").strip()
    turns = {"coin": 180, "medal": 0}
    if word in turns:
        return turns[word]
    hours, clock = word.removesuffix("h").strip(), word.endswith("h")
    if not (hours.isdecimal() and len(hours) <= 3 and int(hours) <= (12 if clock else 360)):
        raise NotMeasured(f"axis `{text}` is not a turn; write 0 to 360 degrees, 1h to 12h, coin or medal")
    return int(hours) * (30 if clock else 1) % 360


def _sentence(text: str) -> str:
    stop = "" if text.endswith("?") else "."
    return f"{text[:1].upper()}{text[1:]}{stop} Nothing was stored."
