"""The whole worked example of a category 1 compact tractor's hitch, to its printed digits.

The example was worked out by hand formulas and given as printed tables. Its lift rod is printed as 475.6 mm, but its
tables are those of the rod that puts the balls at exactly 200 mm with the lift arm 15 degrees down (475.64 mm); its
top link is likewise the one that sets the mast upright, printed as 654.0 mm and really 653.95.
"""

from dataclasses import replace

import pytest

from fieldlog.retrofit.lift import ball_of_arm, lift_rate_mm_per_rad, lower_link_deg, rod_for_height_mm, with_rod
from fieldlog.retrofit.linkage import Linkage, length_for_pitch_mm, pitch_deg, pitch_rate_deg_per_mm, with_top_link
from fieldlog.retrofit.plane import CannotReach, Point

HALF_DIGIT = 0.051
BRACKETS = {"top": Point(190, 840), "middle": Point(190, 780), "low": Point(190, 720)}
ROUGH = Linkage(Point(60, 400), 790, BRACKETS["middle"], 654.0, 460, Point(110, 820), 260, 475.6, 430, 718)


def number(found: float | CannotReach) -> float:
    """The number; a hitch that cannot reach has no place in the example."""
    assert not isinstance(found, CannotReach), found
    return found


def upright(linkage: Linkage, height_mm: float = 300.0) -> Linkage:
    """The top link set so that the mast stands upright."""
    return with_top_link(linkage, number(length_for_pitch_mm(linkage, height_mm, 0.0)))


HITCH = upright(with_rod(ROUGH, number(rod_for_height_mm(ROUGH, -15.0, 200.0))))


def test_the_example_is_set_up_as_printed() -> None:
    """Rod and top link come out as the printed figures."""
    assert HITCH.rod_mm == pytest.approx(475.6, abs=HALF_DIGIT)
    assert HITCH.top_link_mm == pytest.approx(654.0, abs=HALF_DIGIT)


@pytest.mark.parametrize(
    ("hole_mm", "arm_deg", "link_deg", "height_mm", "behind_mm"),
    [
        (430, -15, -14.7, 200, 824),
        (430, 15, 3.9, 454, 848),
        (430, 45, 21.6, 691, 795),
        (430, 70, 34.1, 843, 714),
        (370, -15, -19.0, 143, None),
        (370, 15, 2.6, 435, None),
        (370, 45, 22.4, 700, None),
        (370, 70, 35.9, 863, None),
    ],
)
def test_lift_table(hole_mm: float, arm_deg: float, link_deg: float, height_mm: float, behind_mm: float | None) -> None:
    """Lower link angle, height and place of the ball for both lift-rod holes."""
    hitch = replace(HITCH, rod_hole_mm=hole_mm)
    ball = ball_of_arm(hitch, arm_deg)
    assert isinstance(ball, Point)
    assert number(lower_link_deg(hitch, arm_deg)) == pytest.approx(link_deg, abs=HALF_DIGIT)
    assert ball.y_mm == pytest.approx(height_mm, abs=0.51)
    if behind_mm is not None:
        assert ball.x_mm == pytest.approx(behind_mm, abs=0.51)


@pytest.mark.parametrize(("arm_deg", "rear", "front"), [(-15, 461, 541), (45, 404, 442), (70, 292, 300)])
def test_front_hole_gives_up_force_for_height(arm_deg: float, rear: float, front: float) -> None:
    """Rise of the ball a radian of lift arm; the lift force is that turned upside down."""
    assert number(lift_rate_mm_per_rad(replace(HITCH, rod_hole_mm=430), arm_deg)) == pytest.approx(rear, abs=0.51)
    assert number(lift_rate_mm_per_rad(replace(HITCH, rod_hole_mm=370), arm_deg)) == pytest.approx(front, abs=0.51)


@pytest.mark.parametrize(("hole", "length_mm"), [("top", 658.5), ("middle", 654.0), ("low", 654.9)])
def test_length_that_sets_the_mast_upright(hole: str, length_mm: float) -> None:
    """At a ball height of 300 mm, for each hole of the bracket."""
    assert upright(replace(HITCH, bracket=BRACKETS[hole])).top_link_mm == pytest.approx(length_mm, abs=HALF_DIGIT)


@pytest.mark.parametrize(
    ("hole", "height_mm", "wanted_deg"),
    [
        *(("top", h, p) for h, p in ((200, -0.1), (300, 0), (500, -0.8), (700, -3.1), (830, -6.2))),
        *(("middle", h, p) for h, p in ((200, 1.1), (300, 0), (500, -3.1), (700, -8.2), (830, -13.6))),
        *(("low", h, p) for h, p in ((200, 2.2), (300, 0), (500, -5.4), (700, -13.2), (830, -20.7))),
    ],
)
def test_pitch_while_lifting(hole: str, height_mm: float, wanted_deg: float) -> None:
    """The whole table of pitch (fore-aft) by height and bracket hole."""
    hitch = upright(replace(HITCH, bracket=BRACKETS[hole]))
    assert number(pitch_deg(hitch, height_mm)) == pytest.approx(wanted_deg, abs=HALF_DIGIT)


@pytest.mark.parametrize(("mast_mm", "wanted_deg"), [(410, -8.3), (460, -13.6), (510, -17.9)])
def test_taller_mast_tips_further(mast_mm: float, wanted_deg: float) -> None:
    """Pitch at 830 mm for three masts, each upright at 300."""
    assert number(pitch_deg(upright(replace(HITCH, mast_mm=mast_mm)), 830)) == pytest.approx(wanted_deg, abs=HALF_DIGIT)


@pytest.mark.parametrize(
    ("length_mm", "at_300_deg", "at_800_deg"),
    [
        (554, -12.6, -26.4),
        (604, -6.3, -19.4),
        (629, -3.1, -15.8),
        (654, 0, -12.1),
        (679, 3.1, -8.3),
        (704, 6.2, -4.4),
        (754, 12.5, 3.9),
    ],
)
def test_pitch_by_top_link_length(length_mm: float, at_300_deg: float, at_800_deg: float) -> None:
    """The printed lengths are steps from the upright one."""
    hitch = with_top_link(HITCH, HITCH.top_link_mm + length_mm - 654)
    assert number(pitch_deg(hitch, 300)) == pytest.approx(at_300_deg, abs=HALF_DIGIT)
    assert number(pitch_deg(hitch, 800)) == pytest.approx(at_800_deg, abs=HALF_DIGIT)


def test_rate_of_pitch() -> None:
    """0.12461 degrees a millimetre at 300 mm, analytic."""
    assert number(pitch_rate_deg_per_mm(HITCH, 300)) == pytest.approx(0.12461, abs=0.000006)


@pytest.mark.parametrize(
    ("wanted_deg", "length_mm"), [(-10, 574), (-8, 590), (-5, 614), (0, 654), (5, 694), (8, 718), (10, 734)]
)
def test_length_for_a_wanted_pitch(wanted_deg: float, length_mm: float) -> None:
    """At a ball height of 300 mm."""
    assert number(length_for_pitch_mm(HITCH, 300, wanted_deg)) == pytest.approx(length_mm, abs=0.51)
