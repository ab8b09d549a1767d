"""Checks of rows against `data/schema.toml`: text or numbers in, typed cells out; opens no file."""

import math
import re

from lamcalc.errors import InputError, angle
from lamcalc.materials._text import close_to
from lamcalc.materials.records import Value

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?")
# tab and line ends become blanks; anything else that cannot be seen may turn a line round or break a page
CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
MATERIAL_ID, SOURCE_ID = re.compile(r"[a-z][a-z0-9_]*"), re.compile(r"[A-Za-z][A-Za-z0-9_]*")
# units that people write by mistake, with the factor to the unit of the column; for hints only
MISTAKEN_UNITS = {
    "kg/m3": ((1000.0, "g/cm3"), (16.01846, "lb/ft3")),
    "MPa": ((1000.0, "GPa"), (6.894757e-3, "psi"), (6.894757, "ksi"), (1e-6, "Pa")),
    "g/m2": ((1000.0, "kg/m2"), (33.90575, "oz/yd2"), (305.1517, "oz/ft2")),
    "mm": ((25.4, "in"), (1000.0, "m")),
    "-": ((0.01, "%"),),
    "1/degC": ((1e-6, "millionths per degC"),),
    "kg": ((0.45359237, "lb"),),
}


def field_name(column):
    """Name of the record field of a column: MPa needs no suffix in the package [-]."""
    return column.removesuffix("_mpa")


def all_columns(spec):
    """Every column name that a table allows [-]."""
    names = {}
    for column, rule in spec.items():
        names[column] = rule
        if rule["type"] == "value":
            names |= {f"{column}_low": rule, f"{column}_high": rule}
    return names


def checked_cells(row, spec):
    """Typed cells of one row by field name; empty cells are left out [-]."""
    allowed = all_columns(spec)
    for column in row.cells:
        if column not in allowed:
            raise row.error(column, "must be a column of the schema", column,
                            close_to(column, allowed) or "remove the column or correct its name")
    if "status" in spec and "source" in spec:
        for column in ("status", "source"):
            if _empty(row.cells.get(column)) and spec[column].get("required"):
                raise row.error(column, "must be given: every number names its origin", row.cells.get(column, ""),
                                "write for example status 'source seen' and the key of the source")
    origins = _origins(row, spec)
    cells = {}
    for column, rule in spec.items():
        if _empty(row.cells.get(column)):
            _refuse_lone_ends(row, column)
        elif rule["type"] == "value":
            cells[field_name(column)] = _value(row, column, rule, origins.get(column, _row_origin(row)))
        elif rule["type"] != "provenance":
            cells[field_name(column)] = _PLAIN[rule["type"]](row, column, rule, row.cells[column])
    return cells


def check_required(row, spec, cells):
    """Refuse a row that lacks a required column [-]."""
    for column, rule in spec.items():
        if rule.get("required") and field_name(column) not in cells:
            raise row.error(column, f"must be given ({rule['meaning']})", "nothing", f"fill in {column}")


def _empty(content):
    return content is None or (isinstance(content, str) and not content.strip())


def _row_origin(row):
    return row.cells.get("status", ""), row.cells.get("source", ""), ""


def _refuse_lone_ends(row, column):
    for end in ("low", "high"):
        if not _empty(row.cells.get(f"{column}_{end}")):
            raise row.error(column, "must give a typical value beside the low or high one", "", "fill in the value")


def _origins(row, spec):
    """Status, source and note of the values whose origin differs from that of the row [-]."""
    found = {}
    text = row.cells.get("value_provenance", "")
    entries = [part.split("|") for part in str(text).split(";") if part.strip()]
    for entry in [[piece.strip() for piece in parts] for parts in entries]:
        if not 3 <= len(entry) <= 4:
            raise row.error("value_provenance", "must read column|status|source|note", "|".join(entry), "correct it")
        found[entry[0]] = (entry[1], entry[2], entry[3] if len(entry) == 4 else "")
    default = _row_origin(row)
    found |= {column: (origin[0] or default[0], origin[1] or default[1], origin[2])
              for column, origin in row.provenance.items()}
    for column, origin in found.items():
        if spec.get(column, {}).get("type") != "value" or _empty(row.cells.get(column)):
            raise row.error("value_provenance", "must name a value of the same row", column, close_to(column, spec))
        _choice(row, f"{column} status", spec["status"], origin[0])
        for name, content in zip(("source", "note"), origin[1:], strict=True):
            if not isinstance(content, str):
                raise row.error(f"{column} {name}", "must be text", content, "put it in quotation marks")
    return found


def _value(row, column, rule, origin):
    ends = [row.cells.get(f"{column}_{end}") for end in ("low", "high")]
    low, high = (None if _empty(end) else _number(row, f"{column}_{name}", rule, end)
                 for end, name in zip(ends, ("low", "high"), strict=True))
    typical = _number(row, column, rule, row.cells[column])
    if (low is not None and low > typical) or (high is not None and high < typical):
        raise row.error(column, f"must lie between its low {low} and high {high} [{rule['unit']}]", typical,
                        "put the three numbers in order")
    status, source, note = origin
    return Value(typical, low, high, rule["unit"], status, source, note)


def _number(row, column, rule, content):
    unit = rule["unit"]
    if isinstance(content, str):
        if content.strip().lower() in ("nan", "inf", "-inf", "+inf", "infinity", "n/a", "na"):
            raise row.error(column, f"must be a finite number [{unit}]", content, "leave it empty if it is not known")
        if not NUMBER.fullmatch(content.strip()):
            raise row.error(column, f"must be a number [{unit}]", content, _number_hint(content, unit))
    elif isinstance(content, bool) or not isinstance(content, (int, float)):
        raise row.error(column, f"must be a number [{unit}]", content, "write digits only, without quotation marks")
    try:
        number = float(content)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise row.error(column, f"must be a finite number [{unit}]", content, "leave it empty if it is not known")
    if not rule["min"] <= number <= rule["max"]:
        raise row.error(column, f"must lie between {rule['min']:g} and {rule['max']:g} [{unit}]", number,
                        _unit_hint(number, rule) or "check the sign, the unit and the entry")
    return number


def _number_hint(content, unit):
    if re.fullmatch(r"[+-]?\d*,\d+\s*", content):
        return f"write a decimal point, not a decimal comma: {content.strip().replace(',', '.')}"
    if content.strip().endswith("%"):
        return "write a fraction, such as 0.30 for 30 %"
    if re.match(r"[+-]?\d", content.strip()):
        return f"write the number alone, in {unit if unit != '-' else 'plain figures'}, without unit or blanks"
    return "write digits only, or leave it empty if it is not known"


def _unit_hint(number, rule):
    if rule["unit"] == "-" and rule["max"] > 2:
        return ""  # a count, not a fraction
    guesses = [(number * factor, unit) for factor, unit in MISTAKEN_UNITS.get(rule["unit"], ())
               if rule["min"] <= number * factor <= rule["max"] and number != 0]
    if not guesses:
        return ""
    wanted = "" if rule["unit"] == "-" else f" {rule['unit']}"
    return "write " + " or ".join(f"{value:.4g} if {number:g} {unit} is meant" for value, unit in guesses) + (
        f" (the column is in{wanted})" if wanted else "")


def _text(row, column, rule, content):
    if not isinstance(content, str):
        raise row.error(column, "must be text", content, "put it in quotation marks")
    if CONTROL.search(content):
        raise row.error(column, "must not contain control characters", content, "type the text again")
    if len(content) > 2000:
        raise row.error(column, "must be at most 2000 characters", content, "shorten it")
    return " ".join(content.split())


def _choice(row, column, rule, content):
    if content not in rule["choices"]:
        raise row.error(column, f"must be one of {', '.join(rule['choices'])}", content,
                        close_to(content, rule["choices"]) or "choose one of them")
    return content


def _flag(row, column, rule, content):
    if isinstance(content, bool):
        return content
    if content not in ("yes", "no"):
        raise row.error(column, "must be yes or no", content, "write yes or no")
    return content == "yes"


def _id(row, column, rule, content):
    pattern = SOURCE_ID if "key used by" in rule["meaning"] else MATERIAL_ID
    if not isinstance(content, str) or not pattern.fullmatch(content):
        raise row.error(column, "must be lower-case letters, digits and underscores, beginning with a letter",
                        content, "for example csm_450")
    return content


_PLAIN = {"number": _number, "text": _text, "choice": _choice, "flag": _flag, "id": _id, "reference": _text}


def check_layers(row, layers):
    """Refuse layers that no mat or fabric has: gaps, mat inside, a mat with an angle [-]."""
    if [layer["position"] for layer in layers] != list(range(1, len(layers) + 1)):
        raise row.error("position", "must count 1, 2, 3 ... through the layers",
                        [layer["position"] for layer in layers], "number the layers from the mould side")
    kinds = [layer["kind"] for layer in layers]
    if len(kinds) > 1 and "csm" in kinds[:-1]:
        raise row.error("kind", "must have its mat as the last layer", kinds,
                        "list the mat last, whichever way it is laid")
    for layer in layers:
        try:
            turned = float(angle("layer angle", layer.get("angle_deg", 0.0)))
        except InputError as problem:
            raise row.error("angle_deg", problem.rule, problem.value, problem.next_step) from None
        if layer["kind"] == "csm" and turned != 0.0:
            raise row.error("angle_deg", "must be 0 for random mat", turned, "remove the angle")


def check_together(table, row, cells):
    """Refuse values that are sound alone but not together [-]."""
    if table == "tested_laminates":
        _check_poisson(row, "nu12", cells["nu12"], cells["e1"], cells["e2"])
    if table == "cores" and {"nu_xy", "e_x", "e_y"} <= set(cells):
        _check_poisson(row, "nu_xy", cells["nu_xy"], cells["e_x"], cells["e_y"])
    if table == "cores" and cells.get("species") and cells["family"] != "plywood":
        raise row.error("species", "must be empty unless the family is plywood", cells["species"], "remove it")
    if table == "plywood_sizes" and cells["plies"].typical % 2 != 1:
        raise row.error("plies", "must be an odd number", cells["plies"].typical, "count the veneers on an edge")
    if table == "outboards" and not cells["power_kw_low"] < cells["power_kw_high"]:
        raise row.error("power_kw_low", "must be below power_kw_high [kW]", cells["power_kw_low"], "check the band")


def _check_poisson(row, name, nu, e_along, e_across):
    limit = math.sqrt(e_along.typical / e_across.typical)
    if not nu.typical < limit:
        raise row.error(name, f"must be below the root of the modulus ratio, {limit:.3g} [-], or the ply could give "
                              "out energy", nu.typical, "check the moduli and which of the two ratios it is")
