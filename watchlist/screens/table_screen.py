"""A screen whose list is a table; and one whose pane stands below the table, where the window has room for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, ClassVar, Generic, TypeVar

from watchlist.desk.desk import Desk
from watchlist.screens.frame import Frame
from watchlist.screens.parts.saying import saying
from watchlist.screens.parts.table import Kind, Table, Tall
from watchlist.screens.program import Program

Rows = TypeVar("Rows", bound=Kind[Any] | Tall[Any])
Item = TypeVar("Item")


class TableScreen(Frame, Generic[Rows, Item]):
    """Its rows, made over the desk, and the table that shows them."""

    ROWS: Callable[[Callable[[], Desk]], Rows]
    """What makes the rows; the desk is asked for anew at each reading."""

    def __init__(self, program: Program) -> None:
        self.rows = self.ROWS(lambda: program.access.desk)
        self.table: Table[Item] = Table(self.rows, program.brush, self.redraw_row)
        super().__init__(program, table=self.table)
        self._saying = saying(program, self.dialogue)


class TableOverPane(TableScreen[Rows, Item]):
    """Rows that need the window's whole width, and three lines of why."""

    WHY: ClassVar[int] = 3
    DEFAULT_CSS = """
    TableOverPane #why { height: 3; }
    TableOverPane.-short #why { height: 1; }
    TableOverPane.-wide #body, TableOverPane.-rich #body { layout: vertical; }
    TableOverPane.-wide #pane, TableOverPane.-rich #pane { width: 1fr; height: 50%; }
    """
