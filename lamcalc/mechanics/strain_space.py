"""Tsai-Wu in strain space: nine numbers a ply, and the kernel that runs large batches of laminates."""

import numpy as np

from lamcalc.mechanics.criteria import DEFAULT_INTERACTION, tsai_wu_terms
from lamcalc.mechanics.lamina import strain_transform
from lamcalc.mechanics.quadratic_form import inverse_strength_ratio, linear_part, mixed_part, quadratic_part

# temporaries of this many laminates stay in the second-level cache
CHUNK = 2048


def tsai_wu_strain_coefficients(q, strengths, angle_deg, *, interaction=DEFAULT_INTERACTION):
    """Tsai-Wu criterion of plies as nine numbers in laminate-axis strain.

    Parameters
    ----------
    q : array_like, shape (..., 3, 3)
        Ply stiffness in ply axes [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].
    interaction : float
        Normalised interaction F12* [-].

    Returns
    -------
    ndarray, shape (..., 9)
        The surface ``g . e + e' G e = 1``, ordered as in `quadratic_form` [-].

    Raises
    ------
    InputError
        If an angle looks like radians or the interaction is out of range.

    Notes
    -----
    Stress is ``s = Q R e`` with R the strain transform, so ``g = (Q R)' F`` and
    ``G = (Q R)' F (Q R)``: neither rotation nor stress is left for run time.

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> q, glass = reduced_stiffness(38600.0, 8270.0, 0.26, 4140.0), PlyStrengths(1062, 610, 31, 118, 72)
    >>> form = tsai_wu_strain_coefficients(q, glass, 0.0)
    >>> float((form[5] / (4140.0 / 72) ** 2).round(12))
    1.0
    """
    f = tsai_wu_terms(strengths, interaction=interaction)
    to_stress = np.asarray(q, dtype=float) @ strain_transform(angle_deg)
    zero = np.zeros(np.broadcast_shapes(strengths.shape, np.shape(f.f12)))
    vector = np.stack([f.f1 + zero, f.f2 + zero, zero], axis=-1)
    matrix = np.stack([np.stack([f.f11 + zero, f.f12 + zero, zero], axis=-1),
                       np.stack([f.f12 + zero, f.f22 + zero, zero], axis=-1),
                       np.stack([zero, zero, f.f66 + zero], axis=-1)], axis=-2)
    g = np.einsum("...ji,...j->...i", to_stress, vector)
    full = np.swapaxes(to_stress, -1, -2) @ matrix @ to_stress
    terms = [full[..., 0, 0], full[..., 1, 1], full[..., 2, 2], *(2 * full[..., i, j] for i, j in ((0, 1), (0, 2), (1, 2)))]
    return np.concatenate([g, np.stack(terms, axis=-1)], axis=-1)


def _rows(array, batch, tail):
    """Array with one leading batch axis of full length."""
    array = np.asarray(array)
    return np.broadcast_to(array, batch + array.shape[array.ndim - tail:]).reshape((-1,) + array.shape[array.ndim - tail:])


def _strains(z, eps0, kappa):
    """Strain components x, y, xy at heights (rows, laminates)."""
    return eps0[:, None] + z * kappa[:, None]


def _inverse_of_ply(form, strain, steady):
    """1/R at the two faces of one ply; infinite where the steady strain alone fails."""
    linear, quadratic = linear_part(form, strain), quadratic_part(form, strain)
    if steady is None:
        return inverse_strength_ratio(linear, quadratic)
    room = 1.0 - linear_part(form, steady) - quadratic_part(form, steady)
    held = np.where(room > 0, room, 1.0)
    inverse = inverse_strength_ratio((linear + mixed_part(form, steady, strain)) / held, quadratic / held)
    return np.where(room > 0, inverse, np.inf)


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
        Critical place: 2 x ply + 0 for its low-z face, + 1 for its high-z face, plies from 0 [-].
    ratios : ndarray, shape (..., plies, 2)
        All ratios, only if `every` [-].

    Notes
    -----
    ``1/R = (b + sqrt(b^2 + 4 a))/2`` with ``b = g . e`` and ``a = e' G e``; the
    worst face has the largest 1/R, so that no zero load is ever divided by.
    Laminates run in chunks of 2048, ply by ply, so that temporaries stay small.
    Of equally critical faces the one nearest the mould is named.

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> q, glass = reduced_stiffness(38600.0, 8270.0, 0.0, 4140.0), PlyStrengths(1062, 610, 31, 118, 72)
    >>> form = tsai_wu_strain_coefficients(q, glass, 0.0)
    >>> ratio, surface = first_ply_ratio(form[None], [0], [-1.0, 1.0], [0, 0, 0], [1e-2, 0, 0])
    >>> float(ratio.round(4)), int(surface)
    (1.5803, 0)
    """
    coefficients, z_mm, eps0, kappa = (np.asarray(x, dtype=float) for x in (coefficients, z_mm, eps0, kappa))
    plies = z_mm.shape[-1] - 1
    parts = [z_mm.shape[:-1], eps0.shape[:-1], kappa.shape[:-1]]
    parts += [coefficients.shape[:-2] if index is None else np.shape(index)[:-1]]
    parts += [] if residual is None else [np.shape(residual)[:-3]]
    batch = np.broadcast_shapes(*parts)
    z, e0, k0 = _rows(z_mm, batch, 1), _rows(eps0, batch, 1), _rows(kappa, batch, 1)
    steady = None if residual is None else _rows(residual, batch, 3)
    table = np.ascontiguousarray(coefficients.T) if index is not None else _rows(coefficients, batch, 2)
    picks = None if index is None else _rows(index, batch, 1)
    count = len(z)
    ratio, surface = np.empty(count), np.empty(count, dtype=np.intp)
    ratios = np.empty((count, plies, 2)) if every else None

    def run(low):
        part = slice(low, low + CHUNK)
        strain = _strains(z[part].T, e0[part].T, k0[part].T)
        pick = None if picks is None else picks[part].T.astype(np.intp)
        inverse = np.empty((2 * plies, strain.shape[-1]))
        for j in range(plies):
            form = table[part, j].T if pick is None else table.take(pick[j], axis=1)
            still = None if steady is None else np.moveaxis(steady[part, j], (2, 1), (0, 1))
            inverse[2 * j:2 * j + 2] = _inverse_of_ply(form, strain[:, j:j + 2], still)
        surface[part] = inverse.argmax(axis=0)
        with np.errstate(divide="ignore"):
            ratio[part] = 1.0 / np.maximum(inverse.max(axis=0), 0.0)
            if every:
                np.divide(1.0, np.maximum(inverse, 0.0).T.reshape(-1, plies, 2), out=ratios[part])

    # draining the iterator also raises what a chunk raised
    for _ in (map if executor is None else executor.map)(run, range(0, count, CHUNK)):
        pass
    out = ratio.reshape(batch), surface.reshape(batch)
    return out + (ratios.reshape(batch + (plies, 2)),) if every else out
