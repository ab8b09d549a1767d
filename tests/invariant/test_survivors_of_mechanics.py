"""Small facts of mechanics that other tests leave open: limits that belong to the range, names in refusals, grids."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.bars import share_axial_load
from lamcalc.mechanics.beams import PointLoad, Support, UniformLoad, beam_response
from lamcalc.mechanics.constituents import burn_off_weight_fraction
from lamcalc.mechanics.criteria import assess, strength_ratio
from lamcalc.mechanics.fibre_content import ply_thickness, weight_fraction_from_thickness
from lamcalc.mechanics.micromechanics import ply_constants_micromechanics
from lamcalc.mechanics.mixture_rules import poisson
from lamcalc.mechanics.plate_basis import tables
from lamcalc.mechanics.plate_batch import panel_response
from lamcalc.mechanics.plate_kernel import refined_peak
from lamcalc.mechanics.plates import Patch, Plate
from lamcalc.mechanics.ply_strengths import PlyStrengths
from lamcalc.mechanics.quadratic_form import linear_part, quadratic_part
from lamcalc.mechanics.regressions import SMALL_CRAFT
from lamcalc.mechanics.sandwich_failure import wrinkling_stress
from lamcalc.mechanics.section_sums import section_constants
from lamcalc.mechanics.stiffeners import attached_width, hat_section
from lamcalc.mechanics.strength_models import strengths_micromechanics
from lamcalc.schedule import Ply, Schedule

pytestmark = pytest.mark.invariant
GLASS = PlyStrengths(1062.0, 610.0, 31.0, 118.0, 72.0)
FIBRE = {"fibre_e1": 72400.0, "fibre_nu12": 0.22, "resin_e": 3400.0, "resin_nu": 0.35}
D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
SIGN, THESE = "Next: check the sign and the entry.", "Next: choose one of them."
SWAPPED = "Next: check that the two weighings are not swapped."
RULES = "lr_frp, iso_frp, iso_sandwich, iso_plywood, abs_plywood, bv_span"
LOW = "Next: use micromechanics or your own test values."
HELD = (Support(0.0), Support(1000.0))


def hat(legs):
    return hat_section(plate_width_mm=400.0, plate_thickness_mm=6.0, plate_e=8000.0, base_width_mm=110.0,
                       top_width_mm=70.0, height_mm=95.0, skin_thickness_mm=3.0, skin_e=9000.0, legs=legs)


@pytest.mark.parametrize("call, words", [
    (lambda: ply_constants_micromechanics("ud", 0.4, transverse_model="felt", **FIBRE),
     "transverse model must be halpin-tsai, series, chamis [-]; received 'felt'. " + THESE),
    (lambda: ply_constants_micromechanics("ud", 0.4, shear_model="felt", **FIBRE),
     "shear model must be halpin-tsai, series, chamis, hewitt-malherbe [-]; received 'felt'. " + THESE),
    (lambda: ply_constants_micromechanics("ud", 0.4, transverse_model="hewitt-malherbe", **FIBRE),
     "transverse model must be halpin-tsai, series, chamis [-]; received 'hewitt-malherbe'. " + THESE),
    (lambda: attached_width("ours", thickness_mm=6.0),
     f"attached width rule must be one of {RULES}; received 'ours'. Next: choose a rule or enter your own width."),
    (lambda: wrinkling_stress(15e3, 80.0, 30.0, coefficient=-0.5),
     "wrinkling coefficient must be greater than 0 [-]; received -0.5. " + SIGN),
    (lambda: wrinkling_stress(15e3, -80.0, 30.0), "e_core must be greater than 0 [MPa]; received -80.0. " + SIGN),
    (lambda: hat([(50.0, -1.0)]), "leg 1 thickness must be greater than 0 [mm]; received -1.0. " + SIGN),
    (lambda: hat([(50.0, 1.0), (75.0, 0.0)]), "leg 2 thickness must be greater than 0 [mm]; received 0.0. " + SIGN),
    (lambda: hat([(50.0, 1.0), (-75.0, 1.0)]), "leg 2 width must be greater than 0 [mm]; received -75.0. " + SIGN),
    (lambda: poisson("nu12", 0.7), "nu12 must lie between -1 and 0.5 [-]; received 0.7. Next: 0.2 to 0.4 is usual."),
    (lambda: poisson("nu12", -1.0), "nu12 must lie between -1 and 0.5 [-]; received -1.0. Next: 0.2 to 0.4 is usual."),
    (lambda: burn_off_weight_fraction(5.0, 1.0, filler_per_resin=0.5),
     "filler per resin leaves no fibre in the residue [-]; received 0.5. Next: lower the filler."),
    (lambda: burn_off_weight_fraction(1.0, 5.0),
     "residue mass must not be more than the coupon mass [g]; received 5.0. " + SWAPPED),
    (lambda: share_axial_load(5e6, 100.0),
     "stiffness EA must list the bars along the last axis [N]; received 5000000.0. Next: give at least one bar."),
    (lambda: share_axial_load([-5.0, 1e6], 100.0), "stiffness EA must be greater than 0 [N]; received -5.0. " + SIGN),
    (lambda: beam_response(1e9, np.inf, 1000.0, HELD, [PointLoad(np.nan, 1.0)]),
     "positions must be a finite number [mm]; received nan. Next: enter the missing value."),
    (lambda: beam_response(1e9, np.inf, 1000.0, HELD, [UniformLoad(0.0, np.inf, 1.0)]),
     "positions must be a finite number [mm]; received inf. Next: enter the missing value."),
    (lambda: SMALL_CRAFT["g"](0.0999),
     "glass weight fraction must lie between 0.10 and 0.75 for a rule formula [-]; received 0.0999. " + LOW),
])
def test_a_refusal_names_the_input_the_rule_and_what_came(call, words):
    with pytest.raises(InputError) as found:
        call()
    assert str(found.value) == words


@pytest.mark.parametrize("x, y", [(100.0, 150.0), (150.0, 100.0)])
def test_a_patch_at_unlike_places_of_a_batch_is_refused_with_its_place(x, y):
    with pytest.raises(InputError, match="same place, in parts of the sides, on all plates of a batch") as found:
        Plate([400.0, 500.0], 400.0, D).solve(patches=[Patch(10.0, x, y, 40.0, 40.0)])
    assert found.value.name == "patch load" and found.value.value == x
    assert str(found.value).endswith(f"received {x}. Next: solve the plates one by one.")


def test_the_ends_of_a_range_belong_to_it():
    # G = 1700 psi + 2240 MPa from 0.10 to 0.75 of glass; a residue as heavy as the coupon is fibre alone
    np.testing.assert_allclose(SMALL_CRAFT["g"]([0.10, 0.75]), [2410.0, 3515.0], rtol=1e-12)
    assert burn_off_weight_fraction(5.0, 5.0) == 1.0
    assert poisson("nu12", 0.5) == 0.5


def test_fibre_that_fills_the_whole_thickness_is_not_refused_for_rounding():
    weight = np.geomspace(10.0, 1e5, 401)
    for voids in (0.0, 0.02, 0.03, 0.07):
        solid = weight / 2560.0 / (1 - voids)
        np.testing.assert_allclose(weight_fraction_from_thickness(weight, solid, void_fraction=voids), 1.0, rtol=1e-12)
        with pytest.raises(InputError, match="must not be less than that of the solid fibre alone"):
            weight_fraction_from_thickness(weight, 0.9999 * solid, void_fraction=voids)
    psi = np.linspace(0.05, 0.99, 20)
    for gsm in (10.0, 450.0, 3e4):
        t = ply_thickness(gsm, psi, void_fraction=0.03)
        np.testing.assert_allclose(weight_fraction_from_thickness(gsm, t, void_fraction=0.03), psi, rtol=1e-9)


@pytest.mark.parametrize("mat_factor", [0.4, 0.7, 1.0])
@pytest.mark.parametrize("bundle_factor", [0.5, 1.0])
def test_a_mat_fails_at_its_share_of_the_strain_of_a_bundle(mat_factor, bundle_factor):
    ply = strengths_micromechanics(["csm", "woven"], 0.2, e1=[7e3, 14e3], e2=[7e3, 14e3], g12=[2.7e3, 3e3],
                                   fibre_strain=0.03, resin_strain=0.02, compression_factor=0.6,
                                   mat_factor=mat_factor, bundle_factor=bundle_factor)
    strain = 0.03 * bundle_factor
    np.testing.assert_allclose(ply.xt, [7e3 * strain * mat_factor, 14e3 * strain], rtol=1e-12)
    np.testing.assert_allclose(ply.yt, ply.xt, rtol=1e-12)
    np.testing.assert_allclose([ply.xc, ply.yc], 0.6 * np.array([ply.xt, ply.yt]), rtol=1e-12)
    assert ply.s[0] == pytest.approx(2 * 2.7e3 * strain * mat_factor * 0.6, rel=1e-12)


@pytest.mark.parametrize("star", [-0.9, -0.5, 0.0, 0.4])
def test_the_interaction_that_is_asked_for_is_the_one_that_counts(star):
    # Tsai-Wu: F1 s1 + F2 s2 + F11 s1^2 + F22 s2^2 + F66 s6^2 + 2 F12 s1 s2 = 1 at failure, F12 = F12* (F11 F22)^(1/2)
    p, stress = GLASS, np.array([[200.0, 10.0, 5.0], [-150.0, 12.0, 0.0], [100.0, -60.0, 20.0]])
    f11, f22 = 1 / (p.xt * p.xc), 1 / (p.yt * p.yc)
    for ratio in (strength_ratio(stress, p, interaction=star), assess(stress, p, interaction=star).ratio):
        s1, s2, s6 = (stress * ratio[:, None]).T
        surface = ((1 / p.xt - 1 / p.xc) * s1 + (1 / p.yt - 1 / p.yc) * s2 + f11 * s1**2 + f22 * s2**2 + (s6 / p.s) ** 2
                   + 2 * star * np.sqrt(f11 * f22) * s1 * s2)
        np.testing.assert_allclose(surface, 1.0, rtol=1e-9)


@pytest.mark.parametrize("kept", [(), (0,), (4,), (0, 3, 5), (1, 2, 6, 8), tuple(range(9))])
def test_a_term_left_out_of_a_surface_is_a_term_of_nought(kept):
    # g1, g2, g6, G11, G22, G66, 2 G12, 2 G16, 2 G26; a plain 0 is left out, an array of noughts is not
    rng = np.random.default_rng(3)
    values, s = rng.normal(0.0, 1.0, (9, 7)), rng.normal(0.0, 1.0, (3, 7))
    short = [values[k] if k in kept else 0 for k in range(9)]
    g1, g2, g6, g11, g22, g66, g12, g16, g26 = full = [values[k] if k in kept else np.zeros(7) for k in range(9)]
    linear = g1 * s[0] + g2 * s[1] + g6 * s[2]
    square = (g11 * s[0]**2 + g22 * s[1]**2 + g66 * s[2]**2 + g12 * s[0] * s[1] + g16 * s[0] * s[2] + g26 * s[1] * s[2])
    for form in (short, full):
        np.testing.assert_allclose(np.broadcast_to(linear_part(form, s), 7), linear, rtol=1e-9, atol=1e-12)
        np.testing.assert_allclose(np.broadcast_to(quadratic_part(form, s), 7), square, rtol=1e-9, atol=1e-12)


def test_a_section_given_in_whole_numbers_of_few_bits_is_the_same_section():
    width, height, y, e, gain = (300, 80), (300, 20), (150, 310), (12000, 30000), (40, 0)
    plain = section_constants(*(np.array(v, float) for v in (width, height, y, e)), width_gain_mm=np.array(gain, float))
    # by hand: E A = 12000 x 90000 + 30000 x 1600
    assert plain.ea == pytest.approx(1.128e9, rel=1e-12)
    for kind in (np.int16, np.int32, np.int64, np.float32):
        *four, slope = (np.array(v, kind) for v in (width, height, y, e, gain))
        found = section_constants(*four, width_gain_mm=slope)
        for name in ("ea", "neutral_axis_mm", "ei"):
            assert getattr(found, name) == pytest.approx(getattr(plain, name), rel=1e-12)


def test_a_plate_without_load_has_no_error():
    for pressure in (0.0, [0.0, 0.01, -0.01]):
        error = Plate(400.0, 300.0, D, edges="SSSS").solve(pressure=pressure).error
        loaded = np.asarray(pressure) != 0
        assert ((np.asarray(error.deflection) > 0) == loaded).all()
        assert ((np.asarray(error.moments).max(axis=-1) > 0) == loaded).all()
        assert np.asarray(error.deflection).max() < 1e-3


@pytest.mark.parametrize("shear", [False, True])
def test_plates_fall_into_halves_and_without_coupling_into_quarters(shear):
    for edges in ("SSSS", "CCSS", "FFCC"):
        halves, quarters = (tables(edges, 8, shear, plain) for plain in (False, True))
        assert (len(halves.blocks), len(quarters.blocks)) == (2, 4)
        for found in (halves, quarters):
            members = np.concatenate([block.members for block in found.blocks])
            assert sorted(members) == list(range(found.count))
        # each quarter lies in one half: even-even and odd-odd in the first, the others in the second
        own = [[set(quarter.members) <= set(half.members) for half in halves.blocks] for quarter in quarters.blocks]
        assert own == [[True, False], [False, True], [False, True], [True, False]]
    assert len(tables("SCSS", 8, shear, True).blocks) == 1


@pytest.mark.parametrize("edges", ["CSSF", "CFCC", "CSSC"])
@pytest.mark.parametrize("aspect, stations", [(1.0, 13), (3.0, 19), (5.0, 27), (7.0, 35), (9.0, 45)])
def test_slender_panels_are_searched_at_more_stations(edges, aspect, stations):
    usual, asked, other = (panel_response(300.0 * aspect, 300.0, D, 0.01, edges=edges, stations=n)
                           for n in (None, stations, stations + 10))
    for name in ("deflection", "deflection_at_mm", "moments", "moments_at_mm"):
        np.testing.assert_allclose(getattr(usual, name), getattr(asked, name), rtol=1e-13)
    assert np.abs(usual.moments / other.moments - 1).max() > 1e-9


@pytest.mark.parametrize("shear", [None, 300.0])
def test_many_points_at_once_are_each_point_alone(shear):
    patch = Patch(200.0, 300.0, 100.0, 60.0, 40.0)
    solution = Plate(500.0, 300.0, D, edges="CSCS", shear=shear).solve(pressure=0.01, patches=[patch])
    x, y = np.random.default_rng(8).uniform(0.0, [[500.0], [300.0]], (2, 3000))
    for field in (solution.deflection, solution.moments):
        together, parts = field(x, y), [field(x[k:k + 1000], y[k:k + 1000]) for k in range(0, 3000, 1000)]
        np.testing.assert_allclose(together, np.concatenate(parts), rtol=1e-9, atol=1e-9 * np.abs(together).max())


@pytest.mark.parametrize("scale", [-4.0, -1.0, -0.5, -0.25, 0.25, 0.5, 1.0, 4.0])
def test_the_top_of_a_parabola_is_found_whatever_its_scale(scale):
    t = np.linspace(-1.0, 1.0, 9)
    for bend in (0.5, 1.0):
        # dyadic numbers: the second derivative comes out exactly
        field = scale * (8.0 - bend * (t[:, None] - 0.0625) ** 2 - bend * (t + 0.3125) ** 2)
        value, where, _ = refined_peak(field.ravel(), t, t)
        assert float(value) == pytest.approx(8.0 * scale, rel=1e-12)
        np.testing.assert_allclose(where, [0.0625, -0.3125], atol=1e-12)
    flat, place, node = refined_peak(np.full(81, scale), t, t)
    assert (float(flat), place.tolist(), int(node)) == (scale, [-1.0, -1.0], 0)


def test_other_layers_keep_the_settings_and_take_the_name_they_are_given():
    shop = catalogue.load()
    mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    stack = Schedule((mat,), shop.fibres, name="Sole as found")
    assert stack.with_layers([mat, mat]).name == "Sole as found"
    renamed = stack.with_layers([mat, mat], name="Sole as built")
    assert renamed.name == "Sole as built" and len(renamed.laid) == 2 and renamed.property_model == stack.property_model
    assert renamed.total_thickness_mm == pytest.approx(2 * stack.total_thickness_mm, rel=1e-12)
