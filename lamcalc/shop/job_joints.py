"""Joints of a part from the job file: scarf, tabbing, fillet, putty, clamps, bolt holes, plates."""

from dataclasses import dataclass, replace

from lamcalc.errors import InputError
from lamcalc.schedule import CoreLayer, Ply, Schedule
from lamcalc.sentences import Figure, Sentence
from lamcalc.shop.clamping import clamp_plan, plate_size, prepare_hole
from lamcalc.shop.fillets import check_fillet, fillet_area, fillet_volume_ml, putty
from lamcalc.shop.job_panel import panel_result
from lamcalc.shop.job_scarf import bond_finding
from lamcalc.shop.job_schedule import catalogue, schedule, tape_plies
from lamcalc.shop.limits import SCARF_RATIO, Finding, Limit
from lamcalc.shop.scarf import scarf_plan
from lamcalc.shop.tabbing import TabbingPlan
from lamcalc.shop.takeoff_layers import chosen_schedule, ground_skin_mm, laid_layers

CLAMP_BOLTS = Limit("clamp bolts in a vee transom", 5, "-", "common practice", "one long in the middle, two medium, two small")
CLAMP_DIAMETER = Limit("clamp bolt", 9.525, "mm", "common practice", "3/8 in with a T-nut")
# readings of a hand-laid skin scatter more than this: within it the scarf counts as long enough
SKIN_SCATTER = 0.03
CLAMP_TORQUE = Limit("torque of a snug clamp", 3.0, "N m", "proposal", "snug, not tight; stop at even squeeze-out")


@dataclass(frozen=True)
class FilletPlan:
    """Fillet along a joint.

    Parameters
    ----------
    radius_mm, angle_deg, length_mm : float
        Radius, angle between the faces, length [mm], [deg].
    area_mm2 : float
        Section [mm2].
    net_ml, to_mix_ml : float
        Volume in place, and to mix with the job's loss [mL].
    findings : tuple of Finding
        What is wrong with the radius [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> round(job_joints(load_demo(), "transom").fillet.net_ml)
    146
    """

    radius_mm: float
    angle_deg: float
    length_mm: float
    area_mm2: float
    net_ml: float
    to_mix_ml: float
    findings: tuple


@dataclass(frozen=True)
class JobJoints:
    """Joints of one part; None or empty where the part has no such joint.

    Parameters
    ----------
    scarf : ScarfPlan or None
        Rings of a patch [mm].
    tabbing : TabbingPlan or None
        Tapes of a transom, or the layers of a hat with their developed widths [mm].
    fillet : FilletPlan or None
        Fillet under the tabbing [mL].
    putty : tuple of Putty
        Pots with loss, all copies of the part together [mL].
    putty_uses : tuple of str
        What each pot is for [-].
    clamp : ClampPlan or None
        Clamping of a bedded core [kPa].
    holes : HolePreparation or None
        Bolt holes through the core [mm].
    plate : PlateSize or None
        Smallest backing plate for the hardest pulled bolt [mm].
    bolt_force : float or None
        Force of that bolt [N].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> plan = job_joints(load_demo(), "bottom").scarf
    >>> round(plan.patch_length_mm), round(plan.patch_width_mm)
    (372, 202)
    """

    scarf: object = None
    tabbing: object = None
    fillet: object = None
    putty: tuple = ()
    putty_uses: tuple = ()
    clamp: object = None
    holes: object = None
    plate: object = None
    bolt_force: float | None = None


def job_joints(job, name, option=None):
    """Joints of a part of the job.

    Parameters
    ----------
    job : Job
        The job [-].
    name : str
        Name of the part [-].
    option : str, optional
        One of the part's options; the chosen one if not given [-].

    Returns
    -------
    JobJoints
        What applies to the part [-].

    Raises
    ------
    InputError
        If the part or option is unknown.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> [round(width) for width in job_joints(load_demo(), "stringers").tabbing.widths_mm]
    [414, 464]
    """
    option, entry, shelf = chosen_schedule(job, name, option), job.parts[name], catalogue(job)
    layers, needs = laid_layers(job, name, option=option, shelf=shelf)
    pots = tuple(putty(need.net_ml * entry.number * (1 + job.waste.putty), need.recipe,
                       resin_density_kg_m3=_density(job, shelf, need.resin)) for need in needs)
    found = {"putty": pots, "putty_uses": tuple(need.use for need in needs)}
    if getattr(entry, "repair", None):
        plan = _scarf(entry.repair, layers, shelf, ground_skin_mm(job, name, shelf))
        found["scarf"] = _bond(job, name, option, _measured_skin(job, name, plan))
    if entry.kind == "stringer":
        found["tabbing"] = _tapes(layers, "laminate", entry.legs_mm, entry.length_mm, (), shelf)
    if entry.kind == "transom":
        found |= _transom(job, name, option, layers, shelf)
    return JobJoints(**found)


def _density(job, shelf, resin):
    entry = job.resins.get(resin)
    if entry is not None and entry.kind == "catalysed":
        return entry.liquid_density_kg_m3
    return float(shelf.resin(resin).require("liquid_density_kg_m3"))


def _thickness(item, shelf):
    return float(Schedule((item.layer,), shelf.fibres).row_thickness_mm[0])


def _measured_skin(job, name, plan):
    """The plan with a warning where the skin that was measured is thicker than the one it was made for."""
    area = job.survey.get(name)
    skins = [] if area is None else area.thickness
    if len(skins) != 1:
        return plan  # which of several skins is ground, nobody said
    thick = sum(skins[0].readings_mm) / len(skins[0].readings_mm) - skins[0].gel_coat_mm
    wanted = plan.ratio * thick
    if plan.scarf_mm >= wanted / (1 + SKIN_SCATTER):
        return plan
    words = Sentence("the skin measures {thick} without gel coat: {ratio:g}:1 of it is {wanted}, grind so far",
                     ratio=plan.ratio, thick=Figure(thick, "thickness"),
                     wanted=Figure(wanted, "small_length", digits=3))
    return replace(plan, findings=(*plan.findings, Finding("warn", "scarf", words, SCARF_RATIO)))


def _bond(job, name, option, plan):
    """The plan with what its bond has to carry; without a load or a strength that cannot be told, and the margins say why."""
    try:
        result = panel_result(job, name, option)
    except InputError:
        return plan
    return replace(plan, findings=(*plan.findings, bond_finding(job.parts[name].repair, result)))


def _scarf(repair, layers, shelf, skin_mm):
    plies = [_thickness(item, shelf) for item in layers if isinstance(item.layer, Ply)]
    return scarf_plan(plies, hole_length_mm=repair.damage_length_mm, hole_width_mm=repair.damage_width_mm,
                      ratio=repair.scarf_ratio, smallest_first=repair.first_laid == "smallest", skin_mm=skin_mm)


def _tapes(layers, group, legs, length_mm, findings, shelf):
    mine = [item for item in layers if item.group == group and isinstance(item.layer, Ply)]
    return TabbingPlan(tuple(legs), tuple(item.width_mm for item in mine), length_mm,
                       sum(_thickness(item, shelf) for item in mine), sum(item.area_m2 for item in mine), findings)


def _transom(job, name, option, layers, shelf):
    entry, found = job.parts[name], {}
    joint, cores = entry.tabbing, [item for item in layers if isinstance(item.layer, CoreLayer)]
    if joint:
        heaviest = max(ply.reinforcement.areal_weight_gsm for ply in tape_plies(job, name, shelf))
        findings = tuple(check_fillet(joint.fillet_radius_mm, areal_weight_gsm=heaviest))
        size = {"length_mm": joint.length_mm, "angle_deg": joint.included_angle_deg}
        found["tabbing"] = _tapes(layers, "tabbing", [tape.leg_mm for tape in joint.tapes], joint.length_mm, (), shelf)
        found["fillet"] = FilletPlan(
            joint.fillet_radius_mm, joint.included_angle_deg, joint.length_mm,
            float(fillet_area(joint.fillet_radius_mm, joint.included_angle_deg)),
            float(fillet_volume_ml(joint.fillet_radius_mm, loss=0, **size)),
            float(fillet_volume_ml(joint.fillet_radius_mm, loss=job.waste.putty, **size)), findings)
    bonds = [line for line in job.layers(option) if line.kind == "bond"]
    if bonds:
        line_mm = max(line.putty_thickness_mm + line.putty_fill_mm for line in bonds)
        if line_mm > 0:
            found["clamp"] = clamp_plan(torque_nm=float(CLAMP_TORQUE), diameter_mm=float(CLAMP_DIAMETER),
                                        bolts=int(CLAMP_BOLTS.value), area_m2=entry.outline.area_m2, bond_line_mm=line_mm)
    if cores:
        found |= _bolts(job, name, option, cores)
    return found


def _bolts(job, name, option, cores):
    from lamcalc.parts.transom import assess
    from lamcalc.shop.job_transom import transom_case

    bolts = job.parts[name].bolts
    case = transom_case(job, name)
    result = assess(case, option, schedule(job, option))
    force = max(float(one.bolt_tension) for one in case.load.cases)
    return {"holes": prepare_hole(bolt_mm=bolts.diameter_mm, core_mm=sum(i.layer.thickness_mm for i in cores)),
            "bolt_force": force,
            "plate": plate_size(force, crush_mpa=result.crush_strength_mpa, hole_mm=bolts.diameter_mm)}
