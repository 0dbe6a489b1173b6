"""Published thread data: stress areas, pitch diameters, trapezoidal sizes, strip areas, and the worked M24 link."""

import math

import pytest

from fieldlog.measure.engagement import (
    Engaged,
    least_engagement_mm,
    longest_open,
    rod_force_n,
    strip_areas,
    strip_force_n,
)
from fieldlog.measure.lengths import Screwing
from fieldlog.standards.threads import ThreadLimits, basic_sizes, parse_thread, stress_area_mm2, thread_limits
from tests.values import sized

IN = 25.4
IN2 = IN * IN

# public unified thread tables: size, tensile stress area in2, basic pitch diameter in
UNIFIED = (
    ("1/4-20", 0.0318, 0.2175),
    ("3/8-16", 0.0775, 0.3344),
    ("1/2-13", 0.1419, 0.4500),
    ("5/8-11", 0.226, 0.5660),
    ("3/4-10", 0.334, 0.6850),  # printed as .334 and .335, exact .33446
    ("7/8-9", 0.462, 0.8028),
    ("1-8", 0.606, 0.9188),
    ("1 1/8-7", 0.763, 1.0322),
    ("1 1/4-7", 0.969, 1.1572),
    ("1-3/8-6", 1.155, 1.2667),
    ("1 1/2-6", 1.405, 1.3917),
    ("1/2-20", 0.1599, 0.4675),
    ("5/8-18 UNF", 0.256, 0.5889),
    ("3/4-16", 0.373, 0.7094),
    ("7/8-14", 0.509, 0.8286),  # printed as .509 and .510, exact .50947
    ("1-12", 0.663, 0.9459),
    ("1-14 UNS", 0.680, 0.9536),
    ("1 1/8-12", 0.856, 1.0709),
    ("1 1/4-12", 1.073, 1.1959),
    ("1 3/8-12", 1.315, 1.3209),
    ("1 1/2-12", 1.581, 1.4459),
)
# ISO 898-1, from memory: size, stress area mm2 as printed (three figures) or to a tenth
METRIC = (
    ("M8x1.25", 36.6, 0.05),
    ("M10x1.5", 58.0, 0.05),
    ("M12x1.75", 84.3, 0.05),
    ("M16x2", 157, 0.5),
    ("M20x2.5", 245, 0.5),
    ("M22x2.5", 303.4, 0.05),
    ("M24x3", 353, 0.5),
    ("M27x3", 459.4, 0.05),
    ("M30x3.5", 561, 0.5),
    ("M33x3.5", 694, 0.5),
    ("M36x4", 817, 0.5),
    ("M39x4", 976, 0.5),
    ("M24x2", 384.4, 0.05),
    ("M30x2", 621.2, 0.05),
    ("M36x3", 864.9, 0.05),
)
# ISO 2901/2904 formulas: size, pitch diameter, rod minor, nut minor
TRAPEZOIDAL = (
    ("Tr20x4", 18.0, 15.5, 16),
    ("Tr24x5", 21.5, 18.5, 19),
    ("Tr 30x6", 27, 23, 24),
    ("Tr36x6", 33, 29, 30),
    ("Tr40x7", 36.5, 32, 33),
)
# Machinery's Handbook after FED-STD-H28: limits (from memory, ASME B1.1), areas at Le = 1 D as published, Le least in
STRIP = (
    ("1/2-13 UNC", (0.434, 0.4435, 0.4876, 0.4565), 0.389, 0.562, 0.364),
    ("3/4-10 UNC", (0.663, 0.6773, 0.7353, 0.6927), 0.910, 1.29, 0.551),
    ("1-8 UNC", (0.890, 0.9100, 0.9830, 0.9276), 1.66, 2.33, 0.732),
)


@pytest.mark.parametrize(("size", "area_in2", "pitch_in"), UNIFIED)
def test_unified_thread(size: str, area_in2: float, pitch_in: float) -> None:
    """Stress area within the last printed digit, which the tables themselves round both ways; E to four decimals."""
    thread = parse_thread(size)
    assert stress_area_mm2(thread) / IN2 == pytest.approx(area_in2, abs=0.001)
    assert basic_sizes(thread).pitch_mm / IN == pytest.approx(pitch_in, abs=0.00006)


@pytest.mark.parametrize(("size", "area_mm2", "within"), METRIC)
def test_metric_stress_area(size: str, area_mm2: float, within: float) -> None:
    """ISO 898-1 stress areas (from memory, recomputed)."""
    assert stress_area_mm2(parse_thread(size)) == pytest.approx(area_mm2, abs=within + 1e-9)


@pytest.mark.parametrize(("size", "pitch_mm", "rod_minor_mm", "nut_minor_mm"), TRAPEZOIDAL)
def test_trapezoidal_sizes(size: str, pitch_mm: float, rod_minor_mm: float, nut_minor_mm: float) -> None:
    """d2 = d - P/2, d3 = d - P - 2 ac, D1 = d - P."""
    sizes = basic_sizes(parse_thread(size))
    found = (sizes.pitch_mm, sizes.rod_minor_mm, sizes.nut_minor_mm)
    assert found == pytest.approx((pitch_mm, rod_minor_mm, nut_minor_mm), abs=1e-9)


@pytest.mark.parametrize(("size", "limits", "rod_in2", "nut_in2", "least_in"), STRIP)
def test_strip_areas_at_the_published_limits(
    size: str, limits: tuple[float, float, float, float], rod_in2: float, nut_in2: float, least_in: float
) -> None:
    """As and An at an engagement of one diameter, to the three digits printed."""
    thread = parse_thread(size)
    given = ThreadLimits(*(limit * IN for limit in limits))
    areas = strip_areas(given, float(thread.pitch_mm), float(thread.d_mm))
    assert areas.rod_mm2 / IN2 == pytest.approx(rod_in2, rel=0.003)
    assert areas.nut_mm2 / IN2 == pytest.approx(nut_in2, rel=0.003)
    by_area = 2 * stress_area_mm2(thread) / (areas.rod_mm2 / float(thread.d_mm))
    assert by_area / IN == pytest.approx(least_in, abs=0.001)


@pytest.mark.parametrize(("size", "limits", "rod_in2", "nut_in2", "least_in"), STRIP)
def test_our_own_limits_are_those_of_the_examples(
    size: str, limits: tuple[float, float, float, float], rod_in2: float, nut_in2: float, least_in: float
) -> None:
    """ASME B1.1 formulas (from memory) give the limits of the examples, and 0.73 D as the least engagement.

    The examples round Kn_max to 0.001 in, which is worth 0.0023 in of engagement at 1-8.
    """
    thread = parse_thread(size)
    found = thread_limits(thread)
    assert found is not None
    ours = (found.kn_max_mm, found.es_min_mm, found.ds_min_mm, found.en_max_mm)
    assert tuple(mm / IN for mm in ours) == pytest.approx(limits, abs=0.0005)
    least = least_engagement_mm(thread)
    assert least is not None
    assert least / IN == pytest.approx(least_in, abs=0.003)


def test_metric_limits_of_m24() -> None:
    """ISO 965-2 for M24, 6g and 6H, from memory: 21.252, 21.803, 23.577, 22.316 mm; the formulas round to R40 steps."""
    limits = thread_limits(parse_thread("M24"))
    assert limits is not None
    found = (limits.kn_max_mm, limits.es_min_mm, limits.ds_min_mm, limits.en_max_mm)
    assert found == pytest.approx((21.252, 21.803, 23.577, 22.316), abs=0.006)


def test_a_formula_without_the_real_limits_is_not_ours() -> None:
    """X: two public calculator pages use Le = 2 At / (0.5 pi (D - 0.64952 p)): 0.622 in for 3/4-10, not 0.551."""
    thread = parse_thread("3/4-10")
    wrong = 2 * stress_area_mm2(thread) / (0.5 * math.pi * basic_sizes(thread).pitch_mm)
    least = least_engagement_mm(thread)
    assert least is not None
    assert wrong / IN == pytest.approx(0.622, abs=0.001)
    assert least < 0.9 * wrong


@pytest.mark.parametrize(("least_mm", "longest_mm"), [(24, 732), (30, 720), (36, 708)])
def test_worked_example_of_an_m24_link(least_mm: float, longest_mm: float) -> None:
    """M24, closes at 560 with 110 in at each end, both ends screwing: e_min 24, 30, 36 give 732, 720, 708 (derived)."""
    engaged = Engaged("near", "closed", {"closed": sized(110)})
    longest = longest_open(engaged, {"closed": sized(560)}, Screwing(0.5, 0.5, 6), least_mm)
    assert longest.value == pytest.approx(longest_mm, abs=1e-9)


def test_one_ended_rod_drops_the_two() -> None:
    """The same rod screwing at one end only: 560 + (110 - 24) (derived)."""
    engaged = Engaged("near", "closed", {"closed": sized(110)})
    longest = longest_open(engaged, {"closed": sized(560, ())}, Screwing(1, 0, 3), 24)
    assert longest.value == pytest.approx(646, abs=1e-9)


def test_strip_check_of_an_m24_link() -> None:
    """24 mm in at 250 MPa strips at about 131 kN; the rod at 400 MPa breaks at about 141 kN (derived)."""
    assert strip_force_n(24, 24, 250) / 1000 == pytest.approx(131, abs=0.6)
    assert rod_force_n(parse_thread("M24"), 400) / 1000 == pytest.approx(141, abs=0.5)
