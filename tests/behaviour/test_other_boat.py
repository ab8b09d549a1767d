"""Another boat than the demo: other fabrics, one option a part, knees, odd edges, and the slips of a first job file."""

import pytest

from lamcalc.__main__ import main
from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.shop.answer import assumptions, comparison_page
from lamcalc.shop.engine_entry import engine_doubts
from lamcalc.shop.handover import handover_page
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.shop.whole_job import WholeJob, part_work
from lamcalc.shop.takeoff import take_off

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def demo():
    return jobs.load_demo().text


@pytest.fixture
def written(tmp_path, demo):
    """A job file with some texts of the demo exchanged, each of which must be there."""
    def write(*pairs, name="skiff.toml"):
        text = demo
        for old, new in pairs:
            assert old in text, old
            text = text.replace(old, new, 1)
        (tmp_path / name).write_text(text, encoding="utf-8")
        return tmp_path / name
    return write


def refusal(path):
    with pytest.raises(InputError) as caught:
        jobs.load(path)
    return str(caught.value)


def without(text, start, end):
    """The text without the part from one table head up to another."""
    first = text.index(start)
    return text[:first] + text[text.index(end, first):]


KNEES = ("knees_at_mm = []", 'knees_at_mm = ["-12 in", "12 in"]\nknee_width_mm = "2 in"')


@pytest.mark.parametrize(("old", "new", "hint"), [
    ("length_m = 5.4", "length_m = 5,4", "write decimals with a point"),
    ("crew = 2", "crew = 2\ncrew = 3", "this name stands twice"),
    ("[waste]", "[shop]\n[waste]", "this table stands twice"),
    ('units = "metric"', "units = \u201cmetric\u201d", "straight quotation marks"),
    ('season = "March"', 'season = "March', "close the quotation mark"),
    ("length_m = 5.4", "length_m = 17 ft", "between quotation marks"),
    ('options = ["stringer_skin"]', 'options = ["stringer_skin"', "close the bracket"),
])
def test_slips_of_the_hand_are_told_with_what_to_do(written, old, new, hint):
    said = refusal(written((old, new)))
    assert "line " in said and hint in said


@pytest.mark.parametrize(("old", "new", "words"), [
    ('thickness_mm = 18, count = 2', 'thickness_mm = 0.75, count = 2', "thickness_mm: must be 1 or more [mm]; received 0.75"),
    ("top_width_mm = 70", "top_width_mm = 170", "parts.stringers.top_width_mm: must be at most base_width_mm, 110 [mm]"),
    ("upper_spacing_mm = 327", "upper_spacing_mm = 3270", "parts.transom.bolts.upper_spacing_mm: must leave the bolt plates on"),
])
def test_numbers_that_cannot_be_name_the_place_and_the_rule(written, old, new, words):
    assert words in refusal(written((old, new)))


def test_readings_of_a_part_that_was_deleted_say_that_they_may_be_deleted(tmp_path, demo):
    path = tmp_path / "sole.toml"
    path.write_text(without(demo, "[parts.transom]", "[parts.stringers]"), encoding="utf-8")
    assert "delete [survey.transom]" in refusal(path)


def test_an_unknown_material_is_told_with_its_schedule_and_layer(written):
    job = jobs.load(written(('core = "pu_board_416", thickness_mm = 18, density', 'core = "board", thickness_mm = 18, density')))
    with pytest.raises(InputError) as caught:
        jobs.schedule(job, "transom_board")
    assert "schedules.transom_board, layer 4: core must be one of" in str(caught.value)


def test_own_materials_that_are_missing_are_told_once(written, capsys):
    path = written(('units = "metric"', 'own_materials = "mine.toml"\nunits = "metric"'))
    assert main(["answer", str(path), "--out", str(path.parent / "out")]) == 2
    assert capsys.readouterr().err.count("must be a file beside the job file") == 1
    assert not (path.parent / "out").exists()


@pytest.mark.parametrize(("old", "new", "words"), [
    ('original = "transom_original"\n', "", "parts.transom.original is needed for the comparison"),
    ('options = ["transom_plywood", "transom_board", "transom_cast"]\nchosen = "transom_cast"', "options = []",
     "parts.transom.options must name at least one schedule"),
])
def test_a_comparison_without_its_schedules_says_which_is_missing(written, old, new, words):
    with pytest.raises(InputError) as caught:
        transom_comparison(jobs.load(written((old, new))))
    assert words in str(caught.value)


def test_a_part_whose_margins_cannot_be_computed_never_passes_in_silence(written, capsys):
    path = written(("patch_load = { force_n = 1200, length_mm = 100", "patch_load = { force_n = 1200, length_mm = 3000"))
    assert main(["answer", str(path), "--out", str(path.parent / "out")]) == 1
    said = capsys.readouterr().out
    assert "NOT DONE: No margins for Sole panel at the helm" in said
    assert "nobody knows whether it holds: Sole panel at the helm" in said


def test_a_reason_told_already_is_not_told_again(written):
    pages = job_pages(jobs.load(written(("diameter_mm = 12 ", "diameter_mm = 13 "))))
    assert sum("thread" in line for line in pages.problems) == 1
    assert not any("thread" in line for line in pages.summary())
    assert any("nobody knows whether it holds: Transom" in line for line in pages.summary())


def test_knees_are_told_as_rigid_and_their_joints_as_not_assessed(written):
    comparison = transom_comparison(jobs.load(written(KNEES)))
    told = " ".join(assumptions(comparison, "us"))
    assert "Knees at -12 in, 12 in from the centreline, each 2 in wide: taken as rigid" in told
    assert "joints to transom and bottom are not assessed" in told
    assert "Knees at" not in " ".join(assumptions(transom_comparison(jobs.load_demo())))


def test_the_table_of_knees_is_without_knees_where_it_says_so(written):
    from lamcalc.workbook import page_transom

    table = page_transom.knees(jobs.load(written(KNEES)))
    bare = page_transom.knees(jobs.load_demo())
    assert list(table["turn, no knees [mrad]"]) == pytest.approx(list(bare["turn, no knees [mrad]"]))
    assert (table["turn, no knees [mrad]"] > table["turn, knees [mrad]"]).all()


def test_notes_that_hold_for_one_build_name_it():
    lines = [line for line in assumptions(transom_comparison(jobs.load_demo())) if "estimated error" in line]
    assert len(lines) > 1 and all(": Plate solution" in line for line in lines)


@pytest.mark.parametrize(("old", "new", "words"), [
    ("mass_kg = 104", 'mass_kg = "104 lb"', "an engine mass of 47.2 kg is light for 30 kW"),
    ("thrust_n = 2100", "thrust_n = 470", "a thrust of 470 N is little for 30 kW"),
    ("engine_power_kw = 30", "engine_power_kw = 40", "the craft has 40 kW, the engine on the transom 30 kW"),
])
def test_an_engine_too_light_or_too_weak_for_its_power_is_asked_about(written, old, new, words):
    job = jobs.load(written((old, new)))
    pages = job_pages(job)
    assert any(line.startswith("CHECK THE ENTRY: ") and words in line for line in pages.summary())
    assert words in pages.texts["transom_comparison.html"]


def test_engines_of_the_table_and_the_demo_are_not_doubted(written):
    assert engine_doubts(jobs.load_demo()) == ()
    heavy = written(("mass_kg = 104", "mass_kg = 209"), ("power_kw = 30\ncentre", 'power_kw = "90 hp"\ncentre'),
                    ("engine_power_kw = 30", 'engine_power_kw = "90 hp"'), ("thrust_n = 2100", 'thrust_n = "1000 lbf"'))
    assert engine_doubts(jobs.load(heavy)) == ()


def test_the_page_escapes_what_is_asked(written):
    job = jobs.load(written(("thrust_n = 2100", "thrust_n = 470")))
    assert "<b>Check the entry:</b> a thrust of" in comparison_page(job, transom_comparison(job))


def test_what_was_not_opened_is_printed_once(written):
    job = jobs.load(written(("dull_below_mm = 350", 'not_opened = "port quarter"\ndull_below_mm = 350')))
    work = part_work(job, "transom")
    assert handover_page(WholeJob(job, (work,), take_off(job, parts=["transom"]))).count("Not opened: port quarter") == 1


def test_new_says_what_to_do_with_either_file(tmp_path, capsys):
    assert main(["new", str(tmp_path / "a.toml"), "--demo"]) == 0
    assert "delete what it does not have" in capsys.readouterr().out
    assert main(["new", str(tmp_path / "b.toml")]) == 0
    assert "--demo" in capsys.readouterr().out


# --- notebooks on another boat ------------------------------------------------------------------------------------------

OTHER_SKIN = (
    '  { kind = "ply", reinforcement = "biax090_1808", resin = "iso_polyester" }, # mat down, towards the core\n'
    '  { kind = "ply", reinforcement = "biax45_1708", resin = "iso_polyester", count = 2 },\n',
    '  { kind = "ply", reinforcement = "biax45_2415", resin = "iso_polyester", count = 2 },\n')
MAT_ALONE = (OTHER_SKIN[0], "")


@pytest.mark.parametrize("skin", [OTHER_SKIN, MAT_ALONE], ids=["another fabric", "mat alone"])
def test_directions_of_a_skin_without_the_fabrics_of_the_demo(written, skin):
    from lamcalc.workbook.page_orientation import AS_DRAWN, OrientationPage

    page = OrientationPage(jobs.load(written(skin)))
    ways = page.variants()
    assert next(iter(ways)) == AS_DRAWN and not any("1708" in words or "1808" in words for words in ways)
    for show in (page.answer, page.table, page.figure, page.swaps, page.wrong_figure, page.margins, page.coupling, page.workings):
        assert show() is not None
    assert page.panel().box is not None


def test_the_first_fabric_turned_is_told_as_what_it_is(written):
    from lamcalc.workbook.page_orientation import OrientationPage

    page = OrientationPage(jobs.load(written(OTHER_SKIN)))
    ways = page.variants()
    turned, drawn = ways["layer 2 laid 45 deg off"].laminate, ways["as drawn"].laminate
    assert turned.A[0, 0] > drawn.A[0, 0] and turned.A[2, 2] < drawn.A[2, 2]
    words = page.answer().data
    assert f"{100 * (turned.A[0, 0] / drawn.A[0, 0] - 1):+.0f} %" in words


ONE_PATCH = ('options = ["bottom_patch_rovings", "bottom_patch_stitched"]', 'options = ["bottom_patch_rovings"]')
ONE_SOLE = ('options = ["sole_plywood", "sole_board"]', 'options = ["sole_board"]')


def test_a_panel_with_one_option_has_its_pictures(written):
    from lamcalc.workbook.page_panel import PanelPage

    page = PanelPage(jobs.load(written(ONE_PATCH, ONE_SOLE)))
    assert page.patch_figure(2).data == page.patch_figure(1).data
    assert page.sole_figure(2).data == page.sole_figure(1).data


@pytest.mark.parametrize(("gone", "end", "words"), [
    ("[parts.bottom]", "[parts.sole]", "no panel with an original build and options"),
    ("[parts.sole]", "# --- readings", "no new panel"),
])
def test_a_job_with_one_kind_of_panel_still_shows_it_and_the_cautions(tmp_path, demo, gone, end, words):
    from lamcalc.workbook.page_panel import PanelPage

    area = gone.replace("parts", "survey")
    following = "[survey.sole]" if "bottom" in gone else "# --- schedules"
    path = tmp_path / "one.toml"
    path.write_text(without(without(demo, gone, end), area, following), encoding="utf-8")
    page = PanelPage(jobs.load(path))
    shown = [show().data for show in (page.answer_patch, page.patch_names, page.patch_table, page.patch_figure, page.two_models,
                                      page.answer_load, page.patch_margins, page.patch_rules, page.answer_sole,
                                      page.sole_table, page.sole_figure, page.sole_margins, page.inputs, page.workings)]
    missing = [words in text for text in shown]
    assert sum(missing) == (8 if "bottom" in gone else 4)
    bottom = page.bottom_panel()
    sole = page.sole_panel(bottom.unit_system)
    assert (words in bottom.box.value) if "bottom" in gone else (words in sole.box.value)
    assert "screening" in page.cautions().data.lower() or "licensed" in page.cautions().data


@pytest.mark.parametrize(("head", "side"), [("[parts.bottom.edges]\nleft = \"clamped\"", "simply_supported"),
                                             ("[parts.sole.edges]\nleft = \"simply_supported\"", "clamped")])
def test_a_panel_held_otherwise_than_usual_has_its_live_panel(written, head, side):
    from lamcalc.workbook.page_panel import PanelPage

    page = PanelPage(jobs.load(written((head, head.rsplit("=", 1)[0] + f'= "{side}"'))))
    live = page.bottom_panel() if "bottom" in head else page.sole_panel()
    assert live.box is not None and "as in the job: left" in page.inputs().data


def test_a_new_panel_without_a_core_has_its_live_panel(written):
    from lamcalc.workbook.page_panel import PanelPage

    page = PanelPage(jobs.load(written(ONE_SOLE, (
        '  { kind = "core", core = "pu_board_240", thickness_mm = 19, density_kg_m3 = 240, status = "assumed" },\n', ""))))
    assert page.sole_panel().box is not None


def test_a_live_panel_shows_the_value_it_computes_with_beyond_the_usual_ends(written):
    from lamcalc.workbook import page_transom
    from lamcalc.workbook.controls import QuantitySlider

    for value in (100.0, 12_000.0):
        slider = QuantitySlider("thrust", "force", value, 500, 8000, 100)
        for system, scale in (("metric", 1.0), ("us", 4.4482216152605)):
            slider.use(system)
            assert slider.widget.value * scale == pytest.approx(slider.value) == pytest.approx(value)
    job = jobs.load(written(("trailering_factor = 2.5", "trailering_factor = 4")))
    assert page_transom.panel(job).box is not None


def test_checks_by_hand_that_the_job_gives_nothing_for_do_not_stop_the_notebook(tmp_path, demo):
    from lamcalc.workbook import page_sheet, page_transom

    path = tmp_path / "bare.toml"
    path.write_text(without(without(demo, "[parts.transom.screening]", "[parts.transom.tabbing]"),
                            "[parts.transom.tabbing]", "[parts.stringers]"), encoding="utf-8")
    job = jobs.load(path)
    assert "not done" in page_transom.hand_check(job).to_string()
    assert "not done" in page_sheet.check(job).to_string()


@pytest.mark.parametrize("pairs", [
    [(ONE_SOLE[0] + '\nchosen = "sole_board" # assumed until the comparison is read', "options = []")],
    [(ONE_PATCH[0] + '\nchosen = "bottom_patch_rovings" # assumed; the question is what the stitched fabrics would change',
      "options = []")],
], ids=["sole", "bottom"])
def test_a_panel_without_options_is_as_none(written, pairs):
    from lamcalc.workbook.page_panel import NO_REPAIR, NO_SOLE, PanelPage

    page = PanelPage(jobs.load(written(*pairs)))
    words, show = (NO_SOLE, page.sole_table) if page.sole is None else (NO_REPAIR, page.patch_table)
    assert None in (page.sole, page.bottom) and words in show().data


def test_pages_of_a_job_without_a_chosen_schedule_are_refused_in_words(tmp_path, demo):
    import re

    from lamcalc.workbook import page_sheet, page_transom

    path = tmp_path / "open.toml"
    path.write_text(re.sub(r"(?m)^chosen = .*$", "", demo), encoding="utf-8")
    for show in (page_sheet.drawing, page_sheet.panel):
        with pytest.raises(InputError, match="no schedule is chosen"):
            show(jobs.load(path))
    path.write_text(re.sub(r'(?m)^options = \["transom.*$', "options = []", path.read_text(encoding="utf-8")), encoding="utf-8")
    with pytest.raises(InputError, match="at least one schedule"):
        page_transom.panel(jobs.load(path))


@pytest.mark.parametrize(("pressure", "disagree"), [(18, True), (2, False)])
def test_two_ways_of_a_rule_disagree_only_where_they_do(written, pressure, disagree):
    from lamcalc.workbook.page_panel import PanelPage

    page = PanelPage(jobs.load(written(("length_mm = 900\npressure_kpa = 18", f"length_mm = 900\npressure_kpa = {pressure}"))))
    assert ("disagree here" in page.answer_load().data) is disagree


def test_readings_that_cannot_be_used_are_not_called_unmeasured(written, capsys):
    path = written(("thickness_mm = [5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4]", "thickness_mm = [0.56, 0.53, 0.58]"))
    assert main(["answer", str(path), "--out", str(path.parent / "out")]) == 1
    assert "NOT DONE: No quality page for Transom rebuild" in capsys.readouterr().out
    page = (path.parent / "out" / "handover.html").read_text(encoding="utf-8")
    assert "Readings were taken but could not be used: Transom rebuild" in page
    assert "Nobody measured after the work: Transom" not in page


CORE_WITHOUT_SHEAR = """
[[source]]
id = "OWN_SHEET"
citation = "Invented sheet"
how_read = "whole sheet"
status = "source seen"

[[core]]
id = "own_board_500"
name = "own board 500 kg/m3"
family = "pu_board"
status = "source seen"
source = "OWN_SHEET"
density_kg_m3 = 500
e_x_mpa = 1700
e_y_mpa = 1500
g_xz_mpa = 150
g_yz_mpa = 140
g_xy_mpa = 500
nu_xy = 0.3
compressive_strength_mpa = 13
"""


def test_a_core_without_shear_strength_is_told_on_screen_sheet_and_handover(written):
    cast = 'core = "cast_640", thickness_mm = 19, density_kg_m3 = 640, e_mpa = 900, g_mpa = 300, crush_mpa = 10, status = "assumed"'
    own = 'core = "own_board_500", thickness_mm = 19'
    path = written(('units = "metric"', 'own_materials = "mine.toml"\nunits = "metric"'), (cast, own), (cast, own))
    (path.parent / "mine.toml").write_text(CORE_WITHOUT_SHEAR, encoding="utf-8")
    pages = job_pages(jobs.load(path))
    words = "core in shear (no shear strength is known)"
    assert any("NOT CHECKED" in line and words in line for line in pages.summary())
    assert any(line.startswith("SETTLE FIRST, something is not checked: Transom") for line in pages.summary())
    assert words in pages.texts["handover.html"] and words in pages.texts["sheet_transom.html"]
    assert words not in job_pages(jobs.load_demo()).texts["sheet_transom.html"]
