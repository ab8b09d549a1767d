"""Gel coat and thinning: film and coverage, wax for the last coat, thinner within its limit."""

from lamcalc.errors import InputError, fraction, positive
from lamcalc.shop.limits import FILM_SHRINKAGE, THINNER_SHARE, WAX_SHARE
from lamcalc.shop.mixing import catalyst_ml


def wax_ml(volume_ml, percent_v=float(WAX_SHARE), *, last_coat):
    """Wax solution for the last coat of gel coat or resin.

    Parameters
    ----------
    volume_ml : float
        Gel coat or resin of that coat [mL].
    percent_v : float
        Wax solution, 1.5 to 3.2 [% by volume].
    last_coat : bool
        Whether nothing is bonded on this coat afterwards [-].

    Returns
    -------
    float
        Wax solution [mL].

    Raises
    ------
    InputError
        If another coat follows, or the share lies outside the published range.

    References
    ----------
    Wax additive page, 1/2 to 1 oz a quart; common practice about 3 %.

    Examples
    --------
    >>> wax_ml(1000, 3.0, last_coat=True)
    30.0
    """
    if not last_coat:
        raise InputError("wax", "goes into the last coat only: it rises and the next coat does not bond to it",
                         "a coat that is covered later", "leave the wax out, or wash and grind before the next coat")
    share = float(positive("wax share", percent_v, "% by volume"))
    if not WAX_SHARE.low <= share <= WAX_SHARE.high:
        raise InputError("wax share", f"must lie between {WAX_SHARE.low:g} and {WAX_SHARE.high:g} [% by volume]", share,
                         "follow the wax solution's label")
    return float(catalyst_ml(volume_ml, share))


def thinner_ml(volume_ml, percent_v, *, kind="styrene", limit_percent_v=float(THINNER_SHARE)):
    """Thinner for a resin or gel coat, within its limit.

    Parameters
    ----------
    volume_ml : float
        Resin or gel coat [mL].
    percent_v : float
        Thinner [% by volume].
    kind : str
        'styrene', or the name of the resin maker's own thinner [-].
    limit_percent_v : float
        Highest share that the resin's data sheet allows [% by volume].

    Returns
    -------
    float
        Thinner [mL].

    Raises
    ------
    InputError
        For acetone, and for more than the limit.

    References
    ----------
    Common practice: up to about 5 % styrene, never acetone; suppliers print 5-8, 10 and 10-15 %.

    Examples
    --------
    >>> thinner_ml(1000, 5)
    50.0
    """
    if kind.strip().lower() == "acetone":
        raise InputError("thinner", "must not be acetone: it stays in the film and weakens it", kind,
                         "warm the resin, or use styrene within the limit")
    share = float(positive("thinner share", percent_v, "% by volume", zero=True))
    limit = float(positive("thinner limit", limit_percent_v, "% by volume"))
    if share > limit:
        raise InputError("thinner share", f"must not exceed {limit:g} [% by volume]", share,
                         "warm the resin first; a higher limit needs the resin maker's sheet")
    return float(catalyst_ml(volume_ml, share))


def coverage_m2_per_l(film_mm):
    """Area that one litre covers at a wet film thickness, before loss; the inverse is the same function.

    Parameters
    ----------
    film_mm : array_like, shape (...)
        Wet film [mm].

    Returns
    -------
    ndarray, shape (...)
        Coverage [m2/L].  Given a coverage it returns the film, as 1 L over 1 m2 is 1 mm.

    Raises
    ------
    InputError
        If the film is not positive.

    References
    ----------
    Geometry: 231 cubic inches a US gallon make 1604 ft2 at one mil.

    Examples
    --------
    >>> float(coverage_m2_per_l(0.5))
    2.0
    """
    return 1 / positive("wet film", film_mm, "mm")


def wet_film_mm(cured_mm, *, shrinkage=float(FILM_SHRINKAGE)):
    """Wet film that leaves a wanted cured film.

    Parameters
    ----------
    cured_mm : array_like, shape (...)
        Cured film [mm].
    shrinkage : float
        Volume shrinkage of the gel coat, 0.05 to 0.13 in print [-].

    Returns
    -------
    ndarray, shape (...)
        Wet film [mm]; all shrinkage is taken across the film, as the area is held.

    Raises
    ------
    InputError
        If the film is not positive or the shrinkage no fraction.

    References
    ----------
    Composites guide, resin shrinkage.

    Examples
    --------
    >>> round(float(wet_film_mm(0.4572)), 3)
    0.492
    """
    return positive("cured film", cured_mm, "mm") / (1 - fraction("shrinkage", shrinkage, zero=True))


def glass_fraction_from_coverage(coverage_m2_l, *, areal_weight_gsm, liquid_density_kg_m3=1100.0):
    """Glass fraction that an ordering chart implies if all the resin stayed in the laminate.

    Parameters
    ----------
    coverage_m2_l : array_like, shape (...)
        Fabric area for one litre of resin [m2/L].
    areal_weight_gsm : array_like, shape (...)
        Weight of the fabric [g/m2].
    liquid_density_kg_m3 : float
        Density of the liquid resin [kg/m3].

    Returns
    -------
    ndarray, shape (...)
        Glass fraction by weight [-].

    Raises
    ------
    InputError
        If an input is not positive.

    Notes
    -----
    A chart is a buying number with priming, brush and run-off in it: the laminate holds less resin.

    References
    ----------
    Mass balance; US fibreglass supplier's coverage chart, 90 ft2 a gallon on 6 oz cloth.

    Examples
    --------
    >>> round(float(glass_fraction_from_coverage(2.2088, areal_weight_gsm=203.4)), 2)
    0.29
    """
    weight = positive("fabric weight", areal_weight_gsm, "g/m2")
    density = positive("liquid resin density", liquid_density_kg_m3, "kg/m3")
    resin = density / positive("coverage", coverage_m2_l, "m2/L")
    return weight / (weight + resin)
