"""All sandwiches that a search may choose from: two skins and a core meet in the middle and are never all listed."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.laminate import compliance_blocks, ply_interfaces
from lamcalc.mechanics.strain_space import first_ply_ratio
from lamcalc.studies.search_bounds import SLACK, demands, order_moments
from lamcalc.studies.search_orders import evaluate, joined, stiffness_of, sub_plies, walk
from lamcalc.studies.search_problem import in_window, keep_best, key_codes, sequences_of
from lamcalc.studies.search_strains import StrengthBound

LARGEST_SANDWICHES = 20_000_000
LARGEST_ORDERS = 1_000_000
# inner sets that are bounded together; sandwiches and orders looked at together
_GROUP, _FIRST, _BLOCK, _ORDERS = 32, 2048, 24576, 8192
# bounds in a row that may reject next to nothing before the rest is left to the single sandwiches
_PATIENCE = 3
# sandwiches whose orders are tried before the sharper bound of strength is worth its tables
_FEW = 512


@dataclass(frozen=True, eq=False)
class Skin:
    """Sets of layers of one skin that the rules allow, with all their orders.

    Parameters
    ----------
    palette : Palette
        Choices [-].
    sets : ndarray of int, shape (sets, choices)
        Counts of each set that has an order [-].
    orders : ndarray of int, shape (orders, most layers)
        Choices, mould side first, filled up with the number of choices for no layer [-].
    start : ndarray of int, shape (sets + 1,)
        Where the orders of each set begin [-].
    last : ndarray of int, shape (orders,)
        Last choice of each order [-].

    Examples
    --------
    >>> Skin.__dataclass_params__.frozen
    True
    """

    palette: object
    sets: np.ndarray
    orders: np.ndarray
    start: np.ndarray
    last: np.ndarray

    @cached_property
    def _rows(self):
        return {}

    @cached_property
    def keys(self):
        """Mass, cost, layers of each set, shape (sets, 3) [g/m2, cents/m2, -]."""
        return self.sets.astype(np.int64) @ self.palette.keys

    @cached_property
    def thickness_mm(self):
        """Thickness of each set, shape (sets,) [mm]."""
        return self.sets @ self.palette.layer_thickness_mm

    @cached_property
    def glass(self):
        """Fibre and mass of the fabrics of each set, shape (2, sets) [g/m2]."""
        glass = self.palette.glass_gsm
        return np.stack([self.sets @ glass, self.sets @ np.where(glass > 0, self.palette.mass_gsm, 0.0)])

    def moments(self, moments, rows, outer):
        """Moments of orders about the core face, distances counted away from the core.

        Parameters
        ----------
        moments : ndarray, shape (3, layers)
            Moments of the layers about their lower faces [N/mm, N, N mm].
        rows : ndarray of int or slice
            Which orders [-].
        outer : bool
            Whether the core lies above the skin [-].

        Returns
        -------
        ndarray, shape (3, orders)
            Moments [N/mm, N, N mm].
        """
        orders, height = self.orders[rows], np.append(self.palette.layer_thickness_mm, 0.0)
        base = -height[orders].sum(axis=1) if outer else np.zeros(len(orders))
        total = order_moments(np.append(moments, np.zeros((3, 1)), axis=1), height, orders, base)
        total[1] *= -1.0 if outer else 1.0
        return total

    def largest(self, asked, outer):
        """Largest moments of every set over its orders, and the strain that its outermost face allows.

        Parameters
        ----------
        asked : Demands
            Rows of trial curvatures [-].
        outer : bool
            Whether the core lies above the skin [-].

        Returns
        -------
        moments : ndarray, shape (rows, 3, sets)
            Moments about the core face [N/mm, N, N mm].
        limits : ndarray, shape (2, 2, cases, sets)
            Two places with their distance from the core face and the strain they allow, against the load (outer
            skin) or with it (inner skin): the outermost face, and the weakest sub-ply as near to the core as it
            can be [mm, N].
        """
        rows = np.ascontiguousarray(np.moveaxis(asked.moments, 1, 0))
        moments = np.array([self._row(row.tobytes(), outer) for row in rows]).reshape(len(asked), 3, len(self.sets))
        face = asked.below[:, self.orders[:, 0]] if outer else asked.above[:, self.last]
        face = np.maximum.reduceat(face, self.start[:-1], axis=1)
        return moments, np.stack([(np.broadcast_to(self.thickness_mm, face.shape), face), self._weakest(asked, outer)])

    def _row(self, moments, outer):
        """Largest moments of every set over its orders for one trial curvature, kept: searches ask again for most."""
        if (moments, outer) not in self._rows:
            values = np.empty((3, len(self.sets)))
            layers = np.frombuffer(moments).reshape(3, -1)
            # sets by sets, so that no table of all orders is held
            step = max(1, int(_BLOCK / max(1, np.diff(self.start).max(initial=1))))
            for low in range(0, len(self.sets), step):
                begin = self.start[:-1][low:low + step]
                part = slice(begin[0], self.start[min(low + step, len(self.sets))])
                values[:, low:low + step] = np.maximum.reduceat(self.moments(layers, part, outer), begin - begin[0], axis=1)
            self._rows[moments, outer] = values
        return self._rows[moments, outer]

    def _weakest(self, asked, outer, core_mm=10.0):
        """Distance and strain of the sub-ply of each set that is likely to fail first, next to the core."""
        t = self.palette.thickness_mm[self.palette.index]
        distance = np.cumsum(t[:, ::-1], axis=1)[:, ::-1] if outer else np.cumsum(t, axis=1)
        strain = (asked.against if outer else asked.along)[:, self.palette.index]
        # any choice is a valid bound; this one is tight when the other skin is alike
        weak = np.where(np.isfinite(strain), (distance + core_mm / 2) / strain, 0.0)
        sub = weak.argmax(axis=2)
        layer = np.where(self.sets > 0, weak.max(axis=2)[:, None, :], -1.0).argmax(axis=2)
        case = np.arange(len(strain))[:, None]
        sub = sub[case, layer]
        return distance[layer, sub], strain[case, layer, sub]


def make_skin(palette, sets, tables):
    """Skin of all sets that the rules allow.

    Parameters
    ----------
    palette : Palette
        Choices [-].
    sets : ndarray of int, shape (sets, choices)
        Counts [-].
    tables : tuple of ndarray of bool
        Order rules from `OrderRules.tables` [-].

    Returns
    -------
    Skin
        Sets and orders [-].

    Raises
    ------
    InputError
        If there are too many sequences of a skin.
    """
    if sequences_of(sets) > LARGEST_ORDERS:
        raise InputError("palette and layers", f"give too many sequences of a skin; at most {LARGEST_ORDERS} [-]",
                         sequences_of(sets), "offer fewer fabrics or fewer layers in a skin")
    sizes = sets.sum(axis=1)
    wide, owners, orders, last = int(sizes.max()), [], [], []
    for size in np.unique(sizes):
        group = np.flatnonzero(sizes == size)
        for owner, some in walk(sets[group], tables):
            filled = np.full((len(some), wide), len(palette.index), dtype=np.int8)
            filled[:, :size] = some
            owners.append(group[owner]), orders.append(filled), last.append(some[:, -1])
    owner = np.concatenate([np.zeros(0, dtype=np.intp), *owners])
    place = np.argsort(owner, kind="stable")
    kept, begin = np.unique(owner[place], return_index=True)
    orders = np.concatenate([np.zeros((0, wide), dtype=np.int8), *orders])[place]
    return Skin(palette, sets[kept], orders, np.append(begin, len(owner)),
                np.concatenate([np.zeros(0, dtype=np.int8), *last])[place])


@dataclass(frozen=True, eq=False)
class Sandwich:
    """Two skins on one of the cores.

    Parameters
    ----------
    outer, inner : Skin
        Skins, the outer one against the mould [-].
    cores : ndarray of int, shape (cores,)
        Choices that may be the core [-].
    sequences : int
        Number of sequences before any rule [-].

    Examples
    --------
    >>> Sandwich.__dataclass_params__.frozen
    True
    """

    outer: Skin
    inner: Skin
    cores: np.ndarray
    sequences: int

    @property
    def palette(self):
        """Choices [-]."""
        return self.outer.palette

    @property
    def shape(self):
        """Outer sets, cores, inner sets [-]."""
        return len(self.outer.sets), len(self.cores), len(self.inner.sets)

    @cached_property
    def _rows(self):
        return {}

    def with_cores(self, skin, moments):
        """Moments of outer skins on each core about the inner face of the core, kept as those of the skins are.

        Parameters
        ----------
        skin : ndarray, shape (3, sets)
            Largest moments of the outer skins about the core face, see `Skin.largest` [N/mm, N, N mm].
        moments : ndarray, shape (3, layers)
            Moments of the layers for the same trial curvature [N/mm, N, N mm].

        Returns
        -------
        ndarray, shape (3, sets times cores)
            Moments with depth counted positive [N/mm, N, N mm].
        """
        name = moments.tobytes()
        if name not in self._rows:
            c = self.palette.layer_thickness_mm[self.cores]
            (s0, s1, s2), (k0, k1, k2) = skin[..., None], moments[:, self.cores]
            total = s0 + k0
            self._rows[name] = np.stack([total, s1 + (c * total - k1),
                                         s2 + (c * (2 * (s1 - k1) + c * total) + k2)]).reshape(3, -1)
        return self._rows[name]

    def key(self, number):
        """Mass, cost and layers of one sandwich.

        Parameters
        ----------
        number : int
            Which one [-].

        Returns
        -------
        tuple of int
            Key [g/m2, cents/m2, -].
        """
        o, c, i = np.unravel_index(number, self.shape)
        return tuple(int(k) for k in self.outer.keys[o] + self.palette.keys[self.cores[c]] + self.inner.keys[i])

    def scan(self, objective, targets, cheaper=None):
        """Sandwiches that may meet the targets, in the order of the objective.

        Parameters
        ----------
        objective : tuple of str
            All three keys, most important first [-].
        targets : Targets
            What is asked for [-].
        cheaper : callable, optional
            Returns the cost from which on sandwiches are left out [cents/m2].

        Yields
        ------
        done, total : int
            Sandwiches looked at so far, and all [-].
        numbers : ndarray of int
            Sandwiches that are left of the next handful [-].

        Notes
        -----
        Keys are sums of those of the outer skin with the core and of the inner skin, both sorted: each handful
        holds all sums between two thresholds, so that the full list is never made.
        """
        field = _Field(self, objective, targets)
        pair, group, _ = field.blocks()
        total, done = int((field.end[group] - field.begin[group]).sum()), 0
        for pairs, inner in field.handfuls(pair, group):
            done += len(pairs)
            keep = field.windows(targets, pairs, inner)
            if cheaper is not None:
                keep &= field.cost[0][pairs] + field.cost[1][inner] < cheaper()
            place, _ = field.bound(pairs[keep], inner[keep])
            pairs, inner = pairs[keep][place], inner[keep][place]
            order = np.argsort(field.code[0][pairs] + field.code[1][inner], kind="stable")
            yield done, total, field.numbers(pairs[order], inner[order])

    def peaks(self, targets, column, floor):
        """Sandwiches with the upper bound of one value, those with the largest bounds first.

        Parameters
        ----------
        targets : Targets
            What is asked for besides [-].
        column : int
            0, 1: stiffness; 2: ratio [-].
        floor : callable
            Returns the value that has been reached: bounds that do not exceed it are left out [N mm or -].

        Yields
        ------
        done, total : int
            Blocks looked at so far, and all [-].
        ceiling : float
            Bound of all sandwiches that are still to come [N mm or -].
        numbers : ndarray of int
            Sandwiches that may meet the targets [-].
        top : ndarray, shape (numbers,)
            Upper bounds [N mm or -].
        """
        field = _Field(self, ("mass", "cost", "layers"), targets, column)
        pair, group, ceiling = field.blocks(column)
        order, size = np.argsort(-ceiling, kind="stable"), _BLOCK // _GROUP
        for low in range(0, len(order), size):
            at = order[low:low + size]
            pairs, inner = _spread(pair[at], field.begin[group[at]], field.end[group[at]])
            keep = field.windows(targets, pairs, inner)
            place, top = field.bound(pairs[keep], inner[keep], column, floor())
            yield low, len(order), float(ceiling[at[0]]), field.numbers(pairs[keep][place], inner[keep][place]), top

    def tries(self, numbers, targets, prefer=2):
        """Best order of each sandwich that meets the targets, and how many orders were worked out in full.

        Parameters
        ----------
        numbers : ndarray of int, shape (sandwiches,)
            Sandwiches [-].
        targets : Targets
            What is asked for [-].
        prefer : int
            Value that makes the best order: 0, 1 stiffness, 2 ratio [-].

        Returns
        -------
        found : dict
            Sandwich to its order and its values [-].
        tested : int
            Orders worked out [-].
        """
        o, c, i = np.unravel_index(numbers, self.shape)
        many = np.diff(self.inner.start)[i]
        ends = np.cumsum(np.diff(self.outer.start)[o] * many)
        found, tested, every = {}, 0, len(targets.loads) > 0
        for low in range(0, int(ends[-1]) if len(ends) else 0, _ORDERS):
            which = np.arange(low, min(low + _ORDERS, ends[-1]))
            owner = np.searchsorted(ends, which, side="right")
            rest = which - np.append(0, ends)[owner]
            below = self.outer.start[o[owner]] + rest // many[owner]
            above = self.inner.start[i[owner]] + rest % many[owner]
            keep = self._meets(targets, below, c[owner], above)
            below, above, core = below[keep], above[keep], self.cores[c[owner[keep]]][:, None]
            orders = np.concatenate([self.outer.orders[below], core.astype(np.int8), self.inner.orders[above]], axis=1)
            place, values = evaluate(self.palette, orders, targets, every=every)
            keep_best(found, numbers[owner[keep][place]], orders[place], values, prefer)
            tested += len(orders)
        real = len(self.palette.index)
        return {k: (tuple(x for x in order if x < real), values) for k, (order, values) in found.items()}, tested

    def _compliance(self, below, core, above):
        """Coupling and bending compliance of pairs of orders, and their height."""
        parts = []
        for orders, pick in ((self.outer.orders, below), (self.cores[:, None], core), (self.inner.orders, above)):
            used, at = np.unique(pick, return_inverse=True)
            parts.append([values[at] for values in stiffness_of(self.palette, orders[used])])
        terms, height = joined(parts)
        return *compliance_blocks(terms)[1:], height

    def _meets(self, targets, below, core, above):
        """Pairs of orders that are stiff enough and whose skins hold, rounding forgiven."""
        palette = self.palette
        b, d, height = self._compliance(below, core, above)
        keep = np.ones(len(below), dtype=bool)
        for k, least in enumerate((targets.stiffness_x, targets.stiffness_y)):
            keep &= True if least is None else SLACK >= least * d[:, k, k]
        place = np.flatnonzero(keep)
        if targets.margin is None:
            return place
        # layer by layer from outside, the inner skin first: the first ones reject most
        sides = [(self.inner.orders[:, ::-1], above, height / 2, -1.0), (self.outer.orders, below, -height / 2, 1.0)]
        for orders, pick, face, way in sides:
            for k in range(orders.shape[1]):
                index = sub_plies(palette, orders[pick[place], k:k + 1])
                t = palette.thickness_mm[index]
                beyond = face[place] + way * t.sum(axis=1)
                z = ply_interfaces(t) + (face[place, None] + beyond[:, None]) / 2
                face[place] = beyond
                keep = np.ones(len(place), dtype=bool)
                for load in targets.loads:
                    ratio, _ = first_ply_ratio(palette.forms, index, z, b[place] @ load, d[place] @ load)
                    keep &= ratio * SLACK >= targets.margin
                place = place[keep]
        return place


def _spread(values, begin, end):
    """Each value with each whole number of its range."""
    count = end - begin
    first = np.cumsum(count) - count
    return np.repeat(values, count), np.arange(count.sum()) - np.repeat(first - begin, count)


class _Field:
    """Pairs of outer skin and core against inner sets in the order of their keys, with the bounds of both."""

    def __init__(self, sandwich, objective, targets, column=None):
        outer, inner, cores, palette = sandwich.outer, sandwich.inner, sandwich.cores, sandwich.palette
        asked = demands(palette, targets, column)
        # rows that rejected most so far are asked first
        self.sandwich, self.asked, self.rejected = sandwich, asked, np.zeros(len(asked))
        self.targets, self.passed = targets, 0
        keys = (outer.keys[:, None] + palette.keys[cores]).reshape(-1, 3)
        largest = keys.max(axis=0, initial=0) + inner.keys.max(axis=0, initial=0)
        code = key_codes(inner.keys, largest, objective)
        self.rank = np.argsort(code, kind="stable")
        self.code = key_codes(keys, largest, objective), code[self.rank]
        self.cost = keys[:, 1], inner.keys[self.rank, 1]
        core_mm = palette.layer_thickness_mm[cores]
        self.core_mm = np.tile(core_mm, len(outer.sets))
        self.height = (outer.thickness_mm[:, None] + core_mm).reshape(-1), inner.thickness_mm[self.rank]
        self.glass = np.repeat(outer.glass, len(cores), axis=1), inner.glass[:, self.rank]
        skin, below = outer.largest(asked, True)
        other, above = inner.largest(asked, False)
        below = np.repeat(below, len(cores), axis=3)
        below[:, 0] += self.core_mm
        self.limits = below, above[..., self.rank]
        self.outer = [sandwich.with_cores(s, asked.moments[:, row]) for row, s in enumerate(skin)]
        self.inner = other[:, :, self.rank]
        self.begin = np.arange(0, len(inner.sets), _GROUP)
        self.end = np.minimum(self.begin + _GROUP, len(inner.sets))

    def numbers(self, pairs, inner):
        """Candidate numbers of pairs and places in the sorted inner sets."""
        return pairs * len(self.rank) + self.rank[inner]

    def windows(self, targets, pairs, inner):
        """Whether sandwiches are within the thickness and glass windows."""
        keep = in_window(self.height[0][pairs] + self.height[1][inner], targets.thickness_mm)
        if targets.glass_share is not None:
            (glass, mass), (more, rest) = self.glass
            keep &= in_window((glass[pairs] + more[inner]) / (mass[pairs] + rest[inner]), targets.glass_share)
        return keep

    def blocks(self, column=None):
        """Pairs with groups of inner sets, as far as the largest of each group leaves them possible."""
        pair = np.repeat(np.arange(len(self.height[0])), len(self.begin))
        group = np.tile(np.arange(len(self.begin)), len(self.height[0]))
        if not len(pair):
            return pair, group, np.zeros(0)
        inner = np.maximum.reduceat(self.inner, self.begin, axis=2)
        # nearest to the core and strongest of the group
        limits = np.stack([np.minimum.reduceat(self.limits[1][:, 0], self.begin, axis=2),
                           np.maximum.reduceat(self.limits[1][:, 1], self.begin, axis=2)], axis=1)
        parts = []
        for low in range(0, len(pair), _BLOCK):
            part = slice(low, low + _BLOCK)
            place, top = self._reach(pair[part], group[part], inner, limits, column, patience=_PATIENCE)
            parts.append((place + low, top))
        place, top = (np.concatenate(one) for one in zip(*parts, strict=True))
        return pair[place], group[place], top

    @cached_property
    def _strength(self):
        return StrengthBound(self.sandwich, self.targets.loads)

    def bound(self, pairs, inner, column=None, floor=-np.inf):
        """Sandwiches whose bounds reach all targets, and the bound of one value, above a floor."""
        place, top = self._reach(pairs, inner, self.inner, self.limits[1], column, floor)
        if (self.asked.kind == 2).any() and (column == 2 or self.passed > _FEW):
            outer, core = np.divmod(pairs[place], len(self.sandwich.cores))
            value = self._strength(outer, core, self.rank[inner[place]])
            keep = value * SLACK >= (self.targets.margin or 0.0)
            if column == 2:
                top = np.minimum(top, value)
                keep &= top * SLACK > floor
            place, top = place[keep], top[keep]
        self.passed += len(place)
        return place, top

    def _reach(self, pairs, other, inner, limits, column, floor=-np.inf, patience=np.inf):
        place, top, span, idle = np.arange(len(pairs)), np.full(len(pairs), np.inf), None, 0
        for row in np.argsort(-self.rejected, kind="stable"):
            # rows may be left out, since each alone is a bound
            if not len(place) or (column is None and idle > patience):
                break
            p, t = (pairs, other) if len(place) == len(pairs) else (pairs[place], other[place])
            value = _about_core(self.outer[row], inner[row], p, t, self.core_mm)
            if self.asked.kind[row] == 2:
                # worked out late: most are rejected by their stiffness
                span = self._span(pairs, other, limits, place) if span is None else span
                value = self.asked.value(row, value, span[:, place])
            keep = self.asked.passes(row, value)
            if self.asked.kind[row] == column:
                top[place] = np.minimum(top[place], value)
                keep &= value * SLACK > floor
            gone = len(place) - np.count_nonzero(keep)
            idle = 0 if gone > len(place) // 64 else idle + 1
            if gone:
                self.rejected[row] += gone
                place = place[keep]
        return place, top[place]

    def _span(self, pairs, other, limits, place):
        """Largest kappa.M that two places, one in each skin, allow: strain range over distance; tightest of four."""
        span = np.full((len(self.asked.against), len(pairs)), np.inf)
        p, t = pairs[place], other[place]
        for below in self.limits[0]:
            for above in limits:
                span[:, place] = np.minimum(span[:, place], (below[1][:, p] + above[1][:, t])
                                            / (below[0][:, p] + above[0][:, t]))
        return span

    def handfuls(self, pair, group):
        """All sandwiches of the blocks, between one threshold of the key and the next."""
        base, keys = self.code[0][pair], self.code[1]
        low = self.begin[group]
        for threshold in self._thresholds(base, group):
            high = np.clip(np.searchsorted(keys, threshold - base, side="right"), low, self.end[group])
            some = np.flatnonzero(high > low)
            yield _spread(pair[some], low[some], high[some])
            low = high

    def _thresholds(self, base, group):
        """Keys that part the sandwiches of the blocks into handfuls of about the wanted size."""
        total = int((self.end[group] - self.begin[group]).sum())
        if not total:
            return []
        step = max(1, len(base) // 4096)
        sums = np.sort((base[::step, None] + self.code[1][self.begin[group[::step]][:, None]
                        + np.linspace(0, (self.end - self.begin)[group[::step]] - 1, 4).T.astype(int)]).reshape(-1))
        shares = np.append(_FIRST * 2.0 ** np.arange(4), np.arange(_BLOCK, total + _BLOCK, _BLOCK)) / total
        return np.append(np.unique(sums[(shares[shares < 1] * len(sums)).astype(int)]), np.iinfo(np.int64).max // 2)


def _about_core(outer, inner, pairs, other, core_mm):
    """Bound of v'Dv of sandwiches about the best plane inside their core, from the largest moments of their skins."""
    s0, s1, s2 = outer
    t0, t1, t2 = inner
    lean, total = s1[pairs], s0[pairs]
    lean -= t1[other]
    total += t0[other]
    depth = lean / total
    np.clip(depth, 0.0, core_mm[pairs], out=depth)
    total *= depth
    lean *= 2.0
    total -= lean
    total *= depth
    total += s2[pairs]
    total += t2[other]
    return total
