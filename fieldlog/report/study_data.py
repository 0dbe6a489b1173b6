"""A gauge study as data."""

import math
from collections.abc import Mapping

from fieldlog.measure.gauge_study import Spread
from fieldlog.measure.hands import hands_of, study_result
from fieldlog.records.study import Study, counted, plan
from fieldlog.report.number_data import numbers_data
from fieldlog.wear.study_numbers import study_numbers

_DIGITS = 6


def study_data(study: Study) -> Mapping[str, object]:
    """Return a study's plan, how far it is, and what it found (None while it is unfinished)."""
    result = study_result(study)
    return {
        "id": study.id,
        "date": study.date.isoformat(),
        "instrument": study.instrument,
        "people": list(study.people_ids),
        "holes": list(study.hole_names),
        "trials": study.trials,
        "done": len(counted(study)),
        "planned": len(plan(study)),
        "result": None
        if result is None
        else {
            "smallest_change_mm": round(result.smallest_change_mm(), _DIGITS),
            "smallest_change_between_people_mm": round(result.smallest_change_mm(same_person=False), _DIGITS),
            "numbers": numbers_data(study_numbers(study)),
            "by_variance": _spread(result.by_anova),
            "by_ranges": _spread(result.by_ranges) if result.by_ranges is not None else None,
            "people": [
                {"person": hands.who, "repeatability_mm": round(hands.repeatability_mm, _DIGITS), "dof": hands.dof}
                for hands in hands_of((study,))
            ],
        },
    }


def _spread(spread: Spread) -> Mapping[str, object]:
    return {
        "repeatability_mm": round(spread.repeatability_mm, _DIGITS),
        "reproducibility_mm": round(spread.reproducibility_mm, _DIGITS),
        "hands_and_tool_mm": round(spread.gauge_mm, _DIGITS),
        "holes_mm": round(spread.holes_mm, _DIGITS),
        "categories": math.floor(spread.categories) if math.isfinite(spread.categories) else None,
    }
