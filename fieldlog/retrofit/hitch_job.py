"""The hitch and the fleet's implements as they bear on offers: the widest need, and every implement's corners.

Only a hitch on which something was measured decides; with nothing but its category known, the link's own range does.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from fieldlog.measure.estimate import Estimate
from fieldlog.records.hitch import HitchParts, Implement, Implements
from fieldlog.records.quantities import Units
from fieldlog.records.recommendation import Basis
from fieldlog.retrofit.carried import Carried, Measure, values_of
from fieldlog.retrofit.checks import Check
from fieldlog.retrofit.field_look import NeedLook, need_look
from fieldlog.retrofit.figures import OfferFigure
from fieldlog.retrofit.hitch_checks import hitch_checks
from fieldlog.retrofit.lift import with_rod
from fieldlog.retrofit.look import first_setting, heights_of, shaft_joint, stub_of, surroundings_of
from fieldlog.retrofit.needed import Need
from fieldlog.retrofit.on_hitch import OnHitch, height_words, wanted_of
from fieldlog.retrofit.on_tilt import roll_checks
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.reach import Wanted
from fieldlog.retrofit.setup import HitchSetup, figures_for, linkage_of, setup_of, usual_names
from fieldlog.wear.states import MachineState


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
