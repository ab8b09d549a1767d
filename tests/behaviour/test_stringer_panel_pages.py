"""Notebooks 04 and 05: the numbers shown are the package's, in both unit systems, whatever control is moved."""

import html
import re
from dataclasses import replace

import numpy as np
import pytest

from lamcalc import units
from lamcalc.shop import job as jobs
from lamcalc.shop.job_panel import panel_repair, panel_result, panel_variant
from lamcalc.shop.job_stringer import stringer_result, stringer_variant
from lamcalc.workbook import plots_panel, plots_stringer, style
from lamcalc.workbook.page_checks import shown, verdict
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_stringer import StringerPage
from lamcalc.workbook.controls import UnitSystem

pytestmark = pytest.mark.behaviour
SYSTEMS = ("metric", "us")
DRAWN = {
    "height_mm": 95.0,
    "plies": 2,
    "cap_layers": 3,
    "span_mm": 900.0,
    "pressure": 0.018,
    "ends": "fixed",
    "former": "shape",
}


@pytest.fixture(scope="module")
def job():
    return jobs.load_demo()


@pytest.fixture(scope="module")
def built(job):
    """The three panels with their first values; building one draws a figure, so they are built once."""
    page = PanelPage(job)
    panels = {"stringer": StringerPage(job).panel(), "bottom": page.bottom_panel(), "sole": page.sole_panel()}
    return {
        name: (panel, {key: control.value for key, control in panel.controls.items()}) for name, panel in panels.items()
    }


def fresh(built, name):
    """A panel put back to its first values and metric units."""
    panel, values = built[name]
    panel.switch.value = "metric"
    for key, value in values.items():
        if panel.controls[key].value != value:
            move(panel.controls[key], value, "metric")
    return panel


@pytest.fixture()
def stringer(built):
    return fresh(built, "stringer")


@pytest.fixture()
def bottom(built):
    return fresh(built, "bottom")


@pytest.fixture()
def sole(built):
    return fresh(built, "sole")


def cells(panel):
    """Rows of the table shown, by their first cell."""
    rows = re.findall(r"<tr>(.*?)</tr>", html.unescape(panel.numbers.value))
    found = [re.sub(r"<[^>]+>", "|", row).strip("|").split("||") for row in rows]
    return {row[0]: row[1:] for row in found}


def plain(text):
    """Text without pictures and without trade names, which carry their own units."""
    text = re.sub(r"base64,[^\"]+", "", html.unescape(text))
    return re.sub(r"(chopped strand mat|unidirectional|stitched biaxial)[^<;,]*\)", "", text)


def move(control, value, system):
    """Set a control to a value in internal units."""
    kind = getattr(control, "kind", None)
    control.widget.value = value if kind is None else float(units.to_system(value, kind, system))


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    "name, value",
    [
        ("height_mm", 120.0),
        ("plies", 3),
        ("cap_layers", 0),
        ("span_mm", 1400.0),
        ("pressure", 0.035),
        ("ends", "simple"),
        ("former", "pvc_80"),
    ],
)
def test_stringer_panel_follows_its_controls(job, stringer, system, name, value):
    stringer.switch.value = system
    before = stringer.sentence.value + stringer.numbers.value
    move(stringer.controls[name], value, system)
    want = stringer_variant(job, **DRAWN | {name: stringer.controls[name].value})
    assert stringer.problem.value == "" and stringer.sentence.value + stringer.numbers.value != before
    assert cells(stringer)["deflection"][0] == units.show(want.deflection_mm, "thickness", system)
    rows = cells(stringer)
    assert rows["web in shear"][0] == shown(want.web_shear, "MPa", system)
    assert rows["by rule: stiffener web area"][0] == units.show(
        float(want.section.web_area_mm2), "section_area", system
    )
    assert f"{want.least.reserve_factor:.2f}" in stringer.sentence.value
    assert html.escape(verdict(want)) in stringer.sentence.value
    use = plots_stringer.use_of_limits(want)
    worst = np.nanmax(list(use.values()))
    assert f"{100 * worst:.0f} percent" in stringer.image.value


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    "name, value", [("option", "bottom_original"), ("pressure", 0.006), ("extra_plies", 3), ("edges", "SSSS")]
)
def test_bottom_panel_follows_its_controls(job, bottom, system, name, value):
    bottom.switch.value = system
    move(bottom.controls[name], value, system)
    values = {key: control.value for key, control in bottom.controls.items()}
    want = panel_variant(job, "bottom", values.pop("option"), **values)
    assert bottom.problem.value == ""
    assert units.show(want.deflection_mm, "thickness", system) in bottom.sentence.value
    row = next(cell for first, cell in cells(bottom).items() if first.startswith("laminate"))
    assert row[:2] == [shown(want.least.demand, "kN/m2", system), shown(want.least.usable, "kN/m2", system)]
    assert cells(bottom)["by rule: single-skin thickness"][0] == units.show(
        want.schedule.structural_thickness_mm, "thickness", system
    )


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize(
    "name, value",
    [
        ("option", "sole_plywood"),
        ("core", "pvc_100"),
        ("core_thickness_mm", 25.0),
        ("force", 2500.0),
        ("pressure", 0.005),
        ("extra_plies", 2),
        ("edges", "CCCC"),
    ],
)
def test_sole_panel_follows_its_controls(job, sole, system, name, value):
    sole.switch.value = system
    move(sole.controls[name], value, system)
    values = {key: control.value for key, control in sole.controls.items()}
    core = values.pop("core")
    want = panel_variant(job, "sole", values.pop("option"), core=None if core == "as planned" else core, **values)
    assert sole.problem.value == ""
    assert cells(sole)["deflection"][:2] == [
        units.show(want.deflection_mm, "thickness", system),
        units.show(want.deflection_limit_mm, "thickness", system),
    ]
    assert cells(sole)["core in shear"][0] == units.show(want.core_shear, "stress", system)
    assert html.escape(verdict(want)) in sole.sentence.value


def test_impossible_entries_get_their_sentence_and_recover(sole, bottom):
    sole.controls["force"].widget.value = 0.0
    assert 'role="alert"' in sole.problem.value and "pressure" in sole.problem.value and "Next:" in sole.problem.value
    assert sole.sentence.value == sole.numbers.value == sole.image.value == ""
    sole.controls["force"].widget.value = 1200.0
    assert sole.problem.value == "" and sole.sentence.value
    bottom.controls["extra_plies"].widget.value = -1
    assert "at least one" in bottom.problem.value and "Traceback" not in bottom.problem.value
    bottom.controls["extra_plies"].widget.value = 0
    assert bottom.problem.value == "" and bottom.numbers.value


def test_impossible_stringer_gets_its_sentence(stringer, monkeypatch):
    monkeypatch.setattr(stringer.controls["height_mm"], "_value", -1.0)
    stringer.refresh()
    assert 'role="alert"' in stringer.problem.value and "height" in stringer.problem.value
    assert stringer.image.value == ""
    monkeypatch.undo()
    stringer.refresh()
    assert stringer.problem.value == "" and stringer.image.value


@pytest.mark.parametrize("which", ["stringer", "bottom", "sole"])
def test_the_switch_changes_everything(which, request):
    panel = request.getfixturevalue(which)
    metric = plain(panel.sentence.value + panel.numbers.value + panel.image.value)
    panel.switch.value = "us"
    us = plain(panel.sentence.value + panel.numbers.value + panel.image.value)
    assert not re.search(r"\d (mm|MPa|kPa|N|cm2|cm3|cm4|kg)\b", us), us
    assert not re.search(r"\d (in(?! the)|psi|lbf|in2|in3|in4)\b", metric)
    panel.switch.value = "metric"
    assert plain(panel.sentence.value + panel.numbers.value + panel.image.value) == metric


def test_both_panels_of_a_notebook_share_one_switch(job):
    page, shared = PanelPage(job), UnitSystem()
    one, two = page.bottom_panel(shared), page.sole_panel(shared)
    one.switch.value = "us"
    assert two.switch.value == "us" and "lbf" in two.numbers.value


def test_factors_from_memory_are_called_unverified_on_the_screen(stringer, bottom, sole):
    for panel in (stringer, sole):
        assert "UNVERIFIED" in panel.numbers.value
    assert "unverified" in bottom.numbers.value


def test_the_answer_of_notebook_04_is_the_package_s(job):
    found, page = stringer_result(job), StringerPage(job)
    text = html.unescape(page.answer().data)
    assert units.show(found.deflection_mm, "thickness", "metric") in text and "does NOT hold" not in text
    assert "web depth over thickness" in text and "3 layers over the former" in text
    assert f"{found.least.reserve_factor:.2f}" in page.margins().data
    assert "unverified" in page.margins().data and "NO" in page.rules().data
    assert (
        "licensed" in page.cautions().data and "passenger" in page.cautions().data and "towing" in page.cautions().data
    )


def test_the_answers_of_notebook_05_are_the_package_s(job):
    page = PanelPage(job)
    for name in ("rovings", "stitched"):
        found = panel_repair(job, "bottom", f"bottom_patch_{name}")
        for start in ("bending", "moment", "force"):
            least = min(v for k, v in found.ratios.items() if k.startswith(start))
            assert f"{least:.2f} of" in page.answer_patch().data
    assert "not as good in every figure" in page.answer_patch().data
    for key in ("sole_plywood", "sole_board"):
        found = panel_result(job, "sole", key)
        assert units.show(found.deflection_mm, "thickness", "metric") in page.answer_sole().data
        assert units.show(found.core_shear, "stress", "metric") in page.sole_table().data
    assert "does not hold" in page.patch_margins().data and "assumed" in page.answer_load().data
    assert "builder" in page.cautions().data and "licensed" in page.cautions().data


def test_a_bottom_that_moves_more_than_half_its_thickness_is_told_so(bottom):
    assert "really less" in bottom.sentence.value
    bottom.controls["pressure"].widget.value = 2.0
    assert "really less" not in bottom.sentence.value


@pytest.mark.parametrize("which", ["stringer", "bottom"])
def test_the_picture_keeps_its_axes(which, request, monkeypatch):
    panel = request.getfixturevalue(which)
    cleared = []
    monkeypatch.setattr("matplotlib.axes.Axes.clear", lambda self: cleared.append(self))
    monkeypatch.setattr(style, "new_figure", lambda *args, **more: cleared.append("new"))
    panel.controls["pressure"].widget.value *= 1.5
    assert panel.problem.value == "" and not cleared


def test_section_is_drawn_to_scale_and_closed(job):
    found = stringer_result(job)
    parts = plots_stringer.outlines(found)
    skin, former = parts["skin"], parts["former"]
    assert former[:, 0].max() - former[:, 0].min() == pytest.approx(110.0)
    # the thickness of the slanting web, measured across it
    edge, inner = skin[3] - skin[2], skin[4] - skin[3]
    across = abs(edge[0] * inner[1] - edge[1] * inner[0]) / (edge**2).sum() ** 0.5
    assert across == pytest.approx(found.stringer.skin.structural_thickness_mm, rel=0.02)
    assert parts["plating"][:, 0].max() == pytest.approx(found.stringer.attached_width(found.load) / 2)
    assert parts["legs right"][:, 0].max() == pytest.approx(55.0 + 100.0)


def test_the_map_shows_the_panel_as_it_lies(job):
    picture = plots_panel.PanelPicture()
    picture.draw(panel_result(job, "bottom"), "metric")
    assert picture._image.get_extent() == [0, 900.0, 0, 460.0]
    assert picture._image.get_array().shape == (plots_panel.GRID, plots_panel.GRID)


def test_the_words_on_the_web_count_its_worst_folding_and_never_soothe_a_stringer_that_fails(job):
    page = StringerPage(job)
    worst = min(m.capacity / m.demand for m in page.result.margins if m.name.startswith(("web buckling", "web folding")))
    assert f"folds at {worst:.1f} times the load" in page.web().data and "Every margin worked out here holds, but" in page.web().data
    page.result = replace(page.result, unchecked=("cap",))
    assert "not every margin holds or could be checked" in page.web().data and "Every margin" not in page.web().data
