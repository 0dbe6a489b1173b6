"""Strikes, strikes of strikes, and strikes that strike each other."""

import datetime

from fieldlog.records.entries import Note, Strike, struck_keys

DAY = datetime.date(2026, 3, 4)


def note(at: str) -> Note:
    return Note(at=at, round="r", day=DAY, who="ada", text="x")


def strike(at: str, of: str, round_id: str = "r") -> Strike:
    return Strike(at=at, round=round_id, day=DAY, who="ada", of=of, why="y")


def test_a_strike_takes_its_entry_out() -> None:
    """In the same file by its time, in another by round and time."""
    assert struck_keys((note("1"), strike("2", "1"))) == {"r 1"}
    assert struck_keys((note("1"), strike("2", "r 1", "other"))) == {"r 1"}


def test_a_struck_strike_counts_for_nothing() -> None:
    """Undoing the undo brings the entry back; a third strike takes it out again."""
    assert struck_keys((note("1"), strike("2", "1"), strike("3", "2"))) == {"r 2"}
    assert struck_keys((note("1"), strike("2", "1"), strike("3", "2"), strike("4", "3"))) == {"r 1", "r 3"}


def test_strikes_in_a_ring_do_not_hang() -> None:
    """A file edited by hand may hold anything."""
    assert isinstance(struck_keys((strike("1", "2"), strike("2", "1"), strike("3", "3"))), frozenset)
