"""Which readings stand apart from the others by more than chance: Grubbs and the generalised ESD.

One source for critical values: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1 (Grubbs, two-sided) and
1.3.5.17.3 (generalised ESD, after Rosner 1983), p = 1 - alpha / (2 m) with m readings left. ISO 16269-4:2010 takes
p = (1 - alpha / 2)^(1 / m), which differs in the third decimal. The first step of the ESD is then Grubbs's test.

Readings along different lines share a fitted oval, not a mean. Their residuals are studentised with their leverage,
and the same test holds with the number of fitted unknowns k in place of 1 (R. E. Lund, Technometrics 17, 1975).

Which readings of a hole stand apart from the others, and what its repeats can say at all.

Readings that stand apart: Grubbs and the generalised ESD with the critical values of the NIST/SEMATECH handbook (p =
1 - alpha / (2 m)); ISO 16269-4 takes (1 - alpha/2)^(1/m), which differs in the third decimal, and one source had to
be chosen. Along different lines the studentised residuals of the oval are tested with the number of unknowns in place
of 1; where there is no oval, or the lines do not fit one, those within each line. At least three readings beyond the
unknowns, or two equal ones would condemn a third: (n - 1) / sqrt(n) is 1.1547 at n = 3, the limit 1.1543. A gap
within twice the usual repeatability is no mark, since equal digits make any other one look far out. For fewer than 15
readings the later steps of the ESD are an approximation: `tests/benchmarks/doubtful_readings.py` prints what comes of
it (5 to 6 % of good days marked, a reading 0.2 mm off found on 9 days of 10 with two sweeps, on all with three).

Dixon's Q is not used. It looks at one gap in one sorted row, so it has no form for residuals along different lines;
two bad readings on one side hide each other from it; and the tables in print carry errors of up to 0.005 from the
1950s. Grubbs's critical values come from t, to any digit.
"""

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from fieldlog.errors import MeasureError
from fieldlog.measure.bore import oval_residuals
from fieldlog.measure.hole import FaceShape, HoleSize, LineGroup
from fieldlog.measure.instruments import UNKNOWN_CALIPER, mean, step_mm, usual_repeatability_mm
from fieldlog.quantity.distributions import t_quantile
from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.units import Units, length_unit
from fieldlog.records.entries import BoreReading, Face
from fieldlog.records.machine import Instrument

SIGNIFICANCE = 0.05
FEWEST_SPARE = 3  # readings beyond the unknowns; with two, two equal readings would condemn a third (n = 3)
_SAME = 1e-12  # spreads smaller than this share of the readings are float dust
_NO_SAY = 1e-9  # a reading whose leverage is this near to 1 is met by the fit whatever it is


@dataclass(frozen=True, slots=True)
class Deviation:
    """How far a reading is from what was fitted to all, and how much the fit follows it: leverage, 0 to 1."""

    residual: float
    leverage: float

    @property
    def from_the_others(self) -> float:
        """How far it is from what the other readings alone would have given."""
        return self.residual / max(1 - self.leverage, _NO_SAY)


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the test: the reading farthest out, its statistic, and what chance allows the farthest one."""

    index: int
    statistic: float
    critical: float
    deviation: Deviation


Fit = Callable[[Sequence[int]], Sequence[Deviation] | None]


def ceiling(count: int) -> float:
    """Return (n - 1) / sqrt(n), which |x - mean| / s of n readings can never exceed, whatever they are."""
    return (count - 1) / math.sqrt(count)


def studentised_critical(count: int, unknowns: int, alpha: float = SIGNIFICANCE) -> float:
    """Return what chance allows the largest |residual| / (s sqrt(1 - leverage)) of a fit, two-sided.

    sqrt(f) t / sqrt(f - 1 + t^2), f = count - unknowns, t at 1 - alpha / (2 count) with f - 1 degrees of freedom;
    f of 2 or more. No statistic exceeds sqrt(f).
    """
    spare = count - unknowns
    if spare < 2:
        raise MeasureError("Too few readings to single one out; measure again.")
    t = t_quantile(1 - alpha / (2 * count), float(spare - 1))
    return t * math.sqrt(spare / (spare - 1 + t * t))


def grubbs_critical(count: int, alpha: float = SIGNIFICANCE) -> float:
    """Return the two-sided critical value of Grubbs's test for n readings; 3 or more."""
    return studentised_critical(count, 1, alpha) * _to_plain(count)


def _to_plain(count: int) -> float:
    """Return the factor from |residual| / (s sqrt(1 - 1/n)) to |x - mean| / s."""
    return math.sqrt((count - 1) / count)


def grubbs(values: Sequence[float], alpha: float = SIGNIFICANCE) -> Step:
    """Return Grubbs's test of the value farthest from the mean; three or more values."""
    if len(values) < 3:
        raise MeasureError("Two readings cannot tell which of them is wrong; measure a third time.")
    return generalised_esd(values, 1, alpha)[0]


def generalised_esd(values: Sequence[float], most: int, alpha: float = SIGNIFICANCE) -> tuple[Step, ...]:
    """Return the steps of the generalised ESD test for up to `most` values that stand apart from the mean.

    Each step takes the value farthest from the mean of what is left; see `stand_apart`.
    """

    def fit(left: Sequence[int]) -> Sequence[Deviation]:
        centre = mean([values[i] for i in left])
        return [Deviation(values[i] - centre, 1 / len(left)) for i in left]

    steps = esd_of_fit(fit, values, 1, most, alpha)
    factors = [_to_plain(len(values) - number) for number in range(len(steps))]
    return tuple(
        Step(step.index, step.statistic * factor, step.critical * factor, step.deviation)
        for step, factor in zip(steps, factors, strict=True)
    )


def esd_of_fit(
    fit: Fit, values: Sequence[float], unknowns: int, most: int, alpha: float = SIGNIFICANCE
) -> tuple[Step, ...]:
    """Return the steps of the generalised ESD test on the studentised residuals of a fit.

    Args:
        fit: returns the deviations of the readings left, given their indices; None when they do not make a fit.
        values: the readings.
        unknowns: how many numbers are fitted.
        most: how many steps at most; it stops earlier when too few readings are left.
        alpha: the chance of singling out any reading of a set that holds none that is wrong.
    """
    left = list(range(len(values)))
    scale = max((abs(value) for value in values), default=0.0)
    steps: list[Step] = []
    while len(steps) < most and len(left) - unknowns >= 2:
        deviations = fit(left)
        if deviations is None:
            break
        spread = math.sqrt(math.fsum(d.residual**2 for d in deviations) / (len(left) - unknowns))
        sizes = [_studentised(d, spread, scale) for d in deviations]
        place = max(range(len(left)), key=lambda i: sizes[i])
        critical = studentised_critical(len(left), unknowns, alpha)
        steps.append(Step(left[place], sizes[place], critical, deviations[place]))
        del left[place]
    return tuple(steps)


def _studentised(deviation: Deviation, spread: float, scale: float) -> float:
    if spread <= _SAME * scale or 1 - deviation.leverage < _NO_SAY:
        return 0.0
    return abs(deviation.residual) / (spread * math.sqrt(1 - deviation.leverage))


def stand_apart(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the steps up to the last that exceeds what chance allows.

    Not up to the first that does not: two readings that are wrong together hide each other at first (masking).
    """
    last = max((number for number, step in enumerate(steps, 1) if step.statistic > step.critical), default=0)
    return tuple(steps[:last])


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
    gap = mm_text(abs(mark.gap_mm), units, length_unit(units).caliper)
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
