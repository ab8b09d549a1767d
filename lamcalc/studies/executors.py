"""Chunks of a batch study on threads, processes or machines, with the same results everywhere."""

from collections import deque
from itertools import islice

from lamcalc.errors import InputError

# chunks sent ahead of the one that is waited for: enough for any pool here, few enough to stop soon
AHEAD = 32


def map_chunks(function, tasks, executor=None, progress=None, stop=None):
    """Results of `function` for every task, in the order of the tasks.

    Parameters
    ----------
    function : callable
        Takes one task; a module's function, or a `functools.partial` of one, so that it can be sent away [-].
    tasks : sequence
        Small picklable tasks, such as slices [-].
    executor : concurrent.futures.Executor, optional
        Threads, processes, or ``client.get_executor()`` of a dask.distributed client; this thread if left out [-].
    progress : callable, optional
        Called with tasks done and all tasks; returning False stops [-].
    stop : threading.Event, optional
        Stops when set [-].

    Returns
    -------
    list
        Results; fewer than tasks if stopped, then those of the first tasks without a gap [-].

    Raises
    ------
    InputError
        If `executor` cannot run functions.

    Notes
    -----
    A task decides alone what it computes, so the executor cannot change a result: same numbers to the last bit.
    At most `AHEAD` tasks are under way.

    Examples
    --------
    >>> from concurrent.futures import ThreadPoolExecutor
    >>> with ThreadPoolExecutor(2) as pool:
    ...     map_chunks(abs, [-1, 2, -3], pool)
    [1, 2, 3]
    """
    return list(each_chunk(function, tasks, executor, progress, stop))


def each_chunk(function, tasks, executor=None, progress=None, stop=None):
    """As `map_chunks`, one result after the other, so that nobody has to hold them all.

    Parameters
    ----------
    function : callable
        As in `map_chunks` [-].
    tasks : sequence
        As in `map_chunks` [-].
    executor : concurrent.futures.Executor, optional
        As in `map_chunks` [-].
    progress : callable, optional
        As in `map_chunks` [-].
    stop : threading.Event, optional
        As in `map_chunks` [-].

    Yields
    ------
    object
        Results in the order of the tasks [-].

    Raises
    ------
    InputError
        If `executor` cannot run functions.

    Examples
    --------
    >>> list(each_chunk(abs, [-1, 2], progress=lambda done, total: done < 1))
    [1]
    """
    tasks = list(tasks)
    if executor is not None and not callable(getattr(executor, "submit", None)):
        raise InputError(
            "executor",
            "must be a concurrent.futures.Executor [-]",
            type(executor).__name__,
            "pass a ThreadPoolExecutor, a ProcessPoolExecutor or client.get_executor()",
        )
    results = map(function, tasks) if executor is None else _sent(function, tasks, executor)
    done = 0
    try:
        while done < len(tasks) and not (stop is not None and stop.is_set()):
            yield next(results)
            done += 1
            if progress is not None and progress(done, len(tasks)) is False:
                break
    finally:
        if executor is not None:
            results.close()


def _sent(function, tasks, executor):
    """Results of an executor in order, a few tasks ahead; closing it calls off what has not begun."""
    left = iter(tasks)
    waiting = deque(executor.submit(function, task) for task in islice(left, AHEAD))
    try:
        while waiting:
            result = waiting.popleft().result()
            waiting.extend(executor.submit(function, task) for task in islice(left, 1))
            yield result
    finally:
        for future in waiting:
            future.cancel()
