"""The form of an instrument: fields from a record, a record from fields."""

from collections.abc import Mapping
from typing import cast, get_args

from fieldlog.records.machine import Instrument, InstrumentKind, TapeClass
from fieldlog.records.quantities import Length, Units, parse_length
from fieldlog.tui.actions.part_forms import length_check
from fieldlog.tui.actions.part_forms import length_text as _typed
from fieldlog.tui.screens.form import Field, words


def instrument_fields(instrument: Instrument | None, units: Units) -> tuple[Field, ...]:
    """Return the lines of an instrument's form."""
    this = instrument or Instrument(id="")

    check = length_check(units)
    limit = "Within what it is right, such as 0.03 mm. Empty: the usual figure for its kind."
    jaws = "Outer corner to outer corner, such as 1.0 mm. Empty: known bores tell it (k, a check)."
    return (
        Field("name", "Name", this.name, "Such as blue caliper.", required=True),
        Field("kind", "Kind", this.kind, "", words(*get_args(InstrumentKind))),
        Field(
            "resolution",
            "Smallest step",
            _typed(this.resolution),
            "Such as 0.01 mm, 0.0005 in, 1/16.",
            check=check,
        ),
        Field("error_limit", "Right within", _typed(this.error_limit), limit, check=check),
        Field("inside_error_limit", "... inside jaws", _typed(this.inside_error_limit), limit, check=check),
        Field("jaw_width", "Inside jaws, width", _typed(this.jaw_width), jaws, check=check),
        Field("jaw_width_error", "... known within", _typed(this.jaw_width_error), "Empty: 0.2 mm.", check=check),
        Field(
            "tape_class",
            "Tape class",
            this.tape_class or "",
            "I, II or III as printed on the tape.",
            (("", "none"), *words("I", "II", "III")),
        ),
        Field(
            "hook_slop",
            "Slop of its hook",
            _typed(this.hook_slop),
            "Of a tape; empty: the usual 1 mm.",
            check=check,
        ),
    )


def instrument_from(values: Mapping[str, str], instrument_id: str, units: Units) -> Instrument:
    """Return an instrument from its form."""

    def length(key: str) -> Length | None:
        return parse_length(values[key], units) if values[key] else None

    return Instrument(
        id=instrument_id,
        kind=cast("InstrumentKind", values["kind"]),
        name=values["name"],
        resolution=length("resolution"),
        error_limit=length("error_limit"),
        inside_error_limit=length("inside_error_limit"),
        tape_class=cast("TapeClass", values["tape_class"]) or None,
        hook_slop=length("hook_slop"),
        jaw_width=length("jaw_width"),
        jaw_width_error=length("jaw_width_error"),
    )
