"""What like joints lend to one with few readings."""

import datetime

from fieldlog.quantity.lengths import Units
from fieldlog.quantity.text import month_text
from fieldlog.wear.parts import Parts
from fieldlog.wear.trends.hours import Axis, rounded, unit_of
from fieldlog.words.step import parts_text


def on_like_machines(units: Units, *, like: str) -> str:
    """Whose joints lend."""
    return f"on machines of the kind {like}"


def on_all_machines(units: Units) -> str:
    """Whose joints lend where there are too few on like machines."""
    return "on all machines"


def source(units: Units, *, count: int, like: str) -> str:
    """From where it is borrowed."""
    return f"from {count} like joints {like}"


def life(units: Units, *, count: int) -> str:
    """In place of what is left."""
    return f"from {count} like joints"


def brief(units: Units, *, is_now: bool, by: datetime.date | None) -> str:
    """When to measure, in a few words."""
    return f"borrowed: {'now' if is_now else f'by {_by_text(by)}'}"


def measure_and_ask(units: Units, *, is_now: bool, by: datetime.date | None, parts: Parts) -> str:
    """A joint that is not due by its own readings."""
    return f"Measure again {'now' if is_now else f'by {_by_text(by)}'}, and {_ask_text(parts)}"


def may_not_last(units: Units, *, parts: Parts) -> str:
    """A joint that is due anyway."""
    return f"By its kind it may not last the season: {_ask_text(parts)}"


def _by_text(by: datetime.date | None) -> str:
    return month_text(by) if by is not None else "the end of the season"


def _ask_text(parts: Parts) -> str:
    return f"ask where {parts_text(parts)} can be had. Order nothing on a borrowed rate: its own readings decide."


def borrowed_from(units: Units, *, count: int, like: str, days: int) -> str:
    """That it is borrowed, from where and why."""
    own = {1: "one measuring day", 2: "two measuring days"}.get(days, f"{days} days")
    return f"Borrowed from {count} like joints {like}, since it has {own} of its own:"


def no_forecast(units: Units, *, head: str) -> str:
    """Nothing is foretold."""
    return f"{head} even so no forecast can be given."


def forecast(units: Units, *, head: str, left: float, axis: Axis, date: datetime.date | None) -> str:
    """When the limit may be reached."""
    if left <= 0:
        return f"{head} it may have reached its limit already."
    month = f" ({month_text(date)})" if date is not None else ""
    return f"{head} it may reach its limit in {rounded(left)} {unit_of(axis)}{month} at the earliest."


def mean(units: Units, *, count: int, like: str) -> str:
    """The mean of the kind as a number."""
    return f"{count} joints {like}, each by its own doubt and the differences"
