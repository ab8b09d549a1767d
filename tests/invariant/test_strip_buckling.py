"""Long plates: scaling, symmetry and limits, and the Ritz plate of finite length as a second opinion."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.mechanics.plates import Plate
from lamcalc.mechanics.strip_buckling import long_plate_buckling

pytestmark = pytest.mark.invariant
COUPLED = 1e6 * np.array([[1.0, 0.5, 0.4], [0.5, 1.0, 0.4], [0.4, 0.4, 0.6]])


@given(st.floats(0.2, 5.0), st.floats(20.0, 300.0), st.floats(0.1, 10.0), st.floats(-1.0, 1.0), st.floats(0.0, 2.0))
def test_scaling(stiff, wide, load, ratio, shear):
    plate, edges = np.array([[2.0, 0.4, 0.1], [0.4, 1.0, 0.2], [0.1, 0.2, 0.6]]), np.array([ratio, 1.0])
    one = long_plate_buckling(plate, 1.0, compression=edges, shear=shear)
    other = long_plate_buckling(stiff * plate, wide, compression=load * edges, shear=load * shear)
    assert other == pytest.approx(one * stiff / (wide**2 * load), rel=1e-9)
    # the other edge pushed, or the shear turned round: the weaker sign counts anyway
    assert long_plate_buckling(plate, 1.0, compression=edges[::-1], shear=-shear) == pytest.approx(one, rel=1e-6)
    # more push or more shear never helps
    assert long_plate_buckling(plate, 1.0, compression=edges + 0.1, shear=1.1 * shear) < one


@pytest.mark.parametrize("push, shear", [(1.0, 0.0), (1.0, 0.7), (0.0, 1.0)])
def test_a_coupled_plate_of_finite_length_buckles_at_much_the_same_load(push, shear):
    finite = min(Plate(700, 100, COUPLED, edges="SSSS", order=18).buckling([-push, 0.0, sign * shear]).values[0]
                 for sign in (1, -1))
    assert long_plate_buckling(COUPLED, 100.0, compression=(push, push), shear=shear) == pytest.approx(finite, rel=0.02)


def test_nothing_that_pushes_buckles_nothing():
    assert long_plate_buckling(COUPLED, 100.0, compression=(0.0, 0.0)) == np.inf
    assert long_plate_buckling(COUPLED, 100.0, compression=(-2.0, -1.0)) == np.inf


@pytest.mark.parametrize("change", [{"compression": (1.0,)}, {"compression": (np.nan, 1.0)}, {"shear": np.inf}, {"width_mm": 0.0},
                                    {"D": np.eye(2)}])
def test_bad_input_is_refused(change):
    given_ = {"D": COUPLED, "width_mm": 100.0, "compression": (1.0, 1.0)} | change
    with pytest.raises(InputError):
        long_plate_buckling(given_.pop("D"), given_.pop("width_mm"), **given_)
