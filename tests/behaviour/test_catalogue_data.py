"""The shipped tables: schema, origins, regular ids, one recommended row a material."""

import csv
import re
import subprocess
import sys
import tomllib
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue, records

pytestmark = pytest.mark.behaviour

DATA = catalogue.data_folder()
SCHEMA = tomllib.loads((DATA / "schema.toml").read_text(encoding="utf-8"))
TABLES = {name: table for name, table in SCHEMA["tables"].items() if "file" in table}
EVIDENCE = sorted(DATA.glob("evidence_*.csv"))

NEEDED = {
    "fibres": "e_glass s_glass carbon aramid",
    "resins": "ortho_polyester iso_polyester dcpd_polyester vinyl_ester epoxy gel_coat",
    "reinforcements": "csm_0_75oz csm_1oz csm_1_5oz csm_2oz csm_225 csm_300 csm_450 csm_600 wr_18oz wr_24oz wr_500"
    " wr_600 wr_800 cloth_4oz cloth_6oz cloth_7_5oz cloth_10oz biax45_12oz biax45_15oz biax45_17oz biax45_24oz biax45_1208"
    " biax45_1508 biax45_1708 biax45_2415 biax090_18oz biax090_1808 ud_9oz ud_13oz ud_18oz ud_300 ud_400 triax_22oz"
    " triax_2208 quad_24oz quad_2408 carbon_ud_300 carbon_biax45_400 carbon_cloth_200 aramid_cloth_170 aramid_ud_300",
    "cores": "ply_okoume ply_meranti ply_douglas_fir balsa_96 balsa_150 balsa_180 pvc_60 pvc_80 pvc_100 pvc_130 pvc_200"
    " san_85 san_107 san_140 pet_80 pet_100 pet_130 pet_150 pet_200 pu_board_240 pu_board_320 pu_board_384 pu_board_416"
    " pu_foam_80 cast_640",
    "veneers": "okoume meranti douglas_fir",
    "processes": "hand hand_complex vacuum_bag infusion",
}


@pytest.fixture(scope="module")
def shop():
    """The shipped catalogue."""
    return catalogue.load()


def read(path):
    """Rows of a csv file as dictionaries."""
    with Path(path).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def every_record(shop):
    """All records with the name of their table."""
    for kind in ("fibres", "resins", "reinforcements", "cores", "veneers", "plywood_sizes", "processes", "outboards"):
        for record in getattr(shop, kind).values():
            yield kind, record


def every_value(shop):
    """All values with the record and the field they belong to."""
    for _, record in every_record(shop):
        named = dict(record.values)
        if isinstance(record, records.Process):
            named |= {f"glass fraction {kind}": value for kind, value in record.fractions}
        for name, value in named.items():
            yield record.id, name, value


def test_every_table_of_the_schema_is_described():
    """Columns have type, label and meaning; values have unit and range; choices are listed."""
    for name, table in SCHEMA["tables"].items():
        assert table["meaning"] and table["record"] and table["key"], name
        for column, rule in (table["columns"] | SCHEMA["common"]).items():
            assert rule["label"] and rule["meaning"], (name, column)
            if rule["type"] in ("value", "number"):
                assert rule["unit"] and rule["min"] < rule["max"], (name, column)
            if rule["type"] == "choice":
                assert len(rule["choices"]) > 1
            if rule["type"] == "reference":
                assert rule["table"] in SCHEMA["tables"]


def test_units_stand_in_the_column_names():
    """A column in MPa, mm, kg/m3, g/m2, degC, min or kg says so in its name."""
    suffix = {
        "MPa": "_mpa",
        "mm": "_mm",
        "kg/m3": "_kg_m3",
        "g/m2": "_gsm",
        "deg": "_deg",
        "degC": "_c",
        "min": "_min",
        "kg": "_kg",
        "lb": "_lb",
        "kg/m2": "_kg_m2",
        "1/degC": "_per_c",
        "hp": ("_hp_low", "_hp_high"),
        "kW": ("_kw_low", "_kw_high"),
        "Barcol": "barcol",
        "-": "",
    }
    for name, table in SCHEMA["tables"].items():
        for column, rule in table["columns"].items():
            if "unit" in rule:
                assert column.endswith(suffix[rule["unit"]]), (name, column)


def test_schema_and_files_match():
    """Every csv belongs to the schema or to the evidence, and holds no column that the schema lacks."""
    listed = {table["file"] for table in TABLES.values()}
    found = {path.name for path in DATA.glob("*.csv")}
    assert found - {path.name for path in EVIDENCE} == listed
    for table in TABLES.values():
        allowed = set(table["columns"]) | (set(SCHEMA["common"]) if table["common"] else set())
        allowed |= {f"{column}_{end}" for column in table["columns"] for end in ("low", "high")}
        assert set(read(DATA / table["file"])[0]) <= allowed, table["file"]


def test_records_follow_the_schema():
    """Every column of the schema is a field of its record, and the other way round."""
    extra = {"reinforcements": {"components"}, "processes": {"fractions"}, "outboards": set()}
    for name, record in (
        ("fibres", records.Fibre),
        ("resins", records.Resin),
        ("cores", records.Core),
        ("reinforcements", records.Reinforcement),
        ("veneers", records.Veneer),
        ("sources", records.Source),
        ("plywood_sizes", records.PlywoodSize),
        ("processes", records.Process),
        ("outboards", records.Outboard),
        ("tested_laminates", records.TestedLaminate),
    ):
        table = SCHEMA["tables"][name]
        columns = set(table["columns"]) | (set(SCHEMA["common"]) if table["common"] else set())
        wanted = {column.removesuffix("_mpa") for column in columns if not column.endswith("_lb")} - {
            "value_provenance"
        }
        assert set(record.__dataclass_fields__) - extra.get(name, set()) == wanted, name


@pytest.mark.parametrize("kind", NEEDED)
def test_needed_materials_are_there(shop, kind):
    """The materials that a small shop asks for."""
    missing = set(NEEDED[kind].split()) - set(getattr(shop, kind))
    assert not missing


def test_one_recommended_row_a_material(shop):
    """No id and no name stands twice in a table."""
    for name, table in TABLES.items():
        rows = read(DATA / table["file"])
        keys = [tuple(row[column] for column in table["key"]) for row in rows]
        assert len(keys) == len(set(keys)), name
        names = [row["name"] for row in rows if "name" in row]
        assert len(names) == len(set(names)), name
    cores = [(core.family, core.species, float(core.density_kg_m3)) for core in shop.cores.values()]
    assert len(cores) == len(set(cores))


def test_every_value_has_unit_range_status_and_a_source_that_resolves(shop):
    """No number without origin; the three numbers are in order."""
    count = 0
    for key, name, value in every_value(shop):
        count += 1
        low, high = value.bounds
        assert low <= float(value) <= high, (key, name)
        assert value.unit and value.status in records.STATUSES, (key, name)
        source = shop.source(value.source)
        assert source.citation, (key, name)
        if source.id in ("MEMORY", "ISOMEM", "LROLD", "FPLRATIOS", "F1839MEM"):
            assert value.status != "source seen", (key, name)
        if value.source == "ASSUMED":
            assert value.status == "assumed", (key, name)
    assert count > 500


def test_evidence_rows_resolve():
    """Every evidence row points at sources or at other evidence, and every row cited by the tables exists."""
    known = {row["id"] for row in read(DATA / "sources.csv")}
    rows = {row["id"]: row for path in EVIDENCE for row in read(path)}
    for key, row in rows.items():
        for token in re.split(r"[ ;]+", row["source_id"].replace("scaled", "").strip()):
            for end in token.split("-"):
                assert end in known or end in rows, (key, token)
    cited = set()
    for table in TABLES.values():
        for row in read(DATA / table["file"]):
            if row.get("locator", "").startswith("evidence"):
                cited |= set(re.findall(r"\b[A-Z]\d\d\b", row["locator"] + row["note"]))
    assert len(cited) > 60 and cited <= set(rows)


def test_evidence_is_readable():
    """Evidence comes as a table; an unknown kind is answered in words."""
    assert catalogue.evidence("core_properties").loc["K03", "high"] == 207
    with pytest.raises(InputError, match="kind of evidence must be one of core_properties"):
        catalogue.evidence("glue")


def test_names_are_generic():
    """Names hold no capitalised word but the trade's own; no text holds a mark, an address or a path."""
    trade = {"E-glass", "S-glass", "DCPD-blend", "PVC", "SAN", "PET", "Douglas", "kW"}
    for table in TABLES.values():
        for row in read(DATA / table["file"]):
            capitals = {word for word in re.split(r"[\s,()/]+", row.get("name", "")) if re.search("[A-Z]", word)}
            assert capitals <= trade, row["name"]
    for path in [*DATA.glob("*.csv"), *DATA.glob("*.toml")]:
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\(R\)|\(TM\)|http|www\.|/work|/tmp|/home|\bTODO\b", text), path.name
        assert text.isascii() and "\r" not in text, path.name


def test_names_carry_both_unit_systems(shop):
    """Weights in a name agree with the layers, in g/m2 and in ounces."""
    per_yard, per_foot = 33.905747, 305.151727
    for fabric in shop.reinforcements.values():
        grams = float(re.search(r"(\d+) g/m2", fabric.name).group(1))
        assert grams == pytest.approx(fabric.areal_weight_gsm, abs=0.51), fabric.id
        yards = re.search(r"([\d.]+) oz/yd2", fabric.name)
        feet = re.search(r"([\d.]+|3/4) oz/ft2", fabric.name)
        ounces = (float(yards.group(1)) * per_yard if yards else 0.0) + (
            (0.75 if feet.group(1) == "3/4" else float(feet.group(1))) * per_foot if feet else 0.0
        )
        assert ounces == pytest.approx(fabric.areal_weight_gsm, rel=0.045), fabric.id  # two digits shown


def test_nominal_weight_is_the_weight_of_the_layers(shop):
    """The weight as sold, converted by exact definitions, is the sum of the layers."""
    factor = {"oz/yd2": 28.349523125 / 0.83612736, "oz/ft2": 28.349523125 / 0.09290304, "g/m2": 1.0}
    for fabric in shop.reinforcements.values():
        parts = re.findall(r"([\d.]+) (oz/yd2|oz/ft2|g/m2)", fabric.nominal)
        assert fabric.areal_weight_gsm == pytest.approx(sum(float(n) * factor[unit] for n, unit in parts), abs=0.11), (
            fabric.id
        )


def test_layers_of_fabrics(shop):
    """Families have the directions their name says; the mat is last; stitched layers are marked."""
    turns = {"biax45": [45, -45], "biax090": [0, 90], "triax": [0, 45, -45], "quad": [0, 45, 90, -45]}
    for key, fabric in shop.reinforcements.items():
        oriented = [layer for layer in fabric.components if layer.kind != "csm"]
        for prefix, wanted in turns.items():
            if key.startswith(prefix):
                assert [layer.angle_deg for layer in oriented] == wanted, key
                assert {layer.fraction_kind for layer in oriented} == {"stitched"}, key
                shares = [layer.areal_weight_gsm for layer in oriented]
                assert max(shares) - min(shares) <= 0.03, key
        assert fabric.has_mat == (fabric.mat_component is not None) == ("with mat" in fabric.name), key
        if fabric.family in ("woven_roving", "cloth"):
            assert 0.8 < float(fabric.crimp_factor) < 1 and float(fabric.warp_share) == 0.5, key


def test_foams_grow_with_density(shop):
    """Within a family density, shear modulus and strengths rise together."""
    for family in ("balsa", "pvc", "san", "pet", "pu_board"):
        cores = sorted(
            (core for core in shop.cores.values() if core.family == family), key=lambda core: core.density_kg_m3.typical
        )
        for name in ("e_z", "g_xz", "compressive_strength", "shear_strength"):
            values = [float(core.require(name)) for core in cores]
            assert values == sorted(values) and len(set(values)) == len(values), (family, name)


def test_cores_are_complete_for_a_sandwich(shop):
    """Every core has what a laminate and a transom need."""
    for core in shop.cores.values():
        for name in ("e_x", "e_y", "g_xy", "nu_xy", "g_xz", "g_yz", "e_z", "compressive_strength", "shear_strength"):
            assert float(core.require(name)) > 0, core.id
        assert core.screw_note and core.moisture_note
    assert [core.id for core in shop.cores.values() if not core.structural] == ["pu_foam_80"]
    cast = shop.core("cast_640")
    assert {value.status for value in cast.values.values()} == {"assumed"}
    board = shop.core("pu_board_416")
    assert board.e_x.status == "assumed" and "UNKNOWN" in board.e_x.note
    assert "Not the modulus for bending" in board.e_z.note and "Unknown" in board.note


def test_resins_and_processes_are_complete(shop):
    """Laminating resins have elastic constants; each process has a fraction for each kind, hand below infusion."""
    for resin in shop.resins.values():
        if resin.family != "gel_coat":
            assert float(resin.require("e")) > 0 and 0.3 < float(resin.require("nu")) < 0.45, resin.id
        assert resin.liquid_density_kg_m3.typical < resin.density_kg_m3.typical, resin.id
    with pytest.raises(InputError, match="e of gel_coat must be known for this calculation"):
        shop.resin("gel_coat").require("e")
    for kind in records.FRACTION_KINDS:
        rising = [
            float(shop.process(name).glass_fraction(kind))
            for name in ("hand_complex", "hand", "vacuum_bag", "infusion")
        ]
        assert rising == sorted(rising), kind
    with pytest.raises(InputError, match="component kind for process hand must be one of csm, woven"):
        shop.process("hand").glass_fraction("spray")


def test_unknown_ids_list_close_matches(shop):
    """A wrong id is answered with ids that look like it."""
    for look_up, wrong, hint in (
        (shop.core, "pu_bord_416", "pu_board_416"),
        (shop.reinforcement, "1708", "biax45_1708"),
        (shop.resin, "vinylester", "vinyl_ester"),
        (shop.process, "infuse", "infusion"),
        (shop.fibre, "glass", "e_glass"),
        (shop.veneer, "Okoume", "okoume"),
        (shop.source, "gibson", "GIBSON1994"),
        (shop.outboard, "outboard_64hp", "outboard_64_9hp"),
    ):
        with pytest.raises(InputError, match=hint):
            look_up(wrong)
    for nonsense in (None, 3, ["csm_450"], ""):
        with pytest.raises(InputError, match="core must be one of the 25 cores"):
            shop.core(nonsense)


def test_plywood_sizes_and_power_bands_are_not_rounded(shop):
    """A size or power outside the table is refused."""
    with pytest.raises(InputError, match="must be a stock size"):
        shop.plywood_size(17)
    with pytest.raises(InputError, match="at most 261"):
        shop.outboard_for(power_kw=300)
    with pytest.raises(InputError, match="greater than 0"):
        shop.outboard_for(power_kw=-5)
    assert shop.outboard_for(power_kw=1.55).id == "outboard_3_9hp"


@pytest.mark.parametrize(
    "kind",
    [
        "sources",
        "fibres",
        "resins",
        "reinforcements",
        "cores",
        "veneers",
        "plywood_sizes",
        "processes",
        "outboards",
        "tested_laminates",
    ],
)
def test_tables_have_units_status_and_source(shop, kind):
    """Every numeric column carries its unit; status and source are columns."""
    table = shop.table(kind, ranges=True)
    assert list(table.index) == list(getattr(shop, kind))
    if not len(table):
        return
    assert "status" in table.columns and (kind == "sources" or "source" in table.columns)
    for column in table.select_dtypes("number").columns:
        assert re.search(r"\[.+\]", column), column


def test_value_table_gives_each_origin(shop):
    """One row a value with its own status and citation."""
    table = shop.value_table("cores", "ply_okoume")
    row = table.loc["transverse shear modulus xz"]
    assert (row["low"], row["typical"], row["high"], row["unit"], row["status"]) == (100, 140, 200, "MPa", "assumed")
    assert row["unverified"] and row["citation"] == shop.source("PLYSHEET").citation
    assert shop.value_table("processes", "hand").loc["glass by mass, csm", "typical"] == 0.30
    with pytest.raises(InputError, match="kind of table must be one of sources, fibres"):
        shop.table("core")


def test_loaded_once_and_shared_by_threads():
    """Sixteen threads get the same object."""
    with ThreadPoolExecutor(16) as pool:
        found = list(pool.map(lambda _: catalogue.load(), range(64)))
    assert len({id(one) for one in found}) == 1


def test_records_cannot_be_changed(shop):
    """Frozen all the way down."""
    with pytest.raises(AttributeError):
        shop.core("pvc_80").family = "san"
    with pytest.raises(AttributeError):
        shop.core("pvc_80").density_kg_m3.typical = 1.0
    with pytest.raises(TypeError):
        shop.cores["pvc_80"] = None


def test_data_folder_prefers_the_installed_copy(tmp_path, monkeypatch):
    """Inside a package `_data` wins, else the checkout; without either there is a plain message."""
    module = tmp_path / "site" / "lamcalc" / "materials" / "catalogue.py"
    module.parent.mkdir(parents=True)
    monkeypatch.setattr(catalogue, "__file__", str(module))
    with pytest.raises(InputError, match="data folder must be installed"):
        catalogue.data_folder()
    for folder in (tmp_path / "site" / "data", tmp_path / "site" / "lamcalc" / "_data"):
        folder.mkdir()
        (folder / "schema.toml").write_text("", encoding="utf-8")
        assert catalogue.data_folder() == folder


def test_reading_the_catalogue_loads_no_heavy_package():
    """The csv and toml readers of Python are enough; pandas waits for the first table."""
    code = (
        "import sys; from lamcalc.materials import catalogue; catalogue.load();"
        "print(sorted({'pandas', 'pint', 'matplotlib', 'pydantic', 'ipywidgets', 'tomlkit'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
