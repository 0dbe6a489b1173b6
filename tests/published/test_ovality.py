"""Published identities of two-point readings on an oval, and the bore fit that undoes what they hide."""

import math

import pytest

from fieldlog.measure.bore import Bore, BoreShape, fit_bore
from tests.values import part

BORE = Bore("round/eye/near", "eye/near", "2026-04-01")
SURE = (part("none", 0.0, math.inf, ""),)
# share of the true oval that K equally spaced readings show: worst, best and mean over all directions
SEEN = {
    2: (0.000, 1.000, 0.637),
    3: (0.750, 0.866, 0.827),
    4: (0.707, 1.000, 0.900),
    5: (0.905, 0.951, 0.936),
    6: (0.866, 1.000, 0.955),
    8: (0.924, 1.000, 0.975),
}
ORIENTATIONS_DEG = tuple(k / 20 for k in range(3600))


def oval_mm(line_deg: float, axis_deg: float, amplitude_mm: float = 0.5, d0_mm: float = 0.0) -> float:
    """Return the diameter of an oval along a line."""
    return d0_mm + amplitude_mm * math.cos(math.radians(2 * (line_deg - axis_deg)))


def lines_deg(count: int) -> tuple[float, ...]:
    """Return equally spaced lines across a hole."""
    return tuple(180 * k / count for k in range(count))


def fitted(pairs: list[tuple[float, float]], usual_mm: float = 1e-6) -> BoreShape:
    """Return the fit of readings made by a nearly perfect hand."""
    return fit_bore(pairs, SURE, usual_mm, 0.0, BORE)


@pytest.mark.parametrize("count", SEEN)
def test_share_of_an_oval_that_plain_readings_show(count: int) -> None:
    """Ovality tables: the range of K readings shows so much of a true oval, at worst, at best and on average."""
    shares = []
    for axis in ORIENTATIONS_DEG:
        sizes = [oval_mm(line, axis) for line in lines_deg(count)]
        shares.append(max(sizes) - min(sizes))
    found = min(shares), max(shares), math.fsum(shares) / len(shares)
    assert found == pytest.approx(SEEN[count], abs=0.0006)


@pytest.mark.parametrize("count", [3, 4, 5, 6, 8])
def test_the_fit_shows_all_of_an_oval(count: int) -> None:
    """From three equally spaced lines on, the fit shows the whole oval whichever way it lies."""
    for axis in ORIENTATIONS_DEG[::50]:
        shape = fitted([(line, oval_mm(line, axis, d0_mm=20.0)) for line in lines_deg(count)])
        assert shape.ovality.value == pytest.approx(1.0, abs=1e-12)
        assert shape.largest.value == pytest.approx(20.5, abs=1e-12)


@pytest.mark.parametrize(
    "readings",
    [
        [(0.0, 25.51490667), (60.0, 25.42604723), (120.0, 25.25904611)],
        [(0.0, 25.51490667), (45.0, 25.49641814), (90.0, 25.28509333), (135.0, 25.30358186)],
    ],
)
def test_recovery_of_a_known_oval(readings: list[tuple[float, float]]) -> None:
    """D0 25.40, amplitude 0.15, axis 20 degrees come back from three and from four rounded readings."""
    shape = fitted(readings)
    assert shape.d0_mm == pytest.approx(25.40, abs=2e-8)
    assert shape.ovality.value == pytest.approx(0.30, abs=4e-8)
    assert shape.axis_deg == pytest.approx(20.0, abs=1e-5)
    assert shape.smallest.value == pytest.approx(25.25, abs=3e-8)
    assert shape.largest.value == pytest.approx(25.55, abs=3e-8)
    seen = max(size for _, size in readings) - min(size for _, size in readings)
    assert seen < 0.26, "the plain range hides part of the oval"


@pytest.mark.parametrize("lobes", [3, 5, 7])
def test_odd_lobes_stay_unseen(lobes: int) -> None:
    """A lobed hole r = R + a cos(n t) with n odd has one diameter all round: two-point readings call it round."""
    readings = []
    for line in lines_deg(8):
        radii = [10 + 0.1 * math.cos(math.radians(lobes * (line + turn))) for turn in (0, 180)]
        readings.append((line, math.fsum(radii)))
    shape = fit_bore(readings, SURE, 0.02, 0.01, BORE)
    assert shape.ovality.value == pytest.approx(0, abs=1e-12)
    assert shape.is_round_within_error


def test_readings_of_trade_2_6() -> None:
    """19.42, 19.71, 19.95, 19.64: ovality 0.53, long axis 86 degrees, model 19.95 and 19.41 (derived)."""
    shape = fitted([(0, 19.42), (45, 19.71), (90, 19.95), (135, 19.64)])
    a_mm, b_mm = (19.42 - 19.95) / 2, (19.71 - 19.64) / 2
    assert shape.ovality.value == pytest.approx(2 * math.hypot(a_mm, b_mm), abs=1e-12)
    assert round(shape.ovality.value, 2) == 0.53
    assert shape.axis_deg is not None
    assert round(shape.axis_deg) == 86
    assert (round(shape.largest.value, 2), round(shape.smallest.value, 2)) == (19.95, 19.41)


def test_bore_worn_into_one_wall_keeps_its_made_size_across() -> None:
    """A 22.0 pin worn 0.5 into one wall of a 22.4 bore (derived table): the fit finds 22.40 across, 22.90 along.

    Such a bore is not quite a second harmonic, so the fit is held to 0.02 mm, a caliper's own doubt.
    """
    table = {0.0: 22.90, 22.5: 22.84, 45.0: 22.68, 67.5: 22.45, 90.0: 22.40}
    mirrored = {180 - angle: size for angle, size in table.items() if 0 < angle < 90}
    shape = fitted(list({**table, **mirrored}.items()))
    assert shape.smallest.value == pytest.approx(22.40, abs=0.02)
    assert shape.largest.value == pytest.approx(22.90, abs=0.02)
    assert shape.axis_deg == pytest.approx(0, abs=1e-6), "0, never 180"
