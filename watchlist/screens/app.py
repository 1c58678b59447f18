"""The screens: one program over one shelf, which the command line shares."""

from __future__ import annotations

import asyncio
import gc
import importlib
import signal
import sys
from collections.abc import Callable, Sequence
from contextlib import suppress
from datetime import datetime
from typing import Any, cast

from textual import events
from textual.app import App
from textual.driver import Driver
from textual.screen import Screen

from watchlist import words
from watchlist.screens.background.changes import Changes
from watchlist.screens.background.follow_ups import FollowUps
from watchlist.screens.background.gathering import Gathering
from watchlist.screens.background.messages import Messages, status_line
from watchlist.screens.background.pen import Pen
from watchlist.screens.background.shelf_access import ShelfAccess
from watchlist.screens.background.undo import Undo
from watchlist.screens.background.view import View
from watchlist.screens.background.work import Threads, Work
from watchlist.screens.background.writer import Writer
from watchlist.screens.frame import Frame
from watchlist.screens.keys import Keys
from watchlist.screens.looks import DARK, LOOKS, Brush, theme
from watchlist.screens.program import Program
from watchlist.screens.sentences import waiting_words
from watchlist.screens.terminal.diff import Diff
from watchlist.screens.terminal.driver import quiet_driver, terminal_gone
from watchlist.screens.terminal.key_queue import LONGEST, KeyQueue, Step, pass_by
from watchlist.screens.terminal.outside import Outside

WINDOWS = {
    "tray": "tray.Tray",
    "wants": "wants.Wants",
    "bids": "bids.Bids",
    "prices": "prices.Prices",
    "sources": "sources.Sources",
    "plan": "plan.PlanScreen",
    "parcels": "parcels.ParcelsScreen",
    "held": "held.HeldScreen",
    "calendar": "calendar.CalendarScreen",
    "guide": "guide.GuideScreen",
    "morning": "text_screen.morning",
    "ticket": "ticket.Ticket",
    "sales": "sales.Sales",
    "detail": "text_screen.detail",
    "messages": "text_screen.messages",
    "help": "help.help_for",
    "palette": "palette.Palette",
}
"""Who makes each window, of the program and what is given; its module is loaded when it is first opened."""
FORMS = {
    "want form": "forms.want.WantForm",
    "source form": "forms.source.SourceForm",
    "venue form": "forms.venue.VenueForm",
    "lot form": "forms.lot.LotForm",
    "import form": "forms.own_file.ImportForm",
    "correct form": "forms.correction.CorrectForm",
    "teach form": "forms.correction.TeachForm",
    "bench form": "forms.bench.BenchForm",
}
"""The same for forms, made of what is given alone."""
AT_REST = 0.2
"""Seconds after the first text when what the first decision needs is loaded, so that no key waits for it."""
LATER = ("page.ticket", "screens.parts.on_lots", "screens.ticket", "screens.parts.prompt", "desk.judging")
"""Modules of the first decision and the first Ticket."""
HUNG_UP = 129
"""Exit code when the terminal is gone, as after SIGHUP."""
LOOK_AGAIN = 2.0
"""Seconds between two looks whether someone else wrote, or the minute has changed."""


class Screens(App[None], inherit_bindings=False):
    """All screens over one shelf."""

    ENABLE_COMMAND_PALETTE = False
    TITLE = "watchlist"
    CSS = "Screen { background: $background; color: $foreground; }"
    program: Program

    def __init__(self, access: ShelfAccess, *, colour: bool) -> None:
        self._diff = Diff()
        super().__init__(ansi_color=None if colour else True)
        self.key_queue = KeyQueue(super().on_event, lambda: self._takes_keys, self._when_drawn)
        self.program = self._made_of(access, colour=colour)
        for each in LOOKS.values():
            self.register_theme(theme(each))
        self.theme = self.program.brush.look.name

    def _made_of(self, access: ShelfAccess, *, colour: bool) -> Program:
        """The parts of the program, each given what it needs."""

        def clock() -> datetime:
            return access.now.astimezone(access.shelf.settings.home.zone)

        view, keys = View(access.path), Keys(access.shelf.settings.keys)
        messages, changes = Messages(clock, keys.first("undo"), self._show_status), Changes(access, self._show_changes)
        pen = Pen(access.writing, lambda desk: access.desk_on(desk.shelf), self._soon)
        work = Work(pen, access.reading, self._threads(), messages, changes, self._show_status)
        follow_ups = FollowUps(work, lambda: gathering.running)
        gathering = Gathering(access, work, changes, messages, follow_ups.gathered)
        writer = Writer(pen, messages, self._show_status)
        return Program(
            access=access,
            pen=pen,
            keys=keys,
            brush=Brush(LOOKS.get(str(view.get("look")), DARK), colour=colour),
            view=view,
            messages=messages,
            changes=changes,
            work=work,
            writer=writer,
            follow_ups=follow_ups,
            gathering=gathering,
            undo=Undo(writer, follow_ups, messages, keys, lambda: access.desk, self._show_turned),
            outside=Outside(self.copy_to_clipboard, messages),
            windows=self,
        )

    # --- threads and keys ---

    def _threads(self) -> Threads:
        def start(work: Callable[[], None]) -> None:
            self.run_worker(work, thread=True, exit_on_error=False)

        return Threads(start, self.call_from_thread, self._soon)

    def _soon(self, show: Callable[[], None]) -> None:
        with suppress(RuntimeError):  # the loop is closed: after the end nobody misses it
            if self._loop is not None:
                self._loop.call_soon_threadsafe(self.call_later, show)

    async def on_event(self, event: events.Event) -> None:
        """A key waits until the one before it was taken; all else goes its way."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            await self.key_queue.came(event)
        else:
            await super().on_event(event)

    @property
    def _takes_keys(self) -> bool:
        return bool(getattr(self.screen, "takes_keys" if self.frame else "stands", True))

    def _when_drawn(self, step: Step) -> None:
        """Call it when what had the key has drawn what came of it; it may be gone by then, so soon in any case."""
        if self.is_running and self.screen_stack:
            pass_by(self.focused or self.screen, lambda: self.screen.call_after_refresh(self.call_later, step))
            self.set_timer(LONGEST, step)

    # --- start and end ---

    def get_driver_class(self) -> type[Driver]:
        """The terminal's driver, sending only what differs."""
        return quiet_driver(super().get_driver_class(), self._diff)

    def on_resize(self) -> None:
        """Nothing is known of the window any more."""
        self._diff.clear()

    def on_mount(self) -> None:
        """Open the Tray; from here on a signal leaves the terminal whole."""
        self._on_signals()
        for notice in (*self.program.access.shelf.notices, *self.program.keys.notices):
            self.program.messages.say(notice)
        self.show("tray")
        self.set_interval(LOOK_AGAIN, self._look_again)
        if not self.is_headless:
            self.set_timer(AT_REST, lambda: self.run_worker(self._load_the_rest, thread=True, exit_on_error=False))

    def _load_the_rest(self) -> None:
        """What the first text does without."""
        for name in LATER:
            importlib.import_module(f"watchlist.{name}")
        words.load()
        ledgers = self.program.access.read_on()
        gc.freeze()  # what stays to the end is searched for garbage no more: a key would wait 20 ms for it now and then
        self.call_from_thread(self.program.access.take, ledgers)

    def _on_signals(self) -> None:
        if sys.platform == "win32" or self.is_headless:
            return
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP"):
            number = int(getattr(signal, name))
            loop.add_signal_handler(number, self._leave, 128 + number)

    @property
    def fault(self) -> BaseException | None:
        """The fault that ended the screens, if one did."""
        return self._exception

    def _fatal_error(self) -> None:
        """An internal error: leave the terminal whole; the command line writes the log and says one sentence."""
        self._close_messages_no_wait()

    def leave(self) -> None:
        """Quit; work is stopped first, and what waits to be written is written on the way out."""
        self._leave(0)

    def _leave(self, code: int) -> None:
        self.program.work.stop(all=True)
        self.program.pen.close()
        self.exit(return_code=code)

    # --- windows ---

    @property
    def frame(self) -> Frame | None:
        """The screen on top, when it is one of ours."""
        screen = self.screen
        return screen if isinstance(screen, Frame) else None

    def show(self, name: str) -> None:
        """One of the screens with a number."""
        while len(self.screen_stack) > 2:
            self.pop_screen()
        if not self.is_screen_installed(name):
            self.install_screen(self._make(name), name)
        if len(self.screen_stack) < 2:
            self.push_screen(name)
        elif getattr(self.screen, "ID", "") != name:
            self.switch_screen(name)

    def open(self, name: str, *given: Any, then: Callable[[Any], None] | None = None) -> None:
        """A window over the screen."""
        self.push_screen(self._make(name, *given), then)

    def _make(self, name: str, *given: Any) -> Screen[Any]:
        path, first = (WINDOWS[name], (self.program,)) if name in WINDOWS else (FORMS[name], ())
        module, _, maker = path.rpartition(".")
        made = getattr(importlib.import_module(f"watchlist.screens.{module}"), maker)(*first, *given)
        return cast("Screen[Any]", made)

    def close(self) -> None:
        """The window on top, where one lies over the screen."""
        if len(self.screen_stack) > 2:
            self.pop_screen()

    def show_wants_lots(self, want: str) -> None:
        """The Tray, sifted for the lots of a want."""
        self.show("tray")
        self.call_later(cast("Any", self.get_screen("tray")).sift, f"want:{want}")

    def stand_on(self, key: str) -> None:
        """Highlight a lot on the screen on top, where it is in sight."""
        if self.frame is not None:
            self.frame.stand_on(key)

    # --- what is shown ---

    def status(self) -> str:
        """What the status line shows."""
        work, gathers = self.program.work.tasks.line, self.program.gathering.running
        holder = "the work going on" if work else "another Watchlist process that writes"
        waits = waiting_words(self.program.writer.waiting, "the gather" if gathers else holder)
        return status_line(self.program.messages.newest, waits, work, self.size.width)

    def _show_status(self) -> None:
        """The status line anew, and the footer: Esc stands there while there is something to stop."""
        screen = self.screen if self.is_running else None
        if screen is not None and screen.is_mounted and hasattr(screen, "redraw_status"):
            screen.redraw_status()
        if isinstance(screen, Frame):
            screen.redraw_foot()

    def _show_changes(self) -> None:
        if self.frame is not None:
            self.frame.reload()
            self.frame.redraw()

    def _show_turned(self, keys: Sequence[str]) -> None:
        """An undo or redo has changed these lots."""
        if self.frame is not None:
            self.frame.turned_back(keys)
        else:
            self.program.changes.happened(all=True)

    def _look_again(self) -> None:
        """Another process wrote, or a minute has passed: what is on top is drawn anew where it differs."""
        if not self.is_headless and terminal_gone():
            self._leave(HUNG_UP)
        elif self.program.changes.look() and self.frame is not None:
            self.frame.minute_passed()

    def turn_look(self) -> None:
        """Dark to light and back."""
        look = LOOKS["light" if self.program.brush.look.dark else "dark"]
        self.program.brush.take(look)
        self.theme = look.name
        self.program.view.keep(look=look.name)
        self.refresh_css()
        for widget in self.screen.query("*"):
            widget.refresh()

    def draw_again(self) -> None:
        """Send the whole screen again."""
        self._diff.clear()
        self.refresh(layout=True, repaint=True)
        self.screen.refresh(layout=True, repaint=True)
        for widget in self.screen.query("*"):
            widget.refresh()

    def back_to_shell(self) -> None:
        """Back to the shell."""
        self.action_suspend_process()
