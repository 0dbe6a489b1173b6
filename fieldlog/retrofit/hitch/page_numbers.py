"""Every number of a hitch's pages: which figures it follows from, and how much each leaves in doubt.

Worked out when somebody asks for it, never while keys are pressed on the picture.

Opened numbers are worked out when they are asked for (`retrofit/*_opened.py`, `*_numbers.py`): a hitch has 47, in
about 70 ms. The picture itself carries pitch, roll and least rooms only, since it redraws at every key.
"""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import partial

from fieldlog.quantity.number import Found, Number
from fieldlog.quantity.said import said
from fieldlog.quantity.value import Value
from fieldlog.retrofit.carried import Carried, Values
from fieldlog.retrofit.hitch.field import FieldLook, NeedLook
from fieldlog.retrofit.hitch.lift import arm_at, ball_of_arm, off_middle_mm, stroke_for_roll_mm
from fieldlog.retrofit.hitch.look import Look, rise_of, roll_of
from fieldlog.retrofit.hitch.numbers import (
    Figures,
    HitchNumbers,
    Told,
    called,
    corner_numbers,
    force_numbers,
    known,
    numbers_of,
    room_numbers,
    shaft_numbers,
    worked_out,
)
from fieldlog.retrofit.hitch.plane import CannotReach, Point, Pose, pitch_rate_deg_per_mm, pose_at, virtual_hitch_point
from fieldlog.retrofit.hitch.setup import figures_for, linkage_of

_CM = 10.0


def hitch_numbers(look: Look, field: FieldLook | CannotReach | None, need: NeedLook | None) -> HitchNumbers:
    """Return the numbers of the page and of its table: pitch, roll, length needed, rooms, corners, forces, shaft."""
    figures = {**look.figures, **look.setup.on_it}
    found = [*_pitch(look, figures), *_heights(look, figures), *_roll(look, figures), *_needed(look, need)]
    found += room_numbers(look, field)
    found += corner_numbers(look, field)
    found += force_numbers(look, figures)
    found += shaft_numbers(look, field, figures)
    return numbers_of([*found, *_strokes(look)])


def _pitch(look: Look, figures: Figures) -> Iterator[Told]:
    height_mm = look.setting.height_mm

    def swing_mm(values: Values) -> float | CannotReach:
        linkage = linkage_of(values)
        pose, point = pose_at(linkage, height_mm), virtual_hitch_point(linkage, height_mm)
        if isinstance(pose, Pose) and isinstance(point, Point):
            return pose.ball.x_mm - point.x_mm
        return CannotReach(0.0, why=said("hitch.parallel"))

    def rate(values: Values) -> float | CannotReach:
        found = pitch_rate_deg_per_mm(linkage_of(values), height_mm)
        return found if isinstance(found, CannotReach) else found * _CM

    if isinstance(look.pitch, Carried):
        about = said("hitch.about_pitch", height_mm=height_mm, link_mm=look.setting.top_link_mm)
        yield Told(*known("pitch", look.pitch, "pitch"), about, called("pitch"))
    number = worked_out("pitch per cm", "deg", rate, figures)
    yield Told(*number, said("hitch.about_pitch_rate"), called("pitch per cm"))
    number = worked_out("swings about", "mm", swing_mm, figures)
    yield Told(*number, said("hitch.about_swing"), called("swings about"))


def _heights(look: Look, figures: Figures) -> Iterator[Told]:
    """Return how low and high the balls go; in another hole of the lift rod by the arm's turn, which stays the same."""
    then = look.setup.rod_holes[look.setup.heights_hole]
    is_taped = look.setting.rod_hole == look.setup.heights_hole
    then_too = {**figures, "rod_hole_then": then.figures["rod_hole"]}
    for number_id, key in (("balls lowest", "ball_lowest"), ("balls highest", "ball_highest")):
        answer = partial(_taped_height, key) if is_taped else partial(_turned_height, key)
        about = said("hitch.about_balls", number=number_id, since="" if is_taped else then.name)
        yield Told(*worked_out(number_id, "mm", answer, then_too), about, called(number_id))


def _taped_height(key: str, values: Values) -> float:
    return values[key]


def _turned_height(key: str, values: Values) -> float | CannotReach:
    arm = arm_at(linkage_of({**values, "rod_hole": values["rod_hole_then"]}), values[key])
    if isinstance(arm, CannotReach):
        return arm
    ball = ball_of_arm(linkage_of(values), arm)
    return ball if isinstance(ball, CannotReach) else ball.y_mm


def _roll(look: Look, figures: Figures) -> Iterator[Told]:
    if isinstance(look.roll, Carried):
        about = said("hitch.about_roll", rod_mm=look.setting.rod_mm)
        yield Told(*known("roll", look.roll, "roll"), about, called("roll"))
    link = look.setup.rod_range
    if link is None:
        return
    for state, end in (("closed", link.closed), ("open", link.open)):
        at_end = {**figures, "rod": end}
        number = worked_out(f"roll, rod {state}", "deg", roll_of(look.setting), at_end, "roll")
        yield Told(*number, said("hitch.about_roll_at", rod=link.name, state=state), called(f"roll, rod {state}"))
        number = worked_out(f"ball moves, rod {state}", "mm", rise_of(look.setting), at_end)
        about = said("hitch.about_ball_moves", rod=link.name, state=state)
        yield Told(*number, about, called(f"ball moves, rod {state}"))
    ends = {**figures, "rod_closed": link.closed, "rod_open": link.open}
    number = worked_out("off middle", "mm", _off_middle, ends)
    yield Told(*number, said("hitch.about_off_middle", rod=link.name), called("off middle"))


def _off_middle(values: Values) -> float:
    return off_middle_mm(values["rod_closed"], values["rod_open"], values["lift_rod"])


def _needed(look: Look, need: NeedLook | None) -> Iterator[Told]:
    """Return the lengths needed, and what the link has in hand at both ends."""
    if need is None or isinstance(need.need, CannotReach):
        return
    if isinstance(need.shortest, CannotReach) or isinstance(need.longest, CannotReach):
        return
    for number_id, found in (("shortest needed", need.shortest), ("longest needed", need.longest)):
        about = said("hitch.about_needed", number=number_id, down_deg=need.need.down_deg, up_deg=need.need.up_deg)
        yield Told(*known(number_id, found), about, called(number_id))
    if look.setting.link >= len(look.setup.ranges):
        return
    link = look.setup.ranges[look.setting.link]
    for number_id, end, plus, minus in (
        ("in hand closed", link.closed, "shortest needed", "link closed"),
        ("in hand open", link.open, "link open", "longest needed"),
    ):
        number = Number(number_id, "mm", (plus, minus), partial(_less, plus, minus), is_change=True)
        given_id = plus if plus == "link open" else minus
        about = said("hitch.about_in_hand", number=number_id, link=link.name)
        yield Told(number, {given_id: end}, about, called(number_id))


def _less(plus: str, minus: str, values: Mapping[str, Value]) -> Found:
    return values[plus] - values[minus]


def _strokes(look: Look) -> Iterator[Told]:
    """Return the stroke for the implement's roll in each lift-rod hole."""
    item = look.setup.implement
    if item is None or item.roll is None:
        return
    height_mm, wanted_deg = look.setting.height_mm, item.roll.deg

    def stroke(values: Values) -> float | CannotReach:
        linkage = linkage_of(values)
        arm = arm_at(linkage, height_mm)
        return arm if isinstance(arm, CannotReach) else stroke_for_roll_mm(linkage, arm, wanted_deg)

    for place, hole in enumerate(look.setup.rod_holes):
        figures = figures_for(look.setup, replace(look.setting, rod_hole=place))
        number = worked_out(f"stroke/{place}", "mm", stroke, figures)
        about = said("hitch.about_stroke", each_way_deg=wanted_deg, hole=hole.name)
        yield Told(*number, about, said("hitch.called_stroke", hole=hole.name))
