"""Extension, coupling and bending stiffness of any number of laminates at once, as sums over plies.

Ply 1 lies against the mould at z = -h/2 and z grows towards the last ply laid.
"""

from functools import lru_cache

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.compiled import compiled_loop, plain_arithmetic

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
_FACTORS = 1.0, 1.0 / _SCALE, 1.0 / 12.0


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
    return _product(t, _steps(t.shape[-1]))


def _product(t, table):
    """Product of thickness with a table, laid out like t: samples come with long rows, ply by ply."""
    if t.ndim < 2 or t.flags.c_contiguous:
        return np.matmul(t, table)
    return np.matmul(table.T, np.moveaxis(t, -1, -2)).swapaxes(-1, -2)


@lru_cache(maxsize=64)
def _steps(plies):
    """Heights of the interfaces as a product with the thickness: half the plies below minus half the plies above."""
    return 0.5 * np.sign(np.arange(plies + 1) - np.arange(plies)[:, None] - 0.5)


@lru_cache(maxsize=64)
def _levers(plies):
    """Mid-heights of the plies as a product with their thickness: half the plies below minus half the plies above."""
    place = np.arange(plies)
    return 0.5 * np.sign(place - place[:, None])


@plain_arithmetic
def _bare_weights(t, middle):
    """Weights of a ply in A, B and D; with the mid-height times sqrt(12) those in B and D lack 1/sqrt(12) and 1/12."""
    return t, t * middle, t * (middle * middle + t * t)


def section_weights(thickness_mm):
    """Weights of the plies in B and D; in A it is the thickness itself.

    Parameters
    ----------
    thickness_mm : array_like, shape (..., plies)
        Ply thickness, first ply against the mould [mm].

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
    _, first, second = _bare_weights(t, _product(t, _SCALE * _levers(t.shape[-1])))
    first *= _FACTORS[1]
    second *= _FACTORS[2]
    return first, second


def _flat(array, batch, tail):
    """Array with one batch axis in front of the tail; a view wherever that is possible."""
    return np.broadcast_to(array, batch + array.shape[-tail:]).reshape((-1,) + array.shape[-tail:])


class _PaletteSums:
    """Sums over plies: first the weights of each palette entry, then one product with the palette.

    The weights in B and D go into their places as real and imaginary part of one number: finding the place costs more
    than adding.  Terms come out one row each, because products of long rows are faster.  Buffers are made once: fresh
    ones would be page-faulted anew for every chunk.
    """

    def __init__(self, terms, size, plies):
        entries = len(terms)
        # the factors that the weights lack go to the palette, which is small
        pairs = np.zeros((entries, 2, 2, 6))
        pairs[:, 0, 0], pairs[:, 1, 1] = _FACTORS[1] * terms, _FACTORS[2] * terms
        self.extension, self.rest = terms.T, pairs.reshape(2 * entries, 12).T
        self.levers, self.middle = _SCALE * _levers(plies), np.empty((size, plies))
        self.key, self.short = np.empty((size, plies), np.intp), np.empty((size, plies), np.min_scalar_type(size * entries))
        self.base = np.repeat(np.arange(size) * entries, plies).reshape(size, plies).astype(self.short.dtype)
        self.pair, self.share = np.empty((size, plies), complex), np.empty((size, entries), complex)

    def __call__(self, t, picked, out):
        count, entries = len(t), self.extension.shape[1]
        key, pair, share = self.key[:count], self.pair[:count], self.share[:count]
        np.copyto(key, np.add(picked, self.base[:count], out=self.short[:count], casting="unsafe"))
        weight, pair.real, pair.imag = _bare_weights(t, np.matmul(t, self.levers, out=self.middle[:count]))
        share.fill(0)
        np.add.at(share.reshape(-1), key.reshape(-1), pair.reshape(-1))
        extension = np.bincount(key.reshape(-1), weight.reshape(-1), count * entries).reshape(-1, entries)
        np.matmul(self.extension, extension.T, out=out[:6])
        np.matmul(self.rest, share.view(float).T, out=out[6:])


def _sum_by_ply(weights, terms, out):
    """Sums over plies from six terms of each ply."""
    np.matmul(np.stack(weights, axis=-2), terms, out=out)


@plain_arithmetic
def _added(sums, row, weight):
    """Six sums with the six terms of one more ply."""
    return (sums[0] + row[0] * weight, sums[1] + row[1] * weight, sums[2] + row[2] * weight,
            sums[3] + row[3] * weight, sums[4] + row[4] * weight, sums[5] + row[5] * weight)


def _loop_over_plies(njit, weights, added):
    """Compiled: ply by ply, without temporaries; heights are counted on from ply to ply."""
    scale, (_, first, second) = _SCALE, _FACTORS

    @njit
    def loop(terms, index, t, out):
        for i in range(len(t)):
            height = 0.0
            for j in range(t.shape[1]):
                height -= 0.5 * t[i, j]
            a = b = d = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
            for j in range(t.shape[1]):
                row, weight = terms[index[i, j]], weights(t[i, j], scale * (height + 0.5 * t[i, j]))
                a, b, d = added(a, row, weight[0]), added(b, row, weight[1]), added(d, row, weight[2])
                height += t[i, j]
            for k in range(6):
                out[i, 0, k], out[i, 1, k], out[i, 2, k] = a[k], first * b[k], second * d[k]

    return loop


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
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
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
    loop = compiled_loop(_loop_over_plies, _bare_weights, _added)
    if loop is not None:
        out = _compiled_sums(loop, q, t, index, executor)
    else:
        out = _array_sums(q, t, index, executor)
    return out.reshape(batch + (3, 6))


def _shares(count):
    return [slice(low, min(low + _SHARE, count)) for low in range(0, count, _SHARE)]


def _compiled_sums(loop, q, t, index, executor):
    out = np.empty((len(t), 3, 6))

    def run(rows):
        own = np.ascontiguousarray(t[rows])
        if index is None:
            terms, picked = packed(q[rows]).reshape(-1, 6), np.arange(own.size).reshape(own.shape)
        else:
            terms, picked = q, np.ascontiguousarray(index[rows])
        loop(terms, picked, own, out[rows])

    list((map if executor is None else executor.map)(run, _shares(len(t))))
    return out


def _array_sums(q, t, index, executor):
    by_palette = index is not None and len(q) <= SMALL_PALETTE
    out = np.empty((18, len(t)) if by_palette else (len(t), 3, 6))

    def run(rows):
        size = max(1, min(2 * _CHUNK if by_palette else _CHUNK, rows.stop - rows.start))
        sums = _PaletteSums(q, size, t.shape[-1]) if by_palette else None
        for low in range(rows.start, rows.stop, size):
            part = slice(low, min(low + size, rows.stop))
            if by_palette:
                sums(t[part], index[part], out[:, part])
            else:
                terms = packed(q[part]) if index is None else q.take(index[part], axis=0)
                _sum_by_ply((t[part], *section_weights(t[part])), terms, out[part])

    if executor is None:
        run(slice(0, len(t)))
    else:
        list(executor.map(run, _shares(len(t))))
    return np.moveaxis(out.reshape(3, 6, -1), -1, 0) if by_palette else out
