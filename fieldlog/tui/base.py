"""What every screen shares: a title line, a footer made from the command list, the way back; and the desk under it.

The desk is the running app as the screens know it. Which screen comes first is not its matter: `app.py` stands over
all screens, and nothing below imports that.
"""

import functools
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, ClassVar

from rich.text import Text
from textual import events
from textual.app import App, ComposeResult
from textual.geometry import Size
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.errors import FieldlogError
from fieldlog.pages.lines import Line, Span, cells, line, short
from fieldlog.tui.command import Command, bindings, footer_lines, joined
from fieldlog.tui.widgets.entry_line import EntryLine
from fieldlog.words.speak import error_text

if TYPE_CHECKING:
    from fieldlog.app.fleet import SeasonWork
    from fieldlog.app.open_logbook import OpenLogbook


class Desk(App[int]):
    """What screens and actions may ask of the app that runs them."""

    def __init__(self, *, ascii_only: bool) -> None:
        super().__init__(ansi_color=True)
        self.ascii_only = ascii_only
        self._session: OpenLogbook | None = None
        self.last_form: tuple[str, Mapping[str, str]] = ("", {})
        self.typed_in_vain: tuple[str, Mapping[str, str]] = ("", {})

    @functools.cached_property
    def seasons(self) -> "SeasonWork":
        """The seasons that were worked out in this sitting."""
        from fieldlog.app.fleet import SeasonWork

        return SeasonWork()

    @property
    def session(self) -> "OpenLogbook":
        """The open logbook."""
        assert self._session is not None
        return self._session

    def notify_line(self, sentence: str) -> None:
        """Show one sentence on the screen in front, once it has been drawn."""

        def show() -> None:
            if isinstance(self.screen, LogScreen):
                self.screen.say(sentence)

        self.call_after_refresh(show)

    def refuse(self, error: FieldlogError) -> None:
        """Say why what a form asked for could not be written; what was typed comes back with the same form."""
        self.typed_in_vain = self.last_form
        self.notify_line(f"{error_text(error)} What you typed comes back when you open the form again.")

    def redraw(self) -> None:
        """Draw the screen in front again."""
        if isinstance(self.screen, LogScreen):
            self.screen.show_all()


class LogScreen(Screen[object]):
    """A screen with a title over it and its keys under it; subclasses give `body()` and `redraw()`."""

    KEYS: ClassVar[tuple[Command, ...]] = ()
    _is_drawn = False
    _drawn_size = Size()

    def __init_subclass__(cls, **kwargs: object) -> None:
        cls.BINDINGS = [*bindings(cls.KEYS)]
        super().__init_subclass__()

    @property
    def desk(self) -> Desk:
        """The running app, by its own type."""
        assert isinstance(self.app, Desk)
        return self.app

    @property
    def session(self) -> "OpenLogbook":
        """The open logbook."""
        return self.desk.session

    @property
    def text_width(self) -> int:
        """Columns for text inside the one-column margins."""
        return max(self.size.width - 2, 20)

    def compose(self) -> ComposeResult:
        """Title, body, message line, footer."""
        yield Static(id="title", markup=False)
        yield from self.body()
        yield Static(id="message", markup=False)
        yield Static(id="footer", markup=False)

    def body(self) -> Iterable[Widget]:
        """Yield the widgets between title and footer."""
        return ()

    def title_parts(self) -> tuple[str, str]:
        """Return the words at the left and at the right of the title line."""
        return "", ""

    def redraw(self) -> None:
        """Show the records as they are now."""

    def footer_commands(self) -> tuple[Command, ...]:
        """The commands whose keys the footer names."""
        return self.KEYS

    def on_resize(self, event: events.Resize) -> None:
        """Draw at a new size; the first drawing too, since a new screen gets its size before anything else.

        At the start the same size comes three times over.
        """
        if event.size != self._drawn_size:
            self.show_all()

    def on_screen_resume(self) -> None:
        """Draw again on coming back, since entries may have been made meanwhile."""
        if self._is_drawn:
            self.show_all()

    def show_all(self) -> None:
        """Title, footer and body."""
        if not self.size.width or not self.is_attached:
            return
        self._is_drawn, self._drawn_size = True, self.size
        self.show_title()
        self.show_lines("#footer", footer_lines(self.footer_commands(), self.size.width))
        self.redraw()

    def show_title(self) -> None:
        """Write the title line with a rule under it."""
        left, right = self.title_parts()
        room = self.text_width - cells(right) - 2 if right else self.text_width
        name = short(left, max(room, 10))
        gap = " " * max(self.text_width - cells(name) - cells(right), 1)
        rule = ("-" if self.desk.ascii_only else "─") * self.text_width
        self.show_lines(
            "#title", (line(" ", Span(name, "head"), gap, Span(right, "dim")), line(" ", Span(rule, "dim")))
        )

    def show_lines(self, selector: str, lines: tuple[Line, ...] | list[Line]) -> None:
        """Write lines into a Static."""
        text = Text.assemble(*joined(lines, ascii_only=self.desk.ascii_only))
        self.query_one(selector, Static).update(text)

    def say(self, sentence: str, mark: str = "warn") -> None:
        """Show one sentence above the footer; an empty one takes it away."""
        from fieldlog.pages.lines import wrapped

        self.show_lines("#message", wrapped(sentence, self.text_width, " ", mark) if sentence else ())
        self.query_one("#message", Static).display = bool(sentence)

    def on_entry_line_too_much(self, event: EntryLine.TooMuch) -> None:
        """Say that a paste was no list of readings."""
        self.say(f"{event.count} lines at once are no list of readings; none was taken.")

    def action_back(self) -> None:
        """Leave the screen with nothing."""
        self.dismiss(None)
