"""Checks of instruments in logbook.toml: read, reported, added, struck; temperatures in the heads of rounds."""

import datetime
from pathlib import Path

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import parse_temperature
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.entries import LengthReading, Round
from fieldlog.store.amend import add_record, change_record
from fieldlog.store.reader import check_logbook, read_logbook, read_machine
from fieldlog.store.rounds import append_entry, open_round
from tests import spoken

TODAY = datetime.date(2026, 5, 1)
HEAD = """format = 1
name = "shop"

[[people]]
id = "ann"

[[instruments]]
id = "blue"
resolution = "0.01 mm"
jaw_width = "1.0 mm"

[[instruments]]
id = "tape"
kind = "tape"
"""


def logbook(folder: Path, text: str = "") -> Path:
    """Write a logbook with a machine."""
    (folder / "logbook.toml").write_text(HEAD + text, encoding="utf-8")
    machine = folder / "tractor"
    machine.mkdir()
    (machine / "machine.toml").write_text('format = 1\n\n[[links]]\nid = "top"\n', encoding="utf-8")
    return folder


def check_text(**keys: str) -> str:
    """Return a check as TOML; a key given as "" is left out."""
    table = {"instrument": '"blue"', "date": "2026-03-04", "kind": '"zero"', "readings": '["0.01 mm", "-0.02 mm"]'}
    lines = [f"{key} = {value}" for key, value in {**table, **keys}.items() if value]
    return "\n[[checks]]\n" + "\n".join(lines) + "\n"


def test_checks_are_given_to_their_instrument(tmp_path: Path) -> None:
    """A check is read with its signs and stands with its own instrument; the file checks clean."""
    folder = logbook(tmp_path, check_text())
    blue, tape = read_logbook(folder).logbook.instruments
    assert [float(shown.mm) for shown in blue.checks[0].readings] == [0.01, -0.02]
    assert tape.checks == ()
    assert check_logbook(folder, TODAY) == ()


@pytest.mark.parametrize(
    ("keys", "key", "said"),
    [
        ({"instrument": '"red"'}, "instrument", '"red" is not known'),
        ({"date": "2026-06-01"}, "date", "still to come"),
        ({"readings": "[]"}, "readings", "there is none"),
        ({"readings": '["0.01"]'}, "readings", "has no unit"),
        ({"readings": "[0.01]"}, "readings", "has no unit"),
        ({"readings": '["wide"]'}, "readings", "unit"),
        ({"readings": '["19.9 mm"]'}, "readings", "closed jaws read about 0"),
        ({"kind": '"bore"'}, "kind", "is not a choice here"),
        ({"kind": '"known bore"'}, "size", "needs one above 0"),
        ({"kind": '"known bore"', "size": '"20 mm"', "readings": '["0.787 mm"]'}, "readings", "is not used"),
        ({"kind": '"known bore"', "size": '"0.9 mm"', "readings": '["0.8 mm"]'}, "size", "do not go into a bore"),
        ({"instrument": '"tape"'}, "kind", "a tape cannot be closed"),
        ({"readings": ""}, "readings", "is missing"),
    ],
)
def test_wrong_checks_are_reported_with_their_line(tmp_path: Path, keys: dict[str, str], key: str, said: str) -> None:
    """Each fault is one problem at its own key's line; nothing else is hidden by it."""
    folder = logbook(tmp_path, check_text(**keys))
    (problem,) = check_logbook(folder, TODAY)
    assert problem.key == key
    assert said in spoken.wrong(problem)
    assert spoken.accepted(problem)
    line = (folder / "logbook.toml").read_text().splitlines()[problem.line - 1]
    assert key in line or line == "[[checks]]"


def test_impossible_instruments_are_reported(tmp_path: Path) -> None:
    """Jaws as wide as a hand and limits of nothing."""
    folder = logbook(tmp_path)
    text = HEAD.replace('jaw_width = "1.0 mm"', 'jaw_width = "12 mm"\nerror_limit = "0 mm"')
    (folder / "logbook.toml").write_text(text, encoding="utf-8")
    assert {problem.key for problem in check_logbook(folder, TODAY)} == {"jaw_width", "error_limit"}


def test_a_misspelt_heading_is_asked_about(tmp_path: Path) -> None:
    """[[check]] is passed over and asked about."""
    folder = logbook(tmp_path, check_text().replace("[[checks]]", "[[check]]"))
    assert any("did you mean checks" in spoken.accepted(problem) for problem in check_logbook(folder, TODAY))


def test_a_check_is_added_and_struck_where_it_stands(tmp_path: Path) -> None:
    """A check goes to the end of the file, every old byte kept; a strike is one key more in it."""
    folder = logbook(tmp_path, check_text())
    before = (folder / "logbook.toml").read_bytes()
    size, tolerance = parse_length("20.000 mm"), parse_length("0.005 mm")
    new = Check("blue", TODAY, "known bore", parse_shown_list("19.95 19.96"), size, tolerance, "ring", "ann")
    add_record(folder, "logbook.toml", "checks", new)
    assert (folder / "logbook.toml").read_bytes().startswith(before)
    assert read_logbook(folder).logbook.instruments[0].checks[1] == new
    change_record(folder, "logbook.toml", "checks", new, {"struck": "wrong ring"})
    assert read_logbook(folder).logbook.instruments[0].checks[1].struck == "wrong ring"
    assert check_logbook(folder, TODAY) == ()


def test_temperature_of_a_round_reaches_its_lengths(tmp_path: Path) -> None:
    """The head's temperature holds for lengths without one of their own; 46 degF goes through Pint."""
    folder = logbook(tmp_path)
    head = Round("", TODAY, "ann", "blue", "tape", parse_temperature("46 degF"))
    entry = LengthReading(
        at="09:00:00", round="", day=TODAY, who="ann", link="top", size=parse_length("650 mm"), way="centres"
    )
    append_entry(open_round(folder, "tractor", head), entry)
    text = (folder / "tractor" / "rounds" / "2026-05-01-ann.toml").read_text()
    assert text.count('temperature = "46 degF"') == 1
    (read,) = read_machine(folder, "tractor", read_logbook(folder).logbook).log.standing(LengthReading)
    assert read.temperature is not None
    assert read.temperature.deg_c == pytest.approx((46 - 32) * 5 / 9)
    assert check_logbook(folder, TODAY) == ()


@pytest.mark.parametrize("text", ['"8"', "8", '"warm"', '"8 bar"', '"200 degC"'])
def test_wrong_temperatures_are_reported(tmp_path: Path, text: str) -> None:
    """A temperature needs its unit and must be one that people work in."""
    folder = logbook(tmp_path)
    rounds = folder / "tractor" / "rounds"
    rounds.mkdir()
    head = f'format = 1\ndate = 2026-05-01\nwho = "ann"\ntemperature = {text}\n'
    (rounds / "2026-05-01-ann.toml").write_text(head, encoding="utf-8")
    (problem,) = check_logbook(folder, TODAY)
    assert problem.key == "temperature"
    assert problem.line == 4
