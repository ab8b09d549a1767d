"""What the finite-element models share: solids from skfem bases, three meshes, extrapolation, agreement with the package.

Nothing here comes from the package: stiffness of a turned ply by rotation of the elasticity tensor, stresses and
resultants by integration over the elements.
"""

from dataclasses import dataclass

import numpy as np
from scipy.linalg import solveh_banded
from scipy.sparse import coo_matrix, tril
from scipy.sparse.csgraph import reverse_cuthill_mckee
from scipy.sparse.linalg import spsolve
from skfem import Basis, ElementHex2, ElementVector, MeshHex, MeshQuad

# places of the Voigt components xx, yy, zz, yz, xz, xy
VOIGT = ((0, 0), (1, 1), (2, 2), (1, 2), (0, 2), (0, 1))


@dataclass(frozen=True)
class Quantity:
    """One number of a model: the package's, the finite elements' on three meshes, and how far they may differ."""

    model: str
    name: str
    unit: str
    ours: float
    meshes: tuple
    tolerance: float
    reason: str
    scale: float | None = None

    @property
    def limit(self):
        return extrapolated(self.meshes)

    @property
    def size(self):
        """What differences are counted in: the limit, or the given scale where the value itself nearly cancels."""
        return abs(self.limit) if self.scale is None else self.scale

    @property
    def difference(self):
        """Package less extrapolated finite elements, over the size."""
        return (self.ours - self.limit) / self.size

    @property
    def mesh_error(self):
        """What is left between the finest mesh and the limit, over the size."""
        return abs(self.meshes[-1] - self.limit) / self.size


def extrapolated(values):
    """Limit of values on meshes of size h, h/2, h/4 (Richardson); the last value if they do not close in steadily."""
    coarse, middle, fine = values
    first, second = middle - coarse, fine - middle
    if first == 0.0 or not 0.0 < second / first < 0.75:
        return fine
    return fine + second / (first / second - 1.0)


def orthotropic(e, nu, g):
    """Stiffness of a solid in its own axes, 6 x 6, from E1 E2 E3, nu12 nu13 nu23 and G23 G13 G12."""
    compliance = np.diag([*(1 / np.asarray(e)), *(1 / np.asarray(g))])
    for (i, j), ratio in zip(((0, 1), (0, 2), (1, 2)), nu):
        compliance[i, j] = compliance[j, i] = -ratio / e[i]
    return np.linalg.inv(compliance)


def turned(stiffness, angle_deg):
    """Stiffness after a turn about z: rotation of the fourth-order tensor."""
    full = np.empty((3, 3, 3, 3))
    for m, (i, j) in enumerate(VOIGT):
        for n, (k, o) in enumerate(VOIGT):
            full[i, j, k, o] = full[j, i, k, o] = full[i, j, o, k] = full[j, i, o, k] = stiffness[m, n]
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    full = np.einsum("ai,bj,ck,do,ijko->abcd", turn, turn, turn, turn, full)
    return np.array([[full[(*p, *q)] for q in VOIGT] for p in VOIGT])


def turned_expansion(along, across, angle_deg):
    """Free strain a degree in laminate axes, Voigt, for a ply that expands alike across and through."""
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    e = turn @ np.diag([along, across, across]) @ turn.T
    return np.array([e[0, 0], e[1, 1], e[2, 2], 2 * e[1, 2], 2 * e[0, 2], 2 * e[0, 1]])


def strain_matrix(basis, strain):
    """Strains of every shape function, shape (functions, strains, elements, points)."""
    return np.stack([np.stack(np.broadcast_arrays(*strain(*fields))) for fields in basis.basis])


def stiffness(basis, b, c):
    """Stiffness matrix; `c` has shape (strains, strains, elements)."""
    functions, elements = b.shape[0], b.shape[2]
    left = np.einsum("iaeq,eq->eiaq", b, basis.dx).reshape(elements, functions, -1)
    right = np.einsum("abe,jbeq->ejaq", c, b).reshape(elements, functions, -1)
    blocks = left @ right.transpose(0, 2, 1)
    dofs = basis.element_dofs.T
    rows = np.repeat(dofs[:, :, None], functions, axis=2)
    columns = np.repeat(dofs[:, None, :], functions, axis=1)
    return coo_matrix((blocks.ravel(), (rows.ravel(), columns.ravel())), shape=(basis.N, basis.N)).tocsr()


def nodal_forces(basis, b, stress):
    """Forces that balance stresses of shape (strains, elements, points)."""
    parts = np.einsum("iaeq,aeq,eq->ie", b, stress, basis.dx)
    force = np.zeros(basis.N)
    np.add.at(force, basis.element_dofs, parts)
    return force


def strains(basis, b, moved):
    """Strains of a solution at the integration points, shape (strains, elements, points)."""
    return np.einsum("iaeq,ie->aeq", b, moved[basis.element_dofs])


def banded_solution(matrix, load):
    """Solution of a symmetric positive system by a banded factorisation: fast for long narrow meshes."""
    order = reverse_cuthill_mckee(matrix.tocsr(), symmetric_mode=True)
    low = tril(matrix[order][:, order]).tocoo()
    band = np.zeros((int((low.row - low.col).max()) + 1, matrix.shape[0]))
    band[low.row - low.col, low.col] = low.data
    moved = np.empty_like(load)
    moved[order] = solveh_banded(band, load[order], lower=True, overwrite_ab=True, check_finite=False)
    return moved


def graded(*stretches):
    """Mesh lines of stretches (start, end, count) that follow each other."""
    return np.unique(np.concatenate([np.linspace(start, end, count + 1) for start, end, count in stretches]).round(9))


def mapped(blocks):
    """Quadrilateral mesh of blocks (four corners in order round, cells along the first side, along the second)."""
    points, cells = [], []
    for corners, n, m in blocks:
        a, b, c, d = (np.asarray(p, dtype=float) for p in corners)
        s, t = np.linspace(0, 1, n + 1)[:, None, None], np.linspace(0, 1, m + 1)[None, :, None]
        grid = (1 - s) * (1 - t) * a + s * (1 - t) * b + s * t * c + (1 - s) * t * d
        index = sum(len(p) for p in points) + np.arange((n + 1) * (m + 1)).reshape(n + 1, m + 1)
        points.append(grid.reshape(-1, 2))
        cells.append(np.stack([index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:]]).reshape(4, -1))
    every, place = np.unique(np.concatenate(points).round(6), axis=0, return_inverse=True)
    return MeshQuad(every.T, place.ravel()[np.concatenate(cells, axis=1)])


def extruded(section, xs):
    """Hexahedra from a section in (y, z) and stations along x; cells of one station follow each other."""
    count = section.p.shape[1]
    points = np.concatenate([np.stack([np.full(count, x), *section.p]) for x in xs], axis=1)
    near = [section.t + k * count for k in range(len(xs) - 1)]
    order = np.concatenate([np.stack([t[0], t[3], t[1], t[0] + count, t[2], t[3] + count, t[1] + count, t[2] + count])
                            for t in near], axis=1)
    return MeshHex(points, order)


@dataclass(frozen=True)
class Solid:
    """A solved three-dimensional body."""

    basis: Basis
    moved: np.ndarray
    stress: np.ndarray

    @property
    def places(self):
        """x, y, z of the integration points, shape (3, elements, points)."""
        return np.asarray(self.basis.global_coordinates())

    def at(self, point, component):
        """Displacement of the node nearest to a point."""
        node = np.linalg.norm(self.basis.mesh.p - np.reshape(point, (3, 1)), axis=0).argmin()
        return float(self.moved[self.basis.nodal_dofs[component, node]])


def solid_strain(field):
    g = field.grad
    return g[0, 0], g[1, 1], g[2, 2], g[1, 2] + g[2, 1], g[0, 2] + g[2, 0], g[0, 1] + g[1, 0]


def solve_solid(mesh, c, *, held, body=None, pressed=None):
    """Quadratic hexahedra under body forces of shape (3, elements) or pressed faces (facet test, force an area along z).

    `held` lists facet tests with the letters of the displacements that are zero there.
    """
    basis = Basis(mesh, ElementVector(ElementHex2()), intorder=4)
    b = strain_matrix(basis, solid_strain)
    load = np.zeros(basis.N)
    if body is not None:
        shapes = np.stack([np.asarray(fields[0]) * np.ones_like(basis.dx) for fields in basis.basis])
        np.add.at(load, basis.element_dofs, np.einsum("iceq,eq,ce->ie", shapes, basis.dx, body))
    if pressed is not None:
        test, force = pressed
        face = basis.boundary(mesh.facets_satisfying(test))
        up = np.stack([np.asarray(fields[0])[2] * np.ones_like(face.dx) for fields in face.basis])
        np.add.at(load, face.element_dofs, np.einsum("ieq,eq->ie", up, face.dx) * force)
    fixed = np.unique(np.concatenate([basis.get_dofs(mesh.facets_satisfying(test)).all([f"u^{'xyz'.index(k) + 1}" for k in letters])
                                      for test, letters in held]))
    moved, keep = np.zeros(basis.N), np.setdiff1d(np.arange(basis.N), fixed)
    matrix = stiffness(basis, b, c)
    moved[keep] = spsolve(matrix[keep][:, keep].tocsc(), load[keep], permc_spec="MMD_AT_PLUS_A")
    return Solid(basis, moved, np.einsum("abe,beq->aeq", c, strains(basis, b, moved)))
