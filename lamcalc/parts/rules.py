"""Front door to the scantling rules: a registry of requirements, each with rule, clause and status.

`requirement` computes one entry; the formulas themselves live in
`panel_factors`, `panel_rules`, `minima`, `stiffener_rules`, `class_rules` and
`vessel_rules` and can be called directly.
"""

import inspect
from dataclasses import dataclass

from lamcalc.errors import InputError
from lamcalc.parts.basis import CAUTION, ISO, RuleRequirement, choice, status_label
from lamcalc.parts.class_rules import (
    abs_sandwich,
    abs_single_skin_thickness,
    abs_stiffener,
    class_stiffener_section_modulus,
    frp_ship_bow_thickness,
    frp_ship_sandwich_factor,
    frp_ship_shell_thickness,
    smooth_water_factor,
)
from lamcalc.parts.minima import (
    core_shear_strength_minimum,
    draft_skin_thickness,
    minimum_glass_mass,
    minimum_plywood_thickness,
    minimum_skin_glass_mass,
)
from lamcalc.parts.panel_factors import curvature_factor, deflection_factor, moment_factor, shear_factor
from lamcalc.parts.panel_rules import (
    panel_moment,
    panel_shear,
    sandwich_second_moment,
    sandwich_section_modulus,
    sandwich_shear_thickness,
    single_skin_thickness,
)
from lamcalc.parts.stiffener_rules import (
    carried_load,
    slenderness_limit,
    stiffener_second_moment,
    stiffener_section_modulus,
    stiffener_web_area,
)
from lamcalc.parts.vessel_rules import layer_modulus, vessel_cycle_factor, vessel_design_factor, vessel_unit_loads

__all__ = [
    "RULES", "Rule", "RuleRequirement", "requirement", "rules_table",
    "abs_sandwich", "abs_single_skin_thickness", "abs_stiffener", "carried_load", "class_stiffener_section_modulus",
    "core_shear_strength_minimum", "curvature_factor", "deflection_factor", "draft_skin_thickness",
    "frp_ship_bow_thickness", "frp_ship_sandwich_factor", "frp_ship_shell_thickness", "layer_modulus",
    "minimum_glass_mass", "minimum_plywood_thickness", "minimum_skin_glass_mass", "moment_factor", "panel_moment",
    "panel_shear", "sandwich_second_moment", "sandwich_section_modulus", "sandwich_shear_thickness", "shear_factor",
    "single_skin_thickness", "slenderness_limit", "smooth_water_factor", "stiffener_second_moment",
    "stiffener_section_modulus", "stiffener_web_area", "vessel_cycle_factor", "vessel_design_factor",
    "vessel_unit_loads",
]


@dataclass(frozen=True)
class Rule:
    """One requirement of one rule, ready to compute.

    Parameters
    ----------
    name : str
        Quantity required [-].
    unit : str
        Unit of the result [-].
    rule : str
        Rule and edition [-].
    clause : str
        Clause, table or equation as far as known [-].
    status : str
        How the formula is known [-].
    function : callable
        Formula; its docstring explains the inputs [-].
    part : int, optional
        Which of several results of the function is meant [-].
    note : str
        Doubt or limit [-].

    Examples
    --------
    >>> RULES["iso_panel_moment"].status
    'pinned'
    """

    name: str
    unit: str
    rule: str
    clause: str
    status: str
    function: object
    part: int | None = None
    note: str = ""


_ABS = "ABS Guide for High-Speed Craft"
_FRP = "Iranian Classification Society, FRP Ships 2014"
_LIGHT = "Iranian Classification Society, High Speed and Light Craft"
_DRAFT = "ISO/CD 12215-5 (1999 committee draft)"
_MEMORY = "from memory"

#: Requirements by key.
RULES = {
    "iso_panel_moment": Rule("panel design moment", "N mm/mm", ISO, "panels, M", "pinned", panel_moment),
    "iso_panel_shear": Rule("panel design shear force", "N/mm", ISO, "panels, F", "pinned", panel_shear),
    "iso_single_skin": Rule("single-skin thickness", "mm", ISO, "panels, t", _MEMORY, single_skin_thickness),
    "iso_sandwich_modulus": Rule("sandwich section modulus", "mm3/mm", ISO, "sandwich, SM", _MEMORY,
                                 sandwich_section_modulus),
    "iso_sandwich_second_moment": Rule("sandwich second moment", "mm4/mm", ISO, "sandwich, I", _MEMORY,
                                       sandwich_second_moment),
    "iso_sandwich_shear": Rule("core plus half of both skins", "mm", ISO, "sandwich, t_s", _MEMORY,
                               sandwich_shear_thickness),
    "iso_core_shear_strength": Rule("core shear strength", "MPa", ISO, "sandwich, core minimum", _MEMORY,
                                    core_shear_strength_minimum),
    "iso_glass_mass": Rule("dry glass mass", "kg/m2", ISO, "minimum w", _MEMORY, minimum_glass_mass,
                           note="the fibre factor k5 is the one remembered for sandwich skins"),
    "iso_plywood": Rule("plywood thickness", "mm", ISO, "minimum t", _MEMORY, minimum_plywood_thickness,
                        note="read without the 0.43 of the glass rule"),
    "iso_skin_glass_mass": Rule("sandwich skin glass mass", "kg/m2", ISO, "sandwich, w_os and w_is", _MEMORY,
                                minimum_skin_glass_mass, note="values of k6 not confirmed"),
    "iso_stiffener_web": Rule("stiffener web area", "mm2", ISO, "stiffeners, AW", _MEMORY, stiffener_web_area),
    "iso_stiffener_modulus": Rule("stiffener section modulus", "mm3", ISO, "stiffeners, SM", _MEMORY,
                                  stiffener_section_modulus),
    "iso_stiffener_second_moment": Rule("stiffener second moment", "mm4", ISO, "stiffeners, I", _MEMORY,
                                        stiffener_second_moment, note="span/20 deflection is very lax"),
    "draft_skin": Rule("sandwich skin thickness", "mm", _DRAFT, "equations 25 and 26", "source seen",
                       draft_skin_thickness, note="a draft, not a standard in force"),
    "frp_ship_shell": Rule("shell thickness", "mm", _FRP, "shell plating", "source seen", frp_ship_shell_thickness,
                           note="a ship rule: rough comparison for a small boat"),
    "frp_ship_bow": Rule("bow bottom thickness", "mm", _FRP, "bow bottom", "source seen", frp_ship_bow_thickness,
                         note="a ship rule: rough comparison for a small boat"),
    "light_craft_stiffener": Rule("stiffener section modulus", "mm3", _LIGHT, "Z = m l2 s p / sigma", "source seen",
                                  class_stiffener_section_modulus, note="units of m inferred from beam theory"),
    "abs_strength": Rule("single-skin thickness, strength", "mm", _ABS, "plating", _MEMORY,
                         abs_single_skin_thickness, 0),
    "abs_stiffness": Rule("single-skin thickness, stiffness", "mm", _ABS, "plating", _MEMORY,
                          abs_single_skin_thickness, 1),
    "abs_sandwich_modulus": Rule("sandwich section modulus", "mm3/mm", _ABS, "sandwich", _MEMORY, abs_sandwich, 0),
    "abs_sandwich_second_moment": Rule("sandwich second moment", "mm4/mm", _ABS, "sandwich", _MEMORY,
                                       abs_sandwich, 1),
    "abs_stiffener_modulus": Rule("stiffener section modulus", "mm3", _ABS, "internals", _MEMORY, abs_stiffener, 0),
    "abs_stiffener_second_moment": Rule("stiffener second moment", "mm4", _ABS, "internals", _MEMORY,
                                        abs_stiffener, 1),
}


def requirement(key, /, *args, **inputs):
    """Compute one requirement of one rule.

    Parameters
    ----------
    key : str
        A key of `RULES` [-].
    *args : array_like
        Positional inputs of the formula [as its docstring says].
    **inputs : array_like
        Keyword inputs of the formula [as its docstring says].

    Returns
    -------
    RuleRequirement
        Required value with unit, rule, clause and status [as its `unit` says].

    Raises
    ------
    InputError
        If the key is unknown, an input is missing or not one of the formula's, or a value is out of range.

    Examples
    --------
    >>> need = requirement("iso_single_skin", 0.026, 400, k2=0.5, design_stress=58.5)
    >>> round(need.value, 2), need.unit, need.label
    (5.96, 'mm', 'unverified (from memory)')
    """
    rule = RULES[choice("rule", key, RULES)]
    signature = inspect.signature(rule.function)
    try:
        signature.bind(*args, **inputs)
    except TypeError as problem:
        raise InputError(f"inputs of {key}", f"must fit {', '.join(signature.parameters)} [-]", str(problem),
                         "give the missing input by name") from None
    value = rule.function(*args, **inputs)
    value = value if rule.part is None else value[rule.part]
    notes = (*((rule.note,) if rule.note else ()), CAUTION)
    return RuleRequirement(rule.name, value, rule.unit, rule.rule, rule.clause, rule.status, notes)


def rules_table():
    """Every requirement that the registry knows.

    Returns
    -------
    pandas.DataFrame
        Key, quantity, unit, rule, clause, status and note [-].

    Examples
    --------
    >>> table = rules_table()
    >>> table.loc["iso_stiffener_web", "status"]
    'unverified (from memory)'
    """
    import pandas as pd

    rows = [(rule.name, rule.unit, rule.rule, rule.clause, status_label(rule.status), rule.note)
            for rule in RULES.values()]
    return pd.DataFrame(rows, columns=["quantity", "unit", "rule", "clause", "status", "note"],
                        index=pd.Index(RULES, name="key"))
