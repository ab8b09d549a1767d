"""Compositions of the rule pressures worked by hand from the formulas as written down (from memory in the source)."""

import pytest

from lamcalc.errors import InputError
from lamcalc.parts import loads, rules

pytestmark = pytest.mark.behaviour

CRAFT = loads.MotorCraft(900, 4.9, 1.5, 14, 24, "D")
NCG = 0.5 * 24 / 900**0.17  # 3.776: first formula gives 6.81, above 3
KDC = 0.4
PLANING = 0.1 * 900 / (4.9 * 1.5) * (1 + KDC**0.5 * NCG)
DISPLACEMENT = 2.4 * 900**0.33 + 20
DECK = 0.35 * 4.9 + 14.6


def kar(design_area_m2, kr=1.0):
    return kr * 0.1 * 900**0.15 / design_area_m2**0.3


def along(place):
    return (1 - 0.167 * NCG) / 0.6 * place + 0.167 * NCG


def test_bottom_of_a_long_panel():
    # 300 x 1200 mm: AD is capped at 2.5 b2 = 0.225 m2
    pressure = loads.bottom_pressure(CRAFT, loads.LoadedArea("panel", 300, 1200), x_over_lwl=0.4)
    assert pressure.value_kn_m2 == pytest.approx(PLANING * kar(0.225) * along(0.4), rel=1e-12)


def test_bottom_of_a_narrow_stiffener():
    # 200 x 1500 mm: AD is at least 0.33 lu2 = 0.7425 m2
    pressure = loads.bottom_pressure(CRAFT, loads.LoadedArea("stiffener", 200, 1500), x_over_lwl=0.4)
    assert pressure.value_kn_m2 == pytest.approx(PLANING * kar(0.7425) * along(0.4), rel=1e-12)


def test_bottom_of_a_slow_boat_is_governed_by_displacement_mode():
    craft = loads.MotorCraft(900, 4.9, 1.5, 14, 5, "C")
    pressure = loads.bottom_pressure(craft, loads.LoadedArea("panel", 500, 800), x_over_lwl=0.7)
    assert pressure.notes[0] == "governed by PBMD"
    assert pressure.value_kn_m2 == pytest.approx(DISPLACEMENT * kar(0.4, 1.5 - 3e-4 * 500) * 0.6, rel=1e-12)


@pytest.mark.parametrize(("kind", "kr"), [("panel", 1.5 - 3e-4 * 500), ("stiffener", 1 - 2e-4 * 800)])
def test_side_in_both_modes(kind, kr):
    place = {"x_over_lwl": 0.4, "height_m": 0.1, "topside_height_m": 0.5}
    pressure = loads.side_pressure(CRAFT, loads.LoadedArea(kind, 500, 800), **place)
    parts = {f.symbol: f.value for f in pressure.factors}
    common = KDC * along(0.4)
    assert parts["kZ"] == pytest.approx(0.8)
    assert parts["PSMP"] == pytest.approx((DECK + 0.8 * (0.25 * PLANING - DECK)) * kar(0.4) * common, rel=1e-12)
    assert parts["PSMD"] == pytest.approx((DECK + 0.8 * (DISPLACEMENT - DECK)) * kar(0.4, kr) * common, rel=1e-12)
    assert pressure.value_kn_m2 == parts["PSMD"]


@pytest.mark.parametrize(("kind", "kr"), [("panel", 1.5 - 3e-4 * 400), ("stiffener", 1.0)])
def test_deck_uses_the_greater_area_factor(kind, kr):
    craft = loads.MotorCraft(900, 4.9, 1.5, 14, 24, "A")
    pressure = loads.deck_pressure(craft, loads.LoadedArea(kind, 400, 400), x_over_lwl=0.8)
    assert pressure.value_kn_m2 == pytest.approx(DECK * kar(0.16, kr), rel=1e-12)


def test_area_factor_floor_is_the_users():
    wide = loads.LoadedArea("panel", 2000, 3000, minimum_kar=0.4)
    factor = loads.area_factor(wide, 900, mode="planing")
    assert factor.value == 0.4 and "held within 0.4 to 1" in factor.note
    default = loads.area_factor(loads.LoadedArea("panel", 2000, 3000), 900, mode="planing")
    assert default.value == 0.25


def test_sandwich_needs_its_own_floor():
    with pytest.raises(InputError, match="minimum kAR must be given for sandwich"):
        loads.LoadedArea("panel", 460, 900, construction="sandwich")
    assert loads.LoadedArea("panel", 460, 900, construction="sandwich", minimum_kar=1.0).floor == 1.0
    with pytest.raises(InputError, match="must be 'single skin' or 'sandwich'"):
        loads.LoadedArea("panel", 460, 900, construction="plywood")


@pytest.mark.parametrize(("location", "k7"), [("bottom", 0.03), ("side", 0.0), ("transom", 0.0)])
def test_minimum_glass(location, k7):
    value = rules.minimum_glass_mass(location, loaded_mass_kg=900, speed_knots=24, waterline_length_m=4.9, k5=0.9)
    assert value == pytest.approx(0.43 * 0.9 * (1.5 + k7 * 24 + 0.15 * 900**0.33), rel=1e-12)


def test_minimum_glass_of_a_deck_and_plywood():
    deck = rules.minimum_glass_mass("deck", loaded_mass_kg=900, speed_knots=24, waterline_length_m=4.9)
    assert deck == pytest.approx(1.45 + 0.14 * 4.9, rel=1e-12)
    plywood = rules.minimum_plywood_thickness("bottom", loaded_mass_kg=900, speed_knots=24, flexural_strength=40)
    assert plywood == pytest.approx((30 / 40) ** 0.5 * (3 + 0.05 * 24 + 0.3 * 900**0.33), rel=1e-12)


def test_minimum_sandwich_skins():
    inputs = dict(waterline_length_m=8.0, category_factor=0.6, k4=0.9, k5=0.7, k6=1.1)
    outer = rules.minimum_skin_glass_mass("outer", **inputs)
    assert outer == pytest.approx(0.6 * 0.9 * 0.7 * 1.1 * (0.8 + 0.15), rel=1e-12)
    assert rules.minimum_skin_glass_mass("inner", **inputs) == pytest.approx(0.7 * outer, rel=1e-12)


@pytest.mark.parametrize(("ratio", "value"), [(1.0, 0.339), (1.6, 0.035 + 0.394 * 1.6 - 0.09 * 2.56), (2.0, 0.463),
                                              (3.0, 0.493), (4.0, 0.5)])
def test_shear_factor(ratio, value):
    assert rules.shear_factor(ratio) == pytest.approx(value, abs=1e-12)


@pytest.mark.parametrize(("ends", "printed"), [
    ("continuous longitudinal", 85), ("fixed", 100), ("simply supported", 135), ("bulkhead continuous", 65),
    ("bulkhead fixed", 85), ("bulkhead simply supported", 125)])
def test_light_craft_stiffener_coefficients(ends, printed):
    # Iranian Classification Society, High Speed and Light Craft: Z [cm3] = m l2 s p / sigma with m, kN/m2, N/mm2
    modulus = rules.class_stiffener_section_modulus(0.018, 460, 900, allowable_stress=50, ends=ends)
    assert modulus / 1e3 == pytest.approx(printed * 0.9**2 * 0.46 * 18 / 50, rel=1e-12)


def test_class_forms_equal_plate_and_beam_theory():
    # the constants of the ABS form (from memory) are rounded clamped-beam values
    strength, stiffness = rules.abs_single_skin_thickness(0.02, 400, aspect_ratio=3, allowable_stress=50, e=9000)
    assert strength == pytest.approx(400 * (0.02 * 0.5 / 50) ** 0.5, rel=1e-12)
    assert 0.028 * 0.02 * 400**4 / (9000 * stiffness**3) == pytest.approx(0.015 * 400, rel=1e-9)
    modulus, inertia = rules.abs_stiffener(0.02, 400, 900, allowable_stress=50, e=9000)
    assert modulus == pytest.approx(0.02 * 400 * 900**2 / 12 / 50, rel=1e-3)
    assert 0.02 * 400 * 900**4 / (384 * 9000 * inertia) == pytest.approx(0.005 * 900, rel=2e-3)
    section, second = rules.abs_sandwich(0.02, 400, aspect_ratio=3, allowable_stress=50, e=9000)
    assert section == pytest.approx(strength**2 / 6, rel=1e-12)
    assert second == pytest.approx(stiffness**3 / 12, rel=1e-12)
