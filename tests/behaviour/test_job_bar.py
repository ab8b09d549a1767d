"""One job for all notebooks: what is saved stays, what is not saved comes back from the recovery copy."""

import pytest

from lamcalc.shop import job as jobs
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
