"""Pictures in print: a joint's wear over time and the dials of its holes, and a whole sheet of one joint."""

from collections.abc import Sequence

from fieldlog.errors import FieldlogError
from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units
from fieldlog.report.dial import dial_lines
from fieldlog.report.dial_shape import dial_note, dial_shape
from fieldlog.report.joint_view import finding_lines, hole_lines
from fieldlog.report.lines import BLANK, Line, heading
from fieldlog.report.printed import print_lines, to_print
from fieldlog.report.trend_view import hole_trend_lines
from fieldlog.report.wear_picture import picture_of
from fieldlog.wear.rates import Beside, main_trend, rate_rows
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.trend_records import Trend

_ROWS = 12
_DIAL_COLUMNS = 33
_DIAL_ROWS = 13


def joint_picture(state: JointState, units: Units, width: int, *, ascii_only: bool) -> tuple[Line, ...]:
    """Return the clearance that a joint is known by as a picture; nothing under two measuring days."""
    return _drawn(main_trend(state), units, width, ascii_only=ascii_only)


def _drawn(trend: Trend | None, units: Units, width: int, *, ascii_only: bool) -> tuple[Line, ...]:
    if trend is None or len({point.day for point in trend.points}) < 2:
        return ()
    return picture_of(trend, units, width, _ROWS, ascii_only=ascii_only)


def hole_dial(state: HoleState, *, ascii_only: bool) -> tuple[Line, ...]:
    """Return a hole's dial, this season's shape over the first; nothing where no shape is known."""
    shape = dial_shape(state)
    if shape is None:
        return ()
    drawn = dial_lines(shape, _DIAL_COLUMNS, _DIAL_ROWS, ascii_only=ascii_only)
    return (*drawn, *dial_note(shape, state, _DIAL_COLUMNS))


def joint_sheet(state: JointState, beside: Beside, units: Units, width: int, *, ascii_only: bool) -> Sequence[Line]:
    """Return all of one joint as its pages show it: finding, picture, trends, then each hole with dial and picture."""
    picture = joint_picture(state, units, width, ascii_only=ascii_only)
    lines = [*finding_lines(state, units, width, beside, picture)]
    for hole in state.holes:
        own = [trend for trend in state.trends if trend.hole == hole.hole.id and trend.of == "clearance"]
        drawn = [row for trend in own for row in _drawn(trend, units, width, ascii_only=ascii_only)]
        said = hole_trend_lines(hole, state.trends, units, width, state.finding.verdict)
        of_time = (*(drawn if len(state.holes) > 1 else ()), *said)
        lines += [BLANK, heading(shown_name(hole.hole))]
        lines += hole_lines(hole, units, width, of_time=of_time, ascii_only=ascii_only)
    return lines


def print_joints(
    name: str, states: Sequence[MachineState], every: Sequence[MachineState], units: Units, *, ascii_only: bool
) -> None:
    """Print the sheet of each joint of that name or id in `states`; `every` machine's rates may be borrowed from.

    Raises:
        FieldlogError: no joint is called so.
    """
    called = [
        (state, joint)
        for state in states
        for joint in state.joints
        if name.casefold() in {joint.joint.id.casefold(), shown_name(joint.joint).casefold()}
    ]
    if not called:
        names = "; ".join(shown_name(joint.joint) for state in states for joint in state.joints) or "none yet"
        raise FieldlogError(f'No joint is called "{name}". There are: {names}.')
    console, width = to_print()
    rows = [row for state in every for row in rate_rows(state)]
    for state, joint in called:
        beside = Beside(state.machine.id, rows)
        print_lines([heading(f"{shown_name(state.machine)}: {shown_name(joint.joint)}"), BLANK], console)
        print_lines([*joint_sheet(joint, beside, units, width, ascii_only=ascii_only), BLANK], console)
