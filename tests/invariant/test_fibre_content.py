"""Round trips, limits and order of bounds of fibre content, micromechanics and rule-book lines."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics import bars, fibre_content
from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.micromechanics import (
    KINDS,
    chamis,
    halpin_tsai,
    ply_constants_micromechanics,
    ply_constants_small_craft,
    rule_of_mixtures,
    schapery_expansion,
    series_bound,
    shear_modulus,
)

pytestmark = pytest.mark.invariant
GLASS = {"fibre_e1": 72.4e3, "fibre_nu12": 0.22, "resin_e": 3.4e3, "resin_nu": 0.35}
CARBON = {"fibre_e1": 230e3, "fibre_nu12": 0.2, "fibre_e2": 15e3, "fibre_g12": 24e3, "resin_e": 3.4e3, "resin_nu": 0.35}

fractions = st.floats(0.02, 0.98)
densities = st.floats(800.0, 3000.0)
weights = st.floats(20.0, 3000.0)
voids = st.floats(0.0, 0.2)
moduli = st.floats(1e3, 4e5)


@given(fractions, densities, densities, voids)
def test_weight_and_volume_fraction_round_trip(psi, rho_f, rho_r, void):
    given_both = {"fibre_density_kg_m3": rho_f, "resin_density_kg_m3": rho_r, "void_fraction": void}
    phi = fibre_content.fibre_volume_fraction(psi, **given_both)
    assert fibre_content.fibre_weight_fraction(phi, **given_both) == pytest.approx(psi, rel=1e-10)


@given(weights, fractions, densities, densities, voids)
def test_thickness_round_trip_and_mass(weight, psi, rho_f, rho_r, void):
    given_both = {"fibre_density_kg_m3": rho_f, "resin_density_kg_m3": rho_r, "void_fraction": void}
    thickness = fibre_content.ply_thickness(weight, psi, **given_both)
    back = fibre_content.weight_fraction_from_thickness(weight, thickness, **given_both)
    assert back == pytest.approx(psi, rel=1e-9)
    # thickness times density is the mass of glass and resin
    mass = thickness * fibre_content.laminate_density(psi, **given_both)
    assert mass == pytest.approx(weight + fibre_content.resin_areal_weight(weight, psi), rel=1e-12)
    # and the fibre volume fraction times thickness is the solid fibre
    phi = fibre_content.fibre_volume_fraction(psi, **given_both)
    assert phi * thickness == pytest.approx(weight / rho_f, rel=1e-12)


@given(st.lists(st.tuples(weights, fractions), min_size=1, max_size=8))
def test_stack_fraction_is_between_and_equals_resin_sum(plies):
    weight, psi = np.array(plies).T
    stack = fibre_content.combined_weight_fraction(weight, psi)
    assert psi.min() - 1e-12 <= stack <= psi.max() + 1e-12
    resin = fibre_content.resin_areal_weight(weight, psi).sum()
    assert stack == pytest.approx(weight.sum() / (weight.sum() + resin), rel=1e-12)
    assert fibre_content.combined_weight_fraction(weight, psi[0]) == pytest.approx(psi[0], rel=1e-12)


@given(st.lists(st.tuples(st.floats(0.01, 10.0), densities), min_size=1, max_size=6))
def test_mixtures_round_trip(parts):
    masses, density = np.array(parts).T
    mix = fibre_content.mixture_from_masses(masses, density)
    back = fibre_content.mixture_from_volumes(mix.volume_fractions, density)
    assert back.density == pytest.approx(mix.density, rel=1e-12)
    assert back.weight_fractions == pytest.approx(masses / masses.sum(), rel=1e-12)


@given(fractions, densities, densities, st.floats(0.0, 0.1))
def test_burn_off_finds_what_the_laminate_was_made_of(psi, rho_f, rho_r, void):
    given_both = {"fibre_density_kg_m3": rho_f, "resin_density_kg_m3": rho_r}
    density = fibre_content.laminate_density(psi, **given_both, void_fraction=void)
    test = fibre_content.burn_off(5.0, 5.0 * psi, **given_both, measured_density_kg_m3=density)
    assert test.void_fraction == pytest.approx(void, abs=1e-12)
    total = test.fibre_volume_fraction + test.resin_volume_fraction + test.void_fraction
    assert total == pytest.approx(1.0, rel=1e-12)
    phi = fibre_content.fibre_volume_fraction(psi, **given_both, void_fraction=void)
    assert test.fibre_volume_fraction == pytest.approx(phi, rel=1e-12)


def test_filler_leaves_less_fibre():
    plain = fibre_content.burn_off_weight_fraction(5.0, 1.75)
    filled = fibre_content.burn_off_weight_fraction(5.0, 1.75, filler_per_resin=0.1)
    assert filled == pytest.approx(plain - 0.1 * 3.25 / 5.0)


@given(moduli, moduli, fractions, st.floats(0.0, 1e3))
def test_halpin_tsai_stays_between_the_bounds(fibre, resin, phi, xi):
    low, high = series_bound(fibre, resin, phi), rule_of_mixtures(fibre, resin, phi)
    assert low * (1 - 1e-9) <= halpin_tsai(fibre, resin, phi, xi) <= high * (1 + 1e-9)
    assert halpin_tsai(fibre, resin, phi, 0.0) == pytest.approx(low, rel=1e-9)
    assert halpin_tsai(fibre, resin, phi, 1e12) == pytest.approx(high, rel=1e-6)


@given(moduli, moduli)
def test_pure_fibre_and_pure_resin(fibre, resin):
    for formula in (rule_of_mixtures, series_bound, chamis, lambda f, m, v: halpin_tsai(f, m, v, 2.0)):
        assert formula(fibre, resin, 0.0) == pytest.approx(resin, rel=1e-9)
        assert formula(fibre, resin, 1.0) == pytest.approx(fibre, rel=1e-9)


@given(moduli, st.floats(0.05, 0.45), st.floats(-1e-5, 1e-4), fractions)
def test_fibre_of_resin_is_resin(e, nu, alpha, phi):
    """A fibre with the resin's properties changes nothing."""
    along, across = schapery_expansion(phi, fibre_e1=e, fibre_nu12=nu, fibre_alpha1=alpha, fibre_alpha2=alpha,
                                       resin_e=e, resin_nu=nu, resin_alpha=alpha)
    assert along == pytest.approx(alpha, rel=1e-9) and across == pytest.approx(alpha, rel=1e-9, abs=1e-15)
    ply = ply_constants_micromechanics("ud", min(phi, 0.8), fibre_e1=e, fibre_nu12=nu, resin_e=e, resin_nu=nu)
    assert (ply.e1, ply.e2, ply.g12) == pytest.approx((e, e, shear_modulus(e, nu)), rel=1e-9)


@pytest.mark.parametrize("fibre", [GLASS, CARBON])
@pytest.mark.parametrize("options", [{}, {"transverse_model": "series", "shear_model": "series"},
                                     {"transverse_model": "chamis", "shear_model": "hewitt-malherbe"},
                                     {"mat_model": "tsai-pagano", "shear_model": "chamis"}])
def test_batch_equals_loop(fibre, options):
    kinds, phi = np.array(KINDS * 5), np.linspace(0.05, 0.7, 20)
    expansion = {"fibre_alpha1": 5e-6, "fibre_alpha2": 7e-6, "resin_alpha": 60e-6}
    batch = ply_constants_micromechanics(kinds, phi, **fibre, **expansion, **options)
    for i, (kind, value) in enumerate(zip(kinds, phi, strict=True)):
        single = ply_constants_micromechanics(str(kind), value, **fibre, **expansion, **options)
        for name in ("e1", "e2", "nu12", "g12", "alpha1", "alpha2"):
            assert getattr(single, name).shape == ()
            assert float(getattr(batch, name)[i]) == pytest.approx(float(getattr(single, name)), rel=1e-12)


def test_small_craft_batch_equals_loop():
    kinds, psi = np.array(KINDS * 3), np.linspace(0.2, 0.7, 12)
    batch = ply_constants_small_craft(kinds, psi)
    for i, (kind, value) in enumerate(zip(kinds, psi, strict=True)):
        single = ply_constants_small_craft(kind, value)
        for name in ("e1", "e2", "nu12", "g12"):
            assert float(getattr(batch, name)[i]) == pytest.approx(float(getattr(single, name)), rel=1e-12)


@given(st.floats(0.05, 0.7))
def test_weave_is_the_cross_ply(phi):
    """Without crimp the weave stretches like a 0/90 laminate of its fibre, and expands like it."""
    expansion = {"fibre_alpha1": 5e-6, "resin_alpha": 60e-6}
    ud = ply_constants_micromechanics("ud", phi, **GLASS, **expansion)
    weave = ply_constants_micromechanics("woven", phi, **GLASS, **expansion, crimp_factor=1.0)
    cross = Laminate.from_plies(*(float(x) for x in (ud.e1, ud.e2, ud.nu12, ud.g12)), [0, 90, 90, 0], [0.25] * 4,
                                alpha1=float(ud.alpha1), alpha2=float(ud.alpha2))
    both = cross.in_plane
    assert (float(weave.e1), float(weave.nu12), float(weave.g12)) == pytest.approx(
        (float(both.ex), float(both.nuxy), float(both.gxy)), rel=1e-9)
    assert cross.response(delta_t=1.0).eps0 == pytest.approx([float(weave.alpha1)] * 2 + [0.0], rel=1e-9, abs=1e-15)


def test_warp_share_swaps_warp_and_weft():
    one = ply_constants_micromechanics("cloth", 0.35, **GLASS, warp_share=0.7)
    other = ply_constants_micromechanics("cloth", 0.35, **GLASS, warp_share=0.3)
    assert (float(one.e1), float(one.e2)) == pytest.approx((float(other.e2), float(other.e1)), rel=1e-12)
    all_warp = ply_constants_micromechanics("cloth", 0.35, **GLASS, warp_share=1.0, crimp_factor=1.0)
    ud = ply_constants_micromechanics("ud", 0.35, **GLASS)
    assert float(all_warp.e1) == pytest.approx(float(ud.e1), rel=1e-12)
    assert float(all_warp.nu12) == pytest.approx(float(ud.nu12), rel=1e-12)


@pytest.mark.parametrize("mat_model", ["krenchel", "tsai-pagano"])
def test_mat_is_isotropic(mat_model):
    mat = ply_constants_micromechanics("csm", 0.17, **GLASS, mat_model=mat_model)
    q = reduced_stiffness(mat.e1, mat.e2, mat.nu12, mat.g12)
    assert rotated_stiffness(q, 37.0) == pytest.approx(q, rel=1e-9, abs=1e-6)


def test_mat_poisson_is_that_of_many_directions():
    """The nu of Krenchel mat is the in-plane nu of the same fibre laid in many directions."""
    ud = ply_constants_micromechanics("ud", 0.17, **GLASS)
    angles = np.arange(8) * 22.5
    fan = Laminate.from_plies(*(float(x) for x in (ud.e1, ud.e2, ud.nu12, ud.g12)),
                              [*angles, *angles[::-1]], [0.1] * 16).in_plane
    assert float(ply_constants_micromechanics("csm", 0.17, **GLASS).nu12) == pytest.approx(float(fan.nuxy), rel=1e-9)


@given(st.lists(moduli, min_size=2, max_size=5), st.floats(-1e5, 1e5))
def test_bars_carry_the_whole_load(ea, load):
    shared = bars.share_axial_load(ea, load)
    assert shared.loads.sum() == pytest.approx(load, rel=1e-12, abs=1e-9)
    assert shared.loads == pytest.approx(shared.strain * np.array(ea), rel=1e-12, abs=1e-9)
