"""Evidence of a joint's pin other than a reading: trials, play in place, its twin, the other end of its link."""

import datetime
from collections.abc import Sequence
from dataclasses import replace
from types import MappingProxyType

from fieldlog.measure.pin_evidence import SAME_STATE, HoleDay, OtherPin, PinEvidence, clearance_in_place
from fieldlog.measure.pin_rules import nearest_nominal
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Play, Sign, Trial
from fieldlog.records.machine import Hole, Joint, Machine, Thread, shown_name
from fieldlog.standards.joints import NOMINAL_PINS
from fieldlog.wear.history import Index, Moment, bore_cuts, links_at, moment, pin_cut
from fieldlog.wear.pin_size import pin_days
from fieldlog.wear.states import HoleState

WEAR_SIGNS: frozenset[Sign] = frozenset({"rounded out", "bell-mouthed", "lip", "scored"})
_SAME_NAME_MM = 0.03  # a pin stated as 19.05 mm is the 3/4 in pin
_SIDES = MappingProxyType({"left": "right", "right": "left"})


def with_other_evidence(evidence: PinEvidence, holes: Sequence[HoleState], index: Index) -> PinEvidence:
    """Return the evidence of a joint's pin with everything that is no reading of its own holes and pin."""
    joint, machine = evidence.joint, index.machine
    in_use = _hole_in_use(holes)
    play, feeler = _in_place(joint, in_use, index)
    twin = twin_of(joint, machine)
    others = _others(joint, twin, index)
    knows_twin = any(other.kinship == "twin" for other in others)
    return replace(
        evidence,
        trials=tuple(t for state in holes for t in trials_since_renewal(state.hole, index)),
        days=tuple(HoleDay(s.hole.id, d.day, d.smallest) for s in holes for d in s.history[s.span_start :]),
        largest=in_use.worn if in_use is not None else None,
        play=play,
        feeler=feeler,
        others=others,
        unknown_twin=shown_name(twin) if twin is not None and not knows_twin else "",
        threads=threads_at(joint, machine),
        has_links=bool(links_at(joint, machine)),
        worn_holes=frozenset(state.hole.id for state in holes if WEAR_SIGNS & frozenset(state.signs)),
    )


def trials_since_renewal(hole: Hole, index: Index) -> tuple[Trial, ...]:
    """Return what was tried in a hole since it was last made new."""
    cuts = bore_cuts(index.events, hole, index.machine)
    return tuple(trial for trial in index.trials.get(hole.id, ()) if not cuts or moment(trial) > cuts[-1])


def plays_since_renewal(joint: Joint, index: Index) -> tuple[Play, ...]:
    """Return the plays of a joint since it last got a new pin or one of its holes was made new."""
    own = [hole for hole in index.machine.holes if hole.joint == joint.id]
    cuts: list[Moment] = [cut for hole in own for cut in bore_cuts(index.events, hole, index.machine)]
    new_pin = pin_cut(index.events, joint, index.machine)
    last = max([*cuts, *([new_pin] if new_pin is not None else [])], default=None)
    return tuple(play for play in index.plays.get(joint.id, ()) if last is None or moment(play) > last)


def _hole_in_use(holes: Sequence[HoleState]) -> HoleState | None:
    """Return the hole that the pin works in: of those in daily use the largest."""
    measured = [state for state in holes if state.worn is not None]
    daily = [state for state in measured if state.hole.use == "daily"]
    return max(daily or measured, key=lambda state: state.worn.value if state.worn is not None else 0.0, default=None)


def _in_place(joint: Joint, in_use: HoleState | None, index: Index) -> tuple[Value | None, Value | None]:
    """Return play and feeler of the last round in which they were taken, while the hole was as it was measured."""
    plays = plays_since_renewal(joint, index)
    measured = in_use.latest.day if in_use is not None and in_use.latest is not None else None
    near = [play for play in plays if measured is None or _is_near(play.day, measured)]
    found = []
    for is_feeler in (False, True):
        own = [play for play in near if (play.by == "feeler") is is_feeler]
        last = max((moment(play)[0] for play in own), default=None)
        found.append(clearance_in_place([play for play in own if play.day == last]))
    return found[0], found[1]


def _is_near(day: datetime.date, other: datetime.date) -> bool:
    return abs(day - other) <= SAME_STATE


def threads_at(joint: Joint, machine: Machine) -> Units | None:
    """Return whether links have inch or metric threads: those that end here, as stated, else all of the machine's.

    Where the threads of several links do not agree nothing is said.
    """
    here = {link.id for link in machine.links if link.id in links_at(joint, machine)}
    own = {_system(link.thread) for link in machine.links if link.thread is not None and link.id in here}
    every = {_system(link.thread) for link in machine.links if link.thread is not None}
    if len(own) == 1:
        return own.pop()
    return machine.link_threads or (every.pop() if len(every) == 1 and not own else None)


def _system(thread: Thread) -> Units:
    return "in" if thread.form == "inch" else "mm"


def twin_of(joint: Joint, machine: Machine) -> Joint | None:
    """Return the joint on the other side: as named by either of the two, else by left and right in their names."""
    for other in machine.joints:
        if other.id != joint.id and (joint.twin == other.id or (not joint.twin and other.twin == joint.id)):
            return other
    if joint.twin:
        return None
    mirrored = _mirrored(shown_name(joint))
    same = (other for other in machine.joints if mirrored and shown_name(other).lower() == mirrored)
    return next(same, None)


def _mirrored(name: str) -> str:
    """Return a name with left and right exchanged, empty when it has neither."""
    words = name.lower().replace(",", " ,").split(" ")
    swapped = [_SIDES.get(word, word) for word in words]
    return " ".join(swapped).replace(" ,", ",") if swapped != words else ""


def _others(joint: Joint, twin: Joint | None, index: Index) -> tuple[OtherPin, ...]:
    found = [OtherPin(shown_name(twin), "twin", known_names(twin, index))] if twin is not None else []
    for other in _at_other_ends(joint, index.machine):
        if twin is None or other.id != twin.id:
            found.append(OtherPin(shown_name(other), "other end", known_names(other, index)))
    return tuple(other for other in found if other.names)


def _at_other_ends(joint: Joint, machine: Machine) -> tuple[Joint, ...]:
    """Return the joints at the other ends of the links that end in this one."""
    found: dict[str, Joint] = {}
    for link in machine.links:
        ends = [machine.joint_of(hole) for hole in (link.near_hole, link.far_hole) if hole]
        if joint.id in {end.id for end in ends if end is not None}:
            found |= {end.id: end for end in ends if end is not None and end.id != joint.id}
    return tuple(found.values())


def known_names(joint: Joint, index: Index) -> tuple[str, ...]:
    """Return the names that another joint's pin can have, where it is stated or measured at its unworn end."""
    if joint.pin is not None:
        stated_mm = float(joint.pin.mm)
        return tuple(pin.name for pin in NOMINAL_PINS if abs(float(pin.mm) - stated_mm) <= _SAME_NAME_MM)
    cut = pin_cut(index.events, joint, index.machine)
    readings = [p for p in index.pins.get(joint.id, ()) if cut is None or moment(p) > cut]
    unworn = pin_days(readings, "unworn", index.instruments)
    return nearest_nominal(unworn[-1].size) if unworn else ()
