"""Bounds valid for every order of a set of layers, so that sets can be rejected without trying the orders."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

# rounding must never reject a set that just reaches its target
SLACK = 1.0 + 1e-9
_NU = (0.2, 0.3, 0.1, 0.45, 0.0, 0.6)
ALONG = np.array([(1.0, -nu, 0.0) for nu in _NU])
ACROSS = ALONG[:, [1, 0, 2]]
_BOTH = np.array([(1.0, 0.25, 0.0), (1.0, 0.5, 0.0), (1.0, 1.0, 0.0), (0.5, 1.0, 0.0), (0.25, 1.0, 0.0)])
NAMES = ("stiffness_x", "stiffness_y", "margin")
_JOINT = 3


@dataclass(frozen=True, eq=False)
class Demands:
    """What the targets ask of the bending energy of a schedule, one row a trial curvature.

    Parameters
    ----------
    energy : ndarray, shape (rows, sub-plies + 1)
        v'Qv of each sub-ply [MPa, or as the target of the row is scaled].
    moments : ndarray, shape (3, rows, layers)
        Integrals of v'Qv times 1, z and z squared over each layer, z from its lower face [N/mm, N, N mm].
    kind : ndarray of int, shape (rows,)
        0 and 1: 1/d11 and 1/d22; 2: strength ratio; 3: both stiffnesses together [-].
    need : ndarray, shape (rows,)
        Least value, minus infinity where nothing is asked [N mm or -].
    work, case : ndarray, shape (rows,)
        Strength rows: (v'M)^2, and which load case [(N mm/mm)^2, -].
    against, along : ndarray, shape (cases, sub-plies + 1)
        Largest strain against the load and with it that each sub-ply allows [N].
    index : ndarray of int, shape (layers, most sub-plies)
        Sub-plies of each layer [-].

    Examples
    --------
    >>> Demands.__dataclass_params__.frozen
    True
    """

    energy: np.ndarray
    moments: np.ndarray
    kind: np.ndarray
    need: np.ndarray
    work: np.ndarray
    case: np.ndarray
    against: np.ndarray
    along: np.ndarray
    index: np.ndarray

    @cached_property
    def below(self):
        """Largest strain against the load in the first sub-ply of each layer, shape (cases, layers) [N]."""
        return self.against[:, self.index[:, 0]]

    @cached_property
    def above(self):
        """Largest strain with the load in the last sub-ply of each layer, shape (cases, layers) [N]."""
        last = (self.index < self.along.shape[1] - 1).sum(axis=1) - 1
        return self.along[:, self.index[np.arange(len(last)), last]]

    def __len__(self):
        return len(self.kind)

    def value(self, row, bending, span):
        """Upper bound of what a row speaks of.

        Parameters
        ----------
        row : int
            Which row [-].
        bending : ndarray, shape (...)
            Upper bound of v'Dv about any plane [N mm].
        span : sequence of ndarray, shape (...)
            For each load case, upper bound of its kappa.M at first failure [N/mm].

        Returns
        -------
        ndarray, shape (...)
            Bound [N mm or -].

        Notes
        -----
        kappa.M under the load itself is at least (v'M)^2 / v'Dv.
        """
        return bending if self.kind[row] != 2 else span[self.case[row]] * bending / self.work[row]

    def passes(self, row, value):
        """Whether bounds reach the target of a row, rounding forgiven.

        Parameters
        ----------
        row : int
            Which row [-].
        value : ndarray, shape (...)
            Bounds [N mm or -].

        Returns
        -------
        ndarray of bool, shape (...)
            False only where no order can meet the target [-].
        """
        return value * SLACK >= self.need[row]


def demands(palette, targets, column=None):
    """Rows of trial curvatures for the targets that are asked for.

    Parameters
    ----------
    palette : Palette
        The choices [-].
    targets : Targets
        What is asked for [-].
    column : int, optional
        Value to be bounded though it is not asked for: 0, 1 stiffness, 2 ratio [-].

    Returns
    -------
    Demands
        Rows, cheap rejections first [-].

    Notes
    -----
    Any curvature shape v gives a bound: 1/d11 is the least v'D*v with v1 = 1, and D* is not above D about any plane.
    Both stiffnesses together: their mean in units of the targets must reach 1, which one order has to manage for both.
    """
    loads, asked = targets.loads, [getattr(targets, name) for name in NAMES]
    rows = []
    for kind, shapes in enumerate((ALONG, ACROSS)):
        if asked[kind] is not None or column == kind:
            rows += [(kind, k, [(1.0, v)], asked[kind], 0.0, 0) for k, v in enumerate(shapes)]
    if asked[0] is not None and asked[1] is not None:
        rows += [(_JOINT, 1 + k, [(share / asked[0], x), ((1 - share) / asked[1], y)], 1.0, 0.0, 0)
                 for k, (x, y) in enumerate(zip(ALONG[:3], ACROSS[:3], strict=True)) for share in (0.5, 0.3, 0.7)]
    if len(loads) and (asked[2] is not None or column == 2):
        for case, load in enumerate(loads):
            shapes = np.concatenate([load[None] / np.linalg.norm(load), _BOTH, ALONG[::2], ACROSS[::2]])
            work = (shapes @ load) ** 2
            rows += [(2, k, [(1.0, v)], asked[2], w, case)
                     for k, (v, w) in enumerate(zip(shapes, work, strict=True)) if w > 1e-9 * work.max()]
    rows.sort(key=lambda row: row[1])
    energy = np.array([sum(share * np.einsum("i,pij,j->p", v, palette.qbar, v) for share, v in row[2]) for row in rows])
    energy = energy.reshape(len(rows), len(palette.qbar))
    moments = layer_moments(energy, palette.thickness_mm, palette.index)
    return Demands(energy, moments, np.array([r[0] for r in rows], int),
                   np.array([-np.inf if r[3] is None else r[3] for r in rows]), np.array([r[4] for r in rows]),
                   np.array([r[5] for r in rows], int),
                   *(np.array([support(palette.forms, way * load) for load in loads]).reshape(-1, len(palette.forms))
                     for way in (-1.0, 1.0)), palette.index)


def layer_moments(energy, thickness_mm, index):
    """Moments of each layer about its lower face.

    Parameters
    ----------
    energy : ndarray, shape (rows, sub-plies)
        v'Qv of each sub-ply [MPa].
    thickness_mm : ndarray, shape (sub-plies,)
        Thickness [mm].
    index : ndarray of int, shape (layers, most sub-plies)
        Sub-plies of each layer, mould side first [-].

    Returns
    -------
    ndarray, shape (3, rows, layers)
        Integrals of v'Qv times 1, z and z squared [N/mm, N, N mm].

    Examples
    --------
    >>> layer_moments(np.array([[2.0, 1.0]]), np.array([1.0, 1.0]), np.array([[1, 0]]))[:, 0, 0].round(4).tolist()
    [3.0, 3.5, 5.0]
    """
    t = thickness_mm[index]
    top = np.cumsum(t, axis=1)
    low = top - t
    return np.stack([np.einsum("rlk,lk->rl", energy[:, index], (top**n - low**n) / n) for n in (1, 2, 3)])


def order_moments(moments, height, orders, base):
    """Moments of orders of layers about a plane.

    Parameters
    ----------
    moments : ndarray, shape (3, layers)
        Moments of the layers about their lower faces, see `layer_moments` [N/mm, N, N mm].
    height : ndarray, shape (layers,)
        Thickness of the layers [mm].
    orders : ndarray of int, shape (orders, layers)
        Choices, mould side first [-].
    base : ndarray, shape (orders,)
        Height of the mould-side face above the plane [mm].

    Returns
    -------
    tuple of ndarray, shape (orders,)
        Integrals of v'Qv times 1, z and z squared [N/mm, N, N mm].

    Examples
    --------
    >>> one = np.array([[3.0, 0.0], [1.5, 0.0], [1.0, 0.0]])
    >>> [float(m[0]) for m in order_moments(one, np.array([1.0, 0.0]), np.array([[0, 0]]), np.zeros(1))]
    [6.0, 6.0, 8.0]
    """
    m0, m1, m2, z = *moments, base
    total = np.zeros((3, len(orders)))
    for choice in orders.T:
        a, b = m0[choice], m1[choice]
        az = a * z
        total[0] += a
        total[1] += b + az
        total[2] += m2[choice] + (2 * b + az) * z
        z = z + height[choice]
    return total


def filled(shares, thickness_mm, energy, room):
    """Largest second moment of sub-plies about a plane, when they fill the space beside it.

    Parameters
    ----------
    shares : ndarray, shape (sets, sub-plies)
        How often each sub-ply is to be laid [-].
    thickness_mm, energy : ndarray, shape (sub-plies,)
        Thickness and v'Qv of one [mm, MPa].
    room : ndarray, shape (sets,)
        Space on the smaller side of the plane, minus the gap if the plane is outside [mm].

    Returns
    -------
    ndarray, shape (sets,)
        Upper bound of the integral of v'Qv z squared over all orders [N mm].

    Notes
    -----
    Rearrangement inequality: the softest lie nearest to the plane, both sides together as long as both have space.

    Examples
    --------
    >>> filled(np.array([[1, 1]]), np.array([1.0, 1.0]), np.array([2.0, 1.0]), np.array([1.0]))[0].round(4).item()
    1.25
    """
    order = np.argsort(energy, kind="stable")
    s = energy[order]
    width = np.cumsum(shares[:, order] * thickness_mm[order], axis=1)
    a = room[:, None]
    beyond = width - a
    inside = np.where(beyond <= a, width * width * width / 12, (beyond * beyond * beyond + a * a * a) / 3)
    return inside @ (s - np.append(s[1:], 0.0))


def support(forms, direction):
    """Largest strain component along a direction inside the Tsai-Wu surface of each sub-ply.

    Parameters
    ----------
    forms : ndarray, shape (..., 9)
        Criterion in laminate strain [-].
    direction : ndarray, shape (3,)
        Direction [any].

    Returns
    -------
    ndarray, shape (...)
        Largest value; infinite where the surface is open [as `direction`].

    Notes
    -----
    Centre ``c = -G^-1 g / 2``; the largest of d.e is ``d.c + sqrt(r d'G^-1 d)`` with ``r = 1 + g'G^-1 g / 4``.

    Examples
    --------
    >>> support(np.array([0, 0, 0, 4.0, 4.0, 4.0, 0, 0, 0]), np.array([1.0, 0, 0])).item()
    0.5
    """
    g = forms[..., :3]
    f = forms
    full = np.stack([f[..., 3], f[..., 6] / 2, f[..., 7] / 2, f[..., 6] / 2, f[..., 4], f[..., 8] / 2,
                     f[..., 7] / 2, f[..., 8] / 2, f[..., 5]], axis=-1).reshape(f.shape[:-1] + (3, 3))
    closed = np.linalg.eigvalsh(full)[..., 0] > 1e-12 * np.abs(full).max(axis=(-2, -1))
    inverse = np.linalg.inv(np.where(closed[..., None, None], full, np.eye(3)))
    room = 1 + np.einsum("...i,...ij,...j->...", g, inverse, g) / 4
    reach = np.einsum("i,...ij,j->...", direction, inverse, direction)
    value = -np.einsum("i,...ij,...j->...", direction, inverse, g) / 2 + np.sqrt(room * reach)
    return np.where(closed, value, np.inf)
