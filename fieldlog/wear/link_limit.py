"""How far a screw link may be opened: the maker's groove or stop pin, else the thread that must stay in."""

from fieldlog.measure.engagement import FLOOR_D, TARGET_D
from fieldlog.measure.estimate import Estimate, difference, limit_of
from fieldlog.measure.rounding import both_text, mm_text
from fieldlog.records.quantities import Units
from fieldlog.wear.index import Index
from fieldlog.wear.mixed_up import MIXED_UP, is_mixed_up
from fieldlog.wear.states import Finding, LinkReport, OpenLimit, Verdict
from fieldlog.wear.threads import ThreadState, end_word, seen_on, thread_state

CAUTION = (
    "With too little thread in, the link pulls apart and the implement falls. Lower and block it, and keep clear, "
    "before you turn the link. The machine's manual wins: never past its groove, band or stop pin."
)


def thread_of(report: LinkReport, index: Index) -> ThreadState | None:
    """Return what is known of a link's thread, None where its size is not written down."""
    thread = report.link.thread
    if thread is None:
        return None
    lengths = {state: length.centres for state, length in report.lengths if length.centres is not None}
    if is_mixed_up(report):
        lengths = {state: size for state, size in lengths.items() if state == "as set"}
    return thread_state(report.link, thread, seen_on(report.link, index, lengths, report.travel), index.units)


def open_limit(report: LinkReport, units: Units) -> OpenLimit | None:
    """Return the longest length the link may be opened to, and why; None where nothing tells it."""
    maker = maker_stop(report, units)
    if maker is not None:
        return maker
    thread = report.thread
    if thread is None or thread.target is None or report.link.open_stop in {"groove", "stop pin"}:
        return None
    target_mm = TARGET_D * float(thread.thread.d_mm)
    length = mm_text(target_mm, units, 1 if units == "mm" else 2)
    reason = f"{TARGET_D:g} d, {length}, of thread still in at {_where(thread, report)}"
    if thread.weak is not None:
        reason = f"{reason}; the {end_word(report.link, thread.weak)} comes short first"
    return OpenLimit(thread.target, "thread", reason)


def _where(thread: ThreadState, report: LinkReport) -> str:
    return f"the {end_word(report.link, thread.ends[0].end)}" if len(thread.ends) == 1 else "each end"


def maker_stop(report: LinkReport, units: Units) -> OpenLimit | None:
    """Return the limit that a maker's groove or stop pin sets: as its length is stated, else as taped open to it."""
    stop, typed = report.link.open_stop, report.link.stop_length
    if stop is None or stop == "thread":
        return None
    if typed is not None:
        half = float(typed.half_width_mm)
        part = limit_of("step of the typing", half, f"± {half:.3g} mm")
        return OpenLimit(Estimate(float(typed.mm), (part,)), stop, f"the maker's {stop}, as stated")
    opened = report.open.centres if report.open is not None and not is_mixed_up(report) else None
    return OpenLimit(opened, stop, f"the maker's {stop}, as taped when opened to it") if opened is not None else None


def thread_finding(report: LinkReport, units: Units) -> Finding | None:
    """Judge how much thread is in, as set and open; None when that is not known and nothing is contradicted."""
    if is_mixed_up(report):
        return Finding(Verdict.REMEASURE, MIXED_UP, "Tape closed and open again, at the same edges of the same holes.")
    past = _past_the_stop(report, units)
    if past is not None:
        return past
    thread = report.thread
    if thread is None:
        return None
    if thread.faults:
        return Finding(Verdict.REMEASURE, thread.faults[0], "Put that right first; nothing is worked out from it.")
    found = [_judged(report, thread, state, units) for state in ("as set", "open")]
    judged = [finding for finding in found if finding is not None]
    return max(judged, key=lambda finding: (finding.severity, finding.share), default=None)


def _past_the_stop(report: LinkReport, units: Units) -> Finding | None:
    maker = maker_stop(report, units)
    if maker is None or report.link.stop_length is None:
        return None
    for state, length in report.lengths:
        if length.centres is None:
            continue
        over = difference(length.centres, maker.length)
        if over.value_mm > over.expanded_mm:
            reason = f"Taped {state}, it is {both_text(over, units)} longer than the maker's {maker.stop} allows."
            step = f"Screw it in to {both_text(maker.length, units)} or shorter."
            return Finding(Verdict.STOP, reason, step, CAUTION)
    return None


def _judged(report: LinkReport, thread: ThreadState, state: str, units: Units) -> Finding | None:
    least = thread.least_in(state)  # type: ignore[arg-type] # one of the link's states
    if least is None:
        return None
    end, size = least
    d_mm = float(thread.thread.d_mm)
    turns_in = size.value_mm / d_mm
    brief, share = f"{turns_in:.2f} d of thread in", FLOOR_D / max(turns_in, 0.01)
    said = f"{state.capitalize()}, {both_text(size, units)}, {turns_in:.2f} d, of thread is in at the "
    said += end_word(report.link, end)
    has_stop = report.link.open_stop in {"groove", "stop pin"}
    if turns_in < FLOOR_D and has_stop and state == "open":
        return _stop_contradicts(report, thread, said, units)
    if turns_in < FLOOR_D:
        step = _screw_in(thread.target, thread.floor, units)
        reason = f"{said}; under {FLOOR_D:g} d it is not safe to use."
        return Finding(Verdict.STOP, reason, step, CAUTION, share=share, brief=brief)
    if turns_in < TARGET_D and not has_stop:
        step = _screw_in(thread.target, None, units)
        return Finding(Verdict.PLAN, f"{said}; {TARGET_D:g} d is wanted.", step, CAUTION, share=share, brief=brief)
    line = f"over {TARGET_D:g} d" if turns_in >= TARGET_D else f"the maker's {report.link.open_stop} decides"
    return Finding(Verdict.SOUND, f"{said}: {line}.", "Measure it again next season.", share=share, brief=brief)


def _stop_contradicts(report: LinkReport, thread: ThreadState, said: str, units: Units) -> Finding:
    floor = f"; until then keep it at {both_text(thread.floor, units)} or shorter" if thread.floor is not None else ""
    reason = f"{said}; a maker's {report.link.open_stop} leaves more than that, so one of the figures is wrong."
    return Finding(Verdict.REMEASURE, reason, f"Measure thread length and exposed thread again{floor}.", CAUTION)


def _screw_in(target: Estimate | None, floor: Estimate | None, units: Units) -> str:
    if target is None:
        return "Screw it in, and tape it as it was when the thread was measured, to learn how far it may open."
    never = f", never over {both_text(floor, units)}" if floor is not None else ""
    return f"Keep it at {both_text(target, units)} or shorter{never}; mark that length, and tape it as its open length."


def next_step(report: LinkReport) -> str:
    """Return what to do next about a link, worst first."""
    finding, thread = report.finding, report.thread
    if finding is not None and finding.verdict is not Verdict.SOUND:
        return finding.next_step
    for state, length in report.lengths:
        if length.centres is None:
            return f"{state.capitalize()}: {length.needs}."
    is_screw = report.link.kind == "screw"
    if is_screw and (report.closed is None or report.open is None):
        which = "closed and open" if report.closed is None and report.open is None else _missing_state(report)
        return f"Tape it {which}, pin to pin: m starts the walk."
    if is_screw and thread is None:
        return "Write down its thread: size, hand and length of thread at each end, and what stops its opening."
    if thread is not None and thread.needs:
        return thread.needs
    return finding.next_step if finding is not None else "Tape it again next season."


def _missing_state(report: LinkReport) -> str:
    return "closed" if report.closed is None else "open"
