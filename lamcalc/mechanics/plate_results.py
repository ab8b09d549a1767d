"""What a plate solution is read as: worst points, fields on a grid, estimated error."""

from dataclasses import dataclass

import numpy as np

STRONG_BEND_TWIST = 0.2


@dataclass(frozen=True)
class PlatePeaks:
    """Largest magnitudes found on a grid that includes the edges, refined between its points.

    Parameters
    ----------
    deflection : ndarray, shape (...)
        Largest deflection with its sign [mm].
    deflection_at_mm : ndarray, shape (..., 2)
        Where it occurs, x and y [mm].
    moments : ndarray, shape (..., 3)
        Largest Mx, My, Mxy, each with its sign [N mm/mm].
    moments_at_mm : ndarray, shape (..., 3, 2)
        Where they occur, x and y [mm].
    shear_forces : ndarray, shape (..., 2), or None
        Largest Qx, Qy, each with its sign [N/mm].
    shear_forces_at_mm : ndarray, shape (..., 2, 2), or None
        Where they occur, x and y [mm].

    Examples
    --------
    >>> from lamcalc.mechanics.plates import Plate
    >>> plate = Plate(400, 400, [[1e6, 3e5, 0], [3e5, 1e6, 0], [0, 0, 3.5e5]], edges="SSSS")
    >>> plate.solve(pressure=0.01).peaks().deflection_at_mm.round(3).tolist()
    [200.0, 200.0]
    """

    deflection: np.ndarray
    deflection_at_mm: np.ndarray
    moments: np.ndarray
    moments_at_mm: np.ndarray
    shear_forces: np.ndarray | None
    shear_forces_at_mm: np.ndarray | None


@dataclass(frozen=True)
class PlateField:
    """Fields of a plate on an even grid that includes the edges.

    Parameters
    ----------
    x_mm, y_mm : ndarray, shape (..., points)
        Stations along the sides [mm].
    deflection : ndarray, shape (..., points, points)
        Deflection at (x, y) [mm].
    moments : ndarray, shape (..., points, points, 3)
        Mx, My, Mxy [N mm/mm].
    curvatures : ndarray, shape (..., points, points, 3)
        kappa_x, kappa_y, kappa_xy [1/mm].
    shear_forces : ndarray, shape (..., points, points, 2)
        Qx, Qy [N/mm].

    Examples
    --------
    >>> from lamcalc.mechanics.plates import Plate
    >>> plate = Plate(400, 300, [[1e6, 3e5, 0], [3e5, 1e6, 0], [0, 0, 3.5e5]])
    >>> plate.solve(pressure=0.01).field(5).moments.shape
    (5, 5, 3)
    """

    x_mm: np.ndarray
    y_mm: np.ndarray
    deflection: np.ndarray
    moments: np.ndarray
    curvatures: np.ndarray
    shear_forces: np.ndarray


@dataclass(frozen=True)
class PlateError:
    """Estimated error of a Ritz solution from two orders.

    Parameters
    ----------
    deflection : ndarray, shape (...)
        Of the largest deflection, over itself; not less than that of the work of the load [-].
    moments : ndarray, shape (..., 3)
        Of the largest Mx, My, Mxy, over the largest of the three [-].
    bend_twist : ndarray, shape (...)
        Bend-twist coupling as in `Plate.bend_twist` [-].
    order : int
        Functions a direction [-].

    Notes
    -----
    Moments where a free edge meets a clamped one, and twisting moments at corners
    with bend-twist coupling, are singular in plate theory: there the estimate stays
    large at any order, and rightly so.  At the middle of panel and edges moments settle.

    Examples
    --------
    >>> from lamcalc.mechanics.plates import Plate
    >>> plate = Plate(400, 300, [[1e6, 3e5, 0], [3e5, 1e6, 0], [0, 0, 3.5e5]], edges="SSSS")
    >>> print(plate.solve(pressure=0.01).error)
    estimated error: deflection below 0.01 %, Mx 0.034 %, My 0.02 %, Mxy 0.074 % (orders 10 and 8)
    """

    deflection: np.ndarray
    moments: np.ndarray
    bend_twist: np.ndarray
    order: int

    def __str__(self):
        worst = {"deflection": np.max(self.deflection)}
        worst |= {name: np.max(self.moments[..., k]) for k, name in enumerate(("Mx", "My", "Mxy"))}
        shown = [f"{name} {f'{100 * v:.2g} %' if v > 1e-4 else 'below 0.01 %'}" for name, v in worst.items()]
        text = f"estimated error: {', '.join(shown)} (orders {self.order} and {self.order - 2})"
        if np.max(self.bend_twist) > STRONG_BEND_TWIST:
            text += "; strong bend-twist coupling: moments at corners of simply supported edges do not settle"
        return text
