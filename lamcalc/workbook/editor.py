"""The schedule editor: one panel for every notebook, writing into the job that the notebooks share."""

import html

import ipywidgets as widgets
import numpy as np
import traitlets

from lamcalc import units
from lamcalc.sentences import told
from lamcalc.shop import job as jobs
from lamcalc.shop import sequence
from lamcalc.shop.burn_off import glass_words
from lamcalc.shop.screen_words import LABELS, layer_numbers, title, told_on_screen
from lamcalc.workbook import ahead, editor_drawing, editor_results, style
from lamcalc.workbook.controls import keep_keys, next_choice
from lamcalc.workbook.editor_legs import FIELD, LABEL, LegFields, leg_fields
from lamcalc.workbook.how_sure import HowSure, laminate_model
from lamcalc.workbook.job_bar import JobState
from lamcalc.workbook.panel import Part, alarm, joined
from lamcalc.workbook.turns import one_at_a_time

_KINDS = {"ply": ("reinforcement", "resin", "process", "angle_deg", "mat_side", "count"),
          "core": ("core", "thickness_mm", "angle_deg", "count"), "bond": ("reinforcement", "resin"),
          "solid": ("thickness_mm",), "coat": ("thickness_mm",)}
# values of a layer that overrule the catalogue, and the field whose record they were measured on: they go with it
_CORE_OWN = ("density_kg_m3", "e_mpa", "e2_mpa", "g_mpa", "crush_mpa", "shear_strength_mpa")
_PLY_OWN = ("glass_fraction", "thickness_mm")
_OWN = {"core": _CORE_OWN, "ply": _PLY_OWN}
_TIED = {"core": (*_CORE_OWN, "status"), "reinforcement": _PLY_OWN, "process": _PLY_OWN}
_OWN_WORDS = {"density_kg_m3": ("density", "density"), "e_mpa": ("stiffness along", "modulus"),
              "e2_mpa": ("stiffness across", "modulus"), "g_mpa": ("shear stiffness", "modulus"),
              "crush_mpa": ("crushing strength", "stress"), "shear_strength_mpa": ("shear strength", "stress"),
              "glass_fraction": ("glass content", "fraction"), "thickness_mm": ("thickness of one layer", "thickness")}


class ScheduleEditor:
    """Build a stack layer by layer and see at once what comes of it.

    Parameters
    ----------
    state : JobState
        The job at work, shared with the other panels [-].
    name : str
        Schedule of the job [-].
    on_change : callable, optional
        Called with the new job after every change [-].

    Examples
    --------
    >>> ScheduleEditor(JobState(), "transom_inner_skin").layers.options[0][0]
    '1. chopped strand mat 450 g/m2 (1.5 oz/ft2)'
    """

    def __init__(self, state, name, on_change=None):
        self.state, self.name, self._on_change, self._quiet = state, name, on_change, False
        self._answers = ahead.Answers()
        self.layers = widgets.Select(description="Layers", rows=8, layout=FIELD, style=LABEL)
        self.fields, self.hint = self._make_fields(), widgets.HTML()
        self.buttons = {words: widgets.Button(description=words, tooltip=tip) for words, tip in (
            ("Add ply", "a ply like the marked one, or mat, after it"), ("Add core", "a core after the marked layer"),
            ("Copy", "the marked layer once more, after it"), ("Remove", "take the marked layer out"),
            ("Earlier", "move the marked layer towards the first"), ("Later", "move the marked layer towards the last"),
            ("Undo", "take the last change back"))}
        acts = (self._add_ply, self._add_core, self._copy, self._remove, lambda: self._move(-1), lambda: self._move(1),
                self._undo)
        for button, act in zip(self.buttons.values(), acts):
            button.on_click(lambda _button, act=act: self._try(act))
        self.own = widgets.Text(description=LABELS["own_materials"], layout=FIELD, style=LABEL, continuous_update=False,
                                placeholder="file beside the job, such as own_materials.toml")
        self.own.observe(lambda change: self._changed("own"), "value")
        self.legs = LegFields(state, name, self._legs_entered)
        self.sentence, self.problem, self.image, self.numbers, self.findings = map(
            Part, ("lam-sentence", "lam-problem", "lam-picture", "lam-table", "lam-findings"))
        self._views = [(widgets.HTML(), parts) for parts in (
            (self.sentence, self.problem), (self.image,), (self.numbers, self.findings))]
        for view, _parts in self._views:
            view.add_class("lam-shown")
        self.switch = widgets.ToggleButtons(options=[("metric", "metric"), ("US units", "us")], description="Units",
                                            value=state.unit_system.system)
        traitlets.link((self.switch, "value"), (state.unit_system, "system"))
        self.layers.observe(lambda _change: self._marked(), "value")
        state.observe(self._follow, "job")
        state.unit_system.observe(self._follow, "system")
        wrap = widgets.Layout(flex_flow="row wrap")
        left = widgets.VBox([self.layers, widgets.HBox(list(self.buttons.values()), layout=wrap), *self.fields.values(),
                             self.hint, self.legs.box, self.own],
                            layout=widgets.Layout(width="47em", max_width="100%"))  # so that a wide window has the drawing beside
        above, beside, below = (view for view, _parts in self._views)
        self.sure = HowSure(lambda _: laminate_model(jobs.schedule(self.state.job, self.name)))
        self.sure.button.on_click(lambda _button: self._asked())
        self.box = keep_keys(widgets.VBox([self.switch, above, widgets.HBox([left, beside], layout=wrap), below,
                                           self.sure.box]))
        self.refresh()

    def _make_fields(self):
        look = {"style": LABEL, "layout": FIELD}
        fields = {key: widgets.Dropdown(**look) for key in ("reinforcement", "core", "resin", "process", "mat_side")}
        fields |= {"angle_deg": widgets.FloatText(step=5, **look), "thickness_mm": widgets.FloatText(**look),
                   "count": widgets.IntText(**look)}  # one with bounds would mend an entry without a word
        fields["mat_side"].options = [("down, to the layer before", "down"), ("up, to the next layer", "up")]
        for key, field in fields.items():
            field.description = LABELS[key] + (" [deg]" if key == "angle_deg" else "")
            field.observe(lambda _change, key=key: self._changed(key), "value")
        return fields

    @property
    def entries(self):
        """Layers of the schedule as the job file holds them [-]."""
        return self.state.job.schedules[self.name].layers

    @one_at_a_time
    def _try(self, act):
        try:
            self.problem.value = ""
            act()
        except ValueError as problem:
            self.problem.value = alarm(told_on_screen(problem, self.state.job, self.state.unit_system.system))
        except Exception as problem:  # whatever breaks, the user sees words and keeps the stack
            self.problem.value = alarm(f"This could not be done ({type(problem).__name__}: {problem}).")
        self._show()

    def _show(self):
        for view, parts in self._views:
            view.value = joined(parts)

    def _write(self, entries, mark):
        if not entries:
            raise ValueError("A schedule needs at least one layer. Next: change this layer instead of removing it.")
        plain = [one if isinstance(one, dict) else one.model_dump(exclude_none=True, exclude_defaults=True)
                 for one in entries]
        legs, before, self._place = self.legs.changes(entries), self.layers.value, mark
        try:
            self.state.change({f"schedules.{self.name}.layers": plain, **leg_fields(legs)})
        except ValueError:
            self._place = before
            raise
        if self._on_change:
            self._on_change(self.state.job)
        self._say(self.legs.words(legs))

    def _insert(self, entry):
        entries, here = list(self.entries), self.layers.value
        self._write([*entries[:here + 1], entry, *entries[here + 1:]], here + 1)

    def _add_ply(self):
        like = self.entries[self.layers.value]
        plies = [one for one in self.entries if one.kind == "ply"]
        like = like if like.kind == "ply" else (plies[0] if plies else None)
        self._insert({"kind": "ply", "reinforcement": like.reinforcement if like else "csm_450",
                      "resin": like.resin if like else "iso_polyester", "process": like.process if like else "hand"})

    def _add_core(self):
        core = self.fields["core"].options[0][1]
        self._insert({"kind": "core", "core": core, "thickness_mm": 12.0})

    def _copy(self):
        self._insert(self.entries[self.layers.value])

    def _remove(self):
        here = self.layers.value
        entries = list(self.entries)
        self._write(entries[:here] + entries[here + 1:], max(0, here - 1))

    def _move(self, step):
        entries, here = list(self.entries), self.layers.value
        there = here + step
        if not 0 <= there < len(entries):
            raise ValueError("The layer is already at the end of the list. Next: mark another layer to move.")
        entries[here], entries[there] = entries[there], entries[here]
        self._write(entries, there)

    @one_at_a_time
    def _changed(self, key):
        if self._quiet:
            return
        if key == "own":
            self._try(self._use_own)
            return
        value = self.fields[key].value
        if key == "thickness_mm":
            value = float(np.round(units.from_system(value, "thickness", self.state.unit_system.system), 6))
        self._place, before = self.layers.value, getattr(self.entries[self.layers.value], key, None)
        ahead.stop()
        self._try(lambda: self._set(key, value))
        self._marked()  # a refused entry goes back to what the stack holds
        self._look_ahead(key, before)

    def _look_ahead(self, key, before):
        """Work out what the next entry of a list would make of the stack."""
        choices = [choice for _words, choice in getattr(self.fields[key], "options", ())]
        if before not in choices or self.fields[key].value == before:
            return
        further = next_choice(choices, before, self.fields[key].value)
        if further is not None and self._answers.quick:
            changes = self._entry(key, further)
            ahead.soon(lambda: self._shown(self.state.changed(changes)))

    def _use_own(self):
        changes = {"own_materials": self.own.value.strip() or None}
        jobs.catalogue(jobs.update(self.state.job, changes))  # a file that cannot be used is refused here
        self.state.change(changes)

    def _set(self, key, value):
        entry, changes = self.entries[self._place], self._entry(key, value)
        legs = []
        if key == "count" and entry.kind == "ply":
            entries = list(self.entries)
            entries[self._place] = entry.model_copy(update={"count": value})
            legs = self.legs.changes(entries)
        self.state.change({**changes, **leg_fields(legs)})
        if self._on_change:
            self._on_change(self.state.job)
        self._say(self.legs.words(legs))
        gone = _own_words(entry, self.state.unit_system.system) if len(changes) > 1 else ""
        if gone:
            self._say(f"Taken out with it: {gone}, own figures of what was there "
                      "before. The catalogue's count now; Undo brings them back.")

    def _legs_entered(self, entered):
        """Give a stringer other legs; `entered` reads the part and its legs from the field."""
        ahead.stop()
        self._try(lambda: self._set_legs(*entered()))
        self.legs.fill()  # a refused entry goes back to what the part holds

    def _set_legs(self, part, legs):
        if tuple(legs) != self.state.job.parts[part].legs_mm:
            self.state.change({f"parts.{part}.legs_mm": legs})
            if self._on_change:
                self._on_change(self.state.job)

    def _entry(self, key, value):
        """Change of a field, without the own figures of the record that it replaces."""
        layer, entry = f"schedules.{self.name}.layers[{self._place}]", self.entries[self._place]
        gone = [] if value == getattr(entry, key) else [one for one in _TIED.get(key, ()) if getattr(entry, one, None) is not None]
        return {f"{layer}.{key}": value, **{f"{layer}.{one}": None for one in gone}}

    def _undo(self):
        before = self.state.job.schedules
        self.state.undo()
        after = self.state.job.schedules
        other = [title(self.state.job, name) for name, entry in after.items() if entry != before.get(name)]
        if other and before.get(self.name) == after.get(self.name):
            self._say(f"Taken back in another schedule: {', '.join(other)}.")

    def _say(self, words):
        self.problem.value = f"<p>{html.escape(words)}</p>" if words else ""

    _place = 0

    def refresh(self):
        """Show the job's schedule as it is now."""
        self._try(self._refresh)

    @one_at_a_time
    def _follow(self, change):
        self.refresh()
        if change["name"] == "system":
            self.sure.use(self.state.unit_system.system)
        else:
            self.sure.forget()

    @one_at_a_time
    def _asked(self):
        self.sure.ask(self.name, self.state.unit_system.system)

    def close(self):
        """Stop following the job, when another editor takes the place of this one."""
        self.state.unobserve(self._follow, "job")
        self.state.unit_system.unobserve(self._follow, "system")

    def _refresh(self):
        self.sentence.value = self.image.value = self.numbers.value = self.findings.value = ""
        shop = jobs.catalogue(self.state.job)
        self._quiet = True
        try:
            self._fill(shop)
        finally:
            self._quiet = False
        self._marked()
        _job, self.sentence.value, self.image.value, self.numbers.value, self.findings.value = self._shown(self.state.job)

    def _shown(self, job):
        """Sentence, drawing, table and findings of the schedule in a job, remembered or made; the job first."""
        system = self.state.unit_system.system
        return self._answers.of((id(job), jobs.own_materials_mark(job), system), lambda: (job, *self._made(job, system)))

    def _made(self, job, system):
        schedule = jobs.schedule(job, self.name)
        found = sequence.review(schedule, sequence.Context(laid=job.schedules[self.name].laid))
        columns = ["severity", "layers", "what is wrong", "what to do"]
        return (f'<p style="font-size:15px">{html.escape(editor_results.sentence(schedule, found, system))}</p>',
                editor_drawing.drawing(schedule, found, system),
                style.table_html(editor_results.numbers(schedule, job.prices.currency, system)),
                style.table_html(found.table(system)[columns]) if found.findings else "")

    def _fill(self, shop):
        entries = self.entries
        names = {"ply": shop.reinforcements, "bond": shop.reinforcements, "core": shop.cores}
        # numbers as in the drawing and the findings, where every layer counts as often as it is laid
        numbers = layer_numbers(self.state.job, self.name)
        words = [(f"{number}. {self._layer_words(one, names)}", k) for k, (number, one) in enumerate(zip(numbers, entries))]
        place = min(self._place, len(entries) - 1)
        with self.layers.hold_sync():
            if tuple(words) != tuple(self.layers.options):
                self.layers.options = words
            self.layers.value = place
        lists = {"reinforcement": shop.reinforcements, "core": shop.cores, "process": shop.processes,
                 "resin": {k: r for k, r in shop.resins.items() if r.family != "gel_coat"}}
        for key, records in lists.items():
            options = tuple((record.name, name) for name, record in records.items())
            if options != tuple(self.fields[key].options):
                self.fields[key].options = options
        self.legs.fill()
        self.own.value = self.state.job.own_materials or ""
        label = units.unit_label("thickness", self.state.unit_system.system)
        self.fields["thickness_mm"].description = f"{LABELS['thickness_mm']} [{label}]"
        self.buttons["Undo"].disabled = not self.state.can_undo

    @one_at_a_time
    def _marked(self):
        """Show the fields that the marked layer has, with its values."""
        if self._quiet or self.layers.value is None:
            return
        self._place = self.layers.value
        entry = self.entries[self._place]
        shown = _KINDS.get(entry.kind, ())
        self._quiet = True
        try:
            for key, field in self.fields.items():
                field.layout.display = None if key in shown else "none"
                if key in shown:
                    value = getattr(entry, key)
                    field.value = float(units.to_system(value, "thickness", self.state.unit_system.system)) \
                        if key == "thickness_mm" else value
        finally:
            self._quiet = False
        hint = self._hint_words(entry)
        self.hint.value = f'<p style="line-height:1.3;max-width:46em">{html.escape(hint)}</p>' if hint else ""

    def _hint_words(self, entry):
        """What counts for the marked layer although no field shows it."""
        system = self.state.unit_system.system
        if entry.kind == "include":
            return f"To change these layers choose the schedule '{title(self.state.job, entry.schedule)}' above."
        if entry.kind == "solid":
            if entry.glass_fraction is not None:
                return f"{told(glass_words(entry), system, capital=True)}; the rest of it stands in the job file."
            return f"Stiffness along {units.show(entry.e_mpa, 'modulus', system)}; the rest of it stands in the job file."
        if getattr(entry, "putty_thickness_mm", 0):
            return f"Besides, {units.show(entry.putty_thickness_mm, 'thickness', system)} of putty; its figures stand in the job file."
        own = _own_words(entry, system)
        return f"Own figures of the job file overrule the catalogue: {own}. Another choice above takes them out." if own else ""

    def _layer_words(self, entry, names):
        """A layer in the list; what tells two layers of one material apart stands before a name that may be cut."""
        if entry.kind == "include":
            return f"all of '{title(self.state.job, entry.schedule)}'"
        if entry.kind in names:
            key = getattr(entry, "core", None) or entry.reinforcement
            name = names[entry.kind][key].name if key in names[entry.kind] else key
            many = f"{entry.count} x " if getattr(entry, "count", 1) > 1 else ""
            angle = f"turned {entry.angle_deg:g} deg: " if getattr(entry, "angle_deg", 0) else ""
            name = many + angle + ("bond: " if entry.kind == "bond" else "") + name
        else:
            name = "gel coat" if entry.kind == "coat" else entry.name
        thick = getattr(entry, "thickness_mm", None)
        return name if thick is None else f"{units.show(thick, 'thickness', self.state.unit_system.system)} {name}"


def _own_words(entry, system):
    """Figures of a layer that overrule the catalogue."""
    own = [(*_OWN_WORDS[name], getattr(entry, name)) for name in _OWN.get(entry.kind, ()) if getattr(entry, name) is not None]
    return ", ".join(f"{words} {units.show(value, kind, system)}" for words, kind, value in own)


def schedule_editor(job_or_state, name, on_change=None):
    """The schedule editor for a notebook.

    Parameters
    ----------
    job_or_state : Job or JobState
        A job, or the state that a job bar and other panels share [-].
    name : str
        Schedule of the job [-].
    on_change : callable, optional
        Called with the new job after every change [-].

    Returns
    -------
    ScheduleEditor
        Its `box` is what a notebook shows, its `state` holds the job [-].

    Raises
    ------
    InputError
        If the job has no such schedule.

    Examples
    --------
    >>> schedule_editor(jobs.load_demo(), "transom_inner_skin").state.unsaved
    False
    """
    from lamcalc.errors import InputError

    state = job_or_state if isinstance(job_or_state, JobState) else JobState(job_or_state)
    if name not in state.job.schedules:
        raise InputError("schedule", "must be one of " + ", ".join(state.job.schedules) + " [-]", name, "choose one")
    return ScheduleEditor(state, name, on_change)
