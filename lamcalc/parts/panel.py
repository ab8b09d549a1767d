"""Hull, deck and sole panels: stress, deflection and margins under a pressure or a patch load.

x runs along the length of the panel, y across; the first layer of a schedule is
the loaded face (the outer skin of a hull).  A pressure or a patch pushes from
there towards the last layer laid.  Sole and deck schedules that list the layers
from below upwards are loaded from the far side: say so with `from_inside`.
"""

from dataclasses import dataclass, field

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.plates import Patch, Plate, PlateSolution, reduced_bending_stiffness
from lamcalc.mechanics.sandwich_failure import local_crush, wrinkling_stress
from lamcalc.mechanics.strength import DesignFactor, Margin, design_factor, interlaminar_check
from lamcalc.mechanics.transverse_shear import shear_stiffness, shear_stress_profile
from lamcalc.parts.basis import CAUTION, Factor, choice, factor_table
from lamcalc.parts.layer_strength import (
    RuleCheck,
    margins_table,
    membrane_constants,
    rule_checks_table,
    schedule_strengths,
    worst_layer,
)
from lamcalc.parts.panel_factors import curvature_factor, moment_factor, shear_factor
from lamcalc.parts.rules import requirement
from lamcalc.schedule import CoreLayer, Schedule

GRID = 33
CORE_FACTORS = {"balsa": "lr_core_balsa", "pvc": "lr_core_pvc", "plywood": "iso_wood_shear"}
NO_CORE_RULE = DesignFactor("core_no_rule", 0.35, "no rule known for this core: the lowest of Lloyd's Register's core shear "
                            "fractions", "assumed")
CRUSH_FACTOR = DesignFactor("core_crush", 0.5, "half of the crushing strength, common practice", "common practice")
# what may be used of the wrinkling stress, by the coefficient it was worked out with
WRINKLING_FACTORS = {
    "class_rule": DesignFactor("wrinkling", 0.5, "half of the critical stress with 0.5 (E E G)^(1/3), common practice; "
                               "coefficient of Lloyd's Register SSC rules", "common practice"),
    "design_form": DesignFactor("wrinkling_design", 1.0, "ISO 12215-5, 0.3 (E E G)^(1/3): margin inside the coefficient",
                                "from memory (unverified)"),
    "yacht_rule": DesignFactor("wrinkling_yacht", 0.5, "ABS high-speed craft, 0.6 (E E G)^(1/3), at least twice the design "
                               "stress", "from memory (unverified)"),
}
CAUTIONS = (
    "Flat panel, small deflections: above about half the thickness the real panel is stiffer and pulls on its edges. The "
    "edges are never quite as held as assumed: fully clamped needs the laminate to run on over a stiff bearer.",
    "Not covered: impact, fatigue, wet core, holes and cut edges, fastenings.",
    "Bottoms, passenger craft and decks that people work on: local codes and a licensed designer or surveyor.",
)


@dataclass(frozen=True)
class PanelLoad:
    """What bends a panel.

    Parameters
    ----------
    pressure : float
        Uniform pressure [MPa].
    force : float
        Force on a patch at the middle of the panel [N].
    patch_x, patch_y : float
        Size of the patch along the length and across [mm].
    deflection_over : float, optional
        Allowed deflection is the short side over this [-].
    from_inside : bool
        Whether the load acts on the last layer laid instead of the first [-].

    Raises
    ------
    InputError
        If there is no load, a value is not positive, or the pressure looks like kN/m2.

    Examples
    --------
    >>> PanelLoad(pressure=0.018).words
    'pressure 18 kN/m2'
    """

    pressure: float = 0.0
    force: float = 0.0
    patch_x: float = 100.0
    patch_y: float = 100.0
    deflection_over: float | None = None
    from_inside: bool = False

    def __post_init__(self):
        positive("pressure", self.pressure, "MPa", zero=True), positive("patch force", self.force, "N", zero=True)
        positive("patch along", self.patch_x, "mm"), positive("patch across", self.patch_y, "mm")
        if self.pressure == 0 and self.force == 0:
            raise InputError("panel load", "must be a pressure [MPa] or a force on a patch [N]", (0, 0), "enter a load")
        if self.pressure > 1:
            raise InputError("pressure", "must be in MPa, not above 1 [MPa]", self.pressure, "write 0.018 for 18 kN/m2")
        if self.deflection_over is not None:
            positive("deflection limit, side over", self.deflection_over)

    @property
    def words(self):
        """The load in words [-]."""
        parts = [f"pressure {1000 * self.pressure:g} kN/m2"] if self.pressure else []
        parts += [f"{self.force:g} N on {self.patch_x:g} x {self.patch_y:g} mm"] if self.force else []
        return " and ".join(parts)

    @property
    def sign(self):
        """Direction of the load, +1 from the first layer towards the last [-]."""
        return -1.0 if self.from_inside else 1.0


@dataclass(frozen=True)
class Panel:
    """A rectangular panel between its supports.

    Parameters
    ----------
    length, width : float
        Sides along x and across [mm].
    edges : str
        Edges x = 0, x = length, y = 0, y = width: C clamped, S simply supported, F free [-].
    rise : float
        Rise of the curve over the short side, 0 for flat [mm].
    use_curvature : bool
        Whether the rule's curvature factor kC is taken; off by default, the cautious choice [-].

    Raises
    ------
    InputError
        If a size is not positive.

    Examples
    --------
    >>> Panel(900, 460, rise=46, use_curvature=True).kc.__round__(3)
    0.767
    """

    length: float
    width: float
    edges: str = "CCCC"
    rise: float = 0.0
    use_curvature: bool = False

    def __post_init__(self):
        for name in ("length", "width"):
            positive(f"panel {name}", getattr(self, name), "mm")
        positive("rise", self.rise, "mm", zero=True)

    @property
    def short_side(self):
        """Shorter side [mm]."""
        return float(min(self.length, self.width))

    @property
    def aspect(self):
        """Longer over shorter side [-]."""
        return float(max(self.length, self.width)) / self.short_side

    @property
    def kc(self):
        """Curvature factor that is applied, 1 unless asked for [-]."""
        return float(curvature_factor(self.rise / self.short_side)) if self.use_curvature else 1.0


@dataclass(frozen=True, eq=False)
class PanelResult:
    """One laminate as a panel under its load.

    Parameters
    ----------
    panel : Panel
        Size and edges [mm].
    load : PanelLoad
        What bends it [-].
    schedule : Schedule
        Its layers [-].
    solution : PlateSolution
        Fields of the flat plate, curvature factor not in them [mm, N].
    deflection_mm : float
        Largest deflection, a magnitude, curvature factor included [mm].
    moments : tuple of float
        Largest Mx, My, Mxy, magnitudes, curvature factor included [N mm/mm].
    shear : tuple of float
        Largest Qx, Qy, magnitudes, curvature factor included [N/mm].
    facing_stress : tuple of float
        Largest mean stress in the first and in the last skin, a magnitude; single skin: at its two faces [MPa].
    core_shear : float or None
        Largest shear stress in the core; None without a core [MPa].
    margins : tuple of Margin
        Every check, with factor and rule [-].
    rule_checks : tuple of RuleCheck
        Requirements of rules, for a pressure on clamped or supported panels [-].
    unchecked : tuple of str
        What has no strength, so that nothing can be said of it [-].
    cautions : tuple of str
        Read them before building [-].

    Examples
    --------
    >>> PanelResult.__dataclass_params__.frozen
    True
    """

    panel: Panel
    load: PanelLoad
    schedule: Schedule
    solution: PlateSolution
    deflection_mm: float
    moments: tuple
    shear: tuple
    facing_stress: tuple
    core_shear: float | None
    margins: tuple
    rule_checks: tuple
    unchecked: tuple
    cautions: tuple = field(repr=False)

    @property
    def deflection_limit_mm(self):
        """Allowed deflection, None if no limit was given [mm]."""
        over = self.load.deflection_over
        return None if over is None else self.panel.short_side / over

    @property
    def least(self):
        """Margin with the smallest reserve factor, None if nothing could be checked [-]."""
        return min(self.margins, key=lambda margin: margin.reserve_factor) if self.margins else None

    @property
    def shortfalls(self):
        """What does not hold, one sentence each, empty if nothing [-]."""
        found, limit = [m.sentence for m in self.margins if not m.holds], self.deflection_limit_mm
        if limit is not None and self.deflection_mm > limit:
            found.append(f"Deflection {self.deflection_mm:.2f} mm is above the limit of {limit:.2f} mm "
                         f"(short side/{self.load.deflection_over:g}).")
        found += [check.sentence for check in self.rule_checks if not check.holds]
        return tuple(found + [f"{name}: no strength known, not checked." for name in self.unchecked])

    @property
    def holds(self):
        """Whether everything is met and nothing is unchecked [-]."""
        return not self.shortfalls

    @property
    def sentence(self):
        """The answer in words [-]."""
        limit, worst = self.deflection_limit_mm, self.least
        start = f"Under {self.load.words} the panel moves {self.deflection_mm:.2f} mm"
        start += "" if limit is None else f" of {limit:.2f} mm allowed"
        if worst is not None:
            start += f"; least reserve factor {worst.reserve_factor:.2f} ({worst.name}; {worst.factor.words})"
        return start + (". All checks hold." if self.holds else ". Not all checks hold: " + " ".join(self.shortfalls))

    def table(self):
        """Margins with factor, rule and status beside each.

        Returns
        -------
        DataFrame
            One row a margin [-].
        """
        return margins_table(self.margins)

    def rules_table(self):
        """Requirements of the rules beside what the panel has.

        Returns
        -------
        DataFrame
            One row a requirement [-].
        """
        return rule_checks_table(self.rule_checks)

    def factors_table(self):
        """Factors that changed the plate's figures.

        Returns
        -------
        DataFrame
            The curvature factor with clause and status; 1 where it is not used [-].
        """
        note = "moments times kC^2, shear times its root, deflection times kC^3" if self.panel.use_curvature else "not asked for"
        return factor_table([Factor("kC", "curvature factor", self.panel.kc, "-", "ISO 12215-5:2008, Table 6", "source seen", note)])


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


def _solve(panel, load, schedule):
    bending, shear = _stiffness(schedule)
    plate = Plate(panel.length, panel.width, bending, edges=panel.edges, shear=shear)
    patches = []
    if load.force:
        patches = [Patch(load.sign * load.force, panel.length / 2, panel.width / 2, load.patch_x, load.patch_y)]
    return plate.solve(pressure=load.sign * load.pressure, patches=patches)


def assess_panel(panel, load, schedule, *, level="iso_level_c", criterion="max_stress", ply_factor="iso_ply", core_factor=None,
                 wrinkling="class_rule"):
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
    shear times sqrt(kC), deflection times kC^3, the powers in which the rule's panel formulas carry it.  Core
    shear from the largest Qx and Qy by equilibrium; under a patch at least force over perimeter.  Facing
    stress: mean over the skin.  Wrinkling: the most compressed skin along x or y.

    References
    ----------
    .. [1] Plate: `lamcalc.mechanics.plates`; rules: `lamcalc.parts.rules`; wrinkling: `sandwich_failure`.
    """
    choice("wrinkling coefficient", wrinkling, WRINKLING_FACTORS)
    solution, known = _solve(panel, load, schedule), schedule_strengths(schedule, level=level)
    kc, peaks = panel.kc, solution.peaks(GRID)
    strain = _strains(schedule, solution) * kc**2
    shear = np.abs(peaks.shear_forces) * np.sqrt(kc)
    margins, unchecked = _layer_margins(load, schedule, known, strain, criterion, design_factor(ply_factor))
    sandwich, core_shear = _in_core(schedule).any(), None
    facing = _facing_stress(schedule, strain)
    if sandwich:
        core_shear = _core_shear(schedule, shear, load)
        core, missing = _core_margins(schedule, known, core_shear, facing, load, core_factor, wrinkling)
        margins, unchecked = margins + core, unchecked + missing
    else:
        checks = [interlaminar_check(schedule.laminate, _finite(known.interlaminar), float(q), axis=axis).worst
                  for q, axis in zip(shear, "xy")]
        stress, capacity, place = max(checks, key=lambda check: check[0] / check[1])
        if capacity < UNKNOWN:
            margins.append(Margin(f"interlaminar shear {place}", stress, capacity, design_factor("iso_interlaminar"), "MPa"))
    return PanelResult(
        panel, load, schedule, solution, abs(float(peaks.deflection)) * kc**3, tuple((np.abs(peaks.moments) * kc**2).tolist()),
        tuple(shear.tolist()), tuple(float(np.abs(f).max()) for f in facing), core_shear, tuple(margins),
        _rule_checks(panel, load, schedule, known, core_factor), tuple(dict.fromkeys((*unchecked, *known.unchecked))),
        _cautions(panel, schedule, solution, known))


# stands for a strength that is not known where a kernel wants a finite number
UNKNOWN = 1e9


def _finite(values):
    return np.where(np.isfinite(values), values, UNKNOWN)


def _part(schedule, rows):
    """Sub-layers of a skin or core: laminate pieces and strengths that `worst_layer` needs."""
    wall = schedule.laminate
    return wall.angle_deg[rows], wall.q[rows], wall.thickness_mm[rows]


def _layer_margins(load, schedule, known, strain, criterion, factor):
    """First layer to fail in each skin and in a core that is limited, told as a load."""
    first, last = _skins(schedule)
    core = np.flatnonzero(_in_core(schedule))
    groups = [("first skin", first), ("core", core), ("last skin", last)] if core.size else [("laminate", first)]
    worst = worst_layer(schedule.laminate, known, strain, criterion=criterion)
    margins, unchecked = [], []
    demand, unit = (load.force, "N") if load.force else (1000 * load.pressure, "kN/m2")
    for name, rows in groups:
        if not rows.size:
            continue
        worst = worst_layer(schedule.laminate, known, strain, criterion=criterion, rows=rows)
        if np.isfinite(worst.ratio):
            used = design_factor("iso_plywood") if name == "core" else factor
            margins.append(Margin(f"{name}: {worst.layer}, {worst.mode}", demand, demand * worst.ratio, used, unit))
        elif name != "core":
            unchecked.append(name)
    return margins, unchecked


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
    return float(max(np.abs(shear_stress_profile(wall.qbar, wall.thickness_mm, max(q, round_patch), axis=axis).ply_max_mpa[core]).max()
                     for q, axis in zip(shear, "xy")))


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


def _cores(schedule):
    return [layer.core for layer in schedule.laid if isinstance(layer, CoreLayer)]


def _core_margins(schedule, known, core_shear, facing, load, core_factor, wrinkling):
    """Core shear, wrinkling of both skins, crushing under a patch; and what could not be checked."""
    margins, unchecked = [], []
    cores, capacity = _cores(schedule), float(known.interlaminar[_in_core(schedule)].min())
    weakest = min(cores, key=lambda core: np.inf if core.shear_strength is None else float(core.shear_strength))
    factor = core_design_factor(weakest) if core_factor is None else design_factor(core_factor)
    if any(core.shear_strength is None for core in cores) or not np.isfinite(capacity):
        unchecked.append("core in shear")
    else:
        margins.append(Margin("core in shear", core_shear, capacity, factor, "MPa"))
    if any(core.e_z is None for core in cores):
        unchecked.append("wrinkling of the skins")
    else:
        margins += _wrinkling(schedule, cores, facing, wrinkling)
    if load.force:
        crush = [float(core.compressive_strength) for core in cores if core.compressive_strength is not None]
        if len(crush) == len(cores):
            check = local_crush(load.force, plate_length_mm=load.patch_x, plate_width_mm=load.patch_y, crush_strength=min(crush))
            margins.append(Margin("core crushed under the patch", float(check.pressure_mpa), min(crush), CRUSH_FACTOR, "MPa"))
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
        a = np.linalg.inv((wall.qbar[rows] * wall.thickness_mm[rows, None, None]).sum(axis=0)) * wall.thickness_mm[rows].sum()
        both = []
        for k, axis in enumerate("xy"):
            limit = float(wrinkling_stress(1 / a[k, k], e_z, g[axis], coefficient=coefficient))
            both.append((max(0.0, float(-stress[:, k].min())), limit))
        demand, limit = max(both, key=lambda pair: pair[0] / pair[1])
        margins.append(Margin(f"{name} wrinkling", demand, limit, WRINKLING_FACTORS[coefficient], "MPa"))
    return margins


def _rule_checks(panel, load, schedule, known, core_factor):
    """Thickness by rule: of a single skin for bending, of a sandwich for core shear."""
    if not load.pressure or "F" in panel.edges:
        return ()
    if _in_core(schedule).any():
        cores = _cores(schedule)
        strength = known.interlaminar[_in_core(schedule)].min()
        if not np.isfinite(strength):
            return ()
        factor = core_design_factor(cores[0]) if core_factor is None else design_factor(core_factor)
        need = requirement("iso_sandwich_shear", load.pressure, panel.short_side, ksh=shear_factor(panel.aspect),
                           core_shear_stress=float(strength) * factor.value, kc=panel.kc)
        wall = schedule.laminate.thickness_mm
        skins = [wall[rows].sum() for rows in _skins(schedule)]
        return (RuleCheck(need, schedule.structural_thickness_mm - sum(skins) / 2),)
    if not 0.1 <= schedule.glass_fraction <= 0.75:
        return ()
    flexural = float(_flexural(schedule.glass_fraction)) * known.level
    need = requirement("iso_single_skin", load.pressure, panel.short_side, k2=moment_factor(panel.aspect), kc=panel.kc,
                       design_stress=flexural * design_factor("iso_plating_bending").value)
    return (RuleCheck(need, schedule.structural_thickness_mm),)


def _cautions(panel, schedule, solution, known):
    found = [*known.cautions, f"Plate solution: {solution.error}."]
    doubtful = [core.name for core in _cores(schedule) for value in (core.e_x, core.g_xz, core.shear_strength)
                if value is not None and value.unverified]
    if doubtful:
        found.append(f"Values of {', '.join(dict.fromkeys(doubtful))} are not verified: get the maker's sheet.")
    if np.abs(schedule.laminate.B).max() > 0:
        found.append("The stack is not symmetric: reduced bending stiffness, edges free to move in plane.")
    if panel.use_curvature:
        found.append(f"Curvature factor kC = {panel.kc:.3f} of ISO 12215-5 is taken: it rests on curved edges that hold.")
    return tuple(dict.fromkeys((*found, *CAUTIONS, CAUTION)))
