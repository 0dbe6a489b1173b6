"""A number that a page shows, with the estimate it is and the readings it comes from."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from fieldlog.quantity.estimate import Estimate, Figure, FigurePart, Interval, Step, as_estimate
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said
from fieldlog.quantity.value import Value


@dataclass(frozen=True, slots=True)
class Number:
    """One number: a word for it, what it is in full, its value and the keys of the readings behind it.

    The value is a length, a figure in another unit, or an interval. `is_change` is a difference, shown with its sign.
    `taken_mm` is what a reading counts as, where that may differ from what was typed. `steps` are what the value
    follows from, by `formula` (in words); `said` is the same in a sentence, such as the dates of an interval. `typed`
    is what stands behind it beside entries, as it was typed: a seller's figure, a check, a taped size of the hitch.
    """

    word: str
    about: str
    estimate: Estimate | Figure | Interval
    keys: tuple[str, ...]
    is_change: bool = False
    taken_mm: Mapping[str, float] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    formula: str = ""
    said: str = ""
    typed: tuple[str, ...] = ()


class Texts(NamedTuple):
    """What a declared number is called on a page: its word, what it is, and its formula in words."""

    word: str
    about: str
    formula: str = ""


def as_shown(value: Value) -> Figure:
    """Return a value as a page shows it, its budget's rows as parts."""
    parts = tuple(
        FigurePart(row.source.label, row.u, row.dof, row.source.why, is_limit=row.source.is_limit) for row in value.rows
    )
    return Figure(value.value, value.unit, parts, value.whole_dof)


def as_estimate_of(value: Value) -> Estimate:
    """Return a length as an estimate, as it is written."""
    return as_estimate(as_shown(value))


def page_number(numbers: Numbers, number_id: str, texts: Texts, say: Callable[[Said], str]) -> Number | None:
    """Return a number by its id as a page opens it, under these words; None where it has no value here."""
    found, how = numbers[number_id], numbers.declared(number_id)
    if not isinstance(found, Value):
        return None
    figure = as_shown(found)
    if not (math.isfinite(figure.value) and math.isfinite(figure.expanded)):
        return None
    behind = numbers.behind(number_id)
    typed = tuple(say(text) if isinstance(text, Said) else text for text in behind.typed)
    is_change = how is not None and how.is_change
    return Number(texts.word, texts.about, figure, behind.keys, is_change, formula=texts.formula, typed=typed)
