"""The full-screen logbook: one app, quiet on the line, and the terminal left sane whatever happens."""

from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App
from textual.binding import Binding

from fieldlog.tui.session import Session

if TYPE_CHECKING:
    from textual.screen import Screen


class LogbookApp(App[int]):
    """Shows the fleet of one logbook, or the first-run screen where there is none yet."""

    ENABLE_COMMAND_PALETTE = False
    CSS_PATH = "app.tcss"
    BINDINGS = [Binding("ctrl+c", "leave", show=False), Binding("ctrl+q", "leave", show=False)]  # noqa: RUF012

    def __init__(self, folder: Path | None, *, is_demo: bool = False, ascii_only: bool = False) -> None:
        super().__init__(ansi_color=True)
        self.ascii_only = ascii_only
        self.is_demo = is_demo
        self.folder = folder
        self._session: Session | None = None

    @property
    def session(self) -> Session:
        """The open logbook."""
        assert self._session is not None
        return self._session

    def get_default_screen(self) -> "Screen[object]":
        """Return the fleet, or the first-run screen when no logbook is open."""
        if self.folder is None:
            from fieldlog.tui.screens.first_run import FirstRunScreen

            return FirstRunScreen()
        return self.open_logbook(self.folder)

    def open_logbook(self, folder: Path) -> "Screen[object]":
        """Read a logbook and return its fleet screen."""
        from fieldlog.tui.screens.fleet import FleetScreen

        self._session = Session(folder, is_demo=self.is_demo)
        return FleetScreen()

    def on_mount(self) -> None:
        """Take over hang-up and termination once the terminal is set up."""
        from fieldlog.tui.hangup import guard

        guard(self)

    def action_leave(self) -> None:
        """Leave; everything accepted is on disk."""
        self.exit(0)
