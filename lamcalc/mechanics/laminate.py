"""Classical laminate theory for any number of laminates at once.

Ply 1 lies against the mould at z = -h/2 and z grows towards the last ply laid;
``strain = eps0 + z kappa`` with engineering shear.  All functions take any
batch shape in front of the ply axis: one laminate is a batch of one.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.compiled import fill_rows, plain_arithmetic
from lamcalc.mechanics.lamina import (
    EngineeringConstants,
    reduced_stiffness,
    rotated_expansion,
    rotated_stiffness,
    strain_to_ply_axes,
    stress_to_ply_axes,
)

# rows and columns of the six independent terms 11, 12, 16, 22, 26, 66
_ROW, _COL = np.array([0, 0, 0, 1, 1, 2]), np.array([0, 1, 2, 1, 2, 2])
# place of each term of a symmetric 3 x 3 matrix among the six that are kept
FULL_TERMS = np.array([[0, 1, 2], [1, 3, 4], [2, 4, 5]])
# temporaries of this many laminates stay in the second-level cache
_CHUNK = 2048
# laminates that one worker takes at a time
_SHARE = 8 * _CHUNK
# up to here summing the weights of each palette entry costs less than picking six terms a ply
SMALL_PALETTE = 32
# mid-heights times this leave t (m^2 + t^2) as the weight in D, without a factor
_SCALE = np.sqrt(12.0)


def packed(matrix):
    """Six independent terms of symmetric 3 x 3 matrices.

    Parameters
    ----------
    matrix : array_like, shape (..., 3, 3)
        Symmetric matrices [any].

    Returns
    -------
    ndarray, shape (..., 6)
        Terms 11, 12, 16, 22, 26, 66 [any].

    Examples
    --------
    >>> packed([[1, 2, 3], [2, 4, 5], [3, 5, 6]]).tolist()
    [1, 2, 3, 4, 5, 6]
    """
    return np.asarray(matrix)[..., _ROW, _COL]


def unpacked(terms):
    """Symmetric 3 x 3 matrices from their six independent terms.

    Parameters
    ----------
    terms : array_like, shape (..., 6)
        Terms 11, 12, 16, 22, 26, 66 [any].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Symmetric matrices [any].

    Examples
    --------
    >>> unpacked([1, 2, 3, 4, 5, 6]).tolist()
    [[1, 2, 3], [2, 4, 5], [3, 5, 6]]
    """
    return np.asarray(terms)[..., FULL_TERMS]


def ply_interfaces(thickness_mm):
    """Heights of the ply interfaces about the mid-plane.

    Parameters
    ----------
    thickness_mm : array_like, shape (..., plies)
        Ply thickness, first ply against the mould [mm].

    Returns
    -------
    ndarray, shape (..., plies + 1)
        z from -h/2 to +h/2 [mm].

    Examples
    --------
    >>> ply_interfaces([1.0, 3.0]).tolist()
    [-2.0, -1.0, 2.0]
    """
    t = np.asarray(thickness_mm, dtype=float)
    z = np.concatenate([np.zeros(t.shape[:-1] + (1,)), np.cumsum(t, axis=-1)], axis=-1)
    return z - 0.5 * z[..., -1:]


@lru_cache(maxsize=64)
def _levers(plies):
    """Mid-heights of the plies as a product with their thickness: half the plies below minus half the plies above."""
    place = np.arange(plies)
    return 0.5 * np.sign(place - place[:, None])


def _bare_weights(t, levers, out):
    """The weights of `section_weights` times sqrt(12) and 12: with levers times sqrt(12) no factor is left."""
    middle, first, second = out
    np.matmul(t, levers, out=middle)
    np.multiply(t, middle, out=first)
    np.multiply(middle, middle, out=middle)
    np.multiply(t, t, out=second)
    np.add(second, middle, out=second)
    np.multiply(second, t, out=second)
    return first, second


def section_weights(thickness_mm, out=None):
    """Weights of the plies in B and D; in A it is the thickness itself.

    Parameters
    ----------
    thickness_mm : array_like, shape (..., plies)
        Ply thickness, first ply against the mould [mm].
    out : sequence of three ndarray, shape (..., plies), optional
        Room for mid-heights and results [any].

    Returns
    -------
    first, second : ndarray, shape (..., plies)
        t zm [mm2] and t (zm^2 + t^2/12) [mm3] with zm the mid-height of the ply.

    Notes
    -----
    This form keeps more digits than differences of z cubed.

    Examples
    --------
    >>> [w.round(4).tolist() for w in section_weights([1.0, 3.0])]
    [[-1.5, 1.5], [2.3333, 3.0]]
    """
    t = np.asarray(thickness_mm, dtype=float)
    first, second = _bare_weights(t, _SCALE * _levers(t.shape[-1]), np.empty((3,) + t.shape) if out is None else out)
    first *= 1.0 / _SCALE
    second *= 1.0 / 12.0
    return first, second


def _flat(array, batch, tail):
    """Array with one batch axis in front of the tail; a view wherever that is possible."""
    return np.broadcast_to(array, batch + array.shape[-tail:]).reshape((-1,) + array.shape[-tail:])


class _PaletteSums:
    """Sums over plies: first the weights of each palette entry, then one product with the palette.

    Terms come out one row each, because products of long rows are faster.  Buffers are made once: fresh ones would be
    page-faulted anew for every chunk.
    """

    def __init__(self, terms, size, plies):
        # the factors that the weights lack go to the palette, which is small
        self.palettes = [factor * terms.T for factor in (1.0, 1.0 / _SCALE, 1.0 / 12.0)]
        self.levers = _SCALE * _levers(plies)
        self.room, self.key = np.empty((3, size, plies)), np.empty((size, plies), dtype=np.intp)
        self.base = np.repeat(np.arange(size) * len(terms), plies).reshape(size, plies)

    def __call__(self, t, picked, out):
        key, entries = self.key[:len(t)], self.palettes[0].shape[1]
        np.copyto(key, picked, casting="unsafe")
        np.add(key, self.base[:len(t)], out=key)
        weights = t, *_bare_weights(t, self.levers, self.room[:, :len(t)])
        for palette, weight, sums in zip(self.palettes, weights, out):
            share = np.bincount(key.reshape(-1), weight.reshape(-1), len(t) * entries)
            np.matmul(palette, share.reshape(-1, entries).T, out=sums)


def _sum_by_ply(weights, terms, out):
    """Sums over plies from six terms of each ply."""
    np.matmul(np.stack(weights, axis=-2), terms, out=out)


def stiffness_matrices(qbar, thickness_mm, index=None, *, executor=None):
    """Extension, coupling and bending stiffness of laminates.

    Parameters
    ----------
    qbar : array_like, shape (..., plies, 3, 3) or (palette, 3, 3)
        Ply stiffness in laminate axes; with `index`, a palette of them [MPa].
    thickness_mm : array_like, shape (..., plies)
        Ply thickness [mm].
    index : array_like of int, shape (..., plies), optional
        Which palette entry each ply is [-].
    executor : concurrent.futures.Executor, optional
        Runs large batches side by side; threads suffice [-].

    Returns
    -------
    ndarray, shape (..., 3, 6)
        A [N/mm], B [N] and D [N mm], each as terms 11, 12, 16, 22, 26, 66; see `unpacked`.

    Raises
    ------
    InputError
        If an index points outside the palette.

    Notes
    -----
    ``A = sum Q t``, ``B = sum Q t zm``, ``D = sum Q (t zm^2 + t^3/12)`` with
    zm the mid-height of the ply, see `section_weights`.  Work runs in chunks, so
    that temporaries stay below 3 MB.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 4.24 (from memory).

    Examples
    --------
    >>> q = reduced_stiffness(10e3, 10e3, 0.3, 10e3 / 2.6)
    >>> a, b, d = stiffness_matrices(q[None], [2.0])
    >>> float((d[0] / (10e3 * 2**3 / 12 / 0.91)).round(12))
    1.0
    """
    q, t = np.asarray(qbar, dtype=float), np.asarray(thickness_mm, dtype=float)
    plies = t.shape[-1]
    if index is None:
        q = np.broadcast_to(q, q.shape[:-3] + (plies, 3, 3))
        batch = np.broadcast_shapes(q.shape[:-3], t.shape[:-1])
        q = _flat(q, batch, 3)
    else:
        q, index = packed(q), np.asarray(index)
        if index.size and not 0 <= index.min() <= index.max() < len(q):
            raise InputError("ply index", f"must lie between 0 and {len(q) - 1} [-]", index, "check the palette")
        batch = np.broadcast_shapes(index.shape[:-1], t.shape[:-1])
        index = _flat(index, batch, 1)
    t = _flat(t, batch, 1)
    by_palette = index is not None and len(q) <= SMALL_PALETTE
    out = np.moveaxis(np.empty((3, 6, len(t))), -1, 0) if by_palette else np.empty((len(t), 3, 6))

    def run(rows):
        size = max(1, min(2 * _CHUNK if by_palette else _CHUNK, rows.stop - rows.start))
        sums, room = (_PaletteSums(q, size, plies), None) if by_palette else (None, np.empty((3, size, plies)))
        for low in range(rows.start, rows.stop, size):
            part = slice(low, min(low + size, rows.stop))
            if by_palette:
                sums(t[part], index[part], np.moveaxis(out[part], 0, -1))
            else:
                weights = (t[part], *section_weights(t[part], room[:, : part.stop - low]))
                _sum_by_ply(weights, packed(q[part]) if index is None else q.take(index[part], axis=0), out[part])

    if executor is None:
        run(slice(0, len(t)))
    else:
        list(executor.map(run, [slice(low, min(low + _SHARE, len(t))) for low in range(0, len(t), _SHARE)]))
    return out.reshape(batch + (3, 6))


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
    >>> q = reduced_stiffness(10e3, 10e3, 0.3, 10e3 / 2.6)
    >>> a, b, d = compliance_blocks(stiffness_matrices(q[None], [2.0]))
    >>> float((a[0, 0] * 2.0 * 10e3).round(12))
    1.0
    """
    s = np.asarray(stiffness, dtype=float)
    rows = s.reshape(-1, 18)
    blocks = tuple(np.empty((len(rows), 9)) for _ in range(3))
    for lo in range(0, len(rows), 2 * _CHUNK):
        part = slice(lo, lo + 2 * _CHUNK)
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
    h = total_thickness_mm
    # rows and one transposed copy cost less than fourteen strided columns
    out.reshape(-1, 14)[...] = np.array(_apparent(a, h) + _apparent(d, h * h * h * (1.0 / 12.0))).T


@plain_arithmetic
def _apparent(compliance, depth):
    """Seven constants from the six terms of a compliance and the depth that its load is spread over."""
    s11, s12, s16, s22, s26, s66 = compliance
    r11, r22 = 1.0 / s11, 1.0 / s22
    return r11 / depth, r22 / depth, 1.0 / (s66 * depth), -s12 * r11, -s12 * r22, s16 * r11, s26 * r22


@plain_arithmetic
def _constants(c, h):
    """Constants in plane and in bending from 18 terms of stiffness and the thickness."""
    a, _, d = compliance_terms(c)
    return _apparent(a, h) + _apparent(d, h * h * h * (1.0 / 12.0))


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


@dataclass(frozen=True)
class Response:
    """Mid-plane strain and curvature of laminates under load.

    Parameters
    ----------
    eps0 : ndarray, shape (..., 3)
        Mid-plane strain x, y, xy [-].
    kappa : ndarray, shape (..., 3)
        Curvature x, y, xy [1/mm].

    Examples
    --------
    >>> Response(np.zeros(3), np.zeros(3)).kappa.shape
    (3,)
    """

    eps0: np.ndarray
    kappa: np.ndarray


@dataclass(frozen=True)
class Laminate:
    """A stack of plies with its stiffness; any batch of stacks with equally many plies.

    Parameters
    ----------
    q : ndarray, shape (..., plies, 3, 3)
        Ply stiffness in ply axes [MPa].
    angle_deg : ndarray, shape (..., plies)
        Fibre angle from x towards y [deg].
    thickness_mm : ndarray, shape (..., plies)
        Ply thickness, first ply against the mould [mm].
    expansion : ndarray, shape (..., plies, 3)
        Free expansion of the plies in laminate axes [1/K].

    Examples
    --------
    >>> wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0, 90, 0], [1.0, 1.0, 1.0])
    >>> float(wall.total_thickness_mm), bool(np.allclose(wall.B, 0))
    (3.0, True)
    """

    q: np.ndarray
    angle_deg: np.ndarray
    thickness_mm: np.ndarray
    expansion: np.ndarray

    @classmethod
    def from_plies(cls, e1, e2, nu12, g12, angle_deg, thickness_mm, *, alpha1=0.0, alpha2=0.0):
        """Laminate from ply constants.

        Parameters
        ----------
        e1, e2 : array_like, shape (..., plies) or scalar
            Young's moduli along and across the fibre [MPa].
        nu12 : array_like, shape (..., plies) or scalar
            Major Poisson ratio [-].
        g12 : array_like, shape (..., plies) or scalar
            In-plane shear modulus [MPa].
        angle_deg : array_like, shape (..., plies)
            Fibre angle from x towards y [deg].
        thickness_mm : array_like, shape (..., plies)
            Ply thickness, first ply against the mould [mm].
        alpha1, alpha2 : array_like, shape (..., plies) or scalar
            Thermal expansion along and across the fibre [1/K].

        Returns
        -------
        Laminate
            The stack or stacks [-].

        Raises
        ------
        InputError
            If there is no ply, a thickness or modulus is not positive, a value is
            not finite, or an angle looks like radians.

        Examples
        --------
        >>> Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0]).A.shape
        (3, 3)
        """
        t = positive("thickness_mm", thickness_mm, "mm")
        if t.ndim == 0 or t.shape[-1] == 0:
            raise InputError("laminate", "must have at least one ply", thickness_mm, "add a ply to the schedule")
        q = reduced_stiffness(e1, e2, nu12, g12)
        angles = np.asarray(angle_deg, dtype=float)
        shape = np.broadcast_shapes(t.shape, angles.shape, q.shape[:-2])
        expansion = rotated_expansion(alpha1, alpha2, angle_deg)
        return cls(np.broadcast_to(q, shape + (3, 3)), np.broadcast_to(angles, shape),
                   np.broadcast_to(t, shape), np.broadcast_to(expansion, shape + (3,)))

    @cached_property
    def qbar(self):
        """Ply stiffness in laminate axes, shape (..., plies, 3, 3) [MPa]."""
        return rotated_stiffness(self.q, self.angle_deg)

    @cached_property
    def z_mm(self):
        """Heights of the ply interfaces, shape (..., plies + 1) [mm]."""
        return ply_interfaces(self.thickness_mm)

    @cached_property
    def total_thickness_mm(self):
        """Laminate thickness, shape (...) [mm]."""
        return self.thickness_mm.sum(axis=-1)

    @cached_property
    def stiffness(self):
        """A, B and D as packed terms, shape (..., 3, 6) [N/mm, N, N mm]."""
        return stiffness_matrices(self.qbar, self.thickness_mm)

    @property
    def A(self):
        """Extension stiffness, shape (..., 3, 3) [N/mm]."""
        return unpacked(self.stiffness[..., 0, :])

    @property
    def B(self):
        """Coupling stiffness, shape (..., 3, 3) [N]."""
        return unpacked(self.stiffness[..., 1, :])

    @property
    def D(self):
        """Bending stiffness, shape (..., 3, 3) [N mm]."""
        return unpacked(self.stiffness[..., 2, :])

    @property
    def abd(self):
        """The full stiffness, shape (..., 6, 6) [N/mm, N, N mm]."""
        return np.block([[self.A, self.B], [self.B, self.D]])

    @cached_property
    def compliance(self):
        """Blocks a [mm/N], b [1/N] and d [1/(N mm)], each of shape (..., 3, 3)."""
        return compliance_blocks(self.stiffness)

    @cached_property
    def _constants(self):
        return effective_constants(self.stiffness, self.total_thickness_mm)

    @property
    def in_plane(self):
        """Apparent in-plane moduli, an `EngineeringConstants` [MPa, -]."""
        return EngineeringConstants(*np.moveaxis(self._constants[..., 0, :], -1, 0))

    @property
    def flexural(self):
        """Apparent moduli in bending, an `EngineeringConstants` [MPa, -]."""
        return EngineeringConstants(*np.moveaxis(self._constants[..., 1, :], -1, 0))

    def free_loads(self, free_strain):
        """Forces and moments that would hold free ply strains back.

        Parameters
        ----------
        free_strain : array_like, shape (..., plies, 3)
            Free strain of each ply in laminate axes, from heat or shrinkage [-].

        Returns
        -------
        N : ndarray, shape (..., 3)
            Force per width [N/mm].
        M : ndarray, shape (..., 3)
            Moment per width [N].

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0], alpha1=3e-5, alpha2=3e-5)
        >>> wall.free_loads(wall.expansion * 10.0)[1].tolist()
        [0.0, 0.0, 0.0]
        """
        stress = np.einsum("...ij,...j->...i", self.qbar, np.asarray(free_strain, dtype=float))
        zm = 0.5 * (self.z_mm[..., 1:] + self.z_mm[..., :-1])
        force = stress * self.thickness_mm[..., None]
        return force.sum(axis=-2), (force * zm[..., None]).sum(axis=-2)

    def response(self, N=(0.0, 0.0, 0.0), M=(0.0, 0.0, 0.0), delta_t=0.0, free_strain=None):
        """Mid-plane strain and curvature under loads, a temperature change and free strains.

        Parameters
        ----------
        N : array_like, shape (..., 3)
            Force per width x, y, xy [N/mm].
        M : array_like, shape (..., 3)
            Moment per width x, y, xy [N].
        delta_t : array_like, shape (...)
            Temperature change, the same in all plies [K].
        free_strain : array_like, shape (..., plies, 3), optional
            Further free strains of the plies in laminate axes, such as cure shrinkage [-].

        Returns
        -------
        Response
            Strains [-] and curvatures [1/mm].

        Raises
        ------
        InputError
            If a load is not finite.

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0])
        >>> float(wall.response(N=(50.0, 0, 0)).eps0[0].round(9))
        0.001
        """
        free = self.expansion * number("delta_t", delta_t, "K")[..., None, None]
        if free_strain is not None:
            free = free + number("free_strain", free_strain)
        held_n, held_m = self.free_loads(free)
        n, m = number("N", N, "N/mm") + held_n, number("M", M, "N") + held_m
        a, b, d = self.compliance
        eps0 = np.einsum("...ij,...j->...i", a, n) + np.einsum("...ij,...j->...i", b, m)
        kappa = np.einsum("...ji,...j->...i", b, n) + np.einsum("...ij,...j->...i", d, m)
        return Response(eps0, kappa)

    def ply_strains(self, response, axes="laminate"):
        """Strain at the low-z and high-z face of every ply.

        Parameters
        ----------
        response : Response
            Strains [-] and curvatures [1/mm] from `response`.
        axes : {"laminate", "ply"}
            Axes of the result [-].

        Returns
        -------
        ndarray, shape (..., plies, 2, 3)
            Strain, engineering shear [-].

        Raises
        ------
        InputError
            If `axes` is neither name.

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [2.0])
        >>> wall.ply_strains(Response(np.zeros(3), np.array([0.001, 0, 0])))[0, :, 0].tolist()
        [-0.001, 0.001]
        """
        faces = np.stack([self.z_mm[..., :-1], self.z_mm[..., 1:]], axis=-1)
        strain = response.eps0[..., None, None, :] + faces[..., None] * response.kappa[..., None, None, :]
        if axes == "laminate":
            return strain
        if axes == "ply":
            return strain_to_ply_axes(strain, self.angle_deg[..., None])
        raise InputError("axes", "must be 'laminate' or 'ply' [-]", axes, "use one of the two")

    def ply_stresses(self, response, delta_t=0.0, axes="laminate", free_strain=None):
        """Stress at the low-z and high-z face of every ply.

        Parameters
        ----------
        response : Response
            Strains [-] and curvatures [1/mm] from `response`.
        delta_t : array_like, shape (...)
            The same temperature change that went into `response` [K].
        axes : {"laminate", "ply"}
            Axes of the result [-].
        free_strain : array_like, shape (..., plies, 3), optional
            The same further free strains that went into `response` [-].

        Returns
        -------
        ndarray, shape (..., plies, 2, 3)
            Stress [MPa].

        Raises
        ------
        InputError
            If `axes` is neither name.

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0])
        >>> wall.ply_stresses(wall.response(N=(50.0, 0, 0)))[0, 0].round(6).tolist()
        [10.0, 0.0, 0.0]
        """
        free = self.expansion * number("delta_t", delta_t, "K")[..., None, None]
        if free_strain is not None:
            free = free + number("free_strain", free_strain)
        strain = self.ply_strains(response) - free[..., None, :]
        stress = np.einsum("...ij,...fj->...fi", self.qbar, strain)
        if axes == "laminate":
            return stress
        if axes == "ply":
            return stress_to_ply_axes(stress, self.angle_deg[..., None])
        raise InputError("axes", "must be 'laminate' or 'ply' [-]", axes, "use one of the two")
