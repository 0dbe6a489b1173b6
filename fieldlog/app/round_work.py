"""A round being walked: which stop, which slot, which entries; everything but the screen.

Standing at a link in the round: what was typed becomes a tape reading, thread that stands out, or turns.
"""

from dataclasses import dataclass, field, replace
from itertools import product
from typing import NamedTuple

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.errors import QuantityError
from fieldlog.measure.flags import refused_hole_size, refused_wall
from fieldlog.measure.instruments import UNKNOWN_CALIPER
from fieldlog.measure.walk import (
    BoreSlot,
    BushSlot,
    PinSlot,
    Slot,
    Stop,
    TapeSlot,
    WallSlot,
    next_slot,
    readings_at,
    slot_of,
    walking_order,
    where_it_stands,
)
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import (
    AnyEntry,
    BoreReading,
    LigamentReading,
    Note,
    PinReading,
    Round,
    Sign,
    Strike,
    WallReading,
    kept_keys,
    struck_keys,
)
from fieldlog.records.machine import Instrument, Link, Logbook, Machine
from fieldlog.store.rounds import RoundFile
from fieldlog.wear.assess import assess_hole
from fieldlog.wear.at_the_hole import Before, PinSight, Sight, before_this_round, judging_of, look, look_at_pin
from fieldlog.wear.pin_size import pin_days
from fieldlog.wear.signs import MOVES, TIGHT
from fieldlog.wear.states import MachineState


class _Looked(NamedTuple):
    """What a look at a hole rests on: its readings, what was known before them, the instruments, what is kept."""

    bores: tuple[BoreReading, ...]
    before: Before
    logbook: Logbook
    kept: frozenset[str]

    def is_same(self, other: "_Looked") -> bool:
        """Tell whether nothing changed; what was known before and the logbook are made anew when they change."""
        same = self.before is other.before and self.logbook is other.logbook
        return same and (self.bores, self.kept) == (other.bores, other.kept)


@dataclass(slots=True)
class RoundWork:
    """The walk of one person over one machine on one day."""

    session: OpenLogbook
    machine_id: str
    head: Round
    sweeps: int
    file: RoundFile = field(init=False)
    entries: tuple[AnyEntry, ...] = field(init=False)
    struck: frozenset[str] = field(init=False)
    kept: frozenset[str] = field(init=False)
    stops: tuple[Stop, ...] = field(init=False)
    state: MachineState = field(init=False)
    index: int = field(init=False, default=0)
    picked: Slot | None = field(init=False, default=None)
    row: tuple[str, str] = field(init=False, default=("", ""))
    before: Before | None = field(init=False, default=None)
    _seen: "tuple[_Looked, Sight] | None" = field(init=False, default=None)

    def __post_init__(self) -> None:
        log = self.session.log(self.machine_id)
        self.state = self.session.state(self.machine_id)
        self.stops = walking_order(log.machine, self.sweeps)
        self.take_up()
        self.file = self.session.open_round(self.machine_id, self.head)
        self.go_to(where_it_stands(self.stops, self.standing()) if self.stops else 0)

    def take_up(self) -> None:
        """Take up what was struck or kept from another page."""
        log = self.session.log(self.machine_id)
        self.entries = tuple(entry for entry in log.entries if entry.round == self.head.id)
        self.struck, self.kept = log.struck, kept_keys(log.entries, log.struck)

    def standing(self) -> tuple[AnyEntry, ...]:
        """The entries of this round that are not struck."""
        struck = self.struck | struck_keys(self.entries)
        return tuple(entry for entry in self.entries if entry.key not in struck)

    @property
    def stop(self) -> Stop:
        """Where the person stands."""
        return self.stops[self.index]

    def readings(self) -> tuple[AnyEntry, ...]:
        """The standing readings at this stop in this round."""
        return readings_at(self.stop, self.standing())

    def go_to(self, index: int) -> None:
        """Go to a stop; what was known there before is worked out once, here."""
        if not self.stops:
            return
        self.index = index % len(self.stops)
        self.picked = None
        self.row = ("", "")
        self.before = self._before() if self.stop.hole is not None else None

    def refresh(self) -> None:
        """Work out anew what is known here, after something was written, struck or kept on another page."""
        self.take_up()
        self.state = self.session.state(self.machine_id)
        self.before = self._before() if self.stops and self.stop.hole is not None else None

    def _before(self) -> Before:
        hole, joint = self.stop.hole, self.stop.joint
        assert hole is not None
        log = self.session.log(self.machine_id)
        joint_state = next((s for s in self.state.joints if joint is not None and s.joint.id == joint.id), None)
        state = assess_hole(hole, log, self.session.logbook)
        today = self.session.today()
        judging = judging_of(hole, self.head.id, log, self.session.logbook, self.state, today)
        return before_this_round(state, joint_state, self.head.id, judging)

    def find(self, subject: tuple[str, str]) -> int | None:
        """Return the index of the stop for a kind and id."""
        return next((i for i, stop in enumerate(self.stops) if (stop.kind, stop.id) == subject), None)

    def slot(self) -> Slot:
        """The slot that the next number fills: the one picked, the next planned, else the first again."""
        return self.picked or next_slot(self._here(), self.readings()) or self._here().choices[0]

    def _here(self) -> Stop:
        """This stop, its slots between the holes that were chosen of a row."""
        if self.row == ("", ""):
            return self.stop
        plan, choices = (tuple(in_row(s, self.row) for s in slots) for slots in (self.stop.plan, self.stop.choices))
        return replace(self.stop, plan=plan, choices=choices)

    def is_done_here(self) -> bool:
        """Tell whether nothing planned is left at this stop."""
        return next_slot(self._here(), self.readings()) is None

    def rows(self) -> tuple[tuple[str, str], ...]:
        """The pairs of holes that a link in a row can be taped between; one pair where there is no row."""
        link = self.stop.link
        return rows_of(link, self.session.machine(self.machine_id)) if link is not None else ()

    def is_done(self, stop: Stop) -> bool:
        """Tell whether the plan of a stop is filled."""
        return next_slot(stop, readings_at(stop, self.standing())) is None

    def pick(self, step: int) -> None:
        """Choose the slot before or after the present one."""
        choices = self._here().choices
        here = choices.index(self.slot()) if self.slot() in choices else 0
        self.picked = choices[(here + step) % len(choices)]

    def count_in(self, slot: Slot) -> int:
        """How many standing readings a slot holds."""
        return sum(1 for entry in self.readings() if slot_of(entry) == slot)

    def readings_at_stop(self, index: int) -> tuple[AnyEntry, ...]:
        """The standing readings at another stop in this round."""
        return readings_at(self.stops[index], self.standing())

    @property
    def instrument_id(self) -> str:
        """The instrument in use at this stop."""
        return self.head.tape if self.stop.kind == "link" else self.head.instrument

    @property
    def unit(self) -> Units:
        """The unit a bare number is in: the instrument's own, else the logbook's."""
        instrument = self.session.instruments.get(self.instrument_id, UNKNOWN_CALIPER)
        return instrument.resolution.family if instrument.resolution is not None else self.session.units

    def accepted(self, text: str) -> Length:
        """Read what was typed.

        Raises:
            QuantityError: it is no size, or none that this hole, pin or wall can have; the message says why.
        """
        size = parse_length(text, self.unit)
        if isinstance(self.slot(), WallSlot | BushSlot):
            refusal = refused_wall(text, size)
        else:
            expected = self.before.expected_mm if self.before is not None else self._pin_expected()
            refusal = refused_hole_size(text, size, expected, self.unit)
        if refusal:
            raise QuantityError(refusal)
        return size

    def _pin_expected(self) -> float | None:
        joint = next((s for s in self.state.joints if s.joint.id == self.stop.id), None)
        return joint.pin_size.value if joint is not None and joint.pin_size is not None else None

    def keep(self, size: Length) -> AnyEntry:
        """Put a reading on disk and go to the next slot."""
        return self.keep_entry(self._entry(size))

    def keep_entry(self, entry: AnyEntry) -> AnyEntry:
        """Put a reading at this stop on disk and go to the next slot."""
        slot = self.slot()
        stored = self.write(entry)
        self.picked = self._next_picked(slot)
        return stored

    def _next_picked(self, slot: Slot) -> Slot | None:
        """Go round the walls once they are begun; else back to the plan, or on with the same line when it is done."""
        choices = self.stop.choices
        if isinstance(slot, WallSlot) and slot in choices[:-1]:
            return choices[choices.index(slot) + 1]
        return None if next_slot(self._here(), self.readings()) is not None or isinstance(slot, WallSlot) else slot

    def write(self, entry: AnyEntry) -> AnyEntry:
        """Put any entry on disk; what else than a bore counts for the joint here is taken up at once."""
        stored = self.session.write(self.machine_id, self.file, entry)
        self.entries = (*self.entries, stored)
        if self.before is not None and not isinstance(entry, BoreReading | LigamentReading):
            self.before = self._before()
        return stored

    def _entry(self, size: Length) -> AnyEntry:
        slot, head = self.slot(), self.head
        at = self.session.time_of_day()
        if isinstance(slot, BoreSlot):
            return BoreReading(
                at=at, round=head.id, day=head.date, who=head.who, hole=self.stop.id, size=size,
                clock=parse_clock(slot.clock), face=slot.face, instrument=head.instrument,
            )  # fmt: skip
        if isinstance(slot, WallSlot):
            return LigamentReading(
                at=at, round=head.id, day=head.date, who=head.who, hole=self.stop.id, size=size,
                clock=parse_clock(slot.clock), instrument=head.instrument,
            )  # fmt: skip
        if isinstance(slot, BushSlot):
            return WallReading(
                at=at, round=head.id, day=head.date, who=head.who, hole=self.stop.id, size=size,
                instrument=head.instrument,
            )  # fmt: skip
        assert isinstance(slot, PinSlot)
        clock = parse_clock(slot.clock) if slot.clock else None
        return PinReading(
            at=at, round=head.id, day=head.date, who=head.who, joint=self.stop.id, size=size,
            place=slot.place, clock=clock, instrument=head.instrument,
        )  # fmt: skip

    @property
    def is_bushed(self) -> bool:
        """Tell whether the person stands at a bushed hole."""
        return self.stop.hole is not None and self.stop.hole.kind == "bushed"

    def asks_bush(self) -> bool:
        """Tell whether it is still to be said in this round if the bush here moves."""
        notes = (entry for entry in self.standing() if isinstance(entry, Note) and entry.hole == self.stop.id)
        return self.is_bushed and not any(TIGHT in note.signs or MOVES in note.signs for note in notes)

    def say_of_bush(self, sign: Sign) -> AnyEntry:
        """Put on disk whether the bush here moves."""
        head, at = self.head, self.session.time_of_day()
        note = Note(at=at, round=head.id, day=head.date, who=head.who, signs=(sign,), hole=self.stop.id)
        return self.write(note)

    def strike_last(self, why: str) -> AnyEntry | None:
        """Strike the last standing reading at this stop; None when there is none."""
        readings = self.readings()
        if not readings:
            return None
        last, head = readings[-1], self.head
        strike = Strike(at=self.session.time_of_day(), round=head.id, day=head.date, who=head.who, of=last.at, why=why)
        self.write(strike)
        self.picked = slot_of(last)
        return last

    def sight(self) -> Sight | None:
        """What the readings at this hole say; None without a reading. Judged once for all who ask after a reading."""
        bores = tuple(entry for entry in self.readings() if isinstance(entry, BoreReading))
        if not bores or self.before is None:
            return None
        looked = _Looked(bores, self.before, self.session.logbook, self.kept)
        if self._seen is None or not looked.is_same(self._seen[0]):
            self._seen = looked, look(bores, self.before, self.instruments, self.session.units, self.kept)
        return self._seen[1]

    @property
    def instruments(self) -> dict[str, Instrument]:
        """The instruments by id."""
        return dict(self.session.instruments)

    def pin_sight(self) -> PinSight:
        """The pin as measured in this round, and which pin it is."""
        pins = [entry for entry in self.readings() if isinstance(entry, PinReading)]
        worn, unworn = (pin_days(pins, place, self.instruments) for place in ("worn", "unworn"))
        known = next((s.evidence for s in self.state.joints if s.joint.id == self.stop.id), None)
        band, end = (days[-1].size if days else None for days in (worn, unworn))
        remarks = dict.fromkeys(remark for days in (worn, unworn) if days for remark in days[-1].remarks)
        return replace(look_at_pin(band, end, known, self.session.units), remarks=tuple(remarks))


def rows_of(link: Link, machine: Machine) -> tuple[tuple[str, str], ...]:
    """Return every pair of holes the link can be taped between, its own first; empty names are its own."""

    def row(hole_id: str) -> list[str]:
        own = next((hole for hole in machine.holes if hole.id == hole_id), None)
        if own is None or not own.in_row:
            return [""]
        others = [h for h in machine.holes if h.joint == own.joint and h.in_row and h.id != own.id]
        return ["", *(hole.id for hole in sorted(others, key=lambda hole: hole.number or 0))]

    return tuple(product(row(link.near_hole), row(link.far_hole)))


def in_row(slot: Slot, holes: tuple[str, str]) -> Slot:
    """Return a slot as taped between other holes of a row."""
    return replace(slot, near_hole=holes[0], far_hole=holes[1]) if isinstance(slot, TapeSlot) else slot
