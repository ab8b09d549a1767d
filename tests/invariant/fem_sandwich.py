"""Sandwich beam in three-point bending against `sandwich` and `beams`: skins and core as plane solids.

Load and supports are pads, so that nothing is singular; the beam gets the same pads.  Three spans part the deflection
into bending, shear, and what stays local: ``w/P = f1(span)/EI + f2(span)/GA - c``.  The skins' own stiffness keeps the
core from shearing freely near a load (Allen, 1969, ch. 2, thick faces), a gain that does not grow with the span.
"""

import numpy as np
from fem_tools import Quantity, graded, stiffness, strain_matrix, strains
from scipy.sparse.linalg import spsolve
from skfem import Basis, ElementQuad2, ElementVector, MeshQuad

from lamcalc.mechanics.beams import PointLoad, Support, UniformLoad, beam_response
from lamcalc.mechanics.sandwich import Sandwich

MODEL = "sandwich beam"
# unequal skins; the core is foam
SKIN_1, CORE, SKIN_2, E_1, E_2, E_CORE, G_CORE = 4.0, 25.0, 2.5, 12e3, 15e3, 60.0, 24.0
HEIGHT, PAD, LOAD, SPANS = SKIN_1 + CORE + SKIN_2, 40.0, 20.0, (500.0, 800.0, 1200.0)
SPLIT = "skins carry part of the shear by their own bending, 1 % here; they shear a little, which the formula leaves out"
LOCAL = "stiff skins keep the core from shearing freely within a thickness of each pad: less sag, most on a short span"
WHERE = "read at the quarter point, away from pads"
LAYERS = ((E_1, 0.3, 4e3), (E_CORE, E_CORE / 2 / G_CORE - 1, G_CORE), (E_2, 0.3, 4e3))


def plane(e, nu, g):
    """Plane stress, skins as stiff through the thickness as along: that hardly counts."""
    return np.array([[e, nu * e, 0], [nu * e, e, 0], [0, 0, g * (1 - nu * nu)]]) / (1 - nu * nu)


def solve(span, n):
    """Right half; x = 0 is mid-span.  The bottom is skin 1."""
    half, pad = 0.5 * span, 0.5 * PAD
    xs = graded((0, pad, 2 * n), (pad, half - pad, 6 * n), (half - pad, half + pad, 4 * n), (half + pad, half + 2 * pad, n))
    zs = graded((0, SKIN_1, n), (SKIN_1, SKIN_1 + CORE, 4 * n), (SKIN_1 + CORE, HEIGHT, n))
    mesh = MeshQuad.init_tensor(xs, zs)
    layer = np.searchsorted([SKIN_1, SKIN_1 + CORE], mesh.p[1, mesh.t].mean(axis=0))
    basis = Basis(mesh, ElementVector(ElementQuad2()), intorder=4)
    b = strain_matrix(basis, lambda u: (u.grad[0, 0], u.grad[1, 1], u.grad[0, 1] + u.grad[1, 0]))
    c = np.stack([plane(*values) for values in LAYERS], axis=-1)[..., layer]
    load = np.zeros(basis.N)
    # half the load a mm of width on the half pad above, and back on the pad below
    for test, force in ((lambda p: (p[1] > HEIGHT - 1e-6) & (p[0] < pad), -0.5 * LOAD / pad),
                        (lambda p: (p[1] < 1e-6) & (np.abs(p[0] - half) < pad), 0.5 * LOAD / PAD)):
        face = basis.boundary(mesh.facets_satisfying(test))
        up = np.stack([np.asarray(f[0])[1] * np.ones_like(face.dx) for f in face.basis])
        np.add.at(load, face.element_dofs, np.einsum("ieq,eq->ie", up, face.dx) * force)
    middle = np.linalg.norm(mesh.p - [[half], [SKIN_1 + 0.5 * CORE]], axis=0).argmin()
    held = np.append(basis.get_dofs(mesh.facets_satisfying(lambda p: p[0] < 1e-6)).all(["u^1"]), basis.nodal_dofs[1, middle])
    matrix, keep, moved = stiffness(basis, b, c), np.setdiff1d(np.arange(basis.N), held), np.zeros(basis.N)
    moved[keep] = spsolve(matrix[keep][:, keep].tocsc(), load[keep])
    stress = np.einsum("abe,beq->aeq", c, strains(basis, b, moved))
    return basis, layer, moved, stress


def sag(solved):
    """Deflection of the core's middle at mid-span against that over the supports."""
    basis, _, moved, _ = solved
    node = np.linalg.norm(basis.mesh.p - [[0.0], [SKIN_1 + 0.5 * CORE]], axis=0).argmin()
    return -float(moved[basis.nodal_dofs[1, node]])


def face_stress(solved, span, which, z):
    """Stress along the beam at the quarter point of a layer, read at height z."""
    basis, layer, _, stress = solved
    at = np.asarray(basis.global_coordinates())
    near = (layer == which)[:, None] & (np.abs(at[0] - 0.25 * span) < 0.1 * span)
    terms = np.stack([np.ones(near.sum()), at[1][near] - z, at[0][near] - 0.25 * span], axis=-1)
    return float(np.linalg.lstsq(terms, stress[0][near], rcond=None)[0][0])


def core_shear(solved, span):
    """Largest shear stress in the core at the quarter point: mean over height, which is even within a foam."""
    basis, layer, _, stress = solved
    at = np.asarray(basis.global_coordinates())
    near = (layer == 1)[:, None] & (np.abs(at[0] - 0.25 * span) < 0.1 * span)
    return float(np.average(np.abs(stress[2][near]), weights=basis.dx[near]))


def beam(span, ei, ga):
    """The same pads on a beam: largest sag [mm]."""
    pad, whole = 0.5 * PAD, span + 2 * PAD
    left, right, mid = PAD, PAD + span, PAD + 0.5 * span
    loads = [UniformLoad(mid - pad, mid + pad, LOAD / PAD), PointLoad(mid, 0.0),
             *(UniformLoad(x - pad, x + pad, -0.5 * LOAD / PAD) for x in (left, right))]
    return float(beam_response(ei, ga, whole, [Support(left), Support(right)], loads).deflection_at(mid))


def quantities():
    wall = Sandwich(SKIN_1, CORE, SKIN_2, E_1, E_CORE, E_2, G_CORE)
    solved = {span: [solve(span, n) for n in (1, 2, 4)] for span in SPANS}
    stiff = 1e30
    terms = np.stack([[beam(span, 1.0, stiff) for span in SPANS], [beam(span, stiff, 1.0) for span in SPANS], np.ones(3)], axis=-1)
    split = [1.0 / np.linalg.solve(terms, [sag(solved[span][k]) for span in SPANS])[:2] for k in range(3)]
    ei, ga = float(wall.ei), float(wall.ga)
    found = [Quantity(MODEL, "EI from three spans", "N mm2/mm", ei, tuple(s[0] for s in split), 0.003, SPLIT),
             Quantity(MODEL, "GA from three spans", "N/mm", ga, tuple(s[1] for s in split), 0.015, SPLIT)]
    for span in SPANS:
        found.append(Quantity(MODEL, f"deflection, span {span:.0f} mm", "mm", beam(span, ei, ga),
                              tuple(sag(s) for s in solved[span]), 0.03, LOCAL))
    span = SPANS[0]
    moment, force = 0.5 * LOAD * 0.25 * span, 0.5 * LOAD
    stress = wall.layer_stresses(moment)
    for words, layer, top, z in (("skin 1, outer face", 0, 0, 0.0), ("skin 2, outer face", 2, 1, HEIGHT)):
        found.append(Quantity(MODEL, f"stress, {words}", "MPa", float(stress[layer, top]),
                              tuple(face_stress(s, span, layer, z) for s in solved[span]), 0.01, WHERE))
    found.append(Quantity(MODEL, "core shear stress", "MPa", float(wall.core_shear_stress(force)),
                          tuple(core_shear(s, span) for s in solved[span]), 0.01, WHERE))
    return found
