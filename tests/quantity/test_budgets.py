"""Budgets against the GUM's printed numbers (JCGM 100:2008) and against GTC, the GUM Tree Calculator.

GTC keeps its own tree of influences and its own degrees of freedom; Student's t it has from SciPy.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

import GTC
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.quantity.source import Source, Term, limit, scatter
from fieldlog.quantity.value import Value, carried, covariance, total
from tests.quantity.drawn import ALONE, POOLS, WITHOUT_ZEROS, of_shares

SAME = 1e-12


class Told(NamedTuple):
    """What a budget comes to, by GTC: standard uncertainty, degrees of freedom, Student's t for 95 %."""

    u: float
    dof: float
    t: float


def by_gtc(weighed: Sequence[Mapping[Source, float]], signs: Iterable[float]) -> Told:
    """Return what GTC makes of a signed sum of budgets, a pool being an ensemble of its own."""
    sources = list(dict.fromkeys(source for shares in weighed for source in shares))
    pools = {source.pool for source in sources if source.pool}
    unknown = {source: GTC.ureal(0.0, 1.0, source.dof) for source in sources if not source.pool}
    for pool in pools:
        members = [source for source in sources if source.pool == pool]
        made = GTC.multiple_ureal([0.0] * len(members), [1.0] * len(members), members[0].dof)
        unknown |= dict(zip(members, made, strict=True))
    result = sum(
        (
            sign * u * unknown[source]
            for shares, sign in zip(weighed, signs, strict=True)
            for source, u in shares.items()
        ),
        start=GTC.constant(0.0),
    )
    dof = float(GTC.dof(result))
    return Told(float(GTC.uncertainty(result)), dof, float(GTC.reporting.k_factor(dof, 95)))


def by_ours(value: Value) -> Told:
    """Return the same by ours; without a limit in it, the factor is Student's t."""
    assert not any(row.source.is_limit for row in value.rows)
    return Told(value.u, value.dof, value.k)


# limits here are no rectangles, so that the factor is Student's t, as GTC has it
HOLE = {
    Source("round 1/eye", "scatter", dof=8.0): 0.012,
    Source("blue/inside", "limit"): 0.029,
    Source("2026-04-01, temperature", "temperature"): 0.004,
}
PIN = {
    Source("round 1/pin", "scatter", dof=3.0): 0.008,
    Source("blue/outside", "limit"): 0.017,
    Source("2026-04-01, temperature", "temperature"): 0.0035,
}
AUTUMN_HOLE = {Source("round 2/eye", "scatter", dof=5.0): 0.014, Source("blue/inside", "limit"): 0.0285}
READINGS = tuple(Source(f"reading {i}", "scatter", dof=9.0, pool="round 1") for i in range(12))
OVAL = [
    {source: (1 + way * math.cos(math.pi * i / 6)) * 0.02 / 12 for i, source in enumerate(READINGS)} for way in (2, -2)
]


@pytest.mark.parametrize(
    ("budgets", "signs"),
    [
        ([HOLE], [1.0]),
        ([HOLE, PIN], [1.0, -1.0]),
        ([AUTUMN_HOLE, HOLE], [1.0, -1.0]),
        ([HOLE, PIN, AUTUMN_HOLE, PIN], [0.5, -0.5, 0.5, -0.5]),
        (OVAL, [1.0, -1.0]),
        ([OVAL[0], PIN], [1.0, -1.0]),
    ],
    ids=["a hole", "a clearance", "a change by one caliper", "a backlash", "an ovality", "a clearance of an oval"],
)
def test_budgets_of_the_trade_come_out_as_gtc_has_them(
    budgets: Sequence[Mapping[Source, float]], signs: Sequence[float]
) -> None:
    """Standard uncertainty, degrees of freedom and Student's t to twelve digits."""
    ours = total(*((of_shares(20.0, shares), sign) for shares, sign in zip(budgets, signs, strict=True)))
    assert by_ours(ours) == pytest.approx(by_gtc(budgets, signs), rel=SAME)


def test_an_ovality_has_the_degrees_of_freedom_of_its_readings() -> None:
    """Largest less smallest of twelve readings, 2 A: u = 2 s sqrt(2 / 12), 12 - 3 degrees of freedom, by hand."""
    largest, smallest = (of_shares(20.0, shares) for shares in OVAL)
    assert (largest - smallest).u == pytest.approx(2 * 0.02 * math.sqrt(2 / 12))
    assert (largest - smallest).dof == pytest.approx(9.0)


def _by_source(value: Value) -> Mapping[Source, float]:
    return {Source(s.id, s.kind, dof=s.dof, pool=s.pool): u for s, u, _ in value.terms}


@given(WITHOUT_ZEROS, WITHOUT_ZEROS, st.sampled_from([-1.0, 1.0, 0.3]))
def test_drawn_budgets_come_out_as_gtc_has_them(one: Value, other: Value, sign: float) -> None:
    """Any two values that share sources and pools, added or taken from each other."""
    ours = one + sign * other
    if ours.u == 0:
        return
    told = by_gtc([_by_source(one), _by_source(other)], [1.0, sign])
    assert (ours.u, ours.dof) == pytest.approx((told.u, told.dof), rel=1e-11)


def test_drawn_budgets_have_limits_and_pools_in_them() -> None:
    """The world that is drawn from holds what the promise is about."""
    assert any(source.is_limit for source in ALONE)
    assert len({source.pool for source in POOLS}) == 2


def test_end_gauge_of_gum_h1() -> None:
    """GUM H.1: u_c 32 nm, 16.7 effective degrees of freedom; GTC agrees to twelve digits."""
    shares = {
        Source("standard", "stated", dof=18.0): 25.0,
        Source("comparison", "scatter", dof=25.6): 9.7,
        Source("expansion", "stated", dof=50.0): 2.9,
        Source("temperature", "temperature", dof=2.0): -16.6,
    }
    gauge = of_shares(50_000_838.0, shares, "nm")
    assert gauge.u == pytest.approx(32, abs=0.5)
    assert gauge.dof == pytest.approx(16.7, abs=0.1)
    assert by_ours(gauge) == pytest.approx(by_gtc([shares], [1.0]), rel=SAME)


def test_ten_resistors_of_gum_5_2_2() -> None:
    """GUM 5.2.2, example: ten resistors set by one standard of 100 mohm in series: 1 ohm; as if independent 0.32."""
    standard = Source("standard", "stated")
    resistors = [Value(1000.0, "ohm", (Term(standard, 0.1),)) for _ in range(10)]
    assert sum(resistors[1:], start=resistors[0]).u == pytest.approx(1.0)
    assert math.sqrt(10) * resistors[0].u == pytest.approx(0.32, abs=0.005)


def test_a_rectangle_of_gum_4_4_5() -> None:
    """GUM 4.4.5: anywhere between 96 and 104 degC is 100 degC with u = 2.3 degC."""
    assert Value(100.0, "degC", (limit("thermometer", 4.0),)).u == pytest.approx(2.3, abs=0.05)


def test_caliper_of_ea_4_02_s10() -> None:
    """EA-4/02, S10 (from memory): limits of 50, 25, 3.4 and 0.8 um make U = 0.06 mm with k = 1.83."""
    halves = {"mechanical": 0.050, "resolution": 0.025, "temperature": 0.0034, "gauge block": 0.0008}
    caliper = Value(0.10, "mm", tuple(limit(name, half) for name, half in halves.items()))
    assert caliper.k == pytest.approx(1.83, abs=0.005)
    assert caliper.plus_minus == pytest.approx(0.06, abs=0.005)


# GUM H.2, table H.2: five sets of simultaneous observations of volts, milliamperes and radians
VOLTS = (5.007, 4.994, 5.005, 4.990, 4.999)
MILLIAMPERES = (19.663, 19.639, 19.640, 19.685, 19.678)
RADIANS = (1.0456, 1.0438, 1.0468, 1.0428, 1.0433)


def of_sets(readings: Sequence[float], unit: str, scale: float = 1.0) -> Value:
    """Return a mean with each set as a source of its own: what it is off the mean, over sqrt(n (n - 1)).

    So u is s / sqrt(n), and what two means share is their sample covariance over n.
    """
    n, mean = len(readings), math.fsum(readings) / len(readings)
    terms = (
        scatter(f"set {i}", scale * (reading - mean) / math.sqrt(n * (n - 1)), n - 1.0, pool="sets")
        for i, reading in enumerate(readings)
    )
    return Value(scale * mean, unit, tuple(terms))


MEANS = {"V": of_sets(VOLTS, "V"), "I": of_sets(MILLIAMPERES, "A", 1e-3), "phi": of_sets(RADIANS, "rad")}
FORMULAS: Mapping[str, Callable[[Mapping[str, float]], float]] = {
    "R": lambda v: v["V"] / v["I"] * math.cos(v["phi"]),
    "X": lambda v: v["V"] / v["I"] * math.sin(v["phi"]),
    "Z": lambda v: v["V"] / v["I"],
}


def correlation(one: Value, other: Value) -> float:
    """Return the correlation of two values."""
    return covariance(one, other) / (one.u * other.u)


def test_simultaneous_readings_of_gum_h2() -> None:
    """GUM H.2, tables H.2 to H.4: u of the means, what they share, and R, X, Z with theirs."""
    assert [mean.u for mean in MEANS.values()] == pytest.approx([0.0032, 0.0095e-3, 0.00075], rel=0.02)
    assert correlation(MEANS["V"], MEANS["I"]) == pytest.approx(-0.36, abs=0.006)
    assert correlation(MEANS["V"], MEANS["phi"]) == pytest.approx(0.86, abs=0.006)
    assert correlation(MEANS["I"], MEANS["phi"]) == pytest.approx(-0.65, abs=0.006)
    r, x, z = (carried(formula, MEANS, "ohm") for formula in FORMULAS.values())
    assert [one.value for one in (r, x, z)] == pytest.approx([127.732, 219.847, 254.260], abs=0.0006)
    assert [one.u for one in (r, x, z)] == pytest.approx([0.071, 0.295, 0.236], abs=0.0006)
    assert correlation(r, x) == pytest.approx(-0.588, abs=0.0006)
    assert correlation(r, z) == pytest.approx(-0.485, abs=0.0006)
    assert correlation(x, z) == pytest.approx(0.993, abs=0.0006)


@pytest.mark.parametrize("name", ["R", "X", "Z"])
def test_simultaneous_readings_come_out_as_gtc_has_them(name: str) -> None:
    """GTC takes derivatives where ours takes differences over u: 1e-5 of u; degrees of freedom and t are exact."""
    scaled = [VOLTS, [1e-3 * reading for reading in MILLIAMPERES], RADIANS]
    v, i, phi = GTC.type_a.multi_estimate_real(scaled)
    theirs = {"R": v / i * GTC.cos(phi), "X": v / i * GTC.sin(phi), "Z": v / i}[name]
    ours = carried(FORMULAS[name], MEANS, "ohm")
    assert ours.value == pytest.approx(float(GTC.value(theirs)), rel=SAME)
    assert ours.u == pytest.approx(float(GTC.uncertainty(theirs)), rel=1e-5)
    assert ours.dof == pytest.approx(4.0, rel=SAME)
    assert ours.dof == pytest.approx(float(GTC.dof(theirs)), rel=SAME)
    assert ours.k == pytest.approx(float(GTC.reporting.k_factor(4, 95)), rel=SAME)
