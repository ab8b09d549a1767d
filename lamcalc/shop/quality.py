"""Did the laminate come out as planned: the quality page and the as-built values.

Computed and measured values stand side by side.  These are screening checks of a
shop; acceptance of coded or classed craft is the surveyor's.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError
from lamcalc.sentences import Sentence, joined
from lamcalc.shop.limits import FRACTION_BAND
from lamcalc.shop.quality_checks import (
    GLASS_KG_M3,
    RESIN_KG_M3,
    VERDICTS,
    Check,
    check_burn_off,
    check_hardness,
    check_implied_fraction,
    check_mass_balance,
    check_thickness,
    check_voids,
    mass_balance_fraction,
)
from lamcalc.shop.readings import coupon_thickness_mm, reinforcement_share, trimmed_mean

__all__ = [
    "VERDICTS",
    "AsBuilt",
    "Check",
    "QualityReport",
    "assess",
    "check_burn_off",
    "check_hardness",
    "check_implied_fraction",
    "check_mass_balance",
    "check_thickness",
    "check_voids",
    "coupon_thickness_mm",
    "mass_balance_fraction",
    "reinforcement_share",
    "trimmed_mean",
]


@dataclass(frozen=True)
class AsBuilt:
    """What the schedule is recomputed with.

    Parameters
    ----------
    glass_fraction : float
        Glass by weight [-].
    thickness_mm : float
        Mean thickness without gel coat [mm].
    fraction_from : str
        Check that the glass fraction was taken from [-].
    void_fraction : float
        Voids by volume, 0 where they were not measured [-].

    Examples
    --------
    >>> AsBuilt(0.381, 5.5, "burn-off").thickness_mm
    5.5
    """

    glass_fraction: float
    thickness_mm: float
    fraction_from: str
    void_fraction: float = 0.0


@dataclass(frozen=True)
class QualityReport:
    """All checks of one laminate.

    Parameters
    ----------
    checks : tuple of Check
        Checks that were made [-].
    as_built : AsBuilt or None
        Glass fraction and thickness for recomputing the schedule [-], [mm]; None where no thickness was read.
    not_measured : tuple of str
        Checks that nobody made, stated plainly [-].

    Examples
    --------
    >>> report = assess(planned_glass_fraction=0.37, planned_thickness_mm=5.4, thickness_mm=[5.5] * 10,
    ...                 glass_kg=3.7, resin_kg=6.3)
    >>> report.verdict.split(":")[0]
    'accept'
    """

    checks: tuple
    as_built: AsBuilt
    not_measured: tuple

    @property
    def worst(self):
        """The worst of the verdicts: accept, watch or reject; no better than watch without a thickness reading [-]."""
        unread = ["watch"] if self.as_built is None else []
        return max((*(check.verdict for check in self.checks), *unread), key=VERDICTS.index)

    @property
    def verdict(self):
        """Overall verdict in words: the worst check decides (str)."""
        worst = self.worst
        behind = [Sentence("{name}: {words}", name=check.name, words=check.words) for check in self.checks
                  if check.verdict == worst and worst != "accept"]
        missing = [f"not measured: {', '.join(self.not_measured)}"] if self.not_measured else []
        lead = {"accept": "accept: every check made is within its limit",
                "watch": "watch: usable only after the points named are settled",
                "reject": "reject: do not put into service as it is"}[worst]
        return joined("; ", [lead, *behind, *missing])

    def table(self):
        """Quality page for the sheet.

        Returns
        -------
        pandas.DataFrame
            One row a check, with unit, standard, status and source [-].

        Examples
        --------
        >>> report = assess(planned_glass_fraction=0.37, planned_thickness_mm=5.4, thickness_mm=[5.5] * 10,
        ...                 glass_kg=3.7, resin_kg=6.3)
        >>> list(report.table()["check"])
        ['thickness', 'mass balance']
        """
        import pandas as pd

        columns = ["check", "measured", "expected", "unit", "verdict", "words", "standard", "limits and sources"]
        return pd.DataFrame([[c.name, c.measured, c.expected, c.unit, c.verdict, c.words, c.standard,
                              "; ".join(str(limit) for limit in c.limits)] for c in self.checks], columns=columns)


def assess(*, planned_glass_fraction, planned_thickness_mm, thickness_mm, gel_coat_mm=0.0, areal_weight_gsm=None,
           glass_kg=None, resin_kg=None, resin_left_kg=0.0, planned_balance_fraction=None, coupons_g=None, filler_per_resin=0.0,
           density_kg_m3=None,
           hardness=None, hardness_scale="Barcol", hardness_accept=None, hardness_sheet=None,
           fibre_density_kg_m3=GLASS_KG_M3, resin_density_kg_m3=RESIN_KG_M3):
    """Quality page of one laminate from whatever was measured.

    Parameters
    ----------
    planned_glass_fraction : float
        Glass by weight of the schedule [-].
    planned_thickness_mm : float
        Thickness of the schedule without gel coat [mm].
    thickness_mm : array_like, shape (n,), or None
        Thickness readings; None where nobody took any: the rest is judged, and nothing is recomputed [mm].
    gel_coat_mm : float
        Gel coat included in the readings [mm].
    areal_weight_gsm : float, optional
        All glass of the laminate [g/m2].
    glass_kg, resin_kg : float, optional
        Glass used and resin mixed [kg].
    resin_left_kg : float
        Resin weighed back [kg].
    planned_balance_fraction : float, optional
        Glass by weight planned for all that was weighed, where that is more than the laminate of the coupons [-].
    coupons_g : sequence of (float, float), optional
        Dry mass and residue of the burn-off coupons [g].
    filler_per_resin : float
        Mineral filler per mass of resin burnt away [-].
    density_kg_m3 : float, optional
        Density of a coupon [kg/m3].
    hardness : array_like, shape (n,), optional
        Hardness readings [`hardness_scale`].
    hardness_scale : str
        'Barcol' or 'Shore D' [-].
    hardness_accept, hardness_sheet : float, optional
        Lowest accepted mean, hardness on the resin's sheet [`hardness_scale`].
    fibre_density_kg_m3, resin_density_kg_m3 : float
        Densities of the glass and of the cured resin [kg/m3].

    Returns
    -------
    QualityReport
        Checks, as-built values and what was not measured [-].

    Raises
    ------
    InputError
        If a reading is out of range, or no glass fraction can be told from a thickness and what was read besides, or nothing
        was read.

    Notes
    -----
    The as-built glass fraction comes from burn-off where there is one, else from the thickness, else from the scale.
    Voids are told only with a burn-off and a density.

    References
    ----------
    Han, Jeong, Noh and Oh (2020): rule calculation, calipers and scale, hydrometer and burn-off compared; only burn-off
    sees voids, so computed and measured stand side by side.

    Examples
    --------
    >>> report = assess(planned_glass_fraction=0.367, planned_thickness_mm=5.4,
    ...                 thickness_mm=[5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4], glass_kg=3.71, resin_kg=6.74,
    ...                 coupons_g=[(2.94, 1.12)], density_kg_m3=1460)
    >>> round(report.as_built.glass_fraction, 3), report.as_built.fraction_from
    (0.381, 'burn-off')
    """
    checks, densities = {}, {"fibre_density_kg_m3": fibre_density_kg_m3, "resin_density_kg_m3": resin_density_kg_m3}
    planned = planned_glass_fraction
    if thickness_mm is not None:
        checks["thickness"] = check_thickness(thickness_mm, predicted_mm=planned_thickness_mm, gel_coat_mm=gel_coat_mm)
    if (glass_kg is None) != (resin_kg is None):
        raise InputError("mass balance", "needs both glass and resin [kg]", (glass_kg, resin_kg),
                         "enter both, or neither")
    if glass_kg is not None:
        checks["mass balance"] = check_mass_balance(glass_kg, resin_kg,
                                                    planned_fraction=planned_balance_fraction or planned,
                                                    resin_left_kg=resin_left_kg)
    if coupons_g is not None:
        checks["burn-off"] = check_burn_off(coupons_g, planned_fraction=planned, filler_per_resin=filler_per_resin)
        if density_kg_m3 is not None:
            checks["voids"] = check_voids(density_kg_m3, glass_fraction=checks["burn-off"].measured, **densities)
    voids = max(0.0, checks["voids"].measured) if "voids" in checks else 0.0
    if areal_weight_gsm is not None and "thickness" in checks:
        checks["glass fraction from thickness"] = check_implied_fraction(
            areal_weight_gsm, thickness_mm=checks["thickness"].measured, planned_fraction=planned, void_fraction=voids,
            **densities)
    if hardness is not None:
        checks["hardness"] = check_hardness(hardness, scale=hardness_scale, accept=hardness_accept,
                                            data_sheet=hardness_sheet)
    ranked = [checks[name] for name in ("burn-off", "glass fraction from thickness", "mass balance") if name in checks]
    if not ranked and ("thickness" in checks or not checks):
        raise InputError("readings", "must tell a glass fraction", None,
                         "weigh glass and resin, or enter the fabric weight")
    if len(ranked) > 1:
        checks["methods compared"] = _compare(ranked)
    wanted = ("thickness", "mass balance", "burn-off", "voids", "glass fraction from thickness", "hardness")
    built = AsBuilt(ranked[0].measured, checks["thickness"].measured, ranked[0].name, voids) if "thickness" in checks else None
    missing = [name for name in wanted if name not in checks]
    if density_kg_m3 is not None and "voids" in missing:
        missing[missing.index("voids")] = "voids (a density was given, but no burn-off)"
    return QualityReport(tuple(checks.values()), built, tuple(missing))


def _compare(ranked):
    values = np.array([check.measured for check in ranked])
    gap = float(values.max() - values.min())
    shown = ", ".join(f"{check.name} {check.measured:.3f}" for check in ranked)
    agree = gap <= FRACTION_BAND.value
    tail = "" if agree else "; they disagree: weigh and measure again before the schedule is recomputed"
    return Check("methods compared", gap, FRACTION_BAND.value, "-", "accept" if agree else "watch", shown + tail,
                 "comparison of methods", (FRACTION_BAND,))
