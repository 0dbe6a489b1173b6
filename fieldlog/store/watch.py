"""Has somebody else edited the files? First by what a listing tells, which is cheap; by their bytes where it cannot.

A listing alone would miss an edit that keeps a file's size and falls into the same tick of the clock as the last
look at it. So a listing only counts once its newest file has been left alone for a while; until then, and
whenever the listing changed, the bytes decide.
"""

import os
import time
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path

from fieldlog.store.files import Unreadable, read_file
from fieldlog.store.names import LOGBOOK_FILE, MACHINE_FILE, ROUNDS_FOLDER, STUDIES_FOLDER, name_fault

Stamp = str

_QUIET_NS = 3_000_000_000  # the coarsest clock of a file system in use ticks every 2 s
_DIGEST_SIZE = 16


@dataclass(frozen=True, slots=True)
class Look:
    """What was seen of a machine's files: their listing, their bytes, and whether the listing alone can be trusted."""

    stamp: Stamp
    contents: str
    is_settled: bool


def look_at(folder: Path, machine_id: str) -> Look:
    """Return what a machine's files look like now."""
    stamp, is_settled = _listed(folder, machine_id)
    return Look(stamp, _contents(folder, machine_id), is_settled)


def look_again(folder: Path, machine_id: str, last: Look) -> Look | None:
    """Return what the files look like now when they still hold the same bytes as at the `last` look, else None."""
    stamp, is_settled = _listed(folder, machine_id)
    if stamp == last.stamp and last.is_settled:
        return last
    return Look(stamp, last.contents, is_settled) if _contents(folder, machine_id) == last.contents else None


def contents_of_logbook(folder: Path) -> str:
    """Return a digest of what holds for all machines: logbook.toml and the gauge studies."""
    parts = [_bytes_or_reason(folder / LOGBOOK_FILE)]
    for item in _toml_files(folder / STUDIES_FOLDER):
        parts += [os.fsencode(item.name), _bytes_or_reason(Path(item))]
    return _digest(parts)


def logbook_stamp(folder: Path) -> Stamp:
    """Return a stamp of what holds for all machines, and of which machines there are."""
    try:
        with os.scandir(folder) as found:
            names = sorted(item.name for item in found if not item.name.startswith("."))
    except OSError:
        return ""
    parts = [contents_of_logbook(folder).encode()]
    for name in names:
        holds = [os.path.lexists(folder / name / part) for part in (MACHINE_FILE, ROUNDS_FOLDER)]
        parts += [os.fsencode(name), b"%d%d" % tuple(holds)]
    return _digest(parts)


def _bytes_or_reason(path: Path) -> bytes:
    """Return what is in a file, or why nothing can be read of it."""
    try:
        return read_file(path)
    except Unreadable as error:
        return b"\0" + str(error).encode("utf-8", "surrogateescape")


def _listed(folder: Path, machine_id: str) -> tuple[Stamp, bool]:
    """Return the stamp of the listing, and whether every file in it has been left alone for a while."""
    now_ns = time.time_ns()
    rows: list[tuple[str | int, ...]] = []
    newest_ns = 0
    for item in _files(folder, machine_id):
        try:
            found = item.stat()
        except OSError as error:
            rows.append((item.name, error.errno or 0))
            continue
        changed_ns, modified_ns = found.st_ctime_ns, found.st_mtime_ns
        newest_ns = max(newest_ns, changed_ns, modified_ns)
        rows.append((item.name, found.st_dev, found.st_ino, found.st_size, modified_ns, changed_ns))
    return _digest([repr(rows).encode("utf-8", "surrogateescape")]), newest_ns < now_ns - _QUIET_NS


def _contents(folder: Path, machine_id: str) -> str:
    """Return a digest of the names and bytes of a machine's files, wherever the logbook stands."""
    parts: list[bytes] = []
    for item in _files(folder, machine_id):
        parts += [os.fsencode(item.name), _bytes_or_reason(Path(item))]
    return _digest(parts)


def _files(folder: Path, machine_id: str) -> "list[Path | os.DirEntry[str]]":
    """Return the files that a reading of the machine opens; what a listing gives is far cheaper than paths."""
    if name_fault(machine_id):
        return []
    machine = folder / machine_id
    return [machine / MACHINE_FILE, *_toml_files(machine / ROUNDS_FOLDER)]


def _toml_files(folder: Path) -> "list[Path | os.DirEntry[str]]":
    """Return the TOML files of a folder by name, or the folder itself where it cannot be listed."""
    try:
        with os.scandir(folder) as found:
            items = [item for item in found if item.name.endswith(".toml") and item.name[0] != "."]
    except FileNotFoundError:
        return []
    except OSError:
        return [folder]
    return [*sorted(items, key=lambda item: item.name)]


def _digest(parts: list[bytes]) -> str:
    """Return a digest of parts, each of which keeps its bounds."""
    digest = blake2b(digest_size=_DIGEST_SIZE)
    for part in parts:
        digest.update(b"%d:" % len(part))
        digest.update(part)
    return digest.hexdigest()
