"""The way out of the terminal: a browser on this machine, none from afar."""

from __future__ import annotations

import os


def over_ssh() -> bool:
    """The screen is far away: no browser is opened there."""
    return any(os.environ.get(name) for name in ("SSH_CONNECTION", "SSH_TTY"))


def browse(link: str) -> bool:
    """Open an address in a browser that has a window of its own; False where there is none."""
    import webbrowser  # 15 ms that the first text does without

    try:
        browser = webbrowser.get()
    except webbrowser.Error:
        return False
    # a browser in the terminal would take it from the screens; of those found by name only some have a window
    graphical = not isinstance(browser, webbrowser.GenericBrowser) or isinstance(browser, webbrowser.BackgroundBrowser)
    return graphical and browser.open(link)
