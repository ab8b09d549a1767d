"""Classical laminate theory for any number of laminates at once: the front door.

Ply 1 lies against the mould at z = -h/2 and z grows towards the last ply laid;
``strain = eps0 + z kappa`` with engineering shear.  All functions take any
batch shape in front of the ply axis: one laminate is a batch of one.
Stiffness from plies is in `stiffness_sums`, its inverse and the moduli in `compliance`.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, number, positive
from lamcalc.mechanics.compliance import compliance_blocks, compliance_terms, effective_constants, write_constants
from lamcalc.mechanics.lamina import (
    EngineeringConstants,
    reduced_stiffness,
    rotated_expansion,
    rotated_stiffness,
    strain_to_ply_axes,
    stress_to_ply_axes,
)
from lamcalc.mechanics.stiffness_sums import (
    FULL_TERMS,
    packed,
    ply_interfaces,
    section_weights,
    stiffness_matrices,
    unpacked,
)

__all__ = [
    "FULL_TERMS", "Laminate", "Response", "compliance_blocks", "compliance_terms", "effective_constants", "packed",
    "ply_interfaces", "section_weights", "stiffness_matrices", "unpacked", "write_constants",
]


@dataclass(frozen=True)
class Response:
    """Mid-plane strain and curvature of laminates under load.

    Parameters
    ----------
    eps0 : ndarray, shape (..., 3)
        Mid-plane strain x, y, xy [-].
    kappa : ndarray, shape (..., 3)
        Curvature x, y, xy [1/mm].

    Examples
    --------
    >>> Response(np.zeros(3), np.zeros(3)).kappa.shape
    (3,)
    """

    eps0: np.ndarray
    kappa: np.ndarray


@dataclass(frozen=True)
class Laminate:
    """A stack of plies with its stiffness; any batch of stacks with equally many plies.

    Parameters
    ----------
    q : ndarray, shape (..., plies, 3, 3)
        Ply stiffness in ply axes [MPa].
    angle_deg : ndarray, shape (..., plies)
        Fibre angle from x towards y [deg].
    thickness_mm : ndarray, shape (..., plies)
        Ply thickness, first ply against the mould [mm].
    expansion : ndarray, shape (..., plies, 3)
        Free expansion of the plies in laminate axes [1/K].

    Examples
    --------
    >>> wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0, 90, 0], [1.0, 1.0, 1.0])
    >>> float(wall.total_thickness_mm), bool(np.allclose(wall.B, 0))
    (3.0, True)
    """

    q: np.ndarray
    angle_deg: np.ndarray
    thickness_mm: np.ndarray
    expansion: np.ndarray

    @classmethod
    def from_plies(cls, e1, e2, nu12, g12, angle_deg, thickness_mm, *, alpha1=0.0, alpha2=0.0):
        """Laminate from ply constants.

        Parameters
        ----------
        e1, e2 : array_like, shape (..., plies) or scalar
            Young's moduli along and across the fibre [MPa].
        nu12 : array_like, shape (..., plies) or scalar
            Major Poisson ratio [-].
        g12 : array_like, shape (..., plies) or scalar
            In-plane shear modulus [MPa].
        angle_deg : array_like, shape (..., plies)
            Fibre angle from x towards y [deg].
        thickness_mm : array_like, shape (..., plies)
            Ply thickness, first ply against the mould [mm].
        alpha1, alpha2 : array_like, shape (..., plies) or scalar
            Thermal expansion along and across the fibre [1/K].

        Returns
        -------
        Laminate
            The stack or stacks [-].

        Raises
        ------
        InputError
            If there is no ply, a thickness or modulus is not positive, a value is
            not finite, or an angle looks like radians.

        Examples
        --------
        >>> Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0]).A.shape
        (3, 3)
        """
        t = positive("thickness_mm", thickness_mm, "mm")
        if t.ndim == 0 or t.shape[-1] == 0:
            raise InputError("laminate", "must have at least one ply", thickness_mm, "add a ply to the schedule")
        q = reduced_stiffness(e1, e2, nu12, g12)
        angles = np.asarray(angle_deg, dtype=float)
        shape = np.broadcast_shapes(t.shape, angles.shape, q.shape[:-2])
        expansion = rotated_expansion(alpha1, alpha2, angle_deg)
        return cls(np.broadcast_to(q, shape + (3, 3)), np.broadcast_to(angles, shape),
                   np.broadcast_to(t, shape), np.broadcast_to(expansion, shape + (3,)))

    @cached_property
    def qbar(self):
        """Ply stiffness in laminate axes, shape (..., plies, 3, 3) [MPa]."""
        return rotated_stiffness(self.q, self.angle_deg)

    @cached_property
    def z_mm(self):
        """Heights of the ply interfaces, shape (..., plies + 1) [mm]."""
        return ply_interfaces(self.thickness_mm)

    @cached_property
    def total_thickness_mm(self):
        """Laminate thickness, shape (...) [mm]."""
        return self.thickness_mm.sum(axis=-1)

    @cached_property
    def stiffness(self):
        """A, B and D as packed terms, shape (..., 3, 6) [N/mm, N, N mm]."""
        return stiffness_matrices(self.qbar, self.thickness_mm)

    @property
    def A(self):
        """Extension stiffness, shape (..., 3, 3) [N/mm]."""
        return unpacked(self.stiffness[..., 0, :])

    @property
    def B(self):
        """Coupling stiffness, shape (..., 3, 3) [N]."""
        return unpacked(self.stiffness[..., 1, :])

    @property
    def D(self):
        """Bending stiffness, shape (..., 3, 3) [N mm]."""
        return unpacked(self.stiffness[..., 2, :])

    @property
    def abd(self):
        """The full stiffness, shape (..., 6, 6) [N/mm, N, N mm]."""
        return np.block([[self.A, self.B], [self.B, self.D]])

    @cached_property
    def compliance(self):
        """Blocks a [mm/N], b [1/N] and d [1/(N mm)], each of shape (..., 3, 3)."""
        return compliance_blocks(self.stiffness)

    @cached_property
    def _constants(self):
        return effective_constants(self.stiffness, self.total_thickness_mm)

    @property
    def in_plane(self):
        """Apparent in-plane moduli, an `EngineeringConstants` [MPa, -]."""
        return EngineeringConstants(*np.moveaxis(self._constants[..., 0, :], -1, 0))

    @property
    def flexural(self):
        """Apparent moduli in bending, an `EngineeringConstants` [MPa, -]."""
        return EngineeringConstants(*np.moveaxis(self._constants[..., 1, :], -1, 0))

    def free_loads(self, free_strain):
        """Forces and moments that would hold free ply strains back.

        Parameters
        ----------
        free_strain : array_like, shape (..., plies, 3)
            Free strain of each ply in laminate axes, from heat or shrinkage [-].

        Returns
        -------
        N : ndarray, shape (..., 3)
            Force per width [N/mm].
        M : ndarray, shape (..., 3)
            Moment per width [N].

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0], alpha1=3e-5, alpha2=3e-5)
        >>> wall.free_loads(wall.expansion * 10.0)[1].tolist()
        [0.0, 0.0, 0.0]
        """
        stress = np.einsum("...ij,...j->...i", self.qbar, np.asarray(free_strain, dtype=float))
        zm = 0.5 * (self.z_mm[..., 1:] + self.z_mm[..., :-1])
        force = stress * self.thickness_mm[..., None]
        return force.sum(axis=-2), (force * zm[..., None]).sum(axis=-2)

    def response(self, N=(0.0, 0.0, 0.0), M=(0.0, 0.0, 0.0), delta_t=0.0, free_strain=None):
        """Mid-plane strain and curvature under loads, a temperature change and free strains.

        Parameters
        ----------
        N : array_like, shape (..., 3)
            Force per width x, y, xy [N/mm].
        M : array_like, shape (..., 3)
            Moment per width x, y, xy [N].
        delta_t : array_like, shape (...)
            Temperature change, the same in all plies [K].
        free_strain : array_like, shape (..., plies, 3), optional
            Further free strains of the plies in laminate axes, such as cure shrinkage [-].

        Returns
        -------
        Response
            Strains [-] and curvatures [1/mm].

        Raises
        ------
        InputError
            If a load is not finite.

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0])
        >>> float(wall.response(N=(50.0, 0, 0)).eps0[0].round(9))
        0.001
        """
        free = self.expansion * number("delta_t", delta_t, "K")[..., None, None]
        if free_strain is not None:
            free = free + number("free_strain", free_strain)
        held_n, held_m = self.free_loads(free)
        n, m = number("N", N, "N/mm") + held_n, number("M", M, "N") + held_m
        a, b, d = self.compliance
        eps0 = np.einsum("...ij,...j->...i", a, n) + np.einsum("...ij,...j->...i", b, m)
        kappa = np.einsum("...ji,...j->...i", b, n) + np.einsum("...ij,...j->...i", d, m)
        return Response(eps0, kappa)

    def ply_strains(self, response, axes="laminate"):
        """Strain at the low-z and high-z face of every ply.

        Parameters
        ----------
        response : Response
            Strains [-] and curvatures [1/mm] from `response`.
        axes : {"laminate", "ply"}
            Axes of the result [-].

        Returns
        -------
        ndarray, shape (..., plies, 2, 3)
            Strain, engineering shear [-].

        Raises
        ------
        InputError
            If `axes` is neither name.

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [2.0])
        >>> wall.ply_strains(Response(np.zeros(3), np.array([0.001, 0, 0])))[0, :, 0].tolist()
        [-0.001, 0.001]
        """
        faces = np.stack([self.z_mm[..., :-1], self.z_mm[..., 1:]], axis=-1)
        strain = response.eps0[..., None, None, :] + faces[..., None] * response.kappa[..., None, None, :]
        if axes == "laminate":
            return strain
        if axes == "ply":
            return strain_to_ply_axes(strain, self.angle_deg[..., None])
        raise InputError("axes", "must be 'laminate' or 'ply' [-]", axes, "use one of the two")

    def ply_stresses(self, response, delta_t=0.0, axes="laminate", free_strain=None):
        """Stress at the low-z and high-z face of every ply.

        Parameters
        ----------
        response : Response
            Strains [-] and curvatures [1/mm] from `response`.
        delta_t : array_like, shape (...)
            The same temperature change that went into `response` [K].
        axes : {"laminate", "ply"}
            Axes of the result [-].
        free_strain : array_like, shape (..., plies, 3), optional
            The same further free strains that went into `response` [-].

        Returns
        -------
        ndarray, shape (..., plies, 2, 3)
            Stress [MPa].

        Raises
        ------
        InputError
            If `axes` is neither name.

        Examples
        --------
        >>> wall = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0])
        >>> wall.ply_stresses(wall.response(N=(50.0, 0, 0)))[0, 0].round(6).tolist()
        [10.0, 0.0, 0.0]
        """
        free = self.expansion * number("delta_t", delta_t, "K")[..., None, None]
        if free_strain is not None:
            free = free + number("free_strain", free_strain)
        strain = self.ply_strains(response) - free[..., None, :]
        stress = np.einsum("...ij,...fj->...fi", self.qbar, strain)
        if axes == "laminate":
            return stress
        if axes == "ply":
            return stress_to_ply_axes(stress, self.angle_deg[..., None])
        raise InputError("axes", "must be 'laminate' or 'ply' [-]", axes, "use one of the two")
