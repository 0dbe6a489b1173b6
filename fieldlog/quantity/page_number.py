"""A number that a page shows, with the estimate it is and the readings it comes from."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fieldlog.quantity.estimate import Estimate, Figure, Interval, Step
from fieldlog.quantity.said import Said


@dataclass(frozen=True, slots=True)
class Number:
    """One number: a word for it, what it is in full, its value and the keys of the readings behind it.

    The value is a length, a figure in another unit, or an interval. `is_change` is a difference, shown with its sign.
    `taken_mm` is what a reading counts as, where that may differ from what was typed. `steps` are what the value
    follows from, by `formula` (in words); `said` is the same in a sentence, such as the dates of an interval. `typed`
    is what stands behind it beside entries, as it was typed: a seller's figure, a check, a taped size of the hitch.
    """

    word: str
    about: str | Said
    estimate: Estimate | Figure | Interval
    keys: tuple[str, ...]
    is_change: bool = False
    taken_mm: Mapping[str, float] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    formula: str = ""
    said: str | Said = ""
    typed: tuple[str, ...] = ()
