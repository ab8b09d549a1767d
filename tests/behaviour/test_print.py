"""The page printed by a real browser: A4 and Letter, every figure on paper."""

import os
import shutil
import subprocess

import pytest

from lamcalc.shop import job as jobs
from lamcalc.shop.answer import comparison_page, comparison_rows
from lamcalc.shop.job_transom import transom_comparison

pytestmark = [pytest.mark.behaviour, pytest.mark.browser]
CHROMIUM, PDFTOTEXT = shutil.which("chromium"), shutil.which("pdftotext")


@pytest.fixture(scope="module")
def tools():
    """Chromium and pdftotext, or a skip that says what is missing."""
    missing = [name for name, path in (("chromium", CHROMIUM), ("pdftotext", PDFTOTEXT)) if path is None]
    if missing and os.environ.get("LAMCALC_BROWSER_REQUIRED"):
        pytest.fail(f"needs {', '.join(missing)}, which this run promises to have")
    if missing:
        pytest.skip(f"no {', '.join(missing)} on this machine")


@pytest.mark.parametrize("system", ["metric", "us"])
def test_page_prints_to_pdf_with_every_figure(tmp_path, tools, system):
    job = jobs.load_demo()
    comparison = transom_comparison(job)
    page = jobs.write_text(tmp_path / "page.html", comparison_page(job, comparison, system)) or tmp_path / "page.html"
    subprocess.run([CHROMIUM, "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking",
                    "--disable-component-update", "--disable-sync", f"--user-data-dir={tmp_path / 'profile'}",
                    "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'page.pdf'}", f"file://{page}"],
                   check=True, capture_output=True, timeout=120)
    text = subprocess.run([PDFTOTEXT, "-layout", str(tmp_path / "page.pdf"), "-"], check=True, capture_output=True,
                          text=True).stdout
    words = set(text.split())
    for row in comparison_rows(comparison, system):
        # table cells wrap, so words are looked for one by one
        assert not [word for cell in row for word in cell.split() if word not in words], row[0]
    assert not [word for word in comparison.recommendation_in(system).split() if word not in words]
    assert "Cautions: what nobody has verified" in text
