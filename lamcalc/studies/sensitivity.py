"""Which input matters most: one input moved at a time, and shares of the variance.

One at a time answers "what if this one is low or high".  Shares of the variance
answer "how much calmer would the result be if this one were known", with all
inputs moving at once.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np

from lamcalc.errors import InputError, number
from lamcalc.studies.distributions import check_inputs, drawn, typical
from lamcalc.studies.executors import each_chunk
from lamcalc.studies.uncertainty import CHUNK, Quantity, check_count, check_seed, evaluated, result_place, rows_of

# the two independent sets of samples; the plain study uses stream 0
_FIRST, _SECOND = 1, 2


@dataclass(frozen=True)
class Swing:
    """What a result does while one input moves from low to high.

    Parameters
    ----------
    key, name : str
        Input [-].
    low_input, high_input : float
        Ends of the input [as the input says].
    low, high : float
        Result at the low and the high end of the input [as the quantity says].

    Examples
    --------
    >>> Swing("t", "thickness", 4.0, 6.0, 10.0, 14.0).size
    4.0
    """

    key: str
    name: str
    low_input: float
    high_input: float
    low: float
    high: float

    @property
    def size(self):
        """Distance between the two results [as the quantity says]."""
        return abs(self.high - self.low)


@dataclass(frozen=True)
class SwingResult:
    """One-at-a-time study of one result.

    Parameters
    ----------
    quantity : Quantity
        The result [-].
    typical : float
        Its value with all inputs at typical [as the quantity says].
    swings : tuple of Swing
        Largest first [-].
    ends : tuple of (float, float)
        Shares of the samples of an input that lie below its low and its high end [-].

    Examples
    --------
    >>> SwingResult.__dataclass_params__.frozen
    True
    """

    quantity: Quantity
    typical: float
    swings: tuple
    ends: tuple

    @property
    def sentence(self):
        """What matters most, in words, metric [-]."""
        return self.words("metric")

    def words(self, system="metric"):
        """What matters most, in words.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            A plain sentence [-].
        """
        first = self.swings[0]
        if first.size == 0:
            return f"Nothing that was varied changes the {self.quantity.name}."
        ends = f"from its {100 * self.ends[0]:g} % to its {100 * self.ends[1]:g} % point"
        said = (
            f"{first.name[0].upper()}{first.name[1:]} matters most: {ends} it takes the {self.quantity.name} from "
            f"{self.quantity.show(first.low, system)} to {self.quantity.show(first.high, system)}"
        )
        if len(self.swings) > 1:
            second = self.swings[1]
            said += (
                f"; next is {second.name} ({self.quantity.show(second.low, system)} to "
                f"{self.quantity.show(second.high, system)})"
            )
        return said + ", all else as planned."

    def table(self):
        """The swings, largest first.

        Returns
        -------
        DataFrame
            One row an input; the unit of the result in the column names [-].
        """
        import pandas as pd

        unit = self.quantity.unit
        return pd.DataFrame(
            [
                {
                    "input": s.name,
                    "input low": s.low_input,
                    "input high": s.high_input,
                    f"result at low [{unit}]": s.low,
                    f"result at high [{unit}]": s.high,
                    "swing [%]": 100 * s.size / abs(self.typical) if self.typical else float("nan"),
                }
                for s in self.swings
            ]
        )


def one_at_a_time(model, key, *, vary=None, ends=(0.1, 0.9)):
    """Swing of a result with each input, all others staying at typical.

    Parameters
    ----------
    model : callable
        Has `inputs` and `results`, as `uncertainty.FunctionModel` [-].
    key : str
        Key of the result [-].
    vary : collection of str, optional
        Keys of the inputs to move; all if left out [-].
    ends : tuple of (float, float)
        Shares of the samples of an input below its low and its high end [-].

    Returns
    -------
    SwingResult
        Swings, largest first, with a sentence [-].

    Raises
    ------
    InputError
        If the result or an input is not known, or the ends are not in order.

    Notes
    -----
    An input of several numbers, such as the ply angles, moves as one: all low, then all high.  Effects that cancel in
    the middle (an angle off to either side) and joint effects are not seen; the shares of variance see them.

    References
    ----------
    .. [1] Common practice (tornado order).

    Examples
    --------
    >>> from lamcalc.studies.distributions import Distribution, Uncertain
    >>> from lamcalc.studies.uncertainty import FunctionModel
    >>> pair = FunctionModel(lambda d: {"sum": 3 * d["a"][:, 0] + d["b"][:, 0]},
    ...                      (Uncertain("b", "part b", Distribution("uniform", 0.0, 1.0, 2.0)),
    ...                       Uncertain("a", "part a", Distribution("uniform", 0.0, 1.0, 2.0))),
    ...                      (Quantity("sum", "sum"),))
    >>> one_at_a_time(pair, "sum").sentence
    'Part a matters most: from its 10 % to its 90 % point it takes the sum from 1.6 to 6.4; next is part b \
(3.2 to 4.8), all else as planned.'
    """
    place, vary = result_place(model.results, key), check_inputs(model.inputs, vary)
    low, high = (float(x) for x in number("ends", ends))
    if not 0 < low < high < 1:
        raise InputError("ends", "must be two shares in order, between 0 and 1 [-]", ends, "write (0.1, 0.9)")
    moved = [item for item in model.inputs if item.key in vary]
    reach = [(float(item.spread.quantile(low)), float(item.spread.quantile(high))) for item in moved]
    # one sample each: typical, then low and high of every input
    draws = {name: np.repeat(value, 1 + 2 * len(moved), axis=0) for name, value in typical(model.inputs).items()}
    for k, (item, pair) in enumerate(zip(moved, reach, strict=True)):
        draws[item.key][1 + 2 * k], draws[item.key][2 + 2 * k] = pair
    values = evaluated(model, draws)[place]
    swings = [
        Swing(item.key, item.name, *pair, float(values[1 + 2 * k]), float(values[2 + 2 * k]))
        for k, (item, pair) in enumerate(zip(moved, reach, strict=True))
    ]
    return SwingResult(
        model.results[place], float(values[0]), tuple(sorted(swings, key=lambda s: -s.size)), (low, high)
    )


@dataclass(frozen=True)
class Share:
    """Part of a result's variance that one input stands for.

    Parameters
    ----------
    key, name : str
        Input [-].
    first, first_error : float
        First-order index, and its standard error [-].
    total, total_error : float
        Total index, and its standard error [-].

    Examples
    --------
    >>> Share("t", "thickness", 0.8, 0.01, 0.85, 0.01).total
    0.85
    """

    key: str
    name: str
    first: float
    first_error: float
    total: float
    total_error: float


@dataclass(frozen=True)
class VarianceResult:
    """Variance-based study of one result.

    Parameters
    ----------
    quantity : Quantity
        The result [-].
    mean, variance : float
        Of the result [as the quantity says, and squared].
    shares : tuple of Share
        Largest total index first [-].
    samples, asked : int
        Rows of each of the two sets of samples, and how many were asked for; the model ran (inputs + 2) x rows [-].
    seed : int
        Seed of the draws [-].

    Examples
    --------
    >>> VarianceResult.__dataclass_params__.frozen
    True
    """

    quantity: Quantity
    mean: float
    variance: float
    shares: tuple
    samples: int
    asked: int
    seed: int

    @property
    def sentence(self):
        """What matters most, in words [-]."""
        if self.variance == 0:
            return f"Nothing that was varied changes the {self.quantity.name}."
        first = self.shares[0]
        said = (
            f"{first.name[0].upper()}{first.name[1:]} matters most for the {self.quantity.name}: it has a hand in "
            f"{_percent(first.total, first.total_error)} of the scatter (variance), "
            f"{_percent(first.first, first.first_error)} on its own"
        )
        if len(self.shares) > 1:
            said += f"; next is {self.shares[1].name} with {_percent(self.shares[1].total, self.shares[1].total_error)}"
        return said + "."

    def table(self):
        """Indices, largest total first.

        Returns
        -------
        DataFrame
            One row an input [-].
        """
        import pandas as pd

        return pd.DataFrame(
            [
                {
                    "input": s.name,
                    "on its own [-]": s.first,
                    "standard error [-]": s.first_error,
                    "with others [-]": s.total,
                    "standard error with others [-]": s.total_error,
                }
                for s in self.shares
            ]
        )


def _percent(share, error):
    return f"{100 * share:.0f} % (standard error {100 * error:.1g} %)"


def _variance_chunk(model, seed, vary, shift, rows):
    """Sums over some rows, shape (results, 4 + 4 inputs): of the two sets, then of the products of every input."""
    first, second = (drawn(model.inputs, rows, seed, vary=vary, stream=k) for k in (_FIRST, _SECOND))
    a, b = (evaluated(model, draws) - shift for draws in (first, second))
    sums = [a.sum(axis=1), (a * a).sum(axis=1), b.sum(axis=1), (b * b).sum(axis=1)]
    for key in vary:
        mixed = evaluated(model, first | {key: second[key]}) - shift
        own, apart = b * (mixed - a), (a - mixed) ** 2
        sums += [own.sum(axis=1), (own * own).sum(axis=1), apart.sum(axis=1), (apart * apart).sum(axis=1)]
    return np.array(sums).T


def variance_based(model, key, *, samples=4096, seed=1, vary=None, executor=None, progress=None, stop=None):
    """First-order and total indices of every input for one result.

    Parameters
    ----------
    model : callable
        Has `inputs` and `results`, as `uncertainty.FunctionModel` [-].
    key : str
        Key of the result [-].
    samples : int
        Rows of each of the two sets of samples [-].
    seed : int
        Seed [-].
    vary : collection of str, optional
        Keys of the inputs that vary; all if left out [-].
    executor : concurrent.futures.Executor, optional
        Runs the chunks; see `executors.map_chunks` [-].
    progress : callable, optional
        Called with chunks done and all chunks; returning False stops [-].
    stop : threading.Event, optional
        Stops the study when set; what is done counts [-].

    Returns
    -------
    VarianceResult
        Indices with standard errors, largest total first, and a sentence [-].

    Raises
    ------
    InputError
        If an argument is out of range or the study was stopped before there was a result.

    Notes
    -----
    Two independent sets of random samples A and B, and A with one input (or group) taken from B:
    ``S = mean(f_B (f_AB - f_A))/V``, ``T = mean((f_A - f_AB)^2)/(2 V)``.  The result is counted from its typical
    value, which steadies S.  Inputs are independent.  Standard errors from the scatter of the two products, V taken
    as exact.  A small negative S is sampling error around zero.

    References
    ----------
    .. [1] Saltelli et al., Variance based sensitivity analysis of model output, Comput. Phys. Commun. 181, 2010, table
       2: S by eq. (b), T by eq. (f) after Jansen 1999 (from memory).

    Examples
    --------
    >>> from lamcalc.studies.distributions import Distribution, Uncertain
    >>> from lamcalc.studies.uncertainty import FunctionModel
    >>> pair = FunctionModel(lambda d: {"sum": 2 * d["a"][:, 0] + d["b"][:, 0]},
    ...                      (Uncertain("b", "part b", Distribution("uniform", 0.0, 1.0, 2.0)),
    ...                       Uncertain("a", "part a", Distribution("uniform", 0.0, 1.0, 2.0))),
    ...                      (Quantity("sum", "sum"),))
    >>> found = variance_based(pair, "sum", samples=4096, seed=5)
    >>> found.shares[0].name, bool(abs(found.shares[0].total - 0.8) < 4 * found.shares[0].total_error)
    ('part a', True)
    """
    place, vary = result_place(model.results, key), check_inputs(model.inputs, vary)
    asked, seed = check_count("number of samples", samples, 16), check_seed(seed)
    shift = evaluated(model, typical(model.inputs))
    tasks = rows_of(asked, getattr(model, "chunk", CHUNK))
    run = partial(_variance_chunk, model, seed, vary, shift)
    parts = list(each_chunk(run, tasks, executor, progress, stop))
    if not parts:
        raise InputError("study", "must not be stopped before its first samples are there [-]", 0, "start it again")
    rows = tasks[len(parts) - 1].stop
    sums = sum(part[place] for part in parts) / rows
    return _variance_result(model, place, vary, sums, float(shift[place, 0]), (rows, asked, seed))


def _variance_result(model, place, vary, means, shift, run):
    """Indices from the means of the sums of `_variance_chunk`."""
    mean = (means[0] + means[2]) / 2
    variance = max((means[1] + means[3]) / 2 - mean**2, 0.0)
    # rounding dust of a constant result is no scatter
    variance = variance if variance > 1e-24 * (shift + mean) ** 2 else 0.0
    names = {item.key: item.name for item in model.inputs}
    shares = []
    for k, key in enumerate(vary):
        own, own2, apart, apart2 = means[4 + 4 * k : 8 + 4 * k]
        error = [
            float(np.sqrt(max(square - value**2, 0.0) / run[0])) for value, square in ((own, own2), (apart, apart2))
        ]
        indices = (own, error[0], apart / 2, error[1] / 2) if variance else (0.0,) * 4
        shares.append(Share(key, names[key], *(float(x) / (variance or 1.0) for x in indices)))
    ranked = tuple(sorted(shares, key=lambda s: -s.total))
    return VarianceResult(model.results[place], shift + float(mean), float(variance), ranked, *run)
