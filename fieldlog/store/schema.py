"""TOML tables into records and back: the one place where a value of any shape is given a type.

Every table is structured on its own, so one bad record never hides another. A fast converter does the work; only
a table that it refuses goes through a second one that collects everything wrong in it.
"""

import datetime
import functools
from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, dataclass, fields
from decimal import Decimal
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, TypeVar, get_args, get_origin

from fieldlog.errors import QuantityError
from fieldlog.records.clock import ACCEPTED_CLOCK, Clock, parse_clock
from fieldlog.records.entries import Entry
from fieldlog.records.machine import Share
from fieldlog.records.quantities import Length, parse_length
from fieldlog.records.shares import parse_length_or_share
from fieldlog.records.threads import Thread, Turns
from fieldlog.store.toml_text import Table, shortened

if TYPE_CHECKING:
    from cattrs import Converter

T = TypeVar("T")

GIVEN_BY_FILE = frozenset({"round", "day", "who"})
ACCEPTED_LENGTH = "write a length in quotes with its unit, as \"19.42 mm\", '3/4 in' or '20 3/4- in'"
ACCEPTED_SHARE = 'write a share of the diameter as "3.5 %"'
_UNIT_MARKS = frozenset("'\"″′“”‘’")
_MOST_HOURS = 1_000_000
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
    wrong: str
    accepted: str


class Refused(ValueError):
    """A value that a field cannot take."""

    def __init__(self, wrong: str, accepted: str) -> None:
        super().__init__(wrong)
        self.wrong = wrong
        self.accepted = accepted


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


def shown(value: object) -> str:
    """Return a value from a file in a few harmless characters."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            return f'"{shortened(value)}"'
        case int() if abs(value) > 10**30:  # Python refuses to print the largest
            return "a huge number"
        case list():
            return "a list"
        case dict():
            return "a table"
        case _:
            return shortened(str(value))


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

    from fieldlog.store import thread_values
    from fieldlog.store.check_values import register_checks

    converter = Converter(detailed_validation=is_detailed)
    register_checks(converter)
    converter.register_structure_hook(str, lambda value, _: _text(value))
    converter.register_structure_hook(int, lambda value, _: _whole_number(value))
    converter.register_structure_hook(Decimal, lambda value, _: _hours(value))
    converter.register_structure_hook(datetime.date, lambda value, _: _date(value))
    converter.register_structure_hook(Length, lambda value, _: length_from(value))
    converter.register_structure_hook(Clock, lambda value, _: _clock(value))
    converter.register_structure_hook(Thread, lambda value, _: thread_values.thread_from(value))
    converter.register_structure_hook_func(lambda kind: kind is Turns, lambda value, _: thread_values.turns_from(value))
    converter.register_structure_hook_func(_is_choice, _choice)
    converter.register_structure_hook_func(lambda kind: hasattr(kind, "from_text"), _read_by_itself)
    converter.register_structure_hook_func(
        lambda kind: kind in (Length | Share, Length | Share | None), lambda value, _: _length_or_share(value)
    )
    converter.register_structure_hook_func(
        _is_tuple,
        lambda value, kind: tuple(converter.structure(item, get_args(kind)[0]) for item in _list(value)),
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
        return Fault(key, "is missing", f"write {_EXAMPLES.get(key, key)}")
    if isinstance(error, Refused):
        return Fault(key, error.wrong, error.accepted)
    return Fault(key, str(error).rstrip("."), "")


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not text", 'put it in quotes, as in "abc"')
    return value


def _list(value: object) -> list[object]:
    if not isinstance(value, list):
        raise Refused(f"{shown(value)} is not a list", 'write a list, as in ["lip", "dry"]')
    return value


def _whole_number(value: object) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= 999:
        raise Refused(f"{shown(value)} is not a whole number from 1 to 999", "write it as 3, without quotes")
    return value


def _hours(value: object) -> Decimal:
    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    number = Decimal(value) if isinstance(value, int | Decimal) and is_number else Decimal("NaN")
    if not number.is_finite() or number.is_signed() or number >= _MOST_HOURS:
        raise Refused(f"{shown(value)} is not a number of hours", "write it as 1234.5, without quotes")
    return number


LAST_YEAR = 2999  # what is later leaves no room for forecasts before the calendar ends


def _date(value: object) -> datetime.date:
    if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
        raise Refused(f"{shown(value)} is not a date", "write it as 2026-03-04, without quotes or time")
    if value.year > LAST_YEAR:
        raise Refused(f"{value} cannot be right", "mend the date")
    return value


def length_from(value: object) -> Length:
    """Return the length that a value from a file stands for; a number without a unit is refused."""
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} has no unit", ACCEPTED_LENGTH)
    return _length(value)


@functools.lru_cache(maxsize=4096)
def _length(text: str) -> Length:
    if not any(char.isalpha() or char in _UNIT_MARKS for char in text):
        raise Refused(f"{shown(text)} has no unit", ACCEPTED_LENGTH)
    try:
        return parse_length(text)
    except QuantityError as error:
        raise Refused(shortened_sentence(error), ACCEPTED_LENGTH) from None


def shortened_sentence(error: Exception) -> str:
    """Return the first sentence of a message, to be followed by what would be accepted here."""
    return str(error).partition(". ")[0].rstrip(".")


def _length_or_share(value: object) -> Length | Share:
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return _share(value)
    try:
        return length_from(value)
    except Refused as error:
        raise Refused(error.wrong, f"{error.accepted}, or {ACCEPTED_SHARE}") from None


def _share(text: str) -> Share:
    try:
        share = parse_length_or_share(text)
    except QuantityError:
        share = None
    if not isinstance(share, Share):
        raise Refused(f"{shown(text)} is not a share from above 0 to 100 %", ACCEPTED_SHARE)
    return share


def _clock(value: object) -> Clock:
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not text", f"{ACCEPTED_CLOCK}, in quotes")
    try:
        return _clock_text(value)
    except QuantityError:
        raise Refused(f"{shown(value)} is no clock position", ACCEPTED_CLOCK) from None


_clock_text = functools.lru_cache(maxsize=512)(parse_clock)


def _read_by_itself(value: object, kind: Any) -> object:
    """Read a value whose class knows its own words: `from_text` reads them, `accepted` says what they may be."""
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not text", f"{kind.accepted}, in quotes")
    try:
        return kind.from_text(value)
    except QuantityError as error:
        raise Refused(shortened_sentence(error).removesuffix(f"; {kind.accepted}"), kind.accepted) from None


def _choice(value: object, kind: Any) -> str:
    choices = get_args(kind)
    if not isinstance(value, str) or value not in choices:
        raise Refused(f"{shown(value)} is not a choice here", f"write one of: {', '.join(choices)}")
    return value
