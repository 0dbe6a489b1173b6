"""Which measurement narrows a number most: the source with the largest share, and what is left without it."""

import datetime
import math

import pytest

from fieldlog.pages.figures import narrowed_most_by, narrowing_lines, widest_source
from fieldlog.quantity.estimate import Figure, FigurePart
from fieldlog.quantity.page_number import as_shown
from fieldlog.quantity.source import Source, Term, limit, scatter
from fieldlog.quantity.value import Value
from fieldlog.records.offer import Basis, Recommendation
from fieldlog.retrofit.carried import usual_figure
from fieldlog.retrofit.offers.numbers import kept_numbers


def bell(name: str, u: float, source: str = "test", dof: float = math.inf) -> FigurePart:
    return FigurePart(name, u, dof, source)


def text_of(value: Value | Figure, units: str = "mm") -> str:
    return " ".join(row.text for row in narrowing_lines(value, units, 78))  # type: ignore[arg-type] # mm or in


def test_parts_of_one_measurement_count_together() -> None:
    """Tape and typing of one length, 2 each, are 8 of 17 against a lone 3; a third 2 makes them 12 of 21."""
    two = (bell("mast: tape", 2), bell("mast: typing", 2), bell("bracket", 3))
    found = widest_source(Figure(1.0, "mm", two))
    assert found is not None
    assert found[0] == "bracket"
    assert found[1] == pytest.approx(9 / 17)
    found = widest_source(Figure(1.0, "mm", (*two, bell("mast: eye", 2))))
    assert found is not None
    name, share, rest = found
    assert name == "mast"
    assert share == pytest.approx(12 / 21)
    assert rest.u == pytest.approx(3.0)


def test_a_value_is_asked_for_what_narrows_it_and_labels_decide_nothing() -> None:
    """Tape, typing and eye of one length, 2 each, are 12 of 21, whatever they are called."""
    for labels in (("tape", "typing", "eye"), ("x: a", "y: b", "z: c")):
        mast = [
            Term(Source(f"mast/{n}", "setting", label=one, whose="mast", of="mast"), 2.0)
            for n, one in enumerate(labels)
        ]
        value = Value(1.0, "mm", (*mast, Term(Source("bracket", "setting", label="bracket"), 3.0)))
        assert narrowed_most_by(value) == "mast"
        assert text_of(value) == "Narrowed most by mast, 57 % of it; without it ± 6 mm is left."
        assert [part.name for part in as_shown(value).parts] == [*(f"mast: {one}" for one in labels), "bracket"]
        assert narrowed_most_by(Value(1.0, "mm", tuple(mast))) is None


def test_the_line_says_what_would_be_left() -> None:
    """Without the larger part 1.96 times 3 is left, in the person's unit."""
    value = Figure(100.0, "mm", (bell("mast", 4), bell("bracket", 3)))
    assert text_of(value) == "Narrowed most by mast, 64 % of it; without it ± 6 mm is left."
    assert text_of(value, "in").endswith("without it ± 0.23 in is left.")


def test_a_usual_figure_and_scatter_say_what_to_do() -> None:
    """Measure what nobody measured; read again what scatters."""
    usual = usual_figure(790, 60, "lower link", given_id="usual/1/lower_link")
    mast = Term(Source("mast", "setting", label="mast"), 1.0)
    of_both = Value(1.0, "deg", (*usual.size.terms, mast))
    assert "lower link, 100 % of it (a usual figure: measure it)" in text_of(of_both)
    many = Value(20.0, "mm", (scatter("a", 1.0, 4, label="scatter"), mast._replace(u=0.5)))
    assert "(more readings)" in text_of(many)
    assert "(more readings)" not in text_of(Value(20.0, "mm", (scatter("a", 1.0, 40), mast._replace(u=0.5))))
    jaws = limit("jaws", 0.02, label="jaws")
    size = Value(19.4, "mm", (scatter("a", 0.03, 4, label="scatter of the readings"), jaws))
    assert "(more readings)" in text_of(size)


def test_nothing_is_said_of_one_source_or_none() -> None:
    """There is nothing to choose between."""
    assert not text_of(Figure(1.0, "mm", (bell("mast: tape", 2), bell("mast: typing", 1))))
    assert not text_of(Figure(1.0, "mm"))


def test_a_kept_recommendation_opens_as_it_was_kept() -> None:
    """Value, half-width and entries as they stand in the file; words are no numbers."""
    told = Recommendation(
        id="x", link="top-link", day=datetime.date(2026, 11, 20), offer="a", verdict="fits",
        basis=(
            Basis(what="link closed", value="559.59 mm", plus_minus="1.24 mm", origin="taped", entries=("r 10:00:00",)),
            Basis(what="offer, check valve", value="double"),
        ),
    )  # fmt: skip
    (number,) = kept_numbers(told)
    assert isinstance(number.estimate, Figure)
    assert number.estimate.value == pytest.approx(559.59)
    assert number.estimate.expanded == pytest.approx(1.24, rel=1e-4)
    assert number.keys == ("r 10:00:00",)
