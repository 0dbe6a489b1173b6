"""What can be done about a worn hole, laid out: the ways, best first, with their numbers, parts and shop sheet."""

from fieldlog.pages.lines import BLANK, Line, Span, heading, line, wrapped
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import other_units
from fieldlog.records.machine import shown_name
from fieldlog.retrofit.repair.metal import sure_text
from fieldlog.retrofit.repair.numbers import repair_doubts, repair_numbers
from fieldlog.retrofit.repair.records import Doubts, Repair, RepairWord, WornHole
from fieldlog.retrofit.repair.ways import NO_DOUBTS, repairs, worn_hole
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.verdicts import Verdict

_SIGNS = {RepairWord.GOOD: ("ok", "sound"), RepairWord.ASK: ("??", "re-measure"), RepairWord.NO: ("--", "dim")}
_WORD_WIDTH = 14
STANDING = (
    "These numbers come from your own readings and usual practice. Static strength is not fatigue strength: nothing "
    "here clears a joint that is cracked, shock-loaded or that safety hangs on. The machine's manual and a qualified "
    "person decide."
)


def hole_repair(
    machine: MachineState, joint: JointState, hole: HoleState, units: Units, width: int
) -> tuple[Line, ...]:
    """Return the page of one hole's repair, each number with its doubt."""
    doubts = repair_doubts(repair_numbers(machine, joint, hole))
    return repair_lines(worn_hole(machine, joint, hole), units, width, doubts)


def repair_lines(case: WornHole | str, units: Units, width: int, doubts: Doubts = NO_DOUBTS) -> tuple[Line, ...]:
    """Return the page of one hole's repair; a sentence where its case is not known yet."""
    if isinstance(case, str):
        return wrapped(case, width)
    lines: list[Line] = [*wrapped(_case_text(case, units, doubts), width)]
    if case.pin_doubt:
        text = f"Which pin is not settled ({case.pin_doubt}); worked out for {case.pin_name}. Measure the pin first."
        lines += wrapped(text, width, "", "warn")
    lines.append(BLANK)
    for way in repairs(case, units, doubts):
        lines += [*_way(way, width), BLANK]
    return (*lines, *wrapped(STANDING, width, "", "warn"))


def _case_text(case: WornHole, units: Units, doubts: Doubts) -> str:
    made, largest = (
        f"{sure_text(mm, doubts.get(word, 0.0), units)} ({sure_text(mm, doubts.get(word, 0.0), other_units(units))})"
        for mm, word in ((case.made_mm, "as made"), (case.largest_mm, "largest now"))
    )
    return f"Made for {case.pin_name}, as made {made}; largest now {largest}."


def _way(way: Repair, width: int) -> list[Line]:
    sign, mark = _SIGNS[way.word]
    first, *rest = wrapped(way.name, max(width - _WORD_WIDTH, 8), "", "strong")
    lines = [line(Span(f"{sign} {way.word.value}".ljust(_WORD_WIDTH), mark), *first.spans)]
    lines += [line(" " * _WORD_WIDTH, *row.spans) for row in rest]
    for sentence in way.why:
        lines += wrapped(sentence, width, "   ")
    if way.word is RepairWord.NO:
        return lines
    if way.parts:
        lines += wrapped(f"Order: {', '.join(way.parts)}.", width, "   ")
    for row in way.shop:
        lines += wrapped(f"- {row}", width, "   ", "dim")
    if way.caution:
        lines += wrapped(way.caution, width, "   ", "warn")
    return lines


def machine_repairs(state: MachineState, units: Units, width: int) -> tuple[Line, ...]:
    """Return what can be done about every hole of a joint that is to be planned, renewed or stopped."""
    lines: list[Line] = []
    for joint in state.joints:
        if joint.finding.verdict.rank < Verdict.PLAN.rank:
            continue
        for hole in joint.holes:
            if hole.latest is not None:
                lines += [BLANK, heading(f"Repair: {shown_name(joint.joint)}, {shown_name(hole.hole)}")]
                lines += hole_repair(state, joint, hole, units, width)
    return tuple(lines)
