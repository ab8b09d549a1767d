"""Compliance of laminates and the moduli that they seem to have, in plane and in bending."""

import numpy as np

from lamcalc.mechanics.compiled import fill_rows, plain_arithmetic
from lamcalc.mechanics.stiffness_sums import FULL_TERMS

# rows that are inverted at a time
_CHUNK = 4096


@plain_arithmetic
def _inverse(m):
    """Six terms of the inverse of symmetric 3 x 3 matrices, closed form."""
    m11, m12, m16, m22, m26, m66 = m
    c11, c12, c16 = m22 * m66 - m26 * m26, m16 * m26 - m12 * m66, m12 * m26 - m16 * m22
    r = 1.0 / (m11 * c11 + m12 * c12 + m16 * c16)
    return (c11 * r, c12 * r, c16 * r,
            (m11 * m66 - m16 * m16) * r, (m12 * m16 - m11 * m26) * r, (m11 * m22 - m12 * m12) * r)


@plain_arithmetic
def _dot(s, t):
    """Sum of the products of three numbers each."""
    return s[0] * t[0] + s[1] * t[1] + s[2] * t[2]


@plain_arithmetic
def _rows(m):
    """Rows of a symmetric matrix given by six terms."""
    return (m[0], m[1], m[2]), (m[1], m[3], m[4]), (m[2], m[4], m[5])


@plain_arithmetic
def _times(row, m):
    """Row of three numbers times a symmetric matrix given by its rows."""
    return _dot(row, m[0]), _dot(row, m[1]), _dot(row, m[2])


@plain_arithmetic
def compliance_terms(stiffness_terms):
    """Terms of the inverse of laminate stiffnesses, the formula behind `compliance_blocks`.

    Parameters
    ----------
    stiffness_terms : ndarray, shape (18, ...)
        Terms 11, 12, 16, 22, 26, 66 of A [N/mm], B [N] and D [N mm].

    Returns
    -------
    a : tuple of six ndarray, shape (...)
        Terms of the extension compliance [mm/N].
    minus_b : tuple of nine ndarray, shape (...)
        Minus the coupling compliance, row by row [1/N].
    d : tuple of six ndarray, shape (...)
        Terms of the bending compliance [1/(N mm)].

    Examples
    --------
    >>> a, _, d = compliance_terms(np.array([4, 0, 0, 4, 0, 4, 0, 0, 0, 0, 0, 0, 2, 0, 0, 2, 0, 2.0]))
    >>> float(a[0]), float(d[0])
    (0.25, 0.5)
    """
    c = stiffness_terms
    inv_a, b = _inverse((c[0], c[1], c[2], c[3], c[4], c[5])), _rows((c[6], c[7], c[8], c[9], c[10], c[11]))
    # rows of p = A^-1 B, and its columns
    a1, a2, a6 = _rows(inv_a)
    p1, p2, p6 = _times(a1, b), _times(a2, b), _times(a6, b)
    q1, q2, q6 = (p1[0], p2[0], p6[0]), (p1[1], p2[1], p6[1]), (p1[2], p2[2], p6[2])
    # D - B p
    d = _inverse((c[12] - _dot(b[0], q1), c[13] - _dot(b[0], q2), c[14] - _dot(b[0], q6),
                  c[15] - _dot(b[1], q2), c[16] - _dot(b[1], q6), c[17] - _dot(b[2], q6)))
    rows = _rows(d)
    b1, b2, b6 = _times(p1, rows), _times(p2, rows), _times(p6, rows)
    a = (inv_a[0] + _dot(b1, p1), inv_a[1] + _dot(b1, p2), inv_a[2] + _dot(b1, p6),
         inv_a[3] + _dot(b2, p2), inv_a[4] + _dot(b2, p6), inv_a[5] + _dot(b6, p6))
    return a, b1 + b2 + b6, d


def compliance_blocks(stiffness):
    """Blocks of the inverse of the laminate stiffness.

    Parameters
    ----------
    stiffness : array_like, shape (..., 3, 6)
        A [N/mm], B [N] and D [N mm] as `stiffness_matrices` returns them.

    Returns
    -------
    a : ndarray, shape (..., 3, 3)
        Extension compliance [mm/N].
    b : ndarray, shape (..., 3, 3)
        Coupling compliance, ``eps0 = a N + b M`` and ``kappa = b^T N + d M`` [1/N].
    d : ndarray, shape (..., 3, 3)
        Bending compliance [1/(N mm)].

    Notes
    -----
    ``d = (D - B A^-1 B)^-1``, ``b = -A^-1 B d``, ``a = A^-1 + A^-1 B d B A^-1``
    with closed-form inverses of symmetric 3 x 3 blocks.

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.stiffness_sums import stiffness_matrices
    >>> q = reduced_stiffness(10e3, 10e3, 0.3, 10e3 / 2.6)
    >>> a, b, d = compliance_blocks(stiffness_matrices(q[None], [2.0]))
    >>> float((a[0, 0] * 2.0 * 10e3).round(12))
    1.0
    """
    s = np.asarray(stiffness, dtype=float)
    rows = s.reshape(-1, 18)
    blocks = tuple(np.empty((len(rows), 9)) for _ in range(3))
    for lo in range(0, len(rows), _CHUNK):
        part = slice(lo, lo + _CHUNK)
        a, minus_b, d = compliance_terms(np.ascontiguousarray(rows[part].T))
        places = FULL_TERMS.ravel()
        for out, terms in zip(blocks, ([a[k] for k in places], [-x for x in minus_b], [d[k] for k in places])):
            # a stack and its transposed copy cost less than nine strided columns
            out[part] = np.array(terms).T
    return tuple(block.reshape(s.shape[:-2] + (3, 3)) for block in blocks)


def write_constants(a, d, total_thickness_mm, out):
    """Apparent moduli from compliance terms, the formula behind `effective_constants`.

    Parameters
    ----------
    a, d : sequence of six ndarray, shape (laminates,)
        Terms of the extension [mm/N] and bending compliance [1/(N mm)].
    total_thickness_mm : ndarray, shape (laminates,)
        Laminate thickness [mm].
    out : ndarray, shape (laminates, 2, 7)
        Where the constants go, ordered as in `effective_constants` [MPa, -].

    Examples
    --------
    >>> found = np.empty((1, 2, 7))
    >>> sheet = np.array([[0.5], [-0.1], [0.0], [0.5], [0.0], [1.0]])
    >>> write_constants(sheet, sheet, np.array([2.0]), found)
    >>> found[0, :, 0].tolist()
    [1.0, 3.0]
    """
    # rows and one transposed copy cost less than fourteen strided columns
    out.reshape(-1, 14)[...] = np.array(_in_both_ways(a, d, total_thickness_mm)).T


@plain_arithmetic
def _apparent(compliance, depth):
    """Seven constants from the six terms of a compliance and the depth that its load is spread over."""
    s11, s12, s16, s22, s26, s66 = compliance
    r11, r22 = 1.0 / s11, 1.0 / s22
    return r11 / depth, r22 / depth, 1.0 / (s66 * depth), -s12 * r11, -s12 * r22, s16 * r11, s26 * r22


@plain_arithmetic
def _in_both_ways(a, d, h):
    """Constants in plane and in bending from terms of the compliances and the thickness."""
    return _apparent(a, h) + _apparent(d, h * h * h * (1.0 / 12.0))


@plain_arithmetic
def _constants(c, h):
    """Constants in plane and in bending from 18 terms of stiffness and the thickness."""
    a, _, d = compliance_terms(c)
    return _in_both_ways(a, d, h)


def effective_constants(stiffness, total_thickness_mm):
    """Apparent moduli of laminates in plane and in bending.

    Parameters
    ----------
    stiffness : array_like, shape (..., 3, 6)
        A [N/mm], B [N] and D [N mm] as `stiffness_matrices` returns them.
    total_thickness_mm : array_like, shape (...)
        Laminate thickness [mm].

    Returns
    -------
    ndarray, shape (..., 2, 7)
        In-plane row then flexural row: Ex, Ey, Gxy [MPa], nuxy, nuyx, eta_x_xy, eta_y_xy [-].

    Notes
    -----
    ``Ex = 1/(h a11)`` in plane and ``12/(h^3 d11)`` in bending, with a and d
    from the full inverse, so that coupling of unsymmetric stacks is included.

    References
    ----------
    .. [1] Kaw, Mechanics of Composite Materials, 2nd ed., 2006, sec. 4.4 (from memory).

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.stiffness_sums import stiffness_matrices
    >>> q = reduced_stiffness(10e3, 10e3, 0.3, 10e3 / 2.6)
    >>> effective_constants(stiffness_matrices(q[None], [2.0]), 2.0)[1, :4].round(6).tolist()
    [10000.0, 10000.0, 3846.153846, 0.3]
    """
    s = np.asarray(stiffness, dtype=float)
    rows = s.reshape(-1, 18)
    h = np.broadcast_to(np.asarray(total_thickness_mm, dtype=float), s.shape[:-2]).reshape(-1)
    out = np.empty((len(rows), 14))
    fill_rows(_constants, rows, h, out)
    return out.reshape(s.shape[:-2] + (2, 7))
