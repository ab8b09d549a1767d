"""Failure surfaces as nine numbers, and the one root that turns them into a strength ratio.

A surface ``g . s + s' G s = 1`` over three components of stress or strain is
kept as nine numbers: g1, g2, g6, G11, G22, G66, 2 G12, 2 G16, 2 G26.
"""

import numpy as np

from lamcalc.mechanics.compiled import plain_arithmetic


def linear_part(form, s):
    """Linear term of a failure surface.

    Parameters
    ----------
    form : sequence of nine arrays, shape (...)
        The surface: g1, g2, g6, G11, G22, G66, 2 G12, 2 G16, 2 G26 [1/MPa and 1/MPa2, or -].
    s : sequence of three arrays, shape (...)
        Components 11, 22, 12 (or x, y, xy) of stress [MPa] or strain [-].

    Returns
    -------
    ndarray, shape (...)
        ``g . s`` [-].

    Examples
    --------
    >>> linear_part((0.5, 0, 0, 0, 0, 0, 0, 0, 0), (2.0, 7.0, 7.0))
    1.0
    """
    return _weighted(form[:3], s)


@plain_arithmetic
def products(s):
    """Products of components that the quadratic term is made of.

    Parameters
    ----------
    s : sequence of three ndarray, shape (...)
        Components of stress [MPa] or strain [-].

    Returns
    -------
    tuple of six ndarray, shape (...)
        s1 s1, s2 s2, s6 s6, s1 s2, s1 s6, s2 s6 [MPa2 or -].

    Examples
    --------
    >>> products((1.0, 2.0, 3.0))
    (1.0, 4.0, 9.0, 2.0, 3.0, 6.0)
    """
    return s[0] * s[0], s[1] * s[1], s[2] * s[2], s[0] * s[1], s[0] * s[2], s[1] * s[2]


def quadratic_part(form, s):
    """Quadratic term of a failure surface.

    Parameters
    ----------
    form : sequence of nine arrays, shape (...)
        The surface, as in `linear_part` [1/MPa and 1/MPa2, or -].
    s : sequence of three arrays, shape (...)
        Components of stress [MPa] or strain [-].

    Returns
    -------
    ndarray, shape (...)
        ``s' G s`` [-].

    Examples
    --------
    >>> float(quadratic_part((0, 0, 0, 1.0, 2.0, 3.0, 0.5, 0, 0), (1.0, 2.0, 0.0)))
    10.0
    """
    return 0.0 if all(_absent(g) for g in form[3:]) else _weighted(form[3:], products(s))


def _absent(coefficient):
    """Whether a surface leaves a term out: a plain 0, not an array that happens to hold zeros."""
    return isinstance(coefficient, int) and coefficient == 0


def _weighted(coefficients, parts):
    """Sum of the terms that a surface has; a stress criterion of one component has one of nine."""
    terms = [g * part for g, part in zip(coefficients, parts, strict=True) if not _absent(g)]
    return sum(terms[1:], terms[0]) if terms else 0.0


def mixed_part(form, s, t):
    """Twice the bilinear term of a failure surface, what a steady part adds to the linear term.

    Parameters
    ----------
    form : sequence of nine arrays, shape (...)
        The surface, as in `linear_part` [1/MPa and 1/MPa2, or -].
    s, t : sequence of three arrays, shape (...)
        Two stresses [MPa] or strains [-].

    Returns
    -------
    ndarray, shape (...)
        ``2 s' G t`` [-].

    Examples
    --------
    >>> form = (0, 0, 0, 1.0, 2.0, 3.0, 0.5, 0.1, 0.2)
    >>> round(float(mixed_part(form, (1.0, 2.0, 3.0), (1.0, 2.0, 3.0)) / quadratic_part(form, (1.0, 2.0, 3.0))), 12)
    2.0
    """
    return (t[0] * (2 * form[3] * s[0] + form[6] * s[1] + form[7] * s[2])
            + t[1] * (form[6] * s[0] + 2 * form[4] * s[1] + form[8] * s[2])
            + t[2] * (form[7] * s[0] + form[8] * s[1] + 2 * form[5] * s[2]))


def inverse_strength_ratio(linear, quadratic):
    """Inverse of the load factor at which a linear plus a quadratic term reach one.

    Parameters
    ----------
    linear, quadratic : array_like, shape (...)
        Terms b and a at the present load; a is 0 or more up to rounding [-].

    Returns
    -------
    ndarray, shape (...)
        ``1/R = (b + sqrt(b^2 + 4 a)) / 2``; 0 where no load factor fails [-].

    Notes
    -----
    The inverse has no 0/0 at zero load, so that it can be compared over plies
    before any division.  What is under the root is held at 0: rounding may
    leave a tiny negative number there.

    Examples
    --------
    >>> float(inverse_strength_ratio(0.0, 0.25))
    0.5
    """
    if np.ndim(quadratic) == 0 and quadratic == 0:
        return np.maximum(linear, 0.0)  # the same without the root: most surfaces of a stress criterion are planes
    return inverse_root(np.asarray(linear), quadratic)


@plain_arithmetic
def inverse_root(linear, quadratic):
    """The formula of `inverse_strength_ratio`, for numbers and for columns.

    Parameters
    ----------
    linear, quadratic : ndarray, shape (...)
        Terms b and a [-].

    Returns
    -------
    ndarray, shape (...)
        ``b/2 + sqrt((b/2)^2 + a)`` [-].

    Examples
    --------
    >>> float(inverse_root(3.0, 4.0))
    4.0
    """
    half = 0.5 * linear
    return half + np.sqrt(np.maximum(half * half + quadratic, 0.0))


def inverse_ratio_slope(form, s):
    """Derivatives of the inverse strength ratio by the components.

    Parameters
    ----------
    form : sequence of nine arrays, shape (...)
        The surface, as in `linear_part` [1/MPa and 1/MPa2, or -].
    s : sequence of three arrays, shape (...)
        Components of stress [MPa] or strain [-].

    Returns
    -------
    list of three ndarray, shape (...)
        Slope u; ``u . s`` is the inverse ratio itself, and that of any other t is not below ``u . t`` [1/MPa or -].

    Notes
    -----
    The inverse ratio grows in proportion to the components and is convex where G is not negative, see
    `inverse_strength_ratio`.

    Examples
    --------
    >>> [float(u) for u in inverse_ratio_slope((0, 0, 0, 4.0, 4.0, 4.0, 0, 0, 0), (0.0, 3.0, 0.0))]
    [0.0, 2.0, 0.0]
    """
    half = 0.5 * linear_part(form, s)
    root = inverse_strength_ratio(2 * half, quadratic_part(form, s)) - half
    share = np.divide(1.0, root, out=np.zeros(np.shape(root)), where=root > 0)
    pull = (form[3] * s[0] + 0.5 * (form[6] * s[1] + form[7] * s[2]),
            form[4] * s[1] + 0.5 * (form[6] * s[0] + form[8] * s[2]),
            form[5] * s[2] + 0.5 * (form[7] * s[0] + form[8] * s[1]))
    return [0.5 * g + (0.5 * half * g + p) * share for g, p in zip(form[:3], pull, strict=True)]


def quadratic_strength_ratio(linear, quadratic, constant=0.0):
    """Load factor R at which ``constant + linear R + quadratic R^2`` first reaches one.

    Parameters
    ----------
    linear, quadratic : array_like, shape (...)
        Terms of the failure expression that grow with the load and its square [-].
    constant : array_like, shape (...)
        Part that is there without load, from residual stress [-].

    Returns
    -------
    ndarray, shape (...)
        R: 0 where the constant alone fails, infinite where no load factor fails [-].

    Notes
    -----
    With ``k = 1 - constant``, ``1/R = (b/k + sqrt((b/k)^2 + 4 a/k)) / 2``.

    References
    ----------
    .. [1] The root of the quadratic; common practice for strength ratios, e.g. Kaw, Mechanics of
       Composite Materials, 2nd ed., 2006, ch. 2 (from memory).

    Examples
    --------
    >>> quadratic_strength_ratio([0.0, 0.5, 0.0], [0.25, 0.0, 0.0]).tolist()
    [2.0, 2.0, inf]
    """
    left = 1.0 - np.asarray(constant, dtype=float)
    linear = np.asarray(linear, dtype=float)
    # a plane surface has the plain number 0 here, which stays one
    plane = np.ndim(quadratic) == 0 and quadratic == 0
    curved = quadratic if plane else np.asarray(quadratic, dtype=float)
    bare = left.ndim == 0 and left == 1.0  # nothing is there without load
    if not bare:
        room = np.where(left > 0, left, 1.0)
        linear, curved = linear / room, curved if plane else curved / room
    inverse = inverse_strength_ratio(linear, curved)
    ratio = np.full(np.shape(inverse), np.inf)
    with np.errstate(over="ignore"):
        np.divide(1.0, inverse, out=ratio, where=inverse > 0)
    return ratio if bare else np.where(left > 0, ratio, 0.0)
