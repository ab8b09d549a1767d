"""Formulas of class societies, for comparison with the small-craft standard.

None of these is a second approval: each belongs with the loads and margins of
its own book.  Units as printed where the formula is empirical (m in, mm out),
mm and MPa where it is plain mechanics.
"""

import numpy as np

from lamcalc.errors import positive
from lamcalc.parts.basis import choice, plain, rule_pressure, within
from lamcalc.parts.panel_factors import deflection_factor, moment_factor

SHELL_COEFFICIENTS = {"side": 15.0, "bottom": 15.8}
BOW_ALPHA, BOW_COEFFICIENT = (1.0, 1.2, 1.4), (5.36, 5.98, 6.37)
SANDWICH_BETA = np.round(np.arange(2, 11) / 10, 1)
SANDWICH_ALPHA = (0.8, 1.0)
SANDWICH_C2 = np.array([[1.62, 1.42, 1.31, 1.24, 1.20, 1.16, 1.14, 1.12, 1.10],
                        [1.54, 1.36, 1.25, 1.19, 1.15, 1.12, 1.10, 1.08, 1.07]])
STIFFENER_COEFFICIENTS = {"continuous longitudinal": 85.0, "fixed": 100.0, "simply supported": 135.0,
                          "bulkhead continuous": 65.0, "bulkhead fixed": 85.0, "bulkhead simply supported": 125.0}
SMOOTH_WATER = {"hull modulus": 0.90, "shell thickness": 0.90, "deck thickness": 0.90,
                "frame modulus": 0.85, "beam modulus": 0.85, "girder modulus": 0.85}


def frp_ship_shell_thickness(location, *, spacing_m, draught_m, length_m, at_ends=False):
    """Shell thickness of an FRP ship by an empirical class formula.

    Parameters
    ----------
    location : str
        'side' or 'bottom' [-].
    spacing_m : array_like, shape (...)
        Frame spacing s [m].
    draught_m : array_like, shape (...)
        Draught d [m].
    length_m : array_like, shape (...)
        Ship length L [m].
    at_ends : bool
        Whether the plating lies at the ends, 0.85 of midship [-].

    Returns
    -------
    float or ndarray, shape (...)
        Thickness [mm].

    Raises
    ------
    InputError
        If an input is not positive or the location unknown.

    Notes
    -----
    Side 15 s sqrt(d + 0.026 L), bottom 15.8 s sqrt(d + 0.026 L).  Meant for
    ships; for a small planing boat a rough comparison only.

    References
    ----------
    Iranian Classification Society, Rules for the Classification of FRP Ships 2014, source seen (glyphs decoded).

    Examples
    --------
    >>> round(frp_ship_shell_thickness("bottom", spacing_m=0.5, draught_m=0.6, length_m=10), 3)
    7.326
    """
    coefficient = SHELL_COEFFICIENTS[choice("location", location, SHELL_COEFFICIENTS)] * (0.85 if at_ends else 1.0)
    head = positive("draught", draught_m, "m") + 0.026 * positive("length", length_m, "m")
    return plain(coefficient * positive("frame spacing", spacing_m, "m") * np.sqrt(head))


def frp_ship_bow_thickness(*, spacing_m, length_m, alpha):
    """Bow bottom thickness of an FRP ship, C s sqrt(L).

    Parameters
    ----------
    spacing_m : array_like, shape (...)
        Frame spacing s [m].
    length_m : array_like, shape (...)
        Ship length L [m].
    alpha : array_like, shape (...)
        Rule parameter alpha [-], 1.0 to 1.4; its definition is in the rule.

    Returns
    -------
    float or ndarray, shape (...)
        Thickness [mm].

    Raises
    ------
    InputError
        If alpha lies outside the printed values.

    Notes
    -----
    C = 5.36, 5.98, 6.37 at alpha 1.0, 1.2, 1.4; linear between (an assumption).

    References
    ----------
    Iranian Classification Society, Rules for the Classification of FRP Ships 2014, source seen (glyphs decoded).

    Examples
    --------
    >>> round(frp_ship_bow_thickness(spacing_m=0.5, length_m=9, alpha=1.2), 2)
    8.97
    """
    coefficient = np.interp(within("alpha", alpha, 1.0, 1.4), BOW_ALPHA, BOW_COEFFICIENT)
    return plain(coefficient * positive("frame spacing", spacing_m, "m") * np.sqrt(positive("length", length_m, "m")))


def frp_ship_sandwich_factor(*, alpha, beta):
    """Sandwich factor C2 of the FRP ship rules.

    Parameters
    ----------
    alpha : array_like, shape (...)
        Rule parameter alpha [-], 0.8 to 1.0; its definition is in the rule.
    beta : array_like, shape (...)
        Rule parameter beta [-], 0.2 to 1.0; its definition is in the rule.

    Returns
    -------
    float or ndarray, shape (...)
        C2 [-]; linear between the printed values (an assumption).

    Raises
    ------
    InputError
        If a parameter lies outside the printed table.

    References
    ----------
    Iranian Classification Society, Rules for the Classification of FRP Ships 2014, source seen (glyphs decoded).

    Examples
    --------
    >>> round(frp_ship_sandwich_factor(alpha=0.9, beta=0.5), 3)
    1.215
    """
    alpha, beta = np.broadcast_arrays(within("alpha", alpha, 0.8, 1.0), within("beta", beta, 0.2, 1.0))
    low, high = (np.interp(beta, SANDWICH_BETA, row) for row in SANDWICH_C2)
    return plain(low + (high - low) * (alpha - SANDWICH_ALPHA[0]) / (SANDWICH_ALPHA[1] - SANDWICH_ALPHA[0]))


def smooth_water_factor(item):
    """Reduction that the FRP ship rules allow for smooth-water service.

    Parameters
    ----------
    item : str
        'hull modulus', 'shell thickness', 'deck thickness', 'frame modulus', 'beam modulus' or
        'girder modulus' [-].

    Returns
    -------
    float
        Multiplier on the requirement [-].

    Raises
    ------
    InputError
        If the item is unknown.

    References
    ----------
    Iranian Classification Society, Rules for the Classification of FRP Ships 2014, source seen.

    Examples
    --------
    >>> smooth_water_factor("frame modulus")
    0.85
    """
    return SMOOTH_WATER[choice("item", item, SMOOTH_WATER)]


def class_stiffener_section_modulus(pressure, spacing, span, *, allowable_stress, ends="fixed"):
    """Stiffener section modulus by the high speed and light craft rules, Z = m l^2 s p / sigma.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    spacing : array_like, shape (...)
        Spacing s [mm].
    span : array_like, shape (...)
        Span l [mm].
    allowable_stress : array_like, shape (...)
        Allowable stress [MPa].
    ends : str
        'continuous longitudinal' (m 85), 'fixed' (100), 'simply supported' (135); 'bulkhead continuous' (65),
        'bulkhead fixed' (85), 'bulkhead simply supported' (125) [-].

    Returns
    -------
    float or ndarray, shape (...)
        Section modulus [mm3].

    Raises
    ------
    InputError
        If an input is not positive or the ends unknown.

    Notes
    -----
    The m are taken for cm3, m, kN/m2 and N/mm2, where beam theory gives 83.3
    with fixed ends and 125 simply supported.  The three bulkhead values are
    printed as 65 / 85 / 125 in the same order (assumed).

    References
    ----------
    Iranian Classification Society, Rules for High Speed and Light Craft, stiffener section, source seen.

    Examples
    --------
    >>> round(class_stiffener_section_modulus(0.020, 400, 1000, allowable_stress=50) / 1000, 2)
    16.0
    """
    moment = (STIFFENER_COEFFICIENTS[choice("ends", ends, STIFFENER_COEFFICIENTS)] / 1000.0 * rule_pressure(pressure)
              * positive("spacing", spacing, "mm") * positive("span", span, "mm") ** 2)
    return plain(moment / positive("allowable stress", allowable_stress, "MPa"))


def abs_single_skin_thickness(pressure, short_side, *, aspect_ratio, allowable_stress, e, curvature=1.0,
                              deflection_ratio=0.015):
    """Single-skin thickness of the ABS high-speed craft form: the greater of strength and stiffness.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side s [mm].
    aspect_ratio : array_like, shape (...)
        Long side over short side [-].
    allowable_stress : array_like, shape (...)
        Allowable flexural stress, 0.33 of ultimate [MPa].
    e : array_like, shape (...)
        Flexural modulus [MPa].
    curvature : array_like, shape (...)
        Curvature factor c [-].
    deflection_ratio : array_like, shape (...)
        Allowed deflection over short side k2 [-].

    Returns
    -------
    strength : float or ndarray, shape (...)
        s c sqrt(p k / sigma_a) [mm].
    stiffness : float or ndarray, shape (...)
        s c (p k1 / (k2 E))^(1/3) [mm].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    The aspect factors are those of the small-craft Table 5 (clamped plate), an
    assumption: the society's own table was not read.

    References
    ----------
    ABS, Guide for Building and Classing High-Speed Craft, from memory.

    Examples
    --------
    >>> [round(t, 2) for t in abs_single_skin_thickness(0.026, 400, aspect_ratio=2.5, allowable_stress=50, e=8000)]
    [6.45, 7.3]
    """
    load, side = rule_pressure(pressure), positive("short side", short_side, "mm") * positive("curvature", curvature)
    stress = positive("allowable stress", allowable_stress, "MPa")
    strength = side * np.sqrt(load * moment_factor(aspect_ratio) / stress)
    allowed = positive("deflection ratio", deflection_ratio) * positive("modulus", e, "MPa")
    return plain(strength), plain(side * np.cbrt(load * deflection_factor(aspect_ratio) / allowed))


def abs_stiffener(pressure, spacing, span, *, allowable_stress, e, deflection_ratio=0.005):
    """Stiffener section modulus and second moment of the ABS high-speed craft form.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    spacing : array_like, shape (...)
        Spacing s [mm].
    span : array_like, shape (...)
        Span l [mm].
    allowable_stress : array_like, shape (...)
        Allowable stress, 0.33 of ultimate [MPa].
    e : array_like, shape (...)
        Modulus [MPa].
    deflection_ratio : array_like, shape (...)
        Allowed deflection over span K4 [-].

    Returns
    -------
    section_modulus : float or ndarray, shape (...)
        0.0833 p s l^2 / sigma_a [mm3].
    second_moment : float or ndarray, shape (...)
        0.0026 p s l^3 / (K4 E) [mm4].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    ABS, Guide for Building and Classing High-Speed Craft, from memory; equal to the beam with fixed ends.

    Examples
    --------
    >>> z, i = abs_stiffener(0.020, 400, 1000, allowable_stress=50, e=10000)
    >>> round(z / 1000, 2), round(i / 1e4, 1)
    (13.33, 41.6)
    """
    load = rule_pressure(pressure) * positive("spacing", spacing, "mm")
    span = positive("span", span, "mm")
    modulus = 0.0833 * load * span**2 / positive("allowable stress", allowable_stress, "MPa")
    stiffness = positive("deflection ratio", deflection_ratio) * positive("modulus", e, "MPa")
    return plain(modulus), plain(0.0026 * load * span**3 / stiffness)


def abs_sandwich(pressure, short_side, *, aspect_ratio, allowable_stress, e, curvature=1.0, deflection_ratio=0.015):
    """Sandwich section modulus and second moment per width of the ABS high-speed craft form.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side s [mm].
    aspect_ratio : array_like, shape (...)
        Long side over short side [-].
    allowable_stress : array_like, shape (...)
        Allowable skin stress, 0.33 of ultimate [MPa].
    e : array_like, shape (...)
        Mean modulus of the skins [MPa].
    curvature : array_like, shape (...)
        Curvature factor c [-].
    deflection_ratio : array_like, shape (...)
        Allowed deflection over short side k2 [-].

    Returns
    -------
    section_modulus : float or ndarray, shape (...)
        (s c)^2 p k / (6 sigma_a) [mm3/mm].
    second_moment : float or ndarray, shape (...)
        (s c)^3 p k1 / (12 k2 E) [mm4/mm].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    Core shear in the same book: 0.4 of ultimate for balsa, 0.55 for cross-linked
    PVC; wrinkling 0.6 (E_s E_c G_c)^(1/3), at least twice sigma_a (from memory).

    References
    ----------
    ABS, Guide for Building and Classing High-Speed Craft, from memory.

    Examples
    --------
    >>> [round(x, 2) for x in abs_sandwich(0.026, 400, aspect_ratio=2.5, allowable_stress=50, e=10000)]
    [6.93, 25.88]
    """
    load, side = rule_pressure(pressure), positive("short side", short_side, "mm") * positive("curvature", curvature)
    stress = positive("allowable stress", allowable_stress, "MPa")
    modulus = side**2 * load * moment_factor(aspect_ratio) / (6.0 * stress)
    stiffness = 12.0 * positive("deflection ratio", deflection_ratio) * positive("modulus", e, "MPa")
    return plain(modulus), plain(side**3 * load * deflection_factor(aspect_ratio) / stiffness)
