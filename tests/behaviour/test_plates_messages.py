"""Plates: what the user is told."""

import math

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.elasticity import ExactPlate, cross_ply_stiffness, orthotropic_stiffness
from lamcalc.mechanics.plate_batch import panel_response
from lamcalc.mechanics.plate_navier import NavierPlate, load_waves
from lamcalc.mechanics.plate_series import centre_load_stress, plate_rigidity, simply_supported_uniform
from lamcalc.mechanics.plates import Patch, Plate

pytestmark = pytest.mark.behaviour
D = 1e6 * np.array([[1.0, 0.3, 0.0], [0.3, 1.0, 0.0], [0.0, 0.0, 0.35]])
PLATE = Plate(500.0, 300.0, D)
SOLVED = PLATE.solve(pressure=0.01)
PLY = orthotropic_stiffness(25e3, 1e3, 1e3, 0.25, 0.25, 0.25, 500.0, 500.0, 200.0)
ZERO, A = np.zeros((3, 3)), 1e5 * np.eye(3)


@pytest.mark.parametrize("call, words", [
    (lambda: Plate(0, 300, D), "plate side a must be greater than 0 [mm]"),
    (lambda: Plate(500, math.nan, D), "plate side b must be a finite number [mm]"),
    (lambda: Plate(500, 300, np.eye(2)), "bending stiffness D must be a 3 x 3 matrix [N mm]"),
    (lambda: Plate(500, 300, D + np.triu(np.full((3, 3), 1e5), 1)), "bending stiffness D must be symmetric [N mm]"),
    (lambda: Plate(500, 300, D - 1.1e6 * np.eye(3)), "bending stiffness D must be positive definite [N mm]"),
    (lambda: Plate(500, 300, D, edges="CCC"),
     "edges must be four letters C (clamped), S (simply supported) or F (free)"),
    (lambda: Plate(500, 300, D, edges="CCCX"), 'in the order x = 0, x = a, y = 0, y = b; received \'CCCX\''),
    (lambda: Plate(500, 300, D, shear=-5.0), "shear stiffness must be positive definite [N/mm]"),
    (lambda: Plate(500, 300, D, shear=[[1, 0, 0]]), "shear stiffness must be a 2 x 2 matrix [N/mm]"),
    (lambda: Plate(500, 300, D, order=25), "order must be a whole number from 6 to 24 [functions a direction]"),
    (lambda: Plate(500, 300, D, order=15, shear=9.0), "order must be a whole number from 6 to 14"),
    (lambda: Plate([500, 400], [1, 2, 3], D), "plate sides and stiffnesses must have batch shapes that fit together"),
    (lambda: Plate(500, 300, D, edges="SFFF").solve(pressure=1), "edges must hold the plate: at least one clamped"),
    (lambda: Plate(500, 300, D, edges="FFFF").buckling((-1, 0, 0)), "edges must hold the plate"),
    (lambda: PLATE.solve(pressure="much"), "pressure must be a number [MPa]"),
    (lambda: PLATE.solve(patches=[Patch(100, 480, 150, 60, 40)]),
     "patch load, extent along x must lie on the plate, 0 to 500 [mm]; received [450.0, 510.0]"),
    (lambda: PLATE.solve(patches=[Patch(100, 250, 5, 60, 40)]), "patch load, extent along y must lie on the plate"),
    (lambda: Patch(100, 250, 150, 0, 40), "patch width_x_mm must be greater than 0 [mm]"),
    (lambda: Plate([500, 400], 300, D).solve(patches=[Patch(100, 200, 150, 60, 40)]),
     "patch load must lie at the same place, in parts of the sides, on all plates of a batch"),
    (lambda: PLATE.buckling((0, 0, 0)), "in-plane load N must be Nx, Ny, Nxy [N/mm], not all zero"),
    (lambda: PLATE.buckling((-1, 0)), "in-plane load N must be Nx, Ny, Nxy [N/mm]"),
    (lambda: PLATE.frequencies(0.0), "mass per area must be greater than 0 [kg/m2]"),
    (lambda: PLATE.frequencies(8.0, count=500), "number of modes must be a whole number from 1 to"),
    (lambda: SOLVED.deflection(501.0, 10.0), "point x must lie on the plate, 0 to 500 [mm]"),
    (lambda: SOLVED.moments(10.0, -1.0), "point y must lie on the plate, 0 to 300 [mm]"),
    (lambda: SOLVED.peaks(2), "points of the grid must be a whole number, 3 or more"),
    (lambda: panel_response([1, 2], [1, 2, 3], D, 0.01), "panels must have batch shapes that fit together"),
    (lambda: panel_response([500, -2], 300, D, 0.01), "plate side a must be greater than 0 [mm]"),
    (lambda: simply_supported_uniform(0.5, 0.3), "side ratio must be long side over short side, 1 or more"),
    (lambda: plate_rigidity(1e4, 0.6, 3), "Poisson ratio must lie above -1 and not above 0.5"),
    (lambda: centre_load_stress(1, 100, 3, 1, 0.3, radius_mm=20), "loaded circle must be small"),
    (lambda: NavierPlate(500, 300, A, ZERO, D, kind="mixed"), 'kind of stack must be "cross" or "angle"'),
    (lambda: NavierPlate(500, 300, A, ZERO, D + 1e5), 'laminate stiffness must be of the kind "cross"'),
    (lambda: NavierPlate(500, 300, A, ZERO, D, shear=np.full((2, 2), 5.0)), "shear stiffness must have A45 = 0"),
    (lambda: load_waves("point", 5, cylindrical=False), 'load must be "uniform" or "sine"'),
    (lambda: cross_ply_stiffness(PLY, [0, 45]), "angle_deg must be 0 or 90 for the exact solution [deg]"),
    (lambda: orthotropic_stiffness(1, 1, 1, 0.9, 0.9, 0.9, 1, 1, 1),
     "Poisson ratios must leave the stiffness positive"),
    (lambda: ExactPlate(10, 10, PLY[None], [1.0, 2.0]), "stiffness must hold one 6 x 6 matrix a ply"),
    (lambda: ExactPlate(10, 10, PLY[None] + 1.0, [1.0]), "stiffness must not couple direct stress with shear"),
    (lambda: ExactPlate(10, 10, PLY[None], [1.0]).solve(1.0).stress(5, 5, 0.6), "height z must lie within the plate"),
])
def test_messages(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value)
    assert "Next: " in str(caught.value)


def test_the_solution_states_its_error():
    text = str(SOLVED.error)
    assert text.startswith("estimated error: deflection") and "Mxy" in text and "(orders 10 and 8)" in text


def test_a_plate_is_not_changed_by_solving():
    before = PLATE.D.copy(), PLATE.a_mm, PLATE.order
    PLATE.solve(pressure=0.02, patches=[Patch(100, 250, 150, 60, 40)])
    assert (PLATE.D == before[0]).all() and (PLATE.a_mm, PLATE.order) == before[1:]
    with pytest.raises(AttributeError):
        PLATE.order = 12


def test_letters_may_be_small():
    assert Plate(500, 300, D, edges="cscs").edges == "CSCS"
