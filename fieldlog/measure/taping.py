"""What one way of taping a link says: the mean of its set-ups, with what is common to them and what is not.

"Outer" is a hole's edge facing away from the other hole, "inner" the edge facing it. With hole diameters D1 (near)
and D2 (far), pin diameters d1 and d2 and true centre distance C, plane geometry gives: outside = C + (D1 + D2)/2,
inside = C - (D1 + D2)/2, outer to inner = C + (D1 - D2)/2, inner to outer = C - (D1 - D2)/2. Over the pins, from the
outer side of one pin to the outer side of the other: pulled tight the pins lie against the outer edges, which is
outside again; pushed tight they lie against the inner edges, C - (D1 + D2)/2 + d1 + d2.

What the weather puts into a length: standards hold at 20 degC, and steel grows by 11.5 millionths a kelvin.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.measure.instruments import HOOK_AND_EYE_MM, UNKNOWN_TAPE, limit_part, mean, typing_half_width_mm
from fieldlog.quantity.estimate import Estimate, Part, added, limit_of, scaled
from fieldlog.quantity.units import REFERENCE_DEG_C
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

    name: str
    half_mm: float
    source: str


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

    near_hole: Estimate | None = None
    far_hole: Estimate | None = None
    near_pin: Estimate | None = None
    far_pin: Estimate | None = None

    @property
    def holes(self) -> tuple[Estimate, Estimate] | None:
        """Both holes, or None."""
        return (self.near_hole, self.far_hole) if self.near_hole is not None and self.far_hole is not None else None

    @property
    def pins(self) -> tuple[Estimate, Estimate] | None:
        """Both pins, or None."""
        return (self.near_pin, self.far_pin) if self.near_pin is not None and self.far_pin is not None else None


@dataclass(frozen=True, slots=True)
class Taped:
    """One way of taping: the mean of its set-ups; `common` parts are the tape's own and do not shrink with repeats."""

    way: TapeWay
    value_mm: float
    common: tuple[Part, ...]
    own: tuple[Part, ...]
    sizes_mm: tuple[float, ...]

    @property
    def estimate(self) -> Estimate:
        """The taped length as it stands."""
        return Estimate(self.value_mm, (*self.common, *self.own))


def taped_ways(readings: Sequence[LengthReading], instruments: Mapping[str, Instrument]) -> dict[TapeWay, Taped]:
    """Return what each way of taping gives, from one round's readings of a link in one state."""
    by_way = {way: [reading for reading in readings if reading.way == way] for way in SHARES}
    return {way: _taped(way, group, instruments) for way, group in by_way.items() if group}


def _taped(way: TapeWay, readings: Sequence[LengthReading], instruments: Mapping[str, Instrument]) -> Taped:
    sizes = tuple(float(reading.length_mm) for reading in readings)
    used = [instruments.get(reading.instrument, UNKNOWN_TAPE) for reading in readings]
    length_mm = mean(sizes)
    limit = max((limit_part(tape, "length", length_mm) for tape in used), key=lambda part: part.u_mm)
    half = max(typing_half_width_mm(r.size, tape) for r, tape in zip(readings, used, strict=True))
    setups = math.sqrt(len(sizes))
    hooked = [tape for reading, tape in zip(readings, used, strict=True) if reading.start is None]
    slop, eye = _hook(way, hooked)
    own = (
        limit_of(f"{eye.name}, {way}", eye.half_mm / setups, eye.source),
        limit_of(f"step of the typing, {way}", half / setups, f"± {half:.3g} mm"),
    )
    return Taped(way, length_mm, (limit, temperature_part(readings, length_mm), *slop), own, sizes)


def _hook(way: TapeWay, hooked: Sequence[Instrument]) -> tuple[tuple[Part, ...], _Setting]:
    """Return what the hook is off by, as a part where that is known, and the doubt of setting the tape once."""
    if way == "centres":
        return (), _setting("hook and eye", BY_EYE_MM)
    if not hooked:
        return (), _setting("both ends by eye, from a mark", BURNT_MM)
    slops = [tape.hook_slop for tape in hooked if tape.hook_slop is not None]
    if len(slops) < len(hooked):
        return (), _setting("hook and eye", HOOK_AND_EYE_MM)
    slop_mm = max(float(slop.mm) for slop in slops)
    part = limit_of("slop of the hook", slop_mm, f"± {slop_mm:.3g} mm, from the logbook")
    return (part,), _setting("by eye", EYE_MM)


def _setting(name: str, half_mm: float) -> _Setting:
    return _Setting(name, half_mm, f"± {half_mm:g} mm a set-up, common practice")


def mean_of_pair(first: Taped, second: Taped) -> Estimate:
    """Halve the sum of two ways; the tape's own limit is common to both, the set-ups are not."""
    common = max((first.common, second.common), key=lambda parts: math.fsum(part.u_mm**2 for part in parts))
    halves = scaled(Estimate(0.0, (*first.own, *second.own)), 0.5).parts
    return Estimate((first.value_mm + second.value_mm) / 2, (*common, *halves))


def centres_from(taped: Taped, ends: Ends) -> Estimate | None:
    """Return the centre distance that one way gives, None when a hole or pin it needs is not known."""
    shares = SHARES[taped.way]
    if taped.way == "centres":
        return taped.estimate
    is_over_pins = taped.way in OVER_PINS
    if ends.holes is None or (shares.pins and ends.pins is None):
        return _with_slack(taped, ends.pins) if is_over_pins and ends.pins is not None else None
    others = [scaled(ends.holes[0], shares.near_hole), scaled(ends.holes[1], shares.far_hole)]
    if shares.pins and ends.pins is not None:
        others += [scaled(pin, shares.pins) for pin in ends.pins]
    return added(taped.estimate, *others)


def _with_slack(taped: Taped, pins: tuple[Estimate, Estimate]) -> Estimate:
    """Take half of each pin off; how far the pins lie off the holes' centres is not known."""
    source = f"± {PIN_SLACK_MM:g} mm, holes not measured, common practice"
    slack = limit_of("slack of the pins in their holes", PIN_SLACK_MM, source)
    less_pins = added(taped.estimate, *(scaled(pin, -0.5) for pin in pins))
    return Estimate(less_pins.value_mm, (*less_pins.parts, slack))


def pins_pair(pulled: Taped, pushed: Taped, pins: tuple[Estimate, Estimate]) -> Estimate:
    """Return the centre distance from over the pins, pulled and pushed, halved, less half of each pin; no holes."""
    return added(mean_of_pair(pulled, pushed), *(scaled(pin, -0.5) for pin in pins))


STEEL_PER_K = 11.5e-6  # GUM (JCGM 100:2008) H.1.2
UNKNOWN_KELVIN = 25.0  # -5 to 45 degC, where no temperature is written down: common practice, no source


def expansion_mm(length_mm: float, kelvin: float) -> float:
    """Return what a steel length grows (below zero: shrinks) when it is `kelvin` above 20 degC."""
    return STEEL_PER_K * length_mm * kelvin


def temperature_part(readings: Sequence[LengthReading], length_mm: float) -> Part:
    """Return the part for the temperature: the whole growth of the length as a limit.

    A steel tape and a steel link shrink together, so nothing is corrected; as much as this is left when only one of
    them has that temperature.
    """
    known = [reading.temperature.deg_c for reading in readings if reading.temperature is not None]
    kelvins = [abs(deg_c - REFERENCE_DEG_C) for deg_c in known]
    if len(known) < len(readings):
        kelvins.append(UNKNOWN_KELVIN)
        source = f"not written down, taken as within {UNKNOWN_KELVIN:g} degC of 20 degC"
    else:
        source = f"{known[0]:g} degC against 20 degC, tape and link not equally so"
    kelvin = max(kelvins)
    return limit_of("temperature", abs(expansion_mm(length_mm, kelvin)), f"{source}; steel grows 11.5e-6 a degree")
