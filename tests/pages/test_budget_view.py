"""A number opened up: every part is there, the numbers agree with each other, and it fits every width."""

import math

import pytest

from fieldlog.pages.budget import budget_lines, dof_text, number_lines, share_text, u_text, value_lines
from fieldlog.pages.lines import cells
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import AnyEntry
from tests.measure.holes import read
from tests.values import limit_of, part, sized

# the end gauge of GUM H.1 in micrometres in place of nanometres: u 25 with 18, 9.7 with 25.6, 2.9 with 50, 16.6 with 2
H1 = sized(
    50.0,
    (
        part("calibration of the standard", 25e-3, 18, "certificate"),
        part("measured difference", 9.7e-3, 25.6, "repeats, bias and fixture"),
        part("difference in expansion", 2.9e-3, 50, "judged"),
        part("difference in temperature", 16.6e-3, 2, "judged"),
    ),
)


def text_of(estimate: Value, width: int = 78, units: Units = "mm") -> str:
    return "\n".join(row.text for row in budget_lines(estimate, units, width))


def test_parts_shares_and_sum_of_the_gums_end_gauge() -> None:
    """GUM H.1: u_c^2 = 1002, of which 625, 94, 8 and 276; effective degrees of freedom 16.7."""
    text = text_of(H1)
    for name, share in (
        ("calibration of the standard", "62 %"),
        ("measured difference", "9 %"),
        ("difference in expansion", "1 %"),
        ("difference in temperature", "27 %"),
    ):
        row = next(row for row in text.splitlines() if row.startswith(name))
        assert row.endswith(share)
    assert "u = 0.032 mm (0.0012 in), 17 effective degrees of freedom" in text
    assert "coverage factor 2.11 for 95 %" in text  # t at 16.8: GUM table G.2 has 2.13 at 15 and 2.09 at 20


def test_a_factor_under_students_t_is_explained() -> None:
    """A limit of error alone: k = 0.95 sqrt(3) = 1.65, where t would be 1.96; plain t needs no words."""
    text = text_of(sized(19.42, (limit_of("inside jaws", 0.04, "from the logbook"),)), 110)
    assert "coverage factor 1.65 for 95 %" in text
    assert "Student's t is 1.96" in text
    assert "Student" not in text_of(H1)


@pytest.mark.parametrize("width", [38, 50, 58, 78, 106])
@pytest.mark.parametrize("units", ["mm", "in"])
def test_it_fits_every_width_and_loses_no_part(width: int, units: Units) -> None:
    """Long names of instruments are broken, never cut."""
    long = limit_of("a caliper with a very long name that somebody gave it, inside jaws", 0.04, "usual figure")
    estimate = sized(19.42, (*H1.terms, long))
    rows = budget_lines(estimate, units, width)
    assert all(cells(row.text) <= width for row in rows)
    together = " ".join(row.text for row in rows)
    for word in ("very", "somebody", "standard", "temperature", "expansion"):
        assert word in together


def test_a_narrow_page_gives_each_part_a_line_of_numbers() -> None:
    """40 columns leave no room for a table."""
    assert "  u 0.025 mm, 18 dof, 62 %" in text_of(H1, 38).splitlines()


def test_a_number_without_doubt_says_so() -> None:
    """Nothing is divided by nothing."""
    assert "no doubt of its own" in text_of(sized(1.0, ()))


@pytest.mark.parametrize(
    ("u_mm", "whole_mm", "expected"), [(0.02886, 0.0318, "0.029"), (0.0014, 0.12, "0.00"), (1.26, 1.3, "1.3")]
)
def test_uncertainties_end_at_the_second_digit_of_the_whole(u_mm: float, whole_mm: float, expected: str) -> None:
    """GUM 7.2.6: at most two digits, the parts to the same place."""
    assert u_text(u_mm, whole_mm) == expected


def test_degrees_of_freedom_and_shares_in_words() -> None:
    """Endless from a thousand; a tenth below ten."""
    assert [dof_text(dof) for dof in (math.inf, 1000.0, 44.2, 8.0, 5.33)] == ["inf", "inf", "44", "8", "5.3"]
    assert [share_text(share) for share in (0.0, 0.001, 0.364, 1.0)] == ["0 %", "<1 %", "36 %", "100 %"]


def test_readings_are_shown_as_typed_with_what_they_count_as() -> None:
    """Raw and corrected both; a reading the jaws did not change is shown once."""
    entries: dict[str, AnyEntry] = {}
    for typed in ("19.42 mm", "3/4 in"):
        reading = read(typed, "3")
        entries[reading.key] = reading
    keys = tuple(entries)
    number = Number("largest", "Largest size", H1, keys, taken_mm={keys[0]: 19.446, keys[1]: 19.05})
    rows = number_lines(number, entries, {keys[1]: "! stands apart"}, "mm", 78)
    texts = [row.text for row in rows]
    assert "  19.42 mm at 3, near face, counts as 19.446 mm" in texts
    assert "  3/4 in at 3, near face" in texts
    assert "    ! stands apart" in texts
    assert [row.target for row in rows if row.target] == list(keys)


def test_both_units_and_the_sign_of_a_change() -> None:
    """The person's own first; on a narrow page the other below it."""
    change = Number("change", "Change", sized(0.09, H1.terms), (), is_change=True)
    assert [row.text for row in value_lines(change, "in", 78)][1] == "+0.0035 ± 0.0026 in   (+0.09 ± 0.07 mm)"
    assert len(value_lines(change, "in", 30)) == 3


def test_what_cancels_between_two_days_is_a_line_of_its_own() -> None:
    """Four and more parts that cancel are one line that names them; other small parts are another."""
    causes = ("limit", "offset", "width", "hands")
    days = [
        sized(
            20.0, (part("scatter", 0.01, 8, "repeats"), *(part(c, 0.02, math.inf, "book", source_id=c) for c in causes))
        )
        for _ in range(2)
    ]
    text = "\n".join(row.text for row in budget_lines(days[0] - days[1], "mm", 78))
    assert "4 parts that cancel" in text
    assert "the same both times: limit, offset, width, hands" in text
