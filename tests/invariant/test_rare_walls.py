"""Walls that a shop seldom has, each against statics, a balance or a limit: tested plies, no strength known, no skin."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.strength import design_factor
from lamcalc.parts.basis import RuleRequirement
from lamcalc.parts.layer_strength import (
    COMPRESSION_CAUTION, PLYWOOD_CAUTION, RuleCheck, evidence, rule_checks_table, schedule_strengths,
)
from lamcalc.parts.loads import BoltPattern, OutboardEngine
from lamcalc.parts.old_laminate import measured_layer
from lamcalc.parts.panel import CRUSH_FACTOR, Panel, PanelLoad, assess_panel
from lamcalc.parts.panel_edge import close_out
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.parts.transom import Transom, TransomOutline, assess
from lamcalc.parts.transom_comparison import compare_cores
from lamcalc.schedule import CoreLayer, Ply, Schedule, SolidLayer
from lamcalc.studies.distributions import drawn
from lamcalc.studies.drawn_layers import DrawnLayers
from lamcalc.studies.uncertain_parts import TransomModel

pytestmark = pytest.mark.invariant
SHOP = catalogue.load()
OWN = catalogue.load(own=Path(__file__).parents[2] / "data" / "own_materials_example.toml")
STRONG = (100.0, 100.0, 100.0, 100.0, 58.0)
OUTLINE = TransomOutline(1500, 1240, 620, 90, 480, 130)
BOLTS = BoltPattern(12, 327, 200, 60, 60, 5)


def ply(name="csm_450", **more):
    return Ply(SHOP.reinforcement(name), SHOP.resin("iso_polyester"), SHOP.process("hand"), **more)


def stack(*layers, **more):
    return Schedule(layers, SHOP.fibres, **more)


def core(name="pvc_80", thickness=20.0, **values):
    return CoreLayer(replace(SHOP.core(name), **values), thickness)


# --- plies with the shop's own tests ---------------------------------------------------------------------------------

def own_ply(**values):
    """The example's invented test of 1808, with some of its values changed."""
    test = replace(OWN.tested("biax090_1808", "hand", "iso_polyester"), **values)
    return Ply(OWN.reinforcement("biax090_1808"), OWN.resin("iso_polyester"), OWN.process("hand"), tested=test)


def test_strengths_of_a_tested_ply_are_those_of_its_coupons():
    wall = Schedule((own_ply(),), OWN.fibres, property_model="tested")
    found = schedule_strengths(wall, level="iso_level_a")
    # own_materials_example.toml: 190, 165, 182, 160 and 62 MPa, times the factor of the evaluation level
    level = design_factor("iso_level_a").value
    assert [float(getattr(found.plies, name)[0]) for name in ("xt", "xc", "yt", "yc", "s")] == pytest.approx(
        [level * value for value in (190, 165, 182, 160, 62)])
    assert not found.unchecked
    # the same ply by the regressions has other strengths: the test counts only where it is asked for
    plain = schedule_strengths(Schedule((own_ply(),), OWN.fibres), level="iso_level_a")
    assert plain.plies.xt[0] != pytest.approx(level * 190, rel=0.01)


def test_a_tested_ply_without_one_of_its_strengths_is_named_and_limits_nothing():
    wall = Schedule((own_ply(s=None),), OWN.fibres, property_model="tested")
    found = schedule_strengths(wall)
    assert found.plies.s[0] == np.inf and found.plies.xt[0] < np.inf
    assert len(found.unchecked) == 1 and "1808" in found.unchecked[0]


def test_the_interlaminar_strength_of_a_tested_ply_is_its_own():
    shear = replace(OWN.tested("biax090_1808", "hand", "iso_polyester").xt, typical=14.5, low=None, high=None)
    wall = Schedule((own_ply(interlaminar_strength=shear),), OWN.fibres, property_model="tested")
    found = schedule_strengths(wall, level="iso_level_a")
    assert found.interlaminar[0] == pytest.approx(design_factor("iso_level_a").value * 14.5)
    unknown = Schedule((own_ply(interlaminar_strength=None),), OWN.fibres, property_model="tested")
    assert schedule_strengths(unknown).interlaminar[0] == np.inf


def test_a_tested_ply_varies_in_modulus_and_strength_but_keeps_thickness_and_glass():
    wall = Schedule((own_ply(),), OWN.fibres, property_model="tested")
    layers = DrawnLayers((("wall", wall),))
    draws = drawn(layers.inputs, slice(0, 6), 4)
    found = layers.sublayers("wall", draws)
    e1 = found.e1 if isinstance(found.e1, np.ndarray) else np.asarray(found.e1)
    assert e1[:, 0] == pytest.approx(12900 * draws["modulus"][:, 0], rel=1e-9)
    assert np.ptp(draws["modulus"]) > 0
    assert np.broadcast_to(found.thickness_mm, e1.shape)[:, 0] == pytest.approx(np.full(6, 1.27), rel=1e-9)


def test_a_glass_content_without_known_ends_is_drawn_a_tenth_either_way():
    """Hand-laid mat has 0.30 of glass by weight; where the catalogue knew no range, 0.27 to 0.33 is assumed."""
    hand = SHOP.process("hand")
    bare = [(kind, replace(value, typical=0.30, low=None, high=None)) for kind, value in hand.fractions if kind == "csm"]
    mat = replace(ply(), process=replace(hand, fractions=tuple(bare)))
    (glass,) = [item for item in DrawnLayers((("wall", stack(mat)),)).inputs if item.key == "glass:hand:csm"]
    spread = glass.spread
    assert (spread.low, spread.typical, spread.high, spread.shape) == (
        pytest.approx(0.27), 0.30, pytest.approx(0.33), "triangular")
    values = drawn([glass], slice(0, 4096), 3)[glass.key]
    assert 0.27 <= values.min() < 0.275 and 0.325 < values.max() <= 0.33 and values.mean() == pytest.approx(0.30, abs=1e-3)


def test_veneers_of_a_plywood_vary_as_one_sheet():
    """All moduli in the plane go with the veneers' modulus along the grain, those across the thickness with their shear."""
    veneer = next(iter(SHOP.veneers.values()))
    board = CoreLayer(SHOP.core("ply_meranti"), 9.0, veneer=veneer, plies=5)
    wall = stack(ply(), board, ply())
    layers = DrawnLayers((("wall", wall),))
    keys = [item.key for item in layers.inputs]
    stiff, shear = f"core_e:{board.core.id}", f"core_g:{board.core.id}"
    assert stiff in keys and shear in keys
    draws = drawn(layers.inputs, slice(0, 5), 2)
    found, rows = layers.sublayers("wall", draws), np.flatnonzero(wall.sublayers.kind == "veneer")
    assert rows.size == 5
    for name, key in (("e1", stiff), ("e2", stiff), ("g13", shear), ("g23", shear)):
        ratio = getattr(found, name)[:, rows] / getattr(wall.sublayers, name)[rows]
        assert np.ptp(ratio, axis=1).max() < 1e-12
        typical = {stiff: float(veneer.e_l), shear: float(veneer.g_lr)}[key]
        assert ratio[:, 0] == pytest.approx(draws[key][:, 0] / typical, rel=1e-12)


def test_every_caution_about_strengths_is_kept():
    found = schedule_strengths(stack(core("ply_meranti", 9.0), measured_layer(5.0, 0.3), SolidLayer("one", 2.0, 9e3),
                                     SolidLayer("two", 2.0, 9e3)))
    assert PLYWOOD_CAUTION in found.cautions and COMPRESSION_CAUTION in found.cautions
    assert found.unchecked == ("one", "two") and "No strength is known for one, two: not checked." in found.cautions


def test_evidence_gathers_what_every_layer_stands_on():
    entered = SolidLayer("old", 3.0, 9e3, strengths_mpa=STRONG, status="measured")
    unknown = SolidLayer("older", 3.0, 9e3, status="assumed")
    tested = Schedule((own_ply(), core()), OWN.fibres, property_model="tested")
    assert evidence(tested) == ({"own tests"}, {"own tests"})
    assert evidence(Schedule((own_ply(), own_ply(), entered, unknown), OWN.fibres, property_model="tested")) == (
        {"own tests", "values as entered, measured", "values as entered, assumed"}, {"own tests", "values as entered, measured"})
    assert evidence(Schedule((own_ply(), entered), OWN.fibres)) == (
        {"micromechanics", "values as entered, measured"}, {"small-craft regressions", "values as entered, measured"})
    assert evidence(stack(ply(), measured_layer(5.0, 0.3), property_model="small_craft")) == ({"small-craft regressions"},) * 2


def test_what_a_rule_asks_for_stands_in_the_table_with_its_clause():
    need = RuleRequirement("web area", 200.0, "mm2", "a rule", "7.3", "user")
    table = rule_checks_table([RuleCheck(need, 199.9), RuleCheck(need, 200.0), RuleCheck(need, 200.1, at_most=True)])
    assert table["met"].tolist() == ["no", "yes", "no"] and table["sense"].tolist() == ["at least", "at least", "at most"]
    assert table["clause"].tolist() == ["7.3"] * 3 and table["has"].tolist() == [199.9, 200.0, 200.1]
    assert table.iloc[0][["quantity", "required", "unit", "rule"]].tolist() == ["web area", 200.0, "mm2", "a rule"]


# --- panels ----------------------------------------------------------------------------------------------------------

PANEL = Panel(600, 400)
FOOT = PanelLoad(force=1000.0, patch_x=100.0, patch_y=80.0)


def names(margins):
    return [str(m.name) for m in margins]


def test_crushing_under_a_foot_is_force_over_its_area_and_named_where_no_strength_is_known():
    wall = stack(ply(), core(), ply())
    found = next(m for m in assess_panel(PANEL, FOOT, wall).margins if m.name == "core crushed under the patch")
    assert found.demand == pytest.approx(1000 / (100 * 80)) and found.factor is CRUSH_FACTOR
    assert found.capacity == pytest.approx(float(SHOP.core("pvc_80").compressive_strength))
    unknown = assess_panel(PANEL, FOOT, stack(ply(), core(compressive_strength=None), ply()))
    assert "core crushed under the patch" in unknown.unchecked and "core crushed under the patch" not in names(unknown.margins)
    # one of two cores unknown: nobody may take the other's strength for both
    half = core(thickness=10.0)
    both = assess_panel(PANEL, FOOT, stack(ply(), half, ply(), core(thickness=10.0, compressive_strength=None), ply()))
    assert "core crushed under the patch" in both.unchecked


def test_a_sandwich_whose_core_shear_nobody_knows_has_no_rule_for_it():
    load = PanelLoad(pressure=0.01)
    full, lacking = (assess_panel(PANEL, load, stack(ply(count=2), core(shear_strength=strength), ply(count=2)))
                     for strength in (SHOP.core("pvc_80").shear_strength, None))
    rules = [[check.requirement.name for check in one.rule_checks] for one in (full, lacking)]
    assert set(rules[1]) < set(rules[0]) and len(rules[0]) == len(rules[1]) + 1
    assert "core in shear" in lacking.unchecked and "core in shear" in names(full.margins)


def test_a_sandwich_without_its_first_skin_is_checked_at_the_other_one():
    load = PanelLoad(pressure=0.01)
    full, bare = (assess_panel(PANEL, load, stack(*first, core(), ply(count=2))) for first in ((ply(count=2),), ()))
    told = [[check.requirement.name for check in one.rule_checks if " at the " in check.requirement.name] for one in (full, bare)]
    assert [name.rpartition(" at the ")[2] for name in told[0]] == ["first skin", "last skin"]
    assert [name.rpartition(" at the ")[2] for name in told[1]] == ["last skin"]
    assert not any("first skin" in name for name in names(bare.margins)) and bare.deflection_mm > full.deflection_mm


def test_filler_of_a_close_out_by_geometry():
    """A frame 30 mm wide round 1000 x 500 mm, 20 mm of core: (0.5 - 0.94 x 0.44) m2 x 20 mm."""
    result = assess_panel(PANEL, PanelLoad(pressure=0.01), stack(ply(), core(), ply()))
    found = close_out(result, depth_mm=30.0, piece_length=1000.0, piece_width=500.0)
    frame = 1.0 * 0.5 - 0.94 * 0.44
    assert found.volume_l == pytest.approx(frame * 20) and found.length_mm == 3000
    assert found.core_removed_kg == pytest.approx(frame * 0.020 * float(SHOP.core("pvc_80").density_kg_m3))
    # the edge stands on 30 mm of core: a strip whose shear is the line load
    (bearing,) = found.margins
    assert bearing.demand == pytest.approx(max(result.shear) / 30)
    soft = assess_panel(PANEL, PanelLoad(pressure=0.01), stack(ply(), core(compressive_strength=None), ply()))
    assert close_out(soft, depth_mm=30.0, piece_length=1000.0, piece_width=500.0).margins == ()
    with pytest.raises(InputError, match=r"less than half of the piece, 250 \[mm\]"):
        close_out(result, depth_mm=250.0, piece_length=1000.0, piece_width=500.0)
    assert close_out(result, depth_mm=249.9, piece_length=1000.0, piece_width=500.0).volume_l < 0.5 * 20
    with pytest.raises(InputError, match="needs a panel with a core"):
        close_out(assess_panel(PANEL, PanelLoad(pressure=0.01), stack(ply(count=3))), depth_mm=30.0, piece_length=1000.0,
                  piece_width=500.0)


def test_an_old_laminate_of_another_kind_is_refused():
    with pytest.raises(InputError, match="^kind of reinforcement must be one of csm, woven, combined.*received 'mat'.*mat is 'csm'"):
        measured_layer(5.0, 0.3, kind="mat")


# --- stringers -------------------------------------------------------------------------------------------------------

def laid(name, count=1):
    return stack(ply(name, count=count), name=name)


HAT = Stringer("hat", laid("csm_450", 5), laid("biax45_1708", 2), 95.0, (75.0, 100.0), 110.0, 70.0, laid("ud_400", 3), 70.0,
               Former(80.0))
LOAD = StringerLoad(900.0, 460.0, pressure=0.018)


def test_a_deflection_above_its_limit_is_a_shortfall_and_at_it_none():
    found = assess_stringer(HAT, LOAD)
    over = LOAD.span / found.deflection_mm  # span over the deflection that it has
    for factor, told in ((0.999, False), (1.001, True)):
        again = assess_stringer(HAT, replace(LOAD, deflection_over=over * factor))
        said = [line for line in again.shortfalls if line.startswith("Deflection")]
        assert bool(said) == told, factor
        if told:
            assert f"span/{over * factor:g}" in said[0] and not again.holds and said[0] in again.sentence


def test_a_stringer_without_a_strength_of_its_skin_says_so_of_the_web():
    bare = Schedule((SolidLayer("sheet", 3.0, 10e3),), {})
    found = assess_stringer(replace(HAT, skin=bare, legs=(75.0,)), LOAD)
    assert "web in shear" in found.unchecked or "web" in found.unchecked
    assert "web in shear" not in names(found.margins) and not found.holds


def test_an_angle_without_tabbing_has_no_bond_and_says_so():
    web = Schedule((SolidLayer("bar", 10.0, 10e3, strengths_mpa=STRONG),), {})
    angle = Stringer("angle", laid("csm_450", 5), web, 90.0, (75.0, 100.0), tabbing=laid("biax45_1708", 2))
    bare = Stringer("angle", laid("csm_450", 5), web, 90.0, ())
    with_tabs, without = assess_stringer(angle, LOAD), assess_stringer(bare, LOAD)
    assert "bond line under the tabbing" in names(with_tabs.margins)
    assert "bond line under the tabbing" not in names(without.margins) and any("no tabbing" in one for one in without.unchecked)
    # cloth of a bar: the web's height, and the tabbing up the web and along the plating on both sides
    strips = with_tabs.cut_table()["mass [kg/m]"].sum() - without.cut_table()["mass [kg/m]"].sum()
    sides = angle.leg_sides
    assert strips == pytest.approx(sides * (2 * 75 + 2 * 100) / 1e3 * laid("biax45_1708", 1).areal_mass_kg_m2, rel=1e-9)


# --- transoms --------------------------------------------------------------------------------------------------------

ENGINE = OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560, centre_above=60)
SKIN = SolidLayer("skin", 4.0, 10e3, strengths_mpa=STRONG)


def transom(**more):
    values = {"outline": OUTLINE, "engine": ENGINE, "bolts": BOLTS, "trailering_factor": 2.5, "window_low": 41, "window_high": 57}
    return Transom(**(values | more))


def test_a_cut_out_as_large_as_the_transom_is_refused():
    for wide, deep in ((1500, 130), (480, 620)):
        with pytest.raises(InputError, match="cut-out must be smaller than the transom"):
            TransomOutline(1500, 1240, 620, 90, wide, deep)
    assert TransomOutline(1500, 1240, 620, 90, 1499, 130).cut_out_width == 1499


def test_the_width_of_the_strip_is_the_one_given():
    """The strip deflects by the load over its width: half the width, twice the deflection; margins come from the plate."""
    wall = stack(SKIN, core("pu_board_416", 36.0), SKIN)
    assert transom(strip_width=400.0).carrying_width == 400
    assert transom().carrying_width == 327 + 60 + 200  # bolt spacing, a plate, a row spacing (assumed)
    wide, narrow = (assess(transom(strip_width=w), "one", wall) for w in (800.0, 400.0))
    assert [2 * x for x in wide.strip_deflection_mm] == pytest.approx(narrow.strip_deflection_mm, rel=1e-9)
    assert [m.reserve_factor for m in wide.strength.margins] == [m.reserve_factor for m in narrow.strength.margins]
    with pytest.raises(InputError, match="strip width must be greater than 0"):
        transom(strip_width=0.0)


def test_knees_lie_on_the_wall():
    """Mean width (1500 + 1240)/2 = 1370: half is 685, a knee 50 wide may stand up to 660 from the centreline."""
    assert transom(knees=(-660.0, 660.0)).knees == (-660, 660)
    for place in (660.1, -660.1):
        with pytest.raises(InputError, match=r"knees must lie within 685 of the centreline \[mm\]"):
            transom(knees=(place,))


def test_a_skin_that_is_not_there_is_named_and_bears_no_bolt():
    found = assess(transom(), "one", stack(core("pu_board_416", 36.0), SKIN)).strength
    assert "outer skin" in found.not_assessed and "inner skin" not in found.not_assessed
    assert any("bear" in str(what) for what in found.not_assessed)
    both = assess(transom(), "one", stack(SKIN, core("pu_board_416", 36.0), SKIN)).strength
    assert "outer skin" not in both.not_assessed and not any("bear" in str(what) for what in both.not_assessed)


def test_a_plate_no_larger_than_the_washer_does_not_bend():
    """A washer about twice the bolt wide holds the plate: one of 24 mm under M12 has no overhang, one of 26 mm has 1 mm."""
    wall = stack(SKIN, core("pu_board_416", 36.0), SKIN)
    for size, bends in ((24.0, False), (26.0, True)):
        result = assess(transom(bolts=BoltPattern(12, 327, 200, size, size, 5)), "one", wall).strength
        assert ("backing plate in bending" in names(result.margins)) == bends


def test_what_speaks_against_a_build_outside_the_window_is_told_with_the_window():
    wall = stack(SKIN, core("pu_board_416", 36.0), SKIN)  # 44 mm
    for low, high, outside in ((41, 57, False), (44, 57, False), (44.5, 57, True), (30, 43.9, True), (30, 44, False)):
        comparison = compare_cores(transom(window_low=low, window_high=high), {"board": wall}, wall)
        said = [line for line in comparison.failings(comparison.options[0]) if "clamping window" in line]
        assert bool(said) == outside, (low, high)
        if outside:
            assert said[0].startswith("44.00 mm is outside the engine's clamping window")


def test_a_build_softer_than_the_original_is_told_with_its_share():
    """Two skins t apart by the core c, E = 10 GPa: EI a mm is nearly E t (t + c)^2/2; 24 mm of core against 36 mm."""
    wall, thin = (stack(SKIN, core("pu_board_416", thickness), SKIN) for thickness in (36.0, 24.0))
    comparison = compare_cores(transom(window_low=10), {"thin": thin, "same": wall}, wall)
    softer, same = comparison.options
    said = [line for line in comparison.failings(softer) if "bending stiffness" in line]
    share = float(said[0].split("is only ")[1].split()[0])
    assert share == pytest.approx((4 * 28**2 / 2 + 2 * 4**3 / 12) / (4 * 40**2 / 2 + 2 * 4**3 / 12), abs=0.03)  # the core's share
    assert not [line for line in comparison.failings(same) if "bending stiffness" in line]
    assert comparison.yardstick_note == "" and comparison.yardstick(softer) is comparison.original


def test_all_margins_of_all_builds_stand_in_one_table():
    wall, thick = stack(SKIN, core("pu_board_416", 36.0), SKIN), stack(SKIN, core("pu_board_416", 40.0), SKIN)
    comparison = compare_cores(transom(), {"thin": wall, "thick": thick}, wall)
    table = comparison.margins_table()
    assert len(table) == sum(len(r.strength.margins) for r in comparison.results)
    for result in comparison.results:
        mine = table[table["build"] == result.name]["reserve factor [-]"]
        assert list(mine) == [m.reserve_factor for m in result.strength.margins]
    with pytest.raises(InputError, match="core options must have at least one build"):
        compare_cores(transom(), {}, wall)


def test_a_transom_without_a_core_cannot_be_drawn_at_random():
    with pytest.raises(InputError, match="transom schedule must have a core"):
        TransomModel(transom(), stack(SKIN, SKIN))
