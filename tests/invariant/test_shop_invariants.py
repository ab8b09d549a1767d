"""Balances and limits of batches, joints, quality and cut lines that hold for any input."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc.shop import climate, clamping, fillets, joints, mixing, outline, readings, survey
from lamcalc.shop.batching import Climate, CrewRules, PlyNeed, ResinCan, crew_batch_kg, plan_batches

pytestmark = pytest.mark.invariant
DAY = Climate(air_c=18.5, hull_c=17, humidity_percent=63)
POLYESTER = ResinCan(name="isophthalic", family="polyester", gel_minutes=28, at_c=20, at_percent_v=1.5,
                     catalyst_window=(1.0, 2.5))
VINYL = ResinCan(name="vinyl ester", family="vinyl ester", gel_minutes=30, at_c=25, at_percent_v=1.5,
                 catalyst_window=(1.25, 2.0), liquid_density_kg_m3=1040)
EPOXY = ResinCan(name="epoxy", family="epoxy", gel_minutes=25, at_c=25, liquid_density_kg_m3=1150, hardener_ratio_v=2.0,
                 hardener_density_kg_m3=1000)
needs = st.lists(st.builds(lambda kg, t, can, g, n: PlyNeed(name=f"ply {n}", resin_kg=kg, thickness_mm=t, can=can,
                                                            glass_fraction=g),
                           st.floats(0.01, 12), st.floats(0.1, 4.9), st.sampled_from([POLYESTER, VINYL, EPOXY]),
                           st.floats(0, 0.6), st.integers(1, 99)), min_size=1, max_size=9)
crews = st.builds(lambda people, rate, pot: CrewRules(people=people, wet_out_kg_min=rate, pot_kg=pot),
                  st.integers(1, 4), st.floats(0.05, 0.15), st.floats(0.5, 3))


@given(needs, crews)
@settings(max_examples=40, deadline=None)
def test_batches_balance_and_keep_the_clock(plies, rules):
    plan = plan_batches(plies, DAY, rules=rules)
    for can in (POLYESTER, VINYL, EPOXY):
        wanted = sum(ply.resin_kg for ply in plies if ply.can == can)
        pots = [b for b in plan.batches if b.can == can]
        got = sum(b.mixed_kg if can.is_epoxy else b.resin_kg for b in pots)
        assert got == pytest.approx(wanted, rel=1e-9, abs=1e-12)
    for batch in plan.batches:
        assert batch.mixed_kg <= rules.pot_kg * (1 + 1e-9)
        assert batch.done_by <= batch.use_by + 1e-6
        assert batch.use_by < batch.gels.low <= batch.gels.typical <= batch.gels.high
        assert batch.resin_ml == pytest.approx(batch.resin_kg / batch.can.liquid_density_kg_m3 * 1e6, rel=1e-9)
    assert [name for s in plan.sessions for name in s.plies] == [ply.name for ply in plies]
    for session in plan.sessions:
        assert session.thickness_mm <= rules.session_mm + 1e-6 and len(session.plies) <= rules.session_plies
        assert session.start // 1440 == session.end // 1440
        assert 480 <= session.start % 1440 and session.end % 1440 <= 1020 + 1e-6
    ends = [session.end for session in plan.sessions]
    assert all(s.start >= end + rules.gap_min - 1e-6 for s, end in zip(plan.sessions[1:], ends))


@given(st.floats(0.05, 20), st.floats(1.0, 2.5))
def test_catalyst_by_volume_and_by_weight_are_the_same_dose(kg, percent):
    dose = mixing.catalyst_dose(POLYESTER, kg, percent)
    assert dose.grams == pytest.approx(dose.ml * 1.16, rel=1e-12)
    assert dose.grams == pytest.approx(dose.percent_w / 100 * kg * 1e3, rel=1e-12)
    again = mixing.catalyst_dose(POLYESTER, kg, dose.percent_w, basis="weight")
    assert again.ml == pytest.approx(dose.ml, rel=1e-12)


@given(st.floats(0.05, 20))
def test_epoxy_mass_and_ratio(kg):
    mix = mixing.epoxy_mix(EPOXY, kg)
    assert mix.resin_kg + mix.hardener_kg == pytest.approx(kg, rel=1e-12)
    assert mix.resin_ml / mix.hardener_ml == pytest.approx(2.0, rel=1e-12)


@given(st.floats(5, 40), st.floats(0.1, 10))
def test_warmer_resin_gels_sooner(temperature, step):
    cold, warm = climate.gel_time(POLYESTER, temperature), climate.gel_time(POLYESTER, temperature + step)
    assert all(b < a for a, b in zip(cold, warm))
    assert cold.low <= cold.typical <= cold.high


@given(st.floats(1.0, 2.4), st.floats(0.05, 0.1))
def test_more_catalyst_gels_sooner(percent, step):
    less, more = (climate.gel_time(POLYESTER, 18, percent_v=p) for p in (percent, percent + step))
    assert all(b < a for a, b in zip(less, more))
    assert less.low <= less.typical <= less.high


def test_reference_point_is_returned():
    assert climate.gel_time(POLYESTER, 20, percent_v=1.5) == (28.0, 28.0, 28.0)


@pytest.mark.parametrize("percent, low, high", [(2.0, 0.75, 0.75**0.5), (1.0, 1.5**0.5, 1.5)])
def test_range_of_the_catalyst_effect_is_on_the_right_side(percent, low, high):
    gel = climate.gel_time(POLYESTER, 20, percent_v=percent)
    assert gel.low == pytest.approx(28 * low, rel=1e-12) and gel.high == pytest.approx(28 * high, rel=1e-12)


def test_gel_time_of_an_array_equals_a_loop():
    temperatures = np.array([[15.0, 18], [21, 30]])
    batch = climate.gel_time(POLYESTER, temperatures)
    for index in np.ndindex(temperatures.shape):
        single = climate.gel_time(POLYESTER, temperatures[index])
        assert tuple(b[index] for b in batch) == pytest.approx(single, rel=1e-15)


@given(st.floats(0.11, 10), st.floats(1.1, 4))
def test_more_mass_in_the_pot_never_lengthens_its_life(kg, times):
    small, large = (climate.pot_life(POLYESTER, 20, mass_kg=mass) for mass in (kg, kg * times))
    assert large.low < small.low and large.typical < small.typical and large.high <= small.high


@given(st.floats(5, 60), st.integers(1, 6), st.floats(0.02, 0.2))
def test_crew_batch_uses_two_thirds_of_the_gel_time(gel, people, rate):
    kg = float(crew_batch_kg(gel, people=people, wet_out_kg_min=rate))
    assert kg / (people * rate) == pytest.approx(2 / 3 * gel, rel=1e-12)


@given(st.floats(0, 0.95))
def test_glass_lowers_the_exotherm(glass):
    assert climate.adiabatic_rise(glass) <= climate.adiabatic_rise(0.0)
    assert climate.adiabatic_rise(glass + 0.04) < climate.adiabatic_rise(glass)


@given(st.floats(1, 50), st.floats(10, 170))
def test_fillet_area_by_integration(radius, angle):
    """Area between faces and arc, integrated along the bisector's perpendicular."""
    phi = np.radians(angle)
    reach = radius / np.tan(phi / 2)
    centre = radius / np.sin(phi / 2)
    half = reach * np.sin(phi / 2)
    s = np.linspace(-half, half, 20001)
    gap = centre - np.sqrt(np.maximum(radius**2 - s**2, 0)) - np.abs(s) / np.tan(phi / 2)
    assert float(fillets.fillet_area(radius, angle)) == pytest.approx(np.trapezoid(gap, s), rel=2e-5, abs=1e-4)
    assert float(fillets.fillet_reach(radius, angle)) == pytest.approx(reach, rel=1e-12)


@given(st.floats(1, 5000), st.sampled_from(list(fillets.RECIPES)))
def test_putty_volume_balances(volume, recipe):
    mix = fillets.putty(volume, recipe)
    true = mix.resin_ml + sum(mass / fillets.FILLERS[name].solid_density_kg_m3 * 1e3 for name, _, mass in mix.fillers)
    assert true == pytest.approx(volume, rel=1e-9)
    assert mix.mass_g == pytest.approx(mix.table()["mass [g]"].sum(), rel=1e-12)


@given(st.lists(st.floats(0.3, 2), min_size=1, max_size=8), st.floats(6, 60))
def test_rings_of_both_orders_fill_the_same_slope(plies, ratio):
    small = joints.scarf_plan(plies, hole_length_mm=100, hole_width_mm=60, ratio=ratio)
    large = joints.scarf_plan(plies, hole_length_mm=100, hole_width_mm=60, ratio=ratio, smallest_first=False)
    assert small.rings[-1].reach_mm == pytest.approx(small.scarf_mm, rel=1e-12)
    assert large.rings[0].reach_mm == pytest.approx(large.scarf_mm, rel=1e-12)
    assert small.scarf_mm == pytest.approx(ratio * sum(plies), rel=1e-12)
    assert np.all(np.diff([r.reach_mm for r in small.rings]) > 0)
    assert np.all(np.diff([r.reach_mm for r in large.rings]) < 0)


@given(st.floats(1, 100), st.floats(1, 100))
def test_scarf_stresses_resolve_the_traction(stress, ratio):
    """Normal and shear on the inclined cut have the resultant stress * sin(theta)."""
    if ratio < 6:
        return
    bond = joints.scarf_bond(stress, ratio=ratio, allowable_mpa=5.0)
    assert np.hypot(bond.shear_mpa, bond.normal_mpa) == pytest.approx(stress * np.sin(np.arctan(1 / ratio)), rel=1e-9)


@given(st.floats(10, 5000), st.floats(300, 2000), st.floats(0, 200))
def test_strips_cover_and_one_less_does_not(width, roll, lap):
    n = int(joints.strips_for_width(width, roll_mm=roll, lap_mm=lap))
    def covered(count):
        return count * roll - (count - 1) * lap
    assert covered(n) >= width * (1 - 1e-9) - 1e-6
    assert n == 1 or covered(n - 1) < width + 1e-6


@given(st.floats(100, 50e3), st.floats(0.5, 20), st.floats(1, 5), st.floats(0, 30))
def test_plate_bears_at_the_allowed_pressure(force, crush, factor, hole):
    size = clamping.plate_size(force, crush_mpa=crush, factor=factor, hole_mm=hole)
    bearing = force / (size.square_mm**2 - np.pi / 4 * hole**2)
    assert bearing == pytest.approx(crush / factor, rel=1e-6)
    assert np.pi / 4 * size.round_mm**2 == pytest.approx(size.square_mm**2, rel=1e-9)


@given(st.floats(500, 5000), st.floats(1, 4), st.floats(0.2, 1.0))
def test_kerfs_turn_the_sheet_to_the_radius(radius, kerf, closure):
    plan = clamping.kerf_plan(radius_mm=radius, sheet_mm=18, kerf_mm=kerf, length_mm=1200, width_mm=600,
                              closure=closure)
    turn = plan.count * closure * kerf / plan.depth_mm
    assert turn >= 1200 / (radius - (18 - plan.depth_mm) / 2) * (1 - 1e-9)
    assert 0 < plan.fill_ml <= plan.count * kerf * plan.depth_mm * 600 / 1e3


def test_fully_closed_kerfs_hold_half_their_section():
    one = clamping.kerf_plan(radius_mm=1000, sheet_mm=18, kerf_mm=3, length_mm=1000, width_mm=600, closure=1.0)
    full = clamping.kerf_plan(radius_mm=1000, sheet_mm=18, kerf_mm=3, length_mm=4 * one.spacing_mm, width_mm=600,
                              closure=1.0)
    assert full.count == 4 and full.fill_ml == pytest.approx(4 * 3 * full.depth_mm * 600 / 2 / 1e3, rel=1e-9)


@given(st.lists(st.floats(1, 99), min_size=3, max_size=15))
def test_trimmed_mean_lies_inside_and_ignores_order(values):
    mean = readings.trimmed_mean(values)
    assert min(values) - 1e-9 <= mean <= max(values) + 1e-9
    assert mean == pytest.approx(readings.trimmed_mean(values[::-1]), rel=1e-12)
    assert mean == pytest.approx((sum(values) - max(values) - min(values)) / (len(values) - 2), rel=1e-9)


def shoelace(corners):
    x, y = np.array(corners).T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2 / 1e6


boxes = st.lists(st.tuples(st.integers(0, 9), st.integers(1, 4), st.integers(0, 9), st.integers(1, 4)).map(
    lambda b: (b[0], b[0] + b[1], b[2], b[2] + b[3])), min_size=1, max_size=8)


@given(boxes)
@settings(deadline=None)
def test_outlines_are_simple_and_hold_every_rectangle(rectangles):
    regions = outline.merge_rectangles(rectangles)
    for region in regions:
        assert shoelace(region.corners_mm) == pytest.approx(region.area_m2, rel=1e-12)  # positive: anticlockwise
        assert len(set(region.corners_mm)) == len(region.corners_mm)
        steps = np.diff(np.array(region.corners_mm + region.corners_mm[:1]), axis=0)
        assert ((steps != 0).sum(axis=1) == 1).all()
        assert (np.abs(steps[:-1]) > 0).any(axis=1).all() and ((steps[1:] != 0) != (steps[:-1] != 0)).all()
    # raster of unit cells as an independent count; islands are counted by flooding from outside
    grid = np.zeros((16, 16), bool)
    for x0, x1, y0, y1 in rectangles:
        grid[x0 + 1:x1 + 1, y0 + 1:y1 + 1] = True
    outside = np.zeros_like(grid)
    outside[0, 0] = True
    for _ in range(256):
        grown = outside.copy()
        grown[1:] |= outside[:-1]
        grown[:-1] |= outside[1:]
        grown[:, 1:] |= outside[:, :-1]
        grown[:, :-1] |= outside[:, 1:]
        outside = grown & ~grid
    assert sum(r.area_m2 for r in regions) * 1e6 == pytest.approx((~outside).sum(), rel=1e-12)


grids = st.integers(1, 6).flatmap(lambda rows: st.integers(2, 6).flatmap(lambda cols: st.lists(
    st.text("CD-", min_size=cols, max_size=cols), min_size=rows, max_size=rows)))


@given(grids, st.floats(20, 200), st.floats(10, 250))
@settings(deadline=None)
def test_survey_removes_every_bad_reading_and_no_more_than_the_panel(tap, spacing, margin):
    x, y = np.arange(len(tap[0])) * spacing, np.arange(len(tap)) * spacing
    found = survey.map_survey(x, y, tap=tap, margin_mm=margin)
    assert 0 <= found.removed_area_m2 <= found.panel_area_m2 * (1 + 1e-9)
    assert (found.removed_area_m2 > 0) == any("D" in row for row in tap)
    wider = survey.map_survey(x, y, tap=tap, margin_mm=margin * 1.5)
    assert wider.removed_area_m2 >= found.removed_area_m2 * (1 - 1e-9)


def test_survey_mirrors():
    tap = ["CCDC", "CDDC", "CCCC"]
    x, y = np.array([0.0, 200, 450, 600]), np.array([0.0, 250, 400])
    one = survey.map_survey(x, y, tap=tap)
    two = survey.map_survey(600 - x[::-1], y, tap=[row[::-1] for row in tap])
    assert one.removed_area_m2 == pytest.approx(two.removed_area_m2, rel=1e-12)
