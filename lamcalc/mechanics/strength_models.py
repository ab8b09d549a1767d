"""Default strengths of plies by property model: small-craft regressions, or fibre and resin strains.

Tension and compression are kept apart.  The shop's own test values need no
model: they go straight into `PlyStrengths`.
"""

import numpy as np

from lamcalc.errors import InputError, fraction, positive
from lamcalc.mechanics.ply_strengths import PlyStrengths
from lamcalc.mechanics.regressions import SMALL_CRAFT, Regression

COMPRESSION_CAUTION = (
    "Compression strengths here are defaults. Research behind the 2019 edition of ISO 12215-5 found such defaults "
    "optimistic, most of all for vacuum-bagged laminates: use your own coupon tests where compression governs."
)
SCREENING_CAUTION = (
    "Strengths worked out from fibre and resin strains rest on assumed factors: use them to compare schedules, "
    "not to prove one. No laminate was tested for them."
)
UNIDIRECTIONAL_CAUTION = "Strengths of unidirectional plies are from memory, with low confidence (unverified)."

KINDS = ("ud", "csm", "woven", "cloth", "combined", "multiaxial")
_MEMORY, _ISO = "from memory, low confidence (unverified)", "ISO 12215-5:2008, default E-glass properties"
UNIDIRECTIONAL = {
    "xt": SMALL_CRAFT["uts_ud_along"],
    "xc": Regression("compressive strength along unidirectional fibre", (190.0, 250.0), _MEMORY, _ISO),
    "yt": SMALL_CRAFT["uts_ud_across"],
    "yc": Regression("compressive strength across unidirectional fibre", (105.0,), _MEMORY, _ISO),
    "s": Regression("in-plane shear strength of unidirectional", (50.0,), _MEMORY, _ISO),
}
"""Unidirectional defaults; unverified until somebody has the standard in hand."""


def _kinds(kind):
    kinds = np.asarray(kind, dtype=str)
    if not np.isin(kinds, KINDS).all():
        raise InputError("kind of reinforcement", f"must be one of {', '.join(KINDS)} [-]", kind,
                         "mat is 'csm', woven roving 'woven', a stitched layer 'ud'")
    return kinds


def strengths_small_craft(kind, weight_fraction):
    """Default strengths of E-glass plies from the small-craft regressions in the glass fraction by weight.

    Parameters
    ----------
    kind : str or array_like of str, shape (...)
        'ud' for one stitched layer, 'csm' (mat), 'woven' (roving), 'cloth', or a whole 'combined' mat-and-roving
        or balanced 'multiaxial' laminate taken as one layer [-].
    weight_fraction : array_like, shape (...)
        Mass of glass over mass of laminate, 0.10 to 0.75 [-].

    Returns
    -------
    PlyStrengths
        Mean ultimate values before any design factor or evaluation level [MPa].

    Raises
    ------
    InputError
        If the kind is not known or the fraction is outside the range of the formulas.

    Notes
    -----
    All but unidirectional: ``Xt = Yt = 800 psi^2 - 80 psi + 37``, ``Xc = Yc = 150 psi + 72``, ``S = 80 psi + 38``;
    these reproduce printed values.  One line serves mat and weaves alike.  Along and across unidirectional fibre
    the lines are from memory (see `UNIDIRECTIONAL`).  Compression carries `COMPRESSION_CAUTION`.

    References
    ----------
    .. [1] ISO 12215-5:2008, Table H.1, and a published 4.5 m motor-boat example (2014), Table 3: see
       `regressions.SMALL_CRAFT`.

    Examples
    --------
    >>> mat = strengths_small_craft("csm", 0.30)
    >>> float(mat.xt.round()), float(mat.xc.round()), float(mat.s.round())
    (85.0, 117.0, 62.0)
    """
    kinds, psi = np.broadcast_arrays(_kinds(kind), fraction("glass weight fraction", weight_fraction))
    ud = kinds == "ud"
    values = {}
    for name, line in (("xt", "uts"), ("xc", "ucs"), ("yt", "uts"), ("yc", "ucs"), ("s", "tau")):
        value = np.empty(psi.shape)
        # each line is asked only where it applies: outside its range it refuses
        value[ud], value[~ud] = UNIDIRECTIONAL[name](psi[ud]), SMALL_CRAFT[line](psi[~ud])
        values[name] = value
    status = "reproduces printed values"
    if ud.any():
        status = f"unidirectional: {_MEMORY}" if ud.all() else f"{status}; unidirectional: {_MEMORY}"
    cautions = (COMPRESSION_CAUTION,) + ((UNIDIRECTIONAL_CAUTION,) if ud.any() else ())
    return PlyStrengths(**values, model="small-craft regressions (ISO 12215-5:2008)", status=status, cautions=cautions)


def resin_strain_share(volume_fraction, fibre_to_resin_modulus):
    """Part of the resin's failure strain that a ply reaches across its fibres.

    Parameters
    ----------
    volume_fraction : array_like, shape (...)
        Fibre volume fraction, below 0.785 [-].
    fibre_to_resin_modulus : array_like, shape (...)
        Young's (or shear) modulus of the fibre over that of the resin, above 1 [-].

    Returns
    -------
    ndarray, shape (...)
        Strain of the ply over strain of the resin between the fibres [-].

    Raises
    ------
    InputError
        If the fibres of a square array would touch, or the fibre is softer than the resin.

    Notes
    -----
    ``1 - d/s (1 - Em/Ef)`` with ``d/s = sqrt(4 phi/pi)`` for round fibres in a square array: the stiff fibre hardly
    strains, so the resin between carries it all.

    References
    ----------
    .. [1] Kies; in Kaw, Mechanics of Composite Materials, 2nd ed., 2006, sec. 3.4 (from memory).

    Examples
    --------
    >>> float(resin_strain_share(0.30, 72.4 / 3.4).round(3))
    0.411
    """
    phi = fraction("fibre volume fraction", volume_fraction, zero=True)
    ratio = positive("fibre to resin modulus", fibre_to_resin_modulus)
    if np.any(ratio < 1):
        raise InputError("fibre to resin modulus", "must be 1 or more [-]", ratio, "check which modulus is which")
    spacing = np.sqrt(4 * phi / np.pi)
    if np.any(spacing >= 1):
        raise InputError("fibre volume fraction", "must stay below 0.785, where fibres of a square array touch [-]",
                         phi, "check whether a weight fraction was entered")
    return 1 - spacing * (1 - 1 / ratio)


def strengths_micromechanics(kind, volume_fraction, *, e1, e2, g12, fibre_strain, resin_strain,
                             fibre_to_resin_modulus=21.0, bundle_factor=0.6, compression_factor=0.6,
                             interface_factor=0.6, resin_compression_factor=2.5, resin_shear_factor=2.5,
                             mat_factor=0.7):
    """Strengths of plies from their moduli and the failure strains of fibre and resin.

    Parameters
    ----------
    kind : str or array_like of str, shape (...)
        'ud', 'csm' (mat), 'woven' (roving) or 'cloth' [-].
    volume_fraction : array_like, shape (...)
        Fibre volume fraction [-].
    e1, e2, g12 : array_like, shape (...)
        Ply moduli, from the micromechanics model [MPa].
    fibre_strain : array_like, shape (...)
        Failure strain of the fibre as the catalogue lists it, 0.032 for E-glass [-].
    resin_strain : array_like, shape (...)
        Tensile failure strain of the cured resin, 0.02 for general-purpose polyester [-].
    fibre_to_resin_modulus : array_like, shape (...)
        Young's modulus of the fibre over that of the resin, used for shear too [-].
    bundle_factor : array_like, shape (...)
        What is left of the fibre's strain in a laid-up bundle [-].
    compression_factor : array_like, shape (...)
        Compressive over tensile failure strain along the fibre [-].
    interface_factor : array_like, shape (...)
        What voids, dry spots and debonding leave of the transverse tensile strain [-].
    resin_compression_factor, resin_shear_factor : array_like, shape (...)
        Compressive and shear over tensile failure strain of the resin [-].
    mat_factor : array_like, shape (...)
        Failure strain of mat over that of a fibre bundle [-].

    Returns
    -------
    PlyStrengths
        Estimated mean ultimate values before any design factor [MPa].

    Raises
    ------
    InputError
        If a kind is not known or a number is out of range.

    Notes
    -----
    Along the fibre (and both ways of a weave) ``X = E bundle strain``; across a unidirectional ply
    ``Y = E2 k strain`` and ``S = G12 k strain`` with k from `resin_strain_share`, tension times the interface
    factor; mat takes ``mat_factor`` of the bundle strain both ways and twice its smaller strain in shear, as an
    isotropic sheet does on 45 degrees.  All factors are assumed (from memory of their order of size), the values
    along the fibre above 0.55 to 0.6 of a filament's strain are not reached by hand lay-up.

    References
    ----------
    .. [1] Strain magnification: `resin_strain_share`; factors assumed, common practice.

    Examples
    --------
    >>> ply = strengths_micromechanics("ud", 0.36, e1=28e3, e2=8e3, g12=2.9e3, fibre_strain=0.032, resin_strain=0.02)
    >>> float(ply.xt.round()), float(ply.yt.round())
    (538.0, 34.0)
    """
    kinds = _kinds(kind)
    if np.isin(kinds, ("combined", "multiaxial")).any():
        raise InputError("kind of reinforcement", "must be one ply, not a whole laminate [-]", kind,
                         "enter each ply with its own kind: ud, csm, woven or cloth")
    e1, e2, g12 = (positive(name, value, "MPa") for name, value in (("e1", e1), ("e2", e2), ("g12", g12)))
    bundle = positive("fibre failure strain", fibre_strain) * fraction("bundle factor", bundle_factor, one=True)
    resin = positive("resin failure strain", resin_strain)
    squeeze = positive("compression factor", compression_factor)
    share = resin_strain_share(volume_fraction, fibre_to_resin_modulus)
    interface = fraction("interface factor", interface_factor, one=True)
    in_matrix = g12 * share * resin * positive("resin shear factor", resin_shear_factor)
    mat = bundle * fraction("mat factor", mat_factor, one=True)
    ud, csm = kinds == "ud", kinds == "csm"
    along = np.where(csm, mat, bundle)
    across = e2 * share * resin
    return PlyStrengths(
        e1 * along, e1 * along * squeeze, np.where(ud, across * interface, e2 * along),
        np.where(ud, across * positive("resin compression factor", resin_compression_factor), e2 * along * squeeze),
        np.where(csm, 2 * g12 * mat * np.minimum(squeeze, 1.0), in_matrix),
        model="micromechanics: moduli times fibre and resin failure strains", status="assumed factors (unverified)",
        cautions=(SCREENING_CAUTION, COMPRESSION_CAUTION))
