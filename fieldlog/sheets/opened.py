"""What is not wear over time, opened up to be printed: pins, repairs, the hitch, offers, tools, gauge studies."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from fieldlog.quantity.dates import day_text
from fieldlog.quantity.page_number import Number
from fieldlog.records.machine import shown_name
from fieldlog.wear.states import MachineState
from fieldlog.wear.verdicts import Verdict

if TYPE_CHECKING:
    from fieldlog.app.session import Session
    from fieldlog.pages.lines import Line
    from fieldlog.wear.numbers.page import Ground

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
