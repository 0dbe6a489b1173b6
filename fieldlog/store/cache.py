"""What was worked out once and need not be again: a file for each thing, outside the logbook, lost without harm.

An entry is believed only when its digest fits what it stands for: these very bytes, under this name, made by this
program from this logbook. So a torn, mixed up, foreign or old file counts as none, and nobody has to delete it.
Whoever asks still has to compare the entry with the machine's files (`store/watch.py`). Two programs may write the
same entry at once: each file is put in place whole, and either one is right.
"""

import json
import os
from collections.abc import Collection
from contextlib import suppress
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import TypeVar

from fieldlog import __version__
from fieldlog.store.atomic import put_disposable, remove_leftovers
from fieldlog.store.files import Unreadable, read_file
from fieldlog.store.plain import Unfit, from_plain, to_plain

R = TypeVar("R")

_ENDING = ".json"
_TAG = "CACHEDIR.TAG"
_TAG_TEXT = b"Signature: 8a477f597d28d172789f06886806bc55\n# Made by fieldlog; may be deleted at any time.\n"


class Cache:
    """The entries of one logbook in a folder; every entry rests on `made_from` besides what it says itself."""

    def __init__(self, folder: Path, logbook: str, made_from: str) -> None:
        self._place = folder / _short_digest(logbook.encode("utf-8", "surrogateescape"))
        self.made_from = made_from
        self._key = f"{program_stamp()} {logbook} {made_from}".encode("utf-8", "surrogateescape")
        self._is_writable = True

    def take(self, name: str, kind: type[R]) -> R | None:
        """Return the record kept under a name, None when there is none that can be believed."""
        try:
            digest, _, body = read_file(self._file(name)).partition(b"\n")
            if digest != self._digest(name, body):
                return None
            return from_plain(kind, json.loads(body))
        except (Unreadable, Unfit, ValueError, RecursionError):
            return None

    def put(self, name: str, record: object) -> None:
        """Keep a record; where that cannot be done, nothing is kept and nothing is said."""
        if not self._is_writable:
            return
        body = json.dumps(to_plain(record), separators=(",", ":")).encode()
        try:
            self._prepare()
            put_disposable(self._file(name), self._digest(name, body) + b"\n" + body)
        except OSError:
            self._is_writable = False

    def keep_only(self, names: Collection[str]) -> None:
        """Delete the entries of whatever is not in the logbook any more, and what a power cut left behind."""
        wanted = {self._file(name).name for name in names}
        remove_leftovers(self._place)
        with suppress(OSError), os.scandir(self._place) as found:
            for item in found:
                if item.name.endswith(_ENDING) and item.name not in wanted:
                    Path(item).unlink()

    def _prepare(self) -> None:
        """Make the folder, private to its owner, and mark it for programs that make backups."""
        if not self._place.is_dir():
            self._place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            put_disposable(self._place.parent / _TAG, _TAG_TEXT)
            self._place.mkdir(mode=0o700, exist_ok=True)

    def _file(self, name: str) -> Path:
        return self._place / f"{_short_digest(name.encode('utf-8', 'surrogateescape'))}{_ENDING}"

    def _digest(self, name: str, body: bytes) -> bytes:
        digest = blake2b(digest_size=16)
        for part in (self._key, name.encode("utf-8", "surrogateescape"), body):
            digest.update(b"%d:" % len(part))
            digest.update(part)
        return digest.hexdigest().encode()


def _short_digest(data: bytes) -> str:
    return blake2b(data, digest_size=10).hexdigest()


@cache
def program_stamp() -> str:
    """Return a stamp of this program's version and source files, so that no entry outlives a change of either."""
    package = Path(__file__).parent.parent
    rows = [__version__]
    for folder, _, names in sorted(os.walk(package)):
        for name in sorted(names):
            if name.endswith(".py"):
                found = Path(folder, name).stat()
                rows.append(f"{folder}/{name} {found.st_size} {found.st_mtime_ns}")
    return _short_digest("\n".join(rows).encode("utf-8", "surrogateescape"))
