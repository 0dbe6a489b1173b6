"""What is said has words, and words say nothing that is never said: codes and arguments on both sides are the same."""

import ast
import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from fieldlog.quantity.said import Said, codes_of, said
from fieldlog.words.speak import say, speaker_of

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


def test_everything_said_has_words_about_just_that() -> None:
    """Each code has its function, which takes the units and the names that were given, and needs no others."""
    faults = []
    for place in places():
        try:
            parameters = list(inspect.signature(speaker_of(place.code)).parameters.values())[1:]
        except KeyError as fault:
            faults.append(f"{place.where}: {fault}")
            continue
        known = {one.name for one in parameters}
        needed = {one.name for one in parameters if one.default is inspect.Parameter.empty}
        if place.names - known or (needed - place.names and not place.rest):
            faults.append(f"{place.where}: {place.code} is about {sorted(place.names)}, its words take {sorted(known)}")
    assert faults == []


def test_no_words_stand_there_that_nobody_says() -> None:
    """Every public function of an area's words that takes units first is said somewhere."""
    spoken = {place.code for place in places()}
    unsaid = []
    for file in sorted((PACKAGE / "words").glob("*.py")):
        for node in ast.parse(file.read_text(encoding="utf-8")).body:
            if not isinstance(node, ast.FunctionDef) or [arg.arg for arg in node.args.args][:1] != ["units"]:
                continue
            if not node.name.startswith("_") and f"{file.stem}.{node.name}" not in spoken:
                unsaid.append(f"{file.stem}.{node.name}")
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
