"""The handover of a job: one page for the owner, then the details of what was found, put in, checked and measured."""

import math

import numpy as np

from lamcalc.schedule import Ply, layer_name
from lamcalc.sentences import joined, told
from lamcalc.shop.floor_entry import mixing_doubts, price_doubts
from lamcalc.shop.handover_front import front_table, open_points, unverified_table
from lamcalc.shop.job_scarf import BOND
from lamcalc.shop.sheet import environment, foot
from lamcalc.shop.sheet_checks import in_words, measured_table, reserve_words, verdict_words
from lamcalc.shop.sheet_head import builds
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_safety import CAUTIONS
from lamcalc.shop.sheet_tables import Table
from lamcalc.shop.sheet_words import Words, fibre_directions, money, sixteenths
from lamcalc.shop.takeoff import labour_words

_STIFFNESS = {"mm": "thickness", "kN/mm": "stiffness_per_width", "kN m2/m": "flexural_stiffness_per_width"}
NOT_PROMISED = ("This page describes what was calculated and what was measured. It promises no strength, no class "
                "and no "
                "survey approval; everything above that is from memory, assumed or not opened is a limit of what the "
                "shop says.")
NEXT_LOOKS = ("engine bolts tightened again after the first days, to the engine maker's torque",
              "sealant at bolts, drain and cut-out looked at after the first outing",
              "tap over every repair after 24 h, after 7 days, and at the end of the season",
              "cracks along tabbing, scarf and cut-out corners: photograph, measure, ask the shop",
              "this page kept with the craft: the next repairer needs the schedule")


def handover_page(whole, *, system=None, paper=None, problems=(), today=None):
    """Handover page of a job as self-contained HTML: one page in front, the details behind it.

    Parameters
    ----------
    whole : WholeJob
        The job with everything computed [-].
    system : {"metric", "us"}, optional
        Units of the page; the job's if not given [-].
    paper : {"A4", "letter"}, optional
        Paper of the PDF; the printer's if not given [-].
    problems : sequence of str
        What could not be computed, in sentences [-].
    today : date, optional
        Today's date, for the date of the prices; that of the computer if not given [-].

    Returns
    -------
    str
        HTML [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.whole_job import whole_job
    >>> "What was found" in handover_page(whole_job(load_demo()))
    True
    """
    job = whole.job
    words = Words(system or job.units)
    works = [work for work in whole.parts if work.take_off is not None]
    measured = [{"title": w.title, "verdict": verdict_words(w.quality, words.system), "checks": measured_table(w.quality, words),
                 "stiffness": stiffness_tables(w.quality, words)} for w in works if w.quality is not None]
    return environment().get_template("handover.html.j2").render(
        title=f"Handover, {job.name}", job=job.name, craft=job.craft.description, about=_about(job, words), paper=paper,
        problems=tuple(problems), front=front_table(job, works, words), 
        open_points=[*open_points(works, words.system), *_asked(job, words.system, today)],
        doubts=unverified_table(works), closed=[f"Not opened, {w.title}: {'; '.join(not_opened(job, w))}." for w in works if not_opened(job, w)], parts=[_part(job, work, words) for work in works],
        least=least_margins(works, words), margin_lines=_margin_lines(works, words.system), measured=measured,
        unmeasured=", ".join(w.title for w in works if w.quality is None and w.name not in job.as_built),
        unread=", ".join(w.title for w in works if w.quality is None and w.name in job.as_built), not_promised=NOT_PROMISED,
        cost=_cost(whole, words), cost_lines=_cost_lines(whole, words, today), cautions=CAUTIONS, next_looks=NEXT_LOOKS,
        foot=foot(job, words))


def _asked(job, system, today):
    return [f"Shop and cans: check the entry: {told(line, system, capital=True).rstrip('.')}." for line in mixing_doubts(job, today=today)]


def _about(job, words):
    craft = job.craft
    rows = [("length", words.both(craft.length_m, "length", "m") if craft.length_m else None),
            ("built", craft.construction),
            ("engine", words.both(craft.engine_power_kw, "power") if craft.engine_power_kw else None),
            ("use", craft.use),
            ("kept", craft.storage), ("owner", craft.owner), ("complaint", craft.complaint), ("wanted", craft.deadline)]
    return [(name, text) for name, text in rows if text]


def _part(job, work, words):
    layers = sheet_layers(job, work.take_off)
    rows = tuple((item.piece or ("there already" if item.existing else "-"), told(layer_name(item.layer), words.system), item.mat_towards,
                  fibre_directions(item.layer), item.layer.resin.name if isinstance(item.layer, Ply) else "-",
                  words.both(item.thickness_mm, "thickness"),
                  "-" if item.running_mm is None else words.one(item.running_mm, "thickness")) for item in layers)
    return {"title": work.title, "found": found_lines(job, work, words), "map": survey_map(work.survey, words),
            "builds": builds(job, work.take_off, layers),
            "layers": Table(("piece", "material", "mat side", "fibres [deg]", "resin", "thickness", "total"), rows,
                            css="small first"),
            "unverified": tuple(told(row.words, words.system) for row in work.unverified or ()) or ("nothing was listed: take every figure as unverified",)}


def found_lines(job, work, words):
    """What the survey found in a part, in sentences.

    Parameters
    ----------
    job : Job
        The job [-].
    work : PartWork
        The part; its survey map adds suspicions and what was not opened [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    list of str
        Sentences [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from lamcalc.shop.job import load_demo
    >>> lines = found_lines(load_demo(), SimpleNamespace(name="sole", survey=None), Words("metric"))
    >>> lines[0]
    'Sole springs near the helm.'
    """
    entry = job.survey.get(work.name)
    if entry is None:
        return ["No survey reading was written down for this part."]
    lines = [entry.found] if entry.found else []
    for skin in entry.thickness:
        net = np.array(skin.readings_mm) - skin.gel_coat_mm
        coat = f", gel coat of {words.both(skin.gel_coat_mm, 'film')} taken off" if skin.gel_coat_mm else ""
        lines.append(f"Thickness of {skin.name}: mean {words.both(net.mean(), 'thickness')}, least "
                     f"{words.both(net.min(), 'thickness')}, {len(net)} reading{'' if len(net) == 1 else 's'}{coat}.")
    for line in entry.moisture:
        lines.append(f"Pin meter at {words.tape(line.height_mm)} height, port to starboard: "
                     f"{', '.join(f'{p:g}' for p in line.percent)} %.")
    if entry.coupon:
        share = entry.coupon.residue_mass_g / entry.coupon.dry_mass_g
        lines.append(f"Burn-off of one coupon: {share:.1%} glass by weight.")
    if work.survey is not None:
        lines += [f"{told(f.text, words.system, capital=True)}." for f in work.survey.findings if f.severity != "note"]
        if work.survey.removed_area_m2:
            lines.append(f"Cut line: {words.both(work.survey.removed_area_m2, 'area')} of core to come out as a "
                         f"first cut, "
                         f"{work.survey.removed_share:.0%} of the panel read.")
    lines += [f"Not opened: {text}." for text in not_opened(job, work)]
    return lines or ["Nothing was written down."]


def not_opened(job, work):
    """What of a part nobody has opened: by the survey's map, or in the words of the job file.

    Parameters
    ----------
    job : Job
        The job [-].
    work : PartWork
        The part [-].

    Returns
    -------
    list of str
        Without the full stop; empty where nothing was written down [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from lamcalc.shop.job import load_demo
    >>> not_opened(load_demo(), SimpleNamespace(name="sole", survey=None))
    []
    """
    entry = job.survey.get(work.name)
    if work.survey is not None:
        return [text.rstrip(".") for text in work.survey.not_opened]
    return [entry.not_opened.rstrip(".")] if entry is not None and entry.not_opened else []


def survey_map(survey, words):
    """Grid of readings as seen on the wall, top row first.

    Parameters
    ----------
    survey : SurveyMap or None
        Map of the panel [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table or None
        None without a map [-].

    Examples
    --------
    >>> from lamcalc.shop.survey import map_survey
    >>> survey_map(map_survey([0, 200], [0], tap=["CD"]), Words("metric")).rows
    (('0', 'C', 'D cut'),)
    """
    if survey is None:
        return None

    def place(mm):
        return f"{mm:.0f}" if words.system == "metric" else f"{'-' if mm < 0 else ''}{sixteenths(abs(mm))}"

    unit = {"metric": "mm", "us": "in"}[words.system]
    rows = tuple((place(height), *(cell.replace("not read", ".") for cell in cells))
                 for height, *cells in survey.table().itertuples())
    return Table((f"height [{unit}]", *(place(x) for x in survey.x_mm)), rows, css="tiny",
                 caption=f"Readings, top row first; places across in {unit}, port to starboard",
                 notes=(("C crisp, D dull, . not read; a number is the meter reading; cut: inside the cut line of "
                         "the survey; dry it: "
                         "between dry and wet."),))


def least_margins(works, words):
    """The smallest margin of every part with the rule that sets it.

    Parameters
    ----------
    works : sequence of PartWork
        Parts [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    Table
        One row a part [-].

    Examples
    --------
    >>> least_margins((), Words("metric")).rows
    ()
    """
    rows = []
    for work in works:
        m = work.least
        if m is None:
            rows.append((work.title, "none computed", "-", "-", "-", "-", "-"))
            continue
        rows.append((work.title, told(m.name, words.system), in_words(m.demand, m.unit, words), in_words(m.usable, m.unit, words),
                     reserve_words(m), m.verdict, m.factor.words))
    return Table(("part", "smallest margin", "occurs", "usable", "reserve factor", "verdict",
                  "design factor and its rule"),
                 tuple(rows), notes=("All margins stand on the sheets of the parts.",))


def mat_alone(works, system="metric"):
    """Parts whose glass is mat throughout, in one sentence for the job.

    Parameters
    ----------
    works : sequence of PartWork
        Parts [-].
    system : {"metric", "us"}
        Units of the page [-].

    Returns
    -------
    str
        Parts, what it means and what to do; empty without such a part [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from lamcalc.shop.job import load_demo, update
    >>> from lamcalc.shop.sequence import review_part
    >>> job = update(load_demo(), {"parts.sole.chosen": "sole_plywood"})
    >>> mat_alone([SimpleNamespace(title="Sole", review=review_part(job, "sole"))])[:63]
    'Sole: all the glass is mat, none of it woven or stitched. Mat i'
    """
    found = [(work.title, one) for work in works if work.review is not None for one in work.review.of("mat_only")]
    if not found:
        return ""
    one = found[0][1]
    wrong, do = told(one.wrong, system), told(one.do, system, capital=True)
    return f"{'; '.join(title for title, _ in found)}: {wrong[:1].lower()}{wrong[1:]} {one.rule.reason[:1].upper()}{one.rule.reason[1:]}. {do}."


def _margin_lines(works, system):
    lines = []
    for work in works:
        if work.against:
            lines.append(f"{work.title}: the comparison of the options speaks against what was built: {'; '.join(told(one, system) for one in work.against)}.")
        if work.unchecked:
            lines.append(f"{work.title}: not checked, because it is not given, has no known strength, or did not settle: "
                         f"{', '.join(work.unchecked)}. Settle this before the craft goes out.")
        lost, missed = work.failed
        failed = [told(m.name, system) for m in lost] + [c.requirement.name for c in missed]
        if failed:
            lines.append(f"{work.title}: does not hold or does not meet a rule in {len(failed)} check"
                         f"{'' if len(failed) == 1 else 's'}: {', '.join(failed)}. Settle this before the craft goes "
                         f"out.")
    lines = lines or ["Every margin computed holds; what was not computed is named above."]
    return lines + [line for line in [mat_alone(works, system), *_bonds(works, system)] if line]


def _bonds(works, system):
    """What the bonds of scarfs have to carry, where nobody knows what they may."""
    for work in works:
        plan = work.joints and work.joints.scarf
        if plan and work.part.repair.bond_allowable_mpa is None:
            yield from (f"{work.title}: {told(one.text, system)}." for one in plan.findings if one.subject == BOND)


def stiffness_tables(quality, words):
    """Stiffness as built against as designed, in the units of the page.

    Parameters
    ----------
    quality : object
        Record with `stiffness`, a DataFrame with the unit in the text of its first column, or None [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    tuple of Table
        Empty without it [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> stiffness_tables(SimpleNamespace(stiffness=None), Words("metric"))
    ()
    """
    frame = getattr(quality, "stiffness", None)
    if frame is None:
        return ()
    ratio = [" over " in name for name in frame.columns]
    rows = []
    for figure, *cells in frame.itertuples(index=False):
        unit = next((unit for unit in _STIFFNESS if figure.endswith(f"[{unit}]")), None)
        shown = [_stiffness(cell, None if is_ratio else unit, words) for cell,
                 is_ratio in zip(cells, ratio[1:], strict=True)]
        rows.append((figure.rpartition(" [")[0] or figure, *shown))
    heads = tuple(name.removesuffix(" [-]") for name in frame.columns)
    return (Table(heads, tuple(rows), caption="Stiffness as built against as designed"),)


def _stiffness(value, unit, words):
    if isinstance(value, str):
        return value
    if math.isnan(value):
        return "-"
    return f"{value:.3g}" if unit is None else words.one(value, _STIFFNESS[unit], unit)


def _cost(whole, words):
    found = whole.take_off
    rows = tuple((part.title, words.mass(part.glass_kg()), words.mass(part.resin_in_laminate_kg()),
                  words.mass(part.mass_kg),
                  money(found.cost_by_part[name], found.currency)) for name, part in found.parts.items())
    return Table(("part", "glass in it", "resin in the plies", "mass added, joints included", "materials used up"), rows)


def _cost_lines(whole, words, today):
    found = whole.take_off
    lines = [(f"Buying list, whole containers and sheets: {money(found.buying_cost, found.currency)}, prices of "
             f"{found.price_date}. {labour_words(whole.job, found.parts)}")]
    if found.unpriced:
        lines.append(f"Without a price on the list: {told(joined(', ', found.unpriced), words.system)}.")
    return lines + [f"Check the entry: {told(line, words.system)}." for line in price_doubts(whole.job, today)]
