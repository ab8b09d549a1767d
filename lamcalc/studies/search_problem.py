"""All sets of layers that a single-skin search may choose from: in the order of the objective, with their bounds."""

from dataclasses import dataclass
from functools import cached_property
from math import factorial

import numpy as np

from lamcalc.errors import InputError
from lamcalc.studies.search_bounds import demands, filled, order_moments
from lamcalc.studies.search_model import KEYS
from lamcalc.studies.search_orders import evaluate, strongest, walk, without_dust

LARGEST_SETS = 400_000
# sets looked at together: few at first, since the answer is often near the front
_FIRST, _BLOCK = 1024, 8192
# rows asked of unfinished orders: the others seldom reject what these let pass
_KEENEST = 4


def layer_sets(choices, layers):
    """Every set of so many layers, as counts of each choice.

    Parameters
    ----------
    choices : int
        Number of choices [-].
    layers : tuple of (int, int)
        Least and most layers [-].

    Returns
    -------
    ndarray of int, shape (sets, choices)
        Counts [-].

    Raises
    ------
    InputError
        If the range is not a range of whole numbers from 1 to 12, or there are too many sets.

    Examples
    --------
    >>> layer_sets(2, (1, 2)).tolist()
    [[1, 0], [0, 1], [2, 0], [1, 1], [0, 2]]
    """
    low, high = layers
    if not (isinstance(low, int) and isinstance(high, int) and 1 <= low <= high <= 12):
        raise InputError("layers", "must be a least and a most number, from 1 to 12 [-]", layers, "write (3, 8)")
    size = sum(factorial(choices + n - 1) // factorial(n) // factorial(choices - 1) for n in range(low, high + 1))
    if size > LARGEST_SETS:
        raise InputError("palette and layers", f"give too many sets of layers; at most {LARGEST_SETS} [-]", size,
                         "offer fewer fabrics or fewer layers")
    rows, counts, last = [], np.zeros((1, choices), dtype=np.uint8), np.zeros(1, dtype=np.intp)
    for n in range(1, high + 1):
        # add a choice that is not before the last one added, so that no set is made twice
        row, choice = np.nonzero(np.arange(choices) >= last[:, None])
        counts, last = counts[row], choice
        counts[np.arange(len(row)), choice] += 1
        rows += [counts] if n >= low else []
    return np.concatenate(rows)


def sequences_of(sets):
    """Number of sequences of sets of layers.

    Parameters
    ----------
    sets : ndarray of int, shape (sets, choices)
        Counts [-].

    Returns
    -------
    int
        All of them, before any rule [-].

    Examples
    --------
    >>> sequences_of(layer_sets(2, (1, 3)))
    14
    """
    lookup = np.array([float(factorial(k)) for k in range(13)])
    return int((lookup[sets.sum(axis=1)] / lookup[sets].prod(axis=1)).round().sum())


def key_codes(keys, largest, objective):
    """One whole number a candidate that sorts as the objective does; codes of parts may be added.

    Parameters
    ----------
    keys : ndarray of int, shape (..., 3)
        Mass, cost, layers [g/m2, cents/m2, -].
    largest : sequence of int
        Largest sum of each [g/m2, cents/m2, -].
    objective : tuple of str
        All three keys, most important first [-].

    Returns
    -------
    ndarray of int, shape (...)
        Codes [-].

    Raises
    ------
    InputError
        If masses and prices are too large for whole-number arithmetic.

    Examples
    --------
    >>> key_codes(np.array([[3, 2, 1]]), (9, 9, 9), ("mass", "cost", "layers")).tolist()
    [321]
    """
    places = [KEYS.index(name) for name in objective]
    if np.prod([float(largest[k]) + 1 for k in places]) > 2.0**62:
        raise InputError("prices", "are too large to be added exactly [cents/m2]", int(largest[1]),
                         "give prices in a larger unit of money")
    code = np.zeros(keys.shape[:-1], dtype=np.int64)
    for k in places:
        code = code * (int(largest[k]) + 1) + keys[..., k]
    return code


def in_window(value, window):
    """Whether values are within a window; no window lets everything in.

    Parameters
    ----------
    value : ndarray, shape (...)
        Values [any].
    window : tuple of (float, float) or None
        Least and largest [as `value`].

    Returns
    -------
    ndarray of bool, shape (...)
        Whether each is inside [-].

    Examples
    --------
    >>> in_window(np.array([1.0, 3.0]), (0.0, 2.0)).tolist()
    [True, False]
    """
    return np.ones(len(value), dtype=bool) if window is None else (value >= window[0]) & (value <= window[1])


@dataclass(frozen=True, eq=False)
class SingleSkin:
    """Sets of layers of a single skin with their order rules.

    Parameters
    ----------
    palette : Palette
        Choices [-].
    sets : ndarray of int, shape (sets, choices)
        How often each choice is in each set [-].
    tables : tuple of ndarray of bool
        Order rules from `OrderRules.tables` [-].

    Examples
    --------
    >>> SingleSkin.__dataclass_params__.frozen
    True
    """

    palette: object
    sets: np.ndarray
    tables: tuple

    @cached_property
    def keys(self):
        """Mass, cost and layers of every set, shape (sets, 3) [g/m2, cents/m2, -]."""
        return self.sets.astype(np.int64) @ self.palette.keys

    @cached_property
    def sequences(self):
        """Number of sequences before any rule [-]."""
        return sequences_of(self.sets)

    @cached_property
    def thickness_mm(self):
        """Thickness of every set, shape (sets,) [mm]."""
        return self.sets @ self.palette.layer_thickness_mm

    @cached_property
    def glass_share(self):
        """Fibre weight fraction of the fabrics of every set, shape (sets,) [-]."""
        glass = self.palette.glass_gsm
        return (self.sets @ glass) / (self.sets @ np.where(glass > 0, self.palette.mass_gsm, 0.0))

    @cached_property
    def _used(self):
        """How often each sub-ply is in each choice, shape (choices, sub-plies + 1)."""
        used = np.zeros((len(self.palette.index), len(self.palette.thickness_mm)))
        for k, row in enumerate(self.palette.index):
            np.add.at(used[k], row, 1)
        return used

    def key(self, number):
        """Mass, cost and layers of one set.

        Parameters
        ----------
        number : int
            Which set [-].

        Returns
        -------
        tuple of int
            Key [g/m2, cents/m2, -].
        """
        return tuple(int(k) for k in self.keys[number])

    def _windows(self, targets):
        inside = in_window(self.thickness_mm, targets.thickness_mm)
        return inside if targets.glass_share is None else inside & in_window(self.glass_share, targets.glass_share)

    def scan(self, objective, targets, cheaper=None):
        """Sets that may meet the targets, in the order of the objective.

        Parameters
        ----------
        objective : tuple of str
            All three keys, most important first [-].
        targets : Targets
            What is asked for [-].
        cheaper : callable, optional
            Returns the cost from which on sets are left out [cents/m2].

        Yields
        ------
        done, total : int
            Sets looked at so far, and all [-].
        numbers : ndarray of int
            Sets that are left of the next handful [-].
        """
        numbers = np.flatnonzero(self._windows(targets))
        keys, asked, low = self.keys[numbers], demands(self.palette, targets), 0
        numbers = numbers[np.argsort(key_codes(keys, self.keys.max(axis=0), objective), kind="stable")]
        while low < len(numbers):
            part = numbers[low:low + (_FIRST if low < 4 * _FIRST else _BLOCK)]
            low += len(part)
            if cheaper is not None:
                part = part[self.keys[part, 1] < cheaper()]
            yield low, len(numbers), self._possible(part, asked)[0]

    def peaks(self, targets, column, floor):
        """Sets with the upper bound of one value, in one handful.

        Parameters
        ----------
        targets : Targets
            What is asked for besides [-].
        column : int
            0, 1: stiffness; 2: ratio [-].
        floor : callable
            Not asked: there is one handful only [-].

        Yields
        ------
        done, total : int
            Sets looked at so far, and all [-].
        ceiling : float
            Bound of all sets that are still to come [N mm or -].
        numbers : ndarray of int
            Sets that may meet the targets [-].
        top : ndarray, shape (numbers,)
            Upper bounds [N mm or -].
        """
        numbers, asked = np.flatnonzero(self._windows(targets)), demands(self.palette, targets, column)
        parts = [self._possible(numbers[low:low + _BLOCK], asked, column) for low in range(0, len(numbers), _BLOCK)]
        if parts:
            yield 0, 1, np.inf, *(np.concatenate(one) for one in zip(*parts, strict=True))

    def _possible(self, numbers, asked, column=None):
        """Sets whose bounds reach the targets: first as sets, then with each layer that may come first."""
        counts = self.sets[numbers]
        empty = np.empty((len(counts), 0), dtype=np.int8)
        kept, _ = self._reach(asked, empty, counts, self.thickness_mm[numbers])
        first = self.tables[0]
        row, choice = np.nonzero((counts[kept] > 0) & first)
        left, owner = counts[kept][row], kept[row]
        left[np.arange(len(row)), choice] -= 1
        place, top = self._reach(asked, choice[:, None], left, self.thickness_mm[numbers][owner], column)
        best = np.full(len(numbers), -np.inf)
        np.maximum.at(best, owner[place], top)
        alive = np.unique(owner[place])
        return numbers[alive], best[alive]

    @cached_property
    def _rejected(self):
        """How many beginnings each row has rejected so far, by the kinds of rows: the keenest are asked first [-]."""
        return {}

    def _reach(self, asked, orders, left, height, column=None, most=None):
        """Beginnings whose best continuation may meet all rows, or the keenest of them, and the bound of one value."""
        score = self._rejected.setdefault(asked.kind.tobytes(), np.zeros(len(asked)))
        layer_mm, place = self.palette.layer_thickness_mm, np.arange(len(orders))
        done = layer_mm[orders].sum(axis=1)
        last = (left > 0) & self.tables[1]
        finished = not left.any()
        span = self._rooms(asked, orders, left, last) / height
        shares, top, inner = left @ self._used, np.full(len(orders), np.inf), height / 2 - done
        for row in np.argsort(-score, kind="stable")[:most]:
            m0, m1, m2 = order_moments(asked.moments[:, row], layer_mm, orders[place], -height[place] / 2)
            if finished:
                bending = m2 - m1 * m1 / m0
            else:
                bending = m2 + filled(shares[place], self.palette.thickness_mm, asked.energy[row], inner[place])
            value = asked.value(row, bending, span[:, place])
            keep = asked.passes(row, value)
            if asked.kind[row] == column:
                top[place] = np.minimum(top[place], value)
            if not keep.all():
                score[row] += len(place) - keep.sum()
                place = place[keep]
            if not len(place):
                break
        return place, top[place]

    def _rooms(self, asked, orders, left, last):
        """Strain range that the two outer faces allow, shape (cases, orders)."""
        def most(room, allowed):
            return np.where(allowed, room[:, None, :], -np.inf).max(axis=2)

        if not orders.shape[1]:
            return most(asked.below, (left > 0) & self.tables[0]) + most(asked.above, last)
        end = np.where(left.any(axis=1), most(asked.above, last), asked.above[:, orders[:, -1]])
        return asked.below[:, orders[:, 0]] + end

    def tries(self, numbers, targets, prefer=2):
        """Best order of each set that meets the targets, and how many orders were worked out in full.

        Parameters
        ----------
        numbers : ndarray of int, shape (sets,)
            Sets [-].
        targets : Targets
            What is asked for [-].
        prefer : int
            Value that makes the best order: 0, 1 stiffness, 2 ratio [-].

        Returns
        -------
        found : dict
            Set to its order and its values [-].
        tested : int
            Orders worked out [-].
        """
        found, tested, asked = {}, 0, demands(self.palette, targets)
        sizes = self.sets[numbers].sum(axis=1)
        for size in np.unique(sizes):
            group = numbers[sizes == size]
            height = self.thickness_mm[group]

            def prune(owner, orders, left, height=height, size=size):
                if 1 < orders.shape[1] < size and len(owner) < 8:
                    return np.arange(len(owner))
                return self._reach(asked, orders, left, height[owner], most=_KEENEST)[0]

            for owner, orders in walk(self.sets[group], self.tables, prune):
                place, values = evaluate(self.palette, orders, targets, every=len(targets.loads) > 0)
                keep_best(found, group[owner[place]], orders[place], values, prefer)
                tested += len(orders)
        return found, tested


def keep_best(found, owner, orders, values, prefer):
    """Put the best order of each set into a dictionary, unless a better one is there.

    Parameters
    ----------
    found : dict
        Set to its order and values, changed in place [-].
    owner : ndarray of int, shape (orders,)
        Set of each order [-].
    orders : ndarray of int, shape (orders, layers)
        Choices [-].
    values : ndarray, shape (orders, 3)
        1/d11, 1/d22, ratio [N mm, N mm, -].
    prefer : int
        Value that makes the best order [-].

    Examples
    --------
    >>> found = {}
    >>> keep_best(found, np.array([3, 3]), np.array([[0], [1]]), np.array([[1.0, 1, 1], [2.0, 1, 1]]), 2)
    >>> found[3][0]
    (1,)
    """
    for k in strongest(owner, values, prefer):
        old = found.get(int(owner[k]))
        rank = [tuple(without_dust(one)[[prefer, 0]]) for one in ([values[k]] if old is None else [values[k], old[1]])]
        if old is None or rank[0] > rank[1]:
            found[int(owner[k])] = (tuple(int(x) for x in orders[k]), values[k])
