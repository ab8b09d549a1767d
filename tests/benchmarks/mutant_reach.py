"""Mutants of the chosen files, and which tests reach which of their lines (first half of `mutants.py`)."""

import ast
import functools
import json
import os
import shutil
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import coverage
import pytest

ROOT = Path(__file__).resolve().parents[2]
KINDS = ["tests/published", "tests/invariant", "tests/behaviour"]
LEFT_OUT = ["behaviour/test_project.py", "invariant/test_executors.py"]  # the first reads the source, the second forks
OPTIONS = ["-q", "-o", "addopts=", "-p", "no:cacheprovider", "-p", "no:nbval", "-m", "not browser",
           *(f"--ignore=tests/{name}" for name in LEFT_OUT), *KINDS]


def statement(source, offset):
    """First and last line of the statement at an offset in a function, from 0; the whole function for its head."""
    method = source.lstrip("\n").startswith(" ")  # not dedented: a line of its docstring may start at the margin

    def ends(node):
        body = getattr(node, "body", None)
        whole = isinstance(node, ast.FunctionDef) or not body
        last = node.end_lineno if whole else max(node.lineno, body[0].lineno - 1)
        return node.lineno - 1 - method, last - 1 - method
    tree = ast.walk(ast.parse("class _:\n" * method + source))
    spans = [ends(node) for node in tree if isinstance(node, (ast.stmt, ast.excepthandler))]
    return max(span for span in spans if span[0] <= offset <= span[1])


def write_mutants(folder, known):
    """Write the mutants of every chosen file into the copy; file and lines of the unchanged statement by mutant.

    Files whose mutants are younger than the source are left as they are.
    """
    from mutmut.mutation.file_mutation import mutate_file_contents  # not among the test dependencies
    chosen = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["mutmut"]["only_mutate"]
    found = {}
    for path in sorted(path.relative_to(ROOT).as_posix() for pattern in chosen for path in ROOT.glob(pattern)):
        old = {mutant: place for mutant, place in known.items() if place[0] == path}
        if old and (folder / path).stat().st_mtime > (ROOT / path).stat().st_mtime:
            found |= old
            continue
        made = mutate_file_contents(path, (ROOT / path).read_text(encoding="utf-8"))
        (folder / path).write_text(made.code, encoding="utf-8")
        lines, spans = made.code.splitlines(), made.line_span_by_function_name
        for name in made.mutant_names:
            original = name.rpartition("__mutmut_")[0] + "__mutmut_orig"
            old, new = ([line.replace(one, "") for line in lines[spans[one].start - 1:spans[one].end]]
                        for one in (original, name))
            offset = next(i for i, (a, b) in enumerate(zip(old + [None], new + [None], strict=False)) if a != b)
            start, end = spans[original].start, spans[original].end
            first, last = statement("\n".join(lines[start - 1:end]), offset)
            found[path[:-3].replace("/", ".") + "." + name] = [path, start + first, start + last]
    return found


@functools.lru_cache
def memories(count):
    """Memories of the package in the modules loaded so far; units and materials know nothing of the mutants."""
    return [item for name, module in list(sys.modules.items())
            if name.startswith("lamcalc.") and name.split(".")[1] not in ("units", "materials")
            for item in vars(module).values() if isinstance(item, functools._lru_cache_wrapper)]


def forget():
    """Empty the memories: no test may live on what another one worked out."""
    for item in memories(len(sys.modules)):
        item.cache_clear()


def quick_profile():
    """A mutant is killed by the first example that fails; nobody reads the smallest one."""
    from hypothesis import HealthCheck, Phase, settings  # after pytest, which rewrites its plugins

    settings.register_profile("mutants", max_examples=30, deadline=None, database=None, print_blob=False,
                              phases=[Phase.explicit, Phase.generate], suppress_health_check=[HealthCheck.too_slow])
    settings.load_profile("mutants")


class Reach:
    """Plugin: which tests pass, how long they take, which lines of the chosen files they reach."""

    def __init__(self, files):
        self.cover, self.seconds, self.failed = coverage.Coverage(data_file=None, include=files), {}, set()

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item):
        forget()
        self.cover.switch_context(item.nodeid)
        begin = time.process_time()
        try:
            return (yield)
        finally:
            self.seconds[item.nodeid] = time.process_time() - begin

    def pytest_runtest_logreport(self, report):
        if not report.passed:
            self.failed.add(report.nodeid)

    def pytest_configure(self):
        quick_profile()

    def pytest_sessionstart(self):
        self.cover.start()

    def pytest_sessionfinish(self):
        self.cover.stop()


def prepare(folder, tests):
    """Copy, mutants, reach of the tests; `tests` are files to note after a first time."""
    folder.mkdir(parents=True, exist_ok=True)
    store = folder / "mutants.json"
    known = json.loads(store.read_text(encoding="utf-8")) if store.exists() else {}
    mutated = {path for path, _, _ in known.values()}
    names = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout.split("\n")
    for name in set(filter(None, names)) - mutated:
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, folder / name)
    mutants = write_mutants(folder, known)
    store.write_text(json.dumps(mutants), encoding="utf-8")
    os.chdir(folder)
    files = sorted({path for path, _, _ in mutants.values()})
    plugin = Reach([str(folder / path) for path in files])
    pytest.main(OPTIONS[:-len(KINDS)] + (tests or KINDS), plugins=[plugin])
    data, number = plugin.cover.get_data(), {test: i for i, test in enumerate(plugin.seconds)}
    lines = {path: {line: [number[test] for test in found if test in number]
                    for line, found in data.contexts_by_lineno(str(folder / path)).items()} for path in files}
    record = {"seconds": plugin.seconds, "failed": sorted(plugin.failed), "lines": lines}
    target = folder / f"reach_{len(list(folder.glob('reach_*.json')))}.json"
    target.write_text(json.dumps(record), encoding="utf-8")
    print(len(mutants), "mutants;", len(number), "tests,", len(plugin.failed), "of them fail unchanged, left out")
