"""What was found of a joint or a machine and why, against which limit, and what to be careful of."""

import datetime
from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.rounding import both_text, mm_text, places_for, size_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import Hole, Limit, LimitOf, shown_name
from fieldlog.standards.joints import COMMON_PRACTICE, Line
from fieldlog.wear.signs import OpenSign
from fieldlog.wear.states import ToolSlack
from fieldlog.wear.verdicts import Caution, LimitInForce, Verdict
from fieldlog.words.trend import thing_text

_CAUTIONS: Mapping[Caution, str] = MappingProxyType(
    {
        Caution.BLOCK_FIRST: (
            "Lower and block the implement, engine off, key out, before a pin is pulled. The machine's manual and "
            "local rules come first; if unsure, stop and ask a qualified person."
        ),
        Caution.STOP_USING: (
            "Stop using this joint. The machine's manual and a qualified person decide what is done with it."
        ),
        Caution.LINK_PULLS_APART: (
            "With too little thread in, the link pulls apart and the implement falls. Lower and block it, and keep "
            "clear, before you turn the link. The machine's manual wins: never past its groove, band or stop pin."
        ),
    }
)


def caution_text(caution: Caution | None) -> str:
    """Return what to be careful of, empty where there is nothing."""
    return _CAUTIONS[caution] if caution is not None else ""


def _upper(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _lower(text: str) -> str:
    return f"{text[:1].lower()}{text[1:]}"


# The number and its limit.


def found(units: Units, *, of: LimitOf, hole: Hole | None, value: Value) -> str:
    """A number as measured."""
    where = shown_name(hole) if hole is not None else ""
    words = {"pin": "wear of the pin", "bush wall": f"{where}: wear of the bush's wall"}
    return f"{words.get(of, of)} {both_text(value, units)}"


def limit(units: Units, *, limit: LimitInForce, origin: str) -> str:
    """The limit in force and who says so."""
    return f"the limit {mm_text(limit.renew_mm, units)}, {origin}"


def usual_line(units: Units, *, line: Line) -> str:
    """A limit by usual practice: 'default: smaller of 1.0 mm and 3.5 % of the pin (common practice)'."""
    mm = f"{line.mm:.2f}".removesuffix("0") + " mm" if line.mm is not None else ""
    share = f"{line.percent:g} % of the pin" if line.percent is not None else ""
    words = f"smaller of {mm} and {share}" if mm and share else mm or share
    return f"default: {words} ({COMMON_PRACTICE})"


def usual_growth(units: Units, *, line: Line) -> str:
    """A limit on a towing hole by usual practice."""
    return f"default: hole {line.percent:g} % over as made ({COMMON_PRACTICE})"


def usual_half_wall(units: Units, *, wall_mm: float) -> str:
    """A limit on a bush's wall by usual practice."""
    return f"default: half of its wall of {wall_mm:.2f} mm ({COMMON_PRACTICE})"


def with_usual_watch(units: Units, *, typed: str, share: float) -> str:
    """An owner's limit that has no watch line of its own."""
    return f"{typed}; watch line at {share * 100:.0f} % of it ({COMMON_PRACTICE})"


def chance_text(over: float) -> str:
    """Return a chance of being over: the likelier side is said."""
    if over >= 0.5:
        return f"about {over * 100:.0f} % chance it is over"
    return f"about {(1 - over) * 100:.0f} % chance it is still below"


# Reasons: against the limit.


def all_reasons(units: Units, *, reasons: tuple[str, ...]) -> str:
    """Everything that a finding rests on."""
    return " ".join(reasons)


def under(units: Units, *, found: str, limit: str) -> str:
    """Sound."""
    return f"{_upper(found)} is under {limit}."


def over_twice(units: Units, *, found: str, limit: str) -> str:
    """Over on two days."""
    return f"{_upper(found)} is over {limit}; proved on two separate days."


def was_over_twice(units: Units, *, found: str, value: Value, day: datetime.date, limit: str) -> str:
    """Over on two days, and less since."""
    return (
        f"{_upper(found)} now, but {both_text(value, units)} on {day_text(day)} was over {limit}, proved on two "
        "separate days; wear does not heal, so strike what was read wrong or renew."
    )


def is_over(units: Units, *, found: str, limit: str) -> str:
    """Over by the last day."""
    return f"{found} is over {limit}"


def is_against(units: Units, *, found: str, limit: str, over: float) -> str:
    """In doubt by the last day."""
    return f"{found} against {limit}: {chance_text(over)}"


def counts_as_over(units: Units, *, standing: str) -> str:
    """A joint that carries people's safety."""
    return f"{_upper(standing)}; not proved under it on two days, which on a joint that carries or tows counts as over."


def undecided(units: Units, *, standing: str) -> str:
    """In doubt."""
    return f"{_upper(standing)}."


def rests_on_one_pin_reading(units: Units, *, standing: str) -> str:
    """Over on two days by one and the same reading of the pin."""
    return f"{_upper(standing)}, but rests on one day's reading of the pin."


def over_on_one_day(units: Units, *, standing: str) -> str:
    """Over once."""
    return f"{_upper(standing)}; proved over on one day's reading only."


def over_watch(units: Units, *, found: str, watch_mm: float, limit: str) -> str:
    """Over the watch line."""
    return f"{_upper(found)} is over the watch line {mm_text(watch_mm, units)} and under {limit}."


def at_watch_twice(units: Units, *, found: str, watch_mm: float, limit: str) -> str:
    """Twice in doubt of the watch line."""
    line = mm_text(watch_mm, units)
    return f"{_upper(found)} is at the watch line {line} on two separate days, and under {limit}."


def against_watch(units: Units, *, found: str, watch_mm: float, over: float, limit: str) -> str:
    """In doubt of the watch line."""
    return f"{_upper(found)} against the watch line {mm_text(watch_mm, units)}: {chance_text(over)}; under {limit}."


def may_not_last(units: Units, *, of: LimitOf) -> str:
    """The season may take it over its limit."""
    about = "" if of == "clearance" else f" ({thing_text(of)})"
    return f"It may not last the season{about}."


def sound_but_due(units: Units) -> str:
    """Sound, and due to be measured."""
    return "Sound when last measured, and due again."


# Reasons: what is missing or doubted.


def at_hole(units: Units, *, hole: Hole, what: str) -> str:
    """A reason about one hole of several."""
    return f"{shown_name(hole)}: {_lower(what)}"


def besides(units: Units, *, remark: str) -> str:
    """Something to know besides."""
    return f"{_upper(remark)}."


def hole_not_measured_since(units: Units, *, hole: Hole) -> str:
    """Nothing since it was made new."""
    return f"{shown_name(hole)}: not measured since it was renewed."


def hole_never_measured(units: Units, *, hole: Hole) -> str:
    """Nothing at all."""
    return f"{shown_name(hole)}: never measured."


def not_measured_since(units: Units) -> str:
    """Nothing of the joint since it was made new."""
    return "Not measured since it was renewed."


def never_measured(units: Units) -> str:
    """Nothing of the joint at all."""
    return "Never measured."


def no_hole(units: Units) -> str:
    """A joint without holes."""
    return "No hole is entered for this joint."


def pin_unknown(units: Units, *, worn: Value | None) -> str:
    """A hole whose pin nobody knows."""
    size = f" Largest {both_text(worn, units)}." if worn is not None else ""
    return f"The pin's size is not known, so its clearance is not either.{size}"


def pin_larger(units: Units, *, clearance: Value) -> str:
    """A pin larger than its hole."""
    return f"Clearance {both_text(clearance, units)}: a pin cannot be larger than its hole."


def shrunk(units: Units, *, gap: Value) -> str:
    """A hole that reads less than last time."""
    less = mm_text(gap.value, units)
    return f"Reads {less} less than last time; a bore can only grow, so one of them is wrong."


def too_few_lines(units: Units, *, missing: str) -> str:
    """A hole whose oval may be hidden."""
    return f"Measured along too few lines: {missing}."


def unsafe(units: Units, *, seen: tuple[OpenSign, ...]) -> str:
    """What is unsafe on sight."""
    signs = ", ".join(_sign_text(one) for one in seen)
    return f"{_upper(signs)}; nothing done since cures it. Unsafe on sight, whatever it measures."


def _sign_text(seen: OpenSign) -> str:
    note = seen.note
    where = "" if note.hole or note.joint or note.link else ", place not said"
    return f"{seen.sign} (seen {day_text(note.day)}{where})"


# Reasons: which pin it is.


def pin_decides(units: Units, *, mildest: str, worst: str, limit: str | None) -> str:
    """The verdict hangs on the pin."""
    return f"Which pin it is decides: {mildest}, {worst}{limit or ''}."


def with_pin(units: Units, *, verdict: Verdict, may_be_over: bool, clearance: Value | None, pin: str) -> str:
    """The verdict with one of the pins: 'sound at 0.42 ± 0.21 mm with a pin of 20 mm'."""
    at = f" at {size_text(clearance, units)}" if clearance is not None else ""
    words = {Verdict.SOUND: "sound", Verdict.PLAN: "near its limit", Verdict.RENEW: "to be renewed"}
    doubt = "perhaps over" if may_be_over else "in doubt"
    return f"{words.get(verdict, doubt)}{at} with a pin of {pin}"


def hanging_limit(units: Units, *, limit: LimitInForce, origin: str) -> str:
    """The limit that the worst pin is judged by."""
    of = "" if limit.of == "clearance" else f" of its {limit.of}"
    return f"; limit{of} {mm_text(limit.renew_mm, units)}, {origin}"


# In a few words, for a table.


def clearance_brief(units: Units, *, clearance: Value, limit: LimitInForce, is_over_on_one_day: bool) -> str:
    """The clearance against its limit."""
    value, line = _bare(clearance.value, units), _bare(limit.renew_mm, units)
    return f"{value} over {line}, one day" if is_over_on_one_day else f"{value}, limit {line} {units}"


def either_by_pin(units: Units, *, least: Value, most: Value, limit: LimitInForce) -> str:
    """The clearance with either pin against the limit."""
    sizes = f"{_bare(least.value, units)} or {_bare(most.value, units)}"
    return f"{sizes} by its pin, limit {_bare(limit.renew_mm, units)} {units}"


def _bare(value_mm: float, units: Units) -> str:
    return mm_text(value_mm, units, 2 if units == "mm" else 3).removesuffix(f" {units}")


def due_brief(units: Units) -> str:
    """Nothing but to be measured."""
    return "due to be measured"


# About the machine.


def clock_is_wrong(units: Units, *, newest: datetime.date, today: datetime.date) -> str:
    """A round of tomorrow."""
    return f"The newest round is of {day_text(newest)}, after today {day_text(today)}: check the clock."


def wall_limit_not_judged(units: Units, *, limit: Limit) -> str:
    """A limit that nothing can be held against."""
    return (
        f"The bush wall limit of {limit.hole or limit.joint or limit.kind or 'this machine'} is not judged: no bush's "
        "wall or outside diameter is written down; c on a hole does."
    )


# Slack at the tool.


def slack(units: Units, *, slack: ToolSlack) -> str:
    """What the clearance is worth at the tool's edge."""
    moved = both_text(slack.own, units)
    if slack.way == "top link":
        return f"{_top_link(slack, units)}."
    if slack.way == "side to side":
        return f"Side to side at the tool: {moved} to each side ({_levers(slack)})."
    if slack.way == "turns":
        return f"Slack at the tool: {moved} ({_levers(slack)})."
    said = f"Slack at the tool: {moved}, in line"
    if slack.together is None:
        return f"{said}."
    others = "other joint" if slack.others == 1 else f"{slack.others} other joints"
    return f"{said}; with the {others} in line {size_text(slack.together, units)}."


def _levers(slack: ToolSlack) -> str:
    arm, radius = slack.joint.lever_arm, slack.joint.tool_radius
    words = {"turns": "lever arm", "side to side": "bushes apart", "top link": "above the lower pins"}
    return f"{words[slack.way]} {arm.typed if arm else ''}, edge at {radius.typed if radius else ''}"


def _top_link(slack: ToolSlack, units: Units) -> str:
    pitch, radius = slack.pitch_deg, slack.joint.tool_radius
    if pitch is None or radius is None:
        return ""
    places = places_for(pitch[1], 2)
    both = "both ends together" if slack.is_whole and slack.together is not None else "its other end is not measured"
    moved = slack.together or slack.own
    alone = f"; this end alone {size_text(slack.own, units)}" if slack.together is not None else ""
    return (
        f"The implement pitches by {pitch[0]:.{places}f} ± {pitch[1]:.{places}f} degrees, {both_text(moved, units)} at "
        f"{radius.typed} behind the pins ({both}){alone}"
    )
