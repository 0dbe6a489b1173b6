"""Everything that `fieldlog report` puts together, machine by machine, so that a large logbook fills no memory."""

import argparse
import io
import pickle
import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldlog.app.fleet import Fleet, fleet_of, problems_in
from fieldlog.app.library import Library, open_logbook
from fieldlog.errors import FieldlogError
from fieldlog.records.machine import shown_name

if TYPE_CHECKING:
    from fieldlog.pages.lines import Line
    from fieldlog.sheets.printed import Paper
    from fieldlog.wear.states import JointState, MachineState


def report(given: argparse.Namespace, folder: Path, *, ascii_only: bool) -> int:
    """Print the report that is asked for, of a logbook's folder."""
    if given.ascii and isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="ascii", errors="replace")  # so that marks and signs are printed as their twins
    book = open_logbook(folder)
    wanted = (book.find_machine(given.machine),) if given.machine else book.book.machine_ids
    if given.json:
        _print_data(book, wanted, given)
    elif given.joint:
        _print_joints(book, wanted, given.joint, ascii_only=ascii_only)
    else:
        _print_all(book, wanted, given, ascii_only=ascii_only)
    return 0


def _print_data(book: Library, wanted: Sequence[str], given: argparse.Namespace) -> None:
    from fieldlog.sheets.data import Asked, print_json, report_data

    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")  # JSON is UTF-8, whatever the terminal is
    is_whole = bool(given.budget or given.machine or given.joint)
    if given.joint:
        joints_called(book, wanted, given.joint)  # or it says that there is none
    print_json(report_data(book, Asked(wanted, given.joint or "", is_whole)))


def _print_joints(book: Library, wanted: Sequence[str], name: str, *, ascii_only: bool) -> None:
    """Print the sheet of each joint of that name or id; every machine's rates may be borrowed from."""
    from fieldlog.pages.lines import BLANK, heading
    from fieldlog.sheets.printed import joint_sheet, paper
    from fieldlog.wear.trends.rates import Beside

    called = joints_called(book, wanted, name)
    rows, out = fleet_of(book, book.book.machine_ids).rates(), paper()
    for state, joint in called:
        beside = Beside(state.machine.id, rows)
        out.put([heading(f"{shown_name(state.machine)}: {shown_name(joint.joint)}"), BLANK])
        out.put([*joint_sheet(joint, beside, book.units, out.width, ascii_only=ascii_only), BLANK])


def joints_called(book: Library, machine_ids: Sequence[str], name: str) -> "list[tuple[MachineState, JointState]]":
    """Return the joints of that name or id with their machines.

    Raises:
        FieldlogError: no joint is called so; the message lists those there are.
    """
    states = [state for state in book.each(machine_ids) if any(is_called(joint, name) for joint in state.joints)]
    if not states:
        known = [shown_name(joint.joint) for state in book.each(machine_ids) for joint in state.joints]
        raise FieldlogError(f'No joint is called "{name}". There are: {"; ".join(known) or "none yet"}.')
    return [(state, joint) for state in states for joint in state.joints if is_called(joint, name)]


def is_called(joint: "JointState", name: str) -> bool:
    """Tell whether a joint has that name or id."""
    return name.casefold() in {joint.joint.id.casefold(), shown_name(joint.joint).casefold()}


def _print_all(book: Library, wanted: Sequence[str], given: argparse.Namespace, *, ascii_only: bool) -> None:
    from fieldlog.sheets.printed import head_lines, paper, problem_lines, study_rows

    out, later = paper(), _Later()
    fleet = fleet_of(book, wanted, lambda state: later.add(book, state, out.width))
    out.put(head_lines(book.logbook, fleet, book.today(), out.width))
    for state in book.each(wanted):
        _print_machine(book, state, fleet, out, (bool(given.machine), ascii_only))
        del state  # or it would stay in memory while the next one is taken back
    out.put(problem_lines(len(problems_in(book, fleet))))
    if not given.machine:
        out.put(study_rows(book.studies(), book.logbook, out.width))
    else:
        _print_repairs(book, wanted, out)
    out.put(later.rows(book, out.width))
    if given.budget:
        from fieldlog.sheets.budget import budget_rows

        rates = fleet_of(book, book.book.machine_ids).rates() if given.machine else fleet.rates()
        for rows in budget_rows(book, wanted, rates, out.width):
            out.put(rows)


def _print_machine(book: Library, state: "MachineState", fleet: "Fleet", out: "Paper", how: tuple[bool, bool]) -> None:
    from fieldlog.sheets.printed import Whole, whole_machine
    from fieldlog.wear.shapes import machine_details

    details = machine_details(state, book.index(state.machine.id))
    out.put(whole_machine(Whole(state, fleet.rates(), details, *how), book.units, out.width))


def _print_repairs(book: Library, wanted: Sequence[str], out: "Paper") -> None:
    from fieldlog.pages.hole import machine_repairs

    for state in book.each(wanted):
        out.put(machine_repairs(state, book.units, out.width))


class _Later:
    """What is printed behind the machines, laid out while each is in memory and packed small until then."""

    def __init__(self) -> None:
        self._packed: dict[str, list[bytes]] = {}

    def _put(self, name: str, rows: "Iterable[Line]") -> None:
        if found := tuple(rows):
            self._packed.setdefault(name, []).append(pickle.dumps(found))

    def _rows(self, *names: str) -> "Iterator[Line]":
        for name in names:
            for packed in self._packed.get(name, ()):
                yield from pickle.loads(packed)

    def add(self, book: Library, state: "MachineState", width: int) -> None:
        """Lay out what there is of a machine."""
        from fieldlog.app.beside import cases_of
        from fieldlog.app.fleet import season_now
        from fieldlog.app.retrofits import retrofits_of
        from fieldlog.pages.readings import apart_report
        from fieldlog.pages.season import machine_season_lines, put_off_lines
        from fieldlog.sheets.retrofits import retrofit_lines

        units, machine_id = book.units, state.machine.id
        self._put("apart", apart_report([book.index(machine_id)], units, width))
        season = season_now(book, machine_id)
        self._put("put off", put_off_lines(season, width))
        self._put("season", machine_season_lines(season, units, width))
        cases = cases_of(book, machine_id)
        if cases:
            from fieldlog.pages.hitch_numbers import hitch_rows

            self._put("hitch", hitch_rows([case for case in cases if case.is_measured], units, width))
            self._put("unmeasured", hitch_rows([case for case in cases if not case.is_measured], units, width))
        self._put("offers", retrofit_lines([retrofits_of(book, machine_id)], units, width))

    def rows(self, book: Library, width: int) -> "Iterator[Line]":
        """Yield all of it in its order."""
        from fieldlog.pages.lines import BLANK, heading
        from fieldlog.pages.season import season_head
        from fieldlog.wear.season import season_of

        yield from self._rows("apart")
        yield from (BLANK, heading("The season"))
        yield from season_head(season_of(book.logbook, book.today()), tuple(self._rows("put off")), book.units, width)
        yield from self._rows("season", "hitch", "unmeasured", "offers")
