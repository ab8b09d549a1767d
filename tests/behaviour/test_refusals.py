"""Refusals of a panel speak the units of its controls."""

import pytest

from lamcalc.shop import job as jobs
from lamcalc.workbook import refusals
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_thickness import ThicknessPage

pytestmark = pytest.mark.behaviour


@pytest.mark.parametrize(("words", "said"), [
    ("t must be greater than 0 [mm]; received -25.4. Next: measure.", "t must be greater than 0 [in]; received -1. Next: measure."),
    ("t must lie between 25.4 and 254 [mm]; received 508.0", "t must lie between 1 and 10 [in]; received 20"),
    ("n must be 3 or more [-]; received 2", "n must be 3 or more [-]; received 2"),
    ("core must be one of a_12 [-]; received 'b 3'", "core must be one of a_12 [-]; received 'b 3'"),
    ("load must be a pressure [MPa] or a force [N]; received (0, 0)", "load must be a pressure [psi] or a force [lbf]; received (0, 0)"),
    ("fabric of 450 g/m2 (1.5 oz/ft2), 2 months old", "fabric of 13.27 oz/yd2 (1.5 oz/ft2), 2 months old"),
])
def test_figures_are_told_in_us_units(words, said):
    assert refusals.told(words, "us") == said
    assert refusals.told(words, "metric") == words


def test_a_refused_temperature_is_the_one_on_the_slider():
    panel = BatchesPage(jobs.load_demo()).panel()
    panel.switch.value = "us"
    slider = panel.controls["hull_c"].widget
    slider.value = slider.min
    assert "at least 59 [degF]" in panel.problem.value and "received 41." in panel.problem.value
    assert "degC" not in panel.problem.value
    panel.switch.value = "metric"
    assert "at least 15 [degC]" in panel.problem.value and "received 5.0." in panel.problem.value


def test_a_refused_thickness_is_the_one_on_the_slider():
    panel = ThicknessPage(jobs.load_demo()).panel()
    panel.switch.value = "us"
    panel.controls["basis"].widget.value = "measured"
    slider = panel.controls["measured"].widget
    slider.value = slider.min
    assert "[in]; received 0.003937" in panel.problem.value and "0.0124 in of solid fibre" in panel.problem.value
