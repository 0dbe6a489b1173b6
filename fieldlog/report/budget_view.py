"""A number opened up: its value, what its doubt is made of, and the readings behind it as they were typed."""

import math
from collections.abc import Mapping, Sequence

from fieldlog.measure.distributions import t_quantile
from fieldlog.measure.estimate import COVERAGE_PROBABILITY, Estimate, Part
from fieldlog.measure.rounding import change_text, mm_text, other_units, size_text
from fieldlog.records.entries import AnyEntry, BoreReading, LengthReading, LigamentReading, PinReading
from fieldlog.records.quantities import MM_PER_INCH, Units
from fieldlog.report.entry_view import entry_words
from fieldlog.report.lines import BLANK, Line, Span, cells, fit, heading, line, wrapped
from fieldlog.report.words import day_text
from fieldlog.wear.numbers import Number

_MM_PER_INCH = float(MM_PER_INCH)
_FINEST_PLACES = {"mm": 5, "in": 6}
_BOTH_UNITS_FROM = 66  # columns; on narrower pages the parts are in the first unit only
_TABLE_FROM = 50  # on narrower pages each part has its numbers on a line of their own
_U_WIDTH = 11
_DOF_WIDTH = 7
_SHARE_WIDTH = 7
_SAME_MM = 1e-6
_NEARLY = 0.98


def value_lines(number: Number, units: Units, width: int) -> tuple[Line, ...]:
    """Return what the number is and its value in both units, on one line where there is room."""
    text = change_text if number.is_change else size_text
    first, second = text(number.estimate, units), text(number.estimate, other_units(units))
    together = f"{first}   ({second})"
    values = (together,) if len(together) <= width else (first, f"({second})")
    return (*wrapped(number.about, width, "", "head"), *(line(Span(value, "strong")) for value in values))


def budget_lines(estimate: Estimate, units: Units, width: int) -> tuple[Line, ...]:
    """Return the parts of an uncertainty as a table, then how they make the 95 % half-width."""
    if not any(part.u_mm > 0 for part in estimate.parts):
        return wrapped("It carries no doubt of its own.", width, "", "dim")
    shown = (units, other_units(units)) if width >= _BOTH_UNITS_FROM else (units,)
    lines = [_head(shown, width)] if width >= _TABLE_FROM else []
    for part in sorted(estimate.parts, key=lambda part: -part.u_mm):
        lines += _part_lines(part, estimate, shown, width)
    return (*lines, *_sum_lines(estimate, units, width))


def _head(shown: Sequence[Units], width: int) -> Line:
    columns = "".join(f"u {unit}".rjust(_U_WIDTH) for unit in shown)
    return line(
        Span(f"{fit('Part', _name_width(shown, width))}{columns}{'dof':>{_DOF_WIDTH}}{'share':>{_SHARE_WIDTH}}", "dim")
    )


def _name_width(shown: Sequence[Units], width: int) -> int:
    return width - _U_WIDTH * len(shown) - _DOF_WIDTH - _SHARE_WIDTH


def _part_lines(part: Part, estimate: Estimate, shown: Sequence[Units], width: int) -> list[Line]:
    share = share_text(part.u_mm**2 / estimate.u_mm**2)
    if width < _TABLE_FROM:
        numbers = f"u {u_text(part.u_mm, estimate.u_mm, shown[0])} {shown[0]}, {dof_text(part.dof)} dof, {share}"
        name = wrapped(part.name, width, "", "strong")
        return [*name, *wrapped(numbers, width, "  "), *wrapped(part.source, width, "  ", "dim")]
    room = _name_width(shown, width)
    first, *rest = wrapped(part.name, room - 1)
    values = "".join(u_text(part.u_mm, estimate.u_mm, unit).rjust(_U_WIDTH) for unit in shown)
    numbers = f"{values}{dof_text(part.dof):>{_DOF_WIDTH}}{share:>{_SHARE_WIDTH}}"
    rows = [line(f"{fit(first.text, room)}{numbers}")]
    rows += [line(row.text) for row in rest]
    return [*rows, *wrapped(part.source, width, "  ", "dim")]


def _sum_lines(estimate: Estimate, units: Units, width: int) -> tuple[Line, ...]:
    together, expanded = (_in_both(value, units) for value in (estimate.u_mm, estimate.expanded_mm))
    dof = dof_text(estimate.dof)
    worth = "known as if from endless readings" if dof == "inf" else f"{dof} effective degrees of freedom"
    return (
        *wrapped(f"Together u = {together}, {worth}.", width),
        *wrapped(f"Times the coverage factor {estimate.coverage:.2f} for 95 %: ± {expanded}.{_why(estimate)}", width),
    )


def _why(estimate: Estimate) -> str:
    """Say why the factor is under Student's t, where it is by more than rounding."""
    t = t_quantile((1 + COVERAGE_PROBABILITY) / 2, estimate.dof)
    if estimate.coverage > _NEARLY * t:
        return ""
    return f" Student's t is {t:.2f}; limits of error end where a bell has tails, so less will do."


def _in_both(value_mm: float, units: Units) -> str:
    other = other_units(units)
    return f"{u_text(value_mm, value_mm, units)} {units} ({u_text(value_mm, value_mm, other)} {other})"


def u_text(u_mm: float, whole_mm: float, units: Units) -> str:
    """Return an uncertainty to the place at which the whole one has two digits (GUM 7.2.6)."""
    scale = 1.0 if units == "mm" else 1 / _MM_PER_INCH
    places = 1 - math.floor(math.log10(whole_mm * scale)) if whole_mm > 0 else 2
    return f"{u_mm * scale:.{max(0, min(places, _FINEST_PLACES[units]))}f}"


def dof_text(dof: float) -> str:
    """Return degrees of freedom, 'inf' from a thousand on; a half-width from a book has endless ones."""
    if dof >= 1000:
        return "inf"
    return f"{dof:.0f}" if dof >= 10 or dof == int(dof) else f"{dof:.1f}"


def share_text(share: float) -> str:
    """Return a share of the variance in whole percent."""
    return "<1 %" if 0 < share < 0.005 else f"{share * 100:.0f} %"


def reading_lines(
    number: Number, entries: Mapping[str, AnyEntry], said: Mapping[str, str], units: Units, width: int
) -> tuple[Line, ...]:
    """Return the readings behind a number as typed, oldest first, each to be chosen."""
    lines: list[Line] = []
    days: set[str] = set()
    known = (entries[key] for key in number.keys if key in entries)
    for entry in sorted(known, key=lambda entry: (entry.day, entry.round, entry.at)):
        if entry.round not in days:
            days.add(entry.round)
            lines += wrapped(f"{day_text(entry.day)}, {entry.who}", width, "", "dim")
        lines += _reading(entry, number, said, units, width)
    return tuple(lines) or wrapped("No reading of its own is behind it.", width, "", "dim")


def _reading(entry: AnyEntry, number: Number, said: Mapping[str, str], units: Units, width: int) -> list[Line]:
    taken = _taken_text(entry, number, units)
    text = f"  {entry_words(entry)}{taken}"
    rows = [Line((Span(text if cells(text) <= width else fit(text, width)),), entry.key)]
    if entry.key in said:
        rows += wrapped(said[entry.key], width, "    ", "warn")
    return rows


def _taken_text(entry: AnyEntry, number: Number, units: Units) -> str:
    """Return what a reading counts as where that is not what was typed."""
    if not isinstance(entry, BoreReading | PinReading | LengthReading | LigamentReading):
        return ""
    taken_mm = number.taken_mm.get(entry.key)
    if taken_mm is None or abs(taken_mm - float(entry.size.mm)) < _SAME_MM:
        return ""
    return f", counts as {mm_text(taken_mm, units, 3 if units == 'mm' else 4)}"


def number_lines(
    number: Number, entries: Mapping[str, AnyEntry], said: Mapping[str, str], units: Units, width: int
) -> tuple[Line, ...]:
    """Return the whole page of one number."""
    return (
        *value_lines(number, units, width),
        BLANK,
        heading("What its doubt is made of"),
        *budget_lines(number.estimate, units, width),
        BLANK,
        heading("Readings behind it, as typed"),
        *reading_lines(number, entries, said, units, width),
    )
