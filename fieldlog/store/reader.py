"""A logbook folder read into records and problems."""

import datetime
from dataclasses import dataclass
from pathlib import Path
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Logbook
from fieldlog.records.problems import Problem
from fieldlog.store.watch import Stamp


@dataclass(frozen=True, slots=True)
class LogbookRead:
    """What stands in logbook.toml, which machine folders there are, and what is wrong in them."""

    logbook: Logbook
    machine_ids: tuple[str, ...]
    problems: tuple[Problem, ...]
    read_only: bool = False


@dataclass(frozen=True, slots=True)
class MachineRead:
    """One machine with its entries, what is wrong in its files, and their stamp as it was before the read."""

    log: MachineLog
    problems: tuple[Problem, ...]
    stamps: Stamp
    read_only: bool = False


def read_logbook(folder: Path) -> LogbookRead:
    """Read logbook.toml and list the machines. StoreError: no logbook here."""
    raise NotImplementedError


def read_machine(folder: Path, machine_id: str, logbook: Logbook, today: datetime.date | None = None) -> MachineRead:
    """Read one machine with its rounds."""
    raise NotImplementedError


def check_logbook(folder: Path, today: datetime.date | None) -> tuple[Problem, ...]:
    """Return everything wrong in a logbook, in path and line order. (will be in fieldlog.store.check too)"""
    raise NotImplementedError
