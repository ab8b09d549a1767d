"""Scarfs: length, grinding rings, and what the bond has to carry."""

import math
from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.limits import SCARF_RATIO, SCARF_TESTED, Finding


@dataclass(frozen=True)
class Ring:
    """One ply of a scarfed patch.

    Parameters
    ----------
    ply : int
        Order of laying, from 1 [-].
    thickness_mm : float
        Thickness of the ply [mm].
    reach_mm : float
        How far the ply reaches beyond the edge of the hole [mm].
    length_mm, width_mm : float
        Size of the piece to cut [mm].

    Examples
    --------
    >>> Ring(1, 0.7, 8.4, 256.8, 86.8).reach_mm
    8.4
    """

    ply: int
    thickness_mm: float
    reach_mm: float
    length_mm: float
    width_mm: float


@dataclass(frozen=True)
class ScarfPlan:
    """Grinding rings and patch pieces of a scarf.

    Parameters
    ----------
    ratio : float
        Length to thickness [-].
    scarf_mm : float
        Length of the scarf on every side [mm].
    patch_length_mm, patch_width_mm : float
        Ground area, hole and both scarfs [mm].
    rings : tuple of Ring
        Plies in the order of laying [-].
    smallest_first : bool
        Order stated on the sheet [-].
    findings : tuple of Finding
        Warnings and notes [-].

    Examples
    --------
    >>> scarf_plan([2.0, 2.0], hole_length_mm=100, hole_width_mm=50).scarf_mm
    48.0
    """

    ratio: float
    scarf_mm: float
    patch_length_mm: float
    patch_width_mm: float
    rings: tuple
    smallest_first: bool
    findings: tuple

    def table(self):
        """Ring map for the sheet.

        Returns
        -------
        pandas.DataFrame
            One row a ply, units in the column names [-].

        Examples
        --------
        >>> len(scarf_plan([2.0, 2.0], hole_length_mm=100, hole_width_mm=50).table())
        2
        """
        import pandas as pd

        columns = ["ply", "thickness [mm]", "beyond the hole [mm]", "piece length [mm]", "piece width [mm]"]
        return pd.DataFrame([[r.ply, r.thickness_mm, r.reach_mm, r.length_mm, r.width_mm] for r in self.rings],
                            columns=columns)


@dataclass(frozen=True)
class BondCheck:
    """Average stress of a bond against its allowable.

    Parameters
    ----------
    shear_mpa : float
        Average shear stress of the bond [MPa].
    normal_mpa : float
        Average stress across the bond [MPa].
    allowable_mpa : float
        Allowable shear stress, entered by the user [MPa].
    reserve_factor : float
        Allowable over shear stress [-].
    findings : tuple of Finding
        Verdict and range of the tests, in words [-].

    Examples
    --------
    >>> scarf_bond(60, ratio=12, allowable_mpa=7.0).reserve_factor > 1
    True
    """

    shear_mpa: float
    normal_mpa: float
    allowable_mpa: float
    reserve_factor: float
    findings: tuple


def scarf_length(thickness_mm, ratio=float(SCARF_RATIO)):
    """Length of a scarf on one side of a hole.

    Parameters
    ----------
    thickness_mm : array_like, shape (...)
        Laminate thickness ground through; half of it for a scarf from both faces [mm].
    ratio : array_like, shape (...)
        Length to thickness [-].

    Returns
    -------
    ndarray, shape (...)
        Length [mm].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Geometry; 12:1 or flatter is advised in repair texts.

    Examples
    --------
    >>> float(scarf_length(6, 12))
    72.0
    """
    return positive("thickness", thickness_mm, "mm") * positive("scarf ratio", ratio)


def scarf_shear_factor(ratio):
    """Average bond shear stress over the stress of the laminate.

    Parameters
    ----------
    ratio : array_like, shape (...)
        Length to thickness [-].

    Returns
    -------
    ndarray, shape (...)
        sin(theta) cos(theta) = ratio / (1 + ratio^2), with tan(theta) = 1/ratio [-].

    Raises
    ------
    InputError
        If the ratio is not positive.

    Notes
    -----
    Average over a plain scarf of two equal laminates.  Ply ends raise the peaks.

    References
    ----------
    Equilibrium of the inclined cut.  Rothbarth and Pinto (2019) tested 1:6, 1:12 and 1:20.

    Examples
    --------
    >>> float(scarf_shear_factor(6).round(3)), float(scarf_shear_factor(20).round(3))
    (0.162, 0.05)
    """
    slope = positive("scarf ratio", ratio)
    return slope / (1 + slope**2)


def scarf_bond(laminate_stress_mpa, *, ratio=float(SCARF_RATIO), allowable_mpa):
    """Bond of a scarf under the stress of the laminate.

    Parameters
    ----------
    laminate_stress_mpa : float
        Stress of the laminate along the scarf, tension or compression [MPa].
    ratio : float
        Length to thickness, 6 or more [-].
    allowable_mpa : float
        Allowable average shear of the bond, from tests of the shop's own bonds or a data sheet, with its factor [MPa].

    Returns
    -------
    BondCheck
        Stresses, reserve factor and verdict [MPa], [-].

    Raises
    ------
    InputError
        For a scarf steeper than the tests, or an allowable that is not positive.

    References
    ----------
    Equilibrium; range of tests from Rothbarth and Pinto (2019).

    Examples
    --------
    >>> round(scarf_bond(-60, ratio=12, allowable_mpa=7.0).shear_mpa, 2)
    4.97
    """
    slope = checked_ratio(ratio)
    stress = abs(float(number("laminate stress", laminate_stress_mpa, "MPa")))
    allowable = float(positive("allowable bond shear", allowable_mpa, "MPa"))
    shear = stress * float(scarf_shear_factor(slope))
    reserve = allowable / shear if shear else math.inf
    words = Sentence("average bond shear {shear}, allowable {allowable}, reserve factor {reserve:.2f}; peaks at ply ends are "
                     "higher: the allowable must come from bonds made the same way", reserve=reserve,
                     shear=Figure(shear, "stress", digits=3), allowable=Figure(allowable, "stress", digits=3))
    verdict = Finding("note" if reserve >= 1 else "refuse", "scarf bond", words, SCARF_TESTED)
    return BondCheck(shear, stress / (1 + slope**2), allowable, reserve, (verdict,) + _slope_findings(slope))


def checked_ratio(ratio):
    """A scarf's ratio, refused where it is steeper than any that was tested.

    Parameters
    ----------
    ratio : float
        Length to thickness [-].

    Returns
    -------
    float
        The same [-].

    Raises
    ------
    InputError
        If it is below 6.

    References
    ----------
    Rothbarth and Pinto (2019), as in `limits.SCARF_TESTED`.

    Examples
    --------
    >>> checked_ratio(12)
    12.0
    """
    slope = float(positive("scarf ratio", ratio))
    if slope < SCARF_TESTED.value:
        raise InputError("scarf ratio", f"must be {SCARF_TESTED.value:g} or more: steeper was not tested, and 1:6 was "
                         "the weakest of those tested [-]", slope, f"use {SCARF_RATIO.value:g} or flatter")
    return slope


def _slope_findings(slope):
    found = [Finding("note", "scarf tests", "specimens of 1:6, 1:12 and 1:20 were tested: 1:12 best, 1:20 not "
                     "distinguishable, 1:6 weakest", SCARF_TESTED)]
    if slope < SCARF_RATIO.value:
        found.append(Finding("warn", "scarf ratio", f"{slope:g}:1 is steeper than the advised minimum of "
                             f"{SCARF_RATIO.value:g}:1", SCARF_RATIO))
    if slope > SCARF_TESTED.high:
        found.append(Finding("warn", "scarf ratio", f"{slope:g}:1 is flatter than any published range", SCARF_TESTED))
    return tuple(found)


def scarf_plan(ply_thickness_mm, *, hole_length_mm, hole_width_mm, ratio=float(SCARF_RATIO), smallest_first=True,
               skin_mm=0.0):
    """Grinding rings and patch pieces, ply by ply.

    Parameters
    ----------
    ply_thickness_mm : array_like, shape (plies,)
        Plies of the patch in the order of laying [mm].
    hole_length_mm, hole_width_mm : float
        Hole at the bottom of the recess; equal for a round hole [mm].
    ratio : float
        Length to thickness, 6 or more [-].
    smallest_first : bool
        Whether the smallest piece goes in first; the order is disputed, so state it [-].
    skin_mm : float
        Skin that is ground, without gel coat; where it is thicker than the patch, scarf and rings follow it [mm].

    Returns
    -------
    ScarfPlan
        Patch size and rings [mm].

    Raises
    ------
    InputError
        For a scarf steeper than the tests, or a size that is not positive.

    Notes
    -----
    Smallest first: ply k reaches ratio * (t1 + ... + tk) beyond the hole, the top of its own step.  Largest first: the
    first ply covers the whole slope, each next one less.  Grind into laminate, never into gel coat.  For a scarf from
    both faces call it for each half.

    References
    ----------
    Geometry of the ring map; repair texts on 12:1.

    Examples
    --------
    >>> plan = scarf_plan([0.7, 1.05, 0.776, 1.05, 0.776, 1.05], hole_length_mm=240, hole_width_mm=70)
    >>> round(plan.scarf_mm), round(plan.patch_length_mm), round(plan.patch_width_mm)
    (65, 370, 200)
    """
    plies = np.atleast_1d(positive("ply thickness", ply_thickness_mm, "mm"))
    if plies.ndim != 1 or plies.size == 0:
        raise InputError("ply thickness", "must be one list with at least one ply [mm]", ply_thickness_mm,
                         "add the plies")
    slope, patch = checked_ratio(ratio), float(plies.sum())
    length, width = (float(positive(label, value, "mm")) for label, value in
                     (("hole length", hole_length_mm), ("hole width", hole_width_mm)))
    skin = float(positive("ground skin", skin_mm, "mm", zero=True))
    longer = max(1.0, skin / patch)
    # largest first: each ply reaches to the top of what is still to be filled
    filled = np.cumsum(plies) if smallest_first else np.cumsum(plies[::-1])[::-1]
    rings = tuple(Ring(k + 1, float(t), float(r), length + 2 * float(r), width + 2 * float(r))
                  for k, (t, r) in enumerate(zip(plies, scarf_length(filled * longer, slope))))
    scarf = float(scarf_length(patch * longer, slope))
    order = Finding("note", "order of the patch", f"{'smallest' if smallest_first else 'largest'} piece first; the "
                    "order is disputed, keep to the one stated")
    thinner = () if longer == 1.0 else (Finding(
        "warn", "patch", Sentence(
            "the patch is {patch} thick and the skin {skin}: the scarf is as long as the skin asks, and the patch ends "
            "below its face", patch=Figure(patch, "thickness"), skin=Figure(skin, "thickness"))),)
    return ScarfPlan(slope, scarf, length + 2 * scarf, width + 2 * scarf, rings, bool(smallest_first),
                     (order, *thinner) + _slope_findings(slope))
