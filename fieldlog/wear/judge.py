"""One number against its limit, with the doubt counted: proved over, proved under, or not yet known.

Guard bands after ISO 14253-1 (from memory): a value is over only when its whole 95 % interval is, and under
only when its whole interval is. One day's reading never condemns.
"""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.distributions import t_cdf, t_quantile
from fieldlog.measure.estimate import Estimate
from fieldlog.measure.rounding import both_text, mm_text
from fieldlog.records.days import day_text
from fieldlog.records.quantities import Units
from fieldlog.wear.settle import another_day_advice, settling_advice
from fieldlog.wear.states import Finding, LimitInForce, Verdict

BLOCK_FIRST = (
    "Lower and block the implement, engine off, key out, before a pin is pulled. The machine's manual and local "
    "rules come first; if unsure, stop and ask a qualified person."
)
STOP_USING = "Stop using this joint. The machine's manual and a qualified person decide what is done with it."
_LEAST_COVERAGE = 1.959  # no coverage factor for 95 % is below the normal distribution's
_MANY_DOF = 1e6


@dataclass(frozen=True, slots=True)
class Measured:
    """What was found on one day, turned so that more is worse.

    `worn_pin_day` is the day of the worn-band reading that the value rests on, and `with_made_pin` the same
    value with the pin as made, so that one bad reading of a pin is not counted again on every later day.
    """

    day: datetime.date
    value: Estimate
    worn_pin_day: datetime.date | None = None
    with_made_pin: Estimate | None = None

    def is_over(self, line_mm: float) -> bool:
        """Proved over the line."""
        return is_beyond_doubt(self.value.value_mm - line_mm, self.value)

    def is_under(self, line_mm: float) -> bool:
        """Proved under the line."""
        return is_beyond_doubt(line_mm - self.value.value_mm, self.value)

    def chance_over(self, line_mm: float) -> float:
        """The chance that the true value is over the line, by Student's t."""
        if self.value.u_mm == 0:
            return float(self.value.value_mm > line_mm)
        return t_cdf((self.value.value_mm - line_mm) / self.value.u_mm, self.value.dof)


def is_beyond_doubt(gap_mm: float, estimate: Estimate) -> bool:
    """Tell whether a gap is more than the 95 % half-width of an estimate.

    The half-width itself is only worked out when the bounds on its coverage factor do not decide.
    """
    u_mm = estimate.u_mm
    if gap_mm <= _LEAST_COVERAGE * u_mm:
        return False
    dof = estimate.dof
    if 1 <= dof < _MANY_DOF and gap_mm > t_quantile(0.975, float(int(dof))) * u_mm:
        return True
    return gap_mm > estimate.expanded_mm


@dataclass(frozen=True, slots=True)
class Judged:
    """What is judged: its word ('clearance'), whether it carries people's safety, its days, oldest first, its limit.

    `proved` is the verdict when it is over on two days, `order` what is ordered together then.
    """

    word: str
    is_safety: bool
    days: Sequence[Measured]
    limit: LimitInForce
    proved: Verdict = Verdict.RENEW
    order: str = "the worn part"


def judge(what: Judged, units: Units) -> Finding:
    """Return the verdict on one number with its history since the last renewal."""
    latest, limit = what.days[-1], what.limit
    found = f"{what.word} {both_text(latest.value, units)}"
    renew = f"the limit {mm_text(limit.renew_mm, units)}, {limit.origin}"
    if is_proved_twice(what):
        return _proved(what, found, renew, units)
    if not latest.is_under(limit.renew_mm):
        return _may_be_over(what, found, renew, units)
    if limit.watch_mm is None or latest.is_under(limit.watch_mm):
        return _finding(what, Verdict.SOUND, f"{found} is under {renew}", "measure again next season")
    return _watched(what, found, renew, units)


def is_proved_twice(what: Judged) -> bool:
    """Tell whether the limit is proved passed on two separate days, not resting on one reading of the pin."""
    line_mm = what.limit.renew_mm
    over = [day for day in what.days if day.is_over(line_mm)]
    if len({day.day for day in over}) < 2:
        return False
    pin_days = {day.worn_pin_day for day in over}
    if len(pin_days) > 1 or None in pin_days:
        return True
    firm = {
        d.day for d in over if d.with_made_pin and is_beyond_doubt(d.with_made_pin.value_mm - line_mm, d.with_made_pin)
    }
    return len(firm) > 1


def _proved(what: Judged, found: str, renew: str, units: Units) -> Finding:
    latest, line_mm = what.days[-1], what.limit.renew_mm
    said = f"{found} is over {renew}; proved on two separate days"
    if not latest.is_over(line_mm):
        last = next(day for day in reversed(what.days) if day.is_over(line_mm))
        said = (
            f"{found} now, but {both_text(last.value, units)} on {day_text(last.day)} was over {renew}, proved on "
            "two separate days; wear does not heal, so strike what was read wrong or renew"
        )
    if what.proved is Verdict.STOP:
        return _finding(what, Verdict.STOP, said, "fit a new part", STOP_USING)
    return _finding(what, Verdict.RENEW, said, _renewal(what), BLOCK_FIRST)


def _renewal(what: Judged) -> str:
    return f"renew: order {what.order} together"


def _may_be_over(what: Judged, found: str, renew: str, units: Units) -> Finding:
    latest, line_mm = what.days[-1], what.limit.renew_mm
    days = {day.day for day in what.days if not day.is_under(line_mm)}
    is_over = latest.is_over(line_mm)
    said = f"{found} is over {renew}" if is_over else f"{found} against {renew}: {_chance(latest, line_mm)}"
    is_unproved = False
    if what.is_safety and len(days) > 1:
        said = f"{said}; not proved under it on two days, which on a joint that carries or tows counts as over"
        return _finding(what, Verdict.RENEW, said, _renewal(what), BLOCK_FIRST)
    if not is_over:
        next_step = settling_advice(latest.value, line_mm, units)
    elif len({day.day for day in what.days if day.is_over(line_mm)}) > 1:
        said, next_step = f"{said}, but rests on one day's reading of the pin", "measure the pin again before ordering"
    else:
        said, is_unproved = f"{said}; proved over on one day's reading only", True
        next_step = "measure again on another day before ordering"
    if what.proved is Verdict.STOP:
        next_step = f"do not work with it until it is measured again; {next_step}"
    return replace(_finding(what, Verdict.REMEASURE, said, next_step, may_be_over=True), is_unproved=is_unproved)


def _chance(latest: Measured, line_mm: float) -> str:
    over = latest.chance_over(line_mm)
    if over >= 0.5:
        return f"about {over * 100:.0f} % chance it is over"
    return f"about {(1 - over) * 100:.0f} % chance it is still below"


def _watched(what: Judged, found: str, renew: str, units: Units) -> Finding:
    watch_mm = what.limit.watch_mm
    assert watch_mm is not None
    line = mm_text(watch_mm, units)
    if what.days[-1].is_over(watch_mm):
        said = f"{found} is over the watch line {line} and under {renew}"
        if len({day.day for day in what.days if day.is_over(watch_mm)}) < 2:
            next_step = "plan the repair, and measure on another day before you order anything"
            return replace(_finding(what, Verdict.PLAN, said, next_step), is_unproved=True)
        return _finding(what, Verdict.PLAN, said, f"plan the repair; order before the season: {what.order}")
    near = {day.day for day in what.days if not day.is_under(watch_mm)}
    if len(near) > 1:
        said = f"{found} is at the watch line {line} on two separate days, and under {renew}"
        plan = _finding(what, Verdict.PLAN, said, "plan the repair; measure again next season")
        return replace(plan, is_unproved=True)
    said = f"{found} against the watch line {line}: {_chance(what.days[-1], watch_mm)}; under {renew}"
    next_step = another_day_advice(what.days[-1].value, watch_mm)
    return replace(_finding(what, Verdict.REMEASURE, said, next_step), is_at_watch=True)


def _finding(
    what: Judged, verdict: Verdict, said: str, next_step: str, caution: str = "", *, may_be_over: bool = False
) -> Finding:
    return Finding(
        verdict,
        f"{said[:1].upper()}{said[1:]}.",
        f"{next_step[:1].upper()}{next_step[1:]}.",
        caution,
        limit=what.limit,
        share=_share(what.days[-1].value.value_mm, what.limit),
        may_be_over=may_be_over,
    )


def _share(value_mm: float, limit: LimitInForce) -> float:
    """Return how much of a limit is used up; of a bore only the growth counts, its watch line being half of it."""
    if limit.of == "bore" and limit.watch_mm is not None and limit.renew_mm > limit.watch_mm:
        return 0.5 + 0.5 * (value_mm - limit.watch_mm) / (limit.renew_mm - limit.watch_mm)
    return value_mm / limit.renew_mm if limit.renew_mm > 0 else 0.0
