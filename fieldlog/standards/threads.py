"""Which threads there are, and how people write them: ISO metric, unified inch, trapezoidal.

Pitches of ISO 261 and ISO 724, UNC and UNF of ASME B1.1, from memory; the sizes used in tests are checked against
public thread tables.

What a thread's designation says about its steel: basic diameters, tensile stress area, sizes at their limits.

A thread the tables do not list is refused unless it says so (`M24x2.5 special`, `3/4-12 UNS`): a pitch misread by a
half is likelier than a thread that nobody makes.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from fieldlog.errors import QuantityError
from fieldlog.quantity.said import said
from fieldlog.quantity.text import shortened
from fieldlog.quantity.units import MM_PER_INCH
from fieldlog.records.machine import Thread

ACCEPTED_THREAD = said("accepted.thread")

# ISO 261:1998 table 2: nominal diameter, coarse pitch, fine pitches, in mm (from memory)
METRIC: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "8": ("1.25", "1", "0.75"),
        "10": ("1.5", "1.25", "1", "0.75"),
        "12": ("1.75", "1.5", "1.25", "1"),
        "14": ("2", "1.5", "1.25", "1"),
        "16": ("2", "1.5", "1"),
        "18": ("2.5", "2", "1.5", "1"),
        "20": ("2.5", "2", "1.5", "1"),
        "22": ("2.5", "2", "1.5", "1"),
        "24": ("3", "2", "1.5", "1"),
        "27": ("3", "2", "1.5", "1"),
        "30": ("3.5", "3", "2", "1.5", "1"),
        "33": ("3.5", "3", "2", "1.5"),
        "36": ("4", "3", "2", "1.5"),
        "39": ("4", "3", "2", "1.5"),
        "42": ("4.5", "4", "3", "2", "1.5"),
        "45": ("4.5", "4", "3", "2", "1.5"),
        "48": ("5", "4", "3", "2", "1.5"),
        "52": ("5", "4", "3", "2", "1.5"),
        "56": ("5.5", "4", "3", "2", "1.5"),
        "60": ("5.5", "4", "3", "2", "1.5"),
        "64": ("6", "4", "3", "2", "1.5"),
    }
)
# ASME B1.1: size in inches, threads an inch, UNC and UNF (from memory)
UNIFIED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "1/4": ("20", "28"),
        "5/16": ("18", "24"),
        "3/8": ("16", "24"),
        "7/16": ("14", "20"),
        "1/2": ("13", "20"),
        "9/16": ("12", "18"),
        "5/8": ("11", "18"),
        "3/4": ("10", "16"),
        "7/8": ("9", "14"),
        "1": ("8", "12"),
        "1 1/8": ("7", "12"),
        "1 1/4": ("7", "12"),
        "1 3/8": ("6", "12"),
        "1 1/2": ("6", "12"),
        "1 3/4": ("5", ""),
        "2": ("4.5", ""),
    }
)
# ISO 2902: pitches of trapezoidal threads in mm (from memory)
TRAPEZOIDAL_PITCHES = ("1.5", "2", "3", "4", "5", "6", "7", "8", "9", "10", "12")
_MOST_MM = 100

_METRIC = re.compile(r"^m\s*(?P<d>\d{1,3}(?:\.\d)?)(?:\s*x\s*(?P<p>\d{1,2}(?:\.\d{1,3})?))?(?P<special>\s+special)?$")
_TRAPEZOIDAL = re.compile(
    r"^tr\s*(?P<d>\d{1,3})\s*x\s*(?P<p>\d{1,2}(?:\.\d)?)(?:\s*\(?\s*p\s*(?P<pitch>\d{1,2}(?:\.\d)?)\s*\)?)?$"
)
_INCH = re.compile(
    r"^(?P<d>\d{1,2}|(?:\d{1,2}(?:\s+|-))?\d{1,2}/\d{1,2})(?:\s*(?:in|\"))?\s*-\s*(?P<n>\d{1,2}(?:\.\d)?)"
    r"(?:\s*(?P<series>unc|unf|uns|un))?$"
)
_NAMED = re.compile(r"^(?P<d>\d{1,2}|(?:\d{1,2}(?:\s+|-))?\d{1,2}/\d{1,2})(?:\s*(?:in|\"))?\s+(?P<series>unc|unf)$")


def parse_thread(text: str) -> Thread:
    """Read a thread's designation.

    Raises:
        QuantityError: it is none, or no such thread is made; the message says what is accepted.
    """
    typed = " ".join(text.replace("×", "x").replace("*", "x").replace(",", ".").split())
    plain = typed.lower()
    if plain.endswith(" lh"):
        raise QuantityError(said("typed.left_hand", typed=shortened(typed)), said("typed.hand_of_each_end"))
    for pattern, build in ((_METRIC, _metric), (_TRAPEZOIDAL, _trapezoidal), (_INCH, _inch), (_NAMED, _named)):
        match = pattern.match(plain)
        if match is not None:
            return build(typed, match)
    raise QuantityError(said("typed.no_thread", typed=typed[:40]), ACCEPTED_THREAD)


def _metric(typed: str, match: re.Match[str]) -> Thread:
    size, pitch = match["d"], match["p"]
    listed = METRIC.get(size)
    if match["special"]:
        if pitch is None:
            raise QuantityError(said("typed.no_pitch", typed=shortened(typed)))
        return _checked(typed, "metric", Decimal(size), Decimal(pitch), Decimal(pitch), "special")
    if listed is None:
        raise QuantityError(said("typed.not_listed", typed=shortened(typed), size=size), said("typed.measure_crests"))
    found = pitch or listed[0]
    if Decimal(found) not in map(Decimal, listed):
        raise QuantityError(
            said("typed.pitches", typed=shortened(typed), size=size, listed=listed),
            said("typed.measure_ten", size=size, pitch=pitch),
        )
    series = "coarse" if Decimal(found) == Decimal(listed[0]) else "fine"
    return _checked(typed, "metric", Decimal(size), Decimal(found), Decimal(found), series)


def _trapezoidal(typed: str, match: re.Match[str]) -> Thread:
    lead = Decimal(match["p"])
    pitch = Decimal(match["pitch"]) if match["pitch"] else lead
    if pitch not in map(Decimal, TRAPEZOIDAL_PITCHES) or lead % pitch:
        raise QuantityError(said("typed.trapezoidal", typed=shortened(typed), listed=TRAPEZOIDAL_PITCHES))
    return _checked(typed, "trapezoidal", Decimal(match["d"]), pitch, lead, "")


def _inch(typed: str, match: re.Match[str]) -> Thread:
    size, count, series = _size_key(match["d"]), match["n"], (match["series"] or "").upper()
    coarse, fine = UNIFIED.get(size, ("", ""))
    usual = {Decimal(n): name for n, name in ((fine, "UNF"), (coarse, "UNC")) if n}
    named = usual.get(Decimal(count))
    if series in {"UNS", "UN"}:
        return _of_inches(typed, size, count, series)
    if named is None or series not in {"", named}:
        listed = tuple(f"{size}-{n} {name}" for n, name in ((coarse, "UNC"), (fine, "UNF")) if n)
        shown, written = shortened(typed), shortened(f"{size}-{count}")
        if not listed:
            raise QuantityError(said("typed.count_threads", typed=shown, written=written))
        usual_ones = said("typed.usual_threads", typed=shown, listed=listed)
        raise QuantityError(usual_ones, said("typed.count_them", written=written))
    return _of_inches(typed, size, count, named)


def _named(typed: str, match: re.Match[str]) -> Thread:
    size, series = _size_key(match["d"]), match["series"].upper()
    coarse, fine = UNIFIED.get(size, ("", ""))
    count = coarse if series == "UNC" else fine
    if not count:
        raise QuantityError(
            said("typed.no_series", typed=shortened(typed), series=series), said("typed.threads_an_inch")
        )
    return _of_inches(typed, size, count, series)


def _size_key(text: str) -> str:
    return " ".join(text.replace("-", " ").split())


def _of_inches(typed: str, size: str, count: str, series: str) -> Thread:
    inches = Decimal(0)
    for part in size.split():
        top, _, bottom = part.partition("/")
        if bottom and not int(bottom):
            raise QuantityError(said("typed.no_thread_at_all", typed=shortened(typed)), ACCEPTED_THREAD)
        inches += Decimal(top) / Decimal(bottom or 1)
    if not Decimal(count):
        raise QuantityError(said("typed.no_count", typed=shortened(typed)), ACCEPTED_THREAD)
    pitch_mm = MM_PER_INCH / Decimal(count)
    return _checked(typed, "inch", inches * MM_PER_INCH, pitch_mm, pitch_mm, series)


def _checked(typed: str, form: str, d_mm: Decimal, pitch_mm: Decimal, lead_mm: Decimal, series: str) -> Thread:
    if not 0 < pitch_mm <= d_mm / 2 or not d_mm <= _MOST_MM:
        raise QuantityError(said("typed.odd_pitch", typed=shortened(typed)), ACCEPTED_THREAD)
    return Thread(typed, form, d_mm, pitch_mm, lead_mm, series)  # type: ignore[arg-type] # one of the three forms


_MM = 25.4
# ISO 965-1, diameter steps for tolerances in mm (from memory)
_STEPS_MM = (2.8, 5.6, 11.2, 22.4, 45.0, 90.0, 180.0)


@dataclass(frozen=True, slots=True)
class BasicSizes:
    """Basic diameters in mm: major, pitch, minor of the nut and minor (root) of the rod."""

    major_mm: float
    pitch_mm: float
    nut_minor_mm: float
    rod_minor_mm: float


@dataclass(frozen=True, slots=True)
class ThreadLimits:
    """The limits that bound the strip areas, in mm; names as in FED-STD-H28.

    Kn_max largest minor diameter of the nut, Es_min smallest pitch diameter of the rod, Ds_min its smallest major
    diameter, En_max largest pitch diameter of the nut.
    """

    kn_max_mm: float
    es_min_mm: float
    ds_min_mm: float
    en_max_mm: float


def basic_sizes(thread: Thread) -> BasicSizes:
    """Return the basic diameters.

    60 degree threads: d2 = d - 0.649519 P, D1 = d - 1.082532 P, d3 = d - 1.226869 P (ISO 724, ISO 68-1).
    Trapezoidal: d2 = d - 0.5 P, D1 = d - P, d3 = d - P - 2 ac, ac 0.15 / 0.25 / 0.5 mm for P 1.5 / 2-5 / 6-12
    (ISO 2901, ISO 2904).
    """
    d_mm, p_mm = float(thread.d_mm), float(thread.pitch_mm)
    if thread.form == "trapezoidal":
        ac_mm = 0.15 if p_mm < 2 else 0.25 if p_mm <= 5 else 0.5
        return BasicSizes(d_mm, d_mm - p_mm / 2, d_mm - p_mm, d_mm - p_mm - 2 * ac_mm)
    return BasicSizes(d_mm, d_mm - 0.649519 * p_mm, d_mm - 1.082532 * p_mm, d_mm - 1.226869 * p_mm)


def stress_area_mm2(thread: Thread) -> float:
    """Return the tensile stress area of the rod in mm2.

    Metric: pi/4 (d - 0.9382 P)^2 (ISO 898-1). Inch: 0.7854 (D - 0.9743/n)^2 (ASME B1.1). Trapezoidal threads have
    no such standard; the circle of the mean of pitch and root diameter is taken, as for the others.
    """
    d_mm, p_mm = float(thread.d_mm), float(thread.pitch_mm)
    if thread.form == "trapezoidal":
        sizes = basic_sizes(thread)
        return math.pi / 4 * ((sizes.pitch_mm + sizes.rod_minor_mm) / 2) ** 2
    factor = 0.9382 if thread.form == "metric" else 0.9743
    return math.pi / 4 * (d_mm - factor * p_mm) ** 2


def thread_limits(thread: Thread) -> ThreadLimits | None:
    """Return the limits of a new thread, class 2A/2B or 6g/6H; None for trapezoidal threads."""
    if thread.form == "trapezoidal":
        return None
    return _unified_limits(thread) if thread.form == "inch" else _metric_limits(thread)


def _unified_limits(thread: Thread) -> ThreadLimits:
    """ASME B1.1 class 2A/2B in inches, engagement of one diameter (UNC, UNF) or nine pitches (others).

    Pitch diameter tolerance T = 0.0015 D^(1/3) + 0.0015 Le^(1/2) + 0.015 p^(2/3), of the nut 1.3 T; allowance 0.3 T;
    major diameter 0.060 p^(2/3); minor diameter of the nut 0.25 p - 0.40 p^2, for D of 1/4 in and more.
    """
    size, p = float(thread.d_mm) / _MM, float(thread.pitch_mm) / _MM
    basic = basic_sizes(thread)
    engaged = size if thread.series in {"UNC", "UNF"} else 9 * p
    tolerance = 0.0015 * size ** (1 / 3) + 0.0015 * engaged**0.5 + 0.015 * p ** (2 / 3)
    allowance = 0.3 * tolerance
    return ThreadLimits(
        kn_max_mm=basic.nut_minor_mm + (0.25 * p - 0.4 * p**2) * _MM,
        es_min_mm=basic.pitch_mm - (allowance + tolerance) * _MM,
        ds_min_mm=basic.major_mm - (allowance + 0.06 * p ** (2 / 3)) * _MM,
        en_max_mm=basic.pitch_mm + 1.3 * tolerance * _MM,
    )


def _metric_limits(thread: Thread) -> ThreadLimits:
    """ISO 965-1, tolerance classes 6g and 6H, in micrometres with d the geometric mean of its diameter step.

    es = 15 + 11 P; Td2 = 90 P^0.4 d^0.1, of the nut 1.32 Td2; Td = 180 P^(2/3) - 3.15 / P^0.5; TD1 = 230 P^0.7
    (433 P - 190 P^1.22 for pitches under 1 mm).
    """
    p, basic = float(thread.pitch_mm), basic_sizes(thread)
    upper = next((step for step in _STEPS_MM if basic.major_mm <= step), _STEPS_MM[-1])
    mean_mm = math.sqrt(upper * upper / 2)
    es = 15 + 11 * p
    pitch_tolerance = 90 * p**0.4 * mean_mm**0.1
    nut_minor = 230 * p**0.7 if p >= 1 else 433 * p - 190 * p**1.22
    return ThreadLimits(
        kn_max_mm=basic.nut_minor_mm + nut_minor / 1000,
        es_min_mm=basic.pitch_mm - (es + pitch_tolerance) / 1000,
        ds_min_mm=basic.major_mm - (es + 180 * p ** (2 / 3) - 3.15 / p**0.5) / 1000,
        en_max_mm=basic.pitch_mm + 1.32 * pitch_tolerance / 1000,
    )
