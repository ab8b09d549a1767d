"""Old against new: is a repaired panel at least as stiff and as strong as what came out?"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from lamcalc.errors import InputError, positive
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plates import reduced_bending_stiffness
from lamcalc.mechanics.strength import last_ply_failure
from lamcalc.parts.layer_strength import schedule_strengths, unlike_evidence, worst_layers
from lamcalc.parts.panel import PanelResult, assess_panel
from lamcalc.parts.panel_fabrics import whole_fabrics

DIRECTIONS = ("along", "across")


@dataclass(frozen=True, eq=False)
class LaminateFigures:
    """Figures of a laminate that a repair must give back.

    Parameters
    ----------
    thickness_mm : float
        Thickness without coats [mm].
    areal_mass_kg_m2 : float
        Mass with coats [kg/m2].
    bending : tuple of float
        Bending stiffness along and across, 1/d11 and 1/d22 of the reduced D [N mm2/mm].
    stretching : tuple of float
        Stiffness in the plane along and across, held flat [N/mm].
    first_moment : tuple of float
        Bending moment along and across at which the first layer fails, the weaker sign; a balanced stitched
        fabric is one layer, as woven roving is [N mm/mm].
    first_force : tuple of float
        Force in the plane along and across at which the first layer fails, as before, held flat [N/mm].
    crack_moment, crack_force : tuple of float
        The same with every stitched layer alone: first crack in the resin across its fibres [N mm/mm, N/mm].
    unchecked : tuple of str
        Layers without a strength, left out of the last two [-].
    crack_place_moment, crack_place_force : tuple of str
        Layer and mode of the first crack, along and across [-].

    Examples
    --------
    >>> LaminateFigures.__dataclass_params__.frozen
    True
    """

    thickness_mm: float
    areal_mass_kg_m2: float
    bending: tuple
    stretching: tuple
    first_moment: tuple
    first_force: tuple
    crack_moment: tuple
    crack_force: tuple
    unchecked: tuple
    crack_place_moment: tuple = ()
    crack_place_force: tuple = ()


def bending_stiffness(schedule):
    """Bending stiffness of a laminate along and across, free to curl.

    Parameters
    ----------
    schedule : Schedule
        The laminate [-].

    Returns
    -------
    tuple of float
        1/d11 and 1/d22 of the reduced bending stiffness [N mm2/mm].

    References
    ----------
    .. [1] Classical laminate theory (common practice).

    Examples
    --------
    >>> from lamcalc.schedule import Schedule, SolidLayer
    >>> round(bending_stiffness(Schedule((SolidLayer("sheet", 6.0, 10e3),), {}))[0])
    180000
    """
    wall = schedule.laminate
    d = np.linalg.inv(reduced_bending_stiffness(wall.A, wall.B, wall.D))
    return float(1 / d[0, 0]), float(1 / d[1, 1])


def laminate_figures(schedule, *, level="iso_level_c", criterion="max_stress"):
    """Stiffness and first-layer strength of a laminate along and across.

    Parameters
    ----------
    schedule : Schedule
        The laminate [-].
    level : str
        Evaluation level of the strengths [-].
    criterion : str
        How a layer fails [-].

    Returns
    -------
    LaminateFigures
        Figures without any design factor [mm, kg/m2, N].

    Notes
    -----
    Bending with the mid-plane free to strain and free to curl across; force in
    the plane with the wall held flat and free to contract across.  First failure takes a balanced stitched pair as
    one layer with the strength line that the rule has for woven roving and balanced multiaxial fabric alike, see
    `whole_fabrics`; the first crack takes its layers one by one with strengths across the fibre from memory.

    References
    ----------
    .. [1] Classical laminate theory (common practice).

    Examples
    --------
    >>> from lamcalc.schedule import Schedule, SolidLayer
    >>> sheet = SolidLayer("sheet", 6.0, 10e3, strengths_mpa=(100.0, 100.0, 100.0, 100.0, 60.0))
    >>> found = laminate_figures(Schedule((sheet,), {}), level="iso_level_b")
    >>> round(found.bending[0]), round(found.first_moment[0]), round(found.first_force[0])
    (180000, 600, 600)
    """
    wall, known = schedule.laminate, schedule_strengths(schedule, level=level)
    d = np.linalg.inv(reduced_bending_stiffness(wall.A, wall.B, wall.D))
    a = np.linalg.inv(wall.A)
    z = np.stack([wall.z_mm[:-1], wall.z_mm[1:]], axis=-1)
    whole = whole_fabrics(schedule, level=level)
    groups = []
    for k in range(2):
        middle = -np.linalg.solve(wall.A, wall.B @ d[:, k])
        bent, pulled = middle + z[..., None] * d[:, k], np.broadcast_to(a[:, k], (*z.shape, 3))
        groups += [np.stack([strain, -strain]) for strain in (bent, pulled)]
    groups = np.stack(groups)  # bent and pulled along, bent and pulled across
    first = worst_layers(whole.laminate, whole.strengths, whole.strain(groups), criterion=criterion)
    crack = worst_layers(wall, known, groups, criterion=criterion)
    (moment, force), (crack_moment, crack_force), (place_moment, place_force) = (
        (tuple(values[::2]), tuple(values[1::2])) for values in (
            [one.ratio for one in first], [one.ratio for one in crack], [f"{one.layer}, {one.mode}" for one in crack]))
    return LaminateFigures(schedule.structural_thickness_mm, schedule.areal_mass_kg_m2,
                           bending_stiffness(schedule),
                           (float(1 / a[0, 0]), float(1 / a[1, 1])), moment, force, crack_moment, crack_force,
                           known.unchecked, place_moment, place_force)


def last_loads(schedule, *, level="iso_level_c"):
    """Moment and force at which a laminate lets go after its layers have failed one after another.

    Parameters
    ----------
    schedule : Schedule
        The laminate [-].
    level : str
        Evaluation level of the strengths [-].

    Returns
    -------
    dict of str to tuple of float
        'moment' [N mm/mm] and 'force' [N/mm], along and across, the weaker sign.

    Notes
    -----
    `last_ply_failure` with its assumed knock-downs, stitched layers one by one, mat taken out whole; force on the
    laminate and its mirror image together, which is held flat so.  An estimate, never a design load.

    References
    ----------
    .. [1] As `lamcalc.mechanics.progressive`.

    Examples
    --------
    >>> from lamcalc.schedule import Schedule, SolidLayer
    >>> sheet = SolidLayer("sheet", 6.0, 10e3, strengths_mpa=(100.0, 100.0, 100.0, 100.0, 60.0))
    >>> {name: round(both[0]) for name, both in last_loads(Schedule((sheet,), {}), level="iso_level_b").items()}
    {'moment': 600, 'force': 600}
    """
    wall, known = schedule.laminate, schedule_strengths(schedule, level=level)
    mat = schedule.sublayers.kind == "csm"
    mirror = np.r_[np.arange(len(mat)), np.arange(len(mat))[::-1]]
    twin = Laminate(wall.q[mirror], wall.angle_deg[mirror], wall.thickness_mm[mirror], wall.expansion[mirror])
    # push and pull, along and across: four loads at once
    loads = np.array([[1.0, 0, 0], [-1.0, 0, 0], [0, 1.0, 0], [0, -1.0, 0]])
    bent = last_ply_failure(wall, known.plies, M=loads, whole_ply=mat).last_ratio.reshape(2, 2)
    pulled = last_ply_failure(twin, known.plies.each(lambda x: x[mirror]), N=loads, whole_ply=mat[mirror]).last_ratio
    return {"moment": tuple(bent.min(axis=1).tolist()), "force": tuple((pulled.reshape(2, 2).min(axis=1) / 2).tolist())}


@dataclass(frozen=True, eq=False)
class RepairComparison:
    """A new laminate against the original, as laminates and as panels.

    Parameters
    ----------
    original, repair : PanelResult
        Both as the same panel under the same load [-].
    old, new : LaminateFigures
        Both as laminates [-].
    required : float
        Share of the original that the repair has to reach in every figure [-].
    level : str
        Evaluation level of the strengths [-].

    Examples
    --------
    >>> RepairComparison.__dataclass_params__.frozen
    True
    """

    original: PanelResult
    repair: PanelResult
    old: LaminateFigures
    new: LaminateFigures
    required: float = 1.0
    level: str = "iso_level_c"

    @property
    def ratios(self):
        """New over original for stiffness and strength, along and across, a dict; these decide [-]."""
        found = {}
        for name, words in (("bending", "bending stiffness"), ("stretching", "stiffness in the plane"),
                            ("first_moment", "moment at first layer failure"),
                            ("first_force", "force at first layer failure")):
            for way, new, old in zip(DIRECTIONS, getattr(self.new, name), getattr(self.old, name), strict=True):
                found[f"{words}, {way}"] = new / old if np.isfinite(new) and np.isfinite(old) else float("nan")
        return found

    @property
    def crack_ratios(self):
        """First crack across any fibre, new over what fails the original's first layer, a dict; told beside [-]."""
        return {f"{words}, {way}": new / old for name, words in (("moment", "moment at the first crack"),
                                                                 ("force", "force at the first crack"))
                for way, new, old in zip(DIRECTIONS, getattr(self.new, f"crack_{name}"),
                                         getattr(self.old, f"crack_{name}"), strict=True)}

    @cached_property
    def last(self):
        """Last loads of original and repair, two dicts as `last_loads` gives them [N mm/mm, N/mm]."""
        return tuple(last_loads(r.schedule, level=self.level) for r in (self.original, self.repair))

    @property
    def last_ratios(self):
        """Load at which the laminate lets go, new over original, a dict; told beside [-]."""
        old, new = self.last
        return {f"last {name}, {way}": b / a for name in ("moment", "force")
                for way, a, b in zip(DIRECTIONS, old[name], new[name], strict=True)}

    @property
    def crack_sentence(self):
        """What stitched layers do before the laminate fails, in words; empty if nothing cracks early [-]."""
        least = min(self.crack_ratios.values())
        if not least < self.required:
            return ""
        last = min(self.last_ratios.values())
        return (f" Beside this: the resin of a stitched layer cracks across its fibres at {least:.2f} of the load that "
                "fails the first layer of the original (strength across unidirectional fibre from memory, UNVERIFIED). "
                "That is a way in for water and no loss of the fibres; woven roving cracks at its crossing yarns too, "
                f"which nobody counts. The laminate lets go at {last:.2f} of the original's last load or more (assumed "
                "knock-downs).")

    @property
    def shortfalls(self):
        """Figures in which the repair falls short or cannot be compared, in words [-]."""
        return tuple(f"{name} cannot be compared" if np.isnan(ratio) else f"{name} only {ratio:.2f} of the original"
                     for name, ratio in self.ratios.items() if not ratio >= self.required)

    @property
    def equivalent(self):
        """Whether the repair reaches the share asked for in every figure and no layer is left unchecked [-]."""
        return not (self.shortfalls or self.old.unchecked or self.new.unchecked)

    @property
    def sentence(self):
        """The answer in words [-]."""
        thick = self.new.thickness_mm - self.old.thickness_mm
        mass = self.new.areal_mass_kg_m2 - self.old.areal_mass_kg_m2
        unlike = unlike_evidence(self.original.schedule, self.repair.schedule)
        start = (f"{unlike} " if unlike else "") + (
                 f"The new laminate is {thick:+.2f} mm and {mass:+.2f} kg/m2 against the original; the panel moves "
                 f"{self.repair.deflection_mm:.2f} mm against {self.original.deflection_mm:.2f} mm. ")
        left = tuple(dict.fromkeys((*self.old.unchecked, *self.new.unchecked)))
        tail = f" No strength known: {', '.join(left)}." if left else ""
        if self.equivalent:
            return start + (f"It reaches {self.required:g} of the original or more in every stiffness and strength "
                            f"compared.{self.crack_sentence}")
        if not self.shortfalls:
            return start + "Not shown to be equivalent." + tail
        return start + f"Not equivalent: {'; '.join(self.shortfalls)}." + tail + self.crack_sentence

    @property
    def cautions(self):
        """Read them before building [-]."""
        own = ("The comparison is of sound laminates: the old one when new. What the joint at the scarf carries is "
               "another question, see the scarf.",
               "A balanced stitched fabric is compared as one layer, with the strength line that the rule has for it "
               "and for woven roving alike (reproduces printed values for roving; that it holds for multiaxial fabric "
               "is from memory, unverified). The first crack in the resin across its fibres is told beside it.",
               "Where the resin must not crack at all, the first crack decides and not the first layer.",
               "A much stiffer patch draws load to its edge: taper it.")
        unlike = unlike_evidence(self.original.schedule, self.repair.schedule)
        return tuple(dict.fromkeys((*([unlike] if unlike else []), *own, *self.repair.cautions)))

    def table(self):
        """Original, repair and their ratio.

        Returns
        -------
        DataFrame
            One row a figure, unit in its name [-].
        """
        import pandas as pd

        rows = {"thickness without coats [mm]": (self.old.thickness_mm, self.new.thickness_mm),
                "mass [kg/m2]": (self.old.areal_mass_kg_m2, self.new.areal_mass_kg_m2)}
        units = {"bending": ("bending stiffness", "N mm2/mm"), "stretching": ("stiffness in the plane", "N/mm"),
                 "first_moment": ("moment at first layer failure", "N mm/mm"),
                 "first_force": ("force at first layer failure", "N/mm"),
                 "crack_moment": ("moment at the first crack, told beside", "N mm/mm"),
                 "crack_force": ("force at the first crack, told beside", "N/mm")}
        for name, (words, unit) in units.items():
            for way, old, new in zip(DIRECTIONS, getattr(self.old, name), getattr(self.new, name), strict=True):
                rows[f"{words}, {way} [{unit}]"] = (old, new)
        for name, unit in (("moment", "N mm/mm"), ("force", "N/mm")):
            for way, old, new in zip(DIRECTIONS, *(found[name] for found in self.last), strict=True):
                rows[f"last {name}, told beside, {way} [{unit}]"] = (old, new)
        rows["panel deflection [mm]"] = (self.original.deflection_mm, self.repair.deflection_mm)
        if self.original.least and self.repair.least:
            rows["least reserve factor [-]"] = (self.original.least.reserve_factor, self.repair.least.reserve_factor)
        return pd.DataFrame([{"figure": name, "original": old, "repair": new, "repair over original [-]": new / old}
                             for name, (old, new) in rows.items()])


def compare_repair(panel, load, original, repair, *, required=1.0, level="iso_level_c", criterion="max_stress"):
    """Compare a repair laminate with the original on the same panel.

    Parameters
    ----------
    panel : Panel
        Size and edges [mm].
    load : PanelLoad
        What bends it [-].
    original, repair : Schedule
        What came out when it was sound, and what goes in [-].
    required : float
        Share of the original to be reached in every figure [-].
    level : str
        Evaluation level of the strengths, the same for both [-].
    criterion : str
        How a layer fails [-].

    Returns
    -------
    RepairComparison
        Ratios, sentence, table and cautions [-].

    Raises
    ------
    InputError
        If both are the same object, or a value is out of range.

    Notes
    -----
    Equivalent means that each stiffness and each strength of the laminate, along and across, reaches the
    original; it does not mean that either is enough for the load: see the margins of both panels.

    References
    ----------
    .. [1] Common practice.
    """
    positive("required share", required)
    if original is repair:
        raise InputError("repair", "must be another schedule than the original [-]", repair.name,
                         "choose the new laminate")
    results = [assess_panel(panel, load, s, level=level, criterion=criterion) for s in (original, repair)]
    figures = [laminate_figures(s, level=level, criterion=criterion) for s in (original, repair)]
    return RepairComparison(*results, *figures, float(required), level)
