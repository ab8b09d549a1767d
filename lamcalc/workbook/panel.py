"""The one pattern of every live panel: controls, a sentence, a picture, a table, and words for problems.

A panel computes nothing: its `compute` is a call into the package.  Errors
come up in place as a sentence.  The units switch of the book changes every
label, input and table of all its panels at once.
"""

import html

import ipywidgets as widgets
import numpy as np
import traitlets

from lamcalc import units
from lamcalc.workbook import style
from lamcalc.workbook.turns import one_at_a_time

_WIDE = widgets.Layout(width="46em", max_width="100%")
_LABEL = {"description_width": "16em"}


# JupyterLab takes plain keys for itself unless text is being written: on a list or slider the arrows would leave the
# panel, B would add a cell and D D delete one.  The mark, set on the very control when a key comes, tells it to leave
# that key alone; saving and running (Ctrl and Alt keys, Shift Enter) work as everywhere.
_KEYS = """<img alt="" src="data:," onerror="
if (!window.lamKeys) {
  window.lamKeys = true;
  window.addEventListener('keydown', event => {
    const control = event.target;
    const command = event.ctrlKey || event.altKey || event.metaKey || (event.shiftKey &amp;&amp; event.key === 'Enter');
    if (control.closest?.('.lam-panel')) control.toggleAttribute('data-lm-suppress-shortcuts', !command);
  }, true);
}">"""


def keep_keys(box):
    """Let a box of controls keep the plain keys pressed in it, which JupyterLab would take for its own commands.

    Parameters
    ----------
    box : Box
        Box with the controls [-].

    Returns
    -------
    Box
        The same box, marked [-].

    Examples
    --------
    >>> len(keep_keys(widgets.VBox([widgets.Checkbox()])).children)
    2
    """
    box.add_class("lam-panel")
    box.children = (*box.children, widgets.HTML(_KEYS, layout=widgets.Layout(display="none")))
    return box


class UnitSystem(traitlets.HasTraits):
    """The unit system that all panels of a notebook follow.

    Parameters
    ----------
    system : {"metric", "us"}
        Units shown and entered [-].

    Examples
    --------
    >>> UnitSystem(system="us").system
    'us'
    """

    system = traitlets.Enum(["metric", "us"], default_value="metric")


class QuantitySlider:
    """A slider that keeps its value in internal units and shows the chosen unit system.

    Parameters
    ----------
    label : str
        What the number is [-].
    kind : str
        Kind of quantity, as in `lamcalc.units` [-].
    value, low, high, step : float
        Start, ends and step [internal unit of the kind].
    """

    def __init__(self, label, kind, value, low, high, step):
        self.label, self.kind = label, kind
        self._system, self._quiet, self._callbacks, self._value = "metric", False, [], float(value)
        # both sliders stop at the same quantities, so that neither shows another value than the one computed with;
        # one slider a unit system with ends that never change: a browser that gets new ends before the new value
        # pushes the old value to the end of the scale and sends that back
        self._sliders = {system: self._slider(system, low, high, step) for system in ("metric", "us")}
        self.holder = widgets.VBox([self.widget])

    def _slider(self, system, low, high, step):
        scale, offset = self._factor(system)
        ends = low * scale + offset, high * scale + offset
        start, step = self._value * scale + offset, abs(step * scale)
        # a job may lie beyond the usual ends: the slider reaches it, or it would show one value and compute with another
        least, most = min(*ends, start), max(*ends, start)
        # the browser snaps to whole steps from the low end: that end is moved so that the start is one of them
        least = start - np.floor((start - least) / step + 1e-9) * step
        slider = widgets.FloatSlider(
            min=least, max=most, step=step, value=start,
            readout_format=_format(step), style=_LABEL, layout=_WIDE,
            description=f"{self.label} [{units.unit_label(self.kind, system)}]")
        slider.observe(self._moved, "value")
        return slider

    def _factor(self, system):
        zero, one = units.to_system(np.array([0.0, 1.0]), self.kind, system)
        return one - zero, zero

    @property
    def widget(self):
        """The slider of the unit system in use [-]."""
        return self._sliders[self._system]

    @one_at_a_time
    def _moved(self, change):
        if self._quiet or change["owner"] is not self.widget:
            return
        scale, offset = self._factor(self._system)
        # slider steps carry dust such as 0.32999999999999996
        value = float(np.round((self.widget.value - offset) / scale, 12))
        if np.isclose(value, self._value, rtol=1e-9, atol=1e-12):  # a slider just drawn sends its own value back, but for dust
            return
        self._value = value
        for callback in self._callbacks:
            callback()

    @property
    def value(self):
        """Value in the internal unit of the kind [internal unit]."""
        return self._value

    def use(self, system):
        """Show another unit system.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].
        """
        scale, offset = self._factor(system)
        slider, disabled = self._sliders[system], self.widget.disabled
        self._quiet = True
        slider.value, slider.disabled = self._value * scale + offset, disabled
        self._quiet, self._system = False, system
        if self.holder.children != (slider,):
            self.holder.children = (slider,)

    def on_change(self, callback):
        """Call a function whenever the user moves the slider.

        Parameters
        ----------
        callback : callable
            Function without arguments [-].
        """
        self._callbacks.append(callback)


def _format(step):
    return f".{max(0, -int(np.floor(np.log10(step) + 1e-9)))}f"


class Plain:
    """Base of controls without a unit: holds a `widget` of ipywidgets.

    Parameters
    ----------
    widget : ValueWidget
        The control on the screen [-].
    """

    def __init__(self, widget):
        self.widget = widget

    @property
    def value(self):
        """What is entered or chosen [-]."""
        return self.widget.value

    def use(self, system):
        """Such a control looks the same in both systems.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].
        """

    def on_change(self, callback):
        """Call a function whenever the entry changes.

        Parameters
        ----------
        callback : callable
            Function without arguments [-].
        """
        self.widget.observe(lambda _change: callback(), "value")


class Choice(Plain):
    """A list to choose from.

    Parameters
    ----------
    label : str
        What is chosen [-].
    options : sequence of (str, object)
        Text and value of each entry [-].
    value : object
        Value at the start [-].
    """

    def __init__(self, label, options, value):
        super().__init__(widgets.Dropdown(options=list(options), value=value, description=label, style=_LABEL, layout=_WIDE))


class TextFilter(Plain):
    """A word to look for.

    Parameters
    ----------
    label : str
        What is looked for [-].
    """

    def __init__(self, label):
        super().__init__(widgets.Text(description=label, placeholder="any word", style=_LABEL, layout=_WIDE))


class Count(Plain):
    """A whole number to count things that have no unit.

    Parameters
    ----------
    label : str
        What is counted [-].
    value, low, high : int
        Start and ends [-].
    """

    def __init__(self, label, value, low, high):
        super().__init__(widgets.IntSlider(value=value, min=low, max=high, description=label, style=_LABEL, layout=_WIDE))


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

    Notes
    -----
    `sentence`, `problem`, `image` and `numbers` hold the parts as HTML; `view` shows them all.  They travel as one
    message, because a browser that gets four of them lays the page out and paints it four times.
    """

    def __init__(self, controls, compute, *, words, table=None, picture=None, unit_system=None, idle=None, units_shown=True,
                 table_first=False, sure=None):
        self.controls, self._compute, self._words, self._table, self._picture = controls, compute, words, table, picture
        self._idle, self.sure, self.result = idle, sure, None
        self.unit_system = unit_system or UnitSystem()
        self.sentence, self.problem, self.image = map(Part, ("lam-sentence", "lam-problem", "lam-picture"))
        self.numbers = Part("lam-table", "max-height:460px;overflow:auto;line-height:1.25" if table_first else "")
        self._parts = (self.sentence, self.problem,
                       *((self.numbers, self.image) if table_first else (self.image, self.numbers)))
        self.view = widgets.HTML()
        self.view.add_class("lam-shown")
        self.switch = widgets.ToggleButtons(options=[("metric", "metric"), ("US units", "us")],
                                            value=self.unit_system.system, description="Units",
                                            style={"button_width": "6.5em", "description_width": "5em"})
        for control in controls.values():
            control.on_change(self.refresh)
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
        self._show()
        if self.sure:
            # an old band beside a new number would mislead
            self.sure.forget()

    @one_at_a_time
    def _asked(self):
        self.sure.ask(self.result, self.unit_system.system)

    def _show(self):
        values = {name: control.value for name, control in self.controls.items()}
        idle = self._idle(**values) if self._idle else ()
        for name, control in self.controls.items():
            control.widget.disabled = name in idle
        self.result = None
        try:
            self.result = result = self._compute(**values)
            system = self.unit_system.system
            self.sentence.value = f'<p style="font-size:15px">{html.escape(self._words(result, system))}</p>'
            if self._picture is not None:
                self.image.value = self._picture.draw(result, system)
            if self._table is not None:
                self.numbers.value = style.table_html(self._table(result, system))
            self.problem.value = ""
        except ValueError as error:
            self._say(str(error))
        except Exception as error:  # whatever else breaks, the user sees words and keeps the controls
            self._say(f"This could not be computed ({type(error).__name__}: {error}).")
        self.view.value = joined(self._parts)

    def _say(self, sentence):
        # an old result beside a new question would mislead
        self.sentence.value = self.image.value = self.numbers.value = ""
        self.problem.value = alarm(sentence)
