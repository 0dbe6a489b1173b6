"""The hydraulics in a machine.toml; read when a cylinder is looked at, not at the start."""

from pathlib import Path

from fieldlog.records.hydraulics import Hydraulics
from fieldlog.records.problems import Problem
from fieldlog.store.document import Document, open_document
from fieldlog.store.names import MACHINE_FILE
from fieldlog.store.tables import ALONE, read_alone

HYDRAULICS = "hydraulics"
_MOST_REMOTES = 12
_MOST_HOSE_MM = 60


def read_hydraulics_file(folder: Path, machine_id: str) -> Hydraulics:
    """Return what a machine.toml says about its hydraulics; empty where it says nothing."""
    return read_hydraulics(open_document(folder, f"{machine_id}/{MACHINE_FILE}"))[0] or Hydraulics()


def read_hydraulics(document: Document) -> tuple[Hydraulics | None, list[Problem]]:
    """Return the hydraulics in a machine.toml, and what is wrong with them."""
    found, problems = read_alone(document, HYDRAULICS, Hydraulics)
    place = (HYDRAULICS, ALONE)
    if found is not None and found.remotes is not None and found.remotes > _MOST_REMOTES:
        wrong = f"{found.remotes} remotes cannot be right"
        problems.append(document.problem(place, "remotes", wrong, f"write how many there are, up to {_MOST_REMOTES}"))
    if found is not None and found.hose_inside is not None and not 0 < found.hose_inside.mm <= _MOST_HOSE_MM:
        wrong = f"{found.hose_inside.typed} is no hose"
        problems.append(document.problem(place, "hose_inside", wrong, 'write its inside diameter, as "3/8 in"'))
    return found, problems
