"""Outboard engines: power limit by the federal formula, and mass by power band."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.parts.basis import KW_PER_HP, MM_PER_FOOT, MM_PER_INCH, plain

KG_PER_LB = 0.45359237
# upper end of each band of the factor, and the horsepower capacity
_POWER_BANDS = ((35, 3.0), (39, 5.0), (42, 7.5), (45, 10.0), (52, 15.0))
REMOTE_TRANSOM_HEIGHT = 20 * MM_PER_INCH
CFR = "33 CFR 183.53"


@dataclass(frozen=True)
class PowerLimit:
    """Greatest outboard power for a boat.

    Parameters
    ----------
    power_hp : float
        Limit, raised to the next multiple of 5 where the rule allows [hp].
    calculated_hp : float
        Limit before raising [hp].
    factor_ft2 : float
        Length times transom width [ft2].
    branch : str
        Row or formula of the rule that applied [-].
    notes : tuple of str
        Rounding and disagreements [-].

    Examples
    --------
    >>> round(PowerLimit(185.0, 183.0, 136.5, "2 F - 90").power_kw, 1)
    138.0
    """

    power_hp: float
    calculated_hp: float
    factor_ft2: float
    branch: str
    notes: tuple = ()

    @property
    def power_kw(self):
        """Limit [kW]."""
        return self.power_hp * KW_PER_HP


def size_factor(length, transom_width):
    """Size factor of the federal power rule: length in feet times transom width in feet.

    Parameters
    ----------
    length : array_like, shape (...)
        Boat length [mm].
    transom_width : array_like, shape (...)
        Greatest transom width without handles and fittings [mm].

    Returns
    -------
    float or ndarray, shape (...)
        Factor F [ft2].

    References
    ----------
    33 CFR 183.53, seen.

    Examples
    --------
    >>> round(size_factor(19.5 * 304.8, 7 * 304.8), 6)
    136.5
    """
    length, width = positive("boat length", length, "mm"), positive("transom width", transom_width, "mm")
    # 1e-6 ft2: feet that went through mm must not miss a band by the last bit
    return plain(np.round(length * width / MM_PER_FOOT**2, 6))


def power_limit(length, transom_width, *, remote_steering, transom_height, flat_bottom_hard_chine=False):
    """Greatest outboard power by the federal horsepower formula.

    Parameters
    ----------
    length : float
        Boat length [mm].
    transom_width : float
        Greatest transom width without handles and fittings [mm].
    remote_steering : bool
        Whether the engine is steered from a remote position [-].
    transom_height : float
        Height of the motor mount [mm]; 508 mm (20 in) is the limit in the rule.
    flat_bottom_hard_chine : bool
        Whether the boat has a flat bottom with hard chines [-].

    Returns
    -------
    PowerLimit
        Limit [hp, kW] with the branch used.

    Raises
    ------
    InputError
        If a size is not positive.

    Notes
    -----
    F up to 52.5 is taken to the nearest whole number and read from the table
    (3, 5, 7.5, 10, 15 hp up to 35, 39, 42, 45, 52); a flat bottom with hard
    chines goes one step down.  Above, F is not rounded: 2 F - 90 with remote
    steering and at least a 20 in transom; otherwise 0.8 F - 25, or 0.5 F - 15
    with flat bottom and hard chines; then up to the next multiple of 5.
    Sources disagree: F = 45.96 is quoted as 10 hp, but its nearest whole number
    is 46, hence 15 hp; one page drops 0.8 F - 25.  A limit for US outboard
    monohulls below 20 ft; it says nothing on transom strength.

    References
    ----------
    33 CFR 183.53, seen.

    Examples
    --------
    >>> limit = power_limit(19.5 * 304.8, 7 * 304.8, remote_steering=True, transom_height=508)
    >>> limit.power_hp, limit.calculated_hp, limit.branch
    (185.0, 183.0, '2 F - 90')
    """
    factor = size_factor(length, transom_width)
    if np.ndim(factor):
        raise InputError("boat length and transom width", "must be one boat [mm]", factor, "call it once a boat")
    height = float(positive("transom height", transom_height, "mm"))
    notes = ["the builder's plate decides where there is one"]
    if factor <= 52.5:
        whole = min(int(np.floor(factor + 0.5)), 52)
        step = next(i for i, (top, _) in enumerate(_POWER_BANDS) if whole <= top)
        if whole != factor:
            notes.append(f"factor {factor:g} taken to the nearest whole number {whole}")
        step = max(step - 1, 0) if flat_bottom_hard_chine else step
        power = _POWER_BANDS[step][1]
        return PowerLimit(power, power, factor, "table" + (", one step down" if flat_bottom_hard_chine else ""),
                          tuple(notes))
    if remote_steering and height >= REMOTE_TRANSOM_HEIGHT:
        slope, offset = 2.0, 90.0
    elif flat_bottom_hard_chine:
        slope, offset = 0.5, 15.0
    else:
        slope, offset = 0.8, 25.0
        notes.append("one published page drops the 0.8 F - 25 branch")
    calculated = round(slope * factor - offset, 6)
    power = 5.0 * float(np.ceil(calculated / 5.0))
    if power != calculated:
        notes.append(f"{calculated:g} hp raised to the next multiple of 5")
    return PowerLimit(power, calculated, factor, f"{slope:g} F - {offset:g}", tuple(notes))


@dataclass(frozen=True)
class EngineMass:
    """Outboard mass from a published table of power bands.

    Parameters
    ----------
    dry_kg : float
        Dry mass [kg].
    running_kg : float
        Running mass: oil, fuel in the engine, propeller; the one for transom loads [kg].
    total_kg : float
        Running mass plus controls, battery and full portable tank [kg].
    band_hp : tuple of float
        Power band, low and high [hp].
    status : str
        How the table is known [-].
    notes : tuple of str
        What was applied [-].

    Examples
    --------
    >>> round(EngineMass(129.7, 136.1, 208.2, (35.0, 64.9), "source seen").submerged_kg, 1)
    115.7
    """

    dry_kg: float
    running_kg: float
    total_kg: float
    band_hp: tuple
    status: str
    notes: tuple = ()

    @property
    def submerged_kg(self):
        """Weight carried when swamped, 0.85 of the running mass [kg]."""
        return 0.85 * self.running_kg


def engine_mass(band, *, short_transom=False):
    """Outboard masses from one power band of the catalogue.

    Parameters
    ----------
    band : lamcalc.materials.records.Outboard
        Power band, as from `catalogue.load().outboard_for(power_kw=30)` [kg].
    short_transom : bool
        Whether the transom is 508 mm (20 in) high or less: the dry mass may then be cut by 10 % [-].

    Returns
    -------
    EngineMass
        Dry, running, submerged and total mass [kg]; use the running mass for a transom.

    Notes
    -----
    Running = 1.05 dry; total = running + controls + battery + fuel.  The cut
    is optional in the source: leaving it out is the safe side for a transom.

    References
    ----------
    33 CFR 183 subpart H, table of outboard weights as updated from ABYC S-30 (82 FR 16512), seen.

    Examples
    --------
    >>> from lamcalc.materials.records import Outboard, Value
    >>> lb = lambda mass: Value(mass * 0.45359237, None, None, "kg", "source seen", "OBMASS")
    >>> band = Outboard("hp_35_65", "35-64.9 hp", "source seen", "OBMASS", 35, 64.9, 26.1, 48.4,
    ...                 lb(286), lb(300), lb(14), lb(45), lb(100), lb(459))
    >>> round(engine_mass(band).running_kg), round(engine_mass(band, short_transom=True).running_kg)
    (136, 123)
    """
    dry, running = float(band.require("dry_mass_kg")), float(band.require("running_mass_kg"))
    notes = ("for a transom use the running mass, not the total; the engine's own data sheet is better",)
    if short_transom:
        dry *= 0.9
        running = 1.05 * dry
        notes += ("dry mass cut by 10 % for a transom of 508 mm (20 in) or less",)
    extras = [float(band.require(name)) for name in ("controls_mass_kg", "battery_mass_kg", "fuel_mass_kg")]
    return EngineMass(dry, running, rigged_mass(running, *extras), (band.power_hp_low, band.power_hp_high),
                      band.status, notes)


def rigged_mass(running, controls, battery, fuel):
    """Total outboard mass: running mass plus controls, dry battery and full portable tank.

    Parameters
    ----------
    running : array_like, shape (...)
        Running mass [kg, or any one unit for all four].
    controls : array_like, shape (...)
        Controls [kg].
    battery : array_like, shape (...)
        Battery, dry [kg].
    fuel : array_like, shape (...)
        Full portable tank [kg].

    Returns
    -------
    float or ndarray, shape (...)
        Total [kg, or the unit given].

    References
    ----------
    33 CFR 183 subpart H, table of outboard weights as updated from ABYC S-30 (82 FR 16512), seen.

    Examples
    --------
    >>> rigged_mass(300, 14, 45, 100)
    459.0
    """
    parts = [positive(name, value, "kg", zero=name != "running mass") for name, value in
             (("running mass", running), ("controls", controls), ("battery", battery), ("fuel", fuel))]
    return plain(sum(parts))
