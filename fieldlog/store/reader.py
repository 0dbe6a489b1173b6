"""What a reading of the files gives back; apart from the readers, so that a result can be had without them.

A logbook folder read into records and problems; a bad file or record never hides the good ones.
"""

import datetime
import os
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from fieldlog.errors import StoreError
from fieldlog.quantity.said import said
from fieldlog.quantity.text import harmless, shortened
from fieldlog.records.checks import Check, Study
from fieldlog.records.entries import MachineLog, in_time_order, struck_keys
from fieldlog.records.machine import Hands, Hole, Instrument, Joint, Limit, Link, Logbook, Machine, Person
from fieldlog.records.problems import Problem
from fieldlog.store.blocks import KIND_NAMES, RoundRead, read_round
from fieldlog.store.document import Document, open_document, text_of
from fieldlog.store.files import (
    ACCEPTED_NAME,
    LOGBOOK_FILE,
    MACHINE_FILE,
    OFFERS_FOLDER,
    ROUNDS_FOLDER,
    STUDIES_FOLDER,
    Unreadable,
    is_safe_name,
    os_reason,
    read_file,
    shown_path,
)
from fieldlog.store.meaning import (
    check_checks,
    check_hours,
    check_instruments,
    check_machine,
    check_people,
    check_round,
    check_strikes,
    known_ids,
)
from fieldlog.store.tables import Placed, read_array, read_head, read_named


@dataclass(frozen=True, slots=True)
class LogbookRead:
    """What stands in logbook.toml, which machine folders there are, and what is wrong in them."""

    logbook: Logbook
    machine_ids: tuple[str, ...]
    problems: tuple[Problem, ...]
    read_only: bool = False
    document: Document = field(default_factory=lambda: Document(LOGBOOK_FILE))
    studies: tuple[Study, ...] = ()


@dataclass(frozen=True, slots=True)
class MachineRead:
    """One machine with its entries, and what is wrong in its files; `rounds` spare the next reading work.

    `document` is its machine.toml, from which hitch and hydraulics are read when they are looked at.
    """

    log: MachineLog
    problems: tuple[Problem, ...]
    read_only: bool = False
    rounds: "tuple[RoundRead, ...]" = ()
    document: Document = field(default_factory=lambda: Document(MACHINE_FILE))


R = TypeVar("R")

_NOT_MACHINES = frozenset({OFFERS_FOLDER, STUDIES_FOLDER})


def read_logbook(folder: Path, today: datetime.date | None = None) -> LogbookRead:
    """Read logbook.toml and list the machines.

    Raises:
        StoreError: there is no logbook in the folder.
    """
    document = open_document(folder, LOGBOOK_FILE)
    if not document.is_there:
        raise StoreError(said("refusal.no_logbook", folder=shown_path(folder), file=LOGBOOK_FILE))
    head, problems = read_head(document, Logbook, fixed={}, defaults={"name": folder.name or "logbook"})
    people, faults_1 = read_named(document, "people", Person)
    instruments, faults_2 = read_named(document, "instruments", Instrument)
    limits, faults_3 = read_array(document, "limits", Limit)
    checks, faults_4 = read_array(document, "checks", Check)
    machine_ids, faults_5 = _machine_ids(folder)
    studies, hands, faults_6 = _hands(folder)
    logbook = replace(
        head or Logbook(folder.name or "logbook"),
        people=tuple(item.record for item in people),
        instruments=tuple(_with_checks(item.record, checks, hands) for item in instruments),
        limits=tuple(item.record for item in limits),
    )
    checked = (*check_people(people), *check_instruments(instruments))
    checked += tuple(check_checks(checks, logbook.instruments, today))
    found = (*document.problems, *problems, *faults_1, *faults_2, *faults_3, *faults_4, *checked, *faults_5, *faults_6)
    return LogbookRead(logbook, machine_ids, found, document.is_newer, document, studies)


def _with_checks(instrument: Instrument, checks: Sequence[Placed[Check]], hands: Sequence[Hands]) -> Instrument:
    """Return an instrument with its own checks, in the order of the file, and what studies found about it."""
    return replace(
        instrument,
        checks=tuple(c.record for c in checks if c.record.instrument == instrument.id),
        hands=tuple(item for item in hands if item.instrument == instrument.id),
    )


def _hands(folder: Path) -> tuple[tuple[Study, ...], Sequence[Hands], Sequence[Problem]]:
    """Return the gauge studies, what they found, and what is wrong in their files."""
    if not (folder / STUDIES_FOLDER).is_dir():
        return (), (), ()
    from fieldlog.measure.gauge_study import hands_of
    from fieldlog.store.studies import read_studies

    studies, problems = read_studies(folder)
    return studies, hands_of(studies), problems


def implement_problems(document: Document) -> tuple[Problem, ...]:
    """Return what is wrong with the implements in logbook.toml; they are read only when a hitch is looked at.

    Their weights may need the library of units, which takes longer to load than everything else together.
    """
    if not any(name in document.table for name in ("implements", "mast_holes", "points")):
        return ()
    from fieldlog.store.hitch_reader import read_implements

    return read_implements(document).problems


def side_problems(document: Document) -> tuple[Problem, ...]:
    """Return what is wrong in the hitch and hydraulics of a machine.toml, which are read only when looked at."""
    found: tuple[Problem, ...] = ()
    if any(name in document.table for name in ("hitch", "top_holes", "rod_holes")):
        from fieldlog.store.hitch_reader import read_hitch

        found = read_hitch(document).problems
    if "hydraulics" in document.table:
        from fieldlog.store.hitch_reader import read_hydraulics

        found = (*found, *read_hydraulics(document)[1])
    return found


def _machine_ids(folder: Path) -> tuple[tuple[str, ...], list[Problem]]:
    """Return the folders of machines, and what is wrong with the others."""
    try:
        with os.scandir(folder) as found:
            names = sorted(item.name for item in found if not item.name.startswith("."))
    except OSError as error:
        return (), [Problem("", 0, "", said("problem.folder_unlisted", why=os_reason(error)))]
    ids: list[str] = []
    problems: list[Problem] = []
    for name in names:
        try:
            is_machine = name not in _NOT_MACHINES and _is_machine(folder / name)
        except OSError as error:
            problems.append(Problem(shortened(name), 0, "", said("problem.not_looked_into", why=os_reason(error))))
            continue
        if is_machine and not is_safe_name(name):
            problems.append(Problem(shortened(name), 0, "", said("problem.no_machine_name"), ACCEPTED_NAME))
        elif is_machine:
            ids.append(name)
    return tuple(ids), problems


def _is_machine(folder: Path) -> bool:
    """Tell whether a folder holds a machine.toml, or at least rounds; whatever stands there, `stat` decides."""
    for name in (MACHINE_FILE, ROUNDS_FOLDER):
        try:
            (folder / name).lstat()
        except (FileNotFoundError, NotADirectoryError):
            continue
        return True
    return False


def read_machine(
    folder: Path,
    machine_id: str,
    logbook: Logbook,
    today: datetime.date | None = None,
    before: MachineRead | None = None,
) -> MachineRead:
    """Read one machine with its rounds; what cannot be read is a problem, never an error.

    Of the rounds that an earlier reading found with the same bytes the entries are taken from there.
    """
    if not is_safe_name(machine_id):
        problem = Problem(shortened(machine_id), 0, "", said("problem.no_machine_name"), ACCEPTED_NAME)
        return MachineRead(MachineLog(Machine(machine_id)), (problem,))
    document = open_document(folder, f"{machine_id}/{MACHINE_FILE}")
    machine, problems = _read_machine_file(document, machine_id, logbook)
    rounds, round_problems = _read_rounds(folder, machine_id, before.rounds if before is not None else ())
    known = known_ids(machine, logbook, is_read=bool(document.table))
    for read in rounds:
        round_problems += [*read.problems, *check_round(read, known, today)]
    placed = [item for read in rounds for item in read.entries]
    round_problems += [*check_strikes(placed), *check_hours(placed)]
    entries = in_time_order(tuple(item.record for item in placed))
    heads = sorted((read.head for read in rounds if read.head is not None), key=lambda head: (head.date, head.id))
    log = MachineLog(machine, tuple(heads), entries, struck_keys(entries))
    return MachineRead(log, (*problems, *round_problems), document.is_newer, tuple(rounds), document)


def _read_machine_file(document: Document, machine_id: str, logbook: Logbook) -> tuple[Machine, list[Problem]]:
    head, problems = read_head(document, Machine, fixed={"id": machine_id})
    joints, faults_1 = read_named(document, "joints", Joint)
    holes, faults_2 = read_named(document, "holes", Hole)
    links, faults_3 = read_named(document, "links", Link)
    limits, faults_4 = read_array(document, "limits", Limit)
    machine = replace(
        head or Machine(machine_id),
        joints=_records(joints),
        holes=_records(holes),
        links=_records(links),
        limits=tuple(item.record for item in limits),
    )
    checked = check_machine(joints, holes, links, limits, known_ids(machine, logbook))
    return machine, [*document.problems, *problems, *faults_1, *faults_2, *faults_3, *faults_4, *checked]


def _records(placed: Sequence[Placed[R]]) -> tuple[R, ...]:
    return tuple(item.record for item in placed)


def _read_rounds(
    folder: Path, machine_id: str, before: Sequence[RoundRead] = ()
) -> tuple[list[RoundRead], list[Problem]]:
    place = folder / machine_id / ROUNDS_FOLDER
    try:
        with os.scandir(place) as found:
            names = sorted(item.name for item in found if item.name.endswith(".toml") and item.name[0] != ".")
    except FileNotFoundError:
        return [], []
    except OSError as error:
        wrong = said("problem.rounds_unlisted", why=os_reason(error))
        return [], [Problem(f"{machine_id}/{ROUNDS_FOLDER}", 0, "", wrong)]
    files = (f"{machine_id}/{ROUNDS_FOLDER}/{name}" for name in names)
    known = {read.document.file: read for read in before}
    return [_read_round(folder, file, known.get(harmless(file))) for file in files], []


def _read_round(folder: Path, file: str, before: RoundRead | None) -> RoundRead:
    """Read a round file, which takes long, unless its bytes are those of an earlier reading."""
    if before is not None and before.document.is_there:
        with suppress(Unreadable):
            if text_of(read_file(folder / file)) == before.document.text:
                return before
    return read_round(open_document(folder, file, KIND_NAMES))


def check_logbook(folder: Path, today: datetime.date | None) -> tuple[Problem, ...]:
    """Return everything wrong in a logbook, in path and line order.

    Raises:
        StoreError: there is no logbook in the folder.
    """
    from fieldlog.store.hints import logbook_hints, machine_hints, round_hints
    from fieldlog.store.offers import offer_hints, read_offers
    from fieldlog.store.retrofits import check_retrofits

    book = read_logbook(folder, today)
    problems = [*book.problems, *implement_problems(book.document), *logbook_hints(book.document)]
    offers = read_offers(folder)
    problems += [*offers.problems, *offer_hints(folder)]
    for machine_id in book.machine_ids:
        machine = read_machine(folder, machine_id, book.logbook, today)
        problems += side_problems(machine.document)
        links, offer_ids = (link.id for link in machine.log.machine.links), (offer.id for offer in offers.offers)
        problems += [*machine.problems, *check_retrofits(folder, machine_id, links, offer_ids)]
        problems += machine_hints(machine.document)
        for read in machine.rounds:
            problems += round_hints(read.document)
    return tuple(sorted(problems, key=_place_of))


def _place_of(problem: Problem) -> tuple[bool, str, int, str]:
    """Return where a problem comes in the list: logbook.toml first, since what is wrong there shows up everywhere."""
    return problem.file != LOGBOOK_FILE, problem.file, problem.line, problem.key
