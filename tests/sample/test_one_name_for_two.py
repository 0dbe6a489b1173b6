"""Two calipers that somebody calls the same, their ids kept, change nothing in the report but the names shown."""

import shutil
import subprocess
import sys
from pathlib import Path

from fieldlog.store.files import sample_folder

NAMES = ("blue digital caliper", "steel inch caliper")


def report(folder: Path) -> list[str]:
    """Return the words of a report with one stand-in for the calipers' names, wherever its lines break."""
    command = [sys.executable, "-m", "fieldlog", "report", str(folder)]
    told = subprocess.run(command, capture_output=True, check=True, cwd=Path(__file__).parents[2])
    text = " ".join(told.stdout.decode().split())
    for name in NAMES:
        text = text.replace(name, "caliper").replace(f"{name[:1].upper()}{name[1:]}", "Caliper")
    return text.split(" ")


def test_two_calipers_of_one_name_are_two_in_the_report(tmp_path: Path) -> None:
    """Every number, verdict and order of the sample's report stays."""
    folder = tmp_path / sample_folder().name
    shutil.copytree(sample_folder(), folder)
    logbook = folder / "logbook.toml"
    text = logbook.read_text(encoding="utf-8")
    assert text.count(f'name = "{NAMES[1]}"') == 1
    logbook.write_text(text.replace(f'name = "{NAMES[1]}"', f'name = "{NAMES[0]}"'), encoding="utf-8")
    before = report(sample_folder())
    assert len(before) > 5000
    assert report(folder) == before
