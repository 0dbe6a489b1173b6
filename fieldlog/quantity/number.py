"""A number is declared once: its id, what it is worked out from, and how. Whoever shows it asks here.

The sentence, the page that opens it, JSON and paper so take value and doubt from one place. Asking for an id that
nobody declared is a mistake of the program; a declared one that cannot be told here says what it lacks.
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from fieldlog.quantity.said import Said
from fieldlog.quantity.source import Unsound
from fieldlog.quantity.value import Answer, Interval, R, Refusal, Value, carried


@dataclass(frozen=True, slots=True)
class Missing(Refusal):
    """A declared number that cannot be told here, and the ids of what it lacks."""

    id: str
    lacks: tuple[str, ...]


Found = Value | Interval | Refusal


@dataclass(frozen=True, slots=True)
class Behind:
    """What stands behind a number: keys of readings, and what was typed where it rests on none."""

    keys: tuple[str, ...] = ()
    typed: tuple[Said | str, ...] = ()


NOTHING_BEHIND = Behind()


@dataclass(frozen=True, slots=True)
class Number:
    """How a number is worked out, declared once.

    Attributes:
        id: its name to code, the same on every page.
        unit: what it comes in; anything else is a mistake.
        inputs: ids of the numbers that it is worked out from.
        answer: takes the values of the inputs by id.
        formula: a code that words are made of, for how it follows from its inputs.
        about: the same for what it is, followed by the code's arguments.
        is_change: a difference, shown with its sign.
    """

    id: str
    unit: str
    inputs: tuple[str, ...]
    answer: Callable[[Mapping[str, Value]], Found]
    formula: str = ""
    about: tuple[str, ...] = ()
    is_change: bool = False


def of_plain(answer: Answer[R], unit: str) -> Callable[[Mapping[str, Value]], Value | R]:
    """Return a function of plain numbers as one of values, its doubt carried over by differences."""
    return lambda inputs: carried(answer, inputs, unit)


def missing(number_id: str) -> Missing:
    """Return that a number was not measured or stated here."""
    return Missing(number_id, (number_id,))


class Numbers(Mapping[str, Found]):
    """Numbers by id, each worked out when it is first asked for.

    A look-up gives a value, an interval or a refusal, never a stand-in: an undeclared id raises, also in `get`.
    """

    def __init__(
        self, declared: Iterable[Number], known: Mapping[str, Found], behind: Mapping[str, Behind] | None = None
    ) -> None:
        """Take what is worked out here, what is known already, be it as `Missing`, and what stands behind that."""
        self._declared: dict[str, Number] = {}
        for number in declared:
            if number.id in self._declared or number.id in known:
                raise Unsound(f"the number {number.id} is declared twice")
            self._declared[number.id] = number
        self._found: dict[str, Found] = dict(known)
        self._ids = (*self._found, *self._declared)
        self._behind = dict(behind or {})
        self._open: list[str] = []
        for name in self._behind:
            if name not in known:
                raise Unsound(f"something stands behind {name}, which is not known")
        for number in self._declared.values():
            for name in number.inputs:
                if name not in self:
                    raise Unsound(f"{number.id} is worked out from {name}, which nobody declared")

    def __getitem__(self, number_id: str) -> Found:
        if number_id not in self._found:
            if number_id not in self._declared:
                raise Unsound(f"no number is called {number_id}")
            self._found[number_id] = self._worked_out(self._declared[number_id])
        return self._found[number_id]

    def __contains__(self, number_id: object) -> bool:
        return number_id in self._found or number_id in self._declared

    def __iter__(self) -> Iterator[str]:
        return iter(self._ids)

    def __len__(self) -> int:
        return len(self._ids)

    def declared(self, number_id: str) -> Number | None:
        """Return how a number is worked out, None for one that was known already."""
        if number_id not in self:
            raise Unsound(f"no number is called {number_id}")
        return self._declared.get(number_id)

    def value(self, number_id: str) -> Value:
        """Return a number that must have a value here."""
        found = self[number_id]
        if not isinstance(found, Value):
            raise Unsound(f"{number_id} has no value here: {found}")
        return found

    def behind(self, number_id: str) -> Behind:
        """Return what stands behind a number, collected through its inputs, none twice, what weighs most first.

        An input whose doubt leaves nothing in the number is not behind it; one that has no doubt comes last.
        """
        number = self.declared(number_id)
        if number is None:
            return self._behind.get(number_id, NOTHING_BEHIND)
        found = [self.behind(name) for name in self._by_weight(number)]
        keys = dict.fromkeys(key for one in found for key in one.keys)
        return Behind(tuple(keys), tuple(dict.fromkeys(text for one in found for text in one.typed)))

    def _by_weight(self, number: Number) -> list[str]:
        """Return the inputs that count, in the order in which the number's terms come from them."""
        whole = self[number.id]
        if not isinstance(whole, Value):
            return []
        places = {term.source.id: place for place, term in enumerate(whole.terms)}
        ranks: dict[str, int] = {}
        for name in number.inputs:
            found = self[name]
            ids = [term.source.id for term in found.terms if term.u] if isinstance(found, Value) else []
            there = [places[one] for one in ids if one in places]
            if there or not ids:
                ranks[name] = min(there, default=len(places))
        return sorted(ranks, key=lambda name: ranks[name])

    def _worked_out(self, number: Number) -> Found:
        inputs = self._inputs(number)
        refused = [found for found in inputs.values() if isinstance(found, Refusal)]
        lacks = tuple(dict.fromkeys(name for gap in refused if isinstance(gap, Missing) for name in gap.lacks))
        if lacks:
            return Missing(number.id, lacks)
        if refused:
            return refused[0]
        values = {name: found for name, found in inputs.items() if isinstance(found, Value)}
        if len(values) < len(inputs):
            raise Unsound(f"{number.id} is worked out from an interval, which has no doubt to carry over")
        found = number.answer(values)
        if not isinstance(found, Refusal) and found.unit != number.unit:
            raise Unsound(f"{number.id} comes in {found.unit or 'no unit'}, declared in {number.unit or 'none'}")
        return found

    def _inputs(self, number: Number) -> dict[str, Found]:
        if number.id in self._open:
            raise Unsound(f"a circle: {' from '.join([*self._open, number.id])}")
        self._open.append(number.id)
        try:
            return {name: self[name] for name in number.inputs}
        finally:
            self._open.pop()
