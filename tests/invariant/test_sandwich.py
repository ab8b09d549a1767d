"""Sandwich strips and plates: limits, symmetry, independent series, batch = loop."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plywood import Veneer, plywood_panel
from lamcalc.mechanics.sandwich import Sandwich, sandwich_gain
from lamcalc.mechanics.sandwich_failure import WRINKLING_COEFFICIENTS, crimping_load, local_crush, wrinkling_stress
from lamcalc.mechanics.sandwich_plate import sandwich_plate
from lamcalc.mechanics.sections import Section
from lamcalc.mechanics.transverse_shear import shear_stiffness

pytestmark = pytest.mark.invariant

D = np.array([[4e6, 8e5, 0.0], [8e5, 2e6, 0.0], [0.0, 0.0, 9e5]])
thickness = st.floats(0.5, 8.0)
modulus = st.floats(5e3, 40e3)


@given(t1=thickness, t2=thickness, core=st.floats(5.0, 60.0), e1=modulus, e2=modulus, ec=st.floats(0.0, 9e3))
def test_unequal_skins(t1, t2, core, e1, e2, ec):
    wall = Sandwich(t1, core, t2, e1, ec, e2, 40.0, width_mm=50.0)
    assert wall.ei_share.sum() == pytest.approx(1.0, rel=1e-9)
    assert wall.ei >= wall.ei_thin_skins * (1 - 1e-12)
    turned = Sandwich(t2, core, t1, e2, ec, e1, 40.0, width_mm=50.0)
    assert turned.ei == pytest.approx(float(wall.ei), rel=1e-9)
    assert turned.layer_stresses(1e5)[::-1, ::-1] == pytest.approx(-wall.layer_stresses(1e5), rel=1e-7, abs=1e-7)
    assert turned.core_shear_stress(900.0) == pytest.approx(float(wall.core_shear_stress(900.0)), rel=1e-8)


def test_thin_skins_and_soft_core_reach_the_simple_formulas():
    wall = Sandwich(0.01, 30.0, 0.02, 15e3, 0.0, 9e3, 20.0)
    assert wall.ei == pytest.approx(float(wall.ei_thin_skins), rel=1e-5)
    assert wall.core_shear_stress(30.0) == pytest.approx(float(wall.mean_core_shear_stress(30.0)), rel=1e-3)
    # what remains is of the order of (skin / distance)^2 = 4e-7
    assert wall.layer_stresses(500.0)[[0, 2]].mean(axis=-1) == pytest.approx(wall.thin_skin_stresses(500.0), rel=1e-6)


def test_core_like_the_skins_is_a_solid_sheet():
    sheet = Sandwich(3.0, 4.0, 3.0, 9e3, 9e3, 9e3, 800.0)
    assert sheet.ei == pytest.approx(9e3 * 10.0**3 / 12, rel=1e-12)
    assert sheet.core_shear_stress(20.0) == pytest.approx(1.5 * 20.0 / 10.0, rel=1e-12)


@given(ratio=st.floats(1.01, 12.0), t=st.floats(1.0, 10.0))
def test_gain_is_what_the_section_gives(ratio, t):
    wall = Sandwich(t / 2, (ratio - 1) * t, t / 2, 9e3, 0.0, 9e3, 20.0)
    solid = Section.from_layers([9e3], [t])
    gain = sandwich_gain(ratio)
    assert wall.ei / solid.ei == pytest.approx(float(gain.stiffness), rel=1e-8)
    assert wall.section.section_modulus_mm3.min() / solid.section_modulus_mm3.min() == pytest.approx(
        float(gain.strength), rel=1e-8)


def test_no_core_no_gain():
    assert (float(sandwich_gain(1.0).stiffness), float(sandwich_gain(1.0).strength)) == (1.0, 1.0)


def test_core_shear_stiffness_against_equilibrium():
    """d^2/c is a lower estimate once the skins have thickness, and within a few per cent for a foam core."""
    wall = Sandwich(3.0, 30.0, 3.0, 15e3, 60.0, 15e3, 20.0)
    q = np.array([15e3, 60.0, 15e3])[:, None, None] * np.eye(3)
    exact = shear_stiffness(q, [3.0, 30.0, 3.0], [3e3, 20.0, 3e3], axis="x")
    assert wall.ga == pytest.approx(float(exact), rel=0.02)


@given(scale=st.floats(0.1, 10.0))
def test_wrinkling_scales_with_the_moduli(scale):
    assert wrinkling_stress(scale * 9e3, scale * 80.0, scale * 25.0) == pytest.approx(
        scale * float(wrinkling_stress(9e3, 80.0, 25.0)), rel=1e-12)


def test_wrinkling_coefficients_by_name_and_number():
    for name, entry in WRINKLING_COEFFICIENTS.items():
        assert wrinkling_stress(9e3, 80.0, 25.0, coefficient=name) == wrinkling_stress(
            9e3, 80.0, 25.0, coefficient=entry.value)


def test_spread_only_lowers_the_pressure():
    size = dict(plate_length_mm=60.0, plate_width_mm=60.0, crush_strength=7.0)
    plain, spread = local_crush(9e3, **size), local_crush(9e3, **size, skin_mm=5.0, spread=1.0)
    assert spread.area_mm2 == pytest.approx(70.0**2)
    assert spread.strength_ratio > plain.strength_ratio
    assert local_crush(0.0, **size).strength_ratio == np.inf
    holed = local_crush([1e3, 9e3], **size, hole_diameter_mm=12.0)
    assert holed.area_mm2 == pytest.approx(3600.0 - 36.0 * np.pi)
    assert holed.pressure_mpa[1] == pytest.approx(float(local_crush(9e3, **size, hole_diameter_mm=12.0).pressure_mpa))


def test_crimping_is_the_shear_stiffness():
    wall = Sandwich(2.0, 20.0, 3.0, 9e3, 0.0, 9e3, 25.0)
    assert crimping_load(25.0, 20.0, 2.0, 3.0) == pytest.approx(float(wall.ga), rel=1e-12)


@pytest.mark.parametrize("ratio", [0.7, 1.0, 1.5, 3.0])
def test_plate_edge_shear_against_a_single_series(ratio):
    """Isotropic plate, no core shear: Q_y at the middle of the edge y = 0 as a single tanh series."""
    stiff = np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]])
    plate = sandwich_plate(stiff, np.inf, np.inf, a_mm=1.0, b_mm=ratio, pressure_mpa=1.0, terms=200)
    m = np.arange(1, 20001, 2)
    exact = (4 / (np.pi * m) ** 2 * np.tanh(0.5 * np.pi * m * ratio) * np.sin(0.5 * np.pi * m)).sum()
    assert plate.shear_y == pytest.approx(exact, rel=1e-4)


def test_sine_load_splits_into_bending_and_shear_when_isotropic():
    stiff, s, a, b = 1e6 * np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]]), 300.0, 400.0, 700.0
    plate = sandwich_plate(stiff, s, s, a_mm=a, b_mm=b, pressure_mpa=0.02, load="sine")
    waves = (np.pi / a) ** 2 + (np.pi / b) ** 2
    assert plate.bending_mm == pytest.approx(0.02 / (1e6 * waves**2), rel=1e-12)
    assert plate.shearing_mm == pytest.approx(0.02 / (s * waves), rel=1e-9)


def test_long_plate_is_a_strip():
    a, q, s = 400.0, 0.01, 300.0
    plate = sandwich_plate(D, s, s, a_mm=a, b_mm=20 * a, pressure_mpa=q, terms=300)
    assert plate.deflection_mm == pytest.approx(5 * q * a**4 / (384 * D[0, 0]) + q * a**2 / (8 * s), rel=1e-5)
    assert plate.moment[0] == pytest.approx(q * a**2 / 8, rel=1e-4)
    assert plate.shear_x == pytest.approx(0.5 * q * a, rel=2e-3)


def test_stiff_core_is_a_plate_without_shear():
    stiff, none = (sandwich_plate(D, s, s, a_mm=400.0, b_mm=600.0, pressure_mpa=0.01) for s in (1e12, np.inf))
    assert stiff.deflection_mm == pytest.approx(float(stiff.bending_mm), rel=1e-6)
    assert none.shearing_mm == 0.0
    assert stiff.moment == pytest.approx(none.moment, rel=1e-6)


def test_swapping_the_sides_swaps_the_answer():
    swapped = D[[1, 0, 2]][:, [1, 0, 2]]
    one = sandwich_plate(D, 300.0, 150.0, a_mm=400.0, b_mm=600.0, pressure_mpa=0.01)
    two = sandwich_plate(swapped, 150.0, 300.0, a_mm=600.0, b_mm=400.0, pressure_mpa=0.01)
    assert one.deflection_mm == pytest.approx(float(two.deflection_mm), rel=1e-12)
    assert one.moment == pytest.approx(two.moment[[1, 0, 2]], rel=1e-10)
    assert one.shear_x == pytest.approx(float(two.shear_y), rel=1e-12)


def test_plate_batch_equals_loop():
    a, s, scale = np.array([300.0, 400.0, 500.0]), np.array([50.0, 300.0, np.inf]), np.array([1.0, 2.0, 0.5])
    many = sandwich_plate(D * scale[:, None, None], s, 2 * s, a_mm=a, b_mm=600.0, pressure_mpa=0.01, terms=20)
    for k in range(3):
        one = sandwich_plate(D * scale[k], s[k], 2 * s[k], a_mm=a[k], b_mm=600.0, pressure_mpa=0.01, terms=20)
        for name in ("deflection_mm", "bending_mm", "kappa", "moment", "shear_x", "shear_y"):
            assert getattr(many, name)[k] == pytest.approx(getattr(one, name), rel=1e-12)


@given(plies=st.sampled_from([3, 5, 7, 9, 11, 13]), thick=st.floats(3.0, 30.0))
def test_plywood_moduli_do_not_depend_on_thickness_and_match_laminate_theory(plies, thick):
    veneer = Veneer(9630.0, 525.0, 750.0, 810.0, 185.0, 0.472)
    panel = plywood_panel(veneer, plies=plies, thickness_mm=thick)
    assert panel.e_bending_along == pytest.approx(
        plywood_panel(veneer, plies=plies, thickness_mm=10.0).e_bending_along, rel=1e-9)
    wall = Laminate.from_plies(9630.0, 525.0, 0.0, 750.0, panel.angle_deg, panel.thickness_mm)
    assert panel.e_bending_along == pytest.approx(float(wall.flexural.ex), rel=1e-9)
    assert panel.e_bending_across == pytest.approx(float(wall.flexural.ey), rel=1e-9)
    assert panel.e_membrane_across == pytest.approx(float(wall.in_plane.ey), rel=1e-9)
    assert 185.0 < panel.g_across < panel.g_along < 810.0
