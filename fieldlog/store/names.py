"""Which names may become names of files and folders in a logbook."""

import re
from pathlib import Path

from fieldlog.errors import StoreError

LOGBOOK_FILE = "logbook.toml"
MACHINE_FILE = "machine.toml"
ROUNDS_FOLDER = "rounds"
OFFERS_FOLDER = "offers"
RETROFITS_FOLDER = "retrofits"
STUDIES_FOLDER = "studies"
RESERVED = frozenset({OFFERS_FOLDER, RETROFITS_FOLDER, ROUNDS_FOLDER, STUDIES_FOLDER, "con", "prn", "aux", "nul"})
_SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._ -]{0,59}", re.ASCII)
ACCEPTED_NAME = "use letters, digits, dashes and single dots, 60 at most, not starting with a dot"


def is_safe_name(name: str) -> bool:
    """Tell whether a name stays inside its folder on every filesystem."""
    return bool(
        _SAFE.fullmatch(name) and ".." not in name and not name.endswith((".", " ")) and name.lower() not in RESERVED
    )


def safe_name(name: str, what: str) -> str:
    """Return the name, or refuse it."""
    if not is_safe_name(name):
        raise StoreError(f"{name!r} cannot be the name of a {what}; {ACCEPTED_NAME}.")
    return name


def machine_folder(folder: Path, machine_id: str) -> Path:
    """Return a machine's folder."""
    return folder / safe_name(machine_id, "machine")


def name_fault(name: str) -> str:
    """Return what is wrong with a name, empty when nothing is."""
    return "" if is_safe_name(name) else f"cannot stand in the name of a file; {ACCEPTED_NAME}"
