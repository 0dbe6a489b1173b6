"""Records as plain JSON values and back, with every value checked: what comes back may be torn, old or hostile.

A record becomes the list of its fields, in their order; a field that is added to one is carried without a word
here. Only kinds that are written out below are taken, and nothing that is read ever names code to be run.
"""

import datetime
import functools
import json
import math
import re
from collections.abc import Callable, Hashable
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from types import NoneType, UnionType
from typing import Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from fieldlog.quantity.said import Said

R = TypeVar("R")

_LONGEST_TEXT = 20_000
_MOST_WHOLE = 2**63
_SAID = "said"
_CODE = re.compile(r"[a-z_]+\.[a-z0-9_]+", re.ASCII)
_PLAIN_DECIMAL = re.compile(r"-?\d{1,20}(?:\.\d{1,20})?", re.ASCII)

_AS_THEY_ARE: frozenset[object] = frozenset({str, int, float, bool, NoneType})

Reader = Callable[[object], object]


class Unfit(ValueError):
    """A value that is not of the kind that is wanted."""


def to_plain(value: object) -> object:
    """Return a record as what JSON can write."""
    if type(value) in _AS_THEY_ARE:
        return value
    if isinstance(value, Said):
        return [value.code, [[name, _about(one)] for name, one in value.about]]
    names = _field_names(type(value))  # type: ignore[arg-type] # a class is hashable
    if names:
        return [to_plain(getattr(value, name)) for name in names]
    match value:
        case tuple():
            return [to_plain(item) for item in value]
        case Enum():
            return to_plain(value.value)
        case Decimal():
            return f"{value:f}"
        case datetime.date():
            return value.isoformat()
    raise TypeError(f"{type(value).__name__} cannot be kept")


def _about(value: object) -> object:
    """Return what something said is about: other things said under their sign, since any list may stand beside them."""
    if isinstance(value, Said):
        return {_SAID: to_plain(value)}
    return [_about(one) for one in value] if isinstance(value, tuple) else to_plain(value)


@functools.cache
def _field_names(kind: Hashable) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind)) if isinstance(kind, type) and is_dataclass(kind) else ()


def from_plain(kind: type[R], data: object) -> R:
    """Return the record that plain values stand for.

    Raises:
        Unfit: they do not stand for such a record.
    """
    wanted: Hashable = kind  # type: ignore[assignment] # a class is hashable
    return cast(R, _reader(wanted)(data))


def packed(record: object) -> bytes:
    """Return a record as a piece of JSON text, in which there is neither a line end nor a tab."""
    return json.dumps(to_plain(record), separators=(",", ":")).encode()


def unpacked(kind: type[R], data: bytes) -> R:
    """Return the record that a piece of text stands for.

    Raises:
        Unfit: it does not stand for such a record.
    """
    try:
        return from_plain(kind, json.loads(data))
    except (ValueError, RecursionError) as error:
        raise Unfit(str(error)) from None


@functools.cache
def _reader(kind: Hashable) -> Reader:
    if kind in _SIMPLE:
        return _SIMPLE[kind]
    origin, inner = get_origin(kind), get_args(kind)
    if origin in (Union, UnionType):
        return _optional(kind, inner)
    if origin is Literal:
        return functools.partial(_choice, {value: value for value in inner})
    if origin is tuple:
        return _list(_reader(inner[0])) if inner[-1] is Ellipsis else _row(tuple(map(_reader, inner)), None)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return functools.partial(_choice, {member.value: member for member in kind})
    if isinstance(kind, type) and is_dataclass(kind):
        hints = get_type_hints(kind)
        return _row(tuple(_reader(hints[field.name]) for field in fields(kind)), kind)
    raise TypeError(f"{kind} cannot be kept")


def _optional(kind: object, inner: tuple[object, ...]) -> Reader:
    others = [item for item in inner if item is not NoneType]
    if len(others) != 1:
        raise TypeError(f"{kind} cannot be kept")
    read = _reader(others[0])
    return lambda data: None if data is None else read(data)


def _row(readers: tuple[Reader, ...], kind: type[object] | None) -> Reader:
    def read(data: object) -> object:
        if not isinstance(data, list) or len(data) != len(readers):
            raise Unfit("not a row of this kind")
        values = [reader(value) for reader, value in zip(readers, data, strict=True)]
        return tuple(values) if kind is None else kind(*values)

    return read


def _said(data: object) -> object:
    if not isinstance(data, list) or len(data) != 2:
        raise Unfit("nothing said")
    code, about = data
    if not isinstance(code, str) or not _CODE.fullmatch(code) or not isinstance(about, list):
        raise Unfit("nothing said")
    pairs = [one if isinstance(one, list) and len(one) == 2 else [None, None] for one in about]
    return Said(code, tuple((str(_text(name)), _told(value)) for name, value in pairs))


def _told(data: object) -> object:
    """Return what something said is about: text, numbers, other things said, and rows of them."""
    match data:
        case {**only} if list(only) == [_SAID]:
            return _said(only[_SAID])
        case list():
            return tuple(map(_told, data))
        case str():
            return _text(data)
        case None | bool() | int() | float():
            return data
    raise Unfit("nothing that is said")


def _list(reader: Reader) -> Reader:
    def read(data: object) -> object:
        if not isinstance(data, list):
            raise Unfit("not a list")
        return tuple(map(reader, data))

    return read


def _choice(choices: dict[object, object], data: object) -> object:
    if not isinstance(data, str | int) or data not in choices:
        raise Unfit("not one of the choices")
    return choices[data]


def _text(data: object) -> object:
    if not isinstance(data, str) or len(data) > _LONGEST_TEXT:
        raise Unfit("not a text")
    return data


def _yes_or_no(data: object) -> object:
    if not isinstance(data, bool):
        raise Unfit("not yes or no")
    return data


def _whole(data: object) -> object:
    if not isinstance(data, int) or isinstance(data, bool) or abs(data) > _MOST_WHOLE:
        raise Unfit("not a whole number")
    return data


def _number(data: object) -> object:
    """Return a number; degrees of freedom may be infinite."""
    if not isinstance(data, int | float) or isinstance(data, bool):
        raise Unfit("not a number")
    try:
        number = float(data)
    except OverflowError:
        raise Unfit("not a number") from None
    if math.isnan(number):
        raise Unfit("not a number")
    return number


def _decimal(data: object) -> object:
    if not isinstance(data, str) or not _PLAIN_DECIMAL.fullmatch(data):
        raise Unfit("not a decimal")
    return Decimal(data)


def _date(data: object) -> object:
    if not isinstance(data, str):
        raise Unfit("not a date")
    try:
        return datetime.date.fromisoformat(data)
    except ValueError:
        raise Unfit("not a date") from None


_SIMPLE: dict[object, Reader] = {
    Said: _said,
    str: _text,
    bool: _yes_or_no,
    int: _whole,
    float: _number,
    Decimal: _decimal,
    datetime.date: _date,
}
