"""Least glass, skin, plywood and core strength of the small-craft rules, whatever the pressure."""

import numpy as np

from lamcalc.errors import positive
from lamcalc.parts.basis import choice, plain

LOCATIONS = ("bottom", "side", "transom", "deck")


def core_shear_strength_minimum(hull_length_m):
    """Least ultimate shear strength of a core in the bottom.

    Parameters
    ----------
    hull_length_m : array_like, shape (...)
        Hull length LH [m].

    Returns
    -------
    float or ndarray, shape (...)
        Shear strength [MPa].

    Raises
    ------
    InputError
        If the length is not positive.

    Notes
    -----
    0.25 below 10 m, 0.25 + 0.03 (LH - 10) to 15 m, 0.40 above.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> core_shear_strength_minimum([6.0, 12.0, 20.0]).round(2).tolist()
    [0.25, 0.31, 0.4]
    """
    return plain(np.clip(0.25 + 0.03 * (positive("hull length", hull_length_m, "m") - 10.0), 0.25, 0.40))


def minimum_glass_mass(location, *, loaded_mass_kg, speed_knots, waterline_length_m, k5=1.0):
    """Least dry glass mass of a single-skin laminate.

    Parameters
    ----------
    location : str
        'bottom', 'side', 'transom' or 'deck' [-].
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].
    speed_knots : array_like, shape (...)
        Top speed [knots].
    waterline_length_m : array_like, shape (...)
        Waterline length, for the deck [m].
    k5 : array_like, shape (...)
        Fibre type factor: 1.0 mat, 0.9 roving, 0.7 advanced [-].

    Returns
    -------
    float or ndarray, shape (...)
        Glass mass [kg/m2].

    Raises
    ------
    InputError
        If an input is out of range or the location unknown.

    Notes
    -----
    0.43 k5 (1.5 + k7 V + 0.15 mLDC^0.33), k7 = 0.03 bottom, 0 side and transom;
    deck k5 (1.45 + 0.14 LWL).  The k5 values are those remembered with the
    sandwich skin minima.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(minimum_glass_mass("bottom", loaded_mass_kg=900, speed_knots=24, waterline_length_m=4.9), 2)
    1.56
    """
    choice("location", location, LOCATIONS)
    fibre = positive("k5", k5)
    length = positive("waterline length", waterline_length_m, "m")
    mass, speed = positive("loaded mass", loaded_mass_kg, "kg"), positive("speed", speed_knots, "knots", zero=True)
    if location == "deck":  # speed and mass do not enter here
        return plain(fibre * (1.45 + 0.14 * length))
    k7 = 0.03 if location == "bottom" else 0.0
    return plain(0.43 * fibre * (1.5 + k7 * speed + 0.15 * mass**0.33))


def minimum_plywood_thickness(location, *, loaded_mass_kg, speed_knots, flexural_strength):
    """Least thickness of plywood plating.

    Parameters
    ----------
    location : str
        'bottom', 'side' or 'transom' [-].
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].
    speed_knots : array_like, shape (...)
        Top speed [knots].
    flexural_strength : array_like, shape (...)
        Ultimate flexural strength of the panel [MPa].

    Returns
    -------
    float or ndarray, shape (...)
        Thickness [mm].

    Raises
    ------
    InputError
        If an input is out of range or the location unknown.

    Notes
    -----
    sqrt(30/sigma) (3.0 + k7 V + 0.3 mLDC^0.33), k7 = 0.05 bottom, 0 elsewhere.
    The 0.43 of the glass rule, which is the glass in 1 mm of mat laminate
    [kg/m2], has no place in a thickness; this reading is unverified too.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(minimum_plywood_thickness("side", loaded_mass_kg=900, speed_knots=24, flexural_strength=30), 2)
    5.83
    """
    choice("location", location, LOCATIONS[:3])
    k7 = 0.05 if location == "bottom" else 0.0
    k5 = np.sqrt(30.0 / positive("flexural strength", flexural_strength, "MPa"))
    speed = positive("speed", speed_knots, "knots", zero=True)
    return plain(k5 * (3.0 + k7 * speed + 0.3 * positive("loaded mass", loaded_mass_kg, "kg") ** 0.33))


def minimum_skin_glass_mass(skin, *, waterline_length_m, category_factor, k4, k5, k6):
    """Least dry glass mass of a sandwich skin.

    Parameters
    ----------
    skin : str
        'outer' or 'inner' [-].
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].
    category_factor : array_like, shape (...)
        kDC [-].
    k4 : array_like, shape (...)
        Location factor: 1.0 bottom, 0.9 side, 0.7 deck [-].
    k5 : array_like, shape (...)
        Fibre type factor: 1.0 mat, 0.9 roving, 0.7 advanced [-].
    k6 : array_like, shape (...)
        A further factor whose values could not be confirmed; 1.0 leaves it out [-].

    Returns
    -------
    float or ndarray, shape (...)
        Glass mass [kg/m2].

    Raises
    ------
    InputError
        If an input is not positive or the skin unknown.

    Notes
    -----
    Outer kDC k4 k5 k6 (0.1 LWL + 0.15), inner 0.7 of it.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(minimum_skin_glass_mass("inner", waterline_length_m=8.0, category_factor=0.6, k4=1.0, k5=1.0, k6=1.0), 3)
    0.399
    """
    share = 1.0 if choice("skin", skin, ("outer", "inner")) == "outer" else 0.7
    product = positive("kDC", category_factor) * positive("k4", k4) * positive("k5", k5) * positive("k6", k6)
    return plain(share * product * (0.1 * positive("waterline length", waterline_length_m, "m") + 0.15))


def draft_skin_thickness(skin, *, waterline_length_m, k4, c1=3.2):
    """Least sandwich skin thickness of the 1999 committee draft.

    Parameters
    ----------
    skin : str
        'outer' or 'inner' [-].
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].
    k4 : array_like, shape (...)
        Location factor: 1.1 bottom, 1.0 side and deck [-].
    c1 : array_like, shape (...)
        Constant of the draft [mm].

    Returns
    -------
    float or ndarray, shape (...)
        Thickness [mm].

    Raises
    ------
    InputError
        If an input is not positive or the skin unknown.

    Notes
    -----
    Outer 0.35 k4 (c1 + 0.26 LWL), inner 0.25 k4 (c1 + 0.26 LWL).  A draft, not
    a standard in force; relaxable in sheltered water, not for advanced fibres.

    References
    ----------
    ISO/CD 12215-5 (1999), equations 25 and 26, source seen.

    Examples
    --------
    >>> round(draft_skin_thickness("inner", waterline_length_m=8.0, k4=1.0), 2)
    1.32
    """
    share = 0.35 if choice("skin", skin, ("outer", "inner")) == "outer" else 0.25
    length = positive("waterline length", waterline_length_m, "m")
    return plain(share * positive("k4", k4) * (positive("c1", c1, "mm") + 0.26 * length))
