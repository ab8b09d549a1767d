"""The workbench: job bar, choice of a schedule, and the schedule editor, the same in every notebook."""

import ipywidgets as widgets

from lamcalc.shop.job_schedule import first_schedule
from lamcalc.workbook.controls import keep_keys
from lamcalc.workbook.editor import schedule_editor
from lamcalc.workbook.job_bar import JobState, job_bar
from lamcalc.workbook.turns import one_at_a_time


class Workbench:
    """Job bar with a schedule editor below.

    Parameters
    ----------
    job : Job or JobState
        The job to start from, or the state that other panels of the notebook share [-].
    name : str, optional
        Schedule to start with; the first that will do if not given [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> bench = Workbench(load_demo())
    >>> bench.choice.value, bench.editor.name
    ('transom_inner_skin', 'transom_inner_skin')
    """

    def __init__(self, job, name=None):
        self.state = job if isinstance(job, JobState) else JobState(job)
        self.bar = job_bar(self.state)
        self.choice = widgets.Dropdown(description="Schedule", layout=widgets.Layout(width="40em", max_width="100%"))
        self.place, self.editor, self._job_name = widgets.VBox(), None, None
        self.box = keep_keys(widgets.VBox([self.bar.box, self.choice, self.place]))
        self._offer(name)
        self.choice.observe(lambda _change: self._open(), "value")
        self.state.observe(lambda _change: self._job_changed(), "job")

    def _offer(self, name=None):
        """Fill the list of schedules; called again for another job."""
        schedules = self.state.job.schedules
        self._job_name = self.state.job.name
        self.choice.options = [(entry.title or key.replace("_", " "), key) for key, entry in schedules.items()]
        if schedules:
            self.choice.value = name if name in schedules else first_schedule(self.state.job)
        self._open()

    @one_at_a_time
    def _open(self):
        name = self.choice.value
        if name is None:
            self._drop()
            self.place.children = (widgets.HTML(
                "<p>This job has no schedule yet. Enter [schedules.NAME] with its layers in the job file, save it, and press Open.</p>"),)
        elif self.editor is None or self.editor.name != name:
            self._drop()
            self.editor = schedule_editor(self.state, name)
            self.editor.switch.layout.display = "none"  # the job bar has it
            self.place.children = (self.editor.box,)

    @one_at_a_time
    def _job_changed(self):
        if set(key for _, key in self.choice.options) != set(self.state.job.schedules) or self._job_name != self.state.job.name:
            self._drop()
            self._offer(self.choice.value)

    def _drop(self):
        if self.editor is not None:
            self.editor.close()
        self.editor = None


def workbench(job, name=None):
    """The workbench for a notebook.

    Parameters
    ----------
    job : Job or JobState
        The job to start from, or the state that other panels of the notebook share [-].
    name : str, optional
        Schedule to start with; the first that will do if not given [-].

    Returns
    -------
    Workbench
        Its `box` is what a notebook shows [-].

    Examples
    --------
    >>> from lamcalc.shop.job import load_demo
    >>> len(workbench(load_demo()).box.children)
    4
    """
    return Workbench(job, name)
