"""What is said has words, and words say nothing that is never said: codes and arguments on both sides are the same."""

import ast
import importlib
import inspect
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from fieldlog.quantity.said import Said, codes_of, said
from fieldlog.records.problems import Problem
from fieldlog.store import toml_text
from fieldlog.store.plain import Unfit, packed, unpacked
from fieldlog.words.speak import Sentence, say, speaker_of

PACKAGE = Path(__file__).resolve().parents[2] / "fieldlog"


class Place(NamedTuple):
    """Where something is said in the source, by what code, about what; `rest` where it takes more by `**`."""

    where: str
    code: str
    names: frozenset[str]
    rest: bool


def places() -> Iterator[Place]:
    """Yield every `said("area.what", ...)` of the source."""
    for file in sorted(PACKAGE.rglob("*.py")):
        source = file.read_text(encoding="utf-8")
        if "from fieldlog.quantity.said import" not in source:
            continue
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "said":
                code = node.args[0]
                where = f"{file.relative_to(PACKAGE)}:{node.lineno}"
                assert isinstance(code, ast.Constant), f"{where}: the code is to be read in the source"
                names = frozenset(keyword.arg for keyword in node.keywords if keyword.arg)
                yield Place(where, str(code.value), names, any(keyword.arg is None for keyword in node.keywords))


def names_of(speaker: Callable[..., str]) -> tuple[frozenset[str], frozenset[str]]:  # type: ignore[explicit-any]
    """Return what a sentence can be about, and what it must be about."""
    if isinstance(speaker, Sentence):
        return speaker.names, speaker.names
    parameters = list(inspect.signature(speaker).parameters.values())[1:]
    needed = frozenset(one.name for one in parameters if one.default is inspect.Parameter.empty)
    return frozenset(one.name for one in parameters), needed


def test_everything_said_has_words_about_just_that() -> None:
    """Each code has its function, which takes the units and the names that were given, and needs no others."""
    faults = []
    for place in places():
        try:
            known, needed = names_of(speaker_of(place.code))
        except KeyError as fault:
            faults.append(f"{place.where}: {fault}")
            continue
        if place.names - known or (needed - place.names and not place.rest):
            faults.append(f"{place.where}: {place.code} is about {sorted(place.names)}, its words take {sorted(known)}")
    assert faults == []


def test_no_words_stand_there_that_nobody_says() -> None:
    """Every sentence of an area, and every public function that takes units first, is said somewhere."""
    spoken = {place.code for place in places()}
    unsaid = []
    for file in sorted((PACKAGE / "words").glob("*.py")):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if not isinstance(node, ast.FunctionDef) or [arg.arg for arg in node.args.args][:1] != ["units"]:
                continue
            if not node.name.startswith("_") and f"{file.stem}.{node.name}" not in spoken:
                unsaid.append(f"{file.stem}.{node.name}")
        words = importlib.import_module(f"fieldlog.words.{file.stem}")
        unsaid += [code for name in getattr(words, "SENTENCES", {}) if (code := f"{file.stem}.{name}") not in spoken]
    assert unsaid == []


def test_a_code_without_words_is_a_mistake() -> None:
    """Nothing is silently left out."""
    for code in ("nowhere.at_all", "finding.never_said_by_anybody"):
        with pytest.raises(KeyError):
            say(said(code), "mm")


def test_what_was_said_is_asked_by_code_and_name() -> None:
    """Two things said are the same when code and values are; an unknown name raises."""
    thing = said("finding.x", value=3)
    assert thing == Said("finding.x", (("value", 3),))
    assert thing.of("value") == 3
    assert codes_of([thing, said("finding.y")]) == {"finding.x", "finding.y"}
    with pytest.raises(KeyError):
        thing.of("limit")


TOLD = frozenset(
    {"Problem", "QuantityError", "StoreError", "FileChangedError", "Refused", "Unreadable", "UnreadableText", "Fault"}
)


def test_neither_files_nor_typed_text_speak_english() -> None:
    """Whatever these rooms report or raise is said by codes: no text with a blank in it is an argument there."""
    found = []
    for file in sorted(
        file for room in ("quantity", "records", "standards", "store") for file in (PACKAGE / room).glob("*.py")
    ):
        for call in (
            node for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))) if isinstance(node, ast.Call)
        ):
            name = call.func.id if isinstance(call.func, ast.Name) else getattr(call.func, "attr", "")
            if name not in {*TOLD, "problem"}:
                continue
            for text in (part for part in call.args if isinstance(part, ast.JoinedStr | ast.Constant)):
                if isinstance(text, ast.JoinedStr) and " " not in ast.unparse(text):
                    continue  # the name of a file
                if isinstance(text, ast.JoinedStr) or " " in str(text.value):
                    found.append(f"{file.name}:{call.lineno}: {ast.unparse(text)}")
    assert found == []


def test_every_way_a_line_can_be_broken_has_words() -> None:
    """Each complaint of the parser that is told apart is spoken of, with and without its place."""
    for fault in {*toml_text._FAULTS.values(), "unknown"}:
        for column, line in ((3, "x"), (0, "x"), (0, "")):
            assert say(said("problem.toml", fault=fault, column=column, line=line), "mm").endswith(
                f"`{line}`" if line else ""
            )
        assert say(said("accepted.toml", fault=fault), "mm")


def test_a_problem_is_kept_between_two_sittings_and_nothing_else_is_taken_for_one() -> None:
    """Said things come back equal, nested ones and rows too; what is torn or hostile is unfit."""
    inner = said("accepted.own", accepted="x")
    whole = Problem("a.toml", 3, "key", said("problem.x", n=1, names=("a", "b"), why=inner, all=(inner, inner)), inner)
    assert unpacked(Problem, packed(whole)) == whole
    assert unpacked(Problem, packed(Problem("a.toml", 0, "", inner))) == Problem("a.toml", 0, "", inner)
    for hostile in (
        b"[]",
        b'["x",[]]',
        b'["a.b",[["n"]]]',
        b'["a.b",[["n",{"said":3}]]]',
        b'["a.b",[["n",{"x":1}]]]',
        b"3",
    ):
        with pytest.raises(Unfit):
            unpacked(Said, hostile)
