"""An old laminate known by its thickness, its glass content and the look of its glass alone."""

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.fibre_content import laminate_density
from lamcalc.mechanics.micromechanics import SMALL_CRAFT_NU12, ply_constants_small_craft
from lamcalc.mechanics.regressions import SMALL_CRAFT
from lamcalc.mechanics.strength import strengths_small_craft
from lamcalc.schedule import SolidLayer, fabric_constants

#: Status of a layer whose stiffness and strength come from the regressions; `layer_strength.evidence` looks for it.
REGRESSION = "regression"
_NU12 = {"csm": SMALL_CRAFT_NU12["csm"], "woven": SMALL_CRAFT_NU12["woven"],
         "combined": (SMALL_CRAFT_NU12["csm"] + SMALL_CRAFT_NU12["woven"]) / 2}


def measured_layer(thickness_mm, weight_fraction, *, kind="csm", name="old laminate", density_kg_m3=None, fibre=None, resin=None):
    """An old laminate from its measured thickness and burn-off, by the small-craft regressions.

    Parameters
    ----------
    thickness_mm : float
        Measured thickness [mm].
    weight_fraction : float
        Glass fraction by weight from the burn-off [-].
    kind : str
        "csm", "woven" or "combined": which line the laminate taken as one layer follows [-].
    name : str
        What it is [-].
    density_kg_m3 : float, optional
        Density; from those of `fibre` and `resin` if left out, without voids, else 1500 [kg/m3].
    fibre, resin : Fibre and Resin, optional
        E-glass and the cured resin, for density and shear across the thickness; as in the plane if left out [-].

    Returns
    -------
    SolidLayer
        The old laminate, strengths of new material: wear and water are not in it [-].

    Raises
    ------
    InputError
        If the kind is not known, or the fraction or the thickness is out of range.

    Notes
    -----
    One line of modulus and one of each strength serve mat and weaves alike; what tells the kinds apart is the Poisson
    ratio, 0.30 for mat and 0.15 for weaves, half-way for both mixed (own choice).

    References
    ----------
    .. [1] ISO 12215-5:2008, as in `ply_constants_small_craft` and `strengths_small_craft`; the shear modulus from memory.

    Examples
    --------
    >>> measured_layer(6.0, 0.35).e1.__round__(3)
    8300.0
    """
    if kind not in _NU12:
        raise InputError("kind of reinforcement", f"must be one of {', '.join(_NU12)} [-]", kind,
                         "mat is 'csm', mat and rovings mixed 'combined'")
    ply = ply_constants_small_craft("csm", weight_fraction, nu12=_NU12[kind])
    e1, e2, nu12, g12 = (float(getattr(ply, k)) for k in ("e1", "e2", "nu12", "g12"))
    s = strengths_small_craft(kind, weight_fraction)
    across = None
    if fibre is not None and resin is not None:
        across = float(fabric_constants(["csm"], [weight_fraction], fibre, resin)["g13"][0])
        density_kg_m3 = density_kg_m3 or float(laminate_density(weight_fraction, fibre_density_kg_m3=float(fibre.density_kg_m3),
                                                                resin_density_kg_m3=float(resin.density_kg_m3)))
    return SolidLayer(name, float(positive("old thickness", thickness_mm, "mm")), e1, e2, nu12, g12, density_kg_m3 or 1500.0,
                      strengths_mpa=tuple(float(getattr(s, k)) for k in ("xt", "xc", "yt", "yc", "s")), g_across=across,
                      interlaminar_mpa=float(SMALL_CRAFT["ilss"](weight_fraction)), status=REGRESSION)
