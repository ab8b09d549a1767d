"""Small-craft rule arithmetic for stiffeners: web area, section modulus, second moment, slenderness.

Pressures in MPa, lengths in mm.  The mechanics of the three requirements is
plain beam theory and certain; the clauses are from memory.
"""

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.parts.basis import plain, rule_pressure

# depth over thickness of a web, outstand over thickness of a flange bar
SLENDERNESS_LIMITS = {
    ("web", "FRP"): 30.0, ("flange", "FRP"): 7.0, ("web", "aluminium"): 45.0, ("web", "steel"): 60.0}
DEFLECTION_RATIO_STIFFENER = 0.05


def _load(pressure, spacing):
    return rule_pressure(pressure) * positive("spacing", spacing, "mm")


def stiffener_web_area(pressure, spacing, span, *, design_shear_stress, ksa=5.0):
    """Required shear area of a stiffener's webs, kSA P s lu / (10 tau_d).

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    spacing : array_like, shape (...)
        Spacing s of the stiffeners [mm].
    span : array_like, shape (...)
        Unsupported span lu [mm].
    design_shear_stress : array_like, shape (...)
        Design shear stress of the web, the design factor already applied [MPa].
    ksa : array_like, shape (...)
        5 with fixed ends, 7.5 cantilever-like [-].

    Returns
    -------
    float or ndarray, shape (...)
        Shear area of all webs [mm2]; 100 mm2 is 1 cm2.

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    Notes
    -----
    kSA = 5 equals the end shear P s lu / 2.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(stiffener_web_area(0.020, 400, 1000, design_shear_stress=29), 2)
    137.93
    """
    shear = positive("kSA", ksa) / 10.0 * _load(pressure, spacing) * positive("span", span, "mm")
    return plain(shear / positive("design shear stress", design_shear_stress, "MPa"))


def stiffener_section_modulus(pressure, spacing, span, *, design_stress, kcs=1.0):
    """Required section modulus of a stiffener, 0.08333 kCS P s lu^2 / sigma_d.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    spacing : array_like, shape (...)
        Spacing s of the stiffeners [mm].
    span : array_like, shape (...)
        Unsupported span lu [mm].
    design_stress : array_like, shape (...)
        Design stress of the flange, the design factor already applied [MPa].
    kcs : array_like, shape (...)
        Curvature factor [-].

    Returns
    -------
    float or ndarray, shape (...)
        Section modulus with attached plating [mm3]; 1000 mm3 is 1 cm3.

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    Notes
    -----
    Printed constant 83.33e-9 for kN/m2 and cm3: the clamped beam's P s lu^2 / 12.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(stiffener_section_modulus(0.020, 400, 1000, design_stress=50) / 1000, 2)
    13.33
    """
    moment = 0.08333 * _load(pressure, spacing) * positive("span", span, "mm") ** 2
    return plain(positive("kCS", kcs) * moment / positive("design stress", design_stress, "MPa"))


def stiffener_second_moment(pressure, spacing, span, *, e, kcs=1.0, k1s=DEFLECTION_RATIO_STIFFENER):
    """Required second moment of a stiffener, 0.0026 kCS^1.5 P s lu^3 / (k1s E).

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    spacing : array_like, shape (...)
        Spacing s of the stiffeners [mm].
    span : array_like, shape (...)
        Unsupported span lu [mm].
    e : array_like, shape (...)
        Modulus to which the section is referred [MPa].
    kcs : array_like, shape (...)
        Curvature factor [-].
    k1s : array_like, shape (...)
        Allowed deflection over span; 0.05 in the rule, very lax [-].

    Returns
    -------
    float or ndarray, shape (...)
        Second moment with attached plating [mm4]; 10000 mm4 is 1 cm4.

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    Notes
    -----
    Printed constant 26e-11 for kN/m2 and cm4: the clamped beam's 1/384, rounded.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(stiffener_second_moment(0.020, 400, 1000, e=10000) / 1e4, 2)
    4.16
    """
    load = 0.0026 * positive("kCS", kcs) ** 1.5 * _load(pressure, spacing) * positive("span", span, "mm") ** 3
    return plain(load / (positive("k1s", k1s) * positive("modulus", e, "MPa")))


def slenderness_limit(part, material="FRP"):
    """Greatest depth over thickness of a web, or outstand over thickness of a flange bar.

    Parameters
    ----------
    part : str
        'web' or 'flange' [-].
    material : str
        'FRP', 'aluminium' or 'steel' [-].

    Returns
    -------
    float
        Limit [-].

    Raises
    ------
    InputError
        If the pair is not in the source.

    References
    ----------
    ISO/CD 12215-5 (1999), source seen; the 2008 clause 11.7.2 keeps h/30 for FRP webs (quoted second hand).

    Examples
    --------
    >>> slenderness_limit("web")
    30.0
    """
    if (part, material) not in SLENDERNESS_LIMITS:
        known = ", ".join(" of ".join(key) for key in SLENDERNESS_LIMITS)
        raise InputError("slenderness limit", f"is known for {known} [-]", f"{part} of {material}",
                         "choose one of these")
    return SLENDERNESS_LIMITS[part, material]


def carried_load(pressure, spacing, span):
    """Load, end shear and end moment of a stiffener with fixed ends.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    spacing : array_like, shape (...)
        Spacing s of the stiffeners [mm].
    span : array_like, shape (...)
        Unsupported span lu [mm].

    Returns
    -------
    line_load : float or ndarray, shape (...)
        P s [N/mm].
    shear : float or ndarray, shape (...)
        P s lu / 2 [N].
    moment : float or ndarray, shape (...)
        P s lu^2 / 12 [N mm].

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    References
    ----------
    Beam theory, uniformly loaded beam with fixed ends.

    Examples
    --------
    >>> carried_load(0.018, 500, 900)
    (9.0, 4050.0, 607500.0)
    """
    line, span = np.broadcast_arrays(_load(pressure, spacing), positive("span", span, "mm"))
    return plain(line), plain(line * span / 2.0), plain(line * span**2 / 12.0)
