"""Notebooks are saved complete runs with calls only, tagged for comparison, and fail when a material changes."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
import pytest

pytestmark = pytest.mark.behaviour

ROOT = Path(__file__).resolve().parents[2]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
TAGS = {"nbval-check-output", "nbval-ignore-output"}
PATHS = re.compile(r"/(?:home|root|tmp|work|Users|mnt)/|[A-Za-z]:\\\\|file://")


def read(path):
    return nbformat.read(path, as_version=4)


def code_cells(path):
    return [cell for cell in read(path).cells if cell.cell_type == "code"]


def texts(cell):
    for output in cell.outputs:
        yield output.get("text", "")
        for kind, data in output.get("data", {}).items():
            if kind.startswith("text/"):
                yield data


each = pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)


def test_the_numbered_notebooks_are_there():
    assert {"00_index", "01_ply_thickness", "02_ply_orientation"} <= {path.stem for path in NOTEBOOKS}


@each
def test_valid_saved_from_one_complete_run(path):
    book = read(path)
    nbformat.validate(book)
    assert [cell.execution_count for cell in code_cells(path)] == list(range(1, len(code_cells(path)) + 1))
    assert not [output for cell in code_cells(path) for output in cell.outputs
                if output.output_type == "error" or output.get("name") == "stderr"]
    assert book.metadata.kernelspec.name == "python3"
    assert "widgets" not in book.metadata


@each
def test_the_title_is_a_question_and_comes_first(path):
    first = read(path).cells[0]
    assert first.cell_type == "markdown"
    title = first.source.splitlines()[0]
    assert title.startswith("# ") and title.endswith("?")
    titles = [line for cell in read(path).cells if cell.cell_type == "markdown" for line in cell.source.splitlines()
              if line.startswith("# ")]
    assert titles == [title]


@each
def test_cells_hold_calls_only(path):
    for cell in code_cells(path):
        assert len(cell.source.splitlines()) <= 12
        assert not re.search(r"\b(def|class|lambda|for|while|if|try)\b", re.sub(r"#.*", "", cell.source)), cell.source


@each
def test_outputs_are_tagged_and_panels_come_after_the_answer(path):
    cells = code_cells(path)
    shown = [cell for cell in cells if cell.outputs]
    kinds = [TAGS & set(cell.metadata.get("tags", [])) for cell in shown]
    assert all(len(kind) == 1 for kind in kinds)
    ignored = [number for number, kind in enumerate(kinds) if kind == {"nbval-ignore-output"}]
    assert len(ignored) <= 2
    if ignored:
        assert ignored[0] >= 2, "an answer and a table or picture come before any control"
    for number in ignored:
        assert shown[number].metadata.jupyter.source_hidden is True


@each
def test_no_machine_path_and_every_picture_has_words(path):
    for cell in read(path).cells:
        assert not PATHS.search(cell.source)
        for text in texts(cell) if cell.cell_type == "code" else ():
            bare = re.sub(r"base64,[A-Za-z0-9+/=]+", "", text)
            assert not PATHS.search(bare)
            for tag in re.findall(r"<img[^>]*>", text):
                assert re.search(r'alt="[^"]{15,}"', tag)
        if cell.cell_type == "code":
            assert not [1 for output in cell.outputs if "image/png" in output.get("data", {})], "use style.image: alt text"
        else:
            assert "![](" not in cell.source


@each
def test_links_lead_somewhere(path):
    found = [link for cell in read(path).cells if cell.cell_type == "markdown"
             for link in re.findall(r"\]\(([^)#]+)\)", cell.source)]
    found += [link for cell in code_cells(path) for text in texts(cell) for link in re.findall(r'href="([^"#]+)"', text)]
    assert found
    for link in found:
        assert link.startswith("https://") or (path.parent / link).is_file(), link


@each
def test_sections_in_house_order(path):
    heads = [line for cell in read(path).cells if cell.cell_type == "markdown" for line in cell.source.splitlines()
             if line.startswith("## ")]
    wanted = [word for word in ("inputs", "try it", "check", "cautions", "next")
              if any(head[3:].lower().startswith(word) for head in heads)]
    places = [next(i for i, head in enumerate(heads) if head[3:].lower().startswith(word)) for word in wanted]
    assert places == sorted(places)
    assert {"cautions", "next"} <= set(wanted)


def run_nbval(folder, notebook):
    command = [sys.executable, "-m", "pytest", "--nbval", "--nbval-current-env", "-p", "no:cacheprovider", "-q",
               "--nbval-sanitize-with", str(ROOT / "tests" / "nbval.cfg"), notebook]
    environment = os.environ | {"PYTHONPATH": str(folder), "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.run(command, cwd=folder / "notebooks", env=environment, capture_output=True, text=True, timeout=300)


def copied_checkout(folder):
    for name in ("lamcalc", "data", "notebooks"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints"))
    return folder


def test_a_changed_density_is_noticed(tmp_path):
    """The copy passes as it is and fails once the density of one resin is another."""
    copy = copied_checkout(tmp_path)
    sound = run_nbval(copy, "01_ply_thickness.ipynb")
    assert sound.returncode == 0, sound.stdout[-3000:]
    resins = copy / "data" / "resins.csv"
    text = resins.read_text(encoding="utf-8")
    wrong = text.replace("iso_polyester,isophthalic polyester,polyester,peroxide,1200,",
                         "iso_polyester,isophthalic polyester,polyester,peroxide,1190,")
    assert wrong != text
    resins.write_text(wrong, encoding="utf-8")
    broken = run_nbval(copy, "01_ply_thickness.ipynb")
    assert broken.returncode == 1
    assert "mismatch" in broken.stdout
