"""What is said of a piece after it was won: checked, kept, returned, refunded, disputed, settled, sold."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from watchlist.core.clean import clean
from watchlist.core.decisions.review import Decision, PieceVerb
from watchlist.core.held.course import NOT_AS_DESCRIBED
from watchlist.core.held.deadlines import deadlines
from watchlist.core.held.piece import Piece
from watchlist.core.money.amount import Money
from watchlist.core.typed.words import grade_range
from watchlist.desk.amounts import day_of, in_currency
from watchlist.desk.changes import append, batch_name
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, TooMuch, refusing
from watchlist.desk.held.held import piece_of_lot
from watchlist.desk.in_hand.courses import numbered
from watchlist.desk.naming import lot_key, short_key
from watchlist.desk.recording import Decided
from watchlist.desk.results import results
from watchlist.page.dates import in_full

ACTS: Mapping[str, PieceVerb] = {
    "checked": "checked", "kept": "kept", "returned": "returned", "refunded": "refunded", "disputed": "disputed",
    "settled": "settled", "sold": "sold", "to-service": "graded out", "from-service": "graded back",
    "consigned": "consigned", "not-sold": "consigned back",
    "noted": "noted", "pictured": "pictured", "came-from": "came from",
    "stored-in": "stored",
}  # fmt: skip
"""The words of the command line."""
SUMS = frozenset({"refunded", "sold"})
WORDS: Mapping[str, str] = {
    "noted": "the note",
    "pictured": "a path",
    "came-from": "a sale, a collection or a catalogue",
    "stored-in": "a place",
}
"""What is told in words, wherever the piece is."""
SAID: Mapping[str, str] = {
    "to-service": "sent to a service",
    "from-service": "back from its service",
    "not-sold": "not sold",
}
"""What is not called as its word of the command line."""
TURNS_PRICE = frozenset({"returned", "refunded", "disputed", "settled"})
"""After these the archive and the want say something else of the piece."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a person says of a piece, as typed."""

    act: str
    amount: str = ""
    """The sum; of a note, a picture and a link of the provenance the words."""
    on: str = ""
    reason: str = ""
    """Of a return or a dispute; else a note."""
    postage: str = ""
    fees: str = ""
    grade: str = ""
    """As a grading service gave it, with its code and the number of its certificate."""
    service: str = ""
    cert: str = ""
    reserve: str = ""
    """Of a piece that is consigned: under which it is not to be sold."""


def say(desk: Desk, key: str, said: Said, *, anyway: bool = False, batch: str = "") -> Decided:
    """Write one event of a piece; `batch`: the stroke that it is a part of. Raises DeskError, and TooMuch for what is
    asked twice unless `anyway`."""
    piece = _meant(desk, key)
    if said.act in WORDS:
        return _describe(desk, piece, said, anyway=anyway)
    if (said.act in SUMS) != bool(said.amount):
        raise DeskError(f"`{said.act}` takes {'a sum' if said.act in SUMS else 'no sum'}. Nothing was written.")
    day = day_of(desk, said.on, SAID.get(said.act, said.act))
    amount = in_currency(desk, said.amount, desk.home, "sum") if said.amount else None
    facts = _facts(desk, said)
    _in_turn(piece, said.act, day)
    asked = tuple(_asked_twice(desk, piece, said, day or desk.local_today(), amount))
    if asked and not anyway:
        raise TooMuch(f"{'; '.join(asked)}. Nothing was written; --anyway writes it even so.")
    verb, note = ACTS[said.act], clean(said.reason, 400)
    with desk.shelf.store.together():
        stroke = batch or batch_name()
        append(desk, [Decision(0, stroke, desk.now, verb, piece.key, amount, "", note, day=day, facts=facts)])
        due = results.follow(desk, [piece.key] if said.act in TURNS_PRICE else ()).due
    return Decided((piece.key,), _told(desk, piece, said, amount, facts), asked, due)


def _facts(desk: Desk, said: Said) -> dict[str, str]:
    """What is told beside the event: sums in home currency, what a service gave, a reserve."""
    if said.reserve and said.act != "consigned":
        raise DeskError("A reserve is told with `consigned`. Nothing was written.")
    facts = {
        name: f"{in_currency(desk, text, desk.home, word).amount}"
        for name, word, text in (("postage", "postage", said.postage), ("fees", "fee", said.fees))
        if text
    }
    if said.reserve:
        facts["reserve"] = str(in_currency(desk, said.reserve, desk.home, "reserve"))
    return facts | _certified(desk, said)


def _certified(desk: Desk, said: Said) -> dict[str, str]:
    """Grade and number with which a piece came back from a service. Raises DeskError for any other event."""
    told = {name: clean(text, 40) for name, text in (("service", said.service), ("cert", said.cert)) if text}
    if said.grade:
        with refusing("Nothing was written."):
            low, high = grade_range(said.grade, desk.words["grades"])
        told |= {"grade_low": str(low), "grade_high": str(high or low)}
    if told and said.act != "from-service":
        raise DeskError("A grade, a service and a certificate are told with `from-service`. Nothing was written.")
    return told


def _describe(desk: Desk, piece: Piece, said: Said, *, anyway: bool) -> Decided:
    """A note, the path of a picture, which is looked for and never opened, or a link of the provenance."""
    words, when = clean(said.amount, 400), clean(said.on, 40)
    if not words:
        raise DeskError(f"`{said.act}` takes {WORDS[said.act]}. Nothing was written.")
    missing = said.act == "pictured" and not Path(words).expanduser().is_file()
    asked = (f"there is no file {words}",) if missing else ()
    if asked and not anyway:
        raise TooMuch(f"{asked[0]}. Nothing was written; --anyway writes it even so.")
    facts = {"when": when} if when else {}
    append(desk, [Decision(0, batch_name(), desk.now, ACTS[said.act], piece.key, note=words, facts=facts)])
    return Decided(
        (piece.key,), f"{piece.stock_no} ({piece.coin}): {said.act} {words}{f', {when}' if when else ''}", asked
    )


def _meant(desk: Desk, key: str) -> Piece:
    """The piece of a lot's key or of a stock number. Raises DeskError."""
    lot = numbered(desk, key) or lot_key(desk.shelf.store, key)
    found = piece_of_lot(desk, lot)
    if found is None:
        raise DeskError(f"{short_key(desk.shelf.store, lot)} is not won, so there is no piece. Nothing was written.")
    return found


ONLY_HELD = frozenset({"kept", "sold", "checked", "to-service", "from-service", "consigned", "not-sold"})
"""What can only be said of a piece that one still has."""


def _in_turn(piece: Piece, act: str, day: date | None) -> None:
    """Raises DeskError for a word that cannot follow what was said, and for a day before the piece was bought."""
    course = piece.course
    if act == "refunded" and course.returned is None and course.disputed is None:
        raise DeskError(f"{piece.stock_no} was neither returned nor disputed: nothing to refund. Nothing was written.")
    if act == "settled" and course.disputed is None:
        raise DeskError(f"{piece.stock_no} is not disputed: nothing to settle. Nothing was written.")
    if (course.gone and act in ONLY_HELD) or (course.sold is not None and act == "returned"):
        raise DeskError(f"{piece.stock_no} is {course.state} already: undo that first. Nothing was written.")
    if day is not None and piece.bought is not None and day < piece.bought:
        text = f"{act.capitalize()} {in_full(day)} is before {piece.stock_no} was bought, {in_full(piece.bought)}"
        raise DeskError(f"{text}. Nothing was written.")


def _asked_twice(desk: Desk, piece: Piece, said: Said, day: date, amount: Money | None) -> Iterator[str]:
    if said.act == "returned" and (last := return_by(desk, piece)) is not None and day > last:
        yield f"return was due {last:%-d %b}: the venue may refuse"
    if said.act == "kept" and piece.doubtful and piece.course.checked is None:
        yield f"{piece.stock_no} is marked Doubt and was not checked: `watchlist bench` says what to check"
    if said.act == "refunded" and amount is not None:
        whole = piece.share + piece.course.postage
        if piece.course.refunded + amount.amount > whole:
            sent = f" and {piece.course.postage} return postage" if piece.course.postage else ""
            yield f"refund {amount} is above the {piece.share} {desk.home} paid for it{sent}"


def return_by(desk: Desk, piece: Piece) -> date | None:
    """The last day to return a piece, where its parcel has arrived and its venue says how long."""
    if piece.parcel is None:
        return None
    found = deadlines(piece.parcel, desk.terms.get(piece.won.lot.venue))
    return next((each.day for each in found if each.kind == "return"), None)


def _told(desk: Desk, piece: Piece, said: Said, amount: Money | None, facts: Mapping[str, str]) -> str:
    """What was written, and what turned with it."""
    text = f"{piece.stock_no} ({piece.coin}): {SAID.get(said.act, said.act)}{f' {amount}' if amount else ''}"
    if said.act == "returned" and " ".join(said.reason.casefold().split()) == NOT_AS_DESCRIBED:
        return f"{text}; its price is excluded, and its want matches again"
    if said.act == "returned":
        return f"{text}; its want matches again"
    if said.act == "sold" and amount is not None:
        return f"{text}; {_against(desk, piece, amount, Decimal(facts.get('fees', 0)))}"
    if said.act == "disputed":
        return f"{text}; its price is excluded until it is settled"
    graded = f" as {clean(said.grade, 40)}" if said.grade else ""
    return (
        text
        + graded
        + "".join(
            f", {word} {facts[name]}{unit}"
            for name, word, unit in (("reserve", "reserve", ""), ("fees", "fees", f" {desk.home}"))
            if name in facts
        )
    )


def _against(desk: Desk, piece: Piece, proceeds: Money, fees: Decimal) -> str:
    """What a sale brought over the cost, and whether it was under the reserve."""
    reserve = piece.course.reserve
    under = ""
    if reserve is not None and proceeds.amount < reserve.amount:
        under = f"; {Money(reserve.amount - proceeds.amount, desk.home)} under the reserve of {reserve}"
    if piece.cost is None:
        return f"what it cost is not known{under}"
    gain = Money(abs(proceeds.amount - fees - piece.cost), desk.home)
    return f"{gain} {'more' if proceeds.amount - fees >= piece.cost else 'less'} than it cost{under}"
