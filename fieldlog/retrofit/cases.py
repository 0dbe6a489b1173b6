"""Every implement of the fleet on a tractor's hitch, worked out at its first setting: for reports and for offers."""

from collections.abc import Sequence
from dataclasses import dataclass

from fieldlog.records.hitch import HitchParts, Implements
from fieldlog.records.machine import Machine
from fieldlog.retrofit.field_look import FieldLook, NeedLook, field_look, need_look
from fieldlog.retrofit.look import Look, first_setting, look
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import setup_of
from fieldlog.retrofit.steps import kept_within
from fieldlog.wear.states import LinkReport


@dataclass(frozen=True, slots=True)
class HitchCase:
    """A tractor with one implement, or with none: a look at the start, its link's whole range, the length needed.

    `is_measured` is false where nothing but the category is known, so that every figure is a usual one.
    """

    machine: Machine
    look: Look
    field: FieldLook | CannotReach | None
    need: NeedLook | None
    is_measured: bool

    @property
    def implement_name(self) -> str:
        """The implement's name, empty where none is written down."""
        item = self.look.setup.implement
        return "" if item is None else item.name or item.id


def hitch_cases(
    machine: Machine, parts: HitchParts, implements: Implements, links: Sequence[LinkReport]
) -> tuple[HitchCase, ...]:
    """Return one case an implement, or one without any; none where the machine has no hitch."""
    is_measured = parts.hitch is not None or bool(parts.top_holes or parts.rod_holes)
    found = []
    for implement_id in [item.id for item in implements.implements] or [""]:
        setup = setup_of(machine, parts, implements, implement_id, links)
        if setup is None:
            return ()
        setting = kept_within(setup, first_setting(setup))
        case = HitchCase(
            machine, look(setup, setting), field_look(setup, setting), need_look(setup, setting), is_measured
        )
        found.append(case)
    return tuple(found)
