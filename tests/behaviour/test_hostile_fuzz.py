"""Random damage to what every reader takes: a result or a sentence, never another exception, no half-written file."""

import re
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from lamcalc import units
from lamcalc.errors import InputError, angle, fraction, number, positive
from lamcalc.materials import catalogue
from lamcalc.mechanics.stack_code import format_stack_code, parse_stack_code
from lamcalc.shop import job as jobs
from lamcalc.shop.job_places import places, replaced
from lamcalc.shop.job_text import decode, read
from lamcalc.shop.readings import spread, trimmed_mean

pytestmark = pytest.mark.behaviour

TEXT = jobs.load_demo().text
SPANS = sorted(places(TEXT).values.items(), key=str)
READINGS = [item for item in SPANS if item[0][0] in ("as_built", "survey")]
EXAMPLE = (catalogue.data_folder() / "own_materials_example.toml").read_text(encoding="utf-8")
CELLS = re.findall(r"(?<== )[^\n#]+", EXAMPLE)
CSV = (
    "record,id,name,family,cure,density_kg_m3,density_kg_m3_low,e_mpa,status,source\n"
    "resin,own_resin,own resin,polyester,peroxide,1210,1190,3300,assumed,MEMORY\n"
)
HERE = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])

RAW = (
    st.sampled_from(
        [
            "nan",
            "-inf",
            "1e999",
            "-1",
            "0",
            "1e-300",
            "1e300",
            "true",
            '""',
            '" "',
            "[]",
            "{}",
            "[[]]",
            "{ typical = 1 }",
            '"5,4 mm"',
            '"3/4 in"',
            '"12 %"',
            "2026-03-02",
            '"../x"',
            '"csm_450"',
            '"\\u0000"',
            "'''\n'''",
            "0x7f",
            "9" * 30,
            "43",
            "0.0001",
            "12:00:00",
        ]
    )
    | st.integers(-(10**7), 10**7).map(str)
    | st.floats(allow_nan=False, allow_infinity=False).map(repr)
    | st.text(st.characters(blacklist_categories=["Cs"]), max_size=12)
)
ODD = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | st.binary(max_size=4)
    | st.complex_numbers(max_magnitude=10),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner, max_size=2),
    max_leaves=6,
)


def sentence(problem, source=""):
    """Checks that a refusal is words about a place and a rule."""
    text = str(problem)
    assert (
        text.startswith(source)
        and re.search(r"must|may|is |are |follows|needs|could|cannot|has|ends", text)
        and len(text) < 20_000
    )
    return True


def job_of(changes):
    """Job made of the demo with raw texts in the place of values, None where it is refused in words."""
    try:
        return read(replaced(TEXT, changes), "fuzz.toml")
    except jobs.JobError as problem:
        assert sentence(problem, "fuzz.toml: ")
        assert all(one.line is None or one.line >= 1 for one in problem.problems)
        return None


def layered(changes):
    """Whether one of the spans holds another: they cannot both be exchanged."""
    ordered = sorted(changes)
    return any(left[1] > right[0] for left, right in pairwise(ordered))


@given(st.dictionaries(st.sampled_from([span for _, span in SPANS]), RAW, min_size=1, max_size=4))
def test_any_values_of_a_job_file(changes):
    if layered(changes):
        changes = dict([next(iter(changes.items()))])
    found = job_of(changes)
    if found is not None:
        assert read(found.text, "again").model_dump() == found.model_dump()


@given(
    st.lists(st.sampled_from(READINGS), min_size=1, max_size=3, unique_by=lambda item: item[1]),
    st.lists(RAW, min_size=3, max_size=3),
)
def test_any_readings_of_a_job_file(items, raws):
    changes = {span: raw for (_, span), raw in zip(items, raws)}
    if layered(changes):
        changes = dict([next(iter(changes.items()))])
    found = job_of(changes)
    if found is not None:
        for entry in found.as_built.values():
            assert all(0.05 <= value <= 300 for value in entry.thickness_mm)
            assert all(0 <= value <= 100 for value in entry.barcol)
            assert entry.coupon is None or 0 < entry.coupon.residue_mass_g < entry.coupon.dry_mass_g


@given(st.binary(max_size=400) | st.text(max_size=200).map(lambda text: text.encode("utf-8", "surrogatepass")))
def test_any_bytes_as_a_job_file(data):
    with pytest.raises(jobs.JobError) as caught:  # random bytes are never a whole job
        read(decode(data, "fuzz.toml"), "fuzz.toml")
    assert sentence(caught.value, "fuzz.toml: ")


@given(lines=st.permutations(range(8)), drop=st.sets(st.integers(0, 400), max_size=6), double=st.integers(0, 400))
def test_lines_lost_doubled_and_exchanged(lines, drop, double):
    pieces = [
        line for k, line in enumerate(TEXT.splitlines(keepends=True)) for _ in range((k not in drop) + (k == double))
    ]
    start = len(pieces) // 2
    pieces[start : start + 8] = [pieces[start + k] for k in lines]
    try:
        read("".join(pieces), "fuzz.toml")
    except jobs.JobError as problem:
        assert sentence(problem, "fuzz.toml: ")


@HERE
@given(st.integers(0, len(CELLS) - 1), RAW)
def test_any_value_of_own_materials(tmp_path, place, raw):
    path = tmp_path / "own.toml"
    spans = [match.span() for match in re.finditer(r"(?<== )[^\n#]+", EXAMPLE)]
    path.write_text(EXAMPLE[: spans[place][0]] + raw + "\n" + EXAMPLE[spans[place][1] :], encoding="utf-8")
    try:
        shop = catalogue.load(own=path)
    except InputError as problem:
        assert "own" in str(problem) and sentence(problem)
    else:
        assert all(10 < float(core.density_kg_m3) < 3000 for core in shop.cores.values())
    assert [one.name for one in tmp_path.iterdir()] == ["own.toml"]


@HERE
@given(
    st.lists(
        st.tuples(st.integers(0, len(CSV)), st.text(",;\n\r\t\"'=#.-+0123456789eEnaif|\u202e\0", max_size=6)),
        min_size=1,
        max_size=4,
    )
)
def test_any_characters_in_a_csv_of_own_materials(tmp_path, insertions):
    text = CSV
    for place, piece in insertions:
        text = text[:place] + piece + text[place:]
    path = tmp_path / "own.csv"
    path.write_bytes(text.encode("utf-8"))
    try:
        shop = catalogue.load(own=path)
    except InputError as problem:
        assert "own.csv" in str(problem) and sentence(problem)
    else:
        assert all(500 < float(resin.density_kg_m3) < 3000 for resin in shop.resins.values())


@given(st.text("[]()0123456789/,_+-\u00b1\u2213.sStTbar \u0305", max_size=40) | ODD)
def test_any_stack_code(code):
    try:
        angles = parse_stack_code(code)
    except InputError as problem:
        assert sentence(problem, "stack code")
    else:
        assert 1 <= len(angles) <= 2000 and all(abs(value) <= 90 for value in angles)
        assert parse_stack_code(format_stack_code(angles)) == pytest.approx(angles)


@given(st.lists(st.integers(-90, 90) | st.floats(-90, 90).map(lambda value: round(value, 2)), min_size=1, max_size=30))
def test_every_list_of_angles_comes_back(angles):
    assert parse_stack_code(format_stack_code(angles)) == pytest.approx(angles)


@given(ODD)
def test_any_object_as_angles(found):
    try:
        code = format_stack_code(found)
    except InputError as problem:
        assert sentence(problem, "angles")
    else:
        assert parse_stack_code(code) == pytest.approx([float(value) for value in found], abs=5e-5)


ENTRY = st.text("0123456789 .,/-+eE%\"'minftozydlbkgsqacuhFC\u00b0\u00b2\u00bd\u2032()", max_size=24)


@given(ENTRY | ODD, st.sampled_from(sorted(units.KINDS)), st.sampled_from([None, "mm", "kg", "%"]))
def test_any_entry_of_a_quantity(entry, kind, default):
    try:
        value = units.parse(entry, kind, default_unit=default)
    except InputError as problem:
        assert sentence(problem)
    else:
        assert abs(value) < float("inf") and units.KINDS[kind].low <= value <= units.KINDS[kind].high


@given(ODD, st.sampled_from(sorted(units.KINDS)), st.sampled_from(units.SYSTEMS))
def test_any_object_as_a_value_with_a_unit(value, kind, system):
    for call in (units.to_system, units.from_system, units.show):
        try:
            assert call(value, kind, system) is not None
        except InputError as problem:
            assert sentence(problem)


@given(ODD)
def test_any_object_as_a_number(value):
    for check in (number, positive):
        try:
            assert abs(check("entry", value)).max(initial=0.0) < float("inf")
        except InputError as problem:
            assert sentence(problem, "entry must be")
    for check in (fraction, angle):
        try:
            assert abs(check("entry", value)).max(initial=0.0) <= 360
        except InputError as problem:
            assert sentence(problem, "entry must")


@example([1.0, 2.6815615859885194e154])
@example([1.7e308, 1.7e308, 1.7e308, 1.7e308])
@given(ODD | st.lists(st.floats() | st.integers() | st.text(max_size=2), max_size=8))
def test_any_readings(found):
    for reader in (lambda values: spread("thickness", values, "mm").mean, trimmed_mean):
        try:
            assert 0 <= reader(found) < float("inf")
        except InputError as problem:
            assert sentence(problem)
