"""The metal left around a hole, a bush pressed into an eye, and the numbers of a repair as they are opened."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.number import Numbers
from fieldlog.quantity.page_number import Texts
from fieldlog.quantity.rounding import both_plain_text, mm_text, plus_minus_text
from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.quantity.value import Value
from fieldlog.retrofit.repair.bush import HOWS, WARMED_ROOM_MM, running_clearance_mm, stock_bush
from fieldlog.retrofit.repair.metal import Fails, MetalWord
from fieldlog.retrofit.repair.numbers import PIN_ROOM_MM, SLEEVE_ROOM_MM
from fieldlog.retrofit.repair.records import WornHole

_FAILS = {Fails.SIDES: "sides tear", Fails.END: "end tears out", Fails.HOLE: "hole crushes"}
_METAL = {
    MetalWord.ENOUGH: "enough is left",
    MetalWord.ASK_A_SHOP: "ask a shop whether that is enough",
    MetalWord.TOO_LITTLE: "too little is left",
}


def sure(size: Value, units: Units, places: int = 2) -> str:
    """Return a length with its doubt where there is one, to so many places of a millimetre at the finest."""
    finest = places if units == "mm" else places + 2
    if size.plus_minus <= 0:
        return mm_text(size.value, units, finest)
    factor = 1.0 if units == "mm" else 1 / float(MM_PER_INCH)
    return f"{plus_minus_text(size.value * factor, size.plus_minus * factor, finest)} {units}"


def _plain(size: Value, places: int) -> str:
    if size.plus_minus > 0:
        return plus_minus_text(size.value, size.plus_minus, places)
    return f"{size.value:.{places}f}"


def _percent(share: Value) -> str:
    return f"{_plain(share, 1 if share.plus_minus > 0 else 0)} %"


def metal_left(units: Units, *, side: Value, end: Value, kept: Value, carries: Value) -> str:
    """Walls and strength after the hole was opened."""
    walls = f"walls {sure(side, units)} at the sides and {sure(end, units)} at the end"
    return f"Metal left: {walls}, {_percent(kept)} of as made; it carries {_percent(carries)} of what it did."


def opened(units: Units, *, wall: Value, kept: Value, word: MetalWord, reasons: tuple[str, ...]) -> str:
    """The metal left around a cylinder's eye, as the end of a sentence."""
    walls = f"walls of {sure(wall, units)}, {_plain(kept, 1)} % of as made"
    why = "; ".join(reasons)
    return f"{walls}: {_METAL[word]}{f' ({why})' if why else ''}"


def because(units: Units, *, reason: str) -> str:
    """A reason as a sentence of its own."""
    return f"{reason[:1].upper()}{reason[1:]}."


def within_doubt(units: Units) -> str:
    """Enough, but not surely so."""
    return "Whether that is enough is within the doubt of the eye's sizes."


def eye_not_measured(units: Units) -> str:
    """Nothing can be said of the metal."""
    return "The eye was not measured: its width, thickness and the way from the hole's centre to its end decide."


def carries_little(units: Units, *, share: float, first: Fails) -> str:
    """Too weak."""
    return f"it carries {100 * share:.0f} % of what it did ({_FAILS[first]} first)"


def thin_wall(units: Units, *, share: float, least: float) -> str:
    """Too thin."""
    return f"the thinnest wall is {100 * share:.0f} % of what it was; {100 * least:.0f} % is kept"


def hardly_an_end(units: Units, *, ratio: float) -> str:
    """Too near the end."""
    return f"only {ratio:.2f} holes from the centre to the end"


def under_thumb_rule(units: Units, *, ratio: float, least: float) -> str:
    """Near the end."""
    return f"{ratio:.2f} holes from the centre to the end, under the {least} of the thumb rule"


def no_eye(units: Units) -> str:
    """A size of nothing."""
    return "An eye has a width, a thickness, a hole, a pin and metal at its end, all above nothing."


def hole_breaks_out(units: Units, *, hole_mm: float, width_mm: float, centre_to_end_mm: float) -> str:
    """A hole larger than its eye."""
    return (
        f"A hole of {hole_mm:.2f} mm breaks out of an eye {width_mm:g} mm wide with {centre_to_end_mm:g} mm from its "
        "centre to the end; measure them again."
    )


def pin_does_not_go_in(units: Units, *, pin_mm: float, hole_mm: float) -> str:
    """A pin larger than its hole."""
    return f"A pin of {pin_mm:.2f} mm does not go into a hole of {hole_mm:.2f} mm."


# A bush pressed in


def thin_bush(units: Units, *, wall_mm: float, least_mm: float) -> str:
    """A wall that gives."""
    return f"the bush's wall is {wall_mm:.1f} mm; a pressed one has {least_mm:g} mm or more"


def small_eye(units: Units, *, ratio: float, least: float) -> str:
    """An eye that gives."""
    return f"the eye is {ratio:.2f} times the bush across; {least} or more is wanted"


def eye_over_stretched(units: Units, *, hoop_mpa: float, most_share: float) -> str:
    """An eye near its yield."""
    return f"the eye is stretched with {hoop_mpa:.0f} MPa, over {100 * most_share:.0f} % of its yield"


def shop_bore(units: Units, *, to_mm: float) -> str:
    """The bore for the bush."""
    return f"bore the eye to {both_plain_text(to_mm, units)} H7, round within 0.03 mm"


def shop_chamfer(units: Units) -> str:
    """How it is started."""
    return "chamfer 15 to 20 degrees, start square, a split bush with its joint off the load"


def shop_interference(units: Units, *, least_mm: float, most_mm: float) -> str:
    """How tight it sits."""
    return f"interference {mm_text(least_mm, units, 3)} to {mm_text(most_mm, units, 3)} (H7/p6); grease hole lined up"


def shop_closes_in(units: Units, *, closes: Value, order: Value, room_mm: float) -> str:
    """What pressing does to the bore."""
    return (
        f"its bore closes in by about {sure(closes, units, 3)}: order the bore {sure(order, units)}, or ream after "
        f"pressing, for {mm_text(room_mm, units)} of room on the pin"
    )


def shop_press(units: Units, *, low_kn: float, high_kn: float, warm: Value, is_too_hot: bool) -> str:
    """How it goes in."""
    warmed = f", or warm the eye by {warm.value:.0f} degC"
    if is_too_hot:
        warmed = f"; to warm it in would take {warm.value:.0f} degC more, which is too hot for the eye"
    return f"press with {low_kn:.0f} to {high_kn:.0f} kN{warmed}"


def shop_stretched(units: Units, *, stress: Value) -> str:
    """What the eye feels."""
    return f"pressed in, the eye is stretched with {_plain(stress, 0)} MPa"


# Numbers as they are opened

_PRESSED = "Lame's thick-walled cylinders: pressure from the interference, then what the bore gives."
_WALLS: Mapping[str, Texts] = MappingProxyType(
    {
        "side wall": Texts("side wall", "Wall at each side {to}", "Wall = (width less hole) / 2."),
        "end wall": Texts("end wall", "Wall at the end {to}", "Wall = centre to end less half the hole."),
        "wall kept": Texts("wall kept", "The thinner wall {to}, of as made"),
        "strength kept": Texts(
            "strength kept",
            "What the eye carries {to}, of as made",
            "The least of sides tearing, end tearing out, hole crushing (AISC 360 D5), now over as made.",
        ),
    }
)
_OF_METAL = {f"{what}/{how}": (texts, how) for how in HOWS for what, texts in _WALLS.items()}
_OTHERS: Mapping[str, Texts] = MappingProxyType(
    {
        "largest": Texts("largest now", "Largest size as it is worn"),
        "made": Texts("as made", "The hole as made: its smallest size, or the pin's"),
        "oval": Texts("oval by", "Ovality: largest less smallest"),
        "oversize pin": Texts("oversize pin", f"Pin turned to fill the bush: largest less {PIN_ROOM_MM:g} mm of room"),
        "sleeve's wall": Texts(
            "sleeve's wall", f"Wall of a sleeve: half of largest less pin less {SLEEVE_ROOM_MM:g} mm of room"
        ),
        "closes in": Texts("closes in", "How far its bore closes in", _PRESSED),
        "bore to order": Texts(
            "bore to order", f"Bore to order: pin, {running_clearance_mm():.2f} mm of room, and what it closes in by"
        ),
        "pressing force": Texts("pressing force", "Force that presses it in"),
        "eye stretched": Texts("eye stretched", "Stress in the eye", _PRESSED),
        "warming": Texts("warming", f"How much warmer the eye grows over the bush with {WARMED_ROOM_MM:g} mm to spare"),
    }
)


def number_texts(number_id: str, case: WornHole, numbers: Numbers) -> Texts:
    """Return how a repair's number is called when it is opened.

    Raises:
        KeyError: there are no words for it.
    """
    if number_id in _OF_METAL:
        (word, about, formula), how = _OF_METAL[number_id]
        to_mm = numbers.value(f"now/{how}").value
        return Texts(f"{word}, {how}", about.format(to=f"with the hole {how} to {to_mm:.2f} mm"), formula)
    if number_id == "interference":
        stock = stock_bush(case)
        name = stock.name if stock is not None else ""
        return Texts("interference", f"Interference of the bush {name} in its eye, anywhere in the range of H7/p6")
    return _OTHERS[number_id]
