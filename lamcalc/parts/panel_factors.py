"""Panel factors of the small-craft rules: k2, k3, kC, kSH."""

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.parts.basis import choice, plain

ASPECT_RATIOS = np.round(np.arange(10, 21) / 10, 1)
K2_TABLE = np.array([0.308, 0.349, 0.383, 0.412, 0.436, 0.454, 0.468, 0.479, 0.487, 0.493, 0.497])
K3_TABLE = np.array([0.014, 0.016, 0.019, 0.021, 0.023, 0.024, 0.025, 0.026, 0.027, 0.027, 0.028])
K2_LONG, K3_LONG = 0.5, 0.028


def _aspect(ratio):
    ratio = number("aspect ratio", ratio)
    if (ratio < 1).any():
        raise InputError("aspect ratio", "must be 1 or more: long side over short side [-]", plain(ratio.min()),
                         "swap the two sides")
    return ratio


def _by_aspect(ratio, method, table, long_value, formula):
    ratio = _aspect(ratio)
    if choice("method", method, ("table", "formula")) == "formula":
        return plain(np.clip(formula(ratio), table[0], long_value))
    return plain(np.where(ratio > 2.0, long_value, np.interp(ratio, ASPECT_RATIOS, table)))


def moment_factor(aspect_ratio, *, method="table"):
    """Panel factor k2 for bending strength.

    Parameters
    ----------
    aspect_ratio : array_like, shape (...)
        Long side over short side l/b [-], 1 or more.
    method : str
        'table' (linear between rows, 0.500 above 2) or 'formula' [-].

    Returns
    -------
    float or ndarray, shape (...)
        k2 [-].

    Raises
    ------
    InputError
        If the ratio is below 1 or the method unknown.

    Notes
    -----
    Formula (0.271 r^2 + 0.910 r - 0.554)/(r^2 - 0.313 r + 1.351) held in 0.308
    to 0.5.  The two disagree: at 1.2 the table has 0.383, the formula 0.384;
    beyond 2 the formula falls back to 0.490 at 3 while the table says 0.500.
    The table is the default; it steps from 0.497 to 0.500 at 2.

    References
    ----------
    BS EN ISO 12215-5:2008, Table 5, source seen.

    Examples
    --------
    >>> moment_factor([1.0, 1.15, 2.0, 3.0]).round(3).tolist()
    [0.308, 0.366, 0.497, 0.5]
    """
    return _by_aspect(aspect_ratio, method, K2_TABLE, K2_LONG,
                      lambda r: (0.271 * r**2 + 0.910 * r - 0.554) / (r**2 - 0.313 * r + 1.351))


def deflection_factor(aspect_ratio, *, method="table"):
    """Panel factor k3 for bending stiffness.

    Parameters
    ----------
    aspect_ratio : array_like, shape (...)
        Long side over short side l/b [-], 1 or more.
    method : str
        'table' (linear between rows, 0.028 above 2) or 'formula' [-].

    Returns
    -------
    float or ndarray, shape (...)
        k3 [-].

    Raises
    ------
    InputError
        If the ratio is below 1 or the method unknown.

    Notes
    -----
    Formula (0.027 r^2 - 0.029 r + 0.011)/(r^2 - 1.463 r + 1.108) held in 0.014
    to 0.028; it gives 0.0166 at 1.1 where the table has 0.016.

    References
    ----------
    BS EN ISO 12215-5:2008, Table 5, source seen.

    Examples
    --------
    >>> deflection_factor([1.0, 1.5, 3.0]).tolist()
    [0.014, 0.024, 0.028]
    """
    return _by_aspect(aspect_ratio, method, K3_TABLE, K3_LONG,
                      lambda r: (0.027 * r**2 - 0.029 * r + 0.011) / (r**2 - 1.463 * r + 1.108))


def curvature_factor(rise_over_side):
    """Curvature factor kC of a curved panel (or kCS of a curved stiffener).

    Parameters
    ----------
    rise_over_side : array_like, shape (...)
        Rise of the curve over the chord, c/b or cu/lu [-], 0 or more; convex and concave alike.

    Returns
    -------
    float or ndarray, shape (...)
        kC [-], 1 when flat down to 0.5.

    Raises
    ------
    InputError
        If the ratio is negative.

    Notes
    -----
    1.0 to 0.03; 1.1 - 3.33 c/b to 0.18; 0.5 above.

    References
    ----------
    BS EN ISO 12215-5:2008, Table 6, source seen; its use for stiffeners from memory.

    Examples
    --------
    >>> curvature_factor([0.0, 0.1, 0.3]).round(3).tolist()
    [1.0, 0.767, 0.5]
    """
    ratio = positive("rise over side", rise_over_side, zero=True)
    return plain(np.where(ratio <= 0.03, 1.0, np.where(ratio <= 0.18, 1.1 - 3.33 * ratio, 0.5)))


def shear_factor(aspect_ratio):
    """Panel shear factor kSH (kSHC for a core) along the edge.

    Parameters
    ----------
    aspect_ratio : array_like, shape (...)
        Long side over short side l/b [-], 1 or more.

    Returns
    -------
    float or ndarray, shape (...)
        kSH [-].

    Raises
    ------
    InputError
        If the ratio is below 1.

    Notes
    -----
    0.035 + 0.394 r - 0.09 r^2 below 2; 0.463 at 2, 0.493 at 3, 0.500 from 4,
    linear between.

    References
    ----------
    ISO 12215-5:2008, from memory; 0.5 at great ratios pinned by the 2009 replacement of Table H.1.

    Examples
    --------
    >>> shear_factor([1.0, 2.5, 6.0]).round(3).tolist()
    [0.339, 0.478, 0.5]
    """
    ratio = _aspect(aspect_ratio)
    long = np.interp(ratio, [2.0, 3.0, 4.0], [0.463, 0.493, 0.500])
    return plain(np.where(ratio < 2.0, 0.035 + 0.394 * ratio - 0.09 * ratio**2, long))
