"""What stands in an opened number is enough to work its value out again, by other means than the program's."""

import datetime
import math

import numpy as np
import pytest
from scipy import integrate, stats

from fieldlog.quantity.estimate import Interval
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import Said
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.wear.numbers.page import rates_first, trend_numbers
from fieldlog.wear.numbers.season import WORK_WORD
from fieldlog.wear.trends.rates import Beside, borrowed, main_trend
from tests.speaking import spoken
from tests.wear.build import Book, limit
from tests.wear.test_rates import OTHERS, fleet, loader
from tests.wear.test_trend import day, measured


def by_word(numbers: list[Number]) -> dict[str, Number]:
    """Return numbers by their words."""
    return {number.word: number for number in numbers}


def opened(book: Book) -> dict[str, Number]:
    """Return the opened numbers of a book's first joint."""
    return by_word(trend_numbers(book.joint))


def value(number: Number, word: str) -> tuple[float, float]:
    """Return the value of one step with its standard uncertainty."""
    step = next(step for step in number.steps if step.word.startswith(word))
    assert not isinstance(step.value, str | Said | Interval)
    if isinstance(step.value, Value):
        return step.value.value, step.value.u_mm
    return step.value.value, step.value.u


def of(number: Number) -> Value:
    """Return a number's figure."""
    assert isinstance(number.estimate, Value)
    return number.estimate


def fieller(number: Number, limit_word: str) -> tuple[float, float, float]:
    """Return where the limit is reached, from the steps alone, by NumPy's roots: best, both ends."""
    (level, u_level), (rate, u_rate) = value(number, "level of the line now"), value(number, "rate")
    rate, u_rate = rate / 100, u_rate / 100
    t, r, at = value(number, "Student's t")[0], value(number, "correlation")[0], value(number, limit_word)[0]
    gap = np.poly1d([rate, level - at])
    doubt = np.poly1d([u_rate**2, 2 * r * u_level * u_rate, u_level**2])
    low, high = sorted((gap * gap - t**2 * doubt).roots.real)
    return (at - level) / rate, float(low), float(high)


@pytest.mark.parametrize(
    ("hours", "clearances"),
    [
        ((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6)),
        ((0, 130, 300, 420), (0.21, 0.26, 0.41, 0.46)),
        ((0, 50, 400, 450, 800), (0.30, 0.36, 0.48, 0.46, 0.66)),
    ],
)
def test_fiellers_interval_follows_from_what_is_shown(hours: tuple[float, ...], clearances: tuple[float, ...]) -> None:
    """Level now, rate, their correlation, t and the limit give the same three places for both lines of the limit."""
    found = opened(measured(hours, clearances))
    for word in ("limit", "watch line"):
        number = found[f"clearance, {word} reached"]
        assert isinstance(number.estimate, Interval)
        best, low, high = fieller(number, word)
        assert (number.estimate.best, number.estimate.lower, number.estimate.upper) == pytest.approx(
            (best, low, high), rel=1e-6
        )
        (rate, u_rate), t = value(number, "rate"), value(number, "Student's t")[0]
        assert value(number, "g")[0] == pytest.approx((t * u_rate / rate) ** 2, rel=1e-9)


def test_wear_that_speeds_up_opens_to_line_and_curve() -> None:
    """The best place is where the parabola of the shown level, rate and squared term gets there, before the line."""
    hours = tuple(range(0, 900, 100))
    book = measured(
        hours, [round(0.2 + 0.0000008 * h * h, 3) for h in hours], Book(limits=(limit("1.2", joint="boom"),))
    )
    trend = book.joint.trends[0]
    assert trend.curve is not None
    number = opened(book)["clearance, limit reached"]
    level, rate = (value(number, f"{word} of the curve now")[0] for word in ("level", "rate"))
    squared, u = value(number, "squared term")
    at = np.roots([squared / 100**2, rate / 100, level - 1.2])
    assert isinstance(number.estimate, Interval)
    assert number.estimate.best == pytest.approx(max(at.real), rel=1e-6)
    assert number.estimate.best < fieller(number, "limit")[0]
    assert squared / u > stats.t.ppf(0.95, trend.curve.dof)


def test_dates_follow_from_the_hours_and_the_work_of_a_year() -> None:
    """400 h to go at an hour a day: the most likely day lies 400 days on."""
    book = measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6), later=412)
    number = opened(book)["clearance, limit reached"]
    per_year = value(number, "work")[0]
    assert per_year == pytest.approx(365.25, rel=1e-6)
    assert f"most likely {day_text(day(812) + datetime.timedelta(days=400))}" in spoken(number.said)
    assert "1800 h" not in spoken(number.said).partition("By date")[0]


@pytest.mark.parametrize("later", ["now", "at the season's end"])
def test_chances_are_students_t_of_what_is_shown(later: str) -> None:
    """SciPy's t of gap over u at the degrees of freedom of the line."""
    book = measured((0, 150, 300, 450), (0.4, 0.55, 0.72, 0.86))
    number = opened(book)[f"clearance, chance over {later}"]
    height, u_mm = value(number, "level of the line")
    step = next(step for step in number.steps if step.word.startswith("level of the line"))
    assert isinstance(step.value, Value)
    expected = stats.t.cdf((height - value(number, "limit")[0]) / u_mm, step.value.dof)
    assert of(number).value == pytest.approx(100 * expected, rel=1e-6)
    if later != "now":
        assert value(number, "the coming season")[0] == pytest.approx(365.25, rel=1e-6)


def test_the_chance_by_the_last_measuring_alone() -> None:
    """The same of one day's value, with its own degrees of freedom."""
    number = opened(measured((0, 150, 300), (0.6, 0.8, 0.99)))["clearance, chance over by last measuring"]
    step = next(step for step in number.steps if step.word == "measured")
    assert isinstance(step.value, Value)
    expected = stats.t.cdf((step.value.value - 1.0) / step.value.u_mm, step.value.dof)
    assert of(number).value == pytest.approx(100 * expected, rel=1e-6)


@pytest.mark.parametrize(("clearance", "said"), [(0.8, "Proved under"), (0.99, "Not decided"), (1.2, "Proved over")])
def test_the_decision_is_the_room_against_its_own_doubt(clearance: float, said: str) -> None:
    """Guard-banded: only a room beyond the 95 % half-width, either way, decides."""
    number = opened(measured((0, 150, 300), (0.5, 0.6, clearance)))["clearance, room to limit"]
    room = number.estimate
    assert isinstance(room, Value)
    assert room.value == pytest.approx(1.0 - clearance, abs=1e-6)
    assert (abs(room.value) > room.plus_minus) == (said != "Not decided")
    assert spoken(number.said).startswith(said)


def test_readings_to_settle_it_are_the_fewest_that_do() -> None:
    """Drawn 200,000 times: that many leave a half-width under the gap, the readings there are do not."""
    book = measured((0, 150, 300), (0.5, 0.6, 0.924))
    number = opened(book)["clearance, to settle the limit"]
    times, gap = int(of(number).value), value(number, "gap")[0]
    last = book.joint.trends[0].points[-1].value
    rng = np.random.default_rng(11)

    def half_width(n: int) -> float:
        drawn = np.zeros(200_000)
        for part in last.parts:
            if part.is_limit:
                drawn += rng.uniform(-part.half_width_mm, part.half_width_mm, drawn.size)
            else:
                drawn += part.u_mm / math.sqrt(n) * rng.standard_t(n * part.dof, drawn.size)
        return float(np.quantile(np.abs(drawn), 0.95))

    assert times >= 2
    assert half_width(times) < gap + 0.0003
    assert value(number, f"half-width with {times}")[0] < gap
    assert half_width(1) > gap
    assert value(number, "half-width with endless")[0] < gap


@pytest.mark.parametrize(
    ("hours", "clearances", "unit", "shown"),
    [((0, 200), (0.2, 0.3), "days", 2.0), ((0, 30, 60), (0.2, 0.3, 0.4), "h", 60.0)],
)
def test_too_little_for_a_forecast_is_said_with_its_number(
    hours: tuple[float, ...], clearances: tuple[float, ...], unit: str, shown: float
) -> None:
    """Two days; three within 60 h."""
    number = opened(measured(hours, clearances))["clearance, no forecast"]
    assert (of(number).value, of(number).unit) == (shown, unit)


def test_a_slope_that_may_be_nil_is_said_with_its_g() -> None:
    """G is the squared ratio of the rate's half-width to the rate, 1 or more."""
    number = opened(measured((0, 150, 300), (0.30, 0.303, 0.302)))["clearance, no forecast"]
    (rate, u_rate), t = value(number, "rate"), value(number, "Student's t")[0]
    assert of(number).value == pytest.approx((t * u_rate / rate) ** 2, rel=1e-6)
    assert of(number).value >= 1


def test_a_borrowed_rate_is_the_weighted_mean_of_own_and_kind() -> None:
    """Weights by inverse variance, worked out from the shown steps; the parts' squares add up too."""
    new = loader("new", "compact loader", 0.09, hours=(0, 150, 300))
    rows = fleet(new, *OTHERS)
    joint = new.joints[0]
    beside = Beside("new", rows)
    number = rates_first(joint, beside)[0]
    assert number.word.endswith("own and borrowed")
    (own, u_own), (mean, u_mean) = value(number, "own rate"), value(number, "mean of the kind")
    between = value(number, "between joints")[0]
    room = between**2 + u_mean**2
    weight = room / (u_own**2 + room)
    assert value(number, "weight")[0] == pytest.approx(100 * weight, rel=1e-9)
    assert of(number).value == pytest.approx(weight * own + (1 - weight) * mean, rel=1e-9)
    assert of(number).u ** 2 == pytest.approx(1 / (1 / u_own**2 + 1 / room), rel=1e-9)
    trend = main_trend(joint)
    assert trend is not None
    found = borrowed(trend, rows[0], rows)
    assert found is not None
    assert of(number).value == pytest.approx(100 * found.line.slope)


def test_a_changed_greasing_opens_to_both_rates_and_their_difference() -> None:
    """0.1 mm per 100 h before, 0.02 since: the difference is the one less the other, and its proof is said."""
    book = measured((0, 150, 300), (0.2, 0.35, 0.5))
    book.did(day(310), "greasing changed", text="daily")
    measured((450, 600, 750), (0.53, 0.56, 0.59), book)
    found = opened(book)
    before, since, change = (
        of(found[f"{word}, clearance"]) for word in ("rate before", "rate since", "change of rate")
    )
    assert change.value == pytest.approx(since.value - before.value, rel=1e-9)
    assert (abs(change.value) > change.expanded) == ("is proved" in spoken(found["change of rate, clearance"].said))
    assert "is proved" in spoken(found["change of rate, clearance"].said)


def test_a_joint_of_one_day_opens_to_what_it_borrows() -> None:
    """No rate of its own: its kind's stands alone, and limit, watch line, chance and next look rest on that."""
    new = loader("new", "compact loader", 0.0, hours=(0,))
    page = rates_first(new.joints[0], Beside("new", fleet(new, *OTHERS)))
    found = by_word(page)
    rate = found["rate, clearance, own and borrowed"]
    assert page[0] is rate
    assert of(rate).value == pytest.approx(value(rate, "mean of the kind")[0])
    number = found["clearance, limit reached by own and borrowed rate"]
    assert isinstance(number.estimate, Interval)
    best, low, high = fieller(number, "limit")
    assert (number.estimate.best, number.estimate.lower, number.estimate.upper) == pytest.approx((best, low, high))
    chance = found["clearance, chance over at the season's end by own and borrowed rate"]
    step = next(step for step in chance.steps if step.word.startswith("level of the line"))
    assert isinstance(step.value, Value)
    expected = stats.t.cdf((step.value.value - 1.0) / step.value.u_mm, step.value.dof)
    assert of(chance).value == pytest.approx(100 * expected, rel=1e-6)
    opened_steps = {step.opens for number in page for step in number.steps if step.opens}
    assert opened_steps <= {*found, WORK_WORD}  # the meter's readings stand on the page of the joint


def test_a_wild_day_opens_to_the_line_through_the_medians() -> None:
    """SciPy's Theil-Sen slope; how far the day lies off; it leads to the day."""
    hours, clearances = (0, 100, 200, 300, 400, 500), (0.2, 0.25, 0.3, 0.95, 0.4, 0.45)
    number = opened(measured(hours, clearances))["rate by medians, clearance"]
    assert of(number).value == pytest.approx(100 * stats.theilslopes(clearances, hours).slope, abs=1e-6)
    step = next(step for step in number.steps if step.word.startswith(day_text(day(300))))
    assert step.opens == f"clearance, {day_text(day(300))}"
    assert value(number, step.word)[0] == pytest.approx(0.6, abs=0.01)
    assert value(number, "rate without it")[0] == pytest.approx(0.05, abs=1e-6)


def test_the_part_before_a_cut_opens_to_its_own_days() -> None:
    """0.1 mm per 100 h before it was re-bushed, 0.05 since; its parts add up and its readings are the older ones."""
    book = measured((0, 100, 200), (0.4, 0.5, 0.6))
    older = {entry.key for entry in book.entries}
    book.did(day(210), "re-bushed", joint="boom")
    measured((300, 400, 500), (0.1, 0.15, 0.2), book)
    found = opened(book)
    before, now = found["rate of the part before, clearance"], found["rate, clearance"]
    assert of(before).value == pytest.approx(100 * np.polyfit((0, 100, 200), (0.4, 0.5, 0.6), 1)[0], abs=1e-6)
    assert of(now).value == pytest.approx(0.05, abs=1e-6)
    assert set(before.keys) <= older
    assert not set(now.keys) & older
    trend = book.joint.trends[0]
    assert trend.before is not None
    assert of(before).u == pytest.approx(100 * trend.before.line.slope_u, rel=1e-6)


def test_wear_that_doubles_on_the_way_takes_ln_2_of_it() -> None:
    """By SciPy's quadrature of dc / (r (1 + c / G)) from 0 to G, against G / r at an even rate."""
    found = opened(measured((0, 100, 200, 300, 400), (0.2, 0.3, 0.4, 0.5, 0.6), later=412))
    even, faster = found["clearance, limit reached"].estimate, of(found["clearance, limit reached if faster"])
    assert isinstance(even, Interval)
    share, _ = integrate.quad(lambda c: 1 / (1 + c), 0, 1)
    assert faster.value == pytest.approx(share * even.lower, rel=1e-9)
