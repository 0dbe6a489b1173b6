"""A form: lines to fill in, one after another. It returns what was typed or nothing; its caller saves."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from rich.text import Text
from textual import events
from textual.containers import Horizontal, VerticalScroll
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.errors import QuantityError
from fieldlog.pages.lines import wrapped
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.command import mark_style
from fieldlog.tui.widgets.entry_line import ChoiceLine, EntryLine
from fieldlog.words.speak import error_text

Check = Callable[[str], None]
_TOO_LONG_TO_LIST = 12  # columns that breaking into lines may cost


@dataclass(frozen=True, slots=True)
class Field:
    """One line of a form. `check` raises a QuantityError whose message is shown; choices make it a choice.

    A suggestion gives way to the first letter typed; what stands in the files does not.
    """

    key: str
    label: str
    value: str = ""
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    required: bool = False
    check: Check | None = None
    is_suggestion: bool = False


def words(*choices: str) -> tuple[tuple[str, str], ...]:
    """Return choices whose key is the word itself."""
    return tuple((choice, choice) for choice in choices)


class FormScreen(LogScreen):
    """Shows fields; Enter goes on and keeps the form after the last one; dismisses with a mapping or None."""

    KEYS = commands.FORM
    AUTO_FOCUS = ""

    def __init__(
        self,
        title: str,
        fields: tuple[Field, ...],
        intro: str = "",
        insist: Callable[[Mapping[str, str]], str] | None = None,
    ) -> None:
        super().__init__()
        self.form_title = title
        self.fields = fields
        self.intro = intro
        self._insist = insist
        self._warned = ""
        self._complained_at = -1

    def title_parts(self) -> tuple[str, str]:
        """The form's title; where the cursor is, when there are more lines than the window shows."""
        hidden = len(self.fields) - self.query_one("#fields").size.height
        return self.form_title, f"line {self._here() + 1} of {len(self.fields)}" if hidden > 0 else ""

    def body(self) -> Iterable[Widget]:
        """Intro and one row a field."""
        before = self._typed_in_vain()
        yield Static(id="intro", markup=False)
        with VerticalScroll(id="fields", can_focus=False):
            for field in self.fields:
                with Horizontal(classes="field"):
                    yield Static(id=f"label-{field.key}", classes="label", markup=False)
                    value = before.get(field.key, field.value)
                    if field.choices:
                        yield ChoiceLine(field.choices, value, id=f"value-{field.key}")
                    else:
                        is_suggestion = field.is_suggestion and field.key not in before
                        yield EntryLine(value, id=f"value-{field.key}", is_suggestion=is_suggestion)

    def _typed_in_vain(self) -> Mapping[str, str]:
        """Take what was typed into this form before, when it could not be written then."""
        title, values = self.desk.typed_in_vain
        if title != self.form_title:
            return {}
        self.desk.typed_in_vain = ("", {})
        return values

    def on_mount(self) -> None:
        """Put the cursor on the first line."""
        for number in range(len(self.fields)):
            self._row(number).entered = self._next
        self.set_focus(self._row(0))

    def redraw(self) -> None:
        """Intro and labels."""
        self.show_lines("#intro", wrapped(self.intro, self.text_width, " ", "dim") if self.intro else ())
        self.query_one("#intro", Static).display = bool(self.intro)
        for number, _ in enumerate(self.fields):
            self._mark(number, is_here=number == self._here())

    def _row(self, number: int) -> EntryLine | ChoiceLine:
        widget = self.query_one(f"#value-{self.fields[number].key}")
        assert isinstance(widget, EntryLine | ChoiceLine)
        return widget

    def _here(self) -> int:
        focused = self.focused
        name = (focused.id or "").removeprefix("value-") if focused is not None else ""
        return next((number for number, field in enumerate(self.fields) if field.key == name), 0)

    def _mark(self, number: int, *, is_here: bool) -> None:
        field = self.fields[number]
        text = f"{'>' if is_here else ' '} {field.label}{' *' if field.required else ''}"
        style = mark_style("head" if is_here else "dim")
        self.query_one(f"#label-{field.key}", Static).update(Text(text, style=style))

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Mark the line that has the cursor and show its hint."""
        here = self._here()
        self._mark(here, is_here=True)
        if here != self._complained_at:
            self.say(_hint_of(self.fields[here], self.text_width), "dim")
        self._warned, self._complained_at = "", -1
        self.call_after_refresh(self._show_place)

    def _show_place(self) -> None:
        """Say how far down the form the cursor is, where not all of it shows."""
        if self.is_attached and self.title_parts()[1]:
            self.show_title()

    def on_descendant_blur(self, event: events.DescendantBlur) -> None:
        """Take the mark off the line that was left."""
        name = (event.widget.id or "").removeprefix("value-")
        number = next((i for i, field in enumerate(self.fields) if field.key == name), None)
        if number is not None:
            self._mark(number, is_here=False)

    def on_key(self, event: events.Key) -> None:
        """Up and down go from line to line."""
        step = {"up": -1, "down": 1}.get(event.key)
        if step is not None:
            event.stop()
            self._go(self._here() + step)

    def _next(self) -> None:
        here = self._here()
        wrong = self._wrong(here)
        if wrong:
            self._complain(here, wrong)
        elif here + 1 < len(self.fields):
            self._go(here + 1)
        else:
            self.action_keep()

    def _go(self, number: int) -> None:
        if 0 <= number < len(self.fields):
            self.set_focus(self._row(number))

    def _wrong(self, number: int) -> str:
        field, value = self.fields[number], self._row(number).value.strip()
        if not value:
            return f"{field.label}: needed. {field.hint}" if field.required else ""
        try:
            if field.check is not None:
                field.check(value)
        except QuantityError as error:
            return error_text(error)
        return ""

    def _complain(self, number: int, sentence: str) -> None:
        self._complained_at = number if number != self._here() else -1
        self.set_focus(self._row(number))
        self.say(sentence)

    def values(self) -> dict[str, str]:
        """What stands in the form now."""
        return {field.key: self._row(number).value.strip() for number, field in enumerate(self.fields)}

    def action_keep(self) -> None:
        """Return what was typed; a remark of `insist` is shown once, and keeping again insists."""
        for number in range(len(self.fields)):
            wrong = self._wrong(number)
            if wrong:
                self._complain(number, wrong)
                return
        remark = self._insist(self.values()) if self._insist is not None else ""
        if remark and remark != self._warned:
            self.say(f"{remark} Enter once more keeps it as it is.")
            self._warned = remark
            return
        self.desk.last_form = self.form_title, self.values()
        self.dismiss(self.values())


def _hint_of(field: Field, width: int) -> str:
    """Return what a field says below the form: its own hint, else the words it offers where they fit on two lines."""
    if field.hint or len(field.choices) < 2:
        return field.hint
    offered = f"Offered: {', '.join(word for _, word in field.choices)}."
    return offered if len(offered) <= 2 * width - _TOO_LONG_TO_LIST else "Left and right, or the first letter."
