"""A panel above the schedule editor shows the job as it is now, in the same units, and says what does not."""

import html
import re
import time

import nbformat
import pytest
from notebook_runs import NOTEBOOKS

from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.workbook import ahead
from lamcalc.workbook.follow import Following
from lamcalc.workbook.job_bar import JobState
from lamcalc.workbook.page_orientation import OrientationPage
from lamcalc.workbook.page_sequence import SequencePage
from lamcalc.workbook.page_thickness import ThicknessPage
from lamcalc.workbook.workbench import Workbench

pytestmark = pytest.mark.behaviour
PAGES = pytest.mark.parametrize("kind", [ThicknessPage, OrientationPage, SequencePage])
SKIN = "transom_inner_skin"


class Desk:
    """Panel and workbench of one notebook, as its cells make them."""

    def __init__(self, kind, job):
        self.state = JobState(job)
        self.follower = Following(kind(job), self.state)
        self.bench = Workbench(self.state)
        self.panel, self.editor, self.bar = self.follower.panel, self.bench.editor, self.bench.bar

    @property
    def notice(self):
        return html.unescape(re.sub("<[^>]+>", "", self.follower.notice.value))


@pytest.fixture()
def desk(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return lambda kind, job=None: Desk(kind, job or jobs.load_demo())


def text(panel):
    """What a panel says, without pictures, whose reused figures may differ in the last pixel."""
    return panel.sentence.value, panel.numbers.value, panel.problem.value, re.findall('alt="[^"]*"', panel.image.value)


def settings(panel):
    return {name: (tuple(getattr(control.widget, "options", ())), control.value) for name, control in panel.controls.items()}


@PAGES
def test_one_unit_system_for_panel_editor_and_job(desk, kind):
    desk = desk(kind)
    for switch, system in ((desk.panel.switch, "us"), (desk.bar.switch, "metric"), (desk.bar.switch, "us"), (desk.panel.switch, "metric")):
        switch.value = system
        assert {desk.panel.switch.value, desk.panel.unit_system.system, desk.bar.switch.value, desk.state.unit_system.system,
                desk.editor.switch.value, desk.state.job.units} == {system}
        assert (" in (" in desk.editor.sentence.value) == (system == "us")
        assert text(desk.panel) == text(kind(desk.state.job).panel())


def test_one_press_of_the_panel_s_switch_is_one_change_that_undo_takes_back(desk):
    desk, seen = desk(ThicknessPage), []
    desk.state.observe(lambda change: seen.append(change["new"].units), "job")
    desk.panel.switch.value = "us"
    assert seen == ["us"] and desk.state.unsaved
    assert desk.notice.startswith("The unit system of the job has changed")
    desk.bar.buttons["Undo"].click()
    assert seen == ["us", "metric"] and not desk.state.unsaved and not desk.state.can_undo
    assert desk.panel.switch.value == desk.bar.switch.value == "metric" and " mm thick" in desk.panel.sentence.value


def test_the_panel_starts_in_the_units_of_the_job(desk):
    desk = desk(ThicknessPage, jobs.update(jobs.load_demo(), {"units": "us"}))
    assert desk.panel.switch.value == "us" and not desk.state.unsaved and not desk.state.can_undo


def test_a_refused_switch_goes_back_and_says_why(desk, monkeypatch):
    desk = desk(ThicknessPage)

    def refuse(*_args):
        raise InputError("job", "must be writable", "skiff", "free some space")
    monkeypatch.setattr(jobs, "update", refuse)
    desk.panel.switch.value = "us"
    assert "free some space" in desk.notice and desk.panel.switch.value == desk.bar.switch.value == "metric"


@PAGES
def test_the_panel_shows_the_job_as_it_is_now(desk, kind):
    desk = desk(kind)
    before = text(desk.panel)
    for act in (lambda: desk.editor.buttons["Add ply"].click(), lambda: setattr(desk.editor.fields["reinforcement"], "value", "ud_400"),
                lambda: setattr(desk.editor.fields["count"], "value", 9), lambda: desk.editor.buttons["Earlier"].click()):
        act()
        fresh = kind(desk.state.job).panel()
        assert text(desk.panel) == text(fresh) and settings(desk.panel) == settings(fresh)
    assert text(desk.panel) != before
    for _ in range(4):
        desk.bar.buttons["Undo"].click()
    assert text(desk.panel) == before


def test_what_the_user_chose_stays(desk):
    desk = desk(OrientationPage)
    desk.panel.controls["row"].widget.value = 4
    desk.panel.controls["turn_deg"].widget.value = 30.0
    desk.panel.controls["fabric"].widget.value = "ud_400"
    desk.editor.buttons["Copy"].click()
    assert {name: control.value for name, control in desk.panel.controls.items()} == {
        "row": 4, "turn_deg": 30.0, "fabric": "ud_400", "model": "micromechanics"}
    assert "Layer 5 replaced by" in desk.panel.sentence.value
    for _ in range(3):
        desk.editor.buttons["Remove"].click()  # three entries left, two of them of one layer
    fresh = OrientationPage(desk.state.job).panel()
    assert desk.panel.controls["row"].value == fresh.controls["row"].value  # layer 5 is no more
    assert desk.panel.problem.value == ""


def test_a_key_pressed_after_a_change_is_answered_for_the_job_as_it_is(desk):
    """Nothing remembered or worked out ahead for the job before may come up."""
    desk = desk(OrientationPage)
    turn = desk.panel.controls["turn_deg"].widget
    for value in (5.0, 10.0, 5.0, 0.0):
        turn.value = value
    desk.editor.layers.value = 1
    desk.editor.fields["reinforcement"].value = "ud_400"
    for value in (5.0, 10.0):
        turn.value = value
        fresh = OrientationPage(desk.state.job).panel()
        fresh.controls["row"].widget.value = desk.panel.controls["row"].value
        fresh.controls["turn_deg"].widget.value = value
        assert text(desk.panel) == text(fresh)


def test_the_notice_says_what_does_not_follow_and_what_to_press(desk, tmp_path):
    desk = desk(ThicknessPage)
    assert desk.notice == "This panel follows the job: what is changed in the editor below shows here too."
    desk.editor.buttons["Copy"].click()
    assert "The job has changed" in desk.notice
    assert "write a name for the job's file below and press Save as, then choose Run > Run All Cells" in desk.notice
    desk.bar.file.value = "skiff"
    desk.bar.buttons["Save as"].click()
    assert "To bring them up to date, choose Run > Run All Cells." in desk.notice
    desk.editor.buttons["Copy"].click()
    assert "press Save below, then choose Run > Run All Cells" in desk.notice
    desk.bar.buttons["Undo"].click()
    assert "To bring them up to date, choose Run > Run All Cells." in desk.notice  # saved, but not what the notebook opened
    again = Desk(ThicknessPage, jobs.load("skiff.toml"))
    assert again.notice.startswith("This panel follows the job")


def test_undo_takes_the_notice_back(desk):
    desk = desk(ThicknessPage)
    desk.editor.buttons["Copy"].click()
    desk.editor.buttons["Undo"].click()
    assert desk.notice.startswith("This panel follows the job")


def test_a_job_that_the_panel_cannot_show_is_told_and_the_next_one_is_shown(desk):
    desk = desk(SequencePage)
    desk.bar.file.value = "kayak"
    desk.bar.buttons["New job"].click()
    assert "job has no part with a chosen schedule" in desk.panel.problem.value and desk.panel.numbers.value == ""
    desk.bar.buttons["Demo"].click()
    desk.bar.buttons["Demo"].click()  # asked twice: the new job was not saved
    assert desk.panel.problem.value == "" and text(desk.panel) == text(SequencePage(jobs.load_demo()).panel())


def test_a_schedule_named_for_the_page_stays_named(desk):
    state = JobState(jobs.load_demo())
    follower = Following(OrientationPage(state.job, "bottom_original"), state)
    state.change({"schedules.bottom_original.layers[3].angle_deg": 20})
    assert text(follower.panel) == text(OrientationPage(state.job, "bottom_original").panel())


def test_a_panel_made_after_a_change_shows_the_job_as_it_is(desk):
    state = JobState(jobs.load_demo())
    page = OrientationPage(state.job)
    state.change({f"schedules.{SKIN}.layers[1].reinforcement": "ud_400"})
    follower = Following(page, state)  # its cell run again
    assert text(follower.panel) == text(OrientationPage(state.job).panel()) and "has changed" in follower.notice.value


def test_in_a_kernel_keys_in_the_editor_do_not_wait_for_the_panel(desk, monkeypatch):
    monkeypatch.setattr(ahead, "_in_kernel", lambda: True)
    monkeypatch.setattr(ahead, "REST_S", 0.2)
    desk = desk(OrientationPage)
    before, made = text(desk.panel), []
    compute = OrientationPage.change
    monkeypatch.setattr(OrientationPage, "change", lambda *args, **values: made.append(1) or compute(*args, **values))
    for fabric in ("ud_400", "wr_600", "csm_300"):
        desk.editor.fields["reinforcement"].value = fabric
        assert text(desk.panel) == before and not made and "has changed" in desk.notice
    end = time.monotonic() + 20
    while text(desk.panel) == before and time.monotonic() < end:
        time.sleep(0.02)
    assert len(made) == 1  # once for the three
    assert text(desk.panel) == text(OrientationPage(desk.state.job).panel())


@pytest.mark.parametrize("name", ["01_ply_thickness", "02_ply_orientation", "08_sequence_joints"])
def test_panel_and_workbench_of_a_notebook_share_the_job(name):
    cells = [cell.source for cell in nbformat.read(NOTEBOOKS / f"{name}.ipynb", 4).cells if cell.cell_type == "code"]
    assert "state = JobState(job)" in cells[0]
    (panel,) = [cell for cell in cells if "following(page, state)" in cell]
    (bench,) = [cell for cell in cells if "workbench(state)" in cell]
    assert cells.index(panel) < cells.index(bench) and not any("page.panel()" in cell for cell in cells)


def test_units_pressed_do_not_replace_a_recovery_copy_that_waits(desk):
    """Run All Cells after changes that were not saved: the copy is offered, and to look in other units must not lose it."""
    job = jobs.save(jobs.load_demo(), "skiff.toml")
    jobs.write_recovery(jobs.update(job, {"shop.crew": 5}))
    desk = desk(ThicknessPage, job)
    for system in ("us", "metric", "us"):
        desk.panel.switch.value = system
        assert jobs.read_recovery(job).shop.crew == 5
    for _ in range(3):
        desk.bar.buttons["Undo"].click()
    assert not desk.state.unsaved and jobs.read_recovery(job).shop.crew == 5
    desk.panel.switch.value = "us"
    desk.editor.buttons["Copy"].click()  # a change of the job takes its place, as the bar says
    assert jobs.read_recovery(job).shop.crew == 2
