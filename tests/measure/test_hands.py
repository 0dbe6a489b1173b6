"""A person's hands from a gauge study, and what they do to the doubt of what he measures."""

import datetime
import math

import numpy as np
import pytest
from scipy import stats

from fieldlog.measure.checks import worth_of
from fieldlog.measure.gauge_study import hands_of
from fieldlog.measure.instruments import Scatter, scatter_from
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.checks import Study, StudyReading, plan
from fieldlog.records.machine import Hands, Instrument

DAY = datetime.date(2026, 3, 4)


def study(scatter: dict[str, float], seed: int = 4) -> Study:
    """Return a finished study in which each person scatters by his own."""
    dice = np.random.default_rng(seed)
    plain = Study("2026-03-04-blue", DAY, "blue", ", ".join(scatter), "a, b, c, d, e", 4)
    sizes = dict(zip("abcde", (19.4, 20.1, 22.7, 25.2, 30.1), strict=True))
    readings = tuple(
        StudyReading(
            slot.person,
            slot.hole,
            slot.number,
            parse_length(f"{sizes[slot.hole] + dice.normal(0, scatter[slot.person]):.3f} mm"),
            f"09:{number:02d}:00",
        )
        for number, slot in enumerate(plan(plain))
    )
    return Study(plain.id, DAY, "blue", plain.people, plain.holes, 4, readings)


def test_each_person_gets_the_scatter_of_his_own_repeats() -> None:
    """A steady and a shaky hand; the interval of chi squared holds the truth, by SciPy."""
    found = {hands.who: hands for hands in hands_of([study({"ada": 0.01, "ben": 0.05})])}
    for who, truth in (("ada", 0.01), ("ben", 0.05)):
        hands = found[who]
        assert hands.dof == 15
        low, high = (math.sqrt(15 * hands.repeatability_mm**2 / stats.chi2.ppf(p, 15)) for p in (0.995, 0.005))
        assert low < truth < high


def test_a_later_study_takes_the_place_of_an_earlier_one() -> None:
    """And an unfinished one counts for nothing."""
    first, unfinished = study({"ada": 0.05}), Study("x", DAY, "blue", "ada", "a, b", 3)
    later = study({"ada": 0.01}, seed=9)
    later = Study(
        "2026-05-01-blue",
        datetime.date(2026, 5, 1),
        *(getattr(later, k) for k in ("instrument", "people", "holes", "trials", "readings")),
    )
    assert [hands.day for hands in hands_of([later, unfinished, first])] == [datetime.date(2026, 5, 1)]


def test_known_hands_are_pooled_with_todays_repeats_unless_those_are_wider() -> None:
    """Pooled variance by degrees of freedom; a dirty hole with wild repeats counts alone."""
    known = Scatter(0.02, 15, "gauge study")
    quiet = scatter_from(2 * 0.01**2, 2, 0.03, known=known)
    assert quiet.sd_mm == pytest.approx(math.sqrt((15 * 0.02**2 + 2 * 0.01**2) / 17))
    assert quiet.dof == 17
    wild = scatter_from(2 * 0.2**2, 2, 0.03, known=known)
    assert wild.sd_mm == pytest.approx(0.2)
    assert wild.dof == 2
    assert scatter_from(0.0, 0, 0.03, known=known).dof == 15


def test_the_study_reaches_the_budget_of_that_person_with_that_instrument_only() -> None:
    """Inside readings of one instrument by one of its people; nothing for anybody else or for a pin."""
    hands = Hands("ada", "blue", DAY, 0.012, 15, 0.02, 9)
    blue = Instrument("blue", resolution=parse_length("0.01 mm"), hands=(hands,))
    other = Instrument("steel", resolution=parse_length("0.01 mm"))
    triples = [(blue, 19.4, 0.01), (blue, 19.42, 0.01)]
    worth = worth_of(triples, "inside", DAY, "eye", "ada")
    assert worth.known is not None
    assert worth.known.sd_mm == 0.012
    assert [term.u for term in worth.terms if term.source.kind == "hands"] == [0.02]
    for strange in (
        worth_of(triples, "inside", DAY, "eye", "ben"),
        worth_of(triples, "outside", DAY, "eye", "ada"),
        worth_of([*triples, (other, 19.4, 0.01)], "inside", DAY, "eye", "ada"),
    ):
        assert strange.known is None
        assert "hands" not in {term.source.kind for term in strange.terms}


def test_intervals_with_known_hands_still_hold_the_truth() -> None:
    """Three readings a day, scatter 0.02 known from 15 degrees of freedom; 2,000 days, seed 11: 93 to 97 %."""
    dice, held = np.random.default_rng(11), 0
    for _ in range(2000):
        known = Scatter(0.02 * math.sqrt(dice.chisquare(15) / 15), 15, "gauge study")
        values = dice.normal(0, 0.02, 3)
        scatter = scatter_from(float(((values - values.mean()) ** 2).sum()), 2, 0.02, known=known)
        held += abs(values.mean()) <= stats.t.ppf(0.975, scatter.dof) * scatter.sd_mm / math.sqrt(3)
    assert 0.93 <= held / 2000 <= 0.97
