"""What every screen has: head line, list, pane, the line of why, status, footer; its keys; prompts and questions.

A screen is a subclass in a file of its own: it names its id, gives rows and text, and has a method `do_...` for each
action that keys.py lists for it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, Literal

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal

from watchlist.desk.errors import PLAIN
from watchlist.page.columns import cells, fitting, wrap
from watchlist.screens import keys
from watchlist.screens.common import Common
from watchlist.screens.listing import Held, Listing
from watchlist.screens.looks import Paint
from watchlist.screens.paper import Paper

if TYPE_CHECKING:
    from watchlist.screens.prompt import Prompt

Shape = Literal["none", "short", "normal", "wide", "rich"]
PANE = 70
"""Cells of the pane beside a list."""


def shape(width: int, height: int) -> Shape:
    """The layout for a window of this size."""
    if width < 20 or height < 5:
        return "none"
    if width < 60 or height < 16:
        return "short"
    if width < 120 or height < 30:
        return "normal"
    return "rich" if width >= 140 and height >= 40 else "wide"


def too_small(width: int, height: int) -> Sequence[Paint]:
    """What a window says that shows nothing else."""
    return [[("ink", line)] for line in wrap(f"Needs 20x5, has {width}x{height}", max(width, 1))]


class Frame(Common, inherit_bindings=False):
    """A screen with a list, and a pane beside it where the window is wide."""

    ID: ClassVar[str] = ""
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
    Frame.-short #why { height: 1; }
    Frame.-short #status { display: none; }
    Frame.-short.-said #status { display: block; }
    Frame.-short.-said #why { display: none; }
    Frame.-nowhy #why { display: none; }
    Frame.-none #why, Frame.-none #status, Frame.-none #foot, Frame.-none #body, Frame.-none Prompt { display: none; }
    Frame.-none #head { height: 1fr; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.shape: Shape = "normal"
        self.prompt: Prompt | None = None
        self._asked: Callable[[bool], None] | None = None
        self._question = ""
        self._keymap: dict[str, str] = {}
        self.loaded = -1
        """The change of the shelf up to which this screen has read it."""

    # --- what a screen gives ---

    def head(self) -> Paint:
        """The head line."""
        return [("ink!", self.TITLE)]

    def list_head(self, width: int) -> str:
        """The line over the list."""
        return ""

    def list_row(self, at: int, width: int) -> Paint:
        """One row of the list."""
        return [("ink", "")]

    def list_empty(self) -> str:
        """What stands in an empty list: what to press."""
        return ""

    def list_from_first(self) -> None:
        """Start the list again from its first row."""

    def why(self) -> str:
        """The sentence on the highlighted row."""
        return ""

    def why_in(self, width: int, lines: int) -> str:
        """The same in so many lines, for a screen that can say it shorter."""
        return self.why()

    def pane(self, width: int, height: int) -> Sequence[Paint]:
        """The text beside the list."""
        return ()

    def load(self) -> None:
        """Read the shelf and show it; called when the screen is opened and when the shelf has changed."""

    def stand_on(self, key: str) -> None:
        """Highlight the lot with this key, where it is in sight."""

    def turned_back(self, keys: Sequence[str]) -> None:
        """Show what an undo or redo has changed, and stand on the first of its lots."""
        self.app.changed(all=True)
        self.stand_on(keys[0] if keys else "")

    def minute_passed(self) -> None:
        """Times left have changed."""
        self.redraw()

    def can(self, id: str) -> bool:
        """Whether an action makes sense now; the footer leaves out what does not."""
        return True

    # --- parts ---

    def compose(self) -> ComposeResult:
        """Head, list and pane, why, status, footer."""
        brush = self.app.brush
        yield Paper(brush, id="head")
        with Horizontal(id="body"):
            if self.HAS_LIST:
                yield Listing(self, brush)
            if self.HAS_PANE:
                more = f"more below: {self.app.keys.first('part' if self.HAS_LIST else 'page-down')}"
                yield Paper(brush, id="pane", edge="  " if self.HAS_LIST else "", more=more)
        yield Paper(brush, id="why")
        yield Paper(brush, id="status")
        yield Paper(brush, id="foot")

    def reload(self) -> None:
        """Read the shelf anew."""
        if self.stands:
            self.loaded = self.app.version
            self.load()

    def on_mount(self) -> None:
        """First sight."""
        self._keymap = {
            keys.library_key(key): action.id
            for action in reversed(keys.on(self.ID))
            for key in self.app.keys.of(action)
        }
        self.set_class(not self.WHY, "-nowhy")
        self.set_class(not self.HAS_LIST, "-text")
        self._fit(*self.app.size)
        self.reload()
        self.redraw()
        self.call_after_refresh(self.place_cursor)

    def on_screen_resume(self) -> None:
        """Back on top: the shelf may have changed meanwhile."""
        self._fit(*self.app.size)
        if self.app.stale(self):
            self.reload()
        self.redraw()
        self.call_after_refresh(self.place_cursor)

    def on_resize(self, event: events.Resize) -> None:
        """Another size, perhaps another layout."""
        self._fit(event.size.width, event.size.height)
        self.call_after_refresh(self.redraw)
        if self.focused is None and self.shape != "none" and self.stands:  # a window of no use took it away
            self.call_after_refresh(self._focus_again)

    def _focus_again(self) -> None:
        if self.prompt is not None:
            self.prompt.type_on()
        elif self.HAS_LIST and self.stands:
            self.listing.focus()

    def _fit(self, width: int, height: int) -> None:
        self.shape = shape(width, height)
        for name in ("none", "short", "normal", "wide", "rich"):
            self.set_class(name == self.shape, f"-{name}")

    # --- drawing ---

    def redraw(self) -> None:
        """Head, why, pane, status and footer anew; each sends only what has changed."""
        if not self.stands:
            return
        width = self.app.size.width
        if self.shape == "none":
            self.paper("head").show(too_small(width, self.app.size.height))
            return
        self.paper("head").show([self.head()])
        self.redraw_row()
        self.redraw_status()
        self.redraw_foot()

    def redraw_row(self) -> None:
        """What hangs on the highlighted row."""
        width = self.app.size.width
        if self.shape in ("short", "normal") and self.WHY:
            most = 1 if self.shape == "short" else self.WHY
            self.paper("why").show([[("ink", line)] for line in fitting(self.why_in(width, most), width, most)])
        if self.HAS_PANE and (self.shape in ("wide", "rich") or not self.HAS_LIST):
            pane = self.paper("pane")
            size = pane.size
            wide = size.width or (PANE if self.HAS_LIST else width)
            pane.show(self.pane(wide - len(pane.edge), size.height or self.app.size.height - 4), from_top=self.HAS_LIST)

    def redraw_status(self) -> None:
        """The last message, or what is being done."""
        if not self.stands:
            return
        if self._asked:
            self._show_question()
            return
        text = self.app.status()
        self.set_class(bool(text) and self.shape == "short", "-said")  # each change styles the whole screen anew
        self.paper("status").say(fitting(text, max(self.app.size.width, 1), 1)[0] if text else "")

    def redraw_foot(self) -> None:
        """The keys of this screen that fit."""
        if self.shape != "short":
            self.paper("foot").show([self.foot(self.app.size.width)])

    def foot(self, width: int) -> Paint:
        """Key and name of the actions that can be done now; help and quit stand always."""
        actions = [action for action in keys.footer(self.ID) if self.app.keys.of(action) and self.can(action.id)]
        always = [action for action in actions if action.id in ("help", "quit")]
        shown = [self._label(action) for action in always]
        room = width - 1 - sum(cells(label) + 2 for label in shown)
        first: list[str] = []
        for action in actions:
            label = self._label(action)
            if action in always:
                continue
            if cells(label) + 2 > room:
                break
            first.append(label)
            room -= cells(label) + 2
        return [("quiet", " " + "  ".join([*first, *shown]))]

    def _label(self, action: keys.Action) -> str:
        return f"{keys.shown_key(self.app.keys.of(action)[0])} {action.name}"

    def place_cursor(self) -> None:
        """The terminal's own cursor on what one reads."""
        if not self.stands:
            return
        if self.HAS_LIST:
            self.listing.place_cursor()
        elif self.HAS_PANE:
            self.paper("pane").place_cursor()

    # --- keys ---

    async def on_key(self, event: events.Key) -> None:
        """A key of the table, unless someone types."""
        if self.prompt is not None:
            if event.key == "escape":
                event.stop()
                event.prevent_default()
                self.prompt.leave()
            elif self._keymap.get(event.key) in keys.ALWAYS:
                event.stop()
                event.prevent_default()
                self.act(self._keymap[event.key])
            return
        if self._asked is not None:
            event.stop()
            event.prevent_default()
            self._answer(event.key in ("y", "Y"))
            return
        id = self._keymap.get(event.key)
        if id is not None:
            event.stop()
            event.prevent_default()
            self.act(id)

    def act(self, id: str) -> None:
        """Do one action; what cannot be done is said in the status line and nothing is lost."""
        if not self.stands:
            return
        self.app.hush()
        try:
            getattr(self, f"do_{keys.by_id(id).method}")()
        except PLAIN as error:
            self.app.say(str(error), trouble=True)
        self.redraw_status()

    def list_moved(self) -> None:
        """Another row."""
        self.redraw_row()

    def on_listing_chosen(self) -> None:
        """A click on the highlighted row."""
        if "open" in self._keymap.values():
            self.act("open")

    # --- prompts and questions ---

    def ask(
        self,
        label: str,
        done: Callable[[str], None],
        *,
        value: str = "",
        live: Callable[[str], None] | None = None,
        left: Callable[[], None] | None = None,
        check: Callable[[str], object] | None = None,
    ) -> None:
        """Ask for one line in the place of the status line. `live` follows the typing; `left` is for Esc.

        An answer for which `check` raises one of the plain errors is not taken: the line stays, to be mended."""
        from watchlist.screens.prompt import Prompt

        if self.prompt is None:
            self.prompt = Prompt(label, value, done, live, left, check)
            self.paper("status").display = False
            self.mount(self.prompt, after=self.paper("status"))

    def end_prompt(self) -> None:
        """The prompt is answered or left."""
        if self.prompt is not None:
            self.prompt.remove()
            self.prompt = None
            self.paper("status").styles.clear_rule("display")
            self.paper("status").refresh(layout=True)
            (self.listing if self.HAS_LIST else self).focus()
            self.redraw_status()

    def confirm(self, question: str, then: Callable[[], None]) -> None:
        """A question that undo cannot mend: y does it, every other key leaves it."""
        self._asked = lambda yes: then() if yes else self.app.say("Left as it was.")
        self._question = f"{question} y/n"
        self._show_question()

    def _show_question(self) -> None:
        """In as many lines as it needs: nobody says yes to half a question."""
        lines = wrap(self._question, max(self.app.size.width, 1))
        status = self.paper("status")
        self.set_class(True, "-said")
        status.styles.height = len(lines)
        status.show([[("ink!", line)] for line in lines])

    def _answer(self, yes: bool) -> None:
        asked, self._asked = self._asked, None
        self.paper("status").styles.clear_rule("height")
        if asked is not None:
            try:
                asked(yes)
            except PLAIN as error:
                self.app.say(str(error), trouble=True)
        self.redraw_status()


__all__ = ["PANE", "Frame", "Held", "Shape", "shape", "too_small"]
