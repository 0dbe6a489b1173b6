"""The full-screen logbook: one app, quiet on the line, and the terminal left sane whatever happens."""

import contextlib
import functools
import gc
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from textual.app import App
from textual.binding import Binding

from fieldlog.app.session import Session
from fieldlog.errors import FieldlogError

if TYPE_CHECKING:
    from textual.screen import Screen

    from fieldlog.app.ahead import Ahead
    from fieldlog.app.seasons import SeasonWork


class LogbookApp(App[int]):
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
        super().__init__(ansi_color=True)
        self.ascii_only = ascii_only
        self.is_demo = is_demo
        self.folder = folder
        self.new_folder = new_folder
        self._sample: contextlib.ExitStack = contextlib.ExitStack()
        self._ahead = ahead
        self._session: Session | None = None
        self.last_form: tuple[str, Mapping[str, str]] = ("", {})
        self.typed_in_vain: tuple[str, Mapping[str, str]] = ("", {})

    @functools.cached_property
    def seasons(self) -> "SeasonWork":
        """The seasons that were worked out in this sitting."""
        from fieldlog.app.seasons import SeasonWork

        return SeasonWork()

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

        self._session = Session(folder, self.is_demo, self._ahead, keeps=True)
        self._ahead = None
        return FleetScreen()

    def start_using(self, folder: Path) -> None:
        """Open a logbook just made and go straight to its first machine."""
        from fieldlog.app.places import remember
        from fieldlog.tui.actions.parts import add_machine

        remember(folder)
        self.push_screen(self.open_logbook(folder))
        self.call_after_refresh(add_machine, self)

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

    def notify_line(self, sentence: str) -> None:
        """Show one sentence on the screen in front, once it has been drawn."""
        from fieldlog.tui.base import LogScreen

        def show() -> None:
            if isinstance(self.screen, LogScreen):
                self.screen.say(sentence)

        self.call_after_refresh(show)

    def refuse(self, error: FieldlogError) -> None:
        """Say why what a form asked for could not be written; what was typed comes back with the same form."""
        self.typed_in_vain = self.last_form
        self.notify_line(f"{error} What you typed comes back when you open the form again.")

    def redraw(self) -> None:
        """Draw the screen in front again."""
        from fieldlog.tui.base import LogScreen

        if isinstance(self.screen, LogScreen):
            self.screen.show_all()

    def action_leave(self) -> None:
        """Leave; everything accepted is on disk."""
        self.exit(0)
