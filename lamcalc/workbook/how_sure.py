"""How sure a panel is of its numbers: bands, and where every input comes from, worked out when somebody asks."""

import html

import ipywidgets as widgets
import pandas as pd

from lamcalc import units
from lamcalc.sentences import told_problem
from lamcalc.workbook import style
from lamcalc.workbook.panel import alarm
from lamcalc.workbook.turns import one_at_a_time

SEED = 1
# samples where each is a whole assessment of its own, some hundredths of a second
ONE_BY_ONE = 100
SHAPE_WORDS = {
    "normal": "bell (normal)",
    "lognormal": "skewed bell (lognormal)",
    "triangular": "triangle",
    "uniform": "even",
}
_NOTES = (
    "Loads, sizes and edges are taken as exact, and so is workmanship; your own weighed and measured panels are worth "
    "more than these spreads."
)


def bands_frame(result, system):
    """Every result with its band.

    Parameters
    ----------
    result : UncertaintyResult
        From `run_uncertainty` [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    DataFrame
        Result, typical value, 10, 50 and 90 % points, in words with units [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> from lamcalc.studies.uncertain_parts import LaminateModel
    >>> from lamcalc.studies.uncertainty import run_uncertainty
    >>> found = run_uncertainty(LaminateModel(job.schedule(job.load_demo(), "transom_inner_skin")), samples=50, seed=1)
    >>> bands_frame(found, "metric")["result"][0]
    'thickness'
    """
    rows = []
    for quantity in result.results:
        band = result.band(quantity.key)
        shown = (quantity.show(value, system) for value in (band.typical, band.low, band.middle, band.high))
        rows.append((quantity.name, *shown))
    columns = ["result", "all inputs typical", "10 % lie below", "50 % lie below", "90 % lie below"]
    return pd.DataFrame(rows, columns=columns)


def inputs_frame(inputs, system):
    """Every input that varies, with its spread, where it comes from and how far it is checked.

    Parameters
    ----------
    inputs : sequence of Uncertain
        Inputs of a model [-].
    system : {"metric", "us"}
        Unit system [-].

    Returns
    -------
    DataFrame
        Input, shape, low, typical, high, how many are drawn, source and status, in words with units [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> from lamcalc.studies.uncertain_parts import LaminateModel
    >>> inputs_frame(LaminateModel(job.schedule(job.load_demo(), "transom_inner_skin")).inputs, "us").columns[-1]
    'status'
    """
    rows = []
    for item in inputs:
        spread = item.spread
        ends = [units.show(v, item.kind, system) if item.kind else f"{v:.2f} x"
                for v in (spread.low, spread.typical, spread.high)]
        rows.append((item.name, SHAPE_WORDS[spread.shape], *ends, item.count, spread.basis, spread.status))
    return pd.DataFrame(rows, columns=["input", "shape", "low", "typical", "high", "numbers drawn", "from", "status"])


def laminate_model(schedule):
    """Random versions of a schedule; studies are imported when somebody asks, so that notebooks start sooner.

    Parameters
    ----------
    schedule : Schedule
        The laminate [-].

    Returns
    -------
    LaminateModel
        For `run_uncertainty` [-].

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> laminate_model(job.schedule(job.load_demo(), "transom_inner_skin")).results[0].name
    'thickness'
    """
    from lamcalc.studies.uncertain_parts import LaminateModel

    return LaminateModel(schedule)


class HowSure:
    """A button, and below it the bands of what a panel shows.

    Parameters
    ----------
    model : callable
        Turns what the panel has computed into a model for `run_uncertainty` [-].
    samples : int
        How many samples: hundreds where a model runs in batches, tens where every sample is worked out alone [-].

    Examples
    --------
    >>> HowSure(lambda result: None).button.description
    'How sure are these numbers?'
    """

    def __init__(self, model, samples=500):
        self._model, self._samples, self._found = model, samples, None
        self.button = widgets.Button(description="How sure are these numbers?", layout=widgets.Layout(width="20em"),
                                     tooltip="bands, and where every input comes from and how far it is checked")
        self.view = widgets.HTML()
        self.view.add_class("lam-sure")
        self.box = widgets.VBox([self.button, self.view])

    def forget(self):
        """Take the bands away: they belong to other settings than those shown now."""
        self._found, self.view.value = None, ""

    def use(self, system):
        """Show what was found in a unit system.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].
        """
        if self._found is None:
            return
        from lamcalc.studies.distributions import READING

        found, inputs = self._found
        words = (f"{found.samples} samples, seed {SEED}: eight of ten lie between the second and the last figure. {READING} "
                 f'"x" is a factor on the value used above. {_NOTES}')
        self.view.value = (f"{style.table_html(bands_frame(found, system))}<p>{html.escape(words)}</p>"
                           f"{style.table_html(inputs_frame(inputs, system))}")

    @one_at_a_time
    def ask(self, result, system):
        """Work the bands out and show them.

        Parameters
        ----------
        result : object
            What the panel has computed, None if nothing [-].
        system : {"metric", "us"}
            Unit system [-].
        """
        from lamcalc.studies.uncertainty import run_uncertainty  # here, so that notebooks start sooner

        self.forget()
        self.view.value = "<p>The bands are being worked out.</p>"
        try:
            if result is None:
                raise ValueError("There is no result: change what the panel complains of first.")
            model = self._model(result)
            self._found = run_uncertainty(model, samples=self._samples, seed=SEED), model.inputs
            self.use(system)
        except ValueError as error:
            self.view.value = alarm(told_problem(error, system))
        except Exception as error:  # as everywhere in a panel: words, no traceback
            self.view.value = alarm(f"This could not be computed ({type(error).__name__}: {error}).")
