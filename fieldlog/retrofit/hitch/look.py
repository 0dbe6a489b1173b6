"""One look at a hitch: everything that follows from a setting, each answer on its own.

What cannot be reached or was not measured is said where it would have stood; the other answers stay.

What can be changed on a hitch to see what it does, and by how much at a time; nothing of it is stored.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Literal

from fieldlog.quantity.units import MM_PER_INCH, Units
from fieldlog.retrofit.carried import Carried, Given, Values, carried, set_as, values_of
from fieldlog.retrofit.hitch.clearances import Clearance, Surroundings, clearances_at
from fieldlog.retrofit.hitch.forces import (
    BEHIND_MM,
    Shaft,
    TopLinkForces,
    joint_of_values,
    lift_rods_kn,
    lift_share,
    load_of_values,
    push_of_values,
    shaft_at,
    with_ground_push,
)
from fieldlog.retrofit.hitch.lift import Levelling, arm_at, height_range_mm, levelling, rise_mm, roll_deg
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
    virtual_hitch_point,
)
from fieldlog.retrofit.hitch.setup import Choice, HitchSetup, Setting, figures_for, linkage_of

_TRIED_ROD = "tried/rod"
_START_MM = 300.0  # where a hitch without an implement is looked at first


@dataclass(frozen=True, slots=True)
class Look:
    """What a setting gives. None means that something for it is not written down; `CannotReach` that links miss."""

    setup: HitchSetup
    setting: Setting
    figures: MappingProxyType[str, Given]
    linkage: Linkage
    arm_deg: float | CannotReach
    heights_mm: tuple[float, float] | CannotReach
    pose: Pose | CannotReach
    pitch: Carried | CannotReach
    pitch_rate: float | CannotReach
    swing_point: Point | CannotReach | None
    roll: Carried | CannotReach
    levelling: Levelling | CannotReach | None
    top_link: TopLinkForces | CannotReach | None
    rods_kn: float | CannotReach | None
    lift_share: float | CannotReach
    shaft: Shaft | CannotReach | None
    rooms: tuple[Clearance, ...]


def first_setting(setup: HitchSetup) -> Setting:
    """Return the setting to start from: the holes in use, the working height, the link as set or the mast upright."""
    top, mast, rod = setup.start
    height_mm = _working_height_mm(setup)
    start = Setting(height_mm, 0.0, top, mast, rod, setup.figures["lift_rod"].mm)
    if setup.top_link_set is not None:
        return replace(start, top_link_mm=setup.top_link_set.mm)
    upright = length_for_pitch_mm(linkage_of(values_of(figures_for(setup, start))), height_mm, 0.0)
    length_mm = upright if isinstance(upright, float) else 0.0
    if setup.ranges:
        link = setup.ranges[0]
        length_mm = min(max(length_mm, link.closed.mm), link.open.mm)
    return replace(start, top_link_mm=length_mm)


def look(setup: HitchSetup, setting: Setting) -> Look:
    """Work out everything for one setting."""
    figures = figures_for(setup, setting)
    linkage = linkage_of(values_of(figures))
    arm = arm_at(linkage, setting.height_mm)
    pose = pose_at(linkage, setting.height_mm)
    hung = values_of(setup.on_it)
    load = load_of_values(hung)
    heights = heights_of(setup, setting)
    return Look(
        setup=setup,
        setting=setting,
        figures=MappingProxyType(figures),
        linkage=linkage,
        arm_deg=arm,
        heights_mm=heights,
        pose=pose,
        pitch=carried(lambda values: pitch_deg(linkage_of(values), setting.height_mm), figures, "deg"),
        pitch_rate=pitch_rate_deg_per_mm(linkage, setting.height_mm),
        swing_point=virtual_hitch_point(linkage, setting.height_mm),
        roll=carried(roll_of(setting), {**figures, "rod": tried_rod(setup, setting)}, "deg"),
        levelling=_levelling(setup, linkage, arm),
        top_link=None if load is None else with_ground_push(linkage, setting.height_mm, load, *push_of_values(hung)),
        rods_kn=None if load is None else lift_rods_kn(linkage, setting.height_mm, load),
        lift_share=heights
        if isinstance(heights, CannotReach)
        else lift_share(linkage, setting.height_mm, heights[0], Offset(BEHIND_MM, 0.0)),
        shaft=shaft_of(setup, linkage, setting.height_mm),
        rooms=clearances_at(pose, setup.points, surroundings_of(setup)) if isinstance(pose, Pose) else (),
    )


def surroundings_of(setup: HitchSetup) -> Surroundings:
    """Return cab and tyre as far as they are known."""
    return surroundings_of_values(values_of(setup.figures))


def surroundings_of_values(values: Values) -> Surroundings:
    """Return cab and tyre of plain numbers, keyed as in `FIGURE_NAMES`."""
    return Surroundings(values.get("cab_behind"), Point(0.0, values["axle_up"]), values["tyre_radius"])


def shaft_of(setup: HitchSetup, linkage: Linkage, height_mm: float) -> Shaft | CannotReach | None:
    """Return the PTO shaft at a height, None where the implement has none."""
    joint = shaft_joint(setup)
    return None if joint is None else shaft_at(linkage, height_mm, stub_of(setup), joint)


def shaft_joint(setup: HitchSetup) -> Offset | None:
    """Return where the implement's PTO input joint is."""
    return joint_of_values(values_of(setup.on_it))


def stub_of(setup: HitchSetup) -> Point:
    """Return where the shaft's joint on the tractor is."""
    return stub_of_values(values_of(setup.figures))


def stub_of_values(values: Values) -> Point:
    """Return where the shaft's joint on the tractor is, of plain numbers."""
    return Point(values["pto_behind"], values["pto_up"])


def heights_of(setup: HitchSetup, setting: Setting) -> tuple[float, float] | CannotReach:
    """Return the balls' lowest and highest heights with the chosen lift-rod hole.

    The lift arm turns as far as it did when the heights were taped, in whichever hole the rod was then.
    """
    measured_mm = setup.figures["ball_lowest"].mm, setup.figures["ball_highest"].mm
    if setting.rod_hole == setup.heights_hole:
        return measured_mm
    then = linkage_of(values_of(figures_for(setup, replace(setting, rod_hole=setup.heights_hole))))
    low, high = arm_at(then, measured_mm[0]), arm_at(then, measured_mm[1])
    if isinstance(low, CannotReach):
        return low
    if isinstance(high, CannotReach):
        return high
    return height_range_mm(linkage_of(values_of(figures_for(setup, setting))), low, high)


def _working_height_mm(setup: HitchSetup) -> float:
    item = setup.implement
    low = item.work_lowest if item is not None else None
    high = item.work_highest if item is not None else None
    given = [float(height.mm) for height in (low, high) if height is not None]
    lowest, highest = setup.figures["ball_lowest"].mm, setup.figures["ball_highest"].mm
    return min(max(sum(given) / len(given) if given else _START_MM, lowest), highest)


def tried_rod(setup: HitchSetup, setting: Setting) -> Given:
    """Return the length that one lift rod is tried at; it is as sure as the rod that is there, or as its own taping."""
    name, rod = "one lift rod", setup.figures["lift_rod"]
    if setup.rod_range is not None:
        rod = max((setup.rod_range.closed, setup.rod_range.open), key=lambda end: end.u)
    told = f"{name}: tried at {setting.rod_mm:.0f} mm, to be set as surely as this is known: {rod.name}"
    terms = set_as(rod, _TRIED_ROD, name)
    return Given(setting.rod_mm, terms, name, rod.origin, rod.keys, (told, *rod.typed), id=_TRIED_ROD)


def roll_of(setting: Setting) -> Callable[[Values], float | CannotReach]:
    """Return the roll as an answer of the hitch's figures and of the rod that is tried."""

    def answer(values: Values) -> float | CannotReach:
        linkage = linkage_of(values)
        arm = arm_at(linkage, setting.height_mm)
        return arm if isinstance(arm, CannotReach) else roll_deg(linkage, arm, values["rod"])

    return answer


def rise_of(setting: Setting) -> Callable[[Values], float | CannotReach]:
    """Return how far the ball on the rod that is tried moves, as an answer of the same figures."""

    def answer(values: Values) -> float | CannotReach:
        linkage = linkage_of(values)
        arm = arm_at(linkage, setting.height_mm)
        return arm if isinstance(arm, CannotReach) else rise_mm(linkage, arm, values["rod"])

    return answer


def _levelling(setup: HitchSetup, linkage: Linkage, arm_deg: float | CannotReach) -> Levelling | CannotReach | None:
    if setup.rod_range is None:
        return None
    if isinstance(arm_deg, CannotReach):
        return arm_deg
    return levelling(linkage, arm_deg, setup.rod_range.closed.mm, setup.rod_range.open.mm)


Knob = Literal["height", "top link", "top hole", "mast hole", "rod hole", "rod", "cylinder"]
_INCH = float(MM_PER_INCH)


@dataclass(frozen=True, slots=True)
class Step:
    """How far one press goes, by the units the person thinks in."""

    height_mm: float
    length_mm: float


def step_of(units: Units) -> Step:
    """Return 25 mm and 5 mm, or an inch and a quarter of one."""
    return Step(25.0, 5.0) if units == "mm" else Step(_INCH, _INCH / 4)


def knobs(setup: HitchSetup) -> tuple[Knob, ...]:
    """Return what can be changed here; a hole only where there is another one."""
    found: list[Knob] = ["height", "top link"]
    rows: tuple[tuple[Knob, Sequence[object]], ...] = (
        ("top hole", setup.top_holes),
        ("mast hole", setup.mast_holes),
        ("rod hole", setup.rod_holes),
    )
    found += [knob for knob, choices in rows if len(choices) > 1]
    found.append("rod")
    if len(setup.ranges) > 1:
        found.append("cylinder")
    return tuple(found)


def turned(setup: HitchSetup, setting: Setting, knob: Knob, way: int, units: Units) -> Setting:
    """Return the setting after one press, kept within what the hitch and the links can do."""
    step = step_of(units)
    match knob:
        case "height":
            new = replace(setting, height_mm=_next(setting.height_mm, step.height_mm, way))
        case "top link":
            new = replace(setting, top_link_mm=_next(setting.top_link_mm, step.length_mm, way))
        case "rod":
            new = replace(setting, rod_mm=_next(setting.rod_mm, step.length_mm, way))
        case "top hole":
            new = replace(setting, top_hole=(setting.top_hole + way) % len(setup.top_holes))
        case "mast hole":
            new = replace(setting, mast_hole=(setting.mast_hole + way) % len(setup.mast_holes))
        case "rod hole":
            new = replace(setting, rod_hole=(setting.rod_hole + way) % len(setup.rod_holes))
        case _:
            new = replace(setting, link=(setting.link + way) % max(len(setup.ranges), 1))
    return kept_within(setup, new)


def kept_within(setup: HitchSetup, setting: Setting) -> Setting:
    """Return the setting with its height within the lift and its lengths within what the links can do."""
    heights = heights_of(setup, setting)
    if not isinstance(heights, CannotReach):
        setting = replace(setting, height_mm=min(max(setting.height_mm, heights[0]), heights[1]))
    if setting.link < len(setup.ranges):
        link = setup.ranges[setting.link]
        setting = replace(setting, top_link_mm=min(max(setting.top_link_mm, link.closed.mm), link.open.mm))
    if setup.rod_range is not None:
        rod = setup.rod_range
        setting = replace(setting, rod_mm=min(max(setting.rod_mm, rod.closed.mm), rod.open.mm))
    return replace(setting, top_link_mm=max(setting.top_link_mm, 1.0), rod_mm=max(setting.rod_mm, 1.0))


def name_of(choices: Sequence[Choice], number: int) -> str:
    """Return the name of a chosen hole."""
    return choices[number].name


def _next(value_mm: float, step_mm: float, way: int) -> float:
    """Go to the next whole step, so that odd beginnings come out even."""
    steps = value_mm / step_mm
    whole = round(steps)
    if abs(steps - whole) < 1e-6:
        return (whole + way) * step_mm
    return ((int(steps) + 1) if way > 0 else int(steps)) * step_mm
