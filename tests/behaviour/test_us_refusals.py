"""What is refused in a job in US units is told in US units: the rule with its figures, and the value received."""

import html
import pickle
import re
from itertools import combinations, product

import numpy as np
import pytest

from lamcalc.errors import InputError, NotThere, positive
from lamcalc.parts.outboard_mount import BoltPattern
from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.sentences import Figure, problem_words, rule_sentence, told_problem
from lamcalc.workbook import start
from lamcalc.workbook.editor import ScheduleEditor
from lamcalc.workbook.job_bar import JobBar, JobState
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_quality import QualityPage
from lamcalc.workbook.page_thickness import ThicknessPage

pytestmark = pytest.mark.behaviour

_METRIC = re.compile(r"\[(?:mm|m|m2|kg|g/m2|kg/m3|N|N/mm|MPa|kPa|kN/m2|degC)\]|\d ?(?:mm|kg|kN|N|MPa|kPa|degC|K)\b")
_US = re.compile(r"\[(?:in|ft|lb|lbf|psi|degF)\]|\d ?(?:in|ft|lb|lbf|psi|degF)\b")


@pytest.fixture(scope="module")
def us_job():
    return jobs.update(jobs.load_demo(), {"units": "us"})


def refused(call):
    with pytest.raises(InputError) as caught:
        call()
    return caught.value


def both(problem):
    return str(problem), told_problem(problem, "us")


def problems_of(panel):
    """All that a panel complains of with each two controls at their ends."""
    panel._picture, found = None, []
    movable = [control.widget for control in panel.controls.values() if hasattr(control.widget, "min")]
    before = [widget.value for widget in movable]
    for one, other in combinations(movable, 2):
        for first, second in product((one.min, one.max), (other.min, other.max)):
            one.value, other.value = first, second
            found.append(html.unescape(re.sub("<[^>]+>", "", panel.problem.value)))
        for widget, value in zip(movable, before, strict=True):
            widget.value = value
    return list(dict.fromkeys(filter(None, found)))


def measured_thickness(job):
    panel = ThicknessPage(job).panel()
    panel.controls["basis"].widget.value = "measured"
    return panel


@pytest.mark.parametrize("panel, words", [
    (measured_thickness, "thickness must not be less than that of the solid fibre alone [in]; received 0.003937. "
                                          "Next: check the weight: 0.0124 in of solid fibre would be in it."),
    (lambda job: BatchesPage(job).panel(), "hull temperature must be at least 59 [degF]: below it polyester cure stalls and sets before it has "
                                           "reacted; received 41. Next: heat the shop"),
    (lambda job: PanelPage(job).sole_panel(), "panel load must be a pressure [psi] or a force on a patch [lbf]; received (0, 0)"),
    (lambda job: QualityPage(job).panel(), ""),
])
def test_a_panel_at_the_ends_of_its_sliders_complains_in_its_units(us_job, panel, words):
    in_us, in_metric = problems_of(panel(us_job)), problems_of(panel(jobs.load_demo()))
    assert any(words in one for one in in_us) if words else in_us == []
    assert not [one for one in in_us if _METRIC.search(one)]
    assert len(in_us) == len(in_metric) and not [one for one in in_metric if _US.search(one)]


@pytest.mark.parametrize("call, metric, us", [
    (lambda: positive("span", -25.4, "mm"), "greater than 0 [mm]; received -25.4.", "greater than 0 [in]; received -1."),
    (lambda: positive("span", np.array([10.0, -25.4]), "mm"), "[mm]; received -25.4.", "[in]; received -1."),
    (lambda: positive("pull", -10, "N"), "[N]; received -10.0.", "[lbf]; received -2.248."),
    (lambda: BoltPattern(12.0, 330.0, 203.2, 100.0, 254.0, 6.0), "must not exceed the row spacing 203.2 [mm]", "must not exceed the row spacing 8 [in]"),
], ids=["number", "array", "force", "bolts"])
def test_refusals_of_the_package(call, metric, us):
    in_metric, in_us = both(refused(call))
    assert metric in in_metric and us in in_us and not _METRIC.search(in_us)


def test_metric_texts_are_those_of_the_error():
    for problem in (InputError("core", rule_sentence("must be at most {most} [mm]", most=25.4), 30.0, "cut"),
                    InputError("window", "must have its low end below its high end [mm]", (50.0, 40.0)),
                    InputError("angle", "must lie between -360 and 360 [deg]", 400.0, "enter degrees"),
                    InputError("a {brace}", "must be {plain} [mm]", None), NotThere("transom", "add one"),
                    InputError("count", "must have 3 values [mm]", (2, 3)), InputError("bolt", "must be a number [mm]", True)):
        assert told_problem(problem, "metric") == str(problem) == problem_words(problem)
        again = pickle.loads(pickle.dumps(problem))
        assert told_problem(again, "us") == told_problem(problem, "us")


def test_what_the_unit_of_is_not_known_stays_as_it_is():
    """A metric figure in a plain rule keeps its unit, and counts, shapes and texts are no quantities."""
    for rule, value in (("must be 5 or more [mm]", 4.0), ("must be a number [mm]", "2 in"), ("must be a number [mm]", (2, 3)),
                        ("must be a number [%]", 4.0), ("must be a number [mm]", True), ("must be a number [mm]", float("nan"))):
        said = told_problem(InputError("it", rule, value), "us")
        assert said.endswith(f"received {value!r}.") and ("[in]" in said) == (rule == "must be a number [mm]")
    inside = told_problem(InputError("it", rule_sentence("must be {a} above {b} [degC]", a=Figure(3, "temperature_difference"), b=10), 0.0), "us")
    assert inside == "it must be 5.4 degF above 50 [degF]; received 32."
    assert told_problem(InputError("window", "must rise [mm]", (50.8, 25.4)), "us") == "window must rise [in]; received (2, 1)."


def test_a_change_entered_on_a_page_is_refused_in_its_units(us_job, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    problem = refused(lambda: jobs.update(us_job, {"shop.hull_temperature_c": 70.0, "parts.stringers.top_width_mm": 170}))
    in_metric, in_us = both(problem)
    assert "at most 45 [degC]" in in_metric or "[degC]; received 70.0" in in_metric
    assert "[degF]; received 158" in in_us and "must be at most base_width_mm, 4.331 [in]; received 6.693" in told_problem(
        refused(lambda: jobs.update(us_job, {"parts.stringers.top_width_mm": 170})), "us")
    editor = ScheduleEditor(JobState(us_job), "transom_plywood")
    editor.layers.value = next(k for k, one in enumerate(editor.entries) if one.kind == "core")
    editor.fields["thickness_mm"].value = -2.0
    title = us_job.schedules["transom_plywood"].title  # the job's own words
    assert title in editor.problem.value and "[in]; received -2" in editor.problem.value
    assert not _METRIC.search(editor.problem.value.replace(title, ""))


@pytest.mark.parametrize("old, new, words", [
    ("thickness_mm = 18, count = 2", 'thickness_mm = "20 in", count = 2', "[in]; received '20 in'"),
    ("top_width_mm = 70", 'top_width_mm = "7 in"', "must be at most base_width_mm, 4.331 [in]; received '7 in'"),
    ("top_width_mm = 70", 'top_width_mm = "170 mm"', "must be at most base_width_mm, 110 [mm]; received '170 mm'"),
    ("top_width_mm = 70", "top_width_mm = 170", "must be at most base_width_mm, 110 [mm]; received 170"),
])
def test_a_job_file_is_refused_in_the_units_in_which_the_entry_is_written(tmp_path, old, new, words):
    text = jobs.load_demo().text.replace('units = "metric"', 'units = "us"', 1)
    assert old in text
    path = tmp_path / "skiff.toml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    assert words in str(refused(lambda: jobs.load(path)))


def test_the_job_bar_refuses_in_the_units_of_the_job(us_job, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    bar = JobBar(JobState(us_job))
    bar._try(lambda: bar.state.change({"shop.hull_temperature_c": 70.0}))
    assert "[degF]; received 158" in bar.message.value


@pytest.mark.parametrize("units, words", [("us", "must be at least 59 [degF]"), ("metric", "must be at least 15 [degC]")])
def test_what_could_not_be_made_says_why_in_the_units_of_the_job(units, words, tmp_path, monkeypatch):
    job = jobs.update(jobs.load_demo(), {"units": units, "shop.hull_temperature_c": 10.0})
    pages = job_pages(job, system=units)
    printed = words.replace("deg", "\u00b0")
    assert all(printed in html.unescape(pages.texts[f"sheet_{name}.html"]).replace("\u00a0", " ") for name in ("transom", "sole"))
    monkeypatch.setenv("LAMCALC_JOB", str(jobs.save(job, tmp_path / "cold.toml").source_path))
    page = BatchesPage(start.job_in_use())
    assert words in html.unescape(start.problem_html(refused(page.answer)))
