"""Strength against printed values: the worked laminate of a small-craft rule, and failure of single plies."""

import numpy as np
import pytest

from lamcalc.mechanics.fibre_content import ply_thickness
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.strength import (
    Margin,
    PlyStrengths,
    assess,
    design_factor,
    first_ply_failure,
    interlaminar_check,
    last_ply_failure,
    strengths_small_craft,
)

pytestmark = pytest.mark.published

# ISO 12215-5:2008, Table H.1 (worked laminate), as quoted in public copies: mat and roving, kg/m2 of glass
KINDS = ["csm", "csm", "woven", "csm", "woven", "csm", "woven"]
AREAL_GSM = np.array([300.0, 300, 500, 450, 800, 450, 800])
PSI = np.where(np.array(KINDS) == "csm", 0.30, 0.48)
MODULUS = np.where(np.array(KINDS) == "csm", 6400.0, 13240.0)
MOMENT, SHEAR = 347.0, 5.2  # printed design moment [N mm/mm] and shear force [N/mm] of the example


def worked_laminate():
    """The rule adds plies as bars side by side: no Poisson effect."""
    return Laminate.from_plies(MODULUS, MODULUS, 0.0, 3000.0, np.zeros(7), ply_thickness(AREAL_GSM, PSI))


@pytest.mark.parametrize("ply, printed", [(1, 1.04), (2, 1.31), (3, 1.85)])
def test_compliance_factors_of_the_worked_laminate(ply, printed):
    # outer skin in tension: the wall bends away from the load
    found = first_ply_failure(worked_laminate(), strengths_small_craft(KINDS, PSI), M=(-MOMENT, 0, 0),
                              criterion="max_stress")
    ratio = found.ply_ratio[ply - 1]
    check = Margin(f"ply {ply}", 1.0, ratio, design_factor("iso_ply"), "-")
    # half a unit of the last digit, and half a unit of the printed moment
    assert abs(check.reserve_factor - printed) < 0.005 + printed * 0.5 / MOMENT
    assert found.table()["mode"][2 * (ply - 1)] == "fibre tension"


def test_section_moduli_of_the_worked_laminate():
    # printed SM of every ply [mm3/mm]: ultimate strength x SM = moment at failure
    limits = strengths_small_craft(KINDS, PSI)
    found = first_ply_failure(worked_laminate(), limits, M=(-1.0, 0, 0), criterion="max_stress")
    ultimate = np.where(np.arange(7) < 4, limits.xt, limits.xc)
    np.testing.assert_allclose(found.ply_ratio / ultimate, [8.47, 10.69, 6.99, 21.49, 18.38, 15.87, 4.88], atol=0.005)
    # the last roving in compression governs, closely before the first mat in tension
    assert (found.ply_number, found.face, found.mode) == (7, "high z", "fibre compression")


@pytest.mark.parametrize("seam, moment, stress, ratio", [(1, 13584.0, 0.4, 22.4), (2, 24027.0, 0.7, 12.7)])
def test_interlaminar_shear_of_the_worked_laminate(seam, moment, stress, ratio):
    # the table takes the strength of the ply nearer the mould; 22.5 - 17.5 psi
    nearer = (22.5 - 17.5 * PSI)[:-1]
    check = interlaminar_check(worked_laminate(), 22.5 - 17.5 * PSI, SHEAR, interface_strength=nearer)
    np.testing.assert_allclose(np.abs(check.first_moment_n[seam - 1]), moment, rtol=4e-5)
    assert abs(check.interface_stress[seam - 1] - stress) < 0.05
    usable = design_factor("iso_interlaminar").value * check.interface_ratio[seam - 1]
    # half a unit of the last digit, and half a unit of the printed shear force 5.2
    assert abs(usable - ratio) < 0.05 + ratio * 0.05 / SHEAR


def test_weaker_ply_counts_at_an_interface_unless_told_otherwise():
    # mat against roving: 14.1 MPa of the roving instead of 17.25 MPa of the mat, the cautious reading
    strength = 22.5 - 17.5 * PSI
    check = interlaminar_check(worked_laminate(), strength, SHEAR)
    np.testing.assert_allclose(check.interface_strength[1], 14.1, rtol=1e-12)


@pytest.mark.parametrize("psi, kind, name, printed", [
    (0.30, "csm", "xt", 85), (0.48, "woven", "xt", 183), (0.30, "csm", "xc", 117), (0.48, "woven", "xc", 144)])
def test_default_strengths_of_the_worked_laminate(psi, kind, name, printed):
    # ISO 12215-5:2008, Table H.1
    assert abs(getattr(strengths_small_craft(kind, psi), name) - printed) < 0.5


@pytest.mark.parametrize("name, printed", [("xt", 53.6), ("xc", 87.6), ("s", 46.4)])
def test_level_c_strengths_of_a_published_motor_boat(name, printed):
    # published 4.5 m motor-boat example to ISO 12215-5:2008 (2014), Table 3: glass 0.25, level C
    strengths = strengths_small_craft("csm", 0.25).scaled(design_factor("iso_level_c").value)
    assert abs(getattr(strengths, name) - printed) < 0.05


GRAPHITE = PlyStrengths(1500.0, 1500.0, 40.0, 246.0, 68.0)
# Kaw, Mechanics of Composite Materials, 2nd ed., 2006, ch. 2: 60 degree graphite/epoxy ply, sx = 2S, sy = -3S,
# txy = 4S; ply stresses 1.714 S, -2.714 S, -4.165 S and the results (from memory, unverified)
PLY_STRESS = np.array([1.714, -2.714, -4.165])


@pytest.mark.parametrize("criterion, printed", [("max_stress", 16.33), ("tsai_hill", 16.06), ("tsai_wu", 22.39)])
def test_sixty_degree_ply_from_memory(criterion, printed):
    assert abs(assess(PLY_STRESS, GRAPHITE, criterion=criterion).ratio - printed) < 0.02


def test_cross_ply_by_hand():
    """0/90/90/0 under Nx without Poisson effect: strains by hand, weft cracks first, then the fibres part."""
    wall = Laminate.from_plies(40e3, 10e3, 0.0, 4e3, [0.0, 90.0, 90.0, 0.0], np.full(4, 0.5))
    out = last_ply_failure(wall, PlyStrengths(800.0, 500.0, 40.0, 120.0, 60.0), N=(1.0, 0, 0))
    # Ex = (40 + 10)/2 GPa and 2 mm: cracks at 40 MPa in the weft, 0.004 strain; then (40 + 1)/2 GPa to 0.02 strain
    np.testing.assert_allclose([step.ratio for step in out.history], [0.004 * 25e3 * 2, 0.02 * 20.5e3 * 2], rtol=1e-12)
    assert [step.ply_numbers for step in out.history] == [(2, 3), (1, 4)]
    assert [step.modes[0] for step in out.history] == ["transverse tension", "fibre tension"]
    np.testing.assert_allclose(out.history[0].stiffness_share, 20.5 / 25, rtol=1e-12)


def test_plies_of_unequal_strength_crack_one_after_the_other_by_hand():
    wall = Laminate.from_plies(40e3, 10e3, 0.0, 4e3, [0.0, 90.0, 90.0, 0.0], np.full(4, 0.5))
    limits = PlyStrengths(800.0, 500.0, [99.0, 40.0, 44.0, 99.0], 120.0, 60.0)
    free = last_ply_failure(wall, limits, N=(1.0, 0, 0))
    # the first crack leaves the stack uneven: it bends, so only its own load is known by hand
    assert [step.ply_numbers for step in free.history][:2] == [(2,), (3,)]
    np.testing.assert_allclose(free.first_ratio, 0.004 * 25e3 * 2, rtol=1e-12)
