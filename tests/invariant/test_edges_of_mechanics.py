"""Corners of the mechanics that no printed case reaches: off-centre points, seldom used options, turned plates."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.elasticity import ExactPlate, cross_ply_stiffness, orthotropic_stiffness
from lamcalc.mechanics.laminate import Laminate, Response
from lamcalc.mechanics.plate_navier import NavierPlate
from lamcalc.mechanics.plate_series import centre_load_stress
from lamcalc.mechanics.stiffeners import attached_width
from lamcalc.shop.job import load_demo
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.takeoff_resin import can_of, resin_use

pytestmark = pytest.mark.invariant
PLY = orthotropic_stiffness(25.0, 1.0, 1.2, 0.25, 0.24, 0.3, 0.5, 0.45, 0.2)
TURNED = [1, 0, 2]  # x and y change places


def exact(a, b, angles, terms=9):
    return ExactPlate(a, b, cross_ply_stiffness(PLY, angles), [0.3, 0.4, 0.5]).solve(1e-3, terms=terms)


@pytest.mark.parametrize("z", [-0.6, -0.45, 0.1, 0.33, 0.6])
def test_exact_plate_turned_by_90_degrees(z):
    plate, other = exact(5.0, 7.0, [0, 90, 0]), exact(7.0, 5.0, [90, 0, 90])
    for x, y in [(1.1, 2.3), (4.2, 0.7), (2.5, 3.5)]:
        assert plate.displacement(x, y, z) == pytest.approx(other.displacement(y, x, z)[TURNED], rel=1e-7, abs=1e-12)
        # xx, yy, zz, yz, xz, xy
        swapped = other.stress(y, x, z)[[1, 0, 2, 4, 3, 5]]
        assert plate.stress(x, y, z) == pytest.approx(swapped, rel=1e-6, abs=1e-9)


def test_exact_strains_are_slopes_of_the_displacements():
    # few terms: short waves grow so fast through the plate that their digits do not bear a difference quotient;
    # the shortest wave, pi, changes through the plate up to sqrt(25/0.5) = 7 times as fast: (0.001 * 7 pi)^2/6 = 8e-5
    plate, step, place = exact(5.0, 7.0, [0, 90, 0], terms=3), 1e-3, np.array([1.1, 2.3, 0.33])
    slope = np.array([(plate.displacement(*(place + step * e)) - plate.displacement(*(place - step * e))) / (2 * step)
                      for e in np.eye(3)])
    strain = np.array([slope[0, 0], slope[1, 1], slope[2, 2], slope[1, 2] + slope[2, 1], slope[0, 2] + slope[2, 0],
                       slope[0, 1] + slope[1, 0]])
    stress = cross_ply_stiffness(PLY, [0])[0] @ strain
    assert plate.stress(*place) == pytest.approx(stress, rel=8e-5)


def navier(a, b, swap=False, shear=True):
    terms = np.array([0, 1, 2])[[1, 0, 2] if swap else [0, 1, 2]]
    A = np.array([[9e4, 2e4, 0], [2e4, 6e4, 0], [0, 0, 2.5e4]])[np.ix_(terms, terms)]
    B = np.diag([3e4, -3e4, 0.0])[np.ix_(terms, terms)]
    D = np.array([[1e6, 0.3e6, 0], [0.3e6, 0.7e6, 0], [0, 0, 0.4e6]])[np.ix_(terms, terms)]
    stiffness = np.diag([150.0, 250.0][::-1] if swap else [150.0, 250.0])
    return NavierPlate(a, b, A, B, D, shear=stiffness if shear else None)


@pytest.mark.parametrize("shear", [True, False])
def test_navier_plate_turned_by_90_degrees(shear):
    plate, other = navier(400.0, 600.0, shear=shear), navier(600.0, 400.0, swap=True, shear=shear)
    here, there = plate.solve(0.02, terms=15), other.solve(0.02, terms=15)
    for x, y in [(90.0, 210.0), (310.0, 60.0), (200.0, 300.0)]:
        assert here.deflection(x, y) == pytest.approx(there.deflection(y, x), rel=1e-9)
        assert here.moments(x, y) == pytest.approx(there.moments(y, x)[TURNED], rel=1e-7, abs=1e-7)
        for mine, turned in zip(here.strains(x, y), there.strains(y, x), strict=True):
            assert mine == pytest.approx(turned[TURNED], rel=1e-7, abs=1e-13)
        if shear:
            assert here.shear_strains(x, y) == pytest.approx(there.shear_strains(y, x)[::-1], rel=1e-7, abs=1e-13)
    assert plate.frequencies(8.0, 2, 1, gyration_radius_mm=3.0) == pytest.approx(
        other.frequencies(8.0, 1, 2, gyration_radius_mm=3.0), rel=1e-9)
    assert plate.buckling([-1.0, -0.4], 2, 1) == pytest.approx(other.buckling([-0.4, -1.0], 1, 2), rel=1e-9)


def test_classical_curvatures_are_bends_of_the_deflection():
    plate, x, y, step = navier(400.0, 600.0, shear=False).solve(0.02, terms=9), 90.0, 210.0, 0.5
    w = [[float(plate.deflection(x + i * step, y + j * step)) for j in (-1, 0, 1)] for i in (-1, 0, 1)]
    bends = [-(w[2][1] - 2 * w[1][1] + w[0][1]) / step**2, -(w[1][2] - 2 * w[1][1] + w[1][0]) / step**2,
             -2 * (w[2][2] - w[2][0] - w[0][2] + w[0][0]) / (4 * step**2)]
    assert plate.strains(x, y)[1] == pytest.approx(bends, rel=1e-4)
    assert plate.moments(x, y) == pytest.approx(
        np.diag([3e4, -3e4, 0.0]) @ plate.strains(x, y)[0]
        + np.array([[1e6, 0.3e6, 0], [0.3e6, 0.7e6, 0], [0, 0, 0.4e6]]) @ plate.strains(x, y)[1], rel=1e-9)


def test_ply_strains_in_ply_axes():
    # stretch along x of a ply at 45 degrees: half of it along the fibre, half across, and minus all of it in shear
    wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [45.0, 0.0], [1.0, 2.0])
    response = Response(np.array([1e-3, 0.0, 0.0]), np.array([0.0, 2e-4, 0.0]))
    strains = wall.ply_strains(response, axes="ply")
    # the curvature gives 2e-4 z across: z = -1.5, -0.5, 1.5
    assert strains[1] == pytest.approx(np.array([[1e-3, -1e-4, 0.0], [1e-3, 3e-4, 0.0]]), abs=1e-15)
    assert strains[0, 0] == pytest.approx([0.35e-3, 0.35e-3, -1.3e-3], abs=1e-15)
    assert wall.ply_strains(response)[0, 0] == pytest.approx([1e-3, -3e-4, 0.0], abs=1e-15)
    for method in (wall.ply_strains, wall.ply_stresses):
        with pytest.raises(InputError) as caught:
            method(response, axes="fibre")
        assert str(caught.value) == "axes must be 'laminate' or 'ply' [-]; received 'fibre'. Next: use one of the two."


def test_wide_loaded_circle_shows_its_diameter():
    with pytest.raises(InputError) as caught:
        centre_load_stress(1000.0, 400.0, 10.0, 1.0, 0.3, radius_mm=51.0)
    assert caught.value.value == 102.0
    # a quarter of the short side itself is still small
    assert centre_load_stress(1000.0, 400.0, 10.0, 1.0, 0.3, radius_mm=50.0) > 0


def test_attached_width_by_span_and_spacing():
    assert attached_width("bv_span", thickness_mm=6.0, span_mm=900.0) == pytest.approx(180.0, rel=1e-12)
    assert attached_width("bv_span", thickness_mm=6.0, span_mm=900.0, spacing_mm=150.0) == 150.0
    assert attached_width("iso_frp", thickness_mm=6.0, spacing_mm=150.0) == 120.0
    with pytest.raises(InputError) as caught:
        attached_width("bv_span", thickness_mm=6.0)
    assert str(caught.value) == ("span_mm must be given for this rule [mm]; received nothing. "
                                 "Next: enter the stiffener span.")


def test_resin_that_the_job_does_not_describe():
    job = load_demo()
    shelf = catalogue(job)
    # 1130 kg/m3 in the catalogue; without a data sheet in the job no catalyst can be told
    use = resin_use(job, shelf, "laminate", "ortho_polyester", stays_kg=2.0, to_buy_kg=2.26)
    assert use.to_buy_l == pytest.approx(2.0, rel=1e-12)
    assert (use.use, use.resin, use.stays_kg, use.to_buy_kg) == ("laminate", "ortho_polyester", 2.0, 2.26)
    assert (use.catalyst_ml, use.catalyst_g, use.hardener_kg) == (None, None, None)
    assert can_of(job, "ortho_polyester", shelf) is None and can_of(job, "epoxy", shelf) is None
    empty = resin_use(job, shelf, "laminate", "iso_polyester", stays_kg=0.0, to_buy_kg=0.0)
    assert (empty.catalyst_ml, empty.catalyst_g, empty.hardener_kg) == (0.0, 0.0, None)
