"""Everything about a joint's pin that is no reading of it: what was tried, what contradicts, what would settle it.

A hole in depth and its walls, in lines: the differences with their doubt, then what they often mean.

What can be done about a worn hole, laid out: the ways, best first, with their numbers, parts and shop sheet.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from fieldlog.measure.depth import DepthShape, Gap, Pattern, Wall, WallGap
from fieldlog.measure.pin_evidence import NextStep, PinAnswer, PinCandidate, PinEvidence, group_name, groups_of_one_size
from fieldlog.pages.lines import BLANK, FULL, NOTHING, UNKNOWN, Line, Span, heading, line, wrapped
from fieldlog.quantity.estimate import Estimate
from fieldlog.quantity.number import Numbers
from fieldlog.quantity.page_number import Number, page_numbers
from fieldlog.quantity.rounding import both_text, change_text, size_text
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Interval, Value
from fieldlog.records.entries import Trial
from fieldlog.records.machine import Hole, shown_name
from fieldlog.retrofit.repair.numbers import givens_of, repair_numbers, shown_numbers
from fieldlog.retrofit.repair.records import Repair, RepairWord, WornHole
from fieldlog.retrofit.repair.ways import refusals, repairs, worn_hole
from fieldlog.wear.shapes import HoleShape
from fieldlog.wear.states import HoleState, JointState, MachineState
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.metal import number_texts
from fieldlog.words.repair import STANDING, WAYS
from fieldlog.words.speak import say

_MOST_CANDIDATES = 6
_MOST_STEPS = 5
_NAME_WIDTH = 10
_NARROW = 50


def evidence_lines(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    """Return the whole page: the answer, what speaks against itself, the evidence, what would settle it."""
    answer = state.pin_answer
    lines: list[Line] = [*wrapped(f"Pin: {answer.sentence}.", width, "", "strong")]
    lines += contradiction_lines(answer, width)
    lines += candidate_lines(answer.candidates, width)
    lines += ruled_out_lines(answer, width)
    lines += [BLANK, heading("What there is")]
    lines += evidence_summary(state, units, width) or wrapped("Nothing beside readings yet.", width, "", "dim")
    if answer.next_steps:
        lines += [BLANK, heading("What would settle it, soonest first")]
        lines += step_lines(answer.next_steps, width)
    elif answer.next_measurement:
        lines += [BLANK, *wrapped(f"To settle it: {answer.next_measurement}.", width, "", "strong")]
    return tuple(lines)


def printed_evidence(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    """Return what a printed report adds to the sentence about the pin."""
    answer = state.pin_answer
    rows = [*contradiction_lines(answer, width), *evidence_summary(state, units, width)]
    if answer.next_measurement and not answer.contradictions:
        rows += wrapped(f"To settle the pin: {answer.next_measurement}.", width)
    return tuple(rows)


def hole_evidence_lines(state: JointState | None, hole_id: str, width: int) -> tuple[Line, ...]:
    """Return what a hole's page says of its pin below its history: the answer, and what was tried in this hole."""
    if state is None:
        return ()
    answer, found = state.pin_answer, state.evidence
    own = next((hole.hole for hole in state.holes if hole.hole.id == hole_id), None)
    tried = trial_lines(own, found.trials, width, is_named=False) if own is not None and found is not None else ()
    rows = [BLANK, heading("Which pin"), *wrapped(f"{answer.sentence}.", width), *tried]
    if answer.next_measurement and not answer.contradictions:
        rows += wrapped(f"To settle it: {answer.next_measurement}.", width, "", "strong")
    return tuple(rows)


def contradiction_lines(answer: PinAnswer, width: int) -> tuple[Line, ...]:
    """Return each contradiction with both its sides, and what would settle it."""
    rows: list[Line] = []
    for contradiction in answer.contradictions:
        rows += wrapped(f"! {_sentence(contradiction.said)}", width, "", "warn")
        rows += wrapped(_sentence(contradiction.settles), width, "  ")
    return tuple(rows)


def candidate_lines(candidates: Sequence[PinCandidate], width: int) -> tuple[Line, ...]:
    """Return the pins that can have been meant, each with its weight and reason."""
    rows: list[Line] = []
    groups = groups_of_one_size(candidates)
    room = max([_NAME_WIDTH, *(len(group_name(group)) + 1 for group in groups[:_MOST_CANDIDATES])])
    for group in groups[:_MOST_CANDIDATES]:
        head = f"{group_name(group):<{room}}{_share_text(group, len(groups))}"
        said = f"{group[0].standing}: {'; '.join(_reasons(group))}"
        if width < _NARROW:
            rows += wrapped(f"{head}{said}", width, "  ")
            continue
        first, *more = wrapped(said, width - len(head) - 2)
        rows.append(line("  ", Span(head, "strong"), *first.spans))
        rows += [line(" " * (len(head) + 2), *row.spans) for row in more]
    return tuple(rows)


def ruled_out_lines(answer: PinAnswer, width: int) -> tuple[Line, ...]:
    """Return which pins the hole alone would allow, and what takes them off the list."""
    if not answer.ruled_out:
        return ()
    return wrapped(f"Out: {', '.join(f'{out.name} by {out.by}' for out in answer.ruled_out)}.", width, "  ", "dim")


def _reasons(group: Sequence[PinCandidate]) -> list[str]:
    """Return a pin's reason; of two that are one size each one's, behind its name."""
    if len(group) == 1:
        return [group[0].reason]
    return [f"{candidate.name}, {candidate.reason}" for candidate in group]


def _share_text(group: Sequence[PinCandidate], count: int) -> str:
    if count < 2:
        return "  " if len(group) > 1 else ""
    percent = math.fsum(candidate.share for candidate in group) * 100
    return f"{'< 1' if percent < 0.5 else f'{min(percent, 99):.0f}':>3} %  "


def evidence_summary(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    """Return what was tried, measured in place, seen of the pin and known of the machine, a line or two each."""
    found = state.evidence
    if found is None:
        return ()
    rows: list[Line] = []
    for hole_state in state.holes:
        rows += trial_lines(hole_state.hole, found.trials, width, is_named=len(state.holes) > 1)
    for word, estimate in (("Play in place", found.play), ("Feeler", found.feeler)):
        rows += _estimate_lines(word, estimate, units, width)
    for word, estimate in (("Pin, unworn end", found.measured_pin), ("Pin, worn band", found.worn_pin)):
        rows += [*wrapped(f"{word}: {both_text(estimate, units)}", width)] if estimate is not None else []
    facts = _facts(found)
    return (*rows, *(wrapped(f"Known: {'; '.join(facts)}", width) if facts else ()))


def trial_lines(hole: Hole, trials: Sequence[Trial], width: int, *, is_named: bool) -> tuple[Line, ...]:
    """Return what was tried in a hole: '22.5 mm shank goes, 23 mm shank no (3 Nov 2026, nell)'."""
    own = [trial for trial in trials if trial.hole == hole.id]
    if not own:
        return ()
    said: list[str] = []
    for number, trial in enumerate(own):
        later = own[number + 1] if number + 1 < len(own) else None
        when = "" if later is not None and later.round == trial.round else f" ({day_text(trial.day)}, {trial.who})"
        said.append(f"{trial.size.typed} {trial.by} {trial.result}{when}")
    where = f" in {shown_name(hole)}" if is_named else ""
    return wrapped(f"Tried{where}: {', '.join(said)}", width)


def _estimate_lines(word: str, estimate: Estimate | None, units: Units, width: int) -> tuple[Line, ...]:
    if estimate is None:
        return ()
    return wrapped(f"{word}: {size_text(estimate, units)}, {estimate.parts[0].name}", width)


def _facts(found: PinEvidence) -> list[str]:
    facts = [f"the pin is a {found.joint.pin_kind}"] if found.joint.pin_kind else []
    facts += [f"kept by a {found.joint.keeper}"] if found.joint.keeper else []
    facts += [f"hitch category {found.category}"] if found.category and found.joint.kind == "hitch" else []
    if found.threads is not None:
        facts.append(f"{'inch' if found.threads == 'in' else 'metric'} threads on its links")
    for other in found.others:
        where = "on the other side" if other.kinship == "twin" else "at the other end"
        facts.append(f"{' or '.join(other.names)} {where} ({other.joint})")
    return facts


def step_lines(steps: Sequence[NextStep], width: int) -> tuple[Line, ...]:
    """Return what could be done next: minutes, and in how many of a hundred cases it settles the pin."""
    rows: list[Line] = []
    for step in steps[:_MOST_STEPS]:
        worth = f"settles it {_in_hundred(step.settles)}" if step.settles >= 0.005 else "does not settle it alone"
        narrows = f", takes {step.narrows * 100:.0f} % of the doubt away" if step.settles < 0.995 else ""
        why = f" {_sentence(step.why)}" if step.why else ""
        text = f"{step.action[:1].upper()}{step.action[1:]}: about {step.minutes} min, {worth}{narrows}.{why}"
        first, *more = wrapped(text, width - 2)
        rows.append(line("- ", *first.spans))
        rows += [line("  ", *row.spans) for row in more]
    return tuple(rows)


def _in_hundred(share: float) -> str:
    return "nearly always" if share >= 0.995 else f"{share * 100:.0f} times in 100"


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def shape_lines(shape: HoleShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return everything known about depth and walls; nothing when neither was measured."""
    lines: list[Line] = []
    if shape.depth is not None:
        lines += [heading("In depth"), *depth_lines(shape.depth, units, width)]
    if shape.walls:
        lines += [heading("Metal beside the hole"), *wall_lines(shape, units, width)]
    if shape.hints:
        lines.append(heading("What it often means (a hint, not a verdict)"))
        for hint in shape.hints:
            lines += wrapped(_sentence(say(hint, units)), width)
    return tuple(lines)


def depth_lines(depth: DepthShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return the pattern and each face less another."""
    lines: list[Line] = []
    if depth.gaps:
        pattern = depth.pattern.value
        lines += wrapped(f"{pattern[:1].upper()}{pattern[1:]}.", width, "", "" if _is_alike(depth) else "warn")
    for gap in depth.gaps:
        lines += wrapped(_gap_text(gap, units), width)
    if depth.missing:
        lines += wrapped(f"{depth.missing[:1].upper()}{depth.missing[1:]}.", width, "", "dim")
    return tuple(lines)


def depth_summary(depth: DepthShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return the depth in as few lines as it takes, for a page that has much to show."""
    if not depth.gaps:
        return wrapped(f"Depth: {depth.missing}.", width, "", "dim")
    proved = [gap for gap in depth.gaps if gap.sign] or list(depth.gaps)[-1:]
    gaps = ", ".join(f"{gap.name} at {gap.clock} {change_text(gap.size, units)}" for gap in proved)
    return wrapped(f"Depth: {depth.pattern.value}; {gaps}", width, "", "" if _is_alike(depth) else "warn")


def _is_alike(depth: DepthShape) -> bool:
    return depth.pattern is Pattern.ALIKE


def _gap_text(gap: Gap, units: Units) -> str:
    proved = {1: f"{gap.first} larger", -1: f"{gap.first} smaller", 0: "not proved"}[gap.sign]
    return f"{gap.name} at {gap.clock}: {change_text(gap.size, units)}, {proved}"


def wall_lines(shape: HoleShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return each wall, then which one wore as far as that is proved."""
    lines = list(wrapped(", ".join(_wall_text(wall, units) for wall in shape.walls), width))
    for gap in shape.opposite:
        lines += wrapped(_opposite_text(gap, units), width)
    for gap in shape.since:
        lines += wrapped(_since_text(gap, units), width)
    if not shape.opposite and not shape.since:
        lines += wrapped("Measure the opposite wall too; one wall alone tells nothing.", width, "", "dim")
    return tuple(lines)


def _wall_text(wall: Wall, units: Units) -> str:
    return f"{wall.clock}: {size_text(wall.size, units)}"


def _opposite_text(gap: WallGap, units: Units) -> str:
    size = size_text(_positive(gap), units)
    if gap.is_proved:
        return f"{gap.clock} is {size} thinner than {gap.other}: that wall wore, if both were alike when new."
    return f"{gap.clock} and {gap.other} are alike within error ({size} apart): both wore alike, or neither."


def _since_text(gap: WallGap, units: Units) -> str:
    if not gap.is_proved:
        return f"{gap.clock} since it was first measured: {change_text(gap.size, units)}, not proved."
    thinner = gap.size.value < 0
    word, rest = ("thinner", ".") if thinner else ("thicker", ", which cannot be: measure it again.")
    return f"{gap.clock} is {size_text(_positive(gap), units)} {word} than when first measured{rest}"


def _positive(gap: WallGap) -> Estimate:
    return replace(gap.size, value=abs(gap.size.value))


_SIGNS = {RepairWord.GOOD: (NOTHING, "sound"), RepairWord.ASK: (UNKNOWN, "re-measure"), RepairWord.NO: (FULL, "dim")}
_WORD_WIDTH = 14


def hole_repair(
    machine: MachineState, joint: JointState, hole: HoleState, units: Units, width: int
) -> tuple[Line, ...]:
    """Return the page of one hole's repair, each number with its doubt; what to measure first where that is open."""
    case = worn_hole(machine, joint, hole)
    if isinstance(case, Said):
        return wrapped(say(case, units), width)
    return repair_lines(case, units, width, repair_numbers(case, givens_of(case, hole)))


def repair_lines(case: WornHole, units: Units, width: int, numbers: Numbers | None = None) -> tuple[Line, ...]:
    """Return the page of a hole that wants repair; without its numbers its sizes are taken as they stand."""
    known = numbers if numbers is not None else repair_numbers(case)
    made, largest = known.value("made"), known.value("largest")
    lines: list[Line] = [
        *wrapped(say(said("repair.case", pin=case.pin_name, made=made, largest=largest), units), width)
    ]
    if case.pin_doubt:
        doubt = said("repair.pin_not_settled", why=case.pin_doubt, pin=case.pin_name)
        lines += wrapped(say(doubt, units), width, "", "warn")
    lines.append(BLANK)
    for way in repairs(case, known):
        lines += [*_way(way, units, width), BLANK]
    return (*lines, *wrapped(STANDING, width, "", "warn"))


def _way(way: Repair, units: Units, width: int) -> list[Line]:
    sign, mark = _SIGNS[way.word]
    first, *rest = wrapped(say(way.name, units), max(width - _WORD_WIDTH, 8), "", "strong")
    lines = [line(Span(f"{sign} {WAYS[way.word]}".ljust(_WORD_WIDTH), mark), *first.spans)]
    lines += [line(" " * _WORD_WIDTH, *row.spans) for row in rest]
    for why in way.why:
        lines += wrapped(say(why, units), width, "   ")
    if way.word is RepairWord.NO:
        return lines
    if way.parts:
        lines += wrapped(f"Order: {', '.join(say(part, units) for part in way.parts)}.", width, "   ")
    for row in way.shop:
        lines += wrapped(f"- {say(row, units)}", width, "   ", "dim")
    if way.caution is not None:
        lines += wrapped(say(way.caution, units), width, "   ", "warn")
    return lines


def opened_repair(machine: MachineState, joint: JointState, hole: HoleState, units: Units = "mm") -> list[Number]:
    """Return the numbers of a hole's repair page opened up; none while its case is not known yet."""
    case = worn_hole(machine, joint, hole)
    if isinstance(case, Said):
        return []
    numbers = repair_numbers(case, givens_of(case, hole))
    ids = shown_numbers(case, is_refused=bool(refusals(case)))
    told = [one for one in ids if isinstance(numbers[one], Value | Interval)]
    named = [(one, number_texts(one, case, numbers)) for one in told]
    return page_numbers(numbers, named, lambda thing: say(thing, units))


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
