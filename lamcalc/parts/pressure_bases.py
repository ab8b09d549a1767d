"""Base values and minima of the small-craft design pressures of motor boats, in kN/m2.

All five formulas are pinned by a published worked example.
"""

import numpy as np

from lamcalc.errors import fraction, number, positive
from lamcalc.parts.basis import plain

DECK_MINIMUM_KN_M2 = 5.0


def bottom_displacement_base(loaded_mass_kg):
    """Base bottom pressure in displacement mode, PBMD_base = 2.4 mLDC^0.33 + 20.

    Parameters
    ----------
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].

    Returns
    -------
    float or ndarray, shape (...)
        Pressure [kN/m2].

    References
    ----------
    ISO 12215-5:2008, pinned by Chirica and Lupascu (2014) Table 2 (40.084).

    Examples
    --------
    >>> round(bottom_displacement_base(625), 3)
    40.084
    """
    return plain(2.4 * positive("loaded mass", loaded_mass_kg, "kg") ** 0.33 + 20.0)


def bottom_planing_base(*, loaded_mass_kg, waterline_length_m, chine_beam_m, category_factor, dynamic_load_factor):
    """Base bottom pressure in planing mode, PBMP_base = 0.1 mLDC/(LWL BC) (1 + sqrt(kDC) nCG).

    Parameters
    ----------
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].
    chine_beam_m : array_like, shape (...)
        Chine beam BC [m].
    category_factor : array_like, shape (...)
        kDC [-].
    dynamic_load_factor : array_like, shape (...)
        nCG [g].

    Returns
    -------
    float or ndarray, shape (...)
        Pressure [kN/m2].

    References
    ----------
    ISO 12215-5:2008, pinned by Chirica and Lupascu (2014) Table 2 (20.567).

    Examples
    --------
    >>> round(bottom_planing_base(loaded_mass_kg=625, waterline_length_m=4.0, chine_beam_m=1.2,
    ...                           category_factor=0.4, dynamic_load_factor=0.916), 1)
    20.6
    """
    category = fraction("kDC", category_factor, one=True)
    factor = positive("dynamic load factor", dynamic_load_factor, "g")
    area = positive("waterline length", waterline_length_m, "m") * positive("chine beam", chine_beam_m, "m")
    return plain(0.1 * positive("loaded mass", loaded_mass_kg, "kg") / area * (1 + np.sqrt(category) * factor))


def bottom_minimum(*, loaded_mass_kg, waterline_length_m, category_factor, exponent=0.333):
    """Least bottom pressure, PBM_min = 0.45 mLDC^e + 0.9 LWL kDC.

    Parameters
    ----------
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].
    category_factor : array_like, shape (...)
        kDC [-].
    exponent : float
        Exponent of the mass [-].

    Returns
    -------
    float or ndarray, shape (...)
        Pressure [kN/m2].

    Notes
    -----
    Sources disagree: the published 5.279 needs 0.333, while 0.33 (the exponent
    of `bottom_displacement_base` in the same paper) gives 5.206, 1.4 % less.
    The greater is the default.

    References
    ----------
    ISO 12215-5:2008, pinned with 0.333 by Chirica and Lupascu (2014) Table 2.

    Examples
    --------
    >>> round(bottom_minimum(loaded_mass_kg=625, waterline_length_m=4.0, category_factor=0.4), 3)
    5.279
    """
    mass = positive("loaded mass", loaded_mass_kg, "kg")
    category = fraction("kDC", category_factor, one=True)
    return plain(0.45 * mass ** number("exponent", exponent)
                 + 0.9 * positive("waterline length", waterline_length_m, "m") * category)


def side_minimum(*, waterline_length_m, category_factor):
    """Least side pressure, PSM_min = 0.9 LWL kDC.

    Parameters
    ----------
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].
    category_factor : array_like, shape (...)
        kDC [-].

    Returns
    -------
    float or ndarray, shape (...)
        Pressure [kN/m2].

    References
    ----------
    ISO 12215-5:2008, pinned by Chirica and Lupascu (2014) Table 2 (1.440).

    Examples
    --------
    >>> round(side_minimum(waterline_length_m=4.0, category_factor=0.4), 3)
    1.44
    """
    category = fraction("kDC", category_factor, one=True)
    return plain(0.9 * positive("waterline length", waterline_length_m, "m") * category)


def deck_base(waterline_length_m):
    """Base deck pressure, PDM_base = 0.35 LWL + 14.6.

    Parameters
    ----------
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].

    Returns
    -------
    float or ndarray, shape (...)
        Pressure [kN/m2].

    References
    ----------
    ISO 12215-5:2008, pinned by Chirica and Lupascu (2014) Table 2 (16.0).

    Examples
    --------
    >>> deck_base(4.0)
    16.0
    """
    return plain(0.35 * positive("waterline length", waterline_length_m, "m") + 14.6)
