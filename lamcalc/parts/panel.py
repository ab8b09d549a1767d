"""Hull, deck and sole panels: stress, deflection and margins under a pressure or a patch load.

x runs along the length of the panel, y across; the first layer of a schedule is
the loaded face (the outer skin of a hull).  A pressure or a patch pushes from
there towards the last layer laid.  Sole and deck schedules that list the layers
from below upwards are loaded from the far side: say so with `from_inside`.
"""

from dataclasses import replace
from functools import lru_cache
from itertools import product

import numpy as np

from lamcalc.mechanics.plates import LoadPart, Patch, Plate, PlateSolution, reduced_bending_stiffness
from lamcalc.mechanics.regressions import SMALL_CRAFT
from lamcalc.mechanics.sandwich_failure import local_crush, wrinkling_stress
from lamcalc.mechanics.strength import DesignFactor, Margin, design_factor, interlaminar_check
from lamcalc.mechanics.transverse_shear import shear_stiffness, shear_stress_profile
from lamcalc.parts.basis import CAUTION, choice
from lamcalc.parts.layer_strength import RuleCheck, schedule_strengths, worst_layer
from lamcalc.parts.panel_factors import deflection_factor, moment_factor, shear_factor
from lamcalc.parts.panel_model import Panel, PanelLoad, PanelResult
from lamcalc.parts.rules import requirement
from lamcalc.schedule import CoreLayer

__all__ = ["Panel", "PanelLoad", "PanelResult", "assess_panel", "core_design_factor"]

GRID = 33
# clear distance of a patch from a clamped edge, in sides, where it bends that edge most: within 2 percent of the worst
# in panels held on other sides too; and in strips, where it is a third of the span
NEAR_CLAMPED, NEAR_CLAMPED_STRIP = (0.06, 0.12), (0.06, 0.12, 0.25)
# an estimated error beyond this share means that the solution did not settle: no margin rests on it
WORST_ERROR = 0.3
CORE_FACTORS = {"balsa": "lr_core_balsa", "pvc": "lr_core_pvc", "san": "lr_core_linear", "plywood": "iso_wood_shear"}
NO_CORE_RULE = DesignFactor("core_no_rule", 0.35, "no rule known for this core: the lowest of Lloyd's Register's core "
                            "shear fractions", "assumed")
CRUSH_FACTOR = DesignFactor("core_crush", 0.5, "common practice", "common practice", "the crushing strength")
# what may be used of the wrinkling stress, by the coefficient it was worked out with
WRINKLING_FACTORS = {
    "class_rule": DesignFactor("wrinkling", 0.5, "common practice, coefficient of Lloyd's Register SSC rules", "common practice",
                               "the critical stress 0.5 (E E G)^(1/3)"),
    "design_form": DesignFactor("wrinkling_design", 1.0, "ISO 12215-5: margin inside the coefficient",
                                "from memory (unverified)", "the stress 0.3 (E E G)^(1/3)"),
    "yacht_rule": DesignFactor("wrinkling_yacht", 0.5, "ABS high-speed craft: at least twice the design stress",
                               "from memory (unverified)", "the critical stress 0.6 (E E G)^(1/3)"),
}
CAUTIONS = (
    "Flat panel, small deflections: above about half the thickness the real panel is stiffer and pulls on its edges. "
    "The edges are never quite as held as assumed: fully clamped needs the laminate to run on over a stiff bearer.",
    "Not covered: impact, fatigue, wet core, holes and cut edges, fastenings.",
    "Bottoms, passenger craft and decks that people work on: local codes and a licensed designer or surveyor.",
)


def _stiffness(schedule):
    """Reduced bending stiffness, and transverse shear stiffness where there is a core."""
    wall, s = schedule.laminate, schedule.sublayers
    bending = reduced_bending_stiffness(wall.A, wall.B, wall.D)
    if not _in_core(schedule).any():
        return bending, None
    return bending, np.diag([float(shear_stiffness(wall.qbar, wall.thickness_mm, g, axis=axis))
                             for g, axis in ((s.g_xz, "x"), (s.g_yz, "y"))])


def _in_core(schedule):
    return np.isin(schedule.sublayers.kind, ("core", "veneer"))


def _strains(schedule, solution):
    """Strains of the flat plate at all grid points, shape (points, sublayers, 2, 3), mid-plane free to strain [-]."""
    wall = schedule.laminate
    curvature = solution.field(GRID).curvatures.reshape(-1, 3)
    middle = -curvature @ np.linalg.solve(wall.A, wall.B).T
    z = np.stack([wall.z_mm[:-1], wall.z_mm[1:]], axis=-1)
    return middle[:, None, None, :] + z[..., None] * curvature[:, None, None, :]


def _skins(schedule):
    """Sub-layers of the skin before and after the core; single skin: all of them twice."""
    core = np.flatnonzero(_in_core(schedule))
    rows = np.arange(len(schedule.sublayers.row))
    if not core.size:
        return rows, rows
    return rows[rows < core[0]], rows[rows > core[-1]]


def _solve(panel, load, schedule, place=None):
    """Solution of the plate: unit loads are solved once a plate, and added as the load asks; the patch in its middle
    or at a place."""
    bending, shear = _stiffness(schedule)
    key = (panel.length, panel.width, panel.edges, bending.tobytes(), None if shear is None else shear.tobytes())
    wanted = [(load.pressure, None), (load.force, (load.patch_x, load.patch_y))]
    parts, plate = [], None
    for size, patch in wanted:
        if size:
            unit = _unit_solution(*key, patch, place if patch else None)
            plate = unit.plate if plate is None else plate
            parts += [LoadPart(p.tables, *(load.sign * size * x for x in (p.load, p.full, p.lower)))
                      for p in unit.parts]
    return PlateSolution(plate, tuple(parts))


def _relieved(flat, places, panel, load, schedule, power):
    """Solutions with the rule's relief of curvature on the pressure; a patch load gets none."""
    if panel.kc == 1.0 or not load.pressure:
        return flat
    less = replace(load, pressure=load.pressure * panel.kc**power)
    return [_solve(panel, less, schedule, place) for place in places]


def _places(panel, load):
    """Places of the patch that bend a panel most: middle (None) and near clamped edges; and flush with free edges."""
    if not load.force:
        return [None], []
    sides, near, flush = ((panel.length, load.patch_x), (panel.width, load.patch_y)), [], []
    for axis, (side, patch) in enumerate(sides):
        first, second = panel.edges[2 * axis:2 * axis + 2]
        strip = panel.edges[2 - 2 * axis:4 - 2 * axis] == "FF"
        close = [patch / 2 + share * side for share in (NEAR_CLAMPED_STRIP if strip else NEAR_CLAMPED)
                 if patch / 2 + share * side < side / 2]
        # edges alike count once
        near.append(close * (first == "C") + [side - x for x in close] * (second == "C" != first))
        flush.append([patch / 2] * (first == "F") + [side - patch / 2] * (second == "F" != first))
    x, y = [panel.length / 2], [panel.width / 2]
    held, loose = ((*product(found[0], y), *product(x, found[1])) for found in (near, flush))
    return [None, *held], [*loose, *product(*flush)]  # the last in a corner between two free edges


def _beside_supports(panel, load, schedule):
    """Places of the patch one thickness away from each held edge, halfway along it; edges alike count once."""
    gap, found = schedule.structural_thickness_mm, []
    sides = ((panel.length, load.patch_x), (panel.width, load.patch_y))
    for axis, (side, patch) in enumerate(sides):
        near, across = gap + patch / 2, sides[1 - axis][0] / 2
        first, second = panel.edges[2 * axis:2 * axis + 2]
        if near < side / 2:
            at = [near] * (first != "F") + [side - near] * (second not in ("F", first))
            found += [(x, across) if axis == 0 else (across, x) for x in at]
    return found


@lru_cache(maxsize=256)
def _unit_solution(length, width, edges, bending, shear, patch, place=None):
    """A plate under 1 MPa, or under 1 N on a patch in its middle or at a place."""
    plate = Plate(length, width, np.frombuffer(bending).reshape(3, 3), edges=edges,
                  shear=None if shear is None else np.frombuffer(shear).reshape(2, 2))
    if patch is None:
        return plate.solve(pressure=1.0)
    return plate.solve(patches=[Patch(1.0, *((length / 2, width / 2) if place is None else place), *patch)])


def assess_panel(panel, load, schedule, *, level="iso_level_c", criterion="max_stress", ply_factor="iso_ply",
                 core_factor=None, wrinkling="class_rule"):
    """Deflection, stresses and margins of a panel.

    Parameters
    ----------
    panel : Panel
        Size, edges and curvature [mm].
    load : PanelLoad
        Pressure or patch load [MPa, N].
    schedule : Schedule
        Single skin or sandwich [-].
    level : str
        Evaluation level of the strengths, as in `schedule_strengths` [-].
    criterion : str
        How a layer fails: "max_stress", "tsai_hill", "tsai_wu" or "hashin" [-].
    ply_factor : str
        Name of the design factor for first failure of a layer [-].
    core_factor : str, optional
        Name of the design factor for core shear; by the kind of core if left out [-].
    wrinkling : {"class_rule", "design_form", "yacht_rule"}
        Wrinkling coefficient with the factor that belongs to it [-].

    Returns
    -------
    PanelResult
        Figures, margins, rule checks, sentence and cautions [mm, N, MPa].

    Raises
    ------
    InputError
        If a name is unknown, a value out of range, or the edges do not hold the panel.

    Notes
    -----
    Ritz plate of `lamcalc.mechanics.plates` with reduced bending stiffness; first-order shear where there is a
    core.  All layers are checked at both faces on a grid of 33 x 33 points that includes the edges.  Layer
    margins are told as loads: what would just fail the first layer.  Curvature factor: moments times kC^2,
    shear times sqrt(kC), deflection times kC^3, the powers in which the rule's panel formulas carry it; for a pressure
    only, because the rule has no such relief for a patch load.  The
    solution's own error estimate is added to all of them, and above
    30 % the panel is reported as not checked; shear forces take the largest share of the moments.  A patch bends
    the panel in its middle, near each clamped edge, whose moment is largest then, and flush with each free edge; the
    worst counts.  Core
    shear from the largest Qx and Qy by equilibrium; under a patch at least force over perimeter, and once more with
    the patch one thickness away from a held edge, where less of the load goes round (shear is usually checked that
    far from a support: common practice).  Facing
    stress: mean over the skin.  Wrinkling: the most compressed skin along x or y.

    References
    ----------
    .. [1] Plate: `lamcalc.mechanics.plates`; rules: `lamcalc.parts.rules`; wrinkling: `sandwich_failure`.
    """
    choice("wrinkling coefficient", wrinkling, WRINKLING_FACTORS)
    known, (held, loose) = schedule_strengths(schedule, level=level), _places(panel, load)
    places = [*held, *loose]
    flat = [_solve(panel, load, schedule, place) for place in places]
    bent, sheared, moved = (_relieved(flat, places, panel, load, schedule, power) for power in (2, 0.5, 3))
    # what the solution may be short of is added, so that its error is on the safe side
    more = max(1.0 + float(one.error.deflection) for one in moved)
    deflection = max(abs(float(one.max_deflection)) * (1.0 + float(one.error.deflection)) for one in moved)
    peaks = [_with_error(one) for one in bent]
    more_moment = max(factor for _, factor in peaks)
    strains = [_strains(schedule, one) * factor for one, (_, factor) in zip(bent, peaks, strict=True)]
    # without shear deflection the shear force at a free edge is that of theory alone, so no patch there counts
    count = len(places) if _in_core(schedule).any() else len(held)
    shear = np.max([np.abs(one.max_shear_forces) * factor
                    for one, (_, factor) in list(zip(sheared, peaks, strict=True))[:count]], axis=0)
    margins, unchecked, place = _layer_margins(load, schedule, known, strains, criterion, design_factor(ply_factor))
    sandwich, core_shear = _in_core(schedule).any(), None
    facing = _facing_stress(schedule, np.concatenate(strains))
    beside = _shear_beside(panel, load, schedule) if load.force else None
    if sandwich:
        core_shear = _core_shear(schedule, shear, load)
        beside = None if beside is None else _core_shear(schedule, beside, load)
        core, missing = _core_margins(schedule, known, core_shear, beside, facing, load, core_factor, wrinkling)
        margins, unchecked = margins + core, unchecked + missing
    else:
        shear = shear if beside is None else np.maximum(shear, beside)
        checks = [interlaminar_check(schedule.laminate, _finite(known.interlaminar), float(q), axis=axis).worst
                  for q, axis in zip(shear, "xy")]
        stress, capacity, where = max(checks, key=lambda check: check[0] / check[1])
        if capacity < UNKNOWN:
            margins.append(Margin(f"interlaminar shear {where}", stress, capacity, design_factor("iso_interlaminar"),
                                  "MPa"))
        unchecked += [f"interlaminar shear of {name}"
                      for name, strength in zip(known.names, known.interlaminar, strict=True) if not np.isfinite(strength)]
    if max(more, more_moment) > 1.0 + WORST_ERROR:
        unchecked.append("plate solution, which did not settle")
    return PanelResult(
        panel, load, schedule, flat[0], deflection, tuple(np.max([peak for peak, _ in peaks], axis=0).tolist()),
        tuple(shear.tolist()), tuple(float(np.abs(f).max()) for f in facing), core_shear, tuple(margins),
        _rule_checks(panel, load, schedule, known, core_factor), tuple(dict.fromkeys((*unchecked, *known.unchecked))),
        _cautions(panel, load, schedule, flat[0], known, deflection),
        None if place is None else (panel.length * (place // GRID) / (GRID - 1),
                                    panel.width * (place % GRID) / (GRID - 1)))


def _with_error(solution):
    """Largest moments with the solution's own error added, and the largest share by which that raises them."""
    peak = np.abs(solution.max_moments)
    # the error is told over the largest moment, so a smaller moment is short by a larger share
    short = solution.error.moments * peak.max()
    return peak + short, 1.0 + float((short / np.maximum(peak, 0.5 * peak.max())).max())


# end of the name of a margin that is least with the patch there
NEAR_EDGE = ", patch near an edge"
# stands for a strength that is not known where a kernel wants a finite number
UNKNOWN = 1e9


def _finite(values):
    return np.where(np.isfinite(values), values, UNKNOWN)


def _layer_margins(load, schedule, known, strains, criterion, factor):
    """First layer to fail in each skin and in a core that is limited, told as a load; and the first one's place.

    The first of the strains are those of a patch in the middle; where one of the others is worse, the margin says so.
    """
    first, last = _skins(schedule)
    core = np.flatnonzero(_in_core(schedule))
    groups = [("laminate", first)]
    if core.size:
        between = np.setdiff1d(np.arange(core[0], core[-1]), core)
        groups = [("first skin", first), ("core", core), ("bond line in the core", between), ("last skin", last)]
    margins, unchecked, first_to_fail = [], [], (np.inf, None)
    demand, unit = (load.force, "N") if load.force else (1000 * load.pressure, "kN/m2")
    for name, rows in groups:
        if not rows.size:
            continue
        each = [worst_layer(schedule.laminate, known, strain, criterion=criterion, rows=rows) for strain in strains]
        worst = min(each, key=lambda one: one.ratio)
        if np.isfinite(worst.ratio):
            where = "" if worst is each[0] else NEAR_EDGE
            first_to_fail = min(first_to_fail, (worst.ratio, worst.case), key=lambda found: found[0])
            used = design_factor("iso_plywood") if name == "core" else factor
            margins.append(Margin(worst.words(name, where), demand, demand * worst.ratio, used, unit))
        elif name != "core":
            unchecked.append(name)
    return margins, unchecked, first_to_fail[1]


def _facing_stress(schedule, strain):
    """Mean stress of both skins at all points, shape (points, 3) each; single skin: at the two faces [MPa]."""
    wall = schedule.laminate
    stress = np.einsum("nij,pnfj->pnfi", wall.qbar, strain)
    if not _in_core(schedule).any():
        return stress[:, 0, 0], stress[:, -1, 1]
    mean, t = stress.mean(axis=2), wall.thickness_mm
    return tuple((mean[:, rows] * t[rows, None]).sum(axis=1) / t[rows].sum() for rows in _skins(schedule) if rows.size)


def _core_shear(schedule, shear, load):
    """Largest shear stress in the core, at the edges of the panel or round the patch [MPa]."""
    wall, core = schedule.laminate, _in_core(schedule)
    round_patch = load.force / (2 * (load.patch_x + load.patch_y))
    profiles = [shear_stress_profile(wall.qbar, wall.thickness_mm, max(q, round_patch), axis=axis)
                for q, axis in zip(shear, "xy")]
    return float(max(np.abs(profile.ply_max_mpa[core]).max() for profile in profiles))


def _shear_beside(panel, load, schedule):
    """Largest Qx and Qy with the patch beside a support; None where there is no room for it [N/mm]."""
    found = []
    for place in _beside_supports(panel, load, schedule):
        solution = _solve(panel, replace(load, pressure=load.pressure * np.sqrt(panel.kc)), schedule, place)
        found.append(np.abs(solution.max_shear_forces) * (1.0 + float(np.max(solution.error.moments))))
    return np.max(found, axis=0) if found else None


def core_design_factor(core):
    """Usable share of a core's shear strength where the user names none.

    Parameters
    ----------
    core : Core
        Core from the catalogue [-].

    Returns
    -------
    DesignFactor
        By family; 0.35 where no rule is known [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> core_design_factor(catalogue.load().core("balsa_150")).value
    0.35
    """
    return design_factor(CORE_FACTORS[core.family]) if core.family in CORE_FACTORS else NO_CORE_RULE


def limiting_core(cores):
    """Core with the least usable shear strength, its own design factor counted.

    Parameters
    ----------
    cores : sequence of Core
        Cores of one wall, shear strengths known or not [-].

    Returns
    -------
    Core
        The one that sets the margin; a core without a strength only where none has one [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> limiting_core((shop.core("pvc_100"), shop.core("san_107"))).id
    'san_107'
    """
    return min(cores, key=lambda core: np.inf if core.shear_strength is None
               else float(core.shear_strength) * core_design_factor(core).value)


def _core_capacity(cores, known, capacity, core_factor):
    """Shear strength and factor of the core that sets the margin; one factor for all leaves the weakest [MPa, -]."""
    if core_factor is not None or any(core.shear_strength is None for core in cores):
        return capacity, core_design_factor(cores[0]) if core_factor is None else design_factor(core_factor)
    core = limiting_core(cores)
    return float(core.shear_strength) * known.level, core_design_factor(core)


def _cores(schedule):
    return [layer.core for layer in schedule.laid if isinstance(layer, CoreLayer)]


def _core_margins(schedule, known, core_shear, beside, facing, load, core_factor, wrinkling):
    """Core shear, wrinkling of both skins, crushing under a patch; and what could not be checked."""
    margins, unchecked = [], []
    cores, capacity = _cores(schedule), float(known.interlaminar[_in_core(schedule)].min())
    capacity, factor = _core_capacity(cores, known, capacity, core_factor)
    if any(core.shear_strength is None for core in cores) or not np.isfinite(capacity):
        unchecked.append("core in shear")
    else:
        margins.append(Margin("core in shear", core_shear, capacity, factor, "MPa"))
        if beside is not None:
            margins.append(Margin("core in shear, patch beside a support", beside, capacity, factor, "MPa"))
    if any(core.e_z is None for core in cores):
        unchecked.append("wrinkling of the skins")
    else:
        margins += _wrinkling(schedule, cores, facing, wrinkling)
    if load.force:
        crush = [float(core.compressive_strength) for core in cores if core.compressive_strength is not None]
        if len(crush) == len(cores):
            check = local_crush(load.force, plate_length_mm=load.patch_x, plate_width_mm=load.patch_y,
                                crush_strength=min(crush))
            margins.append(Margin("core crushed under the patch", float(check.pressure_mpa), min(crush), CRUSH_FACTOR,
                                  "MPa"))
        else:
            unchecked.append("core crushed under the patch")
    return margins, unchecked


def _wrinkling(schedule, cores, facing, coefficient):
    """Margins of the skins against wrinkling, along x and y, the worse of the two."""
    wall, margins = schedule.laminate, []
    e_z = min(float(core.e_z) for core in cores)
    g = {"x": min(float(core.g_xz) for core in cores), "y": min(float(core.g_yz) for core in cores)}
    named = [(name, rows) for name, rows in zip(("first skin", "last skin"), _skins(schedule)) if rows.size]
    for (name, rows), stress in zip(named, facing, strict=True):
        t = wall.thickness_mm[rows]
        a = np.linalg.inv((wall.qbar[rows] * t[:, None, None]).sum(axis=0)) * t.sum()
        both = []
        for k, axis in enumerate("xy"):
            limit = float(wrinkling_stress(1 / a[k, k], e_z, g[axis], coefficient=coefficient))
            both.append((max(0.0, float(-stress[:, k].min())), limit))
        demand, limit = max(both, key=lambda pair: pair[0] / pair[1])
        margins.append(Margin(f"{name} wrinkling", demand, limit, WRINKLING_FACTORS[coefficient], "MPa"))
    return margins


def _rule_checks(panel, load, schedule, known, core_factor):
    """By rule: thickness of a single skin; shear depth, section modulus and second moment of a sandwich."""
    if not load.pressure or "F" in panel.edges:
        return ()
    if _in_core(schedule).any():
        return _sandwich_checks(panel, load, schedule, known, core_factor)
    if not 0.1 <= schedule.glass_fraction <= 0.75:
        return ()
    flexural = float(SMALL_CRAFT["ufs"](schedule.glass_fraction)) * known.level
    need = requirement("iso_single_skin", load.pressure, panel.short_side, k2=moment_factor(panel.aspect), kc=panel.kc,
                       design_stress=flexural * design_factor("iso_plating_bending").value)
    return (RuleCheck(need, schedule.structural_thickness_mm),)


def _sandwich_checks(panel, load, schedule, known, core_factor):
    checks, args = [], (load.pressure, panel.short_side)
    strength, cores = known.interlaminar[_in_core(schedule)].min(), _cores(schedule)
    if np.isfinite(strength):
        strength, factor = _core_capacity(cores, known, float(strength), core_factor)
        need = requirement("iso_sandwich_shear", *args, ksh=shear_factor(panel.aspect),
                           core_shear_stress=float(strength) * factor.value, kc=panel.kc)
        wall = schedule.laminate.thickness_mm
        skins = [wall[rows].sum() for rows in _skins(schedule)]
        checks.append(RuleCheck(need, schedule.structural_thickness_mm - sum(skins) / 2))
    # the strip that bends across the short side
    k = 0 if panel.length < panel.width else 1
    wall = schedule.laminate
    d = np.linalg.inv(reduced_bending_stiffness(wall.A, wall.B, wall.D))[:, k]
    middle = -np.linalg.solve(wall.A, wall.B @ d)
    moduli = []
    for name, rows, z in zip(("first", "last"), _skins(schedule), (wall.z_mm[0], wall.z_mm[-1]), strict=True):
        if not rows.size:
            continue
        a = np.linalg.inv((wall.qbar[rows] * wall.thickness_mm[rows, None, None]).sum(axis=0))
        e = float(1 / (a[k, k] * wall.thickness_mm[rows].sum()))
        moduli.append(e)
        pulled = np.broadcast_to(a[:, k] / a[k, k], (1, len(wall.thickness_mm), 2, 3))
        # a pull and a push of unit strain along the strip, the skin free across
        worst = worst_layer(wall, known, np.concatenate([pulled, -pulled]), rows=rows)
        if np.isfinite(worst.ratio):
            need = requirement("iso_sandwich_modulus", *args, k2=moment_factor(panel.aspect), kc=panel.kc,
                               design_stress=e * worst.ratio * design_factor("iso_ply").value)
            have = 1 / (e * abs(float(middle[k] + z * d[k])))
            checks.append(RuleCheck(replace(need, name=f"{need.name} at the {name} skin"), have))
    if moduli:
        e = sum(moduli) / len(moduli)
        need = requirement("iso_sandwich_second_moment", *args, k3=deflection_factor(panel.aspect), e=e, kc=panel.kc)
        checks.append(RuleCheck(need, float(1 / d[k]) / e))
    return tuple(checks)


def _cautions(panel, load, schedule, solution, known, deflection):
    found = [*known.cautions,
             f"Plate solution: {solution.error}; this much is added to deflection, stresses and "
             "shear."]
    thick = schedule.structural_thickness_mm
    if deflection > 0.5 * thick:
        found.append(f"The deflection is {deflection / thick:.1f} times the thickness: straight-line theory overstates "
                     "deflection and bending there, and leaves out the pull on the edges. Do not take it for the real "
                     "movement.")
    doubtful = [core.name for core in _cores(schedule) for value in (core.e_x, core.g_xz, core.shear_strength)
                if value is not None and value.unverified]
    if doubtful:
        found.append(f"Values of {', '.join(dict.fromkeys(doubtful))} are not verified: get the maker's sheet.")
    if np.abs(schedule.laminate.B).max() > 0:
        found.append("The stack is not symmetric: reduced bending stiffness, edges free to move in plane.")
    if load.force and _in_core(schedule).any():
        found.append("For core shear the patch stands no nearer to a held edge than one thickness of the panel; nearer, the "
                     "support takes part of it directly (common practice). Where feet or gear stand right beside a support, "
                     "carry the skins into it and fill the core's edge.")
    if load.force and "F" in panel.edges:
        found.append("NOT covered: the patch in a corner where a free edge meets a held one; there the edge is bent and "
                     "sheared more than anywhere.")
    if panel.use_curvature and load.pressure:
        found.append(f"Curvature factor kC = {panel.kc:.3f} of ISO 12215-5 is taken: it rests on curved edges "
                     "that hold.")
    if panel.use_curvature and load.force:
        found.append("The patch load gets no relief from curvature: the rule's factor belongs to a pressure.")
    return tuple(dict.fromkeys((*found, *CAUTIONS, CAUTION)))
