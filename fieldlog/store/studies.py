"""Gauge studies on disk: `studies/<date>-<instrument>.toml`, to which every trial is added as it is typed."""

import os
from collections.abc import Collection
from dataclasses import replace
from pathlib import Path, PurePosixPath

from fieldlog.errors import StoreError
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


def read_studies(folder: Path) -> tuple[tuple[Study, ...], tuple[Problem, ...]]:
    """Return the studies of a logbook by date, and what is wrong in their files."""
    place = folder / STUDIES_FOLDER
    try:
        with os.scandir(place) as found:
            names = sorted(item.name for item in found if item.name.endswith(".toml") and item.name[0] != ".")
    except (FileNotFoundError, NotADirectoryError):
        return (), ()
    except OSError as error:
        return (), (Problem(STUDIES_FOLDER, 0, "", f"cannot be listed: {os_reason(error)}", ""),)
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
            problems.append(item.problem("at", f"{shown(item.record.at)} is not a time", ACCEPTED_AT))
        elif not wrong:
            good.append(item.record)
    return replace(head, readings=tuple(good)), [*problems, *_head_faults(document, head)]


def _not_in_plan(trial: StudyReading, key: str, among: Collection[object]) -> tuple[str, str]:
    listed = shown(", ".join(str(item) for item in among))[1:-1]
    accepted = f"use one of: {listed}" if among else "name them in the study's head"
    return f"{shown(getattr(trial, key))} is not in the study's plan", accepted


def _head_faults(document: Document, head: Study) -> list[Problem]:
    found: list[Problem] = []
    if not head.people_ids:
        found.append(document.problem(("", 0), "people", "names nobody", 'write people = "ada, ben"'))
    if len(head.hole_names) < 2:
        wrong = "a study needs two holes or more"
        found.append(document.problem(("", 0), "holes", wrong, 'write holes = "ring 20, ring 25, eye"'))
    if not 2 <= head.trials <= MOST_TRIALS:
        wrong = f"{head.trials} trials each"
        found.append(document.problem(("", 0), "trials", wrong, f"write a number from 2 to {MOST_TRIALS}"))
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
            raise StoreError(f"{shown_path(path)} cannot be added to: {error}.") from None
        document = document_of(path.name, data, _KINDS)
        if document.is_newer:
            raise StoreError(f"{path.name} was made by a newer program; nothing is written to it.")
        if document.torn is not None:
            data = mended(path, document, data)
            document = document_of(path.name, data, _KINDS)
        before = _trials(document)
        stored = replace(trial, at=free_time(trial.at, frozenset(item.at for item in before)))
        block = _block(stored, data)
        if _trials(document_of(path.name, data + block, _KINDS)) != (*before, stored):
            raise StoreError("This trial cannot be written so that it reads back the same; nothing was written.")
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
