"""Every benchmark on a small problem: the kernel equals the textbook loop, and takes little memory.

Times are never asserted; `table.py` prints ratios.  With --benchmark-enable the kernels are timed on the full problem.
"""

import pytest
import table
from registry import ROWS

pytestmark = pytest.mark.invariant


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_kernel_equals_the_textbook_loop(row):
    case = row.prepare(quick=True)
    case.check(case.kernel(), case.loop())


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_no_call_takes_more_than_its_result_and_16_mb(row):
    assert table.temporaries(row.prepare(quick=False).kernel) < 16


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.name)
def test_speed(row, benchmark, request):
    if not request.config.getoption("--benchmark-enable"):
        pytest.skip("timed with --benchmark-enable")
    benchmark.pedantic(row.prepare(quick=False).kernel, rounds=5, warmup_rounds=1)
