"""Whether a bush moves in its bore: a question of its own at every inspection, since a bush that turns eats the eye.

What was seen on a joint and has not been cured since; some of it stops the arithmetic.
"""

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.quantity.said import said
from fieldlog.records.entries import BORE_RENEWING_DEEDS, GOOD_SIGNS, UNSAFE_SIGNS, Deed, Event, Note, Sign
from fieldlog.records.machine import Hole, Joint, Machine
from fieldlog.wear.history import Index, bore_cuts, links_at, moment, touches_hole, touches_joint
from fieldlog.wear.states import BushSeat, Finding
from fieldlog.wear.verdicts import Caution, Verdict

TIGHT: Sign = "bush sits tight"
MOVES: Sign = "bush turns in its bore"


def bush_seat(hole: Hole, index: Index) -> BushSeat | None:
    """Return what was last said of a bush; None for a hole without one."""
    if hole.kind != "bushed":
        return None
    cut = max(bore_cuts(index.events, hole, index.machine), default=None)
    about = [
        note
        for note in index.notes
        if note.hole == hole.id and (TIGHT in note.signs or MOVES in note.signs) and (cut is None or moment(note) > cut)
    ]
    last = max(about, key=moment, default=None)
    return BushSeat(MOVES in last.signs, last.day) if last is not None else BushSeat(None, None)


_PIN_SIGNS: tuple[Sign, ...] = ("keeper torn", "pin bent")
_CURES: Mapping[Sign, tuple[Deed, ...]] = MappingProxyType(
    {
        "crack": ("welded and bored", "link replaced"),
        "bush turns in its bore": ("re-bushed", "welded and bored", "link replaced"),
        "keeper torn": ("new pin", "link replaced"),
        "pin bent": ("new pin", "link replaced"),
        "dry": ("greased", "new pin", *BORE_RENEWING_DEEDS),
        "scored": ("new pin", *BORE_RENEWING_DEEDS),
    }
)


class OpenSign(NamedTuple):
    """A sign that nothing done since has cured, and the note that says it."""

    sign: Sign
    note: Note


def open_signs(joint: Joint, index: Index) -> tuple[OpenSign, ...]:
    """Return the uncured signs on a joint, its holes, the links that end in it and the machine, unsafe ones first."""
    machine = index.machine
    holes = {hole.id for hole in machine.holes if hole.joint == joint.id}
    links = links_at(joint, machine)
    about = [note for note in index.notes if note.signs and _is_about(note, joint, holes, links)]
    found = [
        OpenSign(sign, note)
        for note in about
        for sign in note.signs
        if sign not in GOOD_SIGNS and not any(is_cured_by(sign, note, event, machine) for event in index.events)
    ]
    return tuple(sorted(found, key=lambda item: (item.sign not in UNSAFE_SIGNS, moment(item.note))))


def _is_about(note: Note, joint: Joint, holes: set[str], links: frozenset[str]) -> bool:
    if note.hole:
        return note.hole in holes
    if note.joint:
        return note.joint == joint.id
    return note.link in links if note.link else True


def is_cured_by(sign: Sign, note: Note, event: Event, machine: Machine) -> bool:
    """Tell whether a deed cures a sign: the right deed, later, at the place where the sign was seen.

    A deed at one hole does not cure what was noted on the joint as a whole, unless it has only that hole; the
    pin belongs to the whole joint, so a new pin does wherever it was written down.
    """
    if event.deed not in _CURES.get(sign, BORE_RENEWING_DEEDS) or moment(event) <= moment(note):
        return False
    place = _place(note, machine)
    if isinstance(place, Hole):
        joint = machine.joint_of(place.id)
        at_pin = sign in _PIN_SIGNS and joint is not None and touches_joint(event, joint, machine)
        return at_pin or touches_hole(event, place, machine)
    if isinstance(place, Joint):
        holes = [hole for hole in machine.holes if hole.joint == place.id]
        is_whole = not event.hole or len(holes) == 1 or sign in _PIN_SIGNS
        return is_whole and touches_joint(event, place, machine)
    if note.link:
        return event.link == note.link
    return not (event.hole or event.joint or event.link)


def _place(note: Note, machine: Machine) -> Hole | Joint | None:
    if note.hole:
        return next((hole for hole in machine.holes if hole.id == note.hole), None)
    return next((joint for joint in machine.joints if note.joint and joint.id == note.joint), None)


def only_signs(found: Iterable[OpenSign], hole_id: str = "") -> tuple[Sign, ...]:
    """Return the different signs, of one hole alone when it is given."""
    return tuple(dict.fromkeys(item.sign for item in found if not hole_id or item.note.hole == hole_id))


def unsafe_finding(found: Iterable[OpenSign]) -> Finding | None:
    """Return the stop that an unsafe sign calls for, None when there is none."""
    unsafe = [item for item in found if item.sign in UNSAFE_SIGNS]
    if not unsafe:
        return None
    seen = tuple({item.sign: item for item in unsafe}.values())
    next_step = said("step.cure", sign=unsafe[0].sign)
    return Finding(Verdict.STOP, (said("finding.unsafe", seen=seen),), (next_step,), Caution.STOP_USING)
