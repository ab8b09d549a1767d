"""Clear errors for bad input, and the small checks that raise them.

Every message names the input, the rule with its unit, the value received and
what to do next.  Nothing is clipped or guessed.
"""

import numpy as np


class InputError(ValueError):
    """An input breaks a rule.

    Parameters
    ----------
    name : str
        Name of the input as the user knows it [-].
    rule : str
        The rule that it breaks, with its unit in brackets; a Sentence of `lamcalc.sentences` where it holds figures [-].
    value : object
        The value received, a number in that unit [-].
    next_step : str, optional
        What to do next [-].

    Notes
    -----
    As a string it is metric; `lamcalc.sentences.told_problem` tells it in either unit system.

    Examples
    --------
    >>> print(InputError("glass fraction", "must lie between 0 and 1", 30, "write 0.30 for 30 %"))
    glass fraction must lie between 0 and 1; received 30. Next: write 0.30 for 30 %.
    """

    def __init__(self, name, rule, value, next_step=""):
        self.name, self.rule, self.value, self.next_step = name, rule, value, next_step
        tail = f" Next: {next_step}." if next_step else ""
        super().__init__(f"{name} {rule}; received {shown(value)}.{tail}")

    def __reduce__(self):
        return InputError, (self.name, self.rule, self.value, self.next_step)


class NotThere(InputError):
    """The job lacks what is asked about; nothing in it is wrong.

    Parameters
    ----------
    what : str
        What it lacks, without an article [-].
    next_step : str
        What to do next [-].

    Examples
    --------
    >>> print(NotThere("transom", "add one to the job file"))
    the job has no transom. Next: add one to the job file.
    """

    def __init__(self, what, next_step):
        super().__init__("job", f"has no {what}", None, next_step)
        self.what, self.args = what, (f"the job has no {what}. Next: {next_step}.",)

    def __reduce__(self):
        return NotThere, (self.what, self.next_step)


def shown(value):
    """A value received as a message shows it.

    Parameters
    ----------
    value : object
        Anything [-].

    Returns
    -------
    str
        At most 120 characters [-].

    Examples
    --------
    >>> shown(None), shown(4.444444444444443), shown("19 mm")
    ('nothing', '4.44444', "'19 mm'")
    """
    if value is None:
        return "nothing"
    if isinstance(value, np.ndarray):
        return np.array2string(value, threshold=6, precision=6) if value.ndim else shown(value.item())
    if isinstance(value, np.generic):
        return shown(value.item())
    text = repr(value)
    if isinstance(value, float) and len(text) > 9:  # a converted entry, 4.444444444444443, helps nobody
        text = f"{value:.6g}"
    return text if len(text) <= 120 else text[:117] + "..."


def _worst(array, good):
    return array[~good].flat[0] if array.ndim else array


def _every(good):
    return bool(good) if good.ndim == 0 else good.all()  # most inputs are single numbers: this is asked very often


def number(name, value, unit="-"):
    """Return `value` as a float array after checking that it is finite.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : array_like, shape (...)
        Value or values [as `unit` says].
    unit : str
        Unit shown in the message [-].

    Returns
    -------
    ndarray, shape (...)
        The same values as float64 [as `unit` says].

    Raises
    ------
    InputError
        If a value is not a number, or is NaN or infinite.

    Examples
    --------
    >>> float(number("load", 3, "N"))
    3.0
    """
    try:
        array = np.asarray(value, dtype=float)
    except (TypeError, ValueError):
        raise InputError(name, f"must be a number [{unit}]", value, "enter digits only") from None
    except OverflowError:
        raise InputError(name, f"must be a number of reasonable size [{unit}]", value, "check the entry") from None
    good = np.isfinite(array)
    if not _every(good):
        raise InputError(name, f"must be a finite number [{unit}]", _worst(array, good), "enter the missing value")
    return array


def positive(name, value, unit="-", *, zero=False):
    """Return `value` as a float array after checking that it is above zero.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : array_like, shape (...)
        Value or values [as `unit` says].
    unit : str
        Unit shown in the message [-].
    zero : bool
        Whether zero is allowed too [-].

    Returns
    -------
    ndarray, shape (...)
        The same values as float64 [as `unit` says].

    Raises
    ------
    InputError
        If a value is not finite or not positive.

    Examples
    --------
    >>> positive("thickness", -1, "mm")
    Traceback (most recent call last):
    lamcalc.errors.InputError: thickness must be greater than 0 [mm]; received -1.0. Next: check the sign and the entry.
    """
    array = number(name, value, unit)
    good = array >= 0 if zero else array > 0
    if not _every(good):
        rule = f"must be {'0 or more' if zero else 'greater than 0'} [{unit}]"
        raise InputError(name, rule, _worst(array, good), "check the sign and the entry")
    return array


def whole(name, value, least=1, hint="count again", unit="-"):
    """Return `value` as an int after checking that it is a whole number.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : int or float
        One number [as `unit` says].
    least : int
        Least value allowed [as `unit` says].
    hint : str
        What to do next [-].
    unit : str
        What is counted, for the message [-].

    Returns
    -------
    int
        The same value [as `unit` says].

    Raises
    ------
    InputError
        If it is not one finite whole number, or less than `least`.

    Examples
    --------
    >>> whole("layers", 2.5)
    Traceback (most recent call last):
    lamcalc.errors.InputError: layers must be a whole number from 1 up [-]; received 2.5. Next: count again.
    """
    array = number(name, value, unit)
    if array.ndim or array != np.round(array) or array < least:
        raise InputError(name, f"must be a whole number from {least} up [{unit}]", value, hint)
    return int(array)


def fraction(name, value, *, zero=False, one=False):
    """Return `value` as a float array after checking that it lies between 0 and 1.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : array_like, shape (...)
        Fraction, not percent [-].
    zero, one : bool
        Whether the ends 0 and 1 are allowed [-].

    Returns
    -------
    ndarray, shape (...)
        The same values as float64 [-].

    Raises
    ------
    InputError
        If a value is not finite or lies outside the range; a value that looks
        like a percentage is told apart in the message.

    Examples
    --------
    >>> fraction("glass fraction", 43)
    Traceback (most recent call last):
    lamcalc.errors.InputError: glass fraction must be a fraction between 0 and 1; received 43.0. Next: it looks like a percentage: write 0.43 for 43 %.
    """
    array = number(name, value)
    good = ((array >= 0) if zero else (array > 0)) & ((array <= 1) if one else (array < 1))
    if not _every(good):
        bad = float(_worst(array, good))
        hint = (f"it looks like a percentage: write {bad / 100:g} for {bad:g} %"
                if 1 < bad <= 100 else "enter a fraction such as 0.30")
        raise InputError(name, "must be a fraction between 0 and 1", bad, hint)
    return array


def angle(name, value):
    """Return `value` as a float array of angles after checking for radians.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : array_like, shape (...)
        Angle or angles [deg], -360 to 360.

    Returns
    -------
    ndarray, shape (...)
        The same values as float64 [deg].

    Raises
    ------
    InputError
        If a value is not finite, is beyond a full turn, or is close to a
        common laminate angle written in radians (pi/2, pi/4, pi/3, pi/6).

    Examples
    --------
    >>> float(angle("ply angle", -45))
    -45.0
    """
    array = number(name, value, "deg")
    good = np.abs(array) <= 360
    if not _every(good):
        raise InputError(name, "must lie between -360 and 360 [deg]", _worst(array, good), "enter degrees")
    suspects = np.pi / np.array([2, 3, 4, 6])
    good = ~(np.abs(np.abs(array)[..., None] - suspects) < 5e-3).any(axis=-1)
    if not _every(good):
        bad = float(_worst(array, good))
        raise InputError(name, "must be in degrees [deg]", bad,
                         f"it looks like radians: write {np.degrees(bad):.0f} for {np.degrees(bad):.0f} degrees")
    return array
