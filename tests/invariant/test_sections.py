"""Sections and stiffeners: identities, limits, batch = loop."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lamcalc.mechanics.laminate import Laminate
from lamcalc.mechanics.sections import Part, Section
from lamcalc.mechanics.stiffeners import angle_section, hat_section, solid_core_section

pytestmark = pytest.mark.invariant

pieces = st.lists(st.tuples(st.floats(2.0, 300.0), st.floats(1.0, 60.0), st.floats(500.0, 40e3),
                            st.floats(100.0, 9e3)), min_size=1, max_size=5)


def stacked(rows, *, base=0.0):
    """Parts on top of each other, without gaps."""
    parts, y = [], base
    for k, (width, height, e, g) in enumerate(rows):
        parts.append(Part(f"p{k}", width, height, y + 0.5 * height, e, g))
        y += height
    return Section(tuple(parts))


HAT = dict(plate_width_mm=230.0, plate_thickness_mm=6.0, plate_e=9e3, base_width_mm=110.0, top_width_mm=70.0,
           height_mm=95.0, skin_thickness_mm=2.9, skin_e=8e3, legs=[(75.0, 1.45), (100.0, 1.45)], cap_width_mm=70.0,
           cap_thickness_mm=1.5, cap_e=28e3, plate_g=3e3, skin_g=3e3, cap_g=3e3, former_g=20.0)


@given(rows=pieces, shift=st.floats(-500.0, 500.0))
def test_the_base_line_is_free(rows, shift):
    here, there = stacked(rows), stacked(rows, base=shift)
    assert there.ei == pytest.approx(float(here.ei), rel=1e-7)
    assert there.neutral_axis_mm - shift == pytest.approx(float(here.neutral_axis_mm), rel=1e-9, abs=1e-9)


@given(rows=pieces, cut=st.floats(0.1, 0.9))
def test_splitting_a_part_changes_nothing(rows, cut):
    width, height, e, g = rows[0]
    split = stacked([(width, cut * height, e, g), (width, (1 - cut) * height, e, g), *rows[1:]])
    whole = stacked(rows)
    assert split.ei == pytest.approx(float(whole.ei), rel=1e-9)
    assert split.ea == pytest.approx(float(whole.ea), rel=1e-12)
    assert split.shear_stiffness == pytest.approx(float(whole.shear_stiffness), rel=1e-9)
    sideways = Section((Part("a", cut * width, height, 0.5 * height, e, g),
                        Part("b", (1 - cut) * width, height, 0.5 * height, e, g)))
    assert sideways.shear_stiffness == pytest.approx(float(stacked(rows[:1]).shear_stiffness), rel=1e-9)


@given(rows=pieces)
def test_turning_it_over_mirrors_the_stress(rows):
    up, down = stacked(rows), stacked(rows[::-1])
    assert down.ei == pytest.approx(float(up.ei), rel=1e-9)
    assert down.shear_stiffness == pytest.approx(float(up.shear_stiffness), rel=1e-8)
    assert down.part_stresses(1e6)[::-1, ::-1] == pytest.approx(-up.part_stresses(1e6), rel=1e-7, abs=1e-9)


@given(rows=pieces)
def test_stresses_balance_the_moment(rows):
    section, moment = stacked(rows), 2.5e6
    stress = section.part_stresses(moment)
    width, height = (np.array([getattr(part, name) for part in section.parts]) for name in ("width_mm", "height_mm"))
    force = stress.mean(axis=-1) * width * height
    scale = (np.abs(stress).max(axis=-1) * width * height).sum()
    assert force.sum() == pytest.approx(0.0, abs=1e-9 * scale)
    y = np.array([part.y_mm for part in section.parts])
    own = (stress[:, 0] - stress[:, 1]) * width * height**2 / 12.0
    assert own.sum() - (force * y).sum() == pytest.approx(moment, rel=1e-7)


@given(rows=pieces)
def test_shear_flow_adds_up_to_the_force(rows):
    section, points = stacked(rows), np.polynomial.legendre.leggauss(4)
    total = 0.0
    for low, high in section.fibres_mm:
        cuts = low + 0.5 * (1 + points[0]) * (high - low)
        total += float((section.shear_flow(1000.0, cuts) * points[1]).sum() * 0.5 * (high - low))
    assert total == pytest.approx(1000.0, rel=1e-8)
    low, high = section.fibres_mm[0, 0], section.fibres_mm[-1, 1]
    largest = abs(section.first_moment(section.neutral_axis_mm))
    assert section.first_moment(low) == pytest.approx(0.0, abs=1e-9 * largest)
    assert section.first_moment(high) == pytest.approx(0.0, abs=1e-9 * largest)


@given(rows=pieces)
def test_shares_add_up(rows):
    assert stacked(rows).ei_share.sum() == pytest.approx(1.0, rel=1e-9)


@given(rows=pieces, limit=st.floats(5.0, 300.0))
def test_capacity_brings_the_worst_point_to_its_limit(rows, limit):
    section = stacked(rows)
    e = np.repeat(section.e_mpa, 2)
    moment, point = section.moment_capacity(section.fibres_mm.ravel(), e, np.full(e.size, limit))
    stress = np.abs(section.part_stresses(moment)).ravel()
    assert stress.max() == pytest.approx(limit, rel=1e-9)
    assert stress[int(point)] == pytest.approx(limit, rel=1e-9)
    assert moment == pytest.approx(limit * section.section_modulus_mm3.min(), rel=1e-9)


def test_rectangle_shear_area_is_five_sixths():
    bar = Section((Part("bar", 12.0, 40.0, 20.0, 9e3, 700.0),))
    assert bar.shear_stiffness == pytest.approx(5 / 6 * 700 * 480, rel=1e-12)
    assert bar.shear_stress(960.0, 20.0) == pytest.approx(1.5 * 960 / 480, rel=1e-12)


def test_thin_flanges_leave_the_shear_to_the_web():
    section = stacked([(100.0, 0.01, 40e3, 3e3), (2.0, 100.0, 1e-3, 3e3), (100.0, 0.01, 40e3, 3e3)])
    assert section.shear_stiffness == pytest.approx(3e3 * 2.0 * 100.0, rel=1e-3)


def test_layers_agree_with_laminate_theory_without_poisson_effect():
    rng = np.random.default_rng(5)
    e, t = rng.uniform(1e3, 40e3, 6), rng.uniform(0.3, 3.0, 6)
    wall = Laminate.from_plies(e, 0.5 * e, 0.0, 2e3, np.zeros(6), t)
    assert Section.from_layers(e, t).ei == pytest.approx(1.0 / wall.compliance[2][0, 0], rel=1e-10)


def test_trapezoid_is_the_limit_of_slices():
    def slices(count):
        height = 90.0 / count
        return [Part(f"s{k}", 110.0 - 40.0 * (k + 0.5) / count, height, (k + 0.5) * height, 50.0, 20.0)
                for k in range(count)]

    cap, base = Part("cap", 70.0, 3.0, 91.5, 9e3, 3e3), Part("base", 200.0, 5.0, -2.5, 9e3, 3e3)
    exact = Section((Part("core", 90.0, 90.0, 45.0, 50.0, 20.0, width_gain_mm=-40.0), cap, base))
    fine = Section((*slices(300), cap, base))
    assert exact.ei == pytest.approx(float(fine.ei), rel=1e-6)
    assert exact.neutral_axis_mm == pytest.approx(float(fine.neutral_axis_mm), rel=1e-6)
    assert exact.shear_stiffness == pytest.approx(float(fine.shear_stiffness), rel=1e-5)
    assert exact.first_moment(37.0) == pytest.approx(float(fine.first_moment(37.0)), rel=1e-5)


def test_leaning_web_keeps_its_area():
    web = Part("web", 3.0, 90.0, 45.0, 9e3, inclination_deg=25.0)
    slant = 90.0 / np.cos(np.radians(25.0))
    assert Section((web,)).ea == pytest.approx(9e3 * 3.0 * slant, rel=1e-12)
    assert Section((web,)).cut_width(20.0) == pytest.approx(3.0)


def test_hat_uses_the_cloth_it_was_given():
    """Developed width of the demo stringer: 2 x 75 + 70 + two slant heights = 414 mm, 464 mm with 100 mm legs."""
    hat = hat_section(**HAT)
    area = {part.name: float(part.horizontal_width_mm * part.height_mm) for part in hat.parts}
    slant = np.hypot(95.0, 20.0)
    assert area["web"] == pytest.approx(2 * 2.9 * slant, rel=1e-12)
    cloth = area["leg 1"] + area["leg 2"] + area["web"] + area["crown"]
    assert cloth / 1.45 == pytest.approx(414 + 464, abs=1.0)


def test_a_former_that_does_not_carry_changes_nothing_in_bending():
    plain, dead = hat_section(**HAT), hat_section(**HAT, former_e=0.0)
    carrying = hat_section(**HAT, former_e=40.0)
    assert dead.ei == plain.ei
    assert carrying.ei > plain.ei
    assert [part.name for part in carrying.parts][-1] == "former"


def test_solid_core_is_a_straight_hat_with_a_carrying_former():
    common = {key: HAT[key] for key in ("plate_width_mm", "plate_thickness_mm", "plate_e", "skin_thickness_mm",
                                        "skin_e", "legs")}
    solid = solid_core_section(**common, core_width_mm=50.0, core_height_mm=80.0, core_e=7e3)
    upright = Section((Part("plate", 230.0, 6.0, 3.0, 9e3), Part("l1", 150.0, 1.45, 6.725, 8e3),
                       Part("l2", 200.0, 1.45, 8.175, 8e3), Part("webs", 5.8, 80.0, 46.0, 8e3),
                       Part("crown", 50.0, 2.9, 87.45, 8e3), Part("core", 50.0, 80.0, 46.0, 7e3)))
    assert solid.ei == pytest.approx(float(upright.ei), rel=1e-12)


def test_batch_equals_loop_for_a_hat():
    height, skin = np.meshgrid([60.0, 95.0, 120.0], [2.0, 2.9], indexing="ij")
    many = hat_section(**{**HAT, "height_mm": height, "skin_thickness_mm": skin, "former_e": 40.0})
    assert many.ei.shape == (3, 2)
    for i in np.ndindex(3, 2):
        one = hat_section(**{**HAT, "height_mm": height[i], "skin_thickness_mm": skin[i], "former_e": 40.0})
        assert many.ei[i] == pytest.approx(float(one.ei), rel=1e-12)
        assert many.shear_stiffness[i] == pytest.approx(float(one.shear_stiffness), rel=1e-12)
        assert many.part_stresses(1e6)[i] == pytest.approx(one.part_stresses(1e6), rel=1e-12)
        assert many.section_modulus_mm3[i] == pytest.approx(one.section_modulus_mm3, rel=1e-12)
        assert many.shear_stress(500.0, 40.0)[i] == pytest.approx(float(one.shear_stress(500.0, 40.0)), rel=1e-12)
        assert many.web_area_mm2[i] == pytest.approx(float(one.web_area_mm2), rel=1e-12)


def test_flange_of_an_angle_only_adds():
    base = dict(plate_width_mm=200.0, plate_thickness_mm=6.0, plate_e=9e3, web_height_mm=80.0, web_thickness_mm=5.0,
                web_e=9e3, legs=[(50.0, 2.0)])
    flanged = angle_section(**base, flange_width_mm=40.0, flange_thickness_mm=5.0, flange_e=9e3, leg_sides=2)
    assert flanged.ei > angle_section(**base).ei


def test_a_cut_between_two_parts_runs_through_the_narrower():
    tee = stacked([(100.0, 10.0, 9e3, 3e3), (6.0, 50.0, 9e3, 3e3)])
    assert [float(tee.cut_width(y)) for y in (0.0, 5.0, 10.0, 30.0, 60.0, 61.0)] == [100.0, 100.0, 6.0, 6.0, 6.0, 0.0]
    assert tee.shear_stress(600.0, 10.0) == pytest.approx(float(tee.shear_flow(600.0, 10.0)) / 6.0, rel=1e-12)
