"""A number opened up: what its doubt is made of and the readings behind it; left and right show the page's others."""

from collections.abc import Callable, Iterable, Mapping, Sequence

from textual.widget import Widget

from fieldlog.measure.suspect import Mark
from fieldlog.pages.budget import NumberTarget, number_lines, other_lines
from fieldlog.pages.lines import wrapped
from fieldlog.pages.readings import said_under
from fieldlog.quantity.page_number import Number
from fieldlog.records.entries import AnyEntry, BoreReading
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.shapes import marks_by_key


class BudgetScreen(LogScreen):
    """Shows one of several numbers; `numbers` is asked again after a reading was struck or kept.

    `machine_id` is whose entries are behind them, empty for numbers that rest on none.
    """

    KEYS = commands.BUDGET

    def __init__(self, machine_id: str, about: str, numbers: Callable[[], Sequence[Number]]) -> None:
        super().__init__()
        self.about = about
        self.machine_id = machine_id
        self.numbers = numbers
        self.index = 0
        self._found: Sequence[Number] | None = None

    @property
    def found(self) -> Sequence[Number]:
        """The numbers as last worked out."""
        if self._found is None:
            self._found = self.numbers()
        return self._found

    def body(self) -> Iterable[Widget]:
        """The page, scrolled with the arrows; its readings can be opened."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """What the number is of; which of several it is."""
        count = len(self.found)
        which = f"{min(self.index, count - 1) + 1} of {count}" if count > 1 else ""
        return f"Behind the number: {self.about}", which

    def show_all(self) -> None:
        """Work the numbers out again and draw."""
        self._found = None
        super().show_all()

    def redraw(self) -> None:
        """The number, its budget, its readings, and what else there is to see."""
        numbers, width = self.found, self.text_width - 2
        if not numbers:
            self.query_one(LineList).show(wrapped("Nothing is left to reckon with.", width, "", "dim"))
            return
        self.index = min(self.index, len(numbers) - 1)
        number, units = numbers[self.index], self.session.units
        lines = number_lines(number, self._entries(), self._said(number), units, width)
        self.query_one(LineList).show((*lines, *other_lines(numbers, self.index, units, width)))

    def _entries(self) -> Mapping[str, AnyEntry]:
        if not self.machine_id:
            return {}
        return {entry.key: entry for entry in self.session.log(self.machine_id).entries}

    def _said(self, number: Number) -> Mapping[str, str]:
        if not self.machine_id:
            return {}
        keeps = self.session.index(self.machine_id).keeps
        return said_under(self._marks(number), keeps, self.session.units)

    def _marks(self, number: Number) -> Mapping[str, Mark]:
        log, keys = self.session.log(self.machine_id), set(number.keys)
        behind = {entry.hole for entry in log.entries if isinstance(entry, BoreReading) and entry.key in keys}
        holes = [hole for hole in log.machine.holes if hole.id in behind]
        return marks_by_key(holes, self.session.index(self.machine_id), keys)

    def action_turn(self, step: int) -> None:
        """Show the next or the previous number, going round at the ends."""
        count = len(self.found)
        if count > 1:
            self._turn_to((self.index + step) % count)

    def _turn_to(self, index: int) -> None:
        self.index = index
        self.query_one(LineList).to_top()
        super().show_all()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Strike or keep a reading, or show the number that a step is."""
        from fieldlog.tui.actions.evidence import strike_or_keep

        if isinstance(event.target, NumberTarget):
            words = [number.word for number in self.found]
            if event.target.word in words:
                self._turn_to(words.index(event.target.word))
            return
        entry = self._entries().get(str(event.target))
        if entry is None:
            return
        is_marked = entry.key in self._marks(self.found[self.index])
        strike_or_keep(self.desk, self.machine_id, entry, is_marked=is_marked, done=self._done)

    def _done(self, error: str) -> None:
        self.show_all()
        self.say(error)
