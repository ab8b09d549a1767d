"""Sizes, counts and factors that give a comfortable margin because they cannot be meant are asked about."""

import re

import pytest

from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_text import read
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.workbook.page_stringer import StringerPage


def changed(*changes):
    """The demo with some of its text changed."""
    text = jobs.load_demo().text
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return read(text)


VEE = "vee_mm = {}\ncut_out_width_mm = 480\ncut_out_depth_mm = 130\n"
# one row an entry: part, text of the demo, the slip, what is asked, the nearest entry that is not asked about
ROWS = [
    ("stringers", "spacing_mm = 460", "spacing_mm = 46", "stringers 46 mm apart, middle to middle", "spacing_mm = 110"),
    ("stringers", "span_mm = 900\npressure", "span_mm = 90\npressure", "a span of 90 mm for a stringer 95 mm high", "span_mm = 285\npressure"),
    ("stringers", "crown_width_mm = 70", "crown_width_mm = 700", "a cap of 700 mm on a crown of 70 mm", "crown_width_mm = 85"),
    ("bottom", "damage_width_mm = 70", "damage_width_mm = 780", "reaches beyond the panel of 900 mm x 460 mm", "damage_width_mm = 400"),
    ("bottom", "damage_length_mm = 240", "damage_length_mm = 800", "reaches beyond the panel of 900 mm x 460 mm", "damage_length_mm = 700"),
    ("bottom", "crack_length_mm = 240", "crack_length_mm = 400", "a crack of 400 mm does not lie in the 240 mm x 70 mm that is cut out",
     "crack_length_mm = 250"),
    ("sole", "length_mm = 100, width_mm = 100", "length_mm = 1000, width_mm = 400", "1200 N spread over 1000 mm x 400 mm press 3 kPa",
     "length_mm = 600, width_mm = 400 }\npressure_kpa = 5 #"),
    ("transom", "number = 4", "number = 14", "7 bolts a row with plates of 60 mm do not fit into 327 mm", "number = 12"),
    ("transom", "knees_at_mm = []", "knees_at_mm = [-12, 12]", "knees 24 mm apart stand on each other where each is 50 mm wide",
     "knees_at_mm = [-300, 0, 300]"),
    ("transom", "length_mm = 3100", "length_mm = 310", "a joint of 310 mm is shorter than the transom is wide at the chines, 1240 mm", "length_mm = 1240"),
    ("sole", "piece_length_mm = 2550", "piece_length_mm = 255", "a whole piece of 255 mm x 1180 mm is smaller than one span of it, 1180 mm x 460 mm",
     "piece_length_mm = 460"),
    ("stringers", "length_mm = 3200", "length_mm = 320", "a stringer of 320 mm is shorter than its span of 900 mm", "length_mm = 900"),
    ("transom", VEE.format(90) + "net_area_m2 = 0.843\n", VEE.format(900), "a vee 900 mm deep under chines 1240 mm apart", VEE.format(310)),
    ("transom", "row_spacing_mm = 200", "row_spacing_mm = 520", "bolt rows 520 mm apart", "row_spacing_mm = 500"),
    ("transom", 'top = "free"', 'top = "clamped"', "top edge is entered as clamped", 'top = "simply_supported"'),
    ("transom", "trailering_factor = 2.5", "trailering_factor = 1.5", "a factor of 1.5 on the engine's weight", "trailering_factor = 2"),
]


def asked(job, name):
    return [str(line) for line in entry_doubts(job, name) if "The thrust taken" not in line]


@pytest.mark.parametrize(("name", "old", "slip", "said", "fair"), ROWS)
def test_the_slip_is_asked_about_and_its_neighbour_is_not(name, old, slip, said, fair):
    (line,) = asked(changed((old, slip)), name)
    assert said in line
    assert asked(changed((old, fair)), name) == []


def test_the_demo_is_asked_about_nothing_of_this():
    demo = jobs.load_demo()
    assert [asked(demo, name) for name in demo.parts] == [[], [], [], []]


def test_tapes_that_hardly_hold_are_asked_about():
    legs = [(f"leg_mm = {leg} }}", f"leg_mm = {leg / 10} }}") for leg in (50, 75, 100)]
    (line,) = asked(changed(*legs), "transom")
    assert "legs of 10 mm at most" in line
    assert asked(changed(*legs[:2]), "transom") == []


def test_in_us_units_no_metric_figure_is_left():
    for name, old, slip, _, _ in ROWS:
        for line in entry_doubts(changed((old, slip)), name):
            words = told(line, "us")
            assert " mm" not in words and " N " not in words and "kPa" not in words, words


def test_a_mean_patch_pressure_counts_on_decks_alone():
    wide = changed(("length_mm = 100, width_mm = 100", "length_mm = 1000, width_mm = 400"), ('title = "Sole panel at the helm"', 'title = "Lid"'),
                   ("[parts.sole]", "[parts.lid]"), ("[parts.sole.edges]", "[parts.lid.edges]"), ("[survey.sole]", "[survey.lid]"))
    assert asked(wide, "lid") == []


def test_screen_sheet_and_handover_ask_about_a_spacing():
    pages = job_pages(changed(("spacing_mm = 460", "spacing_mm = 46")))
    assert any(line.startswith("CHECK THE ENTRY: ") and "stringers 46 mm apart" in line for line in pages.summary())
    for name in ("sheet_stringers.html", "handover.html"):
        words = " ".join(re.sub(r"<[^>]+>", "", pages.texts[name]).split())
        assert "tringers 46 mm apart" in words, name


def test_the_live_panel_asks_about_a_span_too_short_for_the_height():
    panel = StringerPage(jobs.load_demo()).panel()
    panel.controls["height_mm"].widget.value = 200
    assert panel.asked.value == ""
    panel.controls["span_mm"].widget.value = 500
    assert "a span of 500 mm for a stringer 200 mm high" in panel.asked.value


def test_a_weight_factor_is_practice_only_where_it_is_the_practice():
    from lamcalc.parts import loads

    engine, bolts = loads.OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560), loads.BoltPattern(12, 327, 200, 60, 60, 5)
    statuses = {factor: next(f.status for f in loads.transom_load(engine, bolts, trailering_factor=factor).factors if f.symbol == "n")
                for factor in (1.0, 2.0, 2.5, 3.0, 4.0)}
    assert statuses == {1.0: "user", 2.0: "common practice", 2.5: "common practice", 3.0: "common practice", 4.0: "user"}
