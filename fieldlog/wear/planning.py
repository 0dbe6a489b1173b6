"""What the trend adds to a verdict: a joint that may not last the coming season is planned for while it is sound."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from fieldlog.records.quantities import Units
from fieldlog.wear.axis import rounded
from fieldlog.wear.forecast_words import (
    WORDS,
    chance_text,
    forecast_sentence,
    rate_sentence,
    season_sentence,
    stale_sentence,
    unit_of,
)
from fieldlog.wear.states import Finding, Verdict
from fieldlog.wear.trend_records import Trend

ORDER_AT = 0.05  # order when the 5 % lower bound of the hours left is under the season's: common practice


def lead_trend(trends: Iterable[Trend]) -> Trend | None:
    """Return the trend that runs out first: the one with the least left, then one with a rate, then the first."""
    return min(trends, key=_rank, default=None)


def _rank(trend: Trend) -> tuple[bool, float, bool, bool]:
    left = trend.least_left
    return left is None, left if left is not None else 0.0, trend.limit is None, trend.line is None


def with_forecast(finding: Finding, trends: Sequence[Trend], units: Units, order: str) -> Finding:
    """Return "plan" for a joint that is sound, or only in doubt of its watch line, and may pass its limit this season.

    One day's readings foretell nothing, so this rests on three measuring days at least. `order` are the joint's parts.
    """
    if finding.verdict is Verdict.REMEASURE and finding.limit is not None and not finding.is_at_watch:
        return _planned_anyway(finding, trends, order)
    is_open = finding.is_at_watch or (finding.verdict is Verdict.PLAN and finding.is_unproved)
    if finding.verdict is not Verdict.SOUND and not is_open:
        return finding
    worst = max(filter(may_not_last, trends), key=lambda trend: trend.chance_later or 0.0, default=None)
    if worst is None:
        return finding
    about = "" if worst.of == "clearance" else f" ({WORDS[worst.of]})"
    said = f"{rate_sentence(worst, units)} {forecast_sentence(worst, units)} {season_sentence(worst)}"
    return replace(
        finding,
        verdict=Verdict.PLAN,
        is_unproved=False,
        reason=f"{finding.reason} It may not last the season{about}. {said}",
        next_step=f"Order before the season: {order}. Measure again half-way through it.",
    )


def may_not_last(trend: Trend) -> bool:
    """Tell whether the limit may be passed by the end of the coming season."""
    return trend.chance_later is not None and trend.chance_later >= ORDER_AT


def _planned_anyway(finding: Finding, trends: Sequence[Trend], order: str) -> Finding:
    """Say to plan for a joint that is measured again, where the season takes it over its limit whatever that shows."""
    near = [t for t in trends if t.limit == finding.limit and may_not_last(t)]
    if not near:
        return finding
    over = near[0].chance_later or 0.0
    sure = "it is over" if over >= 1 - ORDER_AT else f"it has a {100 * over:.0f} % chance to be over"
    said = f"Plan for it: by its {near[0].days} measuring days {sure} before the season ends; ask now for {order}."
    return replace(finding, next_step=f"{finding.next_step} {said}")


def outlook_text(trend: Trend, units: Units) -> str:
    """Return rate, forecast and the chance at the season's end of one trend, empty when there is no rate."""
    if trend.line is None:
        return ""
    about = "" if trend.of == "clearance" else f"{WORDS[trend.of].capitalize()}: "
    forecast, season = forecast_sentence(trend, units), season_sentence(trend)
    parts = (rate_sentence(trend, units), forecast, season, stale_sentence(trend))
    return about + " ".join(part for part in parts if part)


def life_text(trend: Trend | None) -> str:
    """Return what is left in a few words for a table: '180 h left at least', empty without a forecast."""
    if trend is None or trend.least_left is None:
        return ""
    if trend.least_left <= 0:
        return "may be there already"
    return f"{rounded(trend.least_left)} {unit_of(trend.axis)} left at least"


def now_text(trend: Trend) -> str:
    """Return the chance that the limit is passed already, by the line through all its days."""
    return chance_text(trend.chance_now) if trend.chance_now is not None else ""
