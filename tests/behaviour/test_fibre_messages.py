"""Refusals of fibre content, micromechanics and rule-book lines: what is said, and that nothing is clipped."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics import bars, fibre_content, micromechanics, regressions

pytestmark = pytest.mark.behaviour
GLASS = {"fibre_e1": 72.4e3, "fibre_nu12": 0.22, "resin_e": 3.4e3, "resin_nu": 0.35}
DENSITIES = {"fibre_density_kg_m3": 2560, "resin_density_kg_m3": 1200}


def ply(kind="ud", phi=0.3, **options):
    return micromechanics.ply_constants_micromechanics(kind, phi, **{**GLASS, **options})


REFUSED = [
    (lambda: fibre_content.ply_thickness(450, 30), "write 0.3 for 30 %"),
    (lambda: fibre_content.ply_thickness(-450, 0.3), "areal weight must be greater than 0"),
    (lambda: fibre_content.ply_thickness(np.nan, 0.3), "must be a finite number"),
    (lambda: fibre_content.ply_thickness(450, 0.0), "between 0 and 1"),
    (lambda: fibre_content.ply_thickness("450 g", 0.3), "must be a number"),
    (lambda: fibre_content.ply_thickness(450, 0.3, fibre_density_kg_m3=0), "fibre density must be greater than 0"),
    (lambda: fibre_content.ply_thickness(450, 0.3, void_fraction=1.0), "void fraction"),
    (lambda: fibre_content.weight_fraction_from_thickness(450, 0.1), "0.176 mm of solid fibre"),
    (lambda: fibre_content.combined_weight_fraction([], []), "at least one"),
    (lambda: fibre_content.combined_weight_fraction(450, 0.3), "along the last axis"),
    (lambda: fibre_content.fibre_weight_fraction(0.9, **DENSITIES, void_fraction=0.2),
     "must not add up to more than 1"),
    (lambda: fibre_content.mixture_from_masses([1, -1], [2, 2]), "mass must be 0 or more"),
    (lambda: fibre_content.mixture_from_volumes([1.0], [0.0]), "must hold something"),
    (lambda: fibre_content.burn_off_weight_fraction(1.75, 5.0), "two weighings are not swapped"),
    (lambda: fibre_content.burn_off_weight_fraction(5.0, 1.0, filler_per_resin=0.5), "leaves no fibre"),
    (lambda: fibre_content.density_by_water(4.0, 4.5), "less than the mass in air"),
    (lambda: regressions.SMALL_CRAFT["uts"](0.05), "between 0.10 and 0.75"),
    (lambda: regressions.SMALL_CRAFT["uts"](0.8), "between 0.10 and 0.75"),
    (lambda: regressions.SMALL_CRAFT["e"](0.11), "too low for the formula of the in-plane modulus"),
    (lambda: regressions.CLASS_SOCIETY["e_compression"]([0.5, 30]), "write 0.3 for 30 %"),
    (lambda: regressions.pressure_vessel_cycle_factor(2e6), "1000000"),
    (lambda: regressions.pressure_vessel_design_factor(k1=0.5, k2=1, k3=1, k4=1, k5=1), "k1 must be 1 or more"),
    (lambda: ply("glass"), "must be one of ud, csm, woven, cloth"),
    (lambda: ply(phi=0.85), "was a weight fraction entered"),
    (lambda: ply(transverse_model="voigt"), "transverse model must be halpin-tsai, series, chamis"),
    (lambda: ply(shear_model="voigt"), "hewitt-malherbe"),
    (lambda: ply(mat_model="none"), "mat model must be krenchel or tsai-pagano"),
    (lambda: ply(resin_nu=0.6), "resin Poisson ratio must lie between -1 and 0.5"),
    (lambda: ply(crimp_factor=0.0), "crimp factor"),
    (lambda: ply(resin_alpha=60e-6), "given for both fibre and resin"),
    (lambda: micromechanics.ply_constants_small_craft("csm", 0.05), "between 0.10 and 0.75"),
    (lambda: micromechanics.ply_constants_small_craft("mat", 0.3), "mat is 'csm'"),
    (lambda: bars.tube_section(50, 70), "less than the outer diameter"),
    (lambda: bars.share_axial_load(3.0, 1.0), "along the last axis"),
]


@pytest.mark.parametrize(("call", "words"), REFUSED, ids=[words for _, words in REFUSED])
def test_refusal_says_what_to_do(call, words):
    with pytest.raises(InputError) as caught:
        call()
    message = str(caught.value)
    assert words in message
    assert "; received " in message and "Next: " in message


def test_negative_voids_are_reported_not_clipped():
    test = fibre_content.burn_off(4.0, 3.0, fibre_density_kg_m3=2400, resin_density_kg_m3=1300,
                                  measured_density_kg_m3=2000)
    assert test.void_fraction < 0


def test_without_a_measured_density_voids_are_unknown():
    test = fibre_content.burn_off(4.0, 3.0, fibre_density_kg_m3=2400, resin_density_kg_m3=1300)
    assert test.void_fraction is None and test.measured_density_kg_m3 is None
    assert test.fibre_volume_fraction + test.resin_volume_fraction == pytest.approx(1.0)


def test_results_carry_model_and_status():
    default, rule = ply("csm", 0.17), micromechanics.ply_constants_small_craft("ud", 0.5)
    assert "0.88 x Krenchel" in default.model and "x 0.90" in default.model and "not from tests" in default.status
    assert "regressions" in rule.model and "from memory (unverified)" in rule.status
    assert "0.80 to 0.90" in ply(["woven", "cloth"], 0.3, crimp_factor=[0.8, 0.9]).model


def test_every_line_has_status_and_source():
    for table in (regressions.SMALL_CRAFT, regressions.CLASS_SOCIETY, regressions.OLDER_RULE):
        for line in table.values():
            assert line.source and ("from memory" in line.status or line.status == "reproduces printed values")


def test_inputs_are_left_alone():
    weights, fractions = np.array([450.0, 800.0]), np.array([0.3, 0.48])
    fibre_content.combined_weight_fraction(weights, fractions)
    micromechanics.ply_constants_small_craft(["csm", "ud"], fractions)
    assert weights.tolist() == [450.0, 800.0] and fractions.tolist() == [0.3, 0.48]
