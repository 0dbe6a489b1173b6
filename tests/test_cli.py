"""The command line as the manual writes it."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from fieldlog import cli
from fieldlog.store.files import sample_folder


@pytest.mark.parametrize(
    "words", [[], ["--ascii"], ["--mouse"], ["--ascii", "open"], ["open", "--ascii"], ["demo", "--mouse"]]
)
def test_the_options_of_the_screens_are_taken_with_and_without_a_command(
    words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """All of these get as far as looking for a terminal, which there is none of here."""
    with pytest.raises(SystemExit) as left:
        cli.main(words)
    assert left.value.code == 2
    assert "need a terminal" in capsys.readouterr().err


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
def test_a_report_can_be_printed_whatever_letters_the_terminal_has(encoding: str) -> None:
    """Plus-minus is written out where it cannot be shown; the data is JSON in UTF-8 all the same."""
    environment = {**os.environ, "PYTHONIOENCODING": encoding}
    command = [sys.executable, "-m", "fieldlog", "report", str(sample_folder()), "--machine", "small-loader"]
    told, data = (
        subprocess.run(
            [*command, *more], capture_output=True, check=True, env=environment, cwd=Path(__file__).parents[1]
        )
        for more in ([], ["--json"])
    )
    text = told.stdout.decode(encoding)
    assert ("±" in text) is (encoding == "utf-8")
    assert "clearance 0." in text
    assert "±" in json.dumps(json.loads(data.stdout.decode("utf-8")), ensure_ascii=False)


def fieldlog(*words: str, redirect: str = "") -> subprocess.CompletedProcess[bytes]:
    """Run a command in a shell that sends its output somewhere."""
    line = f'exec "$0" -m fieldlog "$@" {redirect}'
    command = ["sh", "-c", line, sys.executable, *words]
    return subprocess.run(command, capture_output=True, check=False, cwd=Path(__file__).parents[1])


@pytest.fixture(scope="module")
def sample_csv(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A table with an offer that no logbook takes."""
    path = tmp_path_factory.mktemp("table") / "offers.csv"
    path.write_text("name,closed (mm)\nBarrel,x\n", encoding="utf-8")
    return path


@pytest.mark.parametrize("command", ["report", "report --json", "check", "offers", "manual"])
@pytest.mark.parametrize(
    ("redirect", "why"), [(">&-", "standard output is closed"), ("> /dev/full", "the disk is full")]
)
def test_output_that_goes_nowhere_ends_in_one_sentence(sample_csv: Path, command: str, redirect: str, why: str) -> None:
    """A closed or full standard output: one line on the other stream, a status, and no traceback."""
    book = {"manual": [], "check": [str(sample_csv.parent)], "offers": [str(sample_csv)]}
    if command == "check":
        (sample_csv.parent / "logbook.toml").write_text("units = 3\n", encoding="utf-8")
    sample = [str(sample_folder())] if "report" in command or command == "offers" else []
    done = fieldlog(*command.split(), *book.get(command, []), *sample, redirect=redirect)
    told = done.stderr.decode()
    assert done.returncode == 2
    assert told.count("\n") == 1
    assert told.startswith("fieldlog: ")
    assert why in told


def test_a_reader_that_goes_away_is_no_fault() -> None:
    """`report | head -1` says nothing on the other stream and ends as programs end that lose their reader."""
    report = f"{sys.executable} -m fieldlog report {sample_folder()}"
    line = f"{{ {report}; echo $? >&2; }} | head -1 > /dev/null"
    done = subprocess.run(["sh", "-c", line], capture_output=True, check=True, cwd=Path(__file__).parents[1])
    assert done.stderr.decode().split() == ["141"]


STEERING = "\x1b]52;c;eA==\x07 \x9b2J \u202e \u2066 \u061c \x7f"
SPELLED = r'"\u001b]52;c;eA==\u0007 \u009b2J \u202e \u2066 \u061c \u007f"'


def has_steering(data: bytes) -> bool:
    return any(not char.isprintable() and char != "\n" for char in data.decode("utf-8"))


def test_nothing_in_a_table_of_offers_steers_the_terminal(tmp_path: Path) -> None:
    """Escape sequences and letters that turn the writing round, in headings, names and cells; taken or refused."""
    shutil.copytree(sample_folder(), tmp_path / "fleet", copy_function=shutil.copyfile)
    table = tmp_path / "offers.csv"
    for heading, size in ((STEERING, "533"), (f"closde{STEERING}", "533"), ("colour", STEERING)):
        table.write_text(f"name,{heading},closed (mm)\nBarrel {STEERING},1,{size}\n", encoding="utf-8")
        done = fieldlog("offers", str(table), str(tmp_path / "fleet"))
        assert done.stdout
        assert not has_steering(done.stdout + done.stderr)


def test_nothing_in_a_logbook_steers_the_terminal(tmp_path: Path) -> None:
    """Names of everything, notes, and values that are refused: in check, report, JSON and what is said of a mistake."""
    fleet = tmp_path / "fleet"
    shutil.copytree(sample_folder(), fleet, copy_function=shutil.copyfile)
    for file in fleet.rglob("*.toml"):
        lines = file.read_text(encoding="utf-8").split("\n")
        named = ("name = ", "text = ", "supplier = ", "maker = ", "serial = ", "notes = ", "note = ", "origin = ")
        lines = [f"{line.split(' = ')[0]} = {SPELLED}" if line.startswith(named) else line for line in lines]
        file.write_text("\n".join(lines) + f"\n[[limits]]\nrenew = {SPELLED}\norigin = {SPELLED}\n", encoding="utf-8")
    one = ["--machine", "hill-tractor"]
    for words in (["check"], ["report", *one], ["report", "--budget", *one], ["report", "--json", *one]):
        done = fieldlog(words[0], str(fleet), *words[1:])
        assert b"]52;c" in done.stdout
        assert not has_steering(done.stdout + done.stderr)
        if "--json" in words:
            assert json.loads(done.stdout)["logbook"] == STEERING
    done = fieldlog("report", str(fleet), "--machine", f"no {STEERING}")
    assert done.returncode == 2
    assert not has_steering(done.stderr)
