"""Adapters for the rows on plates: isotropic tables, laminated plates, three-dimensional elasticity."""

import math

import numpy as np

from lamcalc.mechanics import plate_series
from lamcalc.mechanics.elasticity import ExactPlate, cross_ply_stiffness, orthotropic_stiffness
from lamcalc.mechanics.laminate import Laminate, Response
from lamcalc.mechanics.plate_navier import NavierPlate, factored_shear_stiffness
from lamcalc.mechanics.plates import Plate

ORDER = 20


def _pick(get, **values):
    """The output called `get`; outputs are functions, so that only the one wanted is computed."""
    return values[get]()


def ss_uniform(get, ratio=1.0, nu=0.3):
    factors = plate_series.simply_supported_uniform(ratio, nu)
    return {
        "w_D": factors.deflection, "alpha": 12 * (1 - nu**2) * factors.deflection, "beta": 6 * factors.moment_short,
        "gamma": factors.reaction_long_side, "M_short": factors.moment_short, "M_long": factors.moment_long,
        "Q_long_side": factors.shear_long_side, "Q_short_side": factors.shear_short_side,
        "V_long_side": factors.reaction_long_side, "V_short_side": factors.reaction_short_side,
        "R": factors.corner_force, "R_corner": factors.corner_force,
    }[get]


def ss_point(get, ratio=1.0, nu=0.3, r0=None):
    # alpha and beta are the limits for a small circle; its radius r0 only enters the logarithm of the stress
    factors = plate_series.simply_supported_centre_load(ratio, nu)
    return {"alpha": 12 * (1 - nu**2) * factors.deflection, "w_D": factors.deflection, "beta": factors.beta_short,
            "beta_long": factors.beta_long}[get]


def _ritz(a, b, edges, nu):
    return Plate(a, b, plate_series.isotropic_stiffness(1.0, nu), edges=edges, order=ORDER).solve(pressure=1.0)


def clamped_uniform(get, ratio=1.0, nu=0.3):
    s = _ritz(ratio, 1.0, "CCCC", nu)
    x, y = ratio / 2, 0.5
    return _pick(
        get, w_D=lambda: s.deflection(x, y), alpha=lambda: 12 * (1 - nu**2) * s.deflection(x, y),
        M_short=lambda: s.moments(x, y)[1], M_long=lambda: s.moments(x, y)[0], beta2=lambda: 6 * s.moments(x, y)[1],
        M_edge_long_side=lambda: s.moments(x, 0)[1], M_edge_short_side=lambda: s.moments(0, y)[0],
        beta1=lambda: -6 * s.moments(x, 0)[1])


def two_clamped(get, nu=0.3, ratio=1.0):
    # x = 0, a simply supported, y = 0, b clamped; ratio b / a, a = 1
    s = _ritz(1.0, ratio, "SSCC", nu)
    middle = 0.5, ratio / 2
    return _pick(get, w=lambda: s.deflection(*middle), w_D=lambda: s.deflection(*middle),
                 Mx=lambda: s.moments(*middle)[0], My=lambda: s.moments(*middle)[1],
                 M_edge=lambda: s.moments(0.5, 0)[1], My_edge=lambda: s.moments(0.5, 0)[1])


def clamped_circle(get, diam, h, E, nu, yield_stress=None, p=None):
    limit = plate_series.clamped_circle(1.0, diam / 2, h, E, nu, yield_stress=yield_stress).yield_pressure
    if get == "p_yield":
        return limit
    plate = plate_series.clamped_circle(limit if p is None else p, diam / 2, h, E, nu)
    names = {"w": "deflection", "s_edge": "radial_edge", "sr_edge": "radial_edge", "sigma_edge": "radial_edge",
             "sigma_max": "radial_edge", "st_edge": "hoop_edge", "s_centre": "centre", "sigma_centre": "centre"}
    return getattr(plate, names[get])


def iso_buckling(get, ratio, nu=0.3):
    return plate_series.simply_supported_buckling_factor(ratio)


def _stack(mat, angles, t):
    thickness = np.full(len(angles), 1.0 / len(angles)) if t is None else np.asarray(t, dtype=float)
    return Laminate.from_plies(*mat, np.asarray(angles, dtype=float), thickness)


def _navier(mat, angles, g13, g23, a_over_h, b_over_a, t, theory, kind, ks):
    wall = _stack(mat, angles, t)
    a = a_over_h * float(wall.total_thickness_mm)
    plies = g13, g23, wall.angle_deg, wall.thickness_mm
    shear = None if theory == "clpt" else factored_shear_stiffness(*plies, factor=ks)
    b = a * b_over_a if b_over_a else math.inf
    return wall, NavierPlate(a, b, wall.A, wall.B, wall.D, shear=shear, kind=kind)


def lam_plate(get, mat, angles, g13=None, g23=None, a_over_h=10.0, b_over_a=1.0, t=None, theory="fsdt", kind="cross",
              load="sine", ks=5 / 6, e2=None):
    wall, plate = _navier(mat, angles, g13, g23, a_over_h, b_over_a, t, theory, kind, ks)
    h, a, b = float(wall.total_thickness_mm), plate.a_mm, plate.b_mm if b_over_a else 1.0
    solution = plate.solve(1.0, load=load)
    if get in ("w", "wbar"):
        return 100 * solution.deflection(a / 2, b / 2) * (mat[1] if e2 is None else e2) * h**3 / a**4
    if get in ("txz", "tyz"):
        axis, point = (0, (0, b / 2)) if get == "txz" else (1, (a / 2, 0))
        force = (plate.shear @ solution.shear_strains(*point)[..., None])[axis, 0] if plate.shear is not None else None
        return 1.5 * force / h / (a / h)
    point = (0.0, 0.0) if get.startswith("sxy") else (a / 2, b / 2)
    stresses = wall.ply_stresses(Response(*solution.strains(*point)))
    column = {"sx": 0, "sy": 1, "sxy": 2}[get.split("_")[0]]
    place = (0, 0) if get.endswith("bottom") else (-1, 1)
    if get == "sy":
        # greatest on the outer face of the plies at 90 degrees, as the tables give it
        turned = np.flatnonzero(np.abs(np.asarray(angles)) == 90)
        place = (int(turned[-1]), 1) if turned.size else place
    return stresses[(*place, column)] / (a / h) ** 2


def _omega(frequency, wall, a, e2):
    """omega a^2 / h sqrt(rho / E2) for a wall of unit density in consistent units."""
    return 2 * math.pi * frequency * a**2 / float(wall.total_thickness_mm) / math.sqrt(e2)


def _frequencies(wall, plate, m, n, rotary):
    h = float(wall.total_thickness_mm)
    return plate.frequencies(1e9 * h, m, n, gyration_radius_mm=h / math.sqrt(12) if rotary else 0.0)


def lam_freq(get, mat, angles, g13=None, g23=None, a_over_h=10.0, b_over_a=1.0, t=None, theory="fsdt", kind="cross",
             m=1, n=1, rotary=True, e2=None, ks=5 / 6):
    wall, plate = _navier(mat, angles, g13, g23, a_over_h, b_over_a, t, theory, kind, ks)
    frequency = float(_frequencies(wall, plate, m, n, rotary)[0])
    if get == "omega_h_q11":
        return 2 * math.pi * frequency * float(wall.total_thickness_mm) / math.sqrt(wall.q[0, 0, 0])
    return _omega(frequency, wall, plate.a_mm, mat[1] if e2 is None else e2)


def lam_freq_sorted(get, mat, angles, g13=None, g23=None, a_over_h=10.0, kind="cross", rank=1, nmax=8):
    wall, plate = _navier(mat, angles, g13, g23, a_over_h, 1.0, None, "fsdt", kind, 5 / 6)
    waves = np.arange(1, nmax + 1)
    frequencies = np.sort(_frequencies(wall, plate, waves[:, None], waves, True)[..., 0].ravel())
    return _omega(float(frequencies[rank - 1]), wall, plate.a_mm, mat[1])


def _exact(props, angles, fractions, a_over_h, b_over_a):
    stack = cross_ply_stiffness(orthotropic_stiffness(*props), angles)
    fractions = [1 / len(angles)] * len(angles) if fractions is None else fractions
    b = a_over_h * b_over_a if b_over_a else math.inf
    return ExactPlate(a_over_h, b, stack, np.asarray(fractions) / sum(fractions))


def exact_plate(get, props, angles, fractions=None, a_over_h=10.0, b_over_a=1.0, load="sine", e2=None, per=None):
    # `per` counts slices a ply in a numerical solution; this one is exact through each ply
    plate = _exact(props, angles, fractions, a_over_h, b_over_a)
    a, b = plate.a_mm, plate.b_mm if b_over_a else 1.0
    solution = plate.solve(1.0, load=load)
    if get in ("w", "wbar"):
        return 100 * solution.displacement(a / 2, b / 2, 0.0)[2] * (props[1] if e2 is None else e2) / a**4
    if get in ("txz", "tyz"):
        point, column = ((0.0, b / 2), 4) if get == "txz" else ((a / 2, 0.0), 3)
        return solution.stress(*point, 0.0)[column] / a
    height = -0.5 if get.endswith("bottom") else 0.5
    column, point = {"sx": (0, (a / 2, b / 2)), "sy": (1, (a / 2, b / 2)), "sxy": (5, (0.0, 0.0))}[get.split("_")[0]]
    if get == "sy":
        turned = np.flatnonzero(np.abs(np.asarray(angles)) == 90)
        height = float(plate.thickness_mm[: turned[-1] + 1].sum() - 0.5) if turned.size else height
    return solution.stress(*point, height)[column] / a**2


def exact_freq(get, props, angles, a_over_h=10.0, e2=None):
    plate = _exact(props, angles, None, a_over_h, 1.0)
    # a density of 1e12 kg/m3 is 1 in N, mm, s
    return 2 * math.pi * plate.frequency(1e12) * plate.a_mm**2 / math.sqrt(props[1] if e2 is None else e2)


CASES = {f.__name__: f for f in (ss_uniform, ss_point, clamped_uniform, two_clamped, clamped_circle, iso_buckling,
                                 lam_plate, lam_freq, lam_freq_sorted, exact_plate, exact_freq)}
