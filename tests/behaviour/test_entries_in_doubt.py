"""Entries that can be computed with but hardly meant: they are asked about, and what is refused says plainly what is taken."""

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest

from lamcalc.errors import InputError
from lamcalc.parts import loads
from lamcalc.parts.panel import assess_panel
from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.floor_entry import floor_doubts
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_panel import panel_case
from lamcalc.shop.job_text import read
from lamcalc.shop.part_entry import entry_doubts
from lamcalc.shop.pressure_entry import lowest_pressure_kpa
from lamcalc.shop.scarf import scarf_plan
from lamcalc.workbook.page_batches import BatchesPage
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_stringer import StringerPage
from lamcalc.workbook.page_takeoff import TakeOffPage


def changed(*changes):
    """The demo with some of its text changed."""
    text = jobs.load_demo().text
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return read(text)


@pytest.mark.parametrize(("old", "new", "next_step"), [
    ("span_mm = 900", "span_mm = 0.9", "Next: check the unit and the number; 1 mm is the least that is taken; "
                                       'if it is in inches, write "0.9 in" in quotation marks.'),
    ("span_mm = 900", 'span_mm = "2000 ft"', "Next: check the unit and the number; 1181 in is the most that is taken."),
    ("humidity_percent = 63", "humidity_percent = 163", "Next: check the unit and the number; 100 % is the most that is taken."),
])
def test_a_refused_number_is_told_what_is_taken(old, new, next_step):
    with pytest.raises(jobs.JobError) as caught:
        changed((old, new))
    assert str(caught.value).endswith(next_step)


def test_a_number_refused_on_a_page_is_told_in_the_units_of_the_page():
    with pytest.raises(jobs.JobError) as caught:
        jobs.update(jobs.load_demo(), {"parts.stringers.span_mm": 60_000.0})
    assert "1181 in is the most that is taken" in told(caught.value.words(), "us")
    assert "30000 mm is the most that is taken" in str(caught.value)


def test_a_scarf_steeper_than_any_tested_is_refused_when_the_job_is_read_in_the_words_of_the_plan():
    with pytest.raises(InputError) as planned:
        scarf_plan([1.0, 1.0], hole_length_mm=100, hole_width_mm=50, ratio=5)
    with pytest.raises(jobs.JobError) as caught:
        changed(("scarf_ratio = 12", "scarf_ratio = 5"))
    assert planned.value.rule in str(caught.value) and planned.value.next_step in str(caught.value)
    assert "parts.bottom.repair.scarf_ratio" in str(caught.value) and "line " in str(caught.value)
    assert changed(("scarf_ratio = 12", "scarf_ratio = 6")).parts["bottom"].repair.scarf_ratio == 6


# --- pressures ----------------------------------------------------------------------------------------------------------

STRINGERS = ("pressure_kpa = 18\npressure_status", "pressure_kpa = {}\npressure_status")
BOTTOM = ("pressure_kpa = 18\nload_status", "pressure_kpa = {}\nload_status")


def words(pages, name):
    """The text of a page without its marks."""
    return " ".join(re.sub(r"<[^>]+>", "", pages.texts[name]).split())


def with_pressure(place, entry):
    return changed((place[0], place[1].format(entry)))


@pytest.mark.parametrize(("place", "name"), [(STRINGERS, "stringers"), (BOTTOM, "bottom")])
def test_kpa_entered_for_psi_is_asked_about(place, name):
    (doubt,) = entry_doubts(with_pressure(place, 2.2), name)
    assert "2.2 kPa" in doubt and "bottom of any boat of 5.4 m" in doubt and "own choice" in doubt and '"2.2 psi"' in doubt
    assert "kPa" not in told(doubt, "us") and "17.7 ft" in told(doubt, "us")
    assert entry_doubts(with_pressure(place, '"2.2 psi"'), name) == ()


def test_the_least_pressure_is_never_above_what_the_package_computes_for_a_boat_of_that_length():
    demo = jobs.load_demo()
    boats = ((250, 4.0, 0.9, 0, 4), (250, 5.0, 1.8, 25, 30), (900, 4.9, 1.5, 14, 24), (2500, 5.2, 2.0, 20, 8))
    areas = [loads.LoadedArea(*one) for one in (("panel", 460, 900), ("stiffener", 460, 900), ("panel", 1200, 2400))]
    for mass, waterline, beam, deadrise, speed in boats:
        craft = loads.MotorCraft(mass, waterline, beam, deadrise, speed, "D")
        for area in areas:
            for x in (0.0, 0.4, 1.0):
                side = loads.side_pressure(craft, area, x_over_lwl=x, height_m=0.5, topside_height_m=0.5)
                assert loads.bottom_pressure(craft, area, x_over_lwl=x).value_kn_m2 >= lowest_pressure_kpa(demo, "bottom")
                assert side.value_kn_m2 >= lowest_pressure_kpa(demo, "side")
                assert loads.deck_pressure(craft, area, x_over_lwl=x).value_kn_m2 >= lowest_pressure_kpa(demo, "deck")


def test_the_least_pressure_by_hand():
    # 0.45 m^0.333 + 0.9 LWL kDC, kDC = 0.4 (Chirica and Lupascu 2014, Table 2), with 104 + 75 kg and 0.7 x 5.4 m
    demo = jobs.load_demo()
    assert lowest_pressure_kpa(demo, "bottom") == pytest.approx(0.45 * 179 ** 0.333 + 0.9 * 3.78 * 0.4)
    assert lowest_pressure_kpa(demo, "side") == pytest.approx(0.9 * 3.78 * 0.4)


def test_nothing_is_asked_where_no_rule_applies():
    for title, asked in (("Bulkhead", 0), ("Locker lid", 0), ("Hull bottom", 1), ("Cockpit floor", 1), ("Foredeck", 1), ("Walkway", 1), ("Bathing platform", 1), ("Patch from outside", 0)):
        renamed = [(f"[{table}]", f"[{table.replace('bottom', 'one')}]") for table in
                   ("parts.bottom", "parts.bottom.edges", "parts.bottom.repair", "survey.bottom")]
        job = changed((BOTTOM[0], BOTTOM[1].format(1.0)), *renamed,
                      ('title = "Hull bottom panel, patch from outside"', f'title = "{title}"'))
        assert len(entry_doubts(job, "one")) == asked, title


SOLE = ("span_mm = 460\nlength_mm = 1180", "span_mm = {}\nlength_mm = {}")
FOOT = ("force_n = 1200", "force_n = {}")


def wide_sole(span, *changes):
    """The demo with a wider sole that only a foot loads."""
    return changed((SOLE[0], SOLE[1].format(span, 2 * span)), ("piece_length_mm = 2550\npiece_width_mm = 1180\n", ""), *changes)


def test_a_deck_with_a_foot_alone_is_asked_for_its_pressure_where_that_bends_it_more():
    # by hand: 0.005 x 700^2 / 8 = 306 N against 1200/(100 + 700) x 700/4 x (1 - 100/1400) = 244 N; at 600 mm 225 against 236 N
    (line,) = entry_doubts(wide_sole(700), "sole")
    assert "1200 N" in line and "5 kPa" in line and "enter the pressure too" in line
    assert "kPa" not in told(line, "us") and " N " not in told(line, "us")
    assert entry_doubts(wide_sole(600), "sole") == () and entry_doubts(jobs.load_demo(), "sole") == ()
    assert entry_doubts(wide_sole(700, (FOOT[0], "force_n = 1600")), "sole") == ()
    assert entry_doubts(wide_sole(700, ("load_status = \"assumed\"\ndeflection", "pressure_kpa = 5\ndeflection")), "sole") == ()


@pytest.mark.parametrize("span", [460, 600, 700, 900])
def test_the_plate_says_the_same_of_foot_and_pressure(span):
    panel, load = panel_case(wide_sole(span), "sole")
    foot, pressed = (assess_panel(panel, replace(load, **one), jobs.schedule(jobs.load_demo(), "sole_board"))
                     for one in ({"pressure": 0.0}, {"force": 0.0, "pressure": 0.005}))
    asked = bool(entry_doubts(wide_sole(span), "sole"))
    assert (pressed.deflection_mm > foot.deflection_mm) == asked
    if not asked:  # then the foot decides the smallest margin too
        assert min(m.reserve_factor for m in foot.margins) < min(m.reserve_factor for m in pressed.margins)


def test_less_than_a_person_on_a_deck_is_asked_about():
    # 75 kg, as the least pressure on a bottom takes it: 735.5 N
    (line,) = entry_doubts(changed((FOOT[0], FOOT[1].format(735))), "sole")
    assert "735 N on a patch is less than one person" in line
    assert entry_doubts(changed((FOOT[0], FOOT[1].format(736))), "sole") == ()
    lid = [('title = "Sole panel at the helm"', 'title = "Lid"'), ("[parts.sole]", "[parts.lid]"), ("[parts.sole.edges]", "[parts.lid.edges]"),
           ("[survey.sole]", "[survey.lid]")]
    assert [len(entry_doubts(changed((FOOT[0], FOOT[1].format(load)), *lid), "lid")) for load in (499, 500)] == [1, 0]


def test_the_demo_is_silent_but_for_the_thrust():
    demo = jobs.load_demo()
    assert [len(entry_doubts(demo, name)) for name in demo.parts] == [1, 0, 0, 0]


def test_screen_sheet_and_handover_ask_about_the_pressure():
    pages = job_pages(with_pressure(BOTTOM, 2.2))
    asked = "a design pressure of 2.2 kPa is less than the small-craft rule gives"
    assert any(line.startswith("CHECK THE ENTRY: ") and asked in line for line in pages.summary())
    for name in ("sheet_bottom.html", "handover.html"):
        assert asked[2:] in words(pages, name), name
    assert asked[2:] not in words(pages, "sheet_stringers.html")


def test_the_notebooks_ask_about_the_pressure_beside_the_answer():
    bottom, stringers = with_pressure(BOTTOM, 2.2), with_pressure(STRINGERS, 2.2)
    shown = PanelPage(bottom).answer_load().data
    assert "Check the entry:" in shown and "2.2 kPa is less" in shown
    assert "Check the entry:" in StringerPage(stringers).answer().data
    demo = jobs.load_demo()
    assert "Check the entry" not in PanelPage(demo).answer_load().data + StringerPage(demo).answer().data


# --- a bracket that sets the engine back ---------------------------------------------------------------------------------

AFT = ("centre_aft_mm = 190", "centre_aft_mm = {}")
LOWER = ("thrust_below_bolts_mm = 560", "thrust_below_bolts_mm = 640")


@pytest.mark.parametrize(("old", "new"), [
    ('title = "Transom rebuild, inside job, outer skin kept"', 'title = "Transom under the bracket"'),
    ('note = "Inside job; the outer skin is the mould for the new core."', 'note = "the engine hangs on a set-back bracket"'),
    ('note = "long shaft, remote steering"', 'note = "bracket of 30 kg, its mass is in the mass"'),
    ("outboard with remote steering", "outboard on a setback bracket"),
    ("outboard with remote steering", "outboard on a bracket")])
def test_the_lever_of_an_engine_without_its_bracket_is_asked_about(old, new):
    def asked(aft):
        job = changed((AFT[0], AFT[1].format(aft)), (old, new))
        return [line for line in entry_doubts(job, "transom") if "set-back" in line]
    (line,) = asked(220)
    assert "220 mm aft of the bolts" in line and "as that of an engine clamped on the transom itself" in line and "own choice" in line
    assert " mm" not in told(line, "us")
    assert len(asked(349)) == 1 and asked(350) == [] and asked(720) == []


def test_the_clamp_bracket_of_the_engine_is_no_set_back():
    # the complaint of the demo speaks of the engine bracket that moves: that is the engine's own clamp
    assert "engine bracket moves" in jobs.load_demo().craft.complaint
    for note in ("engine bracket renewed", "no bracket", "without a set-back bracket", "holes of the old clamp bracket filled"):
        job = changed(('note = "long shaft, remote steering"', f'note = "{note}"'),
                      ('note = "Inside job; the outer', 'note = "Ladder bracket moved; the outer'))
        assert [line for line in entry_doubts(job, "transom") if "set-back" in line] == [], note


def test_the_transom_page_says_which_lever_was_taken():
    page = words(job_pages(jobs.load_demo()), "transom_comparison.html")
    assert "a bracket that sets the engine back adds its own length" in page


# --- shop and prices ----------------------------------------------------------------------------------------------------

HOT = ("air_temperature_c = 18.5", "air_temperature_c = 50")


def test_fahrenheit_entered_as_celsius_is_asked_about():
    (doubt,) = floor_doubts(changed(HOT), date(2026, 11, 26))
    assert "50 degC for the air in the shop" in doubt and '"50 degF"' in doubt and "own choice" in doubt
    assert "122 degF" in told(doubt, "us") and "degC" not in told(doubt, "us")
    both = changed(HOT, ("hull_temperature_c = 17.0", "hull_temperature_c = 40.5"))
    assert len(floor_doubts(both, date(2026, 11, 26))) == 2
    for entry in ('"50 degF"', "40", "-5"):
        assert floor_doubts(changed((HOT[0], f"air_temperature_c = {entry}")), date(2026, 11, 26)) == ()


def test_prices_of_a_day_to_come_are_asked_about():
    demo = jobs.load_demo()
    assert [len(floor_doubts(demo, day)) for day in (date(2026, 3, 1), date(2026, 3, 2), date(2026, 3, 3))] == [1, 0, 0]
    assert floor_doubts(changed(("date = 2026-03-02", f"date = {date.today() + timedelta(days=2)}")))
    assert floor_doubts(jobs.new("skiff")) == ()


def test_prices_five_years_old_are_asked_about():
    demo = jobs.load_demo()  # of 2026-03-02
    (line,) = floor_doubts(demo, date(2036, 11, 26))
    assert "dated 2026-03-02, 10 years ago: ask the merchant again" in line
    assert [len(floor_doubts(demo, day)) for day in (date(2031, 3, 1), date(2031, 3, 2))] == [0, 1]
    assert "5 years ago" in floor_doubts(demo, date(2031, 3, 2))[0]


def test_screen_sheet_and_handover_ask_about_shop_and_prices():
    pages = job_pages(changed(HOT), today=date(2026, 2, 1))
    asked = [line for line in pages.summary() if line.startswith("CHECK THE ENTRY: ")]
    assert sum("50 degC for the air in the shop is hotter" in line for line in asked) == 1
    assert sum("the prices are dated 2026-03-02" in line and "2026-02-01" in line for line in asked) == 1
    handover = words(pages, "handover.html")
    assert "Shop and cans: check the entry: 50 °C for the air" in handover
    settled, costs = handover.split("What was found", 1)  # what goods cost keeps no craft ashore
    assert "the prices are dated" not in settled.lower() and "Check the entry: the prices are dated 2026-03-02" in costs
    assert "hotter than anyone lays up in" in words(pages, "sheet_sole.html")
    quiet = job_pages(jobs.load_demo(), today=date(2026, 3, 2))
    assert sum(line.startswith("CHECK THE ENTRY: ") for line in quiet.summary()) == 1  # the thrust
    assert "Shop and cans" not in words(quiet, "handover.html")


def test_what_print_tells_to_write_is_taken():
    assert changed((HOT[0], 'air_temperature_c = "50 °F"')).shop.air_temperature_c == pytest.approx(10)


def test_the_notebooks_ask_about_shop_and_prices_beside_the_answer():
    slow = ("gel_minutes = 28", "gel_minutes = 120")
    for air, hull in ((42, 17), (42, 41)):  # the hull sweats, or the resin gels in the pot: no batch can be planned
        hot = changed((HOT[0], f"air_temperature_c = {air}"), ("hull_temperature_c = 17.0", f"hull_temperature_c = {hull}"))
        with pytest.raises(InputError, match='"42 degF"'):
            BatchesPage(hot).answer()
    warm = changed((HOT[0], "air_temperature_c = 40.5"), ("hull_temperature_c = 17.0", "hull_temperature_c = 40"), slow)
    assert "Check the entry:" in BatchesPage(warm).answer().data
    ahead = changed(("date = 2026-03-02", f"date = {date.today() + timedelta(days=2)}"))
    assert "Check the entry:" in TakeOffPage(ahead).answer().data
    assert "Check the entry:" not in BatchesPage(jobs.load_demo()).answer().data
