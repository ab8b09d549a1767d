"""Stitched pairs taken as whole balanced fabrics: the measure that woven roving is always judged by.

The default strengths of small-craft rules give one line for mat, woven roving
and balanced multiaxial fabric: each is one layer with its two fibre directions.
A weave's crossing yarns crack as the crossing layer of a stitched fabric does,
only nobody counts it.  To compare the two fabrics both must be one layer.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.mechanics.lamina import rotated_stiffness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.strength import PlyStrengths, design_factor, strengths_small_craft
from lamcalc.parts.layer_strength import NAMES, LayerStrengths, schedule_strengths

# a pair counts as balanced when its two layers differ by no more than this share
BALANCED = 0.05


@dataclass(frozen=True, eq=False)
class WholeFabrics:
    """Layers of a schedule with every balanced stitched pair as one layer.

    Parameters
    ----------
    laminate : Laminate
        The layers [-].
    strengths : LayerStrengths
        Their strengths [MPa].
    first, last : ndarray of int, shape (layers,)
        First and last sub-layer of the schedule in each layer [-].
    pairs : int
        How many pairs were put together [-].

    Examples
    --------
    >>> WholeFabrics.__dataclass_params__.frozen
    True
    """

    laminate: Laminate
    strengths: LayerStrengths
    first: np.ndarray
    last: np.ndarray
    pairs: int

    def strain(self, strain):
        """Strains at both faces of the layers from those at both faces of the sub-layers.

        Parameters
        ----------
        strain : ndarray, shape (cases, sublayers, 2, 3)
            Strain at both faces of every sub-layer [-].

        Returns
        -------
        ndarray, shape (cases, layers, 2, 3)
            Outer face of the first and of the last sub-layer [-].
        """
        return np.stack([strain[..., self.first, 0, :], strain[..., self.last, 1, :]], axis=-2)


def _groups(sublayers):
    """Sub-layers that belong together: balanced pairs of one fabric, the others alone."""
    groups, k, count = [], 0, len(sublayers.kind)
    while k < count:
        paired = (
            k + 1 < count
            and all(sublayers.kind[j] == "ud" for j in (k, k + 1))
            and sublayers.row[k] == sublayers.row[k + 1]
            and abs((sublayers.angle_deg[k + 1] - sublayers.angle_deg[k]) % 180 - 90) < 1e-6
            and abs(sublayers.thickness_mm[k + 1] / sublayers.thickness_mm[k] - 1) < BALANCED
        )
        groups.append((k, k + 1) if paired else (k, k))
        k += 2 if paired else 1
    return groups


def whole_fabrics(schedule, *, level="iso_level_c"):
    """A schedule with every balanced stitched pair as one layer of two fibre directions.

    Parameters
    ----------
    schedule : Schedule
        The laminate [-].
    level : str
        Evaluation level of the strengths [-].

    Returns
    -------
    WholeFabrics
        Layers, strengths, and where they lie [-].

    Raises
    ------
    InputError
        As `schedule_strengths`.

    Notes
    -----
    Stiffness of a pair: mean of its two layers by thickness, in the axes of the first.  Strength: the line for
    balanced multiaxial fabric, the same as for woven roving.  Pairs whose fibres do not cross at a right angle or
    whose layers differ by more than 5 % stay as they are.

    References
    ----------
    .. [1] ISO 12215-5:2008, default properties of mat, woven roving, combined and balanced multiaxial laminates;
       the lines reproduce printed values for mat and roving (see `strengths_small_craft`); that they hold for
       multiaxial fabric is from memory.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> from lamcalc.schedule import Ply, Schedule
    >>> shop = catalogue.load()
    >>> cloth = Ply(shop.reinforcement("biax090_1808"), shop.resin("iso_polyester"), shop.process("hand"))
    >>> whole_fabrics(Schedule((cloth,), shop.fibres)).pairs
    1
    """
    wall, known, s = schedule.laminate, schedule_strengths(schedule, level=level), schedule.sublayers
    groups, share = _groups(s), design_factor(level).value
    q, angle, thick, rows, shear = [], [], [], [], []
    for i, j in groups:
        part = slice(i, j + 1)
        t = wall.thickness_mm[part]
        mean = (wall.qbar[part] * t[:, None, None]).sum(axis=0) / t.sum()
        q.append(rotated_stiffness(mean, -wall.angle_deg[i]))
        angle.append(wall.angle_deg[i])
        thick.append(t.sum())
        shear.append(known.interlaminar[part].min())
        if i == j:
            rows.append([float(getattr(known.plies, name)[i]) for name in NAMES])
        else:
            psi = float((s.weight_fraction[part] * t).sum() / t.sum())
            found = strengths_small_craft("multiaxial", psi)
            rows.append([share * float(getattr(found, name)) for name in NAMES])
    plies = PlyStrengths(*np.array(rows).T, model=known.plies.model, status=known.plies.status)
    first, last = np.array(groups).T
    strengths = LayerStrengths(
        plies, np.array(shear), tuple(known.names[i] for i in first), known.unchecked, known.cautions, known.level
    )
    return WholeFabrics(
        Laminate(np.array(q), np.array(angle), np.array(thick), np.zeros((len(groups), 3))),
        strengths,
        first,
        last,
        sum(i != j for i, j in groups),
    )
