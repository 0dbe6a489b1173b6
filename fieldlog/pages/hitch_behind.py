"""The hitch from behind: what one lift rod longer or shorter than the other does to the implement.

Heights are to scale, the width is not. The rise is drawn larger than life where it would not be seen, and that is said.
"""

import math
from dataclasses import dataclass

from fieldlog.pages.canvas import Grid, in_twin
from fieldlog.pages.lines import BLANK, Line, wrapped
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import mm_text
from fieldlog.retrofit.carried import Carried
from fieldlog.retrofit.hitch.lift import arm_at, arm_end, ball_of_arm, rod_low_end, roll_of_rise_deg, with_rod
from fieldlog.retrofit.hitch.look import Look
from fieldlog.retrofit.hitch.plane import CannotReach, Point

_PIN = "○"
_LEVEL_MM = 0.5
_OUT = 3  # columns that the implement reaches past the balls
_GAINS = (1, 2, 3, 5, 8, 10, 15, 20, 30, 50, 80, 100, 200)
_LEAST_DRAWN, _LEAST_WIDE = 6, 36  # rows and columns under which the hitch from behind is told in words alone


@dataclass(frozen=True, slots=True)
class _Behind:
    """The hitch from behind: rods' upper and lower ends and balls in mm over the ground, the tried rod's `moved`.

    `side` is left or right where the rod's name says it, else empty.
    """

    top_mm: float
    low_mm: float
    low_moved_mm: float
    ball_mm: float
    ball_moved_mm: float
    side: str

    @property
    def rise_mm(self) -> float:
        return self.ball_moved_mm - self.ball_mm


def _behind(look: Look) -> _Behind | CannotReach:
    linkage, tried = look.linkage, with_rod(look.linkage, look.setting.rod_mm)
    arm = arm_at(linkage, look.setting.height_mm)
    if isinstance(arm, CannotReach):
        return arm
    ends = [end(one, arm) for one in (linkage, tried) for end in (rod_low_end, ball_of_arm)]
    missed = next((end for end in ends if isinstance(end, CannotReach)), None)
    if missed is not None:
        return missed
    low, ball, low_moved, ball_moved = (end.y_mm for end in ends if isinstance(end, Point))
    words = look.setup.rod_range.name.casefold().split() if look.setup.rod_range is not None else []
    side = next((side for side in ("left", "right") if side in words), "")
    return _Behind(arm_end(linkage, arm).y_mm, low, low_moved, ball, ball_moved, side)


def behind_lines(
    look: Look, columns: int, rows: int, units: Units = "mm", *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Draw the hitch from behind in `columns` x `rows`: both lift rods, both balls, the implement as it rolls.

    In a window too small for it the sentences stand alone.
    """
    seen = _behind(look)
    room = rows - sum(len(wrapped(text, columns)) for text in behind_sentences(look, units)) - 1
    is_drawn = isinstance(seen, _Behind) and room >= _LEAST_DRAWN and columns >= _LEAST_WIDE
    gain = _gain(seen, room) if isinstance(seen, _Behind) and is_drawn else 1
    more = (f"Rise drawn {gain} x.",) if gain > 1 else ()
    said = [row for text in (*behind_sentences(look, units), *more) for row in wrapped(text, columns)]
    if not isinstance(seen, _Behind) or not is_drawn:
        drawn = (*said, *[BLANK] * rows)[:rows]
    else:
        grid = Grid(columns, rows - len(said))
        _draw(grid, seen, gain, _named(look, seen, units), units)
        drawn = (*grid.lines(), *said)[:rows]
    return in_twin(drawn) if ascii_only else drawn


def _gain(seen: _Behind, rows: int) -> int:
    """Return how many times larger than life the rise is drawn: two rows of it are seen, and it stays on the sheet."""
    shown = abs(seen.rise_mm) / _mm_a_row(seen, rows)
    if abs(seen.rise_mm) < _LEVEL_MM:
        return 1
    most = max(min(seen.top_mm - seen.ball_mm, seen.ball_mm) / _mm_a_row(seen, rows) - 1, 1.0)
    return max((gain for gain in _GAINS if shown * gain <= min(most, 2.5)), default=1)


def _mm_a_row(seen: _Behind, rows: int) -> float:
    return max(seen.top_mm, seen.ball_mm, seen.ball_moved_mm, 1.0) / max(rows - 2, 1)


def _named(look: Look, seen: _Behind, units: Units) -> tuple[str, str]:
    """Return what the rod that stays and the one that is tried are called, with their lengths."""
    names = {"left": ("right rod", "left rod"), "right": ("left rod", "right rod")}.get(
        seen.side, ("other", "this rod")
    )
    lengths = look.figures["lift_rod"].mm, look.setting.rod_mm
    still, tried = (f"{name} {_text(mm, units)}" for name, mm in zip(names, lengths, strict=True))
    return still, tried


def _text(mm: float, units: Units) -> str:
    return mm_text(abs(mm), units, 0 if units == "mm" else 2)


def _draw(grid: Grid, seen: _Behind, gain: int, names: tuple[str, str], units: Units) -> None:
    foot, per_row_mm = grid.rows - 1, _mm_a_row(seen, grid.rows)

    def row(mm: float, moved_by_mm: float = 0.0) -> int:
        return min(max(round(foot - (mm + gain * moved_by_mm) / per_row_mm), 1), foot)

    ends = grid.columns // 4, grid.columns * 3 // 4
    still, tried = ends[::-1] if seen.side == "left" else ends
    top, ball, moved = row(seen.top_mm), row(seen.ball_mm), row(seen.ball_mm, seen.rise_mm)
    low, low_moved = row(seen.low_mm), row(seen.low_mm, seen.low_moved_mm - seen.low_mm)
    for column in range(grid.columns):
        grid.put(column, foot, "▔")
    for column in range(ends[0], ends[1]):
        grid.put(column, top, "─")
    for column in range(ends[0] - _OUT, ends[1] + _OUT + 1):
        grid.put(column, ball, "┄", "dim")
    slope = (moved - ball) / (tried - still)
    out = math.copysign(_OUT, tried - still)
    grid.stroke((still - out, ball - out * slope), (tried + out, moved + out * slope))
    for column, rod_foot, its_ball, words in ((still, low, ball, names[0]), (tried, low_moved, moved, names[1])):
        grid.stroke((column, rod_foot), (column, its_ball))
        grid.stroke((column, top), (column, rod_foot), is_heavy=True, mark="strong")
        for at in (top, rod_foot, its_ball):
            grid.put(column, at, _PIN, "strong")
        grid.write(min(max(column - len(words) // 2, 0), grid.columns - len(words)), top - 1, words)
    _label(grid, (ends[0] + ends[1]) // 2, top, "lift arms")
    if ball != moved:
        middle, words = (ball + moved) // 2, _text(seen.rise_mm, units)
        start = tried + _OUT + 2 if tried > still else tried - _OUT - 1 - len(words)
        grid.write(start, middle, words, "strong")


def _label(grid: Grid, middle: int, row: int, words: str) -> None:
    grid.write(middle - len(words) // 2 - 1, row, f" {words} ")


def behind_sentences(look: Look, units: Units) -> tuple[str, ...]:
    """Return what the picture from behind shows: the roll and which way, the rise, and which rod does it."""
    seen = _behind(look)
    if isinstance(seen, CannotReach):
        return (f"From behind: {seen.sentence()}.",)
    longer_mm = look.setting.rod_mm - look.figures["lift_rod"].mm
    rods = f"{_text(longer_mm, units)} {'longer' if longer_mm > 0 else 'shorter'} than the other"
    if abs(seen.rise_mm) < _LEVEL_MM:
        return ("From behind: level.",)
    doubt = f" ± {look.roll.plus_minus:.1f}" if isinstance(look.roll, Carried) and look.roll.plus_minus >= 0.05 else ""
    roll, way = abs(roll_of_rise_deg(look.linkage, seen.rise_mm)), "up" if seen.rise_mm > 0 else "down"
    side = f"{seen.side} side" if seen.side else "this rod's side"
    return (
        f"From behind: roll {roll:.1f}{doubt} degrees, {side} {way} by {_text(seen.rise_mm, units)}.",
        f"{'Its' if seen.side else 'This'} lift rod is {rods}.",
    )
