"""A form: labelled lines to type in, one below the other; what is wrong is said and nothing typed is lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from watchlist.desk.errors import PLAIN
from watchlist.page.columns import cut, wrap
from watchlist.screens.paper import Paper
from watchlist.screens.prompt import INPUT_CSS, line_input

if TYPE_CHECKING:
    from watchlist.screens.app import Screens

FOOT = " Tab next  shift+Tab before  Enter keep  esc leave"


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a form."""

    name: str
    hint: str = ""
    value: str = ""

    @property
    def label(self) -> str:
        """The name for a person."""
        return self.name.replace("_pct", " %").replace("_", " ")


class Form(Screen[None], inherit_bindings=False):
    """Fields; a subclass keeps what was typed."""

    TITLE = ""
    DEFAULT_CSS = """
    Form { layout: vertical; background: $background; }
    Form #fields { height: auto; max-height: 100%; overflow-y: auto; scrollbar-size: 0 0; }
    Form .row { height: 1; }
    Form .row > Static { width: 20; }
    Form.-narrow .row > Static { width: 11; }
    Form #hint { height: 1; }
    Form #text { height: 1fr; }
    """ + INPUT_CSS

    app: Screens

    def __init__(self, fields: Sequence[Field], *, at: str = "") -> None:
        super().__init__()
        self.fields, self._at = fields, at
        self.loaded = 0

    def intro(self, width: int) -> list[str]:
        """Lines over the fields."""
        return []

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep what was typed, trimmed. Raises one of the plain errors."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """Head, fields, hint, text, status, foot."""
        brush = self.app.brush
        yield Paper(brush, id="head")
        with VerticalScroll(id="fields", can_focus=False):
            for field in self.fields:
                with Horizontal(classes="row"):
                    yield Static(Content(field.label), markup=False)
                    yield line_input(field.value, id=f"field-{field.name}")
        yield Paper(brush, id="hint")
        yield Paper(brush, id="text")
        yield Paper(brush, id="status")
        yield Paper(brush, id="foot")

    @property
    def stands(self) -> bool:
        """All its parts are there: a key or a late answer can come before the first and after the last of them."""
        return self.is_attached and self.is_current and bool(self.query("#foot"))

    def on_mount(self) -> None:
        """Type at once."""
        if not self.stands:
            return
        self.set_class(self.app.size.width < 50, "-narrow")
        width = self.app.size.width
        head = " ".join([self.TITLE, *self.intro(width)])
        self.query_one("#head", Paper).say(cut(head, width), "ink!")
        self.query_one("#foot", Paper).say(cut(FOOT, width), "quiet")
        first = self._at or self.fields[0].name
        self.query_one(f"#field-{first}", Input).focus()
        self.redraw_status()

    def on_resize(self, event: events.Resize) -> None:
        """Narrow labels in a narrow window."""
        self.set_class(event.size.width < 50, "-narrow")

    def on_descendant_focus(self) -> None:
        """The hint of the field one is in."""
        if not self.stands:
            return
        number = self._place()
        hint = self.fields[number].hint if number is not None else ""
        self.query_one("#hint", Paper).say(cut(hint, self.app.size.width), "quiet")

    def _place(self) -> int | None:
        id = self.focused.id if self.focused else None
        return next((n for n, field in enumerate(self.fields) if f"field-{field.name}" == id), None)

    def on_key(self, event: events.Key) -> None:
        """Move, keep, leave."""
        if not self.stands:
            return
        if event.key in ("tab", "down", "shift+tab", "up"):
            self._step(1 if event.key in ("tab", "down") else -1)
        elif event.key == "escape":
            self.close_form()
        else:
            return
        event.stop()
        event.prevent_default()

    def _step(self, by: int) -> None:
        number = self._place()
        following = self.fields[((number or 0) + by) % len(self.fields)]
        self.query_one(f"#field-{following.name}", Input).focus()

    def on_input_submitted(self) -> None:
        """Keep."""
        if not self.stands:
            return
        self.app.hush()
        typed = {field.name: self.query_one(f"#field-{field.name}", Input).value.strip() for field in self.fields}
        try:
            self.keep(typed)
        except PLAIN as error:
            self.app.say(str(error), trouble=True)

    def close_form(self, *_: object) -> None:
        """Back to where one came from."""
        if self.is_current:
            self.app.pop_screen()

    def redraw_status(self) -> None:
        """The last message; too long for the line, it goes on below the fields."""
        if not self.stands:
            return
        text = self.app.status()
        width = self.app.size.width
        self.query_one("#status", Paper).say(text)
        if len(text) > width:
            self.show_text(wrap(text, width))

    def show_text(self, lines: Sequence[str]) -> None:
        """Lines below the fields."""
        if not self.stands:
            return
        width = max(self.app.size.width, 10)
        shown = [part for line in lines for part in wrap(line, width, indent="  ")]
        self.query_one("#text", Paper).show([[("ink", part)] for part in shown])
