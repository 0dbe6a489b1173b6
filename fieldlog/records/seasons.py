"""The day on which a season begins, and how often something is greased, as people write them."""

import datetime
import re
from typing import ClassVar, Literal

from fieldlog.errors import QuantityError
from fieldlog.records.frozen import dataclass

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_DAY_MONTH = re.compile(
    r"^(?P<day>\d{1,2})\.?\s*(?P<month>[a-z]{3,9})$|^(?P<name>[a-z]{3,9})\s*(?P<of>\d{1,2})$", re.ASCII
)
_EVERY = re.compile(r"^(?P<amount>\d{1,5}(?:[.,]\d{1,2})?)\s*(?P<unit>h|hours?|d|days?)$", re.ASCII)
_WORDS = {"daily": 1.0, "weekly": 7.0, "monthly": 30.0}
_LEAP_YEAR = 2000


@dataclass(frozen=True, slots=True)
class SeasonStart:
    """The day of the year on which a season begins; 29 February is 28 February in other years."""

    typed: str
    month: int
    day: int
    accepted: ClassVar[str] = 'write a day of the year, as "1 Mar" or "15 October"'

    @classmethod
    def from_text(cls, text: str) -> "SeasonStart":
        """Read '1 Mar'.

        Raises:
            QuantityError: the text is no day of the year.
        """
        typed = " ".join(text.split())
        match = _DAY_MONTH.match(typed.casefold())
        name, day = ((match["month"] or match["name"]), int(match["day"] or match["of"])) if match else ("", 0)
        month = next((number for number, short in enumerate(_MONTHS, 1) if name[:3] == short), 0)
        try:
            datetime.date(_LEAP_YEAR, month, day)
        except ValueError:
            raise QuantityError(f'"{typed[:40]}" is no day of the year; {cls.accepted}.') from None
        return cls(typed, month, day)

    def in_year(self, year: int) -> datetime.date:
        """Return the day in a year."""
        try:
            return datetime.date(year, self.month, self.day)
        except ValueError:
            return datetime.date(year, self.month, self.day - 1)


@dataclass(frozen=True, slots=True)
class GreaseEvery:
    """How often something is to be greased, in hours of work or in days."""

    typed: str
    amount: float
    unit: Literal["h", "days"]
    accepted: ClassVar[str] = 'write how often, as "10 h", "50 h", "14 days", "daily" or "weekly"'

    @classmethod
    def from_text(cls, text: str) -> "GreaseEvery":
        """Read '10 h', '14 days' or 'weekly'.

        Raises:
            QuantityError: the text is no interval, or one of nothing.
        """
        typed = " ".join(text.split())
        word = typed.casefold().removeprefix("every ")
        if word in _WORDS:
            return cls(typed, _WORDS[word], "days")
        match = _EVERY.match(word)
        amount = float(match["amount"].replace(",", ".")) if match else 0.0
        if match is None or amount <= 0:
            raise QuantityError(f'"{typed[:40]}" is no interval; {cls.accepted}.')
        return cls(typed, amount, "h" if match["unit"][0] == "h" else "days")


SeasonWord = SeasonStart | GreaseEvery
