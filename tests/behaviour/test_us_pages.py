"""Pages in US units: no sentence or cell leaves the crew with a metric figure alone."""

import re
from html import unescape

import pytest

from lamcalc.shop.answer import comparison_page
from lamcalc.shop.handover import handover_page
from lamcalc.shop.job import load_demo
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.shop.sheet import part_sheet
from lamcalc.shop.whole_job import whole_job

pytestmark = pytest.mark.behaviour

_UNIT = (r"(?:mm|cm|m|mm²|cm²|m²|mm2|m2|cm³|mm³|MPa|kPa|N/mm|kg/m³|kg/m3|kg/m²|g/m²|g/m2|kg|g|m3/h|m³/h|L|°C|degC|N|kN|N m)"
         r"(?![\w/²³])")
_METRIC = re.compile(rf"(?<![\w.])\d[\d.,]* ?{_UNIT}")
_US = re.compile(r"\d ?(?:in|ft|oz|lb|lbf|psi|Msi|gal|°F|degF|mil|fl oz|yd)\b|\d (?:oz/|lb/|lbf|ft)")
# texts of the owner of the job, trade names of goods, and what is dosed with a syringe or a metric scale everywhere
_SPOKEN = ("Tap dull", "Crack in the bottom", "Sole option", "Core option", " catalyst", "coupon", "marine plywood")


@pytest.fixture(scope="module")
def whole():
    return whole_job(load_demo())


def cells(page):
    page = re.sub(r"<(style|svg).*?</\1>", "", page, flags=re.S)
    page = re.sub(r"</?(?:b|i|em|strong|small|span)\b[^>]*>", "", page)
    return [" ".join(unescape(part).replace("\u00a0", " ").split()) for part in re.split(r"<[^>]+>", page)]


def metric_only(page):
    lonely = (text for text in cells(page) if _METRIC.search(text) and not _US.search(text))
    return [text for text in lonely if not text.startswith("(") and not any(word in text for word in _SPOKEN)]


def test_the_search_itself_finds_a_metric_figure():
    assert metric_only("<p>a mean of 37 kPa: stop</p><td>19 mm</td><td>0.75 in (19 mm)</td>") == ["a mean of 37 kPa: stop", "19 mm"]


@pytest.mark.parametrize("part", ["transom", "stringers", "bottom", "sole"])
def test_sheets_in_us_units_leave_no_metric_figure_alone(whole, part):
    work = next(work for work in whole.parts if work.name == part)
    assert metric_only(part_sheet(whole.job, work, system="us")) == []


def test_handover_and_comparison_in_us_units_leave_no_metric_figure_alone(whole):
    assert metric_only(handover_page(whole, system="us")) == []
    assert metric_only(comparison_page(whole.job, transom_comparison(whole.job), "us")) == []
