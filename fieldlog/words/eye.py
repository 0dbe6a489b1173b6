"""A cylinder's eye on the pin and in the gap at an end of the link, and what is ordered for it."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.rounding import mm_text, size_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.offer import EndKind
from fieldlog.retrofit.offers.link_facts import EndOfLink, PinThere
from fieldlog.retrofit.offers.pins import EyeOnPin, Fit
from fieldlog.retrofit.offers.sense import CylinderEnd, OfferFigure
from fieldlog.retrofit.repair.metal import Opening, opening_text
from fieldlog.retrofit.repair.records import Tool

ENDS: Mapping[CylinderEnd, str] = MappingProxyType({CylinderEnd.CAP: "cap end", CylinderEnd.ROD: "rod end"})
ENDS_OF_LINK: Mapping[str, str] = MappingProxyType(
    {
        EndOfLink.TRACTOR: "tractor end",
        EndOfLink.IMPLEMENT: "implement end",
        EndOfLink.UPPER: "upper end",
        EndOfLink.LOWER: "lower end",
    }
)
_FITS: Mapping[Fit, str] = MappingProxyType(
    {
        Fit.FITS: "fits",
        Fit.LOOSE: "fits loosely",
        Fit.REAM: "needs reaming",
        Fit.SLEEVE: "needs a sleeve",
        Fit.DRILL: "needs drilling",
        Fit.UNKNOWN: "not known",
        Fit.CANNOT: "cannot",
    }
)
_MISSING = {"outside": "outside across the hole", "width": "width along the pin"}


def hole_not_known(units: Units, *, end: CylinderEnd, pin: PinThere) -> str:
    """Nobody stated the hole."""
    return f"The hole at the {ENDS[end]} is not known: ask for the pin it takes, here {pin.name}."


def made_for_pin(units: Units, *, end: CylinderEnd, named: str, pin: PinThere) -> str:
    """The seller names the pin that is there."""
    return f"Its {ENDS[end]} is made for a {named} pin, as is there ({pin.name})."


def pin_or_hole(units: Units, *, hole: OfferFigure, end: CylinderEnd, pin: PinThere, for_pin: Fit, itself: Fit) -> str:
    """A stated size may be the pin's or the hole's, and the answers differ."""
    return (
        f"{hole.typed} at the {ENDS[end]}: as the pin it takes it {_FITS[for_pin]} on {pin.name}, as the hole "
        f"itself it {_FITS[itself]}. Ask which is meant, or measure it."
    )


def hardly_any_room(units: Units, *, on: EyeOnPin, tool: Tool) -> str:
    """It may bind."""
    what = _on_pin(units, on)
    return f"{what}: hardly any room. Try the pin; where it binds, {tool.words} ({tool.size_text(units)})."


def room(units: Units, *, on: EyeOnPin, is_tight: bool) -> str:
    """It goes."""
    tight = " (tight, but it goes)" if is_tight else ""
    return f"{_on_pin(units, on)}: {_room(units, on)}{tight}."


def half_worn(units: Units, *, on: EyeOnPin) -> str:
    """It goes loosely."""
    said = f"{_room(units, on)}, more than a good joint has when new: it starts half worn."
    return f"{_on_pin(units, on)}: {said}"


def _on_pin(units: Units, on: EyeOnPin) -> str:
    return f"Hole {size_text(on.hole, units)} at the {ENDS[on.end]} on a {on.pin.name} pin"


def _room(units: Units, on: EyeOnPin) -> str:
    return f"{mm_text(on.hole.value - on.pin.mm, units)} of room"


# too small


def hardened_too_small(units: Units, *, on: EyeOnPin, kind: EndKind) -> str:
    """A ball is never drilled."""
    never = f"a hardened {kind} is never drilled: ask for another end, or for this pin's size."
    return f"{_too_small(units, on)}, and {never}"


def too_much_more_hole(units: Units, *, on: EyeOnPin, tool: Tool, missing: tuple[str, ...]) -> str:
    """An eye nobody knows is not opened so far."""
    grown = tool.mm / on.hole.value - 1
    return (
        f"{_too_small(units, on)}; to {tool.size_text(units)} is {100 * grown:.0f} % more hole, which "
        f"leaves too little eye unless its {_missing(missing)} says otherwise. Not this one."
    )


def open_unseen(
    units: Units,
    *,
    on: EyeOnPin,
    tool: Tool,
    is_reamed: bool,
    missing: tuple[str, ...],
) -> str:
    """It is opened once the metal left is known."""
    asked = f"after the metal left around the hole is checked: ask for the eye's {_missing(missing)}."
    return f"{_opened(units, on, tool, is_reamed=is_reamed)}, {asked}"


def opened_too_far(units: Units, *, on: EyeOnPin, tool: Tool, opening: Opening) -> str:
    """Opened, it has too little metal left."""
    left = opening_text(opening, units)[1]
    return f"{_too_small(units, on)}; opened to {tool.size_text(units)}: {left}. Not this one."


def open_it(
    units: Units,
    *,
    on: EyeOnPin,
    tool: Tool,
    is_reamed: bool,
    opening: Opening,
) -> str:
    """It is opened, and enough metal is left."""
    return f"{_opened(units, on, tool, is_reamed=is_reamed)}; {opening_text(opening, units)[1]}."


def _opened(units: Units, on: EyeOnPin, tool: Tool, *, is_reamed: bool) -> str:
    how = tool.words if is_reamed else tool.drill_words
    return f"{_too_small(units, on)}: {how} ({tool.size_text(units)})"


def _too_small(units: Units, on: EyeOnPin) -> str:
    return f"The {on.pin.name} pin does not enter the {size_text(on.hole, units)} hole at the {ENDS[on.end]}"


def _missing(missing: tuple[str, ...]) -> str:
    return " and ".join(_MISSING[key] for key in missing)


# too large


def sleeve(units: Units, *, on: EyeOnPin, wall_mm: float, is_thin: bool) -> str:
    """A sleeve takes up the room."""
    wall = f"{mm_text(wall_mm, units, _one(units))}{', thin' if is_thin else ''}"
    return f"{_over(units, on)}: a sleeve with a wall of {wall}; keep it from walking out."


def part_sleeve(units: Units, *, on: EyeOnPin) -> str:
    """The sleeve as it is ordered."""
    sizes = f"outside {mm_text(on.hole.value, units)}, inside for {on.pin.name}"
    return f"sleeve for the {ENDS[on.end]}: {sizes}, as long as the eye is wide"


def hardened_too_loose(units: Units, *, on: EyeOnPin, kind: EndKind) -> str:
    """A ball is not bored for a sleeve."""
    never = f"too loose, too thin for a sleeve, and a hardened {kind} is never drilled. Not this end."
    return f"{_over(units, on)}: {never}"


def bore_unseen(
    units: Units,
    *,
    on: EyeOnPin,
    wall_mm: float,
    bore_mm: float,
    missing: tuple[str, ...],
) -> str:
    """It is bored for a sleeve once the metal left is known."""
    asked = f"after the metal left is checked (ask for the eye's {_missing(missing)}), or ask for the right eye."
    return f"{_bored(units, on, wall_mm, bore_mm)}, {asked}"


def bored_too_far(units: Units, *, on: EyeOnPin, wall_mm: float, opening: Opening) -> str:
    """Bored for a sleeve, it has too little metal left."""
    left = opening_text(opening, units)[1]
    bored = f"bored to {mm_text(opening.to_mm, units)} for one: {left}. Ask for the right eye."
    return f"{_loose(units, on, wall_mm)}; {bored}"


def bore_it(units: Units, *, on: EyeOnPin, wall_mm: float, opening: Opening) -> str:
    """It is bored for a sleeve, and enough metal is left."""
    left = opening_text(opening, units)[1]
    return f"{_bored(units, on, wall_mm, opening.to_mm)}; {left}. Or ask for the right eye."


def part_bored_sleeve(units: Units, *, end: CylinderEnd, pin: PinThere) -> str:
    """The sleeve for a bored eye as it is ordered."""
    return f"sleeve for the {ENDS[end]}: wall 2 mm, inside for {pin.name}"


def _bored(units: Units, on: EyeOnPin, wall_mm: float, bore_mm: float) -> str:
    return f"{_loose(units, on, wall_mm)}. Bore the eye to {mm_text(bore_mm, units)} for a sleeve of 2 mm"


def _loose(units: Units, on: EyeOnPin, wall_mm: float) -> str:
    only = f"only {mm_text(wall_mm, units, _one(units))} of wall for a sleeve"
    return f"{_over(units, on)}: too loose, and {only}"


def _over(units: Units, on: EyeOnPin) -> str:
    over = f"{mm_text(on.hole.value - on.pin.mm, units)} over {on.pin.name}"
    return f"Hole {size_text(on.hole, units)} at the {ENDS[on.end]} is {over}"


def _one(units: Units) -> int:
    return 1 if units == "mm" else 3


# the pin


def pin_not_known(units: Units, *, at: EndOfLink, settle: str) -> str:
    """No pin is known at this end."""
    return f"The pin at the {ENDS_OF_LINK[at]} is not known: {settle}."


def pins_differ(units: Units, *, at: EndOfLink, pins: tuple[PinThere, ...], fits: tuple[Fit, ...], settle: str) -> str:
    """The pin is not settled, and the answers differ."""
    names = " or ".join(pin.name for pin in pins)
    each = "; ".join(f"on {pin.name} it {_FITS[fit]}" for pin, fit in zip(pins, fits, strict=True))
    return f"The pin at the {ENDS_OF_LINK[at]} is {names}: {each}. First {settle or 'measure the pin'}."


def answer_is_the_same(units: Units, *, pins: tuple[PinThere, ...]) -> str:
    """The pin is not settled, and it makes no difference."""
    return f"the pin is {' or '.join(pin.name for pin in pins)}; the answer is the same"


def why_pin(units: Units, *, origin: str) -> str:
    """How the pin is known."""
    return f"Pin: {origin}."


def why_worked_on(units: Units, *, origin: str) -> str:
    """How the pin is known, where the eye is worked on."""
    same = "All holes that share a pin get the same pin, and the weaker part's rating counts."
    return f"{why_pin(units, origin=origin)} {same}"


def pin_counts_as(units: Units, *, at: EndOfLink, name: str, origin: str) -> str:
    """The pin as the fit takes it; a worn one is looser."""
    return f"pin at the {ENDS_OF_LINK[at]}: {name} ({origin}), counts as its nominal size"


# the gap


def gap_typed(units: Units, *, at: EndOfLink, typed: str) -> str:
    """The gap as it stands in the machine's file."""
    return f"gap at the {ENDS_OF_LINK[at]}: {typed}"


def width_not_known(units: Units, *, end: CylinderEnd) -> str:
    """Nobody stated the width."""
    return f"Ask for the width of the eye at the {ENDS[end]}: an eye too wide does not enter."


def gap_not_known(units: Units, *, at: EndOfLink) -> str:
    """Nobody measured the gap."""
    return f"Measure the gap at the {ENDS_OF_LINK[at]}: an eye too wide does not enter."


def in_gap(units: Units, *, width: OfferFigure, end: CylinderEnd, gap: Value, at: EndOfLink) -> str:
    """Which eye goes into which gap."""
    ends = f"at the {ENDS[end]}, gap {mm_text(gap.value, units)} at the {ENDS_OF_LINK[at]}"
    return f"Eye {width.typed} wide {ends}"


def too_wide(units: Units, *, what: str, room: Value) -> str:
    """The eye does not go into the gap."""
    return f"{what}: {mm_text(-room.value, units)} too wide, it does not enter."


def why_no_grinding(units: Units) -> str:
    """What to do about an eye that is too wide."""
    return "Another end, or another bracket; an eye is not ground down."


def width_in_doubt(units: Units, *, what: str) -> str:
    """Whether it enters is within the doubt."""
    return f"{what}: within doubt; try it, or measure both."


def washers(units: Units, *, what: str, room: Value) -> str:
    """There is so much play that washers centre it."""
    return f"{what}: washers of {mm_text(room.value / 2, units)} each side."


def part_washers(units: Units, *, at: EndOfLink, room: Value) -> str:
    """The washers as they are ordered."""
    return f"washers for the {ENDS_OF_LINK[at]}: {mm_text(room.value / 2, units)} each side"


def play(units: Units, *, what: str, room: Value) -> str:
    """It enters."""
    return f"{what}: {mm_text(room.value, units)} of play."
