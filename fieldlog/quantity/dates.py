"""Dates in words, one way for every sentence and page; files and data keep 2026-11-03."""

import datetime

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def day_text(day: datetime.date | None) -> str:
    """Return a date as 3 Nov 2026, or 'never'."""
    return f"{day.day} {month_text(day)}" if day is not None else "never"


def month_text(day: datetime.date) -> str:
    """Return month and year of a date, as Nov 2026."""
    return f"{_MONTHS[day.month - 1]} {day.year}"
