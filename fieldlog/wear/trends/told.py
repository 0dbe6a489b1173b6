"""What a trend has to tell: rate, forecast, chances, what cut its history, how it stands to its meter."""

from fieldlog.quantity.said import Said, said
from fieldlog.wear.trends.hours import Usage
from fieldlog.wear.trends.records import Trend


def rate_told(trend: Trend) -> Said:
    """Say how fast a thing wears and what that rests on, or why that is not known."""
    if trend.line is None and trend.no_rate is not None:
        return trend.no_rate
    return said("trend.rate", trend=trend)


def forecast_told(trend: Trend) -> Said | None:
    """Say when the limit is reached, or why that is not foretold; None without a limit."""
    if trend.limit is None:
        return None
    if trend.renew is None:
        return said("trend.no_forecast", why=trend.no_forecast) if trend.line is not None else None
    return said("trend.forecast", trend=trend)


def watch_told(trend: Trend) -> Said | None:
    """Say when the watch line is reached, None when that is past or not foretold."""
    if trend.watch is None or trend.limit is None or trend.limit.watch_mm is None:
        return None
    return said("trend.watch", trend=trend) if trend.watch.latest > trend.usage.today else None


def season_told(usage: Usage, over: float | None) -> Said | None:
    """Say with which chance the limit is passed by the end of the coming season, None where nothing tells."""
    if over is None or usage.planned is None:
        return None
    return said("trend.season", usage=usage, origin=usage.origin, over=over)


def stale_told(trend: Trend) -> Said | None:
    """Say that hours are reckoned on from a meter reading of long ago; None while it is fresh."""
    if not trend.usage.is_stale or trend.line is None:
        return None
    return said("season.stale", usage=trend.usage)


def before_told(trend: Trend) -> Said | None:
    """Say how the part before the last cut wore, None where that is not known."""
    return said("trend.before", before=trend.before, axis=trend.axis) if trend.before is not None else None


def change_told(trend: Trend) -> Said | None:
    """Say what a change of greasing did to the rate, None where there was none."""
    change = trend.rate_change
    return said("trend.change", change=change, axis=trend.axis) if change is not None else None


def life_told(trend: Trend | None) -> Said | None:
    """Say what is left in a few words, None without a forecast."""
    if trend is None or trend.least_left is None:
        return None
    return said("trend.left", least=trend.least_left, axis=trend.axis)


def outlook(trend: Trend) -> tuple[Said, ...]:
    """Return rate, forecast and the chance at the season's end of one trend, nothing when there is no rate."""
    if trend.line is None:
        return ()
    rate = rate_told(trend)
    first = rate if trend.of == "clearance" else said("trend.about", of=trend.of, what=rate)
    found = (first, forecast_told(trend), season_told(trend.usage, trend.chance_later), stale_told(trend))
    return tuple(one for one in found if one is not None)
