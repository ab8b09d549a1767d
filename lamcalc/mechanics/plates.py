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
    checked_edges,
    checked_order,
    is_held,
    segmented_tables,
    tables,
)
from lamcalc.mechanics.plate_inputs import Patch, checked_matrix, reduced_bending_stiffness, square, suggested_order
from lamcalc.mechanics.plate_results import STRONG_BEND_TWIST, PlateError, PlateField, PlatePeaks
from lamcalc.mechanics.plate_solution import LoadPart, PlateModes, PlateSolution
from lamcalc.sentences import rule_sentence

__all__ = [
    "DEFAULT_ORDER", "DEFAULT_SHEAR_ORDER", "LoadPart", "Patch", "Plate", "PlateError", "PlateField", "PlateModes",
    "PlatePeaks", "PlateSolution", "STRONG_BEND_TWIST", "reduced_bending_stiffness", "suggested_order",
]
DEFAULT_ORDER, DEFAULT_SHEAR_ORDER = 10, 8
# order of the segments around a patch, by whether there is shear: so much below the order of the plate, least and most
_PATCH_ORDERS = {False: (1, 8, 10), True: (0, 6, 8)}


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
                  "D": checked_matrix("bending stiffness D", D, 3, "N mm"), "edges": checked_edges(edges),
                  "shear": None if shear is None else checked_matrix("shear stiffness", square(shear), 2, "N/mm"),
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

    @cached_property
    def _tables(self):
        coupled = self.D[..., :2, 2].any() or (self.shear is not None and self.shear[..., 0, 1].any())
        return tables(self.edges, self.order, self.shear is not None, not coupled)

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
                                 rule_sentence("must lie on the plate, 0 to {side} [mm]", side=np.min(side)), span,
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
        # in-plane shear couples what the plate itself does not
        fixed = tables(self.edges, self.order, self.shear is not None)
        most = min(fixed.x.smooth - 2, fixed.y.smooth - 2) ** 2 // 2
        if not isinstance(count, (int, np.integer)) or not 1 <= count <= most:
            raise InputError("number of modes", f"must be a whole number from 1 to {most} at order {self.order} [-]",
                             count, "ask for fewer modes or raise the order")
        shape = np.broadcast_shapes(terms.shape[:-1], self._factors.shape[:-1])
        factors = np.broadcast_to(self._factors, (*shape, self._factors.shape[-1]))
        values, vectors, lower = kernel.eigenmodes(fixed, factors, np.broadcast_to(terms, (*shape, 4)), count, shift)
        return PlateModes(self, values, lower, vectors, quantity)
