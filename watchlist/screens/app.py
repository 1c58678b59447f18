"""The screens: one program over one shelf, which the command line shares."""

from __future__ import annotations

import asyncio
import gc
import importlib
import signal
import sys
from collections import deque
from collections.abc import Callable, Mapping
from typing import Any, ClassVar, cast

from textual.driver import Driver
from textual.screen import Screen
from textual.widgets import Input

from watchlist import words
from watchlist.page.columns import cells, cut
from watchlist.screens import keys
from watchlist.screens.driver import terminal_gone, thin_driver
from watchlist.screens.frame import Frame
from watchlist.screens.looks import DARK, LOOKS, Brush, theme
from watchlist.screens.session import Session
from watchlist.screens.thin import Thin
from watchlist.screens.writing import Writing

LEAST_MESSAGE = 20
"""Cells that a message keeps beside the line of work going on; in less room it stands alone."""
AT_REST = 0.2
"""Seconds after the first text when what the first decision needs is loaded, so that no key waits for it."""
LATER = ("desk.deciding", "desk.judging", "desk.ticketing", "page.ticket", "screens.ticket", "screens.prompt")
"""Modules of the first decision and the first Ticket."""
HUNG_UP = 129
"""Exit code when the terminal is gone, as after SIGHUP."""
LOOK_AGAIN = 2.0
"""Seconds between two looks whether someone else wrote, or the minute has changed."""


def _screen(module: str, name: str) -> Callable[[], Screen[Any]]:
    """A screen whose module is loaded when it is first opened."""

    def make() -> Screen[Any]:
        return cast("Screen[Any]", getattr(importlib.import_module(f"watchlist.screens.{module}"), name)())

    return make


class Screens(Writing, inherit_bindings=False):
    """All screens over one shelf."""

    ENABLE_COMMAND_PALETTE = False
    TITLE = "watchlist"
    CSS = "Screen { background: $background; color: $foreground; }"
    SCREENS: ClassVar[dict[str, Callable[[], Screen[Any]]]] = {
        "tray": _screen("tray", "Tray"),
        "wants": _screen("wants", "Wants"),
        "bids": _screen("bids", "Bids"),
        "prices": _screen("prices", "Prices"),
        "sources": _screen("sources", "Sources"),
    }

    def __init__(self, session: Session, *, colour: bool) -> None:
        self.thin = Thin()
        self.kept: dict[str, Any] = session.kept()
        look = LOOKS.get(str(self.kept.get("look")), DARK)
        self.brush = Brush(look, colour=colour)
        self.keys = keys.Keys(session.shelf.settings.keys)
        self.messages: deque[str] = deque(maxlen=200)
        self.version = 0
        """Counts the changes of the shelf; a screen that was loaded at another number is stale."""
        self.drafts: dict[tuple[str, str], Mapping[str, str]] = {}
        """What was typed into forms that were left, by the form and what it is about: it comes back in this run."""
        self._said = ""
        self._store_version = session.version()
        self._minute = -1
        super().__init__(session, ansi_color=None if colour else True)
        for each in LOOKS.values():
            self.register_theme(theme(each))
        self.theme = look.name

    def get_driver_class(self) -> type[Driver]:
        """The terminal's driver, sending only what differs."""
        return thin_driver(super().get_driver_class(), self.thin)

    def on_resize(self) -> None:
        """Nothing is known of the window any more."""
        self.thin.clear()

    def on_mount(self) -> None:
        """Open the Tray; from here on a signal leaves the terminal whole."""
        self._on_signals()
        for notice in (*self.session.shelf.notices, *self.keys.notices):
            self.say(notice, trouble=True)
        self.push_screen("tray")
        self.set_interval(LOOK_AGAIN, self._look_again)
        if not self.is_headless:
            self.set_timer(AT_REST, lambda: self.run_worker(self._load_the_rest, thread=True, exit_on_error=False))

    def _load_the_rest(self) -> None:
        """What the first text does without."""
        for name in LATER:
            importlib.import_module(f"watchlist.{name}")
        words.load()
        ledgers = self.session.read_on()
        gc.freeze()  # what stays to the end is searched for garbage no more: a key would wait 20 ms for it now and then
        self.call_from_thread(self.session.take, ledgers)

    def _on_signals(self) -> None:
        if sys.platform == "win32" or self.is_headless:
            return
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP"):
            number = getattr(signal, name)
            loop.add_signal_handler(number, self._signalled, int(number))

    def _signalled(self, number: int) -> None:
        self._leave(128 + number)

    @property
    def fault(self) -> BaseException | None:
        """The fault that ended the screens, if one did."""
        return self._exception

    # --- screens ---

    @property
    def frame(self) -> Frame | None:
        """The screen on top, when it is one of ours."""
        screen = self.screen
        return screen if isinstance(screen, Frame) else None

    def show_screen(self, name: str) -> None:
        """One of the five screens."""
        while len(self.screen_stack) > 2:
            self.pop_screen()
        if getattr(self.screen, "ID", "") != name:
            self.switch_screen(name)

    def open_help(self, frame: Frame) -> None:
        """Help for a screen."""
        from watchlist.screens.help import Help

        self.push_screen(Help(frame.ID))

    def open_messages(self) -> None:
        """The last messages."""
        from watchlist.screens.help import Messages

        self.push_screen(Messages())

    def open_palette(self, frame: Frame) -> None:
        """Every action by name."""
        from watchlist.screens.palette import Palette

        self.push_screen(Palette(frame.ID), lambda id: frame.act(id) if id else None)

    def open_import(self) -> None:
        """Read a file of one's own."""
        from watchlist.screens.forms.own_file import ImportForm

        self.push_screen(ImportForm())

    @property
    def takes_keys(self) -> bool:
        """The screen stands, and a line that was opened to type in has the focus."""
        screen = self.screen
        if isinstance(screen, Frame):
            return screen.stands and (screen.prompt is None or isinstance(self.focused, Input))
        return bool(getattr(screen, "stands", True))

    # --- words ---

    def status(self) -> str:
        """What the status line shows: what waits to be written, the last message, work going on."""
        waits, work, width = self.waiting_line, self.tasks.line, self.size.width
        if waits or not (self._said and work):
            return " ".join(filter(None, (waits, work))) or self._said
        room = width - cells(work) - 1
        return f"{cut(self._said, room)} {work}" if room >= LEAST_MESSAGE else self._said

    def say(self, text: str, *, trouble: bool = False) -> None:
        """A message: in the status line, and kept in the list of messages."""
        text = " ".join(text.split())
        self.messages.append(f"{self.session.now.astimezone(self.session.shelf.settings.home.zone):%H:%M}  {text}")
        self._said = text
        self.show_status()

    def hush(self) -> None:
        """A key was pressed: the message was read."""
        self._said = ""

    def show_status(self) -> None:
        """The status line anew, and the footer: Esc stands there while there is something to stop."""
        screen = self.screen if self.is_running else None
        if screen is not None and screen.is_mounted and hasattr(screen, "redraw_status"):
            screen.redraw_status()
        if isinstance(screen, Frame) and screen.stands:
            screen.redraw_foot()

    def copy_text(self, text: str) -> None:
        """Into the clipboard, over SSH and tmux too; and shown, should the clipboard be out of reach."""
        self.copy_to_clipboard(text)
        self.say(f"Copied: {text}")

    def open_address(self, link: str) -> None:
        """Open an address in the browser; from afar only show it."""
        from watchlist.screens.session import over_ssh

        if not link.startswith(("http://", "https://")):
            self.say("This lot has no address.")
        elif over_ssh() or not self._browse(link):
            self.say(f"Address: {link}")
        else:
            self.say(f"Opened {link}")

    def _browse(self, link: str) -> bool:
        import webbrowser

        try:
            browser = webbrowser.get()
        except webbrowser.Error:
            return False
        graphical = not isinstance(browser, webbrowser.GenericBrowser) or isinstance(
            browser, webbrowser.BackgroundBrowser
        )
        return graphical and browser.open(link)

    # --- the shelf ---

    def changed(self, *, all: bool = False) -> None:
        """The shelf was written to: screens load anew when they are next seen, the one on top at once."""
        self.version += 1
        if all:
            self.session.forget()
        self._store_version = self.session.version()
        if self.frame is not None:
            self.frame.reload()
            self.frame.redraw()

    def patched(self, frame: Frame) -> None:
        """The shelf was written to, and this screen shows it already; the others load anew when they are next seen."""
        self.version += 1
        self._store_version = self.session.version()
        frame.loaded = self.version

    def stale(self, frame: Frame) -> bool:
        """The shelf has changed since this screen was loaded."""
        return frame.loaded != self.version

    def _fatal_error(self) -> None:
        """A fault of ours: leave the terminal whole; the command line writes the log and says one sentence."""
        self._close_messages_no_wait()

    def _look_again(self) -> None:
        """Another process wrote, or a minute has passed: what is on top is drawn anew where it differs."""
        if not self.is_headless and terminal_gone():
            self._leave(HUNG_UP)
            return
        version, minute = self.session.version(), int(self.session.now.timestamp() // 60)
        frame = self.frame
        if version != self._store_version:
            self._store_version = version
            self.version += 1
            self.session.forget()
            if frame is not None:
                frame.reload()
                frame.redraw()
        elif minute != self._minute and frame is not None and self._minute >= 0:
            frame.minute_passed()
        self._minute = minute

    # --- the window ---

    def turn_look(self) -> None:
        """Dark to light and back."""
        look = LOOKS["light" if self.brush.look.dark else "dark"]
        self.brush.take(look)
        self.theme = look.name
        self.keep(look=look.name)
        self.refresh_css()
        for widget in self.screen.query("*"):
            widget.refresh()

    def keep(self, **values: Any) -> None:
        """Keep how the screens stand, for the next run."""
        self.kept |= values
        self.session.keep(self.kept)

    def draw_again(self) -> None:
        """Send the whole screen again."""
        self.thin.clear()
        self.refresh(layout=True, repaint=True)
        self.screen.refresh(layout=True, repaint=True)
        for widget in self.screen.query("*"):
            widget.refresh()

    def leave(self) -> None:
        """Quit; work is stopped first, and what waits to be written is written on the way out."""
        self._leave(0)

    def _leave(self, code: int) -> None:
        self.stop_work(all=True)
        self.session.pen.close()
        self.exit(return_code=code)
