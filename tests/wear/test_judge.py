"""One number against its limit: guard bands, two days, and what is said."""

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.quantity.value import Value
from fieldlog.wear.judge import Judged, Measured, is_beyond_doubt, judge
from fieldlog.wear.states import Finding
from fieldlog.wear.verdicts import Caution, LimitInForce, Severity, Verdict
from tests.speaking import caution_of, next_step_of, reason_of
from tests.values import part, sized
from tests.wear.build import AUTUMN, SPRING, SUMMER

NORMAL_95 = 1.959963985  # two-sided 95 % point of the normal distribution
LIMIT = LimitInForce("clearance", 0.6, 1.0, "manual p. 12")


def value(mm: float, doubt_mm: float = 0.06) -> Value:
    """Return a clearance whose 95 % half-width is `doubt_mm`."""
    return sized(mm, (part("all", doubt_mm / NORMAL_95, float("inf"), "given"),))


def on(day: datetime.date, mm: float) -> Measured:
    """Return a day's clearance."""
    return Measured(day, value(mm))


def verdict(*days: Measured, is_safety: bool = False, limit: LimitInForce = LIMIT) -> Finding:
    """Judge some days' clearance."""
    return judge(Judged(is_safety, days, limit))


# U = 0.06, watch 0.6, renew 1.0: the verdict on one day alone, each side of every guard band.
ONE_DAY = [
    (0.53, Verdict.SOUND, Severity.SOUND),
    (0.55, Verdict.REMEASURE, Severity.DOUBTFUL),
    (0.65, Verdict.REMEASURE, Severity.DOUBTFUL),
    (0.67, Verdict.PLAN, Severity.PLAN),
    (0.93, Verdict.PLAN, Severity.PLAN),
    (0.95, Verdict.REMEASURE, Severity.MAY_BE_OVER),
    (1.05, Verdict.REMEASURE, Severity.MAY_BE_OVER),
    (1.07, Verdict.REMEASURE, Severity.MAY_BE_OVER),
    (5.00, Verdict.REMEASURE, Severity.MAY_BE_OVER),
]


@pytest.mark.parametrize(("mm", "expected", "severity"), ONE_DAY)
@pytest.mark.parametrize("is_safety", [False, True])
def test_one_day_never_condemns(mm: float, expected: Verdict, severity: Severity, is_safety: bool) -> None:
    """On one day's reading the answer is sound, plan or re-measure, never renew, on any kind of joint."""
    finding = verdict(on(SPRING, mm), is_safety=is_safety)
    assert (finding.verdict, finding.severity) == (expected, severity)


# What two separate days give: the first day, the second, ordinary joint, safety joint.
TWO_DAYS = [
    (0.50, 0.52, Verdict.SOUND, Verdict.SOUND),
    (0.50, 0.58, Verdict.REMEASURE, Verdict.REMEASURE),  # near the watch line once
    (0.56, 0.58, Verdict.PLAN, Verdict.PLAN),  # near the watch line twice
    (0.56, 0.53, Verdict.SOUND, Verdict.SOUND),  # proved under now
    (0.70, 0.80, Verdict.PLAN, Verdict.PLAN),
    (0.80, 0.97, Verdict.REMEASURE, Verdict.REMEASURE),  # may be over, once
    (0.96, 0.97, Verdict.REMEASURE, Verdict.RENEW),  # may be over, twice
    (0.97, 1.10, Verdict.REMEASURE, Verdict.RENEW),  # may be over, then proved over: once proved
    (1.10, 0.97, Verdict.REMEASURE, Verdict.RENEW),
    (1.10, 1.12, Verdict.RENEW, Verdict.RENEW),  # proved over twice
    (1.10, 0.80, Verdict.PLAN, Verdict.PLAN),  # proved under now; the shrinking is said elsewhere
]


@pytest.mark.parametrize(("first", "second", "ordinary", "safety"), TWO_DAYS)
def test_two_days_decide(first: float, second: float, ordinary: Verdict, safety: Verdict) -> None:
    """Two separate days prove; on pivots and drawbars two days in doubt count as over."""
    days = on(SPRING, first), on(AUTUMN, second)
    assert verdict(*days).verdict is ordinary
    assert verdict(*days, is_safety=True).verdict is safety


@pytest.mark.parametrize(("first", "second"), [(1.10, 1.12), (0.56, 0.58), (0.96, 0.97)])
@pytest.mark.parametrize("is_safety", [False, True])
def test_two_rounds_of_one_day_are_one_day(first: float, second: float, is_safety: bool) -> None:
    """Two people on the same day, or one person twice, do not make two days."""
    assert verdict(on(SPRING, first), on(SPRING, second), is_safety=is_safety).verdict is Verdict.REMEASURE


def test_what_was_proved_stays_proved() -> None:
    """Two days over, then one in doubt: wear does not heal, so it stays renew and says why."""
    finding = verdict(on(SPRING, 1.10), on(SUMMER, 1.12), on(AUTUMN, 0.99))
    assert finding.verdict is Verdict.RENEW
    assert "1.12 ± 0.06 mm" in reason_of(finding)
    assert "1 Jul 2025" in reason_of(finding)


def test_reason_gives_size_limit_and_origin_in_the_persons_units() -> None:
    """0.97 ± 0.06 against 1.0 of the manual: the size, the limit, who says so, and the chance."""
    finding = verdict(on(SPRING, 0.97))
    assert reason_of(finding) == (
        "Clearance 0.97 ± 0.06 mm (0.0382 ± 0.0024 in) against the limit 1.00 mm, manual p. 12: "
        "about 84 % chance it is still below."
    )
    assert reason_of(finding, "in").startswith(
        "Clearance 0.0382 ± 0.0024 in (0.97 ± 0.06 mm) against the limit 0.039 in"
    )


def test_chance_is_the_students_one() -> None:
    """0.97 ± 0.06 under 1.0 by half a half-width: Phi(0.98) = 0.8365 from the normal table; t with 3 dof is lower."""
    assert 1 - on(SPRING, 0.97).chance_over(1.0) == pytest.approx(0.8365, abs=5e-5)
    few = sized(0.97, (part("few", 0.03, 3.0, "given"),))
    # t = 1, nu = 3: 0.8045 by tables of Student's t (P = 1/2 + (1/pi)(pi/6 + sqrt(3)/4))
    assert 1 - Measured(SPRING, few).chance_over(1.0) == pytest.approx(0.80450, abs=5e-6)
    exact = Measured(SPRING, sized(0.97, ()))
    assert (exact.chance_over(1.0), exact.chance_over(0.9)) == (0.0, 1.0)


@pytest.mark.parametrize(
    ("mm", "said"), [(1.02, "about 74 % chance it is over"), (0.98, "about 74 % chance it is still")]
)
def test_chance_speaks_of_the_likelier_side(mm: float, said: str) -> None:
    """Phi(0.02 / 0.0306) = 0.743 from the normal table."""
    assert said in reason_of(verdict(on(SPRING, mm)))


def test_every_verdict_says_what_to_do_and_renew_cautions() -> None:
    """No finding is without reason and next step; renew carries the blocking caution, sound none."""
    for first, second, _, _ in TWO_DAYS:
        finding = verdict(on(SPRING, first), on(AUTUMN, second))
        assert reason_of(finding).endswith(".")
        assert next_step_of(finding).endswith(".")
        assert ("block" in caution_of(finding)) is (finding.verdict is Verdict.RENEW)
        assert "manual" in caution_of(finding) or finding.verdict is not Verdict.RENEW


def test_share_is_how_much_of_the_limit_is_used() -> None:
    """Half the limit is 0.5; of a bore only the growth counts, its watch line being half of it."""
    assert verdict(on(SPRING, 0.5)).share == pytest.approx(0.5)
    bore = LimitInForce("bore", 34.0, 35.0, "manual")
    assert verdict(on(SPRING, 33.0), limit=bore).share == pytest.approx(0.0)
    assert verdict(on(SPRING, 35.0), limit=bore).share == pytest.approx(1.0)


def test_limit_without_watch_line_goes_straight_to_doubt() -> None:
    """Without a watch line everything proved under the limit is sound."""
    bare = LimitInForce("bore", None, 1.0, "manual")
    assert verdict(on(SPRING, 0.93), limit=bare).verdict is Verdict.SOUND
    assert verdict(on(SPRING, 0.95), limit=bare).verdict is Verdict.REMEASURE


# --- what rests on one reading of the pin ---


def with_pin(day: datetime.date, mm: float, pin_day: datetime.date, made_mm: float) -> Measured:
    """Return a day's clearance from a worn band read on `pin_day`, and with the pin as made."""
    return Measured(day, value(mm), pin_day, value(made_mm))


def test_one_reading_of_the_pin_does_not_condemn_on_two_days() -> None:
    """Two bore days over with one and the same pin reading are one proof; the pin is to be measured again."""
    days = with_pin(SPRING, 1.2, SPRING, 0.7), with_pin(AUTUMN, 1.25, SPRING, 0.75)
    finding = verdict(*days)
    assert finding.verdict is Verdict.REMEASURE
    assert finding.severity == Severity.MAY_BE_OVER
    assert "one day's reading of the pin" in reason_of(finding)
    assert next_step_of(finding).startswith("Measure the pin again")


@pytest.mark.parametrize(("pin_day", "made_mm"), [(AUTUMN, 0.7), (SPRING, 1.1)])
def test_two_pin_days_or_the_pin_as_made_prove_it(pin_day: datetime.date, made_mm: float) -> None:
    """Measured on two days too, or over even with the pin as made, it is proved."""
    days = with_pin(SPRING, 1.2, SPRING, made_mm), with_pin(AUTUMN, 1.25, pin_day, made_mm)
    assert verdict(*days).verdict is Verdict.RENEW


# --- a pin at its limit ---


def test_pin_at_its_limit_stops_on_two_days_and_waits_on_one() -> None:
    """One day: do not work with it until it is measured again. Two days: stop."""
    limit = LimitInForce("pin", 0.3, 1.0, "default")
    one = judge(Judged(False, [on(SPRING, 1.2)], limit, Verdict.STOP))
    assert one.verdict is Verdict.REMEASURE
    assert next_step_of(one).startswith("Do not work with it until it is measured again")
    two = judge(Judged(False, [on(SPRING, 1.2), on(AUTUMN, 1.2)], limit, Verdict.STOP))
    assert two.verdict is Verdict.STOP
    assert two.caution is Caution.STOP_USING


# --- the quick comparison ---


@given(st.floats(-1.0, 1.0), st.floats(1e-6, 0.3), st.floats(0.5, 1e7) | st.just(float("inf")))
def test_beyond_doubt_is_the_comparison_with_the_half_width(gap_mm: float, u_mm: float, dof: float) -> None:
    """The shortcut gives the same answer as comparing with the expanded uncertainty itself."""
    estimate = sized(1.0, (part("all", u_mm, dof, "given"),))
    assert is_beyond_doubt(gap_mm, estimate) is (gap_mm > estimate.plus_minus)


def test_beyond_doubt_without_doubt() -> None:
    """A value without uncertainty is over as soon as it is over."""
    exact = sized(1.0, ())
    assert is_beyond_doubt(0.001, exact)
    assert not is_beyond_doubt(0.0, exact)


@given(
    st.lists(st.tuples(st.integers(0, 5), st.floats(0.0, 2.0)), max_size=4),
    st.floats(0.0, 2.0),
    st.floats(0.0, 1.0),
    st.booleans(),
)
def test_larger_is_never_milder(
    before: list[tuple[int, float]], last_mm: float, more_mm: float, is_safety: bool
) -> None:
    """Whatever was measured before, a larger latest value never gets a milder finding."""
    days = [on(SPRING + datetime.timedelta(days=day), mm) for day, mm in sorted(before)]
    here = verdict(*days, on(AUTUMN, last_mm), is_safety=is_safety)
    larger = verdict(*days, on(AUTUMN, last_mm + more_mm), is_safety=is_safety)
    assert larger.severity >= here.severity
