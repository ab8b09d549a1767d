"""Table of agreement with the independent finite elements: ``python tests/benchmarks/fem_table.py`` (about a minute)."""

import sys
from pathlib import Path

HEAD = ("model", "number", "unit", "lamcalc", "finite elements", "left in mesh [%]", "difference [%]", "allowed [%]")


def table():
    """Rows of the table as texts, model by model."""
    sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "invariant"))
    from fem_models import agreement

    return [(q.model, q.name, q.unit, f"{q.ours:.5g}", f"{q.limit:.5g}", f"{100 * q.mesh_error:.2f}",
             f"{100 * q.difference:+.2f}", f"{100 * q.tolerance:g}") for q in agreement()]


def reasons():
    """What the tolerances of each model stand for."""
    from fem_models import agreement

    return list(dict.fromkeys((q.model, f"{100 * q.tolerance:g} %", q.reason) for q in agreement()))


if __name__ == "__main__":
    for row in (HEAD, ("---",) * len(HEAD), *table()):
        print("| " + " | ".join(row) + " |")
    print()
    for model, tolerance, reason in reasons():
        print(f"* {model}, {tolerance}: {reason}.")
