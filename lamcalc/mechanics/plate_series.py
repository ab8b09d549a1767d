"""Closed forms and fast series for isotropic plates, as printed in handbooks.

They check the Ritz plate and serve where one number is wanted.  The short side
of a rectangle is b, the long side a; D = E t^3 / 12 (1 - nu^2).
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive

_ODD = np.arange(1.0, 4002.0, 2.0)


def plate_rigidity(e, nu, thickness_mm):
    """Bending stiffness of an isotropic plate.

    Parameters
    ----------
    e : array_like, shape (...)
        Young's modulus [MPa].
    nu : array_like, shape (...)
        Poisson ratio, -1 to 0.5 [-].
    thickness_mm : array_like, shape (...)
        Thickness [mm].

    Returns
    -------
    ndarray, shape (...)
        E t^3 / 12 (1 - nu^2) [N mm].

    Raises
    ------
    InputError
        If a value is not positive or the Poisson ratio is out of range.

    References
    ----------
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959, eq. 3.

    Examples
    --------
    >>> float(plate_rigidity(12e3 * 0.91, 0.3, 2.0).round(6))
    8000.0
    """
    nu = _poisson(nu)
    e, t = positive("Young's modulus", e, "MPa"), positive("thickness_mm", thickness_mm, "mm")
    return e * t**3 / (12 * (1 - nu**2))


def isotropic_stiffness(rigidity, nu):
    """Bending stiffness matrix of an isotropic plate.

    Parameters
    ----------
    rigidity : array_like, shape (...)
        D from `plate_rigidity` [N mm].
    nu : array_like, shape (...)
        Poisson ratio, -1 to 0.5 [-].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        D [[1, nu, 0], [nu, 1, 0], [0, 0, (1 - nu)/2]] [N mm].

    Raises
    ------
    InputError
        If the rigidity is not positive or the Poisson ratio is out of range.

    Examples
    --------
    >>> isotropic_stiffness(2.0, 0.5).tolist()
    [[2.0, 1.0, 0.0], [1.0, 2.0, 0.0], [0.0, 0.0, 0.5]]
    """
    d, nu = np.broadcast_arrays(positive("plate rigidity", rigidity, "N mm"), _poisson(nu))
    matrix = np.zeros((*d.shape, 3, 3))
    matrix[..., 0, 0] = matrix[..., 1, 1] = d
    matrix[..., 0, 1] = matrix[..., 1, 0] = nu * d
    matrix[..., 2, 2] = d * (1 - nu) / 2
    return matrix


@dataclass(frozen=True)
class UniformLoadFactors:
    """Simply supported isotropic rectangle under uniform pressure q, in terms of the short side b.

    Parameters
    ----------
    deflection : ndarray, shape (...)
        Centre deflection over q b^4 / D [-].
    moment_short, moment_long : ndarray, shape (...)
        Centre moments across the short and along the long span over q b^2 [-].
    shear_long_side, shear_short_side : ndarray, shape (...)
        Shear force at the middle of a long and of a short side over q b [-].
    reaction_long_side, reaction_short_side : ndarray, shape (...)
        Edge reaction (shear force and twist) at the middle of a long and of a short side over q b [-].
    corner_force : ndarray, shape (...)
        Force that holds each corner down over q b^2 [-].

    Examples
    --------
    >>> round(float(simply_supported_uniform(1.0, 0.3).moment_short), 4)
    0.0479
    """

    deflection: np.ndarray
    moment_short: np.ndarray
    moment_long: np.ndarray
    shear_long_side: np.ndarray
    shear_short_side: np.ndarray
    reaction_long_side: np.ndarray
    reaction_short_side: np.ndarray
    corner_force: np.ndarray


def simply_supported_uniform(ratio, nu):
    """Simply supported isotropic rectangle under uniform pressure.

    Parameters
    ----------
    ratio : array_like, shape (...)
        Long side over short side, 1 or more [-].
    nu : array_like, shape (...)
        Poisson ratio, -1 to 0.5 [-].

    Returns
    -------
    UniformLoadFactors
        Factors of q b^4 / D, q b^2 and q b [-].

    Raises
    ------
    InputError
        If the ratio is below 1 or the Poisson ratio is out of range.

    Notes
    -----
    Single (Levy) series: the infinite strip in closed form less the part due to the
    short sides, whose terms fall exponentially away from those sides.

    References
    ----------
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959, art. 30 and Table 8;
    Young and Budynas, Roark's Formulas for Stress and Strain, 7th ed., Table 11.4 case 1a.

    Examples
    --------
    >>> factors = simply_supported_uniform(1.0, 0.3)
    >>> round(float(factors.deflection), 7), round(float(factors.reaction_long_side), 3)
    (0.0040624, 0.42)
    """
    ratio, nu = _ratio(ratio), _poisson(nu)
    k, alpha, sech, tanh = _levy(ratio)
    sign = np.sin(k / 2).round()
    c = 4 / k**5
    even, odd = (2 + alpha * tanh) / 2 * sech, sech / 2
    w_xx = -(c * sign * k**2 * (even - 2 * odd)).sum(-1)
    w_yy = -1 / 8 + (c * sign * k**2 * even).sum(-1)
    slope = (alpha * (1 - tanh**2) - tanh) / 2
    third = slope + tanh
    return UniformLoadFactors(
        5 / 384 - (c * sign * even).sum(-1), -(w_yy + nu * w_xx), -(w_xx + nu * w_yy),
        1 / 2 - (2 * c * k**3 * odd).sum(-1), _alternating(sign * c * k**3 * tanh),
        1 / 2 - (c * k**3 * even).sum(-1) + (2 - nu) * (c * k**3 * (even - 2 * odd)).sum(-1),
        _alternating(sign * c * k**3 * (third - (2 - nu[..., None]) * slope)),
        -2 * (1 - nu) * (c * k**2 * slope).sum(-1))


@dataclass(frozen=True)
class CentreLoadFactors:
    """Simply supported isotropic rectangle with a load at the centre, in terms of the short side b.

    Parameters
    ----------
    deflection : ndarray, shape (...)
        Centre deflection over W b^2 / D [-].
    beta_short, beta_long : ndarray, shape (...)
        beta in M = W/(4 pi) [(1 + nu) ln(2 b/(pi r)) + beta], across the short and along the long span [-].

    Examples
    --------
    >>> round(float(simply_supported_centre_load(1.0, 0.3).deflection), 4)
    0.0116
    """

    deflection: np.ndarray
    beta_short: np.ndarray
    beta_long: np.ndarray


def simply_supported_centre_load(ratio, nu):
    """Simply supported isotropic rectangle, load spread over a small circle at the centre.

    Parameters
    ----------
    ratio : array_like, shape (...)
        Long side over short side, 1 or more [-].
    nu : array_like, shape (...)
        Poisson ratio, -1 to 0.5 [-].

    Returns
    -------
    CentreLoadFactors
        Factors of deflection and moment [-].

    Raises
    ------
    InputError
        If the ratio is below 1 or the Poisson ratio is out of range.

    Notes
    -----
    The greatest stress is 3 W / (2 pi t^2) [(1 + nu) ln(2 b/(pi r)) + beta] with r
    from `equivalent_radius`.  The circle must be small against b.  The strip's part
    is in closed form (the logarithm, with 1 and nu), the rest a fast series.

    References
    ----------
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959, art. 34-35;
    Young and Budynas, Roark's Formulas for Stress and Strain, 7th ed., Table 11.4 case 1b.

    Examples
    --------
    >>> factors = simply_supported_centre_load(1.0, 0.3)
    >>> round(float(factors.beta_short), 3)
    0.434
    """
    ratio, nu = _ratio(ratio), _poisson(nu)
    k, alpha, sech, tanh = _levy(ratio)
    decay = np.exp(-alpha)
    odd = decay * sech
    even = -((1 + alpha) * decay * sech + odd * alpha * tanh)
    w_xx = ((even + 2 * odd) / (2 * k)).sum(-1)
    w_yy = -(even / (2 * k)).sum(-1)
    return CentreLoadFactors(((1 + even) / (2 * k**3)).sum(-1), 1 - 4 * np.pi * (w_yy + nu * w_xx),
                             nu - 4 * np.pi * (w_xx + nu * w_yy))


def equivalent_radius(radius_mm, thickness_mm):
    """Radius to use in thin-plate formulas for a load on a circle that is small against the thickness.

    Parameters
    ----------
    radius_mm : array_like, shape (...)
        Radius of the loaded circle, 0 for a point [mm].
    thickness_mm : array_like, shape (...)
        Plate thickness [mm].

    Returns
    -------
    ndarray, shape (...)
        sqrt(1.6 r^2 + t^2) - 0.675 t if r < 0.5 t, else r [mm].

    Raises
    ------
    InputError
        If the radius is negative or the thickness is not positive.

    Notes
    -----
    After Westergaard; the plate spreads a concentrated load over about 0.325 t.

    References
    ----------
    Young and Budynas, Roark's Formulas for Stress and Strain, 7th ed., sec. 11.1 (from memory).

    Examples
    --------
    >>> round(float(equivalent_radius(0.0, 10.0)), 2)
    3.25
    """
    r, t = positive("radius_mm", radius_mm, "mm", zero=True), positive("thickness_mm", thickness_mm, "mm")
    return np.where(r < 0.5 * t, np.sqrt(1.6 * r**2 + t**2) - 0.675 * t, r)


def centre_load_stress(load, short_side_mm, thickness_mm, ratio, nu, *, radius_mm):
    """Greatest bending stress under a load on a small circle at the centre of a simply supported rectangle.

    Parameters
    ----------
    load : array_like, shape (...)
        Load W [N].
    short_side_mm : array_like, shape (...)
        Short side b [mm].
    thickness_mm : array_like, shape (...)
        Plate thickness [mm].
    ratio : array_like, shape (...)
        Long side over short side, 1 or more [-].
    nu : array_like, shape (...)
        Poisson ratio, -1 to 0.5 [-].
    radius_mm : array_like, shape (...)
        Radius of the loaded circle [mm].

    Returns
    -------
    ndarray, shape (...)
        Stress across the short span on the far face [MPa].

    Raises
    ------
    InputError
        If a value is out of range, or the circle is wider than a quarter of the short side.

    References
    ----------
    Young and Budynas, Roark's Formulas for Stress and Strain, 7th ed., Table 11.4 case 1b.

    Examples
    --------
    >>> round(float(centre_load_stress(1000.0, 500.0, 10.0, 1.0, 0.3, radius_mm=20.0)), 2)
    19.25
    """
    b, t = positive("short side", short_side_mm, "mm"), positive("thickness_mm", thickness_mm, "mm")
    radius = equivalent_radius(radius_mm, t)
    if np.any(2 * radius > b / 4):
        raise InputError("loaded circle", "must be small: diameter at most a quarter of the short side [mm]",
                         2 * np.max(radius), "use a patch load on a Ritz plate")
    beta = simply_supported_centre_load(ratio, nu).beta_short
    spread = (1 + _poisson(nu)) * np.log(2 * b / (np.pi * radius)) + beta
    return 3 * number("load", load, "N") / (2 * np.pi * t**2) * spread


def simply_supported_buckling_factor(ratio):
    """Buckling factor of a simply supported isotropic rectangle compressed along its length.

    Parameters
    ----------
    ratio : array_like, shape (...)
        Length along the load over width [-].

    Returns
    -------
    ndarray, shape (...)
        k in N = k pi^2 D / b^2, b the width across the load [-].

    Raises
    ------
    InputError
        If the ratio is not positive.

    References
    ----------
    Timoshenko and Gere, Theory of Elastic Stability, 2nd ed. 1961, art. 9.2.

    Examples
    --------
    >>> simply_supported_buckling_factor([1.0, 1.4]).round(2).tolist()
    [4.0, 4.47]
    """
    ratio = positive("side ratio", ratio)[..., None]
    waves = np.maximum(np.floor(ratio) + np.arange(3), 1)
    return ((waves / ratio + ratio / waves) ** 2).min(axis=-1)


@dataclass(frozen=True)
class CircleResult:
    """Clamped circular plate under uniform pressure.

    Parameters
    ----------
    deflection : ndarray, shape (...)
        At the centre [mm].
    radial_edge, hoop_edge : ndarray, shape (...)
        Bending stress at the edge, on the pressure side [MPa].
    centre : ndarray, shape (...)
        Bending stress at the centre, on the far side, in all directions [MPa].
    yield_pressure : ndarray, shape (...), or None
        Pressure of first yield at the edge by greatest shear stress, if a yield stress was given [MPa].

    Examples
    --------
    >>> float(clamped_circle(1.0, 100.0, 10.0, 200e3, 0.3).radial_edge)
    75.0
    """

    deflection: np.ndarray
    radial_edge: np.ndarray
    hoop_edge: np.ndarray
    centre: np.ndarray
    yield_pressure: np.ndarray | None


def clamped_circle(pressure, radius_mm, thickness_mm, e, nu, *, yield_stress=None):
    """Clamped circular isotropic plate under uniform pressure.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Pressure [MPa].
    radius_mm : array_like, shape (...)
        Radius [mm].
    thickness_mm : array_like, shape (...)
        Thickness [mm].
    e : array_like, shape (...)
        Young's modulus [MPa].
    nu : array_like, shape (...)
        Poisson ratio, -1 to 0.5 [-].
    yield_stress : array_like, shape (...), optional
        Yield stress in tension [MPa].

    Returns
    -------
    CircleResult
        Deflection and stresses [mm, MPa].

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    w = q r^4 / 64 D; edge stress 3 q r^2 / 4 t^2 (nu times that around the edge),
    centre stress 3 (1 + nu) q r^2 / 8 t^2.  By greatest shear stress the edge yields
    at q = 4 t^2 Y / 3 r^2; the pressure itself across the thickness is left out.

    References
    ----------
    Boresi and Schmidt, Advanced Mechanics of Materials, ch. 13;
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959, eq. 62-64.

    Examples
    --------
    >>> plate = clamped_circle(4.2, 100.0, 10.0, 200e3, 0.29, yield_stress=315.0)
    >>> round(float(plate.deflection), 2), round(float(plate.yield_pressure), 2)
    (0.36, 4.2)
    """
    q, r = number("pressure", pressure, "MPa"), positive("radius_mm", radius_mm, "mm")
    t, nu = positive("thickness_mm", thickness_mm, "mm"), _poisson(nu)
    edge = 0.75 * q * (r / t) ** 2
    limit = None if yield_stress is None else positive("yield stress", yield_stress, "MPa") * (t / r) ** 2 / 0.75
    return CircleResult(q * r**4 / (64 * plate_rigidity(e, nu, t)), edge, nu * edge, (1 + nu) / 2 * edge, limit)


def _levy(ratio):
    """Wave numbers of the short span, half the long side in waves, and its hyperbolic functions without overflow."""
    k = np.pi * _ODD
    alpha = k * ratio[..., None] / 2
    decay = np.exp(-alpha)
    return k, alpha, 2 * decay / (1 + decay**2), np.tanh(alpha)


def _alternating(terms):
    """Sum of a slowly falling alternating series: mean of the last two partial sums."""
    return terms.sum(-1) - terms[..., -1] / 2


def _ratio(ratio):
    value = number("side ratio", ratio)
    if np.any(value < 1):
        raise InputError("side ratio", "must be long side over short side, 1 or more [-]", value, "swap the sides")
    return value


def _poisson(nu):
    value = number("Poisson ratio", nu)
    if np.any((value <= -1) | (value > 0.5)):
        raise InputError("Poisson ratio", "must lie above -1 and not above 0.5 [-]", value, "0.3 is usual")
    return value
