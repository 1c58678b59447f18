"""The way to a seller's page, from a lot."""

from __future__ import annotations

from watchlist.desk.judging.sellers import seller
from watchlist.page.columns import wrap
from watchlist.page.sellers import Seller, lines
from watchlist.screens.looks import Paint, ink
from watchlist.screens.program import Program
from watchlist.shelf.store.rows import LotRow


def open_seller(program: Program, row: LotRow | None) -> None:
    """What the shelf knows of the seller of a lot; found beside the person, for a seller may have thousands."""
    name = row.lot.seller if row is not None else ""
    if not name:
        program.messages.say("This lot names no seller.")
        return

    def show(found: Seller) -> None:
        def text(width: int) -> list[Paint]:
            return ink(part for line in lines(found) for part in wrap(line, width, indent="  "))

        program.windows.open("detail", f"Seller {found.name}", text)

    program.work.look_up(f"Seller {name}", lambda desk: seller(desk, name), show)
