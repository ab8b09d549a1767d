"""Laminates, panels, sandwich beams, hats and a transom against independent finite elements on three meshes each.

`fem_*.py` build the models from elasticity alone.  A tolerance is what the theory leaves out, said beside it; where
nothing is left out it is the error of the mesh.
"""

import numpy as np
import pytest
from fem_models import MODULES, quantities
from fem_tools import Quantity, extrapolated, orthotropic, turned

pytestmark = pytest.mark.invariant

NAMES = {
    "fem_strip": [
        f"{load}: {rest}" for load in ("tension 50 N/mm", "cooling by 60 K") for rest in (
            *(f"{kind} {axis}{local}" for kind in ("strain", "curvature") for axis in ("x", "y", "xy")
              for local in ("", ", from local forces")),
            "stress x, ply 1, lower face", "stress x, ply 2, upper face", "stress x, ply 3, upper face")],
    "fem_panel": ["deflection in the middle", "stress x, ply 3, upper face", "stress y, ply 3, upper face",
                  "stress y, ply 2, upper face"],
    "fem_sandwich": ["EI from three spans", "GA from three spans", "deflection, span 500 mm", "deflection, span 800 mm",
                     "deflection, span 1200 mm", "stress, skin 1, outer face", "stress, skin 2, outer face",
                     "core shear stress"],
    "fem_hat": ["EI of the section", "height of its neutral axis", "deflection at mid-span",
                *(f"stress at mid-span, {part}, outer face" for part in ("plating", "crown", "cap")),
                "shear stiffness, webs lean 12 degrees", "shear stiffness, webs lean 34 degrees"],
    "fem_transom": [f"{wall}: {what}" for wall in ("demo wall", "one-skin wall") for what in (
        "largest deflection", "turn of the bracket", "mean Mx over an upper bolt plate", "mean My over a lower bolt plate")],
}
EVERY = [(module, name) for module in MODULES for name in NAMES[module]]


def of(module, name):
    found, = (q for q in quantities(module) if q.name == name)
    return found


@pytest.mark.parametrize("module", MODULES)
def test_every_number_of_a_model_is_checked(module):
    assert [q.name for q in quantities(module)] == NAMES[module]


@pytest.mark.parametrize("module, name", EVERY)
def test_package_agrees_with_finite_elements(module, name):
    q = of(module, name)
    assert abs(q.difference) < q.tolerance, f"{q.ours:.6g} against {q.limit:.6g} {q.unit}; only this is left out: {q.reason}"


@pytest.mark.parametrize("module, name", EVERY)
def test_the_meshes_have_converged(module, name):
    """What is left in the finest mesh is small against the tolerance, or at most 0.3 %."""
    q = of(module, name)
    coarse, middle, fine = (abs(value - q.limit) / q.size for value in q.meshes)
    assert fine <= max(middle, 1e-4) and middle <= max(coarse, 2e-3)
    assert fine < max(1e-4, min(0.003, 0.2 * q.tolerance))


def test_extrapolation_finds_the_limit_of_a_power_law():
    assert extrapolated([1 + 0.3 * h**3 for h in (1.0, 0.5, 0.25)]) == pytest.approx(1.0, abs=1e-12)
    assert extrapolated([1.0, 1.1, 1.0]) == 1.0


def test_a_difference_shows():
    q = Quantity("model", "value", "mm", 1.05, (1.0, 1.0, 1.0), 0.01, "nothing")
    assert q.difference == pytest.approx(0.05)
    assert Quantity("model", "value", "mm", 0.05, (0.0, 0.0, 0.0), 0.01, "nothing", 2.0).difference == pytest.approx(0.025)


def test_a_turned_solid_keeps_its_invariants():
    solid = orthotropic((40e3, 8e3, 7e3), (0.26, 0.3, 0.4), (3e3, 4e3, 5e3))
    half_turn, quarter = turned(solid, 180.0), turned(solid, 90.0)
    assert half_turn == pytest.approx(solid, abs=1e-6)
    assert quarter[np.ix_([1, 0], [1, 0])] == pytest.approx(solid[:2, :2])
    # in-plane invariant of the stiffness: Q11 + Q22 + 2 Q12
    one = np.array([1.0, 1.0, 0, 0, 0, 0])
    assert one @ turned(solid, 33.0) @ one == pytest.approx(one @ solid @ one)
