"""How a notebook begins: the job that all notebooks share, and problems told in a sentence instead of a traceback."""

import html

import ipywidgets as widgets

from lamcalc.errors import InputError
from lamcalc.shop import job as jobs
from lamcalc.workbook.turns import one_at_a_time


def job_in_use(folder=None):
    """The job chosen in notebook 00, the demo until then.

    Parameters
    ----------
    folder : str or path, optional
        Folder of the notebooks; the current one if not given [-].

    Returns
    -------
    Job
        The job [-].

    Raises
    ------
    JobError
        If the file of the job is gone or breaks a rule.

    Notes
    -----
    From here on a cell that cannot be computed from this job shows one sentence, not the inside of the package.

    Examples
    --------
    >>> job_in_use().name
    'Coaching launch: transom, stringers, bottom and sole'
    """
    plain_problems()
    return jobs.in_use(folder)


def plain_problems(shell=None):
    """Let the notebook show an `InputError` as a sentence.

    Parameters
    ----------
    shell : InteractiveShell, optional
        Shell of the kernel; the running one if not given, and nothing happens outside a notebook [-].

    Examples
    --------
    >>> plain_problems()
    """
    from IPython import get_ipython

    shell = shell or get_ipython()
    if shell is not None:
        shell.set_custom_exc((InputError,), _tell)


def _tell(shell, kind, problem, trace, tb_offset=None):
    from IPython.display import HTML, display

    display(HTML(problem_html(problem)))


def problem_html(problem):
    """A problem as a marked sentence.

    Parameters
    ----------
    problem : Exception
        What went wrong [-].

    Returns
    -------
    str
        HTML with the text escaped [-].

    Examples
    --------
    >>> problem_html(InputError("thickness", "must be positive [mm]", -1, "measure again"))[:52]
    '<p role="alert" style="border-left:5px solid #1b2a41'
    """
    return ('<p role="alert" style="border-left:5px solid #1b2a41;padding-left:8px">This cell has nothing to show: '
            f"{html.escape(str(problem))}</p>")


def write_button(words, tip, act):
    """A button that writes files, with the sentence of what was written or why not.

    Parameters
    ----------
    words, tip : str
        What stands on the button, and what it says when pointed at [-].
    act : callable
        Writes the files and returns a sentence; called without arguments [-].

    Returns
    -------
    VBox
        Button and sentence [-].

    Examples
    --------
    >>> button, said = write_button("Write", "a file", lambda: "1 file written").children
    >>> button.click()
    >>> said.value
    '<p>1 file written</p>'
    """
    button, said = widgets.Button(description=words, tooltip=tip), widgets.HTML()
    said.add_class("lam-sentence")

    @one_at_a_time
    def pressed(_button):
        try:
            said.value = f"<p>{html.escape(act())}</p>"
        except (ValueError, OSError) as problem:
            said.value = problem_html(problem)

    button.on_click(pressed)
    return widgets.VBox([button, said])
