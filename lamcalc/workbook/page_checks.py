"""Tables of margins and rule requirements in the chosen units, shared by the pages on stringers and panels."""

import pandas as pd

from lamcalc import units
from lamcalc.parts.panel import NEAR_EDGE
from lamcalc.sentences import told

# kinds of the units that margins and requirements come in; factor to the internal unit of the kind
KINDS = {
    "MPa": ("stress", 1.0),
    "kN/m2": ("pressure", 1e-3),
    "N": ("force", 1.0),
    "mm2": ("section_area", 1.0),
    "mm3": ("section_modulus", 1.0),
    "mm4": ("second_moment", 1.0),
    "mm": ("thickness", 1.0),
    "N mm/mm": ("moment_per_width", 1.0),
    "N/mm": ("force_per_width", 1.0),
}
# per width: shown unit and factor, metric and US
PER_WIDTH = {
    "mm3/mm": {"metric": ("cm3/cm", 0.01), "us": ("in3/in", 1 / 645.16)},
    "mm4/mm": {"metric": ("cm4/cm", 0.001), "us": ("in4/in", 1 / 16387.064)},
}


UNKNOWN = "no strength is known, or the solution did not settle"
_COLUMNS = ("check", "occurs", "fails at", "reserve factor", "verdict", "design factor and whose", "status of the factor")


def shown(value, unit, system):
    """A value of a margin or a requirement with its unit, in the chosen system.

    Parameters
    ----------
    value : float
        The value [as `unit` says].
    unit : str
        Its unit, as margins and requirements carry it [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Number and unit [-].

    Examples
    --------
    >>> shown(18.0, "kN/m2", "metric"), shown(39.15, "-", "us"), shown(2500.0, "mm3/mm", "metric")
    ('18.00 kPa', '39.1', '25 cm3/cm')
    """
    if unit in PER_WIDTH:
        name, factor = PER_WIDTH[unit][system]
        return f"{value * factor:.3g} {name}"
    if unit not in KINDS:
        return f"{value:.3g}" if unit == "-" else f"{value:.3g} {unit}"
    kind, factor = KINDS[unit]
    return units.show(value * factor, kind, system)


def check_name(margin, system="metric"):
    """What a margin is about, short: the part and how it would fail.

    Parameters
    ----------
    margin : Margin
        A margin of a stringer or panel [-].
    system : {"metric", "us"}
        Unit system of the words [-].

    Returns
    -------
    str
        Words [-].

    Examples
    --------
    >>> from lamcalc.mechanics.strength import Margin, design_factor
    >>> check_name(Margin("cap: unidirectional 400 g/m2, fibre compression", 1, 2, design_factor("iso_ply"), "MPa"))
    'cap: fibre compression of unidirectional 400 g/m2'
    >>> check_name(Margin("skin: cloth, fibre tension, patch near an edge", 1, 2, design_factor("iso_ply"), "N"))
    'skin: fibre tension of cloth, patch near an edge'
    """
    part, _, layer = told(margin.name, system).partition(": ")
    if not layer:
        return part
    layer, near, _ = layer.partition(NEAR_EDGE)
    layer, mode = layer.rsplit(", ", 1)
    # mat has no fibre direction
    mode = mode.split(" ")[-1] if layer.startswith("chopped strand mat") else mode
    return f"{part}: {mode} of {layer}{near}"


def margins_frame(margins, system, unchecked=()):
    """Margins as texts in the chosen units, factor, rule and status beside each.

    Parameters
    ----------
    margins : sequence of Margin
        Margins in the order to show [-].
    system : {"metric", "us"}
        Unit system [-].
    unchecked : sequence of str
        What could not be checked [-].

    Returns
    -------
    DataFrame
        One row a margin, then one for each that could not be checked [-].

    Examples
    --------
    >>> from lamcalc.mechanics.strength import Margin, design_factor
    >>> margins_frame([Margin("web", 5.0, 40.0, design_factor("iso_ply"), "MPa")], "metric")["reserve factor"].tolist()
    ['4.00']
    """
    return pd.DataFrame(
        [
            {
                "check": check_name(m, system),
                "occurs": shown(m.demand, m.unit, system),
                "fails at": shown(m.capacity, m.unit, system),
                "reserve factor": f"{m.reserve_factor:.2f}" if m.reserve_factor < 100 else "over 100",
                "verdict": m.verdict,
                "design factor and whose": f"{m.factor.value:.3g}: {m.factor.whose}",
                "status of the factor": m.factor.status
                + (", unverified" if m.factor.unverified and "unverified" not in m.factor.status else ""),
            }
            for m in margins
        ]
        + [dict(zip(_COLUMNS, (name, "-", "-", "-", "NOT CHECKED", UNKNOWN, "-"), strict=True)) for name in unchecked]
    )


def rules_frame(checks, system):
    """Requirements of rules beside what is there, in the chosen units.

    Parameters
    ----------
    checks : sequence of RuleCheck
        Checks in the order to show [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    DataFrame
        One row a requirement [-].

    Examples
    --------
    >>> rules_frame((), "us").empty
    True
    """
    return pd.DataFrame(
        [
            {
                "asked for": c.requirement.name,
                "required": ("at most " if c.at_most else "") + shown(c.requirement.value, c.requirement.unit, system),
                "there is": shown(c.have, c.requirement.unit, system),
                "met": "yes" if c.holds else "NO",
                "rule": f"{c.requirement.rule}, {c.requirement.clause}",
                "status": c.requirement.label,
            }
            for c in checks
        ]
    )


def verdict(result, system="metric"):
    """Whether all holds, and if not, how much does not, in words.

    Parameters
    ----------
    result : StringerResult or PanelResult
        An assessed part [-].
    system : {"metric", "us"}
        Unit system of the words [-].

    Returns
    -------
    str
        One or two sentences [-].

    Examples
    --------
    >>> from lamcalc.shop import job, job_stringer
    >>> verdict(job_stringer.stringer_result(job.load_demo()))
    'Every margin and the deflection hold, but a rule of thumb is not met: web depth over thickness.'
    """
    short = [check_name(m, system) for m in result.margins if not m.holds]
    limit = result.deflection_limit_mm
    short += ["deflection"] if limit is not None and result.deflection_mm > limit else []
    rules = [c.requirement.name for c in result.rule_checks if not c.holds]
    missed = (
        (
            f"a rule {'of thumb ' if all(name.endswith('over thickness') for name in rules) else ''}is not met: "
            f"{', '.join(rules)}."
        )
        if rules
        else ""
    )
    blind = f"NOT CHECKED: {'; '.join(result.unchecked)}." if result.unchecked else ""
    if short:
        return " ".join([f"It does NOT hold: {'; '.join(short)}.", *[blind] * bool(blind), *[f"Besides, {missed}"] * bool(rules)])
    if blind:
        return f"Nobody knows whether it holds. {blind}" + (f" Besides, {missed}" if rules else "")
    if rules:
        return f"Every margin and the deflection hold, but {missed}"
    return "Everything that was checked holds."


def numbers_frame(found, system):
    """Margins, deflection and rules in one table, for the live panel.

    Parameters
    ----------
    found : StringerResult or PanelResult
        Result of the package [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    DataFrame
        One row a check [-].

    Examples
    --------
    >>> from lamcalc.shop import job, job_stringer
    >>> numbers_frame(job_stringer.stringer_result(job.load_demo()), "metric")["met"].tolist().count("NO")
    1
    """
    rows = [
        (
            check_name(m, system),
            shown(m.demand, m.unit, system),
            shown(m.usable, m.unit, system),
            f"{m.reserve_factor:.2f}" if m.reserve_factor < 100 else "over 100",
            "yes" if m.holds else "NO",
            f"{m.factor.value:.3g} of {m.factor.of}, {m.factor.rule}" + (" - UNVERIFIED" if m.factor.unverified else ""),
        )
        for m in found.margins
    ]
    rows += [(name, "-", "-", "-", "NOT CHECKED", UNKNOWN) for name in found.unchecked]
    limit = found.deflection_limit_mm
    if limit is not None:
        rows.append(
            (
                "deflection",
                units.show(found.deflection_mm, "thickness", system),
                units.show(limit, "thickness", system),
                f"{limit / found.deflection_mm:.2f}",
                "yes" if found.deflection_mm <= limit else "NO",
                "limit of the job",
            )
        )
    rows += [
        (
            f"by rule: {c.requirement.name}",
            shown(c.have, c.requirement.unit, system),
            ("at most " if c.at_most else "at least ") + shown(c.requirement.value, c.requirement.unit, system),
            f"{c.ratio:.2f}",
            "yes" if c.holds else "NO",
            f"{c.requirement.rule}, {c.requirement.label}",
        )
        for c in found.rule_checks
    ]
    return pd.DataFrame(rows, columns=["check", "there is", "allowed or asked for", "reserve", "met", "whose limit"])
