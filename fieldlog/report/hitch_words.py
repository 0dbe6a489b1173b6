"""The hitch's numbers in the trade's words: pitch is fore-aft, roll is side to side, and each says which way."""

from fieldlog.measure.rounding import mm_text, other_units, places_for
from fieldlog.records.quantities import Units
from fieldlog.report.lines import Span
from fieldlog.retrofit.carried import Carried
from fieldlog.retrofit.clearances import Clearance, Worst
from fieldlog.retrofit.driveline import AngleWord, Shaft, Slip, angle_word
from fieldlog.retrofit.forces import TopLinkForces
from fieldlog.retrofit.plane import CannotReach

LBF_PER_KN = 224.80894  # NIST SP 811: 1 lbf = 4.448222 N
_LEVEL_DEG = 0.05
_PTO_WORDS: dict[AngleWord, str] = {
    "good": "good to run",
    "allowed": "the most for steady work",
    "PTO off": "PTO off here",
    "too much": "too much for any joint",
}


def length_text(mm: float, units: Units) -> str:
    """Return a length to a whole mm or a hundredth of an inch."""
    return mm_text(mm, units, 0 if units == "mm" else 2)


def both_lengths(mm: float, units: Units) -> str:
    """Return a length in both units, the person's own first."""
    return f"{length_text(mm, units)} ({length_text(mm, other_units(units))})"


def range_text(low_mm: float, high_mm: float, units: Units) -> str:
    """Return '590 to 718 mm'."""
    return f"{length_text(low_mm, units).removesuffix(f' {units}')} to {length_text(high_mm, units)}"


def plus_minus_text(found: Carried, units: Units) -> str:
    """Return a length with its doubt: '590 ± 5 mm'."""
    value, doubt = (mm_text(mm, units, 0 if units == "mm" else 1) for mm in (found.value, found.plus_minus))
    return f"{value.removesuffix(f' {units}')} ± {doubt}"


def degrees(value: float) -> str:
    """Return degrees to a tenth, without a minus before nought."""
    text = f"{value:.1f}"
    return "0.0" if text == "-0.0" else text


def doubtful_degrees(found: Carried) -> str:
    """Return '-13.6 ± 0.9 deg', the digits following the doubt but never finer than a tenth."""
    places = min(places_for(found.plus_minus, 1), 1)
    value = f"{found.value:.{places}f}"
    value = value.lstrip("-") if not value.strip("-0.") else value
    return f"{value} ± {max(found.plus_minus, 10.0**-places):.{places}f} deg"


def pitch_word(pitch_deg: float) -> str:
    """Return which way the implement leans fore-aft."""
    if abs(pitch_deg) < _LEVEL_DEG:
        return "mast upright"
    return "nose up, tail down" if pitch_deg > 0 else "nose down, tail up"


def roll_word(roll_deg: float) -> str:
    """Return which way the implement rolls: the changed rod's side up or down."""
    if abs(roll_deg) < _LEVEL_DEG:
        return "level"
    return "that rod's side up" if roll_deg > 0 else "that rod's side down"


def reach_text(found: CannotReach) -> str:
    """Return a miss as a sentence's beginning."""
    sentence = found.sentence()
    return sentence[:1].upper() + sentence[1:]


def room_span(clear: Clearance, units: Units, where: str = "", doubt_mm: float = 0.0) -> Span:
    """Return 'tyre only 96 mm from frame corner', marked when less than is wanted."""
    size = length_text(abs(clear.room_mm), units)
    if doubt_mm > 0:
        size = plus_minus_text(Carried(abs(clear.room_mm), doubt_mm, ""), units)
    if clear.obstacle == "ground":
        text = f"{clear.point} {size} {'under' if clear.room_mm < 0 else 'over'} ground{where}"
        return Span(text, "warn" if clear.room_mm < 0 else "")
    if clear.room_mm < 0:
        return Span(f"{clear.point} {size} inside the {clear.obstacle}{where}", "stop")
    if clear.spare_mm < 0:
        return Span(f"{clear.obstacle} only {size} from {clear.point}{where}", "warn")
    return Span(f"{clear.obstacle} {size} from {clear.point}{where}")


def worst_span(worst: Worst, units: Units, doubt_mm: float = 0.0) -> Span:
    """Return the least room of a field, its doubt, and where it is."""
    link, balls = length_text(worst.length_mm, units), length_text(worst.height_mm, units)
    where = f" at link {link.removesuffix(f' {units}')}, balls {balls}"
    return room_span(worst.clearance, units, where, doubt_mm)


def force_text(kn: float, units: Units) -> str:
    """Return a force without its way: in kN beside millimetres, in lbf beside inches."""
    return f"{abs(kn):.1f} kN" if units == "mm" else f"{abs(kn) * LBF_PER_KN:.0f} lbf"


def top_link_text(forces: TopLinkForces, units: Units) -> str:
    """Return what the top link carries, and whether the load reverses."""
    way = "pull" if forces.carried_kn >= 0 else "push"
    text = f"Top link {force_text(forces.carried_kn, units)} {way}"
    if not forces.reverses:
        return f"{text}, carried"
    low, high = force_text(min(forces), units), force_text(max(forces), units)
    return f"{text}; with the ground's push {high.partition(' ')[0]} pull to {low} push: reverses"


def shaft_text(shaft: Shaft, units: Units) -> str:
    """Return the PTO shaft at one position."""
    word = _PTO_WORDS[angle_word(shaft.steepest_deg)]
    size = length_text(shaft.length_mm, units)
    return f"PTO shaft {size}, joints {shaft.tractor_deg:.0f} and {shaft.implement_deg:.0f} deg: {word}"


def slip_text(slip: Slip, units: Units) -> str:
    """Return what the shaft must take up over all lengths and heights."""
    return (
        f"Over every length and height: shaft {range_text(slip.shortest_mm, slip.longest_mm, units)}, "
        f"{length_text(slip.slip_mm, units)} of slip, joints up to {slip.steepest_deg:.0f} deg"
    )
