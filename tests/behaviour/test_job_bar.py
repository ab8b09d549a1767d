"""One job for all notebooks: what is saved stays, what is not saved comes back from the recovery copy."""

import pytest

from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.workbook.editor import ScheduleEditor
from lamcalc.workbook.job_bar import JobBar, JobState

pytestmark = pytest.mark.behaviour


@pytest.fixture()
def bar(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return JobBar()


def press(bar, words, name=None):
    if name is not None:
        bar.file.value = name
    bar.buttons[words].click()


def test_save_as_then_open_again(bar):
    bar.state.change({"shop.crew": 4})
    assert "unsaved" in bar.mark.value
    press(bar, "Save as", "skiff")
    assert "all saved" in bar.mark.value and jobs.load("skiff.toml").shop.crew == 4


def test_a_restart_loses_nothing(bar):
    press(bar, "Save as", "skiff.toml")
    bar.state.change({"shop.crew": 7})
    second = JobBar()  # as after a restart of the kernel
    press(second, "Open", "skiff.toml")
    assert second.state.job.shop.crew == 2 and "recovery copy" in second.message.value
    press(second, "Bring back")
    assert second.state.job.shop.crew == 7 and second.state.unsaved
    press(second, "Save")
    assert jobs.load("skiff.toml").shop.crew == 7
    press(second, "Bring back")
    assert "no recovery copy" in second.message.value


def test_leaving_unsaved_changes_takes_two_presses(bar):
    bar.state.change({"shop.crew": 4})
    press(bar, "New job", "skiff")
    assert bar.state.job.shop.crew == 4 and "unsaved changes" in bar.message.value
    press(bar, "New job")
    assert bar.state.job.name == "skiff"


@pytest.mark.parametrize("words, name", [("Open", "no_such.toml"), ("Open", ""), ("Save as", ""), ("Open", ".")])
def test_trouble_gets_a_sentence(bar, words, name):
    press(bar, words, name)
    assert "Next:" in bar.message.value and "Traceback" not in bar.message.value


def test_a_file_changed_elsewhere_is_not_overwritten(bar, tmp_path):
    press(bar, "Save as", "skiff.toml")
    jobs.save(jobs.update(jobs.load("skiff.toml"), {"shop.crew": 9}))
    bar.state.change({"shop.crew": 5})
    press(bar, "Save")
    assert "another notebook" in bar.message.value and jobs.load("skiff.toml").shop.crew == 9


def test_undo_takes_back_and_the_mark_follows(bar):
    bar.state.change({"shop.crew": 4})
    press(bar, "Undo")
    assert bar.state.job.shop.crew == 2 and "all saved" in bar.mark.value


def test_units_reach_everybody(bar):
    bar.switch.value = "us"
    assert bar.state.unit_system.system == "us"
    assert JobState(bar.state.job, bar.state.unit_system).unit_system is bar.state.unit_system


def test_the_switch_changes_the_job_and_the_next_notebook_opens_in_its_units(bar, monkeypatch):
    monkeypatch.delenv("LAMCALC_JOB", raising=False)
    press(bar, "Save as", "skiff")
    bar.switch.value = "us"
    assert bar.state.job.units == "us" and "unsaved" in bar.mark.value
    assert jobs.read_recovery(bar.state.job).units == "us" and jobs.in_use().units == "metric"
    press(bar, "Save")
    assert "all saved" in bar.mark.value and jobs.load("skiff.toml").units == "us"
    assert JobState().unit_system.system == "us" and JobBar().switch.value == "us"


def test_undo_sets_the_switch_back(bar):
    bar.state.change({"shop.crew": 4})
    bar.switch.value = "us"
    press(bar, "Undo")
    assert (bar.switch.value, bar.state.unit_system.system, bar.state.job.units) == ("metric", "metric", "metric")
    assert bar.state.job.shop.crew == 4 and bar.state.unsaved
    press(bar, "Undo")
    assert not bar.state.can_undo and "all saved" in bar.mark.value


def test_one_press_is_one_change(bar):
    jobs_seen, switched = [], []
    bar.state.observe(lambda change: jobs_seen.append(change["new"].units), "job")
    bar.state.unit_system.observe(lambda change: switched.append(change["new"]), "system")
    bar.switch.observe(lambda change: switched.append(change["new"]), "value")
    bar.switch.value = "us"
    assert jobs_seen == ["us"] and switched == ["us", "us"]
    bar.switch.value = "metric"  # pressed back: the text is the saved one again
    assert jobs_seen == ["us", "metric"] and "all saved" in bar.mark.value


def test_a_job_in_other_units_sets_the_switch_and_stays_saved(bar):
    press(bar, "Save as", "skiff")
    jobs.save(jobs.update(jobs.load_demo(), {"units": "us"}), "dinghy.toml")
    press(bar, "Open", "dinghy.toml")
    assert (bar.switch.value, bar.state.unit_system.system) == ("us", "us")
    assert not bar.state.unsaved and not bar.state.can_undo and jobs.read_recovery(bar.state.job) is None
    press(bar, "Open", "skiff.toml")
    assert bar.switch.value == "metric" and not bar.state.unsaved
    press(bar, "Open", "dinghy.toml")
    press(bar, "New job", "kayak")
    assert bar.state.job.units == "us" and bar.switch.value == "us"


def test_the_switch_of_a_panel_shows_and_does_not_write(bar):
    editor = ScheduleEditor(bar.state, "transom_inner_skin")
    editor.switch.value = "us"
    assert bar.state.unit_system.system == "us" and "0.217 in" in editor.sentence.value
    assert (bar.state.job.units, bar.switch.value, bar.state.unsaved) == ("metric", "metric", False)
    bar.state.change({"shop.crew": 4})
    assert bar.state.unit_system.system == "us"
    bar.switch.value = "us"
    assert bar.state.job.units == "us" and editor.switch.value == "us"


def test_a_refused_switch_goes_back(bar, monkeypatch):
    def refuse(*_args):
        raise InputError("job", "must be writable", "skiff", "free some space")
    monkeypatch.setattr(jobs, "update", refuse)
    bar.switch.value = "us"
    assert "free some space" in bar.message.value and bar.switch.value == "metric" == bar.state.unit_system.system


def test_a_bar_made_anew_offers_what_was_not_saved(bar):
    """Run All Cells makes the bar anew: it must not say 'all saved' and no more where changes wait in the copy."""
    press(bar, "Save as", "skiff.toml")
    bar.state.change({"shop.crew": 7})
    again = JobBar(JobState(jobs.in_use(".")))
    assert "recovery copy" in again.message.value and again.state.job.shop.crew == 2
    press(again, "Bring back")
    assert again.state.job.shop.crew == 7
    press(again, "Save")
    assert JobBar(JobState(jobs.in_use("."))).message.value == ""


def test_a_recovery_copy_that_cannot_be_used_does_not_stop_the_bar(bar, tmp_path):
    press(bar, "Save as", "skiff.toml")
    jobs.recovery_path(bar.state.job).write_text("no job", encoding="utf-8")
    assert "Next:" in JobBar(JobState(jobs.in_use("."))).message.value


def test_a_name_without_its_ending_opens_what_was_saved_under_it(bar):
    press(bar, "Save as", "skiff")
    press(bar, "Demo")
    press(bar, "Open", "skiff")
    assert bar.message.value == "" and bar.state.job.source_path.name == "skiff.toml"


def test_save_as_replaces_another_job_only_when_asked_twice(bar):
    press(bar, "Save as", "skiff.toml")
    press(bar, "New job", "dinghy")
    press(bar, "Save as", "skiff.toml")
    assert "There is a file skiff.toml already" in bar.message.value and jobs.load("skiff.toml").name != "dinghy"
    press(bar, "Save as", "other.toml")  # another name is another question
    assert jobs.load("other.toml").name == "dinghy"
    bar.state.change({"shop.crew": 5})
    press(bar, "Save as", "other.toml")  # its own file
    assert jobs.load("other.toml").shop.crew == 5
    press(bar, "Save as", "skiff.toml")
    press(bar, "Save as")
    assert jobs.load("skiff.toml").name == "dinghy"


def test_a_warning_of_long_ago_is_no_second_press(bar):
    bar.state.change({"shop.crew": 4})
    press(bar, "Demo")
    assert "unsaved changes" in bar.message.value
    bar.state.change({"shop.crew": 5})
    press(bar, "Demo")
    assert bar.state.job.shop.crew == 5 and "unsaved changes" in bar.message.value
    press(bar, "Demo")
    assert bar.state.job.shop.crew == 2
