"""The sheet of a part and the handover page: complete, self-contained, escaped, in both unit systems."""

import math
import re
from dataclasses import replace
from html.parser import HTMLParser
from itertools import pairwise
from types import SimpleNamespace

import pytest
from lamcalc.shop.whole_job import whole_job

from lamcalc.mechanics.margins import Margin, design_factor
from lamcalc.shop import job as jobs
from lamcalc.shop.handover import handover_page
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.lists_csv import buying_rows, cutting_rows
from lamcalc.shop.sheet import part_sheet
from lamcalc.shop.sheet_checks import in_words, margin_table, quality_limits, remarks
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_words import Words, fibre_directions, for_print, sixteenths
from lamcalc.shop.stack_drawing import drawing_scale, stack_drawing
from lamcalc.sentences import told

pytestmark = pytest.mark.behaviour
PARTS = ("transom", "stringers", "bottom", "sole")


class Text(HTMLParser):
    """Visible text, tags and attributes of a page."""

    VOID = frozenset({"meta", "path", "rect", "circle"})

    def __init__(self, page):
        super().__init__()
        self.words, self.tags, self.attributes, self._skip = [], [], [], 0
        self.feed(page)
        self.text = re.sub(r"\s+", " ", " ".join(self.words))

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, *pair) for pair in attrs]
        self._skip += tag == "style"

    def handle_endtag(self, tag):
        self._skip -= tag == "style"

    def handle_data(self, data):
        if not self._skip:
            self.words.append(data)


def printed(text):
    """A text as it comes out on paper, spaces plain."""
    return for_print(text).replace("\u00a0", " ")


@pytest.fixture(scope="module")
def whole():
    return whole_job(jobs.load_demo())


@pytest.fixture(scope="module")
def sheets(whole):
    return {(work.name, system): part_sheet(whole.job, work, system=system)
            for work in whole.parts for system in ("metric", "us")}


def test_every_part_of_the_demo_has_a_sheet(whole):
    assert tuple(work.name for work in whole.parts) == PARTS


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("part", PARTS)
def test_a_page_loads_nothing_and_runs_nothing(sheets, part, system):
    page = Text(sheets[part, system])
    assert not {"script", "link", "img", "iframe", "object", "form"} & set(page.tags)
    assert not [a for a in page.attributes if a[1] in ("src", "href") or a[1].startswith("on")]
    urls = [value for _, name, value in page.attributes if value and "://" in value and name != "xmlns"]
    assert not urls and "@import" not in sheets[part, system]


@pytest.mark.parametrize("system", ["metric", "us"])
@pytest.mark.parametrize("part", PARTS)
def test_every_piece_resin_layer_and_total_is_on_the_page(whole, sheets, part, system):
    work, words = next(w for w in whole.parts if w.name == part), Words(system)
    text = Text(sheets[part, system]).text.replace("\u00a0", " ")
    stack = jobs.schedule(whole.job, work.take_off.schedule)
    assert words.one(stack.total_thickness_mm, "thickness") in text
    for piece in work.take_off.pieces:
        assert piece.label in text
        assert printed(words.tape(piece.along_mm, piece.across_mm)) in text
    for use in work.take_off.resins:
        assert words.mass(use.stays_kg) in text and words.mass(use.to_buy_kg) in text
        assert use.catalyst_ml is None or f"{use.catalyst_ml:.1f} mL = {use.catalyst_g:.1f} g catalyst" in text
    for item in sheet_layers(whole.job, work.take_off):
        assert words.both(item.thickness_mm, "thickness") in text
    for margin in work.margins or ():
        assert printed(margin.name) in text and printed(margin.factor.rule) in text


@pytest.mark.parametrize("part", PARTS)
def test_every_block_the_crew_needs_is_there(sheets, part):
    text = Text(sheets[part, "metric"]).text
    for words in ("Before the first ply", "What is laid, first layer first", "Cut", "Mix", "Protect yourself", "Fire:",
                  "Waste:",
                  "respirator", "humidity", "gel seen", "initials", "Measure afterwards", "Margins",
                  "What nobody has verified",
                  "licensed designer or surveyor", "ASTM D2583"):
        assert words in text, words


def test_what_is_from_memory_is_named_on_the_sheets(whole, sheets):
    for work in whole.parts:
        text = Text(sheets[work.name, "metric"]).text.replace("\u00a0", " ")
        assert work.unverified
        assert "from memory" in text or "assumed" in text


def test_the_transom_is_laid_from_the_outer_skin_inwards_and_the_patch_from_inside_out(whole):
    layers = {work.name: sheet_layers(whole.job, work.take_off) for work in whole.parts}
    assert [item.existing for item in layers["transom"]][:3] == [True, True, False]
    assert [item.piece for item in layers["transom"] if item.piece][:3] == ["laminate 1", "laminate 2", "laminate 3"]
    patch = layers["bottom"]
    assert [item.layer_number for item in patch] == [7, 6, 5, 4, 3, 2, 1]
    assert patch[0].layer.resin.id == "vinyl_ester" and patch[-1].layer.name.startswith("gel coat")
    sums = [item.running_mm for item in patch]
    assert sums == sorted(sums) and sums[-1] == pytest.approx(jobs.schedule(whole.job,
                                                                            "bottom_patch_rovings").total_thickness_mm)


def test_mat_towards_the_bond_is_said_right_for_a_patch_from_outside():
    job = jobs.update(jobs.load_demo(), {"parts.bottom.chosen": "bottom_patch_stitched"})
    part = job_pages(job).whole.take_off.parts["bottom"]
    sides = {item.mat_towards for item in sheet_layers(job, part)}
    assert sides == {"-", "down, to what is there"}
    sole = {item.mat_towards for item in sheet_layers(job, job_pages(job).whole.take_off.parts["sole"])}
    assert sole == {"-", "UP, away from what is there", "down, to what is there"}


def test_bands_of_the_drawing_add_up_to_the_layer(whole):
    for work in whole.parts:
        for item in sheet_layers(whole.job, work.take_off):
            assert sum(t for _, t, _ in item.bands) == pytest.approx(item.thickness_mm, rel=1e-9)


def test_drawing_is_to_scale(whole):
    work = whole.parts[0]
    layers = sheet_layers(whole.job, work.take_off)
    svg = stack_drawing(layers, Words("metric"))
    total = max(item.running_mm for item in layers if item.running_mm is not None)
    heights = [float(h) for h in re.findall(r'<rect x="4\.0" y="[\d.]+" width="62\.0" height="([\d.]+)"', svg)]
    assert sum(heights) == pytest.approx(total * drawing_scale(total), abs=0.01)
    places = [float(y) for y in re.findall(r'<text x="78\.0" y="([\d.]+)"', svg)]
    assert len(places) == 11
    assert min(abs(a - b) for a, b in pairwise(places)) >= 4.5  # labels never lie on each other


@pytest.mark.parametrize("total", [0.1, 0.7, 5.95, 48.7, 300.0])
def test_any_stack_fits_the_paper(total):
    assert 0 < drawing_scale(total) * total <= 62.0


@pytest.mark.parametrize("system", ["metric", "us"])
def test_handover_says_found_put_in_margin_verdict_and_unverified(whole, system):
    text = Text(handover_page(whole, system=system)).text.replace("\u00a0", " ")
    for words in ("What was found", "lower 60 % soft", "What was put in", "With what margin",
                  "Did it come out as planned",
                  "What nobody has verified", "taken over by, signature", "promises no strength", "tightened again"):
        assert words in text, words
    transom = next(work for work in whole.parts if work.name == "transom")
    for check in transom.quality.report.checks:
        assert check.name in text and printed(told(check.words, system)) in text
    for work in whole.parts:
        assert work.title in text
        if work.margins:
            least = min(work.margins, key=lambda m: m.reserve_factor)
            assert printed(least.name) in text and least.verdict in text


HOSTILE = {"name": "<script>alert(1)</script>", "craft.description": '"><img src=x onerror=alert(1)>',
           "parts.transom.title": "=1+1 <b>", "survey.transom.found": "{{ 7*7 }} </table>", "notes": ["<svg onload=x>"]}


def test_texts_of_a_job_come_out_escaped():
    job = jobs.update(jobs.load_demo(), HOSTILE)
    pages = job_pages(job)
    for name, page in pages.texts.items():
        if name.endswith(".html"):
            found = Text(page)
            assert not {"script", "img"} & set(found.tags), name
            assert not [a for a in found.attributes if a[1].startswith("on")], name
    handover = pages.texts["handover.html"]
    assert "&lt;script&gt;" in handover and "{{ 7*7 }}" in handover and "49 &lt;" not in handover


def test_a_material_called_like_a_formula_is_neutralised_in_the_lists_and_escaped_on_the_page():
    layers = [{"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester"},
              {"kind": "solid", "name": "=1+1", "thickness_mm": 3.0, "e_mpa": 8500, "density_kg_m3": 1500,
               "status": "assumed",
               "existing": False},
              {"kind": "ply", "reinforcement": "csm_450", "resin": "iso_polyester"}]
    job = jobs.update(jobs.load_demo(), {"schedules.sole_plywood.layers": layers, "parts.sole.chosen": "sole_plywood",
                                         "parts.sole.title": "@sum(<i>)"})
    texts = job_pages(job).texts
    assert "'=1+1" in texts["buying.csv"]
    assert not re.search(r"(?m)(^|,)\"?[=+@-](?![\d.])", texts["buying.csv"] + texts["cutting.csv"])
    assert "@sum(&lt;i&gt;)" in texts["sheet_sole.html"] and "=1+1" in texts["sheet_sole.html"]


def test_lists_hold_every_piece_and_item_once(whole):
    cut = cutting_rows(whole.take_off)
    assert len(cut) == 1 + sum(len(part.pieces) for part in whole.take_off.parts.values())
    assert all(len(row) == len(cut[0]) for row in cut)
    buy = buying_rows(whole.take_off)
    assert len(buy) == 2 + len(whole.take_off.buying)
    column = next(k for k, name in enumerate(buy[0]) if name.startswith("cost"))
    assert buy[-1][column] == pytest.approx(sum(row[column] for row in buy[1:-1] if row[column] != ""), abs=0.01)


def test_a_part_that_cannot_be_computed_is_named_and_the_others_are_made():
    job = jobs.update(jobs.load_demo(), {"stock.rolls": [], "shop.hull_temperature_c": 17.0})
    good = set(job_pages(job).texts)
    nothing = jobs.update(job, {"parts.sole.chosen": None})
    found = job_pages(nothing)
    assert any("sole" in line and "chosen" in line for line in found.problems)
    assert good - set(found.texts) == {"sheet_sole.html"}
    assert found.problems[0].split(":")[0] in Text(found.texts["handover.html"]).text


@pytest.mark.parametrize("mm, words",
                         [(25.4, "1"), (1.5875, "1/16"), (12.7, "1/2"), (1500, "59 1/16"), (0.1, "0"), (25.0, "1"),
                                       (38.1, "1 1/2")])
def test_inches_are_read_like_a_tape(mm, words):
    assert sixteenths(mm) == words


def test_directions_follow_the_ply_angle():
    schedule = jobs.schedule(jobs.load_demo(), "transom_inner_skin")
    from dataclasses import replace
    ply = schedule.layers[2]
    assert fibre_directions(ply) == "+45/-45"
    assert fibre_directions(replace(ply, angle_deg=45.0)) in ("0/90", "90/0")
    assert fibre_directions(replace(schedule.layers[1], angle_deg=45.0)) == "+45/-45"


def test_margin_words_in_both_systems():
    assert in_words(10.0, "MPa", Words("us")).endswith(" psi")
    assert in_words(10.0, "MPa", Words("metric")).endswith(" MPa")
    assert in_words(3.0, "furlong", Words("us")) == "3 furlong"
    assert in_words(math.nan, "MPa", Words("us")) == "-"
    assert margin_table(None, Words("metric")).rows == ()


def test_remarks_sort_into_stop_and_mind(whole):
    finding = SimpleNamespace(severity="refuse", rule_id="x", do="stop.", wrong="No.", plies=(1,))
    stops, notes = remarks(SimpleNamespace(findings=(finding,)))
    assert stops == [{"word": "Stop", "wrong": "No.", "do": "Stop."}] and notes == []
    assert remarks(None) == ([], [])


def test_a_margin_that_does_not_hold_stands_on_top_of_the_sheet(whole):
    low = Margin("skin in tension", 60.0, 85.0, design_factor("iso_ply"), "MPa")
    work = replace(whole.parts[0], margins=(low,), rule_checks=())
    page = part_sheet(whole.job, work)
    text = Text(page).text
    assert "A margin does not hold" in text and "skin in tension, reserve factor 0.71" in text
    assert text.index("A margin does not hold") < text.index("Before the first ply")
    works = SimpleNamespace(job=whole.job, parts=(replace(work, survey=None),), take_off=whole.take_off)
    assert "does not hold or does not meet a rule in 1 check: skin in tension" in Text(handover_page(works)).text


def test_quality_limits_carry_the_measured_stack(whole):
    work = whole.parts[0]
    stack = jobs.schedule(whole.job, work.take_off.schedule)
    rows = quality_limits(stack, work.take_off, sheet_layers(whole.job, work.take_off), Words("metric")).rows
    assert any("laminate 5 to 9" in row[0] and row[1].startswith("5.51 mm") for row in rows)
