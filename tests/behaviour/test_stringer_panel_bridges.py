"""From the job file to stringers and panels: what the bridges give, and the sentences of the missing and the wrong."""

from dataclasses import replace

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.plates import Plate, reduced_bending_stiffness
from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
from lamcalc.parts.panel_fabrics import whole_fabrics
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.schedule import CoreLayer, Schedule, SolidLayer
from lamcalc.shop import job as jobs
from lamcalc.shop.job_panel import panel_case, panel_close_out, panel_part, panel_repair, panel_result, panel_variant
from lamcalc.shop.job_stringer import (
    former_choices,
    stringer_case,
    stringer_part,
    stringer_result,
    stringer_sizing,
    stringer_variant,
)

pytestmark = pytest.mark.behaviour
DRAWN = {"height_mm": 95.0, "plies": 2, "cap_layers": 3, "span_mm": 900.0, "pressure": 0.018}


@pytest.fixture(scope="module")
def job():
    return jobs.load_demo()


def without(job, *kinds):
    return job.model_copy(update={"parts": {k: p for k, p in job.parts.items() if p.kind not in kinds}})


def test_the_case_is_what_the_file_says(job):
    part = stringer_part(job)
    hat, load = stringer_case(job)
    assert (hat.height, hat.base_width, hat.top_width, hat.legs) == (95.0, 110.0, 70.0, (75.0, 100.0))
    assert load.total == pytest.approx(part.pressure_kpa / 1000 * part.spacing_mm * part.span_mm)
    assert not hat.former.carries and load.deflection_over == 200


def test_the_result_is_that_of_the_part(job):
    ours, direct = stringer_result(job), assess_stringer(*stringer_case(job))
    assert ours.ei == pytest.approx(direct.ei) and ours.deflection_mm == pytest.approx(direct.deflection_mm)
    assert [m.name for m in ours.margins] == [m.name for m in direct.margins]


def test_a_variant_without_changes_is_the_stringer_itself(job):
    same, drawn = stringer_variant(job, **DRAWN), stringer_result(job)
    assert same.ei == pytest.approx(drawn.ei, rel=1e-12)
    assert [m.reserve_factor for m in same.margins] == pytest.approx([m.reserve_factor for m in drawn.margins])


@pytest.mark.parametrize(
    "change, stiffer",
    [
        ({"height_mm": 110.0}, True),
        ({"plies": 3}, True),
        ({"cap_layers": 0}, False),
        ({"cap_layers": 5}, True),
        ({"former": "ply_meranti"}, True),
    ],
)
def test_a_variant_follows_its_change(job, change, stiffer):
    assert (stringer_variant(job, **DRAWN | change).ei > stringer_result(job).ei) is stiffer


def test_legs_of_more_layers_grow_by_the_last_step(job):
    assert stringer_variant(job, **DRAWN | {"plies": 4}).stringer.legs == (75.0, 100.0, 125.0, 150.0)


def test_a_former_that_carries_has_its_own_margin_and_holds_the_webs(job):
    names = [m.name for m in stringer_variant(job, **DRAWN | {"former": "pvc_80"}).margins]
    assert "former in bending" in names and not any("buckling" in name for name in names)
    assert any("buckling" in m.name for m in stringer_result(job).margins)
    assert "ply_meranti" in {key for _, key in former_choices(job)}


def test_a_third_layer_meets_the_web_rule_that_the_drawn_one_misses(job):
    drawn, third = stringer_result(job), stringer_variant(job, **DRAWN | {"plies": 3})
    assert all(m.holds for m in drawn.margins)
    assert [c.requirement.name for c in drawn.rule_checks if not c.holds] == ["web depth over thickness"]
    assert third.holds


def test_web_buckling_is_that_of_a_plate_in_shear(job):
    found = stringer_result(job)
    hat, wall = found.stringer, found.stringer.skin.laminate
    margin = next(m for m in found.margins if "buckling" in m.name)
    stiffness = reduced_bending_stiffness(wall.A, wall.B, wall.D)
    plate = Plate(900.0, hat.slant, stiffness, edges="SSSS", order=20)
    least = min(float(plate.buckling([0, 0, sign]).values[0]) for sign in (1.0, -1.0))
    # a plate five times as long as deep stands for the whole span
    assert margin.capacity * wall.total_thickness_mm == pytest.approx(least, rel=0.05)
    assert margin.factor.unverified


def test_flange_of_an_angle_is_checked_for_its_outstand():
    sheet = Schedule((SolidLayer("sheet", 6.0, 10e3, strengths_mpa=(100.0,) * 4 + (58.0,)),), {})
    bar = Stringer("angle", sheet, sheet, 90.0, cap=sheet, cap_width=60.0, attached=200.0)
    found = {c.requirement.name: c for c in assess_stringer(bar, StringerLoad(900.0, 400.0, pressure=0.01)).rule_checks}
    check = found["flange outstand over thickness"]
    assert check.have == pytest.approx((60.0 - 6.0) / 6.0) and check.requirement.value == 7.0 and not check.holds
    narrow = assess_stringer(replace(bar, cap_width=40.0), StringerLoad(900.0, 400.0, pressure=0.01))
    assert next(c for c in narrow.rule_checks if "flange" in c.requirement.name).holds


def test_sizing_by_other_targets_is_the_same_as_sizing_again(job):
    grid = {"plies": (2, 3), "cap_layers": (0, 3), "heights": (50.0, 95.0)}
    first = stringer_sizing(job, **grid)
    for target in ({"reserve": 2.0}, {"objective": "cost"}, {"use_rules": False}):
        again = stringer_sizing(job, **grid, **target)
        assert first.with_targets(**target).passes == again.passes
        assert first.with_targets(**target).best_index == again.best_index
    assert {first.combinations[k][2] for k, ok in enumerate(first.with_targets(heights=(95.0,)).passes) if ok} == {95.0}


def test_the_panel_case_is_what_the_file_says(job):
    panel, load = panel_case(job, "bottom")
    assert (panel.length, panel.width, panel.edges) == (900.0, 460.0, "CCCC") and load.pressure == 0.018
    assert not load.from_inside
    panel, load = panel_case(job, "sole")
    assert panel.edges == "SSSS" and (load.force, load.patch_x, load.deflection_over) == (1200.0, 100.0, 100)
    assert load.from_inside


def test_every_result_has_margins_and_sentences_for_the_sheet(job):
    for found in (stringer_result(job), panel_result(job, "bottom"), panel_result(job, "sole")):
        assert found.margins and all(m.factor.rule and m.factor.status for m in found.margins)
        assert found.sentence and found.cautions
    assert stringer_result(job).rule_checks and panel_result(job, "bottom").rule_checks


def test_the_worst_place_of_a_clamped_panel_is_the_middle_of_a_long_edge(job):
    x, y = panel_result(job, "bottom").worst_place
    assert x == pytest.approx(450.0) and y in (0.0, 460.0)
    assert panel_result(job, "sole", "sole_board").worst_place == pytest.approx((590.0, 230.0))


def test_loads_scale_and_unit_solutions_add_up(job):
    one, two = (panel_variant(job, "sole", "sole_board", force=f) for f in (600.0, 1200.0))
    assert two.deflection_mm == pytest.approx(2 * one.deflection_mm, rel=1e-12)
    both = panel_variant(job, "sole", "sole_board", force=600.0, pressure=0.004)
    alone = panel_variant(job, "sole", "sole_board", force=0.0, pressure=0.004)
    assert abs(both.solution.max_deflection) == pytest.approx(
        abs(one.solution.max_deflection) + abs(alone.solution.max_deflection), rel=1e-3
    )


def test_a_sandwich_under_pressure_is_held_against_the_rule(job):
    found = panel_variant(job, "sole", "sole_board", force=0.0, pressure=0.01)
    checks = {c.requirement.name: c for c in found.rule_checks}
    assert set(checks) == {
        "core plus half of both skins",
        "sandwich section modulus at the first skin",
        "sandwich section modulus at the last skin",
        "sandwich second moment",
    }
    # P b3 k3/(12 k1 E) with k1 0.017 and k3 0.028, against the strip's EI over the same E
    wall = found.schedule.laminate
    d = np.linalg.inv(reduced_bending_stiffness(wall.A, wall.B, wall.D))
    asked = 0.01 * 460.0**3 * 0.028 / (12 * 0.017)
    assert checks["sandwich second moment"].ratio == pytest.approx(1 / d[1, 1] / asked, rel=1e-3)


def test_section_modulus_of_a_symmetric_sandwich_by_hand(job):
    """Two skins of 2 mm, E 10 GPa, on 20 mm of core with E 90 MPa.

    Per width 2 x 2 x 11^2 + 2 x 2^3/12 + 0.009 x 20^3/12 = 484 + 1.333 + 6 = 491.33 mm3, over 12 mm 40.94 mm2.
    """
    skin = SolidLayer("skin", 2.0, 10e3, strengths_mpa=(100.0,) * 4 + (58.0,))
    wall = Schedule((skin, CoreLayer(jobs.catalogue(job).core("pvc_80"), 20.0), skin), {})
    found = assess_panel(Panel(900.0, 460.0, edges="SSSS"), PanelLoad(pressure=0.01), wall, level="iso_level_b")
    first = next(c for c in found.rule_checks if "first skin" in c.requirement.name)
    assert first.have == pytest.approx(491.333 / 12, rel=1e-3)
    assert first.requirement.value == pytest.approx(0.01 * 460.0**2 * 0.4974 / 6 / 50.0, rel=0.01)


def test_patches_against_the_original(job):
    same, stitched = (panel_repair(job, "bottom", f"bottom_patch_{name}") for name in ("rovings", "stitched"))
    assert same.equivalent and not same.crack_sentence
    assert min(stitched.ratios[f"bending stiffness, {way}"] for way in ("along", "across")) > 1.5
    assert not stitched.equivalent and "force at first layer failure" in stitched.sentence
    # first crack, first layer, last load come in this order
    crack, first = stitched.new.crack_force[0], stitched.new.first_force[0]
    assert crack < first < stitched.last[1]["force"][0]
    assert "UNVERIFIED" in stitched.crack_sentence and "woven roving cracks" in stitched.crack_sentence


def test_the_patch_verdict_in_the_plane_hangs_on_the_property_model(job):
    ratios = {
        model: panel_repair(job, "bottom", "bottom_patch_stitched", property_model=model).ratios
        for model in ("micromechanics", "small_craft")
    }
    name = "force at first layer failure, along"
    assert ratios["micromechanics"][name] < 1 < ratios["small_craft"][name]


def test_whole_fabrics_keep_stiffness_and_put_only_balanced_pairs_together(job):
    wall = jobs.schedule(job, "bottom_patch_stitched")
    whole = whole_fabrics(wall)
    assert whole.pairs == 2 and len(whole.strengths.names) == len(wall.sublayers.row) - 2
    assert whole.laminate.A == pytest.approx(wall.laminate.A, rel=1e-9)
    assert whole_fabrics(jobs.schedule(job, "bottom_original")).pairs == 0
    assert whole_fabrics(jobs.schedule(job, "stringer_crown")).pairs == 0
    # the line for roving and multiaxial at 0.50 glass, 800 psi2 - 80 psi + 37 = 197 MPa, times level C
    pair = int(np.flatnonzero(whole.first != whole.last)[0])
    assert whole.strengths.plies.xt[pair] == pytest.approx(0.8 * 197.0, rel=1e-6)


def test_edge_close_out_by_hand(job):
    edge = panel_close_out(job, "sole", "sole_board")
    frame = 2550 * 1180 - (2550 - 24) * (1180 - 24)
    assert edge.volume_l == pytest.approx(frame * 19 / 1e6)
    assert edge.core_removed_kg == pytest.approx(frame * 19 * 240e-9)
    assert edge.margins[0].demand == pytest.approx(1200 / (100 * 12))
    assert panel_close_out(job, "bottom") is None


@pytest.mark.parametrize(
    "ask, words",
    [
        (lambda job: stringer_part(job, "keel"), "must be a stringer of this job, one of: stringers"),
        (lambda job: stringer_part(without(job, "stringer")), "the job has no stringer. Next: add"),
        (lambda job: stringer_case(job, option="sole_board"), "stringer option"),
        (lambda job: stringer_variant(job, **DRAWN | {"plies": 0}), "count"),
        (lambda job: stringer_variant(job, **DRAWN | {"former": "granite"}), "granite"),
        (lambda job: stringer_variant(job, **DRAWN | {"pressure": 18.0}), "0.018 for 18"),
        (lambda job: panel_part(job, "roof"), "must be a panel of this job, one of: bottom, sole"),
        (lambda job: panel_result(job, "bottom", "sole_board"), "panel option"),
        (lambda job: panel_repair(job, "sole"), "original of the panel"),
        (lambda job: panel_variant(job, "bottom", "bottom_original", core_thickness_mm=10.0), "in a sandwich"),
        (lambda job: panel_variant(job, "bottom", "bottom_original", extra_plies=-3), "at least one"),
        (lambda job: panel_variant(job, "sole", "sole_board", force=0.0), "pressure .* or a force"),
    ],
)
def test_sentences_of_the_missing_and_the_wrong(job, ask, words):
    with pytest.raises(InputError, match=words):
        ask(job)


def test_a_stringer_without_plating_is_refused(job):
    bare = stringer_part(job).model_copy(update={"plating": None})
    with pytest.raises(InputError, match="plating of the stringer"):
        stringer_case(job.model_copy(update={"parts": {**job.parts, "stringers": bare}}))


def test_former_without_a_known_strength_is_unchecked_not_safe(job):
    hat, load = stringer_case(job)
    found = assess_stringer(replace(hat, former=Former(600.0, e=9e3, g=500.0)), load)
    assert "former that carries" in found.unchecked and not found.holds
