"""From checked rows to records: merging, cross references, nested records; opens no file."""

from dataclasses import dataclass, fields

from lamcalc.errors import InputError
from lamcalc.materials import records
from lamcalc.materials._checks import (
    all_columns,
    check_layers,
    check_required,
    check_together,
    checked_cells,
    field_name,
)
from lamcalc.materials._text import Row, close_to
from lamcalc.materials.records import Component, Value

CLASSES = {
    "sources": records.Source, "fibres": records.Fibre, "resins": records.Resin,
    "reinforcements": records.Reinforcement, "cores": records.Core, "veneers": records.Veneer,
    "plywood_sizes": records.PlywoodSize, "processes": records.Process, "outboards": records.Outboard,
    "tested_laminates": records.TestedLaminate,
}


@dataclass(frozen=True)
class Checked:
    """Cells that passed the schema, with the row they came from for messages [-]."""

    row: Row
    cells: dict


def full_spec(schema, table):
    """Columns of a table with the common ones [-]."""
    spec = schema["tables"][table]
    return spec["columns"] | (schema["common"] if spec["common"] else {})


def checked_table(rows, table, schema):
    """Rows of one table by key; a key may stand only once in a file [-]."""
    spec, key_columns = full_spec(schema, table), schema["tables"][table]["key"]
    found = {}
    for row in rows:
        cells = checked_cells(row, spec)
        for column in key_columns:
            if column not in cells:
                raise row.error(column, "must be given, it is the key of the row", "nothing", f"fill in {column}")
        key = tuple(cells[column] for column in key_columns)
        if key in found:
            raise row.error(", ".join(key_columns), "must not stand twice in one file",
                            " ".join(str(part) for part in key), f"it stands in {found[key].row.place} too: remove one")
        found[key] = Checked(row, cells)
    return found


def merged(base, own):
    """Own tables over the shipped ones: given cells replace, layers of a reinforcement replace as a whole [-]."""
    result = {table: dict(rows) for table, rows in base.items()}
    relaid = {key[0] for key in own.get("reinforcement_components", ())}
    result["reinforcement_components"] = {key: row for key, row in result["reinforcement_components"].items()
                                          if key[0] not in relaid}
    for table, rows in own.items():
        for key, entry in rows.items():
            old = result[table].get(key)
            if old and entry.cells.get("family") != old.cells.get("family") and "family" in entry.cells:
                raise entry.row.error("family", f"must stay {old.cells['family']} for the catalogue's {' '.join(key)}",
                                      entry.cells["family"], "give a different material an id of its own")
            result[table][key] = Checked(entry.row, (old.cells if old else {}) | entry.cells)
    return result


def build(tables, schema):
    """Records by table and id, after every required cell and reference was found [-]."""
    for table, rows in tables.items():
        spec = full_spec(schema, table)
        for entry in rows.values():
            check_required(entry.row, spec, entry.cells)
            _check_references(entry, spec, tables)
            check_together(table, entry.row, entry.cells)
    layers, fractions = _layers(tables), _fractions(tables)
    _check_one_test_each(tables["tested_laminates"])
    built = {}
    for table, record in CLASSES.items():
        names = {item.name for item in fields(record)}
        built[table] = {}
        for (key,), entry in tables[table].items():
            cells = {name: cell for name, cell in entry.cells.items() if name in names}
            if table == "reinforcements":
                cells["components"] = _components(entry, layers.get(key, ()))
            if table == "processes":
                cells["fractions"] = tuple(fractions.get(key, ()))
            built[table][key] = record(**cells)
    return built


def _check_references(entry, spec, tables):
    for column, rule in spec.items():
        if rule["type"] == "reference" and field_name(column) in entry.cells:
            _check_known(entry.row, column, entry.cells[column], rule["table"], tables)
    for name, cell in entry.cells.items():
        if isinstance(cell, Value):
            _check_known(entry.row, f"{name} source", cell.source, "sources", tables)


def _check_known(row, column, key, table, tables):
    if (key,) not in tables[table]:
        known = [entry[0] for entry in tables[table]]
        raise row.error(column, f"must be a key of {table}", key,
                        close_to(key, known) or f"add the missing entry of {table} or correct the key")


def _layers(tables):
    found = {}
    for entry in sorted(tables["reinforcement_components"].values(), key=lambda item: item.cells["position"]):
        found.setdefault(entry.cells["reinforcement"], []).append(entry)
    for entries in found.values():
        check_layers(entries[0].row, [entry.cells for entry in entries])
    return found


def _components(entry, layers):
    if not layers:
        raise entry.row.error("components", "must have at least one layer", "no layers",
                              "list the layers with kind, areal_weight_gsm and angle_deg")
    cells = [layer.cells for layer in layers]
    stitched = sum(cell["kind"] == "ud" for cell in cells) > 1
    return tuple(Component(cell["kind"], cell["areal_weight_gsm"], cell.get("angle_deg", 0.0),
                           "stitched" if stitched and cell["kind"] == "ud" else "") for cell in cells)


def _fractions(tables):
    found = {}
    for entry in tables["glass_fractions"].values():
        found.setdefault(entry.cells["process"], []).append((entry.cells["kind"], entry.cells["glass_fraction"]))
    return found


def _check_one_test_each(rows):
    seen = {}
    for entry in rows.values():
        key = tuple(entry.cells.get(name, "") for name in ("reinforcement", "process", "resin"))
        if key in seen:
            raise entry.row.error("reinforcement", "must have one set of test values per process and resin",
                                  " ".join(key).strip(), f"{seen[key]} has the same: keep one")
        seen[key] = entry.cells["id"]


def own_csv_tables(rows, schema):
    """Rows of an own CSV file by table; its column `record` says which table each belongs to [-]."""
    by_record = {table["record"]: name for name, table in schema["tables"].items()}
    columns = {table: set(all_columns(full_spec(schema, table))) for table in schema["tables"]}
    everything = set().union(*columns.values()) | {"record"}
    for column in rows[0].cells:
        if column not in everything:
            raise InputError(f"{rows[0].file}, row 1, column {column}", "must be a column of the schema", column,
                             close_to(column, everything) or "remove the column or correct its name")
    found = {}
    for row in rows:
        record = row.cells.get("record", "")
        if record not in by_record:
            raise row.error("record", f"must be one of {', '.join(by_record)}", record,
                            close_to(record, by_record) or "say what the row describes, for example core")
        cells = {column: cell for column, cell in row.cells.items()
                 if column != "record" and (cell or column in columns[by_record[record]])}
        found.setdefault(by_record[record], []).append(Row(row.file, row.place, cells))
    return found

