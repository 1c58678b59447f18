"""watchlist lots, watchlist lot."""

from __future__ import annotations

import csv
import sys
from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import WrongUse
from watchlist.cli.verbs.lotadd import add
from watchlist.core.clean import clean
from watchlist.core.marks.record import SIGNS, Judgement
from watchlist.core.sift.line import Sift
from watchlist.desk import listing
from watchlist.desk.desk import Desk
from watchlist.desk.naming import issue_name, lot_key
from watchlist.page import charts, lot, wording
from watchlist.page.columns import cells, pad, wrap
from watchlist.page.export import safe_cell
from watchlist.shelf.store.rows import LotLine, LotRow

FIELDS = (
    "key",
    "mark",
    "state",
    "closes",
    "title",
    "venue",
    "grade_low",
    "grade_high",
    "price",
    "price_currency",
    "price_kind",
    "all_in",
    "home_currency",
    "band_low",
    "band_mid",
    "band_high",
    "gap",
    "issue",
    "link",
)


def run(args: Namespace) -> int:
    """List lots, or tell one lot in full, or add one by hand."""
    if args.verb == "lot":
        if args.key == "add":
            return add(args)
        return _one(args) if args.dismiss is None else _dismiss(args)
    if args.json and (args.csv or args.plain):
        raise WrongUse("--json, --csv and --plain are three forms of one list; choose one")
    wanted = listing.parse(" ".join(args.sift))
    with session.desk(args, write=False) as desk:
        shown = _json(desk, wanted) if args.json else _csv(desk, wanted) if args.csv else _list(args, desk, wanted)
        if not shown and not args.json and not args.csv:
            out.talk(_empty(desk, str(wanted)))
    return out.NOTHING_MATCHED if args.any and not shown else out.DONE


def _empty(desk: Desk, sift: str) -> str:
    if not desk.shelf.store.listing.count():
        return "No lots yet. `watchlist source add` names a source, `watchlist gather` reads it."
    found = desk.shelf.store.lots.find(sift, 2) if sift and " " not in sift else []
    if found:  # a sift looks in titles; a key names one lot
        return f"No title has `{sift}`, but it is the key of a lot: `watchlist lot {sift}` shows it."
    return f"Nothing matches `{sift}`." if sift else "No lots."


def _json(desk: Desk, wanted: Sift) -> int:
    shown = 0
    for row in listing.whole(desk, listing.lines(desk, wanted)):
        out.record(listing.to_json(row))
        shown += 1
    return shown


def _list(args: Namespace, desk: Desk, wanted: Sift) -> int:
    shown = 0
    wide = session.width()
    for line in listing.lines(desk, wanted):
        if not args.plain:
            if not shown:
                out.data(_columns(("", "", "closes", "title", "grade", f"in {desk.home}", "gap", "key"), wide))
            out.data(list_line(desk, line, wide))
        elif (row := desk.shelf.store.lots.get(line.key)) and row.judgement:
            zone = desk.settings.home.time_zone
            out.data(lot.plain_line(row.lot, row.judgement, desk.now, zone, desk.local_today()))
        shown += 1
    return shown


STATE_LETTERS = {"new": "*", "followed": "f", "skipped": "x", "bid": "b", "won": "w", "lost": "l", "ended": "e"}


def list_line(desk: Desk, line: LotLine, wide: int) -> str:
    """One line of the list: mark, state, time left, title, grade, cost, gap, key."""
    left = wording.time_left(line.closes, desk.now) or ("fixed" if line.kind == "fixed" else "")
    cost = f"{line.all_in:,.0f}" if line.all_in is not None else ""
    gap = f"{line.gap:+.0%}" if line.gap is not None else ""
    grade = wording.grades(line.grade_low, line.grade_high).replace(" to ", "..")
    state = STATE_LETTERS.get(line.state, "")
    sign = SIGNS[line.mark] if line.mark else " "
    return _columns((sign, state, left, clean(line.title), grade, cost, gap, clean(key_end(line.key, wide))), wide)


def key_end(key: str, wide: int) -> str:
    """A key as a column has room for: whole, or from its last mark on; two that end alike are told apart when asked."""
    return key if cells(key) <= _key_room(wide) else key[max(map(key.rfind, ":,/#=")) + 1 :] or key


def _key_room(wide: int) -> int:
    return 16 if wide < 100 else 22


def _columns(cells: tuple[str, ...], wide: int) -> str:
    mark, state, left, title, grade, cost, gap, key = cells
    fixed = f"{pad(mark, 1)}{pad(state, 1)} {pad(left, 7, right=True)}  "
    tail = f"  {pad(grade, 12)} {pad(cost, 7, right=True)} {pad(gap, 6, right=True)}  "
    return fixed + pad(title, max(wide - len(fixed) - len(tail) - _key_room(wide), 20)) + tail + key


def _csv(desk: Desk, wanted: Sift) -> int:
    writer = csv.writer(sys.stdout, lineterminator="\n")
    writer.writerow(FIELDS)
    shown = 0
    for row in listing.whole(desk, listing.lines(desk, wanted)):
        writer.writerow([safe_cell(clean(cell)) for cell in _cells(row)])
        shown += 1
    return shown


def _cells(row: LotRow) -> list[str]:
    one, judged = row.lot, row.judgement
    band = judged.band if judged else None
    values = (
        one.key,
        judged.mark if judged else "",
        row.state,
        one.closes.isoformat() if one.closes else "",
        one.title,
        one.venue,
        row.reading.grade_low,
        row.reading.grade_high,
        one.price.amount if one.price else "",
        one.price.currency if one.price else "",
        one.price_kind or "",
        judged.all_in.amount if judged and judged.all_in else "",
        judged.all_in.currency if judged and judged.all_in else "",
        band.low if band else "",
        band.mid if band else "",
        band.high if band else "",
        judged.gap if judged and judged.gap is not None else "",
        judged.issue if judged else "",
        one.link,
    )
    return ["" if value is None else str(value) for value in values]


def _one(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        row = desk.shelf.store.lots.get(lot_key(desk.shelf.store, args.key))
        assert row is not None
        if args.json:
            out.record(listing.to_json(row))
        else:
            for text in full(desk, row, session.width()):
                out.data(text)
    return out.DONE


def _dismiss(args: Namespace) -> int:
    """Set one sign aside, by its number in `watchlist lot KEY`, or restore it."""
    from watchlist.desk.dismissing import dismiss

    with session.desk(args, write=True) as desk:
        key = lot_key(desk.shelf.store, args.key)
        row = desk.shelf.store.lots.get(key)
        reasons = row.judgement.reasons if row and row.judgement else ()
        signs = {number: each.text for number, each in enumerate((each for each in reasons if each.strength), 1)}
        if args.dismiss not in signs:
            numbers = ", ".join(map(str, signs)) or "none"
            raise WrongUse(
                f"--dismiss takes the number of a sign in `watchlist lot {args.key}`: {numbers}; "
                f"not {args.dismiss}. Nothing was changed"
            )
        found = dismiss(desk, key, signs[args.dismiss], args.note)
        said = "Dismissed" if found.dismissed else "Restored"
        out.talk(f"{said}: {found.sign}. Now {wording.mark_words(found.judgement)}. `watchlist undo` turns that round.")
        row = desk.shelf.store.lots.get(key)
        if args.json and row is not None:
            out.record(listing.to_json(row))
    return out.DONE


def full(desk: Desk, row: LotRow, wide: int) -> list[str]:
    """Everything about one lot."""
    judged, zone = row.judgement, desk.settings.home.time_zone
    text = lot.head(row.lot, desk.now, zone, wide)
    if judged is None:
        return [*text, "Not judged yet: run `watchlist gather`."]
    name = f"Issue: {issue_name(desk.catalogue, judged.issue)}." if judged.issue else "Issue: not told."
    text += ["", *wrap(f"{wording.mark_words(judged)}. {name}", wide), *lot.reasons(judged.reasons, wide)]
    text += lot.wants(judged, wide)
    text += ["", *lot.reading(row.reading, wide)]
    text += _block(lot.cost(judged.cost_lines))
    text += _block(lot.history(desk.shelf.store.lots.history(row.lot.key), zone))
    text += _block(_chart(desk, row, judged, wide))
    if judged.doubt.level != "none" or judged.doubt.copy:
        text += _block(wrap(wording.CAUTION_DOUBTS, wide))
    return [*text, f"Key: {row.lot.key}", *([f"Link: {row.lot.link}"] if row.lot.link else [])]


def _chart(desk: Desk, row: LotRow, judged: Judgement, wide: int) -> list[str]:
    from watchlist.desk.pricing import price
    from watchlist.page.prices import rungs

    if judged.issue is None or judged.band is None:
        return []
    low, high = row.reading.grade_low, row.reading.grade_high
    asked = (low, high) if low is not None and high is not None else None
    answer = price(desk, judged.issue, asked, raw=not row.reading.certified)
    grade = low if low == high else None
    steps = rungs(answer.curve, answer.explanation.sales if answer.explanation else (), around=row.reading.grade_low)
    sentence = charts.chart_sentence(steps, desk.home)
    cost = judged.all_in.amount if judged.all_in else None
    drawn = (
        []
        if desk.settings.plots == "words"
        else charts.grade_chart(steps, price=cost, grade=grade, width=min(wide, 100))
    )
    return [*wrap(sentence, wide), *drawn]


def _block(lines: list[str]) -> list[str]:
    return ["", *lines] if lines else []
