"""The job file: load, change, save, demo, older formats, recovery copies."""

import datetime
import os
import pickle
import tomllib

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from lamcalc.errors import InputError
from lamcalc.shop import job
from lamcalc.shop.job_text import read

pytestmark = pytest.mark.behaviour
DEMO = job.load_demo()


@pytest.fixture
def saved(tmp_path):
    return job.save(DEMO, tmp_path / "launch.toml")


# --- the demo job carries what the rowing club's job says -----------------------------------------------------------

DEMO_VALUES = {
    "craft.length_m": 5.4,
    "craft.engine_power_kw": 30,
    "craft.age_years": 30,
    "shop.air_temperature_c": 18.5,
    "shop.hull_temperature_c": 17,
    "shop.humidity_percent": 63,
    "shop.crew": 2,
    "shop.labour_per_hour": 46,
    "shop.vacuum_pump": False,
    "waste.glass": 0.12,
    "waste.resin": 0.15,
    "waste.gel_coat": 0.20,
    "resins.iso_polyester.catalyst_low_percent": 1.0,
    "resins.iso_polyester.catalyst_high_percent": 2.5,
    "resins.iso_polyester.gel_minutes": 28,
    "resins.iso_polyester.gel_temperature_c": 20,
    "resins.iso_polyester.gel_catalyst_percent": 1.5,
    "resins.iso_polyester.gel_mass_g": 100,
    "resins.iso_polyester.catalyst_density_kg_m3": 1160,
    "resins.epoxy.ratio_by_volume": 2,
    "resins.epoxy.resin_density_kg_m3": 1150,
    "resins.epoxy.hardener_density_kg_m3": 1000,
    "survey.transom.dull_below_mm": 350,
    "survey.transom.soft_core_share": 0.6,
    "survey.bottom.coupon.dry_mass_g": 4.62,
    "survey.bottom.coupon.residue_mass_g": 1.61,
    "parts.transom.outline.top_width_mm": 1500,
    "parts.transom.outline.chine_width_mm": 1240,
    "parts.transom.outline.height_mm": 620,
    "parts.transom.outline.vee_mm": 90,
    "parts.transom.outline.cut_out_width_mm": 480,
    "parts.transom.outline.cut_out_depth_mm": 130,
    "parts.transom.outline.net_area_m2": 0.843,
    "parts.transom.engine.mass_kg": 104,
    "parts.transom.engine.power_kw": 30,
    "parts.transom.engine.centre_aft_mm": 190,
    "parts.transom.engine.centre_above_bolts_mm": 60,
    "parts.transom.engine.thrust_n": 2100,
    "parts.transom.engine.thrust_below_bolts_mm": 560,
    "parts.transom.engine.trailering_factor": 2.5,
    "parts.transom.bolts.number": 4,
    "parts.transom.bolts.diameter_mm": 12,
    "parts.transom.bolts.upper_spacing_mm": 327,
    "parts.transom.bolts.row_spacing_mm": 200,
    "parts.transom.bolts.plate_length_mm": 60,
    "parts.transom.bolts.plate_width_mm": 60,
    "parts.transom.bolts.plate_thickness_mm": 5,
    "parts.transom.window.low_mm": 41,
    "parts.transom.window.high_mm": 57,
    "parts.transom.window.status": "assumed",
    "parts.transom.screening.outer_skin_e_mpa": 8500,
    "parts.transom.screening.inner_skin_e_mpa": 10500,
    "parts.transom.tabbing.length_mm": 3100,
    "parts.transom.tabbing.included_angle_deg": 104,
    "parts.transom.tabbing.fillet_radius_mm": 20,
    "parts.stringers.number": 2,
    "parts.stringers.base_width_mm": 110,
    "parts.stringers.top_width_mm": 70,
    "parts.stringers.height_mm": 95,
    "parts.stringers.length_mm": 3200,
    "parts.stringers.spacing_mm": 460,
    "parts.stringers.span_mm": 900,
    "parts.stringers.pressure_kpa": 18,
    "parts.stringers.pressure_status": "assumed",
    "parts.stringers.former.density_kg_m3": 80,
    "parts.stringers.legs_mm": (75, 100),
    "parts.stringers.crown_width_mm": 70,
    "parts.stringers.deflection_limit_span_over": 200,
    "parts.bottom.span_mm": 460,
    "parts.bottom.length_mm": 900,
    "parts.bottom.repair.scarf_ratio": 12,
    "parts.bottom.repair.damage_length_mm": 240,
    "parts.bottom.repair.damage_width_mm": 70,
    "parts.bottom.repair.crack_length_mm": 240,
    "parts.bottom.repair.side": "outside",
    "parts.sole.piece_length_mm": 2550,
    "parts.sole.piece_width_mm": 1180,
    "parts.sole.span_mm": 460,
    "parts.sole.patch_load.force_n": 1200,
    "parts.sole.patch_load.length_mm": 100,
    "parts.sole.patch_load.width_mm": 100,
    "parts.sole.deflection_limit_span_over": 100,
    "as_built.transom.thickness_mm": (5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4),
    "as_built.transom.glass_used_kg": 3.71,
    "as_built.transom.resin_used_kg": 6.74,
    "as_built.transom.barcol": (38, 41, 40, 35, 42, 39, 44, 37, 40, 52),
    "as_built.transom.barcol_hours": 48,
    "as_built.transom.coupon.dry_mass_g": 2.94,
    "as_built.transom.coupon.residue_mass_g": 1.12,
    "as_built.transom.coupon.density_kg_m3": 1460,
}


def look(one, path):
    for step in path.split("."):
        one = one[step] if isinstance(one, dict) else getattr(one, step)
    return one


@pytest.mark.parametrize("path", DEMO_VALUES)
def test_demo_value(path):
    assert look(DEMO, path) == DEMO_VALUES[path]


def test_demo_survey_readings():
    outer, inner = DEMO.survey["transom"].thickness
    assert outer.readings_mm == (5.2, 5.0, 4.8, 5.3, 5.1, 5.0) and outer.gel_coat_mm == 0.5
    assert inner.readings_mm == (2.6,)
    assert DEMO.survey["transom"].moisture[0].percent == (11, 13, 28, 41, 55, 38, 22, 14)
    bottom = DEMO.survey["bottom"].thickness[0]
    assert bottom.readings_mm == (6.3, 6.0, 6.1, 5.9, 6.2, 6.1) and bottom.gel_coat_mm == 0.55


def test_demo_prices_and_rolls():
    expected = {
        "iso_polyester": 6.90,
        "vinyl_ester": 10.40,
        "gel_coat": 9.80,
        "epoxy": 19.50,
        "csm_300": 2.10,
        "csm_450": 3.00,
        "wr_600": 3.60,
        "biax45_1208": 5.90,
        "biax45_1708": 7.20,
        "biax090_1808": 7.40,
        "ud_400": 5.10,
        "silica": 14,
        "acetone": 4.20,
        "cast_640": 11.50,
    }
    assert {item: DEMO.prices.of(item).price for item in expected} == expected
    assert DEMO.prices.of("ply_meranti", 18).price == 92 and DEMO.prices.of("pu_board_416", 18).price == 260
    assert DEMO.prices.of("ply_meranti", 18).sheet_length_mm == 2440
    assert DEMO.prices.of("ply_meranti", 15) is None
    assert {roll.item: roll.width_mm for roll in DEMO.stock.rolls} == {
        "csm_300": 1040,
        "csm_450": 1040,
        "wr_600": 1270,
        "biax45_1208": 1270,
        "biax45_1708": 1270,
        "biax090_1808": 1270,
        "ud_400": 1270,
    }


def written(name):
    return [
        getattr(layer, "reinforcement", getattr(layer, "core", layer.kind))
        for layer in DEMO.layers(name)
        for _ in range(getattr(layer, "count", 1))
    ]


def test_demo_schedules():
    inner = ["csm_450", "biax090_1808", "biax45_1708", "biax45_1708", "csm_300"]
    assert written("transom_inner_skin") == inner
    for name, core in (
        ("transom_plywood", "ply_meranti"),
        ("transom_board", "pu_board_416"),
        ("transom_cast", "cast_640"),
    ):
        assert written(name) == ["coat", "solid", "csm_450", core, "csm_450", core, *inner]
    assert written("bottom_original") == ["coat", "csm_300", "csm_450", "wr_600", "csm_450", "wr_600", "csm_450"]
    assert written("bottom_patch_stitched") == [
        "coat",
        "csm_300",
        "csm_450",
        "biax090_1808",
        "csm_450",
        "biax45_1708",
        "csm_450",
    ]
    assert written("stringer_skin") == ["biax45_1708"] * 2 and written("stringer_crown") == ["ud_400"] * 3
    assert written("sole_plywood") == ["csm_450", "ply_meranti", "csm_450", "coat"]
    assert written("sole_board") == ["csm_300", "biax45_1208", "pu_board_240", "biax45_1208", "coat"]
    assert [tape.leg_mm for tape in DEMO.parts["transom"].tabbing.tapes] == [50, 75, 100]


def test_demo_cores_keep_the_values_of_the_job():
    own = {name: DEMO.layers(f"transom_{name}")[3].own for name in ("plywood", "board", "cast")}
    assert own == {
        "plywood": {"density_kg_m3": 580, "e_mpa": 6200, "g_mpa": 200, "crush_mpa": 7},
        "board": {"density_kg_m3": 416, "e_mpa": 1600, "g_mpa": 120, "crush_mpa": 8},
        "cast": {"density_kg_m3": 640, "e_mpa": 900, "g_mpa": 300, "crush_mpa": 10},
    }
    assert all(DEMO.layers(f"transom_{name}")[3].status == "assumed" for name in own)


def test_patch_from_outside_uses_vinyl_ester_for_the_first_two_plies_laid_and_mat_to_the_bond():
    for name in ("bottom_patch_rovings", "bottom_patch_stitched"):
        assert DEMO.schedules[name].laid == "inner_first"
        plies = [layer for layer in reversed(DEMO.layers(name)) if layer.kind == "ply"]
        assert [ply.resin for ply in plies] == ["vinyl_ester"] * 2 + ["iso_polyester"] * 4
    assert {
        layer.mat_side
        for layer in DEMO.layers("bottom_patch_stitched")
        if layer.kind == "ply" and layer.reinforcement.startswith("biax")
    } == {"up"}


def test_outline_area_is_that_of_a_trapezoid_a_vee_and_a_notch():
    outline = DEMO.parts["transom"].outline
    by_hand = (1500 + 1240) / 2 * 620 + 1240 * 90 / 2 - 480 * 130
    assert outline.drawn_area_m2 == pytest.approx(by_hand / 1e6, abs=1e-12)
    corners = [(0, 0), (1000, 0), (1000, 500), (0, 500)]
    square = outline.model_validate(outline.model_dump() | {"net_area_m2": None, "polygon_mm": corners})
    assert square.area_m2 == pytest.approx(0.5)


# --- frozen, changed by update, comments kept ------------------------------------------------------------------------


def test_a_job_is_frozen():
    with pytest.raises(ValidationError):
        DEMO.name = "other"
    with pytest.raises(TypeError, match="frozen"):
        DEMO.parts["hull"] = DEMO.parts["transom"]
    with pytest.raises(TypeError, match="frozen"):
        DEMO.schedules.clear()
    assert isinstance(DEMO.schedules["transom_plywood"].layers, tuple)


def test_a_job_survives_pickling():
    assert pickle.loads(pickle.dumps(DEMO)).model_dump() == DEMO.model_dump()


def test_update_changes_one_line_and_keeps_every_comment():
    changed = job.update(DEMO, {"shop.hull_temperature_c": 14.5})
    before, after = DEMO.text.splitlines(), changed.text.splitlines()
    assert [line for line in after if line not in before] == ["hull_temperature_c = 14.5"]
    assert len(before) == len(after)
    assert DEMO.shop.hull_temperature_c == 17 and changed.shop.hull_temperature_c == 14.5


def test_update_inside_a_list_of_layers():
    changed = job.update(
        DEMO,
        {"schedules.transom_inner_skin.layers[2].count": 3, "schedules.transom_inner_skin.layers[1].angle_deg": 45.0},
    )
    assert changed.schedules["transom_inner_skin"].layers[2].count == 3
    assert changed.schedules["transom_inner_skin"].layers[1].angle_deg == 45
    assert "# mat down, towards the core" in changed.text
    assert sum("#" in line for line in changed.text.splitlines()) == sum("#" in line for line in DEMO.text.splitlines())


def test_update_adds_appends_and_removes():
    changed = job.update(
        DEMO,
        {
            "schedules.transom_inner_skin.layers[4]": {"kind": "coat", "thickness_mm": 0.5},
            "parts.transom.note": None,
            "as_built.sole": {"laminate": "sole_board", "thickness_mm": [21.0]},
        },
    )
    assert changed.schedules["transom_inner_skin"].layers[-1].kind == "coat"
    assert changed.parts["transom"].note == "" and changed.as_built["sole"].thickness_mm == (21.0,)
    assert changed.text.splitlines()[-1] == "# end of job"
    removed = job.update(changed, {"schedules.transom_inner_skin.layers[4]": None})
    assert removed.schedules["transom_inner_skin"] == DEMO.schedules["transom_inner_skin"]


def test_update_replaces_a_whole_layer_and_makes_missing_tables():
    layer = {"kind": "ply", "reinforcement": "csm_300", "resin": "vinyl_ester"}
    changed = job.update(
        DEMO, {"schedules.transom_inner_skin.layers[0]": layer, "as_built.sole.laminate": "sole_board"}
    )
    assert changed.schedules["transom_inner_skin"].layers[0].resin == "vinyl_ester"
    assert changed.as_built["sole"].laminate == "sole_board"
    with pytest.raises(job.JobError, match=r"parts.sole.patch_load.place: is not a field"):
        job.update(DEMO, {"parts.sole.patch_load.place.x_mm": 3})


def test_areas_of_panels():
    assert DEMO.parts["sole"].area_m2 == pytest.approx(2.55 * 1.18)
    assert DEMO.parts["bottom"].area_m2 == pytest.approx(0.46 * 0.9)


def test_update_takes_numpy_numbers_models_and_dates():
    changed = job.update(
        DEMO,
        {
            "waste.glass": np.float64(0.2),
            "shop.crew": np.int64(3),
            "as_built.transom.thickness_mm": np.array([5.0, 5.5]),
            "prices.date": datetime.date(2026, 4, 1),
            "parts.transom.window": DEMO.parts["transom"].window,
        },
    )
    assert changed.waste.glass == 0.2 and changed.shop.crew == 3 and changed.prices.date.month == 4
    assert changed.as_built["transom"].thickness_mm == (5.0, 5.5)


@pytest.mark.parametrize(
    "path, shown",
    [
        ("shop..crew", "names joined by dots"),
        ("", "names joined by dots"),
        (3, "names joined by dots"),
        ("schedules.transom_inner_skin.layers[99].count", "leads nowhere at 99"),
        ("shop.crew[0].x", "leads nowhere at 0"),
        ("shop.nothing", "leads nowhere at 'nothing'"),
    ],
)
def test_update_refuses_a_path_that_leads_nowhere(path, shown):
    with pytest.raises(InputError, match="field path") as caught:
        job.update(DEMO, {path: None})
    assert shown in str(caught.value)


def test_update_refuses_a_value_that_no_file_can_hold():
    with pytest.raises(
        InputError, match=r"^shop.crew must be a number, text, date, list or table \[-\]; received <object"
    ):
        job.update(DEMO, {"shop.crew": object()})
    with pytest.raises(InputError, match="must be a number, text, date, list or table"):
        job.update(DEMO, {"shop.new_field": {1, 2}})


def test_a_refused_update_leaves_the_job_as_it_was():
    before = DEMO.text
    with pytest.raises(job.JobError):
        job.update(DEMO, {"shop.crew": 0})
    assert DEMO.text == before and DEMO.shop.crew == 2


# --- save and load ---------------------------------------------------------------------------------------------------


def test_round_trip(saved):
    again = job.load(saved.source_path)
    assert again.model_dump() == DEMO.model_dump() and again.text == DEMO.text
    assert saved.source_path.name == "launch.toml" and DEMO.source_path is None


def test_edited_document_is_checked_saved_and_keeps_comments(saved):
    document = saved.document
    document["craft"]["age_years"] = 31
    again = job.save(document, saved.source_path)
    assert again.craft.age_years == 31
    comments = [line for line in DEMO.text.splitlines() if line.startswith("#")]
    assert [line for line in again.text.splitlines() if line.startswith("#")] == comments
    document["craft"]["age_years"] = -1
    with pytest.raises(job.JobError, match="craft.age_years: must be 0 or more"):
        job.save(document, saved.source_path)
    assert job.load(saved.source_path).craft.age_years == 31


def test_the_document_of_a_job_is_a_copy(saved):
    saved.document["name"] = "other"
    assert saved.name == DEMO.name and saved.document["name"] == DEMO.name


def test_the_version_before_is_kept(saved):
    first = saved.source_path.read_bytes()
    job.save(job.update(saved, {"shop.crew": 3}), saved.source_path)
    assert job.previous_path(saved.source_path).read_bytes() == first
    job.save(job.update(saved, {"shop.crew": 3}), saved.source_path)  # the same again must not push the older one out
    assert job.previous_path(saved.source_path).read_bytes() == first


def test_save_without_a_path_uses_the_file_and_refuses_where_there_is_none(saved):
    assert job.save(job.update(saved, {"shop.crew": 4})).source_path == saved.source_path
    assert job.load(saved.source_path).shop.crew == 4
    with pytest.raises(InputError, match="the job has no file yet"):
        job.save(DEMO)


def test_save_refuses_another_ending_and_another_object(tmp_path):
    with pytest.raises(InputError, match=r"must end in .toml \[-\]; received 'launch.py'"):
        job.save(DEMO, tmp_path / "launch.py")
    with pytest.raises(InputError, match="must be a job, an edited document"):
        job.save(3, tmp_path / "launch.toml")
    assert list(tmp_path.iterdir()) == []


def test_windows_line_ends_and_byte_order_mark_are_read(tmp_path):
    path = tmp_path / "launch.toml"
    path.write_bytes(b"\xef\xbb\xbf" + DEMO.text.replace("\n", "\r\n").encode())
    loaded = job.load(path)
    assert loaded.model_dump() == DEMO.model_dump()
    changed = job.save(job.update(loaded, {"shop.crew": 3}))
    assert job.load(path).shop.crew == 3 and changed.text.count("\r\n") == changed.text.count("\n")


def test_changed_on_disk(saved):
    assert not job.changed_on_disk(saved)
    other = job.save(job.update(saved, {"shop.crew": 3}))
    assert job.changed_on_disk(saved) and not job.changed_on_disk(other)
    saved.source_path.unlink()
    assert job.changed_on_disk(saved) and not job.changed_on_disk(DEMO)


def test_permissions_of_the_file_are_kept(saved):
    os.chmod(saved.source_path, 0o640)
    job.save(job.update(saved, {"shop.crew": 3}))
    assert saved.source_path.stat().st_mode & 0o777 == 0o640


# --- recovery copies -------------------------------------------------------------------------------------------------


def test_recovery_copy_brings_unsaved_changes_back_and_goes_when_they_are_saved(saved):
    assert job.read_recovery(saved) is None
    copy = job.write_recovery(job.update(saved, {"shop.crew": 5}))
    assert job.load(saved.source_path).shop.crew == 2
    found = job.read_recovery(saved.source_path)
    assert found.shop.crew == 5 and found.source_path == saved.source_path
    job.save(found)
    assert not copy.exists() and job.load(saved.source_path).shop.crew == 5


def test_an_older_or_equal_recovery_copy_is_not_offered(saved):
    copy = job.write_recovery(saved)
    assert job.read_recovery(saved) is None
    job.write_recovery(job.update(saved, {"shop.crew": 5}))
    os.utime(copy, (1, 1))
    assert job.read_recovery(saved) is None
    job.discard_recovery(saved)
    assert not copy.exists()


def test_recovery_of_a_job_without_a_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    blank = job.new("Skiff: soft transom")
    copy = job.write_recovery(blank)
    assert copy.name == ".skiff_soft_transom.recovery.toml"
    found = job.read_recovery(blank)
    assert found.name == blank.name and found.source_path is None
    job.save(blank, tmp_path / "skiff.toml")
    assert not copy.exists()


def test_a_damaged_recovery_copy_says_so(saved):
    job.recovery_path(saved).write_text("format = 1")
    with pytest.raises(job.JobError, match="may be cut off"):
        job.read_recovery(saved)


# --- blank jobs and file names ---------------------------------------------------------------------------------------


def test_new_job_is_valid_and_says_what_is_assumed(tmp_path):
    blank = job.new("<script>alert(1)</script>", units="us", date=datetime.date(2026, 3, 2))
    assert blank.name == "<script>alert(1)</script>" and blank.units == "us" and blank.shop.status == "assumed"
    assert blank.prices.date == datetime.date(2026, 3, 2) and blank.parts == {} and blank.source_path is None
    path = tmp_path / (job.safe_file_name(blank.name) + ".toml")
    assert job.load(job.save(blank, path).source_path).name == blank.name
    assert path.name == "script_alert_1_script.toml"


def test_new_job_refuses_no_name_and_unknown_units():
    with pytest.raises(job.JobError, match=r"name: must not be empty \[-\]"):
        job.new("  ")
    with pytest.raises(job.JobError, match="must be one of 'metric', 'us'"):
        job.new("Skiff", units="imperial")
    with pytest.raises(job.JobError, match=r"must be a text \[-\]; received 3"):
        job.new(3)


@pytest.mark.parametrize(
    "title, name",
    [
        ("../../etc/passwd", "etc_passwd"),
        ("C:\\boats\\a", "c_boats_a"),
        ("con", "con_job"),
        ("LPT1", "lpt1_job"),
        ("", "job"),
        ("...", "job"),
        ("Gr\u00fcne Jolle", "grune_jolle"),
        ("\u8239", "job"),
        ("a\0b", "a_b"),
        ("x" * 300, "x" * 80),
        ("=1+1", "1_1"),
    ],
)
def test_safe_file_name(title, name):
    assert job.safe_file_name(title) == name


@given(st.text())
def test_safe_file_name_is_always_a_plain_name(title):
    name = job.safe_file_name(title)
    assert 1 <= len(name) <= 84 and set(name) <= set("abcdefghijklmnopqrstuvwxyz0123456789_-")
    assert job.safe_file_name(name) == name


# --- older formats ---------------------------------------------------------------------------------------------------


def old_text():
    """The demo job as format 0 wrote it."""
    text = DEMO.text.replace("format = 1", "format = 0 # first version").replace(
        '\nname = "Coaching', '\njob = "Coaching'
    )
    text = text.replace("[craft]", "[boat]").replace("[schedules.", "[layups.")
    text = text.replace("air_temperature_c =", "air_c =").replace("hull_temperature_c =", "hull_c =")
    text = text.replace("[waste] # shares of the net quantity, as fractions", "[waste_percent]")
    for new, old in (
        ("glass = 0.12", "glass = 12"),
        ("resin = 0.15", "resin = 15.0"),
        ("gel_coat = 0.20", "gel_coat = 20 # rolled"),
        ("putty = 0.25", "putty = 2_5"),
    ):
        text = text.replace(new, old)
    return text.replace("# end of job\n", "")


def test_an_older_format_is_upgraded_and_the_file_stays_until_it_is_saved(tmp_path):
    path = tmp_path / "old.toml"
    path.write_text(old_text())
    loaded = job.load(path)
    assert loaded.model_dump() == DEMO.model_dump() and loaded.migrated_from == 0
    assert path.read_text() == old_text()
    saved = job.save(loaded)
    assert saved.migrated_from is None and job.previous_path(path).read_text() == old_text()
    again = tomllib.loads(path.read_text())
    assert again["format"] == 1 and again["waste"] == {"glass": 0.12, "resin": 0.15, "gel_coat": 0.2, "putty": 0.25}
    assert "gel_coat = 0.2 # rolled" in path.read_text() and "format = 1 # first version" in path.read_text()


def test_mistakes_in_an_older_file_are_told_with_its_lines(tmp_path):
    path = tmp_path / "old.toml"
    text = old_text().replace("glass = 12", "glass = 1200").replace("mass_kg = 104", "mass_kg = -104")
    path.write_text(text.replace("gel_coat = 20 #", 'gel_coat = "lots" #'))
    with pytest.raises(job.JobError) as caught:
        job.load(path)
    lines = path.read_text().splitlines()
    assert [(lines[problem.line - 1].split(" =")[0], problem.received) for problem in caught.value.problems] == [
        ("glass", "12"),
        ("gel_coat", "'lots'"),
        ("mass_kg", "-104"),
    ]


# --- any value, any name ---------------------------------------------------------------------------------------------

quick = settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


@quick
@given(
    mass=st.floats(0.001, 5000),
    angle=st.integers(-360, 360),
    share=st.floats(1e-6, 0.999),
    offset=st.floats(-5000, 5000),
)
def test_any_value_in_range_comes_back_to_the_last_bit(tmp_path, mass, angle, share, offset):
    changed = job.update(
        DEMO,
        {
            "parts.transom.engine.mass_kg": mass,
            "schedules.transom_inner_skin.layers[1].angle_deg": angle,
            "waste.glass": share,
            "parts.transom.engine.centre_aft_mm": offset,
        },
    )
    again = job.load(job.save(changed, tmp_path / "any.toml").source_path)
    assert again.parts["transom"].engine.mass_kg == mass and again.waste.glass == share
    assert again.parts["transom"].engine.centre_aft_mm == offset
    assert again.schedules["transom_inner_skin"].layers[1].angle_deg == angle


@quick
@given(name=st.text(min_size=1, max_size=40), note=st.text(max_size=200))
def test_any_text_comes_back_or_is_refused_in_words(tmp_path, name, note):
    try:
        changed = job.update(DEMO, {"name": name, "craft.complaint": note})
    except job.JobError as problem:
        assert all(one.rule for one in problem.problems)
        return
    again = job.load(job.save(changed, tmp_path / "any.toml").source_path)
    assert again.name == name.strip() and again.craft.complaint == note.strip()


@quick
@given(
    st.floats(max_value=0)
    | st.floats(5001, 1e300)
    | st.sampled_from([float("nan"), float("inf"), -float("inf"), True, "x"])
)
def test_no_value_outside_the_range_gets_in(value):
    with pytest.raises(job.JobError, match=r"line \d+, parts.transom.engine.mass_kg: must be .*\[kg\]"):
        job.update(DEMO, {"parts.transom.engine.mass_kg": value})


def test_quantities_with_their_own_unit_are_converted():
    changed = job.update(
        DEMO,
        {
            "parts.transom.engine.mass_kg": "230 lb",
            "parts.transom.bolts.diameter_mm": "1/2 in",
            "shop.hull_temperature_c": "62.6 F",
            "craft.length_m": "18 ft",
            "parts.bottom.pressure_kpa": "3 psi",
        },
    )
    assert changed.parts["transom"].engine.mass_kg == pytest.approx(
        230 * 0.45359237, abs=1e-9
    )  # pound: exact by definition
    assert changed.parts["transom"].bolts.diameter_mm == 12.7
    assert changed.shop.hull_temperature_c == pytest.approx(17, abs=1e-9)
    assert changed.craft.length_m == pytest.approx(5.4864, abs=1e-12)
    assert changed.parts["bottom"].pressure_kpa == pytest.approx(20.6843, abs=5e-5)  # 1 psi = 6.894757 kPa


def test_a_text_without_the_end_mark_is_accepted_from_a_program_and_marked():
    bare = DEMO.text.replace("# end of job\n", "")
    assert read(bare, marked=False).text == DEMO.text


def test_the_end_mark_inside_a_quoted_text_is_left_alone():
    note = "first\n# end of job\nlast"
    changed = job.update(DEMO, {"craft.complaint": note})
    assert job.update(changed, {"shop.crew": 3}).craft.complaint == note
