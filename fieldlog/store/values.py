"""Values from a file, one at a time: what each may be, and what is said of one that it cannot be.

Threads and turns in the files, given a type; apart from the other values since few logbooks hold any.
"""

import datetime
import functools
from decimal import Decimal
from functools import lru_cache

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import harmless, shortened
from fieldlog.records.clock import ACCEPTED_CLOCK, Clock, parse_clock
from fieldlog.records.machine import (
    ACCEPTED_TURNS,
    MOST_TURNS,
    Share,
    Thread,
    Turns,
    parse_length_or_share,
    parse_turns,
)

LAST_YEAR = 2999  # what is later leaves no room for forecasts before the calendar ends
ACCEPTED_LENGTH = said("accepted.length")
ACCEPTED_SHARE = said("accepted.share")
_UNIT_MARKS = frozenset("'\"″′“”‘’")
_MOST_HOURS = 1_000_000
_LONGEST_SENTENCE = 200


class Refused(ValueError):
    """A value that a field cannot take."""

    def __init__(self, wrong: Said, accepted: Said) -> None:
        super().__init__(wrong)
        self.wrong = wrong
        self.accepted = accepted


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


def text_from(value: object) -> str:
    """Return the text that a value from a file stands for."""
    if not isinstance(value, str):
        raise Refused(said("problem.not_text", value=shown(value)), said("accepted.text"))
    return value


def list_from(value: object) -> list[object]:
    """Return the list that a value from a file stands for."""
    if not isinstance(value, list):
        raise Refused(said("problem.not_a_list", value=shown(value)), said("accepted.list"))
    return value


def whole_number_from(value: object) -> int:
    """Return the whole number that a value from a file stands for."""
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= 999:
        raise Refused(said("problem.not_whole", value=shown(value)), said("accepted.whole"))
    return value


def hours_from(value: object) -> Decimal:
    """Return the hours that a value from a file stands for."""
    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    number = Decimal(value) if isinstance(value, int | Decimal) and is_number else Decimal("NaN")
    if not number.is_finite() or number.is_signed() or number >= _MOST_HOURS:
        raise Refused(said("problem.not_hours", value=shown(value)), said("accepted.hours"))
    return number


def date_from(value: object) -> datetime.date:
    """Return the date that a value from a file stands for."""
    if not isinstance(value, datetime.date) or isinstance(value, datetime.datetime):
        raise Refused(said("problem.not_a_date", value=shown(value)), said("accepted.date"))
    if value.year > LAST_YEAR:
        raise Refused(said("problem.cannot_be_right", value=str(value)), said("accepted.mend_date"))
    return value


def length_from(value: object) -> Length:
    """Return the length that a value from a file stands for; a number without a unit is refused."""
    if not isinstance(value, str):
        raise Refused(said("problem.no_unit", value=shown(value)), ACCEPTED_LENGTH)
    return _length(value)


@functools.lru_cache(maxsize=4096)
def _length(text: str) -> Length:
    if not any(char.isalpha() or char in _UNIT_MARKS for char in text):
        raise Refused(said("problem.no_unit", value=shown(text)), ACCEPTED_LENGTH)
    try:
        return parse_length(text)
    except QuantityError as error:
        raise Refused(wrong_of(error), ACCEPTED_LENGTH) from None


def wrong_of(error: QuantityError) -> Said:
    """Return what is wrong with a text that is refused as typed text is."""
    return error.what if isinstance(error.what, Said) else said("problem.not_usable", refusal=cut(str(error.what)))


def cut(sentence: str) -> str:
    """Return a sentence that quotes a value, no longer than a person reads."""
    plain = harmless(sentence[:_LONGEST_SENTENCE])
    return plain if len(sentence) <= _LONGEST_SENTENCE else f"{plain}..."


def length_or_share_from(value: object) -> Length | Share:
    """Return the length or the share that a value from a file stands for."""
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return _share(value)
    try:
        return length_from(value)
    except Refused as error:
        raise Refused(
            error.wrong, said("accepted.length_or_share", length=error.accepted, share=ACCEPTED_SHARE)
        ) from None


def _share(text: str) -> Share:
    try:
        share = parse_length_or_share(text)
    except QuantityError:
        share = None
    if not isinstance(share, Share):
        raise Refused(said("problem.not_a_share", value=shown(text)), ACCEPTED_SHARE)
    return share


def clock_from(value: object) -> Clock:
    """Return the clock position that a value from a file stands for."""
    if not isinstance(value, str):
        raise Refused(said("problem.not_text", value=shown(value)), said("accepted.in_quotes", accepted=ACCEPTED_CLOCK))
    try:
        return _clock_text(value)
    except QuantityError:
        raise Refused(said("problem.no_clock", value=shown(value)), ACCEPTED_CLOCK) from None


_clock_text = functools.lru_cache(maxsize=512)(parse_clock)


def thread_from(value: object) -> Thread:
    """Return the thread that a value from a file stands for."""
    from fieldlog.standards.threads import ACCEPTED_THREAD

    if not isinstance(value, str):
        raise Refused(
            said("problem.not_text", value=shown(value)), said("accepted.in_quotes", accepted=ACCEPTED_THREAD)
        )
    return _thread(value)


@lru_cache(maxsize=256)
def _thread(text: str) -> Thread:
    from fieldlog.standards.threads import ACCEPTED_THREAD, parse_thread

    try:
        return parse_thread(text)
    except QuantityError as error:
        accepted = error.accepted if isinstance(error.accepted, Said) else ACCEPTED_THREAD
        raise Refused(wrong_of(error), accepted) from None


def turns_from(value: object) -> Turns:
    """Return the turns that a value from a file stands for; a number, or text such as "42 1/2"."""
    if isinstance(value, str):
        try:
            return parse_turns(value)
        except QuantityError as error:
            raise Refused(wrong_of(error), ACCEPTED_TURNS) from None
    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    number = Decimal(value) if isinstance(value, int | Decimal) and is_number else Decimal("NaN")
    if not number.is_finite() or not 0 < number <= MOST_TURNS:
        raise Refused(said("problem.not_turns", value=shown(value)), ACCEPTED_TURNS)
    return Turns(number)
