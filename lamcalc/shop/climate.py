"""The day: temperature, dew point, gel time and exotherm."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.sentences import Figure, Sentence, rule_sentence
from lamcalc.shop.limits import (DEW_POINT_MARGIN, GEL_PERCENT_POWER, GLASS_HEAT_CAPACITY, HEAT_OF_CURE,
                                 HUMIDITY_HIGH, POT_MASS_FACTOR, RESIN_HEAT_CAPACITY, TEMPERATURE_FLOOR,
                                 TEMPERATURE_RECOMMENDED, TEMPERATURE_WARM, Finding)
from lamcalc.shop.mixing import check_catalyst_window

MAGNUS_A, MAGNUS_B_C = 17.62, 243.12  # Magnus coefficients over water, -45 to 60 degC; from memory


class Minutes(NamedTuple):
    """A time with its range.

    Parameters
    ----------
    low, typical, high : float or ndarray, shape (...)
        Shortest, typical and longest time [min].

    Examples
    --------
    >>> Minutes(20.0, 25.0, 30.0).low
    20.0
    """

    low: float
    typical: float
    high: float


@dataclass(frozen=True, kw_only=True)
class Climate:
    """Readings of the day.

    Parameters
    ----------
    air_c, hull_c : float
        Air and hull temperature [degC].
    humidity_percent : float
        Relative humidity of the air, 0 to 100 [%].
    resin_c : float, optional
        Temperature of the resin; the air's if not given [degC].

    Raises
    ------
    InputError
        If a reading is missing, or looks like degrees Fahrenheit.

    Examples
    --------
    >>> day = Climate(air_c=18.5, hull_c=17, humidity_percent=63)
    >>> round(day.dew_point_c, 1), round(day.dew_margin_k, 1)
    (11.3, 5.7)
    """

    air_c: float
    hull_c: float
    humidity_percent: float
    resin_c: float | None = None

    def __post_init__(self):
        for label, value in (("air", self.air_c), ("hull", self.hull_c), ("resin", self.pot_c)):
            reading = float(number(f"{label} temperature", value, "degC"))
            if not -30 <= reading <= 45:
                hint = (f"it looks like degrees Fahrenheit: {reading:g} degF are {(reading - 32) / 1.8:.1f} degC"
                        if 45 < reading <= 113 else "read the thermometer again")
                raise InputError(f"{label} temperature",
                                 rule_sentence("must lie between {low} and {high} [degC]", low=-30, high=45),
                                 reading, hint)
        humidity = float(number("relative humidity", self.humidity_percent, "%"))
        if not 0 < humidity <= 100:
            raise InputError("relative humidity", "must lie above 0 and up to 100 [%]", humidity, "read the hygrometer")
        if humidity < 1:
            raise InputError("relative humidity", "must be in percent, not a fraction [%]", humidity,
                             f"write {humidity * 100:g} for {humidity * 100:g} %")

    @property
    def pot_c(self):
        """Temperature of the resin in the pot [degC]."""
        return self.air_c if self.resin_c is None else self.resin_c

    @property
    def coldest_c(self):
        """Coldest of air, hull and resin [degC]."""
        return float(min(self.air_c, self.hull_c, self.pot_c))

    @property
    def warmest_c(self):
        """Warmest of hull, air and resin [degC]."""
        return float(max(self.air_c, self.hull_c, self.pot_c))

    @property
    def dew_point_c(self):
        """Dew point of the air [degC]."""
        return float(dew_point(self.air_c, self.humidity_percent))

    @property
    def dew_margin_k(self):
        """Hull temperature above the dew point [K]."""
        return float(self.hull_c) - self.dew_point_c


def dew_point(air_c, humidity_percent):
    """Dew point of air by the Magnus formula.

    Parameters
    ----------
    air_c : array_like, shape (...)
        Air temperature, -45 to 60 [degC].
    humidity_percent : array_like, shape (...)
        Relative humidity, above 0 and up to 100 [%].

    Returns
    -------
    ndarray, shape (...)
        Dew point [degC].

    Raises
    ------
    InputError
        If the humidity is not positive or above 100.

    Notes
    -----
    gamma = ln(RH/100) + a T/(b + T), dew point = b gamma/(a - gamma), a = 17.62, b = 243.12 degC.

    References
    ----------
    Magnus formula with the usual meteorological coefficients, from memory.

    Examples
    --------
    >>> round(float(dew_point(20, 50)), 1)
    9.3
    """
    air = number("air temperature", air_c, "degC")
    humidity = positive("relative humidity", humidity_percent, "%")
    if (humidity > 100).any():
        raise InputError("relative humidity", "must not exceed 100 [%]", humidity, "read the hygrometer")
    gamma = np.log(humidity / 100) + MAGNUS_A * air / (MAGNUS_B_C + air)
    return MAGNUS_B_C * gamma / (MAGNUS_A - gamma)


def check_day(climate, *, floor_c=float(TEMPERATURE_FLOOR), recommended_c=float(TEMPERATURE_RECOMMENDED)):
    """Go or no-go for laminating today; a no-go is refused with its reason.

    Parameters
    ----------
    climate : Climate
        Readings of the day [-].
    floor_c : float
        Lowest temperature of air, hull and resin [degC].
    recommended_c : float
        Temperature below which the findings warn [degC].

    Returns
    -------
    tuple of Finding
        Warnings and notes for the sheet [-].

    Raises
    ------
    InputError
        Below the floor, within 3 K of the dew point, or above 80 % humidity.

    Notes
    -----
    Below 15 to 16 degC the cure stalls and the resin sets glassy before it has reacted;
    more peroxide does not replace temperature.

    References
    ----------
    Class society rules and guidance for FRP ships (15 to 18 degC, at most 80 %, no condensation);
    dew point margin from memory.  One supplier's chart starts at 5 degC: physics does not support it.

    Examples
    --------
    >>> [item.severity for item in check_day(Climate(air_c=18.5, hull_c=17, humidity_percent=63))]
    ['warn']
    """
    floor = float(number("temperature floor", floor_c, "degC"))
    for label, value in (("hull", climate.hull_c), ("air", climate.air_c), ("resin", climate.pot_c)):
        if value < floor:
            raise InputError(f"{label} temperature",
                             rule_sentence("must be at least {floor} [degC]: below it polyester cure stalls and "
                                           "sets before it has reacted", floor=floor), float(value),
                             "heat the shop, the hull and the resin; more catalyst does not replace temperature")
    if climate.humidity_percent > HUMIDITY_HIGH.value:
        raise InputError("relative humidity", f"must not exceed {HUMIDITY_HIGH.value:g} [%]: moisture spoils the bond",
                         float(climate.humidity_percent), "heat and ventilate, or wait")
    if climate.dew_margin_k < DEW_POINT_MARGIN.value:
        margin = Figure(DEW_POINT_MARGIN.value, "temperature_difference", digits=2)
        raise InputError("hull temperature",
                         Sentence("must be {margin} or more above the dew point of {dew}, or water condenses on it [degC]",
                                  margin=margin, dew=_warmth(climate.dew_point_c)),
                         float(climate.hull_c), "warm the hull before the air")
    return tuple(_day_findings(climate, floor, recommended_c))


def _day_findings(climate, floor, recommended_c):
    if floor < TEMPERATURE_FLOOR.value:
        yield Finding("warn", "temperature floor", Sentence("lowered to {floor}, below class guidance: the resin maker's sheet "
                                                        "must allow it", floor=_warmth(floor)), TEMPERATURE_FLOOR)
    if climate.coldest_c < recommended_c:
        yield Finding("warn", "temperature", Sentence("the coldest of air, hull and resin is {coldest}, below the recommended "
                                                  "{wanted}: expect slow cure, hold the heat for a day",
                                                  coldest=_warmth(climate.coldest_c), wanted=_warmth(recommended_c)),
                      TEMPERATURE_RECOMMENDED)
    if climate.warmest_c > TEMPERATURE_WARM.value:
        yield Finding("warn", "temperature", Sentence("{warmest} is warm: small batches, thin sessions, shade",
                                                  warmest=_warmth(climate.warmest_c)), TEMPERATURE_WARM)


def _warmth(celsius):
    return Figure(celsius, "temperature", digits=3)


def time_factor(delta_k, *, factor_per_10c):
    """Factor on gel time and pot life for a change of temperature.

    Parameters
    ----------
    delta_k : array_like, shape (...)
        Change of temperature, positive for warmer [K].
    factor_per_10c : array_like, shape (...)
        Factor on the rate for 10 degC [-].

    Returns
    -------
    ndarray, shape (...)
        Multiplier on the time [-].

    Raises
    ------
    InputError
        If the factor is not positive.

    Notes
    -----
    multiplier = factor ** (-delta / 10).

    References
    ----------
    Adhesives laboratory note on pot life and temperature: factor 2 for 10 degC, measured 1.5 to 2.5.

    Examples
    --------
    >>> round(25 * float(time_factor(7, factor_per_10c=2.0)), 1)
    15.4
    """
    return positive("factor for 10 degC", factor_per_10c) ** (-number("temperature change", delta_k, "K") / 10)


def gel_time(can, temperature_c, *, percent_v=None):
    """Gel time at a temperature, as low, typical and high.

    Parameters
    ----------
    can : ResinCan
        Resin with its reference point [-].
    temperature_c : array_like, shape (...)
        Temperature of the resin [degC].
    percent_v : float, optional
        Catalyst, if it differs from the reference point; not for epoxy [% by volume].

    Returns
    -------
    Minutes
        Low, typical and high gel time, each of shape (...) [min].

    Raises
    ------
    InputError
        If the catalyst lies outside the can's window, or is given for epoxy.

    Notes
    -----
    t = t_can * factor ** (-(T - T_can)/10) * (percent_can/percent) ** power.  Factor 1.5 to 3.0 (typical 2.3; epoxy
    1.5 to 2.5, typical 2.0); power 0.5 to 1.0 (typical 0.75, a proposal).  Holds for the can's test mass.

    References
    ----------
    Factors and their status: `GEL_FACTOR`, `GEL_FACTOR_EPOXY`, `GEL_PERCENT_POWER` in `lamcalc.shop.limits`.

    Examples
    --------
    >>> from lamcalc.shop.resin_can import ResinCan
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> [round(float(t), 1) for t in gel_time(can, 17)]
    [31.6, 35.9, 38.9]
    """
    delta = number("temperature", temperature_c, "degC") - can.at_c
    scaled = can.gel_minutes * time_factor(delta[..., None], factor_per_10c=np.array(can.factors, dtype=float))
    low, typical, high = scaled.min(axis=-1), scaled[..., 1], scaled.max(axis=-1)
    share = _percent_effect(can, percent_v)
    return Minutes(low * min(share), typical * share[1], high * max(share))


def _percent_effect(can, percent_v):
    if percent_v is None:
        return (1.0, 1.0, 1.0)
    if can.is_epoxy:
        raise InputError(f"catalyst of {can.name}", "does not exist for epoxy", percent_v, "leave it out")
    percent = float(positive("catalyst", percent_v, "% by volume"))
    check_catalyst_window(can, percent)
    powers = (GEL_PERCENT_POWER.low, GEL_PERCENT_POWER.value, GEL_PERCENT_POWER.high)
    return tuple((can.at_percent_v / percent) ** power for power in powers)


def pot_life(can, temperature_c, *, mass_kg, percent_v=None):
    """Pot life of a mass left in the pot, as low, typical and high.

    Parameters
    ----------
    can : ResinCan
        Resin with its reference point and test mass [-].
    temperature_c : array_like, shape (...)
        Temperature of the resin [degC].
    mass_kg : float
        Mass left in the pot [kg].
    percent_v : float, optional
        Catalyst, if it differs from the reference point [% by volume].

    Returns
    -------
    Minutes
        Low, typical and high pot life [min].

    Raises
    ------
    InputError
        If the mass is not positive or the catalyst outside the window.

    Notes
    -----
    Gel time times factor ** log2(mass / test mass) for a mass above the test mass, factor 0.85 (0.7 to 1.0) for each
    doubling: a proposal, to be replaced by the shop's log.  Poured out flat the resin keeps its gel time.

    References
    ----------
    `POT_MASS_FACTOR` in `lamcalc.shop.limits` (proposal).

    Examples
    --------
    >>> from lamcalc.shop.resin_can import ResinCan
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> [round(float(t), 1) for t in pot_life(can, 20, mass_kg=0.8)]
    [9.6, 17.2, 28.0]
    """
    grams = float(positive("mass in the pot", mass_kg, "kg")) * 1e3
    doublings = max(0.0, float(np.log2(grams / can.at_mass_g)))
    gel = gel_time(can, temperature_c, percent_v=percent_v)
    factors = (POT_MASS_FACTOR.low, POT_MASS_FACTOR.value, POT_MASS_FACTOR.high)
    return Minutes(*(time * factor ** doublings for time, factor in zip(gel, factors)))


def adiabatic_rise(glass_fraction, *, heat_j_g=float(HEAT_OF_CURE), resin_cp=float(RESIN_HEAT_CAPACITY),
                   glass_cp=float(GLASS_HEAT_CAPACITY)):
    """Upper bound of the temperature rise of a curing laminate that loses no heat.

    Parameters
    ----------
    glass_fraction : array_like, shape (...)
        Glass by weight, 0 for neat resin [-].
    heat_j_g : float
        Heat of cure of the resin [J/g].
    resin_cp, glass_cp : float
        Heat capacities [J/(g K)].

    Returns
    -------
    ndarray, shape (...)
        Rise [K].

    Raises
    ------
    InputError
        If the fraction is outside 0 to 1 or a heat is not positive.

    Notes
    -----
    rise = heat wr / (cp_resin wr + cp_glass wg).  Thin stacks stay far below because they lose heat.

    References
    ----------
    Heat balance; heats from memory, unverified.

    Examples
    --------
    >>> float(adiabatic_rise(0.3).round()), float(adiabatic_rise(0.5).round())
    (175.0, 144.0)
    """
    glass = fraction("glass fraction", glass_fraction, zero=True)
    resin = 1 - glass
    heat = positive("heat of cure", heat_j_g, "J/g")
    return heat * resin / (positive("heat capacity of resin", resin_cp, "J/(g K)") * resin
                           + positive("heat capacity of glass", glass_cp, "J/(g K)") * glass)
