"""Polynomials along one side of a plate, and the fixed matrices of the Ritz method made from them.

Each side of the plate is mapped to t = -1 .. 1.  The functions are Hermite
cubics (value and slope at an end) for the ends that may move, and bubbles whose
second derivative is a Legendre polynomial, so clamped, simply supported and
free edges share one family.  Everything here depends on the edges and the
order only, never on the size or the stiffness of a plate, and is kept.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
from numpy.polynomial import legendre

from lamcalc.errors import InputError

LOWEST_ORDER, HIGHEST_ORDER, HIGHEST_SHEAR_ORDER = 6, 24, 14


@dataclass(frozen=True, eq=False)
class Family:
    """Polynomials of one variable, t from -1 to 1, as columns of Legendre coefficients.

    Parameters
    ----------
    coefficients : ndarray, shape (degree + 1, functions)
        Legendre coefficients, one column a function [-].
    lower : ndarray of bool, shape (functions,)
        Which functions exist at an order lower by two [-].

    Examples
    --------
    >>> Family(np.eye(3), np.ones(3, bool)).values(1.0, 1).tolist()
    [0.0, 1.0, 3.0]
    """

    coefficients: np.ndarray
    lower: np.ndarray

    @cached_property
    def _derived(self):
        table = {0: self.coefficients, -1: legendre.legint(self.coefficients, axis=0)}
        for k in (1, 2, 3):
            table[k] = legendre.legder(self.coefficients, k, axis=0)
        return table

    @property
    def parity(self):
        """Parity of each function, shape (functions,): 0 even, 1 odd, -1 neither [-]."""
        even = np.abs(self.coefficients[1::2]).max(axis=0, initial=0.0) == 0
        odd = np.abs(self.coefficients[::2]).max(axis=0, initial=0.0) == 0
        return np.where(even, 0, np.where(odd, 1, -1))

    def values(self, t, derivative=0):
        """Values of all functions, or of a derivative, at points.

        Parameters
        ----------
        t : array_like, shape (...)
            Points from -1 to 1 [-].
        derivative : int
            0 to 3, or -1 for the integral from an arbitrary origin [-].

        Returns
        -------
        ndarray, shape (..., functions)
            Values [-].

        Examples
        --------
        >>> Family(np.eye(2), np.ones(2, bool)).values([0.0, 0.5]).tolist()
        [[1.0, 0.0], [1.0, 0.5]]
        """
        table = self._derived[derivative]
        t = np.asarray(t, dtype=float)
        return (legendre.legvander(t.ravel(), len(table) - 1) @ table).reshape(*t.shape, -1)


def _bubbles(count, degree):
    """Columns whose second derivative is a normalised Legendre polynomial P2, P3, ...; zero value and slope at ends."""
    table = np.zeros((degree + 1, count))
    for column, k in enumerate(range(2, 2 + count)):
        scale = np.sqrt((2 * k + 1) / 2) / (2 * k + 1)
        table[k + 2, column] = scale / (2 * k + 3)
        table[k, column] = -scale * (1 / (2 * k + 3) + 1 / (2 * k - 1))
        table[k - 2, column] = scale / (2 * k - 1)
    return table


# Hermite cubics as Legendre coefficients, columns: value and slope at t = -1, value and slope at t = +1
_HERMITE = np.array([[1 / 2, 1 / 6, 1 / 2, -1 / 6],
                     [-3 / 5, -1 / 10, 3 / 5, -1 / 10],
                     [0, -1 / 6, 0, 1 / 6],
                     [1 / 10, 1 / 10, -1 / 10, 1 / 10]])
_FREE_COLUMNS = {"F": (0, 1), "S": (1,), "C": ()}


def _cubics(kept, degree, mirror):
    """Hermite columns (local 0 value, 1 slope) kept at each end; even and odd pairs if both ends are alike."""
    left, right = _HERMITE[:, list(kept[0])], _HERMITE[:, [2 + j for j in kept[1]]]
    if mirror:
        # reflection t -> -t turns a value function into its twin and a slope function into minus its twin
        sign = np.array([1 if j == 0 else -1 for j in kept[0]])
        columns = np.concatenate([left + sign * right, left - sign * right], axis=1)
        columns[np.abs(columns) < 1e-15] = 0.0
    else:
        columns = np.concatenate([left, right], axis=1)
    return np.concatenate([columns, np.zeros((degree - 3, columns.shape[1]))])


def _flags(count, dropped):
    """True for all but the last `dropped` of `count` functions."""
    return np.arange(count) < count - dropped


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


@lru_cache(maxsize=256)
def side(ends, order, shear):
    """Functions of one direction.

    Parameters
    ----------
    ends : str
        Edge at t = -1 and at t = +1, each C clamped, S simply supported or F free [-].
    order : int
        Number of classical deflection functions [-].
    shear : bool
        Whether rotations are independent (first-order shear) [-].

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
    (8, 7)
    """
    kept = tuple(_FREE_COLUMNS[e] for e in ends)
    mirror = ends[0] == ends[1]
    bubbles = order - len(kept[0]) - len(kept[1])
    degree = bubbles + 3
    cubics = _cubics(kept, degree, mirror)
    parts, flags = [cubics, _bubbles(bubbles, degree)], [_flags(cubics.shape[1], 0), _flags(bubbles, 2)]
    if shear:
        extra = _cubics(tuple((1,) if e == "C" else () for e in ends), degree, mirror)
        parts.append(extra)
        flags.append(_flags(extra.shape[1], 0))
    deflection = Family(np.concatenate(parts, axis=1), np.concatenate(flags))
    return Side(deflection, order, _rotations(ends, degree - 1))


def _rotations(ends, degree):
    """Polynomials up to `degree` that vanish at clamped ends: linear ones, then integrated Legendre functions."""
    linear = {(False, False): [[1, 0], [0, 1]], (True, False): [[0.5, 0.5]], (False, True): [[0.5, -0.5]],
              (True, True): []}[ends[0] == "C", ends[1] == "C"]
    table = np.zeros((degree + 1, len(linear) + degree - 1))
    for column, pair in enumerate(linear):
        table[:2, column] = pair
    for column, k in enumerate(range(1, degree), start=len(linear)):
        scale = np.sqrt((2 * k + 1) / 2) / (2 * k + 1)
        table[k + 1, column], table[k - 1, column] = scale, -scale
    return Family(table, _flags(table.shape[1], 2))


@dataclass(frozen=True, eq=False)
class Block:
    """One set of functions that does not couple with the others, for any bending and shear stiffness.

    Parameters
    ----------
    members : ndarray of int, shape (m,)
        Positions in the full list of functions; those that exist at an order lower by two come first [-].
    lower : int
        How many of the members exist at an order lower by two [-].
    stiffness : ndarray, shape (6 or 9, m, m)
        Matrices of D11, D22, D12, D66, D16, D26 and, with shear, A55, A44, A45 [-].
    pressure : ndarray, shape (m,)
        Integral of each deflection function [-].

    Examples
    --------
    >>> tables("SSSS", 8, False).blocks[0].stiffness.shape
    (6, 32, 32)
    """

    members: np.ndarray
    lower: int
    stiffness: np.ndarray
    pressure: np.ndarray


@dataclass(frozen=True, eq=False)
class Tables:
    """Everything that a set of edges and an order fixes.

    Parameters
    ----------
    x, y : Side
        Functions of the two directions [-].
    order : int
        Number of classical deflection functions a direction [-].
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
        nx, ny = self.x.deflection.lower.size, self.y.deflection.lower.size
        if not self.shear:
            return ((nx, ny),)
        return ((nx, ny), (self.x.rotation.lower.size, ny), (nx, self.y.rotation.lower.size))

    @property
    def count(self):
        """Number of functions [-]."""
        return sum(p * q for p, q in self.shapes)

    @cached_property
    def inertia(self):
        """Matrices of w w, w,x w,x, w,y w,y, w,x w,y for each block, shape (4, m, m) [-]."""
        nodes, weights = _gauss(self)
        field = {(i, j): _products(self.x.deflection.values(nodes, i), self.y.deflection.values(nodes, j))
                 for i, j in ((0, 0), (1, 0), (0, 1))}
        full = np.zeros((3, self.count, nodes.size**2))
        full[:, : field[0, 0].shape[0]] = field[0, 0], field[1, 0], field[0, 1]
        pairs = (0, 0), (1, 1), (2, 2), (1, 2)
        return tuple(np.stack([_gram(full, i, j, weights, b.members) for i, j in pairs]) for b in self.blocks)

    @cached_property
    def pressure(self):
        """Integral of every deflection function over the plate, shape (count,) [-]."""
        vector = np.zeros(self.count)
        for block in self.blocks:
            vector[block.members] = block.pressure
        return vector


def _products(x_values, y_values):
    """All products f_i(x) g_j(y), shape (functions, points), from (points, functions) tables."""
    product = x_values.T[:, None, :, None] * y_values.T[None, :, None, :]
    return product.reshape(x_values.shape[1] * y_values.shape[1], -1)


def _gauss(tables):
    nodes, weights = legendre.leggauss(max(len(tables.x.deflection.coefficients), len(tables.y.deflection.coefficients)))
    return nodes, np.outer(weights, weights).ravel()


def _gram(fields, i, j, weights, members):
    """Integral of field i times itself, or of both orders of fields i and j, for the members of a block."""
    product = (fields[i][members] * weights) @ fields[j][members].T
    return product if i == j else product + product.T


def _strains(x, y, shear, nodes):
    """Curvatures and shear strains of every function at the Gauss points: list of (functions, points)."""
    wx = [x.deflection.values(nodes, k) for k in range(3)]
    wy = [y.deflection.values(nodes, k) for k in range(3)]
    smooth = (np.arange(wx[0].shape[1])[:, None] < x.smooth) & (np.arange(wy[0].shape[1]) < y.smooth)
    smooth = smooth.reshape(-1, 1).astype(float)
    bending = [-smooth * _products(wx[2], wy[0]), -smooth * _products(wx[0], wy[2]),
               -2 * smooth * _products(wx[1], wy[1])]
    if not shear:
        return bending
    # a smooth function rotates with its own slope: exactly no shear strain, so a stiff core cannot spoil the digits
    slips = [(1 - smooth) * _products(wx[1], wy[0]), (1 - smooth) * _products(wx[0], wy[1])]
    rx, ry = ([s.rotation.values(nodes, k) for k in range(2)] for s in (x, y))
    in_x = [_products(rx[1], wy[0]), None, _products(rx[0], wy[1]), _products(rx[0], wy[0]), None]
    in_y = [None, _products(wx[0], ry[1]), _products(wx[1], ry[0]), None, _products(wx[0], ry[0])]
    zeros_x, zeros_y = np.zeros_like(in_x[0]), np.zeros_like(in_y[1])
    return [np.concatenate([w, zeros_x if p is None else p, zeros_y if q is None else q])
            for w, p, q in zip(bending + slips, in_x, in_y)]


def _classes(x, y, shear):
    """Point-symmetric (0) or point-antisymmetric (1) deflection of every function; all 0 if edges differ."""
    px, py = x.deflection.parity, y.deflection.parity
    parts = [px[:, None] + py]
    if shear:
        parts += [x.rotation.parity[:, None] + 1 + py, px[:, None] + y.rotation.parity + 1]
    if min(p.min() for p in (px, py, x.rotation.parity, y.rotation.parity)) < 0:
        return np.zeros(sum(p.size for p in parts), dtype=int)
    return np.concatenate([p.ravel() % 2 for p in parts])


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


@lru_cache(maxsize=64)
def tables(edges, order, shear):
    """Fixed matrices for a set of edges and an order; built once and kept.

    Parameters
    ----------
    edges : str
        Four letters as in `checked_edges` [-].
    order : int
        Number of classical deflection functions a direction, 6 to 24 (14 with shear) [-].
    shear : bool
        Whether rotations are independent (first-order shear) [-].

    Returns
    -------
    Tables
        Functions and matrices [-].

    Raises
    ------
    InputError
        If the order is outside its range.

    Notes
    -----
    The energy of a plate is the sum of six stiffnesses (nine with shear) times
    fixed matrices.  With like edges on opposite sides, bend-twist coupling mixes
    only functions of equal point symmetry, so the problem falls into two halves.

    Examples
    --------
    >>> [block.members.size for block in tables("CCSS", 8, False).blocks]
    [32, 32]
    """
    highest = HIGHEST_SHEAR_ORDER if shear else HIGHEST_ORDER
    if not isinstance(order, (int, np.integer)) or not LOWEST_ORDER <= order <= highest:
        raise InputError("order", f"must be a whole number from {LOWEST_ORDER} to {highest} [functions a direction]",
                         order, "leave it out for the default")
    x, y = side(edges[:2], order, shear), side(edges[2:], order, shear)
    bare = Tables(x, y, order, shear, ())
    nodes, weights = _gauss(bare)
    strains = _strains(x, y, shear, nodes)
    pairs = [(0, 0), (1, 1), (0, 1), (2, 2), (0, 2), (1, 2)] + [(3, 3), (4, 4), (3, 4)] * shear
    kinds, lower = _classes(x, y, shear), _lower(x, y, shear)
    volume = np.zeros(bare.count)
    areas = [np.diff(s.deflection.values([-1.0, 1.0], -1), axis=0)[0] for s in (x, y)]
    volume[: areas[0].size * areas[1].size] = np.outer(*areas).ravel()
    blocks = []
    for kind in range(kinds.max() + 1):
        members = np.concatenate([np.flatnonzero((kinds == kind) & part) for part in (lower, ~lower)])
        count = int((lower & (kinds == kind)).sum())
        stiffness = np.stack([_gram(strains, i, j, weights, members) for i, j in pairs])
        blocks.append(Block(members, count, stiffness, volume[members]))
    return Tables(x, y, order, shear, tuple(blocks))
