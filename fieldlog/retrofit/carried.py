"""The figures a hitch is worked out from: each measured, with its doubt, or the usual one of its category, and marked.

A figure's doubt is carried into an answer by the change the answer makes when the figure moves by its standard
uncertainty (GUM, JCGM 100:2008, 5.1.3 with numerical sensitivities, note 2). Figures are taken as independent.

Numbers of hitches, offers and repairs as they are opened up: what each rests on, entry by entry, word by word.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from fieldlog.quantity.estimate import Estimate, Figure, FigurePart, as_figure, as_value, figure_limit
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.page_number import Number
from fieldlog.records.hitch import Directed
from fieldlog.retrofit.hitch.plane import CannotReach

Origin = Literal["measured", "usual"]
Values = Mapping[str, float]

TAPED_MM = 1.0  # half-width between two centres by tape: common practice, as for a link
PLUMBED_MM = 3.0  # half-width from a plumb line or the floor, by eye: common practice, no source
USUAL = "usual figure, not measured"


@dataclass(frozen=True, slots=True)
class Measure:
    """One number that answers are worked out from: what its doubt is made of, its name, and whether it was measured.

    `keys` are the entries it rests on, `typed` how it stands in a file where it rests on none.
    """

    value: float
    parts: tuple[FigurePart, ...]
    name: str
    origin: Origin = "measured"
    keys: tuple[str, ...] = ()
    typed: tuple[str, ...] = ()
    unit: str = "mm"

    @property
    def mm(self) -> float:
        """The number, for a length."""
        return self.value

    @property
    def figure(self) -> Figure:
        """The number with its parts."""
        return Figure(self.value, self.unit, self.parts)

    @property
    def u(self) -> float:
        """Standard uncertainty in the measure's unit."""
        return self.figure.u


class Share(NamedTuple):
    """What a figure does to an answer: how much the answer moves for each unit of it, without its sign."""

    figure: Measure
    per_unit: float

    @property
    def parts(self) -> tuple[FigurePart, ...]:
        """The figure's doubt as parts of the answer's."""
        return tuple(replace(part, u=part.u * self.per_unit) for part in self.figure.parts)


class Carried(NamedTuple):
    """An answer with its 95 % half-width, the figure that most of the doubt comes from, and each figure's share."""

    value: float
    plus_minus: float
    most_from: str
    shares: tuple[Share, ...] = ()

    def figure(self, unit: str) -> Figure:
        """The answer with its parts."""
        return Figure(self.value, unit, tuple(part for share in self.shares for part in share.parts))

    @property
    def length(self) -> Estimate:
        """The answer with its parts, for one in mm."""
        return as_value(self.figure("mm"), f"carried {self.value!r}")

    def as_measure(self, name: str, unit: str = "mm") -> Measure:
        """Return an answer as a figure that rests on everything the figures in it rest on."""
        figures = [share.figure for share in self.shares]
        keys = tuple(key for figure in figures for key in figure.keys)
        return Measure(self.value, self.figure(unit).parts, name, "measured", keys, typed_of(figures), unit)


def measured(size: Length | Directed, name: str, tape_mm: float) -> Measure:
    """Return a measured figure: tape (or plumb line) and the step of the typing, both rectangular."""
    half_mm = float(size.half_width_mm)
    how = "tape between centres" if tape_mm == TAPED_MM else "plumb line, floor and eye"
    parts = [figure_limit(f"{name}: {how}", tape_mm, f"± {tape_mm:g} mm, common practice")]
    if half_mm > 0:
        parts.append(figure_limit(f"{name}: step of the typing", half_mm, f"± {half_mm:.3g} mm, typed {size.typed}"))
    return Measure(float(size.mm), tuple(parts), name, typed=(f"{name}: {size.typed}",))


def usual_figure(value: float, half: float, name: str, unit: str = "mm") -> Measure:
    """Return a figure that nobody measured: what is usual, and how far machines differ from it."""
    of_unit = f" {unit}" if unit else ""
    part = figure_limit(name, half, f"{USUAL}: ± {half:.3g}{of_unit}")
    typed = f"{name}: {value:.4g}{of_unit} is usual, nobody measured it"
    return Measure(value, (part,), name, "usual", typed=(typed,), unit=unit)


def of_estimate(size: Estimate, name: str, keys: tuple[str, ...] = (), typed: str = "") -> Measure:
    """Return a figure that is known as an estimate with parts of its own."""
    parts = tuple(replace(part, name=f"{name}: {part.name}") for part in as_figure(size).parts)
    return Measure(size.value_mm, parts, name, "measured", keys, (typed,) if typed else ())


def typed_of(figures: Iterable[Measure]) -> tuple[str, ...]:
    """Return how figures stand in the files, none said twice."""
    return tuple(dict.fromkeys(text for figure in figures for text in figure.typed))


def values_of(figures: Mapping[str, Measure]) -> dict[str, float]:
    """Return the plain numbers."""
    return {key: figure.value for key, figure in figures.items()}


def carried(answer: Callable[[Values], float | CannotReach], figures: Mapping[str, Measure]) -> Carried | CannotReach:
    """Return an answer with the doubt that all the figures leave in it.

    Each figure is moved up and down by its standard uncertainty and half the difference counted; where one of the
    two cannot be reached, the other one's difference is.
    """
    values = values_of(figures)
    found = answer(values)
    if isinstance(found, CannotReach):
        return found
    moves: list[tuple[float, Share]] = []
    for key, figure in figures.items():
        u = figure.u
        moved = _moved(answer, values, key, u, found) if u > 0 else 0.0
        if moved > 0:
            moves.append((moved, Share(figure, moved / u)))
    moves.sort(key=lambda pair: -pair[0])
    shares = tuple(share for _, share in moves)
    done = Carried(found, 0.0, shares[0].figure.name if shares else "", shares)
    return done._replace(plus_minus=done.figure("").expanded)


def _moved(
    answer: Callable[[Values], float | CannotReach], values: dict[str, float], key: str, u: float, found: float
) -> float:
    more = answer({**values, key: values[key] + u})
    less = answer({**values, key: values[key] - u})
    if isinstance(more, CannotReach):
        return 0.0 if isinstance(less, CannotReach) else abs(found - less)
    return abs(more - found) if isinstance(less, CannotReach) else abs(more - less) / 2


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
