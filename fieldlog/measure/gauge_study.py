"""A gauge study: several people measure the same holes several times, and what the hands and the tool add shows.

Repeatability is what one person with one tool scatters; reproducibility is what people differ from each other.
Both are worked out two ways, as the measurement systems analysis manual of the motor industry (AIAG MSA, 4th
ed.) does: by a two-way analysis of variance and by ranges. The first is believed; the second can be checked
with a pencil.

How sure a standard deviation is that was found from few readings, at 95 %: intervals of variances and their sums.

What a gauge study says about one person with one instrument, as parts of the doubt of what he measures.

A standard deviation from few trials has no half-width (`measure/gauge_study.py`): chi-square for a mean square alone,
modified large-sample intervals for sums and differences of two, none where people by holes is significant.

A gauge study feeds the doubt through `Instrument.hands`, put there by the reader as checks are. A person's own
scatter is pooled with the day's repeats unless those are wider by an F test; how far people lie apart is weighed with
the usual figure, since two people tell little. The interaction is pooled when it is not significant at 5 %.
"""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.errors import MeasureError
from fieldlog.measure.instruments import USUAL_BETWEEN_PEOPLE_MM
from fieldlog.quantity.distributions import f_cdf, f_quantile, normal_quantile, t_quantile
from fieldlog.records.checks import Study, readings_mm
from fieldlog.records.machine import Hands

FEWEST_PEOPLE = 1
FEWEST_HOLES = 2
FEWEST_TRIALS = 2
POOL_ABOVE = 0.05  # an interaction less significant than this is taken for scatter: AIAG MSA, from memory
NDC_FACTOR = math.sqrt(2)  # AIAG MSA prints 1.41

# mean range of n normal values over their standard deviation (d2), and the same for one sample only (d2*): Duncan,
# Quality Control and Industrial Statistics, table D3, from memory; tested against numerical integration
_D2 = MappingProxyType(
    {2: 1.12838, 3: 1.69257, 4: 2.05875, 5: 2.32593, 6: 2.53441, 7: 2.70436, 8: 2.84720, 9: 2.97003, 10: 3.07751}
)
_D2_ONE_SAMPLE = MappingProxyType(
    {2: 1.41421, 3: 1.91155, 4: 2.23887, 5: 2.48124, 6: 2.67253, 7: 2.82981, 8: 2.96288, 9: 3.07794, 10: 3.17905}
)

# readings[person][hole] are the trials in mm, as many for everybody at every hole
Readings = Sequence[Sequence[Sequence[float]]]


@dataclass(frozen=True, slots=True)
class AnovaRow:
    """One line of the analysis of variance: sum of squares in mm2 and its degrees of freedom."""

    sum_mm2: float
    dof: int

    @property
    def mean_mm2(self) -> float:
        """Mean square; 0 without degrees of freedom."""
        return self.sum_mm2 / self.dof if self.dof else 0.0


@dataclass(frozen=True, slots=True)
class Anova:
    """People, holes, people by holes, repeats. `p_interaction` is the chance of such an interaction by luck alone.

    It is None where it cannot be told: one person only, or repeats without any scatter.
    """

    people: AnovaRow
    holes: AnovaRow
    interaction: AnovaRow
    repeats: AnovaRow
    p_interaction: float | None

    @property
    def is_pooled(self) -> bool:
        """True when the interaction is not significant and counts as scatter."""
        return self.p_interaction is None or self.p_interaction > POOL_ABOVE

    @property
    def scatter(self) -> AnovaRow:
        """What repeatability is taken from."""
        if not self.is_pooled:
            return self.repeats
        return AnovaRow(self.repeats.sum_mm2 + self.interaction.sum_mm2, self.repeats.dof + self.interaction.dof)


@dataclass(frozen=True, slots=True)
class Spread:
    """Standard deviations in mm: of repeats, between people, of both together, between the holes; and of all."""

    repeatability_mm: float
    reproducibility_mm: float
    holes_mm: float

    @property
    def gauge_mm(self) -> float:
        """Hands and tool together."""
        return math.hypot(self.repeatability_mm, self.reproducibility_mm)

    @property
    def total_mm(self) -> float:
        """Everything together."""
        return math.hypot(self.gauge_mm, self.holes_mm)

    @property
    def categories(self) -> float:
        """How many sizes the study could tell apart among its holes, not rounded down; infinite without scatter."""
        return NDC_FACTOR * self.holes_mm / self.gauge_mm if self.gauge_mm > 0 else math.inf


@dataclass(frozen=True, slots=True)
class GaugeStudy:
    """What a study found, by analysis of variance and by ranges (None where ranges have no constants)."""

    n_people: int
    n_holes: int
    n_trials: int
    anova: Anova
    by_anova: Spread
    by_ranges: Spread | None

    @property
    def repeatability_dof(self) -> int:
        """Degrees of freedom of the repeatability."""
        return self.anova.scatter.dof

    def smallest_change_mm(self, n_readings: int = 1, *, same_person: bool = True) -> float:
        """Return the least change between two days that is more than luck, at 95 %.

        Each day is the mean of `n_readings`. With one person his own level drops out of the difference; with
        two it stays in. Formula: t times the square root of 2 times the variance of one day; t at the degrees
        of freedom of the repeatability, the normal 1.96 once two people's levels are in it, since theirs are
        too few to tell (trade practice reckons with 1.96 throughout).
        """
        if n_readings < 1:
            raise MeasureError("A day has at least one reading.")
        variance = self.by_anova.repeatability_mm**2 / n_readings
        if not same_person:
            variance += self.by_anova.reproducibility_mm**2
        factor = t_quantile(0.975, float(self.repeatability_dof)) if same_person else normal_quantile(0.975)
        return factor * math.sqrt(2 * variance)


def gauge_study(readings: Readings) -> GaugeStudy:
    """Return what a complete study says; `readings[person][hole]` are the trials in mm.

    At least one person, two holes and two trials, and as many trials for everybody at every hole: anything
    else is refused with what is missing. Source: AIAG MSA, 4th ed., chapter III.
    """
    n_people, n_holes, n_trials = _checked_shape(readings)
    anova = _anova(readings, n_people, n_holes, n_trials)
    return GaugeStudy(
        n_people,
        n_holes,
        n_trials,
        anova,
        _spread_by_anova(anova, n_people, n_holes, n_trials),
        _spread_by_ranges(readings, n_people, n_holes, n_trials),
    )


def _checked_shape(readings: Readings) -> tuple[int, int, int]:
    n_people = len(readings)
    n_holes = len(readings[0]) if readings else 0
    n_trials = len(readings[0][0]) if n_holes else 0
    if n_people < FEWEST_PEOPLE or n_holes < FEWEST_HOLES or n_trials < FEWEST_TRIALS:
        raise MeasureError(
            f"A gauge study needs somebody who measures at least {FEWEST_HOLES} holes {FEWEST_TRIALS} times each; "
            f"there are {n_people} people, {n_holes} holes, {n_trials} trials."
        )
    if any(len(person) != n_holes or any(len(hole) != n_trials for hole in person) for person in readings):
        raise MeasureError("Everybody measures every hole as many times: some trials are missing or too many.")
    if not all(math.isfinite(value) for person in readings for hole in person for value in hole):
        raise MeasureError("A trial is no number.")
    return n_people, n_holes, n_trials


def _mean(values: Sequence[float]) -> float:
    return math.fsum(values) / len(values)


def _anova(readings: Readings, n_people: int, n_holes: int, n_trials: int) -> Anova:
    cells = [[_mean(hole) for hole in person] for person in readings]
    by_person = [_mean(person) for person in cells]
    by_hole = [_mean([person[hole] for person in cells]) for hole in range(n_holes)]
    grand = _mean(by_person)
    people = n_holes * n_trials * math.fsum((level - grand) ** 2 for level in by_person)
    holes = n_people * n_trials * math.fsum((level - grand) ** 2 for level in by_hole)
    crossed = n_trials * math.fsum(
        (cells[p][h] - by_person[p] - by_hole[h] + grand) ** 2 for p in range(n_people) for h in range(n_holes)
    )
    repeats = math.fsum(
        (value - cells[p][h]) ** 2 for p in range(n_people) for h in range(n_holes) for value in readings[p][h]
    )
    interaction = AnovaRow(crossed, (n_people - 1) * (n_holes - 1))
    row = AnovaRow(repeats, n_people * n_holes * (n_trials - 1))
    return Anova(
        AnovaRow(people, n_people - 1), AnovaRow(holes, n_holes - 1), interaction, row, _p_value(interaction, row)
    )


def _p_value(interaction: AnovaRow, repeats: AnovaRow) -> float | None:
    if not interaction.dof:
        return None
    if repeats.sum_mm2 <= 0:
        return None if interaction.sum_mm2 <= 0 else 0.0
    return 1 - f_cdf(interaction.mean_mm2 / repeats.mean_mm2, interaction.dof, repeats.dof)


def _spread_by_anova(anova: Anova, n_people: int, n_holes: int, n_trials: int) -> Spread:
    """Solve the expected mean squares for the variances, none below 0."""
    scatter = anova.scatter.mean_mm2
    against = scatter if anova.is_pooled else anova.interaction.mean_mm2
    crossed = 0.0 if anova.is_pooled else max(anova.interaction.mean_mm2 - scatter, 0.0) / n_trials
    people = max(anova.people.mean_mm2 - against, 0.0) / (n_holes * n_trials) if n_people > 1 else 0.0
    holes = max(anova.holes.mean_mm2 - against, 0.0) / (n_people * n_trials)
    return Spread(math.sqrt(scatter), math.sqrt(people + crossed), math.sqrt(holes))


def _spread_by_ranges(readings: Readings, n_people: int, n_holes: int, n_trials: int) -> Spread | None:
    """Divide mean ranges by d2 and single ranges by d2*, as the worksheet of AIAG MSA does; None past its tables."""
    known: Mapping[int, float] = _D2_ONE_SAMPLE
    if n_trials not in _D2 or n_holes not in known or (n_people > 1 and n_people not in known):
        return None
    mean_range = _mean([max(hole) - min(hole) for person in readings for hole in person])
    repeatability = mean_range / _D2[n_trials]
    levels = [_mean([value for hole in person for value in hole]) for person in readings]
    of_holes = [_mean([value for person in readings for value in person[hole]]) for hole in range(n_holes)]
    reproducibility = 0.0
    if n_people > 1:
        between = (max(levels) - min(levels)) / known[n_people]
        reproducibility = math.sqrt(max(between**2 - repeatability**2 / (n_holes * n_trials), 0.0))
    return Spread(repeatability, reproducibility, (max(of_holes) - min(of_holes)) / known[n_holes])


_TAIL = 0.025
_ENDLESS = 1e9  # degrees of freedom of a denominator that is known


class SpreadInterval(NamedTuple):
    """A standard deviation, and from where to where it may be."""

    best: float
    lower: float
    upper: float


def chi_square_quantile(p: float, dof: float) -> float:
    """Return the point of the chi-square distribution with the share `p` below it, for 1 degree of freedom or more."""
    return dof * f_quantile(p, dof, _ENDLESS)


def sd_interval(sd: float, dof: float) -> SpreadInterval:
    """Return the interval of a standard deviation: s root(dof / chi-square), of readings that scatter like a bell."""
    low, high = (math.sqrt(dof / chi_square_quantile(p, dof)) for p in (1 - _TAIL, _TAIL))
    return SpreadInterval(sd, sd * low, sd * high)


def sum_interval(first: AnovaRow, second: AnovaRow, factors: tuple[float, float]) -> SpreadInterval:
    """Return the interval of root(c1 MS1 + c2 MS2), both factors 0 or more (Graybill & Wang)."""
    rows = list(zip((first, second), factors, strict=True))
    best = math.fsum(factor * row.mean_mm2 for row, factor in rows)
    below = math.hypot(*(factor * _g(row.dof) * row.mean_mm2 for row, factor in rows))
    above = math.hypot(*(factor * _h(row.dof) * row.mean_mm2 for row, factor in rows))
    return _roots(best, best - below, best + above)


def difference_interval(first: AnovaRow, second: AnovaRow, factor: float) -> SpreadInterval:
    """Return the interval of root(c (MS1 - MS2)), nought where the difference is below it (Ting et al.)."""
    one, two = first.mean_mm2, second.mean_mm2
    g1, h1, g2, h2 = _g(first.dof), _h(first.dof), _g(second.dof), _h(second.dof)
    most, least = (f_quantile(p, first.dof, second.dof) for p in (1 - _TAIL, _TAIL))
    g12 = ((most - 1) ** 2 - (g1 * most) ** 2 - h2**2) / most
    h12 = ((1 - least) ** 2 - (h1 * least) ** 2 - g2**2) / least
    below = (g1 * one) ** 2 + (h2 * two) ** 2 + g12 * one * two
    above = (h1 * one) ** 2 + (g2 * two) ** 2 + h12 * one * two
    best = one - two
    return _roots(
        factor * best, factor * (best - math.sqrt(max(below, 0.0))), factor * (best + math.sqrt(max(above, 0.0)))
    )


def _g(dof: float) -> float:
    return 1 - dof / chi_square_quantile(1 - _TAIL, dof)


def _h(dof: float) -> float:
    return dof / chi_square_quantile(_TAIL, dof) - 1


def _roots(best: float, lower: float, upper: float) -> SpreadInterval:
    return SpreadInterval(*(math.sqrt(max(value, 0.0)) for value in (best, lower, upper)))


_USUAL_DOF = 8  # the usual figure is believed like so many degrees of freedom (GUM G.4.2: known to 25 %)


def study_result(study: Study) -> GaugeStudy | None:
    """Return what a study found, None while it is unfinished or too small."""
    readings = readings_mm(study)
    if readings is None:
        return None
    try:
        return gauge_study(readings)
    except MeasureError:
        return None


def hands_of(studies: Iterable[Study]) -> tuple[Hands, ...]:
    """Return everybody's hands with every instrument; a later study takes the place of an earlier one."""
    found: dict[tuple[str, str], Hands] = {}
    for study in sorted(studies, key=lambda study: (study.date, study.id)):
        result, readings = study_result(study), readings_mm(study)
        if result is None or readings is None:
            continue
        between_mm, between_dof = _between(result)
        for who, holes in zip(study.people_ids, readings, strict=True):
            scatter_mm, dof = _own_scatter(holes)
            hands = Hands(who, study.instrument, study.date, scatter_mm, dof, between_mm, between_dof)
            found[who, study.instrument] = hands
    return tuple(found.values())


def _own_scatter(holes: list[list[float]]) -> tuple[float, int]:
    """Return the pooled standard deviation of one person's repeats and its degrees of freedom."""
    dof = sum(len(trials) - 1 for trials in holes)
    squares = math.fsum((value - math.fsum(trials) / len(trials)) ** 2 for trials in holes for value in trials)
    return math.sqrt(squares / dof), dof


def _between(result: GaugeStudy) -> tuple[float, int]:
    """Return how far people's levels lie apart, the usual figure and the study's weighed by degrees of freedom."""
    own = result.n_people - 1
    squares = _USUAL_DOF * USUAL_BETWEEN_PEOPLE_MM**2 + own * result.by_anova.reproducibility_mm**2
    return math.sqrt(squares / (_USUAL_DOF + own)), _USUAL_DOF + own
