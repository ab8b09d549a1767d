"""Tsai-Wu in strain space: the kernel that runs large batches of laminates."""

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.chunks import batch_part, batch_rows
from lamcalc.mechanics.compiled import compiled_loop
from lamcalc.mechanics.quadratic_form import (
    inverse_root,
    linear_part,
    mixed_part,
    products,
    quadratic_part,
)

# up to here the values of all palette entries cost less than picking nine numbers a ply
SMALL_PALETTE = 32
# numbers in the largest temporary: it stays in the second-level cache, and the calls cost less than the arithmetic
_NUMBERS = 160_000
_LEAST, _MOST = 128, 4096
# laminates that one worker takes at a time
_SHARE = 16_384


def _checked_index(index, palette):
    index = np.asarray(index)
    if index.size and (index.min() < 0 or index.max() >= palette):
        raise InputError("index", f"must name one of the {palette} palette entries, from 0 [-]", index,
                         "check the ply numbers against the palette")
    return index


def _columns(array, batch, rows):
    """Rows of an array (..., k) turned into k contiguous rows over the laminates."""
    part = batch_part(array, batch, 1, rows)
    return np.ascontiguousarray(np.broadcast_to(part, (rows.stop - rows.start, part.shape[-1])).T)


def _rows(array, batch, rows):
    """Rows of an array (..., k) over a batch, one behind the other."""
    part = batch_part(array, batch, 1, rows)
    return np.ascontiguousarray(np.broadcast_to(part, (rows.stop - rows.start, part.shape[-1])))


def _strains(heights, mid, bend, out):
    """Strain at heights, shape (3, heights, laminates), written into `out`."""
    np.multiply(bend[:, None], heights, out=out)
    out += mid[:, None]
    return out


def _fill_products(strain, out):
    """Products of strains, row by row: a stack of them would be one more copy."""
    for row, product in zip(out, products(strain), strict=True):
        row[...] = product


class _PaletteTerms:
    """Linear and quadratic term at both faces of each ply, picked from the values of all palette entries."""

    def __init__(self, table, plies, width):
        self.tables = np.ascontiguousarray(table[:, :3]), np.ascontiguousarray(table[:, 3:])
        self.basis, self.values = np.empty((9, plies + 1, width)), np.empty((len(table), (plies + 1) * width))
        self.key, self.found = np.empty((plies, width), np.intp), np.empty((2, plies, 2, width))
        self.place = np.arange(plies * width).reshape(plies, width)

    def __call__(self, pick, heights, mid, bend):
        basis, count = self.basis, self.values.shape[1]
        _fill_products(_strains(heights, mid, bend, basis[:3]), basis[3:])
        np.multiply(pick, count, out=self.key, casting="unsafe", dtype=np.intp)
        self.key += self.place
        low, high = self.values.reshape(-1), self.values.reshape(-1)[pick.shape[1]:]
        for table, part, found in zip(self.tables, (basis[:3], basis[3:]), self.found, strict=True):
            np.matmul(table, part.reshape(len(part), count), out=self.values)
            low.take(self.key, out=found[:, 0], mode="clip")
            high.take(self.key, out=found[:, 1], mode="clip")
        return self.found


def terms_by_ply(forms, heights, mid, bend, steady=None):
    """Linear and quadratic term at both faces of each ply from the nine numbers of each ply.

    Parameters
    ----------
    forms : ndarray, shape (9, plies, laminates) or (9, plies, 1)
        Criterion in laminate-axis strain [-].
    heights : ndarray, shape (plies + 1, laminates)
        Heights of the ply interfaces [mm].
    mid, bend : ndarray, shape (3, laminates)
        Mid-plane strain [-] and curvature [1/mm].
    steady : ndarray, shape (3, plies, 2, laminates), optional
        Strain that does not grow with the load and uses up part of the room [-].

    Returns
    -------
    linear, quadratic : ndarray, shape (plies, 2, laminates)
        Terms b and a [-].

    Examples
    --------
    >>> terms = terms_by_ply(np.ones((9, 1, 1)), np.array([[-1.0], [1.0]]), np.zeros((3, 1)), np.eye(3)[:, :1])
    >>> [t.ravel().tolist() for t in terms]
    [[-1.0, 1.0], [1.0, 1.0]]
    """
    basis = np.empty((9,) + heights.shape)
    _fill_products(_strains(heights, mid, bend, basis[:3]), basis[3:])
    # interfaces j and j + 1 are the faces of ply j: a view, the products are made once
    faces = np.moveaxis(np.lib.stride_tricks.sliding_window_view(basis, 2, axis=1), -1, 2)
    linear, quadratic = (np.einsum("kpc,kpfc->pfc", forms[k], faces[k]) for k in (slice(0, 3), slice(3, 9)))
    if steady is None:
        return linear, quadratic
    forms, strain = [form[:, None] for form in forms], faces[:3]
    room = 1.0 - linear_part(forms, steady) - quadratic_part(forms, steady)
    share = np.where(room > 0, 1.0 / np.where(room > 0, room, 1.0), 0.0)
    # no room at all: an infinite linear term makes the ratio 0
    return np.where(room > 0, (linear + mixed_part(forms, steady, strain)) * share, np.inf), quadratic * share


def worst_face(linear, quadratic):
    """Worst face of laminates from the two terms of the criterion at all faces.

    Parameters
    ----------
    linear, quadratic : ndarray, shape (plies, 2, laminates)
        Terms b and a of each face [-].

    Returns
    -------
    worst : ndarray, shape (laminates,)
        Largest 1/R, 0 or more [-].
    surface : ndarray of int, shape (laminates,)
        First face that has it, 2 x ply + face; 0 where it is 0 [-].
    inverse : ndarray, shape (plies, 2, laminates)
        1/R of every face [-].

    Examples
    --------
    >>> worst, surface, _ = worst_face(np.array([[[0.1], [0.5]]]), np.zeros((1, 2, 1)))
    >>> worst.tolist(), surface.tolist()
    ([0.5], [1])
    """
    inverse = inverse_root(linear, quadratic)
    faces = inverse.reshape(-1, inverse.shape[-1])
    worst = np.maximum(faces.max(axis=0), 0.0)
    surface = (faces == worst).argmax(axis=0)
    surface[worst == 0] = 0
    return worst, surface, inverse


def _loop_over_faces(njit, products, inverse_root):
    """Compiled: terms of all faces of a laminate, then their roots side by side, then the worst."""
    @njit
    def loop(forms, index, z, mid, bend, worst, surface):
        plies = z.shape[1] - 1
        linear, inverse = np.empty(2 * plies), np.empty(2 * plies)
        for i in range(len(z)):
            start, slope = (mid[i, 0], mid[i, 1], mid[i, 2]), (bend[i, 0], bend[i, 1], bend[i, 2])
            for j in range(plies):
                form = forms[index[i, j]]
                for face in (2 * j, 2 * j + 1):
                    height, first, second = z[i, face - j], 0.0, 0.0
                    strain = start[0] + slope[0] * height, start[1] + slope[1] * height, start[2] + slope[2] * height
                    square = products(strain)
                    for k in range(3):
                        first += form[k] * strain[k]
                    for k in range(6):
                        second += form[3 + k] * square[k]
                    linear[face], inverse[face] = first, second
            for face in range(2 * plies):
                inverse[face] = inverse_root(linear[face], inverse[face])
            for face in range(2 * plies):
                if inverse[face] > worst[i]:
                    worst[i], surface[i] = inverse[face], face
                elif inverse[face] != inverse[face]:  # not a number is passed on, as NumPy does
                    worst[i], surface[i] = inverse[face], 0

    return loop


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
    Laminates run in chunks, so that temporaries stay small.
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
    chunk = min(max(_NUMBERS // ((plies + 1) * (len(coefficients) if small else 16)), _LEAST), _MOST)

    def terms(rows, picker):
        heights, mid, bend = (_columns(x, frame, rows) for x in (z_mm, eps0, kappa))
        pick = None if index is None else _columns(index, frame, rows)
        if picker is not None:
            return picker(pick, heights, mid, bend)
        forms = np.moveaxis(batch_part(coefficients, frame, 2, rows), -2, 0) if pick is None else coefficients[pick]
        forms = np.moveaxis(forms, -1, 0)
        steady = None if residual is None else batch_part(residual, frame, 3, rows)
        if steady is not None:
            steady = np.moveaxis(steady, -1, 0)
            steady = np.moveaxis(steady[:, None] if steady.ndim == 3 else steady, 1, -1)
        return terms_by_ply(forms if forms.ndim == 3 else forms[..., None], heights, mid, bend, steady)

    loop = None if every or residual is not None else compiled_loop(_loop_over_faces, products, inverse_root)

    def run_compiled(share):
        forms, places = coefficients, None if index is None else _rows(index, frame, share)
        worst = np.zeros(share.stop - share.start)
        if index is None:
            part = batch_part(coefficients, frame, 2, share)
            forms = np.ascontiguousarray(np.broadcast_to(part, (len(worst), plies, 9))).reshape(-1, 9)
            places = np.arange(len(forms)).reshape(-1, plies)
        surface[share] = 0
        loop(forms, places, *(_rows(x, frame, share) for x in (z_mm, eps0, kappa)), worst, surface[share])
        with np.errstate(divide="ignore", over="ignore"):
            np.divide(1.0, worst, out=ratio[share])

    def run(share):
        # buffers are made once: fresh ones would be page-faulted anew for every chunk
        width = min(chunk, share.stop - share.start)
        picker = _PaletteTerms(coefficients, plies, width) if small else None
        for low in range(share.start, share.stop, width):
            rows = slice(low, min(low + width, share.stop))
            if rows.stop - low < width:
                picker = _PaletteTerms(coefficients, plies, rows.stop - low) if small else None
            worst, surface[rows], inverse = worst_face(*terms(rows, picker))
            with np.errstate(divide="ignore", over="ignore"):
                np.divide(1.0, worst, out=ratio[rows])
                if every:
                    ratios[rows] = np.moveaxis(1.0 / np.maximum(inverse, 0.0), -1, 0)

    # draining the iterator also raises what a chunk raised
    work = (run, batch_rows(frame, _SHARE)) if loop is None else (run_compiled, batch_rows(frame, _MOST))
    for _ in (map if executor is None else executor.map)(*work):
        pass
    out = ratio.reshape(batch), surface.reshape(batch)
    return out + (ratios.reshape(batch + (plies, 2)),) if every else out
