"""What notebook 00 shows: where to go for the job of the day."""

import html
from dataclasses import dataclass
from pathlib import Path

from lamcalc.workbook import tables


@dataclass(frozen=True)
class Step:
    """One notebook of the workbook.

    Parameters
    ----------
    task : str
        What the user is doing [-].
    question : str
        Question that the notebook answers [-].
    file : str
        Notebook beside the index [-].
    need : str
        What to have at hand [-].

    Examples
    --------
    >>> STEPS[0].file
    '01_ply_thickness.ipynb'
    """

    task: str
    question: str
    file: str
    need: str


STEPS = (
    Step("Choosing or checking fabrics", "How thick, heavy and dear will these plies be?", "01_ply_thickness.ipynb",
         "fabric weights, resin, how it is laid, a caliper reading if there is one"),
    Step("Drawing up a schedule, or one ply went down wrong", "Which way should the plies run?",
         "02_ply_orientation.ipynb", "the order and angles of the plies"),
    Step("Rebuilding a transom", "Which core goes into the transom?", "03_transom_cores.ipynb",
         "outline, engine mass, clamping window, the skins that stay"),
    Step("Rebuilding stringers", "How big must the stringers be?", "04_stringer.ipynb",
         "span, spacing, former, plies, what is on the hull now"),
    Step("Repairing a bottom or sole", "Is the panel thick and stiff enough?", "05_panels.ipynb",
         "span and width between supports, load or speed, the plies"),
    Step("Ordering material", "What must be bought?", "06_takeoff.ipynb", "roll widths, prices, waste of your shop"),
    Step("Mixing and laying", "How large are the batches, and when must each be down?", "07_batches.ipynb",
         "the can's data, temperature of air and hull, people"),
    Step("Planning sequence, tapes and scarfs", "In which order does it go on, and how is it joined?",
         "08_sequence_joints.ipynb", "what the first ply goes on, gaps between sessions"),
    Step("Checking what was built", "Do the readings fit the plan?", "09_quality.ipynb",
         "thickness, mass, hardness, a burn-off if there is one"),
    Step("Handing over to the floor", "What goes on the page?", "10_page.ipynb", "the finished job file"),
    Step("Looking for a lighter, cheaper or surer laminate", "What would be lighter, cheaper, surer?",
         "11_lighter_cheaper_surer.ipynb",
         "what it must carry, what may be bought"),
    Step("Doubting a number", "How far can these numbers be trusted?", "12_how_far_to_trust_it.ipynb", "nothing"),
)
CAUTIONS = (
    "Nothing here was tested on your boat. Take a sample, weigh it, measure it, and burn or break it before you rely on it.",
    "Resin, catalyst, styrene, dust and solvents hurt people: read the safety sheets, ventilate, wear gloves, eye "
    "protection and the right mask, and never mix catalyst with accelerator directly.",
    *tables.GENERAL_CAUTIONS,
)
DAY = ("The usual order of a job is: survey what is there, fix thickness and weight of the plies, fix their direction, "
       "choose cores, size stringers and panels, order, mix, lay, and check what was built against the page.")


def present(folder="."):
    """The steps whose notebook lies in a folder, so that no link leads nowhere.

    Parameters
    ----------
    folder : str or path
        Where the index lies [-].

    Returns
    -------
    tuple of Step
        In the order of a job [-].

    Examples
    --------
    >>> present("no_such_folder")
    ()
    """
    return tuple(step for step in STEPS if (Path(folder) / step.file).is_file())


def steps(folder="."):
    """What are you doing today, and the notebook for it.

    Parameters
    ----------
    folder : str or path
        Where the index lies [-].

    Returns
    -------
    IPython.display.HTML
        Table with links [-].

    Examples
    --------
    >>> "no notebook" in steps("no_such_folder").data
    True
    """
    if not present(folder):
        return tables.show_sentence("There is no notebook beside this one. Next: open the index in its own folder.")
    from IPython.display import HTML

    head = "".join(f'<th style="text-align:left;padding:3px 10px;border-bottom:2px solid #1b2a41">{words}</th>'
                   for words in ("you are", "question", "have at hand"))
    cell = '<td style="text-align:left;padding:3px 10px;border-bottom:1px solid #d7dade">'
    rows = "".join(f'<tr>{cell}{html.escape(step.task)}</td>{cell}<a href="{step.file}">{html.escape(step.question)}</a></td>'
                   f"{cell}{html.escape(step.need)}</td></tr>" for step in present(folder))
    return HTML(f'<table style="border-collapse:collapse;font-size:14px"><thead><tr>{head}</tr></thead>'
                f"<tbody>{rows}</tbody></table>")


def order_of_a_job():
    """The usual order of a job in a sentence.

    Returns
    -------
    IPython.display.HTML
        Sentence [-].

    Examples
    --------
    >>> "survey" in order_of_a_job().data
    True
    """
    return tables.show_sentence(DAY)


def cautions():
    """What to keep in mind all day.

    Returns
    -------
    IPython.display.HTML
        List [-].

    Examples
    --------
    >>> cautions().data.count("<li>") > 3
    True
    """
    return tables.show_list(CAUTIONS)
