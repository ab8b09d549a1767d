"""Laminate kernels against the plain textbook loop, in one process."""

import time

import numpy as np

from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.laminate import effective_constants, stiffness_matrices, unpacked


def textbook_qbar(e1, e2, nu12, g12, angle_deg):
    """Ply stiffness by the textbook's term-by-term formulas."""
    nu21 = nu12 * e2 / e1
    q11, q22, q12, q66 = e1 / (1 - nu12 * nu21), e2 / (1 - nu12 * nu21), nu12 * e2 / (1 - nu12 * nu21), g12
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    b11 = q11 * c**4 + 2 * (q12 + 2 * q66) * s**2 * c**2 + q22 * s**4
    b22 = q11 * s**4 + 2 * (q12 + 2 * q66) * s**2 * c**2 + q22 * c**4
    b12 = (q11 + q22 - 4 * q66) * s**2 * c**2 + q12 * (s**4 + c**4)
    b66 = (q11 + q22 - 2 * q12 - 2 * q66) * s**2 * c**2 + q66 * (s**4 + c**4)
    b16 = (q11 - q12 - 2 * q66) * s * c**3 + (q12 - q22 + 2 * q66) * s**3 * c
    b26 = (q11 - q12 - 2 * q66) * s**3 * c + (q12 - q22 + 2 * q66) * s * c**3
    return np.array([[b11, b12, b16], [b12, b22, b26], [b16, b26, b66]])


def textbook_abd(palette, index, thickness):
    """A, B, D of one laminate, ply by ply."""
    a, b, d = np.zeros((3, 3)), np.zeros((3, 3)), np.zeros((3, 3))
    z0 = -sum(thickness) / 2
    for k, t in zip(index, thickness):
        z1 = z0 + t
        q = textbook_qbar(*palette[k])
        a += q * (z1 - z0)
        b += q * (z1**2 - z0**2) / 2
        d += q * (z1**3 - z0**3) / 3
        z0 = z1
    return a, b, d


def textbook_constants(a, b, d, h):
    """Moduli of one laminate from the full 6 x 6 inverse."""
    inverse = np.linalg.inv(np.block([[a, b], [b, d]]))
    out = []
    for block, depth in ((inverse[:3, :3], h), (inverse[3:, 3:], h**3 / 12)):
        out.append([1 / block[0, 0] / depth, 1 / block[1, 1] / depth, 1 / block[2, 2] / depth, -block[0, 1] / block[0, 0]])
    return np.array(out)


def problem(count, plies=10, seed=7):
    """Random palette of eight plies, and index and thickness of `count` laminates."""
    rng = np.random.default_rng(seed)
    palette = [(e1, e2, nu, g, a) for e1, e2, nu, g, a in zip(
        rng.uniform(8e3, 40e3, 8), rng.uniform(5e3, 8e3, 8), rng.uniform(0.2, 0.35, 8), rng.uniform(2e3, 5e3, 8),
        (0, 90, 45, -45, 30, 0, 60, -20))]
    return palette, rng.integers(0, 8, (count, plies), dtype=np.uint8), rng.uniform(0.3, 1.6, (count, plies))


def best_of(function, repeats=5):
    """Shortest time of several calls, and the last result [s]."""
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        result = function()
        times.append(time.perf_counter() - start)
    return min(times), result


def ratios(count=100_000, loop=400, plies=12):
    """Speed ratios to the textbook loop for A-B-D and for effective constants."""
    palette, index, thickness = problem(count, plies)
    qbar = np.stack([rotated_stiffness(reduced_stiffness(*p[:4]), p[4]) for p in palette])
    slow_abd, reference = best_of(lambda: [textbook_abd(palette, i, t) for i, t in zip(index[:loop], thickness[:loop])], 3)
    fast_abd, stiffness = best_of(lambda: stiffness_matrices(qbar, thickness, index))
    for k, parts in enumerate(reference):
        for j in range(3):
            scale = np.abs(parts[j]).max() or 1.0
            size = np.abs(reference[k][0]).max() * thickness[k].sum() ** j
            np.testing.assert_allclose(unpacked(stiffness[k, j]), parts[j], rtol=0, atol=1e-12 * max(scale, size))
    h = thickness.sum(axis=1)
    slow_const, reference = best_of(lambda: [textbook_constants(*(unpacked(s) for s in stiffness[k]), h[k])
                                             for k in range(loop)], 3)
    fast_const, constants = best_of(lambda: effective_constants(stiffness, h))
    np.testing.assert_allclose(constants[:loop, :, :4], reference, rtol=1e-11)
    return {"A-B-D, 12 plies": (slow_abd / loop) / (fast_abd / count),
            "effective constants": (slow_const / loop) / (fast_const / count)}


def test_speed_ratios():
    for name, ratio in ratios(20_000, 100).items():
        print(f"{name}: {ratio:.0f} x the textbook loop")


if __name__ == "__main__":
    for name, ratio in ratios().items():
        print(f"{name}: {ratio:.0f} x the textbook loop")
