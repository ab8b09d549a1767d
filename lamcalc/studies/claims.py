"""Sayings of the trade about fabric weight and thickness, held against the ply-thickness rule."""

from dataclasses import dataclass

from lamcalc import units
from lamcalc.mechanics.fibre_content import resin_per_glass, weight_fraction_from_thickness

HAND_LAID_MAT = (0.25, 0.35)  # usual glass fraction of hand-laid mat, evidence in data/glass_fractions.csv
HAND_LAID_COMBINATION = (0.35, 0.47)  # mat-backed stitched fabric, from the ends of its two components


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

    @property
    def implied_fraction(self):
        """Glass fraction that the saying needs, at 2560 and 1200 kg/m3 [-]."""
        return float(weight_fraction_from_thickness(self.areal_weight_gsm, self.thickness_mm))

    @property
    def verdict(self):
        """What the thickness rule says of it [-]."""
        low, high = self.usual
        if self.implied_fraction < low:
            return "too thick: resin-rich or voids"
        if self.implied_fraction > high:
            return "too thin for hand lay-up"
        return "possible by hand"


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
    ['too thick: resin-rich or voids', 'too thin for hand lay-up']
    """
    mat = units.convert(1.5, "oz/ft2", "g/m2")
    combination = units.convert(17.0, "oz/yd2", "g/m2") + units.convert(0.75, "oz/ft2", "g/m2")
    return (
        ThicknessClaim("1.5 oz mat is 1/16 in a layer", mat, 25.4 / 16, HAND_LAID_MAT, "restoration forum quoting a book"),
        ThicknessClaim("3/16 in takes 7 to 9 layers of 1.5 oz mat", 8 * mat, 3 * 25.4 / 16, HAND_LAID_MAT,
                       "the same forum, another reader"),
        ThicknessClaim("1708 is 1/16 in a layer", combination, 25.4 / 16, HAND_LAID_COMBINATION, "common saying"),
        ThicknessClaim("1708 is 0.042 in a layer (in epoxy)", combination, 0.042 * 25.4, HAND_LAID_COMBINATION,
                       "epoxy user manual, single-layer table"),
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
    [21.0, 48.0, 35.0, 47.0]
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
