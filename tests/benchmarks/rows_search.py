"""Benchmarks of the exact search; the loop takes a random sample of the sequences, its time is extrapolated."""

import bench_search as bench
from registry import Case, row

from lamcalc.studies.search import search_sandwich, search_single_skin
from lamcalc.studies.search_model import Targets


def _case(search, choices, targets, layers, sample):
    def kernel():
        return search(choices, targets, rules=bench.RULES, layers=layers, best=1)

    def check(result, values):
        """No sampled sequence that meets the targets is lighter than the answer; where it obeys the rules or not."""
        one = result.best[0]
        order = [choices.layers.index(layer) for layer in one.layers]
        ours = bench.textbook_loop(choices, [order], targets.loads[0])[0]
        assert abs(ours / [*one.stiffness, one.margin] - 1).max() < 1e-9
        follow = bench.RULES.tables(choices)
        for sequence, found in zip(sample, values, strict=True):
            good = follow[0][sequence[0]] and all(follow[2][a, b] for a, b in zip(sequence, sequence[1:]))
            if good and (found >= [targets.stiffness_x, targets.stiffness_y, targets.margin]).all():
                assert choices.keys[sequence, 0].sum() >= one.key[0]

    return Case(lambda: bench.textbook_loop(choices, sample, targets.loads[0]), len(sample), kernel, kernel().sequences,
                check)


@row("exact search, single skin (a sequence)", goal=10_000)
def single_skin(quick):
    sample, layers = (bench.single_sample(60, 4), (2, 4)) if quick else (bench.single_sample(60), (3, 8))
    least = 5e4 if quick else 5e5
    return _case(search_single_skin, bench.palette(), Targets(least, least, 1.0, bench.LOAD), layers, sample)


@row("exact search, sandwich (a sequence)", goal=1_000_000)
def sandwich(quick):
    cores = bench.CORES[:2] if quick else bench.CORES
    layers = 2 if quick else 4
    least = 1e6 if quick else 1e7
    return _case(search_sandwich, bench.palette(cores), Targets(least, least, 0.5, bench.CORED_LOAD), (1, layers),
                 bench.cored_sample(60, layers, cores))
