"""One lock for the whole logbook, held only for the moments of a write; it frees itself when its holder dies."""

import contextlib
import errno
import fcntl
import os
import time
from collections.abc import Iterator
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.store.files import os_reason, shown_path

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
        raise StoreError(f"The logbook folder {shown_path(folder)} cannot be opened: {os_reason(error)}.") from error
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
                raise StoreError("Another program has been writing to this logbook for 5 s; try again.") from None
            time.sleep(_PAUSE_S)
        except OSError as error:
            if error.errno in _NO_FLOCK:
                return
            raise StoreError(f"The logbook cannot be locked: {os_reason(error)}.") from error
        else:
            return
