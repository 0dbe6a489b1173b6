"""The circle intersection that the hitch is solved with, against published four-bar positions.

Norton, Design of Machinery, table P4-1: the problem is published, its data and answers are from memory and were
recomputed by two independent methods. Freudenstein's equation of 1955 is on public pages.
"""

import math
from typing import NamedTuple

import pytest

from fieldlog.retrofit.hitch.plane import CannotReach, Point, Side, away, direction_deg, meeting

ORIGIN = Point(0.0, 0.0)
SIDES: tuple[Side, Side] = ("left", "right")
Angles = tuple[float, float]


class Row(NamedTuple):
    """Ground, crank, coupler, rocker and crank angle; coupler and rocker angle of the two assemblies."""

    ground: float
    crank: float
    coupler: float
    rocker: float
    crank_deg: float
    open_deg: Angles
    crossed_deg: Angles


NORTON = {  # from memory; the last one is a public exercise whose answers were only recomputed
    "a": Row(6, 2, 7, 9, 30, (88.84, 117.29), (-115.21, -143.66)),
    "c": Row(3, 10, 6, 8, 45, (-53.13, 16.49), (173.27, 103.65)),
    "g": Row(6, 8, 8, 9, 25, (-16.31, 7.24), (155.72, 132.17)),
    "i": Row(4, 5, 2, 5, 80, (-1.55, 103.09), (-113.54, 141.82)),
    "exercise": Row(6, 3, 4, 4, 45, (27.78, 94.87), (-85.13, -152.22)),
}


def four_bar(row: Row) -> list[Angles]:
    """Coupler and rocker angle in both ways of putting the linkage together."""
    tip, far = away(ORIGIN, row.crank, row.crank_deg), Point(row.ground, 0.0)
    joints = [meeting(tip, row.coupler, far, row.rocker, side) for side in SIDES]
    return [(direction_deg(tip, j), direction_deg(far, j)) for j in joints if isinstance(j, Point)]


def apart_deg(first: float, second: float) -> float:
    return abs((first - second + 180) % 360 - 180)


@pytest.mark.parametrize("name", NORTON)
def test_norton_positions_open_and_crossed(name: str) -> None:
    """Both assemblies of each row to the two printed decimals."""
    found = four_bar(NORTON[name])
    assert len(found) == 2
    for wanted in (NORTON[name].open_deg, NORTON[name].crossed_deg):
        misses = [max(apart_deg(got[0], wanted[0]), apart_deg(got[1], wanted[1])) for got in found]
        assert min(misses) < 0.0051


@pytest.mark.parametrize("name", NORTON)
def test_freudenstein_equation_holds(name: str) -> None:
    """K1 cos(rocker) - K2 cos(crank) + K3 = cos(crank - rocker), in both assemblies (Freudenstein 1955)."""
    row = NORTON[name]
    k1, k2 = row.ground / row.crank, row.ground / row.rocker
    k3 = (row.crank**2 - row.coupler**2 + row.rocker**2 + row.ground**2) / (2 * row.crank * row.rocker)
    crank = math.radians(row.crank_deg)
    for _, rocker_deg in four_bar(row):
        rocker = math.radians(rocker_deg)
        left = k1 * math.cos(rocker) - k2 * math.cos(crank) + k3
        assert left == pytest.approx(math.cos(crank - rocker), abs=1e-12)


@pytest.mark.parametrize(("crank_deg", "rocker_deg"), [(15, 30), (30, 40), (45, 55)])
def test_three_point_synthesis_runs_through_its_points(crank_deg: float, rocker_deg: float) -> None:
    """A four-bar made by Freudenstein's method for three pairs of angles passes through each of them."""
    nowhere = (0.0, 0.0)
    row = Row(1.0, 1.112677, 0.740967, 0.918725, crank_deg, nowhere, nowhere)  # K = 0.898733, 1.088465, 1.238977
    assert min(apart_deg(rocker, rocker_deg) for _, rocker in four_bar(row)) < 1e-3


def test_transmission_angle_of_row_a() -> None:
    """Between coupler and rocker: 28.45 degrees."""
    coupler, rocker = next(found for found in four_bar(NORTON["a"]) if found[0] > 0)
    assert apart_deg(coupler, rocker) == pytest.approx(28.45, abs=0.005)


@pytest.mark.parametrize(("rocker", "short"), [(2.0, 1.0), (20.0, -3.0)])
def test_links_that_cannot_meet_say_by_how_much(rocker: float, short: float) -> None:
    """Closure needs |L3 - L4| <= d <= L3 + L4; outside that the miss is given, never a NaN."""
    assert meeting(ORIGIN, 7.0, Point(10.0, 0.0), rocker, "left") == CannotReach(short, "link")


def test_touching_circles_meet() -> None:
    """In line, the two links meet in one point."""
    assert meeting(ORIGIN, 7.0, Point(10.0, 0.0), 3.0, "left") == Point(7.0, 0.0)
    assert meeting(ORIGIN, 7.0, Point(10.0, 0.0), 17.0, "right") == Point(-7.0, 0.0)


def test_centres_on_one_spot_cannot_be_told() -> None:
    """Two bars pinned at one spot meet nowhere in particular."""
    assert isinstance(meeting(ORIGIN, 7.0, ORIGIN, 7.0, "left"), CannotReach)
