"""All sets of layers that a search may choose from, their keys and their bounds; single skin or sandwich."""

from dataclasses import dataclass
from functools import cached_property
from itertools import combinations_with_replacement
from math import factorial

import numpy as np

from lamcalc.errors import InputError
from lamcalc.studies.search_bounds import ALONG, SLACK, skin_moments, support, trial_curvatures
from lamcalc.studies.search_orders import evaluate, grow

LARGEST_SETS = 4_000_000


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
    if size > LARGEST_SETS // 10:
        raise InputError("palette and layers", f"give too many sets of layers; at most {LARGEST_SETS // 10} [-]", size,
                         "offer fewer fabrics or fewer layers")
    rows = []
    for n in range(low, high + 1):
        picks = np.array(list(combinations_with_replacement(range(choices), n)))
        rows.append((picks[:, :, None] == np.arange(choices)).sum(axis=1))
    return np.concatenate(rows)


@dataclass(frozen=True, eq=False)
class Problem:
    """Sets of layers with their order rules: an outer skin, or two skins on a core.

    Parameters
    ----------
    palette : Palette
        Choices of all skins and cores together [-].
    outer, inner : ndarray of int, shape (sets, choices)
        Sets of each skin; `inner` is None for a single skin [-].
    cores : tuple of int
        Choices that may be the core; empty for a single skin [-].
    outer_tables, inner_tables : tuple of ndarray of bool
        Order rules of each skin from `OrderRules.tables` [-].

    Examples
    --------
    >>> Problem.__dataclass_params__.frozen
    True
    """

    palette: object
    outer: np.ndarray
    inner: np.ndarray | None
    cores: tuple
    outer_tables: tuple
    inner_tables: tuple | None

    @property
    def shape(self):
        """Outer sets, cores, inner sets [-]."""
        return (len(self.outer), 1, 1) if self.inner is None else (len(self.outer), len(self.cores), len(self.inner))

    def _spread(self, values, dtype=float):
        """Sum of a per-choice value over every candidate, flat."""
        total = (self.outer @ values)[:, None, None].astype(dtype)
        if self.inner is not None:
            total = total + np.asarray(values)[list(self.cores)][None, :, None] + (self.inner @ values)[None, None, :]
        return total.reshape(-1)

    @cached_property
    def keys(self):
        """Mass, cost and layers of every candidate, shape (candidates, 3) [g/m2, cents/m2, -]."""
        return np.stack([self._spread(self.palette.keys[:, k], np.int64) for k in range(3)], axis=1)

    @cached_property
    def thickness_mm(self):
        """Thickness of every candidate, shape (candidates,) [mm]."""
        return self._spread(self.palette.layer_thickness_mm)

    @cached_property
    def glass_share(self):
        """Fibre weight fraction of the fabrics of every candidate, shape (candidates,) [-]."""
        glass = self.palette.glass_gsm
        return self._spread(glass) / self._spread(np.where(glass > 0, self.palette.mass_gsm, 0.0))

    @cached_property
    def sequences(self):
        """Number of sequences before any rule [-]."""
        def orders(sets):
            lookup = np.array([float(factorial(k)) for k in range(13)])
            return int((lookup[sets.sum(axis=1)] / lookup[sets].prod(axis=1)).round().sum())

        return orders(self.outer) if self.inner is None else orders(self.outer) * len(self.cores) * orders(self.inner)

    def windows(self, targets):
        """Candidates within the thickness and glass windows, shape (candidates,) [-].

        Parameters
        ----------
        targets : Targets
            What is asked for [-].

        Returns
        -------
        ndarray of bool, shape (candidates,)
            Whether each is inside [-].
        """
        inside = np.ones(int(np.prod(self.shape)), dtype=bool)
        for name in ("thickness_mm", "glass_share"):
            if getattr(targets, name) is not None:
                low, high = getattr(targets, name)
                value = getattr(self, name)
                inside &= (value >= low) & (value <= high)
        return inside

    @cached_property
    def _shares(self):
        plies = len(self.palette.thickness_mm)
        used = np.zeros((len(self.palette.index), plies))
        for k, row in enumerate(self.palette.index):
            np.add.at(used[k], row, 1)
        return used

    def _moments(self, sets, shapes):
        energy = np.einsum("si,pij,sj->sp", shapes, self.palette.qbar, shapes)
        return np.stack([skin_moments(sets @ self._shares, self.palette.thickness_mm, row) for row in energy], axis=1)

    def bounds(self, targets):
        """Function that bounds the values of candidates over all their orders.

        Parameters
        ----------
        targets : Targets
            Its load cases [-].

        Returns
        -------
        callable
            Takes candidate numbers, returns upper bounds of 1/d11, 1/d22 and the ratio, shape (candidates, 3).
        """
        loads, few = targets.loads, len(ALONG)
        shapes = trial_curvatures(loads)
        work = (shapes @ loads.T) ** 2
        outer = self._moments(self.outer, shapes)
        inner = None if self.inner is None else self._moments(self.inner, shapes)
        reach = [self._reach(load) for load in loads]
        core_stiff = self._core_energy(shapes)

        def bound(numbers):
            o, c, i = np.unravel_index(numbers, self.shape)
            if inner is None:
                stiff = outer[2][:, o] / 4
            else:
                stiff = _about_core([m[:, o] for m in outer], [m[:, i] for m in inner],
                                    self.palette.layer_thickness_mm[list(self.cores)][c], core_stiff[:, c])
            out = np.stack([stiff[:few].min(axis=0), stiff[few:2 * few].min(axis=0), np.full(len(o), np.inf)], axis=1)
            h = self.thickness_mm[numbers]
            for k, (below, above) in enumerate(reach):
                some = work[:, k] > 1e-9 * work[:, k].max()
                least = (stiff[some] / work[some, k][:, None]).min(axis=0)
                room = below[o] + above[o if inner is None else i]
                out[:, 2] = np.minimum(out[:, 2], room * least / h)
            return out * SLACK

        return bound

    def _core_energy(self, shapes):
        """Largest v'Qv of the sub-plies of each core."""
        if self.inner is None:
            return None
        energy = np.einsum("si,pij,sj->sp", shapes, self.palette.qbar, shapes)
        return energy[:, self.palette.index[list(self.cores)]].max(axis=2)

    def _reach(self, load):
        """Largest strain against the load in the mould-side set, and with it in the other one."""
        forms, out = self.palette.forms, []
        for sets, way in ((self.outer, -load), (self.outer if self.inner is None else self.inner, load)):
            value = np.append(support(forms[:-1], way), -np.inf)[self.palette.index].max(axis=1)
            out.append(np.where(sets > 0, value, -np.inf).max(axis=1))
        return out

    def tries(self, numbers, targets):
        """Best order of each candidate that meets the targets, and how many orders were worked out.

        Parameters
        ----------
        numbers : ndarray of int, shape (candidates,)
            Candidates [-].
        targets : Targets
            What is asked for [-].

        Returns
        -------
        found : dict
            Candidate to its order and its values [-].
        tested : int
            Orders worked out [-].
        """
        o, c, i = np.unravel_index(numbers, self.shape)
        found, tested = {}, 0
        if self.inner is None:
            sizes = self.outer[o].sum(axis=1)
            groups = []
            for size in np.unique(sizes):
                at = np.flatnonzero(sizes == size)
                owner, orders = grow(self.outer[o[at]], self.outer_tables)
                groups.append((numbers[at][owner], orders))
        else:
            groups = [self._sandwich(*one) for one in zip(numbers, o, c, i, strict=True)]
        for owner, orders in groups:
            tested += len(orders)
            if len(orders):
                place, values = evaluate(self.palette, orders, targets, every=len(targets.loads) > 0)
                # strongest order last, so that it stays in the dictionary
                for k in np.lexsort((values[:, 0], values[:, 2])):
                    found[int(owner[place[k]])] = (tuple(int(x) for x in orders[place[k]]), values[k])
        return found, tested

    @cached_property
    def _grown(self):
        return {}

    def _skin(self, side, number):
        if (side, number) not in self._grown:
            sets, tables = ((self.outer, self.outer_tables), (self.inner, self.inner_tables))[side]
            self._grown[side, number] = grow(sets[number:number + 1], tables)[1]
        return self._grown[side, number]

    def _sandwich(self, number, o, c, i):
        below, above = self._skin(0, int(o)), self._skin(1, int(i))
        a, b = np.repeat(np.arange(len(below)), len(above)), np.tile(np.arange(len(above)), len(below))
        core = np.full((len(a), 1), self.cores[c], dtype=np.int8)
        return np.full(len(a), number), np.concatenate([below[a], core, above[b]], axis=1)


def _about_core(outer, inner, core_mm, core_stiff):
    """Bound of v'Dv of a sandwich about the best plane inside its core."""
    (s0, s1, s2), (t0, t1, t2) = outer, inner
    a = np.clip((t1 + core_mm * t0 - s1) / (s0 + t0), 0.0, core_mm)
    b = core_mm - a
    return s2 + 2 * a * s1 + a * a * s0 + t2 + 2 * b * t1 + b * b * t0 + core_stiff * (a**3 + b**3) / 3
