"""Numbers of any unit as they are written."""

import math

import pytest

from fieldlog.pages.budget import NumberTarget, number_lines, other_lines
from fieldlog.pages.figures import value_texts
from fieldlog.pages.lines import cells
from fieldlog.quantity.estimate import Figure, FigurePart, Interval, Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import AnyEntry
from tests.measure.holes import read
from tests.values import part, sized


def doubtful(value: float, unit: str, u: float) -> Figure:
    return Figure(value, unit, (FigurePart("scatter", u, math.inf, "repeats"),))


@pytest.mark.parametrize(
    ("value", "units", "expected"),
    [
        (doubtful(-13.64, "deg", 0.45), "mm", ("-13.6 ± 0.9 deg",)),
        (doubtful(6.0, "kN", 0.5), "mm", ("6.0 ± 1.0 kN", "1349 ± 220 lbf")),
        (doubtful(6.0, "kN", 0.5), "in", ("1349 ± 220 lbf", "6.0 ± 1.0 kN")),
        (
            doubtful(0.039, "mm per 100 h", 0.0034),
            "mm",
            ("0.039 ± 0.007 mm per 100 h", "0.00154 ± 0.00026 in per 100 h"),
        ),
        (Figure(96.4, "%"), "mm", ("96.4 %",)),
        (Figure(4.0, "times"), "mm", ("4 times",)),
        (Interval(481.2, 290.4, 719.6, "h"), "mm", ("290 to 720 h, most likely 481",)),
        (Interval(481.2, 290.4, math.inf, "h"), "mm", ("290 h at the earliest, most likely 481",)),
        (sized(0.88, ()), "in", ("0.0346 in", "0.88 mm")),
        (sized(19.42, (part("limit", 0.02, math.inf, ""),)), "mm", ("19.42 ± 0.04 mm", "0.7646 ± 0.0015 in")),
    ],
)
def test_value_and_doubt_end_at_the_same_place(
    value: Value | Figure | Interval, units: Units, expected: tuple[str, ...]
) -> None:
    """GUM 7.2.6; forces and lengths in both units, angles and hours in their own."""
    assert value_texts(value, units) == expected


@pytest.mark.parametrize("width", [38, 58, 78])
def test_a_page_shows_what_a_number_follows_from(width: int) -> None:
    """Each step with its value in the person's unit, what it is, and the sentence; a step can lead on."""
    steps = (
        Step("rate", doubtful(0.039, "mm per 100 h", 0.0034), "the line through the days", "rate, clearance"),
        Step("limit", sized(0.88, ()), "default"),
    )
    number = Number(
        "limit", "Limit reached", Interval(480.0, 290.0, 720.0, "h"), (), steps=steps, formula="By Fieller."
    )
    rows = number_lines(number, {}, {}, "mm", width)
    text = " ".join(row.text for row in rows)
    assert "290 to 720 h, most likely 480" in text
    assert "rate: 0.0390 ± 0.0067 mm per 100 h" in text
    assert "limit: 0.88 mm" in text
    assert "By Fieller." in text
    assert "What its doubt is made of" not in text
    assert [row.target for row in rows if row.target] == [NumberTarget("rate, clearance")]
    assert all(cells(row.text) <= width for row in rows)


@pytest.mark.parametrize("width", [38, 50, 78])
def test_a_figure_has_its_parts_in_its_own_unit(width: int) -> None:
    """Degrees have no other unit; a force has."""
    text = "\n".join(
        row.text for row in number_lines(Number("pitch", "Pitch", doubtful(3.0, "deg", 0.4), ()), {}, {}, "mm", width)
    )
    assert "Together u = 0.40 deg, known" in text
    force = "\n".join(
        row.text for row in number_lines(Number("pull", "Pull", doubtful(6.0, "kN", 0.5), ()), {}, {}, "in", 78)
    )
    assert "112 lbf (0.50 kN)" in force


def test_a_long_history_costs_no_more_than_a_short_one() -> None:
    """Of 500 readings the newest 240 are listed, of 300 other numbers the next 40, and the rest is counted."""
    entries: dict[str, AnyEntry] = {}
    for _ in range(500):
        reading = read("19.42 mm", "3")
        entries[reading.key] = reading
    number = Number("rate", "Rate", Figure(1.0, ""), tuple(entries))
    rows = number_lines(number, entries, {}, "mm", 76)
    assert [row.target for row in rows if row.target] == list(entries)[-240:]
    assert "260 older readings stand under the numbers of their own days." in [row.text for row in rows]
    others = other_lines([Number(f"day {n}", "", Figure(float(n), ""), ()) for n in range(300)], 298, "mm", 76)
    assert [row.target.word for row in others if isinstance(row.target, NumberTarget)][:2] == ["day 299", "day 0"]
    assert others[-1].text == "and 259 more, further right."
