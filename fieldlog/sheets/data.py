"""The findings as data. The manual (data) describes the shape. It is kept: keys are added, never renamed or removed.

How each number follows comes along only where it is asked for, or for one machine or joint.

A hole looked at closely, as data: readings that stand apart, depth, walls, hints. Keys are added, never renamed.
"""

import datetime
import json
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from fieldlog.app.beside import cases_of
from fieldlog.app.fleet import Fleet, MachineFacts, facts_of, fleet_of, ground_of, problems_in, season_now
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.overview import DueText
from fieldlog.app.retrofits import retrofits_of
from fieldlog.measure.depth import Gap, WallGap
from fieldlog.measure.hole import HoleSize
from fieldlog.pages.machine import order_data
from fieldlog.pages.readings import apart_data
from fieldlog.quantity.units import Units
from fieldlog.records.machine import Joint, shown_name
from fieldlog.records.problems import Problem
from fieldlog.sheets.budget import pin_and_repair_sections
from fieldlog.sheets.other_data import instrument_data, link_data, pin_data, season_data, study_data
from fieldlog.sheets.retrofits import hitches_data, offer_data, retrofit_data
from fieldlog.sheets.trend_data import (
    Derivation,
    measuring_data,
    numbers_data,
    opened_data,
    plain,
    rates_data,
    size_data,
    tool_data,
    trend_data,
)
from fieldlog.sheets.trend_data import number as _number
from fieldlog.sheets.trend_data import size_data as _size
from fieldlog.wear.history import put_off_said
from fieldlog.wear.season import season_of
from fieldlog.wear.shapes import HoleDetails, machine_details
from fieldlog.wear.states import Finding, HoleState, JointState, MachineState
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import problem_parts, say, say_all, words_of

SHAPE = 2

Data = Mapping[str, object]
Entry = tuple[str, object]  # a key at the top with what stands under it; under an iterator one item after another


def print_json(entries: Iterable[Entry]) -> None:
    """Print the JSON text as it is made, since that of a large logbook is many megabytes."""
    sys.stdout.writelines(pieces(entries))


def pieces(entries: Iterable[Entry]) -> Iterator[str]:
    """Yield the JSON text: a line for each key, and one for each item of the lists that come one by one."""
    for number, (key, value) in enumerate(entries):
        yield f"{',' if number else '{'}\n{_text(key)}: "
        if isinstance(value, Iterator | list):
            yield from _one_by_one(value)
        else:
            yield _text(value)
    yield "\n}\n"


def _one_by_one(items: Iterable[object]) -> Iterator[str]:
    before = "[\n"
    for item in items:
        text = _text(item)
        del item  # or it would stay in memory while the next one is made
        yield before
        yield text
        before = ",\n"
    yield "]" if before != "[\n" else "[]"


class _Written(str):
    """Data that is JSON text already: it takes far less memory so."""

    __slots__ = ()


def _text(value: object) -> str:
    if isinstance(value, _Written):
        return value
    return _harmless(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def _harmless(piece: str) -> str:
    """Return a piece of JSON text with what could steer a terminal written as JSON writes it, so nothing is lost."""
    if piece.isascii() and "\x7f" not in piece:  # the encoder has escaped the other control characters
        return piece
    return "".join(char if char.isprintable() or char == "\n" else json.dumps(char)[1:-1] for char in piece)


@dataclass(frozen=True, slots=True)
class Asked:
    """Which machines are wanted, which joint of them alone (by id or name), and whether derivations come with them."""

    machine_ids: Sequence[str]
    joint: str = ""
    is_whole: bool = False

    def has(self, joint: Joint) -> bool:
        """Tell whether a joint is wanted."""
        return not self.joint or self.joint.casefold() in {joint.id.casefold(), shown_name(joint).casefold()}

    def written(self, data: Data) -> _Written:
        """Return data as text, with derivations where they are asked for."""
        return _Written(_text(plain(data, is_whole=self.is_whole)))


def report_data(book: OpenLogbook, asked: Asked) -> Iterator[Entry]:
    """Yield everything found, machine by machine, as plain dictionaries and lists; lengths in mm, dates as text."""
    logbook, today, whole = book.logbook, book.today(), asked.is_whole
    yield from (("shape", SHAPE), ("logbook", logbook.name), ("units_first", logbook.units))
    yield "today", today.isoformat()
    beside = _Beside()
    yield "machines", map(partial(plain, is_whole=whole), _machines(book, asked, beside))
    fleet = Fleet(tuple(beside.facts), book.units)
    wanted = beside.joints
    yield (
        "due",
        [_due(item) for item in fleet.due() if not asked.joint or (item.machine.id, item.joint.id) in wanted],
    )
    yield "to_order", order_data(fleet.orders())
    rates = rates_data(fleet.rates())
    yield "rates", [row for row in rates if (row["machine"], row["joint"]) in wanted]
    season = season_of(logbook, today)
    origin = say(season.origin, logbook.units)
    span = _text({"start": season.start.isoformat(), "end": season.end.isoformat(), "origin": origin})
    yield "season", _Written(f'{span[:-1]},"machines":[{",".join(beside.seasons)}]}}')
    yield from (("hitches", beside.hitches), ("offers", [plain(offer_data(offer)) for offer in book.offers()]))
    yield from (("retrofits", beside.retrofits), ("stand_apart", beside.apart))
    yield "instruments", [plain(instrument_data(one, today), is_whole=whole) for one in logbook.instruments]
    yield "gauge_studies", [plain(study_data(one), is_whole=whole) for one in book.studies()]
    yield "problems", [_problem(problem) for problem in problems_in(book, fleet)]
    if whole:
        yield "opened", _opened(book, asked)
        yield "opened_beside", _opened_beside(book, asked)


@dataclass(slots=True)
class _Beside:
    """What stands beside the machines, put together while each is in memory; `joints` are those wanted."""

    facts: list[MachineFacts] = field(default_factory=list)
    joints: set[tuple[object, object]] = field(default_factory=set)
    seasons: list[_Written] = field(default_factory=list)
    hitches: list[_Written] = field(default_factory=list)
    retrofits: list[_Written] = field(default_factory=list)
    apart: list[object] = field(default_factory=list)

    def add(self, book: OpenLogbook, state: MachineState, asked: Asked) -> None:
        """Put together what there is of a machine."""
        machine_id = state.machine.id
        self.facts.append(facts_of(book, state))
        self.joints |= {(machine_id, joint.joint.id) for joint in state.joints if asked.has(joint.joint)}
        season = season_now(book, machine_id)
        season = replace(season, joints=tuple(one for one in season.joints if asked.has(one.state.joint)))
        self.seasons.append(asked.written(season_data(season)))
        self.apart += apart_data([book.index(machine_id)])
        if not asked.joint:
            self.hitches += map(asked.written, hitches_data(cases_of(book, machine_id)))
            self.retrofits.append(asked.written(retrofit_data(retrofits_of(book, machine_id), book.units)))


def _machines(book: OpenLogbook, asked: Asked, beside: _Beside) -> Iterator[Data]:
    for state in book.each(asked.machine_ids):
        if asked.joint and not any(asked.has(joint.joint) for joint in state.joints):
            continue
        beside.add(book, state, asked)
        joints = tuple(joint for joint in state.joints if asked.has(joint.joint))
        shown = replace(state, joints=joints, links=state.links if not asked.joint else ())
        yield machine_data(shown, book.units, machine_details(shown, book.index(state.machine.id)))
        del state, shown  # or it would stay in memory while the next one is worked out


def _opened(book: OpenLogbook, asked: Asked) -> Iterator[object]:
    """Yield each joint's numbers over time; all machines lend their rates."""
    rates = fleet_of(book, book.book.machine_ids).rates()
    for state in book.each(asked.machine_ids):
        ground = ground_of(book, state.machine.id, rates)
        for joint in state.joints:
            if asked.has(joint.joint):
                yield opened_data(ground, joint)


def _opened_beside(book: OpenLogbook, asked: Asked) -> Iterator[object]:
    """Yield pins and repairs opened up; the rest stands with what it belongs to."""
    for state in book.each(asked.machine_ids):
        shown = replace(state, joints=tuple(joint for joint in state.joints if asked.has(joint.joint)))
        for title, numbers in pin_and_repair_sections(book, shown):
            if numbers:
                yield {"machine": state.machine.id, "of": title, "numbers": numbers_data(numbers)}


def _due(item: DueText) -> Data:
    return {
        "machine": item.machine.id,
        "joint": "" if item.is_link else item.joint.id,
        "link": item.joint.id if item.is_link else "",
        "verdict": item.verdict.value,
        "reason": item.reason,
        "next_step": item.next_step,
        "left": item.life,
        "borrowed": item.borrowed,
        "outlook": item.outlook,
    }


def _problem(problem: Problem) -> Data:
    wrong, accepted = problem_parts(problem)
    return {"file": problem.file, "line": problem.line, "key": problem.key, "wrong": wrong, "accepted": accepted}


def machine_data(state: MachineState, units: Units, details: "Mapping[str, HoleDetails] | None" = None) -> Data:
    """Return a machine with its joints, holes and links; `details` are its holes looked at closely, by hole."""
    details = details or {}
    return {
        "id": state.machine.id,
        "name": shown_name(state.machine),
        "kind": state.machine.kind,
        "hours": float(state.meter_hours) if state.meter_hours is not None else None,
        "last_day": _day(state.last_day),
        "verdict": state.worst.value,
        "remarks": [say(remark, units) for remark in state.remarks],
        "joints": [_joint(joint, details, units) for joint in state.joints],
        "links": [link_data(link, _size, units) for link in state.links],
    }


def _joint(state: JointState, details: "Mapping[str, HoleDetails]", units: Units) -> Data:
    return {
        "id": state.joint.id,
        "name": shown_name(state.joint),
        "kind": state.joint.kind,
        **_finding(state.finding, units),
        "signs": list(state.signs),
        "pin": {
            **pin_data(state.pin_answer, state.evidence, _size),
            "reckoned_with": _size(state.pin_size),
            "origin": words_of(state.pin_origin, units),
        },
        "last_day": _day(state.last_day),
        "measure_next": measuring_data(state.measuring),
        "slack_at_tool": tool_data(state.slack),
        "put_off": [say(told, units) for told in put_off_said(state.put_off)],
        "trends": [trend_data(trend, state.finding.verdict) for trend in state.trends],
        "holes": [{**_hole(hole, units), **_close(details.get(hole.hole.id), units)} for hole in state.holes],
    }


def _finding(finding: Finding, units: Units) -> Data:
    limit = finding.limit
    return {
        "verdict": finding.verdict.value,
        "reason": say_all(finding.reasons, units),
        "next_step": say_all(finding.next_steps, units),
        "caution": caution_text(finding.caution),
        "judged": _size(finding.clearance),
        "limit": None
        if limit is None
        else {
            "of": limit.of,
            "watch_mm": limit.watch_mm,
            "renew_mm": _number(limit.renew_mm),
            "origin": words_of(limit.origin, units),
        },
    }


def _hole(state: HoleState, units: Units) -> Data:
    return {
        "id": state.hole.id,
        "name": shown_name(state.hole),
        "use": state.hole.use,
        "worn_size": _size(state.worn),
        "identity_size": _size(state.identity),
        "change": _size(state.change),
        "signs": list(state.signs),
        "remarks": [say(remark, units) for remark in state.remarks],
        "history": [
            {**_hole_size(size), "since_renewal": number >= state.span_start}
            for number, size in enumerate(state.history)
        ],
    }


def _close(details: "HoleDetails | None", units: Units) -> Data:
    return detail_data(details, units) if details is not None else {}


def _hole_size(size: HoleSize) -> Data:
    shape = size.best_face.shape
    return {
        "day": size.day.isoformat(),
        "who": size.who,
        "readings": size.n_readings,
        "largest": _size(size.largest),
        "smallest": _size(size.smallest),
        "ovality": _size(shape.ovality) if shape is not None else None,
        "long_axis_deg": _number(shape.axis_deg) if shape is not None and shape.axis_deg is not None else None,
        "round_within_error": shape.is_round_within_error if shape is not None else None,
        "missing": size.missing,
        "remarks": list(size.remarks),
        "lines": Derivation(lambda: _lines(size)),
    }


def _lines(size: HoleSize) -> list[Data]:
    return [
        {
            "face": face.face,
            "clock": group.clock,
            "read_mm": [_number(mm) for mm in group.read_mm],
            "corrected_mm": [_number(mm) for mm in group.sizes_mm],
        }
        for face in size.faces
        for group in face.groups
    ]


def _day(day: datetime.date | None) -> str | None:
    return day.isoformat() if day is not None else None


_DIGITS = 6


def detail_data(details: HoleDetails, units: Units) -> Mapping[str, object]:
    """Return what the hole's page shows below its sizes."""
    shape = details.shape
    return {
        "stand_apart": [
            {
                "day": day.size.day.isoformat(),
                "reading": mark.key,
                "typed": mark.typed,
                "clock": mark.clock,
                "face": mark.face,
                "gap_mm": round(mark.gap_mm, _DIGITS),
                "from": mark.against,
                "kept": mark in day.kept,
            }
            for day in details.days
            for mark in (*day.marks, *day.kept)
        ],
        "lack_of_fit": say_all(details.days[-1].misfit, units) if details.days else "",
        "depth": None
        if shape.depth is None
        else {"pattern": shape.depth.pattern.value, "gaps": [_gap(gap) for gap in shape.depth.gaps]},
        "ligaments": [{"clock": wall.clock, "thickness": size_data(wall.size)} for wall in shape.walls],
        "thinner": [_wall_gap(gap) for gap in shape.opposite],
        "since_first_measured": [_wall_gap(gap) for gap in shape.since],
        "hints": [say(hint, units) for hint in shape.hints],
    }


def _gap(gap: Gap) -> Mapping[str, object]:
    return {"of": gap.name, "clock": gap.clock, "size": size_data(gap.size), "proved": bool(gap.sign)}


def _wall_gap(gap: WallGap) -> Mapping[str, object]:
    return {"clock": gap.clock, "less": gap.other, "size": size_data(gap.size), "proved": gap.is_proved}
