"""What to ask this seller about this kind of piece, as plain text to send."""

from __future__ import annotations

from collections.abc import Iterator

from watchlist.core.coins.issue import Issue
from watchlist.core.lots.record import Lot
from watchlist.core.marks.record import Judgement
from watchlist.core.reading.record import Reading

RETURN = (
    "If a third-party grading service does not certify it as genuine, may I send it back, and within how many days?"
)


def questions(lot: Lot, reading: Reading, judged: Judgement | None, issue: Issue | None) -> list[str]:
    """The questions that this lot leaves open, the weightiest first."""
    if reading.replica or (judged and judged.doubt.copy):
        return ["Is this an original of the mint, or a copy?"]
    return [*_what(reading, issue), *_holder(reading), *_piece(lot, reading, issue), *_doubt(judged), *_price(lot)]


def _what(reading: Reading, issue: Issue | None) -> Iterator[str]:
    if reading.multiple:
        yield "Which pieces are in the lot, with year, mint mark and grade of each?"
    elif issue is None:
        yield "Which year and which mint mark does the piece bear?"
    elif unsure := [field for field in reading.unsure if field in ("year", "mint", "variety", "denomination")]:
        yield f"Could you tell me its {' and '.join(unsure)} as it stands on the piece?"


def _holder(reading: Reading) -> Iterator[str]:
    if not reading.certified:
        return
    if not reading.cert_number:
        yield f"What is the number on the {reading.service or ''} holder?".replace("  ", " ")
    yield "Could you send pictures of both sides of the holder, with its edge and label?"


def _piece(lot: Lot, reading: Reading, issue: Issue | None) -> Iterator[str]:
    if reading.certified:
        return
    standard = f" The standard is {issue.weight_g:g} g." if issue and issue.weight_g else ""
    if lot.weight_g is None:
        yield f"What does it weigh, to a tenth of a gram, and what is its diameter?{standard}"
    if issue and issue.copied:
        yield "Could you send a close picture of the date and of the mint mark, and one of the edge?"
    else:
        yield "Could you send sharp pictures of both sides and of the edge?"
    if not reading.problems:
        yield "Has it been cleaned, polished, repaired or mounted?"


def _doubt(judged: Judgement | None) -> Iterator[str]:
    if judged is None or judged.doubt.level in ("none", "query"):
        return
    if any(sign.group == "weight" for sign in judged.doubt.signs if sign.weight > 0):
        yield "Could you weigh it once more, on another scale?"
    yield "Where does it come from, and since when have you had it?"
    yield RETURN


def _price(lot: Lot) -> Iterator[str]:
    if lot.price is None:
        yield "What does it cost, and what is the postage?"
    if lot.closes is None and lot.price_kind != "fixed":
        yield "When does it close?"


def letter(lot: Lot, asked: list[str]) -> str:
    """The questions as one plain text, with the lot they are about."""
    where = f", lot {lot.id}" if lot.id else ""
    return "\n".join([f"About {lot.title}{where}:", *(f"- {each}" for each in asked)])
