"""Ready-made stiffener sections on plating, and the plating that works with them.

Base line y = 0 is the outer face of the plating.  Dimensions may be arrays of
any batch shape (...).
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.sections import Part, Section


@dataclass(frozen=True)
class AttachedWidthRule:
    """How much plating counts as part of a stiffener.

    Parameters
    ----------
    multiple : float
        Width in multiples of the plating thickness, both sides together [-].
    with_base : bool
        Whether the width of the stiffener's base is added [-].
    span_fraction : float or None
        Width as a fraction of the span instead of a multiple of thickness [-].
    applies_to : str
        Kind of plating [-].
    status : str
        How the rule was read [-].
    source : str
        Where it comes from [-].

    Examples
    --------
    >>> ATTACHED_WIDTH_RULES["lr_frp"].multiple
    20.0
    """

    multiple: float
    with_base: bool
    span_fraction: float | None
    applies_to: str
    status: str
    source: str


_ISO = "ISO 12215-5 (2008), attached plating; whether the multiple counts per side was not confirmed, so it is " \
       "taken for both sides together, the cautious reading"
ATTACHED_WIDTH_RULES = {
    "lr_frp": AttachedWidthRule(20.0, True, None, "single-skin FRP", "source seen",
                                "Lloyd's Register, Guidance Notes: Calculation Procedures for Composite "
                                "Construction, July 2013, stiffener example: bw + 20 t"),
    "iso_frp": AttachedWidthRule(20.0, False, None, "single-skin FRP", "from memory", _ISO),
    "iso_sandwich": AttachedWidthRule(20.0, False, None, "sandwich; thickness = both skins together", "from memory",
                                      _ISO),
    "iso_plywood": AttachedWidthRule(15.0, False, None, "plywood", "from memory", _ISO),
    "abs_plywood": AttachedWidthRule(50.0, False, None, "plywood or plywood-cored sandwich",
                                     "source seen, second hand", "ABS, Rules for Yachts, 2021: 50 t"),
    "bv_span": AttachedWidthRule(0.0, False, 0.2, "plywood", "source seen, second hand",
                                 "Bureau Veritas NR500 / NR546: smaller of spacing and 0.2 span"),
}


def attached_width(rule, *, thickness_mm, base_width_mm=0.0, spacing_mm=None, span_mm=None):
    """Width of plating that works with a stiffener, by a named rule.

    Parameters
    ----------
    rule : str
        A key of `ATTACHED_WIDTH_RULES` [-].
    thickness_mm : array_like, shape (...)
        Plating thickness; for sandwich both skins together [mm].
    base_width_mm : array_like, shape (...)
        Width of the stiffener's base, used where the rule adds it [mm].
    spacing_mm : array_like, shape (...), optional
        Stiffener spacing, never exceeded [mm].
    span_mm : array_like, shape (...), optional
        Stiffener span, needed by span rules [mm].

    Returns
    -------
    ndarray, shape (...)
        Attached width [mm].

    Raises
    ------
    InputError
        If the rule is unknown, or it needs the span and none is given.

    Notes
    -----
    ``b = base + multiple t`` or ``fraction span``, held to the spacing.

    References
    ----------
    .. [1] Each rule carries its own source and status; see `ATTACHED_WIDTH_RULES`.

    Examples
    --------
    >>> float(attached_width("lr_frp", thickness_mm=9.132, base_width_mm=120.0).round(1))
    302.6
    """
    if rule not in ATTACHED_WIDTH_RULES:
        raise InputError("attached width rule", f"must be one of {', '.join(ATTACHED_WIDTH_RULES)}", rule,
                         "choose a rule or enter your own width")
    entry = ATTACHED_WIDTH_RULES[rule]
    if entry.span_fraction is None:
        width = entry.multiple * positive("thickness_mm", thickness_mm, "mm")
        if entry.with_base:
            width = width + positive("base_width_mm", base_width_mm, "mm", zero=True)
    elif span_mm is None:
        raise InputError("span_mm", "must be given for this rule [mm]", span_mm, "enter the stiffener span")
    else:
        width = entry.span_fraction * positive("span_mm", span_mm, "mm")
    return width if spacing_mm is None else np.minimum(width, positive("spacing_mm", spacing_mm, "mm"))


def hat_section(*, plate_width_mm, plate_thickness_mm, plate_e, base_width_mm, top_width_mm, height_mm,
                skin_thickness_mm, skin_e, legs=(), web_e=None, cap_width_mm=None, cap_thickness_mm=None, cap_e=None,
                former_e=0.0, plate_g=None, skin_g=None, cap_g=None, former_g=None):
    """Hat stiffener laid over a former on plating.

    Parameters
    ----------
    plate_width_mm, plate_thickness_mm : array_like, shape (...)
        Attached plating [mm].
    plate_e : array_like, shape (...)
        Modulus of the plating along the stiffener [MPa].
    base_width_mm, top_width_mm, height_mm : array_like, shape (...)
        Former: width on the plating, width at the top, height [mm].
    skin_thickness_mm : array_like, shape (...)
        Thickness of the hat laminate, square to its skin [mm].
    skin_e : array_like, shape (...)
        Modulus of the hat laminate on crown and legs, along the stiffener [MPa].
    legs : sequence of (width, thickness)
        Tabbing layers on the plating, each side, in the order laid: width [mm], thickness [mm].
    web_e : array_like, shape (...), optional
        Modulus of the webs along the stiffener; by default `skin_e` [MPa].
    cap_width_mm, cap_thickness_mm, cap_e : array_like, shape (...), optional
        Extra cap on the crown, with its modulus along the stiffener [mm, mm, MPa].
    former_e : array_like, shape (...)
        Modulus of the former; 0 if it does not carry [MPa].
    plate_g, skin_g, cap_g, former_g : array_like, shape (...), optional
        Shear moduli for the shear stiffness, `skin_g` in the plane of the web; the former's may be 0 [MPa].

    Returns
    -------
    Section
        Parts plate, leg 1.., web (two together), crown, cap, former [-].

    Raises
    ------
    InputError
        If a size is not positive, a modulus negative, or the cap is given in part only.

    Notes
    -----
    The hat laminate keeps the area of the cloth: legs, the two slant heights
    and the top of the former, times the thickness.  Corners are not filled.  A
    former that carries is a trapezoid.

    References
    ----------
    .. [1] Common practice; Lloyd's Register, Guidance Notes: Calculation Procedures for Composite
       Construction, July 2013, stiffener example, sums its parts in the same way.

    Examples
    --------
    >>> hat = hat_section(plate_width_mm=230.0, plate_thickness_mm=6.0, plate_e=9e3, base_width_mm=110.0,
    ...     top_width_mm=70.0, height_mm=95.0, skin_thickness_mm=2.9, skin_e=8e3, legs=[(75.0, 1.45), (100.0, 1.45)])
    >>> [part.name for part in hat.parts]
    ['plate', 'leg 1', 'leg 2', 'web', 'crown']
    """
    base, top = positive("base_width_mm", base_width_mm, "mm"), positive("top_width_mm", top_width_mm, "mm")
    height, skin = positive("height_mm", height_mm, "mm"), positive("skin_thickness_mm", skin_thickness_mm, "mm")
    deck = positive("plate_thickness_mm", plate_thickness_mm, "mm")
    parts = [Part("plate", plate_width_mm, deck, 0.5 * deck, plate_e, plate_g)]
    parts += _leg_parts(legs, 2.0, deck, skin_e, skin_g)
    lean = np.degrees(np.arctan2(0.5 * (base - top), height))
    parts.append(Part("web", 2.0 * skin, height, deck + 0.5 * height, skin_e if web_e is None else web_e, skin_g,
                      inclination_deg=lean, web=True))
    parts.append(Part("crown", top, skin, deck + height + 0.5 * skin, skin_e, skin_g))
    cap = (cap_width_mm, cap_thickness_mm, cap_e)
    if any(value is not None for value in cap):
        if any(value is None for value in cap):
            raise InputError("cap", "needs width, thickness and modulus [mm, mm, MPa]", cap, "enter all three or none")
        thick = positive("cap_thickness_mm", cap_thickness_mm, "mm")
        parts.append(Part("cap", cap_width_mm, thick, deck + height + skin + 0.5 * thick, cap_e, cap_g))
    if np.any(positive("former_e", former_e, "MPa", zero=True) > 0):
        parts.append(Part("former", 0.5 * (base + top), height, deck + 0.5 * height, former_e, former_g,
                          width_gain_mm=top - base))
    return Section(tuple(parts))


def _leg_parts(legs, sides, base_y, e, g):
    """Tabbing layers stacked on the plating."""
    parts, y = [], base_y
    for k, (width, thickness) in enumerate(legs):
        t = positive(f"leg {k + 1} thickness", thickness, "mm")
        parts.append(Part(f"leg {k + 1}", sides * positive(f"leg {k + 1} width", width, "mm"), t, y + 0.5 * t, e, g))
        y = y + t
    return parts


def solid_core_section(*, plate_width_mm, plate_thickness_mm, plate_e, core_width_mm, core_height_mm, core_e,
                       skin_thickness_mm, skin_e, legs=(), plate_g=None, skin_g=None, core_g=None):
    """Laminate over a straight-sided core that carries, such as a timber or plywood stringer.

    Parameters
    ----------
    plate_width_mm, plate_thickness_mm : array_like, shape (...)
        Attached plating [mm].
    plate_e : array_like, shape (...)
        Modulus of the plating along the stiffener [MPa].
    core_width_mm, core_height_mm : array_like, shape (...)
        Core [mm].
    core_e : array_like, shape (...)
        Modulus of the core along the stiffener [MPa].
    skin_thickness_mm : array_like, shape (...)
        Thickness of the laminate over the core [mm].
    skin_e : array_like, shape (...)
        Its modulus along the stiffener [MPa].
    legs : sequence of (width, thickness)
        Tabbing layers on the plating, each side: width [mm], thickness [mm].
    plate_g, skin_g, core_g : array_like, shape (...), optional
        Shear moduli for the shear stiffness [MPa].

    Returns
    -------
    Section
        Parts plate, leg 1.., web (two together), crown, former (the core) [-].

    Raises
    ------
    InputError
        If a size or modulus is not positive.

    Notes
    -----
    A hat with upright webs and a former that carries; see `hat_section`.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> beam = solid_core_section(plate_width_mm=200.0, plate_thickness_mm=6.0, plate_e=9e3, core_width_mm=40.0,
    ...     core_height_mm=90.0, core_e=8e3, skin_thickness_mm=3.0, skin_e=9e3)
    >>> bool(beam.ei_share[-1] > 0.2)
    True
    """
    return hat_section(plate_width_mm=plate_width_mm, plate_thickness_mm=plate_thickness_mm, plate_e=plate_e,
                       base_width_mm=core_width_mm, top_width_mm=core_width_mm, height_mm=core_height_mm,
                       skin_thickness_mm=skin_thickness_mm, skin_e=skin_e, legs=legs,
                       former_e=positive("core_e", core_e, "MPa"), plate_g=plate_g, skin_g=skin_g, former_g=core_g)


def angle_section(*, plate_width_mm, plate_thickness_mm, plate_e, web_height_mm, web_thickness_mm, web_e,
                  flange_width_mm=None, flange_thickness_mm=None, flange_e=None, legs=(), leg_sides=1,
                  plate_g=None, web_g=None, flange_g=None):
    """Upright web with an optional flange, bonded to plating by tabbing.

    Parameters
    ----------
    plate_width_mm, plate_thickness_mm : array_like, shape (...)
        Attached plating [mm].
    plate_e : array_like, shape (...)
        Modulus of the plating along the stiffener [MPa].
    web_height_mm, web_thickness_mm : array_like, shape (...)
        Web [mm].
    web_e : array_like, shape (...)
        Modulus of the web and the tabbing along the stiffener [MPa].
    flange_width_mm, flange_thickness_mm, flange_e : array_like, shape (...), optional
        Flange on top of the web [mm, mm, MPa].
    legs : sequence of (width, thickness)
        Tabbing layers on the plating, each side: width [mm], thickness [mm].
    leg_sides : int
        Tabbing on 1 or 2 sides of the web [-].
    plate_g, web_g, flange_g : array_like, shape (...), optional
        Shear moduli for the shear stiffness [MPa].

    Returns
    -------
    Section
        Parts plate, leg 1.., web, flange [-].

    Raises
    ------
    InputError
        If a size or modulus is not positive, or the flange is given in part only.

    Notes
    -----
    Bending about the horizontal axis only: the sideways bending of an angle
    that is free to twist is left out, so the flange must be held sideways.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> bar = angle_section(plate_width_mm=200.0, plate_thickness_mm=6.0, plate_e=9e3, web_height_mm=80.0,
    ...     web_thickness_mm=5.0, web_e=9e3, legs=[(50.0, 2.0)], leg_sides=2)
    >>> [part.name for part in bar.parts]
    ['plate', 'leg 1', 'web']
    """
    if leg_sides not in (1, 2):
        raise InputError("leg_sides", "must be 1 or 2 [-]", leg_sides, "count the tabbed sides of the web")
    deck = positive("plate_thickness_mm", plate_thickness_mm, "mm")
    height = positive("web_height_mm", web_height_mm, "mm")
    parts = [Part("plate", plate_width_mm, deck, 0.5 * deck, plate_e, plate_g)]
    parts += _leg_parts(legs, float(leg_sides), deck, web_e, web_g)
    parts.append(Part("web", web_thickness_mm, height, deck + 0.5 * height, web_e, web_g, web=True))
    flange = (flange_width_mm, flange_thickness_mm, flange_e)
    if any(value is not None for value in flange):
        if any(value is None for value in flange):
            raise InputError("flange", "needs width, thickness and modulus [mm, mm, MPa]", flange,
                             "enter all three or none")
        thick = number("flange_thickness_mm", flange_thickness_mm, "mm")
        parts.append(Part("flange", flange_width_mm, thick, deck + height + 0.5 * thick, flange_e, flange_g))
    return Section(tuple(parts))
