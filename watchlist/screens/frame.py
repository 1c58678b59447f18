"""What every screen is: head line, list, pane, the line of why, status and footer, laid out by the window's size.

A screen is a subclass in a file of its own: it names its id, is made of its parts, gives the text of head, why and
pane, and says which method of which part does each action that actions.py lists for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import Input

from watchlist.page.columns import fitting
from watchlist.screens import actions
from watchlist.screens.layout import PANE, SHAPES, Shape, has_room, shape, too_small
from watchlist.screens.looks import Paint, ink
from watchlist.screens.parts.dialogue import Dialogue
from watchlist.screens.parts.dispatch import Dispatch, Doing, Has
from watchlist.screens.parts.listing import Listing
from watchlist.screens.parts.movement import Movement
from watchlist.screens.parts.table import Table, TableSift
from watchlist.screens.parts.text_block import TextBlock
from watchlist.screens.program import Program
from watchlist.screens.screen_names import screens_line

STATUS_LINES = 3
"""Lines that a message may take."""


class Frame(Screen[None], inherit_bindings=False):
    """A screen with a list or without, and a pane beside it where the window is wide."""

    ID = ""
    TITLE = ""
    AUTO_FOCUS = "#lots"
    WHY: ClassVar[int] = 2
    """Lines of why under the list."""
    DEFAULT_CSS = """
    Frame { layout: vertical; overflow: hidden; background: $background; }
    Frame #body { height: 1fr; }
    Frame #pane { display: none; width: 70; height: 1fr; }
    Frame #why { height: 2; }
    Frame.-wide #pane, Frame.-rich #pane { display: block; }
    Frame.-wide #why, Frame.-rich #why { display: none; }
    Frame.-text #pane { display: block; width: 1fr; }
    Frame.-short #foot { display: none; }
    Frame #screens { display: none; }
    Frame.-tall #screens { display: block; }
    Frame.-short #why { height: 1; }
    Frame.-short #status { display: none; }
    Frame.-short.-said #status { display: block; }
    Frame.-short.-said #why { display: none; }
    Frame.-nowhy #why { display: none; }
    Frame.-none #why, Frame.-none #status, Frame.-none #foot, Frame.-none #body, Frame.-none Prompt { display: none; }
    Frame.-none #head { height: 1fr; }
    """

    def __init__(self, program: Program, listing: Listing | None = None, table: Table[Any] | None = None) -> None:
        super().__init__()
        listing = table.listing if table else listing
        self.program, self.listing, self._table = program, listing, table
        brush = program.brush
        more = f"more below: {program.keys.first('part' if listing else 'page-down')}"
        self.pane_text = TextBlock(brush, id="pane", edge="  " if listing else "", more=more)
        self._head, self._why, self._status, self._foot, self._screens = (
            TextBlock(brush, id=id) for id in ("head", "why", "status", "foot", "screens")
        )
        self.shape: Shape = "normal"
        self.dialogue = Dialogue(self._status, brush, program.messages, self._asked)
        self._movement = Movement(listing, self.pane_text)
        self._sift = TableSift(table, self.dialogue, self.redraw) if table else None
        self.dispatch = Dispatch(self.ID, program.keys, {}, {}, program.messages.say)
        self.loaded = -1
        """The change of the shelf up to which this screen has read it."""
        self._whole = False
        """Its parts were all seen; they stay as long as it does."""

    # --- what a screen gives ---

    def doing(self) -> Doing:
        """What the screen's own actions do, by their ids."""
        return {}

    def has(self) -> Has:
        """What an action may need, and whether it is there now."""
        return {}

    def load(self) -> None:
        """Read the shelf and show it; called when the screen is opened and when the shelf has changed."""
        if self._table:
            self._table.load()

    def head(self) -> Paint:
        """The head line."""
        return [("ink!", self.TITLE)]

    def why(self, width: int, lines: int) -> str:
        """The sentence on the highlighted row, shorter where it would not fit into so many lines."""
        return ""

    def legend(self, width: int) -> str:
        """What the signs of the list mean, where nothing else is to be said."""
        return ""

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The text beside the list."""
        return ()

    def stand_on(self, key: str) -> None:
        """Highlight the lot with this key, where it is in sight."""

    def turned_back(self, keys: Sequence[str]) -> None:
        """Show what an undo or redo has changed, and stand on the first of its lots."""
        self.program.changes.happened(all=True)
        self.stand_on(keys[0] if keys else "")

    def decided(self, keys: Sequence[str], *, all: bool = False) -> None:
        """Show what a decision has changed; `all` where bands and the budget follow."""
        self.program.changes.happened(all=all)

    def put_off(self, keys: Sequence[str]) -> None:
        """Show that a decision waits to be written."""
        self.redraw()

    def go_back(self) -> None:
        """Esc, when there is nothing to stop: clear the sift, or close what lies over the list."""
        if self._sift:
            self._sift.clear()
        else:
            self.program.windows.close()

    def minute_passed(self) -> None:
        """Times left have changed."""
        self.redraw()

    # --- composition ---

    def compose(self) -> ComposeResult:
        """Head, list and pane, why, status, footer, the names of the screens."""
        yield self._head
        with Horizontal(id="body"):
            if self.listing:
                yield self.listing
            yield self.pane_text
        yield self._why
        yield self._status
        yield self._foot
        yield self._screens

    @property
    def stands(self) -> bool:
        """All its parts are there: a key or a late answer can come before the first and after the last of them."""
        if not self._whole:
            parts = (self._screens, self._foot, self._status, self._why, self.pane_text, self.listing)
            self._whole = all(part.is_attached for part in parts if part is not None)
        return self._whole and self.is_mounted and self.is_attached

    @property
    def takes_keys(self) -> bool:
        """It stands, and a line that was opened to type in has the focus."""
        return self.stands and (self.dialogue.prompt is None or isinstance(self.focused, Input))

    def on_mount(self) -> None:
        """First sight."""
        self.dispatch = Dispatch(
            self.ID, self.program.keys, self.all_doing(), self.all_has(), self.program.messages.say
        )
        self.set_class(not self.WHY, "-nowhy")
        self.set_class(self.listing is None, "-text")
        self._fit(*self.app.size)
        self.reload()
        self.redraw()
        self.call_after_refresh(self.place_cursor)

    def all_doing(self) -> Doing:
        """What every action does here: moving, the program's own actions, those of the screen."""
        sift = {"sift": self._sift.ask} if self._sift else {}
        return {**self._movement.doing(), **self._everywhere(), **sift, **self.doing()}

    def all_has(self) -> Has:
        """Whether there is what an action needs, in the table and on the screen."""
        table, tasks = self._table, self.program.work.tasks
        if table is None:
            return self.has()
        item: Has = {"row": lambda: table.item, "more": lambda: table.item}
        return {**item, "something open": lambda: table.text or tasks.can_stop, **self.has()}

    def _everywhere(self) -> Doing:
        """What the program's own parts do, on every screen."""
        program, windows = self.program, self.program.windows
        return {
            **{name: partial(windows.show, name) for name in actions.LISTS},
            "help": partial(windows.open, "help", self.ID),
            "messages": partial(windows.open, "messages"),
            "palette": lambda: windows.open("palette", self.ID, then=lambda id: self.act(id) if id else None),
            "import": partial(windows.open, "import form"),
            "back": self._back,
            "undo": partial(program.undo.turn, back=True),
            "redo": partial(program.undo.turn, back=False),
            "gather": program.gathering.start,
            "look": windows.turn_look,
            "redraw": windows.draw_again,
            "suspend": windows.back_to_shell,
            "stop": self._copy_or_stop,
            "quit": windows.leave,
        }

    def _back(self) -> None:
        if not self.program.work.stop():
            self.go_back()

    def _copy_or_stop(self) -> None:
        """Copy what is marked, else stop what goes on, else say how to leave."""
        marked = self.get_selected_text()
        if marked:
            self.program.outside.copy(marked)
        elif not self.program.work.stop():
            self.program.messages.say(f"{self.program.keys.first('quit')} quits.")

    # --- loading ---

    def reload(self) -> None:
        """Read the shelf anew."""
        if self.stands:
            self.loaded = self.program.changes.number
            self.load()

    def reload_if_stale(self) -> None:
        """Read the shelf anew where it has changed since."""
        if self.loaded != self.program.changes.number:
            self.reload()

    def on_screen_resume(self) -> None:
        """Back on top: the shelf may have changed meanwhile."""
        self._fit(*self.app.size)
        self.reload_if_stale()
        self.redraw()
        self.call_after_refresh(self.place_cursor)

    # --- layout ---

    def on_resize(self, event: events.Resize) -> None:
        """Another size, perhaps another layout."""
        self._fit(event.size.width, event.size.height)
        self.call_after_refresh(self.redraw)
        if self.focused is None and self.shape != "none" and self.stands:  # a window of no use took it away
            self.call_after_refresh(self._focus_again)

    def _focus_again(self) -> None:
        if self.dialogue.prompt is not None:
            self.dialogue.prompt.type_on()
        elif self.listing and self.stands:
            self.listing.focus()

    def _fit(self, width: int, height: int) -> None:
        self.shape = shape(width, height)
        for name in SHAPES:
            self.set_class(name == self.shape, f"-{name}")
        self.set_class(has_room(self.shape, height), "-tall")

    def _asked(self) -> None:
        """A line that was typed is closed."""
        (self.listing or self).focus()
        self.redraw_status()

    # --- drawing ---

    def redraw(self) -> None:
        """Head, why, pane, status and footer anew; each sends only what has changed."""
        if not self.stands:
            return
        if self.shape == "none":
            self._head.show(too_small(*self.app.size))
            return
        self.redraw_head()
        self.redraw_row()
        self.redraw_status()
        self.redraw_foot()

    def redraw_head(self) -> None:
        """The head line."""
        self._head.show([self.head()])

    def redraw_row(self) -> None:
        """What hangs on the highlighted row."""
        width = self.app.size.width
        if self.shape in ("short", "normal") and self.WHY:
            most = 1 if self.shape == "short" else self.WHY
            self._why.show(ink(fitting(self.why(width, most), width, most)))
        if self.shape in ("wide", "rich") or not self.listing:
            self._redraw_pane(width)

    def _redraw_pane(self, width: int) -> None:
        pane, beside = self.pane_text, self.listing is not None
        wide = pane.size.width or (PANE if beside else width)
        lines = self.pane(wide - len(pane.edge), pane.size.height or self.app.size.height - 4)
        pane.show(lines, from_top=beside)

    def redraw_status(self) -> None:
        """The last message, or what is being done, or what is asked."""
        if not self.stands:
            return
        if self.dialogue.asks:
            self.dialogue.show()
            return
        text = self.program.windows.status()
        self.set_class(bool(text) and self.shape == "short", "-said")  # each change styles the whole screen anew
        width = max(self.app.size.width, 1)
        lines = fitting(text, width, 1 if self.shape == "short" else STATUS_LINES) if text else [self.legend(width)]
        self._status.styles.height = len(lines)
        self._status.show([[("ink" if text else "quiet", line)] for line in lines])

    def redraw_foot(self) -> None:
        """The keys of this screen that fit."""
        if self.stands and self.shape != "short":
            self._foot.say(self.dispatch.foot(self.app.size.width), "quiet")
            self._screens.show([screens_line(self.ID, self.program.keys, self.app.size.width)])

    def place_cursor(self) -> None:
        """The terminal's own cursor on what one reads."""
        if self.stands:
            (self.listing or self.pane_text).place_cursor()

    # --- keys ---

    async def on_key(self, event: events.Key) -> None:
        """A key of the table, unless someone types or is asked."""
        id = self.dispatch.of(event.key)
        if self.dialogue.prompt is not None:
            if event.key == "escape":
                self.dialogue.prompt.leave()
            elif id in actions.ALWAYS:
                self.act(id)
            else:
                return
        elif self.dialogue.asks:
            self.dialogue.answer(event.key in ("y", "Y"))
            self.redraw_status()
        elif id is not None:
            self.act(id)
        else:
            return
        event.stop()
        event.prevent_default()

    def act(self, id: str) -> None:
        """Do one action."""
        if self.stands:
            self.program.messages.hush()
            self.dispatch.do(id)
            self.redraw_status()

    def on_listing_chosen(self) -> None:
        """A click on the highlighted row."""
        if any(action.id == "open" for action in actions.on(self.ID)):
            self.act("open")
