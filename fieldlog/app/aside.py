"""Machines worked out and put aside in a temporary file, so that those of a large logbook never fill the memory."""

import pickle
import tempfile
from dataclasses import replace
from typing import TYPE_CHECKING, BinaryIO, cast

if TYPE_CHECKING:
    from fieldlog.store.reader import MachineRead
    from fieldlog.wear.states import MachineState

MOST_ENTRIES = 1000  # of machines that stay in memory; about 5 kB each with all that is worked out from them


class Aside:
    """The machines put aside; the first ones stay in memory as long as they have few entries together."""

    def __init__(self, most_entries: int = MOST_ENTRIES) -> None:
        self._left = most_entries
        self._staying: set[str] = set()
        self._places: dict[str, tuple[int, bool]] = {}
        self._file: BinaryIO | None = None

    def put(self, machine_id: str, read: "MachineRead", state: "MachineState | None") -> bool:
        """Put a machine aside, with its state where that is known; tell whether it need not stay in memory."""
        if machine_id in self._staying:
            return False
        if machine_id in self._places and self._places[machine_id][1] >= (state is not None):
            return True
        if len(read.log.entries) <= self._left:
            self._left -= len(read.log.entries)
            self._staying.add(machine_id)
            return False
        if self._file is None:
            self._file = cast("BinaryIO", tempfile.TemporaryFile())  # noqa: SIM115 -- gone with this object
        self._places[machine_id] = self._file.seek(0, 2), state is not None
        joints = state.joints if state is not None else ()
        shell = replace(state, joints=()) if state is not None else None
        for part in (read, shell, len(joints), *joints):  # one by one, which takes far less memory than all at once
            pickle.dump(part, self._file, pickle.HIGHEST_PROTOCOL)
        return True

    def take(self, machine_id: str) -> "tuple[MachineRead, MachineState | None] | None":
        """Return a machine that was put aside, None when it was not."""
        if self._file is None or machine_id not in self._places:
            return None
        self._file.seek(self._places[machine_id][0])
        read, shell, count = (pickle.load(self._file) for _ in range(3))
        joints = tuple(pickle.load(self._file) for _ in range(count))
        return read, replace(shell, joints=joints) if shell is not None else None
