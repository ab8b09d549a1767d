"""A solved plate: fields at any point, worst points, estimated error, mode shapes."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number
from lamcalc.mechanics import plate_kernel as kernel
from lamcalc.mechanics.plate_basis import Tables
from lamcalc.mechanics.plate_results import PlateError, PlateField, PlatePeaks
from lamcalc.sentences import rule_sentence


@dataclass(frozen=True, eq=False)
class LoadPart:
    """Solution for one part of the load.

    Parameters
    ----------
    tables : Tables
        Functions [-].
    load : ndarray, shape (..., functions)
        Work of the load on each function [MPa].
    full, lower : ndarray, shape (..., functions)
        Coefficients of the functions at the full order and at an order lower by two [mm].

    Examples
    --------
    >>> from lamcalc.mechanics.plates import Plate
    >>> Plate(500, 400, np.diag([1e6, 1e6, 4e5])).solve(pressure=0.02).parts[0].full.shape
    (100,)
    """

    tables: Tables
    load: np.ndarray
    full: np.ndarray
    lower: np.ndarray


@dataclass(frozen=True, eq=False)
class PlateSolution:
    """Bending of a plate: fields at any point, worst points, estimated error.

    Parameters
    ----------
    plate : Plate
        The plate [-].
    parts : tuple of LoadPart
        Solutions to the pressure and to each patch, which add up [mm].

    Examples
    --------
    >>> from lamcalc.mechanics.plates import Plate
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> solution = Plate(500, 500, D, edges="CCCC").solve(pressure=0.02)
    >>> solution.moments([250, 0], [250, 250])[:, :2].round(1).tolist()
    [[114.5, 114.5], [-256.5, -77.0]]
    """

    plate: object
    parts: tuple

    def _places(self, x_mm, y_mm):
        x, y = np.broadcast_arrays(number("x", x_mm, "mm"), number("y", y_mm, "mm"))
        positions = []
        for name, values, side in (("x", x, self.plate.a_mm), ("y", y, self.plate.b_mm)):
            t = 2 * values.ravel() / side[..., None] - 1
            if np.any(np.abs(t) > 1 + 1e-9):
                raise InputError(f"point {name}",
                                 rule_sentence("must lie on the plate, 0 to {side} [mm]", side=np.min(side)),
                                 values, "give distances from the corner x = y = 0")
            positions.append(t)
        return positions, x.shape

    def _halves(self):
        return self.plate.a_mm / 2, self.plate.b_mm / 2

    def _deflection(self, samplers, state="full"):
        return sum(sampler.deflection(kernel.split(part.tables, getattr(part, state)))
                   for part, sampler in zip(self.parts, samplers))

    def _curvatures(self, samplers, state="full"):
        return sum(sampler.curvatures(kernel.split(part.tables, getattr(part, state)), *self._halves())
                   for part, sampler in zip(self.parts, samplers))

    def _shear_forces(self, samplers):
        stiffness = self.plate.D, self.plate.shear
        return sum(sampler.shear_forces(kernel.split(part.tables, part.full), *self._halves(), *stiffness)
                   for part, sampler in zip(self.parts, samplers))

    def _at(self, x_mm, y_mm):
        positions, shape = self._places(x_mm, y_mm)
        return [kernel.point_sampler(part.tables, *positions) for part in self.parts], shape

    def _on(self, tx, ty):
        return [kernel.grid_sampler(part.tables, tuple(tx.tolist()), tuple(ty.tolist())) for part in self.parts]

    def deflection(self, x_mm, y_mm):
        """Deflection at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (points...)
            Distances from the corner x = y = 0 [mm].

        Returns
        -------
        ndarray, shape (..., points...)
            Deflection [mm].

        Raises
        ------
        InputError
            If a point is not on the plate.

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> solution = Plate(500, 400, np.diag([1e6, 1e6, 4e5])).solve(pressure=0.02)
        >>> solution.deflection([125, 250], 200).round(3).tolist()
        [0.608, 0.975]
        """
        samplers, shape = self._at(x_mm, y_mm)
        values = self._deflection(samplers)
        return values.reshape((*values.shape[:-1], *shape))

    def curvatures(self, x_mm, y_mm):
        """Curvatures kappa_x, kappa_y, kappa_xy at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (points...)
            Distances from the corner x = y = 0 [mm].

        Returns
        -------
        ndarray, shape (..., points..., 3)
            Curvatures; with shear those of the rotations [1/mm].

        Raises
        ------
        InputError
            If a point is not on the plate.

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> Plate(500, 400, np.diag([1e6, 1e6, 4e5])).solve(pressure=0.02).curvatures(250, 200).shape
        (3,)
        """
        samplers, shape = self._at(x_mm, y_mm)
        return _pointwise(self._curvatures(samplers), shape)

    def moments(self, x_mm, y_mm):
        """Moments Mx, My, Mxy at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (points...)
            Distances from the corner x = y = 0 [mm].

        Returns
        -------
        ndarray, shape (..., points..., 3)
            D kappa; positive Mx and My put tension on the +z face [N mm/mm].

        Raises
        ------
        InputError
            If a point is not on the plate.

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> solution = Plate(500, 400, np.diag([1e6, 1e6, 4e5])).solve(pressure=0.02)
        >>> solution.moments(250, 0)[1].round(1).item()
        -217.7
        """
        samplers, shape = self._at(x_mm, y_mm)
        return _pointwise(self.plate.D @ self._curvatures(samplers), shape)

    def shear_forces(self, x_mm, y_mm):
        """Transverse shear forces Qx, Qy at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (points...)
            Distances from the corner x = y = 0 [mm].

        Returns
        -------
        ndarray, shape (..., points..., 2)
            Shear forces [N/mm].  They settle more slowly with the order than moments.

        Raises
        ------
        InputError
            If a point is not on the plate.

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> strip = Plate(200, 400, np.diag([1e6, 1e6, 5e5]), edges="SSFF").solve(pressure=0.02)
        >>> strip.shear_forces(0, 200)[0].round(3).item()
        2.0
        """
        samplers, shape = self._at(x_mm, y_mm)
        return _pointwise(self._shear_forces(samplers), shape)

    def field(self, points=33):
        """All fields on an even grid that includes the edges.

        Parameters
        ----------
        points : int
            Stations along each side [-].

        Returns
        -------
        PlateField
            Deflection, moments, curvatures, shear forces [mm, N].

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> Plate(500, 400, np.diag([1e6, 1e6, 4e5])).solve(pressure=0.02).field(3).x_mm.tolist()
        [0.0, 250.0, 500.0]
        """
        t = np.linspace(-1.0, 1.0, _checked_points(points))
        samplers, grid = self._on(t, t), (points, points)
        w, curvatures = self._deflection(samplers), self._curvatures(samplers)
        a, b = np.broadcast_arrays(self.plate.a_mm, self.plate.b_mm)
        return PlateField((t + 1) / 2 * a[..., None], (t + 1) / 2 * b[..., None], w.reshape((*w.shape[:-1], *grid)),
                          _pointwise(self.plate.D @ curvatures, grid), _pointwise(curvatures, grid),
                          _pointwise(self._shear_forces(samplers), grid))

    def peaks(self, points=33):
        """Worst points of deflection, moments and shear forces over the plate and its edges.

        Parameters
        ----------
        points : int
            Stations along each side of the search grid; peaks are refined between them [-].

        Returns
        -------
        PlatePeaks
            Largest magnitudes with sign and place [mm, N].

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> Plate(500, 400, D).solve(pressure=0.02).peaks().moments_at_mm[1].round(1).tolist()
        [250.0, 0.0]
        """
        return self._survey(points)[0]

    @cached_property
    def _standard_survey(self):
        return self._survey(33)

    def _stations(self, points):
        """Stations of the search grid: even ones, and the edges and middles of patches."""
        t = np.linspace(-1.0, 1.0, _checked_points(points))
        blocks = self.parts[0].tables.blocks
        alike = len(blocks) == 2 or len(blocks) == 4
        if len(self.parts) == 1 and alike and not any(self.parts[0].full[..., b.members].any() for b in blocks[1:]):
            # deflection and moments are the same at opposite points: one station beyond the middle is enough
            return t[: points // 2 + 2], t
        stations = []
        for axis in ("x", "y"):
            joints = [getattr(part.tables, axis).deflection.joints for part in self.parts]
            extra = [j for own in joints if own.size > 2 for j in (own[1:-1], (own[1:] + own[:-1]) / 2)]
            together = np.sort(np.concatenate([t, *extra]))
            stations.append(together[np.diff(together, prepend=-2.0) > 1e-6])
        return stations

    def _survey(self, points, *, shear_forces=True):
        """Peaks, and the estimated error at the grid points of the peaks."""
        tx, ty = self._stations(points)
        samplers = self._on(tx, ty)
        fields = [self._deflection(samplers)[..., None, :], self.plate.D @ self._curvatures(samplers)]
        if shear_forces:
            fields.append(self._shear_forces(samplers))
        value, place, node = (np.concatenate(c, axis=k) for c, k in
                              zip(zip(*(kernel.refined_peak(f, tx, ty) for f in fields)), (-1, -2, -1)))
        place = (place + 1) * np.stack(np.broadcast_arrays(*self._halves()), -1)[..., None, :]
        peaks = PlatePeaks(value[..., 0], place[..., 0, :], value[..., 1:4], place[..., 1:4, :],
                           *((value[..., 4:], place[..., 4:, :]) if shear_forces else (None, None)))
        return peaks, self._error([sampler.picked(node[..., :4]) for sampler in samplers])

    def _error(self, samplers):
        """Differences between the two orders at the worst grid points, times the factor of the kernel."""
        gap = size = work = rest = 0.0
        for part, sampler in zip(self.parts, samplers):
            alone = PlateSolution(self.plate, (part,))
            high, low = (np.stack([w[..., 0], *(m[..., k, k + 1] for k in range(3))], axis=-1) for w, m in
                         ((alone._deflection([sampler], state), self.plate.D @ alone._curvatures([sampler], state))
                          for state in ("full", "lower")))
            factor = kernel.error_factor(part.tables.order)
            gap, size = gap + factor * np.abs(high - low), size + high
            done, less = ((part.load * c).sum(axis=-1) for c in (part.full, part.lower))
            work, rest = work + done, rest + factor * (done - less)
        size = np.abs(size)
        deflection = np.maximum(_ratio(gap[..., 0], size[..., 0]), _ratio(rest, work))
        moments = _ratio(gap[..., 1:], size[..., 1:].max(-1, keepdims=True))
        coupling = np.broadcast_to(self.plate.bend_twist, deflection.shape)
        return PlateError(deflection, moments, coupling, self.plate.order)

    @property
    def max_deflection(self):
        """Largest deflection with its sign, shape (...) [mm]."""
        return self._standard_survey[0].deflection

    @property
    def max_moments(self):
        """Largest Mx, My, Mxy with their signs, shape (..., 3) [N mm/mm]."""
        return self._standard_survey[0].moments

    @property
    def max_shear_forces(self):
        """Largest Qx, Qy with their signs, shape (..., 2) [N/mm]."""
        return self._standard_survey[0].shear_forces

    @property
    def error(self):
        """Estimated error, a `PlateError` from the two highest orders [-]."""
        return self._standard_survey[1]


@dataclass(frozen=True, eq=False)
class PlateModes:
    """Buckling loads or natural frequencies of a plate, with their shapes.

    Parameters
    ----------
    plate : Plate
        The plate [-].
    values : ndarray, shape (..., count)
        Load factors [-] or frequencies [Hz], lowest first.
    lower : ndarray, shape (..., count)
        The same at an order lower by two [-] or [Hz].
    coefficients : ndarray, shape (..., count, functions)
        Coefficients of the mode shapes [mm].
    quantity : str
        Name and unit of the values [-].

    Examples
    --------
    >>> from lamcalc.mechanics.plates import Plate
    >>> modes = Plate(500, 400, np.diag([1e6, 1e6, 4e5])).frequencies(8.0, count=2)
    >>> modes.quantity, modes.shape(0, 250, 200).round(3).item()
    ('frequency [Hz]', 1.0)
    """

    plate: object
    values: np.ndarray
    lower: np.ndarray
    coefficients: np.ndarray
    quantity: str

    @property
    def error(self):
        """Estimated error of each value over itself, shape (..., count) [-]; values from Ritz are on the high side."""
        gap = np.where(np.isfinite(self.values), np.abs(self.lower - np.nan_to_num(self.values, posinf=0.0)), 0.0)
        return _ratio(gap * kernel.error_factor(self.plate.order), np.nan_to_num(self.values, posinf=1.0))

    def shape(self, mode, x_mm, y_mm):
        """Shape of a mode, scaled to 1 at its largest deflection.

        Parameters
        ----------
        mode : int
            Number of the mode from 0 [-].
        x_mm, y_mm : array_like, shape (points...)
            Distances from the corner x = y = 0 [mm].

        Returns
        -------
        ndarray, shape (..., points...)
            Deflection over the largest deflection [-].

        Raises
        ------
        InputError
            If a point is not on the plate.

        Examples
        --------
        >>> from lamcalc.mechanics.plates import Plate
        >>> modes = Plate(500, 500, np.diag([1e6, 1e6, 5e5]), edges="SSSS").frequencies(8.0)
        >>> modes.shape(0, [125, 250], 250).round(4).tolist()
        [0.7071, 1.0]
        """
        vector = self.coefficients[..., mode, :]
        fixed, t = self.plate._tables, np.linspace(-1.0, 1.0, 33)
        solution = PlateSolution(self.plate, (LoadPart(fixed, np.zeros_like(vector), vector, vector),))
        scale = kernel.refined_peak(solution._deflection(solution._on(t, t)), t, t)[0]
        values = solution.deflection(x_mm, y_mm)
        return values / scale.reshape(scale.shape + (1,) * (values.ndim - scale.ndim))


def _pointwise(values, shape):
    """Components behind the points, points in their own shape."""
    values = np.moveaxis(values, -2, -1)
    return values.reshape((*values.shape[:-2], *shape, values.shape[-1]))


def _checked_points(points):
    if not isinstance(points, (int, np.integer)) or points < 3:
        raise InputError("points of the grid", "must be a whole number, 3 or more [stations a side]", points, "try 33")
    return points


def _ratio(part, whole):
    whole = np.asarray(whole)
    return np.where(whole > 0, part / np.where(whole > 0, whole, 1.0), 0.0)
