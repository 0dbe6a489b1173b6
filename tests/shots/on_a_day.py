"""Run the program as `python -m fieldlog` would on a given day, so that its pages are the same whenever they are taken.

Run as `python tests/shots/on_a_day.py 2026-11-28 [what follows "fieldlog"]`. The clock says ten in the morning of that
day when the program starts, and goes on from there.
"""

import datetime
import runpy
import sys
import time

_REAL = datetime.datetime
_TEN_IN_THE_MORNING = datetime.time(10, tzinfo=datetime.UTC)


class _AnyDate(type):
    def __instancecheck__(cls, thing: object) -> bool:
        return isinstance(thing, _REAL)


def set_clock(day: datetime.date) -> None:
    """Make every part of the program that asks for the time find this day."""
    start, began = _REAL.combine(day, _TEN_IN_THE_MORNING), time.monotonic()

    class OnADay(_REAL, metaclass=_AnyDate):
        """The usual date and time, but for what time it is now."""

        @classmethod
        def now(cls, tz: datetime.tzinfo | None = None) -> "OnADay":
            """Say the time of that day."""
            now = start + datetime.timedelta(seconds=time.monotonic() - began)
            local = now.astimezone(tz) if tz is not None else now.replace(tzinfo=None)
            return cls.combine(local.date(), local.timetz())

    datetime.datetime = OnADay  # type: ignore[misc] # all modules of the program look it up here


if __name__ == "__main__":
    set_clock(datetime.date.fromisoformat(sys.argv.pop(1)))
    runpy.run_module("fieldlog", run_name="__main__", alter_sys=True)
