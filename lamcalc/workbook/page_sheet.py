"""What notebook 10 shows: what does the crew get on paper?"""

import base64
import html
from functools import lru_cache

import pandas as pd

from lamcalc import units
from lamcalc.errors import NotThere
from lamcalc.sentences import counted
from lamcalc.shop import job as jobs
from lamcalc.shop.job_pages import job_pages
from lamcalc.shop.job_schedule import first_part
from lamcalc.shop.sheet_checks import remarks, shortfalls
from lamcalc.shop.sheet_layers import sheet_layers
from lamcalc.shop.sheet_safety import CAUTIONS
from lamcalc.shop.sheet_tables import layer_table
from lamcalc.shop.sheet_words import Words, for_print
from lamcalc.shop.stack_drawing import stack_drawing
from lamcalc.workbook import tables
from lamcalc.workbook.controls import Choice, UnitSystem
from lamcalc.workbook.panel import Panel
from lamcalc.workbook.start import write_button

_FOR = {"sheet": "the crew", "handover": "the owner and the next repairer",
        "transom_comparison": "the shop and the owner",
        "buying": "whoever orders", "cutting": "whoever cuts", "schedule": "the shop"}
_KIND = {"html": "page to print", "csv": "list for a spreadsheet"}


@lru_cache(maxsize=4)
def _kept_pages(job, system):
    return job_pages(job, system=system)


def pages(job, system=None):
    """Every page and list of a job.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Units of the pages; the job's if not given [-].

    Returns
    -------
    JobPages
        Pages by file name, problems, and everything computed [-].
    """
    return _kept_pages(job, system or job.units)  # one key whether or not the system is spelled out


def answer(job):
    """What the crew gets, in a sentence or two.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    str
        The answer [-].
    """
    found, _ = pages(job), _computed(job)
    sheets = [name for name in found.texts if name.startswith("sheet")]
    lists = [name for name in found.texts if name.endswith(".csv") and not name.startswith(("schedule", "transom"))]
    words = (f"{counted(len(sheets), 'sheet')}, one a part, with what to cut, mix, lay and write down, a handover page for the "
             f"owner, and "
             f"{counted(len(lists), 'list')} for the spreadsheet.")
    low = [work.title for work in found.whole.parts if shortfalls(work)]
    if low:
        words += f" Something does not hold, breaks a rule or is not checked, and the sheet says so on top: {'; '.join(low)}."
    open_ = [work.title for work in found.whole.parts if remarks(work.review)[0]]
    if open_:
        words += f" Something in the order of laying is to be settled first, and the sheet says so on top: {'; '.join(open_)}."
    return words + (" Not made: " + " ".join(found.problems) if found.problems else " Every part of the job has its "
                                                                                    "sheet.")


def files(job):
    """Files that are written, and for whom.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    DataFrame
        One file a row [-].
    """
    rows = [(name, _KIND[name.rsplit(".", 1)[1]], next(who for stem, who in _FOR.items() if name.startswith(stem)))
            for name in _made(job)]
    return pd.DataFrame(rows, columns=["file", "what", "for"])


def summary(job, system=None):
    """Parts with schedule, mass and smallest margin, and the buying list's sum.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        One line a row [-].
    """
    _computed(job)
    return pd.DataFrame([line.split(": ", 1) for line in pages(job, system).summary()], columns=["part", "in short"])


def drawing(job, part=None, system=None):
    """Section through the stack of a part as an HTML picture with alternative text.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str or int, optional
        Name of the part, or its place in the job from 0; the first with a chosen schedule if not given [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    str
        ``<img>`` element [-].
    """
    work = _work(job, part)
    layers, words = sheet_layers(job, work.take_off), Words(system or job.units)
    total = next(item.running_mm for item in reversed(layers) if item.running_mm is not None)
    count = sum(item.running_mm is not None for item in layers)
    thick = words.both(total, "thickness")
    alt = f"Section through {work.title}, {counted(count, 'layer')}, {thick} thick, first laid at the bottom"
    data = base64.b64encode(stack_drawing(layers, words).encode()).decode()
    return (f'<img alt="{html.escape(alt)}" style="width:100%;max-width:760px;background:#fff" '
            f'src="data:image/svg+xml;base64,{data}">')


def _computed(job):
    """Parts with everything computed; the same in both unit systems."""
    found = pages(job)
    if found.whole is None:
        raise NotThere("part that can be computed for this page",
                       " ".join(found.problems) or "enter [parts.NAME] with `chosen` in the job file")
    return found.whole.parts


def _made(job, system=None):
    """Pages and lists by file name; refused where there is none."""
    return pages(job, system).texts or _computed(job)


def _work(job, part):
    works = _computed(job)
    if isinstance(part, int):
        return works[min(part, len(works) - 1)]
    name = part or first_part(job)
    return next(work for work in works if work.name == name)


def crew_table(job, part=None, system=None):
    """Layers of a part in the order laid, as on the sheet.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str or int, optional
        Name of the part, or its place in the job from 0; the first with a chosen schedule if not given [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        Texts [-].
    """
    table = layer_table(sheet_layers(job, _work(job, part).take_off), Words(system or job.units))
    frame = pd.DataFrame([[for_print(cell) if cell else "" for cell in row] for row in table.rows],
                         columns=table.columns)
    return frame.drop(columns=["laid", "initials"])


def inputs(job, system=None):
    """What the sheets are made from and where it comes from.

    Parameters
    ----------
    job : Job
        The job [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        Name, value, unit and origin [-].
    """
    shop, system = job.shop, system or job.units
    warmth = tables.unit_words("degC", system)
    rows = [("air temperature", tables.amount(shop.air_temperature_c, "degC", system), warmth, shop.status),
            ("hull temperature", tables.amount(shop.hull_temperature_c, "degC", system), warmth, shop.status),
            ("relative humidity", f"{shop.humidity_percent:g}", "%", shop.status),
            ("crew", f"{shop.crew}", "person" if shop.crew == 1 else "people", "job"),
            ("loss of resin", f"{100 * job.waste.resin:g}", "%", "job"),
            ("loss of glass", f"{100 * job.waste.glass:g}", "%", "job")]
    rows += [(f"schedule of {name}", entry.chosen or "none chosen", "-", "job") for name, entry in job.parts.items()]
    rows.append(("prices", job.prices.date.isoformat(), job.prices.currency, "job"))
    return pd.DataFrame(rows, columns=["input", "value", "unit", "origin"])


def check(job, part=None, system=None):
    """Figures of the sheet beside the same figures by hand.

    Parameters
    ----------
    job : Job
        The job [-].
    part : str, optional
        A part with an outline and tabbing; the first such if not given [-].
    system : {"metric", "us"}, optional
        Unit system; the job's if not given [-].

    Returns
    -------
    DataFrame
        Figure, by hand, on the sheet [-].

    Notes
    -----
    By hand: glass is area times fabric weight; a tape is two legs and the arc r (180 - angle) pi/180.
    """
    import math

    def fits(one):
        return one.chosen and getattr(one, "outline", None) and getattr(one, "tabbing", None)

    if part is None and not any(map(fits, job.parts.values())):
        return pd.DataFrame({"by hand": ["not done: the job has no transom with a chosen schedule and tabbing"]})
    part = part or first_part(job, fits)
    work, entry = _work(job, part), job.parts[part]
    plies = [item for item in work.take_off.layers if item.group == "laminate" and item.glass_gsm]
    area, joint = entry.outline.area_m2, entry.tabbing
    arc = joint.fillet_radius_mm * math.radians(180 - joint.included_angle_deg)
    cut = [piece for piece in work.take_off.pieces if piece.group == "tabbing"]
    rows = [("glass in the new plies", "mass", area * sum(i.layer.reinforcement.areal_weight_gsm for i in plies) / 1e3,
             work.take_off.glass_kg("laminate"))]
    rows += [(f"width of tape {k}", "small_length", 2 * tape.leg_mm + arc, piece.across_mm)
             for k, (tape, piece) in enumerate(zip(joint.tapes, cut, strict=True), start=1)]
    shown = [(words, *(units.show(float(value), kind, system or job.units) for value in pair)) for words, kind, *pair in rows]
    return pd.DataFrame(shown, columns=["figure", "by hand", "on the sheet"])


def write(job, folder):
    """Write every page and list through the job's writer.

    Parameters
    ----------
    job : Job
        The job [-].
    folder : str or path
        Where the files go; made if it is not there [-].

    Returns
    -------
    str
        How many files went where [-].
    """
    from pathlib import Path

    texts = _made(job)
    jobs.make_folder(folder)
    jobs.write_files({Path(folder) / name: text.encode("utf-8") for name, text in texts.items()})
    return f"{len(texts)} files written to the folder {Path(folder).name}."


def writer(job, folder="lamcalc-output"):
    """A button that writes every page and list, and says where they are.

    Parameters
    ----------
    job : Job
        The job [-].
    folder : str or path
        Where the files go [-].

    Returns
    -------
    VBox
        Button and sentence [-].
    """
    return write_button("Write all pages", "sheets, handover page, buying and cutting lists", lambda: write(job, folder))


class PageFrame:
    """A whole page inside a panel.

    Parameters
    ----------
    height_px : int
        Height on the screen [px].
    """

    def __init__(self, height_px=900):
        self._height = height_px

    def draw(self, result, system):
        """The page in a frame of its own, so that its style stays inside.

        Parameters
        ----------
        result : tuple of (Job, str)
            Job and file name [-].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            ``<iframe>`` element [-].
        """
        job, name = result
        text = html.escape(pages(job, system).texts[name], quote=True)
        return (f'<iframe title="{html.escape(name)}" sandbox="allow-modals" srcdoc="{text}" '
                f'style="width:100%;height:{self._height}px;border:1px solid #9aa0a6;background:#fff"></iframe>')


def panel(job, unit_system=None):
    """Any page of the job in either unit system.

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
    titles = {f"sheet_{jobs.safe_file_name(work.name)}.html": work.title for work in _computed(job)}
    titles |= {"handover.html": "Handover page", "transom_comparison.html": "Comparison of the transom's cores"}
    options = [(titles.get(name, name), name) for name in pages(job).texts if name.endswith(".html")]
    first = next(name for _, name in options if name.startswith("sheet"))
    controls = {"name": Choice("Page", options, first)}
    return Panel(controls, lambda name: (job, name), words=lambda result, system: _words(job, result[1], system),
                 picture=PageFrame(), unit_system=unit_system or UnitSystem(system=job.units))


def _words(job, name, system):
    size = len(pages(job, system).texts[name].encode()) / 1e3
    shown = {"metric": "metric, US in brackets", "us": "US, metric in brackets"}[system]
    return f"{name}: one file of {size:.0f} kB, nothing loaded from elsewhere; {shown}. Print it on A4 or Letter."


def cautions():
    """What paper cannot promise, as HTML.

    Returns
    -------
    IPython.display.HTML
        A bulleted list [-].
    """
    return tables.show_list(CAUTIONS)
