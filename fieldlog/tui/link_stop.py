"""Standing at a link in the round: what was typed becomes a tape reading, thread that stands out, or turns.

What the readings at a stop of the walk say: of a hole, a pin or a link, and which of them stand apart.
"""

from dataclasses import replace
from typing import TYPE_CHECKING

from fieldlog.app.round_work import RoundWork
from fieldlog.errors import QuantityError
from fieldlog.measure.apart import about_readings, repeat_marks
from fieldlog.measure.walk import Slot, Stop, TapeSlot, ThreadSlot, TurnsSlot
from fieldlog.pages.lines import Line
from fieldlog.pages.readings import apart_lines
from fieldlog.pages.round import bore_panel, pin_panel
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    LengthReading,
    LigamentReading,
    PinReading,
    ThreadReading,
    TurnsReading,
)
from fieldlog.records.machine import Link, parse_turns

if TYPE_CHECKING:
    from fieldlog.tui.command import Command
    from fieldlog.wear.states import LinkReport

_STATES = ("open", "closed", "as set")  # the open ones first: they are what is read at its limit
_LONGEST_MM = 10_000
_LINK_KEYS = ("next_hole", "pick_thread")


def entry_from(work: "RoundWork", text: str) -> AnyEntry:
    """Return the entry for what was typed at the slot that is next.

    Raises:
        QuantityError: it is no length, no count of turns, or cannot be right; the message says what is accepted.
    """
    slot, head, at = work.slot(), work.head, work.session.time_of_day()
    if isinstance(slot, TurnsSlot):
        turns = parse_turns(text)
        return TurnsReading(at=at, round=head.id, day=head.date, who=head.who, link=work.stop.id, turns=turns)
    if isinstance(slot, ThreadSlot):
        out = parse_length(text, work.unit)
        return ThreadReading(
            at=at, round=head.id, day=head.date, who=head.who, link=work.stop.id, exposed=_checked(out),
            end=slot.end, state=slot.state, instrument=head.tape,
        )  # fmt: skip
    assert isinstance(slot, TapeSlot)
    size, start = taped_from(text, work)
    return LengthReading(
        at=at, round=head.id, day=head.date, who=head.who, link=work.stop.id, size=size, way=slot.way,
        state=slot.state, start=start, near_hole=slot.near_hole, far_hole=slot.far_hole, instrument=head.tape,
    )  # fmt: skip


def taped_from(text: str, work: "RoundWork") -> tuple[Length, Length | None]:
    """Read what the tape shows, with the mark it was held at: `578` or `29 3/4 from 10`."""
    read, word, mark = text.partition(" from ")
    size = _checked(parse_length(read, work.unit))
    if size.mm <= 0:
        raise QuantityError(f'"{text}": a link has a length; type what the tape shows, such as 22 3/4 or 578 mm.')
    if not word:
        return size, None
    start = parse_length(mark, size.family)
    if not 0 < start.mm < size.mm:
        raise QuantityError(
            f'"{text}": the tape was held at {start.typed}, and {size.typed} was read; that leaves no length. '
            "Type the mark that was read first, as in 678 from 100."
        )
    return size, start


def _checked(size: Length) -> Length:
    if size.mm > _LONGEST_MM:
        raise QuantityError(f"{size.typed} is longer than 10 m; look at the number and its unit again.")
    return size


def thread_slots(stop: Stop) -> tuple[Slot, ...]:
    """Return a link's slots for thread and turns in the order in which they are wanted; the turns after closed."""
    threads = [slot for slot in stop.choices if isinstance(slot, ThreadSlot)]
    turns = [slot for slot in stop.choices if isinstance(slot, TurnsSlot)]
    ordered = sorted(threads, key=lambda slot: _STATES.index(slot.state))
    now = [slot for slot in ordered if slot.state == "as set"]
    return (*(slot for slot in ordered if slot.state != "as set"), *turns, *now)


def report_now(work: "RoundWork") -> "LinkReport":
    """Return what is known about the link with this round's readings in it; no other link is worked out."""
    from fieldlog.wear.history import index_of
    from fieldlog.wear.links import link_report

    session, link = work.session, work.stop.link
    assert link is not None
    log = session.log(work.machine_id)
    entries = [entry for entry in log.entries if entry.round != work.head.id and entry.key not in log.struck]
    about = tuple(entry for entry in (*entries, *work.standing()) if getattr(entry, "link", "") == link.id)
    index = index_of(replace(log, entries=about, struck=frozenset()), session.logbook)
    holes = {state.hole.id: state for joint in work.state.joints for state in joint.holes}
    return link_report(link, work.state.joints, holes, index)


def next_row(rows: tuple[tuple[str, str], ...], now: tuple[str, str]) -> tuple[str, str]:
    """Return the pair of holes after the present one, going round."""
    return rows[(rows.index(now) + 1) % len(rows)] if now in rows else rows[0]


def row_use(work: "RoundWork", link: Link) -> str:
    """Return between which holes of a row is taped now, to stand behind the link's name."""
    from fieldlog.pages.round import row_words

    slot = work.slot()
    words = row_words(link, work.session.machine(work.machine_id), slot if isinstance(slot, TapeSlot) else None)
    return f", {words}" if words else ""


def keys_at(stop: Stop, keys: "tuple[Command, ...]") -> "tuple[Command, ...]":
    """Return the keys for the footer: those that only a link has stand there only at a link."""
    if stop.kind != "link":
        return keys
    return tuple(key._replace(in_footer=key.in_footer or key.action in _LINK_KEYS) for key in keys)


def pick_thread(work: "RoundWork") -> str:
    """Choose the next of thread that stands out and turns; return why not where there is none."""
    slots, now = thread_slots(work.stop), work.slot()
    if not slots:
        return "Only a screw link has a thread to read."
    work.picked = slots[(slots.index(now) + 1) % len(slots)] if now in slots else slots[0]
    return ""


def pick_row(work: "RoundWork") -> str:
    """Tape from the next hole of the row; return why not where there is no row."""
    rows = work.rows()
    if len(rows) < 2:
        return "Only a link that ends in a row of holes can be taped from another hole."
    work.row, work.picked = next_row(rows, work.row), None
    return ""


def panel_lines(work: RoundWork, units: Units, width: int, room: int) -> tuple[Line, ...]:
    """Return the panel of the stop, what matters most first."""
    readings = work.readings()
    marks = tuple(mark for mark in repeat_marks(readings, work.instruments) if mark.key not in work.kept)
    apart = apart_lines(marks, (), units, width)
    about = apart_lines((), about_readings(readings, marks), units, width)
    if work.stop.kind == "hole":
        assert work.before is not None
        bores = tuple(entry for entry in readings if isinstance(entry, BoreReading))
        walls = tuple(entry for entry in readings if isinstance(entry, LigamentReading))
        return (*apart, *bore_panel(work.sight(), bores, work.before, units, width, walls), *about)
    if work.stop.kind == "pin":
        pins = tuple(entry for entry in readings if isinstance(entry, PinReading))
        return (*apart, *pin_panel(pins, work.pin_sight(), units, width), *about)
    from fieldlog.pages.round import link_panel

    return (*apart, *link_panel(readings, report_now(work), units, width, room - len(apart)), *about)
