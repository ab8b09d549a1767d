"""Ritz plates against an independent finite-element model (scikit-fem) built here.

Classical plates: Bogner-Fox-Schmit rectangles (bicubic Hermite, conforming).  First-order shear:
rectangles of degree 4 for deflection and rotations, which do not lock at these shear stiffnesses.
Tolerance 0.5 % of the largest value.  Deflections are compared everywhere, moments and shear forces in the
middle 70 % of each side: towards edges both models fulfil the free-edge conditions only on average, and at corners
moments with bend-twist coupling, or between a clamped and a free edge, are singular.
"""

import itertools
from functools import lru_cache

import numpy as np
import pytest
from scipy.sparse.linalg import eigsh
from skfem import (
    Basis,
    BilinearForm,
    ElementComposite,
    ElementQuadBFS,
    ElementQuadP,
    LinearForm,
    MeshQuad,
    condense,
    solve,
)
from skfem.helpers import dd

from lamcalc.mechanics.plate_basis import is_held
from lamcalc.mechanics.plates import Patch, Plate

pytestmark = pytest.mark.invariant

A_MM, B_MM, PRESSURE = 600.0, 400.0, 0.02
# unbalanced glass laminate: D16 and D26 about 15 % of D11
D = 1e6 * np.array([[2.0, 0.6, 0.3], [0.6, 1.2, 0.2], [0.3, 0.2, 0.7]])
SHEAR = np.array([[250.0, 30.0], [30.0, 180.0]])
HEEL = Patch(load=900.0, x_mm=225.0, y_mm=250.0, width_x_mm=150.0, width_y_mm=100.0)
TOLERANCE = 5e-3
# all edges that hold the plate; half a turn of the plate makes one combination of two
EVERY_KIND = sorted(
    {min(e, e[1::-1] + e[:1:-1]) for e in map("".join, itertools.product("CSF", repeat=4)) if is_held(e)})
SIDES = (lambda p: p[0] < 1e-9, lambda p: p[0] > A_MM - 1e-9, lambda p: p[1] < 1e-9, lambda p: p[1] > B_MM - 1e-9)


@lru_cache
def mesh(nx, ny):
    return MeshQuad.init_tensor(np.linspace(0, A_MM, nx + 1), np.linspace(0, B_MM, ny + 1))


def intensity(x, load):
    """Pressure at points; the patch lies along mesh lines."""
    if load == "pressure":
        return PRESSURE + 0 * x[0]
    inside = ((np.abs(x[0] - HEEL.x_mm) < HEEL.width_x_mm / 2) & (np.abs(x[1] - HEEL.y_mm) < HEEL.width_y_mm / 2))
    return HEEL.load / (HEEL.width_x_mm * HEEL.width_y_mm) * inside


def quadratic(matrix, first, second):
    return sum(matrix[i, j] * first[i] * second[j] for i in range(len(first)) for j in range(len(second)))


@BilinearForm
def kirchhoff(u, v, w):
    h, g = dd(u), dd(v)
    return quadratic(D, (h[0][0], h[1][1], 2 * h[0][1]), (g[0][0], g[1][1], 2 * g[0][1]))


@BilinearForm
def mass(u, v, w):
    return u * v


@lru_cache
def thin_model():
    basis = Basis(mesh(12, 12), ElementQuadBFS(), intorder=6)
    return basis, kirchhoff.assemble(basis)


def thin_held(basis, edges):
    """Clamped: value and all slopes on the edge; simply supported: value and the slope along the edge."""
    found = []
    for k, letter in enumerate(edges):
        along = "u_y" if k < 2 else "u_x"
        names = {"C": ["u", "u_x", "u_y", "u_xy"], "S": ["u", along], "F": []}[letter]
        if names:
            found.append(basis.get_dofs(basis.mesh.facets_satisfying(SIDES[k])).all(names))
    return np.unique(np.concatenate(found))


def thin_solution(edges, load):
    basis, stiffness = thin_model()
    work = LinearForm(lambda v, w: intensity(w.x, load) * v).assemble(basis)
    moved = solve(*condense(stiffness, work, D=thin_held(basis, edges)))
    # moments of cubics are most accurate at two Gauss points a direction
    gauss = Basis(basis.mesh, ElementQuadBFS(), intorder=3)
    h = dd(gauss.interpolate(moved))
    curvature = -np.stack([h[0][0], h[1][1], 2 * h[0][1]], axis=-1)
    return basis.mesh.p, moved[basis.nodal_dofs[0]], np.asarray(gauss.global_coordinates()), curvature @ D


def ritz(edges, load, shear=None):
    plate = Plate(A_MM, B_MM, D, edges=edges, shear=shear)
    return plate.solve(pressure=PRESSURE) if load == "pressure" else plate.solve(patches=[HEEL])


def middle(x):
    return (np.abs(x[0] / A_MM - 0.5) < 0.35) & (np.abs(x[1] / B_MM - 0.5) < 0.35)


def assert_close(ours, theirs):
    gap, size = float(np.abs(ours - theirs).max()), float(np.abs(theirs).max())
    assert gap < TOLERANCE * size


@pytest.mark.parametrize("edges", ["CCCC", "SSSS", "CSFC", "SFSC", "FCFS"])
@pytest.mark.parametrize("load", ["pressure", "patch"])
def test_classical_plate(edges, load):
    nodes, deflection, points, moments = thin_solution(edges, load)
    solution = ritz(edges, load)
    assert_close(solution.deflection(*nodes), deflection)
    keep = middle(points)
    assert_close(solution.moments(*points)[keep], moments[keep])


@pytest.mark.parametrize("edges", EVERY_KIND)
def test_every_combination_of_edges(edges):
    nodes, deflection, _, _ = thin_solution(edges, "pressure")
    assert_close(ritz(edges, "pressure").deflection(*nodes), deflection)


def test_frequencies():
    basis, stiffness = thin_model()
    inertia = 9.0e-9 * mass.assemble(basis)
    stiffness, inertia, _, _ = condense(stiffness, inertia, D=thin_held(basis, "CSFC"))
    values = eigsh(stiffness, k=4, M=inertia, sigma=0.0, return_eigenvectors=False)
    modes = Plate(A_MM, B_MM, D, edges="CSFC").frequencies(9.0, count=4)
    assert modes.values == pytest.approx(np.sqrt(np.sort(values)) / (2 * np.pi), rel=TOLERANCE)


@pytest.mark.parametrize("forces", [(-1.0, 0.0, 0.0), (-1.0, -0.5, 0.7), (0.2, 0.0, 1.0)])
def test_buckling(forces):
    nx, ny, nxy = forces
    basis, stiffness = thin_model()

    @BilinearForm
    def press(u, v, w):
        du, dv = u.grad, v.grad
        return -(nx * du[0] * dv[0] + ny * du[1] * dv[1] + nxy * (du[0] * dv[1] + du[1] * dv[0]))

    stiffness, load, _, _ = condense(stiffness, press.assemble(basis), D=thin_held(basis, "SSCC"))
    inverses = eigsh(load, k=1, M=stiffness, which="LA", return_eigenvectors=False)
    modes = Plate(A_MM, B_MM, D, edges="SSCC").buckling(forces)
    assert modes.values[0] == pytest.approx(1 / inverses[0], rel=TOLERANCE)


@BilinearForm
def mindlin(w1, x1, y1, w2, x2, y2, w):
    first = x1.grad[0], y1.grad[1], x1.grad[1] + y1.grad[0]
    second = x2.grad[0], y2.grad[1], x2.grad[1] + y2.grad[0]
    slip = (w1.grad[0] + x1, w1.grad[1] + y1), (w2.grad[0] + x2, w2.grad[1] + y2)
    return quadratic(D, first, second) + quadratic(SHEAR, *slip)


@lru_cache
def thick_model():
    element = ElementQuadP(4)
    basis = Basis(mesh(8, 8), ElementComposite(element, element, element), intorder=8)
    return basis, mindlin.assemble(basis)


def thick_solution(edges, load):
    basis, stiffness = thick_model()
    work = LinearForm(lambda v, x, y, w: intensity(w.x, load) * v).assemble(basis)
    held = []
    for k, letter in enumerate(edges):
        # hard support: deflection and the rotation along the edge
        names = {"C": ["u^1", "u^2", "u^3"], "S": ["u^1", "u^3" if k < 2 else "u^2"], "F": []}[letter]
        if names:
            held.append(basis.get_dofs(basis.mesh.facets_satisfying(SIDES[k])).all(names))
    moved = solve(*condense(stiffness, work, D=np.unique(np.concatenate(held))))
    # first derivatives of degree 4 are most accurate at four Gauss points a direction
    basis = Basis(basis.mesh, basis.elem, intorder=7)
    w, x, y = basis.interpolate(moved)
    curvature = np.stack([x.grad[0], y.grad[1], x.grad[1] + y.grad[0]], axis=-1)
    slip = np.stack([w.grad[0] + x, w.grad[1] + y], axis=-1)
    return np.asarray(basis.global_coordinates()), np.asarray(w), curvature @ D, slip @ SHEAR


@pytest.mark.parametrize("edges", ["CCCC", "SSSS", "CSFC", "SFSC"])
@pytest.mark.parametrize("load", ["pressure", "patch"])
def test_plate_with_shear(edges, load):
    points, deflection, moments, forces = thick_solution(edges, load)
    solution = ritz(edges, load, SHEAR)
    assert_close(solution.deflection(*points), deflection)
    keep = middle(points)
    assert_close(solution.moments(*points)[keep], moments[keep])
    assert_close(solution.shear_forces(*points)[keep], forces[keep])
