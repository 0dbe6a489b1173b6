"""A trend together with what leads from it to its readings; the ground that all its opened numbers stand on."""

from collections.abc import Iterable
from dataclasses import dataclass

from fieldlog.errors import MeasureError
from fieldlog.measure.line_fit import Fit, fit_points
from fieldlog.records.days import day_text
from fieldlog.records.machine import shown_name
from fieldlog.wear.forecast_words import WORDS, unit_of
from fieldlog.wear.numbers import Number
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.trend_records import Trend, TrendPoint

PER = 100.0  # rates are said per 100 hours or days


@dataclass(frozen=True, slots=True)
class Behind:
    """One trend of a joint."""

    trend: Trend
    state: JointState

    @property
    def thing(self) -> str:
        """What wears, as a word that no other trend of the joint has: 'clearance', 'ear, clearance'."""
        hole = self.hole
        alone = hole is None or len(self.state.holes) < 2
        return self.trend.of if alone or hole is None else f"{shown_name(hole.hole)}, {self.trend.of}"

    @property
    def about(self) -> str:
        """The same at the beginning of a sentence."""
        hole, words = self.hole, WORDS[self.trend.of]
        name = f" of {shown_name(hole.hole)}" if hole is not None and len(self.state.holes) > 1 else ""
        return f"{words[:1].upper()}{words[1:]}{name}"

    @property
    def hole(self) -> HoleState | None:
        """Its hole; a pin has none."""
        return next((hole for hole in self.state.holes if hole.hole.id == self.trend.hole), None)

    @property
    def unit(self) -> str:
        """Hours or days."""
        return unit_of(self.trend.axis)

    @property
    def rate_unit(self) -> str:
        """In what its rates are said."""
        return f"mm per {PER:.0f} {self.unit}"

    @property
    def latest(self) -> TrendPoint | None:
        """The last measuring since it was made new."""
        return next((p for p in reversed(self.trend.points) if p.part == self.trend.last_part), None)

    @property
    def rate_word(self) -> str:
        """The word of its rate."""
        return f"rate, {self.thing}"

    @property
    def limit_word(self) -> str:
        """The word of the limit in force on it."""
        return f"{self.thing}, limit"

    def day_word(self, point: TrendPoint) -> str:
        """Return the word of the value on a day."""
        return f"{self.thing}, {day_text(point.day)}"

    def keys(self, points: Iterable[TrendPoint]) -> tuple[str, ...]:
        """Return the readings behind some points, each once."""
        return tuple(dict.fromkeys(key for point in points for key in point.keys))

    @property
    def all_keys(self) -> tuple[str, ...]:
        """The readings of all days that its line goes through."""
        return self.keys(self.trend.fitted)

    @property
    def line_fit(self) -> Fit | None:
        """The fit that its line is of: bent at a change of habit where that is proved, else straight."""
        change = self.trend.rate_change
        if change is None or not change.is_proved or change.mark.x is None:
            return self.trend.fit
        return self.bent_fit

    @property
    def bent_fit(self) -> Fit | None:
        """The line with a bend at its last change of habit, proved or not; None without one."""
        change = self.trend.rate_change
        if change is None or change.mark.x is None:
            return None
        try:
            return fit_points(self.trend.fit_points, "bend", knot=change.mark.x)
        except MeasureError:
            return None


def day_number(point: TrendPoint, behind: Behind) -> Number:
    """Return the value of one measuring day."""
    about = f"{behind.about} on {day_text(point.day)}, as the line takes it"
    return Number(behind.day_word(point), about, point.value, behind.keys([point]))
