"""Entries that can be computed with but hardly meant: they are asked about, and what is refused says plainly what is taken."""

import pytest

from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop.job_text import read


def changed(*changes):
    """The demo with some of its text changed."""
    text = jobs.load_demo().text
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return read(text)


@pytest.mark.parametrize(("old", "new", "next_step"), [
    ("span_mm = 900", "span_mm = 0.9", "Next: check the unit and the number; 1 mm is the least that is taken; if it is in inches, "
                                       'write "0.9 in" in quotation marks.'),
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
