"""Readings after the work without any thickness: what can be judged is, and what is missing is said."""

import re

import pytest

from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_quality import job_quality
from lamcalc.shop.job_text import read
from lamcalc.workbook.page_quality import QualityPage

THICKNESS = "thickness_mm = [5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4]\n"
MASSES = "glass_used_kg = 3.71\nresin_used_kg = 6.74\n"
COUPON = "coupon = { dry_mass_g = 2.94, residue_mass_g = 1.12, density_kg_m3 = 1460 }\n"
HARD = "barcol = [38, 41, 40, 35, 42, 39, 44, 37, 40, 52]"
SOFT = "barcol = [18, 21, 20, 15, 22, 19, 24, 17, 20, 12]"


def changed(*changes):
    """The demo with some of its text changed."""
    text = jobs.load_demo().text
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return read(text)


def alone(barcol):
    """The demo with hardness readings of its transom and no others."""
    return changed((THICKNESS, ""), (MASSES, ""), (COUPON, ""), (HARD, barcol))


def test_hardness_alone_tells_of_the_cure():
    hard, soft = (job_quality(alone(readings), "transom") for readings in (HARD, SOFT))
    assert [check.name for check in hard.report.checks] == ["hardness"] == [check.name for check in soft.report.checks]
    assert (hard.report.worst, soft.report.worst) == ("watch", "reject")  # nobody knows how many plies are in it
    assert "not measured: thickness, mass balance, burn-off, voids, glass fraction from thickness" in str(hard.report.verdict)
    assert "under-cured" in str(soft.report.verdict)
    assert hard.stiffness is None and hard.sentence == "" and hard.report.as_built is None


def test_masses_and_coupon_are_judged_as_with_a_thickness():
    measured, without = job_quality(jobs.load_demo(), "transom"), job_quality(changed((THICKNESS, "")), "transom")
    there = {check.name: check for check in measured.report.checks}
    assert [check.name for check in without.report.checks] == ["mass balance", "burn-off", "voids", "hardness", "methods compared"]
    assert all(check == there[check.name] for check in without.report.checks[:-1])


def test_a_laminate_and_a_note_alone_are_no_readings():
    assert job_quality(changed((THICKNESS, ""), (MASSES, ""), (COUPON, ""), (HARD, "barcol = []")), "transom") is None


def test_screen_sheet_and_handover_say_it():
    pages = job_pages(alone(SOFT))
    assert any("the readings after the work reject it: Transom rebuild" in line and "hardness" in line for line in pages.summary())
    sheet, handover = (" ".join(re.sub(r"<[^>]+>", " ", pages.texts[name]).split()) for name in ("sheet_transom.html", "handover.html"))
    assert "under-cured" in sheet and "not measured: thickness" in sheet and "not measured: thickness" in handover
    assert "could not be used" not in handover
    kept = " ".join(re.sub(r"<[^>]+>", " ", job_pages(alone(HARD)).texts["handover.html"]).split())
    assert "as built: watch, see the details: no thickness read" in kept


def test_notebook_09_says_where_they_are_judged():
    with pytest.raises(InputError, match="what was read besides is judged on the sheet of the part"):
        QualityPage(alone(HARD))
