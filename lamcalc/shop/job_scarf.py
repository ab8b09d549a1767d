"""What the bond of a scarf carries under the load of its panel."""

from lamcalc.mechanics.margins import DesignFactor, Margin
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.limits import SCARF_TESTED, Finding
from lamcalc.shop.scarf import scarf_bond, scarf_shear_factor

BOND = "scarf bond"
_IN_THE_ALLOWABLE = DesignFactor("scarf_bond", 1.0, "safety is counted in what the shop entered", "entered by the user",
                                 "the allowable average shear")


def bond_margins(repair, result):
    """Margin of the bond of a scarf.

    Parameters
    ----------
    repair : Repair or None
        Scarfed patch of the job file [-].
    result : PanelResult
        The patch under the load of the panel [-].

    Returns
    -------
    tuple of Margin
        One margin; none without a scarf, or without an allowable in the job file [MPa].

    Raises
    ------
    InputError
        If the scarf is steeper than the tests.

    References
    ----------
    Equilibrium of the inclined cut, see `scarf_shear_factor`; the stress is that where the panel bends most.

    Examples
    --------
    >>> bond_margins(None, None)
    ()
    """
    if repair is None or repair.bond_allowable_mpa is None:
        return ()
    bond = scarf_bond(result.skin_stress, ratio=repair.scarf_ratio, allowable_mpa=repair.bond_allowable_mpa)
    return (Margin("bond of the scarf, average shear", bond.shear_mpa, bond.allowable_mpa, _IN_THE_ALLOWABLE, "MPa"),)


def bond_finding(repair, result):
    """What the bond of a scarf has to carry, in words.

    Parameters
    ----------
    repair : Repair
        Scarfed patch of the job file [-].
    result : PanelResult
        The patch under the load of the panel [-].

    Returns
    -------
    Finding
        A note; the verdict stands with the margins where an allowable is known [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_panel import panel_result
    >>> demo = load_demo()
    >>> str(bond_finding(demo.parts["bottom"].repair, panel_result(demo, "bottom")).text)[:53]
    'where the panel bends most, the bond of the scarf has'
    """
    shear = result.skin_stress * float(scarf_shear_factor(repair.scarf_ratio))
    known = ("; it is held against bond_allowable_mpa among the margins" if repair.bond_allowable_mpa is not None else
             "; nobody entered what it may carry, so it is not among the margins: make and break scarfed pieces, then enter "
             "bond_allowable_mpa of the repair in the job file")
    words = Sentence("where the panel bends most, the bond of the scarf has to pass on {stress} by {shear} of shear on average, with "
                     "peaks at the ends of the plies" + known, stress=Figure(result.skin_stress, "stress", digits=3),
                     shear=Figure(shear, "stress", digits=2))
    return Finding("note", BOND, words, SCARF_TESTED)
