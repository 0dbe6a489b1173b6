"""What a hitch's geometry says of a cylinder between its closed and open length: pitch, corners, PTO shaft."""

from fieldlog.records.quantities import Units
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.clearances import Field
from fieldlog.retrofit.corner_checks import room_checks
from fieldlog.retrofit.driveline import MOMENTARY_DEG, angle_word, slip
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.needed import pitch_span
from fieldlog.retrofit.on_hitch import OnHitch, height_words
from fieldlog.retrofit.plane import CannotReach

_STEPS = 8
_SHAFT_WHY = "Trade figures: 15 degrees if you can, 25 at work, 45 for a moment unloaded. PTO off before lifting."


def hitch_checks(hitch: OnHitch, figures: dict[str, OfferFigure], units: Units) -> tuple[Check, ...]:
    """Return what the geometry says of a cylinder between its closed and open length."""
    closed_mm, open_mm = figures["closed"].mm, figures["open"].mm
    field = Field(closed_mm, open_mm, *hitch.heights_mm)
    return (_pitch(hitch, field, units), *room_checks(hitch, field, figures, units), *_shaft(hitch, field, units))


def _pitch(hitch: OnHitch, field: Field, units: Units) -> Check:
    heights = tuple(dict.fromkeys((*hitch.work_mm, field.highest_mm)))
    parts = []
    for span in pitch_span(hitch.linkage, field.closed_mm, field.open_mm, heights):
        ends = [_degrees(angle) for angle in (span.closed_deg, span.open_deg)]
        parts.append(f"balls at {height_words(span.height_mm, units)}: {ends[0]} closed, {ends[1]} open")
    return Check("pitch, fore-aft", Level.GOOD, f"Degrees, nose up +; {'; '.join(parts)}.")


def _degrees(angle: float | CannotReach) -> str:
    return "cannot reach" if isinstance(angle, CannotReach) else f"{angle:+.1f}"


def _shaft(hitch: OnHitch, field: Field, units: Units) -> list[Check]:
    if hitch.stub is None or hitch.joint is None:
        return []
    lengths = [field.closed_mm + (field.open_mm - field.closed_mm) * step / _STEPS for step in range(_STEPS + 1)]
    heights = [field.lowest_mm + (field.highest_mm - field.lowest_mm) * step / _STEPS for step in range(_STEPS + 1)]
    found = slip(hitch.linkage, lengths, heights, hitch.stub, hitch.joint)
    if found is None:
        return []
    word = angle_word(found.steepest_deg)
    level = Level.LIMIT if found.steepest_deg > MOMENTARY_DEG else Level.GOOD if word == "good" else Level.NOTE
    ends = f"{height_words(found.shortest_mm, units)} to {height_words(found.longest_mm, units)}"
    told = {
        "good": "good everywhere",
        "allowed": "allowed at work",
        "PTO off": "PTO off before it is lifted",
        "too much": "more than a joint takes even at rest",
    }[word]
    text = (
        f"Steepest joint {found.steepest_deg:.1f} degrees: {told}. The shaft works from {ends}, "
        f"{height_words(found.slip_mm, units)} of slip; check overlap and room to close again."
    )
    return [Check("PTO shaft", level, text, _SHAFT_WHY)]
