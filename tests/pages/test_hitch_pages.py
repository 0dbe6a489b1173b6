"""The hitch's page and numbers: fit their window, say which way, and never show what is no number."""

import json
from dataclasses import replace

import pytest
from hypothesis import given, seed, settings
from hypothesis import strategies as st

from fieldlog.cli import main
from fieldlog.pages.hitch import CAUTION, Page, page_lines
from fieldlog.pages.hitch_numbers import number_lines
from fieldlog.pages.hitch_picture import frame_of, picture_lines
from fieldlog.quantity.units import Units
from fieldlog.records.hitch import HitchParts, Implements
from fieldlog.records.machine import Machine
from fieldlog.retrofit.hitch.field import HitchCase, field_look, need_look
from fieldlog.retrofit.hitch.look import first_setting, look
from fieldlog.retrofit.hitch.setup import HitchSetup, Setting, setup_of
from fieldlog.sheets.retrofits import hitches_data
from fieldlog.sheets.trend_data import plain
from fieldlog.store.files import sample_folder
from tests.retrofit.test_setup_and_look import sample

SIZES = [(78, 20), (58, 16), (118, 40), (38, 20), (48, 12)]


def bare() -> HitchSetup:
    setup = setup_of(Machine("m", hitch_category="2"), HitchParts(), Implements(), "", ())
    assert setup is not None
    return setup


def page(setup: HitchSetup, setting: Setting) -> Page:
    now = look(setup, setting)
    return Page(now, field_look(setup, setting), need_look(setup, setting), "top link", frame_of(now))


@pytest.mark.parametrize("units", ["mm", "in"])
@pytest.mark.parametrize(("width", "height"), SIZES)
@pytest.mark.parametrize("ascii_only", [True, False])
def test_page_fits_its_window(width: int, height: int, units: Units, ascii_only: bool) -> None:
    """At every size nothing is wider or longer than the window, and the caution is there."""
    for setup in (sample(), sample("box-blade"), bare()):
        lines = page_lines(page(setup, first_setting(setup)), units, width, height, ascii_only=ascii_only)
        assert len(lines) <= height
        assert max(len(line.text) for line in lines) <= width
        assert CAUTION.split()[0] in " ".join(line.text for line in lines[-3:])
        text = "\n".join(line.text for line in lines)
        assert "nan" not in text.lower()
        assert "fore-aft" in text


def test_ascii_picture_is_ascii() -> None:
    """Where the terminal has nothing else."""
    now = look(sample(), first_setting(sample()))
    for line in picture_lines(now, frame_of(now), 50, 14, ascii_only=True):
        assert line.text.isascii()


def test_picture_moves_with_what_is_tried_and_keeps_its_scale() -> None:
    """The tractor's side stays over the words of the last rows; the implement's side changes."""
    setting = first_setting(sample())
    low, high = look(sample(), setting), look(sample(), replace(setting, height_mm=800))
    frame = frame_of(low)
    assert frame == frame_of(high)
    first, second = (picture_lines(now, frame, 50, 14) for now in (low, high))
    assert first != second
    assert all(a.text[:3] == b.text[:3] for a, b in zip(first[:-3], second[:-3], strict=True))


@pytest.mark.parametrize(("length_mm", "words"), [(700, "nose up, tail down"), (600, "nose down, tail up")])
def test_pitch_says_which_way(length_mm: float, words: str) -> None:
    """Longer is nose up, shorter nose down, fore-aft written out."""
    setup = sample()
    lines = number_lines(look(setup, replace(first_setting(setup), top_link_mm=length_mm)), None, None, "mm", 76)
    text = " ".join(line.text for line in lines)
    assert words in " ".join(text.split())
    assert "Roll (side to side)" in text


def test_usual_figures_are_named_where_they_matter() -> None:
    """A hitch known by its category only says so first."""
    lines = number_lines(look(bare(), first_setting(bare())), None, None, "mm", 76)
    assert "Not measured, usual figures of category 2" in lines[0].text


def test_out_of_reach_is_a_sentence_on_the_page() -> None:
    """A link that cannot be pinned: by how much, and the rest of the page stands."""
    setup = replace(sample(), ranges=())
    setting = replace(first_setting(setup), top_link_mm=100)
    text = " ".join(" ".join(line.text.split()) for line in page_lines(page(setup, setting), "mm", 48, 30))
    assert "cannot reach: top link" in text
    assert "mm too short" in text
    assert "roll (side to side)" in text


def test_four_corners_carry_their_caution() -> None:
    """Where the corners stand, so does what to do about them."""
    setup, setting = sample(), first_setting(sample())
    whole = field_look(setup, setting)
    text = " ".join(line.text for line in number_lines(look(setup, setting), whole, None, "in", 76))
    assert "closed, highest" in text
    assert "nobody near the hitch" in text
    assert "manual comes first" in " ".join(text.split())


def test_report_and_data_hold_every_hitch(capsys: pytest.CaptureFixture[str]) -> None:
    """Measured hitches with their numbers, a hitch known by its category in a line; the same as data."""
    with pytest.raises(SystemExit) as left:
        main(["report", str(sample_folder()), "--json"])
    assert left.value.code == 0
    hitches = json.loads(capsys.readouterr().out)["hitches"]
    assert {(h["machine"], h["implement"], h["measured"]) for h in hitches} == {
        ("hill-tractor", "power-rake", True),
        ("hill-tractor", "box-blade", True),
        ("yard-tractor", "power-rake", False),
        ("yard-tractor", "box-blade", False),
    }
    rake = hitches[0]
    assert rake["needed"]["shortest_mm"]["value"] == pytest.approx(590, abs=0.51)  # worked example
    assert rake["needed"]["longest_mm"]["value"] == pytest.approx(718, abs=0.51)
    assert [round(c["ball_height_mm"]) for c in rake["field"]["corners"]] == [200, 830, 200, 830]
    assert all(room["plus_minus"] > 0 for room in rake["field"]["least_rooms"])
    assert hitches[2]["usual_figures"]
    with pytest.raises(SystemExit):
        main(["report", str(sample_folder())])
    text = capsys.readouterr().out
    assert "Hill tractor: hitch with Power rake" in text
    assert "Yard tractor: hitch not measured" in text


@seed(51)
@settings(max_examples=40, deadline=None)
@given(
    st.fixed_dictionaries({key: st.floats(1, 2000) for key in ("lower_link", "lift_arm", "lift_rod", "arm_pivot_up")}),
    st.floats(1, 3000),
    st.floats(-500, 2500),
    st.floats(1, 900),
)
def test_no_hitch_breaks_the_page_the_numbers_or_the_data(
    sizes: dict[str, float], top_link_mm: float, height_mm: float, mast_mm: float
) -> None:
    """However the sizes are mistyped: misses are sentences, data stays valid JSON without a NaN."""
    setup = sample()
    figures = {key: replace(figure, value=sizes.get(key, figure.mm)) for key, figure in setup.figures.items()}
    mast = replace(setup.mast_holes[0], figures={"mast": replace(setup.mast_holes[0].figures["mast"], value=mast_mm)})
    odd = replace(setup, figures=figures, mast_holes=(mast,), start=(setup.start[0], 0, setup.start[2]))
    setting = replace(first_setting(odd), top_link_mm=top_link_mm, height_mm=height_mm)
    shown = page(odd, setting)
    text = "\n".join(row.text for row in page_lines(shown, "mm", 78, 20))
    text += "\n".join(row.text for row in number_lines(shown.look, shown.field, shown.need, "in", 76))
    case = HitchCase(Machine("m"), shown.look, shown.field, shown.need, is_measured=True)
    data = json.dumps(plain(hitches_data((case,))), allow_nan=False)
    assert " nan" not in text
    assert "NaN" not in data
