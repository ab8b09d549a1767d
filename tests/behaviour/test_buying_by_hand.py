"""What is bought, cut and filled, each worked out by hand from the job file."""

import math

import pytest

from lamcalc.schedule import Coat, CoreLayer
from lamcalc.shop.job import load_demo, update
from lamcalc.shop.job_schedule import catalogue
from lamcalc.shop.scarf import scarf_plan
from lamcalc.shop.takeoff import take_off
from lamcalc.shop.takeoff_layers import laid_layers
from lamcalc.shop.takeoff_resin import resin_use

pytestmark = pytest.mark.behaviour


@pytest.fixture(scope="module")
def job():
    return load_demo()


def line(found, item):
    (one,) = [one for one in found.buying if one.item == item]
    return one


def test_a_can_sold_by_the_litre_counts_by_its_density(job):
    """Isophthalic of 1.100 kg/L in the job: 3 L on the shelf are 3.3 kg, a can of 20 L holds 22 kg."""
    need = line(take_off(job), "iso_polyester").need
    cans = [{"item": "iso_polyester", "size": 20, "unit": "L", "on_shelf": 3}, {"item": "acetone", "size": 4, "unit": "kg", "on_shelf": 1}]
    found = take_off(update(job, {"stock.containers": cans}))
    iso = line(found, "iso_polyester")
    assert iso.need == need and iso.on_shelf == pytest.approx(3.3, rel=1e-12) and iso.pack_size == pytest.approx(22.0, rel=1e-12)
    assert iso.packs == math.ceil((need - 3.3) / 22.0) and iso.to_buy == pytest.approx(22.0 * iso.packs, rel=1e-12)


def test_two_entries_of_one_can_add_up_and_the_first_sets_the_size(job):
    cans = [{"item": "iso_polyester", "size": 5, "unit": "kg", "on_shelf": 2}, {"item": "iso_polyester", "size": 20, "unit": "kg", "on_shelf": 4},
            {"item": "vinyl_ester", "size": 1, "unit": "kg", "on_shelf": 90}]
    found = take_off(update(job, {"stock.containers": cans}))
    iso, other = line(found, "iso_polyester"), line(found, "vinyl_ester")
    assert (iso.on_shelf, iso.pack_size, iso.packs) == (6.0, 5.0, math.ceil((iso.need - 6.0) / 5.0))
    assert (other.packs, other.to_buy, other.cost) == (0, 0.0, 0.0)


def test_fabric_is_measured_off_in_whole_tenths_of_a_metre_and_never_short(job):
    for one in take_off(job).buying:
        if one.unit == "m":
            assert one.to_buy * 10 == pytest.approx(round(one.to_buy * 10), abs=1e-9)
            assert -1e-9 <= one.to_buy - one.need < 0.1
    rolls = [dict(roll) | {"on_shelf_m": 1.07 if roll.item == "csm_450" else 0.0} for roll in job.stock.rolls]
    mat = line(take_off(update(job, {"stock.rolls": rolls})), "csm_450")
    assert mat.on_shelf == 1.07 and mat.to_buy == pytest.approx(math.ceil((mat.need - 1.07) * 10) / 10, rel=1e-12)


def test_each_layer_of_a_patch_has_its_own_size(job):
    """Plies follow the rings of the scarf, the gel coat covers the largest, whatever else fills the hole."""
    entry = job.parts["bottom"]
    found, _ = laid_layers(job, "bottom")
    plies = [item for item in found if item.glass_gsm]
    rings = scarf_plan([item.layer.thickness_mm or 1.0 for item in plies], hole_length_mm=entry.repair.damage_length_mm,
                       hole_width_mm=entry.repair.damage_width_mm, ratio=entry.repair.scarf_ratio, smallest_first=True).rings
    assert len(rings) == len(plies)
    (coat,) = [item for item in found if isinstance(item.layer, Coat)]
    largest = max(plies, key=lambda item: item.area_m2)
    assert coat.length_mm >= largest.length_mm and coat.width_mm >= largest.width_mm
    assert coat.area_m2 == pytest.approx(coat.length_mm * coat.width_mm / 1e6, rel=1e-12)
    assert coat.length_mm > entry.repair.damage_length_mm and coat.width_mm > entry.repair.damage_width_mm


def sole_with(job, layer, **more):
    """The demo's sole with its core's entry replaced in part."""
    layers = [dict(entry.model_dump(exclude_unset=True)) for entry in job.layers("sole_board")]
    place = next(k for k, entry in enumerate(layers) if entry["kind"] == "core")
    layers[place] = {key: value for key, value in (layers[place] | layer).items() if value is not None}
    return update(job, {"schedules.sole_board.layers": layers, **more})


@pytest.mark.parametrize("angle, blanks", [(0, (2550.0, 1180.0)), (90, (1180.0, 2550.0))])
def test_a_core_turned_by_a_quarter_is_cut_turned(job, angle, blanks):
    """Sheets 3000 x 1220 mm: lengthwise one holds the piece of 2550 x 1180 mm; turned, 2550 needs three of 1220 across."""
    plywood = {"core": "ply_okoume", "thickness_mm": 19.0, "angle_deg": angle, "density_kg_m3": None}
    sheet = [{"item": "ply_okoume", "thickness_mm": 19.0, "length_mm": 3000, "width_mm": 1220, "on_shelf": 0}]
    found = take_off(sole_with(job, plywood, **{"stock.sheets": sheet}), parts=["sole"]).parts["sole"]
    (core,) = [one for one in found.supplies if one.use.startswith("core")]
    sizes = {(place.along_mm, place.across_mm) for place in core.plan.places}
    rows, columns = (math.ceil(b / s) for b, s in zip(blanks, (3000.0, 1220.0), strict=True))
    assert sizes == {(blanks[0] / rows, blanks[1] / columns)}


def test_a_core_whose_sheet_is_not_known_is_bought_by_area(job):
    foam = {"core": "pvc_80", "thickness_mm": 17.0, "density_kg_m3": None}
    core_id = next(core for core in catalogue(job).cores if catalogue(job).cores[core].family not in ("plywood", "cast"))
    found = take_off(sole_with(job, foam | {"core": core_id}), parts=["sole"]).parts["sole"]
    (core,) = [one for one in found.supplies if "core" in one.use]
    assert (core.unit, core.thickness_mm, core.use) == ("m2", 17.0, "core, sheet size unknown")
    assert core.amount == pytest.approx(2.55 * 1.18, rel=1e-9)
    (laid,) = [item for item in found.layers if isinstance(item.layer, CoreLayer)]
    assert core.net_kg == pytest.approx(laid.area_m2 * laid.mass_gsm / 1e3, rel=1e-12)


def test_putty_of_a_bond_line_counts_below_a_millimetre_too(job):
    layers = [dict(entry.model_dump(exclude_unset=True)) for entry in job.layers("sole_board")]
    place = next(k for k, entry in enumerate(layers) if entry["kind"] == "core")
    bond = {"kind": "bond", "reinforcement": "csm_300", "resin": "iso_polyester", "process": "hand", "putty_thickness_mm": 0.5,
            "putty_fill_mm": 0.25, "putty_e_mpa": 2500, "putty_density_kg_m3": 1300}
    with_bond = update(job, {"schedules.sole_board.layers": [*layers[:place], bond, *layers[place:]]})
    found, putty = laid_layers(with_bond, "sole")
    (line_,) = [need for need in putty if need.use == "bond line 1"]
    assert line_.net_ml == pytest.approx(0.75 * 2.55 * 1.18 * 1e3, rel=1e-9)
    assert len(found) == len(laid_layers(job, "sole")[0]) + 1


def test_a_part_in_two_copies_takes_twice_its_solid_layers(job):
    layers = [dict(entry.model_dump(exclude_unset=True)) for entry in job.layers("sole_board")]
    solid = {"kind": "solid", "name": "lead sheet", "thickness_mm": 1.0, "e_mpa": 16000, "nu12": 0.44, "density_kg_m3": 11340,
             "status": "assumed", "existing": False}
    twice = update(job, {"schedules.sole_board.layers": [*layers[:-1], solid, layers[-1]], "parts.sole.number": 2})
    found = take_off(twice, parts=["sole"]).parts["sole"]
    (lead,) = [one for one in found.supplies if one.item == "lead sheet"]
    kg = 2 * 2.55 * 1.18 * 11.34
    assert (lead.use, lead.unit) == ("layer of the schedule", "kg")
    assert lead.amount == pytest.approx(kg, rel=1e-9) and lead.net_kg == pytest.approx(kg, rel=1e-9)


def test_the_hardener_of_an_epoxy_is_taken_out_of_the_mixture(job):
    entry = job.resins["epoxy"]
    use = resin_use(job, catalogue(job), "bond line", "epoxy", stays_kg=1.0, to_buy_kg=1.3)
    hardener = 1.3 / (1 + entry.ratio_by_volume * entry.resin_density_kg_m3 / entry.hardener_density_kg_m3)
    assert (use.use, use.resin, use.stays_kg, use.to_buy_kg) == ("bond line", "epoxy", 1.0, 1.3)
    assert use.hardener_kg == pytest.approx(hardener, rel=1e-12) and use.catalyst_ml is use.catalyst_g is None
    assert use.to_buy_l == pytest.approx(1e3 * ((1.3 - hardener) / entry.resin_density_kg_m3 + hardener / entry.hardener_density_kg_m3))
