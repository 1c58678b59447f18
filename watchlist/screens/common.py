"""What can be done on every screen: moving, going to another screen, undo, gather, leave."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.screen import Screen

from watchlist.screens.listing import Listing
from watchlist.screens.paper import Paper

if TYPE_CHECKING:
    from watchlist.screens.app import Screens
    from watchlist.screens.frame import Frame


class Common(Screen[None], inherit_bindings=False):
    """The actions that all screens share. `do_...` is named by the id of the action in keys.py."""

    HAS_LIST: ClassVar[bool] = True
    HAS_PANE: ClassVar[bool] = True

    app: Screens
    _whole = False
    """Its parts were all seen; they stay as long as it does."""

    @property
    def stands(self) -> bool:
        """All its parts are there: a key or a late answer can come before the first and after the last of them."""
        if not self._whole:
            parts = ["foot", "status", "why", *["lots"] * self.HAS_LIST, *["pane"] * self.HAS_PANE]
            self._whole = all(self.query(f"#{part}") for part in parts)
        return self._whole and self.is_mounted and self.is_attached

    @property
    def listing(self) -> Listing:
        """The list."""
        return self.query_one("#lots", Listing)

    def paper(self, id: str) -> Paper:
        """A part with lines of text."""
        return self.query_one(f"#{id}", Paper)

    @property
    def _frame(self) -> Frame:
        """This screen, whole."""
        from watchlist.screens.frame import Frame

        assert isinstance(self, Frame)
        return self

    # --- moving, on every screen ---

    def do_down(self) -> None:
        """Next row."""
        self._move(1)

    def do_up(self) -> None:
        """Row before."""
        self._move(-1)

    def _move(self, by: int) -> None:
        if self.HAS_LIST:
            self.listing.step(by)
        else:
            self.paper("pane").scroll_lines(by)

    def do_page_down(self) -> None:
        """One page on."""
        self._page(1)

    def do_page_up(self) -> None:
        """One page back."""
        self._page(-1)

    def _page(self, way: int) -> None:
        if self.HAS_LIST:
            self.listing.page(way)
        else:
            pane = self.paper("pane")
            pane.scroll_lines(way * max(pane.size.height - 1, 1))

    def do_first(self) -> None:
        """First row."""
        if self.HAS_LIST:
            self.listing.first()
        else:
            self.paper("pane").scroll_lines(-(10**6))

    def do_last(self) -> None:
        """Last row."""
        if self.HAS_LIST:
            self.listing.last()
        else:
            self.paper("pane").scroll_lines(10**6)

    def do_part(self) -> None:
        """The pane's next page, from the end its beginning again."""
        if self.HAS_PANE and self.paper("pane").display:
            pane = self.paper("pane")
            if not pane.scroll_lines(max(pane.size.height - 1, 1)):
                pane.scroll_lines(-(10**6))

    def do_part_back(self) -> None:
        """The pane's page before."""
        if self.HAS_PANE and self.paper("pane").display:
            self.paper("pane").scroll_lines(-max(self.paper("pane").size.height - 1, 1))

    # --- other screens ---

    def do_tray(self) -> None:
        """The Tray."""
        self.app.show_screen("tray")

    def do_wants(self) -> None:
        """The want-list."""
        self.app.show_screen("wants")

    def do_bids(self) -> None:
        """The bid list."""
        self.app.show_screen("bids")

    def do_prices(self) -> None:
        """Prices."""
        self.app.show_screen("prices")

    def do_sources(self) -> None:
        """Sources."""
        self.app.show_screen("sources")

    def do_help(self) -> None:
        """Help for this screen."""
        self.app.open_help(self._frame)

    def do_messages(self) -> None:
        """The last messages."""
        self.app.open_messages()

    def do_palette(self) -> None:
        """Every action by name."""
        self.app.open_palette(self._frame)

    def do_back(self) -> None:
        """Stop a gather; else close what lies over the list."""
        if not self.app.stop_work() and len(self.app.screen_stack) > 2:
            self.app.pop_screen()

    # --- the whole program ---

    def do_undo(self) -> None:
        """Turn back."""
        self.app.turn(back=True)

    def do_redo(self) -> None:
        """Restore."""
        self.app.turn(back=False)

    def do_gather(self) -> None:
        """Read all sources."""
        self.app.gather()

    def do_import(self) -> None:
        """Read a file of one's own."""
        self.app.open_import()

    def do_look(self) -> None:
        """Dark or light."""
        self.app.turn_look()

    def do_redraw(self) -> None:
        """All again."""
        self.app.draw_again()

    def do_suspend(self) -> None:
        """Back to the shell."""
        self.app.action_suspend_process()

    def do_stop(self) -> None:
        """Copy what is marked, else stop a gather, else say how to leave."""
        marked = self.get_selected_text()
        if marked:
            self.app.copy_text(marked)
        elif not self.app.stop_work():
            self.app.say(f"{self.app.keys.first('quit')} quits.")

    def do_quit(self) -> None:
        """Leave."""
        self.app.leave()
