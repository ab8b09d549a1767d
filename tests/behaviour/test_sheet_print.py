"""The sheets printed by a real browser and by WeasyPrint: A4 and Letter, no figure cut off."""

import os
import shutil
import subprocess

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.page_pdf import page_pdf
from lamcalc.shop.sheet import part_sheet
from lamcalc.shop.sheet_words import Words, for_print

pytestmark = [pytest.mark.behaviour, pytest.mark.browser]
CHROMIUM, PDFTOTEXT = shutil.which("chromium"), shutil.which("pdftotext")
WIDTHS = {"A4": 595, "letter": 612}


@pytest.fixture(scope="module")
def tools():
    """Chromium and pdftotext, or a skip that says what is missing."""
    missing = [name for name, path in (("chromium", CHROMIUM), ("pdftotext", PDFTOTEXT)) if path is None]
    if missing and os.environ.get("LAMCALC_BROWSER_REQUIRED"):
        pytest.fail(f"needs {', '.join(missing)}, which this run promises to have")
    if missing:
        pytest.skip(f"no {', '.join(missing)} on this machine")


@pytest.fixture(scope="module")
def whole():
    return job_pages(jobs.load_demo()).whole


def text_of(pdf, *options):
    """Text of a PDF as a reader program sees it."""
    return subprocess.run([PDFTOTEXT, *options, str(pdf), "-"], check=True, capture_output=True, text=True).stdout


def printed(folder, page):
    """PDF of a page, printed by the browser."""
    jobs.write_text(folder / "page.html", page)
    subprocess.run([CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run",
                    "--disable-background-networking",
                    "--disable-component-update", "--disable-sync", f"--user-data-dir={folder / 'profile'}",
                    "--no-pdf-header-footer", f"--print-to-pdf={folder / 'page.pdf'}",
                    f"file://{folder / 'page.html'}"],
                   check=True, capture_output=True, timeout=120)
    return folder / "page.pdf"


def key_figures(work, words):
    """Texts that the crew cannot do without."""
    yield from (words.tape(p.along_mm, p.across_mm) for p in work.take_off.pieces)
    yield from (f"{use.catalyst_ml:.1f}" for use in work.take_off.resins if use.catalyst_ml is not None)
    yield from (words.mass(use.to_buy_kg) for use in work.take_off.resins)
    yield from (margin.verdict for margin in work.margins or ())


def assert_all_there(text, figures):
    """Every word is on paper; table cells wrap, so words are looked for one by one."""
    have = set(text.split())
    missing = [word for figure in figures for word in for_print(figure).split() if word not in have]
    assert not missing, missing


@pytest.mark.parametrize("paper, system", [("A4", "metric"), ("letter", "us")])
def test_browser_prints_the_transom_sheet_whole(tmp_path, tools, whole, paper, system):
    work = next(w for w in whole.parts if w.name == "transom")
    pdf = printed(tmp_path, part_sheet(whole.job, work, system=system, paper=paper))
    text = text_of(pdf, "-layout")
    assert_all_there(text, key_figures(work, Words(system)))
    assert "What nobody has verified" in text
    boxes = text_of(pdf, "-bbox")
    right = [float(part.split('"')[1]) for part in boxes.split("xMax=")[1:]]
    assert max(right) < WIDTHS[paper] - 20  # nothing runs into the edge of the paper


@pytest.mark.parametrize("system", ["metric", "us"])
def test_weasyprint_makes_the_same_sheet(tmp_path, tools, whole, system):
    work = next(w for w in whole.parts if w.name == "bottom")
    data = page_pdf(part_sheet(whole.job, work, system=system, paper="A4"))
    if data is None:
        pytest.skip("WeasyPrint is not installed")
    jobs.write_bytes(tmp_path / "page.pdf", data)
    assert_all_there(text_of(tmp_path / "page.pdf", "-layout"), key_figures(work, Words(system)))
