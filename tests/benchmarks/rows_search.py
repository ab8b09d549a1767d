"""Benchmarks of the exact search; the loop takes a random sample of the sequences, its time is extrapolated."""

from itertools import pairwise

import bench_search as bench
import numpy as np
from registry import Case, row

from lamcalc.schedule import CoreLayer
from lamcalc.studies.search import search_sandwich, search_single_skin
from lamcalc.studies.search_model import Targets


def _case(search, choices, targets, layers, sample):
    def kernel():
        return search(choices, targets, rules=bench.RULES, layers=layers, best=1)

    def check(result, values):
        """The values are the textbook's, and no sampled sequence that meets targets and rules is lighter."""
        one = result.best[0]
        order = [choices.layers.index(layer) for layer in one.layers]
        ours = bench.textbook_loop(choices, [order], targets.loads[0])[0]
        assert abs(ours / [*one.stiffness, one.margin] - 1).max() < 1e-9
        first, _, follow = bench.RULES.tables(choices)
        core = np.array([isinstance(layer, CoreLayer) for layer in choices.layers])
        for sequence, found in zip(sample, values, strict=True):
            # the rule for the first layer counts on the core too
            good = first[sequence[0]] and all(follow[a, b] and (first[b] or not core[a]) for a, b in pairwise(sequence))
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
