"""Cases of the floor that a shop seldom has: each refusal, warning and figure against the rule or the sum it comes from."""

from dataclasses import replace
from types import SimpleNamespace

import pandas as pd
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue as shelves
from lamcalc.schedule import CoreLayer, Ply, Schedule
from lamcalc.shop import climate, survey
from lamcalc.shop import job as jobs
from lamcalc.shop.batching import Climate, PlyNeed, ResinCan, plan_batches
from lamcalc.shop.engine_entry import engine_doubts
from lamcalc.shop.job_batches import job_batches
from lamcalc.shop.job_joints import job_joints
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_panel import panel_close_out
from lamcalc.shop.job_quality import quality_case
from lamcalc.shop.handover import stiffness_tables
from lamcalc.shop.job_stringer import stringer_sizing
from lamcalc.shop.job_surer import panel_targets, same_fabrics, stock_plies
from lamcalc.shop.job_transom import screening_stiffness, transom_variant
from lamcalc.shop.nesting import nest
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.shop.screen_words import place_words
from lamcalc.shop.sheet_tables import piece_table, resin_table
from lamcalc.shop.sheet_words import Words
from lamcalc.shop.stray_names import unknown_names
from lamcalc.shop.takeoff import take_off
from lamcalc.studies.replacement import replace_like_with_like
from lamcalc.studies.search_model import make_palette

pytestmark = pytest.mark.behaviour
SHOP = shelves.load()
OLD = {"kind": "solid", "name": "old skin", "thickness_mm": 5.0, "e_mpa": 8000, "density_kg_m3": 1500, "status": "assumed"}


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


def changed(job, **at):
    """A job with some fields changed; dots of the path as two underscores."""
    return jobs.update(job, {name.replace("__", "."): value for name, value in at.items()})


# --- readings of the day -----------------------------------------------------------------------------------------------

def test_a_humidity_above_a_hundred_is_refused_and_a_hundred_is_the_dew_point():
    with pytest.raises(InputError, match="relative humidity must not exceed 100"):
        climate.dew_point(20, [50, 100.1])
    assert float(climate.dew_point(20, 100)) == pytest.approx(20)  # saturated air is at its dew point


def test_fresh_air_goes_with_the_styrene_of_the_can():
    """By default 0.42 of a polyester is styrene; a can that says 0.21 needs half of the air."""
    can = ResinCan(name="polyester", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5, at_mass_g=100,
                   catalyst_window=(1.0, 2.5), catalyst_density_kg_m3=1160, liquid_density_kg_m3=1100)
    need = PlyNeed(name="1 mat", resin_kg=1.0, thickness_mm=1.0, can=can, glass_fraction=0.3)
    day = Climate(air_c=18.5, hull_c=17, humidity_percent=63)
    usual, less, none = (plan_batches([replace(need, can=replace(can, styrene_fraction=share))], day).sessions[0].air_m3_h
                         for share in (None, 0.21, 0.0))
    assert less == pytest.approx(usual / 2) and none == 0 < usual


def test_moisture_of_plywood_is_refused_without_a_reading_and_warned_of_at_the_limit():
    with pytest.raises(InputError, match="must hold at least one"):
        survey.ready_to_encapsulate([])
    assert [one.severity for one in survey.ready_to_encapsulate([9, 11.9], day_later_percent=[9, 11.9])] == ["note"]
    assert any(one.severity != "note" for one in survey.ready_to_encapsulate([9, 12.0]))


def test_a_survey_refuses_readings_that_are_none():
    x, y = [0, 100], [0, 100]
    with pytest.raises(InputError, match="moisture readings must be numbers"):
        survey.map_survey(x, y, moisture=[["wet", 1], [2, 3]])
    with pytest.raises(InputError, match="panel must be given where there is a single reading"):
        survey.map_survey([0], [0], tap=["C"])
    for extent in ((0, 100, 0), (100, 0, 0, 100), (0, 100, 50, 50)):
        with pytest.raises(InputError, match="panel must be x from, x to, y from, y to"):
            survey.map_survey(x, y, tap=["CC", "CC"], extent_mm=extent)
    for extent in ((1, 100, 0, 100), (0, 99, 0, 100), (0, 100, 1, 100), (0, 100, 0, 99)):
        with pytest.raises(InputError, match="panel must contain every reading"):
            survey.map_survey(x, y, tap=["CC", "CC"], extent_mm=extent)
    dry = [[float("nan")] * 2] * 2
    assert survey.map_survey(x, y, tap=["CC", "CC"], moisture=dry, meter="pinless", reference=None).removed_area_m2 == 0


def test_skins_of_a_survey_that_scatter_are_told_with_their_range():
    """3, 5 and 4 mm: mean 4, deviation 1, a quarter of the mean; 3.9 to 4.1 is under 15 %."""
    found = survey.map_survey([0, 100], [0, 100], tap=["CC", "CC"], plugs_mm=(3.0, 5.0, 4.0))
    (said,) = [str(one.text) for one in found.findings if one.subject == "skin"]
    assert "varies from 3 to 5 mm: use the smallest" in said
    even = survey.map_survey([0, 100], [0, 100], tap=["CC", "CC"], plugs_mm=(3.9, 4.1, 4.0))
    assert not [one for one in even.findings if one.subject == "skin"]


# --- jobs that lack something ------------------------------------------------------------------------------------------

def test_an_engine_beyond_the_table_is_not_called_light(demo):
    """The table of outboard weights ends; there is nothing to compare a mass with."""
    for power in (30.0, 900.0):
        job = jobs.update(demo, {"craft.engine_power_kw": power, "parts.transom.engine.power_kw": power,
                                 "parts.transom.engine.mass_kg": 40})
        assert any("light for" in line for line in engine_doubts(job)) == (power == 30.0)


@pytest.mark.parametrize("force, asked", [(735.0, True), (736.0, False)])
def test_less_than_a_person_on_a_patch_is_asked_about(demo, force, asked):
    name = next(name for name, part in demo.parts.items() if getattr(part, "patch_load", None))
    job = changed(demo, **{f"parts__{name}__patch_load__force_n": force})
    assert any("less than one person" in line for line in entry_doubts(job, name)) == asked


def test_a_part_without_anything_new_has_no_batches(demo):
    job = jobs.update(demo, {f"schedules.{demo.parts['sole'].chosen}.layers": [OLD], "parts.sole.edge_close_out_mm": None})
    with pytest.raises(InputError, match="batches of sole need at least one new ply"):
        job_batches(job, "sole")
    with pytest.raises(InputError, match="as-built laminate of sole must have plies"):
        quality_case(job, "sole", laminate=job.parts["sole"].chosen)


def test_readings_of_a_laminate_are_judged_by_its_own_plan_where_the_part_has_nothing_new(demo):
    """Nothing of the part is weighed, so the plan is that of the plies: 0.5 of the 1708's stitched glass, 0.3 of its mat."""
    job = jobs.update(demo, {f"schedules.{demo.parts['sole'].chosen}.layers": [OLD], "parts.sole.edge_close_out_mm": None})
    case = quality_case(job, "sole", laminate="stringer_skin")
    fabric = case.plies.layers[0].reinforcement
    glass = [float(part.areal_weight_gsm) for part in fabric.components]
    mass = sum(g / (0.3 if part.kind == "csm" else 0.5) for g, part in zip(glass, fabric.components, strict=True))
    assert case.planned_balance_fraction == pytest.approx(sum(glass) / mass)


def test_a_panel_without_a_core_or_a_depth_has_no_close_out(demo):
    found = panel_close_out(demo, "sole", "sole_board")
    depth = demo.parts["sole"].edge_close_out_mm
    assert found.depth_mm == depth > 0
    assert panel_close_out(changed(demo, parts__sole__edge_close_out_mm=None), "sole", "sole_board") is None
    plies = {"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester", "count": 6}
    assert panel_close_out(jobs.update(demo, {"schedules.sole_board.layers": [plies]}), "sole", "sole_board") is None


def test_a_search_says_what_the_panel_lacks(demo):
    bare = changed(demo, parts__bottom__original=None)
    for call in (panel_targets, same_fabrics):
        with pytest.raises(InputError, match="original of the panel must be named"):
            call(bare, "bottom")
    unpriced = jobs.update(demo, {"prices.items": []})
    with pytest.raises(InputError, match="must have at least one fabric with a price"):
        stock_plies(unpriced)
    with pytest.raises(InputError, match="strength of the original must be known"):
        panel_targets(jobs.update(demo, {"schedules.bottom_original.layers": [OLD]}), "bottom")


def test_plies_taken_away_leave_one(demo):
    option = demo.parts["transom"].options[0]
    engine = demo.parts["transom"].engine
    plies = [layer for layer in jobs.schedule(demo, option).layers if isinstance(layer, Ply) and layer.reinforcement.has_mat]
    count = plies[-1].count
    load = {"thrust": engine.thrust_n, "engine_mass_kg": engine.mass_kg, "trailering_factor": 2.5}
    for extra in (0, 1 - count):
        left = transom_variant(demo, option, extra_plies=extra, **load).options[0].schedule
        backed = [layer for layer in left.layers if isinstance(layer, Ply) and layer.reinforcement.has_mat]
        assert backed[-1].count == count + extra >= 1
    with pytest.raises(InputError, match="plies must leave at least one of the fabric.*received 0"):
        transom_variant(demo, option, extra_plies=-count, **load)


def test_the_hand_calculation_says_what_it_needs(demo):
    with pytest.raises(InputError, match="hand calculation needs screening moduli"):
        screening_stiffness(changed(demo, parts__transom__screening=None), "transom_board")


def test_a_bond_without_thickness_needs_no_clamping_plan(demo):
    def joints(**putty):
        layers = [layer.model_dump(exclude_none=True) for layer in demo.layers("transom_board")]
        assert any(layer["kind"] == "bond" for layer in layers)
        layers = [layer | putty if layer["kind"] == "bond" else layer for layer in layers]
        return job_joints(jobs.update(demo, {"schedules.transom_board.layers": layers}), "transom", "transom_board")

    assert joints().clamp is not None
    assert joints(putty_thickness_mm=0.0, putty_fill_mm=0.0).clamp is None
    assert joints(putty_thickness_mm=0.0, putty_fill_mm=0.5).clamp is not None


def test_a_survey_of_several_skins_does_not_say_which_one_is_ground(demo):
    """A skin of 9 mm asks for a scarf of 12 x 9 mm, far above the plan; with a second skin nobody knows which."""
    thick = {"readings_mm": [9.0, 9.0, 9.0]}
    one, two = (jobs.update(demo, {"survey.bottom.thickness": skins})
                for skins in ([{"name": "bottom"} | thick], [{"name": "bottom"} | thick, {"name": "keel"} | thick]))
    assert any("the skin measures 9.00 mm" in str(found) for found in job_joints(one, "bottom").scarf.findings)
    assert not any("the skin measures" in str(found) for found in job_joints(two, "bottom").scarf.findings)


def test_a_stringer_without_a_cap_is_sized_without_one(demo):
    job = jobs.update(demo, {"parts.stringers.crown": None, "parts.stringers.crown_width_mm": None})
    found = stringer_sizing(job, plies=(2, 3), cap_layers=(0, 3), heights=(95.0,))
    assert [one[1] for one in found.combinations] == [0, 0]
    with_cap = stringer_sizing(demo, plies=(2, 3), cap_layers=(0, 3), heights=(95.0,))
    assert [one[1] for one in with_cap.combinations] == [0, 3, 0, 3]


def test_stiffness_that_is_not_known_is_told_as_such():
    none = float("nan")
    frame = pd.DataFrame([["thickness [mm]", 5.0, 4.5, 0.9], ["bending stiffness along, D11 [kN m2/m]", 1.5, none, none],
                          ["plies", "5", "four", none]], columns=["figure", "designed", "as built", "as built over designed [-]"])
    (table,) = stiffness_tables(SimpleNamespace(stiffness=frame), Words("metric"))
    assert table.rows[1][2:] == ("-", "-") and table.rows[2][1:3] == ("5", "four") and table.rows[0][3] == "0.9"
    assert stiffness_tables(SimpleNamespace(stiffness=None), Words("metric")) == ()


# --- cut, bought, told -------------------------------------------------------------------------------------------------

def test_nothing_to_cut_takes_nothing_of_the_roll():
    plan = nest([], width_mm=1000)
    assert plan.length_mm == 0 and plan.places == () and plan.sheets == 0


def test_a_poured_core_is_bought_with_the_loss_of_resin(demo):
    """What stays is area x thickness x density; the job's share for what stays in the bucket comes on top."""
    job = jobs.update(demo, {"waste.resin": 0.2})
    part = take_off(job, parts=["transom"], options={"transom": "transom_cast"}).parts["transom"]
    (poured,) = [supply for supply in part.supplies if supply.use == "core, poured"]
    cores = [one for one in jobs.schedule(job, "transom_cast").laid if isinstance(one, CoreLayer)]
    stays = job.parts["transom"].outline.area_m2 * sum(one.thickness_mm / 1e3 * float(one.core.density_kg_m3) for one in cores)
    assert poured.unit == "kg" and poured.net_kg == pytest.approx(stays) and poured.amount == pytest.approx(1.2 * stays)


def test_a_roll_too_narrow_for_turned_strips_is_cut_as_drawn(demo):
    """Roll 110, laps of 50, no strip under two laps.  230 across is 110 + 60 + 60; 200 would be 110 + 60 and a strip of 80."""
    ply = {"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester"}
    tape = {"schedules.sole_plywood.layers": [ply], "parts.sole.chosen": "sole_plywood", "parts.sole.edge_close_out_mm": None,
            "parts.sole.piece_length_mm": 230.0, "parts.sole.piece_width_mm": 200.0,
            "stock.rolls": [{"item": "csm_450", "width_mm": 110.0}]}
    with pytest.raises(InputError, match="must take strips of two laps at least"):
        take_off(jobs.update(demo, tape), parts=["sole"])
    turned = jobs.update(demo, tape | {"parts.sole.piece_length_mm": 200.0, "parts.sole.piece_width_mm": 230.0})
    found = take_off(turned, parts=["sole"]).parts["sole"]
    assert [(p.along_mm, p.across_mm) for p in found.pieces] == [(200, 110)] * 3 and not any(p.turned for p in found.pieces)
    assert found.fabrics[0].plan.length_mm == 3 * 200 and found.fabrics[0].lap_m2 == pytest.approx(2 * 0.05 * 0.2)


def test_a_seam_too_close_is_told_in_the_list_of_pieces(demo):
    part = take_off(demo, parts=["sole"]).parts["sole"]
    clear = piece_table(part, Words("metric"))
    assert not any("MOVE" in note for note in clear.notes) and not any("MOVE" in row[6] for row in clear.rows)
    first = replace(part.pieces[0], staggered=False)
    told = piece_table(replace(part, pieces=(first, *part.pieces[1:])), Words("metric"))
    assert told.rows[0][6].endswith(", MOVE") and any(note.startswith("MOVE: a seam lies too close") for note in told.notes)


def test_the_hardener_of_an_epoxy_stands_in_the_list_of_resins(demo):
    use = take_off(demo, parts=["sole"]).parts["sole"].resins[0]
    epoxy = replace(use, hardener_kg=0.5, catalyst_ml=None, catalyst_g=None)
    rows = resin_table(SimpleNamespace(resins=[epoxy, use]), Words("metric")).rows
    assert rows[0][5] == "500.0 g (17.64 oz) of it hardener" and "catalyst" in rows[1][5]


def test_a_sheet_of_another_thickness_is_no_sheet_of_this_core(demo):
    job = jobs.update(demo, {"stock.sheets": [], "prices.items": []})
    option = "sole_board"
    thickness = next(layer.thickness_mm for layer in jobs.schedule(job, option).laid if isinstance(layer, CoreLayer))
    core = next(layer.core.id for layer in jobs.schedule(job, option).laid if isinstance(layer, CoreLayer))
    units = {}
    for off in (0.0, 1.0):
        sheet = {"item": core, "thickness_mm": thickness + off, "length_mm": 2440, "width_mm": 1220, "on_shelf": 1}
        found = take_off(jobs.update(job, {"stock.sheets": [sheet]}), parts=["sole"], options={"sole": option}).parts["sole"]
        units[off] = next(supply.unit for supply in found.supplies if supply.item == core)
    assert units == {0.0: "sheet", 1.0: "m2"}


def test_where_no_take_off_is_possible_the_other_pages_are_made(demo, monkeypatch):
    from lamcalc.shop import job_pages as module

    def refused(*args, **more):
        raise InputError("roll width of csm_300", "must be known [mm]", None, "add it to stock.rolls of the job")

    monkeypatch.setattr(module, "take_off", refused)
    pages = job_pages(demo)
    assert any(line.startswith("No buying and cutting list: roll width of csm_300 must be known") for line in pages.problems)
    assert "transom_comparison.html" in pages.texts and "buying.csv" not in pages.texts and pages.summary() == []


def test_a_field_at_the_head_of_the_job_is_called_by_its_words(demo):
    assert place_words(demo, "units") == "Units" and place_words(demo, "own_materials") == "Own materials"
    assert place_words(demo, "craft.length_m") == "Length" and place_words(demo, "") == "The job"
    assert place_words(demo, "parts.sole") == f"'{demo.parts['sole'].title}'"
    assert place_words(demo, "parts.sole.piece_width_mm") == f"Piece width of '{demo.parts['sole'].title}'"


def test_names_of_the_shelf_are_looked_up_where_each_belongs(demo):
    """A resin's cans take the catalogue's names alone, prices and stock what the job needs as well."""
    found = take_off(demo)
    listed = ("csm_4500", "kg"), ("acetone", "L"), ("ply_meranti", "m2"), ("qwertzuiop", "kg")
    prices = [{"item": name, "price": 4.0, "per": per} for name, per in listed]
    one = unknown_names(jobs.update(demo, {"prices.items": prices}), found)
    unknown = "[prices] has {!r}, which is no material of the catalogue and nothing this job needs{}"
    assert one == (unknown.format("csm_4500", "; did you mean csm_450"), unknown.format("qwertzuiop", ""))
    sheet = {"item": "pu_bord_416", "thickness_mm": 19, "length_mm": 2440, "width_mm": 1220, "on_shelf": 0}
    two = unknown_names(jobs.update(demo, {"stock.sheets": [sheet]}), found)
    assert [line.partition("]")[0] for line in two] == ["[stock.sheets"] and two[0].endswith("did you mean pu_board_416")


# --- studies -----------------------------------------------------------------------------------------------------------

def test_an_old_laminate_without_strengths_is_compared_in_stiffness_alone():
    mat = Ply(SHOP.reinforcement("csm_450"), SHOP.resin("iso_polyester"), SHOP.process("hand"))
    old = Schedule((mat, mat), SHOP.fibres)
    palette = make_palette([mat], SHOP.fibres)
    with pytest.raises(InputError, match="evaluation level of the old laminate must be that of the palette"):
        replace_like_with_like(old, palette, level="iso_level_a")
    table = replace_like_with_like(old, palette).table()
    # the same two mats: as stiff and as strong as they were
    assert table["stiffness x, new/old [-]"].iloc[0] == pytest.approx(1.0)
    assert table["bending strength, new/old [-]"].iloc[0] == pytest.approx(1.0)
