"""Take-off: masses balance, stock and containers, prices, both unit systems, refusals."""

import math
from itertools import pairwise

import pytest

from lamcalc.errors import InputError
from lamcalc.schedule import CoreLayer
from lamcalc.shop.job import load_demo, schedule, update
from lamcalc.shop.takeoff import take_off

pytestmark = pytest.mark.behaviour
GRAM = 1e-3


@pytest.fixture(scope="module")
def job():
    return load_demo()


@pytest.fixture(scope="module")
def found(job):
    return take_off(job)


@pytest.mark.parametrize("part", ["transom", "sole"])
def test_masses_balance_with_the_schedule(job, found, part):
    one, entry = found.parts[part], job.parts[part]
    area = entry.outline.area_m2 if part == "transom" else entry.area_m2
    stack = schedule(job, one.schedule)
    assert abs(one.glass_kg("laminate") - stack.glass_kg_m2 * area) < GRAM
    assert abs(one.resin_in_laminate_kg("laminate") - stack.resin_kg_m2 * area) < GRAM
    core = area * sum(m for m, layer in zip(stack.row_mass_gsm, stack.laid, strict=True)
                      if isinstance(layer, CoreLayer))
    assert abs(sum(s.net_kg for s in one.supplies if s.use.startswith("core")) - core / 1e3) < GRAM
    extra = sum(r.stays_kg for r in one.resins if r.use.startswith("putty") or r.use in ("laps", "tabbing"))
    extra += sum(s.net_kg for s in one.supplies if s.use.startswith("putty"))
    extra += sum(f.lap_kg for f in one.fabrics) + one.glass_kg("tabbing") - one.core_removed_kg
    assert abs(one.mass_kg - stack.new_areal_mass_kg_m2 * area - extra) < GRAM


def test_fabrics_add_up_to_the_glass(found):
    for part in found.parts.values():
        assert abs(sum(f.net_kg for f in part.fabrics) - part.glass_kg()) < GRAM


def test_patch_mass_by_hand(job, found):
    """Ring of the first ply: hole 240 x 70 plus 12 times its thickness on each side."""
    stack = schedule(job, "bottom_patch_rovings")
    reach = 12 * stack.row_thickness_mm[-1]
    first = found.parts["bottom"].layers[0]
    assert first.area_m2 == pytest.approx((240 + 2 * reach) * (70 + 2 * reach) / 1e6)
    assert first.layer.resin.id == "vinyl_ester", "the first ply laid from outside lies at the end of the list"


def test_buying_is_never_less_than_what_stays(found):
    for part in found.parts.values():
        assert all(r.to_buy_kg > r.stays_kg for r in part.resins)
        for fabric in part.fabrics:
            assert fabric.to_buy_m2 >= fabric.net_m2 + fabric.lap_m2
            assert fabric.to_buy_m * 1e3 >= fabric.plan.length_mm - 1e-6
            assert 0 <= fabric.waste_share < 1


def test_gel_coat_by_film(job, found):
    """0.5 mm cured from a wet film of 0.5/(1 - 0.08); 20 % loss; wax 3 % in the second of two coats."""
    sole = found.parts["sole"]
    use = next(r for r in sole.resins if r.use == "gel coat")
    litres = 2.55 * 1.18 * 0.5 / 0.92 * 1.2
    assert use.to_buy_l == pytest.approx(litres)
    assert next(s for s in sole.supplies if s.item == "wax_solution").amount == pytest.approx(litres / 2 * 0.03)


def test_edge_putty_takes_the_place_of_core(found):
    sole = found.parts["sole"]
    frame_m2 = (2550 * 1180 - (2550 - 24) * (1180 - 24)) / 1e6
    assert sole.core_removed_kg == pytest.approx(frame_m2 * 0.019 * 240)


def test_stock_is_subtracted_and_containers_rounded_up(job, found):
    line = next(b for b in found.buying if b.item == "iso_polyester")
    assert line.packs == math.ceil(line.need / 5) and line.to_buy == 5 * line.packs
    place = [c.item for c in job.stock.containers].index("iso_polyester")
    roll = [r.item for r in job.stock.rolls].index("csm_450")
    stocked = take_off(update(job, {f"stock.containers[{place}].on_shelf": 7.5, f"stock.rolls[{roll}].on_shelf_m": 40}))
    less = next(b for b in stocked.buying if b.item == "iso_polyester")
    assert less.packs == math.ceil((line.need - 7.5) / 5)
    mat = next(b for b in stocked.buying if b.item == "csm_450")
    assert mat.to_buy == 0 and mat.cost == 0 and mat.need == pytest.approx(
        next(b for b in found.buying if b.item == "csm_450").need)


def test_cost_by_part_by_hand(found):
    bottom = found.parts["bottom"]
    prices = {"csm_450": 3.0 * 1.04, "csm_300": 2.1 * 1.04, "wr_600": 3.6 * 1.27}
    by_hand = sum(f.to_buy_m * prices[f.material] for f in bottom.fabrics)
    by_hand += sum(r.to_buy_kg * {"iso_polyester": 6.9, "vinyl_ester": 10.4, "gel_coat": 9.8}[r.resin]
                   for r in bottom.resins)
    by_hand += sum(s.amount * 4.2 for s in bottom.supplies if s.item == "acetone")
    assert found.cost_by_part["bottom"] == pytest.approx(by_hand)


def test_unpriced_items_and_date_are_shown(found):
    assert set(found.unpriced) == {"catalyst", "milled glass fibre", "microfibre", "wax solution", "foam former"}
    table = found.buying_table()
    assert any("prices of 2026-03-02" in name for name in table.columns)
    assert table.set_index("item").loc["catalyst", "price"] == "no price"


def test_both_unit_systems(found):
    line = next(b for b in found.buying if b.item == "iso_polyester")
    assert line.shown("metric") == "30.00 kg" and line.shown("us") == "66.14 lb"
    cut = found.parts["sole"].cut_table()
    # the mat is cut across the sole of 2550 x 1180, the fabric of the second ply along it
    assert cut["along roll [in]"][0] == pytest.approx(1180 / 25.4)
    assert cut["along roll [in]"][cut["piece"].tolist().index("laminate 2")] == pytest.approx(2550 / 25.4)
    assert found.parts["sole"].resin_table()["to buy [lb]"][0] == pytest.approx(
        found.parts["sole"].resins[0].to_buy_kg / 0.45359237)


def test_copies_double(job, found):
    one = take_off(update(job, {"parts.stringers.number": 1}), parts=["stringers"]).parts["stringers"]
    two = found.parts["stringers"]
    assert two.glass_kg() == pytest.approx(2 * one.glass_kg())
    assert two.resin_to_buy_kg() == pytest.approx(2 * one.resin_to_buy_kg())


def test_neighbouring_seams_are_staggered(job):
    edited = update(job, {"parts.sole.chosen": "sole_plywood", "schedules.sole_plywood.layers[0].count": 3})
    pieces = take_off(edited, parts=["sole"]).parts["sole"].pieces
    seams = [p.seams_mm[0] for p in pieces if p.strip == 1][:3]
    assert all(abs(a - b) >= 100 for a, b in pairwise(seams))


def test_roll_direction_across_the_part(job):
    """At 90 degrees the strips run the short way: ceil((2550 - 50)/(1270 - 50)) = 3."""
    edited = update(job, {"schedules.sole_board.layers[1].angle_deg": 90})
    pieces = [p for p in take_off(edited, parts=["sole"]).parts["sole"].pieces if p.ply == 2]
    assert len(pieces) == 3 and {p.along_mm for p in pieces} == {1180.0} and {p.angle_deg for p in pieces} == {90}
    assert not any(p.turned for p in pieces)  # the schedule says so, and a fabric with a direction is never turned


def test_epoxy_is_split_into_resin_and_hardener(job):
    edited = update(job, {"schedules.sole_board.layers[1].resin": "epoxy"})
    use = next(r for r in take_off(edited, parts=["sole"]).parts["sole"].resins if r.resin == "epoxy")
    assert use.catalyst_ml is None
    assert (use.to_buy_kg - use.hardener_kg) / 1.15 == pytest.approx(2 * use.hardener_kg / 1.00)


def test_refusals(job):
    with pytest.raises(InputError, match="part of this job"):
        take_off(job, parts=["keel"])
    with pytest.raises(InputError, match="must be one of"):
        take_off(job, options={"sole": "transom_board"})
    with pytest.raises(InputError, match="must not exceed 5"):
        take_off(job, parts=["sole"], thinner_percent_v=8)
    with pytest.raises(InputError, match="combination fraction"):
        take_off(job, combination_fraction=43)
    thinned = take_off(job, parts=["sole"], thinner_percent_v=5).parts["sole"]
    coat = next(r for r in thinned.resins if r.use == "gel coat")
    assert next(s for s in thinned.supplies if s.item == "styrene").amount == pytest.approx(0.05 * coat.to_buy_l)
