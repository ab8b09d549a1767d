"""One thing after the other: a kernel may serve the controls of a page from several threads at once.

Newer kernels run the messages of controls beside the cells, and the first keys after *Run All* still beside those.  Two
answers at the same time would draw into one picture and could leave an old result beside a new question.
"""

import functools
import threading

_TURN = threading.RLock()


def one_at_a_time(function):
    """Let a function wait until whatever else bears this mark is done.

    Parameters
    ----------
    function : callable
        Reads controls, computes, draws or shows [-].

    Returns
    -------
    callable
        The same, one call at a time; a marked function may call another [-].

    Examples
    --------
    >>> one_at_a_time(lambda x: x + 1)(1)
    2
    """

    @functools.wraps(function)
    def waiting(*args, **kwargs):
        with _TURN:
            return function(*args, **kwargs)

    return waiting
