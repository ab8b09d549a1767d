"""Every open check row as a test of its own: printed value, source, tolerance from the printed digits."""

import csv
import importlib
import json
import math
from pathlib import Path

import pytest

pytestmark = pytest.mark.published
HERE = Path(__file__).parent
MODULES = [importlib.import_module(f"cases_{path.stem[6:]}") for path in sorted(HERE.glob("cases_*.py"))]
CASES = {name: fn for module in MODULES for name, fn in getattr(module, "CASES", {}).items()}
FUNCTIONS = {name: fn for module in MODULES for name, fn in getattr(module, "FUNCTIONS", {}).items()}

# rows whose printed digits are cut off instead of rounded: the last printed digit is one too low
TRUNCATED = {"M6-18": "1/(40e6 x 246e6) = 1.01626e-16, printed 1.0162e-16"}


def cut_off(value, printed):
    """A positive value with its digits cut off after as many as are printed."""
    digits, exponent = printed.lower().split("e")
    unit = 10.0 ** (int(exponent) - len(digits.split(".")[1]))
    return math.floor(value / unit) * unit


def rows(name):
    """Rows of one check file as pytest parameters named by row id and quantity."""
    with open(HERE / f"{name}.csv", newline="", encoding="utf-8") as handle:
        for row in csv.DictReader(handle):
            yield pytest.param(row, id=f"{row['id']}: {row['quantity']}")


def evaluate(node):
    """Value of a nested {"fn": ..., "args": [...]} object; inner objects are computed first."""
    if isinstance(node, dict):
        return FUNCTIONS[node["fn"]](*[evaluate(item) for item in node["args"]])
    return [evaluate(item) for item in node] if isinstance(node, list) else node


def ours(row):
    """The package's number for a row."""
    inputs = json.loads(row["inputs"])
    if "fn" in inputs:
        return float(evaluate(inputs))
    case, scale = inputs.pop("case"), inputs.pop("scale", 1.0)
    inputs.pop("zero", None)
    return float(CASES[case](**inputs)) * scale


@pytest.mark.parametrize("row", list(rows("mechanics")))
def test_mechanics(row):
    value, expected = ours(row), float(row["expected"])
    zero = json.loads(row["inputs"]).get("zero", 0.0)
    if row["id"] in TRUNCATED:
        assert math.isclose(cut_off(value, row["expected"]), expected, rel_tol=1e-9), f"{value} cut off is not {expected}"
        return
    assert math.isclose(value, expected, rel_tol=float(row["rel_tol"]), abs_tol=zero), f"{value} vs {expected}: {row['source']}"


@pytest.mark.parametrize("row", list(rows("marine")))
def test_marine(row):
    value, expected = ours(row), float(row["expected"])
    assert math.isclose(value, expected, rel_tol=float(row["rel_tol"])), f"{value} vs {expected}: {row['source']}"


@pytest.mark.parametrize("row", list(rows("shop")))
def test_shop(row):
    """Range rows must fall inside; a contradiction row must show that arithmetic and claim disagree."""
    value, low, high = ours(row), float(row["low"]), float(row["high"])
    inside = low <= value <= high
    # a contradiction or misprint row records a claim that the arithmetic refutes
    assert inside != (row["flag"] in ("contradiction", "typo")), f"{value}, range {low}..{high}: {row['source']}"
