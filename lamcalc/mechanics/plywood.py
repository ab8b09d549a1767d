"""Plywood as what it is: crossed veneers.

Pure numbers; veneer constants come from the caller.  "Along" is the grain of the
face veneers.  Rolling shear: the `g_rolling` of a veneer (its wood rolls across
the grain) is a layer value; a panel value is the veneers in series and lies
between the two shear moduli of the wood.  The two must not be confused.
"""

from dataclasses import dataclass

import numpy as np

from lamcalc.errors import InputError, fraction, number, positive, whole
from lamcalc.mechanics.sections import Section


@dataclass(frozen=True)
class Veneer:
    """Elastic constants of a veneer.

    Parameters
    ----------
    e_along, e_across : float
        Young's moduli along and across the grain [MPa].
    g_in_plane : float
        Shear modulus in the sheet, along and across the grain [MPa].
    g_along : float
        Transverse shear modulus for bending along the grain [MPa].
    g_rolling : float
        Transverse shear modulus for bending across the grain (rolling shear) [MPa].
    nu : float
        Major Poisson ratio in the sheet [-].

    Raises
    ------
    InputError
        If a modulus is not positive.

    Examples
    --------
    >>> Veneer(9630.0, 525.0, 750.0, 810.0, 185.0, 0.472).g_rolling
    185.0
    """

    e_along: float
    e_across: float
    g_in_plane: float
    g_along: float
    g_rolling: float
    nu: float

    def __post_init__(self):
        for name in ("e_along", "e_across", "g_in_plane", "g_along", "g_rolling"):
            positive(name, getattr(self, name), "MPa")
        number("nu", self.nu)


@dataclass(frozen=True)
class PlywoodPanel:
    """Moduli of a plywood panel from its veneers, along and across the face grain.

    Parameters
    ----------
    thickness_mm : ndarray, shape (veneers,)
        Veneer thickness, face to face [mm].
    angle_deg : ndarray, shape (veneers,)
        Grain of each veneer against the face grain, 0 or 90 [deg].
    e_bending_along, e_bending_across : float
        Moduli of the gross panel in bending [MPa].
    e_membrane_along, e_membrane_across : float
        Moduli of the gross panel in tension and compression [MPa].
    g_along, g_across : float
        Panel transverse shear moduli, veneers in series [MPa].

    Examples
    --------
    >>> okoume = Veneer(9630.0, 525.0, 750.0, 810.0, 185.0, 0.472)
    >>> round(plywood_panel(okoume, plies=5, thickness_mm=9.0).e_bending_along)
    7736
    """

    thickness_mm: np.ndarray
    angle_deg: np.ndarray
    e_bending_along: float
    e_bending_across: float
    e_membrane_along: float
    e_membrane_across: float
    g_along: float
    g_across: float


def veneer_layers(plies, thickness_mm):
    """Thickness and grain of the veneers of a balanced panel.

    Parameters
    ----------
    plies : int
        Number of veneers, odd, 3 or more; equal thickness [-].
    thickness_mm : float or array_like, shape (plies,)
        Panel thickness, or the veneer thicknesses one by one [mm].

    Returns
    -------
    thickness : ndarray, shape (plies,)
        Veneer thickness [mm].
    angle : ndarray, shape (plies,)
        0 for face grain, 90 for cross plies [deg].

    Raises
    ------
    InputError
        If the number is even or below 3, or the thicknesses do not match it.

    Examples
    --------
    >>> veneer_layers(3, 9.0)[1].tolist()
    [0.0, 90.0, 0.0]
    """
    if whole("plies", plies, 3, "count the veneers") % 2 == 0:
        raise InputError("plies", "must be an odd whole number of 3 or more [-]", plies,
                         "count the veneers at the edge")
    t = positive("thickness_mm", thickness_mm, "mm")
    if t.ndim and t.shape != (plies,):
        raise InputError("thickness_mm", f"must be one number or list {plies} veneers [mm]", thickness_mm,
                         "give one thickness a veneer")
    return (t if t.ndim else np.full(int(plies), float(t) / plies)), 90.0 * (np.arange(int(plies)) % 2)


def plywood_panel(veneer, *, plies, thickness_mm):
    """Panel moduli of plywood from its veneers.

    Parameters
    ----------
    veneer : Veneer
        Constants of the wood [-].
    plies : int
        Number of veneers, odd [-].
    thickness_mm : float or array_like, shape (plies,)
        Panel thickness, or the veneer thicknesses one by one [mm].

    Returns
    -------
    PlywoodPanel
        Veneers and moduli [mm, deg, MPa].

    Raises
    ------
    InputError
        If a number is out of range.

    Notes
    -----
    Each direction is a stack of layers with E along or across the grain;
    ``E_b = 12 EI/h^3``, ``E_m = EA/h``, ``1/G = sum(t/G)/h``.  Poisson coupling,
    glue and veneer joints are left out.  Dry, sound wood: a wet transom is
    softer and weaker.

    References
    ----------
    .. [1] Bureau Veritas NR546 (2018), Sec 8 Table 1, for veneer constants (seen second hand).
    .. [2] Layered calculation, common practice.

    Examples
    --------
    >>> okoume = Veneer(9630.0, 525.0, 750.0, 810.0, 185.0, 0.472)
    >>> panel = plywood_panel(okoume, plies=13, thickness_mm=25.0)
    >>> round(panel.g_along), round(panel.g_across)
    (316, 287)
    """
    t, angle = veneer_layers(plies, thickness_mm)
    total = t.sum()
    moduli = []
    for grain in (0.0, 90.0):
        with_grain = angle == grain
        strip = Section.from_layers(np.where(with_grain, veneer.e_along, veneer.e_across), t)
        series = total / (t / np.where(with_grain, veneer.g_along, veneer.g_rolling)).sum()
        moduli.append((12.0 * float(strip.ei) / total**3, float(strip.ea) / total, float(series)))
    (eb0, em0, g0), (eb90, em90, g90) = moduli
    return PlywoodPanel(t, angle, eb0, eb90, em0, em90, g0, g90)


@dataclass(frozen=True)
class ParallelPlySection:
    """Section of the veneers that run with the load, per width of panel.

    Parameters
    ----------
    second_moment_mm3 : float
        Second moment of area per width [mm4/mm].
    section_modulus_mm2 : float
        Section modulus per width at the outermost parallel veneer [mm3/mm].

    Examples
    --------
    >>> ParallelPlySection(48.11, 10.69).section_modulus_mm2
    10.69
    """

    second_moment_mm3: float
    section_modulus_mm2: float


def parallel_ply_section(*, plies, thickness_mm, direction):
    """Section properties of plywood counting only the veneers parallel to the load.

    Parameters
    ----------
    plies : int
        Number of veneers, odd [-].
    thickness_mm : float or array_like, shape (plies,)
        Panel thickness, or the veneer thicknesses one by one [mm].
    direction : {"along", "across"}
        Direction of bending against the face grain [-].

    Returns
    -------
    ParallelPlySection
        Second moment and section modulus per width [mm4/mm, mm3/mm].

    Raises
    ------
    InputError
        If the direction or a number is out of range.

    Notes
    -----
    Cross plies keep the others apart and carry nothing.

    References
    ----------
    .. [1] ABS, Rules for Yachts, 2021, 3-2-3 Table 8 note 2 (seen second hand).

    Examples
    --------
    >>> along = parallel_ply_section(plies=5, thickness_mm=9.0, direction="along")
    >>> round(along.second_moment_mm3, 2), round(along.section_modulus_mm2, 2)
    (48.11, 10.69)
    """
    if direction not in ("along", "across"):
        raise InputError("direction", "must be 'along' or 'across' [-]", direction, "name it against the face grain")
    t, angle = veneer_layers(plies, thickness_mm)
    parallel = angle == (0.0 if direction == "along" else 90.0)
    strip = Section.from_layers(np.where(parallel, 1.0, 0.0), t)
    return ParallelPlySection(float(strip.ei), float(strip.section_modulus_mm3[parallel].min()))


def parallel_ply_moment(*, plies, thickness_mm, direction, rupture_mpa, design_fraction):
    """Allowable moment per width of plywood by the parallel-ply rule.

    Parameters
    ----------
    plies : int
        Number of veneers, odd [-].
    thickness_mm : float or array_like, shape (plies,)
        Panel thickness, or the veneer thicknesses one by one [mm].
    direction : {"along", "across"}
        Direction of bending against the face grain [-].
    rupture_mpa : float
        Modulus of rupture of the species, solid wood [MPa].
    design_fraction : float
        Design stress over modulus of rupture, as the rule says [-].

    Returns
    -------
    float
        Moment per width [N mm/mm].

    Raises
    ------
    InputError
        If a value is out of range.

    Notes
    -----
    ``M = fraction x MOR x Z`` with Z from `parallel_ply_section`.

    References
    ----------
    .. [1] ABS, Rules for Yachts, 2021, 3-2-3 Table 8 note 2 (seen second hand): fraction 0.375.

    Examples
    --------
    >>> round(parallel_ply_moment(plies=5, thickness_mm=9.0, direction="along", rupture_mpa=86.0,
    ...     design_fraction=0.375))
    345
    """
    section = parallel_ply_section(plies=plies, thickness_mm=thickness_mm, direction=direction)
    stress = fraction("design_fraction", design_fraction, one=True) * positive("rupture_mpa", rupture_mpa, "MPa")
    return float(stress * section.section_modulus_mm2)
