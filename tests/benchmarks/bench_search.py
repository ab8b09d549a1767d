"""Ratio of the single-skin search to the textbook loop over every sequence: python tests/benchmarks/bench_search.py."""

import time

import numpy as np
import textbook

from lamcalc.materials import catalogue
from lamcalc.parts.layer_strength import schedule_strengths
from lamcalc.schedule import Ply
from lamcalc.studies.search import search_single_skin
from lamcalc.studies.search_model import OrderRules, Targets, make_palette

FABRICS = (("csm_450", 0), ("csm_1_5oz", 0), ("wr_600", 0), ("wr_18oz", 0), ("biax45_1708", 0), ("biax090_1808", 0),
           ("ud_400", 0), ("ud_400", 90))
SETS = ((1e5, 1e5, 1), (5e5, 5e5, 1), (1e6, 8e5, 2), (2e6, 1e6, 2), (2e6, 2e6, 3), (8e6, 8e6, 4), (1e6, 3e5, 9),
        (3e7, 1e6, 1))
LOAD = (300.0, 150.0, 0.0)


def loop_seconds(palette, samples=200):
    """Seconds a sequence of the textbook loop, from a random sample of sequences of 8 layers."""
    rng, s = np.random.default_rng(5), palette.stock.sublayers
    strengths = schedule_strengths(palette.stock).plies
    plies = np.stack([s.e1, s.e2, s.nu12, s.g12, s.angle_deg, strengths.xt, strengths.xc, strengths.yt, strengths.yc,
                      strengths.s], axis=1)
    start = time.perf_counter()
    for order in rng.integers(0, len(palette.layers), (samples, 8)):
        rows = [r for k in order for r in palette.index[k] if r < len(plies)]
        blocks = textbook.laminate_stiffness(plies[rows], s.thickness_mm[rows])
        textbook.first_ply(*blocks, plies[rows], s.thickness_mm[rows], [0, 0, 0, *LOAD])
    return (time.perf_counter() - start) / samples


def main():
    """Print one line for each target set."""
    shop = catalogue.load()
    resin, hand = shop.resin("iso_polyester"), shop.process("hand")
    palette = make_palette([Ply(shop.reinforcement(k), resin, hand, angle_deg=a) for k, a in FABRICS], shop.fibres)
    rules, each = OrderRules(first=("csm",), never=(("woven", "woven"),)), loop_seconds(palette)
    for x, y, margin in SETS:
        start = time.perf_counter()
        result = search_single_skin(palette, Targets(x, y, margin, LOAD), rules=rules, best=1)
        spent = time.perf_counter() - start
        print(f"{x:8.0e} {y:8.0e} {margin:3d}  {spent:6.3f} s  {each * result.sequences / spent:9.0f} times the loop  "
              f"{'found' if result.best else 'proved impossible'}")


if __name__ == "__main__":
    main()
