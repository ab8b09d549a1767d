"""Simply supported laminated plates by double sine series: classical or first-order shear, with coupling.

Two kinds of stack have exact series: cross-ply (any order of 0 and 90, also
unsymmetric) and antisymmetric angle-ply.  They are references for the Ritz
plate and for the reduced bending stiffness.  x runs from 0 to a, y from 0 to b;
an infinite b means cylindrical bending.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, number, positive

# which trigonometric product (0: sin sin, 1: cos cos) carries eps_x, eps_y, gamma_xy, kappa_x, kappa_y, kappa_xy
_CARRIER = {"cross": np.array([0, 0, 1, 0, 0, 1]), "angle": np.array([1, 1, 0, 0, 0, 1])}


def factored_shear_stiffness(g13, g23, angle_deg, thickness_mm, *, factor=5 / 6):
    """Transverse shear stiffness of a stack from ply moduli and one shear factor.

    Parameters
    ----------
    g13, g23 : array_like, shape (..., plies) or scalar
        Transverse shear moduli along and across the fibre [MPa].
    angle_deg : array_like, shape (..., plies)
        Fibre angle from x towards y [deg].
    thickness_mm : array_like, shape (..., plies)
        Ply thickness [mm].
    factor : float
        Shear correction factor, 5/6 for a solid sheet [-].

    Returns
    -------
    ndarray, shape (..., 2, 2)
        [[A55, A45], [A45, A44]] [N/mm].

    Raises
    ------
    InputError
        If a modulus, thickness or the factor is not positive.

    Notes
    -----
    A uniform factor suits solid laminates and comparison with printed tables.  A
    sandwich needs the shear stiffness by equilibrium (`transverse_shear`).

    References
    ----------
    Reddy, Mechanics of Laminated Composite Plates and Shells, 2nd ed. 2004, sec. 3.4 (from memory).

    Examples
    --------
    >>> factored_shear_stiffness(500.0, 200.0, [0, 90], [1.0, 1.0], factor=1.0).round(9).tolist()
    [[700.0, 0.0], [0.0, 700.0]]
    """
    g13, g23, t = positive("g13", g13, "MPa"), positive("g23", g23, "MPa"), positive("thickness_mm", thickness_mm, "mm")
    angle = np.radians(number("angle_deg", angle_deg, "deg"))
    c, s = np.cos(angle), np.sin(angle)
    a55, a44, a45 = ((np.broadcast_arrays(v, t)[0] * t).sum(-1) * positive("shear factor", factor)
                     for v in (g13 * c * c + g23 * s * s, g13 * s * s + g23 * c * c, (g13 - g23) * s * c))
    return np.stack([np.stack([a55, a45], -1), np.stack([a45, a44], -1)], -2)


@dataclass(frozen=True, eq=False)
class NavierPlate:
    """Simply supported laminated rectangle for the double series.

    Parameters
    ----------
    a_mm : float
        Side along x [mm].
    b_mm : float
        Side along y; infinite for cylindrical bending [mm].
    A : array_like, shape (3, 3)
        In-plane stiffness [N/mm].
    B : array_like, shape (3, 3)
        Coupling stiffness [N].
    D : array_like, shape (3, 3)
        Bending stiffness [N mm].
    shear : array_like, shape (2, 2), optional
        Transverse shear stiffness [[A55, A45], [A45, A44]]; left out: classical theory [N/mm].
    kind : str
        "cross": edges free to move in plane at right angles to themselves (cross-ply stacks);
        "angle": edges free to move along themselves (antisymmetric angle-ply stacks) [-].

    Raises
    ------
    InputError
        If a value is not finite, or the stiffness has terms that this series cannot carry.

    Notes
    -----
    "cross" needs A16 = A26 = B16 = B26 = D16 = D26 = A45 = 0, "angle" needs
    A16 = A26 = B11 = B12 = B22 = B66 = D16 = D26 = A45 = 0.  Each pair of waves m, n is then
    an exact solution with the five amplitudes of u, v, w and the two rotations.

    References
    ----------
    Reddy, Mechanics of Laminated Composite Plates and Shells, 2nd ed. 2004, ch. 5 and 7 (from memory);
    Whitney and Pagano, Shear deformation in heterogeneous anisotropic plates, J. Applied Mechanics 37, 1970
    (from memory).

    Examples
    --------
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> plate = NavierPlate(500.0, 500.0, np.eye(3) * 1e5, np.zeros((3, 3)), D)
    >>> round(float(plate.solve(0.02).deflection(250, 250)), 4)
    5.0779
    """

    a_mm: float
    b_mm: float
    A: np.ndarray
    B: np.ndarray
    D: np.ndarray
    shear: np.ndarray | None = None
    kind: str = "cross"

    def __post_init__(self):
        positive("plate side a", self.a_mm, "mm")
        if not self.b_mm == np.inf:
            positive("plate side b", self.b_mm, "mm")
        if self.kind not in _CARRIER:
            raise InputError("kind of stack", 'must be "cross" or "angle"', self.kind, 'choose "cross" for 0/90 stacks')
        stiffness = np.block([[number("A", self.A, "N/mm"), number("B", self.B, "N")],
                              [number("B", self.B, "N"), number("D", self.D, "N mm")]])
        carrier = _CARRIER[self.kind]
        carried = carrier[:, None] == carrier
        scale = np.sqrt(np.outer(np.diag(stiffness), np.diag(stiffness)))
        if np.any(np.abs(stiffness[~carried]) > 1e-6 * scale[~carried]):
            raise InputError("laminate stiffness",
                             f'must be of the kind "{self.kind}": some coupling terms must vanish', stiffness,
                             "use a Ritz plate with the reduced bending stiffness")
        object.__setattr__(self, "_stiffness", np.where(carried, stiffness, 0.0))
        if self.shear is not None:
            shear = number("shear stiffness", self.shear, "N/mm")
            if abs(shear[0, 1]) > 1e-6 * shear.max():
                raise InputError("shear stiffness", "must have A45 = 0 for this series [N/mm]", shear,
                                 "use a Ritz plate")
            object.__setattr__(self, "shear", shear)

    def _waves(self, m, n):
        return np.pi * np.asarray(m, dtype=float) / self.a_mm, np.pi * np.asarray(n, dtype=float) / self.b_mm

    def _strain(self, alpha, beta):
        """Amplitudes of the six strains and two shear strains per amplitude of u, v, w, rotations."""
        sign = 1.0 if self.kind == "angle" else -1.0
        rows = np.zeros((*alpha.shape, 8, 5))
        rows[..., 0, 0], rows[..., 1, 1] = sign * alpha, sign * beta
        rows[..., 2, 0], rows[..., 2, 1] = -sign * beta, -sign * alpha
        rows[..., 3, 3], rows[..., 4, 4] = -alpha, -beta
        rows[..., 5, 3], rows[..., 5, 4] = beta, alpha
        rows[..., 6, 2], rows[..., 6, 3], rows[..., 7, 2], rows[..., 7, 4] = alpha, 1.0, beta, 1.0
        return rows

    def _reduction(self, alpha, beta):
        """Columns of the free amplitudes: all five, or u, v, w with rotations equal to the slopes."""
        columns = np.broadcast_to(np.eye(5), (*alpha.shape, 5, 5))
        if self.shear is not None:
            return columns
        columns = columns[..., :3].copy()
        columns[..., 3, 2], columns[..., 4, 2] = -alpha, -beta
        return columns

    def _matrix(self, alpha, beta):
        rows = self._strain(alpha, beta)
        bending, slip = rows[..., :6, :], rows[..., 6:, :]
        matrix = np.swapaxes(bending, -1, -2) @ self._stiffness @ bending
        if self.shear is not None:
            matrix = matrix + np.swapaxes(slip, -1, -2) @ np.diag(np.diag(self.shear)) @ slip
        columns = self._reduction(alpha, beta)
        return np.swapaxes(columns, -1, -2) @ matrix @ columns, columns

    def solve(self, pressure, *, load="uniform", terms=60):
        """Bending under pressure.

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
        NavierSolution
            Amplitudes and fields [mm].

        Raises
        ------
        InputError
            If the load is not known.

        Examples
        --------
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> plate = NavierPlate(500.0, 500.0, np.eye(3) * 1e5, np.zeros((3, 3)), D, shear=np.eye(2) * 200)
        >>> round(float(plate.solve(0.02, load="sine").deflection(250, 250)), 4)
        4.4746
        """
        m, n, amplitude = load_waves(load, terms, cylindrical=self.b_mm == np.inf)
        alpha, beta = self._waves(m, n)
        matrix, columns = self._matrix(alpha, beta)
        keep = list(range(matrix.shape[-1]))
        if self.b_mm == np.inf:
            # nothing loads v and the rotation in y, which may have no stiffness of their own here
            keep = [k for k in keep if k not in (1, 4)]
        right = np.zeros((m.size, len(keep), 1))
        right[:, keep.index(2), 0] = amplitude * number("pressure", pressure, "MPa")
        solved = np.linalg.solve(matrix[:, keep][:, :, keep], right)
        return NavierSolution(self, alpha, beta, (columns[..., keep] @ solved)[..., 0])

    def frequencies(self, mass_per_area_kg_m2, m, n, *, gyration_radius_mm=0.0):
        """Natural frequencies with m and n half waves along the sides.

        Parameters
        ----------
        mass_per_area_kg_m2 : float
            Mass of the wall [kg/m2].
        m, n : array_like of int, shape (...)
            Half waves along x and y [-].
        gyration_radius_mm : float
            Radius of gyration of the mass about mid-thickness, h / sqrt(12) for a uniform
            wall; 0 leaves rotary inertia out [mm].

        Returns
        -------
        ndarray, shape (..., 3) or (..., 5)
            Frequencies in rising order, the first mainly bending; with shear and rotary
            inertia five, else three [Hz].

        Raises
        ------
        InputError
            If the mass is not positive or the radius is negative.

        Examples
        --------
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> plate = NavierPlate(500.0, 500.0, np.eye(3) * 1e5, np.zeros((3, 3)), D)
        >>> plate.frequencies(8.0, 1, 1).shape, round(float(plate.frequencies(8.0, 1, 1)[0]), 1)
        ((3,), 140.5)
        """
        mass = positive("mass per area", mass_per_area_kg_m2, "kg/m2") * 1e-9
        radius = positive("gyration_radius_mm", gyration_radius_mm, "mm", zero=True)
        alpha, beta = self._waves(*np.broadcast_arrays(m, n))
        matrix, columns = self._matrix(alpha, beta)
        inertia = mass * np.array([1, 1, 1, radius**2, radius**2])
        if self.shear is not None and radius == 0:
            free, bound = matrix[..., :3, :3], matrix[..., :3, 3:]
            matrix = free - bound @ np.linalg.solve(matrix[..., 3:, 3:], np.swapaxes(bound, -1, -2))
            root = np.full(3, np.sqrt(mass))
        else:
            root = np.sqrt((columns**2 * inertia[:, None]).sum(axis=-2))
        values = np.linalg.eigvalsh(matrix / root[..., :, None] / root[..., None, :])
        return np.sqrt(np.maximum(values, 0.0)) / (2 * np.pi)

    def buckling(self, N, m, n):
        """Load factor at which the plate buckles into m and n half waves under Nx, Ny.

        Parameters
        ----------
        N : array_like, shape (2,)
            Nx, Ny, tension positive [N/mm].
        m, n : array_like of int, shape (...)
            Half waves along x and y [-].

        Returns
        -------
        ndarray, shape (...)
            Factor on N; infinite where N does not press on that mode [-].

        Raises
        ------
        InputError
            If N is not finite.

        Examples
        --------
        >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
        >>> plate = NavierPlate(500.0, 500.0, np.eye(3) * 1e5, np.zeros((3, 3)), D)
        >>> round(float(plate.buckling([-1.0, 0.0], 1, 1) * 500**2 / (np.pi**2 * 1e6)), 6)
        4.0
        """
        forces = number("in-plane load N", N, "N/mm")
        alpha, beta = self._waves(*np.broadcast_arrays(m, n))
        matrix, _ = self._matrix(alpha, beta)
        others = [k for k in range(matrix.shape[-1]) if k != 2]
        side = matrix[..., others, 2]
        rest = np.linalg.solve(matrix[..., others, :][..., others], side[..., None])[..., 0]
        stiffness = matrix[..., 2, 2] - (side * rest).sum(-1)
        press = -forces[0] * alpha**2 - forces[1] * beta**2
        return np.where(press > 0, stiffness / np.where(press > 0, press, 1.0), np.inf)


@dataclass(frozen=True, eq=False)
class NavierSolution:
    """Bending of a simply supported laminated plate as amplitudes of waves.

    Parameters
    ----------
    plate : NavierPlate
        The plate [-].
    alpha, beta : ndarray, shape (waves,)
        Wave numbers along x and y [1/mm].
    amplitudes : ndarray, shape (waves, 5)
        u, v, w [mm] and the rotations in x and y [-].

    Examples
    --------
    >>> D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    >>> solution = NavierPlate(500.0, 500.0, np.eye(3) * 1e5, np.zeros((3, 3)), D).solve(0.02)
    >>> solution.moments(250, 250)[:2].round(1).tolist()
    [239.4, 239.4]
    """

    plate: NavierPlate
    alpha: np.ndarray
    beta: np.ndarray
    amplitudes: np.ndarray

    def _trig(self, x_mm, y_mm):
        ax = np.multiply.outer(number("x", x_mm, "mm"), self.alpha)
        by = np.multiply.outer(number("y", y_mm, "mm"), self.beta)
        if self.plate.b_mm == np.inf:
            by = np.full_like(by, np.pi / 2)
        return np.sin(ax), np.cos(ax), np.sin(by), np.cos(by)

    def deflection(self, x_mm, y_mm):
        """Deflection at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (...)
            Distances from the corner [mm].

        Returns
        -------
        ndarray, shape (...)
            Deflection [mm].

        Examples
        --------
        >>> D = np.diag([1e6, 1e6, 4e5])
        >>> strip = NavierPlate(500.0, np.inf, np.eye(3) * 1e5, np.zeros((3, 3)), D).solve(0.02)
        >>> round(float(strip.deflection(250, 0) / (5 * 0.02 * 500**4 / 384e6)), 6)
        1.0
        """
        sx, _, sy, _ = self._trig(x_mm, y_mm)
        return (sx * sy * self.amplitudes[:, 2]).sum(-1)

    def strains(self, x_mm, y_mm):
        """Mid-plane strain and curvature at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (...)
            Distances from the corner [mm].

        Returns
        -------
        eps0 : ndarray, shape (..., 3)
            Mid-plane strain x, y, xy [-].
        kappa : ndarray, shape (..., 3)
            Curvature x, y, xy [1/mm].

        Examples
        --------
        >>> D = np.diag([1e6, 1e6, 4e5])
        >>> plate = NavierPlate(500.0, 400.0, np.eye(3) * 1e5, np.zeros((3, 3)), D)
        >>> plate.solve(0.02).strains(0, 0)[0].tolist()
        [0.0, 0.0, 0.0]
        """
        sx, cx, sy, cy = self._trig(x_mm, y_mm)
        carriers = np.stack([sx * sy, cx * cy], axis=-1)[..., _CARRIER[self.plate.kind]]
        rows = (self.plate._strain(self.alpha, self.beta)[..., :6, :] @ self.amplitudes[..., None])[..., 0]
        values = (carriers * rows).sum(axis=-2)
        return values[..., :3], values[..., 3:]

    def shear_strains(self, x_mm, y_mm):
        """Transverse shear strains at points, uniform through the thickness in this theory.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (...)
            Distances from the corner [mm].

        Returns
        -------
        ndarray, shape (..., 2)
            gamma_xz, gamma_yz; zero in classical theory [-].

        Examples
        --------
        >>> D = np.diag([1e6, 1e6, 4e5])
        >>> plate = NavierPlate(500.0, 400.0, np.eye(3) * 1e5, np.zeros((3, 3)), D, shear=np.eye(2) * 1e3)
        >>> plate.solve(0.02, load="sine").shear_strains(0, 200).round(6).tolist()
        [0.001207, 0.0]
        """
        sx, cx, sy, cy = self._trig(x_mm, y_mm)
        rows = (self.plate._strain(self.alpha, self.beta)[..., 6:, :] @ self.amplitudes[..., None])[..., 0]
        return np.stack([(cx * sy * rows[:, 0]).sum(-1), (sx * cy * rows[:, 1]).sum(-1)], axis=-1)

    def moments(self, x_mm, y_mm):
        """Moments Mx, My, Mxy at points.

        Parameters
        ----------
        x_mm, y_mm : array_like, shape (...)
            Distances from the corner [mm].

        Returns
        -------
        ndarray, shape (..., 3)
            B eps0 + D kappa [N mm/mm].

        Examples
        --------
        >>> D = np.diag([1e6, 1e6, 4e5])
        >>> strip = NavierPlate(500.0, np.inf, np.eye(3) * 1e5, np.zeros((3, 3)), D).solve(0.02)
        >>> round(float(strip.moments(250, 0)[0]), 2)
        625.0
        """
        eps0, kappa = self.strains(x_mm, y_mm)
        return eps0 @ np.asarray(self.plate.B).T + kappa @ np.asarray(self.plate.D).T


def load_waves(load, terms, *, cylindrical):
    """Half waves of a load of unit size and their amplitudes.

    Parameters
    ----------
    load : str
        "uniform" or "sine" [-].
    terms : int
        Odd waves along each side for a uniform load [-].
    cylindrical : bool
        Whether nothing varies along y [-].

    Returns
    -------
    m, n : ndarray of int, shape (waves,)
        Half waves along x and y [-].
    amplitude : ndarray, shape (waves,)
        Amplitudes [-].

    Raises
    ------
    InputError
        If the load is not known.

    Examples
    --------
    >>> m, n, amplitude = load_waves("uniform", 2, cylindrical=False)
    >>> list(zip(m.tolist(), n.tolist())), round(float(amplitude[0] * np.pi**2), 6)
    ([(1, 1), (1, 3), (3, 1), (3, 3)], 16.0)
    """
    if load not in ("uniform", "sine"):
        raise InputError("load", 'must be "uniform" or "sine"', load, "use a Ritz plate for other loads")
    odd = np.arange(1, 2 * terms, 2) if load == "uniform" else np.array([1])
    m, n = (g.ravel() for g in np.meshgrid(odd, [1] if cylindrical else odd, indexing="ij"))
    if load == "sine":
        return m, n, np.ones(m.size)
    return m, n, 4 / (np.pi * m) * (1.0 if cylindrical else 4 / (np.pi * n))
