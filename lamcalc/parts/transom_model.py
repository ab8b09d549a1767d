"""Plate view of a transom: unit pulls of the two bolt rows, with or without knees, solved once a wall."""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from lamcalc.mechanics.plates import LoadPart, Patch, Plate, PlateSolution

KNEE_SEGMENTS = 4


@dataclass(frozen=True, eq=False)
class RowFields:
    """Fields of the plate under 1 N aft on the upper row, and under 1 N aft on the lower row.

    Parameters
    ----------
    points_mm : ndarray, shape (points, 2)
        Grid over the plate and nine points on each bolt patch [mm].
    deflection : ndarray, shape (2, points)
        Deflection [mm].
    at_bolts : ndarray, shape (2, 4)
        Deflection at the bolts: two upper, two lower [mm].
    curvatures : ndarray, shape (2, points, 3)
        Curvatures [1/mm].
    shear_forces : ndarray, shape (2, points, 2)
        Qx and Qy [N/mm].
    edge_shear : ndarray, shape (2, stations)
        Shear force normal to the held edges [N/mm].
    knee_reactions : ndarray, shape (2, segments)
        Force of the knees on the plate, positive aft; empty without knees [N].
    error : float
        Estimated error of the moments, over the largest [-].
    max_deflection, max_moments : ndarray, shape (2,), (2, 3)
        Largest values under each unit pull [mm, N mm/mm].

    Examples
    --------
    >>> RowFields.__dataclass_params__.frozen
    True
    """

    points_mm: np.ndarray
    deflection: np.ndarray
    at_bolts: np.ndarray
    curvatures: np.ndarray
    shear_forces: np.ndarray
    edge_shear: np.ndarray
    knee_reactions: np.ndarray
    error: float
    max_deflection: np.ndarray
    max_moments: np.ndarray


@lru_cache(maxsize=64)
def row_fields(width, height, edges, bending, shear, xs, ys, patch, knees=(), knee_width=50.0, lower_xs=None):
    """Fields of the plate under unit pulls of the bolt rows.

    Parameters
    ----------
    width, height : float
        Sides of the plate [mm].
    edges : str
        Left, right, bottom, top: C, S or F [-].
    bending, shear : bytes
        Bending stiffness 3 x 3 and transverse shear stiffness 2 x 2 as bytes of floats [N mm, N/mm].
    xs : tuple of float
        Places of the bolts across, of the upper row where `lower_xs` is given [mm].
    ys : tuple of float
        Heights of the upper and of the lower row [mm].
    patch : tuple of float
        Width and height of a backing plate [mm].
    knees : tuple of float
        Places of the knees across, from the left edge [mm].
    knee_width : float
        Width that a knee holds [mm].
    lower_xs : tuple of float, optional
        Places of the bolts of the lower row; as the upper ones if not given [mm].

    Returns
    -------
    RowFields
        Fields that add up by the forces of the rows [mm, N].

    Raises
    ------
    InputError
        If a patch or a knee leaves the plate.

    Notes
    -----
    A knee is taken as rigid and bonded, so that it pulls and pushes: forces on its segments make the mean
    line of the plate stand still at their centres (force method).  A real knee gives way: the turn with knees
    is a lower bound.
    """
    plate = Plate(width, height, np.frombuffer(bending).reshape(3, 3), edges=edges,
                  shear=np.frombuffer(shear).reshape(2, 2))
    places = [(x, y) for row, y in zip((xs, xs if lower_xs is None else lower_xs), ys, strict=True) for x in row]
    rows = [plate.solve(patches=[Patch(1 / len(xs), x, at, *patch) for x, at in places if at == y]).parts for y in ys]
    props = [(x, (k + 0.5) * height / KNEE_SEGMENTS) for x in knees for k in range(KNEE_SEGMENTS)]
    held = [plate.solve(patches=[Patch(1.0, x, y, knee_width, height / KNEE_SEGMENTS)]).parts for x, y in props]
    reactions = np.zeros((len(ys), len(props)))
    if props:
        at = np.array(props).T
        flexibility = np.array([PlateSolution(plate, p).deflection(*at) for p in held])
        moved = np.array([PlateSolution(plate, p).deflection(*at) for p in rows])
        reactions = -np.linalg.solve(flexibility.T, moved.T).T
        rows = [parts + tuple(_scaled(part, r) for r, hold in zip(force, held) for part in hold)
                for parts, force in zip(rows, reactions)]
    solutions = [PlateSolution(plate, tuple(parts)) for parts in rows]
    points = _points(width, height, places, patch)
    stations = (np.arange(25) + 0.5) / 25
    edge = [s for s in (
        (0 * stations, stations * height, 0) if edges[0] != "F" else None,
        (0 * stations + width, stations * height, 0) if edges[1] != "F" else None,
        (stations * width, 0 * stations, 1) if edges[2] != "F" else None,
        (stations * width, 0 * stations + height, 1) if edges[3] != "F" else None) if s is not None]
    bolts = np.array(places).T
    return RowFields(
        points, np.array([s.deflection(*points.T) for s in solutions]), np.array([s.deflection(*bolts) for s in solutions]),
        np.array([s.curvatures(*points.T) for s in solutions]), np.array([s.shear_forces(*points.T) for s in solutions]),
        np.array([np.concatenate([s.shear_forces(x, y)[:, axis] for x, y, axis in edge]) for s in solutions]),
        reactions, float(max(np.max(s.error.moments) for s in solutions)),
        np.array([float(s.max_deflection) for s in solutions]), np.array([s.max_moments for s in solutions]))


def _scaled(part, by):
    return LoadPart(part.tables, *(by * values for values in (part.load, part.full, part.lower)))


def _points(width, height, places, patch):
    """Grid of 17 x 17 with the edges, and nine points on each patch."""
    grid = np.stack(np.meshgrid(np.linspace(0, width, 17), np.linspace(0, height, 17)), axis=-1).reshape(-1, 2)
    steps = np.stack(np.meshgrid([-0.5, 0.0, 0.5], [-0.5, 0.0, 0.5]), axis=-1).reshape(-1, 2) * patch
    return np.concatenate([grid, *(np.array(place) + steps for place in places)])
