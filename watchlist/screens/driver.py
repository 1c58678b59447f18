"""The terminal's driver: it sends only what differs, and a lone Esc is heard soon.

Esc is also the first letter of what other keys send. The library looks whether more has come ten times a second; here
the look follows the Esc itself, `ESCDELAY` milliseconds later.
"""

from __future__ import annotations

import os
import selectors
from codecs import getincrementaldecoder
from typing import Any

from textual import constants
from textual._xterm_parser import XTermParser
from textual.driver import Driver

from watchlist.screens.thin import Thin

LOOK = 0.1
"""Seconds between two looks whether the screens have been left."""
ESC = "\x1b"


def thin_driver(base: type[Driver], thin: Thin) -> type[Driver]:
    """The library's driver for this terminal, sending less and hearing Esc sooner."""

    class ThinDriver(base):  # type: ignore[misc, valid-type]
        """Sends fewer bytes."""

        def write(self, data: str) -> None:
            """Thin and send."""
            super().write(thin.feed(data))

    if base.__module__ != "textual.drivers.linux_driver":
        return ThinDriver

    class KeyDriver(ThinDriver):
        """Reads the keys itself."""

        def run_input_thread(self) -> None:
            """In a thread of its own, until the screens are left."""
            _read_keys(self)

    return KeyDriver


def _read_keys(driver: Any) -> None:
    """Hand on what is typed, as the library's driver does."""
    parser, decode = XTermParser(driver._debug), getincrementaldecoder("utf-8")().decode
    with selectors.SelectSelector() as ready:
        ready.register(driver.fileno, selectors.EVENT_READ)
        wait = LOOK
        while not driver.exit_event.is_set():
            text = decode(os.read(driver.fileno, 4096)) if ready.select(wait) else ""
            wait = constants.ESCAPE_DELAY if text.endswith(ESC) else LOOK
            for event in (*parser.feed(text), *parser.tick()) if text else parser.tick():
                driver.process_message(event)
