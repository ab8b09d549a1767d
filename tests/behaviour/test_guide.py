"""The guide: two pages on A4 and Letter, true to the workbook, written by the command line and never over a file."""

import os
import re
import shutil
import subprocess

import pytest

from lamcalc.__main__ import main
from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.workbook import page_index
from lamcalc.workbook.guide import MARKS, NOTEBOOKS, guide_page, write_guide

pytestmark = pytest.mark.behaviour
TOOLS = {name: shutil.which(name) for name in ("chromium", "pdfinfo", "pdftotext")}


@pytest.fixture(scope="module")
def tools():
    """Chromium and the PDF readers, or a skip that says what is missing."""
    missing = [name for name, path in TOOLS.items() if path is None]
    if missing and os.environ.get("LAMCALC_BROWSER_REQUIRED"):
        pytest.fail(f"needs {', '.join(missing)}, which this run promises to have")
    if missing:
        pytest.skip(f"no {', '.join(missing)} on this machine")


def words_of(page):
    return " ".join(re.sub(r"<[^>]+>", " ", page.replace("\u00a0", " ")).split())


@pytest.mark.browser
@pytest.mark.parametrize("paper, system, notebooks", [
    ("A4", "metric", NOTEBOOKS), ("letter", "us", NOTEBOOKS), ("A4", "us", "nowhere"), ("letter", "metric", "nowhere")])
def test_the_guide_prints_on_exactly_two_pages(tmp_path, tools, paper, system, notebooks):
    text = guide_page(system=system, paper=paper, notebooks=notebooks)  # "nowhere" lists them all, the longest table
    page, pdf = jobs.write_text(tmp_path / "guide.html", text), tmp_path / "guide.pdf"
    subprocess.run([TOOLS["chromium"], "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-sync",
                    "--disable-background-networking", "--disable-component-update",
                    f"--user-data-dir={tmp_path / 'profile'}", "--no-pdf-header-footer", f"--print-to-pdf={pdf}",
                    page.as_uri()], check=True, capture_output=True, timeout=120)
    facts = subprocess.run([TOOLS["pdfinfo"], pdf], check=True, capture_output=True, text=True).stdout
    assert re.search(r"^Pages:\s+2$", facts, re.MULTILINE), facts
    assert {"A4": "A4", "letter": "letter"}[paper] in facts
    text = subprocess.run([TOOLS["pdftotext"], "-layout", pdf, "-"], check=True, capture_output=True, text=True).stdout
    first, second = text.split("\f")[:2]
    assert "Two traps" in first and "who must sign" in second and "no approval" in second.splitlines()[-1]


@pytest.mark.parametrize("system", ["metric", "us"])
def test_the_guide_says_what_a_newcomer_needs(system):
    text = words_of(guide_page(system=system))
    for step in page_index.present(NOTEBOOKS):
        assert step.question in text
    for mark, meaning, _ in MARKS:
        assert mark in text and meaning in text
    for heading in ("Which question leads where", "Change a number", "Units", "Save the job", "Print the page", "What the marks mean",
                    "What this workbook does not do, and who must sign"):
        assert heading in text
    assert "licensed designer or surveyor" in text and "engine maker's manual" in text.replace("&#39;", "'")


def test_the_figures_are_in_the_units_asked_for():
    metric, us = (words_of(guide_page(system=system)) for system in ("metric", "us"))
    assert "450 g/m\u00b2 mat is 1.47 oz/ft\u00b2" in metric and "1.47 oz/ft\u00b2 mat is 450 g/m\u00b2" in us
    assert "450 (430 to 500) kg/m\u00b3, source seen" in metric
    assert "28.1 (26.8 to 31.2) lb/ft\u00b3, source seen" in us  # 450, 430 and 500 times 0.062428


def test_only_notebooks_that_are_there_are_listed(tmp_path):
    (tmp_path / "03_transom_cores.ipynb").write_text("{}", encoding="utf-8")
    text = words_of(guide_page(notebooks=tmp_path))
    assert "Which core goes into the transom?" in text and "Which way should the plies run?" not in text
    assert all(step.question in words_of(guide_page(notebooks=tmp_path / "nothing")) for step in page_index.STEPS)


def test_the_guide_loads_nothing_from_elsewhere():
    assert not re.search(r"https?:|<script|<link|url\(", guide_page())


def test_the_command_writes_and_never_overwrites(tmp_path, capsys):
    path = tmp_path / "guide.html"
    assert main(["guide", str(path), "--units", "us"]) == 0
    assert path.read_text(encoding="utf-8") == guide_page(system="us") and "two pages" in capsys.readouterr().out
    before = path.read_bytes()
    assert main(["guide", str(path)]) == 2
    assert path.read_bytes() == before and "must not exist yet" in capsys.readouterr().err


def test_the_guide_never_lands_on_a_job_file(tmp_path):
    job = tmp_path / "my_boat.toml"
    jobs.save(jobs.load_demo(), job)
    before = job.read_bytes()
    with pytest.raises(InputError, match="ends in .html"):
        write_guide(job)
    assert job.read_bytes() == before


def test_an_unknown_unit_system_is_refused(tmp_path):
    with pytest.raises(InputError, match="unit system"):
        write_guide(tmp_path / "guide.html", system="furlongs")
    assert not (tmp_path / "guide.html").exists()
