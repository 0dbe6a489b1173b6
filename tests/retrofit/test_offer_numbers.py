"""An offer opened up: every number of its page is there, its parts add up, and what stands behind it is said."""

import math

import pytest

from fieldlog.app.beside import hitch_setups
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.pages.budget import number_lines
from fieldlog.pages.offers import opened_offer
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.hitch import Hitch, HitchParts
from fieldlog.retrofit.offers.compare import Compared, Job, compare_all, job_of
from fieldlog.retrofit.offers.corners import setups_of
from fieldlog.retrofit.offers.link_facts import EndOfLink, LinkEnd
from fieldlog.retrofit.offers.numbers import offer_numbers
from fieldlog.retrofit.offers.pins import Eye, width_point
from fieldlog.retrofit.offers.sense import Check, CylinderEnd, Level, calipered, figures_of
from fieldlog.store.files import sample_folder
from fieldlog.store.hitch_reader import read_implements_file
from tests.retrofit.offers import figure_of, offer, spoken, top_link, topic


@pytest.fixture(scope="module")
def session() -> OpenLogbook:
    """The sample fleet."""
    return OpenLogbook(sample_folder())


def compared(session: OpenLogbook, link: str) -> tuple[Job, tuple[Compared, ...]]:
    job = job_of(session.state("hill-tractor"), link, hitch_setups(session, "hill-tractor"))
    assert job is not None
    return job, compare_all(job, session.offers())


@pytest.mark.parametrize("link", ["top-link", "lift-rod"])
def test_every_offer_opens_and_its_parts_add_up(session: OpenLogbook, link: str) -> None:
    """The squares of the parts make the square of the whole, and every reading named is on file."""
    job, order = compared(session, link)
    keys = {entry.key for entry in session.log("hill-tractor").entries}
    for item in order:
        numbers = opened_offer(item, job, "mm")
        assert len({number.word for number in numbers}) == len(numbers)
        for number in numbers:
            figure = figure_of(number)
            assert math.fsum(part.u**2 for part in figure.parts) == pytest.approx(figure.u**2)
            assert set(number.keys) <= keys
            assert number.keys or number.typed


def test_gap_to_the_link_rests_on_the_seller_and_the_tape(session: OpenLogbook) -> None:
    """23 in as stated less the link as taped: both are named, and the tape's readings are behind it."""
    job, order = compared(session, "top-link")
    item = next(item for item in order if item.offer.id == "b-203-ball")
    number = next(number for number in opened_offer(item, job, "mm") if number.word == "closed to the link")
    report = next(report for report in job.state.links if report.link.id == "top-link")
    assert report.closed is not None
    assert report.closed.centres is not None
    figure = figure_of(number)
    assert figure.value == pytest.approx(23 * 25.4 - report.closed.centres.value)
    assert number.keys == report.closed.keys
    assert {part.name.partition(": ")[0] for part in figure.parts} == {"offer, closed", "link closed"}
    assert any("as the seller states" in text for text in number.typed)
    said = next(spoken(check) for check in item.points if topic(check) == "closed end, link")
    assert f"{figure.value:.1f} ± {figure.expanded:.1f} mm" in said


def test_in_hand_to_the_need_opens_to_the_hitchs_figures(session: OpenLogbook) -> None:
    """What narrows it most is a figure of the hitch, and it is said in one line."""
    job, order = compared(session, "top-link")
    number = opened_offer(order[0], job, "mm")[0]
    assert number.word == "closed to the need"
    names = {part.name.partition(": ")[0] for part in figure_of(number).parts}
    assert {"lower link, pivot to ball", "mast", "offer, closed"} <= names
    assert "top link" not in names  # the length needed does not rest on the link that is there
    text = " ".join(row.text.strip() for row in number_lines(number, {}, {}, "mm", 78))
    assert "Narrowed most by lower link pivot, behind the axle" in text
    assert "smaller parts together" in text


def test_a_gap_carries_the_doubt_of_its_own_measuring() -> None:
    """44.9 mm of eye by the seller (± 0.1) in 45.00 mm by a caliper (± 0.05): 0.1 is within both together."""
    figures = figures_of(offer("x", cap_end_width="44.9 mm"))
    eye = Eye(CylinderEnd.CAP, None, width=figures["cap_end_width"])

    def in_a_gap(mm: str) -> Check | None:
        end = LinkEnd(EndOfLink.TRACTOR, (), calipered(parse_length(mm), whose="gap"))
        facts = top_link(ends=(end, LinkEnd(EndOfLink.IMPLEMENT, ())))
        return width_point(eye, end, offer_numbers(figures, facts, None, CylinderEnd.CAP))

    point = in_a_gap("45.00 mm")
    assert point is not None
    assert point.level is Level.ASK
    fits = in_a_gap("45.20 mm")
    assert fits is not None
    assert fits.level is Level.GOOD


def test_the_hitch_behind_an_offer_opens_under_each_implement(session: OpenLogbook) -> None:
    """Pitch, least rooms and PTO shaft with the offer in the link's place; the page says the rooms with that doubt."""
    job, order = compared(session, "top-link")
    item = next(item for item in order if item.offer.id == "b-203-ball")
    numbers = {number.word: number for number in opened_offer(item, job, "mm")}
    room = figure_of(numbers["tyre, least, Power rake"])
    said = next(spoken(check) for check in item.points if topic(check) == "room to the tyre, Power rake")
    assert f"{room.value:.0f} ± {room.expanded:.0f} mm away" in said
    assert "pitch closed, balls 300 mm, Power rake" in numbers
    assert "PTO joint, steepest, Power rake" in numbers
    assert any(
        "offer, closed" in part.name for part in figure_of(numbers["pitch closed, balls 830 mm, Box blade"]).parts
    )


def test_a_hole_named_by_its_pin_has_the_room_of_a_new_joint(session: OpenLogbook) -> None:
    """3/4 in for a hole means the pin: 0.2 to 1.0 mm of room, since nobody measured the hole."""
    job, order = compared(session, "top-link")
    item = next(item for item in order if item.offer.id == "b-203-ball")
    numbers = {number.word: figure_of(number) for number in opened_offer(item, job, "mm")}
    room = numbers["room on the pin at the tractor end"]
    assert room.value == pytest.approx(0.6)
    assert room.parts[0].source == "± 0.4 mm, clearance when new"


def test_a_doubt_from_usual_figures_asks_for_the_hitch_not_the_offer() -> None:
    """With the category alone most of the doubt is a usual figure, and that is what to measure first."""
    state = OpenLogbook(sample_folder()).state("hill-tractor")
    implements = read_implements_file(sample_folder()).implements
    parts = HitchParts(Hitch(lower_link=parse_length("790 mm")))
    job = job_of(state, "top-link", setups_of(state, parts, implements))
    assert job is not None
    (item,) = compare_all(job, [offer("x", "585 mm", "790 mm", "205 mm")])
    said = next(spoken(check) for check in item.points if topic(check) == "closed end, need")
    assert "first measure lower link pivot, behind the axle on the hitch" in said
