"""One number against its limit, with the doubt counted: proved over, proved under, or not yet known.

Guard bands after ISO 14253-1 (from memory): a value is over only when its whole 95 % interval is, and under
only when its whole interval is. One day's reading never condemns.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from fieldlog.measure.distributions import t_cdf
from fieldlog.measure.estimate import Estimate
from fieldlog.measure.rounding import both_text, mm_text
from fieldlog.records.quantities import Units
from fieldlog.wear.states import Finding, LimitInForce, Verdict

BLOCK_FIRST = (
    "Lower and block the implement, engine off, key out, before a pin is pulled. The machine's manual and local "
    "rules come first; if unsure, stop and ask a qualified person."
)
STOP_USING = "Stop using this joint. The machine's manual and a qualified person decide what is done with it."


@dataclass(frozen=True, slots=True)
class Measured:
    """What was found on one day, turned so that more is worse."""

    day: datetime.date
    value: Estimate

    def is_over(self, line_mm: float) -> bool:
        """Proved over the line."""
        return self.value.value_mm - self.value.expanded_mm > line_mm

    def is_under(self, line_mm: float) -> bool:
        """Proved under the line."""
        return self.value.value_mm + self.value.expanded_mm < line_mm

    def is_in_doubt(self, line_mm: float) -> bool:
        """Neither proved over nor under."""
        return not self.is_over(line_mm) and not self.is_under(line_mm)

    def chance_over(self, line_mm: float) -> float:
        """The chance that the true value is over the line, by Student's t."""
        if self.value.u_mm == 0:
            return float(self.value.value_mm > line_mm)
        return t_cdf((self.value.value_mm - line_mm) / self.value.u_mm, self.value.dof)


@dataclass(frozen=True, slots=True)
class Judged:
    """What is judged: its word ('clearance'), whether it carries people's safety, and its days, oldest first."""

    word: str
    is_safety: bool
    days: Sequence[Measured]
    limit: LimitInForce


def judge(what: Judged, units: Units) -> Finding:
    """Return the verdict on one number with its history since the last renewal."""
    latest, limit = what.days[-1], what.limit
    found = f"{what.word} {both_text(latest.value, units)}"
    renew = f"the limit {mm_text(limit.renew_mm, units)} ({limit.origin})"
    if latest.is_over(limit.renew_mm):
        return _over(what, f"{found} is over {renew}", units)
    if latest.is_in_doubt(limit.renew_mm):
        return _in_doubt(what, found, renew)
    if limit.watch_mm is None or latest.is_under(limit.watch_mm):
        return _finding(what, Verdict.SOUND, f"{found} is under {renew}", "measure again next season")
    return _watched(what, found, renew, units)


def _over(what: Judged, said: str, units: Units) -> Finding:
    if len(_days_where(what, over=True, line_mm=what.limit.renew_mm)) > 1:
        parts = "pin, bushes, seals and keeper together" if what.word == "clearance" else "the worn part"
        return _finding(what, Verdict.RENEW, f"{said}, on two separate days", f"renew: order {parts}", BLOCK_FIRST)
    next_step = "measure again on another day before ordering; do not work it hard until then"
    return _finding(what, Verdict.REMEASURE, f"{said}, on one day's reading only", next_step)


def _in_doubt(what: Judged, found: str, renew: str) -> Finding:
    latest = what.days[-1]
    over = latest.chance_over(what.limit.renew_mm)
    side = (
        f"about {over * 100:.0f} % chance it is over"
        if over >= 0.5
        else f"about {(1 - over) * 100:.0f} % chance it is still under"
    )
    said = f"{found} is within its doubt of {renew}: {side}"
    doubtful = {day.day for day in what.days if not day.is_under(what.limit.renew_mm)}
    if what.is_safety and len(doubtful) > 1:
        return _finding(
            what, Verdict.RENEW, f"{said}; a joint of this kind is then treated as over", "renew", BLOCK_FIRST
        )
    return _finding(what, Verdict.REMEASURE, said, "measure again, all four lines three times round")


def _watched(what: Judged, found: str, renew: str, units: Units) -> Finding:
    watch_mm = what.limit.watch_mm
    assert watch_mm is not None
    line = mm_text(watch_mm, units)
    latest = what.days[-1]
    if latest.is_over(watch_mm):
        said = f"{found} is over the watch line {line} and under {renew}"
        return _finding(what, Verdict.PLAN, said, "plan the repair; order the parts before the season")
    near = {day.day for day in what.days if not day.is_under(watch_mm)}
    if len(near) > 1:
        said = f"{found} is at the watch line {line} on two separate days, under {renew}"
        return _finding(what, Verdict.PLAN, said, "plan the repair; measure again next season")
    said = f"{found} is within its doubt of the watch line {line}; {renew}"
    return _finding(what, Verdict.REMEASURE, said, "measure again on another day")


def _days_where(what: Judged, *, over: bool, line_mm: float) -> set[datetime.date]:
    return {day.day for day in what.days if day.is_over(line_mm) is over}


def _finding(what: Judged, verdict: Verdict, reason: str, next_step: str, caution: str = "") -> Finding:
    latest = what.days[-1].value
    reason = reason[:1].upper() + reason[1:] + "."
    return Finding(verdict, reason, next_step[:1].upper() + next_step[1:] + ".", caution, latest, what.limit)
