"""The oil that a cylinder takes: litres, seconds a stroke, and the restrictor that makes it slow enough."""

from collections.abc import Iterator, Mapping

from fieldlog.measure.rounding import plus_minus_text
from fieldlog.retrofit.checks import Check, Level
from fieldlog.retrofit.cylinder import Cylinder, flow_for_seconds, orifice_mm, stroke_seconds
from fieldlog.retrofit.work_answers import DROP_SHARE, SLOW_S

QUICK_S = 4.0  # a stroke faster than this is too quick to set a blade by; 4 to 7 s are wanted: common practice


def of(doubts: Mapping[str, float], word: str) -> float:
    """Return a doubt by its word, 0 where there is none."""
    return doubts.get(word, 0.0)


def said(value: float, doubt: float, places: int) -> str:
    """Return a value with its doubt, to so many places at the finest."""
    return plus_minus_text(value, doubt, places) if doubt > 0 else f"{value:.{places}f}"


def oil_points(
    cylinder: Cylinder, flow_l_per_min: float | None, relief_mpa: float | None, doubts: Mapping[str, float]
) -> Iterator[Check]:
    """Return the oil a stroke takes, how long it takes, and the restrictor that slows it."""
    oil = (
        f"Oil: {said(cylinder.extend_litres, of(doubts, 'oil out'), 3)} L out, "
        f"{said(cylinder.retract_litres, of(doubts, 'oil in'), 3)} L in; "
        f"the tank takes {said(cylinder.rod_litres, of(doubts, 'oil more'), 3)} L more when it is in."
    )
    if flow_l_per_min is None:
        yield Check("speed", Level.ASK, f"{oil} The pump's flow is not written down: p on this page.")
        return
    out, back = (stroke_seconds(litres, flow_l_per_min) for litres in (cylinder.extend_litres, cylinder.retract_litres))
    times = f"{said(out, of(doubts, 'seconds out'), 1)} s out and {said(back, of(doubts, 'seconds in'), 1)} s in"
    text = f"{oil} At full flow {times}."
    if min(out, back) >= QUICK_S:
        yield Check("speed", Level.GOOD, text)
        return
    flow = flow_for_seconds(cylinder.extend_litres, SLOW_S)
    size = f"to {flow:.1f} L/min"
    if relief_mpa is not None:
        hole_mm = orifice_mm(flow, relief_mpa * DROP_SHARE)
        size += f": a sharp-edged restrictor of about {said(hole_mm, of(doubts, 'restrictor'), 2)} mm in each port"
    why = "Too quick to set a blade by; slow it " + size + ". Meter out holds a load that pulls, meter in does not."
    yield Check("speed", Level.NOTE, text, why)
