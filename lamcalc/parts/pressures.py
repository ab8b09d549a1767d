"""Rule-type design pressures of motor craft, with every factor listed.

The compositions (which base value is multiplied by which factor) are from
memory and carry that status; base values are pinned by a published example.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import positive
from lamcalc.parts.basis import CAUTION, ISO, DesignPressure, Factor, plain
from lamcalc.parts.pressure_bases import (
    DECK_MINIMUM_KN_M2,
    bottom_displacement_base,
    bottom_minimum,
    bottom_planing_base,
    deck_base,
    side_minimum,
)
from lamcalc.parts.pressure_factors import (
    area_factor,
    design_category_factor,
    dynamic_load_factor,
    height_factor,
    longitudinal_factor,
)

COMPOSITION = "how the factors combine is from memory: unverified"


@dataclass(frozen=True)
class MotorCraft:
    """Main figures of a motor boat for the rule pressures.

    Parameters
    ----------
    loaded_mass_kg : float or ndarray, shape (...)
        Loaded displacement mass mLDC [kg].
    waterline_length_m : float or ndarray, shape (...)
        Waterline length LWL at loaded mass [m].
    chine_beam_m : float or ndarray, shape (...)
        Chine beam BC at 0.4 LWL from the stern [m].
    deadrise_deg : float or ndarray, shape (...)
        Deadrise at 0.4 LWL from the stern [deg], 0 to below 50.
    speed_knots : float or ndarray, shape (...)
        Top speed at loaded mass [knots].
    category : str
        Design category 'A', 'B', 'C' or 'D' [-].

    Raises
    ------
    InputError
        If a figure is not positive or outside its range.

    Examples
    --------
    >>> craft = MotorCraft(625, 4.0, 1.2, 17, 9.5, "D")
    >>> round(craft.dynamic_load_factor.value, 3)
    0.916
    """

    loaded_mass_kg: object
    waterline_length_m: object
    chine_beam_m: object
    deadrise_deg: object
    speed_knots: object
    category: str

    def __post_init__(self):
        _ = self.category_factor, self.dynamic_load_factor  # both check their inputs

    @property
    def category_factor(self):
        """Factor kDC [-]."""
        return design_category_factor(self.category)

    @property
    def dynamic_load_factor(self):
        """Factor nCG [g]."""
        return dynamic_load_factor(
            waterline_length_m=self.waterline_length_m, chine_beam_m=self.chine_beam_m,
            deadrise_deg=self.deadrise_deg, speed_knots=self.speed_knots, loaded_mass_kg=self.loaded_mass_kg)


def _base(symbol, name, value, status="pinned", note=""):
    return Factor(symbol, name, value, "kN/m2", ISO, status, note)


def _craft_factors(craft, x_over_lwl):
    """The factors that bottom and side share."""
    category, dynamic = craft.category_factor, craft.dynamic_load_factor
    displacement = _base("PBMD_base", "bottom base, displacement", bottom_displacement_base(craft.loaded_mass_kg))
    planing = _base("PBMP_base", "bottom base, planing", bottom_planing_base(
        loaded_mass_kg=craft.loaded_mass_kg, waterline_length_m=craft.waterline_length_m,
        chine_beam_m=craft.chine_beam_m, category_factor=category.value, dynamic_load_factor=dynamic.value))
    return category, dynamic, longitudinal_factor(x_over_lwl, dynamic.value), displacement, planing


def _result(candidates, minimum, factors, rule, notes=()):
    """Greatest candidate, not below the minimum, with a note on what governs."""
    names = [f.symbol for f in candidates] + [minimum.symbol]
    values = np.stack(np.broadcast_arrays(*(f.value for f in candidates), minimum.value))
    value, winner = values.max(axis=0), values.argmax(axis=0)
    governing = ", ".join(names[i] for i in np.unique(winner))
    messages = [f"governed by {governing}"]
    if (winner == len(candidates)).any():
        messages.append(f"raised to the rule's minimum {minimum.symbol}; calculated down to "
                        f"{values[:-1].max(axis=0).min():.4g} kN/m2")
    factors = (*factors, *candidates, minimum)
    messages += [f"{f.symbol}: {f.note}" for f in factors if f.note]
    return DesignPressure(plain(value), factors, rule, (*messages, COMPOSITION, *notes, CAUTION))


def bottom_pressure(craft, area, *, x_over_lwl):
    """Design pressure on the bottom of a motor craft.

    Parameters
    ----------
    craft : MotorCraft
        Main figures [kg, m, deg, knots].
    area : LoadedArea
        Panel or stiffener [mm].
    x_over_lwl : array_like, shape (...)
        Centre of the panel from the aft end of the waterline as part of LWL [-], 0 to 1.

    Returns
    -------
    DesignPressure
        Greater of displacement and planing mode, not below the minimum [kN/m2].

    Raises
    ------
    InputError
        If an input is outside its range.

    Notes
    -----
    PBMD = PBMD_base kAR kDC kL; PBMP = PBMP_base kAR kL; minimum PBM_min.
    Taken constant over the panel (BS EN ISO 12215-5:2008 10.1, seen).

    References
    ----------
    ISO 12215-5:2008; base values pinned, the composition from memory.

    Examples
    --------
    >>> from lamcalc.parts.pressure_factors import LoadedArea
    >>> p = bottom_pressure(MotorCraft(900, 4.9, 1.5, 14, 24, "D"), LoadedArea("panel", 460, 900), x_over_lwl=0.4)
    >>> round(p.value_kn_m2, 1), p.notes[0]
    (13.1, 'governed by PBMP')
    """
    category, dynamic, along, base_d, base_p = _craft_factors(craft, x_over_lwl)
    area_d = area_factor(area, craft.loaded_mass_kg, mode="displacement")
    area_p = area_factor(area, craft.loaded_mass_kg, mode="planing")
    candidates = (
        _base("PBMD", "bottom, displacement", base_d.value * area_d.value * category.value * along.value,
              "from memory"),
        _base("PBMP", "bottom, planing", base_p.value * area_p.value * along.value, "from memory"))
    minimum = _base("PBM_min", "bottom minimum", bottom_minimum(
        loaded_mass_kg=craft.loaded_mass_kg, waterline_length_m=craft.waterline_length_m,
        category_factor=category.value), note="mass exponent 0.333; 0.33 would give 1 to 2 % less")
    return _result(candidates, minimum, (category, dynamic, along, base_d, base_p, area_d, area_p), f"{ISO}, bottom")


def side_pressure(craft, area, *, x_over_lwl, height_m, topside_height_m):
    """Design pressure on the topsides of a motor craft.

    Parameters
    ----------
    craft : MotorCraft
        Main figures [kg, m, deg, knots].
    area : LoadedArea
        Panel or stiffener [mm].
    x_over_lwl : array_like, shape (...)
        Centre of the panel from the aft end of the waterline as part of LWL [-], 0 to 1.
    height_m : array_like, shape (...)
        Height of the panel's centre above the loaded waterline [m].
    topside_height_m : array_like, shape (...)
        Height of the top of the side above the loaded waterline [m].

    Returns
    -------
    DesignPressure
        Greater of displacement and planing mode, not below the minimum [kN/m2].

    Raises
    ------
    InputError
        If an input is outside its range.

    Notes
    -----
    PSMP = [PDM_base + kZ (0.25 PBMP_base - PDM_base)] kAR kDC kL;
    PSMD = [PDM_base + kZ (PBMD_base - PDM_base)] kAR kDC kL; minimum PSM_min.
    On a large panel use the mid-panel average (BS EN ISO 12215-5:2008 10.1, seen).

    References
    ----------
    ISO 12215-5:2008; base values pinned, the composition from memory.

    Examples
    --------
    >>> from lamcalc.parts.pressure_factors import LoadedArea
    >>> p = side_pressure(MotorCraft(900, 4.9, 1.5, 14, 24, "D"), LoadedArea("panel", 460, 900),
    ...                   x_over_lwl=0.4, height_m=0.3, topside_height_m=0.6)
    >>> round(p.value_kn_m2, 1)
    5.1
    """
    category, dynamic, along, base_d, base_p = _craft_factors(craft, x_over_lwl)
    height = height_factor(height_m=height_m, topside_height_m=topside_height_m)
    deck = _base("PDM_base", "deck base", deck_base(craft.waterline_length_m))
    area_d = area_factor(area, craft.loaded_mass_kg, mode="displacement")
    area_p = area_factor(area, craft.loaded_mass_kg, mode="planing")

    def side(symbol, name, bottom, reduction):
        between = deck.value + height.value * (bottom - deck.value)
        return _base(symbol, name, between * reduction * category.value * along.value, "from memory")

    candidates = (side("PSMD", "side, displacement", base_d.value, area_d.value),
                  side("PSMP", "side, planing", 0.25 * base_p.value, area_p.value))
    minimum = _base("PSM_min", "side minimum", side_minimum(
        waterline_length_m=craft.waterline_length_m, category_factor=category.value))
    factors = (category, dynamic, along, height, base_d, base_p, deck, area_d, area_p)
    return _result(candidates, minimum, factors, f"{ISO}, side")


def deck_pressure(craft, area, *, x_over_lwl):
    """Design pressure on decks and soles of a motor craft.

    Parameters
    ----------
    craft : MotorCraft
        Main figures [kg, m, deg, knots].
    area : LoadedArea
        Panel or stiffener [mm].
    x_over_lwl : array_like, shape (...)
        Centre of the panel from the aft end of the waterline as part of LWL [-], 0 to 1.

    Returns
    -------
    DesignPressure
        Deck pressure, not below 5 [kN/m2].

    Raises
    ------
    InputError
        If an input is outside its range.

    Notes
    -----
    PDM = PDM_base kAR kDC kL, at least 5 kN/m2.  Which mode's kAR belongs here
    could not be confirmed; the greater is used.  A person's foot is a patch
    load, not covered by this pressure.

    References
    ----------
    ISO 12215-5:2008; base value and minimum pinned by Chirica and Lupascu (2014) Table 2; composition from memory.

    Examples
    --------
    >>> from lamcalc.parts.pressure_factors import LoadedArea
    >>> craft = MotorCraft(625, 4.0, 1.2, 17, 9.5, "D")
    >>> deck_pressure(craft, LoadedArea("panel", 460, 900), x_over_lwl=0.5).value_kn_m2
    5.0
    """
    category, dynamic = craft.category_factor, craft.dynamic_load_factor
    along = longitudinal_factor(x_over_lwl, dynamic.value)
    base = _base("PDM_base", "deck base", deck_base(craft.waterline_length_m))
    areas = [area_factor(area, craft.loaded_mass_kg, mode=mode) for mode in ("displacement", "planing")]
    reduction = np.maximum(areas[0].value, areas[1].value)
    candidate = _base("PDM", "deck", base.value * reduction * category.value * along.value, "from memory")
    minimum = _base("PDM_min", "deck minimum", DECK_MINIMUM_KN_M2)
    return _result((candidate,), minimum, (category, dynamic, along, base, *areas), f"{ISO}, deck",
                   ("the greater kAR of the two modes was used",))


def transom_pressure(craft, area, *, height_m, topside_height_m):
    """Water pressure on a transom, taken as a side panel at the stern: low confidence.

    Parameters
    ----------
    craft : MotorCraft
        Main figures [kg, m, deg, knots].
    area : LoadedArea
        Panel or stiffener [mm].
    height_m : array_like, shape (...)
        Height of the panel's centre above the loaded waterline [m].
    topside_height_m : array_like, shape (...)
        Height of the top of the transom above the loaded waterline [m].

    Returns
    -------
    DesignPressure
        Side pressure at x/LWL = 0 [kN/m2].

    Raises
    ------
    InputError
        If an input is outside its range.

    Notes
    -----
    The transom clauses of the standard (and the outboard check of the 2019
    edition) were not read.  With an outboard the engine loads govern in
    practice: see `transom_load`.

    References
    ----------
    From memory, low confidence.

    Examples
    --------
    >>> from lamcalc.parts.pressure_factors import LoadedArea
    >>> p = transom_pressure(MotorCraft(900, 4.9, 1.5, 14, 24, "D"), LoadedArea("panel", 620, 1240),
    ...                      height_m=0.2, topside_height_m=0.5)
    >>> p.notes[-2]
    'low confidence: transom taken as a side panel; with an outboard the engine loads govern'
    """
    side = side_pressure(craft, area, x_over_lwl=0.0, height_m=height_m, topside_height_m=topside_height_m)
    doubt = "low confidence: transom taken as a side panel; with an outboard the engine loads govern"
    return DesignPressure(side.value_kn_m2, side.factors, f"{ISO}, transom as side", (*side.notes[:-1], doubt, CAUTION))


def bulkhead_pressure(head_m, *, tank=False):
    """Design pressure on a watertight bulkhead or a tank wall.

    Parameters
    ----------
    head_m : array_like, shape (...)
        Load height hB in metres of water at the panel [m].
    tank : bool
        Whether it is the wall of an integral tank [-].

    Returns
    -------
    DesignPressure
        7 hB watertight, 10 hB tanks [kN/m2].

    Raises
    ------
    InputError
        If the head is not positive.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> bulkhead_pressure(0.8, tank=True).value_kn_m2
    8.0
    """
    head = positive("load height", head_m, "m")
    slope = 10.0 if tank else 7.0
    factors = (Factor("hB", "load height", head, "m", "user", "user"),
               Factor("c", "tank" if tank else "watertight bulkhead", slope, "kN/m3", ISO, "from memory"))
    return DesignPressure(plain(slope * head), factors, f"{ISO}, {'tank' if tank else 'bulkhead'}",
                          (COMPOSITION, CAUTION))
