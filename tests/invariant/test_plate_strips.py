"""A plate that is split at a patch is solved strip by strip; the whole system at once must give the same."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.plates import Patch, Plate

pytestmark = pytest.mark.invariant

BENDING = 1e6 * np.array([[1.0, 0.28, 0.06], [0.28, 0.7, 0.04], [0.06, 0.04, 0.33]])
SHEAR = np.array([[900.0, 60.0], [60.0, 700.0]])


PLACE = st.just(0.0) | st.floats(1e-3, 1.0)


@given(st.sampled_from(["SSSS", "CCCC", "SSSF", "CFSF", "SCFC"]), st.booleans(), st.floats(0.05, 0.4), PLACE, PLACE)
def test_strips_give_the_solution_of_the_whole_system(edges, sheared, width, across, along):
    plate = Plate(600.0, 400.0, BENDING, edges=edges, shear=SHEAR if sheared else None)
    sides = 600.0 * width, 400.0 * width
    x, y = (half / 2 + share * (side - half) for half, share, side in zip(sides, (across, along), (600.0, 400.0)))
    (part,) = plate.solve(patches=[Patch(100.0, x, y, *sides)]).parts
    whole = np.zeros((part.tables.count, part.tables.count))
    for block in part.tables.blocks:
        whole[np.ix_(block.members, block.members)] = block.matrix(plate._factors)
    for kept, found in ((np.ones(len(whole), bool), part.full), (part.tables.lower, part.lower)):
        some, scale = whole[np.ix_(kept, kept)], 1 / np.sqrt(np.diag(whole)[kept])
        exact = np.zeros(len(whole))
        some = some * scale * scale[:, None]
        exact[kept] = scale * np.linalg.solve(some, scale * part.load[kept])
        # a strip of next to no width costs both roads digits, as many as the condition number says
        room = 1e-12 + 1e-15 * np.linalg.cond(some)
        assert part.load @ found == pytest.approx(part.load @ exact, rel=room)
        gap = found - exact
        assert gap @ whole @ gap <= room**2 * (exact @ whole @ exact)


def test_strips_hold_every_function_once():
    (part,) = Plate(600.0, 400.0, BENDING, edges="SSSF", shear=SHEAR).solve(
        patches=[Patch(100.0, 200.0, 150.0, 60.0, 60.0)]).parts
    assert sorted(np.concatenate(part.tables.places)) == list(range(part.tables.count))
    within, across = part.tables.by_strips(np.ones(9))
    assert len(within) == 4 and len(across) == 3
    assert np.abs(within[0] - within[0].T).max() <= 1e-12 * np.abs(within[0]).max()
