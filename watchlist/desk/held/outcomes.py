"""What pieces that were bought proved to be; sellers and issues learn from it. One entry each, undone like any."""

from __future__ import annotations

import re

from watchlist.core.marks.outcomes import Said, steps_lower
from watchlist.core.typed.words import TypedError, grade_range
from watchlist.desk import naming
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKET, MARKS
from watchlist.desk.errors import DeskError
from watchlist.desk.held.bench import kept
from watchlist.desk.in_hand import courses
from watchlist.desk.judging.judging import OUTCOME, found_false
from watchlist.desk.recording import lot_of
from watchlist.shelf.store.rows import LotRow

DUE = MARKS | MARKET
"""What may follow an outcome: the price of a piece that is not genuine weighs nothing."""
WORDS: dict[str, Said] = {
    "genuine": "genuine",
    "not-genuine": "not genuine",
    "problem": "problem",
    "lower": "lower",
}
"""What may be said, as it is typed; beside them the true grade."""


def question(desk: Desk, lot: str) -> str:
    """The stock number of a piece to ask about: it was won, and neither an outcome nor a check is kept; else empty."""
    won = next(courses.wins(desk, [lot]), None)
    said = any(each.lot == lot for each in desk.shelf.store.findings.of(OUTCOME))
    checked = any(each.lot == lot for each in kept(desk))
    return won.stock_no if won and not (said or checked) else ""


def say(desk: Desk, key: str, word: str, steps: str = "1") -> str:
    """Keep an outcome of a piece that was bought; what was done, in words. `key` may be a stock number.

    Raises DeskError for a lot that was never bought and for words that are none."""
    row = lot_of(desk, courses.numbered(desk, key) or key)
    lot, store, judged = row.lot, desk.shelf.store, row.judgement
    said, lower = _meant(desk, row, word, steps)
    if all(bought.lot != lot.key for bought in store.purchases.all()):
        raise DeskError(f"{lot.key} was never bought, so it has no outcome. Record the win first: `watchlist result`.")
    taught = (
        sum(sign.weight for sign in (*judged.doubt.signs, *judged.doubt.comforts) if sign.group == "learned")
        if judged
        else 0
    )
    score = (judged.doubt.score if judged else -4.0) - taught
    data = {
        "said": said,
        "steps": lower,
        "score": round(score, 4),
        "seller": lot.seller,
        "issue": (judged.issue if judged else None) or "",
        "raw": not row.reading.certified,
    }
    what = f"lower by {lower}" if lower else said
    same = (said == "not genuine") == (lot.key in found_false(store))
    due = MARKS if same else DUE
    with entry(desk, f"outcome of {naming.named(desk, row)} recorded: {what}", due=due) as change:
        number = store.findings.add(OUTCOME, lot.key, desk.now, data)
        change.added("finding", number, number)
    return f"{lot.key}: {what}; lots of this seller and issue are marked again with it"


def _meant(desk: Desk, row: LotRow, word: str, steps: str) -> tuple[Said, int]:
    """An outcome and how many grades lower: one of the words, or the true grade. Raises DeskError."""
    said, number = WORDS.get(word.strip()), re.fullmatch(r"[1-9]", steps.strip())
    if number is None:
        raise DeskError(f"`{steps}` is not a number of steps from 1 to 9. Nothing was recorded.")
    if said is not None:
        return said, int(number[0]) if said == "lower" else 0
    try:
        true = grade_range(word, desk.words)[0]
    except TypedError:
        known = ", ".join(WORDS)
        raise DeskError(f"`{word}` is not an outcome: {known}, or its true grade. Nothing was recorded.") from None
    stated = row.judgement.grade_low if row.judgement else None
    if stated is None:
        raise DeskError(f"No grade is stated for {row.lot.key}: say `lower` and by how many. Nothing was recorded.")
    lower = steps_lower(stated, true)
    return ("lower", lower) if lower else ("genuine", 0)
