"""Three-dimensional elasticity of simply supported cross-ply plates, exact: the yardstick of plate theories.

Each wave of the load makes an ordinary differential equation through the
thickness.  A thin slice is solved by the series of the exponential; slices are
joined as stiffnesses between their faces, by doubling, which stays accurate for
thick plates and short waves where products of transfer matrices lose all digits.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.laminate import stiffness_matrices, unpacked
from lamcalc.mechanics.plate_navier import NavierPlate, load_waves


def orthotropic_stiffness(e1, e2, e3, nu12, nu13, nu23, g12, g13, g23):
    """Three-dimensional stiffness of an orthotropic ply in its own axes.

    Parameters
    ----------
    e1, e2, e3 : array_like, shape (...)
        Young's moduli along, across and through [MPa].
    nu12, nu13, nu23 : array_like, shape (...)
        Poisson ratios, nu12 being the strain in 2 for stress in 1 [-].
    g12, g13, g23 : array_like, shape (...)
        Shear moduli [MPa].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        Stiffness for 11, 22, 33, 23, 13, 12 [MPa].

    Raises
    ------
    InputError
        If a modulus is not positive or the Poisson ratios are impossible together.

    References
    ----------
    Jones, Mechanics of Composite Materials, 2nd ed. 1999, eq. 2.16-2.27 (from memory).

    Examples
    --------
    >>> orthotropic_stiffness(2, 2, 2, 0, 0, 0, 1, 1, 1).diagonal().tolist()
    [2.0, 2.0, 2.0, 1.0, 1.0, 1.0]
    """
    names = ("e1", "e2", "e3", "g12", "g13", "g23")
    e1, e2, e3, g12, g13, g23 = (positive(n, v, "MPa") for n, v in zip(names, (e1, e2, e3, g12, g13, g23)))
    nu12, nu13, nu23 = (number(n, v) for n, v in zip(("nu12", "nu13", "nu23"), (nu12, nu13, nu23)))
    shape = np.broadcast_shapes(*(v.shape for v in (e1, e2, e3, g12, g13, g23, nu12, nu13, nu23)))
    compliance = np.zeros((*shape, 6, 6))
    for k, modulus in enumerate((e1, e2, e3, g23, g13, g12)):
        compliance[..., k, k] = 1 / modulus
    for i, j, value in ((0, 1, -nu12 / e1), (0, 2, -nu13 / e1), (1, 2, -nu23 / e2)):
        compliance[..., i, j] = compliance[..., j, i] = value
    if np.any(np.linalg.eigvalsh(compliance) <= 0):
        raise InputError("Poisson ratios", "must leave the stiffness positive [-]",
                         [float(np.max(v)) for v in (nu12, nu13, nu23)], "check which modulus each ratio belongs to")
    return np.linalg.inv(compliance)


def cross_ply_stiffness(stiffness, angle_deg):
    """Ply stiffness in plate axes for plies at 0 or 90 degrees.

    Parameters
    ----------
    stiffness : array_like, shape (..., 6, 6)
        Stiffness in ply axes [MPa].
    angle_deg : array_like, shape (...)
        0 or 90 (also -90, 180) [deg].

    Returns
    -------
    ndarray, shape (..., 6, 6)
        Stiffness for xx, yy, zz, yz, xz, xy [MPa].

    Raises
    ------
    InputError
        If an angle is not a multiple of 90.

    Examples
    --------
    >>> cross_ply_stiffness(np.diag([2.0, 1, 1, 3, 4, 5]), [0, 90])[1].diagonal().tolist()
    [1.0, 2.0, 1.0, 4.0, 3.0, 5.0]
    """
    angles, stiffness = number("angle_deg", angle_deg, "deg"), number("stiffness", stiffness, "MPa")
    if np.any(np.abs(angles % 90) > 1e-9):
        raise InputError("angle_deg", "must be 0 or 90 for the exact solution [deg]", angle_deg, "use a Ritz plate")
    swap = [1, 0, 2, 4, 3, 5]
    turned = stiffness[..., swap, :][..., swap]
    return np.where((np.abs(angles % 180) > 1e-9)[..., None, None], turned, stiffness)


@dataclass(frozen=True, eq=False)
class ExactPlate:
    """Simply supported cross-ply rectangle as a three-dimensional body.

    Parameters
    ----------
    a_mm : float
        Side along x [mm].
    b_mm : float
        Side along y; infinite for cylindrical bending (plane strain) [mm].
    stiffness : array_like, shape (plies, 6, 6)
        Stiffness of each ply in plate axes, from `cross_ply_stiffness` [MPa].
    thickness_mm : array_like, shape (plies,)
        Ply thickness, ply 1 at z = -h/2 [mm].

    Raises
    ------
    InputError
        If a value is not positive or a ply couples direct stress with shear.

    Notes
    -----
    Edges: w = 0, the in-plane displacement along the edge = 0 and direct stress across
    it = 0 at every height.  Pressure acts along +z on the face z = +h/2.

    References
    ----------
    Pagano, Exact solutions for composite laminates in cylindrical bending, J. Composite Materials 3, 1969;
    Pagano, Exact solutions for rectangular bidirectional composites and sandwich plates,
    J. Composite Materials 4, 1970; Srinivas and Rao, Int. J. Solids and Structures 6, 1970 (from memory).

    Examples
    --------
    >>> ply = orthotropic_stiffness(25.0, 1, 1, 0.25, 0.25, 0.25, 0.5, 0.5, 0.2)
    >>> stack = cross_ply_stiffness(ply, [0, 90, 0])
    >>> plate = ExactPlate(4.0, 4.0, stack, [1 / 3] * 3)
    >>> round(float(100 * plate.solve(1.0, load="sine").displacement(2, 2, 0.0)[2] / 4**4), 3)
    2.006
    """

    a_mm: float
    b_mm: float
    stiffness: np.ndarray
    thickness_mm: np.ndarray

    def __post_init__(self):
        positive("plate side a", self.a_mm, "mm")
        if not self.b_mm == np.inf:
            positive("plate side b", self.b_mm, "mm")
        stack, t = number("stiffness", self.stiffness, "MPa"), positive("thickness_mm", self.thickness_mm, "mm")
        if stack.shape != (*t.shape, 6, 6) or t.ndim != 1:
            raise InputError("stiffness", "must hold one 6 x 6 matrix a ply [MPa]", stack.shape, "give one entry a ply")
        coupled = np.ones((6, 6), dtype=bool)
        coupled[:3, :3] = coupled[range(6), range(6)] = False
        if np.any(np.abs(stack[:, coupled]) > 1e-9 * stack.max()):
            raise InputError("stiffness", "must not couple direct stress with shear [MPa]", stack,
                             "use plies at 0 or 90")
        object.__setattr__(self, "stiffness", stack)
        object.__setattr__(self, "thickness_mm", t)

    @property
    def total_thickness_mm(self):
        """Thickness [mm]."""
        return self.thickness_mm.sum()

    @property
    def laminate_stiffness(self):
        """A [N/mm], B [N], D [N mm] of the same plies in plate theory (stress through the thickness zero)."""
        c = self.stiffness
        q = np.zeros((len(c), 3, 3))
        for i in range(2):
            for j in range(2):
                q[:, i, j] = c[:, i, j] - c[:, i, 2] * c[:, j, 2] / c[:, 2, 2]
        q[:, 2, 2] = c[:, 5, 5]
        return unpacked(stiffness_matrices(q, self.thickness_mm))

    def _waves(self, m, n):
        return np.pi * np.asarray(m, dtype=float) / self.a_mm, np.pi * np.asarray(n, dtype=float) / self.b_mm

    @cached_property
    def _unit(self):
        """Stress unit, so that displacement and stress amplitudes are of like size [MPa]."""
        return self.stiffness[:, 3, 3].max()

    def _segment(self, ply, thickness, alpha, beta, inertia=0.0):
        """Stiffness between the faces of a part of a ply, as blocks, and its clamped modes below the frequency."""
        system = _state_matrix(self.stiffness[ply] / self._unit, alpha, beta, inertia / self._unit)
        return _slab(system, thickness)

    def solve(self, pressure, *, load="uniform", terms=25):
        """Bending under pressure on the face z = +h/2.

        Parameters
        ----------
        pressure : float
            Uniform pressure, or the peak of a sine load [MPa].
        load : str
            "uniform", or "sine": one half wave along each side [-].
        terms : int
            Odd waves along each side for a uniform load [-].

        Returns
        -------
        ExactSolution
            Displacements and stresses at any point [mm, MPa].

        Raises
        ------
        InputError
            If the load is not known.

        Examples
        --------
        >>> steel = orthotropic_stiffness(*[2.6] * 3, *[0.3] * 3, *[1.0] * 3)[None]
        >>> plate = ExactPlate(100.0, 100.0, steel, [1.0])
        >>> w = plate.solve(1e-6, terms=10).displacement(50, 50, 0.0)[2]
        >>> round(float(w * 2.6 / 10.92 / (1e-6 * 100**4)), 5)
        0.00406
        """
        m, n, amplitude = load_waves(load, terms, cylindrical=self.b_mm == np.inf)
        return ExactSolution(self, *self._waves(m, n), amplitude * number("pressure", pressure, "MPa"))

    def frequency(self, density_kg_m3, m=1, n=1):
        """Lowest natural frequency with m and n half waves along the sides.

        Parameters
        ----------
        density_kg_m3 : array_like, shape (plies,) or float
            Density of the plies [kg/m3].
        m, n : int
            Half waves along x and y [-].

        Returns
        -------
        float
            Frequency [Hz].

        Raises
        ------
        InputError
            If a density is not positive.

        Notes
        -----
        The dynamic stiffness between the faces is exact at any frequency; the
        number of modes below a frequency is the number of its negative eigenvalues
        plus those met while joining slices (Wittrick and Williams 1971), so that
        bisection cannot miss a mode.

        References
        ----------
        Wittrick and Williams, Quarterly J. Mechanics and Applied Mathematics 24, 1971 (from memory).

        Examples
        --------
        >>> steel = orthotropic_stiffness(*[208e3] * 3, *[0.3] * 3, *[80e3] * 3)[None]
        >>> round(float(ExactPlate(500.0, 500.0, steel, [5.0]).frequency(7850.0)), 1)
        97.8
        """
        density = np.broadcast_to(positive("density", density_kg_m3, "kg/m3") * 1e-12, self.thickness_mm.shape)
        alpha, beta = (w[None] for w in self._waves(m, n))
        low, high = 0.0, np.sqrt(self._unit / density.max()) * alpha[0] ** 2 * self.total_thickness_mm * 1e-3
        while self._modes_below(high, density, alpha, beta) < 1:
            low, high = high, 2 * high
        while high - low > 1e-10 * high:
            middle = (low + high) / 2
            low, high = (low, middle) if self._modes_below(middle, density, alpha, beta) else (middle, high)
        return (low + high) / (4 * np.pi)

    def _modes_below(self, omega, density, alpha, beta):
        blocks, count = None, 0
        for ply, t in enumerate(self.thickness_mm):
            new, inner = self._segment(ply, t, alpha, beta, density[ply] * omega**2)
            blocks, between = (new, 0) if blocks is None else _joined(blocks, new)
            count += inner + between
        whole = np.block([[blocks[0][0], blocks[1][0]], [blocks[2][0], blocks[3][0]]])
        return count + int((np.linalg.eigvalsh((whole + whole.T) / 2) < 0).sum())

    def first_order_error(self, shear):
        """Error of first-order shear theory on the deflection of this plate under a sine load.

        Parameters
        ----------
        shear : array_like, shape (2, 2)
            Transverse shear stiffness [[A55, 0], [0, A44]] used in the plate theory [N/mm].

        Returns
        -------
        float
            Centre deflection by first-order theory over the exact one at mid-height, less 1 [-].

        Raises
        ------
        InputError
            If the shear stiffness is not finite.

        Notes
        -----
        Negative where first-order theory is too stiff.  It says what a shear factor costs for
        the stack and slenderness at hand.

        Examples
        --------
        >>> ply = orthotropic_stiffness(25.0, 1, 1, 0.25, 0.25, 0.25, 0.5, 0.5, 0.2)
        >>> plate = ExactPlate(10.0, 10.0, cross_ply_stiffness(ply, [0, 90, 0]), [1 / 3] * 3)
        >>> round(plate.first_order_error(5 / 6 * np.diag([0.4, 0.3])), 3)
        -0.111
        """
        a, b, d = self.laminate_stiffness
        middle = self.a_mm / 2, 0.0 if self.b_mm == np.inf else self.b_mm / 2
        theory = NavierPlate(self.a_mm, self.b_mm, a, b, d, shear=shear).solve(1.0, load="sine").deflection(*middle)
        exact = self.solve(1.0, load="sine").displacement(*middle, 0.0)[2]
        return float(theory / exact - 1)


@dataclass(frozen=True, eq=False)
class ExactSolution:
    """Three-dimensional solution for a load as waves.

    Parameters
    ----------
    plate : ExactPlate
        The plate [-].
    alpha, beta : ndarray, shape (waves,)
        Wave numbers along x and y [1/mm].
    load : ndarray, shape (waves,)
        Pressure amplitudes on the face z = +h/2 [MPa].

    Examples
    --------
    >>> steel = orthotropic_stiffness(*[2.6] * 3, *[0.3] * 3, *[1.0] * 3)[None]
    >>> solution = ExactPlate(10.0, 10.0, steel, [1.0]).solve(1e-6, load="sine")
    >>> (solution.stress(5, 5, 0.5)[2] / 1e-6).round(9).item()
    1.0
    """

    plate: ExactPlate
    alpha: np.ndarray
    beta: np.ndarray
    load: np.ndarray

    def _state(self, z_mm, side):
        """Ply, displacement and stress amplitudes at a height, shape (waves, 3) each, stresses over the stress unit."""
        plate = self.plate
        faces = np.concatenate([[0.0], np.cumsum(plate.thickness_mm)])
        height, near = float(z_mm) + faces[-1] / 2, 1e-9 * faces[-1]
        if not -near <= height <= faces[-1] + near:
            raise InputError("height z", f"must lie within the plate, +-{faces[-1] / 2:g} [mm]", z_mm,
                             "z = 0 at mid-thickness")
        ply = int(np.searchsorted(faces[1:-1], height + (near if side == "above" else -near)))
        parts = [(k, t) for k, t in enumerate(plate.thickness_mm)]
        lower, upper = height - faces[ply], faces[ply + 1] - height
        cut = [(ply, t) for t in (lower, upper) if t > near]
        parts[ply: ply + 1] = cut
        node = ply + (lower > near)
        slabs = [plate._segment(k, t, self.alpha, self.beta)[0] for k, t in parts]
        waves, nodes = self.alpha.size, len(slabs) + 1
        matrix, right = np.zeros((waves, 3 * nodes, 3 * nodes)), np.zeros((waves, 3 * nodes, 1))
        for k, blocks in enumerate(slabs):
            lo, hi = slice(3 * k, 3 * k + 3), slice(3 * k + 3, 3 * k + 6)
            for rows, cols, block in ((lo, lo, 0), (lo, hi, 1), (hi, lo, 2), (hi, hi, 3)):
                matrix[:, rows, cols] += blocks[block]
        right[:, -1, 0] = self.load / plate._unit
        keep = [k for k in range(3 * nodes) if k % 3 != 1] if plate.b_mm == np.inf else list(range(3 * nodes))
        moved = np.zeros((waves, nodes, 3))
        moved.reshape(waves, -1)[:, keep] = np.linalg.solve(matrix[:, keep][:, :, keep], right[:, keep])[..., 0]
        bottom = node if (lower <= near) else node - 1
        blocks = slabs[min(bottom, len(slabs) - 1)]
        below, above = moved[:, bottom, :, None], moved[:, bottom + 1, :, None]
        if node == bottom + 1:
            pull = blocks[2] @ below + blocks[3] @ above
        else:
            pull = -(blocks[0] @ below + blocks[1] @ above)
        return ply, moved[:, node], pull[..., 0]

    def _trig(self, x_mm, y_mm):
        ax, by = self.alpha * float(x_mm), self.beta * float(y_mm)
        if self.plate.b_mm == np.inf:
            by = np.full_like(by, np.pi / 2)
        return np.sin(ax), np.cos(ax), np.sin(by), np.cos(by)

    def displacement(self, x_mm, y_mm, z_mm, *, side="below"):
        """Displacement at a point.

        Parameters
        ----------
        x_mm, y_mm : float
            Distances from the corner [mm].
        z_mm : float
            Height from mid-thickness [mm].
        side : str
            "below" or "above": which ply at an interface [-].

        Returns
        -------
        ndarray, shape (3,)
            u, v, w [mm].

        Raises
        ------
        InputError
            If the height is outside the plate.

        Examples
        --------
        >>> steel = orthotropic_stiffness(*[2.6] * 3, *[0.3] * 3, *[1.0] * 3)[None]
        >>> solution = ExactPlate(10.0, 10.0, steel, [1.0]).solve(1e-6, load="sine")
        >>> solution.displacement(0, 5, 0.0)[2].item()
        0.0
        """
        _, moved, _ = self._state(z_mm, side)
        sx, cx, sy, cy = self._trig(x_mm, y_mm)
        return np.array([(cx * sy * moved[:, 0]).sum(), (sx * cy * moved[:, 1]).sum(), (sx * sy * moved[:, 2]).sum()])

    def stress(self, x_mm, y_mm, z_mm, *, side="below"):
        """Stress at a point.

        Parameters
        ----------
        x_mm, y_mm : float
            Distances from the corner [mm].
        z_mm : float
            Height from mid-thickness [mm].
        side : str
            "below" or "above": which ply at an interface [-].

        Returns
        -------
        ndarray, shape (6,)
            Stresses xx, yy, zz, yz, xz, xy [MPa].

        Raises
        ------
        InputError
            If the height is outside the plate.

        Examples
        --------
        >>> ply = orthotropic_stiffness(25.0, 1, 1, 0.25, 0.25, 0.25, 0.5, 0.5, 0.2)
        >>> plate = ExactPlate(4.0, 4.0, cross_ply_stiffness(ply, [0, 90, 0]), [1 / 3] * 3)
        >>> round(float(plate.solve(1.0, load="sine").stress(2, 2, 0.5)[0] / 4**2), 3)
        0.801
        """
        ply, moved, pull = self._state(z_mm, side)
        c = self.plate.stiffness[ply]
        sx, cx, sy, cy = self._trig(x_mm, y_mm)
        u, v = moved[:, 0], moved[:, 1]
        x_stress, y_stress, z_stress = (pull * self.plate._unit).T
        in_plane = [-(c[i, 0] - c[i, 2] * c[2, 0] / c[2, 2]) * self.alpha * u
                    - (c[i, 1] - c[i, 2] * c[2, 1] / c[2, 2]) * self.beta * v
                    + c[i, 2] / c[2, 2] * z_stress for i in range(2)]
        twist = c[5, 5] * (self.beta * u + self.alpha * v)
        return np.array([(sx * sy * in_plane[0]).sum(), (sx * sy * in_plane[1]).sum(), (sx * sy * z_stress).sum(),
                         (sx * cy * y_stress).sum(), (cx * sy * x_stress).sum(), (cx * cy * twist).sum()])


def _state_matrix(c, alpha, beta, inertia):
    """Derivative through the thickness of the amplitudes of u, v, w, tau_xz, tau_yz, sigma_z."""
    matrix = np.zeros((*alpha.shape, 6, 6))
    r1, r2 = c[0, 2] / c[2, 2], c[1, 2] / c[2, 2]
    q11, q12, q22 = c[0, 0] - c[0, 2] * r1, c[0, 1] - c[1, 2] * r1, c[1, 1] - c[1, 2] * r2
    matrix[..., 0, 2], matrix[..., 1, 2], matrix[..., 2, 0], matrix[..., 2, 1] = -alpha, -beta, r1 * alpha, r2 * beta
    matrix[..., 0, 3], matrix[..., 1, 4], matrix[..., 2, 5] = 1 / c[4, 4], 1 / c[3, 3], 1 / c[2, 2]
    matrix[..., 3, 0] = q11 * alpha**2 + c[5, 5] * beta**2 - inertia
    matrix[..., 4, 1] = q22 * beta**2 + c[5, 5] * alpha**2 - inertia
    matrix[..., 3, 1] = matrix[..., 4, 0] = alpha * beta * (q12 + c[5, 5])
    matrix[..., 5, 2] = -inertia
    matrix[..., 3:, 3:] = -np.swapaxes(matrix[..., :3, :3], -1, -2)
    return matrix


def _slab(system, thickness):
    """Face stiffness of a homogeneous layer: one thin slice by the exponential series, then doubling.

    Returns the blocks bottom-bottom, bottom-top, top-bottom, top-top and the number
    of modes below the frequency with both faces held (0 for the static case).
    """
    size = np.abs(system).sum(axis=-1).max() * thickness
    doublings = max(0, int(np.ceil(np.log2(size / 0.5))))
    step = system * (thickness / 2**doublings)
    transfer = term = np.broadcast_to(np.eye(6), step.shape)
    for k in range(1, 16):
        term = term @ step / k
        transfer = transfer + term
    t11, t12, t21, t22 = (transfer[..., i, j] for i in (slice(3), slice(3, 6)) for j in (slice(3), slice(3, 6)))
    inverse = np.linalg.inv(t12)
    blocks = [inverse @ t11, -inverse, t21 - t22 @ inverse @ t11, t22 @ inverse]
    count = 0
    for _ in range(doublings):
        blocks, between = _joined(blocks, blocks)
        count = 2 * count + between
    return blocks, count


def _joined(first, second):
    """Face stiffness of two layers, the interface between them eliminated, and its negative eigenvalues."""
    middle = first[3] + second[0]
    down, up = np.linalg.solve(middle, first[2]), np.linalg.solve(middle, second[1])
    negative = int((np.linalg.eigvalsh((middle + np.swapaxes(middle, -1, -2)) / 2) < 0).sum())
    return [first[0] - first[1] @ down, -first[1] @ up, -second[2] @ down, second[3] - second[2] @ up], negative
