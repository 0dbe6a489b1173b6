"""A number opened up, as data: value, doubt with its parts, what it follows from, and the keys of its readings."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.figure import Figure, Interval, Step, as_figure
from fieldlog.report.narrowing import widest_source
from fieldlog.wear.numbers import Number
from fieldlog.wear.page_numbers import Ground, joint_answers, season_page

Data = Mapping[str, object]
_DIGITS = 9  # rates are small


class OneByOne(list[Data]):
    """A list whose items are made while it is written out, once: those of a large logbook fill no memory together."""

    def __init__(self, items: Iterator[Data]) -> None:
        super().__init__()
        self._items = items

    def __iter__(self) -> Iterator[Data]:
        return self._items

    def __bool__(self) -> bool:
        return True


def numbers_data(numbers: Sequence[Number]) -> list[Data]:
    """Return numbers in their own units, lengths in mm; an infinite number of degrees of freedom is null.

    Readings that stand under an earlier number already are named by its word.
    """
    first: dict[tuple[str, ...], str] = {}
    found: list[Data] = []
    for number in numbers:
        known = first.setdefault(number.keys, number.word) if number.keys else number.word
        same = {"readings": [], "readings_of": known} if known != number.word else {"readings": list(number.keys)}
        found.append({**_opened(number), **same})
    return found


def opened_data(grounds: Iterable[Ground]) -> list[Data]:
    """Return what is said of wear over time joint by joint, opened up, and of the season."""
    made = _joints(grounds)
    first = next(made, None)
    return OneByOne(chain([first], made)) if first is not None else []


def _joints(grounds: Iterable[Ground]) -> Iterator[Data]:
    for ground in grounds:
        for joint in ground.state.joints:
            yield {
                "machine": ground.state.machine.id,
                "joint": joint.joint.id,
                "numbers": numbers_data(joint_answers(joint, ground)),
                "season": numbers_data(season_page(joint.joint.id, ground)),
            }


def _opened(number: Number) -> Data:
    value = as_figure(number.estimate) if isinstance(number.estimate, Estimate) else number.estimate
    return {
        "word": number.word,
        "about": number.about,
        "said": number.said,
        **_value(value),
        **(_parts(value) if isinstance(value, Figure) else {}),
        "steps": [_step(step) for step in number.steps],
        "formula": number.formula,
        "typed": list(number.typed),
    }


def _value(value: Figure | Interval) -> Data:
    if isinstance(value, Interval):
        ends = {"lower": _finite(value.lower), "upper": _finite(value.upper)}
        return {"value": _finite(value.best), "unit": value.unit, **ends}
    found: dict[str, object] = {"value": _finite(value.value), "unit": value.unit}
    if value.parts:
        found |= {"plus_minus": _number(value.expanded), "u": _number(value.u), "dof": _finite(value.dof)}
    return found


def _parts(value: Figure) -> Data:
    rows = [
        {"name": p.name, "u": _number(p.u), "dof": _finite(p.dof), "source": p.source, "is_limit": p.is_limit}
        for p in value.parts
    ]
    widest = widest_source(value)
    narrowed = widest[0] if widest is not None else None
    return {"coverage": _number(value.coverage), "parts": rows, "narrowed_most_by": narrowed} if rows else {}


def _step(step: Step) -> Data:
    known: Data = {"text": step.value}
    if not isinstance(step.value, str):
        known = _value(as_figure(step.value) if isinstance(step.value, Estimate) else step.value)
    return {"word": step.word, **known, "what": step.what, "opens": step.opens}


def _finite(value: float) -> float | None:
    return _number(value) if math.isfinite(value) else None


def _number(value: float) -> float:
    return round(value, _DIGITS)
