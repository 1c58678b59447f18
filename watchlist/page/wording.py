"""Facts in plain sentences, the same on the screens, in print and for the ear."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from watchlist.core.coins.scale import grade_word
from watchlist.core.lots.record import Lot
from watchlist.core.marks.reasons import figure, gap_sentence, piece_words, value_sentence
from watchlist.core.marks.record import SIGNS, Doubt, Judgement
from watchlist.core.money.amount import Money

MARK_WORDS = {mark: mark.capitalize() for mark in SIGNS}
LEVEL_WORDS = {"none": "", "query": "query", "caution": "caution", "strong": "strong caution"}


def money(value: Money) -> str:
    """An amount somebody pays, bids or named, with its cents where it has some: `310 EUR`, `42.50 EUR`."""
    return str(value)


def about(value: Money) -> str:
    """A cost worked out, rounded as a band is: `310 EUR`; the cents stand in its lines."""
    return f"{figure(value.amount)} {value.currency}"


def grades(low: int | None, high: int | None, *, details: bool = False) -> str:
    """One grade or a range in the usual short form: `VF-30`, `VF-20 to VF-35`, `XF details`, empty without one."""
    if low is None or high is None:
        return ""
    if details:
        letters = dict.fromkeys(grade_word(grade).partition("-")[0] for grade in (low, high))
        return f"{' to '.join(letters)} details"
    return grade_word(low) if low == high else f"{grade_word(low)} to {grade_word(high)}"


def count(number: int, one: str, many: str = "") -> str:
    """`1 sale`, `2 sales`, `no sales`."""
    word = one if number == 1 else many or one + "s"
    return f"{number:,} {word}" if number else f"no {word}"


def all_of(names: Sequence[str]) -> str:
    """`212`, `212 and 219`, `212, 219 and 88`."""
    return " and ".join(filter(None, (", ".join(names[:-1]), *names[-1:])))


def time_left(closes: datetime | None, now: datetime) -> str:
    """Time to the closing in seven cells: `2d 04h`, `3h 20m`, `12m`; empty when unknown."""
    if closes is None:
        return ""
    left = closes - now
    if left <= timedelta():
        return "ended"
    hours, minutes = divmod(int(left.total_seconds()) // 60, 60)
    if hours >= 24:
        days, hours = divmod(hours, 24)
        return f"{days}d {hours:02}h" if days < 100 else f"{days}d"
    return f"{hours}h {minutes:02}m" if hours else f"{minutes}m"


def local(when: datetime, zone: str) -> str:
    """A time on the person's own clock: `Tue 3 Mar 19:00`."""
    here = when.astimezone(ZoneInfo(zone))
    return f"{here:%a} {here.day} {here:%b %H:%M}"


def mark_words(judgement: Judgement) -> str:
    """The mark with what belongs beside it: `Doubt (cheap), caution`, `Bargain (so far)`."""
    word = MARK_WORDS[judgement.mark]
    if judgement.mark == "doubt":
        return f"{word}{' (cheap)' if 'bargain' in judgement.also else ''}, {LEVEL_WORDS[judgement.doubt.level]}"
    if judgement.mark == "low":
        held = next((LOW_WORDS[each] for each in judgement.also if each in LOW_WORDS), "")
        word = f"{word}, {held}" if held else word
    if judgement.mark == "in range" and "early" in judgement.also:
        return f"{word} (early)"
    return f"{word} (so far)" if judgement.so_far and judgement.mark in ("bargain", "low") else word


LOW_WORDS = {"signs": "with signs", "unsure": "unsure", "shared": "only shared"}
"""What keeps a cheap lot from being a Bargain."""


def worth_words(judgement: Judgement, today: date, *, raw: bool) -> str:
    """What the lot is worth, what that rests on, and what a single sale may bring; empty where nothing is known."""
    if judgement.value is None:
        return ""
    piece = piece_words(judgement.grade_low, judgement.grade_high, raw=raw, beyond=judgement.beyond)
    return value_sentence(judgement.value, judgement.band, piece, today)


def price_words(lot: Lot, judgement: Judgement) -> str:
    """The price and what it comes to: `now 120 GBP hammer, 171 EUR all in`."""
    if lot.price is None:
        return f"no price: {lot.price_note}" if lot.price_note else "no price given"
    kind = {"so far": "now ", "estimate": "estimate ", "ended": "sold at ", "fixed": ""}[lot.price_kind or "fixed"]
    price = f"{kind}{money(lot.price)}{' hammer' if kind else ''}"
    return f"{price}, {about(judgement.all_in)} all in" if judgement.all_in else price


def closing_words(lot: Lot, now: datetime, zone: str) -> str:
    """When it closes on the person's own clock, or why that is not known."""
    if lot.closes is not None:
        return f"closes {local(lot.closes, zone)} (in {time_left(lot.closes, now)})" if lot.closes > now else "ended"
    if lot.closes_note:
        return f"closing time unknown: {lot.closes_note}"
    return "fixed price" if lot.price_kind == "fixed" else "closing time not given"


def verdict(lot: Lot, judgement: Judgement, today: date, *, raw: bool = True) -> str:
    """The sentence that stands above everything else on a lot."""
    parts = [f"{mark_words(judgement)}.", f"{sentence(price_words(lot, judgement))}"]
    parts += [worth] if (worth := worth_words(judgement, today, raw=raw)) else []
    if judgement.gap is not None:
        parts.append(gap_words(judgement))
    if judgement.doubt.level != "none" and (signs := doubt_words(judgement.doubt)):
        parts.append(f"Signs: {signs}.")
    return " ".join(parts)


def gap_cell(gap: float | None) -> str:
    """The gap as a table has it: `-26%`, `+0%` for less than half a per cent either way."""
    return f"{gap:+z.0%}" if gap is not None else ""


def gap_words(judgement: Judgement) -> str:
    """How a lot stands to the median; where that is not by the cost beside it, both are said to be before postage."""
    if judgement.gap is None:
        return ""
    before = judgement.value is not None and judgement.value.kind == "before postage"
    return gap_sentence(judgement.gap).removesuffix(".") + (", both before postage." if before else ".")


def sentence(text: str) -> str:
    """The words with a capital at their head and a full stop; nothing stays nothing."""
    return text[:1].upper() + text[1:] + "." if text else ""


def doubt_words(doubt: Doubt) -> str:
    """The signs in one line, strongest first."""
    strongest = sorted(doubt.signs, key=lambda sign: -sign.weight)
    return "; ".join(sign.text for sign in strongest if sign.weight > 0)


CAUTION_BIDS = (
    "A placed bid is binding, and the venue's own terms count. Watchlist places none. "
    "Terms and rates are as old as their date says. "
    "A band is an estimate, not an appraisal."
)
CAUTION_DOUBTS = (
    "Signs seen, not a verdict; few or no signs do not prove it genuine. Holders and numbers are copied too. "
    "Before you return, resell or mail a suspect piece ask the venue, a third-party grading service "
    "or the police: local law differs."
)
