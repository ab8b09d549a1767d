"""Legs of a stringer when its plies change, and refusals in the names of the screen: places, numbers, words, without a page."""

import pytest

from lamcalc.errors import InputError
from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.job_legs import LegChange, leg_changes, legged_parts, legs_entered, legs_text
from lamcalc.shop.job_problems import JobError
from lamcalc.shop.screen_words import layer_numbers, place_words, title, told_on_screen

pytestmark = pytest.mark.behaviour
MAT = {"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester"}
CORE = {"kind": "core", "core": "pvc_80", "thickness_mm": 20.0}
STRINGERS = "Two bottom stringers, re-bonded and capped"


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


def layers_of(job, name, layers):
    """Layers as the model of a job has them."""
    return jobs.update(job, {f"schedules.{name}_tried.layers": layers}).schedules[f"{name}_tried"].layers


# --- legs --------------------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("before, after, words", [
    ((75.0, 100.0), (75.0, 100.0, 125.0, 150.0),
     "Legs of 'One': 125, 150 mm put in for the new plies, 25 mm more than the leg before it as at the last step; now 75, 100, "
     "125, 150 mm."),
    ((100.0, 75.0), (100.0, 75.0, 50.0),
     "Legs of 'One': 50 mm put in for the new ply, 25 mm less than the leg before it as at the last step; now 100, 75, 50 mm."),
    ((90.0, 90.0), (90.0, 90.0, 90.0),
     "Legs of 'One': 90 mm put in for the new ply, as long as the leg before; now 90, 90, 90 mm."),
    ((75.0,), (75.0, 100.0),
     "Legs of 'One': 100 mm put in for the new ply, 25 mm more than the leg before it as tabbing is stepped (from memory); "
     "now 75, 100 mm."),
    ((75.0, 75.5), (75.0, 75.5, 76.0),
     "Legs of 'One': 76 mm put in for the new ply, 0.5 mm more than the leg before it as at the last step; now 75, 75.5, 76 mm."),
    ((75.0, 98.1234), (75.0, 98.1234, 121.2468),
     "Legs of 'One': 121.247 mm put in for the new ply, 23.12 mm more than the leg before it as at the last step; now 75, "
     "98.1234, 121.247 mm."),
    ((75.0, 100.0, 125.0), (75.0,), "Legs of 'One': 100, 125 mm taken out; now 75 mm."),
])
def test_a_change_of_legs_in_words(before, after, words):
    assert LegChange("one", "One", before, after).words() == words


def test_a_change_of_legs_in_inches():
    change = LegChange("one", "One", (76.2, 101.6), (76.2, 101.6, 127.0))
    assert told(change.words(), "us") == ("Legs of 'One': 5 in put in for the new ply, 1 in more than the leg before it as at "
                                          "the last step; now 3, 4, 5 in.")


@pytest.mark.parametrize("legs, layers, after", [
    ((75, 100), [MAT] * 3, (75, 100, 125)),
    ((75, 100), [MAT | {"count": 4}], (75, 100, 125, 150)),
    ((75, 100), [MAT, CORE, MAT, CORE], None),  # a core has no leg
    ((75, 100), [MAT], (75,)),
    ((100, 40), [MAT] * 3, (100, 40, 40)),  # a step further it would be negative: the shortest that is there
    ((100, 50), [MAT] * 3, (100, 50, 50)),  # or nothing
    ((100, 51), [MAT] * 3, (100, 51, 2)),
    ((100, 50.5), [MAT] * 3, (100, 50.5, 1)),
])
def test_legs_follow_the_number_of_plies(demo, legs, layers, after):
    """The first ones stay; a ply more has the last step again, a ply less takes the last leg with it (common practice)."""
    job = jobs.update(demo, {"parts.stringers.legs_mm": list(legs)})
    found = leg_changes(job, "stringer_skin", layers_of(job, "stringer_skin", layers))
    if after is None:
        assert found == []
    else:
        assert found == [LegChange("stringers", STRINGERS, tuple(map(float, legs)), tuple(map(float, after)))]


def test_a_stringer_with_one_leg_is_stepped_as_tabbing(demo):
    one = jobs.update(demo, {"parts.stringers.legs_mm": [75], "schedules.stringer_skin.layers": [MAT]})
    (change,) = leg_changes(one, "stringer_skin", layers_of(one, "stringer_skin", [MAT] * 3))
    assert change.after == (75.0, 100.0, 125.0)  # 25 mm a layer: shop rule, from memory


def test_plies_of_an_included_schedule_count_each_time(demo):
    job = jobs.update(demo, {"schedules.whole_hat.layers": [
        {"kind": "include", "schedule": "stringer_skin"}, MAT, {"kind": "include", "schedule": "stringer_skin"}]})
    job = jobs.update(job, {"parts.stringers.options": ["whole_hat"], "parts.stringers.chosen": "whole_hat",
                            "parts.stringers.legs_mm": [75, 80, 85, 90, 95]})
    assert legged_parts(job, "stringer_skin") == legged_parts(job, "whole_hat") == ["stringers"]
    assert legged_parts(job, "sole_board") == []
    (change,) = leg_changes(job, "stringer_skin", layers_of(job, "stringer_skin", [MAT] * 3))
    assert change.after == (75, 80, 85, 90, 95, 100, 105)  # twice three and one
    deeper = jobs.update(job, {"schedules.mid_hat.layers": [{"kind": "include", "schedule": "stringer_skin"}]})
    deeper = jobs.update(deeper, {"schedules.whole_hat.layers": [{"kind": "include", "schedule": "mid_hat"}, MAT],
                                  "parts.stringers.legs_mm": [75, 80, 85]})
    (change,) = leg_changes(deeper, "stringer_skin", layers_of(deeper, "stringer_skin", [MAT] * 3))
    assert change.after == (75, 80, 85, 90)


def test_options_of_one_stringer_have_one_list_of_legs(demo):
    job = jobs.update(demo, {"schedules.other_skin.layers": [MAT | {"count": 2}]})
    job = jobs.update(job, {"parts.stringers.options": ["stringer_skin", "other_skin"]})
    with pytest.raises(InputError) as caught:
        leg_changes(job, "stringer_skin", layers_of(job, "stringer_skin", [MAT] * 3))
    assert str(caught.value) == (
        f"legs of '{STRINGERS}' are one list for all its options, so 'other skin' with 2 plies must have as many [-]; received "
        "3. Next: let the part have one option in the job file, then change its plies.")
    assert leg_changes(job, "stringer_skin", layers_of(job, "stringer_skin", [MAT] * 2)) == []
    single = jobs.update(job, {"schedules.other_skin.layers": [MAT], "schedules.stringer_skin.layers": [MAT],
                               "parts.stringers.legs_mm": [75]})
    with pytest.raises(InputError, match="so 'other skin' with 1 ply must have as many"):
        leg_changes(single, "stringer_skin", layers_of(single, "stringer_skin", [MAT] * 2))
    with pytest.raises(InputError, match=r"^schedule must keep a ply: 'Two bottom.*' is laid with it \[-\]; received nothing. "
                                         "Next: change the ply instead.$"):
        leg_changes(demo, "stringer_skin", layers_of(demo, "stringer_skin", [CORE]))


@pytest.mark.parametrize("text, system, legs", [
    ("75, 100", "metric", [75, 101.6]), ("75; 100;", "metric", [75, 100]), ("2.953, 4", "us", [75.0, 101.6]),
    ("2.953, 4, 5", "us", [75.0, 101.6, 127.0]), ("3, 4", "us", [76.2, 101.6]), (" 80 , 4 in ", "metric", [80, 101.6]),
    ("75, 100, 3 in", "metric", [75, 100, 76.2]),
    (", 75, 100 ,", "metric", [75, 100])])
def test_legs_entered_keep_what_was_left_as_shown(text, system, legs):
    """100 mm is shown for 100 mm, 4 in for 101.6; a number left as it was shown is the leg itself, not its rounding."""
    before = (75.0, 101.6) if system == "us" else (75.0, 100.0)
    legs = [100.0 if value == 101.6 and text == "75, 100" else value for value in legs]
    assert legs_entered(text, before, system) == pytest.approx(legs, abs=1e-9)


def test_a_leg_left_as_shown_keeps_its_digits():
    legs = (75.123456, 100.0)
    assert legs_text(legs, "metric") == "75.12, 100" and legs_text(legs, "us") == "2.958, 3.937"
    for system in ("metric", "us"):
        assert legs_entered(legs_text(legs, system), legs, system) == list(legs)
    with pytest.raises(InputError) as caught:
        legs_entered("75, wide", legs, "us")
    assert str(caught.value) == ("Legs must be lengths with commas between them [-]; received 'wide'. Next: write each as a "
                                 "number of in, or with its unit.")


# --- names of the screen -------------------------------------------------------------------------------------------------

@pytest.fixture(scope="module")
def built(demo):
    """A schedule with a bond line of its own putty, an include and counted plies."""
    bond = {"kind": "bond", "reinforcement": "csm_300", "resin": "iso_polyester", "putty_thickness_mm": 0.5,
            "putty_e_mpa": 3000, "putty_density_kg_m3": 1200}
    inner = {"schedules.inner_bit.layers": [MAT | {"count": 2}, MAT]}
    outer = {"schedules.tried.layers": [MAT, {"kind": "include", "schedule": "inner_bit"}, bond, CORE, MAT | {"count": 3}]}
    return jobs.update(jobs.update(demo, inner), outer)


def test_layers_are_counted_as_often_as_they_are_laid(built):
    """1 mat; 2 to 4 the included ones; 5 and 6 the bond's mat and putty; 7 the core; 8 to 10 three mats."""
    assert layer_numbers(built, "tried") == ["1", "2-4", "5-6", "7", "8-10"]
    assert layer_numbers(built, "inner_bit") == ["1-2", "3"]


@pytest.mark.parametrize("field, words", [
    ("schedules.tried.layers[0].angle_deg", "Angle of layer 1 of 'tried'"),
    ("schedules.tried.layers[4].count", "How many of layers 8-10 of 'tried'"),
    ("schedules.tried.layers[1]", "Layers 2-4 of 'tried'"),
    ("schedules.tried.layers[5]", "Layer 11 of 'tried'"),  # one that is not there yet: ten are laid
    ("schedules.tried.layers[6].core", "Core of layer 12 of 'tried'"),
    ("schedules.inner_bit.layers[2]", "Layer 4 of 'inner bit'"),
    ("schedules.nowhere_yet.layers[2].core", "Core of layer 3 of 'nowhere yet'"),
    ("schedules.tried.layers", "Layers of 'tried'"),
    ("schedules.tried", "'tried'"),
    ("parts.stringers.base_width_mm", f"Base width of '{STRINGERS}'"),
    ("parts.stringers.legs_mm[1]", f"Legs of '{STRINGERS}'"),
    ("survey.bottom.coupon.residue_mass_g", "Residue mass of 'Hull bottom panel, patch from outside'"),
    ("as_built.stringers.thickness_mm", f"Thickness of '{STRINGERS}'"),
    ("waste.glass", "Glass"), ("units", "Units"), ("", "The job"), ("[3]", "The job"),
])
def test_a_place_of_the_job_by_its_name_on_the_screen(built, field, words):
    assert place_words(built, field) == words


def test_a_schedule_or_part_by_its_title_else_by_its_name_in_words(built):
    assert title(built, "stringers") == STRINGERS and title(built, "transom_original") == "Transom as found"
    assert title(built, "inner_bit") == "inner bit" and title(built, "keel_shoe") == "keel shoe"


def test_refusals_of_the_model_are_told_by_layer_and_label(built):
    with pytest.raises(JobError) as caught:
        jobs.update(built, {"schedules.tried.layers[3].thickness_mm": -25.4, "schedules.tried.layers[4].angle_deg": 400.0})
    first, second = told_on_screen(caught.value, built, "metric").split(" Angle ")
    assert first == ("Thickness of layer 7 of 'tried': must be greater than 0 [mm]; received -25.4. Next: check the sign and "
                     "the entry.")
    assert second.startswith("of layers 8-10 of 'tried': must lie between -360 and 360 [deg]; received 400")
    us = told_on_screen(caught.value, built, "us")
    assert "Thickness of layer 7 of 'tried': must be greater than 0 [in]; received -1. " in us and "[-]" not in us


def test_at_most_three_refusals_are_told_at_once(built):
    places = [f"tried.layers[{k}]" for k in (0, 3, 4)] + ["inner_bit.layers[0]"]
    wrong = {f"schedules.{place}.angle_deg": 400.0 for place in places}
    with pytest.raises(JobError) as caught:
        jobs.update(built, wrong)
    assert len(caught.value.problems) == 4 and told_on_screen(caught.value, built, "metric").count("must lie between") == 3


@pytest.mark.parametrize("name, words", [
    ("schedules.tried, layer 2: core", "Core of layers 2-3 of 'tried'"),  # an included layer that is laid twice
    ("schedules.tried, layer 3: reinforcement", "Fabric of layer 4 of 'tried'"),
    ("schedules.tried, layer 4: resin", "Resin of layers 5-6 of 'tried'"),
    ("schedules.tried, layer 5", "Layer 7 of 'tried'"),
    ("schedules.tried, layer 5: density_kg_m3", "Density of layer 7 of 'tried'"),
    ("schedules.tried, layer 6: thickness_mm", "Thickness of layers 8-10 of 'tried'"),
    ("schedules.gone, layer 3: core", "Core of layer 3 of 'gone'"),
    ("own_materials", "Own materials"),
    ("units", "Units"),
])
def test_refusals_of_the_package_count_what_is_included(built, name, words):
    """The package counts an included schedule written out, each of its entries once: 1, 2 and 3 included, 4 bond, 5, 6."""
    problem = InputError(name, "must be known [-]", "nothing", "take the field out of the job file")
    assert told_on_screen(problem, built, "metric") == f"{words} must be known; received 'nothing'. Next: leave the field empty."


def test_names_inside_a_refusal_are_those_of_the_screen_and_materials_keep_theirs(built):
    rule = "of inner_bit must not be laid with csm_450 in transom_original; legs_mm and glass_fraction count [-]"
    problem = InputError("stack", rule, None, "change base_width_mm")
    us = InputError("legs_mm", "must be greater than 0 [mm], as legs_mm of the file are", -25.4)
    assert told_on_screen(us, built, "us") == "Legs must be greater than 0 [in], as legs of the file are; received -1."
    assert told_on_screen(ValueError("no such core_mm"), built, "us") == "no such core"
    said = told_on_screen(problem, built, "metric")
    assert said == ("stack of 'inner bit' must not be laid with csm_450 in 'Transom as found'; legs and glass content count; "
                    "received nothing. Next: change base width.")
