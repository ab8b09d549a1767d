"""What a stringer is made of and what bends it."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.sections import Part, Section
from lamcalc.mechanics.stiffeners import angle_section, attached_width, hat_section
from lamcalc.mechanics.strength import DesignFactor
from lamcalc.parts.basis import choice
from lamcalc.parts.layer_strength import membrane_constants
from lamcalc.schedule import CoreLayer, Schedule

KINDS = ("hat", "solid_core", "angle")
# signed moments over W L: load towards the stringer bends it so that the crown is in tension between the supports
END_CASES = {
    ("fixed", "uniform"): ("fixed_uniform", (1 / 12, -1 / 24)), ("fixed", "centre"): ("fixed_centre", (1 / 8, -1 / 8)),
    ("simple", "uniform"): ("ss_uniform", (-1 / 8,)), ("simple", "centre"): ("ss_centre", (-1 / 4,)),
}
# shear over W where each of these moments acts
_SHEARS = {("fixed", "uniform"): (1 / 2, 0.0), ("fixed", "centre"): (1 / 2, 1 / 2), ("simple", "uniform"): (0.0,),
           ("simple", "centre"): (1 / 2,)}


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
    factor : DesignFactor, optional
        Usable share of the bending strength; that of solid wood by ISO 12215-5 if left out [-].

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
    factor: DesignFactor | None = None

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

    @property
    def shears(self):
        """Shear force where each of the moments acts, a magnitude, shape (cases,) [N]."""
        return np.array(_SHEARS[self.ends, "uniform" if self.pressure > 0 else "centre"]) * self.total


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
            raise InputError("former", "must be given for a hat or a solid core [-]", None,
                             "enter its density at least")
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
