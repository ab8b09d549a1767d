"""An outboard and its bracket as they act on the transom: masses, arms, bolts, backing plates.

Positions are measured from the axis of the upper bolt row at the aft face of
the transom; `transom_loads` holds the signs and the statics.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.sentences import rule_sentence


@dataclass(frozen=True)
class OutboardEngine:
    """Mass and thrust of an outboard as they act on the transom.

    Parameters
    ----------
    mass_kg : float or ndarray, shape (...)
        Running mass, not the total with tank and battery [kg].
    centre_aft : float or ndarray, shape (...)
        Centre of mass aft of the bolt plane [mm].
    thrust : float or ndarray, shape (...)
        Static thrust ahead [N].
    thrust_below : float or ndarray, shape (...)
        Propeller axis below the upper bolt row [mm].
    centre_above : float or ndarray, shape (...)
        Centre of mass above the upper bolt row, negative below [mm]; matters only with a fore-and-aft jolt.
    tilted_centre_aft : float or ndarray, shape (...), optional
        Centre of mass aft of the bolt plane with the engine tilted up for the road [mm]; as running if not given.
    mass_status, thrust_status : str
        How mass and thrust are known, such as 'user' or 'from memory' [-].

    Raises
    ------
    InputError
        If mass, arm or thrust is not positive.

    Examples
    --------
    >>> OutboardEngine(104, centre_aft=190, thrust=2100, thrust_below=560).mass_kg
    104
    """

    mass_kg: object
    centre_aft: object
    thrust: object
    thrust_below: object
    centre_above: object = 0.0
    tilted_centre_aft: object = None
    mass_status: str = "user"
    thrust_status: str = "user"

    def __post_init__(self):
        positive("engine mass", self.mass_kg, "kg")
        positive("centre of mass aft of the bolts", self.centre_aft, "mm")
        positive("thrust", self.thrust, "N", zero=True)
        positive("propeller axis below the upper bolts", self.thrust_below, "mm")
        number("centre of mass above the upper bolts", self.centre_above, "mm")
        if self.tilted_centre_aft is not None:
            positive("tilted centre of mass aft of the bolts", self.tilted_centre_aft, "mm")


@dataclass(frozen=True)
class BoltPattern:
    """Bolts and backing plates of an outboard bracket.

    Parameters
    ----------
    bolt_diameter : float
        Bolt diameter [mm].
    upper_spacing : float
        Distance between the two upper bolts [mm].
    row_spacing : float
        Lower bolt row below the upper row [mm].
    plate_width, plate_height, plate_thickness : float
        Backing plate under each bolt [mm].
    heel_below : float, optional
        Heel of the bracket below the upper row [mm]; the lower bolt row if not given, which is the safe side.
    upper_bolts, lower_bolts : int
        Number of bolts in each row [-].
    hole_diameter : float, optional
        Hole in plate and core [mm]; the bolt diameter if not given.
    lower_spacing : float, optional
        Distance between the two lower bolts [mm]; as the upper ones if not given.

    Raises
    ------
    InputError
        If a size is not positive, plates overlap, a plate is smaller than its hole, or the heel lies above
        the lower bolts.

    Examples
    --------
    >>> BoltPattern(12, 327, 200, 60, 60, 5).net_plate_area
    3486.9027
    """

    bolt_diameter: float
    upper_spacing: float
    row_spacing: float
    plate_width: float
    plate_height: float
    plate_thickness: float
    heel_below: float | None = None
    upper_bolts: int = 2
    lower_bolts: int = 2
    hole_diameter: float | None = None
    lower_spacing: float | None = None

    def __post_init__(self):
        for name in ("bolt_diameter", "upper_spacing", "row_spacing", "plate_width", "plate_height",
                     "plate_thickness", "upper_bolts", "lower_bolts"):
            positive(name.replace("_", " "), getattr(self, name), "-" if name.endswith("bolts") else "mm")
        for name in ("upper_bolts", "lower_bolts"):
            if getattr(self, name) != int(getattr(self, name)):
                raise InputError(name.replace("_", " "), "must be a whole number [-]", getattr(self, name),
                                 "count them")
        if self.hole < self.bolt_diameter:
            raise InputError("hole diameter",
                             rule_sentence("must be at least the bolt diameter {limit} [mm]", limit=self.bolt_diameter),
                             self.hole, "measure the drill")
        if min(self.plate_width, self.plate_height) <= self.hole:
            raise InputError("backing plate",
                             rule_sentence("must be larger than its hole of {limit} [mm]", limit=self.hole),
                             min(self.plate_width, self.plate_height), "enter the plate's width and height")
        if self.plate_width > self.upper_spacing:
            raise InputError("plate width",
                             rule_sentence("must not exceed the upper bolt spacing {limit} [mm]",
                                           limit=self.upper_spacing),
                             self.plate_width, "plates would overlap: enter one plate's share")
        if self.plate_width > positive("lower spacing", self.between_lower, "mm"):
            raise InputError("plate width",
                             rule_sentence("must not exceed the lower bolt spacing {limit} [mm]",
                                           limit=self.lower_spacing),
                             self.plate_width, "plates would overlap: enter one plate's share")
        if self.plate_height > self.row_spacing:
            raise InputError("plate height",
                             rule_sentence("must not exceed the row spacing {limit} [mm]", limit=self.row_spacing),
                             self.plate_height, "plates would overlap: enter one plate's share")
        if positive("heel below the upper bolts", self.row_to_heel, "mm") < self.row_spacing:
            raise InputError("heel below the upper bolts",
                             rule_sentence("must be at least the row spacing {limit} [mm]", limit=self.row_spacing),
                             self.heel_below, "measure to the lower edge of the bracket")

    @property
    def hole(self):
        """Hole diameter [mm]."""
        return self.bolt_diameter if self.hole_diameter is None else self.hole_diameter

    @property
    def between_lower(self):
        """Distance between the two lower bolts [mm]."""
        return self.upper_spacing if self.lower_spacing is None else self.lower_spacing

    @property
    def row_to_heel(self):
        """Lever from the upper row to the heel, or to the lower bolts where the heel is not given [mm]."""
        return self.row_spacing if self.heel_below is None else self.heel_below

    @property
    def net_plate_area(self):
        """Plate area less the hole [mm2]."""
        return round(self.plate_width * self.plate_height - np.pi / 4 * self.hole**2, 4)
