"""What notebook 00 shows: where to go for the job of the day."""

import html
from dataclasses import dataclass

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
)
CAUTIONS = (
    "Nothing here was tested on your boat. Take a sample, weigh it, measure it, and burn or break it before you rely on it.",
    "Resin, catalyst, styrene, dust and solvents hurt people: read the safety sheets, ventilate, wear gloves, eye "
    "protection and the right mask, and never mix catalyst with accelerator directly.",
    *tables.GENERAL_CAUTIONS,
)
DAY = ("The usual order of a job is: survey what is there, fix thickness and weight of the plies, fix their direction, "
       "choose cores, then build and check against the page. Notebooks exist for the steps in the table above and for "
       "no others.")


def steps():
    """What are you doing today, and the notebook for it.

    Returns
    -------
    IPython.display.HTML
        Table with links [-].

    Examples
    --------
    >>> steps().data.count("<a href=")
    3
    """
    from IPython.display import HTML

    head = "".join(f'<th style="text-align:left;padding:3px 10px;border-bottom:2px solid #1b2a41">{words}</th>'
                   for words in ("you are", "question", "have at hand"))
    cell = '<td style="text-align:left;padding:3px 10px;border-bottom:1px solid #d7dade">'
    rows = "".join(f'<tr>{cell}{html.escape(step.task)}</td>{cell}<a href="{step.file}">{html.escape(step.question)}</a></td>'
                   f"{cell}{html.escape(step.need)}</td></tr>" for step in STEPS)
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
