"""Local failures of sandwich: wrinkling, crimping, crushing, and core design fractions.

Every coefficient that comes from a rule is named and carries its status.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.sandwich import core_shear_stiffness


@dataclass(frozen=True)
class RuleFactor:
    """A number from a rule with the way it was read.

    Parameters
    ----------
    value : float
        The factor [-].
    status : str
        How it was read [-].
    source : str
        Where it comes from [-].
    note : str
        Anything the user must know [-].

    Examples
    --------
    >>> WRINKLING_COEFFICIENTS["class_rule"].value
    0.5
    """

    value: float
    status: str
    source: str
    note: str = ""


WRINKLING_COEFFICIENTS = {
    "class_rule": RuleFactor(0.5, "source seen", "Lloyd's Register, Rules for Special Service Craft, Pt 8 Ch 7; "
                             "Hoff & Mautner coefficient as in Zenkert 1995", "critical stress, no margin"),
    "design_form": RuleFactor(0.3, "from memory", "ISO 12215-5", "design stress: the margin is inside the coefficient"),
    "yacht_rule": RuleFactor(0.6, "from memory", "ABS, high-speed craft; a second-hand copy of the 2021 yacht rules "
                             "agrees", "critical stress; the rule wants at least twice the design stress"),
}

_ISO, _BV = "ISO 12215-5", "Bureau Veritas NR500 / NR546, 1 / (1.1 x 2.5)"
_SECOND = "source seen, second hand"
CORE_SHEAR_FRACTIONS = {
    ("balsa", "iso"): RuleFactor(0.50, "from memory", _ISO, "balsa and honeycomb"),
    ("foam, elongation below 35 %", "iso"): RuleFactor(0.55, "from memory", _ISO),
    ("foam, elongation above 35 %", "iso"): RuleFactor(0.65, "from memory", _ISO),
    ("balsa", "abs_1994"): RuleFactor(0.50, _SECOND, "ABS guide for racing yachts, 1994"),
    ("cross-linked PVC", "abs_1994"): RuleFactor(0.50, _SECOND, "ABS guide for racing yachts, 1994"),
    ("linear PVC or SAN", "abs_1994"): RuleFactor(0.50, _SECOND, "ABS guide for racing yachts, 1994"),
    ("balsa", "abs_2021"): RuleFactor(0.30, _SECOND, "ABS, Rules for Yachts, 2021"),
    ("cross-linked PVC", "abs_2021"): RuleFactor(0.40, _SECOND, "ABS, Rules for Yachts, 2021"),
    ("linear PVC or SAN", "abs_2021"): RuleFactor(0.50, _SECOND, "ABS, Rules for Yachts, 2021",
                                                  "0.55 above 40 % shear elongation"),
    ("balsa", "lr"): RuleFactor(0.35, _SECOND, "Lloyd's Register, Rules for Special Service Craft, 2020"),
    ("cross-linked PVC", "lr"): RuleFactor(0.45, _SECOND, "Lloyd's Register, Rules for Special Service Craft, 2020"),
    ("linear PVC", "lr"): RuleFactor(0.45, _SECOND, "Lloyd's Register, Rules for Special Service Craft, 2020"),
    ("SAN", "lr"): RuleFactor(0.35, _SECOND, "Lloyd's Register, Rules for Special Service Craft, 2020"),
    ("balsa", "bv"): RuleFactor(1 / 2.75, _SECOND, _BV),
    ("cross-linked PVC", "bv"): RuleFactor(1 / 2.75, _SECOND, _BV),
    ("linear PVC or SAN", "bv"): RuleFactor(1 / 2.75, _SECOND, _BV),
}


def core_shear_fraction(core, rule):
    """Design shear stress of a core as a fraction of its ultimate, by a named rule.

    Parameters
    ----------
    core : str
        Kind of core, as in `CORE_SHEAR_FRACTIONS` [-].
    rule : str
        Rule, as in `CORE_SHEAR_FRACTIONS` [-].

    Returns
    -------
    RuleFactor
        Fraction with status and source [-].

    Raises
    ------
    InputError
        If the table has no entry for the pair.

    Notes
    -----
    The remembered ISO values are the least cautious: on balsa by up to 1.7
    against the yacht rules of 2021.

    References
    ----------
    .. [1] Each entry carries its own source.

    Examples
    --------
    >>> core_shear_fraction("balsa", "lr").value
    0.35
    """
    if (core, rule) not in CORE_SHEAR_FRACTIONS:
        known = "; ".join(f"{c} by {r}" for c, r in CORE_SHEAR_FRACTIONS)
        raise InputError("core shear fraction", f"must be one of: {known}", (core, rule), "choose a listed pair")
    return CORE_SHEAR_FRACTIONS[core, rule]


def core_shear_fraction_table():
    """Core design shear fractions as a table.

    Returns
    -------
    pandas.DataFrame
        Core, rule, fraction, status, source, note [-].

    Examples
    --------
    >>> list(core_shear_fraction_table().columns)[:3]
    ['core', 'rule', 'fraction of ultimate [-]']
    """
    import pandas as pd

    return pd.DataFrame([{"core": core, "rule": rule, "fraction of ultimate [-]": entry.value, "status": entry.status,
                          "source": entry.source, "note": entry.note}
                         for (core, rule), entry in CORE_SHEAR_FRACTIONS.items()])


def wrinkling_stress(e_skin, e_core, g_core, *, coefficient="class_rule"):
    """Compressive skin stress at which the skin wrinkles on its core.

    Parameters
    ----------
    e_skin : array_like, shape (...)
        Modulus of the skin along the stress [MPa].
    e_core : array_like, shape (...)
        Modulus of the core through its thickness [MPa].
    g_core : array_like, shape (...)
        Shear modulus of the core [MPa].
    coefficient : str or array_like, shape (...)
        A key of `WRINKLING_COEFFICIENTS`, or a number [-].

    Returns
    -------
    ndarray, shape (...)
        Wrinkling stress; with "design_form" the design stress [MPa].

    Raises
    ------
    InputError
        If the coefficient is unknown or a modulus is not positive.

    Notes
    -----
    ``sigma = k (E_skin E_core G_core)^(1/3)``.  Thick cores and fair skins; a
    wavy or poorly bonded skin wrinkles earlier.

    References
    ----------
    .. [1] Lloyd's Register, Rules for Special Service Craft, Pt 8 Ch 7 (0.5); ISO 12215-5 (0.3, from memory).

    Examples
    --------
    >>> float(wrinkling_stress(15e3, 60.0, 20.0).round(1))
    131.0
    """
    if isinstance(coefficient, str):
        if coefficient not in WRINKLING_COEFFICIENTS:
            raise InputError("wrinkling coefficient", f"must be a number or one of {', '.join(WRINKLING_COEFFICIENTS)}",
                             coefficient, "choose one of them")
        coefficient = WRINKLING_COEFFICIENTS[coefficient].value
    product = positive("e_skin", e_skin, "MPa") * positive("e_core", e_core, "MPa") * positive("g_core", g_core, "MPa")
    return positive("wrinkling coefficient", coefficient) * np.cbrt(product)


def crimping_load(g_core, core_mm, skin_1_mm, skin_2_mm):
    """Compression per width at which a sandwich wall shears off in its core.

    Parameters
    ----------
    g_core : array_like, shape (...)
        Transverse shear modulus of the core along the load [MPa].
    core_mm, skin_1_mm, skin_2_mm : array_like, shape (...)
        Thickness of core and skins [mm].

    Returns
    -------
    ndarray, shape (...)
        Load per width; divide by both skin thicknesses together for the skin stress [N/mm].

    Raises
    ------
    InputError
        If a value is not positive.

    Notes
    -----
    ``N = G d^2/c``: no wall, however short, carries more.

    References
    ----------
    .. [1] MIL-HDBK-23A; Zenkert 1995 (common practice).

    Examples
    --------
    >>> float(crimping_load(20.0, 30.0, 3.0, 3.0))
    726.0
    """
    return core_shear_stiffness(g_core, core_mm, skin_1_mm, skin_2_mm)


@dataclass(frozen=True)
class CrushCheck:
    """Pressure of a loaded plate or washer on the core.

    Parameters
    ----------
    area_mm2 : ndarray, shape (...)
        Area of core that carries [mm2].
    pressure_mpa : ndarray, shape (...)
        Load over area [MPa].
    strength_ratio : ndarray, shape (...)
        Crush strength over pressure; infinite without load [-].

    Examples
    --------
    >>> CrushCheck(3600.0, 2.0, 3.5).strength_ratio
    3.5
    """

    area_mm2: np.ndarray
    pressure_mpa: np.ndarray
    strength_ratio: np.ndarray


def local_crush(load_n, *, plate_length_mm, plate_width_mm, crush_strength, hole_diameter_mm=0.0,
                skin_mm=0.0, spread=0.0):
    """Crushing of the core under a plate, washer or fitting.

    Parameters
    ----------
    load_n : array_like, shape (...)
        Force square to the skin, a magnitude [N].
    plate_length_mm, plate_width_mm : array_like, shape (...)
        Plate against the skin [mm].
    crush_strength : array_like, shape (...)
        Compressive strength of the core through its thickness [MPa].
    hole_diameter_mm : array_like, shape (...)
        Bolt hole to be taken off the area [mm].
    skin_mm : array_like, shape (...)
        Skin between plate and core [mm].
    spread : array_like, shape (...)
        Outward spread of the load on each side per skin thickness: 0 none (default), 1 for 45 degrees [-].

    Returns
    -------
    CrushCheck
        Area, pressure and ratio [mm2, MPa, -].

    Raises
    ------
    InputError
        If a size or the strength is not positive, or the hole is as large as the area.

    Notes
    -----
    ``p = F/((a + 2 s t)(b + 2 s t) - hole)``: even pressure.  A thin plate bends and
    loads its middle or edges more; the default counts no spread, the cautious
    reading.

    References
    ----------
    .. [1] Common practice.

    Examples
    --------
    >>> float(local_crush(10e3, plate_length_mm=50.0, plate_width_mm=50.0, crush_strength=2.5).pressure_mpa)
    4.0
    """
    grow = 2.0 * positive("spread", spread, "-", zero=True) * positive("skin_mm", skin_mm, "mm", zero=True)
    hole = 0.25 * np.pi * positive("hole_diameter_mm", hole_diameter_mm, "mm", zero=True) ** 2
    area = (positive("plate_length_mm", plate_length_mm, "mm") + grow) \
        * (positive("plate_width_mm", plate_width_mm, "mm") + grow) - hole
    if np.any(area <= 0):
        raise InputError("hole_diameter_mm", "must leave some area under the plate [mm]", hole_diameter_mm,
                         "use a larger plate")
    pressure = np.abs(number("load_n", load_n, "N")) / area
    strength = positive("crush_strength", crush_strength, "MPa")
    ratio = np.full(np.broadcast_shapes(pressure.shape, strength.shape), np.inf)
    np.divide(strength, pressure, out=ratio, where=pressure > 0)
    return CrushCheck(area, pressure, ratio)
