"""TOML tables into records and back: the one place where a value of any shape is given a type.

Every table is structured on its own, so one bad record never hides another. A fast converter does the work; only
a table that it refuses goes through a second one that collects everything wrong in it.

What stands in checks and heads beside plain lengths: readings that may be below zero, temperatures.
"""

import datetime
import functools
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, dataclass, fields, is_dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_args, get_origin, get_type_hints

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.units import Temperature, parse_temperature
from fieldlog.records.checks import Shown, parse_shown
from fieldlog.records.clock import Clock
from fieldlog.records.entries import Entry
from fieldlog.records.machine import Share, Thread, Turns
from fieldlog.store.toml_text import Table
from fieldlog.store.values import (
    Refused,
    clock_from,
    cut,
    date_from,
    hours_from,
    length_from,
    length_or_share_from,
    list_from,
    shown,
    text_from,
    whole_number_from,
    wrong_of,
)

if TYPE_CHECKING:
    from cattrs import Converter

T = TypeVar("T")

GIVEN_BY_FILE = frozenset({"round", "day", "who"})
_EXAMPLES: Mapping[str, str] = MappingProxyType(
    {
        "id": 'id = "a short name"',
        "size": 'size = "19.42 mm"',
        "clock": 'clock = "1:30"',
        "hole": 'hole = "the id of a hole"',
        "joint": 'joint = "the id of a joint"',
        "link": 'link = "the id of a link"',
        "way": 'way = "outer to inner"',
        "hours": "hours = 1234.5",
        "deed": 'deed = "greased"',
        "result": 'result = "goes"',
        "of": 'of = "09:34:12", the time of the entry',
        "why": 'why = "the reason"',
        "renew": 'renew = "0.8 mm"',
        "origin": 'origin = "who says so"',
        "name": 'name = "a name"',
        "at": 'at = "09:34:12" as the last line',
        "instrument": 'instrument = "the id of an instrument"',
        "date": "date = 2026-03-04",
        "kind": 'kind = "zero"',
        "readings": 'readings = ["0.01 mm", "0.00 mm"]',
    }
)


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong in one table."""

    key: str
    wrong: Said
    accepted: Said | None


def record_from(kind: type[T], table: Mapping[str, object]) -> T | tuple[Fault, ...]:
    """Return the record that a table holds, or everything wrong with it; unknown keys are passed over."""
    try:
        hook: Callable[[Any, Any], Any] = _hook(kind)  # type: ignore[arg-type] # a class is hashable
        record: T = hook(table, kind)
    except (AttributeError, KeyError, TypeError, ValueError):
        return _faults(kind, table)
    return record


def known_keys(kind: type[Any]) -> tuple[str, ...]:
    """Return the keys that a table of this kind can hold, in the order they are written."""
    given = GIVEN_BY_FILE if issubclass(kind, Entry) else frozenset()
    names = [field.name for field in fields(kind) if field.name not in given]
    return (*(name for name in names if name != "at"), *(name for name in names if name == "at"))


@functools.cache
def record_lists(kind: type[Any]) -> frozenset[str]:
    """Return the names under which a file holds lists of records that belong to a record of this kind."""
    inner = {name: get_args(hint)[:1] for name, hint in get_type_hints(kind).items() if _is_tuple(hint)}
    return frozenset(name for name, of in inner.items() if of and is_dataclass(of[0]))


def table_from(record: Any, *, leave_out: Mapping[str, object], is_terse: bool) -> Table:
    """Return the table of a record without what is empty or as in `leave_out`; terse leaves out defaults too."""
    by_name: dict[str, Field[Any]] = {field.name: field for field in fields(record)}
    table: Table = {}
    for name in known_keys(type(record)):
        value = getattr(record, name)
        is_default = is_terse and value == by_name[name].default
        is_needed = by_name[name].default is MISSING
        is_left_out = name in leave_out and value == leave_out[name]
        if is_needed or not (is_default or is_left_out or value in (None, "", ())):
            table[name] = plain_value(value)
    return table


def plain_value(value: object) -> object:
    """Return a field's value as it stands in a file."""
    typed = getattr(value, "typed", None)
    if isinstance(typed, str):
        return typed
    return [plain_value(item) for item in value] if isinstance(value, tuple) else value


@functools.cache
def _hook(kind: type[Any]) -> Callable[[Any, Any], Any]:
    return _converter(is_detailed=False).get_structure_hook(kind)


def _is_choice(kind: Any) -> bool:
    return get_origin(kind) is Literal


def _is_tuple(kind: Any) -> bool:
    return get_origin(kind) is tuple


@functools.cache
def _converter(*, is_detailed: bool) -> "Converter":
    from cattrs import Converter

    from fieldlog.store import values as thread_values

    converter = Converter(detailed_validation=is_detailed)
    register_checks(converter)
    converter.register_structure_hook(str, lambda value, _: text_from(value))
    converter.register_structure_hook(int, lambda value, _: whole_number_from(value))
    converter.register_structure_hook(Decimal, lambda value, _: hours_from(value))
    converter.register_structure_hook(datetime.date, lambda value, _: date_from(value))
    converter.register_structure_hook(Length, lambda value, _: length_from(value))
    converter.register_structure_hook(Clock, lambda value, _: clock_from(value))
    converter.register_structure_hook(Thread, lambda value, _: thread_values.thread_from(value))
    converter.register_structure_hook_func(lambda kind: kind is Turns, lambda value, _: thread_values.turns_from(value))
    converter.register_structure_hook_func(_is_choice, _choice)
    converter.register_structure_hook_func(lambda kind: hasattr(kind, "from_text"), _read_by_itself)
    converter.register_structure_hook_func(
        lambda kind: kind in (Length | Share, Length | Share | None), lambda value, _: length_or_share_from(value)
    )
    converter.register_structure_hook_func(
        _is_tuple,
        lambda value, kind: tuple(converter.structure(item, get_args(kind)[0]) for item in list_from(value)),
    )
    return converter


def _faults(kind: type[Any], table: Mapping[str, object]) -> tuple[Fault, ...]:
    from cattrs import ClassValidationError

    try:
        _converter(is_detailed=True).structure(table, kind)
    except ClassValidationError as group:
        return tuple(_fault(error) for error in group.exceptions)
    raise AssertionError(f"{kind} refused and taken")  # the two converters have the same hooks


def _fault(error: BaseException) -> Fault:
    from cattrs.errors import AttributeValidationNote

    notes = getattr(error, "__notes__", ())
    key = next((note.name for note in notes if isinstance(note, AttributeValidationNote)), "")
    if isinstance(error, KeyError):
        return Fault(key, said("problem.missing"), said("accepted.write", example=_EXAMPLES.get(key, key)))
    if isinstance(error, Refused):
        return Fault(key, error.wrong, error.accepted)
    return Fault(key, said("problem.not_usable", refusal=cut(str(error).rstrip("."))), None)


def _read_by_itself(value: object, kind: Any) -> object:
    """Read a value whose class knows its own words: `from_text` reads them, `accepted` says what they may be."""
    accepted: Said = kind.accepted
    if not isinstance(value, str):
        raise Refused(said("problem.not_text", value=shown(value)), said("accepted.in_quotes", accepted=accepted))
    try:
        return kind.from_text(value)
    except QuantityError as error:
        raise Refused(wrong_of(error), accepted) from None


def _choice(value: object, kind: Any) -> str:
    choices = get_args(kind)
    if not isinstance(value, str) or value not in choices:
        raise Refused(said("problem.not_a_choice", value=shown(value)), said("accepted.one_of", choices=choices))
    return value


ACCEPTED_READING = said("accepted.readings")
ACCEPTED_TEMPERATURE = said("accepted.temperature")


def register_checks(converter: "Converter") -> None:
    """Teach a converter to read what instruments showed, and temperatures."""
    converter.register_structure_hook(Shown, lambda value, _: shown_from(value))
    converter.register_structure_hook(Temperature, lambda value, _: temperature_from(value))


def shown_from(value: object) -> Shown:
    """Return what an instrument showed; a number without a unit is refused."""
    if not isinstance(value, str):
        raise Refused(said("problem.no_unit", value=shown(value)), ACCEPTED_READING)
    try:
        length_from(value.strip().removeprefix("-").removeprefix("+"))
        return parse_shown(value)
    except (Refused, QuantityError) as error:
        wrong = error.wrong if isinstance(error, Refused) else said("problem.not_a_reading", value=shown(value))
        raise Refused(wrong, ACCEPTED_READING) from None


@functools.lru_cache(maxsize=256)
def _temperature(text: str) -> Temperature:
    return parse_temperature(text)


def temperature_from(value: object) -> Temperature:
    """Return the temperature that a value from a file stands for; a number without a unit is refused."""
    if not isinstance(value, str) or not any(char.isalpha() for char in value):
        raise Refused(said("problem.no_unit", value=shown(value)), ACCEPTED_TEMPERATURE)
    try:
        return _temperature(value)
    except QuantityError:
        raise Refused(said("problem.no_temperature", value=shown(value)), ACCEPTED_TEMPERATURE) from None
