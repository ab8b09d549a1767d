"""Details of boat parts as a job file describes them: outline, engine, bolts, supports, joints, loads, repairs."""

from typing import Literal

from pydantic import model_validator

from lamcalc.errors import InputError
from lamcalc.sentences import rule_sentence
from lamcalc.shop.job_types import (
    Angle, Density, Flag, Length, Mass, Modulus, Name, Note, Offset, Reach, Record, SkinModulus, Status, Text, Thickness,
    Width, broken, many, quantity, whole,
)
from lamcalc.shop.scarf import checked_ratio

Support = Literal["clamped", "simply_supported", "free"]
Force = quantity("N", above=0, most=1e6)
Steel = quantity("MPa", above=0, most=3_000)
AREA_TOLERANCE = 0.10


class Outline(Record):
    """Outline of a transom seen from astern.

    Parameters
    ----------
    top_width_mm, chine_width_mm : float
        Width at the top edge and at the chines [mm].
    height_mm : float
        From the chine level to the top edge [mm].
    vee_mm : float
        How much deeper the keel is than the chine level [mm].
    cut_out_width_mm, cut_out_depth_mm : float
        Notch for the motor, from the top edge down [mm].
    net_area_m2 : float, optional
        Measured area; it overrules the area of the outline [m2].
    polygon_mm : tuple of (x, y), optional
        Measured corners in order; they overrule the trapezoid [mm].

    Examples
    --------
    >>> round(Outline(top_width_mm=1500, chine_width_mm=1240, height_mm=620, vee_mm=90,
    ...               cut_out_width_mm=480, cut_out_depth_mm=130).area_m2, 4)
    0.8428
    """

    top_width_mm: Width
    chine_width_mm: Width
    height_mm: Width
    vee_mm: Reach = 0.0
    cut_out_width_mm: Reach = 0.0
    cut_out_depth_mm: Reach = 0.0
    net_area_m2: quantity("m2", above=0, most=100) | None = None
    polygon_mm: many(tuple[Reach | Offset, Reach | Offset], least=3, most=200) | None = None

    @property
    def drawn_area_m2(self):
        """Area of the polygon or of trapezoid and vee, less the cut-out [m2]."""
        if self.polygon_mm:
            pairs = zip(self.polygon_mm, self.polygon_mm[1:] + self.polygon_mm[:1], strict=True)
            return abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs)) / 2e6
        gross = (self.top_width_mm + self.chine_width_mm) / 2 * self.height_mm + self.chine_width_mm * self.vee_mm / 2
        return (gross - self.cut_out_width_mm * self.cut_out_depth_mm) / 1e6

    @property
    def area_m2(self):
        """The measured area if there is one, else the drawn area [m2]."""
        return self.drawn_area_m2 if self.net_area_m2 is None else self.net_area_m2

    @model_validator(mode="after")
    def _fits(self):
        if self.cut_out_width_mm > self.top_width_mm:
            raise broken(rule_sentence("must be at most top_width_mm, {most} [mm]",
                                       most=self.top_width_mm), "measure again",
                         field="cut_out_width_mm", value=self.cut_out_width_mm)
        if self.cut_out_depth_mm > self.height_mm:
            raise broken(rule_sentence("must be at most height_mm, {most} [mm]", most=self.height_mm), "measure again",
                         field="cut_out_depth_mm", value=self.cut_out_depth_mm)
        if self.drawn_area_m2 <= 0:
            raise broken("must enclose an area [m2]", "check the corners and the cut-out")
        if self.net_area_m2 and abs(self.net_area_m2 / self.drawn_area_m2 - 1) > AREA_TOLERANCE:
            raise broken(rule_sentence("must agree within 10 % with the outline, {drawn} [m2]",
                                       drawn=round(self.drawn_area_m2, 3)),
                         "measure again, or give the corners in polygon_mm",
                         field="net_area_m2", value=self.net_area_m2)
        return self


class Engine(Record):
    """Outboard on the transom; places are measured from the upper bolts in the transom.

    On a bracket that sets the engine back the bolts are the bracket's: its length is in `centre_aft_mm`, its mass in
    `mass_kg`; its struts and the bracket itself are not assessed.

    Parameters
    ----------
    mass_kg : float
        Ready to run, with the bracket that sets it back [kg].
    power_kw : float
        Propeller shaft power [kW].
    centre_aft_mm : float
        Centre of gravity aft of the upper bolts, the bracket's length included [mm].
    centre_above_bolts_mm : float
        Centre of gravity above the upper bolts [mm].
    thrust_n : float, optional
        Static thrust [N].
    thrust_status : str, optional
        Where the thrust comes from; one that was measured or is the maker's is not doubted [-].
    thrust_below_bolts_mm : float
        Line of thrust below the upper bolts [mm].
    trailering_factor : float
        Weight multiplied on the road [-].
    note : str
        Shaft, steering [-].

    Examples
    --------
    >>> Engine(mass_kg=104, power_kw=30, centre_aft_mm=190, thrust_n=2100, thrust_below_bolts_mm=560,
    ...        trailering_factor=2.5).centre_above_bolts_mm
    0.0
    """

    mass_kg: Mass
    power_kw: quantity("kW", above=0, most=1_000)
    centre_aft_mm: Offset
    centre_above_bolts_mm: Offset = 0.0
    thrust_n: Force | None = None
    thrust_status: Status | None = None
    thrust_below_bolts_mm: Length
    trailering_factor: quantity("-", least=1, most=10)
    note: Note = ""


class Bolts(Record):
    """Engine bolts and their plates.

    Parameters
    ----------
    number : int
        Number of bolts, in two rows [-].
    diameter_mm : float
        Nominal diameter [mm].
    upper_spacing_mm : float
        Between the upper pair, centre to centre; the outer two where a row has more [mm].
    lower_spacing_mm : float, optional
        Between the lower pair; as the upper if not given [mm].
    row_spacing_mm : float
        Lower pair below the upper pair [mm].
    below_edge_mm : float, optional
        Upper bolts below the edge of the cut-out; 47.6 mm (1-7/8 in) if not given, a bracket is often bolted lower [mm].
    plate_length_mm, plate_width_mm, plate_thickness_mm : float
        Plate or washer under each bolt [mm].
    proof_mpa : float, optional
        Proof stress of the bolts; stainless of class 70 is assumed if not given [MPa].
    plate_yield_mpa : float, optional
        Yield stress of the plates; annealed stainless is assumed if not given [MPa].

    Examples
    --------
    >>> Bolts(number=4, diameter_mm=12, upper_spacing_mm=327, row_spacing_mm=200, plate_length_mm=60,
    ...       plate_width_mm=60, plate_thickness_mm=5).number
    4
    """

    number: whole(2, 24)
    diameter_mm: quantity("mm", least=3, most=60)
    upper_spacing_mm: Length
    lower_spacing_mm: Length | None = None
    row_spacing_mm: Length
    below_edge_mm: Length | None = None
    plate_length_mm: Length
    plate_width_mm: Length
    plate_thickness_mm: Thickness
    proof_mpa: Steel | None = None
    plate_yield_mpa: Steel | None = None


class Window(Record):
    """Total thickness that the engine's clamps accept.

    Parameters
    ----------
    low_mm, high_mm : float
        Smallest and largest total thickness [mm].
    status : str
        Where the values come from [-].

    Examples
    --------
    >>> Window(low_mm=41, high_mm=57, status="assumed").high_mm
    57.0
    """

    low_mm: Thickness
    high_mm: Thickness
    status: Status

    @model_validator(mode="after")
    def _ordered(self):
        if self.low_mm > self.high_mm:
            raise broken(rule_sentence("must be at most high_mm, {most} [mm]", most=self.high_mm), "exchange the two",
                         field="low_mm", value=self.low_mm)
        return self


class Edges(Record):
    """How the four edges of a plate are held, seen from astern or from above.

    Parameters
    ----------
    left, right, bottom, top : {"clamped", "simply_supported", "free"}
        Support of each edge; left and right are the ends of the plate's x [-].
    status : str
        Where the assumption comes from [-].

    Examples
    --------
    >>> Edges(left="clamped", right="clamped", bottom="simply_supported", top="free", status="assumed").top
    'free'
    """

    left: Support
    right: Support
    bottom: Support
    top: Support
    status: Status = "assumed"


class Tape(Record):
    """One tape of a tabbed joint.

    Parameters
    ----------
    reinforcement, resin : str
        Names in the catalogue [-].
    leg_mm : float
        Width on each face, from the end of the fillet [mm].
    angle_deg : float
        Roll direction from the joint's length; a stitched 45 fabric at 0 has its fibres at 45 [deg].

    Examples
    --------
    >>> Tape(reinforcement="biax45_1708", resin="iso_polyester", leg_mm=50).leg_mm
    50.0
    """

    reinforcement: Name
    resin: Name
    leg_mm: Length
    angle_deg: Angle = 0.0


class Tabbing(Record):
    """Fillet and tapes along a joint.

    Parameters
    ----------
    length_mm : float
        Length of the joint [mm].
    included_angle_deg : float
        Between the two faces [deg].
    fillet_radius_mm : float
        Radius of the putty fillet [mm].
    tapes : tuple of Tape
        In the order laid [-].

    Examples
    --------
    >>> Tabbing(length_mm=3100, included_angle_deg=104, fillet_radius_mm=20, tapes=[
    ...     dict(reinforcement="biax45_1708", resin="iso_polyester", leg_mm=50)]).fillet_radius_mm
    20.0
    """

    length_mm: quantity("mm", above=0, most=100_000)
    included_angle_deg: quantity("deg", least=30, most=179)
    fillet_radius_mm: quantity("mm", least=0, most=200)
    tapes: many(Tape, least=1, most=20)


class Screening(Record):
    """Skin moduli for a first hand calculation beside the laminate theory.

    Parameters
    ----------
    outer_skin_e_mpa, inner_skin_e_mpa : float
        Young's moduli [MPa].
    status : str
        Where the values come from [-].

    Examples
    --------
    >>> Screening(outer_skin_e_mpa=8500, inner_skin_e_mpa=10500, status="assumed").inner_skin_e_mpa
    10500.0
    """

    outer_skin_e_mpa: SkinModulus
    inner_skin_e_mpa: SkinModulus
    status: Status


class Former(Record):
    """Former inside a hat stringer.

    Parameters
    ----------
    material : str
        What it is [-].
    density_kg_m3 : float
        Density [kg/m3].
    e_mpa : float, optional
        Modulus; without it the former carries nothing [MPa].
    existing : bool
        Whether it is in the boat already and stays [-].

    Examples
    --------
    >>> Former(material="foam", density_kg_m3=80).e_mpa is None
    True
    """

    material: Text
    density_kg_m3: Density
    e_mpa: Modulus | None = None
    existing: Flag = False


class PatchLoad(Record):
    """A load on part of a panel.

    Parameters
    ----------
    force_n : float
        Total force [N].
    length_mm, width_mm : float
        Loaded rectangle [mm].

    Examples
    --------
    >>> PatchLoad(force_n=1200, length_mm=100, width_mm=100).mean_kpa
    120.0
    """

    force_n: Force
    length_mm: Length
    width_mm: Length

    @property
    def mean_kpa(self):
        """Mean pressure under it [kPa]."""
        return 1000 * self.force_n / (self.length_mm * self.width_mm)


class Repair(Record):
    """Scarfed patch in a panel.

    Parameters
    ----------
    damage_length_mm, damage_width_mm : float
        Damaged zone that is cut out [mm].
    crack_length_mm : float, optional
        Visible crack [mm].
    side : {"outside", "inside"}
        Side that is ground and laid from [-].
    scarf_ratio : float
        Length of the scarf for 1 of thickness, 6 or more [-].
    first_laid : {"smallest", "largest"}
        Which piece goes in first; disputed, so the shop states its choice [-].
    first_laid_status : str
        Where that choice comes from [-].
    bond_allowable_mpa : float, optional
        Average shear that the shop's own scarf bonds may carry, from broken test pieces, safety counted in [MPa].

    Examples
    --------
    >>> Repair(damage_length_mm=240, damage_width_mm=70, side="outside", scarf_ratio=12).first_laid
    'smallest'
    """

    damage_length_mm: Length
    damage_width_mm: Length
    crack_length_mm: Length | None = None
    side: Literal["outside", "inside"]
    scarf_ratio: quantity("-", above=0, most=100)
    first_laid: Literal["smallest", "largest"] = "smallest"
    first_laid_status: Status = "assumed"
    bond_allowable_mpa: quantity("MPa", above=0, most=100) | None = None

    @model_validator(mode="after")
    def _no_steeper_than_tested(self):
        try:
            checked_ratio(self.scarf_ratio)
        except InputError as problem:
            raise broken(problem.rule, problem.next_step, field="scarf_ratio", value=self.scarf_ratio) from None
        return self
