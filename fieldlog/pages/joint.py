"""Wear over the seasons in short sentences: measured, rate, forecast, chances, what cut the history, what is odd.

A joint's finding and a hole's history laid out in full.
"""

from collections.abc import Sequence

from fieldlog.measure.hole import HoleSize
from fieldlog.pages.canvas import dial_lines, dial_note, dial_shape
from fieldlog.pages.hole import candidate_lines, contradiction_lines, evidence_summary, ruled_out_lines
from fieldlog.pages.lines import BLANK, Line, Span, both_or_dash, count_text, fit, heading, line, verdict_span, wrapped
from fieldlog.pages.machine import bush_text, hole_label
from fieldlog.pages.round import shape_text
from fieldlog.quantity.rounding import both_plain_text, both_text, change_text, mm_text, size_text
from fieldlog.quantity.text import day_text, month_text
from fieldlog.quantity.units import Units
from fieldlog.records.machine import shown_name
from fieldlog.wear.history import put_off_said
from fieldlog.wear.judge import Measured
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.tool_slack import slack_said
from fieldlog.wear.trends.hours import unit_of
from fieldlog.wear.trends.planning import measure_again
from fieldlog.wear.trends.rates import Beside, Borrowed, borrowed, main_trend
from fieldlog.wear.trends.records import (
    Trend,
    before_told,
    change_told,
    forecast_told,
    rate_told,
    season_told,
    stale_told,
    watch_told,
)
from fieldlog.wear.trends.trend import MedianCheck, median_check
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import say, say_all, words_of
from fieldlog.words.trend import chance_text, rate_text, thing_text, when_text, who_says


def joint_trend_lines(state: JointState, beside: Beside, units: Units, width: int) -> tuple[Line, ...]:
    """Return all trends of a joint, hole by hole, then the pin, then what it may borrow and when to measure next."""
    lines: list[Line] = []
    names = {hole.hole.id: shown_name(hole.hole) for hole in state.holes}
    for trend in state.trends:
        name = names.get(trend.hole, "")
        thing = thing_text(trend.of)
        title = f"{name}, {thing}" if name and len(names) > 1 else thing
        if trend.of == "bore" and trend.limit is None:
            lines += wrapped(f"{title[:1].upper()}{title[1:]}: {_lower(say(rate_told(trend), units))}", width)
            continue
        lines.append(line(Span(f"{title[:1].upper()}{title[1:]}", "strong")))
        lines += trend_lines(trend, units, width, state.finding.verdict)
    lines += borrowed_lines(state, beside, units, width)
    for why in dict.fromkeys(trend.usage.why_days for trend in state.trends):
        lines += wrapped(words_of(why, units), width, "", "dim")
    return (*lines, *measuring_lines(state, units, width))


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def hole_trend_lines(
    state: HoleState, trends: Sequence[Trend], units: Units, width: int, verdict: Verdict | None = None
) -> tuple[Line, ...]:
    """Return the trends of one hole, as far as they have a rate; `verdict` is that of its joint."""
    lines: list[Line] = []
    for trend in trends:
        if trend.hole != state.hole.id or trend.line is None or (trend.of == "bore" and trend.limit is None):
            continue
        lines.append(line(Span(f"{thing_text(trend.of).capitalize()} over the seasons", "head")))
        lines += trend_lines(trend, units, width, verdict)
    return tuple(lines)


def trend_lines(trend: Trend, units: Units, width: int, verdict: Verdict | None = None) -> tuple[Line, ...]:
    """Return what one trend says, sentence by sentence; `verdict` is that of its joint."""
    told = (
        rate_told(trend),
        forecast_told(trend),
        watch_told(trend),
        season_told(trend.usage, trend.chance_later),
        stale_told(trend),
        before_told(trend),
        change_told(trend),
    )
    texts = (measured_sentence(trend, units, verdict), *(words_of(one, units) for one in told))
    lines = [row for text in texts if text for row in wrapped(text, width)]
    check = median_check(trend)
    if check is not None:
        lines += wrapped(odd_day_sentence(check, trend, units), width, "", "warn")
    return (*lines, *_parts_lines(trend, units, width))


def measured_sentence(trend: Trend, units: Units, verdict: Verdict | None = None) -> str:
    """Return the last measuring against its limit with the chance: 'Measured 0.97 ± 0.06 mm, limit 1.00 mm ...'.

    It ends with "measure again" where the limit is in doubt, unless the joint's verdict says more than that.
    """
    now = next((point for point in reversed(trend.points) if point.part == trend.last_part), None)
    if now is None:
        return ""
    worn = " worn off" if trend.of in {"pin", "bush wall"} else ""
    said = f"Measured {size_text(now.value, units)}{worn}"
    if trend.limit is None:
        return f"{said}."
    limit = f"limit {mm_text(trend.limit.renew_mm, units)} ({who_says(trend.limit)})"
    over = Measured(now.day, now.value).chance_over(trend.limit.renew_mm)
    is_open = verdict is None or verdict.rank <= Verdict.REMEASURE.rank
    again = " - measure again" if is_open and 0.025 < over < 0.975 else ""
    return f"{said}, {limit}: {chance_text(over)}{again}."


def odd_day_sentence(check: MedianCheck, trend: Trend, units: Units) -> str:
    """Return which day stands apart, or that the two lines disagree; empty when all is well."""
    if check.day is not None and trend.line is not None:
        rate = mm_text(100 * (check.slope_without or 0.0), units, 3 if units == "mm" else 4)
        off = mm_text(abs(check.off_mm), units)
        side = "above" if check.off_mm > 0 else "below"
        rest = (
            f"; without it the rate is {rate} per 100 {unit_of(trend.axis)}" if check.slope_without is not None else ""
        )
        return (
            f"{day_text(check.day)} lies {off} {side} the other days{rest}. Look at its readings; strike what is wrong."
        )
    if check.disagrees:
        rate = mm_text(100 * check.slope, units, 3 if units == "mm" else 4)
        return f"The line through the medians says {rate} per 100 {unit_of(trend.axis)}: some day pulls the other line."
    return ""


def _parts_lines(trend: Trend, units: Units, width: int) -> list[Line]:
    """Return what cut the history and what was left out, in a few dim lines."""
    said: list[str] = []
    unit = unit_of(trend.axis)
    for mark in trend.marks:
        at = f" at {mark.x:.0f} h" if mark.x is not None and unit == "h" else ""
        what = "begins a new part" if mark.is_cut else "a mark only"
        said.append(f"{mark.deed.capitalize()} {day_text(mark.day)}{at}: {what}.")
    older = sum(1 for point in trend.points if point.part < trend.last_part)
    if older:
        said.append(f"{count_text(older, 'measuring')} before that stay in the history and are not in this line.")
    reasons = [words_of(point.left_out, units) for point in trend.points if point.left_out is not None]
    for reason in dict.fromkeys(reasons):
        said.append(f"{count_text(reasons.count(reason), 'measuring')} left out: {reason}.")
    return [row for text in said for row in wrapped(text, width, "", "dim")]


def borrowed_lines(state: JointState, beside: Beside, units: Units, width: int) -> tuple[Line, ...]:
    """Return what a joint with few readings borrows from its kind, plainly; nothing when it speaks for itself."""
    trend, found = borrowing(state, beside)
    if trend is None or found is None:
        return ()
    return wrapped(borrowed_sentence(found, trend, units), width)


def borrowing(state: JointState, beside: Beside) -> tuple[Trend | None, Borrowed | None]:
    """Return the clearance that a joint is known by and what it borrows for it."""
    trend = main_trend(state)
    here = (beside.machine, state.joint.id)
    row = next((row for row in beside.rows if (row.machine.id, row.joint.id) == here), None)
    return trend, borrowed(trend, row, beside.rows) if trend is not None and row is not None else None


def borrowed_sentence(found: Borrowed, trend: Trend, units: Units) -> str:
    """Return 'own 0.090, kind 0.050 from 6 joints: used 0.060', and what follows from it."""
    kind, places = found.kind, 3 if units == "mm" else 4
    unit = f"{units} per 100 {unit_of(trend.axis)}"

    def number(slope: float) -> str:
        return mm_text(100 * slope, units, places).removesuffix(f" {units}")

    own = f"own {number(trend.line.slope)}" if trend.line is not None else "no rate of its own"
    used = rate_text(found.line.slope, found.line.slope_u, found.line.dof, units, trend.axis)
    said = (
        f"Few readings of its own, so it borrows from its kind: {own}, kind {number(kind.mean)} from {kind.count} "
        f"joints {say(found.like, units)} ({number(kind.between_sd)} apart): used "
        f"{used.removesuffix(unit).strip()} {unit}."
    )
    if found.renew is None:
        return f"{said} By that no forecast can be given."
    season = words_of(season_told(trend.usage, found.chance_later), units)
    is_late = found.measure_at is not None and found.measure_at <= trend.usage.today
    day = trend.usage.date_at(found.measure_at) if found.measure_at is not None else None
    when = "now" if is_late else f"by {month_text(day)}" if day is not None else ""
    look = f"By that measure it again {when}; order nothing on it." if when else ""
    parts = (f"{said} By that it reaches its limit {when_text(trend, found.renew)}.", season, look)
    return " ".join(part for part in parts if part)


def measuring_lines(state: JointState, units: Units, width: int) -> tuple[Line, ...]:
    """Return when to measure next and why."""
    due = state.measuring
    if due is None:
        return ()
    return wrapped(say(measure_again(due), units), width, "", "warn" if due.is_overdue else "")


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
        is_within = abs(state.change.value) <= state.change.plus_minus
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
