"""The walking order of a round: which holes, pins and links are measured, in which order, line by line.

Nothing of it is stored: where a round stands is read off the entries made so far.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from types import MappingProxyType

from fieldlog.measure.depth import POINTS
from fieldlog.records.clock import FULL_SET, parse_clock
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Face,
    LengthReading,
    LigamentReading,
    LinkState,
    PinPlace,
    PinReading,
    TapeWay,
    ThreadReading,
    TurnsReading,
    WallReading,
)
from fieldlog.records.machine import ENDS, Hole, Joint, Link, LinkEnd, Machine, shown_name

ACROSS_AND_ALONG = ("12", "3")
FEWEST_SWEEPS = 1
USUAL_SWEEPS = 2


@dataclass(frozen=True, slots=True)
class BoreSlot:
    """One caliper line across a hole at one face."""

    clock: str
    face: Face = "near"


@dataclass(frozen=True, slots=True)
class PinSlot:
    """One place on a pin."""

    place: PinPlace
    clock: str = ""


@dataclass(frozen=True, slots=True)
class BushSlot:
    """The wall of a bush at its thinnest."""


@dataclass(frozen=True, slots=True)
class TapeSlot:
    """One way of taping a link in one state; holes are named where they are not the link's own."""

    state: LinkState
    way: TapeWay
    near_hole: str = ""
    far_hole: str = ""


@dataclass(frozen=True, slots=True)
class ThreadSlot:
    """The thread that stands out at one end of a link in one state."""

    state: LinkState
    end: LinkEnd


@dataclass(frozen=True, slots=True)
class TurnsSlot:
    """The turns of a link's body from closed to open."""


@dataclass(frozen=True, slots=True)
class WallSlot:
    """The metal beside a hole at one point of the clock."""

    clock: str


Slot = BoreSlot | PinSlot | BushSlot | TapeSlot | ThreadSlot | TurnsSlot | WallSlot


@dataclass(frozen=True, slots=True)
class Stop:
    """One thing to measure on the walk; `plan` is every reading wanted in order, `choices` every line offered."""

    kind: str
    id: str
    title: str
    joint: Joint | None
    hole: Hole | None
    link: Link | None
    plan: tuple[Slot, ...]
    choices: tuple[Slot, ...]


def walking_order(machine: Machine, sweeps: int = USUAL_SWEEPS) -> tuple[Stop, ...]:
    """Return the stops in the order of the machine file: each joint's holes, then its pin, then the links."""
    stops: list[Stop] = []
    for joint in machine.joints:
        stops += [_hole_stop(joint, hole, sweeps) for hole in machine.holes if hole.joint == joint.id]
        stops.append(_pin_stop(joint))
    known = {joint.id for joint in machine.joints}
    stops += [_hole_stop(None, hole, sweeps) for hole in machine.holes if hole.joint not in known]
    stops += [_link_stop(link) for link in machine.links]
    return tuple(stops)


def _hole_stop(joint: Joint | None, hole: Hole, sweeps: int) -> Stop:
    near = tuple(BoreSlot(clock) for clock in FULL_SET)
    far = tuple(BoreSlot(clock, "far") for clock in ACROSS_AND_ALONG)
    middle = tuple(BoreSlot(clock, "middle") for clock in ACROSS_AND_ALONG)
    plan = near * max(sweeps, FEWEST_SWEEPS) + far
    walls = tuple(WallSlot(clock) for clock in POINTS)
    bush = (BushSlot(),) if hole.kind == "bushed" else ()
    choices: tuple[Slot, ...] = (*near, *far, *middle, *bush, *walls)
    return Stop("hole", hole.id, hole_title(joint, hole), joint, hole, None, plan, choices)


def _pin_stop(joint: Joint) -> Stop:
    worn = (PinSlot("worn", "12"), PinSlot("worn", "3"))
    unworn = (PinSlot("unworn"),)
    title = f"{shown_name(joint)}, pin"
    return Stop("pin", joint.id, title, joint, None, None, worn + unworn, worn + unworn)


def _link_stop(link: Link) -> Stop:
    """Return a link's stop: closed and open are planned where it opens, as it is set now is offered behind them."""
    opens = link.kind in {"screw", "cylinder"}
    planned: tuple[LinkState, ...] = ("closed", "open") if opens else ("as set",)
    offered: tuple[LinkState, ...] = ("closed", "open", "as set") if opens else ("as set",)
    pair: tuple[TapeWay, ...] = ("outside", "inside")
    more: tuple[TapeWay, ...] = ("outer to inner", "inner to outer", "over pins, pulled", "over pins, pushed")
    plan: tuple[Slot, ...] = tuple(TapeSlot(state, way) for state in planned for way in pair)
    choices: list[Slot] = []
    for state in offered:
        choices += [TapeSlot(state, way) for way in (*pair, *more, "centres")]
        choices += [ThreadSlot(state, end) for end in _threaded_ends(link) if link.kind == "screw"]
    if link.kind == "screw":
        plan += tuple(ThreadSlot("open", end) for end in _threaded_ends(link)) if link.thread is not None else ()
        choices.append(TurnsSlot())
    return Stop("link", link.id, f"{shown_name(link)}, length", None, None, link, plan, tuple(choices))


def _threaded_ends(link: Link) -> tuple[LinkEnd, ...]:
    hands = {"near": link.near_hand, "far": link.far_hand}
    return tuple(end for end in ENDS if hands[end] != "none")


def hole_title(joint: Joint | None, hole: Hole) -> str:
    """Return joint and hole in words, with the hole's number in its row."""
    name = shown_name(hole)
    if joint is not None and shown_name(joint).lower() not in name.lower():
        name = f"{shown_name(joint)}, {name}"
    row = f" ({hole.number} of {hole.in_row} from the tractor)" if hole.number and hole.in_row else ""
    return name + row


def slot_of(entry: AnyEntry) -> Slot | None:
    """Return the slot that a reading fills; 7:30 fills 1:30, being the same line."""
    if isinstance(entry, BoreReading):
        same_line = (clock for clock in FULL_SET if parse_clock(clock).angle_deg == entry.clock.angle_deg)
        return BoreSlot(next(same_line, entry.clock.typed), entry.face)
    if isinstance(entry, PinReading):
        return PinSlot(entry.place, entry.clock.typed if entry.clock else "")
    if isinstance(entry, WallReading):
        return BushSlot()
    if isinstance(entry, LengthReading):
        return TapeSlot(entry.state, entry.way, entry.near_hole, entry.far_hole)
    if isinstance(entry, ThreadReading):
        return ThreadSlot(entry.state, entry.end)
    if isinstance(entry, LigamentReading):
        return WallSlot(entry.clock.typed)
    return TurnsSlot() if isinstance(entry, TurnsReading) else None


def subject_of(entry: AnyEntry) -> tuple[str, str] | None:
    """Return the kind and id of the stop that a reading belongs to."""
    if isinstance(entry, BoreReading | LigamentReading | WallReading):
        return "hole", entry.hole
    if isinstance(entry, PinReading):
        return "pin", entry.joint
    if isinstance(entry, LengthReading | ThreadReading | TurnsReading):
        return "link", entry.link
    return None


def readings_at(stop: Stop, entries: Sequence[AnyEntry]) -> tuple[AnyEntry, ...]:
    """Return the readings among `entries` that belong to a stop."""
    return tuple(entry for entry in entries if subject_of(entry) == (stop.kind, stop.id))


def next_slot(stop: Stop, readings: Sequence[AnyEntry]) -> Slot | None:
    """Return the first planned slot not filled yet, None when the plan is done."""
    filled = Counter(slot_of(entry) for entry in readings)
    for slot in stop.plan:
        if not filled[slot]:
            return slot
        filled[slot] -= 1
    return None


def where_it_stands(stops: Sequence[Stop], entries: Sequence[AnyEntry]) -> int:
    """Return the index of the stop to go on with: the last one measured if unfinished, else the next one."""
    subjects = [subject for subject in map(subject_of, entries) if subject is not None]
    if not subjects:
        return 0
    last = next((i for i, stop in enumerate(stops) if (stop.kind, stop.id) == subjects[-1]), 0)
    if next_slot(stops[last], readings_at(stops[last], entries)) is not None:
        return last
    done = set(subjects)
    order = [*range(last + 1, len(stops)), *range(last)]
    return next((i for i in order if (stops[i].kind, stops[i].id) not in done), last)


def slot_text(slot: Slot) -> str:
    """Return a slot in words: '1:30, near face', 'worn band at 12', 'closed, outside to outside'."""
    if isinstance(slot, BoreSlot):
        return f"{slot.clock}, {slot.face} face" if slot.face != "middle" else f"{slot.clock}, in the middle"
    if isinstance(slot, PinSlot):
        where = "worn band" if slot.place == "worn" else "unworn end"
        return f"{where} at {slot.clock}" if slot.clock else where
    if isinstance(slot, BushSlot):
        return "wall of the bush, thinnest"
    if isinstance(slot, ThreadSlot):
        return f"{slot.state}, thread standing out, {END_WORDS[slot.end]}"
    if isinstance(slot, WallSlot):
        return f"metal at {slot.clock}, hole edge to outer edge"
    return f"{slot.state}, {TAPE_WORDS[slot.way]}" if isinstance(slot, TapeSlot) else "turns from closed to open"


END_WORDS = MappingProxyType({"near": "tractor or upper end", "far": "other end"})
TAPE_WORDS = MappingProxyType(
    {
        "outside": "outside to outside",
        "inside": "inside to inside",
        "outer to inner": "outer edge to inner edge",
        "inner to outer": "inner edge to outer edge",
        "over pins, pulled": "over the pins, pulled tight",
        "over pins, pushed": "over the pins, pushed tight",
        "centres": "centre to centre by eye",
    }
)
