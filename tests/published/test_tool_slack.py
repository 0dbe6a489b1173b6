"""Slack at the tool against three worked examples of the trade (derived there by similar triangles, not from a book).

A bucket cylinder's pin 0.5 mm loose, 180 mm from the hinge, teeth at 650 mm: 1.8 mm. A hinge 0.6 mm loose in bushes
180 mm apart, edge at 700 mm: 2.3 mm to each side. A top link 2.2 mm loose in all, 460 mm above the lower pins: 0.27
degrees, 6.2 mm at 1.3 m behind the pins.
"""

import math

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Joint, SlackWay
from fieldlog.wear.states import ToolSlack
from fieldlog.wear.tool_slack import edge_slack
from tests.values import part, sized


def joint(way: SlackWay, arm: str, radius: str) -> Joint:
    """A joint with levers."""
    return Joint("j", slack_way=way, lever_arm=parse_length(arm), tool_radius=parse_length(radius))


@pytest.mark.parametrize(
    ("way", "clearance_mm", "arm", "radius", "moved_mm"),
    [
        ("turns", 0.5, "180 mm", "650 mm", 1.8),
        ("side to side", 0.6, "180 mm", "700 mm", 2.3),
        ("top link", 2.2, "460 mm", "1.3 m", 6.2),
    ],
)
def test_worked_examples(way: SlackWay, clearance_mm: float, arm: str, radius: str, moved_mm: float) -> None:
    """To their printed digits."""
    moved = edge_slack(joint(way, arm, radius), sized(clearance_mm))
    assert moved is not None
    assert round(moved.value, 1) == moved_mm


def test_the_top_link_pitches_by_its_angle() -> None:
    """0.27 degrees, with both ends' 2.2 mm."""
    top = joint("top link", "460 mm", "1.3 m")
    whole = edge_slack(top, sized(2.2))
    own = edge_slack(top, sized(1.2))
    assert whole is not None
    assert own is not None
    pitch = ToolSlack(top, sized(1.2), own, whole, 1).pitch_deg
    assert pitch is not None
    assert round(pitch[0], 2) == 0.27
    assert pitch[0] == pytest.approx(math.degrees(math.atan(2.2 / 460)), rel=1e-4)


def test_the_doubt_comes_through_the_same_levers() -> None:
    """U of 0.03 mm at 650 / 180 is 0.108 mm; lengths typed to 1 mm add a little, to 0.1 m a lot."""
    clearance = sized(0.5, (part("scatter", 0.03, math.inf, "its readings"),))
    fine = edge_slack(joint("turns", "180.0 mm", "650.0 mm"), clearance)
    rough = edge_slack(joint("turns", "180 mm", "0.7 m"), clearance)
    assert fine is not None
    assert rough is not None
    assert fine.u_mm == pytest.approx(0.03 * 650 / 180, rel=0.01)
    lever_u = 0.5 * 700 / 180 * math.hypot(0.5 / 180, 50 / 700) / math.sqrt(3)
    assert rough.u_mm == pytest.approx(math.hypot(0.03 * 700 / 180, lever_u), rel=1e-6)


def test_outside_its_range_nothing_is_said() -> None:
    """No lever, no way, a clearance below nothing, or more than a tenth of the arm."""
    assert edge_slack(Joint("j", slack_way="turns"), sized(0.5)) is None
    assert edge_slack(Joint("j"), sized(0.5)) is None
    assert edge_slack(joint("turns", "180 mm", "650 mm"), sized(-0.01)) is None
    assert edge_slack(joint("turns", "18 mm", "650 mm"), sized(1.9)) is None
    assert edge_slack(Joint("j", slack_way="in line"), sized(0.5)) == sized(0.5)
