"""What must change in a known way, or not at all, when an input is scaled, turned, mirrored, split or permuted.

No expected number stands here: every test computes twice and compares.
"""

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lamcalc import units
from lamcalc.materials import catalogue
from lamcalc.mechanics.plates import Plate
from lamcalc.mechanics.sections import Part, Section
from lamcalc.parts import outboard, thrust
from lamcalc.parts.panel import Panel, PanelLoad, assess_panel
from lamcalc.parts.panel_repair import laminate_figures
from lamcalc.parts.stringer import Former, Stringer, StringerLoad, assess_stringer
from lamcalc.schedule import CoreLayer, Ply, Price, Schedule, SolidLayer
from lamcalc.shop import clamping, coating, fillets, mixing, quality_checks, scarf, tabbing
from lamcalc.shop.batching import crew_batch_kg
from lamcalc.shop.readings import spread, trimmed_mean

pytestmark = pytest.mark.invariant

SHOP = catalogue.load()
FABRICS = ("csm_300", "csm_450", "wr_600", "biax45_1208", "biax45_1708", "biax090_1808", "ud_400")
STRONG = (100.0, 100.0, 100.0, 100.0, 58.0)
few = settings(max_examples=10, deadline=None)
scale = st.floats(0.2, 5.0)
fabric = st.sampled_from(FABRICS)
stacks = st.lists(
    st.tuples(fabric, st.sampled_from([0.0, 30.0, 45.0, -45.0, 90.0]), st.sampled_from(["down", "up"])),
    min_size=1,
    max_size=6,
)


def ply(name, angle=0.0, side="down", count=1):
    reinforcement = SHOP.reinforcement(name)
    if name.startswith("csm"):
        angle = 0.0
    return Ply(
        reinforcement,
        SHOP.resin("iso_polyester"),
        SHOP.process("hand"),
        angle_deg=angle,
        mat_side=side if reinforcement.has_mat else "down",
        count=count,
    )


def laid(items, prices=None):
    return Schedule(tuple(ply(*item) for item in items), SHOP.fibres, **({"prices": prices} if prices else {}))


def solid(thickness, e=10e3):
    return Schedule((SolidLayer("sheet", thickness, e, strengths_mpa=STRONG),), {})


def same(one, two, rel=1e-9, floor=1e-9):
    one, two = np.asarray(one, dtype=float), np.asarray(two, dtype=float)
    assert one == pytest.approx(two, rel=rel, abs=floor * max(1.0, float(np.abs(two).max(initial=0.0))))


# ---- schedules


@given(stacks)
def test_a_count_is_the_plies_written_out(items):
    """Two plies in one row, or in two rows: the same wall."""
    once = Schedule(tuple(ply(*item, count=2) for item in items), SHOP.fibres)
    out = Schedule(tuple(one for item in items for one in (ply(*item), ply(*item))), SHOP.fibres)
    for name in (
        "total_thickness_mm",
        "areal_mass_kg_m2",
        "glass_kg_m2",
        "resin_kg_m2",
        "glass_fraction",
        "thickness_band_mm",
    ):
        found = [getattr(stack, name) for stack in (once, out)]
        same(*[one() if callable(one) else one for one in found])
    same(once.laminate.abd, out.laminate.abd)


@given(stacks, st.randoms(use_true_random=False))
def test_the_order_of_the_plies_moves_no_mass_and_no_stretching(items, random):
    other = list(items)
    random.shuffle(other)
    one, two = laid(items), laid(other)
    for name in ("total_thickness_mm", "areal_mass_kg_m2", "glass_kg_m2", "resin_kg_m2", "woven_share"):
        same(getattr(one, name), getattr(two, name))
    same(one.laminate.A, two.laminate.A)
    if one.layers == two.layers:
        same(one.laminate.abd, two.laminate.abd)


@given(stacks)
def test_a_wall_seen_from_the_other_side(items):
    """Laid in the other order with every fabric turned over: A and D stay, B changes its sign."""

    def turned(name, angle, side):
        flat = SHOP.reinforcement(name)
        return ply(name, -angle, {"down": "up", "up": "down"}[side] if flat.has_mat else "down")

    one = laid(items)
    two = Schedule(tuple(turned(*item) for item in reversed(items)), SHOP.fibres)
    same(one.total_thickness_mm, two.total_thickness_mm)
    flip = np.outer(*[[1, 1, -1]] * 2)  # looked at from behind, positive angles are negative
    same(one.laminate.A, two.laminate.A * flip, floor=1e-7)
    same(one.laminate.D, two.laminate.D * flip, floor=1e-7)
    same(one.laminate.B, -two.laminate.B * flip, floor=1e-7)


@given(stacks, st.sampled_from([90.0, 180.0, -90.0]))
def test_turning_every_ply_turns_the_wall(items, turn):
    def added(angle):
        return (angle + turn + 180.0) % 360.0 - 180.0

    one, two = laid(items), laid([(name, added(angle), side) for name, angle, side in items])
    a, b = one.laminate, two.laminate
    swap = (1, 0, 2) if abs(turn) == 90 else (0, 1, 2)
    sign = np.outer(*[[1, 1, -1]] * 2) if abs(turn) == 90 else np.ones((3, 3))
    same(a.A[np.ix_(swap, swap)] * sign, b.A, floor=1e-7)
    same(a.D[np.ix_(swap, swap)] * sign, b.D, floor=1e-7)
    same(one.areal_mass_kg_m2, two.areal_mass_kg_m2)


@given(stacks, scale)
def test_heavier_fabric_of_the_same_make(items, factor):
    """Every areal weight times k at the same glass fraction: thickness, mass, A, B, D by k, k, k, k2, k3."""

    def heavier(item):
        one = ply(*item)
        parts = tuple(
            replace(part, areal_weight_gsm=part.areal_weight_gsm * factor) for part in one.reinforcement.components
        )
        return replace(one, reinforcement=replace(one.reinforcement, components=parts))

    one, two = laid(items), Schedule(tuple(heavier(item) for item in items), SHOP.fibres)
    for name in ("total_thickness_mm", "areal_mass_kg_m2", "glass_kg_m2", "resin_kg_m2"):
        same(getattr(one, name) * factor, getattr(two, name))
    same(one.glass_fraction, two.glass_fraction)
    for power, block in enumerate("ABD", 1):
        same(getattr(one.laminate, block) * factor**power, getattr(two.laminate, block), floor=1e-7)


@given(stacks, st.floats(0.1, 50), scale)
def test_cost_follows_the_prices(items, price, factor):
    def priced(level):
        names = {"iso_polyester", *(name for name, *_ in items)}
        return {name: Price(level, "kg") for name in names}

    one, two = laid(items, priced(price)), laid(items, priced(price * factor))
    same(one.cost_per_m2 * factor, two.cost_per_m2)
    assert one.unpriced == two.unpriced == ()
    same(one.cost_per_m2, price * one.areal_mass_kg_m2)  # everything at one price a kilogram


@given(stacks)
def test_strength_of_a_wall_in_thinner_slices(items):
    """The load at first failure does not depend on how the rows are written."""
    once = Schedule(tuple(ply(*item, count=2) for item in items), SHOP.fibres)
    out = Schedule(tuple(one for item in items for one in (ply(*item), ply(*item))), SHOP.fibres)
    one, two = laminate_figures(once), laminate_figures(out)
    for name in (
        "thickness_mm",
        "areal_mass_kg_m2",
        "bending",
        "stretching",
        "first_moment",
        "first_force",
        "crack_moment",
        "crack_force",
    ):
        same(getattr(one, name), getattr(two, name), rel=1e-7)


# ---- panels and stringers: models of another size


@given(scale, st.sampled_from(["CCCC", "SSSS", "CSCS"]))
@few
def test_a_panel_of_another_size_and_the_same_shape(factor, edges):
    """All lengths times k under the same pressure: the same stresses, so the same margins; deflection times k."""
    one = assess_panel(Panel(600.0, 450.0, edges=edges), PanelLoad(pressure=0.01), solid(6.0))
    two = assess_panel(
        Panel(600.0 * factor, 450.0 * factor, edges=edges), PanelLoad(pressure=0.01), solid(6.0 * factor)
    )
    same(one.deflection_mm * factor, two.deflection_mm, rel=1e-6)
    for a, b in zip(one.margins, two.margins, strict=True):
        assert a.name == b.name
        same(a.reserve_factor, b.reserve_factor, rel=1e-6)


@given(scale)
@few
def test_a_sandwich_panel_of_another_size(factor):
    core = SHOP.core("pvc_80")

    def wall(k):
        skin = SolidLayer("skin", 2.0 * k, 12e3, strengths_mpa=STRONG)
        return Schedule((skin, CoreLayer(core, 15.0 * k), skin), {})

    one = assess_panel(Panel(800.0, 500.0), PanelLoad(pressure=0.012), wall(1.0))
    two = assess_panel(Panel(800.0 * factor, 500.0 * factor), PanelLoad(pressure=0.012), wall(factor))
    same(one.deflection_mm * factor, two.deflection_mm, rel=1e-6)
    for a, b in zip(one.margins, two.margins, strict=True):
        same(a.reserve_factor, b.reserve_factor, rel=1e-6)


@given(scale)
@few
def test_a_patch_load_grows_with_the_square_of_the_size(factor):
    one = assess_panel(Panel(600.0, 450.0), PanelLoad(force=1200.0, patch_x=100.0, patch_y=80.0), solid(8.0))
    two = assess_panel(
        Panel(600.0 * factor, 450.0 * factor),
        PanelLoad(force=1200.0 * factor**2, patch_x=100.0 * factor, patch_y=80.0 * factor),
        solid(8.0 * factor),
    )
    same(one.deflection_mm * factor, two.deflection_mm, rel=1e-6)
    same(one.least.reserve_factor, two.least.reserve_factor, rel=1e-6)


@given(
    st.lists(
        st.tuples(st.sampled_from(["csm_450", "ud_400", "biax45_1708"]), st.sampled_from([0.0, 90.0])),
        min_size=2,
        max_size=4,
    )
)
@few
def test_a_panel_and_its_fibres_turned_by_a_right_angle(items):
    turned = [(name, 90.0 - angle) for name, angle in items]
    load = PanelLoad(pressure=0.005)
    one = assess_panel(Panel(700.0, 450.0), load, laid(items + items[::-1]))
    two = assess_panel(Panel(450.0, 700.0), load, laid(turned + turned[::-1]))
    same(one.deflection_mm, two.deflection_mm, rel=2e-3)
    same(one.least.reserve_factor, two.least.reserve_factor, rel=2e-2)


@given(scale)
@few
def test_a_stringer_of_another_size(factor):
    """Hat, plating, cap, span and spacing times k under the same pressure: the same margins, deflection times k."""

    def hat(k):
        return Stringer(
            "hat",
            solid(6.0 * k),
            solid(2.5 * k),
            95.0 * k,
            (75.0 * k,),
            110.0 * k,
            70.0 * k,
            solid(1.5 * k),
            70.0 * k,
            Former(80.0),
        )

    one = assess_stringer(hat(1.0), StringerLoad(900.0, 460.0, pressure=0.018))
    two = assess_stringer(hat(factor), StringerLoad(900.0 * factor, 460.0 * factor, pressure=0.018))
    same(one.deflection_mm * factor, two.deflection_mm)
    same(one.ei * factor**4, two.ei)
    for a, b in zip(one.margins, two.margins, strict=True):
        same(a.reserve_factor, b.reserve_factor, rel=1e-7)


@given(scale, st.floats(0.1, 10))
def test_a_section_of_another_size_and_another_material(size, stiff):
    def hat(k, m):
        parts = [("plate", 300.0, 5.0, 2.5, 8e3), ("web", 6.0, 90.0, 50.0, 9e3), ("cap", 70.0, 4.0, 97.0, 2e4)]
        return Section(tuple(Part(name, w * k, h * k, y * k, e * m, e * m / 3) for name, w, h, y, e in parts))

    one, two = hat(1.0, 1.0), hat(size, stiff)
    same(one.ea * stiff * size**2, two.ea)
    same(one.neutral_axis_mm * size, two.neutral_axis_mm)
    same(one.ei * stiff * size**4, two.ei)
    same(one.ei_share, two.ei_share)
    same(one.stress(1e6, 50.0, 9e3) / size**3, two.stress(1e6, 50.0 * size, 9e3 * stiff))
    same(one.shear_flow(1e3, 50.0) / size, two.shear_flow(1e3, 50.0 * size))


@given(scale, st.floats(0.2, 5))
@few
def test_a_plate_of_another_size_and_stiffness(size, stiff):
    bending = np.array([[9e5, 2e5, 1e4], [2e5, 6e5, 2e4], [1e4, 2e4, 3e5]])
    one = Plate(500.0, 400.0, bending, edges="CSCS").solve(pressure=0.01)
    two = Plate(500.0 * size, 400.0 * size, bending * stiff, edges="CSCS").solve(pressure=0.01)
    same(one.max_deflection * size**4 / stiff, two.max_deflection, rel=1e-7)
    same(one.deflection(200.0, 150.0) * size**4 / stiff, two.deflection(200.0 * size, 150.0 * size), rel=1e-7)


# ---- loads


@given(st.floats(2, 200), st.floats(150, 500), scale)
def test_thrust_goes_with_power_and_propeller(power, diameter, factor):
    """Static thrust by momentum theory: (power x diameter) to the power 2/3; cruising thrust: power over speed."""
    one = thrust.disc_thrust(power, diameter)
    same(one * factor ** (2 / 3), thrust.disc_thrust(power * factor, diameter), rel=1e-9)
    same(one * factor ** (2 / 3), thrust.disc_thrust(power, diameter * factor), rel=1e-9)
    cruising = thrust.cruising_thrust(power, 20.0, efficiency=0.55)
    same(cruising * factor, thrust.cruising_thrust(power * factor, 20.0, efficiency=0.55))
    same(cruising / factor, thrust.cruising_thrust(power, 20.0 * factor, efficiency=0.55))


@given(st.permutations([104.0, 12.0, 25.0, 40.0]))
def test_rigged_mass_is_a_sum(masses):
    same(outboard.rigged_mass(*masses), outboard.rigged_mass(104.0, 12.0, 25.0, 40.0))


@given(st.floats(3.5, 7), st.floats(1.2, 2.4))
def test_the_size_factor_is_a_product(length, width):
    same(outboard.size_factor(length, width), outboard.size_factor(width, length))


# ---- shop arithmetic


@given(st.floats(5, 60), st.floats(60, 150), scale, st.floats(100, 9000))
def test_fillets_of_another_size(radius, angle, factor, length):
    same(fillets.fillet_area(radius, angle) * factor**2, fillets.fillet_area(radius * factor, angle))
    same(fillets.fillet_arc(radius, angle) * factor, fillets.fillet_arc(radius * factor, angle))
    same(fillets.fillet_reach(radius, angle) * factor, fillets.fillet_reach(radius * factor, angle))
    one = fillets.fillet_volume_ml(radius, length_mm=length, angle_deg=angle)
    same(one * factor, fillets.fillet_volume_ml(radius, length_mm=length * factor, angle_deg=angle))
    same(one * factor**2, fillets.fillet_volume_ml(radius * factor, length_mm=length, angle_deg=angle))


@given(st.lists(st.floats(0.3, 2.5), min_size=1, max_size=8), st.floats(8, 40), scale)
def test_scarf_of_another_size(plies, ratio, factor):
    one = scarf.scarf_plan(plies, hole_length_mm=240.0, hole_width_mm=70.0, ratio=ratio)
    two = scarf.scarf_plan(
        [t * factor for t in plies], hole_length_mm=240.0 * factor, hole_width_mm=70.0 * factor, ratio=ratio
    )
    for name in ("scarf_mm", "patch_length_mm", "patch_width_mm"):
        same(getattr(one, name) * factor, getattr(two, name))
    same(scarf.scarf_length(sum(plies), ratio), one.scarf_mm)
    assert len(one.rings) == len(two.rings) == len(plies)


@given(st.floats(20, 200), st.floats(0.1, 40), scale)
def test_tape_widths_of_another_size(leg, radius, factor):
    same(
        tabbing.tape_width(leg, fillet_radius_mm=radius) * factor,
        tabbing.tape_width(leg * factor, fillet_radius_mm=radius * factor),
    )


@given(st.floats(1, 100), st.floats(4, 20), scale)
def test_clamp_force_goes_with_torque_over_diameter(torque, diameter, factor):
    one = clamping.bolt_force(torque, diameter)
    same(one * factor, clamping.bolt_force(torque * factor, diameter))
    same(one / factor, clamping.bolt_force(torque, diameter * factor))
    same(clamping.clamp_pressure_kpa(one, 0.8) / factor, clamping.clamp_pressure_kpa(one, 0.8 * factor))


@given(st.floats(0.05, 20), st.floats(1.0, 2.5), scale)
def test_catalyst_and_thinner_go_with_the_resin(litres, percent, factor):
    one = mixing.catalyst_ml(litres * 1e3, percent)
    same(one * factor, mixing.catalyst_ml(litres * factor * 1e3, percent))
    same(mixing.catalyst_percent_v(one, litres * 1e3), percent)
    same(mixing.drop_count(one, drops_per_ml=20.0) * factor, mixing.drop_count(one * factor, drops_per_ml=20.0))
    same(coating.wax_ml(litres * 1e3, last_coat=True) * factor, coating.wax_ml(litres * factor * 1e3, last_coat=True))


@given(st.floats(0.1, 3), scale)
def test_film_and_coverage_are_reciprocal(film, factor):
    same(coating.coverage_m2_per_l(film) * film, 1.0)
    same(coating.coverage_m2_per_l(film * factor) * factor, coating.coverage_m2_per_l(film))
    same(coating.wet_film_mm(film * factor), coating.wet_film_mm(film) * factor)


@given(st.floats(10, 60), st.integers(1, 6), st.floats(0.02, 0.2))
def test_twice_the_crew_wets_out_twice_as_much(minutes, people, rate):
    one = crew_batch_kg(minutes, people=people, wet_out_kg_min=rate)
    same(crew_batch_kg(minutes, people=2 * people, wet_out_kg_min=rate), 2 * one)
    same(crew_batch_kg(minutes, people=people, wet_out_kg_min=2 * rate), 2 * one)


# ---- quality


@given(st.lists(st.floats(1, 9), min_size=3, max_size=9), scale, st.randoms(use_true_random=False))
def test_readings_in_another_order_and_another_unit(readings, factor, random):
    other = list(readings)
    random.shuffle(other)
    one, two, inches = (
        spread("thickness", values, "mm") for values in (readings, other, [v * factor for v in readings])
    )
    for name in ("count", "mean", "deviation", "least", "most"):
        same(getattr(one, name), getattr(two, name))
        same(getattr(one, name) * (1 if name == "count" else factor), getattr(inches, name))
    same(trimmed_mean(readings), trimmed_mean(other))
    same(trimmed_mean(readings) * factor, trimmed_mean([v * factor for v in readings]))


@given(st.floats(0.5, 20), st.floats(0.5, 40), st.floats(0.2, 0.6), scale)
def test_a_larger_part_of_the_same_make_gets_the_same_verdict(glass, resin, planned, factor):
    one = quality_checks.check_mass_balance(glass, resin, planned_fraction=planned, resin_left_kg=0.1 * resin)
    two = quality_checks.check_mass_balance(
        glass * factor, resin * factor, planned_fraction=planned, resin_left_kg=0.1 * resin * factor
    )
    same(one.measured, two.measured)
    assert one.verdict == two.verdict
    same(quality_checks.mass_balance_fraction(glass, resin) + quality_checks.mass_balance_fraction(resin, glass), 1.0)


@given(st.lists(st.floats(4, 7), min_size=3, max_size=8), st.randoms(use_true_random=False))
def test_the_order_of_the_readings_changes_no_verdict(readings, random):
    other = list(readings)
    random.shuffle(other)
    one, two = (quality_checks.check_thickness(values, predicted_mm=5.5) for values in (readings, other))
    assert one.verdict == two.verdict and one.words == two.words
    one, two = (quality_checks.check_hardness([v * 8 for v in values], accept=40) for values in (readings, other))
    assert one.verdict == two.verdict and one.words == two.words


@given(st.floats(1, 9), st.floats(0.3, 0.6), scale)
def test_a_coupon_of_another_size_burns_to_the_same_fraction(dry, share, factor):
    one = quality_checks.check_burn_off([(dry, dry * share)] * 3, planned_fraction=0.4)
    two = quality_checks.check_burn_off([(dry * factor, dry * share * factor)] * 3, planned_fraction=0.4)
    same(one.measured, two.measured)
    same(one.measured, share)


# ---- units


@given(st.floats(1.0, 900.0), st.sampled_from(sorted(set(units.KINDS) - {"temperature"})), scale)
def test_a_quantity_in_another_system_is_the_same_quantity(value, kind, factor):
    one = units.to_system(value, kind, "us")
    same(units.to_system(value * factor, kind, "us"), one * factor, rel=1e-12)
    same(units.from_system(one, kind, "us"), value, rel=1e-12)
    metric = units.to_system(value, kind, "metric")
    same(units.from_system(metric, kind, "metric"), units.from_system(one, kind, "us"), rel=1e-12)


def test_sums_of_an_entry_may_be_exchanged():
    terms = ("5 ft", "6 in", "3 mm")
    found = {round(units.parse(" + ".join(order), "length"), 9) for order in permutations(terms)}
    assert len(found) == 1
