"""How a hole wore: its faces against each other, its walls against each other, and what such a pattern often means.

What it means is a hint from common practice, never a verdict: nothing else in the program is decided by it.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from fieldlog.measure.depth import DepthShape, Pattern, depth_shape
from fieldlog.measure.estimate import difference
from fieldlog.measure.ligaments import Wall, WallGap, gaps_since, opposite_gaps, walls_of
from fieldlog.measure.rounding import mm_text
from fieldlog.records.clock import apart_deg, near_clock
from fieldlog.records.entries import LigamentReading
from fieldlog.records.machine import Hole, Machine
from fieldlog.records.quantities import Units
from fieldlog.wear.index import Index
from fieldlog.wear.spans import bore_cuts, is_end_of, moment
from fieldlog.wear.states import HoleState

_OVAL_MM = 0.2  # of less than this the pin hardly depends
_BETWEEN_DEG = 10.0  # of the 22.5 degrees that a line can be off at most with four of them
_ALONG_DEG = 30.0  # an axis nearer than this to a line of the clock runs along it
_DEPTH_HINTS: Mapping[Pattern, str] = MappingProxyType(
    {
        Pattern.BELL: "a pin too loose or too short for its eye, or an implement that twists on it",
        Pattern.BARREL: "a bush that has come loose inside, or metal washed out at the grease hole",
        Pattern.TAPER_NEAR: "load from one side: a pin held at one end only, or holes out of line",
        Pattern.TAPER_FAR: "load from one side: a pin held at one end only, or holes out of line",
        Pattern.NEAR_ONLY: "a stub pin held at one end, a ball that has seized, or a bent clevis",
        Pattern.FAR_ONLY: "a stub pin held at one end, a ball that has seized, or a bent clevis",
        Pattern.NEAR_TIGHT: "a lip or a burr rolled over at the near mouth: file it off and measure again",
        Pattern.FAR_TIGHT: "a lip or a burr rolled over at the far mouth: file it off and measure again",
    }
)


@dataclass(frozen=True, slots=True)
class HoleShape:
    """A hole's depth and walls as last measured, with the hints; `since` is against the first walls of its span."""

    depth: DepthShape | None
    walls: tuple[Wall, ...]
    opposite: tuple[WallGap, ...]
    since: tuple[WallGap, ...]
    hints: tuple[str, ...]


def hole_shape(state: HoleState, index: Index, siblings: Sequence[HoleState] = ()) -> HoleShape:
    """Return how a hole wore; `siblings` are the holes of its joint, itself among them."""
    depth = None
    if state.latest is not None:
        keys = set(state.latest.keys)
        depth = depth_shape(state.latest, [r for r in index.bores[state.hole.id] if r.key in keys], index.instruments)
    walls, first = _walls(state.hole, index)
    opposite, since = opposite_gaps(walls), gaps_since(first, walls) if first else ()
    hints = (
        *_depth_hint(depth),
        *_direction_hint(state, opposite, since, index.machine),
        *_between_lines_hint(state, index.units),
        *_row_hint(state, siblings),
        *_sign_hint(state),
    )
    return HoleShape(depth, walls, opposite, since, hints)


def _walls(hole: Hole, index: Index) -> tuple[tuple[Wall, ...], tuple[Wall, ...]]:
    """Return the walls as last measured and as first measured since the hole was made new; first empty if the same."""
    cuts = bore_cuts(index.events, hole, index.machine)
    readings = [r for r in index.ligaments.get(hole.id, []) if not cuts or moment(r) > cuts[-1]]
    rounds: dict[tuple[object, str], list[LigamentReading]] = {}
    for reading in sorted(readings, key=lambda r: (r.day, r.round, r.at)):
        rounds.setdefault((reading.day, reading.round), []).append(reading)
    measured = [walls_of(group, index.instruments) for group in rounds.values()]
    if not measured:
        return (), ()
    return measured[-1], measured[0] if len(measured) > 1 else ()


def _depth_hint(depth: DepthShape | None) -> tuple[str, ...]:
    hint = _DEPTH_HINTS.get(depth.pattern) if depth is not None else None
    return (f"{depth.pattern.value}: {hint}",) if depth is not None and hint else ()


def _direction_hint(
    state: HoleState, opposite: Sequence[WallGap], since: Sequence[WallGap], machine: Machine
) -> tuple[str, ...]:
    """Return what the long axis and the thin walls tell, for a hole at the end of a link, whose 12 is outward."""
    shape = state.latest.best_face.shape if state.latest is not None else None
    axis = shape.axis_deg if shape is not None else None
    if axis is None or not any(is_end_of(link, state.hole, machine) for link in machine.links):
        return ()
    thin = {gap.clock for gap in opposite if gap.is_proved} | _thinner(since)
    if min(axis, 180 - axis) <= _ALONG_DEG:
        return (_along_link(thin),)
    if abs(axis - 90) <= _ALONG_DEG:
        return ("oval across the link: side load, from slack sway chains, a side-shifting blade or a bent link",)
    return ()


def _thinner(since: Sequence[WallGap]) -> set[str]:
    return {gap.clock for gap in since if gap.is_proved and gap.size.value_mm < 0}


def _along_link(thin: set[str]) -> str:
    if {"12", "6"} <= thin:
        return "oval along the link, both walls thinner: load that reverses, a loose fit, or no grease"
    if "12" in thin:
        return "oval along the link, outer wall thin: the link is mostly pulled, as by an implement that hangs on it"
    if "6" in thin:
        return "oval along the link, inner wall thin: the link is mostly pushed, as in back-dragging or by a mower"
    return "oval along the link: measure the metal at 12 and 6; the thinner wall tells pulling from pushing"


def _between_lines_hint(state: HoleState, units: Units) -> tuple[str, ...]:
    """Say where to measure too when a proved oval lies between the lines, where a worn wall is read wrongly.

    A pin's own circle worn into one wall narrows sharply across the wear: lines that miss that place by half a gap of
    four lines leave the smallest size off by up to about a quarter of the ovality (plane geometry of two circles).
    """
    face = state.latest.best_face if state.latest is not None else None
    shape = face.shape if face is not None else None
    if face is None or shape is None or shape.axis_deg is None or shape.ovality.value_mm < _OVAL_MM:
        return ()
    across = (shape.axis_deg + 90) % 180
    if min(apart_deg(across, group.angle_deg) for group in face.groups) <= _BETWEEN_DEG:
        return ()
    off = mm_text(shape.ovality.value_mm / 4, units)
    lines = " and ".join(near_clock(angle) for angle in (shape.axis_deg, across))
    return (
        f"the long axis lies between the lines: if the pin wore one wall only, the smallest size may be off by {off}; "
        f"measure along {lines} too",
    )


def _row_hint(state: HoleState, siblings: Sequence[HoleState]) -> tuple[str, ...]:
    """Tell the habitual hole of a row: larger than every other one beyond doubt."""
    row = [s for s in siblings if s.hole.in_row is not None and s.hole.in_row == state.hole.in_row]
    others = [s.worn for s in row if s.hole.id != state.hole.id and s.worn is not None]
    if state.worn is None or not others:
        return ()
    gap = difference(state.worn, max(others, key=lambda size: size.value_mm))
    if gap.value_mm <= gap.expanded_mm:
        return ()
    return ("the largest of its row: the hole of habit; take another one as the reference for the pin",)


def _sign_hint(state: HoleState) -> tuple[str, ...]:
    if "bush turns in its bore" not in state.signs:
        return ()
    return ("a bush that turns has lost its press fit, and its housing is what wears now: stop early",)
