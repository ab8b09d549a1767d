"""A notebook that shows the first part of its kind says which others it does not show."""

import re

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.job_text import read
from lamcalc.workbook import page_transom
from lamcalc.workbook.page_panel import PanelPage
from lamcalc.workbook.page_stringer import StringerPage


def doubled(name, title):
    """The demo with a second part like one it has, under another name and title."""
    text = jobs.load_demo().text
    tables = re.findall(rf"(?ms)^\[parts\.{name}[\].].*?(?=^\[|^#)", text)
    assert tables
    again = "".join(tables).replace(f"[parts.{name}", "[parts.second")
    again = re.sub(r'(?m)^title = ".*"$', f'title = "{title}"', again, count=1)
    return read(text.replace("# --- readings after", again + "\n# --- readings after", 1))


@pytest.mark.parametrize(("name", "said"), [
    ("bottom", lambda job: PanelPage(job).answer_patch().data), ("sole", lambda job: PanelPage(job).answer_patch().data),
    ("stringers", lambda job: StringerPage(job).answer().data), ("transom", page_transom.answer_html)])
def test_the_second_part_is_named(name, said):
    assert "Not shown in this notebook: Side &amp; deck; its own sheet has its figures." in said(doubled(name, "Side & deck"))
    assert "Not shown" not in said(jobs.load_demo())


def test_a_page_asked_for_the_second_part_names_the_first():
    job = doubled("stringers", "Keelson")
    assert "Not shown in this notebook: Two bottom stringers, re-bonded and capped; its" in StringerPage(job, "second").answer().data


def test_where_there_is_no_patch_the_new_panel_tells_it():
    job = doubled("sole", "Side deck")
    text = re.sub(r"(?ms)^\[parts\.bottom[\].].*?(?=^\[|^#)", "", job.text)
    text = re.sub(r"(?ms)^\[survey\.bottom\].*?(?=^\[|^#)", "", text)
    assert "Not shown in this notebook: Side deck" in PanelPage(read(text)).answer_sole().data


def test_a_second_transom_is_held_against_its_own_comparison():
    # a light engine on the second: what speaks against a build there is worked out with that engine
    from lamcalc.shop.job_pages import job_pages
    from lamcalc.shop.job_transom import transom_comparison

    text = doubled("transom", "Well").text
    start = text.index("[parts.second]")
    heavy = text[:start].replace("thrust_n = 2100", "thrust_n = 8000").replace('chosen = "transom_cast"', 'chosen = "transom_board"') + text[start:]
    job = read(heavy)
    first, second = (next(work for work in job_pages(job).whole.parts if work.name == name) for name in ("transom", "second"))
    own = transom_comparison(job, "second")
    assert second.against == own.objections(own.options[2]) and first.against != second.against
