"""Every number opened up to be printed or as data: wear over time, pins, repairs, the hitch, offers, tools, studies."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from fieldlog.quantity.page_number import Number
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import shown_name
from fieldlog.wear.states import MachineState
from fieldlog.wear.verdicts import Verdict

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook
    from fieldlog.pages.lines import Line
    from fieldlog.wear.summary import RateRow

Sections = Iterator[tuple[str, Sequence[Number]]]


def budget_rows(
    book: "OpenLogbook", machine_ids: Sequence[str], rates: "Sequence[RateRow]", width: int
) -> "Iterator[Sequence[Line]]":
    """Yield the printed budgets: each machine's numbers, then those of tools and gauge studies.

    `rates` are those of the whole fleet, which joints with few readings borrow from.
    """
    from fieldlog.app.fleet import ground_of
    from fieldlog.pages.budget import budget_lines_of, opened_lines

    for state in book.each(machine_ids):
        ground = ground_of(book, state.machine.id, rates)
        yield budget_lines_of(ground, book.units, width, machine_sections(book, state))
    title = "Tools and gauge studies: what each number rests on"
    yield opened_lines(title, tool_sections(book), ({}, {}), book.units, width)


def machine_sections(book: "OpenLogbook", state: MachineState) -> Sections:
    """Yield the sections of one machine: which pin, repairs of what is to be planned, hitch, offers."""
    yield from pin_and_repair_sections(book, state)
    yield from _hitches(book, state)
    yield from _offers(book, state)


def tool_sections(book: "OpenLogbook") -> Sections:
    """Yield the sections of the instruments and of the gauge studies."""
    from fieldlog.wear.numbers.instruments import instrument_numbers, study_numbers

    for instrument in book.logbook.instruments:
        yield shown_name(instrument), instrument_numbers(instrument, book.today())
    for study in book.studies():
        found = book.instruments.get(study.instrument)
        name = shown_name(found) if found is not None else study.instrument
        yield f"Gauge study of {day_text(study.date)}, {name}", study_numbers(study)


def pin_and_repair_sections(book: "OpenLogbook", state: MachineState) -> Sections:
    """Yield which pin each joint has, and the repairs of what is to be planned."""
    from fieldlog.pages.hole import opened_repair
    from fieldlog.wear.numbers.sizes import evidence_numbers

    log = book.log(state.machine.id)
    for joint in state.joints:
        name = shown_name(joint.joint)
        yield f"{name}: which pin", evidence_numbers(joint, log)
        if joint.finding.verdict.rank >= Verdict.PLAN.rank:
            for hole in joint.holes:
                yield f"{name}, {shown_name(hole.hole)}: repair", opened_repair(state, joint, hole)


def _hitches(book: "OpenLogbook", state: MachineState) -> Sections:
    from fieldlog.app.beside import cases_of
    from fieldlog.pages.hitch_numbers import opened_hitch

    for case in cases_of(book, state.machine.id):
        if case.is_measured:
            name = f"Hitch with {case.implement_name}" if case.implement_name else "Hitch"
            yield name, opened_hitch(case.look, case.field, case.need, book.units)


def _offers(book: "OpenLogbook", state: MachineState) -> Sections:
    """Yield each link's offers that are in the running, and their force and oil."""
    from fieldlog.app.retrofits import retrofits_of
    from fieldlog.pages.offers import opened_offer, opened_work
    from fieldlog.retrofit.offers.sense import OfferVerdict

    found = retrofits_of(book, state.machine.id)
    for job, order in found.links:
        link = shown_name(job.facts.link)
        for item in order:
            if item.verdict is OfferVerdict.NO:
                continue
            name = f"{item.offer.shown_name} in the place of {link}"
            yield name, opened_offer(item, job, book.units)
            work = found.work.get((job.facts.link.id, item.offer.id))
            if work is not None:
                yield f"{name}: force and oil", opened_work(work, book.units)
