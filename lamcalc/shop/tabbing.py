"""Tabbing, laps and seams: how wide, how far apart, and what the legs pass on."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.fasteners import tabbing_shear_capacity  # noqa: F401  offered here with the other joints
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.fillets import fillet_arc
from lamcalc.shop.limits import LAP, STAGGER, TABBING_FIRST, TABBING_STEP, Finding

_ROUNDING = 1e-9  # a quotient of floats must not buy another strip


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
        found.append(Finding("warn", "first leg", Sentence("{leg} is shorter than {least}", leg=_size(first_mm),
                                                          least=_size(TABBING_FIRST.value)),
                             TABBING_FIRST))
    if count > 1 and step_mm < TABBING_STEP.value:
        ending = "all tapes end on one line and peel" if step_mm == 0 else "a step of {step} is small"
        found.append(Finding("warn", "step", Sentence(ending + ": step {wanted} a ply", step=_size(step_mm),
                                                      wanted=_size(TABBING_STEP.value)), TABBING_STEP))
    root = count * float(positive("tape thickness", ply_thickness_mm, "mm"))
    return TabbingPlan(tuple(map(float, legs)), tuple(map(float, widths)), length, root,
                       float(widths.sum()) * length / 1e6, tuple(found))


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
        found.append(Finding("refuse", "butt seam", Sentence("a butt cuts the fibres: this ply counts as zero there; "
                                                              "lap it {lap} or bridge it with the next ply by {lap} on "
                                                              "each side", lap=_size(LAP.value)), LAP))
    elif lap < LAP.value and carries_load:
        found.append(Finding("warn", "lap", Sentence("{lap} is less than {least}: lap more", lap=_size(lap),
                                                     least=_size(LAP.value)), LAP))
    if stagger_mm is not None:
        stagger = float(positive("stagger", stagger_mm, "mm", zero=True))
        if stagger < STAGGER.value:
            found.append(Finding("warn", "stagger", Sentence("{stagger} is less than {least}: shift the seam",
                                                             stagger=_size(stagger), least=_size(STAGGER.value)),
                                 STAGGER))
    return tuple(found)


def _size(length_mm):
    return Figure(length_mm, "small_length", digits=3)
