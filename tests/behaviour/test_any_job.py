"""Any job through every notebook: its own units, only what it has, refusals in words, and the cells below still run."""

import re
from pathlib import Path

import nbformat
import notebook_runs
import pytest
from nbclient import NotebookClient
from test_notebooks import copied_checkout, run_nbval
from test_us_pages import metric_only

from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.shop.job_joints import job_joints
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_quality import job_quality
from lamcalc.shop.sequence import context_of, review_part
from lamcalc.shop.takeoff import take_off
from lamcalc.workbook import page_sheet, page_transom
from lamcalc.workbook.job_bar import JobBar
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_sequence import SequencePage
from lamcalc.workbook.page_surer import SurerPage
from lamcalc.workbook.page_thickness import ThicknessPage

pytestmark = pytest.mark.behaviour

NUMBERS = [f"{number:02d}" for number in range(12)]
READINGS = """
[survey.side]
found = "two cracks"

[schedules.side]
title = "Hull side"
layers = [
  { kind = "ply", reinforcement = "csm_450", resin = "iso_polyester", count = 2 },
  { kind = "ply", reinforcement = "biax45_1708", resin = "iso_polyester" },
]

[as_built.side]
laminate = "side"
thickness_mm = ["0.130 in", "0.140 in", "0.135 in"]
glass_used_kg = "4 lb"
resin_used_kg = "8 lb"
"""


@pytest.fixture
def readings(tmp_path):
    """A job in US units with readings of a laminate and no part at all."""
    blank = jobs.new("skiff", units="us").text
    for table in ("survey", "schedules", "as_built"):
        blank = blank.replace(f"[{table}]\n", "")
    path = tmp_path / "skiff.toml"
    path.write_text(blank.replace("[parts]\n", READINGS), encoding="utf-8")
    return path


@pytest.fixture
def in_us(tmp_path):
    """The demo in US units."""
    path = tmp_path / "launch.toml"
    path.write_text(jobs.load_demo().text.replace('units = "metric"', 'units = "us"', 1), encoding="utf-8")
    return path


@pytest.fixture
def shell(monkeypatch):
    """A shell in the folder of the notebooks, on the job that `use` names."""
    monkeypatch.chdir(notebook_runs.NOTEBOOKS)
    with notebook_runs.shell() as found:
        found.use = lambda path: monkeypatch.setenv("LAMCALC_JOB", str(path))
        yield found


# --- refusals -----------------------------------------------------------------------------------------------------------

def test_a_job_of_readings_alone_goes_through_every_notebook(shell, readings):
    shell.use(readings)
    found = {number: notebook_runs.run(number, inside=shell) for number in NUMBERS}
    assert not any(run.stopped for run in found.values())
    assert not [number for number, run in found.items() if "could not be computed (" in run.text]
    lacks = {"03": "transom", "04": "stringer", "05": "panel", "06": "part", "07": "part", "08": "part", "10": "part", "11": "transom"}
    for number, kind in lacks.items():
        assert f"This cell has nothing to show: the job has no {kind}" in found[number].text, number
    assert "nothing to show" not in found["01"].text + found["02"].text + found["09"].text
    assert "0.135 in" in found["09"].shown("page.answer()") and "mm" not in found["09"].shown("page.answer()")
    assert "no price" in found["01"].shown("page.table()")


def test_nothing_of_the_job_before_is_shown_after_a_refusal(shell, readings, in_us):
    shell.use(in_us)
    before = notebook_runs.run("04", inside=shell)
    assert "EI" in before.shown("page.table()")
    shell.use(readings)
    after = notebook_runs.run("04", inside=shell)
    shown = [text for source, text, _ in after.cells if "page." in source or "other." in source]
    assert after.text.count("This cell has nothing to show: the job has no stringer") == 1
    assert len(shown) > 10 and {text.strip() for text in shown} == {"Nothing to show here either, for the reason above."}


def test_a_refusal_in_a_real_kernel_lets_the_cells_below_run(monkeypatch, tmp_path):
    monkeypatch.setenv("LAMCALC_JOB", str(tmp_path / "gone.toml"))
    book = nbformat.read(next(notebook_runs.NOTEBOOKS.glob("04_*.ipynb")), as_version=4)
    NotebookClient(book, timeout=120, kernel_name="python3", resources={"metadata": {"path": notebook_runs.NOTEBOOKS}}).execute()
    outputs = [output for cell in book.cells if cell.cell_type == "code" for output in cell.outputs]
    assert len(outputs) == sum(cell.cell_type == "code" for cell in book.cells)
    first, *others = (output.data["text/html"] for output in outputs if output.output_type == "display_data")
    assert "must exist" in first and 'role="alert"' in first and "border:2px solid" in first
    assert len(others) == len(outputs) - 1 and all("for the reason above" in text for text in others)


def test_whatever_breaks_reaches_the_user_in_words(shell, in_us):
    shell.use(in_us)
    shell.run_cell("from lamcalc.workbook.start import job_in_use\njob = job_in_use()")
    shell.display_pub.outputs.clear()
    assert shell.run_cell("width = {}['span']").success
    (shown,) = shell.display_pub.outputs
    assert "it could not be computed (KeyError: &#x27;span&#x27;). The job is as it was." in shown["data"]["text/html"]
    with pytest.raises(KeyError):
        _ = shell.user_ns["width"].label


def test_a_panel_of_the_demo_that_refuses_fails_the_comparison(tmp_path):
    copy = copied_checkout(tmp_path)
    page = copy / "lamcalc" / "workbook" / "page_thickness.py"
    text = page.read_text(encoding="utf-8")
    broken = re.sub(r"    def panel\(self, unit_system=None\):\n",
                    "    def panel(self, *_shared):\n        from lamcalc.errors import NotThere\n        raise NotThere('fabric', 'buy one')\n\n"
                    "    def old(self, unit_system=None):\n", text)
    assert broken != text
    page.write_text(broken, encoding="utf-8")
    found = run_nbval(copy, "01_ply_thickness.ipynb")
    assert found.returncode == 1 and "the job has no fabric" in found.stdout and "1 failed" in found.stdout


def test_the_job_bar_is_there_when_the_file_of_the_job_is_gone(tmp_path, monkeypatch):
    monkeypatch.setenv("LAMCALC_JOB", str(tmp_path / "gone.toml"))
    bar = JobBar()
    assert "gone.toml" in bar.message.value and "open or start a job here" in bar.message.value
    assert bar.state.job.name.startswith("Coaching launch")


# --- units --------------------------------------------------------------------------------------------------------------

METRIC_LABEL = re.compile(r"\[(?:mm|m|m2|kg|kg/m2?|g/m2|N|MPa|GPa|kPa|kN/mm|N/mm|kN m2/m|kN m2|degC|L|mL|g)\]")
ELSEWHERE = re.compile(r"other\.|other_units|check\(job\)|page\.check|claims|page\.names|limits\(\)")


def test_every_notebook_opens_in_the_units_of_its_job(shell, in_us):
    """Labels of tables in US units, but for the tables in the other units, for published cases."""
    shell.use(in_us)
    seen = 0
    for number in NUMBERS[1:]:
        for source, text, _ in notebook_runs.run(number, inside=shell).cells:
            if not ELSEWHERE.search(source):
                text = re.sub(r"catalyst or hardener \[mL\]|the same by mass \[g\]", "", text)  # as syringes and scales show it
                assert not METRIC_LABEL.search(text), (number, source)
                seen += bool(re.search(r"\[(?:in|lb|ft|lbf|psi|Msi|oz/yd2|lb/ft2|lb/ft|lbf in2/in|lbf in2|degF)\]", text))
            elif "other" in source and "sentence" not in source:
                assert not re.search(r"\[(?:in|lb|psi|Msi|lbf)\]", text), (number, source)
    assert seen > 20


@pytest.mark.parametrize("module", [page_transom, page_sheet])
def test_tables_of_functions_follow_the_job_and_the_asked_system(module, in_us):
    job = jobs.load(in_us)
    for show in (module.inputs, getattr(module, "knees", module.inputs), getattr(module, "hand_check", module.check if module is page_sheet else None)):
        table = show(job)
        assert metric_only("".join(f"<td>{cell}</td>" for cell in table.astype(str).to_numpy().ravel()
                                   if "option" not in cell and "cast core" not in cell)) == []
        assert not METRIC_LABEL.search(" ".join(table.columns))
        assert show(job, system="metric").to_string() == show(jobs.load_demo()).to_string()


def test_a_table_in_us_units_is_the_metric_one_converted(in_us):
    from lamcalc import units

    metric, us = page_transom.knees(jobs.load_demo()), page_transom.knees(jobs.load(in_us))
    for old, new in zip(metric["deflection, no knees [mm]"], us["deflection, no knees [in]"], strict=True):
        assert float(new) == pytest.approx(units.convert(old, "mm", "in"), rel=1e-3)
    row = {name: dict(zip(table["input"], table["value"], strict=True)) for name, table in
           (("metric", page_transom.inputs(jobs.load_demo())), ("us", page_transom.inputs(jobs.load(in_us))))}
    assert row["metric"]["static thrust ahead"] == "2100" and float(row["us"]["static thrust ahead"]) == pytest.approx(472.1)
    assert row["us"]["clamping window"] == "1.614 to 2.244"


def test_both_panels_of_a_page_follow_one_switch(in_us):
    page = PanelPage(jobs.load(in_us))
    bottom, sole = page.bottom_panel(), page.sole_panel()
    assert bottom.switch.value == sole.switch.value == "us"
    bottom.switch.value = "metric"
    assert sole.switch.value == "metric" and " mm" in sole.sentence.value


# --- words --------------------------------------------------------------------------------------------------------------

OF_THE_DEMO = re.compile(r"\blaunch\b|\bhelm\b|bracket moves|\d[\d.,]* ?(?:GPa|mm|kN|°C|kg|L)\b|rowing|Three cores|two people|"
                         r"transom for today|inner skin of the transom|with the stitched patch|by hand script", re.IGNORECASE)
GENERAL = ("One percent", "805 g/m2", "Class-rule", "Knees", "g/m2 or 23.75", "ISO 12215")


@pytest.mark.parametrize("path", sorted(notebook_runs.NOTEBOOKS.glob("*.ipynb")), ids=lambda path: path.stem)
def test_fixed_text_is_true_for_any_job(path):
    """What holds for the demo alone says so in its own paragraph or line."""
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type != "markdown" or cell.source.startswith("## Check against a published"):
            continue
        for paragraph in cell.source.split("\n\n"):
            if OF_THE_DEMO.search(paragraph) and not any(words in paragraph for words in GENERAL):
                assert re.search(r"\bdemo\b", paragraph), paragraph


def test_a_page_of_another_boat_names_its_parts(in_us):
    text = Path(in_us).read_text(encoding="utf-8").replace("parts.bottom", "parts.side").replace("survey.bottom", "survey.side")
    Path(in_us).write_text(text, encoding="utf-8")
    page = SurerPage(jobs.load(in_us))
    assert page.name == "side" and "Hull bottom panel, patch from outside: 1." in page.answer().data
    assert "oz/ft2" in page.bottom().data and "g/m2" not in page.bottom().data


def test_a_search_tells_part_by_part_what_the_job_lacks(readings):
    said = SurerPage(jobs.load(readings)).answer().data
    assert all(f"the job has no {kind}" in said for kind in ("panel with an original build", "stringer", "transom"))


def test_money_says_what_it_leaves_out(readings):
    said = ThicknessPage(jobs.load(readings)).answer().data
    assert "before waste, WITHOUT csm 450, iso polyester, biax45 1708, for which the job has no price" in said


# --- jobs of readings alone ---------------------------------------------------------------------------------------------

def test_readings_without_a_part_are_held_against_their_laminate(readings):
    job = jobs.load(readings)
    assert job.parts == {} and job.survey["side"].found == "two cracks"
    found = job_quality(job, "side")
    plan = jobs.schedule(job, "side")
    assert found.report.as_built.thickness_mm == pytest.approx(0.135 * 25.4)
    (balance,) = [check for check in found.report.checks if check.name == "mass balance"]
    assert balance.expected == pytest.approx(plan.glass_fraction) or balance.expected == pytest.approx(100 * plan.glass_fraction)
    assert not [name for name in found.stiffness["figure"] if name.startswith("whole part")]


def test_a_misspelt_part_is_still_refused(in_us):
    text = Path(in_us).read_text(encoding="utf-8")
    Path(in_us).write_text(text.replace("[as_built.transom]", "[as_built.transon]"), encoding="utf-8")
    with pytest.raises(InputError, match=r"as_built.transon: must be the name of a part of this job"):
        jobs.load(in_us)


# --- places and findings ------------------------------------------------------------------------------------------------

@pytest.mark.parametrize("ask", [lambda job: context_of(job, "transom"), lambda job: job_joints(job, "transom"), take_off])
@pytest.mark.parametrize(("field", "word"), [("reinforcement", "reinforcement must be"), ("resin", "resin must be")])
def test_an_unknown_material_of_a_tape_is_told_with_its_place(ask, field, word):
    job = jobs.update(jobs.load_demo(), {f"parts.transom.tabbing.tapes[1].{field}": "biax_unknown"})
    with pytest.raises(InputError) as caught:
        ask(job)
    assert str(caught.value).startswith(f"parts.transom.tabbing, tape 2: {word}")


def part_mat(*more):
    """A sole of plywood between mats, with these layers on top."""
    mat = {"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester"}
    return {"parts.sole.chosen": "sole_plywood", "schedules.sole_plywood.layers": [
        mat, {"kind": "core", "core": "ply_meranti", "thickness_mm": 12.0}, mat, *more]}


def test_mat_alone_is_told_once_and_is_nothing_to_settle():
    """All mat in polyester is a build of its own, and its margins count mat as mat; they say themselves where they do not hold."""
    mats = {"schedules.stringer_skin.layers": [{"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester", "count": 2}],
            "parts.stringers.crown": None, "parts.stringers.crown_width_mm": None}
    job = jobs.update(jobs.load_demo(), part_mat() | mats)
    pages = job_pages(job)
    assert not [line for line in pages.summary() if "woven" in line or "mat alone" in line.lower()]
    assert not [name for name, text in pages.texts.items() if name.startswith("sheet") and "woven or stitched" in text]
    handover = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", pages.texts["handover.html"]))
    assert handover.count("woven or stitched") == 1
    titles = [job.parts[name].title for name in ("stringers", "sole")]
    assert f"{titles[0]}; {titles[1]}: all the glass is mat, none of it woven or stitched" in handover
    assert "such as 40% of the glass" in handover and "weaker for its weight" in handover
    # where the design is drawn it stands as a note, with the reason
    (found,) = review_part(job, "sole").of("mat_only")
    assert found.severity == "note" and "woven or stitched" in SequencePage(job, "sole").findings().data
    # a margin that does not hold stays as loud as it was
    weak = jobs.update(job, {"parts.stringers.pressure_kpa": 900.0})
    lines = job_pages(weak).summary()
    assert any(line.startswith("SETTLE FIRST, a check does not hold") and titles[0] in line for line in lines)
    assert "A margin does not hold" in job_pages(weak).texts["sheet_stringers.html"]


def test_a_part_that_mixes_mat_with_too_little_fabric_is_still_to_be_settled():
    light = {"kind": "ply", "reinforcement": "ud_400", "resin": "iso_polyester"}
    job = jobs.update(jobs.load_demo(), part_mat(light))  # 400 of 1300 g/m2
    assert any("SETTLE THIS FIRST" in line and "Only 31% of the glass" in line for line in job_pages(job).summary())
    assert "mat, none of it" not in job_pages(job).texts["handover.html"]


def test_what_the_sheet_asks_to_settle_first_stands_on_the_screen_too():
    light = {"kind": "ply", "reinforcement": "ud_400", "resin": "iso_polyester"}
    job = jobs.update(jobs.load_demo(), {"parts.transom.chosen": "transom_plywood", **part_mat(light)})
    pages = job_pages(job)
    for title, name, words in (("Transom rebuild", "transom", "end grain is sealed"), ("Sole panel at the helm", "sole", "woven or stitched")):
        said = [line for line in pages.summary() if line.startswith(f"SETTLE THIS FIRST, order of laying of {title}")]
        assert any(words in line for line in said)
        assert "Settle this first" in pages.texts[f"sheet_{name}.html"] and words in pages.texts[f"sheet_{name}.html"]
    assert "order of laying is to be settled first" in page_sheet.answer(job)
    page = SequencePage(job)
    assert "To be settled in other parts too, see below: Sole panel at the helm." in page.answer().data
    assert "woven or stitched" in page.other_findings().data and "Hull bottom panel" in page.other_findings().data
    assert not any("SETTLE THIS FIRST" in line for line in job_pages(jobs.load_demo()).summary())


# --- another boat's words and money -------------------------------------------------------------------------------------

def test_prices_by_american_measures_are_the_metric_ones():
    """The same money a kilogram, litre, metre and square metre, written per pound, gallon, yard and square yard."""
    demo = jobs.load_demo()
    items = [entry.item for entry in demo.prices.items]
    places = {item: f"prices.items[{items.index(item)}]" for item in ("iso_polyester", "csm_450", "biax45_1708", "epoxy")}
    as_sold = {f"{places['iso_polyester']}.price": 6.90 * 0.45359237, f"{places['iso_polyester']}.per": "lb",
               f"{places['epoxy']}.price": 19.50 * 3.785411784 * 1.1, f"{places['epoxy']}.per": "gal",
               f"{places['csm_450']}.price": 3.00 * 0.9144**2, f"{places['csm_450']}.per": "yd2",
               f"{places['biax45_1708']}.price": 7.20 * 1.27 * 0.9144, f"{places['biax45_1708']}.per": "yd"}
    job = jobs.update(demo, as_sold)
    metric, us = (take_off(one, parts=["transom"]) for one in (demo, job))
    assert us.buying_cost == pytest.approx(metric.buying_cost) and us.unpriced == metric.unpriced
    old, new = (jobs.schedule(one, "transom_inner_skin") for one in (demo, job))
    assert new.cost_per_m2 == pytest.approx(old.cost_per_m2) and new.unpriced == ()
    assert jobs.prices(job)["epoxy"].amount == pytest.approx(19.50)  # 2:1 by volume of 1.15 and 1.00 weighs 1.1 kg/L


def test_a_container_may_be_a_gallon():
    job = jobs.load_demo()
    place = next(k for k, box in enumerate(job.stock.containers) if box.item == "acetone")
    found = take_off(jobs.update(job, {f"stock.containers[{place}].size": 1, f"stock.containers[{place}].unit": "gal"}))
    (line,) = [line for line in found.buying if line.item == "acetone"]
    assert line.to_buy == pytest.approx(line.packs * 3.785411784) and line.packs >= 1


def test_a_core_is_named_in_the_units_of_the_page(in_us):
    job = jobs.update(jobs.load(in_us), {"parts.sole.chosen": "sole_plywood"})
    said = SequencePage(job, "sole").findings().data
    assert "meranti marine plywood, 0.4724 in is wood" in said and "12 mm" not in said
    assert "meranti marine plywood, 12 mm is wood" in SequencePage(job, "sole", system="metric").findings().data


def test_money_carries_its_name(in_us):
    job = jobs.update(jobs.load(in_us), {"prices.currency": "dollars"})
    assert "material 305 dollars" in page_transom.answer(job) and "-89 dollars" in page_transom.answer(job)
    assert "material cost without waste [dollars]" in set(page_transom.table(job)["figure"])
    assert "[money]" not in page_transom.panel(job).numbers.value


@pytest.fixture
def unknown_core(in_us):
    """The demo with one sole whose core has no shear strength."""
    (in_us.parent / "mine.toml").write_text("""
[[source]]
id = "OWN_SHEET"
citation = "Invented sheet"
how_read = "whole sheet"
status = "source seen"

[[core]]
id = "own_board_300"
name = "own board 300 kg/m3"
family = "pu_board"
status = "source seen"
source = "OWN_SHEET"
density_kg_m3 = 300
e_x_mpa = 900
e_y_mpa = 900
g_xz_mpa = 60
g_yz_mpa = 60
g_xy_mpa = 300
nu_xy = 0.3
compressive_strength_mpa = 4
""", encoding="utf-8")
    text = in_us.read_text(encoding="utf-8").replace('units = "us"', 'units = "us"\nown_materials = "mine.toml"', 1)
    in_us.write_text(text.replace('core = "pu_board_240", thickness_mm = 19, density_kg_m3 = 240', 'core = "own_board_300", thickness_mm = 19'),
                     encoding="utf-8")
    return jobs.load(in_us)


def test_what_is_not_checked_stands_in_picture_table_and_words(unknown_core):
    page = PanelPage(unknown_core)
    live = page.sole_panel()
    assert live.image.value.count(">NOT CHECKED</text>") == 3 and "Not checked: core in shear, wrinkling of the skins." in live.image.value
    assert live.numbers.value.count("NOT CHECKED") == 2
    assert "Nobody knows whether it holds. NOT CHECKED: core in shear; wrinkling of the skins." in live.sentence.value
    assert page.sole_margins().data.count("NOT CHECKED") == 2
    live.controls["option"].widget.value = "sole_plywood"
    assert "NOT CHECKED" not in live.image.value + live.numbers.value + live.sentence.value


def test_a_new_panel_under_pressure_alone_and_without_a_limit_has_its_answer(in_us):
    text = in_us.read_text(encoding="utf-8")
    text = text.replace("patch_load = { force_n = 1200, length_mm = 100, width_mm = 100 }", "pressure_kpa = 5")
    in_us.write_text(text.replace("deflection_limit_span_over = 100\n", ""), encoding="utf-8")
    page = PanelPage(jobs.load(in_us))
    assert "under 0.7252 psi all over" in page.answer_sole().data and "allowed" not in page.answer_sole().data
    assert "no limit asked for" in page.sole_table().data


def test_no_option_is_called_surest_that_nobody_could_check(in_us):
    job = jobs.update(jobs.load(in_us), {"parts.transom.options": ["transom_plywood"], "parts.transom.chosen": "transom_plywood"})
    assert "none of the options is likely to meet every target; the least unlikely is Core option 1" in SurerPage(job).answer().data
    assert "of the options the surest is Core option 3" in SurerPage(jobs.load(in_us)).answer().data


@pytest.mark.parametrize("system", ["metric", "us"])
def test_mat_is_said_to_be_the_same_in_every_direction(system):
    from lamcalc.workbook.page_orientation import OrientationPage

    mat = [{"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester", "count": 5}]
    job = jobs.update(jobs.load_demo(), {"schedules.bottom_original.layers": mat})
    said = OrientationPage(job, "bottom_original", system=system).answer().data
    assert re.search(r"is [\d.]+ (GPa|Msi) stiff, the same in every direction; layer 1, .*, laid 45 deg off changes nothing\.", said)
    assert "between" not in said
    rovings = OrientationPage(jobs.load_demo(), "bottom_original", system=system).answer().data
    assert re.search(r"is between ([\d.]+) (GPa|Msi) and (?!\1)[\d.]+ (GPa|Msi) stiff, depending on the direction", rovings)
    assert "changes the stretching stiffness" in rovings


def test_labels_fit_their_pictures(in_us):
    from lamcalc.workbook import style
    from lamcalc.workbook.page_orientation import OrientationPage

    kept = []
    text = in_us.read_text(encoding="utf-8").replace('{ kind = "ply", reinforcement = "biax090_1808", resin = "iso_polyester" }, # mat', "# mat")
    in_us.write_text(text, encoding="utf-8")
    with style.collected(lambda figure, alt: kept.append(figure)):
        OrientationPage(jobs.load(in_us)).wrong_figure()
    (figure,) = kept
    box = figure.axes[0].xaxis.label.get_window_extent()
    assert box.x0 >= 0 and box.x1 <= figure.bbox.width


def test_bars_of_stiffness_have_room_beside_their_label(in_us):
    drawn = page_transom.panel(jobs.load(in_us))
    assert "1000 lbf in2/in" not in drawn.image.value  # in the still part of the picture
    figures = [float(text) for text in re.findall(r">([\d.]+)</text>", drawn.image.value)]
    assert max(figures) < 10_000


def test_a_number_stays_with_its_unit():
    import pandas as pd

    from lamcalc.workbook import style

    page = style.table_html(pd.DataFrame({"occurs": ["250.0 lbf", "0.1134 kN m2/m", "a long sentence of words"], "build": ["option 1", "", ""]}))
    assert page.count("white-space:nowrap") == 3


def test_the_fabric_panel_starts_with_what_the_job_lays(in_us):
    text = in_us.read_text(encoding="utf-8").replace('reinforcement = "biax45_1708", resin = "iso_polyester", count = 2',
                                                     'reinforcement = "biax45_1208", resin = "vinyl_ester", count = 2')
    in_us.write_text(text, encoding="utf-8")
    controls = ThicknessPage(jobs.load(in_us)).panel().controls
    assert (controls["fabric"].value, controls["resin"].value) == ("biax45_1208", "vinyl_ester")


def test_knees_to_try_lie_on_a_narrow_transom_too(in_us):
    text = in_us.read_text(encoding="utf-8")
    for old, new in (("top_width_mm = 1500", "top_width_mm = 800"), ("chine_width_mm = 1240", "chine_width_mm = 600"), ("net_area_m2 = 0.843", ""),
                     ("cut_out_width_mm = 480", "cut_out_width_mm = 0"), ("cut_out_depth_mm = 130", "cut_out_depth_mm = 0")):
        assert old in text
        text = text.replace(old, new)
    in_us.write_text(text, encoding="utf-8")
    job = jobs.load(in_us)
    assert set(page_transom.knees(job, system="metric")["knees from the centreline [mm]"]) == {200.0}
    assert set(page_transom.knees(jobs.load_demo())["knees from the centreline [mm]"]) == {400.0}
    assert "cut-out" not in page_transom.figure(job)


def test_options_called_alike_are_both_compared(in_us):
    job = jobs.update(jobs.load(in_us), {"schedules.transom_plywood.title": "Core", "schedules.transom_board.title": "Core"})
    names = [result.name for result in page_transom._comparison(job).options]
    assert names == ["Core (transom_plywood)", "Core (transom_board)", "Core option 3: 38 mm cast core"]


def test_catalyst_is_measured_in_millilitres_everywhere_and_limits_in_the_units_of_the_page(in_us):
    from lamcalc.workbook.page_batches import BatchesPage

    page = BatchesPage(jobs.load(in_us))
    assert "catalyst or hardener [mL]" in page.table().data and "fl oz" not in page.table().data + page.answer().data
    assert "laminate laid in one session: 0.1969 in (0.1575-0.2362)" in page.inputs().data and "5 mm" not in page.inputs().data
    assert "laminate laid in one session: 5 mm (4-6)" in BatchesPage(jobs.load_demo()).inputs().data
