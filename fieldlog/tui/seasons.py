"""The season that runs now, worked out from an open logbook."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from fieldlog.wear.season import FleetSeason, machine_season, season_of

if TYPE_CHECKING:
    from fieldlog.tui.session import Session
    from fieldlog.wear.states import MachineState


def fleet_season(session: "Session", states: "Sequence[MachineState]") -> FleetSeason:
    """Return the season that runs today over some machines."""
    now, before = (season_of(session.logbook, session.today(), back) for back in (0, 1))
    found = (machine_season(state, session.index(state.machine.id), now, before) for state in states)
    return FleetSeason(now, tuple(found))
