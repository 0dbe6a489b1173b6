"""Any bytes in any one file: what stands in every other file stays in sight, and nothing ends in a traceback."""

import datetime
import random
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldlog.records.entries import Note
from fieldlog.store.document import document_of
from fieldlog.store.files import sample_folder
from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file
from fieldlog.store.offers import read_offers
from fieldlog.store.reader import check_logbook, read_logbook, read_machine
from fieldlog.store.retrofits import read_retrofits
from fieldlog.store.toml_text import lines_of
from fieldlog.words.speak import problem_text
from tests import spoken

TODAY = datetime.date(2026, 11, 28)
HEAD = 'format = 1\ndate = 2026-03-04\nwho = "ada"\n'
ROUND = "grey/rounds/2026-03-04-ada.toml"
LISTS = ("note", "pin", "limits", "checks", "rod_holes", "implements", "measured", "bore", "joints", "people", "basis")
LONGEST = 450  # letters of a message: the longest list of choices is most of it
EACH = 2  # mutations of each file; tests/benchmarks/broken_files.py makes as many as are asked for
NASTY = (
    b"\x00", b"\xff\xfe", b"\x1b]52;c;eA==\x07", b'"""', b"'''", b"[[", b"]", b"{", b"}", b"=", b"\\u202e", b"\n[x]\n",
    b"[" * 300, b"9" * 5000, b'note = "x"\n', b"<<<<<<< ours\n", b"size = {a = 1}\n", b"id = [1, 2]\n", b"nan", b"-",
)  # fmt: skip


@pytest.fixture(scope="module")
def fleet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of two machines of the sample that may be broken; each test puts back what it broke."""
    folder = tmp_path_factory.mktemp("broken") / "fleet"
    others = shutil.ignore_patterns("mini-digger", "small-loader", "yard-tractor")
    shutil.copytree(sample_folder(), folder, copy_function=shutil.copyfile, ignore=others)
    return folder


def files_of(folder: Path) -> list[Path]:
    return sorted(path.relative_to(folder) for path in folder.rglob("*.toml"))


def broken(data: bytes, chance: random.Random) -> bytes:
    """Return the bytes of a file with one thing done to them that a hand, a disk or a program might do."""
    at, to = sorted(chance.randrange(len(data) + 1) for _ in range(2))
    lines = data.splitlines(keepends=True)
    line = chance.randrange(len(lines))
    ways: tuple[Callable[[], bytes], ...] = (
        lambda: data[:at],
        lambda: data[:at] + data[to:],
        lambda: data[:at] + chance.choice(NASTY) + data[at:],
        lambda: data[:at] + chance.randbytes(1 + chance.randrange(40)) + data[to:],
        lambda: b"".join((*lines[:line], *lines[line + 1 :])),
        lambda: b"".join((*lines[:line], chance.choice(lines), *lines[line:])),
        lambda: b"".join((*lines[:line], chance.choice(LISTS).encode(), b' = "x"\n', *lines[line:])),
        lambda: b"".join((*lines[:line], lines[line].partition(b"=")[0], b"= ", chance.choice(NASTY), b"\n")),
        lambda: chance.randbytes(1 + chance.randrange(300)),
    )
    return chance.choice(ways)()


def in_sight(folder: Path, but: Path | None = None) -> list[tuple[str, object]]:
    """Return the records by the files they stand in, without those of one file."""
    book = read_logbook(folder, TODAY)
    found: list[tuple[str, object]] = [
        ("logbook.toml", (book.logbook.name, book.logbook.people, book.logbook.limits)),
        ("logbook.toml", read_implements_file(folder).implements),
        *((f"offers/{offer.id}.toml", offer) for offer in read_offers(folder).offers),
    ]
    for machine_id in book.machine_ids:
        read, file = read_machine(folder, machine_id, book.logbook, TODAY), f"{machine_id}/machine.toml"
        found += [(file, read.log.machine), (file, read_hitch_file(folder, machine_id).parts)]
        found += [(item.document.file, [placed.record for placed in item.entries]) for item in read.rounds]
        found += [(f"{machine_id}/retrofits/{kept.id}.toml", kept) for kept in read_retrofits(folder, machine_id).kept]
    return [(file, records) for file, records in found if file != str(but)]


def test_any_bytes_in_one_file_hide_nothing_of_the_others(fleet: Path) -> None:
    """Each file of the sample is broken in several ways; every other record stays, each problem is short and plain."""
    chance = random.Random(20261128)
    for file in files_of(fleet):
        whole, expected = (fleet / file).read_bytes(), in_sight(fleet, file)
        for _ in range(EACH):
            data = broken(whole, chance)
            (fleet / file).write_bytes(data)
            sentences = [problem_text(problem) for problem in check_logbook(fleet, TODAY)]
            assert in_sight(fleet, file) == expected, (file, data)
            assert all(sentence.isprintable() and len(sentence) < LONGEST for sentence in sentences), (file, data)
        (fleet / file).write_bytes(whole)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small logbook, written by hand."""
    (tmp_path / "grey" / "rounds").mkdir(parents=True)
    (tmp_path / "offers").mkdir()
    (tmp_path / "logbook.toml").write_text('format = 1\nname = "Book"\n\n[[people]]\nid = "ada"\n', encoding="utf-8")
    (tmp_path / "grey" / "machine.toml").write_text('format = 1\nname = "Grey"\n', encoding="utf-8")
    (tmp_path / "offers" / "one.toml").write_text('format = 1\nname = "One"\n', encoding="utf-8")
    (tmp_path / ROUND).write_text(HEAD, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("file", ["logbook.toml", "grey/machine.toml", "offers/one.toml", ROUND])
@pytest.mark.parametrize("name", LISTS)
def test_a_plain_value_under_the_name_of_a_list_is_a_problem_at_its_line(book: Path, file: str, name: str) -> None:
    """Without any heading of that name in the file; once a file has taken such a line, the rest is read on."""
    (book / file).write_text((book / file).read_text().replace("format = 1\n", f'format = 1\n{name} = "x"\n'))
    problems = [problem for problem in check_logbook(book, TODAY) if problem.file == file]
    assert all(problem.line == 2 for problem in problems)
    belongs = {
        "logbook.toml": ("limits", "checks", "implements", "people"),
        "grey/machine.toml": ("limits", "rod_holes", "joints"),
        "offers/one.toml": ("measured",),
        ROUND: ("note", "pin", "bore"),
    }[file]
    if name in belongs:
        has_records = f"[[{name}]]" in (book / file).read_text()
        wrong = f"[{name}] clashes with a heading below" if has_records else f"{name} is not a list of records"
        assert [spoken.wrong(problem) for problem in problems] == [wrong]


def test_a_plain_value_hides_no_record_that_has_its_name(book: Path) -> None:
    """Two notes below a line `note = ...`: both are read, and the line is what is wrong."""
    notes = "".join(f'\n[[note]]\ntext = "greased"\nat = "09:0{n}:00"\n' for n in range(2))
    (book / ROUND).write_text(f'format = 1\nnote = "greased it all"\n{HEAD[11:]}{notes}', encoding="utf-8")
    read = read_machine(book, "grey", read_logbook(book).logbook)
    assert len(read.log.standing(Note)) == 2
    assert [(problem.line, problem.file) for problem in read.problems] == [(2, ROUND)]


@pytest.mark.parametrize(
    ("records", "line"),
    [
        ('note = [{text = "a", at = "09:00:00"}, {text = "b", signs = ["x"], at = "09:01:00"}]\n', 4),
        ('note = [\n  {text = "a", at = "09:00:00"},\n  {text = "b", signs = ["x"], at = "09:01:00"}\n]\n', 6),
        ('[[note]]\ntext = """long\n[[note]]\nsigns = 1"""\nat = "09:00:00"\n[[note]]\nsigns = ["x"]\nat = "9"\n', 10),
        ("[[note]]\ntext = '''it's\n'long'''\nsigns = ['x']\nat = '09:00:00'\n", 7),
        ('[[ "note" ]] # one\nat = "09:00:00"\ntext = "a" # signs = 1\nsigns = [ # two\n "x",\n]\n', 7),
        ('[[note]]\nat = "09:00:00"\nsigns = ["x"]\n[[bore]]\nsize = = 3\n', 6),
        ('note = [\n {at = "09:00:00"},\n {signs = ["x"], at = "09:01:00"}]\n[[bore]]\nsize = = 3\n', 6),
    ],
)
def test_every_problem_has_its_line_however_the_file_is_written(book: Path, records: str, line: int) -> None:
    """Tables between braces, long texts that look like headings, quoted headings, and all of them beside a fault."""
    (book / ROUND).write_text(HEAD + records, encoding="utf-8")
    lines = {problem.line for problem in check_logbook(book, TODAY) if problem.key == "signs"}
    assert lines == {line}


def test_the_line_of_every_key_of_the_sample_is_the_one_it_stands_on() -> None:
    """What the scanner says of a record's keys, held against the text of that line."""
    for file in files_of(sample_folder()):
        text = (sample_folder() / file).read_text(encoding="utf-8")
        lines, places = text.split("\n"), lines_of(text)
        for name, value in document_of(str(file), text.encode()).table.items():
            records = value if isinstance(value, list) and value and isinstance(value[0], dict) else []
            for index, record in enumerate(records):
                heading = lines[places[name, index] - 1]
                assert heading == f"[[{name}]]" or heading.startswith(f"    {{ {next(iter(record))} = ")
                for key in record:
                    assert f"{key} = " in lines[places[name, index, key] - 1]
            assert records or lines[places[name,] - 1].startswith((f"{name} = ", f"[{name}]"))


def test_nothing_is_shown_of_what_a_link_out_of_the_logbook_leads_to(book: Path, tmp_path: Path) -> None:
    """A link to a file that is no logbook's is called that; one to a round kept elsewhere is read as any other."""
    secret = tmp_path.parent / f"{tmp_path.name}-secret"
    secret.write_text("root:x:0:0:secret\n", encoding="utf-8")
    away = tmp_path.parent / f"{tmp_path.name}-away.toml"
    away.write_text(HEAD.replace("03-04", "03-06") + '\n[[note]]\ntext = "x"\nsigns = ["y"]\nat = "09:00:00"\n')
    (book / "grey/rounds/2026-03-05-ada.toml").symlink_to(secret)
    (book / "grey/rounds/2026-03-06-ada.toml").symlink_to(away)
    found = [problem_text(problem) for problem in check_logbook(book, TODAY)]
    assert len(found) == 2
    assert "root" not in "".join(found)
    assert "a link to something that is no file of a logbook" in found[0]
    assert '2026-03-06-ada.toml:7: signs: "y" is not a choice here' in found[1]


LONG = "\\u001b]52;c;" + "x" * 6000
VALUES = (
    f'"{LONG}"',
    f'"12{"0" * 6000} mm"',
    f'["{LONG}"]',
    "9" * 4000,
    f'"3/4 {LONG} in"',
    f'"M24x3 {LONG} LH"',
    "{a = 1}",
)


def test_no_message_is_longer_than_a_person_reads(fleet: Path) -> None:
    """Every key of the sample's files once with values of 6,000 letters: what is said of it stays a few lines."""
    seen = set()
    for file in files_of(fleet):
        whole, heading = (fleet / file).read_text(encoding="utf-8"), ""
        lines = whole.split("\n")
        for number, line in enumerate(lines):
            heading = line if line.startswith("[") else heading
            key, equals, _ = line.partition(" = ")
            if not equals or (file.parent.name, heading, key) in seen or not key.isidentifier():
                continue
            seen.add((file.parent.name, heading, key))
            (fleet / file).write_text("\n".join([*lines[:number], f"{key} = {chosen(key)}", *lines[number + 1 :]]))
            for problem in check_logbook(fleet, TODAY):
                assert len(problem_text(problem)) < LONGEST, (file, line, chosen(key)[:30], problem_text(problem))
                assert problem_text(problem).isprintable()
        (fleet / file).write_text(whole, encoding="utf-8")
    assert len(seen) > 120


def chosen(key: str) -> str:
    """Return one of the long values, another for each key."""
    return VALUES[sum(map(ord, key)) % len(VALUES)]
