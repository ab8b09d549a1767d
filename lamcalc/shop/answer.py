"""The transom answer on paper: a self-contained HTML page and spreadsheet-safe tables."""

import csv
import io

from lamcalc import units
from lamcalc.parts.transom import CAUTIONS, USUAL_BELOW_EDGE
from lamcalc.sentences import Figure, Sentence, joined, told
from lamcalc.shop.field_words import figure
from lamcalc.shop.margin_matrix import margin_matrix
from lamcalc.shop.part_entry import asked_of_engines

_PAGE = """<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{{ title }}</title>
<style>
@page { margin: 14mm; }
body { font: 12px/1.4 sans-serif; color: #1b2a41; max-width: 190mm; margin: 0 auto; }
h1 { font-size: 20px; } h2 { font-size: 15px; margin: 1.2em 0 .3em; }
table { border-collapse: collapse; width: 100%; } thead { display: table-header-group; }
th, td { text-align: left; padding: 2px 6px; border-bottom: 1px solid #9aa0a6; vertical-align: top; }
thead th { border-bottom: 2px solid #1b2a41; } tr { break-inside: avoid; }
.plies, .margins { font-size: 10px; } .margins th:first-child { width: 20%; } .plies td:nth-child(2) { width: 30%; }
.answer { border: 2px solid #1b2a41; padding: 8px; font-size: 14px; }
.caution { border-left: 5px solid #1b2a41; padding-left: 8px; }
</style></head><body>
<h1>{{ title }}</h1>
<p>{{ craft }}. Units: {{ unit_words }}. Money: {{ currency }}, prices of {{ price_date }}.</p>
<p class="answer">{{ answer }}</p>
{% for line in doubts %}<p class="answer"><b>Check the entry:</b> {{ line }}.</p>{% endfor %}
<h2>The builds side by side</h2>
<table><thead><tr><th>figure</th>{% for name in names %}<th>{{ name }}</th>{% endfor %}</tr></thead><tbody>
{% for row in rows %}<tr><th>{{ row[0] }}</th>{% for cell in row[1:] %}<td>{{ cell }}</td>{% endfor %}</tr>{% endfor %}
</tbody></table>
{% if yardstick %}<p>{{ yardstick }}</p>{% endif %}
<h2>Margins: will it hold?</h2>
<p>Reserve factor, verdict, the letter of the design factor, and where it is decided. 1 or more holds; the factor is already in it.</p>
<table class="margins"><thead><tr><th>check</th>{% for name in names %}<th>{{ name }}</th>{% endfor %}</tr></thead><tbody>
{% for row in margins.rows %}<tr><th>{{ row[0] }}</th>{% for cell in row[1:] %}<td>{{ cell }}</td>{% endfor %}</tr>{% endfor %}</tbody></table>
{% for line in margins.not_assessed %}<p><b>{{ line }}</b></p>{% endfor %}
<p class="plies">Design factors, share of the strength that may be used: {{ margins.factors|join("; ") }}.</p>
{% for table in schedules %}<h2>Schedule: {{ table.name }}</h2>
<table class="plies"><thead><tr>{% for c in table.columns %}<th>{{ c }}</th>{% endfor %}</tr></thead><tbody>
{% for row in table.rows %}<tr>{% for cell in row %}<td>{{ cell }}</td>{% endfor %}</tr>{% endfor %}</tbody></table>{% endfor %}
<h2>What the figures stand on</h2>
<ul>{% for line in assumptions %}<li>{{ line }}</li>{% endfor %}</ul>
<h2>Cautions: what nobody has verified</h2>
{% for line in cautions %}<p class="caution">{{ line }}</p>{% endfor %}
</body></html>
"""
# row of the comparison table -> (kind of quantity, factor into its internal unit)
_ROWS = {"[mm]": ("thickness", 1.0), "[kg]": ("mass", 1.0), "[kN m2/m]": ("flexural_stiffness_per_width", 1e6),
         "[kN/mm]": ("stiffness_per_width", 1e3), "[MPa]": ("stress", 1.0)}


# ending of a column of the ply table -> kind of quantity
_PLY_COLUMNS = {"[mm]": "thickness", "mass [g/m2]": "areal_weight", "areal weight [g/m2]": "areal_weight"}
_CORE_WORDS = {"density_kg_m3": "density", "e_x": "modulus", "g_xz": "shear modulus", "compressive_strength": "crushing strength"}


def _number(value):
    if isinstance(value, str):
        return value
    if value != value:
        return "-"
    return f"{value:.0f}" if abs(value) >= 1000 else f"{value:.4g}"


def comparison_rows(comparison, system):
    """Rows of the comparison as text in the chosen unit system.

    Parameters
    ----------
    comparison : TransomComparison
        The comparison [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    list of list of str
        Name of the figure with its unit, then one text for each build [-].

    Raises
    ------
    InputError
        If the unit system is unknown.

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_transom import transom_comparison
    >>> comparison_rows(transom_comparison(load_demo()), "us")[0][:2]
    ['total thickness [in]', '1.719']
    """
    rows = []
    for name, *values in comparison.table().reset_index().itertuples(index=False):
        unit = next((u for u in _ROWS if name.endswith(u)), None)
        if unit is None:
            rows.append([name, *(_number(told(value, system)) for value in values)])
            continue
        kind, factor = _ROWS[unit]
        label = f"{name[:-len(unit)]}[{units.unit_label(kind, system)}]"
        rows.append([label, *(_converted(value, kind, factor, system) for value in values)])
    return rows


def _converted(value, kind, factor, system):
    if isinstance(value, str):  # a range, "47.5 to 50.5"
        return " to ".join(_number(float(units.to_system(float(part) * factor, kind, system))) for part in value.split(" to "))
    return "-" if value != value else _number(float(units.to_system(value * factor, kind, system)))


def schedule_rows(schedule, system, currency="money"):
    """Plies of a build for the page, in the chosen unit system.

    Parameters
    ----------
    schedule : Schedule
        The schedule [-].
    system : {"metric", "us"}
        Unit system [-].
    currency : str
        Name of the money [-].

    Returns
    -------
    tuple of (list of str, list of list of str)
        Heads of the columns with units, and a row a layer [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo, schedule
    >>> heads, rows = schedule_rows(schedule(load_demo(), "transom_plywood"), "us")
    >>> heads[7], rows[1][7], heads[-1]
    ('thickness [in]', '0.1798', 'cost [money/ft2]')
    """
    frame = schedule.table().drop(columns=["glass [g/m2]", "resin [g/m2]", "running total [in]"])
    heads, columns = [], []
    for name in frame.columns:
        kind = next((kind for unit, kind in _PLY_COLUMNS.items() if name.endswith(unit)), None)
        heads.append(name if kind is None else f"{name.rpartition('[')[0]}[{units.unit_label(kind, system)}]")
        columns.append([v if kind is None else float(units.to_system(float(v), kind, system)) for v in frame[name]])
    area = units.system_unit("area", system)
    heads[-1] = f"cost [{currency}/{area}]"
    columns[-1] = [units.convert(1.0, area, "m2") * v for v in columns[-1]]
    rows = [[str(v) if isinstance(v, int) else _number(told(v, system)) for v in row] for row in zip(*columns, strict=True)]
    return heads, rows


def assumptions(comparison, system="metric"):
    """Inputs of the load cases and of the two views, each a line with its status.

    Parameters
    ----------
    comparison : TransomComparison
        The comparison [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    list of str
        Lines for the page [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_transom import transom_comparison
    >>> assumptions(transom_comparison(load_demo()))[0]
    'm, engine running mass: 104 kg (user)'
    """
    case = comparison.transom
    lines = [Sentence("{symbol}, {name}: {value} ({status})", symbol=f.symbol, name=f.name, status=f.status,
                            value=f"{f.value:g} times gravity" if f.unit == "g" else figure(f.value, f.unit))
             for f in case.load.factors]
    lines += [f"Load note: {note}." for note in case.load.notes]
    lines += [Sentence("Strip view: {wide} wide, {span} between keel and cut-out, both ends simply supported (assumed).",
                             wide=_length(case.carrying_width), span=_length(case.outline.strip_span)),
              Sentence("Plate view: {wide} by {high}, edges left, right, bottom, top {edges} (C clamped, S simply "
                             "supported, F free; assumed).", wide=_length(case.outline.mean_width),
                             high=_length(case.outline.plate_height), edges=case.edges),
              "Deflections are the largest of each view, positive aft. The strip is held under the cut-out too, where the plate may be "
              "free, so that the two may differ in sign: compare a view with itself from build to build.",
              Sentence("Upper bolts: {down} below the edge of the cut-out ({status}).",
                       down=Figure(case.bolts_below_edge, "small_length", digits=3),
                       status="as mounting pages have it, assumed; a bracket bolted lower is entered as below_edge_mm"
                       if case.bolts_below_edge == USUAL_BELOW_EDGE else "from the job file"),
              *([f"Rows of {case.bolts.upper_bolts} bolts: they share the pull alike; in the plate view all of it acts at the outer two "
                 "(assumed)."] if case.bolts.upper_bolts > 2 else []),
              Sentence("Lower bolts: {wide} apart ({status}).", wide=_length(case.bolts.between_lower),
                             status="as the upper ones, assumed" if case.bolts.lower_spacing is None else "from the job file"),
              *_knees(case),
              f"Ply constants: {comparison.options[0].schedule.property_model}; gel coat carries no load (common practice).",
              "A build counts as stiff as the original from 95 % up; bolt plates may press half of the core's crushing "
              "strength (factor 0.5, common practice)."]
    lines += _strength_notes(comparison)
    cores = {layer.core.name: layer.core for result in comparison.results for layer in result.schedule.laid
             if hasattr(layer, "core")}
    for core in cores.values():
        for name, value in core.values.items():
            if name in _CORE_WORDS:
                lines.append(Sentence("{core}, {name}: {value}, {status}", core=core.name, name=_CORE_WORDS[name],
                                            value=figure(value.typical, value.unit), status=value.status + (", unverified" if value.unverified else "")))
    return [told(line, system) for line in lines]


def _knees(case):
    """What the plate view takes for the knees: the turn of the bracket with them is the least, not the likely one."""
    if not case.knees:
        return []
    places = joined(", ", [_length(place) for place in case.knees])
    return [Sentence("Knees at {places} from the centreline, each {wide} wide: taken as rigid, sound and bonded over the whole "
                           "height (assumed). A real knee gives way, so the bracket turns more than shown; the knees' own joints to "
                           "transom and bottom are not assessed.", places=places, wide=_length(case.knee_width))]


def _strength_notes(comparison):
    """What the strengths stand on; a note that only some builds have names them."""
    found = {}
    for result in comparison.results:
        for note in result.strength.notes:
            found.setdefault(note, []).append(result.name)
    everybody = len(comparison.results)
    return [note if len(names) == everybody else joined(": ", [", ".join(names), note]) for note, names in found.items()]


def _length(mm):
    return Figure(mm, "small_length", digits=3)


def comparison_page(job, comparison, system="metric"):
    """The comparison as one self-contained HTML page, ready to print on A4 or Letter.

    Parameters
    ----------
    job : Job
        The job [-].
    comparison : TransomComparison
        Its comparison [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        HTML; every text of the job is escaped [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> from lamcalc.shop.job_transom import transom_comparison
    >>> "Cautions" in comparison_page(load_demo(), transom_comparison(load_demo()))
    True
    """
    import jinja2

    schedules = []
    for result in comparison.results:
        heads, rows = schedule_rows(result.schedule, system, job.prices.currency)
        schedules.append({"name": result.name, "columns": heads, "rows": rows})
    environment = jinja2.Environment(autoescape=True, undefined=jinja2.StrictUndefined)
    return environment.from_string(_PAGE).render(
        title=f"Transom: which core? {job.name}", craft=job.craft.description, currency=job.prices.currency,
        price_date=job.prices.date, unit_words={"metric": "metric", "us": "US"}[system],
        answer=comparison.recommendation_in(system), yardstick=told(comparison.yardstick_note, system),
        doubts=[told(line, system).rstrip(".") for line in asked_of_engines(job)], margins=margin_matrix(comparison.results, system), names=[r.name for r in comparison.results],
        rows=comparison_rows(comparison, system), schedules=schedules, assumptions=assumptions(comparison, system),
        cautions=CAUTIONS)


def safe_csv(rows):
    """CSV text that no spreadsheet takes for a formula.

    Parameters
    ----------
    rows : iterable of sequence
        Rows of texts and numbers [-].

    Returns
    -------
    str
        CSV; texts that begin with = + - @, a tab or a line break get a leading apostrophe, numbers stay [-].

    Examples
    --------
    >>> safe_csv([["=1+1", -2.5, "-3.1"]])
    "'=1+1,-2.5,-3.1\\r\\n"
    """
    buffer = io.StringIO()
    writer = csv.writer(buffer)
    writer.writerows([[_neutral(cell) for cell in row] for row in rows])
    return buffer.getvalue()


def _neutral(cell):
    if not isinstance(cell, str) or not cell or cell[0] not in "=+-@\t\r\n":
        return cell
    try:
        float(cell)
    except ValueError:
        return "'" + cell
    return cell
