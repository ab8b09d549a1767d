"""Hostile names, links and folders around the command line: words, and no file where none belongs."""

import io
import os
import sys

import pytest

from lamcalc.__main__ import main
from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.shop import job as jobs

pytestmark = pytest.mark.behaviour
DEMO = jobs.load_demo()
links = pytest.mark.skipif(os.name == "nt", reason="links and pipes of this kind are not on Windows")


@pytest.fixture(scope="module")
def small():
    """A job of one panel, which is quick to answer."""
    found = jobs.update(
        DEMO,
        {
            f"{table}.{part}": None
            for table in ("survey", "as_built", "parts")
            for part in ("transom", "stringers", "bottom")
            if part in getattr(DEMO, table)
        },
    )
    assert list(found.parts) == ["sole"]
    return found


def answer(path, out):
    return main(["answer", str(path), "--out", str(out)])


@pytest.mark.parametrize(
    "name",
    [
        "../../../etc/cron.d/x",
        "..\\..\\windows",
        "/absolute",
        "con",
        "a/b",
        ".",
        "..",
        "\u202egpj",
        "name\nwith lines",
        "<img src=x onerror=alert(1)>",
        "=cmd|' /c calc'!A0",
        "\u8247\u824e" * 60,
    ],
)
def test_a_hostile_name_makes_no_file_elsewhere_and_no_script(tmp_path, capsys, small, name):
    folder = tmp_path / "deep" / "er"
    folder.mkdir(parents=True)
    path = folder / "job.toml"
    try:
        jobs.save(jobs.update(small, {"name": name, "parts.sole.title": name}), path)
    except InputError as problem:
        assert "control characters" in str(problem) and list(folder.iterdir()) == []
        return
    assert answer(path, folder / "out") == 0
    assert "Traceback" not in capsys.readouterr().err
    assert [one.name for one in tmp_path.iterdir()] == ["deep"] and len(list((tmp_path / "deep").iterdir())) == 1
    assert {one.name for one in folder.iterdir()} == {"job.toml", "out"}
    assert {one.name for one in (folder / "out").iterdir() if one.suffix != ".pdf"} == {
        "sheet_sole.html",
        "handover.html",
        "buying.csv",
        "cutting.csv",
    }
    for page in (folder / "out").glob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert "<img src=x" not in text and "<script" not in text.lower()
    for table in (folder / "out").glob("*.csv"):
        assert "\n=cmd" not in table.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "word", ["no_such.toml", "", " ", ".", "..", "a\0b.toml", "x" * 5000, "no/such/folder/job.toml"]
)
def test_a_job_file_that_is_none(tmp_path, capsys, monkeypatch, word):
    monkeypatch.chdir(tmp_path)
    assert main(["answer", word, "--out", "out"]) == 2
    said = capsys.readouterr()
    assert "must" in said.err or "could not" in said.err
    assert "Traceback" not in said.err and said.out == "" and list(tmp_path.iterdir()) == []


@links
def test_devices_pipes_and_links_without_end_as_job_file(tmp_path, capsys):
    os.mkfifo(tmp_path / "pipe.toml")
    os.symlink("loop.toml", tmp_path / "loop.toml")
    os.symlink(tmp_path / "nowhere.toml", tmp_path / "dangling.toml")
    (tmp_path / "folder.toml").mkdir()
    for path in (*sorted(tmp_path.iterdir()), "/dev/zero", "/dev/null"):
        assert answer(path, tmp_path / "out") == 2
        said = capsys.readouterr()
        assert "Traceback" not in said.err and ("must" in said.err or "could not be read" in said.err)
    assert not (tmp_path / "out").exists()


@links
@pytest.mark.parametrize("kind", ["link without end", "link that leaves the folder", "dangling link", "pipe", "folder"])
def test_own_materials_that_are_no_plain_file(tmp_path, capsys, small, kind):
    folder = tmp_path / "job"
    folder.mkdir()
    own = folder / "own.toml"
    if kind == "pipe":
        os.mkfifo(own)
    elif kind == "folder":
        own.mkdir()
    else:
        (tmp_path / "secret.toml").write_text("secret = 'word'\n", encoding="utf-8")
        os.symlink(
            {"link without end": own.name, "dangling link": "nowhere.toml"}.get(kind, tmp_path / "secret.toml"), own
        )
    jobs.save(jobs.update(small, {"own_materials": "own.toml"}), folder / "job.toml")
    assert answer(folder / "job.toml", folder / "out") == 2
    said = capsys.readouterr()
    assert "own_materials must" in said.err and "Traceback" not in said.err and "word" not in said.err
    assert not (folder / "out").exists()


@pytest.mark.parametrize(
    "found", [5, b"own.toml", "a\0b.toml", [], object(), "x" * 5000 + ".toml", "", "nowhere.toml", "/"]
)
def test_a_path_of_own_materials_that_is_none(found):
    with pytest.raises(InputError, match="own materials file|must be readable"):
        catalogue.load(own=found)


@pytest.mark.parametrize("name", ["cutting.csv", "handover.html", "sheet_sole.html"])
@pytest.mark.parametrize("kind", ["folder", "link"])
def test_an_output_that_cannot_be_written_leaves_the_others_alone(tmp_path, capsys, small, name, kind):
    """Every target is looked at before the first is written."""
    if kind == "link" and os.name == "nt":
        pytest.skip("links need a right of their own on Windows")
    jobs.save(small, tmp_path / "job.toml")
    out, other = tmp_path / "out", tmp_path / "precious.txt"
    out.mkdir()
    other.write_text("precious", encoding="utf-8")
    (out / "buying.csv").write_text("yesterday", encoding="utf-8")
    if kind == "folder":
        (out / name).mkdir()
    else:
        (out / name).symlink_to(other)
    assert answer(tmp_path / "job.toml", out) == 2
    said = capsys.readouterr()
    assert name in said.err and "must" in said.err and said.out == ""
    assert {one.name for one in out.iterdir()} == {"buying.csv", name}
    assert (out / "buying.csv").read_text(encoding="utf-8") == "yesterday"
    assert other.read_text(encoding="utf-8") == "precious"


@pytest.mark.parametrize("kind", ["read-only", "file in the way", "file above"])
def test_an_output_folder_that_is_none(tmp_path, capsys, monkeypatch, small, kind):
    jobs.save(small, tmp_path / "job.toml")
    out = tmp_path / "out"
    if kind == "read-only":
        out.mkdir()
        monkeypatch.setattr(jobs.os, "access", lambda path, mode: False)  # permissions do not bind an administrator
    else:
        out.write_text("in the way", encoding="utf-8")
    assert answer(tmp_path / "job.toml", out / "deeper" if kind == "file above" else out) == 2
    said = capsys.readouterr()
    assert "Traceback" not in said.err and ("could not be made" in said.err or "permission" in said.err)
    assert list(out.iterdir()) == [] if kind == "read-only" else out.read_text(encoding="utf-8") == "in the way"


def test_a_real_read_only_folder(tmp_path, capsys, small):
    if os.name == "nt" or os.geteuid() == 0:
        pytest.skip("permissions do not bind an administrator")
    jobs.save(small, tmp_path / "job.toml")
    out = tmp_path / "out"
    out.mkdir()
    out.chmod(0o555)
    assert answer(tmp_path / "job.toml", out) == 2
    assert "permission" in capsys.readouterr().err and list(out.iterdir()) == []


def test_a_terminal_that_knows_few_letters_still_gets_the_answer(tmp_path, monkeypatch, small):
    path = tmp_path / "job.toml"
    jobs.save(jobs.update(small, {"name": "\u8247 launch \u03a9", "parts.sole.title": "Sole \u00b1"}), path)
    screen = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", screen)
    assert answer(path, tmp_path / "out") == 0
    screen.flush()
    assert b"\\u8247 launch \\u03a9" in screen.buffer.getvalue()


@pytest.mark.parametrize(
    "changes, words",
    [
        ({"schedules.sole_board.layers[0].reinforcement": "csm_3000"}, "did you mean"),
        ({"schedules.sole_board.layers[0].resin": "polyster"}, "resin"),
        ({"schedules.sole_board.layers[2].core": "pu_bord_240"}, "did you mean"),
        ({"schedules.sole_board.layers[2].core": "csm_450"}, "core"),
        ({"stock.rolls[0].width_mm": 20}, "roll width"),
    ],
)
def test_a_job_that_reads_well_and_means_nothing(tmp_path, capsys, small, changes, words):
    """Wrong names of materials and impossible sizes pass the reader and are refused by what they are for."""
    path = tmp_path / "job.toml"
    jobs.save(jobs.update(small, changes), path)
    assert answer(path, tmp_path / "out") == 2
    said = capsys.readouterr()
    assert words in said.err and "Traceback" not in said.err and not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "words",
    [
        ["answer", "--units", "imperial"],
        ["answer", "--plies", "guess"],
        ["reply"],
        [],
        ["new"],
        ["answer", "a.toml", "b.toml"],
        ["answer", "--out"],
    ],
)
def test_words_that_the_command_line_does_not_know(capsys, words):
    with pytest.raises(SystemExit) as stop:
        main(words)
    assert stop.value.code == 2
    assert "usage: lamcalc" in capsys.readouterr().err


@pytest.mark.parametrize("name", ["nowhere/new.toml", "new.txt", "x" * 300 + ".toml"])
def test_a_new_job_that_cannot_be_written(tmp_path, capsys, monkeypatch, name):
    monkeypatch.chdir(tmp_path)
    assert main(["new", name]) == 2
    said = capsys.readouterr()
    assert "Traceback" not in said.err and said.out == "" and list(tmp_path.iterdir()) == []
