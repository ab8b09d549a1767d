"""The controls of a panel: sliders that know their unit, lists, counts, and the unit system that they follow.

A panel is used without Python: plain keys pressed in it belong to it, and every control can tell which value the next key
will ask for, so that the kernel can work ahead.
"""

import ipywidgets as widgets
import numpy as np
import traitlets

from lamcalc import units
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
            readout_format=_format(start, step), style=_LABEL, layout=_WIDE,
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

    def further(self, before):
        """The value one step on, in the direction in which the slider was moved.

        Parameters
        ----------
        before : float
            Value before the move [internal unit].

        Returns
        -------
        float or None
            Value, None beyond the ends [internal unit].
        """
        scale, offset = self._factor(self._system)
        step = self.widget.step if (self._value > before) == (scale > 0) else -self.widget.step
        shown, dust = self.widget.value + step, 1e-6 * self.widget.step
        inside = self.widget.min - dust <= shown <= self.widget.max + dust
        return float(np.round((shown - offset) / scale, 12)) if inside else None

    def on_change(self, callback):
        """Call a function whenever the user moves the slider.

        Parameters
        ----------
        callback : callable
            Function without arguments [-].
        """
        self._callbacks.append(callback)


def _format(start, step):
    """As many decimals as tell every stop from the number shown; steps that are round in one system are not in the other."""
    decimals = max(0, -int(np.floor(np.log10(step) + 1e-9)))
    # what a step is short of a round number adds up from stop to stop
    told = abs(round(step, decimals) - step) <= 1e-6 * step and abs(round(start, decimals) - start) <= 0.02 * step
    return f".{decimals if told else decimals + 1}f"


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

    def further(self, before):
        """The next entry in the direction in which the entry was changed.

        Parameters
        ----------
        before : object
            Entry before the change [-].

        Returns
        -------
        object or None
            What would be entered or chosen; None at the end, and where entries have no order [-].
        """
        return self._further(before)

    def _further(self, before):
        return None

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
        self._choices, self._start = [choice for _words, choice in options], value

    def offer(self, options, start):
        """Offer another list; what the user chose stays where it is still offered.

        Parameters
        ----------
        options : sequence of (str, object)
            Text and value of each entry [-].
        start : object
            Value where the user chose nothing, or what is no longer there [-].
        """
        choices = [choice for _words, choice in options]
        kept = self.value if self.value in choices and self.value != self._start else start
        self._choices, self._start = choices, start
        with self.widget.hold_sync():
            if tuple(options) != tuple(self.widget.options):
                self.widget.options = list(options)
            self.widget.value = kept

    def _further(self, before):
        return next_choice(self._choices, before, self.value)


def next_choice(choices, before, now):
    """The choice that comes next when a user goes through a list.

    Parameters
    ----------
    choices : list
        What can be chosen, in the order of the list [-].
    before, now : object
        The choices before and after a step, both in the list [-].

    Returns
    -------
    object or None
        The one beyond `now`, None at the end of the list [-].

    Examples
    --------
    >>> next_choice(["a", "b", "c"], "a", "b"), next_choice(["a", "b", "c"], "b", "a")
    ('c', None)
    """
    place = choices.index(now)
    place += 1 if place > choices.index(before) else -1
    return choices[place] if 0 <= place < len(choices) else None


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

    def _further(self, before):
        value = self.value + (1 if self.value > before else -1)
        return value if self.widget.min <= value <= self.widget.max else None
