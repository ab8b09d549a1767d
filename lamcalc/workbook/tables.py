"""Tables and sentences in the chosen unit system: numbers rounded as their kind of quantity wants."""

import html
import re

import numpy as np

from lamcalc import units
from lamcalc.sentences import KIND_OF_UNIT
from lamcalc.workbook import style

_WEIGHTS = re.compile(r"([\d.]+ g/m2) \(([^)]*)\)|([\d.]+ oz/\w+2(?: \+ [\d./]+ oz/\w+2)?) \(([\d.]+ g/m2)\)")


def column(values, kind, system):
    """Numbers of one kind as text without their unit, for a table column.

    Parameters
    ----------
    values : array_like, shape (rows,)
        Values, NaN where there is none [internal unit of the kind].
    kind : str
        Kind of quantity, as in `lamcalc.units` [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    list of str
        One text a row, a dash where there is no number [-].

    Examples
    --------
    >>> column([1.0508, float("nan")], "thickness", "metric")
    ['1.05', '-']
    """
    label = units.unit_label(kind, system)
    return ["-" if np.isnan(value) else units.show(float(value), kind, system).removesuffix(label).strip()
            for value in np.atleast_1d(values)]


def known_range(value, kind, system, unit=None):
    """Range in which a catalogue figure is known to lie, as text.

    Parameters
    ----------
    value : object
        `Value` with `low` and `high` [internal unit of the kind]; anything else has no range [-].
    kind : str or None
        Kind of quantity, as in `lamcalc.units`; None for a plain number [-].
    system : {"metric", "us"}
        Unit system [-].
    unit : str, optional
        Metric unit of a plain number [-].

    Returns
    -------
    str
        From and to without the unit, a dash where no range is known, 'from ...' or 'up to ...' where one end is known [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> known_range(catalogue.load().fibre("e_glass").density_kg_m3, "density", "metric")
    '2540 to 2600'
    """
    low, high = ("" if end is None else amount(end, unit, system) if kind is None else column(end, kind, system)[0]
                 for end in (getattr(value, "low", None), getattr(value, "high", None)))
    if low and high:
        return f"{low} to {high}"
    return f"from {low}" if low else f"up to {high}" if high else "-"


def frame(system, columns):
    """A table whose column names carry the units of the chosen system.

    Parameters
    ----------
    system : {"metric", "us"}
        Unit system [-].
    columns : dict of str to (str or None, sequence)
        Kind of quantity (None for text) and values in internal units, by column name without unit [-].

    Returns
    -------
    DataFrame
        Numbers as rounded text [-].

    Examples
    --------
    >>> frame("us", {"thickness": ("thickness", [25.4])}).to_dict("list")
    {'thickness [in]': ['1.000']}
    """
    import pandas as pd

    shown = {}
    for name, (kind, values) in columns.items():
        if kind is None:
            shown[name] = [str(value) for value in values]
        else:
            shown[f"{name} [{units.unit_label(kind, system)}]"] = column(values, kind, system)
    return pd.DataFrame(shown)


def quantities(system, columns):
    """A table of plain numbers in the chosen unit system.

    Parameters
    ----------
    system : {"metric", "us"}
        Unit system [-].
    columns : dict of str to (str or None, sequence)
        Metric unit (None for text) and values in it, by column name without unit [-].

    Returns
    -------
    DataFrame
        Metric: the numbers; US: text of four digits where the unit has a counterpart [-].

    Examples
    --------
    >>> quantities("us", {"deflection": ("mm", [25.4]), "turn": ("mrad", [2.5])}).to_dict("list")
    {'deflection [in]': ['1'], 'turn [mrad]': [2.5]}
    """
    import pandas as pd

    shown = {}
    for name, (unit, values) in columns.items():
        told = system == "us" and unit in KIND_OF_UNIT
        shown[name if unit is None else f"{name} [{unit_words(unit, system)}]"] = [
            amount(value, unit, system) for value in values] if told else list(values)
    return pd.DataFrame(shown)


def unit_words(unit, system):
    """A metric unit in the chosen unit system.

    Parameters
    ----------
    unit : str
        Metric unit [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Its counterpart; the same where there is none [-].

    Examples
    --------
    >>> unit_words("mm", "us"), unit_words("mrad", "us")
    ('in', 'mrad')
    """
    return units.unit_label(KIND_OF_UNIT[unit], system) if system == "us" and unit in KIND_OF_UNIT else unit


def amount(value, unit, system, style="g"):
    """A number without its unit, as text.

    Parameters
    ----------
    value : float
        Value [as `unit` says].
    unit : str
        Metric unit [-].
    system : {"metric", "us"}
        Unit system [-].
    style : str
        How it is written in metric [-].

    Returns
    -------
    str
        Four digits where it is converted [-].

    Examples
    --------
    >>> amount(41.0, "mm", "us"), amount(41.0, "mm", "metric"), amount(0.84, "m2", "metric", ".3f")
    ('1.614', '41', '0.840')
    """
    if system == "metric" or unit not in KIND_OF_UNIT:
        return f"{value:{style}}"
    found = float(units.convert(float(value), unit, units.system_unit(KIND_OF_UNIT[unit], "us")))
    return f"{found:.0f}" if abs(found) >= 1e4 else f"{found:.4g}"


def fabric_name(name, system):
    """A fabric's name with its weight in one unit system alone.

    Parameters
    ----------
    name : str
        Name in the catalogue, which has both [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    str
        Shorter name [-].

    Examples
    --------
    >>> fabric_name("woven roving 600 g/m2 (18 oz/yd2)", "us"), fabric_name("cloth 6 oz/yd2 (203 g/m2)", "metric")
    ('woven roving 18 oz/yd2', 'cloth 203 g/m2')
    """
    return _WEIGHTS.sub(lambda found: (found[1] or found[4]) if system == "metric" else (found[2] or found[3]), name)


def without(unpriced):
    """What a sum of money leaves out.

    Parameters
    ----------
    unpriced : sequence of str
        Ids of materials without a price [-].

    Returns
    -------
    str
        Words that follow the sum; nothing where every price is known [-].

    Examples
    --------
    >>> without(("csm_450", "ud_400"))
    ', WITHOUT csm 450, ud 400, for which the job has no price'
    """
    return f", WITHOUT {', '.join(key.replace('_', ' ') for key in unpriced)}, for which the job has no price" if unpriced else ""


def show_table(data, digits=3):
    """A table for a notebook.

    Parameters
    ----------
    data : DataFrame
        Table with units in its column names [-].
    digits : int
        Significant digits of numbers that are not text yet [-].

    Returns
    -------
    IPython.display.HTML
        The table in house style [-].

    Examples
    --------
    >>> "<table" in show_table(frame("metric", {"thickness": ("thickness", [1.0])})).data
    True
    """
    from IPython.display import HTML

    return HTML(style.table_html(data, digits))


def left_out(job, kind, shown):
    """Which parts of a kind a notebook does not show.

    Parameters
    ----------
    job : Job
        The job [-].
    kind : {"transom", "stringer", "panel"}
        Kind of part that the notebook is about [-].
    shown : collection of str
        Names of the parts that it shows [-].

    Returns
    -------
    str
        A sentence with a blank before it; empty where it shows all [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> left_out(load_demo(), "panel", ("bottom", "sole")), left_out(load_demo(), "panel", ("sole",))
    ('', ' Not shown in this notebook: Hull bottom panel, patch from outside; its own sheet has its figures.')
    """
    others = [part.title or name for name, part in job.parts.items() if part.kind == kind and name not in shown]
    whose = "its own sheet has its figures" if len(others) == 1 else "their own sheets have their figures"
    return f" Not shown in this notebook: {'; '.join(others)}; {whose}." if others else ""


def asked_lines(asked):
    """What is to be asked about entries, as a page shows it.

    Parameters
    ----------
    asked : sequence of str
        Sentences in the units of the page [-].

    Returns
    -------
    list of str
        HTML inside a paragraph [-].

    Examples
    --------
    >>> asked_lines(["the date is later than today"])
    ['<b>Check the entry:</b> the date is later than today.']
    """
    return [f"<b>Check the entry:</b> {html.escape(line.rstrip('.'))}." for line in asked]


def show_sentence(text, asked=()):
    """A sentence that carries the answer, for a notebook.

    Parameters
    ----------
    text : str
        Plain text [-].
    asked : sequence of str
        What is to be asked about the entries, one paragraph each below it [-].

    Returns
    -------
    IPython.display.HTML
        The sentence, larger than body text [-].

    Examples
    --------
    >>> "5.51 mm" in show_sentence("It is 5.51 mm.").data
    True
    """
    from IPython.display import HTML

    lines = (html.escape(text), *asked_lines(asked))
    return HTML("".join(f'<p style="font-size:16px;line-height:1.45">{line}</p>' for line in lines))


def show_list(lines):
    """Points of equal weight, such as cautions, for a notebook.

    Parameters
    ----------
    lines : sequence of str
        Plain text [-].

    Returns
    -------
    IPython.display.HTML
        A bulleted list [-].

    Examples
    --------
    >>> show_list(["wear a mask"]).data.count("<li")
    1
    """
    from IPython.display import HTML

    return HTML("<ul>" + "".join(f"<li>{html.escape(line)}</li>" for line in lines) + "</ul>")


def show_picture(figure, alt):
    """A picture with its alternative text, for a notebook.

    Parameters
    ----------
    figure : Figure
        Figure to draw [-].
    alt : str
        What the picture shows, in a sentence [-].

    Returns
    -------
    IPython.display.HTML
        The picture [-].

    Examples
    --------
    >>> show_picture(style.new_figure()[0], "empty axes").data[:22]
    '<img alt="empty axes" '
    """
    from IPython.display import HTML

    return HTML(style.image(figure, alt))


GENERAL_CAUTIONS = (
    "These are screening figures from nominal material data, not a design approval: weigh, measure and test your own "
    "panel before you rely on them.",
    "Where a class society, flag state, insurer or local code applies, its rules and a licensed surveyor or naval "
    "architect decide, not this page.",
    "Values marked unverified are remembered or assumed: nobody has checked them against a printed text.",
)
