"""What-if functions: batch equals loop, limits of the coupling shares, signs, and turning there and back."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.laminate import Laminate
from lamcalc.shop import job
from lamcalc.studies import claims, compare

pytestmark = pytest.mark.invariant
ANGLES = st.lists(st.floats(-90, 90).map(lambda a: round(a) * 1.0), min_size=1, max_size=6)


def wall(angles):
    return Laminate.from_plies(25e3, 7e3, 0.3, 2.5e3, angles, [0.4] * len(angles), alpha1=1.2e-5, alpha2=8e-5)


@pytest.fixture(scope="module")
def skin():
    return job.schedule(job.load_demo(), "transom_inner_skin")


@settings(max_examples=40, deadline=None)
@given(ANGLES, st.integers(-90, 90))
def test_turning_the_stack_turns_the_compass(angles, turn):
    looked_at = compare.directional_stiffness(wall(angles), [float(turn)])
    turned = wall([angle - turn for angle in angles])
    assert looked_at.stretch[0] == pytest.approx(float(turned.in_plane.ex), rel=1e-9)
    assert looked_at.shear[0] == pytest.approx(float(turned.in_plane.gxy), rel=1e-9)
    assert looked_at.bend[0] == pytest.approx(float(turned.flexural.ex), rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(ANGLES)
def test_coupling_shares_stay_below_one_and_vanish_by_symmetry(angles):
    found = compare.coupling(wall(angles))
    assert all(0 <= float(share) < 1 for share in (found.stretch_bend, found.stretch_shear, found.bend_twist))
    mirrored = compare.coupling(wall(angles + angles[::-1]))
    assert float(mirrored.stretch_bend) == pytest.approx(0.0, abs=1e-12)
    balanced = compare.coupling(wall(angles + [-angle for angle in angles]))
    assert float(balanced.stretch_shear) == pytest.approx(0.0, abs=1e-12)


def test_bow_like_a_strip_of_two_metals():
    """The across-fibre ply shrinks more: laid first, on the mould side, its side goes hollow and the middle away from it."""
    assert float(compare.cooling_bow(wall([90.0, 0.0]), 20.0, 1000.0)) > 0
    assert float(compare.cooling_bow(wall([0.0, 90.0]), 20.0, 1000.0)) < 0
    assert float(compare.cooling_bow(wall([0.0, 90.0, 0.0]), 20.0, 1000.0)) == pytest.approx(0.0, abs=1e-9)


def test_bow_against_the_bimetal_formula():
    """Two isotropic layers of equal thickness: kappa = 24 (a1 - a2) dT / (h (14 + n + 1/n)), nu alike (Timoshenko 1925)."""
    e = np.array([10e3, 30e3])
    pair = Laminate.from_plies(e, e, 0.3, e / 2.6, [0.0, 0.0], [1.0, 1.0], alpha1=[5e-5, 1e-5], alpha2=[5e-5, 1e-5])
    n = 30e3 / 10e3
    kappa = 24 * 4e-5 * 20.0 / (2.0 * (14 + n + 1 / n))
    assert float(compare.cooling_bow(pair, 20.0, 1000.0)) == pytest.approx(kappa * 1000.0**2 / 8, rel=1e-9)


def test_batch_of_errors_equals_one_at_a_time(skin):
    errors = np.array([[-30.0, 0.0], [7.0, 45.0]])
    batch = compare.with_row_turned(skin, 2, errors)
    for place in np.ndindex(errors.shape):
        one = compare.with_ply(skin, 2, angle_deg=skin.laid[2].angle_deg + errors[place]).laminate
        np.testing.assert_allclose(batch.abd[place], one.abd, rtol=1e-12, atol=1e-6)


def test_a_ply_turned_by_half_a_turn_is_as_drawn(skin):
    turned = compare.with_row_turned(skin, 1, 180.0)
    np.testing.assert_allclose(turned.abd, skin.laminate.abd, rtol=1e-9, atol=1e-6)


def test_turning_mat_changes_nothing(skin):
    turned = compare.with_row_turned(skin, 0, 33.0)
    np.testing.assert_allclose(turned.abd, skin.laminate.abd, rtol=1e-9, atol=1e-6)


def test_swapping_and_counting_keep_the_glass(skin):
    assert compare.with_ply(skin, 3, mat_side="up").glass_kg_m2 == pytest.approx(skin.glass_kg_m2)
    whole = compare.with_whole_fraction(skin, 0.43)
    assert whole.glass_kg_m2 == pytest.approx(skin.glass_kg_m2) and len(whole.laid) == len(skin.laid)


def test_sheet_at_the_schedule_fraction_is_the_schedule(skin):
    """Thickness depends on the sums of glass and resin alone, whoever holds them."""
    sheet = compare.fabric_sheet(1000 * skin.glass_kg_m2, skin.glass_fraction)
    assert float(sheet.thickness_mm) == pytest.approx(skin.total_thickness_mm, rel=1e-12)
    assert float(sheet.mass_gsm) == pytest.approx(1000 * skin.areal_mass_kg_m2, rel=1e-12)


def test_mat_models_lie_in_order():
    shop = catalogue.load()
    found = compare.mat_models(shop.fibre("e_glass"), shop.resin("iso_polyester"), np.linspace(0.25, 0.40, 7))
    assert np.all(found.oriented_average > found.krenchel)
    np.testing.assert_allclose(found.micromechanics / found.krenchel, 0.88, rtol=1e-12)


@pytest.mark.parametrize("row", [-1, 5, True, 1.0])
def test_a_row_that_is_not_there_is_refused(skin, row):
    with pytest.raises(InputError, match="row of the ply table"):
        compare.with_row_turned(skin, row, 10.0)


def test_a_core_is_not_a_fabric():
    build = job.schedule(job.load_demo(), "transom_board")
    core = next(row for row, layer in enumerate(build.laid) if type(layer).__name__ == "CoreLayer")
    with pytest.raises(InputError, match="fabric"):
        compare.with_ply(build, core, angle_deg=10.0)


def test_verdicts_follow_the_range():
    words = {claim.verdict for claim in (
        claims.ThicknessClaim("a", 450.0, t, (0.25, 0.35), "b") for t in (1.5, 1.05, 0.7))}
    assert words == {"wetter than the usual range", "within the usual range", "drier than the usual range"}
