"""What the person found out about pieces bought; sellers and issues learn from it. One entry each, undone like any."""

from __future__ import annotations

import re

from watchlist.core.marks.outcomes import Said
from watchlist.desk.changes import entry
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import DeskError
from watchlist.desk.judging import OUTCOME
from watchlist.desk.recording import lot_of

WORDS: dict[str, Said] = {
    "genuine": "genuine",
    "not-genuine": "not genuine",
    "problem": "problem",
    "lower": "lower",
}
"""What may be said, as it is typed."""


def say(desk: Desk, key: str, word: str, steps: str = "1") -> str:
    """Keep an outcome of a piece that was bought; what was done, in words.

    Raises DeskError for a lot that was never bought and for words that are none."""
    said, number = WORDS.get(word), re.fullmatch(r"[1-9]", steps.strip())
    if said is None:
        raise DeskError(f"`{word}` is not an outcome; it is one of {', '.join(WORDS)}. Nothing was recorded.")
    if number is None:
        raise DeskError(f"`{steps}` is not a number of steps from 1 to 9. Nothing was recorded.")
    row = lot_of(desk, key)
    lot, store = row.lot, desk.shelf.store
    if all(bought.lot != lot.key for bought in store.purchases.all()):
        raise DeskError(f"{lot.key} was never bought, so it has no outcome. Record the win first: `watchlist result`.")
    judged = row.judgement
    taught = (
        sum(sign.weight for sign in (*judged.doubt.signs, *judged.doubt.comforts) if sign.group == "learned")
        if judged
        else 0
    )
    score = (judged.doubt.score if judged else -4.0) - taught
    data = {
        "said": said,
        "steps": int(number[0]) if said == "lower" else 0,
        "score": round(score, 4),
        "seller": lot.seller,
        "issue": (judged.issue if judged else None) or "",
        "raw": not row.reading.certified,
    }
    what = f"{said} by {number[0]}" if said == "lower" else said
    with entry(desk, f"outcome of {lot.key} recorded: {what}", due=MARKS) as change:
        before = store.findings.newest()
        store.findings.add(OUTCOME, lot.key, desk.now, data)
        change.added("finding", before + 1, store.findings.newest())
    return f"{lot.key}: {what}; lots of this seller and issue are marked again with it"
