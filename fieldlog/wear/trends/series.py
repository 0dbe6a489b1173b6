"""The points of each wearing thing, part by part: a hole's clearance and its bore, a joint's pin.

A part ends where something was made new. Within a part, a doubt that several days share (the same caliper, one
reading of the pin that serves several days) is kept apart by its source, so that it is not taken for scatter.

sigma is never below what was stated for trends, as the rule of the trade says. While an F test (1 %) finds the
residuals in agreement with it both are put together, what was stated with 8 degrees of freedom at the most; else the
residuals count alone, with theirs. With n - 2 always, three days would get a t of 12.7 or of 2 by the toss of a coin;
with the larger of both, intervals of three days held 98 % instead of 95. What all days share is known beforehand, so
t has the effective degrees of freedom where the line meets the limit (`Straight.dof_at`). Days of a series share one
scatter (`wear/judge.py`): weighted by each day's own repeats, a day that happens to repeat well counts far too much
and intervals held 91 % instead of 95. `tests/benchmarks/forecast_coverage.py` prints how often simulated forecasts
hold, through the whole program.

Days without a full view are left out of a trend when other days saw the oval; a day without a meter reading lies
between the readings before and after it, and after the last one it is left out.
"""

import datetime
import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from fieldlog.measure.hole import HoleSize
from fieldlog.measure.line_fit import Point
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.records.entries import BORE_RENEWING_DEEDS, Deed, Event
from fieldlog.records.machine import Hole, Joint
from fieldlog.wear.history import Index, Moment, moment, touches_hole, touches_joint
from fieldlog.wear.judge import DayScatter, is_shared, pooled, scatter_of
from fieldlog.wear.pin_size import JointPin, PinDay, made_size, pin_days
from fieldlog.wear.states import HoleState
from fieldlog.wear.trends.hours import Hours, Usage
from fieldlog.wear.trends.records import Mark, TrendPoint

_MARKS: tuple[Deed, ...] = ("greasing changed", "pin turned", "meter replaced")
_PAIR = 2


@dataclass(frozen=True, slots=True)
class Series:
    """Points with their marks; `fit` holds the last part as the fit takes it, `before` the one before that."""

    points: tuple[TrendPoint, ...]
    marks: tuple[Mark, ...]
    fit: tuple[Point, ...]
    before: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True)
class DayValue:
    """A value of one day: when, what, and the scatter behind it, with the ids of the sources which that is.

    `pin` is the reading of the pin that it rests on, with the scatter of that; `part` says which part of the history
    it belongs to where its moment does not tell; `keys` are all readings behind it.
    """

    at: Moment
    value: Value
    scatter: DayScatter
    own: tuple[str, ...]
    pin: tuple[Source, DayScatter] | None = None
    sees_oval: bool = True
    part: int | None = None
    keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Axes:
    """What places a day on the axis."""

    usage: Usage
    hours: Hours

    def x(self, day: datetime.date) -> float | None:
        """Return where a day stands: meter hours, or days from today backwards where there is no meter."""
        if self.usage.axis != "hours":
            return self.usage.place_of(day)
        return self.hours.between(day, self.usage.in_use)


@dataclass(frozen=True, slots=True)
class PinParts:
    """A joint's pins one after another: what was measured of each, cut by the moments of new pins."""

    pin: JointPin
    cuts: tuple[Moment, ...]
    worn: tuple[tuple[PinDay, ...], ...]
    unworn: tuple[tuple[PinDay, ...], ...]

    def at(self, when: Moment) -> tuple[PinDay, Source] | None:
        """Return the pin that was in at a moment, and the scatter of the reading it rests on as a source.

        The worn band as measured last before, else as first measured after; a pin whose worn band was never
        measured, or that had just been fitted new, counts as made.
        """
        part = sum(1 for cut in self.cuts if cut < when)
        worn = self.worn[part]
        before = [day for day in worn if day.day <= when[0]]
        is_new = part > 0 and not before
        chosen = before[-1] if before else worn[0] if worn and not is_new else None
        if chosen is not None:
            return chosen, _pin_source(chosen.keys[0], f"pin as measured {day_text(chosen.day)}")
        made = made_size(self.pin.joint, self.unworn[part], self.pin.answer, self.pin.taken)
        if made is None:
            return None
        keys = self.unworn[part][-1].keys if self.unworn[part] else ()
        source_id = keys[0] if keys else f"{self.pin.joint.id}, {part}"
        return PinDay(when[0], made.size, keys=keys), _pin_source(source_id, f"pin as made, {part}")


def _pin_source(whose: str, label: str) -> Source:
    return Source(f"pin/{whose}", "scatter", label=label)


def pin_parts(pin: JointPin, index: Index) -> PinParts:
    """Return all the pins that a joint ever had."""
    joint = pin.joint
    events = [event for event in index.events if event.deed == "new pin"]
    cuts = tuple(sorted(moment(event) for event in events if touches_joint(event, joint, index.machine)))
    readings = index.pins.get(joint.id, ())
    groups = [
        [r for r in readings if sum(1 for cut in cuts if cut < moment(r)) == part] for part in range(len(cuts) + 1)
    ]
    worn = tuple(pin_days(group, "worn", index.instruments) for group in groups)
    unworn = tuple(pin_days(group, "unworn", index.instruments) for group in groups)
    return PinParts(pin, cuts, worn, unworn)


def clearance_series(state: HoleState, pins: PinParts, index: Index, axes: Axes) -> Series:
    """Return a hole's clearance over time, cut by whatever made the hole or the pin new."""
    values: list[DayValue] = []
    for size in state.history:
        when = moment_of(size)
        found = pins.at(when)
        if found is None:
            continue
        pin, source = found
        values.append(
            DayValue(
                when,
                size.largest - pin.size,
                scatter_of(size.largest, _count(size)),
                _own(size.largest),
                (source, scatter_of(pin.size, pin.n_readings)),
                size.sees_oval,
                keys=(*size.keys, *pin.keys),
            )
        )
    marks = _hole_marks(state.hole, pins.pin.joint, index, axes, with_pin=True)
    return _series(values, marks, axes)


def bore_series(state: HoleState, joint: Joint, index: Index, axes: Axes) -> Series:
    """Return a hole's largest size over time, cut by whatever made the hole new."""
    values = [hole_value(size, size.largest) for size in state.history]
    return _series(values, _hole_marks(state.hole, joint, index, axes, with_pin=False), axes)


def pin_series(pins: PinParts, nominal_mm: float, index: Index, axes: Axes) -> Series:
    """Return what is worn off a joint's pins under their nominal size, cut by new pins."""
    values: list[DayValue] = []
    for part, days in enumerate(pins.worn):
        for day in days:
            worn, scatter = nominal_mm - day.size, scatter_of(day.size, day.n_readings)
            values.append(DayValue((day.day, ""), worn, scatter, _own(worn), part=part, keys=day.keys))
    events = (event for event in index.events if touches_joint(event, pins.pin.joint, index.machine))
    return _series(values, _marks(events, ("new pin",), index, axes), axes)


def wall_series(values: Sequence[DayValue], hole: Hole, joint: Joint, index: Index, axes: Axes) -> Series:
    """Return what is worn off a bush's wall, cut by whatever made the hole new."""
    return _series(values, _hole_marks(hole, joint, index, axes, with_pin=False), axes)


def moment_of(size: HoleSize) -> Moment:
    """Return when a hole's first reading of a size was made."""
    return size.day, size.at


def _count(size: HoleSize) -> int:
    """Return how many readings stand behind a hole's largest size: those at the face that has it."""
    face = max(size.faces, key=lambda face: face.largest.value)
    return sum(len(group.sizes_mm) for group in face.groups)


def hole_value(size: HoleSize, value: Value) -> DayValue:
    """Return a value taken from a hole's day, such as its largest or what it grew."""
    return DayValue(
        moment_of(size),
        value,
        scatter_of(value, _count(size)),
        _own(value),
        sees_oval=size.sees_oval,
        keys=size.keys,
    )


def value_of(when: Moment, value: Value, keys: tuple[str, ...]) -> DayValue:
    """Return a value of any moment, from the readings with the given keys."""
    return DayValue(when, value, scatter_of(value, len(keys)), _own(value), keys=keys)


def _own(value: Value) -> tuple[str, ...]:
    return tuple([term.source.id for term in value.terms if not is_shared(term.source)])


def _shared(value: DayValue, pins: Mapping[str, DayScatter]) -> tuple[Term, ...]:
    """Return what other days may share; what wanders is to the line what it is never far from, on all its days."""
    found: dict[str, Term] = {}
    for term in value.value.terms:
        if is_shared(term.source):
            source = replace(term.source, id=_lasting_id(term.source), wanders="")
            known = found.get(source.id)
            found[source.id] = Term(source, term.u + (known.u if known is not None else 0.0))
    of_pin = () if value.pin is None else (Term(value.pin[0], pins[value.pin[0].id].u_mm),)
    return (*found.values(), *of_pin)


def _hole_marks(hole: Hole, joint: Joint, index: Index, axes: Axes, *, with_pin: bool) -> list[tuple[Moment, Mark]]:
    machine = index.machine
    cutting: tuple[Deed, ...] = (*BORE_RENEWING_DEEDS, "new pin") if with_pin else BORE_RENEWING_DEEDS
    about = [
        event
        for event in index.events
        if touches_hole(event, hole, machine) or (event.deed == "new pin" and touches_joint(event, joint, machine))
    ]
    about += [e for e in index.events if e.deed in _MARKS and e not in about and _is_whole(e, joint, index)]
    return _marks(about, cutting, index, axes)


def _is_whole(event: Event, joint: Joint, index: Index) -> bool:
    """Tell whether a mark is about the whole machine or the whole joint."""
    return not (event.hole or event.joint or event.link) or touches_joint(event, joint, index.machine)


def _marks(events: Iterable[Event], cutting: Sequence[Deed], index: Index, axes: Axes) -> list[tuple[Moment, Mark]]:
    wanted = [event for event in events if event.deed in cutting or event.deed in _MARKS]
    return [
        (moment(event), Mark(event.day, axes.x(event.day), event.deed, event.deed in cutting, event.text))
        for event in sorted(wanted, key=moment)
    ]


def _series(values: Sequence[DayValue], marks: Sequence[tuple[Moment, Mark]], axes: Axes) -> Series:
    cuts = [when for when, mark in marks if mark.is_cut]
    last = len(cuts)
    parts = [value.part if value.part is not None else sum(1 for cut in cuts if cut < value.at) for value in values]
    sees = any(value.sees_oval for value, part in zip(values, parts, strict=True) if part == last)
    points: list[TrendPoint] = []
    chosen: list[tuple[float, DayValue]] = []
    older: list[tuple[float, DayValue]] = []
    for value, part in zip(values, parts, strict=True):
        x = axes.x(value.at[0])
        left_out = _why_left_out(value, x, sees=sees)
        why = left_out if part == last else None
        points.append(TrendPoint(value.at[0], x, value.value, part, why, value.keys, value.own))
        if x is not None and left_out is None and part == last:
            chosen.append((x, value))
        elif x is not None and value.sees_oval and part == last - 1:
            older.append((x, value))
    return Series(tuple(points), tuple(mark for _, mark in marks), _fit_points(chosen), _fit_points(older))


def _why_left_out(value: DayValue, x: float | None, *, sees: bool) -> Said | None:
    if x is None:
        return said("trend.meter_not_read_near")
    return said("trend.too_few_lines") if sees and not value.sees_oval else None


def _fit_points(chosen: Sequence[tuple[float, DayValue]]) -> tuple[Point, ...]:
    """Return the points as the fit takes them: one scatter for all days, and by source what days share.

    A source that touches one day only is that day's own. So is what may move from day to day, such as a zero, where
    there are two days: more of them show it in their residuals. Between the two the larger counts once, as it does in
    their difference, so each takes half of its variance.
    """
    own = pooled([value.scatter for _, value in chosen])
    by_id = {value.pin[0].id: value.pin[1] for _, value in chosen if value.pin is not None}
    pins = dict(zip(by_id, pooled(list(by_id.values())), strict=True))
    shared = [_shared(value, pins) for _, value in chosen]
    counts = Counter(term.source.id for terms in shared for term in terms)
    most = _moving([value for _, value in chosen], shared) if len(chosen) == _PAIR else {}
    once = [_of_one_day(terms, value.at[0], counts, most) for terms, (_, value) in zip(shared, chosen, strict=True)]
    return tuple(
        Point(
            x,
            value.value.value,
            math.hypot(scatter.u_mm, *[term.u for term in alone]),
            scatter.dof,
            tuple([term for term in terms if counts[term.source.id] > 1 and term.source.id not in most]),
            alone,
        )
        for (x, value), scatter, terms, alone in zip(chosen, own, shared, once, strict=True)
    )


def _lasting_id(source: Source) -> str:
    return source.wanders or source.id


def _moving(values: Sequence[DayValue], shared: Sequence[tuple[Term, ...]]) -> Mapping[str, float]:
    """Return the most that each thing which may move was doubtful by, by its id."""
    wander = {term.source.wanders for value in values for term in value.value.terms}
    most: dict[str, float] = {}
    for term in (term for terms in shared for term in terms if term.source.id in wander):
        most[term.source.id] = max(most.get(term.source.id, 0.0), abs(term.u))
    return most


def _of_one_day(
    terms: Sequence[Term], day: datetime.date, counts: Mapping[str, int], most: Mapping[str, float]
) -> tuple[Term, ...]:
    """Return what is a day's own."""
    alone = [term for term in terms if counts[term.source.id] == 1]
    halves = [
        Term(
            replace(term.source, id=f"{term.source.id}, {day.isoformat()}"),
            math.copysign(most[term.source.id] / math.sqrt(_PAIR), term.u),
        )
        for term in terms
        if counts[term.source.id] > 1 and term.source.id in most
    ]
    return (*alone, *halves)
