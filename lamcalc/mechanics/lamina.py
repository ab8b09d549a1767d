"""One unidirectional or woven ply in plane stress: stiffness, compliance, rotation.

Axis 1 runs along the fibre, 2 across it; theta is positive from x towards y;
shear strain is the engineering strain.  Vectors are (11, 22, 12) or
(xx, yy, xy) along the last axis, matrices act on them.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, angle, number, positive


def reduced_stiffness(e1, e2, nu12, g12):
    """Plane-stress stiffness of a ply in its own axes.

    Parameters
    ----------
    e1, e2 : array_like, shape (...)
        Young's moduli along and across the fibre [MPa].
    nu12 : array_like, shape (...)
        Major Poisson ratio, strain along 2 per strain along 1 under load along 1 [-].
    g12 : array_like, shape (...)
        In-plane shear modulus [MPa].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Q, the stiffness that turns strain into stress [MPa].

    Raises
    ------
    InputError
        If a modulus is not positive or ``nu12`` breaks ``nu12**2 < e1 / e2``,
        the condition for positive strain energy.

    Notes
    -----
    ``Q11 = E1/(1 - nu12 nu21)``, ``Q22 = E2/(1 - nu12 nu21)``,
    ``Q12 = nu12 Q22``, ``Q66 = G12`` with ``nu21 = nu12 E2/E1``.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, eq. 2.61 (from memory).

    Examples
    --------
    >>> reduced_stiffness(181e3, 10.3e3, 0.28, 7.17e3).round(0)[0, 0]
    np.float64(181811.0)
    """
    e1, e2, g12 = positive("e1", e1, "MPa"), positive("e2", e2, "MPa"), positive("g12", g12, "MPa")
    nu12 = number("nu12", nu12)
    if not np.all(nu12**2 < e1 / e2):
        raise InputError("nu12", "must satisfy nu12^2 < e1/e2 [-]", nu12, "check that e1 and e2 are not swapped")
    e1, e2, nu12, g12 = np.broadcast_arrays(e1, e2, nu12, g12)
    q = np.zeros(e1.shape + (3, 3))
    factor = 1.0 / (1.0 - nu12**2 * e2 / e1)
    q[..., 0, 0] = e1 * factor
    q[..., 1, 1] = e2 * factor
    q[..., 0, 1] = q[..., 1, 0] = nu12 * e2 * factor
    q[..., 2, 2] = g12
    return q


def reduced_compliance(e1, e2, nu12, g12):
    """Plane-stress compliance of a ply in its own axes.

    Parameters
    ----------
    e1, e2 : array_like, shape (...)
        Young's moduli along and across the fibre [MPa].
    nu12 : array_like, shape (...)
        Major Poisson ratio [-].
    g12 : array_like, shape (...)
        In-plane shear modulus [MPa].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        S, the compliance that turns stress into strain [1/MPa].

    Raises
    ------
    InputError
        As `reduced_stiffness`.

    Examples
    --------
    >>> float(reduced_compliance(38600.0, 8270.0, 0.26, 4140.0)[0, 0] * 38600.0)
    1.0
    """
    reduced_stiffness(e1, e2, nu12, g12)
    e1, e2, nu12, g12 = np.broadcast_arrays(*(np.asarray(x, dtype=float) for x in (e1, e2, nu12, g12)))
    s = np.zeros(e1.shape + (3, 3))
    s[..., 0, 0], s[..., 1, 1], s[..., 2, 2] = 1.0 / e1, 1.0 / e2, 1.0 / g12
    s[..., 0, 1] = s[..., 1, 0] = -nu12 / e1
    return s


def stress_transform(angle_deg):
    """Matrix that turns laminate-axis stress into ply-axis stress.

    Parameters
    ----------
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        T with ``(s11, s22, s12) = T (sxx, syy, sxy)`` [-].

    Raises
    ------
    InputError
        If an angle is not finite or looks like radians.

    Examples
    --------
    >>> stress_transform(90).round(12)[0].tolist()
    [0.0, 1.0, 0.0]
    """
    # sums of exact quarter turns stay exact: cos(90 deg) must not leave 6e-17 behind
    theta = np.radians(angle("angle_deg", angle_deg))
    cos2, sin2 = np.cos(2 * theta), np.sin(2 * theta)
    quarter = np.mod(np.asarray(angle_deg, dtype=float), 90.0) == 0.0
    sin2 = np.where(quarter, 0.0, sin2)
    cos2 = np.where(quarter, np.round(cos2), cos2)
    c2, s2, cs = 0.5 * (1 + cos2), 0.5 * (1 - cos2), 0.5 * sin2
    t = np.empty(theta.shape + (3, 3))
    t[..., 0, 0] = t[..., 1, 1] = c2
    t[..., 0, 1] = t[..., 1, 0] = s2
    t[..., 0, 2], t[..., 1, 2] = 2 * cs, -2 * cs
    t[..., 2, 0], t[..., 2, 1], t[..., 2, 2] = -cs, cs, c2 - s2
    return t


def strain_transform(angle_deg):
    """Matrix that turns laminate-axis strain into ply-axis strain.

    Parameters
    ----------
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        R with ``(e11, e22, g12) = R (exx, eyy, gxy)``, engineering shear strain [-].

    Raises
    ------
    InputError
        If an angle is not finite or looks like radians.

    Examples
    --------
    >>> strain_transform(45).round(3)[2].tolist()
    [-1.0, 1.0, 0.0]
    """
    r = stress_transform(angle_deg).copy()
    r[..., :2, 2] *= 0.5
    r[..., 2, :2] *= 2.0
    return r


def rotated_stiffness(q, angle_deg):
    """Stiffness of a ply in laminate axes.

    Parameters
    ----------
    q : array_like, shape (..., 3, 3)
        Ply-axis stiffness Q [MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Qbar [MPa].

    Raises
    ------
    InputError
        If an angle is not finite or looks like radians.

    Notes
    -----
    ``Qbar = R^T Q R`` with R the strain transform, since strain energy does
    not depend on the axes.

    References
    ----------
    .. [1] Kaw, Mechanics of Composite Materials, 2nd ed., 2006, eq. 2.104 (from memory).

    Examples
    --------
    >>> q = reduced_stiffness(181e3, 10.3e3, 0.28, 7.17e3)
    >>> float(rotated_stiffness(q, 60)[1, 1].round(-2))
    109400.0
    """
    r = strain_transform(angle_deg)
    qbar = np.swapaxes(r, -1, -2) @ np.asarray(q, dtype=float) @ r
    return 0.5 * (qbar + np.swapaxes(qbar, -1, -2))


def rotated_compliance(s, angle_deg):
    """Compliance of a ply in laminate axes.

    Parameters
    ----------
    s : array_like, shape (..., 3, 3)
        Ply-axis compliance S [1/MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        Sbar [1/MPa].

    Raises
    ------
    InputError
        If an angle is not finite or looks like radians.

    Notes
    -----
    ``Sbar = T^T S T`` with T the stress transform.

    Examples
    --------
    >>> s = reduced_compliance(181e3, 10.3e3, 0.28, 7.17e3)
    >>> float((rotated_compliance(s, 60)[0, 0] * 1e5).round(3))
    8.053
    """
    t = stress_transform(angle_deg)
    return np.swapaxes(t, -1, -2) @ np.asarray(s, dtype=float) @ t


def stress_to_ply_axes(stress, angle_deg):
    """Stress in ply axes from stress in laminate axes.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        (sxx, syy, sxy) [MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3)
        (s11, s22, s12) [MPa].

    Raises
    ------
    InputError
        If an angle is not finite or looks like radians.

    Examples
    --------
    >>> stress_to_ply_axes([100.0, 0.0, 0.0], 90).round(9).tolist()
    [0.0, 100.0, 0.0]
    """
    return np.einsum("...ij,...j->...i", stress_transform(angle_deg), np.asarray(stress, dtype=float))


def strain_to_ply_axes(strain, angle_deg):
    """Strain in ply axes from strain in laminate axes.

    Parameters
    ----------
    strain : array_like, shape (..., 3)
        (exx, eyy, gxy), engineering shear strain [-].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3)
        (e11, e22, g12) [-].

    Raises
    ------
    InputError
        If an angle is not finite or looks like radians.

    Examples
    --------
    >>> strain_to_ply_axes([0.001, 0.0, 0.0], 90).round(9).tolist()
    [0.0, 0.001, 0.0]
    """
    return np.einsum("...ij,...j->...i", strain_transform(angle_deg), np.asarray(strain, dtype=float))


def rotated_expansion(alpha1, alpha2, angle_deg):
    """Free expansion (thermal or shrinkage) of a ply in laminate axes.

    Parameters
    ----------
    alpha1, alpha2 : array_like, shape (...)
        Free strain along and across the fibre, per kelvin or as a strain [1/K or -].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., 3)
        (x, y, xy) free strain, engineering shear [1/K or -].

    Raises
    ------
    InputError
        If a value is not finite or an angle looks like radians.

    Examples
    --------
    >>> (rotated_expansion(0.02e-6, 22.5e-6, 30) * 1e6).round(2).tolist()
    [5.64, 16.88, -19.47]
    """
    alpha1, alpha2 = np.broadcast_arrays(number("alpha1", alpha1), number("alpha2", alpha2))
    free = np.stack([alpha1, alpha2, np.zeros(alpha1.shape)], axis=-1)
    # strain goes back to laminate axes by the transposed stress transform
    return np.einsum("...ji,...j->...i", stress_transform(angle_deg), free)


def stiffness_invariants(q):
    """Invariants of a ply under rotation.

    Parameters
    ----------
    q : array_like, shape (..., 3, 3)
        Stiffness of a ply in any axes [MPa].

    Returns
    -------
    ndarray, shape (..., 2)
        ``Q11 + Q22 + 2 Q12`` and ``Q66 - Q12``, the same at every angle [MPa].

    References
    ----------
    .. [1] Tsai and Pagano, Invariant properties of composite materials, 1968 (from memory).

    Examples
    --------
    >>> q = reduced_stiffness(40e3, 9e3, 0.28, 4e3)
    >>> bool(np.allclose(stiffness_invariants(q), stiffness_invariants(rotated_stiffness(q, 27))))
    True
    """
    q = np.asarray(q, dtype=float)
    return np.stack([q[..., 0, 0] + q[..., 1, 1] + 2 * q[..., 0, 1], q[..., 2, 2] - q[..., 0, 1]], axis=-1)


@dataclass(frozen=True)
class EngineeringConstants:
    """Moduli of a ply or laminate in the x, y axes.

    Parameters
    ----------
    ex, ey, gxy : ndarray, shape (...)
        Young's moduli and shear modulus [MPa].
    nuxy, nuyx : ndarray, shape (...)
        Poisson ratios: strain along y per strain along x under load along x, and the reverse [-].
    eta_x_xy, eta_y_xy : ndarray, shape (...)
        Shear coupling: shear strain per normal strain under load along x or y [-].

    Examples
    --------
    >>> off_axis_constants(40e3, 9e3, 0.28, 4e3, 0).nuyx.round(3)
    np.float64(0.063)
    """

    ex: np.ndarray
    ey: np.ndarray
    gxy: np.ndarray
    nuxy: np.ndarray
    nuyx: np.ndarray
    eta_x_xy: np.ndarray
    eta_y_xy: np.ndarray


def constants_from_compliance(s11, s22, s66, s12, s16, s26):
    """Engineering constants from the six in-plane compliances.

    Parameters
    ----------
    s11, s22, s66, s12, s16, s26 : array_like, shape (...)
        Compliances in the x, y axes [1/MPa].

    Returns
    -------
    EngineeringConstants
        Moduli [MPa] and ratios [-], each of shape (...).

    Examples
    --------
    >>> constants_from_compliance(1 / 40e3, 1 / 9e3, 1 / 4e3, -0.28 / 40e3, 0.0, 0.0).nuxy
    0.28
    """
    return EngineeringConstants(1 / s11, 1 / s22, 1 / s66, -s12 / s11, -s12 / s22, s16 / s11, s26 / s22)


def off_axis_constants(e1, e2, nu12, g12, angle_deg):
    """Moduli of a single ply loaded at an angle to its fibre.

    Parameters
    ----------
    e1, e2 : array_like, shape (...)
        Young's moduli along and across the fibre [MPa].
    nu12 : array_like, shape (...)
        Major Poisson ratio [-].
    g12 : array_like, shape (...)
        In-plane shear modulus [MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from the load direction x [deg].

    Returns
    -------
    EngineeringConstants
        Moduli [MPa] and ratios [-] in the x, y axes, each of shape (...).

    Raises
    ------
    InputError
        As `reduced_stiffness` and for angles in radians.

    Examples
    --------
    >>> float(off_axis_constants(40e3, 9e3, 0.28, 4e3, 90).ex.round(6))
    9000.0
    """
    s = rotated_compliance(reduced_compliance(e1, e2, nu12, g12), angle_deg)
    return constants_from_compliance(s[..., 0, 0], s[..., 1, 1], s[..., 2, 2],
                                     s[..., 0, 1], s[..., 0, 2], s[..., 1, 2])
