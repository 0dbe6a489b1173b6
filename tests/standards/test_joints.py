"""Usual limits by kind of joint."""

from typing import get_args

import pytest

from fieldlog.records.machine import JointKind
from fieldlog.standards.joints import JOINT_DEFAULTS, PIN_LIMITS, PIN_UNDER_SIZE_MM, PIN_WATCH, Line
from fieldlog.words.finding import usual_line


@pytest.mark.parametrize("kind", get_args(JointKind))
def test_every_kind_of_joint_has_its_figures(kind: JointKind) -> None:
    """No kind of joint is without limits, and new, watch and renew follow each other on usual pins."""
    usual = JOINT_DEFAULTS[kind]
    assert {kind} <= set(PIN_LIMITS) & set(PIN_UNDER_SIZE_MM)
    for pin_mm in (16.0, 19.0, 25.0, 30.0, 40.0, 50.0):
        assert 0 <= usual.new_least_mm < usual.new_most_mm
        assert 0 < usual.watch.at_mm(pin_mm) < usual.renew.at_mm(pin_mm)
        assert 0 < PIN_WATCH.at_mm(pin_mm) < PIN_LIMITS[kind].at_mm(pin_mm)


@pytest.mark.parametrize(("pin_mm", "line_mm"), [(20.0, 0.7), (28.0, 0.98), (30.0, 1.0), (50.0, 1.0)])
def test_bushed_joint_renews_at_the_smaller_of_length_and_share(pin_mm: float, line_mm: float) -> None:
    """1.0 mm or 3.5 % of the pin, whichever is smaller; worked by hand."""
    assert JOINT_DEFAULTS["bushed"].renew.at_mm(pin_mm) == pytest.approx(line_mm)


def test_origin_says_what_the_line_is() -> None:
    """The origin of a default can be printed beside the limit as it stands."""
    bushed, pivot = JOINT_DEFAULTS["bushed"].renew, JOINT_DEFAULTS["pivot"].watch
    assert usual_line("mm", line=bushed) == "default: smaller of 1.0 mm and 3.5 % of the pin (common practice)"
    assert "smaller of 0.25 mm and 0.7 % of the pin" in usual_line("mm", line=pivot)
    assert usual_line("mm", line=Line(None, 5.0)) == "default: 5 % of the pin (common practice)"
    assert usual_line("mm", line=Line(2.0, None)) == "default: 2.0 mm (common practice)"
    assert Line(2.0, None).at_mm(1000.0) == 2.0
