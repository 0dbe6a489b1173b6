"""What was found, as a person hears it: for tests that hold the sentences."""

from collections.abc import Iterable
from typing import Protocol

from fieldlog.quantity.said import Said
from fieldlog.quantity.units import Units
from fieldlog.wear.states import Finding
from fieldlog.wear.trends.records import (
    Trend,
    before_told,
    change_told,
    forecast_told,
    rate_told,
    season_told,
    stale_told,
)
from fieldlog.words.finding import caution_text
from fieldlog.words.speak import say_all, words_of


class Told(Protocol):
    """What has reasons and next steps: a finding, something due."""

    @property
    def reasons(self) -> tuple[Said, ...]:
        """Why."""

    @property
    def next_steps(self) -> tuple[Said, ...]:
        """What next."""


def spoken(thing: Said | str | None, units: Units = "mm") -> str:
    """Return something said in words."""
    return words_of(thing, units)


def all_spoken(things: Iterable[Said], units: Units = "mm") -> list[str]:
    """Return several things said in words, each by itself."""
    return [words_of(thing, units) for thing in things]


def reason_of(told: Told, units: Units = "mm") -> str:
    """Return the reasons of a finding in words."""
    return say_all(told.reasons, units)


def next_step_of(told: Told, units: Units = "mm") -> str:
    """Return the next steps of a finding in words."""
    return say_all(told.next_steps, units)


def caution_of(finding: Finding) -> str:
    """Return the caution of a finding in words."""
    return caution_text(finding.caution)


def rate_sentence(trend: Trend, units: Units = "mm") -> str:
    """Return how fast a thing wears."""
    return words_of(rate_told(trend), units)


def forecast_sentence(trend: Trend, units: Units = "mm") -> str:
    """Return when the limit is reached."""
    return words_of(forecast_told(trend), units)


def season_sentence(trend: Trend, units: Units = "mm") -> str:
    """Return the chance at the season's end."""
    return words_of(season_told(trend.usage, trend.chance_later), units)


def stale_sentence(trend: Trend, units: Units = "mm") -> str:
    """Return that the meter was not read for long."""
    return words_of(stale_told(trend), units)


def before_sentence(trend: Trend, units: Units = "mm") -> str:
    """Return how the part before wore."""
    return words_of(before_told(trend), units)


def change_sentence(trend: Trend, units: Units = "mm") -> str:
    """Return what new greasing did."""
    return words_of(change_told(trend), units)
