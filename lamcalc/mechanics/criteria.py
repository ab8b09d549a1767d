"""Failure criteria of a ply in plane stress, as strength ratio on the load and as failure index.

Every criterion is a handful of failure surfaces in ply-axis stress (see
`quadratic_form`), some of them valid only for one sign of a stress; the
strength ratio is the first load factor that reaches one of them.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lamcalc.errors import InputError, number
from lamcalc.mechanics.quadratic_form import linear_part, mixed_part, quadratic_part, quadratic_strength_ratio
from lamcalc.mechanics.tsai_wu import DEFAULT_INTERACTION, tsai_wu_terms

MODES = ("fibre tension", "fibre compression", "transverse tension", "transverse compression", "shear")
NO_MODE = "none"
CRITERIA = ("max_stress", "max_strain", "tsai_hill", "tsai_wu", "hashin")
# load factors beyond this are no failure; their square must still fit into a float
_NEVER = 1e100


class _Surface(NamedTuple):
    """A failure surface; signs (+1, -1, 0 = any) of s11 and s22 say where it is valid; mode None = largest term."""

    form: tuple
    signs: tuple = (0, 0)
    mode: int | None = None


def _max_stress_surfaces(p, options):
    return [_Surface((1 / p.xt, 0, 0, 0, 0, 0, 0, 0, 0), mode=0), _Surface((-1 / p.xc, 0, 0, 0, 0, 0, 0, 0, 0), mode=1),
            _Surface((0, 1 / p.yt, 0, 0, 0, 0, 0, 0, 0), mode=2), _Surface((0, -1 / p.yc, 0, 0, 0, 0, 0, 0, 0), mode=3),
            _Surface((0, 0, 1 / p.s, 0, 0, 0, 0, 0, 0), mode=4), _Surface((0, 0, -1 / p.s, 0, 0, 0, 0, 0, 0), mode=4)]


def _max_strain_surfaces(p, options):
    # strain over limit strain = (s11 - nu12 s22)/X, since the limit strain is X/e1
    n12, n21 = options["nu12"], options["nu21"]
    if n12 is None or n21 is None:
        raise InputError("nu12 and nu21", "must be given for the maximum strain criterion [-]", (n12, n21),
                         "enter nu12, and nu21 = nu12 e2/e1")
    n12, n21 = number("nu12", n12), number("nu21", n21)
    along = [_Surface((k / x, -k * n12 / x, 0, 0, 0, 0, 0, 0, 0), mode=m) for k, x, m in ((1, p.xt, 0), (-1, p.xc, 1))]
    across = [_Surface((-k * n21 / y, k / y, 0, 0, 0, 0, 0, 0, 0), mode=m) for k, y, m in ((1, p.yt, 2), (-1, p.yc, 3))]
    return along + across + _max_stress_surfaces(p, options)[4:]


def _tsai_hill_surfaces(p, options):
    strongest, weakest = np.maximum(p.yt, p.yc), np.minimum(p.xt, p.xc)
    # beyond twice, the expression turns negative for some stresses and stops being a criterion
    bad = np.isfinite(strongest) & (strongest > 2 * weakest)
    if bad.any():
        raise InputError("strength across the fibre", "must be at most twice the strength along it for Tsai-Hill [MPa]",
                         float(np.broadcast_to(strongest, bad.shape)[bad].flat[0]),
                         "check which strength is which, or use another criterion")
    surfaces = []
    for sign_1, x in ((1, p.xt), (-1, p.xc)):
        for sign_2, y in ((1, p.yt), (-1, p.yc)):
            cross = np.where(np.isfinite(y), -1 / x**2, 0.0)
            surfaces.append(_Surface((0, 0, 0, 1 / x**2, 1 / y**2, 1 / p.s**2, cross, 0, 0), (sign_1, sign_2)))
    return surfaces


def _tsai_wu_surfaces(p, options):
    return [_Surface(tsai_wu_terms(p, interaction=options["interaction"]).form)]


def _hashin_surfaces(p, options):
    """Matrix tension, matrix compression, fibre tension, fibre compression."""
    shear = 1 / p.s**2
    checked = np.isfinite(p.yc)
    yc = np.where(checked, p.yc, 1.0)
    plane = np.where(checked, 0.25 / p.s_transverse**2, 0.0)
    linear = np.where(checked, yc * plane - 1 / yc, 0.0)
    return [_Surface((0, 0, 0, 0, 1 / p.yt**2, shear, 0, 0, 0), (0, 1)),
            _Surface((0, linear, 0, 0, plane, shear, 0, 0, 0), (0, -1)),
            _Surface((0, 0, 0, 1 / p.xt**2, 0, shear, 0, 0, 0), (1, 0)),
            _Surface((0, 0, 0, 1 / p.xc**2, 0, 0, 0, 0, 0), (-1, 0))]


_SURFACES = {"max_stress": _max_stress_surfaces, "max_strain": _max_strain_surfaces, "tsai_hill": _tsai_hill_surfaces,
             "tsai_wu": _tsai_wu_surfaces, "hashin": _hashin_surfaces}


def check_criterion(criterion):
    """Return the name of a criterion after checking it.

    Parameters
    ----------
    criterion : str
        One of `CRITERIA` [-].

    Returns
    -------
    str
        The same name [-].

    Raises
    ------
    InputError
        If there is no such criterion.

    Examples
    --------
    >>> check_criterion("hashin")
    'hashin'
    """
    if criterion not in CRITERIA:
        raise InputError("criterion", f"must be one of {', '.join(CRITERIA)} [-]", criterion,
                         "choose one of these names")
    return criterion


def _active(surface, s):
    signs = [k * s[i] >= 0 for i, k in enumerate(surface.signs) if k]
    return np.all(signs, axis=0) if signs else True


def _interval(surface, load, steady):
    """Load factors, from low to high, between which a surface's signs hold; empty if low > high."""
    low, high = 0.0, np.inf
    for sign, grow, start in zip(surface.signs, load, steady):
        if sign:
            grow, start = sign * grow, sign * start
            with np.errstate(over="ignore"):
                change = -start / np.where(grow != 0, grow, 1.0)
            low = np.maximum(low, np.where(grow > 0, change, np.where((grow == 0) & (start < 0), np.inf, 0.0)))
            high = np.minimum(high, np.where(grow < 0, change, np.inf))
    return low, high


def _surface_ratio(surface, load, steady):
    """First load factor at which a surface is reached while its signs hold."""
    form = surface.form
    linear, quadratic = linear_part(form, load), quadratic_part(form, load)
    if steady is None:
        return np.where(_active(surface, load), quadratic_strength_ratio(linear, quadratic), np.inf)
    low, high = _interval(surface, load, steady)
    reachable = low < _NEVER
    begin = np.where(reachable, low, 0.0)
    constant = linear_part(form, steady) + quadratic_part(form, steady)
    slope = linear + mixed_part(form, steady, load)
    constant, slope = constant + begin * (slope + begin * quadratic), slope + 2 * begin * quadratic
    ratio = begin + quadratic_strength_ratio(slope, quadratic, constant)
    return np.where((low <= high) & reachable & (ratio <= high), ratio, np.inf)


def leading_mode(form, stress):
    """Mode of the stress component with the largest own term in a failure expression.

    Parameters
    ----------
    form : sequence of nine arrays, shape (...)
        Failure surface in ply-axis stress, see `quadratic_form` [1/MPa and 1/MPa2].
    stress : sequence of three arrays, shape (...)
        Components 11, 22, 12 at failure [MPa].

    Returns
    -------
    ndarray of int, shape (...)
        Place of the mode in `MODES` [-].

    Examples
    --------
    >>> MODES[leading_mode((0, 0, 0, 1e-6, 1e-4, 1e-4, 0, 0, 0), (500.0, -90.0, 10.0))]
    'transverse compression'
    """
    s = stress
    terms = np.stack(np.broadcast_arrays(form[0] * s[0] + form[3] * s[0] ** 2, form[1] * s[1] + form[4] * s[1] ** 2,
                                         form[5] * s[2] ** 2))
    return np.choose(terms.argmax(axis=0), [np.where(s[0] < 0, 1, 0), np.where(s[1] < 0, 3, 2), 4])


def mode_names(code):
    """Names of failure modes from their numbers.

    Parameters
    ----------
    code : array_like of int, shape (...)
        Place in `MODES`, -1 for no failure [-].

    Returns
    -------
    ndarray of str, shape (...)
        Names [-].

    Examples
    --------
    >>> mode_names([0, -1]).tolist()
    ['fibre tension', 'none']
    """
    return np.array(MODES + (NO_MODE,))[code]


@dataclass(frozen=True)
class PlyAssessment:
    """Outcome of a criterion at points of plies.

    Parameters
    ----------
    ratio : ndarray, shape (...)
        Strength ratio: the load times this just fails; infinite if no load does [-].
    index : ndarray, shape (...)
        Failure index at the present load, 1 or more is failure [-].
    mode_code : ndarray of int, shape (...)
        Place of the mode in `MODES`, -1 if nothing fails [-].

    Examples
    --------
    >>> PlyAssessment(np.array(2.0), np.array(0.25), np.array(4)).mode.item()
    'shear'
    """

    ratio: np.ndarray
    index: np.ndarray
    mode_code: np.ndarray

    @property
    def mode(self):
        """Names of the modes, shape (...)."""
        return mode_names(self.mode_code)


def _components(name, stress):
    array = number(name, stress, "MPa")
    if array.ndim == 0 or array.shape[-1] != 3:
        raise InputError(name, "must have three components 11, 22, 12 last [MPa]", array.shape, "check the array")
    return tuple(np.moveaxis(array, -1, 0))


def strength_ratio(stress, strengths, *, criterion="tsai_wu", interaction=DEFAULT_INTERACTION, nu12=None, nu21=None):
    """Strength ratio alone of ply stresses by a named criterion, for fields of many points.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    criterion, interaction, nu12, nu21
        As for `assess` [-].

    Returns
    -------
    ndarray, shape (...)
        The load times this just fails; infinite if no load does [-].

    Raises
    ------
    InputError
        As for `assess`.

    References
    ----------
    .. [1] As for `assess`.

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> float(strength_ratio([1000.0, 20.0, 0.0], PlyStrengths(1500, 1500, 40, 246, 68)).round(4))
    1.1941
    """
    options = {"interaction": interaction, "nu12": nu12, "nu21": nu21}
    surfaces = _SURFACES[check_criterion(criterion)](strengths, options)
    return _ratios(surfaces, _components("stress", stress), None).min(axis=0)


def _ratios(surfaces, load, steady):
    """First load factor of every surface, surfaces in front."""
    return np.stack(np.broadcast_arrays(*[_surface_ratio(surface, load, steady) for surface in surfaces]))


def assess(stress, strengths, *, criterion="tsai_wu", residual=None, interaction=DEFAULT_INTERACTION, nu12=None,
           nu21=None):
    """Strength ratio, failure index and mode of ply stresses by a named criterion.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes from the load [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].
    criterion : str
        One of "max_stress", "max_strain", "tsai_hill", "tsai_wu", "hashin" [-].
    residual : array_like, shape (..., 3), optional
        Stress that does not grow with the load, from cure or temperature [MPa].
    interaction : float
        Tsai-Wu's normalised interaction F12* [-].
    nu12, nu21 : array_like, shape (...), optional
        Poisson ratios, needed by maximum strain only; ``nu21 = nu12 e2/e1`` [-].

    Returns
    -------
    PlyAssessment
        Ratio, index and mode [-].

    Raises
    ------
    InputError
        If a stress is not finite, the criterion is unknown or a value is out of range.

    Notes
    -----
    The ratio R solves ``index(R stress + residual) = 1``; it is 0 where the
    residual stress alone fails.  The index belongs to the present load (R = 1)
    and is 1/R only for maximum stress and strain without residual stress.
    The mode is that of the surface reached first; for quadratic expressions
    it is the component with the largest own term at failure.

    References
    ----------
    .. [1] Hashin, J. Appl. Mech. 47, 1980 (plane stress form; from memory).
    .. [2] Jones, Mechanics of Composite Materials, 2nd ed., 1999, ch. 2 (from memory).

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> out = assess([1000.0, 20.0, 0.0], PlyStrengths(1500, 1500, 40, 246, 68))
    >>> float(out.ratio.round(4)), float(out.index.round(5)), out.mode.item()
    (1.1941, 0.76938, 'fibre tension')
    """
    options = {"interaction": interaction, "nu12": nu12, "nu21": nu21}
    surfaces = _SURFACES[check_criterion(criterion)](strengths, options)
    load = _components("stress", stress)
    steady = None if residual is None else _components("residual", residual)
    ratios = _ratios(surfaces, load, steady)
    which, ratio = ratios.argmin(axis=0), ratios.min(axis=0)
    reach = np.where(np.isfinite(ratio), ratio, 0.0)
    now = load if steady is None else tuple(x + r for x, r in zip(load, steady))
    failing = tuple(reach * x for x in load) if steady is None else tuple(reach * x + r for x, r in zip(load, steady))
    index, mode = np.full(ratio.shape, -np.inf), np.full(ratio.shape, -1)
    for k, surface in enumerate(surfaces):
        value = linear_part(surface.form, now) + quadratic_part(surface.form, now)
        index = np.maximum(index, np.where(_active(surface, now), value, -np.inf))
        name = leading_mode(surface.form, failing) if surface.mode is None else surface.mode
        mode = np.where((which == k) & np.isfinite(ratio), name, mode)
    return PlyAssessment(ratio, index, mode)


@dataclass(frozen=True)
class HashinIndices:
    """The four failure indices of Hashin's criteria; 0 where the sign rules one out.

    Parameters
    ----------
    matrix_tension, matrix_compression : ndarray, shape (...)
        Indices of failure between fibres [-].
    fibre_tension, fibre_compression : ndarray, shape (...)
        Indices of fibre failure [-].

    Examples
    --------
    >>> HashinIndices(0.5, 0.0, 0.2, 0.0).matrix_tension
    0.5
    """

    matrix_tension: np.ndarray
    matrix_compression: np.ndarray
    fibre_tension: np.ndarray
    fibre_compression: np.ndarray


def hashin_indices(stress, strengths):
    """Failure indices of Hashin's four criteria in plane stress.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths; `s_transverse` is used in matrix compression [MPa].

    Returns
    -------
    HashinIndices
        One index a criterion [-].

    Notes
    -----
    Fibre tension ``(s11/Xt)^2 + (s12/S)^2``; fibre compression ``(s11/Xc)^2``;
    matrix tension ``(s22/Yt)^2 + (s12/S)^2``; matrix compression
    ``(s22/2St)^2 + [(Yc/2St)^2 - 1] s22/Yc + (s12/S)^2`` with St the transverse
    shear strength.  Fibre compression is squared so that all four grow alike.

    References
    ----------
    .. [1] Hashin, J. Appl. Mech. 47, 1980, plane stress form (from memory).

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> glass = PlyStrengths(1500, 1500, 40, 246, 68)
    >>> float(hashin_indices([0.0, 20.0, 34.0], glass).matrix_tension)
    0.5
    """
    s = _components("stress", stress)
    values = [np.where(_active(surface, s), linear_part(surface.form, s) + quadratic_part(surface.form, s), 0.0)
              for surface in _hashin_surfaces(strengths, {})]
    return HashinIndices(*values)


def stress_usage(stress, strengths):
    """Share of its own strength that each stress component uses.

    Parameters
    ----------
    stress : array_like, shape (..., 3)
        Stress 11, 22, 12 in ply axes [MPa].
    strengths : PlyStrengths, shape (...)
        Ply strengths [MPa].

    Returns
    -------
    ndarray, shape (..., 3)
        Magnitude of the stress over the tensile, compressive or shear strength [-].

    Examples
    --------
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> stress_usage([-305.0, 15.5, -36.0], PlyStrengths(1062, 610, 31, 118, 72)).tolist()
    [0.5, 0.5, 0.5]
    """
    s, p = _components("stress", stress), strengths
    shares = (np.where(s[0] < 0, -s[0] / p.xc, s[0] / p.xt), np.where(s[1] < 0, -s[1] / p.yc, s[1] / p.yt),
              np.abs(s[2]) / p.s)
    return np.stack(np.broadcast_arrays(*shares), axis=-1)
