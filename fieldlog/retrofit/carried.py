"""What a hitch, an offer and a repair are worked out from: each measured, with its doubt, or usual and marked so.

Its doubt is carried into an answer by the change the answer makes when it moves by its standard uncertainty (GUM,
JCGM 100:2008, 5.1.3 with numerical sensitivities, note 2). What two of them share is one source, by its id.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

from fieldlog.quantity import value as values
from fieldlog.quantity.estimate import Figure, FigurePart
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.page_number import Number, as_shown
from fieldlog.quantity.source import Kind, Source, Term, limit
from fieldlog.quantity.value import Value
from fieldlog.records.hitch import Directed
from fieldlog.retrofit.hitch.plane import CannotReach

Origin = Literal["measured", "usual"]
Values = Mapping[str, float]
Answer = Callable[[Values], float | CannotReach]

TAPED_MM = 1.0  # half-width between two centres by tape: common practice, as for a link
PLUMBED_MM = 3.0  # half-width from a plumb line or the floor, by eye: common practice, no source
USUAL = "usual figure, not measured"


@dataclass(frozen=True)
class Given:
    """A number that answers are worked out from, with its terms of doubt.

    `id` is of the record that it stands in, or of the usual figure; `name` is for people. `keys` are the entries it
    rests on, `typed` how it stands in a file where it rests on none. No slots: its value is remembered.
    """

    value: float
    terms: tuple[Term | FigurePart, ...]
    name: str
    origin: Origin = "measured"
    keys: tuple[str, ...] = ()
    typed: tuple[str, ...] = ()
    unit: str = "mm"
    id: str = ""

    @property
    def mm(self) -> float:
        """The number, for a length."""
        return self.value

    @cached_property
    def size(self) -> Value:
        """The number with its doubt."""
        terms = [
            term if isinstance(term, Term) else _term_of_part(term, f"{self.id or self.name}/{number}")
            for number, term in enumerate(self.terms)
        ]
        return Value(self.value, self.unit, tuple(terms))

    @property
    def u(self) -> float:
        """Standard uncertainty in its own unit."""
        return self.size.u

    @property
    def figure(self) -> Figure:
        """The number as the figure that offers know it by."""
        return as_shown(self.size)

    @property
    def parts(self) -> tuple[FigurePart, ...]:
        """Its doubt as the parts that offers know it by."""
        return self.figure.parts


Measure = Given  # what offers call it


@dataclass(frozen=True, eq=False)
class Carried(Value):
    """An answer, and the numbers that its doubt comes from, what weighs most first."""

    behind: tuple[Given, ...] = ()

    def figure(self, unit: str) -> Figure:
        """Return the answer as the figure that offers know it by."""
        return replace(as_shown(self), unit=unit)

    @property
    def length(self) -> Value:
        """The answer as an estimate, for one in mm."""
        return Value(self.value, "mm", self.terms)

    def as_measure(self, name: str, unit: str = "mm") -> Given:
        """Return an answer as a number to work with, which rests on everything that is behind it."""
        keys = tuple(key for given in self.behind for key in given.keys)
        return Given(self.value, self.terms, name, "measured", keys, typed_of(self.behind), unit)


def measured(size: Length | Directed, given_id: str, name: str, tape_mm: float) -> Given:
    """Return a measured number: tape (or plumb line) and the step of the typing, both rectangular."""
    half_mm = float(size.half_width_mm)
    how = "tape between centres" if tape_mm == TAPED_MM else "plumb line, floor and eye"
    terms = [own_limit(given_id, tape_mm, "setting", (name, how, f"± {tape_mm:g} mm, common practice"))]
    if half_mm > 0:
        words = name, "step of the typing", f"± {half_mm:.3g} mm, typed {size.typed}"
        terms.append(own_limit(given_id, half_mm, "typing", words))
    return Given(float(size.mm), tuple(terms), name, typed=(f"{name}: {size.typed}",), id=given_id)


def own_limit(given_id: str, half_width: float, kind: Kind, words: tuple[str, str, str]) -> Term:
    """Return a limit that one better measurement of a number would take away: its name, what it is, and why."""
    whose, label, why = words
    term = limit(f"{given_id}/{kind}", half_width, kind, label=label, why=why, of=given_id)
    return Term(replace(term.source, whose=whose), term.u)


def usual_figure(value: float, half: float, name: str, unit: str = "mm", given_id: str = "") -> Given:
    """Return a number that nobody measured: what is usual, and how far machines differ from it."""
    of_unit = f" {unit}" if unit else ""
    term = own_limit(given_id or name, half, "usual", (name, "", f"{USUAL}: ± {half:.3g}{of_unit}"))
    typed = f"{name}: {value:.4g}{of_unit} is usual, nobody measured it"
    return Given(value, (term,), name, "usual", typed=(typed,), unit=unit, id=given_id)


def of_estimate(size: Value, name: str, keys: tuple[str, ...] = (), typed: str = "", given_id: str = "") -> Given:
    """Return a number that was measured with sources of its own."""
    own = given_id or name
    terms = tuple(
        Term(replace(row.source, id=f"{own}/{number}", whose=name, of=own, pool="", wanders=""), row.u)
        for number, row in enumerate(size.rows)
    )
    return Given(size.value, terms, name, "measured", keys, (typed,) if typed else (), id=given_id)


def set_as(given: Given, given_id: str, name: str) -> tuple[Term, ...]:
    """Return the doubt of a length that is tried: it will be set as surely as another one is known."""
    return tuple(
        Term(_set_source(term.source, f"{given_id}/{number}", given_id, name), term.u)
        for number, term in enumerate(given.size.terms)
    )


def _set_source(source: Source, source_id: str, of: str, whose: str) -> Source:
    return replace(source, id=source_id, label=source.label or source.whose, whose=whose, of=of, pool="", wanders="")


def typed_of(givens: Iterable[Given]) -> tuple[str, ...]:
    """Return how numbers stand in the files, none said twice."""
    return tuple(dict.fromkeys(text for given in givens for text in given.typed))


def keys_of(givens: Iterable[Given]) -> tuple[str, ...]:
    """Return the entries that numbers rest on, none twice."""
    return tuple(dict.fromkeys(key for given in givens for key in given.keys))


def values_of(givens: Mapping[str, Given]) -> dict[str, float]:
    """Return the plain numbers."""
    return {key: given.value for key, given in givens.items()}


def carried(answer: Answer, givens: Mapping[str, Given], unit: str = "mm") -> Carried | CannotReach:
    """Return an answer with the doubt that all the numbers leave in it, what weighs most first."""
    sizes = {key: given.size for key, given in givens.items()}
    found = values.carried(answer, sizes, unit)
    if isinstance(found, CannotReach):
        return found
    places = {term.source.id: place for place, term in enumerate(found.terms)}
    ranks = {
        key: min(there)
        for key, size in sizes.items()
        if (there := [places[term.source.id] for term in size.terms if term.source.id in places])
    }
    return Carried(
        found.value, unit, found.terms, behind=tuple(givens[key] for key in sorted(ranks, key=ranks.__getitem__))
    )


# What follows is how offers ask for their numbers, as figures with words.


def _term_of_part(part: FigurePart, source_id: str) -> Term:
    """Return a part of a figure as a term; only its name tells what it belongs to."""
    whose, _, label = part.name.partition(": ")
    kind: Kind = "usual" if part.source.startswith(USUAL) else "limit" if part.is_limit else "stated"
    source = Source(
        source_id, kind, label=label, whose=whose, why=part.source, dof=part.dof, is_limit=part.is_limit, of=whose
    )
    return Term(source, part.u)


def opened(word: str, about: str, value: Figure, behind: Iterable[Given], *, is_change: bool = False) -> Number:
    """Return a number with the entries of all that is behind it and what was typed of it, none said twice."""
    givens = tuple(behind)
    return Number(word, about, value, keys_of(givens), is_change=is_change, typed=typed_of(givens))


def of_carried(word: str, about: str, found: Carried, unit: str = "mm") -> Number:
    """Return an answer that numbers were carried into; what weighs most stands first."""
    return opened(word, about, found.figure(unit), found.behind)


def less(word: str, about: str, first: Given, second: Given) -> Number:
    """Return one length less another, the two being independent."""
    gap = Figure(first.value - second.value, first.unit, (*first.parts, *second.parts))
    return opened(word, about, gap, (first, second), is_change=True)


@dataclass(frozen=True, slots=True)
class Opener:
    """Carries the same numbers into one answer after the other; an answer that cannot be reached has no number."""

    figures: Mapping[str, Given]

    def number(self, word: str, about: str, unit: str, answer: Answer, formula: str = "") -> Iterator[Number]:
        """Yield the number of an answer in a unit, with the formula in words."""
        found = carried(answer, self.figures, unit)
        if isinstance(found, Carried) and math.isfinite(found.value) and math.isfinite(found.plus_minus):
            yield replace(of_carried(word, about, found, unit), formula=formula)
