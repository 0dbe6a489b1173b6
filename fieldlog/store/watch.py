"""Has somebody else edited the files? First by what a listing tells, which is cheap; by their bytes where it cannot.

A listing alone would miss an edit that keeps a file's size and falls into the same tick of the clock as the last
look at it. So a listing only counts once its newest file has been left alone for a while; until then, and
whenever the listing changed, the bytes decide.
"""

import os
import time
from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path

from fieldlog.store.files import (
    LOGBOOK_FILE,
    MACHINE_FILE,
    OFFERS_FOLDER,
    RETROFITS_FOLDER,
    ROUNDS_FOLDER,
    STUDIES_FOLDER,
    Unreadable,
    is_safe_name,
    read_file,
)

Stamp = str

_QUIET_NS = 3_000_000_000  # the coarsest clock of a file system in use ticks every 2 s
_DIGEST_SIZE = 16
_FOLDER_FLAGS = os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC

_Row = tuple[str, int, int, int, int, int]  # name, device, inode, size, time of the last edit and of the last change


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
    return stamp_of(parts)


def logbook_stamp(folder: Path) -> Stamp:
    """Return a stamp of what holds for all machines, and of which machines there are."""
    try:
        with os.scandir(folder) as found:
            names = sorted(item.name for item in found if not item.name.startswith("."))
    except OSError:
        return ""
    parts = [contents_of_logbook(folder).encode()]
    for name in names:
        holds = [os.path.lexists(f"{folder}/{name}/{part}") for part in (MACHINE_FILE, ROUNDS_FOLDER)]
        parts += [os.fsencode(name), b"%d%d" % tuple(holds)]
    return stamp_of(parts)


def stamp_beside(folder: Path, machine_ids: Iterable[str]) -> Stamp:
    """Return a stamp of the listing of what lies beside the rounds: logbook.toml, offers, machines, recommendations."""
    rows = [_row(LOGBOOK_FILE, folder / LOGBOOK_FILE)]
    rows += [_row(item.name, Path(item)) for item in _toml_files(folder / OFFERS_FOLDER)]
    for machine_id in machine_ids:
        machine = folder / machine_id
        rows.append(_row(machine_id, machine / MACHINE_FILE))
        rows += [_row(item.name, Path(item)) for item in _toml_files(machine / RETROFITS_FOLDER)]
    return stamp_of([repr(rows).encode("utf-8", "surrogateescape")])


def _bytes_or_reason(path: Path) -> bytes:
    """Return what is in a file, or why nothing can be read of it."""
    try:
        return read_file(path)
    except Unreadable as error:
        return b"\0" + repr(error.why).encode("utf-8", "surrogateescape")


def _listed(folder: Path, machine_id: str) -> tuple[Stamp, bool]:
    """Return the stamp of the listing, and whether every file in it has been left alone for a while."""
    now_ns = time.time_ns()
    rows = [] if not is_safe_name(machine_id) else _rows(folder / machine_id)
    newest_ns = max((max(row[-2:]) for row in rows), default=0)
    return stamp_of([repr(rows).encode("utf-8", "surrogateescape")]), newest_ns < now_ns - _QUIET_NS


def _rows(machine: Path) -> list[_Row]:
    """Return a row for machine.toml and each round file; asked through the open folder, far cheaper than by path."""
    rows = [_row(MACHINE_FILE, machine / MACHINE_FILE)]
    try:
        handle = os.open(machine / ROUNDS_FOLDER, _FOLDER_FLAGS)
    except FileNotFoundError:
        return rows
    except OSError as error:
        return [*rows, _no_row(ROUNDS_FOLDER, error)]
    try:
        return rows + [_row(name, name, handle) for name in sorted(filter(_is_toml, os.listdir(handle)))]  # noqa: PTH208 -- an open folder has no path
    except OSError as error:
        return [*rows, _no_row(ROUNDS_FOLDER, error)]
    finally:
        os.close(handle)


def _row(name: str, path: str | Path, folder: int | None = None) -> _Row:
    """Return what a listing tells of a file that any edit of it would change."""
    try:
        found = os.stat(path, dir_fd=folder)
    except OSError as error:
        return _no_row(name, error)
    return name, found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns, found.st_ctime_ns


def _no_row(name: str, error: OSError) -> _Row:
    return name, error.errno or 0, 0, 0, 0, 0


def _contents(folder: Path, machine_id: str) -> str:
    """Return a digest of the names and bytes of a machine's files, wherever the logbook stands."""
    parts: list[bytes] = []
    for item in _files(folder, machine_id):
        parts += [os.fsencode(item.name), _bytes_or_reason(Path(item))]
    return stamp_of(parts)


def _files(folder: Path, machine_id: str) -> "list[Path | os.DirEntry[str]]":
    """Return the files that a reading of the machine opens."""
    if not is_safe_name(machine_id):
        return []
    machine = folder / machine_id
    return [machine / MACHINE_FILE, *_toml_files(machine / ROUNDS_FOLDER)]


def _toml_files(folder: Path) -> "list[Path | os.DirEntry[str]]":
    """Return the TOML files of a folder by name, or the folder itself where it cannot be listed."""
    try:
        with os.scandir(folder) as found:
            items = [item for item in found if _is_toml(item.name)]
    except FileNotFoundError:
        return []
    except OSError:
        return [folder]
    return [*sorted(items, key=lambda item: item.name)]


def _is_toml(name: str) -> bool:
    return name.endswith(".toml") and name[0] != "."


def stamp_of(parts: Iterable[bytes]) -> Stamp:
    """Return a digest of parts, each of which keeps its bounds."""
    digest = blake2b(digest_size=_DIGEST_SIZE)
    for part in parts:
        digest.update(b"%d:" % len(part))
        digest.update(part)
    return digest.hexdigest()
