"""The hitch that is looked at: read when it is opened, changed by keys, stored only when that is asked for."""

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from fieldlog.pages.hitch import Page
from fieldlog.pages.hitch_picture import Frame, frame_of
from fieldlog.records.hitch import HitchParts, Implements
from fieldlog.retrofit.carried import of_estimate
from fieldlog.retrofit.hitch.field import FieldLook, NeedLook, field_look, need_look, with_ranges
from fieldlog.retrofit.hitch.look import Knob, first_setting, kept_within, knobs, look, turned
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.hitch.setup import HitchSetup, LinkRange, Setting, setup_of
from fieldlog.words.speak import problem_text

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook
    from fieldlog.wear.states import MachineState

_ENDS = ("closed", "open")
_Whole = tuple[FieldLook | CannotReach | None, NeedLook | None, Frame]


@dataclass(slots=True)
class HitchWork:
    """One tractor's hitch with one implement on it, and the setting that is tried."""

    session: "OpenLogbook"
    machine_id: str
    implement_id: str = ""
    parts: HitchParts = field(init=False)
    implements: Implements = field(init=False)
    setup: HitchSetup | None = field(init=False)
    problem: str = field(init=False, default="")
    setting: Setting | None = field(init=False, default=None)
    knob: Knob = field(init=False, default="height")
    _state: "MachineState | None" = field(init=False, default=None)
    _whole: dict[tuple[int, int, int, int], _Whole] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.read()

    def read(self) -> None:
        """Read hitch, implements and links again; what was tried is dropped."""
        self.parts, self.implements = self.read_parts()
        if not self.implement_id and self.implements.implements:
            self.implement_id = self.implements.implements[0].id
        self._set_up()

    def read_parts(self) -> tuple[HitchParts, Implements]:
        """Return what the files say about the hitch and the implements now."""
        from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file

        folder = self.session.folder
        hitch, implements = read_hitch_file(folder, self.machine_id), read_implements_file(folder)
        self.problem = next((problem_text(problem) for problem in (*hitch.problems, *implements.problems)), "")
        return hitch.parts, implements.implements

    def _set_up(self) -> None:
        state = self._state = self.session.state(self.machine_id)
        setup = setup_of(state.machine, self.parts, self.implements, self.implement_id, state.links)
        self.setup = with_ranges(setup, self._cylinders()) if setup is not None else None
        self._whole.clear()
        self.reset()

    def _cylinders(self) -> tuple[LinkRange, ...]:
        """Return the cylinders on offer whose lengths do not contradict themselves, to be tried in the link's place."""
        from fieldlog.retrofit.offers.sense import figure_words, make_sense
        from fieldlog.store.offers import read_offers

        found = []
        for offer in read_offers(self.session.folder).offers:
            sense = make_sense(offer)
            if sense.has_range and sense.dead_mm is not None and not offer.set_aside:
                closed, opened = (
                    of_estimate(
                        sense.figures[end].size,
                        f"{offer.shown_name}, {end}",
                        typed=f"{offer.shown_name}, {end}: {figure_words(sense.figures[end])}",
                    )
                    for end in _ENDS
                )
                found.append(LinkRange(offer.shown_name, closed, opened))
        return tuple(found)

    def reset(self) -> None:
        """Go back to what is written down."""
        self.setting = first_setting(self.setup) if self.setup is not None else None
        if self.setup is not None and self.setting is not None:
            self.setting = kept_within(self.setup, self.setting)

    def next_implement(self) -> None:
        """Hang the next implement of the fleet on the hitch."""
        ids = [item.id for item in self.implements.implements]
        if ids:
            here = ids.index(self.implement_id) if self.implement_id in ids else -1
            self.implement_id = ids[(here + 1) % len(ids)]
            self._set_up()

    def choose(self, step: int) -> None:
        """Choose the next thing to change."""
        if self.setup is not None:
            row = knobs(self.setup)
            here = row.index(self.knob) if self.knob in row else 0
            self.knob = row[(here + step) % len(row)]

    def turn(self, way: int, units: str) -> None:
        """Change what is chosen by one step."""
        if self.setup is not None and self.setting is not None:
            self.setting = turned(self.setup, self.setting, self.knob, way, "in" if units == "in" else "mm")

    def set_to(self, value_mm: float) -> None:
        """Set what is chosen to a typed length."""
        if self.setup is None or self.setting is None:
            return
        match self.knob:
            case "height":
                new = replace(self.setting, height_mm=value_mm)
            case "top link":
                new = replace(self.setting, top_link_mm=value_mm)
            case "rod":
                new = replace(self.setting, rod_mm=value_mm)
            case _:
                return
        self.setting = kept_within(self.setup, new)

    @property
    def is_length(self) -> bool:
        """Whether what is chosen is a length that can be typed."""
        return self.knob in {"height", "top link", "rod"}

    def fresh_page(self) -> Page | None:
        """Return the page with entries made or struck meanwhile taken up; what is tried stays."""
        if self.session.state(self.machine_id) is not self._state:
            tried = self.setting
            self._set_up()
            if self.setup is not None and tried is not None:
                self.setting = kept_within(self.setup, tried)
        return self.page()

    def page(self) -> Page | None:
        """Return what is to be shown; what holds for the whole field is worked out once for each choice of holes."""
        if self.setup is None or self.setting is None:
            return None
        setting = self.setting
        now = look(self.setup, setting)
        key = (setting.top_hole, setting.mast_hole, setting.rod_hole, setting.link)
        if key not in self._whole:
            self._whole[key] = (field_look(self.setup, setting), need_look(self.setup, setting), frame_of(now))
        return Page(now, self._whole[key][0], self._whole[key][1], self.knob, self._whole[key][2])
