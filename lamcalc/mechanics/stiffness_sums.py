"""Extension, coupling and bending stiffness of any number of laminates at once, as sums over plies.

Ply 1 lies against the mould at z = -h/2 and z grows towards the last ply laid.
"""

import os
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache, partial

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.compiled import compiled_loop, plain_arithmetic

# rows and columns of the six independent terms 11, 12, 16, 22, 26, 66
_ROW, _COL = np.array([0, 0, 0, 1, 1, 2]), np.array([0, 1, 2, 1, 2, 2])
# place of each term of a symmetric 3 x 3 matrix among the six that are kept
FULL_TERMS = np.array([[0, 1, 2], [1, 3, 4], [2, 4, 5]])
# temporaries of this many plies stay near the processor
_PLIES = 40_960
# laminates that one worker takes at a time
_SHARE = 16_384
# from this many laminates on, threads pay if no executor is brought; each takes 4 MB of buffers
_CROWD, _THREADS = 100_000, 3
# a table of all pairs of plies pays from this many laminates on, for palettes up to this size
_MANY, SMALL_PALETTE = 2048, 32


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
def _weights(t, middle):
    """Weights of a ply in A, B and D from thickness and mid-height; an array of mid-heights is used up."""
    first = t * middle
    middle *= middle
    middle += t * t * (1.0 / 12.0)
    middle *= t
    return t, first, middle


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
    return _weights(t, _product(t, _levers(t.shape[-1])))[1:]


def _flat(array, batch, tail):
    """Array with one batch axis in front of the tail; a view wherever that is possible."""
    return np.broadcast_to(array, batch + array.shape[-tail:]).reshape((-1,) + array.shape[-tail:])


def _pairs(terms):
    """Terms of every two plies of a palette, at the number that their two bytes make side by side."""
    both = np.arange(257 * len(terms) - 256, dtype=np.uint16).view(np.uint8)
    return terms[np.minimum(both, len(terms) - 1)].reshape(-1, 12)


class _PlySums:
    """Sums over plies: terms of all plies of a handful of laminates, then one small product a laminate.

    Two plies are picked at once where a table of pairs is given: finding costs more than copying.  Buffers are made
    once: fresh ones would be page-faulted anew for every chunk.
    """

    def __init__(self, terms, pairs, plies, size):
        self.terms, self.pairs, self.levers = terms, pairs, _levers(plies)
        self.weights = np.empty((3, size, plies))
        if terms is not None:
            count = size * plies
            self.picked = np.empty((count + count % 2, 6))
            self.place = np.zeros(len(self.picked), np.intp if pairs is None else np.uint8)
            self.key = None if pairs is None else np.empty(len(self.picked) // 2, np.intp)

    def _of_palette(self, index):
        count = index.size
        np.copyto(self.place[:count].reshape(index.shape), index, casting="unsafe")
        if self.pairs is None:
            picked = self.terms.take(self.place[:count], axis=0, out=self.picked[:count], mode="clip")
        else:
            key = self.key[:(count + 1) // 2]
            np.copyto(key, self.place[:2 * len(key)].view(np.uint16))
            picked = self.pairs.take(key, axis=0, out=self.picked.reshape(-1, 12)[:len(key)], mode="clip")
        return picked.reshape(-1, 6)[:count].reshape(index.shape + (6,))

    def __call__(self, t, source, out):
        weights = self.weights[:, :len(t)]
        np.matmul(t, self.levers, out=weights[2])
        weights[0], weights[1], _ = _weights(t, weights[2])
        terms = packed(source) if self.terms is None else self._of_palette(source)
        np.matmul(weights.swapaxes(0, 1), terms, out=out)


@plain_arithmetic
def _added(sums, row, weight):
    """Six sums with the six terms of one more ply."""
    return (sums[0] + row[0] * weight, sums[1] + row[1] * weight, sums[2] + row[2] * weight,
            sums[3] + row[3] * weight, sums[4] + row[4] * weight, sums[5] + row[5] * weight)


def _loop_over_plies(njit, weights, added):
    """Compiled: ply by ply, without temporaries; heights are counted on from ply to ply."""
    @njit
    def loop(terms, index, t, out):
        for i in range(len(t)):
            height = 0.0
            for j in range(t.shape[1]):
                height -= 0.5 * t[i, j]
            a = b = d = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
            for j in range(t.shape[1]):
                row, weight = terms[index[i, j]], weights(t[i, j], height + 0.5 * t[i, j])
                a, b, d = added(a, row, weight[0]), added(b, row, weight[1]), added(d, row, weight[2])
                height += t[i, j]
            for k in range(6):
                out[i, 0, k], out[i, 1, k], out[i, 2, k] = a[k], b[k], d[k]

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
        Runs the shares of a batch side by side; if left out, up to three threads do from 100,000 laminates on [-].

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
    that temporaries stay below 4 MB a thread.

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
    loop = compiled_loop(_loop_over_plies, _weights, _added)
    source, palette = (q, None) if index is None else (index, q)
    if loop is not None:
        def sums(size):
            return partial(_compiled_sums, loop, palette)
    else:
        by_pairs = index is not None and len(q) <= SMALL_PALETTE and len(t) >= _MANY
        sums = partial(_PlySums, palette, _pairs(q) if by_pairs else None, plies)
    out = np.empty((len(t), 3, 6))
    _in_chunks(sums, t, source, out, executor)
    return out.reshape(batch + (3, 6))


def _compiled_sums(loop, palette, t, source, out):
    if palette is None:
        loop(packed(source).reshape(-1, 6), np.arange(t.size).reshape(t.shape), np.ascontiguousarray(t), out)
    else:
        loop(palette, np.ascontiguousarray(source), np.ascontiguousarray(t), out)


def _in_chunks(sums, t, source, out, executor):
    """Sums of all laminates chunk by chunk, side by side where that pays; raises what a chunk raises.

    Chunks are the same whoever works on them: the last digit of a product may depend on its number of rows.
    """
    count, size = len(t), max(1, _PLIES // max(1, t.shape[-1]))

    def run(rows):
        add = sums(min(size, rows.stop - rows.start))
        for low in range(rows.start, rows.stop, size):
            part = slice(low, min(low + size, rows.stop))
            add(t[part], source[part], out[part])

    def shares(chunks):
        return [slice(low, min(low + chunks * size, count)) for low in range(0, count, chunks * size)]

    if executor is not None:
        list(executor.map(run, shares(-(-_SHARE // size))))
    elif count < _CROWD:
        run(slice(0, count))
    else:
        threads = min(_THREADS, os.cpu_count() or 1)
        with ThreadPoolExecutor(threads) as own:
            list(own.map(run, shares(-(-count // (threads * size)))))
