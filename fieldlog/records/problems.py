"""What is wrong in the logbook's files, as values: a bad record never hides the good ones."""

from dataclasses import dataclass

from fieldlog.quantity.text import harmless


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong in one file. `file` is relative to the logbook; `line` is 0 where it cannot be told."""

    file: str
    line: int
    key: str
    wrong: str
    accepted: str

    def sentence(self) -> str:
        """Return `file:line: key: what is wrong; what would be accepted`."""
        place = f"{self.file}:{self.line}" if self.line else self.file
        key = f" {self.key}:" if self.key else ""
        accepted = f"; {self.accepted}" if self.accepted else ""
        return harmless(f"{place}:{key} {self.wrong}{accepted}")
