"""Printed values for layered strips, plywood, plates and beams, each beside its source."""

import numpy as np
import pytest
from cases_sections import iso_stack

from lamcalc.mechanics.beam_cases import standard_beam
from lamcalc.mechanics.beams import Support, UniformLoad, beam_response
from lamcalc.mechanics.plywood import Veneer, parallel_ply_moment, parallel_ply_section, plywood_panel
from lamcalc.mechanics.sandwich_failure import core_shear_fraction, local_crush
from lamcalc.mechanics.sandwich_plate import sandwich_plate
from lamcalc.mechanics.stiffeners import attached_width
from lamcalc.mechanics.thermal import two_layer_curvature
from lamcalc.mechanics.transverse_shear import shear_stress_profile

pytestmark = pytest.mark.published

# ISO 12215-5, Table H.1 (public copies): glass kg/m2, glass fraction, then printed t, z, E t, section modulus
TABLE_H1 = [
    (0.30, 0.30, 0.701, 0.35, 4483, 8.47), (0.30, 0.30, 0.701, 1.05, 4483, 10.69),
    (0.50, 0.48, 0.647, 1.72, 8562, 6.99), (0.45, 0.30, 1.051, 2.57, 6725, 21.49),
    (0.80, 0.48, 1.035, 3.62, 13700, 18.38), (0.45, 0.30, 1.051, 4.66, 6725, 15.87),
    (0.80, 0.48, 1.035, 5.70, 13700, 4.88),
]
WEIGHTS, FRACTIONS = [row[0] for row in TABLE_H1], [row[1] for row in TABLE_H1]


def printed(value, text_value, digits):
    """Whether a value rounds to the printed one: half a unit of the last printed digit."""
    return abs(value - text_value) <= 0.5 * 10.0**-digits * (1 + 1e-9)


@pytest.mark.parametrize("ply", range(7))
def test_iso_table_h1_ply_by_ply(ply):
    stack = iso_stack(WEIGHTS, FRACTIONS)
    _, _, t, z, et, modulus = TABLE_H1[ply]
    part = stack.parts[ply]
    assert printed(part.height_mm, t, 3)
    assert printed(part.y_mm, z, 2)
    assert printed(part.e_mpa * part.height_mm, et, 0)
    assert printed(stack.section_modulus_mm3[ply].min(), modulus, 2)


def test_iso_table_h1_totals():
    stack = iso_stack(WEIGHTS, FRACTIONS)
    assert printed(stack.fibres_mm.max(), 6.219, 3)
    assert printed(stack.neutral_axis_mm, 3.38, 2)
    assert printed(stack.ea, 58378, 0)
    assert printed(stack.ea * stack.neutral_axis_mm, 197324, 0)
    assert printed(stack.ei, 183255, 0)
    assert printed(stack.ei + stack.ea * stack.neutral_axis_mm**2, 850226, 0)


@pytest.mark.parametrize("ply, ultimate, factor", [(0, 85, 1.04), (1, 85, 1.31), (2, 183, 1.85)])
def test_iso_table_h1_compliance(ply, ultimate, factor):
    """P b^2 k2/6 with 26 kN/m2, 400 mm and k2 0.5 is 346.67, printed 347; the printed factors use the full value."""
    stack, moment = iso_stack(WEIGHTS, FRACTIONS), 26e-3 * 400**2 * 0.5 / 6
    assert printed(moment, 347, 0)
    assert printed(0.5 * ultimate * stack.section_modulus_mm3[ply].min() / moment, factor, 2)


@pytest.mark.parametrize("interface, moment, stress, ratio", [(1, 13584, 0.4, 22.4), (2, 24027, 0.7, 12.7)])
def test_iso_table_h1_interlaminar_shear(interface, moment, stress, ratio):
    """Shear force 5.2 N/mm as printed; half of 22.5 - 17.5 psi of the mat beside the interface."""
    stack = iso_stack(WEIGHTS, FRACTIONS)
    wall = stack.e_mpa[:, None, None] * np.eye(3)
    thickness = [part.height_mm for part in stack.parts]
    profile = shear_stress_profile(wall, thickness, 5.2, axis="x")
    assert printed(profile.first_moment_n[interface], moment, 0)
    assert printed(profile.interface_mpa[interface], stress, 1)
    assert printed(0.5 * (22.5 - 17.5 * 0.30) / profile.interface_mpa[interface], ratio, 1)
    assert printed(stack.first_moment(stack.fibres_mm[interface - 1, 1]), moment, 0)


# Bureau Veritas NR546 (2018), Sec 8 Table 1, okoume, read second hand
OKOUME = Veneer(e_along=9630, e_across=525, g_in_plane=750, g_along=810, g_rolling=185, nu=0.472)


# layered hand calculation from those veneers: plies, E bending, E membrane, G along and across the face grain
@pytest.mark.parametrize("plies, eb, eb_across, em, em_across, g, g_across", [
    (3, 9293, 862, 6595, 3560, 381, 249), (5, 7736, 2419, 5988, 4167, 344, 268), (7, 7002, 3153, 5728, 4427, 331, 276),
    (9, 6583, 3572, 5583, 4572, 324, 282), (13, 6124, 4031, 5428, 4727, 316, 287)])
def test_plywood_from_veneers(plies, eb, eb_across, em, em_across, g, g_across):
    panel = plywood_panel(OKOUME, plies=plies, thickness_mm=12.0)
    ours = (panel.e_bending_along, panel.e_bending_across, panel.e_membrane_along, panel.e_membrane_across,
            panel.g_along, panel.g_across)
    for value, expected in zip(ours, (eb, eb_across, em, em_across, g, g_across), strict=True):
        assert printed(value, expected, 0)


@pytest.mark.parametrize("plies, ratio", [(3, 0.965), (5, 0.803), (7, 0.727), (9, 0.684), (13, 0.636)])
def test_plywood_bending_ratio(plies, ratio):
    assert printed(plywood_panel(OKOUME, plies=plies, thickness_mm=9.0).e_bending_along / 9630, ratio, 3)


@pytest.mark.parametrize("direction, second_moment, modulus, moment", [("along", 48.11, 10.69, 345),
                                                                       ("across", 12.64, 4.68, 151)])
def test_parallel_ply_rule(direction, second_moment, modulus, moment):
    """ABS, Rules for Yachts, 2021, 3-2-3 Table 8 note 2 (second hand): 9 mm Douglas fir, five plies, MOR 86 MPa."""
    section = parallel_ply_section(plies=5, thickness_mm=9.0, direction=direction)
    assert printed(section.second_moment_mm3, second_moment, 2)
    assert printed(section.section_modulus_mm2, modulus, 2)
    value = parallel_ply_moment(plies=5, thickness_mm=9.0, direction=direction, rupture_mpa=86.0, design_fraction=0.375)
    assert printed(value, moment, 0)


# Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells, Table 8 (nu 0.3), from memory: w, Mx, My, Qx, Qy
@pytest.mark.parametrize("ratio, w, mx, my, qx, qy", [(1.0, 0.00406, 0.0479, 0.0479, 0.338, 0.338),
                                                      (2.0, 0.01013, 0.1017, 0.0464, 0.465, 0.370)])
def test_simply_supported_plate_table(ratio, w, mx, my, qx, qy):
    D = np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]])
    plate = sandwich_plate(D, np.inf, np.inf, a_mm=1.0, b_mm=ratio, pressure_mpa=1.0)
    # the table counts a along x as the short side
    assert printed(plate.deflection_mm, w, 5)
    assert printed(plate.moment[0], mx, 4)
    assert printed(plate.moment[1], my, 4)
    assert printed(plate.shear_x, qx, 3)
    assert printed(plate.shear_y, qy, 3)


# standard continuous-beam table (common practice): spans, largest moment, first and second reaction over w L
@pytest.mark.parametrize("spans, moment, first, second", [(2, 0.125, 0.375, 1.25), (3, 0.100, 0.400, 1.10)])
def test_continuous_beams(spans, moment, first, second):
    supports = [Support(float(k)) for k in range(spans + 1)]
    beam = beam_response(1.0, np.inf, float(spans), supports, [UniformLoad(0.0, float(spans), 1.0)])
    assert printed(beam.max_moment_n_mm, moment, 3)
    assert printed(beam.reactions_n[0], first, 3)
    assert printed(beam.reactions_n[1], second, 2)


def test_propped_cantilever():
    """Standard beam table (common practice): M = w L^2/8, w L^4/(185 EI), reactions 5/8 and 3/8."""
    beam = beam_response(1.0, np.inf, 1.0, [Support(0.0, "fixed"), Support(1.0)], [UniformLoad(0.0, 1.0, 1.0)])
    assert beam.max_moment_n_mm == pytest.approx(1 / 8, rel=1e-9)
    assert beam.reactions_n == pytest.approx([5 / 8, 3 / 8], rel=1e-9)
    assert printed(1.0 / beam.max_deflection_mm, 185, 0)


def test_attached_width_of_the_class_example():
    """Lloyd's Register, Guidance Notes, July 2013, stiffener example: bw 120 mm, printed 302 mm from rounded halves."""
    width = attached_width("lr_frp", thickness_mm=9.132, base_width_mm=120.0)
    assert width == pytest.approx(302, abs=1.0)
    assert printed(np.floor(0.5 * width), 151, 0)


def test_bimetal_strip():
    """Timoshenko 1925 (from memory): equal layers bend to 3/2 of the free strain difference over the thickness."""
    assert two_layer_curvature(e_1=7.0, t_1_mm=1.0, free_1=0.0, e_2=7.0, t_2_mm=1.0, free_2=2e-3) == pytest.approx(
        1.5 * 2e-3 / 2.0, rel=1e-12)


def test_bearing_under_a_plate():
    """Marine practice note: 10 kN on a 50 x 50 mm plate is 4 N/mm2."""
    crush = local_crush(10e3, plate_length_mm=50.0, plate_width_mm=50.0, crush_strength=2.0)
    assert crush.pressure_mpa == pytest.approx(4.0, rel=1e-12)
    assert crush.strength_ratio == pytest.approx(0.5, rel=1e-12)


def test_bureau_veritas_core_fraction():
    """Printed 0.364 = 1 / (1.1 x 2.5), read second hand."""
    assert printed(core_shear_fraction("balsa", "bv").value, 0.364, 3)


def test_sandwich_beam_by_hand():
    """Three-point bending, hand arithmetic: W L^3/48 D + W L/4 S with D 2.457e9 N mm2 and S 72600 N."""
    beam = standard_beam("ss_centre", load_n=1000.0, span_mm=1000.0, ei=2.457e9, ga=72600.0)
    assert beam.deflection_mm == pytest.approx(8.4792 + 3.4435, abs=1e-4)
