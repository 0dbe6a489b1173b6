"""What lies beside the rounds of a logbook: offers, kept recommendations, the measured hitch; read when it is shown."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from pathlib import Path

    from fieldlog.records.problems import Problem
    from fieldlog.retrofit.kept import Kept
    from fieldlog.retrofit.setup import HitchSetup
    from fieldlog.tui.session import Session


def beside_problems(session: "Session") -> "tuple[Problem, ...]":
    """Return what is wrong in implements, hitches, hydraulics, offers and kept recommendations."""
    pieces = beside_by_piece(session.folder, session.head.machine_ids)
    return tuple(problem for piece in pieces for problem in piece)


def beside_by_piece(folder: "Path", machine_ids: "Iterable[str]") -> "Iterator[Sequence[Problem]]":
    """Yield the same piece by piece, so that whoever counts them beside other work can stop in between."""
    from fieldlog.store.offers import read_offers
    from fieldlog.store.reader import implement_problems, side_problems
    from fieldlog.store.retrofits import read_retrofits

    yield implement_problems(folder)
    yield read_offers(folder).problems
    for machine_id in machine_ids:
        yield side_problems(folder, machine_id)
        yield read_retrofits(folder, machine_id).problems


def kept_of_machine(session: "Session", machine_id: str) -> "tuple[Kept, ...]":
    """Return the recommendations kept for a machine, each held against what is known today."""
    if not (session.folder / machine_id / "retrofits").is_dir():
        return ()
    from fieldlog.retrofit.kept import kept_of
    from fieldlog.store.retrofits import read_retrofits

    told, log = read_retrofits(session.folder, machine_id).kept, session.log(machine_id)
    there = frozenset(entry.key for entry in log.entries)
    setups = hitch_setups(session, machine_id)
    return kept_of(told, session.state(machine_id), session.offers(), (there, log.struck), setups)


def hitch_setups(session: "Session", machine_id: str) -> "tuple[HitchSetup, ...]":
    """Return a machine's measured hitch with each implement of the fleet on it."""
    from fieldlog.retrofit.hitch_job import setups_of
    from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file

    parts = read_hitch_file(session.folder, machine_id).parts
    return setups_of(session.state(machine_id), parts, read_implements_file(session.folder).implements)
