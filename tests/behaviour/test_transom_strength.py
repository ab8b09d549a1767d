"""Strength of the transom builds: statics by hand, equilibrium, scaling, knees, words."""

from dataclasses import replace

import numpy as np
import pytest

from lamcalc.mechanics.plates import Patch, Plate
from lamcalc.parts.panel import CRUSH_FACTOR as PANEL_CRUSH
from lamcalc.parts.transom import assess
from lamcalc.parts.transom_comparison import CRUSH_FACTOR
from lamcalc.shop import job as jobs
from lamcalc.shop.job_transom import transom_case, transom_comparison

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def comparison():
    return transom_comparison(jobs.load_demo())


def by_name(result):
    return {m.name: m for m in result.strength.margins}


def doubled(case):
    """Twice the thrust and twice the mass: every force of the engine twice."""
    return replace(case, engine=replace(case.engine, thrust=2 * case.engine.thrust, mass_kg=2 * case.engine.mass_kg))


def test_bolt_stress_by_hand(comparison):
    """Seaway case over 200 mm and two bolts, stress area of M12 84.3 mm2 (ISO 898-1), half of 450 MPa."""
    pull = (2100 * 560 + 2.5 * 104 * 9.80665 * 190) / 200 / 2
    check = by_name(comparison.options[0])["upper bolts in tension"]
    assert check.demand == pytest.approx(pull / 84.3, rel=1e-3)
    assert check.reserve_factor == pytest.approx(0.5 * 450 * 84.3 / pull, rel=1e-3)


def test_twice_the_engine_halves_every_margin(comparison):
    once = comparison.options[1]
    twice = assess(doubled(comparison.transom), "twice", once.schedule)
    assert len(twice.strength.margins) == len(once.strength.margins)
    for one, two in zip(once.strength.margins, twice.strength.margins, strict=True):
        assert two.reserve_factor == pytest.approx(one.reserve_factor / 2, rel=1e-6), one.name


def test_a_build_that_does_not_hold_is_refused_with_margin_and_rule(comparison):
    plywood = comparison.options[0]
    refused = [m for m in plywood.strength.margins if not m.holds]
    words = " ".join(comparison.failings(plywood))
    assert refused and all(m.name in words and m.factor.rule in words for m in refused)
    assert comparison.recommended is not plywood


def test_recommended_build_holds_everywhere_and_names_what_was_not_assessed(comparison):
    best = comparison.recommended
    assert all(m.holds for m in best.strength.margins)
    assert all(what in comparison.recommendation for what in best.strength.not_assessed)


@pytest.mark.parametrize("knees", [(-400.0, 400.0), (-163.0, 163.0), (0.0,)])
def test_knees_never_turn_the_bracket_more(comparison, knees):
    case = replace(comparison.transom, knees=knees)
    for result in comparison.results:
        assert assess(case, "held", result.schedule).worst_turn_mrad <= result.worst_turn_mrad * (1 + 1e-6)


def test_edge_forces_carry_the_load():
    """Shear forces along the held edges add up to the patch load."""
    D = 1e7 * np.array([[1, 0.3, 0], [0.3, 1, 0], [0, 0, 0.35]])
    plate = Plate(1370, 535, D, edges="SSSS", shear=np.diag([3000.0, 3000.0]))
    solution = plate.solve(patches=[Patch(1000.0, 685, 267.5, 200, 200)])
    t, w = np.polynomial.legendre.leggauss(40)
    x, y = 685 * (t + 1), 267.5 * (t + 1)
    total = 0.0
    for side, sign in ((0.0, 1), (1370.0, -1)):
        total += sign * (solution.shear_forces(np.full(40, side), y)[:, 0] * w).sum() * 267.5
    for side, sign in ((0.0, 1), (535.0, -1)):
        total += sign * (solution.shear_forces(x, np.full(40, side))[:, 1] * w).sum() * 685
    assert abs(total) == pytest.approx(1000.0, rel=1e-3)


def test_one_crush_factor_in_the_house():
    assert CRUSH_FACTOR is PANEL_CRUSH


def test_words_follow_the_unit_system(comparison):
    words = comparison.recommendation_in("us")
    assert " lb" in words and " kg" not in words and " mm" not in words.replace("18 mm", "").replace("38 mm", "")


def test_without_tabbing_the_joint_is_named_as_not_assessed(comparison):
    case = transom_case(jobs.load_demo())
    bare = assess(replace(case, basis=replace(case.basis, tab_leg_mm=None)), "bare", comparison.options[1].schedule)
    assert any("joint to the hull" in what for what in bare.strength.not_assessed)
