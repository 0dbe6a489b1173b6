"""The findings printed or as data: everything that `fieldlog report` puts together.

What is not wear over time, opened up to be printed: pins, repairs, the hitch, offers, tools, gauge studies.
"""

import argparse
import io
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.errors import FieldlogError
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import shown_name
from fieldlog.wear.states import MachineState
from fieldlog.wear.verdicts import Verdict

if TYPE_CHECKING:
    from fieldlog.app.session import Session
    from fieldlog.pages.lines import Line
    from fieldlog.quantity.lengths import Units
    from fieldlog.records.checks import Study
    from fieldlog.records.problems import Problem
    from fieldlog.retrofit.hitch.field import HitchCase
    from fieldlog.sheets.printed import Details
    from fieldlog.wear.numbers.page import Ground


@dataclass(frozen=True, slots=True)
class _Found:
    """What a report is made of."""

    session: "Session"
    states: "Sequence[MachineState]"
    problems: "Sequence[Problem]"
    studies: "Sequence[Study]"
    details: "Details"
    hitches: "Sequence[HitchCase]"


def report(given: argparse.Namespace, folder: Path, *, ascii_only: bool) -> int:
    """Print the report that is asked for, of a logbook's folder."""
    from fieldlog.app.beside import beside_problems
    from fieldlog.app.session import Session
    from fieldlog.store.hitch_reader import read_cases
    from fieldlog.wear.shapes import machine_details

    if given.ascii and isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="ascii", errors="replace")  # so that marks and signs are printed as their twins
    session = Session(folder)
    states = _wanted(session, given.machine)
    if given.joint and not given.json:
        from fieldlog.sheets.printed import print_joints

        print_joints(given.joint, states, session.states(), session.units, ascii_only=ascii_only)
        return 0
    found = _Found(
        session,
        states,
        problems=(*session.problems(), *beside_problems(session.folder, session.head.machine_ids)),
        studies=() if given.machine else session.studies(),
        details={s.machine.id: machine_details(s, session.index(s.machine.id)) for s in states},
        hitches=read_cases(session.folder, states),
    )
    if given.json:
        _print_data(found)
    else:
        _print_all(found, given, ascii_only=ascii_only)
    return 0


def _print_data(found: _Found) -> None:
    from fieldlog.sheets.data import print_json, report_data
    from fieldlog.sheets.hitch_data import hitches_data
    from fieldlog.sheets.trend_data import opened_data

    session, states = found.session, found.states
    data = report_data(session.logbook, states, found.problems, session.today(), found.studies, found.details)
    extra = {
        "hitches": hitches_data(found.hitches),
        **_retrofit_data(session, states),
        "season": _season_data(session, states),
        "opened": opened_data(_grounds(session, states)),
        "stand_apart": _apart_data(session, states),
    }
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")  # JSON is UTF-8, whatever the terminal is
    print_json({**data, **extra})


def _print_all(found: _Found, given: argparse.Namespace, *, ascii_only: bool) -> None:
    from fieldlog.sheets.printed import Sheet, print_report

    session, states, is_one = found.session, found.states, bool(given.machine)
    today = session.today()
    sheet = Sheet(session.logbook, states, found.problems, today, found.studies, found.details, is_one, ascii_only)
    print_report(sheet)
    _print_apart(session, states)
    _print_season(session, states)
    _print_hitches(found.hitches, session.units)
    _print_offers(session, states)
    if given.budget:
        _print_budgets(session, states)


def _grounds(session: "Session", states: "Sequence[MachineState]") -> "Iterator[Ground]":
    from fieldlog.app.seasons import ground_of
    from fieldlog.wear.trends.rates import rate_rows

    rows = [row for state in session.states() for row in rate_rows(state)]
    for state in states:
        yield ground_of(session, state.machine.id, rows)


def _wanted(session: "Session", machine: str | None) -> "Sequence[MachineState]":
    """Return the states of the whole fleet, or of the one machine that is named."""
    states = session.states()
    if not machine:
        return states
    named = tuple(s for s in states if machine.casefold() in {s.machine.id.casefold(), s.machine.name.casefold()})
    if not named:
        names = ", ".join(session.book.machine_ids) or "none yet"
        raise FieldlogError(f'No machine is called "{machine}". There are: {names}.')
    return named


def _apart_data(session: "Session", states: "Sequence[MachineState]") -> "Sequence[object]":
    from fieldlog.pages.readings import apart_data

    return apart_data([session.index(state.machine.id) for state in states])


def _print_apart(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.pages.readings import apart_report
    from fieldlog.sheets.printed import print_lines, to_print

    console, width = to_print()
    print_lines(apart_report([session.index(s.machine.id) for s in states], session.units, width), console)


def _season_data(session: "Session", states: "Sequence[MachineState]") -> "Mapping[str, object]":
    from fieldlog.app.seasons import fleet_season
    from fieldlog.sheets.other_data import season_data

    return season_data(fleet_season(session, states))


def _print_season(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.app.seasons import fleet_season
    from fieldlog.pages.lines import BLANK, heading
    from fieldlog.pages.season import season_lines
    from fieldlog.sheets.printed import print_lines, to_print

    console, width = to_print()
    season = fleet_season(session, states)
    rows = season_lines(season.season, season.machines, session.units, width)
    print_lines([BLANK, heading("The season"), *rows], console)


def _print_hitches(hitches: "Sequence[HitchCase]", units: "Units") -> None:
    from fieldlog.pages.hitch_numbers import hitch_rows
    from fieldlog.sheets.printed import print_lines, to_print

    console, width = to_print()
    print_lines(hitch_rows(hitches, units, width), console)


def _retrofit_data(session: "Session", states: "Sequence[MachineState]") -> "Mapping[str, object]":
    from fieldlog.app.retrofits import retrofits_of
    from fieldlog.sheets.retrofits import retrofit_data

    found = [retrofits_of(session, state.machine.id) for state in states]
    return {**retrofit_data(found, session.offers()), "opened_beside": beside_data(session, states)}


def _print_offers(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.app.retrofits import retrofits_of
    from fieldlog.sheets.printed import print_lines, to_print
    from fieldlog.sheets.retrofits import retrofit_lines

    console, width = to_print()
    found = [retrofits_of(session, state.machine.id) for state in states]
    print_lines(retrofit_lines(found, session.units, width), console)


def _print_budgets(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.sheets.printed import print_lines, to_print

    console, width = to_print()
    for rows in budget_rows(session, _grounds(session, states), width):
        print_lines(rows, console)


Sections = Iterator[tuple[str, Sequence[Number]]]


def budget_rows(session: "Session", grounds: "Iterable[Ground]", width: int) -> "Iterator[Sequence[Line]]":
    """Yield the printed budgets: each machine's numbers, then those of tools and gauge studies."""
    from fieldlog.pages.budget import budget_lines_of, opened_lines

    for ground in grounds:
        yield budget_lines_of(ground, session.units, width, machine_sections(session, ground.state))
    title = "Tools and gauge studies: what each number rests on"
    yield opened_lines(title, tool_sections(session), ({}, {}), session.units, width)


def machine_sections(session: "Session", state: MachineState) -> Sections:
    """Yield the sections of one machine: which pin, repairs of what is to be planned, hitch, offers."""
    yield from _joints(session, state)
    yield from _hitches(session, state)
    yield from _offers(session, state)


def tool_sections(session: "Session") -> Sections:
    """Yield the sections of the instruments and of the gauge studies."""
    from fieldlog.wear.numbers.instruments import instrument_numbers, study_numbers

    for instrument in session.logbook.instruments:
        yield shown_name(instrument), instrument_numbers(instrument, session.today())
    for study in session.studies():
        found = session.instruments.get(study.instrument)
        name = shown_name(found) if found is not None else study.instrument
        yield f"Gauge study of {day_text(study.date)}, {name}", study_numbers(study)


def _joints(session: "Session", state: MachineState) -> Sections:
    from fieldlog.retrofit.repair.numbers import repair_numbers
    from fieldlog.wear.numbers.sizes import evidence_numbers

    log = session.log(state.machine.id)
    for joint in state.joints:
        name = shown_name(joint.joint)
        yield f"{name}: which pin", evidence_numbers(joint, log)
        if joint.finding.verdict.rank >= Verdict.PLAN.rank:
            for hole in joint.holes:
                yield f"{name}, {shown_name(hole.hole)}: repair", repair_numbers(state, joint, hole)


def _hitches(session: "Session", state: MachineState) -> Sections:
    from fieldlog.retrofit.hitch.page_numbers import hitch_numbers
    from fieldlog.store.hitch_reader import read_cases

    for case in read_cases(session.folder, [state]):
        if case.is_measured:
            name = f"Hitch with {case.implement_name}" if case.implement_name else "Hitch"
            yield name, hitch_numbers(case.look, case.field, case.need)


def _offers(session: "Session", state: MachineState) -> Sections:
    """Yield each link's offers that are in the running, and their force and oil."""
    from fieldlog.app.retrofits import retrofits_of
    from fieldlog.retrofit.offers.numbers import offer_numbers
    from fieldlog.retrofit.offers.sense import OfferVerdict

    found = retrofits_of(session, state.machine.id)
    for job, order in found.links:
        link = shown_name(job.facts.link)
        for item in order:
            if item.verdict is OfferVerdict.NO:
                continue
            name = f"{item.offer.shown_name} in the place of {link}"
            yield name, offer_numbers(item, job)
            work = found.work.get((job.facts.link.id, item.offer.id))
            if work is not None:
                yield f"{name}: force and oil", work.numbers()


def beside_data(session: "Session", states: Sequence[MachineState]) -> list[Mapping[str, object]]:
    """Return pins and repairs opened up, as data; the rest stands with what it belongs to."""
    from fieldlog.sheets.trend_data import numbers_data

    return [
        {"machine": state.machine.id, "of": title, "numbers": numbers_data(numbers)}
        for state in states
        for title, numbers in _joints(session, state)
        if numbers
    ]
