"""What-if questions on fabrics and stacks: glass content, directions, swapped fabrics, one ply laid wrong."""

from dataclasses import dataclass, replace

import numpy as np

from lamcalc.errors import InputError, angle, number, positive
from lamcalc.mechanics import fibre_content, mixture_rules
from lamcalc.mechanics.lamina import rotated_compliance
from lamcalc.mechanics.laminate import Laminate
from lamcalc.schedule import Ply, fabric_constants


@dataclass(frozen=True)
class FabricSheet:
    """One cured layer of fabric at some glass contents.

    Parameters
    ----------
    weight_fraction : ndarray, shape (...)
        Fibre weight fraction [-].
    thickness_mm : ndarray, shape (...)
        Cured thickness [mm].
    resin_gsm : ndarray, shape (...)
        Resin in the laminate, not the amount to buy [g/m2].
    mass_gsm : ndarray, shape (...)
        Fibre and resin [g/m2].

    Examples
    --------
    >>> fabric_sheet(450.0, 0.30).resin_gsm.round(6)
    np.float64(1050.0)
    """

    weight_fraction: np.ndarray
    thickness_mm: np.ndarray
    resin_gsm: np.ndarray
    mass_gsm: np.ndarray


def fabric_sheet(areal_weight_gsm, weight_fraction, *, fibre_density_kg_m3=2560.0, resin_density_kg_m3=1200.0,
                 void_fraction=0.0):
    """Thickness, resin and mass of a fabric over glass content.

    Parameters
    ----------
    areal_weight_gsm : array_like, shape (...)
        Dry fabric [g/m2].
    weight_fraction : array_like, shape (...)
        Fibre weight fraction [-].
    fibre_density_kg_m3, resin_density_kg_m3 : array_like, shape (...)
        Densities of fibre and cured resin [kg/m3].
    void_fraction : array_like, shape (...)
        Voids by volume [-].

    Returns
    -------
    FabricSheet
        The cured layer at each glass content [-].

    Raises
    ------
    InputError
        If a weight is negative, a fraction is outside 0 to 1 or a density is not positive.

    Notes
    -----
    See `fibre_content.ply_thickness` and `fibre_content.resin_areal_weight`.

    Examples
    --------
    >>> fabric_sheet(450.0, [0.25, 0.30, 0.35]).thickness_mm.round(2).tolist()
    [1.3, 1.05, 0.87]
    """
    thickness = fibre_content.ply_thickness(
        areal_weight_gsm, weight_fraction, fibre_density_kg_m3=fibre_density_kg_m3,
        resin_density_kg_m3=resin_density_kg_m3, void_fraction=void_fraction)
    resin = fibre_content.resin_areal_weight(areal_weight_gsm, weight_fraction)
    return FabricSheet(np.asarray(weight_fraction, dtype=float), thickness, resin, resin + np.asarray(areal_weight_gsm, float))


def usual_glass_range(reinforcement, process):
    """Usual range of glass content of a fabric as a whole.

    Parameters
    ----------
    reinforcement : Reinforcement
        Fabric from the catalogue [-].
    process : Process
        How it is laid, from the catalogue [-].

    Returns
    -------
    tuple of (float, float)
        Low and high weight fraction, from the catalogue's ends for each component [-].

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> [round(end, 2) for end in usual_glass_range(shop.reinforcement("biax45_1708"), shop.process("hand"))]
    [0.35, 0.47]
    """
    weight = [layer.areal_weight_gsm for layer in reinforcement.components]
    ends = zip(*(process.glass_fraction(layer).bounds for layer in reinforcement.components))
    return tuple(float(fibre_content.combined_weight_fraction(weight, end)) for end in ends)


@dataclass(frozen=True)
class DirectionalStiffness:
    """Stiffness of laminates over the direction in the sheet.

    Parameters
    ----------
    direction_deg : ndarray, shape (directions,)
        Direction from x towards y [deg].
    stretch : ndarray, shape (..., directions)
        Young's modulus when pulled in the direction [MPa].
    shear : ndarray, shape (..., directions)
        Shear modulus in axes turned to the direction [MPa].
    bend : ndarray, shape (..., directions)
        Apparent modulus when bent along the direction [MPa].

    Examples
    --------
    >>> sheet = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0])
    >>> directional_stiffness(sheet, [0.0, 30.0]).stretch.round(0).tolist()
    [10000.0, 10000.0]
    """

    direction_deg: np.ndarray
    stretch: np.ndarray
    shear: np.ndarray
    bend: np.ndarray


def directional_stiffness(laminate, direction_deg):
    """Stiffness of a stack in any direction of the sheet.

    Parameters
    ----------
    laminate : Laminate
        One stack or a batch of stacks [-].
    direction_deg : array_like, shape (directions,)
        Directions from x towards y [deg].

    Returns
    -------
    DirectionalStiffness
        Moduli over the directions [MPa].

    Raises
    ------
    InputError
        If a direction is not finite or looks like radians.

    Notes
    -----
    The blocks a and d of the full inverse, so with coupling, are turned into the direction:
    ``E = 1/(h a11')``, ``G = 1/(h a66')``, ``E_bend = 12/(h^3 d11')``.

    References
    ----------
    .. [1] Kaw, Mechanics of Composite Materials, 2nd ed., 2006, sec. 2.7 and 4.4 (from memory).

    Examples
    --------
    >>> cloth = Laminate.from_plies(25e3, 7e3, 0.3, 2.5e3, [0.0, 90.0, 90.0, 0.0], [0.4] * 4)
    >>> found = directional_stiffness(cloth, [0.0, 45.0, 90.0])
    >>> bool(found.stretch[0] > 1.5 * found.stretch[1])
    True
    """
    turn = np.atleast_1d(angle("direction", direction_deg))
    a, _, d = laminate.compliance
    h = np.asarray(laminate.total_thickness_mm)[..., None]
    a_turned = rotated_compliance(a[..., None, :, :], -turn)
    d_turned = rotated_compliance(d[..., None, :, :], -turn)
    return DirectionalStiffness(turn, 1 / (h * a_turned[..., 0, 0]), 1 / (h * a_turned[..., 2, 2]),
                                12 / (h**3 * d_turned[..., 0, 0]))


@dataclass(frozen=True)
class Coupling:
    """How strongly a stack mixes stretching, shearing, bending and twisting; 0 is not at all, 1 the limit.

    Parameters
    ----------
    stretch_bend : ndarray, shape (...)
        Largest ``|B_ij| / sqrt(A_ii D_jj)`` [-].
    stretch_shear : ndarray, shape (...)
        Largest of ``|A16| / sqrt(A11 A66)`` and ``|A26| / sqrt(A22 A66)`` [-].
    bend_twist : ndarray, shape (...)
        The same of D [-].

    Examples
    --------
    >>> float(coupling(Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0])).bend_twist)
    0.0
    """

    stretch_bend: np.ndarray
    stretch_shear: np.ndarray
    bend_twist: np.ndarray


def coupling(laminate):
    """Coupling terms of a stack as shares of their limit.

    Parameters
    ----------
    laminate : Laminate
        One stack or a batch of stacks [-].

    Returns
    -------
    Coupling
        Shares from 0 to below 1 [-].

    Notes
    -----
    A stack that takes energy to deform keeps every such ratio below 1.

    References
    ----------
    .. [1] Positive definiteness of the A-B-D matrix; the measure is our own.

    Examples
    --------
    >>> wall = Laminate.from_plies(25e3, 7e3, 0.3, 2.5e3, [45.0, -45.0], [0.35, 0.35])
    >>> found = coupling(wall)
    >>> float(found.stretch_shear.round(12)), bool(found.stretch_bend > 0.1)
    (0.0, True)
    """
    diagonal_a = np.diagonal(laminate.A, axis1=-2, axis2=-1)
    diagonal_d = np.diagonal(laminate.D, axis1=-2, axis2=-1)
    mixed = np.abs(laminate.B) / np.sqrt(diagonal_a[..., :, None] * diagonal_d[..., None, :])
    return Coupling(mixed.max(axis=(-2, -1)), _shear_share(laminate.A, diagonal_a), _shear_share(laminate.D, diagonal_d))


def _shear_share(block, diagonal):
    return np.max(np.abs(block[..., :2, 2]) / np.sqrt(diagonal[..., :2] * diagonal[..., 2:]), axis=-1)


def cooling_bow(laminate, temperature_drop_k, length_mm):
    """Bow of a free strip of an unsymmetric stack after cooling, from heat shrinkage alone.

    Parameters
    ----------
    laminate : Laminate
        One stack or a batch of stacks [-].
    temperature_drop_k : float
        Fall of temperature, the same in all plies [K].
    length_mm : float
        Length along x over which the bow is measured [mm].

    Returns
    -------
    ndarray, shape (...)
        Bow at mid-length; positive: the middle stands out away from the mould [mm].

    Raises
    ------
    InputError
        If a value is not finite or the length is not positive.

    Notes
    -----
    ``bow = kappa_x L^2 / 8``; shrinkage of the resin during cure comes on top.

    Examples
    --------
    >>> sheet = Laminate.from_plies(10e3, 10e3, 0.3, 3846.2, [0.0], [5.0], alpha1=3e-5, alpha2=3e-5)
    >>> float(abs(cooling_bow(sheet, 40.0, 1000.0)).round(9))
    0.0
    """
    drop = number("temperature drop", temperature_drop_k, "K")
    return laminate.response(delta_t=-drop).kappa[..., 0] * positive("length", length_mm, "mm") ** 2 / 8


def _row(schedule, row):
    if isinstance(row, bool) or not isinstance(row, (int, np.integer)) or not 0 <= row < len(schedule.laid):
        raise InputError("ply", f"must be a row of the ply table, 0 to {len(schedule.laid) - 1} [-]", row,
                         "count from the mould side, starting at 0")
    if not isinstance(schedule.laid[row], Ply):
        raise InputError("ply", "must be a fabric [-]", row, "choose a row of mat or cloth")
    return schedule.laid[row]


def with_row_turned(schedule, row, turn_deg):
    """Stacks with one ply laid at a wrong angle.

    Parameters
    ----------
    schedule : Schedule
        The stack as drawn [-].
    row : int
        Row of the ply table, counted from 0 at the mould [-].
    turn_deg : array_like, shape (...)
        Error of the ply's angle, from x towards y [deg].

    Returns
    -------
    Laminate
        Batch of stacks of shape (...), one for each error [-].

    Raises
    ------
    InputError
        If the row is not a fabric ply, or an angle is not finite or looks like radians.

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> skin = job.schedule(job.load_demo(), "transom_inner_skin")
    >>> with_row_turned(skin, 1, [0.0, 10.0, 45.0]).A.shape
    (3, 3, 3)
    """
    _row(schedule, row)
    s = schedule.sublayers
    turned = s.angle_deg + angle("turn", turn_deg)[..., None] * (s.row == row)
    thickness = np.broadcast_to(s.thickness_mm, turned.shape)
    return Laminate.from_plies(s.e1, s.e2, s.nu12, s.g12, turned, thickness, alpha1=s.alpha1, alpha2=s.alpha2)


def with_ply(schedule, row, **changes):
    """The schedule with one ply changed: another fabric, angle or mat side; what was measured on a fabric goes with it.

    Parameters
    ----------
    schedule : Schedule
        The stack as drawn [-].
    row : int
        Row of the ply table, counted from 0 at the mould [-].
    **changes : object
        Fields of `Ply` to change, such as ``reinforcement`` or ``mat_side`` [-].

    Returns
    -------
    Schedule
        New schedule [-].

    Raises
    ------
    InputError
        If the row is not a fabric ply or a change breaks a rule.

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> skin = job.schedule(job.load_demo(), "transom_inner_skin")
    >>> with_ply(skin, 1, mat_side="up").laid[1].mat_side
    'up'
    """
    _row(schedule, row)
    layers = [replace(layer, count=1) if isinstance(layer, Ply) else layer for layer in schedule.laid]
    if changes.get("reinforcement", layers[row].reinforcement) != layers[row].reinforcement:
        changes = {"glass_fraction": None, "thickness_mm": None, "tested": None, **changes}
    layers[row] = replace(layers[row], **changes)
    return schedule.with_layers(layers)


def with_whole_fraction(schedule, glass_fraction):
    """The schedule with one glass content for every mat-backed fabric as a whole, instead of one for each component.

    Parameters
    ----------
    schedule : Schedule
        The stack as drawn [-].
    glass_fraction : float
        Fibre weight fraction of mat and stitched layers together [-].

    Returns
    -------
    Schedule
        New schedule [-].

    Raises
    ------
    InputError
        If the fraction is outside 0 to 1.

    Examples
    --------
    >>> from lamcalc.shop import job
    >>> skin = job.schedule(job.load_demo(), "transom_inner_skin")
    >>> round(with_whole_fraction(skin, 0.43).total_thickness_mm, 2)
    5.41
    """
    return schedule.with_layers([
        replace(layer, glass_fraction=glass_fraction, thickness_mm=None)
        if isinstance(layer, Ply) and layer.reinforcement.has_mat else layer for layer in schedule.layers])


@dataclass(frozen=True)
class MatModels:
    """Young's modulus of random mat by four models.

    Parameters
    ----------
    weight_fraction : ndarray, shape (...)
        Fibre weight fraction [-].
    oriented_average : ndarray, shape (...)
        Raw micromechanics: average of a unidirectional over all directions [MPa].
    krenchel : ndarray, shape (...)
        Krenchel's 3/8 of the fibre, no efficiency [MPa].
    micromechanics : ndarray, shape (...)
        Property model (a): Krenchel's with the calibrated efficiency [MPa].
    small_craft : ndarray, shape (...)
        Property model (b): small-craft regression [MPa].
    """

    weight_fraction: np.ndarray
    oriented_average: np.ndarray
    krenchel: np.ndarray
    micromechanics: np.ndarray
    small_craft: np.ndarray


def mat_models(fibre, resin, weight_fraction):
    """Modulus of random mat over glass content by every model at hand.

    Parameters
    ----------
    fibre : Fibre
        Fibre record; the small-craft line takes E-glass only [-].
    resin : Resin
        Resin record [-].
    weight_fraction : array_like, shape (...)
        Fibre weight fraction [-].

    Returns
    -------
    MatModels
        Moduli [MPa].

    Raises
    ------
    InputError
        If a fraction is out of range or the fibre is not E-glass.

    Notes
    -----
    See `mixture_rules.random_mat_constants`, `mixture_rules.krenchel`, `mixture_rules.mat_modulus` and
    `micromechanics.ply_constants_small_craft`.

    Examples
    --------
    >>> from lamcalc.materials import catalogue
    >>> shop = catalogue.load()
    >>> found = mat_models(shop.fibre("e_glass"), shop.resin("iso_polyester"), 0.30)
    >>> bool(found.oriented_average > found.krenchel > found.micromechanics)
    True
    """
    psi = np.asarray(weight_fraction, dtype=float)
    volume = fibre_content.fibre_volume_fraction(
        psi, fibre_density_kg_m3=float(fibre.density_kg_m3), resin_density_kg_m3=float(resin.density_kg_m3))
    one_way = fabric_constants("ud", psi, fibre, resin)
    return MatModels(psi, mixture_rules.random_mat_constants(one_way["e1"], one_way["e2"])[0],
                     mixture_rules.krenchel(float(fibre.e1), float(resin.require("e")), volume, 3 / 8),
                     fabric_constants("csm", psi, fibre, resin)["e1"],
                     fabric_constants("csm", psi, fibre, resin, model="small_craft")["e1"])
