"""Transom plate of the demo job with its bolt patches against `parts.transom`: stretching and bending coupled.

`parts.transom` bends an unsymmetric wall by its reduced stiffness, as if every point could stretch freely.  Here the
plate keeps its in-plane displacements as unknowns, so that this simplification is tested with the very loads and edges.
"""

from dataclasses import replace
from functools import lru_cache

import numpy as np
from fem_tools import Quantity, banded_solution, graded, stiffness, strain_matrix, strains
from skfem import Basis, ElementComposite, ElementQuad2, MeshQuad

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plates import Patch, Plate, reduced_bending_stiffness
from lamcalc.parts.transom_model import row_fields
from lamcalc.shop.job import load_demo
from lamcalc.shop.job_transom import transom_comparison

MODEL = "transom plate"
REASON = "in-plane forces that the reduced stiffness drops, and series of limited order beside the patches"


def strain(u, v, w, x, y):
    """Mid-plane strains, curvatures, slips."""
    return (u.grad[0], v.grad[1], u.grad[1] + v.grad[0], x.grad[0], y.grad[1], x.grad[1] + y.grad[0],
            w.grad[0] + x, w.grad[1] + y)


@lru_cache
def comparison():
    return transom_comparison(load_demo())


def wall_stiffness(laminate, shear_across, shear_up):
    """A, B, D and shear of a wall, 8 x 8."""
    full = np.zeros((8, 8))
    full[:6, :6] = laminate.abd
    full[6, 6], full[7, 7] = shear_across, shear_up
    return full


def one_skin_wall():
    """Outer skin and a plywood-like core with nothing on its inside: as unsymmetric as a wall can be."""
    laminate = Laminate.from_plies([12e3, 6e3], [10e3, 3e3], [0.3, 0.1], [4e3, 0.6e3], [0.0, 0.0], [8.0, 18.0])
    return laminate, 9e3, 7e3


def patches(transom):
    """Centres of the bolt plates by row (upper, lower), and plate size."""
    width, upper = transom.outline.mean_width, transom.outline.plate_height - transom.bolts_below_edge
    xs = width / 2 - transom.bolts.upper_spacing / 2, width / 2 + transom.bolts.upper_spacing / 2
    return xs, (upper, upper - transom.bolts.row_to_heel), (transom.bolts.plate_width, transom.bolts.plate_height)


def grid(transom, n):
    """Mesh lines on the edges of the patches."""
    (left, right), (upper, lower), (wide, high) = patches(transom)
    width, height = transom.outline.mean_width, transom.outline.plate_height
    xs = graded((0, left - wide / 2, 2 * n), (left - wide / 2, left + wide / 2, 2 * n),
                (left + wide / 2, right - wide / 2, n), (right - wide / 2, right + wide / 2, 2 * n),
                (right + wide / 2, width, 2 * n))
    ys = graded((0, lower - high / 2, n), (lower - high / 2, lower + high / 2, 2 * n),
                (lower + high / 2, upper - high / 2, n), (upper - high / 2, upper + high / 2, 2 * n),
                (upper + high / 2, height, n))
    return MeshQuad.init_tensor(xs, ys)


def solve(transom, wall, forces, n):
    """Plate under the forces of the upper and the lower row; edges left, right and bottom simply supported, top free."""
    assert transom.edges == "SSSF" and not transom.knees
    element = ElementQuad2()
    basis = Basis(grid(transom, n), ElementComposite(*[element] * 5), intorder=4)
    b = strain_matrix(basis, strain)
    x, y = np.asarray(basis.global_coordinates())
    xs, ys, (wide, high) = patches(transom)
    pressure = np.zeros_like(x)
    for force, row in zip(forces, ys):
        for column in xs:
            pressure += force / 2 / (wide * high) * ((np.abs(x - column) < wide / 2) & (np.abs(y - row) < high / 2))
    load = np.zeros(basis.N)
    lift = np.stack([np.asarray(fields[2]) * np.ones_like(x) for fields in basis.basis])
    np.add.at(load, basis.element_dofs, np.einsum("ieq,eq->ie", lift * pressure, basis.dx))
    width = transom.outline.mean_width
    sides = ((lambda p: p[0] < 1e-6, "u^5"), (lambda p: p[0] > width - 1e-6, "u^5"), (lambda p: p[1] < 1e-6, "u^4"))
    held = [basis.get_dofs(basis.mesh.facets_satisfying(test)).all(["u^3", turn]) for test, turn in sides]
    # three freedoms stop the plate from drifting in its plane
    corner, other = (np.linalg.norm(basis.mesh.p - [[at], [0.0]], axis=0).argmin() for at in (0.0, width))
    held.append(basis.nodal_dofs[[0, 1], corner])
    held.append(basis.nodal_dofs[[1], other])
    c = np.repeat(wall_stiffness(*wall)[..., None], basis.mesh.nelements, axis=-1)
    matrix, keep, moved = stiffness(basis, b, c), np.setdiff1d(np.arange(basis.N), np.concatenate(held)), np.zeros(basis.N)
    moved[keep] = banded_solution(matrix[keep][:, keep], load[keep])
    return basis, moved, np.einsum("abe,beq->aeq", c, strains(basis, b, moved))


def at_bolts(transom, solved):
    """Deflection at the bolts of the upper and of the lower row; they lie on nodes."""
    basis, moved, _ = solved
    xs, ys, _ = patches(transom)
    nodes = [np.linalg.norm(basis.mesh.p - [[xs[0]], [y]], axis=0).argmin() for y in ys]
    return [float(moved[basis.nodal_dofs[2, node]]) for node in nodes]


def largest(solved):
    basis, moved, _ = solved
    w = moved[basis.nodal_dofs[2]]
    return float(w[np.abs(w).argmax()])


def patch_moment(transom, solved, component, row):
    """Mean moment over the patches of a row, which is even for a concentrated load."""
    basis, _, forces = solved
    x, y = np.asarray(basis.global_coordinates())
    xs, ys, (wide, high) = patches(transom)
    inside = (np.abs(x - xs[0]) < wide / 2) & (np.abs(y - ys[row]) < high / 2)
    return float(np.average(forces[component][inside], weights=basis.dx[inside]))


def package(part, laminate, shear, forces):
    """Largest deflection, turn, and moments meant over the two patches, by the fields of `parts.transom_model`."""
    bending = reduced_bending_stiffness(laminate.A, laminate.B, laminate.D)
    xs, ys, patch = patches(part)
    width, height = part.outline.mean_width, part.outline.plate_height
    plate = Plate(width, height, bending, edges=part.edges, shear=np.diag(shear))
    loads = [Patch(force / 2, x, y, *patch) for force, y in zip(forces, ys) for x in xs]
    # Gauss points over a patch
    points, weights = np.polynomial.legendre.leggauss(6)
    solution = plate.solve(patches=loads)
    moments = []
    for component, y in zip((0, 1), ys):
        px, py = np.meshgrid(xs[0] + 0.5 * patch[0] * points, y + 0.5 * patch[1] * points)
        values = solution.moments(px.ravel(), py.ravel())[:, component]
        moments.append(float(values @ np.outer(weights, weights).ravel() / 4))
    fields = row_fields(width, height, part.edges, bending.tobytes(), np.diag(shear).astype(float).tobytes(), xs, ys, patch)
    moved, bolts = np.array(forces) @ fields.deflection, np.array(forces) @ fields.at_bolts
    return float(moved[np.abs(moved).argmax()]), float((bolts[0] - bolts[2]) / part.bolts.row_to_heel * 1e3), moments


def walls():
    """The demo's original build and the one-skin wall: name, laminate, shear stiffness across and up, tolerance."""
    result = comparison().results[0]
    laminate, *shear = one_skin_wall()
    return (("demo wall", result.schedule.laminate, (result.shear_across, result.shear_up), 0.003),
            ("one-skin wall", laminate, tuple(shear), 0.02))


def quantities():
    found, part = [], comparison().transom
    _, *forces = part.cases[-1]
    for words, laminate, shear, tolerance in walls():
        deflection, turn, moments = package(part, laminate, shear, forces)
        solved = [solve(part, (laminate, *shear), forces, n) for n in (1, 2, 4)]
        rows = [at_bolts(part, s) for s in solved]
        values = (("largest deflection", "mm", deflection, [largest(s) for s in solved]),
                  ("turn of the bracket", "mrad", turn, [(up - low) / part.bolts.row_to_heel * 1e3 for up, low in rows]),
                  ("mean Mx over an upper bolt plate", "N mm/mm", moments[0], [patch_moment(part, s, 3, 0) for s in solved]),
                  ("mean My over a lower bolt plate", "N mm/mm", moments[1], [patch_moment(part, s, 4, 1) for s in solved]))
        found += [Quantity(MODEL, f"{words}: {what}", unit, mine, tuple(meshes), tolerance, REASON)
                  for what, unit, mine, meshes in values]
    # the demo's own figures, as every page shows them
    result = comparison().results[0]
    found[0] = replace(found[0], ours=float(result.plate_deflection_mm[-1]))
    found[1] = replace(found[1], ours=float(result.bracket_turn_mrad[-1]))
    return found
