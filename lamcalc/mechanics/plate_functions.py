"""Polynomials along one side of a plate, for the Ritz method.

Each side of the plate is mapped to t = -1 .. 1.  The functions are Hermite
cubics (value and slope at an end) for the ends that may move, and bubbles whose
second derivative is a Legendre polynomial, so clamped, simply supported and
free edges share one family.  The edges of a patch load split the side into
segments, with value and slope at the joints and bubbles of their own.  All this
depends on edges, order and joints only, never on size or stiffness, and is kept.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.polynomial import legendre


@dataclass(frozen=True, eq=False)
class Family:
    """Piecewise polynomials of t from -1 to 1, as Legendre coefficients of each segment.

    Parameters
    ----------
    joints : ndarray, shape (segments + 1,)
        Ends of the segments, from -1 to 1 [-].
    coefficients : ndarray, shape (segments, degree + 1, functions)
        Legendre coefficients over each segment [-].
    lower : ndarray of bool, shape (functions,)
        Which functions exist at an order lower by two [-].

    Examples
    --------
    >>> Family(np.array([-1.0, 1.0]), np.eye(3)[None], np.ones(3, bool)).values(1.0, 1).tolist()
    [0.0, 1.0, 3.0]
    """

    joints: np.ndarray
    coefficients: np.ndarray
    lower: np.ndarray

    @cached_property
    def _derived(self):
        steps = 2 / np.diff(self.joints)[:, None, None]
        return [legendre.legder(self.coefficients, k, axis=1) * steps**k for k in range(4)]

    @property
    def parity(self):
        """Parity of each function, shape (functions,): 0 even, 1 odd, -1 neither or more than one segment [-]."""
        if len(self.coefficients) > 1:
            return np.full(self.lower.size, -1)
        even = np.abs(self.coefficients[0, 1::2]).max(axis=0, initial=0.0) == 0
        odd = np.abs(self.coefficients[0, ::2]).max(axis=0, initial=0.0) == 0
        return np.where(even, 0, np.where(odd, 1, -1))

    @property
    def integrals(self):
        """Integral of each function over each segment, shape (segments, functions) [-]."""
        return np.diff(self.joints)[:, None] * self.coefficients[:, 0]

    def values(self, t, derivative=0):
        """Values of all functions, or of a derivative, at points.

        Parameters
        ----------
        t : array_like, shape (...)
            Points from -1 to 1 [-].
        derivative : int
            0 to 3 [-].

        Returns
        -------
        ndarray, shape (..., functions)
            Values [-].

        Examples
        --------
        >>> Family(np.array([-1.0, 1.0]), np.eye(2)[None], np.ones(2, bool)).values([0.0, 0.5]).tolist()
        [[1.0, 0.0], [1.0, 0.5]]
        """
        table = self._derived[derivative]
        t = np.asarray(t, dtype=float)
        points = t.ravel()
        segment = np.searchsorted(self.joints[1:-1], points)
        start, stop = self.joints[segment], self.joints[segment + 1]
        terms = legendre.legvander((2 * points - start - stop) / (stop - start), table.shape[1] - 1)
        found = terms @ table[0] if len(table) == 1 else (terms[:, None, :] @ table[segment])[:, 0]
        return found.reshape(*t.shape, -1)


# Hermite cubics as Legendre coefficients, columns: value and slope at t = -1, value and slope at t = +1
_HERMITE = np.array([[1 / 2, 1 / 6, 1 / 2, -1 / 6],
                     [-3 / 5, -1 / 10, 3 / 5, -1 / 10],
                     [0, -1 / 6, 0, 1 / 6],
                     [1 / 10, 1 / 10, -1 / 10, 1 / 10]])
_FREE = {"F": (0, 1), "S": (1,), "C": ()}


def _scaled(k):
    return np.sqrt((2 * k + 1) / 2) / (2 * k + 1)


def _bubble(k):
    """Function with second derivative the normalised Legendre polynomial Pk; zero value and slope at both ends."""
    column = np.zeros(k + 3)
    column[k + 2] = _scaled(k) / (2 * k + 3)
    column[k] = -_scaled(k) * (1 / (2 * k + 3) + 1 / (2 * k - 1))
    column[k - 2] = _scaled(k) / (2 * k - 1)
    return column


def _lobatto(k):
    """Function with first derivative the normalised Legendre polynomial Pk; zero value at both ends."""
    column = np.zeros(k + 2)
    column[k + 1], column[k - 1] = _scaled(k), -_scaled(k)
    return column


class _Columns:
    """Functions of a family while it is put together."""

    def __init__(self, joints, degree):
        self.joints, self.degree, self.columns, self.lower = np.asarray(joints), degree, [], []

    def add(self, pieces, lower=True):
        """One function from a dictionary segment -> Legendre coefficients."""
        column = np.zeros((len(self.joints) - 1, self.degree + 1))
        for segment, piece in pieces.items():
            column[segment, : len(piece)] = piece
        self.columns.append(column)
        self.lower.append(lower)

    def family(self):
        return Family(self.joints, np.stack(self.columns, axis=-1), np.array(self.lower))


def _mirrored(columns, kinds, ends):
    """Add value (0) and slope (1) functions of the two ends; even and odd pairs if the ends are alike."""
    last = len(columns.joints) - 2
    for kind in kinds:
        at_start, at_stop = (kind in k for k in ends)
        start, stop = _HERMITE[:, kind], _HERMITE[:, 2 + kind]
        if at_start and at_stop and last == 0:
            for sign in (1, -1):
                # the twin of a value function is a value function, that of a slope function minus a slope function
                pair = start + sign * (-1) ** kind * stop
                pair[np.abs(pair) < 1e-15] = 0.0
                columns.add({0: pair})
        else:
            half = np.diff(columns.joints) / 2
            if at_start:
                columns.add({0: start * half[0] ** kind})
            if at_stop:
                columns.add({last: stop * half[last] ** kind})


@dataclass(frozen=True, eq=False)
class Side:
    """All functions of one direction for one pair of opposite edges.

    Parameters
    ----------
    deflection : Family
        Deflection, and the rotation along the edge if there is shear [-].
    smooth : int
        How many of the deflection functions obey the classical edge conditions; they come first [-].
    rotation : Family
        Rotation in this direction (shear only) [-].

    Examples
    --------
    >>> side("SS", 8, False).smooth
    8
    """

    deflection: Family
    smooth: int
    rotation: Family

    @cached_property
    def products(self):
        """Integrals over the side of all products of functions and derivatives, keyed by two (family, derivative)."""
        degree = self.deflection.coefficients.shape[1]
        nodes, weights = legendre.leggauss(degree)
        start, half = self.deflection.joints[:-1, None], np.diff(self.deflection.joints)[:, None] / 2
        points, weights = (start + half * (1 + nodes)).ravel(), (half * weights).ravel()
        values = {("w", k): self.deflection.values(points, k) for k in range(3)}
        values |= {("r", k): self.rotation.values(points, k) for k in range(2)}
        return {(f, g): (values[f] * weights[:, None]).T @ values[g] for f in values for g in values}


@lru_cache(maxsize=256)
def side(ends, order, shear, joints=()):
    """Functions of one direction.

    Parameters
    ----------
    ends : str
        Edge at t = -1 and at t = +1, each C clamped, S simply supported or F free [-].
    order : int
        Number of classical deflection functions; with joints, each segment has order - 4 bubbles [-].
    shear : bool
        Whether rotations are independent (first-order shear) [-].
    joints : tuple of float
        Interior joints of segments, -1 < t < 1 [-].

    Returns
    -------
    Side
        The functions [-].

    Notes
    -----
    With shear the deflection keeps the slope at a clamped end (only the rotation
    vanishes there) and rotations are one degree lower in their own direction, so
    that the slope of every deflection function is a rotation function: there is
    no locking and the stiff-shear limit is the classical solution of equal order.

    References
    ----------
    Szabo and Babuska, Finite Element Analysis, 1991, ch. 3 (integrated Legendre functions; from memory).

    Examples
    --------
    >>> side("CF", 6, True).deflection.coefficients.shape
    (1, 8, 7)
    """
    kept = tuple(_FREE[e] for e in ends)
    bubbles = order - 4 if joints else order - len(kept[0]) - len(kept[1])
    marks = (-1.0, *joints, 1.0)
    columns = _Columns(marks, bubbles + 3)
    _mirrored(columns, (0, 1), kept)
    half = np.diff(marks) / 2
    for k in range(1, len(marks) - 1):
        for kind in (0, 1):
            columns.add({k - 1: _HERMITE[:, 2 + kind] * half[k - 1] ** kind, k: _HERMITE[:, kind] * half[k] ** kind})
    for k in range(2, 2 + bubbles):
        for segment in range(len(marks) - 1):
            columns.add({segment: _bubble(k)}, lower=k < bubbles)
    smooth = len(columns.columns)
    if shear:
        _mirrored(columns, (1,), tuple((1,) if e == "C" else () for e in ends))
    return Side(columns.family(), smooth, _rotations(ends, bubbles + 2, marks))


def _rotations(ends, degree, marks):
    """Polynomials up to `degree` that vanish at clamped ends: linear ones, then integrated Legendre functions."""
    columns, rising, falling = _Columns(marks, degree), [0.5, 0.5], [0.5, -0.5]
    if "C" not in ends and len(marks) == 2:
        columns.add({0: [1.0]})
        columns.add({0: [0.0, 1.0]})
    else:
        if ends[0] != "C":
            columns.add({0: falling})
        if ends[1] != "C":
            columns.add({len(marks) - 2: rising})
    for k in range(1, len(marks) - 1):
        columns.add({k - 1: rising, k: falling})
    for k in range(1, degree):
        for segment in range(len(marks) - 1):
            columns.add({segment: _lobatto(k)}, lower=k < degree - 2)
    return columns.family()
