"""Clearances, the PTO shaft and the length needed, over the whole field of link lengths and heights."""

import math
import random

import pytest

from fieldlog.retrofit.hitch.clearances import (
    Clearance,
    ClearPoint,
    Field,
    Surroundings,
    against,
    by_gravity,
    clearances_at,
    corners,
    least_rooms,
    needed_range,
    pitch_span,
    widest,
)
from fieldlog.retrofit.hitch.forces import Shaft, ShaftSizes, angle_word, residual_deg, shaft_at, slip, unevenness
from fieldlog.retrofit.hitch.plane import CannotReach, Offset, Point, Pose, length_for_pitch_mm, pose_at, with_top_link
from tests.retrofit.hitches import COMPACT

POINTS = (
    ClearPoint("frame corner", Offset(-120, -60), in_track=True),
    ClearPoint("headboard corner", Offset(80, 900)),
    ClearPoint("tail", Offset(1300, -40)),
)
AROUND = Surroundings(300, Point(0, 560), 560)
FIELD = Field(533, 737, 200, 843)


def test_no_place_of_the_field_is_worse_than_the_worst_found() -> None:
    """Three thousand random places of the field, seeded: none is closer to anything than what the search found."""
    worst = {found.clearance.obstacle: found for found in least_rooms(COMPACT, FIELD, POINTS, AROUND)}
    dice = random.Random(31)
    for _ in range(3000):
        length, height = dice.uniform(533, 737), dice.uniform(200, 843)
        pose = pose_at(with_top_link(COMPACT, length), height)
        assert isinstance(pose, Pose)
        for clear in clearances_at(pose, POINTS, AROUND):
            assert clear.room_mm >= worst[clear.obstacle].clearance.room_mm - 0.05


def test_worst_in_between_is_found() -> None:
    """A point that comes closest to the cab half way up: the four corners alone would miss it."""
    bump = (ClearPoint("bump", Offset(-330, -90)),)
    around = Surroundings(cab_mm=300)
    field = Field(640, 668, 200, 843)
    corner_rooms = [
        clearances_at(corner.pose, bump, around)[0].room_mm
        for corner in corners(COMPACT, field)
        if isinstance(corner.pose, Pose)
    ]
    lowest = Field(640, 668, 843, 843)
    assert len(corner_rooms) == 4
    inner = Surroundings(tyre_centre=Point(400, 500), tyre_radius_mm=1)
    point = (ClearPoint("bump", Offset(-330, -90), in_track=True),)
    found = next(w for w in least_rooms(COMPACT, field, point, inner) if w.clearance.obstacle == "tyre")
    assert 200 < found.height_mm < 843
    at_corners = [
        clear.room_mm
        for corner in corners(COMPACT, field)
        if isinstance(corner.pose, Pose)
        for clear in clearances_at(corner.pose, point, inner)
        if clear.obstacle == "tyre"
    ]
    assert found.clearance.room_mm < min(at_corners) - 20
    assert least_rooms(COMPACT, lowest, bump, around)[0].height_mm == 843


def test_four_corners_in_order() -> None:
    """Closed lowest, closed highest, open lowest, open highest."""
    found = corners(COMPACT, FIELD)
    assert [(c.length_mm, c.height_mm) for c in found] == [(533, 200), (533, 843), (737, 200), (737, 843)]
    assert all(isinstance(c.pose, Pose) for c in found)


def test_a_corner_out_of_reach_says_so_and_the_others_stand() -> None:
    """A link so short that it cannot be pinned low down."""
    found = corners(COMPACT, Field(250, 737, 200, 843))
    assert isinstance(found[0].pose, CannotReach)
    assert "too short" in found[0].pose.sentence()
    assert isinstance(found[2].pose, Pose)
    low, high = pitch_span(COMPACT, 250, 737, (200, 843))
    assert isinstance(low.closed_deg, CannotReach)
    assert isinstance(high.open_deg, float)


def test_needed_length_is_the_extreme_over_the_working_heights() -> None:
    """No height in the band needs a shorter or a longer link."""
    need = needed_range(COMPACT, (200, 700), -8, 8)
    assert not isinstance(need, CannotReach)
    for step in range(101):
        height = 200 + 5 * step
        short, long = length_for_pitch_mm(COMPACT, height, -8), length_for_pitch_mm(COMPACT, height, 8)
        assert isinstance(short, float)
        assert isinstance(long, float)
        assert need.shortest_mm - 1e-6 <= short
        assert long <= need.longest_mm + 1e-6


def test_pitch_that_no_link_gives_is_said() -> None:
    """Folding over is no length."""
    found = needed_range(COMPACT, (300,), -150, 8)
    assert isinstance(found, CannotReach)


def test_widest_need_covers_every_implement() -> None:
    """The shortest and longest of two implements, reserves kept."""
    mower, blade = needed_range(COMPACT, (250, 400), -5, 5), needed_range(COMPACT, (300,), -8, 3, 15)
    assert not isinstance(mower, CannotReach)
    assert not isinstance(blade, CannotReach)
    both = widest((mower, blade))
    assert both is not None
    assert both.closed_mm == pytest.approx(min(mower.closed_mm, blade.closed_mm))
    assert both.open_mm == pytest.approx(max(mower.open_mm, blade.open_mm))
    assert widest(()) is None


def test_lost_pitch_out_of_reach_is_said() -> None:
    """A closed length beyond what can be pinned at all loses more than degrees."""
    need = needed_range(COMPACT, (300,), -8, 8)
    assert not isinstance(need, CannotReach)
    assert isinstance(against(COMPACT, need, 5000, 6000).lost_down_deg, CannotReach)


def test_shaft_overlap_and_room() -> None:
    """Pulled out by a length, so much less overlap; past its overlap it is apart."""
    sizes = ShaftSizes(closed_mm=740, overlap_mm=320)
    assert sizes.overlap_at(860) == 200
    assert sizes.overlap_at(1100) < 0


@pytest.mark.parametrize(
    ("angle", "word"), [(14.9, "good"), (15.1, "allowed"), (25.1, "PTO off"), (45.1, "too much"), (0, "good")]
)
def test_joint_angle_in_words(angle: float, word: str) -> None:
    """By the trade's 15, 25 and 45 degrees."""
    assert angle_word(angle) == word


def test_unevenness_of_one_joint_is_that_of_its_speeds() -> None:
    """A single Cardan joint turns between cos b and 1/cos b; equal joints even each other out."""
    turns = [math.radians(step / 10) for step in range(3600)]
    bend = math.radians(20)
    speeds = [math.cos(bend) / (1 - math.sin(bend) ** 2 * math.cos(turn) ** 2) for turn in turns]
    assert unevenness(20) == pytest.approx(max(speeds) - min(speeds), rel=1e-6)
    assert residual_deg(12, -12) == 0
    assert unevenness(90) == math.inf


def test_slip_leaves_out_what_cannot_be_reached() -> None:
    """Only positions that exist count; without any there is no answer."""
    stub, joint = Point(330, 560), Offset(330, 200)
    assert slip(COMPACT, (100,), (300,), stub, joint) is None
    some = slip(COMPACT, (100, 654), (300,), stub, joint)
    assert some is not None
    assert some.slip_mm == 0
    assert isinstance(shaft_at(COMPACT, 300, stub, joint), Shaft)
    assert isinstance(shaft_at(COMPACT, 5000, stub, joint), CannotReach)


def test_what_hits_the_tractor_comes_before_what_digs() -> None:
    """A cab too near outranks a tail deep in the ground, and both outrank what is clear."""
    cab, ground, tyre = Clearance("cab", "a", 58), Clearance("ground", "b", -300), Clearance("tyre", "c", 900)
    assert sorted((tyre, ground, cab), key=by_gravity) == [cab, ground, tyre]
    assert sorted((tyre, Clearance("cab", "d", 2000)), key=by_gravity)[0] == tyre
