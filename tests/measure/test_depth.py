"""A hole in depth: each pattern from sizes made for it, and no pattern from chance."""

import random
from collections.abc import Mapping

import pytest

from fieldlog.measure.depth import DepthShape, Pattern, depth_shape
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import BoreReading
from fieldlog.records.machine import Instrument
from tests.measure.holes import along, read, size_of

GAUGE = {"gauge": Instrument("gauge", "telescoping gauge", error_limit=parse_length("0.03 mm"))}


def faces(near: float, middle: float | None, far: float | None, *, worn_at: str = "3") -> list[BoreReading]:
    """Return three repeats at 12 and 3 on each face, the given size along the worn line, 19.40 along the other."""
    found: list[BoreReading] = []
    for face, size in (("near", near), ("middle", middle), ("far", far)):
        if size is None:
            continue
        for clock in ("12", "3"):
            true = size if clock == worn_at else 19.40
            found += along(clock, *(f"{true + off:.2f}" for off in (-0.01, 0.0, 0.01)), face=face)  # type: ignore[arg-type]
    return found


def depth(readings: list[BoreReading], instruments: Mapping[str, Instrument] | None = None) -> DepthShape:
    shape = depth_shape(size_of(readings, instruments), readings, instruments or {})
    assert shape is not None
    return shape


@pytest.mark.parametrize(
    ("sizes", "pattern"),
    [
        ((19.70, 19.42, 19.72), Pattern.BELL),
        ((19.42, 19.70, 19.43), Pattern.BARREL),
        ((19.80, 19.60, 19.42), Pattern.TAPER_NEAR),
        ((19.42, 19.60, 19.80), Pattern.TAPER_FAR),
        ((19.70, 19.42, 19.42), Pattern.NEAR_ONLY),
        ((19.42, 19.42, 19.70), Pattern.FAR_ONLY),
        ((19.20, 19.42, 19.42), Pattern.NEAR_TIGHT),
        ((19.42, 19.42, 19.20), Pattern.FAR_TIGHT),
        ((19.42, 19.43, 19.42), Pattern.ALIKE),
        ((19.70, None, 19.42), Pattern.TAPER_NEAR),
        ((19.42, 19.70, None), Pattern.NEAR_TIGHT),
        ((None, 19.42, 19.70), Pattern.FAR_ONLY),
    ],
)
def test_each_pattern(sizes: tuple[float, float | None, float | None], pattern: Pattern) -> None:
    """Near, middle and far face in mm; the other line stays as made and does not dilute the difference."""
    if sizes[0] is None:
        shape = depth([r for r in faces(19.0, *sizes[1:]) if r.face != "near"])
    else:
        shape = depth(faces(*sizes))
    assert shape.pattern is pattern
    assert bool(shape.missing) == (None in sizes)


def test_the_three_differences_are_reported_along_the_worn_line() -> None:
    """Near - middle, far - middle, near - far, at 3, where the faces differ."""
    shape = depth(faces(19.70, 19.42, 19.52))
    assert [(gap.name, gap.clock, round(gap.size.value, 6)) for gap in shape.gaps] == [
        ("near - middle", "3", 0.28), ("far - middle", "3", 0.10), ("near - far", "3", 0.18),
    ]  # fmt: skip
    assert [gap.sign for gap in shape.gaps] == [1, 1, 1]
    assert all(len(gap.keys) == 6 for gap in shape.gaps)


def test_doubt_of_a_difference_is_that_of_the_repeats_alone_with_one_caliper() -> None:
    """S = 0.01 in every group, n = 3 against 3: u = 0.01 sqrt(2/3) = 0.00816, 8 degrees of freedom."""
    gap = depth(faces(19.70, None, 19.42)).gaps[0]
    assert gap.size.u_mm == pytest.approx(0.00816497, abs=1e-8)
    assert gap.size.dof == pytest.approx(8)
    assert len(gap.size.parts) == 1


def test_another_gauge_at_one_face_does_not_cancel() -> None:
    """A telescoping gauge in the middle brings its own limit, and the caliper's counts too."""
    middle = [r for clock in ("12", "3") for r in along(clock, "19.40", "19.41", face="middle", instrument="gauge")]
    near = faces(19.70, None, None)
    shape = depth([*near, *middle], GAUGE)
    names = [part.name for part in shape.gaps[0].size.parts]
    assert len(names) >= 3
    assert any("caliper" in name for name in names)
    assert any("gauge" in name for name in names)
    assert shape.gaps[0].sign == 1


def test_one_face_has_no_depth_and_lines_apart_cannot_be_compared() -> None:
    """Near at 12, far at 3: said, with what to measure."""
    one_face = faces(19.4, None, None)
    assert depth_shape(size_of(one_face), one_face, {}) is None
    shape = depth([read("19.42", "12"), read("19.80", "3", "far")])
    assert shape.gaps == ()
    assert "no line in common; measure both at 12 and 3" in shape.missing


def test_single_readings_prove_little() -> None:
    """0.03 between two single readings is no taper; 0.3 is."""
    assert depth([read("19.42", "12"), read("19.45", "12", "far")]).pattern is Pattern.ALIKE
    assert depth([read("19.42", "12"), read("19.72", "12", "far")]).pattern is Pattern.TAPER_FAR


def test_chance_makes_a_pattern_in_at_most_one_hole_in_twenty() -> None:
    """600 seeded straight holes, twice at 12 and 3 on three faces: six comparisons, and at most 5 % show a pattern."""
    dice = random.Random(1999)
    hits = 0
    for _ in range(600):
        readings = [
            read(f"{19.4 + dice.gauss(0, 0.02):.3f}", clock, face)
            for face in ("near", "middle", "far")
            for clock in ("12", "3")
            for _ in range(2)
        ]
        hits += depth(readings).pattern is not Pattern.ALIKE
    assert hits / 600 < 0.065
