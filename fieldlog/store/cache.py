"""What was worked out once and need not be again: one file for each logbook, outside of it, lost without harm.

An entry is a line: a digest, a name, a text. It is believed only when the digest fits what it stands for: this very
text, under this name, made by this program from this logbook. So a torn, mixed up, foreign or old line counts as none,
and nobody has to delete it. Of several that fit the last one counts. Whoever asks still has to compare the entry with
the machine's files (`store/watch.py`).

An entry is added at the end, in one write that begins with a line end: it costs the same in a large logbook as in a
small one, two programs may do it at once, and what was torn before it spoils nothing. Now and then the file is written
anew without what is superseded; what another program adds in that very moment is lost, and worked out again.

A cache that cannot lie: overviews are kept in the user's cache folder, a line a machine in one file for each logbook,
as JSON that is checked value by value; lines are added at the end, the last one counts, and the file is written anew
when it is half waste. A line is believed when its digest fits program, logbook.toml and name, when the machine's
files list as they did (name, size, times, inode; their bytes are compared where the newest is under 3 s old), and up
to the day that `wear/due.py` says it holds: whatever makes a finding depend on the date must shorten `holds_until`.
No folder's own time is trusted: it does not change when a file in it is edited in place. Reports and `check` never
look at the cache.
"""

import json
import os
from collections.abc import Collection, Iterable
from contextlib import suppress
from functools import cache
from hashlib import blake2b
from pathlib import Path

from fieldlog.store.atomic import add_disposable, put_disposable, remove_leftovers
from fieldlog.store.files import Unreadable, read_file

_ENTRIES = "entries"
_BETWEEN = b"\t"
_PARTS = 3  # digest, name, text
_LARGEST = 500_000_000
_MUCH = 4_000_000  # added by one program, before it writes the file anew
_LITTLE = 200_000  # not worth writing the file anew for
_TAG = "CACHEDIR.TAG"
_TAG_TEXT = b"Signature: 8a477f597d28d172789f06886806bc55\n# Made by fieldlog; may be deleted at any time.\n"


class Cache:
    """The entries of one logbook in a folder; every entry rests on `made_from` besides what it says itself."""

    def __init__(self, folder: Path, logbook: str, made_from: str) -> None:
        self._place = folder / _short_digest(logbook.encode("utf-8", "surrogateescape"))
        self.made_from = made_from
        self._key = f"{program_stamp()} {logbook} {made_from}".encode("utf-8", "surrogateescape")
        self._is_writable = True
        self._n_added = 0
        self._taken: dict[str, bytes] | None = None
        self._taken_look: tuple[int, ...] = ()

    def take(self, name: str) -> bytes | None:
        """Return the text kept under a name, None when there is none that can be believed."""
        return self.take_all().get(name)

    def take_all(self) -> dict[str, bytes]:
        """Return every text that can be believed by its name; it is kept in memory until `let_go`."""
        look = self._look()
        if self._taken is None or look != self._taken_look:
            self._taken_look, self._taken = look, self._believed(self._lines())
        return self._taken

    def let_go(self) -> None:
        """Let go of what was taken."""
        self._taken = None

    def _look(self) -> tuple[int, ...]:
        try:
            found = (self._place / _ENTRIES).stat()
        except OSError:
            return ()
        return found.st_ino, found.st_size, found.st_mtime_ns

    def put(self, name: str, text: bytes) -> None:
        """Keep a text without line ends; where that cannot be done, nothing is kept and nothing is said."""
        if not self._is_writable:
            return
        line = self._line(name, text)
        try:
            self._prepare()
            add_disposable(self._place / _ENTRIES, b"\n" + line + b"\n")
        except OSError:
            self._is_writable = False
            return
        self._n_added += len(line)
        if self._n_added > _MUCH:
            self._write_anew(self._believed(self._lines()))

    def keep_only(self, names: Collection[str]) -> None:
        """Drop the entries of whatever is not in the logbook any more, and what is superseded once that is more."""
        remove_leftovers(self._place)
        lines = self._lines()
        last = {_name_in(line): len(line) for line in lines if line}
        used, wanted = sum(last.values()), {_name_text(name) for name in names}
        if last.keys() - wanted or sum(map(len, lines)) > 2 * used + _LITTLE:
            found = self._believed(lines)
            self._write_anew({name: text for name, text in found.items() if _name_text(name) in wanted})

    def _write_anew(self, entries: dict[str, bytes]) -> None:
        self._n_added = 0
        with suppress(OSError):
            put_disposable(self._place / _ENTRIES, b"".join(self._line(*entry) + b"\n" for entry in entries.items()))

    def _lines(self) -> list[bytes]:
        try:
            return read_file(self._place / _ENTRIES, _LARGEST).split(b"\n")
        except Unreadable:
            return []

    def _believed(self, lines: Iterable[bytes]) -> dict[str, bytes]:
        """Return name and text of the lines that can be believed, of several under one name the last."""
        found = {}
        for line in lines:
            parts = line.split(_BETWEEN, 2)
            if len(parts) == _PARTS and parts[0] == self._digest(parts[1], parts[2]):
                with suppress(ValueError, RecursionError):
                    found[str(json.loads(parts[1]))] = parts[2]
        return found

    def _line(self, name: str, text: bytes) -> bytes:
        shown = _name_text(name)
        return _BETWEEN.join((self._digest(shown, text), shown, text))

    def _prepare(self) -> None:
        """Make the folder, private to its owner, and mark it for programs that make backups."""
        if not self._place.is_dir():
            self._place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            put_disposable(self._place.parent / _TAG, _TAG_TEXT)
            self._place.mkdir(mode=0o700, exist_ok=True)

    def _digest(self, name: bytes, text: bytes) -> bytes:
        digest = blake2b(digest_size=16)
        for part in (self._key, name, text):
            digest.update(b"%d:" % len(part))
            digest.update(part)
        return digest.hexdigest().encode()


def _name_text(name: str) -> bytes:
    return json.dumps(name).encode()


def _name_in(line: bytes) -> bytes:
    return line.split(_BETWEEN, 2)[1:2][0] if _BETWEEN in line else b""


def _short_digest(data: bytes) -> str:
    return blake2b(data, digest_size=10).hexdigest()


@cache
def program_stamp() -> str:
    """Return a stamp of this program's version and source files, so that no entry outlives a change of either."""
    package = Path(__file__).parent.parent
    versions = (package / "__init__.py",)
    rows = [file.read_text(encoding="utf-8") for file in versions if file.is_file()]
    for folder, _, names in sorted(os.walk(package)):
        for name in sorted(names):
            if name.endswith(".py"):
                found = Path(folder, name).stat()
                rows.append(f"{folder}/{name} {found.st_size} {found.st_mtime_ns}")
    return _short_digest("\n".join(rows).encode("utf-8", "surrogateescape"))
