"""How much fibre, resin and air a laminate holds, and how thick and heavy it is.

Weights of fabric are dry areal weights in g/m2, densities kg/m3, thicknesses mm;
g/m2 divided by kg/m3 is mm.  The default densities 2560 and 1200 kg/m3 are E-glass
and cured polyester as the small-craft rules use them.
"""

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.mechanics.constituents import (  # one door to everything about fibre content
    BurnOff,
    Mixture,
    burn_off,
    burn_off_weight_fraction,
    density_by_water,
    mixture_from_masses,
    mixture_from_volumes,
)
from lamcalc.sentences import Figure, Sentence

__all__ = [
    "BurnOff", "Mixture", "burn_off", "burn_off_weight_fraction", "combined_weight_fraction", "density_by_water",
    "fibre_volume_fraction", "fibre_weight_fraction", "laminate_density", "mixture_from_masses",
    "mixture_from_volumes", "ply_thickness", "resin_areal_weight", "resin_per_glass", "sheet_density",
    "weight_fraction_from_resin_ratio", "weight_fraction_from_thickness",
]

GLASS_DENSITY_KG_M3 = 2560.0
RESIN_DENSITY_KG_M3 = 1200.0


def _densities(fibre_density_kg_m3, resin_density_kg_m3):
    return (positive("fibre density", fibre_density_kg_m3, "kg/m3"),
            positive("resin density", resin_density_kg_m3, "kg/m3"))


def _voids(void_fraction):
    return fraction("void fraction", void_fraction, zero=True)


def fibre_volume_fraction(weight_fraction, *, fibre_density_kg_m3, resin_density_kg_m3, void_fraction=0.0):
    """Fibre volume fraction from the fibre weight fraction.

    Parameters
    ----------
    weight_fraction : array_like, shape (...)
        Mass of fibre over mass of fibre and resin, 0 to 1 [-].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of the fibre and of the cured resin [kg/m3].
    void_fraction : array_like, shape (...)
        Volume of voids over volume of laminate [-].

    Returns
    -------
    ndarray, shape (...)
        Volume of fibre over volume of laminate, voids included [-].

    Raises
    ------
    InputError
        If a fraction is outside its range or a density is not positive.

    Notes
    -----
    ``phi = (1 - v) psi / (psi + (1 - psi) rho_f/rho_r)``.

    References
    ----------
    .. [1] Volume identity; Kaw, Mechanics of Composite Materials, 2nd ed., 2006, sec. 3.2 (from memory).

    Examples
    --------
    >>> fibre_volume_fraction(0.30, fibre_density_kg_m3=2560, resin_density_kg_m3=1200).round(3)
    np.float64(0.167)
    """
    psi = fraction("fibre weight fraction", weight_fraction, zero=True, one=True)
    rho_f, rho_r = _densities(fibre_density_kg_m3, resin_density_kg_m3)
    return (1 - _voids(void_fraction)) * psi / (psi + (1 - psi) * rho_f / rho_r)


def fibre_weight_fraction(volume_fraction, *, fibre_density_kg_m3, resin_density_kg_m3, void_fraction=0.0):
    """Fibre weight fraction from the fibre volume fraction.

    Parameters
    ----------
    volume_fraction : array_like, shape (...)
        Volume of fibre over volume of laminate, voids included [-].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of the fibre and of the cured resin [kg/m3].
    void_fraction : array_like, shape (...)
        Volume of voids over volume of laminate [-].

    Returns
    -------
    ndarray, shape (...)
        Mass of fibre over mass of fibre and resin [-].

    Raises
    ------
    InputError
        If a fraction is outside its range, fibre and voids fill more than the whole, or a density is not positive.

    References
    ----------
    .. [1] Volume identity; Kaw, Mechanics of Composite Materials, 2nd ed., 2006, sec. 3.2 (from memory).

    Examples
    --------
    >>> fibre_weight_fraction(0.7, fibre_density_kg_m3=2500, resin_density_kg_m3=1200).round(4)
    np.float64(0.8294)
    """
    phi, voids = fraction("fibre volume fraction", volume_fraction, zero=True, one=True), _voids(void_fraction)
    rho_f, rho_r = _densities(fibre_density_kg_m3, resin_density_kg_m3)
    resin = number("resin volume fraction", 1 - phi - voids)
    if np.any(resin < -1e-12):
        raise InputError("fibre volume fraction", "and void fraction must not add up to more than 1 [-]",
                         phi + voids, "lower one of them")
    return phi * rho_f / (phi * rho_f + np.maximum(resin, 0.0) * rho_r)


def ply_thickness(areal_weight_gsm, weight_fraction, *, fibre_density_kg_m3=GLASS_DENSITY_KG_M3,
                  resin_density_kg_m3=RESIN_DENSITY_KG_M3, void_fraction=0.0):
    """Cured thickness of a ply from its dry weight and its fibre weight fraction.

    Parameters
    ----------
    areal_weight_gsm : array_like, shape (...)
        Dry weight of the reinforcement [g/m2].
    weight_fraction : array_like, shape (...)
        Mass of fibre over mass of fibre and resin [-].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of the fibre and of the cured resin [kg/m3].
    void_fraction : array_like, shape (...)
        Volume of voids over volume of laminate [-].

    Returns
    -------
    ndarray, shape (...)
        Cured thickness [mm].

    Raises
    ------
    InputError
        If a weight or a density is not positive or a fraction is outside its range.

    Notes
    -----
    ``t = [w/rho_f + w (1 - psi)/(psi rho_r)]/(1 - v)``.  At 2560 and 1200 kg/m3 without voids it is
    ``w/3072 (2.56/psi - 1.36)``.  Measured thickness scatters by about 15 % about it.

    References
    ----------
    .. [1] ISO 12215-5:2008, Table H.1 (all seven plies) and Lloyd's Register, Guidance Notes: Calculation
       Procedures for Composite Construction, July 2013, Table 3.1.1 agree with it to the printed digits.

    Examples
    --------
    >>> ply_thickness([450, 800], [0.30, 0.48]).round(3)
    array([1.051, 1.035])
    """
    weight = positive("areal weight", areal_weight_gsm, "g/m2")
    psi = fraction("fibre weight fraction", weight_fraction, one=True)
    rho_f, rho_r = _densities(fibre_density_kg_m3, resin_density_kg_m3)
    return weight * (1 / rho_f + (1 / psi - 1) / rho_r) / (1 - _voids(void_fraction))


def weight_fraction_from_thickness(areal_weight_gsm, thickness_mm, *, fibre_density_kg_m3=GLASS_DENSITY_KG_M3,
                                   resin_density_kg_m3=RESIN_DENSITY_KG_M3, void_fraction=0.0):
    """Fibre weight fraction implied by a measured thickness.

    Parameters
    ----------
    areal_weight_gsm : array_like, shape (...)
        Dry weight of all the reinforcement in the measured thickness [g/m2].
    thickness_mm : array_like, shape (...)
        Measured thickness, gel coat not counted [mm].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of the fibre and of the cured resin [kg/m3].
    void_fraction : array_like, shape (...)
        Volume of voids over volume of laminate [-].

    Returns
    -------
    ndarray, shape (...)
        Mass of fibre over mass of fibre and resin [-].

    Raises
    ------
    InputError
        If the thickness is less than that of the solid fibre alone, or an input is outside its range.

    Notes
    -----
    Inverse of `ply_thickness`.  An error of 15 % in thickness is about 0.04 in the fraction for mat and
    0.06 for woven roving.

    References
    ----------
    .. [1] As `ply_thickness`.

    Examples
    --------
    >>> weight_fraction_from_thickness(576.4, 0.889).round(2)
    np.float64(0.42)
    """
    weight, thickness = positive("areal weight", areal_weight_gsm, "g/m2"), positive("thickness", thickness_mm, "mm")
    rho_f, rho_r = _densities(fibre_density_kg_m3, resin_density_kg_m3)
    resin_gsm = (thickness * (1 - _voids(void_fraction)) - weight / rho_f) * rho_r
    if np.any(resin_gsm < -1e-9 * weight):
        raise InputError("thickness", "must not be less than that of the solid fibre alone [mm]", thickness,
                         Sentence("check the weight: {solid} of solid fibre would be in it",
                                  solid=Figure(float(np.max(weight / rho_f)), "thickness", digits=3)))
    return weight / (weight + np.maximum(resin_gsm, 0.0))


def laminate_density(weight_fraction, *, fibre_density_kg_m3, resin_density_kg_m3, void_fraction=0.0):
    """Density of a laminate from its fibre weight fraction.

    Parameters
    ----------
    weight_fraction : array_like, shape (...)
        Mass of fibre over mass of fibre and resin [-].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of the fibre and of the cured resin [kg/m3].
    void_fraction : array_like, shape (...)
        Volume of voids over volume of laminate [-].

    Returns
    -------
    ndarray, shape (...)
        Density [kg/m3].

    Raises
    ------
    InputError
        If a fraction is outside its range or a density is not positive.

    References
    ----------
    .. [1] ASTM D2734, theoretical density (from memory); volume identity.

    Examples
    --------
    >>> laminate_density(0.30, fibre_density_kg_m3=2560, resin_density_kg_m3=1200).round(0)
    np.float64(1428.0)
    """
    psi = fraction("fibre weight fraction", weight_fraction, zero=True, one=True)
    rho_f, rho_r = _densities(fibre_density_kg_m3, resin_density_kg_m3)
    return (1 - _voids(void_fraction)) / (psi / rho_f + (1 - psi) / rho_r)


def sheet_density(areal_mass_kg_m2, thickness_mm):
    """Density of a sheet from its mass per area and its thickness.

    Parameters
    ----------
    areal_mass_kg_m2 : array_like, shape (...)
        Mass per area [kg/m2].
    thickness_mm : array_like, shape (...)
        Thickness [mm].

    Returns
    -------
    ndarray, shape (...)
        Density [kg/m3].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    .. [1] Definition of density.

    Examples
    --------
    >>> sheet_density(2.7, 6)
    np.float64(450.0)
    """
    return positive("mass per area", areal_mass_kg_m2, "kg/m2") * 1000 / positive("thickness", thickness_mm, "mm")


def resin_per_glass(weight_fraction):
    """Mass of resin per mass of fibre in the cured laminate.

    Parameters
    ----------
    weight_fraction : array_like, shape (...)
        Mass of fibre over mass of fibre and resin [-].

    Returns
    -------
    ndarray, shape (...)
        Mass of resin over mass of fibre [-].

    Raises
    ------
    InputError
        If the fraction is not above 0 and at most 1.

    Notes
    -----
    This is resin in the laminate; resin to buy is more (waste, brush, bucket).

    References
    ----------
    .. [1] BS 4994:1987 data sheet: 2.03 at 33 % and 1.22 at 45 % agree with it.

    Examples
    --------
    >>> resin_per_glass([0.33, 0.45]).round(2)
    array([2.03, 1.22])
    """
    psi = fraction("fibre weight fraction", weight_fraction, one=True)
    return 1 / psi - 1


def weight_fraction_from_resin_ratio(resin_per_glass):
    """Fibre weight fraction from the ratio of resin to fibre by mass.

    Parameters
    ----------
    resin_per_glass : array_like, shape (...)
        Mass of resin over mass of fibre [-].

    Returns
    -------
    ndarray, shape (...)
        Mass of fibre over mass of fibre and resin [-].

    Raises
    ------
    InputError
        If the ratio is negative.

    References
    ----------
    .. [1] Identity.

    Examples
    --------
    >>> weight_fraction_from_resin_ratio(2.5).round(3)
    np.float64(0.286)
    """
    return 1 / (1 + positive("resin to fibre ratio", resin_per_glass, zero=True))


def resin_areal_weight(areal_weight_gsm, weight_fraction):
    """Resin held in the laminate per area.

    Parameters
    ----------
    areal_weight_gsm : array_like, shape (...)
        Dry weight of the reinforcement [g/m2].
    weight_fraction : array_like, shape (...)
        Mass of fibre over mass of fibre and resin [-].

    Returns
    -------
    ndarray, shape (...)
        Resin in the laminate [g/m2].

    Raises
    ------
    InputError
        If the weight is not positive or the fraction is outside its range.

    References
    ----------
    .. [1] Identity, see `resin_per_glass`.

    Examples
    --------
    >>> resin_areal_weight(450, 0.30).round(0)
    np.float64(1050.0)
    """
    return positive("areal weight", areal_weight_gsm, "g/m2") * resin_per_glass(weight_fraction)


def combined_weight_fraction(areal_weight_gsm, weight_fraction):
    """Fibre weight fraction of a whole stack.

    Parameters
    ----------
    areal_weight_gsm : array_like, shape (..., plies)
        Dry weight of each ply [g/m2].
    weight_fraction : array_like, shape (..., plies)
        Fibre weight fraction of each ply [-].

    Returns
    -------
    ndarray, shape (...)
        Mass of all fibre over mass of all fibre and resin [-].

    Raises
    ------
    InputError
        If there is no ply, a weight is not positive or a fraction is outside its range.

    Notes
    -----
    ``psi = sum(w)/sum(w/psi)``: averaged over the laminate mass, not over the fabric mass.

    References
    ----------
    .. [1] ISO 12215-5:2008, Table H.1: 0.384 for its seven plies.

    Examples
    --------
    >>> combined_weight_fraction([300, 300, 500, 450, 800, 450, 800],
    ...                          [0.30, 0.30, 0.48, 0.30, 0.48, 0.30, 0.48]).round(3)
    np.float64(0.384)
    """
    weight = positive("areal weight", areal_weight_gsm, "g/m2")
    psi = fraction("fibre weight fraction", weight_fraction, one=True)
    if max(weight.ndim, psi.ndim) == 0 or 0 in (weight.size, psi.size):
        raise InputError("plies", "must be listed along the last axis, at least one [-]", areal_weight_gsm,
                         "give a list of weights and a list of fractions")
    weight, psi = np.broadcast_arrays(weight, psi)
    return weight.sum(axis=-1) / (weight / psi).sum(axis=-1)
