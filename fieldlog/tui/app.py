"""The full-screen logbook: one app over all screens, quiet on the line, the terminal left sane whatever happens.

It knows every screen; no screen and no action knows it. They ask its lower half, `Desk`.
"""

import contextlib
import gc
from pathlib import Path
from typing import TYPE_CHECKING

from textual.binding import Binding

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.tui.base import Desk, LogScreen

if TYPE_CHECKING:
    from textual.screen import Screen

    from fieldlog.app.ahead import Ahead
    from fieldlog.tui.screens.fleet import FleetScreen


class LogbookApp(Desk):
    """Shows the fleet of one logbook, or the first-run screen where there is none yet."""

    ENABLE_COMMAND_PALETTE = False
    CSS_PATH = "app.tcss"
    BINDINGS = [Binding("ctrl+c", "leave", show=False), Binding("ctrl+q", "leave", show=False)]  # noqa: RUF012

    def __init__(
        self,
        folder: Path | None,
        *,
        new_folder: Path,
        is_demo: bool = False,
        ascii_only: bool = False,
        ahead: "Ahead | None" = None,
    ) -> None:
        super().__init__(ascii_only=ascii_only)
        self.is_demo = is_demo
        self.folder = folder
        self.new_folder = new_folder
        self._sample: contextlib.ExitStack = contextlib.ExitStack()
        self._ahead = ahead

    def get_default_screen(self) -> "Screen[object]":
        """Return the fleet, or the first-run screen when no logbook is open."""
        if self.folder is None:
            from fieldlog.tui.screens.first_run import FirstRunScreen

            return FirstRunScreen(self.new_folder, self.start_using, self.show_sample)
        return self.open_logbook(self.folder)

    def open_logbook(self, folder: Path) -> "FleetScreen":
        """Read a logbook and return its fleet screen."""
        from fieldlog.tui.screens.fleet import FleetScreen

        self._session = OpenLogbook(folder, self.is_demo, self._ahead, keeps=True)
        self._ahead = None
        return FleetScreen()

    def start_using(self, folder: Path) -> None:
        """Open a logbook just made and go straight to its first machine."""
        from fieldlog.app.places import remember

        remember(folder)
        fleet = self.open_logbook(folder)
        self.push_screen(fleet)
        self.call_after_refresh(fleet.action_new_machine)

    def show_sample(self) -> None:
        """Open a throwaway copy of the sample fleet; it is gone when the program ends."""
        from fieldlog.store.demo import throwaway_copy

        self.is_demo = True
        self.push_screen(self.open_logbook(self._sample.enter_context(throwaway_copy())))

    def on_unmount(self) -> None:
        """Throw the sample away, and end what is still being read."""
        if self._session is not None:
            self._session.known.stop()
        self._sample.close()

    def on_mount(self) -> None:
        """Take over hang-up and termination once the terminal is set up."""
        from fieldlog.tui.terminal import guard

        guard(self)
        self.call_after_refresh(gc.enable)

    def action_help(self) -> None:
        """Show every key of the screen in front."""
        from fieldlog.tui.screens.help import HelpScreen

        if isinstance(self.screen, LogScreen):
            self.push_screen(HelpScreen(self.screen.KEYS))

    def action_problems(self) -> None:
        """Show what is wrong in the files."""
        from fieldlog.tui.screens.help import ProblemsScreen

        self.push_screen(ProblemsScreen())

    def action_leave(self) -> None:
        """Leave; everything accepted is on disk."""
        self.exit(0)
