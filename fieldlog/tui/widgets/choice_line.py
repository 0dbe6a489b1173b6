"""One line on which a word is chosen with the left and right arrows."""

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from fieldlog.records.text import harmless
from fieldlog.report.lines import cells, short
from fieldlog.tui.marks import mark_style, shown
from fieldlog.tui.widgets.entry_line import passed_on

_KEYS = ", left/right"


def _ends(word: str, behind: str) -> int:
    """Return how many columns a word takes between its arrows, with what stands behind them."""
    return cells(f"< {word} >{behind}")


class ChoiceLine(Widget, can_focus=True):
    """Offers words, shows one; `value` is the key of the word shown."""

    DEFAULT_CSS = "ChoiceLine { height: 1; }"
    BINDINGS = [  # noqa: RUF012 -- Textual reads this class attribute
        Binding("left", "turn(-1)", show=False),
        Binding("right,space", "turn(1)", show=False),
    ]

    class Changed(Message):
        """Another word is shown."""

    def __init__(self, choices: tuple[tuple[str, str], ...], value: str = "", *, id: str | None = None) -> None:  # noqa: A002 -- Textual's name
        super().__init__(id=id)
        self.choices = choices or (("", "nothing to choose from"),)
        self.entered: Callable[[], None] | None = None
        self.index = next((i for i, (key, _) in enumerate(self.choices) if key == value), 0)

    @property
    def value(self) -> str:
        """The key of the chosen word."""
        return self.choices[self.index][0]

    def render_line(self, y: int) -> Strip:
        """Show the word, between arrows while the line has the focus."""
        word, width = shown(self, harmless(self.choices[self.index][1])), self.size.width
        style = Style(bold=True) if self.has_focus else Style()
        if not self.has_focus or len(self.choices) < 2:
            return Strip([Segment(short(word, width), style)]).adjust_cell_length(width)
        count = f"{self.index + 1} of {len(self.choices)}"
        behind = next(
            (text for text in (f"   {count}{_KEYS}", f"   {count}", f" {count}") if _ends(word, text) <= width), ""
        )
        word = short(word, width - _ends("", behind))
        segments = [Segment(f"< {word} >", style), Segment(behind, mark_style("dim"))]
        return Strip(segments).adjust_cell_length(width)

    def action_turn(self, step: int) -> None:
        """Show the next or the previous word, going round at the ends."""
        self._show((self.index + step) % len(self.choices))

    def on_key(self, event: events.Key) -> None:
        """Go on after Enter; go to the next word that starts with the letter typed."""
        if passed_on(self, event):
            return
        if event.key in {"enter", "ctrl+j"}:
            event.stop()
            if self.entered is not None:
                self.entered()
            return
        letter = (event.character or "").lower()
        if not letter.isalnum():
            return
        order = [(self.index + step) % len(self.choices) for step in range(1, len(self.choices) + 1)]
        found = next((i for i in order if self.choices[i][1].lower().startswith(letter)), None)
        if found is not None:
            event.stop()
            self._show(found)

    def on_focus(self) -> None:
        """Show the arrows."""
        self.refresh()

    def on_blur(self) -> None:
        """Take the arrows away."""
        self.refresh()

    def _show(self, index: int) -> None:
        if index != self.index:
            self.index = index
            self.refresh()
            self.post_message(self.Changed())
