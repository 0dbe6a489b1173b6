"""A link as a whole: lengths, thread, how far it may open, and every contradiction as a sentence."""

import datetime
from dataclasses import replace

import pytest

from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.entries import (
    AnyEntry,
    LengthReading,
    LinkState,
    MachineLog,
    TapeWay,
    ThreadReading,
    TurnsReading,
)
from fieldlog.records.machine import Hole, Joint, Link, LinkEnd, Logbook, Machine, parse_turns
from fieldlog.standards.threads import parse_thread
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.due import due_list, due_of
from fieldlog.wear.links import next_steps
from fieldlog.wear.states import LinkReport, MachineState
from fieldlog.wear.verdicts import Verdict
from fieldlog.words.speak import say_all
from tests.speaking import caution_of, next_step_of, reason_of, spoken
from tests.wear.build import AUTUMN, SPRING, TODAY

TOP = Link(
    "top",
    "Top link",
    near_hole="front",
    far_hole="rear",
    thread=parse_thread("M24x3"),
    near_hand="right",
    far_hand="left",
    near_thread=parse_length("150 mm"),
    far_thread=parse_length("150 mm"),
)
HOLES = (
    Hole("front", "j1"),
    Hole("rear", "j2", "rear hole", number=2, in_row=3),
    Hole("rear-1", "j2", "front hole", number=1, in_row=3),
)


class Bench:
    """Readings of one link, a line each."""

    def __init__(self, link: Link = TOP, units: Units = "mm") -> None:
        self.link = link
        self.units = units
        self.entries: list[AnyEntry] = []

    def _head(self, day: datetime.date) -> dict[str, object]:
        n = len(self.entries)
        return {"at": f"09:{n // 60:02d}:{n % 60:02d}", "round": f"{day.isoformat()}-ann", "day": day, "who": "ann"}

    def tape(
        self, state: LinkState, mm: float, day: datetime.date = AUTUMN, far_hole: str = "", holes_mm: float = 40.0
    ) -> "Bench":
        """Tape it outside and inside, `mm` between the centres."""
        ways: tuple[tuple[TapeWay, float], ...] = (("outside", holes_mm / 2), ("inside", -holes_mm / 2))
        for way, half in ways:
            size = parse_length(f"{mm + half:.1f}")
            head = self._head(day)
            self.entries.append(
                LengthReading(link="top", size=size, way=way, state=state, far_hole=far_hole, **head)  # type: ignore[arg-type]
            )
        return self

    def out(self, state: LinkState, near: str, far: str = "", day: datetime.date = AUTUMN) -> "Bench":
        """Read the thread that stands out at the ends."""
        ends: tuple[tuple[LinkEnd, str], ...] = (("near", near), ("far", far))
        for end, text in ends:
            if text:
                head = self._head(day)
                self.entries.append(
                    ThreadReading(link="top", exposed=parse_length(text), end=end, state=state, **head)  # type: ignore[arg-type]
                )
        return self

    def turned(self, text: str) -> "Bench":
        """Count turns from closed to open."""
        self.entries.append(TurnsReading(link="top", turns=parse_turns(text), **self._head(AUTUMN)))  # type: ignore[arg-type]
        return self

    @property
    def state(self) -> MachineState:
        """The machine assessed."""
        joints = (Joint("j1", pin=parse_length("19 mm")), Joint("j2", pin=parse_length("19 mm")))
        machine = Machine("m", joints=joints, holes=HOLES, links=(self.link,))
        return assess_machine(MachineLog(machine, (), tuple(self.entries)), Logbook("x", self.units), TODAY)

    @property
    def report(self) -> LinkReport:
        """The link's report."""
        return self.state.links[0]


def value(estimate: object) -> float:
    """Return the value of an estimate that must be there."""
    assert estimate is not None
    return float(estimate.value)  # type: ignore[attr-defined]


def test_the_worked_m24_link_through_the_whole_house() -> None:
    """Closes at 560 with 110 in at each end: 732 at 1.0 d, 708 at 1.5 d (derived in trade practice)."""
    report = Bench().tape("closed", 560).out("closed", "40", "40").report
    thread = report.thread
    assert thread is not None
    assert value(thread.floor) == pytest.approx(732)
    assert value(thread.target) == pytest.approx(708)
    assert report.open_limit is not None
    assert value(report.open_limit.length) == pytest.approx(708)
    assert report.open_limit.stop == "thread"
    assert spoken(report.open_limit.reason) == "1.5 d, 36.0 mm, of thread still in at each end"


@pytest.mark.parametrize(
    ("open_mm", "verdict"), [(700, Verdict.SOUND), (720, Verdict.PLAN), (733, Verdict.STOP), (760, Verdict.STOP)]
)
def test_red_under_one_diameter_amber_under_one_and_a_half(open_mm: float, verdict: Verdict) -> None:
    """At 708 there is 1.5 d in, at 732 there is 1.0 d."""
    bench = Bench().tape("closed", 560).out("closed", "40", "40").tape("open", open_mm)
    finding = bench.report.finding
    assert finding is not None
    assert finding.verdict is verdict
    if verdict is not Verdict.SOUND:
        assert "pulls apart and the implement falls" in caution_of(finding)
        assert "manual wins" in caution_of(finding)
        assert "708" in next_step_of(finding)
        assert reason_of(finding) in [reason_of(item) for item in due_list([bench.state])]
        assert due_of(bench.state)[-1].is_link
        assert bench.state.worst.rank >= verdict.rank


def test_a_makers_groove_decides_over_the_rule_of_thumb() -> None:
    """1.25 d in at the groove is the maker's business; the limit is the groove."""
    link = replace(TOP, open_stop="groove")
    report = Bench(link).tape("closed", 560).tape("open", 720).out("open", "120", "120").report
    assert report.open_limit is not None
    assert value(report.open_limit.length) == pytest.approx(720)
    assert "groove" in spoken(report.open_limit.reason)
    assert report.finding is not None
    assert report.finding.verdict is Verdict.SOUND
    assert "groove decides" in reason_of(report.finding)


def test_a_groove_with_less_than_the_floor_in_is_doubted() -> None:
    """No maker leaves 0.5 d: one of the figures is wrong, and until then the floor holds."""
    link = replace(TOP, open_stop="groove")
    report = Bench(link).tape("closed", 560).tape("open", 720).out("open", "138", "138").report
    assert report.finding is not None
    assert report.finding.verdict is Verdict.REMEASURE
    assert "one of the figures is wrong" in reason_of(report.finding)
    assert "until then keep it at 696" in next_step_of(report.finding)  # 720 - 2 (24 - 12)


def test_past_a_stated_stop_is_red() -> None:
    """The manual says 700; taped open at 712."""
    link = replace(TOP, open_stop="stop pin", stop_length=parse_length("700 mm"))
    report = Bench(link).tape("closed", 560).tape("open", 712).report
    assert report.finding is not None
    assert report.finding.verdict is Verdict.STOP
    assert "longer than the maker's stop pin allows" in reason_of(report.finding)
    assert Bench(link).tape("closed", 560).tape("open", 699).report.finding is None


def test_the_end_that_is_run_out_further_is_the_weak_one() -> None:
    """130 and 118 mm of 150 out: 20 and 32 in; the near end decides how far it opens."""
    report = Bench().tape("closed", 560).tape("open", 720).out("open", "130", "118").report
    thread = report.thread
    assert thread is not None
    assert thread.weak == "near"
    assert any("tractor end is the weak end: 12" in spoken(remark) for remark in report.remarks)
    assert value(thread.floor) == pytest.approx(720 + 2 * (20 - 24))
    assert report.open_limit is not None
    assert "tractor end comes short first" in spoken(report.open_limit.reason)


def test_a_one_ended_rod_needs_one_end_only() -> None:
    """A lift rod: upper end screws, lower end has no thread; travel all of it at one end."""
    link = replace(TOP, position="lift rod", far_hand="none", far_thread=None)
    report = Bench(link).tape("closed", 430).tape("open", 520).out("open", "120").turned("30").report
    thread = report.thread
    assert thread is not None
    assert thread.needs is None
    assert value(thread.floor) == pytest.approx(520 + (30 - 24))
    assert value(thread.turned) == pytest.approx(90)
    assert any("30 turns make 90.0" in spoken(check) for check in thread.checks)
    assert report.finding is not None
    assert "upper end" in reason_of(report.finding)


@pytest.mark.parametrize(
    ("bench", "said"),
    [
        (Bench(replace(TOP, near_thread=parse_length("600 mm"))).tape("closed", 560).out("closed", "40", "40"),
         "longer than its rod can be"),
        (Bench().tape("closed", 560).out("closed", "170", "40"), "less than nothing would be in"),
        (Bench(replace(TOP, far_hand=None)).tape("closed", 560).out("closed", "40", "40"), "not written down"),
        (Bench(replace(TOP, far_hand="right")).tape("closed", 560).out("closed", "40", "40"), "would not change"),
        (Bench(replace(TOP, body=parse_length("200 mm"))).tape("closed", 560).out("closed", "5", "5"),
         "but the body is 200.00 mm long"),
        (Bench().tape("closed", 720).tape("open", 560).out("open", "40", "40"), "closed and open are mixed up"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_a_sentence_and_nothing_is_computed(bench: Bench, said: str) -> None:
    """Named in the finding, with what would settle it; no length is offered."""
    report = bench.report
    assert report.finding is not None
    assert report.finding.verdict is Verdict.REMEASURE
    assert said in reason_of(report.finding)
    assert report.open_limit is None
    assert report.travel is None or "mixed up" not in said
    assert any(word in reason_of(report.finding) + next_step_of(report.finding) for word in ("easure", "ook", "ape"))


def test_turns_against_the_tape() -> None:
    """160 mm at 6 mm a turn is 26 2/3 turns; 40 is said to disagree, with both figures."""
    good = Bench().tape("closed", 560).tape("open", 716).out("open", "110", "110").turned("26").report
    bad = Bench().tape("closed", 560).tape("open", 716).out("open", "110", "110").turned("40").report
    assert good.thread is not None
    assert any("agrees with the tape" in spoken(check) for check in good.thread.checks)
    assert any("40 turns at 6 mm make 240 mm, but the tape says 156 mm" in spoken(remark) for remark in bad.remarks)


def test_thread_that_came_out_against_the_tape() -> None:
    """Both ends' growth together is the travel, else one end was misread."""
    good = Bench().tape("closed", 560).tape("open", 680).out("closed", "20", "20").out("open", "80", "80").report
    bad = Bench().tape("closed", 560).tape("open", 680).out("closed", "20", "20").out("open", "80", "60").report
    assert good.thread is not None
    assert any("120 mm of thread came out" in spoken(check) for check in good.thread.checks)
    assert any("measure the thread at both ends again" in spoken(remark) for remark in bad.remarks)


def test_another_hole_of_the_row_is_kept_apart_and_numbered() -> None:
    """45 mm nearer from hole 1 of 3; the link's own length is not moved by it."""
    report = Bench().tape("closed", 560).tape("closed", 515, far_hole="rear-1").report
    assert report.closed is not None
    assert value(report.closed.centres) == pytest.approx(560)
    (other,) = report.others
    assert other.far_hole is not None
    assert other.far_hole.number == 1
    assert value(other.length.centres) == pytest.approx(515)


def test_a_closed_length_that_drifts_is_doubted() -> None:
    """Closed is closed: 6 mm more than last time was not screwed in, or another hole."""
    report = Bench().tape("closed", 560, SPRING).tape("closed", 566).report
    assert any("+6.0" in spoken(remark) and "tape again" in spoken(remark) for remark in report.remarks)
    assert [day.day for day in report.days] == [AUTUMN, SPRING]
    steady = Bench().tape("closed", 560, SPRING).tape("closed", 561).report
    assert steady.remarks == ()


def test_what_to_do_next_follows_what_is_missing() -> None:
    """First the tape, then what the thread is, then what of it was not measured."""
    bare = replace(TOP, thread=None)
    assert "closed and open" in say_all(next_steps(Bench(bare).report), "mm")
    assert "Tape it open" in say_all(next_steps(Bench(bare).tape("closed", 560).report), "mm")
    taped = Bench(bare).tape("closed", 560).tape("open", 700)
    assert "Write down its thread" in say_all(next_steps(taped.report), "mm")
    no_length = replace(TOP, near_thread=None)
    without = Bench(no_length).tape("closed", 560).tape("open", 700).report
    assert "rod at the tractor end, with the rod out" in say_all(next_steps(without), "mm")
    taped = Bench().tape("closed", 560).tape("open", 700)
    assert "stands out at the tractor end" in say_all(next_steps(taped.report), "mm")


def test_inch_logbooks_hear_inches_first() -> None:
    """3/4-10 over a 22 in link."""
    link = replace(TOP, thread=parse_thread("3/4-10 UNC"))
    report = Bench(link, "in").tape("closed", 558.8).tape("open", 750).out("open", "120", "120").report
    assert report.open_limit is not None
    assert any(said in spoken(report.open_limit.reason, "in") for said in ("1.12 in", "1.13 in"))  # 1.5 times 0.75
    assert report.finding is not None
    assert "in (30" in reason_of(report.finding, "in").replace("± 2.0 mm", "")


def test_thread_read_on_another_day_is_not_put_to_a_new_open_length() -> None:
    """120 mm stood out at last season's open length; this season's is another, so it is asked for again."""
    bench = Bench().tape("closed", 560, SPRING).tape("open", 720, SPRING).out("open", "120", "120", SPRING)
    assert bench.report.thread is not None
    assert value(bench.report.thread.floor) == pytest.approx(732)
    later = bench.tape("open", 700).report
    assert later.thread is not None
    assert later.thread.floor is None
    assert "stands out" in spoken(later.thread.needs)
    with_stop = Bench(replace(TOP, open_stop="groove")).tape("open", 720, SPRING).out("open", "120", "120", SPRING)
    assert with_stop.tape("open", 720).report.finding is not None
