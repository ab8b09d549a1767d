"""Local buckling of long walls: crown and webs of a stiffener between the corners that hold them.

An endless plate of width b on two simply supported edges, pushed along its length by a line force that
may vary linearly across it, with or without shear.  Any symmetric bending stiffness D, bend-twist terms
included.  Plates of finite length and other edges: `lamcalc.mechanics.plates`.
"""

from functools import lru_cache

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.plate_inputs import checked_matrix

# cubic elements across a plain plate, and across each piece where a band stiffens it; lengths of half a wave tried, in
# widths times (D11/D22)^(1/4)
_ELEMENTS, _EACH_PIECE = 6, 3
_LENGTHS = np.geomspace(0.15, 8.0, 33)
_PLACES, _WEIGHTS = np.polynomial.legendre.leggauss(4)


def _nodes(band):
    """Nodes over a unit width, with nodes at the edges of a band about its middle."""
    if band is None or band >= 1.0:
        return np.linspace(0.0, 1.0, _ELEMENTS + 1)
    ends = [0.0, (1 - band) / 2, (1 + band) / 2, 1.0]
    return np.unique(np.concatenate([np.linspace(low, high, _EACH_PIECE + 1) for low, high in zip(ends, ends[1:])]))


@lru_cache(maxsize=16)
def _shapes(band):
    """Stations, weights, and Hermite cubics, zero at both edges, with two derivatives, shape (stations, functions)."""
    nodes = _nodes(band)
    size, count = np.diff(nodes), len(nodes) - 1
    s = (1 + _PLACES) / 2
    table = np.zeros((3, count, len(s), 2 * len(nodes)))
    for k, h in enumerate(size):
        own = [[1 - 3 * s**2 + 2 * s**3, h * (s - 2 * s**2 + s**3), 3 * s**2 - 2 * s**3, h * (s**3 - s**2)],
               [-6 * s + 6 * s**2, h * (1 - 4 * s + 3 * s**2), 6 * s - 6 * s**2, h * (3 * s**2 - 2 * s)],
               [-6 + 12 * s, h * (-4 + 6 * s), 6 - 12 * s, h * (6 * s - 2)]]
        for power, four in enumerate(own):
            table[power, k, :, 2 * k:2 * k + 4] = np.array(four).T / h**power
    table = np.delete(table.reshape(3, -1, 2 * len(nodes)), [0, 2 * len(nodes) - 2], axis=2)
    return (nodes[:-1, None] + size[:, None] * s).ravel(), (size[:, None] * _WEIGHTS / 2).ravel(), table


def long_plate_buckling(D, width_mm, *, compression, shear=0.0, band=None):
    """Load factor at which a long plate on two simply supported edges buckles.

    Parameters
    ----------
    D : array_like, shape (3, 3)
        Bending stiffness, symmetric, positive definite [N mm]; use `reduced_bending_stiffness` first if the stack is
        not symmetric.
    width_mm : float
        Distance of the two supported edges [mm].
    compression : tuple of (float, float)
        Line force along the plate at its two edges, compression positive, linear between them [N/mm].
    shear : float
        Shear force in the plane, of either sign [N/mm].
    band : tuple of (array_like, float, float), optional
        A stiffer band along the middle of the plate: its bending stiffness, shape (3, 3) [N mm], its width [mm], and
        the line force in it on top of the plate's [N/mm].

    Returns
    -------
    float
        Factor on compression and shear together; infinite where they cannot buckle the plate [-].

    Raises
    ------
    InputError
        If a value is not finite, a width not positive or a stiffness not symmetric and positive definite.

    Notes
    -----
    Half waves of any length along the plate, so no plate of finite length buckles earlier.  Even compression without
    bend-twist terms is the closed form ``N = 2 (pi/b)^2 (sqrt(D11 D22) + D12 + 2 D66)``.  With shear the weaker of
    both signs counts.  Elastic, flat plate, edges free to turn: the corners of a real wall hold it, its waviness
    weakens it, so a factor belongs on the result.  A band as wide as the plate is a plate of the band's stiffness.

    References
    ----------
    Timoshenko and Gere, Theory of Elastic Stability, 2nd ed. 1961, ch. 9 (energy method; coefficients 4.0 for even
    compression, 7.8 to zero at one edge, 23.9 in pure bending, 5.34 in shear); orthotropic closed form: Lekhnitskii,
    Anisotropic Plates, 1968 (all from memory).

    Examples
    --------
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> k = [long_plate_buckling(D, 100.0, compression=edges) / (np.pi**2 * 1e6 / 100**2)
    ...      for edges in ((1, 1), (0, 1), (-1, 1))]
    >>> [round(value, 1) for value in k]
    [4.0, 7.8, 23.9]
    """
    stiffness, b = checked_matrix("bending stiffness D", D, 3, "N mm"), float(positive("plate width", width_mm, "mm"))
    edges = number("compression at the edges", compression, "N/mm")
    flow = float(number("shear", shear, "N/mm"))
    if edges.shape != (2,):
        raise InputError("compression at the edges", "must be two numbers [N/mm]", compression, "give it at both edges")
    share, extra, more = None, stiffness, 0.0
    if band is not None:
        extra = checked_matrix("bending stiffness of the band", band[0], 3, "N mm")
        more = float(number("push of the band", band[2], "N/mm"))
        share = float(positive("width of the band", band[1], "mm")) / b
    y, weight, shapes = _shapes(share)
    inside = np.zeros(y.shape, bool) if share is None else np.abs(y - 0.5) <= share / 2
    push = edges[0] + (edges[1] - edges[0]) * y + more * inside
    scale = max(np.abs(push).max(), abs(flow))
    if scale == 0:
        return float("inf")
    # a unit width and unit stiffness keep the numbers near 1
    size = float(np.sqrt(stiffness[0, 0] * stiffness[1, 1]))
    d = np.where(inside[:, None, None], extra, stiffness) / size
    length = _LENGTHS * float((stiffness[0, 0] / stiffness[1, 1]) ** 0.25)
    both = (1.0, -1.0) if flow and d[:, :2, 2].any() else (1.0,)
    factor = min(_least(_Energy(d, weight, shapes, push / scale, sign * flow / scale), np.pi / length) for sign in both)
    return float(factor * size / (b**2 * scale))


def _least(energy, wave):
    """Least factor over all wave numbers, looked at more closely round the lowest."""
    values = energy.factors(wave)
    k = int(np.argmin(values))
    if not np.isfinite(values[k]):
        return float("inf")
    near = wave[max(k - 1, 0):k + 2]
    return float(min(values[k], energy.factors(np.geomspace(near[0], near[-1], 9)).min()))


class _Energy:
    """Bending energy and work of a wave exp(ikx) f(y), as matrices that a power of k multiplies."""

    def __init__(self, d, weight, shapes, push, flow):
        f, slope, bent = shapes

        def over(first, second, value):
            """Integral of first (conjugate side) times second times a value."""
            return first.T @ ((weight * value)[:, None] * second)

        # curvatures of the wave: xx = -k2 f, yy = f'', xy = i k f'
        cross = over(f, bent, d[:, 0, 1])
        self.k4, self.k0 = over(f, f, d[:, 0, 0]), over(bent, bent, d[:, 1, 1])
        self.k2 = 4 * over(slope, slope, d[:, 2, 2]) - cross - cross.T
        self.k3 = _hermitian(4j * over(slope, f, d[:, 0, 2]))
        self.k1 = _hermitian(-4j * over(slope, bent, d[:, 1, 2]))
        self.push = over(f, f, push)
        self.slide = _hermitian(-2j * flow * over(slope, f, np.ones_like(weight)))

    def factors(self, wave):
        """Least positive factor for each wave number, shape (waves along,)."""
        k = wave[:, None, None]
        bending = self.k4 * k**4 + self.k3 * k**3 + self.k2 * k**2 + self.k1 * k + self.k0
        root = np.linalg.inv(np.linalg.cholesky(bending))
        load = self.push * k**2 + self.slide * k
        largest = np.linalg.eigvalsh(root @ load @ np.conj(np.swapaxes(root, -1, -2)))[:, -1]
        return np.where(largest > 1e-12, 1 / np.where(largest > 1e-12, largest, 1.0), np.inf)


def _hermitian(matrix):
    return (matrix + np.conj(matrix.T)) / 2
