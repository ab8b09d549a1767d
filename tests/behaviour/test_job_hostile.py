"""Damaged and hostile job files: a sentence, quickly, and nothing written or run."""

import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lamcalc.shop import job

pytestmark = pytest.mark.behaviour
DEMO = job.load_demo()
TEXT = DEMO.text
DATA = TEXT.encode()
HOSTILE = {
    "empty": (b"", "must not be empty"),
    "blank": (b" \n\n", "must not be empty"),
    "utf-16 little": (TEXT.encode("utf-16"), "must be saved as UTF-8; received UTF-16"),
    "utf-16 big": (b"\xfe\xff" + TEXT.encode("utf-16-be"), "must be saved as UTF-8; received UTF-16"),
    "utf-16 without mark": (TEXT.encode("utf-16-le"), "must be a text file; received binary data"),
    "latin-1": (TEXT.replace("canal", "canal\u00e9").encode("latin-1"), "line 31: must be saved as UTF-8"),
    "image": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" * 10, "must be a text file; received binary data"),
    "ten megabytes": (DATA + b"#" * 10_000_000, "must have at most 2 MB"),
    "duplicate key": (DATA.replace(b"crew = 2", b"crew = 2\ncrew = 3"), "line 30: must be a complete TOML text"),
    "duplicate table": (DATA + b"[shop]\ncrew = 1\n", "must be a complete TOML text"),
    "decimal comma": (DATA.replace(b"18.5", b"18,5"), "line 26: must be a complete TOML text"),
    "json": (b'{"format": 1}', "must be a complete TOML text"),
    "deep list": (DATA + b"x = " + b"[" * 100_000, "must nest at most 12"),
    "deep closed list": (DATA + b"x = " + b"[" * 900 + b"]" * 900, "must nest at most 12"),
    "deep dotted key": (b"a." * 900_000 + b"a = 1", "must nest at most 12"),
    "deep quoted key": (b'"a".' * 400_000 + b"a = 1", "must nest at most 12"),
    "quotes without end": (b'x = "' + b'\\"' * 900_000, "must be a complete TOML text"),
    "long text without end": (b'x = """' + b'""\\' * 600_000, "must be a complete TOML text"),
    "huge number": (DATA.replace(b"crew = 2", b"crew = " + b"9" * 5000), "must be a complete TOML text"),
    "newer": (
        DATA.replace(b"format = 1", b"format = 2"),
        "line 4, format: must be at most 1: the file was written by a newer version of this program .-.; received 2. "
        "Next: install the newer version",
    ),
    "newer with unknown fields": (b"format = 99\n[engines]\nx = 1\n", "written by a newer version"),
    "no format": (DATA.replace(b"format = 1", b""), "format: must say which format the file is in"),
    "format as text": (
        DATA.replace(b"format = 1", b"format = '1'"),
        "must say which format the file is in.*received '1'",
    ),
    "format true": (
        DATA.replace(b"format = 1", b"format = true"),
        "must say which format the file is in.*received true",
    ),
    "format 1.0": (DATA.replace(b"format = 1", b"format = 1.0"), "must say which format the file is in.*received 1.0"),
    "negative format": (
        DATA.replace(b"format = 1", b"format = -1"),
        "must say which format the file is in.*received -1",
    ),
    "no end": (DATA.replace(b"# end of job\n", b""), "must end with the line '# end of job'"),
    "end only inside a text": (
        DATA.replace(b"# end of job\n", b'[craft2]\nx = """\n# end of job\n"""\n'),
        "must end with the line",
    ),
    "many values": (
        DATA.replace(b"tools = [", b"tools = [" + b"1," * 700_000),
        "line 34: must have at most 20000 values and tables",
    ),
    "many keys": (DATA + b"".join(b"k%d = 1\n" % n for n in range(120_000)), "at most 20000 values and tables"),
    "many end marks": (b"# end of job\n" * 120_000 + b"format = 2", "written by a newer version"),
    "blank lines": (b"\n" * 1_900_000 + b"format = 2", "line 1900001, format: must be at most 1"),
    "template": (DATA.replace(b'"metric"', b'"{{ 7 * 7 }}"'), "units: must be one of"),
    "python": (b"import os\nos.system('true')\n", "line 1: must be a complete TOML text"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_file(tmp_path, name):
    data, message = HOSTILE[name]
    path = tmp_path / "bad.toml"
    path.write_bytes(data)
    start = time.process_time()
    with pytest.raises(job.JobError, match=f"(?s)bad.toml: .*({message})"):
        job.load(path)
    assert time.process_time() - start < 30  # a reader that is not linear would take hours; ordinary files take 20 ms
    assert path.read_bytes() == data and [one.name for one in tmp_path.iterdir()] == ["bad.toml"]


def test_every_cut_off_file_is_noticed(tmp_path):
    path = tmp_path / "cut.toml"
    cuts = [*range(0, len(DATA) - 14, 211), *range(len(DATA) - 60, len(DATA) - 1)]
    for cut in cuts:
        path.write_bytes(DATA[:cut])
        with pytest.raises(job.JobError):
            job.load(path)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    start=st.integers(0, len(DATA)),
    length=st.integers(0, 40),
    junk=st.binary(max_size=12)
    | st.sampled_from(
        [b"[", b"]]", b"{", b'"""', b"'", b"\\", b"=", b"nan", b"-1", b"1e999", b"\xc3", b"\n[parts]\n", b"[[parts]]\n"]
    ),
)
def test_any_damage_gives_a_job_or_a_sentence(tmp_path, start, length, junk):
    path = tmp_path / "damaged.toml"
    path.write_bytes(DATA[:start] + junk + DATA[start + length :])
    try:
        loaded = job.load(path)
    except job.JobError as problem:
        assert str(problem).startswith("damaged.toml: ") and len(str(problem)) < 20_000
    else:
        assert job.save(loaded).model_dump() == loaded.model_dump()


def test_save_of_a_document_that_breaks_a_rule_leaves_no_trace(tmp_path):
    document = DEMO.document
    document["shop"]["crew"] = "many"
    with pytest.raises(job.JobError, match="shop.crew"):
        job.save(document, tmp_path / "launch.toml")
    assert list(tmp_path.iterdir()) == []


def test_a_job_that_would_be_too_large_to_read_back_is_not_saved(tmp_path):
    with pytest.raises(job.JobError, match="must have at most 2 MB"):
        job.save(DEMO.text + "#" * 2_000_000 + "\n", tmp_path / "launch.toml")
    assert list(tmp_path.iterdir()) == []
