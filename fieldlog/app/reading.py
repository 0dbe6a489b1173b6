"""Be the process that reads a logbook ahead of the screen and sends what the fleet page shows, a line a machine."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.app.ahead import BORROWED, Ahead, Sender, cores, forked, machines_of, send_and_end
from fieldlog.store.plain import packed

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook

_HELPER_PATIENCE_S = 60.0


def read_ahead(folder: Path, *, is_demo: bool) -> Ahead | None:
    """Start reading a logbook in a copy of this process; only before any thread has been started."""
    sender = forked(lambda: _texts(folder, is_demo=is_demo))
    return Ahead(sender) if sender is not None else None


def main(folder: str, pipe: int, *, is_demo: bool) -> None:
    """Be the process that `read_beside` starts."""
    send_and_end(lambda: _texts(Path(folder), is_demo=is_demo), pipe)


def _texts(folder: Path, *, is_demo: bool) -> Iterator[bytes]:
    """Yield the logbook's overview, those of the machines that are known from last time, then the others."""
    from fieldlog.app.open_logbook import OpenLogbook

    session = OpenLogbook(folder, is_demo, keeps=True)
    yield packed(session.head)
    for found in session.known.from_last_time():
        yield found.as_text()
    yield from _worked_out(session)
    yield BORROWED + packed(session.known.borrowings())
    session.known.tidy()


def _worked_out(session: "OpenLogbook") -> Iterator[bytes]:
    """Yield what is missing, every second machine from a copy of this process; what that does not send is done here."""
    known = session.known
    missing = known.to_do()
    helper = _helper(session, missing[1::2]) if len(missing) > 1 and cores() > 1 else None
    for machine_id in missing[::2] if helper is not None else ():
        yield known.work_out(machine_id).as_text()
        yield from _sent(session, helper, 0.0)
    while helper is not None and not helper.is_done:
        yield from _sent(session, helper, _HELPER_PATIENCE_S)
    for found in known.the_rest():
        yield found.as_text()


def _helper(session: "OpenLogbook", machine_ids: Sequence[str]) -> Sender | None:
    """Start a copy of this process on some machines, with what both need already imported."""
    import fieldlog.store.reader
    import fieldlog.wear.assess
    import fieldlog.wear.due  # noqa: F401 -- for the copy to have

    _ = session.logbook
    return forked(lambda: (session.known.work_out(machine_id).as_text() for machine_id in machine_ids))


def _sent(session: "OpenLogbook", helper: Sender | None, patience_s: float) -> Iterator[bytes]:
    """Yield what the helper has sent; where nothing comes from it any more it is ended."""
    if helper is None:
        return
    if not helper.receive(patience_s) and patience_s:
        helper.stop()
    while helper.receive(0.0):
        pass
    for found in machines_of(helper.lines()):
        session.known.add(found)
        yield found.as_text()
