"""What is doubtful about the readings of a hole, day by day: marks, keeps, lack of fit. Worked out when looked at."""

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass

from fieldlog.measure.apart import repeat_marks
from fieldlog.measure.bore import lack_of_fit
from fieldlog.measure.doubtful import Mark, about_repeats, fineness_of, hole_marks
from fieldlog.measure.hole import FaceShape, HoleSize
from fieldlog.measure.rounding import mm_text
from fieldlog.records.entries import Entry
from fieldlog.records.machine import Hole
from fieldlog.records.quantities import Units
from fieldlog.wear.index import Index
from fieldlog.wear.spans import bore_cuts, hole_history


@dataclass(frozen=True, slots=True)
class DayDoubts:
    """One measuring of a hole: the readings that stand apart, those of them kept, and what else there is to say."""

    size: HoleSize
    marks: tuple[Mark, ...]
    kept: tuple[Mark, ...]
    repeats: tuple[str, ...]
    misfit: str


def hole_doubts(hole: Hole, index: Index, history: Sequence[HoleSize] | None = None) -> tuple[DayDoubts, ...]:
    """Return the doubts about each measuring of a hole, oldest first, as in its history, if that is known already."""
    readings = index.bores.get(hole.id, [])
    by_key = {reading.key: reading for reading in readings}
    if history is None:
        history, _ = hole_history(list(readings), bore_cuts(index.events, hole, index.machine), index.instruments)
    found = []
    for size in history:
        behind = [by_key[key] for key in size.keys]
        marks = hole_marks(size, behind, index.instruments)
        step = fineness_of(behind, index.instruments).step_mm
        found.append(
            DayDoubts(
                size=size,
                marks=tuple(mark for mark in marks if mark.key not in index.keeps),
                kept=tuple(mark for mark in marks if mark.key in index.keeps),
                repeats=_repeats(size, marks),
                misfit=" ".join(text for face in size.faces if (text := misfit_text(face, step, index.units))),
            )
        )
    return tuple(found)


def _repeats(size: HoleSize, marks: tuple[Mark, ...]) -> tuple[str, ...]:
    """Return what the repeats can tell, of the face with the most readings."""
    text = about_repeats(size.best_face, marks)
    return (text,) if text else ()


def misfit_text(face: FaceShape, step_mm: float, units: Units) -> str:
    """Return the sentence for lines that do not fit an oval, with the numbers it rests on; empty when they do."""
    if face.shape is None:
        return ""
    pairs = [(group.angle_deg, size) for group in face.groups for size in group.sizes_mm]
    misfit = lack_of_fit(pairs, step_mm)
    if misfit is None or not misfit.is_proved:
        return ""
    places = 2 if units == "mm" else 4
    return (
        f"The {face.face} face is no oval: its lines miss one by up to {mm_text(misfit.worst_mm, units, places)} while "
        f"repeats scatter by {mm_text(misfit.repeats_mm, units, places + 1)} (F = {misfit.f:.1f} with "
        f"{misfit.misfit_dof} and {misfit.pure_dof} degrees of freedom). Look for a burr, a lip or a flat; deep wear "
        "into one wall does it too. The sizes are worth less than they say."
    )


def marks_by_key(holes: Iterable[Hole], index: Index, behind: Set[str] | None = None) -> Mapping[str, Mark]:
    """Return every reading that stands apart, the kept ones too, by the key of its entry.

    Looked at are the bores of some holes, and of pins, walls, tapes and threads what is measured together with the
    keys `behind`, or all of them.
    """
    days = [day for hole in holes for day in hole_doubts(hole, index)]
    found = {mark.key: mark for day in days for mark in (*day.marks, *day.kept)}
    return found | {mark.key: mark for mark in repeat_marks(repeated_entries(index), index.instruments, behind)}


def repeated_entries(index: Index) -> Iterator[Entry]:
    """Return the standing readings of pins, walls, tapes and threads."""
    for lists in (index.pins, index.walls, index.ligaments, index.lengths, index.threads):
        for entries in lists.values():
            yield from entries
