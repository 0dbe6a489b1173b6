"""A list of lines with one chosen; moving the choice repaints two lines and nothing else.

Lines that change a little at a time: only the cells that differ are sent.
"""

from typing import Protocol, runtime_checkable

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from fieldlog.pages.lines import Line, cells
from fieldlog.tui.command import mark_style, shown

_MARKER = "> "
_NO_MARKER = "  "
_CHOSEN = Style(bold=True)


class Lines(Protocol):
    """Lines by number: a tuple of them, or a page that makes each when it is seen."""

    def __len__(self) -> int:
        """How many."""

    def __getitem__(self, index: int, /) -> Line:
        """Return one."""


@runtime_checkable
class LaterLines(Lines, Protocol):
    """Lines that are made when they are seen, and that know where a target stands without making them all."""

    def index_of(self, target: object) -> int | None:
        """Return which line opens a target, None when none does."""


class LineList(Widget, can_focus=True):
    """Lines, some of which can be chosen; the chosen one carries a `>` and is bold, needing no colour."""

    DEFAULT_CSS = "LineList { height: 1fr; }"
    BINDINGS = [  # noqa: RUF012 -- Textual reads this class attribute
        Binding("up", "move(-1)", show=False),
        Binding("down", "move(1)", show=False),
        Binding("pageup", "page(-1)", show=False),
        Binding("pagedown", "page(1)", show=False),
        Binding("home", "edge(-1)", show=False),
        Binding("end", "edge(1)", show=False),
        Binding("enter,ctrl+j", "choose", show=False),
    ]

    class Chosen(Message):
        """Enter was pressed on a line."""

        def __init__(self, target: object) -> None:
            self.target = target
            super().__init__()

    class Moved(Message):
        """Another line became the chosen one."""

        def __init__(self, target: object) -> None:
            self.target = target
            super().__init__()

    def __init__(self, lines: Lines = (), *, id: str | None = None) -> None:  # noqa: A002 -- Textual's name
        super().__init__(id=id)
        self.lines = lines
        self.chosen = self._nearest(0, 1)
        self.top = 0
        self._follows = False

    @property
    def target(self) -> object:
        """The target of the chosen line, None when nothing can be chosen."""
        return self.lines[self.chosen].target if 0 <= self.chosen < len(self.lines) else None

    def show(self, lines: Lines, target: object = None) -> None:
        """Replace the lines; the choice stays on `target`, or on what was chosen, or near it.

        As long as nobody chose anything the first line is the chosen one, so that what comes in above it counts.
        """
        wanted = target if target is not None or not self._follows else self.target
        self.lines = lines
        found = _index_of(wanted, lines) if wanted is not None else None
        near = min(self.chosen, len(lines) - 1) if self._follows else 0
        self.chosen = self._nearest(near, 1) if found is None else found
        self._follows = self._follows or target is not None
        if self._follows:
            self._keep_in_view()
        self.refresh()

    def to_top(self) -> None:
        """Go back to the first line, for a page that is another one now."""
        self.chosen, self.top, self._follows = 0, 0, False

    def render_line(self, y: int) -> Strip:
        """Return one visible line; nothing else of the list is touched."""
        index = self.top + y
        if index >= len(self.lines):
            return Strip.blank(self.size.width)
        row = self.lines[index]
        is_chosen = index == self.chosen and row.target is not None
        style = _CHOSEN if is_chosen else Style()
        segments = [Segment(_MARKER if is_chosen else _NO_MARKER, style)]
        segments += [Segment(shown(self, span.text), mark_style(span.mark) + style) for span in row.spans]
        more = self._more(y)
        if not more:
            return Strip(segments).adjust_cell_length(self.size.width)
        room = max(self.size.width - len(more), 0)
        return Strip([*Strip(segments).adjust_cell_length(room), Segment(more, mark_style("dim"))])

    def _more(self, y: int) -> str:
        """Say at the edge of the view that the list goes on."""
        if y == 0 and self.top > 0:
            return " ^ more"
        if y == self.size.height - 1 and self.top + self.size.height < len(self.lines):
            return " v more"
        return ""

    def on_resize(self, event: events.Resize) -> None:
        """Keep the chosen line on the screen when the window changes, once it was there; leave no rows empty."""
        self._view_from(self.top)
        if self._follows:
            self._keep_in_view()

    def action_move(self, step: int) -> None:
        """Choose the next line that can be chosen; without one, or with it out of sight, move the view by a line."""
        out_of_sight = self.chosen >= self.top + self.size.height if step > 0 else self.chosen < self.top
        if out_of_sight and self.target is not None:
            self._view_from(self.top + step)
            return
        index = self._nearest(self.chosen + step, step)
        if index == self.chosen or not 0 <= index < len(self.lines) or self.lines[index].target is None:
            self._view_from(self.top + step)
            return
        self._choose(index)

    def action_page(self, step: int) -> None:
        """Move by a screenful."""
        goal = max(0, min(self.chosen + step * max(self.size.height - 1, 1), len(self.lines) - 1))
        self._view_from(self.top + step * max(self.size.height - 1, 1))
        found = self._nearest(goal, step)
        if self.top <= found < self.top + self.size.height:  # text that cannot be chosen is read page by page
            self._choose(found)

    def action_edge(self, step: int) -> None:
        """Go to the first or the last line."""
        self._view_from(0 if step < 0 else len(self.lines))
        self._choose(self._nearest(0 if step < 0 else len(self.lines) - 1, -step))

    def action_choose(self) -> None:
        """Open what the chosen line stands for."""
        if self.target is not None:
            self._follows = True
            self.post_message(self.Chosen(self.target))

    def on_click(self, event: events.Click) -> None:
        """Choose with the mouse where it is switched on; a second click opens."""
        index = self.top + event.y
        if 0 <= index < len(self.lines) and self.lines[index].target is not None:
            if index == self.chosen:
                self.action_choose()
            else:
                self._choose(index)

    def _choose(self, index: int) -> None:
        if not 0 <= index < len(self.lines) or self.lines[index].target is None or index == self.chosen:
            return
        before, self.chosen, self._follows = self.chosen, index, True
        if not self._keep_in_view():
            self._repaint(before)
            self._repaint(index)
        self.post_message(self.Moved(self.target))

    def _repaint(self, index: int) -> None:
        self.refresh(Region(0, index - self.top, self.size.width, 1))

    def _view_from(self, top: int) -> None:
        limit = max(len(self.lines) - self.size.height, 0)
        top = max(0, min(top, limit))
        if top != self.top:
            self.top = top
            self.refresh()

    def _keep_in_view(self) -> bool:
        """Scroll so that the chosen line shows, headings above it too; tell whether the view moved."""
        height, before = self.size.height, self.top
        if height <= 0:
            return False
        first = self.chosen
        while first > 0 and self.lines[first - 1].target is None and self.chosen - first < height - 2:
            first -= 1
        if first < self.top:
            self.top = max(first, 0)
        if self.chosen >= self.top + height:
            self.top = self.chosen - height + 1
        if self.top != before:
            self.refresh()
        return self.top != before

    def _nearest(self, index: int, step: int) -> int:
        """Return the first line from `index` on that can be chosen, looking back when there is none."""
        for direction in (step, -step):
            i = index
            while 0 <= i < len(self.lines):
                if self.lines[i].target is not None:
                    return i
                i += direction
        return max(0, min(index, len(self.lines) - 1))


def _is_same(one: object, other: object) -> bool:
    """Tell whether two targets are one: a joint and a link of the same id are equal as tuples, and are not one."""
    return type(one) is type(other) and one == other


def _index_of(target: object, lines: Lines) -> int | None:
    """Return which line opens a target, None when none does."""
    if isinstance(lines, LaterLines):
        return lines.index_of(target)
    return next((index for index in range(len(lines)) if _is_same(lines[index].target, target)), None)


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
