"""Shear across the thickness of a layered wall, from equilibrium.

The bending stress of a layered wall changes along the span; the shear stress
between the layers is what balances that change.  The shear stress gives the
shear stiffness through its energy, so that no shear factor has to be guessed:
a solid sheet comes out at 5/6 G h and thin skins on a soft core at G d^2/c.

Axes as in `laminate`: the first layer lies at z = -h/2.  All functions take any
batch shape in front of the layer axis.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.laminate import compliance_blocks, ply_interfaces, stiffness_matrices

_AXES = {"x": 0, "y": 1}
# place of terms 11 and 22 among the six packed terms of a stiffness matrix
_PACKED = (0, 3)
# three Gauss points integrate the square of a parabola exactly
_POINTS, _WEIGHTS = np.polynomial.legendre.leggauss(3)


@dataclass(frozen=True)
class ShearProfile:
    """Shear stress through the thickness of a layered wall.

    Parameters
    ----------
    z_mm : ndarray, shape (..., plies + 1)
        Heights of the layer interfaces about mid-thickness [mm].
    interface_mpa : ndarray, shape (..., plies + 1)
        Shear stress at the interfaces; zero at both faces [MPa].
    ply_max_mpa : ndarray, shape (..., plies)
        Largest shear stress inside each layer, with its sign [MPa].
    ply_max_z_mm : ndarray, shape (..., plies)
        Height at which it acts [mm].
    first_moment_n : ndarray, shape (..., plies + 1)
        Sum of E t z about the neutral axis of the layers beyond each interface [N].

    Examples
    --------
    >>> wall = 10e3 * np.eye(3)[None]
    >>> shear_stress_profile(wall, [4.0], 8.0, axis="x").ply_max_mpa.round(6).tolist()
    [3.0]
    """

    z_mm: np.ndarray
    interface_mpa: np.ndarray
    ply_max_mpa: np.ndarray
    ply_max_z_mm: np.ndarray
    first_moment_n: np.ndarray


def rotated_shear_modulus(g13, g23, angle_deg, *, axis):
    """Transverse shear modulus of a turned ply when shear acts along one laminate axis only.

    Parameters
    ----------
    g13, g23 : array_like, shape (...)
        Transverse shear moduli on the planes along and across the fibre [MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].
    axis : {"x", "y"}
        Direction of bending [-].

    Returns
    -------
    ndarray, shape (...)
        G_xz or G_yz [MPa].

    Raises
    ------
    InputError
        If a modulus is not positive or `axis` is not "x" or "y".

    Notes
    -----
    ``1/G_xz = cos^2/G13 + sin^2/G23`` (and sine and cosine exchanged for y):
    the compliance under one shear stress, as the energy in `shear_stiffness`
    needs it.

    References
    ----------
    .. [1] Rotation of the two transverse shear stresses; common practice.

    Examples
    --------
    >>> rotated_shear_modulus(3000.0, 2000.0, [0, 90], axis="x").round(6).tolist()
    [3000.0, 2000.0]
    """
    c2 = np.cos(np.radians(number("angle_deg", angle_deg, "deg"))) ** 2
    along = c2 if _place(axis) == 0 else 1.0 - c2
    return 1.0 / (along / positive("g13", g13, "MPa") + (1.0 - along) / positive("g23", g23, "MPa"))


def _place(axis):
    if axis not in _AXES:
        raise InputError("axis", "must be 'x' or 'y' [-]", axis, "name the direction in which the wall bends")
    return _AXES[axis]


def _stress_gradient(qbar, thickness_mm, axis, strip):
    """Bending stress gradient q0 + q1 z of each layer and curvature, all per unit shear force."""
    i = _place(axis)
    qbar = number("qbar", qbar, "MPa")
    stiffness = stiffness_matrices(qbar, positive("thickness_mm", thickness_mm, "mm"))
    if strip == "wide":
        a, b, d = np.moveaxis(stiffness[..., _PACKED[i]], -1, 0)
        curvature = 1.0 / (d - b * b / a)
        modulus = qbar[..., i, i]
        return modulus * (-b / a * curvature)[..., None], modulus * curvature[..., None], curvature
    if strip == "narrow":
        _, b, d = compliance_blocks(stiffness)
        row = qbar[..., i, :]
        return (np.einsum("...pj,...j->...p", row, b[..., :, i]), np.einsum("...pj,...j->...p", row, d[..., :, i]),
                d[..., i, i])
    raise InputError("strip", "must be 'wide' or 'narrow' [-]", strip,
                     "'wide' for a panel that cannot curl across, 'narrow' for a strip with free edges")


def _interface_flow(q0, q1, z):
    """Shear stress per unit shear force at every interface; both faces are free of stress."""
    step = q0 * np.diff(z) + 0.5 * q1 * np.diff(z * z)
    face = np.zeros(step.shape[:-1] + (1,))
    return np.concatenate([face, -np.cumsum(step[..., :-1], axis=-1), face], axis=-1)


def _flow_in_ply(q0, q1, start, flow, z):
    """Shear stress per unit shear force at height z of a layer that starts at `start` with `flow`."""
    return flow - q0 * (z - start) - 0.5 * q1 * (z * z - start * start)


def shear_stiffness(qbar, thickness_mm, g_xz, *, axis, strip="wide"):
    """Transverse shear stiffness of a layered wall from the equilibrium shear stress.

    Parameters
    ----------
    qbar : array_like, shape (..., plies, 3, 3)
        Layer stiffness in laminate axes; first layer against the mould [MPa].
    thickness_mm : array_like, shape (..., plies)
        Layer thickness [mm].
    g_xz : array_like, shape (..., plies)
        Transverse shear modulus of each layer for bending along `axis`: G_xz or G_yz [MPa].
    axis : {"x", "y"}
        Direction in which the wall bends [-].
    strip : {"wide", "narrow"}
        Wide: no strain or curvature across (panel); narrow: no force or moment across (free edges) [-].

    Returns
    -------
    ndarray, shape (...)
        Shear force per width and per shear angle [N/mm].

    Raises
    ------
    InputError
        If a thickness or modulus is not positive, or `axis` or `strip` is not one of its names.

    Notes
    -----
    With dM/dx = V and no change of the other resultants the stress gradient of
    a layer is linear in z; integrated from the face it gives the shear stress
    tau(z), and ``1/S = int tau^2/G dz / V^2``.  Unsymmetric stacks carry their
    coupling: the stress is taken about the neutral axis of the direction.
    Limits: solid sheet ``5/6 G h``; thin skins on a soft core ``G d^2/c``.
    Shear stress across the direction of bending (angle plies) is left out of
    the energy.

    References
    ----------
    .. [1] Equilibrium shear stress and complementary energy, as in Whitney, Shear correction
       factors for orthotropic laminates under static load, J. Appl. Mech. 40, 1973 (from memory).

    Examples
    --------
    >>> sheet = 10e3 * np.eye(3)[None]
    >>> float(shear_stiffness(sheet, [6.0], [1200.0], axis="x").round(6))
    6000.0
    """
    q0, q1, _ = _stress_gradient(qbar, thickness_mm, axis, strip)
    g = positive("g_xz", g_xz, "MPa")
    z = ply_interfaces(thickness_mm)
    start, t = z[..., :-1], np.diff(z)
    flow = _interface_flow(q0, q1, z)[..., :-1]
    height = start[..., None] + 0.5 * (1.0 + _POINTS) * t[..., None]
    tau = _flow_in_ply(q0[..., None], q1[..., None], start[..., None], flow[..., None], height)
    energy = ((tau * tau) @ (0.5 * _WEIGHTS)) * t / g
    return 1.0 / energy.sum(axis=-1)


def shear_factor(qbar, thickness_mm, g_xz, *, axis, strip="wide"):
    """Ratio of the true shear stiffness to the plain sum of G t.

    Parameters
    ----------
    qbar : array_like, shape (..., plies, 3, 3)
        Layer stiffness in laminate axes [MPa].
    thickness_mm : array_like, shape (..., plies)
        Layer thickness [mm].
    g_xz : array_like, shape (..., plies)
        Transverse shear modulus of each layer for bending along `axis` [MPa].
    axis : {"x", "y"}
        Direction in which the wall bends [-].
    strip : {"wide", "narrow"}
        Whether the wall is held flat across, see `shear_stiffness` [-].

    Returns
    -------
    ndarray, shape (...)
        Shear factor, 5/6 for a solid sheet [-].

    Raises
    ------
    InputError
        As `shear_stiffness`.

    Notes
    -----
    ``k = S / sum(G t)``; never above 1, far below it for stiff skins on a soft core.

    References
    ----------
    .. [1] Definition; see `shear_stiffness`.

    Examples
    --------
    >>> float(shear_factor(10e3 * np.eye(3)[None], [6.0], [1200.0], axis="y").round(6))
    0.833333
    """
    total = (positive("g_xz", g_xz, "MPa") * np.asarray(thickness_mm, dtype=float)).sum(axis=-1)
    return shear_stiffness(qbar, thickness_mm, g_xz, axis=axis, strip=strip) / total


def shear_stress_profile(qbar, thickness_mm, shear_force, *, axis, strip="wide"):
    """Shear stress at every interface and its largest value in every layer.

    Parameters
    ----------
    qbar : array_like, shape (..., plies, 3, 3)
        Layer stiffness in laminate axes [MPa].
    thickness_mm : array_like, shape (..., plies)
        Layer thickness [mm].
    shear_force : array_like, shape (...)
        Shear force per width [N/mm].
    axis : {"x", "y"}
        Direction in which the wall bends [-].
    strip : {"wide", "narrow"}
        Whether the wall is held flat across, see `shear_stiffness` [-].

    Returns
    -------
    ShearProfile
        Stresses, heights and first moments [MPa, mm, N].

    Raises
    ------
    InputError
        If an input is not finite or a thickness is not positive.

    Notes
    -----
    ``tau = V S / EI`` with S the sum of E t z beyond the interface.  Inside a
    layer the stress is a parabola; its peak lies at the neutral axis if the
    layer holds it, else at one of the layer's faces.

    References
    ----------
    .. [1] ISO 12215-5, Table H.1 (interlaminar first moments), as quoted in public copies.

    Examples
    --------
    >>> profile = shear_stress_profile(10e3 * np.eye(3)[None].repeat(2, axis=0), [2.0, 2.0], 8.0, axis="x")
    >>> profile.interface_mpa.round(6).tolist()
    [0.0, 3.0, 0.0]
    """
    q0, q1, curvature = _stress_gradient(qbar, thickness_mm, axis, strip)
    force = number("shear_force", shear_force, "N/mm")[..., None]
    z = ply_interfaces(thickness_mm)
    start, end = z[..., :-1], z[..., 1:]
    flow = _interface_flow(q0, q1, z)
    peak = np.clip(np.where(q1 != 0.0, -q0 / np.where(q1 != 0.0, q1, 1.0), start), start, end)
    heights = np.stack(np.broadcast_arrays(peak, start, end), axis=-1)
    values = _flow_in_ply(q0[..., None], q1[..., None], start[..., None], flow[..., :-1, None], heights)
    best = np.abs(values).argmax(axis=-1)[..., None]
    ply_max = np.take_along_axis(values, best, axis=-1)[..., 0]
    where = np.take_along_axis(heights, best, axis=-1)[..., 0]
    return ShearProfile(z, flow * force, ply_max * force, where, flow / curvature[..., None])


def shear_stress_at(qbar, thickness_mm, shear_force, z_mm, *, axis, strip="wide"):
    """Shear stress of a layered wall at chosen heights.

    Parameters
    ----------
    qbar : array_like, shape (..., plies, 3, 3)
        Layer stiffness in laminate axes [MPa].
    thickness_mm : array_like, shape (..., plies)
        Layer thickness [mm].
    shear_force : array_like, shape (...)
        Shear force per width [N/mm].
    z_mm : array_like, shape (heights,)
        Heights about mid-thickness [mm].
    axis : {"x", "y"}
        Direction in which the wall bends [-].
    strip : {"wide", "narrow"}
        Whether the wall is held flat across, see `shear_stiffness` [-].

    Returns
    -------
    ndarray, shape (..., heights)
        Shear stress [MPa].

    Raises
    ------
    InputError
        If a height lies outside the wall.

    Notes
    -----
    See `shear_stress_profile`.

    References
    ----------
    .. [1] NAFEMS R0031 test 1 (laminated strip) is the published check.

    Examples
    --------
    >>> shear_stress_at(10e3 * np.eye(3)[None], [4.0], 8.0, [-2.0, 0.0], axis="x").round(6).tolist()
    [0.0, 3.0]
    """
    q0, q1, _ = _stress_gradient(qbar, thickness_mm, axis, strip)
    z = ply_interfaces(thickness_mm)
    heights = np.atleast_1d(number("z_mm", z_mm, "mm"))
    slack = 1e-9 * (z[..., -1:] - z[..., :1])
    if np.any(heights < z[..., :1] - slack) or np.any(heights > z[..., -1:] + slack):
        raise InputError("z_mm", "must lie inside the wall, between -h/2 and h/2 [mm]", z_mm,
                         "measure the height from mid-thickness")
    # overlap of each layer with the part of the wall below the height
    top = np.clip(heights[:, None], z[..., None, :-1], z[..., None, 1:])
    start = z[..., None, :-1]
    below = q0[..., None, :] * (top - start) + 0.5 * q1[..., None, :] * (top * top - start * start)
    return (0.0 - below.sum(axis=-1)) * number("shear_force", shear_force, "N/mm")[..., None]
