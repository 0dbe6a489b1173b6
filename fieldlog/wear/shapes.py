"""How a hole wore: its faces against each other, its walls against each other, and what such a pattern often means.

What it means is a hint from common practice, never a verdict: nothing else in the program is decided by it.

What is doubtful about the readings of a hole, day by day: marks, keeps, lack of fit. Worked out when looked at.

A hole looked at closely: its single readings, its depth and its walls. Nothing of it changes a verdict.

Marks and depth are worked out when a page is opened (`wear/shapes.py`), not with the states: no verdict rests on
them, and the first screen does not wait for them.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

from fieldlog.measure.apart import repeat_marks
from fieldlog.measure.bore import lack_of_fit
from fieldlog.measure.depth import DepthShape, Pattern, Wall, WallGap, depth_shape, gaps_since, opposite_gaps, walls_of
from fieldlog.measure.hole import FaceShape, HoleSize
from fieldlog.measure.suspect import Mark, about_repeats, fineness_of, hole_marks
from fieldlog.quantity.said import Said, said
from fieldlog.records.clock import apart_deg
from fieldlog.records.entries import Entry, LigamentReading
from fieldlog.records.machine import Hole, Machine
from fieldlog.wear.history import Index, bore_cuts, hole_history, is_end_of, moment
from fieldlog.wear.states import HoleState, MachineState

_OVAL_MM = 0.2  # of less than this the pin hardly depends
_BETWEEN_DEG = 10.0  # of the 22.5 degrees that a line can be off at most with four of them
_ALONG_DEG = 30.0  # an axis nearer than this to a line of the clock runs along it


@dataclass(frozen=True, slots=True)
class HoleShape:
    """A hole's depth and walls as last measured, with the hints; `since` is against the first walls of its span."""

    depth: DepthShape | None
    walls: tuple[Wall, ...]
    opposite: tuple[WallGap, ...]
    since: tuple[WallGap, ...]
    hints: tuple[Said, ...]


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
        *_between_lines_hint(state),
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


def _depth_hint(depth: DepthShape | None) -> tuple[Said, ...]:
    if depth is None or depth.pattern is Pattern.ALIKE:
        return ()
    return (said("measuring.depth_hint", pattern=depth.pattern),)


def _direction_hint(
    state: HoleState, opposite: Sequence[WallGap], since: Sequence[WallGap], machine: Machine
) -> tuple[Said, ...]:
    """Return what the long axis and the thin walls tell, for a hole at the end of a link, whose 12 is outward."""
    shape = state.latest.best_face.shape if state.latest is not None else None
    axis = shape.axis_deg if shape is not None else None
    if axis is None or not any(is_end_of(link, state.hole, machine) for link in machine.links):
        return ()
    thin = {gap.clock for gap in opposite if gap.is_proved} | _thinner(since)
    if min(axis, 180 - axis) <= _ALONG_DEG:
        return (said("measuring.oval_along_link", is_outer_thin="12" in thin, is_inner_thin="6" in thin),)
    if abs(axis - 90) <= _ALONG_DEG:
        return (said("measuring.oval_across_link"),)
    return ()


def _thinner(since: Sequence[WallGap]) -> set[str]:
    return {gap.clock for gap in since if gap.is_proved and gap.size.value < 0}


def _between_lines_hint(state: HoleState) -> tuple[Said, ...]:
    """Say where to measure too when a proved oval lies between the lines, where a worn wall is read wrongly.

    A pin's own circle worn into one wall narrows sharply across the wear: lines that miss that place by half a gap of
    four lines leave the smallest size off by up to about a quarter of the ovality (plane geometry of two circles).
    """
    face = state.latest.best_face if state.latest is not None else None
    shape = face.shape if face is not None else None
    if face is None or shape is None or shape.axis_deg is None or shape.ovality.value < _OVAL_MM:
        return ()
    across = (shape.axis_deg + 90) % 180
    if min(apart_deg(across, group.angle_deg) for group in face.groups) <= _BETWEEN_DEG:
        return ()
    off_mm, lines_deg = shape.ovality.value / 4, (shape.axis_deg, across)
    return (said("measuring.axis_between_lines", off_mm=off_mm, lines_deg=lines_deg),)


def _row_hint(state: HoleState, siblings: Sequence[HoleState]) -> tuple[Said, ...]:
    """Tell the habitual hole of a row: larger than every other one beyond doubt."""
    row = [s for s in siblings if s.hole.in_row is not None and s.hole.in_row == state.hole.in_row]
    others = [s.worn for s in row if s.hole.id != state.hole.id and s.worn is not None]
    if state.worn is None or not others:
        return ()
    gap = state.worn - max(others, key=lambda size: size.value)
    if gap.value <= gap.plus_minus:
        return ()
    return (said("measuring.hole_of_habit"),)


def _sign_hint(state: HoleState) -> tuple[Said, ...]:
    if "bush turns in its bore" not in state.signs:
        return ()
    return (said("measuring.bush_turns"),)


@dataclass(frozen=True, slots=True)
class DayDoubts:
    """One measuring of a hole: the readings that stand apart, those of them kept, and what else there is to say."""

    size: HoleSize
    marks: tuple[Mark, ...]
    kept: tuple[Mark, ...]
    repeats: tuple[str, ...]
    misfit: tuple[Said, ...]


def hole_doubts(hole: Hole, index: Index, history: Sequence[HoleSize] | None = None) -> tuple[DayDoubts, ...]:
    """Return the doubts about each measuring of a hole, oldest first, as in its history, if that is known already."""
    readings = index.bores.get(hole.id, [])
    by_key = {reading.key: reading for reading in readings}
    if history is None:
        history, _ = hole_history(list(readings), bore_cuts(index.events, hole, index.machine), index.instruments)
    found = []
    for size in history:
        behind = [by_key[key] for key in size.keys]
        marks = hole_marks(size, behind, index.instruments)
        step = fineness_of(behind, index.instruments).step_mm
        found.append(
            DayDoubts(
                size=size,
                marks=tuple(mark for mark in marks if mark.key not in index.keeps),
                kept=tuple(mark for mark in marks if mark.key in index.keeps),
                repeats=_repeats(size, marks),
                misfit=tuple(one for face in size.faces if (one := _misfit(face, step)) is not None),
            )
        )
    return tuple(found)


def _repeats(size: HoleSize, marks: tuple[Mark, ...]) -> tuple[str, ...]:
    """Return what the repeats can tell, of the face with the most readings."""
    text = about_repeats(size.best_face, marks)
    return (text,) if text else ()


def _misfit(face: FaceShape, step_mm: float) -> Said | None:
    """Say that the lines do not fit an oval, with the numbers that rests on; None where they do."""
    if face.shape is None:
        return None
    pairs = [(group.angle_deg, size) for group in face.groups for size in group.sizes_mm]
    misfit = lack_of_fit(pairs, step_mm)
    if misfit is None or not misfit.is_proved:
        return None
    return said("measuring.no_oval", face=face.face, misfit=misfit)


def marks_by_key(holes: Iterable[Hole], index: Index, behind: Set[str] | None = None) -> Mapping[str, Mark]:
    """Return every reading that stands apart, the kept ones too, by the key of its entry.

    Looked at are the bores of some holes, and of pins, walls, tapes and threads what is measured together with the
    keys `behind`, or all of them.
    """
    days = [day for hole in holes for day in hole_doubts(hole, index)]
    found = {mark.key: mark for day in days for mark in (*day.marks, *day.kept)}
    return found | {mark.key: mark for mark in repeat_marks(repeated_entries(index), index.instruments, behind)}


def repeated_entries(index: Index) -> Iterator[Entry]:
    """Return the standing readings of pins, walls, tapes and threads."""
    for lists in (index.pins, index.walls, index.ligaments, index.lengths, index.threads):
        for entries in lists.values():
            yield from entries


@dataclass(frozen=True, slots=True)
class HoleDetails:
    """What is doubtful about each measuring, oldest first as in the hole's history, and how the hole wore."""

    days: tuple[DayDoubts, ...]
    shape: HoleShape

    def latest_of(self, state: HoleState) -> DayDoubts | None:
        """Return the doubts about the last measuring since the hole was made new."""
        return self.days[-1] if state.latest is not None else None


def hole_details(state: HoleState, index: Index, siblings: Sequence[HoleState] = ()) -> HoleDetails:
    """Return one hole looked at closely; `siblings` are the holes of its joint."""
    return HoleDetails(hole_doubts(state.hole, index, state.history), hole_shape(state, index, siblings))


def machine_details(state: MachineState, index: Index) -> Mapping[str, HoleDetails]:
    """Return every hole of a machine looked at closely, by its id."""
    return {hole.hole.id: hole_details(hole, index, joint.holes) for joint in state.joints for hole in joint.holes}
