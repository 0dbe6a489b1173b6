"""The command line. Only what a command needs is imported, and the full screen only when it is shown."""

import argparse
import gc
import io
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog import __version__
from fieldlog.errors import FieldlogError

if TYPE_CHECKING:
    from fieldlog.records.quantities import Units
    from fieldlog.retrofit.cases import HitchCase
    from fieldlog.tui.session import Session
    from fieldlog.wear.page_numbers import Ground
    from fieldlog.wear.states import MachineState

_NO_TERMINAL = (
    "The logbook's screens need a terminal that they can draw on (over SSH: ssh -t). Without one these work: "
    "fieldlog report [FOLDER], fieldlog report --json, fieldlog check FOLDER."
)
_DUMB_TERMINALS = frozenset({"", "dumb", "unknown"})
_ASCII_TERMINALS = frozenset({"linux", "vt100", "vt220"})


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command and leave with its exit status; what the terminal's letters have no sign for becomes `?`."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    given = _parser().parse_args(arguments)
    try:
        status = int(given.run(given))
    except FieldlogError as error:
        print(f"fieldlog: {error}", file=sys.stderr)
        status = 2
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        status = 141
    except KeyboardInterrupt:
        status = 130
    sys.exit(status)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fieldlog",
        description="A field logbook for pin joints and hitch links. Without a command it opens the logbook on the "
        "screen: the one in this folder, else the one used last, else ~/fieldlog.",
    )
    parser.add_argument("--version", action="version", version=f"fieldlog {__version__}")
    _screen_options(parser)
    parser.set_defaults(run=_open_screens, folder=None, mouse=False, ascii=False)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _screen_command(commands.add_parser("open", help="open a logbook on the screen"), _open_screens, folder=True)
    _screen_command(commands.add_parser("demo", help="open a throwaway copy of the sample fleet"), _demo, folder=False)
    check = commands.add_parser(
        "check", help="list everything wrong in a logbook's files; exit status 1 if anything is"
    )
    check.add_argument("folder", metavar="FOLDER", type=Path)
    check.set_defaults(run=_check)
    report = commands.add_parser("report", help="print the findings; plain when piped")
    report.add_argument("folder", metavar="FOLDER", type=Path, nargs="?")
    report.add_argument("--machine", metavar="NAME", help="one machine only, by its name or folder")
    report.add_argument("--joint", metavar="NAME", help="one joint only, with its pictures, by its name or id")
    report.add_argument("--ascii", action="store_true", help="draw with plain ASCII only")
    report.add_argument("--budget", action="store_true", help="open every number to its doubt and its readings")
    report.add_argument("--json", action="store_true", help="everything as data")
    report.set_defaults(run=_report)
    offers = commands.add_parser("offers", help="take cylinders on offer from a CSV file into a logbook")
    offers.add_argument("file", metavar="FILE.csv", type=Path)
    offers.add_argument("folder", metavar="FOLDER", type=Path, nargs="?")
    offers.add_argument("--update", action="store_true", help="change the figures of offers that are there already")
    offers.set_defaults(run=_offers)
    return parser


def _screen_command(parser: argparse.ArgumentParser, run: object, *, folder: bool) -> None:
    if folder:
        parser.add_argument("folder", metavar="FOLDER", type=Path, nargs="?")
    _screen_options(parser)
    parser.set_defaults(run=run)


def _screen_options(parser: argparse.ArgumentParser) -> None:
    """Take the options of the screens, before a command as well as behind it."""
    left_alone = argparse.SUPPRESS  # a command's default would undo what stood before the command
    mouse = "take the mouse too (every movement costs bytes)"
    parser.add_argument("--mouse", action="store_true", default=left_alone, help=mouse)
    parser.add_argument("--ascii", action="store_true", default=left_alone, help="draw with plain ASCII only")


def _needs_terminal() -> bool:
    """Say what is missing where the full screen cannot be shown."""
    usable = sys.stdin.isatty() and sys.stderr.isatty() and os.environ.get("TERM", "") not in _DUMB_TERMINALS
    if not usable:
        print(f"fieldlog: {_NO_TERMINAL}", file=sys.stderr)
    return not usable


def _open_screens(given: argparse.Namespace) -> int:
    if _needs_terminal():
        return 2
    from fieldlog.tui.places import find_logbook

    folder = given.folder or find_logbook()
    if folder is not None and not (folder / "logbook.toml").is_file():
        raise FieldlogError(f"{folder} holds no logbook.toml; give the folder of a logbook, or none to start one.")
    return _run(folder.absolute() if folder is not None else None, given, is_demo=False)


def _demo(given: argparse.Namespace) -> int:
    if _needs_terminal():
        return 2
    from fieldlog.store.demo import throwaway_copy

    with throwaway_copy() as folder:
        return _run(folder, given, is_demo=True)


def _run(folder: Path | None, given: argparse.Namespace, *, is_demo: bool) -> int:
    from fieldlog.tui import quiet
    from fieldlog.tui.ahead import read_ahead

    gc.disable()  # nothing made while starting is thrown away; the app switches it on once it has drawn
    ahead = read_ahead(folder, is_demo=is_demo) if folder is not None else None
    quiet.prepare()
    from fieldlog.tui.alt_apart import take_alt_apart
    from fieldlog.tui.app import LogbookApp
    from fieldlog.tui.hangup import remember_terminal
    from fieldlog.tui.places import remember, usual_place

    take_alt_apart()
    remember_terminal()
    if folder is not None and not is_demo:
        remember(folder)
    ascii_only = _draws_ascii(given, sys.stderr.encoding) or os.environ.get("TERM", "") in _ASCII_TERMINALS
    app = LogbookApp(folder, new_folder=usual_place(), is_demo=is_demo, ascii_only=ascii_only, ahead=ahead)
    app.run(mouse=given.mouse)
    status = app.return_code or 0
    if status == 1:
        where = f" in {folder}" if folder is not None else ""
        print(f"fieldlog: the program failed; every reading that was accepted is on disk{where}.", file=sys.stderr)
    return status


def _draws_ascii(given: argparse.Namespace, encoding: str | None) -> bool:
    return bool(given.ascii) or (encoding or "").lower().replace("-", "") != "utf8"


def _logbook_folder(given: argparse.Namespace) -> Path:
    from fieldlog.tui.places import find_logbook

    folder: Path | None = given.folder or find_logbook()
    if folder is None:
        raise FieldlogError("There is no logbook here or in ~/fieldlog; give its folder as the last word.")
    return folder


def _check(given: argparse.Namespace) -> int:
    import datetime

    from fieldlog.store.reader import check_logbook

    problems = check_logbook(given.folder, datetime.datetime.now().astimezone().date())
    for problem in problems:
        print(problem.sentence())
    return 1 if problems else 0


def _offers(given: argparse.Namespace) -> int:
    from fieldlog.store.offer_import import import_offers

    done = import_offers(_logbook_folder(given), given.file, is_update=given.update)
    for heading in done.unused:
        print(f'The column "{heading}" is not used.')
    if done.problems:
        for problem in done.problems:
            print(problem.sentence())
        print("Nothing was written.")
        return 1
    for word, names in (("Added", done.added), ("Changed", done.changed), ("There already, the same", done.same)):
        if names:
            print(f"{word}: {', '.join(names)}.")
    return 0


def _report(given: argparse.Namespace) -> int:
    from fieldlog.store.hitch_cases import read_cases
    from fieldlog.tui.beside import beside_problems
    from fieldlog.tui.session import Session
    from fieldlog.wear.details import machine_details

    session = Session(_logbook_folder(given))
    states = _wanted(session, given.machine)
    problems = (*session.problems(), *beside_problems(session))
    studies = () if given.machine else session.studies()
    details = {s.machine.id: machine_details(s, session.index(s.machine.id)) for s in states}
    hitches = read_cases(session.folder, states)
    if given.json:
        from fieldlog.report.data import print_json, report_data
        from fieldlog.report.hitch_data import hitches_data
        from fieldlog.report.number_data import opened_data

        data = report_data(session.logbook, states, problems, session.today(), studies, details)
        found = {**data, "hitches": hitches_data(hitches), **_retrofit_data(session, states)}
        opened, apart = opened_data(_grounds(session, states)), _apart_data(session, states)
        extra = {"season": _season_data(session, states), "opened": opened, "stand_apart": apart}
        if isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(encoding="utf-8")  # JSON is UTF-8, whatever the terminal is
        print_json({**found, **extra})
        return 0
    from fieldlog.report.printed import Sheet, print_report

    if given.joint:
        from fieldlog.report.joint_sheet import print_joints

        every, ascii_only = session.states(), _draws_ascii(given, sys.stdout.encoding)
        print_joints(given.joint, states, every, session.units, ascii_only=ascii_only)
        return 0
    is_one, ascii_only = bool(given.machine), _draws_ascii(given, sys.stdout.encoding)
    print_report(Sheet(session.logbook, states, problems, session.today(), studies, details, is_one, ascii_only))
    _print_apart(session, states)
    _print_season(session, states)
    _print_hitches(hitches, session.units)
    _print_offers(session, states)
    if given.budget:
        _print_budgets(session, states)
    return 0


def _grounds(session: "Session", states: "Sequence[MachineState]") -> "Iterator[Ground]":
    from fieldlog.tui.seasons import ground_of
    from fieldlog.wear.rates import rate_rows

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
    from fieldlog.report.apart_report import apart_data

    return apart_data([session.index(state.machine.id) for state in states])


def _print_apart(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.report.apart_report import apart_report
    from fieldlog.report.printed import print_lines, to_print

    console, width = to_print()
    print_lines(apart_report([session.index(s.machine.id) for s in states], session.units, width), console)


def _season_data(session: "Session", states: "Sequence[MachineState]") -> "Mapping[str, object]":
    from fieldlog.report.season_data import season_data
    from fieldlog.tui.seasons import fleet_season

    return season_data(fleet_season(session, states))


def _print_season(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.report.lines import BLANK, heading
    from fieldlog.report.printed import print_lines, to_print
    from fieldlog.report.season_view import season_lines
    from fieldlog.tui.seasons import fleet_season

    console, width = to_print()
    season = fleet_season(session, states)
    rows = season_lines(season.season, season.machines, session.units, width)
    print_lines([BLANK, heading("The season"), *rows], console)


def _print_hitches(hitches: "Sequence[HitchCase]", units: "Units") -> None:
    from fieldlog.report.hitch_report import hitch_rows
    from fieldlog.report.printed import print_lines, to_print

    console, width = to_print()
    print_lines(hitch_rows(hitches, units, width), console)


def _retrofit_data(session: "Session", states: "Sequence[MachineState]") -> "Mapping[str, object]":
    from fieldlog.report.retrofit_report import retrofit_data
    from fieldlog.tui.opened_sections import beside_data
    from fieldlog.tui.retrofit_work import retrofits_of

    found = [retrofits_of(session, state.machine.id) for state in states]
    return {**retrofit_data(found, session.offers()), "opened_beside": beside_data(session, states)}


def _print_offers(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.report.printed import print_lines, to_print
    from fieldlog.report.retrofit_report import retrofit_lines
    from fieldlog.tui.retrofit_work import retrofits_of

    console, width = to_print()
    found = [retrofits_of(session, state.machine.id) for state in states]
    print_lines(retrofit_lines(found, session.units, width), console)


def _print_budgets(session: "Session", states: "Sequence[MachineState]") -> None:
    from fieldlog.report.printed import print_lines, to_print
    from fieldlog.tui.opened_sections import budget_rows

    console, width = to_print()
    for rows in budget_rows(session, _grounds(session, states), width):
        print_lines(rows, console)
