"""The hitch drawn from the side and from behind: to scale, named, whole, and the same in plain ASCII and in words."""

import math
import re
from dataclasses import replace
from types import MappingProxyType

import pytest
from hypothesis import given, seed, settings
from hypothesis import strategies as st

from fieldlog.pages.hitch_behind import behind_lines, behind_sentences
from fieldlog.pages.hitch_picture import frame_of, picture_lines, side_sentences
from fieldlog.pages.lines import cells, in_ascii
from fieldlog.quantity.units import Units
from fieldlog.retrofit.carried import Measure
from fieldlog.retrofit.hitch.look import Look, first_setting, look
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.hitch.setup import HitchSetup, LinkRange
from tests.retrofit.test_setup_and_look import sample

SIZES = [(44, 16), (58, 12), (76, 24), (118, 40), (38, 10), (20, 5), (1, 1)]
NAMES = {"tyre": "y", "lift rod": "r", "lower link": "l", "top link": "t", "mast": "m", "PTO": "p", "cab": "c"}
BRIEF = {"lift rod": "rod", "lower link": "lower", "top link": "top"}


def at(height_mm: float = 300.0, link_mm: float = 654.0, rod_longer_mm: float = 0.0) -> Look:
    """The sample's hitch at a height, a length of its top link, and with one rod so much longer than the other."""
    setting = first_setting(sample())
    rod_mm = setting.rod_mm + rod_longer_mm
    return look(sample(), replace(setting, height_mm=height_mm, top_link_mm=link_mm, rod_mm=rod_mm))


def side(now: Look, columns: int, rows: int, units: Units = "mm") -> list[str]:
    return [row.text for row in picture_lines(now, frame_of(now), columns, rows, units)]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize(("height", "link"), [(300, 654), (830, 772), (830, 560), (200, 812)])
def test_both_pictures_fill_their_window_and_have_an_ascii_twin(
    columns: int, rows: int, height: int, link: int
) -> None:
    """As many rows as asked, none too wide, and the same cell by cell in plain ASCII."""
    now = at(height, link, 16)
    wide = picture_lines(now, frame_of(now), columns, rows), behind_lines(now, columns, rows)
    plain = (
        picture_lines(now, frame_of(now), columns, rows, ascii_only=True),
        behind_lines(now, columns, rows, ascii_only=True),
    )
    for drawn, twin in zip(wide, plain, strict=True):
        assert len(drawn) == rows
        assert max(cells(row.text) for row in drawn) <= max(columns, 8)
        assert [in_ascii(row.text) for row in drawn] == [row.text for row in twin]
        assert all(row.text.isascii() for row in twin)


@pytest.mark.parametrize(("columns", "rows"), [(44, 16), (58, 12), (76, 24), (118, 40)])
@pytest.mark.parametrize(("height", "link"), [(300, 654), (830, 772), (830, 560)])
def test_every_member_is_named(columns: int, rows: int, height: int, link: int) -> None:
    """In full, shortened, or by a letter that the words under it explain; the closest place is explained too."""
    drawn = side(at(height, link), columns, rows)
    text, picture = "\n".join(drawn), "\n".join(drawn[: -3 if rows >= 12 else -2])
    for name, letter in NAMES.items():
        is_beside = re.search(rf"\b({name}|{BRIEF.get(name, name)})\b", picture)
        letters = re.sub("[A-Z]?[a-z]{4,}|PTO|cab|top|rod", "", picture)
        assert is_beside or (f"{letter} {name}" in text and letter in letters), name
    assert text.count("◆") == 2  # on the picture and before its words
    assert re.search("◆ (frame|headboard) corner [0-9]+ mm from (tyre|cab)", text)


@pytest.mark.parametrize(("columns", "rows"), [(44, 16), (76, 24), (118, 40)])
def test_the_whole_tyre_is_in_the_frame_over_a_whole_row_of_ground(columns: int, rows: int) -> None:
    """As far ahead of the axle as behind it, within a cell; the ground goes from edge to edge."""
    drawn = side(at(), columns, rows)
    axle_row = next(row for row in drawn if "◉" in row)
    axle = axle_row.index("◉")
    ground = next(row for row in drawn if "▔▔▔" in row)
    assert len(ground) == columns
    assert " " not in ground
    tyre = min(len(row) - len(row.lstrip()) for row in drawn[: drawn.index(ground)] if row.strip()[0] in "│╱╲")
    height = drawn.index(ground) - drawn.index(axle_row)
    assert tyre >= 0
    assert axle - tyre == pytest.approx(2 * height, abs=2)  # a cell is twice as high as wide


@pytest.mark.parametrize("height", [200, 300, 500, 830])
def test_links_are_as_long_as_they_are(height: int) -> None:
    """The top link's two pins stand as far apart as the scale says, within a cell and a half."""
    now = at(height)
    drawn = side(now, 150, 60)
    scale = next(re.search(r"├(─*)┤ ([0-9]+) mm", row) for row in drawn if "┤" in row and "├" in row)
    assert scale is not None
    per_cell = int(scale[2]) / (len(scale[1]) + 1)
    pins = [(column, -2 * row) for row, text in enumerate(drawn) for column, sign in enumerate(text) if sign == "○"]
    apart = [math.dist(a, b) * per_cell for n, a in enumerate(pins) for b in pins[n + 1 :]]
    assert any(found == pytest.approx(now.setting.top_link_mm, rel=0.12) for found in apart)
    assert any(found == pytest.approx(now.linkage.lower_link_mm, rel=0.12) for found in apart)


def test_what_cannot_be_reached_is_said_on_the_picture() -> None:
    """A link that cannot be pinned is no picture of a hitch: the words say by how much."""
    setup = replace(sample(), ranges=())
    now = look(setup, replace(first_setting(setup), top_link_mm=100))
    assert isinstance(now.pose, CannotReach)
    assert "top link 251 mm too short" in " ".join(side(now, 60, 16))
    assert side_sentences(now, "mm")[1] == "Cannot reach: top link 251 mm too short."


def test_the_side_in_sentences() -> None:
    """Height and link, which way it leans, the closest place; the pitch is the worked example's 12.1 at 800 mm."""
    assert side_sentences(at(800), "mm")[:2] == (
        "From the side: balls at 800 mm, top link 654 mm.",
        "Nose down 12.1 degrees.",
    )
    assert side_sentences(at(830, 772), "mm")[2] == "Closest: frame corner 77 mm from tyre, wants 100."


def rod_named(name: str) -> HitchSetup:
    """The sample with a lift rod that can be set, by its name."""
    rod = sample().figures["lift_rod"]
    ends = (Measure(rod.mm + add, rod.parts, name) for add in (-100, 100))
    return replace(sample(), rod_range=LinkRange(name, *ends))


@pytest.mark.parametrize("longer", [16.0, -16.0, -40.0, 5.0, -5.0])
@pytest.mark.parametrize(("name", "side_word"), [("Right lift rod", "right"), ("Left lift rod", "left"), ("Rod", "")])
@pytest.mark.parametrize("height", [250, 500, 800])
@pytest.mark.parametrize("rows", [11, 18, 40])
def test_a_longer_rod_lets_its_side_down(longer: float, name: str, side_word: str, height: int, rows: int) -> None:
    """The tried rod's ball stands lower than the other's when it is longer, on the side that its name says."""
    setup = rod_named(name)
    setting = replace(first_setting(setup), height_mm=height)
    now = look(setup, replace(setting, rod_mm=setting.rod_mm + longer))
    drawn = [row.text for row in behind_lines(now, 60, rows)]
    picture = drawn[: next(n for n, row in enumerate(drawn) if "▔▔▔" in row)]
    left, right = (next(n for n, row in enumerate(picture) if row[column] == "─") for column in (13, 47))
    tried, still = (left, right) if side_word == "left" else (right, left)
    assert (tried > still) if longer > 0 else (tried < still)
    said = " ".join(behind_sentences(now, "mm"))
    assert f"{abs(longer):.0f} mm {'longer' if longer > 0 else 'shorter'} than the other" in said
    assert (f"{side_word} side" if side_word else "this rod's side") + (" down" if longer > 0 else " up") in said
    assert not isinstance(now.roll, CannotReach)
    assert f"roll {abs(now.roll.value):.1f} " in said


def test_level_is_said_and_drawn_level() -> None:
    """Two rods of one length."""
    assert behind_sentences(at(500), "mm") == ("From behind: level.",)
    drawn = "\n".join(row.text for row in behind_lines(at(500), 50, 14))
    assert "┄" not in drawn


def test_a_roll_within_its_doubt_is_neither_drawn_nor_said_to_one_side() -> None:
    """1 mm between the rods is less than the tape tells."""
    now = at(500, 654, 1)
    assert not isinstance(now.roll, CannotReach)
    assert abs(now.roll.value) <= now.roll.plus_minus
    assert behind_sentences(now, "mm")[0].endswith("degrees, level within its doubt.")
    assert "┄" not in "".join(row.text for row in behind_lines(now, 60, 18))


@pytest.mark.parametrize("rows", [11, 14, 30])
def test_more_roll_is_never_drawn_as_less(rows: int) -> None:
    """From level to 60 mm longer in steps of 3: the way between the balls' rows never shrinks."""
    apart = []
    for longer in range(0, 63, 3):
        picture = [row.text for row in behind_lines(at(500, 654, longer), 60, rows)]
        still, tried = (next(n for n, row in enumerate(picture) if row[column] == "─") for column in (13, 47))
        apart.append(tried - still)
    assert apart == sorted(apart)
    assert apart[0] == 0
    assert min(apart[1:]) >= 1


@seed(12)
@settings(max_examples=60, deadline=None)
@given(
    st.fixed_dictionaries(
        {key: st.floats(0.05, 20) for key in ("tyre_radius", "axle_up", "lower_link", "lift_rod", "lift_arm", "mast")}
    ),
    st.floats(1, 3000),
    st.floats(-2000, 4000),
    st.sampled_from([(44, 16), (20, 5), (120, 40)]),
)
def test_a_hitch_out_of_all_proportion_is_still_drawn(
    times: dict[str, float], link_mm: float, height_mm: float, size: tuple[int, int]
) -> None:
    """Whatever was typed: so many rows, within the window, no error."""
    figures = dict(sample().figures)
    for key, factor in times.items():
        if key in figures:
            figures[key] = Measure(figures[key].mm * factor, figures[key].parts, figures[key].name)
    setup = replace(sample(), figures=MappingProxyType(figures))
    now = look(setup, replace(first_setting(setup), top_link_mm=link_mm, height_mm=height_mm))
    for drawn in (picture_lines(now, frame_of(now), *size), behind_lines(now, *size)):
        assert len(drawn) == size[1]
        assert max(cells(row.text) for row in drawn) <= size[0]
