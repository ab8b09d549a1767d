"""The printable guide: two pages for somebody who opens the workbook for the first time."""

from pathlib import Path

from lamcalc import __version__
from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.shop import job as jobs
from lamcalc.shop.sheet import environment
from lamcalc.shop.sheet_safety import CAUTIONS as SHEET_CAUTIONS
from lamcalc.shop.sheet_tables import Table
from lamcalc.shop.sheet_words import Words
from lamcalc.workbook import page_index

NOTEBOOKS = Path(__file__).resolve().parents[2] / "notebooks"
MARKS = (
    ("measured", "read on this boat, or on a coupon of this work", "keep the reading and who took it"),
    ("data sheet", "printed by the maker of the product", "check that the sheet is for the product on the bench"),
    ("source seen", "read in a printed text that is named", "rely on it as far as the text does"),
    ("common practice", "what shops do; no text stands behind it", "compare with your own habit"),
    ("computed", "follows from other figures here", "look at what it follows from"),
    ("from memory, unverified", "remembered; nobody has opened the text", "look it up before anything hangs on it"),
    ("assumed, unverified", "set so that the sum can be done", "measure it, or ask the maker"),
)
CAUTIONS = (
    *SHEET_CAUTIONS,
    "Nothing here was tested on your boat: take a sample, weigh it, measure it, burn or break it before you rely on it.",
    "Peroxide, styrene, dust and hot resin hurt people: the safety sheets of the products on your bench come first. Never mix "
    "catalyst with accelerator directly.",
)
SIGNS = Table(("what", "who decides and signs"), (
    ("engine size, weight, height, bolts, torque", "the engine maker's manual and the builder's plate"),
    ("passengers, coded, classed, chartered, insured on a survey", "a licensed designer or surveyor, under the local code"),
    ("any change of core, schedule or engine", "whoever makes it is the designer of that part, and signs as such"),
    ("what was laid, and what differed from the sheet", "the crew on the sheet, the shop on the handover page")))


def guide_page(*, system="metric", paper=None, notebooks=NOTEBOOKS):
    """The guide as self-contained HTML that prints on two pages, A4 or Letter.

    Parameters
    ----------
    system : {"metric", "us"}
        Units of the figures in it [-].
    paper : {"A4", "letter"}, optional
        Paper of the print; the printer's if not given [-].
    notebooks : str or path
        Where the notebooks lie; only those that are there are listed, or all if none is [-].

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
    >>> "The first five minutes" in guide_page(system="us")
    True
    """
    words, shop = Words(system), catalogue.load()
    other = Words(words.other)
    mat = shop.reinforcement("csm_450").areal_weight_gsm
    density = shop.core("ply_okoume").density_kg_m3
    steps = page_index.present(notebooks) or page_index.STEPS
    return environment().get_template("guide.html.j2").render(
        title="lamcalc: the first five minutes", paper=paper, steps=_steps(steps),
        marks=Table(("a value marked", "is", "so"), MARKS, css="small first"), cautions=CAUTIONS, signs=SIGNS,
        mat=words.one(mat, "mat_weight"), mat_other=other.one(mat, "mat_weight"), band=_band(density, words),
        foot=f"lamcalc {__version__}, guide in {'metric' if system == 'metric' else 'US'} units. Screening figures for a shop, "
             "no approval.")


def _steps(steps):
    rows = tuple((step.task, step.question, step.file.split("_")[0], step.need) for step in steps)
    return Table(("you are", "question", "notebook", "have at hand"), rows, css="small")


def _band(value, words):
    """A core's density with its span and its mark, as the workbook shows such a value."""
    low, high = (words.one(end, "density").split(" ")[0] for end in value.bounds)
    number, unit = words.one(value.typical, "density").split(" ")
    return f"{number} ({low} to {high}) {unit}, {value.status}"


def write_guide(path, *, system="metric", paper=None):
    """Write the guide through the job's writer.

    Parameters
    ----------
    path : str or path
        File to write, ending in .html [-].
    system : {"metric", "us"}
        Units of the figures in it [-].
    paper : {"A4", "letter"}, optional
        Paper of the print; the printer's if not given [-].

    Returns
    -------
    Path
        The file [-].

    Raises
    ------
    InputError
        If the name does not end in .html, the unit system is unknown, or the file could not be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_guide(folder + "/first_five_minutes.html").name
    'first_five_minutes.html'
    """
    if Path(path).suffix != ".html":
        raise InputError("guide", "must be written to a file whose name ends in .html [-]", Path(path).name,
                         "write a name such as first_five_minutes.html")
    return jobs.write_text(path, guide_page(system=system, paper=paper))
