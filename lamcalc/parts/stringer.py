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

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.beam_cases import standard_beam
from lamcalc.mechanics.sections import Part, Section
from lamcalc.mechanics.stiffeners import ATTACHED_WIDTH_RULES, angle_section, attached_width, hat_section
from lamcalc.mechanics.strength import Margin, design_factor
from lamcalc.parts.basis import CAUTION, RuleRequirement, choice
from lamcalc.parts.layer_strength import (
    RuleCheck,
    layer_margin,
    margins_table,
    membrane_constants,
    rule_checks_table,
    schedule_strengths,
    worst_layer,
)
from lamcalc.parts.rules import requirement, slenderness_limit
from lamcalc.schedule import CoreLayer, Ply, Schedule

KINDS = ("hat", "solid_core", "angle")
# signed moments over W L: load towards the stringer bends it so that the crown is in tension between the supports
END_CASES = {
    ("fixed", "uniform"): ("fixed_uniform", (1 / 12, -1 / 24)), ("fixed", "centre"): ("fixed_centre", (1 / 8, -1 / 8)),
    ("simple", "uniform"): ("ss_uniform", (-1 / 8,)), ("simple", "centre"): ("ss_centre", (-1 / 4,)),
}
LAP_SHEAR = 7.0
CAUTIONS = (
    "Beam figures: the plating between the stringers, the frames that hold the stringer and its ends are checked apart. "
    "Fixed ends need the stringer to run on over the support: with free ends moment grows by half and deflection fivefold.",
    "The bond line is an even mean under the widest leg. Peel at leg edges, voids and a poorly ground old hull are not in "
    "it: taper the legs, grind to sound glass.",
    "Engine girders, towing points and passenger craft: local codes and a licensed designer or surveyor.",
)


@dataclass(frozen=True)
class Former:
    """What is under the laminate of a hat or solid-core stringer.

    Parameters
    ----------
    density_kg_m3 : float
        Density [kg/m3].
    e, g : float
        Moduli along the stringer, 0 where it only shapes the laminate [MPa].
    strength : float, optional
        Bending strength along the stringer where it carries [MPa].
    price_per_kg : float
        Price, 0 where unknown [money/kg].

    Raises
    ------
    InputError
        If a value is negative, or a former that carries has no shear modulus.

    Examples
    --------
    >>> Former(80.0).carries
    False
    """

    density_kg_m3: float
    e: float = 0.0
    g: float = 0.0
    strength: float | None = None
    price_per_kg: float = 0.0

    def __post_init__(self):
        positive("former density", self.density_kg_m3, "kg/m3")
        for name, unit in (("e", "MPa"), ("g", "MPa"), ("price_per_kg", "money/kg")):
            positive(f"former {name}", getattr(self, name), unit, zero=True)
        if self.e > 0 and self.g <= 0:
            raise InputError("former g", "must be given where the former carries [MPa]", self.g,
                             "enter the shear modulus, or e = 0 for a former that only gives the shape")
        if self.strength is not None:
            positive("former strength", self.strength, "MPa")

    @property
    def carries(self):
        """Whether it takes part in bending [-]."""
        return self.e > 0


@dataclass(frozen=True)
class StringerLoad:
    """What bends a stringer.

    Parameters
    ----------
    span : float
        Unsupported span [mm].
    spacing : float
        Distance to the neighbouring stringers, the width of plating it carries [mm].
    pressure : float
        Uniform pressure on the plating [MPa].
    force : float
        Force at the middle of the span [N], instead of a pressure.
    ends : {"fixed", "simple"}
        Held against turning at both ends, or not at all [-].
    deflection_over : float
        Allowed deflection is span over this [-].

    Raises
    ------
    InputError
        If a value is not positive, or both or neither of the loads are given.

    Examples
    --------
    >>> round(StringerLoad(900, 460, pressure=0.018).total, 6)
    7452.0
    """

    span: float
    spacing: float
    pressure: float = 0.0
    force: float = 0.0
    ends: str = "fixed"
    deflection_over: float = 200.0

    def __post_init__(self):
        for name in ("span", "spacing"):
            positive(name, getattr(self, name), "mm")
        positive("pressure", self.pressure, "MPa", zero=True), positive("force", self.force, "N", zero=True)
        positive("deflection limit, span over", self.deflection_over), choice("ends", self.ends, ("fixed", "simple"))
        if (self.pressure > 0) == (self.force > 0):
            raise InputError("stringer load", "must be a pressure [MPa] or a force at mid-span [N]",
                             (self.pressure, self.force), "enter one of the two")
        if self.pressure > 1:
            raise InputError("pressure", "must be in MPa, not above 1 [MPa]", self.pressure, "write 0.018 for 18 kN/m2")

    @property
    def total(self):
        """Total load on the span [N]."""
        return float(self.pressure * self.spacing * self.span + self.force)

    @property
    def case(self):
        """Beam case and signed moments, sagging positive, over load times span [-]."""
        return END_CASES[self.ends, "uniform" if self.pressure > 0 else "centre"]

    @property
    def moments(self):
        """Moments to check, positive with the plating in tension, shape (cases,) [N mm]."""
        return np.array(self.case[1]) * self.total * self.span


@dataclass(frozen=True)
class Stringer:
    """A stringer made of schedules on its plating.

    Parameters
    ----------
    kind : {"hat", "solid_core", "angle"}
        Laminate over a former; laminate over an upright core that carries; upright web with a flange [-].
    plating : Schedule
        Panel that the stringer sits on [-].
    skin : Schedule
        Laminate over the former, or the web of an angle [-].
    height : float
        Height of the former or the web [mm].
    legs : tuple of float
        Leg on the plating each side, one for every layer laid of the skin (angle: of the tabbing) [mm].
    base_width, top_width : float
        Former on the plating and at the top; equal for a solid core, unused for an angle [mm].
    cap : Schedule, optional
        Extra plies on the crown; the flange of an angle [-].
    cap_width : float, optional
        Their width [mm].
    former : Former, optional
        Under the laminate; needed for hat and solid core [-].
    tabbing : Schedule, optional
        Tabbing of an angle [-].
    leg_sides : int
        Tabbed sides of an angle [-].
    attached : str or float
        Attached plating by a rule of `ATTACHED_WIDTH_RULES`, or its width [mm].

    Raises
    ------
    InputError
        If something is missing, a size is not positive or the legs do not fit the layers.

    Notes
    -----
    Legs are stacked on the plating as if each lay on the one before; where a wider
    leg reaches beyond, it lies a ply lower, which changes nothing that matters.

    Examples
    --------
    >>> from lamcalc.schedule import Schedule, SolidLayer
    >>> wall = Schedule((SolidLayer("plate", 9.0, 10e3),), {})
    >>> web = Schedule((SolidLayer("web", 6.0, 10e3),), {})
    >>> Stringer("angle", wall, web, 91.0, attached=300.0).section().parts[1].name
    'web'
    """

    kind: str
    plating: Schedule
    skin: Schedule
    height: float
    legs: tuple = ()
    base_width: float | None = None
    top_width: float | None = None
    cap: Schedule | None = None
    cap_width: float | None = None
    former: Former | None = None
    tabbing: Schedule | None = None
    leg_sides: int = 2
    attached: str | float = "lr_frp"

    def __post_init__(self):
        choice("kind of stringer", self.kind, KINDS)
        positive("height", self.height, "mm")
        object.__setattr__(self, "legs", tuple(float(positive("leg", leg, "mm")) for leg in self.legs))
        if (self.cap is None) != (self.cap_width is None):
            raise InputError("cap", "needs a schedule and a width [mm]", self.cap_width, "enter both or none")
        if self.kind != "angle":
            self._check_hat()
        taped = self.tabbing if self.kind == "angle" else self.skin
        layers = 0 if taped is None else len(taped.laid)
        if len(self.legs) != layers:
            raise InputError("legs", f"must be one for every layer laid, here {layers} [mm]", self.legs,
                             "list the legs in the order the layers are laid")
        if self.leg_sides not in (1, 2):
            raise InputError("leg sides", "must be 1 or 2 [-]", self.leg_sides, "count the tabbed sides")
        if not isinstance(self.attached, str):
            positive("attached width", self.attached, "mm")

    def _check_hat(self):
        for name in ("base_width", "top_width"):
            positive(name.replace("_", " "), getattr(self, name), "mm")
        if self.former is None:
            raise InputError("former", "must be given for a hat or a solid core [-]", None, "enter its density at least")
        if self.kind == "solid_core" and (self.base_width != self.top_width or not self.former.carries):
            raise InputError("solid core", "must be as wide at the top as on the plating and carry [mm, MPa]",
                             (self.base_width, self.top_width, self.former.e),
                             "enter equal widths and the core's moduli, or choose a hat")

    @property
    def plating_thickness_mm(self):
        """Plating that the width rule counts: without coats and cores [mm]."""
        cores = sum(t for t, layer in zip(self.plating.row_thickness_mm, self.plating.laid)
                    if isinstance(layer, CoreLayer))
        return self.plating.structural_thickness_mm - float(cores)

    def attached_width(self, load=None):
        """Width of plating counted with the stringer.

        Parameters
        ----------
        load : StringerLoad, optional
            Gives spacing and span; the width is never more than the spacing [mm].

        Returns
        -------
        float
            Width [mm].
        """
        spacing, span = (None, None) if load is None else (load.spacing, load.span)
        if not isinstance(self.attached, str):
            return float(self.attached) if spacing is None else float(min(self.attached, spacing))
        base = self.base_width or self.skin.structural_thickness_mm
        return float(attached_width(self.attached, thickness_mm=self.plating_thickness_mm, base_width_mm=base,
                                    spacing_mm=spacing, span_mm=span))

    def section(self, load=None):
        """The stringer with its plating as a beam section.

        Parameters
        ----------
        load : StringerLoad, optional
            Limits the attached plating [mm].

        Returns
        -------
        Section
            Parts plate, legs, web, crown or flange, cap, former [-].
        """
        e, _, g = membrane_constants(self.skin.laminate)
        plate_e, _, plate_g = membrane_constants(self.plating.laminate)
        plate = {"plate_width_mm": self.attached_width(load), "plate_e": plate_e, "plate_g": plate_g,
                 "plate_thickness_mm": self.plating.structural_thickness_mm}
        top = {}
        if self.cap is not None:
            cap_e, _, cap_g = membrane_constants(self.cap.laminate)
            top = dict(zip(("width_mm", "thickness_mm", "e", "g"),
                           (self.cap_width, self.cap.structural_thickness_mm, cap_e, cap_g), strict=True))
        if self.kind == "angle":
            return self._angle(plate, e, g, top)
        return hat_section(
            **plate, base_width_mm=self.base_width, top_width_mm=self.top_width, height_mm=self.height,
            skin_thickness_mm=self.skin.structural_thickness_mm, skin_e=e, skin_g=g,
            legs=tuple(zip(self.legs, self.skin.row_thickness_mm)), **{f"cap_{k}": v for k, v in top.items()},
            former_e=self.former.e, former_g=self.former.g)

    def _angle(self, plate, e, g, top):
        bar = angle_section(**plate, web_height_mm=self.height, web_thickness_mm=self.skin.structural_thickness_mm,
                            web_e=e, web_g=g, **{f"flange_{k}": v for k, v in top.items()})
        y, parts = plate["plate_thickness_mm"], list(bar.parts)
        for k, (leg, t) in enumerate(zip(self.legs, () if self.tabbing is None else self.tabbing.row_thickness_mm)):
            tape_e, _, tape_g = membrane_constants(self.tabbing.laminate)
            parts.append(Part(f"leg {k + 1}", self.leg_sides * leg, t, y + t / 2, tape_e, tape_g))
            y += t
        return Section(tuple(parts))

    @property
    def slant(self):
        """Length of one web along its lean [mm]."""
        lean = 0.0 if self.kind == "angle" else 0.5 * (self.base_width - self.top_width)
        return float(np.hypot(self.height, lean))

    @property
    def developed_widths(self):
        """Width of cloth for every layer of the skin (angle: tabbing, each side), legs included [mm].

        Both legs, both slants and the top of the former; the growing thickness
        under later layers and the corners' radii are left out.  An angle's
        tabbing is taken as high on the web as it is wide on the plating.
        """
        if self.kind == "angle":
            return tuple(2 * leg for leg in self.legs)
        return tuple(2 * leg + 2 * self.slant + self.top_width for leg in self.legs)

    def _strips(self):
        """Width, mass and cost of every layer of cloth [mm, g/m2, money/m2]."""
        rows = []
        if self.kind == "angle":
            rows += [(self.height, m, c) for m, c in zip(self.skin.row_mass_gsm, self.skin.row_cost)]
            if self.tabbing is not None:
                rows += [(self.leg_sides * w, m, c) for w, m, c in
                         zip(self.developed_widths, self.tabbing.row_mass_gsm, self.tabbing.row_cost)]
        else:
            rows += list(zip(self.developed_widths, self.skin.row_mass_gsm, self.skin.row_cost))
        if self.cap is not None:
            rows += [(self.cap_width, m, c) for m, c in zip(self.cap.row_mass_gsm, self.cap.row_cost)]
        return rows

    @property
    def former_mass_kg_m(self):
        """Mass of the former [kg/m]."""
        if self.former is None or self.kind == "angle":
            return 0.0
        return 0.5 * (self.base_width + self.top_width) * self.height * self.former.density_kg_m3 * 1e-6

    @property
    def mass_kg_m(self):
        """Mass of laminate and former per length, plating, fillets and putty left out [kg/m]."""
        return float(sum(width * mass for width, mass, _ in self._strips())) * 1e-6 + self.former_mass_kg_m

    @property
    def cost_per_m(self):
        """Material per length without waste [money/m]."""
        cloth = sum(width * cost for width, _, cost in self._strips()) / 1000
        return float(cloth + (self.former.price_per_kg * self.former_mass_kg_m if self.former else 0.0))


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
        """Margin with the smallest reserve factor [-]."""
        return min(self.margins, key=lambda margin: margin.reserve_factor)

    @property
    def shortfalls(self):
        """What does not hold, one sentence each, empty if nothing [-]."""
        found = [m.sentence for m in self.margins if not m.holds]
        if self.deflection_mm > self.deflection_limit_mm:
            found.append(f"Deflection {self.deflection_mm:.2f} mm is above the limit of {self.deflection_limit_mm:.2f} mm "
                         f"(span/{self.load.deflection_over:g}).")
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
        start = (f"EI {self.ei / 1e9:.3g} kN m2 with {self.section.parts[0].width_mm.item():.0f} mm of plating; deflection "
                 f"{self.deflection_mm:.2f} mm of {self.deflection_limit_mm:.2f} mm allowed; least reserve factor "
                 f"{worst.reserve_factor:.2f} ({worst.name}; {worst.factor.words}). ")
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
        rows = [] if over is None else [(f"{'tabbing' if part.kind == 'angle' else 'over the former'}, layer {k + 1}", w, m)
                                        for k, (w, m) in enumerate(zip(part.developed_widths, over.row_mass_gsm))]
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

    def margin(self, name, factor):
        """Margin in bending of a part; None if no layer of it has a strength."""
        schedule, known = self.strengths["leg" if name.startswith("leg") else name]
        y = self.heights(name, schedule.laminate)
        worst = worst_layer(schedule.laminate, known, _wall_strains(schedule.laminate, self.strain(y)),
                            criterion=self.criterion)
        return layer_margin(name, worst, worst.strain * self.parts[name].e_mpa, factor)

    def web_strength(self):
        """Shear stress of the web laminate at which its first layer fails [MPa]; infinite if unknown."""
        schedule, known = self.strengths["web"]
        a = np.linalg.inv(schedule.laminate.A)
        strain = np.broadcast_to([a[:, 2] / a[2, 2] * sign for sign in (1e-3, -1e-3)],
                                 (len(schedule.laminate.thickness_mm), 2, 2, 3)).swapaxes(0, 1)
        worst = worst_layer(schedule.laminate, known, np.ascontiguousarray(strain), criterion=self.criterion)
        return worst.ratio * 1e-3 * membrane_constants(schedule.laminate)[2]


def assess_stringer(stringer, load, *, level="iso_level_c", criterion="max_stress", flange_factor="iso_stiffener_flange",
                    web_factor="iso_stiffener_web", bond_strength=None, kcs=1.0):
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
    at the axis or the nearest end of the web.  Bond line: V S/(EI b) with S of all above the plating
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
    bond = _bond_margin(checker, shear, bond_strength)
    margins += [] if bond is None else [bond]
    faces = section.fibres_mm
    known = [s for _, s in checker.strengths.values()]
    unchecked += [name for s in known for name in s.unchecked]
    cautions = dict.fromkeys([c for s in known for c in s.cautions])
    return StringerResult(
        stringer, load, section, shear, float(beam.bending_mm), float(beam.shearing_mm),
        tuple(checker.strain(faces.max()).tolist()), tuple(checker.strain(faces.min()).tolist()), web_shear,
        None if bond is None else bond.demand, tuple(margins), _rule_checks(checker, margins, web_strength,
                                                                             design_factor(web_factor), kcs),
        tuple(dict.fromkeys(unchecked)), (*cautions, *_own_cautions(stringer), *CAUTIONS, CAUTION))


def _bending_margins(checker, factor):
    margins, unchecked = [], []
    for name in checker.parts:
        if name == "former":
            former, part = checker.stringer.former, checker.parts[name]
            stress = np.abs(checker.strain([part.y_mm - part.height_mm / 2, part.y_mm + part.height_mm / 2])).max() * former.e
            if former.strength is None:
                unchecked.append("former that carries")
            else:
                margins.append(Margin("former in bending", stress, former.strength, design_factor("iso_wood_bending"), "MPa"))
            continue
        found = checker.margin(name, factor)
        if found is None:
            unchecked.append(name)
        else:
            margins.append(found)
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
            checks.append(RuleCheck(requirement("iso_stiffener_web", *args, design_shear_stress=web_strength * web_factor.value),
                                    float(section.web_area_mm2)))
        checks += _modulus_check(checker, margins, args, kcs)
        e = checker.parts["plate"].e_mpa.item()
        checks.append(RuleCheck(requirement("iso_stiffener_second_moment", *args, e=e, kcs=kcs), float(section.ei / e)))
    limit = RuleRequirement("web depth over thickness", slenderness_limit("web"), "-", "ISO/CD 12215-5 (1999)", "webs",
                            "source seen", ("a former bonded to the web holds it as well, which the rule does not count",))
    # the two webs of a hat are one skin each, whatever the section sums them to
    checks.append(RuleCheck(limit, part.slant / part.skin.structural_thickness_mm, at_most=True))
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
    laid = [layer for s in (stringer.skin, stringer.cap, stringer.plating) if s is not None for layer in s.laid]
    if not any(isinstance(layer, Ply) for layer in laid):
        found.append("No layer is a fabric: all strengths are as entered.")
    if stringer.former is not None and not stringer.former.price_per_kg:
        found.append("The former has no price: it is not in the cost.")
    unpriced = [name for s in (stringer.skin, stringer.cap, stringer.tabbing) if s is not None for name in s.unpriced]
    if unpriced:
        found.append(f"No price for {', '.join(dict.fromkeys(unpriced))}: not in the cost.")
    return found
