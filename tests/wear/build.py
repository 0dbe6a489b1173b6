"""A machine with readings, put together in a line or two for the tests of verdicts."""

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.clock import FULL_SET, parse_clock
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    Deed,
    Event,
    MachineLog,
    MeterReading,
    Note,
    PinPlace,
    PinReading,
    Sign,
    Strike,
    in_time_order,
    struck_keys,
)
from fieldlog.records.machine import Hole, Instrument, Joint, JointKind, Limit, Logbook, Machine, Share
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.states import Finding, JointState, MachineState
from fieldlog.wear.verdicts import Verdict

TODAY = datetime.date(2026, 4, 1)
SPRING = datetime.date(2025, 4, 1)
SUMMER = datetime.date(2025, 7, 1)
AUTUMN = datetime.date(2025, 10, 1)
FINE = Instrument("fine", resolution=parse_length("0.01"), error_limit=parse_length("0.02"))


def limit(renew: str, watch: str = "", **where: str) -> Limit:
    """Return a limit in mm, or in percent of the pin when it ends with a % sign."""
    size = _amount(renew)
    return Limit(size, where.pop("origin", "manual p. 12"), _amount(watch) if watch else None, **where)  # type: ignore[arg-type]


def _amount(text: str) -> object:
    return Share(text, Decimal(text.rstrip("% "))) if text.endswith("%") else parse_length(text)


@dataclass
class Book:
    """A logbook with one machine; entries get their time of day in the order in which they are added."""

    kind: JointKind = "bushed"
    pin: str = "30 mm"
    units: Units = "mm"
    joints: tuple[Joint, ...] = ()
    holes: tuple[Hole, ...] = ()
    limits: tuple[Limit, ...] = ()
    fleet_limits: tuple[Limit, ...] = ()
    machine: Machine | None = None
    entries: list[AnyEntry] = field(default_factory=list)

    def __post_init__(self) -> None:
        stated = parse_length(self.pin) if self.pin else None
        joints = self.joints or (Joint("boom", kind=self.kind, pin=stated),)
        holes = self.holes or (Hole("ear", joint=joints[0].id, kind="bushed" if self.kind == "bushed" else "plain"),)
        self.machine = self.machine or Machine("digger", joints=joints, holes=holes, limits=self.limits)

    def _head(self, day: datetime.date, who: str = "ann") -> dict[str, object]:
        second = len(self.entries)
        at = f"{8 + second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
        return {"at": at, "round": f"{day.isoformat()}-{who}", "day": day, "who": who}

    def _add(self, entry: AnyEntry) -> AnyEntry:
        self.entries.append(entry)
        return entry

    def bore(
        self, day: datetime.date, mm: float, *, oval: float = 0.0, hole: str = "ear", clocks: Sequence[str] = FULL_SET
    ) -> list[AnyEntry]:
        """Measure a hole three times round; `mm` is its largest size, at 3 o'clock, and `oval` what 12 lacks."""
        lacks = {"12": oval, "1:30": oval / 2, "3": 0.0, "4:30": oval / 2}
        return [
            self._add(
                BoreReading(
                    hole=hole,
                    size=parse_length(f"{mm - lacks[clock] + off:.3f}"),
                    clock=parse_clock(clock),
                    instrument="fine",
                    **self._head(day),  # type: ignore[arg-type]
                )
            )
            for off in (-0.01, 0.0, 0.01)
            for clock in clocks
        ]

    def pin_is(self, day: datetime.date, mm: float, place: PinPlace = "worn", joint: str = "boom") -> list[AnyEntry]:
        """Measure a pin three times in one direction."""
        return [
            self._add(
                PinReading(
                    joint=joint,
                    size=parse_length(f"{mm + off:.3f}"),
                    place=place,
                    instrument="fine",
                    **self._head(day),  # type: ignore[arg-type]
                )
            )
            for off in (-0.01, 0.0, 0.01)
        ]

    def saw(self, day: datetime.date, *signs: Sign, **where: str) -> AnyEntry:
        """Note signs."""
        return self._add(Note(signs=signs, **where, **self._head(day)))  # type: ignore[arg-type]

    def did(self, day: datetime.date, deed: Deed, hours: str = "", **where: str) -> AnyEntry:
        """Write down what was done."""
        new = Decimal(hours) if hours else None
        return self._add(Event(deed=deed, hours=new, **where, **self._head(day)))  # type: ignore[arg-type]

    def meter(self, day: datetime.date, hours: str) -> AnyEntry:
        """Read the hour meter."""
        return self._add(MeterReading(hours=Decimal(hours), **self._head(day)))  # type: ignore[arg-type]

    def strike(self, *entries: AnyEntry) -> None:
        """Strike entries out."""
        for entry in entries:
            self._add(Strike(of=entry.key, why="burr", **self._head(entry.day)))  # type: ignore[arg-type]

    @property
    def log(self) -> MachineLog:
        """The machine with its entries as the store would hand them over."""
        assert self.machine is not None
        entries = in_time_order(tuple(self.entries))
        return MachineLog(self.machine, (), entries, struck_keys(entries))

    @property
    def logbook(self) -> Logbook:
        """The logbook around it."""
        return Logbook("test", self.units, instruments=(FINE,), limits=self.fleet_limits)

    @property
    def state(self) -> MachineState:
        """The machine assessed."""
        return assess_machine(self.log, self.logbook, TODAY)

    @property
    def joint(self) -> JointState:
        """Its first joint."""
        return self.state.joints[0]

    @property
    def finding(self) -> Finding:
        """The verdict on its first joint."""
        return self.joint.finding

    def verdict(self) -> Verdict:
        """The verdict on its first joint; a method, since it changes with each entry."""
        return self.finding.verdict
