"""Faults that once cost a reading, hid a machine or ended in a traceback."""

import errno
import os
from pathlib import Path

import pytest

from fieldlog.errors import StoreError
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import Note, Round
from fieldlog.records.machine import Instrument, Limit, Logbook, Machine, Person
from fieldlog.store.amend import add_machine, add_record, change_record, create_logbook
from fieldlog.store.reader import check_logbook, read_logbook, read_machine
from fieldlog.store.rounds import RoundFile, append_entry, open_round
from fieldlog.words.speak import problem_text
from tests import spoken
from tests.spoken import refused
from tests.store.test_append import DAY, bore, made_logbook, opened, read, sizes

MACHINE = "grey/machine.toml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A logbook with one hole."""
    return made_logbook(tmp_path / "book")


@pytest.fixture
def round_file(folder: Path) -> RoundFile:
    """A round file with one entry."""
    opened_file = opened(folder)
    append_entry(opened_file, bore())
    return opened_file


def note(text: str) -> Note:
    return Note(at="09:00:00", round="", day=DAY, who="ada", text=text)


def test_entries_of_long_names_read_back(tmp_path: Path) -> None:
    """A machine's and a person's name may be long; the round is named after its whole file name all the same."""
    who, machine_id = (
        "somebody-with-a-name-of-forty-characters",
        "a-loader-with-a-name-of-sixty-characters-in-all-and-no-more",
    )
    create_logbook(tmp_path, Logbook("Book", "mm", (Person(who),)))
    add_machine(tmp_path, Machine(machine_id))
    stored = append_entry(open_round(tmp_path, machine_id, Round("", DAY, who)), note("x"))
    found = read_machine(tmp_path, machine_id, read_logbook(tmp_path).logbook)
    assert found.log.entries == (stored,)
    assert found.problems == ()


def test_a_link_to_itself_in_the_logbook_hides_no_machine(folder: Path) -> None:
    """It is a problem of its own."""
    (folder / "loop").symlink_to(folder / "loop")
    found = read_logbook(folder)
    assert found.machine_ids == ("grey",)
    assert [problem.file for problem in found.problems] == ["loop"]


def test_a_folder_that_may_not_be_looked_into_hides_no_machine(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Permission denied is a problem, not a traceback."""
    (folder / "locked").mkdir()
    real = Path.lstat

    def refused(path: Path) -> os.stat_result:
        if path.parent.name == "locked":
            raise PermissionError(errno.EACCES, "Permission denied")
        return real(path)

    monkeypatch.setattr(Path, "lstat", refused)
    found = read_logbook(folder)
    assert found.machine_ids == ("grey",)
    assert [problem_text(problem) for problem in found.problems] == ["locked: cannot be looked into: permission denied"]


def test_a_single_bracket_heading_is_told(round_file: RoundFile) -> None:
    """[bore] after [[bore]] is a reading that cannot be used, and somebody must hear of it."""
    text = round_file.path.read_text(encoding="utf-8")
    block = text[text.index("\n[[bore]]") :].replace("[[bore]]", "[bore]").replace("09:00:00", "09:00:05")
    round_file.path.write_text(text + block, encoding="utf-8")
    found = read(round_file.folder)
    assert sizes(round_file.folder) == ["19.42 mm"]
    assert [(problem.line, "[bore]" in spoken.wrong(problem)) for problem in found.problems] == [(13, True)]


@pytest.mark.parametrize("left", [b"", b"\0" * 300, b"\n\n"])
def test_an_emptied_round_file_takes_entries_again(folder: Path, left: bytes) -> None:
    """What some disks leave of a file after a power cut does not keep the person from measuring on."""
    round_file = opened(folder)
    round_file.path.parent.mkdir()
    round_file.path.write_bytes(left)
    append_entry(round_file, bore())
    assert sizes(folder) == ["19.42 mm"]
    assert read(folder).problems == ()


def test_half_characters_from_a_paste_are_written_as_question_marks(folder: Path) -> None:
    """No file can hold them, and the rest of the note is kept."""
    assert append_entry(opened(folder), note("lip \ud800 at \udcff six")).text == "lip ? at ? six"


def test_many_entries_within_a_second_keep_their_order(folder: Path) -> None:
    """The times sort as text in the order of typing, also past the tenth."""
    round_file = opened(folder)
    typed = [f"19.{number:02d} mm" for number in range(30)]
    for size in typed:
        append_entry(round_file, bore(size=size))
    assert sizes(folder) == typed
    assert read(folder).problems == ()


def test_a_caliper_taken_up_later_is_the_one_that_is_stored(round_file: RoundFile) -> None:
    """The file's head names the first caliper of the day; a reading names another one if that is in hand."""
    later = open_round(round_file.folder, "grey", Round("", DAY, "ada", "red", "tape"))
    assert append_entry(later, bore("09:10:00")).instrument == "red"
    assert append_entry(round_file, bore("09:20:00")).instrument == "blue"
    assert [getattr(entry, "instrument", "") for entry in read(round_file.folder).log.entries] == [
        "blue",
        "red",
        "blue",
    ]


@pytest.mark.parametrize("file", ["logbook.toml", MACHINE])
def test_nothing_is_written_below_a_newer_file(folder: Path, file: str) -> None:
    """A logbook or machine of a newer program is read-only with all its rounds."""
    text = (folder / file).read_text(encoding="utf-8").replace("format = 1", "format = 2")
    (folder / file).write_text(text, encoding="utf-8")
    with refused("newer program"):
        opened(folder)


def test_a_byte_order_mark_outlives_the_mending_of_a_torn_end(round_file: RoundFile) -> None:
    """Every good old byte stays where it was."""
    good = b"\xef\xbb\xbf" + round_file.path.read_bytes()
    round_file.path.write_bytes(good + b"\n[[bo")
    append_entry(round_file, bore("09:10:00", "19.70 mm"))
    assert round_file.path.read_bytes().startswith(good)
    assert sizes(round_file.folder) == ["19.42 mm", "19.70 mm"]


def test_what_was_cut_off_stays_in_the_file_as_a_remark(round_file: RoundFile) -> None:
    """Nothing is thrown away: a person may still make something of it."""
    good = round_file.path.read_bytes()
    round_file.path.write_bytes(good + b'\n[[bore]]\nhole = "h1"\nsize = "19.5\xff\0\0')
    append_entry(round_file, bore("09:10:00"))
    remarks = b'# cut off in writing: [[bore]]\n# cut off in writing: hole = "h1"\n'
    remarks += b'# cut off in writing: size = "19.5\\xff\n'
    assert round_file.path.read_bytes().startswith(good + b"\n" + remarks)


def test_a_broken_entry_higher_up_does_not_keep_the_person_from_measuring(round_file: RoundFile) -> None:
    """Somebody made a typing mistake in the middle; the next reading is added below it and both are used."""
    with round_file.path.open("a", encoding="utf-8") as file:
        file.write('\n[[bore]]\nhole = "h1"\nsize = 19.5 mm\nclock = "12"\nat = "09:01:00"\n')
    before = round_file.path.read_bytes()
    append_entry(round_file, bore("09:10:00", "19.70 mm"))
    assert round_file.path.read_bytes().startswith(before)
    assert sizes(round_file.folder) == ["19.42 mm", "19.70 mm"]
    assert [problem.line for problem in read(round_file.folder).problems] == [15]


def test_a_file_replaced_by_an_editor_at_that_very_moment_gets_the_entry(
    round_file: RoundFile, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The entry went into a file that no name leads to any more, so it is written again into the new one."""
    real, path = os.fsync, round_file.path
    new = path.read_bytes() + b"# a remark by hand\n"

    def saved_by_an_editor(handle: int) -> None:
        real(handle)
        monkeypatch.setattr("fieldlog.store.atomic.os.fsync", real)
        beside = path.with_suffix(".swap")
        beside.write_bytes(new)
        beside.replace(path)

    monkeypatch.setattr("fieldlog.store.atomic.os.fsync", saved_by_an_editor)
    append_entry(round_file, bore("09:10:00", "19.70 mm"))
    assert path.read_bytes().startswith(new)
    assert sizes(round_file.folder) == ["19.42 mm", "19.70 mm"]


def test_an_outside_edit_between_two_entries_is_seen(round_file: RoundFile) -> None:
    """The second entry gets a time that is free in the file as it now is."""
    with round_file.path.open("a", encoding="utf-8") as file:
        file.write('\n[[note]]\ntext = "by hand"\nat = "09:10:00"\n')
    assert append_entry(round_file, bore("09:10:00")).at == "09:10:00.2"
    assert len(read(round_file.folder).log.entries) == 3


def test_a_change_keeps_crlf_line_endings(folder: Path) -> None:
    """New keys and new records end their lines as the file does."""
    path = folder / MACHINE
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    change_record(folder, MACHINE, "joints", "j1", {"notes": "dry", "name": "Loader arm"})
    change_record(folder, MACHINE, "", "", {"kind": "tractor"})
    add_record(folder, MACHINE, "limits", Limit(parse_length("1.0 mm"), "manual", joint="j1"))
    data = path.read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n") > 0
    machine = read(folder).log.machine
    assert (machine.kind, machine.joints[0].notes, len(machine.limits)) == ("tractor", "dry", 1)


def test_a_file_saved_while_it_is_being_changed_is_changed_as_saved(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What an editor saved between reading and writing is read again, not written over."""
    path = folder / MACHINE
    calls = 0

    def edited(old: str, table: str, given: dict[str, object]) -> str:
        nonlocal calls
        calls += 1
        if calls == 1:
            path.write_text("# saved just now\n" + old, encoding="utf-8")
        return f'{old}\n[[{table}]]\nid = "{given["id"]}"\nkind = "{given["kind"]}"\n'

    monkeypatch.setattr("fieldlog.store.amend.appended", edited)
    change = Instrument("gauge", "tape")
    add_record(folder, MACHINE, "instruments", change)
    text = path.read_text(encoding="utf-8")
    assert calls == 2
    assert text.startswith("# saved just now\n")
    assert text.count('id = "gauge"') == 1


def test_a_limit_typed_by_hand_is_found_by_what_it_means(folder: Path) -> None:
    """Spaces and fraction signs in the file are not how the record writes them."""
    with (folder / MACHINE).open("a", encoding="utf-8") as file:
        file.write('\n[[limits]]\nrenew = "¾  in"\norigin = "manual"\njoint = "j1"\n')
    limit = read(folder).log.machine.limits[0]
    change_record(folder, MACHINE, "limits", limit, {"origin": "owner"})
    assert read(folder).log.machine.limits[0].origin == "owner"


@pytest.mark.parametrize(
    "file", ["../other/machine.toml", "grey/rounds/x.toml", "/etc/passwd", "grey", "a/../machine.toml"]
)
def test_only_the_two_kinds_of_file_are_ever_changed(folder: Path, file: str) -> None:
    """A path that leads elsewhere is refused before anything is opened."""
    with pytest.raises(StoreError):
        change_record(folder, file, "", "", {"name": "x"})


def test_an_empty_machine_file_is_not_added_to(folder: Path) -> None:
    """After a power cut it would become a file that looks right and has lost its joints."""
    (folder / MACHINE).write_bytes(b"")
    with refused("empty or not a logbook file"):
        change_record(folder, MACHINE, "", "", {"name": "x"})
    assert (folder / MACHINE).read_bytes() == b""


@pytest.mark.parametrize(
    ("old", "new", "line", "word"),
    [
        ("[[bore]]", "[[bores]]", 7, "did you mean bore?"),
        ("hole =", 'faces = "far"\nhole =', 8, "did you mean face?"),
        ("instrument =", "instrment =", 4, "did you mean instrument?"),
    ],
)
def test_a_near_miss_is_asked_about(round_file: RoundFile, old: str, new: str, line: int, word: str) -> None:
    """A key nearly right is passed over by the reader, so check asks."""
    text = round_file.path.read_text(encoding="utf-8").replace(old, new, 1)
    round_file.path.write_text(text, encoding="utf-8")
    found = [problem_text(problem) for problem in check_logbook(round_file.folder, None)]
    assert [sentence for sentence in found if word in sentence and f".toml:{line}: " in sentence] != []


def test_a_key_of_ones_own_is_left_in_peace(round_file: RoundFile) -> None:
    """Unknown keys that resemble nothing are the person's own."""
    text = round_file.path.read_text(encoding="utf-8").replace("hole =", 'weather = "rain"\nhole =', 1)
    round_file.path.write_text(text, encoding="utf-8")
    assert check_logbook(round_file.folder, None) == ()


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-be"])
def test_a_round_saved_as_utf_16_is_named_and_left_alone(round_file: RoundFile, encoding: str) -> None:
    """Some editors save so; it is no torn write, so nothing is added to it and nothing in it turned into a remark."""
    text = round_file.path.read_text(encoding="utf-8")
    saved = text.encode(encoding)
    saved = saved if saved.startswith((b"\xff\xfe", b"\xfe\xff")) else b"\xfe\xff" + saved
    round_file.path.write_bytes(saved)
    (problem,) = [p for p in check_logbook(round_file.folder, DAY) if p.file.endswith(round_file.path.name)]
    assert "UTF-16" in spoken.wrong(problem)
    with refused("cannot be added to"):
        append_entry(opened(round_file.folder), note("x"))
    assert round_file.path.read_bytes() == saved


def test_an_unreadable_machine_file_is_one_problem(round_file: RoundFile) -> None:
    """Its rounds name holes that nobody knows then, which follows from the one fault and is not said of each entry."""
    (round_file.folder / MACHINE).write_bytes(b"")
    files = [problem.file for problem in check_logbook(round_file.folder, DAY)]
    assert files == [MACHINE]


def test_what_is_wrong_in_the_logbook_itself_comes_first(round_file: RoundFile) -> None:
    """Everything else may follow from it."""
    (round_file.folder / "logbook.toml").write_bytes(b"nonsense")
    files = [problem.file for problem in check_logbook(round_file.folder, DAY)]
    assert files[0] == "logbook.toml"
    assert len(files) > 1


def test_a_round_at_the_end_of_the_calendar_stops_nothing(round_file: RoundFile) -> None:
    """A day after which no forecast could be worked out is named and its round left out; the others count."""
    text = round_file.path.read_text(encoding="utf-8").replace(DAY.isoformat(), "9999-12-31")
    last = round_file.path.with_name("9999-12-31-ada.toml")
    last.write_text(text, encoding="utf-8")
    logbook = read_logbook(round_file.folder).logbook
    assert [head.date for head in read_machine(round_file.folder, "grey", logbook).log.rounds] == [DAY]
    wrong = [spoken.wrong(p) for p in check_logbook(round_file.folder, DAY) if p.file.endswith(last.name)]
    assert "9999-12-31 cannot be right" in wrong
