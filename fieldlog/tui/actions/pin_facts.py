"""The lines of forms that say what else is known of pins; asked on correcting, never on adding."""

from collections.abc import Mapping
from typing import NamedTuple, cast, get_args

from fieldlog.records.machine import Joint, Keeper, Machine, PinKind, shown_name
from fieldlog.tui.screens.form import Field, words


class PinFacts(NamedTuple):
    """What kind of pin it is, what keeps it, and which joint takes the same one."""

    pin_kind: PinKind | None
    keeper: Keeper | None
    twin: str


def pin_fact_fields(joint: Joint, machine: Machine) -> tuple[Field, ...]:
    """Return the lines for kind of pin, keeper and twin."""
    unknown = (("", "not said"),)
    others = ((other.id, shown_name(other)) for other in machine.joints if other.id != joint.id)
    same = "The joint on the other side that takes the same pin, where left and right in the names do not tell."
    return (
        Field("pin_kind", "Pin is a", joint.pin_kind or "", "", (*unknown, *words(*get_args(PinKind)))),
        Field("keeper", "Kept by a", joint.keeper or "", "", (*unknown, *words(*get_args(Keeper)))),
        Field("twin", "Same pin as", joint.twin, same, (*unknown, *others)),
    )


def machine_fact_fields(machine: Machine) -> tuple[Field, ...]:
    """Return the line for the threads of a machine's links."""
    threads = (("", "not known"), ("in", "inch"), ("mm", "metric"))
    return (Field("link_threads", "Threads of its links", machine.link_threads or "", "", threads),)


def pin_facts_from(values: Mapping[str, str]) -> PinFacts:
    """Return the facts from a form; a form without these lines says nothing of them."""
    pin_kind, keeper = values.get("pin_kind") or None, values.get("keeper") or None
    return PinFacts(cast("PinKind | None", pin_kind), cast("Keeper | None", keeper), values.get("twin", ""))
