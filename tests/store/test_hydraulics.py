"""[hydraulics] in machine.toml: read, checked with line and key, near misses named."""

from pathlib import Path

from fieldlog.records.machine import Logbook, Machine
from fieldlog.store.amend import add_machine, change_table, create_logbook
from fieldlog.store.hitch_reader import read_hydraulics_file
from fieldlog.store.reader import check_logbook
from fieldlog.words.speak import problem_text


def book(tmp_path: Path) -> Path:
    """A logbook with one machine."""
    create_logbook(tmp_path, Logbook("shop"))
    add_machine(tmp_path, Machine("grey"))
    return tmp_path / "grey" / "machine.toml"


def test_hydraulics_are_written_and_read_back(tmp_path: Path) -> None:
    """As typed, with what was there left alone."""
    path = book(tmp_path)
    before = path.read_text(encoding="utf-8")
    change_table(tmp_path, "grey/machine.toml", "hydraulics", {"remotes": 2})
    assert path.read_text(encoding="utf-8").startswith(before)
    with path.open("a", encoding="utf-8") as file:
        file.write('relief = "2500 psi"\npump_flow = "5 gpm"\nhose_inside = "3/8 in"\n')
    found = read_hydraulics_file(tmp_path, "grey")
    assert found.relief is not None
    assert found.relief.typed == "2500 psi"
    assert found.pump_flow is not None
    assert found.remotes == 2
    assert check_logbook(tmp_path, None) == ()


def test_wrong_units_and_near_misses_are_named_with_their_line(tmp_path: Path) -> None:
    """The good keys are used all the same."""
    path = book(tmp_path)
    with path.open("a", encoding="utf-8") as file:
        file.write('\n[hydraulics]\nrelief = "2500"\npump_flow = "5 bar"\nremotes = 200\n')
        file.write('relif = "1 bar"\nhose_inside = "3 in"\n')
    said = [problem_text(problem) for problem in check_logbook(tmp_path, None)]
    assert sum("grey/machine.toml:" in text for text in said) == len(said) == 5
    for word in ("relief", "pump_flow", "remotes", "did you mean relief", "hose"):
        assert any(word in text for text in said), word
