"""A value whose doubt is kept apart by source: what two values share cancels or adds up by itself.

Arithmetic only adds up signed terms, exactly. What they come to (the budget's rows, u, degrees of freedom, the factor)
is worked out when it is asked for: only then does a pool count its degrees of freedom once, and a zero of two days
count once where they are taken from each other. So it makes no difference in which order values were put together.
"""

import math
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple, TypeVar

from fieldlog.quantity.distributions import coverage_factor, effective_dof
from fieldlog.quantity.source import Kind, Source, Term, Unsound

COVERAGE_PROBABILITY = 0.95
OWN_OF_A_DAY: frozenset[Kind] = frozenset({"scatter", "step", "temperature"})
_DUST = 1e-9  # so small a share of what was added is rounding, and nothing is left


class Row(NamedTuple):
    """A line of a budget: what is one thing to the arithmetic, be it a source, a pool or one day of a zero."""

    source: Source
    u: float

    @property
    def dof(self) -> float:
        """Its degrees of freedom."""
        return self.source.dof

    @property
    def cancels(self) -> bool:
        """True when nothing of it is left."""
        return self.u == 0


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
        terms = tuple([Term(source, factor * u) for source, u in self.terms])
        return Value(factor * self.value, self.unit, terms, self.whole_dof)

    def __truediv__(self, divisor: float) -> "Value":
        terms = tuple([Term(source, u / divisor) for source, u in self.terms])
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
        return self.value, self.unit, self.whole_dof, {source.id: u for source, u in self.terms}

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

    def without(self, *measured: str) -> "Value":
        """Return the same without what some better measurements would take away: sources, pools or things by id."""
        kept = tuple([term for term in self.terms if not {term.source.measured, term.source.id} & {*measured}])
        return replace(self, terms=kept, whole_dof=None)

    def own(self, kinds: Collection[Kind] = OWN_OF_A_DAY) -> "Value":
        """Return the value with its sources of some kinds only; by default what a day shares with no other."""
        kept = tuple([term for term in self.terms if term.source.kind in kinds])
        return replace(self, terms=kept, whole_dof=None)


class Interval(NamedTuple):
    """A number that reaches farther one way than the other at 95 %; `upper` may be infinite."""

    best: float
    lower: float
    upper: float
    unit: str


class Refusal:
    """Why something cannot be told here, such as two links that do not meet: an answer, and no mistake."""

    __slots__ = ()


R = TypeVar("R", bound=Refusal)


def exactly(value: float, unit: str) -> Value:
    """Return a value that carries no doubt."""
    return Value(value, unit)


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
    found: dict[str, tuple[Source, list[float]]] = {}
    for value, weight in weighted:
        for source, u in value.terms:
            known = found.get(source.id)
            if known is None:
                found[source.id] = source, [weight * u]
                continue
            if not known[0].agrees(source):
                raise Unsound(f"two sources have the id {source.id}")
            known[1].append(weight * u)
    return tuple([Term(source, us[0] if len(us) == 1 else _summed(us)) for source, us in found.values()])


def _summed(us: Sequence[float]) -> float:
    u = math.fsum(us)
    return u if abs(u) > _DUST * max(map(abs, us)) else 0.0


def _alone(group: Sequence[Term]) -> list[Row]:
    if len(group) > 1:
        raise Unsound(f"the source {group[0].source.id} is twice in one value")
    return [Row(source, abs(u)) for source, u in group]


def _pooled(group: Sequence[Term]) -> list[Row]:
    """Return one row: readings are independent of each other, but what they scatter is known by one figure."""
    first = group[0].source
    if any(source.dof != first.dof or source.is_limit or source.wanders for source, _ in group):
        raise Unsound(f"the pool {first.pool} has more than one scatter")
    return [Row(first, math.hypot(*[u for _, u in group]))]


def _wandering(group: Sequence[Term]) -> list[Row]:
    """Return what days of one thing, such as a zero, leave: the larger of what they add and what they take.

    Days that are added are independent. Of days that are taken from each other the larger counts, once: in between it
    may have changed by as much.
    """
    added, taken = ([Row(source, abs(u)) for source, u in group if sign * u > 0] for sign in (1, -1))
    larger = taken if math.hypot(*[row.u for row in taken]) > math.hypot(*[row.u for row in added]) else added
    return larger or [Row(group[0].source, 0.0)]


_RULES: Mapping[str, Callable[[Sequence[Term]], list[Row]]] = {"": _alone, "pool": _pooled, "wanders": _wandering}


def covariance(one: Value, other: Value) -> float:
    """Return the covariance of two values, from the sources that they share (GUM F.1.2.3).

    Days of one zero share nothing by this; ask the difference for its own `u` where they matter.
    """
    shares = {source.id: u for source, u in other.terms}
    return math.fsum([u * shares[source.id] for source, u in one.terms if source.id in shares])


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
