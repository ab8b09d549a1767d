"""Local buckling of long walls: crown and webs of a stiffener between the corners that hold them.

An endless plate of width b on two simply supported edges, pushed along its length by a line force that
may vary linearly across it, with or without shear.  Any symmetric bending stiffness D, bend-twist terms
included.  Plates of finite length and other edges: `lamcalc.mechanics.plates`.
"""

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.plate_inputs import checked_matrix

# sine waves across the width, and lengths of half a wave tried, in widths times (D11/D22)^(1/4)
_WAVES = 10
_LENGTHS = np.geomspace(0.15, 8.0, 49)


def _integrals():
    """Integrals of sin sin, y sin sin and sin cos over a unit width, shape (waves, waves)."""
    m = np.arange(1, _WAVES + 1)
    row, column = m[:, None], m[None, :]
    odd, gap = (row + column) % 2 == 1, np.where(row == column, 1.0, row**2 - column**2)
    rising = np.where(odd, -4 * row * column / (np.pi**2 * gap**2), 0.0) + np.diag(np.full(_WAVES, 0.25))
    # rows: sine of the first, cosine of the second
    mixed = np.where(odd, 2 * row / (np.pi * gap), 0.0)
    return m * np.pi, np.diag(np.full(_WAVES, 0.5)), rising, mixed


def long_plate_buckling(D, width_mm, *, compression, shear=0.0):
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

    Returns
    -------
    float
        Factor on compression and shear together; infinite where they cannot buckle the plate [-].

    Raises
    ------
    InputError
        If a value is not finite, the width not positive or the stiffness not symmetric and positive definite.

    Notes
    -----
    Half waves of any length along the plate, so no plate of finite length buckles earlier.  Even compression without
    bend-twist terms is the closed form ``N = 2 (pi/b)^2 (sqrt(D11 D22) + D12 + 2 D66)``.  With shear the weaker of
    both signs counts.  Elastic, flat plate, edges free to turn: the corners of a real wall hold it, its waviness weakens
    it, so a factor belongs on the result.

    References
    ----------
    Timoshenko and Gere, Theory of Elastic Stability, 2nd ed. 1961, ch. 9 (energy method; coefficients 4.0 for even
    compression, 7.8 to zero at one edge, 23.9 in pure bending, 5.34 in shear); orthotropic closed form: Lekhnitskii,
    Anisotropic Plates, 1968 (all from memory).

    Examples
    --------
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> k = [long_plate_buckling(D, 100.0, compression=edges) * 100**2 / (np.pi**2 * 1e6) for edges in ((1, 1), (0, 1), (-1, 1))]
    >>> [round(value, 1) for value in k]
    [4.0, 7.8, 23.9]
    """
    stiffness, b = checked_matrix("bending stiffness D", D, 3, "N mm"), float(positive("plate width", width_mm, "mm"))
    edges = number("compression at the edges", compression, "N/mm")
    flow = float(number("shear", shear, "N/mm"))
    if edges.shape != (2,):
        raise InputError("compression at the edges", "must be two numbers [N/mm]", compression, "give it at both edges")
    scale = max(np.abs(edges).max(), abs(flow))
    if scale == 0:
        return float("inf")
    # a unit width and unit stiffness keep the numbers near 1
    size = float(np.sqrt(stiffness[0, 0] * stiffness[1, 1]))
    d = stiffness / size
    length = _LENGTHS * float((d[0, 0] / d[1, 1]) ** 0.25)
    both = (1.0, -1.0) if flow and stiffness[:2, 2].any() else (1.0,)
    factor = min(_least(d, np.pi / length, edges / scale, sign * flow / scale) for sign in both)
    return float(factor * size / (b**2 * scale))


def _least(d, wave, edges, flow):
    """Least factor over all wave numbers, refined by a parabola through the lowest."""
    values = _factors(d, wave, edges, flow)
    k = int(np.argmin(values))
    if not np.isfinite(values[k]):
        return float("inf")
    around = slice(max(k - 1, 0), k + 2)
    finer = np.geomspace(wave[around][0], wave[around][-1], 9)
    return float(min(values[k], _factors(d, finer, edges, flow).min()))


def _factors(d, wave, edges, flow):
    """Least positive factor for each wave number, shape (waves along,)."""
    alpha, even, rising, mixed = _integrals()
    k = wave[:, None, None]
    a, c = alpha[:, None], alpha[None, :]
    straight = d[0, 0] * k**4 + 2 * (d[0, 1] + 2 * d[2, 2]) * k**2 * c**2 + d[1, 1] * c**4
    # conj(second) first: rows belong to the slope across, columns to the deflection
    twist = 4j * (d[0, 2] * k**3 + d[1, 2] * k * c**2) * a * mixed.T
    bending = even * straight + (twist + np.conj(np.swapaxes(twist, -1, -2))) / 2
    push = k**2 * (edges[0] * even + (edges[1] - edges[0]) * rising)
    slide = -2j * flow * k * a * mixed.T
    load = push + (slide + np.conj(np.swapaxes(slide, -1, -2))) / 2
    root = np.linalg.inv(np.linalg.cholesky(bending))
    largest = np.linalg.eigvalsh(root @ load @ np.conj(np.swapaxes(root, -1, -2)))[:, -1]
    return np.where(largest > 1e-12, 1 / np.where(largest > 1e-12, largest, 1.0), np.inf)
