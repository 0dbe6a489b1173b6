"""Fractional drill and reamer sizes against the decimals that every inch drill chart prints."""

import itertools
from decimal import Decimal

import pytest

from fieldlog.quantity.units import MM_PER_INCH
from fieldlog.standards.joints import SHANKS, shanks_between

# exact decimals n x 0.015625 as inch drill charts print them; larger than one inch in the same way
CHART = [
    ("3/4 in", "0.7500"),
    ("49/64 in", "0.765625"),
    ("25/32 in", "0.78125"),
    ("7/8 in", "0.8750"),
    ("57/64 in", "0.890625"),
    ("29/32 in", "0.90625"),
    ("1-1/64 in", "1.015625"),
    ("1-1/8 in", "1.1250"),
    ("1-9/64 in", "1.140625"),
]


@pytest.mark.parametrize(("name", "inches"), CHART)
def test_fractional_drill_is_as_charts_print_it(name: str, inches: str) -> None:
    """Name in lowest terms, size exact."""
    assert {shank.name: shank.mm for shank in SHANKS}[name] == Decimal(inches) * MM_PER_INCH


def test_metric_drills_go_by_tenths_then_halves() -> None:
    """0.1 mm up to 14, 0.5 mm above: from memory."""
    metric = [shank.mm for shank in SHANKS if shank.name.endswith(" mm")]
    steps = {b - a for a, b in itertools.pairwise(metric) if b <= 14}
    assert steps == {Decimal("0.1")}
    assert {b - a for a, b in itertools.pairwise(metric) if a >= 14} == {Decimal("0.5")}


def test_shanks_between_leaves_the_ends_out() -> None:
    """Between 22 and 22.5 mm stand only the inch sizes 7/8 and 56/64 = 7/8 once."""
    assert [shank.name for shank in shanks_between(22, 22.5)] == ["7/8 in"]
