"""The plain textbook loops that the kernels are measured against, and checked against to 1e-12.

One laminate at a time, one ply at a time, one face at a time, with the formulas as they are printed.
References, all from memory: Jones, Mechanics of Composite Materials, 2nd ed., 1999, ch. 2 and 4; Kaw, Mechanics
of Composite Materials, 2nd ed., 2006, ch. 2 and 4; plates: Whitney, Structural Analysis of Laminated Anisotropic
Plates, 1987, ch. 2.
"""

import numpy as np
from numpy.polynomial import polynomial


def ply_terms(e1, e2, nu12, g12):
    """Q11, Q22, Q12, Q66 of a ply in its own axes."""
    share = 1 - nu12 * nu12 * e2 / e1
    return e1 / share, e2 / share, nu12 * e2 / share, g12


def turned_stiffness(e1, e2, nu12, g12, angle_deg):
    """Qbar by the term-by-term formulas."""
    q11, q22, q12, q66 = ply_terms(e1, e2, nu12, g12)
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    b11 = q11 * c**4 + 2 * (q12 + 2 * q66) * s**2 * c**2 + q22 * s**4
    b22 = q11 * s**4 + 2 * (q12 + 2 * q66) * s**2 * c**2 + q22 * c**4
    b12 = (q11 + q22 - 4 * q66) * s**2 * c**2 + q12 * (s**4 + c**4)
    b66 = (q11 + q22 - 2 * q12 - 2 * q66) * s**2 * c**2 + q66 * (s**4 + c**4)
    b16 = (q11 - q12 - 2 * q66) * s * c**3 + (q12 - q22 + 2 * q66) * s**3 * c
    b26 = (q11 - q12 - 2 * q66) * s**3 * c + (q12 - q22 + 2 * q66) * s * c**3
    return np.array([[b11, b12, b16], [b12, b22, b26], [b16, b26, b66]])


def laminate_stiffness(plies, thickness):
    """A, B, D of one laminate; a ply is (e1, e2, nu12, g12, angle, ...)."""
    a, b, d = np.zeros((3, 3)), np.zeros((3, 3)), np.zeros((3, 3))
    z0 = -sum(thickness) / 2
    for ply, t in zip(plies, thickness):
        z1 = z0 + t
        q = turned_stiffness(*ply[:5])
        a += q * (z1 - z0)
        b += q * (z1**2 - z0**2) / 2
        d += q * (z1**3 - z0**3) / 3
        z0 = z1
    return a, b, d


def constants(a, b, d, h):
    """Ex, Ey, Gxy, nuxy in plane and in bending, from the full 6 x 6 inverse."""
    inverse = np.linalg.inv(np.block([[a, b], [b, d]]))
    rows = []
    for block, depth in ((inverse[:3, :3], h), (inverse[3:, 3:], h**3 / 12)):
        rows.append([1 / block[0, 0] / depth, 1 / block[1, 1] / depth, 1 / block[2, 2] / depth,
                     -block[0, 1] / block[0, 0]])
    return np.array(rows)


def first_ply(a, b, d, plies, thickness, load):
    """Smallest Tsai-Wu strength ratio and its surface number, face by face; F12* = -0.5."""
    strain = np.linalg.solve(np.block([[a, b], [b, d]]), load)
    z, best, place = -sum(thickness) / 2, np.inf, -1
    for k, (ply, t) in enumerate(zip(plies, thickness)):
        e1, e2, nu12, g12, angle, xt, xc, yt, yc, shear = ply
        q11, q22, q12, q66 = ply_terms(e1, e2, nu12, g12)
        q = np.array([[q11, q12, 0], [q12, q22, 0], [0, 0, q66]])
        c, s = np.cos(np.radians(angle)), np.sin(np.radians(angle))
        turn = np.array([[c * c, s * s, c * s], [s * s, c * c, -c * s], [-2 * c * s, 2 * c * s, c * c - s * s]])
        f1, f2, f11, f22, f66 = 1 / xt - 1 / xc, 1 / yt - 1 / yc, 1 / (xt * xc), 1 / (yt * yc), 1 / shear**2
        f12 = -0.5 * np.sqrt(f11 * f22)
        for face in (0, 1):
            s1, s2, s12 = q @ (turn @ (strain[:3] + (z + face * t) * strain[3:]))
            linear = f1 * s1 + f2 * s2
            square = f11 * s1**2 + f22 * s2**2 + f66 * s12**2 + 2 * f12 * s1 * s2
            ratio = (-linear + np.sqrt(linear * linear + 4 * square)) / (2 * square)
            if ratio < best:
                best, place = ratio, 2 * k + face
        z += t
    return best, place


def sample(plies, thickness, load):
    """Ex, flexural Ex and strength ratio of one random version of a laminate."""
    a, b, d = laminate_stiffness(plies, thickness)
    moduli = constants(a, b, d, sum(thickness))
    return moduli[0, 0], moduli[1, 0], first_ply(a, b, d, plies, thickness, load)[0]


def clamped_functions(count):
    """Integrals over 0..1 of products of derivatives of x^2 (1 - x)^2 x^i, of the functions, and middle values."""
    base = polynomial.polymul(polynomial.polypow([0, 1], 2), polynomial.polypow([1, -1], 2))
    functions = [polynomial.polymul(base, polynomial.polypow([0, 1], i)) for i in range(count)]

    def integral(p):
        return polynomial.polyval(1.0, polynomial.polyint(p))

    products = {(i, j, p, q): integral(polynomial.polymul(
        polynomial.polyder(functions[i], p), polynomial.polyder(functions[j], q)))
        for i in range(count) for j in range(count) for p in range(3) for q in range(3)}
    return products, [integral(f) for f in functions], [polynomial.polyval(0.5, f) for f in functions]


def clamped_plate(a, b, d, pressure, functions, count):
    """Centre deflection of a clamped plate by the Ritz method, entry by entry."""
    products, areas, middles = functions
    matrix, load = np.zeros((count**2, count**2)), np.zeros(count**2)
    for i in range(count):
        for j in range(count):
            load[i * count + j] = pressure * areas[i] * areas[j] * a * b
            for k in range(count):
                for m in range(count):
                    def term(p, q, r, s, i=i, j=j, k=k, m=m):
                        return products[i, k, p, r] * products[j, m, q, s] / a ** (p + r) / b ** (q + s) * a * b
                    matrix[i * count + j, k * count + m] = (
                        d[0, 0] * term(2, 0, 2, 0) + d[1, 1] * term(0, 2, 0, 2)
                        + d[0, 1] * (term(2, 0, 0, 2) + term(0, 2, 2, 0)) + 4 * d[2, 2] * term(1, 1, 1, 1)
                        + 2 * d[0, 2] * (term(2, 0, 1, 1) + term(1, 1, 2, 0))
                        + 2 * d[1, 2] * (term(0, 2, 1, 1) + term(1, 1, 0, 2)))
    found = np.linalg.solve(matrix, load).reshape(count, count)
    return middles @ found @ np.array(middles)
