"""One unidirectional or woven ply in plane stress: stiffness, compliance, rotation.

Axis 1 runs along the fibre, 2 across it; theta is positive from x towards y;
shear strain is the engineering strain.  Vectors are (11, 22, 12) or
(xx, yy, xy) along the last axis, matrices act on them.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, angle, number, positive

# rotation of a batch works on so many plies at a time, so that temporaries stay small
_CHUNK = 16_384


def reduced_terms(e1, e2, nu12, g12):
    """Terms of the plane-stress stiffness of plies; the formula behind `reduced_stiffness`, without its checks.

    Parameters
    ----------
    e1, e2 : ndarray, shape (...)
        Young's moduli along and across the fibre [MPa].
    nu12 : ndarray, shape (...)
        Major Poisson ratio [-].
    g12 : ndarray, shape (...)
        In-plane shear modulus [MPa].

    Returns
    -------
    q11, q12, q22, q66 : ndarray, shape (...)
        The terms that are not zero [MPa].

    Examples
    --------
    >>> [float(q) for q in reduced_terms(10e3, 5e3, 0.0, 2e3)]
    [10000.0, 0.0, 5000.0, 2000.0]
    """
    factor = 1.0 / (1.0 - nu12**2 * e2 / e1)
    q22 = e2 * factor
    return e1 * factor, nu12 * q22, q22, g12


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
    q[..., 0, 0], q12, q[..., 1, 1], q[..., 2, 2] = reduced_terms(e1, e2, nu12, g12)
    q[..., 0, 1] = q[..., 1, 0] = q12
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


def turn_terms(angle_deg):
    """Squares and products of cosine and sine.

    Parameters
    ----------
    angle_deg : ndarray, shape (...)
        Fibre angle from x towards y [deg].

    Returns
    -------
    c2, s2, cs, cos2, sin2 : ndarray, shape (...)
        cos^2, sin^2 and cos sin of the angle, cosine and sine of twice the angle [-].

    Examples
    --------
    >>> [float(x) for x in turn_terms(90.0)]
    [0.0, 1.0, 0.0, -1.0, 0.0]
    """
    # one tangent costs less than a cosine and a sine; at quarter turns it is huge, and what follows is still good
    tangent = np.tan(np.asarray(angle_deg, dtype=float) * (np.pi / 180.0))
    square = tangent * tangent
    cos2, sin2 = (1.0 - square) / (1.0 + square), 2.0 * tangent / (1.0 + square)
    # quarter turns stay exact: rounding of up to a full turn must not leave 1e-16 behind
    sin2 = sin2 * (np.abs(sin2) >= 4e-15)
    return 0.5 * (1 + cos2), 0.5 * (1 - cos2), 0.5 * sin2, cos2, sin2


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
    c2, s2, cs, cos2, _ = turn_terms(angle("angle_deg", angle_deg))
    t = np.empty(c2.shape + (3, 3))
    t[..., 0, 0] = t[..., 1, 1] = c2
    t[..., 0, 1] = t[..., 1, 0] = s2
    t[..., 0, 2], t[..., 1, 2] = 2 * cs, -2 * cs
    t[..., 2, 0], t[..., 2, 1], t[..., 2, 2] = -cs, cs, cos2
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


def rotated_terms(q11, q12, q22, q66, turn, *, shear_coupling=None, out=None):
    """Terms of R^T Q R, the one place where a stiffness is turned.

    Parameters
    ----------
    q11, q12, q22, q66 : ndarray, shape (...)
        Terms of Q in ply axes [MPa].
    turn : tuple of five ndarray, shape (...)
        From `turn_terms` [-].
    shear_coupling : tuple of two ndarray, shape (...), optional
        Q16 and Q26; none in the axes of a ply [MPa].
    out : ndarray, shape (6, ...), optional
        Where to put the result [MPa].

    Returns
    -------
    ndarray, shape (6, ...)
        Terms 11, 12, 16, 22, 26, 66 in laminate axes [MPa].

    Notes
    -----
    R is the strain transform; the same rule turns any form that is quadratic in strain.  Written with the invariants
    of rotation: ``Qbar11 = U1 + U2 cos 2a + U3 cos 4a`` and so on.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, sec. 2.7 (from memory).

    Examples
    --------
    >>> rotated_terms(10.0, 2.0, 5.0, 3.0, turn_terms(90.0)).tolist()
    [5.0, 2.0, 0.0, 10.0, 0.0, 3.0]
    """
    cos2, sin2 = turn[3:]
    if out is None:
        out = np.empty((6,) + np.broadcast_shapes(np.shape(q11), np.shape(q66), np.shape(cos2)))
    total, half = q11 + q22, 0.5 * (q11 - q22)
    # third invariant: 1/8 (Q11 + Q22 - 2 Q12 - 4 Q66), times cos and sin of four times the angle
    third = 0.125 * (total - 2.0 * q12 - 4.0 * q66)
    second, fourth, shift = half * cos2, third * (2.0 * cos2 * cos2 - 1.0), half * sin2 * 0.5
    swing = third * (2.0 * sin2 * cos2)
    # without rotation these two cancel to nothing, so that a ply along the axes keeps its own terms
    change = fourth - third
    mean = 0.5 * total + change
    np.add(mean, second, out=out[0, ...])
    np.subtract(mean, second, out=out[3, ...])
    np.subtract(q12, change, out=out[1, ...])
    np.subtract(q66, change, out=out[5, ...])
    np.add(shift, swing, out=out[2, ...])
    np.subtract(shift, swing, out=out[4, ...])
    if shear_coupling is not None:
        _turn_shear_coupling(*shear_coupling, turn, out)
    return out


def _turn_shear_coupling(q16, q26, turn, out):
    """Add what Q16 and Q26 contribute to turned terms."""
    c2, s2, cs, apart, _ = turn
    rest = q16 - q26
    out[0] -= 4.0 * cs * (c2 * q16 + s2 * q26)
    out[1] += 2.0 * cs * apart * rest
    out[2] += apart * (c2 * q16 + s2 * q26) - 2.0 * cs * cs * rest
    out[3] += 4.0 * cs * (s2 * q16 + c2 * q26)
    out[4] += apart * (s2 * q16 + c2 * q26) + 2.0 * cs * cs * rest
    out[5] += 2.0 * cs * apart * rest


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
    not depend on the axes; terms as in `rotated_terms`.

    References
    ----------
    .. [1] Kaw, Mechanics of Composite Materials, 2nd ed., 2006, eq. 2.104 (from memory).

    Examples
    --------
    >>> q = reduced_stiffness(181e3, 10.3e3, 0.28, 7.17e3)
    >>> float(rotated_stiffness(q, 60)[1, 1].round(-2))
    109400.0
    """
    q, theta = np.asarray(q, dtype=float), angle("angle_deg", angle_deg)
    shape = np.broadcast_shapes(q.shape[:-2], theta.shape)
    rows = np.broadcast_to(q, shape + (3, 3)).reshape(-1, 3, 3) if q.ndim > 2 else q[None]
    theta = np.broadcast_to(theta, shape).reshape(-1)
    coupled = bool(rows[:, :2, 2].any())
    qbar = np.empty((theta.size, 9))
    for low in range(0, theta.size, _CHUNK):
        part = slice(low, low + _CHUNK)
        own = rows[part] if q.ndim > 2 else rows
        terms = rotated_terms(own[:, 0, 0], own[:, 0, 1], own[:, 1, 1], own[:, 2, 2], turn_terms(theta[part]),
                              shear_coupling=(own[:, 0, 2], own[:, 1, 2]) if coupled else None)
        qbar[part] = terms[[0, 1, 2, 1, 3, 4, 2, 4, 5]].T
    return qbar.reshape(shape + (3, 3))


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
