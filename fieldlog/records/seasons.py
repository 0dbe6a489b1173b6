"""The day on which a season begins, and how often something is greased, as people write them.

When a machine works, as its owner says it: in which months, and on how many days of a week.
"""

import datetime
import functools
import re
from dataclasses import dataclass
from typing import ClassVar, Literal

from fieldlog.errors import QuantityError
from fieldlog.quantity.said import Said, said

_SHORT_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
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
    accepted: ClassVar[Said] = said("accepted.day_of_year")

    @classmethod
    def from_text(cls, text: str) -> "SeasonStart":
        """Read '1 Mar'.

        Raises:
            QuantityError: the text is no day of the year.
        """
        typed = " ".join(text.split())
        match = _DAY_MONTH.match(typed.casefold())
        name, day = ((match["month"] or match["name"]), int(match["day"] or match["of"])) if match else ("", 0)
        month = next((number for number, short in enumerate(_SHORT_MONTHS, 1) if name[:3] == short), 0)
        try:
            datetime.date(_LEAP_YEAR, month, day)
        except ValueError:
            raise QuantityError(said("typed.no_day", typed=typed[:40]), cls.accepted) from None
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
    accepted: ClassVar[Said] = said("accepted.interval")

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
            raise QuantityError(said("typed.no_interval", typed=typed[:40]), cls.accepted)
        return cls(typed, amount, "h" if match["unit"][0] == "h" else "days")


SeasonWord = SeasonStart | GreaseEvery


Span = tuple[tuple[int, int], tuple[int, int]]  # first and last day, each month and day

_MONTHS = ("january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november",
           "december")  # fmt: skip
_WHOLE_YEAR: Span = ((1, 1), (12, 31))
_WEEK = r"^(?P<days>\d(?:[.,]\d)?)\s*days?\s*(?:a|per|/)\s*week$"  # compiled when first needed
_DAY = r"(?:(?P<{0}_day>\d{{1,2}})\.?\s*)?(?P<{0}>[a-z]{{3,9}})"
_SPAN = f"^{_DAY.format('first')}(?:\\s*(?:-|to|until|till)\\s*{_DAY.format('last')})?$"
_LAST_OF = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_DAYS_A_WEEK = 7.0


@dataclass(frozen=True, slots=True)
class InUse:
    """The parts of the year in which a machine works, and on how many days of a week then."""

    typed: str
    spans: tuple[Span, ...]
    days_a_week: float = _DAYS_A_WEEK
    accepted: ClassVar[Said] = said("accepted.months")

    @classmethod
    def from_text(cls, text: str) -> "InUse":
        """Read 'March to October, 3 days a week'.

        Raises:
            QuantityError: the text names no months and no days a week.
        """
        typed = " ".join(text.split())
        spans: list[Span] = []
        week = 0.0
        for piece in re.split(r"\s*[,;]\s*|\s+and\s+", typed.casefold().replace("\u2013", "-")):
            match = re.match(_WEEK, piece, re.ASCII)
            if match is not None and float(match["days"].replace(",", ".")) > 0:
                week = float(match["days"].replace(",", "."))
                continue
            span = _WHOLE_YEAR if piece in {"all year", "the whole year"} else _span(piece)
            if span is None:
                raise QuantityError(said("typed.no_months", typed=typed[:40]), cls.accepted)
            spans.append(span)
        if week > _DAYS_A_WEEK or not (spans or week):
            raise QuantityError(said("typed.no_months", typed=typed[:40]), cls.accepted)
        return cls(typed, tuple(spans) or (_WHOLE_YEAR,), week or _DAYS_A_WEEK)

    @property
    def share_of_week(self) -> float:
        """How much of a week it works while it works."""
        return self.days_a_week / _DAYS_A_WEEK

    @property
    def per_year(self) -> float:
        """Days in use in a year that is no leap year."""
        return _in_year(self.spans, 2001)[-1] * self.share_of_week

    def between(self, first: datetime.date, last: datetime.date) -> float:
        """Return the days in use from one day to another, negative backwards."""
        return (self.season_days(last) - self.season_days(first)) * self.share_of_week

    def season_days(self, day: datetime.date) -> int:
        """Return how many days within its months lie before a day, counted from the year 1."""
        year = day.year - 1
        leaps = year // 4 - year // 100 + year // 400
        plain, leap = _in_year(self.spans, 2001)[-1], _in_year(self.spans, 2000)[-1]
        return year * plain + leaps * (leap - plain) + _in_year(self.spans, day.year)[day.timetuple().tm_yday - 1]

    def day_after(self, start: datetime.date, days: float) -> datetime.date | None:
        """Return the first day by which so many days in use lie after `start` (before, if negative)."""
        wanted = self.season_days(start) + days / self.share_of_week
        low, high = datetime.date.min.toordinal(), datetime.date.max.toordinal() - 1
        if not self.season_days(datetime.date.fromordinal(low)) <= wanted:
            return None
        if self.season_days(datetime.date.fromordinal(high)) < wanted:
            return None
        while low < high:
            middle = (low + high) // 2
            if self.season_days(datetime.date.fromordinal(middle)) >= wanted:
                high = middle
            else:
                low = middle + 1
        return datetime.date.fromordinal(low)


def _span(piece: str) -> Span | None:
    """Return 'march to october' or '15 mar to 10 oct' as first and last day; None for anything else."""
    match = re.match(_SPAN, piece, re.ASCII)
    if match is None:
        return None
    first = _month(match["first"])
    last = _month(match["last"]) if match["last"] else first
    if not first or not last or (match["first_day"] and not match["last"]):
        return None
    start, end = int(match["first_day"] or 1), int(match["last_day"] or _LAST_OF[last - 1])
    if not 1 <= start <= _LAST_OF[first - 1] or not 1 <= end <= _LAST_OF[last - 1]:
        return None
    return (first, start), (last, end)


def _month(name: str) -> int:
    """Return the number of a month by its name or the beginning of it, 0 for no month."""
    return next((number for number, month in enumerate(_MONTHS, 1) if month.startswith(name)), 0)


@functools.lru_cache(maxsize=256)
def _in_year(spans: tuple[Span, ...], year: int) -> tuple[int, ...]:
    """Return how many days in use lie before each day of a year, and last of all how many it has."""
    found, day = [0], datetime.date(year, 1, 1)
    while day.year == year:
        place = (day.month, day.day)
        found.append(found[-1] + any(_holds(span, place) for span in spans))
        if day == datetime.date.max:
            break
        day += datetime.timedelta(days=1)
    return tuple(found)


def _holds(span: Span, place: tuple[int, int]) -> bool:
    first, last = span
    return first <= place <= last if first <= last else place >= first or place <= last
