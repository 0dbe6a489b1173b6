"""Numbers of hitches, offers and repairs as they are opened up: what each rests on, entry by entry, word by word."""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from fieldlog.measure.figure import Figure
from fieldlog.retrofit.carried import Carried, Measure, Values, carried, typed_of
from fieldlog.retrofit.plane import CannotReach
from fieldlog.wear.numbers import Number

Answer = Callable[[Values], float | CannotReach]


def opened(word: str, about: str, value: Figure, behind: Iterable[Measure], *, is_change: bool = False) -> Number:
    """Return a number with the entries of all figures behind it and what was typed of them, none said twice."""
    figures = tuple(behind)
    keys = tuple(dict.fromkeys(key for figure in figures for key in figure.keys))
    return Number(word, about, value, keys, is_change=is_change, typed=typed_of(figures))


def of_carried(word: str, about: str, found: Carried, unit: str = "mm") -> Number:
    """Return an answer that figures were carried into; what weighs most stands first."""
    return opened(word, about, found.figure(unit), (share.figure for share in found.shares))


def less(word: str, about: str, first: Measure, second: Measure) -> Number:
    """Return one length less another, the two being independent."""
    gap = Figure(first.value - second.value, first.unit, (*first.parts, *second.parts))
    return opened(word, about, gap, (first, second), is_change=True)


@dataclass(frozen=True, slots=True)
class Opener:
    """Carries the same figures into one answer after the other; an answer that cannot be reached has no number."""

    figures: Mapping[str, Measure]

    def number(self, word: str, about: str, unit: str, answer: Answer, formula: str = "") -> Iterator[Number]:
        """Yield the number of an answer in a unit, with the formula in words."""
        found = carried(answer, self.figures)
        if isinstance(found, Carried) and math.isfinite(found.value) and math.isfinite(found.plus_minus):
            yield replace(of_carried(word, about, found, unit), formula=formula)

    def with_figures(self, more: Mapping[str, Measure]) -> "Opener":
        """Return an opener that carries some other figures too."""
        return Opener({**self.figures, **more})
