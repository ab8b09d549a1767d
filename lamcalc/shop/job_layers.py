"""Layers and schedules as a job file writes them; `lamcalc.shop.job.schedule` turns them into physics."""

from typing import Annotated, Literal

from pydantic import Field, model_validator

from lamcalc.mechanics.regressions import HIGHEST_WEIGHT_FRACTION, LOWEST_FOR_MODULUS
from lamcalc.shop.job_types import (
    Angle, Density, Film, Flag, Fraction, Modulus, Name, Note, Record, SkinModulus, Status, Text, Thickness, broken,
    many, quantity, whole,
)

Count = whole(1, 50)
CoreThickness = quantity("mm", least=1, most=300)  # below lies an entry in inches or centimetres
Strength = quantity("MPa", above=0, most=1_000)


class PlyEntry(Record):
    """One fabric, laid `count` times.

    Parameters
    ----------
    kind : {"ply"}
        Marks the layer as a ply [-].
    reinforcement, resin, process : str
        Names in the catalogue [-].
    angle_deg : float
        Roll direction from x towards y [deg].
    mat_side : {"down", "up"}
        Where the mat of a mat-backed fabric faces; down is towards the layer listed before [-].
    count : int
        How many times the ply is laid [-].
    glass_fraction : float, optional
        Fibre weight fraction of the whole ply, overruling the catalogue [-].
    thickness_mm : float, optional
        Measured thickness of one ply, overruling the catalogue [mm].

    Examples
    --------
    >>> PlyEntry(kind="ply", reinforcement="csm_450", resin="iso_polyester").count
    1
    """

    kind: Literal["ply"]
    reinforcement: Name
    resin: Name
    process: Name = "hand"
    angle_deg: Angle = 0.0
    mat_side: Literal["down", "up"] = "down"
    count: Count = 1
    glass_fraction: Fraction | None = None
    thickness_mm: Thickness | None = None

    @model_validator(mode="after")
    def _one_measurement(self):
        if self.glass_fraction is not None and self.thickness_mm is not None:
            raise broken("can be overruled by glass_fraction or by thickness_mm, not both [-]",
                         "keep the one that was measured; of an old laminate with both, keep glass_fraction and enter the count "
                         "that comes nearest to its thickness", field="glass_fraction", value=self.glass_fraction)
        return self


class CoreEntry(Record):
    """One sheet of core, laid `count` times, with the catalogue's values or the job's own.

    Parameters
    ----------
    kind : {"core"}
        Marks the layer as a core [-].
    core : str
        Name in the catalogue [-].
    thickness_mm : float
        Thickness of one sheet [mm].
    count : int
        Number of sheets directly on each other [-].
    angle_deg : float
        Face grain from x towards y [deg].
    density_kg_m3 : float, optional
        Own density [kg/m3].
    e_mpa, e2_mpa : float, optional
        Own moduli in the plane, along and across the face grain; where the one across is not given, the catalogue's
        ratio of across to along is taken, which is 1 for boards without grain [MPa].
    g_mpa, crush_mpa, shear_strength_mpa : float, optional
        Own shear modulus and crushing and shear strength through the thickness [MPa].
    status : str, optional
        Where the own values come from; needed as soon as there is one [-].

    Examples
    --------
    >>> CoreEntry(kind="core", core="pu_board_416", thickness_mm=18).own
    {}
    """

    kind: Literal["core"]
    core: Name
    thickness_mm: CoreThickness
    count: Count = 1
    angle_deg: Angle = 0.0
    density_kg_m3: Density | None = None
    e_mpa: Modulus | None = None
    e2_mpa: Modulus | None = None
    g_mpa: Modulus | None = None
    crush_mpa: Strength | None = None
    shear_strength_mpa: Strength | None = None
    status: Status | None = None

    @property
    def own(self):
        """The values that overrule the catalogue, by field name [as the names say]."""
        names = ("density_kg_m3", "e_mpa", "e2_mpa", "g_mpa", "crush_mpa", "shear_strength_mpa")
        return {name: getattr(self, name) for name in names if getattr(self, name) is not None}

    @model_validator(mode="after")
    def _owned(self):
        if self.own and self.status is None:
            raise broken("is missing although the layer has values of its own [-]",
                         "say where they come from, for example status = \"data sheet\"", field="status")
        if self.e2_mpa is not None and self.e_mpa is None:
            raise broken("cannot stand alone: the modulus along the face grain is missing [MPa]",
                         "enter e_mpa beside it", field="e2_mpa", value=self.e2_mpa)
        return self


class SolidEntry(Record):
    """An existing skin or other homogeneous layer with measured thickness.

    Parameters
    ----------
    kind : {"solid"}
        Marks the layer as solid [-].
    name : str
        What it is [-].
    thickness_mm : float
        Measured thickness [mm].
    e_mpa : float, optional
        Young's modulus along the layer's x; needed unless the glass content is given [MPa].
    e2_mpa : float, optional
        Modulus across, if it differs [MPa].
    nu12 : float
        Poisson ratio [-].
    g12_mpa : float, optional
        Shear modulus; isotropic if not given [MPa].
    density_kg_m3 : float, optional
        Density; with the glass content it may be left out and is computed from glass and polyester [kg/m3].
    glass_fraction : float, optional
        Mass of glass over mass of laminate from a burn-off, in place of `e_mpa`: stiffness and strength then come from
        the small-craft regressions in glass content [-].
    glass_kind : {"mat", "woven", "mixed"}, optional
        What the glass that is left looks like: mat only, woven rovings, or both; needed with `glass_fraction` [-].
    status : str
        Where the values come from [-].
    existing : bool
        Whether it is there already, so that nothing is bought [-].

    Examples
    --------
    >>> SolidEntry(kind="solid", name="outer skin", thickness_mm=4.57, e_mpa=8500, density_kg_m3=1450,
    ...            status="measured").existing
    True
    >>> SolidEntry(kind="solid", name="old skin", thickness_mm=5, glass_fraction=0.3, glass_kind="mat", status="measured").unused
    ('nu12',)
    """

    kind: Literal["solid"]
    name: Text
    thickness_mm: Thickness
    e_mpa: SkinModulus | None = None
    e2_mpa: SkinModulus | None = None
    nu12: quantity("-", least=0, most=0.9) = 0.3
    g12_mpa: Modulus | None = None
    density_kg_m3: Density | None = None
    glass_fraction: Fraction | None = None
    glass_kind: Literal["mat", "woven", "mixed"] | None = None
    status: Status
    existing: Flag = True

    @property
    def unused(self):
        """Fields that count for nothing because the glass content stands for them [-]."""
        return () if self.glass_fraction is None else ("nu12",)

    @model_validator(mode="after")
    def _known_one_way(self):
        if self.glass_fraction is None:
            self._modulus_known()
        else:
            self._glass_known()
        return self

    def _modulus_known(self):
        if self.glass_kind is not None:
            raise broken("cannot stand without glass_fraction [-]", "enter the glass content that the burn-off gave, or take "
                         "it out", field="glass_kind", value=self.glass_kind)
        if self.e_mpa is None:
            raise broken("is missing [MPa]", "add it: e_mpa = a number in MPa, or a text with a unit of its own in quotation marks; or "
                         "for an old laminate known by a burn-off glass_fraction and glass_kind", field="e_mpa")
        if self.density_kg_m3 is None:
            raise broken("is missing [kg/m3]", "add it: density_kg_m3 = a number in kg/m3, or a text with a unit of its own in "
                         "quotation marks", field="density_kg_m3")

    def _glass_known(self):
        if self.e_mpa is not None:
            raise broken("cannot stand beside e_mpa [-]", "keep the one that was measured", field="glass_fraction",
                         value=self.glass_fraction)
        if self.glass_kind is None:
            raise broken("is missing although glass_fraction is given [-]",
                         'say what the glass that is left looks like: glass_kind = "mat", "woven" or "mixed"', field="glass_kind")
        if not LOWEST_FOR_MODULUS <= self.glass_fraction <= HIGHEST_WEIGHT_FRACTION:
            raise broken(f"must lie between {LOWEST_FOR_MODULUS} and {HIGHEST_WEIGHT_FRACTION} for the regressions in glass "
                         "content [-]",
                         "check the burn-off: hand-laid mat has about 0.25 to 0.35, woven rovings 0.40 to 0.55; or enter e_mpa",
                         field="glass_fraction", value=self.glass_fraction)
        for name in ("e2_mpa", "g12_mpa", "nu12"):
            if name in self.model_fields_set and getattr(self, name) is not None:
                raise broken("cannot stand beside glass_fraction, which it follows from [-]", "take it out, or enter e_mpa "
                             "instead of glass_fraction", field=name, value=getattr(self, name))


class CoatEntry(Record):
    """Gel coat or paint: thickness and mass, no stiffness.

    Parameters
    ----------
    kind : {"coat"}
        Marks the layer as a coat [-].
    resin : str
        Name of the gel coat in `resins` and `prices` [-].
    thickness_mm : float
        Cured film [mm].
    density_kg_m3 : float, optional
        Density of the cured film; the catalogue's if not given [kg/m3].
    coats : int
        How many coats make the film [-].
    waxed : bool
        Whether the last coat carries wax [-].
    existing : bool
        Whether it is there already, so that nothing is bought [-].

    Examples
    --------
    >>> CoatEntry(kind="coat", thickness_mm=0.5).resin
    'gel_coat'
    """

    kind: Literal["coat"]
    resin: Name = "gel_coat"
    thickness_mm: quantity("mm", above=0, most=5)
    density_kg_m3: Density | None = None
    coats: whole(1, 10) = 1
    waxed: Flag = False
    existing: Flag = False


class BondEntry(Record):
    """A bond line: wet mat, with putty that adds thickness or only fills hollows.

    Parameters
    ----------
    kind : {"bond"}
        Marks the layer as a bond line [-].
    reinforcement, resin, process : str
        Names in the catalogue [-].
    putty_thickness_mm : float
        Putty that stays between the faces and counts in the thickness [mm].
    putty_fill_mm : float
        Putty bought per area to fill hollows and squeeze out; not counted in the thickness [mm].
    putty_e_mpa : float
        Young's modulus of cured putty [MPa].
    putty_density_kg_m3 : float
        Density of cured putty [kg/m3].
    status : str, optional
        Where the putty figures come from [-].

    Examples
    --------
    >>> BondEntry(kind="bond", reinforcement="csm_450", resin="iso_polyester").putty_thickness_mm
    0.0
    """

    kind: Literal["bond"]
    reinforcement: Name
    resin: Name
    process: Name = "hand"
    putty_thickness_mm: Film = 0.0
    putty_fill_mm: Film = 0.0
    putty_e_mpa: Modulus | None = None
    putty_density_kg_m3: Density | None = None
    status: Status | None = None

    @model_validator(mode="after")
    def _putty_known(self):
        for name in ("putty_e_mpa", "putty_density_kg_m3"):
            if self.putty_thickness_mm > 0 and getattr(self, name) is None:
                raise broken("is missing although putty_thickness_mm counts in the thickness [-]",
                             "enter the value of the cured putty", field=name)
        return self


class IncludeEntry(Record):
    """All layers of another schedule of the same job, in their order.

    Parameters
    ----------
    kind : {"include"}
        Marks the layer as a reference [-].
    schedule : str
        Name of the other schedule [-].

    Examples
    --------
    >>> IncludeEntry(kind="include", schedule="inner_skin").schedule
    'inner_skin'
    """

    kind: Literal["include"]
    schedule: Name


Layer = Annotated[PlyEntry | CoreEntry | SolidEntry | CoatEntry | BondEntry | IncludeEntry, Field(discriminator="kind")]


class ScheduleEntry(Record):
    """A named schedule: ordered layers, the first against the mould (the outer skin).

    Parameters
    ----------
    title : str
        Name for people [-].
    layers : tuple of layers
        Outer side first [-].
    laid : {"outer_first", "inner_first"}
        Which end of the list is laid first; a patch laid from outside is "inner_first" [-].
    existing : bool
        Whether the whole schedule is there already, so that nothing is bought [-].
    note : str
        Anything else [-].

    Examples
    --------
    >>> ScheduleEntry(layers=[{"kind": "coat", "thickness_mm": 0.5}]).laid
    'outer_first'
    """

    title: Text = ""
    layers: many(Layer, least=1, most=200)
    laid: Literal["outer_first", "inner_first"] = "outer_first"
    existing: Flag = False
    note: Note = ""
