"""What sections, sandwich, beams, plywood and shrinkage say to bad input, and what their tables show."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.beam_cases import four_point_beam, standard_beam
from lamcalc.mechanics.beams import PointLoad, Support, UniformLoad, beam_response
from lamcalc.mechanics.plywood import parallel_ply_section, veneer_layers
from lamcalc.mechanics.sandwich import Sandwich, sandwich_gain
from lamcalc.mechanics.sandwich_failure import (
    CORE_SHEAR_FRACTIONS,
    WRINKLING_COEFFICIENTS,
    core_shear_fraction,
    core_shear_fraction_table,
    local_crush,
    wrinkling_stress,
)
from lamcalc.mechanics.sandwich_plate import sandwich_plate
from lamcalc.mechanics.section_sums import shift_to_neutral_axis
from lamcalc.mechanics.sections import Part, Section
from lamcalc.mechanics.stiffeners import ATTACHED_WIDTH_RULES, angle_section, attached_width, hat_section
from lamcalc.mechanics.thermal import cure_shrinkage_strain, curvature_from_rise
from lamcalc.mechanics.transverse_shear import shear_stiffness, shear_stress_at

pytestmark = pytest.mark.behaviour

BAR = Part("bar", 10.0, 6.0, 3.0, 10e3)
HAT = dict(plate_width_mm=230.0, plate_thickness_mm=6.0, plate_e=9e3, base_width_mm=110.0, top_width_mm=70.0,
           height_mm=95.0, skin_thickness_mm=2.9, skin_e=8e3)
ANGLE = dict(plate_width_mm=200.0, plate_thickness_mm=6.0, plate_e=9e3, web_height_mm=80.0, web_thickness_mm=5.0,
             web_e=9e3)
SHEET, ENDS = 10e3 * np.eye(3)[None], [Support(0.0), Support(900.0)]


@pytest.mark.parametrize("call, words", [
    (lambda: Part("web", -3.0, 90.0, 45.0, 9e3), "web: width_mm must be greater than 0 [mm]; received -3.0"),
    (lambda: Part("web", 3.0, 90.0, 45.0, -1.0), "web: e_mpa must be 0 or more [MPa]"),
    (lambda: Part("web", 3.0, 90.0, 45.0, 9e3, inclination_deg=88.0), "within 85 of the vertical"),
    (lambda: Part("core", 30.0, 90.0, 45.0, 9e3, width_gain_mm=-80.0), "must not exceed twice the mean width"),
    (lambda: Section(()), "section must have at least one part"),
    (lambda: Section((Part("foam", 30.0, 90.0, 45.0, 0.0),)), "must have a part with a modulus above 0"),
    (lambda: Section((BAR,)).shear_stiffness, "g_mpa must be given for every part"),
    (lambda: Section((BAR,)).web_area_mm2, "must have a part marked as web"),
    (lambda: Section((BAR,)).shear_stress(10.0, 99.0), "cut width must be greater than 0"),
    (lambda: Section((Part("a", 10, 6, 3, 1e3, 9.0), Part("b", 10, 6, 30, 1e3, 9.0))).shear_stiffness, "no gap"),
    (lambda: Section((Part("bar", [10.0, 20.0], 6.0, 3.0, 10e3),)).table(), "must be a single section"),
    (lambda: Section.from_layers(9e3, 2.0), "thickness_mm must list the layers"),
    (lambda: shift_to_neutral_axis(10.0, 4.0, 3.0), "must be at least EA y^2"),
    (lambda: attached_width("twenty t", thickness_mm=6.0), "must be one of lr_frp"),
    (lambda: attached_width("bv_span", thickness_mm=6.0), "span_mm must be given for this rule"),
    (lambda: hat_section(**HAT, cap_width_mm=70.0), "cap needs width, thickness and modulus"),
    (lambda: angle_section(**ANGLE, flange_e=9e3), "flange needs width, thickness and modulus"),
    (lambda: angle_section(**ANGLE, leg_sides=3), "leg_sides must be 1 or 2"),
    (lambda: Sandwich(3.0, 0.0, 3.0, 9e3, 0.0, 9e3, 20.0), "core_mm must be greater than 0 [mm]"),
    (lambda: sandwich_gain(0.5), "ratio must be 1 or more"),
    (lambda: wrinkling_stress(9e3, 60.0, 20.0, coefficient="rule"), "a number or one of class_rule"),
    (lambda: core_shear_fraction("balsa", "mine"), "must be one of: balsa by iso"),
    (lambda: local_crush(9e3, plate_length_mm=10.0, plate_width_mm=10.0, crush_strength=7.0, hole_diameter_mm=12.0),
     "must leave some area under the plate"),
    (lambda: sandwich_plate(np.ones((3, 3)), 9.0, 9.0, a_mm=1.0, b_mm=1.0, pressure_mpa=1.0), "no bend-twist terms"),
    (lambda: sandwich_plate(np.eye(3), 9.0, 9.0, a_mm=1.0, b_mm=1.0, pressure_mpa=1.0, load="patch"), "'sine'"),
    (lambda: sandwich_plate(np.eye(3), 9.0, 9.0, a_mm=1.0, b_mm=1.0, pressure_mpa=1.0, terms=7), "even whole number"),
    (lambda: standard_beam("propped", load_n=1.0, span_mm=1.0, ei=1.0), "beam case must be one of ss_uniform"),
    (lambda: standard_beam("ss_uniform", load_n=1.0, span_mm=1.0, ei=1.0, ga=-1.0), "ga must be greater than 0 [N]"),
    (lambda: four_point_beam(load_n=1.0, span_mm=10.0, arm_mm=6.0, ei=1.0), "at most half the span"),
    (lambda: Support(0.0, "clamped"), "'pinned', 'fixed' or 'spring'"),
    (lambda: beam_response(1.0, np.inf, 900.0, ENDS[:1], []), "must hold the beam"),
    (lambda: beam_response(1.0, np.inf, 900.0, ENDS, [PointLoad(950.0, 1.0)]), "on the beam, between 0 and 900 [mm]"),
    (lambda: beam_response(1.0, np.inf, 900.0, ENDS, [UniformLoad(-1.0, 5.0, 1.0)]), "received -1.0"),
    (lambda: beam_response(1.0, np.inf, 900.0, ENDS, [PointLoad(9.0, np.nan)]), "force_n must be a finite number [N]"),
    (lambda: beam_response(1.0, np.inf, 900.0, ENDS, [3.0]), "must be a PointLoad or a UniformLoad"),
    (lambda: beam_response(1.0, np.inf, 900.0, ENDS, [PointLoad(450.0, 1.0)]).deflection_at(1.7), "must be a station"),
    (lambda: veneer_layers(4, 9.0), "plies must be an odd whole number"),
    (lambda: veneer_layers(np.nan, 9.0), "plies must be a finite number [-]; received nan"),
    (lambda: veneer_layers(5.5, 9.0), "plies must be a whole number from 3 up [-]; received 5.5"),
    (lambda: veneer_layers("five", 9.0), "plies must be a number [-]; received 'five'"),
    (lambda: beam_response(1e9, np.inf, 100.0, [Support(0.0), Support(100.0)], [PointLoad(50.0, 1.0)], stations=np.nan),
     "stations must be a finite number [-]; received nan"),
    (lambda: beam_response(1e9, np.inf, 100.0, [Support(0.0), Support(100.0)], [PointLoad(50.0, 1.0)], stations=1),
     "stations must be a whole number from 2 up [-]; received 1. Next: try 41."),
    (lambda: veneer_layers(3, [3.0, 3.0]), "must be one number or list 3 veneers"),
    (lambda: parallel_ply_section(plies=3, thickness_mm=9.0, direction="x"), "'along' or 'across'"),
    (lambda: cure_shrinkage_strain(7.0, share_after_gel=0.3), "write 0.07 for 7 %"),
    (lambda: curvature_from_rise(300.0, 400.0), "at most half the straight edge"),
    (lambda: shear_stiffness(SHEET, [6.0], [900.0], axis="z"), "axis must be 'x' or 'y'"),
    (lambda: shear_stiffness(SHEET, [6.0], [900.0], axis="x", strip="thin"), "strip must be 'wide' or 'narrow'"),
    (lambda: shear_stress_at(SHEET, [6.0], 1.0, [4.0], axis="x"), "must lie inside the wall"),
])
def test_messages(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value)
    assert "Next: " in str(caught.value)


def test_every_rule_number_says_how_it_was_read():
    known = {"source seen", "source seen, second hand", "from memory"}
    entries = [*WRINKLING_COEFFICIENTS.values(), *CORE_SHEAR_FRACTIONS.values(), *ATTACHED_WIDTH_RULES.values()]
    assert {entry.status for entry in entries} <= known
    assert all(entry.source for entry in entries)
    assert all(entry.status == "from memory" for (_, rule), entry in CORE_SHEAR_FRACTIONS.items() if rule == "iso")


def test_core_fraction_table_shows_status_and_source():
    table = core_shear_fraction_table()
    assert len(table) == len(CORE_SHEAR_FRACTIONS)
    assert list(table.columns) == ["core", "rule", "fraction of ultimate [-]", "status", "source", "note"]


def test_section_table_carries_units_and_stresses():
    table = hat_section(**HAT).table(moment=1e6)
    assert list(table["part"]) == ["plate", "web", "crown"]
    assert table["share of EI [-]"].sum() == pytest.approx(1.0)
    assert table["stress, bottom fibre [MPa]"].iloc[0] > 0 > table["stress, top fibre [MPa]"].iloc[-1]
    assert all("[" in name for name in table.columns if name != "part")


def test_attached_width_is_held_to_the_spacing():
    assert attached_width("abs_plywood", thickness_mm=12.0, spacing_mm=400.0) == 400.0
    assert attached_width("bv_span", thickness_mm=12.0, span_mm=900.0) == pytest.approx(180.0)
    assert attached_width("iso_frp", thickness_mm=6.0, base_width_mm=110.0) == pytest.approx(120.0)
