"""Every number that a page shows, with the estimate it is and the readings it comes from.

A screen shows a size in a few words; here the same size is found again with everything behind it.

How likely each pin is, opened up: the factors that its share is the product of; and what a next step is worth.

The odds of a pin open to the factors they are the product of; a test multiplies them.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from fieldlog.measure.depth import Gap
from fieldlog.measure.hole import FaceShape, HoleSize, growth
from fieldlog.measure.pin_evidence import PinEvidence
from fieldlog.measure.pin_weights import factors_of
from fieldlog.quantity.estimate import Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import said
from fieldlog.quantity.value import Value, difference_named, exactly
from fieldlog.records.entries import MachineLog, PinPlace, PinReading, Play
from fieldlog.records.machine import shown_name
from fieldlog.standards.joints import NOMINAL_PINS
from fieldlog.wear.at_the_hole import Before, Sight
from fieldlog.wear.shapes import HoleShape
from fieldlog.wear.states import HoleState, JointState


def face_keys(face: FaceShape) -> tuple[str, ...]:
    """Return the readings of one face."""
    return tuple(key for group in face.groups for key in group.keys)


def _taken(sizes: Iterable[HoleSize]) -> Mapping[str, float]:
    groups = (group for size in sizes for face in size.faces for group in face.groups)
    return {key: size_mm for group in groups for key, size_mm in zip(group.keys, group.sizes_mm, strict=True)}


def size_numbers(size: HoleSize) -> list[Number]:
    """Return largest, smallest and ovality of one measuring."""
    wide = max(size.faces, key=lambda face: face.largest.value)
    narrow = min(size.faces, key=lambda face: face.smallest.value)
    taken = _taken([size])
    found = [
        Number("largest", f"Largest size, {wide.face} face", size.largest, face_keys(wide), taken_mm=taken),
        Number("smallest", f"Smallest size, {narrow.face} face", size.smallest, face_keys(narrow), taken_mm=taken),
    ]
    best = size.best_face
    if best.shape is not None:
        about = f"Ovality (largest less smallest), {best.face} face"
        found.append(Number("ovality", about, best.shape.ovality, face_keys(best), taken_mm=taken))
    return found


def hole_numbers(state: HoleState) -> list[Number]:
    """Return the numbers of a hole's page: its two sizes, its ovality and its change."""
    span, latest = state.history[state.span_start :], state.latest
    if latest is None:
        return []
    worn, _, *ovality = size_numbers(latest)
    first = min(span, key=lambda size: size.smallest.value)
    identity = replace(size_numbers(first)[1], word="identity", about="Identity size: smallest since it was new")
    change = [_change(span[-2], latest)] if state.change is not None else []
    return [worn, identity, *ovality, *change]


def _change(before: HoleSize, now: HoleSize) -> Number:
    """Return the growth between two measurings, each part named with the day it is of."""
    about = "Change of the largest size since the time before"
    change = growth(now.seen, before.seen)
    return Number("change", about, change, (*before.keys, *now.keys), is_change=True, taken_mm=_taken([before, now]))


def shape_numbers(shape: HoleShape) -> list[Number]:
    """Return the differences between a hole's faces, and what its walls measure and differ by."""
    gaps = shape.depth.gaps if shape.depth is not None else ()
    found = [_depth_number(gap) for gap in gaps]
    for wall in shape.walls:
        found.append(Number(f"metal at {wall.clock}", f"Metal beside the hole at {wall.clock}", wall.size, wall.keys))
    for gap in shape.opposite:
        about = f"Metal at {gap.clock} less that at {gap.other}"
        found.append(Number(f"{gap.clock} less {gap.other}", about, gap.size, gap.keys, is_change=True))
    for gap in shape.since:
        about = f"Metal at {gap.clock} now less when first measured"
        found.append(Number(f"{gap.clock} since first", about, gap.size, gap.keys, is_change=True))
    return found


def sight_numbers(sight: Sight, before: Before, line: HoleSize) -> list[Number]:
    """Return the numbers that stand on the screen while a hole is measured; `line` is the one measured last."""
    found = size_numbers(sight.now)
    if sight.change is not None and before.last is not None:
        found.append(_change(before.last, sight.now))
    finding = sight.finding
    if finding is not None and finding.clearance is not None and finding.hole == sight.now.hole:
        about = "Clearance: largest size less the pin"
        found.append(Number("clearance", about, finding.clearance, found[0].keys, taken_mm=_taken([sight.now])))
    gaps = sight.depth.gaps if sight.depth is not None else ()
    (face,) = line.faces
    clock = face.groups[0].clock
    mean = Number(
        f"mean at {clock}", f"Mean at {clock}, {face.face} face", line.largest, line.keys, taken_mm=_taken([line])
    )
    return [*found, *map(_depth_number, gaps), mean]


def _depth_number(gap: Gap) -> Number:
    about = f"{gap.first.capitalize()} face less {gap.second} face, at {gap.clock}"
    return Number(gap.name, about, gap.size, gap.keys, is_change=True)


def joint_numbers(state: JointState, log: MachineLog) -> list[Number]:
    """Return a joint's clearance, its pin in every way it was measured, and each hole's largest size."""
    pins = _pins(state, log)
    found = [*_clearance(state, pins), *pins]
    for hole in state.holes:
        for number in hole_numbers(hole)[:1]:
            about = said("finding.at_hole", hole=hole.hole, what=number.about)
            found.append(replace(number, word=shown_name(hole.hole), about=about))
    return found


def _clearance(state: JointState, pins: Sequence[Number]) -> list[Number]:
    clearance = state.finding.clearance
    if clearance is None:
        return []
    hole = next((hole for hole in state.holes if hole.hole.id == state.finding.hole), None)
    latest = hole.latest if hole is not None else None
    keys = face_keys(max(latest.faces, key=lambda face: face.largest.value)) if latest is not None else ()
    pin_keys = next((pin.keys for pin in pins if pin.estimate == state.pin_size), ())
    name = f" of {shown_name(hole.hole)}" if hole is not None and len(state.holes) > 1 else ""
    taken = _taken([latest]) if latest is not None else {}
    return [
        Number(
            "clearance", f"Clearance{name}: largest size less the pin", clearance, (*keys, *pin_keys), taken_mm=taken
        )
    ]


def _pins(state: JointState, log: MachineLog) -> list[Number]:
    """Return the pin that is reckoned with, and the other place it was measured at."""
    known = state.evidence
    found: list[Number] = []
    if known is not None and known.worn_pin is not None:
        found.append(Number("pin, worn band", "Worn band of the pin", known.worn_pin, _pin_keys(state, log, "worn")))
    if known is not None and known.measured_pin is not None:
        keys = _pin_keys(state, log, "unworn")
        found.append(Number("pin, unworn end", "Unworn end of the pin", known.measured_pin, keys))
    if state.pin_size is not None and all(pin.estimate != state.pin_size for pin in found):
        found.append(Number("pin", said("pin.where_from", origin=state.pin_origin), state.pin_size, ()))
    return found


def _pin_keys(state: JointState, log: MachineLog, place: PinPlace) -> tuple[str, ...]:
    """Return the pin readings that a size rests on: those of the last round at that place."""
    readings = [r for r in log.standing(PinReading) if r.joint == state.joint.id and r.place == place]
    newest = max(((r.day, r.round) for r in readings), default=None)
    return tuple(r.key for r in readings if (r.day, r.round) == newest)


def pin_numbers(sizes: Sequence[tuple[str, Value | None, tuple[str, ...]]]) -> list[Number]:
    """Return what was measured of a pin, from (word, size, keys), worn band first, and what is worn off it."""
    known = [(word, size, keys) for word, size, keys in sizes if size is not None]
    found = [Number(word, f"Pin, {word}: smallest direction", size, keys) for word, size, keys in known]
    if len(known) > 1:
        (worn_word, worn, worn_keys), (unworn_word, unworn, unworn_keys) = known
        size, keys = difference_named((unworn, unworn_word), (worn, worn_word)), (*unworn_keys, *worn_keys)
        found.append(Number("worn off", "Worn off the pin: unworn end less worn band", size, keys, is_change=True))
    return found


_SHARE = (
    "Share = the product of these factors over the sum of all pins' products (Bayes' rule). A factor counts only "
    "against the same factor of another pin. Odds and shapes of wear are common practice, no source."
)
_SETTLES = "Every way that it can come out, weighed by how likely it is; counted where one size alone is left."


def evidence_numbers(state: JointState, log: MachineLog) -> list[Number]:
    """Return the numbers of the page of other evidence: shares, what was measured of the pin, what would settle it."""
    known = state.evidence
    if known is None:
        return []
    found = [*_shares(state, known, log), *_in_place(state, known, log)]
    found += _pins(state, log)
    return [*found, *_steps(state)]


def _shares(state: JointState, known: PinEvidence, log: MachineLog) -> Iterator[Number]:
    candidates = state.pin_answer.candidates
    if len(candidates) < 2:
        return
    hole = next((hole for hole in state.holes if hole.hole.id == state.pin_answer.from_hole), None)
    keys = (*_hole_keys(hole), *(trial.key for trial in known.trials), *_play_keys(state, log))
    for candidate in candidates:
        pin = next((pin for pin in NOMINAL_PINS if pin.name == candidate.name), None)
        if pin is None:
            continue
        factors = factors_of(pin, hole.hole if hole is not None else None, known)
        steps = tuple(Step(word, exactly(value, "")) for word, value in factors)
        about = f"Share of {candidate.name} among all pins that stand; {candidate.standing}: {candidate.reason}"
        value = exactly(100 * candidate.share, "%")
        yield Number(candidate.name, about, value, keys, steps=steps, formula=_SHARE)


def _hole_keys(hole: HoleState | None) -> tuple[str, ...]:
    """Return the readings of the face on which the hole was smallest since it was new."""
    span = hole.history[hole.span_start :] if hole is not None else ()
    first = min(span, key=lambda size: size.smallest.value, default=None)
    return face_keys(min(first.faces, key=lambda face: face.smallest.value)) if first is not None else ()


def _play_keys(state: JointState, log: MachineLog) -> tuple[str, ...]:
    return tuple(play.key for play in log.standing(Play) if play.joint == state.joint.id)


def _in_place(state: JointState, known: PinEvidence, log: MachineLog) -> Iterator[Number]:
    sizes: tuple[tuple[str, str, Value | None], ...] = (
        ("play", "Play of the joint in place", known.play),
        ("feeler", "The thickest feeler beside the pin", known.feeler),
    )
    for word, about, size in sizes:
        if size is not None:
            yield Number(word, about, size, _play_keys(state, log))


def _steps(state: JointState) -> Iterator[Number]:
    for step in state.pin_answer.next_steps:
        steps = (
            Step("takes about", f"{step.minutes} min, common practice"),
            Step("takes away on the average", f"{100 * step.narrows:.0f} % of the doubt"),
        )
        about = f"How often it settles the pin: {step.action}"
        yield Number(step.action, about, exactly(100 * step.settles, "%"), (), steps=steps, formula=_SETTLES)
