"""What differs between millimetres and inches stands in one table, and a further unit is one row more."""

import ast
from decimal import Decimal
from pathlib import Path
from types import MappingProxyType
from typing import cast

import pytest

from fieldlog.quantity import units
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.rounding import both_fine_text, both_plain_text, mm_text, size_text
from fieldlog.quantity.units import LENGTH_UNITS, LengthUnit, Units, also_shown_in, family_of, length_unit
from fieldlog.quantity.value import exactly

PACKAGE = Path(__file__).resolve().parents[2] / "fieldlog"
NOT_YET = ("wear", "retrofit", "pages", "words")  # rooms that still ask; each leaves this list when it asks the table
WORDS = frozenset({"mm", "in"})


def asks(node: ast.AST) -> bool:
    """Tell whether a piece of source tells millimetres from inches: compares with one, or is a table of both."""
    if isinstance(node, ast.Compare):
        parts = (node.left, *node.comparators)
        return any(isinstance(part, ast.Constant) and part.value in WORDS for part in parts)
    return (
        isinstance(node, ast.Dict)
        and {key.value for key in node.keys if isinstance(key, ast.Constant) and isinstance(key.value, str)} == WORDS
    )


def test_whether_it_is_mm_or_inches_is_asked_in_one_module() -> None:
    """No other compares with the one or the other, but for typed text, of which `lengths.py` knows the ways."""
    known = {PACKAGE / "quantity" / "units.py", PACKAGE / "quantity" / "lengths.py"}
    asking = [
        f"{file.relative_to(PACKAGE)}:{node.lineno}"
        for file in sorted(PACKAGE.rglob("*.py"))
        if file not in known and file.relative_to(PACKAGE).parts[0] not in NOT_YET
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.expr) and asks(node)
    ]
    assert asking == []


def test_an_inch_is_25_4_mm() -> None:
    """Exact: NIST SP 811, appendix B."""
    assert length_unit("in").mm == Decimal("25.4")
    assert length_unit("in").of(50.8) == 2.0
    assert length_unit("mm").of(50.8) == 50.8


@pytest.mark.parametrize(("typed", "family"), [("3 cm", "mm"), ("3 mm", "mm"), ("5 thou", "in"), ("2 ft", "in")])
def test_what_is_typed_belongs_to_one_of_them(typed: str, family: str) -> None:
    """Centimetres are thought in mm, thousandths and feet in inches."""
    assert family_of(parse_length(typed).unit) == family


def test_a_further_unit_is_one_row_more(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a row for centimetres every text of a length can be had in them."""
    cm = cast(Units, "cm")
    row = LengthUnit(
        cm, "centimetres", "metric", "mm", Decimal(10), frozenset({"cm"}), near=0, tape=1, tenth=2, room=2,
        hole=3, caliper=3, finest=4, least_hole=0.3, most_hole=20.0,
        caliper_step="0.001 cm", tape_step="0.1 cm", trials="1.9 goes",
    )  # fmt: skip
    monkeypatch.setattr(units, "LENGTH_UNITS", MappingProxyType({cm: row, **LENGTH_UNITS}))
    assert mm_text(19.42, cm) == "1.942 cm"
    assert both_plain_text(19.42, cm) == "1.942 cm (19.42 mm)"
    assert both_fine_text(19.42, cm) == "1.9420 cm (19.420 mm)"
    assert size_text(exactly(19.42, "mm"), cm) == "1.9420 ± 0.0000 cm"


def test_a_rate_is_shown_beside_in_the_other_unit() -> None:
    """A rate in mm per 100 h is in inches per 100 h; an angle in nothing else."""
    assert also_shown_in("mm per 100 h") == ("in per 100 h", 1 / 25.4)
    assert also_shown_in("mm") == ("in", 1 / 25.4)
    assert also_shown_in("deg") is None
    assert also_shown_in("kN per mm") is None
