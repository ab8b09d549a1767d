"""Margins of one transom build: skins, core, bolts, backing plates and the joint to the hull.

Every margin carries its design factor with the name of the rule.  What cannot be
checked is named in words, never left out in silence.
"""

from dataclasses import dataclass, replace

import numpy as np

from lamcalc.mechanics.fasteners import (
    backing_plate_stress,
    bolt_bearing,
    tabbing_shear_capacity,
    thread_stress_area,
)
from lamcalc.mechanics.regressions import PRESSURE_VESSEL
from lamcalc.mechanics.strength import DesignFactor, Margin, design_factor, strengths_small_craft
from lamcalc.mechanics.transverse_shear import shear_stress_profile
from lamcalc.parts.layer_strength import NAMES, schedule_strengths, worst_layer
from lamcalc.parts.panel import CRUSH_FACTOR, WORST_ERROR, core_design_factor, limiting_core
from lamcalc.schedule import PUTTY, CoreLayer, SolidLayer
from lamcalc.sentences import Figure, Sentence

ASSUMED_GLASS = 0.30
BOLT_FACTOR = DesignFactor("bolt_proof", 0.5, "common practice, tightening not counted", "common practice",
                           "the bolt's proof stress")
PLATE_FACTOR = DesignFactor("backing_plate", 0.6, "common practice", "common practice", "the plate's yield stress")
BEARING_FACTOR = DesignFactor("bolt_bearing", 0.33, "own choice", "assumed", "the weakest skin ply's compressive strength")
BEARING = "bolts bearing on the outer skin, inner skin and core not counted"
BEARING_NOTE = ("Bolts in bearing: the bracket stands on the outer skin, so the whole push of a bolt is put there; all "
                "bolts share alike (assumed: where the lower holes of the bracket are slots, the upper bolts carry it "
                "all). Friction under the bracket helps and is not counted.")
NOT_ASSESSED = ("pull-through of a bolt whose backing plate is missing or loose", "peel of the tabbing",
                "wall beside the cut-out, the stress at its corners and under the heel of the bracket, wrinkling of the skins",
                "tightening preload", "fatigue")


@dataclass(frozen=True)
class TransomStrengthBasis:
    """What the strength check takes for bolts, plates and the joint to the hull.

    Parameters
    ----------
    bolt_proof_mpa : float
        Proof stress of the bolts [MPa].
    bolt_class : str
        What that stands for, with its status [-].
    plate_yield_mpa : float
        Yield stress of the backing plates [MPa].
    tab_leg_mm : float, optional
        Longest bonded leg of the tabbing; the joint is not assessed without [mm].
    bond_shear_mpa : float
        Lap shear strength of the bonded leg, ultimate [MPa].
    bond_factor : str
        Name of the design factor of the bond [-].
    criterion : str
        "max_stress", "tsai_hill", "tsai_wu" or "hashin" [-].
    level : str
        Evaluation level of the laminate strengths [-].

    Examples
    --------
    >>> TransomStrengthBasis().bolt_proof_mpa
    450.0
    """

    bolt_proof_mpa: float = 450.0
    bolt_class: str = "stainless bolts of class 70, {proof} (from memory, unverified; class assumed)"
    plate_yield_mpa: float = 205.0
    tab_leg_mm: float | None = None
    bond_shear_mpa: float = PRESSURE_VESSEL["csm"].lap_shear
    bond_factor: str = "bs4994"
    criterion: str = "max_stress"
    level: str = "iso_level_c"


@dataclass(frozen=True)
class TransomStrength:
    """Margins of one build, worst over the load cases.

    Parameters
    ----------
    margins : tuple of Margin
        All that could be checked [as each says].
    not_assessed : tuple of str
        What could not be checked, in words [-].
    notes : tuple of str
        What the strengths stand on [-].

    Examples
    --------
    >>> TransomStrength((), (), ()).worst is None
    True
    """

    margins: tuple
    not_assessed: tuple
    notes: tuple

    @property
    def worst(self):
        """Margin with the least reserve factor, None if nothing was checked [-]."""
        return min(self.margins, key=lambda m: m.reserve_factor, default=None)

    @property
    def refusals(self):
        """One sentence for each margin that does not hold, with its rule, to be told in either unit system [-]."""
        return [Sentence("{name}: would just fail at {times} times the load, but the rule asks for {asked} times: reserve factor "
                         "{reserve} ({factor})", name=m.name, times=f"{m.capacity / m.demand:.1f}",
                         asked=f"{1 / m.factor.value:.1f}", reserve=f"{m.reserve_factor:.2f}", factor=m.factor.words)
                for m in self.margins if not m.holds]


def with_assumed_strength(schedule):
    """The schedule with a cautious strength for measured layers that have none; putty is no laminate and gets none.

    Parameters
    ----------
    schedule : Schedule
        Any schedule [-].

    Returns
    -------
    tuple of (Schedule, tuple of str)
        New schedule, and the layers that got the assumed strength [-].

    Notes
    -----
    Hand-laid mat of 30 % glass by the small-craft regressions (assumed): the lowest common content.
    """
    found = strengths_small_craft("csm", ASSUMED_GLASS)
    values = tuple(float(getattr(found, name)) for name in NAMES)
    bare = [isinstance(layer, SolidLayer) and layer.strengths_mpa is None and layer.name != PUTTY
            for layer in schedule.layers]
    layers = [replace(layer, strengths_mpa=values) if lacks else layer for layer, lacks in zip(schedule.layers, bare)]
    return schedule.with_layers(layers), tuple(layer.name for layer, lacks in zip(schedule.layers, bare) if lacks)


def transom_strength(transom, schedule, fields, forces, crush, basis):
    """Margins of one build, worst over all cases.

    Parameters
    ----------
    transom : Transom
        Shape, engine and bolts [-].
    schedule : Schedule
        Layers, outer skin first, with a core [-].
    fields : RowFields
        Plate under unit pulls of the rows [mm, N].
    forces : ndarray, shape (cases, 2)
        Force of upper and lower row, aft positive [N].
    crush : tuple of (float, float)
        Pressure under the hardest pulled plate, and crushing strength of the weakest core [MPa].
    basis : TransomStrengthBasis
        Bolts, plates, joint, criterion [-].

    Returns
    -------
    TransomStrength
        Margins and what was not assessed [-].

    Notes
    -----
    Layers: strains of the plate at a grid and at nine points of each bolt patch, raised by the solution's own
    error.  Core shear: largest Qx and Qy by equilibrium, and at least the pull of one bolt over the outline of
    its plate.  Joint: largest shear force normal to a held edge against bond shear over the longest leg, one face.

    References
    ----------
    Strengths: `schedule_strengths`; bond: BS 4994:1987, lap shear, as summarised in a design data sheet; bolts,
    plates: common practice.
    """
    schedule, assumed, known = _prepared(schedule, basis.level)
    wall = schedule.laminate
    more = 1.0 + fields.error
    unsettled = [] if fields.error <= WORST_ERROR else ["plate solution, which did not settle"]
    in_core = np.isin(schedule.sublayers.kind, ("core", "veneer"))
    strain = _strains(wall, np.einsum("cr,rpk->cpk", forces, fields.curvatures).reshape(-1, 3) * more)
    shear = np.abs(np.einsum("cr,rpk->cpk", forces, fields.shear_forces)).max(axis=(0, 1)) * more
    margins, missing = _layer_margins(wall, known, strain, in_core, basis.criterion)
    for found, lacking in (_core_shear(transom, schedule, known, shear, in_core), _fastenings(transom, wall, known, in_core, basis),
                           _joint(fields, forces, more, basis)):
        margins, missing = margins + found, missing + lacking
    if transom.knees:
        missing.append("joints of the knees, which are taken as rigid")
    margins.append(Margin("bolt plates on the core", *crush, CRUSH_FACTOR, "MPa"))
    notes = [*known.cautions, BEARING_NOTE,
             Sentence("Bolts: {kind}. Backing plates: {strength} yield (assumed).", kind=Sentence(basis.bolt_class, proof=Figure(basis.bolt_proof_mpa, "stress", digits=4)),
                                         strength=Figure(basis.plate_yield_mpa, "stress", digits=3)),
             f"Plate solution: moments raised by its own estimated error of {100 * fields.error:.1f} %."]
    if assumed:
        notes.append(f"No strength is given for {', '.join(assumed)}: taken as hand-laid mat of 30 % glass (assumed, "
                     "unverified). Old laminate may be weaker: test a plug.")
    if basis.tab_leg_mm:
        notes.append(Sentence("Tabbing: bond shear {shear} over a leg of {leg} on one face; the figure is a code minimum for "
                              "laps, not a test of this bond.", shear=Figure(basis.bond_shear_mpa, "stress", digits=3),
                              leg=Figure(basis.tab_leg_mm, "small_length", digits=3)))
    return TransomStrength(tuple(margins), tuple(dict.fromkeys((*unsettled, *missing, *known.unchecked, *NOT_ASSESSED))),
                           tuple(dict.fromkeys(notes)))


# last walls with their strengths: a moved slider asks for the same few again
_KEPT = {}


def _prepared(schedule, level):
    key = id(schedule), level
    kept = _KEPT.get(key)
    if kept is None or kept[0] is not schedule:
        if len(_KEPT) >= 32:
            _KEPT.pop(next(iter(_KEPT), None), None)  # another thread may have taken it
        strong, assumed = with_assumed_strength(schedule)
        kept = _KEPT[key] = schedule, (strong, assumed, schedule_strengths(strong, level=level))
    return kept[1]


def _strains(wall, curvature):
    middle = -curvature @ np.linalg.solve(wall.A, wall.B).T
    z = np.stack([wall.z_mm[:-1], wall.z_mm[1:]], axis=-1)
    return middle[:, None, None, :] + z[..., None] * curvature[:, None, None, :]


def _layer_margins(wall, known, strain, in_core, criterion):
    core, rows = np.flatnonzero(in_core), np.arange(len(in_core))
    groups = (("outer skin", rows[rows < core[0]], "iso_ply"), ("core in bending", core, "iso_plywood"),
              ("bond line in the core", rows[(rows > core[0]) & (rows < core[-1]) & ~in_core], "iso_ply"),
              ("inner skin", rows[rows > core[-1]], "iso_ply"))
    margins, missing = [], []
    for name, picked, factor in groups:
        if not picked.size:
            missing += [] if name == "bond line in the core" else [name]
            continue
        worst = worst_layer(wall, known, strain, criterion=criterion, rows=picked)
        if np.isfinite(worst.ratio):
            margins.append(Margin(worst.words(name), 1.0, worst.ratio, design_factor(factor), "of the load"))
        elif name == "core in bending":
            missing.append("core in bending (no strength in the plane is known)")
        else:
            missing.append(name)
    return margins, missing


def _core_shear(transom, schedule, known, shear, in_core):
    cores = [layer.core for layer in schedule.laid if isinstance(layer, CoreLayer)]
    capacity = float(known.interlaminar[in_core].min())
    if any(core.shear_strength is None for core in cores) or not np.isfinite(capacity):
        return [], ["core in shear (no shear strength is known)"]
    bolts, wall = transom.bolts, schedule.laminate
    pull = max(float(case.bolt_tension) for case in transom.load.cases)
    punched = pull / (2 * (bolts.plate_width + bolts.plate_height))
    limiting = limiting_core(cores)
    capacity = float(limiting.shear_strength) * known.level
    margins = []
    for name, forces in (("core in shear, plate", shear), ("core in shear, punched round a bolt plate", (punched, punched))):
        stress = max(float(np.abs(shear_stress_profile(wall.qbar, wall.thickness_mm, float(q), axis=axis).ply_max_mpa[in_core]).max())
                     for q, axis in zip(forces, "xy"))
        margins.append(Margin(name, stress, capacity, core_design_factor(limiting), "MPa"))
    return margins, []


def _fastenings(transom, wall, known, in_core, basis):
    bolts, cases = transom.bolts, transom.load.cases
    area = thread_stress_area(bolts.bolt_diameter)
    upper = max(float(case.upper_row_tension) for case in cases) / bolts.upper_bolts
    lower = max(float(case.lower_row_tension) for case in cases) / bolts.lower_bolts
    margins = [Margin(f"{name} bolts in tension", pull / area, basis.bolt_proof_mpa, BOLT_FACTOR, "MPa")
               for name, pull in (("upper", upper), ("lower", lower))]
    # the bracket stands on the outer skin and pushes the bolts there; how much reaches the inner skin nobody knows
    outer = np.arange(len(in_core)) < np.flatnonzero(in_core)[0]
    outer &= np.array([name != PUTTY for name in known.names])
    skin, missing = float(wall.thickness_mm[outer].sum()), []
    push = float(np.min([known.plies.xc[outer], known.plies.yc[outer]], initial=np.inf))
    if skin > 0 and np.isfinite(push):
        bearing = float(bolt_bearing(max(float(case.bolt_shear) for case in cases), diameter_mm=bolts.bolt_diameter,
                                     thickness_mm=skin))
        margins.append(Margin(BEARING, bearing, push, BEARING_FACTOR, "MPa"))
    else:
        missing.append(BEARING)
    # a washer or nut head about twice the bolt wide holds the plate
    overhang = max(bolts.plate_width, bolts.plate_height) / 2 - bolts.bolt_diameter
    if overhang > 0:
        pressure = max(float(case.plate_pressure) for case in cases)
        stress = float(backing_plate_stress(pressure, overhang_mm=overhang, thickness_mm=bolts.plate_thickness))
        margins.append(Margin("backing plate in bending", stress, basis.plate_yield_mpa, PLATE_FACTOR, "MPa"))
    return margins, missing


def _joint(fields, forces, more, basis):
    if basis.tab_leg_mm is None:
        return [], ["joint to the hull (no tabbing is given)"]
    edge = float(np.abs(forces @ fields.edge_shear).max()) * more
    capacity = float(tabbing_shear_capacity(basis.tab_leg_mm, allowable_mpa=basis.bond_shear_mpa, sides=1))
    return [Margin("tabbing in shear at the edge of the transom", edge, capacity, design_factor(basis.bond_factor), "N/mm")], []
