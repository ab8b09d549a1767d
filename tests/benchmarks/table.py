"""Print the speed of every kernel as a ratio to the plain textbook loop in the same process.

Run it by hand: python tests/benchmarks/table.py [--compiled] [part of a row's name].  With --compiled numba runs the
formulas that it can.  Add rows in a module named rows_*.py.
"""

import datetime
import importlib
import os
import sys
import time
import tracemalloc
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
sys.path.insert(0, str(Path(__file__).parent))

import numpy as np  # noqa: E402
from registry import ROWS  # noqa: E402

from lamcalc.mechanics.compiled import use_numba  # noqa: E402

for _path in sorted(Path(__file__).parent.glob("rows_*.py")):
    importlib.import_module(_path.stem)


def copy_bandwidth():
    """Bytes read and written a second when a large array is copied [GB/s]."""
    source, target, best = np.ones(8_000_000), np.empty(8_000_000), np.inf
    for _ in range(7):
        start = time.perf_counter()
        np.copyto(target, source)
        best = min(best, time.perf_counter() - start)
    return 2 * source.nbytes / best / 1e9


def measured(case, rounds=15, calls=4):
    """Least time an item of the loop, of the kernel called right after it, and of the kernel called again [s].

    Loop and kernel take turns, so that a busy machine slows both alike.  The first call after the loop finds its
    data and its memory cold; the calls after it are what a study sees that calls the kernel many times.
    """
    loop = first = again = np.inf
    for _ in range(rounds):
        loop = min(loop, _timed(case.loop) / case.loop_items)
        first = min(first, _timed(case.kernel) / case.kernel_items)
        for _ in range(calls if case.kernel_items > 1 else 50):
            again = min(again, _timed(case.kernel) / case.kernel_items)
    return loop, first, again


def _timed(function):
    start = time.perf_counter()
    function()
    return time.perf_counter() - start


def held(result):
    """Bytes of the arrays in a result."""
    if isinstance(result, np.ndarray):
        return result.nbytes
    parts = result if isinstance(result, tuple) else vars(result).values()
    return sum(p.nbytes for p in parts if isinstance(p, np.ndarray))


def temporaries(kernel):
    """Memory that a call takes beyond its result [MB]."""
    kernel()
    tracemalloc.start()
    result = kernel()
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return (peak - held(result)) / 1e6


def main(wanted="", compiled=False):
    """Print the table as markdown."""
    load = os.getloadavg()[0]
    use_numba(compiled)
    print(f"{datetime.date.today():%d %B %Y}, numpy {np.__version__}{' with numba' * compiled}, one thread unless stated, load {load:.1f}, "
          f"copy {copy_bandwidth():.0f} GB/s\n")
    print("| kernel | textbook loop [us] | kernel, first call [us] | again [us] | ratio, first call | again | goal "
          "| beyond the result [MB] |")
    print("|---|---|---|---|---|---|---|---|")
    for row in ROWS:
        if wanted in row.name:
            case = row.prepare(quick=False)
            case.check(case.kernel(), case.loop())
            loop, first, again = measured(case)
            print(f"| {row.name} | {loop * 1e6:.4g} | {first * 1e6:.3g} | {again * 1e6:.3g} | {loop / first:.0f} "
                  f"| {loop / again:.0f} | {row.goal:.0f} | {temporaries(case.kernel):.1f} |", flush=True)


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if word != "--compiled"]
    main(*words, compiled="--compiled" in sys.argv)
