"""Records as plain values and back: nothing is lost on the way, and nothing is believed that does not fit."""

from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Literal, TypeVar, get_type_hints

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.overview import (
    BookOverview,
    DueText,
    LastRound,
    MachineBack,
    MachineFront,
    RatesAndRows,
    overview_from_text,
)
from fieldlog.store.files import sample_folder
from fieldlog.store.plain import Unfit, from_plain, packed, to_plain, unpacked
from fieldlog.wear.parts import Part
from fieldlog.wear.summary import Borrower, MachineRates, MachineSummary, Named, Place, RateRow
from fieldlog.wear.verdicts import Verdict

R = TypeVar("R")

NUMBER = st.floats(allow_nan=False)
WHOLE = st.integers(-(2**63), 2**63)
HOURS = st.decimals(allow_nan=False, allow_infinity=False, places=2, min_value=0, max_value=10**6)


def built(kind: type[R], **given: object) -> st.SearchStrategy[R]:
    """Records with something in every field: made from the field's type unless given, also where it has a default."""
    assert is_dataclass(kind)
    hints = get_type_hints(kind)
    values: dict[str, object] = {field.name: ... for field in fields(kind)}
    values |= {name: NUMBER for name, hint in hints.items() if hint is float}
    values |= {name: st.none() | NUMBER for name, hint in hints.items() if hint == float | None}
    return st.builds(kind, **{**values, **given})  # type: ignore[arg-type] # as builds takes them


RATES = built(RateRow, days=WHOLE)
ORDERS = st.lists(NUMBER, max_size=3).map(tuple)
DUE = built(DueText, order=ORDERS)
PARTS = st.lists(built(Part, number=WHOLE), max_size=2).map(tuple)
BORROWERS = built(
    Borrower,
    row=RATES,
    line=st.tuples(*[NUMBER] * 8),
    ahead=st.tuples(*[NUMBER] * 5),
    parts=PARTS,
    order=ORDERS,
)
SUMMARIES = built(
    MachineSummary,
    meter_hours=st.none() | HOURS,
    severity=WHOLE,
    counts=st.lists(st.tuples(st.sampled_from(Verdict), WHOLE), max_size=3).map(tuple),
)
MACHINE_RATES = built(
    MachineRates,
    rates=st.lists(RATES, max_size=2).map(tuple),
    borrowers=st.lists(BORROWERS, max_size=2).map(tuple),
)
RATES_AND_ROWS = built(RatesAndRows, rates=MACHINE_RATES, rows=st.lists(DUE, max_size=2).map(tuple))
BACKS = built(MachineBack, summary=SUMMARIES, due=st.lists(DUE, max_size=2).map(tuple), problems=st.just(()))
PLACES = st.lists(built(Place, order=ORDERS), max_size=3).map(tuple)
FRONTS = built(MachineFront, severity=WHOLE, n_problems=WHOLE, places=PLACES)


def there_and_back(record: R) -> R:
    """Return the record as it comes out of the text that it is kept as."""
    text = packed(record)
    assert not {b"\n", b"\t"} & {bytes([byte]) for byte in text}
    return unpacked(type(record), text)


@settings(max_examples=60, deadline=None)
@given(st.one_of(FRONTS, RATES_AND_ROWS, BACKS))
def test_every_field_of_an_overview_is_carried(part: MachineFront | RatesAndRows | MachineBack) -> None:
    """Whatever stands in the fields comes back, also in one that is added later: it is built from its type."""
    assert there_and_back(part) == part


def test_overviews_of_the_sample_come_back_as_they_were() -> None:
    """Real overviews, with every kind of finding in them."""
    session = OpenLogbook(sample_folder())
    assert there_and_back(session.head) == session.head
    for overview in session.known.the_rest():
        again = overview_from_text(overview.as_text())
        assert (again.front, again.rates, again.back) == (overview.front, overview.rates, overview.back)
        assert again.as_text() == overview.as_text()
        assert there_and_back(replace(overview.front, last_round=None)) != overview.front


def test_parts_of_another_machine_are_refused_when_they_are_looked_at() -> None:
    """Its lines would not be those that the first part counts."""
    one, other = (found.as_text().split(b"\t") for found in list(OpenLogbook(sample_folder()).known.the_rest())[:2])
    for back in (other[2], b"", b"[", b"[" * 100_000, b"[[], []]"):
        mixed = overview_from_text(b"\t".join((*one[:2], back)))
        with pytest.raises(Unfit):
            mixed.back  # noqa: B018 -- what is being tested


@pytest.mark.parametrize(
    "kind", [BookOverview, MachineFront, MachineBack, MachineSummary, RateRow, DueText, LastRound, Named]
)
def test_a_row_has_a_place_for_every_field(kind: type[object]) -> None:
    """A row that is shorter or longer than the record, as another version writes it, is refused."""
    assert is_dataclass(kind)
    for count in (len(fields(kind)) - 1, len(fields(kind)) + 1, 0):
        with pytest.raises(Unfit, match="row"):
            from_plain(kind, [None] * count)


@pytest.mark.parametrize(
    ("kind", "data"),
    [
        (str, 3),
        (str, "x" * 20_001),
        (str, None),
        (int, True),
        (int, 1.5),
        (int, 10**40),
        (int, "3"),
        (float, True),
        (float, float("nan")),
        (float, 10**400),
        (bool, 1),
        (Decimal, "1E+999999999"),
        (Decimal, "NaN"),
        (Decimal, 1.5),
        (Verdict, "broken"),
        (Verdict, ["stop"]),
        (tuple[str, ...], "abc"),
        (tuple[str, ...], ["a", 1]),
        (tuple[str, int], ["a"]),
        (Named, {"id": "a", "name": "b"}),
        (Named, ["a", ["b"]]),
        (LastRound, ["2026-02-30", "ada"]),
        (LastRound, [20260203, "ada"]),
        (Literal["mm", "in"], "cm"),
    ],
)
def test_what_does_not_fit_is_refused(kind: type[object], data: object) -> None:
    """Wrong kinds, numbers beyond reason, dates that are none."""
    with pytest.raises(Unfit):
        from_plain(kind, data)


def test_records_of_an_unknown_kind_cannot_be_kept() -> None:
    """What nobody wrote a way for is a mistake in the program, not something to guess at."""
    with pytest.raises(TypeError):
        to_plain(object())
    with pytest.raises(TypeError):
        from_plain(dict, {})
    with pytest.raises(TypeError):
        from_plain(int | str, 1)  # type: ignore[arg-type] # what is being tested
