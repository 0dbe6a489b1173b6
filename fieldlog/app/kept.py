"""The recommendations kept for a machine, and its measured hitch with each implement on it."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook
    from fieldlog.retrofit.hitch.setup import HitchSetup
    from fieldlog.retrofit.offers.kept import Kept


def kept_of_machine(session: "OpenLogbook", machine_id: str) -> "tuple[Kept, ...]":
    """Return the recommendations kept for a machine, each held against what is known today."""
    if not (session.folder / machine_id / "retrofits").is_dir():
        return ()
    from fieldlog.retrofit.offers.kept import kept_of
    from fieldlog.store.retrofits import read_retrofits

    told, log = read_retrofits(session.folder, machine_id).kept, session.log(machine_id)
    there = frozenset(entry.key for entry in log.entries)
    setups = hitch_setups(session, machine_id)
    return kept_of(told, session.state(machine_id), session.offers(), (there, log.struck), setups)


def hitch_setups(session: "OpenLogbook", machine_id: str) -> "tuple[HitchSetup, ...]":
    """Return a machine's measured hitch with each implement of the fleet on it."""
    from fieldlog.retrofit.offers.corners import setups_of
    from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file

    parts = read_hitch_file(session.folder, machine_id).parts
    return setups_of(session.state(machine_id), parts, read_implements_file(session.folder).implements)
