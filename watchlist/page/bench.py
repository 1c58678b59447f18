"""The check of a piece in the hand as text: each figure on its bar, what it tells, what to do next. No verdict."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from watchlist.core.bench.check import Bounds, Check, Kin
from watchlist.core.bench.density import DensityVerdict
from watchlist.core.bench.order import Order
from watchlist.core.bench.several import LEAST, Oddness
from watchlist.page.bench_bars import beside_bar, bound_bar, density_bar
from watchlist.page.columns import wrap
from watchlist.page.drawing import ASCII, Alphabet
from watchlist.page.wording import count

COULD_BE: Mapping[tuple[str, str], str] = {
    ("weight", "under"): "worn more than its grade says, clipped, a thin or another planchet, a base core",
    ("weight", "over"): "dirt, a mount, a typing error, another metal; wear adds no weight",
    ("diameter", "under"): "a worn or filed rim, an early piece struck without a collar, a copy",
    ("diameter", "over"): "struck out of its collar, flattened, a copy",
    ("thickness", "under"): "wear, a worn rim, a thin planchet",
    ("thickness", "over"): "a raised rim, a thick planchet",
}
"""What else a figure outside its limits can come from (the trade handbook's table of signs)."""
TUNGSTEN = "Tungsten is as heavy as pure gold: density cannot tell a core of it."
COPPER = "Copper and cupro-nickel are nearly as heavy as each other: density cannot tell them apart."
MOSTLY_COPPER = 0.7
"""Share of the mass from which a metal is called copper or cupro-nickel."""
CAUTION = (
    "Signs seen, not a verdict. A piece that passes may still be a copy; one that does not may be genuine and worn. "
    "Ask a third-party grading service, and keep to the venue's terms and the law where you live on returning, owning "
    "or selling a suspect piece."
)


def report(
    name: str, found: Check, order: Order, width: int, back: Sequence[str] = (), draw: Alphabet = ASCII
) -> list[str]:
    """All that a check says, the weightiest first; `back`: by when the piece can go back."""
    text = [*wrap(f"{name}. {summary(found)}", width)]
    for bound in found.bounds:
        text += ["", *wrap(bound_words(bound), width), *_indented(bound_bar(bound, draw))]
    if found.density:
        text += ["", *wrap(density_words(found.density), width), *_indented(density_bar(found.density, draw))]
    text += _block([magnet_words(found)] if found.magnet else [], width)
    text += _block([among_words(found.among, found.kin)] if found.among else [], width)
    for beside in found.beside:
        text += [f"  {beside.name.capitalize()}, beside your own:", *_indented(beside_bar(beside, draw))]
    text += _block(found.notes, width)
    return [*text, *advice(order, width, back), "", *wrap(CAUTION, width)]


def _block(lines: Sequence[str], width: int) -> list[str]:
    return ["", *(part for line in lines for part in wrap(line, width))] if lines else []


def _indented(lines: Sequence[str]) -> list[str]:
    return [f"  {line}" for line in lines]


def summary(found: Check) -> str:
    """What the measurements come to, in one sentence."""
    if not found.tested:
        return "Nothing to hold these measurements against: no weight, size or metal of this issue is known."
    if found.ruled_out:
        return "Some of these measurements are not those of this issue. See which, and what else could cause it."
    return "These measurements rule nothing out. They do not prove the piece genuine."


def bound_words(bound: Bounds) -> str:
    """`Weight 24.10 g is under 24.90 to 25.10 g (..). Could be: worn more than its grade says, ..`."""
    said = f"{bound.name.capitalize()} {bound.value:.2f} {bound.unit}"
    if bound.low is None or bound.high is None:
        return f"{said}: no standard is known for this issue, so it tells nothing by itself."
    limits = f"{bound.low:.2f} to {bound.high:.2f} {bound.unit} ({bound.source})"
    if bound.outcome == "inside":
        more = " A right weight alone says little: good copies match it." if bound.name == "weight" else ""
        return f"{said} is inside {limits}.{more}"
    where = "under" if bound.outcome == "under" else "over"
    return f"{said} is {where} {limits}. Could be: {COULD_BE[bound.name, bound.outcome]}."


def density_words(found: DensityVerdict) -> str:
    """The density, how unsure it is, and what it allows and rules out."""
    seen = found.found
    said = f"Density {seen.value:.2f} g/cm3, give or take {seen.u:.2f} ({seen.corrected:.2f} corrected for the air)."
    said += f" {_beside_expected(found)} {_ruled(found)}"
    expected = found.expected
    if expected and expected.has("Au"):
        said += f" {TUNGSTEN}"
    if expected and dict(expected.shares).get("Cu", 0) >= MOSTLY_COPPER:
        said += f" {COPPER}"
    return said


def _beside_expected(found: DensityVerdict) -> str:
    if found.expected is None:
        return "The metal of this issue is not known."
    expected = f"{found.expected.name} ({found.expected.density:.2f})"
    return {
        "cannot tell": f"Too coarse to part {expected} from what copies are made of: use a finer scale.",
        "agrees": f"It agrees with {expected}.",
    }.get(found.agreement, f"It is not that of {expected}. Could be: bubbles, a pore, a mount, another metal.")


def _ruled(found: DensityVerdict) -> str:
    """What the reading allows; what it rules out is counted, for the list is long."""
    allowed = f"It allows {', '.join(found.allows)}" if found.allows else "It allows none of the alloys known"
    return f"{allowed}; it rules out {len(found.excludes)} others." if found.excludes else f"{allowed}."


def magnet_words(found: Check) -> str:
    """What the magnet tells of this metal."""
    name = found.alloy.name if found.alloy else "this metal"
    return {
        "agrees": f"The magnet does what it does with {name}. That alone says little.",
        "differs": f"The magnet does not do what it does with {name}. Could be: a steel core, another planchet.",
        "cannot tell": "A weak pull proves nothing: dust, plating or a little iron pull as well.",
    }[found.magnet or "cannot tell"]


def among_words(found: Oddness, kin: Kin) -> str:
    """How odd the piece is among one's own genuine ones, with the least figure that so many can give."""
    own = f"{count(found.pieces, 'genuine piece')} of this {kin}"
    if found.p is None:
        return f"You have saved {own}; from {LEAST} on they can be compared."
    odd = "It stands apart from them." if found.stands_apart else "It does not stand apart from them."
    share = f"{found.p:.3f} (the least that so many can give is {found.least:.3f})"
    return f"Among your own {own}: p = {share}, by {found.method}. {odd}"


def advice(order: Order, width: int, back: Sequence[str] = ()) -> list[str]:
    """By when the piece can go back; the checks to make, in order; what not to do."""
    text = [*_block(back, width), "", "What to check, in this order:"]
    for number, step in enumerate(order.steps, 1):
        text += wrap(f"{number:>2}. {step.text} {step.tells}", width, indent="    ")
    for words in order.avoid:
        text += wrap(f" -  {words}", width, indent="    ")
    return text


def to_json(found: Check) -> dict[str, Any]:
    """The figures as scripts rely on them."""
    row: dict[str, Any] = {
        bound.name: {"value": bound.value, "low": bound.low, "high": bound.high, "verdict": bound.outcome}
        for bound in found.bounds
    }
    if found.density:
        seen = found.density
        row["density"] = {
            "value": round(seen.found.value, 4),
            "u": round(seen.found.u, 4),
            "corrected": round(seen.found.corrected, 4),
            "verdict": seen.agreement,
            "allows": list(seen.allows),
            "excludes": list(seen.excludes),
        }
    if found.magnet:
        row["magnet"] = {"verdict": found.magnet}
    if found.among:
        among = found.among
        row["among"] = {"p": among.p, "least": among.least, "pieces": among.pieces, "method": among.method}
    row["verdicts"] = {name: part["verdict"] for name, part in row.items() if "verdict" in part}
    row["ruled_out"] = found.ruled_out
    return row
