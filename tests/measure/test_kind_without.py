"""Leaving each of many joints out in turn says what the others say when they are gone through one by one."""

import random
from dataclasses import astuple

import pytest

from fieldlog.measure.crossing import KindWithout, kind_of


@pytest.mark.parametrize("count", [3, 4, 12, 60, 400])
@pytest.mark.parametrize(("spread", "u"), [(0.3, 0.01), (0.3, 0.2), (0.01, 0.03), (0.0, 0.0001), (1.0, 1.0)])
def test_the_others_say_the_same(count: int, spread: float, u: float) -> None:
    """Few and many, far apart and alike, read well and badly, with one far from the others and one that says little."""
    dice = random.Random(f"{count} {spread} {u}")
    rates = [(0.05 * (1 + dice.gauss(0, spread)), 0.05 * u * dice.uniform(0.5, 2.0)) for _ in range(count - 2)]
    rates += [(0.05 * (1 + 4 * spread), 0.05 * u), (0.05, 0.5)]
    kind = KindWithout(rates)
    assert kind.whole == kind_of(rates)
    for index in {0, 1, count // 2, count - 2, count - 1}:
        wanted = kind_of([*rates[:index], *rates[index + 1 :]])
        assert astuple(kind.without(*rates[index])) == pytest.approx(astuple(wanted), rel=1e-6)


def test_many_are_answered_by_the_expansion(monkeypatch: pytest.MonkeyPatch) -> None:
    """In a large fleet nobody is gone through for another's sake, save for what stands far out."""
    dice = random.Random("many")
    rates = [(dice.uniform(0.01, 0.1), dice.uniform(0.002, 0.01)) for _ in range(400)]
    kind = KindWithout(rates)
    monkeypatch.setattr(KindWithout, "_exactly", None)
    for rate in rates:
        assert kind.without(*rate).count == 399
