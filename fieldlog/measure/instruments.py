"""What an instrument is worth: its error limit, its step and how well hands usually repeat with it.

A handful of repeats: mean, scatter, and what the mean is worth.

Two degrees of freedom or the usual repeatability. With fewer, repeats cannot tell their own scatter; the instrument's
usual figure stands in with 8 degrees of freedom (GUM G.4.2: known to 25 %). The budget says so.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Literal

from fieldlog.errors import MeasureError
from fieldlog.quantity.distributions import f_quantile
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.source import Term, limit, scatter, step
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import Instrument
from fieldlog.standards.instruments import tape_error_limit_mm

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
UNNAMED = "unnamed"  # stands for the id of an instrument that nobody named
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
def limit_term(instrument: Instrument, use: Use, length_mm: float = 0.0, whose: str = "") -> Term:
    """Return the instrument's limit as a rectangle (GUM 4.3.7); `whose` it is where each use has a limit of its own."""
    limit_mm = error_limit_mm(instrument, use, length_mm)
    name = f"{instrument_words(instrument)}, {use_words(instrument, use)}"
    source_id = f"{whose or instrument.id or UNNAMED}/{use} limit"
    return limit(source_id, limit_mm, label=name, why=f"limit ± {limit_mm:.3g} mm, {limit_origin(instrument, use)}")


def limit_origin(instrument: Instrument, use: Use) -> str:
    """Return where an instrument's limit comes from, in words."""
    given = (instrument.inside_error_limit if use == "inside" else None) or instrument.error_limit
    if given is not None:
        return "from the logbook"
    is_tape = instrument.kind == "tape" and instrument.tape_class is not None
    return f"tape class {instrument.tape_class}" if is_tape else "usual figure, common practice"


def use_words(instrument: Instrument, use: Use) -> str:
    """Return what of an instrument is used: a caliper's jaws, else the sizes that it takes."""
    if use == "length":
        return "scale"
    return f"{use} jaws" if instrument.kind == "caliper" else f"{use} sizes"


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


FEWEST_DOF = 2.0
_WIDER_AT = 0.95


@dataclass(frozen=True, slots=True)
class Scatter:
    """The standard deviation of a single reading, its degrees of freedom and where it comes from."""

    sd_mm: float
    dof: float
    source: str


def mean(values: Sequence[float]) -> float:
    """Return the arithmetic mean, summed without loss."""
    if not values:
        raise MeasureError("No reading to take a mean of.")
    return math.fsum(values) / len(values)


def sample_sd(values: Sequence[float]) -> float:
    """Return the sample standard deviation (n - 1), by two passes; at least two values."""
    if len(values) < 2:
        raise MeasureError("One reading alone has no scatter; measure again.")
    centre = mean(values)
    return math.sqrt(math.fsum((value - centre) ** 2 for value in values) / (len(values) - 1))


def pooled_scatter(
    groups: Sequence[Sequence[float]], usual_mm: float, floor_mm: float = 0.0, known: Scatter | None = None
) -> Scatter:
    """Return the scatter of one reading, pooled over groups of repeats of the same thing.

    With fewer than two degrees of freedom the readings cannot tell their own scatter, and the usual
    repeatability stands in, weighted by its degrees of freedom. `floor_mm` is the least standard deviation
    that the step of the instrument allows (step / sqrt(12); GUM F.2.2.1).
    """
    squares = math.fsum(math.fsum((v - mean(group)) ** 2 for v in group) for group in groups if len(group) > 1)
    dof = float(sum(len(group) - 1 for group in groups if group))
    return scatter_from(squares, dof, usual_mm, floor_mm, known)


def scatter_from(
    sum_of_squares: float, dof: float, usual_mm: float, floor_mm: float = 0.0, known: Scatter | None = None
) -> Scatter:
    """Return the scatter from a sum of squared residuals; see `pooled_scatter`.

    `known` is what a gauge study found for this person with this instrument: today's repeats are pooled with it,
    unless they scatter more than that by an F test at 5 %; then they alone count.
    """
    if known is not None and not _is_wider(sum_of_squares, dof, known):
        together = known.dof + dof
        sd = math.sqrt((known.dof * known.sd_mm**2 + sum_of_squares) / together)
        return Scatter(max(sd, floor_mm), together, f"{known.source}, and {dof:g} degrees of freedom of today")
    if dof >= FEWEST_DOF:
        return Scatter(max(math.sqrt(sum_of_squares / dof), floor_mm), dof, f"own repeats, {dof:g} degrees of freedom")
    together = USUAL_REPEATABILITY_DOF + dof
    sd = math.sqrt((USUAL_REPEATABILITY_DOF * usual_mm**2 + sum_of_squares) / together)
    source = f"usual repeatability {usual_mm:g} mm, too few repeats to tell"
    return Scatter(max(sd, floor_mm), together, source)


def _is_wider(sum_of_squares: float, dof: float, known: Scatter) -> bool:
    if dof < FEWEST_DOF:
        return False
    if known.sd_mm <= 0:
        return sum_of_squares > 0
    return sum_of_squares / dof / known.sd_mm**2 > f_quantile(_WIDER_AT, dof, known.dof)


def size_of_mean(
    whose: str,
    values: Sequence[float],
    common: tuple[Term, ...],
    usual_mm: float,
    step_mm: float,
    known: Scatter | None = None,
) -> Value:
    """Return the mean of repeats with its uncertainty: u^2 = max(s^2 / n, step^2 / 12) + limit^2 / 3 ...

    `common` is what repeating does not lessen, such as the instrument's limit; `whose` says which readings these are,
    by ids. Valid for one or more repeats of the same thing with one instrument. Source: GUM (JCGM 100:2008) 4.2, 4.3.7,
    F.2.2.1.
    """
    found = pooled_scatter([values], usual_mm, known=known)
    label = f"scatter of {len(values)} readings" if len(values) > 1 else "scatter of one reading"
    return Value(mean(values), "mm", (scatter_term(whose, label, found, (len(values), step_mm)), *common))


def scatter_term(whose: str, label: str, found: Scatter, counted: tuple[int, float], pool: str = "") -> Term:
    """Return the scatter of a mean, or the step of the readings where that is coarser (GUM F.2.2.1).

    `counted` are the number of readings and their step in mm; means of one `pool` share one estimated scatter.
    """
    count, step_mm = counted
    u_mm, of_step_mm = found.sd_mm / math.sqrt(count), step_mm / math.sqrt(12)
    if u_mm >= of_step_mm:
        return scatter(f"{whose}/scatter", u_mm, found.dof, label=label, why=found.source, pool=pool)
    why = f"{label} is within the step of {step_mm:.3g} mm"
    return step(f"{whose}/step", step_mm / 2, label="step of the readings", why=why)
