"""Words, columns and small sums of the take-off, each by hand."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from lamcalc.errors import InputError
from lamcalc.shop.job import load_demo, update
from lamcalc.shop.job_batches import resin_needs
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.takeoff import BuyLine, compare_fractions, labour, labour_words, material_name, take_off
from lamcalc.shop.takeoff_cut import Fabric, core_supplies, roll_width
from lamcalc.shop.takeoff_layers import PuttyNeed, chosen_schedule, laid_layers
from lamcalc.shop.takeoff_records import PartTakeOff, TakeOff
from lamcalc.shop.takeoff_resin import ResinUse, Supply, putty_supplies, resin_use

pytestmark = pytest.mark.behaviour
ROLL = SimpleNamespace(width_mm=1250.0, length_mm=5000.0)


@pytest.fixture(scope="module")
def job():
    return load_demo()


def test_fabric_by_area_and_by_plan():
    cloth = Fabric("wr_600", "woven roving", 600.0, 6.0, 1.5, ROLL, 8.0)
    # 7.5 m2 and a tenth from a roll of 1.25 m are 6.6 m; the plan needs 5 m at least
    assert cloth.metres(0.1) == pytest.approx(6.6, rel=1e-12) and cloth.metres(0.0) == pytest.approx(6.0, rel=1e-12)
    assert Fabric("wr_600", "woven roving", 600.0, 2.0, 0.5, ROLL, 5.0).metres(0.1) == 5.0
    assert (cloth.net_kg, cloth.lap_kg) == (pytest.approx(3.6, rel=1e-12), pytest.approx(0.9, rel=1e-12))
    assert cloth.to_buy_m2 == pytest.approx(10.0, rel=1e-12) and cloth.waste_share == pytest.approx(0.25, rel=1e-12)
    with pytest.raises(InputError, match="^allowance on glass must be 0 or more"):
        cloth.metres(-0.1)


def part():
    layers = (SimpleNamespace(group="laminate", glass_gsm=450.0, area_m2=2.0),
              SimpleNamespace(group="tabbing", glass_gsm=600.0, area_m2=0.5),
              SimpleNamespace(group="crown", glass_gsm=400.0, area_m2=0.25))
    resins = (ResinUse("laminate", "iso", 2.0, 2.3, 2.1, 30.0, 34.0, None),
              ResinUse("laps", "iso", 0.2, 0.25, 0.22, 3.0, 3.4, None),
              ResinUse("putty, fillet", "iso", 0.4, 0.5, 0.45, 6.0, 6.8, None))
    supplies = (Supply("silica", "putty, fillet", 0.1, "kg", net_kg=0.08),
                Supply("board", "core", 2, "sheet", 19.0, net_kg=5.0))
    pieces = (SimpleNamespace(label="laminate 1.2", name="mat", angle_deg=90.0, mat_side="down", strip=2, strips=3,
                              along_mm=2540.04, across_mm=508.26, copies=2, seams_mm=(500.2, 900.0), staggered=False, turned=True),
              SimpleNamespace(label="laminate 2", name="mat", angle_deg=0.0, mat_side="-", strip=1, strips=1,
                              along_mm=254.0, across_mm=25.4, copies=1, seams_mm=(), staggered=True, turned=False))
    cloth = Fabric("wr_600", "woven roving", 600.0, 6.0, 1.5, ROLL, 8.0)
    return PartTakeOff("sole", "Sole", "sole_board", 2, layers, pieces, (cloth,), resins, supplies, 0.5)


def test_sums_of_a_part():
    one = part()
    # two copies of 900 + 300 + 100 g
    assert one.glass_kg() == pytest.approx(2.6, rel=1e-12) and one.glass_kg("tabbing") == pytest.approx(0.6, rel=1e-12)
    assert one.resin_in_laminate_kg() == 2.0 and one.resin_in_laminate_kg("putty, fillet") == 0.4
    assert one.resin_to_buy_kg() == pytest.approx(2.55, rel=1e-12) and one.resin_to_buy_kg("laps") == 0.25
    # fabric 4.5, resin 2.6, silica 0.08 and core 5.0 less the 0.5 cut out of it
    assert one.mass_kg == pytest.approx(4.5 + 2.6 + 5.08 - 0.5, rel=1e-12)


def test_tables_of_a_part():
    cut = part().cut_table().to_dict("records")
    assert cut[0] == {
        "piece": "laminate 1.2", "fabric": "mat", "roll direction [deg]": 90.0, "mat side": "down", "strip": "2 of 3",
        "along roll [mm]": 2540.0, "across roll [mm]": 508.3,
        "along roll [in]": pytest.approx(2540.04 / 25.4, rel=1e-9),
        "across roll [in]": pytest.approx(508.26 / 25.4, rel=1e-9), "copies": 2,
        "seams from first edge [mm]": "500, 900",
        "seams clear of ply before": "NO: shift by hand or use a wider roll", "turned by 90 deg": "yes"}
    assert (cut[1]["seams from first edge [mm]"], cut[1]["seams clear of ply before"]) == ("-", "yes")
    assert cut[1]["turned by 90 deg"] == "no"
    row = part().resin_table().to_dict("records")[0]
    assert row == {
        "use": "laminate", "resin": "iso", "stays in the part [kg]": 2.0, "to buy [kg]": 2.3,
        "stays in the part [lb]": pytest.approx(2.0 / 0.45359237, rel=1e-9),
        "to buy [lb]": pytest.approx(2.3 / 0.45359237, rel=1e-9), "to buy [L]": 2.1,
        "to buy [gal]": pytest.approx(2.1 / 3.785411784, rel=1e-9), "catalyst [mL]": 30.0, "catalyst [g]": 34.0,
        "hardener in it [kg]": None}


def line(item, need, unit, to_buy, **more):
    return BuyLine(item, need, unit, 0.0, None, None, to_buy, None, **more)


@pytest.mark.parametrize(("need", "unit", "metric", "us"), [
    (1.0, "kg", "1.00 kg", "2.20 lb"), (0.5, "kg", "500.0 g", "17.64 oz"), (2.0, "L", "2.00 L", "0.53 gal"),
    (0.25, "L", "250.0 mL", "8.45 fl oz"), (1, "sheet", "1 sheet", "1 sheet"), (2, "sheet", "2 sheets", "2 sheets"),
    (0.0, "kg", "0.00 kg", "0.00 lb"), (3.0, "m", "3.000 m", "9.84 ft")])
def test_amounts_in_words(need, unit, metric, us):
    one = line("wax_solution", need, unit, need)
    assert (one.shown("metric"), one.shown("us")) == (metric, us)
    assert (one.words("metric"), one.status) == ("wax solution", "no price")
    assert line("x", 0.1, "kg", 5.0).shown("metric", 0.1) == "0.10 kg", "beside 5 kg to buy in the unit of the 5 kg"


def test_buying_and_cost_tables():
    board = BuyLine("board", 1.5, "sheet", 0.0, 2, 1.0, 2.0, 90.0, 19.0, "entered", "Board 240")
    found = TakeOff({"sole": part()}, (board, line("acetone", 2.0, "L", 2.0)), {"sole": 95.5}, ("acetone",), "credits",
                    "2026-03-02", "basis")
    assert found.buying_cost == 90.0
    assert board.words("metric") == "Board 240, 19.0 mm" and board.words("us") == "Board 240, 0.748 in"
    rows = found.buying_table().to_dict("records")
    assert rows[0] == {
        "item": "Board 240, 19.0 mm", "needed, metric": "1.5 sheets", "needed, US": "1.5 sheets",
        "on the shelf": "0 sheets", "to buy, metric": "2 sheets", "to buy, US": "2 sheets", "containers or sheets": 2.0,
        "cost [credits, prices of 2026-03-02]": 90.0, "key": "board", "price": "entered"}
    assert found.cost_table().to_dict("records") == [
        {"part": "sole", "schedule": "sole_board", "materials [credits, prices of 2026-03-02]": 95.5}]


def test_labour_in_words(job):
    names = ["sole", "bottom"]
    assert labour_words(job, names) == "Labour is not in it: the job gives no hours."
    timed = update(job, {"parts.sole.labour_hours": 12, "parts.bottom.labour_hours": 3.5, "shop.labour_per_hour": 40})
    assert labour(timed, names) == ({"sole": 480.0, "bottom": 140.0}, ())
    assert labour_words(timed, names) == "Labour comes to 620.00 credits more, 15.5 h at 40 an hour."
    some = update(job, {"parts.sole.labour_hours": 12, "shop.labour_per_hour": 40})
    assert labour_words(some, names) == ("Labour comes to 480.00 credits more, 12 h at 40 an hour; without hours: "
                                         "Hull bottom panel, patch from outside.")
    assert labour(some)[1] == ("transom", "stringers", "bottom")


def test_names_and_refusals(job):
    shelf = catalogue(job)
    assert material_name(shelf, "acetone") == "acetone" and material_name(shelf, "foam_former") == "foam former"
    assert material_name(shelf, "iso_polyester") == shelf.resin("iso_polyester").name
    with pytest.raises(InputError) as caught:
        chosen_schedule(job, "keel")
    assert str(caught.value) == ("part must be a part of this job [-]; received 'keel'. "
                                 "Next: choose one of: transom, stringers, bottom, sole.")
    with pytest.raises(InputError) as caught:
        chosen_schedule(job, "sole", "other")
    assert caught.value.name == "schedule of part sole" and caught.value.next_step == "set `chosen` in the job file"
    assert caught.value.rule.startswith("must be one of ") and caught.value.value == "other"
    with pytest.raises(InputError) as caught:
        take_off(job, parts=[])
    assert str(caught.value) == ("the job has no part with a chosen schedule. "
                                 "Next: enter [parts.NAME] with `chosen` in the job file.")
    bare = SimpleNamespace(reinforcement=SimpleNamespace(id="tape", roll_width_mm=None))
    with pytest.raises(InputError) as caught:
        roll_width(job, bare, shelf)
    assert str(caught.value) == ("roll width of tape must be known [mm]; received nothing. "
                                 "Next: add it to stock.rolls of the job.")


def test_use_words_of_the_demo(job):
    found = take_off(job).parts
    assert [(s.item, s.use, s.unit) for s in found["sole"].supplies] == [
        ("pu_board_240", "core", "sheet"), ("milled_glass_fibre", "putty, edge close-out", "kg"),
        ("silica", "putty, edge close-out", "kg"), ("wax_solution", "last coat only", "L"),
        ("acetone", "cleaning, never thinning", "L")]
    assert [(s.item, s.use, s.unit) for s in found["transom"].supplies] == [
        ("cast_640", "core, poured", "kg"), ("microfibre", "putty, fillet", "kg"), ("silica", "putty, fillet", "kg"),
        ("acetone", "cleaning, never thinning", "L")]
    former = found["stringers"].supplies[0]
    assert (former.item, former.use) == ("foam former", "inside the stringers, offcuts not counted")
    assert [r.use for r in found["sole"].resins] == ["laminate", "laps", "putty, edge close-out", "gel coat"]
    assert found["transom"].title == "Transom rebuild, inside job, outer skin kept"


def test_fractions_compared(job):
    table = compare_fractions(job, "transom", option="transom_board", combination_fraction=0.45)
    assert list(table.columns) == ["glass fractions", "glass [kg]", "resin in the laminate [kg]", "resin to buy [kg]"]
    assert list(table["glass fractions"]) == [
        "catalogue glass fraction of each component of a mat-backed fabric",
        "glass fraction 0.45 of the whole ply for mat-backed fabrics"]
    board = take_off(job, parts=["transom"], options={"transom": "transom_board"}).parts["transom"]
    assert table["glass [kg]"][0] == pytest.approx(board.glass_kg("laminate"), rel=1e-12)
    plain = compare_fractions(job, "transom")
    assert plain["resin in the laminate [kg]"][0] == pytest.approx(
        take_off(job, parts=["transom"]).parts["transom"].resin_in_laminate_kg("laminate"), rel=1e-12)


ALONG, ACROSS = (2550.0, 1180.0), (1180.0, 2550.0)


@pytest.mark.parametrize(("angle", "blank"), [(0, ALONG), (90, ACROSS), (180, ALONG), (270, ACROSS), (-90, ACROSS)])
def test_core_pieces_follow_the_grain(job, angle, blank):
    edited = update(job, {"parts.sole.chosen": "sole_plywood"})
    layers = laid_layers(edited, "sole")[0]
    core = next(item for item in layers if hasattr(item.layer, "core"))
    turned = SimpleNamespace(core=core.layer.core, thickness_mm=core.layer.thickness_mm, angle_deg=float(angle))
    assert core_supplies(edited, [SimpleNamespace(layer=turned)], 1) == [], "only layers of core count"
    supply, = core_supplies(edited, [replace(core, layer=replace(core.layer, angle_deg=float(angle)))], 1)
    # as many equal pieces as sheets of the stock need: along and across the grain
    size = supply.plan.sheet_length_mm, supply.plan.width_mm
    rows, columns = (-(-b // s) for b, s in zip(blank, size, strict=True))
    assert sorted(place.piece.label for place in supply.plan.places) == [
        f"core {core.number} of {k}" for k in range(1, int(rows * columns) + 1)]
    assert (supply.item, supply.use) == (core.layer.core.id, "core")
    assert supply.unit == "sheet" and supply.amount >= blank[0] * blank[1] / (size[0] * size[1])


def test_prices_per_litre_per_square_metre_and_of_another_kind(job):
    names = [entry.item for entry in job.prices.items]
    resin, mat = (f"prices.items[{names.index(name)}]" for name in ("iso_polyester", "csm_450"))
    plain = take_off(job, parts=["bottom"])
    litres = {use.resin: use.to_buy_l for use in plain.parts["bottom"].resins}["iso_polyester"]
    kilos = {use.resin: use.to_buy_kg for use in plain.parts["bottom"].resins}["iso_polyester"]
    metres = {one.material: one.to_buy_m for one in plain.parts["bottom"].fabrics}["csm_450"]
    rest = plain.cost_by_part["bottom"] - 6.9 * kilos - 3.0 * 1.04 * metres
    changes = {f"{resin}.per": "L", f"{resin}.price": 7.0, f"{mat}.per": "m", f"{mat}.price": 4.0}
    by_litre = take_off(update(job, changes), parts=["bottom"])
    assert by_litre.cost_by_part["bottom"] == pytest.approx(rest + 7.0 * litres + 4.0 * metres, rel=1e-9)
    # a price for each piece says nothing about kilograms or metres
    unfit = take_off(update(job, {f"{resin}.per": "each", f"{mat}.per": "kg"}), parts=["bottom"])
    assert unfit.cost_by_part["bottom"] == pytest.approx(rest, rel=1e-9)
    assert {"isophthalic polyester", "chopped strand mat 450 g/m2 (1.5 oz/ft2)"} <= set(unfit.unpriced)
    line = next(one for one in unfit.buying if one.item == "iso_polyester")
    assert (line.cost, line.status) == (None, "no price")


def test_outline_by_points_is_cut_from_its_box(job):
    corners = [[0, 0], [900, 0], [1000, 400], [-50, 450]]
    # net area by hand 0.415 m2, so that the demo's measured one does not stand against the corners
    edited = update(job, {"parts.transom.outline.polygon_mm": corners, "parts.transom.outline.net_area_m2": 0.415})
    layer = laid_layers(edited, "transom")[0][0]
    assert (layer.length_mm, layer.width_mm) == (1050.0, 450.0)
    # corners by cross products: (900 400 + (1000 450 + 50 400))/2 mm2
    assert edited.parts["transom"].outline.drawn_area_m2 == pytest.approx((360e3 + 470e3) / 2e6, rel=1e-12)
    assert layer.area_m2 == 0.415


def test_a_schedule_that_is_there_already_is_neither_bought_nor_weighed_as_new():
    """Marked `existing` as a whole: the same take-off as with every layer marked by itself, and nothing of it is bought."""
    demo = load_demo()
    name = demo.parts["sole"].chosen
    whole = update(demo, {f"schedules.{name}.existing": True})
    part = take_off(whole, parts=["sole"], options={"sole": name}).parts["sole"]
    new = take_off(demo, parts=["sole"], options={"sole": name}).parts["sole"]
    assert new.fabrics and new.mass_kg > 10
    assert not part.fabrics and not part.layers and part.mass_kg < 0.2 * new.mass_kg


def test_bond_plies_are_marked_and_laid_into_the_wet(job):
    layers = laid_layers(job, "transom")[0]
    # the board option: bond, board, bond, board, skin of five, tabbing of three
    assert [item.bond for item in layers] == [True, False, True] + [False] * 9
    plies = [need for need in resin_needs(job, "transom") if ": " in need.name]
    # a bond goes on with the core before it; the skin over the last core begins a session
    assert [need.new_session for need in plies[:3]] == [False, False, True]


def test_putty_to_buy_is_the_putty_that_stays_with_its_loss(job):
    shelf = catalogue(job)
    dense = update(job, {"resins.iso_polyester.liquid_density_kg_m3": 1210.0})
    for one in (job, dense):
        resin, fillers = putty_supplies(one, [PuttyNeed("fillet", 146.0, "iso_polyester", "fillet")], 2, shelf)
        for kept, bought in ((resin[0].stays_kg, resin[0].to_buy_kg), *((item.net_kg, item.amount) for item in fillers)):
            assert bought == pytest.approx(kept * (1 + one.waste.putty), rel=1e-12)


def test_hat_plies_are_as_wide_as_crown_webs_and_legs(job):
    entry = job.parts["stringers"]
    lean = (entry.base_width_mm - entry.top_width_mm) / 2
    girth = entry.top_width_mm + 2 * (entry.height_mm**2 + lean**2) ** 0.5
    layers = [item for item in laid_layers(job, "stringers")[0] if item.group == "laminate"]
    for item, leg in zip(layers, entry.legs_mm, strict=True):
        assert item.width_mm == pytest.approx(girth + 2 * leg, rel=1e-12)
        assert item.area_m2 == pytest.approx(item.width_mm * entry.length_mm / 1e6, rel=1e-12)


def test_a_fabric_without_a_roll_on_the_shelf_takes_the_width_of_the_catalogue(job):
    shelf = catalogue(job)
    found = take_off(update(job, {"stock.rolls": []}), parts=["sole"]).parts["sole"].fabrics
    assert found
    for one in found:
        assert one.plan.width_mm == float(shelf.reinforcement(one.material).roll_width_mm)
    narrow = [{"item": one.material, "width_mm": 800} for one in found]
    assert all(one.plan.width_mm == 800 for one in
               take_off(update(job, {"stock.rolls": narrow}), parts=["sole"]).parts["sole"].fabrics)


def test_epoxy_is_told_in_litres_of_both_components(job):
    # two to one by volume, 1150 and 1000 kg/m3: 2 L and 1 L are 2.3 kg and 1.0 kg
    use = resin_use(job, catalogue(job), "holes", "epoxy", stays_kg=3.0, to_buy_kg=3.3)
    assert (use.to_buy_l, use.hardener_kg) == (pytest.approx(3.0, rel=1e-12), pytest.approx(1.0, rel=1e-12))
