"""Refusals of the shop floor: what is said, in words, and that nothing is clipped."""

import pickle

import numpy as np
import pytest

from lamcalc.errors import InputError
from lamcalc.shop import (clamping, climate, coating, fillets, fresh_air, joints, limits, mixing, quality, readings,
                          survey)
from lamcalc.shop.batching import (Climate, CrewRules, PlyNeed, ResinCan, clock, clock_minutes, crew_batch_kg,
                                   plan_batches)

pytestmark = pytest.mark.behaviour
CAN = {"name": "isophthalic", "family": "polyester", "gel_minutes": 28, "at_c": 20, "at_percent_v": 1.5,
       "catalyst_window": (1.0, 2.5)}
POLYESTER = ResinCan(**CAN)
EPOXY = ResinCan(name="epoxy", family="epoxy", gel_minutes=25, at_c=25, hardener_ratio_v=2.0,
                 hardener_density_kg_m3=1000)
DAY = Climate(air_c=18.5, hull_c=17, humidity_percent=63)


def need(kg=1.0, thickness_mm=1.0, can=POLYESTER):
    return PlyNeed(name="1 mat", resin_kg=kg, thickness_mm=thickness_mm, can=can, glass_fraction=0.3)


def day(**changes):
    return Climate(**{"air_c": 19, "hull_c": 19, "humidity_percent": 60, **changes})


def quality_page(**changes):
    base = {"planned_glass_fraction": 0.37, "planned_thickness_mm": 5.4, "thickness_mm": [5.5] * 10}
    return quality.assess(**{**base, **changes})


REFUSED = [
    (lambda: ResinCan(**{**CAN, "family": "polyurethane"}), "resin family must be one of polyester"),
    (lambda: ResinCan(**{**CAN, "catalyst_window": None}), "catalyst window of isophthalic must give"),
    (lambda: ResinCan(**{**CAN, "catalyst_window": (2.5, 1.0)}), "must rise from low to high"),
    (lambda: ResinCan(**{**CAN, "at_percent_v": None}), "at which percent the gel time holds"),
    (lambda: ResinCan(**{**CAN, "gel_minutes": 0}), "gel time of isophthalic must be greater than 0"),
    (lambda: ResinCan(**{**CAN, "hardener_ratio_v": 2}), "belongs to epoxy"),
    (lambda: ResinCan(**{**CAN, "factor_per_10c": (3, 2, 1)}), "must rise from low to high and be 1 or more"),
    (lambda: ResinCan(**{**CAN, "factor_per_10c": (2, 3)}), "must be low, typical and high"),
    (lambda: ResinCan(**{**CAN, "styrene_fraction": 42}), "write 0.42 for 42 %"),
    (lambda: ResinCan(name="e", family="epoxy", gel_minutes=25, at_c=25), "hardener ratio by volume of e is needed"),
    (lambda: ResinCan(name="e", family="epoxy", gel_minutes=25, at_c=25, catalyst_window=(1, 2)),
     "not a speed control"),
    (lambda: mixing.catalyst_dose(POLYESTER, 1.0, 0.9), "with less the cure stalls"),
    (lambda: mixing.catalyst_dose(POLYESTER, 1.0, 2.6), "more catalyst does not replace temperature"),
    (lambda: mixing.catalyst_dose(POLYESTER, 1.0, 0.9, basis="weight"), "with less the cure stalls"),
    (lambda: mixing.catalyst_dose(POLYESTER, 1.0, 1.5, basis="drops"), "must be 'volume' or 'weight'"),
    (lambda: mixing.catalyst_dose(POLYESTER, -1.0, 1.5), "resin must be greater than 0"),
    (lambda: mixing.catalyst_dose(EPOXY, 1.0, 1.5), "a wrong ratio never cures"),
    (lambda: mixing.epoxy_mix(POLYESTER, 1.0), "does not exist for polyester"),
    (lambda: mixing.drop_count(10, drops_per_ml=0), "counted drops must be greater than 0"),
    (lambda: coating.wax_ml(1000, 3, last_coat=False), "the last coat only"),
    (lambda: coating.wax_ml(1000, 10, last_coat=True), "must lie between 1.5 and 3.2"),
    (lambda: coating.thinner_ml(1000, 10), "must not exceed 5"),
    (lambda: coating.thinner_ml(1000, 2, kind="Acetone"), "must not be acetone"),
    (lambda: coating.coverage_m2_per_l(0), "wet film must be greater than 0"),
    (lambda: day(hull_c=68), "it looks like degrees Fahrenheit: 68 degF are 20.0 degC"),
    (lambda: day(humidity_percent=0.63), "write 63 for 63 %"),
    (lambda: day(humidity_percent=140), "up to 100"),
    (lambda: day(air_c=np.nan), "air temperature must be a finite number"),
    (lambda: climate.check_day(day(hull_c=14.9)), "hull temperature must be at least 15"),
    (lambda: climate.check_day(day(air_c=12)), "air temperature must be at least 15"),
    (lambda: climate.check_day(day(resin_c=10)), "resin temperature must be at least 15"),
    (lambda: climate.check_day(day(humidity_percent=81)), "must not exceed 80"),
    (lambda: climate.check_day(day(air_c=25, hull_c=19, humidity_percent=75)), "above the dew point of 20.3"),
    (lambda: climate.check_day(day(air_c=25, hull_c=23.2, humidity_percent=75)), "3 degC or more above the dew point"),
    (lambda: climate.gel_time(POLYESTER, 20, percent_v=3.0), "can's window"),
    (lambda: climate.gel_time(EPOXY, 20, percent_v=1.0), "does not exist for epoxy"),
    (lambda: climate.adiabatic_rise(30), "write 0.3 for 30 %"),
    (lambda: fresh_air.ventilation_m3_h(5, hours=0), "time must be greater than 0"),
    (lambda: need(kg=0), "resin of 1 mat must be greater than 0"),
    (lambda: CrewRules(people=0), "people must be a whole number"),
    (lambda: CrewRules(people=1.5), "people must be a whole number"),
    (lambda: CrewRules(start="17:00", end="08:00"), "must be later than the start"),
    (lambda: CrewRules(start="8 am"), "must be written HH:MM"),
    (lambda: CrewRules(gel_share=1.2), "share of the gel time"),
    (lambda: clock_minutes("24:00"), "must be written HH:MM"),
    (lambda: crew_batch_kg(2, people=2, mixing_min=2), "leaves nothing after 2 min of stirring"),
    (lambda: plan_batches([], DAY), "must contain at least one"),
    (lambda: plan_batches([need()], day(hull_c=14)), "hull temperature must be at least 15"),
    (lambda: plan_batches([need()], DAY, percent_v={"isophthalic": 0.5}), "with less the cure stalls"),
    (lambda: plan_batches([need()], DAY, percent_v={"isopthalic": 1.5}), "must name resins of this plan"),
    (lambda: plan_batches([need(can=EPOXY)], DAY, percent_v={"epoxy": 1.5}), "epoxy is mixed by its ratio"),
    (lambda: plan_batches([need(thickness_mm=5.1)], DAY), "a thick stack overheats"),
    (lambda: plan_batches([need(kg=500)], DAY), "must fit into the working day of 540"),
    (lambda: joints.scarf_plan([2.0], hole_length_mm=100, hole_width_mm=50, ratio=5), "steeper was not tested"),
    (lambda: joints.scarf_plan([], hole_length_mm=100, hole_width_mm=50), "at least one ply"),
    (lambda: joints.scarf_bond(60, ratio=12, allowable_mpa=0), "allowable bond shear must be greater than 0"),
    (lambda: joints.tabbing_leg(1.5), "must be a whole number"),
    (lambda: joints.tabbing_plan(2.5, length_mm=100, ply_thickness_mm=1), "must be a whole number"),
    (lambda: joints.tabbing_shear_capacity(100, allowable_mpa=1, sides=3), "must be 1 or 2"),
    (lambda: joints.strips_for_width(1000, roll_mm=100, lap_mm=100), "must be smaller than the roll"),
    (lambda: fillets.fillet_area(20, 180), "must lie between 0 and 180"),
    (lambda: fillets.fillet_area(20, np.pi / 2), "it looks like radians"),
    (lambda: fillets.fillet_volume_ml(20, length_mm=1000, loss=25), "write 0.25 for 25 %"),
    (lambda: fillets.putty(100, "bog"), "must be one of fillet, structural, fairing"),
    (lambda: fillets.putty(100, fillets.PuttyRecipe("own", (("talc", 1.0),), "proposal", "own")),
     "filler must be one of"),
    (lambda: clamping.clamp_plan(torque_nm=5, diameter_mm=10, bolts=2.5, area_m2=1, bond_line_mm=1), "whole number"),
    (lambda: clamping.clamp_plan(torque_nm=5, diameter_mm=10, bolts=2, area_m2=0, bond_line_mm=1), "joint area"),
    (lambda: clamping.kerf_plan(radius_mm=10, sheet_mm=18, kerf_mm=3, length_mm=1000, width_mm=500),
     "larger than the sheet"),
    (lambda: clamping.prepare_hole(bolt_mm=12, core_mm=36, method="weld"), "must be 'plug' or 'sleeve'"),
    (lambda: clamping.prepare_hole(bolt_mm=12, core_mm=36, method="sleeve", sleeve_outside_mm=11),
     "larger than the bolt"),
    (lambda: clamping.plate_size(1000, crush_mpa=7, factor=0.5), "must be 1 or more"),
    (lambda: readings.trimmed_mean([40, 41]), "three or more"),
    (lambda: readings.reinforcement_share(3000, total_gsm=2550), "must not exceed all glass"),
    (lambda: quality.check_mass_balance(3, 6, planned_fraction=0.35, resin_left_kg=6), "less than the resin mixed"),
    (lambda: quality.check_thickness([0.5, 5], predicted_mm=5, gel_coat_mm=0.5), "less than every reading"),
    (lambda: quality.check_thickness([], predicted_mm=5), "at least one reading"),
    (lambda: quality.check_burn_off([(1.75, 5.0)], planned_fraction=0.35), "two weighings are not swapped"),
    (lambda: quality.check_burn_off([5.0, 1.75], planned_fraction=0.35), "pairs of dry mass and residue"),
    (lambda: quality.check_voids(1.43, glass_fraction=0.35), "it looks like g/cm3: write 1430"),
    (lambda: quality.check_hardness([40] * 10, scale="Rockwell"), "must be 'Barcol' or 'Shore D'"),
    (lambda: quality.check_hardness([40] * 9 + [140]), "must not exceed 100"),
    (lambda: quality_page(), "must tell a glass fraction"),
    (lambda: quality_page(glass_kg=3.7), "needs both glass and resin"),
    (lambda: survey.map_survey([0, 100], [0]), "must hold tap or moisture readings"),
    (lambda: survey.map_survey([100, 0], [0], tap=["CC"]), "must be one list that rises"),
    (lambda: survey.map_survey([0, 100], [0], tap=["CX"]), "correct row 1, place 2"),
    (lambda: survey.map_survey([0, 100], [0], tap=["CCC"]), "must be 1 rows of 2 letters"),
    (lambda: survey.map_survey([0, 100], [0], moisture=[[0.11, 0.28]]), "write 28 for 28 %"),
    (lambda: survey.map_survey([0, 100], [0], moisture=[[11, -1]]), "must lie between 0 and 200"),
    (lambda: survey.map_survey([0, 100], [0], moisture=[11, 12]), "must be 1 rows of 2 readings"),
    (lambda: survey.map_survey([0, 100], [0], moisture=[[11, 12]], meter="pinless"), "known-good spot"),
    (lambda: survey.map_survey([0, 100], [0], moisture=[[11, 12]], meter="microwave"), "must be 'pin' or 'pinless'"),
    (lambda: survey.map_survey([0, 100], [0], tap=["CC"], extent_mm=(0, 50, 0, 50)), "must contain every reading"),
    (lambda: survey.map_survey([0], [0], tap=["C"]), "enter extent_mm"),
    (lambda: survey.map_survey([0, 100], [0], tap=["CC"], plugs_mm=[0.4, 5], gel_coat_mm=0.5), "less than every plug"),
    (lambda: survey.ready_to_encapsulate([9, 10], day_later_percent=[9]), "as many as the first"),
]


@pytest.mark.parametrize("call, words", REFUSED, ids=[words for _, words in REFUSED])
def test_refusals_say_why(call, words):
    with pytest.raises(InputError) as caught:
        call()
    assert words in str(caught.value)
    assert "; received " in str(caught.value)


def test_lowered_floor_is_allowed_but_said():
    found = climate.check_day(day(hull_c=12, air_c=12), floor_c=10)
    assert "the resin maker's sheet must allow it" in found[0].text


def test_demo_day_warns_below_the_recommended_temperature():
    assert "17 degC, below the recommended 18" in climate.check_day(DAY)[0].text
    assert climate.check_day(day()) == ()


def test_every_limit_has_status_source_and_unit():
    table = limits.limits_table()
    assert len(table) > 50 and table["name"].is_unique
    assert table["status"].isin(limits.STATUSES).all() and (table["source"].str.len() > 10).all()
    memory = [item for item in vars(limits).values() if isinstance(item, limits.Limit) and item.status == "from memory"]
    assert memory and all("unverified" in str(item) for item in memory)
    ranged = table.dropna(subset=["low"])
    assert ((ranged["low"] <= ranged["value"]) & (ranged["value"] <= ranged["high"])).all()


def test_records_are_frozen_hashable_and_pickle():
    assert hash(ResinCan(**{**CAN, "catalyst_window": [1.0, 2.5]})) == hash(POLYESTER)
    assert pickle.loads(pickle.dumps(plan_batches([need()], DAY))).batches[0].resin_kg == 1.0
    with pytest.raises(AttributeError):
        POLYESTER.gel_minutes = 10


def test_hull_just_over_the_dew_point_margin_is_allowed():
    assert all(item.severity != "refuse" for item in climate.check_day(day(air_c=25, hull_c=23.4, humidity_percent=75)))


def test_clock_rounds_a_deadline_down_and_a_start_up():
    assert (clock(480.4), clock(480.4, down=True)) == ("08:01", "08:00")


@pytest.mark.parametrize("call, severity, words", [
    (lambda: joints.check_seams(lap_mm=0), "refuse", "counts as zero"),
    (lambda: joints.check_seams(lap_mm=40), "warn", "less than 50 mm"),
    (lambda: joints.check_seams(lap_mm=50, stagger_mm=60), "warn", "less than 100 mm"),
    (lambda: fillets.check_fillet(8, areal_weight_gsm=600), "warn", "below 10 mm"),
    (lambda: fillets.check_fillet(11, areal_weight_gsm=814), "warn", "below 12 mm"),
    (lambda: joints.tabbing_plan(2, length_mm=500, ply_thickness_mm=1, step_mm=0).findings,
     "warn", "one line and peel"),
    (lambda: joints.tabbing_plan(2, length_mm=500, ply_thickness_mm=1, first_mm=40).findings,
     "warn", "shorter than 50"),
    (lambda: joints.scarf_bond(120, ratio=12, allowable_mpa=7).findings, "refuse", "reserve factor 0.70"),
    (lambda: joints.scarf_plan([1], hole_length_mm=9, hole_width_mm=9, ratio=8).findings[2:], "warn", "steeper"),
    (lambda: clamping.clamp_plan(torque_nm=10, diameter_mm=9.525, bolts=8, area_m2=0.843, bond_line_mm=1.5).findings,
     "warn", "4 N m at most"),
    (lambda: clamping.clamp_plan(torque_nm=1, diameter_mm=9.525, bolts=8, area_m2=0.843, bond_line_mm=0.1).findings[1:],
     "warn", "no putty"),
])
def test_findings_in_words(call, severity, words):
    first = call()[0]
    assert first.severity == severity and words in first.text


def test_good_seams_and_fillets_say_nothing():
    assert joints.check_seams(lap_mm=0, carries_load=False) == () == joints.check_seams(lap_mm=50, stagger_mm=100)
    assert fillets.check_fillet(12, areal_weight_gsm=814) == ()


def test_snug_torque_stays_below_the_starvation_pressure():
    plan = clamping.clamp_plan(torque_nm=10, diameter_mm=9.525, bolts=8, area_m2=0.843, bond_line_mm=1.5)
    assert plan.putty_ml == pytest.approx(1264.5)
    again = clamping.clamp_plan(torque_nm=4.0, diameter_mm=9.525, bolts=8, area_m2=0.843, bond_line_mm=1.5)
    assert again.pressure_kpa < limits.STARVATION.value and again.findings[0].severity == "note"


def test_hole_preparations():
    plug = clamping.prepare_hole(bolt_mm=12, core_mm=36)
    assert "bridge the plug with a backing plate" in plug.steps
    sleeve = clamping.prepare_hole(bolt_mm=12, core_mm=36, method="sleeve", sleeve_outside_mm=16)
    assert sleeve.core_bore_mm == 17.0 and sleeve.fill_ml == pytest.approx(np.pi / 4 * (17**2 - 16**2) * 36 / 1e3)
