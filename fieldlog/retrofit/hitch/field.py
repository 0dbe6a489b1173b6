"""A link's whole range at all heights: four corners, the worst in between, the PTO shaft, and the length needed.

Every implement of the fleet on a tractor's hitch, worked out at its first setting: for reports and for offers.

The stroke that a tilt cylinder needs for the roll an implement wants, for each hole of the lower link.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

from fieldlog.records.hitch import HitchParts, Implements
from fieldlog.records.machine import Machine
from fieldlog.retrofit.carried import Answer, Carried, Given, Values, carried, values_of
from fieldlog.retrofit.hitch.clearances import (
    Against,
    Clearance,
    ClearPoint,
    Corner,
    Field,
    Need,
    PitchSpan,
    Worst,
    against,
    clearances_at,
    corners,
    least_rooms,
    needed_range,
    pitch_span,
)
from fieldlog.retrofit.hitch.forces import Shaft, ShaftSizes, Slip, shaft_at, shaft_of_values, slip
from fieldlog.retrofit.hitch.lift import arm_at, stroke_for_roll_mm
from fieldlog.retrofit.hitch.look import (
    Look,
    first_setting,
    heights_of,
    kept_within,
    look,
    shaft_joint,
    stub_of,
    surroundings_of,
    surroundings_of_values,
)
from fieldlog.retrofit.hitch.plane import (
    CannotReach,
    Linkage,
    Offset,
    Pose,
    length_for_pitch_mm,
    pose_at,
    with_top_link,
)
from fieldlog.retrofit.hitch.setup import HitchSetup, LinkRange, Setting, figures_for, linkage_of, setup_of
from fieldlog.wear.states import LinkReport

CORNER_NAMES = ("closed, lowest", "closed, highest", "open, lowest", "open, highest")
_STEPS = 8
_TABLE_STEPS = 5


@dataclass(frozen=True, slots=True)
class CornerLook:
    """A corner and the least spare room there; None where nothing is written that could hit."""

    corner: Corner
    worst: Clearance | None


@dataclass(frozen=True, slots=True)
class FieldLook:
    """What a link's whole range does over the whole lift; `rooms` are those of `least` with their doubt."""

    link: LinkRange
    field: Field
    corners: tuple[CornerLook, ...]
    least: tuple[Worst, ...]
    rooms: tuple[Carried, ...]
    slip: Slip | None
    overlap_mm: float | None
    room_to_close_mm: float | None
    table: tuple[PitchSpan, ...]


@dataclass(frozen=True, slots=True)
class NeedLook:
    """The length needed for the implement's pitch at its working heights, with doubt, and the link against it."""

    need: Need | CannotReach
    shortest: Carried | CannotReach
    longest: Carried | CannotReach
    against: Against | None


def field_look(setup: HitchSetup, setting: Setting) -> FieldLook | CannotReach | None:
    """Look at the whole field of the setting's link; None where its lengths are not known."""
    if setting.link >= len(setup.ranges):
        return None
    heights = heights_of(setup, setting)
    if isinstance(heights, CannotReach):
        return heights
    link = setup.ranges[setting.link]
    linkage = linkage_of(values_of(figures_for(setup, setting)))
    field = Field(link.closed.mm, link.open.mm, *heights)
    around = surroundings_of(setup)
    found = _slip(setup, linkage, field)
    sizes = shaft_sizes(setup)
    least = least_rooms(linkage, field, setup.points, around) if setup.points else ()
    return FieldLook(
        link=link,
        field=field,
        corners=tuple(CornerLook(corner, _worst(setup, corner)) for corner in corners(linkage, field)),
        least=least,
        rooms=tuple(_room(setup, setting, worst) for worst in least),
        slip=found,
        overlap_mm=sizes.overlap_at(found.longest_mm) if found is not None and sizes is not None else None,
        room_to_close_mm=found.shortest_mm - sizes.closed_mm if found is not None and sizes is not None else None,
        table=pitch_span(linkage, field.closed_mm, field.open_mm, table_heights(*heights)),
    )


def room_carried(setup: HitchSetup, setting: Setting, worst: Worst) -> Carried | CannotReach:
    """Return a least room with its doubt: of the hitch's figures, the corner's own taping, cab and tyre."""
    return carried(room_answer(setup, worst), room_figures(setup, setting, worst))


def room_figures(setup: HitchSetup, setting: Setting, worst: Worst) -> dict[str, Given]:
    """Return what a least room rests on, the corner's own taping among it."""
    there = replace(setting, top_link_mm=worst.length_mm, height_mm=worst.height_mm)
    return figures_for(setup, there) | _point(setup, worst).figures


def _point(setup: HitchSetup, worst: Worst) -> ClearPoint:
    return next(point for point in setup.points if point.id == worst.clearance.point_id)


def room_answer(setup: HitchSetup, worst: Worst) -> Answer:
    """Return a least room as an answer of the hitch's figures and of where its corner is."""
    point = _point(setup, worst)

    def room(values: Values) -> float | CannotReach:
        pose = pose_at(linkage_of(values), worst.height_mm)
        if isinstance(pose, CannotReach):
            return pose
        corner = ClearPoint(point.name, Offset(values["corner_behind"], values["corner_above"]), point.in_track)
        rooms = clearances_at(pose, (corner,), surroundings_of_values(values))
        return next(clear.room_mm for clear in rooms if clear.obstacle == worst.clearance.obstacle)

    return room


def _room(setup: HitchSetup, setting: Setting, worst: Worst) -> Carried:
    found = room_carried(setup, setting, worst)
    assert isinstance(found, Carried)  # the place was reached when it was found to be the worst
    return found


def need_look(setup: HitchSetup, setting: Setting) -> NeedLook | None:
    """Return the length needed for the implement on this hitch; None where its pitch or heights are not written."""
    item = setup.implement
    if item is None or item.nose_down is None or item.nose_up is None:
        return None
    heights = [float(height.mm) for height in (item.work_lowest, item.work_highest) if height is not None]
    if not heights:
        return None
    figures = figures_for(setup, setting)
    linkage = linkage_of(values_of(figures))
    down_deg, up_deg = -item.nose_down.deg, item.nose_up.deg
    need = needed_range(linkage, heights, down_deg, up_deg)
    if isinstance(need, CannotReach):
        return NeedLook(need, need, need, None)
    fixed = {key: figure for key, figure in figures.items() if key != "top_link"}
    top_link = setting.top_link_mm

    def length(height_mm: float, wanted_deg: float) -> Carried | CannotReach:
        def answer(values: Values) -> float | CannotReach:
            return length_for_pitch_mm(linkage_of({**values, "top_link": top_link}), height_mm, wanted_deg)

        return carried(answer, fixed)

    link = setup.ranges[setting.link] if setting.link < len(setup.ranges) else None
    return NeedLook(
        need,
        length(need.shortest_at_mm, down_deg),
        length(need.longest_at_mm, up_deg),
        against(linkage, need, link.closed.mm, link.open.mm) if link is not None else None,
    )


def shaft_sizes(setup: HitchSetup) -> ShaftSizes | None:
    """Return the PTO shaft's own sizes where they are written."""
    return shaft_of_values(values_of(setup.on_it))


def table_heights(lowest_mm: float, highest_mm: float) -> tuple[float, ...]:
    """Return evenly spaced heights from the lowest to the highest."""
    return tuple(lowest_mm + (highest_mm - lowest_mm) * step / (_TABLE_STEPS - 1) for step in range(_TABLE_STEPS))


def with_ranges(setup: HitchSetup, ranges: tuple[LinkRange, ...]) -> HitchSetup:
    """Return the same hitch with other links or cylinders to choose from after its own."""
    return replace(setup, ranges=(*setup.ranges, *ranges))


def _worst(setup: HitchSetup, corner: Corner) -> Clearance | None:
    if not isinstance(corner.pose, Pose) or not setup.points:
        return None
    return clearances_at(corner.pose, setup.points, surroundings_of(setup))[0]


class ShaftPlaces(NamedTuple):
    """Where over a field the PTO shaft is shortest, longest and its joint steepest: top link and ball height."""

    shortest: tuple[float, float]
    longest: tuple[float, float]
    steepest: tuple[float, float]


def shaft_places(setup: HitchSetup, linkage: Linkage, field: Field) -> ShaftPlaces | None:
    """Return where the shaft is at its worst; None without a shaft or where no place can be reached."""
    joint = shaft_joint(setup)
    if joint is None:
        return None
    found: list[tuple[Shaft, tuple[float, float]]] = []
    for length_mm in _spread(field.closed_mm, field.open_mm):
        at_length = with_top_link(linkage, length_mm)
        for height_mm in _spread(field.lowest_mm, field.highest_mm):
            shaft = shaft_at(at_length, height_mm, stub_of(setup), joint)
            if isinstance(shaft, Shaft):
                found.append((shaft, (length_mm, height_mm)))
    if not found:
        return None
    return ShaftPlaces(
        min(found, key=lambda pair: pair[0].length_mm)[1],
        max(found, key=lambda pair: pair[0].length_mm)[1],
        max(found, key=lambda pair: pair[0].steepest_deg)[1],
    )


def _spread(low_mm: float, high_mm: float) -> list[float]:
    return [low_mm + (high_mm - low_mm) * step / _STEPS for step in range(_STEPS + 1)]


def _slip(setup: HitchSetup, linkage: Linkage, field: Field) -> Slip | None:
    joint = shaft_joint(setup)
    if joint is None:
        return None
    lengths, heights = _spread(field.closed_mm, field.open_mm), _spread(field.lowest_mm, field.highest_mm)
    return slip(linkage, lengths, heights, stub_of(setup), joint)


@dataclass(frozen=True, slots=True)
class HitchCase:
    """A tractor with one implement, or with none: a look at the start, its link's whole range, the length needed.

    `is_measured` is false where nothing but the category is known, so that every figure is a usual one.
    """

    machine: Machine
    look: Look
    field: FieldLook | CannotReach | None
    need: NeedLook | None
    is_measured: bool

    @property
    def implement_name(self) -> str:
        """The implement's name, empty where none is written down."""
        item = self.look.setup.implement
        return "" if item is None else item.name or item.id


def hitch_cases(
    machine: Machine, parts: HitchParts, implements: Implements, links: Sequence[LinkReport]
) -> tuple[HitchCase, ...]:
    """Return one case an implement, or one without any; none where the machine has no hitch."""
    is_measured = parts.hitch is not None or bool(parts.top_holes or parts.rod_holes)
    found = []
    for implement_id in [item.id for item in implements.implements] or [""]:
        setup = setup_of(machine, parts, implements, implement_id, links)
        if setup is None:
            return ()
        setting = kept_within(setup, first_setting(setup))
        case = HitchCase(
            machine, look(setup, setting), field_look(setup, setting), need_look(setup, setting), is_measured
        )
        found.append(case)
    return tuple(found)


class TiltNeed(NamedTuple):
    """The stroke needed in one hole, closed + stroke / 2 being the other rod's length."""

    hole: str
    each_way_deg: float
    stroke_mm: float | CannotReach


def tilt_need(look: Look) -> tuple[TiltNeed, ...]:
    """Return the stroke for the implement's roll at the height looked at, hole by hole; empty without a wanted roll."""
    item = look.setup.implement
    if item is None or item.roll is None:
        return ()
    found = []
    for number, hole in enumerate(look.setup.rod_holes):
        linkage = linkage_of(values_of(figures_for(look.setup, replace(look.setting, rod_hole=number))))
        arm = arm_at(linkage, look.setting.height_mm)
        stroke = arm if isinstance(arm, CannotReach) else stroke_for_roll_mm(linkage, arm, item.roll.deg)
        found.append(TiltNeed(hole.name, item.roll.deg, stroke))
    return tuple(found)
