"""A hole's faces against each other: taper, bell-mouth, barrel, one face only, with the doubt counted.

Faces are compared along the same line, because a bore wears in one direction: the line where they differ most is
taken, and a difference counts as proved only against the chance of the largest of all that were compared.

The metal left beside a hole, edge to edge at points of the clock: it tells which wall wore; a diameter cannot.

Faces are compared along one line, the one where they differ most, at 5 % over all the comparisons that could have
been picked (Bonferroni). What both faces share, such as one caliper's limit, cancels.

Opposite walls have one scatter, pooled over the round: as two parts its degrees of freedom would count twice.
"""

import datetime
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from fieldlog.measure.checks import common_terms, worth_of
from fieldlog.measure.hole import FACES, FaceShape, HoleSize, LineGroup, Seen, growth
from fieldlog.measure.instruments import UNKNOWN_CALIPER, Scatter, mean, pooled_scatter, scatter_term, step_mm
from fieldlog.measure.suspect import fineness_of
from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.source import Term, scatter
from fieldlog.quantity.value import Value, difference_named
from fieldlog.records.clock import point_deg
from fieldlog.records.entries import BoreReading, Face, LigamentReading
from fieldlog.records.machine import Instrument

_PAIRS: tuple[tuple[Face, Face], ...] = (("near", "middle"), ("far", "middle"), ("near", "far"))
_SIGNIFICANCE = 0.05


class Pattern(StrEnum):
    """How a bore runs in depth."""

    BELL = "bell-mouthed"
    BARREL = "barrel"
    TAPER_NEAR = "tapered, near face larger"
    TAPER_FAR = "tapered, far face larger"
    NEAR_ONLY = "near face alone larger"
    FAR_ONLY = "far face alone larger"
    NEAR_TIGHT = "near face alone smaller"
    FAR_TIGHT = "far face alone smaller"
    ALIKE = "alike within error"


Lines = dict[float, tuple[LineGroup, LineGroup]]


@dataclass(frozen=True, slots=True)
class Gap:
    """One face less another along one line. `sign` is +1 proved larger, -1 proved smaller, 0 neither."""

    first: Face
    second: Face
    clock: str
    size: Value
    sign: int
    keys: tuple[str, ...]

    @property
    def name(self) -> str:
        """As 'near - middle'."""
        return f"{self.first} - {self.second}"


@dataclass(frozen=True, slots=True)
class Tools:
    """Which instrument each reading of a day was made with, by the reading's key."""

    day: datetime.date
    by_key: Mapping[str, Instrument]

    def of(self, keys: Sequence[str]) -> frozenset[Instrument]:
        """Return the instruments of some readings."""
        return frozenset(self.by_key[key] for key in keys)


@dataclass(frozen=True, slots=True)
class DepthShape:
    """The differences between the faces that were measured, and the pattern they make."""

    gaps: tuple[Gap, ...]
    pattern: Pattern
    missing: str = ""


def depth_shape(
    size: HoleSize, readings: Sequence[BoreReading], instruments: Mapping[str, Instrument]
) -> DepthShape | None:
    """Compare the faces of one measuring; None when only one was measured. `readings` are those behind the size.

    The difference of two line means has u = s sqrt(1/n1 + 1/n2), s pooled over all repeats of the hole and at least
    step / sqrt(12). What both faces share, such as the error of the one caliper used, cancels; what only one has,
    such as another gauge's, counts.
    """
    faces = {face.face: face for face in size.faces}
    if len(faces) < 2:
        return None
    pairs = [(a, b) for a, b in _PAIRS if a in faces and b in faces]
    shared = {(a, b): _shared(faces[a], faces[b]) for a, b in pairs}
    compared = sum(len(lines) for lines in shared.values())
    if not compared:
        both = " and ".join(faces)
        return DepthShape((), Pattern.ALIKE, f"{both} face have no line in common; measure both at 12 and 3")
    groups = [group.sizes_mm for face in size.faces for group in face.groups]
    fineness = fineness_of(readings, instruments)
    found = pooled_scatter(groups, fineness.usual_mm, fineness.step_mm / 12**0.5)
    tools = Tools(size.day, {r.key: instruments.get(r.instrument, UNKNOWN_CALIPER) for r in readings})
    factor = t_quantile(1 - _SIGNIFICANCE / (2 * compared), found.dof)
    line = _widest_line(size.faces, list(shared.values()))
    gaps = tuple(
        _gap((faces[a], faces[b]), lines.get(line) or _widest_pair(lines), tools, (found, factor))
        for (a, b), lines in shared.items()
        if lines
    )
    pattern = _pattern({(gap.first, gap.second): gap.sign for gap in gaps})
    return DepthShape(gaps, pattern, _missing(faces, pattern))


def _missing(faces: Collection[Face], pattern: Pattern) -> str:
    unseen = [face for face in FACES if face not in faces]
    if pattern is Pattern.ALIKE or not unseen:
        return ""
    where = "in the middle" if unseen[0] == "middle" else f"at the {unseen[0]} face"
    return f"measure {where} too, to tell a taper from one worn face"


def _gap(
    faces: tuple[FaceShape, FaceShape], lines: tuple[LineGroup, LineGroup], tools: Tools, doubt: tuple[Scatter, float]
) -> Gap:
    (first, second), (one, other), (found, factor) = faces, lines, doubt
    size = _difference(lines, tools, found)
    is_proved = abs(size.value) > factor * size.u
    sign = (1 if size.value > 0 else -1) if is_proved else 0
    return Gap(first.face, second.face, one.clock, size, sign, (*one.keys, *other.keys))


def _shared(first: FaceShape, second: FaceShape) -> Lines:
    others = {group.angle_deg: group for group in second.groups}
    return {g.angle_deg: (g, others[g.angle_deg]) for g in first.groups if g.angle_deg in others}


def _widest_line(faces: Sequence[FaceShape], shared: Sequence[Lines]) -> float:
    """Return the line along which the faces differ most, of those that most pairs share."""
    angles = {angle for lines in shared for angle in lines}

    def spread(angle: float) -> tuple[int, float]:
        means = [group.mean_mm for face in faces for group in face.groups if group.angle_deg == angle]
        return len(means), max(means) - min(means)

    return max(sorted(angles), key=spread)


def _widest_pair(lines: Lines) -> tuple[LineGroup, LineGroup]:
    return max(lines.values(), key=lambda two: abs(two[0].mean_mm - two[1].mean_mm))


def _difference(lines: tuple[LineGroup, LineGroup], tools: Tools, found: Scatter) -> Value:
    one, other = lines
    u_mm = found.sd_mm * (1 / len(one.sizes_mm) + 1 / len(other.sizes_mm)) ** 0.5
    label = f"scatter of the readings at {one.clock}, both faces"
    both = scatter(f"{one.keys[0]} less {other.keys[0]}", u_mm, found.dof, label=label, why=found.source)
    alone = tools.of(one.keys) ^ tools.of(other.keys)
    terms = [
        term
        for tool in sorted(alone, key=lambda t: t.id)
        for term in common_terms(tool, "inside", tools.day, one.mean_mm)
    ]
    return Value(one.mean_mm - other.mean_mm, "mm", (both, *terms))


def _pattern(signs: dict[tuple[Face, Face], int]) -> Pattern:
    """Return the pattern from the proved signs of near - middle, far - middle and near - far."""
    across = signs.get(("near", "far"), 0)
    tapers = {1: Pattern.TAPER_NEAR, -1: Pattern.TAPER_FAR, 0: Pattern.ALIKE}
    near, far = signs.get(("near", "middle")), signs.get(("far", "middle"))
    if near is None or far is None:
        return _two_faces(near, far, across)
    if near and near == far:
        return Pattern.BELL if near > 0 else Pattern.BARREL
    if near and far:
        return tapers[near]
    if near:
        return Pattern.NEAR_ONLY if near > 0 else Pattern.NEAR_TIGHT
    if far:
        return Pattern.FAR_ONLY if far > 0 else Pattern.FAR_TIGHT
    return tapers[across]


def _two_faces(near: int | None, far: int | None, across: int) -> Pattern:
    """Return the pattern where one face is missing; two faces cannot tell taper from one worn face."""
    if near is not None:
        return {1: Pattern.NEAR_ONLY, -1: Pattern.NEAR_TIGHT, 0: Pattern.ALIKE}[near]
    if far is not None:
        return {1: Pattern.FAR_ONLY, -1: Pattern.FAR_TIGHT, 0: Pattern.ALIKE}[far]
    return {1: Pattern.TAPER_NEAR, -1: Pattern.TAPER_FAR, 0: Pattern.ALIKE}[across]


POINTS = ("12", "6", "3", "9")


@dataclass(frozen=True, slots=True)
class Wall:
    """The metal at one point as measured in one round."""

    clock: str
    point_deg: float
    size: Value
    keys: tuple[str, ...]
    day: datetime.date
    who: str


@dataclass(frozen=True, slots=True)
class WallGap:
    """One wall less another, or less itself at first; `is_proved` when chance does not give it."""

    clock: str
    other: str
    size: Value
    keys: tuple[str, ...]

    @property
    def is_proved(self) -> bool:
        """True when the whole 95 % interval is on one side of zero."""
        return abs(self.size.value) > self.size.plus_minus


def walls_of(readings: Sequence[LigamentReading], instruments: Mapping[str, Instrument]) -> tuple[Wall, ...]:
    """Return the walls measured in one round, clockwise from 12."""
    if not readings:
        return ()
    points: dict[float, list[LigamentReading]] = {}
    for reading in readings:
        points.setdefault(point_deg(reading.clock), []).append(reading)
    used = [(reading, instruments.get(reading.instrument, UNKNOWN_CALIPER)) for reading in readings]
    triples = [(tool, float(reading.size.mm), step_mm(reading.size, tool)) for reading, tool in used]
    first = readings[0]
    whose = f"{first.round or first.day.isoformat()}/{first.hole}/metal"
    worth = worth_of(triples, "outside", first.day, whose)
    sizes = {point: [float(reading.size.mm) for reading in group] for point, group in points.items()}
    found = pooled_scatter(list(sizes.values()), worth.usual_mm)
    walls = []
    for point, group in sorted(points.items()):
        clock = group[0].clock.typed
        label, counted = f"scatter of the metal at {clock}", (len(group), worth.step_mm)
        own = scatter_term(f"{whose}/{point:g}", label, found, counted, pool=whose)
        size = Value(mean(sizes[point]), "mm", (own, *worth.terms))
        walls.append(Wall(clock, point, size, tuple(reading.key for reading in group), first.day, first.who))
    return tuple(walls)


def opposite_gaps(walls: Sequence[Wall]) -> tuple[WallGap, ...]:
    """Return each wall less its opposite, thicker ones left out as the other of the pair.

    The caliper's own error is in both and cancels; their scatter is one figure, pooled over the whole round.
    """
    at = {wall.point_deg: wall for wall in walls}
    gaps = []
    for point, wall in at.items():
        other = at.get((point + 180) % 360)
        if other is None or point >= 180:
            continue
        thin, thick = sorted((wall, other), key=lambda w: w.size.value)
        words = f"scatter of the metal at {thin.clock} and {thick.clock}"
        sizes = [(_with_scatter(one.size, words), f"at {one.clock}") for one in (thin, thick)]
        gap = difference_named(sizes[0], sizes[1])
        gaps.append(WallGap(thin.clock, thick.clock, gap, (*thin.keys, *thick.keys)))
    return tuple(gaps)


def _with_scatter(size: Value, label: str) -> Value:
    """Return a size with its scatter under the label of both walls: it is one pool, and one row of the budget."""

    def told(term: Term) -> Term:
        return term.called(label) if term.source.pool else term

    return Value(size.value, size.unit, tuple([told(term) for term in size.terms]))


def gaps_since(first: Sequence[Wall], now: Sequence[Wall]) -> tuple[WallGap, ...]:
    """Return each wall less the same wall as first measured; another caliper counts in full."""
    before = {wall.point_deg: wall for wall in first}
    pairs = [(wall, before[wall.point_deg]) for wall in now if wall.point_deg in before]
    return tuple(
        WallGap(
            wall.clock,
            wall.clock,
            growth(Seen(wall.size, wall.day, wall.who), Seen(then.size, then.day, then.who)),
            (*then.keys, *wall.keys),
        )
        for wall, then in pairs
    )
