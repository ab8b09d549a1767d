"""Small facts of the take-off that other tests leave open: names, allowances, blanks of a patch, one part alone."""

from itertools import pairwise

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.schedule import Coat
from lamcalc.shop.job import load_demo, update
from lamcalc.shop.job_schedule import catalogue, schedule
from lamcalc.shop.takeoff import compare_fractions, take_off
from lamcalc.shop.takeoff_layers import ground_skin_mm, laid_layers

pytestmark = pytest.mark.behaviour
FILLED = {"kind": "solid", "name": "filler", "thickness_mm": 5.0, "e_mpa": 3000, "nu12": 0.35, "density_kg_m3": 1300,
          "status": "assumed", "existing": False}


@pytest.fixture(scope="module")
def job():
    return load_demo()


def test_each_fabric_goes_by_its_name_and_weight_in_the_catalogue(job):
    shelf = catalogue(job)
    for part in take_off(job).parts.values():
        assert part.fabrics
        for fabric in part.fabrics:
            known = shelf.reinforcement(fabric.material)
            assert (fabric.name, fabric.areal_weight_gsm) == (known.name, float(known.areal_weight_gsm))
            assert {piece.name for piece in part.pieces if piece.material == fabric.material} == {known.name}


@pytest.mark.parametrize("loss", [0.0, 0.9])
def test_a_fabric_is_bought_by_its_cutting_plan_or_by_its_allowance_whichever_is_longer(job, loss):
    longer = 0
    for part in take_off(update(job, {"waste.glass": loss})).parts.values():
        for fabric in part.fabrics:
            plan, allowed = (fabric.plan.length_mm / 1e3,
                             (fabric.net_m2 + fabric.lap_m2) * (1 + loss) / (fabric.plan.width_mm / 1e3))
            assert fabric.to_buy_m == pytest.approx(max(plan, allowed), rel=1e-12)
            longer += allowed > plan * (1 + 1e-9)
    assert bool(longer) == (loss > 0)


def test_plies_of_a_patch_step_up_the_scarf_by_their_thickness(job):
    """Smallest first: ply k reaches ratio x (t1 + ... + tk) beyond the hole, more if the skin is thicker."""
    repair, shelf = job.parts["bottom"].repair, catalogue(job)
    found = [item for item in laid_layers(job, "bottom")[0] if item.glass_gsm]
    stack = schedule(job, job.parts["bottom"].chosen, shelf)
    # inner_first: the last line of the list goes in first
    rows = zip(stack.row_thickness_mm, stack.row_glass_gsm, strict=True)
    thickness = [float(t) for t, glass in rows if glass > 0][::-1]
    longer = max(1.0, ground_skin_mm(job, "bottom", shelf) / sum(thickness))
    reach = repair.scarf_ratio * np.cumsum(thickness) * longer
    assert [item.length_mm for item in found] == pytest.approx(list(repair.damage_length_mm + 2 * reach), rel=1e-12)
    assert [item.width_mm for item in found] == pytest.approx(list(repair.damage_width_mm + 2 * reach), rel=1e-12)
    assert all(small.area_m2 < large.area_m2 for small, large in pairwise(found))
    assert [item.area_m2 for item in found] == pytest.approx([item.length_mm * item.width_mm / 1e6 for item in found])
    (coat,) = [item for item in laid_layers(job, "bottom")[0] if isinstance(item.layer, Coat)]
    assert (coat.length_mm, coat.width_mm) == pytest.approx((found[-1].length_mm, found[-1].width_mm), rel=1e-12)


def test_a_patch_without_plies_is_refused_in_words(job):
    name = job.parts["bottom"].chosen
    bare = update(job, {f"schedules.{name}.layers": [FILLED]})
    with pytest.raises(InputError) as found:
        laid_layers(bare, "bottom")
    assert str(found.value) == "patch must have at least one ply [-]; received 0. Next: add the plies to its schedule."


def test_two_fractions_are_compared_on_one_part_alone(job):
    undecided = update(job, {"parts.bottom.chosen": None})
    with pytest.raises(InputError, match="^schedule of part bottom must be one of bottom_patch"):
        compare_fractions(undecided, "bottom")
    option = job.parts["bottom"].options[0]
    assert compare_fractions(undecided, "bottom", option=option).equals(compare_fractions(job, "bottom", option=option))
    # what is wrong with one part does not keep another from being compared
    name = job.parts["bottom"].chosen
    bare = update(job, {f"schedules.{name}.layers": [FILLED]})
    assert compare_fractions(bare, "transom").equals(compare_fractions(job, "transom"))
