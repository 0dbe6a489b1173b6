"""Seasons, and what the pages of a machine rest on, taken from an open logbook."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fieldlog.wear.page_numbers import Ground
from fieldlog.wear.rates import Beside
from fieldlog.wear.season import FleetSeason, machine_season, season_of

if TYPE_CHECKING:
    from fieldlog.tui.session import Session
    from fieldlog.wear.states import MachineState
    from fieldlog.wear.summary import RateRow


def fleet_season(session: "Session", states: "Sequence[MachineState]") -> FleetSeason:
    """Return the season that runs today over some machines."""
    now, before = (season_of(session.logbook, session.today(), back) for back in (0, 1))
    found = (machine_season(state, session.index(state.machine.id), now, before) for state in states)
    return FleetSeason(now, tuple(found))


def ground_of(session: "Session", machine_id: str, rows: "Sequence[RateRow]", back: int = 0) -> Ground:
    """Return what a machine's pages rest on; `rows` are the rates of the fleet, the season is so many years back."""
    now, before = (season_of(session.logbook, session.today(), back + more) for more in (0, 1))
    beside = Beside(machine_id, rows)
    return Ground(session.state(machine_id), session.log(machine_id), session.index(machine_id), beside, (now, before))
