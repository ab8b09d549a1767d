"""Legs of stringers in the schedule editor: a field for every stringer that is laid with the schedule."""

import html
from types import SimpleNamespace

import ipywidgets as widgets

from lamcalc import units
from lamcalc.sentences import told
from lamcalc.shop import job_legs
from lamcalc.shop.screen_words import LABELS, title
from lamcalc.workbook.turns import one_at_a_time

LABEL = {"description_width": "9em"}
FIELD = {"width": "46em", "max_width": "100%"}  # not a Layout: whoever shares one hides with the others


def leg_fields(changes):
    """Changes of legs as fields of the job.

    Parameters
    ----------
    changes : sequence of LegChange
        What other plies make of the legs [-].

    Returns
    -------
    dict of str to list of float
        Legs by field path [mm].

    Examples
    --------
    >>> leg_fields([job_legs.LegChange("stringers", "Two stringers", (75.0,), (75.0, 100.0))])
    {'parts.stringers.legs_mm': [75.0, 100.0]}
    """
    return {f"parts.{one.part}.legs_mm": list(one.after) for one in changes}


class LegFields:
    """The fields, none where no stringer is laid with the schedule.

    Parameters
    ----------
    state : JobState
        The job at work [-].
    name : str
        Schedule of the job [-].
    on_entry : callable
        Called after an entry with a function that reads it: part and legs, or a refusal [-].

    Examples
    --------
    >>> from lamcalc.workbook.job_bar import JobState
    >>> legs = LegFields(JobState(), "stringer_skin", print)
    >>> legs.fill()
    >>> legs.fields["stringers"].value
    '75, 100'
    """

    def __init__(self, state, name, on_entry):
        self._state, self._name, self._on_entry, self._quiet = state, name, on_entry, False
        self.fields, self.box = {}, widgets.VBox()

    def fill(self):
        """Show the legs of the job as it is now, in the units of the page."""
        job, system = self._state.job, self._state.unit_system.system
        parts = job_legs.legged_parts(job, self._name)
        if parts != list(self.fields):
            self._make(parts)
        self._quiet = True
        try:
            for part, field in self.fields.items():
                field.description = f"{LABELS['legs_mm']} [{units.unit_label('small_length', system)}]"
                field.value = job_legs.legs_text(job.parts[part].legs_mm, system)
        finally:
            self._quiet = False

    def _make(self, parts):
        self.fields = {part: widgets.Text(layout=FIELD, style=LABEL, continuous_update=False) for part in parts}
        shown = []
        for part, field in self.fields.items():
            field.observe(lambda _change, part=part: self._changed(part), "value")
            whose = html.escape(title(self._state.job, part))
            shown += [field, widgets.HTML(
                f'<p style="line-height:1.3;max-width:46em">How far each ply of &quot;{whose}&quot; reaches out on the plating, '
                "on each side: one length a ply, in the order laid.</p>")]
        self.box.children = shown

    @one_at_a_time
    def _changed(self, part):
        if not self._quiet:
            self._on_entry(lambda: (part, job_legs.legs_entered(
                self.fields[part].value, self._state.job.parts[part].legs_mm, self._state.unit_system.system)))

    def changes(self, entries):
        """What other layers of the schedule make of the legs.

        Parameters
        ----------
        entries : sequence of layers
            Layers after the change, as the job has them or, those that are new, as fields [-].

        Returns
        -------
        list of LegChange
            Empty where no leg changes [-].

        Raises
        ------
        InputError
            As `leg_changes`.
        """
        return job_legs.leg_changes(self._state.job, self._name, [
            SimpleNamespace(**{"count": 1, **one}) if isinstance(one, dict) else one for one in entries])

    def words(self, changes):
        """What happened to the legs and what can be done about it.

        Parameters
        ----------
        changes : sequence of LegChange
            As `changes` gave them [-].

        Returns
        -------
        str
            Sentences in the units of the page; nothing where no leg changed [-].
        """
        system = self._state.unit_system.system
        done = " ".join(told(one.words(), system) for one in changes)
        return changes and f"{done} Other legs can be entered in the field {LABELS['legs_mm']}; Undo takes plies and legs back."
