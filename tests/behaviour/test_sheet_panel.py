"""Notebook 10's page: the panel shows the page and the units that were chosen, inside a frame of its own."""

import html
import re

import pytest

from lamcalc.shop import job as jobs
from lamcalc.workbook import page_sheet
from lamcalc.workbook.controls import UnitSystem

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def job():
    return jobs.load_demo()


def framed(panel):
    """The page inside the frame."""
    return html.unescape(re.search(r'srcdoc="([^"]*)"', panel.image.value)[1])


def test_every_choice_and_both_unit_systems_show_their_own_page(job):
    units = UnitSystem()
    panel = page_sheet.panel(job, units)
    assert panel.problem.value == ""
    seen = set()
    for label, name in panel.controls["name"].widget.options:
        panel.controls["name"].widget.value = name
        for system in ("metric", "us"):
            units.system = system
            page = framed(panel)
            assert page == page_sheet.pages(job, system).texts[name], label
            seen.add(page)
    assert len(seen) == 2 * len(panel.controls["name"].widget.options) == 12


def test_a_hostile_title_stays_inside_the_frame():
    job = jobs.update(jobs.load_demo(), {"name": '"></iframe><script>alert(1)</script>'})
    panel = page_sheet.panel(job)
    assert "<script" not in panel.image.value and panel.image.value.count("<iframe") == 1
    assert "<script" not in framed(panel)


def test_writing_goes_through_the_jobs_writer(tmp_path, job):
    said = page_sheet.write(job, tmp_path / "paper")
    names = {path.name for path in (tmp_path / "paper").iterdir()}
    assert names == set(page_sheet.pages(job).texts) and str(len(names)) in said
    written = (tmp_path / "paper" / "handover.html").read_text(encoding="utf-8")
    assert written == page_sheet.pages(job).texts["handover.html"]


def test_figures_by_hand_agree_with_the_sheet(job):
    table = page_sheet.check(job)
    assert (table["by hand"] == table["on the sheet"]).all() and len(table) == 4


def test_drawing_has_words_for_who_cannot_see_it(job):
    words = 'alt="Section through Transom rebuild, inside job, outer skin kept, 11 layers, 50.68 mm'
    assert words in page_sheet.drawing(job, "transom")
