"""Adapters for the failure rows."""

import numpy as np

from lamcalc.mechanics.lamina import stress_to_ply_axes
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.strength import (
    PlyStrengths,
    assess,
    first_ply_failure,
    hashin_indices,
    last_ply_failure,
    stress_usage,
    tsai_wu_terms,
)

_CRITERIA = ("max_stress", "max_strain", "tsai_hill", "tsai_wu", "hashin")
_HASHIN = {"hashin_fibre_t": "fibre_tension", "hashin_fibre_c": "fibre_compression",
           "hashin_matrix_t": "matrix_tension", "hashin_matrix_c": "matrix_compression"}


def strength(get, mat, theta, stress, X, Xc, Y, Yc, S, f12star=-0.5):
    strengths, ply = PlyStrengths(X, Xc, Y, Yc, S), stress_to_ply_axes(stress, theta)
    if get in ("s1", "s2", "t12"):
        return ply[("s1", "s2", "t12").index(get)]
    if get in ("r1", "r2", "r12"):
        return stress_usage(ply, strengths)[("r1", "r2", "r12").index(get)]
    if get in _HASHIN:
        return getattr(hashin_indices(ply, strengths), _HASHIN[get])
    name = get.removesuffix("_index")
    assert name in _CRITERIA, get
    nu12, nu21 = (None, None) if mat is None else (mat[2], mat[2] * mat[1] / mat[0])
    found = assess(ply, strengths, criterion=name, interaction=f12star, nu12=nu12, nu21=nu21)
    return found.index if get.endswith("_index") else found.ratio


def terms(get, X, Xc, Y, Yc, S, f12star=-0.5):
    return getattr(tsai_wu_terms(PlyStrengths(X, Xc, Y, Yc, S), interaction=f12star), get.lower())


def laminate_failure(get, mat, angles, t, N, strengths, criterion="tsai_wu", M=(0, 0, 0), f12star=-0.5):
    stack = Laminate.from_plies(*mat, angles, np.broadcast_to(np.asarray(t, dtype=float), (len(angles),)))
    limits = PlyStrengths(*strengths)
    if get.startswith("lpf"):
        return last_ply_failure(stack, limits, N, M, criterion=criterion, interaction=f12star).last_ratio
    found = first_ply_failure(stack, limits, N, M, criterion=criterion, interaction=f12star)
    return {"fpf": found.ratio, "fpf_ply": found.ply_number, "ply": found.ply_number,
            "ply_index": found.ply_index, "face": found.face_index}[get]


CASES = {"strength": strength, "tsai_wu_terms": terms, "laminate_failure": laminate_failure}
