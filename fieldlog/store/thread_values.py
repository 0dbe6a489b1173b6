"""Threads and turns in the files, given a type; apart from the other values since few logbooks hold any."""

from decimal import Decimal
from functools import lru_cache

from fieldlog.errors import QuantityError
from fieldlog.records.threads import ACCEPTED_TURNS, MOST_TURNS, Thread, Turns, parse_turns
from fieldlog.store.values import Refused, shortened_sentence, shown


def thread_from(value: object) -> Thread:
    """Return the thread that a value from a file stands for."""
    from fieldlog.standards.threads import ACCEPTED_THREAD

    if not isinstance(value, str):
        raise Refused(f"{shown(value)} is not text", f"{ACCEPTED_THREAD}, in quotes")
    return _thread(value)


@lru_cache(maxsize=256)
def _thread(text: str) -> Thread:
    from fieldlog.standards.threads import ACCEPTED_THREAD, parse_thread

    try:
        return parse_thread(text)
    except QuantityError as error:
        said, _, accepted = str(error).rstrip(".").partition("; ")
        raise Refused(said, accepted or ACCEPTED_THREAD) from None


def turns_from(value: object) -> Turns:
    """Return the turns that a value from a file stands for; a number, or text such as "42 1/2"."""
    if isinstance(value, str):
        try:
            return parse_turns(value)
        except QuantityError as error:
            raise Refused(shortened_sentence(error).partition(";")[0], ACCEPTED_TURNS) from None
    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    number = Decimal(value) if isinstance(value, int | Decimal) and is_number else Decimal("NaN")
    if not number.is_finite() or not 0 < number <= MOST_TURNS:
        raise Refused(f"{shown(value)} is not a number of turns", ACCEPTED_TURNS)
    return Turns(number)
