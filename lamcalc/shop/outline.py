"""Cut lines: grown rectangles, merged into rectilinear outlines with their exact area."""

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class CutRegion:
    """One piece to cut out.

    Parameters
    ----------
    corners_mm : tuple of (float, float)
        Corners of the cut line in order, anticlockwise, not repeated at the end [mm].
    area_m2 : float
        Area inside the cut line [m2].

    Examples
    --------
    >>> CutRegion(((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0)), 0.01).area_m2
    0.01
    """

    corners_mm: tuple
    area_m2: float


def merge_rectangles(rectangles_mm):
    """Outlines of the union of axis-parallel rectangles; islands inside are taken out too.

    Parameters
    ----------
    rectangles_mm : array_like, shape (n, 4)
        x from, x to, y from, y to of each rectangle [mm].

    Returns
    -------
    tuple of CutRegion
        One for each connected piece; pieces that touch at a corner only stay apart [mm], [m2].

    Notes
    -----
    The plane is cut at every edge of a rectangle, so the area is exact and each outline a simple polygon.

    References
    ----------
    Coordinate compression and boundary walk, elementary geometry.

    Examples
    --------
    >>> pieces = merge_rectangles([(0, 300, 0, 300), (200, 500, 0, 300), (900, 1000, 0, 100)])
    >>> [(len(piece.corners_mm), piece.area_m2) for piece in pieces]
    [(4, 0.15), (4, 0.01)]
    """
    boxes = np.asarray(rectangles_mm, dtype=float).reshape(-1, 4)
    x, y = np.unique(boxes[:, :2]), np.unique(boxes[:, 2:])
    inside = np.zeros((max(len(x) - 1, 0), max(len(y) - 1, 0)), dtype=bool)
    for x0, x1, y0, y1 in boxes:
        inside[np.searchsorted(x, x0):np.searchsorted(x, x1), np.searchsorted(y, y0):np.searchsorted(y, y1)] = True
    inside = _without_islands(inside)
    cells = np.outer(np.diff(x), np.diff(y))
    return tuple(CutRegion(_walk(piece, x, y), float(cells[piece].sum()) / 1e6) for piece in _pieces(inside))


def _flood(free, start):
    reached, stack = np.zeros_like(free), [start]
    reached[start] = True
    while stack:
        i, j = stack.pop()
        for k, m in ((i + 1, j), (i - 1, j), (i, j + 1), (i, j - 1)):
            if 0 <= k < free.shape[0] and 0 <= m < free.shape[1] and free[k, m] and not reached[k, m]:
                reached[k, m] = True
                stack.append((k, m))
    return reached


def _without_islands(inside):
    outside = _flood(np.pad(~inside, 1, constant_values=True), (0, 0))
    return ~outside[1:-1, 1:-1]


def _pieces(inside):
    left = inside.copy()
    while left.any():
        piece = _flood(left, tuple(int(k[0]) for k in np.nonzero(left)))
        left &= ~piece
        yield piece


def _walk(piece, x, y):
    """Corners of one piece, anticlockwise: follow the edges that have the piece on their left."""
    padded, following = np.pad(piece, 1), {}
    for i, j in zip(*np.nonzero(piece)):
        a, b = i + 1, j + 1
        if not padded[a, b - 1]:
            following[(i, j)] = (i + 1, j)
        if not padded[a + 1, b]:
            following[(i + 1, j)] = (i + 1, j + 1)
        if not padded[a, b + 1]:
            following[(i + 1, j + 1)] = (i, j + 1)
        if not padded[a - 1, b]:
            following[(i, j + 1)] = (i, j)
    path = [min(following)]
    while following[path[-1]] != path[0]:
        path.append(following[path[-1]])
    turns = [point for before, point, after in zip(path[-1:] + path[:-1], path, path[1:] + path[:1])
             if (point[0] - before[0]) * (after[1] - point[1]) != (point[1] - before[1]) * (after[0] - point[0])]
    return tuple((float(x[i]), float(y[j])) for i, j in turns)
