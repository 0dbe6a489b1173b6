"""Seasons, and what the pages of a machine rest on, taken from an open logbook.

Seasons of machines once worked out in a sitting, kept for as long as nothing they rest on has changed.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fieldlog.store.watch import Look, Stamp, look_again
from fieldlog.wear.numbers.page import Ground
from fieldlog.wear.season import MachineSeason, machine_season, season_of
from fieldlog.wear.trends.rates import Beside

if TYPE_CHECKING:
    from fieldlog.app.book import Book
    from fieldlog.wear.summary import RateRow


def season_now(session: "Book", machine_id: str, back: int = 0) -> MachineSeason:
    """Return a machine's season that runs today, or one so many years back."""
    now, before = (season_of(session.logbook, session.today(), back + more) for more in (0, 1))
    return machine_season(session.state(machine_id), session.index(machine_id), now, before)


def ground_of(session: "Book", machine_id: str, rows: "Sequence[RateRow]", back: int = 0) -> Ground:
    """Return what a machine's pages rest on; `rows` are the rates of the fleet, the season is so many years back."""
    now, before = (season_of(session.logbook, session.today(), back + more) for more in (0, 1))
    beside = Beside(machine_id, rows)
    return Ground(session.state(machine_id), session.log(machine_id), session.index(machine_id), beside, (now, before))


@dataclass(slots=True)
class SeasonWork:
    """The seasons by machine and years back; each rests on the machine's files, the logbook's and the day."""

    _kept: dict[tuple[str, int], tuple[Look, Stamp, datetime.date, MachineSeason]] = field(default_factory=dict)

    def of(self, session: "Book", machine_id: str, back: int) -> MachineSeason:
        """Return a machine's season so many years back, worked out now where that must be."""
        today, stamp = session.today(), session.head.stamp
        if (kept := self._kept.get((machine_id, back))) is not None:
            look, *rests_on, found = kept
            if rests_on == [stamp, today] and look_again(session.folder, machine_id, look) is not None:
                return found
        was_open = session.has_open(machine_id)
        found = season_now(session, machine_id, back)
        self._kept[machine_id, back] = (session.seen(machine_id)[1], stamp, today, found)
        if not was_open:
            session.close(machine_id)
        return found
