"""Every number of a hitch's pages opened up: which figures it follows from, and how much each leaves in doubt.

Worked out when somebody asks for it, never while keys are pressed on the picture.
"""

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from fieldlog.quantity.page_number import Number
from fieldlog.retrofit.carried import Carried, Given, Opener, Values, less, of_carried
from fieldlog.retrofit.hitch.field import FieldLook, NeedLook
from fieldlog.retrofit.hitch.lift import arm_at, ball_of_arm, off_middle_mm, stroke_for_roll_mm
from fieldlog.retrofit.hitch.look import Look, rise_of, roll_of, tried_rod
from fieldlog.retrofit.hitch.numbers import corner_numbers, force_numbers, room_numbers, shaft_numbers
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Point,
    Pose,
    pitch_deg,
    pitch_rate_deg_per_mm,
    pose_at,
    virtual_hitch_point,
)
from fieldlog.retrofit.hitch.setup import LinkRange, figures_for, linkage_of

_CM = 10.0
_PITCH = "The mast stands where lower link and top link let it: two circles that meet, worked out from all figures."
_ROLL = "Roll = atan(rise of one ball over the other / span of the balls)."


def hitch_numbers(look: Look, field: FieldLook | CannotReach | None, need: NeedLook | None) -> list[Number]:
    """Return the numbers of the page and of its table: pitch, roll, length needed, rooms, corners, forces, shaft."""
    figures = {**look.figures, **look.setup.on_it}
    opener = Opener(figures)
    found = [*_pitch(look, opener), *_heights(look, opener), *_roll(look, opener), *_needed(look, need)]
    found += room_numbers(look, field)
    found += corner_numbers(look, field)
    found += force_numbers(look, opener)
    found += shaft_numbers(look, field, opener)
    return [*found, *_strokes(look)]


def _pitch(look: Look, opener: Opener) -> Iterator[Number]:
    height_mm = look.setting.height_mm

    def swing_mm(values: Values) -> float | CannotReach:
        linkage = linkage_of(values)
        pose, point = pose_at(linkage, height_mm), virtual_hitch_point(linkage, height_mm)
        if isinstance(pose, Pose) and isinstance(point, Point):
            return pose.ball.x_mm - point.x_mm
        return CannotReach(0.0, why="the links are parallel")

    def rate(values: Values) -> float | CannotReach:
        found = pitch_rate_deg_per_mm(linkage_of(values), height_mm)
        return found if isinstance(found, CannotReach) else found * _CM

    about = f"Pitch (fore-aft), nose up +, balls at {height_mm:.0f} mm, top link {look.setting.top_link_mm:.0f} mm"
    yield from opener.number("pitch", about, "deg", lambda values: pitch_deg(linkage_of(values), height_mm), _PITCH)
    yield from opener.number("pitch per cm", "Pitch for a centimetre of top link", "deg", rate)
    about = "How far ahead of the balls it swings about (virtual hitch point), behind them below nought"
    yield from opener.number("swings about", about, "mm", swing_mm)


def _heights(look: Look, opener: Opener) -> Iterator[Number]:
    """Return how low and high the balls go; in another hole of the lift rod by the arm's turn, which stays the same."""
    then = look.setup.rod_holes[look.setup.heights_hole]
    is_taped = look.setting.rod_hole == look.setup.heights_hole
    opener = opener.with_figures({"rod_hole_then": then.figures["rod_hole"]})
    for word, key in (("lowest", "ball_lowest"), ("highest", "ball_highest")):
        since = "" if is_taped else f", from that taped with the lift rod in its {then.name}"
        about = f"The balls' {word} height{since}"
        answer = partial(_taped_height, key) if is_taped else partial(_turned_height, key)
        yield from opener.number(f"balls {word}", about, "mm", answer)


def _taped_height(key: str, values: Values) -> float:
    return values[key]


def _turned_height(key: str, values: Values) -> float | CannotReach:
    arm = arm_at(linkage_of({**values, "rod_hole": values["rod_hole_then"]}), values[key])
    if isinstance(arm, CannotReach):
        return arm
    ball = ball_of_arm(linkage_of(values), arm)
    return ball if isinstance(ball, CannotReach) else ball.y_mm


def _roll(look: Look, opener: Opener) -> Iterator[Number]:
    rod = tried_rod(look.setup, look.setting)
    opener = opener.with_figures({"rod": rod})
    about = f"Roll (side to side), one lift rod at {rod.mm:.0f} mm, its side up +"
    yield from opener.number("roll", about, "deg", roll_of(look.setting), _ROLL)
    link = look.setup.rod_range
    if link is None:
        return
    for word, end in (("closed", link.closed), ("open", link.open)):
        with_end = opener.with_figures({"rod": end})
        about = f"Roll with {link.name} {word}, its side up +"
        yield from with_end.number(f"roll, rod {word}", about, "deg", roll_of(look.setting), _ROLL)
        about = f"How far that ball moves up with {link.name} {word}, down below nought"
        yield from with_end.number(f"ball moves, rod {word}", about, "mm", rise_of(look.setting))
    ends = opener.with_figures({"rod_closed": link.closed, "rod_open": link.open})
    about = f"Mid stroke of {link.name} less the other rod: nought rolls as far both ways"
    yield from ends.number(
        "off middle", about, "mm", lambda v: off_middle_mm(v["rod_closed"], v["rod_open"], v["lift_rod"])
    )


def _needed(look: Look, need: NeedLook | None) -> Iterator[Number]:
    """Return the lengths needed, and what the link has in hand at both ends."""
    if need is None or isinstance(need.need, CannotReach):
        return
    link = look.setup.ranges[look.setting.link] if look.setting.link < len(look.setup.ranges) else None
    pitches = f"{abs(need.need.down_deg):g} deg nose down to {need.need.up_deg:g} deg nose up"
    for word, found in (("shortest", need.shortest), ("longest", need.longest)):
        if isinstance(found, Carried):
            yield of_carried(f"{word} needed", f"{word.capitalize()} top link needed for {pitches}", found)
    if link is not None and isinstance(need.shortest, Carried) and isinstance(need.longest, Carried):
        yield from _in_hand(link, need.shortest.as_measure("needed"), need.longest.as_measure("needed"))


def _in_hand(link: LinkRange, shortest: Given, longest: Given) -> Iterator[Number]:
    yield less("in hand closed", f"Shortest length needed less {link.name} closed", shortest, link.closed)
    yield less("in hand open", f"{link.name} open less the longest length needed", link.open, longest)


def _strokes(look: Look) -> Iterator[Number]:
    """Return the stroke for the implement's roll in each lift-rod hole."""
    item = look.setup.implement
    if item is None or item.roll is None:
        return
    height_mm, wanted_deg = look.setting.height_mm, item.roll.deg

    def stroke(values: Values) -> float | CannotReach:
        linkage = linkage_of(values)
        arm = arm_at(linkage, height_mm)
        return arm if isinstance(arm, CannotReach) else stroke_for_roll_mm(linkage, arm, wanted_deg)

    for number, hole in enumerate(look.setup.rod_holes):
        opener = Opener(figures_for(look.setup, replace(look.setting, rod_hole=number)))
        about = f"Stroke for {wanted_deg:g} deg of roll each way, lift rod in the {hole.name}"
        yield from opener.number(f"stroke, {hole.name}", about, "mm", stroke)
