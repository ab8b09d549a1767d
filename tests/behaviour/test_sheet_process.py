"""The crew reads on the sheet what is laid under a bag or infused: by hand the same fabrics come out thicker and weaker."""

import re

from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_text import read

LOWER = 'reinforcement = "biax45_1208", resin = "iso_polyester", mat_side = "up"'
UPPER = 'reinforcement = "biax45_1208", resin = "iso_polyester", mat_side = "down"'
MAT = '{ kind = "ply", reinforcement = "csm_300", resin = "iso_polyester" },\n  { kind = "ply", reinforcement = "biax45_1208"'


def pages(*changes):
    text = jobs.load_demo().text.replace("vacuum_pump = false", "vacuum_pump = true")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return job_pages(read(text))


def words(made, name):
    return " ".join(re.sub(r"<[^>]+>", " ", made.texts[name]).split())


def test_a_bag_over_some_plies_is_named_with_its_pieces_and_ticked_off():
    made = pages((LOWER, f'{LOWER}, process = "vacuum_bag"'), (UPPER, f'{UPPER}, process = "vacuum_bag"'))
    for page in ("sheet_sole.html", "handover.html"):
        assert "Vacuum bag on a wet laminate: laminate 2, laminate 4." in words(made, page), page
    sheet = words(made, "sheet_sole.html")
    assert "leak test held before anything is mixed" in sheet
    assert "closed and pulled down before the first pot under it gels" in sheet
    assert "leak test" not in words(made, "sheet_bottom.html")


def test_infusion_has_its_own_ticks():
    made = pages((LOWER, f'{LOWER}, process = "infusion"'))
    sheet = words(made, "sheet_sole.html")
    assert "Resin infusion: laminate 2." in sheet and "the pots of this sheet are not planned for it" in sheet


def test_all_plies_in_one_process_are_not_listed_one_by_one():
    made = pages((MAT, MAT.replace('"iso_polyester" }', '"iso_polyester", process = "vacuum_bag" }')), (LOWER, f'{LOWER}, process = "vacuum_bag"'),
                 (UPPER, f'{UPPER}, process = "vacuum_bag"'))
    assert "Vacuum bag on a wet laminate: all plies." in words(made, "sheet_sole.html")


def test_hand_lay_up_needs_no_words():
    made = job_pages(jobs.load_demo())
    for name in made.texts:
        assert "acuum bag" not in words(made, name)


def test_the_screen_says_where_readings_reject_a_part():
    made = pages(("thickness_mm = [5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4]", "thickness_mm = [4.1, 4.0, 4.2, 4.1, 4.0, 4.1, 4.2, 4.1, 4.0, 4.1]"))
    (line,) = [line for line in made.summary() if line.startswith("SETTLE FIRST, the readings")]
    assert "Transom rebuild, inside job, outer skin kept" in line and "thickness" in line
    assert not any("the readings" in line for line in job_pages(jobs.load_demo()).summary())


def test_an_epoxy_part_is_not_told_the_gel_factor_of_polyester():
    # the clock of an epoxy pot runs with its own factor; catalyst and its power do not come into it
    from lamcalc.shop.whole_job import unverified_inputs

    text = jobs.load_demo().text
    start, end = text.index("[schedules.sole_board]"), text.index("# --- parts")
    job = read(text[:start] + text[start:end].replace("iso_polyester", "epoxy").replace(
        '  { kind = "coat", thickness_mm = 0.5, coats = 2, waxed = true },\n', "") + text[end:])
    said = " ".join(str(row) for row in unverified_inputs(job, "sole"))
    assert "gel time factor for 10 degC" not in said and "gel time falls with catalyst" not in said and "wet-out rate" in said
    assert "gel time factor for 10 degC" in " ".join(str(row) for row in unverified_inputs(job, "bottom"))
    for part in ("sole", "bottom"):  # it holds the pots small, whatever the resin
        assert any(str(row).startswith("pot life factor for each doubling of the mass left in the pot: 0.85")
                   for row in unverified_inputs(job, part)), part
