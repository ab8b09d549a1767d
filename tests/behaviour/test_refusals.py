"""Refusals of a panel speak the units of its controls."""

import pytest

from lamcalc.shop import job as jobs
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_thickness import ThicknessPage

pytestmark = pytest.mark.behaviour


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
