"""Changes to machine.toml and logbook.toml touch what was meant and nothing else."""

import tomllib
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.records.machine import Hole, Joint, Limit, Logbook, Machine, Person, Share, parse_length_or_share
from fieldlog.store.amend import add_machine, add_record, change_record, create_logbook
from fieldlog.store.reader import read_logbook, read_machine
from tests.spoken import refused

FILE = "grey/machine.toml"
BY_HAND = """# my own remark
format = 1
name = "Grey"   # what we call it
mood = "good"

[[joints]]
id = "j1"
pin = "19.050 mm"   # from the manual

[[joints]]
id = "j2"
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A logbook whose machine file was written by hand."""
    create_logbook(tmp_path, Logbook("Book", "mm", (Person("ada", "Ada"),)))
    add_machine(tmp_path, Machine("grey", "Grey"))
    (tmp_path / FILE).write_text(BY_HAND, encoding="utf-8")
    return tmp_path


def text(book: Path) -> str:
    return (book / FILE).read_text(encoding="utf-8")


def test_adding_a_record_leaves_every_old_byte(book: Path) -> None:
    """The old file is a prefix of the new one."""
    add_record(book, FILE, "holes", Hole("h1", "j1", "link end"))
    assert text(book).startswith(BY_HAND)
    assert tomllib.loads(text(book))["holes"] == [{"id": "h1", "joint": "j1", "name": "link end"}]


def test_a_change_keeps_comments_digits_and_unknown_keys(book: Path) -> None:
    """Only the key that was meant is another."""
    change_record(book, FILE, "joints", "j2", {"name": "Second", "pin": parse_length("3/4")})
    now = text(book)
    for kept in ("# my own remark", "# what we call it", 'mood = "good"', 'pin = "19.050 mm"   # from the manual'):
        assert kept in now
    assert tomllib.loads(now)["joints"][1] == {"id": "j2", "name": "Second", "pin": "3/4 in"}


def test_a_new_key_at_the_top_stays_above_the_first_record(book: Path) -> None:
    """A key put behind a [[heading]] would belong to that record."""
    change_record(book, FILE, "", "", {"hitch_category": "1", "notes": None})
    data = tomllib.loads(text(book))
    assert data["hitch_category"] == "1"
    assert "hitch_category" not in data["joints"][1]


def test_none_takes_a_key_out(book: Path) -> None:
    """The pin is no longer stated."""
    change_record(book, FILE, "joints", "j1", {"pin": None})
    assert tomllib.loads(text(book))["joints"][0] == {"id": "j1"}


def test_a_list_written_in_one_line_is_added_to(book: Path) -> None:
    """Joints = [{...}] is as good as [[joints]]."""
    (book / FILE).write_text('format = 1\nname = "Grey"\njoints = [{id = "j1"}]\n', encoding="utf-8")
    add_record(book, FILE, "joints", Joint("j2", "Second"))
    assert [joint["id"] for joint in tomllib.loads(text(book))["joints"]] == ["j1", "j2"]


def test_a_limit_is_found_by_what_it_says(book: Path) -> None:
    """Limits have no id."""
    limit = Limit(parse_length("1.0 mm"), "manual", joint="j1")
    add_record(book, FILE, "limits", limit)
    change_record(book, FILE, "limits", limit, {"renew": parse_length_or_share("4 %"), "origin": "owner"})
    found = read_machine(book, "grey", read_logbook(book).logbook).log.machine.limits[0]
    assert isinstance(found.renew, Share)
    assert (found.renew.typed, found.origin, found.joint) == ("4 %", "owner", "j1")


def test_an_id_that_is_taken_is_refused(book: Path) -> None:
    """Two joints cannot have one name."""
    with refused("already"):
        add_record(book, FILE, "joints", Joint("j1"))
    assert text(book) == BY_HAND


def test_a_file_edited_meanwhile_is_changed_as_it_now_is(book: Path) -> None:
    """What an editor saved a moment ago is not written over."""
    (book / FILE).write_text(BY_HAND + '\n[[joints]]\nid = "j3"\n', encoding="utf-8")
    change_record(book, FILE, "joints", "j1", {"name": "First"})
    assert [joint["id"] for joint in tomllib.loads(text(book))["joints"]] == ["j1", "j2", "j3"]


def test_a_broken_or_newer_file_is_not_written(book: Path) -> None:
    """The sentence says where to mend it."""
    for broken in (BY_HAND + "x = [\n", BY_HAND.replace("format = 1", "format = 9")):
        (book / FILE).write_text(broken, encoding="utf-8")
        with refused(r"mend that first|newer program"):
            change_record(book, FILE, "joints", "j1", {"name": "First"})
        assert text(book) == broken


def test_a_logbook_is_never_made_over_another(book: Path) -> None:
    """create_logbook leaves what is there."""
    before = (book / "logbook.toml").read_bytes()
    with refused("already"):
        create_logbook(book, Logbook("Other"))
    assert (book / "logbook.toml").read_bytes() == before


@pytest.mark.parametrize("step", ["write", "fsync", "replace"])
def test_a_replacement_that_fails_at_any_step_leaves_the_old_file(
    book: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """Old bytes whole, no leftovers among the person's files."""

    def fails(*_: object) -> None:
        raise OSError(28, "No space left on device")

    target = "fieldlog.store.atomic.Path.replace" if step == "replace" else f"fieldlog.store.atomic.os.{step}"
    monkeypatch.setattr(target, fails)
    with refused("the disk is full"):
        change_record(book, FILE, "joints", "j1", {"name": "First"})
    monkeypatch.undo()
    assert text(book) == BY_HAND
    assert sorted(path.name for path in (book / "grey").iterdir()) == ["machine.toml"]


def test_a_link_stays_a_link_and_the_mode_is_kept(book: Path, tmp_path: Path) -> None:
    """The file behind the link is replaced, not the link."""
    real = tmp_path / "real.toml"
    (book / FILE).rename(real)
    real.chmod(0o600)
    (book / FILE).symlink_to(real)
    change_record(book, FILE, "joints", "j1", {"name": "First"})
    assert (book / FILE).is_symlink()
    assert real.stat().st_mode & 0o777 == 0o600
    assert "First" in real.read_text(encoding="utf-8")
