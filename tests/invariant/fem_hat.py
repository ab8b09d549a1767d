"""Hat-stiffened panel strip against `sections`, `stiffeners` and `beam_cases`.

A solid hat with its true outline (mitred corners) on its strip of plating, simply supported on stiff ends, under a load
along its webs: a quarter of it in three dimensions.  Its section alone, in pure bending, shows what the corners do; what
the solid sags beyond that is shear.
"""

from dataclasses import dataclass

import numpy as np
from fem_prism import solve_prism
from fem_tools import Quantity, extruded, mapped, orthotropic, solve_solid
from skfem import MeshQuad

from lamcalc.mechanics.beam_cases import standard_beam
from lamcalc.mechanics.stiffeners import hat_section

MODEL = "hat-stiffened strip"
PLATE_T, HEIGHT, SKIN, LEG, RIM, CAP_T = 6.0, 95.0, 2.9, 50.0, 10.0, 4.0
PLATE_E, SKIN_E, CAP_E, CAP_G = 9.0e3, 8.0e3, 25.0e3, 3.0e3
SPAN, LOAD = 1200.0, 2.0
CROWN, WEB = PLATE_T + HEIGHT, 2
OUTLINE = "mitred corners instead of rectangles side by side: 3 mm pieces of a 108 mm high section"
BEAM = "corners as above; shear lag, and shear across plating, legs and crown, are left out by beam theory"
SHEAR = "shear across plating, legs and crown is left out: 7 to 9 % of the flexibility by thin-wall theory; corners"


@dataclass(frozen=True)
class Hat:
    """Outline by the widths of the former at its foot and top."""

    base: float
    top: float

    @property
    def lean(self):
        """Lean of the webs from the vertical, in radians."""
        return np.arctan2(0.5 * (self.base - self.top), HEIGHT)

    @property
    def mitre(self):
        """How far the outer line of the hat stands off at its two corners, along the wall."""
        return SKIN * np.tan(0.5 * (0.5 * np.pi - self.lean))

    @property
    def plate_width(self):
        return self.base + 2 * (LEG + RIM)

    def section(self):
        """The package's section of the same hat."""
        return hat_section(plate_width_mm=self.plate_width, plate_thickness_mm=PLATE_T, plate_e=PLATE_E, base_width_mm=self.base,
                           top_width_mm=self.top, height_mm=HEIGHT, skin_thickness_mm=SKIN, skin_e=SKIN_E, legs=[(LEG, SKIN)],
                           cap_width_mm=self.top + 2 * self.mitre, cap_thickness_mm=CAP_T, cap_e=CAP_E, plate_g=PLATE_E / 2.6,
                           skin_g=SKIN_E / 2.6, cap_g=CAP_G)


USUAL, WIDE = Hat(110.0, 70.0), Hat(200.0, 70.0)


def half_section(hat, n):
    """Right half of the strip, and the piece that every cell belongs to: plating, leg, web, crown, cap."""
    b, t, z, leg_end = 0.5 * hat.base, 0.5 * hat.top, PLATE_T, 0.5 * hat.base + LEG
    low, top, rim = (b + hat.mitre, z + SKIN), (t + hat.mitre, CROWN + SKIN), 0.5 * hat.plate_width
    shapes = [
        (((0, 0), (b, 0), (b, z), (0, z)), 2 * n, 1, 0), (((b, 0), (leg_end, 0), (leg_end, z), (b, z)), 2 * n, 1, 0),
        (((leg_end, 0), (rim, 0), (rim, z), (leg_end, z)), n, 1, 0),
        (((b, z), (leg_end, z), (leg_end, z + SKIN), low), 2 * n, 1, 1), (((b, z), (t, CROWN), top, low), 3 * n, 1, WEB),
        (((t, CROWN), (0, CROWN), (0, CROWN + SKIN), top), 2 * n, 1, 3),
        ((top, (0, CROWN + SKIN), (0, CROWN + SKIN + CAP_T), (top[0], top[1] + CAP_T)), 2 * n, 1, 4)]
    return mapped([s[:3] for s in shapes]), np.concatenate([np.full(s[1] * s[2], s[3]) for s in shapes])


def materials():
    """Laminates as solids, by piece: mat alike in every direction, the cap stiff along the beam."""
    plate, skin = (orthotropic((e, e, e), (0.3, 0.3, 0.3), (e / 2.6,) * 3) for e in (PLATE_E, SKIN_E))
    cap = orthotropic((CAP_E, 9e3, 9e3), (0.3, 0.3, 0.35), (CAP_G,) * 3)
    return np.stack([plate, skin, skin, skin, cap], axis=-1)


def bend(hat, n):
    """The whole section, bent to a curvature."""
    right, kind = half_section(hat, n)
    mesh = right + MeshQuad(right.p * [[-1.0], [1.0]], right.t[::-1])
    return solve_prism(mesh, materials()[..., np.tile(kind, 2)], curvature=1e-6)


def solve_strip(hat, n):
    """A quarter of the strip; x = 0 is mid-span, y = 0 the middle of the hat."""
    flat, kind = half_section(hat, n)
    mesh, kind = extruded(flat, np.linspace(0.0, 0.5 * SPAN, 3 * n + 1)), np.tile(kind, 3 * n)
    web_area = SKIN * np.hypot(HEIGHT, 0.5 * (hat.base - hat.top))
    held = [(lambda p: p[0] < 1e-6, "x"), (lambda p: p[0] > 0.5 * SPAN - 1e-6, "yz"), (lambda p: np.abs(p[1]) < 1e-6, "y")]
    # down along the slope, so that the load stays in the plane of the web and does not bend it
    body = np.outer([0.0, np.tan(hat.lean), -1.0], np.where(kind == WEB, LOAD / 2 / web_area, 0.0))
    return solve_solid(mesh, materials()[..., kind], held=held, body=body), kind


def mid_stress(hat, solved, piece, z):
    """Stress along the beam at mid-span near the middle of the hat, read at height z.

    Straight in z, even in x and y: fitted to the integration points of the piece.
    """
    solid, kind = solved
    x, y, height = solid.places
    near = (kind == piece)[:, None] & (y < 0.3 * hat.base) & (x < 0.25 * SPAN)
    terms = np.stack([np.ones(near.sum()), height[near] - z, x[near]**2, y[near]**2], axis=-1)
    return float(np.linalg.lstsq(terms, solid.stress[0][near], rcond=None)[0][0])


def sag(hat, solved):
    """Deflection at mid-span where web and plating meet."""
    return -solved[0].at((0.0, 0.5 * hat.base, PLATE_T), 2)


def shear_stiffness(hat, ei, solved):
    """What makes up for the sag that bending does not explain."""
    return LOAD * SPAN**2 / 8 / (sag(hat, solved) - 5 * LOAD * SPAN**4 / (384 * ei))


def section_ei(prism):
    return prism.total(prism.stress[0] * prism.places[1]) / prism.curvature


def quantities():
    beam, prisms = USUAL.section(), [bend(USUAL, n) for n in (1, 2, 4)]
    solved = [solve_strip(USUAL, n) for n in (1, 2, 4)]
    line = standard_beam("ss_uniform", load_n=LOAD * SPAN, span_mm=SPAN, ei=beam.ei, ga=beam.shear_stiffness)
    found = [
        Quantity(MODEL, "EI of the section", "N mm2", float(beam.ei), tuple(map(section_ei, prisms)), 0.01, OUTLINE),
        Quantity(MODEL, "height of its neutral axis", "mm", float(beam.neutral_axis_mm),
                 tuple(-p.axial / p.curvature for p in prisms), 0.01, OUTLINE),
        Quantity(MODEL, "deflection at mid-span", "mm", float(line.deflection_mm), tuple(sag(USUAL, s) for s in solved), 0.03,
                 BEAM)]
    for words, piece, z, e in (("plating, outer face", 0, 0.0, PLATE_E), ("crown, outer face", 3, CROWN + SKIN, SKIN_E),
                               ("cap, outer face", 4, CROWN + SKIN + CAP_T, CAP_E)):
        found.append(Quantity(MODEL, f"stress at mid-span, {words}", "MPa", float(beam.stress(LOAD * SPAN**2 / 8, z, e)),
                              tuple(mid_stress(USUAL, s, piece, z) for s in solved), 0.03, BEAM))
    found.append(Quantity(MODEL, "shear stiffness, webs lean 12 degrees", "N", float(beam.shear_stiffness),
                          tuple(shear_stiffness(USUAL, section_ei(prisms[-1]), s) for s in solved), 0.15, SHEAR))
    ei = section_ei(bend(WIDE, 2))
    found.append(Quantity(MODEL, "shear stiffness, webs lean 34 degrees", "N", float(WIDE.section().shear_stiffness),
                          tuple(shear_stiffness(WIDE, ei, solve_strip(WIDE, n)) for n in (1, 2, 4)), 0.15, SHEAR))
    return found
