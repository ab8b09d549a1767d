"""The command line: files, exit codes, messages, nothing changed on bad input."""

import csv
import re

import pytest

from lamcalc.__main__ import main
from lamcalc.shop import job as jobs
from lamcalc.shop.answer import comparison_page, comparison_rows, safe_csv
from lamcalc.shop.job_transom import transom_comparison

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def comparison():
    return transom_comparison(jobs.load_demo())


def test_answer_on_the_demo_prints_and_writes(tmp_path, capsys, comparison):
    folder = tmp_path / "out"
    assert main(["answer", "--out", str(folder)]) == 0
    printed = capsys.readouterr().out
    assert comparison.recommendation in printed and str(folder) in printed and "lamcalc open" in printed
    assert sorted(p.name for p in folder.iterdir()) == [*(f"schedule_{k}.csv" for k in range(4)),
                                                        "transom_comparison.csv", "transom_comparison.html"]
    rows = list(csv.reader((folder / "transom_comparison.csv").read_text(encoding="utf-8").splitlines()))
    assert rows[1] == comparison_rows(comparison, "metric")[0]
    assert main(["answer", "--out", str(folder)]) == 0  # can be repeated


def test_us_units_change_every_dimensional_figure(comparison):
    metric, us = comparison_rows(comparison, "metric"), comparison_rows(comparison, "us")
    thickness = comparison.options[0].thickness_mm
    assert us[0][0] == "total thickness [in]" and float(us[0][2]) == pytest.approx(thickness / 25.4, rel=1e-3)
    for left, right in zip(metric, us):
        if re.search(r"\[(mm|kg|kN m2/m|kN/mm|MPa)\]", left[0]):
            assert right[0] != left[0]


def test_page_escapes_the_jobs_texts():
    job = jobs.update(jobs.load_demo(), {"name": "<script>alert(1)</script>", "craft.description": "=1+1 & <b>"})
    page = comparison_page(job, transom_comparison(job))
    assert "<script>" not in page and "&lt;script&gt;" in page and "=1+1 &amp; &lt;b&gt;" in page
    assert "http" not in page.replace("http-equiv", "")


@pytest.mark.parametrize("cell, expected", [("=1+1", "'=1+1"), ("+a", "'+a"), ("@x", "'@x"), ("-2.5", "-2.5"), ("-x", "'-x"),
                                            (-2.5, "-2.5"), ("plain", "plain")])
def test_spreadsheet_formulas_are_neutralised(cell, expected):
    assert next(csv.reader(safe_csv([[cell]]).splitlines()))[0] == expected


@pytest.mark.parametrize("text, words", [("", "empty"), ("not toml", "TOML"), ("format = 99\n# end of job\n", "format")])
def test_bad_job_files_exit_with_two_and_one_sentence(tmp_path, capsys, text, words):
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 2
    said = capsys.readouterr()
    assert words in said.err and "Traceback" not in said.err and said.out == ""
    assert not (tmp_path / "out").exists() and path.read_text(encoding="utf-8") == text


def test_no_build_fits_gives_exit_code_one(tmp_path):
    job = jobs.update(jobs.load_demo(), {"parts.transom.window.low_mm": 10, "parts.transom.window.high_mm": 20})
    path = tmp_path / "thin.toml"
    jobs.save(job, path)
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 1


def test_new_job_from_the_demo_is_answered_the_same(tmp_path, capsys, comparison):
    path = tmp_path / "mine.toml"
    assert main(["new", str(path), "--demo"]) == 0
    assert main(["new", str(path)]) == 2  # never overwrites
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 0
    assert comparison.recommendation in capsys.readouterr().out


def test_help_is_in_plain_words(capsys):
    with pytest.raises(SystemExit) as stop:
        main(["--help"])
    assert stop.value.code == 0
    text = capsys.readouterr().out
    assert "compare the core options" in text and "Exit codes" in text
