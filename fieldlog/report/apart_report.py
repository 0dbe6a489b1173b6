"""Readings of pins, walls, tapes and threads that stand apart, for the printed report and its data."""

from collections.abc import Mapping, Sequence

from fieldlog.measure.apart import repeat_marks
from fieldlog.measure.doubtful import Mark
from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units
from fieldlog.report.doubt_view import apart_lines
from fieldlog.report.lines import BLANK, Line, heading
from fieldlog.wear.doubts import repeated_entries
from fieldlog.wear.index import Index

_DIGITS = 6


def apart_data(indexes: Sequence[Index]) -> list[Mapping[str, object]]:
    """Return each such reading as data, kept ones too."""
    return [
        {
            "machine": index.machine.id,
            "reading": mark.key,
            "typed": mark.typed,
            "of": mark.place,
            "gap_mm": round(mark.gap_mm, _DIGITS),
            "from": mark.against,
            "kept": mark.key in index.keeps,
        }
        for index in indexes
        for mark in _marks(index)
    ]


def apart_report(indexes: Sequence[Index], units: Units, width: int) -> tuple[Line, ...]:
    """Return those that nobody decided to keep, machine by machine; nothing when there are none."""
    lines: list[Line] = []
    for index in indexes:
        marks = [mark for mark in _marks(index) if mark.key not in index.keeps]
        if marks:
            title = f"{shown_name(index.machine)}: readings of pins, walls and tapes that stand apart"
            lines += [BLANK, heading(title), *apart_lines(marks, (), units, width)]
    return tuple(lines)


def _marks(index: Index) -> tuple[Mark, ...]:
    return repeat_marks(repeated_entries(index), index.instruments)
