"""The corpus of bad input: each piece is answered in words that name place and rule, in time; nothing is written."""

import re
import time
from pathlib import Path

import pytest
from hostile import corpus

from lamcalc import units
from lamcalc.__main__ import main
from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.stack_code import format_stack_code, parse_stack_code
from lamcalc.shop import job as jobs
from lamcalc.shop.job_places import places, replaced
from lamcalc.shop.readings import spread, trimmed_mean

pytestmark = pytest.mark.behaviour

TEXT = jobs.load_demo().text
WHERE = places(TEXT)
FIELDS, FILES = list(corpus.fields()), corpus.files(TEXT)
PLAIN = Path(__file__).parent / "hostile" / "files"
SECONDS = 30  # of processor time; a reader that is not linear would take hours, an ordinary refusal takes 0.02 s


def steps(place):
    """'a.b[3].c' as ('a', 'b', 3, 'c')."""
    return tuple(int(part) if part.isdigit() else part for part in re.findall(r"[^.\[\]]+", place))


def contains(text, words):
    return any(word in text for word in ([words] if isinstance(words, str) else words))


def refused(folder, capsys, path):
    """What the command line answers to a bad job file; nothing but words may come of it."""
    before = {one: one.read_bytes() for one in folder.iterdir()}
    start = time.process_time()
    code = main(["answer", str(path), "--out", str(folder / "out")])
    assert time.process_time() - start < SECONDS
    said = capsys.readouterr()
    assert code == 2 and said.out == ""
    assert "Traceback" not in said.err and 20 < len(said.err) < 20_000
    assert {one: one.read_bytes() for one in folder.iterdir()} == before
    return said.err


def test_the_corpus_is_large_enough():
    bad_jobs, own, values = corpus.size()
    assert bad_jobs >= 200 and own >= 60 and values >= 150
    assert len({name for name, *_ in FIELDS}) == len(FIELDS)


@pytest.mark.parametrize("name, place, raw, words", FIELDS, ids=[name for name, *_ in FIELDS])
def test_a_bad_value_in_a_job_file(tmp_path, capsys, name, place, raw, words):
    path = tmp_path / "bad.toml"
    path.write_text(replaced(TEXT, {WHERE.values[steps(place)]: raw}), encoding="utf-8")
    said = refused(tmp_path, capsys, path)
    assert said.startswith("bad.toml: ") and contains(said, words), said
    table = place.split("[")[0].rsplit(".", 1)[0]
    assert table in said or place in said, said
    assert "line " in said and "received " in said and "Next: " in said


@pytest.mark.parametrize("old, new, words", corpus.TEXTS)
def test_a_changed_piece_of_a_job_file(tmp_path, capsys, old, new, words):
    assert old in TEXT
    path = tmp_path / "bad.toml"
    path.write_bytes(TEXT.replace(old, new, 1).encode("utf-8"))
    said = refused(tmp_path, capsys, path)
    assert said.startswith("bad.toml: ") and contains(said, words), said
    assert "line " in said or "is missing" in said or "which format" in said, said


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_no_job_file(tmp_path, capsys, name):
    data, words = FILES[name]
    path = tmp_path / "bad.toml"
    path.write_bytes(data)
    said = refused(tmp_path, capsys, path)
    assert said.startswith("bad.toml: ") and contains(said, words), said


@pytest.mark.parametrize("path", sorted(PLAIN.iterdir()), ids=lambda path: path.name)
def test_a_plain_file_of_another_kind(tmp_path, capsys, path):
    """Files as they lie beside the corpus: read as a job and as own materials, both in words."""
    copy = tmp_path / path.name
    copy.write_bytes(path.read_bytes())
    assert refused(tmp_path, capsys, copy).startswith(f"{path.name}: ")
    with pytest.raises(InputError) as caught:
        catalogue.load(own=copy)
    assert path.name in str(caught.value) or "must end in .toml or .csv" in str(caught.value)


@pytest.mark.parametrize("name, content, words", corpus.OWN, ids=[name for name, *_ in corpus.OWN])
def test_a_bad_file_of_own_materials(tmp_path, name, content, words):
    path = tmp_path / name
    path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
    before, start = path.read_bytes(), time.process_time()
    with pytest.raises(InputError) as caught:
        catalogue.load(own=path)
    assert time.process_time() - start < SECONDS
    said = str(caught.value)
    assert words in said and (name in said or "own materials file" in said) and len(said) < 3_000, said
    assert path.read_bytes() == before and list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    "name", ["digits.toml", "dotted.toml", "nought.toml", "semicolon.csv", "columns.csv", "twice.csv"]
)
def test_a_bad_file_of_own_materials_through_the_command_line(tmp_path, capsys, name):
    content, words = next((content, words) for found, content, words in corpus.OWN if found == name)
    (tmp_path / name).write_text(content, encoding="utf-8")
    path = tmp_path / "launch.toml"
    path.write_text(
        TEXT.replace('units = "metric"', f'own_materials = "{name}"\nunits = "metric"', 1), encoding="utf-8"
    )
    said = refused(tmp_path, capsys, path)
    assert words in said and name in said


@pytest.mark.parametrize("code", corpus.STACKS, ids=range(len(corpus.STACKS)))
def test_a_bad_stack_code(code):
    start = time.process_time()
    with pytest.raises(InputError, match="stack code") as caught:
        parse_stack_code(code)
    assert time.process_time() - start < 5 and "Next: " in str(caught.value) and len(str(caught.value)) < 400


@pytest.mark.parametrize("angles", corpus.ANGLES, ids=range(len(corpus.ANGLES)))
def test_angles_that_have_no_stack_code(angles):
    with pytest.raises(InputError, match="angles"):
        format_stack_code(angles)


@pytest.mark.parametrize("entry, kind", corpus.QUANTITIES, ids=range(len(corpus.QUANTITIES)))
def test_a_bad_quantity(entry, kind):
    start = time.process_time()
    with pytest.raises(InputError) as caught:
        units.parse(entry, kind)
    assert time.process_time() - start < 5
    assert re.search(r"must|is not|is missing", str(caught.value)) and "received" in str(caught.value)
    assert len(str(caught.value)) < 500


@pytest.mark.parametrize("arguments", corpus.CONVERSIONS, ids=range(len(corpus.CONVERSIONS)))
def test_a_bad_conversion(arguments):
    with pytest.raises(InputError, match="unit|value"):
        units.convert(*arguments)


@pytest.mark.parametrize("readings", corpus.READINGS, ids=range(len(corpus.READINGS)))
@pytest.mark.parametrize(
    "reader", [lambda found: spread("thickness", found, "mm"), trimmed_mean], ids=["spread", "trimmed"]
)
def test_bad_readings(reader, readings):
    with pytest.raises(InputError, match="thickness|reading"):
        reader(readings)
