"""The findings printed or as data: everything that `fieldlog report` puts together."""

import argparse
import io
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.errors import FieldlogError

if TYPE_CHECKING:
    from fieldlog.app.session import Session
    from fieldlog.quantity.lengths import Units
    from fieldlog.records.problems import Problem
    from fieldlog.records.study import Study
    from fieldlog.retrofit.hitch.field import HitchCase
    from fieldlog.sheets.printed import Details
    from fieldlog.wear.numbers.page import Ground
    from fieldlog.wear.states import MachineState


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
    from fieldlog.sheets.opened import beside_data
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
    from fieldlog.sheets.opened import budget_rows
    from fieldlog.sheets.printed import print_lines, to_print

    console, width = to_print()
    for rows in budget_rows(session, _grounds(session, states), width):
        print_lines(rows, console)
