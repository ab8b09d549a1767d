"""The command line: files, exit codes, messages, nothing changed on bad input."""

import csv
import json
import os
import re
import subprocess
import sys
import time
from contextlib import contextmanager
from pathlib import Path

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
    pages = ["handover", *(f"sheet_{part}" for part in ("bottom", "sole", "stringers", "transom")),
             "transom_comparison"]
    lists = ["buying", "cutting", *(f"schedule_{k}" for k in range(4)), "transom_comparison"]
    names = {p.name for p in folder.iterdir()}
    assert {name for name in names if not name.endswith(".pdf")} == {f"{p}.html"
                                                                     for p in pages} | {f"{p}.csv" for p in lists}
    assert {name for name in names if name.endswith(".pdf")} in (set(), {f"{p}.pdf" for p in pages})
    assert ("print it" in printed) != any(name.endswith(".pdf") for name in names)
    assert "smallest margin" in printed and "Buying list" in printed
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


@pytest.mark.parametrize("cell, expected",
                         [("=1+1", "'=1+1"), ("+a", "'+a"), ("@x", "'@x"), ("-2.5", "-2.5"), ("-x", "'-x"),
                                            (-2.5, "-2.5"), ("plain", "plain")])
def test_spreadsheet_formulas_are_neutralised(cell, expected):
    assert next(csv.reader(safe_csv([[cell]]).splitlines()))[0] == expected


@pytest.mark.parametrize("text, words",
                         [("", "empty"), ("not toml", "TOML"), ("format = 99\n# end of job\n", "format")])
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


def test_a_part_without_a_choice_is_named_and_the_other_pages_are_written(tmp_path, capsys):
    path = tmp_path / "open_question.toml"
    jobs.save(jobs.update(jobs.load_demo(), {"parts.sole.chosen": None}), path)
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 1
    said = capsys.readouterr()
    assert "NOT DONE: No sheet for sole" in said.out and "Traceback" not in said.err
    assert (tmp_path / "out" / "sheet_bottom.html").exists() and not (tmp_path / "out" / "sheet_sole.html").exists()


def test_a_job_without_a_transom_still_gets_its_sheets(tmp_path):
    path = tmp_path / "no_transom.toml"
    jobs.save(jobs.update(jobs.load_demo(), {"parts.transom": None, "survey.transom": None, "as_built.transom": None}),
              path)
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 0
    assert not (tmp_path / "out" / "transom_comparison.html").exists() and (tmp_path / "out" / "handover.html").exists()


def test_a_job_with_nothing_to_build_is_refused_and_nothing_is_written(tmp_path, capsys):
    path = tmp_path / "empty.toml"
    jobs.save(jobs.new("empty"), path)
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 2
    assert "must have a part" in capsys.readouterr().err and not (tmp_path / "out").exists()


def test_units_of_the_command_line_reach_every_page(tmp_path):
    assert main(["answer", "--units", "us", "--out", str(tmp_path)]) == 0
    for path in tmp_path.glob("sheet_*.html"):
        text = path.read_text(encoding="utf-8")
        assert "US units, metric in brackets" in text and "metric units, US in brackets" not in text


def test_new_job_from_the_demo_is_answered_the_same(tmp_path, capsys, comparison):
    path = tmp_path / "mine.toml"
    assert main(["new", str(path), "--demo"]) == 0
    assert main(["new", str(path)]) == 2  # never overwrites
    assert main(["answer", str(path), "--out", str(tmp_path / "out")]) == 0
    assert comparison.recommendation in capsys.readouterr().out


STAND_IN = """
import json, os, sys, time
from pathlib import Path
ticks = Path(__file__).with_name("ticks")
ticks.write_text("born")
print(json.dumps([sys.argv[1:], os.environ["OPENBLAS_NUM_THREADS"]]), flush=True)
for k in range({ticks}):
    ticks.write_text(str(k))
    time.sleep(0.05)
sys.exit({code!r})
"""


@contextmanager
def opened(folder, *, ticks, code):
    """The command ``open`` with a server that stands in for JupyterLab: it says who it is, then writes its age to a file."""
    package = folder / "jupyterlab"
    package.mkdir()
    (package / "__init__.py").write_text("")
    (package / "__main__.py").write_text(STAND_IN.format(ticks=ticks, code=code))
    away = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    project = Path(__file__).resolve().parents[2]
    process = subprocess.Popen([sys.executable, "-m", "lamcalc", "open", "--no-browser"], stdout=subprocess.PIPE, text=True,
                               cwd=folder, env={**away, "PYTHONPATH": os.pathsep.join((str(folder), str(project)))})
    try:
        yield process, json.loads(process.stdout.readline()), package / "ticks"
    finally:
        process.kill()
        process.communicate()


@pytest.mark.parametrize("end", ["terminate", "kill"])
def test_ending_the_command_by_its_id_ends_the_server(tmp_path, end):
    with opened(tmp_path, ticks=400, code=0) as (process, (words, threads), ticks):
        assert "--no-browser" in words and threads == "1"
        assert any(word.startswith("--notebook-dir=") and word.endswith("notebooks") for word in words)
        (settings,) = (Path(word.partition("=")[2]) for word in words if word.startswith("--LabApp.app_settings_dir="))
        assert json.loads((settings / "overrides.json").read_text())["@jupyterlab/apputils-extension:notification"] == {
            "fetchNews": "false", "checkForUpdates": False}
        getattr(process, end)()
        assert process.wait(10) != 0
        time.sleep(0.3)
        age = ticks.read_text()
        time.sleep(0.4)
        assert ticks.read_text() == age  # a server that lived on would have grown older


@pytest.mark.parametrize("code, passed_on", [(0, 0), (7, 7), (None, 0), ("no port is free", 1)])
def test_the_exit_code_of_the_server_is_passed_on(tmp_path, code, passed_on):
    with opened(tmp_path, ticks=1, code=code) as (process, _, _ticks):
        assert process.wait(20) == passed_on


def test_help_is_in_plain_words(capsys):
    with pytest.raises(SystemExit) as stop:
        main(["--help"])
    assert stop.value.code == 0
    text = capsys.readouterr().out
    assert "compare the core options" in text and "Exit codes" in text
