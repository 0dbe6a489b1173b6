"""The manual held against the program: whatever it names is there, and of what a person must find, all is in it."""

import argparse
import json
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import fields
from pathlib import Path
from typing import Literal, get_args, get_origin, get_type_hints

import pytest

from fieldlog import cli
from fieldlog.errors import FieldlogError
from fieldlog.manual import topics
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.checks import Study, StudyReading
from fieldlog.records.evidence_text import parse_evidence
from fieldlog.records.machine import Logbook, Machine
from fieldlog.records.offer import Basis, InHand, Offer, Recommendation
from fieldlog.store.blocks import ENTRY_KINDS
from fieldlog.store.hints import LOGBOOK_TABLES, MACHINE_TABLES
from fieldlog.store.hitch_reader import HITCH_TABLES, IMPLEMENT_TABLES
from fieldlog.store.offer_import import ACCEPTED_COLUMNS, offers_in
from fieldlog.store.schema import known_keys
from fieldlog.store.values import thread_from
from fieldlog.tui import commands
from fieldlog.tui.command import Command
from fieldlog.tui.screens.help import TOPIC_BY_KEYS
from fieldlog.words.speak import say

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
HYDRAULICS, HITCH = "hydraulics", "hitch"
NOT_A_PAGE = {"OFFER_KEYS"}
NO_HELP = {"FORM"}  # every key of a form is typed, ? too
_COMMENT = re.compile(r"<!-- (?P<kind>[a-z]+)(?:: (?P<names>[^>]*?))? -->", re.DOTALL)
_TOKEN = re.compile(r"`([^`]+)`")
_FENCED = re.compile(r"^```\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def tables() -> Mapping[str, type]:
    """Return the kind of record under each heading of the files, and of each file's head, by name."""
    from fieldlog.records.entries import Round
    from fieldlog.records.hitch import Hitch, Hydraulics

    heads = {kind.__name__: kind for kind in (Logbook, Machine, Round, Offer, Recommendation, Study)}
    alone = {HITCH: Hitch, HYDRAULICS: Hydraulics}
    beside = {"measured": InHand, "basis": Basis, "reading": StudyReading}
    lists = {**LOGBOOK_TABLES, **MACHINE_TABLES, **HITCH_TABLES, **IMPLEMENT_TABLES, **ENTRY_KINDS}
    return {**heads, **alone, **beside, **lists}


def keys_of(name: str) -> set[str]:
    """Return the keys that a file may hold under a heading, or in its head."""
    kind = tables()[name]
    by_itself = {"readings", "hands"} & {field.name for field in fields(kind)} if name in {"Study"} else set()
    if name == "instruments":
        by_itself = {"checks", "hands"}
    from_name = {"id"} if name in {"Machine", "Round", "Offer", "Recommendation", "Study"} else set()
    return set(known_keys(kind)) - by_itself - from_name


def page_lists() -> dict[str, tuple[Command, ...]]:
    """Return the lists of keys by the name they have in the one list of keys."""
    found = {name: value for name, value in vars(commands).items() if name.isupper() and isinstance(value, tuple)}
    return {name: value for name, value in found.items() if not name.startswith("_")}


def marked(text: str, kind: str) -> Iterator[tuple[str, str]]:
    """Yield the names in each comment of a kind, and the text up to the next comment of that kind or the end."""
    found = [match for match in _COMMENT.finditer(text) if match["kind"] == kind]
    ends = [*(match.start() for match in found), len(text)][1:]
    for match, end in zip(found, ends, strict=True):
        yield match["names"] or "", _FENCED.sub("", text[match.end() : end])


def commands_in(text: str) -> list[str]:
    """Return the command lines that a text gives, in backquotes or at the start of a line between fences."""
    fenced = [line for block in _FENCED.findall(text) for line in block.splitlines() if line.startswith("fieldlog")]
    quoted = [
        " ".join(token.split()) for token in _TOKEN.findall(_FENCED.sub("", text)) if token.split()[0] == "fieldlog"
    ]
    return [*(re.split(r" {2,}", line)[0] for line in fenced), *quoted]


def parsers() -> dict[str, argparse.ArgumentParser]:
    """Return the parser of each command by its name, and the whole one by an empty name."""
    whole = cli._parser()
    found = next(action for action in whole._actions if isinstance(action, argparse._SubParsersAction))
    return {"": whole, **found.choices}


def options() -> set[str]:
    """Return every long option of every command."""
    return {word for parser in parsers().values() for action in parser._actions for word in action.option_strings}


def is_key(token: str) -> bool:
    """Tell whether a token is how some page shows a key."""
    return any(token == command.shown for page in page_lists().values() for command in page)


@pytest.mark.parametrize("name", topics.NAMES)
def test_every_topic_has_a_title_and_fits_a_terminal(name: str) -> None:
    """A topic begins with its title, in plain letters; neither its file nor what is shown is wider than 78 columns."""
    text = topics.source(name)
    assert re.match(r"# \w", text)
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= topics.WIDTH
    for width in (topics.WIDTH, 56):
        assert max(len(row.text) for row in topics.rows(name, width)) <= width
    assert "<!--" not in topics.page(name)
    assert "```" not in topics.page(name)


@pytest.mark.parametrize("name", topics.NAMES)
def test_every_word_of_a_topic_is_shown(name: str) -> None:
    """Breaking lines anew loses no word."""
    parts = re.split(r"^```\n", re.sub(r"<!--.*?-->", "", topics.source(name), flags=re.DOTALL), flags=re.MULTILINE)
    parts[::2] = [re.sub(r"^#+ ", "", part, flags=re.MULTILINE) for part in parts[::2]]
    assert topics.page(name, 60).split() == "".join(parts).split()


def test_every_file_is_a_topic_and_the_list_names_all() -> None:
    """No topic without a file, no file without a topic, and the list without an argument shows each with its title."""
    files = {file.stem for file in Path(topics.__file__).parent.glob("*.md")}
    assert files == set(topics.NAMES)
    for name in topics.NAMES:
        assert f"{name:<12} {topics.title(name)}" in topics.contents()


def test_every_page_with_help_has_a_topic() -> None:
    """`?` leads from every page to a topic that there is."""
    pages = {name: page for name, page in page_lists().items() if name not in NO_HELP}
    assert {name for name, page in pages.items() if page not in TOPIC_BY_KEYS} == set()
    assert set(TOPIC_BY_KEYS.values()) <= set(topics.NAMES)


@pytest.mark.parametrize("name", topics.NAMES)
def test_every_key_in_a_topic_is_a_key_of_its_page(name: str) -> None:
    """A key in backquotes is in the list of each page that the text there is about."""
    pages = page_lists()
    with_help = {page for page in pages if page not in NO_HELP}
    for names, text in marked(topics.source(name), "keys"):
        wanted = with_help if names == "ALL" else {item.strip() for item in names.split(",")}
        for key in filter(is_key, _TOKEN.findall(text)):
            missing = {page for page in wanted if key not in {command.shown for command in pages[page]}}
            assert missing == set(), f"{name}: {key}"


@pytest.mark.parametrize("name", topics.NAMES)
def test_everything_in_backquotes_is_known_to_the_program(name: str) -> None:
    """A key, a command, an option, a key of a file or a column; the words of the data topic are looked at apart."""
    text = _FENCED.sub("", topics.source(name))
    keyed = "".join(part for _, part in marked(topics.source(name), "keys"))
    known = {*options(), "format", *(key for table in tables() for key in known_keys(tables()[table]))}
    known |= {f"[[{table}]]" for table in tables()} | {f"[{HITCH}]", f"[{HYDRAULICS}]"}
    for token in (" ".join(token.split()) for token in _TOKEN.findall(text)):
        held = token.split()[0] == "fieldlog" or token in known or (is_key(token) and f"`{token}`" in keyed)
        assert held or name == "data" or token in columns(), token


def test_the_keys_topic_has_every_key_of_every_page() -> None:
    """The topic of keys is the one list of keys once more, word for word and in its order."""
    by_page = dict(marked(topics.source("keys"), "keys"))
    unpaired = {"down", "left", "right"}
    for page, listed in page_lists().items():
        if listed in [page_lists()[other] for other in by_page if other in page_lists() and other != page]:
            continue  # the same keys under another name
        shown = [f"`{command.shown}` {command.word}" for command in listed if command.shown not in unpaired]
        assert ", ".join(shown) + "." in " ".join(by_page[page].split()), page


@pytest.mark.parametrize("name", [*topics.NAMES, "README"])
def test_every_command_line_is_one_the_program_takes(name: str) -> None:
    """A command line in the manual or in README is parsed, its options too."""
    text = README.read_text(encoding="utf-8") if name == "README" else topics.source(name)
    for command_line in commands_in(text):
        words = command_line.split()[1:]
        if len(words) == 1:  # a command is spoken of
            assert words[0] in parsers()
            continue
        cli._parser().parse_args(words)
        topic = re.fullmatch(r"fieldlog manual ([a-z]+)", command_line)
        assert topic is None or topic[1] in topics.NAMES
    for word in re.findall(r"(?<![\w-])--[a-z]+", text):
        assert word in options()


def test_every_command_and_option_is_in_the_manual() -> None:
    """Whatever can be typed behind `fieldlog` is said somewhere, save help and version, which say themselves."""
    text = "".join(topics.source(name) for name in topics.NAMES)
    said = {words[1] for words in (line.split() for line in commands_in(text)) if len(words) > 1}
    assert set(parsers()) - {""} <= said
    assert {word for word in options() if word.startswith("--")} - {"--help", "--version"} <= set(
        _TOKEN.findall(_FENCED.sub("", text))
    )


@pytest.mark.parametrize("table", sorted(tables()))
def test_files_topic_has_every_key_and_choice_of_a_table(table: str) -> None:
    """The keys named under a heading are those that the reader takes there, no more and no fewer, and all choices."""
    sections = dict(marked(topics.source("files"), "table"))
    section = sections[table]
    named = {token for token in _TOKEN.findall(re.split(r"^# ", section, flags=re.M)[0]) if "[" not in token}
    assert named == keys_of(table)
    hints = get_type_hints(tables()[table])
    plain = " ".join(section.split())
    for choices in (hints[key] for key in keys_of(table)):
        for kind in (choices, *get_args(choices)):
            for choice in get_args(kind) if get_origin(kind) is Literal else ():
                assert f'"{choice}"' in plain


def test_files_topic_has_every_table() -> None:
    """No heading that the reader knows is left out."""
    assert {names for names, _ in marked(topics.source("files"), "table")} == set(tables())


def columns() -> set[str]:
    """Return the columns of a table of offers that the manual names."""
    return {
        " ".join(token.split())
        for _, text in marked(topics.source("offers"), "columns")
        for token in _TOKEN.findall(text.partition("<!--")[0])
    }


def test_every_column_of_a_table_of_offers_is_taken_and_named() -> None:
    """The columns of the manual are the ones that an import takes, all of them."""
    named = sorted(columns())
    row = ",".join("short one" if column == "name" else "" for column in named)
    read = offers_in("offers.csv", f"{','.join(named)}\n{row}\n")
    assert (read.unused, read.problems) == ([], [])
    assert set(named) == set(say(ACCEPTED_COLUMNS, "mm").removeprefix("columns are: ").split(", "))


@pytest.fixture(scope="module")
def sample_report() -> Mapping[str, object]:
    """The sample's report as data, by the command."""
    words = [sys.executable, "-m", "fieldlog", "report", str(ROOT / "sample_machines"), "--json", "--budget"]
    done = subprocess.run(words, capture_output=True, check=True, cwd=ROOT)
    found = json.loads(done.stdout)
    assert isinstance(found, dict)
    return found


def names_in(data: object) -> Iterator[str]:
    """Yield every key anywhere in data."""
    if isinstance(data, dict):
        for key, value in data.items():
            yield key
            yield from names_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from names_in(value)


def test_every_word_of_the_data_topic_is_in_the_report(sample_report: Mapping[str, object]) -> None:
    """Each key that the manual names is in the sample's report; each at its top is named."""
    ((_, text),) = marked(topics.source("data"), "json")
    named = set(_TOKEN.findall(text))
    assert named - set(names_in(sample_report)) == set()
    assert set(sample_report) <= named


def test_examples_of_what_is_typed_are_taken() -> None:
    """Sizes, threads and lines of evidence are read as the manual writes them."""
    for text in re.split(r"\s{2,}|\n", _FENCED.findall(topics.source("measure"))[0].strip()):
        assert parse_length(text).mm > 0
    for text in re.split(r"\s{2,}|\n", _FENCED.findall(topics.source("threads"))[0].strip()):
        assert thread_from(text).typed == text
    for row in _FENCED.findall(topics.source("pins"))[0].splitlines():
        assert parse_evidence(re.split(r"\s{2,}", row)[0])


def test_a_topic_is_found_by_its_beginning_and_another_word_says_where_it_is() -> None:
    """A beginning that only one topic has will do; a term of a page leads to the topics that speak of it."""
    assert topics.found("Verd") == "verdicts"
    with pytest.raises(FieldlogError, match=r"There is no topic \"s\"\..* start, measure, "):
        topics.found("s")
    with pytest.raises(FieldlogError, match=r"It is spoken of in: verdicts, limits, wear, words\."):
        topics.found("watch line")


TERMS = (
    "watch line, warning limit, identity size, as-made size, worn size, largest diameter, stands apart, "
    "suspect reading, borrowed, pooled with like joints"
)


@pytest.mark.parametrize("term", TERMS.split(", "))
def test_terms_of_the_pages_are_findable(term: str) -> None:
    """The glossary has the word of the pages and the plainer one."""
    assert "words" in topics.speaking_of(term)


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """Run a command of the program with its output piped."""
    return subprocess.run([sys.executable, "-m", "fieldlog", *words], capture_output=True, text=True, check=False)


def test_manual_is_plain_text_when_piped() -> None:
    """The command prints the list or a topic, without a colour or a control character."""
    assert run("manual").stdout == topics.contents() + "\n"
    shown = run("manual", "hitch")
    assert (shown.returncode, shown.stdout) == (0, topics.page("hitch") + "\n")
    assert "\x1b" not in shown.stdout


def test_an_unknown_topic_is_said_with_those_there_are() -> None:
    """Exit status 2, nothing on standard output, and every topic named."""
    done = run("manual", "nonsense")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f'fieldlog: There is no topic "nonsense". The topics are: {", ".join(topics.NAMES)}.\n'


def test_readme_names_keys_of_the_first_page() -> None:
    """What README tells a beginner to press is there on the first page, `m` on a machine's page too."""
    named = {token for token in _TOKEN.findall(_FENCED.sub("", README.read_text(encoding="utf-8"))) if is_key(token)}
    assert named == {"m", "esc", "b", "?"}
    assert named <= {command.shown for command in commands.FLEET}
    assert "m" in {command.shown for command in commands.MACHINE}


def test_readme_is_short() -> None:
    """README holds the job and the way in, at most 6,000 bytes, and leads on to the manual."""
    text = README.read_bytes()
    assert len(text) <= 6000
    assert b"`fieldlog manual`" in text
