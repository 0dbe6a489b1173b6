"""Which names may become names of files and folders in a logbook.

One lock for the whole logbook, held only for the moments of a write; it frees itself when its holder dies.

Bytes from a path that may be anything: a folder, a pipe, a link to itself, somebody else's, far too large.

The sample fleet, and a throwaway copy of it.
"""

import contextlib
import errno
import fcntl
import os
import re
import shutil
import stat
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import harmless

LOGBOOK_FILE = "logbook.toml"
MACHINE_FILE = "machine.toml"
ROUNDS_FOLDER = "rounds"
OFFERS_FOLDER = "offers"
RETROFITS_FOLDER = "retrofits"
STUDIES_FOLDER = "studies"
RESERVED = frozenset({OFFERS_FOLDER, RETROFITS_FOLDER, ROUNDS_FOLDER, STUDIES_FOLDER, "con", "prn", "aux", "nul"})
_SAFE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._ -]{0,59}", re.ASCII)
ACCEPTED_NAME = said("accepted.name")


def is_safe_name(name: str) -> bool:
    """Tell whether a name stays inside its folder on every filesystem."""
    return bool(
        _SAFE.fullmatch(name) and ".." not in name and not name.endswith((".", " ")) and name.lower() not in RESERVED
    )


def safe_name(name: str, what: str) -> str:
    """Return the name, or refuse it."""
    if not is_safe_name(name):
        raise StoreError(said("refusal.no_name", name=repr(name), what=what, accepted=ACCEPTED_NAME))
    return name


def machine_folder(folder: Path, machine_id: str) -> Path:
    """Return a machine's folder."""
    return folder / safe_name(machine_id, "machine")


_PATIENCE_S = 5.0
_PAUSE_S = 0.02
# Some network and phone file systems know no flock, or only for files opened for writing.
_NO_FLOCK = frozenset({errno.ENOLCK, errno.EOPNOTSUPP, errno.EINVAL, errno.ENOSYS, errno.EBADF})


@contextlib.contextmanager
def writing(folder: Path) -> Iterator[None]:
    """Hold the logbook's lock; go on without one where the filesystem has none.

    Raises:
        StoreError: somebody else has been writing for five seconds, or the folder is gone.
    """
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
    except OSError as error:
        raise StoreError(said("refusal.not_opened", folder=shown_path(folder), why=os_reason(error))) from error
    try:
        _take(handle)
        yield
    finally:
        os.close(handle)


def _take(handle: int) -> None:
    until = time.monotonic() + _PATIENCE_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                raise StoreError(said("refusal.locked", seconds=f"{_PATIENCE_S:g}")) from None
            time.sleep(_PAUSE_S)
        except OSError as error:
            if error.errno in _NO_FLOCK:
                return
            raise StoreError(said("refusal.not_locked", why=os_reason(error))) from error
        else:
            return


LARGEST_FILE = 20_000_000
_READ_FLAGS = os.O_RDONLY | os.O_CLOEXEC | os.O_NONBLOCK | os.O_NOCTTY


class Unreadable(Exception):
    """A file that gives no bytes; `why` is said behind "cannot be read:"."""

    def __init__(self, why: Said, *, is_missing: bool = False) -> None:
        super().__init__(why)
        self.why = why
        self.is_missing = is_missing


def os_reason(error: OSError) -> Said:
    """Return why the system refused."""
    return said("refusal.by_system", number=error.errno or 0, told=harmless(error.strerror or str(error)))


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
        raise Unreadable(said("refusal.bad_path")) from None


def _check_ordinary(found: os.stat_result, largest: int) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise Unreadable(said("refusal.folder"))
    if not stat.S_ISREG(found.st_mode):
        raise Unreadable(said("refusal.no_file"))
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


def _too_large(size: int, largest: int) -> Said:
    return said("refusal.too_large", megabytes=f"{size / 1e6:.1f}", most=largest // 1_000_000)


_NAME = "sample_machines"


def sample_folder() -> Path:
    """Return where the sample fleet is: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / _NAME, package.parent / _NAME):
        if (folder / LOGBOOK_FILE).is_file():
            return folder
    raise StoreError(said("refusal.no_sample"))


@contextmanager
def throwaway_copy() -> Iterator[Path]:
    """Copy the sample fleet into a temporary folder that is gone afterwards."""
    try:
        parent = Path(tempfile.mkdtemp(prefix="fieldlog-demo-"))
    except OSError as error:
        raise StoreError(said("refusal.no_room_for_sample", why=os_reason(error))) from error
    try:
        folder = parent / "fleet"
        try:
            _copy(sample_folder(), folder)
        except OSError as error:
            raise StoreError(said("refusal.sample_not_copied", why=os_reason(error))) from error
        yield folder
    finally:
        shutil.rmtree(parent, ignore_errors=True)


def _copy(source: Path, target: Path) -> None:
    """Copy names and bytes only: what is read-only where it is installed must be writable in the copy."""
    target.mkdir()
    for item in source.iterdir():
        if item.is_dir():
            _copy(item, target / item.name)
        else:
            shutil.copyfile(item, target / item.name)
