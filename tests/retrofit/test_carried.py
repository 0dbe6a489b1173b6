"""Doubt carried into an answer: the parts add up to it, and a simulation of every part finds the same."""

import math
import random
from dataclasses import replace

import pytest
from hypothesis import assume, given, seed, settings
from hypothesis import strategies as st

from fieldlog.quantity.source import Source, Term, limit
from fieldlog.records.hitch import HitchParts, Implements
from fieldlog.records.machine import HitchCategory, Machine
from fieldlog.retrofit.carried import Carried, Given, Values, carried, values_of
from fieldlog.retrofit.hitch.field import FieldLook, field_look, need_look, room_carried
from fieldlog.retrofit.hitch.look import first_setting, look
from fieldlog.retrofit.hitch.plane import CannotReach, length_for_pitch_mm, pitch_deg
from fieldlog.retrofit.hitch.setup import HitchSetup, figures_for, linkage_of, setup_of
from tests.retrofit.test_setup_and_look import sample

DRAWS = 4000


def category_only(category: HitchCategory = "1") -> HitchSetup:
    """A tractor of which nothing but its category is known: every figure is a usual one."""
    setup = setup_of(Machine("m", hitch_category=category), HitchParts(), Implements(), "", ())
    assert setup is not None
    return setup


def drawn(dice: random.Random, figure: Given) -> float:
    """One draw of a figure, every part in its own shape: limits are rectangles, the rest bells."""
    return figure.value + sum(
        dice.uniform(-math.sqrt(3) * row.u, math.sqrt(3) * row.u) if row.source.is_limit else dice.gauss(0, row.u)
        for row in figure.size.rows
    )


def is_answer(found: Carried | CannotReach) -> Carried:
    assert isinstance(found, Carried)
    return found


@seed(71)
@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-5, 5), st.floats(0.01, 3), st.floats(0.01, 3)), min_size=1, max_size=8),
    st.floats(-100, 100),
)
def test_squares_of_the_parts_add_up_for_any_sum(rows: list[tuple[float, float, float]], level: float) -> None:
    """A linear answer: u^2 is the sum of (slope times u)^2, exactly (GUM 5.1.2), and so are the parts' squares."""
    figures = {
        str(number): Given(
            level,
            (
                limit(f"f{number}/tape", half, of=f"f{number}"),
                Term(Source(f"f{number}/eye", "setting", dof=9, of=f"f{number}"), u),
            ),
            f"f{number}",
        )
        for number, (_, half, u) in enumerate(rows)
    }
    slopes = {str(number): slope for number, (slope, _, _) in enumerate(rows)}
    assume(any(abs(slope) > 0.01 for slope in slopes.values()))

    def answer(values: Values) -> float:
        return math.fsum(slopes[key] * value for key, value in values.items())

    found = is_answer(carried(answer, figures, "deg"))
    expected = math.fsum(slope**2 * (half**2 / 3 + u**2) for slope, half, u in rows)
    assert math.fsum(row.u**2 for row in found.rows) == pytest.approx(expected, rel=1e-6)
    assert found.u**2 == pytest.approx(expected, rel=1e-6)
    assert found.plus_minus == found.k * found.u
    sizes = [abs(slopes[figure.name.removeprefix("f")]) * figure.u for figure in found.behind]
    assert sizes == pytest.approx(sorted(sizes, reverse=True), rel=1e-6)
    assert math.fsum(size**2 for size in sizes) == pytest.approx(expected, rel=1e-6)
    if len(rows) > 1 and found.narrowed_most_by is not None:
        assert found.narrowed_most_by.measured == found.behind[0].name


@pytest.mark.parametrize("setup", [sample(), category_only(), category_only("3")], ids=["taped", "usual 1", "usual 3"])
@pytest.mark.parametrize("height_mm", [300.0, 650.0])
def test_95_of_100_simulated_hitches_pitch_within_the_doubt(setup: HitchSetup, height_mm: float) -> None:
    """4000 draws of every part of every figure, seeded (JCGM 101): u within 7 %, 93 to 97.5 % within plus and minus.

    The usual figures are so wide (60 mm) that the hitch is no straight line over them; the factor still holds.
    """
    setting = replace(first_setting(setup), height_mm=height_mm)
    figures = figures_for(setup, setting)
    found = is_answer(carried(lambda values: pitch_deg(linkage_of(values), height_mm), figures, "deg"))
    dice = random.Random(72)
    answers = []
    for _ in range(DRAWS):
        one = pitch_deg(linkage_of({key: drawn(dice, figure) for key, figure in figures.items()}), height_mm)
        if isinstance(one, float):
            answers.append(one)
    assert len(answers) > 0.99 * DRAWS
    mean = math.fsum(answers) / len(answers)
    spread = math.sqrt(math.fsum((one - mean) ** 2 for one in answers) / (len(answers) - 1))
    assert found.u == pytest.approx(spread, rel=0.07)
    inside = sum(abs(one - found.value) <= found.plus_minus for one in answers) / len(answers)
    assert 0.93 <= inside <= 0.975


def test_needed_length_and_least_room_hold_in_simulation_too() -> None:
    """The shortest link for eight degrees nose down, and the tyre's room: 93 to 97.5 of 100 draws within the doubt."""
    setup, dice = sample(), random.Random(73)
    setting = first_setting(setup)
    need, field = need_look(setup, setting), field_look(setup, setting)
    assert need is not None
    assert not isinstance(need.need, CannotReach)
    assert isinstance(field, FieldLook)
    shortest = is_answer(need.shortest)
    figures = {key: figure for key, figure in figures_for(setup, setting).items() if key != "top_link"}
    inside = 0
    for _ in range(DRAWS):
        values = {key: drawn(dice, figure) for key, figure in figures.items()} | {"top_link": setting.top_link_mm}
        one = length_for_pitch_mm(linkage_of(values), need.need.shortest_at_mm, need.need.down_deg)
        assert isinstance(one, float)
        inside += abs(one - shortest.value) <= shortest.plus_minus
    assert 0.93 <= inside / DRAWS <= 0.975
    rooms = [is_answer(room_carried(setup, setting, worst)) for worst in field.least]
    assert rooms == list(field.rooms)
    assert [room.plus_minus for room in rooms] == [room.plus_minus for room in field.rooms]
    assert all(
        room.value == pytest.approx(worst.clearance.room_mm) for room, worst in zip(rooms, field.least, strict=True)
    )


def test_a_figure_that_nobody_measured_says_so_in_its_part() -> None:
    """With the category alone every part but the tried link's is a usual figure."""
    setup = category_only()
    pitch = is_answer(look(setup, first_setting(setup)).pitch)
    assert {term.source.kind for term in pitch.terms if term.source.measured != "tried/top_link"} == {"usual"}
    assert values_of(figures_for(setup, first_setting(setup)))["mast"] == 460
