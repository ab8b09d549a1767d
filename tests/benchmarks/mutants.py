"""Mutation testing by a random sample: each mutant meets the tests that reach its line, the fastest first.

    python tests/benchmarks/mutants.py prepare FOLDER [--tests FILE ...]
    python tests/benchmarks/mutants.py sample FOLDER --size 1200 --seed 1 [--skip FILE ...]

`prepare` copies the checkout to a new FOLDER, writes the mutants of the files named in pyproject.toml there and notes
which tests reach which line; with --tests it takes in the tests of these files after a first time. `sample` draws
mutants, spread over the files in proportion, and writes FOLDER/mutants_SEED.json; mutants listed in the skipped files
are not drawn. Browser tests and notebooks take no part.
"""

import argparse
import gc
import json
import math
import os
import random
import signal
import sys
from pathlib import Path

import pytest
from mutant_reach import OPTIONS, forget, prepare, quick_profile

LONGEST = 8.0  # usual time of the tests that one mutant meets at most [s]


def drawn(mutants, size, seed, skip):
    """Mutants drawn at random, spread over the files in proportion to their numbers."""
    by_file, chance = {}, random.Random(seed)
    for mutant in sorted(mutants):
        by_file.setdefault(mutant.rpartition(".")[0], []).append(mutant)
    chosen, done, want = [], 0, 0.0
    for name in sorted(by_file):
        want += size * len(by_file[name]) / len(mutants)
        free = [mutant for mutant in by_file[name] if mutant not in skip]
        chosen += chance.sample(free, min(len(free), round(want) - done))
        done = round(want)
    chance.shuffle(chosen)  # a run that is cut short is a sample too
    return chosen


class Judge:
    """Plugin: each mutant in a child of its own, up to the first test that fails."""

    def __init__(self, folder, mutants, target):
        self.mutants, self.target = mutants, target
        self.records = [json.loads(path.read_text(encoding="utf-8")) for path in sorted(folder.glob("reach_*.json"))]
        latest = {test: record for record in self.records for test in record["seconds"]}
        self.failed = {test for test, record in latest.items() if test in record["failed"]}
        self.seconds = {test: value for record in self.records for test, value in record["seconds"].items()}
        self.shared = {name for name in {test.split("::")[0] for test in self.seconds}
                       if 'scope="module"' in (folder / name).read_text(encoding="utf-8")}

    def pytest_configure(self):
        quick_profile()

    def pytest_runtestloop(self, session):
        items = {item.nodeid: item for item in session.items}
        gc.collect()
        gc.freeze()
        verdicts = {}
        for mutant, place in self.mutants.items():
            tests = self.order(place, items)
            verdicts[mutant] = self.verdict(session, mutant, tests) if tests else "no test"
            self.target.write_text(json.dumps(verdicts, indent=1), encoding="utf-8")
        return True

    def order(self, place, items):
        """Tests of a statement with their usual times: the fastest first, tests that share a fixture together."""
        path, first, last = place
        tests, stem = set(), Path(path).stem
        for record in self.records:
            names = list(record["seconds"])
            for line in range(first, last + 1):
                tests.update(names[i] for i in record["lines"][path].get(str(line), ()))
        for name in self.shared & {test.split("::")[0] for test in tests}:
            tests.update(test for test in self.seconds if test.split("::")[0] == name)  # one fixture for the whole file

        whole = {}
        for test in tests:
            whole[test.split("::")[0]] = whole.get(test.split("::")[0], 0.0) + self.seconds[test]

        def key(test):
            name = test.split("::")[0]
            weight = 0.2 if stem in test else 1.0  # a test that names the file is more likely to see its mutants
            if name in self.shared:
                return weight * whole[name], name, self.seconds[test]
            return weight * self.seconds[test], "", 0.0
        return [(items[test], self.seconds[test]) for test in sorted(tests - self.failed, key=key) if test in items]

    def verdict(self, session, mutant, tests):
        """Killed, time-out (ten times the usual processor time) or survived."""
        kept, total = [], 0.0
        for item, seconds in tests:
            if total + seconds <= LONGEST:
                kept.append(item)
                total += seconds
        child = os.fork()
        if not child:
            code = 3
            try:
                os.environ["MUTANT_UNDER_TEST"] = mutant
                signal.setitimer(signal.ITIMER_PROF, 10 * total + 5)
                forget()
                for item, following in zip(kept, [*kept[1:], None], strict=True):
                    item.config.hook.pytest_runtest_protocol(item=item, nextitem=following)
                    if session.testsfailed:
                        break
                code = 1 if session.testsfailed else 0
            finally:
                os._exit(code)
        status = os.waitpid(child, 0)[1]
        if os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGPROF:
            return "time-out"
        return "killed" if status else ("survived" if len(kept) == len(tests) else "survived in part")


def interval(killed, tried):
    """95 % interval of a proportion (Wilson's score interval)."""
    z, p = 1.959964, killed / tried
    middle, half = p + z * z / (2 * tried), z * math.sqrt(p * (1 - p) / tried + z * z / (4 * tried * tried))
    return (middle - half) / (1 + z * z / tried), (middle + half) / (1 + z * z / tried)


def report(verdicts):
    """Killed and tried by file, and the whole with its interval."""
    rows = {}
    for mutant, verdict in verdicts.items():
        rows.setdefault(mutant.rpartition(".")[0], []).append(verdict)
    rows["all"] = list(verdicts.values())
    for name, found in rows.items():
        killed = sum(one in ("killed", "time-out") for one in found)
        low, high = interval(killed, len(found))
        print(f"{name:40s} {killed:5d} of {len(found):5d} = {killed / len(found):6.1%} ({low:.1%} to {high:.1%}); "
              f"time-outs {found.count('time-out')}, no test {found.count('no test')}")


def sample(folder, size, seed, skip):
    """Draw, judge, report."""
    os.chdir(folder)
    places = json.loads((folder / "mutants.json").read_text(encoding="utf-8"))
    known = {mutant for path in skip for mutant in json.loads(Path(path).read_text(encoding="utf-8"))}
    target = folder / f"mutants_{seed}.json"
    mutants = {mutant: places[mutant] for mutant in drawn(places, size, seed, known)}
    pytest.main(OPTIONS, plugins=[Judge(folder, mutants, target)])
    report(json.loads(target.read_text(encoding="utf-8")))


def main():
    """Command line."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("step", choices=("prepare", "sample"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("--size", type=int, default=1200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--skip", nargs="*", default=[])
    parser.add_argument("--tests", nargs="*", default=[])
    given = parser.parse_args()
    folder = given.folder.resolve()
    sys.path.insert(0, str(folder))
    os.environ |= {"PYTHONPATH": str(folder), "OPENBLAS_NUM_THREADS": "1"}
    if given.step == "prepare":
        prepare(folder, given.tests)
    else:
        sample(folder, given.size, given.seed, given.skip)


if __name__ == "__main__":
    main()
