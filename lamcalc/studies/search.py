"""Which schedule meets the targets with the least mass, cost or number of layers: the proved best.

Mass and cost depend only on the set of layers, not on their order.  Sets are
taken in the order of the objective; a set is dropped if a bound valid for every
order misses a target, otherwise its orders are worked out in full.  The first
that succeeds is the best there is, and none at all proves that there is none.
"""

from dataclasses import replace

import numpy as np

from lamcalc.errors import InputError
from lamcalc.schedule import CoreLayer
from lamcalc.studies.search_bounds import NAMES, SLACK
from lamcalc.studies.search_caps import search_caps
from lamcalc.studies.search_model import KEYS, Found, OrderRules, SearchResult, make_palette
from lamcalc.studies.search_panel import panel_targets
from lamcalc.studies.search_problem import SingleSkin, layer_sets, sequences_of
from lamcalc.studies.search_skins import LARGEST_SANDWICHES, Sandwich, make_skin

__all__ = ["make_palette", "panel_targets", "search_caps", "search_sandwich", "search_single_skin"]
# candidates whose orders are tried together: few at first, since one is often enough
_LEAST, _MOST = 4, 64
NO_RULES = OrderRules()


class _Stopped(Exception):
    """The caller asked to stop."""


def _objective(objective):
    wanted = (objective,) if isinstance(objective, str) else tuple(objective)
    if not wanted or any(key not in KEYS for key in wanted) or len(set(wanted)) != len(wanted):
        raise InputError("objective", f"must be one or several of {', '.join(KEYS)} [-]", objective,
                         "choose what counts first")
    return wanted + tuple(key for key in KEYS if key not in wanted)


class _Scan:
    """One search: candidates in order, with progress and stop."""

    def __init__(self, problem, objective, progress, stop):
        self.problem, self.objective, self.progress, self.stop, self.tested = problem, objective, progress, stop, 0
        # best value that `largest` has found so far
        self.reached = -np.inf

    def report(self, done, total, found):
        if self.stop is not None and self.stop.is_set():
            raise _Stopped
        if self.progress is not None and self.progress(done, total, found) is False:
            raise _Stopped

    def run(self, targets, want, out, cheaper=None):
        """Fill `out` with (candidate, order, values) in the order of the objective until `want` are there."""
        size = _LEAST
        for done, total, numbers in self.problem.scan(self.objective, targets, cheaper):
            self.report(done, total, len(out))
            low = 0
            while low < len(numbers):
                few, low, size = numbers[low:low + size], low + size, min(2 * size, _MOST)
                found, tested = self.problem.tries(few, targets)
                self.tested += tested
                for number in few:
                    if int(number) in found and (cheaper is None or self.problem.key(number)[1] < cheaper()):
                        out.append((int(number), *found[int(number)]))
                        if len(out) >= want:
                            return
                self.report(done, total, len(out))

    def largest(self, targets, column):
        """Largest 1/d11, 1/d22 or ratio within the targets, best bound first; None if nothing meets them."""
        name, asked, self.reached = NAMES[column], targets, -np.inf
        for done, total, ceiling, numbers, top in self.problem.peaks(targets, column, lambda: self.reached):
            self.report(done, total, 0)
            if ceiling <= self.reached:
                break
            order = np.argsort(-top, kind="stable")
            # a few from everywhere first: a good value early spares most of the rest
            step = max(1, len(order) // _MOST)
            for part in (order[::step], np.delete(order, np.s_[::step])):
                low, size = 0, _LEAST
                while low < len(part) and top[part[low]] * SLACK > self.reached:
                    at, low, size = part[low:low + size], low + size, min(2 * size, _MOST)
                    self.report(done, total, 0)
                    found, tested = self.problem.tries(numbers[at], asked, column)
                    self.tested += tested
                    if found:
                        self.reached = max(float(values[column]) for _, values in found.values())
                        # from now on only orders better than the best so far count
                        asked = replace(targets, **{name: float(np.nextafter(self.reached, np.inf))})
                    if self.reached == np.inf:
                        return self.reached
        return None if self.reached == -np.inf else self.reached

    def obstacles(self, targets):
        """Targets that alone stand in the way, with the best value of each within the others."""
        out = []
        for name in targets.asked:
            eased, few = replace(targets, **{name: None}), []
            if name in NAMES:
                value = self.largest(eased, NAMES.index(name))
                out += [] if value is None else [(name, value)]
                continue
            self.run(eased, 1, few)
            out += [(name, float("nan"))] if few else []
        return tuple(out)


def _found(problem, number, order, values):
    layers = tuple(problem.palette.layers[k] for k in order)
    schedule = problem.palette.stock.with_layers(layers, "search answer")
    return Found(layers, schedule, problem.key(number),
                 (float(values[0]), float(values[1])), float(values[2]))


def _search(problem, targets, objective, best, front, progress, stop):
    if targets.margin is not None and problem.palette.unchecked:
        raise InputError("palette", "must have a known strength in every layer where a margin is asked for [-]",
                         ", ".join(problem.palette.unchecked), "leave these layers out or give tested strengths")
    objective = _objective(objective)
    scan, hits, edge, blocked = _Scan(problem, objective, progress, stop), [], [], ()
    proved = stopped = False
    try:
        scan.run(targets, best, hits)
        proved = True
        if hits and front:
            lightest = _Scan(problem, ("mass", "cost", "layers"), progress, stop)
            lightest.run(targets, np.inf, edge,
                         lambda: problem.key(edge[-1][0])[1] if edge else np.iinfo(np.int64).max)
        if not hits:
            blocked = scan.obstacles(targets)
    except _Stopped:
        # what was found came in the order of the objective, so its first is still the best there is
        stopped, proved, edge = True, bool(hits) or proved, []
    return SearchResult(tuple(_found(problem, *hit) for hit in hits), proved, stopped,
                        tuple(_found(problem, *hit) for hit in edge), blocked, objective, problem.sequences,
                        scan.tested, targets)


def search_single_skin(palette, targets, *, objective="mass", rules=NO_RULES, layers=(3, 8), best=10, front=False,
                       progress=None, stop=None):
    """Proved best single-skin schedules that meet the targets.

    Parameters
    ----------
    palette : Palette
        Fabrics to choose from, see `make_palette` [-].
    targets : Targets
        What must be reached [-].
    objective : str or tuple of str
        "mass", "cost", "layers", most important first; the others break ties [-].
    rules : OrderRules
        Order of the layers [-].
    layers : tuple of (int, int)
        Least and most layers [-].
    best : int
        How many different sets of layers to return [-].
    front : bool
        Whether to find the mass/cost front as well [-].
    progress : callable, optional
        Called with candidates done, all candidates and schedules found; False stops the search [-].
    stop : threading.Event, optional
        Stops the search when set [-].

    Returns
    -------
    SearchResult
        Best schedules, or the proof that there is none with the targets in the way [-].

    Raises
    ------
    InputError
        If the objective is not known, there are too many sets, or a strength is missing.

    Notes
    -----
    Whole grams and cents per layer decide, so ties do not depend on rounding of sums.
    Of the orders of one set the strongest is shown.  Bounds: `search_bounds`.

    References
    ----------
    .. [1] Branch and bound by enumeration of multisets; rearrangement inequality (common practice).

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Ply
    >>> from lamcalc.studies.search_model import Targets
    >>> shop = catalogue.load()
    >>> resin, hand = shop.resin("iso_polyester"), shop.process("hand")
    >>> stock = make_palette([Ply(shop.reinforcement(k), resin, hand) for k in ("csm_450", "wr_600")], shop.fibres)
    >>> search_single_skin(stock, Targets(stiffness_x=2e5), layers=(1, 6)).proved
    True
    """
    if any(isinstance(layer, CoreLayer) for layer in palette.layers):
        raise InputError("single-skin palette", "must hold fabrics only [-]", len(palette.layers),
                         "leave the cores out, or search for a sandwich")
    tables = rules.tables(palette)
    problem = SingleSkin(palette, layer_sets(len(palette.layers), layers), tables)
    return _search(problem, targets, objective, best, front, progress, stop)


def search_sandwich(palette, targets, *, objective="mass", rules=NO_RULES, inner_rules=None, layers=(1, 4),
                    inner_layers=None, best=10, front=False, progress=None, stop=None):
    """Proved best sandwich schedules: a skin either side of one of the cores of the palette.

    Parameters
    ----------
    palette : Palette
        Fabrics and cores to choose from; each core is one choice [-].
    targets : Targets
        What must be reached; core shear, wrinkling and crushing are not among them [-].
    objective : str or tuple of str
        "mass", "cost", "layers", most important first [-].
    rules, inner_rules : OrderRules
        Order within the outer and the inner skin; the inner one takes `rules` if not given [-].
    layers, inner_layers : tuple of (int, int)
        Least and most layers of the outer and the inner skin; the inner one takes `layers` if not given [-].
    best : int
        How many different sets of layers to return [-].
    front : bool
        Whether to find the mass/cost front as well [-].
    progress : callable, optional
        Called with candidates done, all candidates and schedules found; False stops the search [-].
    stop : threading.Event, optional
        Stops the search when set [-].

    Returns
    -------
    SearchResult
        Best schedules, or the proof that there is none with the targets in the way [-].

    Raises
    ------
    InputError
        If the palette has no core or no fabric, or gives too many sets.

    Notes
    -----
    Bending by classical theory with the core's own stiffness.  Check core shear and
    skin wrinkling of the answer with `mechanics.sandwich`.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Ply
    >>> from lamcalc.studies.search_model import Targets
    >>> shop = catalogue.load()
    >>> mat = Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> stock = make_palette([mat, CoreLayer(shop.core("pu_board_416"), 18.0)], shop.fibres)
    >>> len(search_sandwich(stock, Targets(stiffness_x=1e6), layers=(1, 2)).best)
    4
    """
    is_core = np.array([isinstance(layer, CoreLayer) for layer in palette.layers])
    if is_core.all() or not is_core.any():
        raise InputError("sandwich palette", "must have at least one core and one fabric [-]", len(palette.layers),
                         "add a CoreLayer or a Ply")
    skins, cores = np.flatnonzero(~is_core), np.flatnonzero(is_core)

    def sets(span):
        counts = layer_sets(len(skins), span)
        out = np.zeros((len(counts), len(is_core)), dtype=counts.dtype)
        out[:, skins] = counts
        return out

    outer, inner = sets(layers), sets(inner_layers or layers)
    sequences = sequences_of(outer) * len(cores) * sequences_of(inner)
    outer = make_skin(palette, outer, rules.tables(palette))
    inner = make_skin(palette, inner, (inner_rules or rules).tables(palette))
    size = len(outer.sets) * len(cores) * len(inner.sets)
    if size > LARGEST_SANDWICHES:
        raise InputError("palette and layers", f"give too many sandwiches; at most {LARGEST_SANDWICHES} [-]", size,
                         "offer fewer fabrics, cores or layers")
    problem = Sandwich(outer, inner, cores, sequences)
    return _search(problem, targets, objective, best, front, progress, stop)
