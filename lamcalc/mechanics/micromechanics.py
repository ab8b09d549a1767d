"""Elastic constants of a ply from a named property model, and the formulas behind them.

Model (a), micromechanics, works from fibre and resin; model (b), the small-craft
regressions, from the glass fraction by weight alone.  For mat and hand-laid woven
roving raw micromechanics runs above listed values, so show both side by side.
The formulas live in `mixture_rules`, the rule-book lines in `regressions`.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.mechanics.lamina import reduced_stiffness, stiffness_invariants
from lamcalc.mechanics.mixture_rules import (  # one door to the formulas
    MAT_EFFICIENCY,
    chamis,
    fibre_load_share,
    halpin_tsai,
    hewitt_malherbe_xi,
    krenchel,
    mat_modulus,
    poisson,
    random_mat_constants,
    rule_of_mixtures,
    schapery_expansion,
    series_bound,
    shear_modulus,
)
from lamcalc.mechanics.regressions import CLASS_SOCIETY, OLDER_RULE, PRESSURE_VESSEL, SMALL_CRAFT

__all__ = [
    "CLASS_SOCIETY", "CRIMP_FACTOR", "KINDS", "MAT_EFFICIENCY", "OLDER_RULE", "PRESSURE_VESSEL", "PlyConstants",
    "SMALL_CRAFT", "chamis", "fibre_load_share", "halpin_tsai", "hewitt_malherbe_xi", "krenchel", "mat_modulus",
    "ply_constants_micromechanics", "ply_constants_small_craft", "poisson", "random_mat_constants",
    "rule_of_mixtures", "schapery_expansion", "series_bound", "shear_modulus", "woven_constants",
]

KINDS = ("ud", "csm", "woven", "cloth")
CRIMP_FACTOR = 0.90
"""Moduli of a woven ply over those of straight fibre; 0.85 to 0.95 is consistent with listed values, not proven."""
HIGHEST_VOLUME_FRACTION = 0.80
SMALL_CRAFT_NU12 = {"ud": 0.30, "csm": 0.30, "woven": 0.15, "cloth": 0.15}


@dataclass(frozen=True, eq=False)
class PlyConstants:
    """Elastic constants of plies in their own axes.

    Parameters
    ----------
    e1, e2 : ndarray, shape (...)
        Young's moduli along and across the fibre (warp and weft) [MPa].
    nu12 : ndarray, shape (...)
        Major Poisson ratio [-].
    g12 : ndarray, shape (...)
        In-plane shear modulus [MPa].
    alpha1, alpha2 : ndarray, shape (...), or None
        Expansion along and across the fibre, None if no expansion was given [1/K].
    model : str
        Property model in words, to be printed with every result [-].
    status : str
        How far the model is verified [-].

    Examples
    --------
    >>> float(ply_constants_small_craft("csm", 0.30).e1.round(6))
    6400.0
    """

    e1: np.ndarray
    e2: np.ndarray
    nu12: np.ndarray
    g12: np.ndarray
    alpha1: np.ndarray | None = None
    alpha2: np.ndarray | None = None
    model: str = ""
    status: str = ""


def _kinds(kind):
    kinds = np.asarray(kind, dtype=str)
    if not np.isin(kinds, KINDS).all():
        raise InputError("kind of reinforcement", f"must be one of {', '.join(KINDS)} [-]", kind,
                         "mat is 'csm', woven roving 'woven', a stitched layer 'ud'")
    return kinds


def _interpolated(model, xi, fibre, resin, vf, name):
    if model == "halpin-tsai":
        return halpin_tsai(fibre, resin, vf, xi)
    if model == "series":
        return series_bound(fibre, resin, vf)
    if model == "chamis":
        return chamis(fibre, resin, vf)
    if model == "hewitt-malherbe" and name == "shear model":
        return halpin_tsai(fibre, resin, vf, hewitt_malherbe_xi(vf))
    more = ", hewitt-malherbe" if name == "shear model" else ""
    raise InputError(name, f"must be halpin-tsai, series, chamis{more} [-]", model, "choose one of them")


def woven_constants(e1, e2, nu12, g12, *, crimp_factor=CRIMP_FACTOR, warp_share=0.5):
    """Woven ply as one orthotropic layer: the average of its 0 and 90 degree fibre, less the crimp.

    Parameters
    ----------
    e1, e2 : array_like, shape (...)
        Moduli of the aligned ply of the same fibre fraction [MPa].
    nu12 : array_like, shape (...)
        Major Poisson ratio of the aligned ply [-].
    g12 : array_like, shape (...)
        In-plane shear modulus of the aligned ply [MPa].
    crimp_factor : array_like, shape (...)
        Factor on both moduli for the waviness of the fibre, above 0 to 1 [-].
    warp_share : array_like, shape (...)
        Part of the fibre along the warp, 0 to 1 [-].

    Returns
    -------
    e1, e2, nu12, g12 : ndarray, shape (...)
        Constants along warp and weft [MPa, MPa, -, MPa].

    Raises
    ------
    InputError
        If a constant or a fraction is out of range.

    Notes
    -----
    ``Q11 = w Q11' + (1 - w) Q22'``, ``Q22`` the other way round, Q12 and Q66 unchanged; then
    ``E1 = c (Q11 - Q12^2/Q22)``, ``nu12 = Q12/Q22``, ``G12 = Q66``.  One layer, so it brings no false
    bending-stretching coupling.  Crimp is taken off the moduli only.

    References
    ----------
    .. [1] Mosaic model, Ishikawa and Chou, J. Mater. Sci. 17 (1982) 3211 (from memory); factor 0.90 common
       practice: the BS 4994 woven roving gives 0.87.

    Examples
    --------
    >>> e1, e2, nu12, g12 = woven_constants(24e3, 7.9e3, 0.31, 2.6e3)
    >>> round(float(e1)), round(float(nu12), 3)
    (14474, 0.154)
    """
    q = reduced_stiffness(e1, e2, nu12, g12)
    crimp = fraction("crimp factor", crimp_factor, one=True)
    share = fraction("warp share", warp_share, zero=True, one=True)
    q11 = share * q[..., 0, 0] + (1 - share) * q[..., 1, 1]
    q22 = share * q[..., 1, 1] + (1 - share) * q[..., 0, 0]
    q12 = q[..., 0, 1]
    return crimp * (q11 - q12**2 / q22), crimp * (q22 - q12**2 / q11), q12 / q22, q[..., 2, 2] * np.ones_like(q11)


def _mat_constants(vf, ud, fibre_e1, resin_e, model, efficiency):
    """E, nu and G of random mat."""
    if model == "krenchel":
        e = mat_modulus(fibre_e1, resin_e, vf, efficiency)
        # averaging over all directions keeps the invariants; an isotropic sheet with their ratio has this nu
        invariants = stiffness_invariants(reduced_stiffness(*ud))
        ratio = invariants[..., 1] / invariants[..., 0]
        nu = (1 - 4 * ratio) / (3 + 4 * ratio)
        return e, nu, shear_modulus(e, nu)
    if model == "tsai-pagano":
        e, g = random_mat_constants(ud[0], ud[1])
        return e, e / (2 * g) - 1, g
    raise InputError("mat model", "must be krenchel or tsai-pagano [-]", model, "choose one of them")


def _expansion(vf, ud, kinds, inputs):
    """Expansion of aligned plies; that of mat and weave is the same both ways."""
    given = [inputs[name] is not None for name in ("fibre_alpha1", "fibre_alpha2", "resin_alpha")]
    if not any(given):
        return None, None
    if not given[0] or not given[2]:
        raise InputError("expansion", "must be given for both fibre and resin [1/K]", None, "give all or none of them")
    if not given[1]:
        inputs["fibre_alpha2"] = inputs["fibre_alpha1"]
    along, across = schapery_expansion(vf, **inputs)
    q = reduced_stiffness(*ud)
    q11, q12, q22 = q[..., 0, 0], q[..., 0, 1], q[..., 1, 1]
    both = ((q11 + q12) * along + (q12 + q22) * across) / (q11 + 2 * q12 + q22)
    return np.where(kinds == "ud", along, both), np.where(kinds == "ud", across, both)


def ply_constants_micromechanics(kind, volume_fraction, *, fibre_e1, fibre_nu12, resin_e, resin_nu, fibre_e2=None,
                                 fibre_g12=None, fibre_alpha1=None, fibre_alpha2=None, resin_alpha=None,
                                 transverse_model="halpin-tsai", shear_model="halpin-tsai", xi_e2=2.0, xi_g12=1.0,
                                 mat_model="krenchel", mat_efficiency=MAT_EFFICIENCY, crimp_factor=CRIMP_FACTOR,
                                 warp_share=0.5):
    """Elastic constants of plies from fibre and resin.

    Parameters
    ----------
    kind : str or array_like of str, shape (...)
        'ud', 'csm' (mat), 'woven' (roving) or 'cloth' [-].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, 0 to 0.80 [-].
    fibre_e1, resin_e : array_like, shape (...)
        Young's moduli of the fibre along itself and of the resin [MPa].
    fibre_nu12, resin_nu : array_like, shape (...)
        Poisson ratios [-].
    fibre_e2, fibre_g12 : array_like, shape (...), optional
        Transverse and shear modulus of the fibre (carbon, aramid); left out, the fibre is isotropic [MPa].
    fibre_alpha1, fibre_alpha2, resin_alpha : array_like, shape (...), optional
        Expansion of the fibre along and across itself (across as along if left out), and of the resin [1/K].
    transverse_model : {'halpin-tsai', 'series', 'chamis'}
        Formula for E2 [-].
    shear_model : {'halpin-tsai', 'series', 'chamis', 'hewitt-malherbe'}
        Formula for G12 [-].
    xi_e2, xi_g12 : array_like, shape (...)
        Halpin-Tsai shape factors [-].
    mat_model : {'krenchel', 'tsai-pagano'}
        Formula for mat [-].
    mat_efficiency : array_like, shape (...)
        Factor on Krenchel's mat formula [-].
    crimp_factor : array_like, shape (...)
        Factor on the moduli of woven plies [-].
    warp_share : array_like, shape (...)
        Part of the fibre of woven plies along the warp [-].

    Returns
    -------
    PlyConstants
        Constants and, if the expansions are given, expansion coefficients [MPa, -, 1/K].

    Raises
    ------
    InputError
        If a kind or a model is not known, or a number is out of range.

    Notes
    -----
    E1 and nu12 by the rule of mixtures, E2 and G12 as chosen; mat 0.88 of Krenchel's formula; woven see
    `woven_constants`.  Listed over model, from the few laminates that could be compared: E1 of
    unidirectional glass/epoxy 0.99 to 1.04, its E2 and G12 0.81 to 1.26; tensile modulus of woven laminates 0.87
    (hand-laid, code minimum) to 1.10 (pressed or cured cloth) without any crimp factor.

    References
    ----------
    .. [1] See `rule_of_mixtures`, `halpin_tsai`, `mat_modulus`, `woven_constants`, `schapery_expansion`.

    Examples
    --------
    >>> glass = dict(fibre_e1=72400, fibre_nu12=0.22, resin_e=3400, resin_nu=0.35)
    >>> ply_constants_micromechanics(["ud", "csm", "woven"], [0.30, 0.17, 0.30], **glass).e1.round(-2)
    array([24100.,  6500., 14100.])
    """
    kinds, vf = _kinds(kind), fraction("fibre volume fraction", volume_fraction, zero=True)
    if np.any(vf > HIGHEST_VOLUME_FRACTION):
        raise InputError("fibre volume fraction", f"must not exceed {HIGHEST_VOLUME_FRACTION:.2f} [-]", vf,
                         "round fibre cannot be packed closer: was a weight fraction entered?")
    e_f, e_m = positive("fibre modulus", fibre_e1, "MPa"), positive("resin modulus", resin_e, "MPa")
    nu_f, nu_m = poisson("fibre Poisson ratio", fibre_nu12), poisson("resin Poisson ratio", resin_nu)
    across = e_f if fibre_e2 is None else positive("transverse fibre modulus", fibre_e2, "MPa")
    shear = shear_modulus(e_f, nu_f) if fibre_g12 is None else positive("fibre shear modulus", fibre_g12, "MPa")
    ud = (rule_of_mixtures(e_f, e_m, vf),
          _interpolated(transverse_model, xi_e2, across, e_m, vf, "transverse model"),
          rule_of_mixtures(nu_f, nu_m, vf),
          _interpolated(shear_model, xi_g12, shear, shear_modulus(e_m, nu_m), vf, "shear model"))
    e, nu, g = _mat_constants(vf, ud, e_f, e_m, mat_model, mat_efficiency)
    woven = woven_constants(*ud, crimp_factor=crimp_factor, warp_share=warp_share)
    constants = [np.select([kinds == "ud", kinds == "csm"], [np.asarray(u), m], w)
                 for u, m, w in zip(ud, (e, e, nu, g), woven, strict=True)]
    alphas = _expansion(vf, ud, kinds, dict(
        fibre_e1=e_f, fibre_nu12=nu_f, fibre_alpha1=fibre_alpha1, fibre_alpha2=fibre_alpha2, resin_e=e_m,
        resin_nu=nu_m, resin_alpha=resin_alpha))
    mat = f"{_brief(mat_efficiency)} x Krenchel 3/8" if mat_model == "krenchel" else "3/8 E1 + 5/8 E2"
    model = (f"micromechanics: E1, nu12 rule of mixtures; E2 {transverse_model}; G12 {shear_model}; mat {mat}; "
             f"woven 0/90 average x {_brief(crimp_factor)}")
    return PlyConstants(*constants, *alphas, model=model,
                        status="common practice; mat efficiency and crimp factor from rule values, not from tests")


def _brief(value):
    value = np.unique(number("factor", value))
    if not value.size:
        raise InputError("factor", "must hold a number [-]", "an empty list", "give one factor, or one a ply")
    return f"{value[0]:.2f}" if value.size == 1 else f"{value[0]:.2f} to {value[-1]:.2f}"


def ply_constants_small_craft(kind, weight_fraction, *, nu12=None):
    """Elastic constants of plies from the small-craft regressions in the glass fraction by weight.

    Parameters
    ----------
    kind : str or array_like of str, shape (...)
        'ud', 'csm' (mat), 'woven' (roving) or 'cloth' [-].
    weight_fraction : array_like, shape (...)
        Mass of glass over mass of laminate, 0.14 to 0.75 [-].
    nu12 : array_like, shape (...), optional
        Major Poisson ratio; 0.30 for mat and unidirectional, 0.15 for weaves if left out [-].

    Returns
    -------
    PlyConstants
        Constants, without expansion [MPa, -].

    Raises
    ------
    InputError
        If the kind is not known or the fraction is outside the range of the formulas.

    Notes
    -----
    ``E = 38000 psi - 5000`` for mat and weaves alike reproduces printed values.  ``G = 1700 psi + 2240`` and both
    unidirectional lines are from memory and unverified; the remembered line across the fibre even falls below the
    modulus of plain resin (3400 MPa) below about 55 % of glass, so it is far on the soft side, as is the mat line
    below 22 %.  A soft old laminate makes its replacement look better than it is.  E-glass only.
    The rule gives no Poisson ratio: 0.30 is what the BS 4994 data sheet lists (for woven roving too); the 0/90 average
    gives about 0.15 for weaves, which is taken here as the softer value for plates.

    References
    ----------
    .. [1] ISO 12215-5:2008, Table H.1 (E); shear and unidirectional lines from memory; see `regressions.SMALL_CRAFT`.

    Examples
    --------
    >>> ply_constants_small_craft(["csm", "woven"], [0.30, 0.48]).e1.round(1)
    array([ 6400., 13240.])
    """
    kinds = _kinds(kind)
    if nu12 is None:
        nu12 = np.select([kinds == name for name in KINDS], [SMALL_CRAFT_NU12[name] for name in KINDS])
    kinds, psi, nu = np.broadcast_arrays(kinds, number("glass weight fraction", weight_fraction), poisson("nu12", nu12))
    ud = kinds == "ud"
    e1, e2 = np.empty(psi.shape), np.empty(psi.shape)
    # each line is asked only where it applies: outside its range it refuses
    e1[ud], e2[ud] = SMALL_CRAFT["e_ud_along"](psi[ud]), SMALL_CRAFT["e_ud_across"](psi[ud])
    e1[~ud] = e2[~ud] = SMALL_CRAFT["e"](psi[~ud])
    unverified = "unidirectional and shear moduli" if ud.any() else "shear modulus"
    return PlyConstants(e1, e2, np.array(nu), SMALL_CRAFT["g"](psi), model="small-craft regressions (ISO 12215-5:2008)",
                        status=f"E of mat and weaves reproduces printed values; {unverified} from memory (unverified)")
