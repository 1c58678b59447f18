"""watchlist price: the band of a coin, its curve, and the sales behind it."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from decimal import Decimal, InvalidOperation

from watchlist.cli import out, session
from watchlist.cli.amending import amend_sales, sale_options
from watchlist.cli.parser import Parser
from watchlist.core.marks.reasons import piece_words, value_sentence
from watchlist.core.prices.explain import Explanation
from watchlist.core.prices.traits import traits_from
from watchlist.core.typed.want import traits_typed
from watchlist.core.typed.words import grade_range
from watchlist.desk import naming
from watchlist.desk.desk import Desk
from watchlist.desk.due import MARKS
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.guide import guide
from watchlist.desk.prices import fitting, pricing, weighing
from watchlist.desk.prices.pricing import PriceAnswer
from watchlist.desk.settling import settle
from watchlist.page import charts, prices
from watchlist.page.columns import wrap
from watchlist.page.prices import SaleLine
from watchlist.page.wording import count

KINDS = ("before postage", "all-in", "hammer")
"""What the prices behind bands may hold."""


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("coin", metavar="COIN", nargs="*", help='"COUNTRY DENOMINATION YEAR-MINT", or an issue key')
    parser.add_argument("--grade", default="", metavar="G", help="number or word; without it the one most often sold")
    kind = parser.add_mutually_exclusive_group()
    kind.add_argument("--raw", action="store_true", help="as an uncertified (raw) coin")
    kind.add_argument("--certified", action="store_true", help="as a certified coin")
    parser.add_argument("--traits", default="", metavar="WORDS", help="beyond the grade: 'RD, sharp'")
    parser.add_argument("--refit", action="store_true", help="recalculate all bands first")
    parser.add_argument("--kind", choices=KINDS, default="", help="with --refit: what bands mean from now on")
    parser.add_argument(
        "--weight",
        nargs=2,
        metavar=("SALE", "W"),
        default=None,
        help="lower the weight of a sale; 0 excludes it; `watchlist undo` reverses it",
    )
    parser.add_argument("--note", default="", help="with --weight: why")
    sale_options(parser)


def run(args: Namespace) -> int:
    """Fit again, weigh a sale, or answer for one coin."""
    writes = bool(args.refit or args.weight or args.move or args.correct or args.delete)
    if args.kind and not args.refit:
        raise DeskError("--kind goes with --refit: bands are calculated again then.")
    with session.desk(args, write=writes) as desk:
        if not writes and not args.coin:
            raise DeskError(f'Name a coin: `watchlist price "{desk.catalogue.example}"`, or --refit.')
        if amend_sales(desk, args):
            return out.DONE
        if args.weight:
            _weigh(desk, args)
        if args.refit:
            _refit(desk, args.kind)
        if args.coin:
            _answer(desk, args)
    return out.DONE


def _refit(desk: Desk, kind: str) -> None:
    if kind:
        desk.use_kind(kind)
    desk.go_on = progress = session.Progress()
    desk.owed.add(MARKS)
    fit = fitting.refit(desk)
    settle(desk, MARKS)
    progress.end()
    out.talk(f"bands recalculated from {count(fit.sales, 'sale')}, {len(fit.set_aside)} excluded")
    for sale, why in fit.set_aside[:10]:
        out.talk(f"  sale {sale.id} ({sale.origin or sale.title or sale.issue}): {why}")
    for flag in fit.flagged[:10]:
        out.talk(f"  check {flag}")


def _weigh(desk: Desk, args: Namespace) -> None:
    try:
        sale, weight = int(args.weight[0]), Decimal(args.weight[1])
    except (ValueError, InvalidOperation):
        raise DeskError("--weight takes the number of a sale and a weight from 0 to 1: --weight 1204 0.") from None
    weighed = weighing.weigh(desk, sale, weight, args.note)
    settle(desk, weighed.due)
    kept = weighed.sale
    out.talk(
        f"sale {sale} of {naming.issue_name(desk.catalogue, kept.issue)} at {kept.price} now has weight {weight}; "
        "`watchlist undo` reverses it."
    )


def _answer(desk: Desk, args: Namespace) -> None:
    coin = " ".join(args.coin)
    if args.grade:
        with refusing():
            low, high = grade_range(args.grade, desk.words)
        grade = (low, high if high is not None else low)
    else:
        usual = pricing.usual_grade(desk.shelf.store.prices.of(naming.coin(desk, coin).key))[0]
        grade = (usual, usual)
    kinds = [args.raw] if args.raw or args.certified else pricing.kinds_sold(desk, coin)
    with refusing():
        traits = traits_typed(args.traits, traits_from(desk.words["traits"]))
    if any(name.startswith("-") for name in traits):
        raise DeskError("`not` is for wants: a price is asked for what the piece has, as in --traits 'RD, sharp'.")
    found, *others = [pricing.price(desk, coin, grade, raw=raw, traits=traits) for raw in kinds]
    if args.json:
        also = [{"raw": each.raw, **_worth(each)} for each in others]
        out.record({**_json(found, pricing.sale_lines(desk, found)), "also": also})
        return
    for line in _lines(desk, found, grade, session.width(), others):
        out.data(line)


def _lines(
    desk: Desk, found: PriceAnswer, grade: tuple[int, int], wide: int, others: Sequence[PriceAnswer] = ()
) -> list[str]:
    newest = found.sales[0].sale_date if found.sales else None
    text = wrap(prices.headline(found.issue, len(found.sales), newest, desk.local_today()), wide)
    sales = pricing.sale_lines(desk, found)
    if not found.curve:
        listed = ["", *prices.sales_table(sales, None, wide)] if sales else []
        return [*text, *wrap(f"No band: {found.basis_note or NOTHING}.", wide), *listed]
    for each in (found, *others):
        if each.value is not None:
            piece = piece_words(*grade, raw=each.raw, beyond=each.traits)
            text += wrap(value_sentence(each.value, each.band, piece, desk.local_today()), wide)
    if beyond := prices.beyond_grade(found.effects):
        text += wrap(beyond, wide)
    steps = prices.rungs(found.curve, [line for line in sales if not line.aside], around=found.grade, most=12)
    text += ["", *wrap(charts.chart_sentence(steps, desk.home), wide)]
    draw, width = desk.drawing, min(wide, 100)
    if draw:
        text += ["", *charts.grade_chart(steps, price=None, grade=found.grade, width=width, draw=draw)]
        text += ["", *charts.price_curve(steps, price=None, grade=None, width=width, height=16, draw=draw)]
    if scarce := guide.scarcity(desk, found.issue).get(found.issue.key):
        text += ["", *(line for each in scarce for line in wrap(each, wide))]
    asked, today = prices.asked(found.grade, raw=found.raw, traits=found.traits), desk.local_today()
    text += ["", *prices.course(sales, found.band, asked, today, width, draw)]
    if found.explanation is not None:
        text += ["", *pricing.account(desk, found, wide), "", *prices.sales_table(sales, found.grade, wide)]
    return text


NOTHING = "not enough sales of this issue and its series"


def _json(found: PriceAnswer, lines: Sequence[SaleLine]) -> dict[str, object]:
    return {
        "issue": found.issue.key,
        "grade": found.grade,
        "raw": found.raw,
        "traits": list(found.traits),
        "effects": {name: round(effect, 3) for name, effect in found.effects},
        "mintage": found.issue.mintage,
        **_worth(found),
        "curve": [{"grade": grade, **band.json()} for grade, band in found.curve],
        "sales": _sales(found.explanation, lines),
        "set_aside": _set_aside(lines),
        "note": found.basis_note,
        "similar": round(found.explanation.similar, 4) if found.explanation else None,
        "older": round(found.explanation.older, 4) if found.explanation else None,
        "drift_five_years": round(found.explanation.drift_five_years, 4) if found.explanation else None,
        "guide_worth": round(found.explanation.guide_worth, 2) if found.explanation else None,
    }


def _worth(found: PriceAnswer) -> dict[str, object]:
    """What the piece is worth, and what a single sale may bring."""
    return {
        "value": found.value.json() if found.value else None,
        "band": found.band.json() if found.band else None,
    }


def _sales(found: Explanation | None, lines: Sequence[SaleLine]) -> list[dict[str, object]]:
    seen = {line.sale.id: line for line in lines}
    return [
        {
            "sale": sale.sale,
            "day": sale.day.isoformat(),
            "grade": sale.grade,
            "raw": sale.raw,
            "problem": sale.problem,
            "price": str(sale.price),
            "adjusted": str(sale.adjusted),
            "weight": round(sale.weight, 4),
            "trust": round(sale.trust, 3),
            **_own(seen.get(sale.sale)),
        }
        for sale in (found.sales if found else ())
    ]


def _own(line: SaleLine | None) -> dict[str, object]:
    """The price as it was seen, and what the person made of the sale."""
    if line is None:
        return {}
    return {"seen": str(line.sale.price), "kind": line.sale.kind, "counts": line.sale.weight, "own_note": line.note}


def _set_aside(lines: Sequence[SaleLine]) -> list[dict[str, object]]:
    return [
        {"sale": line.sale.id, "day": line.sale.sale_date.isoformat(), "reason": line.aside, **_own(line)}
        for line in lines
        if line.aside
    ]
