"""watchlist gather: fetch, read, value, mark, keep; then the morning."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.cli.parser import Parser
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.gather.gathering import gather
from watchlist.desk.gather.intake import SourceReport
from watchlist.desk.lists import listing
from watchlist.desk.morning.morning_text import lines


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
