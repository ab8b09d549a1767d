"""Pages in US units: no sentence or cell leaves the crew with a metric figure alone, and none in metric with a US one."""

import re
from html import unescape

import pytest

from lamcalc.mechanics.margins import design_factor
from lamcalc.parts.layer_strength import WorstLayer, layer_margin
from lamcalc.schedule import CoreLayer, layer_name
from lamcalc.shop import job as jobs
from lamcalc.shop import limits
from lamcalc.shop.answer import comparison_page
from lamcalc.shop.handover import handover_page
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.shop.sheet import part_sheet
from lamcalc.shop.whole_job import whole_job
from lamcalc.sentences import told
from lamcalc.workbook.page_checks import check_name
from tests.behaviour.notebook_runs import run, shell

pytestmark = pytest.mark.behaviour

_METRIC_UNIT = (r"(?:mm|cm|m|mm²|cm²|m²|mm2|m2|cm³|mm³|GPa|MPa|kPa|N/mm|kg/m³|kg/m3|kg/m²|g/m²|g/m2|kg|g|m3/h|m³/h|L|mL"
                r"|°C|degC|N|kN|N m)(?![\w/²³])")
_US_UNIT = (r"(?:in|in²|ft|ft²|ft³|ft³/min|yd|mil|oz|lb|lbf|psi|Msi|gal|fl oz|°F|degF|oz/ft²|oz/yd²|oz/ft2|oz/yd2"
            r"|lb/ft³|lb/ft3|lb/ft²|lbf/in|ft lbf)(?![\w/²³])")
_NUMBER = r"\d[\d.,/]*(?: (?:to|[x×]) \d[\d.,/]*| \d+/\d+)*"
_METRIC, _US = (re.compile(rf"(?<![\w.]){_NUMBER} ?{unit}") for unit in (_METRIC_UNIT, _US_UNIT))
_BOTH = re.compile("|".join(rf"{_NUMBER} ?{one},? ?\([^()]*\d ?{two}[^()]*\)"
                            for one, two in ((_METRIC_UNIT, _US_UNIT), (_US_UNIT, _METRIC_UNIT))))
# texts of the owner of the job; what is dosed with a syringe or weighed by a standard in metric everywhere
_SPOKEN = re.compile(r"Engine bracket moves\..*|Tap dull.*|Crack in the bottom.*|(?:Sole|Core) option \d: [^.:;,]*"
                     r"|[\d.]+ mL = [\d.]+ g catalyst|[\d.]+ mL(?=\.)|about 5 g\b|weigh to 1 mg")


@pytest.fixture(scope="module")
def whole():
    return whole_job(jobs.load_demo())


def cells(page):
    page = re.sub(r"<(style|svg).*?</\1>", "", page, flags=re.S)
    page = re.sub(r"</?(?:b|i|em|strong|small|span)\b[^>]*>", "", page)
    return [" ".join(unescape(part).replace("\u00a0", " ").split()) for part in re.split(r"<[^>]+>", page)]


def lonely(texts, unit=_METRIC):
    """Texts that hold a figure of one system without its counterpart in brackets behind it."""
    return [text for text in dict.fromkeys(texts)
            if not text.startswith("(") and unit.search(_SPOKEN.sub("", _BOTH.sub("", text)))]


def metric_only(page):
    return lonely(cells(page))


def test_the_search_itself_finds_a_metric_figure():
    assert metric_only("<p>a mean of 37 kPa: stop</p><td>19 mm</td><td>0.75 in (19 mm)</td>") == ["a mean of 37 kPa: stop", "19 mm"]
    board = "board 240 kg/m3 (15 lb/ft3), "
    mixed = "59 1/16 in (1500 mm) at 20 degC"
    assert lonely([f"{board}19 mm", f"{board}0.748 in", mixed]) == [f"{board}19 mm", mixed]
    assert lonely([f"{board}19 mm", f"{board}0.748 in"], _US) == [f"{board}0.748 in"]


@pytest.mark.parametrize("part", ["transom", "stringers", "bottom", "sole"])
def test_sheets_in_us_units_leave_no_metric_figure_alone(whole, part):
    work = next(work for work in whole.parts if work.name == part)
    assert metric_only(part_sheet(whole.job, work, system="us")) == []


def test_handover_and_comparison_in_us_units_leave_no_metric_figure_alone(whole):
    assert metric_only(handover_page(whole, system="us")) == []
    assert metric_only(comparison_page(whole.job, transom_comparison(whole.job), "us")) == []


_TRADE = re.compile(r"\d+ oz/yd[2²] \+ 3/4 oz/ft[2²] \(\d+ g/m[2²]\)")


def test_pages_in_metric_units_leave_no_us_figure_alone(whole):
    """But for the trade names of stitched fabrics, which hold two weights in ounces and their sum in grams."""
    pages = [part_sheet(whole.job, work, system="metric") for work in whole.parts]
    pages += [handover_page(whole, system="metric"), comparison_page(whole.job, transom_comparison(whole.job), "metric")]
    texts = [_TRADE.sub("", cell) for page in pages for cell in cells(page)]
    assert len(texts) > 1000 and lonely(texts, _US) == [] and lonely([*texts, "a gap of 0.5 in"], _US) == ["a gap of 0.5 in"]


def other_boat():
    """A job in US units whose smallest margins lie in plywood, so that their names hold its thickness."""
    text = jobs.load_demo().text
    for old, new in (('units = "metric"', 'units = "us"'), ('chosen = "transom_cast"', 'chosen = "transom_plywood"'),
                     ('chosen = "sole_board"', 'chosen = "sole_plywood"')):
        assert old in text
        text = text.replace(old, new, 1)
    return text


@pytest.fixture(scope="module")
def us_job(tmp_path_factory):
    path = tmp_path_factory.mktemp("us") / "skiff.toml"
    path.write_text(other_boat(), encoding="utf-8")
    return jobs.load(path)


def test_everything_written_for_another_job_in_us_units_leaves_no_metric_figure_alone(us_job):
    pages = job_pages(us_job, system="us")
    assert not pages.problems and len([name for name in pages.texts if name.endswith(".html")]) == 6
    assert {name: metric_only(text) for name, text in pages.texts.items() if name.endswith(".html") and metric_only(text)} == {}
    assert lonely(pages.summary()) == []
    names = {told(margin.name, "us") for work in pages.whole.parts for margin in work.margins}
    assert any("plywood, 0.7087 in" in name for name in names) and any("plywood, 0.4724 in" in name for name in names)


# cells that stand in the units of their sources: published cases, what people say, formulas in the units they are written for
_OF_THE_SOURCE = ("page.check()", "page.claims()", "page.inputs()", "page.limits()")


@pytest.mark.parametrize("name", ["03", "04", "05", "08", "09", "10", "11"])
def test_notebooks_of_a_job_in_us_units_leave_no_metric_figure_alone(us_job, name, monkeypatch):
    monkeypatch.setenv("LAMCALC_JOB", str(us_job.source_path))
    monkeypatch.chdir(us_job.source_path.parent)
    with shell() as inside:
        found = run(name, inside=inside)
    shown = [text for source, text, _ in found.cells
             if "other units" not in source and not any(call in source for call in _OF_THE_SOURCE)]
    assert not found.stopped and len(shown) > 3
    assert lonely(cell for text in shown for line in text.split("\n") for cell in line.split(" | ")) == []


def test_a_margin_name_is_told_in_either_system_and_stays_the_metric_text():
    core = jobs.catalogue(jobs.load_demo()).core("ply_meranti")
    margin = layer_margin("core", WorstLayer(2.0, 0, layer_name(CoreLayer(core, 12.7)), "transverse tension", 1e-3), 5.0,
                          design_factor("iso_plywood"))
    assert margin.name == "core: meranti marine plywood, 12.7 mm, transverse tension" and margin.name.startswith("core: ")
    assert check_name(margin, "us") == "core: transverse tension of meranti marine plywood, 0.5 in"
    assert check_name(margin) == "core: transverse tension of meranti marine plywood, 12.7 mm"


def test_limits_and_their_ranges_are_told_in_either_system():
    assert str(limits.SESSION_THICKNESS) == limits.SESSION_THICKNESS.words
    assert str(limits.SESSION_THICKNESS).startswith("laminate laid in one session: 5 mm (4-6) [common practice: ")
    told_in_us = {name: told(limit.words, "us").partition(" [")[0] for name, limit in vars(limits).items()
                  if isinstance(limit, limits.Limit)}
    assert told_in_us["SESSION_THICKNESS"] == "laminate laid in one session: 0.1969 in (0.1575-0.2362)"
    assert told_in_us["TEMPERATURE_FLOOR"] == "lowest laminating temperature: 59 degF (59-64.4)"
    assert told_in_us["WET_OUT_RATE"] == "wet-out rate of one person: 0.2205 lb/min (0.1102-0.3307)"
    kept = {"BURN_OFF_MASS", "FILLET_HEAVY"}  # weighed in grams by its standard everywhere; trade weight of a roving
    assert {name for name, words in told_in_us.items() if lonely([words]) and "for 10 degC" not in words} == kept
