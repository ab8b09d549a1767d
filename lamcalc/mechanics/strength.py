"""Strength of plies and laminates: the front door.

The five criteria are here as strength ratios on the load.  Ply strengths are in
`ply_strengths`, defaults for them in `strength_models`, failure index and mode
in `criteria`, laminates in `failure`, `progressive` and `interlaminar`, large
batches in `strain_space`, Tsai-Wu coefficients in `tsai_wu`, design factors and margins in `margins`.
"""

from lamcalc.mechanics.criteria import (
    CRITERIA,
    MODES,
    HashinIndices,
    PlyAssessment,
    assess,
    hashin_indices,
    strength_ratio,
    stress_usage,
)
from lamcalc.mechanics.failure import FACES, FirstPlyFailure, first_ply_failure
from lamcalc.mechanics.interlaminar import InterlaminarCheck, interlaminar_check, interlaminar_margin
from lamcalc.mechanics.margins import DESIGN_FACTORS, EVALUATION_LEVELS, DesignFactor, Margin, design_factor
from lamcalc.mechanics.ply_strengths import PlyStrengths
from lamcalc.mechanics.progressive import FailureStep, KnockDowns, ProgressiveFailure, last_ply_failure
from lamcalc.mechanics.quadratic_form import inverse_strength_ratio, quadratic_strength_ratio
from lamcalc.mechanics.strain_space import first_ply_ratio
from lamcalc.mechanics.strength_models import (
    COMPRESSION_CAUTION,
    SCREENING_CAUTION,
    UNIDIRECTIONAL_CAUTION,
    resin_strain_share,
    strengths_micromechanics,
    strengths_small_craft,
)
from lamcalc.mechanics.tsai_wu import (
    DEFAULT_INTERACTION,
    TsaiWuTerms,
    tsai_wu_strain_coefficients,
    tsai_wu_terms,
)

__all__ = [
    "COMPRESSION_CAUTION", "CRITERIA", "DEFAULT_INTERACTION", "DESIGN_FACTORS", "DesignFactor", "EVALUATION_LEVELS",
    "FACES", "FailureStep", "FirstPlyFailure", "HashinIndices", "InterlaminarCheck", "KnockDowns", "MODES", "Margin",
    "PlyAssessment", "PlyStrengths", "ProgressiveFailure", "SCREENING_CAUTION", "TsaiWuTerms", "UNIDIRECTIONAL_CAUTION",
    "assess", "design_factor", "first_ply_failure", "first_ply_ratio", "hashin", "hashin_indices", "interlaminar_check",
    "interlaminar_margin", "inverse_strength_ratio", "last_ply_failure", "max_strain", "max_stress",
    "quadratic_strength_ratio", "resin_strain_share", "strength_ratio", "strengths_micromechanics", "strengths_small_craft",
    "stress_usage", "tsai_hill", "tsai_wu", "tsai_wu_strain_coefficients", "tsai_wu_terms",
]


def max_stress(stress, strengths, *, residual=None):
    """Strength ratio by maximum stress.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    residual : array_like, shape (..., 3), optional
        Stress that does not grow with the load [MPa].

    Returns
    -------
    ndarray, shape (...)
        Load factor at failure [-].

    Examples
    --------
    >>> float(max_stress([0.0, 15.5, 0.0], PlyStrengths(1062, 610, 31, 118, 72)))
    2.0
    """
    return assess(stress, strengths, criterion="max_stress", residual=residual).ratio


def max_strain(stress, strengths, *, nu12, nu21, residual=None):
    """Strength ratio by maximum strain, with limit strains equal to strength over modulus.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths; from strain tests through `PlyStrengths.from_failure_strains` [MPa].
    nu12, nu21 : array_like, shape (...)
        Poisson ratios, ``nu21 = nu12 e2/e1`` [-].
    residual : array_like, shape (..., 3), optional
        Stress that does not grow with the load [MPa].

    Returns
    -------
    ndarray, shape (...)
        Load factor at failure [-].

    Examples
    --------
    >>> glass = PlyStrengths(1062, 610, 31, 118, 72)
    >>> float(max_strain([600.0, 30.0, 0.0], glass, nu12=0.26, nu21=0.26 * 8270 / 38600).round(4))
    1.7933
    """
    return assess(stress, strengths, criterion="max_strain", residual=residual, nu12=nu12, nu21=nu21).ratio


def tsai_hill(stress, strengths, *, residual=None):
    """Strength ratio by Tsai-Hill with strengths chosen by the sign of each stress.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    residual : array_like, shape (..., 3), optional
        Stress that does not grow with the load [MPa].

    Returns
    -------
    ndarray, shape (...)
        Load factor at failure [-].

    Raises
    ------
    InputError
        If a strength across the fibre is more than twice one along it.

    Notes
    -----
    ``(s11/X)^2 - s11 s22/X^2 + (s22/Y)^2 + (s12/S)^2 = 1``, X by the sign of
    s11 (also in the product term), Y by the sign of s22.

    References
    ----------
    .. [1] Jones, Mechanics of Composite Materials, 2nd ed., 1999, sec. 2.9 (from memory).

    Examples
    --------
    >>> float(tsai_hill([0.0, 0.0, 36.0], PlyStrengths(1062, 610, 31, 118, 72)))
    2.0
    """
    return assess(stress, strengths, criterion="tsai_hill", residual=residual).ratio


def tsai_wu(stress, strengths, *, residual=None, interaction=DEFAULT_INTERACTION):
    """Strength ratio by Tsai-Wu.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    residual : array_like, shape (..., 3), optional
        Stress that does not grow with the load [MPa].
    interaction : float
        Normalised interaction F12* [-].

    Returns
    -------
    ndarray, shape (...)
        Load factor at failure; not the inverse of the index [-].

    Notes
    -----
    ``F1 s11 + F2 s22 + F11 s11^2 + F22 s22^2 + F66 s12^2 + 2 F12 s11 s22 = 1``.

    Examples
    --------
    >>> float(tsai_wu([-800.0, -100.0, 0.0], PlyStrengths(1500, 1500, 40, 246, 68)).round(4))
    3.1585
    """
    return assess(stress, strengths, criterion="tsai_wu", residual=residual, interaction=interaction).ratio


def hashin(stress, strengths, *, residual=None):
    """Strength ratio by Hashin's criteria in plane stress.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    residual : array_like, shape (..., 3), optional
        Stress that does not grow with the load [MPa].

    Returns
    -------
    ndarray, shape (...)
        Load factor at failure, the least of the four criteria [-].

    Notes
    -----
    The criteria are those of `hashin_indices`.

    Examples
    --------
    >>> float(hashin([0.0, -123.0, 0.0], PlyStrengths(1500, 1500, 40, 246, 68)).round(9))
    2.0
    """
    return assess(stress, strengths, criterion="hashin", residual=residual).ratio
