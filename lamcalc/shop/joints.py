"""Scarfs, tabbing, laps: how long, how wide, and what the bond has to carry."""

import math
from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.shop.fillets import fillet_arc
from lamcalc.shop.limits import (LAP, SCARF_RATIO, SCARF_TESTED, STAGGER, TABBING_FIRST, TABBING_STEP, Finding)

_ROUNDING = 1e-9  # a quotient of floats must not buy another strip


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
    slope = _slope(ratio)
    stress = abs(float(number("laminate stress", laminate_stress_mpa, "MPa")))
    allowable = float(positive("allowable bond shear", allowable_mpa, "MPa"))
    shear = stress * float(scarf_shear_factor(slope))
    reserve = allowable / shear if shear else math.inf
    words = (f"average bond shear {shear:.2f} MPa, allowable {allowable:g} MPa, reserve factor {reserve:.2f}; "
             "peaks at ply ends are higher: the allowable must come from bonds made the same way")
    verdict = Finding("note" if reserve >= 1 else "refuse", "scarf bond", words, SCARF_TESTED)
    return BondCheck(shear, stress / (1 + slope**2), allowable, reserve, (verdict,) + _slope_findings(slope))


def _slope(ratio):
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


def scarf_plan(ply_thickness_mm, *, hole_length_mm, hole_width_mm, ratio=float(SCARF_RATIO), smallest_first=True):
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
    slope = _slope(ratio)
    length, width = (float(positive(label, value, "mm")) for label, value in
                     (("hole length", hole_length_mm), ("hole width", hole_width_mm)))
    # largest first: each ply reaches to the top of what is still to be filled
    filled = np.cumsum(plies) if smallest_first else np.cumsum(plies[::-1])[::-1]
    rings = tuple(Ring(k + 1, float(t), float(r), length + 2 * float(r), width + 2 * float(r))
                  for k, (t, r) in enumerate(zip(plies, scarf_length(filled, slope))))
    scarf = float(scarf_length(plies.sum(), slope))
    order = Finding("note", "order of the patch", f"{'smallest' if smallest_first else 'largest'} piece first; the "
                    "order is disputed, keep to the one stated")
    return ScarfPlan(slope, scarf, length + 2 * scarf, width + 2 * scarf, rings, bool(smallest_first),
                     (order,) + _slope_findings(slope))


def tabbing_leg(ply, *, first_mm=float(TABBING_FIRST), step_mm=float(TABBING_STEP)):
    """Leg of a tabbing ply on each face.

    Parameters
    ----------
    ply : array_like of int, shape (...)
        Number of the ply, from 1 [-].
    first_mm : float
        Leg of the first ply [mm].
    step_mm : float
        How much longer each next leg is [mm].

    Returns
    -------
    ndarray, shape (...)
        first + step (ply - 1) [mm].

    Raises
    ------
    InputError
        If the ply is no whole number from 1, or a length is negative.

    References
    ----------
    Shop rule, from memory: 50 mm, each next ply 25 mm longer; class rules start near 50 mm.

    Examples
    --------
    >>> float(tabbing_leg(3))
    100.0
    """
    plies = positive("number of the ply", ply)
    if (plies != np.round(plies)).any():
        raise InputError("number of the ply", "must be a whole number [-]", ply, "count the plies")
    return positive("first leg", first_mm, "mm") + positive("step", step_mm, "mm", zero=True) * (plies - 1)


def tape_width(leg_mm, *, fillet_radius_mm=0.0, angle_deg=90.0):
    """Width of a tape that is bent round a fillet.

    Parameters
    ----------
    leg_mm : array_like, shape (...)
        Leg on each face, from the edge of the fillet [mm].
    fillet_radius_mm : float
        Radius of the fillet, 0 for a sharp corner [mm].
    angle_deg : float
        Angle between the faces [deg].

    Returns
    -------
    ndarray, shape (...)
        Two legs and the arc between them [mm].

    Raises
    ------
    InputError
        If a length is negative or the angle not between 0 and 180.

    References
    ----------
    Geometry: arc = r (pi - phi).

    Examples
    --------
    >>> round(float(tape_width(50, fillet_radius_mm=20, angle_deg=90)), 1)
    131.4
    """
    return 2 * positive("leg", leg_mm, "mm") + fillet_arc(fillet_radius_mm, angle_deg)


@dataclass(frozen=True)
class TabbingPlan:
    """Tapes along one joint.

    Parameters
    ----------
    legs_mm, widths_mm : tuple of float
        Leg and tape width of each ply [mm].
    length_mm : float
        Length of the joint [mm].
    root_mm : float
        Thickness at the corner, all plies [mm].
    glass_area_m2 : float
        Fabric, laps not included [m2].
    findings : tuple of Finding
        Warnings [-].

    Examples
    --------
    >>> tabbing_plan(3, length_mm=3100, ply_thickness_mm=1.2).legs_mm
    (50.0, 75.0, 100.0)
    """

    legs_mm: tuple
    widths_mm: tuple
    length_mm: float
    root_mm: float
    glass_area_m2: float
    findings: tuple

    def table(self):
        """Tapes for the sheet.

        Returns
        -------
        pandas.DataFrame
            One row a ply, units in the column names [-].

        Examples
        --------
        >>> list(tabbing_plan(2, length_mm=1000, ply_thickness_mm=1.2).table()["leg [mm]"])
        [50.0, 75.0]
        """
        import pandas as pd

        rows = [[ply, leg, width, self.length_mm]
                for ply, (leg, width) in enumerate(zip(self.legs_mm, self.widths_mm), start=1)]
        return pd.DataFrame(rows, columns=["ply", "leg [mm]", "tape width [mm]", "tape length [mm]"])


def tabbing_plan(plies, *, length_mm, ply_thickness_mm, first_mm=float(TABBING_FIRST), step_mm=float(TABBING_STEP),
                 fillet_radius_mm=0.0, angle_deg=90.0):
    """Legs, tape widths and fabric of a tabbed joint.

    Parameters
    ----------
    plies : int
        Number of tapes [-].
    length_mm : float
        Length of the joint [mm].
    ply_thickness_mm : float
        Cured thickness of one tape [mm].
    first_mm, step_mm : float
        First leg and step [mm].
    fillet_radius_mm : float
        Radius of the fillet [mm].
    angle_deg : float
        Angle between the faces [deg].

    Returns
    -------
    TabbingPlan
        Tapes and warnings [mm], [m2].

    Raises
    ------
    InputError
        If a size is out of range.

    References
    ----------
    Shop rule, from memory; tapes that all end on one line peel (common practice).

    Examples
    --------
    >>> plan = tabbing_plan(3, length_mm=3100, ply_thickness_mm=1.2, fillet_radius_mm=20, angle_deg=104)
    >>> [round(width) for width in plan.widths_mm]
    [127, 177, 227]
    """
    count = float(positive("number of tapes", plies))
    if count != round(count):
        raise InputError("number of tapes", "must be a whole number [-]", plies, "count the tapes")
    legs = tabbing_leg(np.arange(1, round(count) + 1), first_mm=first_mm, step_mm=step_mm)
    widths = tape_width(legs, fillet_radius_mm=fillet_radius_mm, angle_deg=angle_deg)
    length = float(positive("length of the joint", length_mm, "mm"))
    found = []
    if first_mm < TABBING_FIRST.value:
        found.append(Finding("warn", "first leg", f"{first_mm:g} mm is shorter than {TABBING_FIRST.value:g} mm",
                             TABBING_FIRST))
    if count > 1 and step_mm < TABBING_STEP.value:
        ending = "all tapes end on one line and peel" if step_mm == 0 else f"a step of {step_mm:g} mm is small"
        found.append(Finding("warn", "step", f"{ending}: step {TABBING_STEP.value:g} mm a ply", TABBING_STEP))
    root = count * float(positive("tape thickness", ply_thickness_mm, "mm"))
    return TabbingPlan(tuple(map(float, legs)), tuple(map(float, widths)), length, root,
                       float(widths.sum()) * length / 1e6, tuple(found))


def tabbing_shear_capacity(leg_mm, *, allowable_mpa, sides=2):
    """Shear that the bonded legs pass from a panel into its boundary.

    Parameters
    ----------
    leg_mm : array_like, shape (...)
        Bonded leg on the panel, normally the longest [mm].
    allowable_mpa : float
        Allowable average bond shear, from lap tests of similar length, with its factor [MPa].
    sides : int
        Faces of the panel that are tabbed, 1 or 2 [-].

    Returns
    -------
    ndarray, shape (...)
        Capacity along the joint, to be compared with the panel's edge load [N/mm].

    Raises
    ------
    InputError
        If an input is not positive or the panel has more than two faces.

    Notes
    -----
    Bond area times allowable.  The stress peaks at the ends of the leg, so doubling the leg does not double the real
    capacity: use an allowable that was measured on a leg of this length.

    References
    ----------
    Equilibrium; common practice.

    Examples
    --------
    >>> float(tabbing_shear_capacity(100, allowable_mpa=1.5))
    300.0
    """
    if sides not in (1, 2):
        raise InputError("tabbed faces", "must be 1 or 2 [-]", sides, "count the faces that carry tape")
    return positive("leg", leg_mm, "mm") * positive("allowable bond shear", allowable_mpa, "MPa") * sides


def strips_for_width(width_mm, *, roll_mm, lap_mm=float(LAP)):
    """Strips of a roll that cover a width with laps at the seams.

    Parameters
    ----------
    width_mm : array_like, shape (...)
        Width to cover [mm, or the unit of the others].
    roll_mm : float
        Width of the roll [mm].
    lap_mm : float
        Lap at each seam [mm].

    Returns
    -------
    ndarray of int, shape (...)
        ceil((width - lap)/(roll - lap)), at least 1 [-].

    Raises
    ------
    InputError
        If the lap is as wide as the roll, or a size out of range.

    References
    ----------
    Geometry; US fibreglass supplier, laps of 1 to 4 in when buying.

    Examples
    --------
    >>> int(strips_for_width(2743, roll_mm=965, lap_mm=51))
    3
    """
    roll, lap = positive("roll width", roll_mm, "mm"), positive("lap", lap_mm, "mm", zero=True)
    if (lap >= roll).any():
        raise InputError("lap", "must be smaller than the roll width [mm]", lap_mm, "check the two widths")
    strips = np.ceil((positive("width", width_mm, "mm") - lap) / (roll - lap) - _ROUNDING)
    return np.maximum(strips, 1).astype(int)


def check_seams(*, lap_mm, stagger_mm=None, carries_load=True):
    """Laps and stagger of seams against the class figures.

    Parameters
    ----------
    lap_mm : float
        Lap at the seam, 0 for a butt [mm].
    stagger_mm : float, optional
        Distance of seams in neighbouring plies; None for a single ply [mm].
    carries_load : bool
        Whether the ply carries load across the seam [-].

    Returns
    -------
    tuple of Finding
        What is short and what to do; empty if nothing is [-].

    Raises
    ------
    InputError
        If a length is negative.

    References
    ----------
    Class society rules for FRP ships: laps 50 mm or more, stagger 100 mm or more.  A plans archive says butt: a butt
    cuts the fibres, so the ply counts as zero there unless its neighbours bridge it.

    Examples
    --------
    >>> check_seams(lap_mm=50, stagger_mm=100)
    ()
    """
    lap = float(positive("lap", lap_mm, "mm", zero=True))
    found = []
    if lap == 0 and carries_load:
        found.append(Finding("refuse", "butt seam", "a butt cuts the fibres: this ply counts as zero there; lap it "
                             f"{LAP.value:g} mm or bridge it with the next ply by {LAP.value:g} mm on each side", LAP))
    elif lap < LAP.value and carries_load:
        found.append(Finding("warn", "lap", f"{lap:g} mm is less than {LAP.value:g} mm: lap more", LAP))
    if stagger_mm is not None:
        stagger = float(positive("stagger", stagger_mm, "mm", zero=True))
        if stagger < STAGGER.value:
            found.append(Finding("warn", "stagger", f"{stagger:g} mm is less than {STAGGER.value:g} mm: shift the seam",
                                 STAGGER))
    return tuple(found)
