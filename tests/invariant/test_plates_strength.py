"""From plates to plies: the worst point of the field, against closed forms and against single points."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.plate_strength import worst_ply
from lamcalc.mechanics.plates import Patch, Plate, reduced_bending_stiffness
from lamcalc.mechanics.strength import PlyStrengths, first_ply_failure

pytestmark = pytest.mark.invariant
GLASS = PlyStrengths(1062, 610, 31, 118, 72)
EVEN = PlyStrengths(100.0, 100.0, 100.0, 100.0, 1e6)
SHEET = Laminate.from_plies(10e3, 10e3, 0.3, 10e3 / 2.6, [0.0], [5.0])
SKEW = Laminate.from_plies(38600.0, 8270.0, 0.26, 4140.0, [0, 45, 90, -45, 20], [1.0, 0.8, 0.6, 0.8, 0.5])


@pytest.mark.parametrize("edges, factor, place", [("SSSS", 0.0478864, (200.0, 200.0)),
                                                  ("CCCC", 0.0513338, (0.0, 200.0))])
def test_square_sheet_fails_where_the_moment_is_largest(edges, factor, place):
    """Moment factors by Timoshenko and Woinowsky-Krieger, 1959, tables 8 and 35 (from memory), converged values."""
    found = worst_ply(Plate(400, 400, SHEET.D, edges=edges, order=14).solve(pressure=0.01), SHEET, EVEN,
                      criterion="max_stress")
    stress = factor * 0.01 * 400**2 * 6 / 5**2
    assert found.ratio == pytest.approx(100.0 / stress, rel=5e-4)
    assert (found.x_mm, found.y_mm) == pytest.approx(place, abs=1e-6)
    assert np.abs(found.stresses).max() == pytest.approx(stress, rel=5e-4)


@pytest.mark.parametrize("criterion", ["tsai_wu", "max_stress", "hashin"])
@pytest.mark.parametrize("edges, shear", [("CSFC", None), ("SSSS", np.array([[250.0, 30.0], [30.0, 180.0]]))])
def test_no_point_of_the_plate_is_worse(criterion, edges, shear):
    bending = reduced_bending_stiffness(SKEW.A, SKEW.B, SKEW.D)
    solution = Plate(500, 300, bending, edges=edges, shear=shear).solve(
        pressure=0.01, patches=[Patch(400.0, 300, 120, 80, 60)])
    found = worst_ply(solution, SKEW, GLASS, criterion=criterion)
    rng = np.random.default_rng(2)
    x, y = rng.uniform(0, 500, 400), rng.uniform(0, 300, 400)
    others = first_ply_failure(SKEW, GLASS, M=solution.moments(x, y), criterion=criterion).ratio
    assert found.ratio <= others.min() * (1 + 1e-3)
    again = first_ply_failure(SKEW, GLASS, M=solution.moments(found.x_mm, found.y_mm), criterion=criterion)
    assert found.ratio == pytest.approx(again.ratio, rel=1e-12) and found.ratio <= found.ratios.min() * (1 + 1e-9)
    twice = Plate(500, 300, bending, edges=edges, shear=shear).solve(
        pressure=0.02, patches=[Patch(800.0, 300, 120, 80, 60)])
    assert worst_ply(twice, SKEW, GLASS, criterion=criterion).ratio == pytest.approx(found.ratio / 2, rel=1e-9)


@pytest.mark.parametrize("place", [(290.0, 130.0), (115.0, 205.0)])
def test_the_worst_point_is_looked_for_between_the_stations_of_the_grid(place):
    """Twelve steps between two neighbours of the worst station: six times the stations hold the same points."""
    bending = reduced_bending_stiffness(SKEW.A, SKEW.B, SKEW.D)
    solution = Plate(500, 300, bending, edges="SSSS").solve(patches=[Patch(400.0, *place, 40, 40)])
    coarse, dense = (worst_ply(solution, SKEW, GLASS, points=points) for points in (9, 49))
    i, j = np.unravel_index(dense.ratios.argmin(), dense.ratios.shape)
    assert coarse.ratio == pytest.approx(dense.ratios.min(), rel=1e-9) and coarse.ratio < coarse.ratios.min() * 0.999
    assert (coarse.x_mm, coarse.y_mm) == pytest.approx((500 * i / 48, 300 * j / 48))


def test_another_stiffness_or_a_batch_is_refused():
    with pytest.raises(InputError, match="must be that of the laminate"):
        worst_ply(Plate(400, 400, 1.1 * SHEET.D).solve(pressure=0.01), SHEET, EVEN)
    with pytest.raises(InputError, match="one plate and one laminate"):
        worst_ply(Plate([400, 500], 400, SHEET.D).solve(pressure=0.01), SHEET, EVEN)
