"""Refusals, notes and tables of loads and rules: what the user reads."""

import dataclasses
import subprocess
import sys

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials.records import Outboard, Value
from lamcalc.parts import loads, rules

pytestmark = pytest.mark.behaviour

CRAFT = dict(loaded_mass_kg=900, waterline_length_m=4.9, chine_beam_m=1.5, deadrise_deg=14, speed_knots=24,
             category="D")
PANEL = loads.LoadedArea("panel", 460, 900)
ENGINE = dict(mass_kg=104, centre_aft=190, centre_above=60, thrust=2100, thrust_below=560)
BOLTS = dict(bolt_diameter=12, upper_spacing=327, row_spacing=200, plate_width=60, plate_height=60, plate_thickness=5)


def launch(**changes):
    options = {"trailering_factor": 2.5} | changes
    return loads.transom_load(loads.OutboardEngine(**ENGINE), loads.BoltPattern(**BOLTS), **options)


def test_launch_transom_by_hand():
    # weight 104 x 9.80665 = 1019.89 N; thrust moment 2100 x 0.560 = 1176.0 N m; weight moment 193.8 N m (2.5 g: 484.4)
    load = launch()
    ahead, astern, road, sea = load.cases
    assert ahead.upper_row_tension == pytest.approx((1176000 + 193779.4) / 200, rel=1e-6)
    assert ahead.upper_row_equilibrium == pytest.approx(ahead.upper_row_tension - 2100, rel=1e-9)
    assert (ahead.lower_row_tension, astern.upper_row_tension) == (0.0, 0.0)
    assert astern.lower_row_tension == pytest.approx((1176000 - 193779.4) / 200, rel=1e-6)
    assert road.bolt_tension == pytest.approx(484448.5 / 200 / 2, rel=1e-6)
    assert sea.bolt_tension == pytest.approx(4151.1, abs=0.05)
    assert sea.plate_pressure == pytest.approx(4151.1 / (3600 - 113.097), rel=1e-4)
    assert sea.bolt_shear == pytest.approx(637.4, abs=0.05)
    assert load.governing is sea


def test_transom_table_and_factors_for_the_page():
    load = launch()
    table = load.table()
    assert list(table.index) == [case.name for case in load.cases]
    assert all("[" in column for column in table.columns)
    assert table.loc["trailering", "resultant moment [N m]"] == pytest.approx(484.4, abs=0.05)
    statuses = dict(zip(load.factor_table()["symbol"], load.factor_table()["status"], strict=True))
    assert statuses["n"] == "common practice" and statuses["k"] == "unverified (assumed)"
    assert any("lever taken to the lower bolts" in note for note in load.notes)
    assert any("licensed designer" in caution for caution in load.cautions)
    assert load.case("trailering").thrust == 0
    with pytest.raises(InputError, match="load case must be one of full thrust ahead"):
        load.case("towing")


def test_transom_table_refuses_a_batch():
    engine = loads.OutboardEngine(**ENGINE | {"thrust": np.array([1000.0, 2000.0])})
    load = loads.transom_load(engine, loads.BoltPattern(**BOLTS), trailering_factor=2.5)
    with pytest.raises(InputError, match="needs one engine, not a batch"):
        load.table()


def test_tilted_engine_and_jolt_add_to_the_road_case():
    tilted = loads.OutboardEngine(**ENGINE, tilted_centre_aft=300)
    bolts = loads.BoltPattern(**BOLTS)
    road = loads.transom_load(tilted, bolts, trailering_factor=2.5).case("trailering")
    assert road.weight_moment == pytest.approx(104 * 9.80665 * 2.5 * 300)
    jolted = loads.transom_load(tilted, bolts, trailering_factor=2.5, fore_aft_factor=1.0).case("trailering")
    assert jolted.weight_moment - road.weight_moment == pytest.approx(104 * 9.80665 * 60)
    assert jolted.upper_row_tension > road.upper_row_tension + 104 * 9.80665


def test_known_heel_lowers_the_pull():
    bolts = loads.BoltPattern(**BOLTS, heel_below=289)
    load = loads.transom_load(loads.OutboardEngine(**ENGINE), bolts, trailering_factor=2.5)
    assert load.cases[0].upper_row_tension == pytest.approx(1369779.4 / 289, rel=1e-6)
    assert not any("lever taken to the lower bolts" in note for note in load.notes)


@pytest.mark.parametrize(("make", "message"), [
    (lambda: loads.OutboardEngine(**ENGINE | {"mass_kg": -104}),
     r"engine mass must be greater than 0 \[kg\]; received -104"),
    (lambda: loads.OutboardEngine(**ENGINE | {"thrust": -1}), "thrust must be 0 or more"),
    (lambda: loads.OutboardEngine(**ENGINE, tilted_centre_aft=0), "tilted centre of mass"),
    (lambda: loads.BoltPattern(**BOLTS | {"plate_width": 10}), "backing plate must be larger than its hole of 12"),
    (lambda: loads.BoltPattern(**BOLTS | {"plate_width": 400}), "plates would overlap"),
    (lambda: loads.BoltPattern(**BOLTS | {"plate_height": 250}), "plates would overlap"),
    (lambda: loads.BoltPattern(**BOLTS, heel_below=150), "must be at least the row spacing 200"),
    (lambda: loads.BoltPattern(**BOLTS, hole_diameter=10), "must be at least the bolt diameter 12"),
    (lambda: loads.BoltPattern(**BOLTS, upper_bolts=1.5), "must be a whole number"),
    (lambda: launch(trailering_factor=0.5), r"trailering factor must be 1 or more \[g\]; received 0.5"),
    (lambda: launch(astern_fraction=60), "looks like a percentage: write 0.6 for 60 %"),
    (lambda: loads.transom_load(loads.OutboardEngine(**ENGINE | {"thrust_below": 150}), loads.BoltPattern(**BOLTS),
                                trailering_factor=2), "must be more than the heel's 200"),
    (lambda: loads.cruising_thrust(85, 25, efficiency=55), "looks like a percentage: write 0.55 for 55 %"),
    (lambda: loads.cruising_thrust(85, 0, efficiency=0.55), r"speed must be greater than 0 \[knots\]"),
    (lambda: loads.disc_thrust(85, 350, merit=70), "write 0.7 for 70 %"),
    (lambda: loads.static_thrust(-85, 350), "shaft power must be greater than 0"),
    (lambda: loads.user_load(-3, basis="me"), r"pressure must be greater than 0 \[kN/m2\]; received -3"),
    (lambda: loads.user_load(18000, basis="me"), "looks like N/m2: divide by 1000"),
    (lambda: loads.user_load(18, basis=" "), "must say where the load comes from"),
    (lambda: loads.user_load(18, basis="me", status="certain"), "status must be one of"),
    (lambda: loads.patch_load(0, length=100, width=100, basis="foot"), "force must be greater than 0"),
    (lambda: loads.MotorCraft(**CRAFT | {"category": "E"}), "design category must be A, B, C or D"),
    (lambda: loads.MotorCraft(**CRAFT | {"deadrise_deg": 55}), r"deadrise must be 0 to below 50 \[deg\]"),
    (lambda: loads.MotorCraft(**CRAFT | {"loaded_mass_kg": float("nan")}), "loaded mass must be a finite number"),
    (lambda: loads.LoadedArea("panel", 900, 460), "swap the two sides"),
    (lambda: loads.LoadedArea("plate", 460, 900), "must be 'panel' or 'stiffener'"),
    (lambda: loads.longitudinal_factor(40, 3), "write 0.4 for 40 %"),
    (lambda: loads.height_factor(height_m=0.7, topside_height_m=0.5), "must not exceed the topside height 0.5"),
    (lambda: loads.area_factor(loads.LoadedArea("stiffener", 400, 6000), 900, mode="displacement"), "below 5000 mm"),
    (lambda: loads.area_factor(PANEL, 900, mode="foiling"), "must be 'planing' or 'displacement'"),
    (lambda: loads.power_limit(0, 1500, remote_steering=True, transom_height=508), "boat length must be greater"),
    (lambda: loads.power_limit([3e3, 4e3], 1500, remote_steering=True, transom_height=508), "must be one boat"),
    (lambda: rules.panel_moment(26, 400, k2=0.5), "it looks like kN/m2: write 0.026 for 26 kN/m2"),
    (lambda: rules.moment_factor(0.8), "aspect ratio must be 1 or more"),
    (lambda: rules.moment_factor(1.5, method="spline"), "must be one of table, formula"),
    (lambda: rules.curvature_factor(-0.1), "rise over side must be 0 or more"),
    (lambda: rules.minimum_glass_mass("keel", loaded_mass_kg=900, speed_knots=9, waterline_length_m=5),
     "location must be one of bottom"),
    (lambda: rules.draft_skin_thickness("middle", waterline_length_m=5, k4=1), "skin must be one of outer, inner"),
    (lambda: rules.frp_ship_sandwich_factor(alpha=0.9, beta=1.2), "do not extrapolate"),
    (lambda: rules.vessel_cycle_factor(50), "must lie in 1000 to 1e\\+06"),
    (lambda: rules.vessel_design_factor(k1=0.9, k2=1.2, k3=1, k4=1.1, k5=1.5), "k1 must be 1 or more"),
    (lambda: rules.slenderness_limit("web", "oak"), "is known for web of FRP"),
    (lambda: rules.requirement("iso_keel"), "rule must be one of iso_panel_moment"),
    (lambda: rules.requirement("iso_single_skin", 0.026, 400, k2=0.5), "missing a required argument: 'design_stress'"),
])
def test_refusals(make, message):
    with pytest.raises(InputError, match=message):
        make()


def test_thrust_claims_above_the_ideal_disc_are_refused():
    # 115 hp, 14 in propeller: ideal bound 11.4 kN; 25, 30 and 100 lb per hp all lie above
    for pounds in (25, 30, 100):
        with pytest.raises(InputError, match="ideal disc thrust of 11440 N .* no open propeller at rest can give it"):
            loads.check_thrust_claim(pounds * 115 * 4.44822, power_kw=85.755, propeller_diameter=355.6)
    honest = loads.check_thrust_claim(7432, power_kw=85.755, propeller_diameter=355.6)
    assert 0.5 < honest.implied_merit < 0.55
    with pytest.raises(InputError):  # one bad claim in a batch is enough
        loads.check_thrust_claim([7000, 13000], power_kw=85.755, propeller_diameter=355.6)


def test_a_claim_below_the_bound_is_not_praised():
    low = loads.check_thrust_claim(2100, power_kw=30, propeller_diameter=292)
    assert any("below the published static formula" in note for note in low.notes)
    high = loads.check_thrust_claim(11000, power_kw=85.755, propeller_diameter=355.6)
    assert any("merit above 0.7" in note for note in high.notes)


def test_cap_of_seven_g_is_reported():
    craft = loads.MotorCraft(**CRAFT | {"loaded_mass_kg": 200, "speed_knots": 45})
    pressure = loads.bottom_pressure(craft, PANEL, x_over_lwl=0.4)
    assert craft.dynamic_load_factor.value == 7.0
    assert any("cap of 7 g; calculated 9.14" in note for note in pressure.notes)
    assert any("nCG for kL held within 3 to 6" in note for note in pressure.notes)


def test_step_of_the_second_formula_is_reported():
    craft = loads.MotorCraft(**CRAFT | {"loaded_mass_kg": 900, "speed_knots": 17})
    factor = craft.dynamic_load_factor
    assert factor.value < 3 and "below 3: consider 3" in factor.note and factor.label == "unverified (from memory)"


def test_every_pressure_lists_value_clause_and_status():
    pressure = loads.bottom_pressure(loads.MotorCraft(**CRAFT), PANEL, x_over_lwl=0.4)
    table = pressure.table()
    assert list(table.columns) == ["symbol", "name", "value", "unit", "clause", "status", "note"]
    assert set(table["symbol"]) >= {"kDC", "nCG", "kL", "kAR", "PBMD_base", "PBMP_base", "PBMD", "PBMP", "PBM_min"}
    assert {"kL", "kAR", "PBMP"} <= set(pressure.unverified) and "PBMD_base" not in pressure.unverified
    assert table.loc[table["symbol"] == "kL", "status"].item() == "unverified (from memory)"
    assert any("licensed designer" in note for note in pressure.notes)


def test_batch_table_shows_the_range():
    pressure = loads.bottom_pressure(loads.MotorCraft(**CRAFT), PANEL, x_over_lwl=[0.0, 0.6])
    value = pressure.table().set_index("symbol").loc["kL", "value"]
    assert value.endswith(" to 1")


def test_transom_pressure_is_flagged_low_confidence():
    pressure = loads.transom_pressure(loads.MotorCraft(**CRAFT), PANEL, height_m=0.2, topside_height_m=0.5)
    side = loads.side_pressure(loads.MotorCraft(**CRAFT), PANEL, x_over_lwl=0, height_m=0.2, topside_height_m=0.5)
    assert pressure.value_kn_m2 == side.value_kn_m2
    assert any("low confidence" in note for note in pressure.notes)


def test_bulkheads():
    assert loads.bulkhead_pressure(0.5).value_kn_m2 == 3.5
    assert loads.bulkhead_pressure(0.5, tank=True).value_kn_m2 == 5.0


def test_engine_mass_short_transom():
    kilogram = lambda mass: Value(mass, None, None, "kg", "source seen", "OBMASS")  # noqa: E731
    band = Outboard("b", "band", "source seen", "OBMASS", 35, 64.9, 26.1, 48.4, kilogram(130.0), kilogram(136.0),
                    kilogram(6.0), kilogram(20.0), kilogram(45.0), kilogram(208.0))
    full, short = loads.engine_mass(band), loads.engine_mass(band, short_transom=True)
    assert (full.running_kg, full.total_kg) == (136.0, 207.0)
    assert (short.dry_kg, short.running_kg) == pytest.approx((117.0, 1.05 * 117.0))
    assert short.total_kg == pytest.approx(1.05 * 117.0 + 71.0)
    assert full.submerged_kg == pytest.approx(0.85 * 136.0)
    assert any("10 %" in note for note in short.notes) and not any("10 %" in note for note in full.notes)


def test_user_loads():
    load = loads.user_load(18, basis="bottom, from the designer", status="assumed")
    assert load.table()["status"].tolist() == ["unverified (assumed)"] and load.rule == "user load"
    foot = loads.patch_load([1200, 2400], length=100, width=100, basis="sole at the helm")
    assert foot.pressure.tolist() == [0.12, 0.24]


def test_registry_answers_with_rule_and_status():
    arguments = {
        "iso_panel_moment": ((0.02, 400), {"k2": 0.5}), "iso_panel_shear": ((0.02, 400), {}),
        "iso_single_skin": ((0.02, 400), {"k2": 0.5, "design_stress": 60}),
        "iso_sandwich_modulus": ((0.02, 400), {"k2": 0.5, "design_stress": 60}),
        "iso_sandwich_second_moment": ((0.02, 400), {"k3": 0.028, "e": 9000}),
        "iso_sandwich_shear": ((0.02, 400), {"ksh": 0.5, "core_shear_stress": 0.4}),
        "iso_core_shear_strength": ((8.0,), {}),
        "iso_glass_mass": (("deck",), {"loaded_mass_kg": 900, "speed_knots": 24, "waterline_length_m": 4.9}),
        "iso_plywood": (("bottom",), {"loaded_mass_kg": 900, "speed_knots": 24, "flexural_strength": 40}),
        "iso_skin_glass_mass": (("outer",), {"waterline_length_m": 5, "category_factor": 0.4, "k4": 1, "k5": 1,
                                             "k6": 1}),
        "iso_stiffener_web": ((0.02, 400, 900), {"design_shear_stress": 29}),
        "iso_stiffener_modulus": ((0.02, 400, 900), {"design_stress": 50}),
        "iso_stiffener_second_moment": ((0.02, 400, 900), {"e": 9000}),
        "draft_skin": (("outer",), {"waterline_length_m": 5, "k4": 1.1}),
        "frp_ship_shell": (("side",), {"spacing_m": 0.4, "draught_m": 0.3, "length_m": 5}),
        "frp_ship_bow": ((), {"spacing_m": 0.4, "length_m": 5, "alpha": 1.1}),
        "light_craft_stiffener": ((0.02, 400, 900), {"allowable_stress": 50}),
    }
    for name in ("abs_strength", "abs_stiffness", "abs_sandwich_modulus", "abs_sandwich_second_moment"):
        arguments[name] = ((0.02, 400), {"aspect_ratio": 2, "allowable_stress": 50, "e": 9000})
    for name in ("abs_stiffener_modulus", "abs_stiffener_second_moment"):
        arguments[name] = ((0.02, 400, 900), {"allowable_stress": 50, "e": 9000})
    assert set(arguments) == set(rules.RULES)
    table = rules.rules_table()
    for key, (positional, named) in arguments.items():
        need = rules.requirement(key, *positional, **named)
        assert need.value > 0 and need.unit == table.loc[key, "unit"] and need.label == table.loc[key, "status"]
        assert "licensed designer" in need.notes[-1]
    assert (rules.requirement("abs_strength", 0.02, 400, aspect_ratio=2, allowable_stress=50, e=9000).value
            < rules.requirement("abs_stiffness", 0.02, 400, aspect_ratio=2, allowable_stress=50, e=9000).value)


def test_rule_docstrings_say_how_the_formula_is_known():
    for key, rule in rules.RULES.items():
        text = rule.function.__doc__
        assert rule.status.removeprefix("source ") in text, key


def test_results_are_frozen():
    for item in (launch(), loads.user_load(18, basis="me"), rules.requirement("iso_core_shear_strength", 8.0)):
        with pytest.raises(dataclasses.FrozenInstanceError):
            item.notes = ()


def test_loads_and_rules_import_numpy_only():
    code = ("import sys; import lamcalc.parts.loads, lamcalc.parts.rules; "
            "print([m for m in ('pandas', 'pint', 'matplotlib', 'ipywidgets') if m in sys.modules])")
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
