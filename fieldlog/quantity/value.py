"""A value whose doubt is kept apart by source: what two values share cancels or adds up by itself.

Arithmetic only adds up signed terms, exactly. What they come to (the budget's rows, u, degrees of freedom, the factor)
is worked out when it is asked for: only then does a pool count its degrees of freedom once, and a zero of two days
count once where they are taken from each other. So it makes no difference in which order values were put together.
"""

import datetime
import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple, TypeVar

from fieldlog.quantity.distributions import coverage_factor, effective_dof
from fieldlog.quantity.source import Kind, Source, Term, Unsound
from fieldlog.quantity.text import day_text

COVERAGE_PROBABILITY = 0.95
OWN_OF_A_DAY: frozenset[Kind] = frozenset({"scatter", "step", "temperature"})
_DUST = 1e-9  # so small a share of what was added is rounding, and nothing is left
_LEFT = 0.1  # a smaller share of what came together is called gone


class Row(NamedTuple):
    """A line of a budget: what is one thing to the arithmetic, be it a source, a pool or one day of a zero.

    `met` is the most that came together in it with both signs; `is_once` marks a day of what wanders that counts once
    for two days taken from each other.
    """

    source: Source
    u: float
    met: float = 0.0
    is_once: bool = False

    @property
    def dof(self) -> float:
        """Its degrees of freedom."""
        return self.source.dof

    @property
    def cancels(self) -> bool:
        """True when next to nothing of it is left."""
        return self.u <= _LEFT * self.met


@dataclass(frozen=True, slots=True)
class Part:
    """A row in words, as pages read it until they ask the rows."""

    name: str
    u_mm: float
    dof: float
    source: str
    is_limit: bool = False

    @property
    def half_width_mm(self) -> float:
        """Half the width of the rectangle, for a limit."""
        return math.sqrt(3) * self.u_mm


class Narrowing(NamedTuple):
    """What to measure better first: what that takes away, its share of the variance, and the value without it."""

    measured: str
    share: float
    left: "Value"


@dataclass(frozen=True, eq=False)
class Value:
    """A value in `unit` with its terms of doubt, each source once; without terms it carries no doubt.

    `unit` is as it is shown: "mm", "deg", "mm per 100 h", "kN", "%", or empty for a pure number. `whole_dof` are the
    degrees of freedom of everything together where a fit tells them in one; Student's t is then the factor.

    No slots: what was asked once is remembered.
    """

    value: float
    unit: str
    terms: tuple[Term, ...] = ()
    whole_dof: float | None = None

    def __add__(self, other: "Value | float") -> "Value":
        return total((self, 1.0), (_as_value(other, self.unit), 1.0))

    def __sub__(self, other: "Value | float") -> "Value":
        return total((self, 1.0), (_as_value(other, self.unit), -1.0))

    def __rsub__(self, other: float) -> "Value":
        return total((_as_value(other, self.unit), 1.0), (self, -1.0))

    def __mul__(self, factor: float) -> "Value":
        terms = tuple([term.times(factor) for term in self.terms])
        return Value(factor * self.value, self.unit, terms, self.whole_dof)

    def __truediv__(self, divisor: float) -> "Value":
        terms = tuple([Term(source, u / divisor, met / abs(divisor)) for source, u, met in self.terms])
        return Value(self.value / divisor, self.unit, terms, self.whole_dof)

    def __neg__(self) -> "Value":
        return self * -1.0

    __radd__ = __add__
    __rmul__ = __mul__

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Value) and self._facts == other._facts

    def __hash__(self) -> int:
        return hash((self.value, self.unit))

    @property
    def _facts(self) -> tuple[object, ...]:
        return self.value, self.unit, self.whole_dof, {term.source.id: term.u for term in self.terms}

    def within(self, *terms: Term) -> "Value":
        """Return the same with more doubt."""
        return total((self, 1.0), (Value(0.0, self.unit, terms), 1.0))

    def as_unit(self, unit: str, factor: float) -> "Value":
        """Return the same in another unit; one of this value's own is `factor` of that."""
        return replace(self * factor, unit=unit)

    @cached_property
    def rows(self) -> tuple[Row, ...]:
        """The budget, in the order in which its sources came in."""
        groups: dict[tuple[str, str], list[Term]] = {}
        for term in self.terms:
            source = term.source
            key = ("pool", source.pool) if source.pool else ("wanders", source.wanders)
            groups.setdefault(key if key[1] else ("", source.id), []).append(term)
        return tuple([row for (how, _), group in groups.items() for row in _RULES[how](group)])

    @cached_property
    def u(self) -> float:
        """Combined standard uncertainty, root sum of squares of the rows (GUM 5.1.2, 5.2.2)."""
        return math.hypot(*[row.u for row in self.rows])

    @cached_property
    def dof(self) -> float:
        """Effective degrees of freedom by Welch-Satterthwaite (GUM G.4.1); infinite when nothing is uncertain."""
        if self.whole_dof is not None:
            return self.whole_dof
        return effective_dof(self.u, ((row.u, row.source.dof) for row in self.rows))

    @cached_property
    def k(self) -> float:
        """The factor for 95 %: Student's t at the effective degrees of freedom, less where limits dominate."""
        half_widths: tuple[float, ...] = ()
        if self.whole_dof is None:
            half_widths = tuple(math.sqrt(3) * row.u for row in self.rows if row.source.is_limit and row.u > 0)
        return coverage_factor(self.u, self.dof, half_widths, COVERAGE_PROBABILITY)

    @property
    def plus_minus(self) -> float:
        """Half-width of the 95 % interval."""
        return self.k * self.u

    @property
    def variances(self) -> Mapping[str, float]:
        """The variance by what one better measurement would take away, what leaves nothing not among them."""
        sums: dict[str, float] = {}
        for row in self.rows:
            if row.u > 0:
                sums[row.source.measured] = sums.get(row.source.measured, 0.0) + row.u**2
        return sums

    @property
    def narrowed_most_by(self) -> Narrowing | None:
        """What to measure better first; None where there is no doubt, or where all of it would go."""
        sums = self.variances
        if len(sums) < 2:
            return None
        most = max(sums, key=lambda measured: sums[measured])
        return Narrowing(most, sums[most] / math.fsum(sums.values()), self.without(most))

    @property
    def most_from(self) -> str:
        """What a person calls that which most of the doubt comes from; empty where there is none."""
        sums = self.variances
        return self.called(max(sums, key=lambda measured: sums[measured])) if sums else ""

    def called(self, measured: str) -> str:
        """Return what a person calls something that could be measured better."""
        return next(row.source.called for row in self.rows if row.source.measured == measured)

    def without(self, *measured: str) -> "Value":
        """Return the same without what some better measurements would take away: sources, pools or things by id."""
        kept = tuple([term for term in self.terms if not {term.source.measured, term.source.id} & {*measured}])
        return replace(self, terms=kept, whole_dof=None)

    def own(self, kinds: Collection[Kind] = OWN_OF_A_DAY) -> "Value":
        """Return the value with its sources of some kinds only; by default what a day shares with no other."""
        kept = tuple([term for term in self.terms if term.source.kind in kinds])
        return replace(self, terms=kept, whole_dof=None)

    # until all ask the Value's own names: u_mm, coverage, expanded, joint_dof, parts

    @property
    def u_mm(self) -> float:
        """The same as `u`, for a length."""
        return self.u

    @property
    def coverage(self) -> float:
        """The same as `k`."""
        return self.k

    @property
    def expanded(self) -> float:
        """The same as `plus_minus`."""
        return self.plus_minus

    @property
    def joint_dof(self) -> float | None:
        """The same as `whole_dof`."""
        return self.whole_dof

    @property
    def parts(self) -> tuple[Part, ...]:
        """The rows in words."""
        return tuple([Part(row.source.named, row.u, row.dof, _why(row), row.source.is_limit) for row in self.rows])


class Interval(NamedTuple):
    """A number that reaches farther one way than the other at 95 %; `upper` may be infinite."""

    best: float
    lower: float
    upper: float
    unit: str


class Refusal:
    """Why something cannot be told here, such as two links that do not meet: an answer, and no mistake."""

    __slots__ = ()


CANCELS = "the same both times: cancels"


def _why(row: Row) -> str:
    """Return where a row comes from, and what became of it in a difference."""
    if row.is_once:
        return f"{row.source.why}; between the two days it may have changed by as much: counts once"
    if not row.met:
        return row.source.why
    return f"{row.source.why}; {CANCELS if row.cancels else 'the same both times: only what differs is left'}"


R = TypeVar("R", bound=Refusal)


def exactly(value: float, unit: str) -> Value:
    """Return a value that carries no doubt."""
    return Value(value, unit)


def difference_named(first: tuple[Value, str], second: tuple[Value, str]) -> Value:
    """Return first less second, each source labelled with what it is of, except what both share."""
    ids = [{one for term in value.terms for one in (term.source.id, term.source.pool)} for value, _ in (first, second)]
    both = (ids[0] & ids[1]) - {""}
    return _said_of(*first, both) - _said_of(*second, both)


def difference_of_days(now: tuple[Value, datetime.date], before: tuple[Value, datetime.date]) -> Value:
    """Return the difference of two days' values, each source labelled with its day, except what both share."""
    first, second = (day_text(day) for _, day in (now, before))
    words = (first, second) if first != second else ("this time", "the time before")
    return difference_named((now[0], words[0]), (before[0], words[1]))


def _said_of(value: Value, said: str, both: Set[str]) -> Value:
    def told(term: Term) -> Term:
        is_shared = term.source.id in both or term.source.pool in both
        return term if is_shared else term.called(f"{term.source.label}, {said}")

    return replace(value, terms=tuple([told(term) for term in value.terms]))


def _as_value(other: Value | float, unit: str) -> Value:
    return other if isinstance(other, Value) else Value(other, unit)


def total(*weighted: tuple[Value, float]) -> Value:
    """Return a weighted sum of values; one source in several of them counts with the sum of its signed shares.

    Source: GUM 5.2.2 and F.1.2.3, with a correlation of 1 or -1 for what is one source. It stays in the sum also where
    nothing of it is left, so that a budget can show what cancels.

    Raises:
        Unsound: units differ, two sources have one id, or a fitted value is added to another one with doubt.
    """
    units = {value.unit for value, _ in weighted}
    if len(units) != 1:
        raise Unsound(f"cannot add {' and '.join(sorted(units)) or 'nothing'}")
    doubtful = [value for value, _ in weighted if value.terms]
    whole_dof = next((value.whole_dof for value in doubtful if value.whole_dof is not None), None)
    if whole_dof is not None and len(doubtful) > 1:
        raise Unsound("a fitted value has its degrees of freedom as a whole: fit again instead of adding")
    best = math.fsum([weight * value.value for value, weight in weighted])
    return Value(best, units.pop(), _merged(weighted), whole_dof)


def _merged(weighted: Iterable[tuple[Value, float]]) -> tuple[Term, ...]:
    """Return the terms of a weighted sum, each source once, in the order in which they come."""
    found: dict[str, list[Term]] = {}
    for value, weight in weighted:
        for term in value.terms:
            term = term if weight == 1 else term.times(weight)  # noqa: PLW2901
            known = found.setdefault(term.source.id, [])
            if known and not known[0].source.agrees(term.source):
                raise Unsound(f"two sources have the id {term.source.id}")
            known.append(term)
    return tuple([group[0] if len(group) == 1 else _summed(group) for group in found.values()])


def _summed(group: Sequence[Term]) -> Term:
    us = [term.u for term in group]
    u, most = math.fsum(us), max(map(abs, us))
    met = max(term.met for term in group)
    if min(us) < 0 < max(us):
        met = max(met, most)
    return Term(group[0].source, u if abs(u) > _DUST * most else 0.0, met)


def _alone(group: Sequence[Term]) -> list[Row]:
    if len(group) > 1:
        raise Unsound(f"the source {group[0].source.id} is twice in one value")
    return [Row(term.source, abs(term.u), term.met) for term in group]


def _pooled(group: Sequence[Term]) -> list[Row]:
    """Return one row: readings are independent of each other, but what they scatter is known by one figure."""
    first = group[0].source
    if any(term.source.dof != first.dof or term.source.is_limit or term.source.wanders for term in group):
        raise Unsound(f"the pool {first.pool} has more than one scatter")
    return [Row(first, math.hypot(*[term.u for term in group]), max(term.met for term in group))]


def _wandering(group: Sequence[Term]) -> list[Row]:
    """Return what days of one thing, such as a zero, leave: the larger of what they add and what they take.

    Days that are added are independent. Of days that are taken from each other the larger counts, once: in between it
    may have changed by as much.
    """
    added, taken = ([term for term in group if sign * term.u > 0] for sign in (1, -1))
    is_once = bool(added and taken)
    larger = taken if math.hypot(*[term.u for term in taken]) > math.hypot(*[term.u for term in added]) else added
    rows = [Row(term.source, abs(term.u), term.met, is_once) for term in larger]
    return rows or [Row(group[0].source, 0.0, max(term.met for term in group))]


_RULES: Mapping[str, Callable[[Sequence[Term]], list[Row]]] = {"": _alone, "pool": _pooled, "wanders": _wandering}


def covariance(one: Value, other: Value) -> float:
    """Return the covariance of two values, from the sources that they share (GUM F.1.2.3).

    Days of one zero share nothing by this; ask the difference for its own `u` where they matter.
    """
    shares = {term.source.id: term.u for term in other.terms}
    return math.fsum([term.u * shares[term.source.id] for term in one.terms if term.source.id in shares])


Answer = Callable[[Mapping[str, float]], float | R]


def carried(answer: Answer[R], inputs: Mapping[str, Value], unit: str) -> Value | R:
    """Return an answer with the doubt that its inputs leave in it, what they share counting with its signs.

    Each input is moved up and down by its standard uncertainty and half the difference counted (GUM 5.1.3 note 2).
    That slope is handed to all its sources; those of what weighs most come first. A refusal is returned as it is;
    where only one of the two moves is answered, that one counts, and an input with neither adds nothing.
    """
    plain = {key: value.value for key, value in inputs.items()}
    best = answer(plain)
    if isinstance(best, Refusal):
        return best
    moved = [(value, _slope(answer, plain, (key, value.u), best)) for key, value in inputs.items() if value.u > 0]
    moved.sort(key=lambda pair: -abs(pair[1]) * pair[0].u)
    return Value(best, unit, _merged(pair for pair in moved if pair[1]))


def _slope(answer: Answer[R], plain: Mapping[str, float], move: tuple[str, float], best: float) -> float:
    key, u = move
    more = answer({**plain, key: plain[key] + u})
    less = answer({**plain, key: plain[key] - u})
    if isinstance(more, Refusal):
        return 0.0 if isinstance(less, Refusal) else (best - less) / u
    return (more - best) / u if isinstance(less, Refusal) else (more - less) / (2 * u)
