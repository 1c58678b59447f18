"""watchlist lot add: a lot by hand, from a fair, a paper catalogue or a mail."""

from __future__ import annotations

from argparse import Namespace

from watchlist.cli import out, session
from watchlist.desk.adding import Typed, add_lot
from watchlist.desk.errors import DeskError
from watchlist.page import lot as lot_page


def add(args: Namespace) -> int:
    """Take a lot as typed, judge it and say what was made of it."""
    if not args.title:
        raise DeskError('A lot by hand needs its title: `watchlist lot add --title "5 tor 1893 V, VF" --price 300EUR`.')
    typed = Typed(
        args.title,
        venue=args.venue,
        id=args.id,
        price=args.price,
        price_kind=args.price_kind,
        closes=args.closes,
        seller=args.seller,
        feedback=args.feedback,
        link=args.link,
        description=args.description,
    )
    with session.desk(args, write=True) as desk:
        row = add_lot(desk, typed)
        if row.judgement is not None:
            line = lot_page.plain_line(
                row.lot, row.judgement, desk.now, desk.settings.home.time_zone, desk.local_today()
            )
            out.data(line)
    return out.DONE
