"""Refusals of mechanics name what came, and a few sentences are told as they are written."""

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.materials import catalogue
from lamcalc.mechanics.beams import PointLoad, Support, beam_response
from lamcalc.mechanics.elasticity import ExactPlate, orthotropic_stiffness
from lamcalc.mechanics.fasteners import thread_stress_area
from lamcalc.mechanics.micromechanics import ply_constants_micromechanics
from lamcalc.mechanics.plate_navier import NavierPlate
from lamcalc.mechanics.regressions import SMALL_CRAFT, pressure_vessel_cycle_factor
from lamcalc.mechanics.strength_models import strengths_micromechanics
from lamcalc.schedule import Ply, Schedule
from lamcalc.shop.batching import Climate, CrewRules, PlyNeed, ResinCan, plan_batches

pytestmark = pytest.mark.behaviour
GLASS = {"fibre_e1": 72400.0, "fibre_nu12": 0.22, "resin_e": 3400.0, "resin_nu": 0.35}
HELD = [Support(0.0), Support(100.0)]
D = 1e6 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])


def schedule():
    shop = catalogue.load()
    return Schedule((Ply(shop.reinforcement("csm_450"), shop.resin("iso_polyester"), shop.process("hand")),), shop.fibres)


@pytest.mark.parametrize("call, words", [
    (lambda: beam_response(1e9, np.inf, 100.0, HELD, [PointLoad(120.0, 1.0)]),
     "positions must lie on the beam, between 0 and 100 [mm]; received 120.0."),
    (lambda: beam_response(1e9, np.inf, 100.0, HELD, [PointLoad(-20.0, 1.0)]), "received -20.0."),
    (lambda: ExactPlate(4.0, 4.0, orthotropic_stiffness(*[2.6] * 3, *[0.3] * 3, *[1.0] * 3), [1.0]),
     "stiffness must hold one 6 x 6 matrix a ply [MPa]; received (6, 6)."),
    (lambda: thread_stress_area(11.0), "bolt diameter must be one of 6, 8, 10"),
    (lambda: ply_constants_micromechanics("felt", 0.4, **GLASS), "must be one of ud, csm, woven, cloth [-]; received 'felt'."),
    (lambda: NavierPlate(500.0, 500.0, np.eye(3) * 1e5, np.zeros((3, 3)), D, shear=[[200.0, 10.0], [10.0, 200.0]]),
     "Next: use a Ritz plate."),
    (lambda: pressure_vessel_cycle_factor(2e6), "load cycles must not exceed 1000000 [-]; received 2000000.0. Next: a fatigue"),
    (lambda: strengths_micromechanics("combined", 0.4, e1=28e3, e2=8e3, g12=2.9e3, fibre_strain=0.03, resin_strain=0.02),
     "must be one ply, not a whole laminate [-]; received 'combined'. Next: enter each ply with its own kind"),
    (lambda: schedule().thickness_band_mm("20 percent"), "must be 'fraction' or '15 percent' [-]; received '20 percent'."),
])
def test_a_refusal_shows_what_came(call, words):
    with pytest.raises(InputError) as found:
        call()
    assert words in str(found.value)


def test_a_regression_below_its_range_shows_the_glass_fraction():
    name = next(name for name, one in SMALL_CRAFT.items() if _lowest(one) is not None)
    with pytest.raises(InputError) as found:
        SMALL_CRAFT[name](0.01)
    assert "received 0.01" in str(found.value)


def _lowest(formula):
    try:
        formula(0.01)
    except InputError as error:
        return error
    return None


def test_the_model_of_ply_constants_says_what_was_done():
    usual = ply_constants_micromechanics("csm", 0.3, **GLASS)
    assert "mat 0.88 x Krenchel 3/8" in usual.model
    assert usual.status == "common practice; mat efficiency and crimp factor from rule values, not from tests"
    assert "mat 3/8 E1 + 5/8 E2" in ply_constants_micromechanics("csm", 0.3, mat_model="tsai-pagano", **GLASS).model


CAN = ResinCan(name="polyester", family="polyester", gel_minutes=40, at_c=20, at_percent_v=2.0, at_mass_g=100,
               catalyst_window=(1.0, 2.5), catalyst_density_kg_m3=1100, liquid_density_kg_m3=1100, usual_percent_v=2.0)
NEED = [PlyNeed(name="mat", resin_kg=0.5, can=CAN, thickness_mm=1.0, glass_fraction=0.3)]


def test_less_catalyst_gives_more_time_at_both_ends():
    day = Climate(air_c=20, hull_c=20, humidity_percent=50)
    quick, slow = (plan_batches(NEED, day, percent_v={"polyester": dose}, rules=CrewRules()).batches[0] for dose in (2.0, 1.5))
    assert slow.gels.low - slow.mix_at > quick.gels.low - quick.mix_at
    assert slow.use_by - slow.mix_at > quick.use_by - quick.mix_at


def test_a_lower_floor_lets_a_cool_day_through():
    cool = Climate(air_c=13, hull_c=12.5, humidity_percent=50)
    with pytest.raises(InputError, match="hull temperature must be at least 15"):
        plan_batches(NEED, cool)
    assert plan_batches(NEED, cool, floor_c=12.0).batches
    with pytest.raises(InputError, match="hull temperature must be at least 13"):
        plan_batches(NEED, cool, floor_c=13.0)
