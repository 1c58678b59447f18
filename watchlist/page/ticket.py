"""The Ticket: one lot in full, as lines of (role, text) pieces; the facts of `watchlist lot`, laid out for a window."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal
from typing import Literal

from watchlist.core.lots.record import Lot
from watchlist.core.marks.reasons import figure, gap_sentence
from watchlist.core.marks.record import Judgement, Reason
from watchlist.core.marks.valuation import Priced
from watchlist.core.money.amount import Money
from watchlist.core.prices.explain import Contribution
from watchlist.core.reading.record import Reading
from watchlist.page import charts, lot, wording
from watchlist.page.charts import Rung
from watchlist.page.columns import cells, cut, pad, table, wrap
from watchlist.page.drawing import Alphabet
from watchlist.page.rows import ROLES

Line = list[tuple[str, str]]
Plot = Literal["chart", "curve"]


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything that a Ticket shows."""

    lot: Lot
    reading: Reading
    judgement: Judgement | None
    state: str
    now: datetime
    zone: str
    today: date
    issue: str = ""
    """In words; empty when it was not told."""
    history: Sequence[tuple[datetime, Money | None]] = ()
    steps: Sequence[Rung] = ()
    currency: str = ""
    sales: Sequence[Contribution] = ()
    questions: Sequence[str] = ()
    won: tuple[Money, Priced] | None = None
    """The price at which it was won, and what it cost at that."""
    limits: Sequence[str] = ()
    """On the bid or its limit: what it would stand at now, and the winner's curse."""
    asked: Sequence[str] = ()
    """What was asked of the seller and answered, with its days."""
    dismissed: Sequence[tuple[str, str]] = field(default_factory=tuple)
    """Signs dismissed by the person, with the note."""


def ticket(facts: Facts, width: int, plot: Plot, height: int, draw: Alphabet | None) -> list[Line]:
    """All lines, the weightiest first: what it is, the sentence, the reasons, the words read, the plot, the working."""
    width = max(width, 10)
    judged = facts.judgement
    text = [*head(facts, width)]
    if facts.won:
        text += _ink(wrap(lot.won_words(*facts.won), width))
    if judged is None:
        return [*text, *_ink(wrap("Not marked yet: press r to gather.", width))]
    text += _verdict(facts, judged, width)
    text += _reasons(judged, facts, width)
    text += [line for each in facts.limits for line in _ink(_bullet("-", each, width))]
    text += _cautions(judged, width)
    text += [*_ink(lot.wants(judged, width)), *_chance(judged, width), *_quiet(lot.reading(facts.reading, width))]
    text += _block(_plot(facts, judged, width, plot, height, draw))
    text += _block(_ink(lot.cost(facts.won[1].lines if facts.won else judged.cost_lines)))
    history = " ".join(lot.history(facts.history, facts.zone))
    text += _block(_ink(wrap(history, width)) if history else [])
    text += _block(_sales(facts, width))
    text += _block(_questions(facts, width))
    return [*text, *_block(_quiet(_ends(facts, width)))]


def sentence(facts: Facts, width: int = 0, lines: int = 0) -> str:
    """The line of why under a list: where, mark, strongest sign, cost, band, gap.

    Where it would not fit into so many lines it says less, the gap last of all; 0 lines are as many as it takes.
    """
    told = _tellings(facts)
    fits = (text for text in told if not lines or len(wrap(text, width)) <= lines)
    return " ".join(next(fits, told[-1]).split())


def _tellings(facts: Facts) -> list[str]:
    """The same sentence at length and ever shorter."""
    number = f"lot {facts.lot.id}" if facts.lot.id else ""
    where = ", ".join(filter(None, (facts.lot.venue or facts.lot.source, number)))
    judged = facts.judgement
    if judged is None:
        return [f"{where}. Not marked yet.", "Not marked yet."]
    mark, sign = wording.mark_words(judged), _strongest(judged)
    because = f"{_over(judged)}{f' Sign: {sign}.' if sign else ''}"
    priced = f"{_first_up(wording.price_words(facts.lot, judged))}."
    cost = f"{wording.about(judged.all_in)} all in" if judged.all_in else priced.rstrip(".")
    stands = _stands(judged)
    brief = ", ".join(filter(None, (cost.removesuffix(" all in"), stands.removesuffix(" the median"))))
    return [
        f"{where}. {_verdict_of(facts, judged)}{because}",
        f"{where}. {mark}. {priced} {_behind(facts, judged, brief=False)}{because}",
        f"{_first_up(number or where)}. {mark}. {cost}. {_behind(facts, judged, brief=False)}{because}",
        f"{mark}. {cost}. {_behind(facts, judged, brief=True)}{because}",
        f"{mark}{f': {sign}' if sign else ''}. {cost}{f', {stands}' if stands else ''}.{_over(judged)}",
        f"{mark}. {cost}{f', {stands}' if stands else ''}.{_over(judged)}",
        f"{mark}. {brief}.",
        f"{mark.partition(' (')[0].partition(',')[0]}. {brief}.",
    ]


def _over(judged: Judgement) -> str:
    """` Above your ceiling of 2,500 EUR.`, unless the mark says so itself."""
    cost, ceiling = judged.all_in, judged.ceiling
    if cost is None or ceiling is None or cost.currency != ceiling.currency or cost.amount <= ceiling.amount:
        return ""
    return f" Above your ceiling of {wording.money(ceiling)} all in."


def _strongest(judged: Judgement) -> str:
    """The sign that weighs most, where the mark rests on signs."""
    signs = judged.doubt.signs if judged.mark == "doubt" else ()
    return max(signs, key=lambda sign: sign.weight).text if signs else ""


def _behind(facts: Facts, judged: Judgement, *, brief: bool) -> str:
    """Band and gap in fewer words; where there are none, the first reason."""
    if judged.value is None or judged.gap is None:
        first = next((reason.text for reason in judged.reasons if not reason.strength), "")
        return first.removesuffix(".") + "." if first else ""
    value = judged.value
    if brief:
        before = " before postage" if value.kind == "before postage" else ""
        return f"{_first_up(_stands(judged))} of {figure(value.mid)}{before}, {wording.count(value.sales, 'sale')}."
    said = _worth(facts, replace(judged, value=replace(value, newest_sale=None), band=None))
    return f"{said} {wording.gap_words(judged)}"


def _worth(facts: Facts, judged: Judgement) -> str:
    return wording.worth_words(judged, facts.today, raw=not facts.reading.certified)


def _stands(judged: Judgement) -> str:
    """`26% below the median`."""
    return "" if judged.gap is None else gap_sentence(judged.gap).removeprefix("This lot is ").removesuffix(".")


def _verdict_of(facts: Facts, judged: Judgement) -> str:
    """The sentence that stands above everything else on a lot, without the reasons."""
    parts = [f"{wording.mark_words(judged)}.", f"{_first_up(wording.price_words(facts.lot, judged))}."]
    parts.append(_worth(facts, judged))
    if judged.gap is not None:
        parts.append(wording.gap_words(judged))
    parts.append(_over(judged).strip())
    if judged.gap is None and judged.value is None:
        plain = [reason.text for reason in judged.reasons[:2] if not reason.strength]
        parts += [text for text in plain if not _stands_in(" ".join(parts), text)]
    return " ".join(filter(None, parts))


def _stands_in(said: str, text: str) -> bool:
    """A sentence holds this reason already; of one that opens with the cost all in, the cost."""
    return text.partition(" all in")[0] in said


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def head(facts: Facts, width: int) -> list[Line]:
    """Title, where it is sold, when it closes, how it stands with the person."""
    one = facts.lot
    where = ", ".join(filter(None, (one.venue or one.source, f"lot {one.id}" if one.id else "", _seller(one))))
    state = {"bid": "planned or placed", "seen": ""}.get(facts.state, facts.state)
    closing = wording.closing_words(one, facts.now, facts.zone)
    where = "; ".join(filter(None, (where, closing, state)))
    late = _late(one, facts.now)
    return [*([("ink!", line)] for line in wrap(one.title, width)), *_quiet(wrap(where, width)), *_quiet(late)]


def _seller(one: Lot) -> str:
    if not one.seller:
        return ""
    return f"seller {one.seller} ({one.feedback})" if one.feedback is not None else f"seller {one.seller}"


def _late(one: Lot, now: datetime) -> list[str]:
    if one.last_seen is None or (days := (now - one.last_seen).days) < 2:
        return []
    return [f"Not listed for {days} days, may be gone."]


def _verdict(facts: Facts, judged: Judgement, width: int) -> list[Line]:
    lines = wrap(_verdict_of(facts, judged), width)
    mark = f"{wording.mark_words(judged)}."
    role = ROLES.get(judged.mark, "ink")
    if lines[0].startswith(mark):
        return [[(f"{role}!", mark), ("ink", lines[0][len(mark) :])], *_ink(lines[1:])]
    return _ink(lines)


def _reasons(judged: Judgement, facts: Facts, width: int) -> list[Line]:
    """Reasons that the sentence does not hold already; strength and other causes in columns where they fit."""
    found = [reason for reason in judged.reasons if reason.strength or not _said(reason.text, facts, judged)]
    if not found:
        return []
    notes = dict(facts.dismissed)
    wide = max((cells(reason.text) for reason in found if reason.strength), default=0)
    lines: list[str] = []
    for number, reason in lot.numbered(found):
        lines += _reason(number, reason, wide, width, notes.get(reason.text))
    return _ink(lines)


def _said(text: str, facts: Facts, judged: Judgement) -> bool:
    """The sentence holds this reason already: its own words, or the band and the gap."""
    said = _verdict_of(facts, judged)
    if judged.value is None:
        return _stands_in(said, text)
    return text in said or _worth(facts, judged) in text


def _reason(number: str, reason: Reason, wide: int, width: int, note: str | None) -> list[str]:
    tail = f"could be: {reason.could_be}" if reason.could_be else ""
    if note is not None:
        tail = f"dismissed{': ' + note if note else ''}"
    if reason.strength and 5 + wide + 2 + 9 + cells(tail) <= width:
        return [f"{number:>3}  {pad(reason.text, wide)}  {pad(reason.strength, 9)}{tail}".rstrip()]
    parts = ", ".join(filter(None, (reason.strength, tail)))
    return _bullet(number, f"{reason.text}{f' ({parts})' if parts else ''}", width)


def _bullet(sign: str, text: str, width: int) -> list[str]:
    lines = wrap(text, max(width - 5, 8))
    return [f"{sign:>3}  {lines[0]}", *(f"     {line}" for line in lines[1:])]


def _cautions(judged: Judgement, width: int) -> list[Line]:
    if judged.mark != "doubt" and not judged.doubt.copy:
        return []
    return _quiet(wrap(wording.CAUTION_DOUBTS, width))


def _chance(judged: Judgement, width: int) -> list[Line]:
    if judged.chance_worth_it is None or judged.mark in ("bargain", "low"):  # there it is among the reasons
        return []
    tenths = round(10 * judged.chance_worth_it)
    said = (
        f"Rough estimate, not a verdict: {tenths} in 10 that it is genuine and worth its cost with the margin you ask."
    )
    return _ink(wrap(said, width))


def _plot(facts: Facts, judged: Judgement, width: int, plot: Plot, height: int, draw: Alphabet | None) -> list[Line]:
    if not facts.steps:
        return []
    said = wrap(charts.chart_sentence(facts.steps, facts.currency), width)
    if draw is None or width < 40:
        return _ink(said)
    price = judged.all_in.amount if judged.all_in else None
    grade = charts.nearest_rung(facts.steps, judged.grade_low, judged.grade_high)
    if plot == "curve":
        drawn = charts.price_curve(facts.steps, price=price, grade=grade, width=width, height=height, draw=draw)
    else:
        drawn = charts.grade_chart(facts.steps, price=price, grade=grade, width=width, draw=draw)
    return [*_ink(said), *([("ink!" if line.startswith(">") else "ink", cut(line, width))] for line in drawn)]


def _sales(facts: Facts, width: int, most: int = 8) -> list[Line]:
    if not facts.sales:
        return []
    rows = [("day", "grade", "", facts.currency, "today", "counts")] + [
        (
            sale.day.isoformat(),
            wording.grades(round(sale.grade), round(sale.grade)),
            "raw" if sale.raw else "certified",
            figure(Decimal(str(sale.price))),
            figure(Decimal(str(sale.adjusted))),
            f"{sale.weight:.0%}",
        )
        for sale in facts.sales[:most]
    ]
    lines = [cut(line, width) for line in table(rows, right=frozenset({3, 4, 5}))]
    more = [f"and {len(facts.sales) - most} more; 4 shows them"] if len(facts.sales) > most else []
    return _ink(["Sales behind the band:", *lines, *more])


def _questions(facts: Facts, width: int) -> list[Line]:
    said = [line for each in facts.asked for line in wrap(each, width, indent="  ")]
    if not facts.questions:
        return _ink(said)
    asked = [line for each in facts.questions for line in wrap(f"- {each}", width, indent="  ")]
    return _ink([*said, "To ask the seller (A copies them, a notes them):", *asked])


def _ends(facts: Facts, width: int) -> list[str]:
    text = [f"Issue: {facts.issue}." if facts.issue else "Issue: not identified."]
    if facts.lot.description:
        text.append(f"Described: {cut(' '.join(facts.lot.description.split()), 400)}")
    text += [f"Key: {facts.lot.key}", *([f"Link: {facts.lot.link}"] if facts.lot.link else [])]
    return [part for line in text for part in wrap(line, width)]


def _ink(lines: Iterable[str]) -> list[Line]:
    return [[("ink", line)] for line in lines]


def _quiet(lines: Iterable[str]) -> list[Line]:
    return [[("quiet", line)] for line in lines]


def _block(lines: list[Line]) -> list[Line]:
    return [[("ink", "")], *lines] if lines else []
