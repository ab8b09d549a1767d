"""The catalogue of materials: the only code that opens `data/`.

`load` reads the shipped tables once, checks every cell against `data/schema.toml`
and, if asked, merges a file of the shop's own materials over them.  Nothing is
ever written.
"""

import functools
import os
import threading
import tomllib
from pathlib import Path

from lamcalc.errors import InputError
from lamcalc.materials import _build, _text
from lamcalc.materials._checks import field_name
from lamcalc.materials.shelf import Catalogue, Shelf

LARGEST_OWN_FILE = 2_000_000  # bytes
_LOCK = threading.RLock()


def data_folder():
    """Folder of the shipped data: inside an installed package, else of the checkout.

    Returns
    -------
    Path
        The folder [-].

    Raises
    ------
    InputError
        If neither place holds the data.

    Examples
    --------
    >>> (data_folder() / "schema.toml").is_file()
    True
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "_data", package.parent / "data"):
        if (folder / "schema.toml").is_file():
            return folder
    raise InputError("data folder", "must be installed with the package", str(package), "install the package again")


def load(own=None):
    """The catalogue, with a file of own materials merged over it if one is given.

    Parameters
    ----------
    own : path, optional
        File of own materials, TOML or CSV, at most 2 MB.  An entry with a known id replaces
        the values that it gives and keeps the others; a new id must be complete [-].

    Returns
    -------
    Catalogue
        The shipped catalogue is read once and shared; an own file is read at every call [-].

    Raises
    ------
    InputError
        If the own file breaks a rule: the message names file, row, column, rule and value.

    Notes
    -----
    Layout of an own file: see `data/own_materials_example.toml`.  A CSV file has the columns
    of `data/schema.toml` and first a column `record` saying what each row is (core, resin, ...).

    Examples
    --------
    >>> load() is load()
    True
    >>> load().core("pvc_80").family
    'pvc'
    """
    if own is None:
        with _LOCK:
            return _shipped()
    path = _own_path(own)
    schema, tables = _schema(), _shipped_tables()
    rows = _own_rows(path, schema)
    checked = {table: _build.checked_table(found, table, schema) for table, found in rows.items()}
    return _catalogue(_build.merged(tables, checked), schema, path.name)


def outboards():
    """Outboard engine masses by power band.

    Returns
    -------
    Shelf
        `Outboard` records by id, smallest band first [-].

    References
    ----------
    33 CFR 183 subpart H as updated from ABYC S-30 (82 FR 16512), table of engine weights.

    Examples
    --------
    >>> len(outboards())
    14
    """
    return load().outboards


def evidence(kind):
    """The published and remembered numbers behind one table, as they were collected.

    Parameters
    ----------
    kind : str
        'fibres', 'resins', 'cores', 'core_properties', 'glass_fractions', 'reinforcements'
        or 'plywood_sizes' [-].

    Returns
    -------
    DataFrame
        One row a finding, with its source key; units in the column names or in column `unit` [-].

    Raises
    ------
    InputError
        If there is no such evidence.

    Examples
    --------
    >>> evidence("fibres").loc["F05", "fibre"]
    'E-glass'
    """
    import pandas as pd

    known = sorted(path.stem.removeprefix("evidence_") for path in data_folder().glob("evidence_*.csv"))
    if kind not in known:
        raise InputError("kind of evidence", f"must be one of {', '.join(known)}", kind, _text.close_to(kind, known))
    return pd.read_csv(data_folder() / f"evidence_{kind}.csv", index_col="id", encoding="utf-8")


def _schema():
    with _LOCK:
        return _read_schema()


@functools.cache
def _read_schema():
    with (data_folder() / "schema.toml").open("rb") as stream:
        return tomllib.load(stream)


def _shipped_tables():
    with _LOCK:
        return _read_tables()


@functools.cache
def _read_tables():
    schema, folder, tables = _read_schema(), data_folder(), {}
    for table, spec in schema["tables"].items():
        rows = []
        if "file" in spec:
            rows = _text.csv_rows(_text.decode((folder / spec["file"]).read_bytes(), spec["file"]), spec["file"])
        tables[table] = _build.checked_table(rows, table, schema)
    return tables


@functools.cache
def _shipped():
    return _catalogue(_read_tables(), _read_schema(), "")


def _catalogue(tables, schema, own):
    built = _build.build(tables, schema)
    labels = {table: {field_name(column): (rule["label"], rule.get("unit", ""))
                      for column, rule in _build.full_spec(schema, table).items() if column != "id"} for table in built}
    return Catalogue(**{table: Shelf(found) for table, found in built.items()}, labels=labels, own=own)


def _own_path(own):
    if not isinstance(own, str | os.PathLike) or not isinstance(os.fspath(own), str) or "\0" in os.fspath(own):
        raise InputError("own materials file", "must be the path of a file", own, "give the name of a file")
    return Path(own)


def _own_rows(path, schema):
    suffix = path.suffix.lower()
    if suffix not in (".toml", ".csv"):
        raise InputError("own materials file", "must end in .toml or .csv", path.name, "save it as one of the two")
    text = _text.decode(_own_bytes(path), path.name)
    if suffix == ".toml":
        return _text.toml_rows(text, path.name, schema["tables"])
    return _build.own_csv_tables(_text.csv_rows(text, path.name), schema)


def _own_bytes(path):
    try:
        if not path.is_file():
            raise InputError("own materials file", "must be a file that exists", str(path),
                             "check the name and the folder")
        size = path.stat().st_size
        if size > LARGEST_OWN_FILE:
            raise InputError(path.name, "must be at most 2 MB", f"{size:,} bytes", "check that it is the right file")
        return path.read_bytes()
    except OSError as problem:
        raise InputError(path.name, f"must be readable ({problem.strerror})", str(path),
                         "check its permissions") from None
