"""A hitch put together from the sample's files, the answers with their doubt, and what keys change."""

import math
import random
from dataclasses import replace
from functools import cache
from typing import get_args

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.source import Source, Term
from fieldlog.records.hitch import HitchParts, Implements
from fieldlog.records.machine import HitchCategory, Machine
from fieldlog.retrofit.carried import Given, carried, values_of
from fieldlog.retrofit.hitch.field import FieldLook, field_look, need_look, tilt_need, with_ranges
from fieldlog.retrofit.hitch.forces import TopLinkForces
from fieldlog.retrofit.hitch.look import Knob, first_setting, heights_of, kept_within, knobs, look, turned
from fieldlog.retrofit.hitch.plane import CannotReach, Pose, pitch_deg
from fieldlog.retrofit.hitch.setup import HitchSetup, LinkRange, figures_for, linkage_of, setup_of, usual_names
from fieldlog.standards.hitch import HITCH_CATEGORIES, usual_hitch
from fieldlog.store.files import sample_folder
from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file
from fieldlog.words.speak import say


def taped_at(mm: float, u_mm: float, name: str) -> Given:
    source = Source(f"{name}/tape", "setting", label="tape", whose=name, why="a test's", of=name)
    return Given(mm, (Term(source, u_mm),), name, id=name)


LINK = LinkRange("Top link", taped_at(560, 0.5, "closed"), taped_at(812, 0.5, "open"))


@cache
def sample(implement: str = "power-rake") -> HitchSetup:
    """The sample's measured tractor with an implement and the example's manual link."""
    parts = read_hitch_file(sample_folder(), "hill-tractor").parts
    implements = read_implements_file(sample_folder()).implements
    setup = setup_of(Machine("hill-tractor", hitch_category="1"), parts, implements, implement, ())
    assert setup is not None
    return with_ranges(setup, (LINK,))


def test_sample_is_the_worked_example_as_a_person_types_it() -> None:
    """Mast upright at 300 mm with the link at 654.0; at 830 it leans 13.6 degrees nose down (worked example)."""
    setting = first_setting(sample())
    assert setting.top_link_mm == pytest.approx(654.0, abs=0.051)
    high = look(sample(), replace(setting, height_mm=830))
    assert not isinstance(high.pitch, CannotReach)
    assert high.pitch.value == pytest.approx(-13.6, abs=0.051)
    assert isinstance(high.top_link, TopLinkForces)
    assert high.top_link.carried_kn == pytest.approx(3.93, abs=0.0051)


def test_sample_needs_the_lengths_of_the_worked_example() -> None:
    """590 to 718 mm for eight degrees each way, 580 to 728 with reserve, and most of the doubt is a few mm."""
    need = need_look(sample(), first_setting(sample()))
    assert need is not None
    assert not isinstance(need.need, CannotReach)
    assert not isinstance(need.shortest, CannotReach)
    assert (need.need.shortest_mm, need.need.longest_mm) == pytest.approx((590, 718), abs=0.51)
    assert 2 < need.shortest.plus_minus < 10


def test_sample_front_hole_lifts_as_in_the_worked_example() -> None:
    """143 to 863 mm in the front hole for 200 to 843 in the other; the lift arm turns as far as it did then."""
    setup = sample()
    highest = replace(setup.figures["ball_highest"], value=843.0)
    setup = replace(setup, figures={**setup.figures, "ball_highest": highest})
    front = next(number for number, hole in enumerate(setup.rod_holes) if hole.id == "front")
    heights = heights_of(setup, replace(first_setting(setup), rod_hole=front))
    assert heights == pytest.approx((143, 863), abs=0.51)


def test_a_kept_hole_lifts_as_it_was_foretold() -> None:
    """The rod moved to its front hole, the heights still those taped in the other: 143 to 863 mm as when tried."""
    parts = read_hitch_file(sample_folder(), "hill-tractor").parts
    assert parts.hitch is not None
    moved = replace(parts.hitch, rod_hole="front", heights_hole="middle", ball_highest=parse_length("843 mm"))
    implements = read_implements_file(sample_folder()).implements
    setup = setup_of(
        Machine("hill-tractor", hitch_category="1"), replace(parts, hitch=moved), implements, "power-rake", ()
    )
    assert setup is not None
    assert setup.rod_holes[setup.start[2]].id == "front"
    assert heights_of(setup, first_setting(setup)) == pytest.approx((143, 863), abs=0.51)
    back = next(number for number, hole in enumerate(setup.rod_holes) if hole.id == "middle")
    assert heights_of(setup, replace(first_setting(setup), rod_hole=back)) == pytest.approx((200, 843))


def test_doubt_is_that_of_a_simulation() -> None:
    """Pitch and its standard uncertainty against 4000 draws of all the figures, seeded (JCGM 101: propagation)."""
    setup = sample()
    setting = replace(first_setting(setup), height_mm=600)
    figures = figures_for(setup, setting)
    found = carried(lambda values: pitch_deg(linkage_of(values), 600), figures, "deg")
    assert not isinstance(found, CannotReach)
    dice = random.Random(41)
    draws = []
    for _ in range(4000):
        values = {key: figure.value + dice.gauss(0, figure.u) for key, figure in figures.items()}
        drawn = pitch_deg(linkage_of(values), 600)
        assert isinstance(drawn, float)
        draws.append(drawn)
    mean = math.fsum(draws) / len(draws)
    spread = math.sqrt(math.fsum((drawn - mean) ** 2 for drawn in draws) / (len(draws) - 1))
    assert found.value == pytest.approx(mean, abs=0.05)
    assert found.u == pytest.approx(spread, rel=0.05)


def test_doubt_names_the_figure_it_comes_from() -> None:
    """One figure far less sure than the others."""
    figures = figures_for(sample(), first_setting(sample()))
    figures["bracket_up"] = taped_at(figures["bracket_up"].mm, 20.0, figures["bracket_up"].name)
    found = carried(lambda values: pitch_deg(linkage_of(values), 800), figures)
    assert not isinstance(found, CannotReach)
    assert found.most_from == "top link hole, height"


def test_answer_out_of_reach_stays_a_miss() -> None:
    """Nothing is averaged over what cannot be pinned."""
    figures = figures_for(sample(), replace(first_setting(sample()), top_link_mm=100))
    assert isinstance(carried(lambda values: pitch_deg(linkage_of(values), 300), figures), CannotReach)


@pytest.mark.parametrize("category", get_args(HitchCategory))
def test_every_category_has_a_usual_hitch_that_works(category: HitchCategory) -> None:
    """All of it usual and marked so; it can be pinned, lifts over its range, and has the category's mast and span."""
    setup = setup_of(Machine("m", hitch_category=category), HitchParts(), Implements(), "", ())
    assert setup is not None
    setting = first_setting(setup)
    found = look(setup, setting)
    assert isinstance(found.pose, Pose)
    assert isinstance(found.arm_deg, float)
    assert len(usual_names(found.figures)) == len(found.figures) - 1  # all but the link that is tried
    assert usual_hitch(category)["mast"].mm == float(HITCH_CATEGORIES[category].mast_height.mm)
    for step in range(11):
        low, high = usual_hitch(category)["ball_lowest"].mm, usual_hitch(category)["ball_highest"].mm
        height = low + (high - low) * step / 10
        assert isinstance(look(setup, replace(setting, height_mm=height)).pose, Pose)


def test_usual_span_keeps_the_identity_of_shoulders_and_balls() -> None:
    """683 + 35 = 718, and the same for 870 and 1010 (trade tables)."""
    assert usual_hitch("1")["ball_span"].mm == 683 + 35 == 718
    assert usual_hitch("2")["ball_span"].mm == 825 + 45 == 870
    assert usual_hitch("3")["ball_span"].mm == 965 + 45 == 1010
    assert usual_hitch("2N")["ball_span"].mm == 683 + 45


def test_machine_without_hitch_has_none() -> None:
    """A loader: no category, nothing measured."""
    assert setup_of(Machine("loader"), HitchParts(), Implements(), "", ()) is None


def test_measured_figures_are_not_called_usual() -> None:
    """The sample's tractor is measured throughout; without its file everything is usual."""
    assert usual_names(look(sample(), first_setting(sample())).figures) == ()
    bare = setup_of(Machine("m", hitch_category="1"), HitchParts(), Implements(), "", ())
    assert bare is not None
    assert "lower link, pivot to ball" in usual_names(look(bare, first_setting(bare)).figures)


def test_whole_field_finds_the_worst_between_the_corners() -> None:
    """The tyre's worst is not at a corner of the link's range, and no corner is worse than what is found."""
    found = field_look(sample(), first_setting(sample()))
    assert isinstance(found, FieldLook)
    for corner in found.corners:
        assert corner.worst is not None
        least = next(w for w in found.least if w.clearance.obstacle == corner.worst.obstacle)
        assert least.clearance.room_mm <= corner.worst.room_mm + 0.01
    tyre = next(w for w in found.least if w.clearance.obstacle == "tyre")
    assert LINK.closed.mm < tyre.length_mm < LINK.open.mm


def test_no_link_taped_means_no_field() -> None:
    """Its corners are not guessed."""
    bare = replace(sample(), ranges=())
    assert field_look(bare, first_setting(bare)) is None


def test_stroke_for_the_roll_wanted_in_each_hole() -> None:
    """Six degrees each way: least stroke in the hole nearest the tractor."""
    strokes = {found.hole: found.stroke_mm for found in tilt_need(look(sample(), first_setting(sample())))}
    front, middle, rear = (strokes[f"{name} hole"] for name in ("front", "middle", "rear"))
    assert isinstance(front, float)
    assert isinstance(middle, float)
    assert isinstance(rear, float)
    assert front < middle < rear


@pytest.mark.parametrize("knob", get_args(Knob))
def test_every_knob_stays_within_what_the_hitch_can_do(knob: Knob) -> None:
    """Forty presses either way never leave the lift or the link's ends, and never raise."""
    setup = sample()
    for way in (1, -1):
        setting = first_setting(setup)
        for _ in range(40):
            setting = turned(setup, setting, knob, way, "mm")
            assert LINK.closed.mm <= setting.top_link_mm <= LINK.open.mm
            look(setup, setting)
        heights = heights_of(setup, setting)
        assert not isinstance(heights, CannotReach)
        assert heights[0] <= setting.height_mm <= heights[1]


def test_steps_come_out_even() -> None:
    """From 653.95 mm the first press goes to a whole step, in mm and in quarter inches."""
    setting = first_setting(sample())
    assert turned(sample(), setting, "top link", 1, "mm").top_link_mm == 655
    assert turned(sample(), setting, "top link", -1, "mm").top_link_mm == 650
    assert turned(sample(), setting, "top link", 1, "in").top_link_mm == pytest.approx(25.75 * 25.4)


def test_only_what_has_a_choice_can_be_turned() -> None:
    """One mast hole on the second implement; a cylinder only beside the link."""
    assert "mast hole" not in knobs(sample("box-blade"))
    assert "cylinder" not in knobs(sample())
    assert "cylinder" in knobs(with_ranges(sample(), (LINK,)))


def test_impossible_hitch_says_so_and_the_rest_works() -> None:
    """A lift rod that cannot reach its arm: no roll, no lift, but pitch and clearances stand."""
    setup = sample()
    figures = {**setup.figures, "lift_rod": replace(setup.figures["lift_rod"], value=100.0)}
    broken = replace(setup, figures=figures, rod_range=None)
    setting = replace(first_setting(broken), rod_mm=100.0)
    found = look(broken, kept_within(broken, setting))
    assert isinstance(found.roll, CannotReach)
    assert "lift rod" in say(found.roll.said, "mm")
    assert not isinstance(found.pitch, CannotReach)
    assert found.rooms
    assert values_of(found.figures)["lift_rod"] == 100.0
