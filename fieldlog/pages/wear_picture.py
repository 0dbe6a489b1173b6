"""Wear over hours or days as a picture: readings, where the wear lies, limits, when they are reached, today, cuts.

Both axes carry round figures. A reading takes a whole cell and is put down last, so that nothing hides it; words keep
clear of it. Below 50 columns the measuring days are listed instead. One sentence or two say it without the picture.
"""

import datetime
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from fieldlog.pages.canvas import Grid, in_twin
from fieldlog.pages.lines import Line, count_text, line, packed, wrapped
from fieldlog.quantity.rounding import half_up, mm_text, size_text
from fieldlog.quantity.text import day_text, month_text
from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.wear.trends.hours import UNITS, rounded
from fieldlog.wear.trends.records import Mark, Trend, TrendPoint

LEAST_COLUMNS = 50
_GUTTER = 12
_AXIS_ROWS = 3
_AHEAD = 1.0  # at most so many times the past is drawn of the future
_ROOM = 0.12  # over the highest of limit and readings
_LEAST_ROWS = 3  # between two figures of the upright axis
_APART = 3  # blanks between two figures of the level axis
_FAR_YEARS = 20
_BAND, _LINE, _LIMIT, _WATCH, _TODAY, _CUT = "░", "▒", "━", "┄", "┊", "╎"
_POINT, _LEFT_OUT, _DOUBT = "●", "×", "│"


@dataclass(frozen=True, slots=True)
class _Paper:
    """A grid with hours or days along it and wear up it."""

    grid: Grid
    left: float
    right: float
    low_mm: float
    high_mm: float

    def column(self, at: float) -> int:
        return round((at - self.left) / (self.right - self.left) * (self.grid.columns - 1))

    def row(self, mm: float) -> int:
        return round((1 - (mm - self.low_mm) / (self.high_mm - self.low_mm)) * (self.grid.rows - 1))

    def has(self, mm: float) -> bool:
        return self.low_mm <= mm <= self.high_mm

    def at(self, column: int) -> float:
        return self.left + (self.right - self.left) * column / (self.grid.columns - 1)


def picture_of(trend: Trend, units: Units, columns: int, rows: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Draw a trend in `columns` x `rows` with its legend below; the days as a list where it does not fit."""
    placed = [point for point in trend.points if point.x is not None]
    if columns < LEAST_COLUMNS or rows < _AXIS_ROWS + 4 or not placed:
        return tuple(_listed(trend, units, columns))
    paper = _paper(trend, placed, Grid(columns - _GUTTER, rows - _AXIS_ROWS))
    _wear(paper, trend)
    _uprights(paper, trend)
    _limits(paper, trend)
    _readings(paper, placed)
    left_over = _words(paper, trend)
    labels = _labels(paper, trend, units)
    body = [
        line(labels.get(row, "").rjust(_GUTTER - 1), "┤" if row in labels else "│", *drawn.spans)
        for row, drawn in enumerate(paper.grid.lines())
    ]
    drawn = (*body, *_foot(paper, trend), *_legend(trend, columns, left_over))
    return in_twin(drawn) if ascii_only else drawn


def _paper(trend: Trend, placed: list[TrendPoint], grid: Grid) -> _Paper:
    now = trend.usage.today
    marks = [mark.x for mark in trend.marks if mark.x is not None]
    left = min([point.x for point in placed if point.x is not None] + marks)
    past = max(now - left, 1.0)
    ahead = [now + 0.1 * past]
    ahead += [trend.usage.season_end] if trend.usage.season_end is not None else []
    ahead += [trend.renew.latest] if trend.renew is not None else []
    right = min(max(ahead), now + _AHEAD * past)
    pad = 0.02 * (right - left)
    ends = [point.value.value + sign * point.value.plus_minus for point in placed for sign in (-1, 1)]
    highs = ends + ([trend.limit.renew_mm] if trend.limit is not None else [])
    low = min(0.0, *ends) if trend.of != "bore" else min(*ends, *highs)
    room = _ROOM * (max(highs) - low) or 0.1
    low -= room if trend.of == "bore" else 0.0
    return _Paper(grid, left - pad, right + pad, low, max(highs) + room)


def _wear(paper: _Paper, trend: Trend) -> None:
    """Shade where the wear lies: the band lightly, its line darker; before a proved change of rate the old line."""
    straight, xs = trend.line, [point.x for point in trend.fitted if point.x is not None]
    if straight is None or not xs:
        return
    change = trend.rate_change if trend.rate_change is not None and trend.rate_change.is_proved else None
    knot = change.mark.x if change is not None and change.mark.x is not None else min(xs)
    for column in range(paper.column(min(xs)), paper.grid.columns):
        at = paper.at(column)
        if change is not None and at < knot:
            _shade(paper, column, straight.value_at(knot) + change.before * (at - knot), 0.0)
            continue
        _shade(paper, column, straight.value_at(at), straight.t_at(at) * straight.u_at(at))
        if trend.curve is not None and paper.has(trend.curve.value_at(at)):
            paper.grid.put(column, paper.row(trend.curve.value_at(at)), _LINE)


def _shade(paper: _Paper, column: int, mm: float, half_mm: float) -> None:
    low, high = max(mm - half_mm, paper.low_mm), min(mm + half_mm, paper.high_mm)
    if low <= high:
        for row in range(paper.row(high), paper.row(low) + 1):
            paper.grid.put(column, row, _BAND, "dim")
    if paper.has(mm):
        paper.grid.put(column, paper.row(mm), _LINE)


def _uprights(paper: _Paper, trend: Trend) -> None:
    """Draw today, and each cut with its number on top; two things done on one day stand one under the other."""
    here = paper.column(trend.usage.today)
    for row in range(paper.grid.rows):
        paper.grid.put(here, row, _TODAY)
    taken: set[tuple[int, int]] = set()
    for sign, mark in _signed(trend):
        if mark.x is None or not mark.is_cut or not paper.left <= mark.x <= paper.right:
            continue
        column, top = paper.column(mark.x), 0
        while (column, top) in taken:
            top += 1
        taken.add((column, top))
        for row in range(top + 1, paper.grid.rows):
            paper.grid.put(column, row, _CUT)
        paper.grid.put(column, top, sign, "strong")


def _signed(trend: Trend) -> list[tuple[str, Mark]]:
    cuts = [mark for mark in trend.marks if mark.is_cut]
    others = [mark for mark in trend.marks if not mark.is_cut]
    return [*zip("123456789", cuts, strict=False), *zip("abcdefghij", others, strict=False)]


def _limits(paper: _Paper, trend: Trend) -> None:
    """Draw the limit as a heavy line, the watch line as strokes with gaps that let the wear be seen."""
    if trend.limit is None:
        return
    watch_mm = trend.limit.watch_mm
    for column in range(paper.grid.columns):
        if watch_mm is not None and paper.has(watch_mm) and column % 2 == 0:
            row = paper.row(watch_mm)
            if paper.grid.char(column, row) == " ":
                paper.grid.put(column, row, _WATCH)
        paper.grid.put(column, paper.row(trend.limit.renew_mm), _LIMIT, "strong")


def _readings(paper: _Paper, placed: list[TrendPoint]) -> None:
    """Put down the doubt of every reading, then every reading: nothing is drawn over them."""
    for point in placed:
        assert point.x is not None
        value, half = point.value.value, point.value.plus_minus
        top, foot = (paper.row(min(max(mm, paper.low_mm), paper.high_mm)) for mm in (value + half, value - half))
        for row in range(top, foot + 1):
            if paper.grid.char(paper.column(point.x), row) != _LIMIT:
                paper.grid.put(paper.column(point.x), row, _DOUBT)
    for point in placed:
        assert point.x is not None
        sign = _LEFT_OUT if point.left_out else _POINT
        paper.grid.put(paper.column(point.x), paper.row(point.value.value), sign, "strong")


def _words(paper: _Paper, trend: Trend) -> str:
    """Write at the limit when it is reached, as near to the place as there is room; return what found none."""
    said = crossing_words(trend)
    if not said or trend.limit is None or trend.renew is None:
        return ""
    grid, row = paper.grid, paper.row(trend.limit.renew_mm)
    place = min(max(trend.renew.at, paper.left), paper.right)
    start = min(max(paper.column(place) - len(said) // 2, 0), grid.columns - len(said))
    columns = sorted(range(grid.columns - len(said) + 1), key=lambda column: abs(column - start))
    for at in (row - 1, row + 1, row - 2, row + 2):
        for column in columns:
            if grid.has_room(column, at, said, _BAND + _LINE + _TODAY):
                grid.write(column, at, said)
                return ""
    return said


def crossing_words(trend: Trend) -> str:
    """Return when the limit is reached, in months where they are known; empty without a forecast."""
    reached, today = trend.renew, trend.usage.today
    if reached is None or trend.limit is None:
        return ""
    first, last = _month_at(trend, reached.earliest), _month_at(trend, reached.latest)
    if reached.latest <= today:
        return f"over since {_span(first, last)}" if first and last else "over its limit by now"
    if reached.earliest <= today:
        return f"perhaps over already, by {last} at the latest" if last else "perhaps over already"
    if not first:
        return f"not within {_FAR_YEARS} years"
    left = f"in {rounded(reached.earliest - today)}"
    unit = UNITS[trend.axis]
    if not last:
        return f"{left} {unit} at the earliest, {first}"
    return f"{left} to {rounded(reached.latest - today)} {unit}, {_span(first, last)}"


def _span(first: str, last: str) -> str:
    return first if first == last else f"{first} - {last}"


def _month_at(trend: Trend, x: float) -> str:
    """Return the month of a place on the axis: between two measuring days by them, ahead by the usual work."""
    usage = trend.usage
    if not math.isfinite(x):
        return ""
    placed = sorted((point.x, point.day) for point in trend.points if point.x is not None)
    for (low, before), (high, after) in pairwise(placed):
        if low <= x <= high and high > low:
            return month_text(before + datetime.timedelta(days=round((after - before).days * (x - low) / (high - low))))
    day = usage.date_at(x)
    return month_text(day) if day is not None and abs(day.year - usage.as_of.year) <= _FAR_YEARS else ""


def _labels(paper: _Paper, trend: Trend, units: Units) -> dict[int, str]:
    """Return what stands left of which row: limit and watch line, and round figures where they leave room."""
    found: dict[int, str] = {}
    places = 2 if units == "mm" else 3
    if trend.limit is not None:
        watch_mm = trend.limit.watch_mm
        if watch_mm is not None and paper.has(watch_mm):
            found[paper.row(watch_mm)] = f"watch {mm_text(watch_mm, units, places).partition(' ')[0]}"
        found[paper.row(trend.limit.renew_mm)] = (
            f"limit {mm_text(trend.limit.renew_mm, units, places).partition(' ')[0]}"
        )
    per_unit = 1.0 if units == "mm" else float(MM_PER_INCH)
    figures = list(_figures(paper.low_mm / per_unit, paper.high_mm / per_unit, paper.grid.rows // _LEAST_ROWS))
    free = [(paper.row(value * per_unit), text) for value, text in reversed(figures)]
    free = [(row, text) for row, text in free if row not in found]
    found |= {row: f"{text} {units}" if number == 0 else text for number, (row, text) in enumerate(free)}
    return found


def _figures(low: float, high: float, most: int) -> Iterator[tuple[float, str]]:
    """Yield round figures between two ends, at most so many, with their texts of one number of decimals."""
    least = (high - low) / max(most, 1)
    step = next(s for power in range(-6, 9) for s in (10.0**power, 2 * 10.0**power, 5 * 10.0**power) if s >= least)
    places = max(0, -math.floor(math.log10(step) + 1e-9))
    for number in range(math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9) + 1):
        yield number * step, half_up(number * step, places)


def _foot(paper: _Paper, trend: Trend) -> Iterable[Line]:
    """Return the axis with its round figures and the letters of what was done, and today with its date under it."""
    grid = Grid(paper.grid.columns, _AXIS_ROWS)
    for column in range(grid.columns):
        grid.put(column, 0, "─")
    for at, text in _along(paper, trend):
        grid.put(paper.column(at), 0, "┬")
        start = min(max(paper.column(at) - len(text) // 2, 0), grid.columns - len(text))
        if grid.has_room(start, 1, text):
            grid.write(start, 1, text)
    for sign, mark in _signed(trend):
        if mark.x is not None and not mark.is_cut:
            column = paper.column(mark.x)
            while grid.char(column, 0).isalpha():  # two things done on one day stand beside each other
                column += 1
            grid.put(column, 0, sign, "strong")
    here = paper.column(trend.usage.today)
    grid.put(here, 0, "┴")
    _dates(grid, paper, trend, here)
    corner = (" " * (_GUTTER - 1) + "└", " " * _GUTTER, " " * _GUTTER)
    return [line(left, *drawn.spans) for left, drawn in zip(corner, grid.lines(), strict=True)]


def _dates(grid: Grid, paper: _Paper, trend: Trend, here: int) -> None:
    usage = trend.usage
    today = f"today, {month_text(usage.date_at(usage.today) or usage.as_of)}"
    grid.write(min(max(here - len(today) // 2, 0), grid.columns - len(today)), 2, today, "strong")
    if trend.axis == "hours":
        first = next(point for point in trend.points if point.x is not None)
        ends = ((paper.column(first.x or 0.0), month_text(first.day)), (grid.columns, _month_at(trend, paper.right)))
        for column, text in ends:
            start = min(column, grid.columns - len(text))
            if text and grid.has_room(start, 2, text):
                grid.write(start, 2, text)


def _along(paper: _Paper, trend: Trend) -> Iterable[tuple[float, str]]:
    """Return round hours, or the beginnings of years or months, with what stands under them."""
    if trend.axis == "hours":
        most = paper.grid.columns // (len(f"{paper.right:.0f} h") + _APART)
        figures = list(_figures(paper.left, paper.right, most))
        return [
            (value, f"{text} h" if number == len(figures) - 1 else text) for number, (value, text) in enumerate(figures)
        ]
    most = paper.grid.columns // (len("Jan 2026") + _APART)
    usage = trend.usage
    ends = [point.day for point in trend.points if point.x is not None] + [usage.as_of]
    last = usage.date_at(paper.right) or max(ends)
    months = (last.year - min(ends).year) * 12 + last.month - min(ends).month + 1
    step = next((step for step in (1, 2, 3, 6, 12, 24, 60, 120, 240) if months / step <= most), 600)
    begin = min(ends).year * 12 // step * step
    days = [datetime.date(n // 12, n % 12 + 1, 1) for n in range(begin, last.year * 12 + last.month, step)]
    placed = [(usage.place_of(day), str(day.year) if step >= 12 else month_text(day)) for day in days]
    return [(at, text) for at, text in placed if paper.left <= at <= paper.right]


def _legend(trend: Trend, width: int, left_over: str) -> Iterable[Line]:
    said = [f"limit: {left_over}"] if left_over else []
    said.append(f"{_POINT} measured, {_DOUBT} its doubt")
    if any(point.left_out and point.x is not None for point in trend.points):
        said.append(f"{_LEFT_OUT} measured, not in the line")
    if trend.line is not None:
        said.append(f"{_BAND} where it wears, {_LINE} likeliest")
    if trend.curve is not None:
        said.append("curve: it wears faster and faster")
    if trend.axis == "days in use" and trend.usage.in_use is not None:
        said.append(f"days in use: {trend.usage.in_use.typed}")
    said += [f"{sign} {mark.deed} {day_text(mark.day)}" for sign, mark in _signed(trend)]
    missing = sum(1 for point in trend.points if point.x is None)
    said += [f"{missing} not drawn, without hours"] if missing else []
    return packed(said, width, "", "dim")


def wear_sentences(trend: Trend, units: Units) -> tuple[str, ...]:
    """Return what the picture shows, a fact a sentence, for who does not see it."""
    if not trend.points:
        return ("Not measured yet.",)
    last, first = trend.points[-1], trend.points[0]
    days = count_text(len({point.day for point in trend.points}), "day")
    found = [f"Last measured {size_text(last.value, units)}, {day_text(last.day)}."]
    if last is not first:
        found.append(f"Measured on {days} since {day_text(first.day)}, when it was {size_text(first.value, units)}.")
    if trend.limit is not None:
        watch = f", watch line {mm_text(trend.limit.watch_mm, units)}" if trend.limit.watch_mm is not None else ""
        found.append(f"Limit {mm_text(trend.limit.renew_mm, units)}{watch}.")
    found += [_crossing_sentence(said)] if (said := crossing_words(trend)) else []
    found += [f"{mark.deed[:1].upper()}{mark.deed[1:]} {day_text(mark.day)}." for mark in trend.marks]
    return tuple(found)


def _crossing_sentence(said: str) -> str:
    if said.startswith("not "):
        return f"The limit is {said}."
    return f"Reaches its limit {said}." if said.startswith("in ") else f"{said[:1].upper()}{said[1:]}."


def _listed(trend: Trend, units: Units, width: int) -> Iterable[Line]:
    """List the measuring days with the cuts between them, the oldest first."""
    marks = sorted((mark for mark in trend.marks), key=lambda mark: mark.day)
    rows: list[tuple[datetime.date, int, str]] = [(mark.day, 1, f"-- {mark.deed} --") for mark in marks]
    for point in trend.points:
        at = f"{point.x:.0f} h " if point.x is not None and trend.axis == "hours" else ""
        left = " (not in the line)" if point.left_out else ""
        rows.append((point.day, 0, f"{at}{size_text(point.value, units)}{left}"))
    for day, _, text in sorted(rows, key=lambda row: row[:2]):
        yield from wrapped(f"{day_text(day)}: {text}", max(width, 20))
