"""The hitch from behind: what one lift rod longer or shorter than the other does to the implement.

A sketch that is not to scale, and says so: a roll of two degrees would not be seen. More roll is never drawn as less.
"""

import math
from dataclasses import dataclass

from fieldlog.pages.canvas import Grid, in_twin
from fieldlog.pages.lines import BLANK, Line, wrapped
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.units import Units
from fieldlog.retrofit.carried import Carried
from fieldlog.retrofit.hitch.lift import arm_at, arm_end, ball_of_arm, roll_of_rise_deg, with_rod
from fieldlog.retrofit.hitch.look import Look
from fieldlog.retrofit.hitch.plane import CannotReach

_PIN = "○"
_LEVEL_MM = 0.5
_OUT = 3  # columns that the implement reaches past the balls
_ROLLS_DEG = (0.0, 1.5, 4.0)  # from each on a row more
_LEAST_DRAWN, _LEAST_WIDE = 7, 36  # rows and columns under which the hitch from behind is told in words alone
_ARMS, _SKETCH = " lift arms ", "Not to scale."


@dataclass(frozen=True, slots=True)
class _Behind:
    """The hitch from behind in mm over the ground: the arms' ends, the ball that stays and that of the tried rod.

    `side` is left or right where the rod's name says it, else empty.
    """

    top_mm: float
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
    ball, moved = ball_of_arm(linkage, arm), ball_of_arm(tried, arm)
    if isinstance(ball, CannotReach):
        return ball
    if isinstance(moved, CannotReach):
        return moved
    words = look.setup.rod_range.name.casefold().split() if look.setup.rod_range is not None else []
    side = next((side for side in ("left", "right") if side in words), "")
    return _Behind(arm_end(linkage, arm).y_mm, ball.y_mm, moved.y_mm, side)


def behind_lines(
    look: Look, columns: int, rows: int, units: Units = "mm", *, ascii_only: bool = False
) -> tuple[Line, ...]:
    """Draw the hitch from behind in `columns` x `rows`: both lift rods, both balls, the implement as it rolls.

    In a window too small for it the sentences stand alone.
    """
    seen = _behind(look)
    said = [row for text in behind_sentences(look, units) for row in wrapped(text, columns)]
    sketch = wrapped(_SKETCH, columns, "", "dim")
    room = rows - len(said) - len(sketch)
    drawn: tuple[Line, ...] = (*said, *[BLANK] * rows)[:rows]
    if isinstance(seen, _Behind) and room >= _LEAST_DRAWN and columns >= _LEAST_WIDE:
        grid = Grid(columns, room)
        _draw(grid, seen, _rows_down(look, seen, room), _named(look, seen, units), units)
        drawn = (*grid.lines(), *said, *sketch)
    return in_twin(drawn) if ascii_only else drawn


def _rows_down(look: Look, seen: _Behind, rows: int) -> int:
    """Return by how many rows the tried rod's ball is drawn lower than the other; under nought where it is higher."""
    if abs(seen.rise_mm) < _LEVEL_MM or _is_doubtful(look):
        return 0
    roll = abs(roll_of_rise_deg(look.linkage, seen.rise_mm))
    count = min(sum(roll >= least for least in _ROLLS_DEG), (rows - 4) // 2)
    return count if seen.rise_mm < 0 else -count


def _is_doubtful(look: Look) -> bool:
    """Tell whether the roll is within its own doubt, so that nobody can say which side is up."""
    return isinstance(look.roll, Carried) and abs(look.roll.value) <= look.roll.plus_minus


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


def _draw(grid: Grid, seen: _Behind, down: int, names: tuple[str, str], units: Units) -> None:
    top, foot = 1, grid.rows - 1
    high = min(max(seen.ball_mm / max(seen.top_mm, seen.ball_mm, 1.0), 0.0), 1.0)
    ball = min(max(round(foot - high * (foot - top)), top + 1 + max(-down, 0)), foot - 1 - max(down, 0))
    moved = ball + down
    ends = grid.columns // 4, grid.columns * 3 // 4
    still, tried = ends[::-1] if seen.side == "left" else ends
    for column in range(grid.columns):
        grid.put(column, foot, "▔")
    for column in range(ends[0], ends[1]):
        grid.put(column, top, "─")
    for column in range(ends[0] - _OUT, ends[1] + _OUT + 1):
        grid.put(column, ball, "┄", "dim")
    slope, out = (moved - ball) / (tried - still), math.copysign(_OUT, tried - still)
    grid.stroke((still - out, ball - out * slope), (tried + out, moved + out * slope))
    for column, foot_row, words in ((still, ball, names[0]), (tried, moved, names[1])):
        grid.stroke((column, top), (column, foot_row), is_heavy=True, mark="strong")
        grid.put(column, top, _PIN, "strong")
        grid.put(column, foot_row, _PIN, "strong")
        grid.write(min(max(column - len(words) // 2, 0), grid.columns - len(words)), top - 1, words)
    grid.write(sum(ends) // 2 - len(_ARMS) // 2, top, _ARMS)
    if down:
        words = _text(seen.rise_mm, units)
        start = tried + _OUT + 2 if tried > still else tried - _OUT - 1 - len(words)
        grid.write(min(max(start, 0), grid.columns - len(words)), moved, words, "strong")


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
    told = f"{side} {way} by {_text(seen.rise_mm, units)}" if not _is_doubtful(look) else "level within its doubt"
    return (
        f"From behind: roll {roll:.1f}{doubt} degrees, {told}.",
        f"{'Its' if seen.side else 'This'} lift rod is {rods}.",
    )
