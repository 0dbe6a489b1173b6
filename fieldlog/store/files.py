"""Bytes from a path that may be anything: a folder, a pipe, a link to itself, somebody else's, far too large."""

import errno
import os
import stat
from pathlib import Path
from types import MappingProxyType

from fieldlog.records.text import harmless

LARGEST_FILE = 20_000_000
_READ_FLAGS = os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK | os.O_NOCTTY
_REASONS = MappingProxyType(
    {
        errno.ENOSPC: "the disk is full",
        errno.EDQUOT: "your share of the disk is used up",
        errno.EROFS: "the disk is read-only",
        errno.EACCES: "permission denied",
        errno.EPERM: "permission denied",
        errno.EIO: "the disk reports an error",
        errno.ENOENT: "it is not there",
        errno.ENOTDIR: "a file stands where a folder should be",
        errno.EISDIR: "it is a folder, not a file",
        errno.EEXIST: "it is there already",
        errno.ELOOP: "it is a link that leads back to itself",
        errno.ENAMETOOLONG: "its name is too long",
        errno.EFBIG: "it would grow larger than this disk allows",
        errno.EMFILE: "too many files are open",
        errno.ENFILE: "too many files are open",
    }
)


class Unreadable(Exception):
    """A file that gives no bytes; the message says why and follows "cannot be read:"."""

    def __init__(self, why: str, *, is_missing: bool = False) -> None:
        super().__init__(why)
        self.is_missing = is_missing


def os_reason(error: OSError) -> str:
    """Return why the system refused, in plain words."""
    return _REASONS.get(error.errno or 0) or harmless(error.strerror or str(error))


def shown_path(path: Path) -> str:
    """Return a path that is harmless to print."""
    return harmless(str(path))


def read_file(path: Path, largest: int = LARGEST_FILE) -> bytes:
    """Return what is in an ordinary file of at most that many bytes; nothing else is ever opened.

    Raises:
        Unreadable: there is no such file, or it is no ordinary one, too large, or refused by the system.
    """
    try:
        _check_ordinary(path.stat(), largest)
        file = os.open(path, _READ_FLAGS)
        try:
            _check_ordinary(os.fstat(file), largest)
            return _read_all(file, largest)
        finally:
            os.close(file)
    except OSError as error:
        is_missing = isinstance(error, FileNotFoundError | NotADirectoryError)
        raise Unreadable(os_reason(error), is_missing=is_missing) from None
    except ValueError:  # a path that holds a zero byte
        raise Unreadable("its name cannot be a file's name") from None


def _check_ordinary(found: os.stat_result, largest: int) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise Unreadable("it is a folder, not a file")
    if not stat.S_ISREG(found.st_mode):
        raise Unreadable("it is a pipe, a device or the like, not an ordinary file")
    if found.st_size > largest:
        raise Unreadable(_too_large(found.st_size, largest))


def _read_all(file: int, largest: int) -> bytes:
    parts = []
    left = largest + 1  # the size may lie, or grow while reading
    while left > 0 and (part := os.read(file, min(left, 1 << 20))):
        parts.append(part)
        left -= len(part)
    if left <= 0:
        raise Unreadable(_too_large(largest + 1, largest))
    return b"".join(parts)


def _too_large(size: int, largest: int) -> str:
    limit = largest // 1_000_000
    return f"it is {size / 1e6:.1f} MB, and a logbook's file is never over {limit} MB"
