"""Small-craft rule arithmetic for panels: moment, shear, thickness, sandwich demands.

Pressures are in MPa and lengths in mm throughout: kN/m2 divided by 1000.  The
printed constants were turned into these units; where they equal plain beam or
plate theory the notes say so.  Design stresses are ultimate values times a
factor of `lamcalc.mechanics.margins`.
"""

import numpy as np

from lamcalc.errors import positive
from lamcalc.parts.basis import plain, rule_pressure

# allowed deflection over span for sandwich panels [from memory]
DEFLECTION_RATIO_SANDWICH = 0.017


def panel_moment(pressure, short_side, *, k2, kc=1.0):
    """Design bending moment at the edge of a panel, P b^2 kC^2 k2 / 6.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side b [mm].
    k2 : array_like, shape (...)
        Panel factor from `moment_factor` [-].
    kc : array_like, shape (...)
        Curvature factor [-].

    Returns
    -------
    float or ndarray, shape (...)
        Moment per width [N mm/mm].

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    Notes
    -----
    With k2 = 0.5 this is P b^2/12, a clamped strip.

    References
    ----------
    ISO 12215-5:2008, pinned by the 2009 replacement of Table H.1 (347).

    Examples
    --------
    >>> round(panel_moment(0.026, 400, k2=0.5))
    347
    """
    return plain(rule_pressure(pressure) * positive("short side", short_side, "mm") ** 2
                 * positive("kC", kc) ** 2 * positive("k2", k2) / 6.0)


def panel_shear(pressure, short_side, *, ksh=0.5, kc=1.0):
    """Design shear force at the edge of a panel, P b sqrt(kC) kSH.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side b [mm].
    ksh : array_like, shape (...)
        Shear factor from `shear_factor`; 0.5 for long panels, the greatest [-].
    kc : array_like, shape (...)
        Curvature factor [-].

    Returns
    -------
    float or ndarray, shape (...)
        Shear force per width [N/mm].

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    References
    ----------
    ISO 12215-5:2008, pinned by the 2009 replacement of Table H.1 (5.2).

    Examples
    --------
    >>> panel_shear(0.026, 400)
    5.2
    """
    return plain(rule_pressure(pressure) * positive("short side", short_side, "mm")
                 * np.sqrt(positive("kC", kc)) * positive("kSH", ksh))


def single_skin_thickness(pressure, short_side, *, k2, design_stress, kc=1.0):
    """Required single-skin thickness, b kC sqrt(P k2 / sigma_d).

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side b [mm].
    k2 : array_like, shape (...)
        Panel factor [-].
    design_stress : array_like, shape (...)
        Design flexural stress, the design factor already applied [MPa].
    kc : array_like, shape (...)
        Curvature factor [-].

    Returns
    -------
    float or ndarray, shape (...)
        Thickness without gel coat [mm].

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    Notes
    -----
    Algebraically `panel_moment` over a section modulus of t^2/6.

    References
    ----------
    ISO 12215-5:2008, from memory; equal to the pinned moment.

    Examples
    --------
    >>> round(single_skin_thickness(0.026, 400, k2=0.5, design_stress=58.5), 2)
    5.96
    """
    moment = panel_moment(pressure, short_side, k2=k2, kc=kc)
    return plain(np.sqrt(6.0 * np.asarray(moment) / positive("design stress", design_stress, "MPa")))


def sandwich_section_modulus(pressure, short_side, *, k2, design_stress, kc=1.0):
    """Required section modulus of a sandwich panel per width, b^2 kC^2 P k2 / (6 sigma_d).

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side b [mm].
    k2 : array_like, shape (...)
        Panel factor [-].
    design_stress : array_like, shape (...)
        Design stress of the skin looked at, tension or compression [MPa].
    kc : array_like, shape (...)
        Curvature factor [-].

    Returns
    -------
    float or ndarray, shape (...)
        Section modulus per width [mm3/mm]; 100 mm3/mm is 1 cm3/cm.

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    References
    ----------
    ISO 12215-5:2008, from memory; equal to the pinned moment over stress.

    Examples
    --------
    >>> round(sandwich_section_modulus(0.026, 400, k2=0.5, design_stress=58.5), 3)
    5.926
    """
    moment = panel_moment(pressure, short_side, k2=k2, kc=kc)
    return plain(np.asarray(moment) / positive("design stress", design_stress, "MPa"))


def sandwich_second_moment(pressure, short_side, *, k3, e, kc=1.0, k1=DEFLECTION_RATIO_SANDWICH):
    """Required second moment of a sandwich panel per width, b^3 kC^3 P k3 / (12 k1 E).

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side b [mm].
    k3 : array_like, shape (...)
        Panel factor from `deflection_factor` [-].
    e : array_like, shape (...)
        Mean modulus of the skins [MPa].
    kc : array_like, shape (...)
        Curvature factor [-].
    k1 : array_like, shape (...)
        Allowed deflection over the short side [-].

    Returns
    -------
    float or ndarray, shape (...)
        Second moment per width [mm4/mm]; 1000 mm4/mm is 1 cm4/cm.

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    Notes
    -----
    Equals the plate deflection k3 P b^4 / (12 E I) = k1 b; core shear
    deflection is left out.

    References
    ----------
    ISO 12215-5:2008, from memory; dimension-checked.

    Examples
    --------
    >>> round(sandwich_second_moment(0.026, 400, k3=0.028, e=10000), 2)
    22.84
    """
    numerator = (positive("short side", short_side, "mm") * positive("kC", kc)) ** 3
    return plain(numerator * rule_pressure(pressure) * positive("k3", k3)
                 / (12.0 * positive("k1", k1) * positive("modulus", e, "MPa")))


def sandwich_shear_thickness(pressure, short_side, *, ksh, core_shear_stress, kc=1.0):
    """Required distance between skin middles for core shear, sqrt(kC) kSHC P b / tau_d.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa].
    short_side : array_like, shape (...)
        Short side b [mm].
    ksh : array_like, shape (...)
        Shear factor from `shear_factor` [-].
    core_shear_stress : array_like, shape (...)
        Design shear stress of the core, the design factor already applied [MPa].
    kc : array_like, shape (...)
        Curvature factor [-].

    Returns
    -------
    float or ndarray, shape (...)
        Core plus half of both skins [mm].

    Raises
    ------
    InputError
        If an input is not positive, or the pressure looks like kN/m2.

    References
    ----------
    ISO 12215-5:2008, from memory; equal to the pinned shear force over stress.

    Examples
    --------
    >>> sandwich_shear_thickness(0.026, 400, ksh=0.5, core_shear_stress=0.4)
    13.0
    """
    shear = panel_shear(pressure, short_side, ksh=ksh, kc=kc)
    return plain(np.asarray(shear) / positive("core shear stress", core_shear_stress, "MPa"))
