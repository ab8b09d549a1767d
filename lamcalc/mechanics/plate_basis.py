"""Polynomials along one side of a plate, and the fixed matrices of the Ritz method made from them.

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

from lamcalc.errors import InputError
from lamcalc.mechanics.plate_energy import Chosen, Energy, coefficient_shapes, kron

LOWEST_ORDER, HIGHEST_ORDER, HIGHEST_SHEAR_ORDER = 6, 24, 14


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


@dataclass(frozen=True, eq=False)
class Block:
    """One set of functions that does not couple with the others, for any bending and shear stiffness.

    Parameters
    ----------
    x, y : Side
        Functions of the two directions [-].
    shear : bool
        Whether rotations are independent [-].
    members : ndarray of int, shape (m,)
        Positions in the full list of functions; those that exist at an order lower by two come first [-].
    lower : int
        How many of the members exist at an order lower by two [-].
    kept : bool
        Whether the fixed matrices are worth keeping: not for a plate split at a patch [-].

    Examples
    --------
    >>> tables("SSSS", 8, False).blocks[0].stiffness.shape
    (6, 32, 32)
    """

    x: Side
    y: Side
    shear: bool
    members: np.ndarray
    lower: int
    kept: bool

    @cached_property
    def stiffness(self):
        """Matrices of D11, D22, D12, D66, D16, D26 and, with shear, A55, A44, A45, shape (6 or 9, m, m) [-]."""
        return np.stack([self._assembled(unit) for unit in np.eye(9 if self.shear else 6)])

    @cached_property
    def _energy(self):
        every = Chosen(*(np.arange(family.lower.size) for family in (self.x.deflection, self.x.rotation)))
        return Energy(self.x, self.y, self.shear, every, every)

    def matrix(self, factors):
        """Stiffness matrix of the block.

        Parameters
        ----------
        factors : ndarray, shape (..., 6) or (..., 9)
            Factors of the fixed matrices [N/mm3].

        Returns
        -------
        ndarray, shape (..., m, m)
            Stiffness [N/mm3].

        Examples
        --------
        >>> tables("SSSS", 6, False).blocks[0].matrix(np.ones(6)).shape
        (18, 18)
        """
        if factors.ndim == 1 and not self.kept:
            return self._assembled(factors)
        m = self.members.size
        return (factors @ self.stiffness.reshape(-1, m * m)).reshape(*factors.shape[:-1], m, m)

    def _assembled(self, factors):
        return self._energy(factors).take(self.members, 0).take(self.members, 1)


@dataclass(frozen=True, eq=False)
class Tables:
    """Everything that a set of edges and an order fixes.

    Parameters
    ----------
    x, y : Side
        Functions of the two directions [-].
    order : int
        Number of classical deflection functions a direction; with joints see `side` [-].
    shear : bool
        Whether rotations are independent [-].
    blocks : tuple of Block
        Uncoupled sets; the first holds the answer to a uniform pressure [-].

    Examples
    --------
    >>> tables("CSCS", 8, False).count
    64
    """

    x: Side
    y: Side
    order: int
    shear: bool
    blocks: tuple

    @property
    def shapes(self):
        """Shapes of the coefficient arrays of w and, with shear, of the rotations in x and y [-]."""
        return coefficient_shapes(self.x, self.y, self.shear)

    @property
    def count(self):
        """Number of functions [-]."""
        return sum(p * q for p, q in self.shapes)

    @cached_property
    def strips(self):
        """Functions that live in one segment along x, segment by segment, and last those of the joints [-].

        Functions of different segments do not couple.
        """
        homes = [np.where((family.coefficients != 0).any(axis=1).sum(axis=0) == 1,
                          (family.coefficients != 0).any(axis=1).argmax(axis=0), -1)
                 for family in (self.x.deflection, self.x.rotation)]
        return tuple(Chosen(*(np.flatnonzero(home == k) for home in homes))
                     for k in (*range(len(self.x.deflection.coefficients)), -1))

    @cached_property
    def lower(self):
        """Which functions exist at an order lower by two, shape (count,) [-]."""
        return _lower(self.x, self.y, self.shear)

    @cached_property
    def _within(self):
        return tuple(Energy(self.x, self.y, self.shear, one, one) for one in self.strips)

    @cached_property
    def _across(self):
        return tuple(Energy(self.x, self.y, self.shear, one, self.strips[-1]) for one in self.strips[:-1])

    @cached_property
    def places(self):
        """Positions in the full list of functions of each of `strips` [-]."""
        return tuple(one.positions(self.x, self.y, self.shear) for one in self.strips)

    def by_strips(self, factors):
        """Stiffness within each of `strips`, and between the segments and the joints.

        Parameters
        ----------
        factors : ndarray, shape (6,) or (9,)
            Factors of the fixed matrices [N/mm3].

        Returns
        -------
        within, across : list of ndarray, shape (m, m) and (m, n)
            Stiffness [N/mm3].

        Examples
        --------
        >>> within, across = segmented_tables("SSSS", 6, False, (0.0,), (0.5,)).by_strips(np.ones(6))
        >>> [one.shape for one in within], [one.shape for one in across]
        ([(24, 24), (24, 24), (16, 16)], [(24, 16), (24, 16)])
        """
        return [one(factors) for one in self._within], [one(factors) for one in self._across]

    @cached_property
    def pressure(self):
        """Integral of every deflection function over the plate, shape (count,) [-]."""
        return self.spread(self.x.deflection.integrals.sum(axis=0), self.y.deflection.integrals.sum(axis=0))

    def spread(self, x_part, y_part):
        """Products of parts in x and y for the deflection functions, zero for rotations.

        Parameters
        ----------
        x_part, y_part : ndarray, shape (functions,)
            One value a deflection function of the side [-].

        Returns
        -------
        ndarray, shape (count,)
            Products [-].

        Examples
        --------
        >>> tables("SSSS", 6, True).spread(np.ones(6), np.ones(6)).sum()
        np.float64(36.0)
        """
        vector = np.zeros(self.count)
        vector[: x_part.size * y_part.size] = np.outer(x_part, y_part).ravel()
        return vector

    @cached_property
    def inertia(self):
        """Matrices of w w, w,x w,x, w,y w,y, w,x w,y for each block, shape (4, m, m) [-]."""
        x, y, size = self.x.products, self.y.products, self.shapes[0][0] * self.shapes[0][1]
        full = np.zeros((4, self.count, self.count))
        for k, ((i, j), (p, q)) in enumerate((((0, 0), (0, 0)), ((1, 1), (0, 0)), ((0, 0), (1, 1)), ((1, 0), (0, 1)))):
            full[k, :size, :size] = kron(x[("w", i), ("w", j)], y[("w", p), ("w", q)])
        full[3] += full[3].T
        return tuple(full.take(b.members, 1).take(b.members, 2) for b in self.blocks)


def _classes(x, y, shear, orthotropic):
    """Class of every function by the symmetry of its deflection; all 0 if opposite edges differ.

    0 point-symmetric, 1 point-antisymmetric; for orthotropic plates 0 to 3, by symmetry in x and in y.
    """
    px, py = x.deflection.parity, y.deflection.parity
    pairs = [(px, py)]
    if shear:
        # a rotation is odd where its deflection is even
        pairs += [(x.rotation.parity + 1, py), (px, y.rotation.parity + 1)]
    if min(p.min() for p in (px, py, x.rotation.parity, y.rotation.parity)) < 0:
        return np.zeros(sum(p.size * q.size for p, q in pairs), dtype=int)
    if orthotropic:
        return np.concatenate([(2 * (p[:, None] % 2) + q % 2).ravel() for p, q in pairs])
    return np.concatenate([((p[:, None] + q) % 2).ravel() for p, q in pairs])


def _lower(x, y, shear):
    parts = [np.outer(x.deflection.lower, y.deflection.lower)]
    if shear:
        parts += [np.outer(x.rotation.lower, y.deflection.lower), np.outer(x.deflection.lower, y.rotation.lower)]
    return np.concatenate([p.ravel() for p in parts])


def checked_edges(edges):
    """Return the edge letters after checking them.

    Parameters
    ----------
    edges : str
        Four letters for the edges x = 0, x = a, y = 0, y = b: C clamped, S simply supported, F free [-].

    Returns
    -------
    str
        The letters in capitals [-].

    Raises
    ------
    InputError
        If there are not four letters out of C, S, F.

    Examples
    --------
    >>> checked_edges("cscs")
    'CSCS'
    """
    text = str(edges).upper()
    if len(text) != 4 or set(text) - set("CSF"):
        raise InputError("edges", "must be four letters C (clamped), S (simply supported) or F (free), "
                         "in the order x = 0, x = a, y = 0, y = b", edges, 'write for instance "SSSS" or "CCCF"')
    return text


def is_held(edges):
    """Whether the edges keep the plate from moving as a rigid body.

    Parameters
    ----------
    edges : str
        Four letters as in `checked_edges` [-].

    Returns
    -------
    bool
        True with a clamped edge or with two simply supported ones [-].

    Examples
    --------
    >>> is_held("SFFF"), is_held("SFSF")
    (False, True)
    """
    return "C" in edges or edges.count("S") >= 2


def checked_order(order, shear):
    """Return the order after checking it.

    Parameters
    ----------
    order : int
        Functions a direction [-].
    shear : bool
        Whether there is first-order shear [-].

    Returns
    -------
    int
        The order [-].

    Raises
    ------
    InputError
        If the order is not a whole number from 6 to 24 (14 with shear).

    Examples
    --------
    >>> checked_order(8, True)
    8
    """
    highest = HIGHEST_SHEAR_ORDER if shear else HIGHEST_ORDER
    if not isinstance(order, (int, np.integer)) or not LOWEST_ORDER <= order <= highest:
        raise InputError("order", f"must be a whole number from {LOWEST_ORDER} to {highest} [functions a direction]",
                         order, "leave it out for the default")
    return int(order)


@lru_cache(maxsize=64)
def tables(edges, order, shear, orthotropic=False):
    """Fixed matrices for a set of edges and an order; built once and kept.

    Parameters
    ----------
    edges : str
        Four letters as in `checked_edges` [-].
    order : int
        Number of classical deflection functions a direction [-].
    shear : bool
        Whether rotations are independent (first-order shear) [-].
    orthotropic : bool
        Whether D16, D26 and A45 are zero [-].

    Returns
    -------
    Tables
        Functions and matrices [-].

    Notes
    -----
    The energy of a plate is the sum of six stiffnesses (nine with shear) times
    fixed matrices.  With like edges on opposite sides, bend-twist coupling mixes
    only functions of equal point symmetry, so the problem falls into two halves;
    without that coupling it falls into quarters.

    Examples
    --------
    >>> [block.members.size for block in tables("CCSS", 8, False).blocks]
    [32, 32]
    """
    return _built(side(edges[:2], order, shear), side(edges[2:], order, shear), order, shear, True, orthotropic)


@lru_cache(maxsize=32)
def segmented_tables(edges, order, shear, joints_x, joints_y):
    """Fixed matrices for a plate whose sides are split at the edges of a patch load; the last few are kept.

    Parameters
    ----------
    edges : str
        Four letters as in `checked_edges` [-].
    order : int
        4 more than the bubbles of each segment [-].
    shear : bool
        Whether rotations are independent (first-order shear) [-].
    joints_x, joints_y : tuple of float
        Interior joints along x and y, from -1 to 1 [-].

    Returns
    -------
    Tables
        Functions and matrices [-].

    Examples
    --------
    >>> segmented_tables("SSSS", 6, False, (0.0, 0.25), (0.5,)).shapes
    ((12, 8),)
    """
    x, y = side(edges[:2], order, shear, joints_x), side(edges[2:], order, shear, joints_y)
    return _built(x, y, order, shear, False)


def _built(x, y, order, shear, kept, orthotropic=False):
    kinds, lower = _classes(x, y, shear, orthotropic), _lower(x, y, shear)
    blocks = []
    for kind in range(kinds.max() + 1):
        members = np.concatenate([np.flatnonzero((kinds == kind) & part) for part in (lower, ~lower)])
        blocks.append(Block(x, y, shear, members, int((lower & (kinds == kind)).sum()), kept))
    return Tables(x, y, order, shear, tuple(blocks))
