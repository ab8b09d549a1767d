"""One runner for the check rows: printed value, source and tolerance beside the package's number.

The tests and notebook 12 both use `published_rows`, so that neither can say more than the other.
"""

import csv
import importlib.util
import json
import math
import re
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path

HERE = Path(__file__).resolve().parent
FILES = ("mechanics", "marine", "shop")

# rows whose printed digits are cut off instead of rounded: the last printed digit is one too low
CUT_OFF = {"M6-18": "1/(40e6 x 246e6) = 1.01626e-16, printed 1.0162e-16"}
# a contradiction or misprint row records a claim that the arithmetic refutes
REFUTED = ("contradiction", "typo")
KEY = re.compile(r"\b(?:S\d\d|[A-Z][A-Z0-9]{4,})\b")


@lru_cache
def adapters():
    """Functions that translate a row into a call of the package: by case, and by function name."""
    cases, functions = {}, {}
    for path in sorted(HERE.glob("cases_*.py")):
        spec = importlib.util.spec_from_file_location(path.stem, path)
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        cases |= getattr(module, "CASES", {})
        functions |= getattr(module, "FUNCTIONS", {})
    return cases, functions


def evaluate(node):
    """Value of a nested {"fn": ..., "args": [...]} object; inner objects are computed first."""
    if isinstance(node, dict):
        return adapters()[1][node["fn"]](*[evaluate(item) for item in node["args"]])
    return [evaluate(item) for item in node] if isinstance(node, list) else node


def ours(row):
    """The package's number for a row of a file."""
    inputs = json.loads(row["inputs"])
    if "fn" in inputs:
        return float(evaluate(inputs))
    case, scale = inputs.pop("case"), inputs.pop("scale", 1.0)
    inputs.pop("zero", None)
    return float(adapters()[0][case](**inputs)) * scale


def cut_off(value, printed):
    """A positive value with its digits cut off after as many as are printed, and one unit of the last digit."""
    digits, exponent = printed.lower().split("e")
    unit = 10.0 ** (int(exponent) - len(digits.split(".")[1]))
    return math.floor(value / unit) * unit, unit


@lru_cache
def citations():
    """Citation behind each key of the source columns."""
    with open(HERE / "sources.csv", newline="", encoding="utf-8") as handle:
        return {row["key"]: row["citation"] for row in csv.DictReader(handle)}


def cited(source):
    """A source with its keys written out."""
    return KEY.sub(lambda match: f"[{citations()[match[0]]}]" if match[0] in citations() else match[0], source)


@dataclass(frozen=True)
class CheckRow:
    """A row of a check file with the package's number.

    The rule is 'value' (printed number with tolerance), 'cut off', 'range' (must lie inside) or 'refuted' (a claim
    that the sums must not bear out).
    """

    file: str
    raw: dict
    computed: float

    @property
    def id(self):
        return self.raw["id"]

    @property
    def quantity(self):
        return cited(self.raw["quantity"])

    @property
    def source(self):
        return cited(self.raw["source"])

    @property
    def status(self):
        return self.raw["status"]

    @property
    def rule(self):
        if "low" in self.raw:
            return "refuted" if self.raw["flag"] in REFUTED else "range"
        return "cut off" if self.id in CUT_OFF else "value"

    @property
    def printed(self):
        """The printed number as text, or the printed range."""
        low, high = self.raw.get("low"), self.raw.get("high")
        return self.raw["expected"] if low is None else low if low == high else f"{low} to {high}"

    @cached_property
    def bounds(self):
        """Lowest and highest number that counts as the printed one."""
        if "low" in self.raw:
            return float(self.raw["low"]), float(self.raw["high"])
        expected = float(self.raw["expected"])
        if self.rule == "cut off":
            return expected, expected + cut_off(self.computed, self.raw["expected"])[1]
        # relative to the larger of the two, as math.isclose has it
        zero = json.loads(self.raw["inputs"]).get("zero", 0.0)
        slack = max(float(self.raw["rel_tol"]) * max(abs(expected), abs(self.computed)), zero)
        return expected - slack, expected + slack

    @property
    def difference(self):
        """Computed less printed; for a range less its middle."""
        if self.rule in ("value", "cut off"):
            return self.computed - float(self.raw["expected"])
        return self.computed - 0.5 * sum(self.bounds)

    @property
    def in_tolerances(self):
        """Distance from the middle of the bounds over half their width: 1 is the edge."""
        low, high = self.bounds
        half, gap = 0.5 * (high - low), abs(self.computed - 0.5 * (low + high))
        return gap / half if half else (0.0 if gap == 0.0 else math.inf)

    @property
    def agrees(self):
        """Whether the package and the row agree; for a refuted claim, whether the sums refute it."""
        low, high = self.bounds
        if self.rule == "cut off":
            return math.isclose(cut_off(self.computed, self.raw["expected"])[0], low, rel_tol=1e-9)
        if self.rule == "value":
            zero = json.loads(self.raw["inputs"]).get("zero", 0.0)
            return math.isclose(self.computed, float(self.raw["expected"]), rel_tol=float(self.raw["rel_tol"]), abs_tol=zero)
        return (low <= self.computed <= high) != (self.rule == "refuted")

    @property
    def note(self):
        """What is special about the row: a note of the file, digits that are cut off, a claim that is refuted."""
        words = [self.raw.get("note") or "", f"cut off, not rounded: {CUT_OFF[self.id]}" if self.rule == "cut off" else "",
                 {"contradiction": "a claim that the sums refute", "typo": "a misprint"}.get(self.raw.get("flag"), "")]
        return "; ".join(word for word in words if word)


def read_rows(name, folder=HERE):
    """Rows of one check file as dictionaries, not computed yet."""
    with open(Path(folder) / f"{name}.csv", newline="", encoding="utf-8") as handle:
        return list(csv.DictReader(handle))


def check_row(name, raw):
    """A row with the package's number."""
    return CheckRow(name, raw, ours(raw))


def published_rows(folder=HERE):
    """Every row of every check file, computed."""
    return tuple(check_row(name, raw) for name in FILES for raw in read_rows(name, folder))


def known_disagreements(path=HERE.parents[1] / "DEVELOPERS.md"):
    """What the developer page says about sources that disagree, point by point."""
    text = Path(path).read_text(encoding="utf-8")
    section = re.search(r"^## Known disagreements[^\n]*\n(.*?)(?=^## |\Z)", text, re.MULTILINE | re.DOTALL)
    return tuple(re.findall(r"^\* (.+)$", section[1], re.MULTILINE)) if section else ()
