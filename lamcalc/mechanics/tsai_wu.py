"""Coefficients of the Tsai-Wu criterion in ply stress and in laminate strain."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number
from lamcalc.mechanics.lamina import strain_transform

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
    ``G = (Q R)' F (Q R)``: neither rotation nor stress is left for run time.

    Examples
    --------
    >>> from lamcalc.mechanics.lamina import reduced_stiffness
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> q, glass = reduced_stiffness(38600.0, 8270.0, 0.26, 4140.0), PlyStrengths(1062, 610, 31, 118, 72)
    >>> form = tsai_wu_strain_coefficients(q, glass, 0.0)
    >>> float((form[5] / (4140.0 / 72) ** 2).round(12))
    1.0
    """
    f = tsai_wu_terms(strengths, interaction=interaction)
    to_stress = np.asarray(q, dtype=float) @ strain_transform(angle_deg)
    zero = np.zeros(np.broadcast_shapes(strengths.shape, np.shape(f.f12)))
    vector = np.stack([f.f1 + zero, f.f2 + zero, zero], axis=-1)
    matrix = np.stack([np.stack([f.f11 + zero, f.f12 + zero, zero], axis=-1),
                       np.stack([f.f12 + zero, f.f22 + zero, zero], axis=-1),
                       np.stack([zero, zero, f.f66 + zero], axis=-1)], axis=-2)
    g = np.einsum("...ji,...j->...i", to_stress, vector)
    full = np.swapaxes(to_stress, -1, -2) @ matrix @ to_stress
    squares = full[..., (0, 1, 2), (0, 1, 2)]
    mixed = 2 * full[..., (0, 0, 1), (1, 2, 2)]
    return np.concatenate(np.broadcast_arrays(g, squares, mixed), axis=-1)
