"""Styrene in the air of the shop, and the fan that keeps it down."""

from lamcalc.errors import fraction, positive
from lamcalc.shop.limits import STYRENE_EXPOSURE, STYRENE_LOSS, STYRENE_SHARE

STYRENE_MOLAR_MASS_G = 104.15
MOLAR_VOLUME_L = 24.45  # ideal gas at 25 degC and 1 atm, as exposure tables use it


def mg_m3_per_ppm(molar_mass_g):
    """Milligrams in a cubic metre of air for one part per million of vapour.

    Parameters
    ----------
    molar_mass_g : array_like, shape (...)
        Molar mass [g/mol].

    Returns
    -------
    ndarray, shape (...)
        Conversion at 25 degC and 1 atm [mg/m3 per ppm].

    Raises
    ------
    InputError
        If the molar mass is not positive.

    References
    ----------
    Ideal gas; NIOSH Pocket Guide, styrene: 4.26.

    Examples
    --------
    >>> round(float(mg_m3_per_ppm(104.15)), 2)
    4.26
    """
    return positive("molar mass", molar_mass_g, "g/mol") / MOLAR_VOLUME_L


def ventilation_m3_h(resin_kg, *, hours, styrene_fraction=float(STYRENE_SHARE), loss_fraction=float(STYRENE_LOSS),
                     limit_mg_m3=None):
    """Fresh air needed to keep styrene at a limit while laminating.

    Parameters
    ----------
    resin_kg : array_like, shape (...)
        Resin laid [kg].
    hours : array_like, shape (...)
        Time over which the styrene leaves it [h].
    styrene_fraction : float
        Styrene in the liquid resin [-].
    loss_fraction : float
        Share of the styrene lost to the air; from memory, unverified [-].
    limit_mg_m3 : float, optional
        Limit in the air; 20 ppm if not given [mg/m3].

    Returns
    -------
    ndarray, shape (...)
        Air flow [m3/h].

    Raises
    ------
    InputError
        If an input is out of range.

    Notes
    -----
    Well-mixed air.  At the face of the crew it is worse: the fan pulls away from the worker, and the respirator
    stays on.  The local exposure limit governs.

    References
    ----------
    Mass balance.  OSHA 100, NIOSH 50, ACGIH 20 ppm (older sheet).

    Examples
    --------
    >>> float(ventilation_m3_h(5, hours=2, limit_mg_m3=85).round())
    1359.0
    """
    if limit_mg_m3 is None:
        limit_mg_m3 = STYRENE_EXPOSURE.value * mg_m3_per_ppm(STYRENE_MOLAR_MASS_G)
    lost_mg = (positive("resin", resin_kg, "kg", zero=True) * fraction("styrene fraction", styrene_fraction, zero=True)
               * fraction("styrene loss", loss_fraction, zero=True, one=True) * 1e6)
    return lost_mg / positive("time", hours, "h") / positive("exposure limit", limit_mg_m3, "mg/m3")
