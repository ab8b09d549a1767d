"""The schedule editor: every button changes the job's schedule, and what is shown is what the package computes."""

import html
import re

import numpy as np
import pytest

from lamcalc import units
from lamcalc.shop import job as jobs
from lamcalc.workbook import page_transom
from lamcalc.workbook.editor import schedule_editor
from lamcalc.workbook.job_bar import JobState

pytestmark = pytest.mark.behaviour
SKIN = "transom_inner_skin"


@pytest.fixture()
def editor(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return schedule_editor(jobs.load_demo(), SKIN)


def fabrics(editor):
    return [entry.reinforcement for entry in editor.entries if entry.kind == "ply"]


def check_shown(editor):
    schedule = jobs.schedule(editor.state.job, SKIN)
    system = editor.state.unit_system.system
    assert units.show(schedule.total_thickness_mm, "thickness", system) in editor.sentence.value
    assert units.show(schedule.areal_mass_kg_m2, "areal_mass", system) in editor.sentence.value
    assert editor.problem.value == ""


@pytest.mark.parametrize("buttons, expected", [
    (["Copy"], ["csm_450", "csm_450", "biax090_1808", "biax45_1708", "csm_300"]),
    (["Later"], ["biax090_1808", "csm_450", "biax45_1708", "csm_300"]),
    (["Later", "Later", "Earlier"], ["biax090_1808", "csm_450", "biax45_1708", "csm_300"]),
    (["Remove"], ["biax090_1808", "biax45_1708", "csm_300"]),
    (["Add ply", "Remove"], ["csm_450", "biax090_1808", "biax45_1708", "csm_300"]),
    (["Remove", "Undo"], ["csm_450", "biax090_1808", "biax45_1708", "csm_300"]),
])
@pytest.mark.parametrize("system", ["metric", "us"])
def test_buttons_change_the_stack(editor, buttons, expected, system):
    editor.switch.value = system
    for words in buttons:
        editor.buttons[words].click()
    assert fabrics(editor) == expected
    check_shown(editor)


def test_fields_change_the_marked_layer_only(editor):
    editor.layers.value = 2
    for key, value in (("count", 3), ("angle_deg", 90.0), ("reinforcement", "ud_400"), ("resin", "epoxy"),
                       ("process", "infusion")):
        editor.fields[key].value = value
        assert getattr(editor.entries[2], key) == value
    before = jobs.load_demo().schedules[SKIN].layers
    assert (*editor.entries[:2], editor.entries[3]) == (*before[:2], before[3])
    check_shown(editor)


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("many", [0, -1, 51])
def test_a_count_that_no_stack_has_is_refused_in_words_and_the_field_goes_back(editor, many, system):
    editor.switch.value = system
    before = editor.state.job.text
    editor.fields["count"].value = many
    said = html.unescape(editor.problem.value)
    assert "How many of layer 1" in said and "from 1 to 50" in said and f"received {many}" in said
    assert editor.fields["count"].value == 1 and editor.state.job.text == before
    editor.fields["count"].value = 2
    assert editor.problem.value == "" and editor.entries[0].count == 2


def test_a_single_layer_is_told_in_the_singular(editor):
    for _ in range(3):
        editor.buttons["Remove"].click()
    assert "1 layer: " in editor.sentence.value and "of 1 layer," in editor.image.value
    editor.buttons["Copy"].click()
    assert "2 layers: " in editor.sentence.value and "of 2 layers," in editor.image.value


def test_a_core_in_inches_lands_in_millimetres(editor):
    editor.buttons["Add core"].click()
    editor.switch.value = "us"
    editor.fields["thickness_mm"].value = 0.75
    assert editor.entries[1].thickness_mm == pytest.approx(19.05)
    check_shown(editor)


def test_an_impossible_entry_gets_a_sentence_and_changes_nothing(editor):
    editor.buttons["Add core"].click()
    text = editor.state.job.text
    editor.fields["thickness_mm"].value = -3
    assert "must be greater than 0" in editor.problem.value and "Traceback" not in editor.problem.value
    assert editor.state.job.text == text and editor.fields["thickness_mm"].value == 12.0


def test_the_last_layer_cannot_go(editor):
    for _ in range(4):
        editor.buttons["Remove"].click()
    assert len(editor.entries) == 1 and "at least one layer" in editor.problem.value


def test_findings_stand_at_the_ply(editor):
    editor.buttons["Add core"].click()
    assert "[!]" in editor.image.value and "<table" in editor.findings.value


def test_own_materials_that_cannot_be_used_are_refused(editor):
    editor.own.value = "nowhere.toml"
    assert "Next:" in editor.problem.value and editor.state.job.own_materials is None


def test_a_changed_schedule_is_saved_and_keeps_what_follows_it(tmp_path):
    saved = jobs.save(jobs.load_demo(), tmp_path / "launch.toml")
    state = JobState(saved)
    schedule_editor(state, SKIN).buttons["Copy"].click()
    state.save()
    again = jobs.load(tmp_path / "launch.toml")
    assert len(again.schedules[SKIN].layers) == 5
    assert {k: v for k, v in again.schedules.items() if k != SKIN} == {k: v for k, v in saved.schedules.items() if k != SKIN}
    assert "# wet mat plus putty" in again.text


def test_fields_after_the_layers_stay_with_the_schedule(tmp_path):
    text = jobs.load_demo().text.replace('  { kind = "ply", reinforcement = "csm_300", resin = "iso_polyester" },\n]\n',
                                         '  { kind = "ply", reinforcement = "csm_300", resin = "iso_polyester" },\n]\n'
                                         'laid = "inner_first"\n', 1)
    (tmp_path / "launch.toml").write_text(text, encoding="utf-8")
    state = JobState(jobs.load(tmp_path / "launch.toml"))
    names = [name for name, entry in state.job.schedules.items()
             if entry.laid == "inner_first" and jobs.load_demo().schedules[name].laid == "outer_first"]
    assert len(names) == 1
    schedule_editor(state, names[0]).buttons["Copy"].click()
    assert state.job.schedules[names[0]].laid == "inner_first"


def visible(editor):
    return [key for key, field in editor.fields.items() if field.layout.display != "none"]


def test_each_layer_shows_the_fields_it_has(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    kinds = {}
    for name, entry in jobs.load_demo().schedules.items():
        for place, layer in enumerate(entry.layers):
            kinds.setdefault(layer.kind, (name, place))
    expected = {"ply": ["reinforcement", "resin", "process", "mat_side", "angle_deg", "count"],
                "core": ["core", "angle_deg", "thickness_mm", "count"], "bond": ["reinforcement", "resin"], "include": [],
                "coat": ["thickness_mm"], "solid": ["thickness_mm"]}
    assert set(expected) <= set(kinds)
    for kind, fields in expected.items():
        name, place = kinds[kind]
        editor = schedule_editor(jobs.load_demo(), name)
        editor.layers.value = place
        assert sorted(visible(editor)) == sorted(fields)
        assert editor.layers.layout.display != "none" and editor.own.layout.display != "none"


def editor_of(name, *changes):
    """Editor of a schedule of the demo with some fields changed."""
    job = jobs.load_demo()
    return schedule_editor(jobs.update(job, dict(changes)) if changes else job, name)


def test_another_core_does_not_count_with_the_figures_of_the_one_before(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    editor = editor_of("transom_plywood")
    place = next(k for k, entry in enumerate(editor.entries) if entry.kind == "core")
    editor.layers.value = place
    assert editor.entries[place].own and "stiffness along 6.200 GPa" in editor.hint.value
    before = editor.state.job.text
    editor.fields["core"].value = "pvc_60"
    assert editor.entries[place].own == {} and "density 580 kg/m3" in editor.problem.value
    from lamcalc.materials import catalogue

    layer = jobs.schedule(editor.state.job, "transom_plywood").layers
    core = next(one.core for one in layer if getattr(one, "core", None) is not None)
    assert core == catalogue.load().core("pvc_60")
    assert editor.hint.value == ""
    editor.buttons["Undo"].click()
    assert editor.state.job.text == before and editor.problem.value == ""


@pytest.mark.parametrize("own", [("thickness_mm", 1.9), ("glass_fraction", 0.28)])
def test_another_fabric_does_not_keep_what_was_measured_on_the_one_before(tmp_path, monkeypatch, own):
    monkeypatch.chdir(tmp_path)
    path = f"schedules.{SKIN}.layers[0]."
    editor, plain = editor_of(SKIN, (path + own[0], own[1])), editor_of(SKIN)
    assert "Own figures" in editor.hint.value
    for one in (editor, plain):
        one.fields["reinforcement"].value = "ud_400"
    assert getattr(editor.entries[0], own[0]) is None and "Taken out" in editor.problem.value
    assert editor.numbers.value == plain.numbers.value
    editor = editor_of(SKIN, (path + own[0], own[1]))
    editor.fields["count"].value = 2  # what has nothing to do with it leaves it
    assert getattr(editor.entries[0], own[0]) == own[1]


def test_the_list_counts_layers_as_drawing_and_findings_do(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for name in jobs.load_demo().schedules:
        editor = editor_of(name)
        numbers = [words.split(".")[0] for words, _place in editor.layers.options]
        assert numbers[-1].split("-")[-1] == str(len(jobs.schedule(editor.state.job, name).laid)), name
    editor = editor_of("transom_cast")
    assert [words.split(".")[0] for words, _place in editor.layers.options] == ["1", "2", "3", "4", "5", "6", "7-11"]
    assert editor_of(SKIN).layers.options[2][0].startswith("3-4. 2 x stitched")


def test_the_list_tells_layers_of_one_material_apart(editor):
    editor.layers.value = 1
    editor.fields["angle_deg"].value = 45.0
    assert editor.layers.options[1][0].startswith("2. turned 45 deg: stitched biaxial 0/90")
    editor.buttons["Add core"].click()
    assert editor.layers.options[2][0].startswith("3. 12.00 mm ")
    editor.switch.value = "us"
    assert editor.layers.options[2][0].startswith("3. 0.472 in ")


def test_the_thickness_of_a_coat_and_of_a_kept_skin_can_be_changed(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    editor = editor_of("transom_cast")
    for place in (0, 1):
        editor.layers.value = place
        editor.fields["thickness_mm"].value = 3.25
        assert editor.entries[place].thickness_mm == 3.25 and editor.problem.value == ""
    editor.layers.value = 6
    assert "choose the schedule" in editor.hint.value


def test_undo_says_where_it_took_something_back(editor):
    state = editor.state
    other = schedule_editor(state, "stringer_crown")
    other.buttons["Copy"].click()
    editor.buttons["Undo"].click()
    assert "Crown cap" in editor.problem.value and not state.unsaved


def test_own_materials_changed_in_their_file_count_at_once(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    text = jobs.load_demo().text.replace('units = "metric"', 'units = "metric"\nown_materials = "own.toml"', 1)
    (tmp_path / "launch.toml").write_text(text, encoding="utf-8")

    def own(density):
        (tmp_path / "own.toml").write_text(
            '[[source]]\nid = "OWN"\ncitation = "Own sheet"\nstatus = "source seen"\n[[resin]]\nid = "iso_polyester"\n'
            'name = "isophthalic polyester"\nfamily = "polyester"\ncure = "peroxide"\n'
            f'density_kg_m3 = {density}\ne_mpa = 3400\nstatus = "assumed"\nsource = "OWN"\n', encoding="utf-8")

    own(1200)
    editor = schedule_editor(jobs.load(tmp_path / "launch.toml"), SKIN)
    editor.fields["reinforcement"].value = "ud_400"
    light = editor.sentence.value
    editor.buttons["Undo"].click()
    own(1500)
    editor.fields["reinforcement"].value = "ud_400"
    assert editor.sentence.value != light
    check_shown(editor)


def test_a_job_is_another_one_when_its_own_materials_have_changed(tmp_path):
    """Answers are kept by job: after Run All Cells none may come from the materials as they were."""
    text = jobs.load_demo().text.replace('units = "metric"', 'units = "metric"\nown_materials = "own.csv"', 1)
    (tmp_path / "launch.toml").write_text(text, encoding="utf-8")
    head = ("record,id,name,family,cure,density_kg_m3,density_kg_m3_low,density_kg_m3_high,e_mpa,status,source\n"
            "resin,iso_polyester,isophthalic polyester,polyester,peroxide,1210,1190,1230,{},assumed,MEMORY\n")
    shown = []
    for modulus in (3400, 1500, 3400):
        (tmp_path / "own.csv").write_text(head.format(modulus), encoding="utf-8")
        shown.append(page_transom.table(jobs.load(tmp_path / "launch.toml"), full=True).to_csv())
    assert shown[0] == shown[2] != shown[1]


def test_a_new_core_says_nothing_of_figures_that_were_not_there(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    job = jobs.load_demo()
    name, place = next((name, place) for name, entry in job.schedules.items() for place, layer in enumerate(entry.layers)
                       if layer.kind == "core" and layer.e_mpa is None and layer.density_kg_m3 is None)
    editor = schedule_editor(jobs.update(job, {f"schedules.{name}.layers[{place}].status": "assumed"}), name)
    editor.layers.value = place
    editor.fields["core"].value = next(core for _words, core in editor.fields["core"].options if core != editor.fields["core"].value)
    assert editor.entries[place].status is None and editor.problem.value == ""


def words_of(svg):
    return [html.unescape(one) for one in re.findall(r"<text[^>]*>(.*?)</text>", svg)]


def strokes_of(svg):
    """Angles of the strokes at each layer that has some, from their ends; y grows downwards on the screen."""
    found = []
    for path in re.findall(r'class="lam-way" d="([^"]+)"', svg):
        ends = np.array(re.findall(r"M([\d.]+) ([\d.]+)L([\d.]+) ([\d.]+)", path), dtype=float)
        angles = np.degrees(np.arctan2(ends[:, 1] - ends[:, 3], ends[:, 2] - ends[:, 0])) % 180
        found.append(sorted(np.round(angles).tolist()))
    return found


def test_the_drawing_shows_at_which_angle_each_layer_lies(editor):
    """Inner skin of the demo: mat, 0/90 with mat, two +-45 with mat, mat."""
    assert strokes_of(editor.image.value) == [[0, 90], [45, 135], [45, 135]] and "turned" not in editor.image.value
    editor.layers.value = 1
    editor.fields["angle_deg"].value = 30.0
    assert strokes_of(editor.image.value)[0] == [30, 120]
    assert [one for one in words_of(editor.image.value) if "turned" in one] == [
        one for one in words_of(editor.image.value) if re.match(r"2 .*turned 30 deg: stitched biaxial 0/90", one)] != []
    editor.fields["reinforcement"].value = "ud_400"
    assert strokes_of(editor.image.value)[0] == [30]
    editor.fields["reinforcement"].value = "wr_600"
    assert strokes_of(editor.image.value)[0] == [30, 120]
    editor.fields["angle_deg"].value = -45.0
    assert "turned -45 deg: woven" in editor.image.value and strokes_of(editor.image.value)[0] == [45, 135]
    editor.fields["reinforcement"].value = "csm_450"  # mat has no direction, whatever its angle
    assert len(strokes_of(editor.image.value)) == 2 and "turned" not in editor.image.value
    assert editor.layers.options[1][0].startswith("2. turned -45 deg: ")  # the roll is cut that way all the same


def test_the_face_grain_of_plywood_is_drawn_and_a_foam_has_none(editor):
    editor.buttons["Add core"].click()
    editor.fields["core"].value = "ply_meranti"
    editor.fields["angle_deg"].value = 90.0
    assert strokes_of(editor.image.value)[0] == [90] and "turned 90 deg" in editor.image.value
    editor.switch.value = "us"
    assert "0.472 in  turned 90 deg" in editor.image.value and " mm" not in editor.image.value
    editor.fields["core"].value = "pvc_60"
    assert len(strokes_of(editor.image.value)) == 3 and "turned" not in editor.image.value


def test_fifteen_turned_layers_can_be_told_apart(editor):
    for _ in range(12):
        editor.layers.value = 1
        editor.buttons["Copy"].click()
        editor.fields["angle_deg"].value = 20.0
    rows = [float(y) for y in re.findall(r'<text x="[\d.]+" y="([-\d.]+)" font-size="12"', editor.image.value)]
    assert len(rows) == 17 and min(np.diff(sorted(rows))) > 14.9
    centres = [np.array(re.findall(r"[\d.-]+", path), dtype=float)[1::2].mean() + 4
               for path in re.findall(r'class="lam-way" d="([^"]+)"', editor.image.value)]
    assert np.abs(np.subtract.outer(centres, rows)).min(axis=1).max() < 0.3  # each stands beside its words
    numbers = [int(one.split()[0]) for one in words_of(editor.image.value) if one[0].isdigit()]
    assert numbers == list(range(1, 18))


TITLE = jobs.load_demo().schedules[SKIN].title
BY_FILE = re.compile(r"layers\[|_mm\b|_deg\b|schedules\.|parts\.|\bline \d|\[-\]|transom_inner_skin|the job:")


def said(editor):
    return html.unescape(re.sub("<[^>]+>", "", editor.problem.value))


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("place, key, entered, words", [
    (2, "angle_deg", 400.0, f"Angle of layers 3-4 of '{TITLE}': must lie between -360 and 360 [deg]; received 400"),
    (3, "angle_deg", 1.5708, f"Angle of layer 5 of '{TITLE}': must be in degrees [deg]"),
    (4, "thickness_mm", -2.0, f"Thickness of layer 6 of '{TITLE}': must be greater than 0 [UNIT]; received -2"),
    (4, "thickness_mm", 0.01, f"Thickness of layer 6 of '{TITLE}': must be LEAST [UNIT]; received 0.01"),
])
def test_refusals_name_what_the_screen_shows(editor, system, place, key, entered, words):
    editor.layers.value = 3
    editor.buttons["Add core"].click()
    editor.switch.value = system
    editor.layers.value = place
    editor.fields[key].value = entered
    unit, least = {"metric": ("mm", "1 or more"), "us": ("in", "0.03937 or more")}[system]
    assert words.replace("UNIT", unit).replace("LEAST", least) in said(editor)
    assert not BY_FILE.search(said(editor))
    label = words.split(" of ")[0]
    assert editor.fields[key].description.startswith(label)  # the control is called so on the screen


def test_own_materials_are_refused_under_their_label(editor):
    editor.own.value = "nowhere.toml"
    assert said(editor).startswith("Own materials needs the job's folder") and "save the job first" in said(editor)
    assert not BY_FILE.search(said(editor))


def test_the_job_file_and_the_package_keep_the_names_of_the_file():
    with pytest.raises(ValueError) as caught:
        jobs.update(jobs.load_demo(), {f"schedules.{SKIN}.layers[2].angle_deg": 400})
    assert f"schedules.{SKIN}.layers[2].angle_deg: must lie" in str(caught.value) and "line " in str(caught.value)


def test_a_material_that_is_gone_is_told_with_the_layer_that_needs_it():
    job = jobs.update(jobs.load_demo(), {"schedules.transom_cast.layers[5].core": "foam_of_ours",
                                         "schedules.transom_original.layers[2].core": "foam_of_ours"})
    for name, words in (("transom_cast", "layer 6 of 'Core option 3: 38 mm cast core'"),
                        ("transom_original", "layers 3-4 of 'Transom as found'")):
        words_said = said(schedule_editor(job, name))
        assert words_said.startswith(f"Core of {words} must be one of ") and "'foam_of_ours'" in words_said
        assert name not in words_said


STRINGER = "stringer_skin"


@pytest.fixture()
def hat(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return schedule_editor(jobs.load_demo(), STRINGER)


def legs(editor):
    return editor.state.job.parts["stringers"].legs_mm


@pytest.mark.parametrize("system, put_in, now", [
    ("metric", "125 mm put in for the new ply, 25 mm more", "now 75, 100, 125 mm."),
    ("us", "4.921 in put in for the new ply, 0.9843 in more", "now 2.953, 3.937, 4.921 in.")])
@pytest.mark.parametrize("button, entered", [("Add ply", None), ("count", 3)])
def test_a_ply_added_to_a_stringer_gets_a_leg_that_is_told(hat, system, put_in, now, button, entered):
    before = hat.state.job.text
    hat.switch.value = system
    if entered is None:
        hat.buttons[button].click()
    else:
        hat.fields[button].value = entered
    assert legs(hat) == (75.0, 100.0, 125.0) and sum(entry.count for entry in hat.entries) == 3
    assert put_in in said(hat) and now in said(hat) and "field Legs" in said(hat) and "Undo" in said(hat)
    assert not BY_FILE.search(said(hat)) and 'role="alert"' not in hat.problem.value
    assert hat.legs.fields["stringers"].value == {"metric": "75, 100, 125", "us": "2.953, 3.937, 4.921"}[system]
    assert hat.legs.fields["stringers"].description == {"metric": "Legs [mm]", "us": "Legs [in]"}[system]
    hat.buttons["Undo"].click()  # one step takes both back
    assert hat.state.job.text == before and legs(hat) == (75.0, 100.0) and not hat.state.can_undo
    assert hat.legs.fields["stringers"].value == {"metric": "75, 100", "us": "2.953, 3.937"}[system]


def test_a_ply_taken_out_of_a_stringer_takes_the_last_leg_along(hat):
    hat.buttons["Copy"].click()  # the entry of two plies once more
    assert legs(hat) == (75.0, 100.0, 125.0, 150.0)
    hat.buttons["Remove"].click()
    assert legs(hat) == (75.0, 100.0) and "125, 150 mm taken out; now 75, 100 mm" in said(hat)
    hat.fields["count"].value = 1
    assert legs(hat) == (75.0,)
    hat.fields["count"].value = 2  # after a single leg there is no last step
    assert legs(hat) == (75.0, 100.0) and "as tabbing is stepped (from memory)" in said(hat)


def test_the_stringer_with_another_ply_can_be_assessed(hat):
    from lamcalc.shop.job_stringer import stringer_result
    from lamcalc.shop.takeoff import take_off

    before = stringer_result(hat.state.job)
    hat.buttons["Add ply"].click()
    after = stringer_result(hat.state.job)
    assert after.stringer.developed_widths == pytest.approx([*before.stringer.developed_widths,
                                                             before.stringer.developed_widths[-1] + 50.0])
    assert after.deflection_mm < before.deflection_mm
    assert take_off(hat.state.job).parts["stringers"]


@pytest.mark.parametrize("system, entered, wanted", [
    ("metric", "80, 100", (80.0, 100.0)), ("metric", "75; 110", (75.0, 110.0)), ("metric", "3 in, 100", (76.2, 100.0)),
    ("us", "3, 3.937", (76.2, 100.0)), ("us", "2.953, 4 1/2", (75.0, 114.3)), ("us", "80 mm, 3.937", (80.0, 100.0))])
def test_legs_are_entered_in_the_units_of_the_page(hat, system, entered, wanted):
    hat.switch.value = system
    hat.legs.fields["stringers"].value = entered
    assert hat.problem.value == "" and legs(hat) == wanted
    hat.buttons["Undo"].click()
    assert legs(hat) == (75.0, 100.0)


@pytest.mark.parametrize("entered, words", [
    ("75", "Legs of 'Two bottom stringers, re-bonded and capped': must have one leg a ply of schedule 'Hat laid"),
    ("75, wide", "Legs must be lengths with commas between them; received 'wide'. Next: write each as a number of mm"),
    ("75, -3", "Legs of 'Two bottom stringers, re-bonded and capped': must be greater than 0 [mm]; received -3"),
    ("", "Legs must be")])
def test_legs_that_do_not_fit_are_refused_in_words(hat, entered, words):
    hat.legs.fields["stringers"].value = entered
    assert words in said(hat) and not BY_FILE.search(said(hat))
    assert legs(hat) == (75.0, 100.0) and hat.legs.fields["stringers"].value == "75, 100"


def test_other_schedules_have_no_field_for_legs(editor):
    assert editor.legs.fields == {} and editor.legs.box.children == ()


def test_two_options_of_a_stringer_share_their_legs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    job = jobs.update(jobs.load_demo(), {"schedules.other_skin.layers": [
        {"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester", "count": 2}]})
    job = jobs.update(job, {"parts.stringers.options": ["stringer_skin", "other_skin"]})
    editor = schedule_editor(job, STRINGER)
    editor.buttons["Add ply"].click()
    assert "are one list for all its options, so 'other skin' with 2 plies must have as many" in said(editor)
    assert editor.state.job is job and not BY_FILE.search(said(editor))


def test_legs_follow_a_schedule_that_is_included(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    job = jobs.update(jobs.load_demo(), {"schedules.whole_hat.layers": [{"kind": "include", "schedule": "stringer_skin"}]})
    job = jobs.update(job, {"parts.stringers.options": ["whole_hat"], "parts.stringers.chosen": "whole_hat"})
    editor = schedule_editor(job, STRINGER)
    editor.buttons["Add ply"].click()
    assert legs(editor) == (75.0, 100.0, 125.0)


def test_a_stringer_keeps_at_least_one_ply(hat):
    hat.buttons["Add core"].click()
    hat.layers.value = 0
    hat.buttons["Remove"].click()
    assert "must keep a ply: 'Two bottom stringers" in said(hat) and legs(hat) == (75.0, 100.0)


@pytest.mark.parametrize("before, after", [((100.0, 75.0), (100.0, 75.0, 50.0)), ((90.0, 90.0), (90.0, 90.0, 90.0)),
                                           ((100.0, 40.0), (100.0, 40.0, 40.0))])
def test_legs_that_do_not_grow_stay_lengths(hat, before, after):
    hat.legs.fields["stringers"].value = ", ".join(f"{leg:g}" for leg in before)
    hat.buttons["Add ply"].click()
    assert legs(hat) == after and f"now {', '.join(f'{leg:g}' for leg in after)} mm" in said(hat)
    assert ("as long as the leg before" in said(hat)) == (after[-1] == before[-1])
