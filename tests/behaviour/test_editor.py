"""The schedule editor: every button changes the job's schedule, and what is shown is what the package computes."""

import pytest

from lamcalc import units
from lamcalc.shop import job as jobs
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
                "core": ["core", "angle_deg", "thickness_mm", "count"], "bond": ["reinforcement", "resin"], "include": []}
    assert set(expected) <= set(kinds)
    for kind, fields in expected.items():
        name, place = kinds[kind]
        editor = schedule_editor(jobs.load_demo(), name)
        editor.layers.value = place
        assert sorted(visible(editor)) == sorted(fields)
        assert editor.layers.layout.display != "none" and editor.own.layout.display != "none"
