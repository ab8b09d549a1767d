"""Single checks of a finished laminate, each with its test standard and a verdict in words."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.mechanics import constituents, fibre_content
from lamcalc.sentences import Figure, Sentence, counted, joined, rule_sentence
from lamcalc.shop.limits import (BURN_OFF_COUPONS, BURN_OFF_MASS, BURN_OFF_TEMPERATURE, FRACTION_BAND, HARDNESS_ACCEPT,
                                 HARDNESS_LOW, HARDNESS_READINGS, HARDNESS_SHEET, HARDNESS_SHORE, THICKNESS_BAND,
                                 THICKNESS_POINTS, VOIDS)
from lamcalc.shop.readings import spread, trimmed_mean

VERDICTS = ("accept", "watch", "reject")
GLASS_KG_M3, RESIN_KG_M3 = fibre_content.GLASS_DENSITY_KG_M3, fibre_content.RESIN_DENSITY_KG_M3


@dataclass(frozen=True)
class Check:
    """One check with its verdict in words.

    Parameters
    ----------
    name : str
        What was checked [-].
    measured, expected : float
        Measured value and the plan or limit [as `unit` says].
    unit : str
        Unit of both [-].
    verdict : str
        'accept', 'watch' or 'reject' [-].
    words : str
        What it means and what to do [-].
    standard : str
        Test standard or method [-].
    limits : tuple of Limit
        Limits used, with status and source [-].

    Examples
    --------
    >>> check_thickness([5.5] * 10, predicted_mm=5.4).verdict
    'accept'
    """

    name: str
    measured: float
    expected: float
    unit: str
    verdict: str
    words: str
    standard: str
    limits: tuple


def _worse(*verdicts):
    return max(verdicts, key=VERDICTS.index)


def _fraction_verdict(measured, planned):
    gap = measured - planned
    size = abs(gap)
    verdict = "accept" if size <= FRACTION_BAND.value else "watch" if size <= 2 * FRACTION_BAND.value else "reject"
    if verdict == "accept":
        return verdict, f"glass {measured:.3f} against {planned:.3f} planned"
    kind = "dry: look for white patches, tap for delamination" if gap > 0 else "resin-rich: heavier and less stiff a mm"
    return verdict, f"glass {measured:.3f} against {planned:.3f} planned, {kind}; recompute the schedule"


def mass_balance_fraction(glass_kg, resin_kg):
    """Glass fraction from the masses of glass and resin that went into the part.

    Parameters
    ----------
    glass_kg, resin_kg : array_like, shape (...)
        Masses in the laminate [kg].

    Returns
    -------
    ndarray, shape (...)
        Glass by weight [-].

    Raises
    ------
    InputError
        If a mass is not positive.

    References
    ----------
    Mass balance; class society rules ask for records of both masses.

    Examples
    --------
    >>> round(float(mass_balance_fraction(3.71, 6.74)), 3)
    0.355
    """
    glass = positive("glass used", glass_kg, "kg")
    return glass / (glass + positive("resin used", resin_kg, "kg"))


def check_mass_balance(glass_kg, resin_kg, *, planned_fraction, resin_left_kg=0.0):
    """Glass fraction from the scale against the plan.

    Parameters
    ----------
    glass_kg : float
        Glass used, offcuts taken off [kg].
    resin_kg : float
        Resin mixed [kg].
    planned_fraction : float
        Glass by weight of the schedule [-].
    resin_left_kg : float
        Resin weighed back: pots, brushes, squeeze-out [kg].

    Returns
    -------
    Check
        Verdict in words [-].

    Raises
    ------
    InputError
        If a mass is out of range, or more resin is left than was mixed.

    References
    ----------
    Mass balance; the band is a proposal.

    Examples
    --------
    >>> check_mass_balance(3.71, 6.74, planned_fraction=0.367).verdict
    'accept'
    """
    mixed, left = positive("resin used", resin_kg, "kg"), positive("resin left", resin_left_kg, "kg", zero=True)
    if left >= mixed:
        raise InputError("resin left",
                         rule_sentence("must be less than the resin mixed, {mixed} [kg]", mixed=mixed), float(left),
                         "check the two weighings")
    measured = float(mass_balance_fraction(glass_kg, mixed - left))
    planned = float(fraction("planned glass fraction", planned_fraction))
    verdict, words = _fraction_verdict(measured, planned)
    if left == 0:
        words += "; nothing was weighed back, so resin left in pots and brushes makes the true fraction higher"
    return Check("mass balance", measured, planned, "-", verdict, words, "scale, glass and resin records",
                 (FRACTION_BAND,))


def check_thickness(readings_mm, *, predicted_mm, gel_coat_mm=0.0, band=float(THICKNESS_BAND)):
    """Measured thickness against the prediction.

    Parameters
    ----------
    readings_mm : array_like, shape (n,)
        Readings spread evenly over the surface, ten or more [mm].
    predicted_mm : float
        Laminate thickness of the schedule, without gel coat [mm].
    gel_coat_mm : float
        Gel coat included in the readings, taken off [mm].
    band : float
        Allowed deviation of the mean, 0.15 [-].

    Returns
    -------
    Check
        Mean without gel coat, and the verdict in words [mm].

    Raises
    ------
    InputError
        If a reading is not thicker than the gel coat, or an input out of range.

    References
    ----------
    Class society rules for FRP ships: at least ten points.  Band: spread of published ply thicknesses.

    Examples
    --------
    >>> check = check_thickness([5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4], predicted_mm=5.4)
    >>> round(check.measured, 2), check.verdict
    (5.5, 'accept')
    """
    coat = float(positive("gel coat", gel_coat_mm, "mm", zero=True))
    gross = np.atleast_1d(positive("thickness reading", readings_mm, "mm"))
    if gross.size and gross.min() <= coat:
        raise InputError("gel coat",
                         rule_sentence("must be less than every reading, {limit} [mm]", limit=gross.min()), coat,
                         "check the readings")
    found, share = spread("thickness without gel coat", gross - coat, "mm"), float(fraction("thickness band", band))
    predicted = float(positive("predicted thickness", predicted_mm, "mm"))
    off = found.mean / predicted - 1
    verdict = "accept" if abs(off) <= share + 1e-12 else "reject" if off < 0 else "watch"
    words = [Sentence("mean {mean}, {off:+.1%} against the prediction, spread (standard deviation) {deviation}, least "
                      "{least}, {count}", off=off, count=counted(found.count, "point"), mean=Figure(found.mean, "thickness"),
                      deviation=Figure(found.deviation, "thickness"), least=Figure(found.least, "thickness"))]
    if verdict == "reject":
        words += ["too thin: check the number of plies, recompute the margin, add a ply"]
    elif verdict == "watch":
        words += ["too thick: resin-rich or a ply too many"]
    if found.least < predicted * (1 - share):
        verdict, words = _worse(verdict, "watch"), [*words, "a thin spot lies outside the band: measure round it"]
    if found.count < THICKNESS_POINTS.value:
        verdict = _worse(verdict, "watch")
        words += [f"fewer than {THICKNESS_POINTS.value:g} points: measure more"]
    return Check("thickness", found.mean, predicted, "mm", verdict, joined("; ", words),
                 "caliper or gauge, class rules for FRP ships", (THICKNESS_POINTS, THICKNESS_BAND))


def check_implied_fraction(areal_weight_gsm, *, thickness_mm, planned_fraction, void_fraction=0.0,
                           fibre_density_kg_m3=GLASS_KG_M3, resin_density_kg_m3=RESIN_KG_M3):
    """Glass fraction that the measured thickness implies.

    Parameters
    ----------
    areal_weight_gsm : float
        All glass of the laminate [g/m2].
    thickness_mm : float
        Mean thickness without gel coat and core [mm].
    planned_fraction : float
        Glass by weight of the schedule [-].
    void_fraction : float
        Voids by volume, if measured [-].
    fibre_density_kg_m3, resin_density_kg_m3 : float
        Densities of the glass and of the cured resin [kg/m3].

    Returns
    -------
    Check
        Verdict in words [-].

    Raises
    ------
    InputError
        If the thickness cannot hold the glass, or an input is out of range.

    References
    ----------
    Volume balance, see `lamcalc.mechanics.fibre_content.weight_fraction_from_thickness`; the band is a proposal.

    Examples
    --------
    >>> check_implied_fraction(3199, thickness_mm=5.5, planned_fraction=0.40).verdict
    'accept'
    """
    measured = float(fibre_content.weight_fraction_from_thickness(
        areal_weight_gsm, thickness_mm, fibre_density_kg_m3=fibre_density_kg_m3,
        resin_density_kg_m3=resin_density_kg_m3, void_fraction=void_fraction))
    planned = float(fraction("planned glass fraction", planned_fraction))
    verdict, words = _fraction_verdict(measured, planned)
    return Check("glass fraction from thickness", measured, planned, "-", verdict, words, "caliper and fabric weight",
                 (FRACTION_BAND,))


def check_burn_off(coupons_g, *, planned_fraction, filler_per_resin=0.0):
    """Glass fraction from burning off the resin.

    Parameters
    ----------
    coupons_g : sequence of (float, float)
        Dry mass and residue of each coupon, gel coat ground off [g].
    planned_fraction : float
        Glass by weight of the schedule [-].
    filler_per_resin : float
        Mineral filler in the residue per mass of resin burnt away [-].

    Returns
    -------
    Check
        Mean over the coupons, and the verdict in words [-].

    Raises
    ------
    InputError
        If a residue is heavier than its coupon, or an input out of range.

    References
    ----------
    ASTM D2584 (565 +- 28 degC, about 5 g, three or more coupons); ISO 1172 (625 degC, from memory).

    Examples
    --------
    >>> round(check_burn_off([(5.00, 1.75)], planned_fraction=0.36).measured, 3)
    0.35
    """
    masses = number("coupon", coupons_g, "g")
    if masses.ndim != 2 or masses.shape[1] != 2 or len(masses) == 0:
        raise InputError("coupons", "must be pairs of dry mass and residue [g]", coupons_g,
                         "for example [(5.00, 1.75)]")
    each = constituents.burn_off_weight_fraction(masses[:, 0], masses[:, 1], filler_per_resin=filler_per_resin)
    planned = float(fraction("planned glass fraction", planned_fraction))
    verdict, words = _fraction_verdict(float(each.mean()), planned)
    if len(each) > 1:
        words += f"; coupons {each.min():.3f} to {each.max():.3f}"
    if len(each) < BURN_OFF_COUPONS.value:
        verdict = _worse(verdict, "watch")
        words += f"; coupons: {len(each)}, the standard asks for {BURN_OFF_COUPONS.value:g} or more"
    if masses[:, 0].min() < 0.9 * BURN_OFF_MASS.value:
        words += f"; a coupon is lighter than about {BURN_OFF_MASS.value:g} g, as thin laminates are: weigh to 1 mg"
    return Check("burn-off", float(each.mean()), planned, "-", verdict, words, "ASTM D2584 / ISO 1172",
                 (BURN_OFF_COUPONS, BURN_OFF_MASS, BURN_OFF_TEMPERATURE, FRACTION_BAND))


def check_voids(density_kg_m3, *, glass_fraction, fibre_density_kg_m3=GLASS_KG_M3, resin_density_kg_m3=RESIN_KG_M3,
                limit=float(VOIDS)):
    """Void content from measured density and glass fraction.

    Parameters
    ----------
    density_kg_m3 : float
        Density of the coupon [kg/m3].
    glass_fraction : float
        Glass by weight from burn-off [-].
    fibre_density_kg_m3, resin_density_kg_m3 : float
        Densities of the glass and of the cured resin [kg/m3].
    limit : float
        Highest void content, 0.05 for hand lay-up [-].

    Returns
    -------
    Check
        Void fraction by volume, and the verdict in words [-].

    Raises
    ------
    InputError
        If an input is out of range; a density in g/cm3 is told apart.

    Notes
    -----
    void = 1 - density (g/glass density + (1 - g)/resin density).  An error of 1 % in a density is an error of 1 % in
    voids.

    References
    ----------
    ASTM D2734 / D3171 (titles; equation from memory); limit from an encyclopedia entry on voids.

    Examples
    --------
    >>> round(check_voids(1430, glass_fraction=0.35).measured, 3)
    0.03
    """
    density = float(positive("laminate density", density_kg_m3, "kg/m3"))
    if density < 10:
        raise InputError("laminate density", "must be in kg/m3 [kg/m3]", density,
                         f"it looks like g/cm3: write {density * 1e3:g}")
    glass, most = float(fraction("glass fraction", glass_fraction)), float(fraction("void limit", limit))
    content = constituents.burn_off(1.0, glass, fibre_density_kg_m3=fibre_density_kg_m3,
                                    resin_density_kg_m3=resin_density_kg_m3, measured_density_kg_m3=density)
    voids = float(content.void_fraction)
    if voids < 0:
        verdict, words = "watch", f"{voids:.1%} cannot be: a weighing or an assumed density is off"
    elif voids <= most:
        verdict, words = "accept", f"{voids:.1%} voids, up to {most:.0%} is usual for hand lay-up"
    else:
        verdict, words = "reject", f"{voids:.1%} voids, more than {most:.0%}: shear strength suffers; grind and redo"
    return Check("voids", voids, most, "-", verdict, words, "ASTM D2734 / D3171", (VOIDS,))


def check_hardness(readings, *, scale="Barcol", accept=None, data_sheet=None):
    """Hardness by the trimmed mean.

    Parameters
    ----------
    readings : array_like, shape (n,)
        Ten to twelve readings, on both sides and on bonds, surface clean of wax and cool [Barcol or Shore D].
    scale : str
        'Barcol' for polyester and vinyl ester, 'Shore D' for epoxy [-].
    accept : float, optional
        Lowest mean that is accepted; 40 Barcol or 80 Shore D if neither this nor `data_sheet` is given [`scale`].
    data_sheet : float, optional
        Hardness on the resin's sheet; 90 % of it is accepted [`scale`].

    Returns
    -------
    Check
        Trimmed mean, and the verdict in words; two readings or more below the lowest are a soft spot, whatever the mean
        [Barcol or Shore D].

    Raises
    ------
    InputError
        If the scale is unknown, a reading above 100, or there are fewer than three.

    References
    ----------
    ASTM D2583 (Barcol), ASTM D2240 (Shore D, from memory); procedure from a vinyl ester maker's fabricating tips.

    Examples
    --------
    >>> check_hardness([38, 41, 40, 35, 42, 39, 44, 37, 40, 52]).measured
    40.125
    """
    if scale not in ("Barcol", "Shore D"):
        raise InputError("hardness scale", "must be 'Barcol' or 'Shore D'", scale, "read it from the instrument")
    values = np.atleast_1d(positive("hardness reading", readings, scale, zero=True))
    if (values > 100).any():
        raise InputError("hardness reading", f"must not exceed 100 [{scale}]", readings, "read the dial again")
    mean = trimmed_mean(values)
    limit, least, used = _hardness_limits(scale, accept, data_sheet)
    verdict = "accept" if mean >= limit else "watch" if mean >= least else "reject"
    words = f"trimmed mean {mean:.1f} {scale}, {limit:g} wanted, {values.min():g} to {values.max():g}"
    words += {"accept": "", "watch": ": cure longer and warmer, then read again",
              "reject": ": under-cured; warm it for a day, and grind out what stays soft"}[verdict]
    # one low reading is dropped, wax may have made it; a second one is a soft spot that a mean would hide
    if verdict == "accept" and np.sort(values)[1] < least:
        verdict = "watch"
        words += f": two readings or more are below {least:g}, a soft spot; read round it and cure longer"
    if values.size < HARDNESS_READINGS.value:
        verdict, words = _worse(verdict, "watch"), words + f"; fewer than {HARDNESS_READINGS.value:g} readings"
    words += "; a hit on glass reads high, wax reads low"
    standard = "ASTM D2583" if scale == "Barcol" else "ASTM D2240 (from memory)"
    return Check("hardness", mean, limit, scale, verdict, words, standard, used)


def _hardness_limits(scale, accept, data_sheet):
    """(accepted mean, mean below which it is rejected, limits used)"""
    if accept is not None:
        limit, used = float(positive("hardness wanted", accept, scale)), ()
    elif data_sheet is not None:
        limit = HARDNESS_SHEET.value * float(positive("hardness on the sheet", data_sheet, scale))
        used = (HARDNESS_SHEET,)
    else:
        chosen = HARDNESS_ACCEPT if scale == "Barcol" else HARDNESS_SHORE
        limit, used = chosen.value, (chosen,)
    if scale == "Barcol":
        return limit, min(HARDNESS_LOW.value, limit), used + (HARDNESS_LOW, HARDNESS_READINGS)
    return limit, HARDNESS_SHEET.value * limit, used + (HARDNESS_READINGS,)
