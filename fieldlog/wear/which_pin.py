"""What hangs on a pin that nobody stated or measured: one verdict where all that it may be agree, else which to settle.

A hole's clearance differs by what its pins do, so each pin of weight has a clearance, a limit and a verdict of its own.
"""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from fieldlog.measure.pin_next import AT_UNWORN_END
from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import mm_text, size_text
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


def hanging(found: Sequence[WithPin], names: Mapping[str, str], units: Units) -> Finding:
    """Return "re-measure" for a joint whose verdict hangs on which pin it is; `names` are those of several holes.

    Its clearance and its limit are those of the pin that is worst, which is never milder than the truth.
    """
    worst, mildest = _worst(found), min(found, key=_rank)
    bad, answer = worst.finding, worst.pin.answer
    where = names.get(bad.hole, "")
    said = f"Which pin it is decides: {_said(mildest, units)}, {_said(worst, units)}{_limit_text(bad, units)}."
    contrary = "".join(f" {one.said[:1].upper()}{one.said[1:]}." for one in answer.contradictions[:1])
    settles = answer.next_action or AT_UNWORN_END
    return Finding(
        Verdict.REMEASURE,
        f"{where}: {said[:1].lower()}{said[1:]}{contrary}" if where else f"{said}{contrary}",
        f"{settles[:1].upper()}{settles[1:]}.",
        bad.caution,
        clearance=bad.clearance,
        limit=bad.limit,
        share=bad.share,
        may_be_over=any(one.finding.severity >= Severity.MAY_BE_OVER for one in found),
        brief=_briefly(mildest.finding, bad, units),
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


def _said(one: WithPin, units: Units) -> str:
    """Return the verdict with one of the pins, with its clearance: 'sound at 0.42 ± 0.21 mm with a pin of 20 mm'."""
    clearance = one.finding.clearance
    at = f" at {size_text(clearance, units)}" if clearance is not None else ""
    return f"{_word(one.finding)}{at} with a pin of {one.name}"


def _word(finding: Finding) -> str:
    if finding.verdict is Verdict.REMEASURE:
        return "perhaps over" if finding.may_be_over else "in doubt"
    words = {Verdict.SOUND: "sound", Verdict.PLAN: "near its limit", Verdict.RENEW: "to be renewed"}
    return words[finding.verdict]


def _limit_text(bad: Finding, units: Units) -> str:
    limit = bad.limit
    if limit is None:
        return ""
    of = "" if limit.of == "clearance" else f" of its {limit.of}"
    return f"; limit{of} {mm_text(limit.renew_mm, units)}, {limit.origin}"


def _briefly(mild: Finding, bad: Finding, units: Units) -> str:
    """Return both clearances against the limit in a few words, for a table."""
    if mild.clearance is None or bad.clearance is None or bad.limit is None or bad.limit.of != "clearance":
        return ""
    places = 2 if units == "mm" else 3
    least, most, line = (
        mm_text(mm, units, places) for mm in (mild.clearance.value_mm, bad.clearance.value_mm, bad.limit.renew_mm)
    )
    return f"{least.removesuffix(f' {units}')} or {most.removesuffix(f' {units}')} by its pin, limit {line}"
