"""The live panels of notebooks 03, 04 and 05 ask about what a slider was moved to in the words of the sheets."""

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.job_text import read
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.workbook import page_transom
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_stringer import StringerPage

ASKED = '<div class="lam-asked"'


def shown(panel):
    """What the panel asks, without its marks."""
    assert ASKED in panel.view.value
    return panel.asked.value.replace("<b>", "").replace("</b>", "")


def changed(old, new):
    text = jobs.load_demo().text
    assert old in text, old
    return read(text.replace(old, new, 1))


@pytest.fixture
def demo():
    return jobs.load_demo()


def test_the_demo_is_not_asked_about_in_04_and_05(demo):
    page = PanelPage(demo)
    for panel in (StringerPage(demo).panel(), page.bottom_panel(), page.sole_panel()):
        assert panel.result is not None and shown(panel) == ""


def test_a_pressure_moved_below_the_rule_is_asked_about_and_the_question_goes_with_it(demo):
    for panel, name in ((StringerPage(demo).panel(), "stringers"), (PanelPage(demo).bottom_panel(), "bottom")):
        panel.controls["pressure"].widget.value = 2.0
        low = demo.parts[name].model_copy(update={"pressure_kpa": 2.0})
        (asked,) = entry_doubts(demo, name, low)
        assert f"Check the entry: {asked}." in shown(panel)
        assert "is written like" not in shown(panel)  # nobody writes a slider's value
        panel.controls["pressure"].widget.value = 12.0
        assert shown(panel) == ""


def test_a_light_foot_on_the_sole_is_asked_about(demo):
    panel = PanelPage(demo).sole_panel()
    panel.controls["force"].widget.value = 300
    assert "Check the entry: a load of 300 N on a patch is less than one person" in shown(panel)
    panel.controls["pressure"].widget.value = 2.0
    assert "a design pressure of 2 kPa is less than the small-craft rule gives on the deck" in shown(panel)
    panel.controls["force"].widget.value = 1200
    assert "one person" not in shown(panel)


def test_what_the_job_file_says_is_asked_about_from_the_start():
    low = changed("pressure_kpa = 18\nload_status", "pressure_kpa = 2.2\nload_status")
    (asked,) = entry_doubts(low, "bottom")
    assert f"Check the entry: {str(asked).replace(chr(34), '&quot;')}." in shown(PanelPage(low).bottom_panel())


def test_the_question_is_told_in_the_units_of_the_panel(demo):
    panel = StringerPage(demo, system="us").panel()
    panel.controls["pressure"].widget.value = 0.3
    said = shown(panel)
    assert "0.3 psi" in said and " kPa" not in said and " m," not in said


def test_the_transom_panel_asks_about_thrust_and_mass(demo):
    panel = page_transom.panel(demo)
    caution = entry_doubts(demo, "transom")[-1]
    assert f"Check the entry: {str(caution).rstrip('.')}." in shown(panel)
    panel.controls["thrust"].widget.value = 3500
    assert shown(panel) == ""
    panel.controls["engine_mass_kg"].widget.value = 50
    assert "an engine mass of 50 kg is light for 30 kW" in shown(panel)
    panel.switch.value = "us"
    assert " lb " in shown(panel) and " kg" not in shown(panel)


def test_a_refusal_stands_alone(demo):
    panel = PanelPage(demo).sole_panel()
    panel.controls["force"].widget.value = 0.0
    panel.controls["pressure"].widget.value = 0.0
    assert panel.problem.value and shown(panel) == ""


def test_a_deck_that_a_panel_tries_without_any_load_is_not_asked_for_one():
    demo = jobs.load_demo()
    bare = demo.parts["sole"].model_copy(update={"patch_load": None, "pressure_kpa": None})
    assert entry_doubts(demo, "sole", bare) == ()
