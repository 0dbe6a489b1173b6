"""A joint's pin: where its size comes from."""

from fieldlog.measure.pin_evidence import Standing
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.units import Units


def unworn_end(units: Units) -> str:
    """Measured where it is as made."""
    return "unworn end of the pin"


def worn_band(units: Units) -> str:
    """Measured where it is worn."""
    return "worn band of the pin"


def taken_as(units: Units, *, pin: Length) -> str:
    """Stated."""
    return f"pin taken as {pin.typed}, not measured"


def assumed(units: Units, *, name: str, smallest: Standing | None) -> str:
    """As its hole suggests; `smallest` is how the pin stands where it is the smallest of several."""
    which = {None: "", "worn": ", the smallest that it may be"}.get(smallest, ", the smaller that fits")
    return f"pin assumed {name}{which}; not measured"


def where_from(units: Units, *, origin: str) -> str:
    """A joint's pin as a number."""
    return f"Pin: {origin}"


def and_origin(units: Units, *, origin: str) -> str:
    """The pin at an end of a link as a number."""
    return f"pin, {origin}"


def of_hole(units: Units, *, name: str, what: str) -> str:
    """A number about one end of a link; `name` is that of its hole."""
    return f"{name}: {what}"
