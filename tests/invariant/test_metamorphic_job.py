"""The same job written in another way gives the same figures; a known change of a job changes them in a known way."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.shop import job as jobs
from lamcalc.shop.job_batches import job_batches
from lamcalc.shop.job_panel import panel_result
from lamcalc.shop.job_quality import job_quality
from lamcalc.shop.job_stringer import stringer_result
from lamcalc.shop.job_text import read
from lamcalc.shop.job_transom import transom_comparison
from lamcalc.shop.takeoff import take_off

pytestmark = pytest.mark.invariant
DEMO = jobs.load_demo()
few = settings(max_examples=6, deadline=None)
SECTIONS = re.split(r"(?m)^(?=\[)", DEMO.text.replace("# end of job\n", ""))


def amounts(job):
    """Masses, resins, cost and buying list, by name."""
    found = take_off(job)
    parts = {
        name: (part.mass_kg, part.glass_kg(), sorted((r.use, r.resin, r.to_buy_kg) for r in part.resins))
        for name, part in found.parts.items()
    }
    return parts, {(line.item, line.thickness_mm): line.need for line in found.buying}, found.cost_by_part


def flat(value):
    """All numbers and words of nested tuples and dictionaries in a fixed order."""
    if isinstance(value, dict):
        return [one for key in sorted(value, key=str) for one in (str(key), *flat(value[key]))]
    if isinstance(value, list | tuple):
        return [one for part in value for one in flat(part)]
    return [value]


def same(one, two, rel=1e-9):
    left, right = flat(one), flat(two)
    assert len(left) == len(right)
    for a, b in zip(left, right):
        assert a == b if isinstance(a, str) or a is None else a == pytest.approx(b, rel=rel, abs=1e-9)


@given(st.permutations(range(1, len(SECTIONS))))
@few
def test_the_tables_of_a_job_file_may_stand_in_any_order(order):
    other = read(SECTIONS[0] + "".join(SECTIONS[k] for k in order) + "# end of job\n")
    assert other.model_dump() == DEMO.model_dump()
    same(amounts(other), amounts(DEMO))


@given(st.permutations(range(len(DEMO.prices.items))), st.permutations(range(len(DEMO.stock.rolls))))
@few
def test_the_order_of_prices_and_rolls_changes_nothing(prices, rolls):
    data = DEMO.model_dump(exclude_none=True)
    other = jobs.update(
        DEMO,
        {
            "prices.items": [data["prices"]["items"][k] for k in prices],
            "stock.rolls": [data["stock"]["rolls"][k] for k in rolls],
        },
    )
    same(amounts(other), amounts(DEMO))


def test_a_job_in_inches_and_pounds_is_the_same_job():
    """Each length, mass, power and temperature as a text with a US unit, and the pages in US units."""
    other = jobs.update(
        DEMO,
        {
            "parts.transom.outline.top_width_mm": f"{1500 / 25.4!r} in",
            "parts.transom.outline.height_mm": f"{620 / 25.4!r} in",
            "parts.transom.engine.mass_kg": f"{104 / 0.45359237!r} lb",
            "parts.transom.bolts.diameter_mm": f"{12 / 25.4!r} in",
            "parts.transom.engine.thrust_n": f"{2100 / 4.4482216152605!r} lbf",
            "shop.hull_temperature_c": "62.6 degF",
            "parts.bottom.pressure_kpa": f"{18 / 6.894757293168361!r} psi",
            "parts.sole.piece_length_mm": f"{2550 / 304.8!r} ft",
            "as_built.transom.glass_used_kg": f"{3.71 / 0.45359237!r} lb",
            "units": "us",
        },
    )
    same(amounts(other), amounts(DEMO))
    one, two = transom_comparison(DEMO), transom_comparison(other)
    for a, b in zip(one.results, two.results, strict=True):
        same(
            (a.thickness_mm, a.ei_up, a.cost, a.worst_turn_mrad, a.plate_deflection_mm),
            (b.thickness_mm, b.ei_up, b.cost, b.worst_turn_mrad, b.plate_deflection_mm),
        )
        same([m.reserve_factor for m in a.strength.margins], [m.reserve_factor for m in b.strength.margins])
    same(
        panel_result(DEMO, "bottom", "bottom_patch_rovings").deflection_mm,
        panel_result(other, "bottom", "bottom_patch_rovings").deflection_mm,
    )
    assert job_quality(DEMO, "transom").report.verdict == job_quality(other, "transom").report.verdict


@given(st.floats(0.3, 3.0))
@few
def test_an_engine_of_k_times_the_mass_and_thrust(factor):
    """Deflection, turn and crush by k; what is linear in the load keeps its order; thickness and cost stay."""
    other = jobs.update(
        DEMO, {"parts.transom.engine.mass_kg": 104 * factor, "parts.transom.engine.thrust_n": 2100 * factor}
    )
    one, two = transom_comparison(DEMO), transom_comparison(other)
    for a, b in zip(one.results, two.results, strict=True):
        same([value * factor for value in a.plate_deflection_mm], list(b.plate_deflection_mm), rel=1e-7)
        same([value * factor for value in a.strip_deflection_mm], list(b.strip_deflection_mm), rel=1e-7)
        same(
            (a.worst_turn_mrad * factor, a.crush_pressure_mpa * factor),
            (b.worst_turn_mrad, b.crush_pressure_mpa),
            rel=1e-7,
        )
        same((a.thickness_mm, a.cost, a.ei_up, a.core_mass_kg), (b.thickness_mm, b.cost, b.ei_up, b.core_mass_kg))
        for m, n in zip(a.strength.margins, b.strength.margins, strict=True):
            assert m.name == n.name
            same(m.reserve_factor, n.reserve_factor * factor, rel=1e-6)


def test_a_transom_seen_in_the_mirror():
    """Knees, edges and fibre directions exchanged port and starboard: the same movement and the same margins."""
    sides = {"parts.transom.edges.left": "clamped", "parts.transom.knees_at_mm": [-350.0, 500.0]}
    mirrored = {
        "parts.transom.edges.right": "clamped",
        "parts.transom.knees_at_mm": [-500.0, 350.0],
        "schedules.transom_inner_skin.layers[2].angle_deg": 90,
    }  # +45/-45 becomes -45/+45
    one, two = (transom_comparison(jobs.update(DEMO, change)) for change in (sides, mirrored))
    for a, b in zip(one.results, two.results, strict=True):
        same(list(a.plate_deflection_mm), list(b.plate_deflection_mm), rel=1e-6)
        same(
            sorted(m.reserve_factor for m in a.strength.margins),
            sorted(m.reserve_factor for m in b.strength.margins),
            rel=1e-4,
        )


@given(st.integers(1, 6))
@few
def test_n_stringers_take_n_times_the_material(number):
    other = jobs.update(DEMO, {"parts.stringers.number": number})
    one, two = (
        take_off(DEMO, parts=["stringers"]).parts["stringers"],
        take_off(other, parts=["stringers"]).parts["stringers"],
    )
    assert (one.copies, two.copies) == (2, number)
    same((one.mass_kg * number / 2, one.glass_kg() * number / 2), (two.mass_kg, two.glass_kg()))
    same([r.to_buy_kg * number / 2 for r in one.resins], [r.to_buy_kg for r in two.resins])
    same(
        [m.reserve_factor for m in stringer_result(DEMO, "stringers", "stringer_skin").margins],
        [m.reserve_factor for m in stringer_result(other, "stringers", "stringer_skin").margins],
    )


@given(st.floats(0.2, 5.0))
@few
def test_money_follows_the_price_list(factor):
    other = jobs.update(
        DEMO, {f"prices.items[{k}].price": entry.price * factor for k, entry in enumerate(DEMO.prices.items)}
    )
    one, two = take_off(DEMO), take_off(other)
    same({name: cost * factor for name, cost in one.cost_by_part.items()}, two.cost_by_part)
    same(one.buying_cost * factor, two.buying_cost)
    same(amounts(DEMO)[:2], amounts(other)[:2])


@given(st.floats(0.0, 0.5), st.floats(0.0, 0.5))
@few
def test_waste_is_bought_and_never_built_in(glass, resin):
    other = jobs.update(DEMO, {"waste.glass": glass, "waste.resin": resin})
    one, two = take_off(DEMO), take_off(other)
    for name, part in one.parts.items():
        same((part.mass_kg, part.glass_kg()), (two.parts[name].mass_kg, two.parts[name].glass_kg()))
        for a, b in zip(part.resins, two.parts[name].resins, strict=True):
            same(a.stays_kg, b.stays_kg)
            if a.use == "laminate":
                same(a.to_buy_kg / (1 + DEMO.waste.resin) * (1 + resin), b.to_buy_kg)


@pytest.mark.parametrize("people", [1, 3, 4])
def test_more_hands_mix_the_same_resin(people):
    """Another crew: the same resin and catalyst by mass, only pots and clock differ."""
    other = jobs.update(DEMO, {"shop.crew": people})
    one, two = job_batches(DEMO, "sole", "sole_board"), job_batches(other, "sole", "sole_board")
    plans = [(plan if isinstance(plan, tuple) else (plan,)) for plan in (one, two)]
    kg, catalyst = (
        [sum(getattr(b, name) for plan in found for b in plan.batches) for found in plans]
        for name in ("resin_kg", "second_kg")
    )
    assert kg[0] == pytest.approx(kg[1], rel=1e-9) and catalyst[0] == pytest.approx(catalyst[1], rel=1e-9)
    pots = [sum(len(plan.batches) for plan in found) for found in plans]
    assert (pots[1] >= pots[0]) if people < DEMO.shop.crew else (pots[1] <= pots[0])


@given(st.text("abcdefghij ", min_size=1, max_size=20), st.text("xyz ", max_size=20))
@few
def test_words_change_no_figure(name, note):
    other = jobs.update(
        DEMO, {"name": name.strip() or "a", "parts.transom.note": note, "parts.sole.title": name.strip() or "a"}
    )
    same(amounts(other), amounts(DEMO))


@given(st.floats(0.3, 3.0))
@few
def test_pressure_times_k(factor):
    one = panel_result(DEMO, "bottom", "bottom_patch_rovings")
    two = panel_result(jobs.update(DEMO, {"parts.bottom.pressure_kpa": 18 * factor}), "bottom", "bottom_patch_rovings")
    same(one.deflection_mm * factor, two.deflection_mm, rel=1e-7)
    same([m.reserve_factor for m in one.margins], [m.reserve_factor * factor for m in two.margins], rel=1e-6)


def test_readings_of_the_quality_page_in_another_order():
    other = jobs.update(
        DEMO,
        {
            "as_built.transom.thickness_mm": list(DEMO.as_built["transom"].thickness_mm)[::-1],
            "as_built.transom.barcol": sorted(DEMO.as_built["transom"].barcol),
        },
    )
    one, two = job_quality(DEMO, "transom").report, job_quality(other, "transom").report
    assert [(c.name, c.verdict) for c in one.checks] == [(c.name, c.verdict) for c in two.checks]
    same([c.measured for c in one.checks], [c.measured for c in two.checks])
