"""The quickly made dataclasses behave as the standard library's do, which each is held against."""

import copy
import dataclasses
import inspect
import pickle
from collections.abc import Callable
from typing import get_type_hints

import pytest

from fieldlog.records import frozen
from fieldlog.records.machine import Instrument

Maker = Callable[..., Callable[[type], type]]  # type: ignore[explicit-any] # either decorator


def some_classes(dataclass: Maker) -> dict[str, type]:
    """The same classes made by one decorator or the other."""

    @dataclass(frozen=True, slots=True)
    class Plain:
        """Has a default, a factory and a property."""

        word: str
        number: float = 1.5
        items: list[int] = dataclasses.field(default_factory=list)

        @property
        def twice(self) -> float:
            """Twice the number."""
            return 2 * self.number

    @dataclass(frozen=True, slots=True, kw_only=True)
    class Named:
        """Takes its fields by name only, in any order."""

        second: int = 2
        first: str

    @dataclass(frozen=True, slots=True)
    class Longer(Plain):
        """Has one field more."""

        more: str = "more"

    @dataclass(frozen=True, slots=True)
    class One:
        """Puts its only field right and says so in its own words."""

        word: str

        def __post_init__(self) -> None:
            object.__setattr__(self, "word", self.word.strip())

        def __repr__(self) -> str:
            return f"<{self.word}>"

    @dataclass(frozen=True, slots=True)
    class Nothing:
        """Has no field."""

    return {cls.__name__: cls for cls in (Plain, Named, Longer, One, Nothing)}


QUICK, SLOW = some_classes(frozen.dataclass), some_classes(dataclasses.dataclass)
CALLS: tuple[tuple[str, tuple[object, ...], dict[str, object]], ...] = (
    ("Plain", ("a",), {}),
    ("Plain", ("a", 2.0, [1]), {}),
    ("Plain", (), {"number": 3.0, "word": "b"}),
    ("Named", (), {"first": "x"}),
    ("Named", (), {"first": "x", "second": 5}),
    ("Longer", ("a", 2.0), {"more": "yes"}),
    ("One", (" spaced ",), {}),
    ("Nothing", (), {}),
)


@pytest.mark.parametrize(("name", "given", "named"), CALLS)
def test_an_instance_is_like_the_standard_one(name: str, given: tuple[object, ...], named: dict[str, object]) -> None:
    """Same fields, words, slots and data; equal to its like, not to another kind; a change makes a new one."""
    quick, slow = (classes[name](*given, **named) for classes in (QUICK, SLOW))
    assert repr(quick) == repr(slow)
    assert dataclasses.asdict(quick) == dataclasses.asdict(slow)
    assert QUICK[name].__slots__ == SLOW[name].__slots__  # type: ignore[attr-defined] # they have slots
    assert not hasattr(quick, "__dict__")
    assert quick == QUICK[name](*given, **named)
    assert quick != slow
    assert quick != "anything"
    changed = dataclasses.replace(quick, **({"word": "other"} if hasattr(quick, "word") else {}))
    assert (changed == quick) is not hasattr(quick, "word")
    if "items" not in QUICK[name].__match_args__:  # type: ignore[attr-defined] # set by either decorator
        assert len({quick, QUICK[name](*given, **named), changed}) == (2 if hasattr(quick, "word") else 1)


@pytest.mark.parametrize("name", QUICK)
def test_a_class_is_like_the_standard_one(name: str) -> None:
    """Same signature, hints, fields and words; also for whoever asks a class what it takes."""
    quick, slow = QUICK[name], SLOW[name]
    assert str(inspect.signature(quick)).replace("<factory>", "_") == str(inspect.signature(slow)).replace(
        "<factory>", "_"
    ) or name in {"Plain", "Longer"}  # a factory shows as the missing default there
    assert list(inspect.signature(quick).parameters) == list(inspect.signature(slow).parameters)
    assert get_type_hints(quick.__init__) == get_type_hints(slow.__init__)  # type: ignore[misc] # of the class
    assert [field.name for field in dataclasses.fields(quick)] == [field.name for field in dataclasses.fields(slow)]
    assert quick.__match_args__ == slow.__match_args__  # type: ignore[attr-defined] # set by either decorator
    assert (quick.__doc__, quick.__qualname__, quick.__module__) == (slow.__doc__, slow.__qualname__, slow.__module__)


@pytest.mark.parametrize(
    ("name", "given", "named"),
    [("Plain", (), {}), ("Plain", (1, 2, 3, 4), {}), ("Named", ("x",), {}), ("Named", (), {"third": 1})],
)
def test_what_the_standard_one_refuses_is_refused(
    name: str, given: tuple[object, ...], named: dict[str, object]
) -> None:
    """Too few, too many, by place instead of by name, an unknown name."""
    for classes in (QUICK, SLOW):
        with pytest.raises(TypeError):
            classes[name](*given, **named)


def test_nothing_can_be_set_or_deleted() -> None:
    """Neither a field nor anything else, and a factory makes a new list each time."""
    one, other = QUICK["Plain"]("a"), QUICK["Plain"]("a")
    for name in ("word", "anything"):
        with pytest.raises(dataclasses.FrozenInstanceError):
            setattr(one, name, "b")
        with pytest.raises(dataclasses.FrozenInstanceError):
            delattr(one, name)
    one.items.append(1)
    assert other.items == []
    assert one.twice == 3.0


def test_records_can_be_copied_and_pickled() -> None:
    """Slots and frozenness notwithstanding."""
    blue = Instrument(id="blue", kind="caliper")
    assert copy.deepcopy(blue) == blue
    assert pickle.loads(pickle.dumps(blue)) == blue
    assert hash(copy.copy(blue)) == hash(blue)


def test_other_dataclasses_are_not_made_here() -> None:
    """One that can be changed, or one without slots, is the standard library's."""
    for given in ({"frozen": False, "slots": True}, {"frozen": True, "slots": False}):
        with pytest.raises(TypeError):
            frozen.dataclass(**given)
