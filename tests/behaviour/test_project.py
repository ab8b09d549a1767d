"""The house rules: rooms, dependencies, imports, docstrings, README commands."""

import ast
import importlib
import inspect
import os
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from packaging.utils import canonicalize_name
from packaging.version import Version

pytestmark = pytest.mark.behaviour
ROOT = Path(__file__).resolve().parents[2]
ROOMS = ["errors", "units", "sentences", "mechanics", "materials", "schedule", "parts", "studies", "shop", "workbook", "__main__"]
SOURCES = sorted((ROOT / "lamcalc").rglob("*.py"))
HEAVY = ("pandas", "matplotlib", "ipywidgets", "pint", "pydantic", "tomlkit", "jinja2", "numba", "scipy")


def room_of(path):
    """Room that a file belongs to."""
    parts = path.relative_to(ROOT / "lamcalc").with_suffix("").parts
    return parts[0]


def imports(path):
    """Names that a file imports, also inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: write absolute imports"
            yield node.module
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_room_imports_only_from_rooms_above_it(path):
    if path == ROOT / "lamcalc" / "__init__.py":
        return
    own = ROOMS.index(room_of(path))
    for name in imports(path):
        parts = name.split(".")
        if parts[0] == "lamcalc" and len(parts) > 1 and parts[1] in ROOMS:
            assert ROOMS.index(parts[1]) <= own, f"{path.name} imports {name} from a room below it"
            assert not (room_of(path) == "materials" and parts[1] == "mechanics"), "materials know no mechanics"


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_only_catalogue_and_job_open_files(path):
    allowed = {"lamcalc/materials/catalogue.py", "lamcalc/shop/job.py"}
    text = path.read_text(encoding="utf-8")
    if str(path.relative_to(ROOT).as_posix()) not in allowed:
        found = re.findall(r"(?<![\w.])open\(|\.read_text\(|\.read_bytes\(|(?<!jobs)(?<!job)\.write_(?:text|bytes)\(", text)
        assert not found, f"{path.name} opens files itself: {found}"


def test_importing_the_package_loads_numpy_only():
    code = ("import sys, lamcalc, lamcalc.mechanics.laminate; "
            f"print([m for m in {HEAVY!r} if m in sys.modules])")
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("given, before, told", [({}, "", "1"), ({"OPENBLAS_NUM_THREADS": "3"}, "", "3"),
                                                 ({}, "import numpy; ", "None")], ids=["new", "set by the user", "too late"])
def test_small_matrices_are_worked_by_one_thread(given, before, told):
    env = {key: value for key, value in os.environ.items() if key != "OPENBLAS_NUM_THREADS"} | given
    code = f"import os; {before}import lamcalc; print(os.environ.get('OPENBLAS_NUM_THREADS'))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env=env)
    assert done.stdout.strip() == told


LINE = re.compile(r"^([A-Za-z0-9._-]+)\s*((?:[<>=!~]=?[0-9][0-9A-Za-z.*]*,?\s*)*)$")


def test_lowest_versions_are_those_that_pyproject_asks_for():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    lines = (ROOT / "tests" / "lowest.txt").read_text(encoding="utf-8").splitlines()
    pinned = dict(line.split("==") for line in lines if not line.startswith("#"))
    for item in map(Requirement, project["dependencies"] + project["optional-dependencies"]["test"]):
        floor, = (one.version for one in item.specifier)
        have = pinned[canonicalize_name(item.name)]
        assert Version(have).release[:len(Version(floor).release)] == Version(floor).release, f"{item.name}: {have}, not {floor}"


def test_environment_file_asks_for_what_pyproject_asks_for():
    environment = yaml.safe_load((ROOT / "environment.yml").read_text(encoding="utf-8"))
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = {"python": SpecifierSet(project["requires-python"])}
    for item in map(Requirement, project["dependencies"] + project["optional-dependencies"]["test"]):
        wanted[canonicalize_name(item.name)] = item.specifier
    have = {}
    for entry in environment["dependencies"]:
        if isinstance(entry, dict):
            assert entry == {"pip": ["-e ."]}
            continue
        match = LINE.match(entry)
        assert match, entry
        have[canonicalize_name(match[1])] = SpecifierSet(match[2].replace(" ", ""))
    assert have.pop("pip") == SpecifierSet("")
    assert have == wanted
    assert environment["channels"] == ["conda-forge", "nodefaults"]


def modules():
    """Importable modules of the package."""
    for path in SOURCES:
        parts = path.relative_to(ROOT).with_suffix("").parts
        if parts[-1] == "__init__" or not parts[-1].startswith("_"):
            yield importlib.import_module(".".join(parts[:-1] if parts[-1] == "__init__" else parts))


def public():
    """Public functions, classes and methods defined in the package, with a name for the message."""
    for module in modules():
        for name, item in vars(module).items():
            if name.startswith("_") or getattr(item, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(item) or inspect.isclass(item):
                yield f"{module.__name__}.{name}", item
            if inspect.isclass(item):
                for key, value in vars(item).items():
                    method = value.__func__ if isinstance(value, (classmethod, staticmethod)) else value
                    # methods of foreign base classes are documented there
                    foreign = any(hasattr(base, key) for base in item.__mro__[1:] if not base.__module__.startswith("lamcalc"))
                    if not key.startswith("_") and inspect.isfunction(method) and not foreign:
                        yield f"{module.__name__}.{name}.{key}", method


PARAMETERS = re.compile(r"^ *Parameters\n *-+\n(?P<body>.*?)(?=^ *(?:Returns|Raises|Notes|References|Examples|Yields|Attributes)\n *-{3,}|\Z)",
                        re.MULTILINE | re.DOTALL)


def documented(docstring):
    """Names in the Parameters section, each with its text."""
    match = PARAMETERS.search(docstring)
    found = {}
    if not match:
        return found
    body = inspect.cleandoc("x\n" + match["body"]).splitlines()[1:]
    indent = min((len(line) - len(line.lstrip()) for line in body if line.strip()), default=0)
    names = []
    for line in body:
        if line.strip() and len(line) - len(line.lstrip()) == indent:
            names = [name.strip().lstrip("*") for name in line.split(":")[0].split(",")]
            found.update({name: "" for name in names})
        for name in names:
            found[name] += line + " "
    return found


@pytest.mark.parametrize("name, item", list(public()), ids=lambda x: x if isinstance(x, str) else "")
def test_public_names_are_documented_with_units(name, item):
    docstring = inspect.getdoc(item)
    assert docstring, f"{name} has no docstring"
    if inspect.isclass(item) and issubclass(item, (Exception, dict)):
        return
    signature = [p.name for p in inspect.signature(item).parameters.values()
                 if p.name not in ("self", "cls") and p.kind not in (p.VAR_KEYWORD, p.VAR_POSITIONAL)
                 and not p.name.startswith("_")]
    texts = documented(docstring)
    if inspect.isclass(item) and not texts:
        return
    missing = [p for p in signature if p not in texts]
    assert not missing, f"{name}: not in the Parameters section: {missing}"
    loose = [p.name for p in inspect.signature(item).parameters.values() if p.kind in (p.VAR_KEYWORD, p.VAR_POSITIONAL)]
    stray = [p for p in texts if p not in signature + loose]
    assert not stray or inspect.isclass(item), f"{name}: documented but not in the signature: {stray}"
    unitless = [p for p in signature if not re.search(r"\[[^\]]+\]", texts[p])]
    assert not unitless, f"{name}: no bracketed unit for {unitless}"


BLOCK = re.compile(r"^```sh\n# (?P<title>[^\n]+)\n(?P<command>[^\n]+)\n```$", re.MULTILINE)


def test_readme_has_exactly_two_one_line_commands():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    titles = [match["title"] for match in BLOCK.finditer(text)]
    assert titles == ["set up and run", "set up and test"]
    assert len(re.findall(r"^```sh$", text, re.MULTILINE)) == 2


TEXTS = [p for pattern in ("*.md", "*.toml", "*.yml", "lamcalc/**/*.py", "data/**/*", "tests/**/*.py", "tests/**/*.csv",
                           "notebooks/*.ipynb", ".ci/*") for p in ROOT.glob(pattern) if p.is_file()]
MACHINE = re.compile(r"/(?:" + "|".join(["wo" + "rk", "ro" + "ot", "ho" + "me", "fa" + "rm"]) + r")/\w+|/tm" + "p/")


@pytest.mark.parametrize("path", TEXTS, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_machine_path_is_stored(path):
    found = MACHINE.search(path.read_text(encoding="utf-8", errors="replace"))
    assert not found, f"{path.name} holds a path of somebody's machine: {found[0]}"
