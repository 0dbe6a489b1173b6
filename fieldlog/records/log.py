"""One machine with everything ever entered for it, in time order."""

from typing import TypeVar

from fieldlog.records.entries import AnyEntry, Entry, Round
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Machine

E = TypeVar("E", bound=Entry)


@dataclass(frozen=True, slots=True)
class MachineLog:
    """A machine, its rounds and entries in time order, and the keys of the entries that stand struck."""

    machine: Machine
    rounds: tuple[Round, ...] = ()
    entries: tuple[AnyEntry, ...] = ()
    struck: frozenset[str] = frozenset()

    def standing(self, kind: type[E]) -> tuple[E, ...]:
        """Return the entries of one kind that are not struck."""
        return tuple(entry for entry in self.entries if isinstance(entry, kind) and entry.key not in self.struck)
