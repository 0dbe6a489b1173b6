"""What is wrong in the logbook's files, as values: a bad record never hides the good ones."""

from dataclasses import dataclass

from fieldlog.quantity.said import Said


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one file. `file` is relative to the logbook; `line` is 0 where it cannot be told.

    What is wrong and what would be accepted are said by codes of `words/problem.py` and `words/accepted.py`.
    """

    file: str
    line: int
    key: str
    wrong: Said
    accepted: Said | None = None
