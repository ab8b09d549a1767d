"""Factors behind the small-craft design pressures of motor boats.

Units are those of the printed rule: kg, m, degrees, knots, kN/m2; panel sizes
in mm.  Each function says whether its clause was seen, is pinned by published
numbers, or is from memory.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive
from lamcalc.parts.basis import ISO, Factor, plain
from lamcalc.sentences import Figure, Sentence, rule_sentence

# category: (factor, status); only D was read in a published example
CATEGORIES = {"A": (1.0, "from memory"), "B": (0.8, "from memory"),
              "C": (0.6, "from memory"), "D": (0.4, "source seen")}


def _limited(raw, low, high, what):
    """Values held in a range, and a sentence if the range acted."""
    value = np.clip(raw, low, high)
    if np.array_equal(value, raw):
        return value, ""
    return value, f"{what} held within {low:g} to {high:g}; calculated {raw.min():.4g} to {raw.max():.4g}"


def design_category_factor(category):
    """Design category factor kDC.

    Parameters
    ----------
    category : str
        Design category 'A', 'B', 'C' or 'D' [-].

    Returns
    -------
    Factor
        kDC [-].

    Raises
    ------
    InputError
        If the category is not A, B, C or D.

    References
    ----------
    ISO 12215-5:2008; 0.4 for D seen in Chirica and Lupascu (2014) Table 2, the others from memory.

    Examples
    --------
    >>> design_category_factor("D").value
    0.4
    """
    key = str(category).strip().upper()
    if key not in CATEGORIES:
        raise InputError("design category", "must be A, B, C or D [-]", category, "read it on the builder's plate")
    value, status = CATEGORIES[key]
    return Factor("kDC", f"design category {key}", value, "-", ISO, status)


def dynamic_load_factor(*, waterline_length_m, chine_beam_m, deadrise_deg, speed_knots, loaded_mass_kg):
    """Dynamic load factor nCG of a planing motor craft, in g.

    Parameters
    ----------
    waterline_length_m : array_like, shape (...)
        Waterline length LWL [m].
    chine_beam_m : array_like, shape (...)
        Chine beam BC at 0.4 LWL from the stern [m].
    deadrise_deg : array_like, shape (...)
        Deadrise at 0.4 LWL from the stern [deg], 0 to below 50.
    speed_knots : array_like, shape (...)
        Top speed at loaded mass [knots].
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].

    Returns
    -------
    Factor
        nCG [g]; its note tells which limit acted and what was calculated.

    Raises
    ------
    InputError
        If an input is not positive or the deadrise is 50 deg or more.

    Notes
    -----
    nCG = 0.32 (LWL/(10 BC) + 0.084)(50 - beta) V^2 BC^2 / mLDC.  Above 3 the
    rule changes to 0.5 V / mLDC^0.17, never above 7.  The change is a step:
    the second value can lie below 3, which the note then says.

    References
    ----------
    ISO 12215-5:2008; first formula pinned by Chirica and Lupascu (2014) Table 2 (0.916); second formula and
    the cap of 7 from memory.

    Examples
    --------
    >>> boat = dict(waterline_length_m=4.0, chine_beam_m=1.2, deadrise_deg=17, loaded_mass_kg=625)
    >>> round(dynamic_load_factor(speed_knots=9.5, **boat).value, 3)
    0.916
    """
    length = positive("waterline length", waterline_length_m, "m")
    beam = positive("chine beam", chine_beam_m, "m")
    deadrise = number("deadrise", deadrise_deg, "deg")
    if (deadrise < 0).any() or (deadrise >= 50).any():
        raise InputError("deadrise", "must be 0 to below 50 [deg]", plain(deadrise), "measure it at 0.4 LWL")
    speed = positive("speed", speed_knots, "knots")
    mass = positive("loaded mass", loaded_mass_kg, "kg")
    first = 0.32 * (length / (10 * beam) + 0.084) * (50 - deadrise) * speed**2 * beam**2 / mass
    second = np.broadcast_to(0.5 * speed / mass**0.17, first.shape)
    over = first > 3
    value = np.where(over, np.minimum(second, 7.0), first)
    notes = []
    if over.any():
        notes.append(f"first formula gave {first.max():.3g}, above 3, so 0.5 V / mLDC^0.17 was used (from memory)")
    if (over & (second > 7)).any():
        notes.append(f"held at the cap of 7 g; calculated {second[over].max():.3g}")
    if (over & (second < 3)).any():
        notes.append(f"the second formula gives {second[over].min():.3g}, below 3: consider 3")
    return Factor("nCG", "dynamic load factor", value, "g", ISO,
                  "from memory" if over.any() else "pinned", "; ".join(notes))


def longitudinal_factor(x_over_lwl, dynamic_load_factor):
    """Longitudinal pressure distribution factor kL.

    Parameters
    ----------
    x_over_lwl : array_like, shape (...)
        Position of the centre of the panel from the aft end of the waterline, as part of LWL [-], 0 to 1.
    dynamic_load_factor : array_like, shape (...)
        nCG [g]; held within 3 to 6 here.

    Returns
    -------
    Factor
        kL [-]; 1 forward of 0.6 LWL; the note tells if nCG was held.

    Raises
    ------
    InputError
        If the position lies outside 0 to 1 or nCG is not positive.

    Notes
    -----
    kL = (1 - 0.167 n)/0.6 x/LWL + 0.167 n.  At n = 6 the rounded 0.167 gives
    1.002 aft, 0.2 % on the safe side.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(longitudinal_factor(0.3, 3.0).value, 4)
    0.7505
    """
    place = fraction("x / LWL", x_over_lwl, zero=True, one=True)
    held, note = _limited(positive("dynamic load factor", dynamic_load_factor, "g"), 3.0, 6.0, "nCG for kL")
    value = np.where(place <= 0.6, (1 - 0.167 * held) / 0.6 * place + 0.167 * held, 1.0)
    return Factor("kL", "position along the waterline", value, "-", ISO, "from memory", note)


def height_factor(*, height_m, topside_height_m):
    """Side pressure reduction factor kZ with height above the waterline.

    Parameters
    ----------
    height_m : array_like, shape (...)
        Height h of the panel's centre above the loaded waterline [m].
    topside_height_m : array_like, shape (...)
        Height Z of the top of the side above the loaded waterline [m].

    Returns
    -------
    Factor
        kZ = (Z - h)/Z [-].

    Raises
    ------
    InputError
        If the panel's centre lies below the waterline or above the top of the side.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> height_factor(height_m=0.25, topside_height_m=0.5).value
    0.5
    """
    top = positive("topside height", topside_height_m, "m")
    height = positive("height above the waterline", height_m, "m", zero=True)
    if (height > top).any():
        raise InputError("height above the waterline",
                         rule_sentence("must not exceed the topside height {top} [m]", top=plain(top)),
                         plain(height), "measure both from the loaded waterline")
    return Factor("kZ", "height above the waterline", (top - height) / top, "-", ISO, "from memory")


@dataclass(frozen=True)
class LoadedArea:
    """The area over which a rule averages the pressure: a panel, or the strip that a stiffener carries.

    Parameters
    ----------
    kind : str
        'panel' or 'stiffener' [-].
    short : float or ndarray, shape (...)
        Short side b of a panel, or the spacing s of stiffeners [mm].
    long : float or ndarray, shape (...)
        Long side l of a panel, or the unsupported span lu of a stiffener [mm].
    construction : str
        'single skin' or 'sandwich' [-].
    minimum_kar : float, optional
        Floor of the area factor kAR [-]; 0.25 for single skin (from memory).  The rule has a higher floor
        for sandwich, which could not be confirmed: it must be entered; 1.0 is always safe.

    Raises
    ------
    InputError
        If a size is not positive, a panel's long side is shorter than its short side, the kind or the
        construction is unknown, or sandwich comes without a floor.

    Examples
    --------
    >>> round(LoadedArea("panel", 460, 900).design_area_m2, 3)
    0.414
    """

    kind: str
    short: object
    long: object
    construction: str = "single skin"
    minimum_kar: float | None = None

    def __post_init__(self):
        if self.kind not in ("panel", "stiffener"):
            raise InputError("kind of loaded area", "must be 'panel' or 'stiffener' [-]", self.kind, "choose one")
        short = positive("short side or spacing", self.short, "mm")
        long = positive("long side or span", self.long, "mm")
        if self.construction not in ("single skin", "sandwich"):
            raise InputError("construction", "must be 'single skin' or 'sandwich' [-]", self.construction, "choose one")
        if self.minimum_kar is not None:
            fraction("minimum kAR", self.minimum_kar, one=True)
        elif self.construction == "sandwich":
            raise InputError("minimum kAR", "must be given for sandwich [-]", self.minimum_kar,
                             "read it in the standard, or enter 1.0, which is always safe")
        if self.kind == "panel" and (long < short).any():
            raise InputError("long side",
                             rule_sentence("must not be shorter than the short side {short} [mm]", short=plain(short)),
                             plain(long), "swap the two sides")

    @property
    def floor(self):
        """Floor of kAR [-]."""
        return 0.25 if self.minimum_kar is None else self.minimum_kar

    @property
    def design_area_m2(self):
        """AD: l b, at most 2.5 b^2, for a panel; lu s, at least 0.33 lu^2, for a stiffener [m2]."""
        short, long = np.asarray(self.short, float), np.asarray(self.long, float)
        if self.kind == "panel":
            return plain(np.minimum(long * short, 2.5 * short**2) * 1e-6)
        return plain(np.maximum(long * short, 0.33 * long**2) * 1e-6)


def area_factor(area, loaded_mass_kg, *, mode):
    """Area pressure reduction factor kAR.

    Parameters
    ----------
    area : LoadedArea
        Panel or stiffener [mm].
    loaded_mass_kg : array_like, shape (...)
        Loaded displacement mass mLDC [kg].
    mode : str
        'planing' or 'displacement' [-].

    Returns
    -------
    Factor
        kAR [-], between the floor of `area` and 1; the note tells if either acted.

    Raises
    ------
    InputError
        If the mode is unknown, or the element is so long that the displacement coefficient kR turns negative.

    Notes
    -----
    kAR = kR 0.1 mLDC^0.15 / AD^0.3; kR = 1 planing, and in displacement mode
    1.5 - 3e-4 b for panels, 1 - 2e-4 lu for stiffeners.

    References
    ----------
    ISO 12215-5:2008, from memory.

    Examples
    --------
    >>> round(area_factor(LoadedArea("panel", 460, 900), 900, mode="planing").value, 3)
    0.361
    """
    mass = positive("loaded mass", loaded_mass_kg, "kg")
    if mode not in ("planing", "displacement"):
        raise InputError("mode", "must be 'planing' or 'displacement' [-]", mode, "choose one")
    short, long = np.asarray(area.short, float), np.asarray(area.long, float)
    component = (np.ones_like(short) if mode == "planing"
                 else 1.5 - 3e-4 * short if area.kind == "panel" else 1.0 - 2e-4 * long)
    if (component <= 0).any():
        raise InputError("panel short side or stiffener span",
                         Sentence("must be below {most} for this rule [mm]",
                                  most=Figure(5000, "small_length", digits=4)),
                         plain(short if area.kind == "panel" else long), "split it or use a direct calculation")
    raw = component * 0.1 * mass**0.15 / np.asarray(area.design_area_m2) ** 0.3
    value, note = _limited(raw, area.floor, 1.0, "kAR")
    return Factor("kAR", f"area reduction, {mode}", value, "-", ISO, "from memory", note)
