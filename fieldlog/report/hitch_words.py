"""The hitch's numbers in the trade's words: pitch is fore-aft, roll is side to side, and each says which way."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.measure.rounding import mm_text, other_units, places_for
from fieldlog.measure.rounding import plus_minus_text as value_and_doubt
from fieldlog.records.quantities import Units
from fieldlog.report.figure_text import shown_in
from fieldlog.report.lines import Span
from fieldlog.retrofit.carried import Carried
from fieldlog.retrofit.clearances import Clearance, Worst
from fieldlog.retrofit.driveline import AngleWord, Shaft, Slip, angle_word
from fieldlog.retrofit.forces import TopLinkForces
from fieldlog.retrofit.plane import CannotReach

Doubts = Mapping[str, float]
NO_DOUBTS: Doubts = MappingProxyType({})  # 95 % half-widths by the words of `retrofit/hitch_opened.py`
_PUSH_WORDS = ("top link carried", "top link, pushed forward", "top link, pushed back")
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


def sure_length(mm: float, doubt_mm: float, units: Units) -> str:
    """Return a length with its doubt where there is one."""
    if doubt_mm <= 0:
        return length_text(mm, units)
    shown = shown_in("mm", units)[0]
    return f"{value_and_doubt(mm * shown.factor, doubt_mm * shown.factor, 1 if units == 'mm' else 2)} {units}"


def degrees(value: float, doubt: float = 0.0, places: int = 1) -> str:
    """Return degrees to a tenth with the doubt where there is one, without a minus before nought."""
    if doubt > 0:
        return value_and_doubt(value, doubt, places)
    text = f"{value:.{places}f}"
    return text.lstrip("-") if not text.strip("-0.") else text


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


def force_text(kn: float, units: Units, doubt_kn: float = 0.0) -> str:
    """Return a force without its way: in kN beside millimetres, in lbf beside inches; its doubt where there is one."""
    shown = shown_in("kN", units)[0]
    value, doubt, places = abs(kn) * shown.factor, doubt_kn * shown.factor, 1 if units == "mm" else 0
    return f"{value_and_doubt(value, doubt, places) if doubt > 0 else f'{value:.{places}f}'} {shown.unit}"


def top_link_text(forces: TopLinkForces, units: Units, doubts: Doubts = NO_DOUBTS) -> str:
    """Return what the top link carries, and whether the load reverses."""
    way = "pull" if forces.carried_kn >= 0 else "push"
    text = f"Top link {force_text(forces.carried_kn, units, doubts.get('top link carried', 0.0))} {way}"
    if not forces.reverses:
        return f"{text}, carried"
    pushes = [(kn, doubts.get(word, 0.0)) for kn, word in zip(forces, _PUSH_WORDS, strict=True)]
    low, high = (force_text(kn, units, doubt) for kn, doubt in (min(pushes), max(pushes)))
    return (
        f"{text}; with the ground's push {high.rpartition(' ')[0]} pull to {low} push: {reversal_word(forces, doubts)}"
    )


def reversal_word(forces: TopLinkForces, doubts: Doubts) -> str:
    """Return whether the load reverses, or may, where the smaller force is within its own doubt."""
    sure = all(
        any(sign * kn > doubts.get(word, 0.0) for kn, word in zip(forces, _PUSH_WORDS, strict=True)) for sign in (1, -1)
    )
    return "reverses" if sure else "may reverse"


def shaft_text(shaft: Shaft, units: Units, doubts: Doubts = NO_DOUBTS) -> str:
    """Return the PTO shaft at one position."""
    word = _PTO_WORDS[angle_word(shaft.steepest_deg)]
    size = sure_length(shaft.length_mm, doubts.get("PTO shaft", 0.0), units)
    near, far = (
        degrees(angle, doubts.get(f"PTO, {whose} joint", 0.0), 1 if doubts else 0)
        for angle, whose in ((shaft.tractor_deg, "tractor's"), (shaft.implement_deg, "implement's"))
    )
    return f"PTO shaft {size}, joints {near} and {far} deg: {word}"


def slip_text(slip: Slip, units: Units, doubts: Doubts = NO_DOUBTS) -> str:
    """Return what the shaft must take up over all lengths and heights."""
    slips = sure_length(slip.slip_mm, doubts.get("PTO slip", 0.0), units)
    steepest = degrees(slip.steepest_deg, doubts.get("PTO joint, steepest", 0.0), 1 if doubts else 0)
    return (
        f"Over every length and height: shaft {range_text(slip.shortest_mm, slip.longest_mm, units)}, "
        f"{slips} of slip, joints up to {steepest} deg"
    )
