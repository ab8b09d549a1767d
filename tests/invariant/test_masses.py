"""Masses balance to the gram between schedule, take-off and batches, for the demo parts and for drawn ones."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.schedule import Ply
from lamcalc.shop.job import load_demo, schedule, update
from lamcalc.shop.job_batches import plan_needs, resin_needs
from lamcalc.shop.takeoff import take_off

pytestmark = pytest.mark.invariant
GRAM = 1e-3
JOB = load_demo()
PARTS = tuple(JOB.parts)


def by_resin(job, name, needs):
    """Resin of the needs by key of the can."""
    from lamcalc.shop.job_batches import job_can

    names = {job_can(job, key).name: key for key in job.resins if job.resins[key].kind == "catalysed"}
    sums = {}
    for need in needs:
        key = names[need.can.name.removesuffix(", for putty")]
        sums[key] = sums.get(key, 0.0) + need.resin_kg
    return sums


def check(job, name):
    part = take_off(job, parts=[name]).parts[name]
    needs = resin_needs(job, name)
    bought = {}
    for use in part.resins:
        bought[use.resin] = bought.get(use.resin, 0.0) + use.to_buy_kg
    mixed = by_resin(job, name, needs)
    assert mixed.keys() == bought.keys()
    assert all(abs(mixed[key] - bought[key]) < GRAM for key in bought)
    plan = plan_needs(job, needs)
    assert abs(sum(pot.resin_kg for pot in plan.batches) - sum(bought.values())) < GRAM
    assert all(pot.mixed_kg <= plan.rules.pot_kg + 1e-9 for pot in plan.batches)
    for use in part.resins:
        loss = (job.waste.resin if not use.use.startswith(("putty", "gel"))
                else job.waste.putty if use.use.startswith("putty") else None)
        if loss is not None:
            assert abs(use.to_buy_kg - use.stays_kg * (1 + loss)) < GRAM, use
    assert abs(sum(f.net_kg for f in part.fabrics) - part.glass_kg()) < GRAM


@pytest.mark.parametrize("name", PARTS)
def test_demo_parts_balance(name):
    check(JOB, name)


@pytest.mark.parametrize("name", ["transom", "sole"])
def test_take_off_is_schedule_times_area(name):
    part, entry = take_off(JOB, parts=[name]).parts[name], JOB.parts[name]
    area = entry.outline.area_m2 if name == "transom" else entry.area_m2
    stack = schedule(JOB, part.schedule)
    assert abs(part.resin_in_laminate_kg("laminate") - stack.resin_kg_m2 * area) < GRAM
    assert abs(part.glass_kg("laminate") - stack.glass_kg_m2 * area) < GRAM


@settings(max_examples=12, deadline=None)
@given(length=st.integers(600, 3500), width=st.integers(300, 2300), count=st.integers(1, 4), loss=st.floats(0, 0.5),
       number=st.integers(1, 3), film=st.floats(0.2, 1.0))
def test_drawn_panels_balance(length, width, count, loss, number, film):
    """Plies, sizes, copies, laps and losses as drawn; the panel's own schedule by hand from its areal figures."""
    job = update(JOB, {"parts.sole.piece_length_mm": length, "parts.sole.piece_width_mm": width, "parts.sole.number": number,
                       "schedules.sole_board.layers[1].count": count, "waste.resin": round(loss, 3),
                       "schedules.sole_board.layers[4].thickness_mm": round(film, 3)})
    check(job, "sole")
    part, stack = take_off(job, parts=["sole"]).parts["sole"], schedule(job, "sole_board")
    plies = sum(float(g) for g, layer in zip(stack.row_resin_gsm, stack.laid, strict=True) if isinstance(layer, Ply))
    assert abs(part.resin_in_laminate_kg("laminate") - plies * length * width / 1e9 * number) < GRAM
