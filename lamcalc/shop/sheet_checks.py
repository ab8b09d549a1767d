"""Limits to measure against, margins with their rules, and remarks of the sequence review, for the sheet."""

import math

from lamcalc.schedule import Ply
from lamcalc.sentences import told
from lamcalc.shop.limits import (
    FRACTION_BAND,
    HARDNESS_ACCEPT,
    HARDNESS_LOW,
    HARDNESS_READINGS,
    THICKNESS_BAND,
    THICKNESS_POINTS,
    VOIDS,
)
from lamcalc.shop.sheet_tables import Table

_KINDS = {"MPa": ("stress", "MPa"), "N": ("force", "N"), "kN": ("force", "kN"), "mm": ("thickness", "mm"),
          "kPa": ("pressure", "kPa"), "kN/m2": ("pressure", "kPa"), "N/mm": ("force_per_width", "N/mm"),
          "mm3": ("section_modulus", "mm3"),
          "mm4": ("second_moment", "mm4"), "mm2": ("section_area", "mm2"), "N mm": ("moment", "N mm"),
          "N mm2": ("bending_stiffness", "N mm2"), "N mm/mm": ("moment_per_width", "N mm/mm")}
_OF_THE_DESIGN = ("mat_only",)  # decided before the crew begins: the handover page tells it, once for the job
_WORDS = {"refuse": "Stop", "warn": "Settle this first", "note": "Mind"}


def in_words(value, unit, words):
    """A figure of a margin or check in the units of the page.

    Parameters
    ----------
    value : float
        Value [as `unit`].
    unit : str
        Its unit; one without a counterpart is printed as it is [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    str
        Number and unit [-].

    Examples
    --------
    >>> from lamcalc.shop.sheet_words import Words
    >>> in_words(0.5, "-", Words("us")), in_words(2.5, "MPa", Words("metric")), in_words(float("inf"), "N", Words("us"))
    ('0.5', '2.500 MPa', 'no limit')
    """
    if math.isnan(value):
        return "-"
    if value == float("inf"):
        return "no limit"
    if unit in _KINDS:
        kind, own = _KINDS[unit]
        return words.one(value, kind, own)
    return f"{value:.3g}" + ("" if unit in ("-", "") else f" {unit}")


def skin_groups(layers):
    """New plies that lie together: names of the pieces and thickness, to be measured as one.

    Parameters
    ----------
    layers : sequence of SheetLayer
        In the order laid [-].

    Returns
    -------
    list of (str, float)
        'laminate 5 to laminate 9' and thickness [mm].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sheet_layers import sheet_layers
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> [(name, round(t, 1)) for name, t in skin_groups(sheet_layers(job, take_off(job).parts["transom"]))][1]
    ('tabbing 1 to 3', 3.7)
    """
    groups, open_group = [], None
    for item in layers:
        kind = item.piece.split(" ")[0] if isinstance(item.layer, Ply) and not item.existing and item.piece else None
        if kind is None or open_group is None or open_group[0] != kind:
            open_group = None if kind is None else [kind, []]
            if open_group:
                groups.append(open_group)
        if open_group:
            open_group[1].append(item)
    out = []
    for kind, items in groups:
        if len(items) > 1:
            first, last = (items[k].piece.split(" ")[1] for k in (0, -1))
            out.append((f"{kind} {first} to {last}", sum(i.thickness_mm for i in items)))
    return out


def quality_limits(schedule, part, layers, words):
    """What to measure after cure and the limits it must keep.

    Parameters
    ----------
    schedule : Schedule
        Schedule of the part [-].
    part : PartTakeOff
        Take-off [-].
    layers : sequence of SheetLayer
        In the order laid [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        Check, expected, limit, standard and a column to fill in [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> from lamcalc.shop.sheet_layers import sheet_layers
    >>> from lamcalc.shop.sheet_words import Words
    >>> from lamcalc.shop.takeoff import take_off
    >>> job = load_demo()
    >>> part = take_off(job, options={"transom": "transom_plywood"}).parts["transom"]
    >>> table = quality_limits(schedule(job, part.schedule), part, sheet_layers(job, part), Words("metric"))
    >>> table.rows[0][:2]
    ('thickness, whole stack', '48.68 mm (1.917 in)')
    """
    rows, band = [], float(THICKNESS_BAND)
    groups = skin_groups(layers)
    if not any(abs(t - schedule.total_thickness_mm) < 1e-9 for _, t in groups):
        rows.append(("thickness, whole stack", words.both(schedule.total_thickness_mm, "thickness"),
                     words.band(*schedule.thickness_band_mm(), "thickness"), "calipers, mean", ""))
    rows += [(f"thickness, {name}", words.both(t, "thickness"), words.band(t * (1 - band), t * (1 + band), "thickness"),
              f"calipers, mean of {THICKNESS_POINTS.value:g} or more", "") for name, t in groups]
    glass, resin = part.glass_kg(), part.resin_in_laminate_kg()
    if glass > 0:
        share = glass / (glass + resin)
        near = float(FRACTION_BAND)
        rows.append(("glass by weight, plies alone", f"{share:.1%}", f"{share - near:.1%} to {share + near:.1%}",
                     "scale; burn-off ASTM D2584 or ISO 1172", ""))
        rows += [("glass used", words.mass(glass), "write down what is weighed", "scale", ""),
                 ("resin mixed less resin left over", words.mass(resin),
                  "more than this stays in brush and pot; write it down", "scale", "")]
    rows += [(f"hardness, {HARDNESS_READINGS.value:g} to 12 readings, highest and lowest left out",
              f"{HARDNESS_ACCEPT.value:g} {HARDNESS_ACCEPT.unit} (from memory, unverified)",
              f"never below {HARDNESS_LOW.value:g}; the resin's sheet governs", "ASTM D2583", ""),
             ("voids, from a coupon", "as few as possible", f"at most {float(VOIDS):.0%}", "ASTM D3171 or D2734", ""),
             ("tap over all of it", "crisp", "no dull spot after 24 h and after 7 days (a proposal)",
              "coin or light hammer", ""),
             ("look", "clear, dull", "glossy is rich, white is dry", "eye and lamp", "")]
    return Table(("check", "expected", "limits", "how", "measured"), tuple(rows), css="small fill",
                 notes=(("Lay a witness coupon of 150 x 150 mm (6 x 6 in) from the same pots. Bands: +-"
                        f"{band:.0%} of thickness [{THICKNESS_BAND.status}], +-{float(FRACTION_BAND) * 100:.0f} "
                        f"points of glass "
                        f"[{FRACTION_BAND.status}]."),))


def verdict_words(quality, system="metric"):
    """Overall verdict on the finished laminate, and its stiffness in words.

    Parameters
    ----------
    quality : object or None
        Record with `report` and, where it is known, `sentence` [-].
    system : {"metric", "us"}
        Units of the page [-].

    Returns
    -------
    str
        Sentences; empty where nothing was measured [-].

    Examples
    --------
    >>> verdict_words(None)
    ''
    """
    if quality is None:
        return ""
    verdict = told(quality.report.verdict, system, capital=True).rstrip(".") + "."
    return " ".join(text for text in (verdict, getattr(quality, "sentence", "")) if text)


def reserve_words(margin):
    """Reserve factor as it is printed.

    Parameters
    ----------
    margin : Margin
        The margin [-].

    Returns
    -------
    str
        Two decimals; 'no load' or 'over 100' where a figure would say nothing [-].

    Examples
    --------
    >>> from lamcalc.mechanics.margins import Margin, design_factor
    >>> reserve_words(Margin("skin", 0.0, 85.0, design_factor("iso_ply"), "MPa"))
    'no load'
    """
    if margin.demand == 0:
        return "no load"
    return "over 100" if margin.reserve_factor > 100 else f"{margin.reserve_factor:.2f}"


def shortfalls(work, system="metric"):
    """Margins that do not hold, rules not met and what was not computed, for the top of the sheet.

    Parameters
    ----------
    work : PartWork
        The part [-].
    system : {"metric", "us"}
        Unit system of the words [-].

    Returns
    -------
    list of dict
        With word, wrong and do; empty where everything holds [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> shortfalls(SimpleNamespace(failed=((), ()), problems=(), against=(), unchecked=()))
    []
    """
    out = [{"word": "Not computed", "wrong": told(line, system), "do": "Complete the job file and print again."}
           for line in work.problems]
    if work.unchecked:
        out.append({"word": "Not checked", "wrong": "; ".join(work.unchecked) + ": not given, no strength known, or not settled.",
                    "do": "Enter it, or have this settled by whoever is responsible for the design."})
    if work.against:
        out.append({"word": "The comparison speaks against this build", "wrong": "; ".join(told(one, system) for one in work.against) + ".",
                    "do": "Choose another option, or have this one settled in writing by whoever is responsible for the design."})
    lost, missed = work.failed
    failed = [f"{told(m.name, system)}, reserve factor {reserve_words(m)}" for m in lost]
    unmet = [f"{c.requirement.name} ({c.requirement.rule})" for c in missed]
    if failed:
        out.append({"word": "A margin does not hold", "wrong": "; ".join(failed) + ".",
                    "do": "Do not lay it before whoever is responsible for the design has settled this in writing."})
    if unmet:
        out.append({"word": "A rule is not met", "wrong": "; ".join(unmet) + ".",
                    "do": "Have it settled by whoever is responsible for the design; see the margins."})
    return out


def doubts(work, system="metric"):
    """Loads to be read again before a margin is believed, for the top of the sheet.

    Parameters
    ----------
    work : PartWork
        The part [-].
    system : {"metric", "us"}
        Unit system of the words [-].

    Returns
    -------
    list of dict
        With word, wrong and do; empty where no load looks wrong [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> doubts(SimpleNamespace(doubts=("the thrust is little.",)))[0]["wrong"]
    'The thrust is little.'
    """
    return [{"word": "Check the entry", "wrong": f"{told(one, system, capital=True).rstrip('.')}.",
             "do": "Settle it and print again: the margins on this page hold for the job as entered."} for one in work.doubts]


def margin_table(margins, words):
    """Margins with the rule that sets what is usable, the smallest first.

    Parameters
    ----------
    margins : iterable of Margin
        Margins [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a margin [-].

    Examples
    --------
    >>> from lamcalc.mechanics.margins import Margin, design_factor
    >>> from lamcalc.shop.sheet_words import Words
    >>> margin_table([Margin("skin", 30.0, 85.0, design_factor("iso_ply"), "MPa")], Words("metric")).rows[0][3:5]
    ('1.42', 'holds')
    """
    rows = [(told(m.name, words.system), in_words(m.demand, m.unit, words), in_words(m.usable, m.unit, words),
             reserve_words(m), m.verdict, m.factor.words) for m in sorted(margins or (),
                                                                          key=lambda m: m.reserve_factor)]
    return Table(("check", "occurs", "usable", "reserve factor", "verdict", "design factor and its rule"), tuple(rows),
                 notes=(("Reserve factor: usable over what occurs; 1 or more holds. The design factor is already in "
                        "it."),))


def rules_table(checks, words):
    """Requirements of rules beside what the part has.

    Parameters
    ----------
    checks : iterable of RuleCheck or None
        Requirements [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table or None
        None without a requirement [-].

    Examples
    --------
    >>> from lamcalc.shop.sheet_words import Words
    >>> rules_table((), Words("metric")) is None
    True
    """
    rows = tuple((c.requirement.name, in_words(c.have, c.requirement.unit, words),
                  ("at most " if c.at_most else "at least ") + in_words(c.requirement.value, c.requirement.unit, words),
                  "met" if c.holds else "NOT met",
                  f"{c.requirement.rule} ({c.requirement.label})") for c in checks or ())
    return Table(("rule asks for", "the part has", "required", "verdict", "rule and status"), rows) if rows else None


def measured_table(quality, words):
    """Checks made on the finished laminate.

    Parameters
    ----------
    quality : object or None
        Record with `report`, a QualityReport [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table or None
        None where nothing was measured [-].

    Examples
    --------
    >>> from lamcalc.shop.sheet_words import Words
    >>> measured_table(None, Words("metric")) is None
    True
    """
    if quality is None:
        return None
    rows = tuple((c.name, in_words(c.measured, c.unit, words), in_words(c.expected, c.unit, words), c.verdict,
                  told(c.words, words.system), c.standard) for c in quality.report.checks)
    return Table(("check", "measured", "expected", "verdict", "in words", "standard"), rows)


def remarks(review, system="metric"):
    """Remarks of the sequence review in words for the crew; the same remark on several layers once.

    Parameters
    ----------
    review : Review or None
        The review [-].
    system : {"metric", "us"}
        Units of the page [-].

    Returns
    -------
    tuple of (list, list)
        What to settle first, and what to mind; dictionaries with word, wrong and do [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.sequence import review_part
    >>> stops, notes = remarks(review_part(load_demo(), "transom", "transom_plywood"))
    >>> len(stops), stops[0]["word"], stops[0]["wrong"][-18:]
    (1, 'Settle this first', 'Same for: layer 6.')
    """
    grouped = {}
    for f in (review.findings if review is not None else ()):
        if f.rule_id in _OF_THE_DESIGN:
            continue
        grouped.setdefault((f.severity, f.rule_id, f.do), []).append(f)
    stops, notes = [], []
    for (severity, _, do), same in grouped.items():
        others = [str(n) for f in same[1:] for n in f.plies]
        do = told(do, system, capital=True)
        wrong = told(same[0].wrong, system) + (f" Same for: layer {', '.join(others)}." if others else "")
        item = {"word": _WORDS[severity], "wrong": wrong,
                "do": do + ("" if do.endswith(".") else ".")}
        (notes if severity == "note" else stops).append(item)
    return stops, notes
