"""Measurements as people write them: comma or point, grams or grains, several readings of one thing."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import fmean

GRAIN = 0.06479891
"""Grams of a grain: the pound is 0.45359237 kg (international yard and pound agreement, 1959), of 7,000 grains."""
WEIGHT: Mapping[str, float] = {
    "g": 1.0, "gr.": GRAIN, "gram": 1.0, "grams": 1.0, "gramm": 1.0, "grammes": 1.0, "mg": 0.001, "kg": 1000.0,
    "gr": GRAIN, "grain": GRAIN, "grains": GRAIN, "dwt": 24 * GRAIN, "pennyweight": 24 * GRAIN,
    "pennyweights": 24 * GRAIN, "ozt": 480 * GRAIN, "oz t": 480 * GRAIN, "troy oz": 480 * GRAIN,
    "oz troy": 480 * GRAIN, "oz av": 437.5 * GRAIN,
}  # fmt: skip
"""Units of weight in grams. `gr` is the grain, as the trade writes it; the gram is `g`."""
LENGTH: Mapping[str, float] = {"mm": 1.0, "cm": 10.0, "in": 25.4, "inch": 25.4, "inches": 25.4, '"': 25.4}
"""Units of length in millimetres."""
NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_MOST = 12
"""Readings of one thing at the most."""


class NotMeasured(ValueError):
    """Words that are no measurement; the message says why and what is understood."""


@dataclass(frozen=True, slots=True)
class Measured:
    """One quantity, in grams or millimetres."""

    value: float
    """The mean, where there were several readings."""
    readings: int = 1
    spread: float = 0.0
    """From the least reading to the largest."""
    note: str = ""
    """What was converted or averaged."""
    unit_given: bool = False


def weight(text: str, name: str = "weight") -> Measured:
    """Grams from `24.1`, `24,1 g`, `372 gr`, `15.5 dwt`, or several readings. Raises NotMeasured."""
    return _measured(text, name, WEIGHT, "g", LENGTH)


def length(text: str, name: str) -> Measured:
    """Millimetres from `37.8`, `37,8 mm`, `1.49 in`, or several readings. Raises NotMeasured."""
    return _measured(text, name, LENGTH, "mm", WEIGHT)


def degrees(text: str) -> float:
    """Degrees Celsius from `20`, `20.5 C` or `68 F`. Raises NotMeasured."""
    hit = re.fullmatch(r"([+-]?\d+(?:[.,]\d+)?)\s*(?:°\s*)?([CcFf]?)", text.strip())
    if hit is None:
        raise NotMeasured(f"water `{text.strip()}` is not a temperature; write 20, 20.5 C or 68 F")
    value = float(hit[1].replace(",", "."))
    return (value - 32) * 5 / 9 if hit[2] in "Ff" and hit[2] else value


def _measured(text: str, name: str, units: Mapping[str, float], own: str, others: Mapping[str, float]) -> Measured:
    numbers, unit = _parts(text, name)
    factor = _factor(unit, name, units, own, others)
    values = [float(number.replace(",", ".")) * factor for number in numbers]
    if min(values) <= 0:
        raise NotMeasured(f"{name} {text.strip()} is not above zero")
    notes = []
    if len(values) > 1:
        notes.append(f"the mean of {len(values)} readings, {min(values):g} to {max(values):g} {own}")
    if factor != 1.0:
        notes.append(f"{text.strip()} is {fmean(values):.4g} {own}")
    return Measured(
        fmean(values),
        len(values),
        max(values) - min(values),
        f"{name}: {'; '.join(notes)}" if notes else "",
        bool(unit),
    )


def _parts(text: str, name: str) -> tuple[list[str], str]:
    """The numbers of a text and the unit behind the last of them."""
    words = text.strip().casefold()
    numbers = NUMBER.findall(words)
    units = {part.strip(" ;/|") for part in NUMBER.split(words)} - {"", "and", ","}
    if not numbers or len(numbers) > _MOST or len(units) > 1:
        raise NotMeasured(f"{name} `{text.strip()}` is not a measurement; write a number with its unit, such as 24.1 g")
    return numbers, next(iter(units), "")


def _factor(unit: str, name: str, units: Mapping[str, float], own: str, others: Mapping[str, float]) -> float:
    if not unit:
        return 1.0
    if unit in units:
        return units[unit]
    if unit == "oz" and "g" in units:
        raise NotMeasured(f"{name} in `oz` can be troy or avoirdupois; write `ozt` or `oz av`")
    wrong = f"{name} is measured in {own}, not in `{unit}`"
    known = "; was it meant for another field?" if unit in others else f"; {', '.join(list(units)[:6])} are understood"
    raise NotMeasured(wrong + known)
