"""Transverse shear: limits, balance of forces, symmetry, two independent routes."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.sandwich import core_shear_stiffness
from lamcalc.mechanics.sections import Section
from lamcalc.mechanics.transverse_shear import (
    rotated_shear_modulus,
    shear_factor,
    shear_stiffness,
    shear_stress_at,
    shear_stress_profile,
)

pytestmark = pytest.mark.invariant

STRIPS = ["wide", "narrow"]
layers = st.lists(st.tuples(st.floats(0.2, 5.0), st.sampled_from([0.0, 30.0, -45.0, 90.0]), st.floats(50.0, 5000.0)),
                  min_size=1, max_size=6)


def wall(stack):
    t, angle, g = np.array(stack).T
    q = rotated_stiffness(reduced_stiffness(38.6e3, 8.27e3, 0.26, 4.14e3), angle)
    return q, t, g


@pytest.mark.parametrize("strip", STRIPS)
@pytest.mark.parametrize("axis", ["x", "y"])
def test_solid_sheet_has_five_sixths(axis, strip):
    q = reduced_stiffness(10e3, 10e3, 0.3, 3.8e3)
    assert shear_stiffness(q[None], [7.0], [900.0], axis=axis, strip=strip) == pytest.approx(5 / 6 * 900 * 7, rel=1e-12)
    profile = shear_stress_profile(q[None], [7.0], 70.0, axis=axis, strip=strip)
    assert profile.ply_max_mpa == pytest.approx([15.0], rel=1e-12)
    assert profile.ply_max_z_mm == pytest.approx([0.0], abs=1e-12)


@pytest.mark.parametrize("t1, t2", [(0.01, 0.01), (0.01, 0.03)])
def test_thin_skins_on_a_soft_core(t1, t2):
    q = np.stack([10e3 * np.eye(3), 1e-7 * np.eye(3), 10e3 * np.eye(3)])
    ours = shear_stiffness(q, [t1, 30.0, t2], [4e3, 20.0, 4e3], axis="x")
    assert ours == pytest.approx(core_shear_stiffness(20.0, 30.0, t1, t2), rel=2e-6)


@pytest.mark.parametrize("strip", STRIPS)
@given(stack=layers)
def test_stress_adds_up_to_the_force_and_leaves_both_faces_free(strip, stack):
    q, t, _ = wall(stack)
    half = 0.5 * t.sum()
    edges = np.concatenate([[-half], -half + np.cumsum(t)])
    points, weights = np.polynomial.legendre.leggauss(3)
    z = edges[:-1, None] + 0.5 * (1 + points) * t[:, None]
    tau = shear_stress_at(q, t, 7.0, z.ravel(), axis="x", strip=strip).reshape(z.shape)
    assert (tau @ (0.5 * weights) * t).sum() == pytest.approx(7.0, rel=1e-8)
    assert shear_stress_at(q, t, 7.0, [half], axis="x", strip=strip)[0] == pytest.approx(0.0, abs=1e-8)


@given(stack=layers)
def test_profile_agrees_with_single_heights(stack):
    q, t, _ = wall(stack)
    found = shear_stress_profile(q, t, 3.0, axis="y")
    assert found.interface_mpa == pytest.approx(shear_stress_at(q, t, 3.0, found.z_mm, axis="y"), abs=1e-9)
    assert found.ply_max_mpa == pytest.approx(shear_stress_at(q, t, 3.0, found.ply_max_z_mm, axis="y"), abs=1e-9)
    fine = np.linspace(found.z_mm[0], found.z_mm[-1], 201)
    assert np.abs(shear_stress_at(q, t, 3.0, fine, axis="y")).max() <= np.abs(found.ply_max_mpa).max() + 1e-9


@pytest.mark.parametrize("strip", STRIPS)
@given(stack=layers, cut=st.floats(0.1, 0.9))
def test_splitting_a_layer_changes_nothing(strip, stack, cut):
    q, t, g = wall(stack)
    before = shear_stiffness(q, t, g, axis="x", strip=strip)
    split = np.concatenate([[cut * t[0], (1 - cut) * t[0]], t[1:]])
    after = shear_stiffness(np.concatenate([q[:1], q]), split, np.concatenate([g[:1], g]), axis="x", strip=strip)
    assert after == pytest.approx(before, rel=1e-9)


@given(stack=layers)
def test_turning_the_stack_over_mirrors_the_stress(stack):
    q, t, g = wall(stack)
    assert shear_stiffness(q[::-1], t[::-1], g[::-1], axis="x") == pytest.approx(shear_stiffness(q, t, g, axis="x"))
    up, down = (shear_stress_profile(q[::k], t[::k], 5.0, axis="x") for k in (1, -1))
    assert down.interface_mpa[::-1] == pytest.approx(up.interface_mpa, abs=1e-9)
    assert down.first_moment_n[::-1] == pytest.approx(up.first_moment_n, abs=1e-5)


@given(stack=layers)
def test_same_as_the_beam_section_of_unit_width(stack):
    """Two programs for one quantity: the layered wall and the stack of rectangles."""
    q, t, g = wall(stack)
    strip = Section.from_layers(q[:, 0, 0], t, g_mpa=g)
    assert shear_stiffness(q, t, g, axis="x") == pytest.approx(float(strip.shear_stiffness), rel=1e-9)
    found = shear_stress_profile(q, t, 4.0, axis="x")
    for k in range(len(t)):
        assert found.first_moment_n[k] == pytest.approx(strip.first_moment(strip.fibres_mm[k, 0]), rel=1e-7, abs=1e-4)


@given(stack=layers)
def test_bending_in_y_is_bending_in_x_of_the_turned_stack(stack):
    q, t, g = wall(stack)
    turned = rotated_stiffness(q, 90.0)
    for strip in STRIPS:
        assert shear_stiffness(q, t, g, axis="y", strip=strip) == pytest.approx(
            shear_stiffness(turned, t, g, axis="x", strip=strip), rel=1e-9)


@pytest.mark.parametrize("strip", STRIPS)
def test_batch_equals_loop(strip):
    rng = np.random.default_rng(3)
    q = rotated_stiffness(reduced_stiffness(38.6e3, 8.27e3, 0.26, 4.14e3), rng.uniform(-80, 80, (4, 3, 5)))
    t, g, force = rng.uniform(0.2, 3.0, (4, 3, 5)), rng.uniform(20, 4000, (4, 3, 5)), rng.uniform(1, 9, (4, 3))
    whole = shear_stress_profile(q, t, force, axis="x", strip=strip)
    stiff = shear_stiffness(q, t, g, axis="x", strip=strip)
    for i in np.ndindex(4, 3):
        one = shear_stress_profile(q[i], t[i], force[i], axis="x", strip=strip)
        assert whole.ply_max_mpa[i] == pytest.approx(one.ply_max_mpa, rel=1e-12)
        assert whole.interface_mpa[i] == pytest.approx(one.interface_mpa, rel=1e-11, abs=1e-13)
        assert stiff[i] == pytest.approx(shear_stiffness(q[i], t[i], g[i], axis="x", strip=strip), rel=1e-12)


@given(stack=layers)
def test_factor_never_exceeds_one(stack):
    q, t, g = wall(stack)
    assert 0 < shear_factor(q, t, g, axis="x") <= 1.0


def test_no_sideways_coupling_makes_wide_and_narrow_equal():
    q = np.stack([np.diag([10e3, 2e3, 1e3]), np.diag([1e3, 3e3, 1e3])])
    wide, narrow = (shear_stiffness(q, [2.0, 3.0], [500.0, 80.0], axis="x", strip=s) for s in STRIPS)
    assert wide == pytest.approx(narrow, rel=1e-12)


def test_rotated_modulus_turns_with_the_axis():
    assert rotated_shear_modulus(3e3, 2e3, 20.0, axis="x") == pytest.approx(
        rotated_shear_modulus(3e3, 2e3, 110.0, axis="y"), rel=1e-12)
