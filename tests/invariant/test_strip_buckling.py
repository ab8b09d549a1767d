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


def test_a_band_lies_between_the_plate_and_a_plate_of_its_stiffness():
    plate = 1e6 * np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]])
    push = (1.0, 1.0)
    bare, stiff = (long_plate_buckling(d, 100.0, compression=push) for d in (plate, 8 * plate))
    found = [long_plate_buckling(plate, 100.0, compression=push, band=(8 * plate, wide, 0.0)) for wide in (5.0, 40.0, 80.0, 99.9, 100.0, 130.0)]
    assert bare < found[0] and np.all(np.diff(found[:5]) > 0)
    assert found[3] == pytest.approx(stiff, rel=0.01) and found[4:] == pytest.approx([stiff, stiff], rel=1e-9)
    # a band that is the plate changes nothing, and what pushes in it alone pushes like the plate where it covers all
    assert long_plate_buckling(plate, 100.0, compression=push, band=(plate, 30.0, 0.0)) == pytest.approx(bare, rel=1e-4)
    assert long_plate_buckling(plate, 100.0, compression=(0.4, 0.4), band=(plate, 100.0, 0.6)) == pytest.approx(bare, rel=1e-9)


def test_a_band_of_double_thickness_agrees_with_finite_differences():
    # f(y) cos kx on an isotropic plate, nu 0.3: energy D (f''2 - 2 nu k2 f f'' + 2 (1 - nu) k2 f'2 + k4 f2) over k2 f2 on a fine
    # even grid with f = 0 half a step outside
    nu, count = 0.3, 160
    y = (np.arange(count) + 0.5) / count
    h, d = 1 / count, np.where(np.abs(y - 0.5) <= 0.25, 8.0, 1.0)
    off = np.ones(count - 1)
    second = (np.diag(np.full(count, -2.0)) + np.diag(off, 1) + np.diag(off, -1)) / h**2
    second[0, 0] = second[-1, -1] = -3.0 / h**2
    first = (np.eye(count) - np.diag(off, -1)) / h
    slope = first.T @ (np.concatenate([[d[0]], (d[1:] + d[:-1]) / 2])[:, None] * first)
    mixed = second.T @ np.diag(d)
    least = min(np.linalg.eigvalsh(second.T @ (d[:, None] * second) - nu * k**2 * (mixed + mixed.T) + 2 * (1 - nu) * k**2 * slope
                                   + k**4 * np.diag(d))[0] / k**2 for k in np.linspace(2.0, 4.5, 26))
    iso = np.array([[1.0, nu, 0.0], [nu, 1.0, 0.0], [0.0, 0.0, (1 - nu) / 2]])
    assert long_plate_buckling(iso, 1.0, compression=(1.0, 1.0), band=(8 * iso, 0.5, 0.0)) == pytest.approx(least, rel=0.01)
