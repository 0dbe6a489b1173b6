"""What a reading of the files gives back; apart from the readers, so that a result can be had without them."""

from typing import TYPE_CHECKING

from fieldlog.records.frozen import dataclass
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Logbook
from fieldlog.records.problems import Problem

if TYPE_CHECKING:
    from fieldlog.store.round_reader import RoundRead


@dataclass(frozen=True, slots=True)
class LogbookRead:
    """What stands in logbook.toml, which machine folders there are, and what is wrong in them."""

    logbook: Logbook
    machine_ids: tuple[str, ...]
    problems: tuple[Problem, ...]
    read_only: bool = False


@dataclass(frozen=True, slots=True)
class MachineRead:
    """One machine with its entries, and what is wrong in its files; `rounds` spare the next reading work."""

    log: MachineLog
    problems: tuple[Problem, ...]
    read_only: bool = False
    rounds: "tuple[RoundRead, ...]" = ()
