"""The whole worked example of a category 1 compact tractor's hitch, to its printed digits.

The example was worked out by hand formulas and given as printed tables. Its lift rod is printed as 475.6 mm, but its
tables are those of the rod that puts the balls at exactly 200 mm with the lift arm 15 degrees down (475.64 mm); its
top link is likewise the one that sets the mast upright, printed as 654.0 mm and really 653.95.
"""

from dataclasses import replace

import pytest

from fieldlog.retrofit.hitch.clearances import (
    ClearPoint,
    Surroundings,
    against,
    clearances_at,
    needed_range,
    pitch_span,
)
from fieldlog.retrofit.hitch.forces import (
    Load,
    lift_rods_kn,
    residual_deg,
    shaft_at,
    slip,
    top_link_kn,
    unevenness,
    with_ground_push,
)
from fieldlog.retrofit.hitch.lift import (
    ball_of_arm,
    lift_rate_mm_per_rad,
    lower_link_deg,
    rise_mm,
    rise_ratio,
    rod_for_height_mm,
    roll_deg,
    stroke_by_ratio_mm,
    with_rod,
)
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Offset,
    Point,
    Pose,
    length_for_pitch_mm,
    pitch_deg,
    pitch_rate_deg_per_mm,
    pose_at,
    with_top_link,
)

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


@pytest.mark.parametrize(("arm_deg", "wanted_deg"), [(-15, 4.1), (15, 3.8), (45, 3.4)])
def test_roll_of_one_inch_of_rod(arm_deg: float, wanted_deg: float) -> None:
    """One rod an inch shorter, by lift arm angle; 51 mm at the ball when it is low."""
    assert number(roll_deg(HITCH, arm_deg, HITCH.rod_mm - 25.4)) == pytest.approx(wanted_deg, abs=HALF_DIGIT)
    if arm_deg == -15:
        assert number(rise_mm(HITCH, -15, HITCH.rod_mm - 25.4)) == pytest.approx(51, abs=0.51)


@pytest.mark.parametrize(
    ("ratio", "each_way_deg", "stroke_mm"),
    [(1.84, 5, 68), (1.84, 6, 82), (1.84, 8, 110), (2.14, 5, 59), (2.14, 6, 71), (2.14, 8, 94)],
)
def test_stroke_for_roll(ratio: float, each_way_deg: float, stroke_mm: float) -> None:
    """S = 2 s tan(roll) / ratio over the ball-centre span of 718 mm."""
    assert stroke_by_ratio_mm(718, each_way_deg, ratio) == pytest.approx(stroke_mm, abs=0.51)


def test_ratio_of_the_front_hole() -> None:
    """2.14 at mid height, where a / g alone says 790/370 = 2.135."""
    assert number(rise_ratio(replace(HITCH, rod_hole_mm=370), 15)) == pytest.approx(2.14, abs=0.0051)


CARRIED = Load(250, Offset(650, 150))


@pytest.mark.parametrize(("height_mm", "top_kn"), [(200, 3.5), (300, 3.47), (700, 3.72), (830, 3.93)])
def test_force_in_the_top_link(height_mm: float, top_kn: float) -> None:
    """Tension by height; at 300 it is the short cut W x / m, 3.47 kN."""
    digits = 0.051 if height_mm == 200 else 0.0051
    assert number(top_link_kn(HITCH, height_mm, CARRIED)) == pytest.approx(top_kn, abs=digits)
    assert pytest.approx(3.47, abs=0.0051) == 250 * 9.81e-3 * 650 / 460


def test_force_in_the_lift_rods() -> None:
    """Together 5.5 kN with the balls low; printed once for the whole example, so low and middle are held to it."""
    for height_mm in (200, 300, 454):
        assert number(lift_rods_kn(HITCH, height_mm, CARRIED)) == pytest.approx(5.5, abs=HALF_DIGIT)


def test_back_dragging_reverses_the_load() -> None:
    """6 kN at 350 mm below the balls: 8.0 kN of tension one way, 1.1 kN of push the other."""
    forces = with_ground_push(HITCH, 300, CARRIED, 6.0, Offset(0, -350))
    assert not isinstance(forces, CannotReach)
    assert forces.pulled_kn == pytest.approx(8.0, abs=HALF_DIGIT)
    assert forces.pushed_kn == pytest.approx(-1.1, abs=HALF_DIGIT)
    assert forces.reverses


STUB, JOINT = Point(330, 560), Offset(330, 200)


@pytest.mark.parametrize(
    ("length_mm", "height_mm", "shaft_mm", "tractor_deg", "implement_deg"),
    [
        (604, 200, 815, -9, -15), (604, 300, 820, -2, -8), (604, 600, 834, 21, 10), (604, 830, 852, 42, 21),
        (654, 200, 844, -11, -10), (654, 300, 846, -4, -4), (654, 600, 848, 19, 13), (654, 830, 859, 39, 26),
        (704, 200, 871, -14, -6), (704, 300, 869, -6, 0), (704, 600, 861, 16, 17), (704, 830, 862, 36, 30),
    ],
)  # fmt: skip
def test_driveline_table(
    length_mm: float, height_mm: float, shaft_mm: float, tractor_deg: float, implement_deg: float
) -> None:
    """Length and both joint angles over lift and top link, to the printed whole numbers."""
    shaft = shaft_at(with_top_link(HITCH, length_mm), height_mm, STUB, JOINT)
    assert not isinstance(shaft, CannotReach)
    assert shaft.length_mm == pytest.approx(shaft_mm, abs=0.51)
    assert shaft.tractor_deg == pytest.approx(tractor_deg, abs=0.51)
    assert shaft.implement_deg == pytest.approx(implement_deg, abs=0.51)


def test_slip_over_the_table() -> None:
    """Between 815 and 871 mm: 57 mm taken up by pitch and lift."""
    found = slip(HITCH, (604, 654, 704), (200, 300, 600, 830), STUB, JOINT)
    assert found is not None
    assert (found.shortest_mm, found.longest_mm) == pytest.approx((815, 871), abs=0.51)
    assert found.slip_mm == pytest.approx(57, abs=0.51)


@pytest.mark.parametrize(("first", "second", "residual", "percent"), [(1.8, 8.0, 7.8, 1.9), (18.5, 13.2, 13.0, 5.2)])
def test_unevenness_of_two_joints(first: float, second: float, residual: float, percent: float) -> None:
    """Residual angle and the swing of speed, largest to smallest."""
    assert residual_deg(first, second) == pytest.approx(residual, abs=HALF_DIGIT)
    assert 100 * unevenness(residual_deg(first, second)) == pytest.approx(percent, abs=HALF_DIGIT)


POINTS = (
    ClearPoint("frame corner", Offset(-120, -60), in_track=True),
    ClearPoint("mast head", Offset(-60, 500)),
    ClearPoint("headboard corner", Offset(80, 900)),
    ClearPoint("tail", Offset(1300, -40)),
)
AROUND = Surroundings(300, Point(0, 560), 560)


def room_mm(length_mm: float, height_mm: float, obstacle: str, point: str) -> float:
    pose = pose_at(with_top_link(HITCH, length_mm), height_mm)
    assert isinstance(pose, Pose)
    rooms = clearances_at(pose, POINTS, AROUND)
    return next(clear.room_mm for clear in rooms if (clear.obstacle, clear.point) == (obstacle, point))


@pytest.mark.parametrize(("length_mm", "cab_mm", "tyre_mm"), [(600, 165, 96), (654, 290, 87), (704, 414, 81)])
def test_clearances_at_full_lift(length_mm: float, cab_mm: float, tyre_mm: float) -> None:
    """The shortest link is the cab's case, the longest the tyre's, at 830 mm."""
    assert room_mm(length_mm, 830, "cab", "headboard corner") == pytest.approx(cab_mm, abs=0.51)
    assert room_mm(length_mm, 830, "tyre", "frame corner") == pytest.approx(tyre_mm, abs=0.51)


@pytest.mark.parametrize(("height_mm", "below_mm"), [(200, -155), (300, -32)])
def test_long_link_digs_its_tail(height_mm: float, below_mm: float) -> None:
    """With the link at 758 mm the tail is below the ground before the link is out."""
    assert room_mm(758, height_mm, "ground", "tail") == pytest.approx(below_mm, abs=0.51)


INCH = 25.4
OFFERS = {  # printed in mm; they are whole inches, and the printed degrees are those of the inches
    "A": (21 * INCH, 29 * INCH, (-15.3, 10.3), (-31, 0)),
    "B": (23 * INCH, 31 * INCH, (-8.8, 16.8), (-24, 9)),
    "C": (20 * INCH, 26 * INCH, (-18.7, 0.8), (-35, -13)),
    "D": (24 * INCH, 32 * INCH, (-5.5, 20), (-20, 14)),
    "manual link": (560, 812, (-11.8, 20.0), (-27, 14)),
}


@pytest.mark.parametrize("offer", OFFERS)
def test_pitch_of_each_offer(offer: str) -> None:
    """Closed and open, at the working height to a tenth and at full lift to a degree."""
    closed_mm, open_mm, low_deg, high_deg = OFFERS[offer]
    low, high = pitch_span(HITCH, closed_mm, open_mm, (300, 830))
    assert number(low.closed_deg) == pytest.approx(low_deg[0], abs=HALF_DIGIT)
    assert number(low.open_deg) == pytest.approx(low_deg[1], abs=0.51 if offer == "D" else HALF_DIGIT)
    assert (number(high.closed_deg), number(high.open_deg)) == pytest.approx(high_deg, abs=0.51)


def test_length_needed_for_eight_degrees_each_way() -> None:
    """590 to 718 at a working height of 300, 586 to 728 over 250 to 400; ten more at each end in reserve."""
    at_300, band = needed_range(HITCH, (300,), -8, 8), needed_range(HITCH, (250, 400), -8, 8)
    assert not isinstance(at_300, CannotReach)
    assert not isinstance(band, CannotReach)
    assert (at_300.shortest_mm, at_300.longest_mm) == pytest.approx((590, 718), abs=0.51)
    assert (at_300.closed_mm, at_300.open_mm) == pytest.approx((580, 728), abs=0.51)
    assert (band.shortest_mm, band.longest_mm) == pytest.approx((586, 728), abs=0.51)


@pytest.mark.parametrize(
    ("offer", "closed_room", "open_room", "lost_down", "lost_up"),
    [("B", 6, None, 0, 0), ("C", None, -58, 0, 7.2), ("D", -20, None, 2.5, 0)],
)
def test_what_each_offer_gives_up(
    offer: str, closed_room: float | None, open_room: float | None, lost_down: float, lost_up: float
) -> None:
    """B has 6 mm in hand closed; C opens 58 mm short and loses 7.2 degrees; D closes 20 mm long and loses 2.5."""
    need = needed_range(HITCH, (300,), -8, 8)
    assert not isinstance(need, CannotReach)
    closed_mm, open_mm = (round(length_mm) for length_mm in OFFERS[offer][:2])
    found = against(HITCH, need, closed_mm, open_mm)
    if closed_room is not None:
        assert found.closed_room_mm == pytest.approx(closed_room, abs=0.51)
    if open_room is not None:
        assert found.open_room_mm == pytest.approx(open_room, abs=0.51)
    assert number(found.lost_down_deg) == pytest.approx(lost_down, abs=HALF_DIGIT)
    assert number(found.lost_up_deg) == pytest.approx(lost_up, abs=HALF_DIGIT)


@pytest.mark.parametrize(("offer", "cab_mm", "joint_deg"), [("A", 27, 47), ("B", 131, 44)])
def test_corner_closed_and_full_lift(offer: str, cab_mm: float, joint_deg: float) -> None:
    """The corner that decides: the tall headboard against the cab, and the PTO joint."""
    closed_mm = OFFERS[offer][0]
    shaft = shaft_at(with_top_link(HITCH, closed_mm), 830, STUB, JOINT)
    assert not isinstance(shaft, CannotReach)
    assert room_mm(closed_mm, 830, "cab", "headboard corner") == pytest.approx(cab_mm, abs=0.51)
    assert shaft.steepest_deg == pytest.approx(joint_deg, abs=0.51)


def test_slip_of_the_shorter_offer() -> None:
    """Over all corners of A the shaft works between 766 and 887 mm, 121 mm of slip."""
    found = slip(HITCH, OFFERS["A"][:2], (200, 830), STUB, JOINT)
    assert found is not None
    assert (found.shortest_mm, found.longest_mm, found.slip_mm) == pytest.approx((766, 887, 121), abs=0.51)
