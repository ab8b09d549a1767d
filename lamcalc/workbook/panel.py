"""The one pattern of every live panel: controls, a sentence, what is asked about the entries, a picture, a table, words for
problems.

A panel computes nothing: its `compute` is a call into the package.  Errors
come up in place as a sentence.  The units switch of the book changes every
label, input and table of all its panels at once.
"""

import html
from dataclasses import dataclass
from functools import partial

import ipywidgets as widgets
import traitlets

from lamcalc.sentences import told, told_problem
from lamcalc.workbook import ahead, style
from lamcalc.workbook.controls import UnitSystem, keep_keys
from lamcalc.workbook.tables import asked_lines
from lamcalc.workbook.turns import one_at_a_time


class Part:
    """One part of what a panel shows.

    Parameters
    ----------
    mark : str
        Class of its element on the page [-].
    look : str
        Style of that element [-].

    Examples
    --------
    >>> joined([Part("lam-table")])
    '<div class="lam-table" style=""></div>'
    """

    def __init__(self, mark, look=""):
        self.mark, self.look, self.value = mark, look, ""


def joined(parts):
    """Parts below each other, as HTML.

    Parameters
    ----------
    parts : sequence of Part
        From top to bottom [-].

    Returns
    -------
    str
        One ``<div>`` a part [-].

    Examples
    --------
    >>> joined([])
    ''
    """
    return "".join(f'<div class="{part.mark}" style="{part.look}">{part.value}</div>' for part in parts)


def alarm(sentence):
    """What is wrong, as HTML that a screen reader says at once.

    Parameters
    ----------
    sentence : str
        What is wrong and what to do [-].

    Returns
    -------
    str
        Paragraph, its text escaped [-].

    Examples
    --------
    >>> "a &lt; b" in alarm("a < b")
    True
    """
    return f'<p role="alert" style="color:{style.COLOURS["alarm"]};font-weight:bold">{html.escape(sentence)}</p>'


def questions(asked):
    """What is to be asked about the values tried, as HTML that a screen reader says when it has finished.

    Parameters
    ----------
    asked : sequence of str
        Sentences in the units of the panel [-].

    Returns
    -------
    str
        One paragraph each, escaped; empty where nothing is asked [-].

    Examples
    --------
    >>> questions([]), "<b>Check the entry:</b> it is little." in questions(["it is little"])
    ('', True)
    """
    return "".join(f'<p role="status" style="font-size:15px">{line}</p>' for line in asked_lines(asked))


class Panel:
    """Controls on top, then sentence, picture and table, all live.

    Parameters
    ----------
    controls : dict of str to QuantitySlider, Choice or Count
        Controls by argument name of `compute` [-].
    compute : callable
        Package call; gets the control values as keyword arguments [-].
    words : callable
        Turns (result, system) into a plain sentence [-].
    table : callable, optional
        Turns (result, system) into a DataFrame [-].
    picture : object, optional
        Has ``draw(result, system)`` returning an HTML picture [-].
    unit_system : UnitSystem, optional
        Shared unit switch; a new one if not given [-].
    idle : callable, optional
        Turns the control values into the names of the controls that have no effect now; they go grey [-].
    units_shown : bool
        Whether there is a unit switch; not where values stay in the units of their sources [-].
    table_first : bool
        Whether a long table stands above the picture, in a window of its own height that scrolls [-].
    sure : HowSure, optional
        Button below that tells the bands of what is shown [-].
    asked : callable, optional
        Turns a result into sentences for `told` that ask about the values tried; they stand below the sentence [-].

    Notes
    -----
    `sentence`, `asked`, `problem`, `image` and `numbers` hold the parts as HTML; `view` shows them all.  They travel as one
    message, because a browser that gets four of them lays the page out and paints it four times.
    """

    def __init__(self, controls, compute, *, words, table=None, picture=None, unit_system=None, idle=None, units_shown=True,
                 table_first=False, sure=None, asked=None):
        self.controls, self._compute, self._words, self._table, self._picture = controls, compute, words, table, picture
        self._idle, self._doubts, self.sure, self.result = idle, asked, sure, None
        self.unit_system = unit_system or UnitSystem()
        self.sentence, self.asked, self.problem, self.image = map(Part, ("lam-sentence", "lam-asked", "lam-problem", "lam-picture"))
        self.numbers = Part("lam-table", "max-height:460px;overflow:auto;line-height:1.25" if table_first else "")
        self._parts = (self.sentence, self.asked, self.problem,
                       *((self.numbers, self.image) if table_first else (self.image, self.numbers)))
        self.view = widgets.HTML()
        self.view.add_class("lam-shown")
        self.switch = widgets.ToggleButtons(options=[("metric", "metric"), ("US units", "us")],
                                            value=self.unit_system.system, description="Units",
                                            style={"button_width": "6.5em", "description_width": "5em"})
        self._answers, self._shown, self._quiet = ahead.Answers(), {}, False
        for name, control in controls.items():
            control.on_change(partial(self._moved, name))
        traitlets.link((self.switch, "value"), (self.unit_system, "system"))
        self.unit_system.observe(self._switched, "system")
        self.box = keep_keys(widgets.VBox([*[self.switch] * units_shown, *(getattr(c, "holder", c.widget) for c in controls.values()),
                                           self.view, *([sure.box] if sure else [])]))
        if sure:
            sure.button.on_click(lambda _button: self._asked())
        self._switched()

    @one_at_a_time
    def _switched(self, _change=None):
        for control in self.controls.values():
            control.use(self.unit_system.system)
        self._show()
        if self.sure:
            self.sure.use(self.unit_system.system)

    @one_at_a_time
    def refresh(self):
        """Compute with the present controls and show the result, or the sentence of what is wrong."""
        self._answers.forget()
        self._show()
        if self.sure:
            # an old band beside a new number would mislead
            self.sure.forget()

    @one_at_a_time
    def take(self, compute, *, words=None, table=None, picture=None, idle=None, choices=None):
        """Answer for another job from now on; what the user chose stays where the job still offers it.

        Parameters
        ----------
        compute : callable
            As for the class [-].
        words, table, picture, idle
            As for the class; those of before if not given [-].
        choices : dict of str to (sequence, object), optional
            Entries of a list and its start, by control [-].
        """
        self._compute, self._words = compute, words or self._words
        self._table, self._picture, self._idle = table or self._table, picture or self._picture, idle or self._idle
        self._quiet = True
        try:
            for name, offer in (choices or {}).items():
                self.controls[name].offer(*offer)
        finally:
            self._quiet = False
        self.refresh()

    @one_at_a_time
    def _moved(self, name):
        if self._quiet:
            return
        ahead.stop()
        before, control = self._shown[name], self.controls[name]
        self._show()
        if self.sure:
            self.sure.forget()
        further = control.further(before)
        if further is not None and self._answers.quick:
            ahead.soon(lambda: self._answer({**self._shown, name: further}))

    @one_at_a_time
    def _asked(self):
        self.sure.ask(self.result, self.unit_system.system)

    def _show(self):
        values = self._shown = {name: control.value for name, control in self.controls.items()}
        idle = self._idle(**values) if self._idle else ()
        for name, control in self.controls.items():
            control.widget.disabled = name in idle
        answer = self._answer(values)
        self.result = answer.result
        for part, value in ((self.sentence, answer.sentence), (self.asked, answer.asked), (self.image, answer.image),
                            (self.numbers, answer.numbers), (self.problem, answer.problem)):
            part.value = value
        self.view.value = joined(self._parts)

    def _answer(self, values):
        """What the panel says to these values, remembered or made; the picture is drawn anew only where it is made."""
        system = self.unit_system.system
        return self._answers.of((*values.values(), system), lambda: self._made(values, system))

    def _made(self, values, system):
        try:
            result = self._compute(**values)
            return Answer(
                result, sentence=f'<p style="font-size:15px">{html.escape(self._words(result, system))}</p>',
                asked="" if self._doubts is None else questions([told(line, system) for line in self._doubts(result)]),
                image="" if self._picture is None else self._picture.draw(result, system),
                numbers="" if self._table is None else style.table_html(self._table(result, system)))
        except ValueError as error:
            said = told_problem(error, system)
        except Exception as error:  # whatever else breaks, the user sees words and keeps the controls
            said = f"This could not be computed ({type(error).__name__}: {error})."
        # an old result beside a new question would mislead
        return Answer(problem=alarm(said))


@dataclass(frozen=True)
class Answer:
    """What a panel shows for one set of values, as HTML, with the result behind it."""

    result: object = None
    sentence: str = ""
    asked: str = ""
    image: str = ""
    numbers: str = ""
    problem: str = ""
