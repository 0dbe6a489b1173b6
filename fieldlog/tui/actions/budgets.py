"""Opening the numbers of a joint, a hole or a link up to their budgets."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from fieldlog.records.entries import BoreReading, PinReading
from fieldlog.records.machine import part_name
from fieldlog.wear.at_the_hole import last_line
from fieldlog.wear.link_numbers import link_numbers
from fieldlog.wear.numbers import (
    Number,
    hole_numbers,
    joint_numbers,
    pin_numbers,
    shape_numbers,
    sight_numbers,
    size_numbers,
)
from fieldlog.wear.shapes import hole_shape
from fieldlog.wear.trend_numbers import trend_numbers

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp
    from fieldlog.tui.round_work import RoundWork
    from fieldlog.tui.session import Session


def open_budget(app: "LogbookApp", machine_id: str, subject: tuple[str, str], round_id: str = "") -> None:
    """Show the budgets of what belongs to a (kind, id); with a round, of what was measured in it."""
    about = part_name(app.session.machine(machine_id), *subject)
    open_numbers(app, machine_id, about, lambda: _numbers(app.session, machine_id, subject, round_id))


def open_numbers(app: "LogbookApp", machine_id: str, about: str, numbers: Callable[[], Sequence[Number]]) -> None:
    """Show numbers opened up, the first of them first; `machine_id` is whose entries are behind them, if any."""
    from fieldlog.tui.screens.budget import BudgetScreen

    if not numbers():
        app.notify_line("No number here yet: nothing is measured.")
        return
    app.push_screen(BudgetScreen(machine_id, about, numbers))


def round_numbers(work: "RoundWork") -> Sequence[Number]:
    """Return every number on the screen of a round, with what was struck or kept meanwhile taken up first."""
    work.take_up()
    if work.stop.kind == "link":
        from fieldlog.tui.link_stop import report_now

        return link_numbers(report_now(work), work.session.log(work.machine_id))
    if work.stop.kind == "pin":
        pin = work.pin_sight()
        pins = [entry for entry in work.readings() if isinstance(entry, PinReading)]
        places = (("worn band", pin.worn, "worn"), ("unworn end", pin.unworn, "unworn"))
        return pin_numbers([(word, size, _keys(pins, place)) for word, size, place in places])
    sight, before = work.sight(), work.before
    if sight is None or before is None:
        return ()
    bores = [entry for entry in work.readings() if isinstance(entry, BoreReading)]
    return sight_numbers(sight, before, last_line(bores, work.instruments))


def _keys(pins: Sequence[PinReading], place: str) -> tuple[str, ...]:
    return tuple(reading.key for reading in pins if reading.place == place)


def _numbers(session: "Session", machine_id: str, subject: tuple[str, str], round_id: str) -> Sequence[Number]:
    state = session.state(machine_id)
    kind, wanted = subject
    if kind == "joint":
        joint = next((joint for joint in state.joints if joint.joint.id == wanted), None)
        if joint is None:
            return ()
        log = session.log(machine_id)
        return (*joint_numbers(joint, log), *trend_numbers(joint, log))
    if kind == "link":
        link = next((link for link in state.links if link.link.id == wanted), None)
        return link_numbers(link, session.log(machine_id)) if link is not None else ()
    return _hole(session, machine_id, wanted, round_id)


def _hole(session: "Session", machine_id: str, hole_id: str, round_id: str) -> Sequence[Number]:
    holes = (hole for joint in session.state(machine_id).joints for hole in joint.holes)
    hole = next((hole for hole in holes if hole.hole.id == hole_id), None)
    if hole is None:
        return ()
    if not round_id:
        shape = hole_shape(hole, session.index(machine_id))
        return [*hole_numbers(hole), *shape_numbers(shape)]
    sizes = (size for size in hole.history if size.round == round_id)
    return [number for size in sizes for number in size_numbers(size)]
