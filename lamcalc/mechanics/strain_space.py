"""Tsai-Wu in strain space: the kernel that runs large batches of laminates."""

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.chunks import batch_part, batch_rows
from lamcalc.mechanics.quadratic_form import (
    inverse_strength_ratio,
    linear_part,
    mixed_part,
    products,
    quadratic_part,
)

# up to here the values of all palette entries cost less than picking nine numbers a ply
SMALL_PALETTE = 32
# measured: below this the calls cost more than the arithmetic
_LAMINATES = 4096


def _checked_index(index, palette):
    index = np.asarray(index)
    if index.size and (index.min() < 0 or index.max() >= palette):
        raise InputError("index", f"must name one of the {palette} palette entries, from 0 [-]", index,
                         "check the ply numbers against the palette")
    return index


def _columns(array, batch, rows):
    """Rows of an array (..., k) turned into k contiguous rows over the laminates; one column if all share it."""
    return np.ascontiguousarray(np.atleast_2d(batch_part(array, batch, 1, rows)).T)


def _strain(mid, bend, height, out):
    """Strain at a height, written into `out` of shape (3, laminates)."""
    np.multiply(bend, height, out=out)
    out += mid
    return out


def _terms_by_palette(table, pick, heights, mid, bend, count):
    """Linear and quadratic term at both faces of each ply, picked from the values of all palette entries."""
    plies = len(pick)
    basis, values = np.empty((9, count)), np.empty((len(table), count))
    pick = pick.astype(np.intp) * count + np.arange(count)
    tables = np.ascontiguousarray(table[:, :3]), np.ascontiguousarray(table[:, 3:])
    # linear and quadratic term; low and high face of this ply, low face of the next
    terms = np.empty((2, 3, count))
    for j, height in enumerate(heights):
        products(_strain(mid, bend, height, basis[:3]), basis[3:])
        for term, half, part in zip(terms, tables, (basis[:3], basis[3:]), strict=True):
            np.matmul(half, part, out=values)
            if j:
                values.take(pick[j - 1], out=term[1], mode="clip")
            if j < plies:
                values.take(pick[j], out=term[2], mode="clip")
        if j:
            yield terms[0, :2], terms[1, :2]
        terms[:, 0] = terms[:, 2]


def _terms_by_ply(forms, heights, mid, bend, count, steady):
    """The same from the nine numbers of each ply; a steady strain uses up part of the room."""
    strain = np.empty((3, 2, count))
    for j, form in enumerate(forms):
        for face in (0, 1):
            _strain(mid, bend, heights[j + face], strain[:, face])
        linear, quadratic = linear_part(form, strain), quadratic_part(form, strain)
        if steady is None:
            yield linear, quadratic
            continue
        held = np.moveaxis(steady[..., j, :, :], -1, 0).reshape(3, -1, 2).swapaxes(1, 2)
        room = 1.0 - linear_part(form, held) - quadratic_part(form, held)
        share = np.where(room > 0, 1.0 / np.where(room > 0, room, 1.0), 0.0)
        # no room at all: an infinite linear term makes the ratio 0
        yield np.where(room > 0, (linear + mixed_part(form, held, strain)) * share, np.inf), quadratic * share


def _keep_worst(worst, place, inverse, number):
    """Update the largest 1/R so far and its surface number, in place."""
    for face in (0, 1):
        np.copyto(place, number + face, where=inverse[face] > worst)
        np.maximum(worst, inverse[face], out=worst)


def first_ply_ratio(coefficients, index, z_mm, eps0, kappa, *, residual=None, every=False, executor=None):
    """Tsai-Wu strength ratio of laminates from mid-plane strain and curvature, worst face of all plies.

    Parameters
    ----------
    coefficients : array_like, shape (palette, 9), or (..., plies, 9) if `index` is None
        Criterion in laminate-axis strain from `tsai_wu_strain_coefficients` [-].
    index : array_like of int, shape (..., plies), or None
        Which palette entry each ply is [-].
    z_mm : array_like, shape (..., plies + 1)
        Heights of the ply interfaces, low z first [mm].
    eps0 : array_like, shape (..., 3)
        Mid-plane strain from the load [-].
    kappa : array_like, shape (..., 3)
        Curvature from the load [1/mm].
    residual : array_like, shape (..., plies, 2, 3), optional
        Strain that causes stress but does not grow with the load, at both faces [-].
    every : bool
        Whether to return the ratio of every face too [-].
    executor : concurrent.futures.Executor, optional
        Runs the chunks side by side; threads suffice [-].

    Returns
    -------
    ratio : ndarray, shape (...)
        Load factor at first failure; infinite if no load factor fails [-].
    surface : ndarray of int, shape (...)
        Critical place: 2 x ply + 0 for its low-z face, + 1 for its high-z face, plies from 0;
        0 where the ratio is infinite [-].
    ratios : ndarray, shape (..., plies, 2)
        All ratios, only if `every` [-].

    Raises
    ------
    InputError
        If an index names no palette entry.

    Notes
    -----
    ``1/R = (b + sqrt(b^2 + 4 a))/2`` with ``b = g . e`` and ``a = e' G e``; the
    worst face has the largest 1/R, so that no zero load is ever divided by.
    Laminates run in chunks of 4096, ply by ply, so that temporaries stay small.
    Of equally critical faces the one nearest the mould is named.

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> q, glass = reduced_stiffness(38600.0, 8270.0, 0.0, 4140.0), PlyStrengths(1062, 610, 31, 118, 72)
    >>> from lamcalc.mechanics.tsai_wu import tsai_wu_strain_coefficients
    >>> form = tsai_wu_strain_coefficients(q, glass, 0.0)
    >>> ratio, surface = first_ply_ratio(form[None], [0], [-1.0, 1.0], [0, 0, 0], [1e-2, 0, 0])
    >>> float(ratio.round(4)), int(surface)
    (1.5803, 0)
    """
    coefficients, z_mm, eps0, kappa = (np.asarray(x, dtype=float) for x in (coefficients, z_mm, eps0, kappa))
    plies = z_mm.shape[-1] - 1
    shapes = [z_mm.shape[:-1], eps0.shape[:-1], kappa.shape[:-1]]
    shapes += [coefficients.shape[:-2] if index is None else np.shape(index)[:-1]]
    shapes += [] if residual is None else [np.shape(residual)[:-3]]
    batch = np.broadcast_shapes(*shapes)
    frame = batch or (1,)
    index = None if index is None else _checked_index(index, len(coefficients))
    small = index is not None and residual is None and len(coefficients) <= SMALL_PALETTE
    count = int(np.prod(frame))
    ratio, surface = np.empty(count), np.empty(count, dtype=np.intp)
    ratios = np.empty((count, plies, 2)) if every else None

    def run(rows):
        width = rows.stop - rows.start
        heights, mid, bend = (_columns(x, frame, rows) for x in (z_mm, eps0, kappa))
        pick = None if index is None else _columns(index, frame, rows)
        if small:
            terms = _terms_by_palette(coefficients, pick, heights, mid, bend, width)
        else:
            forms = np.moveaxis(batch_part(coefficients, frame, 2, rows), -2, 0) if pick is None else coefficients[pick]
            steady = None if residual is None else batch_part(residual, frame, 3, rows)
            terms = _terms_by_ply(np.moveaxis(forms, -1, 1), heights, mid, bend, width, steady)
        worst, place = np.zeros(width), np.zeros(width, dtype=np.intp)
        for j, (linear, quadratic) in enumerate(terms):
            inverse = inverse_strength_ratio(linear, quadratic)
            _keep_worst(worst, place, inverse, 2 * j)
            if every:
                with np.errstate(divide="ignore", over="ignore"):
                    ratios[rows, j] = 1.0 / np.maximum(inverse, 0.0).T
        surface[rows] = place
        with np.errstate(divide="ignore", over="ignore"):
            np.divide(1.0, worst, out=ratio[rows])

    # draining the iterator also raises what a chunk raised
    for _ in (map if executor is None else executor.map)(run, batch_rows(frame, _LAMINATES)):
        pass
    out = ratio.reshape(batch), surface.reshape(batch)
    return out + (ratios.reshape(batch + (plies, 2)),) if every else out
