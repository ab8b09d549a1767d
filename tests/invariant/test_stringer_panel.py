"""Stringers and panels: limits, proportions, nothing better in a sized grid."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.materials import catalogue
from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
from lamcalc.parts.panel_repair import compare_repair
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.parts.stringer_sizing import size_stringer
from lamcalc.schedule import CoreLayer, Ply, Schedule, SolidLayer

pytestmark = pytest.mark.invariant

SHOP = catalogue.load()
STRONG = (100.0, 100.0, 100.0, 100.0, 58.0)


def laid(name, count=1):
    ply = Ply(SHOP.reinforcement(name), SHOP.resin("iso_polyester"), SHOP.process("hand"), count=count)
    return Schedule((ply,), SHOP.fibres, name=name)


def solid(thickness, e=10e3):
    return Schedule((SolidLayer("sheet", thickness, e, strengths_mpa=STRONG),), {})


HAT = Stringer("hat", laid("csm_450", 5), laid("biax45_1708", 2), 95.0, (75.0, 100.0), 110.0, 70.0, laid("ud_400", 3), 70.0,
               Former(80.0))
LOAD = StringerLoad(900.0, 460.0, pressure=0.018)


@given(factor=st.floats(0.1, 5.0))
@settings(max_examples=10, deadline=None)
def test_margins_go_with_the_inverse_of_the_load(factor):
    one, more = assess_stringer(HAT, LOAD), assess_stringer(HAT, replace(LOAD, pressure=0.018 * factor))
    for a, b in zip(one.margins, more.margins, strict=True):
        assert b.reserve_factor * factor == pytest.approx(a.reserve_factor, rel=1e-9)
    assert more.deflection_mm == pytest.approx(factor * one.deflection_mm, rel=1e-9)


def test_simple_ends_cost_half_more_moment_and_five_times_the_bending():
    fixed, simple = assess_stringer(HAT, LOAD), assess_stringer(HAT, replace(LOAD, ends="simple"))
    assert simple.bending_mm == pytest.approx(5 * fixed.bending_mm, rel=1e-9)
    assert simple.shearing_mm == pytest.approx(fixed.shearing_mm, rel=1e-9)
    assert abs(simple.crown_strain[0]) == pytest.approx(1.5 * abs(fixed.crown_strain[0]), rel=1e-9)


def test_crown_is_in_tension_between_the_supports_and_compression_over_them():
    fixed = assess_stringer(HAT, LOAD)
    assert fixed.crown_strain[0] < 0 < fixed.crown_strain[1]
    assert fixed.plate_strain[1] < 0 < fixed.plate_strain[0]


def test_former_that_carries_adds_stiffness_and_takes_load_off_the_cap():
    carries = replace(HAT, former=Former(480.0, e=8000.0, g=500.0, strength=40.0))
    a, b = assess_stringer(HAT, LOAD), assess_stringer(carries, LOAD)
    assert b.ei > a.ei and max(map(abs, b.crown_strain)) < max(map(abs, a.crown_strain))
    assert "former in bending" in [m.name for m in b.margins]


def test_solid_core_is_a_hat_with_upright_webs():
    former = Former(480.0, e=8000.0, g=500.0, strength=40.0)
    solid_core = replace(HAT, kind="solid_core", base_width=60.0, top_width=60.0, former=former, cap=None, cap_width=None)
    assert solid_core.section().ei == pytest.approx(replace(solid_core, kind="hat").section().ei, rel=1e-12)
    assert solid_core.developed_widths == pytest.approx((2 * 75 + 2 * 95 + 60, 2 * 100 + 2 * 95 + 60))


def test_mass_and_cost_are_the_sum_of_the_strips():
    table = assess_stringer(HAT, LOAD).cut_table()
    assert table["mass [kg/m]"].sum() + 0.09 * 95e-3 * 80.0 == pytest.approx(HAT.mass_kg_m, rel=1e-9)


def test_bond_shear_balances_the_axial_force_of_the_stringer():
    """Over the half span from a simple end the flow adds up to the force above the plating at mid-span."""
    load = replace(LOAD, ends="simple")
    found = assess_stringer(HAT, load)
    part_force = [s * t for s, t in zip(found.section.part_stresses(load.moments[0]).mean(axis=-1), areas(found.section))]
    flow = found.bond_shear * 2 * 100.0
    # shear falls evenly from its largest to zero: mean half of it, times half the span
    assert abs(sum(part_force[1:])) == pytest.approx(flow / 2 * load.span / 2, rel=1e-6)


def areas(section):
    return [float(p.horizontal_width_mm * p.height_mm) for p in section.parts]


@pytest.mark.parametrize("objective, rules", [("mass", True), ("cost", False)])
def test_sizing_finds_the_least_by_enumeration(objective, rules):
    prices = {"biax45_1708": price(7.2), "ud_400": price(5.1)}
    hat = replace(HAT, skin=replace(HAT.skin, prices=prices), cap=replace(HAT.cap, prices=prices))
    grid = dict(plies=(1, 2, 3), cap_layers=(0, 2), heights=(50.0, 70.0))
    found = size_stringer(hat, LOAD, **grid, objective=objective, reserve=1.5, use_rules=rules)
    assert found.combinations == [(p, c, h) for p in grid["plies"] for c in grid["cap_layers"] for h in grid["heights"]]
    best, passing = None, 0
    for plies, cap, height in found.combinations:
        skin = hat.skin.with_layers([replace(hat.skin.layers[0], count=plies)])
        top = {"cap": None, "cap_width": None} if not cap else {
            "cap": hat.cap.with_layers([replace(hat.cap.layers[0], count=cap)])}
        trial = replace(hat, skin=skin, legs=(75.0, 100.0, 125.0)[:plies], height=height, **top)
        r = assess_stringer(trial, LOAD)
        good = r.least.reserve_factor >= 1.5 and r.deflection_mm <= 4.5 and (
            not rules or all(c.holds for c in r.rule_checks))
        passing += good
        value = trial.mass_kg_m if objective == "mass" else trial.cost_per_m
        if good and (best is None or value < best[0]):
            best = (value, plies, cap, height)
    assert 0 < passing < len(found.results)
    assert sum(found.passes) == passing
    assert found.combinations[found.best_index] == best[1:]


def price(amount):
    from lamcalc.schedule import Price

    return Price(amount, "m2")


def test_long_clamped_panel_is_a_clamped_strip():
    """w = q b4/(384 D'), M = q b2/12 with D' = E t3/(12 (1 - nu2))."""
    b, q = 300.0, 0.01
    found = assess_panel(Panel(1500.0, b), PanelLoad(pressure=q), solid(6.0))
    rigidity = 10e3 * 6.0**3 / 12 / (1 - 0.09)
    assert found.deflection_mm == pytest.approx(q * b**4 / 384 / rigidity, rel=0.01)
    assert found.moments[1] == pytest.approx(q * b**2 / 12, rel=0.02)


def test_sandwich_with_a_vanishing_core_is_a_single_skin():
    core = CoreLayer(SHOP.core("pvc_80"), 1e-3)
    half = SolidLayer("sheet", 3.0, 10e3, strengths_mpa=STRONG)
    thin = Schedule((half, core, half), {})
    load, panel = PanelLoad(pressure=0.005), Panel(600.0, 450.0)
    a, b = assess_panel(panel, load, thin), assess_panel(panel, load, solid(6.0))
    # the middle of a plate this thick shears a little: 6 mm on 450 mm
    assert a.solution.max_deflection == pytest.approx(float(b.solution.max_deflection), rel=0.02)


def test_panel_may_be_turned_by_a_right_angle():
    load = PanelLoad(pressure=0.01)
    a, b = assess_panel(Panel(700.0, 450.0), load, solid(6.0)), assess_panel(Panel(450.0, 700.0), load, solid(6.0))
    assert a.deflection_mm == pytest.approx(b.deflection_mm, rel=1e-6)
    assert a.margins[0].capacity == pytest.approx(b.margins[0].capacity, rel=1e-6)


def test_load_from_the_other_side_swaps_tension_and_compression():
    weak = Schedule((SolidLayer("sheet", 6.0, 10e3, strengths_mpa=(100.0, 50.0, 100.0, 50.0, 58.0)),), {})
    a = assess_panel(Panel(600.0, 450.0), PanelLoad(pressure=0.01), weak)
    b = assess_panel(Panel(600.0, 450.0), PanelLoad(pressure=0.01, from_inside=True), weak)
    # the sheet is symmetric: the weaker side is on one face or the other
    assert a.margins[0].capacity == pytest.approx(b.margins[0].capacity, rel=1e-9)
    skin, plain = (SolidLayer("skin", t, 10e3, strengths_mpa=(100.0, 20.0, 100.0, 20.0, 58.0)) for t in (2.0, 4.0))
    odd = Schedule((skin, CoreLayer(SHOP.core("pvc_80"), 20.0), plain), {})
    panel = Panel(600.0, 450.0, edges="SSSS")
    one = assess_panel(panel, PanelLoad(pressure=0.01), odd)
    other = assess_panel(panel, PanelLoad(pressure=0.01, from_inside=True), odd)
    assert min(m.capacity for m in one.margins[:2]) != pytest.approx(min(m.capacity for m in other.margins[:2]), rel=0.1)


def test_curvature_factor_enters_with_the_powers_of_the_rule():
    flat, load = Panel(900.0, 460.0, rise=46.0), PanelLoad(pressure=0.018)
    curved = replace(flat, use_curvature=True)
    a, b, kc = assess_panel(flat, load, solid(6.0)), assess_panel(curved, load, solid(6.0)), 1.1 - 0.333
    assert flat.kc == 1.0 and curved.kc == pytest.approx(kc)
    assert b.deflection_mm == pytest.approx(a.deflection_mm * kc**3, rel=1e-9)
    assert b.moments[1] == pytest.approx(a.moments[1] * kc**2, rel=1e-9)
    assert b.shear[1] == pytest.approx(a.shear[1] * np.sqrt(kc), rel=1e-9)
    assert b.margins[0].capacity == pytest.approx(a.margins[0].capacity / kc**2, rel=1e-9)


def test_repair_with_the_same_layers_is_equivalent_and_a_thinner_one_is_not():
    panel, load, old = Panel(900.0, 460.0), PanelLoad(pressure=0.018), laid("csm_450", 5)
    same = compare_repair(panel, load, old, laid("csm_450", 5))
    assert same.equivalent
    assert list(same.ratios.values()) == pytest.approx([1.0] * 8)
    less = compare_repair(panel, load, old, laid("csm_450", 4))
    assert not less.equivalent
    assert less.ratios["bending stiffness, along"] == pytest.approx(0.8**3, rel=1e-9)
    assert less.ratios["moment at first layer failure, along"] == pytest.approx(0.8**2, rel=1e-9)
    assert less.ratios["force at first layer failure, across"] == pytest.approx(0.8, rel=1e-9)


def test_web_of_an_even_sheet_buckles_at_the_handbook_coefficient():
    """k = 5.34 + 4 (b/a)^2 for a long plate in shear, edges simply supported (handbook formula, from memory)."""
    sheet = Schedule((SolidLayer("sheet", 3.0, 10e3, strengths_mpa=(100.0,) * 4 + (58.0,)),), {})
    bar = Stringer("angle", sheet, sheet, 90.0, attached=200.0, cap=sheet, cap_width=20.0)  # a flange holds the upper edge
    margin = next(m for m in assess_stringer(bar, StringerLoad(900.0, 400.0, pressure=0.01)).margins
                  if m.name.startswith("web buckling"))
    rigidity = 10e3 * 3.0**3 / 12 / (1 - 0.09)
    by_hand = (5.34 + 4 / 5**2) * np.pi**2 * rigidity / 90.0**2 / 3.0
    assert margin.capacity == pytest.approx(by_hand, rel=0.03)


def test_thicker_webs_fold_later_by_the_square_of_the_thickness():
    """Stress at folding grows with (t/b)^2."""
    def stress(thickness):
        sheet = Schedule((SolidLayer("sheet", thickness, 10e3, strengths_mpa=(100.0,) * 4 + (58.0,)),), {})
        found = assess_stringer(Stringer("angle", sheet, sheet, 90.0, attached=200.0),
                                StringerLoad(900.0, 400.0, pressure=0.01))
        return next(m.capacity for m in found.margins if m.name.startswith("web buckling"))

    assert stress(4.0) == pytest.approx(4 * stress(2.0), rel=1e-9)
