"""What notebook 03 shows: which core goes into the transom?"""

import html
from dataclasses import replace
from functools import lru_cache

import pandas as pd

from lamcalc import units
from lamcalc.parts.transom import CAUTIONS, assess
from lamcalc.parts.transom_comparison import sensitivity
from lamcalc.sentences import told
from lamcalc.shop.answer import comparison_rows
from lamcalc.shop.job_schedule import name_of_kind
from lamcalc.shop.job_transom import screening_stiffness, transom_comparison, transom_part, transom_variant
from lamcalc.shop.margin_matrix import margin_matrix
from lamcalc.shop.part_entry import asked_of_engines
from lamcalc.shop.tried_entry import tried_doubts
from lamcalc.workbook import explain, style
from lamcalc.workbook.controls import Choice, QuantitySlider, UnitSystem
from lamcalc.workbook.how_sure import HowSure
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.plots_transom import TransomPicture
from lamcalc.workbook.tables import amount, asked_lines, known_range, left_out, quantities, unit_words

_SHORT = ("total thickness", "fits the clamping", "core mass", "bending stiffness upwards", "stiffness over original",
          "shear stiffness", "largest turn", "crush use", "least reserve", "decided by", "material cost")


@lru_cache(maxsize=8)
def _comparison(job, model="micromechanics"):
    return transom_comparison(job, property_model=model)


def answer(job):
    """The recommendation in words.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str
        Recommendation with the deciding figure, in the job's units [-].
    """
    return _comparison(job).recommendation_in(job.units)


def answer_html(job):
    """The recommendation as an HTML paragraph, with what is to be asked about the engine below it.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str
        ``<p>`` elements [-].
    """
    asked = asked_lines([told(line, job.units) for line in asked_of_engines(job)])
    return "".join(f'<p style="font-size:15px;border:2px solid {style.COLOURS["ink"]};padding:8px">{line}</p>'
                   for line in (html.escape(answer(job) + left_out(job, "transom", (name_of_kind(job, "transom"),))), *asked))


def table(job, system=None, *, full=False):
    """The comparison as a table, one build a column.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].
    full : bool
        All figures instead of the deciding ones [-].

    Returns
    -------
    DataFrame
        Texts with units in the first column [-].
    """
    rows = comparison_rows(_comparison(job), system or job.units)
    kept = rows if full else [row for row in rows if row[0].startswith(_SHORT)]
    return pd.DataFrame(kept, columns=["figure", "original", *(f"option {k}" for k in range(1, len(rows[0]) - 1))])


def yardstick_html(job):
    """What the builds are held against where the original's modulus across the grain is not stated.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str
        HTML; empty where it is stated [-].
    """
    note = told(_comparison(job).yardstick_note, job.units)
    return f'<p style="max-width:75em">{html.escape(note)}</p>' if note else ""


def margins_html(job):
    """Margins of the builds side by side, with the design factors and what was not assessed below.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str
        HTML; one check a row, reserve factor, verdict and letter of the factor of each build [-].
    """
    results = _comparison(job).results
    found = margin_matrix(results, job.units)
    frame = pd.DataFrame(found.rows, columns=["check", "original", *(f"option {k}" for k in range(1, len(results)))])
    lines = [*(f"<b>{html.escape(line)}</b>" for line in found.not_assessed),
             f"Design factors, share of the strength that may be used: {html.escape('; '.join(found.factors))}."]
    return as_html(frame) + "".join(f'<p style="max-width:75em">{line}</p>' for line in lines)


def workings(job):
    """Reserve factors of the recommended build, or of the first option, with the numbers put in, folded.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    IPython.display.HTML
        Workings [-].
    """
    found = _comparison(job)
    margins = (found.recommended or found.options[0]).strength.margins
    return explain.show(*(explain.margin_working(margin, job.units) for margin in margins))


def knees(job, places_mm=None, system=None):
    """Every build without knees and with rigid knees.

    Parameters
    ----------
    job : Job
        The job [-].
    places_mm : tuple of float, optional
        Places of the knees from the centreline; 400 mm either side, or two thirds of the way to the chine where that is
        nearer, if not given [mm].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        Turn of the bracket, deflection and least reserve factor of every build, without and with knees [-].
    """
    comparison = _comparison(job)
    if places_mm is None:
        out = min(400.0, comparison.transom.outline.chine_width / 3)
        places_mm = (-out, out)
    held, bare = (replace(comparison.transom, knees=places) for places in (places_mm, ()))
    pairs = []
    for result in comparison.results:
        stiff = assess(held, result.name, result.schedule)
        result = assess(bare, result.name, result.schedule) if comparison.transom.knees else result
        pairs.append((result, stiff))
    columns = {"build": (None, [result.name for result, _ in pairs]),
               "knees from the centreline": ("mm", [max(places_mm)] * len(pairs))}
    for name, unit, value in (("turn", "mrad", lambda one: one.worst_turn_mrad),
                              ("deflection", "mm", lambda one: max(map(abs, one.plate_deflection_mm))),
                              ("least reserve factor", "-", lambda one: one.strength.worst.reserve_factor)):
        columns |= {f"{name}, no knees": (unit, [value(bare) for bare, _ in pairs]),
                    f"{name}, knees": (unit, [value(stiff) for _, stiff in pairs])}
    return quantities(system or job.units, columns)


def builds(job):
    """Which option is what.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    DataFrame
        Name and layers of every build [-].
    """
    results = _comparison(job).results
    return pd.DataFrame({"build": ["original", *(f"option {k}" for k in range(1, len(results)))],
                         "what": [r.name for r in results],
                         "layers, outer skin first": [len(r.schedule.laid) for r in results]})


def inputs(job, system=None):
    """Inputs of the comparison with unit and origin.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        Name, value, unit, known range and where it comes from [-].
    """
    comparison, system = _comparison(job), system or job.units
    case = comparison.transom
    rows = [(f.name, amount(f.value, f.unit, system), f.unit, "-", f.status) for f in case.load.factors]
    window = " to ".join(amount(end, "mm", system) for end in (case.window_low, case.window_high))
    rows += [("net area", amount(round(case.outline.net_area_m2, 3), "m2", system, ".3f"), "m2", "-", "job"),
             ("clamping window", window, "mm", "-", transom_part(job).window.status)]
    for result in comparison.options:
        core = next(layer.core for layer in result.schedule.laid if hasattr(layer, "core"))
        for label, value in (("density", core.density_kg_m3), ("modulus in the plane", core.e_x),
                             ("shear modulus through the thickness", core.g_xz), ("crushing strength", core.compressive_strength)):
            rows.append((f"{core.name}: {label}", amount(value.typical, value.unit, system), value.unit,
                         known_range(value, None, system, value.unit), value.status))
    frame = pd.DataFrame(list(dict.fromkeys(rows)), columns=["input", "value", "unit", "known range", "origin"])
    return frame.assign(unit=[unit_words(unit, system) for unit in frame["unit"]])


def figure(job, system=None):
    """Transom and stiffness as an HTML picture with alternative text.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    str
        ``<img>`` element [-].
    """
    return TransomPicture().draw(_comparison(job), system or job.units, live=False)


def what_matters(job, system=None):
    """Swing of the bending stiffness of every option with core modulus and glass fraction.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        One input of one option a row [-].
    """
    frame = pd.concat([sensitivity(r).assign(build=f"option {k}") for k, r in enumerate(_comparison(job).options, 1)],
                      ignore_index=True)
    ends = ("stiffness at low end", "stiffness at high end")
    return quantities(system or job.units, {
        "build": (None, frame["build"]), "input": (None, frame["input"]),
        **{name: ("kN m2/m", frame[f"{name} [kN m2/m]"]) for name in ends}, "swing": ("%", frame["swing [%]"])})


def models(job, system=None):
    """Stiffness over the original under both property models.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        One build a row [-].
    """
    pair = {name: _comparison(job, name) for name in ("micromechanics", "small_craft")}
    return quantities(system or job.units, {
        "build": (None, [f"option {k}" for k in range(1, len(pair["micromechanics"].options) + 1)]),
        **{name: ("kN m2/m", [r.ei_up / 1e6 for r in found.options]) for name, found in pair.items()}})


def hand_check(job, system=None):
    """The stiffness across the boat by a hand calculation: three layers, screening moduli, no bond lines.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        Hand value and full model of every option; one sentence where the job gives nothing for a hand check [-].
    """
    part = transom_part(job)
    if part.screening is None or part.inner_skin is None:
        return pd.DataFrame({"by hand": ["not done: the job file gives no skin moduli ([parts.transom.screening]) or no inner_skin"]})
    options, results = transom_part(job).options, _comparison(job).options
    return quantities(system or job.units, {
        "build": (None, [f"option {k}" for k in range(1, len(options) + 1)]),
        "by hand, no bond lines": ("kN m2/m", [screening_stiffness(job, option) / 1e6 for option in options]),
        "full model, same direction": ("kN m2/m", [result.ei_across / 1e6 for result in results])})


def panel(job, unit_system=None):
    """Live panel: one option with other engine, core modulus and number of plies.

    Parameters
    ----------
    job : Job
        The job [-].
    unit_system : UnitSystem, optional
        Shared unit switch [-].

    Returns
    -------
    Panel
        Show its ``box`` [-].
    """
    part = transom_part(job)
    if not part.options:
        _comparison(job)  # refuses in words
    engine, name = part.engine, name_of_kind(job, "transom")
    options = [(job.schedules[key].title or key, key) for key in part.options]
    controls = {
        "option": Choice("Core option", options, part.options[0]),
        "extra_plies": Choice("More mat-backed plies inside", [(f"{n:+d}", n) for n in (-1, 0, 1, 2, 3)], 0),
        "core_modulus_factor": QuantitySlider("Core modulus of sheet", "fraction", 1.0, 0.3, 1.5, 0.05),
        "thrust": QuantitySlider("Static thrust ahead", "force", engine.thrust_n, 500, 8000, 100),
        "engine_mass_kg": QuantitySlider("Engine, running mass", "mass", engine.mass_kg, 30, 300, 2),
        "trailering_factor": Choice("Trailering or slamming", [(f"{n:g} x weight", n) for n in
                                                                     sorted({1.0, 1.5, 2.0, 2.5, 3.0, engine.trailering_factor})],
                                    engine.trailering_factor),
    }
    return Panel(controls, lambda **values: transom_variant(job, values.pop("option"), **values), words=_words,
                 table=_panel_table, picture=TransomPicture("this build"), unit_system=unit_system or UnitSystem(system=job.units),
                 sure=HowSure(lambda found: _model(found, job.waste.resin)),
                 asked=lambda found: tried_doubts(job, name, found))


def _model(comparison, waste):
    from lamcalc.studies.uncertain_parts import TransomModel  # here, so that the notebook starts sooner

    return TransomModel(comparison.transom, comparison.options[0].schedule, waste)


def _words(comparison, system):
    build = comparison.options[0]
    failings = comparison.failings(build, system)
    thick = units.show(build.thickness_mm, "thickness", system)
    verdict = "It falls out: " + "; ".join(failings) + "." if failings else "Nothing in this screening speaks against it."
    return (f"{build.name}: {thick} thick, stiffness {comparison.stiffness_ratio(build):.2f} of the original, the bracket turns "
            f"{build.worst_turn_mrad:.1f} mrad (original {comparison.yardstick(build).worst_turn_mrad:.1f}). {verdict}")


def _panel_table(comparison, system):
    rows = [row for row in comparison_rows(comparison, system) if row[0].startswith(_SHORT)]
    return pd.DataFrame(rows, columns=["figure", "original", "this build"])


def cautions(job):
    """Cautions of this question as an HTML list.

    Parameters
    ----------
    job : Job
        Job file as loaded [-].

    Returns
    -------
    str
        ``<ul>`` element [-].
    """
    return "<ul>" + "".join(f"<li>{line}</li>" for line in CAUTIONS) + "</ul>"


def as_html(frame):
    """Table in house style.

    Parameters
    ----------
    frame : DataFrame
        Any table of this page [-].

    Returns
    -------
    str
        ``<table>`` element [-].
    """
    return style.table_html(frame, digits=4)
