"""watchlist calendar: the dates to come, as a list or as a file for a calendar; and dates of one's own."""

from __future__ import annotations

from argparse import Namespace
from datetime import timedelta
from pathlib import Path

from watchlist.cli import out, session
from watchlist.cli.parser import Parser, WrongUse, replace_option
from watchlist.cli.verbs.decide import carry_out
from watchlist.core.calendar.record import Dated
from watchlist.desk.decisions import noting
from watchlist.desk.files import write_file
from watchlist.desk.in_hand.dates import dates
from watchlist.page.columns import wrap
from watchlist.page.dates import lines
from watchlist.page.wording import count

DAYS = 60
LONGEST = 730


def options(parser: Parser) -> None:
    """What it takes."""
    parser.add_argument("words", metavar="FILE.ics", nargs="*", help="the file to write; or `add TEXT DAY`")
    parser.add_argument("--days", type=int, default=DAYS, metavar="N", help="how far ahead, 1 to 730; 60 unless said")
    replace_option(parser)


def run(args: Namespace) -> int:
    """List the dates, write them into a file, or add one."""
    if not 1 <= args.days <= LONGEST:
        raise WrongUse(f"--days takes 1 to {LONGEST}, not {args.days}")
    if args.words[:1] == ["add"]:
        return _add(args)
    if len(args.words) > 1:
        raise WrongUse(f"calendar takes one file, or `add TEXT DAY`, not `{' '.join(args.words)}`")
    return _hand_out(args) if args.words else _list(args)


def _add(args: Namespace) -> int:
    if len(args.words) < 3:
        raise WrongUse(
            "`calendar add` takes a text in quotation marks and a day, such as 2026-03-29 or 2026-03-29 14:00"
        )
    _, text, *day = args.words
    return carry_out(args, lambda desk: noting.remind(desk, text, " ".join(day)))


def _list(args: Namespace) -> int:
    with session.desk(args, write=False) as desk:
        found = dates(desk)
        until = desk.local_today() + timedelta(days=args.days)
        coming = [each for each in found.coming if each.day <= until]
        if args.json:
            for each in coming:
                out.record(_told(each))
        elif coming:
            zone = desk.settings.home.time_zone
            out.data(f"Dates of the next {args.days} days, by your clock ({zone}):")
            for line in lines(coming, desk.settings.home.zone, desk.local_today(), session.width()):
                out.data(line)
        else:
            out.talk(f"No dates in the next {args.days} days. Follow a lot, plan a bid, or `watchlist calendar add`.")
        _say_left_out(found.left_out)
    return out.DONE


def _told(date: Dated) -> dict[str, object]:
    at = date.at.isoformat() if date.at else None
    return {"kind": date.kind, "key": date.key, "what": date.what, "day": date.day.isoformat(), "at": at}


def _hand_out(args: Namespace) -> int:
    from watchlist.desk.morning.calendar import hand_out  # only those who write a file load its library

    path = Path(args.words[0]).expanduser()
    with session.desk(args, write=True) as desk:
        made = hand_out(desk, path, args.days, replace=args.replace)
        write_file(args.words[0], made.text, replace=True)
        gone = f", {made.cancelled} cancelled" if made.cancelled else ""
        out.talk(
            f"{path}: {count(made.dates, 'date')}{gone}. Import it again after a change: what is there is updated."
        )
        _say_left_out(made.found.left_out)
    return out.DONE


def _say_left_out(sentences: tuple[str, ...]) -> None:
    for each in sentences:
        for line in wrap(each, session.width(), indent="  "):
            out.talk(line)
