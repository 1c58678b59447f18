"""watchlist guide: what every issue of a series brings, how scarce it is, how it moved, from one's own data."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterator

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, replace_option
from watchlist.core.clean import clean
from watchlist.core.coins.scale import grade_word
from watchlist.core.guide import rounding
from watchlist.core.guide.editions import printed
from watchlist.core.guide.order import ORDERS
from watchlist.core.guide.record import USUAL, Column, Entry, Figure, Guide
from watchlist.core.prices.population import Population
from watchlist.core.typed.words import grade_range
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError, refusing
from watchlist.desk.files import write_file
from watchlist.desk.guide import guide as guides
from watchlist.desk.guide.talk import as_file, talk_sheet
from watchlist.page import guide as page
from watchlist.page import guide_forms
from watchlist.page.columns import PRINTED
from watchlist.page.talk import PHONE, text

RAW, CERTIFIED = (",".join(grade_word(column.grade) for column in USUAL if column.raw is raw) for raw in (True, False))
"""Grades of a guide where none are chosen."""
MOST = 24
"""Columns of grades at the most."""


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("series", metavar="SERIES", nargs="+", help='"COUNTRY DENOMINATION", with a type where needed')
    parser.add_argument(
        "--raw", default=RAW, metavar="GRADES", help=f"grades of uncertified (raw) coins, unless said {RAW}; or `none`"
    )
    parser.add_argument(
        "--certified",
        default=CERTIFIED,
        metavar="GRADES",
        help=f"grades of certified coins, unless said {CERTIFIED}; or `none`",
    )
    parser.add_argument(
        "--order", default="year", choices=tuple(ORDERS), metavar="ORDER", help="year, mintage, scarcity, value or rise"
    )
    parser.add_argument("--issues", default="", metavar="DATES", help="these alone: 1884-M,1907-S")
    parser.add_argument("--currency", default="", metavar="CODE", help="another currency, at today's rate")
    parser.add_argument("--bands", action="store_true", help="low and high behind each median")
    parser.add_argument("--grade", default="", metavar="G", help="the grade that scarcity and value look at")
    parser.add_argument(
        "--columns",
        default=",".join(page.Style().parts),
        help=f"beside the grades, of {', '.join(page.PARTS)}; or `none`",
    )
    parser.add_argument("--top", type=int, default=0, metavar="N", help="the first N issues only")
    parser.add_argument(
        "--rounding",
        default=rounding.USUAL,
        metavar="STEPS",
        help="steps from a price on, as 0:1;20:5;100:10; or `none`",
    )
    parser.add_argument("--title", default="", help="the title of the guide")
    parser.add_argument("--note", default="", help="your own words under the title")
    parser.add_argument(
        "--erratum", action="append", default=[], metavar="TEXT", help="what the last edition had wrong"
    )
    parser.add_argument("--anonymous", action="store_true", help="name no venues")
    parser.add_argument("--out", default="", metavar="FILE", help="write it: .md, .csv, .html or .txt")
    parser.add_argument("--edition", action="store_true", help="save the figures; the next guide says what changed")
    parser.add_argument("--sheet", action="store_true", help="one page on one coin: copies, what to look for, value")
    replace_option(parser)


def run(args: Namespace) -> int:
    """Print the guide or a talk sheet, or write it to a file."""
    return _sheet(args) if args.sheet else _guide(args)


def _sheet(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        wide = PHONE if args.out.casefold().endswith(".html") else PRINTED if args.out else session.width()
        sheet = talk_sheet(desk, " ".join(args.series), min(wide, PRINTED), venues=not args.anonymous)
    if args.out:
        out.talk(f"{write_file(args.out, as_file(args.out, sheet), replace=args.replace)}: the talk sheet.")
        return out.DONE
    for line in text(sheet, session.width()):
        out.data(line)
    return out.DONE


def _guide(args: Namespace) -> int:
    with session.desk(args, write=args.edition) as desk:
        columns = (*_columns(desk, args.raw, raw=True), *_columns(desk, args.certified, raw=False))
        if not 0 < len(columns) <= MOST:
            raise DeskError(f"A guide has 1 to {MOST} columns of grades, not {len(columns)}. Nothing was written.")
        style = _style(desk, args, columns)
        made = guides.guide(desk, guides.series(desk, " ".join(args.series)), columns, _currency(desk, args.currency))
        if unknown := set(style.only) - {entry.issue.date for entry in made.entries}:
            raise DeskError(f"{made.series} has no issue {', '.join(sorted(unknown))}. Nothing was written.")
        figures = printed(made, style.rounding)
        last, moved = guides.changed(desk, made, figures)
        laid = page.sheet(made, style, last, moved)
        if args.json:
            for entry in laid.entries:
                out.record(_json(entry, made))
        elif args.out:
            out.talk(guides.write(args.out, made, laid, replace=args.replace))
        else:
            for line in guide_forms.text(laid, session.width()):
                out.data(line)
        if args.edition:
            guides.keep_edition(desk, made, figures)
            out.talk("The figures are saved as an edition.")
    return out.DONE


def _columns(desk: Desk, text: str, *, raw: bool) -> Iterator[Column]:
    for word in text.split(",") if text.strip().casefold() != "none" else ():
        with refusing("Nothing was written."):
            low, high = grade_range(word.strip(), desk.words)
        yield Column(low if high is None else round((low + high) / 2), raw)


def _style(desk: Desk, args: Namespace, columns: tuple[Column, ...]) -> page.Style:
    parts = () if args.columns.strip().casefold() == "none" else tuple(map(str.strip, args.columns.split(",")))
    if wrong := [each for each in parts if each not in page.PARTS]:
        raise DeskError(f"`{wrong[0]}` is not a column: choose of {', '.join(page.PARTS)}. Nothing was written.")
    by = None
    if args.grade:
        (asked,) = _columns(desk, args.grade.split(",")[0], raw=True)
        near = [column for column in columns if column.grade == asked.grade]
        if not near:
            raise DeskError(f"{args.grade} is not among the guide's grades: add it to --raw or --certified.")
        by = near[0]
    with refusing("Nothing was written."):
        steps = rounding.steps(args.rounding)
    title, note = clean(args.title), clean(args.note, 4000)
    errata = tuple(f"Erratum: {clean(each, 400)}" for each in args.erratum)
    only = tuple(filter(None, map(str.strip, args.issues.split(","))))
    return page.Style(
        title, note, only, args.order, by, steps, parts, args.bands, not args.anonymous, max(args.top, 0), errata
    )


def _currency(desk: Desk, text: str) -> str:
    """The currency that is asked for; empty for one's own."""
    code = text.strip().upper()
    if code and code not in desk.currencies:
        raise DeskError(f"`{text}` is not a currency that is known. Nothing was written.")
    return code


def _json(entry: Entry, made: Guide) -> dict[str, object]:
    best, rise, own = entry.best, entry.rise, next((each for each in entry.rarities if not each.source), None)
    return {
        "issue": entry.issue.key,
        "name": entry.issue.name,
        "mintage": entry.issue.mintage,
        "copied": entry.issue.copied,
        "figures": [_figure(column, entry.figures.get(column), made.currency) for column in made.columns],
        "sales": entry.sales,
        "newest_sale": entry.newest.isoformat() if entry.newest else None,
        "record": {"price": f"{best.price:.2f}", "day": best.day.isoformat(), "grade": best.grade, "raw": best.raw}
        if best
        else None,
        "rise": {"share": round(rise.share, 4), "low": round(rise.low, 4), "high": round(rise.high, 4)}
        if rise
        else None,
        "seen": entry.offered,
        "seen_at_or_above": {str(grade): number for grade, number in entry.at_or_above.items()},
        "mint_state": {
            "seen": own.fine,
            "of": own.seen,
            "low": round(own.low, 4),
            "high": round(own.high, 4),
        }
        if own
        else None,
        "certified": [_counted(each) for each in entry.populations],
        "strikes": dict(entry.strikes),
    }


def _counted(found: Population) -> dict[str, object]:
    grades = {str(grade): pieces for grade, pieces in sorted(found.grades.items())}
    return {"service": found.service, "day": found.day.isoformat(), "total": found.total, "grades": grades}


def _figure(column: Column, found: Figure | None, currency: str) -> dict[str, object]:
    about: dict[str, object] = {"grade": column.grade, "raw": column.raw}
    if found is None:
        return {**about, "median": None}
    low, median, high = (f"{each:.2f}" for each in (found.low, found.median, found.high))
    return {**about, "median": median, "low": low, "high": high, "currency": currency, "own_sales": found.own}
