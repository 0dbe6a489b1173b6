"""A tractor's hydraulics as its manual states them or as they were gauged: [hydraulics] in machine.toml."""

from dataclasses import dataclass

from fieldlog.records.physical import Flow, Pressure
from fieldlog.records.quantities import Length


@dataclass(frozen=True, slots=True)
class Hydraulics:
    """Relief pressure, pump flow at the remotes, double-acting remotes, inside of the hose; as far as known."""

    relief: Pressure | None = None
    pump_flow: Flow | None = None
    remotes: int | None = None
    hose_inside: Length | None = None
