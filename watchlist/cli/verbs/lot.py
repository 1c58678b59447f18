"""watchlist lot: one lot with its reasons, a sign set aside, or a lot by hand from a fair, a catalogue, a mail."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, WrongUse
from watchlist.cli.verbs.decide import carry_out
from watchlist.core.marks.record import Judgement
from watchlist.core.marks.signnames import names_of
from watchlist.core.prices.traits import traits_from
from watchlist.desk.decisions import noting
from watchlist.desk.decisions.dismissing import dismiss
from watchlist.desk.desk import Desk
from watchlist.desk.in_hand import limits
from watchlist.desk.in_hand.asked import said_of
from watchlist.desk.lists import listing
from watchlist.desk.naming import issue_name, lot_key
from watchlist.desk.prices.pricing import price
from watchlist.desk.results.results import won_cost
from watchlist.desk.typed.lots_by_hand import add_lot
from watchlist.page import charts, lot, wording
from watchlist.page.columns import wrap
from watchlist.page.prices import rungs
from watchlist.shelf.store.rows import LotRow


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("key", metavar="KEY", help="a lot's key or any unique end of it; or `add`")
    add = parser.add_argument
    add("--title", default="", metavar="TEXT", help="with add: what the catalogue or table says")
    add("--venue", default="", metavar="V", help="with add: where it is sold")
    add("--id", default="", help="the lot number, when there is one")
    add("--price", default="", metavar="120EUR", help="with its currency")
    add(
        "--price-kind",
        default="",
        choices=["", "fixed", "so far", "estimate", "ended"],
        metavar="KIND",
        help="what the price is: fixed, so far (a current bid), estimate or ended",
    )
    add("--closes", default="", metavar="TIME", help="closing time, in the venue's zone")
    add("--sale", default="", metavar="NAME", help="the sale it is in: lots of one sale may share a parcel")
    add("--seller", default="", metavar="NAME", help="who sells it")
    add("--ratings", default="", metavar="N", help="how many ratings the seller has")
    add("--link", default="", metavar="LINK", help="the page of the lot")
    add("--description", default="", metavar="TEXT", help="what is said of it beyond the title")
    add(
        "--dismiss",
        default=None,
        metavar="SIGN",
        help="dismiss the sign of this name, or restore it; the lot is marked again",
    )
    add("--note", default="", metavar="TEXT", help="with --dismiss: why")
    add("--asked", default=None, metavar="TEXT", help="note that you asked the seller this; the morning reminds you")
    add("--answered", default=None, metavar="TEXT", help="note the seller's answer to what was asked")


def run(args: Namespace) -> int:
    """Tell one lot in full, set one of its signs aside, or add one by hand."""
    if args.key == "add":
        return _add(args)
    if args.asked is not None:
        return carry_out(args, lambda desk: noting.ask(desk, args.key, args.asked))
    if args.answered is not None:
        return carry_out(args, lambda desk: noting.answered(desk, args.key, args.answered))
    return _one(args) if args.dismiss is None else _dismiss(args)


def _add(args: Namespace) -> int:
    """Take a lot as typed, judge it and say what was made of it."""
    with session.desk(args, write=True) as desk:
        row = add_lot(desk, session.said(args))
        if row.judgement is not None:
            zone, today = desk.settings.home.time_zone, desk.local_today()
            out.data(lot.plain_line(row.lot, row.judgement, desk.now, zone, today, raw=not row.reading.certified))
    return out.DONE


def _one(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        row = desk.shelf.store.lots.get(lot_key(desk.shelf.store, args.key))
        assert row is not None
        row = listing.as_now(desk, row)
        if args.json:
            out.record(listing.to_json(row))
        else:
            for text in full(desk, row, session.width()):
                out.data(text)
    return out.DONE


def _dismiss(args: Namespace) -> int:
    """Set one sign aside, by its name in `watchlist lot KEY`, or restore it."""
    with session.desk(args, write=True) as desk:
        key = lot_key(desk.shelf.store, args.key)
        row = desk.shelf.store.lots.get(key)
        signs = names_of(row.judgement) if row else {}
        if args.dismiss not in signs:
            raise WrongUse(
                f"--dismiss takes the name of a sign in `watchlist lot {args.key}`: {', '.join(signs) or 'none'}; "
                f"not {args.dismiss}. Nothing was changed"
            )
        found = dismiss(desk, key, signs[args.dismiss].text, args.note)
        said = "Dismissed" if found.dismissed else "Restored"
        out.talk(f"{said}: {found.sign}. Now {wording.mark_words(found.judgement)}. `watchlist undo` reverses that.")
        row = desk.shelf.store.lots.get(key)
        if args.json and row is not None:
            out.record(listing.to_json(row))
    return out.DONE


def full(desk: Desk, row: LotRow, wide: int) -> list[str]:
    """Everything about one lot."""
    judged, zone = row.judgement, desk.settings.home.time_zone
    text = lot.head(row.lot, desk.now, zone, wide)
    if judged is None:
        return [*text, "Not marked yet: run `watchlist gather`."]
    won = won_cost(desk, row) if row.state == "won" else None
    names = {sign.text: name for name, sign in names_of(judged).items()}
    name = f"Issue: {issue_name(desk.catalogue, judged.issue)}." if judged.issue else "Issue: not identified."
    text += ["", *wrap(f"{wording.mark_words(judged)}. {name}", wide), *lot.reasons(judged.reasons, wide, names)]
    text += [line for each in limits.told(desk, row) for line in wrap(f"  - {each}", wide, indent="    ")]
    text += lot.wants(judged, wide)
    text += ["", *lot.reading(row.reading, wide)]
    text += _block([line for each in said_of(desk, row.lot.key) for line in wrap(each, wide, indent="  ")])
    text += _block([lot.won_words(*won), *lot.cost(won[1].lines)] if won else lot.cost(judged.cost_lines))
    text += _block(lot.history(desk.shelf.store.lots.history(row.lot.key), zone))
    text += _block(_chart(desk, row, judged, wide))
    if judged.doubt.level != "none" or judged.doubt.copy:
        text += _block(wrap(wording.CAUTION_DOUBTS, wide))
    return [*text, f"Key: {row.lot.key}", *([f"Link: {row.lot.link}"] if row.lot.link else [])]


def _chart(desk: Desk, row: LotRow, judged: Judgement, wide: int) -> list[str]:
    if judged.issue is None or judged.band is None:
        return []
    low, high = row.reading.grade_low, row.reading.grade_high
    asked = (low, high) if low is not None and high is not None else None
    traits = traits_from(desk.words["traits"]).of(row.reading)
    answer = price(desk, judged.issue, asked, raw=not row.reading.certified, traits=traits)
    steps = rungs(answer.curve, answer.explanation.sales if answer.explanation else (), around=row.reading.grade_low)
    grade = charts.nearest_rung(steps, low, high)
    sentence = charts.chart_sentence(steps, desk.home)
    cost = judged.all_in.amount if judged.all_in else None
    draw, width = desk.drawing, min(wide, 100)
    drawn = charts.grade_chart(steps, price=cost, grade=grade, width=width, draw=draw) if draw else []
    return [*wrap(sentence, wide), *drawn]


def _block(lines: list[str]) -> list[str]:
    return ["", *lines] if lines else []
