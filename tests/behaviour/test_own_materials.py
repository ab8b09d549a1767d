"""Files of own materials: merging over the catalogue, and every way a file can be wrong."""

import hashlib
import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.materials import catalogue

pytestmark = pytest.mark.behaviour

SOURCE = '[[source]]\nid = "OWN"\ncitation = "Own sheet"\nstatus = "source seen"\n'
CORE = """[[core]]
id = "own_board"
name = "own board"
family = "pu_board"
status = "source seen"
source = "OWN"
density_kg_m3 = 450
e_x_mpa = 1200
"""
HEADER = "record,id,name,family,cure,density_kg_m3,density_kg_m3_low,density_kg_m3_high,e_mpa,status,source\n"
RESIN = "resin,own_resin,own resin,polyester,peroxide,1210,1190,1230,3300,assumed,MEMORY\n"


@pytest.fixture
def write(tmp_path):
    """Write a file of own materials and return its path."""

    def writer(content, name="own.toml"):
        path = tmp_path / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8"))
        return path

    return writer


def message(path):
    """The message that loading the file gives."""
    with pytest.raises(InputError) as problem:
        catalogue.load(own=path)
    return str(problem.value)


def digest():
    """Fingerprint of everything in the data folder."""
    files = sorted(path for path in catalogue.data_folder().iterdir() if path.is_file())
    return hashlib.sha256(b"".join(path.read_bytes() for path in files)).hexdigest()


# ---- merging


def test_the_shipped_example_loads_and_leaves_the_catalogue_alone():
    """The commented example is a valid file; nothing leaks into the shipped catalogue."""
    before, shipped = digest(), catalogue.load()
    shop = catalogue.load(own=catalogue.data_folder() / "own_materials_example.toml")
    assert shop.own == "own_materials_example.toml"
    assert float(shop.core("sample_board_450").e_x) == 1250 and "sample_board_450" not in shipped.cores
    meranti = shop.core("ply_meranti")
    assert (float(meranti.density_kg_m3), meranti.density_kg_m3.source) == (612.0, "OWN_TESTS")
    assert meranti.e_x == shipped.core("ply_meranti").e_x
    assert shop.reinforcement("biax45_sample_520").areal_weight_gsm == 520
    assert [layer.kind for layer in shop.reinforcement("biax45_sample_520").stack()] == ["csm", "ud", "ud"]
    assert float(shop.process("hand").glass_fraction("stitched")) == 0.47
    assert shop.process("hand").glass_fraction("csm") == shipped.process("hand").glass_fraction("csm")
    assert float(shipped.process("hand").glass_fraction("stitched")) == 0.50
    assert len(shop.cores) == len(shipped.cores) + 1
    assert catalogue.load() is shipped and digest() == before


def test_tested_laminate_of_the_example():
    """Test values are found by fabric, process and resin, and for no other resin."""
    shop = catalogue.load(own=catalogue.data_folder() / "own_materials_example.toml")
    test = shop.tested("biax090_1808", "hand", "iso_polyester")
    assert (float(test.e1), float(test.xt), test.g12.status, test.basis) == (12900, 190, "assumed", "mean")
    assert shop.tested("biax090_1808", "hand") is None and shop.tested("biax090_1808", "infusion", "epoxy") is None
    with pytest.raises(InputError, match="resin must be one of"):
        shop.tested("biax090_1808", "hand", "glue")


def test_tested_for_any_resin_gives_way_to_the_resin_asked_for(write):
    """Values without a resin serve all resins that have none of their own."""
    entry = (
        '[[tested_laminate]]\nid = "{}"\nname = "t"\nreinforcement = "csm_450"\nprocess = "hand"\nbasis = "mean"\n'
        'status = "assumed"\nsource = "MEMORY"\nglass_fraction = 0.3\nthickness_mm = 1.05\ne1_mpa = {}\n'
        "e2_mpa = 6000\nnu12 = 0.3\ng12_mpa = 2500\n"
    )
    path = write(entry.format("any", 6000) + entry.format("own", 6400) + 'resin = "epoxy"\n')
    shop = catalogue.load(own=path)
    assert float(shop.tested("csm_450", "hand", "epoxy").e1) == 6400
    assert float(shop.tested("csm_450", "hand", "vinyl_ester").e1) == 6000
    assert "one set of test values" in message(write(entry.format("a", 6000) + entry.format("b", 6400)))


def test_csv_with_rows_of_several_kinds(write):
    """One CSV may hold resins, cores, sources and layers; blanks are not known."""
    text = (
        "record,id,citation,name,family,cure,fibre,reinforcement,position,kind,areal_weight_gsm,angle_deg,"
        "density_kg_m3,status,source\n"
        "source,OWN,own sheet,,,,,,,,,,,source seen,\n"
        "resin,own_resin,,own resin,polyester,peroxide,,,,,,,1210,source seen,OWN\n"
        "core,own_foam,,own foam,pvc,,,,,,,,90,source seen,OWN\n"
        "reinforcement,own_biax,,own biaxial,biaxial,,e_glass,,,,,,,source seen,OWN\n"
        "component,,,,,,,own_biax,1,ud,200,45,,,\n"
        "component,,,,,,,own_biax,2,ud,200,-45,,,\n"
    )
    shop = catalogue.load(own=write(text, "own.csv"))
    assert float(shop.resin("own_resin").density_kg_m3) == 1210 and shop.resin("own_resin").e is None
    assert shop.reinforcement("own_biax").areal_weight_gsm == 400
    assert {layer.fraction_kind for layer in shop.reinforcement("own_biax").components} == {"stitched"}
    assert shop.core("own_foam").structural


def test_new_layers_replace_the_old_ones_as_a_whole(write):
    """An own 1708 without mat loses its mat; the name stays until it is given."""
    path = write(
        '[[reinforcement]]\nid = "biax45_1708"\nstatus = "assumed"\nsource = "MEMORY"\n'
        'components = [{ kind = "ud", areal_weight_gsm = 300, angle_deg = 45 }]\n'
    )
    fabric = catalogue.load(own=path).reinforcement("biax45_1708")
    assert (fabric.areal_weight_gsm, fabric.has_mat) == (300, False)
    assert catalogue.load().reinforcement("biax45_1708").has_mat


@pytest.mark.parametrize(
    "change",
    [
        lambda data: b"\xef\xbb\xbf" + data,
        lambda data: data.replace(b"\n", b"\r\n"),
        lambda data: data.replace(b"\n", b"\r"),
        lambda data: data.rstrip(b"\n"),
        lambda data: data.replace(b"\n", b",,\n"),
        lambda data: data + b"\n,,,\n\n",
    ],
    ids=["byte order mark", "CRLF", "CR", "no last line end", "empty columns", "empty rows"],
)
def test_harmless_differences_of_a_csv_are_accepted(write, change):
    """What spreadsheets add without changing the content."""
    shop = catalogue.load(own=write(change((HEADER + RESIN).encode()), "own.csv"))
    assert str(shop.resin("own_resin").density_kg_m3) == "1210 (1190 to 1230) kg/m3, assumed, unverified"


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_harmless_differences_of_toml_are_accepted(write, mark):
    """Byte order mark and Windows line ends."""
    path = write(mark + (SOURCE + CORE).replace("\n", "\r\n").encode())
    assert float(catalogue.load(own=path).core("own_board").e_x) == 1200


def test_an_own_file_is_read_again_after_a_change(write):
    """A corrected file counts at the next load."""
    assert float(catalogue.load(own=write(SOURCE + CORE)).core("own_board").e_x) == 1200
    assert float(catalogue.load(own=write(SOURCE + CORE.replace("1200", "1300"))).core("own_board").e_x) == 1300


# ---- wrong values: file, row, column, rule and value


@pytest.mark.parametrize(
    ("column", "content", "parts"),
    [
        ("density_kg_m3", "-450", ("between 30 and 1300 [kg/m3]", "-450", "check the sign")),
        ("density_kg_m3", "0", ("between 30 and 1300", "0.0")),
        ("density_kg_m3", "0.45", ("between 30 and 1300", "write 450 if 0.45 g/cm3 is meant")),
        ("density_kg_m3", "26", ("write 416.5 if 26 lb/ft3 is meant",)),
        ("density_kg_m3", "nan", ("must be a finite number [kg/m3]", "nan", "leave it empty")),
        ("density_kg_m3", "inf", ("must be a finite number",)),
        ("density_kg_m3", "true", ("must be a number", "True")),
        ("density_kg_m3", '"450"', None),
        ("density_kg_m3", '"450 kg/m3"', ("must be a number", "write the number alone, in kg/m3")),
        ("density_kg_m3", "[450]", ("must be a number",)),
        ("density_kg_m3", "1" + "0" * 400, ("must be a finite number",)),
        ("density_kg_m3", "{ typical = 450, low = 460 }", ("must lie between its low 460.0 and high None",)),
        ("density_kg_m3", "{ low = 440, high = 460 }", ("must give a typical value",)),
        ("density_kg_m3", "{ typical = 450, top = 460 }", ("may hold only typical, low, high", "top")),
        (
            "density_kg_m3",
            '{ typical = 450, status = "measured" }',
            ("density_kg_m3 status", "must be one of source seen"),
        ),
        ("density_kg_m3", '{ typical = 450, source = "NOBODY" }', ("density_kg_m3 source", "must be a key of sources")),
        ("density_kg_m3", "{ typical = 450, source = [1] }", ("must be text",)),
        ("e_x_mpa", "0.9", ("between 1 and 25000 [MPa]", "write 900 if 0.9 GPa is meant")),
        ("e_x_mpa", "180000", ("write 1241 if 180000 psi is meant",)),
        ("shear_elongation", "20", ("between 0.005 and 1.5 [-]", "write 0.2 if 20 % is meant")),
        ("nu_xy", "0.6", ("between 0 and 0.5",)),
        ("family", '"cheese"', ("must be one of plywood, balsa",)),
        ("structural", '"maybe"', ("must be yes or no",)),
        ("species", '"okoume"', ("must be empty unless the family is plywood",)),
        ("sheet_length_mm", "2.44", ("write 2440 if 2.44 m is meant",)),
        ("name", "3", ("must be text",)),
        ("id", '"Own Board"', ("must be lower-case letters, digits and underscores",)),
        ("status", '"checked"', ("must be one of source seen", "checked")),
        ("source", '"NOBODY"', ("must be a key of sources", "NOBODY")),
        ("e_x", "1200", ("must be a column of the schema", "did you mean e_x_mpa")),
        ("value_provenance", '"e_x_mpa|assumed"', ("must read column|status|source|note",)),
        ("value_provenance", '"e_y_mpa|assumed|ASSUMED"', ("must name a value of the same row", "e_y_mpa")),
    ],
)
def test_wrong_value_of_a_core(write, column, content, parts):
    """One column changed at a time; the message says where, what rule, what value, what next."""
    kept = "".join(line + "\n" for line in CORE.splitlines() if line.split(" = ")[0] != column)
    path = write(SOURCE + kept + f"{column} = {content}\n")
    if parts is None:
        assert float(catalogue.load(own=path).core("own_board").density_kg_m3) == 450
        return
    text = message(path)
    assert text.startswith("own.toml, [[core]] entry 1"), text
    assert "column " + column.split(" ")[0] in text, text
    for part in parts:
        assert part in text, text


@pytest.mark.parametrize("column", ["id", "name", "family", "density_kg_m3", "status", "source"])
def test_missing_value_of_a_new_core(write, column):
    """Every required value is asked for by name."""
    text = message(write(SOURCE + "".join(line + "\n" for line in CORE.splitlines() if line.split(" = ")[0] != column)))
    assert f"column {column} must be given" in text, text


SIZE = """[[plywood_size]]
id = "ply_own_18"
name = "18 mm"
thickness_mm = 18
nearest_inch = "3/4 in"
plies = {}
status = "assumed"
source = "MEMORY"
"""
ENGINE = """[[outboard]]
id = "own_engine"
name = "own engine"
power_hp_low = 20
power_hp_high = 25
power_kw_low = {}
power_kw_high = 18.6
dry_mass_kg = 60
running_mass_kg = 63
controls_mass_kg = 0
battery_mass_kg = 0
fuel_mass_kg = 0
total_mass_kg = 63
status = "assumed"
source = "MEMORY"
"""


@pytest.mark.parametrize(
    ("entry", "good", "wrong", "words"),
    [
        # veneers cross about a middle one, so that there is an odd number of them
        (SIZE, 9, 8, "column plies must be an odd number; received 8"),
        (ENGINE, 14.9, 18.6, "column power_kw_low must be below power_kw_high [kW]; received 18.6"),
        (ENGINE, 14.9, 19, "column power_kw_low must be below power_kw_high [kW]; received 19"),
    ],
)
def test_values_that_are_sound_alone_but_not_together(write, entry, good, wrong, words):
    """Each is taken where the two fit each other."""
    catalogue.load(own=write(entry.format(good)))
    assert words in message(write(entry.format(wrong)))


@pytest.mark.parametrize(("written", "taken"), [("true", True), ("false", False), ('"yes"', True), ('"no"', False)])
def test_a_flag_may_be_written_either_way(write, written, taken):
    """TOML has its own words for it; the tables write yes and no."""
    assert catalogue.load(own=write(SOURCE + CORE + f"structural = {written}\n")).core("own_board").structural is taken


def test_twice_the_same_id(write):
    """Both places are named."""
    text = message(write(SOURCE + CORE + CORE))
    assert "[[core]] entry 2 (own_board), column id must not stand twice in one file" in text and "entry 1" in text


def test_known_id_for_a_different_material(write):
    """A catalogue id cannot be given to another family by accident."""
    text = message(write('[[core]]\nid = "pvc_80"\nfamily = "balsa"\nstatus = "assumed"\nsource = "MEMORY"\n'))
    assert "column family must stay pvc for the catalogue's pvc_80" in text


@pytest.mark.parametrize(
    ("layers", "parts"),
    [
        ("[]", ("components must be a list",)),
        ('"csm"', ("components must be a list",)),
        (
            '[{ kind = "wool", areal_weight_gsm = 300 }]',
            ("layer 1, column kind must be one of csm, woven, cloth, ud", "wool"),
        ),
        ('[{ kind = "csm", areal_weight_gsm = -300 }]', ("between 20 and 3000 [g/m2]", "-300")),
        ('[{ kind = "csm", areal_weight_gsm = 0.45 }]', ("write 450 if 0.45 kg/m2 is meant", "137.3 if 0.45 oz/ft2")),
        ('[{ kind = "csm", areal_weight_gsm = 17 }]', ("write 576.4 if 17 oz/yd2 is meant",)),
        ('[{ kind = "ud", areal_weight_gsm = 300, angle_deg = 0.7854 }]', ("looks like radians", "45")),
        ('[{ kind = "ud", areal_weight_gsm = 300, angle_deg = 450 }]', ("between -180 and 180 [deg]",)),
        ('[{ kind = "csm", areal_weight_gsm = 300, angle_deg = 45 }]', ("must be 0 for random mat",)),
        (
            '[{ kind = "csm", areal_weight_gsm = 300 }, { kind = "ud", areal_weight_gsm = 300 }]',
            ("must have its mat as the last layer",),
        ),
        ('[{ kind = "ud", areal_weight_gsm = 300, position = 2 }]', ("follows from where the layer stands",)),
        ('[{ kind = "ud" }]', ("column areal_weight_gsm must be given",)),
        ('[{ kind = "ud", areal_weight_gsm = 300, colour = "red" }]', ("must be a column of the schema", "colour")),
    ],
)
def test_wrong_layers(write, layers, parts):
    """Layers are checked one by one."""
    head = (
        '[[reinforcement]]\nid = "own_cloth"\nname = "own"\nfamily = "biaxial"\nfibre = "e_glass"\n'
        'status = "assumed"\nsource = "MEMORY"\ncomponents = '
    )
    text = message(write(head + layers + "\n"))
    assert text.startswith("own.toml, [[reinforcement]] entry 1 (own_cloth)"), text
    for part in parts:
        assert part in text, text


def test_reinforcement_without_layers_and_with_unknown_fibre(write):
    """A fabric needs layers and a fibre of the catalogue."""
    head = (
        '[[reinforcement]]\nid = "own_cloth"\nname = "own"\nfamily = "csm"\nfibre = "{}"\n'
        'status = "assumed"\nsource = "MEMORY"\n'
    )
    assert "components must have at least one layer" in message(write(head.format("e_glass")))
    assert "column fibre must be a key of fibres; received 'e_gloss'. Next: did you mean e_glass" in message(
        write(head.format("e_gloss"))
    )


@pytest.mark.parametrize(
    ("column", "content", "part"),
    [
        ("glass_fraction", "43", "write 0.43 if 43 % is meant"),
        ("nu12", "0.9", None),
        ("nu12", "0.94", "root of the modulus ratio"),
        ("reinforcement", '"csm_4500"', "did you mean csm_450"),
        ("process", '"hands"', "did you mean hand"),
        ("basis", '"best"', "must be one of mean"),
        ("specimens", "0", "between 1 and 1000"),
    ],
)
def test_wrong_tested_laminate(write, column, content, part):
    """Test values obey the same rules, and the moduli must fit the Poisson ratio."""
    entry = {
        "id": '"t"',
        "name": '"t"',
        "reinforcement": '"csm_450"',
        "process": '"hand"',
        "basis": '"mean"',
        "status": '"assumed"',
        "source": '"MEMORY"',
        "glass_fraction": "0.3",
        "thickness_mm": "1.05",
        "e1_mpa": "6000",
        "e2_mpa": "7000",
        "nu12": "0.3",
        "g12_mpa": "2500",
    } | {column: content}
    path = write("[[tested_laminate]]\n" + "".join(f"{name} = {cell}\n" for name, cell in entry.items()))
    if part is None:
        assert float(catalogue.load(own=path).tested("csm_450", "hand").nu12) == 0.9
    else:
        assert part in message(path)


# ---- wrong files


@pytest.mark.parametrize(
    ("name", "content", "parts"),
    [
        ("own.csv", b"", ("own.csv must hold at least one row", "empty file")),
        ("own.toml", b" \n\n", ("own.toml must hold at least one row", "empty file")),
        ("own.csv", b",,,\n,,\n", ("must hold a header row",)),
        ("own.csv", HEADER.encode(), ("at least one row below the header",)),
        ("own.toml", b"about = 'nothing'\n", ("must hold at least one material",)),
        ("own.csv", b"PK\x03\x04\x00\x00\x08\x00", ("plain text file", "binary data", "CSV UTF-8")),
        ("own.csv", b"\x89PNG\r\n\x1a\n" + bytes(range(256)), ("plain text file",)),
        ("own.csv", b"id,name\nx,r\xe9sine\n", ("own.csv, row 2 must be saved as UTF-8 text",)),
        ("own.csv", (HEADER + RESIN).encode("utf-16"), ("must be saved as UTF-8 text", "UTF-16")),
        (
            "own.csv",
            (HEADER + RESIN).replace(",", ";").encode(),
            ("row 1 must have its cells separated by commas", "semicolons"),
        ),
        ("own.csv", (HEADER + RESIN).replace(",", "\t").encode(), ("tabs",)),
        (
            "own.csv",
            (HEADER + RESIN.replace("1210", "1210,5")).encode(),
            ("row 2 must have 11 cells", "12 cells", "decimal point (1.2)"),
        ),
        (
            "own.csv",
            (HEADER + RESIN.replace("1210", '"1210,5"')).encode(),
            ("own.csv, row 2, column density_kg_m3 must be a number [kg/m3]", "not a decimal comma: 1210.5"),
        ),
        (
            "own.csv",
            (HEADER + RESIN.replace("1210", "1.21")).encode(),
            ("own.csv, row 2, column density_kg_m3", "write 1210 if 1.21 g/cm3"),
        ),
        ("own.csv", (HEADER + RESIN.replace("1210", "12 10")).encode(), ("must be a number",)),
        ("own.csv", (HEADER + RESIN.replace("1210", "1_210")).encode(), ("must be a number",)),
        (
            "own.csv",
            (HEADER + RESIN.replace("1210", "")).encode(),
            ("must give a typical value beside the low or high one",),
        ),
        ("own.csv", (HEADER + RESIN[:40]).encode(), ("row 2 must have 11 cells like the header", "cut short")),
        (
            "own.csv",
            (HEADER + RESIN.replace("own resin", '"own resin')).encode(),
            ("must be a complete row", "cut short"),
        ),
        ("own.csv", (HEADER + RESIN + RESIN).encode(), ("row 3", "must not stand twice", "it stands in row 2 too")),
        ("own.csv", (HEADER.replace("cure", "family") + RESIN).encode(), ("must name every column once", "family")),
        (
            "own.csv",
            (HEADER.replace("cure", "curing") + RESIN).encode(),
            ("row 1, column curing must be a column of the schema",),
        ),
        (
            "own.csv",
            (HEADER + RESIN.replace("resin,own", "raisin,own")).encode(),
            ("column record must be one of", "did you mean resin"),
        ),
        ("own.csv", (HEADER.replace("record,", "") + RESIN[6:]).encode(), ("column record must be one of",)),
        (
            "own.csv",
            (HEADER + RESIN.replace("resin,own", "core,own")).encode(),
            ("column cure must be a column of the schema",),
        ),
        ("own.toml", (SOURCE + CORE.replace("450", "450,5")).encode(), ("own.toml, line 11", "decimal point (1.2)")),
        ("own.toml", (SOURCE + CORE)[:-8].encode() + b'note = "cut', ("must be valid TOML",)),
        ("own.toml", (SOURCE + CORE + "e_y_mpa = ").encode(), ("must be valid TOML", "own.toml, line")),
        (
            "own.toml",
            (SOURCE + CORE).replace("[[core]]", "[core]").encode(),
            ("must be a list of entries headed [[core]]", "two brackets"),
        ),
        (
            "own.toml",
            (SOURCE + CORE).replace("[[core]]", "[[cores]]").encode(),
            ("may hold only [[core]]", "did you mean core"),
        ),
        ("own.toml", (SOURCE + CORE + "e_x_mpa = 3\n").encode(), ("must be valid TOML", "overwrite")),
        ("own.toml", b"a = " + b"[" * 5000, ("must be",)),
        ("own.toml", (HEADER + RESIN).encode(), ("must be valid TOML",)),
        ("own.xlsx", b"PK\x03\x04", ("own materials file must end in .toml or .csv",)),
    ],
)
def test_wrong_file(write, name, content, parts):
    """Empty, binary, semicolons, decimal commas, cut short, wrong columns: each in words."""
    text = message(write(content, name))
    for part in parts:
        assert part in text, text


def test_file_that_is_missing_a_folder_or_too_large(tmp_path):
    """Nothing is read that is no file, or larger than 2 MB, and the limit itself is allowed."""
    assert "must be a file that exists" in message(tmp_path / "nowhere.toml")
    (tmp_path / "folder.csv").mkdir()
    assert "must be a file that exists" in message(tmp_path / "folder.csv")
    large = tmp_path / "large.csv"
    with large.open("wb") as stream:
        stream.truncate(2_000_001)
    assert "large.csv must be at most 2 MB; received '2,000,001 bytes'" in message(large)
    with large.open("wb") as stream:
        stream.truncate(2_000_000)
    assert "binary data" in message(large)


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.binary(max_size=300), st.sampled_from(["own.toml", "own.csv"]), st.integers(0, 330))
def test_damaged_files_never_end_in_anything_but_words(write, junk, name, cut):
    """Random bytes put into a good file give a catalogue or an InputError, never another exception."""
    good = ((HEADER + RESIN) if name.endswith("csv") else (SOURCE + CORE)).encode()
    path = write(good[:cut] + junk + good[cut:], name)
    try:
        assert "pvc_80" in catalogue.load(own=path).cores
    except InputError as problem:
        assert re.search(r"must|may|follows", str(problem))


@pytest.mark.parametrize("name", ["own.toml", "own.csv"])
def test_every_cut_of_a_file_is_refused_or_complete(write, name):
    """A file cut at any byte gives words, or a catalogue without half a number that breaks a rule."""
    good = (HEADER + RESIN) if name.endswith("csv") else (SOURCE + CORE)
    for cut in range(0, len(good), 3):
        path = write(good[:cut], name)
        try:
            shop = catalogue.load(own=path)
        except InputError:
            continue
        for record in (*shop.cores.values(), *shop.resins.values()):
            if record.id.startswith("own_"):
                assert record.status and record.source and record.density_kg_m3.typical > 30
