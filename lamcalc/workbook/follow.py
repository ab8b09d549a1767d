"""A live panel that follows the job at work, which the editor below it in the same notebook changes."""

import html

import ipywidgets as widgets

from lamcalc.workbook import ahead
from lamcalc.workbook.controls import UnitSystem
from lamcalc.workbook.turns import one_at_a_time

_SAME = "This panel follows the job: what is changed in the editor below shows here too."
_CHANGED = ("{what} changed, and this panel shows it as it is now. The answer, tables and pictures of the notebook still "
            "show it as it was. To bring them up to date, {first}choose Run > Run All Cells.")


class Followed:
    """A page whose live panel can answer for another job; `_asked` is the name that it was asked for.

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> from lamcalc.workbook.page_thickness import ThicknessPage
    >>> ThicknessPage(job.load_demo(), "transom_board").again(job.load_demo()).name
    'transom_board'
    """

    def again(self, job):
        """The same page of another job.

        Parameters
        ----------
        job : Job
            The job [-].

        Returns
        -------
        Followed
            Page in the units of that job [-].
        """
        return type(self)(job, self._asked)

    def retake(self, panel):
        """Let a panel that was made for another job answer for this one.

        Parameters
        ----------
        panel : Panel
            As `panel` makes it [-].
        """
        panel.take(**self._takes())

    def _takes(self):
        """What `Panel.take` gets."""
        raise NotImplementedError


class Following:
    """A page's live panel and a notice that says which job it shows.

    Parameters
    ----------
    page : Followed
        Page of the job as the notebook opened it [-].
    state : JobState
        The job at work; the workbench of the notebook gets the same [-].

    Notes
    -----
    One unit system for the notebook, that of the job: the switch of the panel is that of the job bar.  The panel takes up
    a change when nobody has pressed a key for a moment, so that no key in the editor waits for it.

    Examples
    --------
    >>> from lamcalc.workbook.job_bar import JobState
    >>> from lamcalc.workbook.page_thickness import ThicknessPage
    >>> state = JobState()
    >>> follower = Following(ThicknessPage(state.job), state)
    >>> state.take(state.changed({"units": "us"}), unsaved=True)
    >>> " in thick at" in follower.panel.sentence.value, "Run All Cells" in follower.notice.value
    (True, True)
    """

    def __init__(self, page, state):
        self._page, self._state, self._quiet = page, state, False
        self.panel = page.panel(UnitSystem(system=state.unit_system.system))
        self.notice = widgets.HTML()
        self.notice.add_class("lam-notice")
        self.box = widgets.VBox([self.notice, self.panel.box])
        self._late = ahead.Late(self._take_up)
        self.panel.switch.observe(lambda _change: self._switched(), "value")
        state.unit_system.observe(lambda _change: self._show_units(), "system")
        state.observe(lambda _change: self._tell(), ["job", "unsaved"])
        state.observe(lambda _change: self._late.ask(), "job")
        self._tell()
        if state.job is not page.job:  # the cell of the panel was run again after a change
            self._late.ask()

    @one_at_a_time
    def _switched(self):
        """The switch of the panel was pressed: the units are the job's, as on the job bar."""
        pressed = self.panel.switch.value
        if self._quiet or pressed == self._state.job.units:
            return
        try:
            self._state.use_units(pressed)
        except (ValueError, OSError) as problem:
            self._show_units()
            self._say(f"The units could not be changed: {problem}", alert=True)

    @one_at_a_time
    def _show_units(self):
        self._quiet = True
        try:
            self.panel.unit_system.system = self._state.unit_system.system
        finally:
            self._quiet = False

    @one_at_a_time
    def _take_up(self):
        """Let the panel answer for the job at work, or say why it cannot."""
        try:
            page = self._page.again(self._state.job)
        except ValueError as problem:
            self.panel.take(_Refusing(problem))
        else:
            page.retake(self.panel)

    def _tell(self):
        job = self._state.job
        if job.text == self._page.job.text:
            self._say(_SAME)
            return
        first = "" if not self._state.unsaved else "press Save below, then " if job.source_path else (
            "write a name for the job's file below and press Save as, then ")
        self._say(_CHANGED.format(first=first, what="The unit system of the job has" if self._only_units() else "The job has"))

    def _only_units(self):
        now, then = (job.model_dump(exclude={"units"}) for job in (self._state.job, self._page.job))
        return now == then

    def _say(self, words, *, alert=False):
        role = ' role="alert"' if alert else ""
        # the room is kept, so that the editor below stays where it is
        self.notice.value = f'<p{role} style="line-height:1.3;min-height:2.6em;max-width:76em">{html.escape(words)}</p>'


class _Refusing:
    """Stands for the computation of a page that cannot be made of the job."""

    def __init__(self, problem):
        self._problem = problem

    def __call__(self, **_values):
        raise self._problem.with_traceback(None)


def following(page, state):
    """The live panel for a notebook that has the schedule editor too.

    Parameters
    ----------
    page : Followed
        Page of the job as the notebook opened it [-].
    state : JobState
        The job at work; give the same to `workbench` [-].

    Returns
    -------
    Following
        Its `box` is what a notebook shows [-].

    Examples
    --------
    >>> from lamcalc.workbook.job_bar import JobState
    >>> from lamcalc.workbook.page_thickness import ThicknessPage
    >>> state = JobState()
    >>> "follows the job" in following(ThicknessPage(state.job), state).notice.value
    True
    """
    return Following(page, state)
