"""The invented launch on the floor: first day's batches, quality page and survey map."""

from dataclasses import replace

import pytest

from lamcalc.errors import InputError
from lamcalc.shop import fresh_air, quality, survey
from lamcalc.shop.batching import Climate, CrewRules, PlyNeed, ResinCan, clock, plan_batches
from lamcalc.shop.job import load_demo
from lamcalc.shop.resin_can import can_from_record

pytestmark = pytest.mark.behaviour
DAY = Climate(air_c=18.5, hull_c=17, humidity_percent=63)
POLYESTER = ResinCan(name="polyester", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5, at_mass_g=100,
                     catalyst_window=(1.0, 2.5), catalyst_density_kg_m3=1160, liquid_density_kg_m3=1100)
EPOXY = ResinCan(name="epoxy", family="epoxy", gel_minutes=25, at_c=25, liquid_density_kg_m3=1150, hardener_ratio_v=2.0,
                 hardener_density_kg_m3=1000)
SKIN = [("1 mat 450", 1.05, 1.05, 0.30), ("2 1808", 1.35, 1.21, 0.43), ("3 1708", 1.30, 1.16, 0.43),
        ("4 1708", 1.30, 1.16, 0.43), ("5 mat 300", 0.70, 0.70, 0.30)]


def inner_skin(can=POLYESTER):
    return [PlyNeed(name=name, resin_kg=kg, thickness_mm=t, can=can, glass_fraction=g) for name, kg, t, g in SKIN]


def test_first_day_of_the_transom():
    plan = plan_batches(inner_skin(), DAY)
    assert [s.plies for s in plan.sessions] == [tuple(n for n, *_ in SKIN[:4]), ("5 mat 300",)]
    total = sum(kg for _, kg, *_ in SKIN)
    assert sum(b.resin_kg for b in plan.batches) == pytest.approx(total, abs=1e-9)
    assert sum(b.second_ml for b in plan.batches) == pytest.approx(total / 1.1 * 15, abs=1e-9)
    first = plan.batches[0]
    # the pot stands in 18.5 degC air: shortest gel 28 min * 1.5**0.15, two thirds of it from 08:00
    assert first.use_by - first.mix_at == pytest.approx(28 * 1.5**0.15 * 2 / 3, rel=1e-12)
    assert first.gels.typical - first.mix_at == pytest.approx(28 * 2.3**0.3, rel=1e-12)
    assert first.gels.high - first.mix_at == pytest.approx(28 * 3.0**0.3, rel=1e-12)
    assert clock(first.mix_at) == "08:00"
    ceiling = 18.5 + 375 * 0.7 / (1.8 * 0.7 + 0.8 * 0.3)
    assert plan.sessions[0].ceiling_c == pytest.approx(ceiling, rel=1e-12)


def test_tables_carry_units_and_clocks():
    plan = plan_batches(inner_skin(), DAY)
    table = plan.table()
    assert {"resin [kg]", "resin [mL]", "second part [mL]", "second part [g]", "mix at", "use by"} <= set(table.columns)
    assert table["second part [g]"].sum() == pytest.approx(table["second part [mL]"].sum() * 1.16, rel=1e-12)
    assert (table["mix at"] < table["use by"]).all() and (table["planned end"] <= table["use by"]).all()
    assert list(plan.session_table()["session"]) == [1, 2]
    assert not any("drop" in column for column in table.columns)
    assert "the mL figure governs" in plan.drops_footnote(20)


def test_assumptions_show_status_and_what_was_entered():
    lines = plan_batches(inner_skin(), DAY, rules=CrewRules(wet_out_kg_min=0.07)).assumptions
    assert any("[proposal: mixed resin laid" in line and "here 0.07 kg/min was entered" in line for line in lines)
    assert sum("was entered" in line for line in lines) == 1


def test_cans_come_from_the_job_file():
    job = load_demo()
    can = can_from_record("isophthalic", "polyester", job.resins["iso_polyester"])
    assert (can.gel_minutes, can.at_c, can.catalyst_window, can.usual) == (28, 20, (1.0, 2.5), 1.5)
    mix = can_from_record("epoxy", "epoxy", job.resins["epoxy"].model_copy(
        update={"pot_life_minutes": 25.0, "pot_life_temperature_c": 25.0}))
    assert mix.hardener_ratio_v == 2 and mix.liquid_density_kg_m3 == 1150
    with pytest.raises(InputError, match="pot life of epoxy is needed to plan batches"):
        can_from_record("epoxy", "epoxy", job.resins["epoxy"].model_copy(update={"pot_life_minutes": None}))


def test_usual_dose_of_the_can_is_used_and_must_fit():
    usual = plan_batches(inner_skin(replace(POLYESTER, usual_percent_v=1.2)), DAY)
    assert all(b.second_ml / b.resin_ml == pytest.approx(0.012, rel=1e-12) for b in usual.batches)
    with pytest.raises(InputError, match="usual catalyst of polyester must lie inside the can's window"):
        replace(POLYESTER, usual_percent_v=3.0)


def test_slow_crew_gets_more_and_smaller_pots():
    usual = plan_batches(inner_skin(), DAY)
    alone = plan_batches(inner_skin(), DAY, rules=CrewRules(people=1, wet_out_kg_min=0.05))
    assert len(alone.batches) > len(usual.batches)
    assert max(b.mixed_kg for b in alone.batches) <= 0.05 * (28 * 1.5**0.15 * 2 / 3 - 2) + 1e-12


def test_sessions_that_do_not_fit_go_to_the_next_day():
    plan = plan_batches(inner_skin(), DAY, rules=CrewRules(start="08:00", end="09:00"))
    assert clock(plan.sessions[1].start).startswith("day 2 08:00")


def test_pot_that_may_kick_is_named():
    found = [f for f in plan_batches(inner_skin(), DAY, rules=CrewRules(tray=True)).findings if f.subject == "pot life"]
    assert found and "pour it out flat" in found[0].text and found[0].limit.status == "proposal"


def test_hot_day_shortens_batches_and_warns():
    hot = plan_batches(inner_skin(), Climate(air_c=30, hull_c=30, humidity_percent=50))
    mild = plan_batches(inner_skin(), DAY)
    assert max(b.mixed_kg for b in hot.batches) < max(b.mixed_kg for b in mild.batches)
    assert {"temperature", "session thickness"} <= {f.subject for f in hot.findings}


def test_sunlit_hull_sets_the_shortest_gel_time():
    plan = plan_batches(inner_skin(), Climate(air_c=18, hull_c=28, humidity_percent=50))
    batch = plan.batches[0]
    assert batch.gels.low - batch.mix_at == pytest.approx(28 * 3.0**-0.8, rel=1e-12)


def test_epoxy_is_split_by_ratio_and_needs_no_styrene_fan():
    plan = plan_batches(inner_skin(EPOXY), DAY)
    for batch in plan.batches:
        assert batch.second_part == "hardener" and batch.resin_ml == pytest.approx(2 * batch.second_ml, rel=1e-12)
        assert batch.share == "2:1 by volume, 2.30:1 by weight"
    assert all(session.air_m3_h == 0 for session in plan.sessions)


def test_fan_follows_the_mass_of_the_session():
    plan = plan_batches(inner_skin(), DAY, rules=CrewRules(exposure_ppm=50))
    session = plan.sessions[0]
    resin = sum(b.resin_kg for b in plan.batches if b.session == 1)
    # styrene is taken as lost between the first mix and the shortest gel of the last pot of the session
    hours = (max(b.mix_at for b in plan.batches if b.session == 1) + 28 * 1.5**0.15 - session.start) / 60
    wanted = resin * 0.42 * 0.11 * 1e6 / hours / (50 * float(fresh_air.mg_m3_per_ppm(104.15)))
    assert session.air_m3_h == pytest.approx(wanted, rel=1e-12)


THICKNESS = [5.6, 5.3, 5.8, 5.5, 5.4, 5.7, 5.2, 5.6, 5.5, 5.4]
BARCOL = [38, 41, 40, 35, 42, 39, 44, 37, 40, 52]


def page(**changes):
    base = {"planned_glass_fraction": 0.40, "planned_thickness_mm": 5.4, "thickness_mm": THICKNESS, "glass_kg": 3.71,
            "resin_kg": 6.74, "coupons_g": [(2.94, 1.12)], "density_kg_m3": 1460, "hardness": BARCOL,
            "areal_weight_gsm": 3199}
    return quality.assess(**{**base, **changes})


def test_quality_page_of_the_launch():
    report = page()
    found = {check.name: check for check in report.checks}
    assert found["thickness"].measured == pytest.approx(5.5) and found["thickness"].verdict == "accept"
    assert found["mass balance"].measured == pytest.approx(3.71 / 10.45)
    assert found["burn-off"].measured == pytest.approx(1.12 / 2.94)
    glass = 1.12 / 2.94
    assert found["voids"].measured == pytest.approx(1 - 1.46 * (glass / 2.56 + (1 - glass) / 1.20), rel=1e-12)
    assert found["hardness"].measured == 40.125
    assert report.as_built.glass_fraction == pytest.approx(glass) and report.as_built.fraction_from == "burn-off"
    assert report.as_built.void_fraction == found["voids"].measured
    assert report.verdict.startswith("watch") and "coupons: 1, the standard asks for 3" in report.verdict
    assert report.not_measured == ()
    table = report.table().set_index("check")
    assert "D2584" in table.loc["burn-off", "standard"] and "D2583" in table.loc["hardness", "standard"]
    assert "unverified" in table.loc["hardness", "limits and sources"]


@pytest.mark.parametrize("check, verdict, words", [
    (lambda: quality.check_thickness([4.5] * 10, predicted_mm=5.4), "reject", "add a ply"),
    (lambda: quality.check_thickness([6.3] * 10, predicted_mm=5.4), "watch", "resin-rich"),
    (lambda: quality.check_thickness([5.4] * 9, predicted_mm=5.4), "watch", "fewer than 10 points"),
    (lambda: quality.check_thickness([5.6] * 10 + [4.5], predicted_mm=5.4), "watch", "a thin spot"),
    (lambda: quality.check_thickness([6.1] * 10, predicted_mm=5.4, gel_coat_mm=0.55), "accept", "mean 5.55 mm"),
    (lambda: quality.check_voids(1330, glass_fraction=0.35), "reject", "shear strength"),
    (lambda: quality.check_voids(1500, glass_fraction=0.35), "watch", "cannot be"),
    (lambda: quality.check_hardness([25] * 10), "reject", "under-cured"),
    (lambda: quality.check_hardness([35] * 10), "watch", "cure longer"),
    (lambda: quality.check_hardness([45] * 5), "watch", "fewer than 10 readings"),
    (lambda: quality.check_hardness([41] * 10, data_sheet=45), "accept", "40.5 wanted"),
    (lambda: quality.check_hardness([82] * 10, scale="Shore D"), "accept", "80 wanted"),
    (lambda: quality.check_hardness([76] * 10, scale="Shore D"), "watch", "cure longer"),
    (lambda: quality.check_burn_off([(5.0, 1.75)] * 3, planned_fraction=0.36), "accept", "coupons 0.350 to 0.350"),
    (lambda: quality.check_burn_off([(5.0, 2.1)] * 3, planned_fraction=0.36), "watch", "dry: look for white"),
    (lambda: quality.check_burn_off([(5.0, 1.2)] * 3, planned_fraction=0.36), "reject", "resin-rich"),
    (lambda: quality.check_mass_balance(3.7, 6.3, planned_fraction=0.37, resin_left_kg=0.2), "accept", "0.378"),
])
def test_verdicts(check, verdict, words):
    found = check()
    assert found.verdict == verdict and words in found.words


def test_filler_is_taken_off_the_residue():
    plain = quality.check_burn_off([(5.0, 1.75)], planned_fraction=0.3).measured
    filled = quality.check_burn_off([(5.0, 1.75)], planned_fraction=0.3, filler_per_resin=0.1).measured
    assert filled == pytest.approx((1.75 - 0.1 * 3.25) / 5.0) and filled < plain


def test_methods_that_disagree_are_not_averaged():
    report = page(resin_kg=8.5)
    compared = {check.name: check for check in report.checks}["methods compared"]
    assert compared.verdict == "watch" and "they disagree" in compared.words
    assert report.as_built.fraction_from == "burn-off"


def test_what_nobody_measured_is_said():
    report = page(coupons_g=None, hardness=None)
    assert report.not_measured == ("burn-off", "voids (a density was given, but no burn-off)", "hardness")
    assert report.as_built.fraction_from == "glass fraction from thickness"
    assert "not measured: burn-off" in report.verdict


X = [-600, -430, -260, -90, 90, 260, 430, 600]
MOISTURE = [11, 13, 28, 41, 55, 38, 22, 14]


def test_survey_of_the_transom():
    nan = [float("nan")] * 8
    found = survey.map_survey(X, [80, 250, 420], tap=["CCDDDDDC", "CCDDDDCC", "CCCCCCCC"],
                              moisture=[MOISTURE, nan, nan], extent_mm=(-620, 620, 0, 620),
                              plugs_mm=[5.2, 5.0, 4.8, 5.3, 5.1, 5.0], gel_coat_mm=0.5,
                              not_opened=["corners behind the splash well"])
    assert found.wet_share == 5 / 8
    assert len(found.regions) == 1
    # by hand: bad are -260..430 at 80 and -260..260 at 250; 430 at 80 and 260 at 250 are diagonal neighbours, so the
    # cut runs from -260 - 150 to 430 + 150 and from the lower edge of the panel to 250 + 150
    assert found.removed_area_m2 == pytest.approx((990 * 400) / 1e6, rel=1e-12)
    assert found.skin.mean == pytest.approx(4.5667, abs=1e-4) and found.skin.least == pytest.approx(4.3)
    assert found.not_opened[0] == "corners behind the splash well"
    subjects = {f.subject for f in found.findings}
    assert {"suspicion", "edge of the map", "spacing", "panel", "meter", "damp"} <= subjects
    assert any("wet or rotten core" in f.text for f in found.findings)
    cells = found.table()
    assert list(cells.index) == [420, 250, 80]
    assert cells.loc[80, "-90"] == "D 41 cut" and cells.loc[80, "-430"] == "C 13 dry it"


def test_sound_panel_keeps_its_core():
    found = survey.map_survey([0, 100, 200], [0, 100], tap=["CCC", "CCC"], moisture=[[9, 10, 9], [8, 9, 10]])
    assert found.regions == () and found.removed_area_m2 == 0 and found.removed_share == 0
    assert "no plug taken: skin thickness and core unseen" in found.not_opened


def test_unread_places_are_stated_and_suspected_beside_bad_ones():
    found = survey.map_survey([0, 100, 200, 300], [0, 100, 200], tap=["CCCC", "CD-C", "CCC-"])
    assert found.unread.sum() == 2 and "2 of 12 grid places" in found.not_opened[0]
    assert any(f.subject == "unread" and "1 unread" in f.text for f in found.findings)


def test_pinless_meter_only_compares():
    found = survey.map_survey([0, 100, 200], [0, 100], moisture=[[20, 20, 31], [20, 22, 20]], meter="pinless",
                              reference=20)
    assert found.bad.tolist() == [[False, False, True], [False, False, False]]
    assert found.damp.sum() == 1


def test_two_separate_places_give_two_cut_lines():
    found = survey.map_survey([0, 200, 400, 600, 800, 1000, 1200], [0, 200, 400], margin_mm=80,
                              tap=["CCCCCCC", "CDCCCDC", "CCCCCCC"])
    assert [r.area_m2 for r in found.regions] == pytest.approx([0.0256, 0.0256])


@pytest.mark.parametrize("first, later, severity", [
    ([11, 12], None, "refuse"), ([11, 9], None, "warn"), ([9, 9], [9, 12.5], "refuse"), ([9, 9], [9, 10], "note")])
def test_ready_to_encapsulate(first, later, severity):
    assert survey.ready_to_encapsulate(first, day_later_percent=later)[0].severity == severity
