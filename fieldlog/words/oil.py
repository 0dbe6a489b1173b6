"""Force and oil of a cylinder on this tractor: what it does, what it must hold, how fast it is, what it takes.

What each of those numbers is called on the page that opens it.
"""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.errors import MeasureError
from fieldlog.quantity.page_number import Texts
from fieldlog.quantity.rounding import with_doubt
from fieldlog.quantity.units import Units, also_shown_in
from fieldlog.quantity.value import Value, exactly
from fieldlog.records.machine import LinkPosition
from fieldlog.retrofit.offers.cylinder import HOSE_GOOD_M_PER_S, HOSE_MOST_M_PER_S, SAFETY, SHOCK, SLOW_S, Cylinder

_HOSE_BURST = 4  # hose burst over working pressure, SAE J517/J343, from memory
_COUPLERS = 2
_PLACES = {"bar": 0, "kN": 1}

_PULL = "Pull = pressure times the ring: pi / 4 times (bore squared less rod squared)."
_PUSH = "Push = pressure times the bore's area: pi / 4 times bore squared."
_HOLD = "Pressure = pull / ring, or push / bore's area, whichever is more."
_TIME = "Time = oil / flow."
_RESTRICTOR = (
    "Flow = 0.65 times area times root of (2 times drop / density), most of the relief pressure dropped in it."
)
NUMBERS: Mapping[str, Texts] = MappingProxyType(
    {
        "pull": Texts("pull", "Pull at the working pressure", _PULL),
        "push": Texts("push", "Push at the working pressure", _PUSH),
        "pressure_to_hold": Texts("pressure to hold", "Pressure that holds what is asked of it", _HOLD),
        "pressure_bouncing": Texts(
            "pressure, bouncing", f"The same, what is carried bouncing {SHOCK:.0f} times", _HOLD
        ),
        "spare": Texts("to spare", "Working pressure less what holds the load"),
        "spare_bouncing": Texts("to spare, bouncing", "Working pressure less what holds it bouncing"),
        "raised_pressure": Texts(
            "raised pressure",
            "Pressure on a shut rod side with full pressure on the cap side",
            "Pressure times bore's area over ring.",
        ),
        "bends_at": Texts(
            "bends at",
            "Push at which the rod bends, fully open",
            "Euler, or Johnson where it is stubby; pinned ends.",
        ),
        "safety_bending": Texts("safety, bending", "Bending load over the full push"),
        "pilot_ratio": Texts("pilot ratio", "Least pilot ratio of a check valve", "1.5 times bore's area over ring."),
        "creep_cap": Texts("creep, cap side", "Creep for a millilitre that leaks, cap side"),
        "creep_rod": Texts("creep, rod side", "Creep for a millilitre that leaks, rod side"),
        "oil_out": Texts("oil out", "Oil for the whole stroke out"),
        "oil_in": Texts("oil in", "Oil for the whole stroke in"),
        "oil_more": Texts("oil more", "What the tank takes more when it is in"),
        "seconds_out": Texts("seconds out", "Whole stroke out at full flow", _TIME),
        "seconds_in": Texts("seconds in", "Whole stroke in at full flow", _TIME),
        "slow_flow": Texts("flow to slow it", f"Flow for {SLOW_S:g} s out", _TIME),
        "restrictor": Texts("restrictor", "Sharp-edged restrictor for that flow", _RESTRICTOR),
        "warmed_oil": Texts(
            "warmed oil",
            "What oil locked in both ways rises by at the worst when it warms",
            "About 11 bar a degree where nothing gives.",
        ),
        "hose_speed": Texts(
            "oil in the hose", "Speed of the oil in the hose at full flow", "Flow over the hose's inside area."
        ),
    }
)
CAUTIONS = (
    "Relieve the pressure before any fitting is opened: load on the ground, engine off, levers cycled. Behind a check "
    "valve it stays pressurised and loaded all the same: take the load off first, crack the fitting slowly.",
    "Look for leaks with cardboard, never a hand; a puncture is an emergency at once. A cylinder is no prop: block "
    "what is up.",
    "No efficiency is taken off these numbers. The tractor's and the cylinder's manuals win.",
)
ASKED: Mapping[str, str] = MappingProxyType(
    {"tension": "must hold, pull", "compression": "must hold, push", "carried": "carried"}
)


def asked_of_the_link(number_id: str, name: str) -> Texts:
    """What the link must hold is opened under."""
    return Texts(ASKED[number_id], f"Asked of the link: {name}")


def _said(value: Value, places: int) -> str:
    """A value with its doubt where there is one, to so many places at the finest."""
    return with_doubt(value.value, value.plus_minus, places)


def _both(value: Value) -> str:
    """A pressure or force in its unit, and in the whole of the other one."""
    first, other = f"{_said(value, _PLACES[value.unit])} {value.unit}", also_shown_in(value.unit)
    return first if other is None else f"{first} ({_said(value * other[1], 0)} {other[0]})"


def _plain(value: Value) -> str:
    return _both(exactly(value.value, value.unit))


# what is missing


def sizes_not_stated(units: Units, *, missing: tuple[str, ...]) -> str:
    """Bore or rod is missing."""
    return f"Not stated: {', '.join(missing)}. Force needs bore and rod; ask."


def stroke_not_stated(units: Units) -> str:
    """The stroke is missing."""
    return "The stroke is not stated: oil and time need it; ask."


def no_cylinder(units: Units, *, bore_mm: float, rod_mm: float, stroke_mm: float) -> str:
    """Its sizes are those of no cylinder."""
    try:
        Cylinder(bore_mm, rod_mm, stroke_mm)
    except MeasureError as error:
        return str(error)
    return ""


# pressure and force


def relief_not_known(units: Units) -> str:
    """Nobody wrote the relief pressure down."""
    return "The tractor's relief pressure is not written down: p on this page; until then the rated one is used."


def rated_under_relief(units: Units, *, rated: Value, relief: Value) -> str:
    """The tractor can overload it."""
    return f"Rated {_plain(rated)}, under the tractor's relief {_plain(relief)}: it can be overloaded."


def why_never_above_rating(units: Units) -> str:
    """What a rating is."""
    return "Never above a cylinder's rating."


def raised(units: Units, *, raised: Value) -> str:
    """What a shut rod side gets."""
    return f"With the rod side shut, full pressure on the cap side raises it to {_both(raised)}."


def raised_over_rated(units: Units, *, raised: Value, rated: Value) -> str:
    """A shut rod side gets more than it is rated for."""
    over = f"Over its rated {_plain(rated)}: no restrictor on the rod side alone."
    return f"With the rod side shut, full pressure on the cap side raises it to {_both(raised)}. {over}"


def why_raised(units: Units, *, area_ratio: float) -> str:
    """How much it is raised, and what must stand it."""
    return f"Area ratio {area_ratio:.2f}. Ports and hoses must stand it; a hose bursts at {_HOSE_BURST} times."


def no_pressure_known(units: Units) -> str:
    """No pressure, no force."""
    return "Neither relief nor rated pressure is known: no force can be told."


def force(units: Units, *, whose: str, working: Value, pull: Value, push: Value) -> str:
    """Pull and push."""
    return f"At its {whose} {_plain(working)} it pulls {_both(pull)} and pushes {_both(push)}."


def force_without_demand(units: Units, *, does: str) -> str:
    """Pull and push alone."""
    return does


def why_demand_not_known(units: Units) -> str:
    """Where what the link must hold is written."""
    return "What the link must hold is not known: write the implement's weight and centre on the hitch's page."


def asks(units: Units, *, tension: Value, compression: Value, origin: str) -> str:
    """What must be held."""
    pushed = f" and {_both(compression)} pushed" if compression.value > 0 else ""
    return f"It must hold {_both(tension)} pulled{pushed}, {origin}"


def takes(units: Units, *, standing: Value, carried: Value, bouncing: Value) -> str:
    """The pressures that takes, standing and bouncing."""
    bounced = f"with {_both(carried)} carried and bouncing {SHOCK:.0f} times {_both(bouncing)}."
    return f"{_both(standing)}; {bounced}"


def must_hold(units: Units, *, does: str, asks: str, takes: str, remark: str | None) -> str:
    """Pull and push, what must be held, and what that takes."""
    return f"{does} {asks}: {takes}{f' {remark}' if remark else ''}"


def worst_with(units: Units, *, name: str) -> str:
    """Whence what must be held."""
    return f"worst with {name}, over all heights"


def too_weak(units: Units, *, over: Value, whose: str) -> str:
    """It cannot hold it."""
    return f"Too weak: that is {_plain(over)} over its {whose} pressure."


def standing_in_doubt(units: Units) -> str:
    """It may not hold it."""
    return "Whether it holds that standing still is within the doubt."


def bouncing_in_doubt(units: Units) -> str:
    """It may not hold it on the road."""
    return "Bouncing, that is within the doubt."


def why_ring_counts(units: Units) -> str:
    """Which area holds a pull."""
    return "A top link mostly pulls: the ring around the rod counts, not the bore."


# holding and bending


def load_reverses(units: Units) -> str:
    """It is pulled and pushed."""
    return "The load reverses: a double pilot-operated check at the cylinder is needed, not only wanted."


def part_double_valve(units: Units) -> str:
    """The valve as it is ordered."""
    return "double pilot-operated check valve"


def pilot_ratio(units: Units, *, ratio: Value) -> str:
    """What the check valve must have."""
    return f"Pilot ratio on the rod side {ratio.value:.1f} to 1 or more."


def creep(units: Units, *, cap: Value, ring: Value) -> str:
    """How far it creeps."""
    sides = f"{cap.value:.2f} mm (cap side) or {ring.value:.2f} mm (rod side)"
    return f"One millilitre that leaks lets it creep {sides}."


def pilot_and_creep(units: Units, *, pilot: str, creep: str) -> str:
    """Both."""
    return f"{pilot} {creep}"


def warmed(units: Units, *, warming_degc: float, rise: Value) -> str:
    """What the sun does to it."""
    rises = f"may rise by {_both(rise)} at the worst"
    return f"Oil locked in both ways and warmed by {warming_degc:.0f} degC {rises}."


def why_warmed(units: Units) -> str:
    """How to park it."""
    return "Do not park it tight between two stops; take the load off and open the ends slowly."


def open_not_known(units: Units) -> str:
    """Without the open length."""
    return "The open length is not known, so neither is whether the rod buckles."


def bends(
    units: Units, *, bends_at: Value, is_euler: bool, push: Value | None, safety: Value | None, pushed: Value | None
) -> str:
    """When the rod bends; `pushed` is what it must hold, where that is too near to it."""
    kind = "by Euler" if is_euler else "by Johnson's parabola, it is too stubby for Euler"
    text = f"Pushing fully open the rod bends at {_both(bends_at)} ({kind}, pinned ends)."
    if push is not None and safety is not None:
        text += f" Full push {_both(push)}: safety {_said(safety, 1)}, {SAFETY:g} is wanted."
    if pushed is not None:
        text += f" With the {_both(pushed)} that it must hold pushed, only {bends_at.value / pushed.value:.1f}."
    return text


def why_bends(units: Units) -> str:
    """How that is reckoned."""
    return "The whole open length reckoned as rod, on the safe side. Push is rarely needed of a top link."


# oil


def oil(units: Units, *, out: Value, back: Value, more: Value) -> str:
    """The oil a stroke takes."""
    strokes = f"{_said(out, 3)} L out, {_said(back, 3)} L in"
    return f"Oil: {strokes}; the tank takes {_said(more, 3)} L more when it is in."


def flow_not_known(units: Units, *, oil: str) -> str:
    """Nobody wrote the flow down."""
    return f"{oil} The pump's flow is not written down: p on this page."


def times(units: Units, *, oil: str, out: Value, back: Value) -> str:
    """How long a stroke takes."""
    return f"{oil} At full flow {_said(out, 1)} s out and {_said(back, 1)} s in."


def why_slow_it(units: Units, *, flow: Value, restrictor: Value | None) -> str:
    """How to slow it."""
    size = f"to {flow.value:.1f} L/min"
    if restrictor is not None:
        size += f": a sharp-edged restrictor of about {_said(restrictor, 2)} mm in each port"
    return f"Too quick to set a blade by; slow it {size}. Meter out holds a load that pulls, meter in does not."


def hose(units: Units, *, hose: Value, speed: Value) -> str:
    """How fast the oil runs."""
    high = "high" if speed.value <= HOSE_MOST_M_PER_S else "only behind a restrictor"
    word = "good" if speed.value <= HOSE_GOOD_M_PER_S else high
    return f"In a hose of {hose.value:.1f} mm inside the oil runs {_said(speed, 1)} m/s: {word}."


def why_hose(units: Units) -> str:
    """How fast it should run."""
    return "Pressure lines 4.6 to 6.1 m/s (15 to 20 ft/s)."


def takes_a_remote(units: Units, *, position: LinkPosition) -> str:
    """What it is plugged into."""
    other = "top link" if position == "lift rod" else "hydraulic lift rod"
    return f"It takes one double-acting remote ({_COUPLERS} couplers); a {other} beside it takes another."


def remotes_not_known(units: Units, *, takes: str) -> str:
    """Nobody wrote the remotes down."""
    return f"{takes} How many the tractor has is not written down."


def no_remote(units: Units, *, takes: str) -> str:
    """The tractor has none."""
    return f"{takes} The tractor has none."


def part_remote(units: Units) -> str:
    """What is ordered then."""
    return "a remote valve, or a diverter"


def remotes(units: Units, *, takes: str, remotes: int) -> str:
    """How many the tractor has."""
    return f"{takes} The tractor has {remotes}."
