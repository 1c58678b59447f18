"""One reading of a source that keeps nothing: what it would give."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

from watchlist.core.lots.record import Lot
from watchlist.core.lots.source import Source
from watchlist.desk.gather.intake import try_source
from watchlist.page.columns import wrap
from watchlist.page.lists import columns_read
from watchlist.page.lot import offered
from watchlist.page.troubles import trouble_line
from watchlist.page.wording import count
from watchlist.screens.looks import Paint, ink
from watchlist.screens.program import Program

if TYPE_CHECKING:
    from watchlist.core.lots.trouble import Trouble
    from watchlist.feeds.read import Read

SHOWN = 20


def try_out(program: Program, source: Source) -> None:
    """Read a source once, keep nothing, and show what came."""

    def done(found: tuple[Read, Sequence[Lot], Sequence[Trouble]]) -> None:
        read, lots, troubles = found
        zone = program.access.shelf.settings.home.time_zone
        troubled = [trouble_line(each) for each in (*read.troubles, *troubles)]
        text = tried(source.name, lots, troubled, columns_read(read.columns, read.unknown_columns), zone)

        def lines(width: int) -> Sequence[Paint]:
            return ink(part for line in text for part in wrap(line, width, indent="  "))

        program.windows.open("detail", f"Tested {source.name}, nothing saved", lines)

    program.work.look_up(f"Reading {source.name} once", partial(try_source, source=source), done)


def tried(name: str, lots: Sequence[Lot], troubles: Sequence[str], columns: Sequence[str], zone: str) -> list[str]:
    """What one reading of a source gave, in lines."""
    text = [f"{name}: {count(len(lots), 'lot')}, {len(troubles)} failed."]
    text += [f"! {trouble}" for trouble in troubles[:10]]
    text += columns
    text += [offered(lot, zone) for lot in lots[:SHOWN]]
    if len(lots) > SHOWN:
        text.append(f"and {len(lots) - SHOWN} more")
    return text
