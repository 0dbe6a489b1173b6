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
from fieldlog.quantity.lengths import Units
from fieldlog.records.hitch import HitchParts, Implement, Implements
from fieldlog.records.offer import Basis
from fieldlog.retrofit.carried import Carried, Measure, values_of
from fieldlog.retrofit.hitch.clearances import (
    WANTED_MM,
    Clearance,
    Field,
    Need,
    Obstacle,
    Worst,
    clearances_at,
    least_rooms,
    pitch_span,
)
from fieldlog.retrofit.hitch.field import NeedLook, need_look
from fieldlog.retrofit.hitch.forces import MOMENTARY_DEG, angle_word, slip
from fieldlog.retrofit.hitch.lift import with_rod
from fieldlog.retrofit.hitch.look import first_setting, heights_of, shaft_joint, stub_of, surroundings_of
from fieldlog.retrofit.hitch.plane import CannotReach, pose_at, with_top_link
from fieldlog.retrofit.hitch.setup import HitchSetup, figures_for, linkage_of, setup_of, usual_names
from fieldlog.retrofit.offers.on_hitch import OnHitch, height_words, roll_checks, room_doubt_mm, wanted_of
from fieldlog.retrofit.offers.reach import Wanted
from fieldlog.retrofit.offers.sense import Check, Level, OfferFigure
from fieldlog.retrofit.repair.metal import sure_text
from fieldlog.wear.states import MachineState

TYRE_LEAST_MM = 50.0  # room to a tyre that nothing moves against; 100 mm is the standard's, both from memory
_HEIGHTS = 16
_LENGTHS = 12
_STOP_WITHIN_MM = 1.0
_STOP_DOWN_MM = 5.0  # a lift stop is set a little lower than worked out, to a round figure
_ANY_HEIGHT = "A hydraulic link can be run to either end at any height of the hitch, not only where you work."


def room_checks(hitch: OnHitch, field: Field, figures: Mapping[str, OfferFigure], units: Units) -> list[Check]:
    """Return the least room to cab, tyre and ground over all lengths and heights, and what cures too little."""
    if not hitch.points:
        return []
    found = least_rooms(hitch.linkage, field, hitch.points, hitch.around)
    return [_room(worst, hitch, field, _doubt_mm(hitch, figures, worst), units) for worst in found]


def _doubt_mm(hitch: OnHitch, figures: Mapping[str, OfferFigure], worst: Worst) -> float:
    return room_doubt_mm(hitch.setup, figures, worst) if hitch.setup is not None else 0.0


def _room(worst: Worst, hitch: OnHitch, field: Field, doubt_mm: float, units: Units) -> Check:
    clear = worst.clearance
    topic = f"room to the {clear.obstacle}"
    where = f"link {height_words(worst.length_mm, units)}, balls at {height_words(worst.height_mm, units)}"
    room, wanted = _sure(abs(clear.room_mm), doubt_mm, units), height_words(WANTED_MM[clear.obstacle], units)
    if clear.obstacle == "ground":
        return _ground(topic, clear, f"{room} {{}} ({where})")
    if clear.spare_mm >= 0:
        return Check(topic, Level.GOOD, f"{clear.point} stays {room} away at worst ({where}).", _ANY_HEIGHT)
    if clear.obstacle == "tyre" and clear.room_mm >= TYRE_LEAST_MM:
        text = f"{clear.point} stays {room} away ({where}), under the {wanted} of the standard."
        return Check(topic, Level.NOTE, text, _ANY_HEIGHT)
    state = f"stays {room} away, {wanted} wanted" if clear.room_mm > 0 else f"would be {room} inside it"
    level, cure = _cure(hitch, field, clear.obstacle, units)
    return Check(topic, level, f"{clear.point} {state} ({where}). {cure}", _ANY_HEIGHT)


def _sure(mm: float, doubt_mm: float, units: Units) -> str:
    return sure_text(mm, doubt_mm, units, 0) if doubt_mm > 0 else height_words(mm, units)


def _ground(topic: str, clear: Clearance, room: str) -> Check:
    """An implement is there to meet the ground: that is a remark, never a fault."""
    if clear.room_mm >= 0:
        return Check(topic, Level.GOOD, f"{clear.point} stays {room.format('above the ground')} at worst.")
    text = f"{clear.point} goes {room.format('into the ground')}: do not run it there."
    return Check(topic, Level.NOTE, text, "Over-long only risks the ground and the shaft; flow and habit limit it.")


def _cure(hitch: OnHitch, field: Field, obstacle: Obstacle, units: Units) -> tuple[Level, str]:
    stop_mm = lift_stop_mm(hitch, field, obstacle)
    if stop_mm is None or stop_mm < max(hitch.work_mm):
        return Level.NO, "No lift stop above the working height cures it."
    return Level.LIMIT, f"Only with the lift stopped at {height_words(stop_mm, units)}, set and written on the machine."


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
_SHAFT_WHY = "Trade figures: 15 degrees if you can, 25 at work, 45 for a moment unloaded. PTO off before lifting."


def hitch_checks(hitch: OnHitch, figures: dict[str, OfferFigure], units: Units) -> tuple[Check, ...]:
    """Return what the geometry says of a cylinder between its closed and open length."""
    closed_mm, open_mm = figures["closed"].mm, figures["open"].mm
    field = Field(closed_mm, open_mm, *hitch.heights_mm)
    return (_pitch(hitch, field, units), *room_checks(hitch, field, figures, units), *_shaft(hitch, field, units))


def _pitch(hitch: OnHitch, field: Field, units: Units) -> Check:
    heights = tuple(dict.fromkeys((*hitch.work_mm, field.highest_mm)))
    parts = []
    for span in pitch_span(hitch.linkage, field.closed_mm, field.open_mm, heights):
        ends = [_degrees(angle) for angle in (span.closed_deg, span.open_deg)]
        parts.append(f"balls at {height_words(span.height_mm, units)}: {ends[0]} closed, {ends[1]} open")
    return Check("pitch, fore-aft", Level.GOOD, f"Degrees, nose up +; {'; '.join(parts)}.")


def _degrees(angle: float | CannotReach) -> str:
    return "cannot reach" if isinstance(angle, CannotReach) else f"{angle:+.1f}"


def _shaft(hitch: OnHitch, field: Field, units: Units) -> list[Check]:
    if hitch.stub is None or hitch.joint is None:
        return []
    lengths = [field.closed_mm + (field.open_mm - field.closed_mm) * step / _STEPS for step in range(_STEPS + 1)]
    heights = [field.lowest_mm + (field.highest_mm - field.lowest_mm) * step / _STEPS for step in range(_STEPS + 1)]
    found = slip(hitch.linkage, lengths, heights, hitch.stub, hitch.joint)
    if found is None:
        return []
    word = angle_word(found.steepest_deg)
    level = Level.LIMIT if found.steepest_deg > MOMENTARY_DEG else Level.GOOD if word == "good" else Level.NOTE
    ends = f"{height_words(found.shortest_mm, units)} to {height_words(found.longest_mm, units)}"
    told = {
        "good": "good everywhere",
        "allowed": "allowed at work",
        "PTO off": "PTO off before it is lifted",
        "too much": "more than a joint takes even at rest",
    }[word]
    text = (
        f"Steepest joint {found.steepest_deg:.1f} degrees: {told}. The shaft works from {ends}, "
        f"{height_words(found.slip_mm, units)} of slip; check overlap and room to close again."
    )
    return [Check("PTO shaft", level, text, _SHAFT_WHY)]


def setups_of(state: MachineState, parts: HitchParts, implements: Implements) -> tuple[HitchSetup, ...]:
    """Return a machine's hitch with each implement of its category; none where nothing was measured on the hitch."""
    if parts.hitch is None and not parts.top_holes and not parts.rod_holes:
        return ()
    category = state.machine.hitch_category
    wanted = [item for item in implements.implements if None in {item.category, category} or item.category == category]
    found = (setup_of(state.machine, parts, implements, item.id, state.links) for item in wanted)
    return tuple(setup for setup in found if setup is not None)


def on_hitch(setup: HitchSetup, units: Units) -> OnHitch | None:
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
        need_words=_need_words(setup, need, units) if need is not None else "",
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


def _need_words(setup: HitchSetup, need: Need, units: Units) -> str:
    item = setup.implement
    name = (item.name or item.id) if item is not None else ""
    heights = dict.fromkeys((need.shortest_at_mm, need.longest_at_mm))
    at = " and ".join(height_words(height, units) for height in heights)
    usual = usual_names(figures_for(setup, first_setting(setup)))
    stand_in = f"; usual figures of category {setup.category} for {', '.join(usual)}" if usual else ""
    return f"{-need.down_deg:g} degrees nose down and {need.up_deg:g} up with {name}, balls at {at}{stand_in}"


def widest_wanted(hitches: Sequence[OnHitch]) -> Wanted | None:
    """Return the lengths that cover every implement: the shortest and the longest that any of them needs."""
    found = [wanted for hitch in hitches if (wanted := wanted_of(hitch)) is not None]
    if not found:
        return None
    short = min(found, key=lambda wanted: wanted.least.value_mm)
    long = max(found, key=lambda wanted: wanted.most.value_mm)
    origin = short.origin if short is long else f"closed, {short.origin}; open, {long.origin}"

    def lost(closed_mm: float, open_mm: float) -> tuple[float | None, float | None]:
        return short.lost(closed_mm, open_mm)[0], long.lost(closed_mm, open_mm)[1]

    behind = (short.behind[0], long.behind[1]) if short.behind and long.behind else None
    return Wanted(short.least, long.most, origin, lost, behind=behind)


def top_link_checks(hitches: Sequence[OnHitch], figures: dict[str, OfferFigure], units: Units) -> tuple[Check, ...]:
    """Return pitch, corners and shaft for every implement, each under its name where there are several."""
    return tuple(
        _named(check, hitch, len(hitches)) for hitch in hitches for check in hitch_checks(hitch, figures, units)
    )


def lift_rod_checks(
    hitches: Sequence[OnHitch], other_rod: Estimate | None, figures: dict[str, OfferFigure], units: Units
) -> tuple[Check, ...]:
    """Return the roll for every implement at its working height, the other rod being as long as it was taped."""
    found = []
    for hitch in hitches:
        rod_mm = other_rod.value_mm if other_rod is not None else hitch.linkage.rod_mm
        height_mm = sum(hitch.work_mm) / 2
        for check in roll_checks(with_rod(hitch.linkage, rod_mm), height_mm, hitch.roll_deg, figures, units):
            found.append(_named(check, hitch, len(hitches)))
    return tuple(found)


def _named(check: Check, hitch: OnHitch, count: int) -> Check:
    topic = f"{check.topic}, {hitch.name}" if count > 1 else check.topic
    return replace(check, topic=topic)


def geometry_basis(setups: Sequence[HitchSetup], *, with_mast: bool) -> Iterator[Basis]:
    """Return the figures of the hitch, and of each implement what it asks and what must clear."""
    for number, setup in enumerate(setups):
        figures = figures_for(setup, first_setting(setup))
        if number == 0:
            for key, figure in figures.items():
                if key not in {"top_link", "mast"}:
                    yield Basis(what=f"hitch, {figure.name}", value=f"{figure.mm:.2f} mm", origin=figure.origin)
        if setup.implement is not None:
            yield from _implement_basis(setup, setup.implement, figures["mast"] if with_mast else None)


def _implement_basis(setup: HitchSetup, item: Implement, mast: Measure | None) -> Iterator[Basis]:
    name = item.name or item.id
    if mast is not None:
        yield Basis(what=f"{name}, mast", value=f"{mast.mm:.2f} mm", origin=mast.origin)
    asks = (("nose down", item.nose_down), ("nose up", item.nose_up), ("roll", item.roll))
    heights = (("lowest at work", item.work_lowest), ("highest at work", item.work_highest))
    for what, value in (*asks, *heights):
        if value is not None:
            yield Basis(what=f"{name}, {what}", value=value.typed)
    for point in setup.points:
        place = f"{point.at.behind_mm:.2f} mm behind, {point.at.above_mm:.2f} mm above"
        yield Basis(what=f"{name}, {point.name}", value=f"{place}{', in the track' if point.in_track else ''}")
