"""How many problems lie beside the rounds, counted in a process of its own.

What counts them needs the arithmetic of hitches and offers, half as much memory again as the first page takes, and
would hold up the keys while it is imported.
"""

import os
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from fieldlog.tui.pipes import send_and_end, spawned

_LOOK_EVERY_S = 0.2
_PATIENCE_S = 120.0


def count_beside(folder: Path, machine_ids: Sequence[str], is_wanted: Callable[[], bool]) -> int | None:
    """Wait for the count, as long as it is wanted; None when it could not be had."""
    sender = spawned(lambda pipe: f"from {__name__} import main; main({str(folder)!r}, {list(machine_ids)!r}, {pipe})")
    if sender is None:
        return None
    until = time.monotonic() + _PATIENCE_S
    while not sender.is_done and is_wanted() and time.monotonic() < until:
        sender.receive(_LOOK_EVERY_S)
    sender.stop()
    count = next(iter(sender.lines()), b"")
    return int(count) if count.isdigit() else None


def main(folder: str, machine_ids: Sequence[str], pipe: int) -> None:
    """Be the process that counts, behind everything that somebody waits for."""
    os.nice(10)
    send_and_end(lambda: (_counted(Path(folder), machine_ids),), pipe)


def _counted(folder: Path, machine_ids: Sequence[str]) -> bytes:
    from fieldlog.tui.beside import beside_by_piece

    return b"%d" % sum(len(found) for found in beside_by_piece(folder, machine_ids))
