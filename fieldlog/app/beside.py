"""Machines worked out and put aside in a temporary file, so that those of a large logbook never fill the memory.

What lies beside the rounds of a logbook: offers, kept recommendations, the measured hitch; read when it is shown.

Problems beside the rounds (offers, hitches, implements, recommendations) are counted a second after the first page is
drawn, in a process of its own (`app/beside.py`): the page rests on none of them, what counts them needs half as much
memory again, and in a thread it held up the first keys by 0.3 s. It is counted anew where the listing of those files
changed.
"""

import os
import pickle
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, cast

from fieldlog.app.ahead import Sender, send_and_end, spawned
from fieldlog.store.watch import stamp_beside

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from fieldlog.app.known import Book
    from fieldlog.records.problems import Problem
    from fieldlog.retrofit.hitch.field import HitchCase
    from fieldlog.retrofit.hitch.setup import HitchSetup
    from fieldlog.retrofit.offers.kept import Kept
    from fieldlog.store.reader import MachineRead
    from fieldlog.wear.states import MachineState

MOST_ENTRIES = 1000  # of machines that stay in memory; about 5 kB each with all that is worked out from them


class Aside:
    """The machines put aside; the first ones stay in memory as long as they have few entries together."""

    def __init__(self, most_entries: int = MOST_ENTRIES) -> None:
        self._left = most_entries
        self._staying: set[str] = set()
        self._places: dict[str, tuple[int, bool]] = {}
        self._file: BinaryIO | None = None

    def put(self, machine_id: str, read: "MachineRead", state: "MachineState | None") -> bool:
        """Put a machine aside, with its state where that is known; tell whether it need not stay in memory."""
        if machine_id in self._staying:
            return False
        if machine_id in self._places and self._places[machine_id][1] >= (state is not None):
            return True
        if len(read.log.entries) <= self._left:
            self._left -= len(read.log.entries)
            self._staying.add(machine_id)
            return False
        if self._file is None:
            self._file = cast("BinaryIO", tempfile.TemporaryFile())  # noqa: SIM115 -- gone with this object
        self._places[machine_id] = self._file.seek(0, 2), state is not None
        joints = state.joints if state is not None else ()
        shell = replace(state, joints=()) if state is not None else None
        for part in (read, shell, len(joints), *joints):  # one by one, which takes far less memory than all at once
            pickle.dump(part, self._file, pickle.HIGHEST_PROTOCOL)
        return True

    def take(self, machine_id: str) -> "tuple[MachineRead, MachineState | None] | None":
        """Return a machine that was put aside, None when it was not."""
        if self._file is None or machine_id not in self._places:
            return None
        self._file.seek(self._places[machine_id][0])
        read, shell, count = (pickle.load(self._file) for _ in range(3))
        joints = tuple(pickle.load(self._file) for _ in range(count))
        return read, replace(shell, joints=joints) if shell is not None else None


def beside_problems(folder: Path, machine_ids: "Iterable[str]") -> "tuple[Problem, ...]":
    """Return what is wrong in implements, hitches, hydraulics, offers and kept recommendations."""
    return tuple(problem for piece in beside_by_piece(folder, machine_ids) for problem in piece)


def beside_by_piece(folder: "Path", machine_ids: "Iterable[str]") -> "Iterator[Sequence[Problem]]":
    """Yield the same piece by piece, so that whoever counts them beside other work can stop in between."""
    from fieldlog.store.document import open_document
    from fieldlog.store.files import LOGBOOK_FILE, MACHINE_FILE
    from fieldlog.store.offers import read_offers
    from fieldlog.store.reader import implement_problems, side_problems
    from fieldlog.store.retrofits import read_retrofits

    yield implement_problems(open_document(folder, LOGBOOK_FILE))
    yield read_offers(folder).problems
    for machine_id in machine_ids:
        yield side_problems(open_document(folder, f"{machine_id}/{MACHINE_FILE}"))
        yield read_retrofits(folder, machine_id).problems


def kept_of_machine(book: "Book", machine_id: str) -> "tuple[Kept, ...]":
    """Return the recommendations kept for a machine, each held against what is known today."""
    if not (book.folder / machine_id / "retrofits").is_dir():
        return ()
    from fieldlog.retrofit.offers.kept import kept_of

    told, log = book.recommendations(machine_id).kept, book.log(machine_id)
    there = frozenset(entry.key for entry in log.entries)
    setups = hitch_setups(book, machine_id)
    return kept_of(told, book.state(machine_id), book.offers(), (there, log.struck), setups)


def hitch_setups(book: "Book", machine_id: str) -> "tuple[HitchSetup, ...]":
    """Return a machine's measured hitch with each implement of the fleet on it."""
    from fieldlog.retrofit.offers.corners import setups_of

    return setups_of(book.state(machine_id), book.hitch(machine_id).parts, book.implements())


def cases_of(book: "Book", machine_id: str) -> "tuple[HitchCase, ...]":
    """Return a machine's hitch with each implement on it, worked out; none where it has no hitch."""
    state, found = book.state(machine_id), book.hitch(machine_id)
    machine = state.machine
    if not (machine.hitch_category or found.parts.hitch or found.parts.top_holes or found.parts.rod_holes):
        return ()
    from fieldlog.retrofit.hitch.field import hitch_cases

    return hitch_cases(machine, found.parts, book.implements(), state.links)


class BesideCount:
    """The last count, and the process that makes the next one where files changed."""

    def __init__(self) -> None:
        self.count = 0
        self._stamp = ""  # of what was counted last, or is being counted
        self._sender: Sender | None = None

    def renew(self, folder: Path, machine_ids: Sequence[str], done: Callable[[], None]) -> None:
        """Count anew where something was edited; `done` is called when there is another count."""
        import asyncio

        stamp = stamp_beside(folder, machine_ids)
        if stamp == self._stamp:
            return
        self.stop()
        ids = list(machine_ids)
        sender = spawned(lambda pipe: f"from {__name__} import main; main({str(folder)!r}, {ids!r}, {pipe})")
        if sender is not None:
            self._sender, self._stamp = sender, stamp
            asyncio.get_running_loop().add_reader(sender.pipe, self._take, done)

    def stop(self) -> None:
        """End what is being counted."""
        if self._sender is not None:
            import asyncio

            asyncio.get_running_loop().remove_reader(self._sender.pipe)
            self._sender.stop()
            self._sender = None

    def _take(self, done: Callable[[], None]) -> None:
        if self._sender is None:
            return
        self._sender.receive(0.0)
        found = next(iter(self._sender.lines()), b"")
        if not found and not self._sender.is_done:
            return
        self.stop()
        if not found.isdigit():
            self._stamp = ""  # it ended without a word: count again on the next occasion
        elif int(found) != self.count:
            self.count = int(found)
            done()


def main(folder: str, machine_ids: Sequence[str], pipe: int) -> None:
    """Be the process that counts, behind everything that somebody waits for."""
    os.nice(10)
    send_and_end(lambda: (_counted(Path(folder), machine_ids),), pipe)


def _counted(folder: Path, machine_ids: Sequence[str]) -> bytes:
    return b"%d" % sum(len(found) for found in beside_by_piece(folder, machine_ids))
