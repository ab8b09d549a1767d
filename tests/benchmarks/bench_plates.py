"""Plates under pressure against a plain Ritz method with four nested loops, in one process."""

import time

import numpy as np
from numpy.polynomial import polynomial

from lamcalc.mechanics.plate_batch import panel_response
from lamcalc.mechanics.plates import Patch, Plate

STIFFNESS = 1e6 * np.array([[1.0, 0.28, 0.05], [0.28, 0.7, 0.04], [0.05, 0.04, 0.33]])
SHEAR = np.diag([300.0, 250.0])


def clamped_functions(count):
    """Integrals over 0..1 of products of derivatives of x^2 (1 - x)^2 x^i, and of the functions."""
    base = polynomial.polymul(polynomial.polypow([0, 1], 2), polynomial.polypow([1, -1], 2))
    functions = [polynomial.polymul(base, polynomial.polypow([0, 1], i)) for i in range(count)]

    def integral(p):
        return polynomial.polyval(1.0, polynomial.polyint(p))

    products = {(i, j, p, q): integral(polynomial.polymul(
        polynomial.polyder(functions[i], p), polynomial.polyder(functions[j], q)))
        for i in range(count) for j in range(count) for p in range(3) for q in range(3)}
    return products, [integral(f) for f in functions], [polynomial.polyval(0.5, f) for f in functions]


def naive_centre_deflection(a, b, d, pressure, tables, count):
    """Centre deflection of a clamped plate, entry by entry as in a textbook."""
    products, areas, middles = tables
    matrix, load = np.zeros((count**2, count**2)), np.zeros(count**2)
    for i in range(count):
        for j in range(count):
            load[i * count + j] = pressure * areas[i] * areas[j] * a * b
            for k in range(count):
                for m in range(count):
                    def term(p, q, r, s, i=i, j=j, k=k, m=m):
                        return products[i, k, p, r] * products[j, m, q, s] / a ** (p + r) / b ** (q + s) * a * b
                    matrix[i * count + j, k * count + m] = (
                        d[0, 0] * term(2, 0, 2, 0) + d[1, 1] * term(0, 2, 0, 2)
                        + d[0, 1] * (term(2, 0, 0, 2) + term(0, 2, 2, 0)) + 4 * d[2, 2] * term(1, 1, 1, 1)
                        + 2 * d[0, 2] * (term(2, 0, 1, 1) + term(1, 1, 2, 0))
                        + 2 * d[1, 2] * (term(0, 2, 1, 1) + term(1, 1, 0, 2)))
    found = np.linalg.solve(matrix, load).reshape(count, count)
    return middles @ found @ np.array(middles)


def best_of(repeats, function):
    """Shortest time of a function [s] and its last result."""
    best, result = np.inf, None
    for _ in range(repeats):
        start = time.perf_counter()
        result = function()
        best = min(best, time.perf_counter() - start)
    return best, result


def panels(count, seed=3):
    """Sides with ratios 0.4 to 4, and stiffness, of random panels."""
    rng = np.random.default_rng(seed)
    ratio = rng.uniform(0.4, 4.0, count)
    return 300 * np.sqrt(ratio), 300 / np.sqrt(ratio), STIFFNESS * rng.uniform(0.5, 2.0, (count, 1, 1))


def measured(count=10_000, repeats=5):
    """Times and ratios to the naive Ritz; agreement with it and accuracy are asserted."""
    tables = clamped_functions(8)
    slow, expected = best_of(3, lambda: naive_centre_deflection(500.0, 300.0, STIFFNESS, 0.01, tables, 8))
    plate, soft = (Plate(500.0, 300.0, STIFFNESS, edges="CCCC", shear=s) for s in (None, SHEAR))
    one, solution = best_of(300, lambda: plate.solve(pressure=0.01))
    np.testing.assert_allclose(solution.deflection(250, 150), expected, rtol=1e-4)
    sheared, _ = best_of(100, lambda: soft.solve(pressure=0.01))
    patch, _ = best_of(5, lambda: plate.solve(patches=[Patch(500.0, 250, 150, 60, 40)]))
    a, b, d = panels(count)
    batch, result = best_of(repeats, lambda: panel_response(a, b, d, 0.01, edges="CCCC"))
    some = slice(0, count, max(1, count // 50))
    exact = Plate(a[some], b[some], d[some], edges="CCCC", order=18).solve(pressure=0.01).peaks(65).deflection
    assert np.abs(result.deflection[some] / exact - 1).max() < 1e-3
    return {"naive Ritz, one plate [ms]": slow * 1e3, "one plate [ms]": one * 1e3, "one plate": slow / one,
            "one plate with shear [ms]": sheared * 1e3, "one patch load [ms]": patch * 1e3,
            f"{count} panels [ms]": batch * 1e3, f"{count} panels": slow * count / batch}


def test_speed_ratios():
    print(measured(500, 1))


def test_one_plate(benchmark):
    plate = Plate(500.0, 300.0, STIFFNESS, edges="CCCC")
    benchmark(lambda: plate.solve(pressure=0.01))


def test_many_panels(benchmark):
    a, b, d = panels(1000)
    benchmark.pedantic(lambda: panel_response(a, b, d, 0.01), rounds=3)


if __name__ == "__main__":
    for name, value in measured().items():
        print(f"{name}: {value:.3g}" if "[" in name else f"{name}: {value:.0f} x the naive Ritz")
