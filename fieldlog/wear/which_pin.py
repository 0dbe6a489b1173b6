"""What hangs on a pin that nobody stated or measured: one verdict where all that it may be agree, else which to settle.

A hole's clearance differs by what its pins do, so each pin of weight has a clearance, a limit and a verdict of its own.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fieldlog.quantity.said import Said, said
from fieldlog.records.machine import Hole
from fieldlog.wear.pin_size import JointPin
from fieldlog.wear.states import Finding
from fieldlog.wear.verdicts import Severity, Verdict


class WithPin(NamedTuple):
    """The verdict on a joint, were its pin the one that it is taken for."""

    pin: JointPin
    finding: Finding

    @property
    def name(self) -> str:
        """Return what the pin is called."""
        return self.pin.taken.name if self.pin.taken is not None else ""


def agreed(found: Sequence[WithPin]) -> Finding | None:
    """Return the worst of the findings where all pins of weight come to one verdict, None where they do not.

    What stops a joint stops it with any pin.
    """
    worst = _worst(found).finding
    return worst if worst.verdict is Verdict.STOP or len({_answer(one.finding) for one in found}) == 1 else None


def hanging(found: Sequence[WithPin], holes: Mapping[str, Hole]) -> Finding:
    """Return "re-measure" for a joint whose verdict hangs on which pin it is; `holes` are its holes if it has several.

    Its clearance and its limit are those of the pin that is worst, which is never milder than the truth.
    """
    worst, mildest = _worst(found), min(found, key=_rank)
    bad, answer = worst.finding, worst.pin.answer
    limit = said("finding.hanging_limit", limit=bad.limit, origin=bad.limit.origin) if bad.limit is not None else None
    reason = said("finding.pin_decides", mildest=_with(mildest), worst=_with(worst), limit=limit)
    if bad.hole in holes:
        reason = said("finding.at_hole", hole=holes[bad.hole], what=reason)
    return Finding(
        Verdict.REMEASURE,
        (reason, *(said("finding.besides", remark=one.said) for one in answer.contradictions[:1])),
        (said("step.settle_pin", action=answer.next_action),),
        bad.caution,
        clearance=bad.clearance,
        limit=bad.limit,
        share=bad.share,
        may_be_over=any(one.finding.severity >= Severity.MAY_BE_OVER for one in found),
        brief=_briefly(mildest.finding, bad),
        hole=bad.hole,
    )


def _answer(finding: Finding) -> tuple[Verdict, int, bool]:
    """Return what has to be the same; a re-measure about the limit is another than one about the watch line."""
    if finding.verdict is not Verdict.REMEASURE:
        return finding.verdict, 0, False
    return finding.verdict, finding.severity, finding.is_unproved


def _rank(one: WithPin) -> tuple[int, float]:
    return one.finding.severity, one.finding.share


def _worst(found: Sequence[WithPin]) -> WithPin:
    return max(found, key=_rank)


def _with(one: WithPin) -> Said:
    """Return the verdict with one of the pins, with its clearance."""
    finding = one.finding
    return said(
        "finding.with_pin",
        verdict=finding.verdict,
        may_be_over=finding.may_be_over,
        clearance=finding.clearance,
        pin=one.name,
    )


def _briefly(mild: Finding, bad: Finding) -> Said | None:
    """Return both clearances against the limit."""
    if mild.clearance is None or bad.clearance is None or bad.limit is None or bad.limit.of != "clearance":
        return None
    return said("finding.either_by_pin", least=mild.clearance, most=bad.clearance, limit=bad.limit)
