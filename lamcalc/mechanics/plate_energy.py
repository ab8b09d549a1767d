"""Stiffness of a plate between the products of functions along its two sides, see `plate_basis`."""

from dataclasses import dataclass

import numpy as np

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


def coefficient_shapes(x, y, shear):
    """Shapes of the coefficient arrays of a plate.

    Parameters
    ----------
    x, y : Side
        Functions of the two directions [-].
    shear : bool
        Whether rotations are independent [-].

    Returns
    -------
    tuple of (int, int)
        Of w and, with shear, of the rotations in x and y [-].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import side
    >>> coefficient_shapes(side("SS", 8, False), side("CC", 6, False), False)
    ((8, 6),)
    """
    nx, ny = x.deflection.lower.size, y.deflection.lower.size
    return ((nx, ny), (x.rotation.lower.size, ny), (nx, y.rotation.lower.size)) if shear else ((nx, ny),)


def kron(x, y):
    """Kronecker product.

    Parameters
    ----------
    x, y : ndarray, shape (m, n), (k, l)
        Matrices [any].

    Returns
    -------
    ndarray, shape (m k, n l)
        Product [any].

    Examples
    --------
    >>> kron(np.eye(2), np.array([[3.0]])).tolist()
    [[3.0, 0.0], [0.0, 3.0]]
    """
    return (x[:, None, :, None] * y[:, None, :]).reshape(x.shape[0] * y.shape[0], -1)


def _kron_sum(x, y):
    """Sum of Kronecker products, as one product of matrices: a tenth of the memory traffic of adding them up."""
    product = x.reshape(len(x), -1).T @ y.reshape(len(y), -1)
    (rows, columns), (under, right) = x.shape[1:], y.shape[1:]
    return product.reshape(rows, columns, under, right).transpose(0, 2, 1, 3).reshape(rows * under, columns * right)


@dataclass(frozen=True, eq=False)
class Chosen:
    """Some of the functions in x, each with all functions in y.

    Parameters
    ----------
    w, r : ndarray of int
        Which deflection functions and which rotation functions in x [-].

    Examples
    --------
    >>> Chosen(np.array([0, 2]), np.array([1])).of(np.arange(9).reshape(3, 3), "w").tolist()
    [[0, 1, 2], [6, 7, 8]]
    """

    w: np.ndarray
    r: np.ndarray

    def of(self, values, family):
        """Rows of the chosen functions.

        Parameters
        ----------
        values : ndarray, shape (functions in x, ...)
            One row a function of the family [any].
        family : str
            "w" or "r" [-].

        Returns
        -------
        ndarray, shape (chosen, ...)
            Their rows [any].
        """
        return values[getattr(self, family)]

    def shapes(self, x, y, shear):
        """Shapes of the coefficient arrays.

        Parameters
        ----------
        x, y : Side
            Functions of the two directions [-].
        shear : bool
            Whether rotations are independent [-].

        Returns
        -------
        tuple of (int, int)
            Of smooth w, other w and, with shear, of the rotations in x and y [-].
        """
        ny = y.deflection.lower.size
        parts = (self.w.size, ny), (self.w.size, ny)
        return (*parts, (self.r.size, ny), (self.w.size, y.rotation.lower.size)) if shear else parts

    def positions(self, x, y, shear):
        """Positions in the full list of functions.

        Parameters
        ----------
        x, y : Side
            Functions of the two directions [-].
        shear : bool
            Whether rotations are independent [-].

        Returns
        -------
        ndarray of int, shape (m,)
            Deflections first, then rotations in x and in y [-].
        """
        found, start = [], 0
        for rows, (nx, ny) in zip((self.w, self.r, self.w), coefficient_shapes(x, y, shear)):
            found.append((start + rows[:, None] * ny + np.arange(ny)).ravel())
            start += nx * ny
        return np.concatenate(found)


class Energy:
    """Stiffness between chosen functions, for any bending and shear stiffness.

    Parameters
    ----------
    x, y : Side
        Functions of the two directions [-].
    shear : bool
        Whether rotations are independent [-].
    rows, columns : Chosen
        Functions; the same object for a symmetric matrix [-].

    Notes
    -----
    Called with factors of D11, D22, D12, D66, D16, D26 and, with shear, A55, A44, A45, shape (6,) or (9,) [N/mm3],
    it returns the matrix, shape (rows, columns) [N/mm3].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import side
    >>> one, few = side("SS", 6, False), Chosen(np.array([0, 1]), np.zeros(0, int))
    >>> Energy(one, one, False, few, few)(np.ones(6)).shape
    (12, 12)
    """

    def __init__(self, x, y, shear, rows, columns):
        self.shear, self.mirrored, self.parts = shear, rows is columns, []
        shapes = [one.shapes(x, y, shear) for one in (rows, columns)]
        starts = [np.concatenate([[0, 0], np.cumsum([a * b for a, b in one[1:]])]) for one in shapes]
        self.size = starts[0][-1], starts[1][-1]
        smooth = np.zeros((x.deflection.lower.size, y.deflection.lower.size))
        smooth[: x.smooth, : y.smooth] = 1.0
        masks = [[part.ravel() for part in (one.of(smooth, "w"), 1 - one.of(smooth, "w"))] for one in (rows, columns)]
        pairs = {}
        for i, row in enumerate(_STRAINS[: 5 if shear else 3]):
            for j in ((0, 1, 2) if i < 3 else (3, 4)):
                for p, f, fx, fy in row:
                    for q, g, gx, gy in _STRAINS[j]:
                        if max(p, q) < len(shapes[0]) and (p <= q or not self.mirrored):
                            pairs.setdefault((p, q), []).append((i, j, f * g, (fx, gx), (fy, gy)))
        for (p, q), terms in pairs.items():
            masked = [(axis, masks[axis][kind]) for axis, kind in enumerate((p, q)) if shear and kind < 2]
            if all(mask.any() for _, mask in masked):
                i, j, factor, xs, ys = zip(*terms, strict=True)
                in_x = [f * columns.of(rows.of(x.products[key], key[0][0]).T, key[1][0]).T for f, key in zip(factor, xs)]
                at, to = (slice(start[k], start[k] + one[k][0] * one[k][1])
                          for start, one, k in zip(starts, shapes, (p, q)))
                self.parts.append((at, to, (np.array(i), np.array(j)), np.stack(in_x),
                                   np.stack([y.products[key] for key in ys]),
                                   [np.expand_dims(mask, 1 - axis) for axis, mask in masked if not mask.all()]))

    def __call__(self, factors):
        law = np.zeros((5, 5))
        law[[0, 1, 0, 2, 0, 1], [0, 1, 1, 2, 2, 2]] = factors[:6]
        law[[1, 2, 2], [0, 0, 1]] = factors[[2, 4, 5]]
        if self.shear:
            law[[3, 4, 3, 4], [3, 4, 4, 3]] = factors[[6, 7, 8, 8]]
        full = np.zeros(self.size)
        for at, to, place, in_x, in_y, masks in self.parts:
            used = law[place] != 0
            if used.any():
                part = _kron_sum(law[place][used, None, None] * in_x[used], in_y[used])
                for mask in masks:
                    part *= mask
                full[at, to] += part
                if self.mirrored and at != to:
                    full[to, at] += part.T
        return full
