"""Values drawn from a small world of sources, so that two of them often share some."""

from collections.abc import Mapping

from hypothesis import strategies as st

from fieldlog.quantity.source import Source, Term
from fieldlog.quantity.value import Value

ALONE = (
    *(Source(f"round {n}/eye", "scatter", dof=float(3 + n)) for n in range(4)),
    *(Source(f"blue/{use}", "limit", is_limit=True) for use in ("inside", "outside")),
    Source("red/inside", "limit", is_limit=True),
    Source("eye/shape", "shape"),
    Source("round 1/tape", "setting", is_limit=True, of="top link, closed"),
    Source("round 1/typing", "typing", is_limit=True, of="top link, closed"),
)
POOLS = tuple(
    Source(f"round {n}/{i}", "scatter", dof=dof, pool=f"round {n}") for n, dof in ((5, 9.0), (6, 2.0)) for i in range(3)
)
ZEROS = tuple(
    Source(f"blue/zero, {day}", "zero", is_limit=True, wanders="blue/zero") for day in ("2026-04-01", "2026-10-01")
)
# sixty-fourths add up without rounding, so that what is equal is equal to the last bit
SIXTY_FOURTHS = st.integers(-64, 64).map(lambda n: n / 64)
FACTORS = st.sampled_from([-4.0, -2.0, -1.0, -0.5, 0.25, 0.5, 1.0, 2.0, 8.0])


def of_shares(value: float, shares: Mapping[Source, float], unit: str = "mm") -> Value:
    """Return a value with a term for each source."""
    return Value(value, unit, tuple(Term(source, u) for source, u in shares.items()))


def values(*sources: Source, least: int = 0) -> st.SearchStrategy[Value]:
    """Return a strategy for values with some of these sources."""
    shares = st.dictionaries(st.sampled_from(sources), SIXTY_FOURTHS.filter(bool), min_size=least, max_size=8)
    return st.builds(of_shares, SIXTY_FOURTHS, shares)


ANY = values(*ALONE, *POOLS, *ZEROS)
WITHOUT_ZEROS = values(*ALONE, *POOLS)
