"""From the bytes of a CSV or TOML file to rows, with errors that say where; opens no file."""

import csv
import io
import re
import tomllib
from dataclasses import dataclass, field
from difflib import get_close_matches
from types import MappingProxyType

from lamcalc.errors import InputError

DECIMAL_COMMA = re.compile(r"(?<![\w.])\d+,\d+")
MOST_COLUMNS = 500
MOST_DEPTH = 12
# strings and comments as wholes, then brackets and dotted keys
TOML_WORD = re.compile(
    r'"""(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}|\'\'\'(?:[^\']++|\'{1,2}(?!\'))*+\'{3,5}'
    r'|"(?:[^"\\\n]++|\\.)*+"|\'[^\'\n]*+\'|\#[^\n]*+|[ \t]++|[\[\]{}=,.\n]|[^ \t\[\]{}=,\#"\'.\n]++', re.DOTALL)
VALUE_KEYS = ("typical", "low", "high", "status", "source", "note")


@dataclass(frozen=True)
class Row:
    """One row as read: text cells from CSV, typed cells from TOML [-]."""

    file: str
    place: str
    cells: dict
    provenance: MappingProxyType = field(default_factory=lambda: MappingProxyType({}))

    def error(self, column, rule, value, next_step=""):
        """Error that names file, row, column, rule and value [-]."""
        where = f"{self.file}, {self.place}" + (f", column {column}" if column else "")
        return InputError(where, rule, value, next_step)


def close_to(word, known, count=3):
    """Known words that look like `word`, as a hint [-]."""
    wanted, lower = str(word).lower(), {str(name).lower(): str(name) for name in known}
    found = get_close_matches(wanted, lower, n=count, cutoff=0.5)
    found += [name for name in lower if wanted and wanted in name and name not in found]
    found = [lower[name] for name in found[:count]]
    return f"did you mean {' or '.join(found)}?" if found else ""


def decode(data, file):
    """Text of a file saved as UTF-8; byte order mark and line ends of any system are accepted [-]."""
    if not data.strip():
        raise InputError(file, "must hold at least one row", "an empty file", "fill the file, or leave it out")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise InputError(file, "must be saved as UTF-8 text", "UTF-16 text", "save it again as 'CSV UTF-8'")
    if b"\x00" in data:
        raise InputError(file, "must be a plain text file, CSV or TOML", "binary data",
                         "a spreadsheet must be saved as 'CSV UTF-8' first")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        raise InputError(f"{file}, row {line}", "must be saved as UTF-8 text", data[problem.start:problem.start + 1],
                         "save it again as 'CSV UTF-8'") from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def csv_rows(text, file):
    """Rows of a comma-separated file with one header row [-]."""
    reader = csv.reader(io.StringIO(text), strict=True)
    try:
        lines = [(reader.line_num, [cell.strip() for cell in line]) for line in reader]
    except csv.Error as problem:
        raise InputError(f"{file}, row {reader.line_num}", f"must be a complete row ({problem})",
                         text.splitlines()[-1], "the file may be cut short: close the quotation mark") from None
    lines = [(number, line) for number, line in lines if any(line)]
    if not lines:
        raise InputError(file, "must hold a header row and rows below it", "empty cells only", "fill the file")
    header = _header(lines[0][1], file)
    if len(lines) == 1:
        raise InputError(file, "must hold at least one row below the header", "a header alone", "add the rows")
    return [Row(file, f"row {number}", dict(zip(header, _filled(line, header, file, number), strict=True)))
            for number, line in lines[1:]]


def _without_empty_end(cells, least):
    """Cells without the empty ones that a spreadsheet adds at the end, but at least so many of them [-]."""
    size = len(cells)
    while size > least and not cells[size - 1]:
        size -= 1
    return cells[:size]


def _header(names, file):
    names = _without_empty_end(names, 0)
    if len(names) > MOST_COLUMNS:
        raise InputError(f"{file}, row 1", f"must have at most {MOST_COLUMNS} columns", f"{len(names)} columns",
                         "check that this is a file of materials")
    if len(names) == 1 and re.search("[;\t]", names[0]):
        sign = "semicolons" if ";" in names[0] else "tabs"
        raise InputError(f"{file}, row 1", "must have its cells separated by commas", f"cells separated by {sign}",
                         "save it again with commas, and with decimal points in the numbers")
    twice = [name for name in names if names.count(name) > 1]
    if twice:
        raise InputError(f"{file}, row 1", "must name every column once", twice[0], "remove the second column")
    return names


def _filled(line, header, file, number):
    line = _without_empty_end(line, len(header))
    if len(line) == len(header):
        return line
    rule = f"must have {len(header)} cells like the header"
    if len(line) > len(header):
        hint = "write a decimal point (1.2), not a decimal comma (1,2), and put texts with commas in quotation marks"
        raise InputError(f"{file}, row {number}", rule, f"{len(line)} cells: {','.join(line)}", hint)
    raise InputError(f"{file}, row {number}", rule, f"{len(line)} cells: {','.join(line)}",
                     "the row or the file is cut short: complete it")


def toml_rows(text, file, tables):
    """Rows of an own file in TOML, by table name; components are taken out of their reinforcement [-]."""
    document = _parsed(text, file)
    by_record = {table["record"]: name for name, table in tables.items()}
    rows = {name: [] for name in tables}
    document.pop("about", None)
    if not document:
        raise InputError(file, "must hold at least one material", "no entries", "add for example a [[core]] entry")
    for record, entries in document.items():
        if record not in by_record or record == "component":
            known = sorted(set(by_record) - {"component"})
            raise InputError(file, f"may hold only [[{']], [['.join(known)}]] entries", record,
                             close_to(record, known) or "correct the name of the entry")
        if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
            raise InputError(f"{file}, {record}", f"must be a list of entries headed [[{record}]]", entries,
                             f"write [[{record}]] with two brackets above each entry")
        for number, entry in enumerate(entries, 1):
            place = f"[[{record}]] entry {number}" + (f" ({entry['id']})" if isinstance(entry.get("id"), str) else "")
            _add_entry(rows, by_record[record], Row(file, place, dict(entry)))
    return {name: found for name, found in rows.items() if found}


def _check_depth(text, file):
    """Refuse brackets and dotted keys without end before any parser spends its time on them."""
    depth = dots = at = 0
    while match := TOML_WORD.match(text, at):  # ends at a quotation mark without a partner, as the parser does
        word, at = match.group(), match.end()
        if word in ("[", "{"):
            depth += 1
        elif word in ("]", "}"):
            depth = max(0, depth - 1)
        dots = dots + 1 if word == "." else 0 if word in ("[", "]", "{", "}", "=", ",", "\n") else dots
        if max(depth, dots) > MOST_DEPTH:
            line = text.count("\n", 0, match.start()) + 1
            raise InputError(f"{file}, line {line}", f"must be a plain TOML file, at most {MOST_DEPTH} tables or lists "
                             "inside each other", "deeper nesting", "write a plainer file")


def _parsed(text, file):
    _check_depth(text, file)
    try:
        return tomllib.loads(text)
    except ValueError as problem:  # also a number of more digits than Python reads
        found = re.search(r"at line (\d+)", str(problem))
        lines = text.splitlines()
        line = int(found.group(1)) if found else len(lines)
        shown = lines[min(line, len(lines)) - 1]
        hint = "correct that line"
        if not found:
            hint = "the file is cut short: complete the last line"
        elif DECIMAL_COMMA.search(shown):
            hint = "write a decimal point (1.2), not a decimal comma (1,2)"
        raise InputError(f"{file}, line {line}", f"must be valid TOML ({problem})", shown, hint) from None


def _add_entry(rows, table, row):
    layers = row.cells.pop("components", None) if table == "reinforcements" else None
    rows[table].append(_flattened(row))
    if layers is None:
        return
    if not isinstance(layers, list) or not layers or not all(isinstance(layer, dict) for layer in layers):
        raise row.error("components", "must be a list such as [{ kind = 'ud', areal_weight_gsm = 300, angle_deg = 0 }]",
                        layers, "list the layers, mould side first and mat last")
    for position, layer in enumerate(layers, 1):
        part = Row(row.file, f"{row.place} layer {position}",
                   layer | {"reinforcement": row.cells.get("id", ""), "position": position})
        for column in ("reinforcement", "position"):
            if column in layer:
                raise part.error(column, "follows from where the layer stands", layer[column], "remove it")
        rows["reinforcement_components"].append(part)


def _flattened(row):
    """Value tables { typical = .., low = .. } as the columns that a CSV row has [-]."""
    cells, provenance = {}, {}
    for column, content in row.cells.items():
        if not isinstance(content, dict):
            cells[column] = content
            continue
        for key in ("status", "source", "note"):
            if not isinstance(content.get(key, ""), str):
                raise row.error(f"{column} {key}", "must be text", content[key], "put it in quotation marks")
        for key in content:
            if key not in VALUE_KEYS:
                raise row.error(column, f"may hold only {', '.join(VALUE_KEYS)}", key, close_to(key, VALUE_KEYS))
        if "typical" not in content:
            raise row.error(column, "must give a typical value", content, "add typical = ...")
        cells[column] = content["typical"]
        cells |= {f"{column}_{end}": content[end] for end in ("low", "high") if end in content}
        provenance[column] = tuple(content.get(key, "") for key in ("status", "source", "note"))
    return Row(row.file, row.place, cells, MappingProxyType(provenance))
