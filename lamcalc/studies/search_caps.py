"""Search over stringers: layers over the former, cap layers and heights, with progress and stop."""

from dataclasses import dataclass
from itertools import product

from lamcalc.errors import InputError
from lamcalc.parts.stringer_sizing import LARGEST_GRID, SizingResult, size_stringer


@dataclass(frozen=True, eq=False)
class CapSearch(SizingResult):
    """Stringers worked out so far, all of the grid unless stopped, and the best of those that meet the targets.

    Parameters
    ----------
    plies, cap_layers, heights : tuple
        The grid: layers over the former [-], cap layers [-], heights [mm].
    results : tuple of StringerResult
        One for every combination worked out, in grid order [-].
    passes : tuple of bool
        Whether each meets the targets [-].
    objective : {"mass", "cost"}
        What is made least [-].
    reserve : float
        Least reserve factor asked for [-].
    use_rules : bool
        Whether the rule checks had to be met too [-].
    stopped : bool
        Whether the search was stopped before the whole grid was worked out [-].

    Examples
    --------
    >>> issubclass(CapSearch, SizingResult)
    True
    """

    stopped: bool = False

    @property
    def proved(self):
        """Whether the whole grid was worked out, so that nothing better is in it [-]."""
        return not self.stopped

    @property
    def combinations(self):
        """Layers, cap layers and height of every result, a list of tuples [-, -, mm]."""
        return super().combinations[:len(self.results)]

    @property
    def cautions(self):
        """Cautions of the best result, or of the first if none passes [-]."""
        return super().cautions if self.results else ()

    @property
    def sentence(self):
        """The answer in words [-]."""
        if not self.stopped:
            return super().sentence
        size = len(self.plies) * len(self.cap_layers) * len(self.heights)
        start = f"Stopped after {len(self.results)} of {size} combinations, NOT proved. "
        return start + ("None of these meets the targets." if self.best is None else super().sentence)


def search_caps(stringer, load, *, plies, cap_layers, heights, objective="mass", reserve=1.0, use_rules=True,
                progress=None, stop=None, **options):
    """Best stringer of a grid of layers, cap layers and heights, every combination worked out in full.

    Parameters
    ----------
    stringer : Stringer
        The design to vary [-].
    load : StringerLoad
        What bends it [-].
    plies, cap_layers : sequence of int
        Layers over the former and in the cap to try [-].
    heights : sequence of float
        Heights to try [mm].
    objective : {"mass", "cost"}
        What to make least [-].
    reserve : float
        Least reserve factor of every margin [-].
    use_rules : bool
        Whether the rule checks must be met as well [-].
    progress : callable, optional
        Called with combinations done, all combinations and how many meet the targets; False stops the search [-].
    stop : threading.Event, optional
        Stops the search when set [-].
    **options
        Passed on to `assess_stringer` [-].

    Returns
    -------
    CapSearch
        All combinations worked out and the best one [-].

    Raises
    ------
    InputError
        If the grid is empty or too large, or the stringer does not suit, see `size_stringer`.

    Notes
    -----
    See `size_stringer`: an exhaustive enumeration, so the best of the grid is proved unless the search was stopped.
    """
    grid = tuple(tuple(values) for values in (plies, cap_layers, heights))
    size = len(grid[0]) * len(grid[1]) * len(grid[2])
    if not 1 <= size <= LARGEST_GRID:
        raise InputError("grid", f"must have 1 to {LARGEST_GRID} combinations [-]", size, "shorten or fill the lists")
    results, passes, stopped = [], [], False
    for done, (count, cap) in enumerate(product(*grid[:2])):
        if (stop is not None and stop.is_set()) or (
                progress is not None and progress(done * len(grid[2]), size, sum(passes)) is False):
            stopped = True
            break
        part = size_stringer(stringer, load, plies=(count,), cap_layers=(cap,), heights=grid[2], objective=objective,
                             reserve=reserve, use_rules=use_rules, **options)
        results += part.results
        passes += part.passes
    if progress is not None and not stopped:
        progress(size, size, sum(passes))
    return CapSearch(*grid, tuple(results), tuple(passes), objective, reserve, use_rules, stopped)
