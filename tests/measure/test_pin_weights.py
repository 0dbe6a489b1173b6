"""The weights against SciPy: each density is integrated or looked up there from its words alone."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from fieldlog.measure.pin_weights import (
    BINS,
    band_density,
    goes_likelihoods,
    growth_of,
    room_mm,
    room_shares,
    shares_of,
    unworn_density,
    weighed,
)
from fieldlog.measure.pins import identify_pin
from fieldlog.records.machine import HoleUse, JointKind
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS, WORST_WEAR_MM, is_one_size
from tests.benchmarks.which_pin import world
from tests.measure.test_pin_evidence import evidence

SEEDED = settings(max_examples=50, deadline=None, derandomize=True)
KINDS: tuple[JointKind, ...] = ("pivot", "bushed", "hitch", "drawbar")
USES: tuple[HoleUse, ...] = ("never", "sometimes", "daily")


@SEEDED
@given(st.floats(-0.3, 1.5), st.floats(0.005, 0.2))
def test_band_density_is_an_exponentially_modified_normal(under_mm: float, sigma: float) -> None:
    """Exponential wear of 0.3 mm read with a normal error: scipy.stats.exponnorm with K = 0.3 / sigma."""
    reference = stats.exponnorm.pdf(under_mm, 0.3 / sigma, loc=0, scale=sigma)
    assert band_density(under_mm, sigma) == pytest.approx(reference, rel=1e-6, abs=1e-9)


@SEEDED
@given(st.floats(-0.2, 0.5), st.floats(0.008, 0.1))
def test_unworn_density_is_its_two_kinds_of_pins_smeared(under_mm: float, sigma: float) -> None:
    """Nine tenths half-normal of 0.05 mm, one tenth even to 0.25 mm, each smeared with the reading's error."""

    def slim(true_mm: float) -> float:
        return float(stats.halfnorm.pdf(true_mm, scale=0.05) * stats.norm.pdf(under_mm, true_mm, sigma))

    def rough(true_mm: float) -> float:
        return float(4.0 * stats.norm.pdf(under_mm, true_mm, sigma))

    near = [p for p in (under_mm - 3 * sigma, under_mm, under_mm + 3 * sigma) if 0 < p < 0.25]
    reference = 0.9 * integrate.quad(slim, 0, 0.4, points=near or None)[0]
    reference += 0.1 * integrate.quad(rough, 0, 0.25, points=near or None)[0]
    assert unworn_density(under_mm, sigma) == pytest.approx(reference, rel=1e-4, abs=1e-8)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("use", USES)
@pytest.mark.parametrize("has_signs", [False, True])
def test_room_is_a_distribution_with_the_mean_of_its_parts(kind: JointKind, use: HoleUse, has_signs: bool) -> None:
    """It sums to 1, and its mean is that of room as made plus that of the cut exponential growth."""
    growth = growth_of(use, has_signs=has_signs)
    shares = room_shares(kind, growth)
    assert math.fsum(shares) == pytest.approx(1, abs=1e-12)
    usual = JOINT_DEFAULTS[kind]
    least, most = usual.new_least_mm, usual.new_most_mm
    tight = (-0.05 + max(least, -0.03)) / 2
    made = 0.85 * (least + most) / 2 + 0.1 * tight + 0.05 * (most + 0.25)
    grown = growth.share * float(stats.truncexpon.mean(WORST_WEAR_MM / growth.mean_mm, scale=growth.mean_mm))
    assert math.fsum(s * room_mm(n) for n, s in enumerate(shares)) == pytest.approx(made + grown, abs=0.003)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(
    st.sampled_from([pin for pin in NOMINAL_PINS if 14 < pin.mm < 52]),
    st.sampled_from(KINDS),
    st.sampled_from(USES),
    st.floats(0.0, 2.0),
    st.floats(0.06, 0.4),
)
def test_a_reading_weighs_what_integration_says(
    pin: object, kind: JointKind, use: HoleUse, room: float, doubt_mm: float
) -> None:
    """The weight is the integral, over growth and room as made, of their densities times the reading's error."""
    assert isinstance(pin, type(NOMINAL_PINS[0]))
    found = evidence(float(pin.mm) + room, doubt_mm=doubt_mm, kind=kind, use=use)
    sigma = doubt_mm / float(stats.norm.ppf(0.975))
    growth, usual = growth_of(use, has_signs=False), JOINT_DEFAULTS[kind]
    least, most = usual.new_least_mm, usual.new_most_mm
    bands = ((-0.05, max(least, -0.03), 0.1), (least, most, 0.85), (most, most + 0.5, 0.05))

    def as_made(room_mm: float) -> float:
        ends = ((stats.norm.cdf((room_mm - low) / sigma), stats.norm.cdf((room_mm - high) / sigma), low, high, share)
                for low, high, share in bands)  # fmt: skip
        return float(sum(share * (a - b) / (high - low) for a, b, low, high, share in ends))

    worn = stats.truncexpon(WORST_WEAR_MM / growth.mean_mm, scale=growth.mean_mm)
    steps = [room - edge for low, high, _ in bands for edge in (low, high) if 0 < room - edge < WORST_WEAR_MM]
    grown = integrate.quad(lambda g: as_made(room - g) * worn.pdf(g), 0, WORST_WEAR_MM, points=steps or None)[0]
    reference = (1 - growth.share) * as_made(room) + growth.share * grown
    assert weighed(pin, found.holes[0][0], found).weight == pytest.approx(reference, rel=0.02, abs=0.01)


@SEEDED
@given(st.floats(-0.3, 3.0), st.sampled_from([0.03, 0.06]))
def test_going_and_not_going_make_one(over_mm: float, under_mm: float) -> None:
    """Whatever is tried goes or does not, and the more room the likelier it goes."""
    goes, no = (goes_likelihoods(over_mm, under_mm, goes=flag) for flag in (True, False))
    assert [a + b for a, b in zip(goes, no, strict=True)] == pytest.approx([1.0] * BINS)
    assert list(goes) == sorted(goes)


def test_shares_are_worth_what_they_say() -> None:
    """Over 300 drawn worlds the true pin has the share it was given: sum of shares against hits, four deviations."""
    dice = random.Random(20261125)
    said = hits = spread = 0.0
    for _ in range(300):
        pin, found = world(dice)
        for group in identify_pin(found, "mm").groups:
            share = math.fsum(candidate.share for candidate in group)
            if 0.1 < share < 0.9:
                said, spread = said + share, spread + share * (1 - share)
                hits += any(is_one_size(candidate.name, pin.name) for candidate in group)
    assert spread > 20
    assert abs(hits - said) < 4 * spread**0.5


def test_no_weight_at_all_is_shared_alike() -> None:
    """Evidence that makes every pin impossible to tell leaves them alike, not a division by nothing."""
    assert shares_of([0.0, 0.0]) == (0.5, 0.5)
    assert shares_of([1.0, 3.0]) == (0.25, 0.75)
