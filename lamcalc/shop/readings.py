"""Arithmetic of the readings: trimmed means, coupons, shares."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive


@dataclass(frozen=True)
class Spread:
    """Mean and spread of a list of readings.

    Parameters
    ----------
    count : int
        Number of readings [-].
    mean, deviation, least, most : float
        Mean, sample standard deviation, smallest and largest [unit of the readings].

    Examples
    --------
    >>> spread("thickness", [5.0, 5.2], "mm").mean
    5.1
    """

    count: int
    mean: float
    deviation: float
    least: float
    most: float


def spread(name, readings, unit):
    """Mean and spread of readings.

    Parameters
    ----------
    name : str
        Name for the message [-].
    readings : array_like, shape (n,)
        Readings, all positive [as `unit` says].
    unit : str
        Unit of the readings [-].

    Returns
    -------
    Spread
        Count, mean, sample standard deviation, smallest, largest [as `unit` says].

    Raises
    ------
    InputError
        If there is no reading or one is not positive.

    References
    ----------
    Sample statistics, n - 1; the deviation of a single reading is 0 because it is unknown, see `count`.

    Examples
    --------
    >>> round(spread("thickness", [5.0, 5.2, 5.4], "mm").deviation, 3)
    0.2
    """
    values = np.atleast_1d(positive(name, readings, unit))
    if values.size == 0 or values.ndim != 1:
        raise InputError(name, f"must be one list with at least one reading [{unit}]", readings, "enter the readings")
    scale = _scale(values)
    deviation = float(scale * (values / scale).std(ddof=1)) if values.size > 1 else 0.0
    return Spread(int(values.size), float(scale * (values / scale).mean()), deviation, float(values.min()), float(values.max()))


def _scale(values):
    """A power of two near the largest value: exact to divide by, so that squares and sums of slips of the pen stay finite."""
    return np.ldexp(1.0, np.frexp(values.max())[1] - 1)


def trimmed_mean(readings):
    """Mean after dropping the highest and the lowest reading.

    Parameters
    ----------
    readings : array_like, shape (n,)
        Three readings or more [any one unit].

    Returns
    -------
    float
        Trimmed mean [unit of the readings].

    Raises
    ------
    InputError
        If there are fewer than three readings or one is negative.

    References
    ----------
    ASTM D2583 as described in a vinyl ester maker's fabricating tips: 10 to 12 readings, drop high and low.

    Examples
    --------
    >>> trimmed_mean([38, 41, 40, 35, 42, 39, 44, 37, 40, 52])
    40.125
    """
    values = np.sort(np.atleast_1d(positive("reading", readings, zero=True)))
    if values.ndim != 1 or values.size < 3:
        raise InputError("readings", "must be three or more, as the highest and lowest are dropped [-]", readings,
                         "take ten to twelve readings")
    scale = _scale(values)
    return float(scale * (values[1:-1] / scale).mean())


def reinforcement_share(part_gsm, *, total_gsm):
    """Share of one kind of glass in all the glass.

    Parameters
    ----------
    part_gsm : array_like, shape (...)
        Woven or cross-ply glass [g/m2].
    total_gsm : array_like, shape (...)
        All glass [g/m2].

    Returns
    -------
    ndarray, shape (...)
        Share by weight [-].

    Raises
    ------
    InputError
        If the part exceeds the total.

    References
    ----------
    Lloyd's Register Special Service Craft Rules July 2022, Part 8 Ch 3 Sec 2.1.1: at least 40 % woven or cross-ply.

    Examples
    --------
    >>> round(float(reinforcement_share(1200, total_gsm=2550)), 2)
    0.47
    """
    part, total = positive("part of the glass", part_gsm, "g/m2", zero=True), positive("all glass", total_gsm, "g/m2")
    if (part > total).any():
        raise InputError("part of the glass", "must not exceed all glass [g/m2]", part_gsm, "exchange the two weights")
    return part / total


def coupon_thickness_mm(mass_g, *, length_mm, width_mm, density_kg_m3):
    """Thickness at which a coupon of given size has a given mass.

    Parameters
    ----------
    mass_g : array_like, shape (...)
        Mass [g].
    length_mm, width_mm : float
        Size of the coupon [mm].
    density_kg_m3 : float
        Density of the laminate [kg/m3].

    Returns
    -------
    ndarray, shape (...)
        Thickness [mm].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Definition of density; ASTM D2584 asks for about 5 g of at most 25 x 25 mm, which only thick laminates reach.

    Examples
    --------
    >>> round(float(coupon_thickness_mm(5, length_mm=25, width_mm=25, density_kg_m3=1500)), 1)
    5.3
    """
    face = positive("coupon length", length_mm, "mm") * positive("coupon width", width_mm, "mm")
    return positive("mass", mass_g, "g") * 1e6 / (face * positive("laminate density", density_kg_m3, "kg/m3"))


def areal_mass_kg_m2(thickness_mm, density_kg_m3):
    """Mass of a sheet per area.

    Parameters
    ----------
    thickness_mm : array_like, shape (...)
        Thickness [mm].
    density_kg_m3 : array_like, shape (...)
        Density [kg/m3].

    Returns
    -------
    ndarray, shape (...)
        Mass per area [kg/m2].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Definition of density.

    Examples
    --------
    >>> float(areal_mass_kg_m2(36, 580))
    20.88
    """
    return positive("thickness", thickness_mm, "mm") * positive("density", density_kg_m3, "kg/m3") / 1e3
