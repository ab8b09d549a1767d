"""The sheet of a part: one self-contained page for the crew, from the job file to the margins."""

from functools import cache

from lamcalc.schedule import Coat, CoreLayer
from lamcalc.sentences import told
from lamcalc.shop.floor_entry import mixing_doubts
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.job_schedule import schedule as job_schedule
from lamcalc.shop.limits import THICKNESS_POINTS
from lamcalc.shop.sequence import context_of
from lamcalc.shop.sheet_batches import batch_plans, batch_table, climate_line, session_table
from lamcalc.shop.sheet_checks import (
    doubts,
    margin_table,
    measured_table,
    quality_limits,
    remarks,
    rules_table,
    shortfalls,
    verdict_words,
)
from lamcalc.shop.sheet_head import builds, faces, facts, lies_on
from lamcalc.shop.sheet_joints import joint_block
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_safety import cautions, preparation, protection
from lamcalc.shop.sheet_tables import Table, core_table, layer_table, piece_table, resin_table, roll_table, supply_table
from lamcalc.shop.sheet_words import Words, for_print
from lamcalc.shop.stack_drawing import stack_drawing

NO_BATCHES = "No pots could be planned for this part; mix by the table above, inside the can's window."
NOTHING_LISTED = "Nothing was listed for this part: take every figure as unverified until its source has been read."
LOG = Table(("date, time", "air", "hull", "humidity", "layers laid", "started", "gel seen", "hand-cool at", "initials"),
            (("",) * 9,) * 6)
LOG_FIELDS = ("fabric roll or batch no.", "resin batch no.", "catalyst batch no.", "core batch no.",
              "gel coat batch no.",
              "coupon laid, marked", "photographs, numbers", "anything that differed:")


@cache  # templates are compiled once, not anew for every page
def environment():
    """Templates of the printed pages; every text of a job is escaped.

    Returns
    -------
    jinja2.Environment
        With autoescape, and an error for a name that is missing [-].

    Examples
    --------
    >>> environment().from_string("{{ x }}").render(x="<script>")
    '&lt;script&gt;'
    """
    import jinja2

    return jinja2.Environment(loader=jinja2.PackageLoader("lamcalc.shop", "templates"), autoescape=True,
                              undefined=jinja2.StrictUndefined, trim_blocks=True, lstrip_blocks=True,
                              finalize=lambda value: for_print(value) if type(value) is str else value)


def part_sheet(job, work, *, system=None, paper=None, today=None):
    """The sheet of one part as self-contained HTML, for A4 and Letter.

    Parameters
    ----------
    job : Job
        The job [-].
    work : PartWork
        Everything computed for the part; what is None is named as not computed [-].
    system : {"metric", "us"}, optional
        Units of the page; the job's if not given [-].
    paper : {"A4", "letter"}, optional
        Paper of the PDF; the printer's if not given [-].
    today : date, optional
        Today's date, for the day on the cans; that of the computer if not given [-].

    Returns
    -------
    str
        HTML [-].

    Raises
    ------
    InputError
        If the unit system is unknown.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.whole_job import part_work
    >>> job = load_demo()
    >>> "What nobody has verified" in part_sheet(job, part_work(job, "sole"))
    True
    """
    words = Words(system or job.units)
    layers = sheet_layers(job, work.take_off)
    return environment().get_template("sheet.html.j2").render(
        title=f"{work.title}, {job.name}", heading=work.title, job=job.name, craft=job.craft.description, paper=paper,
        cautions=cautions(layers), foot=foot(job, words), log=LOG, log_fields=LOG_FIELDS, **_head(job, work, layers, words, today),
        **_floor(job, work, layers, words), **_afterwards(job, work, layers, words))


def _head(job, work, layers, words, today):
    """What stands above the first section, and what to settle or mind."""
    stops, notes = remarks(work.review, words.system)
    stack = job_schedule(job, work.take_off.schedule)
    asked = doubts(work, words.system) + _mixing(job, work.take_off, words, today)
    return {"builds": builds(job, work.take_off, layers), "stops": shortfalls(work, words.system) + asked + stops, "notes": notes,
            "head_fields": ("date", "craft number, place", "laid by", "checked by"),
            "facts_row": facts(stack, work.take_off, batch_plans(work.batches), words)}


def _mixing(job, part, words, today):
    mixed = {use.resin for use in part.resins}
    return [{"word": "Check the entry", "wrong": f"{told(one, words.system, capital=True)}.",
             "do": "Settle it and print again: what is mixed, gel times and waiting times on this page hold for the readings and the "
                   "cans entered."} for one in mixing_doubts(job, mixed, today)]


def _floor(job, work, layers, words):
    """What is cut, mixed and laid."""
    from markupsafe import Markup

    entry, part, plans = job.parts[work.name], work.take_off, batch_plans(work.batches)
    drawing = stack_drawing(layers, words, bottom=lies_on(context_of(job, work.name).substrate, layers),
                            top=faces(job.schedules[part.schedule].laid == "inner_first", layers[0].existing))
    joints = joint_block(work.joints, entry, words, crown_plies=sum(item.group == "crown" for item in part.layers))
    return {"preparation": preparation(entry, layers), "drawing": Markup(drawing), "layers": layer_table(layers, words),
            "pieces": piece_table(part, words), "core": core_table(part, words), "rolls": roll_table(part, words),
            "supplies": supply_table(part, words), "resin": resin_table(part, words),
            "batches": [table for plan in plans for table in (batch_table(plan, words), session_table(plan, words))],
            "batch_lines": [climate_line(plan, words) for plan in plans] or [NO_BATCHES],
            "batch_findings": [f"{told(f.text, words.system, capital=True)}." for plan in plans for f in plan.findings],
            "joints": {"title": "Section" if entry.kind == "stringer" else "Joints", "tables": joints.tables,
                       "lines": joints.lines, "drawings": [Markup(svg) for svg in joints.drawings]},
            "safety": _safety(job, part, layers)}


def _afterwards(job, work, layers, words):
    """What is measured, with what margin, and what nobody verified."""
    stack = job_schedule(job, work.take_off.schedule)
    return {"quality": quality_limits(stack, work.take_off, layers, words),
            "thickness_points": f"{THICKNESS_POINTS.value:g}", "measured": measured_table(work.quality, words),
            "verdict": verdict_words(work.quality, words.system),
            "margins": margin_table(work.margins, words),
            "rules": rules_table(work.rule_checks, words),
            "unverified": tuple(told(row.words, words.system) for row in work.unverified or ()) or (NOTHING_LISTED,)}


def _safety(job, part, layers):
    shelf = catalogue(job)
    families = {shelf.resin(use.resin).family for use in part.resins}
    coat = any(isinstance(item.layer, Coat) and not item.existing for item in layers)
    return protection(families, [item for item in layers if isinstance(item.layer, CoreLayer)], coat)


def foot(job, words):
    """Last line of every page.

    Parameters
    ----------
    job : Job
        The job [-].
    words : Words
        Units of the page [-].

    Returns
    -------
    str
        A sentence [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> foot(load_demo(), Words("us"))[:26]
    'Made from the job file of '
    """
    units = {"metric": "metric units, US in brackets", "us": "US units, metric in brackets"}[words.system]
    return (f"Made from the job file of {job.name}; prices of {job.prices.date}; {units}. A change in the job file "
            f"makes this "
            "paper old: print again.")
