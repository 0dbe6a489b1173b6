"""An open logbook that answers a program: machines, joints, sizes, findings, forecasts, offers compared, seasons.

What is not known is None, never 0. Lengths are in mm with their 95 % half-width beside them; days are dates. An answer
about the fleet comes machine by machine, so that a large logbook fills no memory.
"""

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.app.fleet import fleet_of, problems_in
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.errors import FieldlogError
from fieldlog.words.speak import error_text, say, say_all, words_of

if TYPE_CHECKING:
    from fieldlog.app.overview import DueText
    from fieldlog.measure.crossing import Crossing
    from fieldlog.quantity.estimate import Estimate
    from fieldlog.records.machine import Machine
    from fieldlog.records.problems import Problem
    from fieldlog.retrofit.offers.compare import Compared
    from fieldlog.wear.season import JointSeason
    from fieldlog.wear.states import Finding, JointState, MachineState
    from fieldlog.wear.trends.records import Trend


@dataclass(frozen=True, slots=True)
class Size:
    """A length in mm, and half the width of the interval that holds it with 95 %."""

    mm: float
    plus_minus_mm: float


@dataclass(frozen=True, slots=True)
class HoleSize:
    """A hole as one person measured it on one day: its largest and smallest size, from so many readings."""

    machine: str
    joint: str
    hole: str
    day: datetime.date
    who: str
    largest: Size
    smallest: Size
    readings: int


@dataclass(frozen=True, slots=True)
class PartFinding:
    """What is found of a joint, or of a link (`is_link`), and why.

    `verdict` is "stop", "renew", "plan", "re-measure" or "sound"; `judged` is held against `limit_mm`, which stands
    as `limit_origin` says.
    """

    machine: str
    part: str
    is_link: bool
    verdict: str
    reason: str
    next_step: str
    caution: str
    judged: Size | None
    limit_mm: float | None
    limit_origin: str


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint: its pin as far as it is settled, and what its page says of it; `finding` is its verdict and why."""

    machine: str
    id: str
    name: str
    kind: str
    pin: str | None
    holes: tuple[str, ...]
    last_day: datetime.date | None
    finding: PartFinding


@dataclass(frozen=True, slots=True)
class Forecast:
    """How fast something of a joint wears, and when it reaches its limit.

    `of` is "clearance", "bore", "bush wall" or "pin", `hole` the id of its hole, empty for a pin. The rate is in mm per
    100 of `unit`, "hours" of the meter or "days"; places are on that axis. `why_none` says why there is no rate, or no
    forecast.
    """

    machine: str
    joint: str
    hole: str
    of: str
    unit: str
    measuring_days: int
    mm_per_100: float | None
    plus_minus_per_100: float | None
    limit_mm: float | None
    reached_at: float | None
    earliest_at: float | None
    earliest_day: datetime.date | None
    chance_by_season_end: float | None
    why_none: str


@dataclass(frozen=True, slots=True)
class OfferCompared:
    """A cylinder on offer in the place of a link.

    `verdict` is "fits", "with work", "with limits", "unclear" or "no"; `decides` is what it turns on.
    """

    machine: str
    link: str
    offer: str
    verdict: str
    decides: str


@dataclass(frozen=True, slots=True)
class SeasonWear:
    """What a joint's clearance grew in a season between two measuring days, and the `work` between them.

    `work` is in hours of the meter or days; `why_none` says why the wear is not known.
    """

    machine: str
    joint: str
    start: datetime.date
    end: datetime.date
    grown: Size | None
    first_day: datetime.date | None
    last_day: datetime.date | None
    work: float | None
    greased: int
    why_none: str


class Library(OpenLogbook):
    """An open logbook with the questions that a program asks; `fieldlog.open_logbook` returns one.

    Answers about all machines come in the order of their folders. `machine` names one alone, by its name or id.

    Raises:
        FieldlogError: nothing is called so, or a logbook cannot be read; the message is a sentence.
    """

    def machines(self) -> "tuple[Machine, ...]":
        """Return the machines as their files hold them, with their joints, holes and links."""
        return tuple(state.machine for state in self.each(self.book.machine_ids))

    def joints(self, machine: str = "") -> tuple[Joint, ...]:
        """Return the joints with their verdicts."""
        return tuple(_joint(state, joint) for state in self._states_of(machine) for joint in state.joints)

    def sizes(self, machine: str = "") -> tuple[HoleSize, ...]:
        """Return every hole's sizes in mm, oldest first, those before its last renewal too."""
        return tuple(
            size for state in self._states_of(machine) for joint in state.joints for size in _sizes(state, joint)
        )

    def findings(self, machine: str = "") -> tuple[PartFinding, ...]:
        """Return the finding of every joint, sound ones too, then of each link that can be judged."""
        return tuple(found for state in self._states_of(machine) for found in _findings(state))

    def due(self) -> "tuple[DueText, ...]":
        """Return what needs doing over the whole fleet, worst first, as the report lists it."""
        return fleet_of(self, self.book.machine_ids).due()

    def forecasts(self, machine: str = "") -> tuple[Forecast, ...]:
        """Return every trend: its rate, and when it reaches its limit."""
        return tuple(
            _forecast(state, joint, trend)
            for state in self._states_of(machine)
            for joint in state.joints
            for trend in joint.trends
        )

    def compared(self, machine: str = "") -> tuple[OfferCompared, ...]:
        """Return the cylinders on offer against each link that a cylinder usually replaces, best first."""
        from fieldlog.app.retrofits import retrofits_of

        found = (retrofits_of(self, state.machine.id) for state in self._states_of(machine))
        return tuple(
            _compared(item.machine.id, job.facts.link.id, one)
            for item in found
            for job, compared in item.links
            for one in compared
        )

    def seasons(self, machine: str = "", *, back: int = 0) -> tuple[SeasonWear, ...]:
        """Return what each joint wore in the season that runs today, or in the one so many years `back`."""
        from fieldlog.app.fleet import season_now
        from fieldlog.wear.season import season_of

        season = season_of(self.logbook, self.today(), back)
        return tuple(
            _season(state.machine.id, joint, (season.start, season.end))
            for state in self._states_of(machine)
            for joint in season_now(self, state.machine.id, back).joints
        )

    def wrong(self) -> "tuple[Problem, ...]":
        """Return what is wrong in the logbook's files, each with its place and what would be accepted."""
        return problems_in(self, fleet_of(self, self.book.machine_ids))

    def find_machine(self, name: str) -> str:
        """Return the id of the machine of that name or id.

        Raises:
            FieldlogError: no machine is called so; the message lists those there are.
        """
        wanted, ids = name.casefold(), self.book.machine_ids
        for machine_id in ids:
            if machine_id.casefold() == wanted:
                return machine_id
        for state in self.each(ids):
            if state.machine.name.casefold() == wanted:
                return state.machine.id
        raise FieldlogError(f'No machine is called "{name}". There are: {", ".join(ids) or "none yet"}.')

    def _states_of(self, machine: str) -> "Iterator[MachineState]":
        yield from self.each([self.find_machine(machine)] if machine else self.book.machine_ids)


def open_logbook(folder: str | Path) -> Library:
    """Open a logbook's folder for a program; its files are read once, when something is first asked of them.

    Open it again to see what has been written since.

    Raises:
        FieldlogError: there is no logbook in the folder.
    """
    found = Library(Path(folder), is_still=True)
    try:
        _ = found.book  # or the first question would be told that there is none
    except FieldlogError as error:
        raise FieldlogError(error_text(error)) from error  # a program shows a message as it is
    return found


def _size(estimate: "Estimate | None") -> Size | None:
    return Size(estimate.value, estimate.plus_minus) if estimate is not None else None


def _joint(state: "MachineState", joint: "JointState") -> Joint:
    from fieldlog.records.machine import shown_name

    return Joint(
        machine=state.machine.id,
        id=joint.joint.id,
        name=shown_name(joint.joint),
        kind=joint.joint.kind,
        pin=joint.pin_answer.settled or None,
        holes=tuple(hole.hole.id for hole in joint.holes),
        last_day=joint.last_day,
        finding=_finding(state, joint.joint.id, joint.finding),
    )


def _sizes(state: "MachineState", joint: "JointState") -> Iterator[HoleSize]:
    for hole in joint.holes:
        for one in hole.history:
            largest, smallest = (Size(size.value, size.plus_minus) for size in (one.largest, one.smallest))
            ids = (state.machine.id, joint.joint.id, hole.hole.id)
            yield HoleSize(*ids, one.day, one.who, largest, smallest, one.n_readings)


def _findings(state: "MachineState") -> Iterator[PartFinding]:
    for joint in state.joints:
        yield _finding(state, joint.joint.id, joint.finding)
    for link in state.links:
        if link.finding is not None:
            yield _finding(state, link.link.id, link.finding, is_link=True)


def _finding(state: "MachineState", part: str, found: "Finding", *, is_link: bool = False) -> PartFinding:
    from fieldlog.words.finding import caution_text

    return PartFinding(
        machine=state.machine.id,
        part=part,
        is_link=is_link,
        verdict=found.verdict.value,
        reason=say_all(found.reasons, "mm"),
        next_step=say_all(found.next_steps, "mm"),
        caution=caution_text(found.caution),
        judged=_size(found.clearance),
        limit_mm=found.limit.renew_mm if found.limit is not None else None,
        limit_origin=words_of(found.limit.origin, "mm") if found.limit is not None else "",
    )


def _forecast(state: "MachineState", joint: "JointState", trend: "Trend") -> Forecast:
    from fieldlog.wear.trends.trend import rate_half_width

    line, renew = trend.line, trend.renew
    return Forecast(
        machine=state.machine.id,
        joint=joint.joint.id,
        hole=trend.hole,
        of=trend.of,
        unit="hours" if trend.axis == "hours" else "days",
        measuring_days=trend.days,
        mm_per_100=100 * line.slope if line is not None else None,
        plus_minus_per_100=100 * rate_half_width(line) if line is not None else None,
        limit_mm=trend.limit.renew_mm if trend.limit is not None else None,
        reached_at=renew.at if renew is not None else None,
        earliest_at=renew.earliest if renew is not None else None,
        earliest_day=_day(trend, renew),
        chance_by_season_end=trend.chance_later,
        why_none=words_of(trend.no_rate or trend.no_forecast, "mm"),
    )


def _day(trend: "Trend", reached: "Crossing | None") -> datetime.date | None:
    return trend.usage.date_at(reached.earliest) if reached is not None else None


def _compared(machine: str, link: str, one: "Compared") -> OfferCompared:
    from fieldlog.words.offer import topic_words

    worst = f"{topic_words(one.worst)}: {say(one.worst.said, 'mm')}"
    return OfferCompared(machine, link, one.offer.id, one.verdict.value, worst)


def _season(machine: str, joint: "JointSeason", span: tuple[datetime.date, datetime.date]) -> SeasonWear:
    wear = joint.wear
    return SeasonWear(
        machine=machine,
        joint=joint.state.joint.id,
        start=span[0],
        end=span[1],
        grown=_size(wear.change) if wear is not None else None,
        first_day=wear.first if wear is not None else None,
        last_day=wear.last if wear is not None else None,
        work=wear.work if wear is not None else None,
        greased=joint.grease.times,
        why_none=words_of(joint.no_wear, "mm"),
    )
