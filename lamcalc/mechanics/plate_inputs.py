"""What a plate is made of and loaded with: checked stiffnesses, patch loads, the order that a shape needs."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.plate_basis import HIGHEST_SHEAR_ORDER

# up to these slendernesses orders 7, 9, 11, 13 keep the deflection within 0.1 % (supported edges, uniform pressure)
_ASPECTS, _SHEAR_ASPECTS = np.array([2.0, 3.5, 5.5, 7.5]), np.array([3.0, 4.5, 6.5, 8.0])


def suggested_order(a_mm, b_mm, D, *, edges, shear):
    """Functions a direction that keep the deflection under uniform pressure within about 0.1 %.

    Parameters
    ----------
    a_mm, b_mm : array_like, shape (...)
        Sides along x and along y [mm].
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N mm].
    edges : str
        Four letters as for `Plate` [-].
    shear : bool
        Whether there is first-order shear, which limits the order to 14 [-].

    Returns
    -------
    ndarray of int, shape (...)
        7 to 15 by the effective slenderness a/b (D22/D11)^(1/4); 2 more with a free edge [-].

    Notes
    -----
    Found by comparison with order 20; strong bend-twist coupling is not covered.

    Examples
    --------
    >>> suggested_order([300, 900, 3000], 300, np.eye(3), edges="SSSS", shear=False).tolist()
    [7, 9, 15]
    """
    D = np.asarray(D)
    ratio = np.asarray(a_mm) / b_mm * (D[..., 1, 1] / D[..., 0, 0]) ** 0.25
    steps = np.searchsorted(_SHEAR_ASPECTS if shear else _ASPECTS, np.maximum(ratio, 1 / ratio))
    order = 7 + 2 * steps + 2 * ("F" in edges)
    return np.minimum(order, HIGHEST_SHEAR_ORDER) if shear else order


def reduced_bending_stiffness(A, B, D):
    """Bending stiffness of a laminate with bending-stretching coupling whose mid-plane is free to strain.

    Parameters
    ----------
    A : array_like, shape (..., 3, 3)
        In-plane stiffness [N/mm].
    B : array_like, shape (..., 3, 3)
        Coupling stiffness [N].
    D : array_like, shape (..., 3, 3)
        Bending stiffness [N mm].

    Returns
    -------
    ndarray, shape (..., 3, 3)
        D* = D - B A^-1 B [N mm].

    Raises
    ------
    InputError
        If an entry is not finite.

    Notes
    -----
    Name: reduced bending stiffness method.  M = D* kappa holds exactly where
    N = 0.  For a whole plate it is an approximation: it takes the edges as free
    to move in plane and drops the in-plane forces that compatibility may cause.
    With a symmetric stack B = 0 and nothing changes.  B depends on the reference
    plane, D* does not.

    References
    ----------
    Ashton, Approximate solutions for unsymmetrically laminated plates, J. Composite Materials 3, 1969
    (from memory).

    Examples
    --------
    >>> reduced_bending_stiffness(np.eye(3) * 4, np.eye(3) * 2, np.eye(3) * 3)[0, 0].item()
    2.0
    """
    A, B, D = number("A", A, "N/mm"), number("B", B, "N"), number("D", D, "N mm")
    return D - B @ np.linalg.solve(A, B)


@dataclass(frozen=True)
class Patch:
    """A load spread evenly over a rectangle.

    Parameters
    ----------
    load : float or array_like, shape (...)
        Total load, positive along +z [N].
    x_mm, y_mm : float or array_like, shape (...)
        Centre of the rectangle, from the corner x = y = 0 of the plate [mm].
    width_x_mm, width_y_mm : float or array_like, shape (...)
        Size of the rectangle along x and y [mm].

    Raises
    ------
    InputError
        If a value is not finite or a width is not positive.

    Examples
    --------
    >>> Patch(750.0, 200, 150, 100, 60).width_y_mm.item()
    60.0
    """

    load: float
    x_mm: float
    y_mm: float
    width_x_mm: float
    width_y_mm: float

    def __post_init__(self):
        for name, unit in (("load", "N"), ("x_mm", "mm"), ("y_mm", "mm")):
            object.__setattr__(self, name, number(f"patch {name}", getattr(self, name), unit))
        for name in ("width_x_mm", "width_y_mm"):
            object.__setattr__(self, name, positive(f"patch {name}", getattr(self, name), "mm"))


def square(shear):
    """Shear stiffness as a matrix.

    Parameters
    ----------
    shear : float or array_like, shape (..., 2, 2)
        One number for both directions, or the matrix [N/mm].

    Returns
    -------
    ndarray, shape (..., 2, 2)
        The matrix [N/mm].

    Raises
    ------
    InputError
        If a value is not finite.

    Examples
    --------
    >>> square(300.0).tolist()
    [[300.0, 0.0], [0.0, 300.0]]
    """
    value = number("shear stiffness", shear, "N/mm")
    return value * np.eye(2) if value.ndim == 0 else value


def checked_matrix(name, value, size, unit):
    """Return matrices after checking that they are symmetric and positive definite.

    Parameters
    ----------
    name : str
        Name of the input for the message [-].
    value : array_like, shape (..., size, size)
        Matrices [as `unit` says].
    size : int
        2 or 3 rows [-].
    unit : str
        Unit for the message [-].

    Returns
    -------
    ndarray, shape (..., size, size)
        The symmetric matrices [as `unit` says].

    Raises
    ------
    InputError
        If a matrix is not finite, symmetric and positive definite.

    Examples
    --------
    >>> checked_matrix("shear stiffness", [[2, 0], [0, 1]], 2, "N/mm").tolist()
    [[2.0, 0.0], [0.0, 1.0]]
    """
    array = number(name, value, unit)
    if array.shape[-2:] != (size, size):
        raise InputError(name, f"must be a {size} x {size} matrix [{unit}]", array, "give the full symmetric matrix")
    flipped = np.swapaxes(array, -1, -2)
    top = np.abs(array).max(axis=(-1, -2), keepdims=True)
    if np.any(np.abs(array - flipped) > 1e-6 * top):
        raise InputError(name, f"must be symmetric [{unit}]", array.reshape(-1, size, size)[0],
                         "check the order of the entries")
    minors = [array[..., 0, 0], array[..., 0, 0] * array[..., 1, 1] - array[..., 0, 1] ** 2]
    if size == 3:
        minors.append(array[..., 2, 2] * minors[1] + 2 * array[..., 0, 1] * array[..., 0, 2] * array[..., 1, 2]
                      - array[..., 0, 0] * array[..., 1, 2] ** 2 - array[..., 1, 1] * array[..., 0, 2] ** 2)
    if not all(np.all(m > 0) for m in minors):
        raise InputError(name, f"must be positive definite [{unit}]", array.reshape(-1, size, size)[0],
                         "check signs and units; a real laminate always is")
    return (array + flipped) / 2
