"""All writing: replace a file whole, create one whole, or append one block; each durable before it returns.

Appending is how entries are kept: the old bytes stay where they are, and a block torn by a power cut is told
by its missing last key and cut off by the reader. The caller holds the lock (lock.py), so a temporary file
found in the folder is what a power cut left, and is cleared away.

Append, not replace, for entries. An entry's last key is `at`, required and quoted, so a block torn at any byte shows
itself; the reader cuts it off and reports it, the next append turns it into a remark. `store/atomic.py` is all the
writing there is. machine.toml and logbook.toml are replaced whole; a record is added as text at the end, a changed
one through tomlkit, and the result must parse to exactly what was meant or nothing is written.
"""

import contextlib
import errno
import os
import stat
from collections.abc import Iterator
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.quantity.said import said
from fieldlog.store.files import os_reason, shown_path

TEMPORARY_PREFIX = ".fieldlog-"
TEMPORARY_SUFFIX = ".part"
_NEW_FLAGS = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC | os.O_NOFOLLOW
_APPEND_FLAGS = os.O_WRONLY | os.O_APPEND | os.O_CLOEXEC | os.O_NONBLOCK
_ADD_FLAGS = _APPEND_FLAGS | os.O_CREAT | os.O_NOFOLLOW
_NO_HARD_LINKS = frozenset({errno.EPERM, errno.EACCES, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK})
_NO_FOLDER_SYNC = frozenset({errno.EINVAL, errno.EOPNOTSUPP, errno.ENOSYS, errno.EBADF, errno.EACCES})


class FileChangedError(StoreError):
    """Another program changed the file between reading and writing: read it again and redo the change."""


def replace_file(path: Path, data: bytes) -> None:
    """Put new content in the place of an existing file; links are followed, mode and owner kept.

    Raises:
        StoreError: it could not be done; the old file or the new one is there whole.
    """
    with _refusals(path):
        target = path.resolve(strict=True)
        with _written_beside(target, data, target.stat()) as temporary:
            temporary.replace(target)
        _sync_folder(target.parent)


def create_file(path: Path, data: bytes) -> None:
    """Make a new file, whole and durable, and its folder if need be; what is there already is left alone.

    Raises:
        StoreError: something stands there already, or it could not be done.
    """
    with _refusals(path, is_new=True):
        if not path.parent.is_dir():
            path.parent.mkdir(parents=True, exist_ok=True)
            _sync_folder(path.parent.parent)
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST))
        with _written_beside(path, data, None) as temporary:
            _link_into_place(temporary, path)
        _sync_folder(path.parent)


def append_bytes(path: Path, data: bytes, *, expected_size: int | None = None) -> None:
    """Add bytes at the end and make them durable; on any failure the file is cut back to what it was.

    Raises:
        FileChangedError: the file is not `expected_size` long, or another one took its place meanwhile.
        StoreError: the disk refused.
    """
    with _refusals(path):
        handle = os.open(path, _APPEND_FLAGS)
        try:
            before = os.fstat(handle)
            if not stat.S_ISREG(before.st_mode):
                raise StoreError(said("refusal.not_ordinary", file=shown_path(path)))
            if expected_size is not None and before.st_size != expected_size:
                raise FileChangedError(said("refusal.changed", file=shown_path(path)))
            _append_or_cut_back(handle, data, before.st_size)
            if not _is_still_there(path, before):
                raise FileChangedError(said("refusal.replaced", file=shown_path(path)))
        finally:
            os.close(handle)


def put_disposable(path: Path, data: bytes) -> None:
    """Put a file that may be lost in its place, whole but not made durable; for what can be worked out again.

    Raises:
        OSError: it could not be done; the old file is there or none.
    """
    temporary = path.parent / f"{TEMPORARY_PREFIX}{os.urandom(6).hex()}{TEMPORARY_SUFFIX}"
    handle = os.open(temporary, _NEW_FLAGS, 0o600)
    try:
        try:
            _write_all(handle, data)
        finally:
            os.close(handle)
        temporary.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise


def add_disposable(path: Path, data: bytes) -> None:
    """Add bytes at the end of a file that may be lost, in one write where the system does it in one.

    Raises:
        OSError: it could not be done; some of the bytes may be there.
    """
    handle = os.open(path, _ADD_FLAGS, 0o600)
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))
        _write_all(handle, data)
    finally:
        os.close(handle)


def remove_leftovers(folder: Path) -> None:
    """Remove what a power cut left of unfinished replacements; never fails."""
    with contextlib.suppress(OSError), os.scandir(folder) as found:
        for item in found:
            if item.name.startswith(TEMPORARY_PREFIX) and item.name.endswith(TEMPORARY_SUFFIX):
                with contextlib.suppress(OSError):
                    Path(item.path).unlink()


def _append_or_cut_back(handle: int, data: bytes, old_size: int) -> None:
    is_done = False
    try:
        _write_all(handle, data)
        os.fsync(handle)
        is_done = True
    finally:  # not only for errors of the disk: a signal may break in
        if not is_done:
            with contextlib.suppress(OSError):
                _cut_back(handle, old_size, len(data))


def _cut_back(handle: int, old_size: int, added: int) -> None:
    """Take a failed append back, unless a program that knows no lock has added more than we did."""
    if os.fstat(handle).st_size <= old_size + added:
        os.ftruncate(handle, old_size)
        os.fsync(handle)


def _is_still_there(path: Path, before: os.stat_result) -> bool:
    """Tell whether no editor has just put another file in this place, one without what was appended."""
    try:
        return os.path.samestat(before, path.stat())
    except OSError:
        return False


@contextlib.contextmanager
def _written_beside(target: Path, data: bytes, old: os.stat_result | None) -> Iterator[Path]:
    """Write a temporary file in the target's folder, hand it out, and leave none behind whatever happens."""
    remove_leftovers(target.parent)
    temporary = target.parent / f"{TEMPORARY_PREFIX}{os.urandom(6).hex()}{TEMPORARY_SUFFIX}"
    try:
        handle = os.open(temporary, _NEW_FLAGS, 0o666 if old is None else 0o600)
        try:
            _write_all(handle, data)
            if old is not None:
                _keep_owner_and_mode(handle, old)
            os.fsync(handle)
        finally:
            os.close(handle)
        yield temporary
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def _write_all(handle: int, data: bytes) -> None:
    """Write every byte; a full disk may take some of them without an error, so go on until all are taken."""
    left = memoryview(data)
    while left:
        taken = os.write(handle, left)
        if taken == 0:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        left = left[taken:]


def _keep_owner_and_mode(handle: int, old: os.stat_result) -> None:
    new = os.fstat(handle)
    if (new.st_uid, new.st_gid) != (old.st_uid, old.st_gid):
        with contextlib.suppress(OSError):  # only root can give a file away
            os.fchown(handle, old.st_uid, old.st_gid)
    os.fchmod(handle, stat.S_IMODE(old.st_mode))


def _link_into_place(temporary: Path, path: Path) -> None:
    """Give the file its name, which fails where the name is taken; without hard links, look and rename."""
    try:
        path.hardlink_to(temporary)
    except OSError as error:
        if error.errno not in _NO_HARD_LINKS:
            raise
        if os.path.lexists(path):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        temporary.rename(path)


def _sync_folder(folder: Path) -> None:
    """Make a new name durable; file systems that cannot sync a folder are left as they are."""
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        if error.errno not in _NO_FOLDER_SYNC:
            raise


@contextlib.contextmanager
def _refusals(path: Path, *, is_new: bool = False) -> Iterator[None]:
    """Turn what the system says into an error that names the file."""
    try:
        yield
    except OSError as error:
        raise _refused(path, error, is_new=is_new) from error
    except RuntimeError as error:  # what pathlib says to a link that leads to itself, before Python 3.13
        raise _refused(path, OSError(errno.ELOOP, os.strerror(errno.ELOOP)), is_new=is_new) from error


def _refused(path: Path, error: OSError, *, is_new: bool) -> StoreError:
    file, why = shown_path(path), os_reason(error)
    if is_new:
        return StoreError(said("refusal.not_made", file=file, why=why))
    return StoreError(said("refusal.not_written", file=file, why=why))
