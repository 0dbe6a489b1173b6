"""One number against its limit, with the doubt counted: proved over, proved under, or not yet known.

Guard bands after ISO 14253-1 (from memory): a value is over only when its whole 95 % interval is, and under
only when its whole interval is. One day's reading never condemns.

How much more measuring would settle whether a limit is passed, if the number stays where it is.

One scatter for all days of a series: the same hand, the same caliper, the same hole.
"""

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.quantity.distributions import f_quantile, t_cdf, t_quantile
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import both_text, mm_text
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import OWN_OF_A_DAY, Value
from fieldlog.wear.states import Finding
from fieldlog.wear.verdicts import LimitInForce, Verdict

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
    value: Value
    worn_pin_day: datetime.date | None = None
    with_made_pin: Value | None = None

    def is_over(self, line_mm: float) -> bool:
        """Proved over the line."""
        return is_beyond_doubt(self.value.value - line_mm, self.value)

    def is_under(self, line_mm: float) -> bool:
        """Proved under the line."""
        return is_beyond_doubt(line_mm - self.value.value, self.value)

    def chance_over(self, line_mm: float) -> float:
        """The chance that the true value is over the line, by Student's t."""
        if self.value.u == 0:
            return float(self.value.value > line_mm)
        return t_cdf((self.value.value - line_mm) / self.value.u, self.value.dof)


def is_beyond_doubt(gap_mm: float, size: Value) -> bool:
    """Tell whether a gap is more than the 95 % half-width of a size.

    The half-width itself is only worked out when the bounds on its coverage factor do not decide.
    """
    u_mm = size.u
    if gap_mm <= _LEAST_COVERAGE * u_mm:
        return False
    dof = size.dof
    if 1 <= dof < _MANY_DOF and gap_mm > t_quantile(0.975, float(int(dof))) * u_mm:
        return True
    return gap_mm > size.plus_minus


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
        d.day for d in over if d.with_made_pin and is_beyond_doubt(d.with_made_pin.value - line_mm, d.with_made_pin)
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
        share=_share(what.days[-1].value.value, what.limit),
        may_be_over=may_be_over,
    )


def _share(value_mm: float, limit: LimitInForce) -> float:
    """Return how much of a limit is used up; of a bore only the growth counts, its watch line being half of it."""
    if limit.of == "bore" and limit.watch_mm is not None and limit.renew_mm > limit.watch_mm:
        return 0.5 + 0.5 * (value_mm - limit.watch_mm) / (limit.renew_mm - limit.watch_mm)
    return value_mm / limit.renew_mm if limit.renew_mm > 0 else 0.0


MOST_TIMES = 9  # more than that nobody does; then the wear decides before the caliper does


@dataclass(frozen=True, slots=True)
class Settling:
    """How many times as much measuring it takes in all; None when no reasonable amount with these jaws does.

    `gap_mm` is the distance from the line, `best_mm` the 95 % half-width that is left when the scatter is averaged
    away: the error that all readings with these jaws share.
    """

    times: int | None
    gap_mm: float
    best_mm: float


def settling(size: Value, line_mm: float) -> Settling:
    """Return how many times as many readings would bring the 95 % half-width under the distance from a line.

    The scatter shrinks with the root of the number of readings, an instrument's limit of error does not (GUM 4.2.3,
    4.3.7). Valid for repeats that are independent of each other.
    """
    gap_mm = abs(size.value - line_mm)
    enough = (times for times in range(1, MOST_TIMES + 1) if repeated(size, times).plus_minus < gap_mm)
    return Settling(next(enough, None), gap_mm, lasting(size).plus_minus)


def repeated(size: Value, times: int) -> Value:
    """Return a size as it would be from so many times the readings."""

    def term(one: Term) -> Term:
        if is_shared(one.source):
            return one
        return one.times(1 / math.sqrt(times))._replace(source=replace(one.source, dof=one.source.dof * times))

    return replace(size, terms=tuple(map(term, size.terms)))


def lasting(size: Value) -> Value:
    """Return a size with that doubt alone which no repeating takes away."""
    return replace(size, terms=tuple([term for term in size.terms if is_shared(term.source)]))


def settling_advice(size: Value, line_mm: float, units: Units) -> str:
    """Return what to do next about a number that lies within its doubt of a line, in lower case."""
    found = settling(size, line_mm)
    if found.times is not None:
        times = max(found.times, 2)
        return f"measure again, all four lines: {times} times as many readings in all settle it if it stays where it is"
    if found.best_mm >= found.gap_mm:
        best = mm_text(found.best_mm, units)
        return f"measure again with a better caliper: these jaws are good to {best} at best, however often they measure"
    return "measure again after some more work: it lies so near the line that wear will tell before the caliper does"


def another_day_advice(size: Value, line_mm: float) -> str:
    """Return the same for a line that is only watched: not worth a better caliper, nor a wait."""
    times = settling(size, line_mm).times
    enough = f": {max(times, 2)} times as many readings in all settle it" if times is not None else ""
    return f"measure again on another day{enough}"


_APART = 0.99
_MOST_DOF = 1e6


@dataclass(frozen=True, slots=True)
class DayScatter:
    """What one day's value owes to the scatter of its readings: standard uncertainty, degrees of freedom, readings."""

    u_mm: float
    dof: float
    n_readings: int

    @property
    def per_reading(self) -> float:
        """The variance of one reading that it stands for."""
        return self.u_mm**2 * self.n_readings


def scatter_of(size: Value, n_readings: int) -> DayScatter:
    """Return the scatter behind a size: all of its doubt that other days do not share."""
    own = size.own()
    return DayScatter(own.u, own.dof, max(n_readings, 1))


def is_shared(source: Source) -> bool:
    """Tell what is the same on every day with the same jaws, such as their limit of error, from a day's own doubt.

    A day's own are the scatter of its readings, the step they were read to, and its temperature.
    """
    return source.kind not in OWN_OF_A_DAY


def pooled(days: Sequence[DayScatter]) -> tuple[DayScatter, ...]:
    """Return the days with their scatter put together; the degrees of freedom are shared out, so that they add up."""
    finite = [day for day in days if math.isfinite(day.dof)]
    if len(finite) < 2:
        return tuple(days)
    total, squares = _sums(finite)
    is_alike = [math.isfinite(day.dof) and not _stands_apart(day, total, squares) for day in days]
    alike = [day for day, is_one in zip(days, is_alike, strict=True) if is_one]
    if len(alike) < 2:
        return tuple(days)
    total, squares = _sums(alike)
    each, variance = total / len(alike), squares / total
    return tuple(
        DayScatter(math.sqrt(variance / day.n_readings), each, day.n_readings) if is_one else day
        for day, is_one in zip(days, is_alike, strict=True)
    )


def _sums(days: Sequence[DayScatter]) -> tuple[float, float]:
    return math.fsum(day.dof for day in days), math.fsum(day.dof * day.per_reading for day in days)


def _stands_apart(day: DayScatter, total: float, squares: float) -> bool:
    """Tell whether a day is proved to scatter more than the others together; the sums are those of all days."""
    dof = total - day.dof
    rest = (squares - day.dof * day.per_reading) / dof
    ratio = day.per_reading / rest if rest > 0 else 1.0
    return ratio > 3.0 and ratio > f_quantile(_APART, min(day.dof, _MOST_DOF), min(dof, _MOST_DOF))
