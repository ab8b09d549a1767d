"""Mixtures of several constituents, and what a burn-off test says about them."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive


@dataclass(frozen=True)
class Mixture:
    """What a mixture of several constituents comes to.

    Parameters
    ----------
    density : ndarray, shape (...)
        Density [kg/m3, or the unit of the densities given].
    weight_fractions, volume_fractions : ndarray, shape (..., constituents)
        Share of each constituent by mass and by volume [-].

    Examples
    --------
    >>> mixture_from_volumes([0.7, 0.3], [2500, 1200]).density
    np.float64(2110.0)
    """

    density: np.ndarray
    weight_fractions: np.ndarray
    volume_fractions: np.ndarray


def _mixture(masses, volumes):
    mass, volume = masses.sum(axis=-1), volumes.sum(axis=-1)
    if not (np.all(mass > 0) and np.all(volume > 0)):
        raise InputError("mixture", "must hold something: total mass and volume above 0 [-]", mass,
                         "enter at least one amount")
    return Mixture(mass / volume, masses / mass[..., None], volumes / volume[..., None])


def mixture_from_masses(masses, densities):
    """Density and fractions of a mixture from the masses of its constituents, without voids.

    Parameters
    ----------
    masses : array_like, shape (..., constituents)
        Mass or weight fraction of each constituent [kg, or any one unit].
    densities : array_like, shape (..., constituents)
        Density of each constituent [kg/m3, or any one unit].

    Returns
    -------
    Mixture
        Density and fractions [unit of `densities`, -].

    Raises
    ------
    InputError
        If a mass is negative, all are zero, or a density is not positive.

    References
    ----------
    .. [1] Volumes add up; Askeland and Phule, Essentials of Materials Science and Engineering, ch. 17.

    Examples
    --------
    >>> mixture_from_masses([75, 15, 5, 5], [15.77, 4.94, 14.5, 8.9]).density.round(1)
    np.float64(11.5)
    """
    masses, densities = np.broadcast_arrays(np.atleast_1d(positive("mass", masses, "kg", zero=True)),
                                            np.atleast_1d(positive("density", densities, "kg/m3")))
    return _mixture(masses, masses / densities)


def mixture_from_volumes(volumes, densities):
    """Density and fractions of a mixture from the volumes of its constituents.

    Parameters
    ----------
    volumes : array_like, shape (..., constituents)
        Volume or volume fraction of each constituent; voids are a constituent of density 0 [m3, or any one unit].
    densities : array_like, shape (..., constituents)
        Density of each constituent [kg/m3, or any one unit].

    Returns
    -------
    Mixture
        Density and fractions [unit of `densities`, -].

    Raises
    ------
    InputError
        If a volume or a density is negative, or nothing is left.

    References
    ----------
    .. [1] Masses add up; Askeland and Phule, Essentials of Materials Science and Engineering, ch. 17.

    Examples
    --------
    >>> mixture_from_volumes([0.75, 0.25], [19.3, 10.49]).weight_fractions.round(2)
    array([0.85, 0.15])
    """
    volumes, densities = np.broadcast_arrays(np.atleast_1d(positive("volume", volumes, "m3", zero=True)),
                                             np.atleast_1d(positive("density", densities, "kg/m3", zero=True)))
    return _mixture(volumes * densities, volumes)


@dataclass(frozen=True)
class BurnOff:
    """What a burn-off test of a coupon says.

    Parameters
    ----------
    weight_fraction : ndarray, shape (...)
        Mass of fibre over mass of coupon [-].
    fibre_volume_fraction, resin_volume_fraction : ndarray, shape (...)
        Shares of the coupon volume; void-free if no density was measured [-].
    theoretical_density_kg_m3 : ndarray, shape (...)
        Density without voids [kg/m3].
    measured_density_kg_m3 : ndarray, shape (...), or None
        Density as measured, if it was [kg/m3].
    void_fraction : ndarray, shape (...), or None
        Share of voids in the coupon volume, if the density was measured [-].

    Examples
    --------
    >>> burn_off(5.0, 1.75, fibre_density_kg_m3=2560, resin_density_kg_m3=1200).weight_fraction
    np.float64(0.35)
    """

    weight_fraction: np.ndarray
    fibre_volume_fraction: np.ndarray
    resin_volume_fraction: np.ndarray
    theoretical_density_kg_m3: np.ndarray
    measured_density_kg_m3: np.ndarray | None
    void_fraction: np.ndarray | None


def burn_off_weight_fraction(coupon_mass_g, residue_mass_g, *, filler_per_resin=0.0):
    """Fibre weight fraction of a coupon from the residue after ignition.

    Parameters
    ----------
    coupon_mass_g : array_like, shape (...)
        Mass of the dry coupon before ignition [g].
    residue_mass_g : array_like, shape (...)
        Mass left after ignition, fibre and mineral filler [g].
    filler_per_resin : array_like, shape (...)
        Mineral filler in the residue per mass of resin burnt away [-].

    Returns
    -------
    ndarray, shape (...)
        Mass of fibre over mass of coupon [-].

    Raises
    ------
    InputError
        If a mass is not positive, the residue is heavier than the coupon or would be filler alone.

    References
    ----------
    .. [1] ASTM D2584 and ISO 1172, loss on ignition (titles; text from memory).

    Examples
    --------
    >>> burn_off_weight_fraction(5.0, 1.75)
    np.float64(0.35)
    """
    coupon, residue = positive("coupon mass", coupon_mass_g, "g"), positive("residue mass", residue_mass_g, "g")
    filler = positive("filler per resin", filler_per_resin, zero=True)
    if np.any(residue > coupon):
        raise InputError("residue mass", "must not be more than the coupon mass [g]", residue,
                         "check that the two weighings are not swapped")
    fibre = residue - filler * (coupon - residue)
    if np.any(fibre <= 0):
        raise InputError("filler per resin", "leaves no fibre in the residue [-]", filler, "lower the filler")
    return fibre / coupon


def density_by_water(mass_in_air_g, mass_in_water_g, *, water_density_kg_m3=997.5):
    """Density of a coupon by weighing it in air and hung in water.

    Parameters
    ----------
    mass_in_air_g : array_like, shape (...)
        Mass in air [g].
    mass_in_water_g : array_like, shape (...)
        Apparent mass hung in water, the wire taken off [g].
    water_density_kg_m3 : array_like, shape (...)
        Density of the water, 997.5 at 23 degC [kg/m3].

    Returns
    -------
    ndarray, shape (...)
        Density [kg/m3].

    Raises
    ------
    InputError
        If a mass is not positive or the mass in water is not below the mass in air.

    References
    ----------
    .. [1] ASTM D792 and ISO 1183, displacement of water (titles; equation from memory).

    Examples
    --------
    >>> density_by_water(4.0, 2.0, water_density_kg_m3=1000)
    np.float64(2000.0)
    """
    air = positive("mass in air", mass_in_air_g, "g")
    water = positive("mass in water", mass_in_water_g, "g", zero=True)
    if np.any(water >= air):
        raise InputError("mass in water", "must be less than the mass in air [g]", water,
                         "check that the two weighings are not swapped")
    return air / (air - water) * positive("water density", water_density_kg_m3, "kg/m3")


def burn_off(coupon_mass_g, fibre_mass_g, *, fibre_density_kg_m3, resin_density_kg_m3, measured_density_kg_m3=None):
    """Fractions, density and voids of a coupon from a burn-off test.

    Parameters
    ----------
    coupon_mass_g : array_like, shape (...)
        Mass of the dry coupon [g].
    fibre_mass_g : array_like, shape (...)
        Mass of fibre left [g].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of the fibre and of the cured resin [kg/m3].
    measured_density_kg_m3 : array_like, shape (...), optional
        Density of the coupon, for example from `density_by_water` [kg/m3].

    Returns
    -------
    BurnOff
        Fractions, densities, voids [-, kg/m3].

    Raises
    ------
    InputError
        If a mass or a density is not positive or the fibre is heavier than the coupon.

    Notes
    -----
    ``v = 1 - rho_measured/rho_theoretical``.  A negative value is reported as it comes out: it means that a
    weighing or an assumed density is off, and that voids of this size cannot be told by the test.

    References
    ----------
    .. [1] ASTM D2734 and ASTM D3171 (titles; equations from memory); Kaw, Mechanics of Composite Materials,
       2nd ed., 2006, ch. 3.

    Examples
    --------
    >>> test = burn_off(4.0, 3.0, fibre_density_kg_m3=2400, resin_density_kg_m3=1300, measured_density_kg_m3=1950)
    >>> test.theoretical_density_kg_m3.round(0), test.void_fraction.round(4)
    (np.float64(1981.0), np.float64(0.0156))
    """
    psi = burn_off_weight_fraction(coupon_mass_g, fibre_mass_g)
    rho_f = positive("fibre density", fibre_density_kg_m3, "kg/m3")
    rho_r = positive("resin density", resin_density_kg_m3, "kg/m3")
    theoretical = 1 / (psi / rho_f + (1 - psi) / rho_r)
    measured = void = None
    if measured_density_kg_m3 is not None:
        measured = positive("measured density", measured_density_kg_m3, "kg/m3")
        void = 1 - measured / theoretical
    density = theoretical if measured is None else measured
    return BurnOff(psi, psi * density / rho_f, (1 - psi) * density / rho_r, theoretical, measured, void)
