"""Roll by a lift rod, and every force against virtual work: force times a small movement, the whole sum nought."""

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given, seed, settings
from hypothesis import strategies as st

from fieldlog.retrofit.hitch.forces import (
    G_KN_PER_KG,
    Load,
    all_pushes,
    lift_rods_kn,
    lift_share,
    rise_of_point,
    top_link_kn,
    with_ground_push,
)
from fieldlog.retrofit.hitch.lift import (
    arm_at,
    ball_of_arm,
    levelling,
    lift_rate_mm_per_rad,
    off_middle_mm,
    rise_ratio,
    rod_for_roll_mm,
    roll_deg,
    stroke_by_ratio_mm,
    stroke_for_roll_mm,
    with_rod,
)
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Offset,
    Point,
    Pose,
    pitch_rate_deg_per_mm,
    pose_at,
    with_top_link,
)
from tests.retrofit.hitches import COMPACT, HIGHEST_DEG, LOWEST_DEG, hitches, loads

HEIGHTS = st.floats(220, 780)
ARMS = st.floats(LOWEST_DEG, HIGHEST_DEG)
STEP_MM = 1e-3


def work(load: Load, before: Pose, after: Pose) -> float:
    """What weight and pushes do while the implement moves, in kN mm."""
    return sum(
        push.back_kn * (after.place(push.at).x_mm - before.place(push.at).x_mm)
        + push.up_kn * (after.place(push.at).y_mm - before.place(push.at).y_mm)
        for push in all_pushes(load)
    )


def is_steep(hitch: Linkage, height_mm: float) -> bool:
    rate = pitch_rate_deg_per_mm(hitch, height_mm)
    return not isinstance(rate, float) or abs(rate) > 0.5


@seed(21)
@settings(max_examples=80, deadline=None)
@given(hitches(), HEIGHTS, loads())
def test_top_link_force_is_that_of_virtual_work(hitch: Linkage, height_mm: float, load: Load) -> None:
    """Lengthening the link by a little against its tension does the work that weight and pushes do."""
    assume(not is_steep(hitch, height_mm))
    longer = pose_at(with_top_link(hitch, hitch.top_link_mm + STEP_MM), height_mm)
    shorter = pose_at(with_top_link(hitch, hitch.top_link_mm - STEP_MM), height_mm)
    assert isinstance(longer, Pose)
    assert isinstance(shorter, Pose)
    expected = work(load, shorter, longer) / (2 * STEP_MM)
    assert top_link_kn(hitch, height_mm, load) == pytest.approx(expected, rel=1e-5, abs=1e-6)


@seed(22)
@settings(max_examples=80, deadline=None)
@given(hitches(), ARMS, loads())
def test_lift_rod_force_is_that_of_virtual_work(hitch: Linkage, arm_deg: float, load: Load) -> None:
    """Lengthening both rods by a little, arm and top link held, does the work that weight and pushes do."""
    ball, rate, ratio = ball_of_arm(hitch, arm_deg), lift_rate_mm_per_rad(hitch, arm_deg), rise_ratio(hitch, arm_deg)
    assume(isinstance(ball, Point) and isinstance(rate, float) and isinstance(ratio, float))
    assert isinstance(ball, Point)
    assert isinstance(rate, float)
    assert isinstance(ratio, float)
    assume(30 < rate < 1500 and 0 < ratio < 8 and 220 < ball.y_mm < 800)
    assume(not is_steep(hitch, ball.y_mm))
    poses = []
    for step_mm in (STEP_MM, -STEP_MM):
        moved = ball_of_arm(with_rod(hitch, hitch.rod_mm + step_mm), arm_deg)
        assert isinstance(moved, Point)
        poses.append(pose_at(hitch, moved.y_mm))
    longer, shorter = poses
    assert isinstance(longer, Pose)
    assert isinstance(shorter, Pose)
    expected = work(load, shorter, longer) / (2 * STEP_MM)
    assert lift_rods_kn(hitch, ball.y_mm, load) == pytest.approx(expected, rel=1e-4, abs=1e-5)


@seed(23)
@settings(max_examples=60, deadline=None)
@given(hitches(), HEIGHTS, st.floats(-200, 1500), st.floats(-400, 800))
def test_rise_of_a_point_is_that_of_finite_differences(
    hitch: Linkage, height_mm: float, behind_mm: float, above_mm: float
) -> None:
    """How far a point of the implement rises for each mm of lift."""
    assume(not is_steep(hitch, height_mm))
    at = Offset(behind_mm, above_mm)
    pose, above, below = (pose_at(hitch, height_mm + step) for step in (0, STEP_MM, -STEP_MM))
    assert isinstance(pose, Pose)
    assert isinstance(above, Pose)
    assert isinstance(below, Pose)
    expected = (above.place(at).y_mm - below.place(at).y_mm) / (2 * STEP_MM)
    assert rise_of_point(hitch, pose, at) == pytest.approx(expected, rel=1e-5, abs=1e-6)


@pytest.mark.parametrize("height_mm", [250.0, 450.0, 650.0])
def test_capacity_times_travel_is_constant(height_mm: float) -> None:
    """The torque at the rockshaft that holds a weight at a point is the same as the share says."""
    at = Offset(610, 0)
    share, reference = lift_share(COMPACT, height_mm, 200, at), lift_share(COMPACT, 200, 200)
    assert isinstance(share, float)
    assert reference == pytest.approx(1)
    torques = []
    for height, load, held in (
        (200.0, Load(1 / G_KN_PER_KG, Offset(0, 0)), 1.0),
        (height_mm, Load(share / G_KN_PER_KG, at), share),
    ):
        rods, arm = lift_rods_kn(COMPACT, height, load), arm_at(COMPACT, height)
        assert isinstance(rods, float)
        assert isinstance(arm, float)
        step = 1e-3
        low, high = (ball_of_arm(COMPACT, arm + turn) for turn in (-step, step))
        assert isinstance(low, Point)
        assert isinstance(high, Point)
        before, after = pose_at(COMPACT, low.y_mm), pose_at(COMPACT, high.y_mm)
        assert isinstance(before, Pose)
        assert isinstance(after, Pose)
        spot = load.centre
        torques.append(held * (after.place(spot).y_mm - before.place(spot).y_mm) / math.radians(2 * step))
    assert torques[0] == pytest.approx(torques[1], rel=1e-5)


def test_weight_alone_never_reverses() -> None:
    """Carried, the link pulls all the way; a push along the ground is what turns it round."""
    load, ground = Load(250, Offset(650, 150)), Offset(0, -350)
    still, dragged = (with_ground_push(COMPACT, 300, load, push, ground) for push in (0.0, 6.0))
    assert not isinstance(still, CannotReach)
    assert not isinstance(dragged, CannotReach)
    assert not still.reverses
    assert dragged.reverses


@seed(24)
@settings(max_examples=60, deadline=None)
@given(hitches(), st.floats(-10, 40), st.floats(-8, 8))
def test_rod_for_a_roll_gives_that_roll(hitch: Linkage, arm_deg: float, wanted_deg: float) -> None:
    """There and back, and the ratio is that of finite differences."""
    rod, ratio = rod_for_roll_mm(hitch, arm_deg, wanted_deg), rise_ratio(hitch, arm_deg)
    assume(isinstance(rod, float) and isinstance(ratio, float) and 0 < ratio < 4)
    assert isinstance(rod, float)
    moved = rise_ratio(with_rod(hitch, rod), arm_deg)
    assume(isinstance(moved, float) and 0 < moved < 6)
    assert roll_deg(hitch, arm_deg, rod) == pytest.approx(wanted_deg, abs=1e-6)
    shorter, longer = (ball_of_arm(with_rod(hitch, hitch.rod_mm + step), arm_deg) for step in (-STEP_MM, STEP_MM))
    assert isinstance(shorter, Point)
    assert isinstance(longer, Point)
    assert ratio == pytest.approx((shorter.y_mm - longer.y_mm) / (2 * STEP_MM), rel=1e-4)


def test_stroke_by_the_short_cut_is_near_the_exact_one() -> None:
    """Six degrees each way at mid height: the ratio's short cut is right within 3 %."""
    exact, ratio = stroke_for_roll_mm(COMPACT, 15, 6), rise_ratio(COMPACT, 15)
    assert isinstance(exact, float)
    assert isinstance(ratio, float)
    assert stroke_by_ratio_mm(718, 6, ratio) == pytest.approx(exact, rel=0.03)


def test_front_hole_needs_less_stroke() -> None:
    """The hole nearer the tractor rolls more for each mm of rod."""
    rear, front = (stroke_for_roll_mm(replace(COMPACT, rod_hole_mm=hole), 15, 6) for hole in (430, 370))
    assert isinstance(rear, float)
    assert isinstance(front, float)
    assert front < rear


def test_mid_stroke_equal_to_the_other_rod_rolls_about_equally_both_ways() -> None:
    """Centred, the two ways differ only by the curve of the linkage; 20 mm off, by about 3 degrees."""
    half = 45.0
    centred = levelling(COMPACT, 15, COMPACT.rod_mm - half, COMPACT.rod_mm + half)
    off = levelling(COMPACT, 15, COMPACT.rod_mm - half + 20, COMPACT.rod_mm + half + 20)
    assert not isinstance(centred, CannotReach)
    assert not isinstance(off, CannotReach)
    assert abs(centred.uneven_deg) < 0.5
    assert off.uneven_deg < -5
    assert off_middle_mm(COMPACT.rod_mm - half + 20, COMPACT.rod_mm + half + 20, COMPACT.rod_mm) == pytest.approx(20)


def test_levelling_with_a_rod_that_misses_says_so() -> None:
    """A rod run out so far that it cannot be pinned."""
    assert isinstance(levelling(COMPACT, 15, 400, 2000), CannotReach)
    assert isinstance(roll_deg(COMPACT, 70, 5), CannotReach)
