"""Wants: the want-list, with the lots that answer each."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from watchlist.core.marks.reasons import piece_words, value_sentence
from watchlist.core.marks.record import Want
from watchlist.core.sift.filter import Filter
from watchlist.desk.desk import Desk
from watchlist.desk.errors import DeskError
from watchlist.desk.naming import coin
from watchlist.desk.prices.pricing import price
from watchlist.desk.typed.wants import drop_want
from watchlist.page import wants as words
from watchlist.page.columns import wrap
from watchlist.page.lists import Column, fit
from watchlist.page.wording import money, time_left
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.dispatch import Doing
from watchlist.screens.table_screen import TableScreen
from watchlist.screens.want_changes import wants_changed

COLUMNS = (
    Column("coin", 20),
    Column("grade", 20, rank=3),
    Column("ceiling", 12, right=True, rank=1),
    Column("lots now", 8, right=True, rank=2),
    Column("last sale", 22, rank=4),
    Column("filled", 11, rank=5),
    Column("note", 20, rank=6),
)
NARROW = (COLUMNS[0], Column("grade", 16, rank=3), *COLUMNS[2:])


class WantRows:
    """The want-list in rows; what is looked up for a row is kept until the list is read anew."""

    none = "No wants yet. Press a to add one, or use `watchlist want add`."

    def __init__(self, desk: Callable[[], Desk]) -> None:
        self._desk = desk
        self._cells: dict[str, tuple[str, ...]] = {}
        self.country = ""
        """Of all wants, where they are of one: it then stands in the head and not in every row."""

    def items(self) -> Sequence[Want]:
        """All wants, those that still ask first."""
        self._cells.clear()
        found = self._desk().wants.by_id.values()
        countries = {want.country for want in found}
        self.country = countries.pop() if len(countries) == 1 else ""
        return sorted(found, key=lambda want: (not want.asking, -want.priority))

    def text_of(self, item: Want) -> str:
        """What a sift looks in."""
        return f"{item.id} {words.line(item)}"

    def head(self, width: int) -> str:
        """The columns."""
        return fit(_columns(width), width).head()

    def row(self, item: Want, width: int) -> Paint:
        """One want; a filled one is quiet."""
        if item.id not in self._cells:
            self._cells[item.id] = self._look_up(item)
        return [("ink" if item.asking else "quiet", fit(_columns(width), width).row(self._cells[item.id]))]

    def _look_up(self, want: Want) -> tuple[str, ...]:
        desk = self._desk()
        now = desk.shelf.store.listing.count(Filter(wants=(want.id,), open_at=desk.now))
        return (
            words.coin(want).removeprefix(f"{self.country} "),
            words.grade(want),
            money(want.ceiling) if want.ceiling else "-",
            str(now) if now else "-",
            _last_sold(desk, want),
            words.state(want),
            want.note,
        )


class Wants(TableScreen[WantRows, Want]):
    """The want-list."""

    ID = "wants"
    TITLE = "Wants"
    ROWS = WantRows

    def doing(self) -> Doing:
        """What is done to wants."""
        windows, on_want = self.program.windows, self.table.on_item
        return {
            "copy": on_want(lambda want: self.program.outside.copy(words.line(want))),
            "open": on_want(lambda want: windows.show_wants_lots(want.id)),
            "add": lambda: windows.open("want form", None),
            "edit": on_want(lambda want: windows.open("want form", want)),
            "drop": on_want(self._drop),
        }

    def head(self) -> Paint:
        """How many, how many are filled."""
        filled = sum(not want.asking for want in self.table.all)
        counts = f"{len(self.table.shown)} of {len(self.table.all)} wants"
        parts = (counts, f"{filled} filled" if filled else "", self.rows.country)
        return self.table.title(self.TITLE, parts, self.app.size.width)

    def why(self, width: int, lines: int) -> str:
        """The want in words."""
        want = self.table.item
        if want is None:
            return ""
        own = f" Your own band: {money(want.low)} to {money(want.high)}." if want.low and want.high else ""
        return f"{want.id}: {words.line(want)}.{own} Enter shows its lots."

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The band of the want, and its open lots."""
        want = self.table.item
        if want is None:
            return ()
        desk = self.program.access.desk
        lines: list[Paint] = [[("ink!", part)] for part in wrap(words.line(want), width)]
        lines += ink(wrap(_band(desk, want), width))
        lots = desk.shelf.store.listing.lines(Filter(wants=(want.id,), open_at=desk.now), limit=20)
        lines += [[("ink", "")], [("head", "Lots now" if lots else "No lots now")]]
        for lot in lots:
            cost = f"{lot.all_in:,.0f}" if lot.all_in is not None else "-"
            lines.append([("ink", f"{time_left(lot.closes, desk.now) or 'fixed':>7}  {cost:>7}  {lot.title}")])
        return lines

    def _drop(self, want: Want) -> None:
        """Take the want out; u puts it back."""
        coin = words.coin(want)

        def done(_: None) -> None:
            wants_changed(self.program, f"Removed: {coin}")

        self.program.writer.write(f"Remove {coin}", lambda desk: drop_want(desk, want.id), done)


def _columns(width: int) -> tuple[Column, ...]:
    return COLUMNS if width >= 70 else NARROW


def _issue(desk: Desk, want: Want) -> str | None:
    try:
        return coin(desk, words.coin(want)).key
    except DeskError:
        return None


def _last_sold(desk: Desk, want: Want) -> str:
    key = _issue(desk, want)
    if key is None:
        return "-"
    last = max(desk.shelf.store.prices.of(key), key=lambda sale: sale.sale_date, default=None)
    return f"{last.price} {last.sale_date.isoformat()}" if last else "-"


def _band(desk: Desk, want: Want) -> str:
    key = _issue(desk, want)
    if key is None:
        return "Not in your catalogue."
    low = want.min_grade or 20
    traits = tuple(name for name in want.traits if not name.startswith("-"))
    answer = price(desk, key, (low, want.max_grade or low), raw=not want.certified, traits=traits)
    if answer.value is None:
        return answer.basis_note.capitalize() + "." if answer.basis_note else "No band: too few sales."
    piece = piece_words(low, want.max_grade or low, raw=answer.raw, beyond=traits)
    return value_sentence(answer.value, answer.band, piece, desk.local_today())
