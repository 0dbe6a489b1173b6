"""Lines that change a little at a time: only the cells that differ are sent."""

from rich.segment import Segment
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from fieldlog.report.lines import Line, cells
from fieldlog.tui.marks import mark_style, shown

_Cell = tuple[str, str]


class Pane(Widget):
    """A still page of lines; showing another page repaints, in each row, from the first to the last change."""

    DEFAULT_CSS = "Pane { height: 1fr; background: ansi_default; color: ansi_default; }"

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 -- Textual's name
        super().__init__(id=id)
        self.lines: tuple[Line, ...] = ()

    class Resized(Message):
        """There is another size to fill."""

    def on_resize(self, event: events.Resize) -> None:
        """Tell the screen, which lays the page out anew."""
        self.post_message(self.Resized())

    def show(self, lines: tuple[Line, ...]) -> None:
        """Replace the page."""
        before, self.lines = self.lines, lines
        if not before:
            self.refresh()
            return
        changed = []
        for row in range(max(len(before), len(lines))):
            span = _difference(_row(before, row), _row(lines, row))
            if span is not None:
                changed.append(Region(span[0], row, span[1] - span[0], 1))
        if changed:
            self.refresh(*changed)

    def render_line(self, y: int) -> Strip:
        """Return one row."""
        if y >= len(self.lines):
            return Strip.blank(self.size.width)
        segments = [Segment(shown(self, span.text), mark_style(span.mark)) for span in self.lines[y].spans if span.text]
        return Strip(segments).adjust_cell_length(self.size.width)


def _row(lines: tuple[Line, ...], row: int) -> list[_Cell]:
    if row >= len(lines):
        return []
    return [(char, span.mark) for span in lines[row].spans for char in span.text for _ in range(max(cells(char), 1))]


def _difference(before: list[_Cell], after: list[_Cell]) -> tuple[int, int] | None:
    """Return the first and one past the last cell that differ, None when none does."""
    length = max(len(before), len(after))
    before, after = (row + [(" ", "")] * (length - len(row)) for row in (before, after))
    differ = [column for column in range(length) if before[column] != after[column]]
    return (differ[0], differ[-1] + 1) if differ else None
