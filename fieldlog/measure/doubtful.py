"""Which readings of a hole stand apart from the others, and what its repeats can say at all.

Nothing is ever left out because of a mark: the person strikes the reading, or keeps it with a reason. Readings along
different lines are compared with the oval fitted to all of them; where there is no oval, or the lines do not fit one,
each reading is compared with its repeats along the same line.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from fieldlog.errors import MeasureError
from fieldlog.measure.bore import oval_residuals
from fieldlog.measure.hole import FaceShape, HoleSize, LineGroup
from fieldlog.measure.instruments import UNKNOWN_CALIPER, step_mm, usual_repeatability_mm
from fieldlog.measure.outliers import FEWEST_SPARE, Deviation, Fit, esd_of_fit, stand_apart
from fieldlog.measure.repeats import mean
from fieldlog.measure.rounding import mm_text
from fieldlog.records.entries import BoreReading, Face
from fieldlog.records.machine import Instrument
from fieldlog.records.quantities import Units

Against = Literal["its repeats", "the oval through the others", "its one repeat"]

_OVAL_UNKNOWNS = 3
_SHARE_LOOKED_AT = 4  # one reading in four at most: with more, it is not the few that are wrong
_USUAL_TIMES = 2.0  # within twice what hands usually repeat to, a gap is worth no mark: common practice, no source


@dataclass(frozen=True, slots=True)
class Fineness:
    """How finely a hole was read: how well hands usually repeat with the instrument, and its step."""

    usual_mm: float
    step_mm: float

    @property
    def least_gap_mm(self) -> float:
        """The smallest gap that is worth a mark: four equal readings make any other one look far out."""
        return _USUAL_TIMES * max(self.usual_mm, self.step_mm)


@dataclass(frozen=True, slots=True)
class Mark:
    """A reading that stands apart. `gap_mm` is from where the other readings put it, with its sign.

    Of two readings along a line nobody can tell which one is wrong: both are marked, against "its one repeat". `place`
    says what was measured where that is not a line across a hole.
    """

    key: str
    typed: str
    clock: str
    face: Face
    gap_mm: float
    against: Against
    statistic: float
    critical: float
    count: int
    place: str = ""

    @property
    def where(self) -> str:
        """What was measured, in words that follow the size."""
        face = "" if self.face == "near" else f" ({self.face} face)"
        return self.place or f"at {self.clock}{face}"


def fineness_of(readings: Iterable[BoreReading], instruments: Mapping[str, Instrument]) -> Fineness:
    """Return the coarsest step and the widest usual scatter among the instruments used."""
    used = [(reading, instruments.get(reading.instrument, UNKNOWN_CALIPER)) for reading in readings]
    return Fineness(
        usual_mm=max(usual_repeatability_mm(instrument) for _, instrument in used),
        step_mm=max(step_mm(reading.size, instrument) for reading, instrument in used),
    )


def hole_marks(
    size: HoleSize, readings: Sequence[BoreReading], instruments: Mapping[str, Instrument]
) -> tuple[Mark, ...]:
    """Return which of the readings behind a size stand apart, each face by itself, farthest first."""
    fineness = fineness_of(readings, instruments)
    typed = {reading.key: reading.size.typed for reading in readings}
    marks = [replace(mark, typed=typed[mark.key]) for face in size.faces for mark in _face_marks(face, fineness)]
    return tuple(sorted(marks, key=lambda mark: -abs(mark.gap_mm)))


def mark_text(mark: Mark, units: Units) -> str:
    """Return what is doubtful about a reading and what to do, as a sentence without its full stop."""
    return f"the {mark.typed} {mark.where} {apart_text(mark, units)}: measure again, or strike it"


def apart_text(mark: Mark, units: Units) -> str:
    """Return how far a reading stands apart and from what."""
    gap = mm_text(abs(mark.gap_mm), units, 2 if units == "mm" else 4)
    return f"stands {gap} apart from {mark.against}"


def uses_oval(face: FaceShape) -> bool:
    """Tell whether a face's readings are compared with an oval."""
    return face.shape is not None and face.shape.fits_oval


def spare_readings(face: FaceShape) -> int:
    """Return how many readings there are beyond what is fitted to them."""
    return _spare(face.groups, is_oval=uses_oval(face))


def _spare(groups: Sequence[LineGroup], *, is_oval: bool) -> int:
    return sum(len(group.sizes_mm) for group in groups) - (_OVAL_UNKNOWNS if is_oval else len(groups))


def _face_marks(face: FaceShape, fineness: Fineness) -> list[Mark]:
    marks = marks_among(face.groups, fineness, is_oval=uses_oval(face))
    return [replace(mark, face=face.face) for mark in marks]


def marks_among(groups: Sequence[LineGroup], fineness: Fineness, *, is_oval: bool = False) -> list[Mark]:
    """Return which readings stand apart from the oval through all groups, or each from the repeats of its group.

    Groups are told apart by their angle.
    """
    spare = _spare(groups, is_oval=is_oval)
    if spare < FEWEST_SPARE:
        return []
    flat = [(group, n) for group in groups for n in range(len(group.sizes_mm))]
    sizes = [group.sizes_mm[n] for group, n in flat]
    fit = _oval_fit(flat) if is_oval else _line_fit(flat)
    most = max(1, min(len(flat) // _SHARE_LOOKED_AT, spare - FEWEST_SPARE + 1))
    steps = esd_of_fit(fit, sizes, len(flat) - spare, most)
    told = [step for step in stand_apart(steps) if abs(step.deviation.from_the_others) > fineness.least_gap_mm]
    marked = {step.index for step in told}
    found: list[Mark] = []
    for step in told:
        group, n = flat[step.index]
        repeats = [i for i, (other, _) in enumerate(flat) if other is group and i not in marked]
        against = _against(group, len(repeats), is_oval=is_oval)
        mark = Mark(
            group.keys[n], "", group.clock, "near", step.deviation.from_the_others, against,
            step.statistic, step.critical, len(flat),
        )  # fmt: skip
        found += _both(mark, group, n) if against == "its one repeat" else [mark]
    return found


def _against(group: LineGroup, good_repeats: int, *, is_oval: bool) -> Against:
    if is_oval:
        return "its repeats" if good_repeats else "the oval through the others"
    return "its repeats" if len(group.sizes_mm) > 2 else "its one repeat"


def _both(mark: Mark, group: LineGroup, n: int) -> list[Mark]:
    return [mark, replace(mark, key=group.keys[1 - n], gap_mm=-mark.gap_mm)]


def _oval_fit(flat: Sequence[tuple[LineGroup, int]]) -> Fit:
    def fit(left: Sequence[int]) -> Sequence[Deviation] | None:
        pairs = [(flat[i][0].angle_deg, flat[i][0].sizes_mm[flat[i][1]]) for i in left]
        try:
            return [Deviation(residual, leverage) for residual, leverage in oval_residuals(pairs)]
        except MeasureError:
            return None

    return fit


def _line_fit(flat: Sequence[tuple[LineGroup, int]]) -> Fit:
    def fit(left: Sequence[int]) -> Sequence[Deviation]:
        by_line: dict[float, list[float]] = {}
        for i in left:
            group, n = flat[i]
            by_line.setdefault(group.angle_deg, []).append(group.sizes_mm[n])
        lines = [by_line[flat[i][0].angle_deg] for i in left]
        return [
            Deviation(flat[i][0].sizes_mm[flat[i][1]] - mean(line), 1 / len(line))
            for i, line in zip(left, lines, strict=True)
        ]

    return fit


def about_repeats(face: FaceShape, marks: Sequence[Mark]) -> str:
    """Return in a sentence what the repeats at one face can tell about single readings."""
    if any(mark.face == face.face for mark in marks):
        return ""
    return about_groups(face.groups, spare_readings(face), "a line")


def about_groups(groups: Sequence[LineGroup], spare: int, each: str) -> str:
    """Return in a sentence what repeats without a mark can tell about single readings; `each` is what a group is of."""
    count = sum(len(group.sizes_mm) for group in groups)
    if count == 1:
        return "One reading: there is nothing to compare it with; measure again."
    if all(len(group.sizes_mm) == 1 for group in groups):
        return f"One reading {each}: nothing can be said of a single one; go round once more."
    if all(group.range_mm == 0 for group in groups):
        return "The repeats are all the same: they scatter less than the step shows, and the step is reckoned with."
    if spare < FEWEST_SPARE:
        return (
            "Too few repeats for statistics to single one out: of three readings none can ever lie farther than 1.15 "
            "standard deviations from their mean. Measure once more."
        )
    return f"None of the {count} readings stands apart from the others."
