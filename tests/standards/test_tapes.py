"""Error limits of tapes."""

from hypothesis import given
from hypothesis import strategies as st

from fieldlog.standards.instruments import TAPE_CLASSES, tape_error_limit_mm


@given(st.sampled_from(sorted(TAPE_CLASSES)), st.floats(0.0, 30_000.0), st.floats(0.0, 1000.0))
def test_longer_is_never_surer(tape: str, length_mm: float, more_mm: float) -> None:
    """A longer length never has a smaller error limit, and a better class never a larger one."""
    limit = tape_error_limit_mm(tape, length_mm)
    assert tape_error_limit_mm(tape, length_mm + more_mm) >= limit
    assert tape_error_limit_mm("I", length_mm) <= limit <= tape_error_limit_mm("III", length_mm)


def test_length_counts_by_whole_metres() -> None:
    """Up to 1 m all lengths count as 1 m, just over it as 2 m."""
    assert tape_error_limit_mm("II", 1.0) == tape_error_limit_mm("II", 1000.0)
    assert tape_error_limit_mm("II", 1000.5) == tape_error_limit_mm("II", 2000.0)
