"""Formulas in plain arithmetic: the same text runs over whole columns with NumPy or, where asked for, row by row with numba.

NumPy is enough for every study.  Numba is optional, loaded by `use_numba` only, and takes seconds to start: it pays
from tens of millions of laminates.
"""

import numpy as np

from lamcalc.errors import InputError

# rows at a time: fewer calls against columns that leave the second-level cache, measured
_CHUNK = 8192
_PARTS, _LOOPS, _NUMBA = [], {}, []
# division by zero gives infinity, as NumPy has it
_OPTIONS = {"error_model": "numpy"}


def plain_arithmetic(function):
    """Mark a function that does the same to a number as to an array of them, so that it may be compiled.

    Parameters
    ----------
    function : callable
        Takes and returns numbers or tuples of them; no loops over arrays, no keywords [-].

    Returns
    -------
    callable
        The function itself [-].

    Examples
    --------
    >>> plain_arithmetic(abs) is abs
    True
    """
    _PARTS.append(function)
    return function


def use_numba(wanted=True):
    """Compile formulas with numba from now on, or go back to NumPy.

    Parameters
    ----------
    wanted : bool
        Whether to compile; each formula is compiled at its next call [-].

    Raises
    ------
    InputError
        If numba is not installed.

    Examples
    --------
    >>> use_numba(False)
    """
    _NUMBA.clear(), _LOOPS.clear()
    if wanted:
        try:
            import numba.extending
        except ImportError:
            raise InputError("numba", "is not installed", "use_numba()",
                             "install it next to this package, or go on without it: results are the same") from None
        _NUMBA.append(numba)
        for part in _PARTS:
            numba.extending.register_jitable(**_OPTIONS)(part)


def compiled_loop(make, *formulas):
    """The loop over rows that numba compiled, kept after the first time.

    Parameters
    ----------
    make : callable
        Takes a compiler and the compiled formulas, returns the loop that it compiled [-].
    *formulas : callable
        Marked by `plain_arithmetic` [-].

    Returns
    -------
    callable, or None
        The loop; None while NumPy does the work, see `use_numba` [-].

    Examples
    --------
    >>> compiled_loop(lambda njit: njit(abs)) is None
    True
    """
    if not _NUMBA:
        return None
    key = (make, *formulas)
    if key not in _LOOPS:
        njit = _NUMBA[0].njit(nogil=True, **_OPTIONS)
        _LOOPS[key] = make(njit, *map(njit, formulas))
    return _LOOPS[key]


def fill_rows(formula, table, column, out):
    """Write a formula of each row of a table and one number into the rows of a result.

    Parameters
    ----------
    formula : callable
        Marked by `plain_arithmetic`; takes the terms of a row and a number, returns a tuple [-].
    table : ndarray, shape (rows, terms)
        Terms of each row [any].
    column : ndarray, shape (rows,)
        Number of each row [any].
    out : ndarray, shape (rows, results)
        Where the results go [any].

    Examples
    --------
    >>> found = np.empty((2, 1))
    >>> fill_rows(lambda c, h: (c[0] * h,), np.array([[2.0], [3.0]]), np.array([10.0, 10.0]), found)
    >>> found.ravel().tolist()
    [20.0, 30.0]
    """
    loop = compiled_loop(_loop_over_rows, formula)
    if loop is not None:
        loop(np.ascontiguousarray(table), np.ascontiguousarray(column), out)
        return
    for low in range(0, len(table), _CHUNK):
        part = slice(low, low + _CHUNK)
        # a stack and its transposed copy cost less than strided columns
        out[part] = np.array(formula(np.ascontiguousarray(table[part].T), column[part])).T


def _loop_over_rows(njit, formula):
    @njit
    def loop(table, column, out):
        for i in range(len(table)):
            values = formula(table[i], column[i])
            for j in range(len(values)):
                out[i, j] = values[j]

    return loop
