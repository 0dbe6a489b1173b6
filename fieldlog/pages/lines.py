"""Lines of marked words, the one form in which findings are laid out for screens and for printed reports.

A line is a tuple of spans; a span is text and the name of a mark ("stop", "dim", ...). What a mark looks like
is decided by whoever shows it, so the same lines serve a colour screen, a plain pipe and a test.

Small wordings that screens and sheets share: verdict marks, dates, sizes.

A limit in a few cells: the bar of how much is used up, and a joint's clearance over the days of its span.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, NamedTuple

from fieldlog.quantity.text import harmless
from fieldlog.wear.verdicts import Verdict

if TYPE_CHECKING:
    from fieldlog.quantity.estimate import Estimate
    from fieldlog.quantity.units import Units
    from fieldlog.wear.states import JointState

_FIRST_OF_OTHER_WIDTH = "\u0300"  # the combining marks; what comes before them in Unicode takes one column
_IN_ASCII = str.maketrans(
    "±²°·×▁▂▃▄▅▆▇█▀░▒─━│┃┄┊╎╱╲▔╷┌┐└┘├┤┬┴┼┣┫●○◉◆►◄",
    "+2d.x_.-=+*X#^.:-=|!-!'/\\\"'++++||+++[]oo@x><",
)


class Span(NamedTuple):
    """A run of text and the name of its mark, empty for plain text."""

    text: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of output; `target` names what Enter on it opens, None when it cannot be chosen.

    Whatever text comes in, from a file or a keyboard, nothing in a line can steer a terminal.
    """

    spans: tuple[Span, ...] = ()
    target: object = None

    def __post_init__(self) -> None:
        """Show control and format characters instead of obeying them."""
        if not all(span.text.isprintable() for span in self.spans):
            object.__setattr__(self, "spans", tuple(Span(harmless(span.text), span.mark) for span in self.spans))

    @property
    def text(self) -> str:
        """The words without their marks."""
        return "".join(span.text for span in self.spans)


def line(*parts: str | Span, target: object = None) -> Line:
    """Put a line together from plain strings and spans."""
    return Line(tuple(part if isinstance(part, Span) else Span(part) for part in parts), target)


BLANK = Line()


def heading(text: str) -> Line:
    """Return a section heading."""
    return line(Span(text, "head"))


def cells(text: str) -> int:
    """Return how many columns a text takes: a Chinese or Japanese character takes two, a combining mark none."""
    if text.isascii() or max(text) < _FIRST_OF_OTHER_WIDTH:
        return len(text)
    from rich.cells import cell_len

    return cell_len(text)


def in_ascii(text: str) -> str:
    """Return a text for where there is plain ASCII only, as wide as before; of a foreign script nothing but `?`."""
    if text.isascii():
        return text
    text = text.replace("± ", "+-").translate(_IN_ASCII)
    return text if text.isascii() else "".join(char if char.isascii() else "?" * cells(char) for char in text)


def fit(text: str, width: int) -> str:
    """Return harmless `text` cut or padded to `width` columns; a cut ends in two dots."""
    shown = harmless(text)
    if cells(shown) > width:
        shown = f"{_head(shown, width - 2).rstrip()}.." if width > 2 else _head(shown, width)
    return shown + " " * (width - cells(shown))


def _head(text: str, width: int) -> str:
    """Return as much of the beginning of a text as takes at most `width` columns."""
    if text.isascii():
        return text[: max(width, 0)]
    used = 0
    for number, char in enumerate(text):
        used += cells(char)
        if used > width:
            return text[:number]
    return text


def short(text: str, width: int) -> str:
    """Return harmless `text` cut to at most `width` columns."""
    return fit(text, width).rstrip()


def cropped(lines: Sequence[Line], rows: int, width: int) -> tuple[Line, ...]:
    """Return at most `rows` lines; where more are left off, the last one that is kept ends in two dots."""
    if len(lines) <= rows or rows < 1:
        return tuple(lines[: max(rows, 0)])
    last = lines[rows - 1]
    mark = last.spans[-1].mark if last.spans else ""
    return (*lines[: rows - 1], line(Span(short(f"{last.text} ..", width), mark), target=last.target))


def in_rows(
    said: Sequence[Line], todo: Sequence[Line], rest: Sequence[Line], rows: int, width: int
) -> tuple[Line, ...]:
    """Return what is said, what is to be done and the rest in at most `rows` lines; what is to be done goes last."""
    if len(said) + len(todo) + len(rest) <= rows:
        return (*said, *todo, *rest)
    return cropped((*cropped(said, max(rows - len(todo), rows // 3, 1), width), *todo, *rest), rows, width)


def packed(items: Iterable[str], width: int, indent: str = "", mark: str = "") -> tuple[Line, ...]:
    """Put short texts beside each other, two blanks apart, none of them broken over two lines while it fits on one."""
    rows: list[str] = []
    for item in map(harmless, items):
        if rows and cells(indent) + cells(rows[-1]) + 2 + cells(item) <= width:
            rows[-1] += f"  {item}"
        else:
            rows.append(item)
    return tuple(part for row in rows for part in wrapped(row, width, indent, mark))


def wrapped(text: str, width: int, indent: str = "", mark: str = "") -> tuple[Line, ...]:
    """Break `text` into lines of at most `width` columns, each behind `indent`."""
    room = max(width - len(indent), 8)
    rows: list[str] = []
    row, used = "", 0
    for word in harmless(text).split(" "):
        if row and used + 1 + cells(word) > room:
            rows.append(row)
            row, used = word, cells(word)
        else:
            row, used = (f"{row} {word}", used + 1 + cells(word)) if row else (word, cells(word))
        while used > room:
            head = _head(row, room)
            rows.append(head)
            row = row[len(head) :]
            used = cells(row)
    return tuple(line(Span(indent + text_row, mark)) for text_row in [*rows, row] if text_row)


NOTHING, SOME, HALF, MOST, FULL = "▁▁", "▄▁", "▄▄", "▇▄", "▇▇"  # two cells that fill with what is the matter
UNKNOWN = "▒░"  # fuzzy, as doubt is in every picture: how much is the matter is not known
SIGNS = MappingProxyType(
    {
        Verdict.STOP: FULL,
        Verdict.RENEW: MOST,
        Verdict.PLAN: HALF,
        Verdict.REMEASURE: UNKNOWN,
        Verdict.SOUND: NOTHING,
    }
)
VERDICT_WIDTH = 14


def verdict_span(verdict: Verdict, width: int = VERDICT_WIDTH) -> Span:
    """Return sign and word of a verdict, so that it can be told without colour."""
    return Span(f"{SIGNS[verdict]} {verdict.value}".ljust(width), verdict.value)


def hours_text(hours: Decimal | None) -> str:
    """Return meter hours with their unit, empty when there are none."""
    return f"{hours.normalize():f} h" if hours is not None else ""


def size_or_dash(estimate: "Estimate | None", units: "Units") -> str:
    """Return a size with its uncertainty in the person's unit, a dash when it is not known."""
    from fieldlog.quantity.rounding import size_text

    return size_text(estimate, units) if estimate is not None else "-"


def both_or_dash(estimate: "Estimate | None", units: "Units") -> str:
    """Return a size in both units, a dash when it is not known."""
    from fieldlog.quantity.rounding import both_text

    return both_text(estimate, units) if estimate is not None else "-"


def count_text(count: int, one: str, many: str = "") -> str:
    """Return '1 reading' or '3 readings'."""
    return f"{count} {one if count == 1 else many or one + 's'}"


LEAST_CELLS = 8
SOLID, FUZZY, UPRIGHT, ARROW, TICK, EMPTY = "█", "▒", "│", "►", "╷", " "
_BEFORE = 10 / 13  # this share of the cells lies under the limit, the rest over it
_DUST = 1e-9  # of a cell: what floats lose, and no more


def limit_cell(cells: int) -> int:
    """Return in which cell of a bar the limit's upright stands; it depends on the width alone."""
    return int(max(cells, LEAST_CELLS) * _BEFORE)


def limit_bar(
    value: float, plus_minus: float, limit: float, new_most: float | None = None, cells: int = 13, mark: str = "picture"
) -> Line:
    """Return the bar, `cells` wide and never under 8; value, doubt, limit and the most of a new part in one unit.

    A cell is solid where all of it is under the value less its doubt, fuzzy where some of it is under the value and its
    doubt. What is no number, or no limit, is an empty bar with its upright. Plain ASCII is a matter of `in_ascii`.
    """
    cells = max(cells, LEAST_CELLS)
    at = limit_cell(cells)
    row = [EMPTY] * (cells - 1)  # the cells of the scale; the upright between two of them takes no room on it
    runs_off = False
    if _is_drawn(value, limit):
        step, doubt = limit / at, abs(plus_minus) if not math.isnan(plus_minus) else math.inf
        solid = _whole((value - doubt) / step, len(row))
        ends = (value + doubt) / step
        reached = math.ceil(max(0.0, min(ends - _DUST, float(len(row)))))
        row[:reached] = [SOLID] * min(solid, reached) + [FUZZY] * (reached - solid)
        runs_off = ends > len(row) + _DUST
        if new_most is not None and 0 < new_most <= limit:
            row[min(math.ceil(new_most / step - _DUST), at) - 1] = TICK
    if runs_off:
        row[-1] = ARROW
    text = "".join((*row[:at], UPRIGHT, *row[at:]))
    return line(Span(text, mark))


def _is_drawn(value: float, limit: float) -> bool:
    return math.isfinite(value) and math.isfinite(limit) and limit > 0


def _whole(cells: float, most: int) -> int:
    """Return how many whole cells lie under a place, of so many."""
    return math.floor(max(0.0, min(cells + _DUST, float(most))))


def share_words(value: float, plus_minus: float, limit: float) -> str:
    """Return what the bar shows, in words: 'a third used up', 'surely over', ...; empty without a limit."""
    if not _is_drawn(value, limit):
        return ""
    low, high = (value - plus_minus) / limit, (value + plus_minus) / limit
    if low > 1:
        return "surely over its limit"
    if high > 1:
        return "at its limit within its doubt"
    return (
        f"{max(round(100 * value / limit), 0)} % of its limit used up, surely under {max(math.ceil(100 * high), 1)} %"
    )


CELLS = 8
_BLOCKS = "▁▂▃▄▅▆▇█"
_ASCII = "_.-=+*X#"
_OVER = "!"


def spark_of(state: "JointState", cells: int = CELLS, *, ascii_only: bool = False) -> str:
    """Return one cell a measuring day, the last `cells` days; `!` is over the limit. Empty under two days.

    Eight heights are eighths of the limit; without a limit of the clearance, of the largest day.
    """
    from fieldlog.wear.trends.rates import main_trend

    trend = main_trend(state)
    days = [p for p in trend.points if p.part == trend.last_part and not p.left_out] if trend is not None else []
    if trend is None or len(days) < 2:
        return ""
    values = [point.value.value for point in days]
    full = trend.limit.renew_mm if trend.limit is not None else max(values)
    return "".join(_cell(value, full, _ASCII if ascii_only else _BLOCKS) for value in values[-cells:])


def _cell(value_mm: float, full_mm: float, signs: str) -> str:
    if full_mm <= 0:
        return signs[0]
    if value_mm > full_mm:
        return _OVER
    return signs[min(max(int(value_mm / full_mm * len(signs)), 0), len(signs) - 1)]
