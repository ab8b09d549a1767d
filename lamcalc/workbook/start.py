"""How a notebook begins: the job that all notebooks share, and problems told in a sentence instead of a traceback."""

import ast
import html
import os

import ipywidgets as widgets

from lamcalc.errors import InputError
from lamcalc.sentences import told_problem
from lamcalc.shop import job as jobs
from lamcalc.workbook import style
from lamcalc.workbook.controls import keep_keys
from lamcalc.workbook.turns import one_at_a_time

_before = {}  # what the names that the running cell assigns stood for before it
_told = []  # the problem that was told last
_shown = {"system": "metric"}  # the units of the job in use


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
    In a notebook it also names the job, and from here on a cell that cannot be computed from this job shows one sentence,
    not the inside of the package.

    Examples
    --------
    >>> job_in_use().name
    'Coaching launch: transom, stringers, bottom and sole'
    """
    plain_problems()
    _told.clear()
    job = jobs.in_use(folder)
    _shown["system"] = job.units
    _name(job)
    return job


def _name(job):
    from IPython import get_ipython
    from IPython.display import HTML, display

    if get_ipython() is not None:
        kept = job.source_path.name if job.source_path else "the demo"
        units = {"metric": "metric units", "us": "US units"}[job.units]
        display(HTML(f"<p>Job: <b>{html.escape(job.name)}</b> ({html.escape(kept)}, {units})</p>"))


def other_units(job):
    """The unit system that a job does not use, for the tables that stand in both.

    Parameters
    ----------
    job : Job
        The job [-].

    Returns
    -------
    {"metric", "us"}
        Unit system [-].

    Examples
    --------
    >>> other_units(jobs.load_demo())
    'us'
    """
    return "metric" if job.units == "us" else "us"


def plain_problems(shell=None):
    """Let the notebook show what a cell cannot do as a sentence, and go on with the next cell.

    Parameters
    ----------
    shell : InteractiveShell, optional
        Shell of the kernel; the running one if not given, and nothing happens outside a notebook [-].

    Notes
    -----
    A name that such a cell should have given a value stands for its problem afterwards: the cells that use it say the same
    sentence, and none shows the figures of a job opened before.  Where LAMCALC_JOB is 'demo', as in the tests, a problem
    stays a failure: nothing of the demo may be refused.

    Examples
    --------
    >>> plain_problems()
    """
    from IPython import get_ipython

    shell = shell or get_ipython()
    if shell is not None and os.environ.get("LAMCALC_JOB") != "demo":
        shell.set_custom_exc((Exception,), _tell)
        shell.events.register("pre_run_cell", _remember)
        shell.events.register("post_run_cell", _carry_on)


def _tell(shell, kind, problem, trace, tb_offset=None):
    from IPython.display import HTML, display

    words = problem_html(problem)
    display(HTML('<p style="color:#4a5460">Nothing to show here either, for the reason above.</p>' if _told == [words] else words))
    _told[:] = [words]


def _remember(info):
    from IPython import get_ipython

    names = get_ipython().user_ns
    _before.clear()
    _before.update({name: names.get(name) for name in _assigned(info.raw_cell)})


def _carry_on(result):
    """Count a cell that told its problem as done, so that the cells below it run."""
    from IPython import get_ipython

    problem, names = result.error_in_exec, get_ipython().user_ns
    if isinstance(problem, Exception):
        result.error_in_exec = None
        names.update({name: Refused(problem) for name in _assigned(result.info.raw_cell) if names.get(name) is _before.get(name)})


def _assigned(cell):
    try:
        nodes = ast.walk(ast.parse(cell))
    except (SyntaxError, ValueError):  # commands of the notebook itself, or no Python at all
        return set()
    return {node.id for node in nodes if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store)}


class Refused:
    """Stands for what could not be made; whatever is asked of it tells why.

    Parameters
    ----------
    problem : Exception
        What went wrong [-].

    Examples
    --------
    >>> try:
    ...     Refused(InputError("span", "must be positive [mm]", -1, "measure again")).table
    ... except InputError as problem:
    ...     print(problem.next_step)
    measure again
    """

    def __init__(self, problem):
        self._problem = problem

    def __getattr__(self, name):
        if name.startswith("_"):
            raise AttributeError(name)
        raise self._problem.with_traceback(None)


def problem_html(problem):
    """A problem as a marked sentence, in the units of the job in use.

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
    >>> "Next: measure again" in problem_html(InputError("thickness", "must be positive [mm]", -1, "measure again"))
    True
    >>> "could not be computed (KeyError" in problem_html(KeyError("span"))
    True
    """
    words = told_problem(problem, _shown["system"]) if isinstance(problem, InputError | OSError) else (
        f"it could not be computed ({type(problem).__name__}: {problem}). The job is as it was.")
    return (f'<p role="alert" style="border:2px solid {style.COLOURS["alarm"]};padding:6px 10px">'
            f"This cell has nothing to show: {html.escape(words)}</p>")


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
    >>> button, said = write_button("Write", "a file", lambda: "1 file written").children[:2]
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
    return keep_keys(widgets.VBox([button, said]))
