"""The hitches in the printed report."""

from collections.abc import Sequence

from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units
from fieldlog.report.hitch_numbers import number_lines
from fieldlog.report.lines import BLANK, Line, Span, heading, wrapped
from fieldlog.retrofit.cases import HitchCase


def hitch_rows(cases: Sequence[HitchCase], units: Units, width: int) -> tuple[Line, ...]:
    """Return each measured hitch with each implement; one known by its category only is named in a line."""
    rows: list[Line] = []
    unmeasured = dict.fromkeys(shown_name(case.machine) for case in cases if not case.is_measured)
    for case in cases:
        if not case.is_measured:
            continue
        name = f"{shown_name(case.machine)}: hitch"
        rows += [BLANK, heading(f"{name} with {case.implement_name}" if case.implement_name else name)]
        lines = number_lines(case.look, case.field, case.need, units, width - 3)
        rows += [Line((Span("   "), *row.spans)) if row.spans else row for row in lines]
    for name in unmeasured:
        words = f"{name}: hitch not measured, only its category is known."
        rows += [BLANK, *wrapped(words, width, "", "dim")]
    return tuple(rows)
