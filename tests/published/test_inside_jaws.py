"""The trade's table of what flat inside jaws lack, and the chord error of small bores as reference tables give it."""

import math

import pytest

from fieldlog.measure.jaws import Caliper, stated_jaws

SIZES_MM = (6, 10, 12.7, 16, 19.3, 22.4, 25.4, 38.1)
# trade knowledge 2.3: jaw width in mm, then the error D - m at each of the sizes, printed to 0.001 mm
TABLE = (
    (0.5, (0.021, 0.013, 0.010, 0.008, 0.006, 0.006, 0.005, 0.003)),
    (1.0, (0.084, 0.050, 0.039, 0.031, 0.026, 0.022, 0.020, 0.013)),
    (1.5, (0.191, 0.113, 0.089, 0.070, 0.058, 0.050, 0.044, 0.030)),
    (2.0, (0.343, 0.202, 0.158, 0.125, 0.104, 0.089, 0.079, 0.053)),
)
CELLS = [(width, size, error) for width, row in TABLE for size, error in zip(SIZES_MM, row, strict=True)]


@pytest.mark.parametrize(("width_mm", "size_mm", "error_mm"), CELLS)
def test_inside_jaw_table(width_mm: float, size_mm: float, error_mm: float) -> None:
    """Each cell of the table: a bore less the printed error is corrected to the bore, to the printed digits."""
    corrected = stated_jaws(width_mm, 0.1, (), Caliper("blue", "caliper")).corrected_mm(size_mm - error_mm)
    assert corrected == pytest.approx(size_mm, abs=0.00052)


@pytest.mark.parametrize(("size_mm", "error_mm"), [(5, 0.025), (10, 0.0125), (19, 0.0066), (25, 0.005)])
def test_half_millimetre_of_flat(size_mm: float, error_mm: float) -> None:
    """W = 0.5 mm: 0.025 at 5, 0.0125 at 10, 0.0066 at 19, 0.005 at 25 mm (geometry; ASME B89.1.14 5.10.8 tests it)."""
    read = math.sqrt(size_mm**2 - 0.25)
    assert stated_jaws(0.5, 0.1, (), Caliper("blue", "caliper")).corrected_mm(read) - read == pytest.approx(
        error_mm, abs=0.0001
    )
