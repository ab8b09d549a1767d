"""A ratio is the factor on the load that just fails the ply, also beside stress that does not grow with the load."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics import strength
from lamcalc.mechanics.beams import Support, UniformLoad, beam_response
from lamcalc.mechanics.criteria import CRITERIA, assess
from lamcalc.mechanics.elasticity import orthotropic_stiffness
from lamcalc.mechanics.failure import first_ply_failure
from lamcalc.mechanics.lamina import reduced_stiffness
from lamcalc.mechanics.laminate import Laminate, stiffness_matrices
from lamcalc.mechanics.ply_strengths import PlyStrengths
from lamcalc.mechanics.plywood import veneer_layers
from lamcalc.mechanics.progressive import last_ply_failure
from lamcalc.mechanics.sandwich_plate import sandwich_plate

pytestmark = pytest.mark.invariant
GLASS = PlyStrengths(1062.0, 610.0, 31.0, 118.0, 72.0)
STRESSES = [(100.0, 5.0, 10.0), (-80.0, -30.0, 12.0), (40.0, -25.0, -20.0), (-60.0, 8.0, 3.0)]
RESIDUAL = np.array([-20.0, 9.0, 4.0])
POISSON = {"nu12": 0.26, "nu21": 0.26 * 8270 / 38600}


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("stress", STRESSES)
def test_at_its_ratio_a_ply_just_fails(criterion, stress):
    extra = POISSON if criterion == "max_strain" else {}
    ratio = assess(stress, GLASS, criterion=criterion, residual=RESIDUAL, **extra).ratio
    at_failure = ratio * np.array(stress) + RESIDUAL
    assert float(assess(at_failure, GLASS, criterion=criterion, **extra).ratio) == pytest.approx(1.0, rel=1e-9)
    named = getattr(strength, criterion)(stress, GLASS, **extra, residual=RESIDUAL)
    assert float(named) == pytest.approx(float(ratio), rel=1e-12)


def test_residual_stress_by_hand():
    # 31 MPa across the fibre, 9 used up: 22 MPa are left for a load of 5 MPa
    across = {"stress": (0.0, 5.0, 0.0), "strengths": GLASS, "residual": (0.0, 9.0, 0.0)}
    assert float(strength.max_stress(**across)) == pytest.approx(22 / 5, rel=1e-12)
    assert float(strength.max_strain(**across, nu12=0.0, nu21=0.0)) == pytest.approx(22 / 5, rel=1e-12)
    # 610 MPa along the fibre under pressure, 20 used up
    along = strength.max_stress((-10.0, 0.0, 0.0), GLASS, residual=(-20.0, 0.0, 0.0))
    assert float(along) == pytest.approx(59, rel=1e-12)


@pytest.mark.parametrize("criterion", CRITERIA)
@pytest.mark.parametrize("moment", [(0.0, 0.0, 0.0), (30.0, -10.0, 5.0)])
def test_at_its_ratio_a_cooled_laminate_just_fails(criterion, moment):
    wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 60.0, 90.0], [1.0, 1.5, 0.5], alpha1=8.6e-6,
                               alpha2=22.1e-6)
    held = {"criterion": criterion, "delta_t": -60.0, "free_strain": np.full((3, 3), [-1e-4, -2e-4, 5e-5])}
    load, moment = np.array([20.0, 5.0, 8.0]), np.array(moment)
    found = first_ply_failure(wall, GLASS, N=load, M=moment, **held)
    again = first_ply_failure(wall, GLASS, N=float(found.ratio) * load, M=float(found.ratio) * moment, **held)
    assert float(again.ratio) == pytest.approx(1.0, rel=1e-8)
    assert (again.ply_index, again.face_index) == (found.ply_index, found.face_index)
    # temperature and shrinkage take some of the room
    cold = first_ply_failure(wall, GLASS, N=load, M=moment, criterion=criterion)
    assert float(cold.ratio) != pytest.approx(float(found.ratio), rel=1e-3)
    first = last_ply_failure(wall, GLASS, N=load, M=moment, **held).first_ratio
    assert float(first) == pytest.approx(float(found.ratio), rel=1e-8)


def test_springs_may_be_a_batch():
    def sagged(spring):
        return beam_response(1e9, np.inf, 1000.0, [Support(0.0), Support(1000.0, "spring", spring_n_mm=spring)],
                             [UniformLoad(0.0, 1000.0, 1.0)])
    both = sagged(np.array([10.0, 50.0]))
    # half of 1000 N on the spring
    assert both.deflection_mm[:, -1] == pytest.approx([50.0, 10.0], rel=1e-9)
    for k, spring in enumerate((10.0, 50.0)):
        assert both.deflection_mm[k] == pytest.approx(sagged(spring).deflection_mm, rel=1e-9, abs=1e-12)


def test_refusals_that_show_their_values():
    q = np.stack([reduced_stiffness(10e3, 10e3, 0.3, 3846.2)] * 2)
    for index in ([0, 2], [-1, 0]):
        with pytest.raises(InputError) as caught:
            stiffness_matrices(q, [1.0, 1.0], index)
        assert str(caught.value) == (f"ply index must lie between 0 and 1 [-]; received {np.array(index)}. "
                                     "Next: check the palette.")
    for k, name in enumerate(("nu12", "nu13", "nu23")):
        values = [0.2, 0.2, 0.2]
        values[k] = np.nan
        with pytest.raises(InputError, match=f"^{name} must be a finite number"):
            orthotropic_stiffness(25.0, 1.0, 1.0, *values, 0.5, 0.5, 0.2)
    good = {"e1": 40e3, "e2": 8e3, "g12": 4e3, "tension_1": 0.02, "compression_1": 0.012, "tension_2": 0.004,
            "compression_2": 0.015, "shear": 0.016}
    for name in ("tension_1", "compression_1", "tension_2", "compression_2", "shear"):
        with pytest.raises(InputError, match=f"^failure strain {name} must be greater than 0"):
            PlyStrengths.from_failure_strains(**good | {name: 0.0})


def test_whole_plies_may_be_named_one_by_one():
    wall = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0.0, 90.0, 0.0], [1.0] * 3)
    load = {"N": (100.0, 0.0, 0.0), "M": (20.0, 0.0, 0.0)}
    one, each = (last_ply_failure(wall, GLASS, **load, whole_ply=whole) for whole in (True, [True, True, True]))
    assert np.shape(each.last_ratio) == () == np.shape(one.last_ratio)
    assert float(each.last_ratio) == pytest.approx(float(one.last_ratio), rel=1e-12)
    assert [step.ply_numbers for step in each.history] == [step.ply_numbers for step in one.history]


@pytest.mark.parametrize("terms", [0, -2, 3, 2.5])
def test_terms_of_the_sandwich_series(terms):
    D = np.diag([1e6, 1e6, 4e5])
    with pytest.raises(InputError) as caught:
        sandwich_plate(D, 300.0, 300.0, a_mm=500.0, b_mm=500.0, pressure_mpa=0.01, terms=terms)
    assert str(caught.value) == f"terms must be an even whole number of 2 or more [-]; received {terms}. Next: try 100."
    assert sandwich_plate(D, 300.0, 300.0, a_mm=500.0, b_mm=500.0, pressure_mpa=0.01, terms=2)


def test_veneers_are_listed_one_by_one_or_not_at_all():
    with pytest.raises(InputError) as caught:
        veneer_layers(3, [3.0, 3.0])
    assert str(caught.value) == ("thickness_mm must be one number or list 3 veneers [mm]; received [3.0, 3.0]. "
                                 "Next: give one thickness a veneer.")
