"""Where the logbook is: named, here, the one used last, or none yet. The environment is read here."""

import os
from pathlib import Path

LOGBOOK_FILE = "logbook.toml"
_LAST = "last-logbook"


def find_logbook() -> Path | None:
    """Return the logbook in this folder, else the one used last, else the usual place; None when there is none."""
    for folder in (Path.cwd(), _remembered(), usual_place()):
        if folder is not None and (folder / LOGBOOK_FILE).is_file():
            return folder
    return None


def usual_place() -> Path:
    """Return where a logbook is started unless told otherwise."""
    return Path.home() / "fieldlog"


def remember(folder: Path) -> None:
    """Note which logbook was used last, outside the logbook; not being able to does no harm."""
    note = _note()
    try:
        note.parent.mkdir(parents=True, exist_ok=True)
        note.write_text(f"{folder}\n", encoding="utf-8")
    except OSError:
        return


def _remembered() -> Path | None:
    try:
        text = _note().read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return None
    return Path(text) if text else None


def cache_folder() -> Path:
    """Return where what was worked out may be kept: outside every logbook."""
    named = os.environ.get("XDG_CACHE_HOME", "")
    base = Path(named) if named.startswith("/") else Path.home() / ".cache"  # a relative one does not count
    return base / "fieldlog"


def _note() -> Path:
    base = os.environ.get("XDG_STATE_HOME") or str(Path.home() / ".local" / "state")
    return Path(base) / "fieldlog" / _LAST
