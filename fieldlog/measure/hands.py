"""What a gauge study says about one person with one instrument, as parts of the doubt of what he measures."""

import math
from collections.abc import Iterable

from fieldlog.errors import MeasureError
from fieldlog.measure.gauge_study import GaugeStudy, gauge_study
from fieldlog.measure.instruments import USUAL_BETWEEN_PEOPLE_MM
from fieldlog.records.hands import Hands
from fieldlog.records.study import Study, readings_mm

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
