"""The line finder agrees with the TOML parser on which keys and values there are, and where."""

import datetime
import tomllib

import pytest
import tomlkit
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lamcalc.shop import job
from lamcalc.shop.job_places import places

pytestmark = pytest.mark.invariant

keys = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=6)
scalars = (
    st.integers(-(10**6), 10**6)
    | st.floats(allow_nan=False)
    | st.booleans()
    | st.dates()
    | st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=12)
)
values = st.recursive(
    scalars, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(keys, inner, max_size=3), max_leaves=12
)


def paths(data, here=()):
    yield here
    if isinstance(data, dict):
        for key, value in data.items():
            yield from paths(value, here + (key,))
    elif isinstance(data, list):
        for place, value in enumerate(data):
            yield from paths(value, here + (place,))


def look(data, path):
    for step in path:
        data = data[step]
    return data


def agree(text):
    data, found = tomllib.loads(text), places(text)
    known = {path for path, _, _ in found.keys} | set(found.values)
    assert known == set(paths(data)) - {()}
    lines = text.split("\n")
    for path, (start, end) in found.values.items():
        assert tomllib.loads("x = " + text[start:end])["x"] == look(data, path)
        assert found.line(path) <= len(lines)
    for path, start, end in found.keys:
        if isinstance(path[-1], str):
            written = text[start:end]
            assert (tomllib.loads(f"{written} = 1").popitem()[0]) == path[-1]
            assert written.split("\n")[0] in lines[text.count("\n", 0, start)]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.dictionaries(keys, values, max_size=4))
def test_every_path_of_any_document_is_found(data):
    agree(tomlkit.dumps(data))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "# only a comment",
        "a = 1",
        "a.b.'c d' = 1\na.e = 2",
        "[a]\nb = 1\n[a.c]\nd = 2\n",
        "[ a . b ]\nc=1",
        "[[a]]\nb = 1\n[[a]]\nb = 2\n[a.c]\nd = 3\n[[a.e]]\nf = 4\n[[a.e]]\nf = 5\n",
        "a = \"\"\"x\n# no comment = 3\n\"\"\" # yes\nb = '''y]'''\n",
        'a = """"quoted""""\nb = 1',
        "a = '''it''s'''''\nb = 2",
        "a = [ # one\n  1, # two\n\n  [2, 3,],\n]\nb = {c = 1, d.e = [4]}",
        "a = 1979-05-27 07:32:00\nb = 07:32:00",
        'a = "tab\\t \\" # [x]" \r\n[b]\r\nc = "#"\r\n',
        "'' = 1\n\"\\u00e9\" = 2",
        "a = { }\nb = [ ]",
    ],
)
def test_forms_of_toml(text):
    agree(text)


def test_the_demo_job_agrees_line_by_line():
    text = job.load_demo().text
    agree(text)
    lines = text.splitlines()
    line = places(text).line(("parts", "transom", "engine", "mass_kg"))
    assert lines[line - 1] == "mass_kg = 104"
    assert lines[places(text).line(("prices", "date")) - 1] == f"date = {datetime.date(2026, 3, 2)}"
    assert (
        '"csm_300"' in lines[places(text).line(("schedules", "transom_inner_skin", "layers", 3, "reinforcement")) - 1]
    )


def test_a_missing_field_is_shown_at_its_table():
    text = "[shop]\ncrew = 2\n[craft]\n"
    assert places(text).line(("shop", "humidity_percent")) == 1 and places(text).line(("craft", "length_m")) == 3
    assert places(text).line(("prices",)) is None
