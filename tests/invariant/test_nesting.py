"""Cutting plans and strips, checked by code that knows nothing of how they were made."""

import math
from collections import Counter
from dataclasses import replace
from itertools import combinations
from types import SimpleNamespace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.errors import InputError
from lamcalc.shop.job import catalogue, load_demo, update
from lamcalc.shop.nesting import Piece, cover_width, nest
from lamcalc.shop.takeoff import take_off
from lamcalc.shop.takeoff_cut import CutPiece, Fabric, cut_pieces
from lamcalc.shop.takeoff_layers import laid_layers
from lamcalc.shop.takeoff_turns import _as_they_lie, _better

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
    assert plan.length_mm <= nest([replace(p, turnable=False) for p in pieces], width_mm=1200).length_mm + SLACK


@given(st.lists(st.tuples(SIZE, SIZE, st.booleans()), min_size=1, max_size=20))
@settings(deadline=None, max_examples=40)
def test_sheet_plans_hold(sizes):
    pieces = [Piece(str(k), a, b, turn) for k, (a, b, turn) in enumerate(sizes)]
    plan = nest(pieces, width_mm=1220, sheet_length_mm=2440)
    assert faults(plan, pieces) == []
    assert plan.sheets >= math.ceil(plan.area_m2 / (2.44 * 1.22) - 1e-9)
    assert plan.sheets <= nest([replace(p, turnable=False) for p in pieces], width_mm=1220, sheet_length_mm=2440).sheets


def test_pieces_are_turned_one_by_one_and_only_where_that_helps():
    """On a roll of 1000: a takes 600 of the width, b turned takes the other 400, c as it is a shelf of 300: 1300 long.

    All as given need 1000 + 400 + 300, all turned 1000 + 1000; the area fills 1300 exactly, so nothing is shorter.
    """
    pieces = [Piece("a", 1000, 600), Piece("b", 400, 1000, True), Piece("c", 300, 1000, True)]
    plan = nest(pieces, width_mm=1000)
    assert plan.length_mm == 1300 and faults(plan, pieces) == []
    assert {place.piece.label: place.turned for place in plan.places} == {"a": False, "b": True, "c": False}
    # turned or not, each needs a shelf of 500
    assert not any(place.turned for place in nest([Piece(n, 500, 500, True) for n in "ab"], width_mm=500).places)
    assert not any(place.turned for place in nest([Piece("1", 900, 900.5, True)], width_mm=1000).places)
    assert nest([Piece("1", 40, 72, True, turned=True)], width_mm=80).places[0].turned


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
        cut = Counter((p.material, round(p.along_mm, 6), round(p.across_mm, 6), p.turned) for p in part.pieces
                      for _ in range(p.copies))
        placed = Counter((f.material, round(p.along_mm, 6), round(p.across_mm, 6), p.turned)
                         for f in part.fabrics for p in f.plan.places)
        assert cut == placed


def sole_of(fabrics, length, width, number=1, roll=1000.0):
    """A sole of these fabrics round a core, of this size, all off rolls of one width."""
    ply = [{"kind": "ply", "reinforcement": key, "resin": "iso_polyester"} for key in fabrics]
    changes = {"schedules.sole_plywood.layers": [ply[0], {"kind": "core", "core": "ply_meranti", "thickness_mm": 12.0}, *ply[1:]],
               "parts.sole.chosen": "sole_plywood", "parts.sole.piece_length_mm": length, "parts.sole.piece_width_mm": width,
               "parts.sole.number": number, "stock.rolls": [{"item": key, "width_mm": roll} for key in dict.fromkeys(fabrics)]}
    return update(load_demo(), changes)


def both_ways(job):
    """Take-off of the sole, and pieces, laps and fabrics of the same layers with no ply turned nor any piece."""
    found, shelf = take_off(job, parts=["sole"]).parts["sole"], catalogue(job)
    layers, copies = laid_layers(job, "sole")[0], job.parts["sole"].number
    pieces, laps = cut_pieces(job, layers, copies, shelf)
    lengths = {}
    for material in {p.material for p in pieces}:
        cut = [Piece(name, p.along_mm, p.across_mm) for p in pieces if p.material == material for name in p.names]
        lengths[material] = nest(cut, width_mm=1000).length_mm
    return found, lengths, sum(area for _, area in laps) * copies


@given(st.lists(st.sampled_from(["csm_450", "csm_300", "biax45_1708", "wr_600", "ud_400"]), min_size=1, max_size=4),
       SIZE.map(lambda n: 2 * n), SIZE.map(lambda n: 2 * n), st.integers(1, 2))
@settings(deadline=None, max_examples=60)
def test_turning_mat_never_takes_more_of_the_roll_nor_turns_a_fabric_with_a_direction(keys, length, width, number):
    found, lengths, laps = both_ways(sole_of(keys, length, width, number))
    assert sum(f.lap_m2 for f in found.fabrics) <= laps + 1e-9
    for fabric in found.fabrics:
        assert faults(fabric.plan, [p.piece for p in fabric.plan.places]) == []
        assert fabric.plan.length_mm <= lengths[fabric.material] + SLACK
        # strips less laps are the blanks, whichever way they run
        assert fabric.plan.area_m2 == pytest.approx(fabric.net_m2 + fabric.lap_m2)
        assert fabric.material.startswith("csm_") or not any(place.turned for place in fabric.plan.places)
    for piece in found.pieces:
        assert piece.material.startswith("csm_") or (not piece.turned and piece.angle_deg == 0)
        assert piece.angle_deg == (90 if piece.turned else 0)


@pytest.mark.parametrize("key, length, turned", [("csm_450", 4 * 1016.0, True), ("biax45_1708", 3 * 1828.8, False)])
def test_a_sole_of_mat_is_cut_across_and_one_of_stitched_fabric_is_not(key, length, turned):
    """72 x 40 in twice off a 38 in roll, laps of 50 mm.

    Along, each ply is a strip 965.2 and one 100.8 wide (1016 - 965.2 + 50), both 1828.8 long; the narrow ones lie side by
    side: 3 x 1828.8 = 216 in.  Across, each ply is a strip 965.2 and one
    913.6 wide (1828.8 - 965.2 + 50), both 1016 long, none beside another: 4 x 1016 = 160 in.
    """
    found = take_off(sole_of([key, key], 1828.8, 1016.0, roll=965.2), parts=["sole"]).parts["sole"]
    assert found.fabrics[0].plan.length_mm == pytest.approx(length, abs=1e-6)
    assert {p.turned for p in found.pieces} == {turned} == {place.turned for place in found.fabrics[0].plan.places}


def test_plies_of_mat_that_touch_keep_their_seams_apart_when_turned():
    """Two plies on one side of the core, cut across: both seams lie across the part, 100 mm from each other."""
    job = sole_of(["csm_450", "csm_450", "csm_450"], 2000.0, 1500.0)
    pieces = [p for p in take_off(job, parts=["sole"]).parts["sole"].pieces if p.strip == 1]
    seams = {p.ply: (p.turned, p.seams_mm) for p in pieces}
    (way, one), (other, two) = list(seams.values())[1:]
    assert one and two and (way != other or min(abs(a - b) for a in one for b in two) >= 100)
    assert all(p.staggered for p in pieces)


def test_a_ply_of_mat_without_a_seam_never_gets_one():
    """900 x 2000 off a roll of 1000: across it would be three strips of 900, shorter for one ply of two, but seamed."""
    found = take_off(sole_of(["csm_450", "csm_450"], 2000.0, 900.0), parts=["sole"]).parts["sole"]
    assert not any(p.seams_mm or p.turned for p in found.pieces) and found.fabrics[0].plan.length_mm == 4000


def layout(lengths, laps, clear=(True,), number=2):
    """What a cut gives: pieces, laps of each ply [m2], fabrics with the length of their plan [mm]."""
    fabrics = tuple(SimpleNamespace(plan=SimpleNamespace(length_mm=length)) for length in lengths)
    strips = [SimpleNamespace(strip=strip, staggered=one) for one in clear for strip in range(1, number + 1)]
    return tuple(strips), [(None, lap) for lap in laps], fabrics


@pytest.mark.parametrize("better, lengths, laps, clear", [
    (True, (900, 500), (0.1, 0.2), (True, True)),  # one roll shorter, nothing else changed
    (False, (1000, 500), (0.1, 0.2), (True, True)),  # as long as before
    (False, (1000, 500), (0.05, 0.2), (True, True)),  # fewer laps alone turn no ply
    (False, (900, 501), (0.1, 0.2), (True, True)),  # the other roll grows
    (False, (900, 500), (0.1, 0.2001), (True, True)),  # a lap grows
    (False, (900, 500), (0.0, 0.2001), (True, True)),  # a lap grows, another one shrinks by more
    (True, (900, 500), (0.1, 0.2 + 1e-13), (True, True)),  # a sum in another order
    (True, (900, 500 + 1e-9), (0.1, 0.2), (True, True)),
    (False, (1000 - 1e-9, 500), (0.1, 0.2), (True, True)),
    (False, (900, 500), (0.1, 0.2), (True, False)),  # a seam comes closer to one of the ply before
])
def test_a_layout_with_turned_plies_is_better_only_where_it_costs_nowhere(better, lengths, laps, clear):
    assert _better(layout(lengths, laps, clear), layout((1000, 500), (0.1, 0.2), (True, True))) == better


def test_seams_that_were_too_close_before_do_not_keep_a_ply_from_being_turned():
    before = layout((1000,), (0.1,), (False, False))
    for clear, better in (((True, True), True), ((True, False), True), ((False, False), True), ((False, False, False), False)):
        assert _better(layout((900,), (0.1,), clear), before) == better
    # plies are counted, not their strips: one of four strips is better than two of two
    assert _better(layout((900,), (0.1,), (False,), number=4), before)


def test_copies_that_lie_differently_stand_in_rows_of_their_own():
    """Three copies of 500 x 300: two lie as the schedule has them, one is turned; of a turned ply one lies back."""
    roll = Piece("a", 500, 300, True), Piece("b", 300, 500, True, turned=True)
    sizes = {"laminate 1 of 1": (False, 500, 300), "laminate 1 of 2": (True, 300, 500), "laminate 1 of 3": (False, 500, 300),
             "laminate 2 of 1": (False, 500, 300), "laminate 2 of 2": (True, 300, 500), "laminate 2 of 3": (True, 300, 500)}
    places = [SimpleNamespace(piece=SimpleNamespace(label=name), turned=turned, along_mm=along, across_mm=across)
              for name, (turned, along, across) in sizes.items()]
    fabric = SimpleNamespace(material="csm_450", plan=SimpleNamespace(places=places))
    given = [CutPiece("laminate", number, "csm_450", "mat", angle, "-", 1, 1, one.along_mm, one.across_mm, 3, (), True,
                      one.turned)
             for number, angle, one in ((1, 0.0, roll[0]), (2, 90.0, roll[1]))]
    rows = [(p.ply, p.copies, p.turned, p.angle_deg, p.along_mm, p.across_mm) for p in _as_they_lie(given, [fabric])]
    assert sorted(rows) == [(1, 1, True, 90, 300, 500), (1, 2, False, 0, 500, 300),
                            (2, 1, False, 0, 500, 300), (2, 2, True, 90, 300, 500)]
    # a roll that runs at 120 degrees is turned to 30, not to 210
    slanted = [replace(given[0], angle_deg=120.0)]
    assert {p.angle_deg for p in _as_they_lie(slanted, [fabric]) if p.turned} == {30.0}


@pytest.mark.parametrize("angle, apart", [(0, True), (180, True), (-180, True), (90, None)])
def test_rolls_that_run_the_same_line_keep_their_seams_apart(angle, apart):
    """A roll turned end for end has its seams where it had them; one across the part has others."""
    ply = {"kind": "ply", "reinforcement": "wr_600", "resin": "iso_polyester"}
    job = update(load_demo(), {"schedules.sole_plywood.layers": [ply, ply | {"angle_deg": angle}],
                               "parts.sole.chosen": "sole_plywood",
                               "parts.sole.piece_length_mm": 2000.0, "parts.sole.piece_width_mm": 1500.0,
                               "stock.rolls": [{"item": "wr_600", "width_mm": 1000.0}]})
    pieces = [p for p in take_off(job, parts=["sole"]).parts["sole"].pieces if p.strip == 1]
    (one,), seams = pieces[0].seams_mm, pieces[1].seams_mm
    assert all(p.staggered is True for p in pieces)
    if apart:
        assert min(abs(one - other) for other in seams) >= 100
    else:
        assert seams == cover_width(2000, roll_mm=1000).seams_mm


def test_a_first_strip_of_little_more_than_two_laps_is_tried_too():
    """1060 mm off a roll of 1000 with laps of 50: seams of the ply before every 150 mm from 200 on leave a place below 100 only.

    First strips go down by 10 mm; 120 has its seam at 95 and leaves 990 for the second.
    """
    strips = cover_width(1060, roll_mm=1000, avoid_mm=tuple(range(200, 1100, 150)))
    assert strips.widths_mm == (120, 990) and strips.seams_mm == (95,) and strips.staggered


@pytest.mark.parametrize("angle", [0, 30, 45, 90, 135, -60])
def test_a_slanted_ply_is_cut_from_the_rectangle_round_the_turned_blank(angle):
    """A blank of 800 x 500 turned by a: 800 |cos a| + 500 |sin a| along the roll, 800 |sin a| + 500 |cos a| across."""
    ply = {"kind": "ply", "reinforcement": "wr_600", "resin": "iso_polyester", "angle_deg": angle}
    job = update(load_demo(), {"schedules.sole_plywood.layers": [ply], "parts.sole.chosen": "sole_plywood",
                               "parts.sole.piece_length_mm": 800.0, "parts.sole.piece_width_mm": 500.0,
                               "stock.rolls": [{"item": "wr_600", "width_mm": 1500.0}]})
    (piece,) = take_off(job, parts=["sole"]).parts["sole"].pieces
    c, s = abs(math.cos(math.radians(angle))), abs(math.sin(math.radians(angle)))
    assert (piece.along_mm, piece.across_mm) == pytest.approx((800 * c + 500 * s, 800 * s + 500 * c), rel=1e-9)
    assert piece.mat_side == "-"  # no mat in it


def test_what_is_bought_of_a_fabric_by_hand():
    """10 m2 and 0.5 m2 of laps with 10 % more off a roll of 1 m: 11.55 m, unless the cutting plan is longer."""
    for length, bought in ((9000.0, 11.55), (12000.0, 12.0)):
        plan = SimpleNamespace(length_mm=length, width_mm=1000.0)
        fabric = Fabric("csm_450", "mat", 450.0, 10.0, 0.5, plan, bought)
        assert fabric.metres(0.1) == pytest.approx(bought) and fabric.to_buy_m2 == pytest.approx(bought)
        assert fabric.waste_share == pytest.approx(1 - 10.5 / bought)
        assert (fabric.net_kg, fabric.lap_kg) == pytest.approx((4.5, 0.225))


def test_too_large_a_piece_is_refused():
    with pytest.raises(InputError, match="fit the width"):
        nest([Piece("keel", 3000, 1300)], width_mm=1270)
    with pytest.raises(InputError, match="smaller than the roll"):
        cover_width(2000, roll_mm=50, lap_mm=50)
