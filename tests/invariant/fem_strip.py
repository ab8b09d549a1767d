"""Unsymmetric laminate strip under tension and a temperature change against `laminate` and `thermal`."""

import numpy as np
from fem_prism import solve_prism
from fem_tools import Quantity, graded, orthotropic, turned, turned_expansion
from skfem import MeshQuad

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.thermal import residual_state

MODEL = "unsymmetric strip"
E1, E2, NU12, G12, NU23 = 38.6e3, 8.27e3, 0.26, 4.14e3, 0.4
ALPHA = 8.6e-6, 22.1e-6
ANGLES, PLY_MM, WIDTH_MM = (0.0, 90.0, 30.0), 1.0, 60.0
PULL, DELTA_T = 50.0, -60.0
REASON = "free edges spoil a zone of about one thickness (3 mm of 30 mm at each side), so that e, k, t at a given force shift"
LOCAL = "forces and moments taken from the same mid-strip column: laminate theory is exact there"


def solve(n, force, delta_t):
    half = 0.5 * WIDTH_MM
    edge = 2 * len(ANGLES) * PLY_MM
    lines = graded((-half, -half + edge, 3 * n), (-half + edge, half - edge, 4 * n), (half - edge, half, 3 * n))
    h = len(ANGLES) * PLY_MM
    mesh = MeshQuad.init_tensor(lines, np.linspace(-h / 2, h / 2, len(ANGLES) * n + 1))
    ply = np.floor((mesh.p[1, mesh.t].mean(axis=0) + h / 2) / PLY_MM).astype(int)
    base = orthotropic((E1, E2, E2), (NU12, NU12, NU23), (E2 / 2 / (1 + NU23), G12, G12))
    c = np.stack([turned(base, angle) for angle in ANGLES], axis=-1)[..., ply]
    free = np.stack([turned_expansion(*ALPHA, angle) for angle in ANGLES], axis=-1)[:, ply] * delta_t
    return solve_prism(mesh, c, force=force * WIDTH_MM, free_strain=free)


def state(prism):
    """Mid-plane strain and curvature of the strip: along from the whole, across from a fit to the mid-strip column."""
    near = prism.column(-6.0, 6.0)
    z, weight = prism.places[1][near], np.sqrt(prism.basis.dx[near])
    fit = [np.linalg.lstsq(np.stack([weight, weight * z], axis=-1), weight * prism.strain[k][near], rcond=None)[0]
           for k in (1, 5)]
    return np.array([prism.axial, fit[0][0], fit[1][0]]), np.array([prism.curvature, fit[0][1], fit[1][1]])


def resultants(prism):
    """Forces and moments a width in the mid-strip column."""
    near, z, stress = prism.column(-6.0, 6.0), prism.places[1], prism.stress[[0, 1, 5]]
    width = prism.total(1.0, near) / (len(ANGLES) * PLY_MM)
    return (np.array([prism.total(s, near) for s in stress]) / width,
            np.array([prism.total(s * z, near) for s in stress]) / width)


def ply_face_stress(prism, ply, top):
    """Stress along x at a face of a ply in mid-strip, extended from the integration points."""
    h = len(ANGLES) * PLY_MM
    low = -h / 2 + ply * PLY_MM
    z = prism.places[1]
    inside = prism.column(-6.0, 6.0) & (z > low) & (z < low + PLY_MM)
    return float(np.polyval(np.polyfit(z[inside], prism.stress[0][inside], 1), low + top * PLY_MM))


def quantities():
    wall = Laminate.from_plies(E1, E2, NU12, G12, ANGLES, [PLY_MM] * len(ANGLES), alpha1=ALPHA[0], alpha2=ALPHA[1])
    found = []
    for words, force, delta_t in (("tension 50 N/mm", PULL, 0.0), ("cooling by 60 K", 0.0, DELTA_T)):
        prisms = [solve(n, force, delta_t) for n in (1, 2, 4)]
        states = [state(prism) for prism in prisms]
        if delta_t:
            ours = residual_state(wall, delta_t=delta_t)
        else:
            ours = wall.response(N=(force, 0.0, 0.0))
        local = wall.response(*resultants(prisms[-1]), delta_t=delta_t)
        stress = wall.ply_stresses(wall.response(N=(force, 0.0, 0.0), delta_t=delta_t), delta_t)
        for kind, unit, place in (("strain", "-", 0), ("curvature", "1/mm", 1)):
            for k, axis in enumerate(("x", "y", "xy")):
                values = tuple(float(s[place][k]) for s in states)
                found.append(Quantity(MODEL, f"{words}: {kind} {axis}", unit, float((ours.eps0, ours.kappa)[place][k]),
                                      values, 0.01, REASON))
                found.append(Quantity(MODEL, f"{words}: {kind} {axis}, from local forces", unit,
                                      float((local.eps0, local.kappa)[place][k]), values, 2e-4, LOCAL))
        for ply, top in ((0, 0), (1, 1), (2, 1)):
            found.append(Quantity(MODEL, f"{words}: stress x, ply {ply + 1}, {'upper' if top else 'lower'} face", "MPa",
                                  float(stress[ply, top, 0]), tuple(ply_face_stress(p, ply, top) for p in prisms), 0.01,
                                  REASON, float(np.abs(stress[..., 0]).max())))
    return found
