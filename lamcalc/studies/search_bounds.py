"""Bounds valid for every order of a set of layers, so that sets can be rejected without trying the orders."""

import numpy as np

# rounding must never reject a set that just reaches its target
SLACK = 1.0 + 1e-9
_NU = (0.0, 0.1, 0.2, 0.3, 0.45, 0.6)
ALONG = np.array([(1.0, -nu, 0.0) for nu in _NU])
ACROSS = ALONG[:, [1, 0, 2]]


def trial_curvatures(loads):
    """Curvature shapes for the bounds; any shape gives a valid one.

    Parameters
    ----------
    loads : ndarray, shape (cases, 3)
        Moments [N mm/mm].

    Returns
    -------
    ndarray, shape (shapes, 3)
        Shapes: first those for 1/d11, then for 1/d22, then one per load [-].

    Examples
    --------
    >>> trial_curvatures(np.zeros((0, 3))).shape
    (12, 3)
    """
    return np.concatenate([ALONG, ACROSS, loads / np.linalg.norm(loads, axis=1, keepdims=True)])


def skin_moments(shares, thickness_mm, stiffness):
    """Largest moments of a skin about its inner face over all orders of its sub-plies.

    Parameters
    ----------
    shares : ndarray, shape (sets, sub-plies)
        How often each sub-ply is in the set [-].
    thickness_mm : ndarray, shape (sub-plies,)
        Thickness of one [mm].
    stiffness : ndarray, shape (sub-plies,)
        v'Qv of each [MPa].

    Returns
    -------
    ndarray, shape (3, sets)
        Integrals of v'Qv times 1, z and z squared, stiffest outermost [N/mm, N, N mm].

    Notes
    -----
    Rearrangement inequality: the integral of s(z) z^n over the skin is largest with s rising with z.

    Examples
    --------
    >>> skin_moments(np.array([[1, 1]]), np.array([1.0, 1.0]), np.array([2.0, 1.0]))[:, 0].round(4).tolist()
    [3.0, 3.5, 5.0]
    """
    order = np.argsort(stiffness, kind="stable")
    t, s = shares[:, order] * thickness_mm[order], stiffness[order]
    top = np.cumsum(t, axis=1)
    low = top - t
    return np.stack([t @ s, (top**2 - low**2) @ s / 2, (top**3 - low**3) @ s / 3])


def support(forms, direction):
    """Largest strain component along a direction inside the Tsai-Wu surface of each sub-ply.

    Parameters
    ----------
    forms : ndarray, shape (..., 9)
        Criterion in laminate strain [-].
    direction : ndarray, shape (3,)
        Direction [any].

    Returns
    -------
    ndarray, shape (...)
        Largest value; infinite where the surface is open [as `direction`].

    Notes
    -----
    Centre ``c = -G^-1 g / 2``; the largest of d.e is ``d.c + sqrt(r d'G^-1 d)`` with ``r = 1 + g'G^-1 g / 4``.

    Examples
    --------
    >>> support(np.array([0, 0, 0, 4.0, 4.0, 4.0, 0, 0, 0]), np.array([1.0, 0, 0])).item()
    0.5
    """
    g = forms[..., :3]
    f = forms
    full = np.stack([f[..., 3], f[..., 6] / 2, f[..., 7] / 2, f[..., 6] / 2, f[..., 4], f[..., 8] / 2,
                     f[..., 7] / 2, f[..., 8] / 2, f[..., 5]], axis=-1).reshape(f.shape[:-1] + (3, 3))
    closed = np.linalg.eigvalsh(full)[..., 0] > 1e-12 * np.abs(full).max(axis=(-2, -1))
    inverse = np.linalg.inv(np.where(closed[..., None, None], full, np.eye(3)))
    room = 1 + np.einsum("...i,...ij,...j->...", g, inverse, g) / 4
    reach = np.einsum("i,...ij,j->...", direction, inverse, direction)
    value = -np.einsum("i,...ij,...j->...", direction, inverse, g) / 2 + np.sqrt(room * reach)
    return np.where(closed, value, np.inf)
