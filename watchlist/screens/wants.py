"""Wants: the want-list, with the lots that answer each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from watchlist.core.marks.record import Want
from watchlist.core.sift.filter import Filter
from watchlist.desk.errors import DeskError
from watchlist.page import wants as words
from watchlist.page.columns import wrap
from watchlist.page.lists import Column, fit
from watchlist.page.wording import money, time_left
from watchlist.screens.looks import Paint
from watchlist.screens.table import Table

if TYPE_CHECKING:
    from watchlist.desk.desk import Desk
    from watchlist.screens.app import Screens

COLUMNS = (
    Column("coin", 20),
    Column("grade", 20, rank=3),
    Column("ceiling", 12, right=True, rank=1),
    Column("lots now", 8, right=True, rank=2),
    Column("last sold", 22, rank=4),
    Column("filled", 11, rank=5),
    Column("note", 20, rank=6),
)
NARROW = (COLUMNS[0], Column("grade", 16, rank=3), *COLUMNS[2:])


class Wants(Table[Want]):
    """The want-list."""

    ID = "wants"
    TITLE = "Wants"

    def __init__(self) -> None:
        super().__init__()
        self._cells: dict[str, tuple[str, ...]] = {}
        self._country = ""
        """Of all wants, where they are of one: it then stands in the head and not in every row."""

    def items(self) -> Sequence[Want]:
        """All wants, those that still ask first."""
        self._cells.clear()
        found = self.app.session.desk.wants.by_id.values()
        countries = {want.country for want in found}
        self._country = countries.pop() if len(countries) == 1 else ""
        return sorted(found, key=lambda want: (not want.asking, -want.priority))

    def text_of(self, item: Want) -> str:
        """What a sift looks in."""
        return f"{item.id} {words.line(item)}"

    def head_parts(self) -> Sequence[str]:
        """How many, how many are filled."""
        filled = sum(not want.asking for want in self.all)
        return (f"{len(self.shown)} of {len(self.all)} wants", f"{filled} filled" if filled else "", self._country)

    def list_head(self, width: int) -> str:
        """The columns."""
        return fit(_columns(width), width).head()

    def list_row(self, at: int, width: int) -> Paint:
        """One want; a filled one is quiet."""
        want = self.shown[at]
        if want.id not in self._cells:
            self._cells[want.id] = self._row(want)
        return [("ink" if want.asking else "quiet", fit(_columns(width), width).row(self._cells[want.id]))]

    def _row(self, want: Want) -> tuple[str, ...]:
        desk = self.app.session.desk
        now = desk.shelf.store.listing.count(Filter(wants=(want.id,), open_at=desk.now))
        return (
            words.coin(want).removeprefix(f"{self._country} "),
            words.grade(want),
            money(want.ceiling) if want.ceiling else "-",
            str(now) if now else "-",
            _last_sold(desk, want),
            words.state(want),
            want.note,
        )

    def list_empty(self) -> str:
        """What to press."""
        if self.text:
            return f"Nothing matches `{self.text}`. esc clears it."
        return "No wants yet. a adds one, or `watchlist want add`."

    def why(self) -> str:
        """The want in words."""
        want = self.item
        if want is None:
            return ""
        own = f" Your own band: {money(want.low)} to {money(want.high)}." if want.low and want.high else ""
        return f"{want.id}: {words.line(want)}.{own} Enter shows its lots."

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The band of the want, and its open lots."""
        want = self.item
        if want is None:
            return ()
        desk = self.app.session.desk
        lines: list[Paint] = [[("ink!", part)] for part in wrap(words.line(want), width)]
        lines += [[("ink", part)] for part in wrap(_band(desk, want), width)]
        lots = desk.shelf.store.listing.lines(Filter(wants=(want.id,), open_at=desk.now), limit=20)
        lines += [[("ink", "")], [("head", "Lots now" if lots else "No lots now")]]
        for lot in lots:
            cost = f"{lot.all_in:,.0f}" if lot.all_in is not None else "-"
            lines.append([("ink", f"{time_left(lot.closes, desk.now) or 'fixed':>7}  {cost:>7}  {lot.title}")])
        return lines

    def copy_line(self) -> str:
        """The want as one line."""
        return words.line(self.item) if self.item else ""

    def do_open(self) -> None:
        """Its lots in the Tray."""
        want = self.item
        if want is None:
            return
        from watchlist.screens.tray import Tray

        self.app.show_screen("tray")
        tray = self.app.get_screen("tray")
        assert isinstance(tray, Tray)
        self.app.call_later(tray.sift, f"want:{want.id}")

    def do_add(self) -> None:
        """A new want."""
        from watchlist.screens.forms.want import WantForm

        self.app.push_screen(WantForm(None))

    def do_edit(self) -> None:
        """Change the want."""
        from watchlist.screens.forms.want import WantForm

        if self.item is not None:
            self.app.push_screen(WantForm(self.item))

    def do_drop(self) -> None:
        """Take the want out; u puts it back."""
        want = self.item
        if want is None:
            return
        coin = words.coin(want)

        def job(desk: Desk) -> None:
            from watchlist.desk.wants import drop_want

            drop_want(desk, want.id)

        def done(_: None) -> None:
            from watchlist.desk.wants import restore_want

            judge_anew(self.app, f"Dropped: {coin}. {self.app.keys.first('undo')} puts it back.")
            self.app.can_take_back(f"dropped {coin}", lambda desk: restore_want(desk, want.id, want), marks_follow)

        self.app.write(f"Drop {coin}", job, done)


def marks_follow(desk: Desk) -> None:
    """The want-list has changed: all open lots are judged anew. Raises Stopped, and it stays due."""
    from watchlist.desk.due import MARKS
    from watchlist.desk.settling import settle

    settle(desk, MARKS)


def judge_anew(app: Screens, said: str) -> None:
    """The want-list was changed: it is said, and all open lots are judged anew in the background."""
    app.changed(all=True)
    app.say(said)
    app.work("Judging all lots anew", marks_follow, stoppable=True)


def _columns(width: int) -> tuple[Column, ...]:
    return COLUMNS if width >= 70 else NARROW


def _issue(desk: Desk, want: Want) -> str | None:
    from watchlist.desk.naming import coin

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
    from watchlist.core.marks.reasons import band_sentence
    from watchlist.desk.pricing import price

    key = _issue(desk, want)
    if key is None:
        return "Its issue is in no catalogue."
    low = want.min_grade or 20
    answer = price(desk, key, (low, want.max_grade or low), raw=not want.certified)
    if answer.band is None:
        return answer.basis_note.capitalize() + "." if answer.basis_note else "No band: too few sales."
    return band_sentence(answer.band, low, want.max_grade or low, desk.local_today())
