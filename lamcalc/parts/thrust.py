"""Thrust of an outboard, at rest and at speed, and the bound that physics sets."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, positive
from lamcalc.parts.basis import KW_PER_HP, MM_PER_FOOT, MS_PER_KNOT, NEWTON_PER_LBF, Factor, plain


def static_thrust(power_kw, propeller_diameter):
    """Static (bollard) thrust by the published propeller formula.

    Parameters
    ----------
    power_kw : array_like, shape (...)
        Shaft power [kW].
    propeller_diameter : array_like, shape (...)
        Propeller diameter [mm].

    Returns
    -------
    float or ndarray, shape (...)
        Thrust [N].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    Ts = 62.72 (SHP D/12)^0.67 lbf with D in inches.  An estimate for open
    propellers; it usually lies a fifth below disc theory with a merit of 0.7.

    References
    ----------
    Gerr, Propeller Handbook, as quoted second hand, seen.

    Examples
    --------
    >>> round(static_thrust(115 * 0.7457, 14 * 25.4) / 4.448222, 1)
    1670.8
    """
    horsepower = positive("shaft power", power_kw, "kW") / KW_PER_HP
    diameter_ft = positive("propeller diameter", propeller_diameter, "mm") / MM_PER_FOOT
    return plain(62.72 * (horsepower * diameter_ft) ** 0.67 * NEWTON_PER_LBF)


# shaft power up to which an outboard usually turns a propeller between two diameters (common practice, from memory)
USUAL_PROPELLERS = ((7.5, 178.0, 229.0), (22.0, 216.0, 280.0), (45.0, 254.0, 330.0), (np.inf, 318.0, 406.0))


def usual_thrust(power_kw):
    """Static thrust by the published formula between the smallest and the largest usual propeller of an outboard.

    Parameters
    ----------
    power_kw : float
        Shaft power [kW].

    Returns
    -------
    tuple of float
        Thrust with the small and with the large propeller [N].

    Raises
    ------
    InputError
        If the power is not positive.

    Notes
    -----
    Diameters by `USUAL_PROPELLERS`; a workboat with a large slow propeller pulls more.

    References
    ----------
    As `static_thrust`; diameters: common practice, from memory.

    Examples
    --------
    >>> [round(thrust, -2) for thrust in usual_thrust(30.0)]
    [2900.0, 3500.0]
    """
    power = float(positive("shaft power", power_kw, "kW"))
    small, large = next((low, high) for most, low, high in USUAL_PROPELLERS if power <= most)
    return float(static_thrust(power, small)), float(static_thrust(power, large))


def disc_thrust(power_kw, propeller_diameter, *, merit=1.0, water_density_kg_m3=1025.0):
    """Static thrust of an actuator disc; merit 1 is the bound that no open propeller passes.

    Parameters
    ----------
    power_kw : array_like, shape (...)
        Shaft power [kW].
    propeller_diameter : array_like, shape (...)
        Propeller diameter [mm].
    merit : array_like, shape (...)
        Share of the power that goes into the jet [-], above 0 to 1; about 0.7 real (from memory).
    water_density_kg_m3 : array_like, shape (...)
        Water density [kg/m3].

    Returns
    -------
    float or ndarray, shape (...)
        Thrust [N].

    Raises
    ------
    InputError
        If an input is not positive or the merit is not a fraction.

    Notes
    -----
    T = (2 rho A)^(1/3) (m P)^(2/3), from momentum theory for a disc at rest.
    A nozzle round the propeller would allow more.

    References
    ----------
    Actuator-disc (momentum) theory, from memory; the derivation is standard.

    Examples
    --------
    >>> round(disc_thrust(85, 350, merit=0.7))
    8872
    """
    watt = positive("shaft power", power_kw, "kW") * 1e3 * fraction("merit", merit, one=True)
    area = np.pi / 4 * (positive("propeller diameter", propeller_diameter, "mm") * 1e-3) ** 2
    density = positive("water density", water_density_kg_m3, "kg/m3")
    return plain(np.cbrt(2 * density * area) * np.cbrt(watt) ** 2)


def cruising_thrust(power_kw, speed_knots, *, efficiency):
    """Thrust at speed, T = eta P / V.

    Parameters
    ----------
    power_kw : array_like, shape (...)
        Shaft power [kW].
    speed_knots : array_like, shape (...)
        Boat speed [knots]; the formula grows without limit near rest, use `static_thrust` there.
    efficiency : array_like, shape (...)
        Propulsive efficiency eta [-], as a fraction; 0.3 to 0.6 published.

    Returns
    -------
    float or ndarray, shape (...)
        Thrust [N].

    Raises
    ------
    InputError
        If an input is not positive or the efficiency is a percentage.

    References
    ----------
    Boat-design forum threads on outboard thrust, seen; the relation is energy balance.

    Examples
    --------
    >>> round(cruising_thrust(85, 25, efficiency=0.55))
    3635
    """
    watt = positive("shaft power", power_kw, "kW") * 1e3
    speed = positive("speed", speed_knots, "knots") * MS_PER_KNOT
    return plain(fraction("efficiency", efficiency) * watt / speed)


@dataclass(frozen=True)
class ThrustClaim:
    """A thrust figure that passed the physical bound.

    Parameters
    ----------
    claim : float or ndarray, shape (...)
        The thrust claimed [N].
    bound : float or ndarray, shape (...)
        Ideal actuator-disc thrust, merit 1 [N].
    formula : float or ndarray, shape (...)
        Published static formula [N].
    implied_merit : float or ndarray, shape (...)
        Merit that the claim implies, (claim/bound)^1.5 [-].
    notes : tuple of str
        Remarks [-].

    Examples
    --------
    >>> check_thrust_claim(2100, power_kw=30, propeller_diameter=292).implied_merit < 0.5
    True
    """

    claim: object
    bound: object
    formula: object
    implied_merit: object
    notes: tuple = ()


def check_thrust_claim(claim, *, power_kw, propeller_diameter, water_density_kg_m3=1025.0):
    """Accept a static thrust figure, or refuse it if physics does not allow it.

    Parameters
    ----------
    claim : array_like, shape (...)
        Claimed static thrust [N].
    power_kw : array_like, shape (...)
        Shaft power [kW].
    propeller_diameter : array_like, shape (...)
        Propeller diameter [mm].
    water_density_kg_m3 : array_like, shape (...)
        Water density [kg/m3].

    Returns
    -------
    ThrustClaim
        The claim with bound, formula value and implied merit.

    Raises
    ------
    InputError
        If a claim is above the ideal disc bound, with the reason.

    Notes
    -----
    Claims of 25-30 lb per hp pass at small engines with large propellers and
    fail at large ones; 100 lb per hp fails at every usual size.

    References
    ----------
    As `disc_thrust` and `static_thrust`.

    Examples
    --------
    >>> check_thrust_claim(25 * 115 * 4.4482, power_kw=85.755, propeller_diameter=355.6)
    Traceback (most recent call last):
    lamcalc.errors.InputError: thrust claim must not exceed the ideal disc thrust of 11440 N for this power and \
propeller [N]; received 12788.6. Next: no open propeller at rest can give it: use the published formula's 7432 N or \
a bollard test.
    """
    thrust = positive("thrust claim", claim, "N")
    bound = np.asarray(disc_thrust(power_kw, propeller_diameter, water_density_kg_m3=water_density_kg_m3))
    formula = np.asarray(static_thrust(power_kw, propeller_diameter))
    thrust, bound, formula = np.broadcast_arrays(thrust, bound, formula)
    over = thrust > bound
    if over.any():
        raise InputError("thrust claim",
                         f"must not exceed the ideal disc thrust of {bound[over].flat[0]:.0f} N "
                         "for this power and propeller [N]", round(float(thrust[over].flat[0]), 1),
                         "no open propeller at rest can give it: use the published formula's "
                         f"{formula[over].flat[0]:.0f} N or a bollard test")
    merit = (thrust / bound) ** 1.5
    notes = []
    if (merit > 0.7).any():
        notes.append("implies a merit above 0.7, the usual figure (from memory): ask how it was measured")
    if (thrust < formula).any():
        notes.append("below the published static formula: use the greater for a transom unless it was measured")
    return ThrustClaim(plain(thrust), plain(bound), plain(formula), plain(merit), tuple(notes))


def thrust_estimates(power_kw, propeller_diameter, *, speed_knots=None, efficiency=0.55, merit=0.7,
                     water_density_kg_m3=1025.0):
    """All thrust estimates side by side, each with its source.

    Parameters
    ----------
    power_kw : array_like, shape (...)
        Shaft power [kW].
    propeller_diameter : array_like, shape (...)
        Propeller diameter [mm].
    speed_knots : array_like, shape (...), optional
        Cruising speed [knots]; leaves the cruising figure out if not given.
    efficiency : array_like, shape (...)
        Propulsive efficiency at speed [-].
    merit : array_like, shape (...)
        Merit of the disc estimate [-].
    water_density_kg_m3 : array_like, shape (...)
        Water density [kg/m3].

    Returns
    -------
    tuple of Factor
        Published formula, disc with merit, ideal bound, and cruising thrust [N].

    Examples
    --------
    >>> [round(f.value) for f in thrust_estimates(85.755, 355.6, speed_knots=25)]
    [7432, 9019, 11440, 3667]
    """
    disc = {"water_density_kg_m3": water_density_kg_m3}
    factors = [
        Factor("Ts", "static thrust, published formula", static_thrust(power_kw, propeller_diameter), "N",
               "62.72 (SHP D/12)^0.67 lbf, second hand", "source seen", "estimate"),
        Factor("Tm", "static thrust, disc theory with merit",
               disc_thrust(power_kw, propeller_diameter, merit=merit, **disc), "N",
               "(2 rho A)^(1/3) (m P)^(2/3)", "from memory", "estimate"),
        Factor("Tmax", "ideal disc bound, merit 1", disc_thrust(power_kw, propeller_diameter, **disc), "N",
               "(2 rho A)^(1/3) P^(2/3)", "from memory", "no open propeller passes it")]
    if speed_knots is not None:
        factors.append(Factor("T", "thrust at cruising speed",
                              cruising_thrust(power_kw, speed_knots, efficiency=efficiency), "N", "eta P / V",
                              "source seen", "estimate; eta 0.3 to 0.6 published"))
    return tuple(factors)
