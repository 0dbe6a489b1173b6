"""The command line as the README writes it."""

import pytest

from fieldlog import cli


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
