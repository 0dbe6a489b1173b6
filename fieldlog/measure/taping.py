"""What one way of taping a link says: the mean of its set-ups, with what is common to them and what is not.

"Outer" is a hole's edge facing away from the other hole, "inner" the edge facing it. With hole diameters D1 (near)
and D2 (far), pin diameters d1 and d2 and true centre distance C, plane geometry gives: outside = C + (D1 + D2)/2,
inside = C - (D1 + D2)/2, outer to inner = C + (D1 - D2)/2, inner to outer = C - (D1 - D2)/2. Over the pins, from the
outer side of one pin to the outer side of the other: pulled tight the pins lie against the outer edges, which is
outside again; pushed tight they lie against the inner edges, C - (D1 + D2)/2 + d1 + d2.

What the weather puts into a length: standards hold at 20 degC, and steel grows by 11.5 millionths a kelvin.

Temperature widens lengths, it corrects nothing: a steel tape and a steel link shrink together; the part is what is
left when one is cold and the other is not, at most. Bores and pins: 50 mm and 10 K are 0.006 mm, left out.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.measure.instruments import HOOK_AND_EYE_MM, UNKNOWN_TAPE, limit_term, mean, typing_half_width_mm
from fieldlog.quantity.source import Term, limit, step
from fieldlog.quantity.units import REFERENCE_DEG_C
from fieldlog.quantity.value import Value, total
from fieldlog.records.entries import LengthReading, TapeWay
from fieldlog.records.machine import Instrument

BY_EYE_MM = 1.5  # half-width of setting a tape on two centres by eye: common practice, no source
EYE_MM = 0.5  # half-width of reading one end against an edge by eye: common practice, no source
BURNT_MM = 0.7  # both ends read by eye, from a mark instead of the hook: sqrt(2) times the above
PIN_SLACK_MM = 1.0  # half-width of where pins lie in holes nobody measured: common practice, no source


class Shares(NamedTuple):
    """What is added to a taped length for the centre distance, as shares of hole and pin diameters."""

    near_hole: float
    far_hole: float
    pins: float = 0.0


class _Setting(NamedTuple):
    """The doubt of setting the tape once, a half-width."""

    label: str
    half_mm: float
    why: str


SHARES: Mapping[TapeWay, Shares] = MappingProxyType(
    {
        "outside": Shares(-0.5, -0.5),
        "inside": Shares(0.5, 0.5),
        "outer to inner": Shares(-0.5, 0.5),
        "inner to outer": Shares(0.5, -0.5),
        "over pins, pulled": Shares(-0.5, -0.5),
        "over pins, pushed": Shares(0.5, 0.5, -1.0),
        "centres": Shares(0.0, 0.0),
    }
)
OVER_PINS: tuple[TapeWay, TapeWay] = ("over pins, pulled", "over pins, pushed")
OPPOSITE_PAIRS: tuple[tuple[TapeWay, TapeWay], ...] = (
    ("outside", "inside"),
    ("outer to inner", "inner to outer"),
)


@dataclass(frozen=True, slots=True)
class Ends:
    """The holes and pins at a link's ends, as far as they are known, along the link."""

    near_hole: Value | None = None
    far_hole: Value | None = None
    near_pin: Value | None = None
    far_pin: Value | None = None

    @property
    def holes(self) -> tuple[Value, Value] | None:
        """Both holes, or None."""
        return (self.near_hole, self.far_hole) if self.near_hole is not None and self.far_hole is not None else None

    @property
    def pins(self) -> tuple[Value, Value] | None:
        """Both pins, or None."""
        return (self.near_pin, self.far_pin) if self.near_pin is not None and self.far_pin is not None else None


@dataclass(frozen=True, slots=True)
class Taped:
    """One way of taping: the mean of its set-ups; `common` are the tape's own terms and do not shrink with repeats.

    Each taping has sources of its own, the tape's limit too: it is good to that from one mark to another, so that two
    tapings with one tape are wrong by two amounts.
    """

    way: TapeWay
    value_mm: float
    common: tuple[Term, ...]
    own: tuple[Term, ...]
    sizes_mm: tuple[float, ...]

    @property
    def length(self) -> Value:
        """The taped length as it stands."""
        return Value(self.value_mm, "mm", (*self.common, *self.own))


def taped_ways(readings: Sequence[LengthReading], instruments: Mapping[str, Instrument]) -> dict[TapeWay, Taped]:
    """Return what each way of taping gives, from one round's readings of a link in one state."""
    by_way = {way: [reading for reading in readings if reading.way == way] for way in SHARES}
    return {way: _taped(way, group, instruments) for way, group in by_way.items() if group}


def _taped(way: TapeWay, readings: Sequence[LengthReading], instruments: Mapping[str, Instrument]) -> Taped:
    sizes = tuple(float(reading.length_mm) for reading in readings)
    used = [instruments.get(reading.instrument, UNKNOWN_TAPE) for reading in readings]
    length_mm, whose = mean(sizes), _taping(readings[0])
    of_tape = max((limit_term(tape, "length", length_mm, whose) for tape in used), key=lambda term: term.u)
    half = max(typing_half_width_mm(r.size, tape) for r, tape in zip(readings, used, strict=True))
    setups = math.sqrt(len(sizes))
    hooked = [tape for reading, tape in zip(readings, used, strict=True) if reading.start is None]
    slop, eye = _hook(way, hooked, whose)
    own = (
        limit(f"{whose}/set-up", eye.half_mm / setups, "setting", label=f"{eye.label}, {way}", why=eye.why),
        step(f"{whose}/step", half / setups, label=f"step of the typing, {way}", why=f"± {half:.3g} mm"),
    )
    return Taped(way, length_mm, (of_tape, temperature_term(readings, length_mm, whose), *slop), own, sizes)


def _taping(reading: LengthReading) -> str:
    """Return what the sources of one way of taping are known by: round, link with its holes, state and way."""
    holes = f"{reading.near_hole} to {reading.far_hole}"
    return f"{reading.round or reading.day.isoformat()}/{reading.link} {holes}/{reading.state}/{reading.way}"


def _hook(way: TapeWay, hooked: Sequence[Instrument], whose: str) -> tuple[tuple[Term, ...], _Setting]:
    """Return what the hook is off by, as a term where that is known, and the doubt of setting the tape once."""
    if way == "centres":
        return (), _setting("hook and eye", BY_EYE_MM)
    if not hooked:
        return (), _setting("both ends by eye, from a mark", BURNT_MM)
    slops = [tape.hook_slop for tape in hooked if tape.hook_slop is not None]
    if len(slops) < len(hooked):
        return (), _setting("hook and eye", HOOK_AND_EYE_MM)
    slop_mm = max(float(slop.mm) for slop in slops)
    why = f"± {slop_mm:.3g} mm, from the logbook"
    return (limit(f"{whose}/hook", slop_mm, "setting", label="slop of the hook", why=why),), _setting("by eye", EYE_MM)


def _setting(label: str, half_mm: float) -> _Setting:
    return _Setting(label, half_mm, f"± {half_mm:g} mm a set-up, common practice")


def most_doubtful(taped: Sequence[Taped]) -> tuple[Term, ...]:
    """Return what the tape itself leaves open in several tapings of about one length: once, where it is most."""
    return max((one.common for one in taped), key=lambda terms: math.fsum([term.u**2 for term in terms]))


def mean_of_pair(first: Taped, second: Taped) -> Value:
    """Halve the sum of two ways; the tape's own limit is common to both, the set-ups are not."""
    halves = [term.times(0.5) for term in (*first.own, *second.own)]
    return Value((first.value_mm + second.value_mm) / 2, "mm", (*most_doubtful((first, second)), *halves))


def centres_from(taped: Taped, ends: Ends) -> Value | None:
    """Return the centre distance that one way gives, None when a hole or pin it needs is not known."""
    shares = SHARES[taped.way]
    if taped.way == "centres":
        return taped.length
    is_over_pins = taped.way in OVER_PINS
    if ends.holes is None or (shares.pins and ends.pins is None):
        return _with_slack(taped, ends.pins) if is_over_pins and ends.pins is not None else None
    others = [(ends.holes[0], shares.near_hole), (ends.holes[1], shares.far_hole)]
    if shares.pins and ends.pins is not None:
        others += [(pin, shares.pins) for pin in ends.pins]
    return total((taped.length, 1.0), *others)


def _with_slack(taped: Taped, pins: tuple[Value, Value]) -> Value:
    """Take half of each pin off; how far the pins lie off the holes' centres is not known."""
    why = f"± {PIN_SLACK_MM:g} mm, holes not measured, common practice"
    label, whose = "slack of the pins in their holes", taped.common[0].source.id
    slack = limit(f"{whose}/slack", PIN_SLACK_MM, "usual", label=label, why=why)
    return _less_pins(taped.length, pins).within(slack)


def pins_pair(pulled: Taped, pushed: Taped, pins: tuple[Value, Value]) -> Value:
    """Return the centre distance from over the pins, pulled and pushed, halved, less half of each pin; no holes."""
    return _less_pins(mean_of_pair(pulled, pushed), pins)


def _less_pins(length: Value, pins: tuple[Value, Value]) -> Value:
    return total((length, 1.0), *((pin, -0.5) for pin in pins))


STEEL_PER_K = 11.5e-6  # GUM (JCGM 100:2008) H.1.2
UNKNOWN_KELVIN = 25.0  # -5 to 45 degC, where no temperature is written down: common practice, no source


def expansion_mm(length_mm: float, kelvin: float) -> float:
    """Return what a steel length grows (below zero: shrinks) when it is `kelvin` above 20 degC."""
    return STEEL_PER_K * length_mm * kelvin


def temperature_term(readings: Sequence[LengthReading], length_mm: float, whose: str) -> Term:
    """Return what the temperature does: the whole growth of the length as a limit.

    A steel tape and a steel link shrink together, so nothing is corrected; as much as this is left when only one of
    them has that temperature.
    """
    known = [reading.temperature.deg_c for reading in readings if reading.temperature is not None]
    kelvins = [abs(deg_c - REFERENCE_DEG_C) for deg_c in known]
    if len(known) < len(readings):
        kelvins.append(UNKNOWN_KELVIN)
        why = f"not written down, taken as within {UNKNOWN_KELVIN:g} degC of 20 degC"
    else:
        why = f"{known[0]:g} degC against 20 degC, tape and link not equally so"
    kelvin = max(kelvins)
    half_mm, why = abs(expansion_mm(length_mm, kelvin)), f"{why}; steel grows 11.5e-6 a degree"
    return limit(f"{whose}/temperature", half_mm, "temperature", label="temperature", why=why)
