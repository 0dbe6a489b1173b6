"""One number against its limit, with the doubt counted: proved over, proved under, or not yet known.

Guard bands after ISO 14253-1 (from memory): a value is over only when its whole 95 % interval is, and under
only when its whole interval is. One day's reading never condemns.

How much more measuring would settle whether a limit is passed, if the number stays where it is.

One scatter for all days of a series: the same hand, the same caliper, the same hole.

Nothing is ordered on one day's readings, not for the watch line either (`Finding.is_unproved`): it stands on the list
as *ask for it, order once it is measured again*. `tests/wear/test_never_on_one_day.py` attacks this with any day.

A joint of a safety kind (pivot, drawbar) in doubt on two days counts as over; others are measured again.
"""

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from fieldlog.quantity.distributions import f_quantile, t_cdf, t_quantile
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import OWN_OF_A_DAY, Value
from fieldlog.records.machine import Hole
from fieldlog.wear.parts import Parts
from fieldlog.wear.states import Finding
from fieldlog.wear.verdicts import Caution, LimitInForce, Verdict

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
    """What is judged: whether it carries people's safety, its days, oldest first, its limit, which says what it is.

    `proved` is the verdict when it is over on two days, `parts` what is ordered together then; `hole` is the hole of a
    bush's wall.
    """

    is_safety: bool
    days: Sequence[Measured]
    limit: LimitInForce
    proved: Verdict = Verdict.RENEW
    parts: Parts = ()
    hole: Hole | None = None

    @property
    def found(self) -> Said:
        """The number as last measured."""
        return said("finding.found", of=self.limit.of, hole=self.hole, value=self.days[-1].value)

    @property
    def renew(self) -> Said:
        """The limit that it is renewed at."""
        return said("finding.limit", limit=self.limit, origin=self.limit.origin)


def judge(what: Judged) -> Finding:
    """Return the verdict on one number with its history since the last renewal."""
    latest, limit = what.days[-1], what.limit
    if is_proved_twice(what):
        return _proved(what)
    if not latest.is_under(limit.renew_mm):
        return _may_be_over(what)
    if limit.watch_mm is None or latest.is_under(limit.watch_mm):
        reason = said("finding.under", found=what.found, limit=what.renew)
        return _finding(what, Verdict.SOUND, reason, said("step.measure_next_season"))
    return _watched(what, limit.watch_mm)


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


def _proved(what: Judged) -> Finding:
    latest, line_mm = what.days[-1], what.limit.renew_mm
    reason = said("finding.over_twice", found=what.found, limit=what.renew)
    if not latest.is_over(line_mm):
        last = next(day for day in reversed(what.days) if day.is_over(line_mm))
        reason = said("finding.was_over_twice", found=what.found, value=last.value, day=last.day, limit=what.renew)
    if what.proved is Verdict.STOP:
        return _finding(what, Verdict.STOP, reason, said("step.fit_new_part"), Caution.STOP_USING)
    return _finding(what, Verdict.RENEW, reason, said("step.renew", parts=what.parts), Caution.BLOCK_FIRST)


def _may_be_over(what: Judged) -> Finding:
    latest, line_mm = what.days[-1], what.limit.renew_mm
    days = {day.day for day in what.days if not day.is_under(line_mm)}
    is_over = latest.is_over(line_mm)
    standing = (
        said("finding.is_over", found=what.found, limit=what.renew)
        if is_over
        else said("finding.is_against", found=what.found, limit=what.renew, over=latest.chance_over(line_mm))
    )
    if what.is_safety and len(days) > 1:
        reason, order = said("finding.counts_as_over", standing=standing), said("step.renew", parts=what.parts)
        return _finding(what, Verdict.RENEW, reason, order, Caution.BLOCK_FIRST)
    is_unproved = False
    if not is_over:
        reason, next_step = said("finding.undecided", standing=standing), settling_advice(latest.value, line_mm)
    elif len({day.day for day in what.days if day.is_over(line_mm)}) > 1:
        reason = said("finding.rests_on_one_pin_reading", standing=standing)
        next_step = said("step.measure_pin_before_ordering")
    else:
        reason, is_unproved = said("finding.over_on_one_day", standing=standing), True
        next_step = said("step.measure_before_ordering")
    if what.proved is Verdict.STOP:
        next_step = said("step.not_to_work_until", then=next_step)
    finding = _finding(what, Verdict.REMEASURE, reason, next_step)
    return replace(finding, is_unproved=is_unproved, may_be_over=True)


def _watched(what: Judged, watch_mm: float) -> Finding:
    found, limit = what.found, what.renew
    if what.days[-1].is_over(watch_mm):
        reason = said("finding.over_watch", found=found, watch_mm=watch_mm, limit=limit)
        if len({day.day for day in what.days if day.is_over(watch_mm)}) < 2:
            plan = _finding(what, Verdict.PLAN, reason, said("step.plan_and_measure_first"))
            return replace(plan, is_unproved=True)
        return _finding(what, Verdict.PLAN, reason, said("step.plan_and_order", parts=what.parts))
    near = {day.day for day in what.days if not day.is_under(watch_mm)}
    if len(near) > 1:
        reason = said("finding.at_watch_twice", found=found, watch_mm=watch_mm, limit=limit)
        plan = _finding(what, Verdict.PLAN, reason, said("step.plan_and_measure_next_season"))
        return replace(plan, is_unproved=True)
    over = what.days[-1].chance_over(watch_mm)
    reason = said("finding.against_watch", found=found, watch_mm=watch_mm, over=over, limit=limit)
    next_step = another_day_advice(what.days[-1].value, watch_mm)
    return replace(_finding(what, Verdict.REMEASURE, reason, next_step), is_at_watch=True)


def _finding(what: Judged, verdict: Verdict, reason: Said, next_step: Said, caution: Caution | None = None) -> Finding:
    share = _share(what.days[-1].value.value, what.limit)
    return Finding(verdict, (reason,), (next_step,), caution, limit=what.limit, share=share)


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


def settling_advice(size: Value, line_mm: float) -> Said:
    """Return what to do next about a number that lies within its doubt of a line."""
    found = settling(size, line_mm)
    if found.times is not None:
        return said("step.measure_more", times=max(found.times, 2))
    if found.best_mm >= found.gap_mm:
        return said("step.measure_better", best_mm=found.best_mm)
    return said("step.measure_after_work")


def another_day_advice(size: Value, line_mm: float) -> Said:
    """Return the same for a line that is only watched: not worth a better caliper, nor a wait."""
    times = settling(size, line_mm).times
    return said("step.measure_another_day", times=max(times, 2) if times is not None else None)


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
