"""The command line as the manual writes it."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from fieldlog import cli
from fieldlog.store.demo import sample_folder


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
