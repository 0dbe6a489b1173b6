"""Rates of like joints on like machines side by side, and what those with few readings borrow from their kind.

A season on a page: what was put off, then machine by machine each joint's wear, grease, work done and put off.
"""

import math
from collections.abc import Iterable, Iterator, Sequence

from fieldlog.measure.crossing import Kind, blended
from fieldlog.measure.line_fit import Straight
from fieldlog.pages.fleet import JointTarget
from fieldlog.pages.lines import BLANK, Line, Span, count_text, fit, heading, line, verdict_span, wrapped
from fieldlog.pages.machine import order_lines
from fieldlog.quantity.rounding import change_text, mm_text, size_text
from fieldlog.quantity.said import Said
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.records.entries import Event
from fieldlog.records.machine import shown_name
from fieldlog.wear.order_list import order_list
from fieldlog.wear.season import Grease, JointSeason, MachineSeason, Season
from fieldlog.wear.summary import RateRow
from fieldlog.wear.trends.hours import UNITS, rounded, unit_of
from fieldlog.wear.trends.rates import FEW_DAYS, Lenders
from fieldlog.wear.trends.records import change_told
from fieldlog.wear.trends.trend import rate_of
from fieldlog.words.speak import say, words_of

_NAME_WIDTH = 16
_RATE_WIDTH = 15
_DAYS_WIDTH = 8
_LEFT_WIDTH = 12
_WIDE = 76


def rates_lines(rows: Sequence[RateRow], units: Units, width: int) -> tuple[Line, ...]:
    """Return the page: a table for each kind of joint on each kind of machine, the fastest first."""
    lines: list[Line] = []
    lenders = Lenders(rows)
    groups: dict[tuple[str, str, str], list[RateRow]] = {}
    for row in rows:
        groups.setdefault((row.kind, row.like, row.axis), []).append(row)
    for (kind, like, axis), group in sorted(groups.items()):
        unit = UNITS.get(axis, axis)
        where = f" on machines of the kind {like}" if like else ""
        lines += [BLANK] if lines else []
        lines += wrapped(f"{kind.capitalize()} joints{where}, {units} per 100 {unit}", width, "", "head")
        lines += [row for one in sorted(group, key=_fastest) for row in _row_lines(one, lenders, units, width)]
    if not lines:
        return wrapped("No joint is measured yet.", width, "", "dim")
    left = ", what is left at the least" if width >= _WIDE else ""
    return (*wrapped(f"Own rate with its doubt, measuring days{left}.", width, "", "dim"), BLANK, *lines)


def _fastest(row: RateRow) -> float:
    return -row.rate if row.rate is not None else math.inf


def _row_lines(row: RateRow, lenders: Lenders, units: Units, width: int) -> tuple[Line, ...]:
    is_wide = width >= _WIDE
    days = count_text(row.days, "day").rjust(_DAYS_WIDTH)
    left = (
        (f"{rounded(row.least_left)} left" if row.least_left is not None else "").rjust(_LEFT_WIDTH) if is_wide else ""
    )
    room = width - _NAME_WIDTH - _RATE_WIDTH - len(days) - len(left) - 2
    head = line(
        fit(row.machine.name, _NAME_WIDTH),
        " ",
        fit(row.joint.name, max(room, 6)),
        " ",
        Span(own_rate_text(row, units).rjust(_RATE_WIDTH), "strong"),
        Span(f"{days}{left}", "dim"),
        target=JointTarget(row.machine.id, row.joint.id),
    )
    used = used_text(row, lenders, units)
    return (head, *wrapped(used, width, "   ", "dim")) if used else (head,)


def own_rate_text(row: RateRow, units: Units) -> str:
    """Return a joint's own rate with its doubt, a dash where it has none."""
    if row.rate is None or row.rate_u is None:
        return "-"
    return size_text(rate_of(row.rate, row.rate_u, row.dof), units).removesuffix(f" {units}")


def used_text(row: RateRow, lenders: Lenders, units: Units) -> str:
    """Return what a joint with few readings is reckoned with; empty where it speaks for itself or the kind is small."""
    found = _borrows_from(row, lenders)
    if found is None:
        return ""
    kind, like = found
    line_of = used_line(row, lenders)
    assert line_of is not None

    def number(slope: float) -> str:
        return mm_text(100 * slope, units, 3 if units == "mm" else 4).removesuffix(f" {units}")

    own = f"own {number(row.rate)}" if row.rate is not None else "none of its own"
    return f"{own}, kind {number(kind.mean)} from {kind.count} joints {say(like, units)}: used {number(line_of.slope)}"


def used_line(row: RateRow, lenders: Lenders) -> Straight | None:
    """Return the blended rate of a joint with few readings as the slope of a line; None where it speaks for itself."""
    found = _borrows_from(row, lenders)
    if found is None:
        return None
    variance = row.rate_u**2 if row.rate_u is not None else math.inf
    return blended(Straight(0.0, 0.0, row.rate or 0.0, 0.0, 0.0, variance, row.dof), found[0])


def _borrows_from(row: RateRow, lenders: Lenders) -> tuple[Kind, Said] | None:
    return lenders.kind_for(row) if row.days < FEW_DAYS or row.least_left is None else None


_INDENT = "   "


def season_lines(
    season: Season, machines: Sequence[MachineSeason], units: Units, width: int, *, with_order: bool = False
) -> tuple[Line, ...]:
    """Return the page of a season; `with_order` adds what to order as things stand today."""
    lines = [*season_head(season, [row for machine in machines for row in put_off_lines(machine, width)], units, width)]
    if with_order:
        lines += [BLANK, heading("To order"), *order_lines(order_list(m.state for m in machines), width)]
    return (*lines, *(row for machine in machines for row in machine_season_lines(machine, units, width)))


def season_head(season: Season, put_off: Sequence[Line], units: Units, width: int) -> tuple[Line, ...]:
    """Return the head of a season's page with what was put off on all its machines."""
    span = f"{day_text(season.start)} to {day_text(season.end)} ({say(season.origin, units)})"
    none = line(Span("Nothing was put off.", "dim"))
    return (*wrapped(span, width, "", "dim"), BLANK, heading("Put off, and why"), *(put_off or (none,)))


def put_off_lines(machine: MachineSeason, width: int) -> Iterator[Line]:
    """Yield what was put off on a machine, with the reasons."""
    for joint in machine.joints:
        for event in joint.put_off:
            name = f"{shown_name(machine.state.machine)}: {shown_name(joint.state.joint)}"
            yield from wrapped(f"{name}, {event_text(event)}", width)


def machine_season_lines(machine: MachineSeason, units: Units, width: int) -> tuple[Line, ...]:
    """Return a machine's season, joint by joint."""
    hours = f", {rounded(machine.work_hours)} h of work" if machine.work_hours is not None else ""
    lines = [BLANK, heading(f"{shown_name(machine.state.machine)}{hours}")]
    if not machine.joints:
        lines.append(line(Span("No joint yet.", "dim")))
    for joint in machine.joints:
        lines += _joint(machine, joint, units, width)
    return tuple(lines)


def _joint(machine: MachineSeason, season: JointSeason, units: Units, width: int) -> Iterable[Line]:
    state = season.state
    target = JointTarget(machine.state.machine.id, state.joint.id)
    yield line(verdict_span(state.finding.verdict), Span(shown_name(state.joint), "strong"), target=target)
    yield from wrapped(wear_sentence(season, units), width, _INDENT)
    kept, *habits = grease_sentences(season, units)
    yield from wrapped(kept, width, _INDENT, "warn" if season.grease.is_kept is False else "")
    for said in habits:
        yield from wrapped(said, width, _INDENT)
    for event in season.done:
        yield from wrapped(f"Done: {event_text(event)}", width, _INDENT)
    for event in season.put_off:
        yield from wrapped(f"Put off {event_text(event)}", width, _INDENT, "warn")


def event_text(event: Event) -> str:
    """Return what was done, when and by whom: 're-bushed 2 Nov 2024, nell: bronze bush.'."""
    text = event.text.strip().rstrip(".")
    deed = "" if event.deed == "put off" else f"{event.deed} "
    return f"{deed}{day_text(event.day)}, {event.who}{': ' if text else ''}{text}."


def wear_sentence(season: JointSeason, units: Units) -> str:
    """Return what the clearance grew, between which days, at what rate, and how that stands to the season before."""
    wear, axis = season.wear, season.trend.axis if season.trend is not None else "hours"
    if wear is None:
        return words_of(season.no_wear, units)
    work = f", {rounded(wear.work)} {unit_of(axis)}" if wear.work is not None else ""
    said = f"Clearance {change_text(wear.change, units)} from {day_text(wear.first)} to {day_text(wear.last)}{work}"
    if wear.rate is None:
        return f"{said}."
    return f"{said}: {size_text(wear.rate, units)} per 100 {unit_of(axis)}{_against(season, units)}."


def _against(season: JointSeason, units: Units) -> str:
    now, before = season.wear, season.before
    if now is None or before is None or now.rate is None or before.rate is None:
        return ""
    word = "no difference proved"
    if season.is_other_rate:
        word = "faster now, proved" if now.rate.value > before.rate.value else "slower now, proved"
    return f"; the season before {size_text(before.rate, units)}, {word}"


def grease_sentences(season: JointSeason, units: Units) -> tuple[str, ...]:
    """Return whether the grease was kept, and what the last change of habit did to the rate."""
    trend, grease = season.trend, season.grease
    change, habit = trend.rate_change if trend is not None else None, grease.habit
    said = [_kept(grease, season.kept_before, units)]
    if trend is not None and change is not None:
        said.append(words_of(change_told(trend), units))
    if habit is not None and (change is None or change.mark.day != habit.day):
        said.append(f"{_first(event_text(habit))} What it does to the rate shows after two measuring days since.")
    return tuple(said)


def _first(text: str) -> str:
    return text[:1].upper() + text[1:]


def _kept(grease: Grease, before: bool | None, units: Units) -> str:
    every, times = grease.every, count_text(grease.times, "time") if grease.times else "never"
    if every is None and not grease.times:
        return "No greasing is written down, and no interval is set."
    apart = f", {rounded(grease.longest)} {grease.unit} without at the longest" if grease.longest is not None else ""
    if every is None:
        return f"Greased {times}{apart}; no interval is set."
    asked = f"every {every.typed.removeprefix('every ')} is asked for ({words_of(grease.origin, units)})"
    if grease.is_kept is None:
        return f"Greased {times} as far as it is written down; {asked}."
    word, other = ("kept", "not kept") if grease.is_kept else ("not kept", "kept")
    earlier = "" if before is None or before == grease.is_kept else f"; {other} the season before"
    return f"Grease {word}: written down {times}{apart}; {asked}{earlier}."
