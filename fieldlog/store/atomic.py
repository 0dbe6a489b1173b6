"""All writing: replace a file whole, create one whole, or append one block; each durable before it returns.

Appending is how entries are kept: the old bytes stay where they are, and a block torn by a power cut is told
by its missing last key and cut off by the reader.
"""

import contextlib
import os
import stat
import tempfile
from pathlib import Path

from fieldlog.errors import StoreError

TEMPORARY_PREFIX = ".fieldlog-"
TEMPORARY_SUFFIX = ".part"
_NEW_FILE_MODE = 0o644


def replace_file(path: Path, data: bytes) -> None:
    """Replace a file by a whole new one: beside it, fsync, rename, fsync the folder. Links and mode are kept."""
    target = Path(os.path.realpath(path))
    try:
        mode = stat.S_IMODE(target.stat().st_mode)
    except FileNotFoundError:
        mode = _NEW_FILE_MODE & ~_umask()
    try:
        _write_beside(target, data, mode)
    except OSError as error:
        raise _refused("written", path, error) from error


def create_file(path: Path, data: bytes) -> None:
    """Make a new file, whole and durable; a file that is there already is left alone and refused."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() or path.is_symlink():
            raise StoreError(f"{path.name} is there already; nothing was written.")
        _write_beside(path, data, _NEW_FILE_MODE & ~_umask())
        _sync_folder(path.parent.parent)
    except OSError as error:
        raise _refused("made", path, error) from error


def append_bytes(path: Path, data: bytes) -> None:
    """Add bytes at the end and make them durable; on any failure the file is cut back to what it was."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CLOEXEC)
    except OSError as error:
        raise _refused("written", path, error) from error
    try:
        before = os.fstat(handle).st_size
        try:
            _write_all(handle, data)
            os.fsync(handle)
        except OSError as error:
            with contextlib.suppress(OSError):
                os.ftruncate(handle, before)
                os.fsync(handle)
            raise _refused("written", path, error) from error
    finally:
        os.close(handle)


def remove_leftovers(folder: Path) -> None:
    """Remove what a power cut left of unfinished replacements; never fails."""
    with contextlib.suppress(OSError):
        for leftover in folder.glob(f"{TEMPORARY_PREFIX}*{TEMPORARY_SUFFIX}"):
            leftover.unlink(missing_ok=True)


def _write_beside(target: Path, data: bytes, mode: int) -> None:
    remove_leftovers(target.parent)
    handle, name = tempfile.mkstemp(TEMPORARY_SUFFIX, TEMPORARY_PREFIX, target.parent)
    try:
        try:
            _write_all(handle, data)
            os.fchmod(handle, mode)
            os.fsync(handle)
        finally:
            os.close(handle)
        Path(name).replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink(missing_ok=True)
        raise
    _sync_folder(target.parent)


def _write_all(handle: int, data: bytes) -> None:
    """Write every byte; a full disk may take some of them without an error, so go on until all are taken."""
    left = memoryview(data)
    while left:
        left = left[os.write(handle, left) :]


def _sync_folder(folder: Path) -> None:
    """Make a rename durable; filesystems that cannot sync a folder are left as they are."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _refused(verb: str, path: Path, error: OSError) -> StoreError:
    why = (error.strerror or str(error)).lower()
    return StoreError(f"{path} could not be {verb}: {why}. Nothing that was accepted before is lost.")
