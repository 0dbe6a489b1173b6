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
    assert struck_keys((strike("1", "2"), strike("2", "1"), strike("3", "3"))) == {"r 1", "r 2", "r 3"}
    ring = tuple(strike(at, of) for at, of in ("12", "23", "34", "41"))
    assert struck_keys(ring) == {"r 1", "r 2", "r 3", "r 4"}


def test_a_ring_is_opened_by_a_strike_from_outside() -> None:
    """With one of them out, the next one counts again, and so on around."""
    ring = tuple(strike(at, of) for at, of in ("12", "23", "34", "41"))
    assert struck_keys((*ring, strike("5", "1"))) == {"r 1", "r 3"}


def test_a_long_chain_of_strikes_is_worked_out() -> None:
    """Each strikes the one before it; the last one stands, so every other one does."""
    chain = tuple(strike(str(number), str(number - 1)) for number in range(1, 5000))
    assert struck_keys((note("0"), *chain)) == {f"r {number}" for number in range(0, 4999, 2)}
