"""Seasons of machines once worked out in a sitting, kept for as long as nothing they rest on has changed."""

import datetime
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from fieldlog.store.watch import Look, Stamp, look_again
from fieldlog.wear.season import MachineSeason, machine_season, season_of

if TYPE_CHECKING:
    from fieldlog.tui.session import Session


@dataclass(slots=True)
class SeasonWork:
    """The seasons by machine and years back; each rests on the machine's files, the logbook's and the day."""

    _kept: dict[tuple[str, int], tuple[Look, Stamp, datetime.date, MachineSeason]] = field(default_factory=dict)

    def of(self, session: "Session", machine_id: str, back: int) -> MachineSeason:
        """Return a machine's season so many years back, worked out now where that must be."""
        today, stamp = session.today(), session.head.stamp
        if (kept := self._kept.get((machine_id, back))) is not None:
            look, *rests_on, found = kept
            if rests_on == [stamp, today] and look_again(session.folder, machine_id, look) is not None:
                return found
        was_open = session.has_open(machine_id)
        now, before = (season_of(session.logbook, today, years) for years in (back, back + 1))
        found = machine_season(session.state(machine_id), session.index(machine_id), now, before)
        self._kept[machine_id, back] = (session.seen(machine_id)[1], stamp, today, found)
        if not was_open:
            session.close(machine_id)
        return found
