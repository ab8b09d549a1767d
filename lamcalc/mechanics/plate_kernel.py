"""Assembly, solution and evaluation of Ritz plates for any batch of panels with the same edges.

The functions work on arrays with any leading batch shape; a single plate is a
batch of one.  `plates` holds the objects that users meet.
"""

from functools import lru_cache

import numpy as np

# slowest convergence met, as a power of the order: see `error_factor`
_RATE = 2.0
# more points than this are not kept
_KEPT_POINTS = 4096


def coefficients(half_x, half_y, D, shear):
    """Factors of the fixed matrices.

    Parameters
    ----------
    half_x, half_y : ndarray, shape (...)
        Half the length of the sides [mm].
    D : ndarray, shape (..., 3, 3)
        Bending stiffness [N mm].
    shear : ndarray, shape (..., 2, 2), or None
        Transverse shear stiffness [N/mm].

    Returns
    -------
    ndarray, shape (..., 6) or (..., 9)
        Factors of D11, D22, D12, D66, D16, D26 and A55, A44, A45 [N/mm3].

    Examples
    --------
    >>> coefficients(np.float64(1), np.float64(2), np.eye(3), None).tolist()
    [1.0, 0.0625, 0.0, 0.25, 0.0, 0.0]
    """
    p, q = 1 / half_x, 1 / half_y
    pp, qq, pq = p * p, q * q, p * q
    terms = [D[..., 0, 0] * pp * pp, D[..., 1, 1] * qq * qq, D[..., 0, 1] * pp * qq, D[..., 2, 2] * pp * qq,
             D[..., 0, 2] * pp * pq, D[..., 1, 2] * qq * pq]
    if shear is not None:
        terms += [shear[..., 0, 0] * pp, shear[..., 1, 1] * qq, shear[..., 0, 1] * pq]
    out = np.empty((*np.broadcast_shapes(*(t.shape for t in terms)), len(terms)))
    for k, term in enumerate(terms):
        out[..., k] = term
    return out


def solve(tables, factors, load):
    """Coefficients of the functions, at the full order and at an order lower by two.

    Parameters
    ----------
    tables : Tables
        Functions and fixed matrices [-].
    factors : ndarray, shape (..., 6) or (..., 9)
        From `coefficients` [N/mm3].
    load : ndarray, shape (..., count)
        Work of the load on each function [MPa].

    Returns
    -------
    full, lower : ndarray, shape (..., count)
        Coefficients [mm].

    Notes
    -----
    The functions of the lower order are eliminated first, so that its solution is
    a by-product of the full one.

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import tables
    >>> t = tables("CCCC", 6, False)
    >>> found = solve(t, np.array([16.0, 16, 0, 16, 0, 0]), t.pressure)
    >>> [int((c != 0).sum()) for c in found]
    [18, 8]
    """
    full, lower = np.zeros(load.shape), np.zeros(load.shape)
    if load.ndim == 1 and tables.x.deflection.joints.size > 2:
        return _by_strips(tables, factors, load)
    for block in tables.blocks:
        right = load[..., block.members]
        # a load of one symmetry leaves the other half of the functions at rest
        if right.any():
            first, rest = block.members[: block.lower], block.members[block.lower:]
            # loads on one plate share its matrix: they are columns of one right-hand side
            shared = factors.ndim == 1
            columns = right.reshape(-1, right.shape[-1]).T if shared else right[..., None]
            found = _eliminated(block.matrix(factors), columns, block.lower)
            lower[..., first], full[..., first], full[..., rest] = (
                v.T.reshape((*load.shape[:-1], -1)) if shared else v[..., 0] for v in found)
    return full, lower


def _eliminated(matrix, right, n):
    """Solution for the first n unknowns alone, and the first n and the others of the whole."""
    side, sides = matrix[..., :n, n:], matrix.shape[-1] - n
    solved = np.linalg.solve(matrix[..., :n, :n], np.concatenate([side, right[..., :n, :]], axis=-1))
    reduced = np.concatenate([matrix[..., n:, n:], right[..., n:, :]], axis=-1) - np.swapaxes(side, -1, -2) @ solved
    others = np.linalg.solve(reduced[..., :sides], reduced[..., sides:])
    alone = solved[..., sides:]
    return alone, alone - solved[..., :sides] @ others, others


def _by_strips(tables, factors, load):
    """The same for a plate whose sides are split: each strip between two joints is eliminated on its own."""
    within, across = tables.by_strips(factors)
    # functions of a narrow strip are of another size than the rest: unit diagonals keep the digits
    scales = [1 / np.sqrt(np.diagonal(matrix)) for matrix in within]
    for matrix, scale in zip(within, scales):
        matrix *= scale
        matrix *= scale[:, None]
    for matrix, scale in zip(across, scales):
        matrix *= scales[-1]
        matrix *= scale[:, None]
    whole = np.empty(load.shape)
    whole[np.concatenate(tables.places)] = np.concatenate(scales)
    return tuple(whole * _joined(within, across, tables.places, whole * load, kept) for kept in (None, tables.lower))


def _joined(within, across, places, load, kept):
    """Solution with all functions, or with those that are kept."""
    if kept is not None:
        used = [np.flatnonzero(kept[at]) for at in places]
        within = [matrix[np.ix_(some, some)] for matrix, some in zip(within, used)]
        across = [matrix[np.ix_(some, used[-1])] for matrix, some in zip(across, used)]
        places = [at[some] for at, some in zip(places, used)]
    rest, pull, solved, out = within[-1].copy(), load[places[-1]], [], np.zeros(load.shape)
    for matrix, side, at in zip(within, across, places):
        found = np.linalg.solve(matrix, np.concatenate([side, load[at, None]], axis=1))
        rest -= side.T @ found[:, :-1]
        pull = pull - side.T @ found[:, -1]
        solved.append(found)
    out[places[-1]] = joint = np.linalg.solve(rest, pull)
    for at, found in zip(places, solved):
        out[at] = found[:, -1] - found[:, :-1] @ joint
    return out


def error_factor(order):
    """Factor from the difference between two orders to the error that remains.

    Parameters
    ----------
    order : int
        The higher of the two orders, the other being lower by two [functions a direction].

    Returns
    -------
    float
        Factor [-].

    Notes
    -----
    Where the series is slowest (strong bend-twist coupling with edges that may
    rotate, whose corners are singular) the error falls like order^-2, so the rest
    is order/4 times the last difference.  Elsewhere the series falls much
    faster and the estimate is on the high side.

    Examples
    --------
    >>> error_factor(8)
    2.0
    """
    return order / (2 * _RATE)


def patch_joints(half, centre, width):
    """Where the ends of a patch load split a side of the plate.

    Parameters
    ----------
    half : ndarray, shape (...)
        Half the length of the side [mm].
    centre, width : ndarray, shape (...)
        Centre and width of the patch along the side [mm].

    Returns
    -------
    joints : tuple of float
        Interior joints, from -1 to 1 [-].
    loaded : int
        Number of the loaded segment [-].
    same : bool
        Whether all plates of the batch have the same joints [-].

    Examples
    --------
    >>> patch_joints(np.float64(100), np.float64(50), np.float64(100))
    ((0.0,), 0, True)
    """
    ends = np.stack(np.broadcast_arrays(centre - width / 2, centre + width / 2), -1) / np.asarray(half)[..., None] - 1
    ends = ends.reshape(-1, 2)
    first = np.round(ends[0], 12) + 0.0
    inside = tuple(float(t) for t in first if abs(t) < 1 - 1e-6)
    return inside, int(first[0] > -1 + 1e-6), bool(np.all(np.abs(ends - ends[0]) < 1e-9))


def split(tables, vector):
    """Coefficients as arrays over the functions in x and in y.

    Parameters
    ----------
    tables : Tables
        Functions [-].
    vector : ndarray, shape (..., count)
        Coefficients [mm].

    Returns
    -------
    list of ndarray, shape (..., functions in x, functions in y)
        Deflection and, with shear, the rotations in x and in y [mm].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import tables
    >>> [p.shape for p in split(tables("SSSS", 6, True), np.zeros(120))]
    [(6, 6), (7, 6), (6, 7)]
    """
    parts, start = [], 0
    for shape in tables.shapes:
        stop = start + shape[0] * shape[1]
        parts.append(vector[..., start:stop].reshape(*vector.shape[:-1], *shape))
        start = stop
    return parts


class Sampler:
    """Values of the fields of a plate at points or on a grid of stations.

    Parameters
    ----------
    tables : Tables
        Functions [-].
    tx, ty : ndarray, shape (..., points)
        Positions from -1 to 1; for a grid the stations along x and along y [-].
    grid : bool
        Whether the points are all pairs of stations, in the order x, then y [-].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import tables
    >>> t = tables("SSSS", 6, False)
    >>> Sampler(t, np.array([0.0]), np.array([0.0]), grid=False).deflection(split(t, np.zeros(36))).tolist()
    [0.0]
    """

    def __init__(self, tables, tx, ty, *, grid):
        self.tables, self.tx, self.ty, self.grid = tables, tx, ty, grid
        self._kept, self._source = {}, None

    def picked(self, node):
        """Sampler at some points of this grid, its function values looked up.

        Parameters
        ----------
        node : ndarray of int, shape (..., points)
            Positions in the flat grid [-].

        Returns
        -------
        Sampler
            The points [-].

        Examples
        --------
        >>> from lamcalc.mechanics.plate_basis import tables
        >>> grid_sampler(tables("SSSS", 6, False), (-1.0, 0.0, 1.0), (-1.0, 1.0)).picked(np.array([3])).tx.tolist()
        [0.0]
        """
        index = {"x": node // self.ty.size, "y": node % self.ty.size}
        points = Sampler(self.tables, self.tx[index["x"]], self.ty[index["y"]], grid=False)
        points._source = self, index
        return points

    def _values(self, axis, family, derivative):
        key = axis, family, derivative
        if key not in self._kept:
            if self._source is None:
                t = self.tx if axis == "x" else self.ty
                self._kept[key] = getattr(getattr(self.tables, axis), family).values(t, derivative)
            else:
                grid, index = self._source
                self._kept[key] = grid._values(*key)[index[axis]]
        return self._kept[key]

    def _sum(self, part, dx, dy, families=("deflection", "deflection")):
        x, y = self._values("x", families[0], dx), self._values("y", families[1], dy)
        x, y = x[..., : part.shape[-2]], y[..., : part.shape[-1]]
        if not self.grid:
            return ((x @ part) * y).sum(axis=-1)
        # one large product instead of one a panel
        across = (part.reshape(-1, part.shape[-1]) @ y.T).reshape(*part.shape[:-1], -1)
        product = x @ across
        return product.reshape(*product.shape[:-2], -1)

    def deflection(self, parts):
        """Deflection, shape (..., points) [mm].

        Parameters
        ----------
        parts : list of ndarray
            From `split` [mm].

        Returns
        -------
        ndarray, shape (..., points)
            Deflection [mm].

        Examples
        --------
        >>> from lamcalc.mechanics.plate_basis import tables
        >>> t = tables("FFSS", 6, False)
        >>> int(np.shape(Sampler(t, np.zeros(3), np.zeros(3), grid=True).deflection(split(t, np.ones(36))))[0])
        9
        """
        return self._sum(parts[0], 0, 0)

    def _smooth(self, parts):
        return parts[0][..., : self.tables.x.smooth, : self.tables.y.smooth]

    def _curvature(self, parts, half_x, half_y, ex=0, ey=0):
        """Curvatures, differentiated ex and ey more times (only without shear), shape (..., 3, points)."""
        smooth = self._smooth(parts)
        rows = [-self._sum(smooth, 2 + ex, ey), -self._sum(smooth, ex, 2 + ey), -2 * self._sum(smooth, 1 + ex, 1 + ey)]
        if self.tables.shear:
            along, across = ("rotation", "deflection"), ("deflection", "rotation")
            rows[0] = rows[0] + self._sum(parts[1], 1, 0, along)
            rows[1] = rows[1] + self._sum(parts[2], 0, 1, across)
            rows[2] = rows[2] + self._sum(parts[1], 0, 1, along) + self._sum(parts[2], 1, 0, across)
        scale = 1 / (half_x**ex * half_y**ey)
        factors = scale / half_x**2, scale / half_y**2, scale / (half_x * half_y)
        return _stacked([row * np.asarray(f)[..., None] for row, f in zip(rows, factors)])

    def curvatures(self, parts, half_x, half_y):
        """Curvatures kappa_x, kappa_y, kappa_xy.

        Parameters
        ----------
        parts : list of ndarray
            From `split` [mm].
        half_x, half_y : ndarray, shape (...)
            Half the length of the sides [mm].

        Returns
        -------
        ndarray, shape (..., 3, points)
            Curvatures [1/mm].

        Examples
        --------
        >>> from lamcalc.mechanics.plate_basis import tables
        >>> t = tables("SSSS", 6, False)
        >>> Sampler(t, np.zeros(2), np.zeros(2), grid=False).curvatures(split(t, np.ones(36)), 1.0, 1.0).shape
        (3, 2)
        """
        return self._curvature(parts, half_x, half_y)

    def shear_forces(self, parts, half_x, half_y, D, shear):
        """Transverse shear forces Qx, Qy.

        Parameters
        ----------
        parts : list of ndarray
            From `split` [mm].
        half_x, half_y : ndarray, shape (...)
            Half the length of the sides [mm].
        D : ndarray, shape (..., 3, 3)
            Bending stiffness [N mm].
        shear : ndarray, shape (..., 2, 2), or None
            Transverse shear stiffness [N/mm].

        Returns
        -------
        ndarray, shape (..., 2, points)
            Shear stiffness times shear strain or, without shear, Mx,x + Mxy,y and Mxy,x + My,y [N/mm].

        Examples
        --------
        >>> from lamcalc.mechanics.plate_basis import tables
        >>> t = tables("SSSS", 6, False)
        >>> points = Sampler(t, np.zeros(2), np.zeros(2), grid=False)
        >>> points.shear_forces(split(t, np.ones(36)), 1.0, 1.0, np.eye(3), None).shape
        (2, 2)
        """
        if shear is None:
            in_x, in_y = (D @ self._curvature(parts, half_x, half_y, *more) for more in ((1, 0), (0, 1)))
            return _stacked([in_x[..., 0, :] + in_y[..., 2, :], in_x[..., 2, :] + in_y[..., 1, :]])
        slipping = parts[0].copy()
        slipping[..., : self.tables.x.smooth, : self.tables.y.smooth] = 0.0
        gamma_x = self._sum(slipping, 1, 0) + self._sum(parts[1], 0, 0, ("rotation", "deflection"))
        gamma_y = self._sum(slipping, 0, 1) + self._sum(parts[2], 0, 0, ("deflection", "rotation"))
        return shear @ _stacked([gamma_x / np.asarray(half_x)[..., None], gamma_y / np.asarray(half_y)[..., None]])


def _stacked(rows):
    """Components in front of the points axis, each one contiguous."""
    out = np.empty((*np.broadcast_shapes(*(r.shape[:-1] for r in rows)), len(rows), rows[0].shape[-1]))
    for k, row in enumerate(rows):
        out[..., k, :] = row
    return out


@lru_cache(maxsize=64)
def grid_sampler(tables, tx, ty):
    """Sampler on a grid of stations; kept.

    Parameters
    ----------
    tables : Tables
        Functions [-].
    tx, ty : tuple of float
        Stations along x and y, from -1 to 1 [-].

    Returns
    -------
    Sampler
        All pairs of stations [-].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import tables
    >>> grid_sampler(tables("SSSS", 6, False), (-1.0, 0.0, 1.0), (0.0,)).tx.tolist()
    [-1.0, 0.0, 1.0]
    """
    return Sampler(tables, np.array(tx), np.array(ty), grid=True)


@lru_cache(maxsize=64)
def _kept_points(tables, tx, ty, shapes):
    return Sampler(tables, *(np.frombuffer(t).reshape(shape) for t, shape in zip((tx, ty), shapes)), grid=False)


def point_sampler(tables, tx, ty):
    """Sampler at points; kept, since a plate of another stiffness is asked at the same places.

    Parameters
    ----------
    tables : Tables
        Functions [-].
    tx, ty : ndarray, shape (..., points)
        Positions from -1 to 1 [-].

    Returns
    -------
    Sampler
        The points [-].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import tables
    >>> t, middle = tables("SSSS", 6, False), np.array([0.0])
    >>> point_sampler(t, middle, middle) is point_sampler(t, middle.copy(), middle)
    True
    """
    if tx.size + ty.size > _KEPT_POINTS:
        return Sampler(tables, tx, ty, grid=False)
    return _kept_points(tables, tx.tobytes(), ty.tobytes(), (tx.shape, ty.shape))


def refined_peak(values, tx, ty):
    """Largest magnitude on a grid, refined by parabolas through its neighbours.

    Parameters
    ----------
    values : ndarray, shape (..., points)
        Field on the grid, x first [any].
    tx, ty : ndarray, shape (stations,)
        Stations along x and y in rising order [-].

    Returns
    -------
    value : ndarray, shape (...)
        Signed value [as given].
    where : ndarray, shape (..., 2)
        Position in x and y [-].
    node : ndarray of int, shape (...)
        Position of the largest grid value in the flat grid [-].

    Examples
    --------
    >>> x = np.array([-1, -0.5, 0.3, 1])
    >>> value, where, node = refined_peak((4 - (x[:, None] - 0.1) ** 2 - x**2).ravel(), x, x)
    >>> float(value.round(6)), where.round(6).tolist()
    (4.0, [0.1, 0.0])
    """
    size = np.abs(values)
    # equal peaks of a symmetric field differ by rounding: lean towards the first of them
    size *= np.linspace(1.0, 1.0 - 1e-6, size.shape[-1])
    node = size.argmax(axis=-1)
    peak = np.take_along_axis(values, node[..., None], axis=-1)[..., 0]
    value, where = peak.copy(), []
    for index, stride, t in ((node // ty.size, ty.size, tx), (node % ty.size, 1, ty)):
        inside = (index > 0) & (index < t.size - 1)
        middle = np.where(inside, index, 1)
        left, right = t[middle] - t[middle - 1], t[middle + 1] - t[middle]
        step = np.where(inside, stride, 0)
        before, after = (np.take_along_axis(values, (node + d)[..., None], axis=-1)[..., 0] for d in (-step, step))
        back, ahead = (peak - before) / left, (after - peak) / right
        slope, bend = (right * back + left * ahead) / (left + right), 2 * (ahead - back) / (left + right)
        shift = np.where(inside & (bend != 0), -slope / np.where(bend == 0, 1.0, bend), 0.0)
        value = value + slope * shift / 2
        where.append(t[index] + shift)
    return value, np.stack(where, axis=-1), node


def eigenmodes(tables, factors, geometric, count, shift=0.0):
    """Lowest values of lambda in (K - lambda G) c = 0 with K positive definite.

    Parameters
    ----------
    tables : Tables
        Functions and fixed matrices [-].
    factors : ndarray, shape (..., 6) or (..., 9)
        From `coefficients` [N/mm3].
    geometric : ndarray, shape (..., 4)
        Factors of the matrices of w w, w,x w,x, w,y w,y, w,x w,y in G [N/mm3].
    count : int
        How many values [-].
    shift : float or ndarray, shape (...)
        K + shift G replaces K where rigid movement is possible [-].

    Returns
    -------
    values : ndarray, shape (..., count)
        Positive values in rising order, shift included; infinite where there is none [-].
    vectors : ndarray, shape (..., count, functions)
        Coefficients of the modes [mm].
    lower : ndarray, shape (..., count)
        The same values at an order lower by two [-].

    Examples
    --------
    >>> from lamcalc.mechanics.plate_basis import tables
    >>> values, _, _ = eigenmodes(tables("SSSS", 10, False), np.array([16.0, 16, 0, 8, 0, 0]), np.eye(4)[0], 1)
    >>> float((values[0] / (4 * np.pi**4)).round(6))
    1.0
    """
    found = [[], [], []]
    for block, inertia in zip(tables.blocks, tables.inertia):
        m, n = block.members.size, block.lower
        load = (geometric @ inertia.reshape(4, m * m)).reshape(*geometric.shape[:-1], m, m)
        matrix = block.matrix(factors) + np.asarray(shift)[..., None, None] * load
        inverses, vectors = _modes(matrix, load)
        spread = np.zeros((*vectors.shape[:-1], tables.count))
        spread[..., block.members] = vectors
        for kept, new in zip(found, (inverses, spread, _modes(matrix[..., :n, :n], load[..., :n, :n])[0])):
            kept.append(new)
    inverses, vectors = np.concatenate(found[0], axis=-1), np.concatenate(found[1], axis=-2)
    order = np.argsort(-inverses, axis=-1)[..., :count]
    lower = -np.sort(-np.concatenate(found[2], axis=-1), axis=-1)[..., :count]
    # a vanishing or negative inverse means that this load never reaches a limit in that mode
    floor = 1e-12 * np.abs(inverses).max(axis=-1, keepdims=True)
    return (_reciprocal(np.take_along_axis(inverses, order, axis=-1), floor),
            np.take_along_axis(vectors, order[..., None], axis=-2), _reciprocal(lower, floor))


def _modes(matrix, load):
    """Eigenvalues 1/lambda and eigenvectors (rows) through the Cholesky factor."""
    inverse = np.linalg.inv(np.linalg.cholesky(matrix))
    values, vectors = np.linalg.eigh(inverse @ load @ np.swapaxes(inverse, -1, -2))
    return values, np.swapaxes(vectors, -1, -2) @ inverse


def _reciprocal(inverses, floor):
    good = inverses > floor
    return np.where(good, 1 / np.where(good, inverses, 1.0), np.inf)
