"""Records as pandas tables for reading; pandas is imported when a table is asked for."""

from dataclasses import fields

from lamcalc.materials.records import FRACTION_KINDS, Value

NOT_PLAIN = ("components", "fractions", "status", "source", "locator", "note")
VALUE_COLUMNS = ("value", "low", "typical", "high", "unit", "status", "unverified", "source", "citation", "note")


def overview(records, kind, labels, ranges):
    """One row a record, units in the column names [-]."""
    import pandas as pd

    rows = [_row(kind, record, labels.get(kind, {}), ranges) for record in records.values()]
    return pd.DataFrame(rows).set_index("id") if rows else pd.DataFrame(index=pd.Index([], name="id"))


def values(record, kind, labels, sources):
    """One row a value of a record, each with its own origin [-]."""
    import pandas as pd

    named = {_label(labels.get(kind, {}), name)[0]: value for name, value in record.values.items()}
    if kind == "processes":
        named |= {f"glass by mass, {name}": value for name, value in record.fractions}
    rows = [(name, value.low, value.typical, value.high, value.unit, value.status, value.unverified, value.source,
             sources[value.source].citation, value.note) for name, value in named.items()]
    return pd.DataFrame(rows, columns=VALUE_COLUMNS).set_index("value")


def _label(labels, name):
    return labels.get(name, (name.replace("_", " "), ""))


def _row(kind, record, labels, ranges):
    row, found = {"id": record.id}, []
    for item in fields(record):
        if item.name in NOT_PLAIN or item.name == "id":
            continue
        content = getattr(record, item.name)
        label, unit = _label(labels, item.name)
        label = f"{label} [{unit}]" if unit else label
        if isinstance(content, Value):
            found.append(content)
            row[label] = content.typical
            if ranges:
                row |= {f"{label}, low": content.low, f"{label}, high": content.high}
        elif not (content is None and unit):
            row[label] = content
    row |= _nested(kind, record, found)
    row["status"] = "; ".join(dict.fromkeys(value.status for value in found)) or record.status
    if kind != "sources":
        row["source"] = "; ".join(dict.fromkeys(value.source for value in found)) or record.source
        row["locator"], row["note"] = record.locator, record.note
    return row


def _nested(kind, record, found):
    """Columns for what a record holds besides plain values; new values join `found` [-]."""
    if kind == "reinforcements":
        turns = ["" if layer.kind == "csm" else f" at {layer.angle_deg:g}" for layer in record.components]
        layers = [f"{layer.kind} {layer.areal_weight_gsm:g}{turn}"
                  for layer, turn in zip(record.components, turns, strict=True)]
        return {"areal weight [g/m2]": record.areal_weight_gsm, "mat [g/m2]": record.mat_areal_weight_gsm,
                "layers [g/m2 at deg]": " / ".join(layers)}
    if kind == "processes":
        known = dict(record.fractions)
        found.extend(known.values())
        return {f"glass by mass, {name} [-]": known[name].typical for name in FRACTION_KINDS if name in known}
    return {}
