"""Times of the exact search on eight target sets, easy to impossible: python tests/benchmarks/bench_search.py.

Each line: seconds by the clock and of the processor (a busy machine sets them apart), sequences of the problem, and
the ratio by the clock to the textbook loop over all of them.  The loop would take hours to days, so that its time is
EXTRAPOLATED from a random sample of sequences.
"""

import os
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np
import textbook

from lamcalc.materials import catalogue
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.schedule import CoreLayer, Ply
from lamcalc.studies.search import search_sandwich, search_single_skin
from lamcalc.studies.search_model import OrderRules, Targets, make_palette

FABRICS = (("csm_450", 0), ("csm_1_5oz", 0), ("wr_600", 0), ("wr_18oz", 0), ("biax45_1708", 0), ("biax090_1808", 0),
           ("ud_400", 0), ("ud_400", 90))
SETS = ((1e5, 1e5, 1), (5e5, 5e5, 1), (1e6, 8e5, 2), (2e6, 1e6, 2), (2e6, 2e6, 3), (8e6, 8e6, 4), (1e6, 3e5, 9),
        (3e7, 1e6, 1))
LOAD = (300.0, 150.0, 0.0)
CORES = tuple(6.0 + 2.0 * k for k in range(18))
# the last is the hard one: nothing holds, and the largest ratio within the stiffness asked is to be found
CORED_SETS = ((1e6, 1e6, 1), (1e7, 1e7, 1), (3e7, 2e7, 2), (6e7, 4e7, 3), (9e7, 9e7, 4), (3e8, 3e8, 2), (2e9, 1e7, 1),
              (1e7, 1e7, 20))
CORED_LOAD = (1500.0, 750.0, 0.0)
RULES = OrderRules(first=("csm",), never=(("woven", "woven"),))


def palette(cores=()):
    """Eight fabrics, and cores of the thickness given."""
    shop = catalogue.load()
    resin, hand = shop.resin("iso_polyester"), shop.process("hand")
    plies = [Ply(shop.reinforcement(k), resin, hand, angle_deg=a) for k, a in FABRICS]
    return make_palette(plies + [CoreLayer(shop.core("pu_board_416"), t) for t in cores], shop.fibres)


def textbook_loop(choices, sample, load):
    """1/d11, 1/d22 and first-ply ratio of each sequence of a sample, ply by ply, shape (sample, 3)."""
    s, strengths = choices.stock.sublayers, schedule_strengths(choices.stock).plies
    # a core without limits of its own never fails: strengths beyond reach
    limits = [np.where(np.isfinite(x), x, 1e12)
              for x in (strengths.xt, strengths.xc, strengths.yt, strengths.yc, strengths.s)]
    plies = np.stack([s.e1, s.e2, s.nu12, s.g12, s.angle_deg, *limits], axis=1)
    values = []
    for order in sample:
        rows = [r for k in order for r in choices.index[k] if r < len(plies)]
        a, b, d = textbook.laminate_stiffness(plies[rows], s.thickness_mm[rows])
        inverse = np.linalg.inv(np.block([[a, b], [b, d]]))
        ratio, _ = textbook.first_ply(a, b, d, plies[rows], s.thickness_mm[rows], [0, 0, 0, *load])
        values.append((1 / inverse[3, 3], 1 / inverse[4, 4], ratio))
    return np.array(values)


def single_sample(count, layers=8, seed=5):
    """Random sequences of one skin."""
    return np.random.default_rng(seed).integers(0, len(FABRICS), (count, layers))


def cored_sample(count, layers=4, cores=CORES, seed=5):
    """Random sequences of two skins on a core."""
    order = np.random.default_rng(seed).integers(0, len(FABRICS), (count, 2 * layers + 1))
    order[:, layers] = len(FABRICS) + np.arange(count) % len(cores)
    return order


def main(samples=200):
    """Print one line for each target set, single skin and sandwich."""
    print("ratio: textbook loop EXTRAPOLATED from a sample, over the time of the search\n")
    print("| search | 1/d11 | 1/d22 | ratio asked | sequences | clock [s] | processor [s] | textbook loop / search "
          "| answer |")
    print("|---|---|---|---|---|---|---|---|---|")
    jobs = (("single skin", search_single_skin, palette(), SETS, LOAD, single_sample(samples), (3, 8)),
            ("sandwich", search_sandwich, palette(CORES), CORED_SETS, CORED_LOAD, cored_sample(samples), (1, 4)))
    for name, search, choices, sets, load, sample, layers in jobs:
        start = time.perf_counter()
        textbook_loop(choices, sample, load)
        each = (time.perf_counter() - start) / samples
        for x, y, margin in sets:
            start, begun = time.perf_counter(), time.process_time()
            result = search(choices, Targets(x, y, margin, load), rules=RULES, layers=layers, best=1)
            spent, busy = time.perf_counter() - start, time.process_time() - begun
            print(f"| {name} | {x:.0e} | {y:.0e} | {margin} | {result.sequences:,} | {spent:.3f} | {busy:.3f} "
                  f"| {each * result.sequences / spent:,.0f} | {'found' if result.best else 'proved impossible'} |",
                  flush=True)


if __name__ == "__main__":
    main()
