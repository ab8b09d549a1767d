"""Rectangular plates under pressure, patch loads and in-plane loads by the Ritz method.

Any symmetric bending stiffness D with bend-twist terms D16, D26; every edge
clamped, simply supported or free; classical theory, or first-order shear with
independent rotations.  x runs from 0 to a, y from 0 to b; deflection and
pressure are positive along +z; a positive moment Mx puts tension on the +z
face.  A `Plate` may hold a batch of panels with the same edges.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics import plate_kernel as kernel
from lamcalc.mechanics.plate_basis import (
    HIGHEST_SHEAR_ORDER,
    Tables,
    checked_edges,
    checked_order,
    is_held,
    segmented_tables,
    tables,
)

DEFAULT_ORDER, DEFAULT_SHEAR_ORDER = 10, 8
STRONG_BEND_TWIST = 0.2
# order of the segments around a patch, by whether there is shear: so much below the order of the plate, least and most
_PATCH_ORDERS = {False: (1, 8, 10), True: (0, 6, 8)}
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


@dataclass(frozen=True, eq=False)
class Plate:
    """Rectangular plate, or a batch of plates with the same edges, for the Ritz method.

    Parameters
    ----------
    a_mm, b_mm : float or array_like, shape (...)
        Sides along x and along y [mm].
    D : array_like, shape (..., 3, 3)
        Bending stiffness, symmetric, positive definite [N mm]; use
        `reduced_bending_stiffness` first if the stack is not symmetric.
    edges : str
        Four letters for the edges x = 0, x = a, y = 0, y = b: C clamped, S simply supported, F free [-].
    shear : float or array_like, shape (..., 2, 2), optional
        Transverse shear stiffness [[A55, A45], [A45, A44]], or one number for both
        directions [N/mm]; left out: classical plate without shear deflection.
    order : int, optional
        Functions a direction, 6 to 24 (14 with shear); if left out 10 (12 with a free
        edge, 8 with shear), and more for slender plates: one more than `suggested_order` [-].

    Raises
    ------
    InputError
        If a size is not positive, a stiffness is not symmetric and positive
        definite, the edges are not understood, or the order is out of range.

    Notes
    -----
    Functions: Hermite cubics and bubbles whose second derivative is a Legendre
    polynomial, so that K is a sum of six (with shear nine) stiffnesses times
    fixed matrices.  Simply supported edges are of the hard kind: the rotation
    along the edge is held.  In-plane forces from large deflection are left out:
    with deflections beyond about half the thickness the real plate is stiffer.

    Error: at the default order, with mild bend-twist coupling and sides up to 1 : 10, below
    0.1 % on deflection under uniform pressure (below 0.02 % up to 1 : 3).  Strong
    coupling (`bend_twist` above about 0.2) with edges that may rotate is slow for any
    method, because the corners are singular: with D22 = D11, D12 + 2 D66 = 1.5 D11,
    D16 = D26 = -0.5 D11, all edges simply supported, the deflection over q a^4 / D11 is
    0.004517 at order 8, 0.004528 at 10, 0.004544 at 20 and about 0.00455 in the limit:
    0.7 %, 0.5 % and 0.1 % low; corner moments do not settle at all.  Each solution
    carries its own estimate from two orders (`PlateSolution.error`).

    References
    ----------
    Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed. 1959, ch. 4 and 10;
    Whitney, Structural Analysis of Laminated Anisotropic Plates, 1987, ch. 2-3 (from memory);
    Szabo and Babuska, Finite Element Analysis, 1991, ch. 3 (from memory).

    Examples
    --------
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> plate = Plate(500, 500, D, edges="CCCC")
    >>> float(plate.solve(pressure=0.02).max_deflection.round(4))
    1.5816
    """

    a_mm: np.ndarray
    b_mm: np.ndarray
    D: np.ndarray
    edges: str = "CCCC"
    shear: np.ndarray | None = None
    order: int | None = None

    def __init__(self, a_mm, b_mm, D, *, edges="CCCC", shear=None, order=None):
        values = {"a_mm": positive("plate side a", a_mm, "mm"), "b_mm": positive("plate side b", b_mm, "mm"),
                  "D": _stiffness("bending stiffness D", D, 3, "N mm"), "edges": checked_edges(edges),
                  "shear": None if shear is None else _stiffness("shear stiffness", _square(shear), 2, "N/mm"),
                  "order": order}
        for name, value in values.items():
            object.__setattr__(self, name, value)
        self._shape  # raises if the shapes do not fit together
        if order is None:
            object.__setattr__(self, "order", self._default_order())
        checked_order(self.order, shear is not None)

    def _default_order(self):
        sheared = self.shear is not None
        most = suggested_order(self.a_mm, self.b_mm, self.D, edges=self.edges, shear=sheared).max() + 1
        if sheared:
            return min(max(int(most), DEFAULT_SHEAR_ORDER), HIGHEST_SHEAR_ORDER)
        return max(int(most), DEFAULT_ORDER + 2 * ("F" in self.edges))

    @cached_property
    def _shape(self):
        shapes = [self.a_mm.shape, self.b_mm.shape, self.D.shape[:-2]]
        try:
            return np.broadcast_shapes(*shapes, *([] if self.shear is None else [self.shear.shape[:-2]]))
        except ValueError:
            raise InputError("plate sides and stiffnesses", "must have batch shapes that fit together", shapes,
                             "give one value for all panels or one for each") from None

    @property
    def _tables(self):
        return tables(self.edges, self.order, self.shear is not None)

    @cached_property
    def _factors(self):
        return kernel.coefficients(self.a_mm / 2, self.b_mm / 2, self.D, self.shear)

    @property
    def bend_twist(self):
        """Strength of the bend-twist coupling, shape (...) [-].

        The larger of abs(D16) / (D11^3 D22)^(1/4) and abs(D26) / (D11 D22^3)^(1/4):
        0 for orthotropic plates, below about 0.05 for stacks balanced near mid-thickness.
        """
        d1, d2 = self.D[..., 0, 0], self.D[..., 1, 1]
        return np.maximum(np.abs(self.D[..., 0, 2]) / (d1**3 * d2) ** 0.25,
                          np.abs(self.D[..., 1, 2]) / (d1 * d2**3) ** 0.25)

    def solve(self, *, pressure=0.0, patches=()):
        """Bending under pressure and patch loads together.

        Parameters
        ----------
        pressure : float or array_like, shape (...)
            Uniform pressure, positive along +z [MPa].
        patches : sequence of Patch
            Loads on rectangles, added to the pressure [N, mm].

        Returns
        -------
        PlateSolution
            Deflection, moments and shear forces [mm, N, MPa].

        Raises
        ------
        InputError
            If a load is not finite, a patch leaves the plate, or the edges do not hold the plate.

        Examples
        --------
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> heel = Patch(500.0, 250, 250, 60, 60)
        >>> round(float(Plate(500, 500, D, edges="SSSS").solve(patches=[heel]).deflection(250, 250)), 3)
        1.411
        """
        self._require_support()
        fixed, parts = self._tables, []
        value = number("pressure", pressure, "MPa")
        if value.any() or not patches:
            parts.append(self._part(fixed, value[..., None] * fixed.pressure))
        parts += [self._patch_part(patch) for patch in patches]
        return PlateSolution(self, tuple(parts))

    def _part(self, fixed, load):
        factors = self._factors
        if factors.ndim > 1 and factors.shape[:-1] != load.shape[:-1]:
            shape = np.broadcast_shapes(load.shape[:-1], factors.shape[:-1])
            factors = np.broadcast_to(factors, (*shape, factors.shape[-1]))
            load = np.broadcast_to(load, (*shape, load.shape[-1]))
        return LoadPart(fixed, load, *kernel.solve(fixed, factors, load))

    def _patch_part(self, patch):
        """Solution for one patch on a plate whose sides are split at the edges of the patch."""
        self._require_inside(patch)
        joints_x, at_x, same_x = kernel.patch_joints(self.a_mm / 2, patch.x_mm, patch.width_x_mm)
        joints_y, at_y, same_y = kernel.patch_joints(self.b_mm / 2, patch.y_mm, patch.width_y_mm)
        if not (same_x and same_y):
            raise InputError("patch load",
                             "must lie at the same place, in parts of the sides, on all plates of a batch", patch.x_mm,
                             "solve the plates one by one")
        step, low, high = _PATCH_ORDERS[self.shear is not None]
        order = min(max(self.order - step, low), high)
        fixed = segmented_tables(self.edges, order, self.shear is not None, joints_x, joints_y)
        intensity = patch.load / (patch.width_x_mm * patch.width_y_mm)
        spread = fixed.spread(fixed.x.deflection.integrals[at_x], fixed.y.deflection.integrals[at_y])
        return self._part(fixed, intensity[..., None] * spread)

    def _require_support(self):
        if not is_held(self.edges):
            raise InputError("edges", "must hold the plate: at least one clamped or two simply supported edges",
                             self.edges, "support another edge")

    def _require_inside(self, patch):
        for name, side, centre, width in (("x", self.a_mm, patch.x_mm, patch.width_x_mm),
                                          ("y", self.b_mm, patch.y_mm, patch.width_y_mm)):
            reach, slack = np.abs(centre - side / 2) + width / 2, 1e-9 * side
            if np.any(reach > side / 2 + slack):
                span = [np.min(centre - width / 2).item(), np.max(centre + width / 2).item()]
                raise InputError(f"patch load, extent along {name}",
                                 f"must lie on the plate, 0 to {np.min(side):g} [mm]", span,
                                 "move the patch or make it smaller")

    def buckling(self, N, *, count=1):
        """Load factors at which the flat plate buckles under in-plane loads.

        Parameters
        ----------
        N : array_like, shape (..., 3)
            Uniform Nx, Ny, Nxy, tension positive as everywhere: compression is negative [N/mm].
        count : int
            How many modes [-].

        Returns
        -------
        PlateModes
            `values` are factors on N, lowest first; infinite if this load cannot buckle the plate [-].

        Raises
        ------
        InputError
            If N is not three finite numbers, not all zero, the edges do not hold the plate or count is out of range.

        Notes
        -----
        Linear buckling of a flat plate; in-plane edge forces are taken as given all
        over the plate.  Real panels are not flat: apply the margin of the code in use.

        Examples
        --------
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> factor = Plate(500, 500, D, edges="SSSS").buckling([-1.0, 0, 0]).values[0]
        >>> round(float(factor * 500**2 / (np.pi**2 * 1e6)), 4)
        4.0
        """
        self._require_support()
        forces = number("in-plane load N", N, "N/mm")
        if forces.shape[-1:] != (3,) or not np.abs(forces).max(axis=-1).all():
            raise InputError("in-plane load N", "must be Nx, Ny, Nxy [N/mm], not all zero", N,
                             "write for instance (-50, 0, 0) for 50 N/mm compression along x")
        p, q = 2 / self.a_mm, 2 / self.b_mm
        terms = np.broadcast_arrays(0.0, -forces[..., 0] * p * p, -forces[..., 1] * q * q, -forces[..., 2] * p * q)
        return self._modes(np.stack(terms, axis=-1), count, "load factor [-]")

    def frequencies(self, mass_per_area_kg_m2, count=1):
        """Lowest natural frequencies of the plate in bending.

        Parameters
        ----------
        mass_per_area_kg_m2 : float or array_like, shape (...)
            Mass of the wall [kg/m2]; water beside a hull panel adds to it.
        count : int
            How many modes [-].

        Returns
        -------
        PlateModes
            `values` are frequencies, lowest first [Hz]; rigid movements of a loose plate are left out.

        Raises
        ------
        InputError
            If the mass is not positive or count is out of range.

        Notes
        -----
        Rotary inertia and the air or water around the plate are left out.

        Examples
        --------
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> round(float(Plate(500, 500, D, edges="SSSS").frequencies(8.0).values[0]), 2)
        140.5
        """
        mass = positive("mass per area", mass_per_area_kg_m2, "kg/m2")
        # 1 N/mm3 over 1 kg/m2 is 1e9 per s2
        terms = np.stack(np.broadcast_arrays(mass * 1e-9, 0.0, 0.0, 0.0), axis=-1)
        rigid = 0 if is_held(self.edges) else (1 if "S" in self.edges else 3)
        shift = self._factors[..., :4].max(axis=-1) / terms[..., 0] if rigid else 0.0
        modes = self._modes(terms, count + rigid, "frequency [Hz]", shift)
        omega2, below = (np.maximum(v[..., rigid:] - np.asarray(shift)[..., None], 0.0)
                         for v in (modes.values, modes.lower))
        return PlateModes(self, np.sqrt(omega2) / (2 * np.pi), np.sqrt(below) / (2 * np.pi),
                          modes.coefficients[..., rigid:, :], modes.quantity)

    def _modes(self, terms, count, quantity, shift=0.0):
        fixed = self._tables
        most = min(fixed.x.smooth - 2, fixed.y.smooth - 2) ** 2 // 2
        if not isinstance(count, (int, np.integer)) or not 1 <= count <= most:
            raise InputError("number of modes", f"must be a whole number from 1 to {most} at order {self.order} [-]",
                             count, "ask for fewer modes or raise the order")
        shape = np.broadcast_shapes(terms.shape[:-1], self._factors.shape[:-1])
        factors = np.broadcast_to(self._factors, (*shape, self._factors.shape[-1]))
        values, vectors, lower = kernel.eigenmodes(fixed, factors, np.broadcast_to(terms, (*shape, 4)), count, shift)
        return PlateModes(self, values, lower, vectors, quantity)


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
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> solution = Plate(500, 500, D, edges="CCCC").solve(pressure=0.02)
    >>> solution.moments([250, 0], [250, 250])[:, :2].round(1).tolist()
    [[114.5, 114.5], [-256.5, -77.0]]
    """

    plate: Plate
    parts: tuple

    def _places(self, x_mm, y_mm):
        x, y = np.broadcast_arrays(number("x", x_mm, "mm"), number("y", y_mm, "mm"))
        positions = []
        for name, values, side in (("x", x, self.plate.a_mm), ("y", y, self.plate.b_mm)):
            t = 2 * values.ravel() / side[..., None] - 1
            if np.any(np.abs(t) > 1 + 1e-9):
                raise InputError(f"point {name}", f"must lie on the plate, 0 to {np.min(side):g} [mm]",
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
        return [kernel.Sampler(part.tables, *positions, grid=False) for part in self.parts], shape

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
        if len(self.parts) == 1 and len(blocks) == 2 and not self.parts[0].full[..., blocks[1].members].any():
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
    >>> modes = Plate(500, 400, np.diag([1e6, 1e6, 4e5])).frequencies(8.0, count=2)
    >>> modes.quantity, modes.shape(0, 250, 200).round(3).item()
    ('frequency [Hz]', 1.0)
    """

    plate: Plate
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


def _square(shear):
    value = number("shear stiffness", shear, "N/mm")
    return value * np.eye(2) if value.ndim == 0 else value


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


def _stiffness(name, value, size, unit):
    """Check that matrices are symmetric and positive definite."""
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
