"""The closed form of the hitch against root finding, finite differences and plain geometry."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, seed, settings
from hypothesis import strategies as st
from scipy.optimize import fsolve

from fieldlog.retrofit.hitch.lift import (
    arm_at,
    arm_end,
    ball_of_arm,
    height_range_mm,
    lift_rate_mm_per_rad,
    rod_for_height_mm,
    rod_low_end,
)
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Offset,
    Point,
    Pose,
    crossing,
    distance_mm,
    length_for_pitch_mm,
    pitch_by_height_deg_per_mm,
    pitch_deg,
    pitch_rate_deg_per_mm,
    pose_at,
    reach_mm,
    virtual_hitch_point,
    with_top_link,
)
from fieldlog.words.speak import say
from tests.retrofit.hitches import COMPACT, HIGHEST_DEG, LOWEST_DEG, hitches

HEIGHTS = st.floats(200, 800)
ARMS = st.floats(LOWEST_DEG, HIGHEST_DEG)
STEEP_DEG_PER_MM = 0.5  # beyond this mast and link lie nearly in line, and two answers lie close together
STEEP_MM_PER_RAD = 1500  # the same of rod and lower link


@seed(11)
@settings(max_examples=80, deadline=None)
@given(hitches(), HEIGHTS)
def test_implement_position_is_what_root_finding_finds(hitch: Linkage, height_mm: float) -> None:
    """SciPy's solver, started near the answer's side, closes both loops of the linkage at the same place."""
    pose, rate = pose_at(hitch, height_mm), pitch_rate_deg_per_mm(hitch, height_mm)
    assume(isinstance(pose, Pose) and isinstance(rate, float) and abs(rate) < STEEP_DEG_PER_MM)
    assert isinstance(pose, Pose)

    def loops(at: tuple[float, float]) -> tuple[float, float]:
        link, lean = at
        ball = (
            hitch.lower_pivot.x_mm + hitch.lower_link_mm * math.cos(link),
            hitch.lower_pivot.y_mm + hitch.lower_link_mm * math.sin(link),
        )
        upper = (ball[0] + hitch.mast_mm * math.sin(lean), ball[1] + hitch.mast_mm * math.cos(lean))
        gap = math.hypot(upper[0] - hitch.bracket.x_mm, upper[1] - hitch.bracket.y_mm) - hitch.top_link_mm
        return ball[1] - height_mm, gap

    start = (0.0, math.radians(pose.pitch_deg) + 0.05)
    link, lean = fsolve(loops, start, xtol=1e-10)
    assert max(abs(miss) for miss in loops((link, lean))) < 1e-6
    assert math.degrees(lean) == pytest.approx(pose.pitch_deg, abs=1e-6)
    assert hitch.lower_pivot.x_mm + hitch.lower_link_mm * math.cos(link) == pytest.approx(pose.ball.x_mm, abs=1e-6)


@seed(12)
@settings(max_examples=80, deadline=None)
@given(hitches(), ARMS)
def test_ball_of_the_lift_arm_is_what_root_finding_finds(hitch: Linkage, arm_deg: float) -> None:
    """The rod keeps its length: SciPy finds the same angle of the lower link."""
    ball, rate = ball_of_arm(hitch, arm_deg), lift_rate_mm_per_rad(hitch, arm_deg)
    assume(isinstance(rate, float) and abs(rate) < STEEP_MM_PER_RAD)
    assert isinstance(ball, Point)
    end = arm_end(hitch, arm_deg)
    closed = math.atan2(ball.y_mm - hitch.lower_pivot.y_mm, ball.x_mm - hitch.lower_pivot.x_mm)

    def gap(link: float) -> float:
        low_x = hitch.lower_pivot.x_mm + hitch.rod_hole_mm * math.cos(link)
        low_y = hitch.lower_pivot.y_mm + hitch.rod_hole_mm * math.sin(link)
        return math.hypot(end.x_mm - low_x, end.y_mm - low_y) - hitch.rod_mm

    (found,) = fsolve(lambda at: gap(at[0]), (closed + 0.02,), xtol=1e-9)
    assert found == pytest.approx(closed, abs=1e-6)


@seed(13)
@settings(max_examples=80, deadline=None)
@given(hitches(), HEIGHTS)
def test_links_keep_their_lengths(hitch: Linkage, height_mm: float) -> None:
    """Lower link, mast and top link measure what they were given."""
    pose = pose_at(hitch, height_mm)
    assume(isinstance(pose, Pose))
    assert isinstance(pose, Pose)
    assert distance_mm(hitch.lower_pivot, pose.ball) == pytest.approx(hitch.lower_link_mm)
    assert distance_mm(pose.ball, pose.upper) == pytest.approx(hitch.mast_mm)
    assert distance_mm(hitch.bracket, pose.upper) == pytest.approx(hitch.top_link_mm)
    assert pose.place(Offset(0, hitch.mast_mm)) == pytest.approx(pose.upper)


@seed(14)
@settings(max_examples=80, deadline=None)
@given(hitches(), HEIGHTS)
def test_rates_of_pitch_are_those_of_finite_differences(hitch: Linkage, height_mm: float) -> None:
    """By top link length and by height."""
    step = 1e-3
    rate, by_height = pitch_rate_deg_per_mm(hitch, height_mm), pitch_by_height_deg_per_mm(hitch, height_mm)
    assume(isinstance(rate, float) and abs(rate) < STEEP_DEG_PER_MM)
    more = pitch_deg(with_top_link(hitch, hitch.top_link_mm + step), height_mm)
    less = pitch_deg(with_top_link(hitch, hitch.top_link_mm - step), height_mm)
    higher, lower = pitch_deg(hitch, height_mm + step), pitch_deg(hitch, height_mm - step)
    assert not any(isinstance(found, CannotReach) for found in (more, less, higher, lower))
    assert rate == pytest.approx((more - less) / (2 * step), rel=1e-5, abs=1e-7)  # type: ignore[operator]
    assert by_height == pytest.approx((higher - lower) / (2 * step), rel=1e-5, abs=1e-7)  # type: ignore[operator]


@seed(15)
@settings(max_examples=60, deadline=None)
@given(hitches(), ARMS)
def test_lift_rate_is_that_of_finite_differences(hitch: Linkage, arm_deg: float) -> None:
    """Rise of the ball a radian of lift arm."""
    step = 1e-4
    rate = lift_rate_mm_per_rad(hitch, arm_deg)
    above, below = ball_of_arm(hitch, arm_deg + step), ball_of_arm(hitch, arm_deg - step)
    assume(isinstance(rate, float) and abs(rate) < STEEP_MM_PER_RAD)
    assert isinstance(above, Point)
    assert isinstance(below, Point)
    assert rate == pytest.approx((above.y_mm - below.y_mm) / (2 * math.radians(step)), rel=1e-4, abs=1e-3)


@seed(16)
@settings(max_examples=80, deadline=None)
@given(hitches(), HEIGHTS, st.floats(-25, 25))
def test_length_for_a_pitch_gives_that_pitch(hitch: Linkage, height_mm: float, wanted_deg: float) -> None:
    """There and back."""
    length = length_for_pitch_mm(hitch, height_mm, wanted_deg)
    assume(isinstance(length, float))
    assert isinstance(length, float)
    assert pitch_deg(with_top_link(hitch, length), height_mm) == pytest.approx(wanted_deg, abs=2e-3)


@seed(17)
@settings(max_examples=60, deadline=None)
@given(hitches(), ARMS)
def test_arm_and_height_are_each_others_answer(hitch: Linkage, arm_deg: float) -> None:
    """Arm to ball to arm again, and the rod that belongs to it."""
    ball, rate = ball_of_arm(hitch, arm_deg), lift_rate_mm_per_rad(hitch, arm_deg)
    assume(isinstance(rate, float) and 30 < rate < STEEP_MM_PER_RAD)  # in line, two arm angles hold one height
    assert isinstance(ball, Point)
    assert arm_at(hitch, ball.y_mm) == pytest.approx(arm_deg, abs=1e-4)
    assert rod_for_height_mm(hitch, arm_deg, ball.y_mm) == pytest.approx(hitch.rod_mm, abs=1e-6)


def test_top_link_too_short_says_by_how_much() -> None:
    """14 mm below the shortest that can be pinned, 14 mm are missing, and nothing is a NaN."""
    limits = reach_mm(COMPACT, 300)
    assert not isinstance(limits, CannotReach)
    found = pose_at(with_top_link(COMPACT, limits[0] - 14), 300)
    assert isinstance(found, CannotReach)
    assert found.short_mm == pytest.approx(14)
    assert found.sentence() == "cannot reach: top link 14 mm too short"


def test_top_link_too_long_says_by_how_much() -> None:
    """Beyond mast and link in one line it is too long."""
    limits = reach_mm(COMPACT, 300)
    assert not isinstance(limits, CannotReach)
    found = pitch_deg(with_top_link(COMPACT, limits[1] + 25), 300)
    assert isinstance(found, CannotReach)
    assert found.sentence() == "cannot reach: top link 25 mm too long"


def test_height_beyond_the_lower_link_says_by_how_much() -> None:
    """A ball height that the lower link does not span."""
    found = pose_at(COMPACT, 400 + 790 + 30)
    assert isinstance(found, CannotReach)
    assert found.sentence() == "cannot reach: lower link 30 mm too short"
    assert pitch_rate_deg_per_mm(COMPACT, 1220) == found
    assert virtual_hitch_point(COMPACT, 1220) == found


def test_rod_too_short_for_its_arm_says_so() -> None:
    """The lift part misses on its own; pitch at a height does not need it."""
    short = replace(COMPACT, rod_mm=40)
    found = rod_low_end(short, 70)
    assert isinstance(found, CannotReach)
    assert "lift rod" in found.sentence()
    assert isinstance(height_range_mm(short, 70, 80), CannotReach)
    assert isinstance(pose_at(short, 300), Pose)


def test_pitch_past_the_line_of_mast_and_link_cannot_be_had() -> None:
    """Folding over would need the linkage on its other side."""
    found = length_for_pitch_mm(COMPACT, 300, 150)
    assert isinstance(found, CannotReach)
    assert say(found.said, "mm") == "cannot reach: mast and top link would lie in one line before that"


def test_virtual_hitch_point_is_where_both_lines_meet() -> None:
    """On the line of the lower link and on that of the top link; none while they are parallel."""
    pose, point = pose_at(COMPACT, 300), virtual_hitch_point(COMPACT, 300)
    assert isinstance(pose, Pose)
    assert isinstance(point, Point)
    for first, second in ((COMPACT.lower_pivot, pose.ball), (COMPACT.bracket, pose.upper)):
        across = (point.x_mm - first.x_mm) * (second.y_mm - first.y_mm) - (point.y_mm - first.y_mm) * (
            second.x_mm - first.x_mm
        )
        assert across == pytest.approx(0, abs=1e-3)
    assert crossing((Point(0, 0), Point(1, 0)), (Point(0, 5), Point(3, 5))) is None


def test_the_implement_swings_about_the_virtual_hitch_point() -> None:
    """Its pitch changes with height by one over the distance behind that point (instant centre of the coupler)."""
    pose, point = pose_at(COMPACT, 500), virtual_hitch_point(COMPACT, 500)
    rate = pitch_by_height_deg_per_mm(COMPACT, 500)
    assert isinstance(pose, Pose)
    assert isinstance(point, Point)
    assert rate == pytest.approx(-math.degrees(1 / (pose.ball.x_mm - point.x_mm)), rel=1e-9)
