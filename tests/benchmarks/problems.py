"""Random problems for the benchmarks; the palettes are invented."""

import numpy as np

LOAD = np.array([60.0, -25.0, 12.0, 150.0, 90.0, -40.0])
STACK = np.array([0, 45, -45, 90, 0, 45, 45, 0, 90, -45, 45, 0])
STRENGTHS = (1062.0, 610.0, 31.0, 118.0, 72.0)
STIFFNESS = 1e6 * np.array([[1.0, 0.28, 0.05], [0.28, 0.7, 0.04], [0.05, 0.04, 0.33]])
SHEAR = np.diag([300.0, 250.0])


def laminates(count, plies=10, seed=11):
    """Palette of eight plies with strengths, shape (8, 10); index and thickness of `count` laminates."""
    rng = np.random.default_rng(seed)
    palette = np.column_stack([
        rng.uniform(8e3, 40e3, 8), rng.uniform(5e3, 8e3, 8), rng.uniform(0.2, 0.35, 8), rng.uniform(2e3, 5e3, 8),
        (0, 90, 45, -45, 30, 0, 60, -20), rng.uniform(300, 900, 8), rng.uniform(200, 500, 8), rng.uniform(25, 60, 8),
        rng.uniform(90, 150, 8), rng.uniform(40, 80, 8)])
    return palette, rng.integers(0, 8, (count, plies), dtype=np.uint8), rng.uniform(0.3, 1.6, (count, plies))


def samples(count, seed=1):
    """Drawn e1, e2, nu12, g12, angle, thickness of a laminate of twelve plies, each of shape (count, 12)."""
    rng = np.random.default_rng(seed)
    shape = count, len(STACK)
    scaled = [middle * (1 + 0.05 * rng.standard_normal(shape)) for middle in (38600.0, 8270.0, 0.26, 4140.0, 0.6)]
    return *scaled[:4], STACK + 2.0 * rng.standard_normal(shape), scaled[4]


def panels(count, seed=3):
    """Sides with ratios 0.4 to 4, and stiffness, of random panels."""
    rng = np.random.default_rng(seed)
    ratio = rng.uniform(0.4, 4.0, count)
    return 300 * np.sqrt(ratio), 300 / np.sqrt(ratio), STIFFNESS * rng.uniform(0.5, 2.0, (count, 1, 1))
