"""Frozen records of what can be bought, all in one place.

Columns of `data/` in MPa lose the suffix (`e_x_mpa` becomes `e_x`), all others
keep their name."""

from dataclasses import dataclass

from lamcalc.materials.fabrics import (
    COMPONENT_KINDS,
    FRACTION_KINDS,
    Component,
    Fibre,
    Process,
    Reinforcement,
    Resin,
)
from lamcalc.materials.sheets import Core, PlywoodSize, Veneer
from lamcalc.materials.values import STATUSES, UNVERIFIED, Record, Value

__all__ = [
    "COMPONENT_KINDS",
    "Component",
    "Core",
    "FRACTION_KINDS",
    "Fibre",
    "Outboard",
    "PlywoodSize",
    "Process",
    "Record",
    "Reinforcement",
    "Resin",
    "STATUSES",
    "Source",
    "TestedLaminate",
    "UNVERIFIED",
    "Value",
    "Veneer",
]


@dataclass(frozen=True, slots=True)
class Source(Record):
    """Where numbers come from.

    Parameters
    ----------
    id : str
        Key used by the values [-].
    citation : str
        The publication, or a description of it [-].
    how_read : str
        What was read of it: table, abstract, second hand, remembered [-].
    status : str
        Status of a number taken straight from it [-].

    Examples
    --------
    >>> Source("NOTES", "Own bench notes", "the notebook itself", "source seen").id
    'NOTES'
    """

    id: str
    citation: str
    how_read: str = ""
    status: str = "source seen"


@dataclass(frozen=True, slots=True)
class Outboard(Record):
    """Masses of an outboard engine by power band.

    Parameters
    ----------
    id, name : str
        Key and power band [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    power_hp_low, power_hp_high : float
        Power band [hp].
    power_kw_low, power_kw_high : float
        Power band [kW].
    dry_mass_kg, running_mass_kg : Value
        Engine dry, and ready to run (1.05 dry): the one for a transom [kg].
    controls_mass_kg, battery_mass_kg, fuel_mass_kg, total_mass_kg : Value
        Equipment in the boat and the sum of all [kg].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> round(float(catalogue.load().outboard_for(power_kw=30).running_mass_kg))
    136
    """

    id: str
    name: str
    status: str
    source: str
    power_hp_low: float
    power_hp_high: float
    power_kw_low: float
    power_kw_high: float
    dry_mass_kg: Value
    running_mass_kg: Value
    controls_mass_kg: Value
    battery_mass_kg: Value
    fuel_mass_kg: Value
    total_mass_kg: Value
    locator: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class TestedLaminate(Record):
    """The shop's own test values for one reinforcement laid by one process, taken as one ply.

    Parameters
    ----------
    id, name : str
        Key and name [-].
    status, source, locator, note : str
        Status and source of the row, place in the source, remark [-].
    reinforcement, process : str
        Keys of what was laid and how [-].
    resin : str
        Key of the resin, empty if the tests are meant for any [-].
    basis : str
        'mean', 'mean_minus_2sd' or 'minimum' of the tests [-].
    specimens : float
        Number of specimens behind each value [-].
    glass_fraction : Value
        Measured glass by mass [-].
    thickness_mm : Value
        Measured cured thickness of one ply [mm].
    e1, e2, g12 : Value
        Moduli along and across the roll direction and in-plane shear [MPa].
    nu12 : Value
        Major Poisson ratio [-].
    xt, xc, yt, yc, s : Value
        Strength in tension and compression along, across, and in in-plane shear,
        all as positive magnitudes [MPa].
    interlaminar_strength : Value
        Interlaminar (short beam) shear strength [MPa].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> len(catalogue.load().tested_laminates)
    0
    """

    __test__ = False  # not a test class, whatever its name begins with

    id: str
    name: str
    status: str
    source: str
    reinforcement: str
    process: str
    glass_fraction: Value
    thickness_mm: Value
    e1: Value
    e2: Value
    nu12: Value
    g12: Value
    resin: str = ""
    basis: str = "mean"
    specimens: float | None = None
    xt: Value | None = None
    xc: Value | None = None
    yt: Value | None = None
    yc: Value | None = None
    s: Value | None = None
    interlaminar_strength: Value | None = None
    locator: str = ""
    note: str = ""
