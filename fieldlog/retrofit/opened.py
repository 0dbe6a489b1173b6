"""Numbers of hitches, offers and repairs as they are opened up: what each rests on, entry by entry, word by word."""

from collections.abc import Iterable

from fieldlog.measure.figure import Figure
from fieldlog.retrofit.carried import Carried, Measure, typed_of
from fieldlog.wear.numbers import Number


def opened(word: str, about: str, value: Figure, behind: Iterable[Measure], *, is_change: bool = False) -> Number:
    """Return a number with the entries of all figures behind it and what was typed of them, none said twice."""
    figures = tuple(behind)
    keys = tuple(dict.fromkeys(key for figure in figures for key in figure.keys))
    return Number(word, about, value, keys, is_change=is_change, typed=typed_of(figures))


def of_carried(word: str, about: str, found: Carried, unit: str = "mm", *, is_change: bool = False) -> Number:
    """Return an answer that figures were carried into; what weighs most stands first."""
    return opened(word, about, found.figure(unit), (share.figure for share in found.shares), is_change=is_change)


def less(word: str, about: str, first: Measure, second: Measure) -> Number:
    """Return one length less another, the two being independent."""
    gap = Figure(first.value - second.value, first.unit, (*first.parts, *second.parts))
    return opened(word, about, gap, (first, second), is_change=True)
