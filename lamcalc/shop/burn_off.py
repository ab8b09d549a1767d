"""Old laminates that the job file knows by a burn-off instead of a modulus."""

from lamcalc.mechanics.regressions import SMALL_CRAFT
from lamcalc.sentences import Figure, Sentence

_KINDS = {"mat": "csm", "woven": "woven", "mixed": "combined"}
_LOOKS = {"mat": "mat only", "woven": "woven rovings", "mixed": "mat and rovings mixed"}
_OLD_RESIN = "ortho_polyester"  # of boats that old (common practice); it counts in mass and in shear across the thickness


def glass_words(entry):
    """What stands in place of a modulus where an old laminate is known by its glass content.

    Parameters
    ----------
    entry : SolidEntry
        A layer with `glass_fraction` [-].

    Returns
    -------
    Sentence
        Words for `told`, without a full stop [-].

    Examples
    --------
    >>> from lamcalc.shop.job_layers import SolidEntry
    >>> print(glass_words(SolidEntry(kind="solid", name="old skin", thickness_mm=5, glass_fraction=0.35, glass_kind="mat",
    ...                              status="measured")))
    stiffness and strength from its glass content 0.35, mat only, by regression: modulus 8.3 GPa
    """
    return Sentence("stiffness and strength from its glass content {share}, {look}, by regression: modulus {modulus}",
                    share=f"{entry.glass_fraction:g}", look=_LOOKS[entry.glass_kind],
                    modulus=Figure(float(SMALL_CRAFT["e"](entry.glass_fraction)), "modulus", digits=3))


def burned_off(entry, shelf):
    """The layer of an old laminate whose glass content stands in place of a modulus.

    Parameters
    ----------
    entry : SolidEntry
        A layer with `glass_fraction` and `glass_kind` [-].
    shelf : Catalogue
        For the densities of glass and polyester [-].

    Returns
    -------
    SolidLayer
        As `lamcalc.parts.old_laminate.measured_layer` gives it [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.shop.job_layers import SolidEntry
    >>> old = SolidEntry(kind="solid", name="old skin", thickness_mm=5, glass_fraction=0.3, glass_kind="mat", status="measured")
    >>> round(burned_off(old, catalogue.load()).density_kg_m3)
    1428
    """
    from lamcalc.parts.old_laminate import (
        measured_layer,  # here, because a job is read without the physics
    )

    return measured_layer(entry.thickness_mm, entry.glass_fraction, kind=_KINDS[entry.glass_kind], name=entry.name,
                          density_kg_m3=entry.density_kg_m3, fibre=shelf.fibre("e_glass"), resin=shelf.resin(_OLD_RESIN))
