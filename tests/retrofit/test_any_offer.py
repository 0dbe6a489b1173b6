"""Whatever a seller writes: a verdict with a reason, never a NaN, and the same points however offers are ordered."""

import itertools
import math
from functools import cache

import pytest
from hypothesis import given, seed, settings
from hypothesis import strategies as st

from fieldlog.app.beside import hitch_setups
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.pages.budget import number_lines
from fieldlog.pages.offers import opened_offer, opened_work
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.hitch import Hydraulics
from fieldlog.records.machine import Link
from fieldlog.records.offer import FIGURE_KEYS, Offer
from fieldlog.retrofit.hitch.setup import HitchSetup
from fieldlog.retrofit.offers.compare import compare, compare_all, job_of, ranked, why_after
from fieldlog.retrofit.offers.corners import hitch_checks
from fieldlog.retrofit.offers.demand import demand_of, work_of
from fieldlog.retrofit.offers.on_hitch import wanted_of
from fieldlog.retrofit.offers.sense import Level, OfferVerdict
from fieldlog.store.files import sample_folder
from fieldlog.store.hitch_reader import read_hydraulics_file
from fieldlog.wear.states import MachineState
from fieldlog.words.speak import say
from tests.published.test_cylinder_offers import CAB_TRACTOR
from tests.retrofit.offers import figure_of, spoken, taped, top_link

LENGTHS = st.integers(150, 1200).map(lambda mm: parse_length(f"{mm} mm"))
SIZES = st.integers(0, 900).map(lambda tenths: parse_length(f"{tenths / 10:.1f} mm"))
REST = {key: LENGTHS if key == "stroke" else SIZES for key in FIGURE_KEYS if key not in {"closed", "open"}}
FIGURES = st.fixed_dictionaries({}, optional={"closed": LENGTHS, "open": LENGTHS, **REST}) | st.fixed_dictionaries(
    {
        "closed": st.integers(400, 620).map(lambda mm: parse_length(f"{mm} mm")),
        "open": st.integers(621, 900).map(lambda mm: parse_length(f"{mm} mm")),
    },
    optional={key: SIZES for key in REST if key != "stroke"},
)
ENDS = st.sampled_from([None, "cross tube", "clevis", "ball", "swivel", "plain eye"])


@settings(max_examples=40, deadline=None)
@given(figures=st.lists(FIGURES, min_size=2, max_size=3), end=ENDS, units=st.sampled_from(["mm", "in"]))
def test_any_offer_has_a_verdict_and_a_reason(figures: list[dict[str, object]], end: object, units: str) -> None:
    """With a need, corners and a shaft, and as a lift rod; the best is never worse than the others."""
    offers = [Offer(id=f"o{n}", rod_end=end, **given) for n, given in enumerate(figures)]  # type: ignore[arg-type]
    rod = top_link(link=Link("rod", position="lift rod"), other_rod=taped(475.6), mast=None)
    for facts, wanted in ((top_link(as_set=taped(654)), wanted_of(CAB_TRACTOR)), (rod, None)):
        found = ranked([compare(one, facts, wanted, lambda at: hitch_checks(CAB_TRACTOR, at)) for one in offers])
        assert [item.verdict.rank for item in found] == sorted(item.verdict.rank for item in found)
        for before, item in itertools.pairwise(found):
            assert say(why_after(before, item), units)  # type: ignore[arg-type] # mm or in
        for item in found:
            text = " ".join(spoken(check, units) for check in item.points)  # type: ignore[arg-type]
            assert "nan" not in text.lower().split()
            assert spoken(item.worst)
            assert item.verdict in OfferVerdict
            if not item.sense.has_range:
                assert item.verdict in {OfferVerdict.UNCLEAR, OfferVerdict.NO}


@cache
def hill_tractor() -> tuple[MachineState, tuple[HitchSetup, ...], Hydraulics]:
    """The sample's measured tractor with both implements and its hydraulics."""
    session = OpenLogbook(sample_folder())
    found = read_hydraulics_file(session.folder, "hill-tractor")
    return session.state("hill-tractor"), hitch_setups(session, "hill-tractor"), found


@seed(23)
@settings(max_examples=25, deadline=None)
@given(figures=FIGURES, end=ENDS, link=st.sampled_from(["top-link", "lift-rod"]))
def test_any_offer_opens(figures: dict[str, object], end: object, link: str) -> None:
    """Every number on the page and of force and oil: finite, each under a word of its own, parts adding up."""
    state, setups, hydraulics = hill_tractor()
    offer = Offer(id="o", rod_end=end, **figures)  # type: ignore[arg-type] # lengths by name
    job = job_of(state, link, setups, hydraulics)
    assert job is not None
    (item,) = compare_all(job, [offer])
    position = job.facts.link.position
    work = work_of(offer, item.sense.figures, hydraulics, demand_of(setups, position), position)
    assert item.work is not None
    assert item.work.points == work.points
    assert {check for check in work.points if check.level is Level.NO} <= set(item.points)
    for numbers in (opened_offer(item, job, "mm"), opened_work(work, "mm")):
        assert len({number.word for number in numbers}) == len(numbers)
        for number in numbers:
            figure = figure_of(number)
            assert math.isfinite(figure.value)
            assert math.isfinite(figure.expanded)
            squares = math.fsum(part.u**2 for part in figure.parts)
            assert squares == pytest.approx(figure.u**2, abs=1e-12)
            assert number_lines(number, {}, {}, "in", 58)
