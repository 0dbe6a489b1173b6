"""What a size has grown from one measuring to another, with the doubt of both and of who measured.

One hole on one measuring day: its lines, its faces, its smallest and its largest size.

What the lines across a hole cannot see of its shape, as a part of its doubt that belongs to that hole.

Worn into one wall is not an oval (`measure/bore.py`): sizes stay those of the oval, which the worked example is held
to; what four lobes in step with it may do is a part of their doubt. Its two constants were chosen on
`tests/benchmarks/coverage.py`; on bores, depths and directions drawn anew each day they hold 93 to 96 % for ovals any
way and for walls worn along a line. A wall worn *between* two lines no four lines can tell from an oval: its largest
size holds (94 %), its smallest in 79 of 100 days. To widen the smallest for it would make every oval there 98 to 99
%, so nothing is widened; the page names the two lines to measure too.

Two crossed lines count the oval they may miss (`measure/hole.py`): up to 0.15 mm of it between them, our judgement.
That holds 95 to 98 % for ovals up to 0.2 mm any way, and larger ones less.
"""

import datetime
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

from fieldlog.errors import MeasureError
from fieldlog.measure.bore import FEWEST_LINES, Bore, BoreShape, distinct_lines, fit_bore
from fieldlog.measure.checks import PEOPLE_DIFFER, Worth, inside_mm, jaws_on, worth_of
from fieldlog.measure.instruments import (
    UNKNOWN_CALIPER,
    USUAL_BETWEEN_PEOPLE_MM,
    USUAL_REPEATABILITY_DOF,
    mean,
    pooled_scatter,
    scatter_term,
    size_of_mean,
    step_mm,
)
from fieldlog.measure.jaws import Jaws
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import Value, difference_of_days
from fieldlog.records.clock import FULL_SET, apart_deg, parse_clock
from fieldlog.records.entries import BoreReading, Face
from fieldlog.records.machine import Instrument


class Seen(NamedTuple):
    """A size as one person measured it on one day."""

    size: Value
    day: datetime.date
    who: str


def growth(now: Seen, before: Seen) -> Value:
    """Return how much larger a size is now; what both days share cancels, the rest is named with its day.

    Two people with one caliper read differently. Where a gauge study says by how much, that is in their sizes; the
    usual figure stands in for whoever was in none.
    """
    change = difference_of_days((now.size, now.day), (before.size, before.day))
    unknown = [seen for seen in (now, before) if all(term.source.kind != "hands" for term in seen.size.terms)]
    if now.who == before.who or not unknown:
        return change
    u_mm = USUAL_BETWEEN_PEOPLE_MM * math.sqrt(len(unknown))
    why = f"{now.who} and {before.who}; usual figure, common practice: a gauge study tells it"
    source_id = f"usual hands/{now.who} and {before.who}"
    source = Source(source_id, "hands", label=PEOPLE_DIFFER, why=why, dof=USUAL_REPEATABILITY_DOF)
    return change.within(Term(source, u_mm))


FACES: tuple[Face, ...] = ("near", "middle", "far")
_FULL_SET_DEG = tuple((clock, parse_clock(clock).angle_deg) for clock in FULL_SET)
_NEAR_DEG = 15.0  # half an hour on the clock: nearer than that is the same advice
_CROSSED_DEG = 60.0  # two lines farther apart than this are called crossed


@dataclass(frozen=True, slots=True)
class LineGroup:
    """The repeats along one line across the hole: corrected for the jaws, and as they were read."""

    clock: str
    angle_deg: float
    sizes_mm: tuple[float, ...]
    keys: tuple[str, ...]
    read_mm: tuple[float, ...] = ()

    @property
    def is_corrected(self) -> bool:
        """True when the jaws changed anything."""
        return bool(self.read_mm) and self.read_mm != self.sizes_mm

    @property
    def read_mean_mm(self) -> float:
        """Mean of the repeats as they were read."""
        return mean(self.read_mm or self.sizes_mm)

    @property
    def mean_mm(self) -> float:
        """Mean of the repeats."""
        return mean(self.sizes_mm)

    @property
    def range_mm(self) -> float:
        """Largest minus smallest repeat."""
        return max(self.sizes_mm) - min(self.sizes_mm)


@dataclass(frozen=True, slots=True)
class FaceShape:
    """One face of the hole. `shape` is None with fewer than three lines, and `missing` then says what to add."""

    face: Face
    groups: tuple[LineGroup, ...]
    shape: BoreShape | None
    smallest: Value
    largest: Value
    missing: str


@dataclass(frozen=True, slots=True)
class HoleSize:
    """A hole as one person measured it on one day.

    `smallest` over the faces tells the pin the hole was made for; `largest` is what wear is judged by. `at` is the time
    of its first reading.
    """

    hole: str
    day: datetime.date
    who: str
    round: str
    faces: tuple[FaceShape, ...]
    n_readings: int
    smallest: Value
    largest: Value
    keys: tuple[str, ...]
    remarks: tuple[str, ...] = ()
    at: str = ""

    @property
    def seen(self) -> Seen:
        """Its largest size, when and by whom it was seen."""
        return Seen(self.largest, self.day, self.who)

    @property
    def sees_oval(self) -> bool:
        """True when some face was measured along enough lines for an oval to show."""
        return any(face.shape is not None for face in self.faces)

    @property
    def missing(self) -> str:
        """What the first face lacks, empty when nothing."""
        return "" if self.sees_oval else self.faces[0].missing

    @property
    def best_face(self) -> FaceShape:
        """The face whose shape is shown: the one with the most readings among those that have a shape."""
        shaped = [face for face in self.faces if face.shape is not None] or list(self.faces)
        return max(shaped, key=lambda face: sum(len(group.sizes_mm) for group in face.groups))


def hole_sizes(readings: Iterable[BoreReading], instruments: Mapping[str, Instrument]) -> tuple[HoleSize, ...]:
    """Return one size a round, in time order, from the standing readings of one hole."""
    ordered = sorted(readings, key=lambda reading: (reading.day, reading.round, reading.at))
    by_round = groupby(ordered, key=lambda reading: (reading.day, reading.round))
    return tuple(hole_size(tuple(group), instruments) for _, group in by_round)


def hole_size(readings: Sequence[BoreReading], instruments: Mapping[str, Instrument]) -> HoleSize:
    """Return the size of one hole from its readings of one round."""
    if not readings:
        raise MeasureError("No reading of this hole yet.")
    used = {reading.instrument: instruments.get(reading.instrument, UNKNOWN_CALIPER) for reading in readings}
    jaws = {name: jaws_on(instrument, readings[0].day) for name, instrument in used.items()}
    by_face = {face: [reading for reading in readings if reading.face == face] for face in FACES}
    first = readings[0]
    whose = {face: _of_face(first, face) for face in FACES}
    worths = {face: _worth(group, used, whose[face]) for face, group in by_face.items() if group}
    faces = tuple(
        _face_shape(face, line_groups(by_face[face], jaws), worth, whose[face]) for face, worth in worths.items()
    )
    return HoleSize(
        hole=first.hole,
        day=first.day,
        who=first.who,
        round=first.round,
        faces=faces,
        n_readings=len(readings),
        smallest=min((face.smallest for face in faces), key=lambda size: size.value),
        largest=max((face.largest for face in faces), key=lambda size: size.value),
        keys=tuple(reading.key for reading in readings),
        remarks=tuple(dict.fromkeys(remark for worth in worths.values() for remark in worth.remarks)),
        at=first.at,
    )


def _of_face(reading: BoreReading, face: Face) -> Bore:
    bore, day = f"{reading.hole}/{face}", reading.day.isoformat()
    return Bore(f"{reading.round or day}/{bore}", bore, day)


def line_groups(readings: Sequence[BoreReading], jaws: Mapping[str, Jaws | None]) -> tuple[LineGroup, ...]:
    """Return the readings grouped by line, in clock order; 7:30 belongs to 1:30. `jaws` are by instrument."""
    groups: dict[float, list[BoreReading]] = {}
    for reading in readings:
        groups.setdefault(reading.clock.angle_deg, []).append(reading)
    return tuple(
        LineGroup(
            clock=group[0].clock.typed,
            angle_deg=angle,
            sizes_mm=tuple(inside_mm(float(r.size.mm), jaws.get(r.instrument)) for r in group),
            keys=tuple(reading.key for reading in group),
            read_mm=tuple(float(reading.size.mm) for reading in group),
        )
        for angle, group in sorted(groups.items())
    )


def _face_shape(face: Face, groups: tuple[LineGroup, ...], worth: Worth, whose: Bore) -> FaceShape:
    lines = distinct_lines([group.angle_deg for group in groups])
    pairs = [(group.angle_deg, size_mm) for group in groups for size_mm in group.sizes_mm]
    if len(lines) >= FEWEST_LINES:
        try:
            shape = fit_bore(pairs, worth.terms, worth.usual_mm, worth.step_mm, whose, worth.known)
        except MeasureError:
            return _from_lines((face, whose), groups, worth, missing_lines(lines))
        return FaceShape(face, groups, shape, shape.smallest, shape.largest, "")
    return _from_lines((face, whose), groups, worth, missing_lines(lines))


def missing_lines(lines_deg: Sequence[float]) -> str:
    """Return why an oval cannot be seen along these lines, and which to add; for lines that give no shape."""
    away = [clock for clock, at in _FULL_SET_DEG if all(apart_deg(at, line) > _NEAR_DEG for line in lines_deg)]
    add = f"add {', '.join(away[:-1])} and {away[-1]}" if len(away) > 1 else f"add {away[0] if away else '3'}"
    if len(lines_deg) == 1:
        return f"only one line across the hole, an oval cannot show; {add}"
    if len(lines_deg) == 2 and apart_deg(*lines_deg) > _CROSSED_DEG:
        return f"two crossed lines can miss an oval completely; {add}"
    return f"the lines are too close together to tell an oval; {add}"


def _worth(readings: Sequence[BoreReading], used: Mapping[str, Instrument], whose: Bore) -> Worth:
    """Return what the readings of a face are worth; the worst of the instruments used counts."""
    triples = [
        (used[reading.instrument], float(reading.size.mm), step_mm(reading.size, used[reading.instrument]))
        for reading in readings
    ]
    return worth_of(triples, "inside", readings[0].day, whose.measuring, readings[0].who)


def _from_lines(at: tuple[Face, Bore], groups: tuple[LineGroup, ...], worth: Worth, missing: str) -> FaceShape:
    """Take the smallest and largest line as they are; an oval between them stays unseen, and `missing` says so."""
    face, whose = at
    scatter = pooled_scatter([group.sizes_mm for group in groups], worth.usual_mm, known=worth.known)
    unseen = _unseen(groups, whose)

    def size(group: LineGroup) -> Value:
        line, read = f"{whose.measuring}/{group.angle_deg:g}", group.sizes_mm
        if len(groups) == 1:
            return size_of_mean(line, read, worth.terms, worth.usual_mm, worth.step_mm, worth.known)
        counted = (len(read), worth.step_mm)
        own = scatter_term(line, f"scatter at {group.clock}", scatter, counted, f"{whose.measuring}/lines")
        return Value(group.mean_mm, "mm", (own, *worth.terms, *unseen))

    ordered = sorted(groups, key=lambda group: group.mean_mm)
    smallest = size(ordered[0])
    return FaceShape(face, groups, None, smallest, size(ordered[-1]) if len(ordered) > 1 else smallest, missing)


def _unseen(groups: Sequence[LineGroup], whose: Bore) -> tuple[Term, ...]:
    """Return what an oval between two crossed lines, which neither sees, may do to the larger and the smaller one."""
    if len(groups) != FEWEST_LINES - 1 or apart_deg(*(group.angle_deg for group in groups)) <= _CROSSED_DEG:
        return ()
    one, other = (group.mean_mm for group in groups)
    return (unseen_between(one - other, whose),)


UNSEEN_OVALITY_MM = 0.15  # largest less smallest that may lie between two crossed lines: common practice, no source


def unseen_between(apart_mm: float, whose: Bore) -> Term:
    """Return what two lines at right angles, `apart_mm` from each other, leave open of their hole's largest size.

    With a half of the difference seen, and b that of the oval between the lines, the amplitude is sqrt(a^2 + b^2):
    the largest size is sqrt(a^2 + b^2) - a over the larger line, the smallest as much under the smaller one. b is
    anywhere up to half of `UNSEEN_OVALITY_MM`. Reckoned from the line that is a rectangle on one side, whose root mean
    square is its width / sqrt(3).
    """
    seen_mm = abs(apart_mm) / 2
    most_mm = math.hypot(seen_mm, UNSEEN_OVALITY_MM / 2) - seen_mm
    why = f"two crossed lines miss an oval between them; up to {UNSEEN_OVALITY_MM:g} mm of it, common practice"
    source = whose.shape("between lines", "oval between the lines", why, is_limit=True)
    return Term(source, most_mm / math.sqrt(3))
