"""A poured core is never run past by the clock, and no failed check stays off the screen."""

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.job_batches import job_batches
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.sheet import part_sheet
from lamcalc.shop.sheet_batches import batch_table
from lamcalc.shop.sheet_words import Words
from lamcalc.shop.whole_job import part_work
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_orientation import OrientationPage
from lamcalc.sentences import told

pytestmark = pytest.mark.behaviour
DAY = 24 * 60


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo()


def test_what_follows_a_pour_waits_for_another_day_and_says_why(demo):
    plan = job_batches(demo, "transom", "transom_cast")
    waits = [session for session in plan.sessions if session.after]
    assert len(waits) == 2 and [session.plies[0].split(":")[0] for session in waits] == ["laminate 3", "laminate 5"]
    for before, session in zip(plan.sessions, plan.sessions[1:], strict=False):
        if session.after:
            assert session.start // DAY > before.end // DAY
            assert "product sheet" in session.after and "10.25 kg" in session.after and "22.60 lb" in told(session.after, "us")
    assert sum("NOT in this plan" in finding.text for finding in plan.findings if finding.severity == "warn") == 2


def test_a_board_core_has_nothing_to_wait_for(demo):
    assert not any(session.after for session in job_batches(demo, "transom", "transom_plywood").sessions)


def test_the_pots_of_the_sheet_stop_at_each_pour(demo):
    rows = batch_table(job_batches(demo, "transom", "transom_cast"), Words("metric")).rows
    marks = [row[1] for row in rows]
    assert marks[:5] == ["1", "STOP", "2", "STOP", "3"] and marks.count("STOP") == 2


@pytest.mark.parametrize("option, there, away", [
    ("transom_cast", "product sheet of the cast core read", "core pieces dry-fitted"),
    ("transom_plywood", "core pieces dry-fitted", "product sheet of the cast core read")])
def test_preparation_is_for_the_core_that_goes_in(demo, option, there, away):
    text = part_sheet(demo, part_work(demo, "transom", option))
    assert there in text and away not in text
    assert ("The pours of the cast core are not among the pots" in text) == (option == "transom_cast")
    assert ("Clamp" in text) == (option != "transom_cast")


def test_the_notebook_says_the_same(demo):
    assert BatchesPage(demo).answer().data.count("NOT planned, before session") == 2


def test_every_failed_check_is_on_the_screen(demo):
    pages = job_pages(demo)
    lost = [work.title for work in pages.whole.parts
            if any(not one.holds for one in (*(work.margins or ()), *(work.rule_checks or ())))]
    line, = (line for line in pages.summary() if line.startswith("SETTLE FIRST"))
    assert lost and all(title in line for title in lost)
    assert sum(title in line for title in (work.title for work in pages.whole.parts)) == len(lost)
    assert any("rule NOT MET: web depth over thickness" in line for line in pages.summary())


def test_margins_of_a_skin_show_the_first_crack_beside_the_pair_as_one_layer(demo):
    page = OrientationPage(demo)
    text = page.margins().data
    found = page.change(1, "as drawn", 0.0, "micromechanics").cracks[0]
    for value in (found.crack_force[0], found.first_force[0]):
        assert f"{value:.1f}" in text
    # capacity x 0.5 over a pull of 100 N/mm
    assert f"{0.5 * found.crack_force[0] / 100:.2f}" in text and found.crack_force[0] < found.first_force[0]
    assert "transverse tension" in text and "from memory" in page.margin_basis().data


def test_a_fabric_of_unknown_strength_is_named_not_an_error(demo):
    panel = OrientationPage(demo).panel()
    panel.controls["fabric"].widget.value = next(
        value for _, value in panel.controls["fabric"].widget.options if "carbon" in value)
    assert panel.problem.value == "" and "strength is NOT known" in panel.sentence.value
