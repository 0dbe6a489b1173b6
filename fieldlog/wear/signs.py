"""What was seen on a joint and has not been cured since; some of it stops the arithmetic."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.records.entries import BORE_RENEWING_DEEDS, UNSAFE_SIGNS, Deed, Event, Note, Sign
from fieldlog.records.log import MachineLog
from fieldlog.records.machine import Hole, Joint
from fieldlog.wear.judge import STOP_USING
from fieldlog.wear.spans import moment, touches_joint
from fieldlog.wear.states import Finding, Verdict

_CURES: Mapping[Sign, tuple[Deed, ...]] = MappingProxyType(
    {
        "crack": ("welded and bored", "link replaced"),
        "bush turns in its bore": ("re-bushed", "welded and bored", "link replaced"),
        "keeper torn": ("new pin", "link replaced"),
        "pin bent": ("new pin", "link replaced"),
        "dry": ("greased", "re-bushed", "new pin", "link replaced"),
        "scored": ("new pin", *BORE_RENEWING_DEEDS),
    }
)
_NEXT: Mapping[Sign, str] = MappingProxyType(
    {
        "crack": "replace the part, or let a qualified welder judge it",
        "bush turns in its bore": "pull the bush and measure the bore it sits in; re-bush before the bore is gone",
        "keeper torn": "fit a new pin and keeper",
        "pin bent": "fit a new pin",
    }
)


def open_notes(log: MachineLog, joint: Joint) -> tuple[Note, ...]:
    """Return the notes on a joint and its holes with signs that nothing done since has cured."""
    holes = {hole.id for hole in log.machine.holes if hole.joint == joint.id}
    links = {link.id for link in log.machine.links if {link.near_hole, link.far_hole} & holes}
    about = [
        note
        for note in log.standing(Note)
        if note.signs and (note.joint == joint.id or note.hole in holes or (note.link and note.link in links))
    ]
    events = [event for event in log.standing(Event) if touches_joint(event, joint, log.machine)]
    return tuple(note for note in about if open_signs_of(note, events))


def open_signs_of(note: Note, events: list[Event]) -> tuple[Sign, ...]:
    """Return the signs of a note that no later deed has cured."""
    later = {event.deed for event in events if moment(event) > moment(note)}
    return tuple(sign for sign in note.signs if not later & set(_CURES.get(sign, BORE_RENEWING_DEEDS)))


def signs_on_joint(log: MachineLog, joint: Joint) -> tuple[Sign, ...]:
    """Return the uncured signs on a joint, unsafe ones first."""
    events = [event for event in log.standing(Event) if touches_joint(event, joint, log.machine)]
    found = dict.fromkeys(sign for note in open_notes(log, joint) for sign in open_signs_of(note, events))
    return tuple(sorted(found, key=lambda sign: sign not in UNSAFE_SIGNS))


def signs_on_hole(log: MachineLog, hole: Hole, joint: Joint | None) -> tuple[Sign, ...]:
    """Return the uncured signs noted on one hole."""
    if joint is None:
        return tuple(dict.fromkeys(s for note in log.standing(Note) if note.hole == hole.id for s in note.signs))
    events = [event for event in log.standing(Event) if touches_joint(event, joint, log.machine)]
    notes = [note for note in open_notes(log, joint) if note.hole == hole.id]
    return tuple(dict.fromkeys(sign for note in notes for sign in open_signs_of(note, events)))


def unsafe_finding(signs: tuple[Sign, ...], days: str) -> Finding | None:
    """Return the stop that an unsafe sign calls for, None when there is none."""
    unsafe = [sign for sign in signs if sign in UNSAFE_SIGNS]
    if not unsafe:
        return None
    reason = f"{', '.join(unsafe)}: seen {days}, nothing done about it since. Unsafe on sight, whatever it measures."
    return Finding(Verdict.STOP, reason[:1].upper() + reason[1:], _NEXT[unsafe[0]].capitalize() + ".", STOP_USING)
