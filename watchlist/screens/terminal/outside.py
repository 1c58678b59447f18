"""What leaves the program: text for the clipboard, an address for the browser. All of it is shown too."""

from __future__ import annotations

from collections.abc import Callable

from watchlist.screens.background.messages import Messages
from watchlist.screens.terminal.browser import browse, over_ssh


class Outside:
    """The clipboard may be out of reach and the browser far away, so the text always stands in a message as well."""

    def __init__(self, clipboard: Callable[[str], None], messages: Messages) -> None:
        self._clipboard, self._messages = clipboard, messages

    def copy(self, text: str, said: str = "Copied") -> None:
        """Into the clipboard, over SSH and tmux too."""
        self._clipboard(text)
        self._messages.say(f"{said}: {text}")

    def open(self, link: str) -> None:
        """Open an address in the browser; from afar only show it."""
        if not link.startswith(("http://", "https://")):
            self._messages.say("This lot has no link.")
        elif over_ssh() or not browse(link):
            self._messages.say(f"Link: {link}")
        else:
            self._messages.say(f"Opened {link}")
