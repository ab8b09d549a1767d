"""A long prism under tension, bending, twist and heat: its cross-section in finite elements, without beam or ply theory.

Displacements ``u = x (e + z k) + U``, ``v = -t x z + V``, ``w = t x y - x^2 k/2 + W``: e, k and t are unknowns like
the fields U, V, W over the section (y, z), so that nothing but a length far beyond the section is assumed.  Solids are
three-dimensional; free surfaces are free.
"""

from dataclasses import dataclass

import numpy as np
from fem_tools import nodal_forces, stiffness, strain_matrix, strains
from scipy.sparse import bmat, csr_matrix
from scipy.sparse.linalg import spsolve
from skfem import Basis, ElementQuad2, ElementVector


def _section_strain(field):
    g = field.grad
    return 0 * g[0, 0], g[1, 0], g[2, 1], g[1, 1] + g[2, 0], g[0, 1], g[0, 0]


@dataclass(frozen=True)
class Prism:
    """Solved section: strains and stresses at the integration points."""

    basis: Basis
    axial: float
    curvature: float
    twist: float
    strain: np.ndarray
    stress: np.ndarray

    @property
    def places(self):
        """y and z of the integration points, shape (2, elements, points)."""
        return np.asarray(self.basis.global_coordinates())

    def column(self, y_low, y_high):
        """Integration points of a stretch of the section."""
        return (self.places[0] > y_low) & (self.places[0] < y_high)

    def total(self, values, where=True):
        """Integral over the section, or over some points of it."""
        return float(np.sum(values * self.basis.dx * where))


def solve_prism(mesh, c, *, force=0.0, moment=0.0, free_strain=None, curvature=None):
    """Section under an axial force, a moment that curves it about y, and free strains of shape (6, elements).

    With `curvature` the section is bent to it, and the moment is what comes out.
    """
    basis = Basis(mesh, ElementVector(ElementQuad2(), 3), intorder=4)
    b = strain_matrix(basis, _section_strain)
    y, z = np.asarray(basis.global_coordinates())
    one, none = np.ones_like(y), np.zeros_like(y)
    modes = np.stack([np.stack([one, none, none, none, none, none]), np.stack([z, none, none, none, none, none]),
                      np.stack([none, none, none, none, y, -z])])
    stressed = np.einsum("abe,mbeq->maeq", c, modes)
    coupling = np.stack([nodal_forces(basis, b, mode) for mode in stressed])
    own = np.einsum("maeq,naeq,eq->mn", modes, stressed, basis.dx)
    load, loads = np.zeros(basis.N), np.array([force, moment, 0.0])
    if free_strain is not None:
        free = np.einsum("abe,be->ae", c, free_strain)[..., None] * np.ones(y.shape[1])
        load += nodal_forces(basis, b, free)
        loads += np.einsum("maeq,aeq,eq->m", modes, free, basis.dx)
    matrix = bmat([[stiffness(basis, b, c), csr_matrix(coupling.T)], [csr_matrix(coupling), csr_matrix(own)]]).tocsr()
    held, given = _rigid(basis), np.zeros(basis.N + 3)
    if curvature is not None:
        held = np.append(held, basis.N + 1)
        given[basis.N + 1] = curvature
    free_dofs = np.setdiff1d(np.arange(basis.N + 3), held)
    right = np.concatenate([load, loads]) - matrix @ given
    given[free_dofs] = spsolve(matrix[free_dofs][:, free_dofs].tocsc(), right[free_dofs])
    moved, (e, k, t) = given[:basis.N], given[basis.N:]
    strain = strains(basis, b, moved) + np.einsum("m,maeq->aeq", [e, k, t], modes)
    elastic = strain if free_strain is None else strain - free_strain[..., None]
    return Prism(basis, e, k, t, strain, np.einsum("abe,beq->aeq", c, elastic))


def _rigid(basis):
    """Freedoms that stop the three shifts and the turn about x: two points of the lowest line."""
    low = np.flatnonzero(basis.mesh.p[1] < basis.mesh.p[1].min() + 1e-9)
    left, right = (low[order(basis.mesh.p[0, low])] for order in (np.argmin, np.argmax))
    return np.array([*basis.nodal_dofs[:, left], basis.nodal_dofs[2, right]])
