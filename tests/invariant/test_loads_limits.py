"""Limits, balance and monotony of the rule pressures, panel rules and transom loads."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lamcalc.parts import loads, rules

pytestmark = pytest.mark.invariant
quick = settings(deadline=None, max_examples=60)
WEIGHT = 9.80665


def span(low, high):
    return st.floats(low, high, allow_nan=False)


crafts = st.builds(loads.MotorCraft, span(150, 8000), span(3, 12), span(0.8, 3.5), span(0, 30), span(2, 45),
                   st.sampled_from("ABCD"))
areas = st.builds(lambda kind, short, more: loads.LoadedArea(kind, short, short * more),
                  st.sampled_from(["panel", "stiffener"]), span(100, 900), span(1, 4))


def value(pressure, symbol):
    return next(f.value for f in pressure.factors if f.symbol == symbol)


@quick
@given(crafts, areas, span(0, 1), span(0, 1))
def test_no_pressure_below_its_minimum(craft, area, place, height):
    bottom = loads.bottom_pressure(craft, area, x_over_lwl=place)
    side = loads.side_pressure(craft, area, x_over_lwl=place, height_m=height, topside_height_m=1.0)
    deck = loads.deck_pressure(craft, area, x_over_lwl=place)
    for pressure, floor, parts in ((bottom, "PBM_min", ("PBMD", "PBMP")), (side, "PSM_min", ("PSMD", "PSMP")),
                                   (deck, "PDM_min", ("PDM",))):
        assert pressure.value_kn_m2 == max(value(pressure, name) for name in (*parts, floor))
        assert pressure.value_mpa == pressure.value_kn_m2 / 1000
        raised = any("minimum" in note for note in pressure.notes)
        assert raised == (pressure.value_kn_m2 == value(pressure, floor) > max(value(pressure, n) for n in parts))


@quick
@given(crafts, areas, span(0, 1))
def test_limited_factors_say_so(craft, area, place):
    pressure = loads.bottom_pressure(craft, area, x_over_lwl=place)
    factors = {f.symbol: f for f in pressure.factors}
    assert 0 < factors["nCG"].value <= 7
    assert bool(factors["kL"].note) == (not 3 <= factors["nCG"].value <= 6)
    for factor in pressure.factors:
        if factor.symbol == "kAR":
            assert area.floor <= factor.value <= 1
            assert bool(factor.note) == (factor.value in (area.floor, 1.0))
        if factor.note:
            assert any(factor.note in note for note in pressure.notes)


@quick
@given(crafts, areas, span(0, 1), span(1.01, 1.5))
def test_bottom_pressure_grows_with_speed_while_one_formula_holds(craft, area, place, gain):
    faster = loads.MotorCraft(craft.loaded_mass_kg, craft.waterline_length_m, craft.chine_beam_m, craft.deadrise_deg,
                              craft.speed_knots * gain, craft.category)
    # the rule steps where its second formula takes over
    assume(craft.dynamic_load_factor.status == faster.dynamic_load_factor.status)
    slow, fast = (loads.bottom_pressure(c, area, x_over_lwl=place) for c in (craft, faster))
    assert value(fast, "nCG") >= value(slow, "nCG")
    assert value(fast, "PBMP_base") >= value(slow, "PBMP_base")
    assert fast.value_kn_m2 >= slow.value_kn_m2 * (1 - 2e-3)  # kL of a held nCG may exceed 1 by 0.2 %


@quick
@given(crafts, areas, span(1.01, 1.5))
def test_bottom_pressure_grows_with_mass_while_one_formula_holds(craft, area, gain):
    heavier = loads.MotorCraft(craft.loaded_mass_kg * gain, craft.waterline_length_m, craft.chine_beam_m,
                               craft.deadrise_deg, craft.speed_knots, craft.category)
    assume(craft.dynamic_load_factor.status == heavier.dynamic_load_factor.status)
    light, heavy = (loads.bottom_pressure(c, area, x_over_lwl=0.8) for c in (craft, heavier))
    assert heavy.value_kn_m2 >= light.value_kn_m2


def test_pressure_batch_equals_loop():
    mass, speed = np.array([300.0, 625.0, 2500.0]), np.array([35.0, 9.5, 24.0])
    batch = loads.bottom_pressure(loads.MotorCraft(mass, 4.5, 1.4, 15, speed, "C"),
                                  loads.LoadedArea("panel", [300.0, 400.0, 500.0], 900.0), x_over_lwl=0.3)
    single = [loads.bottom_pressure(loads.MotorCraft(m, 4.5, 1.4, 15, v, "C"),
                                    loads.LoadedArea("panel", b, 900.0), x_over_lwl=0.3).value_kn_m2
              for m, v, b in zip(mass, speed, (300.0, 400.0, 500.0), strict=True)]
    assert batch.value_kn_m2 == pytest.approx(single, rel=1e-12)


@quick
@given(span(1, 6), span(1, 6))
def test_panel_factors_grow_with_aspect(one, two):
    low, high = sorted((one, two))
    for factor in (rules.moment_factor, rules.deflection_factor, rules.shear_factor):
        assert factor(low) <= factor(high)


def test_panel_factor_ends():
    assert rules.moment_factor(1.0) == 0.308 and rules.moment_factor(50.0) == 0.5
    assert rules.deflection_factor(1.0) == 0.014 and rules.deflection_factor(50.0) == 0.028
    assert rules.shear_factor(50.0) == 0.5


@quick
@given(span(0.001, 0.2), span(100, 1500), span(10, 200), span(0.5, 1))
def test_thickness_carries_the_moment(pressure, side, stress, kc):
    thickness = rules.single_skin_thickness(pressure, side, k2=0.5, design_stress=stress, kc=kc)
    assert rules.panel_moment(pressure, side, k2=0.5, kc=kc) == pytest.approx(stress * thickness**2 / 6, rel=1e-12)


@quick
@given(span(2, 300), span(200, 500), span(0.05, 1))
def test_disc_bound_scales_and_holds(power, diameter, merit):
    bound = loads.disc_thrust(power, diameter)
    assert loads.disc_thrust(power, diameter, merit=merit) == pytest.approx(bound * merit ** (2 / 3), rel=1e-12)
    assert loads.disc_thrust(8 * power, diameter) == pytest.approx(4 * bound, rel=1e-12)
    passed = loads.check_thrust_claim(0.999999 * bound, power_kw=power, propeller_diameter=diameter)
    assert passed.implied_merit == pytest.approx(1.0, abs=1e-5)


engines = st.builds(lambda mass, aft, thrust, deep, up: loads.OutboardEngine(
    mass, centre_aft=aft, thrust=thrust, thrust_below=deep, centre_above=up),
    span(10, 400), span(80, 500), span(0, 15000), span(450, 900), span(-200, 300))
brackets = st.builds(lambda row, more: loads.BoltPattern(12, 327, row, 60, 60, 5, heel_below=row + more),
                     span(150, 250), span(0, 120))


@quick
@given(engines, brackets, span(1, 4), span(0, 1), span(0, 2))
def test_every_case_is_in_balance(engine, bolts, factor, astern, jolt):
    """Forces and moments about the heel add to nothing, from the reported forces alone."""
    load = loads.transom_load(engine, bolts, trailering_factor=factor, astern_fraction=astern, fore_aft_factor=jolt)
    for case in load.cases:
        push = WEIGHT * engine.mass_kg * (jolt if case.name == "trailering" else 0.0)
        at_heel = case.resultant_moment >= 0
        forward = case.upper_row_equilibrium + case.lower_row_tension + case.thrust
        aft = push + case.bearing_force
        scale = abs(forward) + abs(aft) + 1.0
        assert forward == pytest.approx(aft, abs=1e-9 * scale)
        heel = bolts.heel_below
        turning = (case.thrust * (engine.thrust_below - heel)
                   + WEIGHT * engine.mass_kg * case.vertical_factor * engine.centre_aft
                   + push * (engine.centre_above + heel))
        holding = (case.upper_row_equilibrium * heel + case.lower_row_tension * (heel - bolts.row_spacing)
                   - (0.0 if at_heel else case.bearing_force * heel))
        assert turning == pytest.approx(holding, abs=1e-8 * scale * 1000)
        assert case.upper_row_tension >= case.upper_row_equilibrium - 1e-9 * scale
        assert case.bolt_shear * 4 == pytest.approx(case.vertical_factor * WEIGHT * engine.mass_kg, rel=1e-12)


@quick
@given(engines, span(1.1, 3))
def test_loads_scale_with_thrust_and_mass(engine, gain):
    bolts = loads.BoltPattern(12, 327, 200, 60, 60, 5)
    bigger = loads.OutboardEngine(engine.mass_kg * gain, centre_aft=engine.centre_aft, thrust=engine.thrust * gain,
                                  thrust_below=engine.thrust_below, centre_above=engine.centre_above)
    small, large = (loads.transom_load(e, bolts, trailering_factor=2.5) for e in (engine, bigger))
    for one, other in zip(small.cases, large.cases, strict=True):
        assert other.bolt_tension == pytest.approx(gain * one.bolt_tension, rel=1e-9, abs=1e-6)
        assert other.plate_pressure == pytest.approx(gain * one.plate_pressure, rel=1e-9, abs=1e-9)


def test_transom_batch_equals_loop():
    thrust = np.array([1000.0, 2100.0, 7400.0])
    bolts = loads.BoltPattern(12, 327, 200, 60, 60, 5)

    def load(force):
        engine = loads.OutboardEngine(104, centre_aft=190, thrust=force, thrust_below=560)
        return loads.transom_load(engine, bolts, trailering_factor=2.5)

    batch = load(thrust)
    for index, force in enumerate(thrust):
        for many, one in zip(batch.cases, load(force).cases, strict=True):
            assert np.broadcast_to(many.bolt_tension, 3)[index] == pytest.approx(one.bolt_tension, rel=1e-12)
    assert batch.governing.name == "full thrust ahead in a seaway"
