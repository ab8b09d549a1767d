"""Sayings of the trade about fabric weight and thickness, held against the ply-thickness rule."""

from dataclasses import dataclass

from lamcalc import units
from lamcalc.materials import catalogue
from lamcalc.mechanics.fibre_content import resin_per_glass, weight_fraction_from_thickness
from lamcalc.studies.compare import usual_glass_range


@dataclass(frozen=True)
class ThicknessClaim:
    """A saying that a fabric cures to some thickness.

    Parameters
    ----------
    saying : str
        What is said [-].
    areal_weight_gsm : float
        Dry weight of the fabric or layers meant [g/m2].
    thickness_mm : float
        Thickness said [mm].
    usual : tuple of (float, float)
        Usual glass fraction by hand [-].
    source : str
        Who says it [-].
    resin_density_kg_m3 : float
        Density of the cured resin meant [kg/m3].

    Examples
    --------
    >>> round(ThicknessClaim("a saying", 450.0, 1.05, (0.25, 0.35), "bench note").implied_fraction, 2)
    0.3
    """

    saying: str
    areal_weight_gsm: float
    thickness_mm: float
    usual: tuple
    source: str
    resin_density_kg_m3: float = 1200.0

    @property
    def implied_fraction(self):
        """Glass fraction that the saying needs, without voids [-]."""
        return float(weight_fraction_from_thickness(self.areal_weight_gsm, self.thickness_mm,
                                                    resin_density_kg_m3=self.resin_density_kg_m3))

    @property
    def verdict(self):
        """What the thickness rule says of it [-]."""
        low, high = self.usual
        if self.implied_fraction < low:
            return "wetter than the usual range"
        if self.implied_fraction > high:
            return "drier than the usual range"
        return "within the usual range"


def thickness_claims():
    """Sayings about the thickness of one or more layers.

    Returns
    -------
    tuple of ThicknessClaim
        Sayings, collected from open pages [-].

    Notes
    -----
    An ounce of mat is per square foot, an ounce of cloth per square yard.

    References
    ----------
    .. [1] Boat restoration and boat design forums; epoxy user manual, table of single-layer thickness (read as pages).

    Examples
    --------
    >>> [claim.verdict for claim in thickness_claims()][:2]
    ['wetter than the usual range', 'drier than the usual range']
    """
    mat = units.convert(1.5, "oz/ft2", "g/m2")
    shop = catalogue.load()
    combination, hand = shop.reinforcement("biax45_1708"), shop.process("hand")
    total, epoxy = combination.areal_weight_gsm, float(shop.resin("epoxy").density_kg_m3)
    mat_range, range_1708 = (usual_glass_range(fabric, hand) for fabric in (shop.reinforcement("csm_1_5oz"), combination))
    return (
        ThicknessClaim("1.5 oz mat is 1/16 in a layer", mat, 25.4 / 16, mat_range, "restoration forum quoting a book"),
        ThicknessClaim("3/16 in takes 7 to 9 layers of 1.5 oz mat", 8 * mat, 3 * 25.4 / 16, mat_range,
                       "the same forum, another reader"),
        ThicknessClaim("1708 is 1/16 in a layer", total, 25.4 / 16, range_1708, "common saying"),
        ThicknessClaim("1708 is 0.042 in a layer (in epoxy)", total, 0.042 * 25.4, range_1708,
                       "epoxy user manual, single-layer table", epoxy),
    )


def claims_table():
    """The sayings, what they would need, and the verdict.

    Returns
    -------
    DataFrame
        Column names carry the units [-].

    Examples
    --------
    >>> claims_table()["glass it would need [%]"].round().tolist()
    [21.0, 48.0, 35.0, 48.0]
    """
    import pandas as pd

    claims = thickness_claims()
    return pd.DataFrame({
        "saying": [claim.saying for claim in claims],
        "glass it would need [%]": [100 * claim.implied_fraction for claim in claims],
        "usual by hand [%]": [f"{100 * claim.usual[0]:.0f} to {100 * claim.usual[1]:.0f}" for claim in claims],
        "resin on glass by mass [-]": [float(resin_per_glass(claim.implied_fraction)) for claim in claims],
        "verdict": [claim.verdict for claim in claims],
        "who says it": [claim.source for claim in claims],
    })
