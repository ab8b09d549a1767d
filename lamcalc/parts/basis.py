"""What a rule value is made of: a factor with its status, a design pressure, a requirement.

Nothing here computes.  Every number that came from a rule travels with the
clause and with how well that clause is known.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.materials.records import UNVERIFIED

# "source seen": text or table read.  "pinned": the wording was not read, published numbers come out exactly.
STATUSES = ("source seen", "pinned", "derived", "computed", "common practice", "user", "assumed", "from memory")

#: Exact or standard conversions that the printed formulas need.
KW_PER_HP = 0.74569987158227022
NEWTON_PER_LBF = 4.4482216152605
MS_PER_KNOT = 1852.0 / 3600.0
MM_PER_INCH = 25.4
MM_PER_FOOT = 304.8
GRAVITY = 9.80665

ISO = "ISO 12215-5:2008"
CAUTION = ("Rule arithmetic is a check, not an approval. The builder's plate, the standard itself, local codes and a "
           "licensed designer or surveyor decide.")


def status_label(status):
    """Words to show beside a number for how well its source is known.

    Parameters
    ----------
    status : str
        One of `STATUSES` [-].

    Returns
    -------
    str
        The status; figures from memory and assumptions start with 'unverified' [-].

    Raises
    ------
    InputError
        If the status is not one of `STATUSES`.

    Examples
    --------
    >>> status_label("from memory")
    'unverified (from memory)'
    """
    if status not in STATUSES:
        raise InputError("status", f"must be one of {', '.join(STATUSES)} [-]", status, "say how the number is known")
    return f"unverified ({status})" if status in UNVERIFIED else status


def plain(array):
    """Scalar for a single value, the array itself for a batch.

    Parameters
    ----------
    array : array_like, shape (...)
        Values [any].

    Returns
    -------
    float or ndarray, shape (...)
        The same values [as given].

    Examples
    --------
    >>> plain(np.array(2.5))
    2.5
    """
    array = np.asarray(array)
    return array.item() if array.ndim == 0 else array


def rule_pressure(pressure):
    """Check a design pressure in MPa and refuse one that was typed in kN/m2.

    Parameters
    ----------
    pressure : array_like, shape (...)
        Design pressure [MPa], above 0 and not above 1.

    Returns
    -------
    ndarray, shape (...)
        The same values [MPa].

    Raises
    ------
    InputError
        If a value is not positive, or is above 1 MPa (a hundred metres of water).

    Examples
    --------
    >>> rule_pressure(26)
    Traceback (most recent call last):
    lamcalc.errors.InputError: pressure must be in MPa, not above 1 [MPa]; received 26.0. Next: it looks like \
kN/m2: write 0.026 for 26 kN/m2.
    """
    array = positive("pressure", pressure, "MPa")
    if (array > 1.0).any():
        bad = float(array.max())
        raise InputError("pressure", "must be in MPa, not above 1 [MPa]", bad,
                         f"it looks like kN/m2: write {bad / 1000:g} for {bad:g} kN/m2")
    return array


def choice(name, value, allowed):
    """Return `value` after checking that it is one of the allowed words.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : str
        Word received [-].
    allowed : collection of str
        Words allowed [-].

    Returns
    -------
    str
        The same word [-].

    Raises
    ------
    InputError
        If the word is not allowed.

    Examples
    --------
    >>> choice("skin", "outer", ("outer", "inner"))
    'outer'
    """
    if value not in allowed:
        raise InputError(name, f"must be one of {', '.join(allowed)} [-]", value, "choose one")
    return value


def within(name, value, low, high, unit="-"):
    """Return `value` as an array after checking that it lies inside a printed table.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : array_like, shape (...)
        Value or values [as `unit` says].
    low, high : float
        Ends of the table [as `unit` says].
    unit : str
        Unit [-].

    Returns
    -------
    ndarray, shape (...)
        The same values [as `unit` says].

    Raises
    ------
    InputError
        If a value is outside.

    Examples
    --------
    >>> float(within("alpha", 1.1, 1.0, 1.4))
    1.1
    """
    array = number(name, value, unit)
    if (array < low).any() or (array > high).any():
        raise InputError(name, f"must lie in {low:g} to {high:g}, the range of the printed table [{unit}]",
                         plain(array), "the rule gives no value outside: do not extrapolate")
    return array


def _cell(value):
    array = np.asarray(value, dtype=float)
    return array.item() if array.ndim == 0 else f"{array.min():.6g} to {array.max():.6g}"


@dataclass(frozen=True)
class Factor:
    """One number that enters a rule value.

    Parameters
    ----------
    symbol : str
        Symbol in the rule [-].
    name : str
        What it is, in words [-].
    value : float or ndarray, shape (...)
        Value [as `unit` says].
    unit : str
        Unit [-].
    clause : str
        Rule and clause, or other origin [-].
    status : str
        One of `STATUSES` [-].
    note : str
        What a limit or a doubt did to the value; empty if nothing [-].

    Examples
    --------
    >>> Factor("kDC", "design category", 0.4, "-", "ISO 12215-5:2008", "source seen").label
    'source seen'
    """

    symbol: str
    name: str
    value: object
    unit: str
    clause: str
    status: str
    note: str = ""

    def __post_init__(self):
        status_label(self.status)
        object.__setattr__(self, "value", plain(number(self.name, self.value, self.unit)))

    @property
    def label(self):
        """Status in the words to show [-]."""
        return status_label(self.status)

    @property
    def unverified(self):
        """Whether the factor is from memory or assumed [-]."""
        return self.status in UNVERIFIED


def factor_table(factors):
    """Table of factors for the screen or the printed page.

    Parameters
    ----------
    factors : sequence of Factor
        Factors in the order to show [-].

    Returns
    -------
    pandas.DataFrame
        One row a factor: symbol, name, value, unit, clause, status, note [-].

    Examples
    --------
    >>> list(factor_table([Factor("P", "user pressure", 18.0, "kN/m2", "user", "user")])["unit"])
    ['kN/m2']
    """
    import pandas as pd

    rows = [(f.symbol, f.name, _cell(f.value), f.unit, f.clause, f.label, f.note) for f in factors]
    return pd.DataFrame(rows, columns=["symbol", "name", "value", "unit", "clause", "status", "note"])


@dataclass(frozen=True)
class DesignPressure:
    """A design pressure with everything that went into it.

    Parameters
    ----------
    value_kn_m2 : float or ndarray, shape (...)
        Design pressure [kN/m2].
    factors : tuple of Factor
        Every factor used, in order [-].
    rule : str
        Rule and item, or 'user load' [-].
    notes : tuple of str
        Limits that acted, minima that governed, doubts [-].

    Examples
    --------
    >>> DesignPressure(18.0, (), "user load").value_mpa
    0.018
    """

    value_kn_m2: object
    factors: tuple
    rule: str
    notes: tuple = ()

    def __post_init__(self):
        object.__setattr__(self, "value_kn_m2", plain(positive("design pressure", self.value_kn_m2, "kN/m2")))

    @property
    def value_mpa(self):
        """Design pressure [MPa]."""
        return self.value_kn_m2 / 1000.0

    @property
    def unverified(self):
        """Symbols of the factors that nobody has verified [-]."""
        return tuple(f.symbol for f in self.factors if f.unverified)

    def table(self):
        """Every factor with value, clause and status.

        Returns
        -------
        pandas.DataFrame
            As `factor_table` [-].
        """
        return factor_table(self.factors)


@dataclass(frozen=True)
class RuleRequirement:
    """What one rule asks for.

    Parameters
    ----------
    name : str
        Quantity required [-].
    value : float or ndarray, shape (...)
        Required value [as `unit` says].
    unit : str
        Unit [-].
    rule : str
        Rule and edition [-].
    clause : str
        Clause, table or equation as far as known [-].
    status : str
        One of `STATUSES` [-].
    notes : tuple of str
        Limits and doubts [-].

    Examples
    --------
    >>> RuleRequirement("thickness", 5.96, "mm", "ISO 12215-5:2008", "panels", "from memory").label
    'unverified (from memory)'
    """

    name: str
    value: object
    unit: str
    rule: str
    clause: str
    status: str
    notes: tuple = ()

    def __post_init__(self):
        status_label(self.status)
        object.__setattr__(self, "value", plain(number(self.name, self.value, self.unit)))

    @property
    def label(self):
        """Status in the words to show [-]."""
        return status_label(self.status)
