"""Fixed matrices of the Ritz method for plates: the energy of a plate is the sum of its stiffnesses times these.

They depend on the edges, the order and the joints at patch loads only, never on
the size or the stiffness of a plate, and are kept.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.plate_functions import Side, side

LOWEST_ORDER, HIGHEST_ORDER, HIGHEST_SHEAR_ORDER = 6, 24, 14


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
        matrix = _energy(self.x, self.y, self.shear, factors)
        return matrix.take(self.members, 0).take(self.members, 1)


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
        return _shapes(self.x, self.y, self.shear)

    @property
    def count(self):
        """Number of functions [-]."""
        return sum(p * q for p, q in self.shapes)

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
            full[k, :size, :size] = _kron(x[("w", i), ("w", j)], y[("w", p), ("w", q)])
        full[3] += full[3].T
        return tuple(full.take(b.members, 1).take(b.members, 2) for b in self.blocks)


# strains kappa_x, kappa_y, kappa_xy, gamma_xz, gamma_yz as terms: part, factor, function in x, function in y;
# part 0 is a smooth w, which rotates with its own slope and has exactly no shear strain, so that a stiff core cannot
# spoil the digits; part 1 is any other w, which does not rotate; parts 2 and 3 are the rotations
_STRAINS = (
    ((0, -1.0, ("w", 2), ("w", 0)), (2, 1.0, ("r", 1), ("w", 0))),
    ((0, -1.0, ("w", 0), ("w", 2)), (3, 1.0, ("w", 0), ("r", 1))),
    ((0, -2.0, ("w", 1), ("w", 1)), (2, 1.0, ("r", 0), ("w", 1)), (3, 1.0, ("w", 1), ("r", 0))),
    ((1, 1.0, ("w", 1), ("w", 0)), (2, 1.0, ("r", 0), ("w", 0))),
    ((1, 1.0, ("w", 0), ("w", 1)), (3, 1.0, ("w", 0), ("r", 0))),
)


def _shapes(x, y, shear):
    nx, ny = x.deflection.lower.size, y.deflection.lower.size
    return ((nx, ny), (x.rotation.lower.size, ny), (nx, y.rotation.lower.size)) if shear else ((nx, ny),)


def _kron(x, y):
    return (x[:, None, :, None] * y[:, None, :]).reshape(x.shape[0] * y.shape[0], -1)


def _energy(x, y, shear, factors):
    """Stiffness over all functions for factors of D11, D22, D12, D66, D16, D26 and, with shear, A55, A44, A45."""
    law = np.zeros((5, 5))
    law[[0, 1, 0, 2, 0, 1], [0, 1, 1, 2, 2, 2]] = factors[:6]
    law[[1, 2, 2], [0, 0, 1]] = factors[[2, 4, 5]]
    if shear:
        law[[3, 4, 3, 4], [3, 4, 4, 3]] = factors[[6, 7, 8, 8]]
    shapes = _shapes(x, y, shear)
    shapes = (shapes[0], *shapes)
    smooth = np.zeros(shapes[0])
    smooth[: x.smooth, : y.smooth] = 1.0
    other = 1 - smooth.ravel()
    sums = {}
    for i, row in enumerate(_STRAINS[: 5 if shear else 3]):
        for j in np.flatnonzero(law[i]):
            for p, f, fx, fy in row:
                for q, g, gx, gy in _STRAINS[j]:
                    if p <= q < len(shapes):
                        term = _kron(law[i, j] * f * g * x.products[fx, gx], y.products[fy, gy])
                        sums[p, q] = sums[p, q] + term if (p, q) in sums else term
    starts = np.concatenate([[0, 0], np.cumsum([a * b for a, b in shapes[1:]])])
    full = np.zeros((starts[-1], starts[-1]))
    for (p, q), part in sums.items():
        for axis, kind in enumerate((p, q)):
            if shear and kind < 2:
                part *= np.expand_dims(smooth.ravel() if kind == 0 else other, 1 - axis)
        rows, columns = (slice(starts[k], starts[k] + shapes[k][0] * shapes[k][1]) for k in (p, q))
        full[rows, columns] += part
        if p != q:
            full[columns, rows] += part.T
    return full


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
def tables(edges, order, shear):
    """Fixed matrices for a set of edges and an order; built once and kept.

    Parameters
    ----------
    edges : str
        Four letters as in `checked_edges` [-].
    order : int
        Number of classical deflection functions a direction [-].
    shear : bool
        Whether rotations are independent (first-order shear) [-].

    Returns
    -------
    Tables
        Functions and matrices [-].

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
    return _built(side(edges[:2], order, shear), side(edges[2:], order, shear), order, shear, True)


@lru_cache(maxsize=4)
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


def _built(x, y, order, shear, kept):
    kinds, lower = _classes(x, y, shear), _lower(x, y, shear)
    blocks = []
    for kind in range(kinds.max() + 1):
        members = np.concatenate([np.flatnonzero((kinds == kind) & part) for part in (lower, ~lower)])
        blocks.append(Block(x, y, shear, members, int((lower & (kinds == kind)).sum()), kept))
    return Tables(x, y, order, shear, tuple(blocks))
