"""One job for all notebooks of a folder, the workbench, and problems that reach the user as a sentence."""

import pytest

from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.workbook.job_bar import JobBar
from lamcalc.workbook.page_sheet import writer
from lamcalc.workbook.page_stringer import StringerPage
from lamcalc.workbook.page_thickness import ThicknessPage
from lamcalc.workbook.start import job_in_use
from lamcalc.workbook.workbench import Workbench

pytestmark = pytest.mark.behaviour


@pytest.fixture()
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("LAMCALC_JOB", raising=False)
    return tmp_path


def test_what_the_bar_saves_is_what_the_next_notebook_opens(folder):
    bar = JobBar()
    bar.state.change({"name": "skiff", "shop.crew": 4})
    bar.file.value = "skiff"
    bar.buttons["Save as"].click()
    assert "Run All Cells" in bar.mark.value
    opened = job_in_use()
    assert (opened.name, opened.shop.crew) == ("skiff", 4) and opened.source_path.name == "skiff.toml"
    bar.buttons["Demo"].click()
    assert job_in_use().source_path is None and not (folder / jobs.IN_USE).exists()


def test_a_new_job_is_not_in_use_before_it_is_saved(folder):
    bar = JobBar()
    bar.file.value = "skiff"
    bar.buttons["New job"].click()
    assert bar.state.job.name == "skiff" and job_in_use().name.startswith("Coaching launch")


def test_a_job_that_was_moved_away_is_named_with_what_to_do(folder):
    kept = jobs.save(jobs.new("skiff"), folder / "skiff.toml")
    jobs.use(kept.source_path)
    (folder / "skiff.toml").unlink()
    with pytest.raises(InputError, match="skiff.toml.*check the name and the folder"):
        job_in_use()


def test_the_note_may_be_damaged(folder):
    (folder / jobs.IN_USE).write_bytes(b"\xff\x00\n")
    with pytest.raises(InputError):
        job_in_use()


def test_pages_of_a_blank_job_say_what_is_missing():
    blank = jobs.new("skiff")
    for page in (ThicknessPage, StringerPage):
        with pytest.raises(InputError) as problem:
            page(blank)
        assert "Next:" in str(problem.value)


def test_the_workbench_changes_schedule_and_follows_another_job(folder):
    bench = Workbench(jobs.load_demo())
    first = bench.editor
    bench.choice.value = "transom_cast"
    assert bench.editor.name == "transom_cast" and bench.editor is not first
    assert bench.editor.switch.layout.display == "none"
    before = first.sentence.value
    bench.editor.buttons["Remove"].click()
    assert first.sentence.value == before  # the one that was put away no longer follows
    assert bench.state.unsaved
    bench.bar.buttons["Undo"].click()
    bench.bar.file.value = "skiff"
    bench.bar.buttons["New job"].click()
    assert bench.editor is None and "no schedule yet" in bench.place.children[0].value
    bench.bar.buttons["Demo"].click()
    bench.bar.buttons["Demo"].click()
    assert bench.editor is not None and bench.editor.name == "transom_inner_skin"


def test_the_units_of_the_bar_reach_the_editor(folder):
    bench = Workbench(jobs.load_demo())
    assert "mm" in bench.editor.sentence.value
    bench.bar.switch.value = "us"
    assert " in" in bench.editor.sentence.value and "mm" not in bench.editor.sentence.value


def test_the_button_writes_the_pages(folder):
    box = writer(jobs.load_demo())
    button, said = box.children[:2]
    button.click()
    assert "files written" in said.value and (folder / "lamcalc-output" / "handover.html").is_file()


def test_a_button_that_cannot_write_says_why(folder):
    (folder / "lamcalc-output").write_text("in the way")
    button, said = writer(jobs.load_demo()).children[:2]
    button.click()
    assert "nothing to show" in said.value and "Next:" in said.value
