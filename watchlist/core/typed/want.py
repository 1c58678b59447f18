"""A want from what is said of it, by command, form or file. The coin is found before: it needs the catalogue."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal, Protocol

from watchlist.core.clean import clean
from watchlist.core.marks.record import Want
from watchlist.core.money.amount import Money
from watchlist.core.prices.traits import Traits, traits_from
from watchlist.core.typed.words import TypedError, is_yes, wanted_range, whole

LONGEST = 4000
"""Characters kept of a note."""
AMOUNTS = ("ceiling", "low", "high")
NUMBERS = {"quantity": 1, "filled": 0, "priority": 0}
"""What is meant where nothing is said."""
ANSWERS = {"certified": True, "upgrade": False}
"""Yes or no; whether `any` may be said too."""


class Words(Protocol):
    """How single words are read: as a person types them, or as the cells of a file in six languages.

    What cannot be read raises an error of one sentence. A text is never empty, but for a yes or no."""

    def grades(self, said: Mapping[str, str]) -> tuple[int | None, int | None]:
        """The lowest and the highest grade taken; None: any."""

    def amount(self, name: str, text: str, currency: str) -> Money:
        """An amount; in this currency, where one is given, if it names none."""

    def yes(self, name: str, text: str, *, or_any: bool = False) -> bool:
        """Whether it is a yes."""

    def whole(self, name: str, text: str) -> int:
        """A whole number."""

    def problems(self, text: str) -> Literal["", "none", "any"]:
        """Whether pieces with problems match; empty as the note says."""

    def traits(self, text: str) -> tuple[str, ...]:
        """What is asked for, and refused, beyond the grade: `RD, not weak`."""


@dataclass(frozen=True, slots=True)
class TypedWords:
    """Words as a person types them: strict, for they can be mended at once."""

    tables: Mapping[str, Any]
    home: str
    codes: Collection[str]
    """The currencies that may be typed."""

    def grades(self, said: Mapping[str, str]) -> tuple[int | None, int | None]:
        """`40-55`, `VF`, in one field."""
        text = said.get("grade", "")
        return wanted_range(text, self.tables) if text else (None, None)

    def amount(self, name: str, text: str, currency: str) -> Money:
        """`300 EUR`; raises MoneyError."""
        return Money.parse(text, default=currency or self.home, codes=self.codes)

    def yes(self, name: str, text: str, *, or_any: bool = False) -> bool:
        """`yes`, `no`, perhaps `any`."""
        return is_yes(name, text, or_any=or_any)

    def whole(self, name: str, text: str) -> int:
        """`2`."""
        return whole(name, text)

    def problems(self, text: str) -> Literal["", "none", "any"]:
        """`none`, `any`, or nothing."""
        return problems(text)

    def traits(self, text: str) -> tuple[str, ...]:
        """`RD, sharp, not BN`."""
        return traits_typed(text, traits_from(self.tables["traits"]))


def want_from(said: Mapping[str, str], base: Want, words: Words) -> Want:
    """`base` with what is said put over it: a field that is not named stays, an empty one is emptied.

    Low and high are in the currency of the ceiling where they name none. Raises TypedError for what no want can be, and
    what `words` raise."""
    changes = {
        **_grades(said, words),
        **_amounts(said, base, words),
        **{name: words.whole(name, said[name]) if said[name] else NUMBERS[name] for name in NUMBERS if name in said},
        **{name: words.yes(name, said[name], or_any=any) for name, any in ANSWERS.items() if name in said},
        **({"note": clean(said["note"], LONGEST)} if "note" in said else {}),
        **({"problems": words.problems(said["problem"])} if "problem" in said else {}),
        **({"traits": words.traits(said["traits"])} if "traits" in said else {}),
    }
    want = replace(base, **changes)
    check_want(want)
    return want


def _grades(said: Mapping[str, str], words: Words) -> dict[str, Any]:
    if not said.keys() & {"grade", "min_grade", "max_grade"}:
        return {}
    low, high = words.grades(said)
    return {"min_grade": low, "max_grade": high}


def _amounts(said: Mapping[str, str], base: Want, words: Words) -> dict[str, Any]:
    """The amounts; the ceiling is read first, for the others may stand in its currency."""
    found: dict[str, Money | None] = {}
    for name in AMOUNTS:
        if name in said:
            ceiling = found.get("ceiling", base.ceiling) if name != "ceiling" else None
            found[name] = words.amount(name, said[name], ceiling.currency if ceiling else "") if said[name] else None
    return found


def words_of(want: Want) -> dict[str, str]:
    """What is said of a want, but for its coin, as a person types it: `want_from` reads it back."""
    amounts = {name: str(amount).replace(",", "") if (amount := getattr(want, name)) else "" for name in AMOUNTS}
    low, high = want.min_grade, want.max_grade
    return {
        "grade": f"{low}-{high}" if low and high else str(low or ""),
        **amounts,
        **{name: str(getattr(want, name)) for name in NUMBERS},
        **{name: "yes" if getattr(want, name) else "" for name in ANSWERS},
        "note": want.note,
        "problem": want.problems,
        "traits": ", ".join(f"not {name[1:]}" if name.startswith("-") else name for name in want.traits),
    }


def problems(text: str) -> Literal["", "none", "any"]:
    """`none`, `any`, or nothing: as the note says. Raises TypedError for other words."""
    said = text.strip().casefold()
    if said not in ("", "none", "any"):
        raise TypedError(f"Problems are `none` or `any`, not {text!r}")
    return "any" if said == "any" else "none" if said else ""


def traits_typed(text: str, known: Traits) -> tuple[str, ...]:
    """Traits as a person types them, one after the other with commas; `not` or `-` before one refuses it.

    Raises TypedError for a trait that words/traits.toml does not have."""
    found: list[str] = []
    for part in filter(None, (each.strip() for each in text.split(","))):
        refused = part[:1] == "-" or part.casefold().startswith("not ")
        word = part.removeprefix("-") if part[:1] == "-" else part[4:] if refused else part
        name = known.typed.get(word.strip().casefold())
        if name is None and word.casefold().startswith("service:"):
            name = f"service:{word[8:].strip()}"
        if name is None:
            raise TypedError(f"{word.strip()!r} is not a known trait; known are {', '.join(sorted(known.effects))}")
        found.append(f"-{name}" if refused else name)
    return tuple(dict.fromkeys(found))


def check_want(want: Want) -> None:
    """Raises TypedError for what no want can be, whoever says it."""
    for name in AMOUNTS:
        amount = getattr(want, name)
        if amount is not None and amount.amount <= 0:
            raise TypedError(f"The {name} is above zero, not {amount}")
    if want.quantity < 1 or want.filled < 0:
        raise TypedError("A want is for one piece or more, of which none or some are filled")
    if want.low and want.high and want.low.currency == want.high.currency and want.low.amount > want.high.amount:
        raise TypedError(f"The low {want.low} is above the high {want.high}")


def lacking(want: Want) -> str:
    """What a person is asked for when they type a want and a file may leave out; empty when it lacks nothing."""
    if want.ceiling is None:
        return "A want needs a ceiling, all-in, such as 300 EUR"
    if (want.low is None) != (want.high is None):
        return "Your own band needs both ends, low and high"
    return ""
