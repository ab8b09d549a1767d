"""Measuring out: catalyst and epoxy ratio.

Amounts are in mL and g.  Drops are a footnote for a counted dropper: the drop
counts in print differ 2.5-fold, so no drop count is ever the primary figure.
"""

from dataclasses import dataclass

from lamcalc.errors import InputError, positive

_EDGE = 1e-9  # percent converted from weight may miss the edge of the window by rounding


@dataclass(frozen=True)
class CatalystDose:
    """Catalyst for one mix.

    Parameters
    ----------
    resin_kg, resin_ml : float
        Resin before the catalyst [kg], [mL].
    ml, grams : float
        Catalyst to add [mL], [g].
    percent_v, percent_w : float
        The same dose by volume and by weight of resin [%].

    Examples
    --------
    >>> CatalystDose(1.1, 1000.0, 15.0, 17.4, 1.5, 1.58).ml
    15.0
    """

    resin_kg: float
    resin_ml: float
    ml: float
    grams: float
    percent_v: float
    percent_w: float


@dataclass(frozen=True)
class EpoxyMix:
    """The two parts of an epoxy mix.

    Parameters
    ----------
    resin_kg, hardener_kg : float
        Masses [kg]; their sum is the mixed mass.
    resin_ml, hardener_ml : float
        Volumes [mL].
    ratio_v, ratio_w : float
        Parts of resin to one of hardener, by volume and by weight [-].

    Examples
    --------
    >>> EpoxyMix(0.697, 0.303, 606.0, 303.0, 2.0, 2.3).ratio_v
    2.0
    """

    resin_kg: float
    hardener_kg: float
    resin_ml: float
    hardener_ml: float
    ratio_v: float
    ratio_w: float


def catalyst_ml(volume_ml, percent_v):
    """Volume of an additive that is given as percent of the resin volume.

    Parameters
    ----------
    volume_ml : array_like, shape (...)
        Resin [mL].
    percent_v : array_like, shape (...)
        Additive [% by volume of resin].

    Returns
    -------
    ndarray, shape (...)
        Additive [mL].

    Raises
    ------
    InputError
        If the volume is not positive or the percentage negative.

    References
    ----------
    Definition of percent by volume; gel coat maker's page, 1.8 % of a quart is 17 mL.

    Examples
    --------
    >>> round(float(catalyst_ml(1000, 1.5)), 6)
    15.0
    """
    return positive("resin volume", volume_ml, "mL") * positive("percent", percent_v, "% by volume", zero=True) / 100


def catalyst_percent_v(dose_ml, volume_ml):
    """Percent by volume that a dose amounts to.

    Parameters
    ----------
    dose_ml : array_like, shape (...)
        Additive [mL].
    volume_ml : array_like, shape (...)
        Resin [mL].

    Returns
    -------
    ndarray, shape (...)
        Share of the resin volume [% by volume].

    Raises
    ------
    InputError
        If the volume is not positive or the dose negative.

    References
    ----------
    Definition of percent by volume.

    Examples
    --------
    >>> round(float(catalyst_percent_v(10, 946.353)), 2)
    1.06
    """
    return 100 * positive("dose", dose_ml, "mL", zero=True) / positive("resin volume", volume_ml, "mL")


def percent_v_from_ml_per_kg(dose_ml, resin_kg, *, liquid_density_kg_m3):
    """Percent by volume of a dose that is given per kilogram of resin.

    Parameters
    ----------
    dose_ml : array_like, shape (...)
        Additive [mL].
    resin_kg : array_like, shape (...)
        Resin [kg].
    liquid_density_kg_m3 : float
        Density of the liquid resin [kg/m3].

    Returns
    -------
    ndarray, shape (...)
        Share of the resin volume [% by volume].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    10 mL a kilogram is often called 1 %; at 1100 kg/m3 it is 1.10 % by volume.

    References
    ----------
    Definition of percent by volume.

    Examples
    --------
    >>> round(float(percent_v_from_ml_per_kg(10, 1.0, liquid_density_kg_m3=1100)), 3)
    1.1
    """
    density = positive("liquid resin density", liquid_density_kg_m3, "kg/m3")
    return catalyst_percent_v(dose_ml, positive("resin", resin_kg, "kg") / density * 1e6)


def catalyst_dose(can, resin_kg, percent, *, basis="volume"):
    """Catalyst in mL and grams for a mass of resin, inside the can's window.

    Parameters
    ----------
    can : ResinCan
        Polyester, vinyl ester or gel coat [-].
    resin_kg : float
        Resin before the catalyst [kg].
    percent : float
        Catalyst [% by volume or by weight of resin, as `basis` says].
    basis : str
        'volume' or 'weight' [-].

    Returns
    -------
    CatalystDose
        mL, grams and the dose by both bases [mL], [g], [%].

    Raises
    ------
    InputError
        If the can is epoxy, the basis unknown, or the dose outside the can's window.

    Notes
    -----
    percent by volume = percent by weight * resin density / catalyst density.
    Above the window the surplus peroxide weakens the cure, below it the cure stalls;
    neither replaces a warm shop.

    References
    ----------
    Definitions; the window is the can's.

    Examples
    --------
    >>> from lamcalc.shop.resin_can import ResinCan
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> dose = catalyst_dose(can, 1.1, 1.5)
    >>> round(dose.ml, 6), round(dose.grams, 6)
    (15.0, 17.4)
    """
    if can.is_epoxy:
        raise InputError(f"catalyst for {can.name}", "does not exist for epoxy: a wrong ratio never cures", percent,
                         "use the hardener ratio of the can")
    if basis not in ("volume", "weight"):
        raise InputError("basis of the catalyst percentage", "must be 'volume' or 'weight'", basis, "read the can")
    mass = float(positive("resin", resin_kg, "kg"))
    ratio = can.liquid_density_kg_m3 / can.catalyst_density_kg_m3
    percent_v = float(positive("catalyst", percent, "%")) * (ratio if basis == "weight" else 1.0)
    check_catalyst_window(can, percent_v)
    resin_ml = mass / can.liquid_density_kg_m3 * 1e6
    dose_ml = float(catalyst_ml(resin_ml, percent_v))
    grams = dose_ml * can.catalyst_density_kg_m3 / 1e3
    return CatalystDose(mass, resin_ml, dose_ml, grams, percent_v, grams / (mass * 1e3) * 100)


def check_catalyst_window(can, percent_v):
    """Refuse a catalyst percentage outside the can's window, and say why.

    Parameters
    ----------
    can : ResinCan
        Polyester, vinyl ester or gel coat [-].
    percent_v : float
        Catalyst [% by volume of resin].

    Raises
    ------
    InputError
        If the percentage lies outside the window.

    References
    ----------
    The can's window; class guidance on temperature; common practice.

    Examples
    --------
    >>> from lamcalc.shop.resin_can import ResinCan
    >>> can = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
    ...                catalyst_window=(1.0, 2.5))
    >>> check_catalyst_window(can, 2.0)
    """
    low, high = can.catalyst_window
    rule = f"must lie inside the can's window of {low:g} to {high:g} [% by volume]"
    if percent_v < low - _EDGE:
        raise InputError(f"catalyst for {can.name}", rule + ": with less the cure stalls and stays soft", percent_v,
                         "use a smaller batch on a hot day, not less catalyst")
    if percent_v > high + _EDGE:
        raise InputError(f"catalyst for {can.name}", rule + ": with more the cure runs hot and ends weak", percent_v,
                         "warm the shop and the hull: more catalyst does not replace temperature")


def drop_count(dose_ml, *, drops_per_ml):
    """Number of drops of a counted dropper, for a footnote only.

    Parameters
    ----------
    dose_ml : array_like, shape (...)
        Dose [mL].
    drops_per_ml : float
        Drops counted into 1 mL from this very bottle [drops/mL].

    Returns
    -------
    ndarray, shape (...)
        Drops [-].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Published counts imply 0.030 to 0.074 mL a drop, hence 1.0 to 2.5 % for the same ten drops an ounce.

    Examples
    --------
    >>> round(float(drop_count(0.295735, drops_per_ml=20)), 1)
    5.9
    """
    return positive("dose", dose_ml, "mL") * positive("counted drops", drops_per_ml, "drops/mL")


def epoxy_mix(can, mixed_kg):
    """Resin and hardener, by mass and by volume, for a mixed mass of epoxy.

    Parameters
    ----------
    can : ResinCan
        Epoxy with its hardener ratio [-].
    mixed_kg : float
        Mixed mass [kg].

    Returns
    -------
    EpoxyMix
        Both parts [kg], [mL].

    Raises
    ------
    InputError
        If the can is not epoxy or the mass not positive.

    References
    ----------
    Volume ratio times densities; mass is conserved.

    Examples
    --------
    >>> from lamcalc.shop.resin_can import ResinCan
    >>> can = ResinCan(name="epoxy", family="epoxy", gel_minutes=25, at_c=25, liquid_density_kg_m3=1150,
    ...                hardener_ratio_v=2.0, hardener_density_kg_m3=1000)
    >>> mix = epoxy_mix(can, 1.0)
    >>> round(mix.resin_kg, 4), round(mix.ratio_w, 3)
    (0.697, 2.3)
    """
    if not can.is_epoxy:
        raise InputError(f"mix ratio of {can.name}", f"does not exist for {can.family}", can.hardener_ratio_v,
                         "use the catalyst percentage")
    total = float(positive("mixed epoxy", mixed_kg, "kg"))
    ratio = float(mass_ratio_from_volume(can.hardener_ratio_v, resin_density_kg_m3=can.liquid_density_kg_m3,
                                         hardener_density_kg_m3=can.hardener_density_kg_m3))
    hardener = total / (1 + ratio)
    resin = total - hardener
    return EpoxyMix(resin, hardener, resin / can.liquid_density_kg_m3 * 1e6,
                    hardener / can.hardener_density_kg_m3 * 1e6, can.hardener_ratio_v, ratio)


def mass_ratio_from_volume(ratio_v, *, resin_density_kg_m3, hardener_density_kg_m3):
    """Mix ratio by weight from the ratio by volume.

    Parameters
    ----------
    ratio_v : array_like, shape (...)
        Parts of resin to one of hardener [by volume].
    resin_density_kg_m3, hardener_density_kg_m3 : float
        Densities of the two parts [kg/m3].

    Returns
    -------
    ndarray, shape (...)
        Parts of resin to one of hardener [by weight].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Identity.

    Examples
    --------
    >>> round(float(mass_ratio_from_volume(5, resin_density_kg_m3=1150, hardener_density_kg_m3=950)), 2)
    6.05
    """
    return (positive("volume ratio", ratio_v) * positive("resin density", resin_density_kg_m3, "kg/m3")
            / positive("hardener density", hardener_density_kg_m3, "kg/m3"))


def hardener_phr(amine_equivalent_g, *, epoxy_equivalent_g):
    """Parts of amine hardener to a hundred of resin by weight, from stoichiometry.

    Parameters
    ----------
    amine_equivalent_g : array_like, shape (...)
        Amine hydrogen equivalent weight of the hardener [g].
    epoxy_equivalent_g : array_like, shape (...)
        Epoxide equivalent weight of the resin [g].

    Returns
    -------
    ndarray, shape (...)
        Hardener for a hundred parts of resin [by weight].

    Raises
    ------
    InputError
        If an input is not positive.

    References
    ----------
    Textbook stoichiometry, from memory: phr = 100 AHEW / EEW.

    Examples
    --------
    >>> round(float(hardener_phr(24.4, epoxy_equivalent_g=188)), 1)
    13.0
    """
    return (100 * positive("amine hydrogen equivalent weight", amine_equivalent_g, "g")
            / positive("epoxide equivalent weight", epoxy_equivalent_g, "g"))
