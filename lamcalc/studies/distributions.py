"""How uncertain an input is, and seeded draws of it.

A bell shape reads low and high as its 5 % and 95 % points: one in twenty lies
below low, one in twenty above high, half lie below typical.  A triangle and an
even (uniform) shape end at low and high.  Every result that is shown names the shape.
"""

from dataclasses import dataclass
from statistics import NormalDist
from zlib import crc32

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.materials.values import STATUSES

SHAPES = ("normal", "lognormal", "triangular", "uniform")
# samples drawn from one child of the seed: part of what a seed means, so it never changes
BLOCK = 1024
TAIL = 0.05
_Z = NormalDist().inv_cdf(1 - TAIL)
_BELLS = ("normal", "lognormal")
READING = (
    "Low and high of a bell shape are its 5 % and 95 % points, half lie below typical; "
    "low and high of a triangle or an even spread are its ends."
)


@dataclass(frozen=True)
class Distribution:
    """How an uncertain number spreads.

    Parameters
    ----------
    shape : {"normal", "lognormal", "triangular", "uniform"}
        Bell, bell of the logarithm, triangle with its top at typical, or even [-].
    low, high : float
        5 % and 95 % points of a bell, ends of a triangle or an even spread [as `unit` says].
    typical : float
        Median of a bell, top of a triangle, middle of an even spread [as `unit` says].
    unit : str
        Unit of the three numbers [-].
    status : str
        Status of the spread: one of `lamcalc.materials.values.STATUSES` [-].
    basis : str
        Where the spread comes from, in words [-].

    Raises
    ------
    InputError
        If the shape is not known, low, typical and high are not in order, a lognormal
        value is not positive, or typical is not the middle of an even spread.

    Notes
    -----
    A bell whose two sides differ is two half bells that meet at the median:
    ``x = typical + z (high - typical)/1.645`` for z > 0 and ``x = typical + z (typical - low)/1.645`` below,
    z standard normal; a lognormal is the same in the logarithm.  Nothing is cut off.

    References
    ----------
    .. [1] Joined half bells by their quantiles: common practice in expert judgement.

    Examples
    --------
    >>> glass = Distribution("normal", 0.25, 0.30, 0.35, "-", "source seen")
    >>> [round(float(glass.quantile(p)), 3) for p in (0.05, 0.5, 0.95)]
    [0.25, 0.3, 0.35]
    """

    shape: str
    low: float
    typical: float
    high: float
    unit: str = "-"
    status: str = "assumed"
    basis: str = "as entered"

    def __post_init__(self):
        if self.shape not in SHAPES:
            raise InputError(
                "shape of the spread", f"must be one of {', '.join(SHAPES)} [-]", self.shape, "choose one of them"
            )
        low, middle, high = (
            float(number(f"{name} value of the spread", getattr(self, name), self.unit))
            for name in ("low", "typical", "high")
        )
        if not (low <= middle <= high and low < high):
            raise InputError(
                "low, typical and high",
                f"must rise in this order [{self.unit}]",
                (low, middle, high),
                "sort them, and leave an input that cannot vary out of the study",
            )
        if self.shape == "lognormal":
            positive("low end of a lognormal spread", low, self.unit)
        if self.shape == "uniform" and abs(middle - (low + high) / 2) > 1e-9 * max(abs(low), abs(high)):
            raise InputError(
                "typical value of an even spread",
                f"must be the middle, {(low + high) / 2:g} [{self.unit}]",
                middle,
                "give the middle, or choose a triangle",
            )
        if self.status not in STATUSES:
            raise InputError(
                "status of the spread",
                f"must be one of {', '.join(STATUSES)} [-]",
                self.status,
                "say how the spread is known",
            )
        for name, value in (("low", low), ("typical", middle), ("high", high)):
            object.__setattr__(self, name, value)

    @classmethod
    def of_value(cls, name, value, *, shape="lognormal", variation=0.15):
        """Spread of a number of the catalogue.

        Parameters
        ----------
        name : str
            What it is, for messages [-].
        value : Value
            Number with low and high, or without [as its `unit` says].
        shape : str
            Shape as in `Distribution` [-].
        variation : float
            Coefficient of variation that is assumed where the catalogue does not know both ends [-].

        Returns
        -------
        Distribution
            With the catalogue's ends and status, or the assumed variation and the status 'assumed' [-].

        Raises
        ------
        InputError
            If the ends of the catalogue do not suit the shape.

        Examples
        --------
        >>> from lamcalc.materials.values import Value
        >>> known = Distribution.of_value("shear", Value(3.3, 2.4, 4.5, "MPa", "from memory", "NOTES"))
        >>> known.low, known.high, known.status
        (2.4, 4.5, 'from memory')
        >>> Distribution.of_value("shear", Value(3.3, None, None, "MPa", "from memory", "NOTES")).status
        'assumed'
        """
        if value.low is None or value.high is None or not value.low < value.high:
            return cls.varying(value.typical, variation, shape=shape, unit=value.unit, name=name)
        return cls(shape, value.low, value.typical, value.high, value.unit, value.status, "range of the catalogue")

    @classmethod
    def varying(cls, typical, variation, *, shape="lognormal", unit="-", name="variation"):
        """Spread with a coefficient of variation, standard deviation over mean.

        Parameters
        ----------
        typical : float
            Median [as `unit` says].
        variation : float
            Coefficient of variation [-].
        shape : {"normal", "lognormal"}
            Bell, or bell of the logarithm [-].
        unit : str
            Unit of `typical` [-].
        name : str
            What varies, for messages [-].

        Returns
        -------
        Distribution
            Status 'assumed' [-].

        Raises
        ------
        InputError
            If the variation is not above 0 or not below 1, or the shape is not a bell.

        Examples
        --------
        >>> spread = Distribution.varying(100.0, 0.10, shape="normal")
        >>> round(spread.low, 1), round(spread.high, 1)
        (83.6, 116.4)
        """
        share = float(positive(f"coefficient of variation of {name}", variation))
        middle = float(positive(f"typical value of {name}", typical, unit))
        if share >= 1:
            raise InputError(
                f"coefficient of variation of {name}",
                "must be below 1 [-]",
                share,
                f"write {share / 100:g} for {share:g} %",
            )
        if shape not in _BELLS:
            raise InputError(
                "shape of the spread", "must be normal or lognormal [-]", shape, "give low, typical and high"
            )
        words = f"assumed coefficient of variation {100 * share:g} %"
        if shape == "normal":
            return cls.scattered(middle, share * middle, unit=unit, basis=words)
        factor = np.exp(_Z * np.sqrt(np.log1p(share**2)))
        return cls(shape, middle / factor, middle, middle * factor, unit, "assumed", words)

    @classmethod
    def scattered(cls, typical, deviation, *, unit="-", basis=""):
        """Even-sided bell with a standard deviation.

        Parameters
        ----------
        typical : float
            Middle [as `unit` says].
        deviation : float
            Standard deviation [as `unit` says].
        unit : str
            Unit of both [-].
        basis : str
            Where the deviation comes from; says that it is assumed if left out [-].

        Returns
        -------
        Distribution
            Status 'assumed' [-].

        Raises
        ------
        InputError
            If the deviation is not positive.

        Examples
        --------
        >>> round(Distribution.scattered(0.0, 2.0, unit="deg").high, 2)
        3.29
        """
        reach = _Z * float(positive("standard deviation", deviation, unit))
        return cls(
            "normal",
            typical - reach,
            typical,
            typical + reach,
            unit,
            "assumed",
            basis or f"assumed standard deviation {float(deviation):g} {unit}",
        )

    @property
    def words(self):
        """The spread in words, with its meaning, status and basis [-]."""
        ends = f"{self.low:.4g} to {self.high:.4g}{'' if self.unit == '-' else ' ' + self.unit}"
        sense = "5 % and 95 % points" if self.shape in _BELLS else "ends"
        return f"{self.shape}, {ends} ({sense}), {self.basis}, {self.status}"

    def quantile(self, share):
        """Value that so large a share lies below.

        Parameters
        ----------
        share : array_like, shape (...)
            Share, between 0 and 1 [-].

        Returns
        -------
        ndarray, shape (...)
            Value [as `unit` says].

        Raises
        ------
        InputError
            If a share is not between 0 and 1.

        Examples
        --------
        >>> float(Distribution("triangular", 0.0, 1.0, 4.0).quantile(0.25))
        1.0
        """
        p = number("share", share)
        if not ((p > 0) & (p < 1)).all():
            raise InputError("share", "must lie between 0 and 1 [-]", p, "write 0.9 for 90 %")
        bell = self.shape in _BELLS
        return self.of_draws(np.vectorize(NormalDist().inv_cdf, otypes=[float])(p) if bell else p)

    def draws(self, generator, size):
        """Standard draws for `of_draws`: normal for a bell, even from 0 to 1 for the others.

        Parameters
        ----------
        generator : numpy.random.Generator
            Source of the draws [-].
        size : tuple of int
            Shape [-].

        Returns
        -------
        ndarray, shape size
            Standard draws [-].

        Examples
        --------
        >>> source = np.random.Generator(np.random.PCG64(1))
        >>> Distribution("uniform", 0.0, 0.5, 1.0).draws(source, (2, 3)).shape
        (2, 3)
        """
        return generator.standard_normal(size) if self.shape in _BELLS else generator.random(size)

    def of_draws(self, draws):
        """Values from standard draws.

        Parameters
        ----------
        draws : array_like, shape (...)
            Standard normal for a bell, 0 to 1 for the others [-].

        Returns
        -------
        ndarray, shape (...)
            Values [as `unit` says].

        Examples
        --------
        >>> Distribution("lognormal", 50.0, 100.0, 200.0).of_draws([0.0]).round(9).tolist()
        [100.0]
        """
        d = np.asarray(draws, dtype=float)
        low, middle, high = self.low, self.typical, self.high
        if self.shape == "uniform":
            return low + d * (high - low)
        if self.shape == "triangular":
            top = (middle - low) / (high - low)
            rising = low + np.sqrt(d * (high - low) * (middle - low))
            return np.where(d < top, rising, high - np.sqrt((1 - d) * (high - low) * (high - middle)))
        if self.shape == "normal":
            return middle + d * np.where(d > 0, high - middle, middle - low) / _Z
        return middle * np.exp(d * np.where(d > 0, np.log(high / middle), np.log(middle / low)) / _Z)


@dataclass(frozen=True)
class Uncertain:
    """An input that varies: one number, or several alike that are drawn apart.

    Parameters
    ----------
    key : str
        Name for the model; with the seed it fixes the draws [-].
    name : str
        What it is, in words [-].
    spread : Distribution
        How it spreads [as its `unit` says].
    count : int
        How many numbers are drawn apart, such as the angles of the plies [-].
    kind : str
        Kind of quantity as in `lamcalc.units`, empty for a plain number [-].

    Raises
    ------
    InputError
        If the count is not a whole number from 1 up.

    Examples
    --------
    >>> Uncertain("angle", "ply angles", Distribution.scattered(0.0, 2.0, unit="deg"), count=4).count
    4
    """

    key: str
    name: str
    spread: Distribution
    count: int = 1
    kind: str = ""

    def __post_init__(self):
        if isinstance(self.count, bool) or not isinstance(self.count, int) or self.count < 1:
            raise InputError(
                f"count of {self.name}", "must be a whole number from 1 up [-]", self.count, "enter how many"
            )


def drawn(inputs, rows, seed, *, vary=None, stream=0):
    """Samples of all inputs, the same whatever else is drawn and however the samples are cut into chunks.

    Parameters
    ----------
    inputs : sequence of Uncertain
        What is drawn [-].
    rows : slice
        Samples `start` to `stop`, counted from 0 [-].
    seed : int
        Seed of the study [-].
    vary : collection of str, optional
        Keys of the inputs that vary, the others staying at typical; all if left out [-].
    stream : int
        Independent sets of samples of one seed [-].

    Returns
    -------
    dict of str to ndarray, shape (rows, count)
        Values by key [as each input says].

    Notes
    -----
    PCG64, one child sequence of the seed for every `BLOCK` samples of every input, found by stream, key and block
    number: switching an input off does not change what the others are, and no executor can change anything.

    References
    ----------
    .. [1] O'Neill, PCG: a family of simple fast space-efficient statistically good algorithms for random number
       generation, 2014 (from memory); NumPy's SeedSequence.

    Examples
    --------
    >>> mass = Uncertain("mass", "mass", Distribution.varying(10.0, 0.1))
    >>> whole, part = drawn([mass], slice(0, 3000), 7)["mass"], drawn([mass], slice(2000, 2010), 7)["mass"]
    >>> bool((whole[2000:2010] == part).all())
    True
    """
    found = {}
    for item in inputs:
        if vary is not None and item.key not in vary:
            found[item.key] = np.full((rows.stop - rows.start, item.count), item.spread.typical)
            continue
        parts = []
        for block in range(rows.start // BLOCK, -(-rows.stop // BLOCK)):
            child = np.random.SeedSequence(seed, spawn_key=(stream, crc32(item.key.encode()), block))
            whole = item.spread.draws(np.random.Generator(np.random.PCG64(child)), (BLOCK, item.count))
            first = block * BLOCK
            parts.append(whole[max(rows.start - first, 0) : rows.stop - first])
        found[item.key] = item.spread.of_draws(np.concatenate(parts))
    return found


def typical(inputs):
    """One sample with every input at its typical value.

    Parameters
    ----------
    inputs : sequence of Uncertain
        Inputs [-].

    Returns
    -------
    dict of str to ndarray, shape (1, count)
        Values by key [as each input says].

    Examples
    --------
    >>> typical([Uncertain("mass", "mass", Distribution.varying(10.0, 0.1))])["mass"].tolist()
    [[10.0]]
    """
    return {item.key: np.full((1, item.count), item.spread.typical) for item in inputs}


def check_inputs(inputs, vary=None):
    """Keys that vary, after checking that the inputs are told apart.

    Parameters
    ----------
    inputs : sequence of Uncertain
        Inputs [-].
    vary : collection of str, optional
        Keys of those that vary; all if left out [-].

    Returns
    -------
    tuple of str
        Keys in the order of the inputs [-].

    Raises
    ------
    InputError
        If there is no input, two share a key, or a key is not known.

    Examples
    --------
    >>> check_inputs([Uncertain("mass", "mass", Distribution.varying(10.0, 0.1))])
    ('mass',)
    """
    keys = [item.key for item in inputs]
    if not keys:
        raise InputError("uncertain inputs", "must be at least one [-]", "none", "name what varies")
    if len({crc32(key.encode()) for key in keys}) < len(keys):
        raise InputError("uncertain inputs", "must have different keys [-]", keys, "rename one")
    wanted = keys if vary is None else list(vary)
    unknown = [key for key in wanted if key not in keys]
    if unknown or not wanted:
        raise InputError(
            "inputs that vary", f"must be among {', '.join(keys)} [-]", unknown or "none", "choose from the list"
        )
    return tuple(key for key in keys if key in wanted)
