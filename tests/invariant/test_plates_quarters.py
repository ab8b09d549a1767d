"""Plates without bend-twist coupling are solved in quarters: the same answer as with a vanishing coupling."""

import numpy as np
import pytest

from lamcalc.mechanics.plate_batch import panel_response
from lamcalc.mechanics.plates import Patch, Plate

pytestmark = pytest.mark.invariant
D = 1e6 * np.array([[2.0, 0.6, 0.0], [0.6, 1.2, 0.0], [0.0, 0.0, 0.7]])
SKEW = 1e6 * np.array([[0.0, 0.0, 1e-13], [0.0, 0.0, 1e-13], [1e-13, 1e-13, 0.0]])
SHEAR = np.diag([250.0, 180.0])


@pytest.mark.parametrize("edges", ["SSSS", "CCCC", "CCSS", "FFCC", "CSFC", "CCSF"])
@pytest.mark.parametrize("shear", [None, SHEAR])
def test_quarters_equal_halves(edges, shear):
    quarters, halves = (Plate(500, 300, d, edges=edges, shear=shear, order=8) for d in (D, D + SKEW))
    x, y = np.array([120.0, 250.0, 410.0]), np.array([60.0, 150.0, 270.0])
    for load in ({"pressure": 0.01}, {"pressure": 0.01, "patches": [Patch(500.0, 200, 120, 60, 40)]}):
        ours, theirs = (plate.solve(**load) for plate in (quarters, halves))
        for name in ("deflection", "moments", "shear_forces"):
            one, other = (getattr(s, name)(x, y) for s in (ours, theirs))
            assert np.abs(one - other).max() <= 1e-9 * np.abs(other).max()
        assert ours.max_deflection == pytest.approx(theirs.max_deflection, rel=1e-9)
        # the same moment on opposite sides: only the size is the same
        assert np.abs(ours.max_moments) == pytest.approx(np.abs(theirs.max_moments), rel=1e-7)
        assert ours.error.deflection == pytest.approx(theirs.error.deflection, rel=1e-4, abs=1e-9)


@pytest.mark.parametrize("edges", ["SSSS", "CCFF"])
def test_modes_do_not_depend_on_it(edges):
    quarters, halves = (Plate(500, 300, d, edges=edges) for d in (D, D + SKEW))
    for forces in ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (-1.0, -0.3, 0.7)):
        ours, theirs = (plate.buckling(forces, count=2).values for plate in (quarters, halves))
        assert ours == pytest.approx(theirs, rel=1e-8)
    assert quarters.frequencies(8.0, 3).values == pytest.approx(halves.frequencies(8.0, 3).values, rel=1e-8)


def test_a_batch_may_mix_both():
    many = panel_response([500.0, 500.0], 300.0, np.stack([D, D + 1e12 * SKEW]), 0.01, edges="SSSS", order=8)
    for k, d in enumerate((D, D + 1e12 * SKEW)):
        one = Plate(500, 300, d, edges="SSSS", order=8).solve(pressure=0.01)
        assert many.deflection[k] == pytest.approx(one.max_deflection, rel=1e-5)
