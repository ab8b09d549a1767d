"""How far a result can be off: bands and the chance of missing a target, from seeded random samples.

A study draws the uncertain inputs of a model (see `distributions`), runs the
model chunk by chunk (see `executors`) and keeps every sample of every result.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np

from lamcalc import units
from lamcalc.errors import InputError, number
from lamcalc.studies.distributions import check_inputs, drawn, typical
from lamcalc.studies.executors import each_chunk

# samples a task, where a model does not ask for fewer
CHUNK = 1024
LARGEST = 10_000_000
SHARES = (0.1, 0.5, 0.9)


@dataclass(frozen=True)
class Quantity:
    """A result of a model.

    Parameters
    ----------
    key : str
        Name in the results [-].
    name : str
        What it is, in words [-].
    unit : str
        Unit [-].
    kind : str
        Kind of quantity as in `lamcalc.units`, empty for a plain number [-].
    more_is_better : bool
        Whether a target is a least value rather than a largest one [-].

    Examples
    --------
    >>> Quantity("ei", "bending stiffness", "N mm", "flexural_stiffness_per_width").show(46e6)
    '46.00 kN m2/m'
    """

    key: str
    name: str
    unit: str = "-"
    kind: str = ""
    more_is_better: bool = True

    def show(self, value, system="metric"):
        """A value with its unit.

        Parameters
        ----------
        value : float
            Value [as `unit` says].
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Value and unit [-].

        Examples
        --------
        >>> Quantity("ratio", "reserve factor").show(2.3456)
        '2.35'
        """
        if self.kind:
            return units.show(float(value), self.kind, system)
        return f"{value:.3g}{'' if self.unit == '-' else ' ' + self.unit}"


@dataclass(frozen=True)
class FunctionModel:
    """A model from a function, for studies of anything.

    Parameters
    ----------
    function : callable
        A module's function: draws, a dict of arrays (samples, count), to a dict of arrays (samples,) [-].
    inputs : tuple of Uncertain
        What it needs [-].
    results : tuple of Quantity
        What it gives [-].
    chunk : int
        Samples at a time [-].

    Examples
    --------
    >>> from lamcalc.studies.distributions import Distribution, Uncertain
    >>> plate = FunctionModel(lambda d: {"mass": 2 * d["t"][:, 0]},
    ...                       (Uncertain("t", "thickness", Distribution.varying(5.0, 0.1), kind="thickness"),),
    ...                       (Quantity("mass", "mass per area", "kg/m2", "areal_mass"),))
    >>> plate({"t": np.array([[5.0]])})["mass"].tolist()
    [10.0]
    """

    function: object
    inputs: tuple
    results: tuple
    chunk: int = CHUNK

    def __call__(self, draws):
        return self.function(draws)


@dataclass(frozen=True)
class Band:
    """Where a result lies.

    Parameters
    ----------
    quantity : Quantity
        Which result [-].
    low, middle, high : float
        10, 50 and 90 % points of the samples [as the quantity says].
    typical : float
        Result with every input at its typical value [as the quantity says].

    Examples
    --------
    >>> Band(Quantity("t", "thickness", "mm", "thickness"), 5.0, 5.5, 6.2, 5.5).words()
    'thickness: 5.00 mm to 6.20 mm in eight of ten cases, 5.50 mm in the middle'
    """

    quantity: Quantity
    low: float
    middle: float
    high: float
    typical: float

    def words(self, system="metric"):
        """The band in words.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Band in words [-].
        """
        low, middle, high = (self.quantity.show(value, system) for value in (self.low, self.middle, self.high))
        return f"{self.quantity.name}: {low} to {high} in eight of ten cases, {middle} in the middle"


@dataclass(frozen=True)
class Chance:
    """Chance that a result misses its target.

    Parameters
    ----------
    quantity : Quantity
        Which result [-].
    target : float
        Least or largest value wanted [as the quantity says].
    at_least : bool
        Whether the target is a least value [-].
    missed, samples : int
        Samples that miss it, and all of them [-].

    Examples
    --------
    >>> found = Chance(Quantity("r", "reserve factor"), 1.0, True, 25, 1000)
    >>> round(found.share, 3), round(found.standard_error, 4)
    (0.025, 0.0049)
    """

    quantity: Quantity
    target: float
    at_least: bool
    missed: int
    samples: int

    @property
    def share(self):
        """Share of the samples that miss the target [-]."""
        return self.missed / self.samples

    @property
    def standard_error(self):
        """Standard error of the share, ``sqrt(p (1 - p)/n)``; zero says nothing where none or all miss [-]."""
        return float(np.sqrt(self.share * (1 - self.share) / self.samples))

    def words(self, system="metric"):
        """The chance in words with what the number of samples can tell.

        Parameters
        ----------
        system : {"metric", "us"}
            Unit system [-].

        Returns
        -------
        str
            Chance in words [-].

        Notes
        -----
        Where none (or all) of n samples miss, the true chance is below 3/n (above 1 - 3/n) with 95 % confidence:
        the rule of three (common practice in statistics).
        """
        sense = "at least" if self.at_least else "at most"
        asked = f"{self.quantity.name} {sense} {self.quantity.show(self.target, system)}"
        limit = f"{300 / self.samples:.2g} %"
        if self.missed == 0:
            return f"{asked}: missed in none of {self.samples} samples, so the chance is likely below {limit}"
        if self.missed == self.samples:
            return (
                f"{asked}: missed in all of {self.samples} samples; the chance of reaching it is likely below {limit}"
            )
        return (
            f"{asked}: missed in {100 * self.share:.1f} % of the samples (standard error "
            f"{100 * self.standard_error:.1f} %)"
        )


@dataclass(frozen=True, eq=False)
class UncertaintyResult:
    """All samples of a study.

    Parameters
    ----------
    results : tuple of Quantity
        What was computed [-].
    values : ndarray, shape (results, samples)
        Samples [as each quantity says].
    typical : ndarray, shape (results,)
        Results with every input at its typical value [as each quantity says].
    inputs : tuple of Uncertain
        Inputs of the model [-].
    vary : tuple of str
        Keys of those that varied [-].
    seed : int
        Seed of the draws [-].
    asked : int
        Samples asked for; more than there are if the study was stopped [-].

    Examples
    --------
    >>> UncertaintyResult.__dataclass_params__.frozen
    True
    """

    results: tuple
    values: np.ndarray
    typical: np.ndarray
    inputs: tuple
    vary: tuple
    seed: int
    asked: int

    @property
    def samples(self):
        """Number of samples [-]."""
        return self.values.shape[1]

    @property
    def stopped(self):
        """Whether the study was stopped before all samples were drawn [-]."""
        return self.samples < self.asked

    def place(self, key):
        """Row of a result.

        Parameters
        ----------
        key : str
            Key of the result [-].

        Returns
        -------
        int
            Row in `values` [-].

        Raises
        ------
        InputError
            If there is no such result.
        """
        return result_place(self.results, key)

    def of(self, key):
        """All samples of one result.

        Parameters
        ----------
        key : str
            Key of the result [-].

        Returns
        -------
        ndarray, shape (samples,)
            Samples [as the quantity says].
        """
        return self.values[self.place(key)]

    def band(self, key):
        """10, 50 and 90 % points of one result.

        Parameters
        ----------
        key : str
            Key of the result [-].

        Returns
        -------
        Band
            The three points and the typical value [as the quantity says].
        """
        k = self.place(key)
        return Band(self.results[k], *(float(v) for v in np.quantile(self.values[k], SHARES)), float(self.typical[k]))

    def chance(self, key, target, *, at_least=None):
        """Chance of missing a target.

        Parameters
        ----------
        key : str
            Key of the result [-].
        target : float
            Least or largest value wanted [as the quantity says].
        at_least : bool, optional
            Whether it is a least value; as the quantity says if left out [-].

        Returns
        -------
        Chance
            Share of samples that miss it, with its standard error [-].

        Raises
        ------
        InputError
            If there is no such result or the target is not a number.
        """
        k = self.place(key)
        quantity = self.results[k]
        wanted = float(number(f"target for {quantity.name}", target, quantity.unit))
        least = quantity.more_is_better if at_least is None else bool(at_least)
        missed = self.values[k] < wanted if least else self.values[k] > wanted
        return Chance(quantity, wanted, least, int(missed.sum()), self.samples)

    @property
    def words(self):
        """What was drawn, in a sentence [-]."""
        names = [item.name for item in self.inputs if item.key in self.vary]
        start = f"stopped at {self.samples} of {self.asked}" if self.stopped else f"{self.samples}"
        return f"{start} samples with seed {self.seed}; varied: {', '.join(names)}."

    def table(self):
        """Bands of all results.

        Returns
        -------
        DataFrame
            One row a result, its unit in the second column [-].
        """
        import pandas as pd

        bands = [self.band(quantity.key) for quantity in self.results]
        return pd.DataFrame(
            [
                {
                    "result": b.quantity.name,
                    "unit": b.quantity.unit,
                    "typical": b.typical,
                    "10 % point": b.low,
                    "50 % point": b.middle,
                    "90 % point": b.high,
                }
                for b in bands
            ]
        )


def result_place(results, key):
    """Place of a result among those of a model.

    Parameters
    ----------
    results : sequence of Quantity
        Results of the model [-].
    key : str
        Key of the wanted one [-].

    Returns
    -------
    int
        Place, counted from 0 [-].

    Raises
    ------
    InputError
        If there is no such result.

    Examples
    --------
    >>> result_place([Quantity("mass", "mass", "kg")], "mass")
    0
    """
    keys = [quantity.key for quantity in results]
    if key not in keys:
        raise InputError("result of the study", f"must be one of {', '.join(keys)} [-]", key, "choose from the list")
    return keys.index(key)


def evaluated(model, draws):
    """Results of a model as one array.

    Parameters
    ----------
    model : callable
        Has `inputs` and `results`; takes draws [-].
    draws : dict of str to ndarray, shape (samples, count)
        Values of all inputs [as each says].

    Returns
    -------
    ndarray, shape (results, samples)
        Results [as each quantity says].

    Raises
    ------
    InputError
        If a result is not a finite number.
    """
    found = model(draws)
    values = np.stack([np.asarray(found[quantity.key], dtype=float) for quantity in model.results])
    for quantity, row in zip(model.results, values, strict=True):
        number(f"sampled {quantity.name}", row, quantity.unit)
    return values


def check_count(name, count, least=2):
    """A number of samples after checking it.

    Parameters
    ----------
    name : str
        What is counted [-].
    count : int
        Number [-].
    least : int
        Smallest sensible number [-].

    Returns
    -------
    int
        The number [-].

    Raises
    ------
    InputError
        If it is not a whole number in range.

    Examples
    --------
    >>> check_count("samples", 1000)
    1000
    """
    if isinstance(count, bool) or not isinstance(count, (int, np.integer)) or not least <= count <= LARGEST:
        raise InputError(name, f"must be a whole number from {least} to {LARGEST} [-]", count, "1000 is a good start")
    return int(count)


def check_seed(seed):
    """A seed after checking it.

    Parameters
    ----------
    seed : int
        Seed [-].

    Returns
    -------
    int
        The seed [-].

    Raises
    ------
    InputError
        If it is not a whole number from 0 up: without one, nobody could repeat the study.

    Examples
    --------
    >>> check_seed(7)
    7
    """
    if isinstance(seed, bool) or not isinstance(seed, (int, np.integer)) or seed < 0:
        raise InputError(
            "seed", "must be a whole number from 0 up [-]", seed, "enter any number and keep it with the result"
        )
    return int(seed)


def rows_of(samples, chunk):
    """Slices of samples for the tasks of a study.

    Parameters
    ----------
    samples : int
        All samples [-].
    chunk : int
        Samples a task [-].

    Returns
    -------
    list of slice
        In order [-].

    Examples
    --------
    >>> rows_of(5, 2)
    [slice(0, 2, None), slice(2, 4, None), slice(4, 5, None)]
    """
    return [slice(low, min(low + chunk, samples)) for low in range(0, samples, chunk)]


def _chunk(model, seed, vary, rows):
    return evaluated(model, drawn(model.inputs, rows, seed, vary=vary))


def run_uncertainty(model, *, samples=1000, seed=1, vary=None, executor=None, progress=None, stop=None):
    """Run a model on random samples of its inputs.

    Parameters
    ----------
    model : callable
        Has `inputs`, `results` and perhaps `chunk`, as `FunctionModel` [-].
    samples : int
        Number of samples [-].
    seed : int
        Seed; the same seed gives the same samples, whatever the executor [-].
    vary : collection of str, optional
        Keys of the inputs that vary; all if left out [-].
    executor : concurrent.futures.Executor, optional
        Runs the chunks; see `executors.map_chunks` [-].
    progress : callable, optional
        Called with chunks done and all chunks; returning False stops [-].
    stop : threading.Event, optional
        Stops the study when set; what is done stays [-].

    Returns
    -------
    UncertaintyResult
        All samples, bands, chances [-].

    Raises
    ------
    InputError
        If an argument is out of range, a drawn value does not suit the model, or the study was stopped before
        there was a result.

    Notes
    -----
    Plain random sampling.  Sample i is the same in every study with this seed.

    Examples
    --------
    >>> from lamcalc.studies.distributions import Distribution, Uncertain
    >>> plate = FunctionModel(lambda d: {"mass": 2 * d["t"][:, 0]},
    ...                       (Uncertain("t", "thickness", Distribution.varying(5.0, 0.1), kind="thickness"),),
    ...                       (Quantity("mass", "mass per area", "kg/m2", "areal_mass"),))
    >>> found = run_uncertainty(plate, samples=4000, seed=3)
    >>> bool(8.6 < found.band("mass").low < 9.0 < 11.0 < found.band("mass").high < 11.6)
    True
    """
    count, seed = check_count("number of samples", samples), check_seed(seed)
    vary = check_inputs(model.inputs, vary)
    middle = evaluated(model, typical(model.inputs))[:, 0]
    values, done = np.empty((len(model.results), count)), 0
    tasks = rows_of(count, getattr(model, "chunk", CHUNK))
    for part in each_chunk(partial(_chunk, model, seed, vary), tasks, executor, progress, stop):
        values[:, done : done + part.shape[1]] = part
        done += part.shape[1]
    if done < 2:
        raise InputError("study", "must not be stopped before its first samples are there [-]", done, "start it again")
    return UncertaintyResult(tuple(model.results), values[:, :done], middle, tuple(model.inputs), vary, seed, count)
