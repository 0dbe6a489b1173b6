"""A report reads every file once, and holds few machines in memory at a time."""

import json
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from fieldlog.store.files import sample_folder
from tests.benchmarks.make_big_logbook import write_logbook

ROOT = Path(__file__).parents[2]
COUNTING = """
import collections, json, sys
opened = collections.Counter()
def hook(event, given):
    if event == "open" and isinstance(given[0], str) and given[0].endswith(".toml"):
        opened[given[0]] += 1
sys.addaudithook(hook)
from fieldlog.cli import main
try:
    main(["report", *sys.argv[1:]])
finally:
    print(json.dumps(opened), file=sys.stderr)
"""
PEAK = """
import sys
from fieldlog.cli import main
try:
    main(["report", *sys.argv[1:]])
finally:
    status = open("/proc/self/status").read()
    print(next(row.split()[1] for row in status.splitlines() if row.startswith("VmHWM")), file=sys.stderr)
"""


def run(code: str, *arguments: str) -> str:
    """Run the report within some code and return what that says."""
    command = [sys.executable, "-c", code, *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stderr


@pytest.mark.parametrize(
    "more",
    [
        [],
        ["--json"],
        ["--budget"],
        ["--json", "--budget"],
        ["--machine", "Small loader"],
        ["--joint", "bucket pin, right"],
    ],
)
def test_every_file_is_read_once(more: list[str]) -> None:
    """Logbook, machines, rounds, offers, kept recommendations, studies: each is opened once, and none is left out."""
    opened = Counter(json.loads(run(COUNTING, str(sample_folder()), *more)))
    assert {file: count for file, count in opened.items() if count != 1} == {}
    files = {str(file) for file in sample_folder().rglob("*.toml")}
    if "--joint" in more:
        files = {file for file in files if "/offers/" not in file}
    assert set(opened) == files


@pytest.mark.parametrize("more", [[], ["--json"]])
def test_the_memory_of_a_report_does_not_grow_with_the_fleet(tmp_path: Path, more: list[str]) -> None:
    """24 machines over 6 years need hardly more than 12: what is printed goes out, what is worked out is put aside."""
    peaks = []
    for machines in (12, 24):
        folder = tmp_path / str(machines)
        write_logbook(folder, machines, years=6)
        peaks.append(int(run(PEAK, str(folder), *more).split()[-1]))
    assert peaks[1] < 1.08 * peaks[0]
