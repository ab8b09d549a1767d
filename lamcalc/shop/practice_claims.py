"""Sayings of the shop floor that contradict each other, with the figures that decide and the verdict that follows."""

import math
from dataclasses import dataclass

from lamcalc.shop.limits import (
    BURN_OFF_TEMPERATURE,
    FILM_SHRINKAGE,
    GEL_FACTOR,
    LAP,
    SCARF_RATIO,
    STYRENE_SHARE,
    TEMPERATURE_FLOOR,
    THINNER_SHARE,
)
from lamcalc.shop.scarf import scarf_shear_factor
from lamcalc.units import convert

GAS_CONSTANT = 8.314  # J/(mol K)
USUAL_ACTIVATION_KJ = (50.0, 70.0)  # kJ/mol, cure of polyester, from memory


@dataclass(frozen=True)
class PracticeClaim:
    """Two sayings against each other.

    Parameters
    ----------
    topic : str
        'batches', 'joints', 'quality' or 'take-off' [-].
    one, other : str
        The sayings [-].
    figures : str
        What they come to, computed [-].
    verdict : str
        Which one the figures support [-].
    source : str
        Who says it, described [-].

    Examples
    --------
    >>> PracticeClaim("joints", "a", "b", "", "b", "forum").verdict
    'b'
    """

    topic: str
    one: str
    other: str
    figures: str
    verdict: str
    source: str


def activation_energy_kj(factor_per_10c, *, temperature_c=20.0):
    """Activation energy that a factor on the rate of cure for 10 degC stands for.

    Parameters
    ----------
    factor_per_10c : float
        Gel time at the lower temperature over that 10 degC higher, above 1 [-].
    temperature_c : float
        Lower temperature [degC].

    Returns
    -------
    float
        Energy [kJ/mol].

    Notes
    -----
    E = R T1 T2 ln(factor)/(T2 - T1), from the Arrhenius equation.

    References
    ----------
    Arrhenius equation, chemistry texts.

    Examples
    --------
    >>> round(activation_energy_kj(2.3))
    62
    """
    low = temperature_c + 273.15
    return GAS_CONSTANT * low * (low + 10) * math.log(factor_per_10c) / 10 / 1e3


def practice_claims(*topics):
    """Sayings with their verdicts, computed from the rules of this workbook.

    Parameters
    ----------
    *topics : str
        'batches', 'joints', 'quality', 'take-off'; all if none is named [-].

    Returns
    -------
    tuple of PracticeClaim
        In a fixed order [-].

    Examples
    --------
    >>> [claim.verdict[:9] for claim in practice_claims("quality")]
    ['the secon']
    """
    found = (*_batch_claims(), *_joint_claims(), *_coat_claims(), _ashing())
    return tuple(claim for claim in found if not topics or claim.topic in topics)


def _pick(first, second, *, why=""):
    words = {(True, False): "the first", (False, True): "the second", (True, True): "both can be right",
             (False, False): "neither"}[bool(first), bool(second)]
    return words + (f": {why}" if why else "")


def _batch_claims():
    low, high = USUAL_ACTIVATION_KJ
    steep, usual = activation_energy_kj(8.0), activation_energy_kj(float(GEL_FACTOR))
    ounce = float(convert(1.0, "floz", "mL"))
    drops = {count: 0.01 * ounce / count for count in (10, 4, 5)}
    same = max(drops.values()) / min(drops.values()) < 1.1
    floor, window_high = float(TEMPERATURE_FLOOR), 2.5  # the usual window of a can, percent by volume
    return (
        PracticeClaim("batches", "gel time changes eightfold for 10 degC", "two- to threefold",
                      f"{steep:.0f} against {usual:.0f} kJ/mol; polyester cures at {low:g} to {high:g} (from memory)",
                      _pick(low <= steep <= high, low <= usual <= high), "gel-time chart of a catalyst page; resin texts"),
        PracticeClaim("batches", "10 drops an ounce are 1 %", "4 or 5 drops an ounce are 1 %",
                      "a drop would be " + ", ".join(f"{ml:.3f} mL ({n} drops)" for n, ml in drops.items()),
                      _pick(same, same, why="measure millilitres or grams; count drops only of a dropper counted today"),
                      "surf-board forum, gel coat guide, pen-turners' forum"),
        PracticeClaim("batches", "lay up from 5 degC", "from 15 to 18 degC",
                      f"the floor used here is {floor:g} degC: {TEMPERATURE_FLOOR.source}",
                      _pick(5 >= floor, 15 >= floor, why="heat the shop, do not add catalyst beyond the can's window"),
                      "supplier's blog; class guidance for FRP ships"),
        PracticeClaim("batches", "4 % catalyst when it is cold", "only what the can allows",
                      f"a can that allows 1.0 to {window_high:g} % forbids 4 %; at "
                      f"{floor:g} degC gel time is {float(GEL_FACTOR)**0.5:.1f} times that at {floor + 5:g} degC",
                      _pick(window_high >= 4, window_high < 4, why="more leaves plasticiser behind and a soft laminate"), "forums; labels"),
    )


def _joint_claims():
    twelve, twenty = (float(scarf_shear_factor(ratio)) for ratio in (12, 20))
    return (
        PracticeClaim("joints", "a 20:1 scarf is better than 12:1", "a test found no difference",
                      f"mean bond shear over laminate stress {twelve:.3f} at 12:1 and {twenty:.3f} at 20:1, "
                      f"{1 - twenty / twelve:.0%} less for {20 / 12:.2f} times the length",
                      f"{float(SCARF_RATIO):g}:1 as the minimum; 20:1 lowers the shear but costs ground area",
                      "aircraft-style repair texts; Rothbarth and Pinto (2019), abstract"),
        PracticeClaim("joints", "butt the seams of stitched cloth", f"lap them {float(LAP):g} mm",
                      "a butted ply passes no force along its fibres at the seam; a lap passes it by shear over its width",
                      _pick(False, True, why="laps where the seam carries load, staggered"), "rebuild diary; class rules for FRP ships"),
        PracticeClaim("joints", "polyester or gel coat never over epoxy", "fine when cured, washed and sanded",
                      "no figure decides; the bond to amine-free, abraded epoxy is untested on your part",
                      "cosmetic coats after a test patch, structure no", "retailer support pages; epoxy repair column"),
        PracticeClaim("joints", "mat needs styrene to wet out", "epoxy wets mat",
                      "the binder of stitched mat needs no styrene, that of powder or emulsion mat softens only in it",
                      "strength yes, drape no: use stitched mat or cloth with epoxy", "mat makers' pages"),
    )


def _coat_claims():
    film = 30 * (1 - float(FILM_SHRINKAGE))
    mil = float(convert(1.0, "gal", "mm3")) / float(convert(40.0, "ft2", "mm2")) / 0.0254
    glass = 1 / (1 + 2.5)
    return (
        PracticeClaim("take-off", "three coats of 10 mil leave 30 to 35 mil", "four coats",
                      f"30 mil wet cure to {film:.1f} mil", _pick(film >= 30, 4 * film / 3 >= 30), "gel coat article; forum"),
        PracticeClaim("take-off", "40 ft2 a gallon of gel coat", "80 ft2 a gallon",
                      f"40 ft2 a gallon is a wet film of {mil:.0f} mil, 80 is {mil / 2:.0f} mil",
                      _pick(mil <= 30, mil / 2 <= 30, why="40 mil is beyond practice except for non-skid"), "gel coat pages"),
        PracticeClaim("take-off", "mat with 2.5 parts of resin is 30 % glass", "it is 28.6 %",
                      f"1/(1 + 2.5) = {100 * glass:.1f} %", _pick(abs(glass - 0.30) < 5e-4, abs(glass - 0.286) < 5e-4),
                      "ordering charts"),
        PracticeClaim("take-off", "thin with 10 to 15 % styrene", f"with {float(THINNER_SHARE):g} %",
                      f"liquid polyester holds about {100 * float(STYRENE_SHARE):.0f} % already; more shrinks and softens",
                      f"{float(THINNER_SHARE):g} % unless the resin's sheet allows more", "suppliers' pages"),
        PracticeClaim("take-off", "15 mil is 0.15 in", "0.015 in", f"15 mil = {15 * 0.001:g} in",
                      _pick(math.isclose(15 * 0.001, 0.15), math.isclose(15 * 0.001, 0.015), why="a misprint"), "gel coat page"),
    )


def _ashing():
    low, high = BURN_OFF_TEMPERATURE.low, BURN_OFF_TEMPERATURE.high
    return PracticeClaim("quality", "ash the coupon at 700 degC", "at 565 degC",
                         f"the standards span {low:g} to {high:g} degC ({BURN_OFF_TEMPERATURE.source})",
                         _pick(low <= 700 <= high, low <= 565 <= high, why="hotter, fibres fuse and the plies cannot be counted"),
                         "resin maker's control sheet; ASTM D2584")


def claims_table(*topics):
    """Sayings, figures and verdicts as a table.

    Parameters
    ----------
    *topics : str
        As in `practice_claims` [-].

    Returns
    -------
    pandas.DataFrame
        One row a contradiction [-].

    Examples
    --------
    >>> claims_table("batches")["physics supports"].iloc[0]
    'the second'
    """
    import pandas as pd

    return pd.DataFrame([{"some say": c.one, "others say": c.other, "what it comes to": c.figures,
                          "physics supports": c.verdict, "who says it": c.source} for c in practice_claims(*topics)])
