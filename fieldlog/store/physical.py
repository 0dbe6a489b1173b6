"""Pressures and weights from a file: text with its unit, or refused with what would be accepted."""

from typing import TYPE_CHECKING

from fieldlog.errors import QuantityError
from fieldlog.records.hydraulics import ACCEPTED_FLOW, Flow, parse_flow
from fieldlog.records.physical import (
    ACCEPTED_MASS,
    ACCEPTED_PRESSURE,
    Mass,
    Pressure,
    parse_mass,
    parse_pressure,
)
from fieldlog.store.schema import Refused, shown

if TYPE_CHECKING:
    from cattrs import Converter


def register_physical(converter: "Converter") -> None:
    """Teach a converter to read pressures, weights and flows."""
    converter.register_structure_hook(Pressure, lambda value, _: pressure_from(value))
    converter.register_structure_hook(Mass, lambda value, _: mass_from(value))
    converter.register_structure_hook(Flow, lambda value, _: flow_from(value))


def pressure_from(value: object) -> Pressure:
    """Return the pressure that a value from a file stands for."""
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} has no unit", ACCEPTED_PRESSURE)
    try:
        return parse_pressure(value)
    except QuantityError:
        raise Refused(f"{shown(value)} is no pressure", ACCEPTED_PRESSURE) from None


def mass_from(value: object) -> Mass:
    """Return the weight that a value from a file stands for."""
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} has no unit", ACCEPTED_MASS)
    try:
        return parse_mass(value)
    except QuantityError:
        raise Refused(f"{shown(value)} is no weight", ACCEPTED_MASS) from None


def flow_from(value: object) -> Flow:
    """Return the flow that a value from a file stands for."""
    if not isinstance(value, str):
        raise Refused(f"{shown(value)} has no unit", ACCEPTED_FLOW)
    try:
        return parse_flow(value)
    except QuantityError:
        raise Refused(f"{shown(value)} is no flow", ACCEPTED_FLOW) from None
