"""Panels of the shop floor's notebooks: every control moves the number shown, in both unit systems."""

import re

import pytest

from lamcalc import units
from lamcalc.shop.job import load_demo
from lamcalc.shop.job_batches import plan_needs, resin_needs
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_tables import layer_table, piece_table
from lamcalc.shop.sheet_words import Words
from lamcalc.shop.takeoff_cut import TURNED
from lamcalc.workbook import plots_takeoff, style
from lamcalc.workbook.page_batches import BatchesPage, first_day
from lamcalc.workbook.page_quality import QualityPage
from lamcalc.workbook.page_sequence import SequencePage
from lamcalc.workbook.page_takeoff import TakeOffPage

pytestmark = pytest.mark.behaviour
SYSTEMS = ("metric", "us")
PAGES = (TakeOffPage, BatchesPage, SequencePage, QualityPage)


@pytest.fixture(scope="module")
def demo():
    return load_demo()


def text_of(panel):
    return panel.sentence.value + re.sub(r"<[^>]+>", " ", panel.numbers.value)


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("system", SYSTEMS)
def test_every_page_answers_with_table_figure_check_and_cautions(demo, page, system):
    made = page(demo, system=system)
    for name in ("answer", "figure", "inputs", "claims", "check", "cautions"):
        assert len(getattr(made, name)().data) > 100, name
    assert re.search(r'alt="[^"]{20,}"', made.figure().data)
    panel = made.panel()
    assert panel.problem.value == "" and panel.sentence.value and panel.numbers.value and panel.image.value


@pytest.mark.parametrize("system", SYSTEMS)
def test_batches_follow_temperature_catalyst_and_crew(demo, system):
    panel = BatchesPage(demo, "stringers").panel()  # many pots on the first day: the crew shows in the clock
    panel.switch.value = system
    before = text_of(panel)
    for name, value in (("people", 4), ("percent", None), ("hull_c", None)):
        control = panel.controls[name]
        control.widget.value = value if value is not None else control.widget.value + 4 * control.widget.step
        assert text_of(panel) != before, name
        before = text_of(panel)
    values = {name: control.value for name, control in panel.controls.items()}
    plan = BatchesPage(demo).day(**values)
    catalyst = sum(pot.second_ml for pot in first_day(plan))
    assert f"{catalyst:.1f} mL" in panel.sentence.value  # a syringe shows millilitres in both systems


def test_pots_of_the_page_are_those_of_the_job(demo):
    plan = plan_needs(demo, resin_needs(demo, "transom"))
    page = BatchesPage(demo)
    assert [pot.resin_kg for pot in page.plan.batches] == [pot.resin_kg for pot in plan.batches]
    assert page.plan.climate.hull_c == 17.0


def test_outside_the_window_and_below_the_floor_there_is_a_sentence(demo):
    panel = BatchesPage(demo).panel()
    panel.controls["percent"].widget.value = 4.0
    assert "window" in panel.problem.value and panel.numbers.value == ""
    panel.controls["percent"].widget.value = 1.5
    panel.controls["hull_c"].widget.value = 8.0
    assert "15" in panel.problem.value and "Next:" in panel.problem.value
    panel.controls["hull_c"].widget.value = 18.0
    assert panel.problem.value == ""


@pytest.mark.parametrize("system", SYSTEMS)
def test_allowances_move_what_is_bought_and_not_what_stays(demo, system):
    page = TakeOffPage(demo)
    panel = page.panel()
    panel.switch.value = system
    part = page.found.parts["transom"]
    stays = part.resin_in_laminate_kg("laminate", "tabbing", "crown", "laps")
    panel.controls["resin_loss"].widget.value = 30.0
    assert units.show(1.3 * stays, "mass", system) in panel.sentence.value
    assert units.show(stays, "mass", system) in panel.sentence.value
    panel.controls["glass_loss"].widget.value = 50.0
    fabric = part.fabrics[0]
    least = (fabric.net_m2 + fabric.lap_m2) * 1.5 / fabric.plan.width_mm * 1e6
    assert units.show(max(least, fabric.plan.length_mm), "length", system) in panel.sentence.value
    # the allowance shows even where the cutting plan decides
    assert units.show((fabric.net_m2 + fabric.lap_m2) * 1.5, "area", system) in panel.numbers.value


def test_the_sentence_names_the_fabric_and_the_list_begins_with_it(demo):
    page = TakeOffPage(demo)
    panel = page.panel()
    for words, (name, place) in panel.controls["fabric"].widget.options:
        panel.controls["fabric"].widget.value = name, place
        fabric = page.found.parts[name].fabrics[place].name
        assert f"of {fabric};" in panel.sentence.value and words.startswith(fabric)


@pytest.mark.parametrize("system", SYSTEMS)
def test_turned_pieces_of_mat_are_told_by_sentence_picture_lists_and_sheet(demo, system):
    page = TakeOffPage(demo, system=system)
    part = page.found.parts["sole"]
    mat, stitched = part.fabrics
    assert all(p.turned for p in mat.plan.places) and not any(p.turned for p in stitched.plan.places)
    panel = page.panel()
    panel.controls["fabric"].widget.value = "sole", 0
    assert "3 of its 3 pieces are turned" in panel.sentence.value and TURNED in panel.sentence.value
    assert "turned: laminate 1.1, laminate 1.2, laminate 1.3." in panel.image.value
    panel.controls["fabric"].widget.value = "sole", 1
    assert "turned" not in panel.sentence.value + panel.image.value
    figure, axes = style.new_figure(6.8, 2.8)
    for fabric in (mat, stitched):
        drawn = [text.get_text() for text in plots_takeoff.cutting_plan(axes[0, 0], fabric.plan, fabric.name, system).texts]
        assert drawn == [p.piece.label + ("\nturned" if fabric is mat else "") for p in fabric.plan.places]
    assert page.cuts("sole").data.count("90, turned") == 3 and "turned" not in page.cuts("stringers").data
    table = piece_table(part, Words(system))
    assert [row[4] for row in table.rows] == ["across, turned"] * 3 + ["along"] * 2 and TURNED in table.notes
    assert TURNED not in piece_table(page.found.parts["stringers"], Words(system)).notes
    # the list of layers leaves the way of mat to the list of pieces
    assert [row[6] for row in layer_table(sheet_layers(demo, part), Words(system)).rows if "mat" in row[3]][0] == "see pieces"


def test_turning_a_mat_side_is_found_at_its_layer(demo):
    page = SequencePage(demo)
    panel = page.panel()
    before = text_of(panel)
    place = next(k for k, layer in enumerate(page.layers) if getattr(getattr(layer, "reinforcement", None), "has_mat", False)
                 and len(layer.reinforcement.components) > 1)
    assert panel.controls["fresh_angle"].widget.disabled  # nothing to turn yet
    panel.controls["turned"].widget.value = place
    assert not panel.controls["fresh_angle"].widget.disabled
    assert text_of(panel) != before and f"Layer {place + 1}" in text_of(panel)
    panel.controls["turned"].widget.value = -1
    assert text_of(panel) == before


@pytest.mark.parametrize("system", SYSTEMS)
def test_readings_move_verdicts_and_stiffness(demo, system):
    page = QualityPage(demo)
    panel = page.panel()
    panel.switch.value = system
    control = panel.controls["thicker"]
    control.widget.value = control.widget.value - 15 * control.widget.step
    assert units.show(4.0, "thickness", system) in text_of(panel)
    assert "reject" in text_of(panel) or "thickness" in panel.sentence.value
    changed, _ = page.measured(thicker=-1.5)
    assert changed.report.as_built.thickness_mm == pytest.approx(4.0)
    before = text_of(panel)
    for name in ("resin_kg", "residue_kg"):
        panel.controls[name].widget.value = panel.controls[name].widget.value * 1.2
        assert text_of(panel) != before
        before = text_of(panel)
