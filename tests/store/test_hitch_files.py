"""The hitch in machine.toml and the implements in logbook.toml: read, every fault named, changed in place."""

from pathlib import Path

import pytest

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Force
from fieldlog.records.hitch import Angle, Hitch, parse_directed
from fieldlog.records.machine import Logbook
from fieldlog.store.amend import Value, change_table
from fieldlog.store.document import document_of
from fieldlog.store.files import sample_folder
from fieldlog.store.hitch_reader import HitchRead, ImplementsRead, read_hitch, read_implements
from fieldlog.store.reader import check_logbook, read_machine
from fieldlog.words.speak import problem_text
from tests import spoken

HITCH = """format = 1
hitch_category = "1"

[hitch]  # taped in the yard
lower_pivot_behind = "60 mm behind"
lower_pivot_up = "400 mm"
lower_link = "790 mm"
ball_lowest = "200 mm"
ball_highest = "843 mm"
rod_hole = "rear"
colour = "grey"

[[rod_holes]]
id = "rear"
from_pivot = "430 mm"
"""
IMPLEMENT = """format = 1
[[implements]]
id = "blade"
weight = "250 kg"
nose_down = "8 deg"
push = "1300 lbf"

[[points]]
id = "tail"
implement = "blade"
behind = "1300 mm"
above = "40 mm below"
"""


def hitch_of(text: str) -> HitchRead:
    return read_hitch(document_of("grey/machine.toml", text.encode()))


def implements_of(text: str) -> ImplementsRead:
    return read_implements(document_of("logbook.toml", text.encode()))


def test_hitch_is_read_as_typed() -> None:
    """Sizes, directions and rows of holes; what is not written is not there."""
    read = hitch_of(HITCH)
    assert read.problems == ()
    hitch = read.parts.hitch
    assert hitch is not None
    assert hitch.lower_link == parse_length("790 mm")
    assert hitch.lower_pivot_behind == parse_directed("60 mm behind")
    assert hitch.lift_arm is None
    assert [hole.id for hole in read.parts.rod_holes] == ["rear"]


def test_implement_is_read_as_typed() -> None:
    """Weight, angle and force with their units; a point below is below."""
    read = implements_of(IMPLEMENT)
    assert read.problems == ()
    (item,) = read.implements.implements
    assert item.weight is not None
    assert item.weight.kg == 250
    assert item.push is not None
    assert item.push.kn == pytest.approx(5.7827, abs=0.0001)  # 1 lbf = 4.448222 N (NIST SP 811)
    assert float(read.implements.points_of("blade")[0].above.mm) == -40


@pytest.mark.parametrize(
    ("old", "new", "line", "wrong"),
    [
        ('"790 mm"', '"7900 mm"', 7, "7900 mm cannot be right"),
        ('"790 mm"', '"0 mm"', 7, "0 mm cannot be right"),
        ('"790 mm"', '"-790 mm"', 7, "below zero"),
        ('"790 mm"', "790", 7, "has no unit"),
        ('"60 mm behind"', '"60 mm above"', 5, "goes the wrong way"),
        ('"60 mm behind"', '"60 behind"', 5, "has no unit"),
        ('"843 mm"', '"180 mm"', 9, "is not higher than the lowest"),
        ('"843 mm"', '"1300 mm"', 9, "110 mm out of the lower link's reach"),
        ('rod_hole = "rear"', 'rod_hole = "front"', 10, '"front" is not known'),
        ('rod_hole = "rear"', 'heights_hole = "front"', 10, '"front" is not known'),
        ('"430 mm"', '"900 mm"', 15, "beyond the end of the lower link"),
    ],
)
def test_impossible_hitch_is_named_with_its_line(old: str, new: str, line: int, wrong: str) -> None:
    """What cannot be is named, nothing is worked out from it, and the rest is kept."""
    read = hitch_of(HITCH.replace(old, new))
    (problem,) = [p for p in read.problems if wrong in spoken.wrong(p)]
    assert problem.line == line
    assert spoken.accepted(problem)
    assert read.parts.hitch is not None
    assert read.parts.hitch.lower_pivot_up == parse_length("400 mm")


@pytest.mark.parametrize(
    ("old", "new", "key", "wrong"),
    [
        ('"250 kg"', '"250"', "weight", "has no unit"),
        ('"8 deg"', '"80 deg"', "nose_down", "is no angle from 0 to 45"),
        ('"1300 lbf"', '"1300 kg"', "push", "is no force"),
        ('"40 mm below"', '"40 mm behind"', "above", "goes the wrong way"),
        ('implement = "blade"', 'implement = "rake"', "implement", '"rake" is not known'),
    ],
)
def test_impossible_implement_is_named(old: str, new: str, key: str, wrong: str) -> None:
    """Each fault with its key and what would be accepted."""
    problems = implements_of(IMPLEMENT.replace(old, new)).problems
    assert any(p.key == key and wrong in spoken.wrong(p) and spoken.accepted(p) for p in problems), problems


def test_mast_taller_than_any_is_refused() -> None:
    """A slip of the unit: 460 cm."""
    text = IMPLEMENT + '\n[[mast_holes]]\nid = "m"\nimplement = "blade"\nheight = "460 cm"\n'
    read = implements_of(text)
    (problem,) = read.problems
    assert "a mast is above 0 and at most 1500 mm" in spoken.accepted(problem)
    assert read.implements.mast_holes == ()
    assert len(read.implements.points) == 1


def test_working_heights_upside_down_are_named() -> None:
    """The lower one above the higher one."""
    read = implements_of(IMPLEMENT.replace("weight", 'work_lowest = "400 mm"\nwork_highest = "300 mm"\nweight'))
    assert "lower than work_lowest" in spoken.wrong(read.problems[0])
    assert read.implements.implements[0].work_lowest is None


def test_lift_rod_that_cannot_reach_its_arm_is_named() -> None:
    """By how much and at which height; everything else of the hitch is kept."""
    more = 'arm_pivot_behind = "110 mm"\narm_pivot_up = "820 mm"\nlift_arm = "260 mm"\nlift_rod = "47.56 mm"\nrod_hole'
    read = hitch_of(HITCH.replace("rod_hole", more, 1))
    assert [p.key for p in read.problems] == ["lift_rod", "lift_rod"]
    assert "with the balls at 200 mm it cannot reach: lift rod" in spoken.wrong(read.problems[0])
    assert read.parts.hitch is not None
    assert read.parts.hitch.lift_rod is not None


def test_one_bad_key_of_an_implement_does_not_hide_the_rest() -> None:
    """A weight without its unit: the implement stays, without its weight."""
    read = implements_of(IMPLEMENT.replace("250 kg", "250"))
    (item,) = read.implements.implements
    assert item.weight is None
    assert item.push is not None
    assert len(read.problems) == 1


def test_hitch_that_is_no_table_is_named() -> None:
    """A word where a table belongs."""
    read = hitch_of('format = 1\nhitch = "category 1"\n')
    assert read.parts.hitch is None
    assert "is not a table" in spoken.wrong(read.problems[0])


def test_check_lists_hitch_problems_and_near_misses(tmp_path: Path) -> None:
    """`fieldlog check` finds a bad size in [hitch], a misspelt key in it, and a bad implement."""
    (tmp_path / "grey").mkdir()
    (tmp_path / "grey" / "machine.toml").write_text(HITCH.replace("ball_lowest", "ball_lowst"), encoding="utf-8")
    (tmp_path / "logbook.toml").write_text(IMPLEMENT.replace("250 kg", "250"), encoding="utf-8")
    found = {(p.file, p.key) for p in check_logbook(tmp_path, None)}
    assert ("grey/machine.toml", "ball_lowst") in found
    assert ("logbook.toml", "weight") in found


def test_sample_is_clean() -> None:
    """The shipped hitch and implements check clean."""
    assert [problem_text(p) for p in check_logbook(sample_folder(), None)] == []


def logbook(folder: Path, text: str) -> Path:
    (folder / "grey").mkdir()
    (folder / "logbook.toml").write_text("format = 1\n", encoding="utf-8")
    path = folder / "grey" / "machine.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_hitch_is_changed_in_place(tmp_path: Path) -> None:
    """Comments, unknown keys and all else stay; a key is set, a new one added, one taken out."""
    path = logbook(tmp_path, HITCH)
    changes: dict[str, Value | None] = {
        "lower_link": parse_length("31 in"),
        "lift_arm": parse_length("260 mm"),
        "ball_highest": None,
    }
    change_table(tmp_path, "grey/machine.toml", "hitch", changes)
    text = path.read_text(encoding="utf-8")
    assert "[hitch]  # taped in the yard" in text
    assert 'colour = "grey"' in text
    assert 'lower_link = "31 in"' in text
    assert 'lift_arm = "260 mm"' in text
    assert "ball_highest" not in text
    assert read_machine(tmp_path, "grey", Logbook("book")).problems == ()


def test_hitch_is_begun_where_there_was_none(tmp_path: Path) -> None:
    """The old text is a prefix of the new one."""
    before = 'format = 1\n\n[[joints]]\nid = "a"\n'
    path = logbook(tmp_path, before)
    change_table(tmp_path, "grey/machine.toml", "hitch", {"lower_link": parse_length("790 mm"), "notes": None})
    text = path.read_text(encoding="utf-8")
    assert text.startswith(before)
    assert hitch_of(text).parts.hitch == Hitch(lower_link=parse_length("790 mm"))


@pytest.mark.parametrize(
    ("text", "mm", "typed"),
    [
        ("60", 60, "60 mm"),
        ("60 mm behind", 60, "60 mm behind"),
        ("40 ahead", -40, "40 mm ahead"),
        ("-40 mm", -40, "-40 mm"),
        ("2 3/8 in below", -60.325, "2 3/8 in below"),
        ("0", 0, "0 mm"),
        ("1 in in front", -25.4, "1 in in front"),
    ],
)
def test_directed_distance_is_read(text: str, mm: float, typed: str) -> None:
    """With and without a unit or a direction; ahead and below count down."""
    found = parse_directed(text)
    assert float(found.mm) == pytest.approx(mm)
    assert found.typed == typed
    assert parse_directed(found.typed) == found


@pytest.mark.parametrize("text", ["", "behind", "-40 mm ahead", "left", "12 apples behind"])
def test_no_distance_is_refused(text: str) -> None:
    """Words that are no distance, and a minus with a word that says it already."""
    with pytest.raises(QuantityError):
        parse_directed(text)


@pytest.mark.parametrize("text", ["46", "-3", "8 rad", "eight", ""])
def test_no_angle_is_refused(text: str) -> None:
    """Degrees from 0 to 45."""
    with pytest.raises(QuantityError):
        Angle.from_text(text)


def test_force_needs_its_unit() -> None:
    """KN and lbf are four and a half thousand times apart."""
    with pytest.raises(QuantityError):
        Force.from_text("6")
    assert Force.from_text("6 kN").kn == 6
