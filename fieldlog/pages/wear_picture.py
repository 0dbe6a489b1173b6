"""Wear over hours or days as a picture: readings with error bars, line and band, limits, when they are reached, cuts.

Below 50 columns the measuring days are listed instead.
"""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.pages.canvas import Canvas
from fieldlog.pages.lines import Line, Span, line, packed, wrapped
from fieldlog.quantity.lengths import MM_PER_INCH, Units
from fieldlog.quantity.rounding import mm_text, places_for, size_text
from fieldlog.quantity.text import day_text
from fieldlog.wear.trends.records import Mark, Trend, TrendPoint
from fieldlog.words.trend import span_unit

LEAST_COLUMNS = 50
_GUTTER = 12
_AXIS_ROWS = 2
_AHEAD = 1.0  # at most so many times the past is drawn of the future
_ROOM_MM = 0.05
_BAND_EVERY = 4
_WATCH_EVERY = 4


@dataclass(frozen=True, slots=True)
class _Paper:
    """A canvas with hours or days along it and wear up it."""

    canvas: Canvas
    left: float
    right: float
    low_mm: float
    high_mm: float

    def x(self, at: float) -> float:
        return (at - self.left) / (self.right - self.left) * (self.canvas.columns * self.canvas.across - 1)

    def y(self, mm: float) -> float:
        share = (mm - self.low_mm) / (self.high_mm - self.low_mm)
        return (1 - share) * (self.canvas.rows * self.canvas.down - 1)

    def column(self, at: float) -> int:
        return round(self.x(at)) // self.canvas.across

    def row(self, mm: float) -> int:
        return round(self.y(mm)) // self.canvas.down

    def dot(self, at: float, mm: float) -> None:
        if self.low_mm <= mm <= self.high_mm:
            self.canvas.dot(self.x(at), self.y(mm))

    def letter(self, at: float, mm: float, letter: str) -> None:
        if self.left <= at <= self.right and self.low_mm <= mm <= self.high_mm:
            self.canvas.letter(self.x(at), self.y(mm), letter)

    @property
    def places(self) -> Iterable[float]:
        """Every place along the axis that has dots of its own."""
        dots = self.canvas.columns * self.canvas.across
        return (self.left + (self.right - self.left) * dot / (dots - 1) for dot in range(dots))


def picture_of(trend: Trend, units: Units, columns: int, rows: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Draw a trend in `columns` x `rows` with its legend below; the days as a list where it does not fit."""
    placed = [point for point in trend.points if point.x is not None]
    if columns < LEAST_COLUMNS or rows < _AXIS_ROWS + 4 or not placed:
        return tuple(_listed(trend, units, columns))
    paper = _paper(trend, placed, columns - _GUTTER, rows - _AXIS_ROWS, ascii_only=ascii_only)
    _limits(paper, trend)
    _cuts(paper, trend)
    _line(paper, trend)
    for point in placed:
        _point(paper, point)
    _reached(paper, trend)
    labels = _labels(paper, trend, units)
    body = [
        line(Span(labels.get(row, "").rjust(_GUTTER - 1) + " ", "dim"), Span(paper.canvas.row(row), "picture"))
        for row in range(paper.canvas.rows)
    ]
    return (*body, *_axis(paper, trend), *_legend(paper, trend, units, columns))


def _paper(trend: Trend, placed: list[TrendPoint], columns: int, rows: int, *, ascii_only: bool) -> _Paper:
    now = trend.usage.now
    marks = [mark.x for mark in trend.marks if mark.x is not None]
    left = min([point.x for point in placed if point.x is not None] + marks)
    past = max(now - left, 1.0)
    ahead = [now + 0.1 * past]
    ahead += [trend.usage.season_end] if trend.usage.season_end is not None else []
    ahead += [trend.renew.latest] if trend.renew is not None else []
    right = min(max(ahead), now + _AHEAD * past)
    pad = 0.02 * (right - left)
    ends = [point.value.value_mm + sign * point.value.expanded_mm for point in placed for sign in (-1, 1)]
    highs = ends + ([trend.limit.renew_mm] if trend.limit is not None else [])
    low = min(0.0, *ends) if trend.of != "bore" else min(*ends, *highs)
    high = max(highs) + max(_ROOM_MM, 0.12 * (max(highs) - low))
    return _Paper(Canvas(columns, rows, ascii_only=ascii_only), left - pad, right + pad, low, high)


def _limits(paper: _Paper, trend: Trend) -> None:
    if trend.limit is None:
        return
    for number, at in enumerate(paper.places):
        paper.dot(at, trend.limit.renew_mm)
        if trend.limit.watch_mm is not None and number % _WATCH_EVERY == 0:
            paper.dot(at, trend.limit.watch_mm)


def _cuts(paper: _Paper, trend: Trend) -> None:
    """A cut is a dotted line with its number on top; what is a mark only has a letter at the foot."""
    foot = paper.canvas.rows * paper.canvas.down - 1
    taken: set[tuple[int, int]] = set()
    for sign, mark in _signed(trend):
        if mark.x is None or not paper.left <= mark.x <= paper.right:
            continue
        if mark.is_cut:
            paper.canvas.bar((paper.x(mark.x), 0), (paper.x(mark.x), foot), 2)
        column, row = paper.column(mark.x), 0 if mark.is_cut else paper.canvas.rows - 1
        while (column, row) in taken:  # two things done on one day stand one under the other
            row += 1 if mark.is_cut else -1
        taken.add((column, row))
        paper.canvas.letter(paper.x(mark.x), row * paper.canvas.down, sign)


def _signed(trend: Trend) -> list[tuple[str, Mark]]:
    cuts = [mark for mark in trend.marks if mark.is_cut]
    others = [mark for mark in trend.marks if not mark.is_cut]
    return [*zip("123456789", cuts, strict=False), *zip("abcdefghij", others, strict=False)]


def _line(paper: _Paper, trend: Trend) -> None:
    """Draw the line, its band where the dots are fine enough, the rate before a change, the curve."""
    straight, xs = trend.line, [point.x for point in trend.fitted if point.x is not None]
    if straight is None or not xs:
        return
    change = trend.rate_change if trend.rate_change is not None and trend.rate_change.is_proved else None
    knot = change.mark.x if change is not None and change.mark.x is not None else min(xs)
    for number, at in enumerate(paper.places):
        if at < min(xs):
            continue
        if change is not None and at < knot:
            paper.dot(at, straight.value_at(knot) + change.before * (at - knot))
            continue
        paper.dot(at, straight.value_at(at))
        if trend.curve is not None:
            paper.dot(at, trend.curve.value_at(at))
        if not paper.canvas.ascii_only and number % _BAND_EVERY == 0:
            for sign in (-1, 1):
                paper.dot(at, straight.value_at(at) + sign * straight.t_at(at) * straight.u_at(at))


def _point(paper: _Paper, point: TrendPoint) -> None:
    assert point.x is not None
    value, half = point.value.value_mm, point.value.expanded_mm
    x = paper.x(point.x)
    paper.canvas.bar((x, paper.y(value - half)), (x, paper.y(value + half)))
    paper.letter(point.x, value, "x" if point.left_out else "o")


def _reached(paper: _Paper, trend: Trend) -> None:
    """Mark on the limit from when to when it is reached, and the likeliest."""
    if trend.renew is None or trend.limit is None:
        return
    first, last = max(trend.renew.earliest, paper.left), min(trend.renew.latest, paper.right)
    if first > paper.right:
        return
    y = paper.y(trend.limit.renew_mm)
    start, end = paper.column(first), paper.column(last)
    for column in range(start, end + 1):
        paper.canvas.letter(column * paper.canvas.across, y, "=")
    paper.letter(trend.renew.at, trend.limit.renew_mm, "+")
    paper.canvas.letter(start * paper.canvas.across, y, "[")
    paper.canvas.letter(end * paper.canvas.across, y, "]" if trend.renew.latest <= paper.right else ">")


def _labels(paper: _Paper, trend: Trend, units: Units) -> dict[int, str]:
    """Return what stands left of which row."""
    places = 2 if units == "mm" else 3

    def number(mm: float) -> str:
        return mm_text(mm, units, places).removesuffix(f" {units}")

    found = {0: f"{number(paper.high_mm)} {units}", paper.canvas.rows - 1: number(paper.low_mm)}
    if trend.limit is not None:
        if trend.limit.watch_mm is not None and trend.limit.watch_mm >= paper.low_mm:
            found[paper.row(trend.limit.watch_mm)] = f"watch {number(trend.limit.watch_mm)}"
        found[paper.row(trend.limit.renew_mm)] = f"renew {number(trend.limit.renew_mm)}"
    return found


def _axis(paper: _Paper, trend: Trend) -> tuple[Line, Line]:
    """Return the foot with ^ at now, and hours or dates at both ends and now."""
    width, now = paper.canvas.columns, trend.usage.now
    dash = "-" if paper.canvas.ascii_only else "─"
    here = min(max(paper.column(now), 0), width - 1)
    foot = "".join("^" if column == here else dash for column in range(width))
    first = next(point for point in trend.points if point.x is not None)
    left = _place_text(trend, first.x or 0.0, first.day)
    right = _place_text(trend, paper.right, trend.usage.date_at(paper.right))
    row = [" "] * width
    _write(row, left, 0)
    _write(row, right, width - len(right))
    middle = _place_text(trend, now, trend.usage.as_of)
    start = here - len(middle) // 2
    if len(left) < start and start + len(middle) < width - len(right):
        _write(row, middle, start)
    pad = " " * _GUTTER
    return line(Span(pad + foot, "dim")), line(Span(pad + "".join(row).rstrip(), "dim"))


def _write(row: list[str], text: str, start: int) -> None:
    row[max(start, 0) : max(start, 0) + len(text)] = list(text)


def _place_text(trend: Trend, x: float, day: datetime.date | None) -> str:
    month = day_text(day).partition(" ")[2] if day is not None else ""
    return month if trend.axis != "hours" else f"{x:.0f} h{' ' if month else ''}{month}"


def _legend(paper: _Paper, trend: Trend, units: Units, width: int) -> Iterable[Line]:
    said = ["o measured, with its 95 % bar"]
    if any(point.left_out and point.x is not None for point in trend.points):
        said.append("x not in the line")
    if trend.line is not None:
        said.append(_band_text(paper, trend, units))
    if trend.curve is not None:
        said.append("curve: it wears faster and faster")
    if trend.renew is not None:
        said.append("[=+=] when the limit is reached, + likeliest" if trend.renew.earliest <= paper.right else "")
    said.append("^ now")
    if trend.axis != "hours":
        said.append(f"along it {span_unit(trend.usage)}")
    said += [f"{sign} {mark.deed} {day_text(mark.day)}" for sign, mark in _signed(trend)]
    missing = sum(1 for point in trend.points if point.x is None)
    said += [f"{missing} not drawn, without hours"] if missing else []
    return packed((text for text in said if text), width, "", "dim")


def _band_text(paper: _Paper, trend: Trend, units: Units) -> str:
    assert trend.line is not None
    if not paper.canvas.ascii_only:
        return "line with its 95 % band, dotted"
    half_mm = trend.line.t_at(trend.usage.now) * trend.line.u_at(trend.usage.now)
    places = places_for(half_mm / (1 if units == "mm" else float(MM_PER_INCH)), 3 if units == "mm" else 4)
    return f"line, 95 % band ± {mm_text(half_mm, units, places)} now"


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
