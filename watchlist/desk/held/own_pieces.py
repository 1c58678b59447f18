"""Pieces that a person has from before: lots by hand that are theirs, without a result and without a purchase."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, time
from pathlib import Path

from watchlist.core.decisions.review import OWN, Decision
from watchlist.core.imports.pieces import OwnPiece
from watchlist.core.lots.record import Lot
from watchlist.core.typed.lot import BY_HAND
from watchlist.desk.changes import Change
from watchlist.desk.desk import Desk
from watchlist.desk.judging.judging import Judge
from watchlist.desk.recording import record
from watchlist.desk.typed.wants import as_kept
from watchlist.shelf.store.rows import LotRow

NOON = time(12, tzinfo=UTC)


def keep_pieces(desk: Desk, change: Change, pieces: Iterable[OwnPiece]) -> tuple[int, list[str]]:
    """Keep the pieces of one file, and fill the wants that it says they fill; how many were there just so."""
    judge = Judge(desk)
    given = [(piece, _row(desk, judge, piece)) for piece in pieces]
    here = {line.lot: line for line in desk.shelf.store.decisions.in_force("won") if line.target == OWN}
    new = [(piece, row) for piece, row in given if not _stands(desk, here.get(row.lot.key), piece, row)]
    if new:
        _keep(desk, change, new)
        _fill(desk, change, Counter(piece.want for piece, row in new if piece.want and row.lot.key not in here))
    return len(given) - len(new), list(_missing(pieces=[piece for piece, _ in new]))


def _keep(desk: Desk, change: Change, new: Sequence[tuple[OwnPiece, LotRow]]) -> None:
    change.touch("lot", [row.lot.key for _, row in new])
    desk.shelf.store.lots.save([row for _, row in new])
    record(desk, [line for piece, row in new for line in _lines(desk, change, piece, row.lot.key)])


def _fill(desk: Desk, change: Change, filled: Mapping[str, int]) -> None:
    """Wants that some pieces more fill."""
    wants = (replace(desk.wants.by_id[id], filled=desk.wants.by_id[id].filled + n) for id, n in filled.items())
    change.put("want", *(as_kept(desk, want) for want in wants))


def _row(desk: Desk, judge: Judge, piece: OwnPiece) -> LotRow:
    reading, id = piece.reading, f"own-{piece.id}"
    closes = datetime.combine(piece.bought, NOON) if piece.bought else None
    lot = Lot(
        f"{BY_HAND}:{id}",
        BY_HAND,
        id,
        piece.source,
        reading.title,
        price_kind="ended",
        closes=closes,
        first_seen=desk.now,
        last_seen=desk.now,
    )
    row = judge.judge(LotRow(lot, reading, state="won"))
    assert row.judgement is not None
    told = replace(
        row.judgement,
        issue=piece.issue,
        grade_low=reading.grade_low,
        grade_high=reading.grade_high,
        wants=(),
        near_wants=(),
    )
    return replace(row, judgement=told)


def _lines(desk: Desk, change: Change, piece: OwnPiece, lot: str) -> Iterator[Decision]:
    facts = _facts(piece)
    yield Decision(0, change.batch, desk.now, "won", lot, piece.cost, OWN, piece.note, day=piece.bought, facts=facts)
    if piece.note:
        yield Decision(0, change.batch, desk.now, "noted", lot, note=piece.note)
    if piece.place:
        yield Decision(0, change.batch, desk.now, "stored", lot, note=piece.place)
    for path in piece.pictures:
        yield Decision(0, change.batch, desk.now, "pictured", lot, note=path)


def _facts(piece: OwnPiece) -> dict[str, str]:
    """What else the row says: the same row later is the same piece, whatever was said of the piece in between."""
    said = {"stock": piece.number, "place": piece.place, "pictures": "\n".join(piece.pictures)}
    return {name: text for name, text in said.items() if text}


def _stands(desk: Desk, line: Decision | None, piece: OwnPiece, row: LotRow) -> bool:
    """The piece is kept just as the row says."""
    kept = desk.shelf.store.lots.get(row.lot.key) if line else None
    if line is None or kept is None:
        return False
    same = (line.amount, line.note, line.day, line.facts) == (piece.cost, piece.note, piece.bought, _facts(piece))
    seen = replace(row.lot, first_seen=kept.lot.first_seen, last_seen=kept.lot.last_seen)
    return same and (kept.lot, kept.reading) == (seen, row.reading)


def _missing(pieces: Iterable[OwnPiece]) -> Iterator[str]:
    for path in dict.fromkeys(path for piece in pieces for path in piece.pictures):
        if not Path(path).expanduser().is_file():
            yield f"there is no file {path}: the path is kept as written"
