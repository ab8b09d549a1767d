"""Stringers on plating: stiffness, stresses, margins, rule checks, mass and cloth.

Hat, solid-core and angle stringers made from schedules.  x of every schedule
runs along the stringer, the first layer of the plating is its outer face.  The
load is a pressure on that outer face or a force behind the stringer: it pushes
the plating towards the stringer, so between the supports the crown is in
tension, over fixed supports in compression.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from lamcalc.errors import positive
from lamcalc.mechanics.beam_cases import standard_beam
from lamcalc.mechanics.sections import Section
from lamcalc.mechanics.stiffeners import ATTACHED_WIDTH_RULES
from lamcalc.mechanics.strength import Margin, design_factor
from lamcalc.parts.basis import CAUTION, RuleRequirement
from lamcalc.parts.layer_strength import (
    RuleCheck,
    layer_margin,
    margins_table,
    membrane_constants,
    rule_checks_table,
    schedule_strengths,
    worst_layer,
    worst_layers,
)
from lamcalc.parts.rules import requirement, slenderness_limit
from lamcalc.parts.stringer_folding import folding_margins
from lamcalc.parts.stringer_model import Former, Stringer, StringerLoad
from lamcalc.schedule import Ply

__all__ = ["Former", "Stringer", "StringerLoad", "StringerResult", "assess_stringer"]
LAP_SHEAR = 7.0
MOVING_FORCE = ("The force stands at the middle of the span. One that moves is worse: at a third of the span it bends "
                "a held end by 4/27 of force times span instead of 1/8, and beside an end it shears with all of it "
                "instead of half.")
CAUTIONS = (
    "Beam figures: the plating between the stringers, the frames that hold the stringer and its ends are checked "
    "apart. Fixed ends need the stringer to run on over the support: with free ends the moment grows by half and the "
    "bending deflection fivefold.",
    "The bond line is an even mean under the widest leg. Peel at leg edges, voids and a poorly ground old hull are not "
    "in it: taper the legs, grind to sound glass.",
    "Engine girders, towing points and passenger craft: local codes and a licensed designer or surveyor.",
)


@dataclass(frozen=True, eq=False)
class StringerResult:
    """A stringer under its load.

    Parameters
    ----------
    stringer : Stringer
        What is built [-].
    load : StringerLoad
        What bends it [-].
    section : Section
        Parts with their moduli [-].
    shear : float
        Largest shear force [N].
    bending_mm, shearing_mm : float
        Two parts of the largest deflection [mm].
    crown_strain, plate_strain : tuple of float
        Strain at the top of the crown and at the outer face of the plating, one for each moment [-].
    web_shear, bond_shear : float
        Shear stress in the webs, and in the bond under the widest leg [MPa].
    margins : tuple of Margin
        Every check, with factor and rule [-].
    rule_checks : tuple of RuleCheck
        Requirements of rules [-].
    unchecked : tuple of str
        What has no strength, so that nothing can be said of it [-].
    cautions : tuple of str
        Read them before building [-].

    Examples
    --------
    >>> StringerResult.__dataclass_params__.frozen
    True
    """

    stringer: Stringer
    load: StringerLoad
    section: Section
    shear: float
    bending_mm: float
    shearing_mm: float
    crown_strain: tuple
    plate_strain: tuple
    web_shear: float
    bond_shear: float | None
    margins: tuple
    rule_checks: tuple
    unchecked: tuple
    cautions: tuple = field(repr=False)

    @property
    def ei(self):
        """Bending stiffness with attached plating [N mm2]."""
        return float(self.section.ei)

    @property
    def deflection_mm(self):
        """Largest deflection, bending and shear [mm]."""
        return self.bending_mm + self.shearing_mm

    @property
    def deflection_limit_mm(self):
        """Allowed deflection [mm]."""
        return self.load.span / self.load.deflection_over

    @property
    def least(self):
        """Margin with the smallest reserve factor, None if nothing could be checked [-]."""
        return min(self.margins, key=lambda margin: margin.reserve_factor) if self.margins else None

    @property
    def shortfalls(self):
        """What does not hold, one sentence each, empty if nothing [-]."""
        found = [m.sentence for m in self.margins if not m.holds]
        if self.deflection_mm > self.deflection_limit_mm:
            found.append(f"Deflection {self.deflection_mm:.2f} mm is above the limit of "
                         f"{self.deflection_limit_mm:.2f} mm (span/{self.load.deflection_over:g}).")
        found += [check.sentence for check in self.rule_checks if not check.holds]
        return tuple(found + [f"{name}: no strength known, not checked." for name in self.unchecked])

    @property
    def holds(self):
        """Whether every margin, the deflection limit and every rule check is met and nothing is unchecked [-]."""
        return not self.shortfalls

    @property
    def sentence(self):
        """The answer in words [-]."""
        worst = self.least
        start = (f"EI {self.ei / 1e9:.3g} kN m2 with {self.section.parts[0].width_mm.item():.0f} mm of plating; "
                 f"deflection {self.deflection_mm:.2f} mm of {self.deflection_limit_mm:.2f} mm allowed")
        if worst is not None:
            start += f"; least reserve factor {worst.reserve_factor:.2f} ({worst.name}; {worst.factor.words})"
        start += ". "
        return start + ("All checks hold." if self.holds else "Not all checks hold: " + " ".join(self.shortfalls))

    def table(self):
        """Margins with factor, rule and status beside each.

        Returns
        -------
        DataFrame
            One row a margin [-].
        """
        return margins_table(self.margins)

    def rules_table(self):
        """Requirements of the rules beside what the stringer has.

        Returns
        -------
        DataFrame
            One row a requirement [-].
        """
        return rule_checks_table(self.rule_checks)

    def section_table(self):
        """Parts with sizes, share of stiffness, section moduli and stresses at the largest moment.

        Returns
        -------
        DataFrame
            One row a part [-].
        """
        moments = self.load.moments
        return self.section.table(moments[np.abs(moments).argmax()])

    def cut_table(self):
        """Cloth per layer and mass per length.

        Returns
        -------
        DataFrame
            Layer, developed width [mm] and mass [kg/m].
        """
        import pandas as pd

        part = self.stringer
        over = part.tabbing if part.kind == "angle" else part.skin
        sides = part.leg_sides if part.kind == "angle" else 1
        name = "over the former" if part.kind != "angle" else "tabbing" if sides == 1 else "tabbing, each of two sides"
        rows = [] if over is None else [(f"{name}, layer {k + 1}", w, sides * m) for k, (w, m) in
                                        enumerate(zip(part.developed_widths, over.row_mass_gsm))]
        if part.kind == "angle":
            rows += [(f"web, layer {k + 1}", part.height, m) for k, m in enumerate(part.skin.row_mass_gsm)]
        if part.cap is not None:
            rows += [(f"cap, layer {k + 1}", part.cap_width, m) for k, m in enumerate(part.cap.row_mass_gsm)]
        return pd.DataFrame([{"layer": name, "developed width [mm]": w, "mass [kg/m]": w * m * 1e-6}
                             for name, w, m in rows])


def _wall_strains(laminate, along):
    """Strain state of a wall that is strained along x and free to contract across; shape (..., 3)."""
    a = np.linalg.inv(laminate.A)
    return np.asarray(along)[..., None] * (a[:, 0] / a[0, 0])


class _Checker:
    """Strains, stresses and margins of the parts of one section under its moments."""

    def __init__(self, stringer, section, load, level, criterion):
        self.stringer, self.section, self.load = stringer, section, load
        self.level, self.criterion = level, criterion
        self.parts = {part.name: part for part in section.parts}

    @cached_property
    def strengths(self):
        part = self.stringer
        known = {"plate": part.plating, "web": part.skin, "crown": part.skin, "cap": part.cap, "flange": part.cap,
                 "leg": part.tabbing if part.kind == "angle" else part.skin}
        return {name: (schedule, schedule_strengths(schedule, level=self.level))
                for name, schedule in known.items() if schedule is not None}

    def strain(self, y):
        """Strain along the stringer, tension positive; cases in front [-]."""
        y = np.asarray(y, dtype=float)
        moments = self.load.moments.reshape((-1,) + (1,) * y.ndim)
        return -moments * (y - self.section.neutral_axis_mm) / self.section.ei

    def heights(self, name, laminate):
        """Heights of both faces of the sub-layers of a part, shape (sublayers, 2) [mm]."""
        part = self.parts[name]
        bottom, top = part.y_mm - part.height_mm / 2, part.y_mm + part.height_mm / 2
        if name == "web" or name.startswith("leg"):
            return np.broadcast_to([bottom, top], (len(laminate.thickness_mm), 2))
        z = laminate.z_mm + laminate.total_thickness_mm / 2
        return bottom + np.stack([z[:-1], z[1:]], axis=-1)

    def margins(self, factor):
        """Margins in bending of the parts by their names, the former left out; None where no layer has a strength."""
        walls = {}
        for name in self.parts:
            if name != "former":
                schedule, known = self.strengths["leg" if name.startswith("leg") else name]
                walls.setdefault(id(schedule), (schedule.laminate, known, []))[2].append(name)
        found = {}
        # parts of one laminate are looked at together: sizing asks for hundreds of stringers
        for wall, known, names in walls.values():
            strains = np.stack([_wall_strains(wall, self.strain(self.heights(name, wall))) for name in names])
            for name, worst in zip(names, worst_layers(wall, known, strains, criterion=self.criterion), strict=True):
                found[name] = layer_margin(name, worst, worst.strain * self.parts[name].e_mpa, factor)
        return found

    def web_strength(self):
        """Shear stress of the web laminate at which its first layer fails [MPa]; infinite if unknown."""
        schedule, known = self.strengths["web"]
        a = np.linalg.inv(schedule.laminate.A)
        strain = np.broadcast_to([a[:, 2] / a[2, 2] * sign for sign in (1e-3, -1e-3)],
                                 (len(schedule.laminate.thickness_mm), 2, 2, 3)).swapaxes(0, 1)
        worst = worst_layer(schedule.laminate, known, np.ascontiguousarray(strain), criterion=self.criterion)
        return worst.ratio * 1e-3 * membrane_constants(schedule.laminate)[2]


def assess_stringer(stringer, load, *, level="iso_level_c", criterion="max_stress",
                    flange_factor="iso_stiffener_flange", web_factor="iso_stiffener_web", bond_strength=None, kcs=1.0):
    """Stiffness, stresses, margins, rule checks, deflection and mass of a stringer.

    Parameters
    ----------
    stringer : Stringer
        What is built [-].
    load : StringerLoad
        What bends it [-].
    level : str
        Evaluation level of the strengths, as in `schedule_strengths` [-].
    criterion : str
        How a layer fails: "max_stress", "tsai_hill", "tsai_wu" or "hashin" [-].
    flange_factor, web_factor : str
        Names of design factors for bending and for web shear [-].
    bond_strength : float, optional
        Tested shear strength of the bond line at the tabbing [MPa].
    kcs : float
        Curvature factor of the rule checks, from `curvature_factor`; 1 for a straight stringer [-].

    Returns
    -------
    StringerResult
        Figures, margins, rule checks, sentence and cautions [mm, N, MPa].

    Raises
    ------
    InputError
        If a name is unknown or a value out of range.

    Notes
    -----
    Beam of parts with their own moduli about the E-weighted axis (`Section`); moduli from A of every
    laminate, since the section holds its walls flat.  Each layer is checked at both faces with its
    own strain, free to contract across; a part's margin is told as its mean stress.  Web shear V S/(EI t)
    at the axis or the nearest end of the web.  Local buckling: a crown that is pushed as a long plate between the webs,
    a web under the compression and the shear of the same place, both on edges that are free to turn
    (`long_plate_buckling`); the flange of an angle and the web of a flat bar as plates with one free edge.  A former
    that does not carry is not counted; on one that carries, crown and webs are checked against wrinkling as the skins
    of a sandwich.  Bond line: V S/(EI b) with S of all above the plating
    and b the widest leg on each side; the bond under the former is not counted.  Where the bond
    strength is not tested it is the least of the interlaminar strengths of the two faces and of 7 MPa, lap
    shear on mat.  Deflection of a beam with bending and shear.  Rule checks of ISO 12215-5 for a pressure
    only; they take their design stress from the first layer to fail, so they ask the same as the margins of a
    fixed beam.

    References
    ----------
    .. [1] Method: `lamcalc.mechanics.sections`; rules: `lamcalc.parts.rules`; 7 MPa: BS 4994:1987, design data sheet.
    """
    section = stringer.section(load)
    checker = _Checker(stringer, section, load, level, criterion)
    beam = standard_beam(load.case[0], load_n=load.total, span_mm=load.span, ei=section.ei, ga=section.shear_stiffness)
    shear = float(beam.shear_n)
    margins, unchecked = _bending_margins(checker, design_factor(flange_factor))
    web = checker.parts["web"]
    cut = np.clip(section.neutral_axis_mm, web.y_mm - web.height_mm / 2, web.y_mm + web.height_mm / 2)
    # a former that carries is left out of the width: the webs then take all of the shear, the safe side
    web_shear = float(section.shear_stress(shear, cut, width_mm=web.width_mm))
    web_strength = checker.web_strength()
    if np.isfinite(web_strength):
        margins.append(Margin("web in shear", web_shear, web_strength, design_factor(web_factor), "MPa"))
    elif "web" not in unchecked:
        unchecked.append("web in shear")
    margins += folding_margins(checker, web_shear)
    bond = _bond_margin(checker, shear, bond_strength)
    margins += [] if bond is None else [bond]
    unchecked += ["bond of the web to the plating (no tabbing is given)"] if bond is None else []
    faces = section.fibres_mm
    known = [s for _, s in checker.strengths.values()]
    unchecked += [name for s in known for name in s.unchecked]
    cautions = dict.fromkeys([c for s in known for c in s.cautions])
    return StringerResult(
        stringer, load, section, shear, float(beam.bending_mm), float(beam.shearing_mm),
        tuple(checker.strain(faces.max()).tolist()), tuple(checker.strain(faces.min()).tolist()), web_shear,
        None if bond is None else bond.demand, tuple(margins), _rule_checks(checker, margins, web_strength,
                                                                             design_factor(web_factor), kcs),
        tuple(dict.fromkeys(unchecked)),
        (*cautions, *_own_cautions(stringer), *([MOVING_FORCE] if load.force else []), *CAUTIONS, CAUTION))


def _bending_margins(checker, factor):
    margins, unchecked, laminates = [], [], checker.margins(factor)
    for name in checker.parts:
        if name == "former":
            former, part = checker.stringer.former, checker.parts[name]
            ends = [part.y_mm - part.height_mm / 2, part.y_mm + part.height_mm / 2]
            stress = np.abs(checker.strain(ends)).max() * former.e
            if former.strength is None:
                unchecked.append("former that carries")
            else:
                share = former.factor or design_factor("iso_wood_bending")
                margins.append(Margin("former in bending", stress, former.strength, share, "MPa"))
            continue
        if laminates[name] is None:
            unchecked.append(name)
        else:
            margins.append(laminates[name])
    return margins, unchecked


def _bond_margin(checker, shear, tested):
    """Margin of the bond between plating and stringer; None without legs."""
    part = checker.stringer
    if not part.legs:
        return None
    sides = part.leg_sides if part.kind == "angle" else 2
    deck = part.plating.structural_thickness_mm
    stress = abs(float(checker.section.shear_stress(shear, deck, width_mm=sides * max(part.legs))))
    strength = tested
    if tested is None:
        strength = min(float(checker.strengths["leg"][1].interlaminar[0]),
                       float(checker.strengths["plate"][1].interlaminar[-1]), LAP_SHEAR)
    return Margin("bond line under the tabbing", stress, float(positive("bond strength", strength, "MPa")),
                  design_factor("iso_interlaminar"), "MPa")


def _rule_checks(checker, margins, web_strength, web_factor, kcs):
    """Web area, section modulus, second moment and slenderness."""
    load, section, part = checker.load, checker.section, checker.stringer
    checks = []
    if load.pressure > 0:
        args = (load.pressure, load.spacing, load.span)
        if np.isfinite(web_strength):
            need = requirement("iso_stiffener_web", *args, design_shear_stress=web_strength * web_factor.value)
            checks.append(RuleCheck(need, float(section.web_area_mm2)))
        checks += _modulus_check(checker, margins, args, kcs)
        e = checker.parts["plate"].e_mpa.item()
        checks.append(RuleCheck(requirement("iso_stiffener_second_moment", *args, e=e, kcs=kcs), float(section.ei / e)))
    limit = RuleRequirement("web depth over thickness", slenderness_limit("web"), "-", "ISO/CD 12215-5 (1999)", "webs",
                            "source seen", ("a former bonded to the web holds it too, which the rule does not count",))
    # the two webs of a hat are one skin each, whatever the section sums them to
    checks.append(RuleCheck(limit, part.slant / part.skin.structural_thickness_mm, at_most=True))
    if part.kind == "angle" and part.cap is not None:
        limit = RuleRequirement("flange outstand over thickness", slenderness_limit("flange"), "-",
                                "ISO/CD 12215-5 (1999)", "flange bars", "source seen",
                                ("the flange is taken to stand out on one side of the web",))
        outstand = max(part.cap_width - part.skin.structural_thickness_mm, 0.0)
        checks.append(RuleCheck(limit, outstand / part.cap.structural_thickness_mm, at_most=True))
    return tuple(checks)


def _modulus_check(checker, margins, args, kcs):
    """Section modulus of the part that comes nearest to the rule's demand, web and former left out."""
    found = []
    for margin in margins:
        name = margin.name.split(":")[0]
        if name not in ("plate", "crown", "cap", "flange"):
            continue
        index = list(checker.parts).index(name)
        need = requirement("iso_stiffener_modulus", *args, design_stress=margin.usable, kcs=kcs)
        need = RuleRequirement(f"{need.name} at the {name}", need.value, need.unit, need.rule, need.clause, need.status,
                               need.notes)
        found.append(RuleCheck(need, float(checker.section.section_modulus_mm3[index].min())))
    return found


def _own_cautions(stringer):
    found = []
    if isinstance(stringer.attached, str):
        rule = ATTACHED_WIDTH_RULES[stringer.attached]
        found.append(f"Attached plating by {rule.source} ({rule.status}).")
    else:
        found.append("Width of attached plating as entered.")
    if stringer.kind == "angle" and stringer.cap is not None:
        found.append("NOT checked: the angle tripping, that is turning over sideways about its foot where the flange "
                     "is pushed. Brackets at the supports and between them hold it.")
    laid = [layer for s in (stringer.skin, stringer.cap, stringer.plating) if s is not None for layer in s.laid]
    if not any(isinstance(layer, Ply) for layer in laid):
        found.append("No layer is a fabric: all strengths are as entered.")
    if stringer.former is not None and not stringer.former.price_per_kg:
        found.append("The former has no price: it is not in the cost.")
    unpriced = [name for s in (stringer.skin, stringer.cap, stringer.tabbing) if s is not None for name in s.unpriced]
    if unpriced:
        found.append(f"No price for {', '.join(dict.fromkeys(unpriced))}: not in the cost.")
    return found
