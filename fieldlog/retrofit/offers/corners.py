"""Room to cab, tyre and ground for a cylinder over its whole range and the whole lift.

A cylinder can be run to either end at any height of the hitch. Where that comes too near, the height is worked out
below which it does not: a lift stop that must be set and written on the machine.

What a hitch's geometry says of a cylinder between its closed and open length: pitch, corners, PTO shaft.

The hitch and the fleet's implements as they bear on offers: the widest need, and every implement's corners.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.said import Said, said
from fieldlog.records.hitch import HitchParts, Implement, Implements
from fieldlog.retrofit.carried import Carried, Measure, values_of
from fieldlog.retrofit.hitch.clearances import Field, Need, Obstacle, Worst, clearances_at, least_rooms, pitch_span
from fieldlog.retrofit.hitch.field import NeedLook, need_look
from fieldlog.retrofit.hitch.forces import MOMENTARY_DEG, angle_word, slip
from fieldlog.retrofit.hitch.lift import with_rod
from fieldlog.retrofit.hitch.look import first_setting, heights_of, shaft_joint, stub_of, surroundings_of
from fieldlog.retrofit.hitch.plane import CannotReach, pose_at, with_top_link
from fieldlog.retrofit.hitch.setup import HitchSetup, figures_for, linkage_of, setup_of, usual_names
from fieldlog.retrofit.offers.link_facts import RestsOn
from fieldlog.retrofit.offers.on_hitch import OnHitch, roll_checks, room_doubt_mm, wanted_of
from fieldlog.retrofit.offers.reach import Wanted
from fieldlog.retrofit.offers.sense import Check, Level, OfferFigure, Topic
from fieldlog.wear.states import MachineState

TYRE_LEAST_MM = 50.0  # room to a tyre that nothing moves against; 100 mm is the standard's, both from memory
_HEIGHTS = 16
_LENGTHS = 12
_STOP_WITHIN_MM = 1.0
_STOP_DOWN_MM = 5.0  # a lift stop is set a little lower than worked out, to a round figure


def room_checks(hitch: OnHitch, field: Field, figures: Mapping[str, OfferFigure]) -> list[Check]:
    """Return the least room to cab, tyre and ground over all lengths and heights, and what cures too little."""
    if not hitch.points:
        return []
    found = least_rooms(hitch.linkage, field, hitch.points, hitch.around)
    return [_room(worst, hitch, field, _doubt_mm(hitch, figures, worst)) for worst in found]


def _doubt_mm(hitch: OnHitch, figures: Mapping[str, OfferFigure], worst: Worst) -> float:
    return room_doubt_mm(hitch.setup, figures, worst) if hitch.setup is not None else 0.0


def _room(worst: Worst, hitch: OnHitch, field: Field, doubt_mm: float) -> Check:
    """Return one least room; an implement is there to meet the ground, so that is a remark and never a fault."""
    clear, topic, why = worst.clearance, Topic.ROOM, said("corner.why_any_height")
    at = clear.obstacle
    if at == "ground" and clear.room_mm >= 0:
        return Check(topic, Level.GOOD, said("corner.above_ground", worst=worst, doubt_mm=doubt_mm), at=at)
    if at == "ground":
        into = said("corner.into_ground", worst=worst, doubt_mm=doubt_mm)
        return Check(topic, Level.NOTE, into, said("corner.why_ground_is_no_fault"), at=at)
    if clear.spare_mm >= 0:
        return Check(topic, Level.GOOD, said("corner.clears", worst=worst, doubt_mm=doubt_mm), why, at=at)
    if at == "tyre" and clear.room_mm >= TYRE_LEAST_MM:
        return Check(topic, Level.NOTE, said("corner.under_standard", worst=worst, doubt_mm=doubt_mm), why, at=at)
    level, cure = _cure(hitch, field, at)
    if clear.room_mm > 0:
        return Check(topic, level, said("corner.too_near", worst=worst, doubt_mm=doubt_mm, cure=cure), why, at=at)
    return Check(topic, level, said("corner.inside", worst=worst, doubt_mm=doubt_mm, cure=cure), why, at=at)


def _cure(hitch: OnHitch, field: Field, obstacle: Obstacle) -> tuple[Level, Said]:
    stop_mm = lift_stop_mm(hitch, field, obstacle)
    if stop_mm is None or stop_mm < max(hitch.work_mm):
        return Level.NO, said("corner.no_lift_stop_cures")
    return Level.LIMIT, said("corner.with_lift_stop", stop_mm=stop_mm)


def lift_stop_mm(hitch: OnHitch, field: Field, obstacle: Obstacle) -> float | None:
    """Return the greatest height of the balls up to which everything clears an obstacle by the room wanted.

    The lift is walked up in steps to the first height that does not clear, then halved; every length of a grid counts
    at each height. Rounded down to 5 mm. None where even the lowest position does not clear it.
    """
    steps = [field.lowest_mm + (field.highest_mm - field.lowest_mm) * step / _HEIGHTS for step in range(_HEIGHTS + 1)]
    if not _clears(hitch, field, obstacle, steps[0]):
        return None
    low, high = steps[0], steps[-1]
    for below, above in pairwise(steps):
        if not _clears(hitch, field, obstacle, above):
            low, high = below, above
            break
    while high - low > _STOP_WITHIN_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if _clears(hitch, field, obstacle, middle) else (low, middle)
    return low // _STOP_DOWN_MM * _STOP_DOWN_MM


def _clears(hitch: OnHitch, field: Field, obstacle: Obstacle, height_mm: float) -> bool:
    for step in range(_LENGTHS + 1):
        length_mm = field.closed_mm + (field.open_mm - field.closed_mm) * step / _LENGTHS
        pose = pose_at(with_top_link(hitch.linkage, length_mm), height_mm)
        if isinstance(pose, CannotReach):
            continue
        rooms = clearances_at(pose, hitch.points, hitch.around)
        if any(clear.spare_mm < 0 for clear in rooms if clear.obstacle == obstacle):
            return False
    return True


_STEPS = 8


def hitch_checks(hitch: OnHitch, figures: dict[str, OfferFigure]) -> tuple[Check, ...]:
    """Return what the geometry says of a cylinder between its closed and open length."""
    closed_mm, open_mm = figures["closed"].mm, figures["open"].mm
    field = Field(closed_mm, open_mm, *hitch.heights_mm)
    return (_pitch(hitch, field), *room_checks(hitch, field, figures), *_shaft(hitch, field))


def _pitch(hitch: OnHitch, field: Field) -> Check:
    heights = tuple(dict.fromkeys((*hitch.work_mm, field.highest_mm)))
    spans = tuple(pitch_span(hitch.linkage, field.closed_mm, field.open_mm, heights))
    return Check(Topic.PITCH, Level.GOOD, said("corner.pitch", spans=spans))


def _shaft(hitch: OnHitch, field: Field) -> list[Check]:
    if hitch.stub is None or hitch.joint is None:
        return []
    lengths = [field.closed_mm + (field.open_mm - field.closed_mm) * step / _STEPS for step in range(_STEPS + 1)]
    heights = [field.lowest_mm + (field.highest_mm - field.lowest_mm) * step / _STEPS for step in range(_STEPS + 1)]
    found = slip(hitch.linkage, lengths, heights, hitch.stub, hitch.joint)
    if found is None:
        return []
    word = angle_word(found.steepest_deg)
    level = Level.LIMIT if found.steepest_deg > MOMENTARY_DEG else Level.GOOD if word == "good" else Level.NOTE
    return [Check(Topic.SHAFT, level, said("corner.shaft", slip=found), said("corner.why_shaft"))]


def setups_of(state: MachineState, parts: HitchParts, implements: Implements) -> tuple[HitchSetup, ...]:
    """Return a machine's hitch with each implement of its category; none where nothing was measured on the hitch."""
    if parts.hitch is None and not parts.top_holes and not parts.rod_holes:
        return ()
    category = state.machine.hitch_category
    wanted = [item for item in implements.implements if None in {item.category, category} or item.category == category]
    found = (setup_of(state.machine, parts, implements, item.id, state.links) for item in wanted)
    return tuple(setup for setup in found if setup is not None)


def on_hitch(setup: HitchSetup) -> OnHitch | None:
    """Return a hitch with its implement in the holes in use; None where its lift cannot be worked out."""
    setting, item = first_setting(setup), setup.implement
    heights = heights_of(setup, setting)
    if item is None or isinstance(heights, CannotReach):
        return None
    given = [float(height.mm) for height in (item.work_lowest, item.work_highest) if height is not None]
    found = need_look(setup, setting)
    need = found.need if found is not None and isinstance(found.need, Need) else None
    return OnHitch(
        linkage=linkage_of(values_of(figures_for(setup, setting))),
        heights_mm=heights,
        work_mm=(min(given), max(given)) if given else (setting.height_mm, setting.height_mm),
        need=need,
        need_sizes=_need_sizes(found),
        need_words=_need_words(setup, need) if need is not None else "",
        points=setup.points,
        around=surroundings_of(setup),
        stub=stub_of(setup),
        joint=shaft_joint(setup),
        name=item.name or item.id,
        roll_deg=item.roll.deg if item.roll is not None else None,
        setup=setup,
    )


def _need_sizes(found: NeedLook | None) -> tuple[Carried, Carried] | None:
    if found is None or isinstance(found.shortest, CannotReach) or isinstance(found.longest, CannotReach):
        return None
    return found.shortest, found.longest


def _need_words(setup: HitchSetup, need: Need) -> Said:
    item = setup.implement
    name = (item.name or item.id) if item is not None else ""
    heights = tuple(dict.fromkeys((need.shortest_at_mm, need.longest_at_mm)))
    usual = usual_names(figures_for(setup, first_setting(setup)))
    ask, stand_ins = (need.down_deg, need.up_deg), (setup.category or "", ", ".join(usual))
    return said("corner.need", ask=ask, name=name, heights_mm=heights, usual=stand_ins)


def widest_wanted(hitches: Sequence[OnHitch]) -> Wanted | None:
    """Return the lengths that cover every implement: the shortest and the longest that any of them needs."""
    found = [wanted for hitch in hitches if (wanted := wanted_of(hitch)) is not None]
    if not found:
        return None
    short = min(found, key=lambda wanted: wanted.least.value)
    long = max(found, key=lambda wanted: wanted.most.value)
    origin = short.origin if short is long else said("corner.needs", closed=short.origin, opened=long.origin)

    def lost(closed_mm: float, open_mm: float) -> tuple[float | None, float | None]:
        return short.lost(closed_mm, open_mm)[0], long.lost(closed_mm, open_mm)[1]

    behind = (short.behind[0], long.behind[1]) if short.behind and long.behind else None
    return Wanted(short.least, long.most, origin, lost, behind=behind)


def top_link_checks(hitches: Sequence[OnHitch], figures: dict[str, OfferFigure]) -> tuple[Check, ...]:
    """Return pitch, corners and shaft for every implement, each under its name where there are several."""
    return tuple(_named(check, hitch, len(hitches)) for hitch in hitches for check in hitch_checks(hitch, figures))


def lift_rod_checks(
    hitches: Sequence[OnHitch], other_rod: Estimate | None, figures: dict[str, OfferFigure]
) -> tuple[Check, ...]:
    """Return the roll for every implement at its working height, the other rod being as long as it was taped."""
    found = []
    for hitch in hitches:
        rod_mm = other_rod.value if other_rod is not None else hitch.linkage.rod_mm
        height_mm = sum(hitch.work_mm) / 2
        for check in roll_checks(with_rod(hitch.linkage, rod_mm), height_mm, hitch.roll_deg, figures):
            found.append(_named(check, hitch, len(hitches)))
    return tuple(found)


def _named(check: Check, hitch: OnHitch, count: int) -> Check:
    return replace(check, implement=hitch.name) if count > 1 else check


def geometry_basis(setups: Sequence[HitchSetup], *, with_mast: bool) -> Iterator[RestsOn]:
    """Return the figures of the hitch, and of each implement what it asks and what must clear."""
    for number, setup in enumerate(setups):
        figures = figures_for(setup, first_setting(setup))
        if number == 0:
            for key, figure in figures.items():
                if key not in {"top_link", "mast"}:
                    yield RestsOn(f"hitch/{key}", f"hitch, {figure.name}", f"{figure.mm:.2f} mm", origin=figure.origin)
        if setup.implement is not None:
            yield from _implement_basis(setup, setup.implement, figures["mast"] if with_mast else None)


def _implement_basis(setup: HitchSetup, item: Implement, mast: Measure | None) -> Iterator[RestsOn]:
    of, name = f"implement/{item.id}", item.name or item.id
    if mast is not None:
        yield RestsOn(f"{of}/mast", f"{name}, mast", f"{mast.mm:.2f} mm", origin=mast.origin)
    asks = (
        ("nose_down", "nose down", item.nose_down),
        ("nose_up", "nose up", item.nose_up),
        ("roll", "roll", item.roll),
        ("work_lowest", "lowest at work", item.work_lowest),
        ("work_highest", "highest at work", item.work_highest),
    )
    for key, what, value in asks:
        if value is not None:
            yield RestsOn(f"{of}/{key}", f"{name}, {what}", value.typed)
    for point in setup.points:
        place = f"{point.at.behind_mm:.2f} mm behind, {point.at.above_mm:.2f} mm above"
        track = ", in the track" if point.in_track else ""
        yield RestsOn(f"{of}/point/{point.name}", f"{name}, {point.name}", f"{place}{track}")
