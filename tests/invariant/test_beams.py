"""Beams: closed forms against the solver, balance, superposition, reciprocity, batch = loop."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.beam_cases import BEAM_CASES, four_point_beam, overhang_beam, standard_beam
from lamcalc.mechanics.beams import PointLoad, Support, UniformLoad, beam_response

pytestmark = pytest.mark.invariant

EI, GA, SPAN = 3e9, 4e4, 900.0
ENDS = [Support(0.0), Support(SPAN)]
BUILT_IN = [Support(0.0, "fixed"), Support(SPAN, "fixed")]
MODELS = {
    "ss_uniform": (ENDS, [UniformLoad(0.0, SPAN, 1.0)]),
    "ss_centre": (ENDS, [PointLoad(SPAN / 2, SPAN)]),
    "third_point": (ENDS, [PointLoad(SPAN / 3, SPAN / 2), PointLoad(2 * SPAN / 3, SPAN / 2), PointLoad(SPAN / 2)]),
    "quarter_point": (ENDS, [PointLoad(SPAN / 4, SPAN / 2), PointLoad(3 * SPAN / 4, SPAN / 2), PointLoad(SPAN / 2)]),
    "cantilever_tip": (BUILT_IN[:1], [PointLoad(SPAN, SPAN)]),
    "cantilever_uniform": (BUILT_IN[:1], [UniformLoad(0.0, SPAN, 1.0)]),
    "fixed_uniform": (BUILT_IN, [UniformLoad(0.0, SPAN, 1.0)]),
    "fixed_centre": (BUILT_IN, [PointLoad(SPAN / 2, SPAN)]),
}


@pytest.mark.parametrize("kind", BEAM_CASES)
@pytest.mark.parametrize("ga", [GA, np.inf])
def test_closed_forms_agree_with_the_solver(kind, ga):
    closed = standard_beam(kind, load_n=SPAN, span_mm=SPAN, ei=EI, ga=ga)
    solved = beam_response(EI, ga, SPAN, *MODELS[kind])
    assert solved.max_moment_n_mm == pytest.approx(float(closed.moment_n_mm), rel=1e-9)
    assert solved.max_shear_n == pytest.approx(float(closed.shear_n), rel=1e-9)
    assert solved.max_deflection_mm == pytest.approx(float(closed.deflection_mm), rel=1e-9)


@pytest.mark.parametrize("arm", [100.0, 300.0, 450.0])
def test_four_point_with_any_arm(arm):
    closed = four_point_beam(load_n=500.0, span_mm=SPAN, arm_mm=arm, ei=EI, ga=GA)
    loads = [PointLoad(arm, 250.0), PointLoad(SPAN - arm, 250.0), PointLoad(SPAN / 2)]
    solved = beam_response(EI, GA, SPAN, ENDS, loads)
    assert solved.deflection_at(SPAN / 2) == pytest.approx(float(closed.deflection_mm), rel=1e-9)
    assert solved.max_moment_n_mm == pytest.approx(float(closed.moment_n_mm), rel=1e-9)


@pytest.mark.parametrize("arm", [150.0, 1200.0])
def test_overhang(arm):
    closed = overhang_beam(load_n=500.0, span_mm=SPAN, overhang_mm=arm, ei=EI, ga=GA)
    solved = beam_response(EI, GA, SPAN + arm, ENDS, [PointLoad(SPAN + arm, 500.0)])
    assert solved.deflection_at(SPAN + arm) == pytest.approx(float(closed.deflection_mm), rel=1e-9)
    assert solved.max_moment_n_mm == pytest.approx(float(closed.moment_n_mm), rel=1e-9)
    assert solved.max_shear_n == pytest.approx(float(closed.shear_n), rel=1e-9)


positions = st.floats(20.0, 1180.0)


@given(x=positions, force=st.floats(-900.0, 900.0), couple=st.floats(-1e5, 1e5), start=st.floats(0.0, 500.0),
       length=st.floats(50.0, 600.0), line=st.floats(-3.0, 3.0))
def test_reactions_balance_the_loads(x, force, couple, start, length, line):
    supports = [Support(0.0, "fixed"), Support(500.0), Support(900.0, "spring", 40.0, 3e5)]
    loads = [PointLoad(x, force, couple), UniformLoad(start, start + length, line)]
    beam = beam_response(EI, GA, 1200.0, supports, loads)
    scale = abs(force) + abs(line) * length + 1.0
    assert beam.reactions_n.sum() == pytest.approx(force + line * length, abs=1e-8 * scale)
    moments = (beam.reactions_n * [0.0, 500.0, 900.0]).sum() - beam.reactions_n_mm.sum()
    applied = force * x + line * length * (start + 0.5 * length) + couple
    assert moments == pytest.approx(applied, abs=1e-6 * (1200 * scale + abs(couple)))
    # both ends of the diagram close
    assert beam.shear_n[-1] == pytest.approx(0.0, abs=1e-7 * scale)
    assert beam.moment_n_mm[-1] == pytest.approx(0.0, abs=1e-5 * (1200 * scale + abs(couple)))


@given(one=positions, two=positions)
def test_reciprocity(one, two):
    def at(load, place):
        return beam_response(EI, GA, 1200.0, [Support(100.0), Support(800.0)],
                             [PointLoad(load, 100.0), PointLoad(place)]).deflection_at(place)

    assert at(one, two) == pytest.approx(float(at(two, one)), rel=1e-7, abs=1e-9)


def test_loads_add_up():
    supports = [Support(0.0), Support(600.0, "fixed"), Support(1200.0)]
    loads = [PointLoad(250.0, 300.0, 2e4), UniformLoad(100.0, 900.0, 1.5)]
    anchor = [PointLoad(250.0), PointLoad(100.0), PointLoad(900.0)]
    both = beam_response(EI, GA, 1200.0, supports, loads + anchor)
    parts = [beam_response(EI, GA, 1200.0, supports, [load, *anchor]) for load in loads]
    for name in ("deflection_mm", "moment_n_mm", "shear_n", "reactions_n"):
        assert getattr(both, name) == pytest.approx(sum(getattr(part, name) for part in parts), rel=1e-9, abs=1e-7)


def test_diagrams_are_derivatives():
    beam = beam_response(EI, GA, 1200.0, [Support(0.0, "fixed"), Support(800.0)], [UniformLoad(0.0, 1200.0, 2.0)],
                         stations=4001)
    x = beam.x_mm[:4001]
    moment, shear, slope = beam.moment_n_mm[:4001], beam.shear_n[:4001], beam.slope[:4001]
    for values, rate in ((moment, shear), (slope, -moment / EI), (beam.deflection_mm[:4001], slope + shear / GA)):
        assert np.gradient(values, x, edge_order=2) == pytest.approx(rate, abs=2e-5 * np.abs(rate).max())


def test_held_places_do_not_move():
    beam = beam_response(EI, GA, 1200.0, [Support(0.0, "fixed"), Support(700.0)], [PointLoad(1200.0, 80.0)])
    assert beam.deflection_at(700.0) == pytest.approx(0.0, abs=1e-12)
    assert beam.slope[0] == 0.0


def test_load_above_the_top_support_is_a_couple_and_a_force():
    """Transom: the engine's push on an arm above the upper edge equals push and couple at that edge."""
    arm = beam_response(EI, GA, 800.0, [Support(0.0), Support(620.0)], [PointLoad(800.0, 500.0), PointLoad(310.0)])
    edge = beam_response(EI, GA, 620.0, [Support(0.0), Support(620.0)], [PointLoad(620.0, 500.0, 500.0 * 180.0),
                                                                         PointLoad(310.0)])
    assert edge.deflection_at(310.0) == pytest.approx(float(arm.deflection_at(310.0)), rel=1e-9)
    assert edge.reactions_n == pytest.approx(arm.reactions_n, rel=1e-9)


def test_stiff_springs_are_supports():
    loads = [UniformLoad(0.0, 900.0, 1.0)]
    rigid = beam_response(EI, GA, SPAN, BUILT_IN, loads)
    springs = [Support(x, "spring", 1e9, 1e15) for x in (0.0, SPAN)]
    assert beam_response(EI, GA, SPAN, springs, loads).deflection_mm == pytest.approx(rigid.deflection_mm, abs=1e-6)
    knee = [Support(x, "pinned", 0.0, 1e15) for x in (0.0, SPAN)]
    assert beam_response(EI, GA, SPAN, knee, loads).max_moment_n_mm == pytest.approx(
        float(rigid.max_moment_n_mm), rel=1e-4)


def test_batch_equals_loop():
    ei, ga, force = np.array([1e9, 2e9, 4e9]), np.array([2e4, np.inf, 5e4]), np.array([[100.0], [-250.0]])
    supports = [Support(0.0, "spring", 50.0, 1e6), Support(600.0)]

    def solve(e, g, f):
        return beam_response(e, g, 900.0, supports, [PointLoad(900.0, f, 10 * f), UniformLoad(200.0, 700.0, f / 100)])

    many = solve(ei, ga, force)
    assert many.max_moment_n_mm.shape == (2, 3)
    for i, j in np.ndindex(2, 3):
        one = solve(ei[j], ga[j], force[i, 0])
        for name in ("deflection_mm", "slope", "moment_n_mm", "shear_n", "reactions_n", "reactions_n_mm"):
            assert getattr(many, name)[i, j] == pytest.approx(getattr(one, name), rel=1e-10, abs=1e-9)
        assert many.max_moment_n_mm[i, j] == pytest.approx(float(one.max_moment_n_mm), rel=1e-12)


def test_two_uniform_loads_on_each_other():
    one = beam_response(EI, GA, SPAN, ENDS, [UniformLoad(0.0, SPAN, 3.0)])
    two = beam_response(EI, GA, SPAN, ENDS, [UniformLoad(0.0, SPAN, 1.0), UniformLoad(SPAN, 0.0, 2.0)])
    assert two.max_moment_n_mm == pytest.approx(float(one.max_moment_n_mm), rel=1e-12)


def test_largest_moment_does_not_need_a_station():
    """An end moment w L^2/16 beside a uniform load: the peak lies at 9/16 of the span, between the stations."""
    load, x = [UniformLoad(0.0, SPAN, 1.0), PointLoad(0.0, 0.0, -SPAN**2 / 16)], 1 / 2 + 1 / 16
    coarse = beam_response(EI, GA, SPAN, ENDS, load, stations=2)
    # by statics M = -w L^2/16 + w L (9/16) x - w x^2/2
    assert coarse.max_moment_n_mm == pytest.approx(SPAN**2 * (-1 / 16 + 0.5 * x**2), rel=1e-12)
    assert np.abs(coarse.moment_n_mm).max() < 0.7 * coarse.max_moment_n_mm
