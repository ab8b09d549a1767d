"""One job for all notebooks: choose, change, save; a recovery copy follows every change."""

import html
from pathlib import Path

import ipywidgets as widgets
import traitlets

from lamcalc.errors import InputError
from lamcalc.sentences import told_problem
from lamcalc.shop import job as jobs
from lamcalc.workbook import ahead, style
from lamcalc.workbook.controls import UnitSystem, keep_keys
from lamcalc.workbook.turns import one_at_a_time

_FIELD = widgets.Layout(width="26em", max_width="100%")


class JobState(traitlets.HasTraits):
    """The job at work, what of it is saved, and the unit system.

    Parameters
    ----------
    job : Job, optional
        Job to start from; the job in use if not given [-].
    unit_system : UnitSystem, optional
        Shared unit switch; the job's units if not given [-].

    Notes
    -----
    Hand the same state to every panel of a notebook, and watch it with ``state.observe(function, "job")``.  Where the units
    of the job change, the unit system follows; the switch of a panel moves the unit system alone.

    Examples
    --------
    >>> JobState().unsaved
    False
    """

    job = traitlets.Any()
    unsaved = traitlets.Bool(False)

    def __init__(self, job=None, unit_system=None):
        super().__init__()
        job = jobs.in_use() if job is None else job
        self._before, self._changed, self._copy_waits = [], ahead.Answers(), False
        self.unit_system = unit_system or UnitSystem(system=job.units)
        self.take(job)

    def take(self, job, *, unsaved=False):
        """Work on another job from now on; its units come with it.

        Parameters
        ----------
        job : Job
            The job [-].
        unsaved : bool
            Whether it holds changes that its file lacks [-].
        """
        self._before.clear()
        self._copy_waits = False
        self._saved_text = None if unsaved else job.text
        self.unit_system.system = job.units
        self._show(job)

    def _show(self, job):
        if self.job is not None and job.units != self.job.units:
            self.unit_system.system = job.units
        self.unsaved = job.text != self._saved_text
        self.job = job

    def change(self, changes):
        """Change fields of the job, remember the job before, and write the recovery copy.

        Parameters
        ----------
        changes : mapping of str to object
            Value by field path, as `lamcalc.shop.job.update` takes it [-].
        """
        self._put(self.changed(changes), copy_waits=False)

    def use_units(self, system):
        """Change the units of the job like any other field, but leave a recovery copy that waits to be brought back.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].
        """
        waits = self._copy_waits or not self.unsaved and self._copy_there()
        self._put(self.changed({"units": system}), copy_waits=waits)

    def _copy_there(self):
        try:
            return jobs.read_recovery(self.job) is not None
        except ValueError:  # damaged, but somebody's work
            return True

    def _put(self, changed, *, copy_waits):
        self._before.append(self.job)
        self._show(changed)
        self._copy_waits = copy_waits
        if not copy_waits:
            jobs.write_recovery(changed)

    def changed(self, changes):
        """The job with some fields changed, checked but not yet at work.

        Parameters
        ----------
        changes : mapping of str to object
            As for `change` [-].

        Returns
        -------
        Job
            The changed job, the same one if it is asked for again [-].
        """
        job = self.job
        # the answer holds the job before too, so that no other job can get its number
        return self._changed.of((id(job), jobs.own_materials_mark(job), repr(changes)), lambda: (job, jobs.update(job, changes)))[1]

    @property
    def can_undo(self):
        """Whether there is a change to take back [-]."""
        return bool(self._before)

    def undo(self):
        """Take the last change back; nothing happens where there is none."""
        if self._before:
            self._show(self._before.pop())
            if self._copy_waits:
                return
            if self.unsaved:
                jobs.write_recovery(self.job)
            else:
                jobs.discard_recovery(self.job)

    def save(self, path=None):
        """Save the job.

        Parameters
        ----------
        path : str or path, optional
            File to save to; the job's own if not given [-].
        """
        old = self.job
        if path is None and jobs.changed_on_disk(old):
            raise ValueError("The file was changed by another notebook since it was opened, or is gone; nothing was "
                             "written. Next: save under another name, then compare the two.")
        saved = jobs.save(old, path)
        jobs.discard_recovery(old)
        self._before.clear()
        self._saved_text = saved.text
        self._show(saved)


def _state_in_use():
    """The state of the job in use; where its file cannot be opened the demo's, and the sentence of why."""
    try:
        return JobState(), None
    except InputError as problem:
        return JobState(jobs.load_demo()), f"{problem} The other notebooks cannot open it either: open or start a job here, or press Demo."


def _found(written):
    """Path of a job file as somebody writes it: with or without its ending, in quotes as copied, beside the notebooks or in the
    folder above, where the command line writes a new one."""
    name = written.strip().strip("\"'")
    path = Path(name).expanduser() if name else Path(".")
    if not path.name:
        return name
    tries = [folder / (path.name + ending) for folder in (path.parent, *([Path("..")] if path.parent == Path(".") else []))
             for ending in ("", ".toml")]
    # where only the version before is left, `load` says so
    found = next((one for one in tries if one.is_file() or jobs.previous_path(one).is_file()), None)
    if found is None and path.parent == Path(".") and not path.exists():
        known = sorted({one.name for folder in (Path("."), Path("..")) for one in folder.glob("[!.]*.toml")} - {"pyproject.toml"})
        raise InputError("job file", "must lie beside the notebooks or in the folder above", name,
                         f"there are {', '.join(known[:8])}" if known else "write its whole path, folders first")
    return found or path


class JobBar:
    """Buttons to choose and save the job, a switch for its units, and a mark for unsaved changes.

    Parameters
    ----------
    state : JobState, optional
        The job at work; the job in use if not given [-].

    Examples
    --------
    >>> "all saved" in JobBar().mark.value
    True
    """

    def __init__(self, state=None):
        self.state, lost = (state, None) if state else _state_in_use()
        self.file = widgets.Text(description="Job file", placeholder="name.toml", layout=_FIELD)
        self.mark, self.message = widgets.HTML(), widgets.HTML()
        self.mark.add_class("lam-job")
        self.message.add_class("lam-problem")
        self.buttons = {words: widgets.Button(description=words, tooltip=tip) for words, tip in (
            ("Open", "open the job file named on the left"), ("Save", "save to the job's own file"),
            ("Save as", "save under the name on the left"), ("New job", "start a blank job"),
            ("Demo", "open the invented demo job"), ("Undo", "take the last change back"),
            ("Bring back", "open the recovery copy"))}
        for words, act in (("Open", self._open), ("Save", self.state.save), ("Save as", self._save_as),
                           ("New job", lambda: self._leave(self._new)), ("Demo", lambda: self._leave(self._demo)),
                           ("Undo", self.state.undo), ("Bring back", self._bring_back)):
            self.buttons[words].on_click(lambda _button, act=act: self._try(act))
        self.switch = widgets.ToggleButtons(options=[("metric", "metric"), ("US units", "us")], description="Units",
                                            value=self.state.job.units)
        self.switch.observe(lambda _change: self._switched(), "value")
        self.state.observe(lambda _change: self._show_units(), "job")
        self.state.observe(lambda _change: self._show(), ["job", "unsaved"])
        self._insist, self._note = None, ""
        self.box = keep_keys(widgets.VBox([widgets.HBox([self.file, *self.buttons.values()],
                                                        layout=widgets.Layout(flex_flow="row wrap")),
                                           self.switch, self.mark, self.message]))
        self._show()
        if lost:
            self._say(lost)
        elif not self.state.unsaved:
            self._try(lambda: self._offer(self.state.job))

    @one_at_a_time
    def _try(self, act):
        try:
            self.message.value = ""
            act()
            self._show()
        except ValueError as problem:
            self._say(told_problem(problem, self.state.job.units))
        except Exception as problem:  # the user keeps the job whatever breaks
            self._say(f"This did not work ({type(problem).__name__}: {problem}). The job is as it was.")

    def _say(self, sentence):
        self.message.value = f'<p role="alert" style="color:{style.COLOURS["alarm"]}">{html.escape(sentence)}</p>'

    def _switched(self):
        """The units are the job's: to press the switch is a change like any other; to show what the job has is none."""
        pressed = self.switch.value
        if pressed != self.state.job.units:
            self._try(lambda: self.state.use_units(pressed))
            self._show_units()

    def _show_units(self):
        self.switch.value = self.state.job.units

    def _leave(self, act):
        """Leave a job with unsaved changes only when asked twice."""
        if self.state.unsaved:
            self._ask_twice(act.__name__, "The job has unsaved changes. Next: save it, or press the same button again to leave "
                                          "them in the recovery copy.")
        act()

    def _ask_twice(self, what, sentence):
        """Go on where the same was asked of the same job just before; else say what that would do."""
        asked = what, self.file.value, self.state.job
        if self._insist is None or self._insist[:2] != asked[:2] or self._insist[2] is not asked[2]:
            self._insist = asked
            raise ValueError(sentence)
        self._insist = None

    def _open(self):
        name = _found(self.file.value)

        def load():
            job = jobs.load(name)
            self.state.take(job)
            self._use(job)
            self._offer(job)
        self._leave(load)

    def _demo(self):
        job = jobs.load_demo()
        self.state.take(job)
        self._use(job)
        self._offer(job)

    def _new(self):
        name = self.file.value.strip().removesuffix(".toml") or "new job"
        self.state.take(jobs.new(name, units=self.state.job.units), unsaved=True)

    def _save_as(self):
        path = self.file.value.strip()
        if not path:
            raise ValueError("A name is needed to save under. Next: write one that ends in .toml into the field.")
        path = Path(path if path.endswith(".toml") else path + ".toml")
        own = self.state.job.source_path
        if path.exists() and not (own and own.exists() and path.samefile(own)):
            self._ask_twice("save as", f"There is a file {path.name} already. Next: write another name, or press the same button "
                            f"again to replace it; the version before stays beside it as {jobs.previous_path(path).name}.")
        self.state.save(path)
        self._use(self.state.job)
        try:
            jobs.catalogue(self.state.job)
        except InputError as problem:
            raise ValueError(f"The job is saved, but cannot be worked out from there: {problem}") from None

    def _use(self, job):
        """Every notebook of this folder opens this job from now on, at its next run."""
        jobs.use(job.source_path)
        self._note = "the other notebooks take it up with Run > Run All Cells"

    def _offer(self, job):
        if jobs.read_recovery(job) is not None:
            self._say("There is a newer recovery copy with changes that were not saved. Next: press Bring back to see "
                      "them, or go on without; the next change that you make here takes its place.")

    def _bring_back(self):
        found = jobs.read_recovery(self.state.job)
        if found is None:
            raise ValueError("There is no recovery copy that is newer than this job. Next: go on with this job.")
        self.state.take(found, unsaved=True)

    def _show(self):
        job = self.state.job
        where = job.source_path.name if job.source_path else "no file yet"
        mark = "&#9679; unsaved changes" if self.state.unsaved else "all saved"
        note = f"; {self._note}" if self._note and not self.state.unsaved else ""
        self.mark.value = f"<p><b>{html.escape(job.name)}</b> ({html.escape(where)}): {mark}{note}</p>"
        self.buttons["Save"].disabled = job.source_path is None
        self.buttons["Undo"].disabled = not self.state.can_undo


def job_bar(state=None):
    """The job chooser for a notebook.

    Parameters
    ----------
    state : JobState, optional
        The job at work; the job in use if not given [-].

    Returns
    -------
    JobBar
        Its `box` is what a notebook shows, its `state` what other panels share [-].

    Examples
    --------
    >>> job_bar().state.job.source_path is None
    True
    """
    return JobBar(state)
