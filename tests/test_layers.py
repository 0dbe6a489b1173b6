"""The one-way rule seen from outside: what an import really loads, and what the pure parts never touch.

The import contracts in pyproject.toml read the source; these tests ask a fresh interpreter.
"""

import ast
import os
import subprocess
import sys
import tomllib
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
        "import sys; from fieldlog.store.demo import sample_folder; from fieldlog.app.reading import _texts; "
        "list(_texts(sample_folder(), is_demo=True)); assert 'pint' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, cwd=ROOT, env={**os.environ, "XDG_CACHE_HOME": os.devnull})
