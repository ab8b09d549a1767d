"""The number beside a slider is the number computed with, in both unit systems and at every stop."""

import pytest

from lamcalc.shop import job as jobs
from lamcalc.workbook import page_transom
from lamcalc.workbook.controls import QuantitySlider
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_quality import QualityPage
from lamcalc.workbook.page_stringer import StringerPage
from lamcalc.workbook.page_surer import SurerPage
from lamcalc.workbook.page_takeoff import TakeOffPage
from lamcalc.workbook.page_thickness import ThicknessPage

pytestmark = pytest.mark.behaviour
PANELS = (lambda job: ThicknessPage(job).panel(), page_transom.panel, lambda job: StringerPage(job).panel(),
          lambda job: PanelPage(job).bottom_panel(), lambda job: PanelPage(job).sole_panel(), lambda job: TakeOffPage(job).panel(),
          lambda job: BatchesPage(job).panel(), lambda job: QualityPage(job).panel(), lambda job: SurerPage(job).panel())


def shown(slider, value):
    return float(format(value, slider.readout_format))


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("panel", PANELS)
def test_the_number_shown_is_the_number_computed_with(panel, system):
    for control in panel(jobs.load_demo()).controls.values():
        if isinstance(control, QuantitySlider):
            control.use(system)
            slider = control.widget
            for count in range(round((slider.max - slider.min) / slider.step) + 1):
                stop = slider.min + count * slider.step
                assert shown(slider, stop) == pytest.approx(stop, abs=0.1 * slider.step + 1e-9), (slider.description, stop)


def test_a_value_of_the_job_between_round_numbers_is_shown_as_it_is():
    slider = QuantitySlider("Engine", "mass", 104.3, 30, 300, 2).widget
    assert shown(slider, slider.value) == 104.3
