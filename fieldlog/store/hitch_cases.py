"""The hitches of a logbook as far as they are written down, each with every implement of the fleet."""

from collections.abc import Sequence
from pathlib import Path

from fieldlog.retrofit.cases import HitchCase, hitch_cases
from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file
from fieldlog.wear.states import MachineState


def read_cases(folder: Path, states: Sequence[MachineState]) -> tuple[HitchCase, ...]:
    """Return the cases of these machines, in their order."""
    implements = read_implements_file(folder).implements
    return tuple(
        case
        for state in states
        for case in hitch_cases(state.machine, read_hitch_file(folder, state.machine.id).parts, implements, state.links)
    )
