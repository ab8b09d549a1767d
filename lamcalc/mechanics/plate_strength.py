"""From the moments of a plate to its plies: which ply fails first, where on the plate, and at what load."""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError
from lamcalc.mechanics.failure import FirstPlyFailure, first_ply_failure

# how far the stiffness of plate and laminate may differ, over the largest term
_SLACK = 1e-6
# stations a side of the fine grid around the worst point
_FINE = 13


@dataclass(frozen=True, eq=False)
class WorstPly:
    """The place of a plate where a ply fails first.

    Parameters
    ----------
    x_mm, y_mm : float
        The place, from the corner x = y = 0 [mm].
    moments : ndarray, shape (3,)
        Mx, My, Mxy there [N mm/mm].
    stresses : ndarray, shape (plies, 2, 3)
        Stress 11, 22, 12 in ply axes at the low-z and high-z face of every ply there [MPa].
    failure : FirstPlyFailure
        Strength ratio on the load, ply, face, mode there [-].
    ratios : ndarray, shape (points, points)
        Least strength ratio at every point of the search grid, x first [-].

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> from lamcalc.mechanics.plates import Plate
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> sheet = Laminate.from_plies(10e3, 10e3, 0.3, 10e3 / 2.6, [0.0], [5.0])
    >>> solution = Plate(400, 400, sheet.D, edges="SSSS").solve(pressure=0.01)
    >>> found = worst_ply(solution, sheet, PlyStrengths(100, 100, 100, 100, 100), criterion="max_stress")
    >>> found.x_mm, found.y_mm, found.failure.mode.item()
    (200.0, 200.0, 'fibre compression')
    """

    x_mm: float
    y_mm: float
    moments: np.ndarray
    stresses: np.ndarray
    failure: FirstPlyFailure
    ratios: np.ndarray

    @property
    def ratio(self):
        """Strength ratio: the load times this just fails; no design factor taken [-]."""
        return float(self.failure.ratio)

    @property
    def sentence(self):
        """Where and what fails first, in one sentence."""
        return f"At x = {self.x_mm:.0f} mm, y = {self.y_mm:.0f} mm: {self.failure.sentence}"


def worst_ply(solution, laminate, strengths, *, criterion="tsai_wu", points=33):
    """First ply to fail anywhere on a plate, while its load grows in proportion.

    Parameters
    ----------
    solution : PlateSolution
        Bending of one plate [N, mm].
    laminate : Laminate
        The stack the plate is made of [-].
    strengths : PlyStrengths, shape (plies,) or ()
        Ply strengths [MPa].
    criterion : str
        As for `first_ply_failure` [-].
    points : int
        Stations along each side of the search grid, edges included [-].

    Returns
    -------
    WorstPly
        Place, moments, ply stresses, strength ratio [mm, N, MPa, -].

    Raises
    ------
    InputError
        If the plate or the laminate is a batch, or the bending stiffness of the plate is not that of the laminate.

    Notes
    -----
    The grid is searched first, then a fine grid around its worst point.  The laminate is loaded by moments alone
    (N = 0), as in `reduced_bending_stiffness`.  Where moments are singular (corners with strong bend-twist coupling,
    a free edge that meets a clamped one) the answer depends on the order of the plate: see `PlateSolution.error`.
    Core shear, wrinkling and bonds are other checks.

    Examples
    --------
    >>> from lamcalc.mechanics.laminate import Laminate
    >>> from lamcalc.mechanics.plates import Plate
    >>> from lamcalc.mechanics.ply_strengths import PlyStrengths
    >>> sheet = Laminate.from_plies(10e3, 10e3, 0.3, 10e3 / 2.6, [0.0], [5.0])
    >>> solution = Plate(400, 400, sheet.D, edges="CCCC").solve(pressure=0.01)
    >>> glass = PlyStrengths(100, 100, 100, 100, 60)
    >>> print(worst_ply(solution, sheet, glass, criterion="max_stress").sentence.split(": ")[0])
    At x = 0 mm, y = 200 mm
    """
    plate = solution.plate
    if np.ndim(solution.parts[0].full) != 1 or laminate.thickness_mm.ndim != 1:
        raise InputError("plate and laminate", "must be one plate and one laminate for this [-]",
                         [np.shape(solution.parts[0].full)[:-1], laminate.thickness_mm.shape[:-1]],
                         "take one out of the batch first")
    own = np.linalg.inv(laminate.compliance[2])
    if np.abs(own - plate.D).max() > _SLACK * np.abs(own).max():
        raise InputError("bending stiffness of the plate", "must be that of the laminate, D - B A^-1 B [N mm]", plate.D,
                         "build the plate with reduced_bending_stiffness(laminate.A, laminate.B, laminate.D)")
    field = solution.field(points)
    ratios = first_ply_failure(laminate, strengths, M=field.moments, criterion=criterion).ratio
    i, j = np.unravel_index(_first_least(ratios), ratios.shape)
    x, y = (_around(stations, k) for stations, k in ((field.x_mm, i), (field.y_mm, j)))
    x, y = (grid.ravel() for grid in np.meshgrid(x, y, indexing="ij"))
    moments = solution.moments(x, y)
    fine = first_ply_failure(laminate, strengths, M=moments, criterion=criterion).ratio
    # the worst grid point comes first, so that it wins a tie
    x, y, fine = (np.concatenate([[first], rest]) for first, rest in
                  ((field.x_mm[i], x), (field.y_mm[j], y), (ratios[i, j], fine)))
    worst = _first_least(fine)
    moment = solution.moments(x[worst], y[worst])
    stresses = laminate.ply_stresses(laminate.response(M=moment), axes="ply")
    return WorstPly(float(x[worst]), float(y[worst]), moment, stresses,
                    first_ply_failure(laminate, strengths, M=moment, criterion=criterion), ratios)


def _first_least(ratios):
    """Flat place of the least ratio, the first of those equal but for rounding."""
    least = ratios.min()
    return int((ratios.ravel() <= least * (1 + 1e-9)).argmax())


def _around(stations, k):
    """Fine stations between the neighbours of a station."""
    return np.linspace(stations[max(k - 1, 0)], stations[min(k + 1, len(stations) - 1)], _FINE)
