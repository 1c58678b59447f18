"""A form: labelled lines to type in, one below the other; what is wrong is said and nothing typed is lost."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from watchlist.core.clean import clean
from watchlist.desk.errors import PLAIN
from watchlist.page.columns import cells, cut, fitting, wrap
from watchlist.page.rows import head_line
from watchlist.screens import actions
from watchlist.screens.keys import library_key
from watchlist.screens.layout import keys_line, shape, too_small
from watchlist.screens.looks import ink
from watchlist.screens.parts.prompt import INPUT_CSS, line_input
from watchlist.screens.parts.text_block import TextBlock
from watchlist.screens.program import Program

FOOT = ("Enter save", "esc cancel", "Tab next", "shift+Tab previous")
"""What the keys of a form do, the weightiest first: as many are named as fit."""
LONGEST = 4000
"""Characters kept of a field; an address may be long."""
STATUS_LINES = 4
"""Lines that a long message may take."""


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


def fields(hints: Mapping[str, str], known: Mapping[str, str] = {}) -> list[Field]:
    """A field for each hint, with what is known of it."""
    return [Field(name, hint, clean(known.get(name, ""), LONGEST)) for name, hint in hints.items()]


class Form(Screen[None], inherit_bindings=False):
    """Fields; a subclass keeps what was typed."""

    TITLE = ""
    DEFAULT_CSS = (
        """
    Form { layout: vertical; overflow: hidden; background: $background; }
    Form #fields { height: auto; overflow-y: auto; scrollbar-size-vertical: 0; }
    Form .row { height: 1; }
    Form #hint { height: 1; }
    Form #text { height: 1fr; display: none; }
    Form #status { display: none; }
    Form.-said #status, Form.-told #text { display: block; }
    Form.-short #foot { display: none; }
    Form.-none > *, Form.-none #status, Form.-none #text { display: none; }
    Form.-none > #head { display: block; height: 1fr; }
    """
        + INPUT_CSS
    )

    def __init__(self, fields: Sequence[Field], *, at: str = "", about: str = "") -> None:
        super().__init__()
        self.fields, self._at = fields, at
        self._draft = (type(self).__name__, about)
        self._before = {field.name: field.value for field in fields}
        """What it stood at, or what was last kept of it."""

    @property
    def program(self) -> Program:
        """The parts of the program."""
        return cast("Program", cast("Any", self.app).program)

    def intro(self, width: int) -> list[str]:
        """Lines over the fields."""
        return []

    def keep(self, typed: Mapping[str, str]) -> None:
        """Keep what was typed, trimmed. Raises one of the plain errors."""
        raise NotImplementedError

    def compose(self) -> ComposeResult:
        """Head, fields, hint, text, status, foot."""
        brush, draft = self.program.brush, self.program.drafts.get(self._draft, {})
        yield TextBlock(brush, id="head")
        with VerticalScroll(id="fields", can_focus=False):
            for field in self.fields:
                with Horizontal(classes="row"):
                    yield Static(Content(field.label), markup=False, id=f"label-{field.name}")
                    yield line_input(draft.get(field.name, field.value), id=f"field-{field.name}")
        yield TextBlock(brush, id="hint")
        yield TextBlock(brush, id="text", more="more below: PgDn")
        yield TextBlock(brush, id="status")
        yield TextBlock(brush, id="foot")

    @property
    def stands(self) -> bool:
        """All its parts are there: a key or a late answer can come before the first and after the last of them."""
        return self.is_attached and self.is_current and bool(self.query("#foot"))

    def on_mount(self) -> None:
        """Type at once."""
        if not self.stands:
            return
        self._fit()
        self._type_in(self._at or self.fields[0].name)
        if self._draft in self.program.drafts:
            self.program.messages.say("What you typed here before is back; ctrl+u empties a line.")

    def on_resize(self, event: events.Resize) -> None:
        """Head, labels, hint, message and foot anew for another window."""
        if self.stands:
            self._fit()
            self.call_after_refresh(self._keep_in_sight)

    def _fit(self) -> None:
        width, height = self.app.size
        for name in ("none", "short"):
            self.set_class(shape(width, height) == name, f"-{name}")
        if self.has_class("-none"):
            self.query_one("#head", TextBlock).show(too_small(width, height))
            return
        self.query_one("#head", TextBlock).say(head_line([self.TITLE, *self.intro(width)], width), "ink!")
        self.query_one("#foot", TextBlock).say(keys_line(FOOT, width), "quiet")
        wide = self._label_width(width)
        for field in self.fields:
            label = self.query_one(f"#label-{field.name}", Static)
            label.styles.width = wide
            label.update(Content(cut(field.label, wide - 1)))
        self._hint()
        self.redraw_status()

    def _label_width(self, width: int) -> int:
        return min(max(cells(field.label) for field in self.fields) + 2, width // 2)

    def _keep_in_sight(self) -> None:
        if self.stands and not self.has_class("-none"):
            self._type_in(self._at or self.fields[0].name)  # a window of no use took the line away
            self.query_one(f"#field-{self._at}", Input).scroll_visible(animate=False)

    def _type_in(self, name: str) -> None:
        self._at = name
        self.set_focus(self.query_one(f"#field-{name}", Input))  # at once: a fast typist is in the next line already

    def on_descendant_focus(self) -> None:
        """The hint of the field one is in."""
        number = self._place()
        if self.stands and number is not None:
            self._at = self.fields[number].name
            self._hint()

    def _hint(self) -> None:
        """What the field takes; its name too, where the label is cut."""
        number = self._place()
        field = self.fields[number] if number is not None else Field("")
        width = self.app.size.width
        whole = cells(field.label) < self._label_width(width)
        hint = field.hint if whole else ": ".join(filter(None, (field.label, field.hint)))
        self.query_one("#hint", TextBlock).say(cut(hint, width), "quiet")

    def _place(self) -> int | None:
        id = self.focused.id if self.focused else None
        return next((n for n, field in enumerate(self.fields) if f"field-{field.name}" == id), None)

    def on_key(self, event: events.Key) -> None:
        """Move, keep, leave."""
        if not self.stands:
            return
        if event.key in ("tab", "down", "shift+tab", "up"):
            self._step(1 if event.key in ("tab", "down") else -1)
        elif event.key in ("pagedown", "pageup"):
            text = self.query_one("#text", TextBlock)
            text.scroll_lines(max(text.size.height - 1, 1) * (1 if event.key == "pagedown" else -1))
        elif event.key == "escape":
            if not self.program.work.stop():
                self.leave_form()
        elif (id := self._always(event.key)) is not None:
            (self.program.windows.draw_again if id == "redraw" else self.program.windows.back_to_shell)()
        else:
            return
        event.stop()
        event.prevent_default()

    def _always(self, key: str) -> str | None:
        """The action of a key that works while one types."""
        own = self.program.keys
        return next((id for id in actions.ALWAYS if key in map(library_key, own.of(actions.by_id(id)))), None)

    def _step(self, by: int) -> None:
        number = self._place()
        following = self.fields[((number or 0) + by) % len(self.fields)]
        self._type_in(following.name)

    def on_input_submitted(self) -> None:
        """Keep."""
        if not self.stands:
            return
        self.program.messages.hush()
        try:
            self.keep(self._typed())
        except PLAIN as error:
            self.program.messages.say(str(error))

    def _typed(self) -> dict[str, str]:
        lines = {field.name: self.query_one(f"#field-{field.name}", Input) for field in self.fields}
        return {name: clean(line.value, LONGEST) for name, line in lines.items()}

    def taken(self, typed: Mapping[str, str]) -> None:
        """What was typed is kept: there is no draft of it any more."""
        self._before = dict(typed)
        self.program.drafts.pop(self._draft, None)

    def leave_form(self) -> None:
        """Esc: what was typed waits until the same form is opened again."""
        changed = {name: text for name, text in self._typed().items() if text != clean(self._before[name], LONGEST)}
        self.close_form()
        if changed:
            self.program.drafts[self._draft] = changed
            self.program.messages.say("Not saved; your entries are back when you open this form again.")

    def close_form(self, *_: object) -> None:
        """Back to where one came from; no draft stays behind."""
        self.program.drafts.pop(self._draft, None)
        if self.is_current:
            self.program.windows.close()

    def redraw_status(self) -> None:
        """The last message, whole where the window has room for it; the fields give way."""
        if not self.stands:
            return
        width, height = self.app.size
        text = self.program.windows.status()
        lines = fitting(text, max(width, 1), max(min(STATUS_LINES, height - 3), 1)) if text else []
        status = self.query_one("#status", TextBlock)
        self.set_class(bool(text) or not self.has_class("-short"), "-said")
        status.styles.height = max(len(lines), 1)
        status.show(ink(lines))
        others = 2 + (not self.has_class("-short")) + (max(len(lines), 1) if self.has_class("-said") else 0)
        self._share(max(height - others, 1))

    def _share(self, room: int) -> None:
        """Lines for the fields, and for the text below them where there is one."""
        text = self.query_one("#text", TextBlock)
        most = max(room - min(len(text.lines), room // 2), 1)
        self.query_one("#fields").styles.max_height = most
        self.set_class(bool(text.lines) or len(self.fields) < room, "-told")

    def show_text(self, lines: Sequence[str]) -> None:
        """Lines below the fields."""
        if not self.stands:
            return
        width = max(self.app.size.width, 10)
        shown = [part for line in lines for part in _fitted(line, width)]
        self.query_one("#text", TextBlock).show(ink(shown), from_top=True)
        self.redraw_status()


def _fitted(line: str, width: int) -> Sequence[str]:
    """A line that fits stays as it is: in a picture the blanks count."""
    return [line] if cells(line) <= width else wrap(line, width, indent="  ")
