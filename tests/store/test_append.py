"""Entries are on disk before the call returns, and a write cut off anywhere costs only the entry being written."""

import datetime
import os
import signal
import subprocess
import sys
import time
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldlog.errors import StoreError
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.clock import parse_clock
from fieldlog.records.entries import AnyEntry, BoreReading, Event, Keep, MeterReading, Note, Round, Strike
from fieldlog.records.machine import Hole, Instrument, Joint, Logbook, Machine, Person
from fieldlog.store.amend import add_machine, create_logbook
from fieldlog.store.reader import MachineRead, read_logbook, read_machine
from fieldlog.store.rounds import RoundFile, append_entry, open_round
from tests import spoken
from tests.spoken import refused

DAY = datetime.date(2026, 3, 4)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A logbook with one hole."""
    return made_logbook(tmp_path / "book")


def made_logbook(folder: Path) -> Path:
    tools = (Instrument("blue"), Instrument("tape", "tape"))
    create_logbook(folder, Logbook("Book", "mm", (Person("ada", "Ada"),), tools))
    holes = (Hole("h1", "j1", "hole"),)
    add_machine(folder, Machine("grey", "Grey", joints=(Joint("j1", "Joint"),), holes=holes))
    return folder


def bore(at: str = "09:00:00", size: str = "19.42 mm") -> BoreReading:
    return BoreReading(
        at=at, round="", day=DAY, who="ada", hole="h1", size=parse_length(size), clock=parse_clock("1:30")
    )


def opened(folder: Path) -> RoundFile:
    return open_round(folder, "grey", Round("", DAY, "ada", "blue", "tape"))


def read(folder: Path) -> MachineRead:
    return read_machine(folder, "grey", read_logbook(folder).logbook)


def sizes(folder: Path) -> list[str]:
    return [entry.size.typed for entry in read(folder).log.entries if isinstance(entry, BoreReading)]


def test_the_old_file_is_a_prefix_of_the_new_one(folder: Path) -> None:
    """Comments, odd spacing and unknown keys stay where they are, byte for byte."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    path = round_file.path
    path.write_bytes(path.read_bytes() + b"# a remark by hand\n[[bore]]\nhole='h1'  # odd\nsize = \"19.5 mm\"\n"
                     b'clock="12"\nmood = "good"\nat = "09:10:00"\n')  # fmt: skip
    before = path.read_bytes()
    append_entry(round_file, bore("09:20:00", "19.60 mm"))
    assert path.read_bytes().startswith(before)
    assert sizes(folder) == ["19.42 mm", "19.5 mm", "19.60 mm"]


def test_a_second_entry_within_a_second_gets_a_name_of_its_own(folder: Path) -> None:
    """At is the entry's name in its file."""
    round_file = opened(folder)
    assert [append_entry(round_file, bore()).at for _ in range(3)] == ["09:00:00", "09:00:00.2", "09:00:00.3"]


def test_a_write_cut_off_at_any_byte_loses_only_that_entry(folder: Path) -> None:
    """At every byte: what was acknowledged reads back, the cut is reported or whole, the next append works."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    append_entry(round_file, bore("09:00:10", "19.50 mm"))
    kept = round_file.path.read_bytes()
    append_entry(round_file, bore("09:00:20", "19.60 mm"))
    whole = round_file.path.read_bytes()
    for end in range(len(kept), len(whole)):
        round_file.path.write_bytes(whole[:end])
        found = read(folder)
        assert sizes(folder)[:2] == ["19.42 mm", "19.50 mm"], end
        torn = whole[len(kept) : end].strip()
        is_whole = len(sizes(folder)) == 3
        assert is_whole or not torn or found.problems, end
        append_entry(round_file, bore("09:00:30", "19.70 mm"))
        after = sizes(folder)
        assert after[:2] == ["19.42 mm", "19.50 mm"], end
        assert after[-1] == "19.70 mm", end
        assert read(folder).problems == (), end


@pytest.mark.parametrize(
    "tail", [b"\0" * 40, b'\n[[bore]]\nhole = "h1"\n\0\0\0\0', b"\n[[bo\xff\xfe\x80", b"\n[[bore]]\nsize"]
)
def test_garbage_after_a_power_cut_is_cut_off_and_told(folder: Path, tail: bytes) -> None:
    """Zero bytes and half characters at the end of a file are a torn write, not a lost file."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    round_file.path.write_bytes(round_file.path.read_bytes() + tail)
    found = read(folder)
    assert sizes(folder) == ["19.42 mm"]
    assert any("cut off" in spoken.wrong(problem) for problem in found.problems)
    append_entry(round_file, bore("09:00:30", "19.70 mm"))
    assert sizes(folder) == ["19.42 mm", "19.70 mm"]
    assert read(folder).problems == ()


def test_a_full_disk_leaves_the_file_as_it_was(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A short write and then an error: cut back, and said in words."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    before = round_file.path.read_bytes()
    real, calls = os.write, []

    def short(handle: int, data: bytes) -> int:
        calls.append(1)
        if len(calls) > 1:
            raise OSError(28, "No space left on device")
        return real(handle, bytes(data)[:10])

    monkeypatch.setattr("fieldlog.store.atomic.os.write", short)
    with refused("the disk is full"):
        append_entry(round_file, bore("09:00:30"))
    monkeypatch.undo()
    assert round_file.path.read_bytes() == before


def test_a_failing_sync_is_not_acknowledged(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An entry whose fsync fails is taken back."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    before = round_file.path.read_bytes()

    def fails(handle: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr("fieldlog.store.atomic.os.fsync", fails)
    with pytest.raises(StoreError):
        append_entry(round_file, bore("09:00:30"))
    monkeypatch.undo()
    assert round_file.path.read_bytes() == before


def test_a_newer_file_is_read_and_never_written(folder: Path) -> None:
    """An unknown higher format opens read-only."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    text = round_file.path.read_text(encoding="utf-8").replace("format = 1", "format = 2")
    round_file.path.write_text(text, encoding="utf-8")
    assert sizes(folder) == ["19.42 mm"]
    with refused("newer program"):
        append_entry(round_file, bore("09:00:30"))
    assert round_file.path.read_text(encoding="utf-8") == text


def test_line_endings_stay_as_they_are(folder: Path) -> None:
    """A file with CRLF gets CRLF blocks."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    round_file.path.write_bytes(round_file.path.read_bytes().replace(b"\n", b"\r\n"))
    append_entry(round_file, bore("09:00:30", "19.70 mm"))
    data = round_file.path.read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n")
    assert sizes(folder) == ["19.42 mm", "19.70 mm"]


def test_a_link_to_a_round_file_stays_a_link(folder: Path, tmp_path: Path) -> None:
    """The file behind the link grows, and its mode is kept."""
    round_file = opened(folder)
    append_entry(round_file, bore())
    real = tmp_path / "elsewhere.toml"
    round_file.path.rename(real)
    real.chmod(0o640)
    round_file.path.symlink_to(real)
    append_entry(round_file, bore("09:00:30", "19.70 mm"))
    assert round_file.path.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert sizes(folder) == ["19.42 mm", "19.70 mm"]


@pytest.mark.parametrize("name", ["..", "../x", "a/b", "", ".hidden", "a\x1bb", "x" * 61, "con"])
def test_names_that_lead_out_of_the_folder_are_refused(folder: Path, name: str) -> None:
    """Neither a machine nor a person may be called so."""
    with pytest.raises(StoreError):
        open_round(folder, name, Round("", DAY, "ada"))
    with pytest.raises(StoreError):
        open_round(folder, "grey", Round("", DAY, name))


_WRITER = """
import datetime, sys
from pathlib import Path
from tests.store.test_append import bore, opened
from fieldlog.store.rounds import append_entry
round_file = opened(Path(sys.argv[1]))
for number in range(int(sys.argv[2])):
    entry = append_entry(round_file, bore("10:00:00", f"{number % 90 + 10}.{number % 100:02d} mm"))
    print(entry.at, flush=True)
"""


def _writer(folder: Path, count: int) -> "subprocess.Popen[str]":
    arguments = [sys.executable, "-c", _WRITER, str(folder), str(count)]
    return subprocess.Popen(arguments, stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[2])


def test_kill_9_loses_nothing_that_was_acknowledged(folder: Path) -> None:
    """A child is killed in the middle of its appends; every time it printed is in the file."""
    child = _writer(folder, 100_000)
    assert child.stdout is not None
    told = [child.stdout.readline().strip() for _ in range(40)]
    child.send_signal(signal.SIGKILL)
    told += child.stdout.read().split()
    child.wait()
    assert set(told) <= {entry.at for entry in read(folder).log.entries}


def test_two_programs_appending_at_once_lose_nothing(folder: Path) -> None:
    """Both write the same file; the lock keeps their blocks apart."""
    children = [_writer(folder, 40), _writer(folder, 40)]
    for child in children:
        child.communicate(timeout=60)
    assert len(read(folder).log.entries) == 80
    assert read(folder).problems == ()


def test_an_append_does_not_slow_down_with_a_long_day(folder: Path) -> None:
    """The 400th entry of a file costs no more than twenty times the 10th; a loose bound, machines are noisy."""
    round_file = opened(folder)

    def timed(count: int) -> float:
        start = time.perf_counter()
        for _ in range(count):
            append_entry(round_file, bore())
        return (time.perf_counter() - start) / count

    timed(5)
    early = timed(10)
    timed(380)
    assert timed(10) < 20 * early


words = st.text(max_size=60)
stamp = st.just({"at": "09:00:00", "round": "", "day": DAY, "who": "ada"})
entries: st.SearchStrategy[AnyEntry] = st.one_of(
    st.builds(
        lambda s, size, face: BoreReading(**s, hole="h1", size=size, clock=parse_clock("4:30"), face=face),
        stamp,
        st.integers(1, 19999).map(lambda n: parse_length(f"{n / 100:.2f} mm")),
        st.sampled_from(["near", "middle", "far"]),
    ),
    st.builds(lambda s, text: Note(**s, signs=("crack", "dry"), text=text, hole="h1"), stamp, words),
    st.builds(lambda s, text: Event(**s, deed="greased", joint="j1", text=text), stamp, words),
    st.builds(lambda s, n: MeterReading(**s, hours=Decimal(n) / 10), stamp, st.integers(0, 99999)),
    st.builds(lambda s, why: Strike(**s, of="08:00:00", why=why), stamp, words),
    st.builds(lambda s, why: Keep(**s, of="08:00:00", why=why), stamp, words),
)


@settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(entry=entries)
def test_any_entry_reads_back_as_it_was(folder: Path, entry: AnyEntry) -> None:
    """Whatever is typed into a note, the record that comes back is the one that went in."""
    stored = append_entry(opened(folder), entry)
    assert stored in read(folder).log.entries


@settings(
    max_examples=150, derandomize=True, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(place=st.floats(0.5, 1), junk=st.binary(min_size=1, max_size=12))
def test_damage_never_raises_and_never_hides_what_stands_above_it(folder: Path, place: float, junk: bytes) -> None:
    """Bytes overwritten in the lower half of a file leave every entry of the upper half readable."""
    round_file = opened(folder)
    if round_file.path.exists():
        round_file.path.unlink()
    for number in range(6):
        append_entry(round_file, bore(f"09:00:0{number}", f"19.4{number} mm"))
    data = round_file.path.read_bytes()
    start = int(place * (len(data) - 1))
    round_file.path.write_bytes(data[:start] + junk + data[start + len(junk) :])
    above = data[:start].count(b'\nat = "') - 1
    if b'"""' not in junk and b"'''" not in junk:
        assert sizes(folder)[: max(above, 0)] == [f"19.4{n} mm" for n in range(max(above, 0))]
    else:
        read(folder)
