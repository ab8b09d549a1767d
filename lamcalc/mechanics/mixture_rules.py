"""Ply stiffness and expansion from fibre and resin.

Properties `fibre` and `resin` stand for the same quantity of the two (E, G, density,
conductivity ...), so that one bound serves all; xi, efficiencies and bounds are named.
"""

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive

MAT_EFFICIENCY = 0.88
"""Random-mat modulus over Krenchel's formula; calibrated on a class-rule line (see `mat_modulus`), not on tests."""


def _volume(value):
    return fraction("fibre volume fraction", value, zero=True, one=True)


def rule_of_mixtures(fibre, resin, volume_fraction):
    """Fibre and resin side by side (Voigt): the upper bound.

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        The property of fibre and resin: E for E1, Poisson ratio for nu12 [any one unit].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].

    Returns
    -------
    ndarray, shape (...)
        The property of the ply [unit of `fibre`].

    Raises
    ------
    InputError
        If a property is not finite or the fraction is outside 0 to 1.

    Notes
    -----
    ``P = P_f V_f + P_m (1 - V_f)``.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 3.7 (from memory).

    Examples
    --------
    >>> rule_of_mixtures(70, 3, 0.6).round(1)
    np.float64(43.2)
    """
    vf = _volume(volume_fraction)
    return number("fibre property", fibre) * vf + number("resin property", resin) * (1 - vf)


def series_bound(fibre, resin, volume_fraction):
    """Fibre and resin in series (Reuss): the lower bound.

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        The property of fibre and resin [any one unit].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].

    Returns
    -------
    ndarray, shape (...)
        The property of the ply [unit of `fibre`].

    Raises
    ------
    InputError
        If a property is not positive or the fraction is outside 0 to 1.

    Notes
    -----
    ``1/P = V_f/P_f + (1 - V_f)/P_m``.  Low for E2 and G12 of real plies.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 3.14 (from memory).

    Examples
    --------
    >>> series_bound(70, 3, 0.6).round(2)
    np.float64(7.05)
    """
    vf = _volume(volume_fraction)
    return 1 / (vf / positive("fibre property", fibre) + (1 - vf) / positive("resin property", resin))


def halpin_tsai(fibre, resin, volume_fraction, xi):
    """Halpin-Tsai interpolation between the series bound (xi 0) and the rule of mixtures (xi large).

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        The property of fibre and resin [any one unit].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].
    xi : array_like, shape (...)
        Shape factor: 2 for E2 and 1 for G12 of round fibres [-].

    Returns
    -------
    ndarray, shape (...)
        The property of the ply [unit of `fibre`].

    Raises
    ------
    InputError
        If a property is not positive, xi is negative, or the fraction is outside 0 to 1.

    Notes
    -----
    ``P/P_m = (1 + xi eta V_f)/(1 - eta V_f)``, ``eta = (P_f/P_m - 1)/(P_f/P_m + xi)``.

    References
    ----------
    .. [1] Halpin and Kardos, Polym. Eng. Sci. 16 (1976) 344 (from memory).

    Examples
    --------
    >>> halpin_tsai(35.42, 1.308, 0.7, 1.0).round(3)
    np.float64(6.169)
    """
    vf, xi = _volume(volume_fraction), positive("xi", xi, zero=True)
    resin = positive("resin property", resin)
    ratio = positive("fibre property", fibre) / resin
    eta = (ratio - 1) / (ratio + xi)
    return resin * (1 + xi * eta * vf) / (1 - eta * vf)


def hewitt_malherbe_xi(volume_fraction):
    """Shape factor xi for G12 that grows with the fibre content.

    Parameters
    ----------
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].

    Returns
    -------
    ndarray, shape (...)
        xi for `halpin_tsai` [-].

    Raises
    ------
    InputError
        If the fraction is outside 0 to 1.

    Notes
    -----
    ``xi = 1 + 40 V_f^10``.

    References
    ----------
    .. [1] Hewitt and de Malherbe, J. Compos. Mater. 4 (1970) 280, as used by Kaw, 2006, sec. 3.3 (from memory).

    Examples
    --------
    >>> halpin_tsai(35.42, 1.308, 0.7, hewitt_malherbe_xi(0.7)).round(2)
    np.float64(8.13)
    """
    return 1 + 40 * _volume(volume_fraction) ** 10


def chamis(fibre, resin, volume_fraction):
    """Chamis's simplified form for E2, G12 and G23.

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        The property of fibre and resin [any one unit].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].

    Returns
    -------
    ndarray, shape (...)
        The property of the ply [unit of `fibre`].

    Raises
    ------
    InputError
        If a property is not positive or the fraction is outside 0 to 1.

    Notes
    -----
    ``P = P_m/[1 - sqrt(V_f)(1 - P_m/P_f)]``.

    References
    ----------
    .. [1] Chamis, SAMPE Quarterly 15 (1984), simplified composite micromechanics equations (common practice).

    Examples
    --------
    >>> chamis(85, 3.4, 0.7).round(2)
    np.float64(17.28)
    """
    vf, resin = _volume(volume_fraction), positive("resin property", resin)
    return resin / (1 - np.sqrt(vf) * (1 - resin / positive("fibre property", fibre)))


def krenchel(fibre, resin, volume_fraction, efficiency):
    """Rule of mixtures with an orientation efficiency on the fibre.

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        Modulus (or strength) of fibre and resin [any one unit].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].
    efficiency : array_like, shape (...)
        Aligned 1, both ways 1/2, +-45 1/4, random in the plane 3/8, random in space 1/6 to 1/5 [-].

    Returns
    -------
    ndarray, shape (...)
        The property of the laminate [unit of `fibre`].

    Raises
    ------
    InputError
        If a property is not finite, or a fraction or the efficiency is outside 0 to 1.

    Notes
    -----
    ``P = eta0 P_f V_f + P_m (1 - V_f)``.

    References
    ----------
    .. [1] Krenchel, Fibre Reinforcement, 1964 (common practice); factors as in K. M. Gupta, Materials Science, ch. 14.

    Examples
    --------
    >>> krenchel(240, 4.5, 0.55, 3 / 8).round(1)
    np.float64(51.5)
    """
    efficiency = fraction("orientation efficiency", efficiency, zero=True, one=True)
    return rule_of_mixtures(efficiency * number("fibre property", fibre), resin, volume_fraction)


def mat_modulus(fibre, resin, volume_fraction, efficiency=MAT_EFFICIENCY):
    """Default modulus of random mat: Krenchel's 3/8 with a calibrated efficiency.

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        Moduli of fibre and resin [MPa].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].
    efficiency : array_like, shape (...)
        Factor on the whole formula [-].

    Returns
    -------
    ndarray, shape (...)
        Young's modulus of the mat laminate in its plane [MPa].

    Raises
    ------
    InputError
        If a modulus is not finite or a fraction is outside 0 to 1.

    Notes
    -----
    ``E = 0.88 [3/8 E_f V_f + E_m (1 - V_f)]``.  The 0.88 is the ratio (0.87 to 0.89 between 25 and 40 % of
    glass by weight) of a class-society line for mat, ``15 psi + 2`` GPa, to Krenchel's formula: calibrated on
    a rule line and not on tests.  `random_mat_constants` runs a quarter to a third above that line.

    References
    ----------
    .. [1] Krenchel, Fibre Reinforcement, 1964; Lloyd's Register, Guidance Notes: Calculation Procedures for
       Composite Construction, July 2013, Ch. 3 (rule line).

    Examples
    --------
    >>> mat_modulus(72400, 3400, 0.167).round(-2)
    np.float64(6500.0)
    """
    fibre, resin = number("fibre modulus", fibre, "MPa"), number("resin modulus", resin, "MPa")
    return fraction("mat efficiency", efficiency, one=True) * krenchel(fibre, resin, volume_fraction, 3 / 8)


def random_mat_constants(e1, e2):
    """Random mat from an aligned ply of the same fibre content (Tsai-Pagano).

    Parameters
    ----------
    e1, e2 : array_like, shape (...)
        Moduli of the aligned ply along and across the fibre [MPa, or any one unit].

    Returns
    -------
    e, g : ndarray, shape (...)
        Young's and shear modulus in the plane; ``nu = E/(2 G) - 1`` [unit of `e1`].

    Raises
    ------
    InputError
        If a modulus is not positive.

    Notes
    -----
    ``E = 3/8 E1 + 5/8 E2``, ``G = 1/8 E1 + 1/4 E2``.  With Halpin-Tsai E2 it runs well above mat as measured
    or as the rules list it (listed over model about 0.66): an upper estimate.

    References
    ----------
    .. [1] Tsai and Pagano, Invariant Properties of Composite Materials, 1968 (common practice).

    Examples
    --------
    >>> [round(float(value), 2) for value in random_mat_constants(38.6, 8.27)]
    [19.64, 6.89]
    """
    e1, e2 = positive("e1", e1, "MPa"), positive("e2", e2, "MPa")
    return 3 / 8 * e1 + 5 / 8 * e2, e1 / 8 + e2 / 4


def fibre_load_share(fibre, resin, volume_fraction):
    """Part of a load along the fibre that the fibre carries.

    Parameters
    ----------
    fibre, resin : array_like, shape (...)
        Moduli of fibre and resin [MPa, or any one unit].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].

    Returns
    -------
    ndarray, shape (...)
        Load in the fibre over total load [-].

    Raises
    ------
    InputError
        If a modulus is not positive or the fraction is outside 0 to 1.

    Notes
    -----
    ``E_f V_f/E1``: fibre and resin strain alike.

    References
    ----------
    .. [1] K. M. Gupta, Materials Science, ch. 14, Ex. 14.3.

    Examples
    --------
    >>> fibre_load_share(430, 3.6, 0.15).round(3)
    np.float64(0.955)
    """
    fibre, resin = positive("fibre modulus", fibre, "MPa"), positive("resin modulus", resin, "MPa")
    return fibre * _volume(volume_fraction) / rule_of_mixtures(fibre, resin, volume_fraction)


def shear_modulus(e, nu):
    """Shear modulus of an isotropic material.

    Parameters
    ----------
    e : array_like, shape (...)
        Young's modulus [MPa].
    nu : array_like, shape (...)
        Poisson ratio, above -1 and up to 0.5 [-].

    Returns
    -------
    ndarray, shape (...)
        Shear modulus [MPa].

    Raises
    ------
    InputError
        If the modulus is not positive or the Poisson ratio is out of range.

    Notes
    -----
    ``G = E/(2 (1 + nu))``.

    References
    ----------
    .. [1] Isotropic elasticity, any text.

    Examples
    --------
    >>> shear_modulus(3.4, 0.3).round(3)
    np.float64(1.308)
    """
    return positive("modulus", e, "MPa") / (2 * (1 + poisson("Poisson ratio", nu)))


def poisson(name, value):
    """Check an isotropic or fibre Poisson ratio.

    Parameters
    ----------
    name : str
        Name for the message [-].
    value : array_like, shape (...)
        Poisson ratio, above -1 and up to 0.5 [-].

    Returns
    -------
    ndarray, shape (...)
        The same values [-].

    Raises
    ------
    InputError
        If a value is not finite or out of range.

    Examples
    --------
    >>> float(poisson("resin Poisson ratio", 0.35))
    0.35
    """
    nu = number(name, value)
    if not np.all((nu > -1) & (nu <= 0.5)):
        raise InputError(name, "must lie between -1 and 0.5 [-]", nu, "0.2 to 0.4 is usual")
    return nu


def schapery_expansion(volume_fraction, *, fibre_e1, fibre_nu12, fibre_alpha1, fibre_alpha2, resin_e, resin_nu,
                       resin_alpha):
    """Expansion of an aligned ply along and across the fibre.

    Parameters
    ----------
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 1 [-].
    fibre_e1, resin_e : array_like, shape (...)
        Moduli of the fibre along itself and of the resin [MPa].
    fibre_nu12, resin_nu : array_like, shape (...)
        Poisson ratios [-].
    fibre_alpha1, fibre_alpha2, resin_alpha : array_like, shape (...)
        Expansion of the fibre along and across itself, and of the resin [1/K].

    Returns
    -------
    alpha1, alpha2 : ndarray, shape (...)
        Expansion of the ply along and across the fibre [1/K].

    Raises
    ------
    InputError
        If an input is not finite or out of range.

    Notes
    -----
    ``alpha1 = (V_f E_f alpha_f1 + V_m E_m alpha_m)/E1``;
    ``alpha2 = V_f (alpha_f2 + nu_f alpha_f1) + V_m (1 + nu_m) alpha_m - nu12 alpha1``.
    Cure shrinkage strains follow the same sums.

    References
    ----------
    .. [1] Schapery, J. Compos. Mater. 2 (1968) 380; for fibres that differ along and across, as common practice.

    Examples
    --------
    >>> along, across = schapery_expansion(0.45, fibre_e1=72400, fibre_nu12=0.22, fibre_alpha1=5e-6,
    ...     fibre_alpha2=5e-6, resin_e=3400, resin_nu=0.35, resin_alpha=70e-6)
    >>> round(float(along) * 1e6, 1), round(float(across) * 1e6, 1)
    (8.5, 52.2)
    """
    vf = _volume(volume_fraction)
    e_f, e_m = positive("fibre modulus", fibre_e1, "MPa"), positive("resin modulus", resin_e, "MPa")
    nu_f, nu_m = poisson("fibre Poisson ratio", fibre_nu12), poisson("resin Poisson ratio", resin_nu)
    a_f1, a_f2 = number("fibre expansion", fibre_alpha1, "1/K"), number("fibre expansion", fibre_alpha2, "1/K")
    a_m = number("resin expansion", resin_alpha, "1/K")
    along = (vf * e_f * a_f1 + (1 - vf) * e_m * a_m) / rule_of_mixtures(e_f, e_m, vf)
    across = vf * (a_f2 + nu_f * a_f1) + (1 - vf) * (1 + nu_m) * a_m - rule_of_mixtures(nu_f, nu_m, vf) * along
    return along, across
