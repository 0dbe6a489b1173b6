"""What an instrument is worth: its error limit, its step and how well hands usually repeat with it."""

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from fieldlog.measure.estimate import Part, limit_of
from fieldlog.records.machine import Instrument
from fieldlog.records.quantities import Length, Units
from fieldlog.standards.tapes import tape_error_limit_mm

Use = Literal["inside", "outside", "length"]

# half-widths in mm, inside and outside, where the logbook gives none: common practice, no source
_USUAL_LIMITS_MM: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "caliper": (0.05, 0.03),
        "micrometer": (0.02, 0.01),
        "telescoping gauge": (0.03, 0.03),
        "bore gauge": (0.01, 0.01),
        "tape": (1.0, 1.0),
        "rule": (0.5, 0.5),
    }
)
# standard deviation of one reading among repeats, in mm: common practice, no source
_USUAL_REPEATABILITY_MM: Mapping[str, float] = MappingProxyType(
    {
        "caliper": 0.02,
        "micrometer": 0.01,
        "telescoping gauge": 0.015,
        "bore gauge": 0.005,
        "tape": 0.5,
        "rule": 0.3,
    }
)
USUAL_REPEATABILITY_DOF = 8.0  # judged good to 25 %: GUM (JCGM 100:2008) G.4.2
# standard deviation of how far people's levels differ with one instrument, where no study compared them: common
# practice, no source, believed like eight degrees of freedom
USUAL_BETWEEN_PEOPLE_MM = 0.01
INSIDE_JAWS_ADD_MM = 0.02  # DIN 862: inside and depth measurement add 20 um
HOOK_AND_EYE_MM = 1.0  # half-width of hooking a tape on a hole's edge and reading by eye: common practice, no source
UNKNOWN_CALIPER = Instrument(id="", kind="caliper", name="unnamed caliper")
UNKNOWN_TAPE = Instrument(id="", kind="tape", name="unnamed tape", tape_class="II")


def usual_repeatability_mm(instrument: Instrument) -> float:
    """Return the standard deviation that one reading usually has with this kind of instrument."""
    return _USUAL_REPEATABILITY_MM[instrument.kind]


def error_limit_mm(instrument: Instrument, use: Use, length_mm: float = 0.0) -> float:
    """Return the half-width within which a reading is right, from the logbook or the usual figure."""
    if use == "inside" and instrument.inside_error_limit is not None:
        return float(instrument.inside_error_limit.mm)
    if use == "inside" and instrument.error_limit is not None:
        return _inside_from_outside_mm(instrument, float(instrument.error_limit.mm))
    if use != "inside" and instrument.error_limit is not None:
        return float(instrument.error_limit.mm)
    if instrument.kind == "tape" and instrument.tape_class is not None:
        return tape_error_limit_mm(instrument.tape_class, length_mm)
    inside, outside = _USUAL_LIMITS_MM[instrument.kind]
    return inside if use == "inside" else outside


def _inside_from_outside_mm(instrument: Instrument, limit_mm: float) -> float:
    """Return the inside limit where only the general one is given: a caliper's inside jaws are never better."""
    if instrument.kind != "caliper":
        return limit_mm
    return max(_USUAL_LIMITS_MM["caliper"][0], limit_mm + INSIDE_JAWS_ADD_MM)


def instrument_words(instrument: Instrument) -> str:
    """Return an instrument's name as it stands in budgets and remarks."""
    return instrument.name or instrument.id or instrument.kind


def instrument_units(instrument: Instrument) -> Units:
    """Return the units an instrument reads in, millimetres where it is not said."""
    return instrument.resolution.family if instrument.resolution is not None else "mm"


@lru_cache(maxsize=512)
def limit_part(instrument: Instrument, use: Use, length_mm: float = 0.0) -> Part:
    """Return the instrument's limit as a part of uncertainty, taken as rectangular (GUM 4.3.7)."""
    limit_mm = error_limit_mm(instrument, use, length_mm)
    given = (instrument.inside_error_limit if use == "inside" else None) or instrument.error_limit
    origin = "from the logbook" if given is not None else "usual figure, common practice"
    if given is None and instrument.kind == "tape" and instrument.tape_class is not None:
        origin = f"tape class {instrument.tape_class}"
    name = f"{instrument_words(instrument)}, {use_words(instrument, use)}"
    part = limit_of(name, limit_mm, f"limit ± {limit_mm:.3g} mm, {origin}")
    return part if use == "length" else replace(part, cause=cause_of(instrument, f"{use} limit"))


def use_words(instrument: Instrument, use: Use) -> str:
    """Return what of an instrument is used: a caliper's jaws, else the sizes that it takes."""
    if use == "length":
        return "scale"
    return f"{use} jaws" if instrument.kind == "caliper" else f"{use} sizes"


def cause_of(instrument: Instrument, what: str) -> str:
    """Return the name of something that is wrong alike in all sizes of one instrument, empty for an unnamed one."""
    return f"{instrument.id}: {what}" if instrument.id else ""


def step_mm(length: Length, instrument: Instrument) -> float:
    """Return the step a reading was really read to.

    A person writes 3/4 for 12/16, so a fraction or a whole inch is as fine as the instrument when that is
    known. Not one that leans: "just under 3/4" is a quarter of the step that was typed, so its doubt goes by that
    step too. For a decimal it is what the typing shows, or the instrument's step where that is coarser.
    """
    typed = float(length.step_mm)
    if instrument.resolution is None:
        return typed
    own = float(instrument.resolution.mm)
    return min(typed, own) if length.is_fraction and not length.lean else max(typed, own)


def typing_half_width_mm(length: Length, instrument: Instrument) -> float:
    """Return the half-width that the typing leaves open; "just under / just over" widens it by half."""
    step = step_mm(length, instrument)
    return step * 0.75 if length.lean else step * 0.5
