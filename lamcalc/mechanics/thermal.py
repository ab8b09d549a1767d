"""Heat and cure shrinkage: free strains, residual stresses, warp.

A laminate that cools or whose resin shrinks after gel wants to change shape ply
by ply; what the plies forbid each other stays behind as residual stress, and an
unsymmetric stack warps.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.mechanics.lamina import rotated_expansion
from lamcalc.mechanics.micromechanics import ply_constants_micromechanics


def cure_shrinkage_strain(volumetric_shrinkage, *, share_after_gel):
    """Linear strain of the resin that a laminate feels from cure shrinkage.

    Parameters
    ----------
    volumetric_shrinkage : array_like, shape (...)
        Shrinkage of the neat resin by volume over the whole cure [-].
    share_after_gel : array_like, shape (...)
        Share of it that happens after gel; what happens before flows away [-].

    Returns
    -------
    ndarray, shape (...)
        Linear free strain, negative [-].

    Raises
    ------
    InputError
        If a value is not a fraction.

    Notes
    -----
    ``eps = (1 - s f)^(1/3) - 1``.  The share after gel is rarely measured: state
    it with every result.  The gelled resin is softer and creeps while it
    shrinks, so the stresses that follow are an upper bound.

    References
    ----------
    .. [1] Cube root of the volume; the split at gel is common practice.

    Examples
    --------
    >>> float(cure_shrinkage_strain(0.07, share_after_gel=0.3).round(5))
    -0.00705
    """
    volume = fraction("volumetric_shrinkage", volumetric_shrinkage, zero=True) \
        * fraction("share_after_gel", share_after_gel, zero=True, one=True)
    return np.expm1(np.log1p(-volume) / 3.0)


def ply_shrinkage_strains(kind, volume_fraction, resin_strain, *, fibre_e1, fibre_nu12, resin_e, resin_nu):
    """Free strains of plies whose resin shrinks and whose fibre does not.

    Parameters
    ----------
    kind : str or array_like of str, shape (...)
        'ud', 'csm' (mat), 'woven' or 'cloth' [-].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction [-].
    resin_strain : array_like, shape (...)
        Linear free strain of the resin, see `cure_shrinkage_strain` [-].
    fibre_e1, resin_e : array_like, shape (...)
        Young's moduli [MPa].
    fibre_nu12, resin_nu : array_like, shape (...)
        Poisson ratios [-].

    Returns
    -------
    along : ndarray, shape (...)
        Free strain along the fibre [-].
    across : ndarray, shape (...)
        Free strain across it [-].

    Raises
    ------
    InputError
        If an input is out of range.

    Notes
    -----
    The thermal expansion formula with the shrinkage in place of expansion.

    References
    ----------
    .. [1] Schapery, Thermal expansion coefficients of composite materials, J. Compos. Mater. 2, 1968 (from memory).

    Examples
    --------
    >>> along, across = ply_shrinkage_strains("ud", 0.5, -0.007, fibre_e1=72400.0, fibre_nu12=0.22,
    ...     resin_e=3400.0, resin_nu=0.35)
    >>> bool(across < along < 0)
    True
    """
    resin_strain = number("resin strain", resin_strain)
    ply = ply_constants_micromechanics(kind, volume_fraction, fibre_e1=fibre_e1, fibre_nu12=fibre_nu12, resin_e=resin_e,
                                       resin_nu=resin_nu, fibre_alpha1=0.0, resin_alpha=resin_strain)
    return ply.alpha1, ply.alpha2


def laminate_free_strain(along, across, angle_deg):
    """Free strains of the plies in laminate axes.

    Parameters
    ----------
    along, across : array_like, shape (..., plies)
        Free strain along and across the fibre [-].
    angle_deg : array_like, shape (..., plies)
        Fibre angle from x towards y [deg].

    Returns
    -------
    ndarray, shape (..., plies, 3)
        Free strain x, y, xy, as `Laminate.response` takes it [-].

    Raises
    ------
    InputError
        If a value is not finite.

    Examples
    --------
    >>> laminate_free_strain(-1e-4, -3e-3, [0.0, 90.0]).round(6)[:, 0].tolist()
    [-0.0001, -0.003]
    """
    return rotated_expansion(along, across, angle_deg)


@dataclass(frozen=True)
class ResidualState:
    """What a free laminate keeps after cooling and shrinking.

    Parameters
    ----------
    eps0 : ndarray, shape (..., 3)
        Mid-plane strain [-].
    kappa : ndarray, shape (..., 3)
        Curvature [1/mm].
    ply_stress : ndarray, shape (..., plies, 2, 3)
        Residual stress at the low-z and high-z face of every ply, in ply axes [MPa].

    Examples
    --------
    >>> ResidualState(np.zeros(3), np.array([1e-3, 0.0, 0.0]), np.zeros((1, 2, 3))).rise_mm(400.0).tolist()
    [20.0, 0.0]
    """

    eps0: np.ndarray
    kappa: np.ndarray
    ply_stress: np.ndarray

    def rise_mm(self, length_mm):
        """Height of the arc over a straight edge of a warped strip or panel.

        Parameters
        ----------
        length_mm : array_like, shape (...)
            Length of the straight edge [mm].

        Returns
        -------
        ndarray, shape (..., 2)
            Rise along x and along y; positive when the high-z face is hollow side down [mm].

        Raises
        ------
        InputError
            If the length is not positive.

        Notes
        -----
        ``rise = kappa L^2/8``, for rises far below the length.  A wide panel
        snaps to one of two cylinders instead of the saddle that linear theory
        gives.

        References
        ----------
        .. [1] Circle with small rise; snap-through of unsymmetric laminates is common knowledge.

        Examples
        --------
        >>> state = ResidualState(np.zeros(3), np.array([0.0, 8e-6, 0.0]), np.zeros((1, 2, 3)))
        >>> state.rise_mm(1000.0).tolist()
        [0.0, 1.0]
        """
        length = positive("length_mm", length_mm, "mm")
        return self.kappa[..., :2] * length[..., None] ** 2 / 8.0


def residual_state(laminate, *, delta_t=0.0, free_strain=None):
    """Shape and residual stresses of a free laminate after a temperature change and shrinkage.

    Parameters
    ----------
    laminate : Laminate
        The stack or stacks, with their expansion [-].
    delta_t : array_like, shape (...)
        Service temperature minus stress-free temperature: negative after a hot cure [K].
    free_strain : array_like, shape (..., plies, 3), optional
        Further free strains in laminate axes, see `laminate_free_strain` [-].

    Returns
    -------
    ResidualState
        Strain, curvature and ply stresses [-, 1/mm, MPa].

    Raises
    ------
    InputError
        If an input is not finite.

    Notes
    -----
    Linear elastic, no creep: an upper bound on stress.  Residual stresses add to
    those from loads before a strength check.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, sec. 4.6 (from memory).

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> cross = Laminate.from_plies(38.6e3, 8.27e3, 0.26, 4.14e3, [0, 90], [1.0, 1.0], alpha1=8.6e-6, alpha2=22.1e-6)
    >>> state = residual_state(cross, delta_t=-60.0)
    >>> bool(state.kappa[0] * state.kappa[1] < 0)
    True
    """
    response = laminate.response(delta_t=delta_t, free_strain=free_strain)
    stress = laminate.ply_stresses(response, delta_t=delta_t, axes="ply", free_strain=free_strain)
    return ResidualState(response.eps0, response.kappa, stress)


def two_layer_curvature(*, e_1, t_1_mm, free_1, e_2, t_2_mm, free_2):
    """Curvature of a narrow strip of two bonded layers with different free strains.

    Parameters
    ----------
    e_1, e_2 : array_like, shape (...)
        Moduli of the layer at low z and of the layer at high z [MPa].
    t_1_mm, t_2_mm : array_like, shape (...)
        Thickness of the layers [mm].
    free_1, free_2 : array_like, shape (...)
        Free strain of the layers, expansion times temperature change or shrinkage [-].

    Returns
    -------
    ndarray, shape (...)
        Curvature, positive when the high-z layer wants to be longer [1/mm].

    Raises
    ------
    InputError
        If a modulus or thickness is not positive.

    Notes
    -----
    ``kappa = 6 (e2 - e1)(1 + m)^2 / (h (3 (1 + m)^2 + (1 + m n)(m^2 + 1/(m n))))`` with
    m = t1/t2, n = E1/E2, h = t1 + t2.  Stress across the strip is zero.

    References
    ----------
    .. [1] Timoshenko, Analysis of bi-metal thermostats, J. Opt. Soc. Am. 11, 1925, eq. 4 (from memory).

    Examples
    --------
    >>> float(two_layer_curvature(e_1=1e3, t_1_mm=1.0, free_1=0.0, e_2=1e3, t_2_mm=1.0, free_2=1e-3))
    0.00075
    """
    e1, e2 = positive("e_1", e_1, "MPa"), positive("e_2", e_2, "MPa")
    t1, t2 = positive("t_1_mm", t_1_mm, "mm"), positive("t_2_mm", t_2_mm, "mm")
    m, n = t1 / t2, e1 / e2
    mismatch = number("free_2", free_2) - number("free_1", free_1)
    square = (1.0 + m) ** 2
    return 6.0 * mismatch * square / ((t1 + t2) * (3.0 * square + (1.0 + m * n) * (m * m + 1.0 / (m * n))))


def curvature_from_rise(rise_mm, length_mm):
    """Curvature of a warped strip measured with a straight edge.

    Parameters
    ----------
    rise_mm : array_like, shape (...)
        Gap at the middle of the straight edge [mm].
    length_mm : array_like, shape (...)
        Length of the straight edge [mm].

    Returns
    -------
    ndarray, shape (...)
        Curvature of the circle through the three points [1/mm].

    Raises
    ------
    InputError
        If the length is not positive or the rise exceeds half of it.

    Notes
    -----
    ``kappa = 8 r/(L^2 + 4 r^2)``, exact for a circle.

    References
    ----------
    .. [1] Circle geometry.

    Examples
    --------
    >>> float(curvature_from_rise(20.0, 400.0).round(6))
    0.00099
    """
    rise, length = number("rise_mm", rise_mm, "mm"), positive("length_mm", length_mm, "mm")
    if np.any(np.abs(rise) > 0.5 * length):
        raise InputError("rise_mm", "must be at most half the straight edge [mm]", rise_mm,
                         "use a shorter straight edge")
    return 8.0 * rise / (length**2 + 4.0 * rise**2)
