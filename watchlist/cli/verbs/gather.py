"""watchlist gather: fetch, read, value, mark, keep; then the morning."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.core.decisions.plan import BidRow
from watchlist.core.sift.filter import Filter
from watchlist.desk import listing
from watchlist.desk.desk import Desk
from watchlist.desk.gathering import gather
from watchlist.desk.intake import SourceReport
from watchlist.desk.morning import Morning, morning
from watchlist.desk.naming import issue_name, short_key
from watchlist.page.columns import cut, wrap
from watchlist.page.morning import ENDED, HOW_ENDED, MOST, Section, Seen, bullets, ended_bid, sections
from watchlist.page.wording import CAUTION_BIDS, CAUTION_DOUBTS, count, local
from watchlist.shelf.store.rows import LotRow


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("names", metavar="NAME", nargs="*", help="only these sources")
    parser.add_argument("--offline", action="store_true", help="only sources that are files")


def run(args: Namespace) -> int:
    """Gather, one line a source on stderr; the morning on stdout, or the new lots as JSON."""
    with session.desk(args, write=True) as desk:
        reports = take(desk, args.names, offline=args.offline)
        if args.json:
            for line in desk.shelf.store.listing.each(Filter(states=frozenset({"new"}))):
                row = desk.shelf.store.lots.get(line.key)
                if row is not None:
                    out.record(listing.to_json(row))
        else:
            tell(desk, session.width())
    return out.SOURCES_FAILED if any(report.failed for report in reports) else out.DONE


def take(desk: Desk, names: list[str], *, offline: bool) -> list[SourceReport]:
    """Run a gather and tell each source as it finishes."""
    reports: list[SourceReport] = []
    for report in gather(desk, names, offline=offline):
        reports.append(report)
        out.talk(report.line)
        for trouble in report.troubles[:5]:
            out.talk(f"  {trouble}")
        if len(report.troubles) > 5:
            out.talk(f"  and {len(report.troubles) - 5} more; `watchlist source test {report.name}` names them")
    if not desk.sources:
        out.talk(
            "No sources yet: `watchlist source add NAME ADDRESS-OR-FILE --venue V`. `watchlist try` shows the sample."
        )
    return reports


def tell(desk: Desk, wide: int) -> None:
    """Print the morning."""
    for line in lines(desk, wide):
        out.data(line)


def lines(desk: Desk, wide: int) -> list[str]:
    """The morning in print."""
    found = morning(desk)
    zone = desk.settings.home.time_zone
    text = wrap(f"{local(desk.now, zone)}, {zone}. {_headline(found, zone)}", wide)
    groups = (
        _section(desk, "Bargains", found.bargains, "watchlist lots mark:b"),
        _section(desk, "Doubts among the wants", found.doubts, "watchlist lots mark:!"),
        _section(desk, "Closing today, wanted or followed", found.closing, "watchlist lots 'closes<1d'"),
    )
    text += sections(groups, desk.now, wide)
    text += bullets("Bids not yet placed", (_unplaced(row, zone) for row in found.unplaced), wide)
    text += ended_bids(desk, found.ended, wide)
    text += bullets("Sources", (f"{each.name}: {each.what}" for each in found.troubles), wide)
    text += bullets("To look after", found.stale, wide)
    text += ["", *wrap(CAUTION_BIDS, wide)]
    if found.doubts:
        text += wrap(CAUTION_DOUBTS, wide)
    return text


def ended_bids(desk: Desk, rows: Sequence[BidRow], wide: int) -> list[str]:
    """The bids whose sale is over, and how to say what became of them."""
    told = [
        ended_bid(short_key(desk.shelf.store, row.lot), cut(row.title, 60), row.bid, row.stage, row.fell)
        for row in rows
    ]
    return [*bullets(ENDED, told, wide), *wrap(f"  {HOW_ENDED}", wide, indent="  ")] if told else []


def _unplaced(row: BidRow, zone: str) -> str:
    closes = f", closes {local(row.closes, zone)}" if row.closes else ""
    return f"{row.lot}: {row.title}, bid {row.bid or 'not set'}{closes}"


def _headline(found: Morning, zone: str) -> str:
    since = f" since {local(found.since, zone)}" if found.since else ""
    wanted = f", {found.new_wanted} of them on the want-list" if found.new_wanted else ", none on the want-list"
    parts = [
        f"{count(found.new, 'lot')} new{since}{wanted if found.wants else ''}; {found.open:,} open."
        if found.new
        else f"nothing new{since}; {found.open:,} open.",
        f"{count(len(found.bargains), 'bargain')}, {count(len(found.doubts), 'doubt')} among the wants, "
        f"{found.closing_all} closing today.",
    ]
    if not found.wants:
        parts.append("No wants yet: `watchlist want add`.")
    return " ".join(part[:1].upper() + part[1:] for part in parts)


def _section(desk: Desk, title: str, rows: tuple[LotRow, ...], more: str) -> Section:
    judged = [row for row in rows if row.judgement is not None]
    seen = [
        Seen(row.lot, row.judgement, _name(desk, row), short_key(desk.shelf.store, row.lot.key))
        for row in judged[:MOST]
        if row.judgement is not None
    ]
    return Section(title, seen, len(judged), more)


def _name(desk: Desk, row: LotRow) -> str:
    issue = row.judgement.issue if row.judgement else None
    return issue_name(desk.catalogue, issue) if issue else row.lot.title
