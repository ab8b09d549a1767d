"""Adapters for the ply, laminate and thermal rows."""

import numpy as np

from lamcalc.mechanics.lamina import reduced_compliance, reduced_stiffness, rotated_compliance, rotated_stiffness
from lamcalc.mechanics.laminate import Laminate

_TERM = {"11": (0, 0), "12": (0, 1), "16": (0, 2), "22": (1, 1), "26": (1, 2), "66": (2, 2)}
_AXIS = {"x": 0, "y": 1, "xy": 2, "1": 0, "2": 1, "12": 2}


def ply_qbar(get, theta, mat=None, Q=None):
    q = reduced_stiffness(*mat) if Q is None else np.array(Q, dtype=float)
    return rotated_stiffness(q, theta)[_TERM[get[1:]]]


def ply_sbar(get, theta, mat):
    return rotated_compliance(reduced_compliance(*mat), theta)[_TERM[get[1:]]]


def stack(mat, angles, t, alphas=(0.0, 0.0)):
    thickness = np.broadcast_to(np.asarray(t, dtype=float), (len(angles),))
    return Laminate.from_plies(*mat, angles, thickness, alpha1=alphas[0], alpha2=alphas[1])


def abd(get, mat, angles, t):
    return getattr(stack(mat, angles, t), get[0])[_TERM[get[1:]]]


def _constant(constants, name):
    return {"Ex": constants.ex, "Ey": constants.ey, "Gxy": constants.gxy, "nuxy": constants.nuxy,
            "nuyx": constants.nuyx, "mx": constants.eta_x_xy, "my": constants.eta_y_xy}[name]


def _ply_value(laminate, response, delta_t, get):
    name, ply, face = get.split("_")
    axes = "ply" if name[1:] in ("1", "2", "12") else "laminate"
    kind, component = name[0], _AXIS[name[1:]]
    if kind in "st":
        faces = laminate.ply_stresses(response, delta_t, axes)
    else:
        faces = laminate.ply_strains(response, axes)
    low, high = faces[int(ply[1:]) - 1, :, component]
    return {"bot": low, "top": high, "mid": 0.5 * (low + high)}[face]


def lam_response(get, mat, angles, t, N=(0, 0, 0), M=(0, 0, 0), alphas=(0.0, 0.0), dT=0.0, length=None):
    laminate = stack(mat, angles, t, alphas)
    if get[:2] in ("NT", "MT"):
        held = laminate.free_loads(laminate.expansion * dT)[0 if get[0] == "N" else 1]
        return held[_AXIS[get[2:]]]
    response = laminate.response(N, M, dT)
    if get in ("ex", "ey", "gxy"):
        return response.eps0[("ex", "ey", "gxy").index(get)]
    if get in ("kx", "ky", "kxy"):
        return response.kappa[("kx", "ky", "kxy").index(get)]
    if get in ("Ex", "Ey", "Gxy", "nuxy", "nuyx", "mx", "my"):
        return _constant(laminate.in_plane, get)
    if get.endswith("f") and get[:-1] in ("Ex", "Ey", "Gxy", "nuxy", "nuyx"):
        return _constant(laminate.flexural, get[:-1])
    return _ply_value(laminate, response, dT, get)


CASES = {"ply_Qbar": ply_qbar, "ply_Sbar": ply_sbar, "abd": abd, "lam_response": lam_response}
