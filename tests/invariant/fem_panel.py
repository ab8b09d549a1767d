"""Orthotropic clamped panel against `plates`: three plies as solids, a quarter of the panel, pressure on one face.

The plate elements of `test_plates_fem` share the plate's assumptions; these solids do not.
"""

import numpy as np
from fem_tools import Quantity, extruded, orthotropic, solve_solid, turned
from skfem import MeshQuad

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plates import Plate
from lamcalc.mechanics.transverse_shear import rotated_shear_modulus, shear_stiffness

MODEL = "clamped panel"
E1, E2, NU12, G12, NU23 = 38.6e3, 8.27e3, 0.26, 4.14e3, 0.4
G23 = E2 / 2 / (1 + NU23)
ANGLES, THICKNESS = (0.0, 90.0, 0.0), (2.0, 3.0, 2.0)
A_MM, B_MM, PRESSURE = 360.0, 240.0, 0.01
H = sum(THICKNESS)
PLATE = "a wall of a solid is held over its whole height; first-order shear leaves the edge zone of one thickness out"
STRESS = "as above; straight lines through the thickness"


def solve(n):
    """x = 0 and y = 0 are the middle lines; finer towards the held edges."""
    def lines(half):
        return half * np.sin(np.linspace(0, 0.5 * np.pi, n + 1)) ** 0.9
    levels = np.concatenate([[0.0], np.cumsum(THICKNESS)]) - 0.5 * H
    mesh = extruded(MeshQuad.init_tensor(lines(0.5 * B_MM), levels), lines(0.5 * A_MM))
    ply = np.searchsorted(levels, mesh.p[2, mesh.t].mean(axis=0)) - 1
    base = orthotropic((E1, E2, E2), (NU12, NU12, NU23), (G23, G12, G12))
    c = np.stack([turned(base, angle) for angle in ANGLES], axis=-1)[..., ply]
    held = [(lambda p: p[0] < 1e-6, "x"), (lambda p: p[1] < 1e-6, "y"),
            (lambda p: p[0] > 0.5 * A_MM - 1e-6, "xyz"), (lambda p: p[1] > 0.5 * B_MM - 1e-6, "xyz")]
    return solve_solid(mesh, c, held=held, pressed=(lambda p: p[2] < -0.5 * H + 1e-6, PRESSURE))


def centre_stress(solid, component, low, high, z):
    """Stress of a ply at height z in the middle: fitted to the integration points, odd in z and even in x and y."""
    x, y, height = solid.places
    near = (height > low) & (height < high) & (x < 0.25 * A_MM) & (y < 0.25 * B_MM)
    x, y, height = (x[near] / A_MM)**2, (y[near] / B_MM)**2, height[near] / z
    terms = height * np.stack([np.ones_like(x), x, y, x * y, x * x, y * y])
    return float(np.linalg.lstsq(terms.T, solid.stress[component][near], rcond=None)[0][0])


def quantities():
    wall = Laminate.from_plies(E1, E2, NU12, G12, ANGLES, THICKNESS)
    shear = np.diag([float(shear_stiffness(wall.qbar, wall.thickness_mm, rotated_shear_modulus(G12, G23, ANGLES, axis=axis),
                                           axis=axis)) for axis in "xy"])
    plate = Plate(A_MM, B_MM, wall.D, edges="CCCC", shear=shear).solve(pressure=PRESSURE)
    curved = plate.curvatures(0.5 * A_MM, 0.5 * B_MM)
    # pressure pushes towards positive z; a positive curvature stretches the high-z face
    stress = wall.qbar @ curved
    solids = [solve(n) for n in (3, 6, 12)]
    found = [Quantity(MODEL, "deflection in the middle", "mm", float(plate.deflection(0.5 * A_MM, 0.5 * B_MM)),
                      tuple(s.at((0, 0, 0.5 * THICKNESS[1]), 2) for s in solids), 0.01, PLATE)]
    for words, k, low, high, z, ply in (("x, ply 3, upper face", 0, 1.5, 3.5, 3.5, 2), ("y, ply 3, upper face", 1, 1.5, 3.5, 3.5, 2),
                                        ("y, ply 2, upper face", 1, -1.5, 1.5, 1.5, 1)):
        found.append(Quantity(MODEL, f"stress {words}", "MPa", float(stress[ply, k] * z),
                              tuple(centre_stress(s, k, low, high, z) for s in solids), 0.01, STRESS))
    return found
