"""A joint's finding and a hole's history laid out in full."""

from collections.abc import Sequence

from fieldlog.measure.hole import HoleSize
from fieldlog.pages.canvas import dial_lines, dial_note, dial_shape
from fieldlog.pages.hole import candidate_lines, contradiction_lines, evidence_summary, ruled_out_lines
from fieldlog.pages.lines import BLANK, Line, Span, both_or_dash, count_text, fit, heading, line, verdict_span, wrapped
from fieldlog.pages.machine import bush_text, hole_label
from fieldlog.pages.round import shape_text
from fieldlog.pages.trend import joint_trend_lines
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import both_plain_text, both_text, change_text, mm_text, size_text
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import shown_name
from fieldlog.wear.history import put_off_said
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.tool_slack import slack_said
from fieldlog.wear.trends.rates import Beside
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import say, say_all, words_of

_DIAL_COLUMNS = 33
_DIAL_ROWS = 13
_BESIDE = 40


def finding_lines(
    state: JointState, units: Units, width: int, beside: Beside | None = None, picture: Sequence[Line] = ()
) -> tuple[Line, ...]:
    """Return a joint's finding: verdict, reason, next step, caution, limit, slack at the tool, trends, pin, holes.

    `beside` are the rates of the fleet, for a joint that borrows from its kind; `picture` stands over the trends.
    """
    finding = state.finding
    lines: list[Line] = [line(verdict_span(finding.verdict)), *wrapped(say_all(finding.reasons, units), width), BLANK]
    lines += wrapped(f"Next: {say_all(finding.next_steps, units)}", width, "", "strong")
    if finding.caution is not None:
        lines += [BLANK, *wrapped(caution_text(finding.caution), width, "", "warn")]
    for said in put_off_said(state.put_off):
        lines += [BLANK, *wrapped(say(said, units), width, "", "warn")]
    lines += [BLANK, heading("Limit in force"), *_limit_lines(state, units, width)]
    if state.slack is not None:
        lines += [BLANK, heading("At the tool"), *wrapped(say(slack_said(state.slack), units), width)]
    if state.trends:
        known = beside or Beside("", ())
        lines += [BLANK, heading("Wear over the seasons"), *picture]
        lines += joint_trend_lines(state, known, units, width)
    lines += [BLANK, heading("Which pin"), *_pin_lines(state, units, width)]
    if state.signs:
        lines += [BLANK, heading("Seen, and not cured since"), *wrapped(", ".join(state.signs), width)]
    lines += [BLANK, heading("Holes")]
    for hole in state.holes:
        text = f"{fit(hole_label(hole.hole), 26)} largest {both_or_dash(hole.worn, units)}"
        lines.append(line(text, target=hole.hole.id))
    return tuple(lines)


def _limit_lines(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    limit = state.finding.limit
    if limit is None:
        return wrapped("None is reckoned with here.", width, "", "dim")
    watch = f", watch from {both_plain_text(limit.watch_mm, units)}" if limit.watch_mm is not None else ""
    text = f"Renew over {both_plain_text(limit.renew_mm, units)} {limit.of}{watch}. {words_of(limit.origin, units)}."
    return wrapped(text, width)


def _pin_lines(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    answer = state.pin_answer
    lines = [*wrapped(f"{answer.sentence}.", width), *contradiction_lines(answer, width)]
    lines += [*candidate_lines(answer.candidates, width), *ruled_out_lines(answer, width)]
    lines += evidence_summary(state, units, width)
    if answer.next_measurement and not answer.contradictions:
        lines += wrapped(f"To settle it: {answer.next_measurement}.", width, "", "strong")
    if state.pin_size is not None:
        size = f"{both_text(state.pin_size, units)}, {words_of(state.pin_origin, units)}"
        lines += wrapped(f"Reckoned with: {size}.", width, "", "dim")
    return tuple(lines)


def hole_lines(
    state: HoleState,
    units: Units,
    width: int,
    *,
    of_time: Sequence[Line] = (),
    ascii_only: bool = False,
    extra: Sequence[Line] = (),
) -> tuple[Line, ...]:
    """Return a hole's page: dial beside its numbers where there is room, else above.

    `of_time` is its wear over the seasons, `extra` what else is known; its history comes last.
    """
    facts = _facts(state, units, width - _DIAL_COLUMNS - 2 if width >= _DIAL_COLUMNS + _BESIDE else width)
    shape = dial_shape(state)
    lines: list[Line] = []
    if shape is None:
        lines += facts
    elif width >= _DIAL_COLUMNS + _BESIDE:
        drawn = dial_lines(shape, _DIAL_COLUMNS, _DIAL_ROWS, ascii_only=ascii_only)
        dial = (*drawn, *dial_note(shape, state, _DIAL_COLUMNS))
        for number in range(max(len(dial), len(facts))):
            left = dial[number].spans if number < len(dial) else (Span(" " * _DIAL_COLUMNS),)
            right = facts[number].spans if number < len(facts) else ()
            lines.append(Line((*left, Span("  "), *right)))
    else:
        drawn = dial_lines(shape, _DIAL_COLUMNS, _DIAL_ROWS, ascii_only=ascii_only)
        lines += [*drawn, *dial_note(shape, state, _DIAL_COLUMNS), *facts]
    more = (*((BLANK, *of_time) if of_time else ()), *((BLANK, *extra) if extra else ()))
    return (*lines, *more, BLANK, *_history(state, units, width))


def _facts(state: HoleState, units: Units, width: int) -> tuple[Line, ...]:
    latest = state.latest
    if latest is None:
        return wrapped("Not measured yet. m starts the walk.", width, "", "dim")
    lines: list[Line] = [heading("Worn size"), *wrapped(f"largest, {day_text(latest.day)}", width, "", "dim")]
    lines += wrapped(both_or_dash(state.worn, units), width)
    lines += [heading("Identity size"), *wrapped("smallest since it was new; tells the pin", width, "", "dim")]
    lines += wrapped(both_or_dash(state.identity, units), width)
    lines += wrapped(shape_text(latest.best_face.shape, units) or f"Shape not known: {latest.missing}.", width)
    lines += wrapped(corrected_text(latest, units), width, "", "dim") if corrected_text(latest, units) else ()
    if state.change is not None:
        is_within = abs(state.change.value_mm) <= state.change.expanded_mm
        said = ", within its doubt: not yet wear" if is_within else ""
        lines += wrapped(f"Since the time before: {change_text(state.change, units)}{said}", width)
    lines += wrapped(bush_text(state), width, "", "dim")
    if state.signs:
        lines += wrapped(f"Seen: {', '.join(state.signs)}", width, "", "warn")
    for remark in state.remarks:
        lines += wrapped(say(remark, units), width, "", "warn")
    return tuple(lines)


def corrected_text(size: HoleSize, units: Units) -> str:
    """Return what was read and what it was corrected to for the jaws, empty where nothing was."""
    groups = [group for face in size.faces for group in face.groups if group.is_corrected]
    if not groups:
        return ""
    places = 3 if units == "mm" else 4
    added = max(group.mean_mm - group.read_mean_mm for group in groups)
    pairs = ", ".join(
        f"{mm_text(group.read_mean_mm, units, places).removesuffix(f' {units}')} at {group.clock}"
        for group in groups[:4]
    )
    return f"Jaws corrected by {mm_text(added, units, places)}; read {pairs}"


def _history(state: HoleState, units: Units, width: int) -> Sequence[Line]:
    lines = [heading("History, newest first")]
    for number in range(len(state.history) - 1, -1, -1):
        size = state.history[number]
        oval = size.best_face.shape
        text = f"{day_text(size.day):<12} largest {size_text(size.largest, units)}"
        if width >= _DIAL_COLUMNS + _BESIDE:
            shape = (
                f"oval {size_text(oval.ovality, units)}"
                if oval and oval.axis_deg is not None
                else "round"
                if oval
                else "-"
            )
            text += f"  {shape:<20} {count_text(size.n_readings, 'reading')}"
        lines.append(line(text, target=size.round))
        if number == state.span_start and number > 0:
            lines.append(line(Span("--- renewed here; older sizes are of the part before ---", "dim")))
    if state.span_start == len(state.history) and state.history:
        lines.insert(1, line(Span("--- renewed since; not measured yet ---", "dim")))
    return lines if state.history else (*lines, *wrapped("No reading yet.", width, "", "dim"))


def hole_title_parts(state: HoleState, joint_name: str) -> str:
    """Return joint and hole in words."""
    return f"{joint_name}, {hole_label(state.hole)}" if joint_name else shown_name(state.hole)
