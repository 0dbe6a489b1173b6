"""Gauge studies on disk: `studies/<date>-<instrument>.toml`, to which every trial is added as it is typed."""

import os
from collections.abc import Collection
from dataclasses import replace
from itertools import islice
from pathlib import Path, PurePosixPath

from fieldlog.errors import StoreError
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
from fieldlog.records.checks import MOST_TRIALS, Study, StudyReading
from fieldlog.records.problems import Problem
from fieldlog.store.atomic import append_bytes, create_file
from fieldlog.store.blocks import ACCEPTED_AT, AT, free_time, mended, newline_of
from fieldlog.store.document import FORMAT, Document, document_of, open_document
from fieldlog.store.files import STUDIES_FOLDER, Unreadable, os_reason, read_file, safe_name, shown_path, writing
from fieldlog.store.schema import table_from
from fieldlog.store.tables import read_array, read_head
from fieldlog.store.values import shown

READING = "reading"
_KINDS = (READING,)
_PEOPLE = said("accepted.write", example='people = "ada, ben"')
_HOLES = said("accepted.write", example='holes = "ring 20, ring 25, eye"')
_MOST_NAMES = 9  # one more than are told, so that it can be told that there are more


def read_studies(folder: Path) -> tuple[tuple[Study, ...], tuple[Problem, ...]]:
    """Return the studies of a logbook by date, and what is wrong in their files."""
    place = folder / STUDIES_FOLDER
    try:
        with os.scandir(place) as found:
            names = sorted(item.name for item in found if item.name.endswith(".toml") and item.name[0] != ".")
    except (FileNotFoundError, NotADirectoryError):
        return (), ()
    except OSError as error:
        return (), (Problem(STUDIES_FOLDER, 0, "", said("problem.unlisted", why=os_reason(error))),)
    read = [_read(open_document(folder, f"{STUDIES_FOLDER}/{name}", _KINDS)) for name in names]
    studies = [study for study, _ in read if study is not None]
    problems = [problem for _, faults in read for problem in faults]
    return tuple(sorted(studies, key=lambda study: (study.date, study.id))), tuple(problems)


def _read(document: Document) -> tuple[Study | None, list[Problem]]:
    head, problems = read_head(document, Study, fixed={"id": PurePosixPath(document.file).stem})
    placed, faults = read_array(document, READING, StudyReading)
    problems = [*document.problems, *problems, *faults]
    if head is None:
        return None, problems
    known = {"person": head.people_ids, "hole": head.hole_names, "number": range(1, head.trials + 1)}
    good: list[StudyReading] = []
    for item in placed:
        wrong = [key for key, among in known.items() if getattr(item.record, key) not in among]
        problems += [item.problem(key, *_not_in_plan(item.record, key, known[key])) for key in wrong]
        if not AT.match(item.record.at):
            problems.append(item.problem("at", said("problem.not_a_time", value=shown(item.record.at)), ACCEPTED_AT))
        elif not wrong:
            good.append(item.record)
    return replace(head, readings=tuple(good)), [*problems, *_head_faults(document, head)]


def _not_in_plan(trial: StudyReading, key: str, among: Collection[object]) -> tuple[Said, Said]:
    names = tuple(shortened(str(item)) for item in islice(among, _MOST_NAMES))
    accepted = said("accepted.plan", names=names) if names else said("accepted.plan_first")
    return said("problem.not_in_plan", value=shown(getattr(trial, key))), accepted


def _head_faults(document: Document, head: Study) -> list[Problem]:
    found: list[Problem] = []
    if not head.people_ids:
        found.append(document.problem(("", 0), "people", said("problem.names_nobody"), _PEOPLE))
    if len(head.hole_names) < 2:
        found.append(document.problem(("", 0), "holes", said("problem.few_holes"), _HOLES))
    if not 2 <= head.trials <= MOST_TRIALS:
        wrong, accepted = said("problem.trials", trials=head.trials), said("accepted.trials", most=MOST_TRIALS)
        found.append(document.problem(("", 0), "trials", wrong, accepted))
    return found


def create_study(folder: Path, study: Study) -> Study:
    """Put a study's plan on disk and return it with the id it got.

    Raises:
        StoreError: there is one of that day and instrument already, or the disk refuses.
    """
    safe_name(study.instrument, "file")
    made = replace(study, id=f"{study.date.isoformat()}-{study.instrument}", readings=())
    with writing(folder):
        create_file(_path(folder, made.id), _head_text(made).encode("utf-8"))
    return made


def append_trial(folder: Path, study_id: str, trial: StudyReading) -> StudyReading:
    """Put a trial on disk (fsync returned) and return it as stored; `at` differs when its second was taken.

    Raises:
        StoreError: nothing was written; the message says why.
    """
    path = _path(folder, study_id)
    with writing(folder):
        try:
            data = read_file(path)
        except Unreadable as error:
            raise StoreError(said("refusal.cannot_add", file=shown_path(path), why=error.why)) from None
        document = document_of(path.name, data, _KINDS)
        if document.is_newer:
            raise StoreError(said("refusal.newer", file=path.name))
        if document.torn is not None:
            data = mended(path, document, data)
            document = document_of(path.name, data, _KINDS)
        before = _trials(document)
        stored = replace(trial, at=free_time(trial.at, frozenset(item.at for item in before)))
        block = _block(stored, data)
        if _trials(document_of(path.name, data + block, _KINDS)) != (*before, stored):
            raise StoreError(said("refusal.trial_differs"))
        append_bytes(path, block, expected_size=len(data))
    return stored


def _path(folder: Path, study_id: str) -> Path:
    return folder / STUDIES_FOLDER / f"{safe_name(study_id, 'study')}.toml"


def _trials(document: Document) -> tuple[StudyReading, ...]:
    return tuple(item.record for item in read_array(document, READING, StudyReading)[0])


def _block(trial: StudyReading, before: bytes) -> bytes:
    import tomli_w

    newline = newline_of(before)
    gap = "" if before.endswith(b"\n") else newline
    table = table_from(trial, leave_out={}, is_terse=True)
    text = f"\n[[{READING}]]\n{tomli_w.dumps(table, multiline_strings=False)}".replace("\n", newline)
    return (gap + text).encode("utf-8")


def _head_text(study: Study) -> str:
    import tomli_w

    table = table_from(study, leave_out={}, is_terse=False)
    kept = {key: value for key, value in table.items() if key not in {"id", "readings"}}
    return tomli_w.dumps({"format": FORMAT, **kept}, multiline_strings=False)
