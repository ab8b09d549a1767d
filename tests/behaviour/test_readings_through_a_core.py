"""Readings taken through a core are refused in words: held against the plies alone they would pass for plies full of resin."""

import pytest

from lamcalc.errors import InputError
from lamcalc.sentences import told_problem
from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_quality import job_quality
from lamcalc.shop.job_text import read


def with_readings(values):
    text = jobs.load_demo().text
    return read(text.replace("# end of job", f'[as_built.sole]\nlaminate = "sole_board"\nthickness_mm = {values}\n# end of job'))


def test_a_whole_sandwich_is_refused_and_told_what_to_measure():
    with pytest.raises(InputError) as caught:
        job_quality(with_readings([21.8] * 10), "sole")
    said = str(caught.value)
    assert "sole_board has 19.00 mm of core in it" in said and "received 21.8" in said and "both together" in said
    assert " mm of" not in told_problem(caught.value, "us") and "in of core" in told_problem(caught.value, "us")
    pages = job_pages(with_readings([21.8] * 10))
    assert any("sole_board has 19.00 mm of core" in line for line in pages.problems)


def test_both_skins_together_are_judged():
    both = job_quality(jobs.load_demo(), "transom")  # no core in the inner skin: judged as before
    assert both.report.checks[0].verdict == "accept"
    planned = job_quality(with_readings([3.0] * 10), "sole").designed.structural_thickness_mm
    assert job_quality(with_readings([round(planned, 2)] * 10), "sole").report.checks[0].verdict == "accept"
