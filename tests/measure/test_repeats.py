"""Repeats, instruments and rounding: the worked numbers of the trade, and what stands in when little is known."""

import math
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import MeasureError
from fieldlog.measure.instruments import (
    UNKNOWN_CALIPER,
    UNKNOWN_TAPE,
    error_limit_mm,
    limit_term,
    mean,
    pooled_scatter,
    sample_sd,
    size_of_mean,
    step_mm,
    typing_half_width_mm,
)
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.source import Term
from fieldlog.records.machine import Instrument, InstrumentKind
from tests.values import part, sized

EXAMPLES = settings(max_examples=100, derandomize=True, deadline=None)
VALUES = st.lists(st.floats(5, 60), min_size=2, max_size=12)
USUAL_MM = 0.02


def limit(half_width_mm: float) -> tuple[Term, ...]:
    """Return an instrument's limit as the worked example takes it: with t, as if it were bell-shaped."""
    return (part("instrument", half_width_mm / math.sqrt(3), math.inf, "limit"),)


@pytest.mark.parametrize(
    ("values", "limit_mm", "mean_mm", "sd_mm", "u_mm", "expanded_mm"),
    [
        # trade knowledge, 2.5, worked from the GUM's formulas; the last is with the limit of 0.03
        ((19.42, 19.44, 19.41), 0.03, 19.423, 0.015, 0.019, 0.039),
        ((19.42, 19.44, 19.41), 0.05, 19.423, 0.015, 0.030, 0.059),
        ((19.40, 19.46, 19.41), 0.03, 19.423, 0.032, 0.025, 0.060),
    ],
)
def test_worked_repeats(
    values: tuple[float, ...], limit_mm: float, mean_mm: float, sd_mm: float, u_mm: float, expanded_mm: float
) -> None:
    """Three repeats and a caliper's limit come out to the printed digits of the worked example."""
    size = size_of_mean("pin", values, limit(limit_mm), USUAL_MM, 0.01)
    found = (size.value, sample_sd(values), size.u_mm, size.plus_minus)
    assert found == pytest.approx((mean_mm, sd_mm, u_mm, expanded_mm), abs=0.00051)


@EXAMPLES
@given(values=VALUES)
def test_mean_and_sd_agree_with_numpy(values: list[float]) -> None:
    """Mean and sample standard deviation agree with NumPy."""
    assert mean(values) == pytest.approx(float(np.mean(values)), rel=1e-14)
    assert sample_sd(values) == pytest.approx(float(np.std(values, ddof=1)), rel=1e-10, abs=1e-13)


@EXAMPLES
@given(groups=st.lists(st.lists(st.floats(5, 60), min_size=1, max_size=5), min_size=3, max_size=6))
def test_pooled_scatter_is_the_weighted_mean_of_variances(groups: list[list[float]]) -> None:
    """Groups of repeats pool by their degrees of freedom; single readings say nothing."""
    told = [group for group in groups if len(group) > 1]
    dof = sum(len(group) - 1 for group in told)
    squares = sum((len(group) - 1) * float(np.var(group, ddof=1)) for group in told)
    scatter = pooled_scatter(groups, USUAL_MM)
    expected = squares / dof if dof >= 2 else (8 * USUAL_MM**2 + squares) / (8 + dof)
    assert scatter.dof == (dof if dof >= 2 else 8 + dof)
    assert scatter.sd_mm == pytest.approx(math.sqrt(expected), rel=1e-9, abs=1e-9)


def test_one_reading_takes_the_usual_repeatability_with_8_dof() -> None:
    """One reading has no scatter of its own: the usual 0.02 mm stands in with 8 degrees of freedom and is named."""
    size = size_of_mean("pin", [19.42], limit(0.05), USUAL_MM, 0.01)
    assert size.value == 19.42
    assert size.parts[0].u_mm == USUAL_MM
    assert size.parts[0].dof == 8
    assert "usual repeatability" in size.parts[0].source


def test_two_readings_weigh_the_usual_repeatability_with_their_own() -> None:
    """Two repeats 0.04 apart have one degree of freedom: s^2 = (8 x 0.02^2 + 0.0008) / 9 (GUM G.4.2 for the 8)."""
    size = size_of_mean("pin", [19.40, 19.44], limit(0.05), USUAL_MM, 0.01)
    assert size.parts[0].u_mm == pytest.approx(math.sqrt((8 * 0.0004 + 0.0008) / 9 / 2), rel=1e-9)
    assert size.parts[0].dof == 9


def test_identical_repeats_still_have_the_step() -> None:
    """Three times 19.42 on a 0.01 mm caliper: the step's rectangle stays, step / sqrt(12)."""
    size = size_of_mean("pin", [19.42] * 3, limit(0.05), USUAL_MM, 0.01)
    assert size.parts[0].u_mm == pytest.approx(0.01 / math.sqrt(12))


def test_nothing_to_average_is_refused() -> None:
    """No reading has no mean and one has no scatter; both are said plainly."""
    with pytest.raises(MeasureError, match="No reading"):
        mean([])
    with pytest.raises(MeasureError, match="measure again"):
        sample_sd([19.42])


def test_difference_keeps_every_part_by_name() -> None:
    """A difference carries the parts of both, so that each can still be looked up."""
    first, second = sized(20.0, (part("a", 3.0, 5, "x"),)), sized(19.0, (part("b", 4.0, math.inf, "y"),))
    gap = first - second
    assert gap.value == 1.0
    assert gap.u_mm == 5.0
    assert [part.name for part in gap.parts] == ["a", "b"]


def test_scaled_estimate_scales_value_and_doubt() -> None:
    """A negative factor turns the value round and leaves the doubt positive."""
    half = sized(20.0, (part("a", 3.0, 5, "x"),)) * -0.5
    assert (half.value, half.u_mm, half.dof) == (-10.0, 1.5, 5)


def test_a_sure_value_has_no_doubt() -> None:
    """A value without parts is exact and keeps a usable coverage factor."""
    assert sized(19.0).plus_minus == 0.0
    assert sized(19.0).dof == math.inf


@pytest.mark.parametrize(
    ("kind", "inside_mm", "outside_mm"),
    # common practice, no source: field caliper 0.05 inside, 0.03 outside; the rest as mechanics expect of them
    [
        ("caliper", 0.05, 0.03),
        ("micrometer", 0.02, 0.01),
        ("telescoping gauge", 0.03, 0.03),
        ("bore gauge", 0.01, 0.01),
    ],
)
def test_usual_limits(kind: InstrumentKind, inside_mm: float, outside_mm: float) -> None:
    """An instrument without limits of its own has the usual ones, and the part says that they are usual."""
    instrument = Instrument(id="x", kind=kind)
    assert error_limit_mm(instrument, "inside") == inside_mm
    assert error_limit_mm(instrument, "outside") == outside_mm
    assert "common practice" in limit_term(instrument, "inside").source.why


def test_limits_from_the_logbook_come_first() -> None:
    """What the owner wrote down outranks the usual figure, inside and outside separately."""
    own = Instrument(id="x", error_limit=parse_length("0.02"), inside_error_limit=parse_length("0.04"))
    assert error_limit_mm(own, "outside") == pytest.approx(0.02)
    assert error_limit_mm(own, "inside") == pytest.approx(0.04)
    assert "logbook" in limit_term(own, "inside").source.why


@pytest.mark.parametrize(("limit_text", "inside_mm"), [("0.02", 0.05), ("0.03", 0.05), ("0.10", 0.12)])
def test_inside_jaws_are_never_better_than_the_outside_ones(limit_text: str, inside_mm: float) -> None:
    """A caliper's one stated limit is its outside one; DIN 862 adds 0.02 mm inside, and 0.05 is the least."""
    caliper = Instrument(id="x", error_limit=parse_length(limit_text))
    assert error_limit_mm(caliper, "inside") == pytest.approx(inside_mm)


def test_bore_gauge_limit_from_the_logbook_holds_inside() -> None:
    """A bore gauge has only inside use, so its one stated limit is the one that counts."""
    gauge = Instrument(id="x", kind="bore gauge", error_limit=parse_length("0.02"))
    assert error_limit_mm(gauge, "inside") == pytest.approx(0.02)
    assert "logbook" in limit_term(gauge, "inside").source.why


@pytest.mark.parametrize(
    ("typed", "resolution", "step"),
    [
        ("3/4", "1/16", Decimal("25.4") / 16),  # a person writes 3/4 for 12/16
        ("3/4", None, Decimal("25.4") / 4),
        ("20 in", "1/16", Decimal("25.4") / 16),
        ("19.42", "0.01", Decimal("0.01")),
        ("19.4", "0.01", Decimal("0.1")),
        ("19.423", "0.01", Decimal("0.01")),
        ("0.755 in", "0.0005 in", Decimal("0.0254")),
    ],
)
def test_step_of_a_reading(typed: str, resolution: str | None, step: Decimal) -> None:
    """Fractions are as fine as the tape; decimals as coarse as the coarser of typing and instrument."""
    instrument = Instrument(id="x", resolution=parse_length(resolution) if resolution else None)
    assert step_mm(parse_length(typed), instrument) == pytest.approx(float(step))


def test_just_under_widens_by_half() -> None:
    """Just under and just over are judged by eye: three quarters of the step instead of half."""
    plain, under = parse_length("20 3/4"), parse_length("20 3/4-")
    assert typing_half_width_mm(plain, UNKNOWN_TAPE) == pytest.approx(25.4 / 8)
    assert typing_half_width_mm(under, UNKNOWN_TAPE) == pytest.approx(25.4 / 4 * 0.75)
    assert float(under.half_width_mm) == pytest.approx(25.4 / 4 * 0.75)


@pytest.mark.parametrize("resolution", ["1/16", "1/32", "0.5 mm", "1/2"])
def test_a_leaning_fraction_is_as_coarse_as_typed(resolution: str) -> None:
    """20 3/4- on a tape of 1/16: the shift is a quarter of 1/4 in, so the doubt is three quarters of 1/4 in too."""
    tape = Instrument(id="x", kind="tape", resolution=parse_length(resolution))
    under = parse_length("20 3/4-")
    assert float(under.mm) == pytest.approx(20.75 * 25.4 - 25.4 / 16)
    coarsest = max(25.4 / 4, float(parse_length(resolution).mm))
    assert typing_half_width_mm(under, tape) == pytest.approx(0.75 * coarsest)
    assert typing_half_width_mm(parse_length("20 3/4"), tape) == pytest.approx(
        min(25.4 / 4, float(parse_length(resolution).mm)) / 2
    )


def test_unknown_instruments_are_a_caliper_and_a_class_two_tape() -> None:
    """Readings without an instrument are taken as of a field caliper, lengths as of a class II tape."""
    assert error_limit_mm(UNKNOWN_CALIPER, "inside") == 0.05
    assert error_limit_mm(UNKNOWN_TAPE, "length", 650) == pytest.approx(0.5)
