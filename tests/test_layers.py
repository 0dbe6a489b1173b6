"""The one-way rule seen from outside: what an import really loads, and what the pure parts never touch.

The import contracts in pyproject.toml read the source; these tests ask a fresh interpreter. The size of the house is
held here too: how many modules there are, how long, how many in a folder, and that no circle runs through them.
"""

import ast
import os
import subprocess
import sys
import tomllib
from collections.abc import Collection, Mapping
from graphlib import CycleError, TopologicalSorter
from importlib.util import resolve_name
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fieldlog"
LAYERS = (
    "errors",
    "quantity",
    "records",
    "standards",
    "measure",
    "wear",
    "retrofit",
    "store",
    "words",
    "app",
    "pages",
    "sheets",
    "tui",
)
PURE = ("errors", "quantity", "records", "standards", "measure", "wear", "retrofit")
HEAVY_FOR_PURE = frozenset({"pint", "rich", "textual", "tomli_w", "tomlkit", "tomllib"})
CLOCK_CALLS = frozenset({"now", "today", "utcnow"})
ENVIRONMENT = frozenset({"environ", "environb", "getenv"})
HIDING = frozenset({"import_module", "__import__", "importlib"})
MOST_MODULES = 250
MOST_LINES = 400
MOST_IN_A_FOLDER = 25


def modules_of(layer: str) -> list[str]:
    """Return the dotted names of all modules of a layer that the source tree holds."""
    single = PACKAGE / f"{layer}.py"
    files = [single] if single.exists() else sorted((PACKAGE / layer).rglob("*.py"))
    names = (".".join(file.relative_to(ROOT).with_suffix("").parts) for file in files)
    return [name.removesuffix(".__init__") for name in names]


def existing(layers: tuple[str, ...]) -> list[str]:
    """Return those of the layers that exist."""
    return [layer for layer in layers if modules_of(layer)]


def loaded_by(modules: list[str]) -> set[str]:
    """Return the top-level names that a fresh interpreter holds after importing the modules."""
    code = f"import sys, {', '.join(modules)}\nprint(*{{name.partition('.')[0] for name in sys.modules}})"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


def impure_uses(source: str) -> list[str]:
    """Return `line: what` for every use of a file, the clock or the environment in a source text."""
    found = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Call(func=ast.Name(id="open") | ast.Attribute(attr="open")):
                found.append(f"{node.lineno}: open()")
            case ast.Call(func=ast.Attribute(attr=name)) if name in CLOCK_CALLS:
                found.append(f"{node.lineno}: {name}()")
            case ast.Attribute(value=ast.Name(id="os"), attr=name) if name in ENVIRONMENT:
                found.append(f"{node.lineno}: os.{name}")
            case ast.ImportFrom(module="os", names=names):
                found += [f"{node.lineno}: os.{item.name}" for item in names if item.name in ENVIRONMENT]
    return found


def dotted_name(file: Path) -> str:
    """Return the name under which a file of the package is imported."""
    return ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imported_modules(source: str, package: str, known: Collection[str]) -> set[str]:
    """Return the known modules that a source text imports anywhere: on top, in functions, for the type checker only."""
    wanted: list[str] = []
    for node in ast.walk(ast.parse(source)):
        match node:
            case ast.Import(names=names):
                wanted += [item.name for item in names]
            case ast.ImportFrom(module=module, names=names, level=level):
                base = resolve_name("." * level + (module or ""), package)
                within = [f"{base}.{item.name}" for item in names]
                wanted += [name if name in known else base for name in within]
    return {name for name in wanted if name in known}


def import_graph() -> Mapping[str, set[str]]:
    """Return every module of the program with those that it imports."""
    files = {dotted_name(file): file for file in PACKAGE.rglob("*.py")}
    graph = {}
    for name, file in files.items():
        package = name if file.stem == "__init__" else name.rpartition(".")[0]
        graph[name] = imported_modules(file.read_text(encoding="utf-8"), package, files)
    return graph


def circle_in(graph: Mapping[str, set[str]]) -> list[str]:
    """Return one circle, its first module named again at its end; empty when there is none."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        circle: list[str] = error.args[1]
        return circle
    return []


def names_in(source: str) -> set[str]:
    """Return every bare name, attribute and imported module in a source text."""
    nodes = list(ast.walk(ast.parse(source)))
    named = {node.id for node in nodes if isinstance(node, ast.Name)}
    named |= {node.attr for node in nodes if isinstance(node, ast.Attribute)}
    named |= {item.name for node in nodes if isinstance(node, ast.Import | ast.ImportFrom) for item in node.names}
    return named | {node.module for node in nodes if isinstance(node, ast.ImportFrom) and node.module}


@pytest.mark.parametrize("layer", LAYERS)
def test_layer_exists(layer: str) -> None:
    """Every layer of the house is in the source tree, so that no test below passes for want of code."""
    assert modules_of(layer)


def test_every_pure_package_is_in_the_import_contract() -> None:
    """The contract that keeps the pure parts pure names each of them that exists."""
    config = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    contracts = {item["id"]: item for item in config["tool"]["importlinter"]["contracts"]}
    assert set(contracts["pure"]["source_modules"]) == {f"fieldlog.{layer}" for layer in existing(PURE)}


@pytest.mark.parametrize("layer", existing(PURE))
def test_pure_package_loads_nothing_heavy(layer: str) -> None:
    """Importing every module of a pure package loads no screen, unit or TOML library."""
    assert loaded_by(modules_of(layer)) & HEAVY_FOR_PURE == set()


@pytest.mark.parametrize("layer", existing(("store", "words", "app", "pages", "sheets")))
def test_files_and_reports_load_no_textual(layer: str) -> None:
    """Importing every module of the store or the reports does without the screen library."""
    assert "textual" not in loaded_by(modules_of(layer))


def test_manual_is_read_only_when_asked_for() -> None:
    """Neither the command line nor the help page loads the manual before it is shown, and it needs only the errors."""
    code = (
        "import sys, fieldlog.cli, fieldlog.tui.screens.help; assert 'fieldlog.manual' not in sys.modules; "
        "import fieldlog.manual.topics"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT)
    code = "import sys, fieldlog.manual.topics; print(*(name for name in sys.modules if name.startswith('fieldlog.')))"
    done = subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT, capture_output=True, text=True)
    assert set(done.stdout.split()) == {"fieldlog.errors", "fieldlog.manual", "fieldlog.manual.topics"}


def test_the_first_page_loads_no_arithmetic() -> None:
    """The fleet page is drawn from overviews: neither sizes nor trends nor states are loaded for it."""
    code = (
        "import sys, fieldlog.tui.app, fieldlog.tui.screens.fleet, fieldlog.app.ahead; "
        "print(*(name for name in sys.modules if name.startswith(('fieldlog.measure.', 'fieldlog.wear.states', "
        "'fieldlog.wear.trends', 'fieldlog.retrofit'))))"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT, capture_output=True, text=True)
    assert done.stdout.split() == []


def test_command_line_starts_light() -> None:
    """Importing the command line loads neither Textual nor Rich nor Pint, so that `check` answers at once."""
    assert loaded_by(["fieldlog.cli"]) & {"pint", "rich", "textual"} == set()


def test_loaded_modules_are_seen() -> None:
    """The probe reports what an import loads, also when a module loads it in turn."""
    assert {"tomllib", "rich"} <= loaded_by(["tomllib", "rich.table"])


@pytest.mark.parametrize("layer", existing(PURE))
def test_pure_source_touches_no_file_clock_or_environment(layer: str) -> None:
    """No pure module opens a file, asks for the time or date, or looks at the environment."""
    found = []
    for module in modules_of(layer):
        path = ROOT.joinpath(*module.split("."))
        file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
        found += [f"{module}:{use}" for use in impure_uses(file.read_text(encoding="utf-8"))]
    assert found == []


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("open('a')", ["1: open()"]),
        ("import pathlib\npathlib.Path('a').open()", ["2: open()"]),
        ("from datetime import date\ndate.today()", ["2: today()"]),
        ("import datetime\ndatetime.datetime.now(None)", ["2: now()"]),
        ("import os\nos.environ['A']", ["2: os.environ"]),
        ("from os import getenv", ["1: os.getenv"]),
        ("from datetime import date\ndate(2026, 3, 1).isoformat()", []),
        ("link.open_mm", []),
    ],
)
def test_impure_use_is_found(source: str, found: list[str]) -> None:
    """The scan finds each forbidden use, and leaves dates and trade words alone."""
    assert impure_uses(source) == found


def test_reading_the_sample_for_the_first_page_loads_no_unit_library() -> None:
    """Pint takes longer to load than the whole fleet to read; it is for the pages that show a pressure or a weight."""
    code = (
        "import sys; from fieldlog.store.files import sample_folder; from fieldlog.app.reading import _texts; "
        "list(_texts(sample_folder(), is_demo=True)); assert 'pint' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT, env={**os.environ, "XDG_CACHE_HOME": os.devnull})


def test_no_circle_of_imports() -> None:
    """Nowhere does a module import, over whatever way, one that imports it; what functions import counts too."""
    assert circle_in(import_graph()) == []


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("import fieldlog.b", {"fieldlog.b"}),
        ("from fieldlog.b import thing", {"fieldlog.b"}),
        ("from fieldlog import b, c", {"fieldlog.b", "fieldlog.c"}),
        ("from .b import thing", {"fieldlog.b"}),
        ("from . import c", {"fieldlog.c"}),
        ("def f():\n    from fieldlog.b import thing", {"fieldlog.b"}),
        ("if TYPE_CHECKING:\n    from fieldlog.c import thing", {"fieldlog.c"}),
        ("import ast\nfrom pathlib import Path", set()),
    ],
)
def test_import_is_found(source: str, found: set[str]) -> None:
    """The finder sees an import wherever it stands and however it is written."""
    assert imported_modules(source, "fieldlog", {"fieldlog.a", "fieldlog.b", "fieldlog.c"}) == found


def test_circle_is_found() -> None:
    """A circle over three modules is found, a diamond is none."""
    assert set(circle_in({"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}})) == {"a", "b", "c"}
    assert circle_in({"a": {"b", "c"}, "b": {"d"}, "c": {"d"}}) == []


def test_no_import_is_hidden_from_the_finder() -> None:
    """No module is imported by a name in a string, so what the finder reads is all there is."""
    hiding = {dotted_name(file): names_in(file.read_text(encoding="utf-8")) & HIDING for file in PACKAGE.rglob("*.py")}
    assert {name: names for name, names in hiding.items() if names} == {}


def test_the_house_has_few_rooms() -> None:
    """A stranger can still find his way: so many modules and no more."""
    assert len(list(PACKAGE.rglob("*.py"))) <= MOST_MODULES


def test_no_module_is_too_long() -> None:
    """A module that has outgrown its subject is divided by subject."""
    lengths = {dotted_name(file): len(file.read_text(encoding="utf-8").splitlines()) for file in PACKAGE.rglob("*.py")}
    assert {name: length for name, length in lengths.items() if length > MOST_LINES} == {}


def test_no_folder_is_too_full() -> None:
    """A folder with more modules than the eye takes in gets folders of its own, by subject."""
    folders = [folder for folder in (PACKAGE, *PACKAGE.rglob("*")) if folder.is_dir()]
    counts = {folder.name: sum(file.stem != "__init__" for file in folder.glob("*.py")) for folder in folders}
    assert {name: count for name, count in counts.items() if count > MOST_IN_A_FOLDER} == {}
