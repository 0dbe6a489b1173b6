"""Hitches for the tests: the compact tractor of the worked example, and random ones that could be built."""

from dataclasses import replace

from hypothesis import strategies as st

from fieldlog.retrofit.hitch.forces import Load, Push
from fieldlog.retrofit.hitch.plane import Linkage, Offset, Point

COMPACT = Linkage(Point(60, 400), 790, Point(190, 780), 654.0, 460, Point(110, 820), 260, 475.6, 430, 718)
LOWEST_DEG, HIGHEST_DEG = -15.0, 70.0


def _about(middle: float, share: float) -> st.SearchStrategy[float]:
    return st.floats(middle * (1 - share), middle * (1 + share))


@st.composite
def hitches(draw: st.DrawFn) -> Linkage:
    """Draw a hitch whose lengths are those of a compact tractor, each up to a fifth off."""
    return replace(
        COMPACT,
        lower_pivot=Point(draw(_about(60, 0.5)), draw(_about(400, 0.2))),
        bracket=Point(draw(_about(190, 0.3)), draw(_about(780, 0.15))),
        arm_pivot=Point(draw(_about(110, 0.4)), draw(_about(820, 0.1))),
        lower_link_mm=draw(_about(790, 0.2)),
        top_link_mm=draw(_about(654, 0.15)),
        mast_mm=draw(_about(460, 0.2)),
        lift_arm_mm=draw(_about(260, 0.15)),
        rod_mm=draw(_about(475, 0.12)),
        rod_hole_mm=draw(_about(420, 0.12)),
    )


@st.composite
def loads(draw: st.DrawFn) -> Load:
    """Draw an implement with its weight behind the balls and one push from anywhere."""
    push = Push(
        draw(st.floats(-8, 8)), draw(st.floats(-3, 3)), Offset(draw(st.floats(-200, 1200)), draw(st.floats(-400, 600)))
    )
    centre = Offset(draw(st.floats(0, 1500)), draw(st.floats(-300, 700)))
    return Load(draw(st.floats(20, 900)), centre, (push,))
