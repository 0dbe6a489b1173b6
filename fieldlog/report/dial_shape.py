"""What the dial of a hole draws: this season's shape over its first one and over the hole as made; and its legend."""

from fieldlog.measure.hole import HoleSize
from fieldlog.records.days import day_text
from fieldlog.report.dial import DialShape, magnification
from fieldlog.report.lines import Line, Span, fit, line
from fieldlog.wear.states import HoleState


def dial_shape(state: HoleState) -> DialShape | None:
    """Return the latest shape over the hole's own smallest size and its first shape; None without a shape."""
    latest = state.latest
    if latest is None or state.identity is None:
        return None
    face = latest.best_face
    if face.shape is None:
        return None
    as_made_mm = state.identity.value_mm
    readings = tuple((group.angle_deg, group.mean_mm) for group in face.groups)
    first = first_shaped(state)
    shape = first.best_face.shape if first is not None else None
    before = DialShape(shape.d0_mm, shape.a_mm, shape.b_mm, as_made_mm) if shape is not None else None
    return DialShape(face.shape.d0_mm, face.shape.a_mm, face.shape.b_mm, as_made_mm, readings, before)


def first_shaped(state: HoleState) -> HoleSize | None:
    """Return the first day since the last renewal on which the hole's shape was seen; None when that is the latest."""
    since = state.history[state.span_start : -1]
    return next((size for size in since if size.best_face.shape is not None), None)


def dial_note(shape: DialShape, state: HoleState, width: int) -> tuple[Line, ...]:
    """Return the dial's legend."""
    rows = [f"wear drawn {magnification(shape)} x; dots as made"]
    latest, first = state.latest, first_shaped(state)
    if shape.first is not None and first is not None and latest is not None:
        rows.append(f"o {day_text(latest.day)}, + {day_text(first.day)}")
    else:
        rows[0] = f"wear drawn {magnification(shape)} x; o read"
    return tuple(line(Span(fit(f"   {text}", width), "dim")) for text in rows)
