"""What must be said while the person still stands at the hole: the doubts about the reading just typed."""

import datetime
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from fieldlog.measure.hole import HoleSize, LineGroup, Seen, growth
from fieldlog.measure.instruments import UNKNOWN_CALIPER, usual_repeatability_mm
from fieldlog.measure.suspect import Mark, mark_text
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import LENGTH_UNITS, MM_PER_INCH, LengthUnit, Units, length_unit
from fieldlog.records.clock import clock_text

# range of repeats on one line and its least in steps of the instrument: common practice, no source
_REPEATS_AGREE: Mapping[str, tuple[float, float]] = MappingProxyType({"telescoping gauge": (0.02, 2.0)})
_USUALLY_AGREE = (0.06, 4.0)
LARGEST_HOLE_MM = 200.0
LARGEST_WALL_MM = 300.0
_SLIP_TOLERANCE = 0.08
_MM_PER_INCH = float(MM_PER_INCH)
_SURE = 3.0  # standard deviations of one reading: more than for 95 %, since every reading is looked at


@dataclass(frozen=True, slots=True)
class Flag:
    """One doubt: what kind it is and the sentence to show."""

    kind: str
    text: str


def refused_hole_size(text: str, length: Length, expected_mm: float | None, units: Units) -> str:
    """Return why a hole size is not taken, empty when it is.

    A size that looks like a slip of the unit is refused only while no unit was typed with it; typing the
    unit insists on it.
    """
    size_mm = float(length.mm)
    if size_mm <= 0:
        return f'"{text.strip()}": a hole has a size; type what the caliper shows, such as 19.42 or 0.755 in.'
    slip = unit_slip(length, expected_mm, units)
    if slip and not typed_with_unit(text):
        return f"{slip} Type the unit too if it is right as it stands."
    if size_mm > LARGEST_HOLE_MM:
        most = f"a pin hole here is at most {LARGEST_HOLE_MM:.0f} mm across."
        return f'"{text.strip()}" is {size_mm:.0f} mm; {most} {slip}'.strip()
    return ""


def refused_wall(text: str, length: Length) -> str:
    """Return why a thickness beside a hole is not taken, empty when it is."""
    if 0 < length.mm <= LARGEST_WALL_MM:
        return ""
    return f'"{text.strip()}": the metal beside a hole is above 0 and at most {LARGEST_WALL_MM:.0f} mm thick.'


def typed_with_unit(text: str) -> bool:
    """Tell whether the person typed a unit, or a fraction, which is always in inches."""
    return any(char.isalpha() or char in "\"'/″′”’½¼¾⅛⅜⅝⅞" for char in text)


def unit_slip(length: Length, expected_mm: float | None, units: Units) -> str:
    """Return the question to ask when a size is off by about 25.4 from what this hole can be."""
    size_mm = float(length.mm)
    as_inches, as_mm = size_mm * _MM_PER_INCH, size_mm / _MM_PER_INCH
    number = _number_typed(length)
    if expected_mm:
        converted = "" if length.unit == units else f" ({mm_text(size_mm, units)})"
        said = f"{length.typed}{converted} against a hole of about {mm_text(expected_mm, units)}"
        if _is_close(as_inches, expected_mm):
            return f"{said}: did you mean {number} in ({mm_text(as_inches, 'mm')})?"
        if _is_close(as_mm, expected_mm) and "/" not in number:
            return f"{said}: did you mean {number} mm?"
        return ""
    own = next((unit for unit in LENGTH_UNITS.values() if unit.word == length.unit), None)
    return _unlikely(own, size_mm, number) if own is not None else ""


def _unlikely(own: LengthUnit, size_mm: float, number: str) -> str:
    """Return the question to ask of a size that few pin holes have in the unit it was typed in."""
    other = length_unit(own.beside)
    other_mm = own.of(size_mm) * float(other.mm)
    if 0 < own.of(size_mm) < own.least_hole and other_mm <= LARGEST_HOLE_MM:
        return (
            f"{number} {own.word} is small for a pin hole: did you mean {number} {other.word} "
            f"({mm_text(other_mm, 'mm')})?"
        )
    if own.of(size_mm) >= own.most_hole:
        wide = mm_text(size_mm, other.word, 0)
        return f"{number} {own.word} is {wide}, wide for a pin hole: did you mean {number} {other.word}?"
    return ""


def _is_close(size_mm: float, expected_mm: float) -> bool:
    return abs(size_mm / expected_mm - 1) < _SLIP_TOLERANCE


def _number_typed(length: Length) -> str:
    """Return the typed text without its unit."""
    return length.typed.rstrip(" \"'abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")


def repeats_agree_mm(kind: str, step_mm: float) -> float:
    """Return how far repeats on one line may lie apart with a kind of instrument of this step."""
    most_mm, steps = _REPEATS_AGREE.get(kind, _USUALLY_AGREE)
    return max(most_mm, steps * step_mm)


def bore_flags(
    size_mm: float,
    now: HoleSize,
    before: Sequence[HoleSize],
    agree_mm: float,
    units: Units,
    marks: Sequence[Mark] = (),
) -> tuple[Flag, ...]:
    """Return the doubts about the reading just taken, worst first.

    Args:
        size_mm: the reading.
        now: this hole in this round, the reading included.
        before: this hole's earlier sizes since its last renewal, oldest first.
        agree_mm: how far repeats on one line may lie apart.
        units: the units to speak in.
        marks: the readings that stand apart and that nobody decided to keep.
    """
    flags = _mixed_units(size_mm, now, before, units)
    smaller = _smaller_than_ever(size_mm, now, before, units)
    if smaller is not None:
        flags.append(smaller)
    shrunk = _shrunk_line(now, before, units)
    if shrunk is not None:
        flags.append(shrunk)
    flags += [Flag("apart", mark_text(mark, units)) for mark in marks]
    flags += _wide_repeats(now, agree_mm, units, frozenset((mark.face, mark.clock) for mark in marks))
    flags += [
        Flag("misfit", "the readings do not fit an oval: look for a burr, a lip or a flat, and measure again")
        for face in now.faces
        if face.shape is not None and not face.shape.fits_oval
    ]
    if now.missing and len(now.faces[0].groups) > 1:
        flags.append(Flag("crossed", now.missing))
    return tuple(flags)


def _mixed_units(size_mm: float, now: HoleSize, before: Sequence[HoleSize], units: Units) -> list[Flag]:
    """Flag a size taken as insisted on, that is off by about 25.4 from what the hole was, or reads elsewhere."""
    others = [v for face in now.faces for group in face.groups for v in group.sizes_mm if v != size_mm]
    expected_mm = before[-1].smallest.value if before else (sorted(others)[len(others) // 2] if others else 0.0)
    if expected_mm <= 0:
        return []
    if not (_is_close(size_mm * _MM_PER_INCH, expected_mm) or _is_close(size_mm / _MM_PER_INCH, expected_mm)):
        return []
    text = f"{mm_text(size_mm, units)} in a hole of about {mm_text(expected_mm, units)}: mm and inches mixed up?"
    return [Flag("unit", f"{text} If so, undo it and type it with its unit")]


def _smaller_than_ever(size_mm: float, now: HoleSize, before: Sequence[HoleSize], units: Units) -> Flag | None:
    if not before:
        return None
    then = min(before, key=lambda size: size.smallest.value)
    gap_mm = then.smallest.value - size_mm
    if gap_mm <= 0:
        return None
    doubt_mm = _doubt_mm(now, then, _reading_sd_mm(now))
    said = f"{mm_text(size_mm, units)} is {mm_text(gap_mm, units, 3)} under the smallest this hole has ever been"
    if gap_mm > doubt_mm:
        return Flag("shrunk", f"{said}. A bore can only grow: clean it, look for a burr, swing the caliper, try again")
    return Flag("small", f"{said}, within the doubt of the caliper")


def _shrunk_line(now: HoleSize, before: Sequence[HoleSize], units: Units) -> Flag | None:
    """Compare each line with the same line the last time it was measured."""
    for face in now.faces:
        for group in face.groups:
            last = _last_at(group.angle_deg, face.face, before)
            if last is None:
                continue
            gap_mm = last[0].mean_mm - group.mean_mm
            counts = 1 / len(group.sizes_mm) + 1 / len(last[0].sizes_mm)
            if gap_mm > _doubt_mm(now, last[1], _reading_sd_mm(now) * counts**0.5):
                where = clock_text(group.angle_deg)
                text = f"{where} reads {mm_text(gap_mm, units, 3)} less than last time; a bore can only grow"
                return Flag("line shrunk", text)
    return None


def _doubt_mm(now: HoleSize, then: HoleSize, own_sd_mm: float) -> float:
    """Return how far readings of two days may lie apart: what the days do not share, and the readings' own scatter."""
    days = (Seen(size.smallest, size.day, size.who) for size in (now, then))
    return math.hypot(growth(*days).plus_minus, _SURE * own_sd_mm)


def _reading_sd_mm(now: HoleSize) -> float:
    """Return the scatter of a single reading, as found round the oval, else as usual for a caliper."""
    shape = now.best_face.shape
    return shape.scatter.sd_mm if shape is not None else usual_repeatability_mm(UNKNOWN_CALIPER)


def _last_at(angle_deg: float, face: str, before: Sequence[HoleSize]) -> tuple[LineGroup, HoleSize] | None:
    for size in reversed(before):
        for shape in size.faces:
            for group in shape.groups:
                if shape.face == face and group.angle_deg == angle_deg:
                    return group, size
    return None


def _wide_repeats(now: HoleSize, most_mm: float, units: Units, marked: frozenset[tuple[str, str]]) -> list[Flag]:
    """Flag repeats too far apart on lines where no single reading is marked already."""
    return [
        Flag(
            "spread",
            f"repeats at {group.clock} are {mm_text(group.range_mm, units, 3)} apart; "
            f"over {mm_text(most_mm, units, 3)} clean and measure again{_none_to_blame(len(group.sizes_mm))}",
        )
        for face in now.faces
        for group in face.groups
        if group.range_mm > most_mm + 1e-9 and (face.face, group.clock) not in marked
    ]


def _none_to_blame(count: int) -> str:
    """Say that a few readings cannot tell which one is wrong."""
    words = {2: "two", 3: "three"}
    return f"; {words[count]} readings cannot tell which one is wrong" if count in words else ""


def meter_flag(
    hours: Decimal, last_hours: Decimal | None, last_day: datetime.date | None, today: datetime.date
) -> Flag | None:
    """Return the doubt about an hour meter that ran backwards or faster than the clock."""
    if last_hours is None or last_day is None:
        return None
    if hours < last_hours:
        text = f"{hours} h is under the {last_hours} h of {day_text(last_day)}: a meter does not run backwards."
        return Flag("hours back", f"{text} If it was replaced, write that down as work done.")
    days = max((today - last_day).days, 0) + 1
    if hours - last_hours > 24 * days:
        text = f"{hours - last_hours} h since {day_text(last_day)} is more than 24 h a day; read the meter again."
        return Flag("hours fast", text)
    return None
