"""Cutting plans and strips, checked by code that knows nothing of how they were made."""

import math
from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.shop.job import load_demo
from lamcalc.shop.nesting import Piece, cover_width, nest
from lamcalc.shop.takeoff import take_off

pytestmark = pytest.mark.invariant
SLACK = 1e-6  # mm
SIZE = st.integers(5, 120).map(lambda n: n * 10.0)


def faults(plan, pieces):
    """What is wrong with a plan: pieces missing or twice, turned without leave, outside, overlapping, length wrong."""
    found = []
    if Counter(map(id, pieces)) != Counter(id(p.piece) for p in plan.places):
        found.append("not every piece placed once")
    for p in plan.places:
        lies = (p.along_mm, p.across_mm)
        allowed = [(p.piece.along_mm, p.piece.across_mm)] + [(p.piece.across_mm, p.piece.along_mm)] * p.piece.turnable
        if lies not in allowed:
            found.append(f"{p.piece.label} has another size")
        end = plan.sheet_length_mm or plan.length_mm
        if min(p.x_mm, p.y_mm) < -SLACK or p.x_mm + lies[0] > end + SLACK or p.y_mm + lies[1] > plan.width_mm + SLACK:
            found.append(f"{p.piece.label} lies outside")
        if plan.sheet_length_mm and not 1 <= p.sheet <= plan.sheets:
            found.append(f"{p.piece.label} lies on no sheet")
    for a, b in combinations(plan.places, 2):
        apart = (a.x_mm + a.along_mm <= b.x_mm + SLACK or b.x_mm + b.along_mm <= a.x_mm + SLACK
                 or a.y_mm + a.across_mm <= b.y_mm + SLACK or b.y_mm + b.across_mm <= a.y_mm + SLACK)
        if a.sheet == b.sheet and not apart:
            found.append(f"{a.piece.label} overlaps {b.piece.label}")
    return found


def test_the_checker_sees_faults():
    pieces = [Piece("a", 100, 100), Piece("b", 100, 100)]
    plan = nest(pieces, width_mm=500)
    from dataclasses import replace
    assert not faults(plan, pieces)
    on_top = replace(plan, places=(plan.places[0], replace(plan.places[1], x_mm=0.0, y_mm=50.0)))
    assert any("overlaps" in text for text in faults(on_top, pieces))
    assert any("outside" in text for text in faults(replace(plan, width_mm=150.0), pieces))
    assert any("placed" in text for text in faults(replace(plan, places=plan.places[:1]), pieces))


@given(st.lists(st.tuples(SIZE, SIZE, st.booleans()), min_size=1, max_size=25))
@settings(deadline=None, max_examples=60)
def test_roll_plans_hold(sizes):
    pieces = [Piece(str(k), a, b, turn) for k, (a, b, turn) in enumerate(sizes)]
    plan = nest(pieces, width_mm=1200)
    assert faults(plan, pieces) == []
    assert plan.length_mm * plan.width_mm / 1e6 >= plan.area_m2 - 1e-9
    assert plan.length_mm <= sum(p.along_mm for p in pieces) + sum(p.across_mm for p in pieces)
    assert plan == nest(pieces, width_mm=1200)


@given(st.lists(st.tuples(SIZE, SIZE, st.booleans()), min_size=1, max_size=20))
@settings(deadline=None, max_examples=40)
def test_sheet_plans_hold(sizes):
    pieces = [Piece(str(k), a, b, turn) for k, (a, b, turn) in enumerate(sizes)]
    plan = nest(pieces, width_mm=1220, sheet_length_mm=2440)
    assert faults(plan, pieces) == []
    assert plan.sheets >= math.ceil(plan.area_m2 / (2.44 * 1.22) - 1e-9)


@given(st.floats(60, 6000), st.floats(400, 1600), st.floats(20, 100),
       st.lists(st.floats(0, 6000), max_size=3), st.floats(0, 150))
@settings(deadline=None, max_examples=150)
def test_strips_cover_the_width(width, roll, lap, avoid, stagger):
    strips = cover_width(width, roll_mm=roll, lap_mm=lap, avoid_mm=avoid, stagger_mm=stagger)
    fewest = max(1, math.ceil((width - lap) / (roll - lap) - 1e-9))
    assert fewest <= len(strips.widths_mm) <= fewest + 1
    assert all(w <= roll + SLACK for w in strips.widths_mm)
    assert sum(strips.widths_mm) - lap * (len(strips.widths_mm) - 1) == pytest.approx(width, abs=1e-6)
    edge = 0.0
    for w, seam in zip(strips.widths_mm, strips.seams_mm, strict=False):
        edge += w
        assert seam == pytest.approx(edge - lap / 2, abs=1e-6)
        edge -= lap
    if strips.staggered:
        assert all(abs(s - a) >= stagger - SLACK for s in strips.seams_mm for a in avoid)


def test_no_clear_place_is_said():
    strips = cover_width(1200, roll_mm=700, avoid_mm=tuple(range(0, 1201, 150)))
    assert not strips.staggered and len(strips.widths_mm) == 2


@pytest.mark.parametrize("option", ["transom_plywood", "transom_board", "transom_cast"])
def test_every_plan_of_the_demo_holds(option):
    found = take_off(load_demo(), options={"transom": option})
    for part in found.parts.values():
        plans = [f.plan for f in part.fabrics] + [s.plan for s in part.supplies if s.plan is not None]
        for plan in plans:
            assert faults(plan, [p.piece for p in plan.places]) == []
        cut = Counter((p.material, round(p.along_mm, 6), round(p.across_mm, 6)) for p in part.pieces
                      for _ in range(p.copies))
        placed = Counter((f.material, round(p.piece.along_mm, 6), round(p.piece.across_mm, 6))
                         for f in part.fabrics for p in f.plan.places)
        assert cut == placed


def test_too_large_a_piece_is_refused():
    with pytest.raises(InputError, match="fit the width"):
        nest([Piece("keel", 3000, 1300)], width_mm=1270)
    with pytest.raises(InputError, match="smaller than the roll"):
        cover_width(2000, roll_mm=50, lap_mm=50)
