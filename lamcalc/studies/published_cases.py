"""Worked cases as printed, held against this package, for the notebooks to show."""

import numpy as np

from lamcalc.mechanics.fibre_content import ply_thickness
from lamcalc.mechanics.lamina import reduced_stiffness, rotated_stiffness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.micromechanics import ply_constants_small_craft

ISO_TABLE_H1 = (  # kind, dry weight [g/m2], glass by mass, printed thickness [mm], printed E t [N/mm]
    ("csm", 300.0, 0.30, 0.701, 4483.0), ("csm", 300.0, 0.30, 0.701, 4483.0), ("woven", 500.0, 0.48, 0.647, 8562.0),
    ("csm", 450.0, 0.30, 1.051, 6725.0), ("woven", 800.0, 0.48, 1.035, 13700.0), ("csm", 450.0, 0.30, 1.051, 6725.0),
    ("woven", 800.0, 0.48, 1.035, 13700.0),
)
ISO_TABLE_H1_TOTAL = (6.219, 58378.0)
KAW_PLY = (181e3, 10.3e3, 0.28, 7.17e3)
KAW_QBAR_60 = (("Q11", 0, 0, 23.65), ("Q12", 0, 1, 32.46), ("Q22", 1, 1, 109.4), ("Q16", 0, 2, 20.05),
               ("Q26", 1, 2, 54.19), ("Q66", 2, 2, 36.74))
KAW_STACK = (("A11", "A", 0, 0, 1.739e6), ("A16", "A", 0, 2, 5.663e4), ("B11", "B", 0, 0, -3.129e6),
             ("B16", "B", 0, 2, -1.072e6), ("D11", "D", 0, 0, 3.343e7), ("D16", "D", 0, 2, -5.240e6))
_BLOCK_UNITS = {"A": "N/mm", "B": "N", "D": "N mm"}


def thickness_case():
    """Seven plies of mat and roving: thickness and stretching stiffness of each ply.

    Returns
    -------
    DataFrame
        Printed and computed values, one row a ply and one for the total [-].

    References
    ----------
    .. [1] ISO 12215-5:2008, Table H.1 as recalculated in the 2009 replacement tables (table seen).

    Examples
    --------
    >>> found = thickness_case()
    >>> bool((found["computed thickness [mm]"] - found["printed thickness [mm]"]).abs().max() < 0.001)
    True
    """
    import pandas as pd

    kind, weight, psi, thickness, stretch = zip(*ISO_TABLE_H1)
    t = ply_thickness(weight, psi)
    et = t * ply_constants_small_craft(kind, psi).e1
    words = [f"{'mat' if k == 'csm' else 'woven roving'} {w:.0f}" for k, w in zip(kind, weight)]
    return pd.DataFrame({
        "ply": [*words, "total"], "glass by mass [-]": [*psi, np.nan],
        "printed thickness [mm]": [*thickness, ISO_TABLE_H1_TOTAL[0]], "computed thickness [mm]": [*t, t.sum()],
        "printed E t [N/mm]": [*stretch, ISO_TABLE_H1_TOTAL[1]], "computed E t [N/mm]": [*et, et.sum()],
    })


def direction_case():
    """A carbon/epoxy ply turned by 60 degrees, and the stack [0/30/-45] of such plies 5 mm thick each.

    Returns
    -------
    DataFrame
        Printed and computed values, one row a stiffness term [-].

    References
    ----------
    .. [1] Kaw, Mechanics of Composite Materials, 2nd ed., 2006, Ex. 2.7 and 4.2 (printed values from memory, unverified).

    Examples
    --------
    >>> found = direction_case()
    >>> bool(((found["computed"] / found["printed"] - 1).abs() < 0.001).all())
    True
    """
    import pandas as pd

    qbar = rotated_stiffness(reduced_stiffness(*KAW_PLY), 60.0) / 1000
    stack = Laminate.from_plies(*KAW_PLY, [0, 30, -45], [5.0, 5.0, 5.0])
    rows = [(f"{name} of one ply at 60 deg", "GPa", printed, float(qbar[i, j])) for name, i, j, printed in KAW_QBAR_60]
    rows += [(f"{name} of [0/30/-45]", _BLOCK_UNITS[block], printed, float(getattr(stack, block)[i, j]))
             for name, block, i, j, printed in KAW_STACK]
    return pd.DataFrame(rows, columns=["term", "unit", "printed", "computed"])
