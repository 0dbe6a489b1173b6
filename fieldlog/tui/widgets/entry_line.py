"""The line that sizes are typed on: flat, without a blinking cursor, and never in the way of single keys.

One line on which a word is chosen with the left and right arrows.

What the disk refuses stays in the line, two blanks apart, since a caliper types on; no other line can be chosen until
it is kept. What a form could not write comes back with the same form.
"""

from collections.abc import Callable

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget
from textual.widgets import Input

from fieldlog.pages.lines import cells, short
from fieldlog.quantity.text import harmless
from fieldlog.tui.command import mark_style, shown


def passed_on(widget: Widget, event: events.Key) -> bool:
    """Pass a key on to the line that has the cursor now; tell whether it was passed on."""
    now = widget.screen.focused
    if now is None or now is widget:
        return False
    event.stop()
    event.prevent_default()
    now.post_message(events.Key(event.key, event.character))
    return True


def _printable(text: str, instead: str, kept: str = "") -> str:
    """Return a text with something else in the place of what cannot be printed."""
    return "".join(char if char.isprintable() or char in kept else instead for char in text)


GAP = "  "  # between numbers that could not be kept; no size has two blanks in it

_MOST_PASTED = 200  # lines


class EntryLine(Input):
    """A one-row input. A letter typed while it is empty is a command for the screen, not text.

    Enter arrives as ctrl+j when it was pressed before the terminal was in raw mode; both submit. A paste of
    several lines is taken as several Enters, so that a list of readings can be dropped in whole.

    On a lagging line many keys arrive at once, ahead of everything the screen does. So Enter empties the line
    there and then (unless it is a line of a form, which goes on at once to the next), and keys that come after
    the cursor has moved on are passed on to where it is now.
    """

    DEFAULT_CSS = """
    EntryLine { border: none; height: 1; padding: 0; background: ansi_default; color: ansi_default; }
    EntryLine:focus { border: none; background: ansi_default; }
    EntryLine > .input--cursor { text-style: reverse; background: ansi_default; color: ansi_default; }
    EntryLine > .input--selection { text-style: underline; background: ansi_default; color: ansi_default; }
    EntryLine > .input--placeholder { text-style: dim; background: ansi_default; color: ansi_default; }
    """

    class TooMuch(Message):
        """Far more lines were pasted than anybody reads off a caliper; none of them was taken."""

        def __init__(self, count: int) -> None:
            self.count = count
            super().__init__()

    class Pressed(Message):
        """A single key that is a command was pressed on the empty line."""

        def __init__(self, key: str) -> None:
            self.key = key
            super().__init__()

    def __init__(
        self,
        value: str = "",
        *,
        commands: str = "",
        id: str | None = None,  # noqa: A002 -- Textual's name
        is_suggestion: bool = False,
    ) -> None:
        super().__init__(value, select_on_focus=False, id=id)
        self._is_suggestion = is_suggestion
        self._was_refused = False
        self.commands = commands
        self.cursor_blink = False
        self.entered: Callable[[], None] | None = None

    def render_line(self, y: int) -> Strip:
        """Show the text; what would steer the terminal, from a file, stands as a question mark."""
        strip = super().render_line(y)
        if all(segment.text.isprintable() for segment in strip):
            return strip
        shown = (Segment(_printable(segment.text, "?"), segment.style) for segment in strip)
        return Strip(shown).adjust_cell_length(self.size.width)

    async def _on_key(self, event: events.Key) -> None:
        if passed_on(self, event):
            return
        if event.key in {"enter", "ctrl+j"}:
            event.stop()
            event.prevent_default()
            self._enter()
            return
        if self._is_suggestion:
            self._is_suggestion = False
            if event.is_printable:
                self.value = ""
        if self._was_refused:
            self._was_refused = False
            if event.character and event.character.isdecimal():
                self.value = ""
        if not self.value and event.character and event.character in self.commands:
            event.stop()
            event.prevent_default()
            self.post_message(self.Pressed(event.character))
            return
        await super()._on_key(event)

    def give_back(self, text: str) -> None:
        """Put back what was refused, unless something is being typed by now.

        A digit begins another number, as a caliper that types does; anything else, such as a unit, goes on with it.
        """
        if self.value:
            return
        self.value = text
        self.cursor_position = len(text)
        self._was_refused = True

    def hold(self, text: str) -> None:
        """Put back what the disk refused, in front of what is being typed; Enter sends each piece once more."""
        held, gap, typing = self.value.rpartition(GAP)
        self.value = f"{held}{gap}{text}{GAP}{typing}"
        self.cursor_position = len(self.value)

    @property
    def is_holding(self) -> bool:
        """Tell whether something that could not be kept stands in the line."""
        return GAP in self.value

    def _enter(self) -> None:
        if self.entered is not None:
            self.entered()
            return
        pieces = [text for text in self.value.split(GAP) if text.strip()] if self.is_holding else [self.value]
        self.value = ""
        for text in pieces or [""]:
            self.post_message(self.Submitted(self, text))

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        if self._is_suggestion or self._was_refused:
            self.value, self._is_suggestion, self._was_refused = "", False, False
        rows = [_printable(row, "", kept="\r\n") for row in event.text.replace("\t", " ").splitlines(keepends=True)]
        if self.entered is not None:
            self.insert_text_at_cursor(rows[0].strip() if rows else "")
            return
        if len(rows) > _MOST_PASTED:
            self.post_message(self.TooMuch(len(rows)))
            return
        for row in rows:
            if row == row.rstrip("\r\n"):
                self.insert_text_at_cursor(row.strip())
            elif self.value + row.strip():
                text, self.value = self.value + row.strip(), ""
                self.post_message(self.Submitted(self, text))


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
