"""A number that a page shows, with the estimate it is and the readings it comes from."""

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from fieldlog.quantity import value as values
from fieldlog.quantity.estimate import Figure, Interval, Step, as_figure
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.said import Said
from fieldlog.quantity.value import Value

AnyValue = Figure | Interval | Value


@dataclass(frozen=True, slots=True)
class Number:
    """One number: a word for it, what it is in full, its value and the keys of the readings behind it.

    The value is a length, a figure in another unit, or an interval. `is_change` is a difference, shown with its sign.
    `taken_mm` is what a reading counts as, where that may differ from what was typed. `steps` are what the value
    follows from, by `formula` (in words); `said` is the same in a sentence, such as the dates of an interval. `typed`
    is what stands behind it beside entries, as it was typed: a seller's figure, a check, a taped size of the hitch.
    """

    word: str
    about: str | Said
    estimate: AnyValue
    keys: tuple[str, ...]
    is_change: bool = False
    taken_mm: Mapping[str, float] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    formula: str = ""
    said: str | Said = ""
    typed: tuple[str, ...] = ()


class Texts(NamedTuple):
    """What a declared number is called on a page: its word, what it is, and its formula in words."""

    word: str
    about: str
    formula: str = ""


def page_number(numbers: Numbers, number_id: str, texts: Texts, say: Callable[[Said], str]) -> Number | None:
    """Return a number by its id as a page opens it, under these words; None where it has no value here."""
    found, how = numbers[number_id], numbers.declared(number_id)
    if isinstance(found, values.Interval):
        return Number(texts.word, texts.about, Interval(*found), ())
    if not isinstance(found, Value) or not (math.isfinite(found.value) and math.isfinite(found.plus_minus)):
        return None
    behind = numbers.behind(number_id)
    typed = tuple(say(text) if isinstance(text, Said) else text for text in behind.typed)
    is_change = how is not None and how.is_change
    return Number(texts.word, texts.about, found, behind.keys, is_change, formula=texts.formula, typed=typed)


def page_numbers(numbers: Numbers, named: Iterable[tuple[str, Texts]], say: Callable[[Said], str]) -> list[Number]:
    """Return those numbers that have a value here."""
    found = (page_number(numbers, number_id, texts, say) for number_id, texts in named)
    return [number for number in found if number is not None]


as_shown = as_figure


def in_its_unit(value: AnyValue) -> Figure | Interval:
    """Return any number that a page shows as a figure in its own unit, or as the interval it is."""
    match value:
        case Value():
            return as_figure(value)
        case _:
            return value
