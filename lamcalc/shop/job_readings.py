"""Readings before and after the work as a job file writes them: survey and as-built."""

from pydantic import model_validator

from lamcalc.sentences import counted, rule_sentence
from lamcalc.shop.job_types import (
    Allowance, Density, Film, Mass, Name, Note, Reach, Record, Status, Text, Thickness, broken, many, percent, quantity,
)

Moisture = percent(200)
Across = quantity("mm", least=-30_000, most=30_000)
Hardness = quantity("-", least=0, most=100)


class BurnOff(Record):
    """A burn-off coupon.

    Parameters
    ----------
    dry_mass_g, residue_mass_g : float
        Before and after ignition [g].
    density_kg_m3 : float, optional
        Density of the coupon [kg/m3].

    Examples
    --------
    >>> BurnOff(dry_mass_g=4.62, residue_mass_g=1.61).residue_mass_g
    1.61
    """

    dry_mass_g: quantity("g", above=0, most=10_000)
    residue_mass_g: quantity("g", above=0, most=10_000)
    density_kg_m3: Density | None = None

    @model_validator(mode="after")
    def _lighter(self):
        if self.residue_mass_g >= self.dry_mass_g:
            raise broken(f"must be less than dry_mass_g, {self.dry_mass_g:g} [g]", "check the two weighings",
                         field="residue_mass_g", value=self.residue_mass_g)
        return self


class ThicknessReadings(Record):
    """Thickness measured at several places.

    Parameters
    ----------
    name : str
        What was measured [-].
    readings_mm : tuple of float
        Readings, coat included [mm].
    gel_coat_mm : float
        Coat included in the readings [mm].

    Examples
    --------
    >>> ThicknessReadings(name="inner skin", readings_mm=[2.6]).gel_coat_mm
    0.0
    """

    name: Text
    readings_mm: many(Thickness, least=1)
    gel_coat_mm: Film = 0.0

    @model_validator(mode="after")
    def _thicker_than_its_coat(self):
        if min(self.readings_mm) <= self.gel_coat_mm:
            raise broken(rule_sentence("must be less than every reading, {most} [mm]",
                                       most=min(self.readings_mm)), "check the readings",
                         field="gel_coat_mm", value=self.gel_coat_mm)
        return self


def _as_many(line, field):
    places, readings = len(line.x_mm), len(getattr(line, field))
    if places != readings:
        raise broken(f"must have as many readings as x_mm has places, {places} [-]", "enter one reading a place",
                     field=field, value=counted(readings, "reading"))
    return line


class MoistureLine(Record):
    """Moisture meter readings along a line.

    Parameters
    ----------
    height_mm : float
        Height of the line above the part's lower edge [mm].
    x_mm : tuple of float
        Places from port to starboard, zero at the middle [mm].
    percent : tuple of float
        Moisture content shown [%].
    status : str
        Where the places come from; the readings themselves are measured [-].

    Examples
    --------
    >>> MoistureLine(height_mm=100, x_mm=[-500, 500], percent=[11, 14]).percent
    (11.0, 14.0)
    """

    height_mm: Reach
    x_mm: many(Across, least=1)
    percent: many(Moisture, least=1)
    status: Status = "measured"

    @model_validator(mode="after")
    def _reading_a_place(self):
        return _as_many(self, "percent")


class TapLine(Record):
    """Tap test along a line.

    Parameters
    ----------
    height_mm : float
        Height of the line above the part's lower edge [mm].
    x_mm : tuple of float
        Places from port to starboard, zero at the middle [mm].
    sound : str
        One letter a place: C crisp, D dull [-].
    status : str
        Where the places come from [-].

    Examples
    --------
    >>> TapLine(height_mm=100, x_mm=[-500, 0, 500], sound="CDC").sound
    'CDC'
    """

    height_mm: Reach
    x_mm: many(Across, least=1)
    sound: Text
    status: Status = "measured"

    @model_validator(mode="after")
    def _letter_a_place(self):
        if set(self.sound) - {"C", "D"}:
            raise broken("must be letters C for crisp and D for dull [-]", "write one letter a place",
                         field="sound", value=self.sound)
        return _as_many(self, "sound")


class SurveyArea(Record):
    """What was found on one part before the work.

    Parameters
    ----------
    found : str
        Findings in words [-].
    not_opened : str
        What nobody has looked into [-].
    thickness : tuple of ThicknessReadings
        Plugs and calipers [mm].
    moisture : tuple of MoistureLine
        Meter readings [%].
    tap : tuple of TapLine
        Tap test [-].
    dull_below_mm : float, optional
        Dull everywhere below this height [mm].
    soft_core_share : float, optional
        Lower share of the core that is soft, as a fraction [-].
    coupon : BurnOff, optional
        Burn-off of the old laminate [g].

    Examples
    --------
    >>> SurveyArea(found="two hairline cracks").tap
    ()
    """

    found: Note = ""
    not_opened: Note = ""
    thickness: many(ThicknessReadings, most=50) = ()
    moisture: many(MoistureLine, most=100) = ()
    tap: many(TapLine, most=100) = ()
    dull_below_mm: Reach | None = None
    soft_core_share: Allowance | None = None
    coupon: BurnOff | None = None


class AsBuilt(Record):
    """Readings after the work on one part.

    Parameters
    ----------
    laminate : str
        Schedule that thickness, hardness and coupon belong to [-].
    thickness_mm : tuple of float
        Readings [mm].
    glass_used_kg, resin_used_kg : float, optional
        Weighed into the whole part [kg].
    barcol : tuple of float
        Hardness readings [-].
    barcol_hours : float, optional
        Time since the last ply [h].
    barcol_limit : float, optional
        Limit of the resin's data sheet [-].
    coupon : BurnOff, optional
        Witness coupon [g].
    note : str
        Deviations and what was not checked [-].

    Examples
    --------
    >>> AsBuilt(laminate="inner_skin", thickness_mm=[5.6, 5.3]).barcol
    ()
    """

    laminate: Name
    thickness_mm: many(Thickness) = ()
    glass_used_kg: Mass | None = None
    resin_used_kg: Mass | None = None
    barcol: many(Hardness) = ()
    barcol_hours: quantity("h", least=0, most=10_000) | None = None
    barcol_limit: Hardness | None = None
    coupon: BurnOff | None = None
    note: Note = ""
