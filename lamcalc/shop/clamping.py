"""Clamps, kerfs and bolts through a core."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, positive
from lamcalc.mechanics.fasteners import bolt_bearing  # noqa: F401  offered here with the other joints
from lamcalc.sentences import Figure, Sentence, rule_sentence
from lamcalc.shop.limits import (CRUSH_FACTOR, KERF_CLOSURE, KERF_DEPTH, NUT_FACTOR, PLUG_RING, SLEEVE_GAP, STARVATION,
                                 Finding)

_BOND_LINE_THIN_MM = 0.2


def bolt_force(torque_nm, diameter_mm, *, nut_factor=float(NUT_FACTOR)):
    """Clamp force of a bolt from its tightening torque.

    Parameters
    ----------
    torque_nm : array_like, shape (...)
        Tightening torque [N m].
    diameter_mm : array_like, shape (...)
        Nominal diameter of the thread [mm].
    nut_factor : float
        K of torque = K d force; 0.2 dry, less when greased [-].

    Returns
    -------
    ndarray, shape (...)
        Force [N].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Machine design texts, short-form torque equation; K from memory, scatter +-30 %.

    Examples
    --------
    >>> float(bolt_force(10, 9.525).round())
    5249.0
    """
    return (positive("torque", torque_nm, "N m", zero=True) * 1e3
            / (positive("nut factor", nut_factor) * positive("bolt diameter", diameter_mm, "mm")))


def clamp_pressure_kpa(force_n, area_m2):
    """Mean pressure of a clamped joint.

    Parameters
    ----------
    force_n : array_like, shape (...)
        Force of all clamps together [N].
    area_m2 : array_like, shape (...)
        Area of the joint [m2].

    Returns
    -------
    ndarray, shape (...)
        Pressure [kPa].

    Raises
    ------
    InputError
        If an input is out of range.

    References
    ----------
    Definition.

    Examples
    --------
    >>> float(clamp_pressure_kpa(1779.28, 0.8516).round(1))
    2.1
    """
    return positive("clamp force", force_n, "N", zero=True) / positive("joint area", area_m2, "m2") / 1e3


@dataclass(frozen=True)
class ClampPlan:
    """Clamped putty joint.

    Parameters
    ----------
    force_n : float
        Force of one bolt [N].
    pressure_kpa : float
        Mean pressure of all bolts [kPa].
    putty_ml : float
        Net putty of the bond line [mL].
    findings : tuple of Finding
        Warnings and advice [-].

    Examples
    --------
    >>> clamp_plan(torque_nm=1, diameter_mm=9.525, bolts=8, area_m2=0.843, bond_line_mm=1.5).findings[0].severity
    'note'
    """

    force_n: float
    pressure_kpa: float
    putty_ml: float
    findings: tuple


def clamp_plan(*, torque_nm, diameter_mm, bolts, area_m2, bond_line_mm, nut_factor=float(NUT_FACTOR),
               starvation_kpa=float(STARVATION)):
    """Pressure and putty of a clamped core, with a warning before the joint is starved.

    Parameters
    ----------
    torque_nm : float
        Tightening torque of each bolt [N m].
    diameter_mm : float
        Thread diameter [mm].
    bolts : int
        Number of clamping bolts [-].
    area_m2 : float
        Area of the joint [m2].
    bond_line_mm : float
        Thickness of the putty line wanted [mm].
    nut_factor : float
        K of the torque equation [-].
    starvation_kpa : float
        Mean pressure above which to warn, a proposal [kPa].

    Returns
    -------
    ClampPlan
        Force, pressure, putty and findings [N], [kPa], [mL].

    Raises
    ------
    InputError
        If an input is out of range.

    Notes
    -----
    Contact pressure is enough for putty.  The mean hides peaks under the pads: check the skin with a straight edge.

    References
    ----------
    Torque equation; a builder's weights gave about 2 kPa; threshold is a proposal.

    Examples
    --------
    >>> plan = clamp_plan(torque_nm=10, diameter_mm=9.525, bolts=8, area_m2=0.843, bond_line_mm=1.5)
    >>> round(plan.pressure_kpa), plan.findings[0].severity
    (50, 'warn')
    """
    count = float(positive("number of bolts", bolts))
    if count != round(count):
        raise InputError("number of bolts", "must be a whole number [-]", bolts, "count the bolts")
    line = float(positive("bond line", bond_line_mm, "mm"))
    limit = float(positive("starvation pressure", starvation_kpa, "kPa"))
    force = float(bolt_force(torque_nm, diameter_mm, nut_factor=nut_factor))
    pressure = float(clamp_pressure_kpa(force * count, area_m2))
    squeeze = Figure(pressure, "pressure", "kPa", digits=2)
    if pressure > limit:
        snug = np.floor(10 * torque_nm * limit / pressure) / 10
        words = Sentence("a mean of {mean} may squeeze the joint dry or bend the skin: snug only, {snug} at most, and stop "
                         "at even squeeze-out", mean=squeeze, snug=Figure(snug * 1e3, "moment", digits=2))
    else:
        words = Sentence("a mean of {mean}: stop at even squeeze-out, then check the skin with a straight edge", mean=squeeze)
    found = [Finding("warn" if pressure > limit else "note", "clamp pressure", words, STARVATION)]
    if line < _BOND_LINE_THIN_MM:
        found.append(Finding("warn", "bond line", Sentence("{line} leaves no putty between uneven faces",
                                                               line=Figure(line, "thickness", digits=2))))
    return ClampPlan(force, pressure, float(area_m2) * line * 1e3, tuple(found))


@dataclass(frozen=True)
class KerfPlan:
    """Saw cuts that let a sheet bend.

    Parameters
    ----------
    depth_mm : float
        Depth of the cuts [mm].
    spacing_mm : float
        Widest spacing on the sheet that still reaches the radius [mm].
    count : int
        Cuts over the curved length [-].
    fill_ml : float
        Putty to fill the open cuts [mL].

    Examples
    --------
    >>> kerf_plan(radius_mm=2000, sheet_mm=18, kerf_mm=3, length_mm=1200, width_mm=600).count
    5
    """

    depth_mm: float
    spacing_mm: float
    count: int
    fill_ml: float


def kerf_plan(*, radius_mm, sheet_mm, kerf_mm, length_mm, width_mm, depth_share=float(KERF_DEPTH),
              closure=float(KERF_CLOSURE)):
    """Depth, spacing and putty of kerfs on the hollow face of a bent sheet.

    Parameters
    ----------
    radius_mm : float
        Radius of the convex, uncut face [mm].
    sheet_mm : float
        Thickness of the sheet [mm].
    kerf_mm : float
        Width of the saw cut [mm].
    length_mm : float
        Length of the sheet along the bend [mm].
    width_mm : float
        Length of each cut, across the bend [mm].
    depth_share : float
        Depth of the cut over the thickness [-].
    closure : float
        Share of the cut that closes at its mouth; the rest stays open for putty [-].

    Returns
    -------
    KerfPlan
        Cuts and putty [mm], [mL].

    Raises
    ------
    InputError
        If an input is out of range or the radius smaller than the sheet.

    Notes
    -----
    Each cut turns the sheet by closure * kerf / depth about the middle of the web that is left, so the spacing along it
    is that angle times (radius - web/2).  A kerfed sheet keeps the stiffness of its web until the cuts are filled.

    References
    ----------
    Builder's note: about 60 % deep, fill the cuts.  Geometry.  Closure is a proposal.

    Examples
    --------
    >>> plan = kerf_plan(radius_mm=2000, sheet_mm=18, kerf_mm=3, length_mm=1200, width_mm=600)
    >>> round(plan.spacing_mm), plan.count
    (277, 5)
    """
    sheet, radius = float(positive("sheet", sheet_mm, "mm")), float(positive("radius", radius_mm, "mm"))
    if radius <= sheet:
        raise InputError("radius",
                         rule_sentence("must be larger than the sheet of {limit} [mm]",
                                       limit=sheet), radius, "use thinner sheets")
    kerf, length = float(positive("kerf", kerf_mm, "mm")), float(positive("length", length_mm, "mm"))
    width, closing = float(positive("width", width_mm, "mm")), float(fraction("closure", closure, one=True))
    depth = sheet * float(fraction("kerf depth over thickness", depth_share))
    turn = closing * kerf / depth
    web_radius = radius - (sheet - depth) / 2
    spacing = turn * web_radius
    count = int(np.ceil(length / spacing - 1e-9))
    closed = min(1.0, length / (count * spacing)) * closing
    # a cut that closes by a share at its mouth becomes a trapezium: half of that share of its section is lost
    return KerfPlan(depth, spacing, count, count * kerf * depth * width * (1 - closed / 2) / 1e3)


@dataclass(frozen=True)
class HolePreparation:
    """Sealed bolt hole through a core.

    Parameters
    ----------
    method : str
        'plug' or 'sleeve' [-].
    core_bore_mm : float
        Diameter to which the core is taken back [mm].
    skin_hole_mm : float
        Hole in the skins [mm].
    fill_ml : float
        Thickened epoxy for one hole, net [mL].
    steps : tuple of str
        What to do, in order [-].

    Examples
    --------
    >>> prepare_hole(bolt_mm=12, core_mm=36).core_bore_mm
    37.4
    """

    method: str
    core_bore_mm: float
    skin_hole_mm: float
    fill_ml: float
    steps: tuple


def prepare_hole(*, bolt_mm, core_mm, method="plug", ring_mm=float(PLUG_RING), sleeve_outside_mm=None,
                 gap_mm=float(SLEEVE_GAP)):
    """Preparation of a bolt hole so that no bare core meets water or the bolt.

    Parameters
    ----------
    bolt_mm : float
        Bolt diameter [mm].
    core_mm : float
        Core thickness [mm].
    method : str
        'plug': overdrill, fill, redrill; 'sleeve': bond in a glass tube [-].
    ring_mm : float
        Core taken back round the bolt, for a plug [mm].
    sleeve_outside_mm : float, optional
        Outside diameter of the tube, for a sleeve [mm].
    gap_mm : float
        Glue gap round the tube [mm].

    Returns
    -------
    HolePreparation
        Bore, hole and fill [mm], [mL].

    Raises
    ------
    InputError
        If the method is unknown, the sleeve missing or not larger than the bolt.

    Notes
    -----
    For a plug the whole bore is filled and the bolt hole drilled after cure, so the fill is the whole cylinder.

    References
    ----------
    Owners' notes and a magazine article: core back about 1/2 in; the plug must be bridged by a backing plate.

    Examples
    --------
    >>> round(prepare_hole(bolt_mm=12, core_mm=36).fill_ml, 1)
    39.5
    """
    bolt, core = float(positive("bolt diameter", bolt_mm, "mm")), float(positive("core thickness", core_mm, "mm"))
    if method == "plug":
        bore = bolt + 2 * float(positive("core taken back", ring_mm, "mm"))
        fill = np.pi / 4 * bore**2 * core / 1e3
        steps = ("drill the bolt hole through both skins", Sentence("take the core back to {bore}, skins kept", bore=_tool(bore)),
                 "seal the bare core with neat resin", "fill with thickened epoxy, no voids, and let it cure",
                 Sentence("redrill {bolt}", bolt=_tool(bolt)), "bridge the plug with a backing plate", "bed bolt and plate in sealant")
        return HolePreparation(method, bore, bolt, float(fill), steps)
    if method != "sleeve":
        raise InputError("hole preparation", "must be 'plug' or 'sleeve'", method, "choose one")
    if sleeve_outside_mm is None or float(positive("sleeve diameter", sleeve_outside_mm, "mm")) <= bolt:
        raise InputError("sleeve diameter",
                         rule_sentence("must be given and larger than the bolt of {limit} [mm]", limit=bolt),
                         sleeve_outside_mm, "measure the tube outside")
    bore = float(sleeve_outside_mm) + 2 * float(positive("glue gap", gap_mm, "mm"))
    fill = np.pi / 4 * (bore**2 - float(sleeve_outside_mm)**2) * core / 1e3
    steps = (Sentence("drill {bore} through skins and core", bore=_tool(bore)), "seal the bare core with neat resin", "sand the tube",
             "bed the tube in thickened epoxy, flush with both skins", "bridge it with a backing plate",
             "bed bolt and plate in sealant")
    return HolePreparation(method, bore, bore, float(fill), steps)


def _tool(diameter_mm):
    return Figure(diameter_mm, "small_length", digits=3)


@dataclass(frozen=True)
class PlateSize:
    """Washer or backing plate on a core.

    Parameters
    ----------
    area_mm2 : float
        Net area needed [mm2].
    square_mm, round_mm : float
        Side of a square and diameter of a round plate with that net area, hole added [mm].
    pressure_mpa : float
        Pressure on the core with that area [MPa].

    Examples
    --------
    >>> plate_size(10e3, crush_mpa=7.0, hole_mm=12).pressure_mpa < 7.0 / 2.99
    True
    """

    area_mm2: float
    square_mm: float
    round_mm: float
    pressure_mpa: float


def plate_size(force_n, *, crush_mpa, factor=float(CRUSH_FACTOR), hole_mm=0.0):
    """Plate that spreads a bolt force so that the core is not crushed.

    Parameters
    ----------
    force_n : float
        Largest force of the bolt, preload or pull [N].
    crush_mpa : float
        Compressive strength of the core across the sheet [MPa].
    factor : float
        Factor on crushing, 3 as a proposal [-].
    hole_mm : float
        Diameter of the hole that bears nothing [mm].

    Returns
    -------
    PlateSize
        Area and sizes [mm2], [mm], [MPa].

    Raises
    ------
    InputError
        If an input is out of range, or the factor below 1.

    Notes
    -----
    The skin spreads the load further, which is left out.  The plate must be stiff enough to bear evenly.

    References
    ----------
    Definition of bearing pressure.  Factor is a proposal.

    Examples
    --------
    >>> size = plate_size(8000, crush_mpa=7.0, hole_mm=12)
    >>> round(size.square_mm), round(size.round_mm)
    (60, 67)
    """
    safety = float(positive("factor on crushing", factor))
    if safety < 1:
        raise InputError("factor on crushing", "must be 1 or more [-]", safety, "a factor below 1 lets the core crush")
    allowed = float(positive("crush strength", crush_mpa, "MPa")) / safety
    area = float(positive("bolt force", force_n, "N")) / allowed
    gross = area + np.pi / 4 * float(positive("hole", hole_mm, "mm", zero=True))**2
    return PlateSize(area, float(np.sqrt(gross)), float(np.sqrt(4 * gross / np.pi)), allowed)
