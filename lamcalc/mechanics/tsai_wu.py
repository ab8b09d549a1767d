"""Coefficients of the Tsai-Wu criterion in ply stress and in laminate strain."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, angle, number
from lamcalc.mechanics.lamina import rotated_terms, turn_terms

DEFAULT_INTERACTION = -0.5


@dataclass(frozen=True)
class TsaiWuTerms:
    """Coefficients of the Tsai-Wu criterion.

    Parameters
    ----------
    f1, f2 : ndarray, shape (...)
        Linear coefficients [1/MPa].
    f11, f22, f66, f12 : ndarray, shape (...)
        Quadratic coefficients; f12 is counted twice in the criterion [1/MPa2].

    Examples
    --------
    >>> TsaiWuTerms(0.0, 0.0, 1.0, 1.0, 1.0, -0.5).f12
    -0.5
    """

    f1: np.ndarray
    f2: np.ndarray
    f11: np.ndarray
    f22: np.ndarray
    f66: np.ndarray
    f12: np.ndarray

    @property
    def form(self):
        """The criterion as nine numbers in ply-axis stress, see `quadratic_form`."""
        return self.f1, self.f2, 0.0, self.f11, self.f22, self.f66, 2 * self.f12, 0.0, 0.0


def tsai_wu_terms(strengths, *, interaction=DEFAULT_INTERACTION):
    """Coefficients of the Tsai-Wu criterion from strengths.

    Parameters
    ----------
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    interaction : float
        Normalised interaction F12*, between -1 and 1 [-].

    Returns
    -------
    TsaiWuTerms
        The six coefficients [1/MPa, 1/MPa2].

    Raises
    ------
    InputError
        If the interaction is not between -1 and 1, where the surface would be open.

    Notes
    -----
    ``F1 = 1/Xt - 1/Xc``, ``F11 = 1/(Xt Xc)``, the same for 2, ``F66 = 1/S^2``,
    ``F12 = F12* sqrt(F11 F22)``.  F12* = -0.5 unless biaxial tests say otherwise.

    References
    ----------
    .. [1] Kaw, Mechanics of Composite Materials, 2nd ed., 2006, ch. 2 (from memory).

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> float(tsai_wu_terms(PlyStrengths(1500, 1500, 40, 246, 68)).f2.round(6))
    0.020935
    """
    star = number("interaction F12*", interaction)
    if not (np.abs(star) < 1).all():
        raise InputError("interaction F12*", "must lie between -1 and 1 [-]", interaction, "use -0.5, the usual value")
    p = strengths
    f11, f22 = 1 / (p.xt * p.xc), 1 / (p.yt * p.yc)
    return TsaiWuTerms(1 / p.xt - 1 / p.xc, 1 / p.yt - 1 / p.yc, f11, f22, 1 / p.s**2, star * np.sqrt(f11 * f22))


def strain_form(q, terms, turn, out=None):
    """Tsai-Wu criterion of plies in laminate-axis strain, the formula behind `tsai_wu_strain_coefficients`.

    Parameters
    ----------
    q : tuple of four ndarray, shape (...)
        Ply stiffness Q11, Q12, Q22, Q66 in ply axes [MPa].
    terms : TsaiWuTerms, shape (...)
        Coefficients of the criterion [1/MPa, 1/MPa2].
    turn : tuple of five ndarray, shape (...)
        From `lamina.turn_terms` [-].
    out : ndarray, shape (9, ...), optional
        Where to put the result [-].

    Returns
    -------
    ndarray, shape (9, ...)
        The surface ``g . e + e' G e = 1``, ordered as in `quadratic_form` [-].

    Notes
    -----
    In ply axes ``g = Q F`` and ``G = Q F Q``; then g turns like a stress back to laminate axes and G like a stiffness.

    Examples
    --------
    >>> isotropic = TsaiWuTerms(0.5, 0.5, 1.0, 1.0, 3.0, -0.5)
    >>> strain_form((1.0, 0.0, 1.0, 2.0), isotropic, turn_terms(0.0)).tolist()
    [0.5, 0.5, 0.0, 1.0, 1.0, 12.0, -1.0, 0.0, 0.0]
    """
    (q11, q12, q22, q66), f, (c2, s2, cs) = q, terms, turn[:3]
    if out is None:
        out = np.empty((9,) + np.broadcast_shapes(*(np.shape(x) for x in (*q, f.f11, f.f66, c2))))
    g1, g2 = q11 * f.f1 + q12 * f.f2, q12 * f.f1 + q22 * f.f2
    out[0], out[1], out[2] = c2 * g1 + s2 * g2, s2 * g1 + c2 * g2, cs * (g1 - g2)
    # rows of Q F
    one, two = (q11 * f.f11 + q12 * f.f12, q11 * f.f12 + q12 * f.f22), (q12 * f.f11 + q22 * f.f12,
                                                                      q12 * f.f12 + q22 * f.f22)
    full = rotated_terms(one[0] * q11 + one[1] * q12, one[0] * q12 + one[1] * q22, two[0] * q12 + two[1] * q22,
                         f.f66 * q66 * q66, turn)
    out[3], out[4], out[5] = full[0], full[3], full[5]
    out[6], out[7], out[8] = 2.0 * full[1], 2.0 * full[2], 2.0 * full[4]
    return out


def tsai_wu_strain_coefficients(q, strengths, angle_deg, *, interaction=DEFAULT_INTERACTION):
    """Tsai-Wu criterion of plies as nine numbers in laminate-axis strain.

    Parameters
    ----------
    q : array_like, shape (..., 3, 3)
        Ply stiffness in ply axes [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    angle_deg : array_like, shape (...)
        Fibre angle from x towards y [deg].
    interaction : float
        Normalised interaction F12* [-].

    Returns
    -------
    ndarray, shape (..., 9)
        The surface ``g . e + e' G e = 1``, ordered as in `quadratic_form` [-].

    Raises
    ------
    InputError
        If an angle looks like radians or the interaction is out of range.

    Notes
    -----
    Stress is ``s = Q R e`` with R the strain transform, so ``g = (Q R)' F`` and
    ``G = (Q R)' F (Q R)``, see `strain_form`: neither rotation nor stress is left for run time.

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> q, glass = reduced_stiffness(38600.0, 8270.0, 0.26, 4140.0), PlyStrengths(1062, 610, 31, 118, 72)
    >>> form = tsai_wu_strain_coefficients(q, glass, 0.0)
    >>> float((form[5] / (4140.0 / 72) ** 2).round(12))
    1.0
    """
    q = np.asarray(q, dtype=float)
    form = strain_form((q[..., 0, 0], q[..., 0, 1], q[..., 1, 1], q[..., 2, 2]),
                       tsai_wu_terms(strengths, interaction=interaction), turn_terms(angle("angle_deg", angle_deg)))
    return np.ascontiguousarray(np.moveaxis(form, 0, -1))
