"""The bands below a live panel: those of the study, for what is shown, gone as soon as something else is shown."""

import numpy as np
import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.job_panel import panel_result
from lamcalc.studies.uncertain_panel import PanelModel
from lamcalc.studies.uncertain_parts import LaminateModel
from lamcalc.studies.uncertainty import run_uncertainty
from lamcalc.workbook import page_orientation, page_panel, page_stringer, page_thickness, page_transom
from lamcalc.workbook.editor import schedule_editor
from lamcalc.workbook.how_sure import SEED, HowSure, bands_frame
from lamcalc.workbook.controls import QuantitySlider
from lamcalc.workbook.panel import Panel

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def job():
    return jobs.load_demo()


@pytest.fixture(scope="module")
def layers(job):
    return page_thickness.ThicknessPage(job).panel()


def test_bands_are_those_of_the_study(layers):
    layers.sure.button.click()
    found = run_uncertainty(LaminateModel(layers.result.schedule), samples=500, seed=SEED)
    for words in bands_frame(found, "metric").iloc[0]:
        assert words in layers.sure.view.value
    assert "not verified" in layers.sure.view.value or "assumed" in layers.sure.view.value
    assert "500 samples" in layers.sure.view.value


def test_another_setting_takes_the_bands_away_and_other_units_turn_them(layers):
    layers.sure.button.click()
    assert " mm</td>" in layers.sure.view.value
    layers.switch.value = "us"
    assert " in</td>" in layers.sure.view.value and " mm</td>" not in layers.sure.view.value
    layers.switch.value = "metric"
    layers.controls["count"].widget.value += 1
    assert layers.sure.view.value == ""


@pytest.mark.parametrize("panel, shown", [
    (lambda job: page_thickness.ThicknessPage(job).panel(), lambda found: {"thickness": found.schedule.total_thickness_mm}),
    (lambda job: page_orientation.OrientationPage(job).panel(),
     lambda found: {"ei_x": found.changed.flexural.ex * found.changed.thickness_mm.sum() ** 3 / 12}),
    (lambda job: page_transom.panel(job), lambda found: {"turn": found.options[0].worst_turn_mrad}),
    (lambda job: page_stringer.StringerPage(job).panel(), lambda found: {
        "deflection": found.deflection_mm, "margin": min(m.reserve_factor for m in found.margins)}),
    (lambda job: page_panel.PanelPage(job).bottom_panel(), lambda found: {
        "deflection": found.result.deflection_mm, "margin": min(m.reserve_factor for m in found.result.margins)}),
    (lambda job: page_panel.PanelPage(job).sole_panel(), lambda found: {
        "areal_mass": found.result.schedule.areal_mass_kg_m2, "deflection": found.result.deflection_mm}),
], ids=["layers", "directions", "transom", "stringer", "bottom", "sole"])
def test_typical_values_are_the_numbers_of_the_panel(job, panel, shown):
    live = panel(job)
    found = run_uncertainty(live.sure._model(live.result), samples=8, seed=1)
    for key, value in shown(live.result).items():
        # the turn of a transom is read off a curve
        assert found.band(key).typical == pytest.approx(value, rel=0.005 if key == "turn" else 1e-9)


def test_a_panel_sample_is_an_assessment_of_that_sample(job):
    plan = panel_result(job, "sole")
    model = PanelModel(plan.panel, plan.load, plan.schedule)
    found = run_uncertainty(model, samples=12, seed=3)
    assert np.ptp(found.of("thickness")) > 0.1 and np.ptp(found.of("deflection")) > 0.1
    # the softest builds move most
    order = np.argsort(found.of("deflection"))
    assert found.of("deflection")[order[0]] < plan.deflection_mm < found.of("deflection")[order[-1]]


def test_strength_of_the_layers_moves_the_margin_of_a_skin_only(job):
    plan = panel_result(job, "bottom")
    model = PanelModel(plan.panel, plan.load, plan.schedule)
    found = run_uncertainty(model, samples=20, seed=2, vary=("strength",))
    assert np.ptp(found.of("margin")) > 0.01 * plan.margins[0].reserve_factor
    assert np.ptp(found.of("deflection")) == 0.0


def test_problems_come_as_a_sentence():
    def fail(_found):
        raise ValueError("The core has no shear modulus.")

    sure = HowSure(fail)
    sure.ask(1.0, "metric")
    assert "no shear modulus" in sure.view.value and 'role="alert"' in sure.view.value
    sure.ask(None, "metric")
    assert "no result" in sure.view.value
    broken = HowSure(lambda found: 1 / 0)
    broken.ask(1.0, "metric")
    assert "could not be computed" in broken.view.value and "Traceback" not in broken.view.value


def test_a_panel_without_a_result_says_so():
    def compute(t):
        if t > 1.5:
            raise ValueError("Too thick.")
        return t

    live = Panel({"t": QuantitySlider("Thickness", "thickness", 1.0, 0.5, 3.0, 0.5)}, compute,
                 words=lambda found, system: f"{found}", sure=HowSure(lambda found: None))
    live.controls["t"].widget.value = 2.0
    live.sure.button.click()
    assert "no result" in live.sure.view.value


def test_the_editor_tells_the_bands_of_its_stack(job):
    editor = schedule_editor(job, "transom_inner_skin")
    editor.sure.button.click()
    before = editor.sure.view.value
    assert "bending stiffness along" in before
    editor.state.unit_system.system = "us"
    assert "bending stiffness along" in editor.sure.view.value != before
    editor.layers.value = 0
    editor.buttons["Copy"].click()
    assert editor.sure.view.value == ""
