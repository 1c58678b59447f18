"""The terminal's driver: it sends only what differs, and a lone Esc is heard soon.

Esc is also the first letter of what other keys send. The library looks whether more has come ten times a second; here
the look follows the Esc itself, `ESCDELAY` milliseconds later.
"""

from __future__ import annotations

import errno
import os
import selectors
import sys
from codecs import getincrementaldecoder
from typing import Any

from textual import constants
from textual._xterm_parser import XTermParser
from textual.driver import Driver

from watchlist.screens.terminal.diff import Diff

LOOK = 0.1
"""Seconds between two looks whether the screens have been left."""
ESC = "\x1b"


def terminal_gone() -> bool:
    """The window was closed and no signal told of it: a gone terminal answers no question."""
    try:
        os.get_terminal_size(sys.__stdin__.fileno() if sys.__stdin__ else 0)
    except OSError as error:
        return error.errno == errno.EIO
    except ValueError:
        return False
    return False


def quiet_driver(base: type[Driver], diff: Diff) -> type[Driver]:
    """The library's driver for this terminal, sending less and hearing Esc sooner."""

    class QuietDriver(base):  # type: ignore[misc, valid-type]
        """Sends fewer bytes."""

        def write(self, data: str) -> None:
            """Send what differs."""
            super().write(diff.feed(data))

    return _hearing(QuietDriver) if base.__module__ == "textual.drivers.linux_driver" else QuietDriver


def _hearing(base: type[Driver]) -> type[Driver]:
    """A driver that reads the keys itself."""

    class KeyDriver(base):  # type: ignore[misc, valid-type]
        """Reads the keys itself."""

        def start_application_mode(self) -> None:
            """Take the terminal, once: SIGCONT comes without a stop before it too, from the system with a hang-up."""
            if self._key_thread is not None and terminal_gone():
                return
            if self._key_thread is not None and self._key_thread.is_alive():
                self.suspend_application_mode()
            super().start_application_mode()

        def write(self, data: str) -> None:
            """Send; nobody waits for a terminal that nobody writes to any more: it is gone, or was given back."""
            if self._writes:
                super().write(data)

        def close(self) -> None:
            """Let the writer end, if it has not ended by itself."""
            if self._writes:
                super().close()

        @property
        def _writes(self) -> bool:
            return self._writer_thread is not None and self._writer_thread.is_alive()

        def run_input_thread(self) -> None:
            """In a thread of its own, until the screens are left."""
            _read_keys(self)

    return KeyDriver


def _read_keys(driver: Any) -> None:
    """Hand on what is typed, as the library's driver does, until there is nobody who types any more."""
    parser, decode = XTermParser(driver._debug), getincrementaldecoder("utf-8")().decode
    with selectors.SelectSelector() as ready:
        ready.register(driver.fileno, selectors.EVENT_READ)
        wait = LOOK
        while not driver.exit_event.is_set():
            text = ""
            if ready.select(wait):
                if not (came := _read(driver.fileno)):
                    return
                text = decode(came)
            wait = constants.ESCAPE_DELAY if text.endswith(ESC) else LOOK
            for event in (*parser.feed(text), *parser.tick()) if text else parser.tick():
                driver.process_message(event)


def _read(handle: int) -> bytes:
    """What has come; nothing when the terminal is gone."""
    try:
        return os.read(handle, 4096)
    except OSError:
        return b""
