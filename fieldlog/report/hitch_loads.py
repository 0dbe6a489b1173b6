"""Forces and PTO shaft among a hitch's numbers, each with its doubt."""

from fieldlog.records.quantities import Units
from fieldlog.report.hitch_words import (
    Doubts,
    degrees,
    force_text,
    length_text,
    reach_text,
    reversal_word,
    shaft_text,
    slip_text,
    sure_length,
    top_link_text,
)
from fieldlog.report.lines import BLANK, Line, heading, wrapped
from fieldlog.retrofit.driveline import OVERLAP_MM, ROOM_MM, residual_deg, unevenness
from fieldlog.retrofit.field_look import FieldLook
from fieldlog.retrofit.forces import BOUNCE
from fieldlog.retrofit.look import Look
from fieldlog.retrofit.plane import CannotReach

How = tuple[Units, Doubts]


def force_lines(look: Look, width: int, how: How) -> tuple[Line, ...]:
    """Return the forces in top link and lift rods, and what the hitch lifts."""
    units, doubts = how
    rows: list[Line] = [BLANK, heading("Forces, carried and standing still")]
    if look.top_link is None:
        words = "Write the implement's weight and where its centre of gravity is: then the forces are known."
        return (*rows, *wrapped(words, width, "", "dim"))
    if isinstance(look.top_link, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.top_link)}.", width, "", "warn"))
    rows += wrapped(f"{top_link_text(look.top_link, units, doubts)}.", width)
    if look.top_link.reverses:
        word = reversal_word(look.top_link, doubts)
        rows += wrapped(f"The load {word}, so both directions must be held.", width, "", "strong")
    if isinstance(look.rods_kn, float):
        doubt = doubts.get("lift rods", 0.0)
        both, each = (force_text(look.rods_kn / n, units, doubt / n) for n in (1, 2))
        rows += wrapped(f"Lift rods {both} together, {each} each.", width)
    rows += wrapped(f"A road bounce makes about {BOUNCE:g} times this of it, two to three.", width, "", "dim")
    if isinstance(look.lift_share, float):
        share = degrees(look.lift_share * 100, doubts.get("lifts", 0.0))
        rows += wrapped(
            f"At 610 mm (24 in) behind the balls it lifts {share} % of what it lifts at the balls "
            "when they are lowest.",
            width,
        )
    return tuple(rows)


def shaft_lines(look: Look, field: FieldLook | CannotReach | None, how: How, width: int) -> tuple[Line, ...]:
    """Return the PTO shaft here and over the whole field; nothing without one."""
    units, doubts = how
    if look.shaft is None:
        return ()
    rows: list[Line] = [BLANK, heading("PTO shaft")]
    if isinstance(look.shaft, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.shaft)}.", width, "", "warn"))
    rows += wrapped(f"{shaft_text(look.shaft, units, doubts)}.", width)
    percent = 100 * unevenness(residual_deg(look.shaft.tractor_deg, look.shaft.implement_deg))
    uneven = degrees(percent, doubts.get("PTO, unevenness", 0.0))
    rows += wrapped(f"It turns unevenly by {uneven} % here, forks in line.", width)
    if isinstance(field, FieldLook) and field.slip is not None:
        rows += wrapped(f"{slip_text(field.slip, units, doubts)}.", width)
        rows += _overlap(field, how, width)
    rows += wrapped("PTO off before lifting. After any change of link, check overlap and angle.", width, "", "warn")
    return tuple(rows)


def _overlap(field: FieldLook, how: How, width: int) -> tuple[Line, ...]:
    units, doubts = how
    if field.overlap_mm is None or field.room_to_close_mm is None:
        words = "Write the shaft's closed length and overlap: then it is known whether it comes apart or bottoms."
        return wrapped(words, width, "", "dim")
    rows: list[Line] = []
    for mm, least_mm, word in (
        (field.overlap_mm, OVERLAP_MM, "overlap left at its longest"),
        (field.room_to_close_mm, ROOM_MM, "left to close at its shortest"),
    ):
        short = mm < least_mm
        missing = f", {length_text(least_mm, units)} wanted" if short else ""
        room = sure_length(mm, doubts.get(word.partition(" at ")[0], 0.0), units)
        rows += wrapped(f"{room} of {word}{missing}.", width, "", "warn" if short else "")
    return tuple(rows)
