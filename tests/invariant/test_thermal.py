"""Heat and shrinkage: balance, symmetry, the two-layer strip, batch = loop."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.thermal import (
    cure_shrinkage_strain,
    curvature_from_rise,
    laminate_free_strain,
    ply_shrinkage_strains,
    residual_state,
    two_layer_curvature,
)

pytestmark = pytest.mark.invariant

GLASS = dict(fibre_e1=72400.0, fibre_nu12=0.22, resin_e=3400.0, resin_nu=0.35)


def stack(angles, t=None):
    return Laminate.from_plies(38.6e3, 8.27e3, 0.26, 4.14e3, angles, np.ones(np.shape(angles)) if t is None else t,
                               alpha1=8.6e-6, alpha2=22.1e-6)


@given(angles=st.lists(st.sampled_from([0.0, 45.0, -45.0, 90.0, 30.0]), min_size=1, max_size=5),
       delta_t=st.floats(-120.0, 120.0))
def test_residual_stresses_carry_no_load(angles, delta_t):
    wall = stack(angles)
    response = wall.response(delta_t=delta_t)
    stress = wall.ply_stresses(response, delta_t=delta_t)
    force = 0.5 * stress.sum(axis=-2)
    zm = 0.5 * (wall.z_mm[1:] + wall.z_mm[:-1])
    moment = (force * zm[:, None]).sum(axis=0) + (stress[:, 1] - stress[:, 0]).sum(axis=0) / 12.0
    assert force.sum(axis=0) == pytest.approx(0.0, abs=1e-8)
    assert moment == pytest.approx(0.0, abs=1e-8)


@given(half=st.lists(st.sampled_from([0.0, 45.0, -45.0, 90.0]), min_size=1, max_size=4))
def test_symmetric_stacks_stay_flat(half):
    assert residual_state(stack(half + half[::-1]), delta_t=-60.0).kappa == pytest.approx(0.0, abs=1e-15)


def test_alike_plies_have_no_residual_stress():
    assert residual_state(stack([30.0, 30.0, 30.0]), delta_t=-60.0).ply_stress == pytest.approx(0.0, abs=1e-9)


def test_turning_the_stack_over_turns_the_warp():
    up, down = residual_state(stack([0.0, 90.0]), delta_t=-60.0), residual_state(stack([90.0, 0.0]), delta_t=-60.0)
    assert up.kappa == pytest.approx(-down.kappa, rel=1e-10)
    assert up.rise_mm(500.0)[0] == pytest.approx(-float(down.rise_mm(500.0)[0]), rel=1e-10)


@given(e1=st.floats(1e3, 40e3), e2=st.floats(1e3, 40e3), t1=st.floats(0.3, 6.0), t2=st.floats(0.3, 6.0),
       free=st.floats(-0.01, 0.01))
def test_two_layers_without_poisson_effect_are_the_bimetal_strip(e1, e2, t1, t2, free):
    wall = Laminate.from_plies([e1, e2], 1e3, 0.0, 1e3, [0.0, 0.0], [t1, t2])
    state = residual_state(wall, free_strain=laminate_free_strain([0.0, free], 0.0, [0.0, 0.0]))
    closed = two_layer_curvature(e_1=e1, t_1_mm=t1, free_1=0.0, e_2=e2, t_2_mm=t2, free_2=free)
    assert state.kappa[0] == pytest.approx(float(closed), rel=1e-8, abs=1e-14)


def test_heat_and_shrinkage_are_the_same_thing():
    wall = stack([0.0, 90.0, 45.0])
    hot = residual_state(wall, delta_t=-50.0)
    shrunk = residual_state(wall, free_strain=laminate_free_strain(-50 * 8.6e-6, -50 * 22.1e-6, wall.angle_deg))
    assert hot.kappa == pytest.approx(shrunk.kappa, rel=1e-10)
    assert hot.ply_stress == pytest.approx(shrunk.ply_stress, rel=1e-9, abs=1e-10)


@given(volume=st.floats(0.0, 0.12), share=st.floats(0.0, 1.0))
def test_shrinkage_closes_the_volume(volume, share):
    strain = float(cure_shrinkage_strain(volume, share_after_gel=share))
    assert (1 + strain) ** 3 == pytest.approx(1 - volume * share, rel=1e-12)
    assert strain == pytest.approx(-volume * share / 3, abs=volume**2 + 1e-18)


def test_fibres_hold_the_shrinkage_back():
    resin = -0.007
    along, across = ply_shrinkage_strains(["ud", "ud", "csm"], [0.5, 0.05, 0.18], resin, **GLASS)
    assert resin < along[0] < 0
    assert across[0] < along[0]
    assert abs(along[1]) > abs(along[0])
    assert along[2] == pytest.approx(across[2], rel=1e-12)


def test_straight_edge_round_trip():
    radius, length = 900.0, 400.0
    rise = radius - np.sqrt(radius**2 - 0.25 * length**2)
    assert curvature_from_rise(rise, length) == pytest.approx(1 / radius, rel=1e-12)


def test_small_rise_is_that_of_the_circle():
    state, length = residual_state(stack([0.0, 90.0]), delta_t=-60.0), 20.0
    assert curvature_from_rise(state.rise_mm(length), length) == pytest.approx(state.kappa[:2], rel=1e-4)


def test_batch_equals_loop():
    angles, delta = np.array([[0.0, 90.0], [30.0, -30.0], [45.0, 0.0]]), np.array([-60.0, -40.0, 10.0])
    many = residual_state(stack(angles), delta_t=delta)
    for k in range(3):
        one = residual_state(stack(angles[k]), delta_t=delta[k])
        assert many.kappa[k] == pytest.approx(one.kappa, rel=1e-10, abs=1e-16)
        assert many.ply_stress[k] == pytest.approx(one.ply_stress, rel=1e-9, abs=1e-10)
        assert many.rise_mm(300.0)[k] == pytest.approx(one.rise_mm(300.0), rel=1e-10, abs=1e-12)
