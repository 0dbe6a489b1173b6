"""The forms for a hitch and for implements: which lines, what is accepted, and the record that comes out.

The lines say how each size is taped, since a hitch is measured from a plumb line and the floor.
"""

from collections.abc import Callable, Mapping
from typing import NamedTuple, get_args

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import Force, Mass, Units
from fieldlog.records.hitch import Angle, Directed, parse_directed
from fieldlog.records.machine import HitchCategory
from fieldlog.store.hitch_reader import size_fault
from fieldlog.tui.form import Field, words
from fieldlog.words.speak import say

Typed = Length | Directed | Angle | Mass | Force | str | None
Reader = Callable[[str, Units], Typed]

TRACTOR_INTRO = (
    "Park on level ground, hitch lowered, engine off, key out, wheels chocked. Hang a plumb line at the rear axle's "
    "centre and mark the ground: distances behind go from that mark to the mark under the point; heights go from the "
    "ground to the pin's centre. A point ahead of the axle is typed as 40 mm ahead. Leave out what you have not taped."
)
IMPLEMENT_INTRO = (
    "On the ground, level and blocked, its mast upright: the upper pin plumb over the lower pins. Distances go from "
    "the lower pins: behind or ahead, above or below. Leave out what you have not taped."
)
WORK_INTRO = (
    "Heights from the ground to the balls while it works. Pitch is fore-aft, roll is side to side. Tape the PTO shaft "
    "off the machine, pushed together."
)


class Row(NamedTuple):
    """One line of a form: the record's key, its label, how it is measured, and how its text is read."""

    key: str
    label: str
    hint: str
    read: Reader
    required: bool = False
    choices: tuple[tuple[str, str], ...] = ()


def _text(text: str, units: Units) -> str:
    return text


def _angle(text: str, units: Units) -> Angle:
    return Angle.from_text(text)


def _mass(text: str, units: Units) -> Mass:
    return Mass.from_text(text)


def _force(text: str, units: Units) -> Force:
    return Force.from_text(text)


_HOLE = "Such as top hole, front hole."
_POINT = "behind the lower pins; ahead of them: 120 mm ahead."
LIFT_ROWS = (
    Row(
        "lower_pivot_behind",
        "Lower pivot, behind",
        "Front pin of the lower link.",
        parse_directed,
    ),
    Row("lower_pivot_up", "Lower pivot, height", "Ground to that pin's centre.", parse_length),
    Row("lower_link", "Lower link", "Front pin to the centre of the ball.", parse_length),
    Row("ball_span", "Span of the balls", "Ball centre to ball centre; not the shoulders.", parse_length),
    Row(
        "ball_lowest",
        "Balls lowest",
        "Ground to the balls' centres, lift down, rod in the hole in use.",
        parse_length,
    ),
    Row("ball_highest", "Balls highest", "Lift right up, nothing hung on, nobody under it.", parse_length),
    Row("arm_pivot_behind", "Arm pivot, behind", "Rockshaft's centre, behind the axle.", parse_directed),
    Row("arm_pivot_up", "Arm pivot, height", "Ground to the rockshaft's centre.", parse_length),
    Row("lift_arm", "Lift arm", "Rockshaft's centre to the rod's upper pin.", parse_length),
    Row("lift_rod", "Lift rod", "Pin to pin, as set when the two heights were taped.", parse_length),
)
AROUND_ROWS = (
    Row("axle_up", "Rear axle, height", "Ground to the hub's centre, tyres as they are used.", parse_length),
    Row(
        "tyre_radius",
        "Rear tyre, radius",
        "Hub's centre to the tread on top, chains on if used.",
        parse_length,
    ),
    Row(
        "cab_behind",
        "Cab or glass, behind",
        "Rearmost plane of cab or frame. None: empty.",
        parse_directed,
    ),
    Row("pto_behind", "PTO joint, behind", "Centre of the shaft's first cross, behind the axle.", parse_directed),
    Row("pto_up", "PTO joint, height", "Ground to that cross.", parse_length),
    Row("notes", "Notes", "", _text),
)
TOP_HOLE_ROWS = (
    Row("name", "Hole", _HOLE, _text, required=True),
    Row("behind", "Behind the axle", "From the plumb mark to under the hole.", parse_directed, required=True),
    Row("up", "Height", "Ground to the hole's centre.", parse_length, required=True),
)
ROD_HOLE_ROWS = (
    Row("name", "Hole", _HOLE, _text, required=True),
    Row("from_pivot", "From the front pin", "Along the lower link, front pin to hole.", parse_length, required=True),
)
IMPLEMENT_ROWS = (
    Row("name", "Implement", "Such as box blade.", _text, required=True),
    Row("category", "Category", "", _text, choices=(("", "not known"), *words(*get_args(HitchCategory)))),
    Row("weight", "Weight", "Such as 250 kg or 550 lb.", _mass),
    Row("centre_behind", "Balance point, behind", f"Centre of gravity, {_POINT}", parse_directed),
    Row("centre_above", "Balance point, above", "Above the lower pins; below them: 50 mm below.", parse_directed),
    Row("push", "Ground pushes with", "The most, either way, such as 6 kN or 1300 lbf; backing up counts.", _force),
    Row("push_below", "... that far below", "Below the balls.", parse_length),
    Row("notes", "Notes", "", _text),
)
WORK_ROWS = (
    Row("work_lowest", "Balls at work, lowest", "Ground to the balls while it works.", parse_length),
    Row("work_highest", "Balls at work, highest", "The same; one height only: type it twice.", parse_length),
    Row("nose_down", "Nose down wanted", "Pitch fore-aft, in degrees, such as 8.", _angle),
    Row("nose_up", "Nose up wanted", "Pitch fore-aft, in degrees, such as 8.", _angle),
    Row("roll", "Roll wanted each way", "Side to side, in degrees, such as 6.", _angle),
    Row("pto_behind", "PTO input, behind", f"Its cross, {_POINT}", parse_directed),
    Row("pto_above", "PTO input, above", "Above the lower pins.", parse_directed),
    Row("shaft_closed", "PTO shaft, closed", "Cross to cross, pushed together.", parse_length),
    Row("shaft_overlap", "... halves overlap then", "How much one tube is in the other.", parse_length),
)
MAST_ROWS = (
    Row("name", "Hole", "Such as middle hole.", _text, required=True),
    Row("height", "Mast height", "Lower pins to this hole, straight up.", parse_length, required=True),
)
POINT_ROWS = (
    Row("name", "Corner", "Such as headboard corner, tail, frame corner.", _text, required=True),
    Row("behind", "Behind the lower pins", "Ahead of them: 120 mm ahead.", parse_directed, required=True),
    Row("above", "Above the lower pins", "Below them: 60 mm below.", parse_directed, required=True),
    Row("in_track", "As far out as the tyre", "Then its room to the tyre counts.", _text, choices=words("no", "yes")),
)


def form_fields(rows: tuple[Row, ...], record: object, units: Units) -> tuple[Field, ...]:
    """Return the lines of a form, filled from a record; None for a new one."""
    return tuple(
        Field(row.key, row.label, _shown(getattr(record, row.key, None)), row.hint, row.choices, row.required,
              _check(row, units))
        for row in rows
    )  # fmt: skip


def values_read(rows: tuple[Row, ...], values: Mapping[str, str], units: Units) -> dict[str, Typed]:
    """Return what was typed, read; an empty line is None, or nothing for text."""
    return {
        row.key: row.read(values[row.key], units) if values[row.key] else _nothing(row)
        for row in rows
        if row.key in values
    }


def _nothing(row: Row) -> Typed:
    return "" if row.read is _text and row.key != "category" else None


def _shown(value: object) -> str:
    typed = getattr(value, "typed", value)
    return typed if isinstance(typed, str) else ""


def _check(row: Row, units: Units) -> Callable[[str], None]:
    def check(text: str) -> None:
        fault = size_fault(row.key, row.read(text, units))
        if fault is not None:
            wrong, accepted = (say(part, units) for part in fault)
            raise QuantityError(f"{wrong[:1].upper()}{wrong[1:]}; {accepted}.")

    return check
