"""A hole looked at closely: its single readings, its depth and its walls. Nothing of it changes a verdict."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fieldlog.wear.doubts import DayDoubts, hole_doubts
from fieldlog.wear.index import Index
from fieldlog.wear.shapes import HoleShape, hole_shape
from fieldlog.wear.states import HoleState, MachineState


@dataclass(frozen=True, slots=True)
class HoleDetails:
    """What is doubtful about each measuring, oldest first as in the hole's history, and how the hole wore."""

    days: tuple[DayDoubts, ...]
    shape: HoleShape

    def latest_of(self, state: HoleState) -> DayDoubts | None:
        """Return the doubts about the last measuring since the hole was made new."""
        return self.days[-1] if state.latest is not None else None


def hole_details(state: HoleState, index: Index, siblings: Sequence[HoleState] = ()) -> HoleDetails:
    """Return one hole looked at closely; `siblings` are the holes of its joint."""
    return HoleDetails(hole_doubts(state.hole, index, state.history), hole_shape(state, index, siblings))


def machine_details(state: MachineState, index: Index) -> Mapping[str, HoleDetails]:
    """Return every hole of a machine looked at closely, by its id."""
    return {hole.hole.id: hole_details(hole, index, joint.holes) for joint in state.joints for hole in joint.holes}
