"""Hang-ups, closed windows and terminations: nothing spins, nothing is lost, the terminal is left sane.

Every accepted entry is on disk before the cursor moves on, so there is nothing to save here; the work is to
get out. A handler of the event loop would not run while a frozen line blocks the loop; these do.

Escape and the key after it, which a terminal sends as it sends Alt with that key; nothing here is bound to Alt.

The full-screen logbook: one app over all screens, quiet on the line, the terminal left sane whatever happens.

No Alt (`tui/terminal.py`). A terminal sends Escape and a quick next key as it sends Alt with that key. Nothing is
bound to Alt, so the two are taken apart where keys are read; and Escape is a priority binding, so that what is typed
right behind it goes where it leads. A test on a pseudo terminal tells when the screen library reads keys otherwise.
"""

import asyncio
import contextlib
import gc
import os
import select
import signal
import sys
import termios
import threading
import time
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING

from textual import events
from textual._xterm_parser import XTermParser
from textual.binding import Binding

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.tui.base import Desk, LogScreen

if TYPE_CHECKING:
    from textual.app import App
    from textual.screen import Screen

    from fieldlog.app.ahead import Ahead
    from fieldlog.tui.screens.fleet import FleetScreen

_RESET = b"\x1b[?1049l\x1b[?1000l\x1b[?1003l\x1b[?1006l\x1b[?1015l\x1b[?2004l\x1b[?1004l\x1b[<u\x1b[?25h\x1b[0m"
_GRACE_S = 1.5
_LOOK_EVERY_S = 1.0
_HANGUP_STATUS = 129
_TERMINATED_STATUS = 143


def remember_terminal() -> None:
    """Note the terminal's settings before the full-screen program changes them."""
    try:
        _Terminal.before = termios.tcgetattr(sys.stdin.fileno())
    except (termios.error, OSError, ValueError):
        _Terminal.before = None


class _Terminal:
    before: list[object] | None = None


def guard(app: "App[int]") -> None:
    """Install the handlers; outside a real terminal (in tests) do nothing."""
    if app.is_headless or not sys.stdin.isatty():
        return

    loop = asyncio.get_running_loop()

    def hung_up(signum: int, frame: FrameType | None) -> None:
        _restore_and_leave(_HANGUP_STATUS)

    def terminated(signum: int, frame: FrameType | None) -> None:
        timer = threading.Timer(_GRACE_S, _restore_and_leave, (_TERMINATED_STATUS,))
        timer.daemon = True
        timer.start()
        loop.call_soon_threadsafe(partial(app.exit, return_code=_TERMINATED_STATUS))

    signal.signal(signal.SIGHUP, hung_up)
    signal.signal(signal.SIGTERM, terminated)
    threading.Thread(target=_watch_terminal, daemon=True).start()


def _watch_terminal() -> None:
    """Leave when the terminal is gone, even where no signal says so."""
    poller = select.poll()
    poller.register(sys.stdin.fileno(), 0)
    while True:
        if any(event & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, event in poller.poll(0)):
            os._exit(_HANGUP_STATUS)
        time.sleep(_LOOK_EVERY_S)


def _restore_and_leave(status: int) -> None:
    """Put the terminal back through a handle of its own, since the usual one may be blocked, and leave."""
    with contextlib.suppress(OSError, termios.error):
        if _Terminal.before is not None:
            termios.tcsetattr(sys.stdin.fileno(), termios.TCSANOW, _Terminal.before)  # type: ignore[arg-type] # as given
    with contextlib.suppress(OSError):
        handle = os.open(os.ttyname(sys.stdin.fileno()), os.O_WRONLY | os.O_NONBLOCK | os.O_NOCTTY)
        os.write(handle, _RESET)
    os._exit(status)


_ESCAPE = "\x1b"
_BEGIN_LONGER_ONES = frozenset("[OPX]^_\x1b")  # control sequences, function keys, what terminals send of themselves
_NO_CHARACTER = frozenset("\t\x7f")  # with Alt these are keys of their own: shift and tab on some consoles, a word back


def take_alt_apart() -> None:
    """Make the reader of the terminal's keys give out Escape and the key instead of Alt with the key."""
    as_before = XTermParser._sequence_to_key_events

    def keys_of(parser: XTermParser, sequence: str, alt: bool = False) -> Iterable[events.Key]:
        if _is_alt(sequence):
            yield events.Key("escape", _ESCAPE)
            sequence, alt = sequence[1:], False
        yield from as_before(parser, sequence, alt)

    XTermParser._sequence_to_key_events = keys_of  # type: ignore[assignment] # the one place where all keys pass


def _is_alt(sequence: str) -> bool:
    return len(sequence) == 2 and sequence[0] == _ESCAPE and sequence[1] not in _BEGIN_LONGER_ONES | _NO_CHARACTER


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
        from fieldlog.store.files import throwaway_copy

        self.is_demo = True
        self.push_screen(self.open_logbook(self._sample.enter_context(throwaway_copy())))

    def on_unmount(self) -> None:
        """Throw the sample away, and end what is still being read."""
        if self._session is not None:
            self._session.known.stop()
        self._sample.close()

    def on_mount(self) -> None:
        """Take over hang-up and termination once the terminal is set up."""
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
