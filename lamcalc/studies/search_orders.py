"""Orders of sets of layers, grown level by level under the rules, and their exact evaluation."""

import numpy as np

from lamcalc.mechanics.laminate import compliance_blocks, ply_interfaces, stiffness_matrices
from lamcalc.mechanics.strain_space import first_ply_ratio

_ROWS = 2048
# unfinished orders held at a level: more are put aside, so that memory does not grow with the set
_NODES = 16384


def walk(counts, tables, prune=None):
    """Orders of sets of equal size that the rules allow, handful by handful, without duplicates.

    Parameters
    ----------
    counts : ndarray of int, shape (sets, choices)
        How often each choice is in the set; all sets equally large [-].
    tables : tuple of ndarray of bool
        From `OrderRules.tables` [-].
    prune : callable, optional
        Takes set, order so far and counts left; returns the rows to go on with [-].

    Yields
    ------
    owner : ndarray of int, shape (orders,)
        Set of each order [-].
    orders : ndarray of int, shape (orders, layers)
        Choices, mould side first [-].

    Examples
    --------
    >>> free = np.ones(2, bool), np.ones(2, bool), np.ones((2, 2), bool)
    >>> [orders.tolist() for _, orders in walk(np.array([[2, 1]]), free)]
    [[[0, 0, 1], [0, 1, 0], [1, 0, 0]]]
    """
    first, last, follow = tables
    size = int(counts[0].sum())
    aside = [(np.arange(len(counts)), np.empty((len(counts), 0), dtype=np.int8), counts.astype(np.int8))]
    while aside:
        owner, orders, left = aside.pop()
        level = orders.shape[1]
        if level == size:
            yield owner, orders
            continue
        allowed = left > 0
        allowed &= first if level == 0 else follow[orders[:, -1]]
        if level == size - 1:
            allowed &= last
        row, choice = np.nonzero(allowed)
        owner, left = owner[row], left[row]
        left[np.arange(len(row)), choice] -= 1
        orders = np.concatenate([orders[row], choice[:, None].astype(np.int8)], axis=1)
        if prune is not None and len(row):
            keep = prune(owner, orders, left)
            owner, orders, left = owner[keep], orders[keep], left[keep]
        # the last part goes on the pile first, so that orders come in their natural sequence
        for low in range((len(owner) - 1) // _NODES * _NODES, -1, -_NODES):
            if len(owner):
                aside.append((owner[low:low + _NODES], orders[low:low + _NODES], left[low:low + _NODES]))


def evaluate(palette, orders, targets, *, every=False):
    """Orders that meet the targets on stiffness and strength, with their values.

    Parameters
    ----------
    palette : Palette
        The choices [-].
    orders : ndarray of int, shape (orders, layers)
        Choices, mould side first; the number of choices stands for no layer [-].
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


def sub_plies(palette, orders):
    """Rows of the palette's sub-plies in orders of layers.

    Parameters
    ----------
    palette : Palette
        The choices [-].
    orders : ndarray of int, shape (orders, layers)
        Choices; the number of choices stands for no layer [-].

    Returns
    -------
    ndarray of int, shape (orders, sub-plies)
        Rows, mould side first [-].

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> two = SimpleNamespace(index=np.array([[0, 1], [2, 3]]), thickness_mm=np.array([0.5, 0.6, 0.7, 0.0]))
    >>> sub_plies(two, np.array([[1, 0, 2]])).tolist()
    [[2, 3, 0, 1, 3, 3]]
    """
    nothing = np.full((1, palette.index.shape[1]), len(palette.thickness_mm) - 1)
    table = np.concatenate([palette.index, nothing])
    return table[orders].reshape(len(orders), orders.shape[1] * table.shape[1])


def stiffness_of(palette, orders):
    """Stiffness of orders of layers about their own mid-planes.

    Parameters
    ----------
    palette : Palette
        The choices [-].
    orders : ndarray of int, shape (orders, layers)
        Choices, mould side first [-].

    Returns
    -------
    terms : ndarray, shape (orders, 3, 6)
        A, B, D as from `stiffness_matrices` [N/mm, N, N mm].
    height : ndarray, shape (orders,)
        Thickness [mm].
    """
    index = sub_plies(palette, orders)
    t = palette.thickness_mm[index]
    return stiffness_matrices(palette.qbar, t, index), t.sum(axis=1)


def joined(parts):
    """Stiffness of parts laid on top of each other, by moving the plane of reference.

    Parameters
    ----------
    parts : sequence of (ndarray, ndarray)
        Terms about the own mid-plane and thickness of each part, mould side first [N/mm, N, N mm; mm].

    Returns
    -------
    terms : ndarray, shape (orders, 3, 6)
        A, B, D about the mid-plane of the whole [N/mm, N, N mm].
    height : ndarray, shape (orders,)
        Thickness of the whole [mm].

    Examples
    --------
    >>> half = np.zeros((1, 3, 6))
    >>> half[0, 0, 0], half[0, 2, 0] = 1.0, 1 / 12
    >>> terms, height = joined([(half, np.ones(1)), (half, np.ones(1))])
    >>> terms[0, :, 0].round(6).tolist(), height.tolist()
    ([2.0, 0.0, 0.666667], [2.0])
    """
    height = sum(t for _, t in parts)
    total, base = np.zeros_like(parts[0][0]), -height / 2
    for terms, t in parts:
        z = (base + t / 2)[:, None]
        total[:, 0] += terms[:, 0]
        total[:, 1] += terms[:, 1] + z * terms[:, 0]
        total[:, 2] += terms[:, 2] + z * (2 * terms[:, 1] + z * terms[:, 0])
        base = base + t
    return total, height


def _evaluate(palette, orders, targets, every):
    index = sub_plies(palette, orders)
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


# powers of ten as they are read from text: those that are computed differ from processor to processor
_SMALLEST = -300
_TENS = np.array([float(f"1e{power}") for power in range(_SMALLEST, 309)])


def without_dust(values):
    """Values to nine digits, so that rounding does not choose between orders that are the same laminate.

    Two mats that change places leave everything as it is but the last digits, which differ from machine to machine.

    Parameters
    ----------
    values : ndarray, shape (...)
        Any numbers [any].

    Returns
    -------
    ndarray, shape (...)
        The same to nine significant digits; infinity and 0 as they are [as given].

    Examples
    --------
    >>> without_dust(np.array([1234.56789012345, np.inf, 0.0])).tolist()
    [1234.56789, inf, 0.0]
    """
    size = np.abs(values)
    plain = np.isfinite(size) & (size > 0)
    power = np.floor(np.log10(np.where(plain, size, 1.0))).astype(int) - 8
    step = _TENS[np.maximum(power, _SMALLEST) - _SMALLEST]
    return np.where(plain, np.round(np.where(plain, values, 0.0) / step) * step, values)


def strongest(owner, values, prefer):
    """Best row of each owner: largest preferred value, then largest 1/d11.

    Parameters
    ----------
    owner : ndarray of int, shape (rows,)
        Set of each row [-].
    values : ndarray, shape (rows, 3)
        1/d11, 1/d22 and ratio [N mm, N mm, -].
    prefer : int
        Column that counts first [-].

    Returns
    -------
    ndarray of int, shape (owners,)
        One row for each owner [-].

    Examples
    --------
    >>> strongest(np.array([4, 4, 7]), np.array([[1.0, 0, 2], [2.0, 0, 1], [3.0, 0, 0]]), 2).tolist()
    [0, 2]
    """
    shown = without_dust(values)
    order = np.lexsort((shown[:, 0], shown[:, prefer], owner))
    return order[np.append(owner[order][1:] != owner[order][:-1], True)] if len(order) else order
