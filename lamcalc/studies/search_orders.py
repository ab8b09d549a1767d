"""Orders of sets of layers, grown level by level under the rules, and their exact evaluation."""

import numpy as np

from lamcalc.mechanics.laminate import compliance_blocks, ply_interfaces, stiffness_matrices
from lamcalc.mechanics.strain_space import first_ply_ratio

_ROWS = 8192


def grow(counts, tables):
    """Every order of each set that the rules allow, without duplicates.

    Parameters
    ----------
    counts : ndarray of int, shape (sets, choices)
        How often each choice is in the set; all sets equally large [-].
    tables : tuple of ndarray of bool
        From `OrderRules.tables` [-].

    Returns
    -------
    owner : ndarray of int, shape (orders,)
        Set of each order [-].
    orders : ndarray of int, shape (orders, layers)
        Choices, mould side first [-].

    Examples
    --------
    >>> free = np.ones(2, bool), np.ones(2, bool), np.ones((2, 2), bool)
    >>> grow(np.array([[2, 1]]), free)[1].tolist()
    [[0, 0, 1], [0, 1, 0], [1, 0, 0]]
    """
    first, last, follow = tables
    size = int(counts[0].sum())
    owner, left = np.arange(len(counts)), counts.astype(np.int8)
    orders = np.empty((len(counts), 0), dtype=np.int8)
    for level in range(size):
        allowed = left > 0
        allowed &= first if level == 0 else follow[orders[:, -1]]
        if level == size - 1:
            allowed &= last
        row, choice = np.nonzero(allowed)
        owner, left = owner[row], left[row]
        left[np.arange(len(row)), choice] -= 1
        orders = np.concatenate([orders[row], choice[:, None].astype(np.int8)], axis=1)
    return owner, orders


def evaluate(palette, orders, targets, *, every=False):
    """Orders that meet the targets on stiffness and strength, with their values.

    Parameters
    ----------
    palette : Palette
        The choices [-].
    orders : ndarray of int, shape (orders, layers)
        Choices, mould side first [-].
    targets : Targets
        What is asked for [-].
    every : bool
        Whether to work out the strength also where no margin is asked for [-].

    Returns
    -------
    place : ndarray of int, shape (found,)
        Rows of `orders` that meet the targets [-].
    values : ndarray, shape (found, 3)
        1/d11, 1/d22 and the first-ply ratio, infinite where it was not worked out [N mm, N mm, -].
    """
    places, values = [np.zeros(0, dtype=np.intp)], [np.zeros((0, 3))]
    for low in range(0, len(orders), _ROWS):
        place, found = _evaluate(palette, orders[low:low + _ROWS], targets, every)
        places.append(place + low)
        values.append(found)
    return np.concatenate(places), np.concatenate(values)


def _evaluate(palette, orders, targets, every):
    index = palette.index[orders].reshape(len(orders), -1)
    t = palette.thickness_mm[index]
    _, b, d = compliance_blocks(stiffness_matrices(palette.qbar, t, index))
    values = np.stack([1 / d[:, 0, 0], 1 / d[:, 1, 1], np.full(len(d), np.inf)], axis=1)
    keep = (values[:, 0] >= (targets.stiffness_x or 0.0)) & (values[:, 1] >= (targets.stiffness_y or 0.0))
    place = np.flatnonzero(keep)
    if not len(place) or (targets.margin is None and not every):
        return place, values[place]
    b, d, index, z, found = b[place], d[place], index[place], ply_interfaces(t[place]), values[place]
    for load in targets.loads:
        ratio, _ = first_ply_ratio(palette.forms, index, z, b @ load, d @ load)
        np.minimum(found[:, 2], ratio, out=found[:, 2])
    strong = found[:, 2] >= (targets.margin or 0.0)
    return place[strong], found[strong]
