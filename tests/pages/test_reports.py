"""The same findings printed and as data, and the command line around them."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Container, Iterator, Mapping
from pathlib import Path

import pytest

from fieldlog.pages.canvas import DialShape, dial_lines, magnification
from fieldlog.pages.lines import fit, wrapped
from fieldlog.store.files import sample_folder

ROOT = Path(__file__).parents[2]


def run(*arguments: str, **environment: str) -> "subprocess.CompletedProcess[str]":
    """Run the command line as a person does, with no terminal."""
    command = [sys.executable, "-m", "fieldlog", *arguments]
    env = {**os.environ, **environment}
    return subprocess.run(
        command, capture_output=True, text=True, cwd=ROOT, stdin=subprocess.DEVNULL, check=False, env=env
    )


def test_the_report_is_plain_when_piped_and_fits_80_columns() -> None:
    """No escape sequence, the worst first."""
    done = run("report", str(sample_folder()))
    assert done.returncode == 0
    assert "\x1b" not in done.stdout
    assert max(map(len, done.stdout.splitlines())) <= 80
    assert done.stdout.index("▇▇ stop") < done.stdout.index("▇▄ renew") < done.stdout.index("▄▄ plan")


def test_the_data_say_what_the_report_says() -> None:
    """Verdicts, reasons, sizes with their uncertainty; with --budget its parts."""
    data = json.loads(run("report", str(sample_folder()), "--json", "--budget").stdout)
    printed = " ".join(run("report", str(sample_folder())).stdout.split())
    assert data["shape"] == 2
    assert data["due"][0]["verdict"] == "stop"
    for item in data["due"]:
        assert " ".join(item["reason"].split()) in printed
    joint = data["machines"][0]["joints"][0]
    worn = joint["holes"][0]["worn_size"]
    assert worn["plus_minus_mm"] > worn["u_mm"] > 0
    assert sum(part["u_mm"] ** 2 for part in worn["parts"]) ** 0.5 == pytest.approx(worn["u_mm"], abs=1e-5)


def test_the_data_hold_readings_as_read_and_as_corrected() -> None:
    """The sample's blue caliper was checked in two known bores: offset, width, and every line before and after."""
    data = json.loads(run("report", str(sample_folder()), "--json", "--machine", "flail-mower").stdout)
    blue = next(item for item in data["instruments"] if item["id"] == "blue")
    assert blue["jaws"]["width"]["mm"] == pytest.approx(0.8, abs=blue["jaws"]["width"]["plus_minus_mm"])
    assert blue["remarks"] == []
    days = [day for joint in data["machines"][0]["joints"] for hole in joint["holes"] for day in hole["history"]]
    lines = [line for day in days for line in day["lines"]]
    offset, width = blue["jaws"]["offset"]["mm"], blue["jaws"]["width"]["mm"]
    newest = days[-1]["lines"][0]
    expected = [((mm + offset) ** 2 + width**2) ** 0.5 for mm in newest["read_mm"]]
    assert newest["corrected_mm"] == pytest.approx(expected, abs=1e-4)
    assert all(len(line["read_mm"]) == len(line["corrected_mm"]) > 0 for line in lines)


def test_an_unchecked_caliper_is_said_in_report_and_data(tmp_path: Path) -> None:
    """Without its checks the sample's caliper is not checked: the hole says so, and what it costs."""
    folder = tmp_path / "book"
    shutil.copytree(sample_folder(), folder)
    text = (folder / "logbook.toml").read_text(encoding="utf-8")
    (folder / "logbook.toml").write_text(text.partition("[[checks]]")[0], encoding="utf-8")
    printed = " ".join(run("report", str(folder), "--machine", "hill-tractor").stdout.split())
    assert "Blue digital caliper not checked this season" in printed
    before, after = (
        json.loads(run("report", str(place), "--json", "--budget").stdout)["machines"][0]["joints"][0]["holes"][0][
            "worn_size"
        ]
        for place in (sample_folder(), folder)
    )
    assert after["plus_minus_mm"] > before["plus_minus_mm"]
    assert any("not checked" in part["name"] for part in after["parts"])


def test_one_machine_alone_is_chosen_by_name_or_folder() -> None:
    """A name nobody has is answered with those there are."""
    by_name = run("report", str(sample_folder()), "--machine", "Mini digger", "--json")
    by_folder = run("report", str(sample_folder()), "--machine", "mini-digger", "--json")
    assert json.loads(by_name.stdout)["machines"] == json.loads(by_folder.stdout)["machines"]
    wrong = run("report", str(sample_folder()), "--machine", "nobody")
    assert wrong.returncode == 2
    assert "mini-digger" in wrong.stderr


def without(data: object, keys: Container[str]) -> object:
    """Data without some keys, wherever they stand."""
    if isinstance(data, dict):
        return {key: without(value, keys) for key, value in data.items() if key not in keys}
    return [without(value, keys) for value in data] if isinstance(data, list) else data


def sizes_in(data: object) -> Iterator[Mapping[str, object]]:
    """Every size in some data."""
    if isinstance(data, dict):
        yield from [data] if "u_mm" in data and "mm" in data else []
        data = list(data.values())
    for value in data if isinstance(data, list) else ():
        yield from sizes_in(value)


def test_the_data_are_small_and_how_each_number_follows_comes_when_asked_for() -> None:
    """400 kB for the sample; with --budget the same and the derivations, nothing else; no list item over two lines."""
    small, whole = (run("report", str(sample_folder()), "--json", *more).stdout for more in ([], ["--budget"]))
    assert len(small.encode()) <= 400_000
    data, opened = json.loads(small), json.loads(whole)
    assert set(opened) - set(data) == {"opened", "opened_beside"}
    derivations = {"opened", "opened_beside", "numbers", "force_and_oil_numbers", "lines", "coverage"}
    assert without(without_parts(opened), derivations) == data
    sizes = list(sizes_in(data))
    assert len(sizes) > 500
    assert all(size["plus_minus_mm"] is not None and "dof" in size and "parts" not in size for size in sizes)
    assert all(size["parts"] for size in sizes_in(opened) if size["u_mm"])
    assert small.count("\n") < 400


def without_parts(data: object) -> object:
    """Data whose sizes have no parts; what is ordered and kept has parts of another kind."""
    if isinstance(data, dict):
        return {key: without_parts(value) for key, value in data.items() if key != "parts" or "u_mm" not in data}
    return [without_parts(value) for value in data] if isinstance(data, list) else data


def test_one_joint_as_data_has_its_derivations_and_no_other_joint() -> None:
    """By its name or id; a name nobody has is answered with those there are."""
    done = run("report", str(sample_folder()), "--json", "--joint", "bucket pin, right")
    data = json.loads(done.stdout)
    (machine,) = data["machines"]
    assert [joint["id"] for joint in machine["joints"]] == ["bucket-right"]
    assert {(item["machine"], item["joint"]) for item in data["opened"]} == {("small-loader", "bucket-right")}
    assert {row["joint"] for row in data["rates"]} == {"bucket-right"}
    assert data["opened"][0]["numbers"][0]["steps"]
    wrong = run("report", str(sample_folder()), "--json", "--joint", "nothing")
    assert (wrong.returncode, wrong.stdout) == (2, "")
    assert "Bucket pin, right" in wrong.stderr


def test_check_is_silent_and_0_or_lists_and_1(tmp_path: Path) -> None:
    """The exit status tells a script."""
    assert run("check", str(sample_folder())).returncode == 0
    (tmp_path / "logbook.toml").write_text('name = "x"\n', encoding="utf-8")
    done = run("check", str(tmp_path))
    assert done.returncode == 1
    assert done.stdout.startswith("logbook.toml:")


@pytest.mark.parametrize("command", [["demo"], [], ["open"]])
def test_without_a_terminal_it_says_what_it_needs_and_what_works(command: list[str], tmp_path: Path) -> None:
    """No traceback, no spinning."""
    done = run(*command, HOME=str(tmp_path))
    assert done.returncode == 2
    assert "need a terminal" in done.stderr
    assert "report" in done.stderr
    assert "Traceback" not in done.stderr


def test_a_folder_without_a_logbook_is_said_in_a_sentence(tmp_path: Path) -> None:
    """Not a traceback."""
    done = run("report", str(tmp_path))
    assert done.returncode == 2
    assert "logbook.toml" in done.stderr
    assert "Traceback" not in done.stderr


def test_lines_never_grow_past_their_width() -> None:
    """Long words are broken, cuts are marked."""
    assert all(len(row.text) <= 20 for row in wrapped("a" * 50 + " bb " + "c" * 21, 20))
    assert fit("abcdefgh", 5) == "abc.."
    assert fit("ab", 5) == "ab   "
    assert fit("abc defgh", 6) == "abc.. "


@pytest.mark.parametrize("ascii_only", [True, False])
def test_the_dial_shows_the_long_axis_along_which_it_wore(ascii_only: bool) -> None:
    """A bore worn along 3-9 reaches further out to the side than up."""
    shape = DialShape(19.68, -0.27, 0.0, 19.41, ((0.0, 19.41), (90.0, 19.95)))
    rows = [line.text for line in dial_lines(shape, 33, 13, ascii_only=ascii_only)]
    assert all(len(row) == 33 for row in rows)
    marks = [(x, y) for y, row in enumerate(rows) for x, char in enumerate(row) if char == "o"]
    wide = max(x for x, _ in marks) - min(x for x, _ in marks)
    high = max(y for _, y in marks) - min(y for _, y in marks)
    assert wide / 2 > high
    assert magnification(shape) >= 5
    assert all(char.isascii() for row in rows for char in row) is ascii_only


def test_a_sellers_escape_sequences_do_not_reach_the_terminal(tmp_path: Path) -> None:
    """An offer may come from anybody's file."""
    shutil.copytree(sample_folder(), tmp_path / "book")
    for offer, evil in (("d-203-long", '"\\u001b[31m"'), ("odd-three-numbers", '"\\u202e"')):
        path = tmp_path / "book" / "offers" / f"{offer}.toml"
        rows = path.read_text(encoding="utf-8").splitlines(keepends=True)
        rows = [f"name = {evil}\n" if row.startswith("name = ") else row for row in rows]
        path.write_text("".join(rows), encoding="utf-8")
    printed = run("report", str(tmp_path / "book")).stdout
    assert "\u001b" not in printed
    assert "\u202e" not in printed
    assert "x1b[31m" in printed
