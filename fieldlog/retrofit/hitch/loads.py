"""What hangs on a hitch as figures with their doubt: weight, centre of gravity, the ground's push, the PTO's joint.

Nobody weighs an implement to the kilogram. How far a written figure is trusted is common practice, no source.
"""

from fieldlog.quantity.estimate import figure_limit
from fieldlog.quantity.lengths import Length
from fieldlog.records.hitch import Directed, Implement
from fieldlog.retrofit.carried import PLUMBED_MM, TAPED_MM, Measure, Values, measured, usual_figure
from fieldlog.retrofit.hitch.forces import Load, ShaftSizes
from fieldlog.retrofit.hitch.plane import Offset

WEIGHT_SHARE = 0.05  # of a written weight: oil, mud and what is bolted on
CENTRE_MM = 50.0  # a centre of gravity found by lifting, or by eye
CENTRE_UP_MM = 200.0  # the same where nobody wrote its height: taken level with the lower pins
PUSH_SHARE = 0.25  # of the most that the ground is thought to push
_LENGTHS = (
    ("joint_behind", "pto_behind", "implement's PTO joint, behind", PLUMBED_MM),
    ("joint_above", "pto_above", "implement's PTO joint, above", PLUMBED_MM),
    ("shaft_closed", "shaft_closed", "PTO shaft, closed", TAPED_MM),
    ("shaft_overlap", "shaft_overlap", "PTO shaft, overlap", TAPED_MM),
)


def stated(value: float, share: float, unit: str, name: str, typed: str) -> Measure:
    """Return a figure that is written down and believed within a share of itself."""
    part = figure_limit(name, value * share, f"as written, ± {share * 100:g} %, common practice")
    return Measure(value, (part,), name, typed=(f"{name}: {typed}",), unit=unit)


def implement_figures(item: Implement | None) -> dict[str, Measure]:
    """Return what is written of an implement's weight, push and shaft; without weight or centre there is no load."""
    if item is None:
        return {}
    found: dict[str, Measure] = {}
    if item.weight is not None and item.centre_behind is not None:
        found["weight"] = stated(item.weight.kg, WEIGHT_SHARE, "kg", "implement's weight", item.weight.typed)
        found["centre_behind"] = _centre(item.centre_behind, "centre of gravity, behind")
        found["centre_above"] = (
            _centre(item.centre_above, "centre of gravity, above")
            if item.centre_above is not None
            else usual_figure(0.0, CENTRE_UP_MM, "centre of gravity, above")
        )
        found |= _push(item)
    for key, attribute, name, tape_mm in _LENGTHS:
        size: Length | Directed | None = getattr(item, attribute)
        if size is not None:
            found[key] = measured(size, name, tape_mm)
    return found


def _centre(size: Directed, name: str) -> Measure:
    part = figure_limit(name, CENTRE_MM, f"± {CENTRE_MM:g} mm, found by lifting or by eye, common practice")
    return Measure(float(size.mm), (part,), name, typed=(f"{name}: {size.typed}",))


def _push(item: Implement) -> dict[str, Measure]:
    kn, typed = (item.push.kn, item.push.typed) if item.push is not None else (0.0, "none written")
    below = item.push_below
    found = {"push": stated(kn, PUSH_SHARE, "kN", "ground's push", typed)}
    found["push_below"] = (
        measured(below, "ground's push, below the balls", PLUMBED_MM)
        if below is not None
        else Measure(0.0, (), "ground's push, below the balls")
    )
    return found


def load_of_values(values: Values) -> Load | None:
    """Return the implement's weight and centre of plain numbers; None where they are not written."""
    if "weight" not in values:
        return None
    return Load(values["weight"], Offset(values["centre_behind"], values["centre_above"]))


def push_of_values(values: Values) -> tuple[float, Offset]:
    """Return the most that the ground pushes, in kN, and where."""
    return values["push"], Offset(0.0, -values["push_below"])


def joint_of_values(values: Values) -> Offset | None:
    """Return where the implement's PTO input joint is."""
    if "joint_behind" not in values or "joint_above" not in values:
        return None
    return Offset(values["joint_behind"], values["joint_above"])


def shaft_of_values(values: Values) -> ShaftSizes | None:
    """Return the PTO shaft's own sizes where they are written."""
    if "shaft_closed" not in values or "shaft_overlap" not in values:
        return None
    return ShaftSizes(values["shaft_closed"], values["shaft_overlap"])
