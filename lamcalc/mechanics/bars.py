"""Bars that share a load side by side, and the tube in three-point bending."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive


@dataclass(frozen=True)
class BarShares:
    """How bars side by side share an axial load.

    Parameters
    ----------
    strain : ndarray, shape (...)
        Common strain [-].
    loads, shares : ndarray, shape (..., bars)
        Load of each bar and its part of the total [N, -].

    Examples
    --------
    >>> share_axial_load([12e6, 12e6, 3e6], 40e3).shares.round(3)
    array([0.444, 0.444, 0.111])
    """

    strain: np.ndarray
    loads: np.ndarray
    shares: np.ndarray


def share_axial_load(stiffness_ea, load):
    """Share an axial load among bars that stretch together.

    Parameters
    ----------
    stiffness_ea : array_like, shape (..., bars)
        Modulus times area of each bar [N].
    load : array_like, shape (...)
        Total load, tension positive [N].

    Returns
    -------
    BarShares
        Strain, loads, shares; the stress of a bar is its modulus times the strain [-, N, -].

    Raises
    ------
    InputError
        If a stiffness is not positive, or no bar is listed.

    Notes
    -----
    ``eps = P/sum(EA)``, ``P_i = P (EA)_i/sum(EA)``: the rule of mixtures is the same sum for fibre and resin.

    References
    ----------
    .. [1] Megson, Aircraft Structures for Engineering Students, ch. 25 (Ex. 25.1 and 25.4).

    Examples
    --------
    >>> bars = share_axial_load([5000 * 3200, 200000 * 800], 100e3)
    >>> (bars.strain * 200000).round(2)
    np.float64(113.64)
    """
    ea, load = positive("stiffness EA", stiffness_ea, "N"), number("load", load, "N")
    if ea.ndim == 0 or ea.shape[-1] == 0:
        raise InputError("stiffness EA", "must list the bars along the last axis [N]", ea, "give at least one bar")
    total = ea.sum(axis=-1)
    shares = ea / total[..., None]
    return BarShares(load / total, load[..., None] * shares, shares)


def tube_section(outer_diameter_mm, inner_diameter_mm):
    """Area and second moment of area of a round tube.

    Parameters
    ----------
    outer_diameter_mm, inner_diameter_mm : array_like, shape (...)
        Diameters; inner 0 for a solid rod [mm].

    Returns
    -------
    area, second_moment : ndarray, shape (...)
        Area and second moment about a diameter [mm2, mm4].

    Raises
    ------
    InputError
        If a diameter is out of range or the inner is not smaller than the outer one.

    References
    ----------
    .. [1] Section geometry, any strength-of-materials text.

    Examples
    --------
    >>> [round(float(value)) for value in tube_section(70, 50)]
    [1885, 871792]
    """
    outer = positive("outer diameter", outer_diameter_mm, "mm")
    inner = positive("inner diameter", inner_diameter_mm, "mm", zero=True)
    if np.any(inner >= outer):
        raise InputError("inner diameter", "must be less than the outer diameter [mm]", inner, "check both diameters")
    return np.pi / 4 * (outer**2 - inner**2), np.pi / 64 * (outer**4 - inner**4)


def modulus_for_sag(load, span_mm, second_moment_mm4, sag_mm):
    """Modulus that holds a simply supported beam with a centre load to a given sag.

    Parameters
    ----------
    load : array_like, shape (...)
        Load at mid-span [N].
    span_mm : array_like, shape (...)
        Distance between the supports [mm].
    second_moment_mm4 : array_like, shape (...)
        Second moment of area [mm4].
    sag_mm : array_like, shape (...)
        Allowed deflection under the load [mm].

    Returns
    -------
    ndarray, shape (...)
        Modulus needed along the beam [MPa].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    ``E = P L^3/(48 I w)``; shear deflection is left out, so the beam must be slender.

    References
    ----------
    .. [1] Callister, Materials Science and Engineering, ch. 16, tubular shaft design example.

    Examples
    --------
    >>> modulus_for_sag(1000, 1000, tube_section(70, 50)[1], 0.35).round(-2)
    np.float64(68300.0)
    """
    load, span = positive("load", load, "N"), positive("span", span_mm, "mm")
    return load * span**3 / (48 * positive("second moment", second_moment_mm4, "mm4") * positive("sag", sag_mm, "mm"))
